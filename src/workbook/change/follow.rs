//! What is said of rows of a list follows them where they all go in one go.
//!
//! For: a newer list put into the workbook.
//! Always: what names a row by its number or its key names the same row afterwards; where a key has become that of several rows, by
//! its number.

use std::cell::RefCell;
use std::collections::{HashMap, HashSet};

use super::Done;
use super::rename::{Wish, rewritten};
use crate::fault::Fault;
use crate::language::syntax::{Item, Name};
use crate::workbook::Workbook;
use crate::workbook::settle::rows_by_key;

/// Where the rows of a list go.
#[derive(Clone, Debug)]
pub struct Went<'a> {
    /// The list.
    pub list: &'a str,
    /// For each row as it is, where it goes; none where it is gone.
    pub to: Vec<Option<usize>>,
    /// The keys of the rows, as they stand then.
    pub called: Vec<Option<Name>>,
}

/// Lets what is said of rows follow them; the rows themselves are not moved.
///
/// # Errors
/// `change-refused` where a row that is read by its number is gone.
pub fn follow(book: &mut Workbook, went: &Went<'_>) -> Result<(), Fault> {
    let sheet = book.sheets.iter().find(|sheet| *sheet.name == *went.list);
    let rows_of = sheet.map(rows_by_key).unwrap_or_default();
    let mut count: HashMap<&str, usize> = HashMap::new();
    for key in went.called.iter().flatten() {
        *count.entry(key).or_default() += 1;
    }
    let to = |row: usize| match row.checked_sub(1).and_then(|row| went.to.get(row)) {
        Some(to) => to.map(|to| to + 1),
        // No row of the list.
        None => Some(row),
    };
    let called = |key: &str| {
        let [row] = rows_of.get(key)?.as_slice() else {
            return None;
        };
        let to = went.to.get(*row).copied().flatten()?;
        match went.called.get(to)? {
            Some(now) if count.get(&**now) == Some(&1) => (**now != *key).then(|| Item::Key(now.clone())),
            _ => Some(Item::Row(u32::try_from(to + 1).unwrap_or(u32::MAX))),
        }
    };
    let mut done = Done {
        book,
        back: Vec::new(),
        unsettled: Vec::new(),
    };
    done.rewrite(&Wish::Rows {
        list: went.list,
        to: &to,
        called: &called,
    })
}

/// The rows of a list that a line or a formula names by their number, from 0.
pub fn read_by_number(book: &Workbook, list: &str) -> HashSet<usize> {
    let named = RefCell::new(HashSet::new());
    let to = |row: usize| {
        if let Some(row) = row.checked_sub(1) {
            let _ = named.borrow_mut().insert(row);
        }
        Some(row)
    };
    let wish = Wish::Rows {
        list,
        to: &to,
        called: &|_| None,
    };
    // Nothing is refused where each row stays.
    let _ = rewritten(book, &wish);
    named.into_inner()
}
