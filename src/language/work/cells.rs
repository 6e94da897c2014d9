//! What the evaluator asks about cells. `recalc` answers for a workbook, tests answer from a table.
//!
//! Cells of published tables are answered here: nobody else has them.

use std::sync::{LazyLock, OnceLock};

use super::{Outcome, Remark, Value};
use crate::language::check::{QuantityId, SheetId, key_column};
use crate::quantity::Number;
use crate::standards::{Entry, Table, tables};

/// The answer to "which item has this key".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// This one.
    One(usize),
    /// None has it.
    None,
    /// Several have it; the first two.
    Several(usize, usize),
}

/// Worked cells, read only. Items are counted from 0.
pub trait Cells: Sync {
    /// All cells of a quantity, one for each item of its sheet.
    fn column(&self, quantity: QuantityId) -> &[Outcome];
    /// The sheet a quantity stands in.
    fn sheet_of(&self, quantity: QuantityId) -> SheetId;
    /// How many items a sheet has.
    fn count(&self, sheet: SheetId) -> usize;
    /// The item of a sheet with this key.
    fn find(&self, sheet: SheetId, key: &str) -> Found;
    /// The item of `to` that stands for the same case as `item` of `from`.
    fn counterpart(&self, from: SheetId, item: usize, to: SheetId) -> Option<usize>;
    /// The name of a quantity, for messages.
    fn name(&self, quantity: QuantityId) -> String;
    /// The name of a sheet, for messages.
    fn sheet_name(&self, sheet: SheetId) -> String;
    /// Where an item is, for messages: ` in row 12`, ` for winter`, or nothing.
    fn place(&self, sheet: SheetId, item: usize) -> String;
}

/// The columns of each table as cells, made when they are first asked for.
static COLUMNS: LazyLock<Vec<OnceLock<Vec<Vec<Outcome>>>>> =
    LazyLock::new(|| tables::names().map(|_| OnceLock::new()).collect());

/// The table a sheet's handle stands for.
pub(super) fn table(sheet: SheetId) -> Option<&'static Table> {
    tables::at(sheet.table()?)
}

fn published(quantity: QuantityId) -> Option<&'static [Outcome]> {
    let (number, column) = quantity.column()?;
    let made = COLUMNS.get(number)?.get_or_init(|| match tables::at(number) {
        Some(table) => columns(table),
        None => Vec::new(),
    });
    Some(made.get(column)?.as_slice())
}

fn columns(table: &Table) -> Vec<Vec<Outcome>> {
    let cell = |name: &str, row: usize, entry: &Entry| match entry {
        Entry::Number(number) => Outcome::number(Number::Exact(*number)),
        Entry::Text(text) => Outcome::Value(Value::Text(text.clone())),
        Entry::Blank => Outcome::blank(format!("{} has no {name} in row {}", table.name, row + 1)),
    };
    table
        .columns
        .iter()
        .map(|column| {
            let entries = column.entries.iter().enumerate();
            entries.map(|(row, entry)| cell(&column.name, row, entry)).collect()
        })
        .collect()
}

/// The cells of a workbook with those of the published tables behind them.
#[derive(Clone, Copy)]
pub(super) struct Known<'a>(pub &'a dyn Cells);

impl<'a> Known<'a> {
    pub fn column(self, quantity: QuantityId) -> &'a [Outcome] {
        match quantity.column() {
            Some(_) => published(quantity).unwrap_or(&[]),
            None => self.0.column(quantity),
        }
    }

    pub fn sheet_of(self, quantity: QuantityId) -> SheetId {
        match quantity.column() {
            Some((number, _)) => SheetId::of_table(number),
            None => self.0.sheet_of(quantity),
        }
    }

    pub fn count(self, sheet: SheetId) -> usize {
        match sheet.table() {
            Some(_) => table(sheet).map_or(0, Table::rows),
            None => self.0.count(sheet),
        }
    }

    pub fn find(self, sheet: SheetId, key: &str) -> Found {
        if sheet.table().is_none() {
            return self.0.find(sheet, key);
        }
        let entries = table(sheet).and_then(key_column).unwrap_or(&[]);
        let mut rows = entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| matches!(entry, Entry::Text(text) if **text == *key))
            .map(|(row, _)| row);
        match (rows.next(), rows.next()) {
            (None, _) => Found::None,
            (Some(row), None) => Found::One(row),
            (Some(first), Some(second)) => Found::Several(first, second),
        }
    }

    pub fn counterpart(self, from: SheetId, item: usize, to: SheetId) -> Option<usize> {
        match to.table() {
            Some(_) => None,
            None => self.0.counterpart(from, item, to),
        }
    }

    pub fn name(self, quantity: QuantityId) -> String {
        let Some((number, column)) = quantity.column() else {
            return self.0.name(quantity);
        };
        let column = tables::at(number).and_then(|table| table.columns.get(column));
        column.map_or_else(String::new, |column| column.name.to_string())
    }

    pub fn sheet_name(self, sheet: SheetId) -> String {
        match sheet.table() {
            Some(_) => table(sheet).map_or_else(String::new, |table| table.name.to_owned()),
            None => self.0.sheet_name(sheet),
        }
    }

    /// The remark that a row of a table is from memory, where it is.
    pub fn remark(self, sheet: SheetId, row: usize) -> Option<Remark> {
        let number = sheet.table()?;
        tables::at(number)
            .filter(|table| table.is_from_memory(row))
            .map(|table| Remark::FromMemory(table.name))
    }
}
