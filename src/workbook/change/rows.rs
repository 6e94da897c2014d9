//! Changes of rows and cells of a list.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::sync::Arc;

use super::columns::rows_line;
use super::rename::{Wish, names_row};
use super::{Change, Done, Place, Restore, refused, rows_of, typed_row};
use crate::fault::Fault;
use crate::language::syntax::{Item, Name};
use crate::workbook::settle;
use crate::workbook::text::{bars, quoted, row_text};
use crate::workbook::{Cell, Row, Rows, Sheet, Statement};

fn no_row(row: usize) -> Fault {
    refused(format!("the list has no row {}", row + 1), "rows are counted from 1")
}

impl Done<'_> {
    fn row(&self, list: usize, row: usize) -> Result<&Row, Fault> {
        let rows = self.book.sheets.get(list).and_then(|sheet| sheet.rows.as_ref());
        rows.and_then(|rows| rows.rows.get(row)).ok_or_else(|| no_row(row))
    }

    pub(super) fn replace_row(&mut self, list: usize, row: usize, content: Row) -> Result<(), Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(|| no_row(row))?;
        let held = rows_of(sheet)?.rows.get_mut(row).ok_or_else(|| no_row(row))?;
        let old = std::mem::replace(held, content);
        self.back.push(Change::Restore(Restore::Row(list, row, Box::new(old))));
        self.settle_rows(list);
        Ok(())
    }

    pub(super) fn put_row(&mut self, list: usize, row: usize, content: Row) -> Result<(), Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(|| no_row(row))?;
        let rows = &mut rows_of(sheet)?.rows;
        if row > rows.len() {
            return Err(no_row(row));
        }
        rows.insert(row, content);
        self.back.push(Change::Restore(Restore::DeleteRow(list, row)));
        self.settle_rows(list);
        Ok(())
    }

    pub(super) fn take_row(&mut self, list: usize, row: usize) -> Result<(), Fault> {
        self.row(list, row)?;
        let sheet = self.book.sheets.get_mut(list).ok_or_else(|| no_row(row))?;
        let old = rows_of(sheet)?.rows.remove(row);
        self.back
            .push(Change::Restore(Restore::InsertRow(list, row, Box::new(old))));
        self.settle_rows(list);
        Ok(())
    }

    /// Only `at` lines speak of rows.
    fn settle_rows(&mut self, list: usize) {
        let lines = self.book.sheets.get(list).map(|sheet| sheet.lines.as_slice());
        if lines.is_some_and(|lines| lines.iter().any(|line| matches!(line.statement, Statement::At { .. }))) {
            self.settle(Some(list));
        }
    }

    pub(super) fn set_cell(&mut self, list: &Name, row: usize, name: &Name, text: &str) -> Result<(), Fault> {
        let at = self.sheet(list)?;
        let text = text.trim();
        if text.contains(['\n', '\r']) {
            return Err(refused("a cell stands on one line", "write it without line ends"));
        }
        let sheet = self.book.sheets.get_mut(at).ok_or_else(|| no_row(row))?;
        let columns = &rows_of(sheet)?.columns;
        let Some(column) = columns.iter().position(|column| column == name) else {
            return self.set_at(at, row, name, text);
        };
        let count = columns.len();
        let old = self.row(at, row)?;
        let old_text = row_text(old);
        let body = match &old.faulty {
            Some(whole) => without_comment(whole),
            None => old
                .comment
                .as_ref()
                .map_or(old_text.as_str(), |_| without_comment(&old_text)),
        };
        let mut parts: Vec<&str> = bars(body);
        if count == 1 && body.trim() == "|" {
            parts.truncate(1);
        }
        while parts.len() <= column {
            parts.push("");
        }
        if let Some(part) = parts.get_mut(column) {
            *part = text;
        }
        let mut new_text = parts.iter().map(|part| part.trim()).collect::<Vec<_>>().join(" | ");
        if new_text.trim().is_empty() {
            "|".clone_into(&mut new_text);
        }
        if let Some(comment) = comment_of(&old_text) {
            new_text.push_str("  ");
            new_text.push_str(comment);
        }
        // What is left open in quotes would take the cells behind it into itself.
        if bars(&format!("{text} |")).len() < 2 {
            return Err(refused(
                "a text begins with a quote sign here and does not end",
                "write another quote sign at its end, or none",
            ));
        }
        if bars(text).len() != 1 || comment_of(text).is_some() {
            return Err(refused(
                "this cannot stand in one cell",
                "a `|` or `#` stands in quotes there",
            ));
        }
        let (before, number, indent) = (old.before.clone(), old.number, old.indent.clone());
        let sheet = self.book.sheets.get(at).ok_or_else(|| no_row(row))?;
        let new = Row {
            before,
            number,
            indent,
            ..typed_row(sheet, &new_text)?
        };
        self.key_follows(at, row, &new)?;
        self.replace_row(at, row, new)
    }

    /// What names a row by its key names the same row when its key is typed anew: by the new one, or by its number where that is the
    /// key of another row as well. What names that other one goes by its number then.
    fn key_follows(&mut self, list: usize, row: usize, new: &Row) -> Result<(), Fault> {
        let Some(sheet) = self.book.sheets.get(list) else {
            return Ok(());
        };
        let (Some(column), Some(rows)) = (settle::key_column(sheet), &sheet.rows) else {
            return Ok(());
        };
        let was = rows.rows.get(row).and_then(|row| key_of(row, column));
        let is = key_of(new, column);
        // Rows are looked through only where something names one of them so.
        let named = |key: &Name| names_row(self.book, list, key);
        if was == is || !was.into_iter().chain(is).any(named) {
            return Ok(());
        }
        let (was, is) = (was.cloned(), is.cloned());
        let has = |key: &Option<Name>| -> Vec<usize> {
            let is = |(_, row): &(usize, &Row)| key.is_some() && key_of(row, column) == key.as_ref();
            rows.rows.iter().enumerate().filter(is).map(|(at, _)| at).collect()
        };
        let (had, taken) = (has(&was), has(&is));
        let number = |row: usize| Item::Row(u32::try_from(row + 1).unwrap_or(u32::MAX));
        let called = |key: &str| match (had.as_slice(), taken.as_slice()) {
            ([_], others) if was.as_deref() == Some(key) => Some(match &is {
                Some(is) if others.is_empty() => Item::Key(is.clone()),
                _ => number(row),
            }),
            (_, [other]) if is.as_deref() == Some(key) => Some(number(*other)),
            _ => None,
        };
        let list = sheet.name.clone();
        self.rewrite(&Wish::Rows {
            list: &list,
            to: &Some,
            called: &called,
        })
    }

    /// The own formula of a row for a quantity that is no column.
    fn set_at(&mut self, list: usize, row: usize, name: &Name, text: &str) -> Result<(), Fault> {
        self.quantity_line(list, name)?;
        self.row(list, row)?;
        let sheet = self.book.sheets.get(list).ok_or_else(|| no_row(row))?;
        let key = unique_key(sheet, row);
        let number = u32::try_from(row + 1).unwrap_or(u32::MAX);
        let held = sheet.lines.iter().position(|line| match &line.statement {
            Statement::At { item, name: of, .. } if of == name => match item {
                Item::Key(held) => key.as_ref() == Some(held),
                Item::Row(held) => *held == number,
                Item::Same => false,
            },
            _ => false,
        });
        let after = sheet.lines.len();
        let who = match &key {
            Some(key) => quoted(key),
            None => format!("row {number}"),
        };
        let line = format!("at {who} {name} = {text}");
        match held {
            Some(held) if text.is_empty() => self.delete_line(Place::Line(list, held)),
            Some(held) => self.set_line(Place::Line(list, held), &line),
            None if text.is_empty() => Ok(()),
            None => self.insert_line(Place::Line(list, after), &Arc::from(""), &line),
        }
    }

    pub(super) fn insert_row(&mut self, list: &Name, at: usize, text: &str) -> Result<(), Fault> {
        let index = self.sheet(list)?;
        let sheet = self.book.sheets.get_mut(index).ok_or_else(|| no_row(at))?;
        if at > rows_of(sheet)?.rows.len() {
            return Err(no_row(at));
        }
        let sheet = self.book.sheets.get(index).ok_or_else(|| no_row(at))?;
        let row = typed_row(sheet, text)?;
        // A row at the end leaves the numbers of all others.
        if sheet.rows.as_ref().is_some_and(|rows| at < rows.rows.len()) {
            self.renumber(list, |row| Some(if row > at { row + 1 } else { row }))?;
        }
        self.put_row(index, at, row)
    }

    pub(super) fn delete_row(&mut self, list: &Name, row: usize) -> Result<(), Fault> {
        let index = self.sheet(list)?;
        self.row(index, row)?;
        self.delete_own(index, &[row])?;
        self.renumber(list, |number| match number.cmp(&(row + 1)) {
            std::cmp::Ordering::Less => Some(number),
            std::cmp::Ordering::Equal => None,
            std::cmp::Ordering::Greater => Some(number - 1),
        })?;
        self.take_row(index, row)
    }

    pub(super) fn delete_rows(&mut self, list: &Name, gone: &[usize]) -> Result<(), Fault> {
        if let [only] = gone {
            return self.delete_row(list, *only);
        }
        let index = self.sheet(list)?;
        for row in gone {
            self.row(index, *row)?;
        }
        if gone.is_empty() || !gone.is_sorted_by(|one, next| one < next) {
            return Err(refused("no rows are chosen", "name each row once, in rising order"));
        }
        self.delete_own(index, gone)?;
        self.renumber(list, |number| {
            let row = number.saturating_sub(1);
            match gone.binary_search(&row) {
                Ok(_) => None,
                Err(before) => Some(number - before),
            }
        })?;
        let Some(sheet) = self.book.sheets.get(index) else {
            return Err(no_row(0));
        };
        let (Some((at, line)), Some(rows)) = (rows_line(sheet), &sheet.rows) else {
            return Err(no_row(0));
        };
        let line = line.clone();
        let rows = Rows {
            columns: rows.columns.clone(),
            rows: rows
                .rows
                .iter()
                .enumerate()
                .filter(|(row, _)| gone.binary_search(row).is_err())
                .map(|(_, row)| row.clone())
                .collect(),
        };
        self.replace_rows(index, at, line, rows)
    }

    pub(super) fn move_row(&mut self, list: &Name, row: usize, to: usize) -> Result<(), Fault> {
        let index = self.sheet(list)?;
        self.row(index, row)?;
        self.row(index, to)?;
        self.renumber(list, |number| {
            let at = number.saturating_sub(1);
            let moved = if at == row {
                to
            } else if row < at && at <= to {
                at - 1
            } else if to <= at && at < row {
                at + 1
            } else {
                at
            };
            Some(moved + 1)
        })?;
        let content = self.row(index, row)?.clone();
        self.take_row(index, row)?;
        self.put_row(index, to, content)
    }

    /// Lines of rows that go are taken away with them.
    fn delete_own(&mut self, list: usize, gone: &[usize]) -> Result<(), Fault> {
        let own = self.book.sheets.get(list).map(|sheet| own_lines(sheet, gone));
        for (line, _) in own.unwrap_or_default().into_iter().rev() {
            self.delete_line(Place::Line(list, line))?;
        }
        Ok(())
    }

    /// Lets everything that reads rows by their number follow.
    fn renumber(&mut self, list: &Name, to: impl Fn(usize) -> Option<usize>) -> Result<(), Fault> {
        self.rewrite(&Wish::Rows {
            list,
            to: &to,
            called: &|_| None,
        })
    }
}

/// The `at` lines that say something of these rows alone, in order, and the quantity of each; `rows` in rising order.
pub fn own_lines(sheet: &Sheet, rows: &[usize]) -> Vec<(usize, Name)> {
    let by_key: OnceCell<HashMap<Name, Vec<usize>>> = OnceCell::new();
    let row_of = |item: &Item| match item {
        Item::Row(number) => (*number as usize).checked_sub(1),
        Item::Key(key) => match by_key.get_or_init(|| settle::rows_by_key(sheet)).get(key)?.as_slice() {
            [only] => Some(*only),
            _ => None,
        },
        Item::Same => None,
    };
    let own = sheet.lines.iter().enumerate().filter_map(|(at, line)| {
        let Statement::At { item, name, .. } = &line.statement else {
            return None;
        };
        let _ = rows.binary_search(&row_of(item)?).ok()?;
        Some((at, name.clone()))
    });
    own.collect()
}

/// The key of a row.
fn key_of(row: &Row, column: usize) -> Option<&Name> {
    match row.cells.get(column) {
        Some(Cell::Text(key)) => Some(key),
        _ => None,
    }
}

/// The key of a row, where it is the only one of that name.
fn unique_key(sheet: &Sheet, row: usize) -> Option<Name> {
    let column = settle::key_column(sheet)?;
    let rows = &sheet.rows.as_ref()?.rows;
    let key = key_of(rows.get(row)?, column)?;
    let same = rows.iter().filter(|row| key_of(row, column) == Some(key)).count();
    (same == 1).then(|| key.clone())
}

fn comment_of(text: &str) -> Option<&str> {
    let mut open = crate::workbook::text::Open::default();
    open.scan(text);
    open.comment.and_then(|at| text.get(at..))
}

/// The cells of the text of a row, and its comment.
pub(super) fn body_and_comment(text: &str) -> (&str, &str) {
    (without_comment(text), comment_of(text).unwrap_or(""))
}

fn without_comment(text: &str) -> &str {
    let end = text.len() - comment_of(text).map_or(0, str::len);
    text.get(..end).unwrap_or(text)
}
