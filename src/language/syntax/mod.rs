//! Text to tree. The only place that knows pest.
//!
//! For: formulas, units after numbers, and (for `workbook`) the lines of a workbook.
//! Always: bounded before recursion (8000 bytes, 200 levels, 1000 operators), so that no text can overflow the stack; every
//! node has its place; the tree borrows nothing.
//! Not known here: what a name means, dimensions, values.

mod bounds;
mod build;
mod grammar;
mod habits;
mod jotted;
mod precedence;
mod recover;
mod stamped;
pub mod statement;
mod twins;
mod units;
pub mod tree;
pub mod words;

pub use bounds::{LONGEST, MOST_LEVELS, MOST_OPERATORS};
pub use build::{quoted, unquoted};
pub(super) use habits::chosen;
pub use recover::{no_value, parse};
pub use stamped::is_of_plates;
pub use tree::*;
pub use twins::{canonical_name, canonical_text, look_alike, straight_quotes};
pub use units::read_unit;
