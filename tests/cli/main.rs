//! The built program as its user meets it: every command, every exit status, every sort of wrong input. Few and at the outside;
//! what a formula gives is tested below.
//!
//! - `page`: the page and the trace of the shipped workbooks
//! - `phasors`: complex values on the page, in JSON and CSV
//! - `commands`: usage, help, `calc`, `units`, `explain`, `tidy`
//! - `files`: missing, binary, empty, huge, faulty, unwritable
//! - `lists`: `import` and `export`
//! - `readme`: what the README says
//! - `sheets`: shipped workbooks against a calculation by hand

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod commands;
mod files;
mod lists;
mod page;
mod phasors;
mod readme;
mod sheets;

use std::path::{Path, PathBuf};
use std::process::Command;

/// What the program gave.
#[derive(Debug)]
pub struct Ran {
    /// Exit status; a signal is none.
    pub status: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Ran {
    /// Asserts the exit status, showing everything where it differs.
    #[track_caller]
    pub fn ends(self, status: i32) -> Ran {
        assert_eq!(
            self.status,
            Some(status),
            "\nstdout:\n{}\nstderr:\n{}",
            self.out,
            self.err
        );
        self
    }

    /// Asserts that stdout holds a text.
    #[track_caller]
    pub fn says(self, part: &str) -> Ran {
        assert!(
            self.out.contains(part),
            "{part:?} is not in stdout:\n{}\nstderr:\n{}",
            self.out,
            self.err
        );
        self
    }

    /// Asserts that stderr holds a text.
    #[track_caller]
    pub fn complains(self, part: &str) -> Ran {
        assert!(
            self.err.contains(part),
            "{part:?} is not in stderr:\n{}\nstdout:\n{}",
            self.err,
            self.out
        );
        self
    }

    /// Asserts that nothing is on stdout.
    #[track_caller]
    pub fn silent(self) -> Ran {
        assert_eq!(self.out, "");
        self
    }

    /// Stdout as one JSON value and nothing else.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e} in {}", self.out))
    }
}

/// Runs the program in a folder.
pub fn run_in(folder: &Path, arguments: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("CLICOLOR_FORCE")
        // Without a screen there is no window, whether it is built in or not.
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .output()
        .unwrap();
    Ran {
        status: output.status.code(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// Runs the program in the folder of the project.
pub fn run(arguments: &[&str]) -> Ran {
    run_in(&root(), arguments)
}

/// The folder of the project.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A folder with one file in it.
pub fn folder_with(name: &str, content: impl AsRef<[u8]>) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(name), content).unwrap();
    folder
}
