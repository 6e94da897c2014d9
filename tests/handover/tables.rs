//! Lists and sheets as csv and as new workbooks, read back by other readers.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Range, Reader, Xlsx};
use polepair::handover::table::{Original, Remarks, Table};
use polepair::handover::{csv, xlsx};
use polepair::plates::store::{Cell, Content, Grid, Look};
use polepair::recalc::Engine;
use polepair::workbook::text;

use polepair::session::Session;
use polepair::workbook::Workbook;

use crate::worked::{blank, brine, failed, motors, results};

/// The sheet the motors came from: a title, a blank row, headings in row 3, an area row, and a note below.
fn original() -> Original {
    let mut grid = Grid::new("List of motors");
    let mut put = |row: u32, column: u16, content: Result<&str, f64>| {
        let content = match content {
            Ok(text) => Content::Text(grid.intern(text)),
            Err(number) => Content::Number(number),
        };
        assert!(grid.push(
            row,
            Cell {
                column,
                look: Look::default(),
                content,
            }
        ));
    };
    put(0, 0, Ok("Pump house, invented"));
    put(2, 0, Ok("Tag"));
    put(2, 1, Ok("Rating"));
    put(2, 2, Ok("Remark"));
    put(3, 0, Ok("P-101"));
    put(3, 1, Err(15.0));
    put(4, 0, Ok("-P-102"));
    put(4, 1, Ok("7,5 kW"));
    put(4, 2, Ok("=HYPERLINK(\"x\")"));
    put(5, 0, Ok("UPPER FLOOR"));
    put(6, 0, Ok("P-103"));
    put(6, 1, Ok("-"));
    put(8, 0, Ok("checked, \"twice\""));
    Original { grid, headings: 3 }
}

fn records(table: &Table) -> Vec<Vec<String>> {
    let mut written = Vec::new();
    csv::write(table, Default::default(), &mut written).unwrap();
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(written.as_slice());
    reader
        .records()
        .map(|record| record.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

fn doubts() -> Remarks {
    BTreeMap::from([
        (5, vec!["rating: a comma for the point".to_owned()]),
        (6, vec!["never shown".to_owned()]),
    ])
}

#[test]
fn a_list_with_its_source_keeps_every_row_and_column() {
    let (sheet, original, doubts) = (motors(), original(), doubts());
    let rows = records(&Table::new(&sheet, Some(&original), &doubts));
    let expected = [
        vec!["Pump house, invented", "", "", "", "", ""],
        vec!["", "", "", "", "", ""],
        vec![
            "Tag",
            "Rating",
            "Remark",
            "Synchronous speed [r/min]",
            "Load by slip [%]",
            "Doubts and reasons",
        ],
        vec!["P-101", "15", "", "1500", "62.8571428571429", ""],
        vec![
            "'-P-102",
            "7,5 kW",
            "'=HYPERLINK(\"x\")",
            "1500",
            "-0.125",
            "load below 110 %: does not hold, margin -3.2 %; measure again; rating: a comma for the point",
        ],
        vec!["UPPER FLOOR", "", "", "", "", ""],
        vec!["P-103", "-", "", "1500", "", "Load by slip: Rating is missing"],
        vec!["", "", "", "", "", ""],
        vec!["checked, \"twice\"", "", "", "", "", ""],
    ];
    assert_eq!(rows, expected);
}

#[test]
fn a_list_without_its_source_has_what_was_typed_first() {
    let (sheet, none) = (motors(), Remarks::new());
    let rows = records(&Table::new(&sheet, None, &none));
    assert_eq!(
        rows[0],
        [
            "tag",
            "source_row",
            "Rating [kW]",
            "Synchronous speed [r/min]",
            "Load by slip [%]",
            "Doubts and reasons"
        ]
    );
    assert_eq!(rows[1], ["P-101", "4", "15", "1500", "62.8571428571429", ""]);
    assert_eq!(
        rows[3],
        ["P-103", "7", "", "1500", "", "Load by slip: Rating is missing"]
    );
    assert_eq!(rows.len(), 4);
}

#[test]
fn reasons_that_are_alike_are_said_once() {
    let (mut sheet, none) = (motors(), Remarks::new());
    sheet.quantities[3].cells = vec![
        blank("not worked: tag is missing in row 7"),
        failed("division by zero"),
        blank("P_r is missing in row 3"),
    ]
    .into();
    let rows = records(&Table::new(&sheet, None, &none));
    assert_eq!(rows[3][5], "Synchronous speed, Load by slip: Rating is missing");
    assert!(
        rows[2][5].ends_with("; Synchronous speed: division by zero"),
        "{}",
        rows[2][5]
    );
}

#[test]
fn a_worked_sheet_has_its_quantities_one_below_the_other() {
    let (sheet, none) = (brine(), Remarks::new());
    let rows = records(&Table::new(&sheet, None, &none));
    let expected = [
        vec![
            "label", "symbol", "winter", "summer", "unit", "formula", "kind", "source", "remarks",
        ],
        vec![
            "Brine flow",
            "Q",
            "60",
            "85.5",
            "m³/h",
            "",
            "",
            "measured \"2 March\"",
            "",
        ],
        vec![
            "Shaft power at the coupling",
            "P_sh",
            "5.01382246478873",
            "",
            "kW",
            "",
            "",
            "",
            "summer: the flow is not worked",
        ],
        vec!["", "s", "0.333333333333333", "", "", "", "", "", "summer: n is missing"],
        vec!["", "medium", "brine", "'=water", "", "", "text", "", ""],
        vec![
            "ten per cent in hand",
            "",
            "holds, margin 10 %",
            "not worked",
            "",
            "P_n >= 1.1 * P_sh",
            "check",
            "",
            "summer: P_sh is not worked",
        ],
    ];
    assert_eq!(rows, expected);
}

/// The way a value came about is handed over with it: formulas as typed, also of single cases; equations; curves and definitions
/// they call; the condition of a check.
#[test]
fn formulas_stand_beside_their_values() {
    let book = text::read(
        "polepair 1
workbook \"Fan\"
define twice(x) = 2 * x
sheet fan \"Fan\"
  cases small | large
  given n_r = 1450 r/min : rated speed
  given P = 4 kW | 2 * P_0 : shaft power \"Power\" plate
  given P_0 = 3 kW : shaft power
  curve T_L(n : shaft speed) in N·m through (0 r/min, 2 N·m), (1500 r/min, 30 N·m) \"The fan\"
  work T = P / n_r in N·m : torque \"Torque\"
  work k = 2 | twice(1.5)
  work m = k + 1
  seek n in r/min such that T_L(n) = 20 N·m between 0 r/min and n_r : shaft speed
  check T < 90 N·m \"not too much\"
",
    );
    let engine = Engine::new(book.clone());
    let results = engine.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults.first());
    let none = Remarks::new();
    let rows = records(&Table::new(&results.sheets[0], None, &none).with_formulas(&book));
    let told = |symbol: &str| {
        let row = rows.iter().find(|row| row[1] == symbol);
        let row = row.unwrap_or_else(|| panic!("no line {symbol}: {rows:?}"));
        [row[0].as_str(), row[5].as_str(), row[6].as_str()].map(str::to_owned)
    };
    assert_eq!(rows[0][4..6], ["unit", "formula"]);
    assert_eq!(told("n_r"), ["", "", "rated speed"]);
    assert_eq!(told("P"), ["Power", "in large: 2 * P_0", "shaft power"]);
    assert_eq!(told("T"), ["Torque", "P / n_r", "torque"]);
    assert_eq!(told("k"), ["", "in small: 2; in large: twice(1.5)", ""]);
    assert_eq!(told("m"), ["", "k + 1", ""]);
    assert_eq!(
        told("n"),
        ["", "such that T_L(n) = 20 N·m between 0 r/min and n_r", "shaft speed"]
    );
    assert_eq!(
        told("T_L(n)"),
        ["The fan", "through (0 r/min, 2 N·m), (1500 r/min, 30 N·m)", "curve"]
    );
    assert_eq!(told("twice(x)"), ["", "2 * x", "definition"]);
    assert_eq!(rows.last().unwrap()[5..7], ["T < 90 N·m", "check"]);
}

/// What the workbook says of itself and its notes have a sheet; where there is nothing of them, there is none.
#[test]
fn notes_have_a_sheet_only_where_there_are_some() {
    let names = |text: &str| {
        let session = Session::open(text);
        let mut file = Cursor::new(Vec::new());
        xlsx::write(&[], session.workbook(), session.results(), &[], &[], &mut file).unwrap();
        file.set_position(0);
        Xlsx::new(file).unwrap()
    };
    let plain = "polepair 1\nworkbook \"Fan\"\nsheet fan \"Fan\"\n  given n = 1 r/min\n  check n > 0 r/min\n";
    assert_eq!(names(plain).sheet_names(), ["Checks"]);
    let mut told = names(&plain.replace("sheet", "about author \"R. Meer\"\nsheet"));
    let page = told.worksheet_range("Notes").unwrap();
    assert_eq!(at(&page, 1, 0), Data::String("workbook".into()));
    assert_eq!(at(&page, 2, 1), Data::String("R. Meer".into()));
}

fn workbook(original: Option<&Original>) -> Xlsx<Cursor<Vec<u8>>> {
    let (results, doubts) = (results(), doubts());
    let sheets: Vec<xlsx::Sheet> = results
        .sheets
        .iter()
        .map(|sheet| xlsx::Sheet {
            name: sheet.title.clone(),
            table: Table::new(sheet, original, &doubts),
        })
        .collect();
    let mut file = Cursor::new(Vec::new());
    xlsx::write(
        &sheets,
        &Workbook::default(),
        &results,
        &["written anew".to_owned()],
        &[],
        &mut file,
    )
    .unwrap();
    file.set_position(0);
    Xlsx::new(file).unwrap()
}

fn at(range: &Range<Data>, row: u32, column: u32) -> Data {
    range.get_value((row, column)).cloned().unwrap_or_default()
}

#[test]
fn a_new_workbook_has_a_sheet_for_everything() {
    let original = original();
    let mut book = workbook(Some(&original));
    assert_eq!(
        book.sheet_names(),
        ["Brine pump drive", "Plant-room motors", "Checks", "Faults", "Notes"]
    );
    let list = book.worksheet_range("Plant-room motors").unwrap();
    assert_eq!(at(&list, 2, 4), Data::String("Load by slip [%]".into()));
    assert_eq!(at(&list, 3, 1), Data::Float(15.0));
    assert_eq!(at(&list, 3, 4), Data::Float(62.8571428571429));
    // Text stays text, also where it looks like a formula, and nothing is put before it.
    assert_eq!(at(&list, 4, 0), Data::String("-P-102".into()));
    assert_eq!(at(&list, 4, 2), Data::String("=HYPERLINK(\"x\")".into()));
    assert_eq!(at(&list, 6, 4), Data::Empty);
    assert_eq!(at(&list, 6, 5), Data::String("Load by slip: Rating is missing".into()));
    assert!(book.worksheet_formula("Plant-room motors").unwrap().is_empty());
    let checks = book.worksheet_range("Checks").unwrap();
    assert_eq!(at(&checks, 4, 5), Data::String("does not hold, margin -3.2 %".into()));
    let faults = book.worksheet_range("Faults").unwrap();
    assert_eq!(at(&faults, 1, 7), Data::String("no-motor-table".into()));
    let notes = book.worksheet_range("Notes").unwrap();
    assert_eq!(at(&notes, 1, 1), Data::String("written anew".into()));
    assert_eq!(at(&notes, 2, 1), Data::String("Pump curve 7 of the maker.".into()));
}

/// Who reads the sheet has no text before them: a fault stands at a sheet, a quantity, a case or row.
#[test]
fn a_fault_is_placed_by_sheet_quantity_and_row() {
    let session = Session::open(
        "polepair 1
sheet pump \"Brine pump\"
  cases winter | summer
  given v = 3 m/s | 5 kW : speed \"Speed of the belt\"
  check v > 1 kg
list motors \"Motors\"
  given tag : text
  given P_r in kW : shaft power \"Rating\"
  given source_row
  given f = 50 Hz : frequency
  rows tag | P_r | source_row
    \"P-1\" | 15 kW | 6
    \"P-2\" | 5 Hz | 8
  at \"P-1\" f = 3 kW
",
    );
    let mut file = Cursor::new(Vec::new());
    xlsx::write(&[], session.workbook(), session.results(), &[], &[], &mut file).unwrap();
    file.set_position(0);
    let faults = Xlsx::new(file).unwrap().worksheet_range("Faults").unwrap();
    let told: Vec<[String; 3]> = (1..faults.height() as u32)
        .map(|row| [1, 2, 3].map(|column| at(&faults, row, column).to_string()))
        .collect();
    for wanted in [
        ["Brine pump", "Speed of the belt (v)", "summer"],
        ["Brine pump", "v > 1 kg", ""],
        ["Motors", "Rating (P_r)", "P-2 (source row 8)"],
        ["Motors", "f", "P-1 (source row 6)"],
    ] {
        assert!(told.iter().any(|told| *told == wanted), "{wanted:?}: {told:?}");
    }
    let headings = [0, 1, 2, 3, 4, 5, 6, 7].map(|column| at(&faults, 0, column).to_string());
    assert!(
        !headings.iter().any(|heading| heading == "line" || heading == "column"),
        "{headings:?}"
    );
}

/// The digits shown are those of the workbook (four, or as its `to` says), the numbers behind them whole.
#[test]
fn number_formats_show_the_digits() {
    let mut book = workbook(None);
    let sheet = book.worksheet_range("Brine pump drive").unwrap();
    assert_eq!(at(&sheet, 2, 2), Data::Float(5.01382246478873));
    let styles = crate::packages::part_of(workbook_bytes(), "xl/styles.xml");
    assert!(
        styles.contains("formatCode=\"0.0000\""),
        "four digits of 0.3333: {styles}"
    );
    let first = crate::packages::part_of(workbook_bytes(), "xl/worksheets/sheet1.xml");
    let cell = first.split("<c r=\"C3\" s=\"").nth(1).unwrap();
    let style: usize = cell.split('"').next().unwrap().parse().unwrap();
    let format = styles
        .split("<cellXfs")
        .nth(1)
        .unwrap()
        .split("<xf ")
        .nth(style + 1)
        .unwrap();
    let id = format.split('"').nth(1).unwrap();
    assert!(
        styles.contains(&format!("numFmtId=\"{id}\" formatCode=\"0.00\"")),
        "three digits of 5.01: {styles}"
    );
    let xml = crate::packages::part_of(workbook_bytes(), "xl/worksheets/sheet2.xml");
    assert!(xml.contains("<pane ySplit=\"1\""), "frozen headings");
    assert!(xml.contains("<autoFilter ref=\"A1:F4\""), "a filter over all columns");
}

fn workbook_bytes() -> Vec<u8> {
    let (results, none) = (results(), Remarks::new());
    let sheets: Vec<xlsx::Sheet> = results
        .sheets
        .iter()
        .map(|sheet| xlsx::Sheet {
            name: sheet.title.clone(),
            table: Table::new(sheet, None, &none),
        })
        .collect();
    let mut file = Cursor::new(Vec::new());
    xlsx::write(&sheets, &Workbook::default(), &results, &[], &[], &mut file).unwrap();
    file.into_inner()
}

/// A long list goes out row by row; the values are the same.
#[test]
fn a_long_list_is_written_row_by_row() {
    let mut sheet = motors();
    let count = 12_000;
    sheet.items = (0..count).map(|item| item.to_string().into()).collect();
    sheet.checks.clear();
    sheet.flags.clear();
    for quantity in &mut sheet.quantities {
        quantity.cells = vec![quantity.cells[0].clone(); count].into();
    }
    let (none, results) = (Remarks::new(), polepair::recalc::Results::default());
    let sheets = [xlsx::Sheet {
        name: "Long".to_owned(),
        table: Table::new(&sheet, None, &none),
    }];
    let mut file = Cursor::new(Vec::new());
    xlsx::write(&sheets, &Workbook::default(), &results, &[], &[], &mut file).unwrap();
    file.set_position(0);
    let mut book: Xlsx<_> = Xlsx::new(file).unwrap();
    let range = book.worksheet_range("Long").unwrap();
    assert_eq!(range.height(), count + 1);
    assert_eq!(at(&range, count as u32, 4), Data::Float(62.8571428571429));
    assert_eq!(at(&range, count as u32, 0), Data::String("P-101".into()));
}

/// The fields of a text as csv: its first sheet or list.
fn fields(text: &str) -> Vec<Vec<String>> {
    let engine = Engine::new(text::read(text));
    let results = engine.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults.first());
    records(&Table::new(&results.sheets[0], None, &Remarks::new()))
}

/// By hand: (1800 − 1775)/40 = 62.5 %, (1800 − 1771)/40 = 72.5 %; where nothing is in doubt, no column is added.
#[test]
fn limits_have_columns_of_their_own() {
    let sheet = "polepair 1\nsheet load\n  cases plain | doubtful\n  given n = 1773 r/min | 1773 r/min ± 2 r/min : measured speed\n  \
                 work load = (1800 r/min - n) / (40 r/min) in % : load\n  check load <= 70 % \"not overloaded\"\n";
    let rows = fields(sheet);
    assert_eq!(
        rows[0][2..7],
        ["plain", "doubtful", "doubtful low", "doubtful high", "unit"]
    );
    assert_eq!(rows[1][2..6], ["1773", "1773", "1771", "1775"]);
    assert_eq!(rows[2][2..6], ["67.5", "67.5", "62.5", "72.5"]);
    assert_eq!(rows[3][4..6], ["", ""]);
    assert!(rows[3][3].starts_with("in doubt"), "{:?}", rows[3]);
    let one = sheet
        .replace("cases plain | doubtful\n  ", "")
        .replace("1773 r/min | ", "");
    assert_eq!(fields(&one)[0][2..5], ["value", "low", "high"]);
    assert_eq!(fields(&one.replace(" ± 2 r/min", ""))[0][2..4], ["value", "unit"]);

    let list = "polepair 1\nlist motors\n  given tag : text\n  given n in r/min : measured speed \"Speed\"\n  \
                work load = (1800 r/min - n) / (40 r/min) in % : load \"Load\"\n  rows tag | n\n    \
                \"a\" | 1773 r/min ± 2 r/min\n    \"b\" | 1760 r/min\n";
    let rows = fields(list);
    assert_eq!(
        rows[0][1..7],
        [
            "Speed [r/min]",
            "Speed low [r/min]",
            "Speed high [r/min]",
            "Load [%]",
            "Load low [%]",
            "Load high [%]"
        ]
    );
    assert_eq!(rows[1][1..7], ["1773", "1771", "1775", "67.5", "62.5", "72.5"]);
    assert_eq!(rows[2][1..7], ["1760", "", "", "100", "", ""]);
    assert_eq!(fields(&list.replace(" ± 2 r/min", ""))[0].len(), 4);
}
