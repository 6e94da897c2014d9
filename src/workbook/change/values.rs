//! Changes of values and cases of a worked sheet.

use std::ops::Range;
use std::sync::Arc;

use super::{Done, Place, line_of, refused, typed};
use crate::fault::{Fault, Span};
use crate::language::syntax::Name;
use crate::language::syntax::statement::{Part, Piece, statement};
use crate::workbook::text::case_name;
use crate::workbook::{Line, Quantity, Role, Statement};

/// Why a text cannot be the name of a case beside others, with one that can; `None` where it can.
pub(crate) fn case_fault(name: &str, others: &[Arc<str>]) -> Option<Fault> {
    if name.trim().is_empty() || name.contains('\n') {
        return Some(refused("a case needs a name", "write a word or a few"));
    }
    if name.contains('|') {
        let parted = name.split('|').map(str::trim).filter(|part| !part.is_empty());
        let joined = parted.collect::<Vec<_>>().join(" / ");
        let span = Span::new(0, name.len());
        let fault = refused(
            "the name of one case cannot have `|` in it: it stands between cases",
            "write the name of one case",
        );
        return Some(if joined.is_empty() {
            fault
        } else {
            fault.fix(format!("write {joined}"), span, joined)
        });
    }
    let taken = |name: &str| others.iter().any(|known| **known == *name);
    if !taken(name) {
        return None;
    }
    let free = (2_usize..)
        .map(|number| format!("{name} {number}"))
        .find(|name| !taken(name))?;
    let span = Span::new(0, name.len());
    let help = format!("write another name, such as `{free}`");
    let fault = refused(format!("there is a case `{name}` already"), help);
    Some(fault.fix(format!("write {free}"), span, free))
}

impl Done<'_> {
    pub(super) fn quantity_line(&self, sheet: usize, name: &str) -> Result<usize, Fault> {
        let found = self.book.sheets.get(sheet).and_then(|sheet| line_of(sheet, name));
        found.ok_or_else(|| {
            refused(
                format!("there is no quantity `{name}` in this sheet"),
                "look at the names behind given, work and seek",
            )
        })
    }

    pub(super) fn set_value(
        &mut self,
        sheet: &Name,
        name: &Name,
        case: Option<usize>,
        text: &str,
    ) -> Result<(), Fault> {
        let at = self.sheet(sheet)?;
        let place = Place::Line(at, self.quantity_line(at, name)?);
        let line = self.line(place)?.clone();
        let Statement::Quantity(quantity) = &line.statement else {
            return Err(refused(
                format!("`{name}` is no quantity with values"),
                "type its line anew",
            ));
        };
        let text = text.trim();
        let values = match case {
            None => vec![text.to_owned()],
            Some(case) => {
                let cases = self.cases(at).map_or(1, |(_, names)| names.len());
                if case >= cases {
                    return Err(refused(
                        format!("the sheet has no case {}", case + 1),
                        "cases are named in the line `cases`",
                    ));
                }
                let mut values = value_texts(quantity);
                spread(&mut values, cases);
                if let Some(value) = values.get_mut(case) {
                    *value = text.to_owned();
                }
                // A formula that all cases share is one, not one of each.
                match values.split_first() {
                    Some((first, others))
                        if quantity.role == Role::Work && others.iter().all(|other| other == first) =>
                    {
                        vec![first.clone()]
                    }
                    _ => values,
                }
            }
        };
        let line = with_values(&line, quantity, &values)?;
        self.replace(place, line)
    }

    /// The line that names the cases, and their names.
    pub(super) fn cases(&self, sheet: usize) -> Option<(usize, Vec<Arc<str>>)> {
        self.book
            .sheets
            .get(sheet)?
            .lines
            .iter()
            .enumerate()
            .find_map(|(at, line)| match &line.statement {
                Statement::Cases(names) => Some((at, names.clone())),
                _ => None,
            })
    }

    pub(super) fn insert_case(&mut self, sheet: &Name, at: usize, name: &Arc<str>) -> Result<(), Fault> {
        let index = self.sheet(sheet)?;
        let found = self.cases(index);
        let known = found.as_ref().map_or(&[] as &[Arc<str>], |(_, names)| names);
        if let Some(fault) = case_fault(name, known) {
            return Err(fault);
        }
        match found {
            None => {
                let text = format!("cases {}", case_name(name));
                self.insert_line(Place::Line(index, 0), &Arc::from(""), &text)
            }
            Some((line, mut names)) => {
                if at > names.len() {
                    return Err(refused(
                        format!("the sheet has {} cases", names.len()),
                        "a new one stands among them or behind the last",
                    ));
                }
                let count = names.len();
                names.insert(at, name.clone());
                self.each_quantity(index, count, |values| {
                    values.insert(at.min(values.len()), String::new())
                })?;
                self.set_cases(index, line, &names)
            }
        }
    }

    pub(super) fn delete_case(&mut self, sheet: &Name, case: usize) -> Result<(), Fault> {
        let index = self.sheet(sheet)?;
        let Some((line, mut names)) = self.cases(index).filter(|(_, names)| case < names.len()) else {
            return Err(refused(
                format!("the sheet has no case {}", case + 1),
                "cases are named in the line `cases`",
            ));
        };
        let count = names.len();
        names.remove(case);
        self.each_quantity(index, count, |values| {
            if case < values.len() {
                values.remove(case);
            }
        })?;
        if names.is_empty() {
            return self.delete_line(Place::Line(index, line));
        }
        self.set_cases(index, line, &names)
    }

    pub(super) fn set_cases(&mut self, sheet: usize, line: usize, names: &[Arc<str>]) -> Result<(), Fault> {
        let names: Vec<String> = names.iter().map(|name| case_name(name)).collect();
        let old = self.line(Place::Line(sheet, line))?;
        let mut open = crate::workbook::text::Open::default();
        open.scan(&old.text);
        let comment = open.comment.and_then(|at| old.text.get(at..)).unwrap_or("");
        let mut text = format!("cases {}", names.join(" | "));
        if !comment.is_empty() {
            text.push_str("  ");
            text.push_str(comment);
        }
        self.set_line(Place::Line(sheet, line), &text)
    }

    /// Changes the values of every quantity that has one for each case.
    pub(super) fn each_quantity(
        &mut self,
        sheet: usize,
        cases: usize,
        change: impl Fn(&mut Vec<String>),
    ) -> Result<(), Fault> {
        let count = self.book.sheets.get(sheet).map_or(0, |sheet| sheet.lines.len());
        for at in 0..count {
            let place = Place::Line(sheet, at);
            let line = self.line(place)?;
            let Statement::Quantity(quantity) = &line.statement else {
                continue;
            };
            // A single value serves all cases and stays; so does the single value of a single case.
            if quantity.values.len() < 2 || quantity.values.len() != cases {
                continue;
            }
            let mut values = value_texts(quantity);
            change(&mut values);
            let line = with_values(line, quantity, &values)?;
            self.replace(place, line)?;
        }
        Ok(())
    }
}

/// The values of a quantity as typed.
pub(super) fn value_texts(quantity: &Quantity) -> Vec<String> {
    quantity
        .values
        .iter()
        .map(|value| value.as_ref().map_or(String::new(), |formula| formula.text.to_string()))
        .collect()
}

/// One value for all becomes one for each.
fn spread(values: &mut Vec<String>, cases: usize) {
    let first = values.first().cloned().unwrap_or_default();
    if values.len() <= 1 {
        *values = vec![first; cases];
    }
    values.resize(cases, String::new());
}

/// The line with other values, all else as typed; its title before them where it would be read as the value of the last case.
fn with_values(line: &Line, quantity: &Quantity, values: &[String]) -> Result<Line, Fault> {
    let clause: Vec<String> = values.iter().map(|value| value.trim().to_owned()).collect();
    let mut clause = format!("= {}", clause.join(" | "));
    if values.iter().all(|value| value.trim().is_empty()) && values.len() <= 1 {
        clause = String::new();
    }
    let (_, pieces) = statement(&line.text)?;
    let name_end = quantity.name_span.end as usize;
    let (start, end) = match pieces.iter().find(|piece| piece.part == Part::ValueClause) {
        Some(piece) => (piece.span.start as usize, piece.span.end as usize),
        None => (name_end, name_end),
    };
    let text: &str = &line.text;
    let head = text.get(..start).unwrap_or("");
    let rest = text.get(end..).unwrap_or("");
    let whole = joined(&[head, &clause, rest]);
    let made = typed(&whole, Some(line))?;
    let as_meant = |made: &Line| matches!(&made.statement, Statement::Quantity(read) if same_values(read, values));
    if as_meant(&made) {
        return Ok(made);
    }
    if let Some((title, behind)) = leading_text(rest) {
        let made = typed(&joined(&[head, title, &clause, behind]), Some(line))?;
        if as_meant(&made) {
            return Ok(made);
        }
    }
    let value = whole.find(clause.as_str()).map(|at| at..at + clause.len());
    let (message, help) = value
        .and_then(|value| misread(&whole, value, values.len()))
        .unwrap_or_else(|| {
            let help = "type a formula without `|`, title or other parts of the line";
            (
                "this cannot stand as the value of a quantity".to_owned(),
                help.to_owned(),
            )
        });
    Err(refused(message, help))
}

/// What is read from values that stand at a place of a line and is no part of them, and what to do.
fn misread(line: &str, values: Range<usize>, meant: usize) -> Option<(String, String)> {
    let (_, pieces) = statement(line).ok()?;
    let inside = |piece: &&Piece| values.contains(&(piece.span.start as usize));
    let cases = pieces
        .iter()
        .filter(inside)
        .filter(|piece| piece.part == Part::Case)
        .count();
    if cases > meant {
        let message = "`|` parts the values of cases, and at this place stands one value".to_owned();
        return Some((message, "type each value at the place of its case".to_owned()));
    }
    let clauses = pieces
        .iter()
        .filter(inside)
        .filter(|piece| !matches!(piece.part, Part::ValueClause | Part::Case));
    let other = clauses
        .into_iter()
        .find_map(|piece| Some((piece, clause_read(piece.part)?)))?;
    let (piece, read) = other;
    let said = piece.span.of(line).trim();
    let help = match piece.part {
        Part::ToClause => "type one value, with what it may be off where that is known: `5.5 m ± 0.5 m`".to_owned(),
        _ => format!("type the value alone; {read} has a place of its own in the line"),
    };
    Some((
        format!("`{said}` is no part of a value: behind one it is read as {read}"),
        help,
    ))
}

/// What a part of a line is, as far as it may stand behind a value.
fn clause_read(part: Part) -> Option<&'static str> {
    Some(match part {
        Part::InClause => "the unit",
        Part::ToClause => "how it is rounded",
        Part::SuchClause => "an equation that is sought",
        Part::BetweenClause => "the limits of what is sought",
        Part::KindClause => "the kind",
        Part::FromClause => "the heading it was read from",
        Part::SourceClause => "the source",
        Part::Text => "the label",
        _ => return None,
    })
}

/// Parts of a line with one blank between them.
pub(super) fn joined(parts: &[&str]) -> String {
    let parts: Vec<&str> = parts
        .iter()
        .map(|part| part.trim())
        .filter(|part| !part.is_empty())
        .collect();
    parts.join(" ")
}

/// The text in quotes that a part of a line begins with, and what is behind it.
pub(super) fn leading_text(part: &str) -> Option<(&str, &str)> {
    let part = part.trim_start();
    // Read behind a name it is a title.
    let head = "given x ";
    let (_, pieces) = statement(&format!("{head}{part}")).ok()?;
    let title = pieces.iter().find(|piece| piece.part == Part::Text)?;
    let (start, end) = (title.span.start as usize, title.span.end as usize);
    (start == head.len()).then_some(())?;
    part.split_at_checked(end - start)
}

/// Whether the values are read as they were meant, and nothing of them became another part of the line.
fn same_values(read: &Quantity, values: &[String]) -> bool {
    let meant: Vec<&str> = match values {
        [only] if only.trim().is_empty() => Vec::new(),
        several => several.iter().map(|value| value.trim()).collect(),
    };
    value_texts(read) == meant
}
