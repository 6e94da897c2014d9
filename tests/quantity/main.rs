//! Quantities against the outside: published conversions, a reference library, laws.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests"
)]

mod conversions;
mod factors;
mod kinds;
mod numbers;
mod refusals;
mod showing;
mod standards;
mod tables;
mod units;
