//! Motor physics with worked arguments: numbers as floats, curves asked as often as it takes.
//!
//! Always: a curve that gives a blank or a fault ends the work with that blank or fault; what physics says in words becomes a
//! fault of the cell.

use super::Outcome;
use super::floats::Floats;
use super::one::One;
use super::steps::{float, heavier, mismatch, settled};
use crate::fault::Code;
use crate::language::check::Op;
use crate::language::functions::Given;
use crate::machine::Stopped;
use crate::quantity::Number;

/// Works a function of physics.
pub(super) fn physics<'a>(
    one: &mut One<'a>,
    code: fn(&mut Given<'_>) -> Result<f64, Stopped>,
    arguments: &'a [Op],
) -> Outcome {
    let taken = one.taken.take();
    let mut numbers = Vec::with_capacity(arguments.len());
    let mut curves = Vec::with_capacity(arguments.len());
    let mut hole: Option<Outcome> = None;
    for argument in arguments {
        if let Op::Along { local, value } = argument {
            numbers.push(f64::NAN);
            let floats = Floats::new(one, *local, value);
            curves.push(Some((*local, &**value, floats)));
            continue;
        }
        curves.push(None);
        match one.float(argument) {
            Ok(number) => numbers.push(number),
            Err(other) => {
                hole = Some(match hole {
                    None => other,
                    Some(hole) => heavier(hole, other),
                });
            }
        }
    }
    if let Some(hole) = hole {
        one.taken = taken;
        return hole;
    }
    let mut stopped: Option<Outcome> = None;
    let mut ask = |at: usize, x: f64| match curves.get_mut(at) {
        Some(Some((local, value, floats))) => {
            if let Some(floats) = floats {
                let value = floats.at(x);
                if value.is_finite() {
                    return Ok(value);
                }
            }
            one.bind(*local, Outcome::number(Number::Float(x)));
            one.float(value).map_err(|outcome| {
                stopped = Some(outcome);
                Stopped::Curve
            })
        }
        _ => numbers.get(at).copied().ok_or(Stopped::Curve),
    };
    let worked = code(&mut Given::new(&numbers, &mut ask));
    // A curve is asked often, and says the same each time.
    one.taken = taken;
    let mut seen = std::collections::HashSet::new();
    one.notes.retain(|note| seen.insert(note.clone()));
    match worked {
        Ok(value) => settled(float(value)),
        Err(Stopped::Nothing(why)) => Outcome::blank(why),
        Err(Stopped::Curve) => stopped.unwrap_or_else(mismatch),
        Err(Stopped::Said { stall, what, help }) => {
            let code = if stall { Code::STALLS } else { Code::NO_SUCH_MACHINE };
            Outcome::fault(code, what, Some(&help))
        }
    }
}
