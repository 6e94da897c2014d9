//! Factor: an exact fraction, a root of one where a formula takes roots, times a power of π.
//!
//! For: what stands between a unit and its coherent unit, and between two units.
//! Always: exact until it is applied to a number, then rounded once. A root that comes out even is taken; one that does not
//! is kept as a root, so that its square is the fraction again.
//! Not known here: which unit it belongs to.

use std::collections::HashMap;
use std::fmt;
use std::sync::{LazyLock, OnceLock, RwLock};

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive};
use rust_decimal::Decimal;

use super::decimal::{exact_product, quotient, rounded};
use super::dimension::Exponent;
use super::number::{Number, NumberFault};

/// `ratio^(1/root) · π^pi`, exact.
pub struct Factor {
    ratio: Ratio,
    /// 1 where no root is left.
    root: u32,
    pi: Exponent,
    /// How it is applied to decimals, worked out when it is first needed.
    applied: OnceLock<Applied>,
    /// Nearest double, worked out when it is first needed.
    float: OnceLock<f64>,
}

/// What was once worked out for the factors of this run that hold π or a root: the same few stand in formula after formula.
static WORKED_OUT: LazyLock<RwLock<HashMap<Factor, (Applied, f64)>>> = LazyLock::new(RwLock::default);
/// More than a workbook of the trade holds; what comes later is worked out each time.
const MOST_WORKED_OUT: usize = 4_096;

/// A reduced fraction; small ones stay in machine words.
#[derive(Clone, PartialEq, Eq, Hash)]
enum Ratio {
    /// Denominator positive.
    Small(i128, i128),
    Big(Box<BigRational>),
}

/// The cheapest way that still rounds once.
#[derive(Clone, Debug)]
enum Applied {
    /// Multiply by a finite decimal.
    Times(Decimal),
    /// Multiply by a whole number, exactly, then divide by one.
    TimesOver {
        /// Multiplied.
        num: Decimal,
        /// Divided by.
        den: Decimal,
        /// What is left of `den` without its twos and fives.
        odd: i128,
    },
    /// The factor itself has no end; it is known to 28 digits.
    About(Decimal),
    /// The same, for a small factor: its reciprocal is known to 28 digits.
    Over(Decimal),
    /// Only the long way.
    Long,
}

/// π to 100 digits, as a fraction.
static PI: LazyLock<BigRational> = LazyLock::new(|| {
    let digits =
        "31415926535897932384626433832795028841971693993751058209749445923078164062862089986280348253421170679";
    let num = BigInt::parse_bytes(digits.as_bytes(), 10).unwrap_or_default();
    BigRational::new(num, BigInt::from(10).pow(100))
});

/// Fractions and roots beyond this many bits are refused: no formula of the trade comes near, and work stays short.
const BITS: u64 = 8_192;

/// The same for roots, and for powers of π made at once: a thousand of them stay in the range of an exponent.
const ROOTS: u32 = 64;
const PI_POWERS: f64 = 30.0;

impl Factor {
    /// One.
    pub fn one() -> Factor {
        Factor::of(Ratio::Small(1, 1), 1, Exponent::ZERO)
    }

    /// `num / den · π^pi`; `None` for a zero denominator or a zero factor.
    pub fn new(num: i128, den: i128, pi: Exponent) -> Option<Factor> {
        if den == 0 || num == 0 {
            return None;
        }
        Some(Factor::of(Ratio::new(num, den), 1, pi))
    }

    /// The factor that is this number; `None` for zero.
    pub fn from_decimal(value: Decimal) -> Option<Factor> {
        let value = value.normalize();
        Factor::new(value.mantissa(), 10_i128.checked_pow(value.scale())?, Exponent::ZERO)
    }

    fn of(ratio: Ratio, root: u32, pi: Exponent) -> Factor {
        Factor {
            ratio,
            root,
            pi,
            applied: OnceLock::new(),
            float: OnceLock::new(),
        }
    }

    /// Whether it changes nothing.
    pub fn is_one(&self) -> bool {
        self.root == 1 && self.pi.is_zero() && self.ratio == Ratio::Small(1, 1)
    }

    /// The fraction; where [`Factor::root`] is not 1, the fraction under the root.
    pub fn ratio(&self) -> BigRational {
        self.ratio.big()
    }

    /// Which root of the fraction is meant: 1 for the fraction itself, 2 for its square root.
    pub fn root(&self) -> u32 {
        self.root
    }

    /// The power of π.
    pub fn pi(&self) -> Exponent {
        self.pi
    }

    /// Product.
    #[must_use]
    #[allow(
        clippy::should_implement_trait,
        reason = "named like the other operations of quantities"
    )]
    pub fn mul(&self, other: &Factor) -> Factor {
        if other.is_one() {
            return self.clone();
        }
        if self.is_one() {
            return other.clone();
        }
        let pi = self.pi.add(other.pi).unwrap_or(Exponent::ZERO);
        if self.root == 1 && other.root == 1 {
            return Factor::of(self.ratio.mul(&other.ratio), 1, pi);
        }
        let root = lcm(self.root, other.root);
        let (left, right) = (root / self.root, root / other.root);
        let bits =
            self.ratio.bits().saturating_mul(u64::from(left)) + other.ratio.bits().saturating_mul(u64::from(right));
        if root > ROOTS || bits > 2 * BITS {
            // Nothing of the trade comes here. Sixty digits stand for roots that would make the fraction endless.
            return Factor::of(self.without_root().mul(&other.without_root()), 1, pi);
        }
        Factor::of(self.ratio.powi(left).mul(&other.ratio.powi(right)), root, pi).evened()
    }

    /// Quotient.
    #[must_use]
    #[allow(
        clippy::should_implement_trait,
        reason = "named like the other operations of quantities"
    )]
    pub fn div(&self, other: &Factor) -> Factor {
        self.mul(&other.inverse())
    }

    /// One over it.
    #[must_use]
    pub fn inverse(&self) -> Factor {
        Factor::of(self.ratio.inverse(), self.root, self.pi.neg())
    }

    /// Power. Roots that come out even are taken, others are kept as roots. `None` for an even root of a negative factor
    /// and where the result would be absurdly long.
    pub fn pow(&self, exponent: Exponent) -> Option<Factor> {
        if exponent.is_zero() {
            return Some(Factor::one());
        }
        let den = u32::try_from(exponent.den()).ok()?;
        let times = u32::from(exponent.num().unsigned_abs());
        if self.ratio.bits().checked_mul(u64::from(times))? > BITS {
            return None;
        }
        if den % 2 == 0 && self.ratio.is_negative() {
            return None;
        }
        let raised = self.ratio.powi(times);
        let ratio = if exponent.num() < 0 { raised.inverse() } else { raised };
        let root = self.root.checked_mul(den).filter(|root| *root <= ROOTS)?;
        let pi = self.pi.mul(exponent).filter(|pi| pi.to_f64().abs() <= PI_POWERS)?;
        Some(Factor::of(ratio, root, pi).evened())
    }

    /// The fraction that stands for the root to sixty digits.
    fn without_root(&self) -> Ratio {
        let root = Factor::of(self.ratio.clone(), self.root, Exponent::ZERO);
        root.value(60).map_or_else(|| self.ratio.clone(), Ratio::from_big)
    }

    /// Takes the roots that come out even.
    fn evened(self) -> Factor {
        let Factor {
            mut ratio,
            mut root,
            pi,
            ..
        } = self;
        if ratio == Ratio::Small(1, 1) {
            root = 1;
        }
        let mut prime = 2;
        while prime <= root {
            if root % prime == 0
                && let Some(taken) = ratio.exact_root(prime)
            {
                ratio = taken;
                root /= prime;
            } else {
                prime += 1;
            }
        }
        Factor::of(ratio, root, pi)
    }

    /// Nearest double, for the parts that work with floats.
    pub fn to_f64(&self) -> f64 {
        if self.is_plain() {
            return self.ratio.to_f64();
        }
        *self.float.get_or_init(|| self.worked_out().1)
    }

    /// Whether neither π nor a root is in it.
    fn is_plain(&self) -> bool {
        self.root == 1 && self.pi.is_zero()
    }

    /// How it is applied to a decimal and its nearest double, looked up where it was worked out before.
    fn worked_out(&self) -> (Applied, f64) {
        if let Ok(known) = WORKED_OUT.read()
            && let Some(known) = known.get(self)
        {
            return known.clone();
        }
        let float = self.value(40).and_then(|value| value.to_f64()).unwrap_or(f64::NAN);
        let found = (self.cheapest(), float);
        if let Ok(mut known) = WORKED_OUT.write()
            && known.len() < MOST_WORKED_OUT
        {
            let bare = Factor::of(self.ratio.clone(), self.root, self.pi);
            known.insert(bare, found.clone());
        }
        found
    }

    /// The value times the factor, rounded once to what a decimal holds (28 digits, 28 places), half to even. Exact whenever
    /// the result fits.
    ///
    /// # Errors
    /// Overflow; underflow when a value that is not zero becomes zero.
    pub fn apply(&self, value: Decimal) -> Result<Decimal, NumberFault> {
        if self.is_one() || value.is_zero() {
            return Ok(value);
        }
        self.worked(value).map(|(worked, _)| worked)
    }

    /// The number times the factor: a float stays a float, an exact number stays exact where the product is.
    ///
    /// # Errors
    /// Overflow; underflow when a number that is not zero becomes zero.
    pub fn apply_to(&self, number: Number) -> Result<Number, NumberFault> {
        if self.is_one() {
            return Ok(number);
        }
        match number {
            Number::Exact(value) if value.is_zero() => Ok(number),
            Number::Exact(value) => {
                let (worked, exact) = self.worked(value)?;
                Ok(if exact {
                    Number::Exact(worked)
                } else {
                    Number::Rounded(worked)
                })
            }
            Number::Rounded(value) => Ok(Number::Rounded(self.apply(value)?)),
            Number::Float(value) => Number::from_f64(value * self.to_f64()),
        }
    }

    /// The value times the factor, and whether that is exact.
    fn worked(&self, value: Decimal) -> Result<(Decimal, bool), NumberFault> {
        let (worked, exact) = match self.applied.get_or_init(|| self.prepared()) {
            Applied::Times(factor) => {
                let product = value.checked_mul(*factor).ok_or(NumberFault::Overflow)?;
                let kept = product.scale() == value.scale() + factor.scale();
                (product, kept || exact_product(value, *factor).is_some())
            }
            Applied::TimesOver { num, den, odd } => match exact_product(value, *num) {
                Some(product) if product.mantissa() % odd == 0 => {
                    let quotient = product.checked_div(*den).ok_or(NumberFault::Overflow)?;
                    match exact_product(quotient, *den) {
                        Some(back) => (quotient, back == product),
                        None => self.long(value)?,
                    }
                }
                // A prime that is neither 2 nor 5 is left below the line: it cannot come out even.
                Some(product) => (product.checked_div(*den).ok_or(NumberFault::Overflow)?, false),
                None => self.long(value)?,
            },
            Applied::About(factor) => (value.checked_mul(*factor).ok_or(NumberFault::Overflow)?, false),
            Applied::Over(reciprocal) => (value.checked_div(*reciprocal).ok_or(NumberFault::Overflow)?, false),
            Applied::Long => self.long(value)?,
        };
        if worked.is_zero() {
            Err(NumberFault::Underflow)
        } else {
            Ok((worked, exact))
        }
    }

    fn prepared(&self) -> Applied {
        if self.is_plain() {
            self.cheapest()
        } else {
            self.worked_out().0
        }
    }

    fn cheapest(&self) -> Applied {
        if self.is_plain() {
            if let Some(decimal) = self.ratio.finite() {
                return Applied::Times(decimal);
            }
            if let Ratio::Small(num, den) = self.ratio
                && let (Some(num), Some(below)) = (whole(num), whole(den))
            {
                return Applied::TimesOver {
                    num,
                    den: below,
                    odd: odd(den),
                };
            }
            return Applied::Long;
        }
        let Some(value) = self.value(50) else {
            return Applied::Long;
        };
        let tenth = BigRational::new(BigInt::one(), BigInt::from(10));
        let near_one = value.abs() >= tenth;
        let known = if near_one {
            rounded(&value)
        } else {
            rounded(&value.recip())
        };
        match known {
            Ok(known) if near_one => Applied::About(known),
            Ok(known) => Applied::Over(known),
            Err(_) => Applied::Long,
        }
    }

    fn long(&self, value: Decimal) -> Result<(Decimal, bool), NumberFault> {
        let plain = self.is_plain();
        let factor = if plain {
            self.ratio.big()
        } else {
            self.value(60).ok_or(NumberFault::Overflow)?
        };
        let num = factor.numer() * BigInt::from(value.mantissa());
        let den = factor.denom() * BigInt::from(10).pow(value.scale());
        let (worked, exact) = quotient(&num, &den)?;
        Ok((worked, exact && plain))
    }

    /// A fraction that equals the factor to at least `digits` digits.
    fn value(&self, digits: u32) -> Option<BigRational> {
        let pi_den = u32::try_from(self.pi.den()).ok()?;
        let root = lcm(self.root, pi_den);
        let pi_power = i32::from(self.pi.num()) * i32::try_from(root / pi_den).ok()?;
        let under = self.ratio.powi(root / self.root).big() * short_power(&PI, pi_power)?;
        if root == 1 {
            return Some(under);
        }
        let negative = under.is_negative();
        let under = under.abs();
        // Enough places after the point even where the value is small.
        let size = under.numer().bits() as i64 - under.denom().bits() as i64;
        let places = i64::from(digits) + 2 - (size * 3 / 10).min(0) / i64::from(root);
        let places = u32::try_from(places).ok()?;
        let scale = BigInt::from(10).pow(places);
        let whole = (under * BigRational::from_integer(scale.pow(root))).to_integer();
        let taken = BigRational::new(whole.nth_root(root), scale);
        Some(if negative { -taken } else { taken })
    }
}

impl Clone for Factor {
    fn clone(&self) -> Factor {
        Factor {
            ratio: self.ratio.clone(),
            root: self.root,
            pi: self.pi,
            applied: self.applied.clone(),
            float: self.float.clone(),
        }
    }
}
impl PartialEq for Factor {
    fn eq(&self, other: &Factor) -> bool {
        self.root == other.root && self.pi == other.pi && self.ratio == other.ratio
    }
}
impl Eq for Factor {}
impl std::hash::Hash for Factor {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.ratio.hash(state);
        self.root.hash(state);
        self.pi.hash(state);
    }
}
impl fmt::Debug for Factor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ratio = self.ratio.big();
        match self.root {
            1 => write!(f, "{ratio}")?,
            root => write!(f, "({ratio})^(1/{root})")?,
        }
        if !self.pi.is_zero() {
            write!(f, "·π^{}/{}", self.pi.num(), self.pi.den())?;
        }
        Ok(())
    }
}

impl Ratio {
    fn new(num: i128, den: i128) -> Ratio {
        let divisor = gcd(num.unsigned_abs(), den.unsigned_abs());
        let (Ok(divisor), true) = (i128::try_from(divisor), num != i128::MIN && den != i128::MIN) else {
            return Ratio::from_big(BigRational::new(BigInt::from(num), BigInt::from(den)));
        };
        let sign = if den < 0 { -1 } else { 1 };
        Ratio::Small(sign * (num / divisor), sign * (den / divisor))
    }

    fn from_big(big: BigRational) -> Ratio {
        match (big.numer().to_i128(), big.denom().to_i128()) {
            (Some(num), Some(den)) if num != i128::MIN => Ratio::Small(num, den),
            _ => Ratio::Big(Box::new(big)),
        }
    }

    fn big(&self) -> BigRational {
        match self {
            Ratio::Small(num, den) => BigRational::new_raw(BigInt::from(*num), BigInt::from(*den)),
            Ratio::Big(big) => (**big).clone(),
        }
    }

    fn bits(&self) -> u64 {
        match self {
            Ratio::Small(num, den) => u64::from(128 - num.unsigned_abs().leading_zeros().min(den.leading_zeros())),
            Ratio::Big(big) => big.numer().bits().max(big.denom().bits()),
        }
    }

    fn is_negative(&self) -> bool {
        match self {
            Ratio::Small(num, _) => *num < 0,
            Ratio::Big(big) => big.is_negative(),
        }
    }

    fn to_f64(&self) -> f64 {
        match self {
            Ratio::Small(num, den) if num.unsigned_abs() < 1 << 53 && *den < 1 << 53 => *num as f64 / *den as f64,
            other => other.big().to_f64().unwrap_or(f64::NAN),
        }
    }

    fn mul(&self, other: &Ratio) -> Ratio {
        if let (Ratio::Small(a, b), Ratio::Small(c, d)) = (self, other) {
            // Reduced crosswise before multiplying, so that the product is reduced and as small as can be.
            let left = gcd(a.unsigned_abs(), d.unsigned_abs()) as i128;
            let right = gcd(c.unsigned_abs(), b.unsigned_abs()) as i128;
            let num = (a / left).checked_mul(c / right);
            let den = (b / right).checked_mul(d / left);
            if let (Some(num), Some(den)) = (num, den)
                && num != i128::MIN
            {
                return Ratio::Small(num, den);
            }
        }
        Ratio::from_big(self.big() * other.big())
    }

    fn inverse(&self) -> Ratio {
        match self {
            Ratio::Small(num, den) if *num > 0 => Ratio::Small(*den, *num),
            Ratio::Small(num, den) if *num < 0 => Ratio::Small(-*den, -*num),
            // A factor is never zero.
            Ratio::Small(..) => Ratio::Small(1, 1),
            Ratio::Big(big) => Ratio::from_big(big.recip()),
        }
    }

    fn powi(&self, times: u32) -> Ratio {
        match times {
            1 => return self.clone(),
            0 => return Ratio::Small(1, 1),
            _ => {}
        }
        if let Ratio::Small(num, den) = self
            && let (Some(num), Some(den)) = (num.checked_pow(times), den.checked_pow(times))
            && num != i128::MIN
        {
            return Ratio::Small(num, den);
        }
        let big = self.big();
        Ratio::from_big(BigRational::new_raw(big.numer().pow(times), big.denom().pow(times)))
    }

    fn exact_root(&self, root: u32) -> Option<Ratio> {
        let big = self.big();
        if root.is_multiple_of(2) && big.is_negative() {
            return None;
        }
        let num = big.numer().nth_root(root);
        let den = big.denom().nth_root(root);
        (num.pow(root) == *big.numer() && den.pow(root) == *big.denom())
            .then(|| Ratio::from_big(BigRational::new_raw(num, den)))
    }

    /// The decimal that equals it, where there is one.
    fn finite(&self) -> Option<Decimal> {
        let Ratio::Small(num, den) = self else {
            return None;
        };
        if odd(*den) != 1 {
            return None;
        }
        let twos = den.trailing_zeros();
        let fives = (den >> twos).checked_ilog(5)?;
        let scale = twos.max(fives);
        let lift = 2_i128
            .checked_pow(scale - twos)?
            .checked_mul(5_i128.checked_pow(scale - fives)?)?;
        let mantissa = num.checked_mul(lift)?;
        Decimal::try_from_i128_with_scale(mantissa, scale).ok()
    }
}

/// A whole number as a decimal.
fn whole(value: i128) -> Option<Decimal> {
    Decimal::try_from_i128_with_scale(value, 0).ok()
}

/// `base^times`, cut to 100 digits or so, so that high powers stay short.
fn short_power(base: &BigRational, times: i32) -> Option<BigRational> {
    if times.unsigned_abs() > 64 {
        return None;
    }
    let scale = BigInt::from(10).pow(100);
    let mut out = BigRational::one();
    for _ in 0..times.unsigned_abs() {
        let next = out * base * BigRational::from_integer(scale.clone());
        out = BigRational::new(next.round().to_integer(), scale.clone());
    }
    Some(if times < 0 { out.recip() } else { out })
}

/// A whole number without its twos and fives.
fn odd(value: i128) -> i128 {
    let mut rest = value >> value.trailing_zeros();
    while rest % 5 == 0 && rest != 0 {
        rest /= 5;
    }
    rest
}

/// Greatest common divisor by halving; 1 where both are zero.
fn gcd(mut a: u128, mut b: u128) -> u128 {
    if a == 1 || b == 1 {
        return 1;
    }
    if a == 0 || b == 0 {
        return (a | b).max(1);
    }
    let shift = (a | b).trailing_zeros();
    a >>= a.trailing_zeros();
    while b != 0 {
        b >>= b.trailing_zeros();
        if a > b {
            std::mem::swap(&mut a, &mut b);
        }
        b -= a;
    }
    a << shift
}

fn lcm(a: u32, b: u32) -> u32 {
    if a == b {
        return a;
    }
    let divisor = u32::try_from(gcd(u128::from(a), u128::from(b))).unwrap_or(1);
    (a / divisor).saturating_mul(b)
}
