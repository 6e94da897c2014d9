//! Figures for files: a number at fifteen digits, and how many places it is shown with.

use rust_decimal::prelude::ToPrimitive;

use crate::quantity::Number;

/// The number as a file of cells holds it: a double, at fifteen significant digits.
pub fn at_fifteen_digits(number: &Number) -> f64 {
    let double = match number {
        // The nearest double by way of the text: the direct way may be off in the last digit.
        Number::Exact(decimal) | Number::Rounded(decimal) => decimal
            .to_string()
            .parse()
            .unwrap_or_else(|_| decimal.to_f64().unwrap_or(f64::NAN)),
        Number::Float(float) => *float,
    };
    fifteen(double)
}

/// A double at fifteen significant digits.
pub fn fifteen(double: f64) -> f64 {
    format!("{double:.14e}").parse().unwrap_or(double)
}

/// A double as text with a decimal point, without an exponent where that stays short.
pub fn plain(number: f64) -> String {
    let size = number.abs();
    if size != 0.0 && !(1e-5..1e15).contains(&size) {
        format!("{number:E}")
    } else {
        format!("{number}")
    }
}

/// The number format of a cell that shows the digits of `shown` (as `1465`, `0.0452`, `1.2e-7`).
pub fn format_of(shown: &str) -> String {
    let (mantissa, exponent) = match shown.split_once(['e', 'E']) {
        Some((mantissa, _)) => (mantissa, "E+00"),
        None => (shown, ""),
    };
    let places = mantissa.split_once('.').map_or(0, |(_, places)| places.len().min(15));
    let dot = if places > 0 { "." } else { "" };
    format!("0{dot}{}{exponent}", "0".repeat(places))
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use super::*;

    #[test]
    fn fifteen_digits_of_a_third() {
        let third = Decimal::ONE / Decimal::from(3);
        assert_eq!(plain(at_fifteen_digits(&Number::Rounded(third))), "0.333333333333333");
        assert_eq!(plain(at_fifteen_digits(&Number::Float(0.1 + 0.2))), "0.3");
        assert_eq!(
            plain(at_fifteen_digits(&Number::Exact(Decimal::new(-1150, 2)))),
            "-11.5"
        );
        assert_eq!(plain(0.0), "0");
        assert_eq!(plain(1.5e-12), "1.5E-12");
    }

    #[test]
    fn formats_show_the_digits() {
        for (shown, format) in [
            ("1465", "0"),
            ("0.0452", "0.0000"),
            ("-5.50", "0.00"),
            ("1.20e-7", "0.00E+00"),
        ] {
            assert_eq!(format_of(shown), format);
        }
    }
}
