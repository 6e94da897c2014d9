//! How numbers are shown: rounding half away from zero by hand.

use polepair::quantity::Number;
use polepair::quantity::decimal::read;
use polepair::quantity::show::{Rounding, exact, number, to_places};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn decimal(text: &str) -> Number {
    Number::Exact(read(text).unwrap())
}

#[test]
fn four_digits_where_nothing_is_said() {
    for (typed, shown) in [
        ("5.013822464788732394366197183", "5.014"),
        ("1465", "1465"),
        ("1465.5", "1466"),
        ("1464.5", "1465"),
        ("-1464.5", "-1465"),
        ("13800", "13800"),
        ("13849", "13850"),
        ("123456", "123500"),
        ("0.5", "0.5"),
        ("1.10", "1.1"),
        ("60", "60"),
        ("5.00003", "5.000"),
        ("99.996", "100.0"),
        ("0.00012345", "0.0001235"),
        ("0.000012345", "1.235e-5"),
        ("0.00001", "1e-5"),
        ("1234567890", "1.235e9"),
        ("3e12", "3e12"),
        ("2000000000", "2e9"),
        ("-0.000012345", "-1.235e-5"),
        ("0", "0"),
        ("0.00", "0"),
    ] {
        assert_eq!(number(&decimal(typed), None), shown, "{typed}");
    }
    // 1/3 × 3 equals one at twelve digits.
    let one = decimal("1").div(decimal("3")).unwrap().mul(decimal("3")).unwrap();
    assert_eq!(number(&one, None), "1");
    assert_eq!(number(&decimal("0.9999999999999999999999999999"), None), "1.000");
    assert_eq!(number(&Number::Float(1e-40), None), "1.000e-40");
    assert_eq!(number(&Number::Float(-6.02e99), None), "-6.020e99");
    assert_eq!(number(&Number::Float(0.1 + 0.2), None), "0.3");
}

#[test]
fn as_asked() {
    let digits = |count: u8| Rounding::Digits(count);
    for (typed, rounding, shown) in [
        ("5", digits(3), "5.00"),
        ("2.355", digits(3), "2.36"),
        ("2.345", digits(3), "2.35"),
        ("2.999", digits(2), "3.0"),
        ("1465", digits(2), "1500"),
        ("0.5", digits(0), "0.5"),
        ("1.5", digits(0), "2"),
        ("1", digits(200), "1.000000000000000000000000000"),
        ("1234567890", digits(2), "1.2e9"),
    ] {
        assert_eq!(number(&decimal(typed), Some(&rounding)), shown, "{typed} {rounding:?}");
    }
    for (typed, step, shown) in [
        ("2.45", "0.1", "2.5"),
        ("-2.45", "0.1", "-2.5"),
        ("2.449", "0.1", "2.4"),
        ("17.3", "5", "15"),
        ("17.5", "5", "20"),
        ("2.6", "0.25", "2.50"),
        ("2.9999", "0.01", "3.00"),
        ("0.004", "0.01", "0.00"),
        ("-0.004", "0.01", "0.00"),
        ("3", "0", "3"),
        ("7", "-0.5", "7.0"),
    ] {
        assert_eq!(
            number(&decimal(typed), Some(&Rounding::Step(read(step).unwrap()))),
            shown,
            "{typed} to {step}"
        );
    }
    assert_eq!(to_places(read("2.355").unwrap(), 2), "2.36");
    assert_eq!(to_places(read("-0.001").unwrap(), 2), "0.00");
}

#[test]
fn unrounded() {
    for (typed, shown) in [
        ("5.10", "5.1"),
        ("-0", "0"),
        ("1e-28", "0.0000000000000000000000000001"),
        ("100", "100"),
    ] {
        assert_eq!(exact(&decimal(typed)), shown);
    }
    // 29 digits are more than are promised.
    let long = decimal("10").div(decimal("3")).unwrap();
    assert_eq!(exact(&long), "3.333333333333333333333333333");
    for (float, shown) in [
        (0.1 + 0.2, "0.3"),
        (1.0 / 3.0, "0.333333333333333"),
        (1e300, "1e300"),
        (-2.5e-300, "-2.5e-300"),
        (123_456_789_012_345.6, "123456789012346"),
        (0.0, "0"),
        (-0.0, "0"),
        (1e20, "1e20"),
        (1.25e-10, "1.25e-10"),
    ] {
        assert_eq!(exact(&Number::Float(float)), shown);
    }
}

proptest! {
    /// What is shown reads back, and misses the number by no more than half a unit of its last digit.
    #[test]
    fn shown_reads_back(mantissa in any::<i64>(), scale in 0_u32..25) {
        let value = Decimal::new(mantissa, scale);
        let text = number(&Number::Exact(value), None);
        let again = read(&text);
        prop_assert!(again.is_some(), "{}", text);
        let apart = (again.unwrap() - value).abs();
        prop_assert!(apart * Decimal::from(2000) <= value.abs(), "{} {}", text, value);
    }

    #[test]
    fn any_float_is_shown(value in any::<f64>()) {
        if let Ok(made) = Number::from_f64(value) {
            let text = exact(&made);
            let again: f64 = text.parse().unwrap();
            prop_assert!(again == value || ((again - value) / value).abs() < 6e-15, "{} {}", text, value);
            prop_assert!(!number(&made, None).is_empty());
        }
    }
}
