//! Lists as text: encoding, delimiter, quotes.
//!
//! Always: a row is a record as a grid shows it, blank lines counted. Nothing is taken for a number here; that needs the column.
//! Not known here: decimal signs, headings.

use std::path::Path;

use super::error::{FileError, Trouble};
use super::guard::{Limits, Passed};
use super::store::{Book, Cell, Content, Dress, FileSort, Grid, Look};

/// Delimiters that are tried, the more telling first.
const DELIMITERS: [u8; 4] = [b';', b'\t', b',', b'|'];

/// Reads a text file.
pub(super) fn read(path: &Path, passed: Passed, limits: &Limits) -> Result<Book, FileError> {
    let bytes = super::open::bytes_of(path, limits)?;
    let (text, encoding) = decoded(&bytes);
    let mut remarks = passed.remarks;
    let delimiter = delimiter_of(&text);
    remarks.push(format!(
        "Text file in {encoding}, fields parted by {}.",
        match delimiter {
            b'\t' => "tab".to_owned(),
            other => format!("{:?}", char::from(other)),
        }
    ));
    let mut grid = Grid::new("(csv)");
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut row: u64 = 0;
    let mut before = 1u64;
    let mut kept = 0usize;
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                remarks.push(format!("Source row {} could not be read: {error}.", row + 1));
                break;
            }
        }
        // The reader passes over blank lines without a word; a grid shows them as rows.
        let inside: u64 = record.iter().map(|field| field.matches('\n').count() as u64).sum();
        let after = reader.position().line();
        row += after.saturating_sub(before).saturating_sub(inside + 1);
        before = after;
        if row >= 1_048_576 {
            remarks.push("Rows after 1 048 576 were not read.".to_owned());
            break;
        }
        for (column, field) in record.iter().enumerate() {
            let field = field.trim();
            if field.is_empty() {
                continue;
            }
            let Ok(column) = u16::try_from(column) else { break };
            // A sign put before a text so that no program takes it for a formula is taken off again.
            let field = match field.strip_prefix('\'') {
                Some(rest) if rest.starts_with(['=', '+', '-', '@']) => rest,
                _ => field,
            };
            kept += 1;
            if kept > limits.cells {
                return Err(FileError::new(
                    Trouble::TooLarge,
                    path,
                    format!("The file has more than {} filled fields.", limits.cells),
                    "Read it in parts.",
                ));
            }
            let content = Content::Text(grid.intern(field));
            grid.push(
                row as u32,
                Cell {
                    column,
                    look: Look::default(),
                    content,
                },
            );
        }
        row += 1;
    }
    let dress = Dress {
        delimiter,
        comma: delimiter != b',' && decimal_commas(&grid),
    };
    Ok(Book {
        sort: FileSort::Csv,
        sheets: vec![grid],
        remarks,
        dress: Some(dress),
    })
}

/// Whether more of the decimal numbers have a comma than a point. Three digits behind the sign may be thousands and prove nothing.
fn decimal_commas(grid: &Grid) -> bool {
    let behind = |text: &str, sign: char| {
        text.split_once(sign).is_some_and(|(whole, part)| {
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            digits(whole) && digits(part) && part.len() != 3
        })
    };
    let (mut commas, mut points) = (0usize, 0usize);
    for text in grid.texts() {
        commas += usize::from(behind(text, ','));
        points += usize::from(behind(text, '.'));
    }
    commas > points
}

/// UTF-8 with or without mark, UTF-16 with mark, else Windows-1252.
fn decoded(bytes: &[u8]) -> (String, &'static str) {
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or_default());
        return (text.into_owned(), encoding.name());
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), "UTF-8"),
        Err(_) => {
            let (text, _, _) = encoding_rs::WINDOWS_1252.decode(bytes);
            (text.into_owned(), "Windows-1252")
        }
    }
}

/// The delimiter that cuts the first records into the most equal rows.
fn delimiter_of(text: &str) -> u8 {
    if let Some(line) = text.lines().next()
        && let Some(sign) = line.strip_prefix("sep=").and_then(|rest| rest.bytes().next())
    {
        return sign;
    }
    let mut best = (0usize, b';');
    for delimiter in DELIMITERS {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut counts = std::collections::BTreeMap::new();
        for record in reader.records().take(200).flatten() {
            if record.len() > 1 {
                *counts.entry(record.len()).or_insert(0usize) += 1;
            }
        }
        // Fields in the most frequent shape: many equal rows of several fields.
        let score = counts
            .iter()
            .map(|(fields, rows)| (fields - 1) * rows * rows)
            .max()
            .unwrap_or(0);
        if score > best.0 {
            best = (score, delimiter);
        }
    }
    best.1
}
