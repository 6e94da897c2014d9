//! Values in the words of a doubt, as their column shows them.
//!
//! Always: a value that was worked has the digits of a column; a rating stands in the unit of its cell, with its kind, so that who looks at
//! other units is told of those.
//! Not known here: what is doubted.

use rust_decimal::Decimal;

use super::motor::Motor;
use super::reads::{PlateUnit, Reads};
use crate::fault::Words;
use crate::quantity::{Number, show};

/// The kind of ratings.
const RATED: &str = "rated power";

/// A worked number with the digits of a column.
pub(super) fn worked(value: f64) -> String {
    let shown = Number::from_f64(value).map_or_else(|_| value.to_string(), |number| show::number(&number, None));
    if shown.contains('.') && !shown.contains(['e', 'E']) {
        return shown.trim_end_matches('0').trim_end_matches('.').to_owned();
    }
    shown
}

/// A value as it is typed into the list.
pub(super) fn typed(value: Decimal, unit: PlateUnit) -> String {
    match unit {
        PlateUnit::One => value.normalize().to_string(),
        unit => format!("{} {}", value.normalize(), unit.text()),
    }
}

/// A number with at most three places.
pub(super) fn short(value: f64) -> String {
    let shown = format!("{value:.3}");
    shown.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A sum of ratings, in the unit of their column: with the digits it was printed with, up to the third place.
pub(super) fn sum(words: Words, value: f64, unit: PlateUnit) -> Words {
    let said = format!("{} {}", short(value), unit.text());
    words.amount_of(&said, value.to_string(), unit.text(), Some(RATED))
}

/// The rating of the motor as its cell gives it.
pub(super) fn own_rating(words: Words, motor: &Motor) -> Words {
    match (motor.cell(Reads::RatedPower), motor.one(Reads::RatedPower)) {
        (Some(cell), Some(typed)) => {
            let (number, unit) = (typed.normalize().to_string(), cell.unit.text());
            words.amount_of(&format!("{number} {unit}"), number.as_str(), unit, Some(RATED))
        }
        _ => words,
    }
}
