//! Every command of the list is found by its word and does something without an accident.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::{Act, COMMANDS, Group};
use polepair::window::spot::Field;

use crate::Screen;
use crate::grid::workbook;
use crate::held;

#[test]
fn every_command_is_found_in_its_menu_and_runs() {
    let folder = tempfile::tempdir().unwrap();
    for (sheet, quantity) in [("brine", "rho"), ("motors", "P_r")] {
        let (mut screen, path) = Screen::with(folder.path(), &workbook(12));
        let before = screen.text();
        for command in COMMANDS {
            // Closing ends the window.
            if command.act == Act::Close {
                continue;
            }
            screen.go(sheet, quantity, Field::Value(0));
            screen.click(command.group.word());
            screen.click_command(command);
            screen.key(Key::Escape);
            if screen.has("Leave it") {
                screen.click("Leave it");
            }
            assert!(screen.window().session().is_some());
            if command.act == Act::NewWorkbook {
                drop(screen);
                screen = Screen::with_file(&path);
            }
            // What it changed is taken back in one go.
            if screen.text() != before {
                screen.ask(Act::Undo);
            }
            assert_eq!(screen.text(), before, "after {}", command.word);
            screen.ask(Act::ShowAll);
        }
    }
    assert_eq!(Group::ALL.len(), 5);
}

/// Three doors, and under them every other workbook that is shipped, as the folder of them says.
#[test]
fn the_first_page_has_three_doors_and_all_that_is_shipped() {
    let mut screen = Screen::first(None);
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/workbooks");
    let workbooks = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let workbooks = workbooks.filter(|path| path.extension().is_some_and(|ending| ending == "pole"));
    let mut left: Vec<String> = workbooks
        .map(|path| std::fs::read_to_string(path).unwrap())
        .map(|text| {
            text.lines()
                .find(|line| line.starts_with("workbook "))
                .unwrap()
                .to_owned()
        })
        .collect();
    for door in [
        "Size a drive",
        "Teach with a motor",
        "Survey a plant",
        "First sheet: speed, slip, torque, power",
        "Lesson: torque and speed",
        "Run-up of a flywheel press",
        "Three motors on one feeder",
    ] {
        screen.ask(Act::Start);
        screen.reveal(door);
        screen.click(door);
        let text = screen.text();
        left.retain(|title| !text.contains(title));
        let faults = &screen.window().session().unwrap().results().faults;
        assert!(
            faults.iter().all(|placed| !placed.fault.is_error()),
            "{door}: {faults:?}"
        );
        if screen.has("First page") {
            screen.click("First page");
        }
    }
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn quantities_cases_and_rows_come_go_and_move() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("brine", "rho", Field::Value(0));
    screen.keys(Modifiers::ALT, Key::ArrowUp);
    let text = screen.text();
    assert!(
        text.find("given rho").unwrap() < text.find("given H").unwrap(),
        "{text}"
    );
    screen.ask(Act::InsertCase);
    screen.answer("autumn");
    assert!(
        screen.text().contains("cases winter | autumn | summer"),
        "{}",
        screen.text()
    );
    assert!(screen.hears("Q autumn").unwrap().ends_with("missing"));
    screen.go("brine", "Q", Field::Value(1));
    screen.ask(Act::DeleteCase);
    assert!(screen.text().contains("cases winter | summer"));
    screen.go("motors", "P_r", Field::Value(1));
    screen.keys(Modifiers::ALT, Key::ArrowDown);
    let text = screen.text();
    assert!(text.find("\"M-3\"").unwrap() < text.find("\"M-2\"").unwrap(), "{text}");
    screen.key(Key::Insert);
    screen.keys(Modifiers::COMMAND, Key::Delete);
    screen.go("motors", "P_r", Field::Value(0));
    screen.keys(Modifiers::COMMAND, Key::Delete);
    assert!(!screen.text().contains("\"M-1\""));
    screen.go("brine", "H", Field::Symbol);
    screen.keys(Modifiers::COMMAND, Key::Delete);
    assert!(!screen.text().contains("given H"));
}

#[test]
fn filling_down_and_emptying_reach_the_chosen_places() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(4));
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("11 kW");
    screen.go("motors", "P_r", Field::Value(0));
    for _ in 0..2 {
        screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    }
    screen.keys(Modifiers::COMMAND, Key::D);
    let text = screen.text();
    assert!(
        text.contains("\"M-3\" | 11 kW") && !text.contains("\"M-4\" | 11 kW"),
        "{text}"
    );
    screen.key(Key::Delete);
    let text = screen.text();
    assert!(text.contains("\"M-2\" |  |") || text.contains("\"M-2\" | |"), "{text}");
}

#[test]
fn find_goes_to_the_next_place_over_all_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(900));
    screen.keys(Modifiers::COMMAND, Key::F);
    screen.letters("M-777");
    screen.key(Key::Enter);
    let (sheet, spot) = screen.window().chosen().unwrap();
    assert_eq!((sheet, spot.field), (1, Field::Value(776)));
}

/// What a condition leaves out is not found, and the condition stays.
#[test]
fn find_stays_among_what_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P_r >= 30 kW");
    let words = "· only rows where P_r >= 30 kW: 12 of 40";
    assert!(screen.has(words), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::F);
    screen.letters("M-7");
    screen.key(Key::Enter);
    assert!(screen.has_part("Show all brings them"), "{:?}", screen.labels());
    assert!(screen.has(words), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("M-35");
    screen.key(Key::Enter);
    let (sheet, spot) = screen.window().chosen().unwrap();
    assert_eq!((sheet, spot.field), (1, Field::Value(34)));
    assert!(screen.has(words), "{:?}", screen.labels());
    // Who goes to a row that is left out is told that all rows are shown again.
    screen.click("Done");
    screen.go("motors", "P_r", Field::Value(3));
    assert!(screen.has_part("All rows are shown again"), "{:?}", screen.labels());
}

#[test]
fn checks_and_assumptions_say_what_stands() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.ask(Act::Checks);
    assert!(screen.has("fits the old motor"), "{:?}", screen.labels());
    // By hand: 1210 · 9.80665 · 60/3600 · 18 / 0.71 = 5.014 kW, and 7.103 kW at 85 m³/h.
    assert!(
        screen.has("5.014 kW") && screen.has("7.103 kW"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has("✓ holds"));
    screen.ask(Act::Assumptions);
    assert!(screen.has("1210 kg/m³"), "{:?}", screen.labels());
}

#[test]
fn the_letter_that_comes_with_alt_is_not_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    let night = COMMANDS.iter().find(|command| command.act == Act::Night).unwrap();
    let keys = night.keys.unwrap();
    // As a real keyboard sends it: the key and then its letter.
    let key = Event::Key {
        key: keys.logical_key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::ALT,
    };
    screen.at_once(vec![key, Event::Text("n".to_owned())]);
    assert_eq!(screen.window().typing(), None);
    // Nor is what stands beside the keys of commands, on whatever keyboard.
    for (key, text) in [(Key::Num3, "3"), (Key::Num7, "7"), (Key::Y, "y"), (Key::Q, "й")] {
        screen.at_once(vec![held(Modifiers::ALT, key), Event::Text(text.to_owned())]);
        assert_eq!(screen.window().typing(), None, "{text}");
    }
    assert!(screen.text().contains("given H = 18 m"));
}

/// Order, rows in sight, hidden and pinned columns and widths are steps like every other, in one line with the edits, in words.
#[test]
fn what_is_arranged_is_taken_back_in_one_line_with_the_edits() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(200));
    let first = screen.text();
    screen.go("motors", "P_r", Field::Value(7));
    screen.enter("5.5 kW");
    let second = screen.text();
    screen.go("motors", "P_r", Field::Value(7));
    screen.ask(Act::SortDown);
    // What comes first is chosen, and in sight.
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(88));
    screen.go("motors", "P_r", Field::Value(7));
    assert_eq!(screen.hears("P_r M-8").as_deref(), Some("5.5 typed"));
    screen.ask(Act::Filter);
    screen.answer("P_r > 5 kW");
    screen.ask(Act::Hide);
    assert!(screen.has_part("1 hidden"), "{:?}", screen.labels());
    screen.go("motors", "n_r", Field::Value(7));
    let wide = screen.rect("n_r M-8").unwrap().width();
    screen.ask(Act::Wider);
    screen.ask(Act::Wider);
    screen.ask(Act::Pin);
    assert_eq!(screen.text(), second);
    // Back, step by step, each in words; the workbook stays as it is.
    for (words, gone) in [
        ("Taken back: pin.", ""),
        ("Taken back: width of n_r.", ""),
        ("Taken back: hide P_r.", "1 hidden"),
        ("Taken back: only rows where P_r > 5 kW.", "only rows where"),
        ("Taken back: order by P_r, largest first.", "P_r, largest first"),
    ] {
        screen.keys(Modifiers::COMMAND, Key::Z);
        assert!(screen.has(words), "{words}: {:?}", screen.labels());
        assert!(
            gone.is_empty()
                || !screen
                    .labels()
                    .iter()
                    .any(|label| label.starts_with('·') && label.contains(gone)),
            "{words}: {:?}",
            screen.labels()
        );
        assert_eq!(screen.text(), second, "{words}");
    }
    assert!((screen.rect("n_r M-8").unwrap().width() - wide).abs() < 1.0);
    // The edit comes next, and its place is chosen.
    screen.go("motors", "P_r", Field::Value(150));
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), first);
    assert!(screen.has("Taken back: set P_r (M-8)."), "{:?}", screen.labels());
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(7));
    assert!(screen.hears("P_r M-8").is_some(), "in sight");
    // And all of it again.
    for words in [
        "Done again: set P_r (M-8).",
        "Done again: order by P_r, largest first.",
        "Done again: only rows where P_r > 5 kW.",
        "Done again: hide P_r.",
        "Done again: width of n_r.",
        "Done again: pin.",
    ] {
        screen.keys(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
        assert!(screen.has(words), "{words}: {:?}", screen.labels());
    }
    assert_eq!(screen.text(), second);
    assert!(
        screen.has_part("P_r > 5 kW: ") && screen.has_part("P_r, largest first") && screen.has_part("1 hidden"),
        "{:?}",
        screen.labels()
    );
    // A menu says what would be taken back.
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(!screen.has("Taken back: pin."), "one word at a time");
}

/// What is taken back in a row that a condition leaves out is told; the condition stays.
#[test]
fn an_edit_taken_back_out_of_sight_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P_r < 10 kW");
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("90 kW");
    screen.ask(Act::Filter);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("P_r < 11 kW");
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(screen.has_part("Taken back: set P_r (M-1"), "{:?}", screen.labels());
    assert!(screen.has_part("only rows where P_r < 10 kW"), "{:?}", screen.labels());
}

/// No command needs a mouse: each is found by its word and done by Enter, and those with keys of their own by these.
#[test]
fn every_command_is_reached_by_keys_alone() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(12));
    let before = screen.text();
    let mut ran = 0;
    for command in COMMANDS {
        // Closing ends the window.
        if command.act == Act::Close {
            continue;
        }
        screen.go("motors", "P_r", Field::Value(0));
        screen.keys(Modifiers::COMMAND, Key::K);
        screen.letters(command.word);
        screen.key(Key::Enter);
        // What was opened is closed by Esc; the grid has the keys again.
        for _ in 0..3 {
            screen.key(Key::Escape);
        }
        assert!(
            !screen.has_part("The path of"),
            "{}: {:?}",
            command.word,
            screen.labels()
        );
        if command.act == Act::NewWorkbook {
            drop(screen);
            screen = Screen::with_file(&path);
        }
        if screen.text() != before {
            screen.ask(Act::Undo);
        }
        assert_eq!(screen.text(), before, "after {}", command.word);
        screen.ask(Act::ShowAll);
        ran += 1;
    }
    assert_eq!(ran, COMMANDS.len() - 1);
    // A whole word goes before a part of a longer one.
    screen.go("motors", "P_r", Field::Value(0));
    screen.keys(Modifiers::COMMAND, Key::K);
    screen.letters("empty");
    screen.key(Key::Enter);
    let text = screen.text();
    assert!(text.contains("\"M-1\" | |") || text.contains("\"M-1\" |  |"), "{text}");
}

/// A new name for a quantity or its list leaves everything as it is arranged, and so does taking it back.
#[test]
fn what_is_arranged_goes_on_under_a_new_name() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "p", Field::Value(0));
    screen.ask(Act::Hide);
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::SortDown);
    screen.ask(Act::Filter);
    screen.answer("P_r > 5 kW");
    let arranged = |screen: &Screen, words: &[&str]| {
        let labels = screen.labels();
        for word in words {
            let has = labels
                .iter()
                .any(|label| label.starts_with('·') && label.contains(word));
            assert!(has, "{word}: {labels:?}");
        }
        assert!(
            screen.rect("p M-40").is_none() && screen.rect("poles M-40").is_none(),
            "{labels:?}"
        );
    };
    arranged(&screen, &["1 hidden", "P_r > 5 kW", "P_r, largest first"]);
    screen.go("motors", "P_r", Field::Symbol);
    screen.enter("P_plate");
    assert!(screen.text().contains("given P_plate in kW"), "{}", screen.text());
    arranged(&screen, &["1 hidden", "P_plate > 5 kW", "P_plate, largest first"]);
    screen.ask(Act::RenameSheet);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("plant");
    assert!(screen.text().contains("list plant"), "{}", screen.text());
    arranged(&screen, &["1 hidden", "P_plate > 5 kW", "P_plate, largest first"]);
    // The renames are taken back first, then the arrangement, which is known by the old names again.
    screen.keys(Modifiers::COMMAND, Key::Z);
    screen.keys(Modifiers::COMMAND, Key::Z);
    arranged(&screen, &["1 hidden", "P_r > 5 kW", "P_r, largest first"]);
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(
        screen.has("Taken back: only rows where P_r > 5 kW."),
        "{:?}",
        screen.labels()
    );
}

/// Copies stand behind what was copied, under names of their own, and read what was copied with them; each is one step.
#[test]
fn a_sheet_a_case_lines_and_rows_are_copied() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    let before = screen.text();
    let sheets = |screen: &mut Screen| -> Vec<String> {
        let book = screen.window().session().unwrap().workbook();
        book.sheets.iter().map(|sheet| sheet.name.to_string()).collect()
    };
    // The sheet with all of its lines; the copy is turned to, and moved.
    screen.ask(Act::CopySheet);
    assert_eq!(sheets(&mut screen), ["brine", "brine_2", "motors"]);
    let book = screen.window().session().unwrap().workbook();
    let lines = |at: usize| -> Vec<String> { book.sheets[at].lines.iter().map(|line| line.text.to_string()).collect() };
    assert_eq!(lines(0), lines(1));
    assert_eq!(book.sheets[1].title, "Brine pump drive 2");
    assert_eq!(screen.window().chosen().unwrap().0, 1);
    screen.ask(Act::SheetOn);
    assert_eq!(sheets(&mut screen), ["brine", "motors", "brine_2"]);
    screen.ask(Act::SheetOn);
    screen.ask(Act::SheetBack);
    screen.ask(Act::SheetBack);
    assert_eq!(sheets(&mut screen), ["brine_2", "brine", "motors"]);
    assert_eq!(screen.window().chosen().unwrap().0, 0);
    for _ in 0..4 {
        screen.ask(Act::Undo);
    }
    assert_eq!(screen.text(), before);
    // A list with its rows, from the menu of the right button.
    let offered = screen.menu_of("Motors");
    assert!(
        offered.iter().any(|word| word.starts_with("Copy of the sheet")),
        "{offered:?}"
    );
    screen.click("Copy of the sheet");
    assert_eq!(sheets(&mut screen), ["brine", "motors", "motors_2"]);
    assert_eq!(screen.text().matches("\"M-3\" | 4 kW").count(), 2, "{}", screen.text());
    screen.ask(Act::Undo);
    // A case with the values that are its own.
    screen.go("brine", "H", Field::Value(0));
    screen.ask(Act::CopyCase);
    let text = screen.text();
    assert!(text.contains("cases winter | winter 2 | summer\n"), "{text}");
    assert!(
        text.contains("given Q = 60 m³/h | 60 m³/h | 85 m³/h : volume flow"),
        "{text}"
    );
    assert!(text.contains("given H = 18 m : height"), "{text}");
    screen.ask(Act::Undo);
    // Two lines that read one another, and a row.
    screen.go("brine", "eta", Field::Label);
    screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    screen.keys(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::D);
    let text = screen.text();
    assert!(
        text.contains(
            "work P_sh = rho * g_n * Q * H / eta in kW : shaft power \"Shaft power\"\n given eta_2 = 71 % : pump efficiency\n work P_sh_2 = rho * g_n * Q * H / eta_2 in kW"
        ),
        "{text}"
    );
    screen.ask(Act::Undo);
    screen.go("motors", "P_r", Field::Value(1));
    screen.ask(Act::CopyLines);
    let text = screen.text();
    let at = |row: &str| text.find(row).unwrap_or_else(|| panic!("{row}: {text}"));
    assert!(at("\"M-2\" | 3 kW") < at("\"M-4\" | 3 kW") && at("\"M-4\" | 3 kW") < at("\"M-3\" | 4 kW"));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
}

/// A copy of a list that was read is a list of its own: one file is read for one list. A copied row has what is worked for it alone.
#[test]
fn a_copied_list_leaves_its_file_and_a_copied_row_takes_its_own_formulas() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nlist motors \"Motors\"\n  read \"motors.csv\" headings 1 digest \"sha256:00\"\n  given tag : text\n  \
        given P_r in kW : shaft power\n  given f = 50 Hz : frequency\n  rows tag | P_r\n    \"a\" | 1 kW\n    \"b\" | 2 kW\n     | 3 kW\n  \
        at \"b\" f = 60 Hz # a pump\n  at row 3 f = 55 Hz\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.ask(Act::CopySheet);
    let text = screen.text();
    let (first, copy) = text.split_once("list motors_2").unwrap_or_else(|| panic!("{text}"));
    assert!(
        first.contains("read \"motors.csv\"") && !copy.contains("read "),
        "{text}"
    );
    assert!(
        copy.contains("\"b\" | 2 kW") && copy.contains("at \"b\" f = 60 Hz"),
        "{text}"
    );
    assert!(
        screen.has_part("It is a list of its own: the file is read again for motors alone."),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Undo);
    for (row, named) in [(1, "at \"b 2\" f = 60 Hz # a pump"), (2, "at row 4 f = 55 Hz")] {
        screen.go("motors", "P_r", Field::Value(row));
        screen.ask(Act::CopyLines);
        let text = screen.text();
        assert!(text.contains(named), "{text}");
        assert_eq!(text.matches("at ").count(), 3, "{text}");
        assert!(!screen.has_part("faults and warnings"), "{:?}", screen.labels());
        screen.ask(Act::Undo);
    }
}

/// A key with Shift is another one than without, in a field of a panel as well; and a command says why it has nothing to do.
#[test]
fn keys_of_a_field_are_told_apart_and_what_has_no_use_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.ask(Act::Lines);
    screen.letters("note");
    let usual = screen.rect("rho winter").unwrap().max.x;
    screen.keys(Modifiers::SHIFT, Key::F10);
    assert!(!screen.has_part("This sheet has no plot"), "{:?}", screen.labels());
    assert!(
        screen.rect("rho winter").is_none_or(|wide| wide.max.x < usual),
        "{:?}",
        screen.labels()
    );
    screen.keys(Modifiers::SHIFT, Key::F10);
    assert_eq!(screen.rect("rho winter").unwrap().max.x, usual);
    screen.keys(Modifiers::SHIFT, Key::F4);
    assert!(
        screen.has_part("this workbook was not made of one"),
        "{:?}",
        screen.labels()
    );
}
