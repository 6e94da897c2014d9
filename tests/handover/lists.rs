//! The sample lists, all the way: read, worked, given back. Invented data.

use std::fs;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx, open_workbook};
use polepair::handover::table::Remarks;
use polepair::handover::{Exported, Job, export};
use polepair::plates::open::Means;
use polepair::plates::{Options, import};
use polepair::recalc::{Engine, SheetResults};
use polepair::workbook::{Workbook, text};
use tempfile::TempDir;

use crate::packages::assert_only_changed;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lists").join(name)
}

/// Imports a sample, works it and exports it; by way of the text where `written`, as `import --to` and `export` do.
fn through(name: &str, target: &Path, written: bool) -> (Engine, Exported) {
    let import = import(&sample(name), &Options::default()).unwrap();
    let workbook = if written {
        text::read(&text::write(&import.workbook))
    } else {
        import.workbook
    };
    given_back(workbook, target)
}

/// Works a workbook of a sample and exports it.
fn given_back(workbook: Workbook, target: &Path) -> (Engine, Exported) {
    let engine = Engine::new(workbook);
    let trace = |sheet: &SheetResults, quantity: usize, item: usize| {
        let trace = engine.trace(&sheet.name, &sheet.quantities[quantity].name, item)?;
        Some(trace.substituted)
    };
    let done = export(
        &Job {
            workbook: engine.workbook(),
            results: engine.results(),
            trace: &trace,
            beside: &sample(""),
            means: &Means {
                program: None,
                limits: Default::default(),
            },
            remarks: &Remarks::new(),
            report: None,
            in_sight: None,
        },
        target,
    )
    .unwrap();
    (engine, done)
}

/// Synchronous speeds and loads from the expected file beside the list, by source row.
fn expected(name: &str) -> Vec<(u32, &'static str, f64)> {
    let file = sample(name).with_extension("expected.json");
    let all: serde_json::Value = serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap();
    let mut values = Vec::new();
    for row in all["computed"].as_array().unwrap() {
        let number = row["source_row"].as_u64().unwrap() as u32;
        for (field, heading) in [
            ("sync_speed_rpm", "Synchronous speed [r/min]"),
            ("rated_torque_Nm", "Rated torque [N·m]"),
        ] {
            if let Some(value) = row[field].as_f64() {
                values.push((number, heading, value));
            }
        }
    }
    values
}

/// A motor that was added and a further sheet of the workbook, both beside the list that is given back: a part for each.
#[test]
fn what_stands_in_no_received_file_has_sheets_of_its_own() {
    let folder = TempDir::new().unwrap();
    let target = folder.path().join("out.xlsx");
    let import = import(&sample("timber-yard-drives.xlsx"), &Options::default()).unwrap();
    let list = text::write(&import.workbook);
    let cells = list
        .lines()
        .find(|line| line.trim_start().starts_with("rows "))
        .unwrap()
        .matches('|')
        .count();
    let more = format!(
        "    \"NEW-1\" {}\n\nsheet note \"Reserve\"\n  given share = 10 %\n",
        "| ".repeat(cells)
    );
    let workbook = text::read(&format!("{}{more}", list.trim_end_matches('\n').to_owned() + "\n"));
    let (_, done) = given_back(workbook, &target);
    assert!(done.given_back, "{:?}", done.notes);
    let book: Xlsx<_> = open_workbook(&target).unwrap();
    let names = book.sheet_names();
    for added in ["Motors added", "Reserve"] {
        assert!(names.contains(&added.to_owned()), "{added}: {names:?}");
    }
}

/// Two tables side by side, invented: each motor of a row gets columns of its own, in a given back xlsx and in text.
#[test]
fn two_motors_of_a_row_have_columns_each() {
    let folder = TempDir::new().unwrap();
    let source = folder.path().join("two.xlsx");
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Motors").unwrap();
    let lines = [
        "Tag|kW|Poles|Hz|Rated rpm|Measured rpm||Tag|kW|Poles|Hz|Rated rpm|Measured rpm",
        "F-1|15|4|50|1465|1478||P-1|22|2|50|2940|2970",
        "F-2|11|4|50|1460|1480||||||",
    ];
    for (row, line) in (0u32..).zip(lines) {
        for (column, text) in (0u16..).zip(line.split('|')) {
            match text.parse::<f64>() {
                Ok(number) => drop(sheet.write_number(row, column, number).unwrap()),
                Err(_) if text.is_empty() => {}
                Err(_) => drop(sheet.write_string(row, column, text).unwrap()),
            }
        }
    }
    book.save(&source).unwrap();
    let import = import(&source, &Options::default()).unwrap();
    let engine = Engine::new(import.workbook);
    for name in ["out.xlsx", "out.csv"] {
        let target = folder.path().join(name);
        let trace = |_: &SheetResults, _: usize, _: usize| None;
        export(
            &Job {
                workbook: engine.workbook(),
                results: engine.results(),
                trace: &trace,
                beside: folder.path(),
                means: &Means {
                    program: None,
                    limits: Default::default(),
                },
                remarks: &Remarks::new(),
                report: None,
                in_sight: None,
            },
            &target,
        )
        .unwrap();
        let rows: Vec<Vec<String>> = if name.ends_with("csv") {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_path(&target).unwrap();
            reader
                .records()
                .map(|record| record.unwrap().iter().map(str::to_owned).collect())
                .collect()
        } else {
            let mut book: Xlsx<_> = open_workbook(&target).unwrap();
            let range = book.worksheet_range("Motors").unwrap();
            range
                .rows()
                .map(|row| row.iter().map(|cell| cell.to_string()).collect())
                .collect()
        };
        let columns: Vec<usize> = (0..rows[0].len())
            .filter(|column| rows[0][*column].starts_with("Load by slip ["))
            .chain((0..rows[0].len()).filter(|column| rows[0][*column].starts_with("Load by slip [%], motor 2")))
            .collect();
        assert_eq!(columns.len(), 3, "{name}: {:?}", rows[0]);
        let (first, second) = (columns[0], columns[2]);
        let load = |row: usize, column: usize| rows[row][column].parse::<f64>().ok();
        // (1500 − 1478)/(1500 − 1465), (3000 − 2970)/(3000 − 2940), (1500 − 1480)/(1500 − 1460) in per cent.
        let near = |found: Option<f64>, expected: f64| found.is_some_and(|found| (found - expected).abs() < 1e-6);
        assert!(near(load(1, first), 62.857_142_857), "{name}: {:?}", rows[1]);
        assert!(near(load(1, second), 50.0), "{name}: {:?}", rows[1]);
        assert!(near(load(2, first), 50.0), "{name}: {:?}", rows[2]);
        assert_eq!(load(2, second), None, "{name}");
    }
}

#[test]
fn xlsx_samples_are_given_back_with_load_columns() {
    for (name, sheet, part) in [
        ("ice-rink-motor-survey.xlsx", "Motor survey", "xl/worksheets/sheet1.xml"),
        ("brickworks-motor-list.xlsx", "MOTOR LIST", "xl/worksheets/sheet3.xml"),
        ("timber-yard-drives.xlsx", "Drives", "xl/worksheets/sheet1.xml"),
    ] {
        let folder = TempDir::new().unwrap();
        let target = folder.path().join("out.xlsx");
        let (engine, done) = through(name, &target, true);
        assert!(done.given_back, "{name}: {:?}", done.notes);
        assert_only_changed(&sample(name), &target, part);
        let mut old: Xlsx<_> = open_workbook(sample(name)).unwrap();
        let mut new: Xlsx<_> = open_workbook(&target).unwrap();
        let (old, new) = (old.worksheet_range(sheet).unwrap(), new.worksheet_range(sheet).unwrap());
        for (row, column, value) in old.used_cells() {
            assert_eq!(new.get((row, column)), Some(value), "{name} {row} {column}");
        }
        let rows = engine.results().sheets[0].items.len();
        let heading = |words: &str| {
            let mut places = new
                .used_cells()
                .filter(|cell| *cell.2 == Data::String(words.to_owned()));
            places.next().unwrap_or_else(|| panic!("{name}: no heading {words}")).1
        };
        let mut right = 0;
        let wanted = expected(name);
        for (row, words, value) in &wanted {
            let found = new
                .get_value((row - 1, heading(words) as u32))
                .cloned()
                .unwrap_or_default();
            if let Data::Float(found) = found {
                right += usize::from((found - value).abs() <= value.abs() * 2e-5);
            }
        }
        // Nine tenths of the values are read rightly (the reading has tests of its own); where they stand is the point here.
        assert!(
            right * 10 >= wanted.len() * 9,
            "{name}: {right} of {} ({rows} rows)",
            wanted.len()
        );
        assert!(done.notes[0].contains("added in"), "{:?}", done.notes);
    }
}

/// Every worked cell of a sample has its substitution in the JSON, with the numbers of its own row.
#[test]
fn traces_are_those_of_the_engine() {
    let folder = TempDir::new().unwrap();
    let target = folder.path().join("out.json");
    let (engine, _) = through("ice-rink-motor-survey.xlsx", &target, false);
    let object: serde_json::Value = serde_json::from_str(&fs::read_to_string(&target).unwrap()).unwrap();
    let quantities = object["sheets"][0]["quantities"].as_array().unwrap();
    assert_eq!(quantities.len(), engine.results().sheets[0].quantities.len());
    for quantity in quantities {
        let worked = quantity["role"] != "given";
        for cell in quantity["cells"].as_array().unwrap() {
            assert_eq!(cell["trace"].is_string(), worked, "{} {cell}", quantity["name"]);
        }
    }
    let speed = quantities.iter().find(|quantity| quantity["name"] == "n_s").unwrap();
    // CP-01 stands first in the list: two poles at 50 Hz.
    let trace = speed["cells"][0]["trace"].as_str().unwrap();
    assert!(trace.contains("50 Hz") && trace.contains("2 pole"), "{trace}");
    assert_eq!(speed["cells"][0]["exact"], "3000");
}

#[test]
fn the_text_sample_gets_a_new_workbook_and_csv() {
    let folder = TempDir::new().unwrap();
    let target = folder.path().join("out.xlsx");
    let (_, done) = through("milchhof-kuehlhaus.csv", &target, false);
    assert!(
        !done.given_back && done.notes[0].contains("is a text file"),
        "{:?}",
        done.notes
    );
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    let name = book.sheet_names()[0].clone();
    let range = book.worksheet_range(&name).unwrap();

    let target = folder.path().join("out.csv");
    through("milchhof-kuehlhaus.csv", &target, false);
    // In the dress of the source: semicolons, decimal commas.
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(b';')
        .has_headers(false)
        .from_path(&target)
        .unwrap();
    let written: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    // Every field of the source stands where it stood; blanks around it do not count.
    let source = fs::read_to_string(sample("milchhof-kuehlhaus.csv")).unwrap();
    let source = source.trim_start_matches('\u{feff}');
    for (row, line) in source.lines().enumerate() {
        let mut fields = csv::ReaderBuilder::new()
            .delimiter(b';')
            .has_headers(false)
            .from_reader(line.as_bytes());
        let Some(fields) = fields.records().next() else {
            continue;
        };
        for (column, field) in fields.unwrap().iter().enumerate() {
            assert_eq!(&written[row][column], field.trim(), "row {row} column {column}");
            let cell = range
                .get_value((row as u32, column as u32))
                .cloned()
                .unwrap_or_default();
            assert_eq!(cell.to_string(), field.trim(), "row {row} column {column}");
        }
    }
    let heading = written
        .iter()
        .find_map(|record| record.iter().position(|field| field == "Synchronous speed [r/min]"));
    let heading = heading.expect("a heading of the load columns");
    let wanted = expected("milchhof-kuehlhaus.csv");
    let speeds = wanted.iter().filter(|(_, words, _)| words.starts_with("Synchronous"));
    let (mut all, mut right) = (0, 0);
    for (row, _, value) in speeds {
        all += 1;
        right += usize::from(written[*row as usize - 1][heading].parse() == Ok(*value));
    }
    assert!(right * 10 >= all * 9, "{right} of {all}");
}
