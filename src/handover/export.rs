//! `export FILE.pole --to OUT`: one worked workbook to one file, in the format of its ending.
//!
//! For: the command line, import in one step, the window.
//! Always: the columns a list came with stay as they were, worked columns stand to their right. Where the received xlsx is still
//! there and unchanged, it is given back with columns added; else a new file is written, and the notes say why.
//! Not known here: the wording of the terminal.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

use super::origin::Origin;
use super::patch::{self, CellOut, Extras, Note, OwnSheet};
use super::table::{self, DOUBTS, Field, GONE, Original, Places, Remarks, Table};
use super::whole::{Whole, same_file};
use super::{ExportError, csv, figure, json, xlsx};
use crate::language::check::Sort;
use crate::plates::open::{self, Means};
use crate::plates::store::{Book, Dress, FileSort};
use crate::plates::{Report, pages};
use crate::quantity::show;
use crate::recalc::{Results, SheetResults};
use crate::workbook::{Form, Statement, Workbook};

/// What is exported.
pub struct Job<'a> {
    /// The workbook.
    pub workbook: &'a Workbook,
    /// What it gives.
    pub results: &'a Results,
    /// Where the text of a trace comes from.
    pub trace: &'a json::TraceOf<'a>,
    /// The folder a list's source is looked for in: the one of the workbook file.
    pub beside: &'a Path,
    /// How the source may be read.
    pub means: &'a Means,
    /// Further remarks on rows of the source, from the report of an import.
    pub remarks: &'a Remarks,
    /// The report of the import, where there was one: its doubts become cell notes, its pages a sheet.
    pub report: Option<&'a Report>,
    /// The sheet or list that is looked at, which a file of one table holds; `None`: what was received.
    pub in_sight: Option<&'a str>,
}

/// What was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Exported {
    /// Whether the received file was given back with columns added.
    pub given_back: bool,
    /// What the user should know, sentences.
    pub notes: Vec<String>,
    /// What stands behind them, for who asks, sentences.
    pub details: Vec<String>,
}

/// Writes `target`.
pub fn export(job: &Job, target: &Path) -> Result<Exported, ExportError> {
    if job.results.sheets.is_empty() {
        return Err(ExportError::Nothing("the workbook has no sheet and no list".to_owned()));
    }
    if sources(job).any(|source| same_file(&source, target)) {
        return Err(ExportError::SourceIsTarget(target.to_owned()));
    }
    match Format::of(target) {
        Some(Format::Json) => to_json(job, target),
        Some(Format::Csv) => to_csv(job, target),
        Some(Format::Xlsx(ending)) => to_xlsx(job, target, ending),
        None => Err(ExportError::Ending(target.to_owned())),
    }
}

/// What is written, by the ending of its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Everything, for programs.
    Json,
    /// One table.
    Csv,
    /// A workbook of tables; its ending, with macros or without.
    Xlsx(&'static str),
}

impl Format {
    /// The one of a file; `None` where no file of that ending can be written.
    pub fn of(target: &Path) -> Option<Format> {
        let ending = target.extension()?.to_string_lossy().to_lowercase();
        match ending.as_str() {
            "json" => Some(Format::Json),
            "csv" => Some(Format::Csv),
            "xlsx" => Some(Format::Xlsx("xlsx")),
            "xlsm" => Some(Format::Xlsx("xlsm")),
            _ => None,
        }
    }
}

/// The files that lists were read from, also those that have changed since: none of them is written over.
fn sources(job: &Job) -> impl Iterator<Item = PathBuf> {
    let origins = job.workbook.sheets.iter().filter_map(Origin::of);
    origins.filter_map(|origin| origin.stands(job.beside))
}

fn to_json(job: &Job, target: &Path) -> Result<Exported, ExportError> {
    let worked = json::Worked {
        title: &job.workbook.title,
        results: job.results,
        trace: job.trace,
        traces: json::Traces::Usual,
    };
    into_file(target, |out| json::write(&worked, out))?;
    Ok(Exported::default())
}

fn into_file(target: &Path, write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), ExportError> {
    let mut whole = Whole::begin(target)?;
    let mut out = BufWriter::with_capacity(1 << 16, whole.file());
    let written = write(&mut out).and_then(|()| out.flush());
    drop(out);
    written.map_err(|error| ExportError::write(target, error))?;
    whole.finish()
}

/// A list or sheet of the workbook with what is known of its source.
struct Part<'a> {
    results: &'a SheetResults,
    origin: Option<Origin>,
    /// Its file, or why it is of no use.
    file: Option<Result<PathBuf, String>>,
}

fn parts<'a>(job: &Job<'a>) -> Vec<Part<'a>> {
    let results = job.results.sheets.iter();
    results
        .map(|results| {
            let sheet = job.workbook.sheets.iter().find(|sheet| *sheet.name == *results.name);
            let origin = sheet.and_then(Origin::of).filter(|_| results.form == Form::List);
            let file = origin.as_ref().map(|origin| match origin.find(job.beside) {
                // Without the rows of the source nothing can be put beside them.
                Ok(_) if table::source_rows(results).iter().all(Option::is_none) => {
                    Err("cannot be matched: the list does not say which of its rows stand where".to_owned())
                }
                found => found,
            });
            Part { results, origin, file }
        })
        .collect()
}

/// The received file, read again.
struct Source {
    original: Original,
    sort: FileSort,
    dress: Dress,
    /// Its other sheets.
    others: Vec<String>,
}

impl Source {
    /// What a new file does not keep of it.
    fn told(&self, file: &str) -> String {
        if self.sort == FileSort::Csv {
            return format!(
                "{file} is a text file: the new xlsx holds its fields as text, as they were written, and the load columns as numbers."
            );
        }
        let others = match self.others.as_slice() {
            [] => String::new(),
            [one] => format!(" The other sheet, \"{one}\", is not in it."),
            several => {
                let names: Vec<String> = several.iter().take(8).map(|name| format!("\"{name}\"")).collect();
                let more = if several.len() > 8 { " and more" } else { "" };
                format!(" The other sheets are not in it: {}{more}.", names.join(", "))
            }
        };
        format!(
            "{file} is {} and cannot be added to: the new xlsx holds the values of its sheet \"{}\" and the load columns, without \
             formulas and look.{others}",
            self.sort.word(),
            self.original.grid.name
        )
    }
}

impl<'a> Part<'a> {
    /// What was read of its source, where this was the list.
    fn report<'j>(&self, job: &Job<'j>) -> Option<&'j Report> {
        let sheet = self.origin.as_ref()?.sheet.as_deref();
        // A text file has one sheet.
        job.report
            .filter(|report| sheet.is_none() || report.sheet.as_deref() == sheet)
    }

    /// Where its rows stand in its source.
    fn places(&self, job: &Job) -> Places {
        Places::of(self.results, self.report(job))
    }

    /// As a table.
    fn table(&self, job: &Job<'a>, original: Option<&'a Original>) -> Table<'a> {
        let places = match original {
            Some(_) => self.places(job),
            None => Places::of(self.results, None),
        };
        Table::placed(self.results, original, job.remarks, places).with_formulas(job.workbook)
    }
}

/// Where motors stand in a file of our own that were added to a list.
const BELOW: &str = "below the others";

/// What the workbook has more and less than the received list, sentences. `place`: where the rows are that it has more.
fn differing(job: &Job, part: &Part, place: &str) -> Vec<String> {
    const NAMED: usize = 12;
    let places = part.places(job);
    let mut told = Vec::new();
    let more = places.added().count();
    if part.path().is_some() && more > 0 {
        told.push(match more {
            1 => format!("1 motor was added in the workbook since the list was read: {place}."),
            more => format!("{more} motors were added in the workbook since the list was read: {place}."),
        });
    }
    let gone: Vec<String> = places.gone.iter().take(NAMED).map(u32::to_string).collect();
    let further = match places.gone.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let rows = gone.join(", ");
    match places.gone.len() {
        0 => {}
        1 => told.push(format!("The motor of row {rows} is not in the workbook any more: nothing is worked for it.")),
        count => told.push(format!(
            "The motors of {count} rows are not in the workbook any more, and nothing is worked for them: {rows}{further}."
        )),
    }
    told
}

/// The motors that were added to a received list, which stand in none of its rows.
fn added_sheet(job: &Job, part: &Part, file: &str) -> Option<OwnSheet> {
    let places = part.places(job);
    let added: Vec<usize> = places.added().collect();
    if added.is_empty() {
        return None;
    }
    let head = format!(
        "{}: motors added to {} since {file} was read; they stand in none of its rows",
        pages::WORKED,
        part.results.heading()
    );
    let table = Table::placed(part.results, None, job.remarks, places);
    let mut rows = vec![vec![CellOut::Text(head)], Vec::new()];
    let fields = table.items(&added).into_iter();
    rows.extend(fields.map(|fields| fields.iter().map(cell_out).collect::<Vec<_>>()));
    Some(OwnSheet {
        name: "Motors added".to_owned(),
        rows,
        headings: 3,
    })
}

impl Part<'_> {
    /// Sentences where the source is of no use.
    fn complaint(&self, job: &Job) -> Option<String> {
        let (Some(origin), Some(Err(why))) = (&self.origin, &self.file) else {
            return None;
        };
        // Whoever reads it takes a row without a doubt for a sound one.
        let doubts = match job.report {
            Some(_) => "",
            None => " What its reading doubted is not in what was written: look at the report of its reading.",
        };
        Some(format!(
            "The list \"{}\" is written from the workbook, not from its source: {} {why}.{doubts} Import that file again to have \
             the columns beside its own.",
            self.results.name, origin.file
        ))
    }

    fn path(&self) -> Option<&Path> {
        self.file.as_ref()?.as_deref().ok()
    }

    /// The sheet it was read from; an error sentence where it cannot be read any more.
    fn original(&self, means: &Means) -> Option<Result<Source, String>> {
        let (origin, path) = (self.origin.as_ref()?, self.path()?);
        let book = match open::read(path, means) {
            Ok(book) => book,
            Err(error) => {
                return Some(Err(format!(
                    "The list \"{}\" is written from the workbook: its source could not be read again ({error})",
                    self.results.name
                )));
            }
        };
        let Book {
            sort,
            mut sheets,
            dress,
            ..
        } = book;
        let at = match &origin.sheet {
            Some(name) => sheets.iter().position(|grid| grid.name == *name),
            None => Some(0),
        };
        let grid = at.filter(|at| *at < sheets.len()).map(|at| sheets.swap_remove(at));
        Some(match grid {
            Some(grid) => Ok(Source {
                original: Original {
                    grid,
                    headings: origin.headings,
                },
                sort,
                dress: dress.unwrap_or_default(),
                others: sheets.into_iter().map(|grid| grid.name).collect(),
            }),
            None => Err(format!(
                "The list \"{}\" is written from the workbook: its source has no sheet of that name.",
                self.results.name
            )),
        })
    }
}

fn to_csv(job: &Job, target: &Path) -> Result<Exported, ExportError> {
    let mut done = Exported::default();
    let parts = parts(job);
    // Text holds one table: the one in sight, a list that was received, else any list, else the first sheet.
    let chosen = parts
        .iter()
        .find(|part| job.in_sight == Some(&*part.results.name))
        .or_else(|| parts.iter().find(|part| part.path().is_some()))
        .or_else(|| parts.iter().find(|part| part.results.form == Form::List))
        .or(parts.first());
    let Some(part) = chosen else {
        return Err(ExportError::Nothing("the workbook has no sheet and no list".to_owned()));
    };
    done.notes.extend(part.complaint(job));
    let (original, dress) = match part.original(job.means) {
        Some(Ok(source)) => (Some(source.original), source.dress),
        Some(Err(why)) => {
            done.notes.push(why);
            (None, Dress::default())
        }
        None => (None, Dress::default()),
    };
    let table = part.table(job, original.as_ref());
    if original.is_some() {
        done.notes.extend(differing(job, part, BELOW));
    }
    into_file(target, |out| csv::write(&table, dress, out))?;
    let others: Vec<&str> = parts
        .iter()
        .filter(|other| other.results.name != part.results.name)
        .map(|other| &*other.results.name)
        .collect();
    if !others.is_empty() {
        let other = match job.in_sight {
            Some(_) => "Go to another one and hand it over to a csv file of its own, or hand over to xlsx.",
            None => "Export to xlsx for all of them.",
        };
        done.notes.push(format!(
            "A csv file holds one table: it is \"{}\"; not written: {}. {other}",
            part.results.name,
            others.join(", ")
        ));
    }
    Ok(done)
}

fn to_xlsx(job: &Job, target: &Path, ending: &str) -> Result<Exported, ExportError> {
    let mut done = Exported::default();
    let parts = parts(job);
    let package = parts.iter().find_map(|part| {
        let path = part.path()?;
        // By its first bytes: a list is often not what its name says.
        is_xlsx(path).then_some(path)
    });
    if let Some(source) = package {
        match give_back(job, &parts, source, target, ending) {
            Ok(given) => return Ok(given),
            // Nothing is lost by a new file; only the dress of the old one.
            Err(error @ (ExportError::Package { .. } | ExportError::NoRoom { .. } | ExportError::NoSheet { .. })) => {
                done.notes.push(format!("A new file is written: {error}."));
            }
            Err(error) => return Err(error),
        }
    }
    if ending == "xlsm" {
        return Err(ExportError::Ending(target.to_owned()));
    }
    new_file(job, &parts, target, done)
}

/// Whether the file is a package, and none of the other sorts that are packed alike.
fn is_xlsx(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    zip::ZipArchive::new(BufReader::new(file)).is_ok_and(|archive| {
        ["content.xml", "xl/workbook.bin"]
            .iter()
            .all(|part| archive.index_for_name(part).is_none())
    })
}

/// The name of a sheet for a list of groups, or for another sheet of the workbook, fit for a sheet of a file.
fn sheet_name(job: &Job, part: &Part) -> String {
    let sheet = job
        .workbook
        .sheets
        .iter()
        .find(|sheet| *sheet.name == *part.results.name);
    let groups = sheet.and_then(|sheet| match &sheet.opening.statement {
        Statement::Opening {
            groups: Some((list, by)),
        } => Some(format!("{list} by {by}")),
        _ => None,
    });
    let name = groups.unwrap_or_else(|| match part.results.title.as_str() {
        "" => part.results.name.to_string(),
        title => title.to_owned(),
    });
    let fit = name
        .chars()
        .map(|sign| if "[]:*?/\\'".contains(sign) { ' ' } else { sign });
    // The longest name that programs take.
    fit.take(31).collect::<String>().trim().to_owned()
}

/// A list of groups or another sheet of the workbook, which stands in no received file.
fn own_sheet(job: &Job, part: &Part, file: &str) -> OwnSheet {
    let table = Table::new(part.results, None, job.remarks).with_formulas(job.workbook);
    let head = format!(
        "{}: {} of the workbook, beside {file}",
        pages::WORKED,
        part.results.heading()
    );
    let mut rows = vec![vec![CellOut::Text(head)], Vec::new()];
    rows.extend((0..table.rows).map(|row| {
        let fields = table.row(row).into_iter();
        fields.map(|field| cell_out(&field)).collect()
    }));
    OwnSheet {
        name: sheet_name(job, part),
        rows,
        headings: 3 + usize::try_from(table.heading).unwrap_or(0),
    }
}

fn cell_out(field: &Field<'_>) -> CellOut {
    match field {
        Field::Blank => CellOut::Blank,
        Field::Number(number, _) => CellOut::Number(figure::at_fifteen_digits(number)),
        other => CellOut::Text(other.plain()),
    }
}

/// The received file with columns added.
fn give_back(job: &Job, parts: &[Part], source: &Path, target: &Path, ending: &str) -> Result<Exported, ExportError> {
    match (patch::has_macros(source)?, ending) {
        (true, "xlsx") => {
            return Err(ExportError::package(
                source,
                "it carries macros, which only a file ending in .xlsm can keep",
            ));
        }
        (false, "xlsm") => return Err(ExportError::Ending(target.to_owned())),
        _ => {}
    }
    let mut done = Exported {
        given_back: true,
        ..Exported::default()
    };
    let mut written = false;
    let mut added_there = false;
    let mut left: Vec<&Part> = Vec::new();
    for part in parts {
        let (Some(origin), true) = (&part.origin, part.path().is_some_and(|path| same_file(path, source))) else {
            done.notes.extend(part.complaint(job));
            left.push(part);
            continue;
        };
        let columns = columns(part.results, job.remarks, part.places(job));
        let sheet = origin.sheet.as_deref().unwrap_or_default();
        let of_this = job
            .report
            .filter(|report| report.sheet.as_deref() == Some(sheet) && !written);
        let mut pages = of_this.map_or_else(Vec::new, pages::of);
        // What stands in no received file goes with the first list that is given back.
        let others = parts.iter().filter(|other| other.origin.is_none() && !written);
        let sheets: Vec<OwnSheet> = others.map(|other| own_sheet(job, other, &origin.file)).collect();
        if !sheets.is_empty() {
            let names: Vec<String> = sheets.iter().map(|sheet| format!("\"{}\"", sheet.name)).collect();
            let words = if sheets.len() == 1 {
                "a sheet of its own"
            } else {
                "sheets of their own"
            };
            done.notes.push(format!("On {words}: {}.", names.join(", ")));
            added_there = true;
        }
        let mut sheets = sheets;
        let motors_added = added_sheet(job, part, &origin.file).filter(|_| !written);
        let further = differing(
            job,
            part,
            &match &motors_added {
                Some(sheet) => format!("on the sheet \"{}\"", sheet.name),
                None => "not in this file".to_owned(),
            },
        );
        sheets.extend(motors_added);
        if let Some(about) = pages.first_mut() {
            let told = format!(
                "{} as it came, with the load columns to the right of the sheet \"{sheet}\" and this sheet. For them the lists of sheets, \
                 styles, links and types of the package gain lines; its other parts are copied unchanged",
                origin.file
            );
            about.rows.push(vec!["this file".to_owned(), told]);
        }
        let extras = Extras {
            formats: formats(part.results, columns.len()),
            notes: of_this.map_or_else(Vec::new, |report| {
                let cells = report.cell_notes().into_iter();
                cells.map(|(row, column, text)| Note { row, column, text }).collect()
            }),
            freeze: true,
            pages: &pages,
            sheets,
            again: of_this.and_then(Report::added_from),
        };
        let added = if written {
            patch::add_columns_in_place(target, sheet, origin.headings, &columns)?
        } else {
            patch::add_columns_and(source, target, sheet, origin.headings, &columns, &extras)?
        };
        let first_time = !written;
        written = true;
        done.notes.push(format!(
            "{} is given back as it came, with columns {} to {} of the sheet \"{sheet}\" added in {} rows.",
            origin.file, added.first, added.last, added.rows
        ));
        done.notes.extend(further);
        if first_time {
            done.details = untouched(&added);
            done.notes.extend(corrected(job));
        }
        done.notes
            .extend(added.notes.into_iter().map(|note| format!("Note: {note}.")));
    }
    left.retain(|part| !(added_there && part.origin.is_none()));
    if !left.is_empty() {
        let names: Vec<&str> = left.iter().map(|part| &*part.results.name).collect();
        let csv = match job.in_sight {
            Some(_) => " Go to one and hand it over to a csv file of its own.",
            None => "",
        };
        done.notes.push(format!(
            "Not written, as they do not come from that file: {}.{csv}",
            names.join(", ")
        ));
    }
    Ok(done)
}

/// How many values the workbook has otherwise than the list that is handed over.
fn corrected(job: &Job) -> Option<String> {
    let values = job.report?.corrected.iter().filter(|one| !one.is_grade());
    let (values, stay) = match values.count() {
        0 => return None,
        1 => ("1 value was".to_owned(), "its cell stays as received, with a note"),
        more => (
            format!("{more} values were"),
            "their cells stay as received, with notes",
        ),
    };
    Some(format!(
        "{values} corrected since the list was read: {stay} of what is used."
    ))
}

/// What the package kept and gained.
fn untouched(added: &patch::Done) -> Vec<String> {
    let mut told = vec![
        "Original cells, formulas, widths, formats and other sheets are untouched.".to_owned(),
        "The heading is frozen and filtered, where it was not.".to_owned(),
    ];
    if !added.changed.is_empty() {
        told.push(format!(
            "Parts of the package that gain lines: {}.",
            added.changed.join(", ")
        ));
    }
    if !added.added.is_empty() {
        told.push(format!("New parts: {}.", added.added.join(", ")));
    }
    told.push("All other parts are copied as they are.".to_owned());
    told
}

/// The number format of each column added, its unit in it; the remarks have none.
fn formats(sheet: &SheetResults, count: usize) -> Vec<Option<String>> {
    let formats: Vec<Option<String>> = table::added(sheet)
        .map(|column| {
            let shown = (0..column.count())
                .filter_map(|item| match column.field(item) {
                    Field::Number(number, rounding) => Some(show::number(&number, rounding)),
                    _ => None,
                })
                .filter(|shown| !shown.contains(['e', 'E']))
                .take(200)
                .map(|shown| shown.split_once('.').map_or(0, |(_, places)| places.len()))
                .max()?;
            let places = "0".repeat(shown.min(3));
            let dot = if places.is_empty() { "" } else { "." };
            let unit = match column.sort() {
                Sort::Quantity { unit, .. } if &*unit.text != "1" => format!("\" {}\"", unit.text),
                _ => String::new(),
            };
            Some(format!("0{dot}{places}{unit}"))
        })
        .chain([None])
        .collect();
    formats.into_iter().cycle().take(count).collect()
}

/// The worked columns of a list and the remarks, by source row.
fn columns(sheet: &SheetResults, remarks: &Remarks, places: Places) -> Vec<patch::Column> {
    let (rows, gone) = (places.rows.clone(), places.gone.clone());
    let layers = table::layers(&rows);
    let table = Table::placed(sheet, None, remarks, places);
    let last = layers.iter().copied().max().unwrap_or(0);
    let mut columns: Vec<patch::Column> = Vec::new();
    for layer in 0..=last {
        // The rows of this layer and where they stand in the list.
        let here = || {
            let items = rows.iter().zip(&layers).enumerate();
            items.filter_map(|(item, (row, of))| Some((item, (*row)?)).filter(|_| *of == layer))
        };
        columns.extend(table::added(sheet).map(|column| {
            patch::Column {
                heading: table::in_layer(column.heading(), layer),
                cells: here()
                    .filter_map(|(item, row)| {
                        let cell = cell_out(&column.field(item));
                        (cell != CellOut::Blank).then_some((row, cell))
                    })
                    .collect(),
            }
        }));
        columns.push(patch::Column {
            heading: table::in_layer(DOUBTS.to_owned(), layer),
            cells: here()
                .map(|(item, row)| (row, CellOut::Text(table.item_remarks(item))))
                .filter(|(_, cell)| *cell != CellOut::Text(String::new()))
                .chain(
                    gone.iter()
                        .filter(|_| layer == 0)
                        .map(|row| (*row, CellOut::Text(GONE.to_owned()))),
                )
                .collect(),
        });
    }
    columns
}

/// A file of our own making.
fn new_file(job: &Job, parts: &[Part], target: &Path, mut done: Exported) -> Result<Exported, ExportError> {
    let mut originals = Vec::new();
    for part in parts {
        done.notes.extend(part.complaint(job));
        originals.push(match part.original(job.means) {
            Some(Ok(source)) => {
                done.notes.extend(differing(job, part, BELOW));
                let file = part.origin.as_ref().map_or("the list", |origin| origin.file.as_str());
                done.notes.push(source.told(file));
                Some(source.original)
            }
            Some(Err(why)) => {
                done.notes.push(why);
                None
            }
            None => None,
        });
    }
    let sheets: Vec<xlsx::Sheet> = parts
        .iter()
        .zip(&originals)
        .map(|(part, original)| xlsx::Sheet {
            name: match original {
                Some(original) if original.grid.name != "(csv)" => original.grid.name.clone(),
                _ if part.results.title.is_empty() => part.results.name.to_string(),
                _ => part.results.title.clone(),
            },
            table: part.table(job, original.as_ref()),
        })
        .collect();
    let mut whole = Whole::begin(target)?;
    let pages = job.report.map_or_else(Vec::new, pages::of);
    let written = xlsx::write(
        &sheets,
        job.workbook,
        job.results,
        &done.notes,
        &pages,
        BufWriter::new(whole.file()),
    );
    written.map_err(|error| ExportError::write(target, io::Error::other(error.to_string())))?;
    whole.finish()?;
    Ok(done)
}
