//! Copies of work that no file beside a workbook could take: which workbook such a copy is of.
//!
//! Always: what is noted stands in a small file beside the copy and goes with it; a copy whose lock is free belongs to no living window.
//! Not known here: what stands in a copy.

use std::path::{Path, PathBuf};

use crate::files::{Holder, Lock, small_text};

/// Where it is noted whose work a copy is.
fn note_of(copy: &Path) -> PathBuf {
    copy.with_extension("of")
}

/// A path by which a file is known, from wherever it was named.
fn known(file: &Path) -> PathBuf {
    std::fs::canonicalize(file).unwrap_or_else(|_| file.to_owned())
}

/// The file whose work a copy is, where it has one.
pub fn whose(copy: &Path) -> Option<PathBuf> {
    let said = small_text(&note_of(copy)).ok()?;
    Some(PathBuf::from(said.trim_end_matches('\n'))).filter(|file| !file.as_os_str().is_empty())
}

/// Notes whose work a copy is, or that it is of no file.
pub fn note(copy: &Path, file: Option<&Path>) {
    let _ = match file.and_then(|file| known(file).to_str().map(str::to_owned)) {
        Some(file) => std::fs::write(note_of(copy), file),
        None => std::fs::remove_file(note_of(copy)),
    };
}

/// A copy in a folder that a window left of the work on this file.
pub fn of(folder: &Path, file: &Path) -> Option<(PathBuf, Lock)> {
    let file = known(file);
    let entries = std::fs::read_dir(folder).ok()?;
    entries.flatten().map(|entry| entry.path()).find_map(|copy| {
        let is_copy = copy.extension().is_some_and(|ending| ending == "pole");
        if !is_copy || whose(&copy)? != file {
            return None;
        }
        Some((copy.clone(), Lock::take(&copy, Holder::Window).ok()?))
    })
}

/// Takes away the notes of copies that are gone.
pub fn without_copies(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for note in entries.flatten().map(|entry| entry.path()) {
        let is_note = note.extension().is_some_and(|ending| ending == "of");
        if is_note && !note.with_extension("pole").exists() {
            let _ = std::fs::remove_file(note);
        }
    }
}
