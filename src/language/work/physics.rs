//! Motor physics with worked arguments: numbers as floats, curves asked as often as it takes.
//!
//! Always: a curve that gives a blank or a fault ends the work with that blank or fault; what physics says in words becomes a
//! fault of the cell.

use super::Outcome;
use super::corners::{Way, corners};
use super::floats::Floats;
use super::one::One;
use super::steps::{float, heavier, mismatch, settled};
use crate::fault::Code;
use crate::language::check::Op;
use crate::language::functions::{Curves, Given};
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
            curves.push(Some(Along {
                local: *local,
                value,
                floats,
            }));
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
    let held = std::mem::take(&mut one.way);
    let mut asked = Asked {
        one,
        numbers: &numbers,
        curves,
        stopped: None,
    };
    let mut given = Given::new(&numbers, &mut asked);
    let worked = code(&mut given);
    let went = given.went();
    let stopped = asked.stopped;
    let way = std::mem::replace(&mut one.way, held);
    one.way.joins(way);
    if let Some(went) = went {
        one.way.goes(went);
    }
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

/// A curve among the arguments: its variable, its formula, and the same in floats where they can.
struct Along<'a> {
    local: usize,
    value: &'a Op,
    floats: Option<Floats>,
}

/// The arguments of a call, for physics to ask.
struct Asked<'o, 'a> {
    one: &'o mut One<'a>,
    numbers: &'o [f64],
    curves: Vec<Option<Along<'a>>>,
    /// What a curve gave in place of a value.
    stopped: Option<Outcome>,
}

impl Curves for Asked<'_, '_> {
    fn at(&mut self, which: usize, place: f64) -> Result<f64, Stopped> {
        let Some(Some(curve)) = self.curves.get_mut(which) else {
            return self.numbers.get(which).copied().ok_or(Stopped::Curve);
        };
        if let Some(floats) = &mut curve.floats {
            let value = floats.at(place);
            if value.is_finite() {
                self.one.way.joins(floats.way());
                return Ok(value);
            }
        }
        self.one.bind(curve.local, Outcome::number(Number::Float(place)));
        self.one.float(curve.value).map_err(|outcome| {
            self.stopped = Some(outcome);
            Stopped::Curve
        })
    }

    fn corners(&mut self, which: usize, from: f64, to: f64) -> Vec<f64> {
        if !matches!(self.curves.get(which), Some(Some(_))) {
            return Vec::new();
        }
        let stopped = self.stopped.take();
        let mut way = |place: f64| {
            self.one.way = Way::default();
            // Where there is no value, its way is none, and whoever asks for the value hears why.
            let _ = self.at(which, place);
            self.one.way
        };
        let found = corners(&mut way, from, to);
        self.stopped = stopped;
        found
    }
}
