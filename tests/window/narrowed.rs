//! Lists of which a part is in sight, given for all rows, or read otherwise: what stands there is what is said.

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;

const LIST: &str = "polepair 1
list motors
  given tag : text
  given area : text
  given P_r in kW : rated power \"Rated power\"
  rows tag | area | P_r
    \"a\" | \"North yard\" | 10 kW
    \"b\" | \"South\" | 5 kW
    \"c\" | \"North yard\" | 2 kW
    \"d\" | \"South\" |
";

/// Groups of a list of which a part is in sight are those of that part, and say so. By hand: 10 kW of the north are above 3 kW, 12 kW are all.
#[test]
fn groups_are_those_of_the_rows_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), LIST);
    screen.ask(Act::Filter);
    screen.answer("P_r > 3 kW and area ≠ \"area\"");
    // Of the one without a power nobody knows.
    assert!(screen.has_part(": 2 of 4, not known for 1"), "{:?}", screen.labels());
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    assert!(
        screen.has_part("They are of the rows where P_r > 3 kW and area ≠ \"area\" alone"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(screen.hears("P_r group North yard").as_deref(), Some("10"));
    assert_eq!(
        screen.hears("area group North yard").as_deref(),
        Some("1 row · North yard")
    );
    let text = screen.text();
    assert!(text.contains("only rows where P_r > 3 kW"), "{text}");
    let results = screen.window().session().unwrap().results();
    assert!(results.faults.is_empty(), "{:#?}", results.faults);
    // All rows in sight again: their sums are others, and those of a part are not taken for them.
    screen.ask(Act::Filter);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.key(Key::Delete);
    screen.click("Do it");
    assert_ne!(screen.hears("P_r group North yard").as_deref(), Some("10"));
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    screen.ask(Act::Group);
    assert_eq!(screen.hears("P_r group North yard").as_deref(), Some("12"));
    assert_eq!(
        screen.hears("area group North yard").as_deref(),
        Some("2 rows · North yard")
    );
}

/// A text without its quotes in a condition is told with the value that stands in the column.
#[test]
fn a_text_without_quotes_is_offered_with_them() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), LIST);
    screen.go("motors", "tag", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("area = north");
    assert!(
        screen.has_part("a text stands in quotes: `area = \"North yard\"`"),
        "{:?}",
        screen.labels()
    );
    screen.click("→ write \"North yard\"");
    screen.click("Do it");
    assert!(
        screen.has_part("only rows where area = \"North yard\": 2 of 4"),
        "{:?}",
        screen.labels()
    );
    // What is another fault is told as it is.
    screen.ask(Act::Filter);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("P_q > 3 kW");
    assert!(
        screen.has_part("`P_q` is not known here") && !screen.has_part("stands in quotes"),
        "{:?}",
        screen.labels()
    );
}

/// What is given at a heading is seen there and taken away there; a row that has it is not taken for one in which it was typed.
#[test]
fn a_value_for_all_rows_is_seen_at_its_heading() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), LIST);
    let formula = |screen: &mut Screen| {
        screen.go("motors", "P_r", Field::Formula);
        let (at, spot) = screen.window().chosen().unwrap();
        let session = screen.window().session().unwrap();
        polepair::window::spot::Seen::of(session, at)
            .unwrap()
            .shown(spot, false)
            .text
    };
    assert_eq!(formula(&mut screen), "");
    screen.enter("7");
    assert!(screen.text().contains("given P_r = 7 kW"), "{}", screen.text());
    assert_eq!(formula(&mut screen), "7 kW");
    assert_eq!(screen.hears("P_r d").as_deref(), Some("7 worked"));
    assert_eq!(screen.hears("P_r c").as_deref(), Some("2 typed"));
    screen.go("motors", "P_r", Field::Value(3));
    assert!(
        screen.has_part("for rows without a value of their own"),
        "{:?}",
        screen.labels()
    );
    let _ = formula(&mut screen);
    screen.key(Key::Delete);
    assert!(!screen.text().contains("7 kW"), "{}", screen.text());
    assert_eq!(formula(&mut screen), "");
}

/// A doubt offers another reading, and takes it in one step. 2 · floor(60 · 50 / 1460) are 4 poles, and 15 kW at 1460 r/min are
/// 15000 / (2π · 24.333) = 98.11 N·m.
#[test]
fn another_reading_is_taken_in_one_step() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("plant.csv");
    std::fs::write(
        &list,
        "Tag;kW;V;rpm\nA;15;400;1.46\nB;11;400;1465\nC;11;400;1455\nD;7.5;400;965\n",
    )
    .unwrap();
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    let before = screen.text();
    screen.click("read it as 1460 r/min, 4 pole");
    assert!(screen.text().contains("4 pole | 1460 r/min"), "{}", screen.text());
    assert!(screen.has("Look at these: 1 doubt, 1 settled"), "{:?}", screen.labels());
    assert!(!screen.has("read it as 1460 r/min, 4 pole"), "{:?}", screen.labels());
    screen.go("motors", "T_r", Field::Value(0));
    assert_eq!(screen.hears("T_r A").as_deref(), Some("98.11 worked"));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    assert!(screen.has("read it as 1460 r/min, 4 pole"), "{:?}", screen.labels());
}

/// Which rows are shown, and in which order, is for the screen: what is handed over says so. Where no row is shown, the grid says what
/// brings them back.
#[test]
fn what_is_handed_over_has_all_rows_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), LIST);
    screen.ask(Act::Filter);
    screen.answer("P_r > 3 kW");
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::SortDown);
    let target = path.with_extension("csv");
    screen.ask(Act::Export);
    screen.answer(&target.display().to_string());
    assert!(
        screen.has_part("All rows are in it as the list has them"),
        "{:?}",
        screen.labels()
    );
    let written = std::fs::read_to_string(&target).unwrap();
    assert!(
        written.contains("North yard") && written.contains("\"d\"") | written.contains("d,"),
        "{written}"
    );
    // The same of the units that values are shown in.
    let units = "those that are shown are for the screen";
    assert!(!screen.has_part(units), "{:?}", screen.labels());
    screen.ask(Act::InUs);
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&path.with_extension("json").display().to_string());
    assert!(screen.has_part(units), "{:?}", screen.labels());
    screen.ask(Act::AsWritten);
    screen.ask(Act::Filter);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("P_r > 300 kW");
    let none = "No row fulfils the condition";
    assert!(screen.has_part(none), "{:?}", screen.labels());
    screen.ask(Act::ShowAll);
    assert!(!screen.has_part(none), "{:?}", screen.labels());
    // What is hidden is in it as well, one quantity or several.
    for (quantity, words) in [
        ("P_r", "The hidden quantity is in it as well"),
        ("area", "The hidden quantities are in it as well"),
    ] {
        screen.go("motors", quantity, Field::Value(0));
        screen.ask(Act::Hide);
        let target = path.with_file_name(format!("without-{quantity}.csv"));
        screen.ask(Act::Export);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&target.display().to_string());
        assert!(screen.has_part(words), "{quantity}: {:?}", screen.labels());
        assert!(std::fs::read_to_string(&target).unwrap().contains("North yard"));
    }
}

/// What is answered while a long list is being saved is taken once the session is back, and not asked for again.
#[test]
fn an_answer_to_a_session_at_work_is_taken_once() {
    let folder = tempfile::tempdir().unwrap();
    // So many that saving them takes many frames, however busy the machine is.
    let rows: String = (0..40_000).map(|row| format!("    \"M-{row}\" | {row} kW\n")).collect();
    let text = format!("polepair 1\nlist motors\n  given tag : text\n  given P in kW\n  rows tag | P\n{rows}");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    let mut away = 0;
    for least in 1..=5 {
        // Something to be saved.
        screen.ask(Act::ShowAll);
        screen.go("motors", "P", Field::Value(0));
        screen.enter(&format!("0.{least}"));
        screen.ask(Act::Filter);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.letters(&format!("P >= {least} kW"));
        screen.window().ask(Act::Save);
        screen.harness.step();
        away += u8::from(screen.window().session().is_none());
        screen.key(Key::Enter);
        assert!(!screen.has("Do it"), "{least}: {:?}", screen.labels());
        // By hand: the first row has less than one, and row n has n kW.
        let shown = format!("only rows where P >= {least} kW: {} of 40000", 40_000 - least);
        assert!(screen.has_part(&shown), "{shown}: {:?}", screen.labels());
    }
    assert!(away > 0, "the session was never at work");
}
