//! Equations of `seek` lines: handed to the checker piece by piece, and shown again.

use crate::language::check::{self, Piece, Scope, Sought, Target, Typed};
use crate::language::syntax::Name;
use crate::workbook::{Formula, SeekGoal, SuchThat};

use super::trace::bracketed;

fn piece(formula: &Formula) -> Piece<'_> {
    Piece {
        tree: &formula.tree,
        text: &formula.text,
        at: formula.at,
    }
}

/// Checks the equation of a line. Places are bytes of the line.
pub(super) fn check(such_that: &SuchThat, name: &Name, target: &Target, scope: &dyn Scope) -> Typed {
    let sought = match &such_that.goal {
        SeekGoal::Equation(left, right) => Sought::Equation(piece(left), piece(right)),
        SeekGoal::Largest(value) => Sought::Largest(piece(value)),
        SeekGoal::Smallest(value) => Sought::Smallest(piece(value)),
    };
    let between = such_that.between.as_ref().map(|(low, high)| (piece(low), piece(high)));
    check::seek(&sought, between, name, target, scope)
}

/// The equation with shown values in place of the names, what was found in place of the unknown. `value` gives them by read; places
/// are bytes of the line.
pub(super) fn substituted(
    such_that: &SuchThat,
    typed: &Typed,
    found: Option<(&str, &str)>,
    value: impl Fn(usize) -> Option<String>,
) -> String {
    let found = |word: &str| {
        found
            .filter(|(name, _)| *name == word)
            .map(|(_, value)| value.to_owned())
    };
    let mut places = typed.places.clone();
    places.sort_by_key(|(span, _)| span.start);
    such_that.goal.said_with(&|formula: &Formula| {
        let mut out = String::new();
        let mut at = 0;
        for (span, read) in &places {
            let inside = (span.start.checked_sub(formula.at), span.end.checked_sub(formula.at));
            let (Some(start), Some(end)) = inside else {
                continue;
            };
            let (start, end) = (start as usize, end as usize);
            if start < at || end > formula.text.len() {
                continue;
            }
            let (Some(between), Some(value)) = (formula.text.get(at..start), value(*read)) else {
                continue;
            };
            with_names(between, &mut out, found);
            let after = formula.text.get(end..).unwrap_or("").trim_start();
            let value = bracketed(&value, &out, after);
            out.push_str(&value);
            at = end;
        }
        with_names(formula.text.get(at..).unwrap_or(""), &mut out, found);
        out
    })
}

/// The rearranged formula with shown values in place of the names that stand in the equation.
pub(super) fn substituted_alone(
    alone: &str,
    such_that: &SuchThat,
    typed: &Typed,
    value: impl Fn(usize) -> Option<String>,
) -> String {
    let SeekGoal::Equation(left, right) = &such_that.goal else {
        return alone.to_owned();
    };
    let named = |name: &str| {
        typed.places.iter().find_map(|(span, read)| {
            [left, right].into_iter().find_map(|formula| {
                let start = span.start.checked_sub(formula.at)? as usize;
                let end = span.end.checked_sub(formula.at)? as usize;
                (formula.text.get(start..end) == Some(name)).then_some(*read)
            })
        })
    };
    let mut out = String::new();
    with_names(alone, &mut out, |word| named(word).and_then(&value));
    out
}

/// Puts a text behind another one, with a value in place of each name that has one.
fn with_names(text: &str, out: &mut String, value: impl Fn(&str) -> Option<String>) {
    let in_name = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == '′';
    let mut rest = text;
    while let Some(start) = rest.find(in_name) {
        let (before, tail) = rest.split_at(start);
        out.push_str(before);
        let end = tail.find(|letter| !in_name(letter)).unwrap_or(tail.len());
        let (word, after) = tail.split_at(end);
        // After a number, or joined to a unit, stands a unit; before a bracket or behind a dot a name of another sort.
        let unit = out.ends_with(['·', '/', '^', '.', '"'])
            || out.ends_with(' ') && out.trim_end().ends_with(|letter: char| letter.is_ascii_digit());
        match Some(word)
            .filter(|_| !unit && !after.starts_with(['(', '.']))
            .and_then(&value)
        {
            Some(value) => {
                let value = bracketed(&value, out, after.trim_start());
                out.push_str(&value);
            }
            None => out.push_str(word),
        }
        rest = after;
    }
    out.push_str(rest);
}
