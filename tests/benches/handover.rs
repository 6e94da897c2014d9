//! Export of a list of 5 000 rows with eight worked columns: JSON, csv, a new xlsx, and the received xlsx with columns added.
//!
//! Prints times and, for the package that is patched, the ratio to the least that must be done: unpack the sheet, look at every
//! tag, pack it again. Invented data.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

use std::fs::File;
use std::io::{BufReader, Cursor, Read, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use polepair::handover::json::{Traces, Worked};
use polepair::handover::patch::{CellOut, Column, add_columns};
use polepair::handover::table::{Remarks, Table};
use polepair::handover::{csv, json, xlsx};
use polepair::language::work::{Outcome, Value};
use polepair::quantity::Number;
use polepair::recalc::{QuantityResults, Results, SheetResults};
use polepair::workbook::Role;
use quick_xml::events::Event;
use rust_decimal::Decimal;

#[path = "../handover/worked.rs"]
#[allow(dead_code)]
mod worked;

const ROWS: u32 = 5_000;
const ROUNDS: usize = 5;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let source = folder.path().join("list.xlsx");
    received(&source);
    let results = Results {
        sheets: vec![list()],
        ..Results::default()
    };
    let none = Remarks::new();

    let least = best(|| drop(least(&source)));
    println!("least for a sheet of {ROWS} rows x 20: {least:?}");
    let columns = columns(&results.sheets[0]);
    let target = folder.path().join("out.xlsx");
    let patched = best(|| drop(add_columns(&source, &target, "Motors", 1, &columns).unwrap()));
    println!(
        "received xlsx, 8 columns added: {patched:?}, {:.2} x the least",
        ratio(patched, least)
    );

    let new = best(|| {
        let sheets = [xlsx::Sheet {
            name: "Motors".to_owned(),
            table: Table::new(&results.sheets[0], None, &none),
        }];
        let mut file = Cursor::new(Vec::new());
        xlsx::write(
            &sheets,
            &polepair::workbook::Workbook::default(),
            &results,
            &[],
            &[],
            &mut file,
        )
        .unwrap();
    });
    println!("new xlsx: {new:?}");
    let text = best(|| {
        csv::write(
            &Table::new(&results.sheets[0], None, &none),
            Default::default(),
            &mut std::io::sink(),
        )
        .unwrap()
    });
    println!("csv: {text:?}, {:.2} x a new xlsx", ratio(text, new));
    let trace = |_: &SheetResults, _: usize, _: usize| None;
    let object = best(|| {
        let worked = Worked {
            title: "bench",
            results: &results,
            trace: &trace,
            traces: Traces::Omitted,
        };
        json::write(&worked, &mut std::io::sink()).unwrap();
    });
    println!(
        "json without traces: {object:?}, {:.2} x a new xlsx",
        ratio(object, new)
    );
}

fn ratio(one: Duration, other: Duration) -> f64 {
    one.as_secs_f64() / other.as_secs_f64()
}

fn best(mut run: impl FnMut()) -> Duration {
    let times = (0..ROUNDS).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed()
    });
    times.min().unwrap()
}

/// A list of 5 000 rows and 20 columns, numbers and texts.
fn received(path: &Path) {
    let mut book = rust_xlsxwriter::Workbook::new();
    let list = book.add_worksheet();
    list.set_name("Motors").unwrap();
    for column in 0..20u16 {
        list.write_string(0, column, format!("Heading {column}")).unwrap();
        for row in 1..=ROWS {
            if column % 2 == 0 {
                list.write_number(row, column, f64::from(row) * 1.25 + f64::from(column))
                    .unwrap();
            } else {
                list.write_string(row, column, format!("P-{row}-{column}")).unwrap();
            }
        }
    }
    book.save(path).unwrap();
}

fn list() -> SheetResults {
    let mut sheet = worked::motors();
    sheet.items = (1..=ROWS).map(|row| row.to_string().into()).collect();
    sheet.checks.clear();
    sheet.flags.clear();
    let quantity = |name: &str, role, values: Vec<Outcome>| QuantityResults {
        cells: values.into(),
        ..worked::quantity(role, name, "", worked::quantity_in("kW"), Vec::new())
    };
    let rows = |f: &dyn Fn(u32) -> Decimal| {
        (1..=ROWS)
            .map(|row| Outcome::Value(Value::Number(Number::Rounded(f(row)))))
            .collect::<Vec<_>>()
    };
    let mut quantities = vec![quantity("source_row", Role::Given, rows(&|row| Decimal::from(row + 1)))];
    for column in 0..8u32 {
        let values = rows(&|row| Decimal::from(row * 7 + column) / Decimal::from(13));
        quantities.push(quantity(&format!("w_{column}"), Role::Work, values));
    }
    sheet.quantities = quantities;
    sheet
}

fn columns(sheet: &SheetResults) -> Vec<Column> {
    let number = |outcome: &Outcome| match outcome {
        Outcome::Value(Value::Number(number)) => CellOut::Number(number.to_f64()),
        _ => CellOut::Blank,
    };
    sheet.quantities[1..]
        .iter()
        .map(|quantity| Column {
            heading: quantity.name.to_string(),
            cells: (2..).zip(quantity.cells.iter().map(number)).collect(),
        })
        .collect()
}

/// Unpacks the sheet, looks at every tag, packs it again.
fn least(source: &Path) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(File::open(source).unwrap()).unwrap();
    let mut text = Vec::new();
    archive
        .by_name("xl/worksheets/sheet1.xml")
        .unwrap()
        .read_to_end(&mut text)
        .unwrap();
    let mut reader = quick_xml::Reader::from_reader(BufReader::new(text.as_slice()));
    let mut buffer = Vec::new();
    while !matches!(reader.read_event_into(&mut buffer).unwrap(), Event::Eof) {
        buffer.clear();
    }
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("sheet", zip::write::SimpleFileOptions::default())
        .unwrap();
    zip.write_all(&text).unwrap();
    zip.finish().unwrap().into_inner()
}
