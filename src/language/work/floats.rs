//! A curve as steps on plain floats, for physics that asks it hundreds of times.
//!
//! Always: the same value as that of the evaluator of one item, to the digits of a float. What does not depend on the place asked is worked
//! once, by that evaluator. Where a step is none of these, or the value is not finite, the evaluator of one item is asked instead, and says why.
//! Which way a value went (arms of a choice, pieces between points) is kept, so that the corners of a curve can be found.

use std::sync::Arc;

use super::corners::Way;
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
    Physics(Physics, Vec<Argument>),
    Choice(Vec<(Test, Step)>, Option<Box<Step>>),
    Points(Arc<Monotone>, Box<Step>),
}

/// An argument of physics.
enum Argument {
    Number(Step),
    /// A curve over a place of its own.
    Curve(Step),
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
    held: Held,
}

/// What is held while a value is worked.
#[derive(Default)]
struct Held {
    bound: Vec<f64>,
    way: Way,
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
            held: Held::default(),
        })
    }

    /// The value at a place; not finite where the evaluator of one item has to be asked.
    pub fn at(&mut self, place: f64) -> f64 {
        self.held.bound.clear();
        self.held.way = Way::default();
        self.step.value(place, &mut self.held)
    }

    /// Which way the last value went.
    pub fn way(&self) -> Way {
        self.held.way
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
                Body::Physics(code) => {
                    let arguments: Option<Vec<Argument>> = parts.iter().map(|part| self.argument(part)).collect();
                    Step::Physics(code, arguments?)
                }
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
                    if self.depends(condition) {
                        let value = self.step_or_hole(value);
                        steps.push((self.test(condition)?, value));
                        continue;
                    }
                    // What is the same at every place is asked once.
                    match self.one.eval(condition).as_truth()? {
                        false => {}
                        true if steps.is_empty() => return self.step(value),
                        true => return Some(Step::Choice(steps, Some(Box::new(self.step_or_hole(value))))),
                    }
                }
                let Some(otherwise) = otherwise.as_deref() else {
                    return (!steps.is_empty()).then_some(Step::Choice(steps, None));
                };
                if steps.is_empty() {
                    return self.step(otherwise);
                }
                Step::Choice(steps, Some(Box::new(self.step_or_hole(otherwise))))
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

    /// A step, or a hole where it is none of these: what is refused is refused by the evaluator of one item.
    fn step_or_hole(&mut self, op: &'a Op) -> Step {
        self.step(op).unwrap_or(Step::Constant(f64::NAN))
    }

    fn argument(&mut self, op: &'a Op) -> Option<Argument> {
        let Op::Along { local, value } = op else {
            return Some(Argument::Number(self.step(op)?));
        };
        if self.depends(value) {
            return None;
        }
        let (place, bound) = (
            std::mem::replace(&mut self.place, *local),
            std::mem::take(&mut self.bound),
        );
        let step = self.step(value);
        (self.place, self.bound) = (place, bound);
        Some(Argument::Curve(step?))
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
    fn value(&self, place: f64, held: &mut Held) -> f64 {
        match self {
            Step::Constant(value) => *value,
            Step::Place => place,
            Step::Bound(at) => held.bound.get(*at).copied().unwrap_or(f64::NAN),
            Step::Let(value, body) => {
                let value = value.value(place, held);
                held.bound.push(value);
                let out = body.value(place, held);
                held.bound.pop();
                out
            }
            Step::Sum(parts) => parts.iter().fold(0.0, |sum, (minus, part)| {
                let part = part.value(place, held);
                if *minus { sum - part } else { sum + part }
            }),
            Step::Product(parts) => parts.iter().fold(1.0, |product, (over, part)| {
                let part = part.value(place, held);
                if *over { product / part } else { product * part }
            }),
            Step::Whole(base, power) => base.value(place, held).powi(*power),
            Step::Power(base, power) => base.value(place, held).powf(power.value(place, held)),
            Step::Function(function, part) => function(part.value(place, held)),
            Step::Extreme(which, parts) => {
                let (mut out, mut taken) = (f64::NAN, 0);
                for (index, part) in parts.iter().enumerate() {
                    let value = part.value(place, held);
                    if value.is_nan() {
                        return value;
                    }
                    let next = which(out, value);
                    // The first of equal ones stays.
                    if out.is_nan() || next != out {
                        taken = index;
                    }
                    out = next;
                }
                held.way.goes(taken);
                out
            }
            Step::Physics(code, parts) => physics(*code, parts, place, held),
            Step::Choice(arms, otherwise) => {
                for (test, value) in arms {
                    match test.holds(place, held) {
                        Some(true) => return value.value(place, held),
                        Some(false) => {}
                        None => return f64::NAN,
                    }
                }
                otherwise.as_ref().map_or(f64::NAN, |value| value.value(place, held))
            }
            Step::Points(curve, argument) => match curve.with_piece(argument.value(place, held)) {
                Some((value, piece)) => {
                    held.way.goes(piece);
                    value
                }
                None => f64::NAN,
            },
        }
    }
}

/// Physics with arguments worked at a place.
fn physics(code: Physics, parts: &[Argument], place: f64, held: &mut Held) -> f64 {
    let number = |part: &Argument, held: &mut Held| match part {
        Argument::Number(step) => step.value(place, held),
        // Where a curve stands, there is no number.
        Argument::Curve(_) => 0.0,
    };
    let mut few = [0.0; 12];
    let mut many = Vec::new();
    let numbers: &[f64] = if parts.len() <= few.len() {
        for (slot, part) in few.iter_mut().zip(parts) {
            *slot = number(part, held);
        }
        few.get(..parts.len()).unwrap_or(&[])
    } else {
        many.extend(parts.iter().map(|part| number(part, held)));
        &many
    };
    if numbers.iter().any(|number| !number.is_finite()) {
        return f64::NAN;
    }
    let mut inner = Held::default();
    let mut ask = |at: usize, place: f64| match parts.get(at) {
        Some(Argument::Curve(step)) => {
            inner.bound.clear();
            match step.value(place, &mut inner) {
                value if value.is_finite() => Ok(value),
                _ => Err(Stopped::Curve),
            }
        }
        _ => numbers.get(at).copied().ok_or(Stopped::Curve),
    };
    let mut given = Given::new(numbers, &mut ask);
    let value = code(&mut given).unwrap_or(f64::NAN);
    if let Some(way) = given.went() {
        held.way.goes(way);
    }
    held.way.joins(inner.way);
    value
}

impl Test {
    fn holds(&self, place: f64, held: &mut Held) -> Option<bool> {
        match self {
            Test::Compare(first, rest) => {
                let mut left = first.value(place, held);
                for (how, right) in rest {
                    let right = right.value(place, held);
                    if !(left.is_finite() && right.is_finite()) {
                        return None;
                    }
                    let truth = holds(*how, Number::Float(left).compare(Number::Float(right)));
                    held.way.goes(usize::from(truth));
                    if !truth {
                        return Some(false);
                    }
                    left = right;
                }
                Some(true)
            }
            Test::All(parts) => all(parts, false, place, held),
            Test::One(parts) => all(parts, true, place, held),
            Test::Not(part) => part.holds(place, held).map(|holds| !holds),
        }
    }
}

/// `or` where a yes decides, `and` where a no does.
fn all(parts: &[Test], decides: bool, place: f64, held: &mut Held) -> Option<bool> {
    for part in parts {
        if part.holds(place, held)? == decides {
            return Some(decides);
        }
    }
    Some(!decides)
}
