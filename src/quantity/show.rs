//! How a value is shown: digits, rounding half away from zero.
//!
//! For: screen, terminal, files. Rounding happens here and nowhere else.
//! Always: what is shown reads back as a number of the language.
//! Not known here: where it is shown, and its unit.

use std::cmp::Ordering;

use rust_decimal::{Decimal, RoundingStrategy};

use super::decimal;
use super::number::Number;
use super::phasor::{Phasor, PhasorForm};

/// How a result is rounded when shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// `to 3 digits`
    Digits(u8),
    /// `to 0.1`: a step in the shown unit
    Step(Decimal),
}

/// Digits shown where nothing is said.
const USUAL: u32 = 4;

/// Most digits of a decimal and of a float in files.
const DECIMAL_DIGITS: u32 = 28;

/// A number as shown: four significant digits, or as asked. A number that needs fewer is shown without zeros behind; with
/// `to 3 digits` the zeros stand, they say how far it was rounded. Beyond 10⁹ and below 10⁻⁴ with a power of ten.
pub fn number(number: &Number, rounding: Option<&Rounding>) -> String {
    let Some(value) = number.to_decimal() else {
        return far(number.to_f64(), rounding);
    };
    match rounding {
        None => {
            let rounded = decimal::to_digits(value, USUAL);
            if number.compare(Number::Exact(rounded)) == Ordering::Equal {
                written(rounded, None)
            } else {
                written(rounded, Some(USUAL))
            }
        }
        Some(Rounding::Digits(digits)) => {
            let digits = u32::from(*digits).clamp(1, DECIMAL_DIGITS);
            written(decimal::to_digits(value, digits), Some(digits))
        }
        Some(Rounding::Step(step)) => stepped(value, *step).unwrap_or_else(|| written(value.normalize(), None)),
    }
}

/// A number unrounded: up to 28 digits, 15 where a float took part; point, `-`, `e` where the plain form would be long.
pub fn exact(number: &Number) -> String {
    match number {
        Number::Exact(value) | Number::Rounded(value) => {
            let value = value.normalize();
            let value = if value.mantissa().unsigned_abs() >= 10_u128.pow(DECIMAL_DIGITS) {
                decimal::to_digits(value, DECIMAL_DIGITS)
            } else {
                value
            };
            plain(value.normalize())
        }
        Number::Float(value) => {
            let text = format!("{value:.14e}");
            let (digits, exponent) = text.split_once('e').unwrap_or((&text, "0"));
            let exponent: i32 = exponent.parse().unwrap_or(0);
            let digits = if digits.contains('.') {
                digits.trim_end_matches('0').trim_end_matches('.')
            } else {
                digits
            };
            match decimal::from_f64(*value) {
                Some(value) if (-7..16).contains(&exponent) => plain(value.normalize()),
                _ if *value == 0.0 => "0".to_owned(),
                _ => format!("{digits}e{exponent}"),
            }
        }
    }
}

/// A phasor as shown, each number as [`number()`] shows it. `unit` stands behind each length and is empty beside a column that has
/// it: `0.3 Ω + j*0.5 Ω`, `230 V ∠ -30 deg`. The angle has two digits less behind the point than the magnitude has digits.
pub fn phasor(phasor: &Phasor, form: PhasorForm, rounding: Option<&Rounding>, unit: &str) -> String {
    let places = match rounding {
        Some(Rounding::Digits(digits)) => u32::from(*digits).saturating_sub(2).clamp(1, 12),
        _ => ANGLE_PLACES,
    };
    let step = Rounding::Step(Decimal::new(1, places));
    let angle = number(&Number::Float(phasor.angle().to_degrees()), Some(&step));
    let angle = match angle.split_once('.') {
        Some(_) => angle.trim_end_matches('0').trim_end_matches('.'),
        None => &angle,
    };
    joined(phasor, form, angle, unit, |part| number(&Number::Float(part), rounding))
}

/// A phasor that was typed: its digits as they are, where they are not too many for `longest` signs.
pub fn typed_phasor(typed: &Phasor, form: PhasorForm, unit: &str, longest: usize) -> String {
    let angle = exact(&Number::Float(typed.angle().to_degrees()));
    let lengths = match form {
        PhasorForm::Polar => vec![typed.abs()],
        PhasorForm::Rectangular => vec![typed.re(), typed.im().abs()],
    };
    let short = |part: &f64| exact(&Number::Float(*part)).len() <= longest;
    if lengths.iter().all(short) && (form == PhasorForm::Rectangular || angle.len() <= longest) {
        return joined(typed, form, &angle, unit, |part| exact(&Number::Float(part)));
    }
    phasor(typed, form, None, unit)
}

fn joined(phasor: &Phasor, form: PhasorForm, angle: &str, unit: &str, text: impl Fn(f64) -> String) -> String {
    let length = |part: f64| {
        let text = text(part);
        if unit.is_empty() {
            text
        } else {
            format!("{text} {unit}")
        }
    };
    match form {
        PhasorForm::Polar => format!("{} ∠ {angle} deg", length(phasor.abs())),
        PhasorForm::Rectangular => {
            let im = phasor.im();
            let sign = if im < 0.0 { '-' } else { '+' };
            format!("{} {sign} j*{}", length(phasor.re()), length(im.abs()))
        }
    }
}

/// Digits behind the point of an angle in degrees where nothing is said.
const ANGLE_PLACES: u32 = 2;

/// Real and imaginary part unrounded, at fifteen digits.
pub fn exact_parts(phasor: &Phasor) -> [String; 2] {
    [phasor.re(), phasor.im()].map(|part| exact(&Number::Float(part)))
}

/// A decimal rounded to a number of significant digits, half away from zero.
pub fn to_digits(value: Decimal, digits: u8) -> Decimal {
    decimal::to_digits(value, u32::from(digits))
}

/// A rounded decimal as text; `digits`: how many significant digits are to stand, zeros included.
fn written(value: Decimal, digits: Option<u32>) -> String {
    if value.is_zero() {
        return "0".to_owned();
    }
    let short = value.normalize();
    let exponent = short.mantissa().unsigned_abs().ilog10() as i32 - short.scale() as i32;
    if (-4..9).contains(&exponent) {
        let Some(digits) = digits else {
            return plain(short);
        };
        let places = (digits as i32 - 1 - exponent).clamp(0, 28) as u32;
        let mut value = short;
        value.rescale(places.max(short.scale()));
        return plain(value);
    }
    let mut mantissa = short
        .mantissa()
        .unsigned_abs()
        .to_string()
        .trim_end_matches('0')
        .to_owned();
    let wanted = digits.map_or(mantissa.len(), |digits| digits as usize);
    while mantissa.len() < wanted {
        mantissa.push('0');
    }
    let (first, rest) = mantissa.split_at(1);
    let sign = if short.is_sign_negative() { "-" } else { "" };
    let point = if rest.is_empty() { "" } else { "." };
    format!("{sign}{first}{point}{rest}e{exponent}")
}

/// The nearest multiple of a step, with the places of the step.
fn stepped(value: Decimal, step: Decimal) -> Option<String> {
    let step = step.abs();
    if step.is_zero() {
        return None;
    }
    let steps = decimal::fraction(value) / decimal::fraction(step);
    // Half away from zero on the exact quotient.
    let half = num_rational::BigRational::new(1.into(), 2.into());
    let whole = if value.is_sign_negative() {
        (steps - half).ceil()
    } else {
        (steps + half).floor()
    };
    if num_traits::Zero::is_zero(&whole) {
        let mut zero = Decimal::ZERO;
        zero.rescale(step.scale());
        return Some(zero.to_string());
    }
    let mut rounded = decimal::rounded(&(whole * decimal::fraction(step))).ok()?;
    rounded.rescale(step.scale().max(rounded.scale()));
    Some(plain(rounded))
}

/// Digits and point; a zero has no sign.
fn plain(value: Decimal) -> String {
    if value.is_zero() {
        value.abs().to_string()
    } else {
        value.to_string()
    }
}

/// A float beyond decimals.
fn far(value: f64, rounding: Option<&Rounding>) -> String {
    let digits = match rounding {
        Some(Rounding::Digits(digits)) => usize::from(*digits).clamp(1, 15),
        _ => USUAL as usize,
    };
    format!("{value:.*e}", digits - 1)
}

/// A decimal rounded to places after the point, half away from zero, zeros kept.
pub fn to_places(value: Decimal, places: u32) -> String {
    let mut rounded = value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
    rounded.rescale(places);
    plain(rounded)
}
