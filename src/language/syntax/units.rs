//! Units in a formula: the shape was told by the grammar, the table says which unit it is.

use std::cell::RefCell;
use std::collections::HashMap;

use super::tree::WrittenUnit;
use super::twins::canonical_text;
use crate::fault::{Code, Fault, Span};
use crate::quantity::{Unit, UnitFault};

thread_local! {
    /// Units read before. A workbook has few different ones; texts that fail are not kept.
    static READ: RefCell<HashMap<Box<str>, Unit>> = RefCell::new(HashMap::new());
}

/// Units kept; hostile texts could have any number.
const MOST_KEPT: usize = 4096;

/// The unit of this text.
fn look_up(text: &str) -> Result<Unit, UnitFault> {
    if let Some(unit) = READ.with_borrow(|read| read.get(text).cloned()) {
        return Ok(unit);
    }
    let canonical = canonical_text(text);
    let unit = Unit::parse(if canonical == "pole pairs" {
        "pole pair"
    } else {
        &canonical
    })?;
    READ.with_borrow_mut(|read| {
        if read.len() >= MOST_KEPT {
            read.clear();
        }
        read.insert(text.into(), unit.clone());
    });
    Ok(unit)
}

/// Reads the text of a unit that stands at `span` of a formula or line.
///
/// # Errors
/// `unknown-unit`, or `glued-to-unit` where a name hangs on a unit without blanks (`15 kW/eta`).
pub fn read_unit(text: &str, span: Span) -> Result<WrittenUnit, Fault> {
    read_unit_after("", text, span)
}

/// The same for a unit that stands after a number, which is shown in the help.
pub(super) fn read_unit_after(number: &str, text: &str, span: Span) -> Result<WrittenUnit, Fault> {
    look_up(text)
        .map(|unit| WrittenUnit { unit, span })
        .map_err(|fault| refused(number, text, span, &fault))
}

fn refused(number: &str, text: &str, span: Span, fault: &UnitFault) -> Fault {
    let place = text.find(fault.part.as_str()).map_or(span, |at| {
        let start = span.start as usize + at;
        if fault.part.is_empty() {
            span
        } else {
            Span::new(start, start + fault.part.len())
        }
    });
    let constant = ["pi", "π"].into_iter().find(|pi| text == *pi);
    if let Some(pi) = constant.filter(|_| !number.is_empty()) {
        return Fault::new(
            Code::UNKNOWN_UNIT,
            span,
            format!("`{pi}` is a number and no unit; nothing is multiplied silently"),
        )
        .help(format!("write `{number}*{pi}`"))
        .fix(format!("write {number}*{pi}"), span, format!("*{pi}"));
    }
    if fault.reason.is_none()
        && let Some(glued) = glued(number, text, span)
    {
        return glued;
    }
    let message = fault.reason.as_deref().map_or_else(
        || format!("`{}` is not a known unit", shown(fault, text)),
        str::to_owned,
    );
    let found = Fault::new(fault.code, place, message);
    if !number.is_empty() && text.contains('_') && fault.reason.is_none() {
        // A name with its index, whose times sign is missing.
        let or_unit = match fault.nearest.as_slice() {
            [] => String::new(),
            near => format!("; for the unit write {}", one_of(near)),
        };
        let write = format!("{number} * {text}");
        return found
            .help(format!(
                "where the quantity `{text}` is meant, write `{write}`{or_unit}"
            ))
            .fix(format!("write {write}"), span, format!("* {text}"));
    }
    if !fault.nearest.is_empty() {
        let found = found.help(format!("write {}", one_of(&fault.nearest)));
        return found.offering(place, fault.nearest.iter().cloned());
    }
    if fault.reason.is_some() {
        return found;
    }
    found.help(format!(
        "after a number stands its unit; if `{text}` is a name, put an operator between: `{}*{text}`",
        if number.is_empty() { "2" } else { number }
    ))
}

fn shown<'a>(fault: &'a UnitFault, text: &'a str) -> &'a str {
    if fault.part.is_empty() { text } else { &fault.part }
}

/// `15 kW/eta`: a unit, a joint, and something that is none.
fn glued(number: &str, text: &str, span: Span) -> Option<Fault> {
    let joints = text
        .char_indices()
        .filter(|(_, sign)| matches!(sign, '/' | '·' | '⋅' | '-' | '.'));
    for (at, joint) in joints.collect::<Vec<_>>().into_iter().rev() {
        let (left, right) = (text.get(..at)?, text.get(at + joint.len_utf8()..)?);
        let right_is_name = right.chars().all(|letter| letter.is_alphanumeric() || letter == '_');
        if left.is_empty() || right.is_empty() || !right_is_name || look_up(right).is_ok() || look_up(left).is_err() {
            continue;
        }
        // After `in` no name can be meant: `r/mn` is `r/min` typed wrongly.
        if number.is_empty() && look_up(right).is_err_and(|fault| !fault.nearest.is_empty()) {
            return None;
        }
        if matches!(right, "a" | "yr." | "year" | "Jahr" | "an") && joint == '/' {
            // Per annum.
            let write = format!("{left}/yr");
            let known = look_up(&write).is_ok();
            return known.then(|| {
                Fault::new(
                    Code::UNKNOWN_UNIT,
                    span,
                    format!("a year is written `yr` as a unit, and `{right}` is none"),
                )
                .help(format!("write `{write}`"))
                .fix(format!("write {write}"), span, write)
            });
        }
        let operator = match joint {
            '/' => "/",
            '-' => "-",
            _ => "*",
        };
        let start = span.start as usize + at + joint.len_utf8();
        return Some(
            Fault::new(
                Code::GLUED_TO_UNIT,
                Span::new(start, start + right.len()),
                format!("`{right}` is not a unit, but it hangs on the unit `{left}` without blanks"),
            )
            .help(format!(
                "write `{}{left} {operator} {right}`, with blanks around the operator",
                if number.is_empty() {
                    String::new()
                } else {
                    format!("{number} ")
                }
            ))
            .fix(
                "put blanks around the operator",
                Span::new(span.start as usize + at, span.end as usize),
                format!(" {operator} {right}"),
            ),
        );
    }
    None
}

/// `kW, kVA or kV`
pub(super) fn one_of(words: &[String]) -> String {
    let quoted: Vec<String> = words.iter().take(4).map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
