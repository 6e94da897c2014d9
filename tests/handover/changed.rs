//! Doubts of a list that is another one by now, or gone: they go along from its reading. Invented data.

use std::fs;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx, open_workbook};
use polepair::handover::source::{of_lists, of_reading};
use polepair::handover::table::Remarks;
use polepair::handover::{Exported, Job, export};
use polepair::plates::open::Means;
use polepair::plates::{Options, Report, import};
use polepair::recalc::{Engine, SheetResults};
use polepair::workbook::text;
use tempfile::TempDir;

/// By hand: 60 · 50 Hz over two pairs of poles is 1500 r/min, which no plate of an induction motor says and none reaches. Nothing speaks
/// against row 4.
const LIST: &str = "Tag;kW;V;Hz;poles;rpm;Measured rpm
A-1;15;400;50;4;1500;1478
A-2;11;400;50;4;1455;1505
A-3;7.5;400;50;4;1440;1460
";

/// What is doubted of rows 2 and 3, and of row 4 where 1505 r/min are typed there.
const PLATE: &str = "Plate speed 1500 r/min is at the synchronous speed 1500 r/min of 4 poles at 50 Hz";
const MEASURED: &str = "Measured 1505 r/min is not below the synchronous speed 1500 r/min of 4 poles at 50 Hz.";

/// What is said where nothing is known of the reading.
const NOT_THERE: &str = "What its reading doubted is not in what was written";

/// A list that was read, its report, and the text that was made of it.
struct Read {
    folder: TempDir,
    list: PathBuf,
    report: Report,
    text: String,
}

impl Read {
    fn new() -> Read {
        let folder = TempDir::new().unwrap();
        let list = folder.path().join("plant.csv");
        fs::write(&list, LIST).unwrap();
        let mut found = import(&list, &Options::default()).unwrap();
        let text = text::write(&found.workbook);
        found.take(Engine::new(text::read(&text)).results());
        Read {
            folder,
            list,
            report: found.report,
            text,
        }
    }

    /// The workbook with changes in its text, worked.
    fn with(&self, changes: &[(&str, &str)]) -> Engine {
        let text = changes.iter().fold(self.text.clone(), |text, (was, is)| {
            assert!(text.contains(was), "{was} in\n{text}");
            text.replacen(was, is, 1)
        });
        Engine::new(text::read(&text))
    }

    /// What the reading told, for a workbook as it is now.
    fn told(&self, engine: &Engine) -> (Remarks, Option<Report>) {
        of_reading(engine.workbook(), engine.results(), &self.report)
    }

    fn row(&self, tag: &str) -> &str {
        let begins = format!("\"{tag}\"");
        let mut lines = self.text.lines();
        lines.find(|line| line.trim_start().starts_with(&begins)).unwrap()
    }

    fn hand_over(&self, engine: &Engine, (remarks, report): &(Remarks, Option<Report>), target: &Path) -> Exported {
        let job = Job {
            workbook: engine.workbook(),
            results: engine.results(),
            trace: &|_: &SheetResults, _, _| None,
            beside: self.folder.path(),
            means: &Means {
                program: None,
                limits: Default::default(),
            },
            remarks,
            report: report.as_ref(),
            in_sight: None,
        };
        export(&job, target).unwrap()
    }
}

/// The tags of a csv that was handed over, and what stands in the last column of each.
fn remarks_in(path: &Path) -> Vec<(String, String)> {
    let mut reader = csv::ReaderBuilder::new().from_path(path).unwrap();
    let head = reader.headers().unwrap().clone();
    let at = |words: &str| head.iter().position(|known| known.eq_ignore_ascii_case(words)).unwrap();
    let (tag, doubts) = (at("tag"), at("Doubts and reasons"));
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| (row[tag].to_owned(), row[doubts].to_owned())).collect()
}

/// A changed list and one that is gone are handed over with what their reading doubted, in the row and in the report; without a reading
/// that is said.
#[test]
fn doubts_go_along_when_the_list_has_changed_or_is_gone() {
    let read = Read::new();
    let engine = read.with(&[]);
    let later = format!("{LIST}A-4;5.5;400;50;4;1450;1470\n");
    for (change, why) in [
        (Some(later), "has changed since it was read"),
        (None, "is not where it was"),
    ] {
        match change {
            Some(now) => fs::write(&read.list, now).unwrap(),
            None => fs::remove_file(&read.list).unwrap(),
        }
        let of_file = of_lists(
            engine.workbook(),
            engine.results(),
            read.folder.path(),
            &Options::default(),
        );
        assert!(of_file.0.is_empty() && of_file.1.is_none(), "{:?}", of_file.0);
        let told = read.told(&engine);
        let rows: Vec<u32> = told.0.keys().copied().collect();
        assert_eq!(rows, [2, 3], "{:?}", told.0);
        let target = read.folder.path().join("out.csv");
        let done = read.hand_over(&engine, &told, &target);
        assert!(!done.given_back && done.notes[0].contains(why), "{:?}", done.notes);
        assert!(!done.notes[0].contains(NOT_THERE), "{:?}", done.notes);
        let rows = remarks_in(&target);
        let tags: Vec<&str> = rows.iter().map(|(tag, _)| tag.as_str()).collect();
        assert_eq!(tags, ["A-1", "A-2", "A-3"]);
        for (at, doubt) in [(0, PLATE), (1, MEASURED)] {
            assert!(rows[at].1.contains(doubt), "{:?}", rows[at]);
        }
        for doubt in [PLATE, MEASURED] {
            assert!(!rows[2].1.contains(doubt), "{:?}", rows[2]);
        }
        // The report goes along as a sheet.
        let target = read.folder.path().join("out.xlsx");
        let _ = read.hand_over(&engine, &told, &target);
        let mut book: Xlsx<_> = open_workbook(&target).unwrap();
        let names = book.sheet_names();
        let doubted = names.iter().filter(|name| {
            let range = book.worksheet_range(name).unwrap();
            let says = |cell: &Data| matches!(cell, Data::String(text) if text.contains(MEASURED));
            range.used_cells().any(|(_, _, cell)| says(cell))
        });
        // Beside its row and in the report.
        assert!(doubted.count() >= 2, "{names:?}");
        // Nothing known of the reading.
        let target = read.folder.path().join("bare.csv");
        let done = read.hand_over(&engine, &of_file, &target);
        assert!(done.notes[0].contains(NOT_THERE), "{:?}", done.notes);
        assert!(rows_say_nothing(&remarks_in(&target)));
    }
}

fn rows_say_nothing(rows: &[(String, String)]) -> bool {
    !rows
        .iter()
        .any(|(_, said)| said.contains(PLATE) || said.contains(MEASURED))
}

/// What was corrected since is doubted no longer, what was typed since is doubted like what was read, and a motor that was taken out is
/// told and has no doubts.
#[test]
fn doubts_that_go_along_are_those_of_the_workbook_as_it_is() {
    let read = Read::new();
    fs::remove_file(&read.list).unwrap();
    let (first, third) = (read.row("A-1"), read.row("A-3"));
    // As the window types it: with what the doubt means for the load.
    let above = third
        .replacen("1460 r/min", "1505 r/min", 1)
        .replacen("\"good\"", "\"doubted\"", 1);
    let engine = read.with(&[
        (first, &first.replacen("1500 r/min", "1465 r/min", 1)),
        (third, &above),
        (&format!("{}\n", read.row("A-2")), ""),
    ]);
    let (remarks, report) = read.told(&engine);
    let report = report.unwrap();
    assert_eq!(remarks.keys().copied().collect::<Vec<u32>>(), [4], "{remarks:?}");
    assert_eq!(remarks[&4], [MEASURED]);
    assert_eq!(report.gone, [3]);
    let settled = |row: u32| {
        let mut doubts = report.doubts.iter().filter(|doubt| doubt.source_row == Some(row));
        doubts.next().unwrap().settled.clone()
    };
    assert_eq!(
        settled(2).as_deref(),
        Some("corrected since: n_r was read as 1500 r/min, now 1465 r/min")
    );
    assert_eq!(settled(3).as_deref(), Some("the row is not in the workbook any more"));
    assert_eq!(settled(4), None);
}

/// Rows of two received lists would be taken for each other, and what was never read has no reading.
#[test]
fn no_doubts_go_along_with_several_lists_or_with_none() {
    let read = Read::new();
    let (head, list) = read.text.split_at(read.text.find("\nlist motors").unwrap() + 1);
    let two = format!("{head}{list}\n{}", list.replacen("list motors", "list others", 1));
    let typed: String = list
        .lines()
        .filter(|line| !line.trim_start().starts_with("read "))
        .map(|line| format!("{line}\n"))
        .collect();
    for text in [
        two,
        format!("{head}{typed}"),
        "polepair 1\nsheet a\n  given P = 1 kW\n".to_owned(),
    ] {
        let engine = Engine::new(text::read(&text));
        let (remarks, report) = read.told(&engine);
        assert!(remarks.is_empty() && report.is_none(), "{remarks:?}\n{text}");
    }
}
