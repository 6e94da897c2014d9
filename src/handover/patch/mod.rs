//! A workbook package given back with columns added, everything else as it came.
//!
//! For: the equipment list that a technician received, with load columns beside its own.
//! Always: the part of the one sheet is written anew, and in it only what is added changes. The parts that must name what is added
//! (styles, links, types, the list of sheets) gain lines and lose none; every other part is copied without being unpacked. The source is not touched unless that is asked for. Styles are not touched either: new headings look
//! like the last heading, values are plain.
//! Not known here: where the columns come from.

mod address;
mod extras;
mod package;
mod sheet;
mod stream;

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

pub use address::letters;
use address::{LAST_COLUMN, LAST_ROW};
use extras::Slot;
pub use extras::{Extras, Note, OwnSheet};
use package::Odd;
use sheet::{Rows, Stop};

use super::ExportError;
use super::whole::{Whole, same_file};

/// A column to be added.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// Its heading, unit included.
    pub heading: String,
    /// Row of the sheet, from 1, and what stands there.
    pub cells: Vec<(u32, CellOut)>,
}

/// What is written into a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum CellOut {
    /// Nothing: the cell is not written.
    Blank,
    /// A number, written at fifteen digits.
    Number(f64),
    /// A text; never a formula, whatever it begins with.
    Text(String),
}

/// What was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// The file written.
    pub target: PathBuf,
    /// First new column, as letters.
    pub first: String,
    /// Last new column, as letters.
    pub last: String,
    /// How many rows got something, without the heading's.
    pub rows: usize,
    /// Parts of the package beside the sheet that gained lines.
    pub changed: Vec<String>,
    /// Parts that are new.
    pub added: Vec<String>,
    /// What the user should know.
    pub notes: Vec<String>,
}

impl Column {
    /// Width in characters that suits the heading and the texts.
    fn width(&self) -> usize {
        let long = |text: &str| text.chars().count() + 2;
        let texts = self.cells.iter().map(|(_, cell)| match cell {
            CellOut::Text(text) => long(text),
            CellOut::Number(_) => 12,
            CellOut::Blank => 0,
        });
        texts.chain([long(&self.heading)]).max().unwrap_or(0).clamp(10, 48)
    }
}

/// Writes `target`: the workbook `source` with `columns` to the right of all that the sheet holds, headings in `heading_row`
/// (from 1). Refuses where the target is the source.
pub fn add_columns(
    source: &Path,
    target: &Path,
    sheet: &str,
    heading_row: u32,
    columns: &[Column],
) -> Result<Done, ExportError> {
    if same_file(source, target) {
        return Err(ExportError::SourceIsTarget(source.to_owned()));
    }
    add(source, target, sheet, heading_row, columns, &Extras::default())
}

/// The same, with number formats, notes, frozen heading, filter and report beside the columns.
pub fn add_columns_and(
    source: &Path,
    target: &Path,
    sheet: &str,
    heading_row: u32,
    columns: &[Column],
    extras: &Extras<'_>,
) -> Result<Done, ExportError> {
    if same_file(source, target) {
        return Err(ExportError::SourceIsTarget(source.to_owned()));
    }
    add(source, target, sheet, heading_row, columns, extras)
}

/// The same into the source itself. Only where the user asked for it in so many words.
pub fn add_columns_in_place(
    source: &Path,
    sheet: &str,
    heading_row: u32,
    columns: &[Column],
) -> Result<Done, ExportError> {
    add(source, source, sheet, heading_row, columns, &Extras::default())
}

/// Whether the file carries a macro project, which only a target ending in `.xlsm` can keep.
pub fn has_macros(source: &Path) -> Result<bool, ExportError> {
    Ok(package::has_macros(&open(source)?))
}

fn open(source: &Path) -> Result<package::Archive, ExportError> {
    let file = File::open(source).map_err(|error| ExportError::read(source, error))?;
    ZipArchive::new(BufReader::new(file))
        .map_err(|error| ExportError::package(source, format!("it is no workbook package ({error})")))
}

fn add(
    source: &Path,
    target: &Path,
    sheet: &str,
    heading_row: u32,
    columns: &[Column],
    extras: &Extras<'_>,
) -> Result<Done, ExportError> {
    let odd = |found: String| ExportError::package(source, found);
    let mut archive = open(source)?;
    let part = package::sheet_part(&mut archive, sheet).map_err(|what| match what {
        Odd::Found(found) => odd(found),
        Odd::NoSheet(known) => ExportError::NoSheet {
            path: source.to_owned(),
            sheet: sheet.to_owned(),
            known,
        },
    })?;
    let index = package::find(&archive, &part).ok_or_else(|| odd(format!("its part {part} is missing")))?;

    let rows = Rows::new(heading_row, columns);
    let (top, bottom) = rows.ends();
    if top == 0 || bottom > LAST_ROW {
        return Err(odd(format!(
            "row {} is outside of a sheet",
            if top == 0 { 0 } else { bottom }
        )));
    }
    let found = sheet::survey(sheet_reader(&mut archive, index, source)?, &rows)
        .map_err(|what| odd(format!("sheet \"{sheet}\": {what}")))?;
    let tables = match package::tables(&mut archive, &part, &found.tables) {
        Ok(tables) => tables,
        Err(Odd::Found(what)) => return Err(odd(what)),
        Err(Odd::NoSheet(_)) => Vec::new(),
    };
    let first = found.first_free(&rows, &tables, extras.again);
    let free = (LAST_COLUMN + 1).saturating_sub(first);
    let count = u32::try_from(columns.len()).unwrap_or(u32::MAX);
    if count > free {
        return Err(ExportError::NoRoom {
            sheet: sheet.to_owned(),
            columns: columns.len(),
            free,
        });
    }
    if count == 0 {
        return Err(ExportError::Nothing("there is no worked column to add".to_owned()));
    }

    let filter = (extras.freeze && found.gets_filter()).then(|| {
        let (heading, last) = (rows.heading_row(), letters(first + count - 1));
        extras::Filter {
            sheet,
            block: format!("$A${heading}:${last}${}", rows.ends().1),
        }
    });
    let more = extras::parts(&mut archive, &part, extras, filter.as_ref());
    let dress = sheet::Dress {
        styles: &more.styles,
        notes: more.notes_link.as_deref(),
        freeze: extras.freeze,
        again: extras.again == Some(first),
    };

    // The sheet of the report comes first, then those of the workbook.
    let own: Vec<Option<&Slot>> = std::iter::once(more.report.as_ref())
        .chain(more.sheets.iter().map(Option::as_ref))
        .collect();
    let write_own = |which: usize, out: &mut dyn Write| match which.checked_sub(1).and_then(|at| extras.sheets.get(at))
    {
        Some(sheet) => extras::write_sheet(sheet, more.looks, out),
        None => extras::write_report(extras.pages, more.looks, out),
    };
    let mut whole = Whole::begin(target)?;
    let failed = |error: io::Error| ExportError::write(target, error);
    {
        let mut writer = ZipWriter::new(BufWriter::with_capacity(1 << 16, whole.file()));
        writer
            .set_raw_comment(archive.comment().into())
            .map_err(|error| failed(error.into()))?;
        for at in 0..archive.len() {
            if let Some((_, text)) = more.changed.iter().find(|(changed, _)| *changed == at) {
                let (name, options) = {
                    let entry = archive.by_index_raw(at).map_err(|error| odd(error.to_string()))?;
                    let name = entry.name().map_err(|error| odd(error.to_string()))?.into_owned();
                    (name, entry.options())
                };
                writer.start_file(name, options).map_err(|error| failed(error.into()))?;
                writer.write_all(text.as_bytes()).map_err(failed)?;
                continue;
            }
            if let Some(which) = own.iter().position(|slot| *slot == Some(&Slot::Anew(at))) {
                let (name, options) = {
                    let entry = archive.by_index_raw(at).map_err(|error| odd(error.to_string()))?;
                    let name = entry.name().map_err(|error| odd(error.to_string()))?.into_owned();
                    (name, entry.options())
                };
                writer.start_file(name, options).map_err(|error| failed(error.into()))?;
                let mut out = BufWriter::with_capacity(1 << 16, &mut writer);
                write_own(which, &mut out).map_err(failed)?;
                out.flush().map_err(failed)?;
                continue;
            }
            if at != index {
                let entry = archive.by_index_raw(at).map_err(|error| odd(error.to_string()))?;
                writer.raw_copy_file(entry).map_err(|error| failed(error.into()))?;
                continue;
            }
            let (name, options) = {
                let entry = archive.by_index_raw(at).map_err(|error| odd(error.to_string()))?;
                let name = entry.name().map_err(|error| odd(error.to_string()))?.into_owned();
                (name, entry.options())
            };
            // What is added may carry the part over the size that needs wide fields.
            let added = rows.count() as u64 * columns.len() as u64 * 256;
            let large =
                archive.by_index_raw(at).map(|entry| entry.size()).unwrap_or(0) + added > u64::from(u32::MAX) / 2;
            let options = if large { options.large_file(true) } else { options };
            writer.start_file(name, options).map_err(|error| failed(error.into()))?;
            let reader = sheet_reader(&mut archive, at, source)?;
            let mut out = BufWriter::with_capacity(1 << 16, &mut writer);
            sheet::write(reader, &mut out, &found, &rows, first, &dress).map_err(|stop| match stop {
                Stop::Xml(what) => odd(format!("sheet \"{sheet}\": {what}")),
                Stop::Write(error) => failed(error),
            })?;
            out.flush().map_err(failed)?;
        }
        for (name, text) in &more.added {
            writer
                .start_file(name.as_str(), SimpleFileOptions::default())
                .map_err(|error| failed(error.into()))?;
            writer.write_all(text.as_bytes()).map_err(failed)?;
        }
        for (which, slot) in own.iter().enumerate() {
            let Some(Slot::New(name)) = slot else { continue };
            writer
                .start_file(name.as_str(), SimpleFileOptions::default())
                .map_err(|error| failed(error.into()))?;
            let mut out = BufWriter::with_capacity(1 << 16, &mut writer);
            write_own(which, &mut out).map_err(failed)?;
            out.flush().map_err(failed)?;
        }
        let mut inner = writer.finish().map_err(|error| failed(error.into()))?;
        inner.flush().map_err(failed)?;
    }
    let changed = more.changed.iter().filter_map(|(at, _)| {
        let entry = archive.by_index_raw(*at).ok()?;
        entry.name().ok().map(|name| name.into_owned())
    });
    let changed: Vec<String> = changed.collect();
    let new_sheets = own.iter().filter_map(|slot| match slot {
        Some(Slot::New(name)) => Some(name.clone()),
        _ => None,
    });
    let added: Vec<String> = more
        .added
        .iter()
        .map(|(name, _)| name.clone())
        .chain(new_sheets)
        .collect();
    let mut notes = more.told;
    if package::is_signed(&archive) {
        notes.push(
            "the list carries a digital signature; it does not hold for the file with the added columns".to_owned(),
        );
    }
    // Some systems do not rename over a file that is open.
    drop(archive);
    whole.finish()?;
    Ok(Done {
        target: target.to_owned(),
        first: letters(first),
        last: letters(first + count - 1),
        rows: rows.count(),
        changed,
        added,
        notes,
    })
}

fn sheet_reader<'a>(
    archive: &'a mut package::Archive,
    index: usize,
    source: &Path,
) -> Result<impl Read + use<'a>, ExportError> {
    let entry = archive
        .by_index(index)
        .map_err(|error| ExportError::package(source, error.to_string()))?;
    Ok(entry.take(package::LARGEST_SHEET))
}
