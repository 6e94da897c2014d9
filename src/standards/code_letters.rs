//! Code letters: locked-rotor apparent power over rated output, in kVA per hp.
//!
//! Always: the lower bound belongs to a letter, the upper bound to the next one; the ranges leave no gap.
//! Not known here: voltage and current. A code letter gives a range, not a value: protection is set by the maker's data and the
//! local code.

use std::cmp::Ordering;
use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::published::{Basis, Publication};
use super::tables;
use crate::quantity::Number;

const TABLE: &str = "nema_mg1_10_37_2";

/// A letter with its range in kVA/hp.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeLetter {
    /// The letter.
    pub letter: String,
    /// Lowest value, included.
    pub from: Decimal,
    /// Upper end, not included; `None`: open.
    pub below: Option<Decimal>,
    /// How the row is known.
    pub basis: Basis,
}

static LETTERS: LazyLock<Vec<CodeLetter>> = LazyLock::new(|| {
    let Some(table) = tables::find(TABLE) else {
        return Vec::new();
    };
    let letter = |row: usize| {
        Some(CodeLetter {
            letter: table.text("letter", row)?.to_owned(),
            from: table.listed("k_from", row)?.value,
            below: table.listed("k_below", row).map(|listed| listed.value),
            basis: *table.bases.get(row)?,
        })
    };
    (0..table.rows()).filter_map(letter).collect()
});

/// All letters with their ranges, rising.
pub fn code_letters() -> &'static [CodeLetter] {
    &LETTERS
}

/// Title, edition and source of the code letters.
pub fn code_letters_publication() -> Option<&'static Publication> {
    tables::find(TABLE).map(|table| &table.publication)
}

/// The range of a letter, in either case. `None` for a letter that is not used (I, O, Q) and for anything longer.
pub fn code_letter(letter: &str) -> Option<&'static CodeLetter> {
    code_letters()
        .iter()
        .find(|entry| entry.letter.eq_ignore_ascii_case(letter.trim()))
}

/// The letter of a value in kVA/hp. `None` below zero.
pub fn code_letter_of(kva_per_hp: Number) -> Option<&'static CodeLetter> {
    let not_below = |from: Decimal| kva_per_hp.compare(Number::Exact(from)) != Ordering::Less;
    code_letters().iter().rev().find(|entry| not_below(entry.from))
}
