//! `import LIST [--to F.pole] [--report R.json] [--export OUT]`

use std::collections::{BTreeMap, HashMap};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Status;
use super::export::{self, folder_of};
use super::terminal::{Terminal, quoted};
use super::work;
use crate::fault::Code;
use crate::fault::render::{self, clean};
use crate::files;
use crate::handover::origin::Origin;
use crate::handover::page::table::{Align, Cell, Column, Table, cut, wrap};
use crate::handover::page::{self, Ink, Look, count};
use crate::handover::patch::letters;
use crate::handover::table::source_rows;
use crate::handover::{reading, source};
use crate::language::work::{Outcome, Value};
use crate::plates::changes::told;
use crate::plates::find::As;
use crate::plates::{self, ListError, Options, Own, Report, list, merge};
use crate::recalc::{Engine, Results, SheetResults};
use crate::workbook::{Workbook, text};

/// Doubts told before the rest is counted.
const DOUBTS_TOLD: usize = 40;
/// Lines of what a newer list changed that are told; those that matter most come first.
const CHANGES_TOLD: usize = 200;

/// What is asked of an import.
#[derive(Debug, Default)]
pub struct Asked {
    /// The list.
    pub list: PathBuf,
    /// The workbook to write.
    pub to: Option<PathBuf>,
    /// The report to write.
    pub report: Option<PathBuf>,
    /// The table to write.
    pub export: Option<PathBuf>,
    /// A column map to read.
    pub map: Option<PathBuf>,
    /// The sheet to read.
    pub sheet: Option<String>,
    /// Words to read.
    pub words: Option<PathBuf>,
    /// A column map to write.
    pub write_map: Option<PathBuf>,
}

/// Imports a list, works it, and writes what is asked for.
pub fn run(terminal: &Terminal, asked: &Asked) -> Status {
    let path = asked.list.as_path();
    let (to, report, out) = (asked.to.as_deref(), asked.report.as_deref(), asked.export.as_deref());
    if let Err(status) = targets_fit(terminal, asked) {
        return status;
    }
    let own = match own_of(terminal, asked) {
        Ok(own) => own.or_else(|| settled_in(to?)),
        Err(status) => return status,
    };
    let progress = terminal.progress("reading the list");
    let options = Options {
        own,
        sheet: asked.sheet.clone(),
        watch: progress.of_list(),
        ..Options::of_this_program()
    };
    let mut import = match plates::import(path, &options) {
        Ok(import) => import,
        Err(error) => {
            drop(progress);
            return no_list(terminal, asked, &error);
        }
    };
    if let Some(to) = to {
        into_the_known(&mut import, path, to);
    }
    progress.now("working");
    let engine = Engine::new(std::mem::take(&mut import.workbook));
    let results = engine.results();
    import.take(results);
    drop(progress);
    let file = quoted(path);
    let mut status = terminal.print(&summary(
        &import.report,
        results,
        &terminal.look(to.map(quoted).as_deref()),
        &file,
    ));
    for placed in results
        .faults
        .iter()
        .filter(|placed| placed.fault.is_error())
        .take(DOUBTS_TOLD)
    {
        terminal.say(&format!("{}\n", render::line(placed, None)));
    }
    if let Some(to) = to {
        status = status.max(write_workbook(terminal, engine.workbook(), path, to));
        if let Some(as_read) = &import.as_read
            && std::fs::read(files::as_read_beside(to)).ok().as_deref() != Some(as_read.as_bytes())
            && let Err(error) = files::save(&files::as_read_beside(to), as_read.as_bytes())
        {
            status = status.max(terminal.complain_of_file(&error));
        }
    }
    if let Some(target) = report {
        status = status.max(write_report(terminal, &import.report, target));
    }
    if let Some(out) = out {
        let remarks = source::doubts_of(&import.report);
        status = status.max(export::write(
            terminal,
            &engine,
            folder_of(path),
            out,
            &remarks,
            Some(&import.report),
        ));
    }
    if let Some(target) = &asked.write_map {
        status = status.max(write_text(terminal, &import.report.column_map(), target));
    }
    if to.is_none() && report.is_none() && out.is_none() && asked.write_map.is_none() {
        terminal.say(&format!(
            "To go on: polepair import {file} --export OUT.xlsx gives the list with its load columns, --to F.pole a workbook.\n"
        ));
    }
    status.max(work::status(results))
}

/// The list is never overwritten, and every target is another file.
fn targets_fit(terminal: &Terminal, asked: &Asked) -> Result<(), Status> {
    let list = asked.list.as_path();
    if let Some(out) = &asked.export {
        export::fit(terminal, out, &[(list, "the list itself")])?;
    }
    let targets: Vec<&Path> = [&asked.to, &asked.report, &asked.export, &asked.write_map]
        .into_iter()
        .filter_map(|path| path.as_deref())
        .collect();
    for (index, target) in targets.iter().enumerate() {
        let read = [
            (&asked.map, "the column map that is read"),
            (&asked.words, "the file of words that is read"),
        ];
        for (file, what) in read {
            if file.as_deref().is_some_and(|file| export::same(target, file)) {
                let said = format!("{} is {what} and is not overwritten", target.display());
                terminal.complain(&said, Some("write to another name"));
                return Err(Status::Usage);
            }
        }
        if export::same(target, list) {
            let what = format!("{} is the list itself and is not overwritten", target.display());
            terminal.complain(&what, Some("write to another name"));
            return Err(Status::Usage);
        }
        if targets.iter().skip(index + 1).any(|other| export::same(target, other)) {
            terminal.complain(
                &format!("{} is named twice", target.display()),
                Some("give each output a name of its own"),
            );
            return Err(Status::Usage);
        }
    }
    Ok(())
}

/// Says why there is no list; the report of what was seen is written all the same.
fn no_list(terminal: &Terminal, asked: &Asked, error: &ListError) -> Status {
    let (path, report) = (asked.list.as_path(), asked.report.as_deref());
    let cause = &error.cause;
    let map = error.report.as_ref().filter(|seen| !seen.columns.is_empty());
    let named = map.map_or("", |_| {
        "; headings that are not known can be named in a column map: --write-map FILE writes one to be filled in, --map FILE reads it"
    });
    let help = format!("{}{named}", cause.help);
    terminal.complain(&format!("{}: {}", cause.path.display(), cause.found), Some(&help));
    if let Some((target, seen)) = asked.write_map.as_ref().zip(map) {
        let _ = write_text(terminal, &seen.column_map(), target);
    }
    terminal.say(&format!("  more: polepair explain {}\n", cause.code()));
    if let Some(target) = report {
        match &error.report {
            Some(seen) => write_report(terminal, seen, target),
            None => {
                let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
                write_report(terminal, &Report::unread(&file, &cause.found), target)
            }
        };
    }
    Status::File
}

/// The column map and the words that are asked for.
fn own_of(terminal: &Terminal, asked: &Asked) -> Result<Option<Arc<Own>>, Status> {
    let mut texts = [None, None];
    for (text, path) in texts.iter_mut().zip([&asked.map, &asked.words]) {
        let Some(path) = path else { continue };
        match files::small_text(path) {
            Ok(read) => *text = Some(read),
            Err(why) => {
                terminal.complain(&format!("{} could not be read: {why}", path.display()), None);
                return Err(Status::File);
            }
        }
    }
    let [map, words] = texts;
    if map.is_none() && words.is_none() {
        return Ok(None);
    }
    match Own::read(map.as_deref(), words.as_deref()) {
        Ok(own) => Ok(Some(Arc::new(own))),
        Err(faults) => {
            for fault in faults.iter().take(DOUBTS_TOLD) {
                let path = if fault.in_words { &asked.words } else { &asked.map };
                let path = path.as_deref().unwrap_or(Path::new(""));
                terminal.complain(
                    &format!("{}:{}: {}", path.display(), fault.line, clean(&fault.message)),
                    Some(&clean(&fault.help)),
                );
            }
            terminal.say(&format!(
                "  more: polepair explain {}\n",
                Code::COLUMN_MAP_FAULTY.word()
            ));
            Err(Status::File)
        }
    }
}

fn write_text(terminal: &Terminal, text: &str, target: &Path) -> Status {
    match files::save(target, text.as_bytes()) {
        Ok(()) => {
            terminal.say(&format!("Written: {}\n", quoted(target)));
            Status::Well
        }
        Err(error) => terminal.complain_of_file(&error),
    }
}

fn write_report(terminal: &Terminal, report: &Report, target: &Path) -> Status {
    match files::save_by(target, |out| reading::write(report, target, out)) {
        Ok(()) => {
            terminal.say(&format!("Written: {}\n", quoted(target)));
            Status::Well
        }
        Err(error) => terminal.complain_of_file(&error),
    }
}

/// How the columns were settled of the list that the workbook was made from.
fn settled_in(target: &Path) -> Option<Arc<Own>> {
    let known = text::read_bytes(&std::fs::read(target).ok()?);
    known.sheets.iter().find_map(Origin::of)?.own()
}

/// Where the workbook is there already and was made from a list, the newer list goes into it.
fn into_the_known(import: &mut plates::Import, source: &Path, target: &Path) {
    let as_read = source_named_from(&import.workbook, source, target);
    import.as_read = Some(as_read);
    let Ok(known) = std::fs::read(target) else { return };
    let known = text::read_bytes(&known);
    if !merge::is_of_a_list(&known) {
        return;
    }
    let earlier = std::fs::read(files::as_read_beside(target))
        .ok()
        .map(|bytes| text::read_bytes(&bytes));
    if let Some(merged) = merge::merged(&known, earlier.as_ref(), &import.workbook) {
        import.workbook = merged.workbook;
        import.report.changes = merged.changes;
    }
}

/// Writes the workbook. What stood under that name before may hold a user's work: it is kept beside it.
fn write_workbook(terminal: &Terminal, workbook: &Workbook, source: &Path, target: &Path) -> Status {
    let text = source_named_from(workbook, source, target);
    let _lock = match files::Lock::take(target, files::Holder::Command) {
        Ok(lock) => lock,
        Err(error) => return terminal.complain_of_file(&error),
    };
    if let Ok(old) = std::fs::read(target) {
        if old == text.as_bytes() {
            terminal.say(&format!("{} holds this already\n", quoted(target)));
            return Status::Well;
        }
        let kept = before(target);
        if let Err(error) = files::save(&kept, &old) {
            return terminal.complain_of_file(&error);
        }
        terminal.say(&format!(
            "{} was there already; what it held is kept in {}\n",
            quoted(target),
            quoted(&kept)
        ));
    }
    match files::save(target, text.as_bytes()) {
        Ok(()) => {
            terminal.say(&format!("Written: {}\n", quoted(target)));
            Status::Well
        }
        Err(error) => terminal.complain_of_file(&error),
    }
}

/// A name that is free: `motors.pole.before`, `motors.pole.before2` …
fn before(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let first = target.with_file_name(format!("{name}.before"));
    let further = (2..1000).map(|number| target.with_file_name(format!("{name}.before{number}")));
    std::iter::once(first.clone())
        .chain(further)
        .find(|path| !path.exists())
        .unwrap_or(first)
}

/// The text of the workbook, its `read` line naming the list as seen from the workbook's folder.
fn source_named_from(workbook: &Workbook, source: &Path, target: &Path) -> String {
    match files::seen_from(source, folder_of(target)) {
        Some(path) => merge::text_naming(workbook, &path),
        None => text::write(workbook),
    }
}

/// What was understood, what was worked, what is doubtful.
fn summary(report: &Report, results: &Results, look: &Look<'_>, file: &str) -> String {
    let mut out: Vec<String> = Vec::new();
    let motors = report.rows.iter().filter(|row| row.called == As::Motor).count();
    let place = report
        .sheet
        .as_ref()
        .filter(|_| report.sort != "csv")
        .map_or(String::new(), |sheet| format!(", sheet \"{}\"", clean(sheet)));
    let head = format!(
        "{file}{place}: {} in {}",
        count(motors, "motor"),
        count(report.rows.len(), "row")
    );
    out.extend(
        wrap(&head, look.width)
            .into_iter()
            .map(|line| Ink::Strong.on(&line, look.colour)),
    );
    let mut others: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for row in report.rows.iter().filter(|row| row.called != As::Motor) {
        others
            .entry(row.called.word().to_owned())
            .or_default()
            .push(row.source_row);
    }
    if !others.is_empty() {
        let told: Vec<String> = others
            .iter()
            .map(|(what, rows)| format!("{what} {}", ranges(rows)))
            .collect();
        out.extend(wrap(&format!("Other rows: {}", told.join("; ")), look.width));
    }
    if let Some(supply) = &report.supply {
        let mut parts = Vec::new();
        parts.extend(supply.voltage.as_ref().map(|v| format!("{v} V")));
        parts.extend(supply.frequency.as_ref().map(|f| format!("{f} Hz")));
        if !parts.is_empty() {
            let said = format!("Supply: {}, as said in {}", parts.join(", "), clean(&supply.said));
            out.extend(wrap(&said, look.width));
        }
    }
    for remark in &report.remarks {
        out.extend(wrap(&clean(remark), look.width));
    }
    if let Some(ratings) = &report.ratings {
        out.extend(wrap(&format!("Ratings: {}", ratings.in_words()), look.width));
    }
    for total in &report.totals {
        let off = if total.agrees {
            String::new()
        } else {
            format!(", {:+} {} off", total.difference, total.unit)
        };
        let said = format!(
            "Total of source row {}: {} {} printed, {} summed ({}; {}; column {}){off}",
            total.source_row,
            total.printed,
            total.unit,
            total.summed,
            total.how,
            total.covers,
            clean(&total.column)
        );
        out.extend(wrap(&said, look.width));
    }
    out.push(String::new());
    out.extend(columns(report, look));
    if let Some(sheet) = results.sheets.iter().find(|sheet| *sheet.name == *list::NAME) {
        out.push(String::new());
        out.extend(page::part(&loads_alone(sheet, report), look).lines().map(str::to_owned));
    }
    out.extend(changes(report, look));
    out.extend(doubts(report, look));
    out.push(String::new());
    let care = "Care: loads are estimates for qualified people. A clamp meter is off by a few per cent, and load by slip by much more \
                where the plate speed is rounded. Measuring on live or turning machines is for people trained and authorised to do it.";
    out.extend(
        wrap(care, look.width)
            .into_iter()
            .map(|line| Ink::Faint.on(&line, look.colour)),
    );
    format!("{}\n", out.join("\n"))
}

/// `3–5, 9, 12–14`
fn ranges(rows: &[u32]) -> String {
    let mut parts: Vec<(u32, u32)> = Vec::new();
    for row in rows {
        match parts.last_mut() {
            Some((_, last)) if last.saturating_add(1) == *row => *last = *row,
            _ => parts.push((*row, *row)),
        }
    }
    let mut told: Vec<String> = parts
        .iter()
        .take(12)
        .map(|(a, b)| if a == b { a.to_string() } else { format!("{a}–{b}") })
        .collect();
    if parts.len() > 12 {
        told.push(format!("and {} more", parts.len() - 12));
    }
    told.join(", ")
}

/// The columns of the list and what they were taken for.
fn columns(report: &Report, look: &Look<'_>) -> Vec<String> {
    let faint = |words: &str| Cell::new(words, Ink::Faint);
    let mut rows = vec![vec![
        faint("column"),
        faint("heading"),
        faint("read as"),
        faint("unit"),
        faint(""),
    ]];
    let mut kept = Vec::new();
    for column in &report.columns {
        let heading = clean(&column.heading).replace('\n', " ");
        let Some(reads) = column.reads else {
            if !heading.trim().is_empty() {
                kept.push(format!("\"{}\"", cut(&heading, 30)));
            }
            continue;
        };
        let mut doubt = String::new();
        if column.confidence < 0.8 {
            doubt = format!("? {}", clean(&column.reason));
        }
        if column.hidden {
            doubt = format!("hidden {doubt}").trim_end().to_owned();
        }
        rows.push(vec![
            faint(&letters(column.column)),
            Cell::new(heading, Ink::Plain),
            Cell::new(reads.replace('_', " "), Ink::Strong),
            Cell::new(column.unit.as_deref().unwrap_or(""), Ink::Plain),
            Cell::new(doubt, Ink::Doubt),
        ]);
    }
    let table = Table {
        columns: vec![
            Column::firm(Align::Left),
            Column::soft(16),
            Column::firm(Align::Left),
            Column::firm(Align::Left),
            Column::soft(16),
        ],
        left: 5,
        right: 0,
        headings: 1,
        rows,
    };
    let mut out = table.lines(look.width, 0, look.colour);
    if !kept.is_empty() {
        out.extend(wrap(&format!("Kept as they stand: {}", kept.join(", ")), look.width));
    }
    out
}

/// The list with its key, rating and loads alone: rows are called by tag or row of the source, doubtful ones are marked.
fn loads_alone(sheet: &SheetResults, report: &Report) -> SheetResults {
    let rows = source_rows(sheet);
    let key = sheet
        .quantities
        .iter()
        .position(|q| matches!(q.sort, crate::language::check::Sort::Text));
    let tag = |item: usize| match key.and_then(|key| sheet.quantities.get(key)?.cells.get(item)) {
        Some(Outcome::Value(Value::Text(text))) if !text.trim().is_empty() => Some(text.clone()),
        _ => None,
    };
    let mut marks: HashMap<u32, &str> = HashMap::new();
    for doubt in &report.doubts {
        let Some(row) = doubt.source_row else { continue };
        match doubt.level {
            "error" => {
                marks.insert(row, "!");
            }
            "warning" => {
                marks.entry(row).or_insert("?");
            }
            _ => {}
        }
    }
    // Motors of one row without tags of their own are told apart by the machine they drive, else by their number.
    let machines = sheet.quantities.iter().find(|known| *known.name == *"machine");
    let mut of_row: HashMap<u32, usize> = HashMap::new();
    let places: Vec<usize> = rows
        .iter()
        .map(|row| {
            let Some(row) = row else { return 0 };
            let count = of_row.entry(*row).or_default();
            *count += 1;
            *count
        })
        .collect();
    let called = |item: usize| -> Arc<str> {
        let row = rows.get(item).copied().flatten();
        let several = row.and_then(|row| of_row.get(&row)).is_some_and(|count| *count > 1);
        let machine = machines.and_then(|machines| match machines.cells.get(item)? {
            Outcome::Value(Value::Text(text)) if !text.trim().is_empty() => Some(text.to_string()),
            _ => None,
        });
        let name = match row {
            Some(row) => format!("source row {row}"),
            None => format!("row {}", item + 1),
        };
        match (several, machine) {
            (false, _) => name.into(),
            (true, Some(machine)) => format!("{name}, {machine}").into(),
            (true, None) => format!("{name}, motor {}", places.get(item).copied().unwrap_or(1)).into(),
        }
    };
    let items: Vec<Arc<str>> = (0..sheet.items.len())
        .map(|item| {
            let row = rows.get(item).copied().flatten();
            let name = tag(item).unwrap_or_else(|| called(item));
            match row.and_then(|row| marks.get(&row)) {
                Some(mark) => Arc::from(format!("{name} {mark}")),
                None => name,
            }
        })
        .collect();
    let mut alone = sheet.clone();
    alone.items = items.clone().into();
    alone.quantities = sheet
        .quantities
        .iter()
        .enumerate()
        .filter(|(index, q)| {
            Some(*index) == key || &*q.name == "P_r" || list::LOADS.iter().any(|load| load.name == &*q.name)
        })
        .map(|(index, q)| {
            let mut quantity = q.clone();
            quantity.cells = if Some(index) == key {
                items
                    .iter()
                    .map(|item| Outcome::Value(Value::Text(item.clone())))
                    .collect()
            } else {
                let words = |(item, outcome): (usize, &Outcome)| match outcome {
                    // The names of the givens do not stand here; the headings of the list do.
                    Outcome::Blank(why) => Outcome::Blank(sheet.reason_in_words(item, why)),
                    other => other.clone(),
                };
                q.cells.iter().enumerate().map(words).collect()
            };
            quantity
        })
        .collect();
    alone.notes.clear();
    alone
}

/// What changed since the workbook was last made from the list.
fn changes(report: &Report, look: &Look<'_>) -> Vec<String> {
    if report.changes.is_empty() {
        return Vec::new();
    }
    let mut out = vec![
        String::new(),
        Ink::Strong.on(
            &format!("Against the workbook: {}", count(report.changes.len(), "difference")),
            look.colour,
        ),
    ];
    let told = told(&report.changes);
    for change in told.iter().take(CHANGES_TOLD) {
        out.extend(
            wrap(&clean(change), look.width.saturating_sub(2))
                .into_iter()
                .map(|line| format!("  {line}")),
        );
    }
    let left = told.len().saturating_sub(CHANGES_TOLD);
    if left > 0 {
        out.push(format!("  … and {left} more; all of them with --report R.json"));
    }
    out
}

/// Doubts, the grave ones first.
fn doubts(report: &Report, look: &Look<'_>) -> Vec<String> {
    if report.doubts.is_empty() {
        return Vec::new();
    }
    let grade = |level: &str| match level {
        "error" => 0,
        "warning" => 1,
        _ => 2,
    };
    let mut sorted: Vec<_> = report.doubts.iter().collect();
    sorted.sort_by_key(|doubt| (grade(doubt.level), doubt.source_row.unwrap_or(0)));
    let mut out = vec![
        String::new(),
        Ink::Strong.on(&format!("Look at these: {}", count(sorted.len(), "doubt")), look.colour),
    ];
    let rows = sorted.iter().take(DOUBTS_TOLD).map(|doubt| {
        let (mark, ink) = match doubt.level {
            "error" => ("!", Ink::Bad),
            "warning" => ("?", Ink::Doubt),
            _ => ("·", Ink::Faint),
        };
        vec![
            Cell::new(mark, ink),
            Cell::new(
                doubt
                    .source_row
                    .map_or("column".to_owned(), |row| format!("source row {row}")),
                Ink::Plain,
            ),
            Cell::new(clean(&doubt.text).replace('\n', " "), Ink::Plain),
            Cell::new(doubt.rule, Ink::Faint),
        ]
    });
    let table = Table {
        columns: vec![
            Column::firm(Align::Left),
            Column::firm(Align::Left),
            Column::soft(30),
            Column::firm(Align::Left),
        ],
        left: 4,
        right: 0,
        headings: 0,
        rows: rows.collect(),
    };
    out.extend(table.lines(look.width, 2, look.colour));
    let left = sorted.len().saturating_sub(DOUBTS_TOLD);
    if left > 0 {
        out.push(format!("  … and {left} more; all of them with --report R.json"));
    }
    out
}
