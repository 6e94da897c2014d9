//! Kinds: what a quantity is, beyond its dimension, in words of the trade.
//!
//! For: the one table of kinds with their family, usual units, role and ends, help and example. Checker, completion, help and
//! headings of lists read it.
//! Always: a kind's dimension follows from its usual unit.
//! Not known here: formulas.

/// Kinds that may be added and compared with each other, and that carry the same rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// Anything without a rule of its own; only the dimension counts.
    Other,
}

/// A kind, one row of the table.
#[derive(Clone, Copy)]
pub struct Kind(pub(crate) &'static KindEntry);

/// What the table says of a kind.
#[derive(Debug)]
pub struct KindEntry {
    /// The words, as written after `:`.
    pub words: &'static str,
    /// The family.
    pub family: Family,
    /// Usual unit in the SI system; fixes the dimension. Empty for text and choices.
    pub si: &'static str,
    /// Usual unit in US customary use.
    pub us: &'static str,
    /// One line of help.
    pub help: &'static str,
    /// A value with unit.
    pub example: &'static str,
}

impl std::fmt::Debug for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.words)
    }
}

impl PartialEq for Kind {
    fn eq(&self, other: &Kind) -> bool {
        self.0.words == other.0.words
    }
}
impl Eq for Kind {}

impl Kind {
    /// The words of the kind.
    pub fn words(self) -> &'static str {
        self.0.words
    }

    /// Its row of the table.
    pub fn entry(self) -> &'static KindEntry {
        self.0
    }
}
