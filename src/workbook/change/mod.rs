//! Change: everything a user does to a workbook, applied in one place.
//!
//! For: the window, the journal, undo and redo.
//! Always: applying a change gives the change that takes it back; taking it back gives the same text again. A change that is
//! refused leaves the workbook as it was.
//! Not known here: results.

mod clauses;
mod columns;
mod follow;
mod lines;
mod rename;
mod rows;
mod touches;
mod values;

pub use clauses::Clause;
pub use follow::{Went, follow, read_by_number};
pub use rename::{rename_fault, retyped, retyped_fault};
pub use rows::own_lines;
pub use touches::Touches;
#[cfg(feature = "window")]
pub(crate) use values::case_fault;

use std::sync::Arc;

use super::text::{Columns, read_row, read_statement};
use super::{Cell, Form, Indent, Line, Row, Rows, Sheet, Statement, Workbook, settle};
use crate::fault::{Code, Fault, Span, Words};
use crate::language::syntax::Name;

/// Where a statement stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A line before the first sheet.
    Head(usize),
    /// The opening line of a sheet.
    Opening(usize),
    /// A line of a sheet: which sheet, which line.
    Line(usize, usize),
}

/// What a user does.
#[derive(Clone, Debug)]
pub enum Change {
    /// Types a statement anew.
    SetLine {
        /// Which.
        place: Place,
        /// The statement, without indent.
        text: Arc<str>,
    },
    /// Puts a statement before the one that stands at the place, or last.
    InsertLine {
        /// Where; an opening line is inserted by [`Change::InsertSheet`].
        place: Place,
        /// Comment and blank lines before it, each with its line end.
        before: Arc<str>,
        /// The statement, without indent.
        text: Arc<str>,
    },
    /// Takes a statement away, with the comments before it.
    DeleteLine {
        /// Which.
        place: Place,
    },
    /// Moves a statement within its sheet or within the head.
    MoveLine {
        /// Which.
        place: Place,
        /// Its index afterwards.
        to: usize,
    },
    /// Types the comments before a statement anew.
    SetComment {
        /// Which.
        place: Place,
        /// Comment and blank lines, each with its line end.
        before: Arc<str>,
    },
    /// Sets the formula of a quantity for all cases, or for one. An empty text makes a blank.
    SetValue {
        /// Sheet or list.
        sheet: Name,
        /// Quantity.
        quantity: Name,
        /// Which case, from 0; `None` for all.
        case: Option<usize>,
        /// The formula.
        text: Arc<str>,
    },
    /// Sets a part of the line of a quantity, all else as typed. An empty text takes it away.
    SetClause {
        /// Sheet or list.
        sheet: Name,
        /// Quantity.
        quantity: Name,
        /// Which part.
        clause: Clause,
        /// As it stands in a line, such as `in kW` or `: shaft power`.
        text: Arc<str>,
    },
    /// Sets the cell of a row. A quantity that is no column gets an `at` line of its own. An empty text makes a blank.
    SetCell {
        /// List.
        list: Name,
        /// Row, from 0.
        row: usize,
        /// Quantity.
        quantity: Name,
        /// As typed.
        text: Arc<str>,
    },
    /// Puts a row before the one that stands at the index, or last.
    InsertRow {
        /// List.
        list: Name,
        /// Where, from 0.
        at: usize,
        /// Cells with bars between them, as typed.
        text: Arc<str>,
    },
    /// Takes rows away, all in one go.
    DeleteRows {
        /// List.
        list: Name,
        /// Which, from 0, in rising order.
        rows: Vec<usize>,
    },
    /// Takes a row away.
    DeleteRow {
        /// List.
        list: Name,
        /// Which, from 0.
        row: usize,
    },
    /// Moves a row.
    MoveRow {
        /// List.
        list: Name,
        /// Which, from 0.
        row: usize,
        /// Its index afterwards.
        to: usize,
    },
    /// Puts a column before the one that stands at the index, or last. Its given has a line of its own.
    InsertColumn {
        /// List.
        list: Name,
        /// Where, from 0.
        at: usize,
        /// The given of the list.
        name: Name,
        /// What its rows have there, from the first on; the others have blanks.
        cells: Vec<Cell>,
    },
    /// Takes a column away, and its cells.
    DeleteColumn {
        /// List.
        list: Name,
        /// Which.
        name: Name,
    },
    /// Puts a case before the one that stands at the index, or last; quantities with a value for each case get a blank.
    InsertCase {
        /// Sheet.
        sheet: Name,
        /// Where, from 0.
        at: usize,
        /// Its name.
        name: Arc<str>,
    },
    /// Takes a case away, and the values given for it.
    DeleteCase {
        /// Sheet.
        sheet: Name,
        /// Which, from 0.
        case: usize,
    },
    /// Moves a case, and the values given for it.
    MoveCase {
        /// Sheet.
        sheet: Name,
        /// Which, from 0.
        case: usize,
        /// Its index afterwards.
        to: usize,
    },
    /// Gives a case another name; formulas that read it follow.
    RenameCase {
        /// Sheet.
        sheet: Name,
        /// Which, from 0.
        case: usize,
        /// The new name.
        to: Arc<str>,
    },
    /// Gives a quantity, curve or definition another name; all formulas that read it follow.
    Rename {
        /// Sheet or list; `None` for a definition or curve of the head.
        sheet: Option<Name>,
        /// The old name.
        from: Name,
        /// The new name.
        to: Name,
    },
    /// Gives a sheet or list another name; all formulas that read it follow.
    RenameSheet {
        /// The old name.
        from: Name,
        /// The new name.
        to: Name,
    },
    /// Puts sheets before the one that stands at the index, or last.
    InsertSheet {
        /// Where, from 0.
        at: usize,
        /// The lines of the sheet, as in the text of a workbook.
        text: Arc<str>,
    },
    /// Takes a sheet or list away.
    DeleteSheet {
        /// Which.
        sheet: Name,
    },
    /// Moves a sheet or list.
    MoveSheet {
        /// Which.
        sheet: Name,
        /// Its index afterwards.
        to: usize,
    },
    /// Sets the title of a sheet or list, or of the workbook.
    SetTitle {
        /// Which; `None` for the workbook.
        sheet: Option<Name>,
        /// The title.
        title: Arc<str>,
    },
    /// Several in order, as one.
    Several(Vec<Change>),
    /// Puts something back as it was: what taking back a change is made of.
    Restore(Restore),
}

/// A piece of a workbook as it was.
#[derive(Clone, Debug)]
pub enum Restore {
    /// A line in place of the one that stands there.
    Line(Place, Box<Line>),
    /// A line before the one that stands there.
    InsertLine(Place, Box<Line>),
    /// A row in place of the one that stands there: list, row.
    Row(usize, usize, Box<Row>),
    /// A row before the one that stands there: list, row.
    InsertRow(usize, usize, Box<Row>),
    /// Takes away the row: list, row.
    DeleteRow(usize, usize),
    /// All rows in place of those that are there, and the line that names their columns: list, line.
    Rows(usize, usize, Box<(Line, Rows)>),
    /// The same in a list that has none: list, line.
    InsertRows(usize, usize, Box<(Line, Rows)>),
    /// Takes away all rows and the line that names their columns: list, line.
    DeleteRows(usize, usize),
    /// Sheets before the one that stands there.
    InsertSheets(usize, Vec<Sheet>),
    /// Takes away so many sheets from there on.
    DeleteSheets(usize, usize),
}

/// How much of a workbook a change reaches, for those who work it again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// One statement is typed anew: which sheet (`None`: the head) and line. Its name may change as well.
    Line(Option<usize>, usize),
    /// Cells of one row: list, row.
    Row(usize, usize),
    /// Comments or titles only.
    Words,
    /// Anything.
    All,
}

impl Change {
    /// How much it reaches, looked at before it is applied.
    pub fn reach(&self, book: &Workbook) -> Reach {
        let index = |name: &Name| book.sheets.iter().position(|sheet| sheet.name == *name);
        match self {
            Change::SetLine { place, .. } | Change::Restore(Restore::Line(place, _)) => match place {
                Place::Head(line) => Reach::Line(None, *line),
                Place::Line(sheet, line) => Reach::Line(Some(*sheet), *line),
                Place::Opening(_) => Reach::All,
            },
            Change::SetComment { .. } | Change::SetTitle { sheet: Some(_), .. } => Reach::Words,
            Change::SetValue { sheet, quantity, .. } | Change::SetClause { sheet, quantity, .. } => {
                let found = index(sheet).and_then(|at| Some((at, line_of(book.sheets.get(at)?, quantity)?)));
                found.map_or(Reach::All, |(sheet, line)| Reach::Line(Some(sheet), line))
            }
            Change::SetCell {
                list, row, quantity, ..
            } => {
                let column = index(list).filter(|at| {
                    let rows = book.sheets.get(*at).and_then(|sheet| sheet.rows.as_ref());
                    rows.is_some_and(|rows| rows.columns.contains(quantity))
                });
                column.map_or(Reach::All, |list| Reach::Row(list, *row))
            }
            Change::Restore(Restore::Row(list, row, _)) => Reach::Row(*list, *row),
            Change::Several(changes) => match changes.as_slice() {
                [only] => only.reach(book),
                _ => Reach::All,
            },
            _ => Reach::All,
        }
    }
}

impl Change {
    /// The rows whose cells it reaches, as places of list and row, looked at before it is applied; `None` where it reaches more.
    pub fn rows(&self, book: &Workbook) -> Option<Vec<(usize, usize)>> {
        match self {
            Change::Several(changes) => {
                let mut rows = Vec::new();
                for change in changes {
                    rows.extend(change.rows(book)?);
                }
                rows.sort_unstable();
                rows.dedup();
                Some(rows)
            }
            change => match change.reach(book) {
                Reach::Row(list, row) => Some(vec![(list, row)]),
                Reach::Words => Some(Vec::new()),
                Reach::Line(..) | Reach::All => None,
            },
        }
    }
}

/// Applies a change; gives the change that takes it back.
///
/// # Errors
/// `change-refused` with the reason. The workbook is then as it was.
pub fn apply(book: &mut Workbook, change: &Change) -> Result<Change, Fault> {
    let mut done = Done {
        book,
        back: Vec::new(),
        unsettled: Vec::new(),
    };
    let outcome = done.change(change);
    match outcome {
        Ok(()) => {
            done.look_again();
            let mut back = done.back;
            back.reverse();
            Ok(match (back.pop(), back.is_empty()) {
                (Some(only), true) => only,
                (Some(last), false) => {
                    back.push(last);
                    Change::Several(back)
                }
                (None, _) => Change::Several(Vec::new()),
            })
        }
        Err(fault) => {
            let back = std::mem::take(&mut done.back);
            for change in back.iter().rev() {
                // What was just done can be taken back.
                if done.change(change).is_err() {
                    break;
                }
            }
            done.look_again();
            Err(fault)
        }
    }
}

/// The fault for a change that cannot be made.
fn refused(message: impl Into<Words>, help: impl Into<Words>) -> Fault {
    Fault::new(Code::CHANGE_REFUSED, Span::default(), message).help(help)
}

/// The line that defines a name.
fn line_of(sheet: &Sheet, name: &str) -> Option<usize> {
    sheet
        .lines
        .iter()
        .position(|line| settle::defines(&line.statement).is_some_and(|known| **known == *name))
}

/// A workbook while it is changed, with what takes the steps back.
struct Done<'b> {
    book: &'b mut Workbook,
    back: Vec<Change>,
    /// Sheets whose lines have to be looked at together again, `None` for the head.
    unsettled: Vec<Option<Name>>,
}

impl Done<'_> {
    fn change(&mut self, change: &Change) -> Result<(), Fault> {
        let lines = matches!(
            change,
            Change::SetLine { .. }
                | Change::InsertLine { .. }
                | Change::DeleteLine { .. }
                | Change::SetClause { .. }
                | Change::Rename { .. }
                | Change::Restore(Restore::Line(..) | Restore::InsertLine(..))
        );
        if !lines {
            return self.step(change);
        }
        let before: Vec<Option<Columns>> = self.book.sheets.iter().map(columns::reading).collect();
        self.step(change)?;
        self.read_again(&before)
    }

    fn step(&mut self, change: &Change) -> Result<(), Fault> {
        match change {
            Change::SetLine { place, text } => self.set_line(*place, text),
            Change::InsertLine { place, before, text } => self.insert_line(*place, before, text),
            Change::DeleteLine { place } => self.delete_line(*place),
            Change::MoveLine { place, to } => self.move_line(*place, *to),
            Change::SetComment { place, before } => self.set_comment(*place, before),
            Change::SetValue {
                sheet,
                quantity,
                case,
                text,
            } => self.set_value(sheet, quantity, *case, text),
            Change::SetClause {
                sheet,
                quantity,
                clause,
                text,
            } => self.set_clause(sheet, quantity, *clause, text),
            Change::SetCell {
                list,
                row,
                quantity,
                text,
            } => self.set_cell(list, *row, quantity, text),
            Change::InsertRow { list, at, text } => self.insert_row(list, *at, text),
            Change::DeleteRows { list, rows } => self.delete_rows(list, rows),
            Change::DeleteRow { list, row } => self.delete_row(list, *row),
            Change::MoveRow { list, row, to } => self.move_row(list, *row, *to),
            Change::InsertColumn { list, at, name, cells } => self.insert_column(list, *at, name, cells),
            Change::DeleteColumn { list, name } => self.delete_column(list, name),
            Change::MoveCase { sheet, case, to } => self.move_case(sheet, *case, *to),
            Change::InsertCase { sheet, at, name } => self.insert_case(sheet, *at, name),
            Change::DeleteCase { sheet, case } => self.delete_case(sheet, *case),
            Change::RenameCase { sheet, case, to } => self.rename_case(sheet, *case, to),
            Change::Rename { sheet, from, to } => self.rename(sheet.as_ref(), from, to),
            Change::RenameSheet { from, to } => self.rename_sheet(from, to),
            Change::InsertSheet { at, text } => self.insert_sheet(*at, text),
            Change::DeleteSheet { sheet } => {
                let at = self.sheet(sheet)?;
                self.delete_sheets(at, 1)
            }
            Change::MoveSheet { sheet, to } => self.move_sheet(sheet, *to),
            Change::SetTitle { sheet, title } => self.set_title(sheet.as_ref(), title),
            Change::Several(changes) => changes.iter().try_for_each(|change| self.change(change)),
            Change::Restore(restore) => self.restore(restore.clone()),
        }
    }

    /// Where the sheet of this name stands.
    fn sheet(&self, name: &str) -> Result<usize, Fault> {
        let found = self.book.sheets.iter().position(|sheet| *sheet.name == *name);
        found.ok_or_else(|| {
            refused(
                format!("there is no sheet or list `{name}`"),
                "look at the names in the lines that begin with sheet or list",
            )
        })
    }

    fn restore(&mut self, restore: Restore) -> Result<(), Fault> {
        match restore {
            Restore::Line(place, line) => self.replace(place, *line),
            Restore::InsertLine(place, line) => self.put(place, *line),
            Restore::Row(list, row, content) => self.replace_row(list, row, *content),
            Restore::InsertRow(list, row, content) => self.put_row(list, row, *content),
            Restore::DeleteRow(list, row) => self.take_row(list, row).map(|_| ()),
            Restore::Rows(list, at, held) => self.replace_rows(list, at, held.0, held.1),
            Restore::InsertRows(list, at, held) => self.put_rows(list, at, held.0, held.1),
            Restore::DeleteRows(list, at) => self.take_rows(list, at),
            Restore::InsertSheets(at, sheets) => self.put_sheets(at, sheets),
            Restore::DeleteSheets(at, count) => self.delete_sheets(at, count),
        }
    }

    /// Remembers that what several lines say together has to be looked at again.
    fn settle(&mut self, sheet: Option<usize>) {
        let name = sheet
            .and_then(|at| self.book.sheets.get(at))
            .map(|sheet| sheet.name.clone());
        if !self.unsettled.contains(&name) {
            self.unsettled.push(name);
        }
    }

    /// Looks again, once for the whole change.
    fn look_again(&mut self) {
        let unsettled = std::mem::take(&mut self.unsettled);
        for sheet in &mut self.book.sheets {
            if unsettled.contains(&Some(sheet.name.clone())) {
                settle::sheet(sheet);
            }
        }
        if unsettled.contains(&None) {
            settle::workbook(self.book);
        }
    }
}

/// A statement read from a text that a user typed.
fn typed(text: &str, old: Option<&Line>) -> Result<Line, Fault> {
    let text = text.trim();
    if text.is_empty() {
        return Err(refused("a line cannot be empty", "take the line away instead"));
    }
    let (read, _) = read_statement(text);
    if let Some(fault) = read.faults.iter().find(|fault| fault.code == Code::UNKNOWN_STATEMENT) {
        return Err(fault.clone());
    }
    if text.contains('\n') && super::text::statements_of(text) != 1 {
        return Err(refused(
            "the text holds more than one line of a workbook",
            "insert the lines one by one",
        ));
    }
    if text.starts_with('#') {
        return Err(refused(
            "a comment is no line of its own",
            "set it as the comment before a line",
        ));
    }
    Ok(Line {
        before: old.map_or_else(|| Arc::from(""), |old| old.before.clone()),
        text: text.into(),
        number: old.map_or(0, |old| old.number),
        indent: old.map_or(Indent::Blanks(2), |old| old.indent.clone()),
        statement: read.statement,
        faults: read.faults,
    })
}

/// Whether a statement opens a sheet or names columns, which only whole changes can do.
fn is_structural(line: &Line) -> bool {
    matches!(line.statement, Statement::Opening { .. } | Statement::Rows) || super::text::opens(&line.text)
}

/// Why a sheet never has rows of its own.
fn never_has_rows(sheet: &Sheet) -> Result<(), Fault> {
    let name = &sheet.name;
    if sheet.form != Form::List {
        return Err(refused(
            format!("`{name}` is a worked sheet and has no rows"),
            "choose a list",
        ));
    }
    if let Statement::Opening {
        groups: Some((list, by)),
    } = &sheet.opening.statement
    {
        return Err(refused(
            format!("the list `{name}` has no rows of its own: they are the groups of `{list}` by `{by}`"),
            format!(
                "change `{by}` in the list `{list}`; a formula typed in the line of a quantity holds for all groups"
            ),
        ));
    }
    Ok(())
}

/// The rows of a list, or why there are none.
fn rows_of(sheet: &mut Sheet) -> Result<&mut super::Rows, Fault> {
    never_has_rows(sheet)?;
    let name = sheet.name.clone();
    sheet.rows.as_mut().ok_or_else(|| {
        refused(
            format!("the list `{name}` has no rows"),
            "add a line `rows` with the names of its columns",
        )
    })
}

/// Reads the text of a row for a list.
fn typed_row(sheet: &Sheet, text: &str) -> Result<Row, Fault> {
    let text = text.trim();
    if text.contains(['\n', '\r']) || text.starts_with('#') {
        return Err(refused("a row is one line of cells", "insert rows one by one"));
    }
    let blanks;
    let text = if text.is_empty() {
        let columns = sheet.rows.as_ref().map_or(0, |rows| rows.columns.len());
        blanks = vec!["|"; columns.saturating_sub(1).max(1)].join(" ");
        blanks.as_str()
    } else {
        text
    };
    if super::text::is_statement(text) {
        return Err(refused(
            "a row that begins with a word of the language is read as a line of its own",
            "put the word in quotes, or in brackets where it is a name",
        ));
    }
    Ok(read_row(text, &mut Columns::of(sheet)))
}
