//! A part of a formula while it is being checked: a product flattened into one, with everything that decides how its tags settle.
//!
//! For: products, quotients and powers, without a decision about tags. `settle` takes the decisions.
//! Always: `op` gives raw numbers; raw times `factor` is the value in the coherent unit of `dimension`. A written π is part of
//! the factor, so it is never rounded on the way.
//! Not known here: names, the tree, messages.

use rust_decimal::Decimal;

use super::typed::{Op, Scale};
use crate::fault::Span;
use crate::quantity::{Base, Dimension, Exponent, Factor, Kind, Number, Unit};

/// One whole in the counting of exponents below, which goes by sixtieths so that halves, thirds and fifths are whole numbers.
pub(super) const ONE: i32 = 60;

/// An exponent in sixtieths.
pub(super) fn sixtieths(exponent: Exponent) -> i32 {
    i32::from(exponent.num()) * ONE / i32::from(exponent.den())
}

/// Sixtieths as an exponent.
pub(super) fn exponent(sixtieths: i32) -> Exponent {
    Exponent::new(i64::from(sixtieths), i64::from(ONE)).unwrap_or(Exponent::ZERO)
}

/// What is counted with its exponent over a whole product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum Count {
    /// 2π, written as `2*pi` side by side.
    TwoPi,
    /// 2 and π written in one product, apart from each other.
    LooseTwoPi,
    /// π without a 2.
    Pi,
    /// Electrical radian: 2π·cycle, not yet divided by a pole count.
    Electrical,
    /// Angle as written: rad, rev.
    Angle,
    /// Quantities that are torques.
    Torque,
    /// Quantities that are energies or powers.
    Energy,
    /// Line voltages.
    LineVoltage,
    /// Line currents.
    LineCurrent,
    /// Phase voltages.
    PhaseVoltage,
    /// Phase currents.
    PhaseCurrent,
    /// Voltages of which it is not said between what.
    Voltage,
    /// Currents of which it is not said in what.
    Current,
    /// Resistances by kind.
    Resistance,
    /// Reactances by kind.
    Reactance,
    /// Impedances by kind.
    Impedance,
    /// Cosines of an angle.
    Cosine,
    /// Sines of an angle.
    Sine,
    /// Tangents of an angle.
    Tangent,
    /// √3 as a number.
    RootThree,
    /// 3 as a number.
    Three,
    /// Shaft powers.
    Shaft,
    /// Electrical inputs.
    Input,
    /// Hydraulic powers.
    Hydraulic,
    /// Losses.
    Loss,
    /// Plain numbers without a kind: named ratios and literals up to one.
    Undeclared,
    /// Flywheel effects, GD².
    Flywheel,
    /// By the year: h/yr, kWh/yr; a time in years goes the other way.
    Yearly,
}

pub(super) const COUNTS: usize = Count::Yearly as usize + 1;

/// What took part somewhere in a product, whatever its exponent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Marks(u32);

impl Marks {
    /// Something with mass that is no pressure.
    pub(super) const MASS: Marks = Marks(1);
    /// A pressure.
    pub(super) const PRESSURE: Marks = Marks(1 << 1);
    /// Something with ampere.
    pub(super) const AMPERE: Marks = Marks(1 << 2);
    /// Something that is neither a plain number nor made of times and tags alone.
    pub(super) const MORE_THAN_TIME: Marks = Marks(1 << 3);
    /// A frequency.
    pub(super) const FREQUENCY: Marks = Marks(1 << 4);
    /// A power or an energy.
    pub(super) const POWER: Marks = Marks(1 << 5);
    /// A torque.
    pub(super) const TORQUE: Marks = Marks(1 << 6);
    /// A speed of rotation.
    pub(super) const SPEED: Marks = Marks(1 << 7);
    /// A moment of inertia.
    pub(super) const INERTIA: Marks = Marks(1 << 8);
    /// A volume flow.
    pub(super) const FLOW: Marks = Marks(1 << 9);
    /// A length or a pressure.
    pub(super) const HEAD: Marks = Marks(1 << 10);
    /// 4.44 or √2·π stands in it: the transformer equation.
    pub(super) const TRANSFORMER: Marks = Marks(1 << 11);
    /// A difference of two active powers.
    pub(super) const ACTIVE_DIFFERENCE: Marks = Marks(1 << 12);
    /// √2 as a number.
    pub(super) const ROOT_TWO: Marks = Marks(1 << 13);
    /// A speed whose kind says that it is mechanical.
    pub(super) const MECHANICAL: Marks = Marks(1 << 14);
    /// A quantity that is a plain rate per time: what it counts is not known.
    pub(super) const RATE: Marks = Marks(1 << 16);
    /// A number of poles, each half a pair.
    pub(super) const POLES: Marks = Marks(1 << 17);
    /// An efficiency whose ends are not said.
    pub(super) const OPEN_ENDS: Marks = Marks(1 << 18);
    /// A force.
    pub(super) const FORCE: Marks = Marks(1 << 15);
    /// A plain number that is called like a power factor.
    pub(super) const POWER_FACTOR: Marks = Marks(1 << 21);
    /// A time in hours.
    pub(super) const HOURS: Marks = Marks(1 << 20);
    /// A mass for each time.
    pub(super) const MASS_FLOW: Marks = Marks(1 << 22);
    /// 1.5: three times the half of a resistance between two terminals.
    pub(super) const ONE_AND_HALF: Marks = Marks(1 << 19);

    pub(super) fn has(self, other: Marks) -> bool {
        self.0 & other.0 == other.0
    }

    pub(super) fn any(self, other: Marks) -> bool {
        self.0 & other.0 != 0
    }

    pub(super) fn with(self, other: Marks) -> Marks {
        Marks(self.0 | other.0)
    }

    pub(super) fn without(self, other: Marks) -> Marks {
        Marks(self.0 & !other.0)
    }
}

/// A plain number typed in the product that could be one of the constants with a conversion inside.
#[derive(Clone, Copy, Debug)]
pub(super) struct Constant {
    pub(super) row: usize,
    pub(super) span: Span,
    pub(super) divides: bool,
}

/// A quantity that is a plain rate per time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rate {
    pub(super) span: Span,
    /// In 1/min, as plates have speeds.
    pub(super) per_minute: bool,
}

/// A part of a formula, not yet settled.
#[derive(Clone, Debug)]
pub(super) struct Term {
    pub(super) op: Op,
    pub(super) factor: Factor,
    /// With tags. Electrical radians are not in it but in their own count.
    pub(super) dimension: Dimension,
    pub(super) counts: [i16; COUNTS],
    pub(super) marks: Marks,
    pub(super) constants: Vec<Constant>,
    /// The first plain rate that takes part.
    pub(super) rate: Option<Rate>,
    /// Kind, where it is one quantity (or a plain multiple of one).
    pub(super) kind: Option<Kind>,
    /// Its unit, where it is one quantity (or a plain multiple of one).
    pub(super) unit: Option<Unit>,
    /// A temperature point: raw in `unit`, which has an offset or is a scale of its own.
    pub(super) point: bool,
    /// Whether it is a phasor.
    pub(super) phasor: bool,
    /// Whether a conjugate phasor took part.
    pub(super) conjugate: bool,
    /// The number, where it is a plain number as typed.
    pub(super) literal: Option<Decimal>,
    /// Whether it is a per cent, typed or by its unit.
    pub(super) percent: bool,
    pub(super) span: Span,
}

impl Term {
    /// A plain number.
    pub(super) fn plain(op: Op, span: Span) -> Term {
        Term {
            op,
            factor: Factor::one(),
            dimension: Dimension::NONE,
            counts: [0; COUNTS],
            marks: Marks::default(),
            constants: Vec::new(),
            rate: None,
            kind: None,
            unit: None,
            point: false,
            phasor: false,
            conjugate: false,
            literal: None,
            percent: false,
            span,
        }
    }

    /// How often, in sixtieths.
    #[allow(clippy::indexing_slicing, reason = "a Count is always below COUNTS")]
    pub(super) fn count(&self, count: Count) -> i32 {
        i32::from(self.counts[count as usize])
    }

    #[allow(clippy::indexing_slicing, reason = "a Count is always below COUNTS")]
    pub(super) fn set(&mut self, count: Count, sixtieths: i32) {
        self.counts[count as usize] = i16::try_from(sixtieths).unwrap_or(i16::MAX);
    }

    pub(super) fn add(&mut self, count: Count, sixtieths: i32) {
        self.set(count, self.count(count) + sixtieths);
    }

    pub(super) fn tag(&self, base: Base) -> i32 {
        sixtieths(self.dimension.get(base))
    }

    pub(super) fn set_tag(&mut self, base: Base, sixtieths: i32) {
        self.dimension = self.dimension.with(base, exponent(sixtieths));
    }

    /// Whether it is a plain number without any tag.
    pub(super) fn is_plain(&self) -> bool {
        self.dimension.is_none() && self.count(Count::Electrical) == 0
    }

    /// Whether it is a tangent of an angle, or a plain multiple of one.
    pub(super) fn is_tangent(&self) -> bool {
        self.is_plain()
            && self.count(Count::Tangent) == ONE
            && self.count(Count::Sine) == 0
            && self.count(Count::Cosine) == 0
    }

    /// Whether it is the typed number one: it leaves no trace in a product.
    fn is_one(&self) -> bool {
        matches!(&self.op, Op::Number(Number::Exact(one)) if *one == Decimal::ONE)
    }

    /// Whether it does no more to a quantity than make it larger or smaller.
    fn is_multiplier(&self) -> bool {
        const HARMLESS: [usize; 3] = [
            Count::Undeclared as usize,
            Count::Three as usize,
            Count::RootThree as usize,
        ];
        self.dimension.is_none()
            && !self.point
            && self
                .counts
                .iter()
                .enumerate()
                .all(|(at, count)| *count == 0 || HARMLESS.contains(&at))
    }

    /// Product, or quotient where `divides`. `None` when an exponent leaves its range.
    pub(super) fn mul(mut self, mut other: Term, divides: bool) -> Option<Term> {
        let sign: i16 = if divides { -1 } else { 1 };
        let (self_plain, other_plain) = (self.is_multiplier(), other.is_multiplier());
        if divides {
            self.dimension = self.dimension.div(&other.dimension)?;
            self.factor = self.factor.div(&other.factor);
        } else {
            self.dimension = self.dimension.mul(&other.dimension)?;
            self.factor = self.factor.mul(&other.factor);
        }
        for (count, more) in self.counts.iter_mut().zip(other.counts) {
            *count = count.saturating_add(more.saturating_mul(sign));
        }
        // A plain multiple of a quantity is still that quantity.
        let (one, kind) = match (self_plain, other_plain) {
            (false, true) => (self.unit.take(), self.kind.filter(|_| other.literal.is_some())),
            (true, false) if !divides => (other.unit.take(), other.kind.filter(|_| self.literal.is_some())),
            _ => (None, None),
        };
        self.unit = one;
        self.kind = kind;
        self.marks = self.marks.with(other.marks.without(Marks::ACTIVE_DIFFERENCE));
        if other.marks.has(Marks::ACTIVE_DIFFERENCE) && !divides {
            self.marks = self.marks.with(Marks::ACTIVE_DIFFERENCE);
        }
        for constant in &mut other.constants {
            constant.divides ^= divides;
        }
        if self.constants.is_empty() {
            self.constants = other.constants;
        } else {
            self.constants.append(&mut other.constants);
        }
        self.rate = self.rate.or(other.rate);
        self.phasor |= other.phasor;
        self.conjugate |= other.conjugate;
        self.literal = None;
        self.percent = false;
        self.span = self.span.join(other.span);
        self.op = product(std::mem::replace(&mut self.op, Op::Truth(false)), other.op, divides);
        Some(self)
    }

    /// Power. `None` when an exponent leaves its range.
    pub(super) fn pow(mut self, power: Exponent) -> Option<Term> {
        if power == Exponent::ONE {
            return Some(self);
        }
        // A factor that would grow out of hand is applied before the power is taken.
        match (power.num().unsigned_abs() <= 12)
            .then(|| self.factor.pow(power))
            .flatten()
        {
            Some(factor) => self.factor = factor,
            None => self = self.scaled(),
        }
        self.dimension = self.dimension.pow(power)?;
        for count in &mut self.counts {
            let raised = i32::from(*count) * i32::from(power.num()) / i32::from(power.den());
            *count = i16::try_from(raised).ok()?;
        }
        if power.num() < 0 {
            for constant in &mut self.constants {
                constant.divides ^= true;
            }
        }
        self.marks = self.marks.without(Marks::ACTIVE_DIFFERENCE);
        self.unit = None;
        self.kind = None;
        self.literal = None;
        self.percent = false;
        self.op = if self.is_one() {
            self.op
        } else {
            Op::Power(Box::new(self.op), power)
        };
        Some(self)
    }

    /// The same with the factor applied: raw numbers in coherent units.
    pub(super) fn scaled(mut self) -> Term {
        self.op = scaled(self.op, &self.factor);
        self.factor = Factor::one();
        self.unit = None;
        self
    }
}

/// A product in one flat list.
fn product(left: Op, right: Op, divides: bool) -> Op {
    fn is_one(op: &Op) -> bool {
        matches!(op, Op::Number(Number::Exact(one)) if *one == Decimal::ONE)
    }
    if is_one(&right) {
        return left;
    }
    if is_one(&left) && !divides {
        return right;
    }
    let mut list = match left {
        Op::Product(list) => list,
        one if is_one(&one) && matches!(right, Op::Product(_)) => Vec::new(),
        other => vec![(false, other)],
    };
    match right {
        Op::Product(more) => list.extend(more.into_iter().map(|(over, op)| (over ^ divides, op))),
        other => list.push((divides, other)),
    }
    // A list begins with something that is multiplied.
    if list.first().is_some_and(|(over, _)| *over) {
        match list.iter().position(|(over, _)| !over) {
            Some(at) => {
                let first = list.remove(at);
                list.insert(0, first);
            }
            None => list.insert(0, (false, Op::Number(Number::Exact(Decimal::ONE)))),
        }
    }
    Op::Product(list)
}

/// The op with a factor put on it, where it changes anything.
pub(super) fn scaled(op: Op, factor: &Factor) -> Op {
    if factor.is_one() {
        return op;
    }
    Op::Scale(
        Box::new(op),
        std::sync::Arc::new(Scale {
            factor: factor.clone(),
            before: None,
            after: None,
        }),
    )
}
