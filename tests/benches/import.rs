//! A list of 100 000 rows and 20 columns: through guard and reader into the store, beside the time the reading library needs to
//! stream the same file in the same run; then understanding it, as a workbook and as text; then the memory that importing it takes at its peak, here and in the
//! reading process. A list of 5000 rows: the whole command, given back with load columns and report.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing, missing_docs)]

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
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
fn write(path: &Path, rows: u32) {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet_with_constant_memory().unwrap();
    sheet.write(0, 0, "Plant list, 400 V 50 Hz (invented)").unwrap();
    for (column, heading) in HEADINGS.iter().enumerate() {
        sheet.write(2, column as u16, *heading).unwrap();
    }
    for row in 0..rows {
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

/// The same list as csv.
fn as_text(from: &Path, to: &Path) {
    let mut book: Xlsx<_> = Xlsx::new(BufReader::new(File::open(from).unwrap())).unwrap();
    let name = book.sheet_names().remove(0);
    let mut text = String::new();
    for row in book.worksheet_range(&name).unwrap().rows() {
        let cells: Vec<String> = row.iter().map(ToString::to_string).collect();
        text.push_str(&cells.join(";"));
        text.push('\n');
    }
    std::fs::write(to, text).unwrap();
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

/// Peak resident memory of a process in MB, where the system tells.
fn peak(process: &str) -> Option<u64> {
    let text = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = text.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace()
        .nth(1)?
        .parse::<u64>()
        .ok()
        .map(|kilobytes| kilobytes / 1024)
}

/// Says which list this program is to import and to tell the peak of its memory.
const MEASURED: &str = "POLEPAIR_BENCH_MEASURED";

/// Peak memory in MB of importing a list in a process of its own, and of the reading process beside it.
fn memory(path: &Path) -> (Option<u64>, Option<u64>) {
    let out = Command::new(std::env::current_exe().unwrap())
        .env(MEASURED, path)
        .output()
        .unwrap();
    let parent = String::from_utf8_lossy(&out.stdout).trim().parse().ok();
    // The reading process alone, its output taken as fast as it comes; it is asked as long as it is there.
    let mut child = Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(["read-list-child".as_ref(), path.as_os_str()])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut output = child.stdout.take().unwrap();
    let reader = std::thread::spawn(move || std::io::copy(&mut output, &mut std::io::sink()));
    let mut most = None;
    while child.try_wait().unwrap().is_none() {
        most = peak(&child.id().to_string()).max(most);
        std::thread::sleep(Duration::from_millis(1));
    }
    reader.join().unwrap().unwrap();
    (parent, most)
}

fn main() {
    if let Some(path) = std::env::var_os(MEASURED) {
        let options = Options {
            program: Some(PathBuf::from(env!("CARGO_BIN_EXE_polepair"))),
            ..Options::default()
        };
        let import = polepair::plates::import(Path::new(&path), &options).unwrap();
        println!("{}", peak("self").unwrap_or(0));
        drop(import);
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plant.xlsx");
    write(&path, ROWS);
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
    let (understood, import) =
        shortest(|| understand(&path, "plant.xlsx", String::new(), book.clone(), Own::usual()).unwrap());
    println!(
        "understanding: {understood:.2?}, {} motors, {} doubts",
        import.report.computed.len(),
        import.report.doubts.len()
    );
    drop(import);
    let text = folder.path().join("plant.csv");
    as_text(&path, &text);
    let text_book = open::read(&text, &means).unwrap();
    let (from_text, import) =
        shortest(|| understand(&text, "plant.csv", String::new(), text_book.clone(), Own::usual()).unwrap());
    println!(
        "understanding the same list as csv: {from_text:.2?}, {:.2} times, {} motors",
        from_text.as_secs_f64() / understood.as_secs_f64(),
        import.report.computed.len()
    );
    drop((import, text_book));
    let (whole, _) = shortest(|| {
        polepair::plates::import(
            &path,
            &Options {
                program: means.program.clone(),
                limits,
                ..Options::default()
            },
        )
        .unwrap()
    });
    println!("import from the file to list and report: {whole:.2?}");
    let (parent, child) = memory(&path);
    println!("memory at its peak: {parent:?} MB, and {child:?} MB in the reading process");
    let small = folder.path().join("small.xlsx");
    write(&small, 5000);
    let out = folder.path().join("out.xlsx");
    let (command, _) = shortest(|| {
        let ran = Command::new(env!("CARGO_BIN_EXE_polepair"))
            .args([
                "import".as_ref(),
                small.as_os_str(),
                "--export".as_ref(),
                out.as_os_str(),
            ])
            .output()
            .unwrap();
        assert!(ran.status.success());
    });
    println!("5000 rows imported, worked and given back as xlsx, the whole command: {command:.2?}");
}
