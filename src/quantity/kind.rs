//! Kinds: what a quantity is, beyond its dimension, in words of the trade.
//!
//! For: the one table of kinds (`table`) with their family, usual units, role and ends, help and example. Checker,
//! completion, help and headings of lists read it.
//! Always: a kind's dimension follows from its usual unit. Words are unique.
//! Not known here: formulas, and which rule a family brings.

mod table;

use std::collections::HashMap;
use std::sync::LazyLock;

use super::nearest::nearest;

/// Where power stands on its way from the supply to the load; also the two ends of an efficiency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Not said.
    Any,
    /// Electrical: input of a motor or converter.
    Electrical,
    /// Across the air gap.
    AirGap,
    /// At a shaft or belt.
    Shaft,
    /// In the fluid a pump or fan moves.
    Hydraulic,
    /// Lost as heat.
    Loss,
}

impl Stage {
    /// In words, for messages.
    pub fn words(self) -> &'static str {
        match self {
            Stage::Any => "power",
            Stage::Electrical => "electrical input",
            Stage::AirGap => "air-gap power",
            Stage::Shaft => "shaft power",
            Stage::Hydraulic => "hydraulic power",
            Stage::Loss => "loss",
        }
    }
}

/// Between which points a voltage is meant, or in which conductor a current.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Conductor {
    /// Not said.
    Any,
    /// Line to line; in the line.
    Line,
    /// Of one winding phase.
    Phase,
}

/// Which speed of a shaft is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SpeedRole {
    /// Not said.
    Any,
    /// Of the rotating field.
    Synchronous,
    /// At rated load, from the plate.
    Rated,
    /// As measured.
    Measured,
    /// Without load.
    NoLoad,
    /// Synchronous less shaft speed.
    Slip,
}

/// Kinds that may be added and compared with each other, and that carry the same rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// Anything without a rule of its own; only the dimension counts.
    Other,
    /// Active power.
    Power {
        /// Which.
        role: Stage,
    },
    /// Apparent power.
    ApparentPower,
    /// Reactive power.
    ReactivePower,
    /// Voltage.
    Voltage {
        /// Line or phase.
        between: Conductor,
    },
    /// Current.
    Current {
        /// Line or phase.
        within: Conductor,
    },
    /// Speed of a shaft or of the field, in r/min or rad/s.
    ShaftSpeed {
        /// Which.
        role: SpeedRole,
    },
    /// 2π·f: not a shaft speed until it is divided by poles or pole pairs.
    ElectricalAngularSpeed,
    /// Frequency of the supply or the rotor.
    Frequency,
    /// Poles and pole pairs.
    Poles,
    /// Slip over synchronous speed.
    Slip,
    /// Share of rated output.
    Load,
    /// Output over input.
    Efficiency {
        /// Input end.
        from: Stage,
        /// Output end.
        to: Stage,
    },
    /// Active over apparent power.
    PowerFactor,
    /// Turning moment.
    Torque,
    /// Active energy, work, heat.
    Energy,
    /// Apparent power over time.
    ApparentEnergy,
    /// Reactive power over time.
    ReactiveEnergy,
    /// Moment of inertia J.
    Inertia,
    /// GD², four times J.
    FlywheelEffect,
    /// A temperature on a scale.
    TemperaturePoint,
    /// A difference of temperatures.
    TemperatureDifference,
    /// An angle.
    Angle,
    /// Mass.
    Mass,
    /// Force, weight as a force.
    Force,
    /// Hours in a year.
    HoursPerYear,
    /// Money.
    Cost,
    /// A plain number.
    Number,
}

impl Family {
    /// Whether values of the two may be added and compared, as far as kinds go: roles do not stand in the way.
    pub fn comparable(self, other: Family) -> bool {
        std::mem::discriminant(&self) == std::mem::discriminant(&other)
            || self == Family::Other
            || other == Family::Other
    }
}

/// A kind, one row of the table.
#[derive(Clone, Copy)]
pub struct Kind(pub(crate) &'static KindEntry);

/// What the table says of a kind.
#[derive(Debug)]
pub struct KindEntry {
    /// The words, as written after `:`.
    pub words: &'static str,
    /// The family.
    pub family: Family,
    /// Usual unit in the SI system; fixes the dimension.
    pub si: &'static str,
    /// Usual unit in US customary use.
    pub us: &'static str,
    /// Whether a plain number without unit is taken for a value of this kind (`0.85` for a power factor).
    pub plain: bool,
    /// One line of help.
    pub help: &'static str,
    /// A value with unit.
    pub example: &'static str,
    /// Between which limits every value of the kind lies by its nature.
    pub range: Option<&'static Range>,
    /// Other words and signs for it, which are offered and not taken.
    pub also: &'static [&'static str],
}

/// Natural limits of a kind, in its usual SI unit.
#[derive(Debug)]
pub struct Range {
    /// The smallest value there can be.
    pub low: f64,
    /// The largest.
    pub high: f64,
    /// Values come in steps of this, counted from zero.
    pub step: Option<f64>,
    /// What was probably meant where one lies outside.
    pub likely: &'static str,
    /// Values within the limits that hardly anybody has.
    pub hardly: &'static [Hardly],
}

/// Values that can be and are hardly meant.
#[derive(Debug)]
pub struct Hardly {
    /// From here, in the usual SI unit of the kind.
    pub from: f64,
    /// To here.
    pub to: f64,
    /// What there is to be said of such a value.
    pub says: &'static str,
    /// What was probably meant.
    pub likely: &'static str,
}

impl Range {
    /// What is to be said of a value within the limits that is hardly meant.
    pub fn hardly(&self, value: f64) -> Option<&'static Hardly> {
        self.hardly
            .iter()
            .find(|hardly| (hardly.from..=hardly.to).contains(&value))
    }

    /// Whether a value in the usual SI unit of the kind can be one.
    pub fn holds(&self, value: f64) -> bool {
        // What was worked in floats may be a hair beyond.
        let hair = 1e-9 * value.abs();
        let stepped = self.step.is_none_or(|step| {
            let steps = value / step;
            (steps - steps.round()).abs() <= 1e-9 * steps.abs().max(1.0)
        });
        value >= self.low - hair && value <= self.high + hair && stepped
    }

    /// The limits in words: `between 0 and 100 %`.
    pub fn words(&self, unit: &str) -> String {
        let unit = match unit {
            "1" | "W/VA" => String::new(),
            unit => format!(" {unit}"),
        };
        match (self.step, self.high.is_finite()) {
            (Some(step), _) => format!(
                "{}, {}, {}{unit} and so on",
                self.low,
                self.low + step,
                self.low + 2.0 * step
            ),
            (None, true) => format!("between {} and {}{unit}", self.low, self.high),
            (None, false) => format!("not below {}{unit}", self.low),
        }
    }
}

impl KindEntry {
    /// The same with natural limits.
    const fn within(self, range: &'static Range) -> KindEntry {
        KindEntry {
            range: Some(range),
            ..self
        }
    }

    /// The same with other words.
    const fn also(self, also: &'static [&'static str]) -> KindEntry {
        KindEntry { also, ..self }
    }
}

static BY_WORDS: LazyLock<HashMap<&'static str, Kind>> =
    LazyLock::new(|| Kind::all().map(|kind| (kind.words(), kind)).collect());

impl Kind {
    /// The kind with these words; blanks between the words may be doubled.
    pub fn find(words: &str) -> Option<Kind> {
        if let Some(kind) = BY_WORDS.get(words) {
            return Some(*kind);
        }
        let plain = words.split_whitespace().collect::<Vec<_>>().join(" ");
        BY_WORDS.get(plain.as_str()).copied()
    }

    /// All kinds in the order of the table.
    pub fn all() -> impl Iterator<Item = Kind> {
        table::KINDS.iter().map(Kind)
    }

    /// The kinds that these other words or this sign stand for, small and large letters alike.
    pub fn called(words: &str) -> Vec<Kind> {
        let asked = words.trim().to_lowercase();
        Kind::all()
            .filter(|kind| kind.entry().also.iter().any(|also| also.to_lowercase() == asked))
            .collect()
    }

    /// The kind that a name has the usual letter of, with an index or without.
    pub fn of_letter(name: &str) -> Option<Kind> {
        match name.split('_').next().unwrap_or("") {
            "eta" | "η" => Kind::find("efficiency"),
            "pf" | "cosφ" | "cosphi" => Kind::find("power factor"),
            "f" => Kind::find("frequency"),
            "p" => Kind::find("poles"),
            _ => None,
        }
    }

    /// The kind that a title ends with, among some: `Belt efficiency`, `Line voltage`.
    pub fn titled(title: &str, among: impl Fn(Kind) -> bool) -> Option<Kind> {
        let title = title.trim().to_lowercase();
        let ends = |words: &str| {
            let words = words.to_lowercase();
            let before = title.strip_suffix(words.as_str());
            before
                .is_some_and(|before| !before.ends_with(char::is_alphanumeric))
                .then_some(words.len())
        };
        let longest = Kind::all()
            .filter(|kind| among(*kind))
            .filter_map(|kind| {
                let also = kind.entry().also.iter().copied();
                let length = std::iter::once(kind.words()).chain(also).filter_map(ends).max()?;
                Some((length, kind))
            })
            .max_by_key(|(length, _)| *length);
        longest.map(|(_, kind)| kind)
    }

    /// Kinds whose words are near to these, nearest first, at most five; those with these other words alone where there are any.
    pub fn nearest(words: &str) -> Vec<Kind> {
        let called = Kind::called(words);
        if !called.is_empty() {
            return called;
        }
        let wanted = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let near = nearest(&wanted, table::KINDS.iter().map(|entry| entry.words), 5);
        near.into_iter().filter_map(Kind::find).collect()
    }

    /// The words of the kind.
    pub fn words(self) -> &'static str {
        self.0.words
    }

    /// The family.
    pub fn family(self) -> Family {
        self.0.family
    }

    /// The kind of a phasor where the real value has this one: a resistance and a reactance are parts of an impedance. `None` where
    /// values of this kind are real.
    pub fn of_phasor(self) -> Option<Kind> {
        let whole = match (self.family(), self.words()) {
            (Family::Voltage { .. } | Family::Current { .. } | Family::ApparentPower | Family::Number, _) => {
                return Some(self);
            }
            (_, "impedance" | "resistance" | "reactance") => "impedance",
            (_, "admittance" | "conductance" | "susceptance") => "admittance",
            (
                Family::ReactivePower
                | Family::Power {
                    role: Stage::Any | Stage::Electrical,
                },
                _,
            ) => "apparent power",
            (_, "ratio" | "magnetic flux") => return Some(self),
            _ => return None,
        };
        Kind::find(whole)
    }

    /// Whether a value declared as this kind may be a phasor.
    pub fn may_be_phasor(self) -> bool {
        self.of_phasor() == Some(self)
    }

    /// Its row of the table.
    pub fn entry(self) -> &'static KindEntry {
        self.0
    }
}

impl std::fmt::Debug for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.words)
    }
}

impl PartialEq for Kind {
    fn eq(&self, other: &Kind) -> bool {
        std::ptr::eq(self.0, other.0) || self.0.words == other.0.words
    }
}
impl Eq for Kind {}
impl std::hash::Hash for Kind {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.0.words.hash(state);
    }
}
