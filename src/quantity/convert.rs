//! Direct conversion: one unit into another, or why not.
//!
//! For: `x in unit`, cells given in another unit than their column, conversions on the command line.
//! Always: the factor is exact and applied once. What would hide a mistake is refused: cycles and turns, kinds of power, torque
//! and energy, mass and force, points and differences, currencies.
//! Not known here: formulas. What a written 2π, a pole count or a power factor allows is `language::check`.

use rust_decimal::Decimal;

use super::dimension::{Base, Dimension, Exponent};
use super::kind::Family;
use super::number::{Number, NumberFault};
use super::unit::Unit;
use super::{Factor, decimal};
use crate::fault::Code;

/// How numbers in one unit become numbers in another: `(x + before) · factor − after`.
#[derive(Clone, Debug, PartialEq)]
pub struct Conversion {
    /// Multiplied.
    pub factor: Factor,
    /// Added before (temperature points only).
    pub before: Option<Decimal>,
    /// Subtracted after (temperature points only).
    pub after: Option<Decimal>,
}

/// Why a conversion is refused, in a user's words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConvertFault {
    /// Which of the listed faults it is; `None` where the number itself cannot be worked.
    pub code: Option<Code>,
    /// What was found and what was expected.
    pub message: String,
    /// What to try.
    pub help: Option<String>,
    /// Why the number could not be worked.
    pub number: Option<NumberFault>,
}

/// A value from one unit to another.
///
/// # Errors
/// Where the units measure different things, or where the number leaves what can be worked.
pub fn convert(value: Decimal, from: &Unit, to: &Unit) -> Result<Number, ConvertFault> {
    Ok(conversion(from, to)?.apply(Number::Exact(value))?)
}

/// How to get from one unit to another.
///
/// # Errors
/// Where the units measure different things.
pub fn conversion(from: &Unit, to: &Unit) -> Result<Conversion, ConvertFault> {
    refuse_kinds(from, to)?;
    let mut factor = from.factor.div(&to.factor);
    if from.dimension != to.dimension {
        factor = factor.mul(&tags(from, to)?);
    }
    let (before, after) = match (from.offset, to.offset) {
        (a, b) if a == b && factor.is_one() => (None, None),
        offsets => offsets,
    };
    Ok(Conversion { factor, before, after })
}

impl Conversion {
    /// A number of the first unit in the second.
    ///
    /// # Errors
    /// Overflow and underflow.
    pub fn apply(&self, number: Number) -> Result<Number, NumberFault> {
        let number = match self.before {
            Some(before) => number.add(Number::Exact(before))?,
            None => number,
        };
        let number = self.factor.apply_to(number)?;
        match self.after {
            Some(after) => number.sub(Number::Exact(after)),
            None => Ok(number),
        }
    }
}

impl From<NumberFault> for ConvertFault {
    fn from(fault: NumberFault) -> ConvertFault {
        ConvertFault {
            code: None,
            message: fault.to_string(),
            help: None,
            number: Some(fault),
        }
    }
}

impl std::fmt::Display for ConvertFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)?;
        match &self.help {
            Some(help) => write!(f, "; {help}"),
            None => Ok(()),
        }
    }
}

fn fault(code: Code, message: String, help: impl Into<String>) -> ConvertFault {
    ConvertFault {
        code: Some(code),
        message,
        help: Some(help.into()),
        number: None,
    }
}

/// Refusals that the dimension does not see.
fn refuse_kinds(from: &Unit, to: &Unit) -> Result<(), ConvertFault> {
    let family = |unit: &Unit| unit.kind.map_or(Family::Other, |kind| kind.family());
    match (family(from), family(to)) {
        (Family::Torque, Family::Energy | Family::ApparentEnergy | Family::ReactiveEnergy) => Err(fault(
            Code::TORQUE_IS_NOT_ENERGY,
            format!("{from} is a torque and {to} an energy"),
            "torque times an angle is energy: multiply by the angle in rad or rev",
        )),
        (Family::Energy | Family::ApparentEnergy | Family::ReactiveEnergy, Family::Torque) => Err(fault(
            Code::TORQUE_IS_NOT_ENERGY,
            format!("{from} is an energy and {to} a torque"),
            "energy over an angle is torque: divide by the angle in rad or rev",
        )),
        (Family::TemperaturePoint, Family::TemperatureDifference) => Err(fault(
            Code::POINT_AND_DIFFERENCE,
            format!("{from} is a temperature on a scale and {to} a difference"),
            "subtract another temperature first: T_2 - T_1 is a difference",
        )),
        (Family::TemperatureDifference, Family::TemperaturePoint) => Err(fault(
            Code::POINT_AND_DIFFERENCE,
            format!("{from} is a difference of temperatures and {to} a temperature on a scale"),
            "add the difference to a temperature first",
        )),
        _ => Ok(()),
    }
}

/// What a difference in tags costs, where everything else agrees.
fn tags(from: &Unit, to: &Unit) -> Result<Factor, ConvertFault> {
    let (a, b) = (&from.dimension, &to.dimension);
    if a.without_tags() != b.without_tags() {
        return Err(mismatch(from, to));
    }
    cycles(from, to)?;
    powers(from, to)?;
    angles(from, to)
}

fn mismatch(from: &Unit, to: &Unit) -> ConvertFault {
    let family = |unit: &Unit| unit.kind.map_or(Family::Other, |kind| kind.family());
    if from.dimension.any_currency() == to.dimension.any_currency() {
        return fault(
            Code::CURRENCIES_DO_NOT_CONVERT,
            format!("{from} and {to} are different currencies"),
            "multiply by a rate with its units, such as 0.92 €/$",
        );
    }
    match (family(from), family(to)) {
        (Family::Mass, Family::Force) => fault(
            Code::MASS_IS_NOT_FORCE,
            format!("{from} is a mass and {to} a force"),
            "multiply by g_n for the weight",
        ),
        (Family::Force, Family::Mass) => fault(
            Code::MASS_IS_NOT_FORCE,
            format!("{from} is a force and {to} a mass"),
            "divide by g_n for the mass",
        ),
        _ => fault(
            Code::UNITS_DO_NOT_MATCH,
            format!("{from} ({}) cannot become {to} ({})", from.measures(), to.measures()),
            "check the formula, or the unit after `in`",
        ),
    }
}

/// Cycles are hard: they meet neither turns nor angles, and are never dropped.
fn cycles(from: &Unit, to: &Unit) -> Result<(), ConvertFault> {
    let (a, b) = (&from.dimension, &to.dimension);
    let (mine, theirs) = (a.get(Base::Cycle), b.get(Base::Cycle));
    if mine == theirs {
        return Ok(());
    }
    let (with, without) = if mine.is_zero() { (b, a) } else { (a, b) };
    let rate = Dimension::of(Base::Cycle).div(&Dimension::of(Base::Time));
    if !mine.is_zero() && !theirs.is_zero() {
        return Err(mismatch_of(from, to));
    }
    let is_frequency = Some(*with) == rate;
    if !without.get(Base::Turn).is_zero() {
        let help = if is_frequency && !mine.is_zero() {
            "divide by the poles: f / (4 pole) is a synchronous speed"
        } else if is_frequency {
            "multiply by the poles: n * (4 pole) is a frequency"
        } else {
            "poles or pole pairs lead from one to the other"
        };
        let message = format!("{from} and {to}: cycles of the supply are not turns of a shaft");
        return Err(fault(Code::CYCLE_MEETS_TURN, message, help));
    }
    if !without.get(Base::Radian).is_zero() {
        let help = if mine.is_zero() {
            "divide by 2*pi"
        } else {
            "write 2*pi*f for the electrical angular speed"
        };
        return Err(fault(
            Code::CYCLE_MEETS_ANGLE,
            format!("{from} and {to}: a cycle is not an angle"),
            help,
        ));
    }
    let help = if mine.is_zero() {
        "write the unit with cycles (Hz) where the value is typed"
    } else {
        "divide by a unit with cycles (1 Hz, 1 pole) if only the number is wanted"
    };
    Err(fault(
        Code::CYCLE_DROPPED,
        format!("{from} counts cycles and {to} does not"),
        help,
    ))
}

fn mismatch_of(from: &Unit, to: &Unit) -> ConvertFault {
    fault(
        Code::UNITS_DO_NOT_MATCH,
        format!("{from} ({}) cannot become {to} ({})", from.measures(), to.measures()),
        "check the formula, or the unit after `in`",
    )
}

/// Watt is soft against what has no kind of power; volt-ampere and var only meet themselves. Power factor is the one ratio that
/// is also a plain number.
fn powers(from: &Unit, to: &Unit) -> Result<(), ConvertFault> {
    let tags = [Base::Active, Base::Apparent, Base::Reactive];
    let of = |unit: &Unit| tags.map(|tag| unit.dimension.get(tag));
    let (mine, theirs) = (of(from), of(to));
    let none = [Exponent::ZERO; 3];
    let one = Exponent::ONE;
    let factor = [one, one.neg(), Exponent::ZERO];
    let hard = |powers: [Exponent; 3]| {
        powers.map(|power| !power.is_zero()) != [!powers_active(powers).is_zero(), false, false]
    };
    let allowed = mine == theirs
        || (!hard(mine) && !hard(theirs))
        || (mine == none && theirs != factor && only_one_power(theirs))
        || (mine == factor && theirs == none)
        || (mine == none && theirs == factor);
    if allowed {
        return Ok(());
    }
    let named = |powers: [Exponent; 3]| {
        let names = ["active", "apparent", "reactive"];
        let parts: Vec<&str> = powers
            .iter()
            .zip(names)
            .filter(|(power, _)| !power.is_zero())
            .map(|(_, name)| name)
            .collect();
        if parts.is_empty() {
            "no kind of power".to_owned()
        } else {
            format!("{} power", parts.join(" and "))
        }
    };
    let help = match (mine, theirs) {
        ([_, apparent, _], [active, ..]) if !apparent.is_zero() && !active.is_zero() => "multiply by the power factor",
        ([active, ..], [_, apparent, _]) if !active.is_zero() && !apparent.is_zero() => "divide by the power factor",
        _ => "they meet in S² = P² + Q² only",
    };
    let message = format!("{from} is of {} and {to} of {}", named(mine), named(theirs));
    Err(fault(Code::POWER_KINDS_DIFFER, message, help))
}

fn powers_active([active, ..]: [Exponent; 3]) -> Exponent {
    active
}

fn only_one_power(powers: [Exponent; 3]) -> bool {
    powers.iter().filter(|power| !power.is_zero()).count() == 1
}

/// rev and rad convert at 2π; rad comes and goes at factor one, except that a plain rate never becomes a speed; rev goes only
/// where mass takes part.
fn angles(from: &Unit, to: &Unit) -> Result<Factor, ConvertFault> {
    let (a, b) = (&from.dimension, &to.dimension);
    let (turns_from, turns_to) = (a.get(Base::Turn), b.get(Base::Turn));
    let (rad_from, rad_to) = (a.get(Base::Radian), b.get(Base::Radian));
    let turns = turns_from.add(turns_to.neg());
    let rads = rad_from.add(rad_to.neg());
    let (Some(turns), Some(rads)) = (turns, rads) else {
        return Err(mismatch_of(from, to));
    };
    let two_pi = Factor::new(2, 1, Exponent::ONE).and_then(|two_pi| two_pi.pow(turns));
    let Some(factor) = two_pi else {
        return Err(mismatch_of(from, to));
    };
    if turns.add(rads).is_some_and(Exponent::is_zero) {
        return Ok(factor);
    }
    let mass = !a.get(Base::Mass).is_zero();
    if !turns.is_zero() && !mass {
        let pure_from = turns_from.is_zero() && rad_from.is_zero();
        if pure_from && only_times(a) && !a.without_tags().is_none() {
            return Err(rate_is_no_speed(from, to));
        }
        let help = if pure_from {
            "write the value with its turns: rev, r/min, mm/rev"
        } else {
            "divide by 1 rev if a number of turns is wanted, or write the other unit with rev"
        };
        let (with, without) = if turns_from.is_zero() { (to, from) } else { (from, to) };
        return Err(fault(
            Code::TURN_DROPPED,
            format!("{with} counts turns and {without} does not"),
            help,
        ));
    }
    if turns.is_zero() && rad_from.is_zero() && only_times(a) && !a.without_tags().is_none() {
        return Err(rate_is_no_speed(from, to));
    }
    Ok(factor)
}

fn rate_is_no_speed(from: &Unit, to: &Unit) -> ConvertFault {
    fault(
        Code::RATE_IS_NO_SPEED,
        format!("{from} is a plain rate and {to} a speed"),
        "say what is counted: write r/min, rad/s or Hz where the value is typed, or multiply by 2*pi or 1 rev",
    )
}

fn only_times(dimension: &Dimension) -> bool {
    dimension.without_tags().without(Base::Time).is_none()
}

/// The decimal a factor stands for, where it has an end: for messages such as "1 hp is 745.69987158227022 W".
pub fn finite(factor: &Factor) -> Option<Decimal> {
    let ratio = factor.ratio();
    if factor.root() != 1 || !factor.pi().is_zero() {
        return None;
    }
    decimal::rounded(&ratio)
        .ok()
        .filter(|value| decimal::fraction(*value) == ratio)
}
