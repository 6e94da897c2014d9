//! Number: a decimal as typed and worked, or a float where a curve, a root or a draw took part.
//!
//! For: checked arithmetic. Overflow, division by zero and underflow are faults, never a wrong number.
//! Always: a number knows which way it was made. Exact decimals compare exactly, others at twelve significant digits. A float
//! is never infinite and never without value. Nothing is rounded to be shown.
//! Not known here: units. Angles are in radians.

use std::cmp::Ordering;

use rust_decimal::{Decimal, RoundingStrategy};

use super::decimal;
use super::dimension::Exponent;
pub use super::fault::NumberFault;

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

/// What arithmetic gives.
pub type Worked = Result<Number, NumberFault>;

/// Numbers that are not exact are equal when they differ by less than this part of the larger one.
const EQUAL: f64 = 1e-12;
/// How many of such parts a number has.
const EQUAL_PARTS: Decimal = Decimal::from_parts(0xD4A5_1000, 0xE8, 0, false, 0);

/// Up to this share of two floats together, what is left where they cancel comes from rounding.
const CANCELLED: f64 = 4.0 * f64::EPSILON;

/// Roots up to this index are taken in decimals; further ones in floats.
const ROOTS: i16 = 12;

impl Number {
    /// Zero.
    pub const ZERO: Number = Number::Exact(Decimal::ZERO);
    /// One.
    pub const ONE: Number = Number::Exact(Decimal::ONE);

    /// A float as a number.
    ///
    /// # Errors
    /// Overflow where it is infinite; [`NumberFault::NotReal`] where it has no value.
    pub fn from_f64(value: f64) -> Worked {
        if value.is_nan() {
            Err(NumberFault::NotReal)
        } else if value.is_infinite() {
            Err(NumberFault::Overflow)
        } else {
            Ok(Number::Float(value + 0.0))
        }
    }

    /// Nearest double.
    pub fn to_f64(self) -> f64 {
        match self {
            Number::Exact(value) | Number::Rounded(value) => decimal::to_f64(value),
            Number::Float(value) => value,
        }
    }

    /// As a decimal; a float at fifteen digits. `None` where a decimal does not reach.
    pub fn to_decimal(self) -> Option<Decimal> {
        match self {
            Number::Exact(value) | Number::Rounded(value) => Some(value),
            Number::Float(value) => decimal::from_f64(value),
        }
    }

    /// Whether a float took part.
    pub fn is_float(self) -> bool {
        matches!(self, Number::Float(_))
    }

    /// `decimal` or `float`: which way it was made.
    pub fn made(self) -> &'static str {
        if self.is_float() { "float" } else { "decimal" }
    }

    /// Whether it is zero.
    pub fn is_zero(self) -> bool {
        match self {
            Number::Exact(value) | Number::Rounded(value) => value.is_zero(),
            Number::Float(value) => value == 0.0,
        }
    }

    /// Whether it is below zero.
    pub fn is_negative(self) -> bool {
        match self {
            Number::Exact(value) | Number::Rounded(value) => value.is_sign_negative() && !value.is_zero(),
            Number::Float(value) => value < 0.0,
        }
    }

    /// The same, no longer taken for exact.
    #[must_use]
    pub fn inexact(self) -> Number {
        match self {
            Number::Exact(value) => Number::Rounded(value),
            other => other,
        }
    }

    /// Sum.
    ///
    /// # Errors
    /// Overflow.
    pub fn add(self, other: Number) -> Worked {
        match (self, other) {
            (Number::Float(_), _) | (_, Number::Float(_)) => {
                let (a, b) = (self.to_f64(), other.to_f64());
                let sum = a + b;
                // Where two numbers cancel, what is left below their digits comes from rounding.
                Number::from_f64(if sum.abs() <= CANCELLED * (a.abs() + b.abs()) {
                    0.0
                } else {
                    sum
                })
            }
            _ => self.decimals(other, |a, b| {
                let sum = a.checked_add(b).ok_or(NumberFault::Overflow)?;
                Ok((sum, sum.scale() == a.scale().max(b.scale())))
            }),
        }
    }

    /// Difference.
    ///
    /// # Errors
    /// Overflow.
    pub fn sub(self, other: Number) -> Worked {
        self.add(other.neg())
    }

    /// Product.
    ///
    /// # Errors
    /// Overflow; underflow when factors that are not zero give zero.
    pub fn mul(self, other: Number) -> Worked {
        match (self, other) {
            (Number::Float(_), _) | (_, Number::Float(_)) => {
                let product = self.to_f64() * other.to_f64();
                if product == 0.0 && !self.is_zero() && !other.is_zero() {
                    return Err(NumberFault::Underflow);
                }
                Number::from_f64(product)
            }
            _ => self.decimals(other, |a, b| {
                let product = a.checked_mul(b).ok_or(NumberFault::Overflow)?;
                if product.is_zero() && !a.is_zero() && !b.is_zero() {
                    return Err(NumberFault::Underflow);
                }
                let exact = product.scale() == a.scale() + b.scale() || decimal::exact_product(a, b).is_some();
                Ok((product, exact))
            }),
        }
    }

    /// Quotient. Not exact, even where it comes out even.
    ///
    /// # Errors
    /// Division by zero; overflow; underflow when a dividend that is not zero gives zero.
    pub fn div(self, other: Number) -> Worked {
        if other.is_zero() {
            return Err(NumberFault::DivisionByZero);
        }
        match (self, other) {
            (Number::Float(_), _) | (_, Number::Float(_)) => {
                let quotient = self.to_f64() / other.to_f64();
                if quotient == 0.0 && !self.is_zero() {
                    return Err(NumberFault::Underflow);
                }
                Number::from_f64(quotient)
            }
            _ => self.decimals(other, |a, b| {
                let quotient = a.checked_div(b).ok_or(NumberFault::Overflow)?;
                if quotient.is_zero() && !a.is_zero() {
                    return Err(NumberFault::Underflow);
                }
                Ok((quotient, false))
            }),
        }
    }

    /// The negative.
    #[must_use]
    pub fn neg(self) -> Number {
        match self {
            // A zero has no sign: −0 would be shown as such.
            Number::Exact(value) if value.is_zero() => self,
            Number::Rounded(value) if value.is_zero() => self,
            Number::Exact(value) => Number::Exact(-value),
            Number::Rounded(value) => Number::Rounded(-value),
            Number::Float(value) => Number::Float(0.0 - value),
        }
    }

    /// The amount without its sign.
    #[must_use]
    pub fn abs(self) -> Number {
        if self.is_negative() { self.neg() } else { self }
    }

    /// Which is larger: exact numbers exactly, others at twelve significant digits.
    pub fn compare(self, other: Number) -> Ordering {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => a.cmp(&b),
            (Number::Float(_), _) | (_, Number::Float(_)) => {
                let (a, b) = (self.to_f64(), other.to_f64());
                if a == b || (a - b).abs() < EQUAL * a.abs().max(b.abs()) {
                    return Ordering::Equal;
                }
                a.partial_cmp(&b).unwrap_or(Ordering::Equal)
            }
            (Number::Exact(a) | Number::Rounded(a), Number::Exact(b) | Number::Rounded(b)) => {
                if a == b {
                    return Ordering::Equal;
                }
                // Beyond the range the difference is no small part of anything.
                let apart = a.checked_sub(b).and_then(|apart| apart.abs().checked_mul(EQUAL_PARTS));
                if apart.is_some_and(|apart| apart < a.abs().max(b.abs())) {
                    return Ordering::Equal;
                }
                a.cmp(&b)
            }
        }
    }

    /// The larger of two.
    #[must_use]
    pub fn larger(self, other: Number) -> Number {
        if self.compare(other) == Ordering::Less {
            other
        } else {
            self
        }
    }

    /// The smaller of two.
    #[must_use]
    pub fn smaller(self, other: Number) -> Number {
        if self.compare(other) == Ordering::Greater {
            other
        } else {
            self
        }
    }

    /// Whole or rational power: x², x^(3/2). Whole powers of exact numbers are exact.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for 0⁰ and even roots of negative numbers; division by zero for a negative power of zero;
    /// overflow; underflow.
    pub fn pow_rational(self, exponent: Exponent) -> Worked {
        let times = i64::from(exponent.num());
        if exponent.den() == 1 {
            return self.pow_whole(times);
        }
        if exponent.den() > ROOTS {
            return self.pow_float(exponent.to_f64());
        }
        let index = u32::from(exponent.den().unsigned_abs());
        // The power before the root keeps perfect roots perfect; where it leaves the range, the root comes first.
        match self.pow_whole(times) {
            Ok(raised) => raised.root(index),
            Err(NumberFault::Overflow | NumberFault::Underflow) => self.root(index)?.pow_whole(times),
            Err(fault) => Err(fault),
        }
    }

    /// Power with any plain exponent. Fractions with a small denominator are worked in decimals, others in floats.
    ///
    /// # Errors
    /// As [`Number::pow_rational`].
    pub fn pow(self, exponent: Number) -> Worked {
        if let Number::Exact(value) = exponent {
            let value = value.normalize();
            let whole = i64::try_from(value.mantissa()).ok();
            let fraction = whole.and_then(|num| Exponent::new(num, 10_i64.checked_pow(value.scale())?));
            if let Some(fraction) = fraction
                && fraction.den() <= ROOTS
            {
                let worked = self.pow_rational(fraction)?;
                return Ok(worked);
            }
        }
        if let Some(value) = exponent.to_decimal()
            && value.is_integer()
            && let Ok(whole) = i64::try_from(value.normalize().mantissa())
        {
            let worked = self.pow_whole(whole)?;
            return Ok(match exponent {
                Number::Exact(_) => worked,
                _ => worked.inexact(),
            });
        }
        self.pow_float(exponent.to_f64())
    }

    fn pow_whole(self, times: i64) -> Worked {
        if times == 0 {
            return if self.is_zero() {
                Err(NumberFault::NotReal)
            } else {
                Ok(Number::ONE)
            };
        }
        if times < 0 {
            if self.is_zero() {
                return Err(NumberFault::DivisionByZero);
            }
            return match self.pow_whole(times.saturating_neg()) {
                Ok(raised) => Number::ONE.div(raised),
                Err(NumberFault::Overflow) => Err(NumberFault::Underflow),
                Err(NumberFault::Underflow) => Err(NumberFault::Overflow),
                Err(fault) => Err(fault),
            };
        }
        if let Number::Float(value) = self {
            let raised = value.powf(times as f64);
            if raised == 0.0 && value != 0.0 {
                return Err(NumberFault::Underflow);
            }
            return Number::from_f64(raised);
        }
        let mut out = None;
        let mut square = self;
        let mut rest = times;
        loop {
            if rest % 2 == 1 {
                out = Some(match out {
                    None => square,
                    Some(out) => square.mul(out)?,
                });
            }
            rest /= 2;
            if rest == 0 {
                return Ok(out.unwrap_or(Number::ONE));
            }
            square = square.mul(square)?;
        }
    }

    fn pow_float(self, exponent: f64) -> Worked {
        if self.is_zero() && exponent <= 0.0 {
            return Err(if exponent == 0.0 {
                NumberFault::NotReal
            } else {
                NumberFault::DivisionByZero
            });
        }
        let raised = self.to_f64().powf(exponent);
        if raised == 0.0 && !self.is_zero() {
            return Err(NumberFault::Underflow);
        }
        Number::from_f64(raised)
    }

    /// The `index`th root; exact where it comes out even, else rounded at 28 digits. Odd roots of negative numbers are
    /// negative.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for an even root of a negative number and for an index of zero.
    pub fn root(self, index: u32) -> Worked {
        let odd = !index.is_multiple_of(2);
        if index == 0 || (self.is_negative() && !odd) {
            return Err(NumberFault::NotReal);
        }
        match self {
            Number::Exact(value) | Number::Rounded(value) => {
                if let Some((root, exact)) = decimal::root(value, index) {
                    let exact = exact && matches!(self, Number::Exact(_));
                    return Ok(if exact {
                        Number::Exact(root)
                    } else {
                        Number::Rounded(root)
                    });
                }
            }
            Number::Float(value) if index == 2 => return Number::from_f64(value.sqrt()),
            Number::Float(_) => {}
        }
        let root = self.abs().to_f64().powf(1.0 / f64::from(index));
        Number::from_f64(if self.is_negative() { -root } else { root })
    }

    /// Square root.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for a negative number.
    pub fn sqrt(self) -> Worked {
        self.root(2)
    }

    /// eˣ
    ///
    /// # Errors
    /// Overflow; underflow.
    pub fn exp(self) -> Worked {
        let raised = self.to_f64().exp();
        if raised == 0.0 {
            Err(NumberFault::Underflow)
        } else {
            Number::from_f64(raised)
        }
    }

    /// Natural logarithm.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for zero and negative numbers.
    pub fn ln(self) -> Worked {
        self.logarithm(f64::ln)
    }

    /// Logarithm to the base 10.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for zero and negative numbers.
    pub fn log10(self) -> Worked {
        self.logarithm(f64::log10)
    }

    /// Logarithm to any base.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for zero and negative numbers or bases; division by zero for the base 1.
    pub fn log(self, base: Number) -> Worked {
        self.ln()?.div(base.ln()?)
    }

    fn logarithm(self, by: fn(f64) -> f64) -> Worked {
        if self.is_zero() || self.is_negative() {
            return Err(NumberFault::NotReal);
        }
        Number::from_f64(by(self.to_f64()))
    }

    /// Sine of an angle in radians.
    ///
    /// # Errors
    /// None for a number; kept for the table of functions.
    pub fn sin(self) -> Worked {
        self.trigonometric(f64::sin)
    }

    /// Cosine of an angle in radians.
    ///
    /// # Errors
    /// None for a number; kept for the table of functions.
    pub fn cos(self) -> Worked {
        self.trigonometric(f64::cos)
    }

    /// Tangent of an angle in radians.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] at a quarter turn and its odd multiples.
    pub fn tan(self) -> Worked {
        if self.cos()?.is_zero() {
            return Err(NumberFault::NotReal);
        }
        self.trigonometric(f64::tan)
    }

    fn trigonometric(self, by: fn(f64) -> f64) -> Worked {
        let angle = self.to_f64();
        let worked = by(angle);
        // The float next to π is not π: what is left of its sine is the float's own error, not a result.
        if angle.abs() >= 1.0 && worked.abs() < angle.abs() * 1e-15 {
            return Ok(Number::Float(0.0));
        }
        Number::from_f64(worked)
    }

    /// Angle in radians of this sine.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] outside −1 … 1.
    pub fn asin(self) -> Worked {
        Number::from_f64(self.within_one()?.asin())
    }

    /// Angle in radians of this cosine.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] outside −1 … 1.
    pub fn acos(self) -> Worked {
        Number::from_f64(self.within_one()?.acos())
    }

    /// Angle in radians of this tangent.
    ///
    /// # Errors
    /// None for a number; kept for the table of functions.
    pub fn atan(self) -> Worked {
        Number::from_f64(self.to_f64().atan())
    }

    /// Angle in radians of the point (x, y), from −π to π: `y.atan2(x)`.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] at the origin.
    pub fn atan2(self, x: Number) -> Worked {
        if self.is_zero() && x.is_zero() {
            return Err(NumberFault::NotReal);
        }
        Number::from_f64(self.to_f64().atan2(x.to_f64()))
    }

    /// A number that passes one by less than its own rounding counts as one.
    fn within_one(self) -> Result<f64, NumberFault> {
        if self.abs().compare(Number::ONE) == Ordering::Greater {
            return Err(NumberFault::NotReal);
        }
        Ok(self.to_f64().clamp(-1.0, 1.0))
    }

    /// The largest whole number not above. A number that equals a whole one at twelve digits counts as that.
    ///
    /// # Errors
    /// Overflow for floats beyond 7.9·10²⁸.
    pub fn floor(self) -> Worked {
        self.to_whole(RoundingStrategy::ToNegativeInfinity)
    }

    /// The smallest whole number not below. A number that equals a whole one at twelve digits counts as that.
    ///
    /// # Errors
    /// Overflow for floats beyond 7.9·10²⁸.
    pub fn ceiling(self) -> Worked {
        self.to_whole(RoundingStrategy::ToPositiveInfinity)
    }

    /// The nearest multiple of `step`, half away from zero.
    ///
    /// # Errors
    /// Division by zero for a step of zero; overflow.
    pub fn round_to(self, step: Number) -> Worked {
        let step = step.abs();
        if step.is_zero() {
            return Err(NumberFault::NoStep);
        }
        let steps = self.div(step)?.to_whole(RoundingStrategy::MidpointAwayFromZero)?;
        let multiple = steps.mul(step)?;
        Ok(match (self, step, multiple) {
            // The quotient was only asked for its whole part: the multiple is as exact as what it is made of.
            (Number::Exact(_), Number::Exact(_), Number::Rounded(value)) => Number::Exact(value),
            _ => multiple,
        })
    }

    fn to_whole(self, strategy: RoundingStrategy) -> Worked {
        if let Number::Exact(value) = self {
            return Ok(Number::Exact(value.round_dp_with_strategy(0, strategy)));
        }
        let value = self.to_decimal().ok_or(NumberFault::Overflow).or_else(|fault| {
            // Too small for a decimal: between zero and one whole.
            if self.to_f64().abs() < 1.0 {
                let sign = if self.is_negative() { -1 } else { 1 };
                Ok(Decimal::new(sign, 28))
            } else {
                Err(fault)
            }
        })?;
        // A half that is one but for its rounding counts as a half, a whole as a whole.
        let mended = match strategy {
            RoundingStrategy::MidpointAwayFromZero => {
                let half = value
                    .checked_mul(Decimal::TWO)
                    .map(|twice| twice.round() / Decimal::TWO);
                half.unwrap_or(value)
            }
            _ => value.round(),
        };
        let value = if self.compare(Number::Rounded(mended)) == Ordering::Equal {
            mended
        } else {
            value
        };
        Ok(Number::Rounded(value.round_dp_with_strategy(0, strategy)))
    }

    fn decimals(
        self,
        other: Number,
        work: impl Fn(Decimal, Decimal) -> Result<(Decimal, bool), NumberFault>,
    ) -> Worked {
        let exact = matches!((self, other), (Number::Exact(_), Number::Exact(_)));
        let (a, b) = match (self, other) {
            (Number::Exact(a) | Number::Rounded(a), Number::Exact(b) | Number::Rounded(b)) => (a, b),
            // Floats were taken out before.
            _ => return Err(NumberFault::NotReal),
        };
        let (value, kept) = work(a, b)?;
        Ok(if exact && kept {
            Number::Exact(value)
        } else {
            Number::Rounded(value)
        })
    }
}

impl From<Decimal> for Number {
    fn from(value: Decimal) -> Number {
        Number::Exact(value)
    }
}
