//! Equipment lists: file → sheets → table found → headings understood → cells read → list and report.
//!
//! For: a list from anywhere, read like an experienced person would: nothing lost, doubts said aloud.
//! Always: every source row stands in the report once; the raw text of a cell stays beside its reading; a file from outside is
//! never handed to a reader without limits.
//! Not known here: what the workbook gives when worked (`recalc`), how anything is shown or written (`handover`, `cli`).

pub mod error;
pub mod store;
pub mod guard;
mod text_file;
pub mod open;
pub mod child;
pub mod reads;
pub mod words;
pub mod cell;
pub mod own;
pub mod heading;
pub mod find;
pub mod motor;
mod said;
pub mod pack;
pub mod trust;
pub mod rows;
pub mod power_unit;
pub mod totals;
pub mod rules;
mod plausible;
mod scale;
mod letters;
pub mod doubt;
pub mod list;
pub mod meant;
pub mod changes;
pub mod report;
pub mod loads;
pub mod tags;
pub mod again;
pub mod pages;
pub mod merge;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use sha2::{Digest, Sha256};

pub use error::{FileError, Trouble};
pub use guard::Limits;
pub use own::Own;
pub use report::Report;

use crate::fault::Code;
use crate::recalc::Results;
use crate::workbook::Workbook;
use find::As;
use report::{ColumnReport, DoubtReport, Readings, RowReport, SheetReport, SupplyReport};
use rows::Understood;

/// How far an import is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// So many filled cells are read.
    Cells(usize),
    /// All is read; it is being understood.
    Understanding,
}

/// Somebody who is told how far an import is; from another thread.
#[derive(Clone, Default)]
pub struct Watch(Option<Arc<dyn Fn(Step) + Send + Sync>>);

impl Watch {
    /// Who is told.
    pub fn new(told: impl Fn(Step) + Send + Sync + 'static) -> Watch {
        Watch(Some(Arc::new(told)))
    }

    fn tell(&self, step: Step) {
        if let Some(told) = &self.0 {
            told(step);
        }
    }
}

impl std::fmt::Debug for Watch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.0.is_some() { "watched" } else { "not watched" })
    }
}

/// How a list is imported.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// The program that serves as reading process (the program itself, as a rule). Without one xlsx and csv are read in this
    /// process, behind the same guard and caps; other workbooks are refused.
    pub program: Option<PathBuf>,
    /// Limits for the file.
    pub limits: Limits,
    /// The user's column map and words; none: the tables alone.
    pub own: Option<Arc<Own>>,
    /// The sheet to be read; none: the one with the most motors.
    pub sheet: Option<String>,
    /// Who is told how far it is.
    pub watch: Watch,
}

impl Options {
    /// The running program as its own reading process.
    pub fn of_this_program() -> Options {
        Options {
            program: std::env::current_exe().ok(),
            limits: Limits::default(),
            own: None,
            sheet: None,
            watch: Watch::default(),
        }
    }
}

/// What an import gives.
#[derive(Clone, Debug)]
pub struct Import {
    /// The report.
    pub report: Report,
    /// The list as a workbook.
    pub workbook: Workbook,
    /// The text of that workbook before an older one was put together with it.
    pub as_read: Option<String>,
}

/// Imports a list.
///
/// # Errors
/// [`ListError`]: why the file could not be read, or that no motor table is in it; then the report of what was seen comes with it.
pub fn import(path: &Path, options: &Options) -> Result<Import, ListError> {
    let means = open::Means {
        program: options.program.clone(),
        limits: options.limits,
    };
    let book = open::read_watched(path, &means, &options.watch)?;
    let only = match &options.sheet {
        Some(name) => Some(only(&book, name, path)?),
        None => None,
    };
    options.watch.tell(Step::Understanding);
    let digest = digest(path).map_err(|error| guard::unreadable(path, &error))?;
    let file = path.file_name().map_or_else(
        || path.display().to_string(),
        |name| name.to_string_lossy().into_owned(),
    );
    let own = options.own.as_deref().unwrap_or_else(|| Own::usual());
    understood(path, &file, digest, book, own, only)
}

/// The place of the sheet of this name in the book; upper and lower case are the same.
fn only(book: &store::Book, name: &str, path: &Path) -> Result<usize, FileError> {
    let same = |grid: &store::Grid| grid.name.trim().to_lowercase() == name.trim().to_lowercase();
    book.sheets.iter().position(same).ok_or_else(|| {
        let known: Vec<String> = book
            .sheets
            .iter()
            .take(20)
            .map(|grid| format!("\"{}\"", grid.name))
            .collect();
        FileError::new(
            Trouble::NoMotorTable,
            path,
            format!("no sheet is called \"{name}\"; there are {}", known.join(", ")),
            "name one of them; where none is named, the sheet with the most motors is read",
        )
    })
}

/// Why there is no list.
#[derive(Clone, Debug)]
pub struct ListError {
    /// What went wrong, where, what to try.
    pub cause: FileError,
    /// What was seen, where the file could be read.
    pub report: Option<Box<Report>>,
}

impl From<FileError> for ListError {
    fn from(cause: FileError) -> ListError {
        ListError { cause, report: None }
    }
}

impl std::fmt::Display for ListError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.cause.fmt(f)
    }
}

impl std::error::Error for ListError {}

/// SHA-256 of a file, in hexadecimal.
///
/// # Errors
/// Where the file cannot be read.
pub fn digest(path: &Path) -> std::io::Result<String> {
    let mut file = std::fs::File::open(path)?;
    let mut hash = Sha256::new();
    std::io::copy(&mut file, &mut hash)?;
    Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Everything after the file has been read: `file` is its name as the workbook keeps it, `digest` its SHA-256. The cells as they
/// stood go before the workbook is made: a long list is not held twice.
///
/// # Errors
/// [`Trouble::NoMotorTable`], with the report of what was seen.
pub fn understand(path: &Path, file: &str, digest: String, book: store::Book, own: &Own) -> Result<Import, ListError> {
    understood(path, file, digest, book, own, None)
}

/// The same; `only`: the sheet to be read, whatever others hold.
fn understood(
    path: &Path,
    file: &str,
    digest: String,
    mut book: store::Book,
    own: &Own,
    only: Option<usize>,
) -> Result<Import, ListError> {
    // What was added when the list was written back is put aside first: a group of its headings would run on over it.
    let added: Vec<Vec<(u16, String)>> = book.sheets.iter().map(find::added).collect();
    for (grid, added) in book.sheets.iter_mut().zip(&added) {
        if let Some(last) = added.first().and_then(|(first, _)| first.checked_sub(1)) {
            *grid = grid.band(0..=last, usize::MAX);
        }
    }
    let find::LookedFor {
        found,
        others,
        no_motors,
        spoken_of,
    } = find::find_said(&book, file, own, only);
    let mut report = Report::of(file, book.sort.word(), digest, book.remarks.clone());
    for grid in &book.sheets {
        report.sheets.push(SheetReport {
            name: grid.name.clone(),
            filled: grid.filled(),
            motors: others
                .iter()
                .find(|(name, _)| *name == grid.name)
                .map_or(0, |(_, motors)| *motors),
            hidden: grid.hidden,
        });
    }
    let Some((found, grid)) = found.and_then(|found| {
        let grid = book.sheets.get(found.sheet)?;
        Some((found, grid))
    }) else {
        let seen: Vec<String> = book
            .sheets
            .iter()
            .take(8)
            .map(|grid| match (book.sort, grid.filled()) {
                (store::FileSort::Csv, 1) => "1 filled field".to_owned(),
                (store::FileSort::Csv, filled) => format!("{filled} filled fields"),
                (_, 0) => format!("sheet \"{}\", empty", grid.name),
                (_, filled) => format!("sheet \"{}\" with {filled} filled cells", grid.name),
            })
            .collect();
        let seen = if seen.is_empty() {
            "no sheet with cells".to_owned()
        } else {
            seen.join(", ")
        };
        let likely = find::likely_headings(&book, own, only).headings;
        let headings = if likely.is_empty() {
            String::new()
        } else {
            let said = likely.iter().take(12).map(|(_, text, _)| format!("\"{text}\""));
            format!(
                "; the row most like headings says {}",
                said.collect::<Vec<_>>().join(", ")
            )
        };
        report
            .columns
            .extend(likely.into_iter().map(|(column, heading, reads)| {
                ColumnReport {
                    table: 1,
                    column: u32::from(column) + 1,
                    heading,
                    reads: reads.map(reads::Reads::key),
                    and: None,
                    unit: None,
                    written_unit: None,
                    confidence: if reads.is_some() { 1.0 } else { 0.0 },
                    reason: reads
                        .map_or(
                            "this heading is not known: say what the column holds",
                            |_| "as its heading says",
                        )
                        .to_owned(),
                    hidden: false,
                    pairs: false,
                }
            }));
        let no_motors = if no_motors.is_empty() {
            String::new()
        } else {
            format!("; {}", no_motors.join("; "))
        };
        let transposed = find::transposed(&book, own);
        let turned = transposed.map_or_else(String::new, |column| {
            format!(
                "; it looks transposed: the headings stand one under the other in column {}, and each motor is a column",
                char::from(b'A' + u8::try_from(column).unwrap_or(0))
            )
        });
        let found = format!("no motor table was found; this is what was seen: {seen}{headings}{no_motors}{turned}");
        report.remarks.push(found.clone());
        return Err(ListError {
            cause: FileError::new(
                Trouble::NoMotorTable,
                path,
                found,
                if transposed.is_some() {
                    "turn it, so that each motor is a row: copy, then paste transposed, and import that"
                } else {
                    "a table needs a heading row that names a rating, a speed or a current, and rows under it"
                },
            ),
            report: Some(Box::new(report)),
        });
    };
    report.spoken_of = spoken_of;
    if own.has_columns() {
        report.remarks.push(match spoken_of {
            1 => "1 column was read as the column map says.".to_owned(),
            more => format!("{more} columns were read as the column map says."),
        });
    }
    let mut all = rows::read(grid, &found, book.sort, book.dress.map(|dress| dress.delimiter), own);
    doubt::raise(grid, &found, own, &mut all);
    for why in no_motors {
        report.remarks.push(format!("Not read as motors: {why}."));
    }
    for (name, motors) in others {
        report.remarks.push(report::not_read(&name, motors));
    }
    let headings = found
        .tables
        .iter()
        .find(|table| table.motors() > 0)
        .and_then(|table| table.headings.last())
        .map(|row| row + 1);
    let stem = Path::new(file)
        .file_stem()
        .map_or_else(|| file.to_owned(), |stem| stem.to_string_lossy().into_owned());
    let title = title_of(grid, &found).unwrap_or(stem);
    let trusted = trust::Trusted::of(&all.motors, &all.doubts);
    let motors = fill(&mut report, grid, &found, &mut all);
    for (column, heading) in added.get(found.sheet).into_iter().flatten() {
        report.columns.push(ColumnReport {
            table: found.tables.len(),
            column: u32::from(*column) + 1,
            heading: heading.clone(),
            reads: None,
            and: None,
            unit: None,
            written_unit: None,
            confidence: 1.0,
            reason: find::ADDED.to_owned(),
            hidden: false,
            pairs: false,
        });
    }
    let sheet = (book.sort != store::FileSort::Csv).then(|| grid.name.clone());
    let power = all.power_unit.unwrap_or(reads::PlateUnit::Kilowatt);
    report.place_doubts();
    drop((book, found, all));
    let workbook = list::write(
        &list::Origin {
            file,
            sheet: sheet.as_deref(),
            headings,
            digest: &report.digest,
            title: &title,
            said: &own.remarks(),
        },
        &motors,
        &trusted,
        power,
    );
    Ok(Import {
        report,
        workbook,
        as_read: None,
    })
}

/// A column as a user settles it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// What it holds; `None`: it is kept as it stands.
    pub reads: Option<reads::Reads>,
    /// Unit of its numbers; `None`: as the list says.
    pub unit: Option<reads::PlateUnit>,
}

impl Report {
    /// The column map of what was understood, to be kept for the next list of the same origin.
    pub fn column_map(&self) -> String {
        self.column_map_with(|_| None)
    }

    /// The column map with some columns as a user settles them, by their place in `columns`.
    pub fn column_map_with(&self, settled: impl Fn(usize) -> Option<Settled>) -> String {
        let of_the_list = self.columns.iter().enumerate();
        let of_the_list = of_the_list.filter(|(_, column)| column.reason != find::ADDED);
        let columns = of_the_list.map(|(place, column)| {
            // The unit of ratings is carried as it was read: the next list may speak for another guess.
            let is_rating = column.reads == Some(reads::Reads::RatedPower.key());
            let as_read = column.unit.as_deref().filter(|_| is_rating);
            let now = own::ColumnNow {
                table: column.table,
                heading: &column.heading,
                reads: column.reads,
                and: column.and,
                unit: as_read.or(column.written_unit),
                guessed: column
                    .unit
                    .as_deref()
                    .filter(|unit| column.written_unit.is_none_or(|written| is_rating && written != *unit)),
                settles_unit: is_rating,
                pairs: column.pairs,
                confidence: column.confidence,
                reason: &column.reason,
                by_hand: false,
            };
            match settled(place) {
                Some(settled) => own::ColumnNow {
                    reads: settled.reads.map(reads::Reads::key),
                    unit: settled.unit.map(reads::PlateUnit::text),
                    and: None,
                    guessed: None,
                    pairs: false,
                    confidence: 1.0,
                    reason: "as settled by hand",
                    by_hand: true,
                    ..now
                },
                None => now,
            }
        });
        own::written(&self.file, columns)
    }
}

impl Import {
    /// Takes the load columns of the worked list into the report, and doubts methods that disagree.
    pub fn take(&mut self, results: &Results) {
        self.report.take(results);
    }
}

impl Report {
    /// Takes the load columns of the worked list, and doubts methods that disagree.
    pub fn take(&mut self, results: &Results) {
        let Some(sheet) = results.sheets.iter().find(|sheet| sheet.name.as_ref() == list::NAME) else {
            return;
        };
        self.computed.take(sheet);
        self.doubts.retain(|doubt| doubt.rule != Code::LOADS_DISAGREE.word());
        self.doubts.extend(loads::spread(&self.computed).iter().map(told));
        self.doubts.sort_by_key(|doubt| doubt.source_row);
        self.place_doubts();
    }
}

/// A doubt as the report writes it.
pub(crate) fn told(doubt: &motor::Doubt) -> DoubtReport {
    DoubtReport {
        source_row: doubt.source_row,
        table: doubt.table.map(|table| table + 1),
        column: doubt.column,
        given_column: doubt.column,
        reads: Vec::new(),
        rule: doubt.code.word(),
        level: doubt.severity.word(),
        text: doubt.text.clone(),
        others: doubt.others.clone(),
        settled: None,
        typed_since: false,
        why: rules::of(doubt.code).map(|rule| report::Why {
            likely: rule.likely,
            look: rule.look,
            source: rule.source,
        }),
    }
}

/// The first short text of the title rows.
fn title_of(grid: &store::Grid, found: &find::Found) -> Option<String> {
    let lines = found.lines(grid);
    let first = lines.first().filter(|line| line.called == As::Note)?;
    let text = match first.cells.first()?.content {
        store::Content::Text(index) => grid.text(index).trim(),
        _ => return None,
    };
    (text.chars().count() <= 80).then(|| text.to_owned())
}

/// The unit the numbers of a column were read in, where they carry none of their own.
fn unit_used(column: &find::Column, table: usize, all: &Understood) -> Option<String> {
    let reads = column.reads?;
    if reads.sort() != reads::Sort::Number {
        return None;
    }
    if let Some(foreign) = &column.heading.foreign {
        return Some(foreign.text.to_string());
    }
    let said = all.power_units_said.iter().find(|(of, _)| *of == table);
    let said = said.filter(|_| column.written_unit().is_none());
    let usual = match reads {
        reads::Reads::RatedPower if said.is_some() => {
            return said.map(|(_, unit)| unit.text().to_owned());
        }
        reads::Reads::RatedPower if all.other_power_unit => {
            return all.power_unit.map(|unit| unit.text().to_owned());
        }
        reads::Reads::RatedPower => all.power_unit.unwrap_or(reads::PlateUnit::Kilowatt),
        reads => reads.usual(),
    };
    let unit = column.unit.filter(|unit| unit.fits(reads)).unwrap_or(usual);
    (unit != reads::PlateUnit::One).then(|| unit.text().to_owned())
}

/// Fills the report from what was understood; gives the motors, which the report goes on holding.
fn fill(report: &mut Report, grid: &store::Grid, found: &find::Found, all: &mut Understood) -> Arc<pack::Motors> {
    report.sheet = Some(grid.name.clone());
    if let Some(entry) = report.sheets.get_mut(found.sheet) {
        entry.motors = all.motors.len();
    }
    report.language = Some(all.language.to_owned());
    report.supply = Some(SupplyReport {
        voltage: all.supply.volts.map(|volts| volts.normalize().to_string()),
        frequency: all.supply.hertz.map(|hertz| hertz.normalize().to_string()),
        said: all.supply.said.clone(),
    });
    for (number, table) in found.tables.iter().enumerate() {
        for column in &table.columns {
            report.columns.push(ColumnReport {
                table: number + 1,
                column: u32::from(column.column) + 1,
                heading: column.name.clone(),
                reads: column.reads.map(reads::Reads::key),
                and: column.reads.and(column.and()).map(reads::Reads::key),
                unit: unit_used(column, number, all),
                written_unit: column.written_unit().map(reads::PlateUnit::text),
                confidence: f64::from((column.heading.confidence * 100.0).round()) / 100.0,
                reason: if column.reads.is_none() && column.heading.reason.is_empty() {
                    "not understood; kept as it stands".to_owned()
                } else {
                    column.heading.reason.clone()
                },
                hidden: column.hidden,
                pairs: column.heading.pairs,
            });
        }
    }
    report.computed = report::ComputedLoads::of(
        all.motors
            .iter()
            .map(|motor| (motor.source_row(), motor.words(reads::Reads::Tag).cloned()))
            .collect(),
    );
    let sheet: Arc<str> = Arc::from(grid.name.as_str());
    let mut motors = std::mem::take(&mut all.motors);
    motors.close();
    let motors = Arc::new(motors);
    // Motors stand table by table; with tables side by side, rows do not.
    let mut next: Vec<usize> = vec![0; found.tables.len()];
    let mut table_now = None;
    for (place, motor) in motors.iter().enumerate() {
        if table_now != Some(motor.table())
            && let Some(first) = next.get_mut(motor.table())
        {
            *first = place;
        }
        table_now = Some(motor.table());
    }
    report.rows = find::all_rows(grid, found)
        .into_iter()
        .map(|line| {
            let find::Line { called, table, .. } = line;
            let source_row = line.row + 1;
            let mut row = RowReport {
                sheet: sheet.clone(),
                table: table.map(|table| table + 1),
                source_row,
                called,
                struck_through: false,
                hidden: false,
                standby: false,
                out_of_service: false,
                text: None,
                readings: None,
            };
            if called == As::Blank {
                return row;
            }
            if called == As::Motor {
                if let Some(next) = table.and_then(|table| next.get_mut(table))
                    && let Some(motor) = motors.at(*next)
                    && motor.source_row() == source_row
                {
                    row.struck_through = motor.struck();
                    row.hidden = motor.hidden();
                    row.standby = motor.standby();
                    row.out_of_service = motor.said_out_of_service();
                    row.readings = Some(Readings::of(&motors, *next));
                    *next += 1;
                }
            } else {
                let shown: Vec<String> = line.cells.iter().map(|cell| grid.shown(cell.content)).collect();
                row.text = Some(shown.join(" | "));
            }
            row
        })
        .collect();
    report.totals = std::mem::take(&mut all.totals);
    report.ratings = totals::Ratings::of(&motors, all.power_unit.unwrap_or(reads::PlateUnit::Kilowatt));
    report.doubts = all.doubts.iter().map(told).collect();
    motors
}
