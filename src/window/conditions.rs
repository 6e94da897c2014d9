//! Conditions on the rows of a list, as people write them.
//!
//! For: a text without its quotes is told with the way to write it; a condition goes with a list into the sums of its groups.
//! Always: what stands in quotes is left alone.
//! Not known here: whether a condition is right; the session says that.

use super::spot::Seen;
use crate::fault::{Code, Fault, Span};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::workbook::text::quoted;

/// A word of a condition and where it stands, in bytes.
type Word<'a> = (usize, &'a str);

/// The names and bare words of a text: what stands in quotes, and a unit behind a number, are none.
fn words(text: &str) -> Vec<Word<'_>> {
    let is_part = |sign: char| sign.is_alphanumeric() || matches!(sign, '_' | '′');
    let mut found = Vec::new();
    let mut quotes = false;
    let mut from: Option<usize> = None;
    for (at, sign) in text.char_indices().chain([(text.len(), ' ')]) {
        if !quotes && is_part(sign) {
            from = from.or(Some(at));
            continue;
        }
        if let Some(start) = from.take() {
            let word = text.get(start..at).unwrap_or_default();
            let before = text.get(..start).unwrap_or_default().trim_end();
            let behind_a_number = before.ends_with(|sign: char| sign.is_ascii_digit());
            if !word.starts_with(|sign: char| sign.is_ascii_digit()) && !behind_a_number {
                found.push((start, word));
            }
        }
        quotes ^= sign == '"';
    }
    found
}

/// A condition in which a name is said to be that of a list: there another one of that name is in reach.
pub fn said_of(list: &str, name: &str, condition: &str) -> String {
    let mut out = condition.to_owned();
    for (at, word) in words(condition).into_iter().rev() {
        let free = !condition.get(..at).unwrap_or_default().ends_with('.');
        if word == name && free {
            out.insert_str(at, &format!("{list}."));
        }
    }
    out
}

/// A text that stands without quotes beside a quantity of texts, with the way to write it: a value of that column where one is meant.
pub fn text_meant(seen: Seen<'_>, condition: &str) -> Option<Fault> {
    let texts = seen
        .results
        .quantities
        .iter()
        .filter(|known| matches!(known.sort, Sort::Text));
    let texts: Vec<_> = texts.collect();
    words(condition).into_iter().find_map(|(at, word)| {
        let quantity = texts.iter().find(|known| *known.name == *word)?;
        let behind = condition.get(at + word.len()..)?;
        let rest = behind.trim_start().strip_prefix(['=', '≠'])?.trim_start();
        let from = condition.len() - rest.len();
        let end = words(rest)
            .into_iter()
            .find(|(_, word)| matches!(*word, "and" | "or"))
            .map_or(rest.len(), |(end, _)| end);
        let typed = rest.get(..end)?.trim_end().trim_end_matches(')').trim_end();
        let is_name = seen.results.quantities.iter().any(|known| *known.name == *typed);
        if typed.is_empty() || typed.contains('"') || is_name {
            return None;
        }
        let value = meant(quantity.cells.iter(), typed).unwrap_or_else(|| typed.to_owned());
        let value = quoted(&value);
        let span = Span::new(from, from + typed.len());
        let message = format!("{word} holds texts, and a text stands in quotes: `{word} = {value}`");
        Some(Fault::new(Code::UNKNOWN_NAME, span, message).fix(format!("write {value}"), span, value))
    })
}

/// The value of a column that a text means: the same but for small and capital letters, else one that begins so.
fn meant<'a>(cells: impl Iterator<Item = &'a Outcome> + Clone, typed: &str) -> Option<String> {
    let typed = typed.to_lowercase();
    let texts = cells.filter_map(|cell| match cell {
        Outcome::Value(Value::Text(text)) => Some(text.to_string()),
        _ => None,
    });
    let same = |text: &String| text.trim().to_lowercase() == typed;
    let begins = |text: &String| text.trim().to_lowercase().starts_with(&typed);
    texts.clone().find(same).or_else(|| texts.clone().find(begins))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_quotes_and_units_are_left_alone() {
        let said = |condition: &str| said_of("motors", "area", condition);
        assert_eq!(
            said("area = \"area\" and load > 3"),
            "motors.area = \"area\" and load > 3"
        );
        assert_eq!(
            said("(area = \"Mill\") or motors.area = \"Yard\""),
            "(motors.area = \"Mill\") or motors.area = \"Yard\""
        );
        assert_eq!(said("area2 = 1 and subarea = 2"), "area2 = 1 and subarea = 2");
        assert_eq!(
            said_of("motors", "h", "hours > 5 h and h < 3"),
            "hours > 5 h and motors.h < 3"
        );
    }
}
