//! The text of a workbook that is pasted: its sheets and lists become sheets of the one that is open.
//!
//! Always: a name that is taken there is another one, in its formulas too; what of the text has no place is told.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::copied::names_taken;
use super::many::{Made, named};
use super::spot::fresh;
use crate::fault::{Code, Fault};
use crate::session::Session;
use crate::workbook::change::{self, Change};
use crate::workbook::text::{opens, read, write};
use crate::workbook::{Line, Sheet, Statement, Workbook};

/// Words that the text of a workbook begins with, or a part of it that has whole sheets.
const BEGIN: [&str; 6] = ["polepair", "workbook", "about", "units", "sheet", "list"];

/// The workbook that a text is, with or without the line that says so; `None` for a text that only has such words in it.
///
/// # Errors
/// It has sheets of a workbook that cannot be pasted as they stand there: why, and what to do.
pub fn of(text: &str) -> Option<Result<Workbook, String>> {
    let mut lines = text
        .lines()
        .map(|line| line.trim_start_matches('\u{FEFF}').trim_start());
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('#'))?;
    let word = first.split_whitespace().next()?;
    // A long table is not read as a workbook.
    if !text.lines().any(|line| opens(line.trim_start())) {
        return None;
    }
    let book = read(text);
    // A part of a workbook does not say its version.
    let is_wrong = |fault: &&Fault| fault.is_error() && fault.code != Code::NO_VERSION;
    let wrong = |line: &Line| line.faults.iter().find(is_wrong).map(Fault::in_words);
    let is_right = |line: &Line| wrong(line).is_none();
    let says = |sheet: &Sheet| sheet.rows.is_some() || sheet.lines.iter().any(is_right);
    let are_right = |sheets: &[Sheet]| sheets.iter().all(|sheet| is_right(&sheet.opening) && says(sheet));
    if BEGIN.contains(&word) {
        if !book.sheets.is_empty() && are_right(&book.sheets) {
            return Some(Ok(book));
        }
        // Words in a letter begin with such a word as well; they have no lines of the language under them.
        let gives =
            |line: &&Line| matches!(&line.statement, Statement::Quantity(quantity) if !quantity.values.is_empty());
        let lines = book.sheets.iter().flat_map(|sheet| &sheet.lines);
        let are_lines = lines.chain(&book.head).any(|line| gives(&line));
        let openings = book.sheets.iter().map(|sheet| &sheet.opening).chain(&book.head);
        let (line, why) = openings
            .filter_map(|line| Some((line.text.trim(), wrong(line)?)))
            .find(|(line, _)| opens(line))?;
        return are_lines.then(|| {
            Err(format!(
                "This reads like a sheet of a workbook, and its line `{line}` cannot be read: {why}. Nothing was pasted."
            ))
        });
    }
    // It begins among the lines of a sheet and goes on with another one.
    let opening = book
        .sheets
        .first()
        .filter(|_| are_right(&book.sheets))?
        .opening
        .text
        .trim();
    let is_line = |line: &Line| {
        matches!(
            line.statement,
            Statement::Quantity(_)
                | Statement::Check { .. }
                | Statement::Flag { .. }
                | Statement::Curve { .. }
                | Statement::Define { .. }
                | Statement::Plot { .. }
                | Statement::Cases(_)
                | Statement::CasesOver { .. }
                | Statement::At { .. }
                | Statement::Note(_)
        )
    };
    (!book.head.is_empty() && book.head.iter().all(is_line)).then(|| {
        Err(format!(
            "What was copied begins within a sheet and goes on with another one, `{opening}`. Nothing was pasted. Copy it from that line on, \
             or from the line `sheet` or `list` before it, to paste sheets; or the lines of one sheet alone."
        ))
    })
}

/// The changes that put its sheets behind one of the open workbook.
///
/// # Errors
/// Why they cannot stand there.
pub fn pasted(session: &Session, mut book: Workbook, behind: Option<usize>) -> Made {
    let here = session.workbook();
    let mut taken: Vec<Arc<str>> = here.sheets.iter().map(|sheet| sheet.name.clone()).collect();
    let mut renamed = Vec::new();
    for sheet in &book.sheets {
        let to = fresh(&sheet.name, |name| taken.iter().any(|known| **known == *name));
        taken.push(to.clone());
        renamed.push((sheet.name.clone(), to));
    }
    let left: Vec<Arc<str>> = book
        .head
        .drain(..)
        .filter(|line| !matches!(line.statement, Statement::Version(_) | Statement::Workbook(_)))
        .map(|line| format!("`{}`", line.text.trim()).into())
        .collect();
    let names: Vec<Arc<str>> = renamed.iter().map(|(_, to)| to.clone()).collect();
    renamed.retain(|(from, to)| from != to);
    let steps = renamed.iter().map(|(from, to)| Change::RenameSheet {
        from: from.clone(),
        to: to.clone(),
    });
    let _ = change::apply(&mut book, &Change::Several(steps.collect())).map_err(|fault| fault.in_words())?;
    for sheet in &mut book.sheets {
        leave_file(sheet, here);
    }
    let mut words = match names.len() {
        1 => format!("Pasted as a sheet: {}.", named(&names)),
        count => format!("Pasted as {count} sheets: {}.", named(&names)),
    };
    if let Some(told) = names_taken(&renamed) {
        words.push_str(&format!(" {told}"));
    }
    if !left.is_empty() {
        words.push_str(&format!(
            " Left out, as it goes for a whole workbook: {}.",
            named(&left)
        ));
    }
    let insert = Change::InsertSheet {
        at: behind.map_or(0, |at| at + 1).min(here.sheets.len()),
        text: write(&book).into(),
    };
    Ok((vec![insert], Some(words)))
}

/// A list that another one of the workbook is read for already is a list of its own: the same file is not read for two. `true`: it was so.
pub fn leave_file(sheet: &mut Sheet, here: &Workbook) -> bool {
    let file = |line: &Line| match &line.statement {
        Statement::Read { file, .. } => Some(file.clone()),
        _ => None,
    };
    let read: Vec<String> = here
        .sheets
        .iter()
        .flat_map(|sheet| &sheet.lines)
        .filter_map(file)
        .collect();
    let before = sheet.lines.len();
    sheet
        .lines
        .retain(|line| !file(line).is_some_and(|file| read.contains(&file)));
    sheet.lines.len() < before
}
