//! How values are jotted down on paper: `18'`, `18 ft 3 in`, `18 m (est.)`, `20…25 m`, `2 x 15 kW`, `12 m | 13 m`.
//!
//! For: a formula that cannot be read, before it is told what was expected at which place.
//! Always: what is offered is read as it stands. What can be read otherwise, such as `20-25 m`, is left alone.
//! Not known here: what the value is of.

use rust_decimal::Decimal;

use super::words::is_reserved;
use crate::fault::{Code, Fault, Span};
use crate::quantity::{Unit, conversion};

/// Words that stand behind a value and say how sure it is, or where it holds. Common practice, no source.
const REMARKS: &[&str] = &[
    "approx",
    "about",
    "est",
    "estimated",
    "estimate",
    "typ",
    "typical",
    "max",
    "maximum",
    "min",
    "minimum",
    "nom",
    "nominal",
    "ca",
    "circa",
    "at",
    "rated",
    "tbc",
    "guess",
    "guessed",
    "abs",
    "gauge",
    "net",
    "gross",
    "each",
    "ea",
    "old",
    "new",
];

/// The fault of a text that is a value as it is jotted down, with what to write.
pub(super) fn jotted(text: &str) -> Option<Fault> {
    let said = text.trim();
    let (message, help, write) = bars(said)
        .or_else(|| marks(said))
        .or_else(|| joined(said))
        .or_else(|| range(said))
        .or_else(|| times(said))
        .or_else(|| remark(said))?;
    let start = text.len() - text.trim_start().len();
    let span = Span::new(start, start + said.len());
    let fault = Fault::new(Code::EXPECTED, span, message).help(format!("write `{write}`{help}"));
    Some(fault.fix(format!("write {write}"), span, write))
}

/// What is wrong, what else there is to say, what to write.
type Read = (String, String, String);

/// A number at the beginning of a text, and the rest.
fn number(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|letter: char| !(letter.is_ascii_digit() || letter == '.'))
        .unwrap_or(text.len());
    // The dots of a range are none of the number.
    let (digits, _) = text.split_at(end);
    let digits = digits.split_once("..").map_or(digits, |(first, _)| first);
    let digits = digits.trim_end_matches('.');
    let is_number = digits.starts_with(|first: char| first.is_ascii_digit()) && digits.parse::<Decimal>().is_ok();
    is_number.then(|| (digits, text.get(digits.len()..).unwrap_or("")))
}

/// A number with a unit at the beginning of a text, and the rest.
fn value(text: &str) -> Option<(&str, &str, &str)> {
    let (digits, rest) = number(text)?;
    let rest = rest.trim_start();
    let end = rest
        .find(|letter: char| letter.is_whitespace() || letter == '(')
        .unwrap_or(rest.len());
    let (unit, rest) = rest.split_at(end);
    Unit::known(unit).map(|_| (digits, unit, rest.trim_start()))
}

fn bars(said: &str) -> Option<Read> {
    let (first, _) = said.split_once('|').filter(|_| !said.contains('"'))?;
    let first = first.trim();
    let is_value = value(first).is_some_and(|(.., rest)| rest.is_empty())
        || number(first).is_some_and(|(_, rest)| rest.is_empty());
    is_value.then(|| {
        (
            "`|` stands between the values of several cases, and here is the place of one".to_owned(),
            " here, the next value in the place of the next case; `or` joins two conditions".to_owned(),
            first.to_owned(),
        )
    })
}

/// Feet and inches by their marks.
fn marks(said: &str) -> Option<Read> {
    let is_feet = |letter: char| matches!(letter, '\'' | '′' | '’');
    let is_inches = |text: &str| matches!(text, "\"" | "″" | "''" | "”");
    let (digits, rest) = number(said)?;
    let write = if is_inches(rest) {
        format!("{digits} in")
    } else {
        let rest = rest.strip_prefix(is_feet)?.trim_start_matches([' ', '-']);
        match number(rest) {
            _ if rest.is_empty() => format!("{digits} ft"),
            Some((inches, mark)) if mark.is_empty() || is_inches(mark) => format!("{digits} ft + {inches} in"),
            _ => return None,
        }
    };
    let message = format!("`{said}` has a mark for its unit; units are written out");
    Some((message, String::new(), write))
}

/// Two values of one sort, one behind the other: `18 ft 3 in`.
fn joined(said: &str) -> Option<Read> {
    let (first, unit, rest) = value(said)?;
    let (second, smaller, end) = value(rest)?;
    let fits = conversion(&Unit::known(unit)?, &Unit::known(smaller)?).is_ok();
    (end.is_empty() && fits).then(|| {
        (
            format!("`{first} {unit}` and `{second} {smaller}` stand side by side"),
            ": both together are their sum".to_owned(),
            format!("{first} {unit} + {second} {smaller}"),
        )
    })
}

/// From one value to another: `20…25 m`, `20 to 25 m`.
fn range(said: &str) -> Option<Read> {
    let (low, rest) = number(said)?;
    let rest = rest.trim_start();
    let (unit_of_low, rest) = match value(said) {
        Some((_, unit, rest)) if rest.starts_with("to ") || rest.starts_with(['…', '.']) => (unit, rest),
        _ => ("", rest),
    };
    let rest = ["...", "..", "…", "to "]
        .iter()
        .find_map(|sign| rest.strip_prefix(sign))?;
    let (high, unit, end) = value(rest.trim_start())?;
    let is_one = end.is_empty() && (unit_of_low.is_empty() || unit_of_low == unit);
    let (from, to) = (low.parse::<Decimal>().ok()?, high.parse::<Decimal>().ok()?);
    if !is_one || from >= to {
        return None;
    }
    let two = Decimal::TWO;
    let middle = from.checked_add(to)?.checked_div(two)?.normalize();
    let half = to.checked_sub(from)?.checked_div(two)?.normalize();
    Some((
        format!("`{said}` says from where to where, and a formula takes one value with what it may be off"),
        String::new(),
        format!("{middle} {unit} ± {half} {unit}"),
    ))
}

/// So many of something: `2 x 15 kW`.
fn times(said: &str) -> Option<Read> {
    let (count, rest) = number(said)?;
    let rest = rest.trim_start().strip_prefix(['x', 'X'])?.trim_start();
    let (each, unit, end) = value(rest)?;
    end.is_empty().then(|| {
        (
            format!("`{said}` has a letter for a sign; `*` multiplies"),
            String::new(),
            format!("{count} * {each} {unit}"),
        )
    })
}

/// A value with words behind it.
fn remark(said: &str) -> Option<Read> {
    let (digits, unit, rest) = value(said)?;
    let inside = rest.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
    let words = inside.unwrap_or(rest).trim();
    let first = words.split([' ', '.', ',']).next().unwrap_or("");
    let is_remark = REMARKS.contains(&first.to_lowercase().as_str());
    // What is no formula in brackets is words as well.
    let no_formula = |words: &str| super::parse(words).1.iter().any(Fault::is_error);
    let in_brackets = inside.is_some_and(|words| !words.contains('(') && no_formula(words));
    if words.is_empty() || is_reserved(first) || !(is_remark || in_brackets) {
        return None;
    }
    Some((
        format!("`{rest}` is a remark and no part of the value"),
        "; a remark stands in quotes behind the source, such as `assumed \"est.\"`, or behind `#`".to_owned(),
        format!("{digits} {unit}"),
    ))
}

#[cfg(test)]
#[allow(clippy::panic)]
mod tests {
    use super::super::parse;
    use crate::fault::Fault;

    #[test]
    fn what_is_jotted_down_is_told_with_what_to_write() {
        for (text, write) in [
            ("18'", "18 ft"),
            ("6'-3\"", "6 ft + 3 in"),
            ("6′ 3″", "6 ft + 3 in"),
            ("18 ft 3 in", "18 ft + 3 in"),
            ("2 h 30 min", "2 h + 30 min"),
            (" 18 m (est.)", "18 m"),
            ("18 m approx.", "18 m"),
            ("15 kW at 40 °C", "15 kW"),
            ("20...25 m", "22.5 m ± 2.5 m"),
            ("20 … 25 m", "22.5 m ± 2.5 m"),
            ("20 m to 25 m", "22.5 m ± 2.5 m"),
            ("2 x 15 kW", "2 * 15 kW"),
            ("2x15 kW", "2 * 15 kW"),
            ("12 m | 13 m", "12 m"),
        ] {
            let (_, faults) = parse(text);
            let fix = faults
                .first()
                .and_then(|fault| fault.fixes.first())
                .unwrap_or_else(|| panic!("{text}: {faults:?}"));
            assert_eq!(fix.replacement, *write, "{text}");
            assert_eq!(fix.span.of(text), text.trim());
            assert!(!parse(write).1.iter().any(Fault::is_error), "{write}");
        }
    }

    #[test]
    fn what_is_something_else_is_left_alone() {
        for text in [
            "18 m (H)",
            "18 m H",
            "5 N m",
            "18 m (2 + 3)",
            "20 m 5 kW",
            "25...20 m",
            "12 m | ",
            "a | b",
            "5 kW and 3",
        ] {
            let (_, faults) = parse(text);
            let said = faults
                .iter()
                .any(|fault| fault.message.contains("remark") || fault.message.contains("side by side"));
            let range = faults.iter().any(|fault| fault.message.contains("from where"));
            assert!(!said && !range, "{text}: {faults:?}");
        }
    }
}
