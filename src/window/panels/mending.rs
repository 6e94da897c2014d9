//! Every offered change that leaves no choice, made in one step.
//!
//! Always: a fault with several readings, or whose one reading is a guess at a name, is left to who reads it.
//! Not known here: the screen.

use super::faults::{fixed, fixed_at, place};
use crate::fault::{Code, Fix, Placed, Severity, Span, Stands};
use crate::quantity::System;
use crate::session::Session;
use crate::window::many::Made;
use crate::window::spot::Seen;

/// What is offered for these is the nearest of what is known, and a guess.
const GUESSED: [Code; 8] = [
    Code::UNKNOWN_NAME,
    Code::UNKNOWN_SHEET,
    Code::UNKNOWN_FUNCTION,
    Code::UNKNOWN_SERIES,
    Code::UNKNOWN_STATEMENT,
    Code::UNKNOWN_COLUMN,
    Code::UNKNOWN_ITEM,
    Code::UNKNOWN_CODE,
];

/// The one change that mends a fault, where there is no other.
fn only_fix(placed: &Placed) -> Option<&Fix> {
    let fault = &placed.fault;
    let is_known = fault.severity == Severity::Error && !GUESSED.contains(&fault.code);
    match fault.fixes.as_slice() {
        [only] if is_known => Some(only),
        _ => None,
    }
}

/// How many faults are mended so.
pub fn count(session: &Session) -> usize {
    let faults = &session.results().faults;
    faults.iter().filter(|placed| only_fix(placed).is_some()).count()
}

/// The order of the statements that faults stand in.
fn order(stands: Stands) -> (usize, usize, usize, usize) {
    match stands {
        Stands::Nowhere => (0, 0, 0, 0),
        Stands::Head(line) => (1, line, 0, 0),
        Stands::Opening(sheet) => (2, sheet, 0, 0),
        Stands::Line(sheet, line) => (3, sheet, line, 0),
        Stands::Row(sheet, row, column) => (4, sheet, row, column.map_or(0, |column| column + 1)),
    }
}

/// Several changes of one text as one; of two that meet, the first.
fn joined(source: &str, fixes: &[&Fix]) -> Option<Fix> {
    let mut fixes = fixes.to_vec();
    fixes.sort_by_key(|fix| fix.span.start);
    let start = fixes.first()?.span.start;
    let mut end = start;
    let mut text = String::new();
    for fix in fixes {
        if let Some(between) = source.get(end as usize..fix.span.start as usize) {
            text.push_str(between);
            text.push_str(&fix.replacement);
            end = fix.span.end;
        }
    }
    Some(Fix {
        label: "mend".into(),
        span: Span::new(start as usize, end as usize),
        replacement: text.into(),
    })
}

/// The changes that mend all of them.
///
/// # Errors
/// Never; like the others.
pub fn mended(session: &Session, system: System) -> Made {
    let faults = &session.results().faults;
    let mut certain: Vec<(&Placed, &Fix)> = faults
        .iter()
        .filter_map(|placed| Some((placed, only_fix(placed)?)))
        .collect();
    certain.sort_by_key(|(placed, _)| order(placed.stands));
    let mut changes = Vec::new();
    let mut mended = 0;
    for group in certain.chunk_by(|(one, _), (other, _)| one.stands == other.stands) {
        let Some((placed, fix)) = group.first() else { continue };
        let command = if let [_] = group {
            let at =
                place(session, placed).and_then(|(at, spot)| Some((Seen::of(session, at)?.shown_in(system), spot)));
            at.and_then(|(seen, spot)| fixed_at(seen, spot, placed, fix))
                .or_else(|| fixed(session, placed, fix))
        } else {
            let fixes: Vec<&Fix> = group.iter().map(|(_, fix)| *fix).collect();
            joined(&placed.source, &fixes).and_then(|fix| fixed(session, placed, &fix))
        };
        if let Some(command) = command {
            mended += group.len();
            changes.extend(command.changes);
        }
    }
    let left = faults.iter().filter(|placed| placed.fault.severity == Severity::Error);
    let left = left.count().saturating_sub(mended);
    let rest = match left {
        0 => String::new(),
        1 => " 1 more leaves a choice or has no offer.".to_owned(),
        more => format!(" {more} more leave a choice or have no offer."),
    };
    Ok((
        changes,
        Some(format!(
            "{mended} faults mended as offered; Ctrl+Z takes it back.{rest}"
        )),
    ))
}
