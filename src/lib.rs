//! Polepair: a motor calculation notebook.
//!
//! The order of the modules is the way of the data: a module uses only what stands above it.

pub mod fault;
pub mod quantity;
pub mod standards;
pub mod machine;
pub mod language;
pub mod workbook;
pub mod recalc;
pub mod session;
pub mod plates;
pub mod handover;
pub mod files;
#[cfg(feature = "window")]
pub mod window;
pub mod cli;
