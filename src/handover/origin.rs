//! The file a list was read from, found again.
//!
//! For: giving a list back in the file it came in. The `read` line says which file, sheet and heading row, and carries the digest
//! of the file as it was read.
//! Always: a file with another digest is not the one that was read, and is not used.
//! Not known here: what is done with it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::plates::{Options, Own, digest};
use crate::workbook::{Sheet, Statement};

/// Where a list comes from, as its `read` line says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The file as written in the workbook.
    pub file: String,
    /// Sheet in it; none for a text file.
    pub sheet: Option<String>,
    /// Row with the headings, from 1.
    pub headings: u32,
    /// Digest of the file when it was read.
    pub digest: Option<String>,
    /// The remarks of the `read` line: what was said of the columns stands there.
    pub remarks: Arc<str>,
}

impl Origin {
    /// From the lines of a list; none where it was not read from a file.
    pub fn of(sheet: &Sheet) -> Option<Origin> {
        sheet.lines.iter().find_map(|line| match &line.statement {
            Statement::Read {
                file,
                sheet,
                headings,
                digest,
            } => Some(Origin {
                file: file.clone(),
                sheet: sheet.clone(),
                headings: headings.unwrap_or(1).max(1),
                digest: digest.clone(),
                remarks: line.before.clone(),
            }),
            _ => None,
        })
    }

    /// What was said of its columns when it was read.
    pub fn own(&self) -> Option<Arc<Own>> {
        Own::of_remarks(&self.remarks).map(Arc::new)
    }

    /// How it is read again: the same sheet, and its columns as they were, where nothing else is said of them.
    pub fn options(&self, options: &Options) -> Options {
        Options {
            sheet: self.sheet.clone(),
            own: options.own.clone().or_else(|| self.own()),
            ..options.clone()
        }
    }

    /// The file as it is there now, whatever is in it.
    pub fn stands(&self, beside: &Path) -> Option<PathBuf> {
        let places = [beside.join(&self.file), PathBuf::from(&self.file)];
        places.into_iter().find(|path| path.is_file())
    }

    /// The file, looked for from the folder of the workbook, from the current folder, and by its bare name beside the workbook. The
    /// error says what is amiss, as the second half of a sentence about the file.
    pub fn find(&self, beside: &Path) -> Result<PathBuf, String> {
        let path = self.stands(beside).ok_or_else(|| "is not where it was".to_owned())?;
        let Some(wanted) = &self.digest else {
            return Err(
                "was read without noting its digest, so it cannot be told whether it is still the same".to_owned(),
            );
        };
        let found = digest(&path).map_err(|error| format!("cannot be read ({error})"))?;
        let wanted = wanted.rsplit(':').next().unwrap_or(wanted).trim().to_ascii_lowercase();
        if wanted.len() >= 16 && found.starts_with(&wanted) {
            Ok(path)
        } else {
            Err("has changed since it was read".to_owned())
        }
    }
}
