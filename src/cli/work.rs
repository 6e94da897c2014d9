//! `work FILE [--trace] [--json]`

use std::path::Path;

use super::Status;
use super::terminal::{Terminal, quoted};
use crate::files::{self, FileError};
use crate::handover::json::{self, Traces, Worked};
use crate::handover::page;
use crate::recalc::{Engine, Results};
use crate::workbook::text;

/// Works a workbook and prints it.
pub fn run(terminal: &Terminal, path: &Path, trace: bool, as_json: bool) -> Status {
    let engine = match worked(terminal, path) {
        Ok(engine) => engine,
        Err(error) => return terminal.complain_of_file(&error),
    };
    let results = engine.results();
    let printed = if as_json {
        let traces = if trace { Traces::All } else { Traces::Usual };
        terminal.print_with(|out| write_json(&engine, traces, out))
    } else {
        let file = quoted(path);
        let look = terminal.look(Some(&file));
        let mut text = page::page(engine.workbook(), results, &look);
        if trace {
            text.push_str(&page::traces(results, &|s, q, i| engine.trace_at(s, q, i), &look));
        }
        terminal.print(&text)
    };
    printed.max(status(results))
}

/// The JSON object of a worked workbook.
pub fn write_json(engine: &Engine, traces: Traces, out: &mut dyn std::io::Write) -> std::io::Result<()> {
    let results = engine.results();
    let trace_of = |sheet: &crate::recalc::SheetResults, quantity: usize, item: usize| {
        let at = results.sheets.iter().position(|known| std::ptr::eq(known, sheet))?;
        engine.trace_at(at, quantity, item).map(|trace| trace.in_one_line())
    };
    let object = Worked {
        title: &engine.workbook().title,
        results,
        trace: &trace_of,
        traces,
    };
    json::write(&object, out)
}

/// Opens and works a workbook.
pub fn worked(terminal: &Terminal, path: &Path) -> Result<Engine, FileError> {
    let progress = terminal.progress("reading");
    let text = files::open(path)?;
    let workbook = text::read(&text);
    progress.now("working");
    Ok(Engine::new(workbook))
}

/// What the results come to.
pub fn status(results: &Results) -> Status {
    let faulty = results.faults.iter().any(|placed| placed.fault.is_error());
    let verdicts = || {
        results
            .sheets
            .iter()
            .flat_map(|sheet| &sheet.checks)
            .flat_map(|check| &check.cells)
    };
    if faulty {
        Status::Faults
    } else if verdicts().any(|verdict| verdict.holds == Some(false) || verdict.in_doubt) {
        Status::CheckFails
    } else {
        Status::Well
    }
}
