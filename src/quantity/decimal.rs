//! Decimals beyond what their crate does well: reading, exact products, fractions, roots, floats.
//!
//! For: the few places where the decimal crate rounds silently, rounds half to even, or panics.
//! Always: one rounding, and it is known whether there was one. A decimal has a mantissa below 2⁹⁶ and at most 28 places.
//! Not known here: how a number was made, and how it is shown.

use num_bigint::{BigInt, BigUint, Sign};
use num_rational::BigRational;
use num_traits::{ToPrimitive, Zero};
use rust_decimal::{Decimal, RoundingStrategy};

use super::fault::NumberFault;

/// Largest mantissa of a decimal.
pub const MANTISSA: u128 = (1 << 96) - 1;

/// Product of two decimals where it needs no rounding.
pub fn exact_product(a: Decimal, b: Decimal) -> Option<Decimal> {
    let scale = a.scale().checked_add(b.scale())?;
    let mantissa = a.mantissa().unsigned_abs().checked_mul(b.mantissa().unsigned_abs())?;
    if mantissa > MANTISSA || scale > Decimal::MAX_SCALE {
        // Trailing zeros may be what makes it too long.
        let (short_a, short_b) = (a.normalize(), b.normalize());
        if short_a.scale() == a.scale() && short_b.scale() == b.scale() {
            return None;
        }
        return exact_product(short_a, short_b);
    }
    let mantissa = i128::try_from(mantissa).ok()?;
    let negative = a.is_sign_negative() != b.is_sign_negative();
    Decimal::try_from_i128_with_scale(if negative { -mantissa } else { mantissa }, scale).ok()
}

/// A decimal as a fraction.
pub fn fraction(value: Decimal) -> BigRational {
    BigRational::new(BigInt::from(value.mantissa()), BigInt::from(10).pow(value.scale()))
}

/// The nearest decimal, half to even, as many digits as it holds, without zeros at the end.
///
/// # Errors
/// Overflow; underflow where nothing is left of a value that is not zero.
pub fn rounded(value: &BigRational) -> Result<Decimal, NumberFault> {
    quotient(value.numer(), value.denom()).map(|(rounded, _)| rounded)
}

/// The nearest decimal to `num / den`, as [`rounded`], and whether it is exact.
///
/// # Errors
/// Division by zero, overflow, underflow.
pub fn quotient(num: &BigInt, den: &BigInt) -> Result<(Decimal, bool), NumberFault> {
    if den.is_zero() {
        return Err(NumberFault::DivisionByZero);
    }
    if num.is_zero() {
        return Ok((Decimal::ZERO, true));
    }
    let negative = (num.sign() == Sign::Minus) != (den.sign() == Sign::Minus);
    let (num, den) = (num.magnitude(), den.magnitude());
    let largest = BigUint::from(MANTISSA);
    // Digits before the point, too many by at most two: then the loop goes on once or twice.
    let digits = ((num.bits() as i64 - den.bits() as i64) as f64 * std::f64::consts::LOG10_2).floor() as i64;
    let mut scale = (29 - digits).clamp(0, i64::from(Decimal::MAX_SCALE)) as u32;
    loop {
        let lifted = num * BigUint::from(10_u128.pow(scale));
        let mut mantissa = &lifted / den;
        let rest = &lifted - &mantissa * den;
        let exact = rest.is_zero();
        let twice = rest * 2_u32;
        if twice > *den || (twice == *den && mantissa.bit(0)) {
            mantissa += 1_u32;
        }
        if mantissa <= largest {
            let mantissa = mantissa.to_i128().ok_or(NumberFault::Overflow)?;
            if mantissa == 0 {
                return Err(NumberFault::Underflow);
            }
            let signed = if negative { -mantissa } else { mantissa };
            let decimal = Decimal::try_from_i128_with_scale(signed, scale).map_err(|_| NumberFault::Overflow)?;
            return Ok((decimal.normalize(), exact));
        }
        scale = scale.checked_sub(1).ok_or(NumberFault::Overflow)?;
    }
}

/// Reads a decimal number strictly: digits, one point with digits on both sides, an exponent. No blanks, no digit groups, no
/// plus sign. `None` for anything else, and for numbers that a decimal cannot hold without rounding.
pub fn read(text: &str) -> Option<Decimal> {
    let (negative, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (digits, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((digits, exponent)) => {
            let plain = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
            if plain.is_empty() || plain.len() > 4 || !plain.bytes().all(|byte| byte.is_ascii_digit()) {
                return None;
            }
            (digits, exponent.parse::<i32>().ok()?)
        }
        None => (unsigned, 0),
    };
    let (whole, places) = digits
        .split_once('.')
        .map_or((digits, None), |(whole, places)| (whole, Some(places)));
    let all_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !all_digits(whole) || !places.is_none_or(all_digits) {
        return None;
    }
    let places = places.unwrap_or("");
    let mut mantissa = 0_u128;
    for digit in whole.bytes().chain(places.bytes()) {
        mantissa = mantissa.checked_mul(10)?.checked_add(u128::from(digit - b'0'))?;
    }
    let mut scale = i32::try_from(places.len()).ok()?.checked_sub(exponent)?;
    if mantissa == 0 {
        return Some(Decimal::new(0, u32::try_from(scale.clamp(0, 28)).ok()?));
    }
    while scale < 0 {
        mantissa = mantissa.checked_mul(10).filter(|mantissa| *mantissa <= MANTISSA)?;
        scale += 1;
    }
    while (mantissa > MANTISSA || scale > 28) && mantissa.is_multiple_of(10) && scale > 0 {
        mantissa /= 10;
        scale -= 1;
    }
    let mantissa = i128::try_from(mantissa)
        .ok()
        .filter(|mantissa| mantissa.unsigned_abs() <= MANTISSA)?;
    let scale = u32::try_from(scale).ok().filter(|scale| *scale <= 28)?;
    Decimal::try_from_i128_with_scale(if negative { -mantissa } else { mantissa }, scale).ok()
}

/// Nearest double. The crate's own way is one unit high for some values.
pub fn to_f64(value: Decimal) -> f64 {
    let mantissa = value.mantissa();
    let size = mantissa.unsigned_abs();
    let power = 10_u128.pow(value.scale());
    let below = power as f64;
    if size < 1 << 53 && value.scale() <= 22 {
        return mantissa as f64 / below;
    }
    // Both sides as a double and what it misses; the quotient is put right by what is left over.
    let above = size as f64;
    let above_missed = (size as i128 - above as i128) as f64;
    let below_missed = (power as i128 - below as i128) as f64;
    let first = above / below;
    let left = (-first).mul_add(below, above) + (above_missed - first * below_missed);
    let nearest = first + left / below;
    if mantissa < 0 { -nearest } else { nearest }
}

/// A double at fifteen significant digits; `None` where a decimal does not reach.
pub fn from_f64(value: f64) -> Option<Decimal> {
    if !value.is_finite() {
        return None;
    }
    let text = format!("{value:.14e}");
    let (digits, exponent) = text.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let negative = digits.starts_with('-');
    let mantissa: i128 = digits
        .chars()
        .filter(char::is_ascii_digit)
        .collect::<String>()
        .parse()
        .ok()?;
    let mut scale = 14 - exponent;
    let mut mantissa = if negative { -mantissa } else { mantissa };
    while scale < 0 {
        mantissa = mantissa.checked_mul(10)?;
        scale += 1;
    }
    while mantissa % 10 == 0 && scale > 0 && mantissa != 0 {
        mantissa /= 10;
        scale -= 1;
    }
    while scale > 28 && mantissa != 0 {
        // Fewer digits than fifteen are left this far behind the point.
        mantissa = (mantissa + mantissa.signum() * 5) / 10;
        scale -= 1;
    }
    if mantissa == 0 {
        return (value == 0.0).then_some(Decimal::ZERO);
    }
    Decimal::try_from_i128_with_scale(mantissa, u32::try_from(scale).ok()?).ok()
}

/// The `index`th root, rounded once, and whether it is exact. `None` for an even root of a negative value and for a zero index.
pub fn root(value: Decimal, index: u32) -> Option<(Decimal, bool)> {
    if index == 0 || index > 64 {
        return None;
    }
    if value.is_zero() || index == 1 {
        return Some((value, true));
    }
    let negative = value.is_sign_negative();
    if negative && index.is_multiple_of(2) {
        return None;
    }
    let value = value.abs().normalize();
    let signed = |root: Decimal| if negative { -root } else { root };
    // value = mantissa / 10^scale. With `places` digits after the point the root is the whole root of
    // mantissa · 10^(places·index − scale), which is never less than 28 digits long.
    let mantissa = BigUint::from(value.mantissa().unsigned_abs());
    let digits = value.mantissa().unsigned_abs().ilog10() as i32 + 1 - value.scale() as i32;
    let before_point = digits.div_euclid(index as i32) + 1;
    let mut places = (29 - before_point).clamp(0, 28) as u32;
    let ten = |power: u32| BigUint::from(10_u32).pow(power);
    loop {
        let power = i64::from(places) * i64::from(index) - i64::from(value.scale());
        let (under, cut) = if power >= 0 {
            (&mantissa * ten(power as u32), false)
        } else {
            let divisor = ten((-power) as u32);
            (&mantissa / &divisor, !(&mantissa % &divisor).is_zero())
        };
        let mut whole = under.nth_root(index);
        let exact = !cut && whole.pow(index) == under;
        if !exact {
            // Rounded up where (2·whole + 1)^index is not above 2^index · under.
            let half: BigUint = &whole * 2_u32 + 1_u32;
            if half.pow(index) <= (BigUint::from(2_u32).pow(index) * &under) {
                whole += 1_u32;
            }
        }
        match whole.to_u128() {
            Some(mantissa) if mantissa <= MANTISSA => {
                let root = Decimal::try_from_i128_with_scale(i128::try_from(mantissa).ok()?, places).ok()?;
                return Some((signed(if exact { root.normalize() } else { root }), exact));
            }
            _ => places = places.checked_sub(1)?,
        }
    }
}

/// Rounded to a count of significant digits, half away from zero.
pub fn to_digits(value: Decimal, digits: u32) -> Decimal {
    value
        .round_sf_with_strategy(digits.clamp(1, 28), RoundingStrategy::MidpointAwayFromZero)
        .unwrap_or(value)
}
