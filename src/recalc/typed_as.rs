//! Values that were typed: in another unit than their quantity is shown in, or in place of what is worked beside them.
//!
//! For: the window, pages and files, which show the quantity in one unit and say what was typed, and mark a number among worked ones.
//! Always: only what is one number; a formula is shown elsewhere.
//! Not known here: how that is said.

use std::sync::Arc;

use super::book::Entry;
use super::settle::{Settled, Slot};
use crate::language::check::Sort;
use crate::language::syntax::{Expr, Node};
use crate::quantity::Unit;
use crate::workbook::{Cell, Role, Workbook};

/// What was typed, by item in order.
pub(super) fn typed_as(
    workbook: &Workbook,
    entry: &Entry,
    settled: &Settled,
    role: Role,
    items: usize,
) -> Vec<(usize, Arc<str>)> {
    let Sort::Quantity { unit: shown, .. } = &settled.sort else {
        return Vec::new();
    };
    if role != Role::Given {
        return Vec::new();
    }
    let of_slot = |slot: &Slot| {
        let unit = unit_of(&slot.tree).filter(|unit| !unit.same_scale(shown))?;
        // A share of a plain number is typed in either way.
        (!(unit.dimension == shown.dimension && shown.is_plain())).then(|| slot.text.clone())
    };
    let rows = workbook.sheets.get(entry.sheet).and_then(|sheet| sheet.rows.as_ref());
    if let Some((rows, column)) = rows.zip(entry.column) {
        // A column has few units, each of them once.
        let mut same: Option<&Arc<Unit>> = None;
        let mut typed = Vec::new();
        for (item, row) in rows.rows.iter().enumerate() {
            match row.cells.get(column) {
                Some(Cell::Number(number, Some(unit))) => {
                    if same.is_some_and(|same| Arc::ptr_eq(same, unit)) {
                        continue;
                    }
                    if unit.same_scale(shown) {
                        same = Some(unit);
                    } else {
                        typed.push((item, Arc::from(format!("{number} {}", unit.text))));
                    }
                }
                Some(Cell::Formula(_)) => {
                    let slot = settled.own.get(&item).and_then(|at| settled.slots.get(*at));
                    typed.extend(slot.and_then(of_slot).map(|text| (item, text)));
                }
                _ => {}
            }
        }
        return typed;
    }
    (0..items)
        .filter_map(|item| Some((item, settled.slot_of(item).and_then(of_slot)?)))
        .collect()
}

/// The items of a worked quantity for which a number was typed where others have a formula, in order.
pub(super) fn typed_over(settled: &Settled, role: Role) -> Vec<usize> {
    if role != Role::Work {
        return Vec::new();
    }
    let typed = |at: usize| settled.slots.get(at).is_some_and(|slot| is_number(&slot.tree));
    if settled.by_item.is_empty() {
        let own = settled.own.iter().filter(|(_, slot)| typed(**slot));
        return own.map(|(item, _)| *item).collect();
    }
    let cases = || settled.by_item.iter().enumerate();
    if !cases().any(|(_, slot)| slot.is_none_or(|slot| !typed(slot))) {
        return Vec::new();
    }
    cases()
        .filter(|(_, slot)| slot.is_some_and(typed))
        .map(|(item, _)| item)
        .collect()
}

/// Whether a formula is one number, with its sign and its tolerance.
fn is_number(tree: &Expr) -> bool {
    match &tree.node {
        Node::Number(_) => true,
        Node::Toleranced { value, .. } | Node::Negative(value) => is_number(value),
        _ => false,
    }
}

/// The unit of a number, with its sign and its tolerance.
fn unit_of(tree: &Expr) -> Option<&Unit> {
    match &tree.node {
        Node::Number(number) => Some(&number.unit.as_ref()?.unit),
        Node::Toleranced { value, .. } => unit_of(value),
        Node::Negative(value) => unit_of(value),
        _ => None,
    }
}
