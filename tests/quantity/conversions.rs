//! Direct conversions against `unit_conversions.csv`: NIST SP 811 B.8 printed factors, UCUM functional tests, exact values from
//! the definitions; the source stands in each row. Rows with ERROR must be refused.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Signed;
use polepair::quantity::decimal::read;
use polepair::quantity::{Unit, convert};

/// A printed number as a fraction, all its digits kept.
fn fraction(text: &str) -> BigRational {
    let (digits, exponent) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
    let (whole, places) = digits.split_once('.').unwrap_or((digits, ""));
    let number: BigInt = format!("{whole}{places}").parse().unwrap();
    let exponent = exponent.parse::<i64>().unwrap() - places.len() as i64;
    let ten = BigRational::from_integer(BigInt::from(10));
    BigRational::from_integer(number) * ten.pow(i32::try_from(exponent).unwrap())
}

#[test]
fn every_row_holds_within_its_tolerance() {
    let mut rows = csv::Reader::from_path("tests/quantity/unit_conversions.csv").unwrap();
    let (mut numeric, mut refused) = (0, 0);
    for row in rows.records() {
        let row = row.unwrap();
        let [value, from, to, expected, tolerance, source] = row.iter().collect::<Vec<_>>()[..] else {
            panic!("{row:?}");
        };
        let what = format!("{value} {from} in {to} ({source})");
        let value = read(value).unwrap_or_else(|| panic!("{what}: value"));
        let from = Unit::parse(from).unwrap_or_else(|fault| panic!("{what}: {fault}"));
        let to = Unit::parse(to).unwrap_or_else(|fault| panic!("{what}: {fault}"));
        let worked = convert(value, &from, &to);
        if expected == "ERROR" {
            let fault = worked.map(|number| panic!("{what} gave {number:?}")).unwrap_err();
            assert!(fault.code.is_some() && fault.help.is_some(), "{what}: {fault:?}");
            refused += 1;
            continue;
        }
        let number = worked
            .unwrap_or_else(|fault| panic!("{what}: {fault}"))
            .to_decimal()
            .unwrap();
        // Printed to 30 digits, more than a decimal holds: compared as fractions.
        let (number, expected, tolerance) = (fraction(&number.to_string()), fraction(expected), fraction(tolerance));
        // A decimal has 28 places: half a unit of the last one is all that can be asked of a small result.
        let places = fraction("5e-29");
        let apart = (&number - &expected).abs();
        assert!(
            apart <= tolerance * expected.abs() || apart <= places,
            "{what}: {number}, expected {expected}, apart {apart}"
        );
        numeric += 1;
    }
    assert_eq!((numeric, refused), (123, 11), "rows read");
}
