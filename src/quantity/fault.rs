//! Why arithmetic gave no number.
//!
//! For: decimals, factors and numbers, which fail in the same few ways.
//! Not known here: which formula and which item; whoever works the formula adds them.

use std::fmt;

/// Why arithmetic gave no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberFault {
    /// Larger than 7.9·10²⁸ (decimal) or than a float can hold.
    Overflow,
    /// A product or quotient of numbers that are not zero became zero.
    Underflow,
    /// The divisor is zero.
    DivisionByZero,
    /// Rounding to multiples of zero.
    NoStep,
    /// No real result: root of a negative number, logarithm of zero, arc cosine of 2.
    NotReal,
}

impl fmt::Display for NumberFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NumberFault::Overflow => "the number becomes larger than can be worked (7.9e28 in decimals)",
            NumberFault::Underflow => {
                "the number becomes so small that nothing is left of it (below 1e-28 in decimals)"
            }
            NumberFault::DivisionByZero => "the divisor is zero",
            NumberFault::NoStep => "the step to round to is zero",
            NumberFault::NotReal => {
                "there is no real number for this: an even root of a negative number, a logarithm of zero or less, \
                 an arc sine or cosine of more than 1, or 0^0"
            }
        })
    }
}
