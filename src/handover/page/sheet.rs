//! One worked sheet or one list on the page.

use std::collections::HashMap;

use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::Number;
use crate::recalc::{CheckResults, QuantityResults, SheetResults, TableUse, Verdict, banded_of};
use crate::workbook::{Form, Role, SourceWord};

use super::table::{Align, Cell, Column, Ink, Table, cut, width, wrap};
use super::{
    BAD, DOUBTFUL, FAILED, GOOD, Look, MISSING, OPEN, OWN, REFUSED, count, hang, number_text, one_line, role_mark,
    source_words, unit_text, value_text,
};

/// A list of up to this many rows is shown whole.
const ROWS_WHOLE: usize = 60;
/// Rows shown at the head of a longer list.
const ROWS_HEAD: usize = 40;
/// Rows shown at its end.
const ROWS_TAIL: usize = 10;
/// Widest text in a cell of a list.
const TEXT_IN_LIST: usize = 26;
/// How many notes are printed under a table.
const NOTES_SHOWN: usize = 40;
/// Items named in a note or a flag before the rest is counted.
const ITEMS_NAMED: usize = 6;

/// The sheet with its heading, table, notes, checks, flags and assumptions.
pub(super) fn sheet(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    if !out.is_empty() {
        out.push(String::new());
    }
    heading(out, sheet, None, look);
    for note in &sheet.notes {
        for line in super::clean(note).lines() {
            hang(out, "  ", line, look.width);
        }
        out.push(String::new());
    }
    let mut notes = Notes::default();
    match sheet.form {
        Form::Sheet => quantities_down(out, sheet, look, &mut notes),
        Form::List => rows_down(out, sheet, look, &mut notes),
    }
    notes.print(out, sheet, look);
    checks(out, sheet, look);
    flags(out, sheet, look);
    assumptions(out, sheet, look);
    sources(out, sheet, look);
}

/// Title at the left, name at the right, a rule below.
pub(super) fn heading(out: &mut Vec<String>, sheet: &SheetResults, before: Option<&str>, look: &Look<'_>) {
    let word = match sheet.form {
        Form::Sheet => "sheet",
        Form::List => "list",
    };
    let mut name = format!("{word} {}", one_line(&sheet.name));
    if sheet.form == Form::List {
        name.push_str(&format!(", {}", count(sheet.items.len(), "row")));
    }
    let mut title = one_line(if sheet.title.is_empty() {
        &sheet.name
    } else {
        &sheet.title
    });
    if let Some(before) = before {
        title = format!("{before}: {title}");
    }
    let title = cut(&title, look.width.saturating_sub(4));
    let free = look.width.saturating_sub(width(&title) + width(&name));
    if free < 2 {
        out.push(Ink::Strong.on(&title, look.colour));
        out.push(Ink::Faint.on(&cut(&name, look.width), look.colour));
    } else {
        let gap = " ".repeat(free);
        out.push(format!(
            "{}{gap}{}",
            Ink::Strong.on(&title, look.colour),
            Ink::Faint.on(&name, look.colour)
        ));
    }
    out.push(Ink::Faint.on(&"─".repeat(look.width), look.colour));
}

/// Why cells are blank or failed, each reason once.
#[derive(Default)]
struct Notes {
    list: Vec<Note>,
    /// Places in the list, by the text.
    known: HashMap<String, usize>,
}

/// A reason, and where it holds.
struct Note {
    text: String,
    names: Vec<String>,
    items: Vec<usize>,
}

/// The item is named behind the note; a reason that says its row would be another one in each row.
fn bare(text: &str, item: usize) -> &str {
    let text = text.strip_prefix("not worked: ").unwrap_or(text);
    match text.rsplit_once(" in row ") {
        Some((before, row)) if row.parse() == Ok(item + 1) => before,
        _ => text,
    }
}

impl Note {
    /// All items it holds for, shown or not.
    fn everywhere(&self, sheet: &SheetResults) -> Vec<usize> {
        let quantities: Vec<&QuantityResults> = sheet
            .quantities
            .iter()
            .filter(|quantity| self.names.iter().any(|name| *name == one_line(&quantity.name)))
            .collect();
        let holds = |item: &usize| {
            let mut outcomes = quantities.iter().filter_map(|quantity| quantity.cells.get(*item));
            outcomes.any(|outcome| match outcome {
                Outcome::Value(_) => false,
                Outcome::Blank(why) => bare(&one_line(why), *item) == self.text,
                Outcome::Fault(fault) => bare(&one_line(&fault.message), *item) == self.text,
            })
        };
        let items: Vec<usize> = (0..sheet.items.len()).filter(holds).collect();
        if items.is_empty() { self.items.clone() } else { items }
    }
}

impl Notes {
    /// The small number of a reason.
    fn mark(&mut self, quantity: &QuantityResults, item: usize, text: &str) -> String {
        let name = one_line(&quantity.name);
        let text = one_line(text);
        let text = bare(&text, item);
        let at = match self.known.get(text) {
            Some(at) => *at,
            None => {
                self.known.insert(text.to_owned(), self.list.len());
                self.list.push(Note {
                    text: text.to_owned(),
                    names: Vec::new(),
                    items: Vec::new(),
                });
                self.list.len() - 1
            }
        };
        if let Some(note) = self.list.get_mut(at) {
            if !note.names.contains(&name) {
                note.names.push(name);
            }
            if note.items.last() != Some(&item) {
                note.items.push(item);
            }
        }
        small(at + 1)
    }

    fn print(&self, out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
        for (index, note) in self.list.iter().enumerate().take(NOTES_SHOWN) {
            let mut line = format!("{}: {}", note.names.join(", "), note.text);
            // A long list shows some of its rows; the note tells how many it holds for in all.
            let items = note.everywhere(sheet);
            if sheet.items.len() > 1 && items.len() < sheet.items.len() {
                line.push_str(&format!(" [{}]", items_named(sheet, &items)));
            }
            hang(out, &format!("  {} ", small(index + 1)), &line, look.width);
        }
        let left = self.list.len().saturating_sub(NOTES_SHOWN);
        if left > 0 {
            let all = look.file.map_or(String::new(), |file| {
                format!("; all of them: polepair work {file} --json")
            });
            out.push(format!("  … and {}{all}", count(left, "more reason")));
        }
    }
}

/// `P-101, P-104 and 12 more`
fn items_named(sheet: &SheetResults, items: &[usize]) -> String {
    let names: Vec<String> = items.iter().take(ITEMS_NAMED).map(|i| item_name(sheet, *i)).collect();
    let mut text = names.join(", ");
    let left = items.len().saturating_sub(names.len());
    if left > 0 {
        text.push_str(&format!(" and {left} more"));
    }
    text
}

fn item_name(sheet: &SheetResults, item: usize) -> String {
    let key = sheet.items.get(item).map_or(String::new(), |key| one_line(key));
    if key.is_empty() {
        format!("row {}", item + 1)
    } else {
        key
    }
}

/// A whole number in small raised digits.
fn small(number: usize) -> String {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    number
        .to_string()
        .bytes()
        .filter_map(|b| DIGITS.get(usize::from(b.wrapping_sub(b'0'))).copied())
        .collect()
}

/// A cell of a quantity.
fn cell(quantity: &QuantityResults, item: usize, notes: &mut Notes) -> Cell {
    let Some(outcome) = quantity.cells.get(item) else {
        return Cell::new(MISSING, Ink::Faint);
    };
    let mut cell = match outcome {
        Outcome::Value(value) => {
            let ink = if quantity.role == Role::Given {
                Ink::Plain
            } else {
                Ink::Strong
            };
            let text = match (quantity.band(item), outcome.as_number()) {
                (Some(band), Some(number)) => banded_of(&number, band, quantity.role, quantity.rounding.as_ref()),
                _ => value_text(value, &quantity.sort, quantity.role, quantity.rounding.as_ref()),
            };
            Cell::new(text, ink)
        }
        // A given that is not given needs no reason, unless a formula stands in its place.
        Outcome::Blank(_) if quantity.role == Role::Given && quantity.own.binary_search(&item).is_err() => {
            Cell::new(MISSING, Ink::Faint)
        }
        Outcome::Blank(why) => {
            let mut cell = Cell::new(REFUSED, Ink::Doubt);
            cell.tail = notes.mark(quantity, item, why);
            cell
        }
        Outcome::Fault(fault) => {
            let mut cell = Cell::new(FAILED, Ink::Bad);
            cell.tail = notes.mark(quantity, item, &fault.message);
            cell
        }
    };
    if quantity.is_of_its_own(item) && matches!(outcome, Outcome::Value(_)) {
        cell.tail.push_str(OWN);
    }
    if let Some(typed) = quantity.typed_as(item) {
        cell.tail
            .push_str(&notes.mark(quantity, item, &format!("typed as {typed}")));
    }
    if let Some(note) = quantity.note(item) {
        cell.tail.push_str(&notes.mark(quantity, item, &note));
    }
    cell
}

/// What a quantity is called: its title, else the words of its kind.
fn label(quantity: &QuantityResults) -> Cell {
    if !quantity.title.is_empty() {
        return Cell::new(one_line(&quantity.title), Ink::Plain);
    }
    match &quantity.sort {
        Sort::Quantity { kind: Some(kind), .. } => Cell::new(kind.words(), Ink::Faint),
        _ => Cell::default(),
    }
}

/// Where a given comes from.
fn origin(quantity: &QuantityResults) -> String {
    let mut words = Vec::new();
    if let Some(source) = &quantity.source {
        words.push(source_words(source));
    }
    if let Some(from) = &quantity.from {
        words.push(format!("column \"{}\"", one_line(from)));
    }
    words.join(", ")
}

/// A worked sheet: quantities down, cases across.
fn quantities_down(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>, notes: &mut Notes) {
    if sheet.quantities.is_empty() {
        return;
    }
    let cases = sheet.items.len();
    let mut columns = vec![Column::firm(Align::Left), Column::firm(Align::Left), Column::soft(16)];
    columns.extend((0..cases).map(|_| Column::firm(Align::Right)));
    columns.extend([Column::firm(Align::Left), Column::soft(14)]);
    let mut rows = Vec::new();
    let mut headings = 0;
    if sheet.items.iter().any(|name| !name.is_empty()) {
        let mut row = vec![Cell::default(), Cell::default(), Cell::default()];
        row.extend(sheet.items.iter().map(|name| Cell::new(one_line(name), Ink::Faint)));
        row.extend([Cell::default(), Cell::default()]);
        rows.push(row);
        headings = 1;
    }
    for quantity in &sheet.quantities {
        let mut row = vec![
            Cell::new(role_mark(quantity.role), Ink::Faint),
            Cell::new(
                one_line(&quantity.name),
                if quantity.role == Role::Given {
                    Ink::Plain
                } else {
                    Ink::Strong
                },
            ),
            label(quantity),
        ];
        row.extend((0..cases).map(|item| cell(quantity, item, notes)));
        row.push(Cell::new(unit_text(&quantity.sort), Ink::Plain));
        row.push(Cell::new(origin(quantity), Ink::Faint));
        rows.push(row);
    }
    let table = Table {
        columns,
        left: 3,
        right: 2,
        headings,
        rows,
    };
    out.extend(table.lines(look.width, 2, look.colour));
}

/// A list: rows down, quantities across; what the columns are stands above.
fn rows_down(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>, notes: &mut Notes) {
    if sheet.quantities.is_empty() {
        return;
    }
    columns_told(out, sheet, look);
    if sheet.items.is_empty() {
        out.push("  no rows".to_owned());
        return;
    }
    out.push(String::new());
    let key = key_column(sheet);
    let shown: Vec<&QuantityResults> = sheet
        .quantities
        .iter()
        .enumerate()
        .filter(|(i, _)| Some(*i) != key)
        .map(|(_, q)| q)
        .collect();
    let key_name = key
        .and_then(|i| sheet.quantities.get(i))
        .map_or("row".to_owned(), |q| one_line(&q.name));
    let mut columns = vec![Column::firm(Align::Left)];
    columns.extend(
        shown
            .iter()
            .map(|q| Column::firm(if is_number(q) { Align::Point } else { Align::Left })),
    );
    let mut names = vec![Cell::new(key_name, Ink::Faint)];
    names.extend(
        shown
            .iter()
            .map(|q| Cell::new(format!("{} {}", role_mark(q.role), one_line(&q.name)), Ink::Faint)),
    );
    let mut units = vec![Cell::default()];
    units.extend(shown.iter().map(|q| Cell::new(unit_text(&q.sort), Ink::Faint)));
    let mut rows = vec![names, units];
    let total = sheet.items.len();
    let (head, tail) = if total <= ROWS_WHOLE {
        (total, 0)
    } else {
        (ROWS_HEAD, ROWS_TAIL)
    };
    let row = |item: usize, notes: &mut Notes| {
        let mut cells = vec![Cell::new(cut(&item_name(sheet, item), TEXT_IN_LIST), Ink::Plain)];
        cells.extend(shown.iter().map(|q| {
            let mut cell = cell(q, item, notes);
            cell.text = cut(&cell.text, TEXT_IN_LIST);
            cell
        }));
        cells
    };
    for item in 0..head {
        rows.push(row(item, notes));
    }
    if tail > 0 {
        let left = total - head - tail;
        let all = look.file.map_or(String::new(), |file| {
            format!("; all rows: polepair export {file} --to all.xlsx")
        });
        rows.push(vec![Cell::new(
            format!("… {} left out{all}", count(left, "row")),
            Ink::Faint,
        )]);
        for item in total - tail..total {
            rows.push(row(item, notes));
        }
        rows.extend(whole_column_rows(&shown));
    }
    let table = Table {
        columns,
        left: 1,
        right: 0,
        headings: 2,
        rows,
    };
    out.extend(table.lines(look.width, 2, look.colour));
}

/// The columns of a list one under the other: what they are and where they come from.
fn columns_told(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    let rows = sheet
        .quantities
        .iter()
        .map(|q| {
            vec![
                Cell::new(role_mark(q.role), Ink::Faint),
                Cell::new(
                    one_line(&q.name),
                    if q.role == Role::Given { Ink::Plain } else { Ink::Strong },
                ),
                label(q),
                Cell::new(unit_text(&q.sort), Ink::Plain),
                Cell::new(origin(q), Ink::Faint),
            ]
        })
        .collect();
    let table = Table {
        columns: vec![
            Column::firm(Align::Left),
            Column::firm(Align::Left),
            Column::soft(16),
            Column::firm(Align::Left),
            Column::soft(14),
        ],
        left: 5,
        right: 0,
        headings: 0,
        rows,
    };
    out.extend(table.lines(look.width, 2, look.colour));
}

/// The quantity that is the list's key, when the items are named by it: it then stands once, at the left.
fn key_column(sheet: &SheetResults) -> Option<usize> {
    let first = sheet
        .quantities
        .iter()
        .position(|q| q.role == Role::Given && matches!(q.sort, Sort::Text))?;
    let quantity = sheet.quantities.get(first)?;
    let same = quantity
        .cells
        .iter()
        .zip(sheet.items.iter())
        .all(|(cell, key)| match cell {
            Outcome::Value(Value::Text(text)) => text == key || key.is_empty(),
            _ => key.is_empty(),
        });
    same.then_some(first)
}

fn is_number(quantity: &QuantityResults) -> bool {
    matches!(quantity.sort, Sort::Quantity { .. })
}

/// What a long list holds over all its rows, shown or not.
fn whole_column_rows(shown: &[&QuantityResults]) -> Vec<Vec<Cell>> {
    let mut smallest = vec![Cell::new("smallest", Ink::Faint)];
    let mut largest = vec![Cell::new("largest", Ink::Faint)];
    let mut blank = vec![Cell::new("blank", Ink::Faint)];
    for quantity in shown {
        let mut ends: Option<(Number, Number)> = None;
        let mut missing = 0_usize;
        for cell in quantity.cells.iter() {
            match cell {
                Outcome::Value(Value::Number(n)) => {
                    ends = Some(match ends {
                        None => (*n, *n),
                        Some((low, high)) => (
                            if n.to_f64() < low.to_f64() { *n } else { low },
                            if n.to_f64() > high.to_f64() { *n } else { high },
                        ),
                    });
                }
                Outcome::Value(_) => {}
                Outcome::Blank(_) | Outcome::Fault(_) => missing += 1,
            }
        }
        let text = |n: &Number| number_text(n, quantity.role, quantity.rounding.as_ref());
        smallest.push(
            ends.as_ref()
                .map_or_else(Cell::default, |(low, _)| Cell::new(text(low), Ink::Faint)),
        );
        largest.push(
            ends.as_ref()
                .map_or_else(Cell::default, |(_, high)| Cell::new(text(high), Ink::Faint)),
        );
        blank.push(Cell::new(missing.to_string(), Ink::Faint));
    }
    vec![vec![Cell::new("over all rows", Ink::Faint)], smallest, largest, blank]
}

fn mark(verdict: &Verdict) -> (&'static str, Ink) {
    match verdict.holds {
        Some(_) if verdict.in_doubt => (DOUBTFUL, Ink::Doubt),
        Some(true) => (GOOD, Ink::Good),
        Some(false) => (BAD, Ink::Bad),
        None => (OPEN, Ink::Doubt),
    }
}

/// The checks with value, limit, margin.
fn checks(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    if sheet.checks.is_empty() {
        return;
    }
    out.push(String::new());
    let several = sheet.items.len() > 1;
    let row = |mark: (&'static str, Ink), text: &str, item: &str, verdict: &Verdict| {
        let (value, limit) = verdict.sides.clone().unwrap_or_default();
        let margin = match (verdict.holds, &verdict.why) {
            (None, Some(why)) => one_line(why),
            _ if verdict.in_doubt => match verdict.margins() {
                Some(margins) => format!("in doubt, {margins}"),
                None => "in doubt".to_owned(),
            },
            _ => verdict.margins().unwrap_or_default(),
        };
        vec![
            Cell::new(mark.0, mark.1),
            Cell::new(text, if mark.1 == Ink::Bad { Ink::Strong } else { Ink::Plain }),
            Cell::new(item, Ink::Faint),
            Cell::new(one_line(&value), Ink::Strong),
            Cell::new(one_line(&limit), Ink::Plain),
            Cell::new(margin, mark.1),
        ]
    };
    let mut rows = vec![
        ["", "check", "", "value", "limit", "margin"]
            .into_iter()
            .map(|t| Cell::new(t, Ink::Faint))
            .collect::<Vec<_>>(),
    ];
    for check in &sheet.checks {
        let text = check_words(check);
        if sheet.form == Form::List && several {
            rows.extend(check_of_list(sheet, check, &text, &row));
            continue;
        }
        for (item, verdict) in check.cells.iter().enumerate() {
            let name = if several { item_name(sheet, item) } else { String::new() };
            rows.push(row(mark(verdict), if item == 0 { &text } else { "" }, &name, verdict));
        }
    }
    let table = Table {
        columns: vec![
            Column::firm(Align::Left),
            Column::soft(18),
            Column::firm(Align::Left),
            Column::firm(Align::Right),
            Column::firm(Align::Right),
            Column::soft(10),
        ],
        left: 6,
        right: 0,
        headings: 1,
        rows,
    };
    out.extend(table.lines(look.width, 2, look.colour));
}

fn check_words(check: &CheckResults) -> String {
    one_line(if check.text.is_empty() {
        &check.formula
    } else {
        &check.text
    })
}

/// Makes a row of the table of checks: mark, text, item, verdict.
type RowOf = dyn Fn((&'static str, Ink), &str, &str, &Verdict) -> Vec<Cell>;

/// A check over a list: how many rows hold, then the rows that do not.
fn check_of_list(sheet: &SheetResults, check: &CheckResults, text: &str, row: &RowOf) -> Vec<Vec<Cell>> {
    let holds = check.cells.iter().filter(|v| v.passes()).count();
    let doubtful = check.cells.iter().filter(|v| v.in_doubt).count();
    let open = check.cells.iter().filter(|v| v.holds.is_none()).count();
    let total = check.cells.len();
    let fails = total - holds - open - doubtful;
    let ink = match (fails, open + doubtful) {
        (0, 0) => (GOOD, Ink::Good),
        (0, _) => (OPEN, Ink::Doubt),
        _ => (BAD, Ink::Bad),
    };
    let mut words = format!("{text}: holds for {holds} of {total}");
    if doubtful > 0 {
        words.push_str(&format!(", {doubtful} in doubt"));
    }
    if open > 0 {
        words.push_str(&format!(", {open} not worked"));
    }
    let none = Verdict {
        holds: Some(true),
        in_doubt: false,
        sides: None,
        margin: None,
        least: None,
        why: None,
    };
    let mut rows = vec![row(ink, &words, "", &none)];
    let failing: Vec<(usize, &Verdict)> = check
        .cells
        .iter()
        .enumerate()
        .filter(|(_, v)| v.holds == Some(false) || v.in_doubt)
        .collect();
    rows.extend(
        failing
            .iter()
            .take(ROWS_TAIL * 2)
            .map(|(item, v)| row(mark(v), "", &item_name(sheet, *item), v)),
    );
    let left = failing.len().saturating_sub(ROWS_TAIL * 2);
    if left > 0 {
        rows.push(row((BAD, Ink::Bad), &format!("and {left} more"), "", &none));
    }
    rows
}

/// Flags that are raised, with the items they are raised for.
fn flags(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    let mut first = true;
    for flag in &sheet.flags {
        let raised: Vec<usize> = flag
            .cells
            .iter()
            .enumerate()
            .filter(|(_, v)| v.holds == Some(true))
            .map(|(i, _)| i)
            .collect();
        if raised.is_empty() {
            continue;
        }
        if std::mem::take(&mut first) {
            out.push(String::new());
        }
        let mut text = check_words(flag);
        if sheet.items.len() > 1 {
            text.push_str(&format!(": {}", items_named(sheet, &raised)));
        }
        let start = out.len();
        hang(out, "  ▲ ", &text, look.width);
        for line in out.iter_mut().skip(start) {
            *line = Ink::Doubt.on(line, look.colour);
        }
    }
}

/// What the sheet takes for granted.
fn assumptions(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    let assumed: Vec<String> = sheet
        .quantities
        .iter()
        .filter(|q| q.source.as_ref().is_some_and(|s| s.word == SourceWord::Assumed))
        .map(|q| {
            let mut words = one_line(&q.name);
            if !q.title.is_empty() {
                words.push_str(&format!(" ({})", one_line(&q.title)));
            }
            words
        })
        .collect();
    if !assumed.is_empty() {
        out.push(String::new());
        listed(out, "  Assumed: ", &assumed.join(", "), look);
    }
}

/// The published tables the sheet rests on, and which of its lines do.
fn sources(out: &mut Vec<String>, sheet: &SheetResults, look: &Look<'_>) {
    let mut used: Vec<(&TableUse, Vec<String>)> = Vec::new();
    let quantities = sheet.quantities.iter().map(|q| (one_line(&q.name), &q.tables));
    let judged = sheet.checks.iter().chain(&sheet.flags);
    let lines = quantities.chain(judged.map(|check| (format!("\"{}\"", one_line(&check.text)), &check.tables)));
    for (name, tables) in lines {
        for table in tables {
            match used.iter_mut().find(|(known, _)| *known == table) {
                Some((_, names)) => names.push(name.clone()),
                None => used.push((table, vec![name.clone()])),
            }
        }
    }
    if used.is_empty() {
        return;
    }
    out.push(String::new());
    for (table, names) in used {
        let text = format!("{} ({})", one_line(&table.words()), names.join(", "));
        listed(out, "  Table ", &text, look);
    }
}

/// A text behind a mark, wrapped under itself.
fn listed(out: &mut Vec<String>, mark: &str, text: &str, look: &Look<'_>) {
    let room = look.width.saturating_sub(width(mark)).max(20);
    for (index, line) in wrap(text, room).into_iter().enumerate() {
        let lead = if index == 0 {
            mark.to_owned()
        } else {
            " ".repeat(width(mark))
        };
        out.push(format!("{lead}{line}"));
    }
}
