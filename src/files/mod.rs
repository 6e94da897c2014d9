//! Files of the world: open a workbook, save one, keep two programs from writing at once.
//!
//! For: the command line and the window.
//! Always: nothing is lost. A save is written beside the old file, flushed, and put in its place in one step; a file that is
//! not a workbook is refused with a reason, never half read.
//! Not known here: what stands in a workbook beyond its first line.

mod lock;
mod save;

use std::fmt;
use std::fs::File;
use std::io::{ErrorKind, Read as _};
use std::path::{Path, PathBuf};

use crate::quantity::nearest::nearest;

pub use lock::{Holder, Lock, is_free};
pub use save::{save, save_by};

/// A file as seen from a folder: `list.xlsx`, `../lists/list.xlsx`; `None` where one of them is not there.
pub fn seen_from(file: &Path, folder: &Path) -> Option<String> {
    let file = std::fs::canonicalize(file).ok()?;
    let folder = std::fs::canonicalize(folder).ok()?;
    let shared = file
        .components()
        .zip(folder.components())
        .take_while(|(a, b)| a == b)
        .count();
    let mut path = PathBuf::new();
    for _ in folder.components().skip(shared) {
        path.push("..");
    }
    path.extend(file.components().skip(shared));
    Some(path.to_string_lossy().replace('\\', "/"))
}

/// Where what an import made of a list is kept beside the workbook, so that a later import knows what was typed since.
pub fn as_read_beside(workbook: &Path) -> PathBuf {
    let name = workbook.file_name().unwrap_or_default().to_string_lossy();
    workbook.with_file_name(format!("{name}.read"))
}

/// The largest workbook that is opened, in bytes: some million rows.
pub const LARGEST: u64 = 512 * 1024 * 1024;

/// Most bytes of a small text: a column map, a file of words.
const SMALL: u64 = 4 << 20;

/// A small text that was written by hand or for hands: a column map, a file of words.
///
/// # Errors
/// Why it cannot be read, as a part of a sentence.
pub fn small_text(path: &Path) -> Result<String, String> {
    let size = std::fs::metadata(path).map_err(|error| error.to_string())?.len();
    if size > SMALL {
        return Err(format!("it has {size} bytes, and {SMALL} are the most"));
    }
    let bytes = std::fs::read(path).map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|_| "it is no text in UTF-8".to_owned())
}

/// What was tried with a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Reading it.
    Read,
    /// Writing it.
    Write,
}

const NOT_ALLOWED: &str = "access is not allowed";
const READ_ONLY: &str = "the disk is read-only";

/// Why a file could not be read or written: which file, what was tried, what stood in the way, what to try.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileError {
    /// The file, as the user named it.
    pub path: PathBuf,
    /// What was tried.
    pub action: Action,
    /// What stood in the way.
    pub why: String,
    /// What to try.
    pub help: Option<String>,
}

impl FileError {
    fn new(path: &Path, action: Action, why: impl Into<String>) -> FileError {
        FileError {
            path: path.to_owned(),
            action,
            why: why.into(),
            help: None,
        }
    }

    fn help(mut self, help: impl Into<String>) -> FileError {
        self.help = Some(help.into());
        self
    }

    /// Whether nothing can be written in the folder of the file.
    pub fn is_of_the_folder(&self) -> bool {
        [NOT_ALLOWED, READ_ONLY].contains(&self.why.as_str())
    }

    /// An error of the system in plain words.
    pub fn of(path: &Path, action: Action, error: &std::io::Error) -> FileError {
        let here = FileError::new(path, action, "");
        let (why, help) = match error.kind() {
            ErrorKind::NotFound if action == Action::Read => (
                "there is no such file",
                Some(nearest_file(path).unwrap_or_else(|| "check the name and the folder".to_owned())),
            ),
            ErrorKind::NotFound if path.parent().is_some_and(Path::is_dir) => {
                ("the system makes no file there", Some("name another folder".to_owned()))
            }
            ErrorKind::NotFound => (
                "the folder does not exist",
                Some("make the folder first, or name another one".to_owned()),
            ),
            ErrorKind::PermissionDenied => (
                NOT_ALLOWED,
                Some("check the permissions of the file and of its folder, or use a copy".to_owned()),
            ),
            ErrorKind::IsADirectory => ("this is a folder, not a file", Some("name a file in it".to_owned())),
            ErrorKind::NotADirectory => (
                "a part of the path is a file, not a folder",
                Some("check the path".to_owned()),
            ),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => (
                "the disk is full",
                Some("make room, then try again; the old file is as it was".to_owned()),
            ),
            ErrorKind::ReadOnlyFilesystem => (READ_ONLY, Some("write to another folder".to_owned())),
            _ => {
                return FileError {
                    why: plain_words(error),
                    ..here
                };
            }
        };
        FileError {
            why: why.to_owned(),
            help,
            ..here
        }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let verb = match self.action {
            Action::Read => "read",
            Action::Write => "write",
        };
        write!(f, "cannot {verb} {}: {}", self.path.display(), self.why)
    }
}

impl std::error::Error for FileError {}

/// The system's message without its number.
fn plain_words(error: &std::io::Error) -> String {
    let text = error.to_string();
    let text = text.split(" (os error").next().unwrap_or(&text);
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A file of the folder whose name is much like the one asked for.
fn nearest_file(path: &Path) -> Option<String> {
    let asked = path.file_name()?.to_string_lossy().to_lowercase();
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Some(format!("there is no folder {} either", folder.display()));
    }
    // A folder can be endless; a look at a few thousand names is enough for an offer.
    let names: Vec<String> = std::fs::read_dir(folder)
        .ok()?
        .flatten()
        .take(5000)
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    let near = nearest(&asked, names.iter().map(String::as_str), 1);
    near.first()
        .map(|name| format!("did you mean {}?", path.with_file_name(name).display()))
}

/// The text of a workbook file, without a byte order mark.
pub fn open(path: &Path) -> Result<String, FileError> {
    let error = |why: &str| FileError::new(path, Action::Read, why);
    let failed = |e: &std::io::Error| FileError::of(path, Action::Read, e);
    let file = File::open(path).map_err(|e| failed(&e))?;
    let about = file.metadata().map_err(|e| failed(&e))?;
    if about.is_dir() {
        return Err(failed(&ErrorKind::IsADirectory.into()));
    }
    let too_large = || {
        error(&format!(
            "it is larger than {} MB, more than a workbook can be",
            LARGEST / 1024 / 1024
        ))
        .help("split the list into several workbooks")
    };
    if about.len() > LARGEST {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|e| failed(&e))?;
    if bytes.len() as u64 > LARGEST {
        return Err(too_large());
    }
    let text = decode(path, bytes)?;
    if text.trim().is_empty() {
        return Err(error("the file is empty").help("a workbook begins with the line: polepair 1"));
    }
    if !looks_like_a_workbook(&text) {
        return Err(error("this is not a workbook")
            .help("a workbook begins with the line: polepair 1; an equipment list is read by polepair import, or by Read an equipment list in the window"));
    }
    Ok(text)
}

/// Bytes to text: UTF-8, with or without a byte order mark.
fn decode(path: &Path, bytes: Vec<u8>) -> Result<String, FileError> {
    let error = |why: &str, help: &str| Err(FileError::new(path, Action::Read, why).help(help));
    match bytes.as_slice() {
        [b'P', b'K', 3, 4, ..] | [0xd0, 0xcf, 0x11, 0xe0, ..] => {
            return error(
                "this is a table or another packed file, not a workbook",
                "an equipment list is read by polepair import, or by Read an equipment list in the window",
            );
        }
        [b'%', b'P', b'D', b'F', ..] => {
            return error("this is a PDF, not a workbook", "name a file that ends in .pole");
        }
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => {
            return error(
                "the text is stored as UTF-16",
                "save it as UTF-8 in your editor, then try again",
            );
        }
        [b, ..] if bytes.contains(&0) => {
            let _ = b;
            return error(
                "this is not a text file: it holds signs that no text has",
                "name a workbook, a plain text that begins with `polepair 1`, or a copy of it that is whole",
            );
        }
        _ => {}
    }
    let bytes = match bytes.as_slice() {
        [0xef, 0xbb, 0xbf, rest @ ..] => rest.to_vec(),
        _ => bytes,
    };
    String::from_utf8(bytes).or_else(|fault| {
        let good = fault.utf8_error().valid_up_to();
        let line = fault
            .as_bytes()
            .get(..good)
            .map_or(1, |b| b.iter().filter(|b| **b == b'\n').count() + 1);
        error(
            &format!("line {line} holds a character that is not UTF-8"),
            "save the file as UTF-8 in your editor, then try again",
        )
    })
}

/// Words a workbook's first line can begin with. A forgotten `polepair 1` is for the reader to tell, with the rest worked.
const FIRST_WORDS: &[&str] = &[
    "polepair", "workbook", "about", "sheet", "list", "given", "work", "seek", "check", "define", "curve", "units",
    "supply", "cases", "note",
];

fn looks_like_a_workbook(text: &str) -> bool {
    let Some(first) = text
        .lines()
        .map(str::trim)
        .find(|line| !line.is_empty() && !line.starts_with('#'))
    else {
        // Comments alone: nothing to work, nothing wrong.
        return true;
    };
    let word: String = first.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
    FIRST_WORDS.contains(&word.as_str()) && first.chars().nth(word.len()).is_none_or(char::is_whitespace)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn why(name: &str, bytes: &[u8]) -> FileError {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        open(&path).unwrap_err()
    }

    #[test]
    fn a_workbook_is_read_with_and_without_byte_order_mark() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        for start in ["", "\u{feff}"] {
            std::fs::write(&path, format!("{start}polepair 1\nworkbook \"Ω\"\n")).unwrap();
            assert_eq!(open(&path).unwrap(), "polepair 1\nworkbook \"Ω\"\n");
        }
        std::fs::write(&path, "# only a thought\n").unwrap();
        assert!(open(&path).is_ok());
    }

    #[test]
    fn what_is_no_workbook_says_what_it_is() {
        assert!(why("a.pole", b"").why.contains("empty"));
        assert!(why("a.pole", b" \n\n").why.contains("empty"));
        assert!(why("a.pole", b"PK\x03\x04rest").help.unwrap().contains("import"));
        assert!(why("a.pole", b"\xff\xfea\0").why.contains("UTF-16"));
        assert!(why("a.pole", b"%PDF-1.7").why.contains("PDF"));
        assert!(why("a.pole", b"\x7fELF\x01\0\0").why.contains("not a text"));
        assert!(
            why("a.pole", b"polepair 1\n\nnote \"caf\xe9\"\n")
                .why
                .contains("line 3")
        );
        assert!(
            why("a.csv", b"Tag;kW;rpm\nP-1;15;1465\n")
                .help
                .unwrap()
                .contains("import")
        );
        assert!(why("a.csv", b"workers;kW;rpm\n").why.contains("not a workbook"));
    }

    #[test]
    fn a_missing_file_offers_one_of_like_name() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("brine-pump.pole"), "polepair 1\n").unwrap();
        let error = open(&folder.path().join("brine-pmup.pole")).unwrap_err();
        assert!(error.help.unwrap().contains("brine-pump.pole"));
        let error = open(folder.path()).unwrap_err();
        assert!(error.why.contains("folder"), "{error}");
        let error = open(&folder.path().join("nowhere/x.pole")).unwrap_err();
        assert!(error.help.unwrap().contains("no folder"));
    }

    #[test]
    fn too_large_a_file_is_refused_before_it_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        File::create(&path).unwrap().set_len(LARGEST + 1).unwrap();
        assert!(open(&path).unwrap_err().why.contains("larger"));
    }
}
