//! Typed formula to values: for one item, or for a block of rows at once.
//!
//! For: checked arithmetic on raw numbers, blanks that stay blanks, faults that stay in their cell.
//! Always: knows no units and no text positions; every step is total. One item and a block of rows give the same values.
//! Not known here: which cell it is worked for; cells are asked for through [`Cells`].

mod block;
mod cells;
mod corners;
mod divisor;
mod floats;
mod gather;
mod index;
mod integral;
mod lookup;
mod one;
mod phasors;
mod physics;
mod place;
mod points;
mod remark;
mod seek;
mod special;
mod spread;
mod steps;
mod visit;

use std::sync::Arc;

pub use block::{BLOCK, ItemNotes, Program};
pub use cells::{Cells, Found};
pub use one::{Sums, Worked};
pub use points::Monotone;
pub use remark::{FewerRows, Remark};
pub use spread::{Asked, Points, Samples, draws, finite, source};
pub use visit::each_part;

use self::steps::Step;
use crate::fault::{Code, Words};
use crate::quantity::{Number, Phasor};

/// A worked value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the unit of its quantity.
    Number(Number),
    /// A phasor in the unit of its quantity.
    Phasor(Phasor),
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

impl Outcome {
    /// A number.
    pub fn number(number: Number) -> Outcome {
        Outcome::Value(Value::Number(number))
    }

    /// Yes or no.
    pub fn truth(truth: bool) -> Outcome {
        Outcome::Value(Value::Truth(truth))
    }

    /// Nothing, and why.
    pub fn blank(why: impl Into<Arc<str>>) -> Outcome {
        Outcome::Blank(why.into())
    }

    /// A fault found while working.
    pub fn fault(code: Code, message: impl Into<Words>, help: Option<&str>) -> Outcome {
        Outcome::Fault(Arc::new(WorkFault {
            code,
            message: message.into(),
            help: help.map(Words::from),
            passed_on: false,
        }))
    }

    /// The number, where it is one.
    pub fn as_number(&self) -> Option<Number> {
        match self {
            Outcome::Value(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// The phasor, where it is one or a real number.
    pub fn as_phasor(&self) -> Option<Phasor> {
        match self {
            Outcome::Value(Value::Phasor(phasor)) => Some(*phasor),
            Outcome::Value(Value::Number(number)) => Some((*number).into()),
            _ => None,
        }
    }

    /// Yes or no, where it is that.
    pub fn as_truth(&self) -> Option<bool> {
        match self {
            Outcome::Value(Value::Truth(truth)) => Some(*truth),
            _ => None,
        }
    }
}

/// A running sum with one more cell; `name` is what the cell is called in messages.
pub fn add_up(sum: Option<&Outcome>, cell: &Outcome, name: impl FnOnce() -> String) -> Outcome {
    let cell = steps::read(cell, name);
    match sum {
        None => cell,
        Some(sum) => steps::binary(sum.clone(), &cell, Step::Add),
    }
}

/// A fault of working, without a position (the caller knows the line).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkFault {
    /// Which one.
    pub code: Code,
    /// What was found, in the user's words.
    pub message: Words,
    /// What to try.
    pub help: Option<Words>,
    /// Whether it only passes on the fault of a cell it reads (then it is not reported again).
    pub passed_on: bool,
}
