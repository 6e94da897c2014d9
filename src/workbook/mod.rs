//! The workbook: inputs only, as typed.
//!
//! For: sheets, lists, quantities, items, cells, notes, plots; the text form (reader and canonical writer); change, where
//! applying one gives its inverse.
//! Always: the text is the truth. A line with a fault is kept byte for byte and never stops the others.
//! Not known here: dimensions, values, order of work.

pub mod model;
mod formulas;
pub mod settle;
pub mod text;
pub mod change;

pub use formulas::Relation;
pub use model::*;
