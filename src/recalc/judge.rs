//! Checks and flags: whether they hold, both sides, and the margin.

use rust_decimal::Decimal;

use super::book::Sheet;
use super::results::Verdict;
use super::settle::{Sides, Slot};
use super::shown::Showing;
use super::waves::{View, unworkable};
use crate::language::check::{Op, Typed};
use crate::language::syntax::Comparison;
use crate::language::work::{Outcome, Program, Remark};
use crate::quantity::{Number, System, Unit};
use crate::workbook::Role;

/// What the condition gives, the verdict, and the notes of these items.
pub(super) fn judge(
    view: &View<'_>,
    sheet: &Sheet,
    slot: &Slot,
    items: &[usize],
) -> Vec<(usize, Outcome, Verdict, Vec<Remark>)> {
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
            if verdict.holds.is_some() {
                let nearest = nearest(&program, slot, *item);
                verdict.sides = sides
                    .as_ref()
                    .map(|sides| sides.of(*item, nearest.as_ref(), System::AsWritten));
                verdict.margin = nearest.and_then(|nearest| in_percent(nearest.part));
            }
            (*item, worked.outcome, verdict, worked.notes)
        })
        .collect()
}

/// Both sides of a check, for an item: the value, and the limit that is nearer to it.
pub(super) fn sides(
    view: &View<'_>,
    sheet: &Sheet,
    slot: &Slot,
    item: usize,
    system: System,
) -> Option<(String, String)> {
    let program = Program::new(&slot.typed, view, sheet.id, "")?;
    let nearest = nearest(&program, slot, item);
    Some(Compared::new(view, sheet, slot)?.of(item, nearest.as_ref(), system))
}

/// Both sides of a comparison, ready to be worked.
struct Compared<'a> {
    sides: &'a Sides,
    left: Program<'a>,
    right: Program<'a>,
    before: Option<Program<'a>>,
}

impl<'a> Compared<'a> {
    fn new(view: &'a View<'a>, sheet: &Sheet, slot: &'a Slot) -> Option<Compared<'a>> {
        let sides = slot.sides.as_deref()?;
        Some(Compared {
            left: Program::new(&sides.left, view, sheet.id, "")?,
            right: Program::new(&sides.right, view, sheet.id, "")?,
            before: match &sides.before {
                Some(before) => Some(Program::new(before, view, sheet.id, "")?),
                None => None,
            },
            sides,
        })
    }

    /// As shown. Both sides stand in one unit, that of the side that is worth comparing: the left one.
    fn of(&self, item: usize, nearest: Option<&Nearest>, system: System) -> (String, String) {
        let (limit, program) = match (&self.sides.before, &self.before) {
            (Some(before), Some(program)) if nearest.is_some_and(|nearest| nearest.limit == 0) => (before, program),
            _ => (&self.sides.right, &self.right),
        };
        let showing = |typed: &'a Typed, system| Showing::new(&typed.sort, Role::Work, None, system);
        let left = showing(&self.sides.left, system);
        let outcome = program.item(item).outcome;
        // A limit in another unit stands in that of the value, too: only so the two are compared by eye.
        let written = showing(limit, system);
        let differs = |unit: &&Unit| written.unit().is_some_and(|own| !own.same_scale(unit));
        let right = match left.unit().filter(differs) {
            Some(unit) => showing(limit, System::AsWritten).in_unit(unit),
            None => written.clone(),
        };
        let told = right.whole(&outcome);
        let told = match right.is_brought() && system == System::AsWritten {
            true => format!("{told} ({})", written.whole(&outcome)),
            false => told,
        };
        (left.whole(&self.left.item(item).outcome), told)
    }
}

fn verdict_of(cell: &Outcome) -> Verdict {
    match cell {
        Outcome::Value(_) => Verdict {
            holds: cell.as_truth(),
            in_doubt: false,
            sides: None,
            margin: None,
            least: None,
            why: None,
        },
        Outcome::Blank(why) => Verdict::not_worked((&**why).into()),
        Outcome::Fault(fault) => Verdict::not_worked(fault.message.clone()),
    }
}

/// A value beside one of its limits.
pub(super) struct Limit<'a> {
    pub value: &'a Op,
    pub limit: &'a Op,
    /// The value is to be above it.
    pub above: bool,
}

/// The limits of a comparison that has a margin: one, or two around the value.
pub(super) fn limits<'a>(first: &'a Op, rest: &'a [(Comparison, Op)]) -> Option<Vec<Limit<'a>>> {
    let above = |how: Comparison| match how {
        Comparison::Less | Comparison::LessEqual => Some(false),
        Comparison::Greater | Comparison::GreaterEqual => Some(true),
        Comparison::Equal | Comparison::NotEqual => None,
    };
    let limit = |value, limit, above| Limit { value, limit, above };
    match rest {
        [(how, right)] => Some(vec![limit(first, right, above(*how)?)]),
        [(before, value), (behind, right)] => Some(vec![
            limit(value, first, !above(*before)?),
            limit(value, right, above(*behind)?),
        ]),
        _ => None,
    }
}

/// The limit that a value is nearest to.
struct Nearest {
    /// How far the value is on the good side of it, as a share of it.
    part: Number,
    /// Its place among the limits.
    limit: usize,
}

/// How far the value is on the good side of its limit; of two limits, the nearer.
fn nearest<'a>(program: &Program<'a>, slot: &'a Slot, item: usize) -> Option<Nearest> {
    let Some(Op::Compare(first, rest)) = &slot.typed.op else {
        return None;
    };
    let mut nearest: Option<Nearest> = None;
    for (place, Limit { value, limit, above }) in limits(first, rest)?.into_iter().enumerate() {
        let number = |part: &'a Op| program.part(part, item).as_number();
        let (value, limit) = (number(value)?, number(limit)?);
        if limit.is_zero() {
            return None;
        }
        let good = if above { value.sub(limit) } else { limit.sub(value) };
        let part = good.and_then(|good| good.div(limit.abs())).ok()?;
        let is_nearer = nearest.as_ref().is_none_or(|held| part.to_f64() < held.part.to_f64());
        if is_nearer {
            nearest = Some(Nearest { part, limit: place });
        }
    }
    nearest
}

/// A margin as it is told.
pub(super) fn in_percent(part: Number) -> Option<String> {
    let percent = part.to_decimal()?.checked_mul(Decimal::ONE_HUNDRED)?;
    let rounded = percent.round_dp_with_strategy(1, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    let rounded = if rounded.is_zero() {
        Decimal::ZERO
    } else {
        rounded.normalize()
    };
    Some(format!("{rounded} %"))
}
