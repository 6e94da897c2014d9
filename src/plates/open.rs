//! From a file that passed the guard to filled cells.
//!
//! Always: sheets of xlsx are streamed cell by cell under caps, never asked for as a whole range; the other workbook formats have
//! no such stream and are read only inside the child process. Text files are read here.
//! Not known here: headings, motors.

use std::collections::{HashMap, HashSet};
use std::fs::File;
use std::hash::{BuildHasherDefault, Hasher};
use std::io::{BufReader, Read as _, Seek};
use std::path::Path;

use calamine::{Data, DataRef, Reader, SheetType, SheetVisible};

use super::Watch;
use super::error::{FileError, Trouble};
use super::guard::{self, Limits, Passed};
use super::store::{Book, Cell, Content, Dress, FileSort, Grid, Look, Merged};

/// How the file may be read.
#[derive(Clone, Debug)]
pub struct Means {
    /// The program that serves as reading process; `None`: no child (then only xlsx and csv are read, in this process).
    pub program: Option<std::path::PathBuf>,
    /// Limits.
    pub limits: Limits,
}

/// Reads a file: text in this process, workbooks in the child.
///
/// # Errors
/// See [`Trouble`].
pub fn read(path: &Path, means: &Means) -> Result<Book, FileError> {
    read_watched(path, means, &Watch::default())
}

/// The same, with somebody told how far it is.
///
/// # Errors
/// See [`Trouble`].
pub fn read_watched(path: &Path, means: &Means, watch: &Watch) -> Result<Book, FileError> {
    let sort = guard::first_look(path, &means.limits)?;
    match (&means.program, sort) {
        (_, FileSort::Csv) => read_here(path, &means.limits),
        (Some(program), _) => super::child::read(program, path, &means.limits, watch),
        (None, FileSort::Xlsx | FileSort::Ods) => {
            let passed = guard::look_over(path, &means.limits)?;
            if passed.sort == FileSort::Xlsx {
                return read_whole(path, passed, &means.limits);
            }
            Err(no_child(path, passed.sort))
        }
        (None, other) => Err(no_child(path, other)),
    }
}

fn no_child(path: &Path, sort: FileSort) -> FileError {
    FileError::new(
        Trouble::NoReader,
        path,
        format!(
            "Files of the sort {} are read in a process of their own, and none is at hand.",
            sort.word()
        ),
        "Save the list as xlsx or csv and read that.",
    )
}

/// Reads a file in this process, whatever it is. The child calls this.
///
/// # Errors
/// See [`Trouble`].
pub fn read_here(path: &Path, limits: &Limits) -> Result<Book, FileError> {
    let passed = guard::look_over(path, limits)?;
    read_whole(path, passed, limits)
}

/// Reads a file in this process and hands the cells over as they come.
///
/// # Errors
/// See [`Trouble`].
pub(super) fn hand_over(path: &Path, limits: &Limits, outlet: &mut dyn Outlet) -> Result<Ended, FileError> {
    let passed = guard::look_over(path, limits)?;
    read_passed(path, passed, limits, outlet)
}

/// Where the cells go.
pub(super) trait Outlet {
    /// Cells have gathered in the sheet being read; they may be taken out of it.
    fn gathered(&mut self, grid: &mut Grid) -> Result<(), FileError>;
    /// The sheet is read to its end.
    fn whole(&mut self, grid: Grid) -> Result<(), FileError>;
    /// The sheet cannot be read to its end; what was taken of it does not count.
    fn broken_off(&mut self) -> Result<(), FileError>;
}

/// What is known of a file at its end.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
pub(super) struct Ended {
    /// What it is.
    pub sort: FileSort,
    /// What was noticed.
    pub remarks: Vec<String>,
    /// How a text file is written.
    pub dress: Option<Dress>,
}

/// Cells that are handed over at once.
const GATHERED: usize = 1 << 14;

/// Sheets kept in this process.
struct Kept(Vec<Grid>);

impl Outlet for Kept {
    fn gathered(&mut self, _: &mut Grid) -> Result<(), FileError> {
        Ok(())
    }

    fn whole(&mut self, grid: Grid) -> Result<(), FileError> {
        self.0.push(grid);
        Ok(())
    }

    fn broken_off(&mut self) -> Result<(), FileError> {
        Ok(())
    }
}

fn read_whole(path: &Path, passed: Passed, limits: &Limits) -> Result<Book, FileError> {
    let mut kept = Kept(Vec::new());
    let ended = read_passed(path, passed, limits, &mut kept)?;
    Ok(Book {
        sort: ended.sort,
        sheets: kept.0,
        remarks: ended.remarks,
        dress: ended.dress,
    })
}

fn read_passed(path: &Path, passed: Passed, limits: &Limits, outlet: &mut dyn Outlet) -> Result<Ended, FileError> {
    match passed.sort {
        FileSort::Csv => {
            let book = super::text_file::read(path, passed, limits)?;
            for grid in book.sheets {
                outlet.whole(grid)?;
            }
            Ok(Ended {
                sort: book.sort,
                remarks: book.remarks,
                dress: book.dress,
            })
        }
        FileSort::Xlsx => xlsx(path, passed, limits, outlet),
        FileSort::Xls => {
            let mut book: calamine::Xls<_> = open(path)?;
            ranges(path, &mut book, passed, limits, outlet, |book, name| {
                book.merge_cells_by_sheet_name(name).unwrap_or_default()
            })
        }
        FileSort::Xlsb => {
            let mut book: calamine::Xlsb<_> = open(path)?;
            ranges(path, &mut book, passed, limits, outlet, |_, _| Vec::new())
        }
        FileSort::Ods => {
            let mut book: calamine::Ods<_> = open(path)?;
            ranges(path, &mut book, passed, limits, outlet, |_, _| Vec::new())
        }
    }
}

fn open<R>(path: &Path) -> Result<R, FileError>
where
    R: Reader<BufReader<File>>,
    R::Error: std::fmt::Display,
{
    let file = File::open(path).map_err(|error| guard::unreadable(path, &error))?;
    R::new(BufReader::new(file)).map_err(|error| broken(path, &error.to_string()))
}

fn broken(path: &Path, error: &str) -> FileError {
    if error.to_lowercase().contains("password") || error.to_lowercase().contains("encrypt") {
        return guard::locked(path);
    }
    FileError::new(
        Trouble::NotReadable,
        path,
        format!("The workbook cannot be read: {error}."),
        "Open it where it was made and save it again, as xlsx or csv.",
    )
}

/// The serial number of a day written as in an ods, `2026-02-01` or `2026-02-01T06:30:00`.
fn day_of(text: &str) -> Option<f64> {
    use chrono::{NaiveDate, NaiveTime, Timelike as _};
    let (day, time) = text.trim().split_once('T').unwrap_or((text.trim(), "00:00:00"));
    let day = NaiveDate::parse_from_str(day, "%Y-%m-%d").ok()?;
    let time = NaiveTime::parse_from_str(time, "%H:%M:%S%.f").ok()?;
    let days = day
        .signed_duration_since(NaiveDate::from_ymd_opt(1899, 12, 30)?)
        .num_days();
    #[allow(clippy::cast_precision_loss)] // Days of some thousand years.
    Some(days as f64 + f64::from(time.num_seconds_from_midnight()) / 86_400.0)
}

fn too_much(path: &Path, found: String) -> FileError {
    FileError::new(
        Trouble::TooLarge,
        path,
        found,
        "Save the sheet with the list alone and read that.",
    )
}

/// Keeps count of what is taken in.
struct Caps<'a> {
    path: &'a Path,
    limits: &'a Limits,
    visited: usize,
    kept: usize,
    text: usize,
}

impl<'a> Caps<'a> {
    fn of(path: &'a Path, limits: &'a Limits) -> Caps<'a> {
        Caps {
            path,
            limits,
            visited: 0,
            kept: 0,
            text: 0,
        }
    }

    fn visit(&mut self) -> Result<(), FileError> {
        self.visited += 1;
        if self.visited > self.limits.visited {
            return Err(too_much(
                self.path,
                format!("The workbook has more than {} cells.", self.limits.visited),
            ));
        }
        Ok(())
    }

    fn keep(&mut self, text: usize) -> Result<(), FileError> {
        self.kept += 1;
        self.text += text;
        if self.kept > self.limits.cells {
            return Err(too_much(
                self.path,
                format!("The workbook has more than {} filled cells.", self.limits.cells),
            ));
        }
        if self.text > self.limits.text_bytes {
            return Err(too_much(
                self.path,
                format!("The texts are longer than {} MB.", self.limits.text_bytes >> 20),
            ));
        }
        Ok(())
    }
}

fn xlsx(path: &Path, mut passed: Passed, limits: &Limits, outlet: &mut dyn Outlet) -> Result<Ended, FileError> {
    let mut book: calamine::Xlsx<_> = open(path)?;
    let old_epoch = book.has_1904_epoch();
    let mut caps = Caps::of(path, limits);
    let mut remarks = std::mem::take(&mut passed.remarks);
    let mut sheets = 0;
    let mut trouble = None;
    for sheet in book.sheets_metadata().to_vec() {
        if sheet.typ != SheetType::WorkSheet {
            remarks.push(format!("The sheet {} holds no cells and was passed over.", sheet.name));
            continue;
        }
        let mut grid = Grid::new(sheet.name.clone());
        grid.hidden = sheet.visible != SheetVisible::Visible;
        let mut not_stored: HashSet<(u32, u16)> = HashSet::new();
        if let Some(facts) = passed.facts.remove(&sheet.name) {
            grid.merged = facts.merged;
            grid.hidden_rows = facts.hidden_rows;
            grid.hidden_columns = facts.hidden_columns;
            not_stored = facts.not_stored.into_iter().collect();
        }
        match xlsx_sheet(
            &mut book,
            &sheet.name,
            &mut grid,
            &not_stored,
            old_epoch,
            &mut caps,
            outlet,
        ) {
            Ok(()) => {
                sheets += 1;
                outlet.whole(grid)?;
            }
            Err(Stop::Caps(error)) => return Err(error),
            Err(Stop::Reader(error)) => {
                outlet.broken_off()?;
                remarks.push(format!("The sheet {} could not be read: {error}.", sheet.name));
                trouble = Some(error);
            }
        }
    }
    if sheets == 0
        && let Some(error) = trouble
    {
        return Err(broken(path, &error));
    }
    Ok(Ended {
        sort: FileSort::Xlsx,
        remarks,
        dress: None,
    })
}

enum Stop {
    Caps(FileError),
    Reader(String),
}

fn xlsx_sheet<R: std::io::Read + Seek>(
    book: &mut calamine::Xlsx<R>,
    name: &str,
    grid: &mut Grid,
    not_stored: &HashSet<(u32, u16)>,
    old_epoch: bool,
    caps: &mut Caps<'_>,
    outlet: &mut dyn Outlet,
) -> Result<(), Stop> {
    let mut reader = book
        .worksheet_cells_reader(name)
        .map_err(|error| Stop::Reader(error.to_string()))?;
    let looks: Vec<Look> = reader
        .styles()
        .iter()
        .map(|style| {
            let mut look = Look::default();
            if style.font.as_ref().is_some_and(|font| font.strikethrough) {
                look = look.with(Look::STRUCK);
            }
            if style
                .number_format
                .as_ref()
                .is_some_and(|format| matches!(format.format_id, Some(9 | 10)) || format.format_code.contains('%'))
            {
                look = look.with(Look::PERCENT);
            }
            look
        })
        .collect();
    let epoch = if old_epoch { 1462.0 } else { 0.0 };
    // Shared texts come with a stable address: most are looked up by it.
    let mut seen: HashMap<usize, u32, BuildHasherDefault<ByAddress>> = HashMap::default();
    let mut gathered = 0;
    loop {
        caps.visit().map_err(Stop::Caps)?;
        let (cell, style) = match reader.next_cell_with_style_id() {
            Ok(Some(next)) => next,
            Ok(None) => return Ok(()),
            Err(error) => return Err(Stop::Reader(error.to_string())),
        };
        let (row, column) = cell.get_position();
        let Ok(column) = u16::try_from(column) else { continue };
        let content = match cell.get_value() {
            DataRef::Empty => {
                if !not_stored.is_empty() && not_stored.contains(&(row, column)) {
                    Content::NotStored
                } else {
                    continue;
                }
            }
            DataRef::Int(number) => Content::Number(*number as f64),
            DataRef::Float(number) => Content::Number(*number),
            DataRef::Bool(truth) => Content::Truth(*truth),
            DataRef::SharedString(text) => {
                let index = match seen.get(&(text.as_ptr() as usize)) {
                    Some(index) if grid.text(*index) == *text => *index,
                    _ => {
                        let index = grid.intern(text);
                        seen.insert(text.as_ptr() as usize, index);
                        caps.text += text.len();
                        index
                    }
                };
                Content::Text(index)
            }
            DataRef::DateTimeIso(text) if let Some(day) = day_of(text) => Content::Date(day),
            DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
                caps.text += text.len();
                Content::Text(grid.intern(text))
            }
            DataRef::DateTime(date) => Content::Date(date.as_f64() + epoch),
            DataRef::Error(error) => Content::Failed(grid.intern(&error.to_string())),
        };
        if let Content::Text(index) = content
            && grid.text(index).trim().is_empty()
        {
            continue;
        }
        caps.keep(0).map_err(Stop::Caps)?;
        let look = looks.get(style).copied().unwrap_or_default();
        grid.push(row, Cell { column, look, content });
        gathered += 1;
        if gathered == GATHERED {
            outlet.gathered(grid).map_err(Stop::Caps)?;
            gathered = 0;
        }
    }
}

/// Addresses spread by a multiplication: nobody outside chooses them, so nothing stronger is needed.
#[derive(Default)]
struct ByAddress(u64);

impl Hasher for ByAddress {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_usize(usize::from(*byte));
        }
    }

    fn write_usize(&mut self, address: usize) {
        // The odd number nearest to 2⁶⁴ over the golden ratio; the high half is folded down, where tables look first.
        let spread = (self.0 ^ address as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        self.0 = spread ^ (spread >> 32);
    }
}

/// Formats without a stream: whole ranges, only ever in the child.
fn ranges<R>(
    path: &Path,
    book: &mut R,
    passed: Passed,
    limits: &Limits,
    outlet: &mut dyn Outlet,
    merged: impl Fn(&R, &str) -> Vec<calamine::Dimensions>,
) -> Result<Ended, FileError>
where
    R: Reader<BufReader<File>>,
    R::Error: std::fmt::Display,
{
    let mut caps = Caps::of(path, limits);
    let mut remarks = passed.remarks;
    let mut sheets = 0;
    let mut trouble = None;
    for sheet in book.sheets_metadata().to_vec() {
        let range = match book.worksheet_range(&sheet.name) {
            Ok(range) => range,
            Err(error) => {
                remarks.push(format!("The sheet {} could not be read: {error}.", sheet.name));
                trouble = Some(error.to_string());
                continue;
            }
        };
        let mut grid = Grid::new(sheet.name.clone());
        grid.hidden = sheet.visible != SheetVisible::Visible;
        grid.merged = merged(book, &sheet.name)
            .into_iter()
            .filter_map(|place| {
                Some(Merged {
                    top: place.start.0,
                    left: u16::try_from(place.start.1).ok()?,
                    bottom: place.end.0,
                    right: u16::try_from(place.end.1).ok()?,
                })
            })
            .collect();
        let (top, left) = range.start().unwrap_or((0, 0));
        for (row, column, value) in range.used_cells() {
            caps.visit()?;
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                continue;
            };
            let Ok(column) = u16::try_from(column.saturating_add(left)) else {
                continue;
            };
            let content = match value {
                Data::Empty => continue,
                Data::Int(number) => Content::Number(*number as f64),
                Data::Float(number) => Content::Number(*number),
                Data::Bool(truth) => Content::Truth(*truth),
                Data::DateTimeIso(text) if let Some(day) = day_of(text) => Content::Date(day),
                Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => {
                    if text.trim().is_empty() {
                        continue;
                    }
                    caps.text += text.len();
                    Content::Text(grid.intern(text))
                }
                Data::DateTime(date) => Content::Date(date.as_f64()),
                Data::Error(error) => Content::Failed(grid.intern(&error.to_string())),
            };
            caps.keep(0)?;
            grid.push(
                row.saturating_add(top),
                Cell {
                    column,
                    look: Look::default(),
                    content,
                },
            );
        }
        sheets += 1;
        outlet.whole(grid)?;
    }
    if sheets == 0
        && let Some(error) = trouble
    {
        return Err(broken(path, &error));
    }
    if passed.sort != FileSort::Xlsx {
        remarks.push(format!(
            "In {} files hidden rows and columns and struck-through cells are not seen.",
            passed.sort.word()
        ));
    }
    Ok(Ended {
        sort: passed.sort,
        remarks,
        dress: None,
    })
}

/// Reads a whole file up to the limit.
pub(super) fn bytes_of(path: &Path, limits: &Limits) -> Result<Vec<u8>, FileError> {
    let file = File::open(path).map_err(|error| guard::unreadable(path, &error))?;
    let mut bytes = Vec::new();
    file.take(limits.file_bytes + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| guard::unreadable(path, &error))?;
    Ok(bytes)
}
