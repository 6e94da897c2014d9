//! Number: a decimal as typed and worked, or a float where a curve, a root or a draw took part.
//!
//! For: checked arithmetic. Overflow, division by zero and underflow are faults, never a wrong number.
//! Always: a number knows which way it was made. Exact decimals compare exactly, others at twelve significant digits.
//! Not known here: units.

use rust_decimal::Decimal;

/// A number without its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Number {
    /// Typed, or made by + − × alone: exact.
    Exact(Decimal),
    /// A decimal in which a quotient, a root or a rounded factor took part.
    Rounded(Decimal),
    /// A float took part: fifteen digits.
    Float(f64),
}

/// Why arithmetic gave no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberFault {
    /// Larger than 7.9·10²⁸ (decimal) or than a float can hold.
    Overflow,
    /// A product or quotient of numbers that are not zero became zero.
    Underflow,
    /// The divisor is zero.
    DivisionByZero,
    /// No real result: root of a negative number, logarithm of zero, arc cosine of 2.
    NotReal,
}
