//! Text of formulas and workbooks: what is read, what is written back, and what is said about bad text.
//!
//! - `formula`: precedence, units by shape, every mistake with its code and place
//! - `bounds`: endless, deep and broken formulas
//! - `reading`: whole workbooks, their canonical text, lines and rows that cannot be read
//! - `change`: what changes make of the text, and taking them back
//! - `identity`: reading what was written gives the same, whatever the text
//! - `codes`: every example of the fault lists raises its code, and the mended one does not

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

mod bounds;
mod change;
mod codes;
mod formula;
mod identity;
mod print;
mod reading;
