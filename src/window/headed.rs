//! A table with headings pasted into a list that has rows: what goes into which column, and which row.
//!
//! Always: columns go by their headings and not by their place; a line of headings is never a row. A row goes to the one with its tag
//! where there is one, else to the end; where no tags are pasted, rows go on from the chosen one. A column alone whose heading names none goes
//! where it is pasted, which is said. What a heading means is told where it is
//! not the column's own; one that may be of the plate or measured replaces no plate value.
//! Not known here: the clipboard, the screen.

use std::collections::HashMap;

use super::arrange::{At, Plan};
use super::lent::Lent;
use super::pasted::{self, Left, Made, make_row};
use super::spot::{Field, Seen, Spot, is_value};
use super::table::{cell, heading, may_be_heading, said, says};
use super::unknown::Unknown;
use crate::language::check::Sort;
use crate::language::syntax;
use crate::language::work::{Outcome, Value};
use crate::plates::list::is_total;
use crate::plates::meant::{Meant, meant_by};
use crate::recalc::QuantityResults;
use crate::workbook::Role;
use crate::workbook::text::quoted;

/// Headings of a list that are told at most.
const TOLD: usize = 4;

/// A column of the table that has one in the list.
struct Column {
    quantity: usize,
    /// The unit its heading names.
    unit: String,
    /// Where its values go if they would replace others: readings of the same.
    measured: Option<usize>,
    /// The heading is none of the column's own.
    by_meaning: bool,
    /// What is worked here stays worked.
    works: bool,
}

/// Where a row of the table goes.
enum Goes {
    To(usize),
    Behind,
    /// Its tag stands in several rows.
    Nowhere,
}

/// The changes of a table with headings in a list; `None` where its first line is none of headings.
pub(super) fn rows(seen: Seen<'_>, plan: &Plan, first: At, table: &[Vec<String>]) -> Option<Made> {
    let [heads, body @ ..] = table else { return None };
    let mut columns = columns(seen, heads);
    let lone = lone(table);
    let is_known = lone.is_some_and(|at| {
        let chosen = plan.quantities.get(first.column + at).copied();
        names_values(seen, heads, (body, at), &columns, chosen)
    });
    if let Some(at) = lone.filter(|_| !is_known) {
        let quantity = *plan.quantities.get(first.column + at)?;
        let head = heads.get(at).map_or("", |head| head.trim());
        let placed = placed(seen, quantity, head, says(body, at))?;
        match placed {
            Ok(column) => {
                columns = (0..at).map(|_| None).collect();
                columns.push(Some(column));
            }
            Err(why) => return Some(Err(why)),
        }
    }
    // A column alone goes on from the chosen row, and from the first one where it is pasted over them.
    let line = match lone {
        Some(_) => first.line.max(plan.heads()),
        None => first.line,
    };
    let named = |quantity: usize| seen.quantity(quantity).map_or("", |known| &*known.name);
    let key = columns.iter().position(|column| {
        let at = column.as_ref().map(|column| column.quantity);
        lone.is_none() && at.is_some() && at == key_of(seen)
    });
    let are_over_values = || (key.is_some() || are_meant(heads)) && stand_over_values(heads, body, key);
    if body.is_empty() || lone.is_none() && !are_headings(heads, &columns) && !are_over_values() {
        return None;
    }
    let tagged = key.map(|_| rows_by_tag(seen)).unwrap_or_default();
    let goes = |number: usize, row: &[String]| match key.map(|key| row.get(key).map_or("", |tag| tag.trim())) {
        Some(tag) => match tagged.get(tag).map(Vec::as_slice) {
            Some([item]) => Goes::To(*item),
            Some(_) => Goes::Nowhere,
            None => Goes::Behind,
        },
        None => match plan.item(line + number).filter(|_| line >= plan.heads()) {
            Some(item) => Goes::To(item),
            None => Goes::Behind,
        },
    };
    let taken: Vec<usize> = columns.iter().flatten().map(|column| column.quantity).collect();
    let mut turned = Vec::new();
    for (at, column) in columns.iter_mut().enumerate() {
        let Some(column) = column else { continue };
        let Some(measured) = column.measured.filter(|measured| !taken.contains(measured)) else {
            continue;
        };
        let replaces = |(number, row): (usize, &Vec<String>)| {
            let text = row.get(at).map_or("", |text| text.trim());
            match goes(number, row) {
                Goes::To(item) if !text.is_empty() => !seen.shown(place(column.quantity, item), false).text.is_empty(),
                _ => false,
            }
        };
        if body.iter().enumerate().any(replaces) {
            turned.push(named(column.quantity).to_owned());
            column.quantity = measured;
            column.works = is_worked(seen, measured);
        }
    }
    let mut lent = Lent::default();
    for (at, column) in columns.iter_mut().enumerate() {
        let Some(column) = column.as_mut().filter(|column| column.unit.is_empty()) else {
            continue;
        };
        let head = heads.get(at).map_or("", String::as_str);
        let unit = lent.take(head, body, at, &seen.unit(column.quantity));
        column.unit = unit.unwrap_or_default();
    }
    let mut changes = Vec::new();
    let mut left = Left::default();
    let mut unknown = Unknown::default();
    let (mut new, mut known, mut totals) = (0, 0, 0);
    let mut twice: Vec<&str> = Vec::new();
    for (number, row) in body.iter().enumerate() {
        if row.iter().all(|text| text.trim().is_empty()) {
            continue;
        }
        if is_total(row, heads.len()) {
            totals += 1;
            continue;
        }
        let before = changes.len();
        let (item, is_there) = match goes(number, row) {
            Goes::To(item) => (item, true),
            Goes::Behind => {
                changes.push(make_row(seen, plan.items + new));
                new += 1;
                (plan.items + new - 1, false)
            }
            Goes::Nowhere => {
                twice.extend(key.and_then(|key| row.get(key)).map(|tag| tag.trim()));
                continue;
            }
        };
        for (at, text) in row.iter().enumerate().filter(|(_, text)| !text.trim().is_empty()) {
            // Its tag is what it was found by.
            if is_there && key == Some(at) {
                continue;
            }
            let Some(column) = columns.get(at).and_then(Option::as_ref).filter(|column| !column.works) else {
                continue;
            };
            let spot = place(column.quantity, item);
            match unknown.take(seen, spot, text) {
                Some(Ok(emptied)) => {
                    changes.extend(emptied);
                    continue;
                }
                Some(Err(_)) => {
                    left.misfit(text, number + 1, at);
                    continue;
                }
                None => {}
            }
            let text = pasted::beside(text.trim(), &column.unit);
            match seen.change(spot, &text) {
                Ok(made) => changes.extend(made),
                Err(_) => left.misfit(&text, number + 1, at),
            }
        }
        known += usize::from(is_there && changes.len() > before);
    }
    let strange = heads.iter().zip(&columns).filter(|(_, column)| column.is_none());
    let strange = strange.map(|(head, _)| head.trim()).filter(|head| !head.is_empty());
    let meant = heads.iter().zip(&columns).filter_map(|(head, column)| {
        let column = column.as_ref().filter(|column| column.by_meaning && !column.works)?;
        Some(format!("{} to {}", quoted(head.trim()), named(column.quantity)))
    });
    let works = columns.iter().flatten().filter(|column| column.works);
    let of_lone = || lone.and_then(|at| Some((heads.get(at)?.trim(), columns.get(at)?.as_ref()?)));
    let into = of_lone().filter(|(_, column)| !column.works && !changes.is_empty());
    let into = into.map(|(head, column)| match (is_known, named(column.quantity)) {
        (true, name) => format!("Values went into {name}, which their heading names."),
        (false, name) => format!(
            "The list has no column {}: values went into {name}, where they were pasted.",
            quoted(head)
        ),
    });
    let told = [
        into,
        counted(new, known, key.is_some()),
        // What is not there any more, or was not taken, is read before a note is cut.
        of_several(&twice),
        unknown.told(),
        left.words(),
        listed("The list has no column for", strange),
        listed("Worked here and not taken:", works.map(|column| named(column.quantity))),
        kept(&turned),
        pasted::went("by what their headings mean", &meant.collect::<Vec<_>>()),
    ];
    let behind = [
        pasted::totals_left(totals),
        Some(pasted::HEADED.to_owned()),
        held(plan, new),
    ];
    let note = told.into_iter().flatten().chain(lent.words());
    let note = note.chain(behind.into_iter().flatten()).collect::<Vec<_>>().join(" ");
    Some(if changes.is_empty() {
        Err(note)
    } else {
        Ok((changes, Some(note)))
    })
}

/// The only column of a table that anything stands in, under a heading.
fn lone(table: &[Vec<String>]) -> Option<usize> {
    let width = table.iter().map(Vec::len).max()?;
    let mut filled = (0..width).filter(|column| said(table, *column).next().is_some());
    let only = filled.next().filter(|_| filled.next().is_none())?;
    may_be_heading(cell(table.first()?, only)).then_some(only)
}

/// Whether a heading alone names a column of the list that takes what stands under it. `chosen`: the column that it is pasted into.
fn names_values(
    seen: Seen<'_>,
    heads: &[String],
    (body, at): (&[Vec<String>], usize),
    columns: &[Option<Column>],
    chosen: Option<usize>,
) -> bool {
    let column = columns.get(at).and_then(Option::as_ref);
    let Some((column, known)) = column.and_then(|column| Some((column, seen.quantity(column.quantity)?))) else {
        return false;
    };
    let values = says(body, at).filter(|text| is_value(text)).count();
    let are_values = values > 0 && 2 * values >= says(body, at).count();
    match known.sort {
        Sort::Quantity { .. } => are_values,
        // Words under other words are told by the very name of the column they are pasted into.
        _ => {
            let is_its = chosen == Some(column.quantity) && heads.get(at).is_some_and(|head| is_called(known, head));
            is_its && !are_values
        }
    }
}

/// A column alone whose heading names none of the list, in the one that it is pasted into; `None` where the first line may be a value there.
/// What is known to be of something else goes nowhere.
fn placed<'t>(
    seen: Seen<'_>,
    quantity: usize,
    head: &str,
    mut values: impl Iterator<Item = &'t str>,
) -> Option<Result<Column, String>> {
    let known = seen.quantity(quantity)?;
    let reads = seen.reads_any(&syntax::parse(head).0, &[]);
    if !matches!(known.sort, Sort::Quantity { .. }) || reads || !values.all(is_value) {
        return None;
    }
    let is_other = |meant: Meant| !meant.is_of(known) && !meant.as_measured().is_some_and(|other| other.is_of(known));
    if meant_by(head).is_some_and(is_other) {
        return Some(Err(format!(
            "The first line reads like a heading, {}, and the list has no such column. Nothing was pasted. Copy the values without it to paste them into {}.",
            quoted(head),
            known.name
        )));
    }
    Some(Ok(Column {
        quantity,
        unit: heading(head).1.unwrap_or_default(),
        measured: None,
        by_meaning: false,
        works: is_worked(seen, quantity),
    }))
}

/// What is said of new rows where a condition or an order chooses which are in sight.
pub(super) fn held(plan: &Plan, new: usize) -> Option<String> {
    plan.order.as_ref().filter(|_| new > 0)?;
    let rows = match new {
        1 => "1 new row stands".to_owned(),
        more => format!("{more} new rows stand"),
    };
    Some(format!(
        "{rows} at the end, whatever the condition or order, until rows are chosen or ordered again."
    ))
}

fn place(quantity: usize, item: usize) -> Spot {
    Spot {
        quantity,
        field: Field::Value(item),
    }
}

/// What was not replaced.
fn kept(turned: &[String]) -> Option<String> {
    let names = turned.join(", ");
    (!turned.is_empty())
        .then(|| format!("Plate values in {names} stay: a heading that does not say whether it is of the plate was taken as measured."))
}

/// Rows that have no place of their own.
fn of_several(tags: &[&str]) -> Option<String> {
    let rows = match tags.len() {
        1 => "1 row was not pasted".to_owned(),
        more => format!("{more} rows were not pasted"),
    };
    listed(
        &format!("{rows}, as several rows of the list have its tag"),
        tags.iter().copied(),
    )
}

/// The column of the list that each heading names, each once.
fn columns(seen: Seen<'_>, heads: &[String]) -> Vec<Option<Column>> {
    let mut taken: Vec<usize> = Vec::new();
    let columns = heads.iter().map(|head| {
        let found = column(seen, head).filter(|found| !taken.contains(&found.quantity))?;
        taken.push(found.quantity);
        Some(found)
    });
    columns.collect()
}

fn column(seen: Seen<'_>, head: &str) -> Option<Column> {
    let (words, unit) = heading(head);
    if words.is_empty() || is_value(head) {
        return None;
    }
    let there = || seen.results.quantities.iter().enumerate();
    let called = |text: &str| {
        there()
            .find(|(_, known)| is_called(known, text))
            .map(|(at, _)| (at, unit.clone(), None))
    };
    let of = |meant: Meant| {
        let given = there().position(|(_, known)| known.role == Role::Given && meant.is_of(known));
        let named = || there().position(|(_, known)| meant.given() == Some(&*known.name) && meant.is_of(known));
        given.or_else(named)
    };
    let meant = || {
        let meant = meant_by(head)?;
        let unit = meant.unit.map(str::to_owned);
        let measured = meant.as_measured().and_then(of);
        Some((of(meant).or(measured)?, unit, Some(measured)))
    };
    let (quantity, unit, meaning) = called(head).or_else(|| called(&words)).or_else(meant)?;
    Some(Column {
        quantity,
        unit: unit.unwrap_or_default(),
        measured: meaning.flatten(),
        by_meaning: meaning.is_some(),
        works: is_worked(seen, quantity),
    })
}

fn is_worked(seen: Seen<'_>, quantity: usize) -> bool {
    seen.quantity(quantity).is_some_and(|known| known.role != Role::Given)
}

/// Whether a quantity is called so: by its symbol, its label, or the heading it was read from.
fn is_called(quantity: &QuantityResults, words: &str) -> bool {
    let words = words.trim().to_lowercase();
    let names = [
        Some(&*quantity.name),
        Some(quantity.title.as_str()),
        quantity.from.as_deref(),
    ];
    names.into_iter().flatten().any(|name| name.to_lowercase() == words)
}

/// Whether a line is one of headings: words alone, and at least half of them, two or more, name columns of the list.
fn are_headings(heads: &[String], columns: &[Option<Column>]) -> bool {
    let filled = heads.iter().filter(|head| !head.trim().is_empty());
    let known = columns.iter().flatten().count();
    known >= 2 && 2 * known >= filled.clone().count() && !filled.into_iter().any(|head| is_value(head))
}

/// Whether at least half of some words, two or more, are known as headings of motors, whether the list has such columns or not.
fn are_meant(heads: &[String]) -> bool {
    let filled = heads.iter().filter(|head| !head.trim().is_empty());
    let known = filled.clone().filter(|head| meant_by(head).is_some()).count();
    known >= 2 && 2 * known >= filled.count()
}

/// Whether a line stands over values, besides the tags: words alone, and values under most of them.
fn stand_over_values(heads: &[String], body: &[Vec<String>], key: Option<usize>) -> bool {
    let others = heads
        .iter()
        .enumerate()
        .filter(|(at, head)| Some(*at) != key && !head.trim().is_empty());
    let over = |at: usize| {
        let mut filled = says(body, at).peekable();
        filled.peek().is_some() && filled.all(is_value)
    };
    let words = others.clone().count();
    words > 0
        && others.clone().all(|(_, head)| !is_value(head))
        && 2 * others.filter(|(at, _)| over(*at)).count() >= words
}

/// The first text of a list that is given names its rows.
fn key_of(seen: Seen<'_>) -> Option<usize> {
    let is_key = |known: &QuantityResults| known.role == Role::Given && matches!(known.sort, Sort::Text);
    seen.results.quantities.iter().position(is_key)
}

/// The rows of each tag.
fn rows_by_tag(seen: Seen<'_>) -> HashMap<String, Vec<usize>> {
    let mut out: HashMap<String, Vec<usize>> = HashMap::new();
    let cells = key_of(seen).and_then(|key| seen.quantity(key)).map(|key| &key.cells);
    for item in 0..seen.results.items.len() {
        if let Some(Outcome::Value(Value::Text(tag))) = cells.and_then(|cells| cells.get(item)) {
            out.entry(tag.trim().to_owned()).or_default().push(item);
        }
    }
    out
}

/// How many rows are new, and how many were there.
fn counted(new: usize, known: usize, by_tag: bool) -> Option<String> {
    let made = match new {
        0 => None,
        1 => Some("1 row is new".to_owned()),
        more => Some(format!("{more} rows are new")),
    };
    // Behind others they are rows too.
    let (row, rows) = if new == 0 { (" row", " rows") } else { ("", "") };
    let changed = match (known, by_tag) {
        (0, _) => None,
        (1, true) => Some(format!("1{row} was there by its tag and is changed")),
        (1, false) => Some(format!("1{row} that was there is changed")),
        (more, true) => Some(format!("{more}{rows} were there by their tags and are changed")),
        (more, false) => Some(format!("{more}{rows} that were there are changed")),
    };
    let told: Vec<String> = made.into_iter().chain(changed).collect();
    (!told.is_empty()).then(|| format!("{}.", told.join(", ")))
}

/// Some names behind their words: `The list has no column for: Dept, Zone.`
fn listed<'n>(before: &str, names: impl Iterator<Item = &'n str>) -> Option<String> {
    let names: Vec<&str> = names.collect();
    let more = match names.len().saturating_sub(TOLD) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let told = names.get(..names.len().min(TOLD))?.join(", ");
    let before = before.trim_end_matches(':');
    (!told.is_empty()).then(|| format!("{before}: {told}{more}."))
}
