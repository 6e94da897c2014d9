//! Lines typed place by place as people type them: along a line with Tab, the next line with Enter; keys that belong to a field.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, held, press};

const CTRL: Modifiers = Modifiers::COMMAND;

/// Types texts along a line, the last ended by Enter.
fn along(screen: &mut Screen, texts: &[&str]) {
    for (place, text) in texts.iter().enumerate() {
        if !text.is_empty() {
            screen.letters(text);
        }
        let last = place + 1 == texts.len();
        screen.key(if last { Key::Enter } else { Key::Tab });
    }
}

/// The order of the heads: label, symbol, the cases, the unit. Behind Enter comes the label of the next line.
#[test]
fn enter_goes_to_the_first_place_of_the_next_line() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  cases summer | winter\n  given H = 3 m | 4 m \"Head\"\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("pump", "H", Field::Label);
    screen.key(Key::ArrowDown);
    along(&mut screen, &["Poles", "p", "4 pole"]);
    along(&mut screen, &["Flow", "Q", "240", "180", "m³/h"]);
    along(&mut screen, &["Density", "rho", "998 kg/m³"]);
    let text = screen.text();
    let lines = [
        "given p \"Poles\" = 4 pole |\n",
        "given Q = 240 m³/h | 180 m³/h in m³/h \"Flow\"\n",
        "given rho \"Density\" = 998 kg/m³ |\n",
    ];
    for line in lines {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(!screen.has_part("cannot stand"), "{:?}", screen.labels());
    // Tab alone goes along and does not draw Enter back; nor does it after an arrow.
    screen.go("pump", "H", Field::Symbol);
    screen.key(Key::Tab);
    screen.enter("5 m");
    assert!(screen.text().contains("given H = 5 m | 4 m"));
    screen.enter("6 pole");
    assert!(screen.text().contains("6 pole"), "{}", screen.text());
    screen.go("pump", "H", Field::Value(0));
    screen.letters("7 m");
    screen.key(Key::Tab);
    screen.key(Key::ArrowRight);
    screen.key(Key::ArrowLeft);
    screen.enter("8 m");
    screen.enter("8 pole");
    let text = screen.text();
    assert!(
        text.contains("given H = 7 m | 8 m") && text.contains("| 8 pole"),
        "{text}"
    );
}

/// A line that is put in between others begins at its label, as the open line does; a column of a list at its symbol.
#[test]
fn a_line_put_in_is_typed_as_the_open_line_is() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given H = 3 m\n  given g_1 = 9.8 m/s²\nlist m\n  given tag : text\n  rows tag\n    \"a\"\n";
    let typed = ["Density", "rho", "998", "kg/m³"];
    let line = " given rho = 998 kg/m³ in kg/m³ \"Density\"\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("pump", "g_1", Field::Label);
    screen.key(Key::ArrowDown);
    along(&mut screen, &typed);
    let open = screen.text();
    assert!(open.contains(&format!("m/s²\n{line}")), "{open}");
    for (chosen, act) in [("H", Act::InsertAfter), ("g_1", Act::Insert)] {
        let (mut screen, _) = Screen::with(folder.path(), book);
        screen.go("pump", chosen, Field::Value(0));
        screen.ask(act);
        let (_, spot) = screen.window().chosen().unwrap();
        assert_eq!((spot.quantity, spot.field), (1, Field::Label));
        along(&mut screen, &typed);
        let text = screen.text();
        assert!(text.contains(&format!("given H = 3 m\n{line} given g_1")), "{text}");
        // Enter goes to the first place of the next line, as it does from the open line.
        let (_, spot) = screen.window().chosen().unwrap();
        assert_eq!((spot.quantity, spot.field), (2, Field::Label));
    }
    // A label alone makes a line whose symbol is still to be typed, in both.
    for put_in in [true, false] {
        let (mut screen, _) = Screen::with(folder.path(), book);
        screen.go("pump", "g_1", Field::Label);
        match put_in {
            true => screen.ask(Act::InsertAfter),
            false => screen.key(Key::ArrowDown),
        }
        screen.enter("Density");
        let text = screen.text();
        assert!(text.contains("m/s²\n given x \"Density\"\nlist"), "{put_in}: {text}");
    }
    screen.go("m", "tag", Field::Symbol);
    screen.ask(Act::InsertAfter);
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!((spot.quantity, spot.field), (1, Field::Symbol));
}

/// The same in a list, whose open row becomes a row with the first place.
#[test]
fn enter_goes_to_the_first_place_of_the_next_row() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nlist motors\n  given tag : text\n  given P in kW : rated power\n  given n in r/min : shaft speed\n  \
        rows tag | P | n\n    \"a\" | 9 kW | 1450 r/min\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("motors", "tag", Field::Value(0));
    screen.key(Key::ArrowDown);
    along(&mut screen, &["b", "11", "1455"]);
    along(&mut screen, &["c", "15", "1460"]);
    let text = screen.text();
    assert!(
        text.contains("\"b\" | 11 kW | 1455 r/min") && text.contains("\"c\" | 15 kW | 1460 r/min"),
        "{text}"
    );
}

/// 78 of an efficiency is no share of one: it was typed for the unit beside it. 0.85 is, and is only shown in per cent.
#[test]
fn per_cent_typed_beside_a_number_is_its_unit_where_it_can_be_no_share() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given a = 78\n  given b = 0.85\n  given c = 1.15 : service factor\n  given u = 1.5\n  given s = 1.4 : efficiency\n  \
        given f = 2,5\n  given g = 78 | 80\nlist motors\n  given tag : text\n  given eta\n  rows tag | eta\n    \"a\" | 91\n    \"b\" | 88\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    // What it becomes is told while it is typed.
    screen.go("pump", "a", Field::Unit);
    screen.letters("%");
    assert!(screen.has_part("78 becomes 78 %"), "{:?}", screen.labels());
    screen.key(Key::Enter);
    assert!(
        screen.has_part("a: 78 was a plain number and is 78 % now"),
        "{:?}",
        screen.labels()
    );
    screen.go("pump", "b", Field::Unit);
    screen.enter("%");
    assert!(
        screen.has_part("b: 0.85 is a plain number, so 85 %"),
        "{:?}",
        screen.labels()
    );
    for quantity in ["c", "s", "f", "u"] {
        screen.go("pump", quantity, Field::Unit);
        screen.enter("%");
    }
    screen.go("motors", "eta", Field::Unit);
    screen.enter("%");
    let text = screen.text();
    for line in [
        "given a = 78 % in %",
        "given b = 0.85 in %",
        "given c = 1.15 in % : service factor",
        "given u = 1.5 % in %",
        // An efficiency lies below one.
        "given s = 1.4 % in % : efficiency",
        "given f = 2,5 % in %",
        "\"a\" | 91 %",
        "\"b\" | 88 %",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
}

/// Nothing of the grid is deleted or moved by keys that a field beside it has.
#[test]
fn keys_of_a_field_leave_the_grid_alone() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given Q = 3 m³/s\n  given H = 3 m\n  check H <= 9 m \"not too high\"\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    let before = screen.text();
    screen.key(Key::F11);
    screen.click("check H <= 9 m \"not too high\"");
    screen.keys(CTRL, Key::Delete);
    screen.keys(Modifiers::ALT, Key::ArrowDown);
    screen.keys(CTRL, Key::Delete);
    screen.key(Key::Escape);
    assert_eq!(screen.text(), before);
    screen.keys(CTRL, Key::F);
    screen.letters("pump");
    screen.key(Key::Home);
    screen.keys(CTRL, Key::Delete);
    assert_eq!(screen.text(), before);
    screen.key(Key::Escape);
    // In the grid it is the line's.
    screen.go("pump", "Q", Field::Value(0));
    screen.keys(CTRL, Key::Delete);
    assert!(!screen.text().contains("given Q"), "{}", screen.text());
}

/// The page of commands begins with a field; what is typed goes there, even before the next frame.
#[test]
fn letters_behind_f1_are_searched_and_type_over_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given H = 3 m \"Head\"\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("pump", "H", Field::Label);
    let mut events = vec![press(Key::F1)];
    events.extend("sort".chars().map(|letter| Event::Text(letter.to_string())));
    screen.at_once(events);
    assert_eq!(screen.hears("Search a command").as_deref(), Some("sort"));
    assert!(screen.text().contains("given H = 3 m \"Head\""), "{}", screen.text());
    screen.key(Key::F1);
    assert!(!screen.has("Search a command"));
    // Open, and the keys in the grid: it takes them again before it closes.
    screen.key(Key::F1);
    screen.key(Key::Escape);
    let mut events = vec![press(Key::F1)];
    events.extend("fold".chars().map(|letter| Event::Text(letter.to_string())));
    screen.at_once(events);
    assert_eq!(screen.hears("Search a command").as_deref(), Some("fold"));
    assert!(screen.text().contains("given H = 3 m \"Head\""), "{}", screen.text());
    screen.key(Key::F1);
    screen.at_once(vec![held(Modifiers::NONE, Key::F1)]);
    assert!(screen.has("Search a command"));
}

/// However slow a frame is: what is typed behind the command of the lines goes to its field and is taken in, and what follows goes on
/// from there.
#[test]
fn a_line_typed_in_one_slow_frame_is_taken_in() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given H = 3 m \"Head\"\n";
    let letters = |text: &str| -> Vec<Event> { text.chars().map(|letter| Event::Text(letter.to_string())).collect() };
    let first = vec![press(Key::F11)];
    let line = letters("note \"kept\"");
    let ends = vec![press(Key::Enter), press(Key::Escape), held(CTRL, Key::K)];
    let search = letters("take");
    let parts: [&[Event]; 4] = [&first, &line, &ends, &search];
    // Wherever the frames part what is typed.
    for cuts in 0_u8..8 {
        let (mut screen, _) = Screen::with(folder.path(), book);
        screen.go("pump", "H", Field::Value(0));
        let mut frame: Vec<Event> = Vec::new();
        for (number, part) in parts.iter().enumerate() {
            frame.extend_from_slice(part);
            if cuts & (1 << number) != 0 {
                screen.harness.input_mut().events.append(&mut frame);
                screen.harness.step();
            }
        }
        screen.at_once(frame);
        let text = screen.text();
        assert!(text.contains("note \"kept\""), "{cuts}: {text}");
        assert!(text.contains("given H = 3 m"), "{cuts}: {text}");
        assert_eq!(screen.hears("Search a command").as_deref(), Some("take"), "{cuts}");
    }
}

/// What reads a curve of the sheet is worked, though it names no quantity.
#[test]
fn what_reads_a_curve_is_worked() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet motor\n  given T_b = 132 N·m : breakdown torque\n  \
        curve T(n : shaft speed) in N·m = T_b * n / (1000 r/min)\n  given T_0 in N·m\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("motor", "T_0", Field::Value(0));
    screen.enter("T(500 r/min)");
    let text = screen.text();
    assert!(text.contains("work T_0 = T(500 r/min) in N·m"), "{text}");
    // By hand: half of 132 N·m.
    assert!(screen.hears("T_0 value").is_some_and(|said| said.starts_with("66")));
}

/// A formula over an empty column of a list is worked in every row; beside values it stands for the rows that have none.
#[test]
fn a_formula_over_an_empty_column_is_worked() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nlist motors\n  given tag : text\n  given P in kW : shaft power\n  given h in h\n  given E in kWh\n  \
        given q in kW\n  rows tag | P | h | E | q\n    \"a\" | 9 kW | 10 h | | 2 kW\n    \"b\" | 11 kW | 20 h | |\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("motors", "E", Field::Formula);
    screen.enter("P * h");
    let text = screen.text();
    assert!(
        text.contains("work E = P * h in kWh") && text.contains("rows tag | P | h | q\n"),
        "{text}"
    );
    // By hand: 11 kW in 20 h.
    assert!(
        screen.hears("E b").is_some_and(|said| said.starts_with("220")),
        "{:?}",
        screen.hears("E b")
    );
    screen.go("motors", "q", Field::Formula);
    screen.enter("P / 2");
    let text = screen.text();
    assert!(text.contains("given q = P / 2 in kW"), "{text}");
    assert!(screen.hears("q b").is_some_and(|said| said.starts_with("5.5")));
    assert!(screen.hears("q a").is_some_and(|said| said.starts_with('2')));
}

/// An empty sheet is begun where a line begins.
#[test]
fn a_new_sheet_begins_at_the_label() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given H = 3 m \"Head\"\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.keys(CTRL | Modifiers::SHIFT, Key::N);
    along(&mut screen, &["Flow", "Q", "240 m³/h"]);
    along(&mut screen, &["Lift", "h", "12 m"]);
    let text = screen.text();
    assert!(
        text.contains("given Q = 240 m³/h \"Flow\"") && text.contains("given h = 12 m \"Lift\""),
        "{text}"
    );
}

/// A warning about a check is no doubt about the right given that it reads.
#[test]
fn what_is_warned_of_a_check_marks_no_given() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given eta = 78 % : efficiency\n  check eta >= 75\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    assert_eq!(
        screen.hears("eta value").as_deref(),
        Some("78 typed read by a check that does not hold")
    );
    screen.key(Key::F7);
    assert!(screen.has("→ write 75 %"), "{:?}", screen.labels());
    screen.click("→ write 75 %");
    assert_eq!(screen.hears("eta value").as_deref(), Some("78 typed"));
}

/// One unit that is not known takes none from the other lines, and a number that cannot be read yet keeps the one beside it.
#[test]
fn each_pasted_line_keeps_its_own_unit() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet pump\n  given x\n");
    screen.go("pump", "x", Field::Label);
    let table = "Flow\tQ\t240\tm3/h\nPieces\tz\t3\tpcs\nRows\ty\t2\trows\nStages\ti\t4\t-\nPower\tP\t1450\tkW\nEnergy\tE\t1,234,567\tkWh\n\
        Lift\tH\tca. 38\tm\n";
    screen.at_once(vec![Event::Paste(table.to_owned())]);
    let text = screen.text();
    for line in [
        "given Q = 240 m³/h",
        // What is counted has no unit; what nobody knows stays beside its number.
        "given z = 3 \"Pieces\"",
        "given y = 2 rows \"Rows\"",
        "given i = 4 \"Stages\"",
        "given P = 1450 kW",
        "given E = 1,234,567 kWh",
        "given H = ca. 38 m",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(!screen.has_part("not pasted"), "{:?}", screen.labels());
    // Once the number is mended the unit is still its own.
    screen.key(Key::F7);
    screen.click("→ write 1234567");
    assert!(screen.text().contains("given E = 1234567 kWh"), "{}", screen.text());
}

/// A fault of a line that has no place in the grid is headed by that line, and leads to it; what mends it mends that line alone.
#[test]
fn a_fault_of_a_check_leads_to_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
define twice(P : shaft power) = 2,5 * P
sheet other
  given x = 1
sheet work
  given P_sh = 10 kW
  given P_n = 1,1 kW
  check P_n > P_sh * 1,1 \"in hand\"
  curve L(n : shaft speed) in N·m = 20 N·m + 0.0001*n^
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Faults);
    for (head, line) in [
        (
            "check P_n > P_sh * 1,1 \"in hand\", in work",
            "check P_n > P_sh * 1,1 \"in hand\"",
        ),
        (
            "curve L(n : shaft speed) in N·m = 20 N·m…, in work",
            "curve L(n : shaft speed) in N·m = 20 N·m + 0.0001*n^",
        ),
        (
            "define twice(P : shaft power) = 2,5 * P, before the first sheet",
            "define twice(P : shaft power) = 2,5 * P",
        ),
    ] {
        screen.ask(Act::Faults);
        if !screen.has(head) {
            screen.ask(Act::Faults);
        }
        screen.click(head);
        assert_eq!(screen.hears("Line").as_deref(), Some(line), "{:?}", screen.labels());
        screen.key(Key::Escape);
    }
    // The place in the grid is still led to by its own.
    screen.ask(Act::Faults);
    screen.click("P_n in work");
    let spot = screen.window().chosen().unwrap();
    assert_eq!(spot.0, 1);
    assert_eq!(spot.1.field, Field::Value(0));
}

/// Lines pasted into the field for a new line are lines each, in one step; what is one formula on several lines stays one.
#[test]
fn several_lines_pasted_into_the_field_are_lines_each() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet pump\n  given n = 1450 r/min\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    let before = screen.text();
    screen.key(Key::F11);
    let pasted = "check n > 1400 r/min \"one\"\n\ncheck n < 1490 r/min \"two\"\n  given z = 3 kW\n";
    screen.at_once(vec![Event::Paste(pasted.to_owned())]);
    let text = screen.text();
    for line in [
        "check n > 1400 r/min \"one\"\n",
        "check n < 1490 r/min \"two\"\n",
        "given z = 3 kW\n",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    screen.key(Key::Escape);
    screen.keys(CTRL, Key::Z);
    assert_eq!(screen.text(), before);
    screen.key(Key::F11);
    screen.at_once(vec![Event::Paste("work m = n *\n 2".to_owned())]);
    screen.key(Key::Enter);
    assert!(
        screen.text().contains("work m = n *") && screen.text().contains("2\n"),
        "{}",
        screen.text()
    );
}

/// A line that cannot be read stands in the grid where it stands in the workbook, with what is wrong and what to try; pressed, it is typed
/// anew.
#[test]
fn a_line_that_cannot_be_read_stands_at_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\n\nsheet a\n  given P = 3 kW\n  given 2P = 4 kW\n  given n = 1450 r/min\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let line = "✕ given 2P = 4 kW – not read: `2P` is no name";
    let [above, at, below] = ["P value", line, "n value"].map(|label| {
        let rect = screen.rect(label);
        rect.unwrap_or_else(|| panic!("{label}: {:?}", screen.labels()))
            .center()
            .y
    });
    assert!(above < at && at < below, "{above} {at} {below}");
    screen.point_at(line);
    screen.click(line);
    assert_eq!(screen.hears("Line").as_deref(), Some("given 2P = 4 kW"));
    screen.keys(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::A);
    screen.letters("given P_2 = 4 kW");
    screen.key(eframe::egui::Key::Enter);
    assert!(screen.text().contains("given P_2 = 4 kW"), "{}", screen.text());
    assert!(!screen.has_part("not read"), "{:?}", screen.labels());
}

/// The list of what could stand at the cursor leaves the words in sight that say what is wrong, in a low window too, and wherever the field
/// stands in its panel: with few lines before it, with more than there is room for, and as a line that is typed anew.
#[test]
fn offers_leave_what_is_wrong_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    let wrong = "the two cannot be compared";
    for (lines, size) in [
        (0, (1280.0, 800.0)),
        (0, (1024.0, 700.0)),
        (9, (1024.0, 700.0)),
        (40, (1024.0, 700.0)),
        (4, (900.0, 480.0)),
    ] {
        let checks: String = (0..lines)
            .map(|at| format!("  check P_n > {at} kW \"{at}\"\n"))
            .collect();
        let names = ["P_n", "P_m", "P_o", "P_q", "P_r", "P_s", "P_t"];
        let givens: String = names
            .iter()
            .map(|name| format!("  given {name} = 4 kW : shaft power\n"))
            .collect();
        let (mut screen, _) = Screen::with(folder.path(), &format!("polepair 1\n\nsheet a\n{givens}{checks}"));
        screen.resize(size.0, size.1);
        screen.key(Key::F11);
        for letter in "check P_n > 3 A and P".chars() {
            screen.letters(&letter.to_string());
        }
        let at = format!("{lines} {size:?}: {:?}", screen.labels());
        let told = screen.part_rect(wrong).unwrap_or_else(|| panic!("{at}"));
        let offered = screen.offered();
        assert!(offered.iter().any(|(words, _)| words.starts_with("P_m")), "{at}");
        let hint = screen.rect("Down marks one; Enter types the text as it is");
        let field = screen.rect("New line").unwrap_or_else(|| panic!("{at}"));
        for rect in offered.iter().map(|(_, rect)| *rect).chain(hint) {
            assert!(!rect.intersects(told.shrink(1.0)), "{rect:?} {told:?} {at}");
            assert!(!rect.intersects(field.shrink(1.0)), "{rect:?} {field:?} {at}");
            assert!(rect.min.y >= 0.0 && rect.max.y <= size.1, "{rect:?} {at}");
        }
        assert!(told.min.y >= 0.0 && told.max.y <= size.1, "{told:?} {at}");
        assert!(screen.draws_part(wrong), "{at}");
        screen.key(Key::Escape);
    }
    // A line that is typed anew.
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\n\nsheet a\n  given P_n = 4 kW\n  given P_m = 4 kW\n  check P_n > 3 kW\n",
    );
    screen.resize(1024.0, 700.0);
    screen.key(Key::F11);
    screen.click("check P_n > 3 kW");
    screen.keys(CTRL, Key::A);
    screen.letters("check P_n > 3 A and P");
    let told = screen
        .part_rect(wrong)
        .unwrap_or_else(|| panic!("{:?}", screen.labels()));
    for (words, rect) in screen.offered() {
        assert!(!rect.intersects(told.shrink(1.0)), "{words} {rect:?} {told:?}");
    }
}
