//! The README says what is true: its workbook works, and every command line in it runs.

use std::fs;
use std::path::PathBuf;

use crate::run_in;

/// The fenced blocks of the README, in order.
fn blocks() -> Vec<String> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("README.md")).expect("README.md");
    text.split("```")
        .skip(1)
        .step_by(2)
        .map(|block| block.trim_matches('\n').to_string())
        .collect()
}

#[test]
fn the_commands_and_the_workbook_of_the_readme_run() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("workbooks")).expect("a folder");
    for entry in fs::read_dir(root.join("workbooks")).expect("workbooks") {
        let path = entry.expect("an entry").path();
        fs::copy(
            &path,
            folder.path().join("workbooks").join(path.file_name().expect("a name")),
        )
        .expect("a copy");
    }
    fs::copy(
        root.join("workbooks/quarry-motors.xlsx"),
        folder.path().join("LIST.xlsx"),
    )
    .expect("a copy");
    let sheets: Vec<String> = blocks()
        .into_iter()
        .filter(|block| block.starts_with("polepair 1\n"))
        .collect();
    assert_eq!(sheets.len(), 1, "the README shows one workbook");
    // Further sheets that it shows stand in the same workbook.
    let mut workbook = format!("{}\n", sheets[0]);
    for sheet in blocks().iter().filter(|block| block.starts_with("sheet ")) {
        workbook.push_str(&format!("\n{sheet}\n"));
    }
    fs::write(folder.path().join("FILE.pole"), workbook).expect("a workbook");

    let mut ran = 0;
    for line in blocks().iter().flat_map(|block| block.lines()) {
        let command = line.split("   ").next().unwrap_or("").trim();
        let Some(words) = command
            .strip_prefix("polepair ")
            .or(command.strip_prefix("cargo run --release -- "))
        else {
            continue;
        };
        if words == "1" {
            continue;
        }
        let mut arguments: Vec<String> = Vec::new();
        for (place, part) in words.split('"').enumerate() {
            if place % 2 == 1 {
                arguments.push(part.to_string());
            } else {
                arguments.extend(part.split_whitespace().map(str::to_string));
            }
        }
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        run_in(folder.path(), &arguments).ends(0);
        ran += 1;
    }
    assert!(ran >= 10, "command lines were found: {ran}");
    run_in(folder.path(), &["work", "FILE.pole"])
        .ends(0)
        .says("1500")
        .says("Rating chosen");
    run_in(folder.path(), &["tidy", "FILE.pole", "--check"]).ends(0);
    assert!(
        folder.path().join("quarry-loads.xlsx").is_file(),
        "the main job wrote its list"
    );
}
