//! Tree to typed formula: dimension, kind, unit and role of every part, before any number is known.
//!
//! For: the rules of units and kinds, with a fault or warning in the user's words for each.
//! Always: a result and a list of faults; a formula with an error fault has no `op`. Names are asked through [`Scope`].
//! Not known here: values, cells.

pub mod scope;
pub mod typed;

pub use scope::{Curved, Defined, Named, Scope};
pub use typed::*;

use std::sync::Arc;

use crate::quantity::{Kind, Unit};

/// What the line itself says of its result: `in UNIT : kind`.
#[derive(Clone, Debug, Default)]
pub struct Target {
    /// `in UNIT`; for a cell of a quantity whose unit is settled, that unit.
    pub unit: Option<Unit>,
    /// `: kind`
    pub kind: Option<Kind>,
    /// `: text`
    pub text: bool,
    /// `: choice a, b`
    pub choice: Option<Arc<[Arc<str>]>>,
}
