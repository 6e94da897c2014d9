//! Why a list could not be read.
//!
//! Always: the path, what was found, what to try. An error of the file is an ordinary `Err`; what is odd inside a readable list
//! is a doubt of the report instead.

use std::fmt;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::fault::Code;

/// What went wrong with a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Trouble {
    /// There is no such file.
    Missing,
    /// It cannot be opened or read, or its inside is damaged.
    NotReadable,
    /// Too large, or too much in it.
    TooLarge,
    /// Its first bytes are not those of a list.
    NotAList,
    /// It is locked with a password.
    Encrypted,
    /// It unpacks to far more than a list holds, or is built to mislead a reader.
    Hostile,
    /// Reading took too long or too much memory and was stopped.
    Stopped,
    /// The reader could not be started.
    NoReader,
    /// It was read, and no table of motors is in it.
    NoMotorTable,
}

/// A list that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileError {
    /// What went wrong.
    pub trouble: Trouble,
    /// The file.
    pub path: PathBuf,
    /// What was found, one sentence.
    pub found: String,
    /// What to try, one sentence.
    pub help: String,
}

impl FileError {
    /// An error about `path`.
    pub fn new(trouble: Trouble, path: &Path, found: impl Into<String>, help: impl Into<String>) -> FileError {
        FileError {
            trouble,
            path: path.to_path_buf(),
            found: found.into(),
            help: help.into(),
        }
    }

    /// The code, for `explain`.
    pub fn code(&self) -> Code {
        match self.trouble {
            Trouble::Missing => Code::LIST_MISSING,
            Trouble::NotReadable => Code::LIST_NOT_READABLE,
            Trouble::TooLarge => Code::LIST_TOO_LARGE,
            Trouble::NotAList => Code::NOT_A_LIST,
            Trouble::Encrypted => Code::LIST_ENCRYPTED,
            Trouble::Hostile => Code::LIST_HOSTILE,
            Trouble::Stopped => Code::READER_STOPPED,
            Trouble::NoReader => Code::NO_READER,
            Trouble::NoMotorTable => Code::NO_MOTOR_TABLE,
        }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} {}", self.path.display(), self.found, self.help)
    }
}

impl std::error::Error for FileError {}
