//! Which changes can be followed without planning anew.
//!
//! Always: a change that is followed is of lines and rows that were there, leaves names, items and groups as they are, and of a list only
//! names of rows for which nothing asks; everything else is planned anew.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use super::book::{Book, Sense, name_of_row};
use super::settle::{Settlement, quantity_of};
use crate::language::check::QuantityId;
use crate::language::syntax::Item;
use crate::workbook::change::{Change, Reach};
use crate::workbook::{Cell, KindText, Line, Row, Statement, Workbook};

/// A place of a change as it was before.
pub(super) enum Before {
    /// Sheet, line, the line, and how many lines and rows its sheet had.
    Line(usize, usize, Box<Line>, (usize, usize)),
    /// List, row, the row, and how many lines and rows its list had.
    Row(usize, usize, Box<Row>, (usize, usize)),
}

/// What a narrow change asks for.
pub(super) struct Edit {
    pub id: QuantityId,
    /// The item to be worked again in any case.
    pub item: Option<usize>,
    /// Whether a formula has changed.
    pub formulas: bool,
    /// Whether faults of the text came or went.
    pub faults: bool,
    /// A row that has another name: list, row, the name.
    pub named: Option<(usize, usize, Arc<str>)>,
}

fn size(workbook: &Workbook, sheet: usize) -> (usize, usize) {
    workbook.sheets.get(sheet).map_or((0, 0), |sheet| {
        (sheet.lines.len(), sheet.rows.as_ref().map_or(0, |rows| rows.rows.len()))
    })
}

/// Keeps what a change is about to replace, each place once; `None` where only a whole plan will do.
pub(super) fn before(workbook: &Workbook, change: &Change) -> Option<Vec<Before>> {
    let mut places = BTreeSet::new();
    let mut open = vec![change];
    while let Some(change) = open.pop() {
        let _ = match change {
            Change::Several(parts) => {
                open.extend(parts);
                continue;
            }
            change => match change.reach(workbook) {
                Reach::Line(Some(sheet), line) => places.insert((sheet, true, line)),
                Reach::Row(list, row) => places.insert((list, false, row)),
                Reach::Line(None, _) | Reach::Words | Reach::All => return None,
            },
        };
    }
    let held = |(sheet, is_line, at): (usize, bool, usize)| {
        let (text, size) = (workbook.sheets.get(sheet)?, size(workbook, sheet));
        Some(match is_line {
            true => Before::Line(sheet, at, Box::new(text.lines.get(at)?.clone()), size),
            false => Before::Row(sheet, at, Box::new(text.rows.as_ref()?.rows.get(at)?.clone()), size),
        })
    };
    places.into_iter().map(held).collect()
}

/// What has to be done after the change at each place; `None`: plan anew.
pub(super) fn after(
    workbook: &Workbook,
    book: &Book,
    settlement: &Settlement,
    before: &[Before],
) -> Option<Vec<Vec<Edit>>> {
    let mut asked: HashMap<usize, bool> = HashMap::new();
    let each = before.iter().map(|before| match before {
        Before::Line(sheet, at, old, held) => {
            let same = size(workbook, *sheet) == *held;
            let new = workbook.sheets.get(*sheet)?.lines.get(*at).filter(|_| same)?;
            Some(vec![line(book, *sheet, *at, old, new)?])
        }
        Before::Row(list, at, old, held) => {
            let same = size(workbook, *list) == *held;
            let new = workbook
                .sheets
                .get(*list)?
                .rows
                .as_ref()?
                .rows
                .get(*at)
                .filter(|_| same)?;
            let edits = row(workbook, book, *list, *at, old, new)?;
            let named = edits.iter().any(|edit| edit.named.is_some());
            let mut by_name = || {
                *asked
                    .entry(*list)
                    .or_insert_with(|| by_name(workbook, book, settlement, *list))
            };
            (!named || !by_name()).then_some(edits)
        }
    });
    each.collect()
}

fn line(book: &Book, sheet: usize, at: usize, old: &Line, new: &Line) -> Option<Edit> {
    let sheet = book.sheets.get(sheet)?;
    let faults = !old.faults.is_empty() || !new.faults.is_empty() || old.number != new.number;
    let id = match (&old.statement, &new.statement) {
        (Statement::Quantity(a), Statement::Quantity(b)) => {
            let text = |kind: &Option<KindText>| matches!(kind, Some(KindText::Text));
            if a.name != b.name
                || a.role != b.role
                || a.values.len() != b.values.len()
                || a.such_that.is_some() != b.such_that.is_some()
                || text(&a.kind) != text(&b.kind)
            {
                return None;
            }
            let entry = sheet
                .entries
                .iter()
                .find(|entry| entry.sense == Sense::Quantity && entry.line == at)?;
            entry.id
        }
        (
            Statement::At { item: a, name: one, .. },
            Statement::At {
                item: b, name: other, ..
            },
        ) => {
            if one != other || format!("{a:?}") != format!("{b:?}") {
                return None;
            }
            sheet
                .entries
                .iter()
                .find(|entry| entry.at.iter().any(|(_, line)| *line == at))?
                .id
        }
        _ => return None,
    };
    Some(Edit {
        id,
        item: None,
        formulas: true,
        faults,
        named: None,
    })
}

/// Whether something asks for rows of a list by their names.
fn by_name(workbook: &Workbook, book: &Book, settlement: &Settlement, list: usize) -> bool {
    let (Some(text), Some(sheet)) = (workbook.sheets.get(list), book.sheets.get(list)) else {
        return true;
    };
    let is_by_key = |line: &Line| {
        let item = match &line.statement {
            Statement::At { item, .. } => item,
            _ => return false,
        };
        matches!(item, Item::Key(_))
    };
    text.lines.iter().any(is_by_key) || settlement.asks_by_name(book, sheet)
}

/// The cells of a row that are others now.
fn row(workbook: &Workbook, book: &Book, list: usize, at: usize, old: &Row, new: &Row) -> Option<Vec<Edit>> {
    if old.cells.len() != new.cells.len() {
        return None;
    }
    let faults = old.faults.is_some() || new.faults.is_some() || old.number != new.number;
    let cells = old.cells.iter().zip(&new.cells).enumerate();
    let changed = cells.filter(|(_, (old, new))| !same(old, new));
    let edits = changed.map(|(column, (old, new))| {
        let edit = cell(workbook, book, (list, at, column), old, new)?;
        Some(Edit { faults, ..edit })
    });
    let edits: Option<Vec<Edit>> = edits.collect();
    // What is wrong with a row may be another thing while its cells are what they were.
    edits.filter(|edits| !faults || !edits.is_empty())
}

fn cell(
    workbook: &Workbook,
    book: &Book,
    (list, at, column): (usize, usize, usize),
    old: &Cell,
    new: &Cell,
) -> Option<Edit> {
    let sheet = book.sheets.get(list)?;
    let entry = sheet.entries.iter().find(|entry| entry.column == Some(column))?;
    let grouped = book.entries().any(|other| {
        other
            .copied
            .as_ref()
            .is_some_and(|copied| copied.list == sheet.name && copied.by == entry.name)
    });
    if grouped {
        return None;
    }
    let is_key = sheet.key.as_ref() == Some(&entry.name);
    // Where the line says no unit, the first cell says it.
    let quantity = quantity_of(workbook, entry)?;
    let said = quantity.unit.is_some() || quantity.values.iter().any(Option::is_some);
    let worded = matches!(quantity.kind, Some(KindText::Text | KindText::Choice(_)));
    if !said && !worded {
        return None;
    }
    let formula = |cell: &Cell| matches!(cell, Cell::Formula(_));
    Some(Edit {
        id: entry.id,
        item: Some(at),
        formulas: formula(old) || formula(new),
        faults: false,
        named: is_key.then(|| (list, at, name_of_row(at, Some(new)))),
    })
}

fn same(old: &Cell, new: &Cell) -> bool {
    match (old, new) {
        (Cell::Blank, Cell::Blank) => true,
        (Cell::Number(a, u), Cell::Number(b, v)) => {
            a == b && a.scale() == b.scale() && u.as_ref().map(|unit| &unit.text) == v.as_ref().map(|unit| &unit.text)
        }
        (Cell::Text(a), Cell::Text(b)) | (Cell::Word(a), Cell::Word(b)) => a == b,
        (Cell::Formula(a), Cell::Formula(b)) => a.text == b.text,
        _ => false,
    }
}
