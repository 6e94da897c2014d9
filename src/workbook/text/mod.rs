//! The text form of a workbook: reader and canonical writer.
//!
//! For: `.pole` files, the window, the command line.
//! Always: reading gives a workbook whatever the text is; what is wrong rides along in the lines. Writing gives the canonical
//! form; lines with faults are kept byte for byte; writing, reading and writing again changes nothing.
//! Not known here: files.

mod lines;
mod read;
mod rows;
mod split;
mod write;

pub use crate::language::syntax::quoted;
pub use read::{read, read_bytes};
pub use rows::cells_of;
pub use split::WORDS;
pub(crate) use write::cell_text;
pub(crate) use write::{ALIGNED_ROWS, Alignment};
pub use write::{canonical_line, row_text, write};

pub(crate) use lines::{formula, name_fault};
#[cfg(feature = "window")]
pub(crate) use lines::{may_be_name, name_near};
pub(crate) use read::{is_statement, opens, read_statement, statements_of};
pub(crate) use rows::{Columns, bars, formula_texts, read_row};
pub(crate) use split::Open;
pub(crate) use write::case_name;
