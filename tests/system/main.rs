//! What other programs see in the workbooks that are written, read back with openpyxl, a reader that is not ours; and motor physics
//! worked apart from the program, with numpy and SciPy.
//!
//! Needs python3 with openpyxl, numpy and scipy, named by `POLEPAIR_PYTHON`. Built with the feature `system-tests` alone, which `.ci/run` does after
//! installing them; what is missing fails here and is never passed over.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod machine;

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// What `read_back.py` prints.
fn read_back(arguments: &[&Path], what: &str) -> Value {
    let python = std::env::var_os("POLEPAIR_PYTHON").expect("POLEPAIR_PYTHON names a python3 that has openpyxl");
    let ran = Command::new(python)
        .arg(root().join("tests/system/read_back.py"))
        .arg(what)
        .args(arguments)
        .env("PYTHONIOENCODING", "utf-8")
        .output()
        .expect("python3 runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    serde_json::from_slice(&ran.stdout).unwrap()
}

/// Runs the program; it must end with 0.
fn polepair(folder: &Path, arguments: &[&str]) {
    let ran = Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
}

/// The load columns with their keys in the report and their headings.
const COLUMNS: [(&str, &str); 10] = [
    ("synchronous_speed", "Synchronous speed [r/min]"),
    ("rated_slip", "Rated slip [%]"),
    ("rated_torque", "Rated torque [N·m]"),
    ("load_by_power", "Load by input power [%]"),
    ("load_by_slip", "Load by slip [%]"),
    ("load_by_slip_voltage", "Load by slip (voltage corrected) [%]"),
    ("load_by_current", "Load by current (voltage corrected) [%]"),
    (
        "load_by_current_and_power_factor",
        "Load by current and power factor [%]",
    ),
    ("efficiency_by_plate", "Efficiency worked from the plate [%]"),
    ("load", "Load by the best method [%]"),
];

/// The worked values of a report: source row, heading, value.
fn worked(report: &Path) -> Vec<(u64, &'static str, f64)> {
    let report: Value = serde_json::from_str(&std::fs::read_to_string(report).unwrap()).unwrap();
    let mut values = Vec::new();
    for row in report["computed"].as_array().unwrap() {
        for (key, heading) in COLUMNS {
            if let Some(value) = row[key]["value"].as_str() {
                values.push((row["source_row"].as_u64().unwrap(), heading, value.parse().unwrap()));
            }
        }
    }
    values
}

/// Fifteen digits are written.
fn close(found: &Value, wanted: f64) -> bool {
    found
        .as_f64()
        .is_some_and(|found| (found - wanted).abs() <= wanted.abs() * 1e-14 + 1e-300)
}

/// Every cell, style, formula, width and merge of the received file is still there, and the added columns hold what the report says.
#[test]
fn received_workbooks_are_given_back_whole() {
    // File, sheet, row of the last heading, filled cells at least.
    for (name, sheet, heading, filled) in [
        ("brickworks-motor-list.xlsx", "MOTOR LIST", 4, 900),
        ("ice-rink-motor-survey.xlsx", "Motor survey", 5, 500),
        ("timber-yard-drives.xlsx", "Drives", 5, 700),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let source = folder.path().join(name);
        std::fs::copy(root().join("tests/lists").join(name), &source).unwrap();
        polepair(
            folder.path(),
            &["import", name, "--export", "out.xlsx", "--report", "r.json"],
        );
        let target = folder.path().join("out.xlsx");
        let seen = read_back(&[&source, &target], "compare");
        assert_eq!(seen["differences"], serde_json::json!([]), "{name}");
        // The list alone gets notes on doubtful cells, a filter where it had none and a frozen heading; the report is a sheet of its own.
        let gained = seen["gained"].as_object().unwrap();
        assert_eq!(gained["sheets"], serde_json::json!(["Import report"]), "{name}");
        assert!(
            gained.keys().all(|key| key == "sheets" || key == sheet),
            "{name}: {gained:?}"
        );
        assert!(
            gained[sheet]["comments"]
                .as_array()
                .is_some_and(|notes| notes.len() > 2),
            "{name}: {gained:?}"
        );
        assert!(seen["kept"].as_u64().unwrap() > filled, "{name}: {}", seen["kept"]);
        let added = seen["added"].as_object().unwrap();
        assert_eq!(added.keys().collect::<Vec<_>>(), [sheet], "only the list gets columns");
        let added = &added[sheet];
        let cells = added["cells"].as_array().unwrap();
        let last = added["last"].as_u64().unwrap();
        assert!(cells.iter().all(|cell| cell[1].as_u64().unwrap() > last), "{name}");
        let column = |words: &str| {
            let found = cells.iter().find(|cell| cell[0] == heading && cell[2] == words);
            found.unwrap_or_else(|| panic!("{name}: no heading {words}"))[1].clone()
        };
        let wanted = worked(&folder.path().join("r.json"));
        assert!(wanted.len() > 150, "{name}: {}", wanted.len());
        for (row, words, value) in &wanted {
            let column = column(words);
            let found = cells.iter().find(|cell| cell[0] == *row && cell[1] == column);
            let found = &found.unwrap_or_else(|| panic!("{name}: nothing in row {row} under {words}"))[2];
            assert!(close(found, *value), "{name}, row {row}, {words}: {found} for {value}");
        }
        let numbers = cells.iter().filter(|cell| cell[2].is_number()).count();
        assert_eq!(numbers, wanted.len(), "{name}: numbers that the report does not have");
        column("Doubts and reasons");
        for (_, width) in added["widths"].as_object().unwrap() {
            assert!((10.0..=48.0).contains(&width.as_f64().unwrap()), "{name}: {width}");
        }
    }
}

/// A text list comes back as a new workbook: the same fields at the same places, loads as numbers with a format, headings frozen.
#[test]
fn a_text_list_becomes_a_workbook() {
    let folder = tempfile::tempdir().unwrap();
    let name = "milchhof-kuehlhaus.csv";
    let source = folder.path().join(name);
    std::fs::copy(root().join("tests/lists").join(name), &source).unwrap();
    polepair(
        folder.path(),
        &["import", name, "--export", "out.xlsx", "--report", "r.json"],
    );
    let seen = read_back(&[&folder.path().join("out.xlsx")], "dump");
    let sheets = seen["sheets"].as_array().unwrap();
    assert_eq!(sheets.len(), 3, "the list, the notes and the report");
    let list = &sheets[0];
    // The headings stand in row 4 and stay in sight.
    assert_eq!(list["frozen"], "A5");
    let rows = list["rows"].as_array().unwrap();
    let source = read_back(&[&source], "fields");
    let mut fields = 0;
    for (row, line) in source.as_array().unwrap().iter().enumerate() {
        for (column, field) in line.as_array().unwrap().iter().enumerate() {
            let field = field.as_str().unwrap().trim();
            if !field.is_empty() {
                assert_eq!(rows[row][column], field, "row {}, column {}", row + 1, column + 1);
                fields += 1;
            }
        }
    }
    assert!(fields > 400, "{fields}");
    let headings = rows[3].as_array().unwrap();
    let column = |words: &str| headings.iter().position(|heading| heading == words).unwrap();
    for (row, words, value) in worked(&folder.path().join("r.json")) {
        let (row, column) = (row as usize - 1, column(words));
        assert!(close(&rows[row][column], value), "row {}, {words}", row + 1);
        let format = list["formats"][row][column].as_str().unwrap();
        assert!(format.starts_with('0'), "row {}, {words}: {format}", row + 1);
    }
    assert!(list["bold"][3].as_array().unwrap().iter().all(|bold| *bold == true));
    for width in list["widths"].as_array().unwrap() {
        assert!((8.0..=62.0).contains(&width.as_f64().unwrap()), "{width}");
    }
}

/// A worked sheet as a workbook: one line for each quantity, text never taken for a formula, checks and notes beside it.
#[test]
fn a_worked_sheet_is_a_workbook() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet fan \"=Fan, invented\"\n  given P = 15 kW : rated power \"=Plate\"\n  given n = 1465 r/min : rated speed\n  \
                work T = torque(P, n) in N·m : torque \"Torque\"\n  check T <= 100 N·m \"below 100\"\n";
    std::fs::write(folder.path().join("fan.pole"), text).unwrap();
    polepair(folder.path(), &["export", "fan.pole", "--to", "fan.xlsx"]);
    let seen = read_back(&[&folder.path().join("fan.xlsx")], "dump");
    let sheets = seen["sheets"].as_array().unwrap();
    let page = &sheets[0];
    let rows = page["rows"].as_array().unwrap();
    assert_eq!(rows[1][0], "=Plate");
    assert_eq!(page["types"][1][0], "s", "text, not a formula");
    // 15 kW / (2π · 1465/60 s⁻¹) = 97.7743677697651 N·m
    assert_eq!(rows[3][1], "T");
    assert!(close(&rows[3][2], 97.774_367_769_765), "{}", rows[3][2]);
    assert_eq!(page["formats"][3][2], "0.00");
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["=Fan, invented", "Checks"], "no sheet with nothing in it");
    assert_eq!(rows[3][4], "torque(P, n)");
    assert_eq!(page["types"][3][4], "s", "a formula of the workbook is text here");
}

/// Limits stand in columns of their own beside their values, as numbers with a format: in a worked sheet beside the case that has
/// some, in a list beside the quantity, and in a received list given back.
#[test]
fn limits_stand_beside_their_values() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let text = "polepair 1\nsheet load \"Load\"\n  cases plain | doubtful\n  given n_s = 1800 r/min : synchronous speed\n  \
                given n = 1773 r/min | 1773 r/min ± 2 r/min : measured speed\n  work load = (n_s - n) / (40 r/min) in % : load\n\n\
                list motors\n  given tag : text\n  given n in r/min : measured speed \"Speed\"\n  \
                work load = (1800 r/min - n) / (40 r/min) in % : load \"Load by slip\"\n  rows tag | n\n    \
                \"a\" | 1773 r/min ± 2 r/min\n    \"b\" | 1760 r/min\n";
    std::fs::write(path("load.pole"), text).unwrap();
    polepair(folder.path(), &["export", "load.pole", "--to", "load.xlsx"]);
    let seen = read_back(&[&path("load.xlsx")], "dump");
    let sheets = seen["sheets"].as_array().unwrap();
    let rows = |sheet: usize| sheets[sheet]["rows"].as_array().unwrap();
    assert_eq!(
        rows(0)[0],
        serde_json::json!([
            "label",
            "symbol",
            "plain",
            "doubtful",
            "doubtful low",
            "doubtful high",
            "unit",
            "formula",
            "kind",
            "source",
            "remarks"
        ])
    );
    // (1800 − 1775)/40 = 62.5 %, (1800 − 1771)/40 = 72.5 %
    let worked: Vec<_> = rows(0)[3].as_array().unwrap()[2..6].to_vec();
    assert_eq!(worked, [67.5, 67.5, 62.5, 72.5]);
    assert_eq!(sheets[0]["formats"][3][4], "0.0");
    assert_eq!(
        rows(1)[0],
        serde_json::json!([
            "tag",
            "Speed [r/min]",
            "Speed low [r/min]",
            "Speed high [r/min]",
            "Load by slip [%]",
            "Load by slip low [%]",
            "Load by slip high [%]",
            "Doubts and reasons"
        ])
    );
    let first: Vec<_> = rows(1)[1].as_array().unwrap()[1..7].to_vec();
    assert_eq!(first, [1773.0, 1771.0, 1775.0, 67.5, 62.5, 72.5]);
    let second = rows(1)[2].as_array().unwrap();
    assert!(
        second[2].is_null() && second[5].is_null() && second[4] == 100.0,
        "{second:?}"
    );
}

/// A received list with a tolerance typed in its workbook is given back with the limits of its loads.
#[test]
fn a_list_given_back_has_the_limits_of_its_loads() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let name = "ice-rink-motor-survey.xlsx";
    std::fs::copy(root().join("tests/lists").join(name), path(name)).unwrap();
    polepair(folder.path(), &["import", name, "--to", "rink.pole"]);
    let text = std::fs::read_to_string(path("rink.pole")).unwrap();
    // The first motor: 3000 r/min, plate 2975 r/min, measured 2973 r/min.
    assert_eq!(text.matches("2973 r/min").count(), 1);
    std::fs::write(path("rink.pole"), text.replace("2973 r/min", "2973 r/min ± 2 r/min")).unwrap();
    polepair(folder.path(), &["export", "rink.pole", "--to", "out.xlsx"]);
    let seen = read_back(&[&path(name), &path("out.xlsx")], "compare");
    assert_eq!(seen["differences"], serde_json::json!([]));
    let added = seen["added"]["Motor survey"]["cells"].as_array().unwrap();
    let at = |row: u64, words: &str| {
        let heading = added.iter().find(|cell| cell[0] == 5 && cell[2] == words);
        let column = &heading.unwrap_or_else(|| panic!("no heading {words}"))[1];
        added
            .iter()
            .find(|cell| cell[0] == row && cell[1] == *column)
            .map(|cell| cell[2].clone())
    };
    // (3000 − 2975)/25 and (3000 − 2971)/25
    assert!(close(&at(7, "Load by slip low [%]").unwrap(), 100.0));
    assert!(close(&at(7, "Load by slip [%]").unwrap(), 108.0));
    assert!(close(&at(7, "Load by slip high [%]").unwrap(), 116.0));
    assert_eq!(at(8, "Load by slip low [%]"), None);
}
