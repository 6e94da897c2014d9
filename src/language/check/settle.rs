//! How the tags of a product settle: rad, rev, cycle, 2π, electrical radians, and the power kinds.
//!
//! For: the one decision whether a product may stand for what is asked, and by which power of 2π its number changes.
//! Always: pure; a refusal says which rule was met. Nothing but a written 2π, a pole count or mass licenses a change.
//! Not known here: names, words of messages.

use super::term::{Count, Marks, ONE, Term, exponent};
use crate::quantity::{Base, Dimension, Factor};

/// What is asked of a product.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    /// The dimension wanted, electrical radians not in it.
    pub(super) dimension: Dimension,
    /// The goal is an electrical angular speed or an electrical angle.
    pub(super) electrical: bool,
    /// The goal is mechanical: a torque, a shaft power, a speed of rotation. It refuses what is electrical.
    pub(super) mechanical: bool,
    /// The goal's unit or kind says: torque.
    pub(super) torque: bool,
    /// The goal's unit or kind says: energy or power.
    pub(super) energy: bool,
}

impl Wanted {
    /// A plain number.
    pub(super) fn plain() -> Wanted {
        Wanted::of(Dimension::NONE)
    }

    /// A dimension, nothing more.
    pub(super) fn of(dimension: Dimension) -> Wanted {
        Wanted {
            dimension,
            electrical: false,
            mechanical: false,
            torque: false,
            energy: false,
        }
    }
}

/// Why a product may not stand for what is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    /// Other dimensions.
    Dimension,
    /// A cycle is left over and no 2π is written.
    CycleLeft,
    /// A frequency asked for from something without a written 2π.
    NoTwoPi,
    /// A frequency is asked to be a speed of rotation, or the other way round.
    PolesMissing,
    /// 2π·f or 2π/period asked to be a frequency.
    TwoPiIsNoFrequency,
    /// Electrical angular speed where a mechanical one is needed.
    ElectricalSpeed,
    /// A plain rate asked to be a speed of rotation.
    BareRate,
    /// A turn is left over: nothing says how it becomes an angle or a length.
    TurnLeft,
    /// π and a turn beside mass: whether the π belongs to the turn cannot be told.
    PiUncertain,
    /// 2π divides an angle beside mass.
    TwoPiUncertain,
    /// Active, apparent and reactive power do not become each other.
    PowerKind,
    /// A torque is no energy.
    TorqueIsNoEnergy,
    /// An energy or power is no torque.
    EnergyIsNoTorque,
    /// GD² is not J.
    FlywheelIsNoInertia,
}

/// What was let pass, but is worth a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Remark {
    /// A plain number stood in for a power factor.
    UndeclaredPowerFactor,
}

/// The part that two exponents have in common: of the same sign, the smaller one.
fn common(a: i32, b: i32) -> i32 {
    if a > 0 && b > 0 {
        a.min(b)
    } else if a < 0 && b < 0 {
        a.max(b)
    } else {
        0
    }
}

/// The tags of a term, taken out for working with.
struct Tags {
    rad: i32,
    turn: i32,
    cycle: i32,
    electrical: i32,
    two_pi: i32,
    pi: i32,
}

impl Tags {
    fn of(term: &Term) -> Tags {
        let mut two_pi = term.count(Count::TwoPi);
        let mut pi = term.count(Count::Pi);
        if !term.marks.has(Marks::MASS) || term.tag(Base::Turn) == 0 {
            two_pi += term.count(Count::LooseTwoPi);
        } else {
            pi += term.count(Count::LooseTwoPi);
        }
        let mut tags = Tags {
            rad: term.tag(Base::Radian),
            turn: term.tag(Base::Turn),
            cycle: term.tag(Base::Cycle),
            electrical: term.count(Count::Electrical),
            two_pi,
            pi,
        };
        // Electrical radians over a pole count are mechanical radians.
        let poles = common(tags.electrical, common(tags.turn, -tags.cycle));
        tags.electrical -= poles;
        tags.turn -= poles;
        tags.cycle += poles;
        tags.rad += poles;
        tags
    }

    /// Puts a written 2π to the cycles and turns that are left, towards what is wanted.
    fn place_two_pi(&mut self, wanted_cycle: i32) {
        let with_cycle = common(common(self.two_pi, self.cycle), self.cycle - wanted_cycle);
        self.two_pi -= with_cycle;
        self.cycle -= with_cycle;
        self.electrical += with_cycle;
        let with_turn = common(self.two_pi, self.turn);
        self.two_pi -= with_turn;
        self.turn -= with_turn;
        self.rad += with_turn;
        let over = common(-self.two_pi, self.electrical);
        self.two_pi += over;
        self.electrical -= over;
        self.cycle += over;
    }
}

/// Settles the term to the goal, or says which rule forbids it.
pub(super) fn fit(term: &mut Term, goal: &Wanted) -> Result<Option<Remark>, Refusal> {
    let wanted = &goal.dimension;
    for base in Base::ALL {
        if !is_tag(base) && term.dimension.get(base) != wanted.get(base) {
            return Err(Refusal::Dimension);
        }
    }
    let get = |base| super::term::sixtieths(wanted.get(base));
    let (wanted_rad, wanted_turn, wanted_cycle) = (get(Base::Radian), get(Base::Turn), get(Base::Cycle));
    let wanted_electrical = if goal.electrical { wanted_rad } else { 0 };
    let wanted_rad = if goal.electrical { 0 } else { wanted_rad };
    let only_times = !term.marks.any(Marks::MORE_THAN_TIME);
    let mass = term.marks.has(Marks::MASS);
    let pressure = term.marks.has(Marks::PRESSURE);

    torque_or_energy(term, goal)?;
    if term.count(Count::Flywheel) != 0 && (mass || pressure) && term.unit.is_none() {
        return Err(Refusal::FlywheelIsNoInertia);
    }

    let mut tags = Tags::of(term);
    tags.place_two_pi(wanted_cycle);

    // Cycles.
    if tags.cycle != wanted_cycle {
        if tags.cycle == 0 && tags.turn == 0 && tags.electrical == 0 {
            let missing = wanted_cycle;
            if common(-tags.two_pi, missing) == missing && !(term.marks.has(Marks::MECHANICAL) && tags.rad != 0) {
                tags.two_pi += missing;
                tags.cycle = missing;
                tags.rad = wanted_rad;
            } else if only_times && !term.marks.has(Marks::RATE) && tags.two_pi == 0 && tags.rad == 0 && tags.pi == 0 {
                tags.cycle = missing;
            } else if only_times && term.marks.has(Marks::RATE) && tags.two_pi == 0 {
                return Err(Refusal::BareRate);
            } else if tags.two_pi != 0 {
                return Err(Refusal::TwoPiIsNoFrequency);
            } else if tags.rad != 0 && only_times {
                return Err(if term.marks.has(Marks::MECHANICAL) {
                    Refusal::PolesMissing
                } else {
                    Refusal::NoTwoPi
                });
            } else {
                return Err(Refusal::NoTwoPi);
            }
        } else if tags.electrical != 0 && tags.cycle != 0 {
            return Err(Refusal::ElectricalSpeed);
        } else if tags.electrical != 0 {
            return Err(Refusal::TwoPiIsNoFrequency);
        } else if tags.cycle == 0 {
            return Err(Refusal::PolesMissing);
        } else if term.marks.has(Marks::TRANSFORMER) && wanted_cycle == 0 {
            tags.cycle = 0;
        } else if only_times && (wanted_turn != 0 || tags.turn != 0) {
            return Err(Refusal::PolesMissing);
        } else {
            return Err(Refusal::CycleLeft);
        }
    } else if wanted_cycle != 0 && only_times && tags.two_pi != 0 {
        return Err(Refusal::TwoPiIsNoFrequency);
    }

    // Electrical radians.
    let extra = tags.electrical - wanted_electrical;
    if extra != 0 {
        let missing = -extra;
        if goal.electrical && tags.electrical == 0 && tags.rad == missing && !term.marks.has(Marks::MECHANICAL) {
            tags.rad = 0;
        } else if goal.electrical && tags.electrical == 0 && only_times && common(tags.two_pi, missing) == missing {
            tags.two_pi -= missing;
        } else if wanted_electrical == 0 && only_times && wanted_rad == extra && wanted_turn == 0 && !goal.mechanical {
            // 2π·f in rad/s is what it is; whoever asked learns by the count that it is electrical.
            tags.rad += extra;
        } else if wanted_electrical == 0
            && term.marks.has(Marks::AMPERE)
            && !goal.mechanical
            && term.tag(Base::Active) == 0
        {
        } else if wanted_electrical == 0 && only_times && term.dimension.get(Base::Time).is_zero() && wanted_turn == 0 {
            // An electrical angle as a plain number of radians: the argument of a sine.
        } else {
            return Err(Refusal::ElectricalSpeed);
        }
    }

    // Turns.
    let mut two_pi_power = 0;
    let mut extra = tags.turn - wanted_turn;
    if extra != 0 && !mass {
        // An angle divided by 2π is a number of turns.
        let turns = common(-tags.two_pi, tags.rad);
        if turns != 0 && common(-extra, turns) == turns {
            tags.two_pi += turns;
            tags.rad -= turns;
            extra += turns;
        }
    }
    if extra != 0 {
        if tags.turn == 0 && tags.rad.abs() < ONE && common(-tags.two_pi, -extra) == -extra {
            tags.two_pi -= extra;
        } else if tags.rad - wanted_rad == -extra {
            if tags.pi != 0 && common(tags.pi, extra) == extra {
                return Err(Refusal::PiUncertain);
            }
            two_pi_power = extra;
            tags.rad = wanted_rad;
        } else if only_times && tags.turn == 0 {
            return Err(Refusal::BareRate);
        } else if mass {
            if tags.pi == extra {
                return Err(Refusal::PiUncertain);
            }
            two_pi_power = extra;
            tags.rad = wanted_rad;
        } else if pressure && extra < 0 {
            two_pi_power = extra;
            tags.rad = wanted_rad;
        } else if !pressure && common(tags.pi, extra) == extra {
            tags.pi -= extra;
        } else {
            return Err(Refusal::TurnLeft);
        }
    }

    // Radians are soft.
    let extra = tags.rad - wanted_rad;
    if extra != 0 {
        if only_times && tags.rad == 0 {
            if common(tags.two_pi, -extra) != -extra {
                return Err(Refusal::BareRate);
            }
            tags.two_pi += extra;
        } else if mass && extra.abs() >= ONE && tags.two_pi == -extra {
            return Err(Refusal::TwoPiUncertain);
        }
    }

    let remark = power_kind(term, goal)?;
    if two_pi_power != 0 {
        term.factor = term.factor.mul(&two_pi_to(two_pi_power));
    }
    let kinds = [Base::Active, Base::Apparent, Base::Reactive];
    if kinds
        .into_iter()
        .any(|base| term.dimension.get(base) != wanted.get(base))
    {
        term.kind = None;
        term.unit = None;
    }
    term.dimension = *wanted;
    term.set(Count::Electrical, tags.electrical);
    settled(term);
    Ok(remark)
}

/// After settling nothing is carried on.
fn settled(term: &mut Term) {
    for count in [Count::TwoPi, Count::LooseTwoPi, Count::Pi] {
        term.set(count, 0);
    }
}

fn two_pi_to(sixtieths: i32) -> Factor {
    Factor::new(2, 1, crate::quantity::Exponent::ONE)
        .and_then(|two_pi| two_pi.pow(exponent(sixtieths)))
        .unwrap_or_else(Factor::one)
}

fn is_tag(base: Base) -> bool {
    matches!(
        base,
        Base::Radian | Base::Turn | Base::Cycle | Base::Active | Base::Apparent | Base::Reactive
    )
}

/// How many angles stand in the product: rad, rev and 2π as written.
pub(super) fn angles(term: &Term) -> i32 {
    term.count(Count::Angle)
        + term.count(Count::TwoPi)
        + term.count(Count::LooseTwoPi)
        + term.count(Count::Electrical)
        + term.tag(Base::Cycle)
}

/// A torque becomes energy or power by an angle, and back.
fn torque_or_energy(term: &Term, goal: &Wanted) -> Result<(), Refusal> {
    let (torque, energy) = (term.count(Count::Torque), term.count(Count::Energy));
    if goal.energy && torque == ONE && energy == 0 && angles(term) < ONE {
        return Err(Refusal::TorqueIsNoEnergy);
    }
    if goal.torque && energy == ONE && torque == 0 && angles(term) >= 0 {
        return Err(Refusal::EnergyIsNoTorque);
    }
    Ok(())
}

/// Settles a term without a goal, as far as the formula itself proves something.
pub(super) fn naturally(term: &mut Term) -> Result<(), Refusal> {
    if term.unit.is_some() && term.count(Count::TwoPi) == 0 && term.count(Count::Pi) == 0 {
        // One quantity, or a plain multiple of one: it stays what it is.
        settled(term);
        return Ok(());
    }
    let only_times = !term.marks.any(Marks::MORE_THAN_TIME);
    let mass = term.marks.has(Marks::MASS);
    if term.count(Count::Flywheel) != 0 && mass {
        return Err(Refusal::FlywheelIsNoInertia);
    }
    let mut tags = Tags::of(term);
    tags.place_two_pi(0);
    if tags.cycle != 0 && term.marks.has(Marks::TRANSFORMER) {
        tags.cycle = 0;
    }
    if tags.electrical != 0 && !only_times {
        if term.marks.has(Marks::AMPERE) && term.tag(Base::Active) == 0 {
            tags.electrical = 0;
        } else {
            return Err(Refusal::ElectricalSpeed);
        }
    }
    let mut two_pi_power = 0;
    let rate = pure_rate(&term.dimension);
    if rate && !only_times && (mass || term.marks.has(Marks::AMPERE)) {
        // A rate that mass or a circuit gives is an angular one: T/J, sqrt(k/m), R/L. Turns stay turns.
        if tags.turn == 0 && tags.cycle == 0 && tags.two_pi == 0 && tags.electrical == 0 {
            tags.rad = ONE;
        }
    } else if !mass {
        let turns = common(-tags.two_pi, tags.rad);
        if !term.dimension.get(Base::Time).is_zero() {
            tags.two_pi += turns;
            tags.rad -= turns;
            tags.turn += turns;
        }
        // π·D·n is the way of the rim. A π of an area or of a volume says nothing of the turn.
        let length = super::term::sixtieths(term.dimension.get(Base::Length));
        if tags.turn != 0 && length.abs() == ONE && common(tags.pi, tags.turn) == tags.turn {
            tags.turn = 0;
        }
        // v/(π·D) is the speed at the rim over one turn of it.
        let untagged = tags.turn == 0 && tags.rad == 0 && tags.cycle == 0 && tags.electrical == 0;
        let flow = term.marks.has(Marks::FLOW);
        if rate && untagged && !only_times && !flow && tags.pi == -ONE && term.tag(Base::Time) == -ONE {
            tags.turn = ONE;
        }
        if term.marks.has(Marks::PRESSURE) && tags.turn > 0 {
            return Err(Refusal::TurnLeft);
        }
        if term.marks.has(Marks::PRESSURE) && tags.turn < 0 {
            two_pi_power = tags.turn;
            tags.turn = 0;
        }
        if !only_times {
            tags.rad = 0;
        }
    } else {
        if tags.turn != 0 && tags.rad == -tags.turn {
            two_pi_power = tags.turn;
            tags.turn = 0;
            tags.rad = 0;
        } else if tags.turn != 0 {
            if tags.pi == tags.turn {
                return Err(Refusal::PiUncertain);
            }
            two_pi_power = tags.turn;
            tags.turn = 0;
        }
        if tags.rad.abs() >= ONE && tags.two_pi == -tags.rad {
            return Err(Refusal::TwoPiUncertain);
        }
        if term.count(Count::Torque) < ONE || tags.rad > 0 {
            tags.rad = 0;
        }
    }
    if only_times && tags.rad == 0 && tags.electrical == 0 && tags.turn == 0 && tags.cycle == 0 {
        // 2π over a period is an angular speed.
        let rate = super::term::sixtieths(term.dimension.get(Base::Time));
        if rate != 0 && tags.two_pi > 0 && common(tags.two_pi, -rate) == -rate {
            tags.rad = -rate;
        }
    }
    let (torque, energy) = (term.count(Count::Torque), term.count(Count::Energy));
    if mass && tags.cycle > 0 && (torque == ONE && energy == 0 || term.marks.has(Marks::INERTIA)) {
        return Err(Refusal::PolesMissing);
    }
    // T·v/(π·D): whether the π belongs to a turn of the rim.
    if mass && is_power(&term.dimension) && torque == ONE && energy == 0 && tags.pi < 0 && angles(term) == 0 {
        return Err(Refusal::PiUncertain);
    }
    if two_pi_power != 0 {
        term.factor = term.factor.mul(&two_pi_to(two_pi_power));
    }
    term.set_tag(Base::Radian, tags.rad);
    term.set_tag(Base::Turn, tags.turn);
    term.set_tag(Base::Cycle, tags.cycle);
    term.set(Count::Electrical, tags.electrical);
    natural_power_kind(term);
    // One turn written as 2π is an angle like any other.
    term.add(Count::Angle, term.count(Count::TwoPi));
    settled(term);
    Ok(())
}

/// Whether it is something per time and nothing else but tags.
fn pure_rate(dimension: &Dimension) -> bool {
    super::term::sixtieths(dimension.get(Base::Time)) < 0
        && Base::ALL
            .into_iter()
            .all(|base| base == Base::Time || is_tag(base) || dimension.get(base).is_zero())
}

/// Exponents of active, apparent and reactive power.
type Kinds = (i32, i32, i32);

/// What an untagged power of volts and amperes is proved to be by the kinds in it.
fn proved(term: &Term) -> Option<Kinds> {
    if term.phasor {
        // Its real part is active, its imaginary part reactive power.
        return Some((0, ONE, 0));
    }
    let volts = term.count(Count::LineVoltage) + term.count(Count::PhaseVoltage);
    let amperes = term.count(Count::LineCurrent) + term.count(Count::PhaseCurrent);
    // √3 stands beside alternating volts and amperes, whatever is said of them; a plain number may be their power factor.
    let unsaid = (term.count(Count::Voltage), term.count(Count::Current));
    let of_three = term.count(Count::RootThree) == ONE
        && term.count(Count::Undeclared) == 0
        && (volts + unsaid.0, amperes + unsaid.1) == (ONE, ONE);
    if (volts, amperes) == (ONE, ONE) || of_three {
        return Some((0, ONE, 0));
    }
    match (
        term.count(Count::Resistance).abs(),
        term.count(Count::Reactance).abs(),
        term.count(Count::Impedance).abs(),
    ) {
        (ONE, 0, 0) => Some((ONE, 0, 0)),
        (0, ONE, 0) => Some((0, 0, ONE)),
        (0, 0, ONE) => Some((0, ONE, 0)),
        _ => None,
    }
}

fn is_power(dimension: &Dimension) -> bool {
    let get = |base| super::term::sixtieths(dimension.get(base));
    get(Base::Mass) == ONE
        && get(Base::Length) == 2 * ONE
        && matches!(get(Base::Time), -180 | -120)
        && get(Base::Current) == 0
}

fn natural_power_kind(term: &mut Term) {
    let (mut active, mut apparent, mut reactive) = kinds_of(term);
    if term.marks.has(Marks::AMPERE) && !term.dimension.get(Base::Current).is_zero() {
        // Beside volts and amperes the kind of a power is used up: Q/I² is a reactance, S/(√3·V) a current.
        for base in [Base::Active, Base::Apparent, Base::Reactive] {
            term.set_tag(base, 0);
        }
        return;
    }
    if !is_power(&term.dimension) || !term.marks.any(Marks::AMPERE.with(Marks::POWER)) {
        return;
    }
    if (active, apparent, reactive) == (ONE, -ONE, 0) && term.marks.has(Marks::AMPERE) {
        // Volts times amperes times a power factor.
        apparent = 0;
    } else if active + apparent + reactive == 0
        && term.marks.has(Marks::AMPERE)
        && let Some((a, s, q)) = proved(term)
    {
        active += a;
        apparent += s;
        reactive += q;
    }
    // Cosine, sine and tangent carry a power kind when they multiply a power.
    let cosine = common(term.count(Count::Cosine), apparent) - common(-term.count(Count::Cosine), active);
    apparent -= cosine;
    active += cosine;
    let sine = common(term.count(Count::Sine), apparent) - common(-term.count(Count::Sine), reactive);
    apparent -= sine;
    reactive += sine;
    let tangent = common(term.count(Count::Tangent), active) - common(-term.count(Count::Tangent), reactive);
    active -= tangent;
    reactive += tangent;
    term.set_tag(Base::Active, active);
    term.set_tag(Base::Apparent, apparent);
    term.set_tag(Base::Reactive, reactive);
}

fn kinds_of(term: &Term) -> Kinds {
    (
        term.tag(Base::Active),
        term.tag(Base::Apparent),
        term.tag(Base::Reactive),
    )
}

/// Whether the power kinds of the term may stand for those wanted.
fn power_kind(term: &Term, goal: &Wanted) -> Result<Option<Remark>, Refusal> {
    let wanted = &goal.dimension;
    let get = |base| super::term::sixtieths(wanted.get(base));
    let mut want = (get(Base::Active), get(Base::Apparent), get(Base::Reactive));
    if goal.torque && want == (0, 0, 0) && (kinds_of(term) != (0, 0, 0) || proved(term) == Some((0, ONE, 0))) {
        // A torque is active power over a speed. V²/X over a speed is one too: the breakdown torque.
        want = (ONE, 0, 0);
    }
    let have = kinds_of(term);
    if have == want && (have != (0, 0, 0) || !term.marks.any(Marks::AMPERE)) {
        return Ok(None);
    }
    let ampere = term.marks.has(Marks::AMPERE);
    if wanted.is_none()
        || (wanted
            .without(Base::Active)
            .without(Base::Apparent)
            .without(Base::Reactive)
            .is_none()
            && is_ratio(want))
    {
        // A ratio of powers: kW/kVA is a power factor, a plain number may be declared one.
        // Volts times amperes over a power: kVA per hp.
        let (_, s, q) = proved(term).filter(|_| ampere).unwrap_or((0, 0, 0));
        let same = |have: Kinds| have.1 == want.1 && have.2 == want.2;
        let fine = want == (0, 0, 0) || have == (0, 0, 0) || same(have) || same((have.0, have.1 + s, have.2 + q));
        return if fine { Ok(None) } else { Err(Refusal::PowerKind) };
    }
    let power = is_power(wanted);
    let neutral = want.0 + want.1 + want.2 - have.0 - have.1 - have.2;
    // Each way of reading the cosines, sines and tangents, none first.
    for (cosine, sine, tangent) in WAYS {
        let cosine = if cosine { term.count(Count::Cosine) } else { 0 };
        let sine = if sine { term.count(Count::Sine) } else { 0 };
        let tangent = if tangent { term.count(Count::Tangent) } else { 0 };
        let have = (
            have.0 + cosine - tangent,
            have.1 - cosine - sine,
            have.2 + sine + tangent,
        );
        if carried(term, have, want, neutral, power, ampere) {
            return Ok(None);
        }
    }
    // √3 times the difference of two wattmeters is the reactive power.
    if term.marks.has(Marks::ACTIVE_DIFFERENCE)
        && term.count(Count::RootThree).abs() == ONE
        && want == (0, 0, ONE)
        && have.1 == 0
        && have.2 == 0
    {
        return Ok(None);
    }
    // A plain number may stand in for a power factor, with a word about it.
    let factors = term.count(Count::Undeclared);
    if power && factors != 0 {
        for number in [ONE, -ONE] {
            let have = (have.0 + number, have.1 - number, have.2);
            if (number > 0) == (factors > 0) && carried(term, have, want, neutral, power, ampere) {
                return Ok(Some(Remark::UndeclaredPowerFactor));
            }
        }
    }
    Err(Refusal::PowerKind)
}

const WAYS: [(bool, bool, bool); 8] = [
    (false, false, false),
    (true, false, false),
    (false, true, false),
    (false, false, true),
    (true, true, false),
    (true, false, true),
    (false, true, true),
    (true, true, true),
];

fn is_ratio(want: Kinds) -> bool {
    want.0 + want.1 + want.2 == 0
}

fn carried(term: &Term, have: Kinds, want: Kinds, neutral: i32, power: bool, ampere: bool) -> bool {
    // Active is soft: it comes and goes. The others do not.
    let matches = |have: Kinds| have.1 == want.1 && have.2 == want.2;
    if power && neutral == ONE && ampere {
        // Volts times amperes are any kind, unless the kinds in them prove one.
        return match proved(term) {
            Some((a, s, q)) => matches((have.0 + a, have.1 + s, have.2 + q)),
            None => [(ONE, 0, 0), (0, ONE, 0), (0, 0, ONE)]
                .into_iter()
                .any(|(a, s, q)| matches((have.0 + a, have.1 + s, have.2 + q))),
        };
    }
    if power && have == (0, 0, 0) && want == (0, 0, 0) {
        return true;
    }
    if matches(have) {
        return true;
    }
    // Beside volts and amperes the kind of a power is used up: I = S/(√3·V).
    !power && ampere && want == (0, 0, 0)
}
