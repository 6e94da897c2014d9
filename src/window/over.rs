//! A table with headings pasted over lines that a worked sheet has: which value goes to which quantity and case.
//!
//! Always: a line of headings is no value. A value goes to the case that its heading names, and to the quantity that its line names; where no
//! line names one they go on from the chosen line. What is worked stays worked. What went where is said, and what found no place.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::arrange::{At, Plan};
use super::many::{behind_the_last, named};
use super::paper::without_sign;
use super::pasted::{self, HEADED, Left, Made, Row};
use super::spot::{Field, Seen, Spot, bare_with};
use super::table::{Columns, Table, beside_values, cell, may_be_heading, said};
use super::unknown::{self, Unknown};
use crate::language::check::Sort;
use crate::language::syntax;
use crate::workbook::Role;
use crate::workbook::change::Change;
use crate::workbook::text::quoted;

/// Which cases the values of a table are for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum For {
    /// Those of their places among the values: their headings name them, or there is one only.
    Own,
    /// A single column of values, for one case of several.
    One(usize),
    /// The same for all of them.
    All,
}

/// The changes of a table with headings over the lines of a sheet; `None` where its first line is none of headings, or all of it is for lines
/// of their own. `parted`: its columns were told by semicolons or blanks, which are columns only under headings that are known.
pub(super) fn lines(seen: Seen<'_>, plan: &Plan, first: At, table: &Table, parted: bool) -> Option<Made> {
    let joined = units_joined(table);
    let table = joined.as_deref().unwrap_or(table);
    let (heads, body) = table.split_first().filter(|(_, body)| !body.is_empty())?;
    let columns = Columns::told(table, usize::MAX, &seen.results.items)?;
    let is_known = columns.by_case() || columns.named;
    if columns.valued.is_empty() || !is_known && (parted || !columns.headed) {
        return None;
    }
    let finds = |row: &[String]| {
        let row = Row::of(row, &columns, &mut Left::default(), 0);
        !matches!(found(seen, &row), Found::None)
    };
    let by_name = columns.has_names();
    let finds_any = by_name && body.iter().any(|row| finds(row));
    // A line that names a quantity is one of values, whatever they are.
    let reads = !is_known && by_name && finds(heads);
    if !is_known && (reads || !are_headings(seen, plan, first, heads, &columns))
        || !by_name && are_choices(seen, plan, first, heads)
    {
        return None;
    }
    let cases = seen.results.items.len().max(1);
    let goes = match (columns.by_case(), cases, columns.valued.len()) {
        (true, ..) | (false, 1, 1) => For::Own,
        (false, _, 1) if columns.named => match plan.fields.get(first.column) {
            Some(Field::Value(case)) => For::One(*case),
            _ => For::All,
        },
        // Behind the last line nothing is lost by them.
        _ if by_name && !finds_any && (is_known || body.len() >= plan.quantities.len().saturating_sub(first.line)) => {
            return None;
        }
        _ => return Some(Err(refused(seen, heads, &columns))),
    };
    if by_name && !finds_any {
        // With words that are none of headings by themselves it may be a line like the others.
        return match is_known {
            true if columns.named && !columns.by_case() => None,
            true => pasted::lines(seen, table, Some(columns)).map(|made| made.map(behind_the_last)),
            false => Some(Err(refused(seen, heads, &columns))),
        };
    }
    Some(Over::new(seen, goes).pasted(plan, first, table, columns))
}

/// A table each of whose values has a unit in a column of its own: each unit beside its value.
fn units_joined(table: &Table) -> Option<Vec<Vec<String>>> {
    let (_, body) = table.split_first()?;
    let width = table.iter().map(Vec::len).max().unwrap_or(0);
    let units = (0..width).filter(|column| beside_values(body, *column) == Some(Field::Unit));
    let everywhere = |_: usize| Some(Field::Value(0));
    (units.count() > 1).then(|| pasted::with_units(table.to_vec(), &everywhere))
}

/// Whether words that nobody knows stand over values as headings: none of them can be meant as a value of the line that it would stand in.
fn are_headings(seen: Seen<'_>, plan: &Plan, first: At, heads: &[String], columns: &Columns) -> bool {
    let spot = |column: usize| {
        plan.spot(At {
            line: first.line,
            column: first.column + column,
        })
    };
    let is_over_value = |column: &usize| matches!(spot(*column).map(|spot| spot.field), Some(Field::Value(_)));
    let stands = |column: &usize| {
        let known = spot(*column).and_then(|spot| seen.quantity(spot.quantity));
        matches!(
            known.map(|known| &known.sort),
            Some(Sort::Text | Sort::Choice(_) | Sort::Truth)
        )
    };
    let is_heading = |column: &usize| {
        let head = cell(heads, *column);
        may_be_heading(head) && !stands(column) && !seen.reads_any(&syntax::parse(without_sign(head)).0, &[])
    };
    let go_over_values = columns.has_names() || columns.valued.iter().any(is_over_value);
    go_over_values && columns.valued.iter().all(is_heading)
}

/// Whether the words of a first line are choices of the quantity that they would stand in.
fn are_choices(seen: Seen<'_>, plan: &Plan, first: At, heads: &[String]) -> bool {
    let spot = plan.spot(first);
    let sort = spot
        .and_then(|spot| seen.quantity(spot.quantity))
        .map(|known| &known.sort);
    let Some(Sort::Choice(words)) = sort else { return false };
    let mut heads = heads.iter().map(|head| head.trim()).filter(|head| !head.is_empty());
    heads.all(|head| words.iter().any(|word| **word == *head))
}

/// Why a table with such headings goes nowhere.
fn refused(seen: Seen<'_>, heads: &[String], columns: &Columns) -> String {
    let words: Vec<Arc<str>> = columns
        .valued
        .iter()
        .map(|column| cell(heads, *column).into())
        .collect();
    let items: Vec<Arc<str>> = seen
        .results
        .items
        .iter()
        .filter(|name| !name.is_empty())
        .cloned()
        .collect();
    let words = named(&words);
    match items.len() {
        0 => format!(
            "The first line reads like headings, {words}, and this sheet has no cases: each line has one value. Nothing was pasted. Copy one column of values, or paste all of it into a new sheet, where each column is a case."
        ),
        _ => format!(
            "The first line reads like headings, {words}, and the cases here are called {}. Nothing was pasted. Give the headings or the cases the same names, or copy the values without their headings to paste them by their place.",
            named(&items)
        ),
    }
}

/// The quantity that a line of a table names.
enum Found {
    One(usize),
    /// Its words name several.
    Several,
    None,
}

fn found(seen: Seen<'_>, row: &Row<'_>) -> Found {
    let all = || seen.results.quantities.iter().enumerate();
    let called = |words: &str| -> Vec<usize> {
        if words.is_empty() {
            return Vec::new();
        }
        let by_symbol = all().filter(|(_, known)| *known.name == *words);
        let by_symbol: Vec<usize> = by_symbol.map(|(at, _)| at).collect();
        let words = words.to_lowercase();
        match by_symbol.is_empty() {
            true => all()
                .filter(|(_, known)| known.title.to_lowercase() == words)
                .map(|(at, _)| at)
                .collect(),
            false => by_symbol,
        }
    };
    let (by_symbol, by_label) = (called(&row.symbol), called(&row.label));
    let both: Vec<usize> = by_symbol.iter().filter(|at| by_label.contains(at)).copied().collect();
    let told = match (by_symbol.is_empty(), by_label.is_empty()) {
        (false, false) => both,
        (true, _) => by_label,
        (_, true) => by_symbol,
    };
    match told.as_slice() {
        [one] => Found::One(*one),
        // A symbol of one quantity beside the label of another is of none for sure.
        [] if row.symbol.is_empty() && row.label.is_empty() => Found::None,
        [] if called(&row.symbol).is_empty() && called(&row.label).is_empty() => Found::None,
        _ => Found::Several,
    }
}

/// What is pasted so far, and what is said of it.
struct Over<'a> {
    seen: Seen<'a>,
    goes: For,
    changes: Vec<Change>,
    left: Left,
    unknown: Unknown,
    went: Vec<Arc<str>>,
    cases: Vec<usize>,
    worked: Vec<Arc<str>>,
    twice: Vec<Arc<str>>,
    unclear: Vec<Arc<str>>,
    labels: Vec<Arc<str>>,
}

fn once<T: PartialEq>(all: &mut Vec<T>, one: T) {
    if !all.contains(&one) {
        all.push(one);
    }
}

impl<'a> Over<'a> {
    fn new(seen: Seen<'a>, goes: For) -> Over<'a> {
        Over {
            seen,
            goes,
            changes: Vec::new(),
            left: Left::default(),
            unknown: Unknown::default(),
            went: Vec::new(),
            cases: Vec::new(),
            worked: Vec::new(),
            twice: Vec::new(),
            unclear: Vec::new(),
            labels: Vec::new(),
        }
    }

    fn pasted(mut self, plan: &Plan, first: At, table: &Table, columns: Columns) -> Made {
        let by_name = columns.has_names();
        let mut new: Vec<usize> = Vec::new();
        let mut taken: Vec<usize> = Vec::new();
        for (number, line) in table.iter().enumerate().skip(1) {
            if line.iter().all(|text| text.trim().is_empty()) {
                continue;
            }
            let mut left = Left::default();
            let row = Row::of(line, &columns, &mut left, number);
            let at = match by_name {
                true => found(self.seen, &row),
                false => plan
                    .quantities
                    .get(first.line + number - 1)
                    .map_or(Found::None, |at| Found::One(*at)),
            };
            let nameless = by_name && row.symbol.is_empty() && row.label.is_empty();
            match at {
                Found::One(at) if taken.contains(&at) => {
                    self.twice
                        .extend(self.seen.quantity(at).map(|known| known.name.clone()));
                }
                Found::One(at) => {
                    taken.push(at);
                    self.left.join(left);
                    self.line(at, &row, line, &columns, number);
                }
                Found::Several => self.unclear.push(format!("{} {}", row.label, row.symbol).trim().into()),
                Found::None if nameless => self.left_over(line, &columns, number),
                Found::None => new.push(number),
            }
        }
        let new_lines = match new.is_empty() {
            true => None,
            false => {
                let line = |(number, row): (usize, &Vec<String>)| match number == 0 || new.contains(&number) {
                    true => row.clone(),
                    false => Vec::new(),
                };
                let others: Vec<Vec<String>> = table.iter().enumerate().map(line).collect();
                pasted::lines(self.seen, &others, Some(columns.clone()))
            }
        };
        let (more, behind) = new_lines.transpose()?.unwrap_or_default();
        self.changes.extend(more);
        let note = self.words(table, &columns, new.len(), behind);
        match self.changes.is_empty() {
            true => Err(note),
            false => Ok((self.changes, Some(note))),
        }
    }

    /// All of a line finds no place.
    fn left_over(&mut self, line: &[String], columns: &Columns, number: usize) {
        for column in &columns.valued {
            self.left.add(cell(line, *column), number, *column);
        }
    }

    /// A line of the table goes to a quantity.
    fn line(&mut self, at: usize, row: &Row<'_>, line: &[String], columns: &Columns, number: usize) {
        let seen = self.seen;
        let Some(known) = seen.quantity(at) else { return };
        let values: Vec<(usize, usize, String)> = columns
            .values()
            .zip(row.with_units())
            .enumerate()
            .filter(|(_, (_, text))| !text.trim().is_empty())
            .map(|(case, (column, text))| (case, column, text))
            .collect();
        let spot = |field| Spot { quantity: at, field };
        let is_said = |text: &String| !unknown::is_unknown_there(seen, spot(Field::Formula), text);
        if known.role != Role::Given {
            if values.iter().any(|(_, _, text)| is_said(text)) {
                once(&mut self.worked, known.name.clone());
            }
            return;
        }
        for column in columns.others() {
            self.left.add(cell(line, column), number, column);
        }
        for (case, column, text) in values {
            // A number whose unit nobody knows would become one in the unit of its place.
            let field = match self.goes {
                For::Own => Field::Value(case),
                For::One(case) => Field::Value(case),
                For::All => Field::Formula,
            };
            match self.unknown.take(seen, spot(field), &text) {
                Some(Ok(emptied)) => {
                    self.changes.extend(emptied);
                    continue;
                }
                Some(Err(_)) => {
                    self.left.misfit(cell(line, column), number, column);
                    continue;
                }
                None => {}
            }
            let made = Some(text).filter(|text| !row.no_unit || bare_with(text, "m").is_none());
            let made = made.filter(|_| seen.line(&known.name).is_some());
            match made.map(|text| seen.change(spot(field), &text)) {
                Some(Ok(made)) => {
                    self.changes.extend(made);
                    once(&mut self.went, known.name.clone());
                    if let Field::Value(case) = field {
                        once(&mut self.cases, case);
                    }
                }
                _ => self.left.misfit(cell(line, column), number, column),
            }
        }
        for field in [Field::Kind, Field::Source] {
            let Some(column) = columns.at(field) else { continue };
            let text = cell(line, column);
            if text.is_empty() || text == seen.typed(spot(field)) {
                continue;
            }
            match seen.change(spot(field), text) {
                Ok(made) => self.changes.extend(made),
                Err(_) => self.left.misfit(text, number, column),
            }
        }
        // What is given here stays given.
        if let Some(column) = columns.at(Field::Formula) {
            self.left.misfit(cell(line, column), number, column);
        }
        let is_other = !row.label.is_empty() && row.label.to_lowercase() != known.title.to_lowercase();
        if is_other && row.label != *known.name {
            once(&mut self.labels, known.name.clone());
        }
    }

    /// What is said of it: what went where, then what did not.
    fn words(&self, table: &Table, columns: &Columns, new: usize, behind: Option<String>) -> String {
        let items = &self.seen.results.items;
        let case = |at: &usize| items.get(*at).filter(|name| !name.is_empty()).cloned();
        let cases: Vec<Arc<str>> = self.cases.iter().filter_map(case).collect();
        let in_cases = match (self.goes, cases.len()) {
            (For::All, _) if items.len() > 1 => ", in all cases".to_owned(),
            (_, 0) => String::new(),
            (_, 1) => format!(", in the case {}", named(&cases)),
            _ => format!(", in the cases {}", named(&cases)),
        };
        let went = (!self.went.is_empty()).then(|| format!("Values went to {}{in_cases}.", named(&self.went)));
        let heads = table.first().map_or(&[][..], Vec::as_slice);
        let body = table.get(1..).unwrap_or(&[]);
        let others = columns.others().filter(|column| columns.valued.contains(column));
        let others = others.filter(|column| !cell(heads, *column).is_empty() && said(body, *column).next().is_some());
        let is_again = |column: &usize| {
            heads
                .iter()
                .take(*column)
                .any(|head| head.trim() == cell(heads, *column))
        };
        let (again, unknown): (Vec<usize>, Vec<usize>) = others.partition(is_again);
        let over = |columns: &[usize]| -> Vec<Arc<str>> { columns.iter().map(|at| cell(heads, *at).into()).collect() };
        let by_words = columns
            .by_words
            .iter()
            .filter_map(|(head, at)| Some(format!("{} to {}", quoted(head), case(at)?)));
        let by_words: Vec<String> = by_words.collect();
        let list =
            |before: &str, names: &[Arc<str>]| (!names.is_empty()).then(|| format!("{before} {}.", named(names)));
        let new = (new > 0).then(|| match new {
            1 => "1 line names no quantity here: it is a line of its own, behind the last one.".to_owned(),
            more => format!("{more} lines name no quantity here: they are lines of their own, behind the last one."),
        });
        let told = [
            went,
            self.unknown.told(),
            self.left.words(),
            list("No case here is called", &over(&unknown)),
            list(
                "Over several columns, of which the first was taken, stands",
                &over(&again),
            ),
            list(
                "More than one quantity is meant by what these lines are called, and they were not pasted:",
                &self.unclear,
            ),
            list("Named in several lines, of which the first was taken:", &self.twice),
            list("Worked here and not taken:", &self.worked),
            (!by_words.is_empty()).then(|| format!("Headings went by the name in them: {}.", by_words.join(", "))),
            list("The label stays as it was:", &self.labels),
            new,
            behind.or_else(|| Some(HEADED.to_owned())),
        ];
        told.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }
}
