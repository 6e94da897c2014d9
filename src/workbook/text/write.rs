//! Workbook to canonical text.
//!
//! Always: clauses in one order, two blanks of indent, units by their canonical names, comments and order kept, rows of short
//! lists aligned. Formulas stay as typed but for units and twin signs. Lines with errors are kept byte for byte.

use std::fmt::Write;

use rayon::prelude::*;
use rust_decimal::Decimal;
use unicode_width::UnicodeWidthStr;

use super::split::{Open, is_blank};
use crate::fault::{Fault, Span};
use crate::language::syntax::{Expr, Item, Node, WrittenUnit, canonical_text, quoted};
use crate::quantity::show::Rounding;
use crate::quantity::{Kind, Unit};
use crate::workbook::{
    Cell, CurveText, Form, Formula, KindText, Line, Quantity, Role, Row, Rows, SeekGoal, Statement, Workbook,
};

/// Rows of a list up to which columns are aligned. Longer ones are written by programs and read by nobody.
pub(crate) const ALIGNED_ROWS: usize = 200;
/// Rows that are written one after another; blocks of so many side by side.
const ROWS_AT_ONCE: usize = 4096;
/// Cells wider than this do not widen their column.
const WIDEST: usize = 40;

/// The canonical text of a workbook.
pub fn write(book: &Workbook) -> String {
    let mut out = String::new();
    for line in &book.head {
        write_line(&mut out, line, 0);
    }
    for sheet in &book.sheets {
        write_line(&mut out, &sheet.opening, 0);
        let mut rows_written = false;
        for line in &sheet.lines {
            write_line(&mut out, line, 2);
            if matches!(line.statement, Statement::Rows) || super::split::first_word(&line.text) == "rows" {
                if let Some(rows) = sheet
                    .rows
                    .as_ref()
                    .filter(|_| !rows_written && sheet.form == Form::List)
                {
                    write_rows(&mut out, rows);
                }
                rows_written = true;
            }
        }
    }
    write_before(&mut out, &book.tail, 0);
    out
}

fn indent(out: &mut String, blanks: usize) {
    out.extend(std::iter::repeat_n(' ', blanks));
}

/// Comments and blank lines.
fn write_before(out: &mut String, before: &str, blanks: usize) {
    for line in before.lines() {
        let line = line.trim_matches(|letter| is_blank(letter) || letter == '\r');
        if !line.is_empty() {
            indent(out, blanks);
            out.push_str(line);
        }
        out.push('\n');
    }
}

fn write_line(out: &mut String, line: &Line, blanks: usize) {
    write_before(out, &line.before, blanks);
    if line.text.is_empty() {
        return;
    }
    if line.faults.iter().any(Fault::is_error) || matches!(line.statement, Statement::Faulty) {
        line.indent.write(out);
        out.push_str(&line.text);
    } else {
        indent(out, blanks);
        out.push_str(&canonical_line(line));
    }
    out.push('\n');
}

/// A line without errors in its canonical form, without indent.
pub fn canonical_line(line: &Line) -> String {
    let mut comments = comments(&line.text);
    let last = comments.pop_if(|comment| comment.end as usize == line.text.trim_end().len());
    let inside = formulas(&line.statement);
    let kept = |comment: &Span| {
        inside
            .iter()
            .any(|formula| formula.start <= comment.start && comment.end <= formula.end)
    };
    if !comments.iter().all(kept) {
        // A comment between two clauses has no place in the canonical form: better kept where it is.
        return line.text.trim_end().to_owned();
    }
    let mut out = statement(line);
    if let Some(comment) = last {
        out.push_str("  ");
        out.push_str(comment.of(&line.text).trim_end());
    }
    out
}

/// Places of the comments of a statement.
fn comments(text: &str) -> Vec<Span> {
    let mut found = Vec::new();
    let mut start = 0;
    for line in text.split('\n') {
        let mut open = Open::default();
        open.scan(line);
        if let Some(at) = open.comment {
            found.push(Span::new(start + at, start + line.trim_end().len()));
        }
        start += line.len() + 1;
    }
    found
}

/// Places of the formulas of a statement.
fn formulas(statement: &Statement) -> Vec<Span> {
    super::super::formulas_of(statement)
        .iter()
        .map(|formula| Span::new(formula.at as usize, formula.at as usize + formula.text.len()))
        .collect()
}

fn statement(line: &Line) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_statement(&mut out, line);
    out
}

fn write_statement(out: &mut String, line: &Line) -> std::fmt::Result {
    match &line.statement {
        Statement::Version(number) => write!(out, "polepair {number}"),
        Statement::Workbook(title) => write!(out, "workbook {}", quoted(title)),
        Statement::About(what, text) => write!(out, "about {what} {}", quoted(text)),
        Statement::Opening { .. } => {
            out.push_str(&evenly_spaced(&line.text));
            Ok(())
        }
        Statement::Faulty => {
            out.push_str(&line.text);
            Ok(())
        }
        Statement::Units(us) => write!(out, "units {}", if *us { "US" } else { "SI" }),
        Statement::Supply(single) => write!(out, "supply {}", if *single { "single-phase" } else { "three-phase" }),
        Statement::Cases(names) => {
            let names: Vec<String> = names.iter().map(|name| case_name(name)).collect();
            write!(out, "cases {}", names.join(" | "))
        }
        Statement::CasesOver { name, from, to, by } => write!(
            out,
            "cases {name} from {} to {} by {}",
            formula(from),
            formula(to),
            formula(by)
        ),
        Statement::Quantity(quantity) => write_quantity(out, quantity),
        Statement::Check { formula: what, text } => {
            write!(out, "check {}", formula(what))?;
            if !text.is_empty() {
                write!(out, " {}", quoted(text))?;
            }
            Ok(())
        }
        Statement::Flag { text, formula: what } => write!(out, "flag {} where {}", quoted(text), formula(what)),
        Statement::Curve {
            name,
            parameter,
            kind,
            unit,
            body,
            title,
        } => {
            write!(out, "curve {name}({}", parameter_text(parameter, *kind))?;
            out.push(')');
            in_unit(out, unit.as_ref())?;
            match body {
                CurveText::Formula(body) => write!(out, " = {}", formula(body))?,
                CurveText::Points(points) => {
                    let points: Vec<String> = points
                        .iter()
                        .map(|(x, y)| format!("({}, {})", formula(x), formula(y)))
                        .collect();
                    write!(out, " through {}", points.join(", "))?;
                }
            }
            optional_title(out, title.as_deref())
        }
        Statement::Define {
            name,
            parameters,
            body,
            title,
        } => {
            let parameters: Vec<String> = parameters
                .iter()
                .map(|(name, kind)| parameter_text(name, *kind))
                .collect();
            write!(out, "define {name}({}) = {}", parameters.join(", "), formula(body))?;
            optional_title(out, title.as_deref())
        }
        Statement::Note(text) => write!(out, "note {}", quoted(text)),
        Statement::Plot {
            curves,
            variable,
            from,
            to,
            title,
        } => {
            let curves: Vec<String> = curves.iter().map(formula).collect();
            write!(
                out,
                "plot {} for {variable} from {} to {}",
                curves.join(", "),
                formula(from),
                formula(to)
            )?;
            optional_title(out, title.as_deref())
        }
        Statement::Read {
            file,
            sheet,
            headings,
            digest,
        } => {
            write!(out, "read {}", quoted(file))?;
            if let Some(sheet) = sheet {
                write!(out, " sheet {}", quoted(sheet))?;
            }
            if let Some(headings) = headings {
                write!(out, " headings {headings}")?;
            }
            if let Some(digest) = digest {
                write!(out, " digest {}", quoted(digest))?;
            }
            Ok(())
        }
        Statement::Rows => {
            let body = line.text.get(4..).unwrap_or("");
            let body = body.split('#').next().unwrap_or("");
            let names: Vec<String> = body
                .split('|')
                .map(|name| canonical_text(name.trim()).into_owned())
                .collect();
            write!(out, "rows {}", names.join(" | "))?;
            out.truncate(out.trim_end().len());
            Ok(())
        }
        Statement::At {
            item,
            name,
            formula: what,
        } => {
            match item {
                Item::Key(key) => write!(out, "at {}", quoted(key))?,
                Item::Row(row) => write!(out, "at row {row}")?,
                Item::Same => {}
            }
            write!(out, " {name} = {}", formula(what))
        }
        Statement::Accept { code, reason } => write!(out, "accept {code} {}", quoted(reason)),
    }
}

/// An opening line with one blank between its words, without its comment.
fn evenly_spaced(text: &str) -> String {
    let mut open = Open::default();
    open.scan(text);
    let text = open.comment.and_then(|at| text.get(..at)).unwrap_or(text);
    let (words, title) = match text.find('"') {
        Some(at) => text.split_at(at),
        None => (text, ""),
    };
    let words = canonical_text(words).replace('=', " = ");
    let mut parts: Vec<&str> = words.split_whitespace().collect();
    let title = title.trim_end();
    if !title.is_empty() {
        parts.push(title);
    }
    parts.join(" ")
}

fn parameter_text(name: &str, kind: Option<Kind>) -> String {
    match kind {
        Some(kind) => format!("{name} : {}", kind.words()),
        None => name.to_owned(),
    }
}

fn optional_title(out: &mut String, title: Option<&str>) -> std::fmt::Result {
    match title {
        Some(title) => write!(out, " {}", quoted(title)),
        None => Ok(()),
    }
}

fn in_unit(out: &mut String, unit: Option<&WrittenUnit>) -> std::fmt::Result {
    match unit {
        Some(unit) => write!(out, " in {}", unit_text(&unit.unit)),
        None => Ok(()),
    }
}

fn write_quantity(out: &mut String, quantity: &Quantity) -> std::fmt::Result {
    let role = match quantity.role {
        Role::Given => "given",
        Role::Work => "work",
        Role::Seek => "seek",
    };
    write!(out, "{role} {}", quantity.name)?;
    // A text behind the bar of an empty place would be its value.
    let open = quantity.values.len() > 1 && matches!(quantity.values.last(), Some(None));
    let nothing_between = quantity.unit.is_none()
        && quantity.rounding.is_none()
        && quantity.form.is_none()
        && quantity.such_that.is_none()
        && quantity.kind.is_none();
    let title_first = open && nothing_between;
    if title_first {
        optional_title(out, quantity.title.as_deref())?;
    }
    for (place, value) in quantity.values.iter().enumerate() {
        out.push_str(if place == 0 { " =" } else { " |" });
        if let Some(value) = value {
            write!(out, " {}", formula(value))?;
        }
    }
    in_unit(out, quantity.unit.as_ref())?;
    match &quantity.rounding {
        Some(Rounding::Digits(digits)) => write!(out, " to {digits} digits")?,
        Some(Rounding::Step(step)) => write!(out, " to {step}")?,
        None if quantity.form.is_some() => out.push_str(" to"),
        None => {}
    }
    if let Some(form) = quantity.form {
        write!(out, " {}", form.word())?;
    }
    if let Some(such_that) = &quantity.such_that {
        out.push_str(" such that ");
        match &such_that.goal {
            SeekGoal::Equation(left, right) => write!(out, "{} = {}", formula(left), formula(right))?,
            SeekGoal::Largest(what) => write!(out, "{} is largest", formula(what))?,
            SeekGoal::Smallest(what) => write!(out, "{} is smallest", formula(what))?,
        }
        if let Some((low, high)) = &such_that.between {
            write!(out, " between {} and {}", formula(low), formula(high))?;
        }
    }
    match &quantity.kind {
        Some(KindText::Kind(kind)) => write!(out, " : {}", kind.words())?,
        Some(KindText::Text) => out.push_str(" : text"),
        Some(KindText::Choice(words)) => write!(out, " : choice {}", words.join(", "))?,
        None => {}
    }
    if !title_first {
        optional_title(out, quantity.title.as_deref())?;
    }
    if let Some(heading) = &quantity.from {
        write!(out, " from {}", quoted(heading))?;
    }
    if let Some(source) = &quantity.source {
        write!(out, " {}", source.typed())?;
    }
    Ok(())
}

/// The name of a case, in quotes where it needs them.
pub(crate) fn case_name(name: &str) -> String {
    let plain = !name.is_empty()
        && name.trim_matches(is_blank) == name
        && !name.contains(['|', '#', '"', '\\', '\n', '\u{1}'])
        && !name.split_whitespace().any(|word| word == "from");
    if plain { name.to_owned() } else { quoted(name) }
}

/// The unit as it stands after a number or after `in`: inch is written out.
fn unit_text(unit: &Unit) -> &str {
    if unit.text.as_ref() == "in" { "inch" } else { &unit.text }
}

/// A formula with units by their canonical names and twin signs made one; all else as typed.
fn formula(formula: &Formula) -> String {
    let text: &str = &formula.text;
    let mut units = Vec::new();
    collect_units(&formula.tree, &mut units);
    units.sort_by_key(|unit| unit.span);
    let mut out = String::with_capacity(text.len());
    let mut done = 0usize;
    for unit in units {
        let (start, end) = (unit.span.start as usize, unit.span.end as usize);
        if start < done {
            continue;
        }
        out.push_str(&plain_signs(text.get(done..start).unwrap_or("")));
        if out.ends_with(|letter: char| letter.is_ascii_digit()) {
            out.push(' ');
        }
        out.push_str(unit_text(&unit.unit));
        done = end;
    }
    out.push_str(&plain_signs(text.get(done..).unwrap_or("")));
    if out.contains('\n') {
        let lines: Vec<&str> = out
            .split('\n')
            .map(|line| line.trim_end_matches(|letter| is_blank(letter) || letter == '\r'))
            .collect();
        return lines.join("\n");
    }
    out
}

/// Twin signs made one, outside of texts and comments.
fn plain_signs(text: &str) -> String {
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['"', '#']) {
        let (before, from) = rest.split_at(at);
        out.push_str(&canonical_text(before));
        let end = if from.starts_with('#') {
            from.find('\n').unwrap_or(from.len())
        } else {
            let mut escaped = false;
            from.char_indices()
                .skip(1)
                .find(|(_, letter)| {
                    let closes = *letter == '"' && !escaped;
                    escaped = *letter == '\\' && !escaped;
                    closes
                })
                .map_or(from.len(), |(end, _)| end + 1)
        };
        let (kept, after) = from.split_at(end);
        out.push_str(kept);
        rest = after;
    }
    out.push_str(&canonical_text(rest));
    out
}

/// The units written in a tree.
fn collect_units<'e>(expr: &'e Expr, out: &mut Vec<&'e WrittenUnit>) {
    match &expr.node {
        Node::Number(literal) => out.extend(&literal.unit),
        Node::In(_, unit) => out.push(unit),
        _ => {}
    }
    for part in expr.parts() {
        collect_units(part, out);
    }
}

/// The rows of a list, aligned where they are few.
fn write_rows(out: &mut String, rows: &Rows) {
    let widths = widths(rows);
    let parts: Vec<String> = rows
        .rows
        .par_chunks(ROWS_AT_ONCE)
        .map(|rows| {
            let mut out = String::new();
            write_some(&mut out, rows, &widths);
            out
        })
        .collect();
    out.extend(parts);
}

fn write_some(out: &mut String, rows: &[Row], widths: &[usize]) {
    for row in rows {
        if let Some(before) = &row.before {
            write_before(out, before, 4);
        }
        match &row.faulty {
            Some(text) => {
                row.indent.write(out);
                out.push_str(text);
            }
            None => {
                Row::INDENT.write(out);
                write_cells(out, row, widths);
            }
        }
        out.push('\n');
    }
}

/// How wide each column is written.
fn widths(rows: &Rows) -> Vec<usize> {
    let mut widths = vec![0usize; rows.columns.len()];
    if rows.rows.len() <= ALIGNED_ROWS {
        for row in rows.rows.iter().filter(|row| row.faulty.is_none()) {
            for (cell, width) in row.cells.iter().zip(&mut widths) {
                let wide = cell_text(cell).width();
                if wide <= WIDEST {
                    *width = wide.max(*width);
                }
            }
        }
    }
    widths
}

fn write_cells(out: &mut String, row: &Row, widths: &[usize]) {
    let start = out.len();
    for (place, cell) in row.cells.iter().enumerate() {
        if place > 0 {
            out.push_str(" | ");
        }
        let text = cell_text(cell);
        out.push_str(&text);
        if place + 1 < row.cells.len()
            && let Some(width) = widths.get(place).filter(|width| **width > 0)
        {
            indent(out, width.saturating_sub(text.width()));
        }
    }
    while out.len() > start && out.ends_with(' ') {
        out.pop();
    }
    if out.len() == start {
        out.push('|');
    }
    if let Some(comment) = &row.comment {
        out.push_str("  ");
        out.push_str(comment.trim_end());
    }
}

/// A row as written, without indent and without alignment.
pub fn row_text(row: &Row) -> String {
    let mut out = String::new();
    match &row.faulty {
        Some(text) => out.push_str(text),
        None => write_cells(&mut out, row, &[]),
    }
    out
}

/// How wide the columns of a list are written.
#[derive(Debug)]
pub(crate) struct Alignment(Vec<usize>);

impl Alignment {
    /// Of a list.
    pub(crate) fn of(rows: &Rows) -> Alignment {
        Alignment(widths(rows))
    }

    /// A row as it stands in the canonical text of its list, without indent.
    pub(crate) fn row_text(&self, row: &Row) -> String {
        match &row.faulty {
            Some(text) => text.to_string(),
            None => {
                let mut out = String::new();
                write_cells(&mut out, row, &self.0);
                out
            }
        }
    }
}

pub(crate) fn cell_text(cell: &Cell) -> String {
    match cell {
        Cell::Blank => String::new(),
        Cell::Number(value, None) => number_text(*value),
        Cell::Number(value, Some(unit)) => format!("{} {}", number_text(*value), unit_text(unit)),
        Cell::Text(text) => quoted(text),
        Cell::Word(word) => word.to_string(),
        Cell::Formula(what) => formula(what),
    }
}

fn number_text(value: Decimal) -> String {
    value.to_string()
}
