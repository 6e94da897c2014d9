//! The unit of numbers in a column of a table that stand there without one.
//!
//! Always: it is the one that most others of the column have, or that of the column they go to; which of the two it was is said.
//! Not known here: where the column goes.

use super::pasted::beside;
use super::spot::is_value;
use super::table::{Table, says};
use crate::quantity::{Unit, conversion};
use crate::workbook::text::quoted;

/// The units that numbers of a paste got, for what is said of it: `"Rated speed" rpm`.
#[derive(Debug, Default)]
pub(super) struct Lent {
    /// That of most others of their column.
    of_most: Vec<String>,
    /// That of their column, beside some in another one.
    own: Vec<String>,
}

/// The unit that most values of a column have which have one, the first of several.
struct Most<'t> {
    unit: &'t str,
    /// So many of the values have it.
    with: usize,
    values: usize,
}

impl Lent {
    /// The unit of a column for its numbers without one: that of most others. Where the column that it goes to has a unit of its own, it is
    /// theirs unless most of all have another one; none where that says it already.
    pub(super) fn take(&mut self, head: &str, body: &Table, column: usize, own: &str) -> Option<String> {
        let most = of_most(body, column)?;
        let gets = |text: &str| beside(text, most.unit) != text;
        let has_bare = values(body, column).any(gets);
        let said = |unit: &str| format!("{} {unit}", quoted(head.trim()));
        if own.is_empty() {
            self.of_most.extend(has_bare.then(|| said(most.unit)));
            return Some(most.unit.to_owned());
        }
        let (known, owns) = (Unit::known(most.unit)?, Unit::known(own)?);
        if !has_bare || known.text == owns.text || conversion(&known, &owns).is_err() {
            return None;
        }
        let (told, unit) = match 2 * most.with > most.values {
            true => (&mut self.of_most, most.unit),
            // Few of them say so: the numbers are in the unit that the column is in, which is said.
            false => (&mut self.own, own),
        };
        told.push(said(unit));
        Some(unit.to_owned())
    }

    /// What is said of it.
    pub(super) fn words(&self) -> impl Iterator<Item = String> {
        let of_most = ("got the one that others of their column have", &self.of_most);
        let own = ("are in that of their column, beside some in another one", &self.own);
        let told = [of_most, own].into_iter().filter(|(_, columns)| !columns.is_empty());
        told.map(|(have, columns)| format!("Numbers without a unit {have}: {}.", columns.join(", ")))
    }
}

/// `None` where no value has a unit, or most of the column are words.
fn of_most(body: &Table, column: usize) -> Option<Most<'_>> {
    let values: Vec<&str> = values(body, column).collect();
    let count = values.len();
    if 2 * count < says(body, column).count() {
        return None;
    }
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for unit in values.into_iter().filter_map(unit_behind) {
        match counts.iter_mut().find(|(known, _)| *known == unit) {
            Some((_, count)) => *count += 1,
            None => counts.push((unit, 1)),
        }
    }
    let with = counts.iter().map(|(_, count)| *count).max()?;
    let (unit, _) = counts.into_iter().find(|(_, count)| *count == with)?;
    Some(Most {
        unit,
        with,
        values: count,
    })
}

fn values(body: &Table, column: usize) -> impl Iterator<Item = &str> {
    says(body, column).filter(|text| is_value(text))
}

/// The unit behind a number, also where that has a decimal comma.
pub(super) fn unit_behind(value: &str) -> Option<&str> {
    let unit = value
        .trim_start_matches(|letter: char| !letter.is_alphabetic() && !matches!(letter, '%' | '°' | 'µ' | '€' | '$'))
        .trim();
    Unit::known(unit).filter(|known| !known.is_plain()).map(|_| unit)
}
