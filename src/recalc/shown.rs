//! A worked value as text with its unit.

use rust_decimal::Decimal;

use super::results::Band;
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::{Number, Phasor, PhasorForm, show};
use crate::workbook::{Role, Rounding};

/// A value as shown, with its unit: `5.014 kW`, `star`, `yes`. A blank is a dash, a fault an exclamation mark.
pub fn shown(outcome: &Outcome, sort: &Sort, rounding: Option<&Rounding>) -> String {
    if let (Some(form), Some(phasor)) = (form_of(sort), outcome.as_phasor()) {
        return show::phasor(&phasor, form, rounding, beside(sort));
    }
    match outcome {
        Outcome::Value(Value::Number(number)) => with_unit(show::number(number, rounding), sort),
        Outcome::Value(Value::Phasor(phasor)) => show::phasor(phasor, PhasorForm::Rectangular, rounding, beside(sort)),
        Outcome::Value(Value::Text(text)) => match sort {
            Sort::Choice(_) => text.to_string(),
            _ => format!("\"{text}\""),
        },
        Outcome::Value(Value::Truth(true)) => "yes".to_owned(),
        Outcome::Value(Value::Truth(false)) => "no".to_owned(),
        Outcome::Blank(_) => "–".to_owned(),
        Outcome::Fault(_) => "!".to_owned(),
    }
}

/// A given value as typed, where its digits are not too many.
pub fn as_given(outcome: &Outcome, sort: &Sort) -> String {
    if let (Some(form), Some(phasor)) = (form_of(sort), outcome.as_phasor()) {
        return show::typed_phasor(&phasor, form, beside(sort), TYPED);
    }
    match outcome.as_number() {
        Some(number) => {
            let exact = show::exact(&number);
            let text = if exact.len() <= TYPED {
                exact
            } else {
                show::number(&number, Some(&Rounding::Digits(6)))
            };
            with_unit(text, sort)
        }
        None => shown(outcome, sort, None),
    }
}

/// The form of a phasor; `None` for what is real.
pub fn form_of(sort: &Sort) -> Option<PhasorForm> {
    match sort {
        Sort::Quantity { phasor, .. } => *phasor,
        _ => None,
    }
}

/// A phasor as shown beside its unit; a typed one stands as typed.
pub fn phasor_of(phasor: &Phasor, form: PhasorForm, role: Role, rounding: Option<&Rounding>) -> String {
    match (role, rounding) {
        (Role::Given, None) => show::typed_phasor(phasor, form, "", MOST_TYPED),
        _ => show::phasor(phasor, form, rounding, ""),
    }
}

/// The number of a quantity as shown beside its unit. What was typed stands as typed; what was worked, or brought from another
/// unit, is rounded.
pub fn number_of(number: &Number, role: Role, rounding: Option<&Rounding>) -> String {
    if let (Number::Exact(typed), Role::Given, None) = (number, role, rounding) {
        let text = typed.to_string();
        // A conversion leaves a long tail; then it is no longer what was typed.
        if text.bytes().filter(u8::is_ascii_digit).count() <= MOST_TYPED {
            return text;
        }
    }
    show::number(number, rounding)
}

/// A value with its limits beside its unit: `68 (52 … 91)`. The limits are rounded outwards to two digits of their distance.
pub fn banded_of(number: &Number, band: &Band, role: Role, rounding: Option<&Rounding>) -> String {
    let value = nominal_of(number, band, role, rounding);
    match limits_of(band) {
        Some((low, high)) => format!("{value} ({low} … {high})"),
        None => value,
    }
}

/// The value of a band as shown: a result without a rounding of its own is rounded like its limits, where these are not far wider
/// than the value itself and two digits of it stay.
pub fn nominal_of(number: &Number, band: &Band, role: Role, rounding: Option<&Rounding>) -> String {
    let stays = |step: &Decimal| Number::Exact(*step).to_f64() * 10.0 <= number.to_f64().abs();
    match (role, rounding, step_of(band).filter(stays)) {
        (Role::Work | Role::Seek, None, Some(step)) => show::number(number, Some(&Rounding::Step(step))),
        _ => number_of(number, role, rounding),
    }
}

/// Both limits as shown, rounded outwards; `None` where they are one.
pub fn limits_of(band: &Band) -> Option<(String, String)> {
    let step = step_of(band)?;
    let size = Number::Exact(step).to_f64();
    let shown = |steps: f64| show::number(&Number::Float(steps * size), Some(&Rounding::Step(step)));
    let slack = 1e-9 * (band.high.abs().max(band.low.abs()) / size).clamp(1.0, 1e3);
    Some((
        shown((band.low / size + slack).floor()),
        shown((band.high / size - slack).ceil()),
    ))
}

/// Two digits of the distance of the limits.
fn step_of(band: &Band) -> Option<Decimal> {
    let width = band.high - band.low;
    let size = band.high.abs().max(band.low.abs());
    if !width.is_finite() || width <= size * 1e-12 {
        return None;
    }
    let places = 1 - width.log10().floor() as i32;
    match places {
        0..=20 => Some(Decimal::new(1, places as u32)),
        -15..=-1 => Some(Decimal::from(10_i64.pow(places.unsigned_abs()))),
        _ => None,
    }
}

/// Most digits of a number that passes for typed.
const MOST_TYPED: usize = 10;

/// Longest number that is shown unrounded.
const TYPED: usize = 12;

/// A shown number and the unit of its sort. A power factor is shown as a plain number, in a check as in its own line.
fn with_unit(number: String, sort: &Sort) -> String {
    match beside(sort) {
        "" => number,
        unit => format!("{number} {unit}"),
    }
}

/// The unit that stands behind a number of this sort.
fn beside(sort: &Sort) -> &str {
    match sort {
        Sort::Quantity { unit, .. } if !unit.is_plain() && &*unit.text != "W/VA" => &unit.text,
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::quantity::{Number, Unit};

    #[test]
    fn typed_numbers_stand_as_typed_and_converted_ones_rounded() {
        let of = |text: &str, role| number_of(&Number::Exact(text.parse().unwrap()), role, None);
        assert_eq!(of("123456", Role::Given), "123456");
        assert_eq!(of("0.1234567", Role::Given), "0.1234567");
        assert_eq!(of("123456", Role::Work), "123500");
        // 15 hp of 745.69987158227022 W.
        assert_eq!(of("11.1854980737340533", Role::Given), "11.19");
    }

    #[test]
    fn a_power_factor_is_shown_as_a_plain_number() {
        let outcome = Outcome::Value(Value::Number(Number::Exact(Decimal::new(86, 2))));
        let sort = |unit: &str| {
            let unit = Unit::parse(unit).unwrap();
            Sort::Quantity {
                dimension: unit.dimension,
                unit,
                kind: None,
                phasor: None,
            }
        };
        assert_eq!(shown(&outcome, &sort("W/VA"), None), "0.86");
        assert_eq!(shown(&outcome, &sort("kW"), None), "0.86 kW");
    }
}
