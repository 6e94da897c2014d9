//! Lines, rows and cases that are cut, and where they are put.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::{Field, NEW, Spot};

use crate::Screen;

/// All data is invented.
const BOOK: &str = "polepair 1
sheet drive
  cases dry | wet
  given Q = 60 m³/h | 70 m³/h : volume flow \"Flow\"
  given H = 18 m : height
  given eta = 70 % : pump efficiency # guessed
  work P = 1000 kg/m³ * g_n * Q * H / eta in kW : shaft power
sheet other
  given k = 2
list motors
  given tag : text
  given P_r in kW : shaft power
  given f = 50 Hz : frequency
  rows tag | P_r
    \"a\" | 1 kW
    \"b\" | 2 kW
    \"c\" | 3 kW
  at \"b\" f = 60 Hz
";

fn open() -> (tempfile::TempDir, Screen) {
    let folder = tempfile::tempdir().unwrap();
    let (screen, _) = Screen::with(folder.path(), BOOK);
    (folder, screen)
}

/// Cuts what is chosen; what is in the clipboard then.
fn cut(screen: &mut Screen) -> String {
    screen.ask(Act::Cut);
    screen.copied().unwrap()
}

fn paste(screen: &mut Screen, text: &str) {
    screen.at_once(vec![Event::Paste(text.to_owned())]);
}

/// Places of some parts of a text rise.
fn in_order(text: &str, parts: &[&str]) {
    let at = |part: &&str| text.find(*part).unwrap_or_else(|| panic!("{part}: {text}"));
    assert!(parts.iter().map(at).is_sorted(), "{parts:?}: {text}");
}

/// Until it has another place it stays, and its formulas read it; where it goes its name goes with it.
#[test]
fn a_cut_line_goes_where_it_is_pasted_and_not_before() {
    let (_folder, mut screen) = open();
    let before = screen.text();
    screen.go("drive", "eta", Field::Value(0));
    screen.ask(Act::ChooseLine);
    let text = cut(&mut screen);
    assert_eq!(screen.text(), before);
    assert!(screen.has_part("eta cut, to be pasted"), "{:?}", screen.labels());
    // Other work does not part it from its place.
    screen.go("drive", "H", Field::Value(0));
    screen.enter("19 m");
    screen.go("drive", "Q", Field::Label);
    paste(&mut screen, &text);
    let after = screen.text();
    in_order(
        &after,
        &[
            "given eta = 70 % : pump efficiency # guessed",
            "given Q",
            "given H",
            "work P",
        ],
    );
    assert!(
        !after.contains("eta_2") && after.matches("given eta").count() == 1,
        "{after}"
    );
    assert!(!screen.has_part("cut, to be pasted"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    in_order(&screen.text(), &["given Q", "given H", "given eta"]);
    screen.ask(Act::Redo);
    assert_eq!(screen.text(), after);
    // Behind the last line, with another one.
    screen.go("drive", "Q", Field::Label);
    screen.ask(Act::ChooseLine);
    screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    let text = cut(&mut screen);
    let quantity = NEW;
    let field = Field::Label;
    screen.window().go(0, Spot { quantity, field });
    screen.settle();
    paste(&mut screen, &text);
    in_order(&screen.text(), &["given eta", "work P", "given Q", "given H"]);
    // Pasted once more it is a copy, with a name of its own.
    paste(&mut screen, &text);
    assert!(
        screen.text().contains("given Q_2 = 60 m³/h | 70 m³/h"),
        "{}",
        screen.text()
    );
}

#[test]
fn what_was_cut_stays_where_it_is_left() {
    let (_folder, mut screen) = open();
    let before = screen.text();
    for (sheet, quantity, field, whole) in [
        ("drive", "eta", Field::Label, Act::ChooseLine),
        ("drive", "eta", Field::Value(1), Act::ChooseColumn),
        ("motors", "P_r", Field::Value(1), Act::ChooseLine),
        ("motors", "P_r", Field::Value(1), Act::ChooseColumn),
    ] {
        screen.go(sheet, quantity, field);
        screen.ask(whole);
        let text = cut(&mut screen);
        assert!(screen.has_part("cut, to be pasted"), "{whole:?} {:?}", screen.labels());
        screen.key(Key::Escape);
        assert!(!screen.has_part("cut, to be pasted"), "{whole:?} {:?}", screen.labels());
        // It is in the clipboard, as a copy.
        paste(&mut screen, &text);
        let there: Vec<String> = screen.text().lines().map(str::to_owned).collect();
        let gone = before
            .lines()
            .find(|line| line.contains("\"b\" |") && !there.contains(&(*line).to_owned()));
        assert_eq!(gone, None, "{whole:?} {there:?}");
        while screen.text() != before {
            screen.ask(Act::Undo);
        }
        // Something else that is copied takes its place.
        screen.go(sheet, quantity, field);
        screen.ask(whole);
        let _ = cut(&mut screen);
        screen.go("other", "k", Field::Value(0));
        paste(&mut screen, "7");
        assert!(screen.text().contains("given k = 7"), "{}", screen.text());
        assert!(!screen.has_part("cut, to be pasted"), "{:?}", screen.labels());
        screen.ask(Act::Undo);
        assert_eq!(screen.text(), before);
    }
    // A place is no line: it is emptied.
    screen.go("drive", "H", Field::Value(0));
    let _ = cut(&mut screen);
    assert!(screen.text().contains("given H = | 18 m"), "{}", screen.text());
}

#[test]
fn a_cut_line_goes_to_another_sheet_unless_it_is_asked_for() {
    let (_folder, mut screen) = open();
    let before = screen.text();
    screen.go("other", "k", Field::Label);
    screen.ask(Act::ChooseLine);
    let text = cut(&mut screen);
    screen.go("drive", "H", Field::Label);
    paste(&mut screen, &text);
    let after = screen.text();
    in_order(&after, &["given Q", "given k = 2", "given H", "sheet other"]);
    assert_eq!(after.matches("given k").count(), 1, "{after}");
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    // A formula of its sheet reads it: it is copied, and that is said.
    screen.go("drive", "eta", Field::Label);
    screen.ask(Act::ChooseLine);
    let text = cut(&mut screen);
    screen.go("other", "k", Field::Label);
    paste(&mut screen, &text);
    assert_eq!(
        screen.text().matches("given eta = 70 %").count(),
        2,
        "{}",
        screen.text()
    );
    assert!(
        screen.has_part("It stays in drive as well: P asks for it."),
        "{:?}",
        screen.labels()
    );
}

/// What was said of a row alone stays said of it where its tag is another one, and goes with it; each is one step.
#[test]
fn what_is_said_of_a_row_alone_goes_with_it() {
    let (_folder, mut screen) = open();
    let before = screen.text();
    screen.go("motors", "tag", Field::Value(1));
    screen.enter("z");
    assert!(screen.text().contains("at \"z\" f = 60 Hz"), "{}", screen.text());
    assert_eq!(screen.hears("f z").as_deref(), Some("60 typed"));
    assert!(!screen.has_part("faults and warnings"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    let by_number = before.replace("at \"b\" f", "at row 2 f");
    let (mut screen, _) = Screen::with(_folder.path(), &by_number);
    screen.go("motors", "P_r", Field::Value(1));
    screen.ask(Act::ChooseLine);
    screen.ask(Act::Delete);
    assert!(
        screen.has_part("1 row deleted, and with it what was said of it alone: f."),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.text().contains("at row"), "{}", screen.text());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), by_number);
}

#[test]
fn rows_and_cases_are_moved_with_their_values() {
    let (_folder, mut screen) = open();
    let before = screen.text();
    screen.go("motors", "P_r", Field::Value(1));
    screen.ask(Act::ChooseLine);
    let text = cut(&mut screen);
    screen.go("motors", "tag", Field::Value(0));
    paste(&mut screen, &text);
    let after = screen.text();
    in_order(
        &after,
        &["\"b\" | 2 kW", "\"a\" | 1 kW", "\"c\" | 3 kW", "at \"b\" f = 60 Hz"],
    );
    assert_eq!(
        screen.hears("f b").as_deref(),
        Some("60 typed"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    // To the end, by the open row.
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::ChooseLine);
    let text = cut(&mut screen);
    screen.go("motors", "tag", Field::Value(3));
    paste(&mut screen, &text);
    in_order(&screen.text(), &["\"b\" | 2 kW", "\"c\" | 3 kW", "\"a\" | 1 kW"]);
    screen.ask(Act::Undo);
    // In another list it can only be copied.
    screen.go("drive", "Q", Field::Value(1));
    screen.ask(Act::ChooseColumn);
    let text = cut(&mut screen);
    screen.go("drive", "Q", Field::Value(0));
    paste(&mut screen, &text);
    let text = screen.text();
    assert!(
        text.contains("cases wet | dry") && text.contains("given Q = 70 m³/h | 60 m³/h"),
        "{text}"
    );
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
}

/// A copied line is a line of its own wherever a line is chosen; one that nothing was typed in gives its place to it.
#[test]
fn a_copied_line_goes_before_the_chosen_one() {
    let (_folder, mut screen) = open();
    screen.go("drive", "H", Field::Label);
    screen.ask(Act::ChooseLine);
    screen.ask(Act::Copy);
    let text = screen.copied().unwrap();
    screen.go("drive", "eta", Field::Label);
    screen.ask(Act::Insert);
    paste(&mut screen, &text);
    let after = screen.text();
    in_order(&after, &["given H = 18 m", "given H_2 = 18 m", "given eta"]);
    assert!(!after.contains("given x"), "{after}");
    screen.go("drive", "Q", Field::Symbol);
    paste(&mut screen, &text);
    in_order(&screen.text(), &["given H_3 = 18 m", "given Q", "given H = 18 m"]);
}
