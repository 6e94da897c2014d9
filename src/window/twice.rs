//! A copy of a sheet, of a case, of lines and of rows, beside what was copied: the same drive with another motor.
//!
//! Always: the copy has names of its own, and what it is made of reads them where it read those that were copied with it.
//! Not known here: the screen.

use std::sync::Arc;

use super::arrange::Plan;
use super::copied::renamed;
use super::many::{self, Made, Range};
use super::sheets::leave_file;
use super::spot::{Seen, fresh};
use crate::fault::Stands;
use crate::workbook::change::{self, Change, Place};
use crate::workbook::text::{quoted, row_text, write};
use crate::workbook::{Cell, Form, Statement, Workbook};

/// A name without the number it ends in: `P_2` is `P`.
fn base(name: &str) -> &str {
    match name.rsplit_once('_') {
        Some((base, number)) if !base.is_empty() && number.bytes().all(|digit| digit.is_ascii_digit()) => base,
        _ => name,
    }
}

/// Words that stand nowhere yet: `winter 2` behind `winter`, the next free number behind `M-007`.
fn numbered(words: &str, taken: impl Fn(&str) -> bool) -> String {
    let bare = words.trim_end_matches(|sign: char| sign.is_ascii_digit());
    let digits = words.len() - bare.len();
    let number = words.get(bare.len()..).and_then(|number| number.parse::<u32>().ok());
    let (bare, from) = match number {
        Some(number) if !bare.is_empty() => (bare.to_owned(), number.saturating_add(1)),
        _ => (format!("{words} "), 2),
    };
    let mut all = (from..).map(|number| format!("{bare}{number:0digits$}"));
    all.find(|words| !taken(words)).unwrap_or_default()
}

/// The sheet or list again, behind itself; a formula of it that names its sheet names the copy.
///
/// # Errors
/// Why it cannot be copied.
pub fn sheet(seen: Seen<'_>) -> Made {
    let book = seen.session.workbook();
    let from = &seen.sheet.name;
    let to = fresh(base(from), |name| book.sheets.iter().any(|sheet| *sheet.name == *name));
    let titles: Vec<&str> = book.sheets.iter().map(|sheet| sheet.title.as_str()).collect();
    let mut copy = seen.sheet.clone();
    let of_file = leave_file(&mut copy, book);
    let mut alone = Workbook {
        sheets: vec![copy],
        ..Workbook::default()
    };
    let mut steps = vec![Change::RenameSheet {
        from: from.clone(),
        to: to.clone(),
    }];
    if !seen.sheet.title.is_empty() {
        steps.push(Change::SetTitle {
            sheet: Some(to.clone()),
            title: numbered(&seen.sheet.title, |title| titles.contains(&title)).into(),
        });
    }
    let _ = change::apply(&mut alone, &Change::Several(steps)).map_err(|fault| fault.in_words())?;
    let insert = Change::InsertSheet {
        at: seen.at + 1,
        text: write(&alone).into(),
    };
    let but = match of_file {
        true => format!(" It is a list of its own: the file is read again for {from} alone."),
        false => String::new(),
    };
    Ok((vec![insert], Some(format!("{to} is a copy of {from}.{but}"))))
}

/// A case again, behind itself, with the values that are its own.
///
/// # Errors
/// Never; like the others.
pub fn case(seen: Seen<'_>, case: usize) -> Made {
    let cases = &seen.results.items;
    let Some(name) = cases.get(case).filter(|name| !name.is_empty()) else {
        return Err("Choose a value of the case first.".to_owned());
    };
    let to = numbered(name, |name| cases.iter().any(|known| **known == *name));
    let mut changes = vec![Change::InsertCase {
        sheet: seen.sheet.name.clone(),
        at: case + 1,
        name: to.as_str().into(),
    }];
    for line in &seen.sheet.lines {
        let Statement::Quantity(quantity) = &line.statement else {
            continue;
        };
        let own = quantity.values.get(case).filter(|_| quantity.values.len() > 1);
        if let Some(formula) = own.and_then(Option::as_ref) {
            changes.push(Change::SetValue {
                sheet: seen.sheet.name.clone(),
                quantity: quantity.name.clone(),
                case: Some(case + 1),
                text: formula.text.clone(),
            });
        }
    }
    Ok((changes, Some(format!("{to} is a copy of {name}."))))
}

/// The chosen lines or rows again, behind the last of them.
///
/// # Errors
/// Why they cannot be copied.
pub fn lines(seen: Seen<'_>, plan: &Plan, range: Range) -> Made {
    if seen.results.form == Form::List {
        let rows = many::rows(plan, range);
        return if rows.is_empty() {
            Err("Choose a row to copy; a column is copied with Copy and Paste.".to_owned())
        } else if plan.order.is_some() {
            Err("Rows are copied in the order of the list; show it so first.".to_owned())
        } else {
            copied_rows(seen, &rows)
        };
    }
    let chosen = many::quantities(plan, range);
    let found: Vec<(usize, Arc<str>, &str)> = chosen
        .iter()
        .filter_map(|at| {
            let name = &seen.quantity(*at)?.name;
            let (place, line) = seen.line(name)?;
            matches!(line.statement, Statement::Quantity(_)).then(|| (place, name.clone(), &*line.text))
        })
        .collect();
    let Some(behind) = found.iter().map(|(place, ..)| place + 1).max() else {
        return Ok((Vec::new(), None));
    };
    let mut taken: Vec<Arc<str>> = seen.results.quantities.iter().map(|known| known.name.clone()).collect();
    let mut others: Vec<(Arc<str>, Arc<str>)> = Vec::new();
    for (_, name, _) in &found {
        let new = fresh(base(name), |name| taken.iter().any(|known| **known == *name));
        taken.push(new.clone());
        others.push((name.clone(), new));
    }
    let inserted = found
        .iter()
        .enumerate()
        .map(|(number, (_, _, text))| Change::InsertLine {
            place: Place::Line(seen.at, behind + number),
            before: "".into(),
            text: renamed(text, others.get(number).map(|(_, to)| to), &others).into(),
        });
    let told: Vec<String> = others
        .iter()
        .map(|(from, to)| format!("{to} is a copy of {from}"))
        .collect();
    Ok((inserted.collect(), Some(format!("{}.", told.join(", ")))))
}

/// Rows again, each with a name that no other has.
fn copied_rows(seen: Seen<'_>, rows: &[usize]) -> Made {
    let Some(all) = &seen.sheet.rows else {
        return Ok((Vec::new(), None));
    };
    let mut taken: Vec<String> = seen.results.items.iter().map(|name| name.to_string()).collect();
    let key = |cells: &[Cell]| cells.iter().position(|cell| matches!(cell, Cell::Text(_)));
    let behind = rows.last().map_or(0, |row| row + 1);
    let mut changes = Vec::new();
    let mut own = Vec::new();
    for (number, row) in rows
        .iter()
        .filter_map(|row| Some((row, all.rows.get(*row)?)))
        .enumerate()
    {
        let (from, row) = row;
        let mut row = row.clone();
        let named = seen.results.items.get(*from).filter(|name| !name.is_empty());
        let mut key_of_copy = format!("row {}", behind + number + 1);
        if let (Some(name), Some(at)) = (named, key(&row.cells))
            && let Some(cell @ Cell::Text(_)) = row.cells.get_mut(at)
        {
            let new = numbered(name, |name| taken.iter().any(|known| known == name));
            *cell = Cell::Text(new.as_str().into());
            key_of_copy = quoted(&new);
            taken.push(new);
        }
        own.extend(own_formulas(seen, *from).map(|words| format!("at {key_of_copy} {words}")));
        changes.push(Change::InsertRow {
            list: seen.sheet.name.clone(),
            at: behind + number,
            text: row_text(&row).into(),
        });
    }
    let end = seen.sheet.lines.len();
    changes.extend(own.into_iter().enumerate().map(|(number, text)| Change::InsertLine {
        place: Place::Line(seen.at, end + number),
        before: "".into(),
        text: text.into(),
    }));
    Ok((changes, None))
}

/// What a row has formulas of its own for: the lines of them behind its name.
fn own_formulas<'a>(seen: Seen<'a>, row: usize) -> impl Iterator<Item = String> + 'a {
    let book = seen.session.workbook();
    seen.sheet.lines.iter().enumerate().filter_map(move |(at, line)| {
        let Statement::At { name, formula, .. } = &line.statement else {
            return None;
        };
        let of = book.item_at(Stands::Line(seen.at, at), &seen.results.items);
        let words = line.text.get(formula.at as usize..)?;
        (of == Some(row)).then(|| format!("{name} = {words}"))
    })
}
