//! Why a file could not be handed over: what was tried, what stood in the way, what to try.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Why an export was not written. Nothing is left half written: the target is as it was before.
#[derive(Debug)]
pub enum ExportError {
    /// A file could not be read or written.
    File {
        /// What was tried: `read`, `write`.
        action: &'static str,
        /// Which file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// The file is not a workbook package that can be given back with columns added.
    Package {
        /// Which file.
        path: PathBuf,
        /// What was found.
        found: String,
    },
    /// There is no sheet of this name.
    NoSheet {
        /// Which file.
        path: PathBuf,
        /// The name asked for.
        sheet: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// The sheet has no room to the right.
    NoRoom {
        /// The sheet.
        sheet: String,
        /// How many columns were to be added.
        columns: usize,
        /// How many are free.
        free: u32,
    },
    /// The target is the source itself.
    SourceIsTarget(PathBuf),
    /// The ending of the target names no format that is written.
    Ending(PathBuf),
    /// There is nothing to write.
    Nothing(String),
}

impl ExportError {
    pub(crate) fn read(path: &Path, error: io::Error) -> ExportError {
        ExportError::File {
            action: "read",
            path: path.to_owned(),
            error,
        }
    }

    pub(crate) fn write(path: &Path, error: io::Error) -> ExportError {
        ExportError::File {
            action: "write",
            path: path.to_owned(),
            error,
        }
    }

    pub(crate) fn package(path: &Path, found: impl Into<String>) -> ExportError {
        ExportError::Package {
            path: path.to_owned(),
            found: found.into(),
        }
    }

    /// What to try.
    pub fn help(&self) -> String {
        match self {
            ExportError::File { error, .. } if error.kind() == io::ErrorKind::NotFound => {
                "look at the spelling of the path; the folder must exist before the file is written".to_owned()
            }
            ExportError::File { error, .. } if error.kind() == io::ErrorKind::PermissionDenied => {
                "close the file where it is open, or write to another folder".to_owned()
            }
            ExportError::File { error, .. } if error.kind() == io::ErrorKind::StorageFull => {
                "make room on the disk, or write to another one".to_owned()
            }
            ExportError::File { .. } => "write to another folder, or try again".to_owned(),
            ExportError::Package { .. } => {
                "open the file in the program it comes from, save it as .xlsx and import it again; \
                 export to a new file works without it"
                    .to_owned()
            }
            ExportError::NoSheet { known, .. } if known.is_empty() => "the file has no sheets".to_owned(),
            ExportError::NoSheet { known, .. } => format!("its sheets are: {}", known.join(", ")),
            ExportError::NoRoom { .. } => {
                "something stands far to the right in the sheet; clear it, or export to csv".to_owned()
            }
            ExportError::SourceIsTarget(_) => {
                "write to another name, so that the list you received stays as it was".to_owned()
            }
            ExportError::Ending(_) => "end the name in .xlsx, .csv or .json".to_owned(),
            ExportError::Nothing(_) => "add a sheet or a list to the workbook".to_owned(),
        }
    }
}

impl fmt::Display for ExportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ExportError::File { action, path, error } => {
                let why = match error.kind() {
                    io::ErrorKind::NotFound if *action == "write" => "its folder does not exist".to_owned(),
                    // The system's words, without its number and without the name of our draft.
                    _ => {
                        let text = error.to_string();
                        text.split(" (os error").next().unwrap_or(&text).to_owned()
                    }
                };
                write!(f, "cannot {action} {}: {why}", path.display())
            }
            ExportError::Package { path, found } => {
                write!(f, "cannot add columns to {}: {found}", path.display())
            }
            ExportError::NoSheet { path, sheet, .. } => {
                write!(f, "there is no sheet \"{sheet}\" in {}", path.display())
            }
            ExportError::NoRoom { sheet, columns, free } => write!(
                f,
                "no room for {columns} columns in sheet \"{sheet}\": {free} are free to the right of what it holds"
            ),
            ExportError::SourceIsTarget(path) => {
                write!(f, "{} is the list itself; it is not overwritten", path.display())
            }
            ExportError::Ending(path) => {
                write!(f, "the ending of {} is not one that can be written", path.display())
            }
            ExportError::Nothing(what) => f.write_str(what),
        }
    }
}

impl std::error::Error for ExportError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            ExportError::File { error, .. } => Some(error),
            _ => None,
        }
    }
}
