//! Typed formula to values: for one item, or for a block of rows at once.
//!
//! For: checked arithmetic on raw numbers, blanks that stay blanks, faults that stay in their cell.
//! Always: knows no units and no text positions; every step is total.
//! Not known here: which cell it is worked for; cells are asked for through a small interface.

use std::sync::Arc;

use crate::fault::Code;
use crate::quantity::Number;

/// A worked value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the unit of its quantity.
    Number(Number),
    /// A text or a word of a choice.
    Text(Arc<str>),
    /// Yes or no.
    Truth(bool),
}

/// What a cell holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A value.
    Value(Value),
    /// Nothing, and why: "not worked: n is missing in row 12".
    Blank(Arc<str>),
    /// Not worked because of a fault: its own, or that of a cell it reads.
    Fault(Arc<WorkFault>),
}

/// A fault of working, without a position (the caller knows the line).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkFault {
    /// Which one.
    pub code: Code,
    /// What was found, in the user's words.
    pub message: String,
    /// What to try.
    pub help: Option<String>,
    /// Whether it only passes on the fault of a cell it reads (then it is not reported again).
    pub passed_on: bool,
}
