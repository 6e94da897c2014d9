//! Units: symbols, aliases, prefixes, compound units, and their exact factors.
//!
//! For: reading the text of a unit and saying what it is.
//! Always: the factor leads to the coherent SI unit with the tags rad, rev, cycle, active, apparent and reactive kept apart.
//! Not known here: how a unit is found in a line of text (that is `language::syntax`, `plates`).

use std::sync::Arc;

use super::{Dimension, Factor, Kind};

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
    /// The part of the text that is not known.
    pub part: String,
    /// What it could have been, nearest first.
    pub nearest: Vec<String>,
    /// A refusal with a reason of its own (a bare `ton`, two divisions …).
    pub reason: Option<String>,
}
