//! Lists from outside: read, understood, doubted, refused.
//!
//! The four sample lists and their expected files are invented data: plants, people and tags exist nowhere. The expected files say
//! what a correct reading gives; they were written beside the lists, not by this program.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod doubts;
mod again;
mod dress;
mod expected;
mod headings;
mod hostile;
mod machines;
mod maps;
mod newer;
mod packages;
mod plates;
mod rivals;
mod sheets;
mod signs;
mod slips;
mod unseen;

use std::path::{Path, PathBuf};

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lists")
}

pub fn options() -> polepair::plates::Options {
    polepair::plates::Options {
        program: Some(PathBuf::from(env!("CARGO_BIN_EXE_polepair"))),
        ..Default::default()
    }
}
