//! Factor: an exact fraction times a power of π.
//!
//! For: what stands between a unit and its coherent SI unit, and between two units.
//! Always: exact until it is applied to a number, then rounded once.
//! Not known here: which unit it belongs to.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, ToPrimitive, Zero};

use super::dimension::Exponent;

/// `ratio · π^pi`, exact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Factor {
    ratio: BigRational,
    pi: Exponent,
}

impl Factor {
    /// One.
    pub fn one() -> Factor {
        Factor {
            ratio: BigRational::one(),
            pi: Exponent::ZERO,
        }
    }

    /// `num / den · π^pi`; `None` for a zero denominator or a zero factor.
    pub fn new(num: i128, den: i128, pi: Exponent) -> Option<Factor> {
        if den == 0 || num == 0 {
            return None;
        }
        Some(Factor {
            ratio: BigRational::new(BigInt::from(num), BigInt::from(den)),
            pi,
        })
    }

    /// Whether it changes nothing.
    pub fn is_one(&self) -> bool {
        self.pi.is_zero() && self.ratio.is_one()
    }

    /// The fraction.
    pub fn ratio(&self) -> &BigRational {
        &self.ratio
    }

    /// The power of π.
    pub fn pi(&self) -> Exponent {
        self.pi
    }

    /// Product.
    #[must_use]
    pub fn mul(&self, other: &Factor) -> Factor {
        Factor {
            ratio: &self.ratio * &other.ratio,
            pi: self.pi.add(other.pi).unwrap_or(Exponent::ZERO),
        }
    }

    /// Quotient.
    #[must_use]
    pub fn div(&self, other: &Factor) -> Factor {
        if other.ratio.is_zero() {
            return self.clone();
        }
        Factor {
            ratio: &self.ratio / &other.ratio,
            pi: self.pi.add(other.pi.neg()).unwrap_or(Exponent::ZERO),
        }
    }

    /// Nearest double, for the parts that work with floats.
    pub fn to_f64(&self) -> f64 {
        let pi = std::f64::consts::PI.powf(f64::from(self.pi.num()) / f64::from(self.pi.den()));
        self.ratio.to_f64().unwrap_or(f64::NAN) * pi
    }
}
