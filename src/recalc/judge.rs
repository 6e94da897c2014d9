//! Checks and flags: whether they hold, both sides, and the margin.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::book::Sheet;
use super::results::Verdict;
use super::settle::{Sides, Slot};
use super::shown::Showing;
use super::waves::{View, unworkable};
use crate::language::check::{Op, Typed};
use crate::language::syntax::Comparison;
use crate::language::work::{Outcome, Program};
use crate::quantity::{Number, System};
use crate::workbook::Role;

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
    let sides = Compared::new(view, sheet, slot);
    items
        .iter()
        .map(|item| {
            let worked = program.item(*item);
            let mut verdict = verdict_of(&worked.outcome);
            if verdict.holds.is_some()
                && let Some(sides) = &sides
            {
                verdict.sides = Some(sides.of(*item, System::AsWritten));
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

/// Both sides of a check that is a single comparison, for an item.
pub(super) fn sides(
    view: &View<'_>,
    sheet: &Sheet,
    slot: &Slot,
    item: usize,
    system: System,
) -> Option<(String, String)> {
    Some(Compared::new(view, sheet, slot)?.of(item, system))
}

/// Both sides of a comparison, ready to be worked.
struct Compared<'a> {
    sides: &'a Sides,
    left: Program<'a>,
    right: Program<'a>,
}

impl<'a> Compared<'a> {
    fn new(view: &'a View<'a>, sheet: &Sheet, slot: &'a Slot) -> Option<Compared<'a>> {
        let sides = slot.sides.as_deref()?;
        Some(Compared {
            left: Program::new(&sides.left, view, sheet.id, "")?,
            right: Program::new(&sides.right, view, sheet.id, "")?,
            sides,
        })
    }

    /// As shown. In the units of a system both sides stand in one unit, that of the side that is worth comparing: the left one.
    fn of(&self, item: usize, system: System) -> (String, String) {
        let showing = |typed: &'a Typed, system| Showing::new(&typed.sort, Role::Work, None, system);
        let left = showing(&self.sides.left, system);
        let right = match left.unit().filter(|_| system != System::AsWritten) {
            Some(unit) => showing(&self.sides.right, System::AsWritten).in_unit(unit),
            None => showing(&self.sides.right, system),
        };
        (
            left.whole(&self.left.item(item).outcome),
            right.whole(&self.right.item(item).outcome),
        )
    }
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
        Outcome::Blank(why) => Verdict::not_worked((&**why).into()),
        Outcome::Fault(fault) => Verdict::not_worked(fault.message.clone()),
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
