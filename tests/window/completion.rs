//! What could stand at the cursor: offered in every place where a formula or a line is typed, and taken the same way in each.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::grid::workbook;
use crate::{Screen, press};

/// Letters one by one, as a list goes by the letters before it.
fn words(screen: &Screen) -> Vec<String> {
    screen.offered().into_iter().map(|(word, _)| word).collect()
}

fn offers(screen: &Screen, word: &str) -> bool {
    words(screen).iter().any(|offered| offered.starts_with(word))
}

/// In the panel of lines names, functions, units, series, kinds and sources are offered as in the grid, for a new line and for one
/// that is typed anew.
#[test]
fn lines_are_completed_like_the_places_of_the_grid() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Label);
    screen.key(Key::F11);
    for (typed, offered) in [
        ("che", "check "),
        ("check P_s", "P_sh"),
        ("check P_sh <= 9 k", "kW"),
        ("check P_sh <= next_rating(P_sh, kw_ra", "kw_ratings"),
        ("curve T_L(n : shaft sp", "shaft speed"),
        ("curve T_L(n : shaft speed) = quadr", "quadratic_load("),
        ("given x = 1 kW : shaft", "shaft power"),
        ("given x = 1 kW : shaft power me", "measured"),
        ("given x = 1 kW : shaft power \"Power\" me", "measured"),
        ("work x = P_sh when P_sh > 1 kW, oth", "otherwise "),
    ] {
        screen.letters(typed);
        assert!(offers(&screen, offered), "{typed}: {:?}", words(&screen));
        screen.key(Key::Escape);
        screen.key(Key::F11);
    }
    // Kinds of a power, not of a speed: the unit before the colon is known.
    screen.letters("given x = 1 kW : sp");
    assert!(!offers(&screen, "speed"), "{:?}", words(&screen));
    screen.key(Key::Escape);
    screen.key(Key::F11);
    // Taken by key, all in one frame; Enter types the line only where nothing is marked.
    let mut events: Vec<Event> = "check P_s"
        .chars()
        .map(|letter| Event::Text(letter.to_string()))
        .collect();
    events.extend([press(Key::ArrowDown), press(Key::Enter)]);
    events.extend(
        " <= 8 kW \"less\""
            .chars()
            .map(|letter| Event::Text(letter.to_string())),
    );
    screen.at_once(events);
    assert_eq!(screen.hears("New line").as_deref(), Some("check P_sh <= 8 kW \"less\""));
    // What it gives is told before it is taken in.
    assert!(screen.has_part("gives "), "{:?}", screen.labels());
    screen.key(Key::Enter);
    assert!(
        screen.text().contains("check P_sh <= 8 kW \"less\""),
        "{}",
        screen.text()
    );
    assert_eq!(screen.focused().as_deref(), Some("New line"));
    // The same where a line is typed anew, by the mouse.
    screen.click("check P_sh <= 8 kW \"less\"");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("check et");
    let offered = words(&screen);
    let eta = offered
        .iter()
        .find(|word| word.starts_with("eta"))
        .unwrap_or_else(|| panic!("{offered:?}"));
    screen.click(&eta.clone());
    assert_eq!(screen.hears("Line").as_deref(), Some("check eta"));
    screen.letters(" > 50 %");
    screen.key(Key::Enter);
    assert!(screen.text().contains("check eta > 50 %"), "{}", screen.text());
}

/// A whole line typed in the open line is completed too, wherever it is typed.
#[test]
fn a_whole_line_in_the_open_line_is_completed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let results = screen.window().session().unwrap().results();
    let last = results.sheets[0].quantities.last().unwrap().name.clone();
    for field in [Field::Label, Field::Symbol] {
        screen.go("brine", &last, field);
        screen.key(Key::ArrowDown);
        for (typed, offered) in [
            ("work q = 2 * P_s", "P_sh"),
            ("work q = P_sh in k", "kW"),
            ("given x = 1 kW : shaft", "shaft power"),
        ] {
            screen.letters(typed);
            assert!(offers(&screen, offered), "{field:?} {typed}: {:?}", words(&screen));
            screen.key(Key::Escape);
        }
        // Words that begin like a line are words.
        screen.letters("work on P_s");
        assert!(words(&screen).is_empty(), "{:?}", words(&screen));
        screen.key(Key::Escape);
    }
}

/// In the whole line of a quantity kinds are offered behind the colon, and no function.
#[test]
fn the_whole_line_is_completed_with_kinds() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Label);
    screen.keys(Modifiers::SHIFT, Key::F2);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("given H = 18 m : ");
    assert!(offers(&screen, "height"), "{:?}", words(&screen));
    assert!(
        words(&screen).iter().all(|word| !word.contains('(')),
        "{:?}",
        words(&screen)
    );
    screen.key(Key::Escape);
}

/// What is typed in the open line is looked at before it is taken in: the value, what is wrong, names and series.
#[test]
fn the_open_line_is_looked_at_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Formula);
    screen.key(Key::ArrowDown);
    screen.letters("next_rating(1.15 * P_sh, kw_ra");
    assert!(offers(&screen, "kw_ratings"), "{:?}", words(&screen));
    // The function says what is to stand there.
    assert!(
        screen.has_part("here series, the name of a series of ratings"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::ArrowDown);
    screen.key(Key::Enter);
    assert_eq!(screen.window().typing(), Some("next_rating(1.15 * P_sh, kw_ratings"));
    screen.letters(")");
    assert!(screen.has_part("gives "), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("2 * P_shh");
    assert!(screen.has_part("`P_shh` is not known here"), "{:?}", screen.labels());
    screen.key(Key::Escape);
}

/// A whole text that is opened hides nothing under a list; by words of their help functions are found.
#[test]
fn the_list_comes_with_the_first_letter() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Formula);
    screen.enter("rho * g_n * Q * H / (eta + sqr");
    screen.go("brine", "P_sh", Field::Formula);
    screen.ask(Act::Edit);
    assert_eq!(words(&screen), Vec::<String>::new());
    screen.letters("t");
    screen.key(Key::Backspace);
    assert!(offers(&screen, "sqrt("), "{:?}", words(&screen));
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("fan");
    assert!(offers(&screen, "quadratic_load("), "{:?}", words(&screen));
    screen.key(Key::Escape);
}

/// A function is found by a plain word while something is typed, and put there: in the grid, in the panel of lines, in an empty place.
#[test]
fn a_function_is_looked_up_while_something_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Formula);
    screen.letters("2 * brea");
    screen.key(Key::F12);
    // What was begun is what is looked for; typing on looks for something else, and what is open stays open.
    assert!(screen.has("torque_by_breakdown(s, T_b, s_b)"), "{:?}", screen.labels());
    screen.letters("fan");
    assert!(screen.has("quadratic_load(n, T_r, n_r)"), "{:?}", screen.labels());
    assert_eq!(screen.window().typing(), Some("2 * brea"));
    assert!(!screen.has_part("Down marks one"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("quadratic load");
    screen.key(Key::Enter);
    assert_eq!(screen.window().typing(), Some("2 * quadratic_load(n, T_r, n_r)"));
    // The first of what is to stand there is typed over.
    screen.letters("1 r/min");
    assert_eq!(screen.window().typing(), Some("2 * quadratic_load(1 r/min, T_r, n_r)"));
    screen.key(Key::F12);
    screen.letters("synchronous");
    screen.key(Key::Escape);
    screen.letters("2");
    assert!(
        screen.window().typing().unwrap().contains("1 r/min2"),
        "{:?}",
        screen.window().typing()
    );
    screen.key(Key::Escape);
    // From the panel of lines and back.
    screen.key(Key::F11);
    screen.letters("curve T_F(n : shaft speed) = ");
    screen.key(Key::F12);
    screen.letters("breakdown");
    screen.click("torque_by_breakdown(s, T_b, s_b)");
    let line = "curve T_F(n : shaft speed) = torque_by_breakdown(s, T_b, s_b)";
    assert_eq!(screen.hears("New line").as_deref(), Some(line), "{:?}", screen.labels());
    assert_eq!(screen.focused().as_deref(), Some("New line"));
    screen.letters("3 %");
    let typed = screen.hears("New line").unwrap_or_default();
    assert!(typed.ends_with("torque_by_breakdown(3 %, T_b, s_b)"), "{typed}");
    screen.key(Key::Escape);
    // Nothing is typed: it goes into an empty place and over no other.
    let before = screen.text();
    screen.go("brine", "P_sh", Field::Formula);
    screen.key(Key::F12);
    screen.letters("kw");
    screen.click("kw_ratings");
    assert!(
        screen.has_part("Open a place to type it in first"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(screen.window().typing(), None);
    assert_eq!(screen.text(), before);
    // By subject, with what is to stand there.
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.key(Key::Backspace);
    screen.click_part("Torque curves (");
    screen.click("more… of torque_by_breakdown");
    assert!(screen.has_part("T_b: breakdown torque"), "{:?}", screen.labels());
}

/// What is put in is typed through as people type a call: a comma with its blank goes to the next place, also behind a digit, where it may
/// stand in a number; the last bracket is the one that is there.
#[test]
fn a_comma_goes_to_the_next_place_of_a_call() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    for one_by_one in [false, true] {
        screen.go("brine", "P_sh", Field::Formula);
        screen.letters("quad");
        screen.key(Key::F12);
        screen.key(Key::Enter);
        assert_eq!(screen.window().typing(), Some("quadratic_load(n, T_r, n_r)"));
        let typed = "1.5*n_1, 20 N·m, 1450 r/min)";
        match one_by_one {
            true => screen.one_by_one(typed.chars().map(|letter| Event::Text(letter.to_string())).collect()),
            false => screen.letters(typed),
        }
        let whole = "quadratic_load(1.5*n_1, 20 N·m, 1450 r/min)";
        assert_eq!(screen.window().typing(), Some(whole));
        // Behind the call a comma is a comma.
        screen.letters(" + 2,5");
        assert_eq!(screen.window().typing(), Some(&*format!("{whole} + 2,5")));
        screen.key(Key::Escape);
    }
}

/// A line with a fault that is typed anew in the panel of faults is completed and looked at as one in the panel of lines is.
#[test]
fn a_line_with_a_fault_is_completed_where_it_is_typed_anew() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\n\nsheet a\n  given P_n = 4 kW : shaft power\n  curve T(n : shaft speed) in N·m = \n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.key(Key::F7);
    screen.click("type the line anew…");
    screen.letters("P_");
    assert!(offers(&screen, "P_n"), "{:?} {:?}", words(&screen), screen.labels());
    screen.key(Key::ArrowDown);
    screen.key(Key::Enter);
    screen.letters(" / n");
    assert!(!offers(&screen, "P_n"), "{:?}", words(&screen));
    screen.key(Key::Enter);
    assert!(screen.text().contains("in N·m = P_n / n\n"), "{}", screen.text());
}
