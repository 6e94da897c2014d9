//! What stands in a file: sheets and their filled cells, before anything is understood.
//!
//! Always: only filled cells take memory; rows and columns count from 0 here and from 1 wherever a user sees them. Equal texts
//! are kept once, so that what follows can read each once.
//! Not known here: files, headings, motors.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// What the file is, by its first bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum FileSort {
    /// Zip package with `xl/workbook.xml`.
    Xlsx,
    /// Zip package with `xl/workbook.bin`.
    Xlsb,
    /// Compound file with a workbook stream.
    Xls,
    /// Zip package with `content.xml`.
    Ods,
    /// Text.
    Csv,
}

impl FileSort {
    /// The usual extension.
    pub fn word(self) -> &'static str {
        match self {
            FileSort::Xlsx => "xlsx",
            FileSort::Xlsb => "xlsb",
            FileSort::Xls => "xls",
            FileSort::Ods => "ods",
            FileSort::Csv => "csv",
        }
    }
}

/// A file as read.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Book {
    /// What it is.
    pub sort: FileSort,
    /// Sheets in the order of the file.
    pub sheets: Vec<Grid>,
    /// What was noticed while reading, for the report.
    pub remarks: Vec<String>,
    /// How a text file is written; none for other files.
    pub dress: Option<Dress>,
}

/// How a text file is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dress {
    /// What parts the fields.
    pub delimiter: u8,
    /// The decimal sign is the comma.
    pub comma: bool,
}

impl Default for Dress {
    fn default() -> Dress {
        Dress {
            delimiter: b',',
            comma: false,
        }
    }
}

/// How a cell looks, as far as it matters for reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Look(u8);

impl Look {
    /// Struck through.
    pub const STRUCK: Look = Look(1);
    /// Shown in per cent.
    pub const PERCENT: Look = Look(2);

    /// Both.
    #[must_use]
    pub fn with(self, other: Look) -> Look {
        Look(self.0 | other.0)
    }

    /// Whether all of `other` is in it.
    pub fn has(self, other: Look) -> bool {
        self.0 & other.0 == other.0
    }
}

/// What a cell holds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Content {
    /// A number.
    Number(f64),
    /// A text: index into the texts of the grid.
    Text(u32),
    /// Yes or no.
    Truth(bool),
    /// A date or time, as the serial number of days.
    Date(f64),
    /// A formula that gave an error; index into the texts of the grid (`#VALUE!`).
    Failed(u32),
    /// A formula without a stored result.
    NotStored,
}

/// A filled cell.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct Cell {
    /// Column from 0.
    pub column: u16,
    /// How it looks.
    pub look: Look,
    /// What it holds.
    pub content: Content,
}

/// Merged cells, ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Merged {
    /// First row from 0.
    pub top: u32,
    /// First column from 0.
    pub left: u16,
    /// Last row.
    pub bottom: u32,
    /// Last column.
    pub right: u16,
}

/// A row of filled cells: its number and where its cells begin.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
struct RowStart {
    row: u32,
    start: u32,
}

/// A sheet of filled cells.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Grid {
    /// Name; `(csv)` for a text file.
    pub name: String,
    /// Hidden in the file.
    pub hidden: bool,
    /// Merged cells.
    pub merged: Vec<Merged>,
    /// Hidden rows, from 0.
    pub hidden_rows: BTreeSet<u32>,
    /// Hidden columns, from 0.
    pub hidden_columns: BTreeSet<u16>,
    texts: Vec<Arc<str>>,
    rows: Vec<RowStart>,
    cells: Vec<Cell>,
    #[serde(skip)]
    known: HashMap<Arc<str>, u32>,
    /// Row and column of the last cell.
    #[serde(skip)]
    last: Option<(u32, u16)>,
    /// Texts and cells already handed over.
    #[serde(skip)]
    gone: (usize, usize),
}

/// What a sheet is before its cells.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Head {
    name: String,
    hidden: bool,
    merged: Vec<Merged>,
    hidden_rows: BTreeSet<u32>,
    hidden_columns: BTreeSet<u16>,
}

/// Some cells of a sheet, in order, and the texts that are new in them.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Part<'a> {
    #[serde(borrow)]
    texts: Vec<&'a str>,
    rows: Vec<RowStart>,
    cells: Vec<Cell>,
}

impl Grid {
    /// An empty sheet.
    pub fn new(name: impl Into<String>) -> Grid {
        Grid {
            name: name.into(),
            ..Grid::default()
        }
    }

    /// The index of a text, kept once.
    pub fn intern(&mut self, text: &str) -> u32 {
        if let Some(index) = self.known.get(text) {
            return *index;
        }
        let index = u32::try_from(self.texts.len()).unwrap_or(u32::MAX);
        let text: Arc<str> = Arc::from(text);
        self.texts.push(text.clone());
        self.known.insert(text, index);
        index
    }

    /// Adds a cell. Rows must come in order; a cell that does not is left out and `false` returned.
    pub fn push(&mut self, row: u32, cell: Cell) -> bool {
        match self.last {
            Some((last, column)) if last == row => {
                // A repeated or backward reference would break the order that look-up needs.
                if column >= cell.column {
                    return false;
                }
            }
            Some((last, _)) if last > row => return false,
            _ => self.rows.push(RowStart {
                row,
                start: u32::try_from(self.gone.1 + self.cells.len()).unwrap_or(u32::MAX),
            }),
        }
        self.last = Some((row, cell.column));
        self.cells.push(cell);
        true
    }

    /// What it is, without its cells.
    pub(super) fn head(&self) -> Head {
        Head {
            name: self.name.clone(),
            hidden: self.hidden,
            merged: self.merged.clone(),
            hidden_rows: self.hidden_rows.clone(),
            hidden_columns: self.hidden_columns.clone(),
        }
    }

    /// Hands over the cells since the last time; the sheet goes on without them.
    pub(super) fn part(&mut self) -> Part<'_> {
        let texts = self.texts.get(self.gone.0..).unwrap_or_default();
        let part = Part {
            texts: texts.iter().map(AsRef::as_ref).collect(),
            rows: std::mem::take(&mut self.rows),
            cells: std::mem::take(&mut self.cells),
        };
        self.gone = (self.texts.len(), self.gone.1 + part.cells.len());
        part
    }

    /// The sheet a head begins, for parts to come.
    pub(super) fn begun(head: Head) -> Grid {
        Grid {
            name: head.name,
            hidden: head.hidden,
            merged: head.merged,
            hidden_rows: head.hidden_rows,
            hidden_columns: head.hidden_columns,
            ..Grid::default()
        }
    }

    /// Takes on the next part. Gives how many bytes of text came with it; `None` where it does not follow on what is there.
    pub(super) fn take_on(&mut self, part: Part<'_>) -> Option<usize> {
        for start in part.rows {
            let (row, cell) = (start.row, start.start as usize);
            let follows = self
                .rows
                .last()
                .is_none_or(|last| last.row < row && (last.start as usize) < cell);
            if !follows || cell < self.cells.len() || cell >= self.cells.len() + part.cells.len() {
                return None;
            }
            self.rows.push(start);
        }
        self.cells.extend(part.cells);
        self.texts.extend(part.texts.iter().map(|text| Arc::from(*text)));
        Some(part.texts.iter().map(|text| text.len()).sum())
    }

    /// The sheet with these columns alone, and with its first filled rows alone where only those are asked for. Rows and columns
    /// keep their numbers.
    pub fn band(&self, columns: std::ops::RangeInclusive<u16>, rows: usize) -> Grid {
        self.cut(|column| columns.contains(&column), rows, |_| true)
    }

    /// The sheet with some of its columns and of its first filled rows, which keep their numbers.
    pub fn cut(&self, has_column: impl Fn(u16) -> bool, rows: usize, has_row: impl Fn(u32) -> bool) -> Grid {
        let mut band = Grid {
            name: self.name.clone(),
            hidden: self.hidden,
            merged: self.merged.clone(),
            hidden_rows: self.hidden_rows.clone(),
            hidden_columns: self.hidden_columns.clone(),
            texts: self.texts.clone(),
            ..Grid::default()
        };
        band.merged.retain(|merged| has_column(merged.left));
        for (row, cells) in self.rows().take(rows).filter(|(row, _)| has_row(*row)) {
            for cell in cells.iter().filter(|cell| has_column(cell.column)) {
                band.push(row, *cell);
            }
        }
        band
    }

    /// How many cells are filled.
    pub fn filled(&self) -> usize {
        self.cells.len()
    }

    /// How many rows hold something.
    pub fn row_count(&self) -> usize {
        self.rows.len()
    }

    /// All texts, each once.
    pub fn texts(&self) -> &[Arc<str>] {
        &self.texts
    }

    /// The text of an index.
    pub fn text(&self, index: u32) -> &str {
        self.texts.get(index as usize).map_or("", |text| text)
    }

    /// The text of an index, shared.
    pub fn shared(&self, index: u32) -> Arc<str> {
        self.texts.get(index as usize).cloned().unwrap_or_else(|| Arc::from(""))
    }

    /// The filled rows with their cells, in order.
    pub fn rows(&self) -> impl Iterator<Item = (u32, &[Cell])> {
        (0..self.rows.len()).filter_map(|index| self.row_at(index))
    }

    /// The filled row of this place in the order of filled rows.
    pub fn row_at(&self, index: usize) -> Option<(u32, &[Cell])> {
        let here = self.rows.get(index)?;
        let end = self
            .rows
            .get(index + 1)
            .map_or(self.cells.len(), |next| next.start as usize);
        Some((here.row, self.cells.get(here.start as usize..end)?))
    }

    /// The cell at a place.
    pub fn cell(&self, row: u32, column: u16) -> Option<&Cell> {
        let index = self.rows.binary_search_by_key(&row, |start| start.row).ok()?;
        let (_, cells) = self.row_at(index)?;
        cells
            .binary_search_by_key(&column, |cell| cell.column)
            .ok()
            .and_then(|place| cells.get(place))
    }

    /// The last filled column, plus one.
    pub fn width(&self) -> u16 {
        self.cells
            .iter()
            .map(|cell| cell.column.saturating_add(1))
            .max()
            .unwrap_or(0)
    }

    /// What a cell shows, as text: numbers in their shortest form.
    pub fn shown(&self, content: Content) -> String {
        match content {
            Content::Number(number) => format!("{number}"),
            Content::Text(index) | Content::Failed(index) => self.text(index).to_owned(),
            Content::Truth(truth) => if truth { "yes" } else { "no" }.to_owned(),
            Content::Date(serial) => shown_date(serial),
            Content::NotStored => String::new(),
        }
    }
}

/// A serial number of days as a date, with its time of day where it has one; the epoch of 1900 has already been seen to.
fn shown_date(serial: f64) -> String {
    use chrono::{Duration, NaiveDate};
    let days = serial.floor();
    let date = NaiveDate::from_ymd_opt(1899, 12, 30)
        .filter(|_| (0.0..3_000_000.0).contains(&days))
        .and_then(|epoch| epoch.checked_add_signed(Duration::days(days as i64)));
    // To the second: a day has 86 400, and a serial number holds about a thousandth of one.
    let seconds = ((serial - days) * 86_400.0).round();
    match date {
        Some(date) if (1.0..86_400.0).contains(&seconds) => {
            match chrono::NaiveTime::from_num_seconds_from_midnight_opt(seconds as u32, 0) {
                Some(time) => format!("{date} {time}"),
                None => date.to_string(),
            }
        }
        Some(date) => date.to_string(),
        None => format!("{serial}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 46083 days after 30 December 1899 are 2 March 2026; 0.4375 of a day is 10:30.
    #[test]
    fn dates_keep_their_time() {
        assert_eq!(shown_date(46_083.0), "2026-03-02");
        assert_eq!(shown_date(46083.4375), "2026-03-02 10:30:00");
        assert_eq!(shown_date(46_083.000_001), "2026-03-02");
        assert_eq!(shown_date(-1.0), "-1");
    }
}
