//! The text of a workbook that is pasted: its sheets and lists become sheets of the one that is open.
//!
//! Always: a name that is taken there is another one, in its formulas too; what of the text has no place is told.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::copied::names_taken;
use super::many::{Made, named};
use super::spot::fresh;
use crate::fault::Fault;
use crate::session::Session;
use crate::workbook::change::{self, Change};
use crate::workbook::text::{read, write};
use crate::workbook::{Line, Sheet, Statement, Workbook};

/// The workbook that a text is; `None` for a text that only has such words in it.
pub fn of(text: &str) -> Option<Workbook> {
    let mut lines = text.lines().map(str::trim_start);
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('#'))?;
    let begins = |word: &str| first.strip_prefix(word).is_some_and(|rest| rest.starts_with(' '));
    if !["polepair", "sheet", "list"].into_iter().any(begins) {
        return None;
    }
    let book = read(text);
    let is_right = |line: &Line| !line.faults.iter().any(Fault::is_error);
    let says = |sheet: &Sheet| sheet.rows.is_some() || sheet.lines.iter().any(is_right);
    let all = !book.sheets.is_empty() && book.sheets.iter().all(|sheet| is_right(&sheet.opening) && says(sheet));
    all.then_some(book)
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
