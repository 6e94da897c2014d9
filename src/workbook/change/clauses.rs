//! Changes of one part of the line of a quantity: unit, kind, title, source.

use super::values::{joined, leading_text, value_texts};
use super::{Done, Place, refused, typed};
use crate::fault::Fault;
use crate::language::syntax::Name;
use crate::language::syntax::statement::{Part, statement};
use crate::workbook::{Line, Statement};

/// A part of the line of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clause {
    /// `in kW`
    Unit,
    /// `: shaft power`
    Kind,
    /// `"Power at the coupling"`
    Title,
    /// `measured "2 March"`
    Source,
}

impl Clause {
    fn part(self) -> Part {
        match self {
            Clause::Unit => Part::InClause,
            Clause::Kind => Part::KindClause,
            Clause::Title => Part::Text,
            Clause::Source => Part::SourceClause,
        }
    }
}

impl Done<'_> {
    pub(super) fn set_clause(&mut self, sheet: &Name, name: &Name, clause: Clause, text: &str) -> Result<(), Fault> {
        let at = self.sheet(sheet)?;
        let place = Place::Line(at, self.quantity_line(at, name)?);
        let line = with_clause(self.line(place)?, clause.part(), text.trim())?;
        self.replace(place, line)
    }
}

/// The order of the clauses of a line.
fn rank(part: Part) -> Option<u8> {
    Some(match part {
        Part::ValueClause => 1,
        Part::InClause => 2,
        Part::ToClause => 3,
        Part::SuchClause => 4,
        Part::BetweenClause => 5,
        Part::KindClause => 6,
        Part::Text => 7,
        Part::FromClause => 8,
        Part::SourceClause => 9,
        _ => return None,
    })
}

/// The line with another clause, all else as typed. An empty clause takes it away.
fn with_clause(line: &Line, part: Part, clause: &str) -> Result<Line, Fault> {
    let text: &str = &line.text;
    let Statement::Quantity(quantity) = &line.statement else {
        return Err(refused("this line has no such part", "type the whole line"));
    };
    let (_, pieces) = statement(text)?;
    let mut clauses: Vec<(u8, usize, usize)> = Vec::new();
    for piece in &pieces {
        let (start, end) = (piece.span.start as usize, piece.span.end as usize);
        let Some(rank) = rank(piece.part) else { continue };
        // A text inside another clause is part of that clause.
        let inside = clauses.iter().any(|(_, from, to)| *from <= start && end <= *to);
        if !inside {
            clauses.push((rank, start, end));
        }
    }
    let wanted = rank(part).unwrap_or(0);
    let (start, end) = match clauses.iter().find(|(rank, ..)| *rank == wanted) {
        Some((_, start, end)) => (*start, *end),
        None => {
            let before = clauses
                .iter()
                .filter(|(rank, ..)| *rank < wanted)
                .map(|(_, _, end)| *end);
            let at = before.max().unwrap_or(0).max(quantity.name_span.end as usize);
            (at, at)
        }
    };
    let head = text.get(..start).unwrap_or("");
    let rest = text.get(end..).unwrap_or("");
    let made = typed(&joined(&[head, clause, rest]), Some(line))?;
    // What was typed is one part and did not become another, and the values stay.
    let as_meant = |made: &Line| match &made.statement {
        Statement::Quantity(read) => read.name == quantity.name && value_texts(read) == value_texts(quantity),
        _ => false,
    };
    if as_meant(&made) {
        return Ok(made);
    }
    // Behind an empty place a title would be read as its value: it goes before the values.
    let name_end = quantity.name_span.end as usize;
    let named = text.get(..name_end).unwrap_or("");
    let values = text.get(name_end..start).unwrap_or("");
    let title_first = match leading_text(rest) {
        _ if part == Part::Text => Some(joined(&[named, clause, values, rest])),
        Some((title, behind)) => Some(joined(&[named, title, values, clause, behind])),
        None => None,
    };
    if let Some(text) = title_first {
        let made = typed(&text, Some(line))?;
        if as_meant(&made) {
            return Ok(made);
        }
    }
    if made.faults.iter().any(Fault::is_error) {
        return Ok(made);
    }
    Err(refused(
        "this cannot stand as this part of a line",
        "type the whole line instead",
    ))
}
