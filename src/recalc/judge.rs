//! Checks and flags: whether they hold, both sides, and the margin.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::book::Sheet;
use super::results::Verdict;
use super::settle::Slot;
use super::shown::shown;
use super::waves::{View, unworkable};
use crate::language::check::Op;
use crate::language::syntax::Comparison;
use crate::language::work::{Outcome, Program};
use crate::quantity::Number;

/// What the condition gives, the verdict, and the notes of these items.
pub(super) fn judge(
    view: &View<'_>,
    sheet: &Sheet,
    slot: &Slot,
    items: &[usize],
) -> Vec<(usize, Outcome, Verdict, Vec<Arc<str>>)> {
    let Some(program) = Program::new(&slot.typed, view, sheet.id, "") else {
        return items
            .iter()
            .map(|item| {
                let cell = unworkable(view, sheet, slot, *item);
                let verdict = verdict_of(&cell);
                (*item, cell, verdict, Vec::new())
            })
            .collect();
    };
    let sides = slot.sides.as_ref().and_then(|sides| {
        let left = Program::new(&sides.left, view, sheet.id, "")?;
        let right = Program::new(&sides.right, view, sheet.id, "")?;
        Some((sides, left, right))
    });
    items
        .iter()
        .map(|item| {
            let worked = program.item(*item);
            let mut verdict = verdict_of(&worked.outcome);
            if verdict.holds.is_some()
                && let Some((sides, left, right)) = &sides
            {
                let left = shown(&left.item(*item).outcome, &sides.left.sort, None);
                let right = shown(&right.item(*item).outcome, &sides.right.sort, None);
                verdict.sides = Some((left, right));
            }
            if verdict.holds.is_some()
                && let Some(Op::Compare(first, rest)) = &slot.typed.op
            {
                verdict.margin = margin(&program, first, rest, *item);
            }
            (*item, worked.outcome, verdict, worked.notes)
        })
        .collect()
}

fn verdict_of(cell: &Outcome) -> Verdict {
    match cell {
        Outcome::Value(_) => Verdict {
            holds: cell.as_truth(),
            in_doubt: false,
            sides: None,
            margin: None,
            why: None,
        },
        Outcome::Blank(why) => Verdict::not_worked(why.clone()),
        Outcome::Fault(fault) => Verdict::not_worked(Arc::from(fault.message.as_str())),
    }
}

/// How far the value is on the good side of its limit, in per cent of the limit; of two limits, the nearer.
fn margin<'a>(program: &Program<'a>, first: &'a Op, rest: &'a [(Comparison, Op)], item: usize) -> Option<String> {
    let numbers: Vec<Number> = std::iter::once(first)
        .chain(rest.iter().map(|(_, part)| part))
        .map(|part| program.part(part, item).as_number())
        .collect::<Option<_>>()?;
    let limits: &[(usize, usize)] = match rest.len() {
        1 => &[(0, 1)],
        2 => &[(1, 0), (1, 2)],
        _ => return None,
    };
    let mut nearest: Option<Number> = None;
    for ((value, limit), (how, _)) in limits.iter().zip(rest) {
        let (value, limit) = (*numbers.get(*value)?, *numbers.get(*limit)?);
        let left_to_right = rest.len() == 1 || std::ptr::eq(how, &rest.last()?.0);
        let good = match (how, left_to_right) {
            (Comparison::Less | Comparison::LessEqual, true) => limit.sub(value),
            (Comparison::Greater | Comparison::GreaterEqual, true) => value.sub(limit),
            (Comparison::Less | Comparison::LessEqual, false) => value.sub(limit),
            (Comparison::Greater | Comparison::GreaterEqual, false) => limit.sub(value),
            (Comparison::Equal | Comparison::NotEqual, _) => return None,
        };
        if limit.is_zero() {
            return None;
        }
        let part = good.and_then(|good| good.div(limit.abs())).ok()?;
        nearest = Some(nearest.map_or(part, |held| held.smaller(part)));
    }
    let percent = nearest?.to_decimal()?.checked_mul(Decimal::ONE_HUNDRED)?;
    let rounded = percent.round_dp_with_strategy(1, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    let rounded = if rounded.is_zero() {
        Decimal::ZERO
    } else {
        rounded.normalize()
    };
    Some(format!("{rounded} %"))
}
