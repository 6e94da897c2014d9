//! A column map that was kept: read from its file, and told from a list and from a workbook.
//!
//! Always: a file is a map by how it begins, whatever its name ends in.
//! Not known here: which list it is for.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use crate::files;
use crate::plates::Own;
use crate::plates::own::HEAD;

/// Bytes in which a map begins.
const BEGINS: u64 = 4096;

/// Whether a file is a column map, and neither a list nor a workbook.
pub fn is_map(path: &Path) -> bool {
    let mut begin = Vec::new();
    let read = File::open(path).and_then(|file| file.take(BEGINS).read_to_end(&mut begin));
    read.is_ok() && begins_one(&String::from_utf8_lossy(&begin))
}

/// Whether a text begins as a column map does, of whatever version.
fn begins_one(text: &str) -> bool {
    let sort = HEAD.trim_end_matches(|letter: char| letter.is_ascii_digit());
    let lines = text.trim_start_matches('\u{feff}').lines().map(str::trim);
    let mut told = lines.filter(|line| !line.is_empty() && !line.starts_with('#'));
    told.next().is_some_and(|line| line.starts_with(sort))
}

/// Reads a map.
///
/// # Errors
/// Why it cannot be used, as a sentence: the first line that is not understood, and how many more there are.
pub fn read(path: &Path) -> Result<Own, String> {
    let name = path.display();
    let text = files::small_text(path).map_err(|why| format!("{name} could not be read: {why}"))?;
    if !begins_one(&text) {
        return Err(format!(
            "{name} is no column map; one begins with the line {HEAD}, and “Keep the map…” beside the columns of a list writes one"
        ));
    }
    if !text
        .lines()
        .any(|line| line.trim_start_matches('\u{feff}').trim() == HEAD)
    {
        return Err(format!(
            "{name} is a column map of a newer program; this one reads those that begin with the line {HEAD}"
        ));
    }
    Own::read(Some(&text), None).map_err(|faults| {
        let more = match faults.len().saturating_sub(1) {
            0 => String::new(),
            1 => "; one line more is not understood".to_owned(),
            more => format!("; {more} lines more are not understood"),
        };
        let first = faults.first();
        let first = first.map(|fault| format!("line {}: {}; {}", fault.line, fault.message, fault.help));
        format!("{name}, {}{more}", first.unwrap_or_default())
    })
}

/// What came of a map of this name: how many columns of the list it speaks of.
pub fn in_words(name: &str, spoken_of: usize) -> String {
    match spoken_of {
        0 => format!("No column of the list is called as one of {name}."),
        1 => format!("One column was read as {name} says."),
        more => format!("{more} columns were read as {name} says."),
    }
}

/// A name as it is said in a sentence: without the folder.
pub fn named(path: &Path) -> String {
    path.file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_map_is_known_by_how_it_begins() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("columns.txt");
        for (text, is) in [
            ("polepair columns 1\ncolumn \"P\" = rated_power\n", true),
            ("\u{feff}\n# mine\n  polepair columns 1\n", true),
            ("polepair columns 2\n", true),
            ("polepair 1\nsheet a\n", false),
            ("Tag;P\nM-1;15\n", false),
            ("", false),
        ] {
            std::fs::write(&path, text).unwrap();
            assert_eq!(is_map(&path), is, "{text}");
        }
        assert!(!is_map(&folder.path().join("none.map")));
    }

    #[test]
    fn what_is_wrong_with_a_map_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("lines.map");
        for (text, part) in [
            ("polepair columns 1\ncolumn \"P\" = rated_powr\nrow 3\n", "line 2: "),
            (
                "polepair columns 1\ncolumn \"P\" = rated_powr\nrow 3\n",
                "one line more",
            ),
            ("Tag;P\nM-1;15\n", "is no column map"),
            ("polepair columns 2\n", "of a newer program"),
        ] {
            std::fs::write(&path, text).unwrap();
            let told = read(&path).unwrap_err();
            assert!(told.contains(part), "{told}");
        }
        std::fs::write(&path, "polepair columns 1\ncolumn \"P\" = rated_power\n").unwrap();
        assert_eq!(read(&path).unwrap().columns().len(), 1);
    }
}
