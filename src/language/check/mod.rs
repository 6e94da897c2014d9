//! Tree to typed formula: dimension, kind, unit and role of every part, before any number is known.
//!
//! For: the rules of units and kinds, with a fault or warning in the user's words for each.
//! Always: a result and a list of faults; a formula with an error fault has no `op`. Names are asked through [`Scope`].
//! Not known here: values, cells.

pub mod scope;
pub mod typed;

pub use scope::{Curved, Defined, Named, Scope};
pub use typed::*;
