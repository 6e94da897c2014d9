//! What is handed over: JSON, csv, a new xlsx, and the received xlsx with columns added.
//!
//! Read back by an independent reader (calamine, csv, serde_json) or compared with the bytes of the source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod changed;
mod dress;
mod export;
mod json;
mod lists;
mod packages;
mod patch;
mod tables;
mod worked;
