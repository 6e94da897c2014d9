//! Phasor: a complex number in rectangular form, worked in floats.
//!
//! For: sinusoidal voltages and currents, impedances, complex power. Checked like [`Number`]: overflow, division by zero and
//! loss of everything are faults.
//! Always: both parts are finite. A part that is below the digits of the other one is shown and handed over as zero, and what is left
//! where two phasors cancel, below their digits, is zero.
//! Not known here: units, and which form a phasor is shown in. Angles are in radians.

use num_complex::Complex64;

use super::number::{Number, NumberFault};

/// A part smaller than this share of the magnitude lies below the fifteen digits of a float.
const NOTHING: f64 = 1e-15;

/// Up to this share of two phasors together, what is left where they cancel comes from rounding them and what they were worked from.
const CANCELLED: f64 = 16.0 * f64::EPSILON;

/// How a phasor is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhasorForm {
    /// `0.3 Ω + j*0.5 Ω`
    Rectangular,
    /// `230 V ∠ -30 deg`
    Polar,
}

impl PhasorForm {
    /// Its word in a `to` clause.
    pub fn word(self) -> &'static str {
        match self {
            PhasorForm::Rectangular => "rectangular",
            PhasorForm::Polar => "polar",
        }
    }

    /// The form of this word.
    pub fn find(word: &str) -> Option<PhasorForm> {
        [PhasorForm::Rectangular, PhasorForm::Polar]
            .into_iter()
            .find(|form| form.word() == word)
    }
}

/// A complex number without its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phasor(Complex64);

/// What arithmetic with phasors gives.
pub type PhasorWorked = Result<Phasor, NumberFault>;

impl Phasor {
    /// The imaginary unit.
    pub const J: Phasor = Phasor(Complex64::I);

    /// From its parts.
    ///
    /// # Errors
    /// Overflow where a part is infinite; [`NumberFault::NotReal`] where one has no value.
    pub fn new(re: f64, im: f64) -> PhasorWorked {
        if re.is_nan() || im.is_nan() {
            return Err(NumberFault::NotReal);
        }
        checked(Complex64::new(re, im))
    }

    /// From magnitude and angle in radians.
    ///
    /// # Errors
    /// As [`Phasor::new`].
    pub fn polar(magnitude: f64, angle: f64) -> PhasorWorked {
        let part = |by: f64| if by.abs() < NOTHING { 0.0 } else { magnitude * by };
        Phasor::new(part(angle.cos()), part(angle.sin()))
    }

    /// Real part.
    pub fn re(self) -> f64 {
        self.clean(self.0.re)
    }

    /// Imaginary part.
    pub fn im(self) -> f64 {
        self.clean(self.0.im)
    }

    fn clean(self, part: f64) -> f64 {
        if part.abs() < NOTHING * self.abs() {
            0.0
        } else {
            part + 0.0
        }
    }

    /// Magnitude.
    pub fn abs(self) -> f64 {
        self.0.re.hypot(self.0.im)
    }

    /// Angle in radians, above −π and up to π; zero for zero.
    pub fn angle(self) -> f64 {
        self.im().atan2(self.re())
    }

    /// The conjugate.
    #[must_use]
    pub fn conj(self) -> Phasor {
        Phasor(self.0.conj())
    }

    /// The negative.
    #[must_use]
    pub fn neg(self) -> Phasor {
        Phasor(-self.0)
    }

    /// Sum.
    ///
    /// # Errors
    /// Overflow.
    pub fn add(self, other: Phasor) -> PhasorWorked {
        let sum = self.0 + other.0;
        // Where the parts cancel, what is left below the digits of the two phasors is rounding and no value.
        let size = self.abs() + other.abs();
        let part = |sum: f64, one: f64| {
            if sum.abs() <= CANCELLED * size && one.abs() > 4.0 * sum.abs() {
                0.0
            } else {
                sum
            }
        };
        checked(Complex64::new(part(sum.re, self.0.re), part(sum.im, self.0.im)))
    }

    /// Difference.
    ///
    /// # Errors
    /// Overflow.
    pub fn sub(self, other: Phasor) -> PhasorWorked {
        self.add(other.neg())
    }

    /// Product.
    ///
    /// # Errors
    /// Overflow; underflow where factors that are not zero give zero.
    pub fn mul(self, other: Phasor) -> PhasorWorked {
        let product = checked(self.0 * other.0)?;
        if product.is_zero() && !self.is_zero() && !other.is_zero() {
            return Err(NumberFault::Underflow);
        }
        Ok(product)
    }

    /// Quotient.
    ///
    /// # Errors
    /// Division by zero; overflow; underflow.
    pub fn div(self, other: Phasor) -> PhasorWorked {
        if other.is_zero() {
            return Err(NumberFault::DivisionByZero);
        }
        // Scaled by the size of the divisor, so that its square neither overflows nor vanishes.
        let size = other.abs();
        let quotient = checked(self.0 / size / (other.0 / size))?;
        if quotient.is_zero() && !self.is_zero() {
            return Err(NumberFault::Underflow);
        }
        Ok(quotient)
    }

    /// Whole power.
    ///
    /// # Errors
    /// [`NumberFault::NotReal`] for 0⁰, division by zero for a negative power of zero; overflow; underflow.
    pub fn pow(self, power: i32) -> PhasorWorked {
        if self.is_zero() && power <= 0 {
            return Err(if power == 0 {
                NumberFault::NotReal
            } else {
                NumberFault::DivisionByZero
            });
        }
        let raised = checked(self.0.powi(power))?;
        if raised.is_zero() && !self.is_zero() {
            return Err(NumberFault::Underflow);
        }
        Ok(raised)
    }

    /// e to this power.
    ///
    /// # Errors
    /// Overflow; underflow.
    pub fn exp(self) -> PhasorWorked {
        let size = self.0.re.exp();
        if size == 0.0 {
            return Err(NumberFault::Underflow);
        }
        Phasor::polar(size, self.0.im)
    }

    /// Both parts changed alike, as by a factor of a unit.
    ///
    /// # Errors
    /// Those of the change.
    pub fn each(self, change: impl Fn(Number) -> Result<Number, NumberFault>) -> PhasorWorked {
        let part = |part: f64| change(Number::Float(part)).map(Number::to_f64);
        Phasor::new(part(self.0.re)?, part(self.0.im)?)
    }

    /// Whether it is zero.
    pub fn is_zero(self) -> bool {
        self.0.re == 0.0 && self.0.im == 0.0
    }
}

impl From<Number> for Phasor {
    fn from(number: Number) -> Phasor {
        Phasor(Complex64::new(number.to_f64(), 0.0))
    }
}

/// What came of finite parts: where it is not finite itself, something became too large on the way.
fn checked(value: Complex64) -> PhasorWorked {
    if value.is_finite() {
        Ok(Phasor(value))
    } else {
        Err(NumberFault::Overflow)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    fn near(a: Phasor, re: f64, im: f64) -> bool {
        let size = re.hypot(im).max(1e-300);
        (a.re() - re).abs() <= 1e-14 * size && (a.im() - im).abs() <= 1e-14 * size
    }

    #[test]
    fn hand_values() {
        // (3 + 4j)(1 − 2j) = 3 − 6j + 4j + 8 = 11 − 2j; (11 − 2j)/(1 − 2j) = 3 + 4j; |3 + 4j| = 5.
        let (a, b) = (Phasor::new(3.0, 4.0).unwrap(), Phasor::new(1.0, -2.0).unwrap());
        let product = a.mul(b).unwrap();
        assert!(near(product, 11.0, -2.0));
        assert!(near(product.div(b).unwrap(), 3.0, 4.0));
        assert_eq!(a.abs(), 5.0);
        // (3 + 4j)² = −7 + 24j; j² = −1; e^(jπ) = −1.
        assert!(near(a.pow(2).unwrap(), -7.0, 24.0));
        assert!(near(Phasor::J.mul(Phasor::J).unwrap(), -1.0, 0.0));
        let half_turn = Phasor::new(0.0, std::f64::consts::PI).unwrap().exp().unwrap();
        assert_eq!((half_turn.re(), half_turn.im()), (-1.0, 0.0));
        // 230 at −30°: 230·√3/2 and −115.
        let u = Phasor::polar(230.0, -30_f64.to_radians()).unwrap();
        assert!(near(u, 230.0 * 0.75_f64.sqrt(), -115.0));
        let quarter = Phasor::polar(5.0, std::f64::consts::FRAC_PI_2).unwrap();
        assert_eq!((quarter.re(), quarter.im()), (0.0, 5.0));
    }

    /// Three phasors 120° apart give nothing, in whatever order; a small part that nothing cancels stays, and so does a small
    /// difference that their digits hold.
    #[test]
    fn what_cancels_is_nothing() {
        let third = 120_f64.to_radians();
        for size in [1e-6, 1.0, 230.0, 11e3, 6.35e9] {
            let [a, b, c] = [0.0, -third, third].map(|angle| Phasor::polar(size, angle).unwrap());
            for (x, y, z) in [(a, b, c), (c, a, b), (b, c, a)] {
                assert_eq!(x.add(y).unwrap().add(z).unwrap(), Phasor::new(0.0, 0.0).unwrap());
                assert_eq!(x.sub(y.add(z).unwrap().neg()).unwrap().abs(), 0.0);
            }
            // Currents through the same impedance, each worked on its own.
            let through = Phasor::new(0.7, 2.3).unwrap();
            let [a, b, c] = [a, b, c].map(|voltage| voltage.div(through).unwrap());
            assert_eq!(a.add(b).unwrap().add(c).unwrap().abs(), 0.0);
        }
        let kept = Phasor::new(1e6, 0.0)
            .unwrap()
            .add(Phasor::new(0.0, 1e-6).unwrap())
            .unwrap();
        assert_eq!((kept.0.re, kept.0.im), (1e6, 1e-6));
        let apart = Phasor::new(230.0, 1.0)
            .unwrap()
            .sub(Phasor::new(230.0 - 1e-11, 1.0).unwrap())
            .unwrap();
        assert!((apart.re() - 1e-11).abs() < 1e-12, "{apart:?}");
    }

    #[test]
    fn faults_instead_of_wrong_numbers() {
        let zero = Phasor::new(0.0, 0.0).unwrap();
        let big = Phasor::new(1e200, 1e200).unwrap();
        assert_eq!(big.mul(big), Err(NumberFault::Overflow));
        assert_eq!(big.div(zero), Err(NumberFault::DivisionByZero));
        assert_eq!(zero.pow(-1), Err(NumberFault::DivisionByZero));
        let small = Phasor::new(1e-200, 1e-200).unwrap();
        assert_eq!(small.mul(small), Err(NumberFault::Underflow));
        // A large divisor squared would overflow.
        assert!(near(big.div(big).unwrap(), 1.0, 0.0));
        assert!(Phasor::new(f64::NAN, 0.0).is_err());
    }

    proptest! {
        // The other library: num-complex.
        #[test]
        fn as_the_complex_library(a in -1e3..1e3, b in -1e3..1e3, c in -1e3..1e3, d in 1.0..1e3, n in -4..5i32) {
            let (x, y) = (Complex64::new(a, b), Complex64::new(c, d));
            let (p, q) = (Phasor::new(a, b).unwrap(), Phasor::new(c, d).unwrap());
            let same = |ours: Phasor, theirs: Complex64| {
                let size = theirs.norm().max(1e-12);
                (ours.0 - theirs).norm() <= 1e-13 * size
            };
            prop_assert!(same(p.mul(q).unwrap(), x * y));
            prop_assert!(same(p.div(q).unwrap(), x * y.inv()));
            prop_assert!(same(q.pow(n).unwrap(), y.powi(n)));
            prop_assert!((q.angle() - y.arg()).abs() < 1e-14 && (q.abs() - y.norm()).abs() <= 1e-12);
            prop_assert!(same(Phasor::polar(q.abs(), q.angle()).unwrap(), y));
        }
    }
}
