//! The report of an import as a file: JSON for other programs, text for reading and for printing.
//!
//! Always: the ending of the file tells which; anything but `.txt` is JSON.
//! Not known here: what the report says.

use std::io::{self, Write};
use std::path::Path;

use super::page::Ink;
use super::page::table::{Align, Cell, Column, Table};
use crate::fault::render::clean;
use crate::plates::{Report, pages};

/// Writes a report for a file of this name.
///
/// # Errors
/// Those of writing.
pub fn write(report: &Report, target: &Path, out: &mut dyn Write) -> io::Result<()> {
    let as_text = target
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("txt"));
    if as_text {
        return out.write_all(text(report).as_bytes());
    }
    serde_json::to_writer_pretty(&mut *out, report)?;
    writeln!(out)
}

/// The report as text, for reading and for printing.
pub fn text(report: &Report) -> String {
    let mut out = String::new();
    for page in pages::of(report) {
        out.push_str(page.title);
        out.push('\n');
        let faint = |words: &str| Cell::new(words, Ink::Faint);
        let mut rows: Vec<Vec<Cell>> = vec![page.headings.iter().map(|heading| faint(heading)).collect()];
        rows.extend(page.rows.iter().map(|row| {
            row.iter()
                .map(|text| Cell::new(clean(text).replace('\n', " "), Ink::Plain))
                .collect()
        }));
        let table = Table {
            // Short columns keep their width, long texts wrap.
            columns: (0..page.headings.len())
                .map(|column| {
                    let longest = page
                        .rows
                        .iter()
                        .filter_map(|row| row.get(column))
                        .map(|text| text.chars().count())
                        .max();
                    if longest.unwrap_or(0) > 24 {
                        Column::soft(24)
                    } else {
                        Column::firm(Align::Left)
                    }
                })
                .collect(),
            left: page.headings.len(),
            right: 0,
            headings: 1,
            rows,
        };
        for line in table.lines(160, 2, false) {
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out.push('\n');
    }
    out
}
