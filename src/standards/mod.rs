//! Published series and tables, each with title, edition, source and basis.
//!
//! For: look-up of a standard rating and of a code letter.
//! Always: a row says whether it was read in a source or is from memory; the files in `data/` carry title, edition and source in
//! their heads. A new edition is a new file.
//! Not known here: units beyond what a table states, formulas.

mod code_letters;
mod published;
mod ratings;

pub use code_letters::{CodeLetter, code_letter, code_letter_of, code_letters, code_letters_publication};
pub use published::{Basis, Publication};
pub use ratings::{Rating, Series};
