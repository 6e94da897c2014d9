//! Units of terms: what a unit or kind says of a term, and which unit a result gets.
//!
//! For: dressing a term with what its unit and kind prove, seating a settled term in a unit, choosing the unit of a result.
//! Always: choosing never changes a value, only the unit it is shown in.
//! Not known here: rules of tags (`settle`), messages.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::settle::Wanted;
use super::term::{Count, Marks, ONE, Rate, Term, scaled, sixtieths};
use crate::quantity::kind::{Conductor, SpeedRole, Stage};
use crate::quantity::{Base, Dimension, Family, Kind, Unit};

/// A unit asked for, and the kind declared with it.
#[derive(Clone, Copy, Debug)]
pub(super) struct UnitGoal<'a> {
    pub(super) unit: &'a Unit,
    pub(super) kind: Option<Kind>,
}

impl UnitGoal<'_> {
    /// The kind declared, else the one the unit proves.
    fn kind(&self) -> Option<Kind> {
        self.kind.or(self.unit.kind)
    }

    pub(super) fn wanted(&self) -> Wanted {
        let family = self.kind().map(Kind::family);
        let by_unit = self.unit.kind.map(Kind::family);
        let turn = !self.unit.dimension.get(Base::Turn).is_zero();
        let is = |test: fn(Family) -> bool| family.is_some_and(test) || by_unit.is_some_and(test);
        let electrical = family == Some(Family::ElectricalAngularSpeed);
        Wanted {
            dimension: self.unit.dimension,
            electrical,
            mechanical: turn
                || is(|family| family == Family::Torque)
                || family.is_some_and(|family| {
                    matches!(family, Family::Power { role: Stage::Shaft })
                        || matches!(family, Family::ShaftSpeed { .. })
                }) && self.kind.is_some(),
            torque: is(|family| family == Family::Torque),
            energy: is(is_energy),
        }
    }
}

pub(super) fn is_energy(family: Family) -> bool {
    matches!(
        family,
        Family::Power { .. }
            | Family::ApparentPower
            | Family::ReactivePower
            | Family::Energy
            | Family::ApparentEnergy
            | Family::ReactiveEnergy
    )
}

/// Whether values of this unit and kind are points of a temperature scale.
pub(super) fn is_point(unit: &Unit, kind: Option<Kind>) -> bool {
    match kind.map(Kind::family) {
        Some(Family::TemperatureDifference) => false,
        Some(Family::TemperaturePoint) => true,
        _ => unit.offset.is_some(),
    }
}

/// Whether they are differences for sure.
pub(super) fn is_difference(unit: &Unit, kind: Option<Kind>) -> bool {
    kind.or(unit.kind)
        .is_some_and(|kind| kind.family() == Family::TemperatureDifference)
}

/// Exponents of mass, length, time, ampere and temperature, in sixtieths.
fn mechanics(dimension: &Dimension) -> [i32; 4] {
    [Base::Mass, Base::Length, Base::Time, Base::Current].map(|base| sixtieths(dimension.get(base)))
}

/// Puts on a term what its unit and kind say. The dimension is the unit's.
pub(super) fn dress(term: &mut Term, unit: &Unit, kind: Option<Kind>) {
    term.factor = (*unit.factor).clone();
    term.dimension = unit.dimension;
    term.kind = kind;
    term.percent = &*unit.text == "%" || &*unit.text == "‰";
    term.point = is_point(unit, kind);
    classify(term, kind.or(unit.kind), &*unit.text == NEUTRAL);
    if term.marks.has(Marks::RATE) {
        term.rate = Some(Rate {
            span: term.span,
            per_minute: &*unit.text == "1/min",
        });
    }
    if &*unit.text == "h" {
        term.marks = term.marks.with(Marks::HOURS);
    }
    if &*unit.text == "pole" {
        term.marks = term.marks.with(Marks::POLES);
    }
    match &*unit.text {
        "yr" => term.set(Count::Yearly, -ONE),
        text if text.ends_with("/yr") => term.set(Count::Yearly, ONE),
        _ => {}
    }
}

/// Counts and marks of a single quantity.
fn classify(term: &mut Term, kind: Option<Kind>, volt_ampere: bool) {
    let family = kind.map(Kind::family);
    let dimension = term.dimension;
    if dimension.is_none() {
        match family {
            Some(Family::PowerFactor) => {
                term.dimension = dimension
                    .with(Base::Active, crate::quantity::Exponent::ONE)
                    .with(Base::Apparent, crate::quantity::Exponent::whole(-1));
            }
            Some(Family::Efficiency { from, to }) if from != Stage::Any && to != Stage::Any => {
                stage(term, to, ONE);
                stage(term, from, -ONE);
            }
            Some(Family::Efficiency { .. }) => term.marks = term.marks.with(Marks::OPEN_ENDS),
            _ => {}
        }
        return;
    }
    let [mass, length, time, ampere] = mechanics(&dimension);
    let (rad, turn, cycle) = (term.tag(Base::Radian), term.tag(Base::Turn), term.tag(Base::Cycle));
    let mut marks = term.marks;
    // kVA per hp leads from the shaft to the terminals, past the efficiency.
    if mass == 0 && sixtieths(dimension.get(Base::Apparent)) > 0 {
        marks = marks.with(Marks::OPEN_ENDS);
    }
    if mass != 0 {
        let pressure = mass == ONE && length == -ONE && time == -2 * ONE;
        marks = marks.with(if pressure {
            Marks::PRESSURE.with(Marks::HEAD)
        } else {
            Marks::MASS
        });
    }
    if ampere != 0 || volt_ampere {
        marks = marks.with(Marks::AMPERE);
    }
    let more = Base::ALL.into_iter().any(|base| {
        !matches!(base, Base::Time | Base::Radian | Base::Turn | Base::Cycle) && !dimension.get(base).is_zero()
    });
    if more {
        marks = marks.with(Marks::MORE_THAN_TIME);
    } else if time < 0 && cycle == 0 && rad == 0 && turn == 0 {
        marks = marks.with(Marks::RATE);
    } else if time == -ONE && cycle == ONE {
        marks = marks.with(Marks::FREQUENCY);
    } else if time == -ONE && (rad == ONE || turn == ONE) {
        marks = marks.with(Marks::SPEED);
    }
    match [mass, length, time, ampere] {
        [60, 120, -180, 0] => marks = marks.with(Marks::POWER),
        [60, 120, 0, 0] => marks = marks.with(Marks::INERTIA),
        [0, 180, -60, 0] => marks = marks.with(Marks::FLOW),
        [60, 0, -60, 0] => marks = marks.with(Marks::MASS_FLOW),
        [0, 60, 0, 0] => marks = marks.with(Marks::HEAD),
        _ => {}
    }
    term.set(Count::Angle, rad + turn);
    match family {
        Some(Family::Torque) => {
            term.set(Count::Torque, ONE);
            marks = marks.with(Marks::TORQUE);
        }
        Some(Family::Power { role }) => {
            term.set(Count::Energy, ONE);
            stage(term, role, ONE);
        }
        Some(family) if is_energy(family) => {
            term.set(Count::Energy, ONE);
            marks = marks.with(Marks::POWER);
        }
        Some(Family::Voltage { between }) => match between {
            Conductor::Line => term.set(Count::LineVoltage, ONE),
            Conductor::Phase => term.set(Count::PhaseVoltage, ONE),
            Conductor::Any => term.set(Count::Voltage, ONE),
        },
        Some(Family::Current { within }) => match within {
            Conductor::Line => term.set(Count::LineCurrent, ONE),
            Conductor::Phase => term.set(Count::PhaseCurrent, ONE),
            Conductor::Any => term.set(Count::Current, ONE),
        },
        Some(Family::ElectricalAngularSpeed) => {
            term.set(Count::Electrical, rad);
            term.set_tag(Base::Radian, 0);
            term.set(Count::Angle, 0);
            marks = marks.without(Marks::SPEED);
        }
        Some(Family::ShaftSpeed { role }) => {
            let proved_by_unit =
                kind.is_some_and(|kind| kind.words() == "speed of rotation" || kind.words() == "angular speed");
            if role != SpeedRole::Any || !proved_by_unit || turn != 0 {
                marks = marks.with(Marks::MECHANICAL);
            }
        }
        Some(Family::Force) => marks = marks.with(Marks::FORCE),
        Some(Family::FlywheelEffect) => term.set(Count::Flywheel, ONE),
        _ => match kind.map(Kind::words) {
            Some("resistance") => term.set(Count::Resistance, ONE),
            Some("reactance") => term.set(Count::Reactance, ONE),
            Some("impedance") => term.set(Count::Impedance, ONE),
            _ => {}
        },
    }
    term.marks = marks;
}

/// Where a power stands between supply and load, as an exponent, so that efficiencies carry one to the other.
fn stage(term: &mut Term, stage: Stage, by: i32) {
    match stage {
        Stage::Electrical => term.add(Count::Input, by),
        Stage::Shaft => term.add(Count::Shaft, by),
        Stage::Hydraulic => term.add(Count::Hydraulic, by),
        Stage::Loss => term.add(Count::Loss, by),
        Stage::AirGap | Stage::Any => {}
    }
}

/// A settled term, raw in `unit`, as one quantity of it.
pub(super) fn seat(mut term: Term, unit: &Unit, kind: Option<Kind>) -> Term {
    let electrical = !term.marks.has(Marks::MORE_THAN_TIME) && term.count(Count::Electrical) != 0;
    let op = std::mem::replace(&mut term.op, super::typed::Op::Truth(false));
    let op = scaled(op, &term.factor.div(&unit.factor));
    let mut out = Term::plain(op, term.span);
    // What the old unit proved is not true of the new one; what was declared is.
    let own = term
        .kind
        .filter(|kind| term.unit.as_ref().is_none_or(|unit| unit.kind != Some(*kind)))
        // GD² in kg·m² has become J.
        .filter(|kind| {
            let flywheel = |kind: Kind| kind.family() == Family::FlywheelEffect;
            !flywheel(*kind) || unit.kind.is_some_and(flywheel)
        });
    let kind = kind.or(own).or(if electrical {
        electrical_angular_speed(&unit.dimension)
    } else {
        None
    });
    dress(&mut out, unit, kind.or(unit.kind));
    out.kind = kind;
    out.unit = Some(unit.clone());
    // What was proved by the parts is still true of the whole.
    for count in [Count::Shaft, Count::Input, Count::Hydraulic, Count::Loss] {
        if out.count(count) == 0 && term.count(count) == ONE && kind.is_none() {
            out.set(count, ONE);
        }
    }
    if unit.kind.is_none() && kind.is_none() {
        for count in [Count::Torque, Count::Energy, Count::Angle] {
            // What the unit itself says, `rad` in `rad/s`, stays.
            if out.count(count) == 0 {
                out.set(count, term.count(count));
            }
        }
    }
    out.phasor = term.phasor;
    out.conjugate = term.conjugate;
    super::phasors::dressed(&mut out);
    for mark in [Marks::ACTIVE_DIFFERENCE, Marks::OPEN_ENDS] {
        if term.marks.has(mark) {
            out.marks = out.marks.with(mark);
        }
    }
    out
}

/// The kind of 2π·f.
pub(super) fn electrical_angular_speed(dimension: &Dimension) -> Option<Kind> {
    let rate = sixtieths(dimension.get(Base::Time)) == -ONE;
    if rate {
        Kind::find("electrical angular speed")
    } else {
        None
    }
}

/// The usual unit of a kind. A power factor is shown as a plain number.
pub(super) fn usual(kind: Kind, us: bool) -> Unit {
    if kind.family() == Family::PowerFactor {
        return Unit::plain();
    }
    Unit::usual(kind, us)
}

/// Units that results without a kind are shown in, by dimension; of two with the same dimension the first wins.
const SHOWN: &[(&str, &str)] = &[
    ("r/min", "r/min"),
    ("rad/s", "rad/s"),
    ("Hz", "Hz"),
    ("rev", "rev"),
    ("rad", "rad"),
    ("W", "hp"),
    ("VA", "VA"),
    ("var", "var"),
    ("J", "J"),
    ("N", "lbf"),
    ("Pa", "psi"),
    ("V", "V"),
    ("Ω", "Ω"),
    ("H", "H"),
    ("F", "F"),
    ("S", "S"),
    ("Wb", "Wb"),
    ("T", "T"),
    ("C", "C"),
    ("kg·m²", "lb·ft²"),
    ("m/s", "ft/min"),
    ("m³/s", "gpm"),
    ("W/VA", "W/VA"),
    ("N·m/A", "N·m/A"),
    ("N·m/rad", "N·m/rad"),
    ("kg/m³", "lb/ft³"),
    ("m", "ft"),
    ("s", "s"),
    ("kg", "lb"),
    ("A", "A"),
    ("K", "K"),
    ("pole", "pole"),
    ("cycle", "cycle"),
    ("V/Hz", "V/Hz"),
    ("rad/s²", "rad/s²"),
    ("m/s²", "ft/s²"),
    ("m²", "ft²"),
    ("m³", "gal"),
    ("1/s", "1/s"),
];

static BY_DIMENSION: LazyLock<HashMap<Dimension, (Unit, Unit)>> = LazyLock::new(|| {
    let mut out = HashMap::new();
    for (si, us) in SHOWN {
        if let (Ok(si), Ok(us)) = (Unit::parse(si), Unit::parse(us)) {
            out.entry(si.dimension).or_insert((si, us));
        }
    }
    out
});

/// Volts times amperes without a kind: any power may be made of it.
static VOLT_AMPERE: LazyLock<Option<Unit>> = LazyLock::new(|| {
    let (volt, ampere) = (Unit::known("V")?, Unit::known("A")?);
    Some(Unit {
        text: NEUTRAL.into(),
        dimension: volt.dimension.mul(&ampere.dimension)?,
        factor: std::sync::Arc::new(crate::quantity::Factor::one()),
        offset: None,
        kind: None,
    })
});

static KILOWATT_HOUR: LazyLock<Option<Unit>> = LazyLock::new(|| Unit::known("kWh"));

static YEAR: LazyLock<Option<Unit>> = LazyLock::new(|| Unit::known("yr"));

/// How that unit is written. (Typed by a user, `V·A` is read as VA.)
const NEUTRAL: &str = "V·A";

static NEWTON_METRE: LazyLock<Option<(Unit, Unit)>> =
    LazyLock::new(|| Some((Unit::known("N·m")?, Unit::known("lbf·ft")?)));

/// The unit of a settled result that says nothing of its own unit.
pub(super) fn natural(term: &Term, us: bool) -> Option<Unit> {
    if let Some(unit) = &term.unit {
        return Some(unit.clone());
    }
    let mut dimension = term.dimension;
    if term.count(Count::Electrical) != 0 {
        let rad = crate::quantity::Exponent::new(i64::from(term.count(Count::Electrical)), i64::from(ONE))?;
        dimension = dimension.with(Base::Radian, rad);
    }
    if dimension.is_none() {
        return Some(Unit::plain());
    }
    if let Some(unit) = by_the_year(term, us) {
        return Some(unit);
    }
    // N·m is a torque unless energy is proved.
    let [mass, length, time, ampere] = mechanics(&dimension);
    let bare = dimension.without(Base::Active);
    let untagged = bare.parts().count() == 3;
    if [mass, length, time, ampere] == [60, 120, -120, 0]
        && untagged
        && is_torque(term)
        && let Some((si, us_unit)) = &*NEWTON_METRE
    {
        return Some(if us { us_unit.clone() } else { si.clone() });
    }
    // A power of mechanics is active power.
    let power = matches!([mass, length, time, ampere], [60, 120, -180 | -120, 0]) && untagged;
    if power && time == -180 && term.marks.has(Marks::AMPERE) && bare == dimension {
        // Volts times amperes, of no kind yet.
        if let Some(unit) = &*VOLT_AMPERE {
            return Some(unit.clone());
        }
    }
    if power
        && time == -120
        && term.marks.has(Marks::HOURS)
        && term.marks.has(Marks::POWER)
        && bare == dimension.without(Base::Active)
    {
        // Kilowatts times hours.
        if let Some(unit) = &*KILOWATT_HOUR
            && dimension.without(Base::Active) == unit.dimension.without(Base::Active)
        {
            return Some(unit.clone());
        }
    }
    if power {
        dimension = dimension.with(Base::Active, crate::quantity::Exponent::ONE);
    }
    if let Some((si, us_unit)) = BY_DIMENSION
        .get(&dimension)
        .or_else(|| BY_DIMENSION.get(&term.dimension))
        // What a power over a flow, a speed or a torque leaves is none of electricity.
        .or_else(|| BY_DIMENSION.get(&term.dimension.without(Base::Active)))
    {
        // Electrical power is in watts everywhere.
        let electrical = power && term.marks.has(Marks::AMPERE);
        return Some(if us && !electrical { us_unit.clone() } else { si.clone() });
    }
    Some(Unit::coherent(&dimension))
}

/// What is counted by the year is told by the year: kilowatts times hours per year are kilowatt-hours a year, and what they cost over what
/// is saved in a year is a time in years.
fn by_the_year(term: &Term, us: bool) -> Option<Unit> {
    let year = YEAR.as_ref()?;
    match term.count(Count::Yearly) {
        ONE => {}
        count if count == -ONE && term.dimension == year.dimension => return Some(year.clone()),
        _ => return None,
    }
    if term.dimension.is_none() {
        return Unit::known("h/yr");
    }
    let whole = term.dimension.mul(&year.dimension)?;
    let energy = KILOWATT_HOUR.as_ref()?;
    let of_whole = match BY_DIMENSION.get(&whole) {
        _ if whole.without(Base::Active) == energy.dimension.without(Base::Active) => energy.clone(),
        Some((si, customary)) => if us { customary } else { si }.clone(),
        None => Unit::coherent(&whole),
    };
    Unit::known(&of_whole.div(year)?.text)
}

/// Whether what is proved speaks for a torque: a force and a lever, an energy over an angle.
fn is_torque(term: &Term) -> bool {
    let torque = term.count(Count::Torque);
    let energy = term.count(Count::Energy);
    let angle = term.count(Count::Angle);
    if torque == ONE && energy == 0 {
        return angle < ONE;
    }
    if energy == ONE && torque == 0 {
        return angle < 0;
    }
    if term.marks.has(Marks::AMPERE) {
        return torque == 0 && energy == 0 && angle == -ONE;
    }
    if term.marks.has(Marks::PRESSURE) {
        return torque == 0 && energy == 0 && angle == -ONE;
    }
    // J·α is a torque, J·ω² an energy; a force and a lever are a torque, m·g·h is an energy, m·g·v over a speed a torque again.
    torque == 0
        && energy == 0
        && if term.marks.has(Marks::INERTIA) {
            angle == ONE
        } else {
            angle == -ONE || term.marks.has(Marks::FORCE) && angle == 0
        }
}
