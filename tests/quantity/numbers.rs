//! Checked arithmetic, against hand calculation, fractions of whole numbers, and the known weak spots of the decimal crate.

use std::cmp::Ordering;

use num_bigint::BigInt;
use num_rational::BigRational;
use polepair::quantity::decimal::{self, read};
use polepair::quantity::{Exponent, Number, NumberFault};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn exact(text: &str) -> Number {
    Number::Exact(read(text).unwrap_or_else(|| panic!("{text}")))
}

fn shown(number: Number) -> String {
    polepair::quantity::show::exact(&number)
}

fn power(num: i64, den: i64) -> Exponent {
    Exponent::new(num, den).unwrap()
}

#[test]
fn reading_is_strict() {
    for (text, value) in [
        ("1.10", "1.10"),
        ("-0.5", "-0.5"),
        ("1e3", "1000"),
        ("1.2e-3", "0.0012"),
        ("007", "7"),
        ("1E+2", "100"),
    ] {
        assert_eq!(read(text).unwrap().to_string(), value);
    }
    for text in [
        "", "-", ".5", "5.", "+5", "1_000", "1__0", "1,5", " 1", "1 ", "1e", "1e-", "e3", "1e99999", "١", "0x1", "NaN",
        "1.2.3",
    ] {
        assert_eq!(read(text), None, "{text}");
    }
    // More digits than a decimal holds are refused, not rounded; zeros behind are no digits.
    assert_eq!(read("0.00000000000000000000000000001"), None);
    assert_eq!(read("1e-29"), None);
    assert_eq!(read("79228162514264337593543950336"), None);
    assert_eq!(read("79228162514264337593543950335").unwrap(), Decimal::MAX);
    assert_eq!(
        read("0.1000000000000000000000000000000000").unwrap(),
        read("0.1").unwrap()
    );
    assert_eq!(read("0e99").unwrap(), Decimal::ZERO);
}

#[test]
fn typed_sums_and_products_are_exact() {
    // 1.15 × 10 kW ≥ 11.5 kW passes, always.
    let left = exact("1.15").mul(exact("10")).unwrap();
    assert_eq!(left.compare(exact("11.5")), Ordering::Equal);
    assert!(matches!(left, Number::Exact(_)));
    assert_eq!(
        exact("0.1").add(exact("0.2")).unwrap().compare(exact("0.3")),
        Ordering::Equal
    );
    // Exact numbers differ in their last digit.
    let near = exact("11.50000000000000000000000001");
    assert_eq!(left.compare(near), Ordering::Less);
    // After a division the same two are equal at twelve digits.
    assert_eq!(left.compare(near.inexact()), Ordering::Equal);
    let third = exact("1").div(exact("3")).unwrap().mul(exact("3")).unwrap();
    assert!(matches!(third, Number::Rounded(_)));
    assert_eq!(third.compare(exact("1")), Ordering::Equal);
    assert_eq!(exact("1.000000000002").inexact().compare(exact("1")), Ordering::Greater);
    // A sum that loses digits is no longer exact.
    let lost = exact("79228162514264337593543950335").sub(exact("0.4")).unwrap();
    assert!(matches!(lost, Number::Rounded(_)), "{lost:?}");
}

#[test]
fn faults_instead_of_wrong_numbers() {
    let max = Number::Exact(Decimal::MAX);
    let tiny = exact("1e-15");
    assert_eq!(max.add(exact("1")), Err(NumberFault::Overflow));
    assert_eq!(max.mul(exact("2")), Err(NumberFault::Overflow));
    assert_eq!(
        tiny.mul(tiny),
        Err(NumberFault::Underflow),
        "1e-15 × 1e-15 is silently 0 in the crate"
    );
    assert_eq!(exact("1e-28").div(exact("2.1")), Err(NumberFault::Underflow));
    assert_eq!(exact("1").div(exact("0")), Err(NumberFault::DivisionByZero));
    assert_eq!(Number::Float(1.0).div(exact("0")), Err(NumberFault::DivisionByZero));
    assert_eq!(
        Number::Float(1e-200).mul(Number::Float(1e-200)),
        Err(NumberFault::Underflow)
    );
    assert_eq!(
        Number::Float(1e200).mul(Number::Float(1e200)),
        Err(NumberFault::Overflow)
    );
    assert_eq!(Number::from_f64(f64::NAN), Err(NumberFault::NotReal));
    assert_eq!(
        exact("0").pow_rational(power(-1, 1)),
        Err(NumberFault::DivisionByZero),
        "0 in the crate"
    );
    assert_eq!(exact("0").pow_rational(power(0, 1)), Err(NumberFault::NotReal));
    assert_eq!(
        exact("-2").pow_rational(power(1, 2)),
        Err(NumberFault::NotReal),
        "-1.414 in the crate"
    );
    assert_eq!(exact("-2").pow(exact("0.5")), Err(NumberFault::NotReal));
    assert_eq!(exact("-2").pow(exact("0.123")), Err(NumberFault::NotReal));
    assert_eq!(exact("10").pow(exact("29")), Err(NumberFault::Overflow));
    assert_eq!(exact("10").pow(exact("-40")), Err(NumberFault::Underflow));
    assert_eq!(exact("2").pow(exact("1000000000000")), Err(NumberFault::Overflow));
    assert_eq!(exact("0").ln(), Err(NumberFault::NotReal));
    assert_eq!(exact("-1").log10(), Err(NumberFault::NotReal));
    assert_eq!(exact("2").log(exact("1")), Err(NumberFault::DivisionByZero));
    assert_eq!(exact("1.01").acos(), Err(NumberFault::NotReal));
    assert_eq!(exact("1000").exp(), Err(NumberFault::Overflow));
    assert_eq!(exact("-1000").exp(), Err(NumberFault::Underflow));
    assert_eq!(exact("5").round_to(exact("0")), Err(NumberFault::NoStep));
    assert_eq!(exact("4").root(0), Err(NumberFault::NotReal));
}

#[test]
fn roots() {
    for (value, index, expected) in [
        ("144", 2, "12"),
        ("0.0001", 2, "0.01"),
        ("2", 2, "1.4142135623730950488016887242"),
        ("3", 2, "1.7320508075688772935274463415"),
        ("-27", 3, "-3"),
        ("1e-28", 2, "0.00000000000001"),
        ("79228162514264337593543950335", 2, "281474976710656"),
        ("2", 12, "1.0594630943592952645618252949"),
        ("0", 2, "0"),
    ] {
        assert_eq!(
            shown(exact(value).root(index).unwrap()),
            shown(exact(expected)),
            "{value}, root {index}"
        );
    }
    assert!(matches!(exact("144").sqrt().unwrap(), Number::Exact(_)));
    assert!(matches!(exact("2").sqrt().unwrap(), Number::Rounded(_)));
    // These make the crate's own square root panic.
    for value in ["4.0000000000000000000000000003", "400.00000000000000000000000003"] {
        let root = exact(value).sqrt().unwrap();
        let squared = root.mul(root).unwrap();
        assert_eq!(squared.compare(exact(value)), Ordering::Equal);
    }
}

#[test]
fn powers() {
    assert_eq!(shown(exact("1.1").pow_rational(power(3, 1)).unwrap()), "1.331");
    assert!(matches!(
        exact("1.1").pow_rational(power(3, 1)).unwrap(),
        Number::Exact(_)
    ));
    assert_eq!(shown(exact("4").pow_rational(power(3, 2)).unwrap()), "8");
    assert_eq!(shown(exact("4").pow_rational(power(-1, 2)).unwrap()), "0.5");
    assert_eq!(shown(exact("2").pow(exact("-2")).unwrap()), "0.25");
    // 2^3.2 = 2^(16/5): the crate of 1.40 gave 9.18958682; the true value begins 9.18958683997628.
    assert_eq!(&shown(exact("2").pow(exact("3.2")).unwrap())[..16], "9.18958683997628");
    // 2^π by an independent calculator: 8.824977827076287.
    let pi = Number::Float(std::f64::consts::PI);
    assert_eq!(shown(exact("2").pow(pi).unwrap()), "8.82497782707629");
    assert_eq!(shown(exact("-2").pow(exact("3")).unwrap()), "-8");
    // The power leaves the range, its root does not: (10^20)^(3/2) is too large, (10^20)^(2/3) is not.
    assert!(exact("1e20").pow_rational(power(2, 3)).is_ok());
}

#[test]
fn functions_of_floats_at_fifteen_digits() {
    // e, ln 2 and log10 2 from tables of constants.
    assert_eq!(shown(exact("1").exp().unwrap()), "2.71828182845905");
    assert_eq!(shown(exact("2").ln().unwrap()), "0.693147180559945");
    assert_eq!(shown(exact("2").log10().unwrap()), "0.301029995663981");
    assert_eq!(shown(exact("8").log(exact("2")).unwrap()), "3");
    let degree = |text: &str| exact(text).mul(Number::Float(std::f64::consts::PI / 180.0)).unwrap();
    assert_eq!(shown(degree("30").sin().unwrap()), "0.5");
    assert_eq!(shown(degree("60").cos().unwrap()), "0.5");
    assert_eq!(shown(degree("45").tan().unwrap()), "1");
    assert_eq!(shown(degree("180").sin().unwrap()), "0");
    assert_eq!(degree("90").tan(), Err(NumberFault::NotReal));
    assert_eq!(shown(exact("0.85").acos().unwrap()), "0.554811032980072");
    // One unit above one in the last digit of a division still has an arc cosine.
    let above = Number::Rounded(read("1.0000000000000000000000000001").unwrap());
    assert_eq!(shown(above.acos().unwrap()), "0");
    assert_eq!(shown(exact("1").atan2(exact("-1")).unwrap()), "2.35619449019234");
    assert_eq!(exact("0").atan2(exact("0")), Err(NumberFault::NotReal));
    assert_eq!(exact("1").exp().unwrap().made(), "float");
    assert_eq!(exact("2").sqrt().unwrap().made(), "decimal");
}

#[test]
fn rounding_functions() {
    for (value, step, expected) in [
        ("2.5", "1", "3"),
        ("-2.5", "1", "-3"),
        ("2.45", "0.1", "2.5"),
        ("17.3", "5", "15"),
        ("17.5", "5", "20"),
        ("1.005", "0.01", "1.01"),
        ("7", "0.25", "7"),
        ("10", "3", "9"),
        ("11", "3", "12"),
    ] {
        assert_eq!(
            shown(exact(value).round_to(exact(step)).unwrap()),
            expected,
            "{value} to {step}"
        );
    }
    assert!(matches!(
        exact("2.45").round_to(exact("0.1")).unwrap(),
        Number::Exact(_)
    ));
    assert_eq!(shown(exact("-2.1").floor().unwrap()), "-3");
    assert_eq!(shown(exact("-2.1").ceiling().unwrap()), "-2");
    // 1/3 × 3 is 0.999…9 in decimals and counts as 1; 1.9999 does not count as 2.
    let one = exact("1").div(exact("3")).unwrap().mul(exact("3")).unwrap();
    assert_eq!(shown(one.floor().unwrap()), "1");
    assert_eq!(shown(exact("1.9999").inexact().floor().unwrap()), "1");
    assert_eq!(shown(exact("1.9999").floor().unwrap()), "1");
    assert_eq!(shown(Number::Float(2.999_999_999_999_999_6).floor().unwrap()), "3");
    assert_eq!(shown(Number::Float(-1e-40).floor().unwrap()), "-1");
    assert_eq!(Number::Float(1e40).floor(), Err(NumberFault::Overflow));
}

#[test]
fn no_negative_zero_is_made() {
    for zero in [
        exact("0").neg(),
        exact("-5").mul(exact("0")).unwrap(),
        Number::Float(0.0).neg(),
        exact("-0"),
    ] {
        assert_eq!(shown(zero), "0");
    }
}

#[test]
fn nearest_doubles() {
    // to_f64 of the crate is one unit high for 1/3.
    let third = Decimal::ONE / Decimal::from(3);
    assert_eq!(decimal::to_f64(third), 1.0 / 3.0);
}

fn decimals() -> impl Strategy<Value = Decimal> {
    (any::<i64>(), 0_u32..19).prop_map(|(mantissa, scale)| Decimal::new(mantissa, scale))
}

fn fraction(value: Decimal) -> BigRational {
    BigRational::new(BigInt::from(value.mantissa()), BigInt::from(10).pow(value.scale()))
}

proptest! {
    /// What is called exact is exact, by fractions of whole numbers.
    #[test]
    fn exact_results_are_exact(a in decimals(), b in decimals()) {
        let (x, y) = (Number::Exact(a), Number::Exact(b));
        for (worked, wanted) in [(x.add(y), fraction(a) + fraction(b)), (x.mul(y), fraction(a) * fraction(b))] {
            if let Ok(Number::Exact(value)) = worked {
                prop_assert_eq!(fraction(value), wanted);
            }
        }
    }

    /// What is read back from the exact form is the number.
    #[test]
    fn exact_form_reads_back(a in decimals()) {
        prop_assert_eq!(read(&shown(Number::Exact(a))), Some(a));
    }

    /// The double of a decimal is the one its digits read as.
    #[test]
    fn doubles_are_the_nearest(low in any::<u64>(), high in any::<u32>(), scale in 0_u32..29, negative in any::<bool>()) {
        let mantissa = (i128::from(high) << 64) | i128::from(low);
        let value = Decimal::from_i128_with_scale(if negative { -mantissa } else { mantissa }, scale);
        prop_assert_eq!(decimal::to_f64(value), value.to_string().parse::<f64>().unwrap());
    }

    /// A root is the nearest: its square misses by less than the square of a unit more would.
    #[test]
    fn square_roots_are_near(mantissa in 1_u64.., scale in 0_u32..19) {
        let value = Decimal::from_i128_with_scale(i128::from(mantissa), scale);
        let root = Number::Exact(value).sqrt().unwrap().to_decimal().unwrap();
        let unit = Decimal::new(1, root.scale());
        let half = fraction(unit) / BigInt::from(2);
        let (low, high) = (fraction(root) - &half, fraction(root) + &half);
        if root * root != value {
            prop_assert!(&low * &low <= fraction(value) && fraction(value) <= &high * &high, "{} {}", value, root);
        }
        prop_assert!(root.mantissa() >= 10_i128.pow(26) || root.scale() == 28 || root * root == value);
    }

    /// A comparison is the same both ways round, and a number equals itself.
    #[test]
    fn comparison_is_even_handed(a in decimals(), b in decimals()) {
        for (x, y) in [(Number::Exact(a), Number::Exact(b)), (Number::Rounded(a), Number::Exact(b))] {
            prop_assert_eq!(x.compare(y), y.compare(x).reverse());
            prop_assert_eq!(x.compare(x), Ordering::Equal);
        }
    }

    /// Any text is read or refused.
    #[test]
    fn any_text_is_read_or_refused(text in ".{0,40}") {
        let _ = read(&text);
        if let Err(fault) = polepair::quantity::Unit::parse(&text) {
            prop_assert!(!fault.to_string().is_empty());
        }
        let _ = polepair::quantity::Unit::parse_plate(&text);
    }
}
