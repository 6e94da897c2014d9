//! `tidy FILE [--check]`

use std::path::Path;
use std::time::Duration;

use similar::{Algorithm, DiffTag, TextDiff};

use super::Status;
use super::terminal::Terminal;
use crate::fault::render::{clean, line};
use crate::fault::{Fault, Placed, Stands};
use crate::files;
use crate::handover::page::table::cut;
use crate::handover::page::{Ink, count};
use crate::workbook::{Workbook, text};

/// How many changed places are shown; the rest is counted.
const PLACES_SHOWN: usize = 40;

/// Rewrites a workbook in its canonical form, or says what would change.
pub fn run(terminal: &Terminal, path: &Path, check: bool) -> Status {
    // The lock is held from reading to writing, so that no change of another program is lost between.
    let _lock = match (check, files::open(path)) {
        (_, Err(error)) => return terminal.complain_of_file(&error),
        (true, Ok(_)) => None,
        (false, Ok(_)) => match files::Lock::take(path, files::Holder::Command) {
            Ok(lock) => Some(lock),
            Err(error) => return terminal.complain_of_file(&error),
        },
    };
    let old = match files::open(path) {
        Ok(old) => old,
        Err(error) => return terminal.complain_of_file(&error),
    };
    let workbook = text::read(&old);
    let new = text::write(&workbook);
    let name = path.display().to_string();
    let mut status = tell_faults(terminal, &workbook, &name);
    let changed = changes(&old, &new);
    if check {
        if !changed.is_empty() {
            status = status
                .max(Status::CheckFails)
                .max(terminal.print(&shown(&changed, &name, terminal)));
        }
        return status;
    }
    if old != new
        && let Err(error) = files::save(path, new.as_bytes())
    {
        return terminal.complain_of_file(&error).max(status);
    }
    let told = if old == new {
        format!("{name} is tidy already\n")
    } else {
        format!("{name}: {} changed\n", count(changed_lines(&changed), "line"))
    };
    terminal.print(&clean(&told)).max(status)
}

/// Lines with faults, which stay as they are.
fn tell_faults(terminal: &Terminal, workbook: &Workbook, name: &str) -> Status {
    let faults: Vec<Placed> = faulty_lines(workbook);
    if faults.is_empty() {
        return Status::Well;
    }
    let mut told = String::new();
    for placed in faults.iter().take(PLACES_SHOWN) {
        told.push_str(&line(placed, Some(name)));
        told.push('\n');
    }
    let left = faults.len().saturating_sub(PLACES_SHOWN);
    if left > 0 {
        told.push_str(&format!("… and {left} more\n"));
    }
    told.push_str("Lines with faults are kept as they are.\n");
    terminal.say(&told);
    Status::Faults
}

/// Errors in the way lines and rows are written, in the order of the text.
fn faulty_lines(workbook: &Workbook) -> Vec<Placed> {
    let mut out = Vec::new();
    let mut take = |text: &str, number: u32, indent: u32, faults: &[Fault]| {
        for fault in faults.iter().filter(|fault| fault.is_error()) {
            let before = text.get(..fault.span.start as usize).unwrap_or(text);
            let breaks = before.matches('\n').count();
            let column = before.rsplit('\n').next().unwrap_or("").chars().count();
            let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
            out.push(Placed {
                fault: fault.clone(),
                sheet: None,
                item: None,
                line: number.saturating_add(count(breaks)),
                column: count(column)
                    .saturating_add(if breaks == 0 { indent } else { 0 })
                    .saturating_add(1),
                source: text.to_owned(),
                stands: Stands::Nowhere,
            });
        }
    };
    for line in &workbook.head {
        take(&line.text, line.number, line.indent.width(), &line.faults);
    }
    for sheet in &workbook.sheets {
        for line in std::iter::once(&sheet.opening).chain(&sheet.lines) {
            take(&line.text, line.number, line.indent.width(), &line.faults);
        }
        for row in sheet.rows.iter().flat_map(|rows| &rows.rows) {
            if let Some(text) = &row.faulty {
                take(
                    text,
                    row.number,
                    row.indent.width(),
                    row.faults.as_deref().unwrap_or_default(),
                );
            }
        }
    }
    out.sort_by_key(|placed| (placed.line, placed.column));
    out
}

/// Lines that stand next to each other and change together.
struct Change<'a> {
    /// Number of the first, from 1.
    number: usize,
    /// As they are.
    old: Vec<&'a str>,
    /// As they become.
    new: Vec<&'a str>,
}

fn changes<'a>(old: &'a str, new: &'a str) -> Vec<Change<'a>> {
    if old == new {
        return Vec::new();
    }
    let before: Vec<&str> = old.split('\n').collect();
    let after: Vec<&str> = new.split('\n').collect();
    // Two long texts that have little in common are compared roughly rather than for minutes.
    let diff = TextDiff::configure()
        .algorithm(Algorithm::Myers)
        .timeout(Duration::from_secs(2))
        .diff_slices(&before, &after);
    diff.ops()
        .iter()
        .filter(|op| op.tag() != DiffTag::Equal)
        .map(|op| Change {
            number: op.old_range().start + 1,
            old: before.get(op.old_range()).unwrap_or_default().to_vec(),
            new: after.get(op.new_range()).unwrap_or_default().to_vec(),
        })
        .collect()
}

fn shown(changes: &[Change<'_>], name: &str, terminal: &Terminal) -> String {
    let mut out = String::new();
    let line = |out: &mut String, word: &str, text: &str, ink: Ink| {
        // Long enough to see what changes; a line of a thousand letters helps nobody.
        let text = cut(&clean(&visible(text)), 240);
        out.push_str(&format!("  {word:8}  {}\n", ink.on(&text, terminal.colour)));
    };
    let mut shown = 0;
    for change in changes {
        // Lines that stay as many are told one by one, others as a block.
        let pairs: Vec<(usize, &[&str], &[&str])> = if change.old.len() == change.new.len() {
            let both = change.old.chunks(1).zip(change.new.chunks(1));
            both.enumerate()
                .filter(|(_, (old, new))| old != new)
                .map(|(index, (old, new))| (change.number + index, old, new))
                .collect()
        } else {
            vec![(change.number, change.old.as_slice(), change.new.as_slice())]
        };
        for (number, old, new) in pairs {
            shown += 1;
            if shown > PLACES_SHOWN {
                continue;
            }
            out.push_str(&format!("line {number}\n"));
            for (word, texts, ink) in [("is", old, Ink::Plain), ("becomes", new, Ink::Strong)] {
                if texts.is_empty() {
                    line(&mut out, word, "(nothing)", Ink::Faint);
                }
                for (index, text) in texts.iter().enumerate() {
                    line(&mut out, if index == 0 { word } else { "" }, text, ink);
                }
            }
        }
    }
    if shown > PLACES_SHOWN {
        out.push_str(&format!("… and {}\n", count(shown - PLACES_SHOWN, "more place")));
    }
    let (name, lines) = (clean(name), count(changed_lines(changes), "line"));
    out.push_str(&format!(
        "{name}: {lines} would change; polepair tidy {name} changes them\n"
    ));
    out
}

/// How many lines differ.
fn changed_lines(changes: &[Change<'_>]) -> usize {
    changes
        .iter()
        .map(|change| change.old.len().max(change.new.len()))
        .sum()
}

/// A line whose only fault is what nobody sees: blanks at its end, a carriage return.
fn visible(text: &str) -> String {
    let bare = text.trim_end();
    let rest: String = text
        .get(bare.len()..)
        .unwrap_or("")
        .chars()
        .map(|c| match c {
            ' ' => '·',
            '\t' => '→',
            '\r' => '↵',
            c => c,
        })
        .collect();
    format!("{bare}{rest}")
}
