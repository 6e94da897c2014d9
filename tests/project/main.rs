//! The project as a whole: the map in `DEVELOPERS.md` against the folders, and every import against the order of the map.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The entries of the map, in order, without their closing slash.
fn map() -> Vec<String> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let inside = text
        .split("<!-- map -->")
        .nth(1)
        .expect("a map")
        .split("<!-- end of map -->")
        .next()
        .expect("its end");
    let entries: Vec<String> = inside
        .lines()
        .filter(|line| !line.starts_with("```") && !line.trim().is_empty())
        .map(|line| {
            let (entry, words) = line
                .split_once(char::is_whitespace)
                .expect("an entry and what it is for");
            assert!(!words.trim().is_empty(), "{entry} has no words");
            entry.strip_suffix('/').expect("folders end with a slash").to_string()
        })
        .collect();
    assert!(entries.len() > 10, "the map is read");
    entries
}

/// Stations of `src` in the order of the map, as module paths: `language::check`.
fn stations() -> Vec<String> {
    map()
        .into_iter()
        .filter_map(|entry| entry.strip_prefix("src/").map(|path| path.replace('/', "::")))
        .collect()
}

fn folders(of: &Path) -> BTreeSet<String> {
    fs::read_dir(of)
        .expect("a folder")
        .map(|entry| entry.expect("an entry"))
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && name != "target")
        .collect()
}

fn rust_files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, out);
        } else if path.extension().is_some_and(|end| end == "rs") {
            out.push(path);
        }
    }
}

#[test]
fn the_map_names_every_folder_and_no_other() {
    let mut there: BTreeSet<String> = folders(&root()).into_iter().filter(|name| name != "src").collect();
    for station in folders(&root().join("src")) {
        if station == "language" {
            there.extend(
                folders(&root().join("src/language"))
                    .into_iter()
                    .map(|part| format!("src/language/{part}")),
            );
        } else {
            there.insert(format!("src/{station}"));
        }
    }
    let named: BTreeSet<String> = map().into_iter().collect();
    assert_eq!(named, there, "left: the map, right: the folders");
}

#[test]
fn only_what_belongs_there_stands_at_the_top() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "grammar",
        "src",
        "tests",
        "workbooks",
        "target",
    ];
    for entry in fs::read_dir(root()).expect("the project") {
        let name = entry.expect("an entry").file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_str()),
            "{name} does not belong at the top"
        );
    }
}

#[test]
fn modules_are_declared_in_the_order_of_the_map() {
    let declared = |file: &str| -> Vec<String> {
        fs::read_to_string(root().join(file))
            .expect("a module file")
            .lines()
            .filter_map(|line| {
                line.strip_prefix("pub mod ")
                    .and_then(|rest| rest.strip_suffix(';'))
                    .map(str::to_string)
            })
            .collect()
    };
    let mut want: Vec<String> = Vec::new();
    for station in stations() {
        let top = station.split("::").next().expect("a name").to_string();
        if want.last() != Some(&top) {
            want.push(top);
        }
    }
    assert_eq!(declared("src/lib.rs"), want);
    let language: Vec<String> = stations()
        .into_iter()
        .filter_map(|station| station.strip_prefix("language::").map(str::to_string))
        .collect();
    assert_eq!(declared("src/language/mod.rs"), language);
}

/// The paths that begin with `crate::` in a text, braces opened one level: `crate::language::{check, work}` gives two.
fn crate_paths(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        if text[..at].ends_with('$') || text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest: String = text[at + "crate::".len()..]
            .chars()
            .filter(|c| !c.is_whitespace())
            .take(400)
            .collect();
        let head: String = rest
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_' || *c == ':')
            .collect();
        if rest[head.len()..].starts_with('{') {
            let mut depth = 0;
            let mut part = String::new();
            for c in rest[head.len()..].chars() {
                match c {
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    ',' if depth == 1 => {
                        out.push(format!("{head}{part}"));
                        part.clear();
                        continue;
                    }
                    _ => {}
                }
                if depth == 0 {
                    break;
                }
                if !(c == '{' && depth == 1) {
                    part.push(c);
                }
            }
            out.push(format!("{head}{part}"));
        } else {
            out.push(head);
        }
    }
    out
}

#[test]
fn paths_are_found_in_text() {
    assert_eq!(crate_paths("use crate::fault::Fault;"), ["fault::Fault"]);
    assert_eq!(
        crate_paths("use crate::{\n  fault,\n  language::check::Sort\n};"),
        ["fault", "language::check::Sort"]
    );
    assert_eq!(
        crate_paths("use crate::language::{check, work::Value};"),
        ["language::check", "language::work::Value"]
    );
    assert_eq!(crate_paths("fn f(x: crate::quantity::Unit) {}"), ["quantity::Unit"]);
    assert!(crate_paths("$crate::fault::Code").is_empty());
}

#[test]
fn modules_import_upward_only() {
    let stations = stations();
    let place = |path: &str| -> Option<usize> {
        stations
            .iter()
            .position(|station| path == station || path.starts_with(&format!("{station}::")))
    };
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let mut seen = 0;
    for file in files {
        let module = file
            .strip_prefix(root().join("src"))
            .expect("inside src")
            .with_extension("")
            .to_string_lossy()
            .replace('/', "::");
        let Some(own) = place(&module) else { continue };
        let text = fs::read_to_string(&file).expect("a source file");
        let text = text.split("#[cfg(test)]").next().unwrap_or("");
        for path in crate_paths(text) {
            if let Some(used) = place(&path) {
                seen += 1;
                assert!(
                    used <= own,
                    "{} uses {path}, which stands below {}",
                    file.display(),
                    stations[own]
                );
            } else {
                // `crate::language::{...}` without a station in it, or the crate root: nothing that stands below.
                assert!(
                    path == "language" || !path.contains("::") || path.starts_with("language::"),
                    "{} uses {path}, which the map does not name",
                    file.display()
                );
            }
        }
    }
    assert!(seen > 20, "imports were found: {seen}");
}

#[test]
fn no_unsafe_code() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).expect("Cargo.toml");
    assert!(manifest.contains("unsafe_code = \"forbid\""));
}
