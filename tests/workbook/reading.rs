//! Workbooks as people write them: what is read, and what the canonical text looks like.

use polepair::fault::Fault;
use polepair::workbook::text::{read, read_bytes, write};
use polepair::workbook::{Cell, KindText, Statement, Workbook};

/// Every fault with its line.
pub fn faults(book: &Workbook) -> Vec<(u32, String)> {
    let mut out: Vec<(u32, String)> = Vec::new();
    let mut add = |number: u32, faults: &[Fault], text: &str| {
        for fault in faults {
            assert!(fault.span.end as usize <= text.len(), "{fault:?} beyond {text:?}");
            assert!(
                text.get(fault.span.start as usize..fault.span.end as usize).is_some(),
                "{fault:?} in {text:?}"
            );
            out.push((number, fault.code.word().to_owned()));
        }
    };
    for line in &book.head {
        add(line.number, &line.faults, &line.text);
    }
    for sheet in &book.sheets {
        for line in std::iter::once(&sheet.opening).chain(&sheet.lines) {
            add(line.number, &line.faults, &line.text);
        }
        for row in sheet.rows.iter().flat_map(|rows| &rows.rows) {
            if let Some(faults) = &row.faults {
                add(row.number, faults, row.faulty.as_deref().unwrap_or(""));
            }
        }
    }
    out.sort();
    out
}

#[track_caller]
fn has(text: &str, expected: &[(u32, &str)]) {
    let found = faults(&read(text));
    let found: Vec<(u32, &str)> = found.iter().map(|(line, code)| (*line, code.as_str())).collect();
    assert_eq!(found, expected, "{text}");
    stays(text);
}

/// Canonical text read and written again is the same.
#[track_caller]
pub fn stays(text: &str) {
    let once = write(&read(text));
    let twice = write(&read(&once));
    assert_eq!(once, twice, "not stable:\n{text}");
    assert_eq!(
        faults(&read(text)).iter().map(|(_, code)| code).collect::<Vec<_>>(),
        faults(&read(&once)).iter().map(|(_, code)| code).collect::<Vec<_>>(),
        "other faults after writing:\n{text}"
    );
}

/// The scenario is invented.
const SAWMILL: &str = r#"polepair 1
# Drives of the sawmill, as offered.
workbook "Sawmill, second line"
about client "Holt Timber"
about checked by "M. Berg"

define tip_speed(D : diameter, n : shaft speed) = pi * D * n / (1 rev)

sheet saw "Band saw"
  supply three-phase
  units SI
  cases pine | oak

  # from the cutting trials
  given F = 900 N | 1300 N : force "Cutting force" measured "12 May"
  given v = 38 m/s : speed "Blade speed" maker "sheet 4"
  given eta = 92 % assumed  # belt
  work P_sh = F * v / eta in kW to 3 digits : shaft power "At the motor shaft"
  work P_n = next_rating(
      1.1 * P_sh, # ten per cent
      kw_ratings)
    + 0 kW in kW : shaft power
  seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min : shaft speed
  curve T(n : shaft speed) in N·m through (0 r/min, 30 N·m), (1450 r/min, 90 N·m) "Load"
  check P_n >= 1.1 * P_sh "ten per cent in hand"
  flag "large" where P_n > 100 kW
  plot T for n from 0 r/min to 1500 r/min "Load"
  note "Guard the blade.\nStop before measuring."
  accept look-alike "both are wanted"

list motors "Motors"
  read "motors.xlsx" sheet "Plant" headings 5 digest "ab12"
  given tag : text from "Tag No."
  given P_r in kW : rated power from "Rating" plate
  given conn : choice star, delta
  given f = 50 Hz : frequency
  work n_s = f / 2 pole in r/min
  rows tag | P_r | conn
    "P-101"  | 15 kW      | star
    # found in the old mill
    "P-2"    | 7.5 kW     | delta  # rewound
    "P-3 \"b\"" | 2 * 5.5 kW |
  at "P-2" f = 60 Hz

list panels = groups of motors by conn "By connection"
  work total = sum(P_r for motors) in kW
# the end
"#;

#[test]
fn a_whole_workbook_is_read_and_written() {
    let book = read(SAWMILL);
    assert_eq!(faults(&book), []);
    assert_eq!(book.title, "Sawmill, second line");
    assert_eq!(book.sheets.len(), 3);
    let rows = book.sheets[1].rows.as_ref().unwrap();
    assert_eq!(rows.rows.len(), 3);
    assert!(matches!(
        &rows.rows[0].cells[..],
        [Cell::Text(_), Cell::Number(..), Cell::Word(_)]
    ));
    assert!(matches!(
        &rows.rows[2].cells[..],
        [Cell::Text(_), Cell::Formula(_), Cell::Blank]
    ));
    let expected = SAWMILL
        .replace("\"P-101\"  | 15 kW      | star", "\"P-101\"     | 15 kW      | star")
        .replace("\"P-2\"    | 7.5 kW     | delta", "\"P-2\"       | 7.5 kW     | delta");
    assert_eq!(write(&book), expected);
    stays(SAWMILL);
}

#[test]
fn untidy_text_is_put_in_order() {
    let text = "polepair   1\r\nsheet  s   \"S\"\r\n\tgiven   P=15kW \"Title\" : shaft power measured\r\n\
                given n = 1465 rpm |  | 1470 RPM\n cases a|b|c\n\
                work d = 2 in   to 0.1   in mm # inch\nwork  T : torque = 9 lb-ft * 2\u{A0}− 1 N·m\nat\n";
    let expected = "polepair 1\nsheet s \"S\"\n  given P = 15 kW : shaft power \"Title\" measured\n  \
                    given n = 1465 r/min | | 1470 r/min\n  cases a | b | c\n  \
                    work d = 2 inch in mm to 0.1  # inch\n  work T = 9 lbf·ft * 2 - 1 N·m : torque\nat\n";
    assert_eq!(write(&read(text)), expected);
    stays(text);
}

#[test]
fn a_text_after_otherwise_is_a_value_and_the_next_one_the_title() {
    let text = "polepair 1\nsheet s\n  given k = 2\n  \
                work w = \"low\" when k < 1, otherwise \"high\" : text \"Which\"\n  \
                work v = \"b\" when not k < 1 and k < 3, \"c\" when k < 9 \"Other\"\n";
    let book = read(text);
    assert_eq!(faults(&book), []);
    let titles: Vec<_> = book.sheets[0]
        .lines
        .iter()
        .filter_map(|line| match &line.statement {
            Statement::Quantity(quantity) => quantity.title.as_deref(),
            _ => None,
        })
        .collect();
    assert_eq!(titles, ["Which", "Other"]);
    assert_eq!(write(&book), text);
}

#[test]
fn blanks_and_comments_between_the_sides_of_an_equation_belong_to_neither() {
    let text = "polepair 1\nsheet s\n  given k = 2\n  \
                seek a such that a^2 * k  =  8 between 0 and 9\n  seek b such that b + k # two\n    = 8\n";
    let expected = "polepair 1\nsheet s\n  given k = 2\n  \
                    seek a such that a^2 * k = 8 between 0 and 9\n  seek b such that b + k # two\n    = 8\n";
    assert_eq!(faults(&read(text)), []);
    assert_eq!(write(&read(text)), expected);
    stays(text);
}

#[test]
fn a_faulty_line_is_kept_and_stops_no_other() {
    let text = "polepair 1\nsheet s\n     given  a  =  1,5   kW\n  wrok b = 2\n  work c   = 2 * (3 + 4\n  work d = c * 2\n  note \"open\n  work e = 15 kW/eta\n";
    let book = read(text);
    assert_eq!(
        faults(&book),
        [
            (3, "number-form".to_owned()),
            (4, "unknown-statement".to_owned()),
            (5, "unclosed-bracket".to_owned()),
            (7, "unclosed-text".to_owned()),
            (8, "glued-to-unit".to_owned()),
        ]
    );
    // Names of faulty formulas are known all the same.
    let names: Vec<&str> = book.sheets[0]
        .lines
        .iter()
        .filter_map(|line| match &line.statement {
            Statement::Quantity(quantity) => Some(quantity.name.as_ref()),
            _ => None,
        })
        .collect();
    assert_eq!(names, ["a", "c", "d", "e"]);
    assert_eq!(write(&book), text);
}

/// A formula that says more than one value takes neither title nor kind nor the other cases with it.
#[test]
fn the_rest_of_a_line_lives_beside_a_wrong_formula() {
    for (wrong, code) in [
        ("P_m / n in lbf ft", "expected"),
        ("P_m / n in N m", "expected"),
        ("(P_m / n", "unclosed-bracket"),
        ("pumps(\"P-1\".P_r", "unclosed-bracket"),
        ("2 * (3 kW + (1 kW)", "unclosed-bracket"),
        ("5 to 6 kW", "expected"),
        ("is 5 kW", "expected"),
        ("from 3 kW", "expected"),
        ("in 6", "expected"),
        ("3 kW by 2", "expected"),
        ("5 kW 6 kW = 3", "expected"),
    ] {
        for (values, at) in [(format!("{wrong} | 3 kW"), 0), (format!("3 kW | {wrong}"), 1)] {
            let line = format!("work x = {values} in kW : power \"What it takes\"  # as told");
            let text = format!("polepair 1\nsheet s\n  cases a | b\n  {line}\n");
            let book = read(&text);
            let Statement::Quantity(quantity) = &book.sheets[0].lines[1].statement else {
                panic!("{line}: {:?}", book.sheets[0].lines[1].statement);
            };
            assert_eq!(quantity.title.as_deref(), Some("What it takes"), "{line}");
            assert!(
                matches!(quantity.kind, Some(KindText::Kind(kind)) if kind.words() == "power"),
                "{line}"
            );
            let typed: Vec<&str> = quantity.values.iter().flatten().map(|value| &*value.text).collect();
            assert_eq!(typed[at], wrong, "{line}");
            assert_eq!(typed[1 - at], "3 kW", "{line}");
            let found = faults(&book);
            assert!(
                found.iter().all(|(number, _)| *number == 4) && found.iter().any(|(_, known)| known == code),
                "{line}: {found:?}"
            );
            assert_eq!(write(&book), text, "{line}");
        }
    }
    // What is right needs no mending, and what is no formula of a quantity stays a fault of its line.
    has("polepair 1\nsheet s\n  work x = 5 kW in kW : power \"(see\"\n", &[]);
    has("polepair 1\nsheet s\n  work = 5 to 6 kW\n", &[(3, "expected")]);
}

#[test]
fn clauses_and_lines_that_do_not_fit_are_faults() {
    let in_sheet = |lines: &str| format!("polepair 1\nsheet s\n{lines}\n");
    for (lines, code) in [
        ("work P = 2 kW in kW in hp", "clause-twice"),
        ("work P = 2 kW plate", "clause-misplaced"),
        ("given P = 2 kW such that P = 3", "clause-misplaced"),
        ("work P in kW", "clause-missing"),
        ("work P =", "clause-missing"),
        ("seek n in r/min", "clause-missing"),
        ("seek n such that n * 2", "clause-missing"),
        ("given P = 2 kW : shaft powr", "unknown-kind"),
        ("given P = 2 kW : shaft power kW", "unknown-kind"),
        ("work P = 2 kW to 0 digits", "rounding"),
        ("work P = 2 kW to 0", "rounding"),
        ("given P = 2 kW in kv", "unknown-unit"),
        ("given P 2 kW", "expected"),
        ("given = 2 kW", "expected"),
        ("given in = 2 kW", "expected"),
        ("given P = 2 kW | 3 kW", "case-count"),
        ("workbook \"x\"", "line-misplaced"),
        ("rows a | b", "line-misplaced"),
        ("polepair 1", "line-misplaced"),
        ("units metric", "expected"),
        ("given x = 1\nwork x = 2", "defined-twice"),
        ("cases a | b | a", "defined-twice"),
        ("given Ρ = 1 kW\ngiven P = 1 kW", "look-alike"),
        ("in kW", "unknown-statement"),
        ("x = 3", "unknown-statement"),
        ("🦀", "unknown-statement"),
        ("accept look-alik \"x\"", "unknown-code"),
        ("note \"a\\q\"", "text-escape"),
        ("curve T(n) in N·m through (1, 2, 3)", "expected"),
    ] {
        let text = in_sheet(lines);
        let found = faults(&read(&text));
        let codes: Vec<&str> = found.iter().map(|(_, code)| code.as_str()).collect();
        assert_eq!(codes, [code], "{lines}");
        stays(&text);
    }
    has("polepair 1\ngiven x = 1\n", &[(2, "line-misplaced")]);
    has("polepair 1\nsheet a\nsheet a\n", &[(3, "defined-twice")]);
}

#[test]
fn the_first_line_says_the_version() {
    has("", &[(1, "no-version")]);
    has("\n\n# nothing\n", &[(1, "no-version")]);
    has("workbook \"x\"\n", &[(1, "no-version")]);
    has("sheet s\n", &[(1, "no-version")]);
    has("polepair 2\n", &[(1, "other-version")]);
    has("polepair x\n", &[(1, "expected")]);
    has("# before\n\npolepair 1\n", &[]);
    has("\u{FEFF}polepair 1\r\nsheet s\r\n", &[]);
}

#[test]
fn rows_say_what_is_wrong_in_which_cell() {
    let list = |rows: &str| {
        format!(
            "polepair 1\nlist m\n  given tag : text\n  given P in kW : shaft power\n  given c : choice star, delta\n  rows tag | P | c\n{rows}\n"
        )
    };
    for (row, code) in [
        ("\"a\" | 2 kW", "cell-count"),
        ("\"a\" | 2 kW | star | 5", "cell-count"),
        ("12 | 2 kW | star", "cell-sort"),
        ("\"a\" | \"2 kW\" | star", "cell-sort"),
        ("\"a\" | 2 kW | stra", "cell-sort"),
        ("\"a\" | 2 kW | 7", "cell-sort"),
        ("\"a\" | 2 kv | star", "unknown-unit"),
        ("\"a\" | 1,5 kW | star", "number-form"),
        ("\"a\" | 2 kW/eta | star", "glued-to-unit"),
        ("\"a\" | 2 kW | star | \"", "cell-count"),
        ("\"a | 2 kW | star", "cell-count"),
    ] {
        let text = list(&format!("{row}\n\"fine\" | 3 kW | delta"));
        let found = faults(&read(&text));
        assert!(found.iter().all(|(line, _)| *line == 7), "{row}: {found:?}");
        assert!(found.iter().any(|(_, found)| found == code), "{row}: {found:?}");
        stays(&text);
    }
    has(
        &list("\"a\" | -2.50 kW | star # why\n | |\n| 2 in * 3 N | \"star\""),
        &[],
    );
    has(
        "polepair 1\nlist m\n  given tag : text\n  rows tga | tag | tag\n    \"a\" | \"b\" | \"c\"\n",
        &[(4, "defined-twice"), (4, "unknown-column")],
    );
    has(
        "polepair 1\nlist m\n  given tag : text\n  given f = 50 Hz\n  rows tag\n    \"a\"\n  at \"b\" f = 60 Hz\n  at row 2 f = 60 Hz\n  at \"a\" g = 60 Hz\n  at \"a\" f = 60 Hz\n",
        &[(7, "unknown-item"), (8, "unknown-item"), (9, "unknown-item")],
    );
}

#[test]
fn the_first_row_may_begin_with_a_blank_or_a_sign() {
    let text = "polepair 1\nlist m\n  given a in K\n  given b in K\n  rows a | b\n    | 2 K\n    -3 K | 4 K\n";
    let book = read(text);
    assert_eq!(faults(&book), []);
    let rows = book.sheets[0].rows.as_ref().expect("rows");
    assert_eq!((rows.columns.len(), rows.rows.len()), (2, 2));
    stays(text);
    stays("polepair 1\nlist m\n  given a in K\n  rows a\n    -3 K\n");
}

#[test]
fn a_faulty_row_keeps_its_indent() {
    stays("polepair 1\nlist m\n  given a in K\n  rows a\n  1,5 K\n       2,5 K\n    3 K\n");
}

#[test]
fn what_cannot_be_read_keeps_its_tabs() {
    // Byte for byte: tabs, no-break blanks and blanks mixed, of lines and of rows, trailing blanks too.
    stays("\tpolepair one\nsheet s\n\twork x = (1 +\n \t work y = 2 m + \u{A0}\n\u{A0}\u{A0}nonsense\t\n");
    stays("polepair 1\nlist m\n  given a in K\n  rows a\n\t1,5 K\n  \t  2,5 K \t\n    3 K\n");
    // A line mended since goes to the indent of all.
    let text = "polepair 1\nsheet s\n\twork x = 1 m\n";
    assert_eq!(write(&read(text)), "polepair 1\nsheet s\n  work x = 1 m\n");
}

#[test]
fn comments_below_an_open_bracket_are_their_own() {
    // Only where the formula goes on behind them are they part of it.
    let text = "polepair 1\nsheet s\n  work x = (1 +\n\n# the yard\nlist m\n  given a in K\n";
    let book = read(text);
    assert_eq!(&*book.sheets[0].lines[0].text, "work x = (1 +");
    assert_eq!(&*book.sheets[1].opening.before, "\n# the yard\n");
    let text = "polepair 1\nsheet s\n  work x = (1 +\n    # one more\n    2)\n";
    assert_eq!(faults(&read(text)), []);
    stays(text);
}

#[test]
fn numbers_of_cells_keep_their_digits() {
    let text = "polepair 1\nlist m\n  given P in kW\n  rows P\n    1.10 kW\n    -0.50 kW\n    7 rpm\n    12345678901234567890 kW\n    5%\n    |\n";
    let book = read(text);
    assert_eq!(faults(&book), []);
    let written = write(&book);
    assert!(
        written.ends_with("    1.10 kW\n    -0.50 kW\n    7 r/min\n    12345678901234567890 kW\n    5 %\n    |\n"),
        "{written}"
    );
    stays(text);
}

#[test]
fn bytes_that_are_no_text_are_named() {
    for (bytes, words) in [
        (&b"polepair 1\nnote \"\xFF\"\n"[..], "line 2"),
        (&b"PK\x03\x04\x14\x00\x00\xFF"[..], "import"),
        (&b"\xFF\xFEp\0o\0"[..], "UTF-16"),
        (&b"polepair 1\n\0\0\0"[..], "line 2"),
    ] {
        let book = read_bytes(bytes);
        assert_eq!(faults(&book), [(book.head[0].number, "not-text".to_owned())]);
        let fault = &book.head[0].faults[0];
        let said = format!("{} {}", fault.message, fault.help.clone().unwrap());
        assert!(said.contains(words), "{said}");
    }
    assert_eq!(faults(&read_bytes("polepair 1\nsheet η\n".as_bytes())), []);
}

#[test]
fn long_and_deep_lines_are_faults_and_the_rest_lives() {
    let long = "a".repeat(1 << 20);
    let deep = "(".repeat(100_000);
    for line in [
        long.clone(),
        format!("work x = {long}"),
        format!("work x = {deep}"),
        format!("work x = 2{}", "^2".repeat(500_000)),
        format!("note \"{long}"),
        format!("given x = 1 : {long}"),
        format!("given {long}"),
        format!("cases {deep}"),
    ] {
        let start: String = line.chars().take(20).collect();
        let text = format!("polepair 1\nsheet s\n{line}\nwork y = 3 kW\n");
        let book = read(&text);
        assert!(faults(&book).iter().all(|(number, _)| *number == 3), "{start}");
        assert!(!faults(&book).is_empty(), "{start}");
        assert_eq!(book.sheets[0].lines.len(), 2, "{start}");
        assert_eq!(write(&book), text.replace("\nwork y", "\n  work y"), "{start}");
    }
    let row = format!("polepair 1\nlist m\ngiven t : text\nrows t\n{deep}\n\"b\"\n");
    assert_eq!(faults(&read(&row)), [(5, "too-long".to_owned())]);
}

#[test]
fn comments_between_clauses_are_kept() {
    let text = "polepair 1\nsheet s\n  work P = 2 kW # two\n    + 3 kW # three\n    in kW\n";
    // The last line does not go on with an operator.
    has(text, &[(5, "unknown-statement")]);
    let text = "polepair 1\nsheet s\n  work P = (2 kW # two\n    + 3 kW) in kW # five\n";
    has(text, &[]);
    assert_eq!(write(&read(text)), text.replace("kW # five", "kW  # five"));
}
