//! `export FILE --to OUT`

use std::collections::HashMap;
use std::path::Path;

use super::Status;
use super::terminal::{Terminal, quoted};
use super::work::{self, trace_text};
use crate::handover::origin::Origin;
use crate::handover::table::{Remarks, source_rows};
use crate::handover::{self, ExportError, Job};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::plates::open::Means;
use crate::plates::{self, Limits, Options, Report};
use crate::quantity::show;
use crate::recalc::{Engine, QuantityResults, SheetResults};
use crate::workbook::{Form, Role};

/// Works a workbook and writes it.
pub fn run(terminal: &Terminal, path: &Path, to: &Path) -> Status {
    if let Err(status) = fit(terminal, to, &[(path, "the workbook itself")]) {
        return status;
    }
    let engine = match work::worked(terminal, path) {
        Ok(engine) => engine,
        Err(error) => return terminal.complain_of_file(&error),
    };
    let (remarks, report) = remarks_of_sources(terminal, &engine, folder_of(path));
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

/// The doubts of an import, by row of the source.
pub fn doubts_of(report: &Report) -> Remarks {
    let mut remarks = Remarks::new();
    for doubt in &report.doubts {
        if let Some(row) = doubt.source_row {
            remarks.entry(row).or_default().push(doubt.text.clone());
        }
    }
    remarks
}

/// What must be said beside the rows of a received list: its doubts, and givens that the workbook has otherwise than the list.
/// Without the second a reader would see loads worked with other values than those printed beside them.
fn remarks_of_sources(terminal: &Terminal, engine: &Engine, beside: &Path) -> (Remarks, Option<Report>) {
    let results = engine.results();
    let mut lists = results.sheets.iter().filter_map(|sheet| {
        let known = engine
            .workbook()
            .sheets
            .iter()
            .find(|known| *known.name == *sheet.name)?;
        let origin = Origin::of(known)?;
        let path = origin.find(beside).ok()?;
        Some((sheet, origin, path))
    });
    // Rows of two received lists would be taken for each other.
    let (Some((sheet, origin, path)), None) = (lists.next(), lists.next()) else {
        return (Remarks::new(), None);
    };
    let progress = terminal.progress("reading the list again");
    let import = plates::import(&path, &Options::of_this_program());
    drop(progress);
    let Ok(mut import) = import else {
        return (Remarks::new(), None);
    };
    if origin.sheet.is_some() && import.report.sheet != origin.sheet {
        return (Remarks::new(), None);
    }
    import.take(results);
    let mut remarks = doubts_of(&import.report);
    let fresh = Engine::new(import.workbook);
    if let Some(before) = fresh.results().sheets.iter().find(|known| known.form == Form::List) {
        for (row, text) in changed(before, sheet) {
            remarks.entry(row).or_default().push(text);
        }
    }
    (remarks, Some(import.report))
}

/// Givens of `now` that differ from those of `before`, in words, by row of the source.
fn changed(before: &SheetResults, now: &SheetResults) -> Vec<(u32, String)> {
    let places: HashMap<u32, usize> = source_rows(before)
        .into_iter()
        .enumerate()
        .filter_map(|(item, row)| Some((row?, item)))
        .collect();
    let rows = source_rows(now);
    let mut told = Vec::new();
    for quantity in now.quantities.iter().filter(|quantity| quantity.role == Role::Given) {
        let Some(old) = before.quantities.iter().find(|old| old.name == quantity.name) else {
            continue;
        };
        // In another unit the same value has other digits.
        let units = (unit_of(&old.sort), unit_of(&quantity.sort));
        if units.0 != units.1 {
            continue;
        }
        for (item, row) in rows.iter().enumerate() {
            let Some(row) = *row else { continue };
            let Some(place) = places.get(&row) else { continue };
            let value = |quantity: &QuantityResults, item: usize| match quantity.cells.get(item) {
                Some(Outcome::Value(Value::Number(number))) => Some(show::exact(number)),
                Some(Outcome::Value(Value::Text(text))) => Some(text.to_string()),
                _ => None,
            };
            let (was, is) = (value(old, *place), value(quantity, item));
            if was != is {
                let said = |value: Option<String>| match value {
                    Some(value) => format!("{value} {}", units.1).trim_end().to_owned(),
                    None => "nothing".to_owned(),
                };
                told.push((
                    row,
                    format!(
                        "{}: the workbook has {}, the list {}.",
                        quantity.called(),
                        said(is),
                        said(was)
                    ),
                ));
            }
        }
    }
    told
}

fn unit_of(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, .. } if &*unit.text != "1" => unit.text.to_string(),
        _ => String::new(),
    }
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
        engine.trace_at(at, quantity, item).map(|trace| trace_text(&trace))
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
            for note in done.notes {
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
