//! How a value is shown: digits, rounding half away from zero, digit groups, unit.
//!
//! For: screen, terminal, files. Rounding happens here and nowhere else.
//! Not known here: where it is shown.

use rust_decimal::Decimal;

/// How a result is rounded when shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// `to 3 digits`
    Digits(u8),
    /// `to 0.1`: a step in the shown unit
    Step(Decimal),
}
