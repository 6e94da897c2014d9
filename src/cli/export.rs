//! `export FILE --to OUT`

use std::path::Path;

use super::Status;
use super::terminal::{Terminal, quoted};
use super::work;
use crate::handover::table::Remarks;
use crate::handover::{self, ExportError, Job, source};
use crate::plates::open::Means;
use crate::plates::{Limits, Options, Report};
use crate::recalc::{Engine, SheetResults};

/// Works a workbook and writes it.
pub fn run(terminal: &Terminal, path: &Path, to: &Path) -> Status {
    if let Err(status) = fit(terminal, to, &[(path, "the workbook itself")]) {
        return status;
    }
    let engine = match work::worked(terminal, path) {
        Ok(engine) => engine,
        Err(error) => return terminal.complain_of_file(&error),
    };
    let progress = terminal.progress("reading the list again");
    let (remarks, report) = source::of_lists(
        engine.workbook(),
        engine.results(),
        folder_of(path),
        &Options::of_this_program(),
    );
    drop(progress);
    let written = write(terminal, &engine, folder_of(path), to, &remarks, report.as_ref());
    let status = work::status(engine.results());
    if status == Status::Faults {
        let told = format!(
            "The workbook has faults, and what they strike is missing in {}; polepair work {} tells them.\n",
            quoted(to),
            quoted(path)
        );
        terminal.say(&told);
    }
    written.max(status)
}

/// The folder a file stands in.
pub fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Endings that can be written.
const ENDINGS: [&str; 4] = ["xlsx", "xlsm", "csv", "json"];

/// Whether a target can be meant: an ending that is known, and none of the files that are read.
pub fn fit(terminal: &Terminal, to: &Path, sources: &[(&Path, &str)]) -> Result<(), Status> {
    let ending = to
        .extension()
        .map(|ending| ending.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    for (source, what) in sources {
        if same(to, source) {
            terminal.complain(
                &format!("{} is {what} and is not overwritten", to.display()),
                Some("write to another name"),
            );
            return Err(Status::Usage);
        }
    }
    if !ENDINGS.contains(&ending.as_str()) {
        terminal.complain(
            &format!("{} ends in nothing that can be written", to.display()),
            Some("end the name in .xlsx, .csv or .json"),
        );
        return Err(Status::Usage);
    }
    Ok(())
}

/// Whether two paths lead to one file.
pub fn same(one: &Path, other: &Path) -> bool {
    let place = |path: &Path| {
        std::fs::canonicalize(path).or_else(|_| {
            Ok::<_, std::io::Error>(std::fs::canonicalize(folder_of(path))?.join(path.file_name().unwrap_or_default()))
        })
    };
    match (place(one), place(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => one == other,
    }
}

/// Writes what was worked, and says what the user should know.
pub fn write(
    terminal: &Terminal,
    engine: &Engine,
    beside: &Path,
    to: &Path,
    remarks: &Remarks,
    report: Option<&Report>,
) -> Status {
    let results = engine.results();
    let trace = |sheet: &SheetResults, quantity: usize, item: usize| {
        let at = results.sheets.iter().position(|known| std::ptr::eq(known, sheet))?;
        engine.trace_at(at, quantity, item).map(|trace| trace.in_one_line())
    };
    let means = Means {
        program: std::env::current_exe().ok(),
        limits: Limits::default(),
    };
    let job = Job {
        workbook: engine.workbook(),
        results,
        trace: &trace,
        beside,
        means: &means,
        remarks,
        report,
        in_sight: None,
    };
    let progress = terminal.progress("writing");
    let done = handover::export(&job, to);
    drop(progress);
    match done {
        Ok(done) => {
            let how = if done.given_back {
                ": the list as it came, load columns added"
            } else {
                ""
            };
            let mut told = format!("Written: {}{how}\n", quoted(to));
            for note in done.notes.into_iter().chain(done.details) {
                told.push_str(&format!("  {note}\n"));
            }
            terminal.say(&told);
            Status::Well
        }
        Err(error) => {
            terminal.complain(&error.to_string(), Some(&error.help()));
            match error {
                ExportError::Ending(_) | ExportError::SourceIsTarget(_) => Status::Usage,
                _ => Status::File,
            }
        }
    }
}
