//! Headings and margins, whole columns and lines, groups in their place, notes between lines, what the right button offers.

use std::path::Path;

use eframe::egui::{self, Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::grid::workbook;
use crate::{Screen, pressed};

fn quarry() -> Screen {
    Screen::of_list("workbooks/quarry-motors.xlsx")
}

fn shipped(name: &str) -> Screen {
    Screen::with_file(&Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks").join(name))
}

/// Headings and margins that are drawn over choose all columns and lines up to the last of them.
#[test]
fn headings_and_margins_are_drawn_over() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(12));
    screen.go("motors", "P_r", Field::Value(0));
    let mut copied = |from: &str, over: [&str; 2]| {
        let at = |label: &str| screen.rect(label).unwrap().center();
        let [moved, press, release] = pressed(at(from));
        let Event::PointerButton { button, modifiers, .. } = release else {
            panic!("{release:?}")
        };
        let [first, last] = over.map(at);
        let release = Event::PointerButton {
            pos: last,
            button,
            pressed: false,
            modifiers,
        };
        let drawn = [Event::PointerMoved(first), Event::PointerMoved(last), release];
        screen.one_by_one([moved, press].into_iter().chain(drawn).collect());
        screen.at_once(vec![Event::Copy]);
        screen.copied().unwrap()
    };
    let rows = copied("line M-3", ["line M-4", "line M-6"]);
    assert!(rows.starts_with("M-3\t4 kW") && rows.lines().count() == 4, "{rows}");
    let back = copied("line M-6", ["line M-5", "line M-4"]);
    assert!(back.starts_with("M-4\t5 kW") && back.lines().count() == 3, "{back}");
    let columns = copied("column P_r", ["column n_r", "column p"]);
    assert!(
        columns.starts_with("2 kW\t1401 r/min\t4 pole\n") && columns.lines().count() == 12,
        "{columns}"
    );
}

/// A heading chooses its column, with Shift the columns up to it; copy, fill and delete go for all of it.
#[test]
fn a_heading_chooses_its_column() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(20));
    screen.click("column n_r");
    screen.at_once(vec![Event::Copy]);
    let copied = screen.copied().unwrap();
    assert_eq!(copied.lines().count(), 40, "{copied}");
    assert!(
        copied.starts_with("1401 r/min\n") && copied.ends_with("1440 r/min"),
        "{copied}"
    );
    screen.click_held("column p", Modifiers::SHIFT);
    screen.at_once(vec![Event::Copy]);
    assert!(screen.copied().unwrap().starts_with("1401 r/min\t4 pole\n"));
    // The first value into all the others.
    screen.click("column p");
    screen.ask(Act::FillDown);
    screen.click("column n_r");
    screen.ask(Act::FillDown);
    let text = screen.text();
    assert_eq!(text.matches("| 1401 r/min | 4 pole").count(), 40, "{text}");
    screen.ask(Act::Undo);
    screen.click("column n_r");
    // Emptied, and brought back.
    screen.ask(Act::Clear);
    assert_eq!(screen.text().matches(" r/min |").count(), 0, "{}", screen.text());
    screen.ask(Act::Undo);
    screen.click("column n_r");
    // Taken away with its given.
    screen.ask(Act::Delete);
    let text = screen.text();
    assert!(
        text.contains("rows tag | P_r | p") && !text.contains("given n_r"),
        "{text}"
    );
    screen.ask(Act::Undo);
    assert!(screen.text().contains("rows tag | P_r | n_r | p"));
    // By keys alone, from any place of it; an arrow with Shift takes the next one too.
    screen.go("motors", "P_r", Field::Value(7));
    screen.keys(Modifiers::ALT, Key::C);
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.at_once(vec![Event::Copy]);
    let copied = screen.copied().unwrap();
    assert!(
        copied.starts_with("2 kW\t1401 r/min\n") && copied.lines().count() == 40,
        "{copied}"
    );
    // What is typed then goes into one place, in sight.
    screen.letters("5");
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(0));
    screen.key(Key::Escape);
}

/// Both columns are made wider in one go, one hides, and a new one comes beside.
#[test]
fn hide_width_and_insert_act_on_whole_columns() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(0));
    screen.click("column P_r");
    screen.click_held("column n_r", Modifiers::SHIFT);
    let width = |screen: &Screen, name: &str| screen.rect(name).unwrap().width();
    let before = (width(&screen, "P_r M-1"), width(&screen, "n_r M-1"));
    screen.ask(Act::Wider);
    assert!((width(&screen, "P_r M-1") - before.0 * 1.25).abs() < 1.5);
    assert!((width(&screen, "n_r M-1") - before.1 * 1.25).abs() < 1.5);
    screen.ask(Act::Hide);
    assert!(screen.has_part("2 hidden") && screen.hears("P_r M-1").is_none());
    screen.ask(Act::ShowAll);
    screen.click("column P_r");
    screen.key(Key::Insert);
    let text = screen.text();
    assert!(text.contains("rows tag | P_r | x | n_r | p"), "{text}");
}

/// The margin chooses a line: of a list the row, of a sheet the quantity.
#[test]
fn a_margin_chooses_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "n_r", Field::Value(4));
    screen.click("line M-3");
    screen.at_once(vec![Event::Copy]);
    let copied = screen.copied().unwrap();
    assert!(copied.starts_with("M-3\t4 kW\t1403 r/min\t4 pole\t"), "{copied}");
    screen.click_held("line M-5", Modifiers::SHIFT);
    screen.ask(Act::Delete);
    let text = screen.text();
    assert!(
        ["M-2", "M-6"].iter().all(|tag| text.contains(&format!("\"{tag}\"")))
            && ["M-3", "M-4", "M-5"]
                .iter()
                .all(|tag| !text.contains(&format!("\"{tag}\""))),
        "{text}"
    );
    screen.go("brine", "Q", Field::Value(1));
    screen.keys(Modifiers::ALT, Key::L);
    screen.at_once(vec![Event::Copy]);
    let copied = screen.copied().unwrap();
    assert!(copied.starts_with("Brine flow\tQ\t60 m³/h\t85 m³/h\t"), "{copied}");
    screen.click("line H");
    screen.ask(Act::Delete);
    assert!(!screen.text().contains("given H"));
}

/// The heading of a case chooses the case: what is deleted then is the case, not the quantities.
#[test]
fn the_heading_of_a_case_chooses_the_case() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "Q", Field::Value(0));
    screen.click("column summer");
    screen.at_once(vec![Event::Copy]);
    assert!(screen.copied().unwrap().starts_with("85 m³/h\n18 m\n"));
    screen.ask(Act::Delete);
    let text = screen.text();
    assert!(text.contains("cases winter\n") && text.contains("given H"), "{text}");
    screen.ask(Act::Undo);
    // A column of words is none that can go.
    screen.click("column label");
    screen.ask(Act::Delete);
    assert!(screen.text().contains("given Q") && screen.has_part("Only a case is taken away"));
    screen.double_click("column summer");
    assert!(screen.has_part("Rename the case"), "{:?}", screen.labels());
}

/// Quantities of a long list are named over their columns; the lines that say more unfold and fold.
#[test]
fn the_headings_of_a_long_list_are_folded() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(0));
    assert_eq!(screen.hears("column P_r").as_deref(), Some("P_r · kW"));
    assert!(screen.hears("P_r kind").is_none());
    screen.click("headings");
    assert_eq!(screen.hears("P_r kind").as_deref(), Some("shaft power"));
    screen.keys(Modifiers::ALT, Key::E);
    assert!(screen.hears("P_r kind").is_none());
    // Pressed twice, the symbol is typed anew where it stands; every formula follows.
    let over = screen.rect("column n_r").unwrap();
    screen.double_click("column n_r");
    assert_eq!(screen.window().typing(), Some("n_r"));
    let typed = screen.part_rect("typing the symbol").unwrap();
    assert!(
        typed.center().x > over.min.x && typed.max.y <= over.max.y + 1.0,
        "{typed:?} in {over:?}"
    );
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("n_m");
    screen.key(Key::Enter);
    assert!(screen.text().contains("(n_s - n_m) / n_s"), "{}", screen.text());
    // A short list, which is being made, has them open.
    drop(screen);
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "P_r", Field::Value(0));
    assert_eq!(screen.hears("P_r kind").as_deref(), Some("shaft power"));
}

/// Numbers left of the pinned edge and at the right one stand there whole or not at all, at every step of the way.
#[test]
fn no_digit_is_cut_while_columns_are_scrolled() {
    let mut screen = quarry();
    screen.ask(Act::Report);
    screen.go("motors", "P_r", Field::Value(3));
    let tag = screen.part_rect("tag ").unwrap();
    assert!(tag.width() > 0.0);
    let over = screen
        .labels()
        .into_iter()
        .find(|label| label.starts_with("tag "))
        .unwrap();
    for by in [-37.0, -37.0, -90.0, -61.0, -300.0, 37.0, 55.0, -13.0, 400.0] {
        let cut = screen.cut_while_scrolled(&over, egui::vec2(by, 0.0));
        assert!(cut.is_empty(), "{by}: {cut:?}");
    }
    for key in [Key::End, Key::ArrowLeft, Key::ArrowLeft, Key::Home] {
        screen.key(key);
        assert!(screen.cut_numbers().is_empty(), "{key:?}: {:?}", screen.cut_numbers());
    }
}

/// Numbers of a column have their points under each other, whatever places they show; no digit is added to any.
#[test]
fn numbers_of_a_column_stand_point_under_point() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list readings
  given tag : text
  given P in kW : shaft power
  work E = P * 1 h in kWh
  rows tag | P
    \"a\" | 944.1 kW
    \"b\" | 1011 kW
    \"c\" | 73.05 kW
    \"d\" | 0.125 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("readings", "P", Field::Value(0));
    for column in ["P", "E"] {
        let first = screen.rect(&format!("{column} a")).unwrap();
        let part = first.union(screen.rect(&format!("{column} d")).unwrap());
        let points = screen.points_within(part);
        let shown: Vec<&str> = points.iter().map(|(words, _)| words.as_str()).collect();
        assert_eq!(shown, ["944.1", "1011", "73.05", "0.125"], "{column}");
        assert!(
            points.iter().all(|(_, x)| (x - points[0].1).abs() < 1.0),
            "{column}: {points:?}"
        );
    }
}

/// A long name of a case ends in … and is told where the pointer rests.
#[test]
fn a_long_name_of_a_case_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let name = "a name of a case of fifty letters that says it all";
    let text = format!("polepair 1\nsheet a\n  cases \"{name}\" | short\n  given H = 18 m | 19 m\n");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("a", "H", Field::Value(0));
    let label = format!("column {name}");
    let head = screen.rect(&label).unwrap();
    assert!(head.width() < 200.0, "{head:?}");
    screen.rest_on(&label);
    assert!(screen.has_part(&format!("{name}\nPressed")), "{:?}", screen.labels());
}

/// What the right button offers acts where it was opened, and nothing else is offered.
#[test]
fn the_right_button_offers_what_acts_there() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    let has = |offered: &[String], word: &str| offered.iter().any(|label| label.starts_with(word));
    screen.go("brine", "Q", Field::Value(0));
    let offered = screen.menu_of("Q winter");
    for word in [
        "Type here",
        "Cut",
        "Copy",
        "Paste",
        "Insert a line before",
        "Insert a line after",
        "Move the line back",
        "Move the line on",
        "Given or worked",
        "New case",
        "Rename the case",
        "Delete the line",
    ] {
        assert!(has(&offered, word), "{word}: {offered:?}");
    }
    for word in ["Smallest first", "Largest first", "Group", "Only rows", "Fill down"] {
        assert!(!has(&offered, word), "{word}: {offered:?}");
    }
    screen.key(Key::Escape);
    screen.go("motors", "n_r", Field::Value(0));
    let offered = screen.menu_of("n_r M-2");
    for word in [
        "Paste",
        "Smallest first",
        "Group with sums",
        "Insert a row before",
        "Delete the row",
        "Only rows where",
    ] {
        assert!(has(&offered, word), "{word}: {offered:?}");
    }
    for word in ["New case", "Given or worked", "In the order of the list"] {
        assert!(!has(&offered, word), "{word}: {offered:?}");
    }
    screen.key(Key::Escape);
    let offered = screen.menu_of("column n_s");
    for word in [
        "Given or worked",
        "Rename",
        "Hide",
        "Wider",
        "Insert a column before",
        "Delete the column",
    ] {
        assert!(has(&offered, word), "{word}: {offered:?}");
    }
    // It acts: the column that was pressed is chosen.
    screen.click_part("Hide");
    assert!(
        screen.has_part("1 hidden") && !screen.has("column n_s"),
        "{:?}",
        screen.labels()
    );
}

/// Motors of two areas, invented.
const AREAS: &str = "polepair 1
list motors
  given tag : text
  given area : text
  given P_r in kW : rated power
  rows tag | area | P_r
    \"a\" | \"north\" | 10 kW
    \"b\" | \"south\" | 5 kW
    \"c\" | \"north\" | 2 kW
";

/// A list of motors in groups by their area.
fn grouped(folder: &Path, text: &str) -> Screen {
    let (mut screen, _) = Screen::with(folder, text);
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    screen
}

/// What a condition shows stays in sight until rows go or are chosen again: a value that fits no more, a tag that is another one, a row
/// that is put in. By hand: 10 kW and 5 kW are above 3 kW.
#[test]
fn rows_in_sight_stay_until_rows_go() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), AREAS);
    let tags = |screen: &Screen| -> Vec<String> {
        let labels = screen.labels();
        let tags = labels.iter().filter_map(|label| label.strip_prefix("tag "));
        let mut tags: Vec<String> = tags.filter(|tag| tag.len() == 1).map(str::to_owned).collect();
        tags.sort();
        tags.dedup();
        tags
    };
    let titled = |screen: &mut Screen, title: &str| {
        screen.go("motors", "P_r", Field::Label);
        screen.enter(title);
        assert!(screen.text().contains(title), "{}", screen.text());
    };
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P_r > 3 kW");
    assert_eq!(tags(&screen), ["a", "b"]);
    titled(&mut screen, "Rating");
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("1 kW");
    assert_eq!(tags(&screen), ["a", "b"], "{:?}", screen.labels());
    screen.go("motors", "tag", Field::Value(1));
    screen.enter("x");
    assert_eq!(tags(&screen), ["a", "x"], "{:?}", screen.labels());
    // A step that is none of cells moves no row either.
    titled(&mut screen, "Rated power");
    assert_eq!(tags(&screen), ["a", "x"], "{:?}", screen.labels());
    screen.go("motors", "tag", Field::Value(1));
    screen.ask(Act::InsertAfter);
    titled(&mut screen, "Plate");
    screen.go("motors", "tag", Field::Value(2));
    screen.enter("n");
    assert_eq!(tags(&screen), ["a", "n", "x"], "{:?}", screen.labels());
    // Where rows go they are chosen again.
    screen.go("motors", "tag", Field::Value(2));
    screen.ask(Act::Delete);
    assert_eq!(tags(&screen), ["x"], "{:?}", screen.labels());
}

/// A sum of fewer rows than its group has says so beside it: in the grid, in the working, and where it is handed over. By hand: 2 kW of
/// the first row; the other has no reading.
#[test]
fn a_sum_says_how_many_rows_it_is_of() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list motors
  given tag : text
  given area : text
  given P_in in kW : input power \"Input power\"
  rows tag | area | P_in
    \"a\" | \"north\" | 2 kW
    \"b\" | \"north\" |
    \"c\" | \"south\" | 3 kW
";
    let mut screen = grouped(folder.path(), text);
    assert_eq!(screen.hears("P_in group north").as_deref(), Some("2 1 of 2 rows"));
    assert_eq!(screen.hears("P_in group south").as_deref(), Some("3"));
    screen.click("area group north");
    assert!(screen.has_part("2 kW, 1 of 2 rows"), "{:?}", screen.labels());
    screen.go("motors_by_area", "number_of_rows", Field::Value(0));
    let target = folder.path().join("groups.csv");
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&target.display().to_string());
    let csv = std::fs::read_to_string(target).unwrap();
    let rows: Vec<bool> = csv.lines().map(|line| line.contains("1 of 2 rows")).collect();
    assert_eq!(rows, [false, true, false], "{csv}");
}

/// By hand, areas of the shipped list: rows of one area stand together and their rated powers are added up under them.
#[test]
fn rows_of_a_group_stand_together_over_their_sums() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list motors
  given tag : text
  given area : text
  given P_r in kW : rated power \"Rated power\"
  given number : number \"Motors in this row\"
  rows tag | area | P_r | number
    \"a\" | \"north\" | 10 kW | 3
    \"b\" | \"south\" | 5 kW |
    \"c\" | \"north\" | 2 kW | 1
";
    let mut screen = grouped(folder.path(), text);
    let (sheet, _) = screen.window().chosen().unwrap();
    assert_eq!(sheet, 0, "the list stays in sight");
    let y = |screen: &Screen, label: &str| screen.rect(label).unwrap().center().y;
    let lines = ["tag a", "tag c", "area group north", "tag b", "area group south"];
    let at: Vec<f32> = lines.iter().map(|label| y(&screen, label)).collect();
    assert!(at.is_sorted(), "{at:?}");
    // By hand: 3 · 10 kW + 1 · 2 kW; a row without a number is one: 5 kW.
    assert_eq!(screen.hears("P_r group north").as_deref(), Some("32"));
    assert_eq!(screen.hears("P_r group south").as_deref(), Some("5"));
    assert_eq!(screen.hears("number group north").as_deref(), Some("4"));
    assert_eq!(screen.hears("area group north").as_deref(), Some("2 rows · north"));
    // Where rows are out of sight the sums stay those of all, and it is said.
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P_r > 3 kW");
    assert_eq!(
        screen.hears("area group north").as_deref(),
        Some("1 of 2 rows by the condition, sums of all · north")
    );
    let told = "1 of the 2 rows of this group is chosen by the condition P_r > 3 kW. The sums are of all 2 rows.";
    let heard = screen.described("area group north");
    assert!(heard.as_deref().is_some_and(|heard| heard.ends_with(told)), "{heard:?}");
    assert!(!screen.has_part(told), "{:?}", screen.labels());
    screen.rest_on("area group north");
    assert!(screen.has_part(told), "{:?}", screen.labels());
    assert_eq!(screen.hears("area group south").as_deref(), Some("1 row · south"));
    screen.ask(Act::Undo);
    assert_eq!(screen.hears("area group north").as_deref(), Some("2 rows · north"));
    // A changed value is in the sum; another area is another group.
    screen.go("motors", "P_r", Field::Value(2));
    screen.enter("4 kW");
    assert_eq!(screen.hears("P_r group north").as_deref(), Some("34"));
    screen.go("motors", "area", Field::Value(2));
    screen.enter("south");
    assert_eq!(screen.hears("P_r group south").as_deref(), Some("9"));
    assert!(y(&screen, "tag c") > y(&screen, "area group north"));
    // Folded, only the sums are seen.
    screen.click("line group south");
    assert!(screen.hears("tag b").is_none() && screen.hears("tag c").is_none());
    assert_eq!(screen.hears("P_r group south").as_deref(), Some("9"));
    screen.click("line group south");
    assert!(screen.hears("tag b").is_some());
    screen.go("motors", "tag", Field::Value(0));
    screen.keys(Modifiers::ALT, Key::F);
    assert!(screen.hears("tag a").is_none() && screen.hears("tag b").is_some());
    screen.ask(Act::Undo);
    assert!(screen.hears("tag a").is_some());
    // Without groups again; the list of groups stays as the written form.
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    assert!(screen.hears("area group north").is_none() && screen.hears("tag a").is_some());
    assert!(screen.text().contains("list motors_by_area = groups of motors by area"));
}

/// On the line under a group rows are ordered by its column, and the groups go again, whichever column that is.
#[test]
fn the_line_under_a_group_orders_rows_and_ends_groups() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = grouped(folder.path(), AREAS);
    let y = |screen: &Screen, label: &str| screen.rect(label).unwrap().center().y;
    assert!(y(&screen, "tag a") < y(&screen, "tag c"));
    screen.click("P_r group north");
    screen.ask(Act::SortUp);
    assert!(y(&screen, "tag a") > y(&screen, "tag c"));
    screen.click("P_r group north");
    screen.ask(Act::Group);
    assert!(screen.hears("area group north").is_none() && screen.hears("tag a").is_some());
}

/// How many rows fulfil a condition does not hang on which groups are folded. By hand: 10 kW and 5 kW of three are above 3 kW.
#[test]
fn folding_a_group_leaves_the_count_of_the_condition() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = grouped(folder.path(), AREAS);
    screen.ask(Act::Filter);
    screen.answer("P_r > 3 kW");
    let said = "only rows where P_r > 3 kW: 2 of 3";
    assert!(screen.has_part(said), "{:?}", screen.labels());
    screen.go("motors", "tag", Field::Value(0));
    screen.ask(Act::Fold);
    assert!(
        screen.hears("tag a").is_none() && screen.has_part(said),
        "{:?}",
        screen.labels()
    );
}

/// From each row of a group it is folded, and unfolded again from where one is left.
#[test]
fn a_group_is_folded_and_unfolded_from_any_of_its_rows() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list motors
  given tag : text
  given area : text
  rows tag | area
    \"a\" | \"north\"
    \"b\" | \"south\"
    \"c\" | \"north\"
    \"d\" | \"north\"
    \"e\" | \"south\"
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    let all = ["a", "b", "c", "d", "e"];
    let there = |screen: &Screen| -> String {
        let seen = all.iter().filter(|tag| screen.hears(&format!("tag {tag}")).is_some());
        seen.copied().collect()
    };
    for (row, rest) in [(0, "be"), (2, "be"), (3, "be"), (1, "acd"), (4, "acd")] {
        screen.go("motors", "area", Field::Value(row));
        screen.ask(Act::Fold);
        assert_eq!(there(&screen), rest, "from {}", all[row]);
        screen.ask(Act::Fold);
        assert_eq!(there(&screen), "abcde", "back from {}", all[row]);
    }
}

/// Of rows in an order, the next of the view is chosen where one is deleted: from the largest down 30, 20, 10 kW; behind the last of
/// them the one before it.
#[test]
fn behind_a_deleted_row_of_an_order_stands_the_next_of_the_view() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list motors
  given tag : text
  given P_r in kW : rated power
  rows tag | P_r
    \"a\" | 20 kW
    \"b\" | 5 kW
    \"c\" | 30 kW
    \"d\" | 10 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::SortDown);
    let chosen = |screen: &mut Screen| {
        let (_, spot) = screen.window().chosen().unwrap();
        let Field::Value(item) = spot.field else {
            panic!("{spot:?}")
        };
        screen.window().session().unwrap().results().sheets[0].items[item].to_string()
    };
    screen.go("motors", "P_r", Field::Value(2));
    screen.ask(Act::Delete);
    assert_eq!(chosen(&mut screen), "a");
    screen.ask(Act::Delete);
    assert_eq!(chosen(&mut screen), "d");
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Delete);
    assert_eq!(chosen(&mut screen), "d");
}

/// After an order is asked for, its first row is seen and chosen.
#[test]
fn an_order_begins_at_the_top() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(200));
    screen.go("motors", "P_r", Field::Value(150));
    screen.ask(Act::SortDown);
    // By hand: 1 + row mod 90 is 90 at rows 89 and 179.
    assert_eq!(screen.hears("P_r M-89").as_deref(), Some("90 typed"));
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(88));
}

/// A note stands as words between the lines of its sheet, is no place, and is typed anew where such lines are.
#[test]
fn notes_stand_between_the_lines() {
    let mut screen = shipped("feeder-check.pole");
    let before = screen.text();
    let note = screen
        .part_rect("Protection and conductors are set by authorised people")
        .unwrap();
    let more = screen.part_rect("plates govern").unwrap();
    assert!(note.min.x < 230.0 && more.min.y >= note.min.y);
    // It goes over all columns, and the lines behind it stand under it.
    let first = screen.window().session().unwrap().results().sheets[0].quantities[0]
        .name
        .to_string();
    let line = screen.rect(&format!("line {first}")).unwrap();
    assert!(
        (note.max.y <= line.min.y + 1.0) || note.min.y >= line.max.y - 1.0,
        "{note:?} {line:?}"
    );
    screen.click_part("Protection and conductors are set by authorised people");
    assert!(screen.has("Line"), "{:?}", screen.labels());
    screen.key(Key::Escape);
    assert_eq!(screen.text(), before);
    // Arrows go from line to line over it.
    let folder = tempfile::tempdir().unwrap();
    let long = "It takes many words to say this. ".repeat(12);
    let text = format!("polepair 1\nsheet a\n  given b = 1\n  note \"{long}\"\n  given c = 2\n");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("a", "b", Field::Value(0));
    let rect = |screen: &Screen, label: &str| screen.rect(label).unwrap();
    assert!(rect(&screen, "c value").min.y - rect(&screen, "b value").max.y > 50.0);
    screen.key(Key::ArrowDown);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!((chosen.quantity, chosen.field), (1, Field::Value(0)));
}

/// A sheet without cases has two after the first is asked for: its values as they were, and the new one.
#[test]
fn a_first_case_comes_beside_what_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given H = 18 m\n  work H_2 = 2 * H\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::InsertCase);
    screen.answer("summer");
    assert!(screen.text().contains("cases first | summer"), "{}", screen.text());
    assert_eq!(screen.hears("H first").as_deref(), Some("18 typed"));
    assert_eq!(screen.hears("H summer").as_deref(), Some("18 typed"));
    screen.ask(Act::Undo);
    assert!(!screen.text().contains("cases"));
    screen.ask(Act::InsertCase);
    screen.answer("winter | summer");
    assert!(screen.text().contains("cases winter | summer"), "{}", screen.text());
}

/// A check that does not hold marks what it reads, in the case in which it does not hold.
#[test]
fn a_check_that_fails_marks_what_it_reads() {
    let folder = tempfile::tempdir().unwrap();
    // By hand: 1210 kg/m³ · 9.806 65 m/s² · 18 m · 85 m³/h / 0.71 are 7.1 kW, within 9 kW; 130 m³/h give 10.9 kW.
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2).replace("85 m³/h", "130 m³/h"));
    screen.go("brine", "H", Field::Value(0));
    assert_eq!(
        screen.hears("P_sh summer").unwrap().split_once(' ').unwrap().1,
        "worked read by a check that does not hold"
    );
    assert!(screen.hears("P_sh winter").unwrap().ends_with(" worked"));
    assert_eq!(screen.hears("Q summer").as_deref(), Some("130 typed"));
}

/// In a small window the value is seen, whatever else has to give way.
#[test]
fn in_a_small_window_values_come_first() {
    let mut screen = shipped("conveyor-drive.pole");
    for (size, panel, times) in [
        ((800.0, 600.0), false, 0),
        ((1024.0, 700.0), true, 0),
        ((800.0, 600.0), true, 0),
        ((1280.0, 800.0), false, 6),
    ] {
        screen.resize(size.0, size.1);
        for _ in 0..times {
            screen.ask(Act::Larger);
        }
        if panel {
            screen.ask(Act::Faults);
        }
        screen.go("drive", "Q_m", Field::Value(0));
        let value = screen.rect("Q_m dry").unwrap();
        let zoom = screen.zoom();
        assert!(
            value.min.x >= 0.0 && value.max.x <= size.0 / zoom,
            "{size:?}: {value:?} at {zoom}"
        );
        assert!(screen.draws("180"), "{size:?}: {value:?} at {zoom}");
        if panel {
            screen.ask(Act::Faults);
        }
    }
}

/// A row put into an ordered or filtered list is seen where it was asked for and is the one that is typed in.
#[test]
fn a_row_is_made_where_it_is_asked_for_in_any_order() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(5));
    screen.ask(Act::SortDown);
    screen.keys(Modifiers::NONE, Key::Home);
    // By hand: the largest of 1 + row is 41 in M-40, then 40 in M-39.
    screen.key(Key::Insert);
    screen.enter("NEW-1");
    let y = |screen: &Screen, label: &str| screen.rect(label).unwrap().center().y;
    assert!(y(&screen, "tag M-40") < y(&screen, "tag NEW-1") && y(&screen, "tag NEW-1") < y(&screen, "tag M-39"));
    let text = screen.text();
    assert!(text.contains("\"M-39\"") && text.contains("\"M-38\""), "{text}");
    assert!(
        screen.has_part("as it was before the last changes"),
        "{:?}",
        screen.labels()
    );
    // A condition that the new row does not fulfil.
    screen.ask(Act::Filter);
    screen.answer("P_r > 35 kW");
    assert!(screen.hears("tag NEW-1").is_none());
    screen.go("motors", "tag", Field::Value(36));
    screen.key(Key::Insert);
    screen.enter("NEW-2");
    assert_eq!(screen.hears("tag NEW-2").as_deref(), Some("NEW-2 typed"));
    let text = screen.text();
    assert!((1..=40).all(|row| text.contains(&format!("\"M-{row}\""))), "{text}");
    // Ordered anew it goes where it belongs.
    screen.ask(Act::ShowAll);
    assert!(!screen.has_part("as it was before"), "{:?}", screen.labels());
}

/// What is typed behind the last row makes rows; nothing at the end is typed over.
#[test]
fn the_end_of_a_list_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nlist m\n  given tag : text\n  given P in kW : shaft power\n  rows tag | P\n    \"M-1\" |\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("m", "tag", Field::Value(0));
    for tag in ["M-1", "M-2", "M-3"] {
        screen.enter(tag);
    }
    assert!(
        screen.text().contains("\"M-1\" |\n \"M-2\" |\n \"M-3\" |\n"),
        "{}",
        screen.text()
    );
    // Tab from the last column goes to the first of the next row, which is begun by it.
    screen.go("m", "P", Field::Value(2));
    let mut events = Vec::new();
    for text in ["7.5", "M-4", "9", "M-5"] {
        events.push(Event::Text(text.to_owned()));
        events.push(crate::press(Key::Tab));
    }
    screen.at_once(events);
    let text = screen.text();
    assert!(
        text.contains("\"M-3\" | 7.5 kW\n \"M-4\" | 9 kW\n \"M-5\" |\n"),
        "{text}"
    );
    // In one step each, a row goes with what began it.
    screen.ask(Act::Undo);
    assert!(!screen.text().contains("M-5"));
    // Ctrl+Down is the last row, one more the open one; there is nothing to copy or to empty.
    screen.keys(Modifiers::COMMAND, Key::ArrowUp);
    screen.keys(Modifiers::COMMAND, Key::ArrowDown);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(3));
    screen.key(Key::ArrowDown);
    let before = screen.text();
    screen.key(Key::Delete);
    screen.ask(Act::Delete);
    assert_eq!(screen.text(), before);
    // A table pasted there goes on from there.
    screen.key(Key::Home);
    screen.at_once(vec![Event::Paste("M-7\t11 kW\nM-8\t12 kW".to_owned())]);
    assert!(
        screen.text().contains("\"M-7\" | 11 kW\n \"M-8\" | 12 kW"),
        "{}",
        screen.text()
    );
    // Another column.
    screen.click("another column");
    assert!(screen.text().contains("rows tag | P | x"), "{}", screen.text());
}

/// Behind the last place of a line of a sheet comes the first of the next.
#[test]
fn tab_at_the_end_of_a_line_goes_to_the_next() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Source);
    screen.letters("measured");
    screen.key(Key::Tab);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!((chosen.quantity, chosen.field), (2, Field::Label));
    screen.keys(Modifiers::SHIFT, Key::Tab);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!((chosen.quantity, chosen.field), (1, Field::Source));
    assert!(screen.text().contains("given H = 18 m : height \"Head\" measured"));
}

/// Home brings the first columns back beside the pinned ones; what lies behind these is told.
#[test]
fn home_brings_the_first_columns_back() {
    let mut screen = shipped("feeder-check.pole");
    screen.ask(Act::Faults);
    screen.go("motors", "P_n", Field::Value(0));
    screen.key(Key::End);
    screen.key(Key::Home);
    let edge = screen.rect("P_n symbol").unwrap().max.x;
    assert!((screen.rect("P_n blower").unwrap().min.x - edge).abs() < 2.0, "{edge}");
    assert!(!screen.has_part("behind the pinned ones"));
    screen.key(Key::End);
    assert!(
        screen.has_part("columns lie behind the pinned ones"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "P_n", Field::Label);
    screen.click_part("columns lie behind the pinned ones");
    assert!((screen.rect("P_n blower").unwrap().min.x - edge).abs() < 2.0);
    // A list opens at its readings.
    let mut screen = quarry();
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(0));
    assert!(screen.has("column P_r"), "{:?}", screen.labels());
    // Ctrl+Home is the first row, however often; Up goes on.
    let first = screen.window().chosen().unwrap().1;
    screen.keys(Modifiers::COMMAND, Key::Home);
    screen.keys(Modifiers::COMMAND, Key::Home);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!((chosen.quantity, chosen.field), (0, first.field));
    assert!(!screen.has_part("behind the pinned ones"), "{:?}", screen.labels());
}

/// A case that was made is the one that comes next.
#[test]
fn a_new_case_is_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "Q", Field::Value(1));
    for name in ["Anna", "Ben", "Chen Li"] {
        screen.ask(Act::InsertCase);
        screen.answer(name);
    }
    assert!(
        screen
            .text()
            .contains("cases winter | summer | Anna | Ben | \"Chen Li\"")
            || screen.text().contains("cases winter | summer | Anna | Ben | Chen Li"),
        "{}",
        screen.text()
    );
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(4));
}

/// Names of cases with bars between them are as many cases; a name holds none.
#[test]
fn several_cases_are_named_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given P = 15 kW\n");
    screen.ask(Act::InsertCase);
    screen.answer("winter | summer | night");
    assert!(
        screen.text().contains("cases winter | summer | night\n"),
        "{}",
        screen.text()
    );
    screen.go("a", "P", Field::Value(0));
    screen.ask(Act::InsertCase);
    screen.answer("spring|winter 2");
    assert!(
        screen
            .text()
            .contains("cases winter | spring | winter 2 | summer | night\n"),
        "{}",
        screen.text()
    );
    screen.go("a", "P", Field::Value(0));
    screen.ask(Act::RenameCase);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("a | b");
    assert!(screen.has_part("it stands between cases"), "{:?}", screen.labels());
    screen.click("→ write a / b");
    screen.click("Do it");
    assert!(screen.text().contains("cases a / b | spring |"), "{}", screen.text());
}

/// Limits and long formulas that come while somebody types leave every column where it was; a number that would not be seen gets room
/// once it is typed, and a sheet that is turned to has room for its limits.
#[test]
fn what_is_typed_moves_no_column() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\n\nsheet a\n  given b = 4 kW\n  given d = 2\n  work  c = b * 1 in kW\n\nsheet other\n  given e = 1 kW\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let edges = |screen: &Screen| {
        ["symbol b", "value b", "unit b", "formula b", "source b"].map(|part| {
            let [field, name] = [0, 1].map(|at| part.split(' ').nth(at).unwrap());
            screen
                .rect(&format!("{name} {field}"))
                .map(|rect| (rect.min.x, rect.max.x))
        })
    };
    let before = edges(&screen);
    assert!(before.iter().all(Option::is_some), "{before:?}");
    screen.go("a", "b", Field::Value(0));
    screen.enter("4.125 ± 0.375");
    assert_eq!(edges(&screen), before);
    screen.go("a", "c", Field::Formula);
    screen.enter("(b + b + b + b + b + b + b + b + b + b) / (8 + d) + 0 * (b + b + b + b + b + b)");
    assert_eq!(edges(&screen), before);
    screen.go("other", "e", Field::Value(0));
    screen.go("a", "b", Field::Value(0));
    let with_limits = edges(&screen);
    assert!(with_limits[1].unwrap().1 > before[1].unwrap().1, "{with_limits:?}");
    screen.enter("41234567890123.5");
    let with_number = edges(&screen);
    assert!(screen.cut_numbers().is_empty(), "{:?}", screen.cut_numbers());
    assert!(
        with_number[1].unwrap().1 >= with_limits[1].unwrap().1,
        "{with_number:?}"
    );
}

/// What heads the columns of a list is found where it is folded away, and unfolded where it is gone to.
#[test]
fn what_is_found_in_folded_headings_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let rows: String = (0..20).map(|row| format!("    \"M-{row}\" | 1460 r/min\n")).collect();
    let text = format!(
        "polepair 1\nlist motors\n  given tag : text\n  given n_r in r/min : rated speed\n  rows tag | n_r\n{rows}"
    );
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("motors", "tag", Field::Value(15));
    assert!(!screen.has("n_r kind"), "{:?}", screen.labels());
    screen.ask(Act::Find);
    screen.letters("rated sp");
    screen.key(Key::Enter);
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!((spot.quantity, spot.field), (1, Field::Kind), "{:?}", screen.labels());
    assert_eq!(
        screen.hears("n_r kind").as_deref(),
        Some("rated speed"),
        "{:?}",
        screen.labels()
    );
}

/// How a list is begun is told where rows can be typed: those of a list of groups are its groups.
#[test]
fn a_list_of_groups_does_not_ask_for_rows() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list motors
  given tag : text
  given area : text
  rows tag | area
    \"a\" | \"north\"
list by_area = groups of motors by area
  work rows = count(motors where motors.area = here.area)
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("motors", "tag", Field::Value(0));
    assert!(screen.has_part("Type in the open row"), "{:?}", screen.labels());
    assert!(screen.hears("tag new row").is_some(), "{:?}", screen.labels());
    screen.go("by_area", "area", Field::Value(0));
    assert!(!screen.has_part("Type in the open row"), "{:?}", screen.labels());
    assert!(screen.hears("area new row").is_none(), "{:?}", screen.labels());
}
