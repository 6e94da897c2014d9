//! Places of which a pasted table says that nothing is known: they are emptied, and a notice says how many had a value. Expected lines are
//! put together by hand from the tables; all values are invented.

use eframe::egui::{Key, Modifiers};
use polepair::window::spot::Field;

use crate::{Screen, paste};

const BELT: &str = "polepair 1
sheet belt
  cases dry | wet
  given Q_m = 180 t/h | 220 t/h : mass flow \"Gravel\" measured
  given v = 1.6 m/s : speed \"Belt speed\"
  given m_B = 12 kg/m \"Belt mass\"
  work m_L = Q_m / v in kg/m \"Load\"
";

const MOTORS: &str = "polepair 1
list motors
  given tag : text
  given P_r in kW : rated power \"Rated power\"
  given n_r in r/min : rated speed
  given f = 50 Hz : frequency
  given remark : text \"Remark\"
  work P_2 = 2 * P_r in kW
  rows tag | P_r | n_r | f | remark
    \"M-1\" | 15 kW | 1465 r/min | 60 Hz | \"a\"
    \"M-2\" | 5.5 kW | 1440 r/min | | \"b\"
    \"M-3\" | 11 kW | | | \"c\"
";

/// What is pasted leaves these lines and says these words, and is one step.
#[track_caller]
fn pasted(book: &str, at: (&str, &str, Field), table: &str, lines: &[&str], told: &[&str]) -> Screen {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go(at.0, at.1, at.2);
    let before = screen.text();
    paste(&mut screen, table);
    let now = screen.text();
    for line in lines {
        assert!(now.contains(line), "{table}: {line}: {now}\n{:?}", screen.labels());
    }
    for words in told {
        assert!(screen.has_part(words), "{table}: {words}: {:?}", screen.labels());
    }
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before, "{table}");
    screen.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    screen
}

/// Under names of cases, under known headings, and place by place; one value for all cases goes for those that are named. What is worked
/// stays worked.
#[test]
fn lines_of_a_sheet_lose_what_is_not_known() {
    let _ = pasted(
        BELT,
        ("belt", "Q_m", Field::Value(0)),
        "Symbol\tWet\tDry\nv\t1.9\tn/a\nm_B\t-\t-\nm_L\t-\t35",
        &["given v = | 1.9 m/s", "work m_L = Q_m / v in kg/m"],
        &[
            "Values went to v, in the case wet.",
            "3 places were emptied, as `n/a` or `-` says that nothing is known there.",
        ],
    );
    let screen = pasted(
        BELT,
        ("belt", "Q_m", Field::Value(0)),
        "190\ttbd\n1.7\t1.8\n—\t13\nn/a\t40",
        &[
            "given Q_m = 190 t/h | :",
            "given v = 1.7 m/s | 1.8 m/s",
            "given m_B = | 13 kg/m",
        ],
        &["2 places were emptied, as `tbd` or `—` says that nothing is known there."],
    );
    drop(screen);
    // One place alone.
    let _ = pasted(
        BELT,
        ("belt", "Q_m", Field::Value(1)),
        "n.a.",
        &["given Q_m = 180 t/h | :"],
        &["1 place was emptied, as `n.a.` says that nothing is known there."],
    );
}

/// In a row with its tag and in rows by their place; a text stays one where texts stand, and a row without a value of its own takes what
/// its column gives.
#[test]
fn rows_of_a_list_lose_what_is_not_known() {
    let _ = pasted(
        MOTORS,
        ("motors", "tag", Field::Value(0)),
        "tag\tP_r\tn_r\tf\tremark\nM-2\t-\t1441\tn/a\tnone\nM-1\t16\tn/a\t-\t-\nM-3\t12\t-\t\t",
        &[
            "\"M-1\" | 16 kW | | | \"-\"",
            "\"M-2\" | | 1441 r/min | | \"none\"",
            "\"M-3\" | 12 kW | | | \"c\"",
        ],
        &[
            "5 places are empty, as `-` or `n/a` says that nothing is known there; 3 of them had a value.",
            "Such rows take what the line itself gives: f.",
        ],
    );
    let _ = pasted(
        MOTORS,
        ("motors", "P_r", Field::Value(0)),
        "16\t-\n?\t1441\n12\t1450",
        &[
            "\"M-1\" | 16 kW | | 60 Hz",
            "\"M-2\" | | 1441 r/min",
            "\"M-3\" | 12 kW | 1450 r/min",
        ],
        &["2 places were emptied, as `-` or `?` says that nothing is known there."],
    );
}

/// What is new has no value there: no word stands in its place.
#[test]
fn new_lines_and_rows_have_no_value_where_nothing_is_known() {
    let mut screen = pasted(
        "polepair 1\nlist motors\n  given tag : text\n  rows tag\n",
        ("motors", "tag", Field::Symbol),
        "Tag\tRated power [kW]\tRated speed [rpm]\nP-1\t15\t-\nP-2\tn/a\t1450",
        &["\"P-1\" | 15 kW |\n", "\"P-2\" | | 1450 r/min\n"],
        &["2 places are empty, as `-` or `n/a` says that nothing is known there."],
    );
    assert!(!screen.text().contains("n/a"), "{}", screen.text());
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet work\n  given x\n");
    crate::paste(
        &mut screen,
        "Rated power\tP\t5 kW\nCurrent\tI\tn/a\nVoltage\tV\t400 V\n",
    );
    let text = screen.text();
    assert!(text.contains("given I \"Current\"\n"), "{text}");
    assert!(
        screen.has_part("1 place is empty, as `n/a` says"),
        "{:?}",
        screen.labels()
    );
}

/// A formula of names that are there is a formula.
#[test]
fn a_formula_that_looks_like_it_is_worked() {
    let _ = pasted(
        "polepair 1\nsheet a\n  given n = 3 m\n  given a = 2 s\n  given x\n",
        ("a", "x", Field::Value(0)),
        "n/a",
        &["x = n/a"],
        &[],
    );
}
