//! Which divisor was zero, by its name.
//!
//! For: the message of a division by zero; the steps themselves know no names.
//! Always: only a quantity that is read and is zero is named; a difference that vanishes is not.

use super::one::One;
use super::visit::each_part;
use super::{Outcome, WorkFault};
use crate::fault::Code;
use crate::language::check::Op;

impl<'a> One<'a> {
    /// The same outcome; where it is a division by zero found here, with the name of what is zero.
    pub fn divisor_named(&mut self, op: &'a Op, outcome: Outcome) -> Outcome {
        match &outcome {
            Outcome::Fault(fault) if fault.code == Code::DIVISION_BY_ZERO && !fault.passed_on => {
                match self.zero_divisor(op) {
                    Some(name) => Outcome::Fault(std::sync::Arc::new(WorkFault {
                        message: fault.message.clone().and(&format!(": `{name}` is 0")),
                        ..(**fault).clone()
                    })),
                    None => outcome,
                }
            }
            _ => outcome,
        }
    }

    /// The name of a quantity below a line of the formula that is zero.
    pub fn zero_divisor(&mut self, op: &'a Op) -> Option<String> {
        let mut bound = Vec::new();
        let mut below = Vec::new();
        divisors(op, &mut bound, &mut below);
        below.into_iter().find_map(|part| self.zero(part, &bound, 0))
    }

    fn zero(&mut self, part: &'a Op, bound: &[(usize, &'a Op)], depth: usize) -> Option<String> {
        match part {
            Op::Scale(part, _) | Op::Negative(part) | Op::Power(part, _) | Op::PowerOf(part, _) => {
                self.zero(part, bound, depth)
            }
            Op::Product(parts) => parts
                .iter()
                .filter(|(over, _)| !over)
                .find_map(|(_, part)| self.zero(part, bound, depth)),
            // A value bound to itself by way of others would go round for ever.
            Op::Local(local) if depth <= bound.len() => {
                let value = bound.iter().rev().find(|(at, _)| at == local)?.1;
                self.zero(value, bound, depth + 1)
            }
            Op::Read(index) => {
                let number = self.read(*index).as_number()?;
                let quantity = self.typed.reads.get(*index)?.quantity;
                (number.to_f64() == 0.0).then(|| self.cells.name(quantity))
            }
            _ => None,
        }
    }
}

/// What stands below a line anywhere in a formula, and what is bound on the way.
fn divisors<'a>(op: &'a Op, bound: &mut Vec<(usize, &'a Op)>, below: &mut Vec<&'a Op>) {
    match op {
        Op::Product(parts) => below.extend(parts.iter().filter(|(over, _)| *over).map(|(_, part)| part)),
        Op::Power(base, exponent) if exponent.num() < 0 => below.push(base),
        Op::Let { local, value, .. } => bound.push((*local, value)),
        _ => {}
    }
    each_part(op, &mut |part| divisors(part, bound, below));
}
