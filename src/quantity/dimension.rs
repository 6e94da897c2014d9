//! Dimension: rational exponents over the base quantities and the tags.
//!
//! For: the static part of every quantity.
//! Always: exponents are reduced fractions; a plain number has all exponents zero.
//! Not known here: factors, kinds, and when a tag may be dropped (that is `language::check`).

use std::fmt;

/// A base quantity or a tag that is carried like one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
pub enum Base {
    /// kg
    Mass,
    /// m
    Length,
    /// s
    Time,
    /// A
    Current,
    /// K
    Temperature,
    /// dollar; currencies never convert, so each is a base of its own
    Dollar,
    /// euro
    Euro,
    /// pound sterling
    Pound,
    /// rad, soft
    Radian,
    /// rev, hard
    Turn,
    /// cycle, hard
    Cycle,
    /// active power (W as the unit of active power), soft
    Active,
    /// apparent power (VA)
    Apparent,
    /// reactive power (var)
    Reactive,
}

/// How many bases there are.
pub const BASES: usize = 14;

impl Base {
    /// All bases in order.
    pub const ALL: [Base; BASES] = [
        Base::Mass,
        Base::Length,
        Base::Time,
        Base::Current,
        Base::Temperature,
        Base::Dollar,
        Base::Euro,
        Base::Pound,
        Base::Radian,
        Base::Turn,
        Base::Cycle,
        Base::Active,
        Base::Apparent,
        Base::Reactive,
    ];

    /// The tags: carried like bases, not units of the SI.
    pub const TAGS: [Base; 6] = [
        Base::Radian,
        Base::Turn,
        Base::Cycle,
        Base::Active,
        Base::Apparent,
        Base::Reactive,
    ];

    /// The symbol shown in messages.
    pub fn symbol(self) -> &'static str {
        match self {
            Base::Mass => "kg",
            Base::Length => "m",
            Base::Time => "s",
            Base::Current => "A",
            Base::Temperature => "K",
            Base::Dollar => "$",
            Base::Euro => "€",
            Base::Pound => "£",
            Base::Radian => "rad",
            Base::Turn => "rev",
            Base::Cycle => "cycle",
            Base::Active => "active",
            Base::Apparent => "apparent",
            Base::Reactive => "reactive",
        }
    }
}

/// A reduced fraction, the exponent of a base. `den > 0`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Exponent {
    num: i16,
    den: i16,
}

impl Exponent {
    /// Zero.
    pub const ZERO: Exponent = Exponent { num: 0, den: 1 };
    /// One.
    pub const ONE: Exponent = Exponent { num: 1, den: 1 };

    /// `num / den`, reduced; `None` for a zero denominator or out of range.
    pub fn new(num: i64, den: i64) -> Option<Exponent> {
        if den == 0 {
            return None;
        }
        let sign = if den < 0 { -1 } else { 1 };
        let divisor = gcd(num.unsigned_abs(), den.unsigned_abs()).max(1);
        let divisor = i64::try_from(divisor).ok()?;
        Some(Exponent {
            num: i16::try_from(sign * num / divisor).ok()?,
            den: i16::try_from(sign * den / divisor).ok()?,
        })
    }

    /// A whole exponent.
    pub fn whole(num: i16) -> Exponent {
        Exponent { num, den: 1 }
    }

    /// Numerator.
    pub fn num(self) -> i16 {
        self.num
    }

    /// Denominator, positive.
    pub fn den(self) -> i16 {
        self.den
    }

    /// Whether it is zero.
    pub fn is_zero(self) -> bool {
        self.num == 0
    }

    /// Sum, `None` out of range.
    pub fn add(self, other: Exponent) -> Option<Exponent> {
        if self.den == 1 && other.den == 1 {
            return Some(Exponent::whole(self.num.checked_add(other.num)?));
        }
        Exponent::new(
            i64::from(self.num) * i64::from(other.den) + i64::from(other.num) * i64::from(self.den),
            i64::from(self.den) * i64::from(other.den),
        )
    }

    /// Product, `None` out of range.
    pub fn mul(self, other: Exponent) -> Option<Exponent> {
        if self.den == 1 && other.den == 1 {
            return Some(Exponent::whole(self.num.checked_mul(other.num)?));
        }
        Exponent::new(
            i64::from(self.num) * i64::from(other.num),
            i64::from(self.den) * i64::from(other.den),
        )
    }

    /// Nearest double.
    pub fn to_f64(self) -> f64 {
        f64::from(self.num) / f64::from(self.den)
    }

    /// The negative.
    #[must_use]
    pub fn neg(self) -> Exponent {
        Exponent {
            num: self.num.saturating_neg(),
            den: self.den,
        }
    }
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Exponents of all bases.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Dimension([Exponent; BASES]);

impl Dimension {
    /// A plain number.
    pub const NONE: Dimension = Dimension([Exponent::ZERO; BASES]);

    /// One base to the first power.
    pub fn of(base: Base) -> Dimension {
        Dimension::NONE.with(base, Exponent::ONE)
    }

    /// The exponent of a base.
    #[allow(clippy::indexing_slicing, reason = "a Base is always below BASES")]
    pub fn get(&self, base: Base) -> Exponent {
        self.0[base as usize]
    }

    /// The same with another exponent for one base.
    #[must_use]
    #[allow(clippy::indexing_slicing, reason = "a Base is always below BASES")]
    pub fn with(mut self, base: Base, exponent: Exponent) -> Dimension {
        self.0[base as usize] = exponent;
        self
    }

    /// Whether all exponents are zero.
    pub fn is_none(&self) -> bool {
        *self == Dimension::NONE
    }

    /// Product, `None` when an exponent leaves its range.
    pub fn mul(&self, other: &Dimension) -> Option<Dimension> {
        let mut out = *self;
        for base in Base::ALL {
            out = out.with(base, self.get(base).add(other.get(base))?);
        }
        Some(out)
    }

    /// Quotient, `None` when an exponent leaves its range.
    pub fn div(&self, other: &Dimension) -> Option<Dimension> {
        self.mul(&other.pow(Exponent::whole(-1))?)
    }

    /// The same without one base.
    #[must_use]
    pub fn without(self, base: Base) -> Dimension {
        self.with(base, Exponent::ZERO)
    }

    /// The same without the tags rad, rev, cycle, active, apparent and reactive.
    #[must_use]
    pub fn without_tags(mut self) -> Dimension {
        for base in Base::TAGS {
            self = self.without(base);
        }
        self
    }

    /// The same with every currency counted as dollars: what a kind such as `cost` asks for, whatever the currency.
    /// `None` when an exponent leaves its range.
    pub fn any_currency(&self) -> Option<Dimension> {
        let all = self
            .get(Base::Dollar)
            .add(self.get(Base::Euro))?
            .add(self.get(Base::Pound))?;
        Some(self.without(Base::Euro).without(Base::Pound).with(Base::Dollar, all))
    }

    /// The bases that take part, with their exponents.
    pub fn parts(&self) -> impl Iterator<Item = (Base, Exponent)> + '_ {
        Base::ALL
            .into_iter()
            .map(|base| (base, self.get(base)))
            .filter(|(_, exponent)| !exponent.is_zero())
    }

    /// Power, `None` when an exponent leaves its range.
    pub fn pow(&self, exponent: Exponent) -> Option<Dimension> {
        let mut out = *self;
        for base in Base::ALL {
            out = out.with(base, self.get(base).mul(exponent)?);
        }
        Some(out)
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut first = true;
        for base in Base::ALL {
            let exponent = self.get(base);
            if exponent.is_zero() {
                continue;
            }
            if !first {
                f.write_str("·")?;
            }
            first = false;
            f.write_str(base.symbol())?;
            if exponent != Exponent::ONE {
                if exponent.den() == 1 {
                    write!(f, "^{}", exponent.num())?;
                } else {
                    write!(f, "^({}/{})", exponent.num(), exponent.den())?;
                }
            }
        }
        if first { f.write_str("1") } else { Ok(()) }
    }
}

impl fmt::Debug for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
