//! Where a table comes from.
//!
//! For: the head of each file in `data/`, which says title, edition, source and basis, and the basis of each row.

/// What the head of a table says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Publication {
    /// What the table is.
    pub title: String,
    /// Document and clause.
    pub edition: String,
    /// Where its numbers were read.
    pub source: String,
    /// What was not read, if anything.
    pub basis: String,
}

/// How a row is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Read in the source.
    Read,
    /// Worked from coefficients that were read; equal to the remembered table.
    Recomputed,
    /// From memory: to be confirmed against the standard.
    FromMemory,
}

impl Basis {
    /// All of them, the surest first.
    pub const ALL: [Basis; 3] = [Basis::Read, Basis::Recomputed, Basis::FromMemory];

    /// As written in the files.
    pub fn words(self) -> &'static str {
        match self {
            Basis::Read => "read",
            Basis::Recomputed => "recomputed from read coefficients",
            Basis::FromMemory => "from memory",
        }
    }

    pub(super) fn parse(text: &str) -> Option<Basis> {
        Basis::ALL.into_iter().find(|basis| basis.words() == text)
    }
}
