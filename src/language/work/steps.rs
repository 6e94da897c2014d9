//! Single steps on outcomes: arithmetic, comparison, change of unit.
//!
//! Always: a fault outweighs a blank, a blank outweighs a value; the first of its sort stays.

use std::cmp::Ordering;
use std::sync::Arc;

use super::phasors::{of_value, phasor};
use super::{Outcome, Value, WorkFault};
use crate::fault::Code;
use crate::language::check::Scale;
use crate::language::syntax::Comparison;
use crate::quantity::{Exponent, Number, NumberFault, Phasor};

/// The fault of a step of arithmetic.
pub(super) fn number_fault(fault: NumberFault) -> Outcome {
    let (code, help) = match fault {
        NumberFault::Overflow => (Code::TOO_LARGE, "look for a wrong unit, or a power that was not meant"),
        NumberFault::Underflow => (Code::TOO_SMALL, "use a smaller unit, so that the numbers become larger"),
        NumberFault::DivisionByZero => (Code::DIVISION_BY_ZERO, "say when there is a result: … when x > 0"),
        NumberFault::NoStep => (Code::DIVISION_BY_ZERO, "give a step: `round(x, 0.5 kW)`"),
        NumberFault::NotReal => (Code::NOT_REAL, "look at the values that go in"),
    };
    Outcome::fault(code, fault.to_string(), Some(help))
}

/// A step that gives a number or a fault.
pub(super) fn settled(result: Result<Number, NumberFault>) -> Outcome {
    match result {
        Ok(number) => Outcome::number(number),
        Err(fault) => number_fault(fault),
    }
}

/// Something that stands where it cannot: a broken promise of the checker. Kept as a fault of the cell.
pub(super) fn mismatch() -> Outcome {
    debug_assert!(false, "the checker let a value of another sort through");
    Outcome::fault(
        Code::NOT_A_NUMBER,
        "a text or a yes or no stands where a number is needed",
        None,
    )
}

/// Of two outcomes that are not both values: the one that wins.
pub(super) fn heavier(left: Outcome, right: Outcome) -> Outcome {
    match (&left, &right) {
        (Outcome::Fault(_), _) => left,
        (_, Outcome::Fault(_)) => right,
        (Outcome::Blank(_), _) => left,
        (_, Outcome::Blank(_)) => right,
        _ => mismatch(),
    }
}

/// A step of two numbers or phasors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Add,
    Sub,
    Mul,
    Div,
}

impl Step {
    pub fn numbers(self, a: Number, b: Number) -> Result<Number, NumberFault> {
        match self {
            Step::Add => a.add(b),
            Step::Sub => a.sub(b),
            Step::Mul => a.mul(b),
            Step::Div => a.div(b),
        }
    }

    fn phasors(self, a: Phasor, b: Phasor) -> Result<Phasor, NumberFault> {
        match self {
            Step::Add => a.add(b),
            Step::Sub => a.sub(b),
            Step::Mul => a.mul(b),
            Step::Div => a.div(b),
        }
    }
}

/// `left ∘ right`.
pub(super) fn binary(left: Outcome, right: &Outcome, step: Step) -> Outcome {
    match (&left, right) {
        (Outcome::Value(Value::Number(a)), Outcome::Value(Value::Number(b))) => settled(step.numbers(*a, *b)),
        (Outcome::Value(a), Outcome::Value(b)) => match (of_value(a), of_value(b)) {
            (Some(a), Some(b)) => phasor(step.phasors(a, b)),
            _ => mismatch(),
        },
        _ => heavier(left, right.clone()),
    }
}

/// `base ^ exponent` with a worked exponent, both real.
pub(super) fn raised(base: Outcome, exponent: &Outcome) -> Outcome {
    match (&base, exponent) {
        (Outcome::Value(Value::Number(a)), Outcome::Value(Value::Number(b))) => settled(a.pow(*b)),
        _ => heavier(base, exponent.clone()),
    }
}

/// A step on one number or phasor.
#[derive(Clone, Copy, Debug)]
pub(super) enum Turn<'a> {
    Negative,
    /// One over it.
    Inverse,
    Power(Exponent),
    Scale(&'a Scale),
}

impl Turn<'_> {
    pub fn number(self, a: Number) -> Result<Number, NumberFault> {
        match self {
            Turn::Negative => Ok(a.neg()),
            Turn::Inverse => Number::ONE.div(a),
            Turn::Power(exponent) => a.pow_rational(exponent),
            Turn::Scale(scale) => scaled(scale, a),
        }
    }

    fn phasor(self, a: Phasor) -> Result<Phasor, NumberFault> {
        match self {
            Turn::Negative => Ok(a.neg()),
            Turn::Inverse => Phasor::from(Number::ONE).div(a),
            // The checker lets whole powers through, no others.
            Turn::Power(exponent) if exponent.den() == 1 => a.pow(i32::from(exponent.num())),
            Turn::Power(_) => Err(NumberFault::NotReal),
            Turn::Scale(scale) => a.each(|part| scaled(scale, part)),
        }
    }
}

/// A step on one number or phasor.
pub(super) fn unary(operand: Outcome, turn: Turn<'_>) -> Outcome {
    match operand {
        Outcome::Value(Value::Number(a)) => settled(turn.number(a)),
        Outcome::Value(Value::Phasor(a)) => phasor(turn.phasor(a)),
        Outcome::Value(_) => mismatch(),
        other => other,
    }
}

/// Change of unit, rounded once.
pub(super) fn scaled(scale: &Scale, number: Number) -> Result<Number, NumberFault> {
    let mut number = number;
    if let Some(before) = scale.before {
        number = number.add(Number::Exact(before))?;
    }
    number = scale.factor.apply_to(number)?;
    if let Some(after) = scale.after {
        number = number.sub(Number::Exact(after))?;
    }
    Ok(number)
}

/// One comparison.
pub(super) fn compare(left: &Outcome, how: Comparison, right: &Outcome) -> Outcome {
    match (left, right) {
        (Outcome::Value(Value::Number(a)), Outcome::Value(Value::Number(b))) => {
            Outcome::truth(holds(how, a.compare(*b)))
        }
        (Outcome::Value(Value::Text(a)), Outcome::Value(Value::Text(b))) => Outcome::truth(holds(how, a.cmp(b))),
        (Outcome::Value(Value::Truth(a)), Outcome::Value(Value::Truth(b))) => Outcome::truth(holds(how, a.cmp(b))),
        (left, right) => heavier(left.clone(), right.clone()),
    }
}

pub(super) fn holds(how: Comparison, order: Ordering) -> bool {
    match how {
        Comparison::Equal => order == Ordering::Equal,
        Comparison::NotEqual => order != Ordering::Equal,
        Comparison::Less => order == Ordering::Less,
        Comparison::LessEqual => order != Ordering::Greater,
        Comparison::Greater => order == Ordering::Greater,
        Comparison::GreaterEqual => order != Ordering::Less,
    }
}

/// What a cell gives to a formula that reads it: a fault is passed on, not repeated. Its name is told where the fault began: of a cell
/// that cannot be read the line carries the fault, and the cell has no more than that word.
pub(super) fn read(cell: &Outcome, name: impl FnOnce() -> String) -> Outcome {
    let named = |fault: &WorkFault| fault.passed_on && fault.message.starts_with("not worked: ");
    match cell {
        Outcome::Fault(fault) if !named(fault) => Outcome::Fault(Arc::new(WorkFault {
            code: fault.code,
            message: format!("not worked: {} has a fault", name()).into(),
            help: Some(fault.message.clone()),
            passed_on: true,
        })),
        other => other.clone(),
    }
}

/// A float as a number, at fifteen digits; a fault where it is none.
pub(super) fn float(value: f64) -> Result<Number, NumberFault> {
    if value.is_nan() {
        return Err(NumberFault::NotReal);
    }
    if value.is_infinite() {
        return Err(NumberFault::Overflow);
    }
    // Fifteen significant digits: what a float can promise.
    Ok(Number::Float(format!("{value:.14e}").parse().unwrap_or(value)))
}
