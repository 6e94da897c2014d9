//! A formula at many points at once: each source of doubt at a place between its limits, the same one wherever it is used.
//!
//! For: bands of results that rest on tolerances.
//! Always: worked in floats, all points of a step before the next one. What goes another way from point to point, a choice, a
//! root, a curve, is worked point by point through the evaluator of one item.
//! Not known here: which points are needed.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::block::Program;
use super::one::{One, Shared};
use super::steps::{Step, Turn, binary, mismatch, number_fault, unary};
use super::visit::each_part;
use super::{Outcome, Value};
use crate::language::check::{Op, QuantityId, Scale, Toleranced, Which};
use crate::language::functions::Body;
use crate::quantity::{Number, NumberFault};

/// Where every source of doubt stands at each point: −1 at its lower limit, 0 at its value, +1 at its upper limit.
#[derive(Debug)]
pub enum Points {
    /// Places of some sources; all others stand at their values.
    Set(usize, HashMap<u64, Arc<[f64]>>),
    /// So many places by chance, the same for a source wherever it is asked for. Every second place is a limit.
    Draws(usize),
}

impl Points {
    /// How many points there are.
    pub fn count(&self) -> usize {
        match self {
            Points::Set(count, _) | Points::Draws(count) => *count,
        }
    }

    /// The places of a source; `None`: always at its value.
    fn places(&self, source: u64) -> Option<Arc<[f64]>> {
        match self {
            Points::Set(_, places) => places.get(&source).cloned(),
            Points::Draws(count) => Some(draws(source, *count)),
        }
    }
}

/// Points that one thread works in a row; what a point gives does not depend on who works it.
const SHARED: usize = 128;

/// Places by chance, from a fixed seed.
pub fn draws(source: u64, count: usize) -> Arc<[f64]> {
    let mut state = SEED ^ mixed(source.wrapping_add(1));
    (0..count)
        .map(|_| {
            state = state.wrapping_add(STEP);
            let bits = mixed(state);
            // 53 bits for a place from −1 to 1; of two further ones, the upper says whether it is a limit, the lower which.
            // Chosen by bits and not by a branch, which would be guessed wrong half the time.
            let place = (bits >> 11) as f64 * PLACE - 1.0;
            let limit = 1.0_f64.to_bits() | (!bits & 1) << 63;
            let inside = 0_u64.wrapping_sub(bits >> 1 & 1);
            f64::from_bits(place.to_bits() & inside | limit & !inside)
        })
        .collect()
}

/// Two over 2^53.
const PLACE: f64 = 1.0 / (1_u64 << 52) as f64;
const SEED: u64 = 0x5EED_0F70_1E9A_7E55;
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

/// One step of the generator SplitMix64 (Steele, Lea, Flood: "Fast splittable pseudorandom number generators", 2014).
fn mixed(state: u64) -> u64 {
    let mut bits = state;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

/// What a step gives at the points.
#[derive(Clone, Debug)]
pub enum Samples {
    /// The same at all of them.
    Same(Outcome),
    /// A number at each.
    Real(Arc<[f64]>),
    /// Anything at each.
    Mixed(Arc<[Outcome]>),
}

impl Samples {
    /// What it gives at a point.
    pub fn at(&self, point: usize) -> Outcome {
        match self {
            Samples::Same(outcome) => outcome.clone(),
            Samples::Real(numbers) => match numbers.get(point).copied().map(Number::from_f64) {
                Some(Ok(number)) => Outcome::number(number),
                Some(Err(fault)) => super::steps::number_fault(fault),
                None => mismatch(),
            },
            Samples::Mixed(outcomes) => outcomes.get(point).cloned().unwrap_or_else(mismatch),
        }
    }

    fn of(outcomes: Vec<Outcome>) -> Samples {
        let numbers: Option<Vec<f64>> = outcomes
            .iter()
            .map(|outcome| outcome.as_number().map(Number::to_f64))
            .collect();
        match numbers {
            Some(numbers) => Samples::Real(numbers.into()),
            None => Samples::Mixed(outcomes.into()),
        }
    }
}

/// Asks for cells at the points; from several threads at once.
pub trait Asked: Sync {
    /// A cell that rests on a source of doubt; `None`: its one value is good for all points.
    fn samples(&self, quantity: QuantityId, item: usize) -> Option<Samples>;
}

/// The point at which one item is worked.
#[derive(Clone, Copy)]
pub(super) struct At<'a> {
    pub asked: &'a dyn Asked,
    pub points: &'a Points,
    pub origin: u64,
    pub point: usize,
}

/// The source that a tolerance of a formula is; `origin` tells the formula.
pub fn source(origin: u64, index: usize) -> u64 {
    origin.wrapping_add(index as u64)
}

impl<'p> Program<'p> {
    /// The formula for one item at all points. `origin` tells it from all others.
    pub fn over(&self, item: usize, origin: u64, points: &Points, asked: &dyn Asked) -> Samples {
        self.part_over(self.op(), item, origin, points, asked)
    }

    /// A part of the formula at all points.
    pub fn part_over(&self, op: &'p Op, item: usize, origin: u64, points: &Points, asked: &dyn Asked) -> Samples {
        let shared = Shared::default();
        let mut over = Over {
            one: self.one(&shared, item),
            locals: Vec::new(),
            asked,
            points,
            origin,
        };
        over.eval(op)
    }
}

/// What stands below the line. Where it goes from one side of zero to the other the quotient has no limits, whatever it is at
/// the points.
fn divisor(part: Samples) -> Samples {
    match &part {
        Samples::Real(numbers) if numbers.iter().any(|x| *x < 0.0) && numbers.iter().any(|x| *x > 0.0) => {
            Samples::Same(number_fault(NumberFault::DivisionByZero))
        }
        _ => part,
    }
}

struct Over<'a> {
    one: One<'a>,
    locals: Vec<(usize, Samples)>,
    asked: &'a dyn Asked,
    points: &'a Points,
    origin: u64,
}

impl<'a> Over<'a> {
    fn eval(&mut self, op: &'a Op) -> Samples {
        match op {
            Op::Number(number) => Samples::Same(Outcome::number(*number)),
            Op::Toleranced(part) => self.toleranced(part),
            Op::Read(index) => self.read(*index),
            Op::Local(local) => match self.locals.iter().rev().find(|(slot, _)| slot == local) {
                Some((_, samples)) => samples.clone(),
                None => Samples::Same(self.one.eval(op)),
            },
            Op::Let { local, value, body } => {
                let value = self.eval(value);
                self.locals.push((*local, value));
                let samples = self.eval(body);
                self.locals.pop();
                samples
            }
            Op::Sum(parts) => self.fold(parts, Step::Add, Step::Sub, Turn::Negative),
            Op::Product(parts) => self.fold(parts, Step::Mul, Step::Div, Turn::Inverse),
            Op::Power(base, exponent) => {
                let mut base = self.eval(base);
                if exponent.num() < 0 {
                    base = divisor(base);
                }
                let whole = i32::from(exponent.num());
                let power = exponent.to_f64();
                let turn = Turn::Power(*exponent);
                match (exponent.den(), exponent.num()) {
                    (1, 2) => self.turned(base, turn, |x| x * x),
                    (1, _) => self.turned(base, turn, |x| x.powi(whole)),
                    (2, 1) => self.turned(base, turn, f64::sqrt),
                    _ => self.turned(base, turn, |x| x.powf(power)),
                }
            }
            Op::Negative(part) => {
                let part = self.eval(part);
                self.turned(part, Turn::Negative, |x| -x)
            }
            Op::Scale(part, scale) => {
                let part = self.eval(part);
                let (factor, before, after) = plainly(scale);
                self.turned(part, Turn::Scale(scale), |x| (x + before) * factor - after)
            }
            // A remark makes no difference to the value.
            Op::Call(function, arguments) if function.name == "assuming" => match arguments.first() {
                Some(value) => self.eval(value),
                None => Samples::Same(mismatch()),
            },
            Op::Call(function, arguments) if matches!(function.body, Body::Code(_)) => {
                let Body::Code(code) = function.body else {
                    return Samples::Same(mismatch());
                };
                let arguments: Vec<Samples> = arguments.iter().map(|argument| self.eval(argument)).collect();
                self.called(op, code, &arguments)
            }
            _ => self.point_by_point(op),
        }
    }

    fn toleranced(&mut self, part: &'a Toleranced) -> Samples {
        let nominal = part.nominal.to_f64();
        let Some(places) = self.points.places(source(self.origin, part.index)) else {
            return Samples::Same(Outcome::number(part.nominal));
        };
        let (low, high) = (self.eval(&part.low), self.eval(&part.high));
        let limit = |samples: &Samples, point: usize| samples.at(point).as_number().map(Number::to_f64);
        if let (Samples::Same(low), Samples::Same(high)) = (&low, &high) {
            return match (low.as_number(), high.as_number()) {
                (Some(low), Some(high)) => {
                    let (low, high) = ordered(nominal, low.to_f64(), high.to_f64());
                    Samples::Real(places.iter().map(|place| between(nominal, low, high, *place)).collect())
                }
                (None, _) => Samples::Same(low.clone()),
                (_, None) => Samples::Same(high.clone()),
            };
        }
        let made: Option<Vec<f64>> = places
            .iter()
            .enumerate()
            .map(|(point, place)| {
                let (low, high) = ordered(nominal, limit(&low, point)?, limit(&high, point)?);
                Some(between(nominal, low, high, *place))
            })
            .collect();
        match made {
            Some(made) => Samples::Real(made.into()),
            None => low,
        }
    }

    fn read(&mut self, index: usize) -> Samples {
        let Some(wanted) = self.one.typed.reads.get(index) else {
            return Samples::Same(mismatch());
        };
        match self.one.find(wanted) {
            Ok(item) => match self.asked.samples(wanted.quantity, item) {
                Some(samples) => samples,
                None => Samples::Same(self.one.read(index)),
            },
            Err(outcome) => Samples::Same(outcome),
        }
    }

    fn fold(&mut self, parts: &'a [(bool, Op)], plain: Step, other: Step, first: Turn<'_>) -> Samples {
        let mut so_far: Option<Samples> = None;
        for (inverse, part) in parts {
            let mut part = self.eval(part);
            if *inverse && other == Step::Div {
                part = divisor(part);
            }
            so_far = Some(match so_far {
                None if *inverse && other == Step::Div => self.turned(part, first, |x| 1.0 / x),
                None if *inverse => self.turned(part, first, |x| -x),
                None => part,
                Some(so_far) => self.joined(so_far, part, if *inverse { other } else { plain }),
            });
        }
        so_far.unwrap_or_else(|| Samples::Same(mismatch()))
    }

    fn turned(&self, part: Samples, turn: Turn<'_>, by: impl Fn(f64) -> f64) -> Samples {
        match part {
            Samples::Same(outcome) => Samples::Same(unary(outcome, turn)),
            Samples::Real(numbers) => Samples::Real(numbers.iter().map(|number| by(*number)).collect()),
            Samples::Mixed(outcomes) => {
                Samples::of(outcomes.iter().map(|outcome| unary(outcome.clone(), turn)).collect())
            }
        }
    }

    fn joined(&self, left: Samples, right: Samples, step: Step) -> Samples {
        let number = |samples: &Samples| match samples {
            Samples::Same(outcome) => outcome.as_number().map(Number::to_f64),
            _ => None,
        };
        match (&left, &right) {
            (Samples::Same(a), Samples::Same(b)) => return Samples::Same(binary(a.clone(), b, step)),
            (Samples::Real(a), Samples::Real(b)) => {
                return Samples::Real(each_pair(step, a.iter().copied(), b.iter().copied()));
            }
            (Samples::Real(a), same) => {
                if let Some(b) = number(same) {
                    return Samples::Real(each_pair(step, a.iter().copied(), std::iter::repeat_n(b, a.len())));
                }
            }
            (same, Samples::Real(b)) => {
                if let Some(a) = number(same) {
                    return Samples::Real(each_pair(step, std::iter::repeat_n(a, b.len()), b.iter().copied()));
                }
            }
            _ => {}
        }
        Samples::of(
            (0..self.points.count())
                .map(|point| binary(left.at(point), &right.at(point), step))
                .collect(),
        )
    }

    fn called(
        &mut self,
        op: &'a Op,
        code: fn(&[Number]) -> Result<Number, crate::quantity::NumberFault>,
        arguments: &[Samples],
    ) -> Samples {
        if arguments.iter().all(|argument| matches!(argument, Samples::Same(_))) {
            return Samples::Same(self.with_locals(op, 0));
        }
        let mut made = Vec::with_capacity(self.points.count());
        let mut numbers = Vec::with_capacity(arguments.len());
        for point in 0..self.points.count() {
            numbers.clear();
            for argument in arguments {
                let number = match argument {
                    Samples::Real(values) => values.get(point).map(|value| Number::Float(*value)),
                    other => other.at(point).as_number(),
                };
                let Some(number) = number.filter(|number| number.to_f64().is_finite()) else {
                    return self.point_by_point(op);
                };
                numbers.push(number);
            }
            match code(&numbers) {
                Ok(number) => made.push(number.to_f64()),
                Err(_) => return self.point_by_point(op),
            }
        }
        Samples::Real(made.into())
    }

    /// Whether a step may differ from point to point.
    fn wavers(&self, op: &'a Op) -> bool {
        match op {
            Op::Toleranced(_) | Op::Running(_) | Op::Gather { .. } => true,
            Op::Read(index) => match self.one.typed.reads.get(*index) {
                Some(wanted) if matches!(wanted.which, Which::Running) => true,
                Some(wanted) => match self.one.find(wanted) {
                    Ok(item) => self.asked.samples(wanted.quantity, item).is_some(),
                    Err(_) => false,
                },
                None => false,
            },
            Op::Local(local) => self
                .locals
                .iter()
                .any(|(slot, samples)| slot == local && !matches!(samples, Samples::Same(_))),
            other => {
                let mut any = false;
                each_part(other, &mut |part| any = any || self.wavers(part));
                any
            }
        }
    }

    fn point_by_point(&mut self, op: &'a Op) -> Samples {
        if !self.wavers(op) {
            return Samples::Same(self.with_locals(op, 0));
        }
        // The first point asks for every cell that is read, once for all; the others share the threads.
        let mut outcomes = vec![self.with_locals(op, 0)];
        let rest: Vec<usize> = (1..self.points.count()).collect();
        if rest.len() < SHARED {
            outcomes.extend(rest.into_iter().map(|point| self.with_locals(op, point)));
        } else {
            let (one, locals) = (&self.one, &self.locals);
            let (asked, points, origin) = (self.asked, self.points, self.origin);
            let worked: Vec<Vec<Outcome>> = rest
                .par_chunks(SHARED)
                .map(|some| {
                    let mut over = Over {
                        one: one.again(),
                        locals: locals.clone(),
                        asked,
                        points,
                        origin,
                    };
                    some.iter().map(|point| over.with_locals(op, *point)).collect()
                })
                .collect();
            outcomes.extend(worked.into_iter().flatten());
        }
        Samples::of(outcomes)
    }

    /// A step at one point through the evaluator of one item.
    fn with_locals(&mut self, op: &'a Op, point: usize) -> Outcome {
        for (slot, samples) in &self.locals {
            self.one.bind(*slot, samples.at(point));
        }
        self.one.at = Some(At {
            asked: self.asked,
            points: self.points,
            origin: self.origin,
            point,
        });
        let outcome = self.one.eval(op);
        self.one.at = None;
        self.one.notes.clear();
        outcome
    }
}

impl<'a> One<'a> {
    /// A number with its limits: the number itself, or what stands at the point.
    pub fn toleranced(&mut self, part: &'a Toleranced) -> Outcome {
        let place = self.at.and_then(|at| {
            let places = at.points.places(source(at.origin, part.index))?;
            places.get(at.point).copied()
        });
        let Some(place) = place else {
            if part.published {
                // For what a reader should know of the rows that give the limits.
                drop((self.eval(&part.low), self.eval(&part.high)));
            }
            return Outcome::number(part.nominal);
        };
        match (self.float(&part.low), self.float(&part.high)) {
            (Ok(low), Ok(high)) => {
                let nominal = part.nominal.to_f64();
                let (low, high) = ordered(nominal, low, high);
                Outcome::number(Number::Float(between(nominal, low, high, place)))
            }
            (Err(hole), _) | (_, Err(hole)) => hole,
        }
    }
}

/// Worked limits in their order, the value not beyond them.
fn ordered(nominal: f64, a: f64, b: f64) -> (f64, f64) {
    (a.min(b).min(nominal), a.max(b).max(nominal))
}

fn between(nominal: f64, low: f64, high: f64, place: f64) -> f64 {
    // Without a branch: places come by chance.
    nominal + (place.min(0.0) * (nominal - low) + place.max(0.0) * (high - nominal))
}

/// A step on two numbers at each point.
fn each_pair(step: Step, a: impl Iterator<Item = f64>, b: impl Iterator<Item = f64>) -> Arc<[f64]> {
    let pairs = a.zip(b);
    match step {
        Step::Add => pairs.map(|(a, b)| a + b).collect(),
        Step::Sub => pairs.map(|(a, b)| a - b).collect(),
        Step::Mul => pairs.map(|(a, b)| a * b).collect(),
        Step::Div => pairs.map(|(a, b)| a / b).collect(),
    }
}

/// Factor and offsets of a change of unit as floats.
fn plainly(scale: &Scale) -> (f64, f64, f64) {
    let offset = |offset: Option<rust_decimal::Decimal>| offset.map_or(0.0, |offset| Number::Exact(offset).to_f64());
    let factor = scale
        .factor
        .apply_to(Number::Float(1.0))
        .map_or(f64::NAN, Number::to_f64);
    (factor, offset(scale.before), offset(scale.after))
}

/// The number of an outcome, where it is one and finite.
pub fn finite(outcome: &Outcome) -> Option<f64> {
    match outcome {
        Outcome::Value(Value::Number(number)) => Some(number.to_f64()).filter(|number| number.is_finite()),
        _ => None,
    }
}
