//! A whole export: which file is written, from what, and what is said about it.

use std::fs;
use std::path::Path;

use calamine::{Data, Reader, Xlsx, open_workbook};
use polepair::handover::table::Remarks;
use polepair::handover::{ExportError, Exported, Job, export};
use polepair::plates::digest;
use polepair::plates::open::Means;
use polepair::recalc::Results;
use polepair::workbook::{Form, Indent, Line, Sheet, Statement, Workbook};
use tempfile::TempDir;

use crate::packages::{MAIN, assert_only_changed, package};
use crate::worked::{brine, motors};

fn line(statement: Statement) -> Line {
    Line {
        before: "".into(),
        text: "".into(),
        number: 1,
        indent: Indent::NONE,
        statement,
        faults: Vec::new(),
    }
}

/// The workbook of the list `motors` alone, read from `file`.
fn read_from(file: &str, sheet: Option<&str>, digest: &str) -> Workbook {
    let read = Statement::Read {
        file: file.to_owned(),
        sheet: sheet.map(str::to_owned),
        headings: Some(3),
        digest: Some(digest.to_owned()),
    };
    Workbook {
        title: "Plant".to_owned(),
        sheets: vec![Sheet {
            opening: line(Statement::Opening { groups: None }),
            name: "motors".into(),
            title: String::new(),
            form: Form::List,
            lines: vec![line(read)],
            rows: None,
        }],
        ..Workbook::default()
    }
}

fn run(workbook: &Workbook, results: &Results, beside: &Path, target: &Path) -> Result<Exported, ExportError> {
    let job = Job {
        workbook,
        results,
        trace: &|_, _, _| None,
        beside,
        means: &Means {
            program: None,
            limits: Default::default(),
        },
        remarks: &Remarks::new(),
        report: None,
        in_sight: None,
    };
    export(&job, target)
}

fn only_motors() -> Results {
    Results {
        sheets: vec![motors()],
        ..Results::default()
    }
}

/// The list as somebody sent it: title, headings in row 3, motors in rows 4, 5 and 7.
fn received(path: &Path) {
    let mut book = rust_xlsxwriter::Workbook::new();
    book.add_worksheet().set_name("Cover").unwrap();
    let list = book.add_worksheet();
    list.set_name("Motors").unwrap();
    list.write_string(0, 0, "Pump house, invented").unwrap();
    for (column, heading) in ["Tag", "Rating", "Remark"].iter().enumerate() {
        list.write_string(2, column as u16, *heading).unwrap();
    }
    for (row, tag) in [(3, "P-101"), (4, "-P-102"), (5, "UPPER FLOOR"), (6, "P-103")] {
        list.write_string(row, 0, tag).unwrap();
    }
    list.write_number(3, 1, 15).unwrap();
    list.write_string(4, 2, "=1+1").unwrap();
    book.save(path).unwrap();
}

#[test]
fn the_received_file_is_given_back() {
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    received(&source);
    let workbook = read_from("list.xlsx", Some("Motors"), &digest(&source).unwrap());
    let done = run(&workbook, &only_motors(), folder.path(), &target).unwrap();
    assert!(done.given_back);
    assert!(
        done.notes[0].contains("columns D to F of the sheet \"Motors\" added in 3 rows"),
        "{:?}",
        done.notes
    );
    assert_only_changed(&source, &target, "xl/worksheets/sheet2.xml");
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    let range = book.worksheet_range("Motors").unwrap();
    let at = |row, column| range.get_value((row, column)).cloned().unwrap_or_default();
    assert_eq!(at(2, 3), Data::String("Synchronous speed [r/min]".into()));
    assert_eq!(at(3, 3), Data::Float(1500.0));
    assert_eq!(at(3, 4), Data::Float(62.8571428571429));
    assert_eq!(at(4, 4), Data::Float(-0.125));
    assert_eq!(at(5, 3), Data::Empty);
    assert_eq!(at(6, 5), Data::String("Load by slip: Rating is missing".into()));
}

#[test]
fn a_source_that_is_gone_or_changed_gives_a_new_file_and_says_so() {
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.xlsx"), folder.path().join("out.xlsx"));
    received(&source);
    let other = "0".repeat(64);
    for (file, digest, why) in [
        ("list.xlsx", other.as_str(), "list.xlsx has changed since it was read"),
        ("gone.xlsx", other.as_str(), "gone.xlsx is not where it was"),
        ("list.xlsx", "", "has changed"),
    ] {
        let done = run(
            &read_from(file, Some("Motors"), digest),
            &only_motors(),
            folder.path(),
            &target,
        )
        .unwrap();
        assert!(!done.given_back);
        assert!(done.notes[0].contains(why), "{:?}", done.notes);
        let mut book: Xlsx<_> = open_workbook(&target).unwrap();
        let range = book.worksheet_range("Plant-room motors").unwrap();
        assert_eq!(range.get_value((0, 2)), Some(&Data::String("Rating [kW]".into())));
        assert_eq!(range.get_value((1, 3)), Some(&Data::Float(1500.0)));
    }
    // A list that does not know its rows cannot be put beside them.
    let mut unplaced = only_motors();
    unplaced.sheets[0].quantities.remove(1);
    let workbook = read_from("list.xlsx", Some("Motors"), &digest(&source).unwrap());
    let done = run(&workbook, &unplaced, folder.path(), &target).unwrap();
    assert!(
        !done.given_back && done.notes[0].contains("which of its rows"),
        "{:?}",
        done.notes
    );
}

#[test]
fn a_text_file_becomes_a_new_workbook_with_the_same_cells() {
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.csv"), folder.path().join("out.xlsx"));
    fs::write(
        &source,
        "Liste;;\n\nTag;Rating;Remark\nP-101;15;\n-P-102;7,5;x\nUPPER FLOOR;;\nP-103;;\n",
    )
    .unwrap();
    let workbook = read_from("list.csv", None, &digest(&source).unwrap());
    let done = run(&workbook, &only_motors(), folder.path(), &target).unwrap();
    assert!(
        !done.given_back && done.notes[0].contains("is a text file"),
        "{:?}",
        done.notes
    );
    let mut book: Xlsx<_> = open_workbook(&target).unwrap();
    let range = book.worksheet_range("Plant-room motors").unwrap();
    let at = |row, column| range.get_value((row, column)).cloned().unwrap_or_default();
    assert_eq!(at(0, 0), Data::String("Liste".into()));
    assert_eq!(at(2, 1), Data::String("Rating".into()));
    assert_eq!(at(4, 1), Data::String("7,5".into()));
    assert_eq!(at(4, 3), Data::Float(1500.0));
    assert_eq!(at(5, 0), Data::String("UPPER FLOOR".into()));
    assert_eq!(at(5, 3), Data::Empty);
    assert_eq!(at(6, 3), Data::Float(1500.0));

    let target = folder.path().join("out.csv");
    run(&workbook, &only_motors(), folder.path(), &target).unwrap();
    let text = fs::read_to_string(&target).unwrap();
    let lines: Vec<&str> = text.split("\r\n").collect();
    // In the dress of the list: one file with two decimal signs would be read wrongly.
    assert_eq!(lines[0], "Liste;;;;;");
    assert_eq!(
        lines[2],
        "Tag;Rating;Remark;Synchronous speed [r/min];Load by slip [%];Doubts and reasons"
    );
    assert_eq!(lines[3], "P-101;15;;1500;62,8571428571429;");
    assert!(lines[4].starts_with("'-P-102;7,5;x;1500;-0,125;"), "{}", lines[4]);

    let error = run(&workbook, &only_motors(), folder.path(), &source).unwrap_err();
    assert!(matches!(error, ExportError::SourceIsTarget(_)), "{error}");
}

#[test]
fn the_ending_chooses_and_sources_are_safe() {
    let folder = TempDir::new().unwrap();
    let source = folder.path().join("list.xlsx");
    received(&source);
    let before = fs::read(&source).unwrap();
    let workbook = read_from("list.xlsx", Some("Motors"), &digest(&source).unwrap());
    let both = Results {
        sheets: vec![brine(), motors()],
        ..Results::default()
    };
    let refused = |target: &str| run(&workbook, &both, folder.path(), &folder.path().join(target)).unwrap_err();
    assert!(matches!(refused("list.xlsx"), ExportError::SourceIsTarget(_)));
    // Also where it has changed since it was read, or is that of another list than the one that is written.
    fs::write(&source, "Tag;Rating\n").unwrap();
    let changed = fs::read(&source).unwrap();
    assert!(matches!(refused("list.xlsx"), ExportError::SourceIsTarget(_)));
    assert_eq!(fs::read(&source).unwrap(), changed);
    fs::write(&source, &before).unwrap();
    assert!(matches!(refused("out.ods"), ExportError::Ending(_)));
    assert!(matches!(refused("out"), ExportError::Ending(_)));
    assert!(matches!(refused("out.xlsm"), ExportError::Ending(_)));
    assert!(matches!(refused("no/folder/out.csv"), ExportError::File { .. }));
    assert_eq!(fs::read(&source).unwrap(), before);

    let json = folder.path().join("out.json");
    run(&workbook, &both, folder.path(), &json).unwrap();
    let object: serde_json::Value = serde_json::from_str(&fs::read_to_string(&json).unwrap()).unwrap();
    assert_eq!(object["sheets"][1]["name"], "motors");

    // A sheet that does not come from the file stands on one of its own in an xlsx, and is named where only one table is written.
    let done = run(&workbook, &both, folder.path(), &folder.path().join("out.xlsx")).unwrap();
    let told = "On a sheet of its own: \"Brine pump drive\".";
    assert!(
        done.given_back && done.notes.iter().any(|note| note == told),
        "{:?}",
        done.notes
    );
    let done = run(&workbook, &both, folder.path(), &folder.path().join("out.csv")).unwrap();
    assert!(done.notes.iter().any(|note| note.contains("brine")), "{:?}", done.notes);
    // Capitals make no other ending.
    let written = |name: &str| fs::read(folder.path().join(name)).unwrap();
    run(&workbook, &both, folder.path(), &folder.path().join("CAPITALS.CSV")).unwrap();
    assert_eq!(written("CAPITALS.CSV"), written("out.csv"));
    assert_eq!(fs::read(&source).unwrap(), before);
}

/// Macros are kept where the ending allows them; otherwise a new file without them is written, and that is said.
#[test]
fn macros_are_kept_or_their_loss_is_said() {
    let folder = TempDir::new().unwrap();
    let source = folder.path().join("list.xlsm");
    let sheet = format!(
        r#"<worksheet xmlns="{MAIN}"><sheetData><row r="3"><c r="A3" t="str"><v>Tag</v></c></row></sheetData></worksheet>"#
    );
    fs::write(&source, package(&sheet, &[("book/vbaProject.bin", "macros")])).unwrap();
    let workbook = read_from("list.xlsm", Some("Motors"), &digest(&source).unwrap());
    let target = folder.path().join("out.xlsm");
    assert!(
        run(&workbook, &only_motors(), folder.path(), &target)
            .unwrap()
            .given_back
    );
    assert_only_changed(&source, &target, "book/pages/second.xml");
    let done = run(
        &workbook,
        &only_motors(),
        folder.path(),
        &folder.path().join("out.xlsx"),
    )
    .unwrap();
    assert!(!done.given_back && done.notes[0].contains("macros"), "{:?}", done.notes);
}

/// A package under the name of a text is given back like any other; what a new file leaves behind of another sort is said.
#[test]
fn the_bytes_decide_what_is_given_back() {
    let folder = TempDir::new().unwrap();
    let (source, target) = (folder.path().join("list.csv"), folder.path().join("out.xlsx"));
    received(&source);
    let workbook = read_from("list.csv", Some("Motors"), &digest(&source).unwrap());
    let done = run(&workbook, &only_motors(), folder.path(), &target).unwrap();
    assert!(done.given_back, "{:?}", done.notes);
    assert_only_changed(&source, &target, "xl/worksheets/sheet2.xml");
}
