//! What only shows when several lines are looked at together: names defined twice, counts of cases, items that are not there.
//!
//! Always: the codes of `OURS` are found here and nowhere else, so looking again takes the old faults away first. Rows are
//! looked at only where a line asks for one of them.

use std::collections::{HashMap, HashSet};

use super::text::quoted;
use super::{Cell, Form, KindText, Line, Sheet, Statement, VERSION, Workbook};
use crate::fault::{Code, Fault, Span};
use crate::language::functions;
use crate::language::syntax::{Item, Name, canonical_name, look_alike};
use crate::quantity::nearest::nearest;

/// Codes found here and nowhere else.
const OURS: &[Code] = &[
    Code::NO_VERSION,
    Code::OTHER_VERSION,
    Code::DEFINED_TWICE,
    Code::CASE_COUNT,
    Code::UNKNOWN_ITEM,
    Code::KEY_NOT_UNIQUE,
    Code::UNKNOWN_COLUMN,
    Code::LOOK_ALIKE,
    Code::LINE_MISPLACED,
];

fn forget(line: &mut Line) {
    line.faults.retain(|fault| !OURS.contains(&fault.code));
}

/// Whether the line itself could be read, whatever is wrong with it beside the lines around it.
pub(crate) fn is_read(line: &Line) -> bool {
    !line
        .faults
        .iter()
        .any(|fault| fault.is_error() && !OURS.contains(&fault.code))
}

/// Whether putting one line in place of the other changes nothing of what the lines say together: the same quantity with as many
/// values, and nothing found here in either. Then a large sheet need not be looked at again for one new value.
pub(super) fn same_together(old: &Line, new: &Line) -> bool {
    let text = |kind: &Option<KindText>| matches!(kind, Some(KindText::Text));
    let found = |line: &Line| line.faults.iter().any(|fault| OURS.contains(&fault.code));
    match (&old.statement, &new.statement) {
        (Statement::Quantity(a), Statement::Quantity(b)) => {
            a.name == b.name
                && a.values.len() == b.values.len()
                && text(&a.kind) == text(&b.kind)
                && old.number == new.number
                && !found(old)
                && !found(new)
        }
        _ => false,
    }
}

/// Looks at the head and at the opening lines of the sheets.
pub fn workbook(book: &mut Workbook) {
    let mut names: HashMap<Name, u32> = HashMap::new();
    let mut defined: HashMap<Name, u32> = HashMap::new();
    for line in &mut book.head {
        forget(line);
        let whole = Span::new(0, line.text.find('\n').unwrap_or(line.text.len()));
        let belongs = match &line.statement {
            Statement::Workbook(_)
            | Statement::About(..)
            | Statement::Note(_)
            | Statement::Define { .. }
            | Statement::Curve { .. }
            | Statement::Units(_)
            | Statement::Accept { .. }
            | Statement::Version(_)
            | Statement::Opening { .. }
            | Statement::Faulty => None,
            Statement::Rows | Statement::Read { .. } | Statement::At { .. } => {
                Some("a list: open one before with `list NAME`")
            }
            _ => Some("a sheet: open one before with `sheet NAME`"),
        };
        if let Some(home) = belongs {
            line.faults.push(misplaced(whole, home));
        }
        define_once(line, &mut defined);
    }
    for sheet in &mut book.sheets {
        forget(&mut sheet.opening);
        if let Some(number) = names.insert(sheet.name.clone(), sheet.opening.number) {
            let span = name_in(&sheet.opening.text, &sheet.name);
            sheet
                .opening
                .faults
                .push(twice(span, &sheet.name, number, "sheet or list"));
        }
    }
    version(book);
}

/// The first line, and no other, says the version.
fn version(book: &mut Workbook) {
    let head_is_empty = book.head.is_empty();
    let opening = if head_is_empty {
        book.sheets.first_mut().map(|sheet| &mut sheet.opening)
    } else {
        None
    };
    for (place, line) in book.head.iter_mut().chain(opening).enumerate() {
        let whole = Span::new(0, line.text.find('\n').unwrap_or(line.text.len()));
        let fault = match (place, &line.statement) {
            (0, Statement::Version(VERSION)) => continue,
            (0, Statement::Version(other)) => Fault::new(
                Code::OTHER_VERSION,
                whole,
                format!("the workbook is in version {other} of the text; this program reads version {VERSION}"),
            )
            .help("open it with a newer program, or have it written in version 1"),
            (0, Statement::Faulty) if line.faults.iter().any(|fault| fault.code == Code::NOT_TEXT) => continue,
            (0, Statement::Faulty) if line.text.starts_with("polepair") => continue,
            (0, _) => Fault::new(
                Code::NO_VERSION,
                whole,
                if line.text.is_empty() {
                    "the workbook is empty; it begins with the line `polepair 1`"
                } else {
                    "the workbook does not begin with the line `polepair 1`"
                },
            )
            .help("put `polepair 1` before everything else")
            .fix("put the version first", Span::new(0, 0), "polepair 1\n"),
            (_, Statement::Version(_)) => Fault::new(
                Code::LINE_MISPLACED,
                whole,
                "the version stands in the first line of a workbook only",
            )
            .help("take this line away"),
            _ => continue,
        };
        line.faults.push(fault);
    }
}

/// Looks at all lines of a sheet.
pub fn sheet(sheet: &mut Sheet) {
    let mut cases = 0usize;
    let mut stepped: Option<Name> = None;
    for line in &mut sheet.lines {
        forget(line);
        match &line.statement {
            Statement::Cases(names) => cases = names.len(),
            Statement::CasesOver { name, .. } => stepped = Some(name.clone()),
            _ => {}
        }
    }
    let list = sheet.form == Form::List;
    let mut defined: HashMap<Name, u32> = HashMap::new();
    let mut looks: HashMap<String, Name> = HashMap::new();
    let (mut seen_cases, mut seen_rows) = (false, false);
    for line in &mut sheet.lines {
        let whole = Span::new(0, line.text.find('\n').unwrap_or(line.text.len()));
        match &line.statement {
            Statement::Version(_) => line.faults.push(
                Fault::new(
                    Code::LINE_MISPLACED,
                    whole,
                    "the version stands in the first line of a workbook only",
                )
                .help("take this line away"),
            ),
            Statement::Workbook(_) | Statement::About(..) => {
                line.faults.push(misplaced(
                    whole,
                    "the head of the workbook, before the first sheet or list",
                ));
            }
            Statement::Rows | Statement::Read { .. } | Statement::At { .. } if !list => {
                line.faults.push(misplaced(whole, "a list: open one with `list NAME`"));
            }
            Statement::Cases(_) | Statement::CasesOver { .. } if list => {
                line.faults
                    .push(misplaced(whole, "a worked sheet; the items of a list are its rows"));
            }
            Statement::Cases(_) | Statement::CasesOver { .. } if seen_cases => line.faults.push(
                Fault::new(Code::DEFINED_TWICE, whole, "the cases of this sheet are named already")
                    .help("put all cases in one line"),
            ),
            Statement::Rows if seen_rows => line.faults.push(
                Fault::new(Code::DEFINED_TWICE, whole, "the list has a `rows` line already")
                    .help("put all rows under the first one"),
            ),
            _ => {}
        }
        match &line.statement {
            Statement::Cases(names) => {
                seen_cases = true;
                let mut known: HashSet<Name> = HashSet::new();
                if let Some(name) = names.iter().find(|name| !known.insert((*name).clone())) {
                    let fault = Fault::new(
                        Code::DEFINED_TWICE,
                        last_in(&line.text, name),
                        format!("the case `{name}` is named twice"),
                    )
                    .help("give each case a name of its own");
                    line.faults.push(fault);
                }
            }
            Statement::CasesOver { .. } => seen_cases = true,
            Statement::Rows => seen_rows = true,
            Statement::Quantity(quantity) => {
                let given = quantity.values.len();
                if given > 1 && (list || stepped.is_none() && given != cases.max(1)) {
                    let values = quantity.values.iter().flatten();
                    let span = values
                        .map(|formula| Span::new(formula.at as usize, formula.at as usize + formula.text.len()))
                        .reduce(Span::join)
                        .unwrap_or(quantity.name_span);
                    let (message, help) = if list {
                        (
                            format!(
                                "`{}` has {given} values, but a list has rows and no cases",
                                quantity.name
                            ),
                            "give one value for all rows, or name the quantity in the `rows` line".to_owned(),
                        )
                    } else if cases == 0 {
                        (
                            format!("`{}` has {given} values, but the sheet has no cases", quantity.name),
                            "name the cases in a line of their own: `cases winter | summer`".to_owned(),
                        )
                    } else {
                        (
                            format!(
                                "`{}` has {given} values, but the sheet has {cases} cases",
                                quantity.name
                            ),
                            "give one value for all cases, or one for each; an empty place is a blank".to_owned(),
                        )
                    };
                    line.faults.push(Fault::new(Code::CASE_COUNT, span, message).help(help));
                }
            }
            _ => {}
        }
        define_once(line, &mut defined);
        look(line, &mut looks);
    }
    columns(sheet);
    items(sheet);
}

fn misplaced(span: Span, home: &str) -> Fault {
    Fault::new(Code::LINE_MISPLACED, span, "this line cannot stand here").help(format!("it belongs to {home}"))
}

fn twice(span: Span, name: &str, number: u32, what: &str) -> Fault {
    let place = if number == 0 {
        String::new()
    } else {
        format!(" in line {number}")
    };
    Fault::new(
        Code::DEFINED_TWICE,
        span,
        format!("`{name}` stands for a {what}{place} already"),
    )
    .help("give one of the two another name")
}

/// The name a line defines.
pub(super) fn defines(statement: &Statement) -> Option<&Name> {
    match statement {
        Statement::Quantity(quantity) => Some(&quantity.name),
        Statement::Curve { name, .. } | Statement::Define { name, .. } => Some(name),
        _ => None,
    }
}

fn define_once(line: &mut Line, defined: &mut HashMap<Name, u32>) {
    let Some(name) = defines(&line.statement).cloned() else {
        return;
    };
    let span = name_in(&line.text, &name);
    if let Some(what) = taken(&name, &line.statement) {
        line.faults.push(
            Fault::new(
                Code::DEFINED_TWICE,
                span,
                format!("`{name}` stands for a {what} of the language already"),
            )
            .help("take another name"),
        );
    }
    match defined.get(&name) {
        Some(number) => line.faults.push(twice(span, &name, *number, "quantity")),
        None => {
            defined.insert(name, line.number);
        }
    }
}

/// What a name means everywhere: a constant, or a function that has no formula of its own. Motor formulas may be defined anew.
fn taken(name: &str, statement: &Statement) -> Option<&'static str> {
    if functions::constant(name).is_some() {
        return Some("constant");
    }
    let called = matches!(statement, Statement::Curve { .. } | Statement::Define { .. });
    let function = functions::find(name).filter(|_| called)?;
    (!matches!(function.body, functions::Body::Formula(_))).then_some("function")
}

/// Warns of two names that look the same.
fn look(line: &mut Line, looks: &mut HashMap<String, Name>) {
    let Some(name) = defines(&line.statement).cloned() else {
        return;
    };
    let look = look_alike(&name);
    match looks.get(&look) {
        Some(other) if *other != name => {
            let span = name_in(&line.text, &name);
            let fault = Fault::new(
                Code::LOOK_ALIKE,
                span,
                format!("`{name}` looks like `{other}`, but is written with letters of another alphabet"),
            )
            .help(format!(
                "where `{other}` is meant, type it again; else choose a name that looks different"
            ));
            line.faults.push(fault);
        }
        Some(_) => {}
        None => {
            looks.insert(look, name);
        }
    }
}

/// Every column is a given of the list, and stands once.
fn columns(sheet: &mut Sheet) {
    let Some(rows) = &sheet.rows else { return };
    let givens: HashSet<&str> = sheet
        .lines
        .iter()
        .filter_map(|line| defines(&line.statement))
        .map(AsRef::as_ref)
        .collect();
    let mut faults = Vec::new();
    let Some(place) = sheet
        .lines
        .iter()
        .position(|line| matches!(line.statement, Statement::Rows))
    else {
        return;
    };
    let text = sheet.lines.get(place).map(|line| line.text.clone()).unwrap_or_default();
    let mut known: HashSet<&str> = HashSet::new();
    for (index, name) in rows.columns.iter().enumerate() {
        let span = column_span(&text, index);
        if !known.insert(name) {
            faults.push(twice(span, name, 0, "column"));
        } else if !givens.contains(name.as_ref()) {
            let near = nearest(name, givens.iter().copied(), 2);
            let fault = Fault::new(
                Code::UNKNOWN_COLUMN,
                span,
                format!("`{name}` is no quantity of this list"),
            );
            faults.push(match near.as_slice() {
                [] => fault.help(format!("write a line `given {name}` with its unit or kind")),
                near => fault.help(format!("is it `{}`?", near.join("` or `"))),
            });
        }
    }
    if let Some(line) = sheet.lines.get_mut(place) {
        line.faults.extend(faults);
    }
}

/// Where a column stands in the `rows` line.
fn column_span(text: &str, index: usize) -> Span {
    let body = text.get(4..).unwrap_or("");
    let mut at = 4;
    for (place, part) in body.split('|').enumerate() {
        if place == index {
            let name = part.split('#').next().unwrap_or("").trim();
            let start = at + part.find(name).unwrap_or(0);
            return Span::new(start, start + name.len());
        }
        at += part.len() + 1;
    }
    Span::new(0, text.len())
}

/// Every `at` line speaks of a row that is there and of a quantity of the list.
fn items(sheet: &mut Sheet) {
    if !sheet
        .lines
        .iter()
        .any(|line| matches!(line.statement, Statement::At { .. }))
    {
        return;
    }
    let keys = rows_by_key(sheet);
    let count = sheet.rows.as_ref().map_or(0, |rows| rows.rows.len());
    let names: Vec<Name> = sheet
        .lines
        .iter()
        .filter_map(|line| defines(&line.statement))
        .cloned()
        .collect();
    // Groups take their rows from another list; what those are is not known here.
    let groups = matches!(sheet.opening.statement, Statement::Opening { groups: Some(_) });
    for line in &mut sheet.lines {
        let Statement::At { item, name, .. } = &line.statement else {
            continue;
        };
        let mut faults = Vec::new();
        if !groups {
            faults.extend(of_item(&line.text, item, name, &keys, count));
        }
        if !names.contains(name) {
            let near = nearest(name, names.iter().map(AsRef::as_ref), 3);
            let fault = Fault::new(
                Code::UNKNOWN_ITEM,
                name_in(&line.text, name),
                format!("the list has no quantity `{name}`"),
            );
            faults.push(match near.as_slice() {
                [] => fault.help(format!("write a line `given {name}` before")),
                near => fault.help(format!("is it `{}`?", near.join("` or `"))),
            });
        }
        line.faults.extend(faults);
    }
}

/// What is wrong with the row that an `at` line names.
fn of_item(text: &str, item: &Item, name: &Name, keys: &HashMap<Name, Vec<usize>>, count: usize) -> Option<Fault> {
    match item {
        Item::Key(key) => match keys.get(key).map(Vec::as_slice) {
            Some([_]) => None,
            Some(rows) => Some(of_several(text, key, name, rows)),
            None => Some(of_none(text, key, keys)),
        },
        Item::Row(row) if *row == 0 || *row as usize > count => {
            let fault = Fault::new(
                Code::UNKNOWN_ITEM,
                last_in(text, &row.to_string()),
                format!("there is no row {row}; the list has {count}"),
            );
            Some(fault.help("rows are counted from 1"))
        }
        Item::Row(_) | Item::Same => None,
    }
}

fn of_none(text: &str, key: &Name, keys: &HashMap<Name, Vec<usize>>) -> Fault {
    let fault = Fault::new(
        Code::UNKNOWN_ITEM,
        last_in(text, key),
        format!("no row of the list is called `{key}`"),
    );
    match nearest(key, keys.keys().map(AsRef::as_ref), 3).as_slice() {
        [] => fault.help("rows are called by the first text of the list; `at row 12` goes by the number"),
        near => {
            let help = format!("is it `{}`?", near.join("` or `"));
            let choices = near.iter().map(|near| (format!("it is {near}"), quoted(near)));
            with_choices(fault.help(help), text, key, choices)
        }
    }
}

/// A value that could belong to several rows goes to none of them: which one is asked.
fn of_several(text: &str, key: &Name, name: &Name, rows: &[usize]) -> Fault {
    let numbers: Vec<String> = rows.iter().take(ROWS_TOLD).map(|row| (row + 1).to_string()).collect();
    let said = match numbers.split_last() {
        _ if rows.len() > ROWS_TOLD => format!("{} and {} more", numbers.join(", "), rows.len() - ROWS_TOLD),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    };
    let fault = Fault::new(
        Code::KEY_NOT_UNIQUE,
        last_in(text, key),
        format!("`{key}` stands in rows {said}, so this `{name}` belongs to none of them yet"),
    )
    .help(format!(
        "write `at row {}` in place of `at {}`, or give each row a name of its own",
        numbers.join("` or `at row "),
        quoted(key)
    ));
    let choices = numbers
        .iter()
        .map(|row| (format!("it is row {row}"), format!("row {row}")));
    with_choices(fault, text, key, choices)
}

/// Offers other rows in the place of the key, each with its label.
fn with_choices(fault: Fault, text: &str, key: &str, choices: impl Iterator<Item = (String, String)>) -> Fault {
    let key = quoted(key);
    match text.find(&key) {
        Some(at) => choices.fold(fault, |fault, (label, row)| {
            fault.fix(label, Span::new(at, at + key.len()), row)
        }),
        None => fault,
    }
}

/// Rows of one name that a fault tells at most.
const ROWS_TOLD: usize = 4;

/// The column of keys of a list: its first text.
pub fn key_column(sheet: &Sheet) -> Option<usize> {
    let key = sheet.lines.iter().find_map(|line| match &line.statement {
        Statement::Quantity(quantity) if matches!(quantity.kind, Some(KindText::Text)) => Some(&quantity.name),
        _ => None,
    })?;
    sheet.rows.as_ref()?.columns.iter().position(|column| column == key)
}

/// The rows of each key of a list, in order.
pub fn rows_by_key(sheet: &Sheet) -> HashMap<Name, Vec<usize>> {
    let mut keys: HashMap<Name, Vec<usize>> = HashMap::new();
    let Some(column) = key_column(sheet) else {
        return keys;
    };
    for (row, cells) in sheet.rows.iter().flat_map(|rows| rows.rows.iter()).enumerate() {
        if let Some(Cell::Text(key)) = cells.cells.get(column) {
            keys.entry(key.clone()).or_default().push(row);
        }
    }
    keys
}

/// Where a name stands in a line: the first word that is this name after the first word.
fn name_in(text: &str, name: &str) -> Span {
    let mut start = None;
    let mut first = true;
    for (at, letter) in text.char_indices().chain([(text.len(), ' ')]) {
        let part = letter.is_alphanumeric() || letter == '_' || letter == '′';
        match (start, part) {
            (None, true) => start = Some(at),
            (Some(from), false) => {
                let word = text.get(from..at).unwrap_or("");
                if !first && canonical_name(word) == name {
                    return Span::new(from, at);
                }
                first = false;
                start = None;
            }
            _ => {}
        }
    }
    Span::new(0, text.find('\n').unwrap_or(text.len()))
}

/// The last place of a text in a line.
fn last_in(text: &str, part: &str) -> Span {
    match text.rfind(part) {
        Some(at) => Span::new(at, at + part.len()),
        None => Span::new(0, text.find('\n').unwrap_or(text.len())),
    }
}
