//! Integral over one variable.
//!
//! Always: a relative tolerance of 1e-12; where it is not reached, a fault says so. How it is done: `machine::quadrature`.

use super::Outcome;
use super::one::One;
use super::steps::{float, settled};
use crate::fault::Code;
use crate::language::check::Op;
use crate::machine::quadrature::{PIECES, TOLERANCE, adaptive};
use crate::quantity::Number;

/// The integral of `value` over the local.
pub(super) fn integral<'a>(one: &mut One<'a>, local: usize, value: &'a Op, from: &'a Op, to: &'a Op) -> Outcome {
    let (a, b) = match (one.float(from), one.float(to)) {
        (Ok(a), Ok(b)) => (a, b),
        (Err(fault @ Outcome::Fault(_)), _) | (_, Err(fault @ Outcome::Fault(_))) => return fault,
        (Err(hole), _) | (_, Err(hole)) => return hole,
    };
    let mut function = |x: f64| {
        one.bind(local, Outcome::number(Number::Float(x)));
        one.float(value)
    };
    match adaptive(&mut function, a, b, TOLERANCE, PIECES) {
        Ok(Some(sum)) => settled(float(sum)),
        Ok(None) => unsettled("the integral does not settle between these ends".to_owned()),
        // What the arithmetic cannot do at some place is a matter of the integral, not of a value that went in.
        Err(Outcome::Fault(fault)) if !fault.passed_on && ARITHMETIC.contains(&fault.code) => unsettled(format!(
            "the integral has no value somewhere between its ends: {}",
            fault.message
        )),
        Err(hole) => hole,
    }
}

const ARITHMETIC: [Code; 4] = [Code::DIVISION_BY_ZERO, Code::TOO_LARGE, Code::TOO_SMALL, Code::NOT_REAL];

fn unsettled(message: String) -> Outcome {
    Outcome::fault(
        Code::NO_INTEGRAL,
        message,
        Some("look for a pole or a jump between the ends, and integrate the parts on their own"),
    )
}
