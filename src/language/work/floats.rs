//! A curve as steps on plain floats, for physics that asks it hundreds of times.
//!
//! Always: the same value as that of the evaluator of one item, to the digits of a float. What does not depend on the place asked is worked
//! once, by that evaluator. Where a step is none of these, or the value is not finite, the evaluator of one item is asked instead, and says why.

use std::sync::Arc;

use super::one::One;
use super::points::{self, Monotone};
use super::steps::holds;
use super::visit::each_part;
use crate::language::check::Op;
use crate::language::functions::{Body, Given};
use crate::language::syntax::Comparison;
use crate::machine::Stopped;
use crate::quantity::Number;

type Physics = fn(&mut Given<'_>) -> Result<f64, Stopped>;

/// A step that gives a float.
enum Step {
    Constant(f64),
    /// The place asked.
    Place,
    /// A value bound by a `Let` further out, counted from the outermost.
    Bound(usize),
    Let(Box<Step>, Box<Step>),
    Sum(Vec<(bool, Step)>),
    Product(Vec<(bool, Step)>),
    Whole(Box<Step>, i32),
    Power(Box<Step>, Box<Step>),
    Function(fn(f64) -> f64, Box<Step>),
    Extreme(fn(f64, f64) -> f64, Vec<Step>),
    Physics(Physics, Vec<Step>),
    Choice(Vec<(Test, Step)>, Option<Box<Step>>),
    Points(Arc<Monotone>, Box<Step>),
}

/// A condition.
enum Test {
    Compare(Step, Vec<(Comparison, Step)>),
    All(Vec<Test>),
    One(Vec<Test>),
    Not(Box<Test>),
}

/// A curve in floats.
pub(super) struct Floats {
    step: Step,
    bound: Vec<f64>,
}

impl Floats {
    /// The curve, where all its steps are among these.
    pub fn new<'a>(one: &mut One<'a>, local: usize, value: &'a Op) -> Option<Floats> {
        let mut made = Maker {
            one,
            place: local,
            bound: Vec::new(),
        };
        let step = made.step(value)?;
        Some(Floats {
            step,
            bound: Vec::new(),
        })
    }

    /// The value at a place; not finite where the evaluator of one item has to be asked.
    pub fn at(&mut self, place: f64) -> f64 {
        self.bound.clear();
        self.step.value(place, &mut self.bound)
    }
}

struct Maker<'m, 'a> {
    one: &'m mut One<'a>,
    place: usize,
    /// Slots of the evaluator that are bound here, and where.
    bound: Vec<usize>,
}

impl<'a> Maker<'_, 'a> {
    fn depends(&self, op: &Op) -> bool {
        match op {
            Op::Local(local) => *local == self.place || self.bound.contains(local),
            other => {
                let mut depends = false;
                each_part(other, &mut |part| depends = depends || self.depends(part));
                depends
            }
        }
    }

    fn each(&mut self, parts: &'a [Op]) -> Option<Vec<Step>> {
        parts.iter().map(|part| self.step(part)).collect()
    }

    fn signed(&mut self, parts: &'a [(bool, Op)]) -> Option<Vec<(bool, Step)>> {
        parts
            .iter()
            .map(|(sign, part)| Some((*sign, self.step(part)?)))
            .collect()
    }

    fn step(&mut self, op: &'a Op) -> Option<Step> {
        if !self.depends(op) {
            return self.one.float(op).ok().map(Step::Constant);
        }
        Some(match op {
            Op::Local(local) if *local == self.place => Step::Place,
            Op::Local(local) => Step::Bound(self.bound.iter().rposition(|bound| bound == local)?),
            Op::Let { local, value, body } => {
                if !self.depends(value) {
                    // Worked once, and read by what is worked once in the body.
                    let value = self.one.eval(value);
                    self.one.bind(*local, value);
                    return self.step(body);
                }
                let value = self.step(value)?;
                self.bound.push(*local);
                let body = self.step(body);
                self.bound.pop();
                Step::Let(Box::new(value), Box::new(body?))
            }
            Op::Sum(parts) => Step::Sum(self.signed(parts)?),
            Op::Product(parts) => Step::Product(self.signed(parts)?),
            Op::Power(base, exponent) => {
                let base = Box::new(self.step(base)?);
                match exponent.den() {
                    1 => Step::Whole(base, i32::from(exponent.num())),
                    den => {
                        let power = f64::from(exponent.num()) / f64::from(den);
                        Step::Power(base, Box::new(Step::Constant(power)))
                    }
                }
            }
            Op::PowerOf(base, exponent) => Step::Power(Box::new(self.step(base)?), Box::new(self.step(exponent)?)),
            Op::Negative(part) => Step::Sum(vec![(true, self.step(part)?)]),
            Op::Scale(part, scale) if scale.before.is_none() && scale.after.is_none() => {
                let factor = Step::Constant(scale.factor.to_f64());
                Step::Product(vec![(false, self.step(part)?), (false, factor)])
            }
            Op::Call(function, parts) => match function.body {
                Body::Physics(code) => Step::Physics(code, self.each(parts)?),
                Body::Special if function.name == "assuming" => return self.step(parts.first()?),
                Body::Code(_) => {
                    let mut steps = self.each(parts)?;
                    let one: fn(f64) -> f64 = match function.name {
                        "smallest" => return Some(Step::Extreme(f64::min, steps)),
                        "largest" => return Some(Step::Extreme(f64::max, steps)),
                        "sqrt" => f64::sqrt,
                        "abs" => f64::abs,
                        "exp" => f64::exp,
                        "ln" => f64::ln,
                        "sin" => f64::sin,
                        "cos" => f64::cos,
                        _ => return None,
                    };
                    Step::Function(one, Box::new(steps.pop()?))
                }
                _ => return None,
            },
            Op::Choice { arms, otherwise } => {
                let mut steps = Vec::with_capacity(arms.len());
                for (condition, value) in arms {
                    steps.push((self.test(condition)?, self.step(value)?));
                }
                let otherwise = match otherwise {
                    Some(value) => Some(Box::new(self.step(value)?)),
                    None => None,
                };
                Step::Choice(steps, otherwise)
            }
            Op::Points(curve, argument) => {
                if curve.points.iter().any(|(x, y)| self.depends(x) || self.depends(y)) {
                    return None;
                }
                let made = points::make(self.one, curve).ok()?;
                Step::Points(made, Box::new(self.step(argument)?))
            }
            _ => return None,
        })
    }

    fn test(&mut self, op: &'a Op) -> Option<Test> {
        Some(match op {
            Op::Compare(first, rest) => {
                let first = self.step(first)?;
                let rest: Option<Vec<(Comparison, Step)>> =
                    rest.iter().map(|(how, part)| Some((*how, self.step(part)?))).collect();
                Test::Compare(first, rest?)
            }
            Op::And(parts) => Test::All(parts.iter().map(|part| self.test(part)).collect::<Option<_>>()?),
            Op::Or(parts) => Test::One(parts.iter().map(|part| self.test(part)).collect::<Option<_>>()?),
            Op::Not(part) => Test::Not(Box::new(self.test(part)?)),
            _ => return None,
        })
    }
}

impl Step {
    fn value(&self, place: f64, bound: &mut Vec<f64>) -> f64 {
        match self {
            Step::Constant(value) => *value,
            Step::Place => place,
            Step::Bound(at) => bound.get(*at).copied().unwrap_or(f64::NAN),
            Step::Let(value, body) => {
                let value = value.value(place, bound);
                bound.push(value);
                let out = body.value(place, bound);
                bound.pop();
                out
            }
            Step::Sum(parts) => parts.iter().fold(0.0, |sum, (minus, part)| {
                let part = part.value(place, bound);
                if *minus { sum - part } else { sum + part }
            }),
            Step::Product(parts) => parts.iter().fold(1.0, |product, (over, part)| {
                let part = part.value(place, bound);
                if *over { product / part } else { product * part }
            }),
            Step::Whole(base, power) => base.value(place, bound).powi(*power),
            Step::Power(base, power) => base.value(place, bound).powf(power.value(place, bound)),
            Step::Function(function, part) => function(part.value(place, bound)),
            Step::Extreme(which, parts) => {
                let mut out = f64::NAN;
                for part in parts {
                    let value = part.value(place, bound);
                    if value.is_nan() {
                        return value;
                    }
                    out = which(out, value);
                }
                out
            }
            Step::Physics(code, parts) => {
                let mut few = [0.0; 12];
                let mut many = Vec::new();
                let numbers: &[f64] = if parts.len() <= few.len() {
                    for (slot, part) in few.iter_mut().zip(parts) {
                        *slot = part.value(place, bound);
                    }
                    few.get(..parts.len()).unwrap_or(&[])
                } else {
                    many.extend(parts.iter().map(|part| part.value(place, bound)));
                    &many
                };
                if numbers.iter().any(|number| !number.is_finite()) {
                    return f64::NAN;
                }
                let mut ask = |at: usize, _| numbers.get(at).copied().ok_or(Stopped::Curve);
                code(&mut Given::new(numbers, &mut ask)).unwrap_or(f64::NAN)
            }
            Step::Choice(arms, otherwise) => {
                for (test, value) in arms {
                    match test.holds(place, bound) {
                        Some(true) => return value.value(place, bound),
                        Some(false) => {}
                        None => return f64::NAN,
                    }
                }
                otherwise.as_ref().map_or(f64::NAN, |value| value.value(place, bound))
            }
            Step::Points(curve, argument) => curve.at(argument.value(place, bound)).unwrap_or(f64::NAN),
        }
    }
}

impl Test {
    fn holds(&self, place: f64, bound: &mut Vec<f64>) -> Option<bool> {
        match self {
            Test::Compare(first, rest) => {
                let mut left = first.value(place, bound);
                for (how, right) in rest {
                    let right = right.value(place, bound);
                    if !(left.is_finite() && right.is_finite()) {
                        return None;
                    }
                    if !holds(*how, Number::Float(left).compare(Number::Float(right))) {
                        return Some(false);
                    }
                    left = right;
                }
                Some(true)
            }
            Test::All(parts) => all(parts, false, place, bound),
            Test::One(parts) => all(parts, true, place, bound),
            Test::Not(part) => part.holds(place, bound).map(|holds| !holds),
        }
    }
}

/// `or` where a yes decides, `and` where a no does.
fn all(parts: &[Test], decides: bool, place: f64, bound: &mut Vec<f64>) -> Option<bool> {
    for part in parts {
        if part.holds(place, bound)? == decides {
            return Some(decides);
        }
    }
    Some(!decides)
}
