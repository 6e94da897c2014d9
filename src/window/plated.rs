//! A bare text as plates have it, typed or pasted where a unit is shown: `7-1/2`, `230/460`, `5.5-6`.
//!
//! Always: it is read as the language reads it with the unit behind it. A whole with its fraction is that number; several values of a
//! plate are never worked as a formula. With blanks around its signs it is a formula.
//! Not known here: the place, and what else may stand there.

use crate::fault::{Code, Fault};
use crate::language::syntax::{self, is_of_plates};

/// The number that a text stands for, with the unit; why it is none where it is several values; `None` for every other text.
pub fn plated(text: &str, unit: &str) -> Option<Result<String, Fault>> {
    let text = text.trim();
    let fits = |sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ' ') || is_of_plates(sign);
    let spaced = [" / ", " - ", " – "].iter().any(|sign| text.contains(sign));
    let begins =
        text.starts_with(|first: char| first.is_ascii_digit() || is_of_plates(first) && first != '-' && first != '/');
    if !begins || unit.is_empty() || spaced || !text.contains(is_of_plates) || !text.chars().all(fits) {
        return None;
    }
    let (_, faults) = syntax::parse(&format!("{text} {unit}"));
    let fault = faults.into_iter().find(Fault::is_error)?;
    match fault.fixes.as_slice() {
        [only] if fault.code == Code::FRACTION => Some(Ok(only.replacement.to_string())),
        _ => Some(Err(fault)),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Values by hand; ways of writing: common practice, no source.
    #[test]
    fn a_whole_with_a_fraction_is_a_number_and_several_values_are_none() {
        for (text, unit, value) in [
            ("7-1/2", "hp", "7.5 hp"),
            ("1 1/2", "hp", "1.5 hp"),
            ("1½", "kW", "1.5 kW"),
            ("¾", "hp", "0.75 hp"),
            ("3/4", "hp", "0.75 hp"),
            ("12-5/8", "inch", "12.625 inch"),
        ] {
            assert_eq!(plated(text, unit).unwrap().unwrap(), value, "{text}");
        }
        for (text, unit, said) in [
            ("230/460", "V", "two values of a plate"),
            ("208-230/460", "V", "three values of a plate"),
            ("13.2/6.6", "A", "two values of a plate"),
            ("5.5-6", "kW", "a range"),
            ("1450-1470", "r/min", "a range"),
        ] {
            let why = plated(text, unit).unwrap().unwrap_err();
            assert!(why.message.to_string().contains(said), "{text}: {}", why.message);
        }
        // A formula, a number, and what has no unit to be read in.
        for (text, unit) in [
            ("230 / 460", "V"),
            ("-5", "kW"),
            ("90-2", "%"),
            ("15", "kW"),
            ("2*7.5", "kW"),
            ("7-1/2", ""),
        ] {
            assert!(plated(text, unit).is_none(), "{text}");
        }
    }
}
