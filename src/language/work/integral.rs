//! Integral over one variable.
//!
//! Always: a relative tolerance of 1e-12; where it is not reached, a fault says so. How it is done: `machine::quadrature`.

use super::Outcome;
use super::corners::of_local;
use super::one::One;
use super::steps::{float, settled};
use crate::fault::Code;
use crate::language::check::Op;
use crate::machine::quadrature::{PIECES, TOLERANCE, pieced};
use crate::quantity::Number;

/// The integral of `value` over the local.
pub(super) fn integral<'a>(one: &mut One<'a>, local: usize, value: &'a Op, from: &'a Op, to: &'a Op) -> Outcome {
    let (a, b) = match (one.float(from), one.float(to)) {
        (Ok(a), Ok(b)) => (a, b),
        (Err(fault @ Outcome::Fault(_)), _) | (_, Err(fault @ Outcome::Fault(_))) => return fault,
        (Err(hole), _) | (_, Err(hole)) => return hole,
    };
    let places = looked_at(one, local, value, a, b);
    let mut function = |x: f64| {
        one.bind(local, Outcome::number(Number::Float(x)));
        one.float(value)
    };
    match pieced(&mut function, &places, TOLERANCE, PIECES) {
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

/// The ends, and between them the places where the value bends or jumps.
fn looked_at<'a>(one: &mut One<'a>, local: usize, value: &'a Op, a: f64, b: f64) -> Vec<f64> {
    let mut places = of_local(one, local, value, a, b);
    // Both sides of a jump are one place here.
    let fine = (b - a).abs() * 1e-12;
    places.dedup_by(|next, held| (*next - *held).abs() <= fine);
    if b < a {
        places.reverse();
    }
    let inside = places.into_iter().filter(|place| (*place - a) * (b - *place) > 0.0);
    std::iter::once(a).chain(inside).chain([b]).collect()
}

const ARITHMETIC: [Code; 4] = [Code::DIVISION_BY_ZERO, Code::TOO_LARGE, Code::TOO_SMALL, Code::NOT_REAL];

fn unsettled(message: String) -> Outcome {
    Outcome::fault(
        Code::NO_INTEGRAL,
        message,
        Some("look for a pole or a jump between the ends, and integrate the parts on their own"),
    )
}
