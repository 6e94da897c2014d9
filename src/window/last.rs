//! The files that were opened last, for the first page: a small text in the user's folder for work, one path a line, the last first.
//!
//! Always: never part of a workbook; what cannot be read or is not there any more is left out, and nothing stops for it.
//! Not known here: what a file holds, when it is opened.

use std::path::{Path, PathBuf};

use crate::files;

/// Files that are remembered at most.
const MOST: usize = 6;

/// Most bytes of the list that are looked at.
const LONGEST: u64 = 64 * 1024;

fn list(folder: &Path) -> PathBuf {
    folder.join("last-files.txt")
}

/// All that are remembered, whether they are still there or not.
fn remembered(folder: &Path) -> Vec<PathBuf> {
    let path = list(folder);
    let small = std::fs::metadata(&path).is_ok_and(|about| about.is_file() && about.len() <= LONGEST);
    let text = small.then(|| std::fs::read_to_string(&path).ok()).flatten();
    let lines = text.as_deref().unwrap_or("").lines().map(str::trim);
    let named = lines.filter(|line| !line.is_empty()).map(PathBuf::from);
    named.filter(|path| path.is_absolute()).take(MOST).collect()
}

/// The files that were opened last and are there, the last first.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    remembered(folder).into_iter().filter(|path| path.is_file()).collect()
}

/// Remembers a file as the last one. Other windows write here too, so it is read again.
pub fn note(folder: &Path, file: &Path) {
    let Ok(file) = std::path::absolute(file) else { return };
    let all = put_first(remembered(folder), file);
    // A path that is no text, or has a line end in it, would be another one when it is read.
    let lines = all
        .iter()
        .filter_map(|path| path.to_str())
        .filter(|path| !path.contains(['\n', '\r']));
    let text: String = lines.map(|line| format!("{line}\n")).collect();
    let _ = std::fs::create_dir_all(folder);
    let _ = files::save(&list(folder), text.as_bytes());
}

/// A file comes to stand first; each stands once.
pub fn put_first(mut files: Vec<PathBuf>, file: PathBuf) -> Vec<PathBuf> {
    files.retain(|known| *known != file);
    files.insert(0, file);
    files.truncate(MOST);
    files
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_last_file_stands_first_and_each_once() {
        let folder = tempfile::tempdir().unwrap();
        let state = folder.path().join("not yet there");
        assert!(files(&state).is_empty());
        let named = |number: usize| folder.path().join(format!("{number}.pole"));
        for number in [1, 2, 3, 4, 5, 6, 7, 3] {
            std::fs::write(named(number), "polepair 1\n").unwrap();
            note(&state, &named(number));
        }
        assert_eq!(files(&state), [3, 7, 6, 5, 4, 2].map(named));
        // What is gone is left out, and comes back with the file.
        std::fs::remove_file(named(7)).unwrap();
        assert_eq!(files(&state), [3, 6, 5, 4, 2].map(named));
    }

    #[test]
    fn a_broken_list_is_as_none() {
        let folder = tempfile::tempdir().unwrap();
        for bytes in [
            vec![0xff, 0xfe, 0x00],
            vec![b'a'; 200_000],
            b"relative.pole\n\n".to_vec(),
        ] {
            std::fs::write(list(folder.path()), bytes).unwrap();
            assert!(files(folder.path()).is_empty());
        }
    }
}
