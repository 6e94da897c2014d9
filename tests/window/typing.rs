//! What is typed is seen, stays where it was meant to go, and is never lost without a question.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::grid::workbook;
use crate::{Screen, held, press};

const CTRL: Modifiers = Modifiers::COMMAND;

/// The whole line is typed in sight, whichever way round the grid stands and whichever place was chosen.
#[test]
fn the_whole_line_is_seen_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(5));
    for (sheet, quantity, field) in [
        ("brine", "H", Field::Label),
        ("brine", "H", Field::Symbol),
        ("brine", "H", Field::Value(1)),
        ("brine", "H", Field::Source),
        ("motors", "n_s", Field::Value(2)),
        ("motors", "n_s", Field::Kind),
    ] {
        screen.go(sheet, quantity, field);
        screen.keys(Modifiers::SHIFT, Key::F2);
        let label = format!("typing the line of {quantity}");
        let line = screen
            .hears(&label)
            .unwrap_or_else(|| panic!("{field:?}: {:?}", screen.labels()));
        assert!(line.contains(&format!("{quantity} ")), "{line}");
        let rect = screen.rect(&label).unwrap();
        // Long enough for a line.
        assert!(rect.width() > 500.0, "{rect:?}");
        screen.key(Key::Escape);
    }
    screen.go("brine", "P_sh", Field::Label);
    screen.keys(Modifiers::SHIFT, Key::F2);
    screen.keys(CTRL, Key::A);
    screen.letters("work P_sh = rho * g_n * Q * Hh / eta in kW : shaft power");
    assert!(screen.has_part("`Hh`"), "{:?}", screen.labels());
    screen.key(Key::Backspace);
    screen.key(Key::Escape);
}

/// A text that is longer than its place is seen whole, as far as the grid goes, and not beyond it.
#[test]
fn a_long_text_has_room_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(60));
    screen.ask(Act::Faults);
    screen.go("brine", "H", Field::Value(1));
    screen.letters("18 m + 0.1 * (12 m + 13 m + 14 m)");
    let label = "typing H summer";
    let rect = screen.rect(label).unwrap();
    assert!(rect.width() > 230.0, "{rect:?}");
    screen.letters(" + 1 m + 2 m + 3 m + 4 m + 5 m + 6 m + 7 m + 8 m + 9 m + 10 m + 11 m + 12 m + 13 m + 14 m + 15 m");
    let rect = screen.rect(label).unwrap();
    let panel = screen.rect("Assumptions").unwrap();
    assert!(rect.max.x < panel.min.x, "{rect:?} {panel:?}");
    screen.key(Key::Escape);
    // What is offered on the last row does not hide what is said under the grid.
    screen.go("motors", "n_s", Field::Value(59));
    screen.letters("sq");
    let offered = screen
        .part_rect("sqrt(")
        .unwrap_or_else(|| panic!("{:?}", screen.labels()));
    let typed = screen
        .rect("typing n_s M-60")
        .unwrap_or_else(|| panic!("{:?}", screen.labels()));
    assert!(offered.max.y <= typed.min.y, "{offered:?} {typed:?}");
}

#[test]
fn what_is_typed_is_not_lost_when_the_window_goes() {
    let folder = tempfile::tempdir().unwrap();
    for (name, leave) in [("close", Key::Q), ("new", Key::N), ("open", Key::O)] {
        let own = folder.path().join(name);
        std::fs::create_dir(&own).unwrap();
        let (mut screen, _) = Screen::with(&own, &workbook(2));
        screen.go("brine", "H", Field::Value(0));
        screen.letters("57 m");
        screen.keys(CTRL, leave);
        assert!(screen.has("Save it first"), "{name}: {:?}", screen.labels());
        screen.click("Stay here");
        assert!(
            screen.text().contains("given H = 57 m | 18 m"),
            "{name}: {}",
            screen.text()
        );
    }
    // The same with a line in the panel, and a line typed anew there.
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.key(Key::F11);
    screen.click("check P_sh <= 9 kW \"fits the old motor\"");
    screen.keys(CTRL, Key::A);
    screen.letters("check P_sh <= 8 kW \"fits\"");
    screen.click("New line");
    screen.letters("note \"half\"");
    screen.keys(CTRL, Key::Q);
    assert!(screen.has("Save it first"), "{:?}", screen.labels());
    screen.click("Stay here");
    let text = screen.text();
    assert!(
        text.contains("note \"half\"") && text.contains("<= 8 kW \"fits\""),
        "{text}"
    );
    assert_eq!(screen.hears("New line").unwrap_or_default(), "");
    // What cannot be taken in stays open, and so does the window.
    screen.click("New line");
    screen.letters("nonsense here");
    screen.keys(CTRL, Key::N);
    assert!(!screen.has("Save it first"), "{:?}", screen.labels());
    assert!(screen.has_part("a line cannot begin with"), "{:?}", screen.labels());
    assert_eq!(screen.hears("New line").as_deref(), Some("nonsense here"));
}

/// The system closes the window, as with its cross.
#[test]
fn the_cross_of_the_window_asks_as_well() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.letters("57 m");
    screen.cross();
    assert!(screen.has("Save it first"), "{:?}", screen.labels());
}

#[test]
fn lines_are_typed_one_after_another() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Label);
    screen.key(Key::F11);
    assert_eq!(screen.focused().as_deref(), Some("New line"));
    for line in ["note \"one\"", "note \"two\""] {
        screen.letters(line);
        screen.key(Key::Enter);
    }
    // All in one frame.
    let mut events = Vec::new();
    for line in ["note \"three\"", "note \"four\""] {
        events.extend(line.chars().map(|letter| Event::Text(letter.to_string())));
        events.push(press(Key::Enter));
    }
    screen.at_once(events);
    let text = screen.text();
    for line in ["one", "two", "three", "four"] {
        assert!(text.contains(&format!("note \"{line}\"")), "{line}: {text}");
    }
    assert!(text.contains("\"Head\""), "{text}");
    // Esc leaves the line and gives the keys back to the grid; F11 brings them here again, and goes only from here.
    screen.letters("note \"five");
    screen.key(Key::Escape);
    assert_eq!(screen.hears("New line").unwrap_or_default(), "");
    assert!(
        screen.focused().unwrap().starts_with("grid of"),
        "{:?}",
        screen.focused()
    );
    screen.key(Key::F11);
    assert_eq!(screen.focused().as_deref(), Some("New line"));
    screen.key(Key::F11);
    assert!(!screen.has("New line"));
}

#[test]
fn a_question_has_the_keys_while_it_is_open() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    screen.keys(CTRL, Key::I);
    assert_eq!(screen.focused().as_deref(), Some("Save it first"));
    screen.key(Key::ArrowRight);
    assert_eq!(screen.focused().as_deref(), Some("Go on without saving"));
    screen.key(Key::ArrowRight);
    screen.key(Key::ArrowDown);
    assert_eq!(screen.focused().as_deref(), Some("Save it first"));
    screen.key(Key::ArrowLeft);
    assert_eq!(screen.focused().as_deref(), Some("Stay here"));
    for _ in 0..12 {
        screen.key(Key::Tab);
        let focused = screen.focused().unwrap_or_default();
        let own = ["Save it first", "Go on without saving", "Stay here"];
        assert!(own.contains(&focused.as_str()), "{focused}");
    }
    screen.key(Key::Escape);
    assert!(!screen.has("Save it first"));
}

/// Who types a path on while a question comes answers it with none of it: neither a blank nor Enter behind letters saves over the file.
#[test]
fn a_path_typed_on_answers_no_question() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, file) = Screen::with(folder.path(), &workbook(2));
    let before = std::fs::read_to_string(&file).unwrap();
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    screen.keys(CTRL, Key::O);
    assert!(screen.has("Save it first"), "{:?}", screen.labels());
    screen.letters("/tmp/my");
    screen.key(Key::Space);
    screen.letters("list.pole");
    screen.key(Key::Enter);
    assert!(screen.has("Save it first"), "{:?}", screen.labels());
    assert!(screen.has_part("goes nowhere"), "{:?}", screen.labels());
    let mut events: Vec<Event> = "b.pole".chars().map(|letter| Event::Text(letter.to_string())).collect();
    events.push(press(Key::Enter));
    screen.at_once(events);
    assert!(screen.has("Save it first"), "{:?}", screen.labels());
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
    // An arrow says that the question is seen.
    screen.key(Key::ArrowLeft);
    screen.key(Key::Enter);
    assert!(!screen.has("Save it first"), "{:?}", screen.labels());
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
}

/// A text that was refused is not in the way of what is asked for next, nor does it take what is typed there.
#[test]
fn a_refused_text_and_a_question_do_not_share_the_keys() {
    let folder = tempfile::tempdir().unwrap();
    let text = format!(
        "{}\nlist by_p = groups of motors by p\n  work many = count(motors where motors.p = here.p)\n",
        workbook(3)
    );
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("by_p", "p", Field::Value(0));
    screen.enter("6 pole");
    screen.go("by_p", "p", Field::Value(0));
    assert!(
        screen.has_part("are the groups of `motors` by `p`"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has_part("F2 opens it to be mended"), "{:?}", screen.labels());
    screen.ask(Act::Edit);
    assert_eq!(screen.window().typing(), Some("6 pole"));
    screen.keys(CTRL, Key::E);
    screen.keys(CTRL, Key::A);
    screen.letters("out.json");
    assert_eq!(screen.window().typing(), None);
    let hint = "The path of a file that ends in .xlsx, .csv or .json.";
    assert_eq!(screen.hears(hint).as_deref(), Some("out.json"));
}

#[test]
fn a_condition_that_is_none_stays_in_its_question() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(40));
    screen.go("motors", "s_r", Field::Value(0));
    let before = screen.text();
    let hint = "A condition, such as: load > 100 %. Leave it empty for all rows.";
    screen.ask(Act::Filter);
    screen.answer("s_rr > 4 %");
    assert!(screen.has_part("`s_rr`"), "{:?}", screen.labels());
    assert_eq!(screen.hears(hint).as_deref(), Some("s_rr > 4 %"));
    // A plain number beside per cent is worth a look, once.
    screen.keys(CTRL, Key::A);
    screen.answer("s_r > 4");
    assert!(screen.has_part("write `4 %`"), "{:?}", screen.labels());
    assert_eq!(screen.hears(hint).as_deref(), Some("s_r > 4"));
    screen.click("Do it");
    assert!(
        screen.has("· only rows where s_r > 4: 0 of 40"),
        "{:?}",
        screen.labels()
    );
    // Without rows nothing is chosen, and nothing is typed into the headings.
    assert_eq!(screen.window().chosen(), None);
    screen.enter("99 %");
    screen.key(Key::Delete);
    screen.keys(CTRL, Key::Delete);
    screen.key(Key::Insert);
    assert_eq!(screen.text(), before);
}

#[test]
fn what_failed_is_copied_as_it_was_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "n_r", Field::Value(0));
    screen.enter("1425 kW");
    screen.go("motors", "n_r", Field::Value(0));
    assert!(screen.hears("n_r M-1").unwrap().ends_with("failed"));
    screen.ask(Act::Copy);
    assert_eq!(screen.copied().as_deref(), Some("1425 kW"));
    screen.ask(Act::Cut);
    let cut = screen.copied().unwrap();
    screen.at_once(vec![Event::Paste(cut)]);
    assert!(screen.text().contains("1425 kW"), "{}", screen.text());
    screen.go("brine", "P_sh", Field::Formula);
    screen.enter("rho * g_n * Q * Hh");
    screen.go("brine", "P_sh", Field::Formula);
    screen.ask(Act::Copy);
    assert_eq!(screen.copied().as_deref(), Some("rho * g_n * Q * Hh"));
}

/// Half a name is not typed by an arrow while names are offered; a text that is right is.
#[test]
fn arrows_choose_among_what_is_offered_for_half_a_word() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("brine", "P_sh", Field::Formula);
    screen.letters("rho * g_n * Q * H / et");
    assert!(
        screen.has("Down marks one; Enter types the text as it is"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::ArrowDown);
    screen.key(Key::Enter);
    assert_eq!(screen.window().typing(), Some("rho * g_n * Q * H / eta"));
    screen.key(Key::ArrowDown);
    assert_eq!(screen.window().typing(), None);
    assert!(screen.text().contains("Q * H / eta in kW"), "{}", screen.text());
    // Whoever renames writes the new name in place of the old one.
    screen.go("brine", "H", Field::Value(0));
    screen.key(Key::F6);
    screen.enter("H_p");
    assert!(screen.text().contains("Q * H_p / eta"), "{}", screen.text());
    // The first row comes before the headings.
    for row in [2, 0] {
        screen.go("motors", "n_s", Field::Value(row));
        screen.keys(CTRL, Key::Home);
        let (_, spot) = screen.window().chosen().unwrap();
        assert_eq!((spot.quantity, spot.field), (0, Field::Value(0)));
    }
    // However often: only Up goes on into them.
    screen.keys(CTRL, Key::Home);
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!(spot.field, Field::Value(0));
    screen.key(Key::ArrowUp);
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!(spot.field, Field::Formula);
}

/// Invented values.
const PLAIN: &str = "polepair 1
sheet a
  given n = 1472 r/min : shaft speed \"Speed\"
  given P = 3 kW : shaft power
  given p = 4 pole
  work T = P / n in N·m : torque
list l
  given tag : text
  given P_r in kW : shaft power
  rows tag | P_r
    \"a\" | 15 kW
    \"b\" | 20 kW
";

/// What is typed wrongly is said with each reading while it is typed and afterwards, and mended by pressing one.
#[test]
fn a_number_typed_wrongly_is_mended_by_choosing_what_was_meant() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    let value = Field::Value(0);
    screen.go("a", "n", value);
    screen.letters("1,472 r/min");
    assert!(
        screen.has("→ write 1.472") && screen.has("→ write 1472"),
        "{:?}",
        screen.labels()
    );
    screen.click("→ write 1472");
    assert_eq!(screen.window().typing(), Some("1472 r/min"));
    screen.letters(" ");
    screen.key(Key::Escape);
    for (typed, said, fix, becomes) in [
        ("1,472 r/min", "1.472 or as 1472", "→ write 1.472", "n = 1.472 r/min"),
        ("1,472 r/min", "1.472 or as 1472", "→ write 1472", "n = 1472 r/min"),
        (
            "1.465,5 r/min",
            "a comma and a point",
            "→ write 1465.5",
            "n = 1465.5 r/min",
        ),
        ("1440 U/min", "is written r/min here", "→ write r/min", "n = 1440 r/min"),
        (
            "ca. 1440 r/min",
            "before a number",
            "→ write 1440 r/min",
            "n = 1440 r/min",
        ),
        ("n/a", "is no value", "→ leave it empty", "given n : shaft speed"),
        ("-", "is no value", "→ leave it empty", "given n : shaft speed"),
    ] {
        screen.go("a", "n", value);
        screen.enter(typed);
        screen.go("a", "n", value);
        // The cell shows what was typed, and the line under the grid what is wrong with it.
        assert!(screen.has_part(said), "{typed}: {:?}", screen.labels());
        screen.click(fix);
        assert!(screen.text().contains(becomes), "{typed}: {}", screen.text());
        screen.go("l", "P_r", value);
        screen.enter(&typed.replace("r/min", "kW"));
        screen.go("l", "P_r", value);
        if !typed.contains("U/min") {
            assert!(screen.has_part(said), "{typed}: {:?}", screen.labels());
            screen.click(&fix.replace("r/min", "kW"));
            assert!(!screen.text().contains(typed), "{typed}: {}", screen.text());
        }
    }
    screen.go("a", "n", value);
    screen.enter("1,472 r/min");
    assert_eq!(screen.hears("n value").as_deref(), Some("1,472 r/min failed"));
}

/// Letters that are no kind are refused where they are typed, and named with what they could be.
#[test]
fn letters_that_are_no_kind_are_not_taken_for_one() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    screen.go("a", "p", Field::Kind);
    screen.enter("pol");
    screen.go("a", "p", Field::Kind);
    assert!(
        screen.has_part("`pol` is not a known kind; kinds of what is in pole: pole pairs, poles"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Edit);
    assert_eq!(screen.window().typing(), Some("pol"));
    screen.letters("es");
    screen.key(Key::Enter);
    assert!(screen.text().contains("given p = 4 pole : poles"), "{}", screen.text());
    // In a text from elsewhere they stay in sight.
    let (mut screen, _) = Screen::with(folder.path(), &PLAIN.replace("4 pole", "4 pole : pol"));
    assert_eq!(screen.hears("p kind").as_deref(), Some("pol failed"));
    screen.ask(Act::Faults);
    assert!(
        screen.has("→ write poles") && screen.has("→ write pole pairs"),
        "{:?}",
        screen.labels()
    );
    screen.click("→ write poles");
    assert!(screen.text().contains("given p = 4 pole : poles"), "{}", screen.text());
}

/// Who has opened the bracket of a function that is not there learns what it is called.
#[test]
fn a_function_is_named_before_its_bracket_is_closed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    screen.go("a", "T", Field::Formula);
    screen.letters("tork(");
    assert!(screen.has_part("did you mean `torque`?"), "{:?}", screen.labels());
    screen.click("→ write torque");
    assert_eq!(screen.window().typing(), Some("torque("));
    screen.letters("P, n)");
    screen.key(Key::Enter);
    assert!(screen.text().contains("work T = torque(P, n)"), "{}", screen.text());
    // Names of the list and words of the language are no functions that lack.
    screen.go("a", "T", Field::Formula);
    screen.letters("count(");
    assert!(!screen.has_part("there is no function"), "{:?}", screen.labels());
}

/// From the frame of the command on no letter reaches the grid: those that come before the field is there are kept for it.
#[test]
fn letters_behind_a_command_are_kept_for_its_field() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    let condition = "A condition, such as: load > 100 %. Leave it empty for all rows.";
    let none = Modifiers::NONE;
    let commands = [
        (none, Key::F11, "New line", "note it"),
        (CTRL, Key::K, "Search a command", "delete the sheet"),
        (CTRL, Key::F, "Find", "head"),
        (Modifiers::ALT, Key::W, condition, "P_r > 3 kW"),
    ];
    for (modifiers, key, field, typed) in commands {
        let mut events = vec![held(modifiers, key)];
        events.extend(typed.chars().map(|letter| Event::Text(letter.to_string())));
        for slow in [true, false] {
            screen.go("motors", "P_r", Field::Value(1));
            match slow {
                true => screen.one_by_one(events.clone()),
                false => screen.at_once(events.clone()),
            }
            assert_eq!(
                screen.hears(field).as_deref(),
                Some(typed),
                "{slow}: {:?}",
                screen.labels()
            );
            assert_eq!(screen.window().typing(), None, "{field}");
            screen.key(Key::Escape);
            screen.key(Key::Escape);
            assert_eq!(screen.text(), before, "{field}");
        }
    }
    // From one field to another one.
    screen.key(Key::F11);
    let mut events = vec![Event::Text("no".into()), held(CTRL, Key::K)];
    events.extend("zoom".chars().map(|letter| Event::Text(letter.to_string())));
    screen.at_once(events);
    assert_eq!(screen.hears("Search a command").as_deref(), Some("zoom"));
    screen.key(Key::F11);
    assert_eq!(screen.hears("New line").as_deref(), Some("no"));
    // A panel that is gone before it was drawn keeps no keys.
    screen.key(Key::Escape);
    screen.go("brine", "H", Field::Value(0));
    screen.at_once(vec![held(CTRL, Key::K), press(Key::F8), Event::Text("1".into())]);
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    assert!(screen.text().contains("given H = 19 m | 18 m"), "{}", screen.text());
}

/// A bare number is kept with the unit that its place shows: typed, pasted and filled down, in a sheet and in a list. Where no unit is
/// shown it stays bare.
#[test]
fn a_bare_number_gets_the_unit_that_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1
sheet belt
  cases dry | wet
  given Q_m = 180 t/h | 250 t/h : mass flow
  given k = 2 | 3
  given pf = 0.86 : power factor
  given eta = 90 %
  given T = -5 °C
  given H = 18 m
  given load = 0.5 in %
  work W = 2 * Q_m
list motors
  given tag : text
  given P_in in kW : input power
  given n
  rows tag | P_in | n
    \"a\" | 79.6 kW | 4
    \"b\" | 15 kW | 5
    \"c\" | |
",
    );
    screen.go("belt", "Q_m", Field::Value(0));
    screen.letters("200");
    assert!(screen.has_part("read as 200 t/h"), "{:?}", screen.labels());
    screen.key(Key::Enter);
    for (quantity, item, typed) in [
        ("k", 0, "4"),
        ("pf", 1, "0.9"),
        ("eta", 0, "85"),
        ("T", 0, "-8"),
        ("H", 0, "-9 ± 2"),
    ] {
        screen.go("belt", quantity, Field::Value(item));
        screen.enter(typed);
    }
    let text = screen.text();
    for line in [
        "given Q_m = 200 t/h | 250 t/h : mass flow",
        "given k = 4 | 3",
        "given pf = 0.86 | 0.9 : power factor",
        "given eta = 85 % | 90 %",
        "given T = -8 °C | -5 °C",
        "given H = -9 m ± 2 m | 18 m",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    screen.go("belt", "Q_m", Field::Value(0));
    screen.at_once(vec![Event::Paste("210\t260".into())]);
    assert!(
        screen.text().contains("given Q_m = 210 t/h | 260 t/h : mass flow"),
        "{}",
        screen.text()
    );
    // A number that was bare before is opened with the unit it is shown with.
    screen.go("belt", "load", Field::Value(0));
    screen.key(Key::F2);
    assert_eq!(screen.window().typing(), Some("50 %"));
    screen.key(Key::Escape);
    screen.go("motors", "P_in", Field::Value(0));
    screen.enter("7.96");
    screen.at_once(vec![Event::Paste("8\n9".into())]);
    screen.go("motors", "n", Field::Value(2));
    screen.enter("6");
    let text = screen.text();
    for row in ["\"a\" | 7.96 kW | 4", "\"b\" | 8 kW | 5", "\"c\" | 9 kW | 6"] {
        assert!(text.contains(row), "{row}: {text}");
    }
}

/// A formula that reads other quantities makes a given a worked quantity, in one step that can be taken back.
#[test]
fn a_formula_typed_into_a_given_is_worked() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1
sheet pump
  given Q = 60 m³/h
  given H = 18 m
  given P = 5 kW : shaft power \"Shaft power\" measured \"2 March\"
  given m = 3
  given x
",
    );
    let before = screen.text();
    screen.go("pump", "P", Field::Value(0));
    screen.enter("1210 kg/m³ * g_n * Q * H");
    let line = "work P = 1210 kg/m³ * g_n * Q * H : shaft power \"Shaft power\" # was measured \"2 March\"";
    assert!(screen.text().contains(&format!("{line}\n")), "{}", screen.text());
    // 1210 · 9.80665 · 60/3600 · 18 = 3559.8 W, in the usual unit of its kind.
    let heard = screen.hears("P value").unwrap();
    assert!(heard.starts_with("3.560") && heard.ends_with("worked"), "{heard}");
    screen.keys(CTRL, Key::Z);
    assert_eq!(screen.text(), before);
    // A number stays given, whatever its unit is called; so does what reads nothing.
    for (typed, kept) in [
        ("3 m", "given H = 3 m"),
        ("2 * 9 m", "given H = 2 * 9 m"),
        ("n/a", "given H = n/a"),
    ] {
        screen.go("pump", "H", Field::Value(0));
        screen.enter(typed);
        assert!(screen.text().contains(kept), "{}", screen.text());
    }
    screen.go("pump", "x", Field::Formula);
    screen.enter("2 * Q");
    assert!(screen.text().contains("work x = 2 * Q"), "{}", screen.text());
}

/// What cannot be read stands as it was typed, with the reason under the grid as while it was typed.
#[test]
fn what_cannot_be_read_keeps_its_text_and_its_reason() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\nsheet pump\n  given H = 18 m\n  given K = 2 m\n",
    );
    for (typed, reason) in [
        ("1,5 m", "can be read as 1.5"),
        ("1 472 m", "write `1472`"),
        ("18 metres", "`metres` is not a known unit"),
        ("tork(", "something is missing"),
        ("2 m +- 1 m", "for a tolerance write"),
    ] {
        screen.go("pump", "H", Field::Value(0));
        screen.letters(typed);
        assert!(screen.has_part(reason), "{typed}: {:?}", screen.labels());
        screen.key(Key::Enter);
        screen.key(Key::ArrowUp);
        assert_eq!(screen.hears("H value"), Some(format!("{typed} failed")));
        assert!(screen.has_part(reason), "{typed}: {:?}", screen.labels());
    }
}

/// A command that changes lines takes the open text in first; one that a refused text is in the way of says so.
#[test]
fn a_command_while_typing_takes_the_text_in_or_says_what_is_in_its_way() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    let mut events = vec![Event::Text("19 m".into()), press(Key::Insert)];
    for word in ["Distance", "dist"] {
        events.extend(word.chars().map(|letter| Event::Text(letter.to_string())));
        events.push(press(Key::Tab));
    }
    screen.at_once(events);
    let text = screen.text();
    assert!(
        text.contains("given H = 19 m | 18 m") && text.contains("given dist \"Distance\"\n"),
        "{text}"
    );
    screen.go("brine", "Q", Field::Value(0));
    screen.letters("61 m³/h");
    screen.keys(Modifiers::ALT, Key::ArrowDown);
    let text = screen.text();
    let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("{part}: {text}"));
    assert!(at("given H = 19 m") < at("given Q = 61 m³/h | 85 m³/h"), "{text}");
    screen.go("brine", "H", Field::Unit);
    screen.letters("furlongs");
    screen.keys(CTRL, Key::E);
    assert!(screen.has("Do it"), "{:?}", screen.labels());
    screen.key(Key::Escape);
    // What cannot stand there is kept at its place.
    assert_eq!(screen.hears("H unit").as_deref(), Some("furlongs failed"));
    // A whole line has no place of its own: it stays open.
    screen.go("brine", "H", Field::Label);
    screen.keys(Modifiers::SHIFT, Key::F2);
    screen.keys(CTRL, Key::A);
    screen.letters("the height of it");
    screen.keys(CTRL, Key::E);
    assert!(
        !screen.has("Do it") && screen.has_part("a line cannot begin with `the`"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
}

/// What is offered stands in one line each, wide enough to be read, and not over the place that is typed in.
#[test]
fn offers_are_lines_of_their_own_beside_the_text() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(60));
    for (sheet, quantity, item) in [("brine", "H", 0), ("motors", "p", 2), ("motors", "p", 15)] {
        screen.go(sheet, quantity, Field::Value(item));
        // First a narrow list, then a wide one.
        for typed in ["n", "/a", " + lo"] {
            screen.letters(typed);
            let text = screen.focused().unwrap_or_default();
            let typing = screen.rect(&text).unwrap();
            let hint = screen
                .part_rect("Down marks one")
                .unwrap_or_else(|| panic!("{:?}", screen.labels()));
            let offered = screen.offered();
            assert!((1..=6).contains(&offered.len()), "{offered:?}");
            for (label, rect) in &offered {
                assert!(rect.height() < 30.0, "{label}: {rect:?}");
                assert!(
                    !rect.intersects(typing) && rect.min.y > 20.0,
                    "{label}: {rect:?} {typing:?}"
                );
            }
            let _ = hint;
        }
        screen.key(Key::Escape);
    }
}

const BELT: &str = "polepair 1
sheet belt
  cases dry | wet
  given Q_m = 180 t/h | 220 t/h : mass flow \"Gravel\" measured
  given eta = 92 %
  given H = 18 m
  given m_B = 9.5 kg/m
  given v = 1.6 m/s
  given n_r = 1470 r/min : rated speed
  work W = 2 * Q_m in t/h
  work M = 2 * m_B in kg/m
";

/// A formula of numbers alone takes the unit that is shown, as a bare number does: each number of a sum, one factor of a product.
#[test]
fn a_formula_of_numbers_takes_the_shown_unit() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    for (quantity, typed, kept, heard) in [
        ("eta", "90+2", "90 % + 2 %", "92"),
        ("eta", "90 - 2 %", "90 % - 2 %", "88"),
        ("H", "2*6", "2 m * 6", "12"),
        ("H", "30 / 4", "30 m / 4", "7.5"),
        ("H", "7-1/2", "7.5 m", "7.5"),
        ("H", "1½", "1.5 m", "1.5"),
        ("H", "-(2 + 3)*2", "-(2 m + 3 m)*2", "-10"),
        ("H", "sqrt(9) * 4", "sqrt(9) * 4 m", "12"),
        ("Q_m", "100+80", "100 t/h + 80 t/h", "180"),
        ("m_B", "2*15", "2 kg/m * 15", "30"),
        ("eta", "2 * 45 %", "2 * 45 %", "90"),
    ] {
        screen.go("belt", quantity, Field::Value(0));
        screen.enter(typed);
        let text = screen.text();
        assert!(
            text.contains(&format!("given {quantity} = {kept} | ")),
            "{typed}: {text}"
        );
        let shown = screen.hears(&format!("{quantity} dry")).unwrap();
        assert!(
            shown.starts_with(&format!("{heard} ")) && shown.ends_with("typed"),
            "{typed}: {shown}"
        );
        let other = screen.hears(&format!("{quantity} wet")).unwrap();
        assert!(other.ends_with("typed"), "{typed}: {other}");
    }
    // What the unit has no place in, and what would take the unit from the other case, is not taken in and says what to write.
    for (quantity, typed, said) in [
        ("eta", "sqrt(81)", "`sqrt(81) * 1 %`"),
        ("H", "3^2", "`(3^2) * 1 m`"),
        ("m_B", "5 ft", "other cases of m_B are in kg/m"),
    ] {
        let before = screen.text();
        screen.go("belt", quantity, Field::Value(1));
        screen.enter(typed);
        screen.go("belt", quantity, Field::Value(1));
        assert!(screen.has_part(said), "{typed}: {:?}", screen.labels());
        screen.key(Key::Delete);
        assert_eq!(screen.text(), before);
    }
    // Without blanks it is what plates say, which is no quotient and no difference; it stands there until it is mended.
    for (typed, said, offer, kept) in [
        (
            "230/460",
            "`230/460 m` is two values of a plate",
            "write 460 m",
            "460 m",
        ),
        (
            "5.5-6",
            "`5.5-6 m` is a range from one value to another",
            "write 6 m",
            "6 m",
        ),
    ] {
        screen.go("belt", "H", Field::Value(1));
        screen.enter(typed);
        screen.go("belt", "H", Field::Value(1));
        assert!(screen.has_part(said), "{typed}: {:?}", screen.labels());
        screen.ask(Act::Faults);
        screen.click_part(offer);
        assert!(
            screen.text().contains(&format!("sqrt(9) * 4 m | {kept}")),
            "{}",
            screen.text()
        );
    }
    screen.go("belt", "eta", Field::Value(1));
    screen.enter("sqrt(81) * 1 %");
    assert_eq!(screen.hears("eta wet").as_deref(), Some("9 typed"));
}

/// A repair that is offered for a number is read as the same number typed.
#[test]
fn an_offered_repair_takes_the_shown_unit() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    for (quantity, typed, offer, kept) in [("Q_m", "2,5", "2.5", "2.5 t/h"), ("n_r", "1,470", "1470", "1470 r/min")] {
        screen.go("belt", quantity, Field::Value(0));
        screen.enter(typed);
        screen.key(Key::ArrowUp);
        screen.click_part(&format!("write {offer}"));
        let text = screen.text();
        assert!(
            text.contains(&format!("given {quantity} = {kept} | ")),
            "{typed}: {text}"
        );
    }
}

/// A formula in one case leaves the unit that the other is written in.
#[test]
fn a_formula_in_one_case_does_not_change_the_unit() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.go("belt", "Q_m", Field::Value(0));
    screen.enter("40 kg/m * v");
    // 40 · 1.6 = 64 kg/s = 230.4 t/h. The case is worked by its own formula, and the working line shows how.
    let shown = screen.hears("Q_m dry").unwrap();
    assert!(
        shown.starts_with("230.4") && shown.ends_with("worked by a formula of its own"),
        "{shown}"
    );
    screen.go("belt", "Q_m", Field::Value(0));
    assert!(screen.has_part("Q_m = 40 kg/m * v"), "{:?}", screen.labels());
    assert!(screen.has_part("40 kg/m * 1.6 m/s"), "{:?}", screen.labels());
    assert_eq!(screen.hears("Q_m wet").as_deref(), Some("220 typed"));
    assert_eq!(
        screen.hears("Q_m formula").as_deref(),
        Some("own formula in dry: 40 kg/m * v"),
        "{:?}",
        screen.labels()
    );
    screen.go("belt", "Q_m", Field::Value(0));
    screen.enter("12");
    let text = screen.text();
    assert!(text.contains("given Q_m = 12 t/h | 220 t/h"), "{text}");
}

/// A given that is worked from now on keeps its source in a remark; a number typed back makes it a given again, with that source.
#[test]
fn what_becomes_worked_or_given_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\nsheet fan\n  given T_f = 55 N·m : torque \"Fan\" measured\n  given T_0 = 5 N·m : torque \"Friction\" assumed\n",
    );
    screen.go("fan", "T_0", Field::Value(0));
    screen.enter("T_f / 11");
    assert!(
        screen
            .text()
            .contains("work T_0 = T_f / 11 : torque \"Friction\" # was assumed\n"),
        "{}",
        screen.text()
    );
    assert!(
        screen.has_part("its source, assumed, is kept as a remark"),
        "{:?}",
        screen.labels()
    );
    screen.go("fan", "T_0", Field::Value(0));
    screen.enter("6");
    assert!(
        screen
            .text()
            .contains("given T_0 = 6 N·m : torque \"Friction\" assumed\n"),
        "{}",
        screen.text()
    );
    assert!(
        screen.has_part("T_0 is given now, with the source it had: assumed"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(screen.hears("T_0 value").as_deref(), Some("6 typed"));
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(
        screen
            .text()
            .contains("given T_0 = 5 N·m : torque \"Friction\" assumed"),
        "{}",
        screen.text()
    );
}

/// The order of the heads: a number, then its unit in the column beside it. In a list, all the numbers of the column.
#[test]
fn a_unit_typed_beside_bare_numbers_is_theirs() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet belt\n  cases dry | wet\n  given Q = 240 | 180 + 20\n  given eta = 0.9\n  \
        given v = 2 m/s\nlist motors\n  given tag : text\n  given I\n  rows tag | I\n    \"a\" | 12\n    \"b\" | 9.5 A\n    \"c\" |\n";
    let (mut screen, path) = Screen::with(folder.path(), book);
    screen.go("belt", "Q", Field::Unit);
    screen.enter("t/h");
    let text = screen.text();
    assert!(text.contains("given Q = 240 t/h | 180 t/h + 20 t/h in t/h"), "{text}");
    // One step; a share is typed as a plain number and only shown in per cent; a unit is not written twice.
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given Q = 240 | 180 + 20\n"));
    screen.go("belt", "eta", Field::Unit);
    screen.enter("%");
    screen.go("belt", "v", Field::Unit);
    screen.enter("ft/min");
    let text = screen.text();
    assert!(
        text.contains("given eta = 0.9 in %") && text.contains("given v = 2 m/s in ft/min"),
        "{text}"
    );
    screen.go("motors", "I", Field::Unit);
    screen.enter("A");
    let text = screen.text();
    assert!(
        text.contains("\"a\" | 12 A\n") && text.contains("\"b\" | 9.5 A\n"),
        "{text}"
    );
    drop(path);
}

/// What a formula is wanted in goes to the unit of the line, and an equation makes the line one that is sought.
#[test]
fn a_formula_brings_its_unit_and_an_equation_is_sought() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet drive\n  given P = 11 kW : shaft power\n  given n = 1455 r/min : shaft speed\n  \
        given T\n  work w = P / n\n  given n_2 : shaft speed \"Where it gives 60 N·m\" assumed\n";
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go("drive", "T", Field::Value(0));
    screen.enter("P / n in N·m");
    screen.go("drive", "w", Field::Formula);
    screen.enter("2 * P / n in lbf·ft");
    let text = screen.text();
    assert!(
        text.contains("work T = P / n in N·m") && text.contains("work w = 2 * P / n in lbf·ft"),
        "{text}"
    );
    screen.go("drive", "n_2", Field::Value(0));
    screen.enter("such that P / n_2 = 60 N·m between 1000 r/min and 3000 r/min");
    let text = screen.text();
    let sought =
        "seek n_2 such that P / n_2 = 60 N·m between 1000 r/min and 3000 r/min : shaft speed \"Where it gives 60 N·m\"";
    assert!(text.contains(sought), "{text}");
    // By hand: 11 000 / 60 / (π/30) = 1750.7 r/min.
    assert!(
        screen.hears("n_2 value").is_some_and(|said| said.contains("1751")),
        "{:?}",
        screen.labels()
    );
}

/// Lines that are copied to another sheet stay worked, and a row copied in a list keeps what is worked there.
#[test]
fn what_was_worked_stays_worked_where_it_is_pasted() {
    let folder = tempfile::tempdir().unwrap();
    let book = "polepair 1\nsheet drive\n  given P = 11 kW : shaft power \"Power\"\n  given n = 1455 r/min : shaft speed \"Speed\"\n  \
        work T = P / n in N·m : torque \"Torque\"\nlist motors\n  given tag : text\n  given P_r in kW : rated power\n  \
        given P_in in kW : input power\n  work eta = P_r / P_in in %\n  rows tag | P_r | P_in\n    \"a\" | 9 kW | 10 kW\n";
    let (mut screen, _path) = Screen::with(folder.path(), book);
    screen.go("drive", "P", Field::Label);
    screen.ask(Act::ChooseAll);
    screen.ask(Act::Copy);
    let copied = screen.copied().unwrap();
    screen.ask(Act::NewSheet);
    screen.at_once(vec![Event::Paste(copied)]);
    let text = screen.text();
    let new = text.split("sheet ").nth(2).unwrap_or_default();
    assert!(
        new.contains("given P = 11 kW") && new.contains("work T = P / n in N·m : torque \"Torque\""),
        "{text}"
    );
    // The row is copied over a further one; then its own input is typed: 9 kW of 12 kW are 75 %.
    screen.go("motors", "tag", Field::Value(0));
    screen.at_once(vec![Event::Paste(
        "b\t9 kW\t10 kW\t90 %\nc\t9 kW\t12 kW\t90 %".to_owned(),
    )]);
    let text = screen.text();
    assert!(
        !text.contains("90 %") && text.contains("\"c\" | 9 kW | 12 kW"),
        "{text}"
    );
    assert!(
        screen.hears("eta c").is_some_and(|said| said.starts_with("75")),
        "{:?}",
        screen.hears("eta c")
    );
    assert!(screen.has_part("eta stays worked here"), "{:?}", screen.labels());
}

/// What is typed into a value that was opened belongs to its number, never behind its unit; a press twice chooses the number as it chooses a
/// word elsewhere.
#[test]
fn an_opened_value_is_typed_on_at_its_number() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.key(Key::F2);
    screen.letters("5");
    assert_eq!(screen.window().typing(), Some("185 m"));
    // The unit is a key away.
    screen.key(Key::End);
    screen.key(Key::Backspace);
    screen.letters("ft");
    assert_eq!(screen.window().typing(), Some("185 ft"));
    screen.key(Key::Escape);
    screen.double_click("H winter");
    screen.letters("9.5");
    assert_eq!(screen.window().typing(), Some("9.5 m"));
    screen.key(Key::Enter);
    assert!(screen.text().contains("given H = 9.5 m"), "{}", screen.text());
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("-4 kW");
    screen.double_click("P_r M-1");
    screen.letters("3");
    assert_eq!(screen.window().typing(), Some("3 kW"));
    screen.key(Key::Escape);
    // What is more than a number, or none, is opened at its end.
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("4 kW ± 1 kW");
    for (quantity, place, typed) in [("P_r", "P_r M-1", "4 kW ± 1 kW!"), ("tag", "tag M-1", "M-1!")] {
        screen.go("motors", quantity, Field::Value(0));
        screen.key(Key::F2);
        screen.letters("!");
        assert_eq!(screen.window().typing(), Some(typed));
        screen.key(Key::Escape);
        screen.double_click(place);
        screen.letters("!");
        assert_eq!(screen.window().typing(), Some(typed));
        screen.key(Key::Escape);
    }
    // A text that is not taken in as well: what is wrong with it may stand anywhere.
    screen.go("motors", "n_r", Field::Value(0));
    screen.enter("14 | 15");
    screen.key(Key::Escape);
    screen.double_click("n_r M-1");
    screen.letters("!");
    assert_eq!(screen.window().typing(), Some("14 | 15!"));
}

/// A text that is not taken in is a step as any other: what puts it away can be taken back, and what goes with its place comes back with it.
#[test]
fn a_text_that_is_not_taken_in_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    let before = screen.text();
    let stands = |screen: &mut Screen| screen.hears("P_r M-2").as_deref() == Some("5 | 6 failed");
    screen.go("motors", "P_r", Field::Value(1));
    screen.enter("5 | 6");
    assert!(stands(&mut screen), "{:?}", screen.labels());
    // With its row.
    screen.go("motors", "n_r", Field::Value(1));
    screen.ask(Act::Delete);
    assert!(!screen.text().contains("M-2") && !stands(&mut screen));
    assert!(!screen.has_part("5 | 6"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(stands(&mut screen), "{:?}", screen.labels());
    screen.ask(Act::Redo);
    assert!(!screen.text().contains("M-2") && !screen.has_part("5 | 6"));
    screen.ask(Act::Undo);
    assert!(stands(&mut screen), "{:?}", screen.labels());
    assert_eq!(screen.text(), before);
    // A row before it, and another name of its own, leave it where it is.
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Insert);
    assert!(stands(&mut screen), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    screen.go("motors", "tag", Field::Value(1));
    screen.enter("M-9");
    assert_eq!(screen.hears("P_r M-9").as_deref(), Some("5 | 6 failed"));
    screen.ask(Act::Undo);
    assert!(stands(&mut screen), "{:?}", screen.labels());
    // By Delete, behind which something else was done.
    screen.go("motors", "P_r", Field::Value(1));
    screen.key(Key::Delete);
    assert!(!stands(&mut screen) && screen.text() == before);
    screen.go("motors", "n_r", Field::Value(0));
    screen.enter("1440");
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    screen.ask(Act::Undo);
    assert!(screen.has_part("Taken back: put `5 | 6` away"), "{:?}", screen.labels());
    assert!(stands(&mut screen), "{:?}", screen.labels());
    // By a value that is typed or pasted over it: one step, the value and what it stands for.
    for over in [Event::Text("7".to_owned()), Event::Paste("8".to_owned())] {
        screen.go("motors", "P_r", Field::Value(1));
        screen.at_once(vec![over, press(Key::Enter)]);
        assert!(!stands(&mut screen) && screen.text() != before, "{:?}", screen.labels());
        screen.ask(Act::Undo);
        assert!(stands(&mut screen) && screen.text() == before, "{:?}", screen.labels());
    }
    // With others beside it.
    screen.go("motors", "tag", Field::Value(1));
    screen.ask(Act::ChooseLine);
    screen.key(Key::Delete);
    assert!(!screen.has_part("5 | 6"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(stands(&mut screen) && screen.text() == before, "{:?}", screen.labels());
    // Steps go back in the order they were made: the width, then the text.
    screen.ask(Act::Wider);
    screen.ask(Act::Undo);
    assert!(stands(&mut screen), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(screen.has_part("Taken back: `5 | 6`"), "{:?}", screen.labels());
    assert_eq!(screen.hears("P_r M-2").as_deref(), Some("3 typed"));
    screen.ask(Act::Redo);
    assert!(stands(&mut screen), "{:?}", screen.labels());
}

/// A number typed over the formula of one case says so, by its mark too, and reads nothing.
#[test]
fn a_number_typed_over_one_case_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\nsheet w\n  cases low | mid\n  given P = 10 kW | 20 kW\n  given n = 1000 r/min\n  work T = P / n in N·m\n",
    );
    screen.go("w", "T", Field::Value(1));
    let before = screen.hears("T mid").unwrap();
    assert!(screen.has("reads"), "{:?}", screen.labels());
    screen.enter("99");
    assert!(
        screen.has_part("T in mid is typed now and not worked any more"),
        "{:?}",
        screen.labels()
    );
    screen.go("w", "T", Field::Value(1));
    assert!(!screen.has("reads"), "{:?}", screen.labels());
    let now = screen.hears("T mid").unwrap();
    let own = screen.hears("T low").unwrap();
    let word = |heard: &str| heard.split_once(' ').map(|(_, word)| word.to_owned());
    assert_eq!(word(&own), word(&before));
    assert_ne!(word(&now), word(&before), "{now}");
    // Typed anew it is not said again.
    screen.key(Key::Escape);
    screen.enter("98");
    assert!(!screen.has_part("not worked any more"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert_eq!(screen.hears("T mid").unwrap(), before);
    // Where each case has a number, or a formula of its own, nothing is typed over.
    let text = "polepair 1
sheet w
  cases low | mid
  given P = 10 kW | 20 kW
  work k = 1.1 | 1.2
  work S = 1 kW | 2 kW
  work Q = P * k | P + S in kW
  work V = 2 * P | -3 kW in kW
  work W = 2 * P | 3 kW ± 1 kW in kW
list m
  given tag : text
  given P in kW
  work R = 2 * P in kW
  rows tag | P
    \"a\" | 1 kW
    \"b\" | 2 kW
    \"c\" | 3 kW
  at \"a\" R = 3 * P
  at \"b\" R = 7 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let of = |screen: &Screen, label: &str| word(&screen.hears(label).unwrap());
    for label in ["k low", "k mid", "S low", "S mid", "Q low", "Q mid"] {
        assert_eq!(of(&screen, label), word(&before), "{label}");
    }
    // With its sign, and with what it may be off, it is one number all the same.
    for name in ["V", "W"] {
        for (case, reads) in [(0, true), (1, false)] {
            screen.go("w", name, Field::Value(case));
            assert_eq!(screen.has("reads"), reads, "{name} {case}: {:?}", screen.labels());
        }
    }
    // In a list a row with a number of its own reads nothing, one with a formula of its own does.
    for (item, reads) in [(0, true), (1, false), (2, true)] {
        screen.go("m", "R", Field::Value(item));
        assert_eq!(screen.has("reads"), reads, "{item}: {:?}", screen.labels());
    }
}

/// Who takes such a text back, or brings it again, is led to its place from wherever the choice stands.
#[test]
fn taking_a_text_back_leads_to_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "P_r", Field::Value(1));
    let place = screen.window().chosen();
    screen.enter("5 | 6");
    for act in [Act::Undo, Act::Redo] {
        screen.go("brine", "Q", Field::Value(0));
        assert_ne!(screen.window().chosen(), place);
        screen.ask(act);
        assert_eq!(screen.window().chosen(), place, "{act:?}");
    }
}

/// Until a text is mended its place has what it had, and that is said: where it stands, at what is worked from it, and when it is saved.
#[test]
fn what_rests_on_a_text_that_is_not_taken_in_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(3));
    let heard = |screen: &mut Screen, place: &str| screen.hears(place).unwrap_or_else(|| panic!("{place}"));
    let before = heard(&mut screen, "P_sh summer");
    screen.go("brine", "Q", Field::Value(1));
    screen.enter("90 | 95");
    screen.go("brine", "Q", Field::Value(1));
    assert!(
        screen.has_part("Until then `85 m³/h` stands here"),
        "{:?}",
        screen.labels()
    );
    // The other case does not rest on it.
    assert!(heard(&mut screen, "P_sh summer").contains("doubtful"), "{before}");
    assert!(!heard(&mut screen, "P_sh winter").contains("doubtful"));
    screen.go("brine", "P_sh", Field::Value(1));
    assert!(
        screen.has_part("`90 | 95` at Q is not taken in: this is worked from what stood there before"),
        "{:?}",
        screen.labels()
    );
    // The check of the same case too, in its panel.
    screen.go("brine", "eta", Field::Value(0));
    let resting = "`90 | 95` at Q is not taken in: this is worked from what stood there before";
    assert!(!screen.has_part(resting), "{:?}", screen.labels());
    screen.ask(Act::Checks);
    assert!(screen.has_part(resting), "{:?}", screen.labels());
    screen.ask(Act::Save);
    assert!(
        screen.has_part("Left out, as not taken in: `90 | 95`"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Export);
    screen.answer(&path.with_extension("csv").display().to_string());
    assert!(
        screen.has_part("Written:") && screen.has_part("Left out, as not taken in: `90 | 95`"),
        "{:?}",
        screen.labels()
    );
    screen.go("brine", "Q", Field::Value(1));
    screen.key(Key::Delete);
    assert_eq!(heard(&mut screen, "P_sh summer"), before);
    screen.ask(Act::Save);
    assert!(!screen.has_part("Left out"), "{:?}", screen.labels());
    // In a list it is the row alone.
    screen.go("motors", "p", Field::Value(1));
    screen.enter("4 | 6");
    assert!(heard(&mut screen, "n_s M-2").contains("doubtful") && heard(&mut screen, "s_r M-2").contains("doubtful"));
    assert!(!heard(&mut screen, "n_s M-1").contains("doubtful") && !heard(&mut screen, "n_s M-3").contains("doubtful"));
    // Of another sheet that gathers the rows all of it rests on that one.
    let text = "polepair 1
list m
  given tag : text
  given P in kW
  rows tag | P
    \"a\" | 1 kW
    \"b\" | 2 kW
sheet s
  work S = sum(P for m) in kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("m", "P", Field::Value(1));
    screen.enter("5 | 6");
    screen.go("s", "S", Field::Value(0));
    assert!(
        screen.hears("S value").unwrap().contains("doubtful"),
        "{:?}",
        screen.labels()
    );
}

/// While a long list is at work the place says what was typed there, not what it had before. All data is invented.
#[test]
fn a_place_shows_what_was_typed_while_it_is_worked() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P in kW\n  given f = 50 Hz\n  work Q = P * f * 1 s in kW\n  rows tag | P\n",
    );
    for row in 0..20_000 {
        book.push_str(&format!("    \"m{row}\" | {} kW\n", row % 90 + 1));
    }
    book.push_str("  at \"m3\" f = 60 Hz\n");
    let (mut screen, _) = Screen::with(folder.path(), &book);
    screen.go("motors", "tag", Field::Value(3));
    screen.letters("pump");
    screen.harness.key_press(Key::Enter);
    screen.harness.step();
    assert_eq!(
        screen.hears("tag m3").as_deref(),
        Some("pump …"),
        "{:?}",
        screen.labels()
    );
    screen.settle();
    assert_eq!(
        screen.hears("tag pump").as_deref(),
        Some("pump typed"),
        "{:?}",
        screen.labels()
    );
}

/// The unit of a value that was typed by mistake is emptied at its place, by Delete and by an emptied text; one that comes of a formula says
/// so.
#[test]
fn the_unit_of_a_value_is_emptied() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\n\nsheet a\n  given pf = 0.86 kW \"Power factor\"\n  given P = 5 kW\n  work Q = 2 * P\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("a", "pf", Field::Unit);
    screen.key(Key::Delete);
    assert!(screen.text().contains("given pf = 0.86 \"Power"), "{}", screen.text());
    screen.keys(CTRL, Key::Z);
    screen.go("a", "pf", Field::Unit);
    screen.key(Key::F2);
    screen.keys(CTRL, Key::A);
    screen.key(Key::Delete);
    screen.key(Key::Enter);
    assert!(screen.text().contains("given pf = 0.86 \"Power"), "{}", screen.text());
    screen.go("a", "Q", Field::Unit);
    screen.key(Key::Delete);
    assert!(screen.has_part("comes of its formula"), "{:?}", screen.labels());
}

/// What rests on such a text through curves, one behind another, says so too: as the value of a curve, where curves are handed on, where one is
/// read backwards, and in another sheet.
#[test]
fn what_rests_on_a_text_through_curves_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1

sheet a
  given n_s = 1500 r/min : synchronous speed
  given T_b = 200 N·m : torque
  given T_c = 60 N·m : torque
  curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(n_s, n), T_b, 15 %)
  curve T_2(n : shaft speed) in N·m = T_M(n) / 2
  work T = T_M(1400 r/min) in N·m
  work T_h = T_2(1400 r/min) in N·m
  work n_1 = operating_speed(T_2, T_c, 0 r/min, n_s) in r/min
  seek n_2 in r/min such that T_2(n_2) = T_c between 1400 r/min and n_s
  work other = 2 * T_c

sheet b
  work T_3 = 2 * a.T_h in N·m
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("a", "T_b", Field::Value(0));
    screen.enter("90 | 95");
    for name in ["T", "T_h", "n_1", "n_2"] {
        let heard = screen.hears(&format!("{name} value")).unwrap_or_default();
        assert!(heard.contains("doubtful"), "{name}: {heard} {:?}", screen.labels());
    }
    assert!(!screen.hears("other value").unwrap_or_default().contains("doubtful"));
    screen.go("b", "T_3", Field::Value(0));
    let heard = screen.hears("T_3 value").unwrap_or_default();
    assert!(heard.contains("doubtful"), "{heard} {:?}", screen.labels());
}
