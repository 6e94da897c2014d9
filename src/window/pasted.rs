//! A table from elsewhere: which of its columns are what, and the lines or rows it becomes.
//!
//! Always: told by what the columns hold; what finds no place is named by its own words and its place in the table.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::paper::in_inches;
use super::spot::{Field, Fresh, Seen, bare_with, fresh, is_value};
use crate::fault::Fault;
use crate::language::check::Sort;
use crate::language::syntax;
use crate::quantity::{Kind, Unit, conversion};
use crate::recalc::QuantityResults;
use crate::workbook::change::{Change, Place};
use crate::workbook::text::{may_be_name, name_near, quoted};
use crate::workbook::{SourceWord, Statement};

/// The changes, and what the user should know of them; or why there are none.
pub type Made = Result<(Vec<Change>, Option<String>), String>;

/// Lines of cells.
type Table = [Vec<String>];

/// What is left out of a paste.
#[derive(Debug, Default)]
pub(super) struct Left {
    count: usize,
    first: String,
    /// So many have a place and cannot stand there.
    misfits: usize,
}

impl Left {
    /// A text found no place; lines and columns count from 1.
    pub(super) fn add(&mut self, text: &str, line: usize, column: usize) {
        if text.trim().is_empty() {
            return;
        }
        if self.count == 0 {
            let short: String = text.trim().chars().take(24).collect();
            self.first = format!(
                "`{short}` in line {} and column {} of what was copied",
                line + 1,
                column + 1
            );
        }
        self.count += 1;
    }

    /// The same of one that has a place and cannot stand there.
    pub(super) fn misfit(&mut self, text: &str, line: usize, column: usize) {
        self.misfits += usize::from(!text.trim().is_empty());
        self.add(text, line, column);
    }

    /// The same in words.
    pub(super) fn words(&self) -> Option<String> {
        let (why_one, why_all) = match self.misfits == self.count {
            true => ("it cannot stand there", "they cannot stand there"),
            false => ("there is no place for it", "there is no place for them"),
        };
        match self.count {
            0 => None,
            1 => Some(format!("1 value was not pasted, as {why_one}: {}.", self.first)),
            more => Some(format!(
                "{more} values were not pasted, as {why_all}: {} and {} more.",
                self.first,
                more - 1
            )),
        }
    }
}

/// Whether the columns of a table hold what stands at their places in a worked sheet.
pub(super) fn stands(seen: Seen<'_>, table: &Table, places: &[Option<Field>]) -> bool {
    let told = told(table, seen.results.items.len());
    told.is_some_and(|told| {
        told.iter()
            .zip(places)
            .all(|(told, place)| told.is_none() || told == place)
    })
}

/// Whether a worked sheet holds next to nothing: one line without a value.
pub(super) fn is_empty(seen: Seen<'_>) -> bool {
    lone(seen).is_some() || seen.results.quantities.is_empty()
}

/// The lone line of an empty sheet.
pub(super) fn lone(seen: Seen<'_>) -> Option<usize> {
    let [only] = seen.results.quantities.as_slice() else {
        return None;
    };
    let (line, typed) = seen.line(&only.name)?;
    (*typed.text == format!("given {}", only.name)).then_some(line)
}

fn cell(row: &[String], column: usize) -> &str {
    row.get(column).map_or("", |text| text.trim())
}

/// Texts of a column that say something.
fn said(table: &Table, column: usize) -> impl Iterator<Item = &str> + Clone {
    table
        .iter()
        .map(move |row| cell(row, column))
        .filter(|text| !text.is_empty())
}

/// Whether all of some texts may be names, each once.
fn are_names<'t>(texts: impl Iterator<Item = &'t str>) -> bool {
    let mut names: Vec<&str> = texts.collect();
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    names.len() == all && names.into_iter().all(may_be_name)
}

/// What each column of a table is in a worked sheet, told by what it holds: labels or symbols beside values, or one sort of them alone.
fn told(table: &Table, cases: usize) -> Option<Vec<Option<Field>>> {
    let width = table.iter().map(Vec::len).max().unwrap_or(0);
    let values = |column: &usize| {
        let all = said(table, *column).count();
        let values = said(table, *column).filter(|text| is_value(text)).count();
        values > 0 && 2 * values >= all
    };
    let valued: Vec<usize> = (0..width).filter(values).collect();
    let Some(first) = valued.first().copied() else {
        // A column of words alone.
        let names = are_names(said(table, 0));
        return (width == 1).then(|| vec![Some(if names { Field::Symbol } else { Field::Label })]);
    };
    let mut out: Vec<Option<Field>> = vec![None; width];
    let mut set = |column: usize, field: Field| {
        if let Some(place) = out.get_mut(column) {
            *place = Some(field);
        }
    };
    for (case, column) in valued.iter().take(cases.max(1)).enumerate() {
        set(*column, Field::Value(case));
    }
    let texts: Vec<usize> = (0..first)
        .filter(|column| said(table, *column).next().is_some())
        .collect();
    let named = |column: &usize| are_names(said(table, *column));
    match texts.as_slice() {
        // Values alone have names of their own made for them.
        [] if valued.len() == width => {}
        [] => return None,
        [only] if named(only) => set(*only, Field::Symbol),
        [only] => set(*only, Field::Label),
        [label, rest @ ..] => {
            // Of two that may be names the one beside the values is the symbol.
            let symbol = rest.iter().rev().copied().find(|column| named(column));
            match symbol {
                Some(symbol) => {
                    set(symbol, Field::Symbol);
                    set(*label, Field::Label);
                }
                None if named(label) => {
                    set(*label, Field::Symbol);
                    if let Some(title) = rest.first() {
                        set(*title, Field::Label);
                    }
                }
                None => set(*label, Field::Label),
            }
        }
    }
    for column in (first..width).filter(|column| !valued.contains(column)) {
        let body = table.get(1..).unwrap_or(&[]);
        let all = |fits: &dyn Fn(&str) -> bool| {
            let mut texts = said(body, column).peekable();
            texts.peek().is_some() && texts.all(fits)
        };
        // One unit that is not known does not make the others something else.
        let units = said(body, column).filter(|text| Unit::parse(text).is_ok()).count();
        let none = said(body, column).filter(|text| is_no_unit(text)).count();
        if units > 0 && 2 * (units + none) > said(body, column).count() {
            set(column, Field::Unit);
        } else if all(&|text| Kind::find(text).is_some()) {
            set(column, Field::Kind);
        } else if all(&|text| SourceWord::find(text.split_whitespace().next().unwrap_or("")).is_some()) {
            set(column, Field::Source);
        } else if all(&is_formula) {
            set(column, Field::Formula);
        }
    }
    Some(out)
}

/// What tables write where a number has no unit.
fn is_no_unit(text: &str) -> bool {
    matches!(text.trim(), "-" | "–" | "—" | "−" | "1")
}

/// A number with the unit that stands beside it. One that cannot be read yet keeps it, so that it has it once it is mended.
fn beside(value: &str, unit: &str) -> String {
    let unread = !unit.is_empty() && !is_read(value) && value.trim_end().ends_with(|last: char| last.is_ascii_digit());
    match bare_with(value, unit) {
        Some(text) => text,
        None if unread => format!("{} {unit}", value.trim()),
        None => value.to_owned(),
    }
}

fn is_read(text: &str) -> bool {
    !syntax::parse(text).1.iter().any(Fault::is_error)
}

/// Whether a text works something out: more than a number or a name.
fn is_formula(text: &str) -> bool {
    let (tree, faults) = syntax::parse(text);
    !faults.iter().any(Fault::is_error) && !tree.parts().is_empty() && !is_value(text)
}

/// A name made of words: `Brine flow` is `brine_flow`.
pub(super) fn name_of(words: &str) -> String {
    if may_be_name(words) {
        return words.to_owned();
    }
    let name = name_near(&words.to_lowercase());
    name.unwrap_or_else(|| "x".to_owned())
}

/// New quantities at the end of a worked sheet, one for each line of a table; `None` where the table does not tell what is what.
/// `columns`: what each column is, where its place says so.
pub(super) fn lines(seen: Seen<'_>, table: &Table, columns: Option<Vec<Option<Field>>>) -> Option<Made> {
    let unnamed = seen.results.items.iter().all(|name| name.is_empty());
    // In a sheet that holds nothing yet each column of values is a case.
    let makes_cases = unnamed && is_empty(seen) && columns.is_none();
    let most = if makes_cases {
        usize::MAX
    } else {
        seen.results.items.len().max(1)
    };
    let columns = columns.or_else(|| told(table, most))?;
    let at = |field: Field| columns.iter().position(|known| *known == Some(field));
    let values: Vec<usize> = (0..columns.len()).map_while(|case| at(Field::Value(case))).collect();
    let cases = if makes_cases { values.len().max(1) } else { most };
    // Headings hold words where values are.
    let heads = values.iter().any(|column| {
        let text = table.first().map_or("", |row| cell(row, *column));
        !text.is_empty() && !is_value(text)
    });
    let from = usize::from(heads && table.len() > 1);
    let names: Vec<Arc<str>> = names(seen, table.get(from..).unwrap_or(&[]), &at);
    let mut left = Left::default();
    // Labels without a value whose symbol is made of them.
    let mut wordy = 0;
    let mut changes = Vec::new();
    // The lone line of an empty sheet gives way.
    let mut place = seen.sheet.lines.len();
    if let Some(line) = lone(seen) {
        changes.push(Change::DeleteLine {
            place: Place::Line(seen.at, line),
        });
        place = line;
    }
    let made = (makes_cases && cases > 1).then(|| case_names(table.first().filter(|_| from > 0), &values));
    if let Some(made) = &made {
        changes.push(Change::InsertLine {
            place: Place::Line(seen.at, place),
            before: "".into(),
            text: format!("cases {}", made.join(" | ")).into(),
        });
        place += 1;
    }
    for (number, row) in table.iter().enumerate().skip(from) {
        let text = |field: Field| at(field).map_or("", |column| cell(row, column));
        let Some(name) = names.get(number - from) else { continue };
        if row.iter().all(|text| text.trim().is_empty()) {
            continue;
        }
        for (column, text) in row.iter().enumerate() {
            if columns.get(column).copied().flatten().is_none() {
                left.add(text, number, column);
            }
        }
        let told_unit = text(Field::Unit).trim();
        let unit = if Unit::parse(told_unit).is_ok() { told_unit } else { "" };
        if unit.is_empty() && !is_no_unit(told_unit) {
            left.add(told_unit, number, at(Field::Unit).unwrap_or(0));
        }
        // A line that was worked is worked again, in its unit; its values were those of that time.
        let formula = Some(text(Field::Formula)).filter(|text| is_formula(text));
        let mut typed: Vec<String> = values
            .iter()
            .map(|column| {
                let value = &*in_inches(cell(row, *column));
                if unit.is_empty() {
                    value.to_owned()
                } else {
                    beside(value, unit)
                }
            })
            .collect();
        if typed.iter().all(String::is_empty) {
            typed.clear();
        } else if typed.len() > 1 {
            typed.resize(cases, String::new());
        }
        if typed.is_empty() && formula.is_none() && text(Field::Symbol).is_empty() {
            wordy += 1;
        }
        let clause = |before: &str, text: &str| {
            if text.is_empty() {
                String::new()
            } else {
                format!("{before}{text}")
            }
        };
        if let Some(formula) = formula {
            typed = vec![formula.to_owned()];
        }
        let unit = if typed.is_empty() || formula.is_some() {
            unit
        } else {
            ""
        };
        let mut fresh = Fresh {
            name: name.clone(),
            alone: is_empty(seen),
            title: text(Field::Label).to_owned(),
            values: typed,
            clauses: [
                clause("in ", unit),
                clause(": ", text(Field::Kind)),
                clause("", text(Field::Source)),
            ],
        };
        let line = seen.made(&fresh, &names).or_else(|_| {
            // A value that would become another part of the line is left out.
            for column in &values {
                left.misfit(cell(row, *column), number, *column);
            }
            fresh.values.clear();
            seen.made(&fresh, &names)
        });
        match line {
            Ok(text) => {
                changes.push(Change::InsertLine {
                    place: Place::Line(seen.at, place),
                    before: "".into(),
                    text: text.into(),
                });
                place += 1;
            }
            Err(_) => left.add(&row.join(" "), number, 0),
        }
    }
    let headed = (from > 0).then(|| "The first line was taken for headings.".to_owned());
    let cased = made.map(|made| format!("Each column of values is a case: {}.", made.join(", ")));
    let worded = (wordy > 0).then(|| match wordy {
        1 => "1 line has words and no value: it is a label, and its symbol is made of it.".to_owned(),
        more => format!("{more} lines have words and no value: each is a label, and its symbol is made of it."),
    });
    let told = headed.into_iter().chain(cased).chain(worded);
    let note: Vec<String> = told.chain(left.words()).collect();
    Some(Ok((changes, Some(note.join(" ")).filter(|note| !note.is_empty()))))
}

/// Names of cases: the words over their columns, else numbered.
fn case_names(heads: Option<&Vec<String>>, columns: &[usize]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for (number, column) in columns.iter().enumerate() {
        let words = heads.map_or("", |heads| cell(heads, *column));
        let base = match words {
            "" => format!("case_{}", number + 1),
            words => name_of(words),
        };
        let name = fresh(&base, |name| out.iter().any(|known| known == name));
        out.push(name.to_string());
    }
    out
}

/// A name of its own for each line.
fn names(seen: Seen<'_>, rows: &Table, at: &dyn Fn(Field) -> Option<usize>) -> Vec<Arc<str>> {
    let lone = lone(seen).is_some();
    let mut out: Vec<Arc<str>> = Vec::new();
    for row in rows {
        let text = |field: Field| at(field).map_or("", |column| cell(row, column));
        let base = match (text(Field::Symbol), text(Field::Label)) {
            ("", "") => "x".to_owned(),
            ("", label) => name_of(label),
            (symbol, _) => name_of(symbol),
        };
        let known = |name: &str| {
            let mut there = seen.results.quantities.iter();
            out.iter().any(|made| **made == *name) || !lone && there.any(|known| &*known.name == name)
        };
        let name = fresh(&base, known);
        out.push(name);
    }
    out
}

/// A heading of a list from elsewhere: its words, and the unit in brackets or behind a comma.
pub(super) fn heading(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let in_brackets = text
        .strip_suffix([')', ']'])
        .and_then(|rest| rest.rsplit_once(['(', '[']));
    let behind = text.rsplit_once(" in ").or_else(|| text.rsplit_once(','));
    for (words, unit) in in_brackets.into_iter().chain(behind) {
        if Unit::parse(unit.trim()).is_ok() {
            return (words.trim().to_owned(), Some(unit.trim().to_owned()));
        }
    }
    (text.to_owned(), None)
}

/// Whether a list holds nothing yet besides names of rows.
pub(super) fn is_blank(seen: Seen<'_>) -> bool {
    let Some(rows) = &seen.sheet.rows else { return false };
    let blank = |cell: &crate::workbook::Cell| matches!(cell, crate::workbook::Cell::Blank);
    rows.rows.len() <= 1 && rows.rows.iter().all(|row| row.cells.iter().skip(1).all(blank))
}

/// Whether a quantity is called so, by its symbol or its label.
fn called(quantity: &QuantityResults, words: &str) -> bool {
    let is = |name: &str| name.to_lowercase() == words.to_lowercase();
    is(&quantity.name) || is(&quantity.title)
}

/// Whether a column that stands empty in a list is the one for what has no name there: texts for texts, values by their unit.
fn is_meant(quantity: &QuantityResults, is_text: bool, unit: Option<&str>) -> bool {
    match &quantity.sort {
        Sort::Text => is_text,
        Sort::Quantity { unit: own, .. } => {
            let unit = unit
                .and_then(|unit| Unit::parse(unit).ok())
                .filter(|unit| !unit.is_plain());
            !is_text && unit.is_some_and(|unit| conversion(&unit, own).is_ok())
        }
        _ => false,
    }
}

/// A table with headings in a list that holds nothing yet: its columns and rows; `None` where it has no headings.
pub(super) fn list(seen: Seen<'_>, table: &Table) -> Option<Made> {
    let [heads, body @ ..] = table else { return None };
    let width = heads.len();
    let is_headed =
        width > 1 && !body.is_empty() && heads.iter().all(|head| !head.trim().is_empty() && !is_value(head));
    let has_values = (0..width).any(|column| said(body, column).any(is_value));
    if !is_headed || !has_values || !is_blank(seen) {
        return None;
    }
    let list = &seen.sheet.name;
    let lines = &seen.sheet.lines;
    let mut place = lines
        .iter()
        .position(|line| matches!(line.statement, Statement::Rows))
        .unwrap_or(lines.len());
    let columns = seen.sheet.rows.as_ref().map_or(&[][..], |rows| rows.columns.as_slice());
    let mut changes = Vec::new();
    let mut taken: Vec<Arc<str>> = Vec::new();
    // Which column of the table stands in which column of the list, and its unit.
    let mut order: Vec<(Arc<str>, usize)> = Vec::new();
    let mut units: Vec<Option<String>> = Vec::new();
    let mut texts: Vec<bool> = Vec::new();
    for (column, head) in heads.iter().enumerate() {
        let (words, unit) = heading(head);
        let is_text = !said(body, column).any(is_value);
        let free = |name: &str| !taken.iter().any(|known| **known == *name);
        let mut there = seen
            .results
            .quantities
            .iter()
            .filter(|quantity| columns.contains(&quantity.name) && free(&quantity.name));
        let known = there.clone().find(|quantity| called(quantity, &words)).or_else(|| {
            there.find(|quantity| {
                let named = heads.iter().any(|head| called(quantity, &heading(head).0));
                !named && is_meant(quantity, is_text, unit.as_deref())
            })
        });
        let name = match known {
            Some(known) => known.name.clone(),
            None => {
                let there =
                    |name: &str| !free(name) || seen.results.quantities.iter().any(|known| &*known.name == name);
                let name = fresh(&name_of(&words), there);
                let sort = match (is_text, &unit) {
                    (true, _) => " : text".to_owned(),
                    (false, Some(unit)) => format!(" in {unit}"),
                    (false, None) => String::new(),
                };
                let title = if *words == *name {
                    String::new()
                } else {
                    format!(" {}", quoted(&words))
                };
                changes.push(Change::InsertLine {
                    place: Place::Line(seen.at, place),
                    before: "".into(),
                    text: format!("given {name}{sort}{title}").into(),
                });
                changes.push(Change::InsertColumn {
                    list: list.clone(),
                    at: columns.len() + order.iter().filter(|(name, _)| !columns.contains(name)).count(),
                    name: name.clone(),
                });
                place += 1;
                name
            }
        };
        let own = known.and_then(|known| {
            let at = seen
                .results
                .quantities
                .iter()
                .position(|quantity| quantity.name == known.name)?;
            Some(seen.unit(at)).filter(|unit| !unit.is_empty())
        });
        taken.push(name.clone());
        order.push((name, column));
        units.push(unit.or(own));
        texts.push(is_text);
    }
    let count = seen.sheet.rows.as_ref().map_or(0, |rows| rows.rows.len());
    if count > 0 {
        changes.push(Change::DeleteRows {
            list: list.clone(),
            rows: (0..count).collect(),
        });
    }
    let all: Vec<Arc<str>> = columns
        .iter()
        .cloned()
        .chain(
            order
                .iter()
                .map(|(name, _)| name.clone())
                .filter(|name| !columns.contains(name)),
        )
        .collect();
    let mut left = Left::default();
    for (number, row) in body.iter().enumerate() {
        if row.iter().all(|text| text.trim().is_empty()) {
            continue;
        }
        for (column, text) in row.iter().enumerate().skip(width) {
            left.add(text, number + 1, column);
        }
        let cells: Vec<String> = all
            .iter()
            .map(|name| {
                let column = order.iter().find(|(known, _)| known == name).map(|(_, column)| *column);
                let Some(column) = column else { return String::new() };
                let text = cell(row, column);
                let unit = units.get(column).and_then(Option::as_deref).unwrap_or("");
                match texts.get(column) {
                    _ if text.is_empty() => String::new(),
                    Some(true) => quoted(text),
                    _ if is_value(text) => beside(text, unit),
                    _ => quoted(text),
                }
            })
            .collect();
        changes.push(Change::InsertRow {
            list: list.clone(),
            at: changes
                .iter()
                .filter(|change| matches!(change, Change::InsertRow { .. }))
                .count(),
            text: cells.join(" | ").into(),
        });
    }
    let note = "The first line was taken for headings.".to_owned();
    Some(Ok((
        changes,
        Some(left.words().map_or(note.clone(), |left| format!("{note} {left}"))),
    )))
}
