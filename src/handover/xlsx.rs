//! A new workbook file: a sheet for each list and worked sheet, then checks, faults and notes.
//!
//! For: sources that cannot be given back with columns added (xls, ods, csv), and workbooks without a source.
//! Always: numbers unrounded, shown with the digits of the workbook; text is written as text, never as a formula; headings are
//! frozen and carry the unit.
//! Not known here: where the tables come from.

use std::collections::{HashMap, HashSet};
use std::io::{Seek, Write};

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, Workbook as Book, Worksheet, XlsxError};

use super::figure;
use super::table::{Field, Table, source_rows, verdict_text};
use crate::fault::{Placed, Stands};
use crate::plates::pages::{Page, SHEET};
use crate::quantity::show;
use crate::recalc::{Results, SheetResults};
use crate::workbook::{Statement, Workbook};

/// Rows from which a sheet is written row by row instead of being kept in memory.
const MANY_ROWS: u32 = 10_000;
/// Longest text of a cell, in UTF-16 units.
const LONGEST_TEXT: usize = 32_767;
/// Rows of which the widths of the columns are taken.
const MEASURED_ROWS: u32 = 200;

/// A table and the name of its sheet.
pub struct Sheet<'a> {
    /// Wished name; made fit and unlike the others.
    pub name: String,
    /// What stands in it.
    pub table: Table<'a>,
}

/// Writes the file. The workbook says which quantity a fault stands at.
pub fn write(
    sheets: &[Sheet],
    workbook: &Workbook,
    results: &Results,
    notes: &[String],
    pages: &[Page],
    out: impl Write + Seek + Send,
) -> Result<(), XlsxError> {
    let mut book = Book::new();
    let looks = Looks::new();
    let mut names = Names::default();
    for sheet in sheets {
        let page = match sheet.table.rows {
            MANY_ROWS.. => book.add_worksheet_with_constant_memory()?,
            _ => book.add_worksheet(),
        };
        page.set_name(names.fit(&sheet.name))?;
        table(page, &sheet.table, &looks)?;
    }
    checks(&mut book, results, &looks, &mut names)?;
    faults(&mut book, workbook, results, &looks, &mut names)?;
    notes_page(&mut book, workbook, results, notes, &looks, &mut names)?;
    report_page(&mut book, pages, &looks, &mut names)?;
    book.save_to_writer(out)
}

/// How cells look.
struct Looks {
    heading: Format,
    worked_heading: Format,
    wrapped: Format,
    date: Format,
    moment: Format,
    typed: Format,
    numbers: std::cell::RefCell<HashMap<(String, bool), Format>>,
}

impl Looks {
    fn new() -> Looks {
        let heading = Format::new()
            .set_bold()
            .set_text_wrap()
            .set_align(FormatAlign::Top)
            .set_border_bottom(FormatBorder::Thin);
        Looks {
            // Worked columns are told apart by slant and shade, which holds in greyscale too.
            worked_heading: heading
                .clone()
                .set_italic()
                .set_background_color(Color::RGB(0xE7_E7_E7)),
            heading,
            wrapped: Format::new().set_text_wrap().set_align(FormatAlign::Top),
            date: Format::new().set_num_format("yyyy-mm-dd"),
            moment: Format::new().set_num_format("yyyy-mm-dd hh:mm:ss"),
            typed: Format::new().set_bold(),
            numbers: std::cell::RefCell::default(),
        }
    }

    /// The digits of a number; what was typed is bold, as in the grid.
    fn number(&self, shown: &str, typed: bool) -> Format {
        let mut numbers = self.numbers.borrow_mut();
        numbers
            .entry((figure::format_of(shown), typed))
            .or_insert_with_key(|(format, typed)| {
                let look = if *typed { self.typed.clone() } else { Format::new() };
                look.set_num_format(format)
            })
            .clone()
    }
}

fn table(page: &mut Worksheet, table: &Table, looks: &Looks) -> Result<(), XlsxError> {
    let columns = table.columns();
    let first_worked = table.first_worked();
    let mut widths = vec![0; columns];
    for row in table.heading..table.rows.min(table.heading.saturating_add(MEASURED_ROWS)) {
        for (width, field) in widths.iter_mut().zip(table.row(row)) {
            // Headings wrap: half their length will do.
            let length = shown(&field).chars().count() / if row == table.heading { 2 } else { 1 };
            *width = length.max(*width);
        }
    }
    for (column, width) in widths.iter().enumerate() {
        page.set_column_width(place(column)?, (*width as f64 + 2.0).clamp(9.0, 60.0))?;
    }
    page.set_freeze_panes(table.heading + 1, 0)?;
    if columns > 0 && table.rows > table.heading + 1 {
        page.autofilter(table.heading, 0, table.rows - 1, place(columns - 1)?)?;
    }
    for row in 0..table.rows {
        for (column, field) in table.row(row).iter().enumerate() {
            let at = place(column)?;
            if row == table.heading {
                let look = if column >= first_worked {
                    &looks.worked_heading
                } else {
                    &looks.heading
                };
                page.write_string_with_format(row, at, cut(&shown(field)), look)?;
                continue;
            }
            let typed = table.is_given(row, column);
            match field {
                Field::Blank => {}
                Field::Number(number, rounding) => {
                    let look = looks.number(&show::number(number, *rounding), typed);
                    page.write_number_with_format(row, at, figure::at_fifteen_digits(number), &look)?;
                }
                Field::Double(number) => drop(page.write_number(row, at, *number)?),
                Field::Date(serial, text) => {
                    // A time of day, where there is one, stays in sight.
                    let look = if text.contains(':') { &looks.moment } else { &looks.date };
                    page.write_number_with_format(row, at, *serial, look)?;
                }
                Field::Truth(_) | Field::Text(_) if typed => {
                    page.write_string_with_format(row, at, cut(&field.plain()), &looks.typed)?;
                }
                Field::Truth(_) => drop(page.write_string(row, at, field.plain())?),
                Field::Text(text) => drop(page.write_string(row, at, cut(text))?),
            }
        }
    }
    Ok(())
}

/// A field as it is read in the sheet.
fn shown(field: &Field) -> String {
    match field {
        Field::Number(number, rounding) => show::number(number, *rounding),
        other => other.plain(),
    }
}

/// All checks and flags, one line for each item.
fn checks(book: &mut Book, results: &Results, looks: &Looks, names: &mut Names) -> Result<(), XlsxError> {
    let lines = results.sheets.iter().flat_map(|sheet| {
        let checks = sheet.checks.iter().map(|check| ("check", check));
        checks
            .chain(sheet.flags.iter().map(|flag| ("flag", flag)))
            .map(move |(role, check)| (sheet, role, check))
    });
    let mut page: Option<&mut Worksheet> = None;
    let mut row = 0;
    for (sheet, role, check) in lines {
        for (item, verdict) in sheet.items.iter().zip(&check.cells) {
            if role == "flag" && verdict.holds != Some(true) {
                continue;
            }
            if page.is_none() {
                let new = book.add_worksheet();
                new.set_name(names.fit("Checks"))?;
                let headings = [
                    "sheet", "item", "", "in words", "formula", "result", "left", "right", "why",
                ];
                lay_out(new, &headings, &[16, 16, 8, 40, 40, 24, 16, 16, 48], looks)?;
                page = Some(new);
            }
            let Some(page) = page.as_deref_mut() else { continue };
            row += 1;
            let words = if role == "flag" {
                ("raised", "not raised")
            } else {
                ("holds", "does not hold")
            };
            let (left, right) = verdict.sides.clone().unwrap_or_default();
            let fields: [&str; 9] = [
                sheet.heading(),
                item,
                role,
                &check.text,
                &check.formula,
                &verdict_text(verdict, words),
                &left,
                &right,
                verdict.why.as_deref().unwrap_or(""),
            ];
            line(page, row, &fields, looks)?;
        }
    }
    Ok(())
}

/// All faults, warnings and notes, by sheet, quantity, and case or row: who reads this sheet has no text before them.
fn faults(
    book: &mut Book,
    workbook: &Workbook,
    results: &Results,
    looks: &Looks,
    names: &mut Names,
) -> Result<(), XlsxError> {
    if results.faults.is_empty() && results.accepted.is_empty() {
        return Ok(());
    }
    let page = book.add_worksheet();
    page.set_name(names.fit("Faults"))?;
    let headings = [
        "",
        "sheet",
        "quantity",
        "case or row",
        "what was found",
        "what to try",
        "accepted because",
        "code",
    ];
    lay_out(page, &headings, &[10, 20, 24, 24, 60, 60, 40, 24], looks)?;
    let open = results.faults.iter().map(|placed| (placed, ""));
    let accepted = results
        .accepted
        .iter()
        .map(|accepted| (&accepted.placed, accepted.reason.as_str()));
    for (row, (placed, reason)) in (1..).zip(open.chain(accepted)) {
        let sheet = results
            .sheets
            .iter()
            .find(|sheet| placed.sheet.as_deref() == Some(&*sheet.name));
        let name = workbook.quantity_at(placed.stands);
        let quantity = name.and_then(|name| sheet?.quantities.iter().find(|quantity| *quantity.name == **name));
        let fields: [&str; 8] = [
            placed.fault.severity.word(),
            sheet.map_or("", SheetResults::heading),
            &match (quantity, name) {
                (Some(quantity), Some(name)) if !quantity.title.is_empty() => format!("{} ({name})", quantity.title),
                (_, Some(name)) => name.to_string(),
                (_, None) => line_in_words(workbook, placed.stands).unwrap_or_default().to_owned(),
            },
            &item_in_words(workbook, placed, sheet),
            &placed.fault.message,
            placed.fault.help.as_deref().unwrap_or(""),
            reason,
            placed.fault.code.word(),
        ];
        line(page, row, &fields, looks)?;
    }
    Ok(())
}

/// A line that is no quantity: a check or a flag by its condition, anything else as it stands.
fn line_in_words(workbook: &Workbook, stands: Stands) -> Option<&str> {
    let line = match stands {
        Stands::Line(sheet, line) => workbook.sheets.get(sheet)?.lines.get(line)?,
        Stands::Head(line) => workbook.head.get(line)?,
        Stands::Opening(_) | Stands::Row(..) | Stands::Nowhere => return None,
    };
    Some(match &line.statement {
        Statement::Check { formula, .. } | Statement::Flag { formula, .. } => &formula.text,
        _ => &line.text,
    })
}

/// The case or row of a fault: by its name, and by its row of the list it was read from.
fn item_in_words(workbook: &Workbook, placed: &Placed, sheet: Option<&SheetResults>) -> String {
    let named = placed.item.clone().unwrap_or_default();
    let items = sheet.map_or(&[][..], |sheet| &sheet.items);
    let Some(row) = workbook.item_at(placed.stands, items) else {
        return named;
    };
    let named = match items.get(row) {
        Some(item) if named.is_empty() && !item.is_empty() => item.to_string(),
        _ if named.is_empty() => format!("row {}", row + 1),
        _ => named,
    };
    match sheet.and_then(|sheet| source_rows(sheet).get(row).copied().flatten()) {
        Some(source) => format!("{named} (source row {source})"),
        None => named,
    }
}

/// What the workbook says of itself, notes of the export, notes of the sheets. Where there is nothing of these, no page.
fn notes_page(
    book: &mut Book,
    workbook: &Workbook,
    results: &Results,
    notes: &[String],
    looks: &Looks,
    names: &mut Names,
) -> Result<(), XlsxError> {
    let about = workbook.head.iter().filter_map(|line| match &line.statement {
        Statement::Workbook(title) => Some(("workbook", title)),
        Statement::About(which, text) => Some((which.as_str(), text)),
        _ => None,
    });
    let own = notes.iter().map(|note| ("", note));
    let sheets = results.sheets.iter();
    let of_sheets = sheets.flat_map(|sheet| sheet.notes.iter().map(|note| (sheet.heading(), note)));
    let lines: Vec<(&str, &String)> = about.chain(own).chain(of_sheets).collect();
    // The title alone stands on the sheets already.
    if lines.iter().all(|(about, _)| *about == "workbook") {
        return Ok(());
    }
    let page = book.add_worksheet();
    page.set_name(names.fit("Notes"))?;
    lay_out(page, &["about", "note"], &[24, 100], looks)?;
    for (row, (about, note)) in (1..).zip(lines) {
        line(page, row, &[about, note], looks)?;
    }
    Ok(())
}

/// The report of the import, its pages one below the other.
fn report_page(book: &mut Book, pages: &[Page], looks: &Looks, names: &mut Names) -> Result<(), XlsxError> {
    if pages.is_empty() {
        return Ok(());
    }
    let page = book.add_worksheet();
    page.set_name(names.fit(SHEET))?;
    for (column, width) in (0..).zip([14, 14, 14, 40, 40, 40, 40, 40]) {
        page.set_column_width(column, width)?;
    }
    let mut row = 0;
    for part in pages {
        page.write_string_with_format(row, 0, part.title, &looks.heading)?;
        for (column, heading) in (0..).zip(&part.headings) {
            page.write_string_with_format(row + 1, column, *heading, &looks.heading)?;
        }
        row += 2;
        for fields in &part.rows {
            let fields: Vec<&str> = fields.iter().map(String::as_str).collect();
            line(page, row, &fields, looks)?;
            row += 1;
        }
        row += 1;
    }
    Ok(())
}

fn lay_out(page: &mut Worksheet, headings: &[&str], widths: &[u16], looks: &Looks) -> Result<(), XlsxError> {
    for (column, (heading, width)) in (0..).zip(headings.iter().zip(widths)) {
        page.set_column_width(column, *width)?;
        page.write_string_with_format(0, column, *heading, &looks.heading)?;
    }
    page.set_freeze_panes(1, 0)?;
    Ok(())
}

fn line(page: &mut Worksheet, row: u32, fields: &[&str], looks: &Looks) -> Result<(), XlsxError> {
    for (column, text) in (0..).zip(fields).filter(|(_, text)| !text.is_empty()) {
        page.write_string_with_format(row, column, cut(text), &looks.wrapped)?;
    }
    Ok(())
}

fn place(column: usize) -> Result<u16, XlsxError> {
    u16::try_from(column).map_err(|_| XlsxError::RowColumnLimitError)
}

/// The text, cut where it is longer than a cell holds.
fn cut(text: &str) -> String {
    if text.encode_utf16().count() <= LONGEST_TEXT {
        return text.to_owned();
    }
    let mut units = 1;
    let kept = text.chars().take_while(|c| {
        units += c.len_utf16();
        units <= LONGEST_TEXT
    });
    kept.chain(['…']).collect()
}

/// Names of sheets given so far.
#[derive(Default)]
struct Names(HashSet<String>);

impl Names {
    /// A name that a sheet may have and no other one has: at most 31 characters, none of `[]:*?/\`.
    fn fit(&mut self, wished: &str) -> String {
        let plain: String = wished
            .chars()
            .map(|c| {
                if "[]:*?/\\".contains(c) || c.is_control() {
                    '-'
                } else {
                    c
                }
            })
            .collect();
        let plain = plain.trim_matches(['\'', ' ']);
        let plain = if plain.is_empty() || plain.eq_ignore_ascii_case("history") {
            "Sheet"
        } else {
            plain
        };
        for number in 1.. {
            let end = if number == 1 {
                String::new()
            } else {
                format!(" {number}")
            };
            let mut units = end.len();
            let start = plain.chars().take_while(|c| {
                units += c.len_utf16();
                units <= 31
            });
            let name = start.chain(end.chars()).collect::<String>();
            let name = name.trim_matches(['\'', ' ']).to_owned();
            if self.0.insert(name.to_lowercase()) {
                return name;
            }
        }
        "Sheet".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fit_and_differ() {
        let mut names = Names::default();
        assert_eq!(names.fit("Motors [kW/hp]"), "Motors -kW-hp-");
        assert_eq!(names.fit("motors -KW-HP-"), "motors -KW-HP- 2");
        assert_eq!(names.fit("'"), "Sheet");
        assert_eq!(names.fit("History"), "Sheet 2");
        let long = "Plant-room motors of the whole of the northern site";
        assert_eq!(names.fit(long), "Plant-room motors of the whole");
        assert_eq!(names.fit(long), "Plant-room motors of the whol 2");
    }
}
