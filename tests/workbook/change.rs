//! Changes: what they make of the text, and that taking one back gives the same text again.

use std::sync::Arc;

use polepair::fault::Fault;
use polepair::workbook::change::{Change, Clause, Place, Reach, apply, retyped};
use polepair::workbook::text::{read, write};
use polepair::workbook::{Cell, Workbook};
use proptest::prelude::*;

use crate::reading::faults;

/// The scenario is invented.
const YARD: &str = r#"polepair 1
workbook "Crane yard"
define rim(D : diameter, n : shaft speed) = pi * D * n / (1 rev)

sheet hoist "Hoist"
  cases slow | fast
  given Q = 2000 kg | 1200 kg : mass "Load"  # with hook
  given v = 8 m/min | 16 m/min
  given eta = 85 % : efficiency assumed
  work P = Q * g_n * v / (eta) in kW : shaft power
  work half = motors("M-1").P_r / 2 + sum(P_r for motors where n > here.v / (1 m) * 1 r/min)
  curve T(n : shaft speed) in N·m = P / n
  work E = integral(T(n) for n from 1 r/min to 2 r/min)
  seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min
  check P < 10 kW "small drive"
  plot T for n from 0 r/min to 1500 r/min

# the yard
list motors "Motors"
  given tag : text
  given P_r in kW : rated power
  given n in r/min : shaft speed
  given f = 50 Hz : frequency
  work load = hoist("slow").P / P_r in %
  work before = motors(row 2).P_r
  rows tag | P_r | n
    "M-1" | 5.5 kW     | 1450 r/min
    "M-2" | 2 * 1.1 kW | 1430 r/min  # twin
    "M-3" |            | n_x
  at "M-2" f = 60 Hz
  at row 3 f = hoist("fast").P * 1 Hz / (1 kW)

list groups_of_n = groups of motors by n
  work N = count(motors where P_r > 1 kW)
# end
"#;

fn name(text: &str) -> Arc<str> {
    Arc::from(text)
}

/// Applies a change, gives the text after it; taking it back must give the text before it.
#[track_caller]
fn after(book: &mut Workbook, change: &Change) -> Result<String, Fault> {
    let before = write(book);
    let before_faults = codes(book);
    match apply(book, change) {
        Ok(back) => {
            let text = write(book);
            let fresh = read(&text);
            assert_eq!(write(&fresh), text, "{change:?} is read differently");
            assert_eq!(
                codes(&fresh),
                codes(book),
                "{change:?} leaves other faults than reading finds"
            );
            let again = apply(book, &back).unwrap_or_else(|fault| panic!("{change:?}: {fault:?}"));
            assert_eq!(write(book), before, "{change:?} not taken back");
            assert_eq!(codes(book), before_faults, "{change:?} not taken back");
            apply(book, &again).unwrap_or_else(|fault| panic!("{change:?}: {fault:?}"));
            assert_eq!(write(book), text, "{change:?} not done again");
            Ok(text)
        }
        Err(fault) => {
            assert_eq!(write(book), before, "{change:?} refused but done");
            assert_eq!(codes(book), before_faults);
            Err(fault)
        }
    }
}

fn codes(book: &Workbook) -> Vec<String> {
    let mut codes: Vec<String> = faults(book).into_iter().map(|(_, code)| code).collect();
    codes.sort();
    codes
}

/// The lines that a change makes different: gone, and new.
#[track_caller]
fn changed(change: Change) -> (Vec<String>, Vec<String>) {
    let mut book = read(YARD);
    let old = write(&book);
    let new = after(&mut book, &change).unwrap_or_else(|fault| panic!("{fault:?}"));
    let lines = |text: &str, other: &str| -> Vec<String> {
        let mut rest: Vec<&str> = other.lines().collect();
        text.lines()
            .filter(|line| match rest.iter().position(|held| held == line) {
                Some(at) => {
                    rest.remove(at);
                    false
                }
                None => true,
            })
            .map(|line| line.trim().to_owned())
            .collect()
    };
    (lines(&old, &new), lines(&new, &old))
}

#[track_caller]
fn makes(change: Change, gone: &[&str], new: &[&str]) {
    let (found_gone, found_new) = changed(change);
    assert_eq!(found_gone, gone);
    assert_eq!(found_new, new);
}

#[track_caller]
fn refuses(change: Change, words: &str) {
    let mut book = read(YARD);
    let fault = after(&mut book, &change).expect_err("refused");
    let said = format!("{} {}", fault.message, fault.help.unwrap_or_default());
    assert!(said.contains(words), "{said}");
}

#[test]
fn the_yard_is_canonical() {
    assert_eq!(write(&read(YARD)), YARD);
    assert_eq!(codes(&read(YARD)), Vec::<String>::new());
}

#[test]
fn a_comment_right_after_a_value_stays_behind_it() {
    let mut book = read("polepair 1\nsheet a\n  cases x | y\n  given b = 90 % | # guessed | here\n  given c # open\n");
    let set = |quantity: &str, case, text: &str| Change::SetValue {
        sheet: name("a"),
        quantity: name(quantity),
        case,
        text: text.into(),
    };
    let title = Change::SetClause {
        sheet: name("a"),
        quantity: name("b"),
        clause: Clause::Title,
        text: name("\"Efficiency\""),
    };
    let _ = after(&mut book, &set("b", Some(0), "91 %")).unwrap();
    let _ = after(&mut book, &set("c", None, "7")).unwrap();
    let made = after(&mut book, &title).unwrap();
    assert!(
        made.contains("given b \"Efficiency\" = 91 % |  # guessed | here"),
        "{made}"
    );
    assert!(made.contains("given c = 7  # open"), "{made}");
}

#[test]
fn cells_are_read_again_where_their_column_becomes_one_of_texts() {
    let mut book = read("polepair 1\nlist a\n  given x : number\n  rows x\n    15\n");
    let kind = |text: &str| Change::SetClause {
        sheet: name("a"),
        quantity: name("x"),
        clause: Clause::Kind,
        text: text.into(),
    };
    let _ = after(&mut book, &kind(": text")).unwrap();
    assert_eq!(codes(&book), ["cell-sort"]);
    let _ = after(&mut book, &kind(": number")).unwrap();
    assert_eq!(codes(&book), Vec::<String>::new());
}

#[test]
fn many_rows_go_at_once() {
    let text = "polepair 1\nlist a\n  given P in kW\n  work Q = a(row 4).P\n  rows P\n    1 kW\n    2 kW\n    3 kW\n    4 kW\n";
    let mut book = read(text);
    let gone = |rows: &[usize]| Change::DeleteRows {
        list: name("a"),
        rows: rows.to_vec(),
    };
    let made = after(&mut book, &gone(&[0, 2])).unwrap();
    assert!(
        made.ends_with("work Q = a(row 2).P\n  rows P\n    2 kW\n    4 kW\n"),
        "{made}"
    );
    // A row that is read by its number stays.
    assert!(after(&mut read(text), &gone(&[1, 3])).is_err());
    assert!(after(&mut read(text), &gone(&[2, 1])).is_err());
    assert!(after(&mut read(text), &gone(&[7])).is_err());
}

/// What names a row by its tag goes on naming the same row: by the new tag, by its number where two rows have that. All data invented.
#[test]
fn what_names_a_row_by_its_tag_follows_it() {
    let text = "polepair 1\nlist a\n  given tag : text\n  given f = 50 Hz\n  given P in kW\n  rows tag | P\n    \"x\" | 1 kW\n    \"y\" | 2 kW\n    \"z\" | 3 kW\n  at \"y\" f = 60 Hz\nsheet s\n  work Q = a(\"y\").P\n";
    let tag = |row: usize, text: &str| Change::SetCell {
        list: name("a"),
        row,
        quantity: name("tag"),
        text: text.into(),
    };
    let one = |change: Change, at: &str, asked: &str| {
        let mut book = read(text);
        let made = after(&mut book, &change).unwrap();
        assert!(made.contains(&format!("  at {at} f = 60 Hz\n")), "{made}");
        assert!(made.contains(&format!("Q = a({asked}).P\n")), "{made}");
        assert_eq!(codes(&book), Vec::<String>::new());
    };
    one(tag(1, "\"w\""), "\"w\"", "\"w\"");
    one(tag(0, "\"w\""), "\"y\"", "\"y\"");
    one(tag(1, ""), "row 2", "row 2");
    // Another row gets the same tag: which was meant before is meant still.
    one(tag(2, "\"y\""), "row 2", "row 2");
    one(tag(1, "\"z\""), "row 2", "row 2");
    // Two rows change their tags in one step.
    let both = Change::Several(vec![tag(1, "\"x\""), tag(0, "\"y\"")]);
    one(both, "row 2", "row 2");
}

/// Lines of a row go with it, those of later rows follow; a row that a formula reads stays. All data invented.
#[test]
fn lines_of_rows_go_with_them() {
    let text = "polepair 1\nlist a\n  given tag : text\n  given f = 50 Hz\n  given P in kW\n  rows tag | P\n    \"x\" | 1 kW\n    \"y\" | 2 kW\n    \"y\" | 3 kW\n    \"z\" | 4 kW\n  at row 2 f = 60 Hz\n  at row 3 f = 55 Hz\n  at \"x\" f = 40 Hz\n  at \"z\" f = 45 Hz\n";
    let gone = |rows: &[usize]| {
        let mut book = read(text);
        let change = Change::DeleteRows {
            list: name("a"),
            rows: rows.to_vec(),
        };
        let made = after(&mut book, &change).unwrap();
        assert_eq!(codes(&book), Vec::<String>::new());
        let lines = made.lines().filter_map(|line| line.trim().strip_prefix("at "));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(gone(&[1]), ["row 2 f = 55 Hz", "\"x\" f = 40 Hz", "\"z\" f = 45 Hz"]);
    assert_eq!(gone(&[0, 2]), ["row 1 f = 60 Hz", "\"z\" f = 45 Hz"]);
    assert_eq!(gone(&[0, 1, 2, 3]), Vec::<String>::new());
    let mut book = read(&format!("{text}sheet s\n  work Q = a(row 2).P\n"));
    let change = Change::DeleteRow {
        list: name("a"),
        row: 1,
    };
    assert!(after(&mut book, &change).is_err());
}

#[test]
fn a_row_that_cannot_be_read_gets_the_cell_of_a_new_column_too() {
    let mut book = read(
        "polepair 1\nlist m\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"A\" | 5 to\n    \"B\" | 2 kW\n",
    );
    let column = Change::InsertColumn {
        list: name("m"),
        at: 1,
        name: name("area"),
        cells: vec![Cell::Text(name("north")), Cell::Text(name("mill"))],
    };
    let text = after(&mut book, &column).expect("fits");
    assert!(text.contains("\"A\" | \"north\" | 5 to"), "{text}");
    assert!(text.contains("\"B\" | \"mill\" | 2 kW"), "{text}");
}

/// A list whose columns no line names gets that line with the first of them, behind its other lines.
#[test]
fn a_first_column_brings_the_line_that_names_it() {
    let bare = "polepair 1\nlist m\n  given tag : text\n  given P in kW\n  check P > 1 kW\n";
    let column = |at, column: &str| Change::InsertColumn {
        list: name("m"),
        at,
        name: name(column),
        cells: Vec::new(),
    };
    let mut book = read(bare);
    let text = after(&mut book, &column(0, "tag")).expect("fits");
    assert_eq!(text, format!("{bare}  rows tag\n"));
    let row = Change::InsertRow {
        list: name("m"),
        at: 0,
        text: "\"A\" | 2 kW".into(),
    };
    let mut book = read(bare);
    let all = Change::Several(vec![column(0, "tag"), column(1, "P"), row]);
    let text = after(&mut book, &all).expect("fits");
    assert_eq!(text, format!("{bare}  rows tag | P\n    \"A\" | 2 kW\n"));
    assert!(after(&mut read(bare), &column(1, "P")).is_err());
    assert!(after(&mut read(bare), &column(0, "a | b")).is_err());
}

#[test]
fn columns_that_do_not_fit_are_refused() {
    let insert = |list: &str, at, column: &str| Change::InsertColumn {
        list: name(list),
        at,
        name: name(column),
        cells: Vec::new(),
    };
    let delete = |list: &str, column: &str| Change::DeleteColumn {
        list: name(list),
        name: name(column),
    };
    refuses(insert("motors", 1, "P_r"), "column of this list already");
    refuses(insert("motors", 9, "f"), "no column 10");
    refuses(insert("motors", 0, "a | b"), "name of a column");
    refuses(insert("hoist", 0, "f"), "worked sheet");
    refuses(insert("groups_of_n", 0, "f"), "has no rows");
    refuses(delete("motors", "f"), "no column");
    let one = "polepair 1\nlist a\n  given P in kW\n  rows P\n    1 kW\n";
    assert!(apply(&mut read(one), &delete("a", "P")).is_err());
}

#[test]
fn values_are_set_for_all_cases_or_one() {
    let set = |quantity: &str, case: Option<usize>, text: &str| Change::SetValue {
        sheet: name("hoist"),
        quantity: name(quantity),
        case,
        text: name(text),
    };
    makes(
        set("Q", Some(1), "1300 kg"),
        &["given Q = 2000 kg | 1200 kg : mass \"Load\"  # with hook"],
        &["given Q = 2000 kg | 1300 kg : mass \"Load\"  # with hook"],
    );
    makes(
        set("eta", Some(0), "80 %"),
        &["given eta = 85 % : efficiency assumed"],
        &["given eta = 80 % | 85 % : efficiency assumed"],
    );
    makes(
        set("v", None, "8 m/min"),
        &["given v = 8 m/min | 16 m/min"],
        &["given v = 8 m/min"],
    );
    makes(
        set("v", Some(0), ""),
        &["given v = 8 m/min | 16 m/min"],
        &["given v = | 16 m/min"],
    );
    makes(
        set("eta", None, ""),
        &["given eta = 85 % : efficiency assumed"],
        &["given eta : efficiency assumed"],
    );
    // A wrong formula is kept with its fault.
    let mut book = read(YARD);
    after(&mut book, &set("eta", None, "1,5 %")).unwrap();
    assert_eq!(codes(&book), ["number-form"]);
    after(&mut book, &set("eta", None, "85 %")).unwrap();
    assert_eq!(write(&book), YARD);
    refuses(
        set("Q", None, "1 kg : mass"),
        "`: mass` is no part of a value: behind one it is read as the kind",
    );
    refuses(
        set("Q", Some(1), "5 to 6"),
        "`to 6` is no part of a value: behind one it is read as how it is rounded",
    );
    refuses(set("Q", Some(0), "1 kg | 2 kg"), "`|` parts the values of cases");
    refuses(
        set("eta", None, "85 % plate"),
        "`plate` is no part of a value: behind one it is read as the source",
    );
    refuses(
        set("eta", None, "85 % \"as told\""),
        "`\"as told\"` is no part of a value: behind one it is read as the label",
    );
    refuses(set("Q", Some(2), "1 kg"), "no case 3");
    refuses(set("R", None, "1 kg"), "no quantity");
}

#[test]
fn cells_are_set_in_columns_and_in_lines_of_their_own() {
    let set = |row: usize, quantity: &str, text: &str| Change::SetCell {
        list: name("motors"),
        row,
        quantity: name(quantity),
        text: name(text),
    };
    makes(
        set(1, "P_r", "2.2 kW"),
        &[
            "\"M-1\" | 5.5 kW     | 1450 r/min",
            "\"M-2\" | 2 * 1.1 kW | 1430 r/min  # twin",
            "\"M-3\" |            | n_x",
        ],
        &[
            "\"M-1\" | 5.5 kW | 1450 r/min",
            "\"M-2\" | 2.2 kW | 1430 r/min  # twin",
            "\"M-3\" |        | n_x",
        ],
    );
    makes(set(0, "f", "60 Hz"), &[], &["at \"M-1\" f = 60 Hz"]);
    makes(
        set(1, "f", "70 Hz"),
        &["at \"M-2\" f = 60 Hz"],
        &["at \"M-2\" f = 70 Hz"],
    );
    makes(set(1, "f", ""), &["at \"M-2\" f = 60 Hz"], &[]);
    refuses(set(7, "P_r", "1 kW"), "no row 8");
    refuses(set(0, "P_r", "1 kW | 2 kW"), "one cell");
    let mut book = read(YARD);
    after(&mut book, &set(0, "n", "14,5 r/min")).unwrap();
    assert_eq!(codes(&book), ["number-form"]);
    after(&mut book, &set(0, "n", "1450 r/min")).unwrap();
    assert_eq!(write(&book), YARD);
}

#[test]
fn a_name_is_changed_wherever_it_is_read() {
    let rename = |sheet: Option<&str>, from: &str, to: &str| Change::Rename {
        sheet: sheet.map(name),
        from: name(from),
        to: name(to),
    };
    makes(
        rename(Some("hoist"), "P", "P_shaft"),
        &[
            "work P = Q * g_n * v / (eta) in kW : shaft power",
            "curve T(n : shaft speed) in N·m = P / n",
            "check P < 10 kW \"small drive\"",
            "work load = hoist(\"slow\").P / P_r in %",
            "at row 3 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
        &[
            "work P_shaft = Q * g_n * v / (eta) in kW : shaft power",
            "curve T(n : shaft speed) in N·m = P_shaft / n",
            "check P_shaft < 10 kW \"small drive\"",
            "work load = hoist(\"slow\").P_shaft / P_r in %",
            "at row 3 f = hoist(\"fast\").P_shaft * 1 Hz / (1 kW)",
        ],
    );
    // A name in brackets, and a name that only looks alike.
    makes(
        rename(Some("hoist"), "eta", "η"),
        &[
            "given eta = 85 % : efficiency assumed",
            "work P = Q * g_n * v / (eta) in kW : shaft power",
        ],
        &[
            "given η = 85 % : efficiency assumed",
            "work P = Q * g_n * v / (η) in kW : shaft power",
        ],
    );
    // In an aggregate names mean the list's; the variable of a curve, an integral and a plot is its own.
    makes(
        rename(Some("motors"), "n", "n_m"),
        &[
            "work half = motors(\"M-1\").P_r / 2 + sum(P_r for motors where n > here.v / (1 m) * 1 r/min)",
            "given n in r/min : shaft speed",
            "rows tag | P_r | n",
            "list groups_of_n = groups of motors by n",
        ],
        &[
            "work half = motors(\"M-1\").P_r / 2 + sum(P_r for motors where n_m > here.v / (1 m) * 1 r/min)",
            "given n_m in r/min : shaft speed",
            "rows tag | P_r | n_m",
            "list groups_of_n = groups of motors by n_m",
        ],
    );
    makes(
        rename(Some("hoist"), "n", "n_0"),
        &["seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min"],
        &["seek n_0 such that T(n_0) = 40 N·m between 0 r/min and 1500 r/min"],
    );
    makes(
        rename(Some("hoist"), "T", "T_L"),
        &[
            "curve T(n : shaft speed) in N·m = P / n",
            "work E = integral(T(n) for n from 1 r/min to 2 r/min)",
            "seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min",
            "plot T for n from 0 r/min to 1500 r/min",
        ],
        &[
            "curve T_L(n : shaft speed) in N·m = P / n",
            "work E = integral(T_L(n) for n from 1 r/min to 2 r/min)",
            "seek n such that T_L(n) = 40 N·m between 0 r/min and 1500 r/min",
            "plot T_L for n from 0 r/min to 1500 r/min",
        ],
    );
    makes(
        rename(Some("motors"), "f", "f_s"),
        &[
            "given f = 50 Hz : frequency",
            "at \"M-2\" f = 60 Hz",
            "at row 3 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
        &[
            "given f_s = 50 Hz : frequency",
            "at \"M-2\" f_s = 60 Hz",
            "at row 3 f_s = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
    );
    makes(
        rename(None, "rim", "rim_speed"),
        &["define rim(D : diameter, n : shaft speed) = pi * D * n / (1 rev)"],
        &["define rim_speed(D : diameter, n : shaft speed) = pi * D * n / (1 rev)"],
    );
    refuses(rename(Some("hoist"), "P", "Q"), "taken");
    refuses(rename(Some("hoist"), "P", "in"), "a word of the language");
    refuses(rename(Some("hoist"), "P", "2x"), "begins with `2`");
    refuses(rename(Some("hoist"), "X", "Y"), "no `X`");
}

/// A new name that means something else where the old one is read would change the value without a word.
#[test]
fn a_name_that_means_something_else_there_is_not_taken() {
    let text = r#"polepair 1
curve share(x : shaft speed) = x / (1500 r/min)
sheet pump "Pump"
  given n = 1465 r/min
  given T = 97 N·m
  curve T_L(n_x : shaft speed) in N·m = T * (n_x / n)^2
  work whole = integral(T * u for u from 1 to 2)
  work heavy = count(motors where P_r > T * n)
  work s = share(n)
  work big = largest(P_r for motors where tag = "M-1")
  plot T_L(z) + T for z from 0 r/min to 1500 r/min

list motors "Motors"
  given tag : text
  given P_r in kW : rated power
  rows tag | P_r
    "M-1" | 5.5 kW
"#;
    let refused = |from: &str, to: &str| {
        let mut book = read(text);
        let made = apply(
            &mut book,
            &Change::Rename {
                sheet: Some(name("pump")),
                from: name(from),
                to: name(to),
            },
        );
        assert_eq!(made.is_err(), write(&book) == text, "{from} to {to}");
        made.err().map(|fault| fault.message.to_string())
    };
    for (from, to, said) in [
        // The variable of a curve, of an integral, of a plot; a column of the list, which is told as a fault where it is read as well.
        (
            "n",
            "n_x",
            "`T * (n_x / n)^2` reads `n`, and `n_x` means something else there",
        ),
        ("T", "u", "`integral(T * u for u from 1 to 2)` reads `T`"),
        ("T", "z", "reads `T`, and `z` means something else there"),
        (
            "n",
            "P_r",
            "`count(motors where P_r > T * n)` reads the `P_r` of another list",
        ),
        (
            "heavy",
            "tag",
            "`largest(P_r for motors where tag = \"M-1\")` reads the `tag` of another list",
        ),
        // What the head calls so would be the pump's.
        ("T", "share", "`share(n)` reads another `share` already"),
    ] {
        let told = refused(from, to);
        assert!(
            told.as_deref().is_some_and(|told| told.contains(said)),
            "{from} to {to}: {told:?}"
        );
    }
    for (from, to) in [("n", "n_2"), ("n", "u"), ("whole", "n_x"), ("heavy", "load")] {
        assert_eq!(refused(from, to), None, "{from} to {to}");
    }
}

#[test]
fn a_line_typed_anew_under_another_name_is_renamed() {
    let place = Place::Line(0, 6);
    let was = "curve T(n : shaft speed) in N·m = P / n";
    let hoist = name("hoist");
    let typed = |text: &str| Change::Several(retyped(Some(&hoist), place, was, text));
    makes(
        typed("curve T_L(n : shaft speed) in N·m = 2 * P / n"),
        &[
            "curve T(n : shaft speed) in N·m = P / n",
            "work E = integral(T(n) for n from 1 r/min to 2 r/min)",
            "seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min",
            "plot T for n from 0 r/min to 1500 r/min",
        ],
        &[
            "curve T_L(n : shaft speed) in N·m = 2 * P / n",
            "work E = integral(T_L(n) for n from 1 r/min to 2 r/min)",
            "seek n such that T_L(n) = 40 N·m between 0 r/min and 1500 r/min",
            "plot T_L for n from 0 r/min to 1500 r/min",
        ],
    );
    // Under its own name, or as what has no name, it is the line alone.
    makes(
        typed("curve T(n : shaft speed) in N·m = 2 * P / n"),
        &[was],
        &["curve T(n : shaft speed) in N·m = 2 * P / n"],
    );
    makes(typed("note \"no curve\""), &[was], &["note \"no curve\""]);
    refuses(typed("curve E(n : shaft speed) in N·m = P / n"), "taken");
}

#[test]
fn sheets_cases_and_rows_are_followed() {
    makes(
        Change::RenameSheet {
            from: name("motors"),
            to: name("drives"),
        },
        &[
            "work half = motors(\"M-1\").P_r / 2 + sum(P_r for motors where n > here.v / (1 m) * 1 r/min)",
            "list motors \"Motors\"",
            "work before = motors(row 2).P_r",
            "list groups_of_n = groups of motors by n",
            "work N = count(motors where P_r > 1 kW)",
        ],
        &[
            "work half = drives(\"M-1\").P_r / 2 + sum(P_r for drives where n > here.v / (1 m) * 1 r/min)",
            "list drives \"Motors\"",
            "work before = drives(row 2).P_r",
            "list groups_of_n = groups of drives by n",
            "work N = count(drives where P_r > 1 kW)",
        ],
    );
    makes(
        Change::RenameCase {
            sheet: name("hoist"),
            case: 0,
            to: name("creep \"1\""),
        },
        &["cases slow | fast", "work load = hoist(\"slow\").P / P_r in %"],
        &[
            "cases \"creep \\\"1\\\"\" | fast",
            "work load = hoist(\"creep \\\"1\\\"\").P / P_r in %",
        ],
    );
    makes(
        Change::InsertCase {
            sheet: name("hoist"),
            at: 1,
            name: name("mid"),
        },
        &[
            "cases slow | fast",
            "given Q = 2000 kg | 1200 kg : mass \"Load\"  # with hook",
            "given v = 8 m/min | 16 m/min",
        ],
        &[
            "cases slow | mid | fast",
            "given Q = 2000 kg | | 1200 kg : mass \"Load\"  # with hook",
            "given v = 8 m/min | | 16 m/min",
        ],
    );
    makes(
        Change::DeleteCase {
            sheet: name("hoist"),
            case: 0,
        },
        &[
            "cases slow | fast",
            "given Q = 2000 kg | 1200 kg : mass \"Load\"  # with hook",
            "given v = 8 m/min | 16 m/min",
        ],
        &[
            "cases fast",
            "given Q = 1200 kg : mass \"Load\"  # with hook",
            "given v = 16 m/min",
        ],
    );
    makes(
        Change::MoveCase {
            sheet: name("hoist"),
            case: 0,
            to: 1,
        },
        &[
            "cases slow | fast",
            "given Q = 2000 kg | 1200 kg : mass \"Load\"  # with hook",
            "given v = 8 m/min | 16 m/min",
        ],
        &[
            "cases fast | slow",
            "given Q = 1200 kg | 2000 kg : mass \"Load\"  # with hook",
            "given v = 16 m/min | 8 m/min",
        ],
    );
    makes(
        Change::InsertColumn {
            list: name("motors"),
            at: 2,
            name: name("f"),
            cells: Vec::new(),
        },
        &[
            "rows tag | P_r | n",
            "\"M-1\" | 5.5 kW     | 1450 r/min",
            "\"M-2\" | 2 * 1.1 kW | 1430 r/min  # twin",
            "\"M-3\" |            | n_x",
        ],
        &[
            "rows tag | P_r | f | n",
            "\"M-1\" | 5.5 kW     |  | 1450 r/min",
            "\"M-2\" | 2 * 1.1 kW |  | 1430 r/min  # twin",
            "\"M-3\" |            |  | n_x",
        ],
    );
    makes(
        Change::InsertColumn {
            list: name("motors"),
            at: 3,
            name: name("area"),
            cells: vec![Cell::Text(name("north")), Cell::Blank],
        },
        &[
            "rows tag | P_r | n",
            "\"M-1\" | 5.5 kW     | 1450 r/min",
            "\"M-2\" | 2 * 1.1 kW | 1430 r/min  # twin",
            "\"M-3\" |            | n_x",
        ],
        &[
            "rows tag | P_r | n | area",
            "\"M-1\" | 5.5 kW     | 1450 r/min | \"north\"",
            "\"M-2\" | 2 * 1.1 kW | 1430 r/min |  # twin",
            "\"M-3\" |            | n_x        |",
        ],
    );
    makes(
        Change::DeleteColumn {
            list: name("motors"),
            name: name("P_r"),
        },
        &[
            "rows tag | P_r | n",
            "\"M-1\" | 5.5 kW     | 1450 r/min",
            "\"M-2\" | 2 * 1.1 kW | 1430 r/min  # twin",
            "\"M-3\" |            | n_x",
        ],
        &[
            "rows tag | n",
            "\"M-1\" | 1450 r/min",
            "\"M-2\" | 1430 r/min  # twin",
            "\"M-3\" | n_x",
        ],
    );
    makes(
        Change::SetClause {
            sheet: name("hoist"),
            quantity: name("Q"),
            clause: Clause::Source,
            text: name("measured"),
        },
        &["given Q = 2000 kg | 1200 kg : mass \"Load\"  # with hook"],
        &["given Q = 2000 kg | 1200 kg : mass \"Load\" measured  # with hook"],
    );
    makes(
        Change::InsertRow {
            list: name("motors"),
            at: 1,
            text: name("\"M-9\"|3 kW|2900 rpm"),
        },
        &[
            "work before = motors(row 2).P_r",
            "at row 3 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
        &[
            "work before = motors(row 3).P_r",
            "\"M-9\" | 3 kW       | 2900 r/min",
            "at row 4 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
    );
    makes(
        Change::MoveRow {
            list: name("motors"),
            row: 2,
            to: 0,
        },
        &[
            "work before = motors(row 2).P_r",
            "at row 3 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
        &[
            "work before = motors(row 3).P_r",
            "at row 1 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
    );
    makes(
        Change::DeleteRow {
            list: name("motors"),
            row: 0,
        },
        &[
            "work before = motors(row 2).P_r",
            "\"M-1\" | 5.5 kW     | 1450 r/min",
            "at row 3 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
        &[
            "work before = motors(row 1).P_r",
            "at row 2 f = hoist(\"fast\").P * 1 Hz / (1 kW)",
        ],
    );
    refuses(
        Change::DeleteRow {
            list: name("motors"),
            row: 1,
        },
        "read by its number",
    );
}

#[test]
fn lines_sheets_and_titles_come_and_go() {
    makes(
        Change::InsertLine {
            place: Place::Line(0, 4),
            before: name("# drum\n"),
            text: name("given D=300 mm:diameter"),
        },
        &[],
        &["# drum", "given D = 300 mm : diameter"],
    );
    makes(
        Change::DeleteLine {
            place: Place::Line(0, 8),
        },
        &["seek n such that T(n) = 40 N·m between 0 r/min and 1500 r/min"],
        &[],
    );
    makes(
        Change::SetTitle {
            sheet: Some(name("hoist")),
            title: name("Main \"hoist\""),
        },
        &["sheet hoist \"Hoist\""],
        &["sheet hoist \"Main \\\"hoist\\\"\""],
    );
    makes(
        Change::SetTitle {
            sheet: None,
            title: name("Yard"),
        },
        &["workbook \"Crane yard\""],
        &["workbook \"Yard\""],
    );
    makes(
        Change::InsertSheet {
            at: 1,
            text: name("sheet slew \"Slewing\"\n  given J = 3 kg·m²"),
        },
        &[],
        &["sheet slew \"Slewing\"", "given J = 3 kg·m²"],
    );
    makes(
        Change::DeleteSheet {
            sheet: name("groups_of_n"),
        },
        &[
            "",
            "list groups_of_n = groups of motors by n",
            "work N = count(motors where P_r > 1 kW)",
        ],
        &[],
    );
    makes(
        Change::MoveSheet {
            sheet: name("motors"),
            to: 0,
        },
        &[],
        &[],
    );
    refuses(
        Change::SetLine {
            place: Place::Line(0, 1),
            text: name("given Q = 1 kg\ngiven R = 2 kg"),
        },
        "more than one line",
    );
    refuses(
        Change::SetLine {
            place: Place::Line(0, 1),
            text: name("gibt Q = 1 kg"),
        },
        "cannot begin",
    );
    refuses(
        Change::InsertSheet {
            at: 0,
            text: name("sheet hoist"),
        },
        "there already",
    );
    refuses(
        Change::DeleteLine {
            place: Place::Line(1, 6),
        },
        "rows",
    );
}

#[test]
fn the_reach_of_a_change_is_told_before() {
    let book = read(YARD);
    let value = Change::SetValue {
        sheet: name("hoist"),
        quantity: name("eta"),
        case: None,
        text: name("1"),
    };
    assert_eq!(value.reach(&book), Reach::Line(Some(0), 3));
    let cell = |quantity: &str| Change::SetCell {
        list: name("motors"),
        row: 2,
        quantity: name(quantity),
        text: name("1"),
    };
    assert_eq!(cell("n").reach(&book), Reach::Row(1, 2));
    assert_eq!(cell("f").reach(&book), Reach::All);
}

/// Any change of the kinds there are, fitting or not.
fn any_change() -> impl Strategy<Value = Change> {
    let sheet = prop::sample::select(vec!["hoist", "motors", "groups_of_n", "nowhere"]).prop_map(name);
    let quantity =
        prop::sample::select(vec!["Q", "v", "eta", "P", "n", "T", "tag", "P_r", "f", "load", "x"]).prop_map(name);
    let new_name = prop::sample::select(vec!["Q", "n", "x", "y_1", "in", "P_r", "η", "hoist"]).prop_map(name);
    let text = prop::sample::select(vec![
        "1 kW",
        "",
        "2 * P",
        "1,5",
        "\"a\"",
        "\"M-2\"",
        "(1",
        "a | b",
        "# c",
        "n in rpm",
        "|",
        "star",
        "a when b, otherwise c",
        "note",
    ])
    .prop_map(name);
    let line = prop::sample::select(vec![
        "given x = 1 kW",
        "work Q = P * 2",
        "given z=15kW|3kW: power",
        "cases a | b | c",
        "check x > 1 # why",
        "work broken = (1 +",
        "note \"n\"",
        "at \"M-2\" f = 3 Hz",
        "at row 9 P_r = 3 kW",
        "polepair 1",
        "rows a | b",
        "sheet s",
        "nonsense",
        "work long = 1\n  + 2",
    ])
    .prop_map(name);
    let comment = prop::sample::select(vec!["", "\n", "# a\n", "\n# b\n\n", "x"]).prop_map(name);
    let place = prop_oneof![
        (0usize..4).prop_map(Place::Head),
        (0usize..3).prop_map(Place::Opening),
        (0usize..3, 0usize..12).prop_map(|(sheet, line)| Place::Line(sheet, line)),
    ];
    prop_oneof![
        (place.clone(), line.clone()).prop_map(|(place, text)| Change::SetLine { place, text }),
        (place.clone(), comment.clone(), line).prop_map(|(place, before, text)| Change::InsertLine {
            place,
            before,
            text
        }),
        place.clone().prop_map(|place| Change::DeleteLine { place }),
        (place.clone(), 0usize..12).prop_map(|(place, to)| Change::MoveLine { place, to }),
        (place, comment).prop_map(|(place, before)| Change::SetComment { place, before }),
        (
            sheet.clone(),
            quantity.clone(),
            prop::option::of(0usize..3),
            text.clone()
        )
            .prop_map(|(sheet, quantity, case, text)| {
                Change::SetValue {
                    sheet,
                    quantity,
                    case,
                    text,
                }
            }),
        (sheet.clone(), 0usize..4, quantity.clone(), text.clone()).prop_map(|(list, row, quantity, text)| {
            Change::SetCell {
                list,
                row,
                quantity,
                text,
            }
        }),
        (sheet.clone(), 0usize..4, text.clone()).prop_map(|(list, at, text)| Change::InsertRow { list, at, text }),
        (sheet.clone(), 0usize..4).prop_map(|(list, row)| Change::DeleteRow { list, row }),
        (sheet.clone(), prop::collection::btree_set(0usize..4, 0..4)).prop_map(|(list, rows)| Change::DeleteRows {
            list,
            rows: rows.into_iter().collect()
        }),
        (
            sheet.clone(),
            quantity.clone(),
            prop::sample::select(vec![
                (Clause::Unit, "in hp"),
                (Clause::Kind, ": shaft power"),
                (Clause::Title, "\"a\""),
                (Clause::Source, "measured \"2 March\""),
                (Clause::Unit, ""),
                (Clause::Kind, ""),
                (Clause::Title, "= 7"),
            ])
        )
            .prop_map(|(sheet, quantity, (clause, text))| Change::SetClause {
                sheet,
                quantity,
                clause,
                text: text.into()
            }),
        (sheet.clone(), 0usize..4, 0usize..4).prop_map(|(list, row, to)| Change::MoveRow { list, row, to }),
        (sheet.clone(), 0usize..4, quantity.clone()).prop_map(|(list, at, name)| Change::InsertColumn {
            list,
            at,
            name,
            cells: Vec::new(),
        }),
        (sheet.clone(), quantity.clone()).prop_map(|(list, name)| Change::DeleteColumn { list, name }),
        (sheet.clone(), 0usize..3, 0usize..3).prop_map(|(sheet, case, to)| Change::MoveCase { sheet, case, to }),
        (sheet.clone(), 0usize..3, text.clone()).prop_map(|(sheet, at, name)| Change::InsertCase { sheet, at, name }),
        (sheet.clone(), 0usize..3).prop_map(|(sheet, case)| Change::DeleteCase { sheet, case }),
        (sheet.clone(), 0usize..3, text.clone()).prop_map(|(sheet, case, to)| Change::RenameCase { sheet, case, to }),
        (prop::option::of(sheet.clone()), quantity, new_name.clone()).prop_map(|(sheet, from, to)| Change::Rename {
            sheet,
            from,
            to
        }),
        (sheet.clone(), new_name).prop_map(|(from, to)| Change::RenameSheet { from, to }),
        sheet.clone().prop_map(|sheet| Change::DeleteSheet { sheet }),
        (sheet.clone(), 0usize..3).prop_map(|(sheet, to)| Change::MoveSheet { sheet, to }),
        (prop::option::of(sheet), text).prop_map(|(sheet, title)| Change::SetTitle { sheet, title }),
    ]
}

#[test]
fn changes_that_once_left_other_faults_than_reading_finds() {
    let insert = |place: Place, text: &str| Change::InsertLine {
        place,
        before: name(""),
        text: name(text),
    };
    for changes in [
        vec![Change::InsertRow {
            list: name("motors"),
            at: 0,
            text: name(""),
        }],
        vec![Change::InsertRow {
            list: name("motors"),
            at: 0,
            text: name("| 1 kW |"),
        }],
        vec![
            Change::DeleteLine {
                place: Place::Line(1, 0),
            },
            Change::InsertRow {
                list: name("motors"),
                at: 0,
                text: name("1 kW"),
            },
        ],
        vec![
            insert(Place::Line(0, 0), "at \"M-2\" f = 3 Hz"),
            Change::RenameSheet {
                from: name("hoist"),
                to: name("Q"),
            },
        ],
        vec![Change::SetLine {
            place: Place::Line(0, 10),
            text: name("work broken = (1 +"),
        }],
    ] {
        let mut book = read(YARD);
        after(&mut book, &Change::Several(changes)).expect("can be made");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_row_of_changes_can_be_taken_back(changes in prop::collection::vec(any_change(), 1..6)) {
        let mut book = read(YARD);
        for change in &changes {
            // Checks that the change can be taken back and done again, and that the text is read as it is held.
            let _ = after(&mut book, change);
        }
        let whole = Change::Several(changes);
        let mut book = read(YARD);
        let _ = after(&mut book, &whole);
    }
}

/// A title behind the bar of an empty place would be the value of the last case.
#[test]
fn a_title_stays_a_title_where_the_last_case_is_empty() {
    let text = "polepair 1\nsheet pump\n  cases summer | winter\n  given p \"Poles\"\n  \
                given q = 3 m | in ft \"Head\"\n  given r = 1 m | 2 m \"Lift\"\n  given t = 4 m |\n";
    let mut book = read(text);
    assert_eq!(faults(&book), []);
    let value = |quantity: &str, case: usize, text: &str| Change::SetValue {
        sheet: name("pump"),
        quantity: name(quantity),
        case: Some(case),
        text: text.into(),
    };
    let clause = |quantity: &str, clause: Clause, text: &str| Change::SetClause {
        sheet: name("pump"),
        quantity: name(quantity),
        clause,
        text: text.into(),
    };
    let changes = [
        (value("p", 0, "4 pole"), "given p \"Poles\" = 4 pole |\n"),
        (value("p", 1, "6 pole"), "given p = 4 pole | 6 pole \"Poles\"\n"),
        (value("r", 1, ""), "given r \"Lift\" = 1 m |\n"),
        (value("r", 0, "7 m"), "given r \"Lift\" = 7 m |\n"),
        (clause("q", Clause::Unit, ""), "given q \"Head\" = 3 m |\n"),
        (clause("t", Clause::Title, "\"Well\""), "given t \"Well\" = 4 m |\n"),
        (
            clause("t", Clause::Kind, ": length"),
            "given t = 4 m | : length \"Well\"\n",
        ),
    ];
    for (change, line) in changes {
        let text = after(&mut book, &change).unwrap();
        assert!(text.contains(line), "{change:?}: {text}");
        assert_eq!(faults(&book), []);
        // Put in order, it says the same.
        assert_eq!(write(&read(&text)), text, "{change:?}");
    }
}

/// A formula typed alike for every case is one formula; a given keeps a value for each.
#[test]
fn a_formula_that_all_cases_share_is_one() {
    let text =
        "polepair 1\nsheet a\n  cases x | y\n  given b = 1 kW | 2 kW\n  work c = 2 * b |\n  work d = 3 * b | 4 * b\n";
    let mut book = read(text);
    let mut set = |quantity: &str, case: usize, value: &str| {
        let change = Change::SetValue {
            sheet: name("a"),
            quantity: name(quantity),
            case: Some(case),
            text: value.into(),
        };
        after(&mut book, &change).unwrap()
    };
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(set("c", 1, "2 * b")).contains("work c = 2 * b work"));
    assert!(flat(set("d", 0, "4 * b")).ends_with("work d = 4 * b"));
    assert!(flat(set("d", 0, "5 * b")).ends_with("work d = 5 * b | 4 * b"));
    assert!(flat(set("b", 0, "2 kW")).contains("given b = 2 kW | 2 kW"));
}
