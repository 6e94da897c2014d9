//! Units: symbols, aliases, prefixes, compound units, and their exact factors.
//!
//! For: reading the text of a unit and saying what it is.
//! Always: the factor leads to the coherent SI unit with the tags rad, rev, cycle, active, apparent and reactive kept apart.
//! The canonical text reads as the same unit again.
//! Not known here: how a unit is found in a line of text (that is `language::syntax`, `plates`), and what may be converted
//! into what (that is `convert`).

mod compound;
mod table;

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, LazyLock};

use super::{Base, Dimension, Exponent, Factor, Family, Kind};
use crate::fault::Code;

pub use table::UnitEntry;

/// A unit as typed, resolved. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Unit {
    /// Canonical text, as written by `tidy`.
    pub text: Arc<str>,
    /// Dimension with tags.
    pub dimension: Dimension,
    /// Factor to the coherent unit of the dimension.
    pub factor: Arc<Factor>,
    /// For temperature points: what is added to the value before the factor (273.15 for °C, 459.67 for °F).
    pub offset: Option<rust_decimal::Decimal>,
    /// The family of kinds that the unit itself proves (N·m: torque; J: energy; r/min: speed of rotation).
    pub kind: Option<Kind>,
}

/// Why a text is no unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitFault {
    /// Which of the listed faults it is.
    pub code: Code,
    /// The part of the text that is not known.
    pub part: String,
    /// What it could have been, nearest first.
    pub nearest: Vec<String>,
    /// A refusal with a reason of its own (a bare `ton`, two divisions …).
    pub reason: Option<String>,
}

static PLAIN: LazyLock<Unit> = LazyLock::new(|| Unit {
    text: Arc::from("1"),
    dimension: Dimension::NONE,
    factor: Arc::new(Factor::one()),
    offset: None,
    kind: None,
});

static USUAL: LazyLock<HashMap<&'static str, (Unit, Unit)>> = LazyLock::new(|| {
    Kind::all()
        .filter_map(|kind| {
            let entry = kind.entry();
            Some((entry.words, (Unit::known(entry.si)?, Unit::known(entry.us)?)))
        })
        .collect()
});

impl Unit {
    /// The unit of a plain number.
    pub fn plain() -> Unit {
        PLAIN.clone()
    }

    /// Whether it is the unit of a plain number: no dimension and the factor one.
    pub fn is_plain(&self) -> bool {
        self.dimension.is_none() && self.factor.is_one()
    }

    /// Reads the text of a unit as it stands in a formula or after `in`: symbols and aliases without blanks, prefixes, and
    /// compounds with `·`, `/`, `^`, superscripts and brackets. Twins of signs (Ω and Ω, µ and μ) are made one.
    ///
    /// # Errors
    /// What part is not known with the nearest symbols, or why the text is refused.
    pub fn parse(text: &str) -> Result<Unit, UnitFault> {
        compound::read(text, false).map_err(compound::near_told)
    }

    /// The same where it does not matter why a text is no unit: without looking for near symbols.
    pub fn known(text: &str) -> Option<Unit> {
        compound::resolve(text, false).ok()
    }

    /// The text of a unit whose parts are joined by the sign of products, with the sign of units: `kW*h` is `kW·h`. `None` where that is
    /// no unit, or it has no such sign.
    pub fn joined(text: &str) -> Option<String> {
        let joined = text.replace(['*', '×'], "·");
        (joined != text && Unit::known(&joined).is_some()).then_some(joined)
    }

    /// Reads what stands in a cell of a list or on a plate: also aliases with blanks, quote marks and dots (`ft of head`,
    /// `12 "wg`), and letters in the wrong case where only one symbol can be meant.
    ///
    /// # Errors
    /// As [`Unit::parse`].
    pub fn parse_plate(text: &str) -> Result<Unit, UnitFault> {
        compound::read(text, true).map_err(compound::near_told)
    }

    /// The table of units, in order, with aliases and sources.
    pub fn all() -> impl Iterator<Item = &'static UnitEntry> {
        table::entries().iter()
    }

    /// Entries of the table whose symbol, alias or quantity has this word in it.
    pub fn search(word: &str) -> Vec<&'static UnitEntry> {
        let word = word.trim().to_lowercase();
        Unit::all()
            .filter(|entry| {
                entry.symbol.to_lowercase().contains(&word)
                    || entry.aliases.iter().any(|alias| alias.to_lowercase().contains(&word))
                    || entry.quantity.contains(word.as_str())
            })
            .collect()
    }

    /// The same in coherent units: what a number without a unit of its own is in. Named where SI has a name for it (N·m, W,
    /// Pa), else made of base units.
    pub fn coherent(dimension: &Dimension) -> Unit {
        if dimension.is_none() {
            return Unit::plain();
        }
        if let Some(unit) = table::coherent(dimension) {
            return unit;
        }
        let mut rest = *dimension;
        let mut parts: Vec<(&str, Exponent)> = Vec::new();
        for (tag, symbol) in [(Base::Active, "W"), (Base::Apparent, "VA"), (Base::Reactive, "var")] {
            let times = dimension.get(tag);
            let named = table::symbol(symbol);
            if times.is_zero() {
                continue;
            }
            if let Some(left) = named.and_then(|unit| rest.div(&unit.dimension.pow(times)?)) {
                rest = left;
                parts.push((symbol, times));
            }
        }
        parts.extend(rest.parts().map(|(base, times)| (base.symbol(), times)));
        Unit {
            text: compound::written(&parts).into(),
            dimension: *dimension,
            factor: Arc::new(Factor::one()),
            offset: None,
            kind: table::proved(dimension),
        }
    }

    /// The usual unit of a kind: in the SI system, or in US customary use.
    pub fn usual(kind: Kind, us: bool) -> Unit {
        // Every kind has its entry: the map is made from the same table.
        USUAL
            .get(kind.words())
            .map_or_else(Unit::plain, |(si, customary)| if us { customary } else { si }.clone())
    }

    /// Whether values of a kind are told in per cent, or could be: efficiencies, loads, slips, power factors.
    pub fn is_of_shares(kind: Kind) -> bool {
        kind.family() == Family::PowerFactor || &*Unit::usual(kind, false).text == "%"
    }

    /// The highest natural value of a kind as a plain number: 1 of an efficiency, 1 of a power factor. `None` for kinds without
    /// limits, or with a dimension; the sides of a power factor are told apart and cancel all the same.
    pub fn highest_plain(kind: Kind) -> Option<f64> {
        let usual = Unit::usual(kind, false);
        let is_plain = usual.dimension.is_none() || kind.family() == Family::PowerFactor;
        let range = kind.entry().range.filter(|_| is_plain)?;
        Some(range.high * usual.factor.to_f64())
    }

    /// Product of two units, as a unit of differences. `None` when an exponent leaves its range.
    pub fn mul(&self, other: &Unit) -> Option<Unit> {
        if self.is_plain() {
            return Some(other.clone());
        }
        if other.is_plain() {
            return Some(self.clone());
        }
        compound::joined(self, other, false)
    }

    /// Quotient of two units, as a unit of differences. `None` when an exponent leaves its range.
    pub fn div(&self, other: &Unit) -> Option<Unit> {
        if other.is_plain() {
            return Some(self.clone());
        }
        compound::joined(self, other, true)
    }

    /// Whether numbers in the two are the same numbers: dimension, factor and offset are equal.
    pub fn same_scale(&self, other: &Unit) -> bool {
        self.dimension == other.dimension && self.factor == other.factor && self.offset == other.offset
    }

    /// Whether it is a temperature on a scale with its own zero (°C, °F): a point, which is neither added nor multiplied.
    pub fn is_point(&self) -> bool {
        self.offset.is_some()
    }

    /// Whether it is in US customary use, or made of such units: cfm, hp, lb·ft².
    pub fn is_customary(&self) -> bool {
        table::is_customary(&self.text)
    }

    /// What the unit measures, in words, for messages: the kind it proves, else the dimension.
    pub fn measures(&self) -> String {
        match self.kind {
            Some(kind) => kind.words().to_owned(),
            None if self.dimension.is_none() => "a plain number".to_owned(),
            None => self.dimension.to_string(),
        }
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        self.text == other.text
    }
}
impl Eq for Unit {}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl UnitFault {
    /// What was found, in a sentence.
    pub fn message(&self) -> String {
        match &self.reason {
            Some(reason) => reason.clone(),
            None => format!("no unit is called `{}`", self.part),
        }
    }

    /// What to try, where something can be offered.
    pub fn help(&self) -> Option<String> {
        match self.nearest.as_slice() {
            [] if self.reason.is_some() => None,
            [] => Some("write one such as kW, N·m, r/min, m³/h or %".to_owned()),
            [one] => Some(format!("write {one}")),
            [first, rest @ ..] => Some(format!("write {first}, or {}", rest.join(", "))),
        }
    }
}

impl fmt::Display for UnitFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message())?;
        match self.help() {
            Some(help) => write!(f, "; {help}"),
            None => Ok(()),
        }
    }
}
