//! What is handed over: results as JSON, csv, a new xlsx, or the received xlsx with columns added.
//!
//! For: files and text made from results.
//! Always: rounding only where a number is shown; text stays text, never a formula; a target is written as a whole or not at
//! all; a source is not overwritten.
//! Not known here: how anything is worked.

pub mod csv;
mod error;
pub mod export;
mod figure;
pub mod json;
pub mod origin;
pub mod page;
pub mod patch;
pub mod table;
pub mod source;
pub mod reading;
mod whole;
pub mod xlsx;

pub use error::ExportError;
pub use export::{Exported, Format, Job, export};
