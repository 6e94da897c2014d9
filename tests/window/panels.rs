//! Panels beside the grid: what they say, where their links lead, what their buttons change.

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, worked};

/// Faults of every sort that a panel leads to; all data is invented.
const FAULTY: &str = "polepair 1
workbook \"Invented\"

sheet drive \"Drive\"
  given V = 400 V : line voltage
  given I = 10 A : line current
  given eta = 0.9
  work P = V * I * 0.8 in kW : input power
  work Q = 15 kW/eta
  note \"a note
  check P <= 3 kW \"small enough\"

list motors \"Motors\"
  given tag : text
  given P_r in kW : shaft power
  rows tag | P_r
    \"M-1\" | 2 kW
    \"M-2\" | 5 Hz
";

/// A fault in the panel leads to its place, whichever way round the grid stands.
#[test]
fn a_click_on_a_fault_goes_to_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), FAULTY);
    screen.ask(Act::Faults);
    for (link, sheet, quantity, field) in [
        ("Q in drive", "drive", "Q", Field::Formula),
        ("P_r in motors, M-2", "motors", "P_r", Field::Value(1)),
    ] {
        screen.click(link);
        let (at, spot) = screen.window().chosen().unwrap();
        let results = screen.window().session().unwrap().results();
        let name = results.sheets[at].quantities[spot.quantity].name.to_string();
        assert_eq!(
            (&*results.sheets[at].name, name.as_str(), spot.field),
            (sheet, quantity, field),
            "{link}"
        );
    }
}

#[test]
fn an_offered_fix_is_one_click_and_one_step_to_take_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), FAULTY);
    let before = screen.text();
    screen.ask(Act::Faults);
    screen.click("→ put blanks around the operator");
    assert!(screen.text().contains("work Q = 15 kW / eta"), "{}", screen.text());
    assert!(!screen.has("Q in drive"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
}

/// A number that lacks its unit gets it in one press: at its fault, while its line is typed, in a condition, and where a formula that
/// reads it lacks the poles. What reads the faults of the program gets the same offers.
#[test]
fn a_number_without_its_unit_gets_it_in_one_press() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet drive
  given p = 4 pole : poles
  check p = 4 \"four\"
list motors
  given tag : text
  given z in pole : poles
  rows tag | z
    \"M-1\" | 4 pole
    \"M-2\" | 2 pole
";
    let (mut screen, path) = Screen::with(folder.path(), text);
    let json = worked(&path);
    let fixes = &json["faults"][0]["fixes"];
    assert_eq!(fixes[0]["label"], "write 4 pole", "{json}");
    assert_eq!(fixes[0]["text"], "  check p = 4 pole \"four\"", "{json}");
    screen.ask(Act::Faults);
    screen.click("→ write 4 pole");
    assert!(screen.text().contains("check p = 4 pole \"four\""), "{}", screen.text());
    // While it is typed.
    screen.key(Key::F11);
    screen.letters("check p > 6");
    screen.click("→ write 6 pole");
    screen.click("Do it");
    assert!(screen.text().contains("check p > 6 pole\n"), "{}", screen.text());
    screen.key(Key::Escape);
    screen.go("drive", "p", Field::Label);
    screen.key(Key::ArrowDown);
    screen.letters("given q = 8 : poles");
    screen.click("→ write 8 pole");
    assert_eq!(screen.window().typing(), Some("given q = 8 pole : poles"));
    screen.key(Key::Escape);
    // In a condition.
    screen.click("close");
    screen.go("motors", "z", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("z = 2");
    screen.click("→ write 2 pole");
    screen.click("Do it");
    assert!(
        screen.hears("tag M-2").is_some() && screen.hears("tag M-1").is_none(),
        "{:?}",
        screen.labels()
    );

    let text = "polepair 1\nsheet a\n  given p = 4\n  given f = 50 Hz\n  work n_s = f / p in r/min\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Faults);
    assert!(
        screen.has_part("`p` has no unit; where it counts poles, write `4 pole`"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has("→ write 4 pp"), "{:?}", screen.labels());
    screen.click("→ write 4 pole");
    // 50 Hz over two pairs of poles are 25 turns a second.
    let speed = screen.hears("n_s value");
    assert!(
        speed.as_deref().is_some_and(|speed| speed.starts_with("1500")),
        "{speed:?}"
    );
}

/// The best load of a shipped list is that of one of its methods: how it is worked stands there with numbers, as for the method itself. By
/// hand: 82.1 kW · 95.1 % / 110 kW is 70.98 %.
#[test]
fn a_value_that_is_handed_on_shows_its_working() {
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    screen.go("motors", "load", Field::Value(0));
    for words in [
        "= load_by_power(82.1 kW, 110 kW, 95.1 %)",
        "load = load_P = load_by_power(P_in, P_r, eta)",
        "= 70.98 %",
    ] {
        assert!(screen.has_part(words), "{words}: {:?}", screen.labels());
    }
}

#[test]
fn a_warning_is_accepted_with_a_reason_typed_in_the_panel() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), FAULTY);
    screen.ask(Act::Faults);
    assert!(screen.has_part("there is no √3"), "{:?}", screen.labels());
    screen.click("accept it…");
    screen.letters("one phase only");
    screen.key(Key::Enter);
    let text = screen.text();
    assert!(
        text.contains("accept ") && text.contains("\"one phase only\""),
        "{text}"
    );
    assert!(
        screen.has("Accepted") && screen.has("one phase only"),
        "{:?}",
        screen.labels()
    );
}

/// A line that is no quantity has no place in the grid: it is typed anew in the panel.
#[test]
fn a_line_without_a_place_in_the_grid_is_typed_anew() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given x = 1\n  nonsense here\n");
    screen.ask(Act::Faults);
    screen.click("type the line anew…");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("note \"in order\"");
    screen.key(Key::Enter);
    assert!(screen.text().contains("note \"in order\""), "{}", screen.text());
    assert!(screen.has("No faults and no warnings."), "{:?}", screen.labels());
}

#[test]
fn a_check_says_value_limit_and_margin_and_leads_to_its_quantity() {
    let folder = tempfile::tempdir().unwrap();
    let text = crate::grid::workbook(3);
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Checks);
    // By hand: (9 − 7.103) / 9 = 21.1 %, (9 − 5.014) / 9 = 44.3 %.
    for label in ["✓ 1 check holds", "9 kW", "21.1 %", "44.3 %"] {
        assert!(screen.has(label), "{label}: {:?}", screen.labels());
    }
    screen.click("summer");
    let (sheet, spot) = screen.window().chosen().unwrap();
    assert_eq!((sheet, spot.field), (0, Field::Value(1)));
    // The panel follows a change.
    screen.go("brine", "H", Field::Value(0));
    screen.enter("40 m");
    assert!(screen.has("✕ 1 check does not hold"), "{:?}", screen.labels());
}

#[test]
fn an_assumption_names_its_values_and_what_rests_on_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.ask(Act::Assumptions);
    assert!(
        screen.has("1210 kg/m³") && screen.has("used by"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "f", Field::Value(0));
    screen.click_part("P_sh");
    let (sheet, spot) = screen.window().chosen().unwrap();
    assert_eq!((sheet, spot.quantity), (0, 4));
}

#[test]
fn a_plot_follows_what_is_typed_and_a_given_is_dragged() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet drive
  given T_1 = 90 N·m : torque
  given n_r = 1450 r/min : rated speed
  curve T_L(n : shaft speed) in N·m through (0 r/min, 30 N·m), (1500 r/min, 90 N·m)
  plot T_L, T_1 * n / (1500 r/min) for n from 0 r/min to 1500 r/min \"Load\"
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Curves);
    assert!(
        screen.has("Load") && screen.has_part("plot of T_L"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has_part("Dotted: n_r = 1450 r/min"), "{:?}", screen.labels());
    screen.drag_to("drag T_1", 0.5, 0.75);
    let text = screen.text();
    let dragged: f64 = text
        .split("given T_1 = ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    assert!((100.0..180.0).contains(&dragged), "{text}");
    // However many steps the hand took, one is taken back.
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given T_1 = 90 N·m"), "{}", screen.text());
}

#[test]
fn the_keys_panel_finds_a_command_by_its_words_and_runs_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.keys(Modifiers::COMMAND, Key::K);
    screen.letters("behind this");
    assert!(
        screen.has("New sheet") && !screen.has("Fill down"),
        "{:?}",
        screen.labels()
    );
    screen.click("New sheet");
    assert!(screen.text().contains("sheet work"), "{}", screen.text());
    // By words of plain language too, and it says so where nothing is found.
    for (word, command) in [
        ("sort", "Largest first"),
        ("filter", "Only rows where…"),
        ("export", "Hand over…"),
    ] {
        screen.keys(Modifiers::COMMAND, Key::K);
        screen.letters(word);
        assert!(
            screen.has(command) && !screen.has("Fill down"),
            "{word}: {:?}",
            screen.labels()
        );
    }
    screen.keys(Modifiers::COMMAND, Key::K);
    screen.letters("xyzzy");
    assert!(screen.has_part("Nothing is called so"), "{:?}", screen.labels());
    // Enter does the first that is found.
    screen.keys(Modifiers::COMMAND, Key::K);
    screen.letters("take back");
    screen.key(Key::Enter);
    assert!(!screen.text().contains("sheet work"), "{}", screen.text());
}

#[test]
fn light_and_dark_and_size_change_nothing_but_the_look() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    let before = screen.text();
    let dark = screen.dark();
    screen.ask(Act::Night);
    assert_ne!(screen.dark(), dark);
    screen.ask(Act::Night);
    assert_eq!(screen.dark(), dark);
    screen.ask(Act::Larger);
    assert!(screen.zoom() > 1.05, "{}", screen.zoom());
    screen.ask(Act::UsualSize);
    assert!((screen.zoom() - 1.0).abs() < 1e-6);
    assert_eq!(screen.text(), before);
}

/// What the reading of a list doubts is seen in the grid, and where faults are looked for.
#[test]
fn a_doubted_reading_is_marked_at_its_row() {
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    // A list is read, whichever way it is opened.
    screen.keys(Modifiers::COMMAND, Key::O);
    screen.answer(&list.display().to_string());
    // Row 24 of the file: plate speed at the synchronous speed; row 11 stands as it should.
    screen.go("motors", "tag", Field::Value(12));
    let doubted = screen.hears("tag WP-303").unwrap();
    assert!(doubted.ends_with("doubtful"), "{doubted}");
    let plain = screen.hears("tag PC-104").unwrap();
    assert!(plain.ends_with("typed"), "{plain}");
    screen.key(Key::F7);
    assert!(screen.has_part("The reading of the list has"), "{:?}", screen.labels());
    screen.click_part("The reading of the list has");
    assert!(screen.has_part("Look at these:"), "{:?}", screen.labels());
    // What cannot be written says what can.
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("/nowhere/out.pdf");
    assert!(screen.has_part("end the name in .xlsx"), "{:?}", screen.labels());
}

/// A doubt leads to the very reading; corrected, it is settled and marked no more, and the load rests on the reading again once
/// somebody says so.
#[test]
fn a_doubt_leads_to_its_reading_and_ends_with_it() {
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    assert!(screen.has("Look at these: 11 doubts"), "{:?}", screen.labels());
    // Row 38: 79.6 kW measured where 418 V and 13 A carry 9.4 kVA at most. Two doubts stand on that row above a note, and the
    // first link of them is that of the error.
    screen.go("motors", "tag", Field::Value(0));
    screen.click("source row 38");
    let (at, spot) = screen.window().chosen().unwrap();
    let named = |screen: &mut Screen, spot: polepair::window::spot::Spot| {
        let results = screen.window().session().unwrap().results();
        results.sheets[at].quantities[spot.quantity].name.to_string()
    };
    assert_eq!(named(&mut screen, spot), "P_in");
    assert_eq!(spot.field, Field::Value(24));
    assert_eq!(screen.hears("P_in SV-408").as_deref(), Some("79.6 doubtful"));
    assert!(
        screen.has_part("△ The reading doubts this: Measured 79.6 kW"),
        "{:?}",
        screen.labels()
    );
    screen.enter("7.96 kW");
    assert!(
        screen.has("Look at these: 9 doubts, 2 settled"),
        "{:?}",
        screen.labels()
    );
    assert!(
        screen.has("corrected since: P_in was read as 79.6 kW, now 7.96 kW"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "P_in", Field::Value(24));
    assert_eq!(screen.hears("P_in SV-408").as_deref(), Some("7.96 typed"));
    assert!(screen.text().contains("\"refused\""), "{}", screen.text());
    screen.click("→ use it for the load");
    assert!(!screen.has("→ use it for the load"), "{:?}", screen.labels());
    screen.go("motors", "method", Field::Value(24));
    assert_eq!(screen.hears("method SV-408").as_deref(), Some("measured power worked"));
    // Taken back, the doubt stands again.
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(screen.has("Look at these: 11 doubts"), "{:?}", screen.labels());
    // A reading that is right as it stands is taken as right; a doubt of a column leads to the column.
    screen.click("it is right: use it");
    assert!(screen.has("taken as right by hand"), "{:?}", screen.labels());
    screen.click("a column");
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!((named(&mut screen, spot).as_str(), spot.field), ("P_r", Field::Label));
}

/// A doubt ends only where its rule, asked again, has nothing to say: another impossible value and an unreadable one leave it.
#[test]
fn another_value_that_cannot_be_leaves_the_doubt() {
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    screen.go("motors", "P_in", Field::Value(24));
    // 418 V and 13 A carry 9.4 kVA; 79.7 kW is as far above it as 79.6 kW.
    screen.enter("79.7");
    assert!(screen.has("Look at these: 11 doubts"), "{:?}", screen.labels());
    assert!(
        screen.has_part("P_in was read as 79.6 kW, now 79.7 kW; it is doubted still: Measured 79.7 kW"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(screen.hears("P_in SV-408").as_deref(), Some("79.7 doubtful"));
    screen.go("motors", "P_in", Field::Value(24));
    screen.at_once(vec![eframe::egui::Event::Paste("8,1".into())]);
    assert!(screen.has("Look at these: 11 doubts"), "{:?}", screen.labels());
    assert!(screen.has_part("now 8,1 kW; not asked again"), "{:?}", screen.labels());
    // 8.1 kW is below 9.4 kVA, and the load by it is near that by current.
    screen.go("motors", "P_in", Field::Value(24));
    screen.enter("8.1");
    assert!(
        screen.has("Look at these: 9 doubts, 2 settled"),
        "{:?}",
        screen.labels()
    );
}

/// A list of two sound motors, read in a window: nothing of it is doubted, and its loads ask for no trust.
fn sound_list(folder: &std::path::Path) -> Screen {
    let list = folder.join("sound.csv");
    std::fs::write(
        &list,
        "Tag;kW;rpm;poles;Hz;Efficiency %;Measured kW;Measured rpm\nA-1;15;1465;4;50;90;10;1480\nA-2;11;1455;4;50;89;6;1476\n",
    )
    .unwrap();
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    assert!(!screen.text().contains("trust_P"), "{}", screen.text());
    screen
}

/// What is typed into a list that was read stands under the rules of reading: a value that cannot be is doubted at its place, in the
/// report and for the load, and all of it goes with the value. One step takes all of it back.
#[test]
fn what_is_typed_into_a_list_stands_under_its_rules() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = sound_list(folder.path());
    assert!(screen.has("Look at these: 0 doubts"), "{:?}", screen.labels());
    let before = screen.text();
    // By hand: 15 kW / 0.90 = 16.7 kW, and 100 kW are six times as much.
    screen.go("motors", "P_in", Field::Value(0));
    screen.enter("100 kW");
    // The second is that the methods are far apart now.
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    assert!(
        screen.has_part("Measured 100 kW is 6.00 times"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(screen.hears("P_in A-1").as_deref(), Some("100 doubtful"));
    assert_eq!(screen.hears("tag A-2").as_deref(), Some("A-2 typed"));
    screen.go("motors", "grade", Field::Value(0));
    // What is doubted is not used where another method can be trusted: slip, (1500 - 1480) / (1500 - 1465).
    assert_eq!(screen.hears("grade A-1").as_deref(), Some("E worked"));
    assert_eq!(screen.hears("grade A-2").as_deref(), Some("A worked"));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    assert!(screen.has("Look at these: 0 doubts"), "{:?}", screen.labels());
    screen.ask(Act::Redo);
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    // A value that can be takes the doubt and the distrust with it.
    screen.go("motors", "P_in", Field::Value(0));
    screen.enter("9 kW");
    assert!(screen.has("Look at these: 0 doubts"), "{:?}", screen.labels());
    assert_eq!(screen.hears("P_in A-1").as_deref(), Some("9 typed"));
    screen.go("motors", "grade", Field::Value(0));
    assert_eq!(screen.hears("grade A-1").as_deref(), Some("A worked"));
    // 120 · 50 Hz / 4 poles are 1500 r/min, which a motor that drives does not reach.
    screen.go("motors", "n", Field::Value(1));
    screen.enter("1504");
    assert!(
        screen.has_part("Measured 1504 r/min is not below"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.text().contains("\"doubted\""), "{}", screen.text());
    // Looked at and found right, it is taken as right, and stays so.
    screen.click("it is right: use it");
    assert!(screen.has("taken as right by hand"), "{:?}", screen.labels());
    assert!(!screen.text().contains("\"doubted\""), "{}", screen.text());
    screen.go("motors", "P_in", Field::Value(1));
    screen.enter("7 kW");
    assert!(!screen.text().contains("\"doubted\""), "{}", screen.text());
}

/// A doubt between two readings stands at the one that was typed, whichever it is.
#[test]
fn a_doubt_stands_at_what_was_typed() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = sound_list(folder.path());
    // Four poles turn at less than 1500 r/min.
    for (typed, text, other) in [
        ("n_r", "1500 r/min", "p"),
        ("n_r", "980 r/min", "p"),
        ("n_r", "1800 r/min", "p"),
        ("p", "6 pole", "n_r"),
    ] {
        screen.go("motors", typed, Field::Value(0));
        screen.enter(text);
        let heard = |name: &str| screen.hears(&format!("{name} A-1")).unwrap_or_default();
        assert!(
            heard(typed).ends_with("doubtful"),
            "{typed}: {} {:?}",
            heard(typed),
            screen.labels()
        );
        assert!(heard(other).ends_with("typed"), "{other}: {}", heard(other));
        screen.ask(Act::Undo);
    }
}

/// Rows that are pasted over a list, or below it, stand under the same rules.
#[test]
fn pasted_rows_stand_under_the_rules_of_the_list() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = sound_list(folder.path());
    screen.go("motors", "P_in", Field::Value(0));
    screen.at_once(vec![eframe::egui::Event::Paste("100\n90\n".into())]);
    assert!(screen.has("Look at these: 4 doubts"), "{:?}", screen.labels());
    for tag in ["A-1", "A-2"] {
        let heard = screen.hears(&format!("P_in {tag}")).unwrap();
        assert!(heard.ends_with("doubtful"), "{heard}");
    }
    screen.ask(Act::Undo);
    // A row that was never read: 4 poles at 50 Hz turn below 1500 r/min.
    screen.go("motors", "tag", Field::Value(1));
    screen.ask(Act::InsertAfter);
    for (quantity, text) in [("P_r", "15 kW"), ("p", "4 pole"), ("f", "50 Hz"), ("n_r", "1610")] {
        screen.go("motors", quantity, Field::Value(2));
        screen.enter(text);
    }
    assert!(screen.has("row 3"), "{:?}", screen.labels());
    assert!(
        screen.has_part("Plate speed 1610 r/min is above"),
        "{:?}",
        screen.labels()
    );
    screen.click("row 3");
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!(spot.field, Field::Value(2));
}

/// A tag that is typed or pasted a second time is doubted at both its rows; the doubt goes with it.
#[test]
fn a_tag_that_comes_to_stand_twice_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = sound_list(folder.path());
    screen.go("motors", "tag", Field::Value(1));
    screen.enter("A-1");
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    for row in [2, 3] {
        let told = format!("Tag A-1 stands also in source row {row}.");
        assert!(screen.has_part(&told), "{told} in {:?}", screen.labels());
    }
    // The other one is given a tag of its own: both doubts go.
    screen.go("motors", "tag", Field::Value(0));
    screen.enter("A-7");
    assert!(screen.has("Look at these: 0 doubts"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(screen.has("Look at these: 0 doubts"), "{:?}", screen.labels());
    // A row copied to the end of the list.
    screen.go("motors", "tag", Field::Value(1));
    screen.ask(Act::InsertAfter);
    screen.go("motors", "tag", Field::Value(2));
    screen.at_once(vec![eframe::egui::Event::Paste("A-2".into())]);
    assert!(screen.has("Look at these: 2 doubts"), "{:?}", screen.labels());
    assert!(
        screen.has_part("Tag A-2 stands also in row 3 of the list."),
        "{:?}",
        screen.labels()
    );
}

/// A key steps through what is doubted, the worst first, and begins again after the last.
#[test]
fn a_key_steps_through_the_doubts() {
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    let mut places = Vec::new();
    // Four of the eleven are about rows that are no motors, and have no place in the list.
    for _ in 0..7 {
        screen.keys(Modifiers::SHIFT, Key::F4);
        places.push(screen.window().chosen().unwrap());
    }
    // Rows 24 and 38 of the file hold the readings that cannot be.
    let mut names = Vec::new();
    for (sheet, spot) in &places[..2] {
        let results = screen.window().session().unwrap().results();
        let name = results.sheets[*sheet].quantities[spot.quantity].name.to_string();
        names.push((name, spot.field));
    }
    assert_eq!(names[0], ("n_r".to_owned(), Field::Value(12)));
    assert_eq!(names[1], ("P_in".to_owned(), Field::Value(24)));
    screen.keys(Modifiers::SHIFT, Key::F4);
    assert_eq!(screen.window().chosen().unwrap(), places[0]);
    // Columns that are understood are folded.
    assert!(screen.has_part(" columns, "), "{:?}", screen.labels());
}

/// In a small window the grid keeps its values in sight, and nothing lies on the menus.
#[test]
fn a_small_window_keeps_its_values() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.ask(Act::Checks);
    screen.resize(640.0, 480.0);
    let value = screen.rect("H winter").unwrap();
    let panel = screen.rect("close").unwrap();
    assert!(value.width() > 30.0 && value.max.x < 330.0, "{value:?}");
    assert!(panel.min.x > 320.0, "{panel:?}");
    screen.resize(420.0, 400.0);
    let menu = screen.rect("Look").unwrap();
    let name = screen.rect("test.pole");
    assert!(name.is_none_or(|name| name.min.x >= menu.max.x), "{menu:?} {name:?}");
}

/// Six steps larger, a window of 800 x 600 points has 451 x 339 of them: the strip under the grid and the title yield.
#[test]
fn a_low_window_keeps_lines_of_the_grid() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.go("brine", "Q", Field::Value(0));
    screen.ask(Act::Curves);
    screen.resize(451.0, 339.0);
    let last = screen.rect("P_sh winter").unwrap();
    let resize = screen.part_rect("Shaft power").map(|rect| rect.max.y);
    assert!(last.max.y < 339.0 * 0.7 && last.width() > 30.0, "{last:?} {resize:?}");
}

/// What a unit system shows is the same quantity: 60 m³/h are 264.17 gal/min (231 in³ a gallon).
#[test]
fn us_units_are_shown_and_nothing_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &crate::grid::workbook(2));
    let before = std::fs::read_to_string(&path).unwrap();
    screen.go("brine", "Q", Field::Value(0));
    screen.ask(Act::InUs);
    assert_eq!(screen.hears("Q winter").as_deref(), Some("264.2 typed"));
    screen.ask(Act::InSi);
    screen.ask(Act::AsWritten);
    assert_eq!(screen.hears("Q winter").as_deref(), Some("60 typed"));
    assert!(!screen.window().session().unwrap().is_changed());
    assert_eq!(std::fs::read_to_string(&path).unwrap(), before);
}

/// A drive whose inputs have tolerances; the data is invented. By hand: 2 · (45 … 55 N·m) are 90 … 110 N·m; the limit of
/// 105 N·m holds at 100 N·m and not at 110 N·m; 200 N·m holds everywhere.
const TOLERANT: &str = "polepair 1
sheet drive
  given T_1 = 50 N·m ± 10 % : torque
  given n_r = 1450 r/min : shaft speed
  work T_2 = 2 * T_1 in N·m
  check T_2 <= 105 N·m \"coupling\"
  check T_2 <= 200 N·m \"shaft\"
  plot T_1 * (n / n_r)^2 for n from 0 r/min to 1500 r/min
";

#[test]
fn a_tolerance_is_seen_in_the_grid_the_working_the_checks_and_the_curves() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), TOLERANT);
    assert_eq!(screen.hears("T_1 value").as_deref(), Some("50 (45 … 55) typed"));
    assert_eq!(screen.hears("T_2 value").as_deref(), Some("100 (90 … 110) worked"));
    assert_eq!(screen.hears("n_r value").as_deref(), Some("1450 typed"));
    screen.go("drive", "T_2", Field::Value(0));
    assert!(screen.has_part("100 N·m (90 … 110)"), "{:?}", screen.labels());
    screen.go("drive", "T_1", Field::Value(0));
    assert!(screen.has("so it lies within 45 … 55 N·m"), "{:?}", screen.labels());
    screen.ask(Act::Checks);
    assert!(
        screen.has("✓ 1 check holds") && screen.has("± 1 in doubt"),
        "{:?}",
        screen.labels()
    );
    assert!(
        screen.has_part("holds in some places and not in others"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Curves);
    assert!(screen.has_part("Shaded"), "{:?}", screen.labels());
    // Dragged, it keeps its tolerance.
    screen.drag_to("drag T_1", 0.5, 0.75);
    let text = screen.text();
    assert!(
        text.contains("N·m ± 10 % : torque") && !text.contains("50 N·m ±"),
        "{text}"
    );
    screen.ask(Act::Undo);
    screen.go("drive", "T_1", Field::Value(0));
    // Without the tolerance nothing is shaded.
    screen.enter("50 N·m");
    assert!(!screen.has_part("Shaded"), "{:?}", screen.labels());
    assert_eq!(screen.hears("T_2 value").as_deref(), Some("100 worked"));
}

/// What is no quantity is typed, changed and taken away in its panel.
#[test]
fn a_check_a_plot_and_a_note_are_typed_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given P = 5 kW : shaft power\n");
    screen.key(Key::F11);
    for line in [
        "check P <= 4 kW \"small\"",
        "note \"first\"",
        "plot q * x for x from 0 to 2",
    ] {
        screen.click("New line");
        screen.letters(line);
        screen.key(Key::Enter);
        assert!(screen.text().contains(line), "{line}: {:?}", screen.labels());
    }
    // What is no line at all is refused and stays in its field.
    screen.click("New line");
    screen.letters("nonsense here");
    screen.key(Key::Enter);
    assert!(screen.has_part("a line cannot begin with"), "{:?}", screen.labels());
    assert_eq!(screen.hears("New line").as_deref(), Some("nonsense here"));
    screen.click("Leave it");
    assert!(!screen.has_part("a line cannot begin with"), "{:?}", screen.labels());
    // What is wrong stands under its line; the others live on.
    assert!(screen.has_part("✕ `"), "{:?}", screen.labels());
    screen.click("plot q * x for x from 0 to 2");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("plot P * x for x from 0 to 2");
    screen.key(Key::Enter);
    assert!(!screen.has_part("✕ `"), "{:?}", screen.labels());
    screen.click("note \"first\"");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("note \"second\"");
    screen.key(Key::Enter);
    let text = screen.text();
    assert!(!text.contains("first") && text.contains("note \"second\""), "{text}");
    screen.ask(Act::Checks);
    assert!(screen.has("✕ 1 check does not hold"), "{:?}", screen.labels());
    screen.ask(Act::Lines);
    screen.click("take away check P <= 4 kW \"small\"");
    assert!(!screen.text().contains("check"), "{}", screen.text());
    screen.ask(Act::Undo);
    assert!(screen.text().contains("check P <= 4 kW"), "{}", screen.text());
}

/// From the grid into the panel, along its links, and back, without a mouse.
#[test]
fn a_panel_is_reached_and_left_by_key() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.go("motors", "P_r", Field::Value(0));
    screen.key(Key::F8);
    screen.key(Key::F5);
    // From the name of the panel over the other panels to the first link of the check.
    for _ in 0..20 {
        if screen.focused().as_deref() == Some("fits the old motor") {
            break;
        }
        screen.key(Key::Tab);
    }
    assert_eq!(screen.focused().as_deref(), Some("fits the old motor"));
    screen.key(Key::Enter);
    let (sheet, spot) = screen.window().chosen().unwrap();
    assert_eq!((sheet, spot.quantity), (0, 4));
    screen.key(Key::Escape);
    screen.key(Key::ArrowUp);
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!(spot.quantity, 3);
}

/// Values by hand, with a horsepower of 745.699 871 6 W (550 ft·lbf/s) and a foot of 0.3048 m: 15 kW are 20.12 hp, 16.5 kW are
/// 22.13 hp, 30 kW are 40.23 hp; 100 N·m over 1.355 817 9 N·m a foot-pound are 73.76 lbf·ft.
const SHOWN: &str = "polepair 1
sheet drive \"Drive\"
  given P_n = 15 kW in kW : shaft power \"Power\" assumed
  given T_1 = 100 N·m : torque
  work P_2 = 2 * P_n in kW : shaft power
  check P_n >= 1.1 * P_n \"ten per cent in hand\"
  curve T_L(n : shaft speed) in N·m through (0 r/min, 50 N·m), (1500 r/min, 100 N·m)
  plot T_L, T_1 * n / (1500 r/min) for n from 0 r/min to 1500 r/min \"Load\"
list motors \"Motors\"
  given tag : text
  given P_r in kW : shaft power
  work P_3 = 3 * P_r in kW : shaft power
  rows tag | P_r
    \"M-1\" | 15 kW
    \"M-2\" | 7.5 kW
";

#[test]
fn a_unit_system_reaches_everything_that_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), SHOWN);
    let before = std::fs::read_to_string(&path).unwrap();
    screen.go("drive", "P_2", Field::Value(0));
    screen.ask(Act::InUs);
    // The working: what is put in, what comes out, what it rests on, what it is.
    assert!(screen.has("= 2 * 20.12 hp"), "{:?}", screen.labels());
    assert!(screen.has("= 40.23 hp"), "{:?}", screen.labels());
    assert!(screen.has("P_n = 20.12 hp (assumed)"), "{:?}", screen.labels());
    assert!(screen.has("shaft power, in hp"), "{:?}", screen.labels());
    // Beside what was typed stands what is shown.
    screen.go("drive", "P_n", Field::Value(0));
    assert!(
        screen.has("typed: 15 kW") && screen.has("= 20.12 hp"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Checks);
    assert!(
        screen.has("20.12 hp") && screen.has("22.13 hp"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Assumptions);
    assert!(screen.has("20.12 hp"), "{:?}", screen.labels());
    screen.ask(Act::Curves);
    screen.go("drive", "T_1", Field::Value(0));
    assert!(screen.has("73.76 lbf·ft"), "{:?}", screen.labels());
    // Read out at the cursor, the line of the curve and the one of the formula in one unit. By hand, at 745.28 r/min:
    // (50 + 50 · 745.28 / 1500) N·m and 100 · 745.28 / 1500 N·m, over 1.355 818.
    screen.point_at("plot of T_L, (2) over n");
    let newton = |label: &String| label.contains("N·m") && !label.starts_with("typed: ");
    assert!(
        screen.has("= 55.20 lbf·ft") && screen.has("= 36.65 lbf·ft") && !screen.labels().iter().any(newton),
        "{:?}",
        screen.labels()
    );
    // Copied: with the unit that is shown; pasted here again: as it was typed.
    screen.go("motors", "P_r", Field::Value(0));
    screen.at_once(vec![eframe::egui::Event::Copy]);
    let copied = screen.copied().unwrap();
    assert!(copied.starts_with("20.115") && copied.ends_with(" hp"), "{copied}");
    // Switching has changed nothing.
    assert!(!screen.window().session().unwrap().is_changed());
    assert_eq!(std::fs::read_to_string(&path).unwrap(), before);
    screen.go("motors", "P_r", Field::Value(1));
    screen.at_once(vec![eframe::egui::Event::Paste(copied)]);
    assert!(screen.text().contains("\"M-2\" | 15 kW"), "{}", screen.text());
    screen.ask(Act::AsWritten);
    assert!(!screen.has_part("hp"), "{:?}", screen.labels());
}

/// A plain number typed under hp is never taken for kW.
#[test]
fn a_number_without_a_unit_is_read_in_the_unit_that_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), SHOWN);
    screen.ask(Act::InUs);
    screen.go("motors", "P_r", Field::Value(0));
    screen.letters("55");
    assert!(
        screen.has_part("read as 55 hp") && !screen.has_part("kW"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Enter);
    assert!(screen.text().contains("\"M-1\" | 55 hp"), "{}", screen.text());
    assert_eq!(screen.hears("P_r M-1").as_deref(), Some("55 typed"));
    // Three times 55 hp.
    assert_eq!(screen.hears("P_3 M-1").as_deref(), Some("165 worked"));
    // With a unit of its own it stays that.
    screen.enter("11 kW");
    assert!(screen.text().contains("\"M-2\" | 11 kW"), "{}", screen.text());
    // Pasted from elsewhere as well.
    screen.go("motors", "P_r", Field::Value(1));
    screen.at_once(vec![eframe::egui::Event::Paste("7.5\n10".into())]);
    let text = screen.text();
    assert!(text.contains("\"M-2\" | 7.5 hp") && text.contains("| 10 hp"), "{text}");
    // In a sheet, with what it may be off.
    screen.go("drive", "P_n", Field::Value(0));
    screen.enter("20 ± 1");
    assert!(
        screen.text().contains("given P_n = 20 hp ± 1 hp in kW"),
        "{}",
        screen.text()
    );
    // As written it is the unit of the column.
    screen.ask(Act::AsWritten);
    screen.go("motors", "P_r", Field::Value(0));
    screen.letters("60");
    assert!(screen.has_part("read as 60 kW"), "{:?}", screen.labels());
    assert!(
        !screen
            .labels()
            .iter()
            .any(|label| label.starts_with('✕') && !label.contains("check")),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
}

/// A plain number that is shown in per cent opens in per cent.
#[test]
fn a_bare_number_opens_in_the_unit_that_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given eta = 0.9 : motor efficiency\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("a", "eta", Field::Value(0));
    screen.ask(Act::InSi);
    assert_eq!(screen.hears("eta value").as_deref(), Some("90 typed"));
    screen.key(Key::F2);
    assert_eq!(screen.window().typing(), Some("90 %"));
    // Left as it is, nothing is typed.
    screen.key(Key::Enter);
    assert!(screen.text().contains("given eta = 0.9 "), "{}", screen.text());
    screen.go("a", "eta", Field::Value(0));
    screen.enter("92");
    assert!(screen.text().contains("given eta = 92 %"), "{}", screen.text());
}

/// Units that are shown change what is shown and nothing else: what is dragged stays in the unit it is typed in.
#[test]
fn a_given_is_dragged_in_the_unit_that_it_is_typed_in() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), SHOWN);
    screen.go("drive", "T_1", Field::Value(0));
    screen.ask(Act::InUs);
    screen.ask(Act::Curves);
    screen.drag_to("drag T_1", 0.5, 0.75);
    let text = screen.text();
    let dragged: f64 = text
        .split("given T_1 = ")
        .nth(1)
        .and_then(|rest| rest.split(" N·m").next())
        .unwrap()
        .parse()
        .unwrap_or_else(|_| panic!("{text}"));
    // Between the 100 N·m it had and twice that.
    assert!((105.0..200.0).contains(&dragged), "{text}");
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given T_1 = 100 N·m"), "{}", screen.text());
}

/// Invented values that lack something in one case or row.
const LACKING: &str = "polepair 1
sheet drive \"Drive\"
  cases winter | summer
  given v = 3 m/s | 5 kW : speed
  given L = 2 m | 3 m
  given w = 1 m |
  work X = L * v / bad
  given u = 3 m/s | 5 mmm/s
  work Z = w * sum(P for motors)
list motors
  given tag : text
  given P in kW
  rows tag | P
    \"a\" | 15
    \"b\" | 20 kW
    \"\" | 5 Hz
";

#[test]
fn what_is_missing_or_wrong_is_named_with_its_case_or_row() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), LACKING);
    screen.ask(Act::Faults);
    for link in [
        "v in drive, summer",
        "u in drive, summer",
        "P in motors, a",
        "P in motors, row 3",
    ] {
        assert!(screen.has(link), "{link}: {:?}", screen.labels());
    }
    // What a cell with a fault rests on: the values of its own case, and which of them is wrong.
    screen.go("drive", "X", Field::Value(1));
    assert!(
        screen.has("L = 3 m") && screen.has("v has a fault") && !screen.has_part("values"),
        "{:?}",
        screen.labels()
    );
    screen.go("drive", "Z", Field::Value(1));
    assert!(
        screen.has("w is missing") && screen.has("motors.P: 1 of 3 values: a and 1 more with a fault"),
        "{:?}",
        screen.labels()
    );
    // A cell says what is wrong in words, and no code.
    assert_eq!(screen.hears("P a").as_deref(), None);
    screen.go("motors", "P", Field::Value(0));
    assert_eq!(screen.hears("P a").as_deref(), Some("15 has no unit failed"));
}

/// A check that does not hold is seen without its panel: at the head of the sheet, in the side bar, and in the working of what it reads.
#[test]
fn a_check_that_does_not_hold_is_seen_from_everywhere() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    let words = "✕ 1 check does not hold";
    assert!(!screen.has(words), "{:?}", screen.labels());
    screen.go("brine", "H", Field::Value(1));
    screen.enter("60 m");
    let seen = screen.labels().iter().filter(|label| *label == words).count();
    // A link is heard twice.
    assert_eq!(seen, 4, "{:?}", screen.labels());
    screen.go("brine", "P_sh", Field::Value(1));
    assert!(screen.has_part("✕ check P_sh <= 9 kW"), "{:?}", screen.labels());
    screen.go("brine", "P_sh", Field::Value(0));
    assert!(!screen.has_part("✕ check"), "{:?}", screen.labels());
    screen.click(words);
    let seen = screen.labels().iter().filter(|label| *label == words).count();
    assert_eq!(seen, 6, "{:?}", screen.labels());
    screen.go("brine", "H", Field::Value(1));
    screen.enter("18 m");
    assert!(!screen.has(words), "{:?}", screen.labels());
}

/// The result stands in the first line of the working; a long formula is one line until it is asked for.
#[test]
fn the_result_is_said_first_and_a_long_formula_is_folded() {
    let folder = tempfile::tempdir().unwrap();
    // 15 kW and 1 + 2 + … + 60 = 1830 kW.
    let long: String = (1..=60).map(|n| format!(" + {n} kW")).collect();
    let text = format!("polepair 1\nsheet a\n  given P = 15 kW\n  work R = P{long}\n");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("a", "R", Field::Value(0));
    let result = screen
        .rect("= 1845 kW")
        .unwrap_or_else(|| panic!("{:?}", screen.labels()));
    let formula = screen.part_rect("R = P + 1 kW").unwrap();
    assert!(
        result.max.y <= formula.min.y + 1.0 && formula.height() < 30.0,
        "{result:?} {formula:?}"
    );
    screen.click_part("R = P + 1 kW");
    let formula = screen.part_rect("R = P + 1 kW").unwrap();
    assert!(formula.height() > 30.0, "{formula:?}");
}

/// Titles are typed in the window: by command, and by pressing them twice.
#[test]
fn the_titles_of_sheet_and_workbook_are_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.go("brine", "H", Field::Value(0));
    for (act, title, line) in [
        (
            Act::TitleSheet,
            "Chilled \"brine\"",
            "sheet brine \"Chilled \\\"brine\\\"\"",
        ),
        (Act::TitleBook, "Ice rink", "workbook \"Ice rink\""),
    ] {
        screen.ask(act);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(title);
        assert!(screen.text().contains(line), "{}", screen.text());
    }
    assert!(screen.has("Ice rink"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(screen.text().contains("workbook \"Invented\""), "{}", screen.text());
    screen.double_click("Chilled \"brine\"");
    assert!(screen.has("Title of the sheet"), "{:?}", screen.labels());
}

/// Faults with one offered change that is certain are mended in one step, two of one line as well; what leaves a choice stays.
#[test]
fn all_faults_that_leave_no_choice_are_mended_in_one_step() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet a
  cases x | y
  given n = 1450 U/min | 2900 U/min
  given m = 960 U/min
  given k = 1,234 kg
  work P = n_m * 2 N·m
list l
  given tag : text
  given n in r/min
  rows tag | n
    \"a\" | 1440 U/min
    \"b\" | 2890 U/min
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let before = screen.text();
    screen.ask(Act::Faults);
    screen.click("→ mend all 5 that leave no choice");
    let now = screen.text();
    for line in [
        "given n = 1450 r/min | 2900 r/min\n",
        "given m = 960 r/min\n",
        "given k = 1,234 kg\n",
        "work P = n_m * 2 N·m\n",
        "\"a\" | 1440 r/min",
        "\"b\" | 2890 r/min",
    ] {
        assert!(now.contains(line), "{line}: {now}");
    }
    assert!(screen.has_part("5 faults mended as offered"), "{:?}", screen.labels());
    assert!(!screen.has_part("that leave no choice"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before);
}

/// A mark that was looked for nowhere is not one that is raised nowhere.
#[test]
fn a_flag_that_was_not_worked_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list m
  given tag : text
  given P in kW : power
  flag \"small\" where P < 1 kW
  flag \"large\" where P > 5
  flag \"equal\" where P = 4 kW
  rows tag | P
    \"A\" | 9 kW
    \"B\" | 4 kW
    \"C\" |
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Checks);
    // A and B are at most as small as 4 kW, C has no power; P > 5 asks for a unit.
    assert!(
        screen.has_part("raised nowhere, not worked for 1 of 3"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has_part("not worked"), "{:?}", screen.labels());
    assert!(!screen.has("raised nowhere"), "{:?}", screen.labels());
    screen.ask(Act::Lines);
    let labels = screen.labels();
    assert!(labels.iter().any(|label| label == "○ not worked"), "{labels:?}");
    assert!(!screen.has("raised nowhere"), "{labels:?}");
}
