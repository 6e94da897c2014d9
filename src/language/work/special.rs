//! Functions that need more than numbers: published series and letters.

use super::steps::mismatch;
use super::{Outcome, Remark, Value};
use crate::fault::{Code, Words};
use crate::quantity::{Number, show};
use crate::standards::{Basis, Series, code_letter, code_letters};

/// Worked on values that are all there, with a remark where the value is from memory. Numbers come in the unit the checker
/// promises: ratings in the unit of their series, code letters give kVA/hp.
pub(super) fn special(name: &str, values: &[Value]) -> (Outcome, Option<Remark>) {
    if let ("next_rating", [Value::Number(power), Value::Text(series)]) = (name, values) {
        return match Series::find(series) {
            Some(series) => next_rating(*power, series),
            None => (mismatch(), None),
        };
    }
    (letter(name, values), None)
}

fn letter(name: &str, values: &[Value]) -> Outcome {
    match (name, values) {
        ("code_letter_low", [Value::Text(letter)]) => match code_letter(letter) {
            Some(entry) => Outcome::number(Number::Exact(entry.from)),
            None => no_letter(letter),
        },
        ("code_letter_high", [Value::Text(letter)]) => match code_letter(letter) {
            Some(entry) => match entry.below {
                Some(below) => Outcome::number(Number::Exact(below)),
                None => Outcome::fault(
                    Code::NOT_IN_TABLE,
                    format!("code letter {} has no upper end", entry.letter),
                    Some("use code_letter_low, or the maker's locked-rotor current"),
                ),
            },
            None => no_letter(letter),
        },
        _ => mismatch(),
    }
}

fn next_rating(power: Number, series: Series) -> (Outcome, Option<Remark>) {
    if let Some(rating) = series.at_or_above(power) {
        let remark = series
            .table()
            .filter(|_| rating.basis == Basis::FromMemory)
            .map(|table| Remark::FromMemory(table.name));
        return (Outcome::number(Number::Exact(rating.value)), remark);
    }
    let unit = series.unit();
    let value = |words: Words, said: String, number: &Number| {
        words.amount(&format!("{said} {unit}"), show::exact(number), unit)
    };
    let words = value(Words::default(), show::number(&power, None), &power);
    let words = words.and(&format!(" is above the largest rating of {}, ", series.name()));
    let words = match series.largest() {
        Some(rating) => {
            let largest = Number::Exact(rating.value);
            value(words, show::exact(&largest), &largest)
        }
        None => words,
    };
    let outcome = Outcome::fault(
        Code::NOT_IN_TABLE,
        words,
        Some("larger machines are built to order: ask the maker"),
    );
    (outcome, None)
}

fn no_letter(letter: &str) -> Outcome {
    let letters: Vec<&str> = code_letters().iter().map(|entry| entry.letter.as_str()).collect();
    Outcome::fault(
        Code::NOT_IN_TABLE,
        format!("\"{letter}\" is no code letter"),
        Some(&format!("the letters are {}", letters.join(", "))),
    )
}
