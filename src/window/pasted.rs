//! A table from elsewhere: which of its columns are what, and the lines or rows it becomes.
//!
//! Always: told by what the columns hold; what finds no place is named by its own words and its place in the table.
//! Not known here: the clipboard, the screen.

use std::borrow::Cow;
use std::sync::Arc;

use super::copied::{names_taken, renamed};
use super::lent::{Lent, unit_behind};
use super::paper::{in_inches, without_sign};
use super::spot::{Field, Fresh, Seen, bare_with, fresh, is_value};
use super::table::{
    Columns, Table, cell, heading, is_formula, is_no_unit, may_be_unit, said, says, sign_of_formula, unit_said,
};
use super::unknown::{Unknown, is_unknown};
use crate::fault::Fault;
use crate::language::check::Sort;
use crate::language::syntax;
use crate::plates::list;
use crate::plates::meant::{Meant, is_known, meant_by};
use crate::quantity::{Unit, conversion};
use crate::recalc::QuantityResults;
use crate::workbook::change::{Change, Place};
use crate::workbook::text::{may_be_name, name_near, quoted};
use crate::workbook::{Cell, Quantity, Role, Statement};

/// The changes, and what the user should know of them; or why there are none.
pub type Made = Result<(Vec<Change>, Option<String>), String>;

/// Makes a row without values. The first one of a list whose columns no line names yet brings that line.
pub fn make_row(seen: Seen<'_>, at: usize) -> Change {
    let named = seen.sheet.rows.as_ref().map(|rows| rows.columns.len());
    let columns = named.unwrap_or_else(|| columns_of(seen).len());
    let row = Change::InsertRow {
        list: seen.sheet.name.clone(),
        at,
        text: vec![""; columns.max(1)].join(" | ").into(),
    };
    match named {
        None if at == 0 => Change::Several(begun(seen).chain([row]).collect()),
        _ => row,
    }
}

/// The columns of a list. Where no line names them yet, what is given there without a value is meant to be one.
fn columns_of(seen: Seen<'_>) -> Vec<Arc<str>> {
    if let Some(rows) = &seen.sheet.rows {
        return rows.columns.clone();
    }
    let lines = seen.sheet.lines.iter().filter_map(|line| match &line.statement {
        Statement::Quantity(quantity) => Some(&**quantity),
        _ => None,
    });
    let is_column = |quantity: &&Quantity| quantity.role == Role::Given && quantity.values.iter().all(Option::is_none);
    lines.filter(is_column).map(|quantity| quantity.name.clone()).collect()
}

/// The changes that name them where no line does yet.
fn begun(seen: Seen<'_>) -> impl Iterator<Item = Change> {
    let columns = match seen.sheet.rows {
        Some(_) => Vec::new(),
        None => columns_of(seen),
    };
    let list = seen.sheet.name.clone();
    columns
        .into_iter()
        .enumerate()
        .map(move |(at, name)| Change::InsertColumn {
            list: list.clone(),
            at,
            name,
            cells: Vec::new(),
        })
}

/// What is said where a line is no values.
pub(super) const HEADED: &str = "The first line was taken for headings.";

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

    /// What was left out of another part of it.
    pub(super) fn join(&mut self, other: Left) {
        if self.count == 0 {
            self.first = other.first;
        }
        self.count += other.count;
        self.misfits += other.misfits;
    }

    /// The same in words.
    pub(super) fn words(&self) -> Option<String> {
        let (why_one, why_all) = match self.misfits == self.count {
            true => ("it cannot stand there", "they cannot stand there"),
            false => ("there is no place for it", "there is no place for them"),
        };
        // What to try.
        let try_it = match self.misfits == self.count {
            true => "",
            false => " A case more (New case) or a column more (+ at the headings of a list) makes a place.",
        };
        match self.count {
            0 => None,
            1 => Some(format!("1 value was not pasted, as {why_one}: {}.{try_it}", self.first)),
            more => Some(format!(
                "{more} values were not pasted, as {why_all}: {} and {} more.{try_it}",
                self.first,
                more - 1
            )),
        }
    }
}

/// Whether the columns of a table hold what stands at their places in a worked sheet.
pub(super) fn stands(seen: Seen<'_>, table: &Table, places: &[Option<Field>]) -> bool {
    Columns::told(table, seen.results.items.len(), &seen.results.items).is_some_and(|told| told.stand_at(places))
}

/// Whether a table has headings that say what its columns are.
pub(super) fn has_heads(table: &Table) -> bool {
    Columns::told(table, usize::MAX, &[""]).is_some_and(|told| told.named) && table.len() > 1
}

/// A table whose units have columns of their own, where there are places for values only: each unit beside its value.
pub(super) fn with_units(table: Vec<Vec<String>>, field: &dyn Fn(usize) -> Option<Field>) -> Vec<Vec<String>> {
    let width = table.iter().map(Vec::len).max().unwrap_or(0);
    let is_unit = |text: &str| {
        let known = unit_said(text).and_then(|unit| Unit::known(&unit));
        known.is_some_and(|unit| !unit.is_plain()) && !is_value(text)
    };
    let goes = |column: usize| {
        let of_values = |column: usize| matches!(field(column), Some(Field::Value(_)));
        let places = column > 0 && of_values(column - 1) && of_values(column);
        let mut values = table
            .iter()
            .map(|row| (cell(row, column.saturating_sub(1)), cell(row, column)));
        let fits = |(value, unit): (&str, &str)| is_no_unit(unit) || is_unit(unit) && is_value(value);
        places && said(&table, column).any(is_unit) && values.all(fits)
    };
    let Some(column) = (0..width).find(|column| goes(*column)) else {
        return table;
    };
    let joined = |mut row: Vec<String>| {
        let unit = if column < row.len() {
            row.remove(column)
        } else {
            String::new()
        };
        if let Some(value) = row.get_mut(column - 1) {
            *value = beside(value, &unit_said(&unit).unwrap_or_default());
        }
        row
    };
    with_units(table.into_iter().map(joined).collect(), field)
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

/// A line of a table that goes over one of a worked sheet: each bare value with the unit that stands in the column of units, and that
/// column, where a value took it.
pub(super) fn with_its_unit<'t>(row: &'t [String], places: &[Option<Field>]) -> (Cow<'t, [String]>, Option<usize>) {
    let column = places.iter().position(|field| *field == Some(Field::Unit));
    let told = column.map_or("", |column| cell(row, column));
    // One that nobody knows stays beside its number, where it is a fault that can be mended.
    let unit = unit_said(told).or_else(|| may_be_unit(told).then_some(Cow::Borrowed(told)));
    let Some(unit) = unit else {
        return (Cow::Borrowed(row), None);
    };
    let (mut row, mut taken) = (row.to_vec(), None);
    for (text, field) in row.iter_mut().zip(places) {
        if matches!(field, Some(Field::Value(_)))
            && let Some(with) = bare_with(text, &unit)
        {
            *text = with;
            taken = column;
        }
    }
    (Cow::Owned(row), taken)
}

/// A number with the unit that stands beside it. One that cannot be read yet keeps it, so that it has it once it is mended.
pub(super) fn beside(value: &str, unit: &str) -> String {
    let unread =
        || !unit.is_empty() && value.trim_end().ends_with(|last: char| last.is_ascii_digit()) && !is_read(value);
    match bare_with(value, unit) {
        Some(text) => text,
        None if unread() => format!("{} {unit}", value.trim()),
        None => value.to_owned(),
    }
}

fn is_read(text: &str) -> bool {
    !syntax::parse(text).1.iter().any(Fault::is_error)
}

/// A name made of words: `Brine flow` is `brine_flow`.
pub(super) fn name_of(words: &str) -> String {
    if may_be_name(words) {
        return words.to_owned();
    }
    let name = name_near(&words.to_lowercase());
    name.unwrap_or_else(|| "x".to_owned())
}

/// A line of a table, by what its cells are in a worked sheet.
pub(super) struct Row<'t> {
    pub label: String,
    /// As it stands in the table; it may be none.
    pub symbol: String,
    /// The unit that stands beside the values, or in brackets beside the words.
    unit: String,
    /// What stands there instead and is none.
    pub no_unit: bool,
    kind: &'t str,
    source: &'t str,
    /// A formula for all cases; what stands at the values are its results of that time.
    formula: Option<&'t str>,
    pub values: Vec<&'t str>,
    /// The units that their headings name.
    over: Vec<&'t str>,
}

impl<'t> Row<'t> {
    pub(super) fn of(row: &'t [String], columns: &'t Columns, left: &mut Left, number: usize) -> Row<'t> {
        let text = |field: Field| columns.at(field).map_or("", |column| cell(row, column));
        let values: Vec<&str> = columns.values().map(|column| cell(row, column)).collect();
        let told = text(Field::Unit);
        let formula = Some(text(Field::Formula)).filter(|text| is_formula(text));
        let is_bare = |value: &&str| sign_of_formula(value).is_none() && bare_with(value, "m").is_some();
        let known = unit_said(told);
        let is_other = known.is_none() && !is_no_unit(told);
        // One that nobody knows stays beside its number, where it is a fault that can be mended.
        let stays = is_other && formula.is_none() && may_be_unit(told) && values.iter().any(is_bare);
        let no_unit = is_other && !stays;
        let mut unit = known
            .unwrap_or(Cow::Borrowed(if stays { told } else { "" }))
            .into_owned();
        if no_unit {
            left.add(told, number, columns.at(Field::Unit).unwrap_or(0));
        }
        let mut words = |field: Field| {
            let (words, beside) = heading(text(field));
            // Where the values say another one themselves, what stands in brackets is no more than words.
            let goes = beside.filter(|beside| values.iter().all(|value| value.is_empty() || goes_with(value, beside)));
            match goes {
                Some(beside) => {
                    if unit.is_empty() {
                        unit = beside;
                    }
                    words
                }
                None => text(field).to_owned(),
            }
        };
        let (label, symbol) = (words(Field::Label), words(Field::Symbol));
        // A line that was worked is worked again, in its unit.
        let mut formulas = values.iter().map(|value| sign_of_formula(value));
        let same = formulas
            .next()
            .flatten()
            .filter(|first| formulas.all(|other| other == Some(first)));
        Row {
            label,
            symbol,
            unit,
            no_unit,
            kind: text(Field::Kind),
            source: text(Field::Source),
            formula: formula.map(without_sign).or(same),
            values,
            over: columns.values().map(|column| columns.unit_over(column)).collect(),
        }
    }

    /// The name it would have: its symbol, or a name made of its words.
    fn name(&self) -> String {
        let of_symbol = may_be_name(&self.symbol) || self.label.is_empty();
        match (self.symbol.as_str(), self.label.as_str()) {
            ("", "") => "x".to_owned(),
            (symbol, _) if of_symbol => name_of(symbol),
            (_, label) => name_of(label),
        }
    }

    /// Its values as they are typed into a sheet of so many cases; none where there is nothing. `knows`: which names it can read.
    fn typed(&self, cases: usize, knows: &dyn Fn(&str) -> bool) -> (Vec<String>, Unknown) {
        let mut unknown = Unknown::default();
        if let Some(formula) = self.formula {
            return (vec![formula.to_owned()], unknown);
        }
        let mut typed = self.with_units();
        let are_words = self.kind == "text" || self.kind.starts_with("choice ");
        for text in typed.iter_mut().filter(|text| !are_words && is_unknown(text, knows)) {
            unknown.add(text);
            text.clear();
        }
        if typed.iter().all(String::is_empty) {
            typed.clear();
        } else if typed.len() > 1 {
            typed.resize(cases, String::new());
        }
        (typed, unknown)
    }

    /// Its values as they stand in the table, each with the unit beside it or over it; a formula without the sign before it.
    pub(super) fn with_units(&self) -> Vec<String> {
        let values = self.values.iter().zip(&self.over);
        let typed = values.map(|(value, over)| match sign_of_formula(value) {
            Some(formula) => formula.to_owned(),
            None if self.unit.is_empty() => beside(&in_inches(value), over),
            None => beside(&in_inches(value), &self.unit),
        });
        typed.collect()
    }

    fn is_worked(&self) -> bool {
        self.formula.is_some() || self.values.iter().any(|value| sign_of_formula(value).is_some())
    }

    fn fresh(&self, name: Arc<str>, values: Vec<String>, alone: bool) -> Fresh {
        let clause = |before: &str, text: &str| match text {
            "" => String::new(),
            text => format!("{before}{text}"),
        };
        // A label that is the name says nothing more.
        let title = Some(&self.label).filter(|label| ***label != *name);
        let title = title.cloned().unwrap_or_default();
        // A formula takes no unit along: it is worked in that unit.
        let takes_unit = |value: &String| !value.is_empty() && (is_value(value) || !is_formula(value));
        let has_units = !self.is_worked() && values.iter().any(takes_unit);
        Fresh {
            name,
            alone,
            worked: self.is_worked(),
            title,
            values,
            clauses: [
                clause("in ", if has_units { "" } else { &self.unit }),
                clause(": ", self.kind),
                clause("", self.source),
            ],
        }
    }
}

/// Whether a unit beside the words of a value is the one that it is meant in: a bare number, a formula, or a value of that dimension.
fn goes_with(value: &str, unit: &str) -> bool {
    let is_bare = beside(value, unit) != value;
    if sign_of_formula(value).is_some() || is_bare {
        return true;
    }
    let units = unit_behind(value).and_then(Unit::known).zip(Unit::known(unit));
    units.is_some_and(|(own, unit)| conversion(&own, &unit).is_ok())
}

/// New quantities at the end of a worked sheet, one for each line of a table; `None` where the table does not tell what is what.
/// `columns`: what each column is, where that is known.
pub(super) fn lines(seen: Seen<'_>, table: &Table, columns: Option<Columns>) -> Option<Made> {
    let unnamed = seen.results.items.iter().all(|name| name.is_empty());
    // In a sheet that holds nothing yet each column of values is a case.
    let makes_cases = unnamed && is_empty(seen) && columns.is_none();
    let most = if makes_cases {
        usize::MAX
    } else {
        seen.results.items.len().max(1)
    };
    let columns = match columns {
        Some(columns) => columns,
        None => Columns::told(table, most, &seen.results.items)?,
    };
    let cases = if makes_cases {
        columns.values().count().max(1)
    } else {
        most
    };
    let from = usize::from(columns.headed && table.len() > 1);
    let mut left = Left::default();
    let mut unknown = Unknown::default();
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
    let mut insert = |text: String| {
        changes.push(Change::InsertLine {
            place: Place::Line(seen.at, place),
            before: "".into(),
            text: text.into(),
        });
        place += 1;
    };
    let made = (makes_cases && cases > 1).then(|| case_names(table.first().filter(|_| from > 0), &columns));
    if let Some(made) = &made {
        insert(format!("cases {}", made.join(" | ")));
    }
    let said = |row: &&Vec<String>| row.iter().any(|text| !text.trim().is_empty());
    let rows = table.iter().enumerate().skip(from).filter(|(_, row)| said(row));
    let rows: Vec<(usize, Row<'_>)> = rows
        .map(|(number, row)| {
            for column in columns.others() {
                left.add(cell(row, column), number, column);
            }
            (number, Row::of(row, &columns, &mut left, number))
        })
        .collect();
    let names = names(seen, rows.iter().map(|(_, row)| row.name()));
    // Formulas that come with it read what came with them, not what was called so before.
    let mut others: Vec<(Arc<str>, Arc<str>)> = Vec::new();
    for (at, ((_, row), name)) in rows.iter().zip(&names).enumerate() {
        // Of two with one symbol the first is the one that is read.
        let is_first = !rows.iter().take(at).any(|(_, before)| before.symbol == row.symbol);
        if is_first && may_be_name(&row.symbol) && *row.symbol != **name {
            others.push((row.symbol.as_str().into(), name.clone()));
        }
    }
    for ((number, row), name) in rows.iter().zip(&names) {
        let there = |read: &str| seen.results.quantities.iter().any(|known| *known.name == *read);
        let knows = |read: &str| there(read) || names.iter().any(|name| **name == *read);
        let (values, of_row) = row.typed(cases, &knows);
        unknown.join(of_row);
        let mut fresh = row.fresh(name.clone(), values, is_empty(seen));
        if fresh.values.is_empty() && row.symbol.is_empty() {
            wordy += 1;
        }
        let line = seen.made(&fresh, &names).or_else(|_| {
            // A value that would become another part of the line is left out.
            for (column, value) in columns.values().zip(&row.values) {
                left.misfit(value, *number, column);
            }
            fresh.values.clear();
            seen.made(&fresh, &names)
        });
        match line {
            Ok(text) => insert(renamed(&text, None, &others)),
            Err(_) => left.add(&format!("{} {}", row.label, row.symbol), *number, 0),
        }
    }
    let headed = (from > 0).then(|| HEADED.to_owned());
    let cased = made
        .as_ref()
        .map(|made| format!("Each column of values is a case: {}.", made.join(", ")));
    let worded = (wordy > 0).then(|| match wordy {
        1 => "1 line has words and no value: it is a label, and its symbol is made of it.".to_owned(),
        more => format!("{more} lines have words and no value: each is a label, and its symbol is made of it."),
    });
    let told = headed
        .into_iter()
        .chain(cased)
        .chain(by_place(
            seen,
            table.first().filter(|_| from > 0 && made.is_none()),
            &columns,
        ))
        .chain(names_taken(&others))
        .chain(worded);
    // What is lost comes first: a notice may be cut.
    let note: Vec<String> = left.words().into_iter().chain(unknown.told()).chain(told).collect();
    Some(Ok((changes, Some(note.join(" ")).filter(|note| !note.is_empty()))))
}

/// What is said of values in several columns whose headings name no case of the sheet: they go by their place.
fn by_place(seen: Seen<'_>, heads: Option<&Vec<String>>, columns: &Columns) -> Option<String> {
    let heads = heads.filter(|_| !columns.by_case())?;
    let cases = seen.results.items.iter().filter(|name| !name.is_empty());
    let went = cases
        .zip(columns.values())
        .map(|(case, column)| match cell(heads, column) {
            "" => format!("column {} to {case}", column + 1),
            words => format!("{} to {case}", quoted(words)),
        });
    let went: Vec<String> = went.collect();
    (went.len() > 1).then(|| {
        format!(
            "No case here is called as the headings say: values went by their place, {}.",
            went.join(", ")
        )
    })
}

/// Names of cases: the words over their columns, else numbered.
fn case_names(heads: Option<&Vec<String>>, columns: &Columns) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for (number, column) in columns.values().enumerate() {
        let words = heads.map_or("", |heads| cell(heads, column));
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
fn names(seen: Seen<'_>, bases: impl Iterator<Item = String>) -> Vec<Arc<str>> {
    let lone = lone(seen).is_some();
    let mut out: Vec<Arc<str>> = Vec::new();
    for base in bases {
        let known = |name: &str| {
            let mut there = seen.results.quantities.iter();
            out.iter().any(|made| **made == *name) || !lone && there.any(|known| &*known.name == name)
        };
        let name = fresh(&base, known);
        out.push(name);
    }
    out
}

/// A heading of a column: its words and its unit, also where that stands in no brackets.
fn headed(text: &str) -> (String, Option<String>) {
    match heading(text) {
        (words, None) => match list::with_unit(&words) {
            Some((words, unit)) => (words, Some(unit.to_owned())),
            None => (words, None),
        },
        known => known,
    }
}

/// Whether a list holds nothing yet besides names of rows. The rows of one that has groups are never its own.
pub(super) fn is_blank(seen: Seen<'_>) -> bool {
    let blank = |cell: &Cell| matches!(cell, Cell::Blank);
    match &seen.sheet.rows {
        Some(rows) => rows.rows.len() <= 1 && rows.rows.iter().all(|row| row.cells.iter().skip(1).all(blank)),
        None => matches!(seen.sheet.opening.statement, Statement::Opening { groups: None }),
    }
}

/// Whether a quantity is called so, by its symbol or its label.
fn called(quantity: &QuantityResults, words: &str) -> bool {
    let is = |name: &str| name.to_lowercase() == words.to_lowercase();
    is(&quantity.name) || is(&quantity.title)
}

/// Letters of a symbol at most: more are a word.
const SYMBOL: usize = 4;

/// A heading over a column.
struct Head<'t> {
    words: String,
    unit: Option<String>,
    meant: Option<Meant>,
    /// No value stands under it.
    is_text: bool,
    text: &'t str,
}

/// Why a column of a table goes to one of the list that is called otherwise.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Why {
    Called,
    Meant,
    /// Nobody knows what either is of.
    Unit,
}

impl<'t> Head<'t> {
    fn of(text: &'t str, body: &Table, column: usize) -> Head<'t> {
        let (words, unit) = headed(text);
        let meant = meant_by(text);
        let unit = unit.or_else(|| meant?.unit.map(str::to_owned));
        // Where nothing is known of any, the heading tells values from words.
        let of_values = || unit.is_some() || meant.is_some_and(|meant| !meant.is_name());
        let is_unsaid = said(body, column).next().is_some() && says(body, column).next().is_none();
        Head {
            is_text: !(says(body, column).any(is_value) || is_unsaid && of_values()),
            words,
            unit,
            meant,
            text: text.trim(),
        }
    }

    fn called(&self, quantity: &QuantityResults) -> bool {
        called(quantity, &self.words) || called(quantity, self.text)
    }

    fn is_of(&self, quantity: &QuantityResults) -> bool {
        let is = |meant: Meant| meant.is_of(quantity) || meant.as_measured().is_some_and(|other| other.is_of(quantity));
        self.meant.is_some_and(is)
    }

    /// Whether a column is the one for it by no more than what it holds: texts that name rows, values by their unit. What is of something
    /// else never is.
    fn may_be(&self, quantity: &QuantityResults, is_first: bool) -> bool {
        match &quantity.sort {
            Sort::Text => self.is_text && is_first && self.meant.is_none_or(Meant::is_name),
            Sort::Quantity { unit: own, .. } => {
                let unit = self
                    .unit
                    .as_deref()
                    .and_then(Unit::known)
                    .filter(|unit| !unit.is_plain());
                let is_other = self.meant.is_some() || is_known(quantity);
                !self.is_text && !is_other && unit.is_some_and(|unit| conversion(&unit, own).is_ok())
            }
            _ => false,
        }
    }

    /// The name and the title of a column of its own. Where the words say what it is with the unit alone, as in `Meas. kW`, they stay
    /// whole.
    fn own(&self) -> (String, &str) {
        let is_said = meant_by(&self.words).and_then(Meant::given);
        let given = self
            .meant
            .and_then(Meant::given)
            .filter(|given| is_said != Some(*given));
        let is_symbol = may_be_name(&self.words) && self.words.chars().count() <= SYMBOL;
        match given.filter(|_| !is_symbol) {
            Some(given) => (given.to_owned(), self.text),
            None => (name_of(&self.words), &self.words),
        }
    }
}

/// A table with headings in a list that holds nothing yet: its columns and rows; `None` where it has no headings.
pub(super) fn list(seen: Seen<'_>, table: &Table) -> Option<Made> {
    let [heads, body @ ..] = table else { return None };
    let width = heads.len();
    let is_headed =
        width > 1 && !body.is_empty() && heads.iter().all(|head| !head.trim().is_empty() && !is_value(head));
    let has_values = (0..width).any(|column| says(body, column).any(is_value));
    if !is_headed || !has_values || !is_blank(seen) {
        return None;
    }
    let list = &seen.sheet.name;
    let lines = &seen.sheet.lines;
    let mut place = lines
        .iter()
        .position(|line| matches!(line.statement, Statement::Rows))
        .unwrap_or(lines.len());
    let columns = columns_of(seen);
    let mut changes: Vec<Change> = begun(seen).collect();
    let mut taken: Vec<Arc<str>> = Vec::new();
    // Which column of the table stands in which column of the list, and its unit.
    let mut order: Vec<(Arc<str>, usize)> = Vec::new();
    let mut units: Vec<Option<String>> = Vec::new();
    let mut texts: Vec<bool> = Vec::new();
    let heads: Vec<Head<'_>> = heads
        .iter()
        .enumerate()
        .map(|(column, head)| Head::of(head, body, column))
        .collect();
    let (mut meant, mut by_unit) = (Vec::new(), Vec::new());
    let mut lent = Lent::default();
    for (column, head) in heads.iter().enumerate() {
        let free = |name: &str| !taken.iter().any(|known| **known == *name);
        let there = || {
            let quantities = seen.results.quantities.iter();
            quantities.filter(|quantity| columns.contains(&quantity.name) && free(&quantity.name))
        };
        let other = |quantity: &&QuantityResults| !heads.iter().any(|head| head.called(quantity));
        let others = |quantity: &&QuantityResults| other(quantity) && !heads.iter().any(|head| head.is_of(quantity));
        let is_first = |quantity: &QuantityResults| columns.first() == Some(&quantity.name);
        let known = there()
            .find(|known| head.called(known))
            .map(|known| (known, Why::Called));
        let known = known.or_else(|| {
            let mut there = there().filter(other);
            there.find(|known| head.is_of(known)).map(|known| (known, Why::Meant))
        });
        let known = known.or_else(|| {
            let mut there = there().filter(others);
            let known = there.find(|known| head.may_be(known, is_first(known)))?;
            Some((known, Why::Unit))
        });
        if let Some((known, why)) = known {
            let went = format!("{} to {}", quoted(head.text), known.name);
            match why {
                Why::Called => {}
                Why::Meant => meant.push(went),
                Why::Unit => by_unit.push(went),
            }
        }
        let known = known.map(|(known, _)| known);
        let own = known.and_then(|known| {
            let mut quantities = seen.results.quantities.iter();
            let at = quantities.position(|quantity| quantity.name == known.name)?;
            Some(seen.unit(at)).filter(|unit| !unit.is_empty())
        });
        let own = own.unwrap_or_default();
        let unit = head.unit.clone().or_else(|| lent.take(head.text, body, column, &own));
        let unit = &unit.or(Some(own).filter(|own| !own.is_empty()));
        let name = match known {
            Some(known) => known.name.clone(),
            None => {
                let there =
                    |name: &str| !free(name) || seen.results.quantities.iter().any(|known| &*known.name == name);
                let (name, words) = head.own();
                let name = fresh(&name, there);
                let kind = head.meant.and_then(|meant| meant.kind(unit.as_deref()));
                let sort = match (head.is_text, unit) {
                    (true, _) => " : text".to_owned(),
                    (false, unit) => {
                        let unit = unit.as_ref().map(|unit| format!(" in {unit}"));
                        let kind = kind.map(|kind| format!(" : {kind}"));
                        unit.into_iter().chain(kind).collect()
                    }
                };
                let title = if *words == *name {
                    String::new()
                } else {
                    format!(" {}", quoted(words))
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
                    cells: Vec::new(),
                });
                place += 1;
                name
            }
        };
        taken.push(name.clone());
        order.push((name, column));
        units.push(unit.clone());
        texts.push(head.is_text || known.is_some_and(|known| matches!(known.sort, Sort::Text)));
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
    let mut unknown = Unknown::default();
    let (mut totals, mut rows) = (0, 0);
    for (number, row) in body.iter().enumerate() {
        if row.iter().all(|text| text.trim().is_empty()) {
            continue;
        }
        if list::is_total(row, width) {
            totals += 1;
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
                    _ if is_unknown(text, &|_| false) => {
                        unknown.add(text);
                        String::new()
                    }
                    _ if is_value(text) => beside(text, unit),
                    _ => quoted(text),
                }
            })
            .collect();
        changes.push(Change::InsertRow {
            list: list.clone(),
            at: rows,
            text: cells.join(" | ").into(),
        });
        rows += 1;
    }
    let headed = Some(HEADED.to_owned());
    let note = [
        went("by what their headings mean", &meant),
        went("by what stands in them", &by_unit),
    ];
    let note = note.into_iter().flatten().chain(lent.words());
    // What is lost comes first: a notice may be cut.
    let told = [left.words(), unknown.told(), totals_left(totals)];
    let note = told.into_iter().flatten().chain(note).chain(headed);
    let note = note.collect::<Vec<_>>().join(" ");
    Some(Ok((changes, Some(note))))
}

/// Where columns went whose headings are others, and by what: `"Strom [A]" to I`.
pub(super) fn went(by: &str, columns: &[String]) -> Option<String> {
    (!columns.is_empty()).then(|| format!("Columns went {by}: {}.", columns.join(", ")))
}

/// What is said of rows of totals, which are no motors.
pub(super) fn totals_left(count: usize) -> Option<String> {
    match count {
        0 => None,
        1 => Some("1 row is a total of others and was left out.".to_owned()),
        more => Some(format!("{more} rows are totals of others and were left out.")),
    }
}
