//! Rows of a list: a fast way for plain numbers with known units and for texts, the formula parser for all else.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::lines::formula;
use super::split::Open;
use super::split::is_blank;
use crate::fault::{Code, Fault, Span};
use crate::language::syntax::{Expr, Literal, Name, Node, WrittenUnit, unquoted};
use crate::quantity::{Unit, nearest::nearest};
use crate::workbook::{Cell, KindText, Row, Sheet, Statement, settle};

/// What is known of the columns of a list, and the units met in them so far.
pub(crate) struct Columns {
    columns: Vec<Column>,
    /// Whether the `rows` line itself could be read; if not, the rows are kept as they are without faults of their own.
    known: bool,
}

struct Column {
    name: Name,
    sort: Sort,
    units: Vec<(Box<str>, Arc<Unit>)>,
}

#[derive(PartialEq, Eq)]
enum Sort {
    /// Numbers, of any unit: the checker compares dimensions.
    Number,
    Text,
    Choice(Arc<[Arc<str>]>),
    /// Neither unit nor kind is declared.
    Open,
}

/// Different units of one column kept ready.
const MOST_UNITS: usize = 32;

impl Columns {
    /// The columns of a list as its lines declare them.
    pub fn of(sheet: &Sheet) -> Columns {
        let names: &[Name] = sheet.rows.as_ref().map_or(&[], |rows| rows.columns.as_slice());
        let known = sheet
            .lines
            .iter()
            .any(|line| matches!(line.statement, Statement::Rows) && settle::is_read(line));
        let columns = names
            .iter()
            .map(|name| {
                let quantity = sheet.lines.iter().find_map(|line| match &line.statement {
                    Statement::Quantity(quantity) if quantity.name == *name => Some(quantity),
                    _ => None,
                });
                let sort = match quantity {
                    Some(quantity) => match &quantity.kind {
                        Some(KindText::Text) => Sort::Text,
                        Some(KindText::Choice(words)) => Sort::Choice(words.clone()),
                        Some(KindText::Kind(_)) => Sort::Number,
                        None if quantity.unit.is_some() => Sort::Number,
                        None => Sort::Open,
                    },
                    None => Sort::Open,
                };
                Column {
                    name: name.clone(),
                    sort,
                    units: Vec::new(),
                }
            })
            .collect();
        Columns { columns, known }
    }

    /// Whether rows are read the same by the other; names stand in the words of faults only.
    pub fn reads_as(&self, other: &Columns, names_too: bool) -> bool {
        let same = |(one, two): (&Column, &Column)| one.sort == two.sort && (!names_too || one.name == two.name);
        self.known == other.known
            && self.columns.len() == other.columns.len()
            && self.columns.iter().zip(&other.columns).all(same)
    }
}

/// Reads one row; the text has no indent. What is wrong rides in the row.
pub(crate) fn read_row(text: &str, columns: &mut Columns) -> Row {
    let mut row = Row {
        before: None,
        number: 0,
        indent: Row::INDENT,
        cells: Vec::with_capacity(columns.columns.len()),
        faulty: None,
        faults: None,
        comment: None,
    };
    if !columns.known {
        row.faulty = Some(text.into());
        return row;
    }
    let mut faults = Vec::new();
    let (body, comment) = without_comment(text, &mut faults);
    row.comment = comment.map(Arc::from);
    // One column and nothing in it: a bar alone, since an empty line is no row.
    let alone = columns.columns.len() == 1 && body.trim_matches(is_blank) == "|";
    let body = if alone { "" } else { body };
    let mut count = 0;
    let bars = Bars {
        rest: Some(body),
        at: 0,
    };
    for (at, part) in bars {
        let start = at + part.len() - part.trim_start_matches(is_blank).len();
        let part = part.trim_matches(is_blank);
        match columns.columns.get_mut(count) {
            Some(column) => row.cells.push(column.cell(part, start, &mut faults)),
            None => row.cells.push(odd_cell(part, start, &mut faults)),
        }
        count += 1;
    }
    if count != columns.columns.len() {
        let wanted = columns.columns.len();
        let names: Vec<&str> = columns.columns.iter().map(|column| column.name.as_ref()).collect();
        faults.push(
            Fault::new(
                Code::CELL_COUNT,
                Span::new(0, body.trim_end_matches(is_blank).len()),
                format!(
                    "the row has {}, but the list has {}",
                    many(count, "cell"),
                    many(wanted, "column")
                ),
            )
            .help(match names.as_slice() {
                [] => "name the columns in the line `rows` first, such as `rows tag | area | P_r`".to_owned(),
                names => format!(
                    "columns are {}; leave a place between two `|` empty for a blank",
                    names.join(" | ")
                ),
            }),
        );
    }
    if faults.iter().any(Fault::is_error) {
        row.faulty = Some(text.into());
    }
    if !faults.is_empty() {
        faults.sort_by_key(|fault| fault.span);
        row.faults = Some(faults.into_boxed_slice());
    }
    row
}

fn many(count: usize, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}

/// The row without its comment. Looks closer only where the signs are there at all.
fn without_comment<'t>(text: &'t str, faults: &mut Vec<Fault>) -> (&'t str, Option<&'t str>) {
    if !text.bytes().any(|byte| matches!(byte, b'#' | b'"')) {
        return (text, None);
    }
    let mut open = Open::default();
    open.scan(text);
    if let Some(at) = open.quote {
        faults.push(
            Fault::new(
                Code::UNCLOSED_TEXT,
                Span::new(at, text.len()),
                "this text in quotes is not closed before the end of the line",
            )
            .help("put `\"` at its end; a quote sign inside a text is written `\\\"`"),
        );
    }
    match open.comment {
        Some(at) => (text.get(..at).unwrap_or(text), text.get(at..)),
        None => (text, None),
    }
}

/// The texts between the bars of a row, texts in quotes kept whole.
pub(crate) fn bars(body: &str) -> Vec<&str> {
    let bars = Bars {
        rest: Some(body),
        at: 0,
    };
    bars.map(|(_, part)| part).collect()
}

/// The cells of a row as places of its text: first byte and end. A bar in a text in quotes divides nothing.
pub fn cells_of(row: &str) -> Vec<(usize, usize)> {
    let bars = Bars { rest: Some(row), at: 0 };
    bars.map(|(start, part)| (start, start + part.len())).collect()
}

/// Reads a row again for a sheet that is not at hand to be changed.
pub(crate) fn formula_texts(text: &str, sheet: &Sheet) -> Row {
    read_row(text, &mut Columns::of(sheet))
}

/// The places between the bars of a row, texts in quotes kept whole.
struct Bars<'t> {
    rest: Option<&'t str>,
    at: usize,
}

impl<'t> Iterator for Bars<'t> {
    type Item = (usize, &'t str);

    fn next(&mut self) -> Option<(usize, &'t str)> {
        let rest = self.rest?;
        let mut quoted = false;
        let mut escaped = false;
        let mut end = rest.len();
        for (at, byte) in rest.bytes().enumerate() {
            match byte {
                b'"' if !(quoted && escaped) => {
                    quoted = !quoted;
                    escaped = false;
                }
                b'\\' if quoted => escaped = !escaped,
                b'|' if !quoted => {
                    end = at;
                    break;
                }
                _ => escaped = false,
            }
        }
        let start = self.at;
        self.rest = if end < rest.len() { rest.get(end + 1..) } else { None };
        self.at += end + 1;
        Some((start, rest.get(..end).unwrap_or("")))
    }
}

impl Column {
    fn cell(&mut self, part: &str, at: usize, faults: &mut Vec<Fault>) -> Cell {
        let Some(first) = part.bytes().next() else {
            return Cell::Blank;
        };
        if first == b'"' {
            return self.text(part, at, faults);
        }
        if let Some((number, unit)) = plain_number(part) {
            let unit = if unit.is_empty() {
                Some(None)
            } else {
                self.units
                    .iter()
                    .find(|(known, _)| **known == *unit)
                    .map(|(_, unit)| Some(unit.clone()))
            };
            if let Some(unit) = unit {
                return self.number(part, at, number, unit, faults);
            }
        }
        if let Sort::Choice(words) = &self.sort
            && part
                .chars()
                .all(|letter| letter.is_alphanumeric() || matches!(letter, '_' | '-'))
            && !part.starts_with(|letter: char| letter.is_ascii_digit())
        {
            let words = words.clone();
            return self.choice(part, at, &words, faults);
        }
        let (formula, more) = formula(part, u32::try_from(at).unwrap_or(u32::MAX));
        if let Some((value, unit)) = literal(&formula.tree) {
            let unit = unit.map(|written| {
                let unit = Arc::new(written.unit.clone());
                if self.units.len() < MOST_UNITS {
                    self.units.push((written.span.of(part).into(), unit.clone()));
                }
                unit
            });
            return self.number(part, at, value, unit, faults);
        }
        faults.extend(more);
        Cell::Formula(Box::new(formula))
    }

    fn number(&self, part: &str, at: usize, value: Decimal, unit: Option<Arc<Unit>>, faults: &mut Vec<Fault>) -> Cell {
        match &self.sort {
            Sort::Text => faults.push(
                Fault::new(
                    Code::CELL_SORT,
                    Span::new(at, at + part.len()),
                    format!("`{part}` is a number, but `{}` is a column of texts", self.name),
                )
                .help(format!("write `\"{part}\"` for a text"))
                .fix(
                    "put it in quotes",
                    Span::new(at, at + part.len()),
                    format!("\"{part}\""),
                ),
            ),
            Sort::Choice(words) => faults.push(wrong_choice(part, at, &self.name, words)),
            Sort::Number | Sort::Open => return Cell::Number(value, unit),
        }
        Cell::Formula(Box::new(formula(part, u32::try_from(at).unwrap_or(u32::MAX)).0))
    }

    fn text(&self, part: &str, at: usize, faults: &mut Vec<Fault>) -> Cell {
        let whole =
            part.len() >= 2 && part.ends_with('"') && !part.get(1..part.len() - 1).unwrap_or("").contains(['"', '\\']);
        let text: Arc<str> = if whole {
            part.get(1..part.len() - 1).unwrap_or("").into()
        } else {
            let (formula, more) = formula(part, u32::try_from(at).unwrap_or(u32::MAX));
            let Node::Text(text) = &formula.tree.node else {
                faults.extend(more);
                return Cell::Formula(Box::new(formula));
            };
            text.clone()
        };
        match &self.sort {
            Sort::Text | Sort::Open => Cell::Text(text),
            Sort::Choice(words) if words.contains(&text) => Cell::Word(text),
            Sort::Choice(words) => {
                faults.push(wrong_choice(&text, at, &self.name, words));
                Cell::Word(text)
            }
            Sort::Number => {
                let span = Span::new(at, at + part.len());
                let fault = Fault::new(
                    Code::CELL_SORT,
                    span,
                    format!("`{part}` is a text, but `{}` is a column of numbers", self.name),
                );
                faults.push(match plain_number(&text) {
                    Some(_) => fault
                        .help(format!("write `{text}`"))
                        .fix("take the quotes away", span, text.as_ref()),
                    None => fault.help("write a number with its unit, or leave the place empty for a blank"),
                });
                Cell::Text(text)
            }
        }
    }

    fn choice(&self, part: &str, at: usize, words: &Arc<[Arc<str>]>, faults: &mut Vec<Fault>) -> Cell {
        match words.iter().find(|word| ***word == *part) {
            Some(word) => Cell::Word(word.clone()),
            None => {
                faults.push(wrong_choice(part, at, &self.name, words));
                Cell::Word(part.into())
            }
        }
    }
}

fn wrong_choice(part: &str, at: usize, name: &str, words: &[Arc<str>]) -> Fault {
    let near = nearest(part, words.iter().map(AsRef::as_ref), 1);
    let fault = Fault::new(
        Code::CELL_SORT,
        Span::new(at, at + part.len()),
        format!("`{part}` is not one of the words of `{name}`"),
    );
    match near.first() {
        Some(near) => fault.help(format!("is it `{near}`?")),
        None => {
            let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
            fault.help(format!("its words are {}", words.join(", ")))
        }
    }
}

/// A cell beyond the last column.
fn odd_cell(part: &str, at: usize, faults: &mut Vec<Fault>) -> Cell {
    if part.is_empty() {
        return Cell::Blank;
    }
    if part.starts_with('"')
        && let Ok(text) = unquoted(part, Span::new(at, at + part.len()))
    {
        return Cell::Text(text.into());
    }
    let (formula, more) = formula(part, u32::try_from(at).unwrap_or(u32::MAX));
    faults.extend(more);
    Cell::Formula(Box::new(formula))
}

/// A number alone, or a minus and a number.
fn literal(tree: &Expr) -> Option<(Decimal, Option<&WrittenUnit>)> {
    match &tree.node {
        Node::Number(Literal { value, unit }) => Some((*value, unit.as_ref())),
        Node::Negative(inner) => match &inner.node {
            Node::Number(Literal { value, unit }) => Some((-*value, unit.as_ref())),
            _ => None,
        },
        _ => None,
    }
}

/// Digits with a point, and what follows after blanks; `None` where it is anything else.
fn plain_number(part: &str) -> Option<(Decimal, &str)> {
    let bytes = part.as_bytes();
    let mut at = usize::from(bytes.first() == Some(&b'-'));
    let negative = at == 1;
    let mut mantissa: i64 = 0;
    let mut digits = 0usize;
    let mut scale = 0u32;
    let mut point = false;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'0'..=b'9' => {
                mantissa = mantissa * 10 + i64::from(byte - b'0');
                digits += 1;
                if digits > 17 {
                    return None;
                }
                scale += u32::from(point);
            }
            b'.' if !point && digits > 0 => point = true,
            _ => break,
        }
        at += 1;
    }
    if digits == 0 || (point && scale == 0) {
        return None;
    }
    let rest = part.get(at..)?;
    let unit = rest.trim_start_matches(' ');
    // A unit stands after one blank at least on this way; digits, commas and the like are for the formula parser.
    if !rest.is_empty() && unit.len() == rest.len() && !rest.starts_with('%') {
        return None;
    }
    if unit.bytes().next().is_some_and(|byte| byte.is_ascii_digit()) && unit.len() < 2 {
        return None;
    }
    let value =
        Decimal::try_from_i128_with_scale(i128::from(if negative { -mantissa } else { mantissa }), scale).ok()?;
    Some((value, unit))
}
