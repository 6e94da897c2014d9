//! What a line keeps when its values go: the unit they were shown in, and the kind they showed.
//!
//! Always: who empties a place and types a number there again types it in the unit that stood beside it. What the line says by itself
//! already is not said twice.
//! Not known here: the screen.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::spot::{Seen, literal};
use crate::language::check::Sort;
use crate::language::syntax;
use crate::quantity::Unit;
use crate::recalc::QuantityResults;
use crate::session::Session;
use crate::workbook::change::{Change, Clause};
use crate::workbook::{Cell, Form, Role, Statement};

/// What changes do to the values of a sheet, by quantity and place. `None` as a place: all of them.
#[derive(Default)]
struct Values<'c> {
    typed: BTreeMap<&'c str, BTreeMap<Option<usize>, &'c str>>,
    rows: BTreeSet<usize>,
    /// Quantities whose unit is typed in the same step.
    units: BTreeSet<&'c str>,
}

impl<'c> Values<'c> {
    fn of(changes: &'c [Change], sheet: &str) -> Values<'c> {
        let mut out = Values::default();
        for change in changes {
            match change {
                Change::SetValue {
                    sheet: of,
                    quantity,
                    case,
                    text,
                } if **of == *sheet => {
                    let _ = out.typed.entry(quantity).or_default().insert(*case, text.trim());
                }
                Change::SetCell {
                    list,
                    row,
                    quantity,
                    text,
                } if **list == *sheet => {
                    let _ = out.typed.entry(quantity).or_default().insert(Some(*row), text.trim());
                }
                Change::DeleteRow { list, row } if **list == *sheet => {
                    let _ = out.rows.insert(*row);
                }
                Change::DeleteRows { list, rows } if **list == *sheet => out.rows.extend(rows),
                Change::SetClause {
                    sheet: of,
                    quantity,
                    clause: Clause::Unit,
                    ..
                } if **of == *sheet => {
                    let _ = out.units.insert(quantity);
                }
                _ => {}
            }
        }
        out
    }

    /// What is typed at a place in this step.
    fn at(&self, name: &str, place: usize) -> Option<&'c str> {
        let typed = self.typed.get(name)?;
        typed.get(&Some(place)).or_else(|| typed.get(&None)).copied()
    }

    /// Whether values of a quantity go.
    fn reaches(&self, name: &str) -> bool {
        let empties = |typed: &BTreeMap<Option<usize>, &str>| typed.values().any(|text| text.is_empty());
        !self.rows.is_empty() || self.typed.get(name).is_some_and(empties)
    }
}

/// The sheet whose values a change empties.
fn empties(change: &Change) -> Option<&str> {
    match change {
        Change::SetValue { sheet, text, .. } if text.trim().is_empty() => Some(sheet),
        Change::SetCell { list, text, .. } if text.trim().is_empty() => Some(list),
        Change::DeleteRow { list, .. } | Change::DeleteRows { list, .. } => Some(list),
        _ => None,
    }
}

/// Adds to changes that empty values those that keep the unit and the kind of their lines.
pub fn keep(session: &Session, changes: &mut Vec<Change>) {
    let sheets: BTreeSet<&str> = changes.iter().filter_map(empties).collect();
    let mut more = Vec::new();
    for name in sheets {
        let at = session.workbook().sheets.iter().position(|sheet| *sheet.name == *name);
        let Some(seen) = at.and_then(|at| Seen::of(session, at)) else {
            continue;
        };
        let values = Values::of(changes, name);
        let reached = |quantity: &&QuantityResults| {
            quantity.role == Role::Given && values.reaches(&quantity.name) && !values.units.contains(&*quantity.name)
        };
        let quantities = seen.results.quantities.iter().filter(reached);
        more.extend(quantities.flat_map(|quantity| clauses(seen, quantity, &values)));
    }
    changes.extend(more);
}

/// The clauses that say of a quantity what its values do not say any more.
fn clauses(seen: Seen<'_>, quantity: &QuantityResults, values: &Values<'_>) -> Vec<Change> {
    let name = &quantity.name;
    let (Sort::Quantity { unit, kind, .. }, Some(inputs)) = (&quantity.sort, seen.inputs(name)) else {
        return Vec::new();
    };
    let says_kind = inputs.kind.is_some();
    // Without a value a kind that is typed has a usual unit.
    let lines = || seen.sheet.lines.iter();
    let us = || lines().any(|line| matches!(line.statement, Statement::Units(true)));
    let usual = || kind.filter(|_| says_kind).map(|kind| Unit::usual(kind, us()).text);
    let said = first_unit(seen, quantity, values).or_else(usual);
    let says_unit = inputs.unit.is_some() || unit.is_plain() || unit.text.is_empty();
    if says_unit || said.is_some_and(|said| said == unit.text) {
        return Vec::new();
    }
    let clause = |clause: Clause, text: String| Change::SetClause {
        sheet: seen.sheet.name.clone(),
        quantity: name.clone(),
        clause,
        text: text.into(),
    };
    let mut out = vec![clause(Clause::Unit, format!("in {}", unit.text))];
    if let Some(kind) = kind.filter(|kind| !says_kind && unit.kind != Some(*kind)) {
        out.push(clause(Clause::Kind, format!(": {}", kind.words())));
    }
    out
}

/// The unit of the first value that stays or is typed; `None` where there is none, and where it is worked.
fn first_unit(seen: Seen<'_>, quantity: &QuantityResults, values: &Values<'_>) -> Option<Arc<str>> {
    let name = &quantity.name;
    let typed = |text: &str| literal(&syntax::parse(text).0).map(|(_, unit)| unit.text.clone());
    if seen.sheet.form == Form::List
        && let Some(rows) = &seen.sheet.rows
        && let Some(column) = rows.columns.iter().position(|column| column == name)
    {
        return rows.rows.iter().enumerate().find_map(|(row, cells)| {
            if values.rows.contains(&row) {
                return None;
            }
            match (values.at(name, row), cells.cells.get(column)?) {
                (Some(text), _) => typed(text),
                (None, Cell::Number(_, Some(unit))) => Some(unit.text.clone()),
                _ => None,
            }
        });
    }
    let stand = &seen.inputs(name)?.values;
    let places = seen.results.items.len().max(1).max(stand.len());
    let text = |place: usize| -> Option<&str> {
        values.at(name, place).or_else(|| {
            let formula = match stand.as_slice() {
                [only] => only.as_ref(),
                several => several.get(place).and_then(Option::as_ref),
            };
            formula.map(|formula| &*formula.text)
        })
    };
    let first = (0..places).filter_map(text).find(|text| !text.is_empty())?;
    typed(first)
}
