//! A list of 100 000 rows and 20 columns: through guard and reader into the store, beside the time the reading library needs to
//! stream the same file in the same run; then understanding it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing, missing_docs)]

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use calamine::{Reader, Xlsx};
use polepair::plates::{Limits, Options, Own, open, understand};

const ROWS: u32 = 100_000;

const HEADINGS: [&str; 20] = [
    "Tag",
    "Driven machine",
    "Area",
    "Rated kW",
    "Poles",
    "RPM",
    "Volts",
    "FLA (A)",
    "Efficiency %",
    "Power factor",
    "Meas. V",
    "Meas. A",
    "Meas. kW",
    "Meas. RPM",
    "Hours / yr",
    "Qty",
    "Frame",
    "Encl.",
    "SF",
    "Remarks",
];

/// An invented list: texts that repeat, numbers that do not.
fn write(path: &Path) {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet_with_constant_memory().unwrap();
    sheet.write(0, 0, "Plant list, 400 V 50 Hz (invented)").unwrap();
    for (column, heading) in HEADINGS.iter().enumerate() {
        sheet.write(2, column as u16, *heading).unwrap();
    }
    for row in 0..ROWS {
        let at = row + 3;
        let step = f64::from(row % 97);
        sheet.write(at, 0, format!("M-{row}")).unwrap();
        sheet
            .write(at, 1, ["pump", "fan", "conveyor", "mixer"][row as usize % 4])
            .unwrap();
        sheet
            .write(at, 2, ["north", "south", "east"][row as usize % 3])
            .unwrap();
        for (column, number) in [
            (3, 11.0),
            (4, 4.0),
            (5, 1460.0 + step / 10.0),
            (6, 400.0),
            (7, 21.0),
            (8, 91.0),
            (9, 0.84),
            (10, 396.0 + step / 10.0),
            (11, 12.0 + step / 20.0),
            (12, 6.0 + step / 50.0),
            (13, 1475.0 + step / 10.0),
            (14, 4000.0 + step),
            (15, 1.0),
            (18, 1.15),
        ] {
            sheet.write(at, column, number).unwrap();
        }
        sheet.write(at, 16, "160M").unwrap();
        sheet.write(at, 17, "IP55").unwrap();
        sheet
            .write(at, 19, ["", "checked", "standby"][row as usize % 3])
            .unwrap();
    }
    book.save(path).unwrap();
}

/// The shortest of three runs.
fn shortest<T>(mut work: impl FnMut() -> T) -> (Duration, T) {
    let mut best: Option<(Duration, T)> = None;
    for _ in 0..3 {
        let begin = Instant::now();
        let made = work();
        let took = begin.elapsed();
        if best.as_ref().is_none_or(|(known, _)| took < *known) {
            best = Some((took, made));
        }
    }
    best.unwrap()
}

/// Peak resident memory of this process in MB, where the system tells.
fn peak() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace()
        .nth(1)?
        .parse::<u64>()
        .ok()
        .map(|kilobytes| kilobytes / 1024)
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plant.xlsx");
    write(&path);
    println!(
        "list: {ROWS} rows × 20 columns, {} MB",
        std::fs::metadata(&path).unwrap().len() >> 20
    );
    let (library, cells) = shortest(|| {
        let mut book: Xlsx<_> = Xlsx::new(BufReader::new(File::open(&path).unwrap())).unwrap();
        let name = book.sheet_names().remove(0);
        let mut reader = book.worksheet_cells_reader(&name).unwrap();
        let mut cells = 0u64;
        while reader.next_cell().unwrap().is_some() {
            cells += 1;
        }
        cells
    });
    println!("the library streams {cells} cells: {library:.2?}");
    let limits = Limits::default();
    let (here, _) = shortest(|| open::read_here(&path, &limits).unwrap());
    println!(
        "guard and reader into the store, this process: {here:.2?}, {:.2} times",
        here.as_secs_f64() / library.as_secs_f64()
    );
    let means = open::Means {
        program: Some(PathBuf::from(env!("CARGO_BIN_EXE_polepair"))),
        limits,
    };
    let (child, book) = shortest(|| open::read(&path, &means).unwrap());
    println!(
        "guard and reader into the store, child process: {child:.2?}, {:.2} times",
        child.as_secs_f64() / library.as_secs_f64()
    );
    let before = peak();
    let (understood, import) =
        shortest(|| understand(&path, "plant.xlsx", String::new(), &book, Own::usual()).unwrap());
    println!(
        "understanding: {understood:.2?}, {} motors, {} doubts",
        import.report.computed.len(),
        import.report.doubts.len()
    );
    drop(import);
    let (whole, _) = shortest(|| {
        polepair::plates::import(
            &path,
            &Options {
                program: means.program.clone(),
                limits,
                own: None,
            },
        )
        .unwrap()
    });
    println!(
        "import from the file to list and report: {whole:.2?}; peak of this process {before:?} MB before understanding, {:?} MB after",
        peak()
    );
}
