//! Changes of the columns of a list.

use super::{Change, Done, Restore, never_has_rows, refused, rows_of, typed};
use crate::fault::Fault;
use crate::language::syntax::Name;
use crate::workbook::text::{Columns, bars, cell_text, is_statement, read_row, read_statement, row_text};
use crate::workbook::{Cell, Line, Row, Rows, Sheet, Statement};

fn gone() -> Fault {
    refused("there is no such list", "choose a list")
}

fn no_column(name: &str) -> Fault {
    refused(
        format!("`{name}` is no column of this list"),
        "its columns are named in the line `rows`",
    )
}

/// What a row has in the place of a column.
enum Step<'c> {
    /// Where, and the cells from the first row on.
    Insert(usize, &'c [Cell]),
    Delete(usize),
}

impl Step<'_> {
    /// The cell that a row gets.
    fn cell(&self, row: usize) -> &Cell {
        match self {
            Step::Insert(_, cells) => cells.get(row).unwrap_or(&Cell::Blank),
            Step::Delete(_) => &Cell::Blank,
        }
    }
}

impl Done<'_> {
    /// Puts a column before the one that stands at the index, or last. The first column of a list without rows brings the line that names it.
    pub(super) fn insert_column(&mut self, list: &Name, at: usize, name: &Name, cells: &[Cell]) -> Result<(), Fault> {
        let index = self.sheet(list)?;
        if self.begins_rows(index)? && at == 0 {
            let columns = vec![name.clone()];
            let (at, line) = (
                self.book.sheets.get(index).ok_or_else(gone)?.lines.len(),
                rows_typed(&columns, None)?,
            );
            return self.put_rows(
                index,
                at,
                line,
                Rows {
                    columns,
                    rows: Vec::new(),
                },
            );
        }
        let mut columns = self.columns(index)?;
        if columns.contains(name) {
            return Err(refused(
                format!("`{name}` is a column of this list already"),
                "type in its cells",
            ));
        }
        if at > columns.len() {
            return Err(refused(
                format!("the list has no column {}", at + 1),
                "columns are counted from 1",
            ));
        }
        columns.insert(at, name.clone());
        self.set_columns(index, columns, &Step::Insert(at, cells))
    }

    /// Whether a list has no line yet that names its columns.
    fn begins_rows(&self, list: usize) -> Result<bool, Fault> {
        let sheet = self.book.sheets.get(list).ok_or_else(gone)?;
        never_has_rows(sheet)?;
        Ok(sheet.rows.is_none())
    }

    /// Puts the line that names the columns, and rows, into a list that has none.
    pub(super) fn put_rows(&mut self, list: usize, at: usize, line: Line, rows: Rows) -> Result<(), Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(gone)?;
        if at > sheet.lines.len() {
            return Err(gone());
        }
        sheet.lines.insert(at, line);
        sheet.rows = Some(rows);
        self.back.push(Change::Restore(Restore::DeleteRows(list, at)));
        self.settle(Some(list));
        Ok(())
    }

    /// Takes them away, all of them.
    pub(super) fn take_rows(&mut self, list: usize, at: usize) -> Result<(), Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(gone)?;
        if at >= sheet.lines.len() {
            return Err(gone());
        }
        let line = sheet.lines.remove(at);
        let held = Box::new((line, sheet.rows.take().unwrap_or_default()));
        self.back.push(Change::Restore(Restore::InsertRows(list, at, held)));
        self.settle(Some(list));
        Ok(())
    }

    /// Takes a column and its cells away.
    pub(super) fn delete_column(&mut self, list: &Name, name: &Name) -> Result<(), Fault> {
        let index = self.sheet(list)?;
        let mut columns = self.columns(index)?;
        let at = columns
            .iter()
            .position(|column| column == name)
            .ok_or_else(|| no_column(name))?;
        if columns.len() == 1 {
            return Err(refused(
                format!("`{name}` is the only column of this list"),
                "a list has at least one column; take the list away instead",
            ));
        }
        columns.remove(at);
        self.set_columns(index, columns, &Step::Delete(at))
    }

    fn columns(&mut self, list: usize) -> Result<Vec<Name>, Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(gone)?;
        Ok(rows_of(sheet)?.columns.clone())
    }

    fn set_columns(&mut self, list: usize, columns: Vec<Name>, step: &Step<'_>) -> Result<(), Fault> {
        let sheet = self.book.sheets.get(list).ok_or_else(gone)?;
        let (at, line) = rows_line(sheet).ok_or_else(gone)?;
        if line.faults.iter().any(Fault::is_error) {
            return Err(refused(
                "the line `rows` of this list has a fault",
                "mend its column names first",
            ));
        }
        let line = rows_typed(&columns, Some(line))?;
        let mut lines = sheet.lines.clone();
        if let Some(held) = lines.get_mut(at) {
            *held = line.clone();
        }
        // The sheet as it will be, without its rows: how their texts are to be read.
        let shape = Sheet {
            lines,
            rows: Some(Rows {
                columns: columns.clone(),
                rows: Vec::new(),
            }),
            ..empty_like(sheet)
        };
        let mut reading = Columns::of(&shape);
        let held = sheet.rows.as_ref().map_or(&[][..], |rows| rows.rows.as_slice());
        let rows = held
            .iter()
            .enumerate()
            .map(|(at, row)| stepped(row, step, step.cell(at), &mut reading))
            .collect::<Result<Vec<Row>, Fault>>()?;
        self.replace_rows(list, at, line, Rows { columns, rows })
    }

    /// Reads the rows again of lists whose columns are now of another sort: what was a number may have become a text.
    pub(super) fn read_again(&mut self, before: &[Option<Columns>]) -> Result<(), Fault> {
        for (list, before) in before.iter().enumerate() {
            let Some(sheet) = self.book.sheets.get(list) else { break };
            let (Some(before), Some(mut reading), Some(rows)) = (before, reading(sheet), &sheet.rows) else {
                continue;
            };
            if before.reads_as(&reading, rows.rows.iter().any(|row| row.faults.is_some())) {
                continue;
            }
            let Some((at, line)) = rows_line(sheet) else { continue };
            let line = line.clone();
            let rows = Rows {
                columns: rows.columns.clone(),
                rows: rows
                    .rows
                    .iter()
                    .map(|row| Row {
                        before: row.before.clone(),
                        number: row.number,
                        ..read_row(row_text(row).trim(), &mut reading)
                    })
                    .collect(),
            };
            self.replace_rows(list, at, line, rows)?;
        }
        Ok(())
    }

    /// Puts another `rows` line and other rows in place.
    pub(super) fn replace_rows(&mut self, list: usize, at: usize, line: Line, rows: Rows) -> Result<(), Fault> {
        let sheet = self.book.sheets.get_mut(list).ok_or_else(gone)?;
        let held = sheet.lines.get_mut(at).ok_or_else(gone)?;
        let old_line = std::mem::replace(held, line);
        let old_rows = sheet.rows.replace(rows).unwrap_or_default();
        self.back
            .push(Change::Restore(Restore::Rows(list, at, Box::new((old_line, old_rows)))));
        self.settle(Some(list));
        Ok(())
    }

    /// Moves a case, and the values given for it.
    pub(super) fn move_case(&mut self, sheet: &Name, case: usize, to: usize) -> Result<(), Fault> {
        let index = self.sheet(sheet)?;
        let Some((line, mut names)) = self
            .cases(index)
            .filter(|(_, names)| case < names.len() && to < names.len())
        else {
            return Err(refused(
                format!("the sheet has no case {}", case.max(to) + 1),
                "cases are named in the line `cases`",
            ));
        };
        let count = names.len();
        let name = names.remove(case);
        names.insert(to, name);
        self.each_quantity(index, count, |values| {
            let value = values.remove(case);
            values.insert(to, value);
        })?;
        self.set_cases(index, line, &names)
    }
}

/// How the rows of a list are read.
pub(super) fn reading(sheet: &Sheet) -> Option<Columns> {
    sheet.rows.is_some().then(|| Columns::of(sheet))
}

/// The line that names the columns.
pub(super) fn rows_line(sheet: &Sheet) -> Option<(usize, &Line)> {
    sheet
        .lines
        .iter()
        .enumerate()
        .find(|(_, line)| matches!(line.statement, Statement::Rows))
}

/// The line that names some columns, with the comment of the one that named others.
fn rows_typed(columns: &[Name], old: Option<&Line>) -> Result<Line, Fault> {
    let names: Vec<&str> = columns.iter().map(AsRef::as_ref).collect();
    let comment = old.and_then(|old| old.text.get(old.text.find('#')?..));
    let comment = comment.map_or(String::new(), |comment| format!("  {comment}"));
    let text = format!("rows {}{comment}", names.join(" | "));
    let (read, found) = read_statement(&text);
    if found.iter().map(|(name, _)| name).ne(columns) || read.faults.iter().any(Fault::is_error) {
        return Err(refused(
            "this cannot be the name of a column",
            "a name is letters, digits and `_`, and no word of the language",
        ));
    }
    typed(&text, old)
}

fn empty_like(sheet: &Sheet) -> Sheet {
    Sheet {
        lines: Vec::new(),
        rows: None,
        name: sheet.name.clone(),
        title: sheet.title.clone(),
        form: sheet.form,
        opening: sheet.opening.clone(),
    }
}

/// A row with this cell more, or a cell less.
fn stepped(row: &Row, step: &Step<'_>, cell: &Cell, reading: &mut Columns) -> Result<Row, Fault> {
    let read = row.faulty.is_some() || row.faults.is_some();
    let mut made = row.clone();
    if read {
        let new = cell_text(cell);
        let text = row_text(row);
        let (body, comment) = super::rows::body_and_comment(&text);
        let mut parts: Vec<&str> = bars(body).into_iter().map(str::trim).collect();
        match step {
            Step::Insert(at, _) if *at <= parts.len() => parts.insert(*at, &new),
            Step::Delete(at) if *at < parts.len() => {
                let _ = parts.remove(*at);
            }
            _ => {}
        }
        let mut text = parts.join(" | ");
        if text.trim().is_empty() {
            "|".clone_into(&mut text);
        }
        if !comment.is_empty() {
            text.push_str("  ");
            text.push_str(comment);
        }
        made = Row {
            before: row.before.clone(),
            number: row.number,
            indent: row.indent.clone(),
            ..read_row(text.trim(), reading)
        };
    } else {
        match step {
            Step::Insert(at, _) if *at <= made.cells.len() => made.cells.insert(*at, cell.clone()),
            Step::Delete(at) if *at < made.cells.len() => {
                let _ = made.cells.remove(*at);
            }
            _ => {}
        }
    }
    if matches!(step, Step::Delete(0)) && is_statement(&row_text(&made)) {
        return Err(refused(
            "a row would begin with a word of the language then, and be read as a line of its own",
            "put that word in brackets or quotes first",
        ));
    }
    Ok(made)
}
