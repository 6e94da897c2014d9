//! Published series and tables, each with title, edition, source and basis.
//!
//! For: look-up in a table, of a standard rating and of a code letter.
//! Always: a row says whether it was read in a source or is from memory; the files in `data/` carry title, edition, source and
//! columns in their heads. A new edition is a new file.
//! Not known here: formulas. `tables::find("nec_430_250")` gives a table with its columns; the language reads the same ones.

mod code_letters;
mod published;
mod ratings;
mod table;
pub mod tables;

pub use code_letters::{CodeLetter, code_letter, code_letter_of, code_letters, code_letters_publication};
pub use published::{Basis, Publication};
pub use ratings::{Rating, Series};
pub use table::{Between, Column, Entry, Holds, Key, Listed, Table};
