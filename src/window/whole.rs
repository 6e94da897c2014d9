//! Whole lines of the language, typed where a part of a line stands: `given p = 4 pole : poles` as the label of the open line.
//!
//! Always: in the open line such a text is the line that it says; elsewhere it stands for nothing.
//! Not known here: lines as they are written on paper (`paper`).

use super::spot::{Field, NEW, Seen, Spot};
use crate::fault::Fault;
use crate::workbook::Statement;
use crate::workbook::change::{Change, Place};
use crate::workbook::text::{opens, read_statement};

/// Where a text stands that may be a line of the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    /// Among lines that were copied: what begins like a line is one.
    Pasted,
    /// Where a part of a line is typed, a label for one: words that begin like a line, `check valve` or `plot area`, are words.
    Typed,
}

/// The line of the language that a text is, as far as it may stand in a sheet.
pub(super) fn of_language(text: &str, stands: Stands) -> Option<Statement> {
    if opens(text) {
        return None;
    }
    let (read, _) = read_statement(text);
    let is_right = !read.faults.iter().any(Fault::is_error);
    // Each sort of line once: what no sheet takes, and when a text is no mere words.
    let is_meant = match &read.statement {
        Statement::Faulty | Statement::Opening { .. } | Statement::Rows => return None,
        Statement::Quantity(quantity) => text.contains(['=', ':', '"']) || quantity.such_that.is_some(),
        Statement::Check { .. } => is_right && text.contains(['<', '>', '=', '≤', '≥', '≠', '"']),
        Statement::Flag { .. }
        | Statement::Curve { .. }
        | Statement::Define { .. }
        | Statement::Note(_)
        | Statement::Plot { .. } => is_right,
        _ => false,
    };
    (is_meant || stands == Stands::Pasted).then_some(read.statement)
}

/// Whether a text at a place of the open line is a whole line of the language.
pub(super) fn is_line(spot: Spot, text: &str) -> bool {
    spot.quantity == NEW
        && matches!(spot.field, Field::Label | Field::Symbol)
        && of_language(text.trim(), Stands::Typed).is_some()
}

impl Seen<'_> {
    /// A line behind those that are there.
    pub(super) fn new_line(&self, text: &str) -> Change {
        Change::InsertLine {
            place: Place::Line(self.at, self.sheet.lines.len()),
            before: "".into(),
            text: text.into(),
        }
    }

    /// A line in which nothing was typed yet and which nothing asks for.
    pub(super) fn blank_line(&self, spot: Spot) -> Option<(Place, &str)> {
        let name = &self.quantity(spot.quantity)?.name;
        let (at, line) = self.line(name)?;
        let is_blank = *line.text == *format!("given {name}") && line.before.trim().is_empty();
        let is_free = self.session.readers(&self.results.name, name).is_empty();
        (is_blank && is_free).then_some((Place::Line(self.at, at), &**name))
    }

    /// A whole line of the language, typed at the place of a part of one: in the open line, and in one that is blank, it is what stands
    /// there.
    pub(super) fn line_of_language(&self, spot: Spot, text: &str) -> Result<Vec<Change>, String> {
        let blank = self.blank_line(spot);
        if spot.quantity != NEW && blank.is_none() {
            return Err(
                "This is a whole line, and here stands a part of one. It goes into the open line, or with Shift+F2 in the place of this line."
                    .to_owned(),
            );
        }
        if let Statement::Quantity(quantity) = read_statement(text).0.statement
            && self.is_taken(&quantity.name)
            && blank.is_none_or(|(_, own)| *own != *quantity.name)
        {
            return Err(format!("There is a quantity {} already.", quantity.name));
        }
        Ok(vec![match blank {
            Some((place, _)) => Change::SetLine {
                place,
                text: text.into(),
            },
            None => self.new_line(text),
        }])
    }
}
