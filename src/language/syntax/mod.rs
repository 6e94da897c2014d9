//! Text to tree. The only place that knows pest.
//!
//! For: formulas, units after numbers, and (for `workbook`) the lines of a workbook.
//! Always: bounded before recursion (8000 bytes, 200 levels, 1000 operators), so that no text can overflow the stack; every
//! node has its place; the tree borrows nothing.
//! Not known here: what a name means, dimensions, values.

pub mod tree;

pub use tree::*;
