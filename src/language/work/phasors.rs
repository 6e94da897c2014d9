//! Steps from and to phasors: magnitude and angle, parts, conjugate, side by side.
//!
//! Always: a real number is a phasor without an imaginary part; its own parts stay what they are, digit for digit.

use super::one::One;
use super::steps::{mismatch, number_fault, settled};
use super::{Outcome, Value};
use crate::language::check::{OfPhasor, Op};
use crate::quantity::{Number, NumberFault, Phasor};

/// The step on its parts.
pub(super) fn step<'a>(one: &mut One<'a>, how: OfPhasor, parts: &'a [Op]) -> Outcome {
    let mut values = Vec::with_capacity(parts.len());
    let hole = one.values(parts, |_, value| {
        values.push(value);
        true
    });
    if let Some(hole) = hole {
        return hole;
    }
    worked(how, &values).unwrap_or_else(mismatch)
}

fn worked(how: OfPhasor, values: &[Value]) -> Option<Outcome> {
    if let (OfPhasor::Polar, [Value::Number(magnitude), Value::Number(angle)]) = (how, values) {
        return Some(phasor(Phasor::polar(magnitude.to_f64(), angle.to_f64())));
    }
    let phasors: Vec<Phasor> = values.iter().map(of_value).collect::<Option<_>>()?;
    let first = *phasors.first()?;
    Some(match (how, values.first()?) {
        (OfPhasor::Re | OfPhasor::Conj, Value::Number(number)) => Outcome::number(*number),
        (OfPhasor::Im, Value::Number(_)) => Outcome::number(Number::ZERO),
        (OfPhasor::Abs, Value::Number(number)) => Outcome::number(number.abs()),
        (OfPhasor::Abs, _) => settled(Number::from_f64(first.abs())),
        (OfPhasor::Angle, _) => settled(Number::from_f64(first.angle())),
        (OfPhasor::Re, _) => settled(Number::from_f64(first.re())),
        (OfPhasor::Im, _) => settled(Number::from_f64(first.im())),
        (OfPhasor::Conj, _) => Outcome::Value(Value::Phasor(first.conj())),
        (OfPhasor::Exp, _) => phasor(first.exp()),
        (OfPhasor::Parallel, _) => phasor(parallel(&phasors)),
        (OfPhasor::Polar, _) => return None,
    })
}

/// The phasor of a value that is one or real.
pub(super) fn of_value(value: &Value) -> Option<Phasor> {
    match value {
        Value::Phasor(phasor) => Some(*phasor),
        Value::Number(number) => Some((*number).into()),
        _ => None,
    }
}

fn parallel(phasors: &[Phasor]) -> Result<Phasor, NumberFault> {
    // A short circuit beside anything is a short circuit.
    if let Some(short) = phasors.iter().find(|phasor| phasor.is_zero()) {
        return Ok(*short);
    }
    let one: Phasor = Number::ONE.into();
    let mut sum: Phasor = Number::ZERO.into();
    for phasor in phasors {
        sum = sum.add(one.div(*phasor)?)?;
    }
    one.div(sum)
}

/// A step that gives a phasor or a fault.
pub(super) fn phasor(result: Result<Phasor, NumberFault>) -> Outcome {
    match result {
        Ok(phasor) => Outcome::Value(Value::Phasor(phasor)),
        Err(fault) => number_fault(fault),
    }
}
