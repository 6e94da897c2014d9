//! What a reader of a worked value should know.
//!
//! Always: what it is about is told apart from its words, which are made only where it is read.
//! Not known here: where it is shown.

use std::fmt;
use std::sync::Arc;

/// A remark on a value.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Remark {
    /// An aggregate is of fewer rows than fit, because the others are blank: `9 of 10 rows`.
    FewerRows(FewerRows),
    /// A value of this published table is from memory.
    FromMemory(&'static str),
    /// In words: what a function assumed, why there is no band.
    Words(Arc<str>),
}

/// Of how many rows a value is, and how many fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct FewerRows {
    /// Rows with a value.
    pub known: usize,
    /// All rows that fit.
    pub all: usize,
}

impl Remark {
    /// The published table it is about, where a value of that is from memory.
    pub fn remembered_table(&self) -> Option<&'static str> {
        match self {
            Remark::FromMemory(table) => Some(table),
            Remark::FewerRows(_) | Remark::Words(_) => None,
        }
    }
}

impl fmt::Display for FewerRows {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} of {} rows", self.known, self.all)
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Remark::FewerRows(rows) => rows.fmt(out),
            Remark::FromMemory(table) => write!(out, "from memory, {table}: check against the standard"),
            Remark::Words(words) => out.write_str(words),
        }
    }
}
