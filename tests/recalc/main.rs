//! Recalculation: what runs again after an edit, loops, blanks, large lists, deep chains.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod graph;
mod lists;
mod ran;
mod session;
mod tables;
mod told;
