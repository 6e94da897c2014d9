//! The parts of a step, for whoever has to look through a whole formula.

use crate::language::check::{Goal, Op};

/// Calls `look` with every part directly below a step.
pub fn each_part<'a>(op: &'a Op, look: &mut dyn FnMut(&'a Op)) {
    match op {
        Op::Number(_)
        | Op::Phasor(_)
        | Op::Text(_)
        | Op::Truth(_)
        | Op::Read(_)
        | Op::Local(_)
        | Op::Running(_)
        | Op::Fault(_) => {}
        Op::Toleranced(part) => {
            look(&part.low);
            look(&part.high);
        }
        Op::Let { value, body, .. } => {
            look(value);
            look(body);
        }
        Op::Sum(parts) | Op::Product(parts) => parts.iter().for_each(|(_, part)| look(part)),
        Op::Along { value, .. } => look(value),
        Op::Power(part, _) | Op::Negative(part) | Op::Scale(part, _) | Op::Not(part) | Op::Known(part) => look(part),
        Op::PowerOf(first, second) | Op::Else(first, second) => {
            look(first);
            look(second);
        }
        Op::Call(_, parts) | Op::OfPhasor(_, parts) | Op::And(parts) | Op::Or(parts) => parts.iter().for_each(look),
        Op::Compare(first, rest) => {
            look(first);
            rest.iter().for_each(|(_, part)| look(part));
        }
        Op::Choice { arms, otherwise } => {
            for (condition, value) in arms {
                look(condition);
                look(value);
            }
            if let Some(part) = otherwise {
                look(part);
            }
        }
        Op::Gather {
            along,
            value,
            condition,
            ..
        } => {
            if let Some(along) = along {
                look(&along.key);
                look(&along.wanted);
            }
            if let Some(part) = value {
                look(part);
            }
            if let Some(part) = condition {
                look(part);
            }
        }
        Op::Integral { value, from, to, .. } => {
            look(value);
            look(from);
            look(to);
        }
        Op::Points(curve, argument) => {
            for (x, y) in &curve.points {
                look(x);
                look(y);
            }
            look(argument);
        }
        Op::Seek(seek) => {
            let (Goal::Zero(goal) | Goal::Linear(goal) | Goal::Largest(goal) | Goal::Smallest(goal)) = &seek.goal;
            look(goal);
            if let Some((part, _)) = &seek.isolated {
                look(part);
            }
            if let Some((low, high)) = &seek.between {
                look(low);
                look(high);
            }
        }
    }
}
