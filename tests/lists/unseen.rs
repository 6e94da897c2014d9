//! Further lists in other dress, each a text file of rows with what a correct reading gives written under every row by hand.
//!
//! The lists are invented. A file of `tests/lists/unseen` says: `file xlsx`, or `file csv ; utf8` with the sign between fields; then
//! sheets with rows. In a row `|` begins a cell, `'` makes a text of a number, `@` a date, `%` a number shown in per cent, `<` and
//! `^` go on a merged cell from the left and from above; `~|` strikes the row through, `h|` hides it. `=` tells what the row above
//! is (`=2`: of the second of tables side by side), its readings, and after `!` every doubt above the level of a note (notes only where the list is about them).

use std::collections::BTreeMap;

use polepair::plates::{Options, import};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};
use serde_json::Value;

use crate::folder;
use crate::packages::file;

#[derive(Default)]
struct Sheet {
    name: String,
    rows: Vec<(String, Vec<String>)>,
    /// Row, and the table where several stand side by side (0: any).
    expected: BTreeMap<(u64, u64), String>,
    hidden: Vec<u16>,
}

pub struct List {
    kind: String,
    delimiter: u8,
    sheets: Vec<Sheet>,
    doubts: Vec<String>,
}

pub fn list(name: &str) -> List {
    let text = std::fs::read_to_string(folder().join(format!("unseen/{name}.txt"))).unwrap();
    let mut list = List {
        kind: "xlsx".to_owned(),
        delimiter: b';',
        sheets: Vec::new(),
        doubts: Vec::new(),
    };
    for line in text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
    {
        if let Some(rest) = line.strip_prefix("file ") {
            let mut words = rest.split_whitespace();
            list.kind = words.next().unwrap().to_owned();
            list.delimiter = words.next().map_or(b';', |sign| sign.as_bytes()[0]);
        } else if let Some(name) = line.strip_prefix("sheet ") {
            list.sheets.push(Sheet {
                name: name.to_owned(),
                ..Sheet::default()
            });
        } else if let Some(rest) = line.strip_prefix("= list") {
            list.doubts = rest
                .split(',')
                .map(|word| word.trim().to_owned())
                .filter(|word| !word.is_empty())
                .collect();
        } else {
            let sheet = list.sheets.last_mut().unwrap();
            if let Some(letter) = line.strip_prefix("hide ") {
                sheet.hidden.push(u16::from(letter.trim().as_bytes()[0] - b'A'));
            } else if let Some(rest) = line.strip_prefix('=') {
                let digits = rest.len() - rest.trim_start_matches(|sign: char| sign.is_ascii_digit()).len();
                let table = rest[..digits].parse().unwrap_or(0);
                let expected = rest[digits..].trim().to_owned();
                sheet.expected.insert((sheet.rows.len() as u64, table), expected);
            } else {
                let (flags, cells) = line.split_once('|').unwrap_or_else(|| panic!("{line}"));
                let cells = cells.split('|').map(|cell| cell.trim().to_owned()).collect();
                sheet.rows.push((flags.to_owned(), cells));
            }
        }
    }
    list
}

/// The list as a file.
pub fn built_file(name: &str, list: &List) -> (tempfile::TempDir, std::path::PathBuf) {
    file(&format!("{name}.{}", list.kind), &built(list))
}

/// The file as bytes.
fn built(list: &List) -> Vec<u8> {
    if list.kind == "csv" {
        let mut out = csv::WriterBuilder::new()
            .delimiter(list.delimiter)
            .flexible(true)
            .from_writer(Vec::new());
        for (_, cells) in &list.sheets[0].rows {
            out.write_record(cells.iter().map(|cell| cell.strip_prefix('\'').unwrap_or(cell)))
                .unwrap();
        }
        return out.into_inner().unwrap();
    }
    let mut book = Workbook::new();
    for described in &list.sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(&described.name).unwrap();
        for column in &described.hidden {
            sheet.set_column_hidden(*column).unwrap();
        }
        // Where each merged cell begins and ends.
        let mut spans: Vec<(u32, u16, u32, u16)> = Vec::new();
        let mut at: BTreeMap<(u32, u16), usize> = BTreeMap::new();
        for (row, (flags, cells)) in (0u32..).zip(&described.rows) {
            if flags.contains('h') {
                sheet.set_row_hidden(row).unwrap();
            }
            for (column, cell) in (0u16..).zip(cells) {
                let from = match cell.as_str() {
                    "<" => at.get(&(row, column.wrapping_sub(1))),
                    "^" => at.get(&(row.wrapping_sub(1), column)),
                    _ => None,
                };
                let index = match from {
                    Some(index) => {
                        spans[*index].2 = row;
                        spans[*index].3 = column;
                        *index
                    }
                    None => {
                        spans.push((row, column, row, column));
                        spans.len() - 1
                    }
                };
                at.insert((row, column), index);
            }
        }
        for (top, left, bottom, right) in &spans {
            if (top, left) != (bottom, right) {
                sheet
                    .merge_range(*top, *left, *bottom, *right, "", &Format::new())
                    .unwrap();
            }
        }
        for (row, (flags, cells)) in (0u32..).zip(&described.rows) {
            let struck = flags.contains('~');
            for (column, cell) in (0u16..).zip(cells) {
                if matches!(cell.as_str(), "" | "<" | "^") {
                    continue;
                }
                let mut format = Format::new();
                if struck {
                    format = format.set_font_strikethrough();
                }
                if let Some(date) = cell.strip_prefix('@') {
                    let date = ExcelDateTime::parse_from_str(date).unwrap();
                    sheet
                        .write_datetime_with_format(row, column, date, &format.set_num_format("d-mmm"))
                        .unwrap();
                } else if let Some(number) = cell.strip_prefix('%') {
                    sheet
                        .write_number_with_format(
                            row,
                            column,
                            number.parse::<f64>().unwrap(),
                            &format.set_num_format("0.0%"),
                        )
                        .unwrap();
                } else if let Some(text) = cell.strip_prefix('\'') {
                    sheet.write_string_with_format(row, column, text, &format).unwrap();
                } else if let Ok(number) = cell.parse::<f64>() {
                    sheet.write_number_with_format(row, column, number, &format).unwrap();
                } else {
                    sheet.write_string_with_format(row, column, cell, &format).unwrap();
                }
            }
        }
    }
    book.save_to_buffer().unwrap()
}

/// `value unit` of a reading, `-` for none.
fn shown(reading: &Value) -> String {
    let value = match &reading["value"] {
        Value::String(text) => text.clone(),
        Value::Array(values) => values
            .iter()
            .map(|value| value.as_str().unwrap())
            .collect::<Vec<_>>()
            .join("/"),
        _ => return "-".to_owned(),
    };
    match reading["unit"].as_str().unwrap_or("1") {
        "1" => value,
        unit => format!("{value} {unit}"),
    }
}

pub const NAMES: [&str; 11] = [
    "sewage-works",
    "sugar-mill",
    "quarry-conveyors",
    "steel-drives",
    "hotel-plant",
    "farm-plates",
    "brewery",
    "pit-ventilation",
    "packing-house",
    "olive-press",
    "ferry-auxiliaries",
];

#[test]
fn every_row_reading_and_doubt() {
    let mut wrong = Vec::new();
    let (mut rows, mut values, mut doubts, mut extra) = (0, 0, 0, 0);
    for name in NAMES {
        let list = list(name);
        let (_folder, path) = built_file(name, &list);
        let report = serde_json::to_value(&import(&path, &Options::default()).unwrap().report).unwrap();
        let sheet = list.sheets.iter().find(|sheet| !sheet.expected.is_empty()).unwrap();
        assert_eq!(report["sheet"], sheet.name.as_str(), "{name}");
        let raised = report["doubts"].as_array().unwrap();
        for ((number, table), expected) in &sheet.expected {
            rows += 1;
            let (told, rules) = expected.split_once('!').unwrap_or((expected, ""));
            let called = [
                "unit row", "motor", "area", "total", "note", "heading", "blank", "letters",
            ]
            .into_iter()
            .find(|word| told.starts_with(word))
            .unwrap_or_else(|| panic!("{name}: {told}"));
            let Some(row) = report["rows"]
                .as_array()
                .unwrap()
                .iter()
                .find(|row| row["source_row"] == *number && (*table == 0 || row["table"] == *table))
            else {
                wrong.push(format!("{name} row {number}: missing"));
                continue;
            };
            if row["as"] != called {
                wrong.push(format!("{name} row {number}: {}, expected {called}", row["as"]));
            }
            for pair in told[called.len()..].split(';').filter(|pair| !pair.trim().is_empty()) {
                values += 1;
                let (key, value) = pair.split_once(':').unwrap();
                let found = shown(&row["readings"][key.trim()]);
                if found != value.trim() {
                    wrong.push(format!(
                        "{name} row {number} {}: {found}, expected {}",
                        key.trim(),
                        value.trim()
                    ));
                }
            }
            let rules: Vec<&str> = rules
                .split(',')
                .map(str::trim)
                .filter(|rule| !rule.is_empty())
                .collect();
            let here: Vec<&Value> = raised
                .iter()
                .filter(|doubt| doubt["source_row"] == *number)
                .filter(|doubt| *table == 0 || doubt["table"].is_null() || doubt["table"] == *table)
                .collect();
            for rule in &rules {
                doubts += 1;
                if !here.iter().any(|doubt| doubt["rule"] == *rule) {
                    wrong.push(format!("{name} row {number}: {rule} not raised"));
                }
            }
            for doubt in here {
                if doubt["level"] != "note" && !rules.contains(&doubt["rule"].as_str().unwrap()) {
                    extra += 1;
                    wrong.push(format!("{name} row {number}: false doubt {doubt}"));
                }
            }
        }
        let of_columns: Vec<&str> = raised
            .iter()
            .filter(|doubt| doubt["source_row"].is_null())
            .map(|doubt| doubt["rule"].as_str().unwrap())
            .collect();
        let expected: Vec<&str> = list.doubts.iter().map(String::as_str).collect();
        if of_columns != expected {
            wrong.push(format!(
                "{name}: doubts of the whole list {of_columns:?}, expected {expected:?}"
            ));
        }
    }
    println!("{rows} rows, {values} readings, {doubts} doubts expected, {extra} false errors and warnings");
    assert!(wrong.is_empty(), "{} of them wrong:\n{}", wrong.len(), wrong.join("\n"));
}
