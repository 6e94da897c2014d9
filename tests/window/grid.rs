//! Typing and moving: one widget for a worked sheet and a list of five thousand rows.

use std::fmt::Write as _;

use eframe::egui::{self, Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::{Field, NEW, Spot};

use crate::{Screen, flat, held, json_value, press, pressed, worked};

/// A worked sheet and a list; all data is invented.
pub fn workbook(rows: usize) -> String {
    let mut text = String::from(
        "polepair 1
workbook \"Invented\"

sheet brine \"Brine pump drive\"
  cases winter | summer
  given Q = 60 m³/h | 85 m³/h : volume flow \"Brine flow\" measured
  given H = 18 m : height \"Head\"
  given rho = 1210 kg/m³ : density \"Brine\" assumed
  given eta = 71 % : pump efficiency
  work P_sh = rho * g_n * Q * H / eta in kW : shaft power \"Shaft power\"
  check P_sh <= 9 kW \"fits the old motor\"

list motors \"Motors\"
  given tag : text
  given P_r in kW : shaft power
  given n_r in r/min : rated speed
  given p in pole : poles
  given f = 50 Hz : frequency
  work n_s = f / p in r/min
  work s_r = (n_s - n_r) / n_s in %
  rows tag | P_r | n_r | p
",
    );
    for row in 1..=rows {
        let _ = writeln!(
            text,
            "    \"M-{row}\" | {} kW | {} r/min | 4 pole",
            1 + row % 90,
            1400 + row % 90
        );
    }
    text
}

/// What each place in sight says is what `work --json` of the saved file says.
fn same_as_worked(
    screen: &mut Screen,
    path: &std::path::Path,
    sheet: &str,
    quantities: &[&str],
    items: &[(usize, &str)],
) {
    screen.ask(Act::Save);
    let json = worked(path);
    for quantity in quantities {
        for (item, name) in items {
            let label = format!("{quantity} {name}");
            let heard = screen
                .hears(&label)
                .unwrap_or_else(|| panic!("{label} is not in sight"));
            let value = json_value(&json, sheet, quantity, *item);
            match value {
                Some(value) => assert_eq!(heard.split(' ').next(), Some(value.as_str()), "{label}: {heard}"),
                None => assert!(
                    heard.ends_with("missing") || heard.ends_with("failed"),
                    "{label}: {heard}"
                ),
            }
        }
    }
}

#[test]
fn a_sheet_and_a_list_are_edited_in_one_widget_and_agree_with_the_program() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(5000));
    let cases = [(0, "winter"), (1, "summer")];
    let all = ["Q", "H", "rho", "eta", "P_sh"];
    same_as_worked(&mut screen, &path, "brine", &all, &cases);
    for (quantity, text) in [("Q", "70 m³/h"), ("eta", "65 %"), ("H", "20 m"), ("P_sh", "5 kW")] {
        screen.go("brine", quantity, Field::Value(0));
        screen.enter(text);
        same_as_worked(&mut screen, &path, "brine", &all, &cases);
    }
    let columns = ["P_r", "n_r", "p", "n_s", "s_r"];
    let row = |item: usize| (item, format!("M-{}", item + 1));
    for item in [0, 2499, 4999] {
        for (quantity, text) in [("n_r", "1477 r/min"), ("P_r", "20 hp"), ("p", "2 pole"), ("P_r", "")] {
            screen.go("motors", quantity, Field::Value(item));
            if text.is_empty() {
                screen.key(Key::Delete);
            } else {
                screen.enter(text);
            }
            let (item, name) = row(item);
            // Enter went down a line; come back to where it was typed.
            screen.go("motors", quantity, Field::Value(item));
            same_as_worked(&mut screen, &path, "motors", &columns, &[(item, name.as_str())]);
        }
    }
}

#[test]
fn letters_enter_and_arrows_of_one_frame_are_all_taken_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(8));
    screen.go("motors", "P_r", Field::Value(0));
    let mut events = Vec::new();
    for row in 0..6 {
        for letter in format!("{}.25 kW", row + 1).chars() {
            events.push(Event::Text(letter.to_string()));
        }
        events.push(press(Key::Enter));
    }
    events.extend([
        press(Key::ArrowUp),
        Event::Text("7".into()),
        Event::Text(" kW".into()),
        press(Key::Tab),
    ]);
    screen.at_once(events);
    let text = screen.text();
    for row in 0..5 {
        assert!(
            text.contains(&format!("\"M-{}\" | {}.25 kW", row + 1, row + 1)),
            "{text}"
        );
    }
    assert!(text.contains("\"M-6\" | 7 kW"), "{text}");
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(5));
}

/// A press between letters of one frame, as after a hiccup of the machine: each letter goes to the place that was pressed before it.
#[test]
fn letters_and_presses_of_one_frame_are_all_taken_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(8));
    screen.go("motors", "P_r", Field::Value(0));
    let places = ["P_r M-6", "P_r M-2", "n_r M-4"].map(|label| screen.rect(label).unwrap().center());
    let [sixth, second, speed] = places;
    let typed = |text: &str| {
        text.chars()
            .map(|letter| Event::Text(letter.to_string()))
            .collect::<Vec<_>>()
    };
    let mut events = typed("21 kW");
    events.extend(pressed(sixth));
    events.extend(typed("26 kW"));
    events.push(press(Key::Enter));
    // What has to wait for the rows to be in order keeps its place before the press that follows.
    events.push(held(Modifiers::ALT, Key::Z));
    events.extend(pressed(second));
    events.extend(typed("22 kW"));
    events.push(press(Key::Tab));
    events.extend(pressed(speed));
    events.extend(typed("1444 r/min"));
    events.push(press(Key::Enter));
    screen.at_once(events);
    let text = screen.text();
    assert!(text.contains("\"M-1\" | 21 kW"), "{text}");
    assert!(text.contains("\"M-6\" | 26 kW"), "{text}");
    let named: Vec<&str> = text.lines().filter(|line| line.trim_start().starts_with('"')).collect();
    assert_eq!(named.len(), 8, "{text}");
    for (row, line) in named.iter().enumerate() {
        assert!(line.contains(&format!("\"M-{}\" |", row + 1)), "{text}");
    }
    assert!(text.contains("| 22 kW") && text.contains("| 1444 r/min"), "{text}");
}

#[test]
fn a_cursor_key_in_the_open_text_and_letters_after_it_keep_their_order() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("motors", "P_r", Field::Value(0));
    screen.at_once(vec![
        Event::Text("2".into()),
        Event::Text("5 kW".into()),
        press(Key::Home),
        Event::Text("1".into()),
        press(Key::Enter),
        Event::Text("9 kW".into()),
        press(Key::Enter),
    ]);
    let text = screen.text();
    assert!(text.contains("\"M-1\" | 125 kW"), "{text}");
    assert!(text.contains("\"M-2\" | 9 kW"), "{text}");
}

#[test]
fn two_parts_of_a_line_typed_in_one_frame_are_both_kept() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Kind);
    screen.at_once(vec![
        Event::Text("length".into()),
        press(Key::Tab),
        Event::Text("maker page 7".into()),
        press(Key::Enter),
        press(Key::Home),
        Event::Text("Lift".into()),
        press(Key::Tab),
    ]);
    let text = screen.text();
    assert!(
        text.contains("given H = 18 m : length \"Head\" maker \"page 7\""),
        "{text}"
    );
    assert!(text.contains("\"Lift\" assumed"), "{text}");
}

#[test]
fn letters_after_an_escape_or_a_find_reach_their_place() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(30));
    screen.go("motors", "P_r", Field::Value(0));
    let ctrl = |key| Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::COMMAND,
    };
    screen.at_once(vec![
        Event::Text("1".into()),
        press(Key::Escape),
        press(Key::ArrowDown),
        Event::Text("77 kW".into()),
        ctrl(Key::F),
        Event::Text("M-2".into()),
        Event::Text("7".into()),
        press(Key::Enter),
    ]);
    screen.key(Key::Escape);
    let text = screen.text();
    assert!(
        text.contains("\"M-1\" | 2 kW") && text.contains("\"M-2\" | 77 kW"),
        "{text}"
    );
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(26));
}

/// By hand: 5 kW times 0.9 are 4.5 kW.
#[test]
fn a_new_given_of_a_list_is_a_column() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(3));
    let before = screen.text();
    screen.go("motors", "P_r", Field::Symbol);
    screen.key(Key::Insert);
    screen.enter("k_d");
    screen.go("motors", "k_d", Field::Value(1));
    screen.enter("0.9");
    let text = screen.text();
    assert!(text.contains("rows tag | P_r | k_d | n_r | p"), "{text}");
    assert!(text.contains("\"M-2\" | 3 kW | 0.9 | 1402 r/min | 4 pole"), "{text}");
    screen.go("motors", "P_r", Field::Value(1));
    screen.enter("5 kW");
    screen.go("motors", "s_r", Field::Symbol);
    screen.key(Key::Insert);
    screen.enter("P_d");
    screen.go("motors", "P_d", Field::Symbol);
    screen.ask(Act::Role);
    screen.go("motors", "P_d", Field::Kind);
    screen.enter("shaft power");
    screen.go("motors", "P_d", Field::Formula);
    screen.enter("k_d * P_r");
    screen.go("motors", "P_d", Field::Value(1));
    same_as_worked(&mut screen, &path, "motors", &["P_r", "k_d", "P_d"], &[(1, "M-2")]);
    let text = screen.text();
    assert_eq!(screen.hears("P_d M-2").as_deref(), Some("4.5 worked"), "{text}");
    assert!(screen.hears("P_d M-1").unwrap().ends_with("missing"));
    // The column goes with its given, and all of it comes back.
    let whole = screen.text();
    assert!(whole.contains("rows tag | P_r | k_d | n_r | p"), "{whole}");
    screen.go("motors", "k_d", Field::Symbol);
    screen.ask(Act::Delete);
    assert!(screen.text().contains("rows tag | P_r | n_r | p"));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), whole);
    for _ in 0..20 {
        screen.ask(Act::Undo);
    }
    assert_eq!(screen.text(), before);
}

#[test]
fn cases_are_named_and_moved() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(1));
    screen.go("brine", "Q", Field::Value(0));
    screen.ask(Act::CaseOn);
    let text = screen.text();
    assert!(text.contains("cases summer | winter"), "{text}");
    assert!(text.contains("given Q = 85 m³/h | 60 m³/h"), "{text}");
    screen.ask(Act::RenameCase);
    for _ in 0.."winter".len() {
        screen.key(Key::Backspace);
    }
    screen.answer("frost");
    assert!(screen.text().contains("cases summer | frost"), "{}", screen.text());
    assert_eq!(screen.hears("Q frost").as_deref(), Some("60 typed"));
}

#[test]
fn what_is_copied_has_units_and_can_be_pasted_again() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "tag", Field::Value(0));
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowDown] {
        screen.keys(Modifiers::SHIFT, key);
    }
    screen.at_once(vec![Event::Copy]);
    let copied = screen.copied().unwrap();
    assert_eq!(copied, "M-1\t2 kW\t1401 r/min\nM-2\t3 kW\t1402 r/min");
    screen.go("motors", "tag", Field::Value(2));
    screen.at_once(vec![Event::Paste(copied)]);
    let text = screen.text();
    assert!(
        text.contains("\"M-2\" | 3 kW | 1402 r/min |  |") || text.contains("\"M-2\" | 3 kW | 1402 r/min |"),
        "{text}"
    );
    assert_eq!(text.matches("\"M-1\"").count(), 2, "{text}");
    // A result goes with the digits it was worked with, in its unit. By hand: 50 Hz over 2 pole pairs are 1500 r/min.
    screen.go("motors", "n_s", Field::Value(0));
    screen.at_once(vec![Event::Copy]);
    assert_eq!(screen.copied().as_deref(), Some("1500 r/min"));
}

#[test]
fn columns_are_hidden_pinned_and_made_wider() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "n_r", Field::Value(0));
    screen.ask(Act::Hide);
    assert!(screen.hears("n_r M-1").is_none() && screen.hears("p M-1").is_some());
    assert!(screen.has_part("1 hidden"));
    screen.ask(Act::ShowAll);
    assert!(screen.hears("n_r M-1").is_some());
    let width = |screen: &mut Screen| screen.rect("n_r M-1").unwrap().width();
    screen.go("motors", "n_r", Field::Value(0));
    let before = width(&mut screen);
    screen.ask(Act::Wider);
    assert!((width(&mut screen) - before * 1.25).abs() < 1.0);
    screen.ask(Act::Narrower);
    assert!((width(&mut screen) - before).abs() < 1.0);
    // Pinned up to here, the columns stay while the others are scrolled.
    screen.ask(Act::Pin);
    for _ in 0..12 {
        screen.ask(Act::Wider);
    }
    screen.key(Key::End);
    assert!(screen.rect("tag M-1").unwrap().min.x < 400.0);
}

#[test]
fn an_order_and_a_condition_hold_together_and_outlive_a_new_row() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(20));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::SortDown);
    screen.ask(Act::Filter);
    screen.answer("P_r > 15 kW");
    assert!(
        screen.has_part("6 of 20") && screen.has_part("P_r, largest first"),
        "{:?}",
        screen.labels()
    );
    screen.keys(Modifiers::COMMAND, Key::Home);
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.field, Field::Value(19));
    screen.ask(Act::Insert);
    assert!(
        screen.has_part("7 of 21") && screen.has_part("P_r, largest first"),
        "{:?}",
        screen.labels()
    );
}

#[test]
fn f2_opens_what_was_typed_and_escape_leaves_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    screen.go("brine", "Q", Field::Value(1));
    screen.key(Key::F2);
    assert_eq!(screen.window().typing(), Some("85 m³/h"));
    screen.letters(" + 1");
    screen.key(Key::Escape);
    assert_eq!(screen.window().typing(), None);
    assert_eq!(screen.text(), before);
    // The whole line.
    screen.keys(Modifiers::SHIFT, Key::F2);
    assert_eq!(
        screen.window().typing(),
        Some("given Q = 60 m³/h | 85 m³/h : volume flow \"Brine flow\" measured")
    );
    screen.key(Key::Escape);
}

#[test]
fn a_wrong_unit_is_told_while_typing_and_the_rest_lives_on() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(1));
    screen.letters("18 kW");
    assert!(screen.has_part("height"), "{:?}", screen.labels());
    assert!(
        screen.labels().iter().any(|label| label.starts_with('✕')),
        "{:?}",
        screen.labels()
    );
    // It may be typed all the same; its place says so, and what does not read it is worked.
    screen.key(Key::Enter);
    assert!(screen.hears("H summer").unwrap().ends_with("failed"));
    assert!(screen.hears("P_sh summer").unwrap().ends_with("failed"));
    assert_eq!(screen.hears("Q winter").unwrap(), "60 typed");
    assert!(screen.hears("P_sh winter").unwrap().ends_with("worked"));
    screen.ask(Act::Faults);
    screen.go("brine", "Q", Field::Value(0));
    screen.click_part("H in brine");
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.quantity, 1);
}

/// By hand: 2 × 60 m³/h are 120 m³/h.
#[test]
fn a_formula_is_typed_and_gives_a_value() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Symbol);
    screen.key(Key::Insert);
    screen.go("brine", "x", Field::Symbol);
    screen.enter("Q_2");
    screen.go("brine", "Q_2", Field::Kind);
    screen.enter("volume flow");
    screen.go("brine", "Q_2", Field::Kind);
    screen.ask(Act::Role);
    screen.go("brine", "Q_2", Field::Formula);
    screen.letters("2 * Q");
    assert!(
        screen.has_part("gives 120 m³/h in winter, 170 m³/h in summer: volume flow"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Enter);
    screen.go("brine", "Q_2", Field::Unit);
    screen.enter("m³/h");
    assert_eq!(
        screen.hears("Q_2 winter").as_deref(),
        Some("120 worked"),
        "{}",
        screen.text()
    );
}

#[test]
fn what_is_offered_is_taken_by_key() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Formula);
    screen.letters("rh");
    assert!(
        screen.labels().iter().any(|label| label.contains("Brine: density")),
        "{:?}",
        screen.labels()
    );
    screen.keys(Modifiers::COMMAND, Key::ArrowDown);
    screen.key(Key::Enter);
    assert_eq!(screen.window().typing(), Some("rho"));
    screen.letters(" * 2");
    assert_eq!(screen.window().typing(), Some("rho * 2"));
    screen.key(Key::Escape);
}

#[test]
fn renaming_rewrites_formulas_and_is_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    screen.go("brine", "rho", Field::Value(0));
    screen.key(Key::F6);
    assert_eq!(screen.window().typing(), Some("rho"));
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters("density_1");
    assert_eq!(screen.window().typing(), Some("density_1"));
    screen.key(Key::Enter);
    let labels = screen.labels();
    assert_eq!(screen.window().typing(), None, "{labels:?}");
    let text = screen.text();
    assert!(text.contains("work  P_sh") || text.contains("work P_sh"), "{text}");
    assert!(text.contains("= density_1 * g_n * Q * H / eta"), "{text}");
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before);
    screen.keys(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    assert_eq!(screen.text(), text);
}

#[test]
fn a_refused_text_stays_at_its_place_and_the_cursor_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    // Who types on looks at the paper, not at the screen: each text goes to its own place.
    screen.go("brine", "rho", Field::Symbol);
    screen.letters("eta");
    screen.key(Key::Tab);
    screen.letters("1200 kg/m³");
    screen.key(Key::Tab);
    screen.go("brine", "H", Field::Value(0));
    screen.letters("5 m | 6 m");
    screen.key(Key::Tab);
    let text = screen.text();
    assert_eq!(
        text,
        before.replace("rho = 1210 kg/m³", "rho = 1200 kg/m³ | 1210 kg/m³")
    );
    assert_eq!(screen.hears("rho symbol").as_deref(), Some("eta failed"));
    assert_eq!(screen.hears("H winter").as_deref(), Some("5 m | 6 m failed"));
    assert!(screen.has("2 faults and warnings"), "{:?}", screen.labels());
    // A press elsewhere is one as well, and goes where it was pressed.
    screen.go("brine", "Q", Field::Value(1));
    screen.letters("1 to 2");
    screen.click("eta winter");
    screen.letters("72");
    screen.key(Key::Enter);
    assert_eq!(screen.hears("Q summer").as_deref(), Some("1 to 2 failed"));
    assert!(screen.text().contains("given eta = 72 % | 71 %"), "{}", screen.text());
    // What they are is told with the faults, where they are is gone to, and one is mended there.
    screen.ask(Act::Faults);
    assert!(
        screen.has_part("`5 m | 6 m` at H, winter is not taken in"),
        "{:?}",
        screen.labels()
    );
    screen.click_part("`eta` at symbol of rho is not taken in");
    assert_eq!(screen.window().typing(), Some("eta"));
    assert!(
        screen.has_part("there is a quantity `eta` already"),
        "{:?}",
        screen.labels()
    );
    screen.letters("_B");
    screen.key(Key::Enter);
    assert!(screen.text().contains("given eta_B = 1200"), "{}", screen.text());
    assert_eq!(screen.hears("eta_B symbol").as_deref(), Some("eta_B typed"));
    // What would mend one is offered with it: pressed, it is typed there.
    screen.go("brine", "eta", Field::Symbol);
    screen.letters("2 x");
    screen.key(Key::Enter);
    screen.go("brine", "H", Field::Label);
    screen.click("→ write x_2");
    assert_eq!(screen.window().typing(), Some("x_2"));
    screen.key(Key::Enter);
    assert!(screen.text().contains("given x_2 = "), "{}", screen.text());
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    // Delete puts it away, and the place has what it had.
    screen.go("brine", "H", Field::Value(0));
    assert!(screen.has_part("F2 opens it to be mended"), "{:?}", screen.labels());
    screen.key(Key::Delete);
    assert_eq!(screen.hears("H winter").as_deref(), Some("18 typed"));
    assert!(screen.text().contains("given H = 18 m :"), "{}", screen.text());
    // Saving leaves it out, and so does closing, but not without a word.
    screen.ask(Act::Save);
    assert!(
        screen.has_part("Left out, as not taken in: `1 to 2` at Q, summer"),
        "{:?}",
        screen.labels()
    );
    assert!(!std::fs::read_to_string(&path).unwrap().contains("1 to 2"));
    screen.ask(Act::NewWorkbook);
    assert!(
        screen.has("Work is not saved") && screen.has_part("`1 to 2` at Q, summer"),
        "{:?}",
        screen.labels()
    );
    // Saving does not help what cannot be saved: the first button stays here.
    assert!(!screen.has("Save it first"), "{:?}", screen.labels());
    screen.key(Key::Enter);
    assert!(!screen.has("Work is not saved") && screen.hears("Q summer").as_deref() == Some("1 to 2 failed"));
    // Typed last, it is what is taken back first.
    screen.go("brine", "Q", Field::Value(0));
    screen.enter("3 | 4");
    screen.ask(Act::Undo);
    assert!(screen.has_part("Taken back: `3 | 4`"), "{:?}", screen.labels());
    assert_eq!(screen.hears("Q winter").as_deref(), Some("60 typed"));
    screen.go("brine", "Q", Field::Value(1));
    screen.enter("90 m³/h");
    assert!(
        screen.text().contains("given Q = 60 m³/h | 90 m³/h"),
        "{}",
        screen.text()
    );
    assert!(!screen.has_part("is not taken in"), "{:?}", screen.labels());
    // In the open line it goes with what the line becomes.
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given p = 4 pole : poles\n");
    let open = Spot {
        quantity: NEW,
        field: Field::Symbol,
    };
    screen.window().go(0, open);
    screen.settle();
    screen.letters("p");
    screen.key(Key::Tab);
    screen.letters("5 A");
    screen.key(Key::Enter);
    let text = screen.text();
    let made = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("given ")?.strip_suffix(" = 5 A"));
    let made = made.unwrap_or_else(|| panic!("{text}")).to_owned();
    assert_eq!(screen.hears(&format!("{made} symbol")).as_deref(), Some("p failed"));
    // Where nothing else can be taken back, it can.
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(
        !screen.has_part("failed") && screen.text().matches("given").count() == 1,
        "{}",
        screen.text()
    );
}

#[test]
fn the_working_names_what_it_reads_and_leads_there() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Value(0));
    assert!(
        screen.has_part("P_sh = rho * g_n * Q * H / eta"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has_part("= 1210 kg/m³ * "), "{:?}", screen.labels());
    screen.click_part("rho = 1210 kg/m³ (assumed)");
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.quantity, 2);
    // Back by "used by".
    screen.click("P_sh");
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.quantity, 4);
}

#[test]
fn pasting_types_each_value_and_makes_rows() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("motors", "tag", Field::Value(1));
    screen.at_once(vec![Event::Paste("A\t3 kW\t1440 r/min\nB\t5 hp\t1450 r/min\n".into())]);
    let text = screen.text();
    assert!(text.contains("\"A\" | 3 kW | 1440 r/min | 4 pole"), "{text}");
    assert!(text.contains("\"B\" | 5 hp | 1450 r/min |"), "{text}");
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(screen.text().contains("\"M-2\""));
}

#[test]
fn rows_are_ordered_chosen_and_grouped() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(200));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::SortDown);
    screen.go("motors", "P_r", Field::Value(88));
    screen.keys(Modifiers::COMMAND, Key::Home);
    assert!(screen.hears("P_r M-89").is_some(), "the largest stands first");
    assert!(screen.hears("P_r M-1").is_none());
    screen.ask(Act::Filter);
    screen.answer("P_r > 80 kW");
    // By hand: rows 80 … 89 and 170 … 179 of 1 + row mod 90 lie above 80.
    assert!(
        screen.has_part("only rows where P_r > 80 kW: 20 of 200"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::ShowAll);
    screen.go("motors", "p", Field::Value(0));
    screen.ask(Act::Group);
    screen.go("motors_by_p", "number_of_rows", Field::Value(0));
    let text = screen.text();
    assert!(text.contains("list motors_by_p = groups of motors by p"), "{text}");
    assert!(
        screen.labels().iter().any(|label| label.starts_with("number_of_rows")),
        "{:?}",
        screen.labels()
    );
}

#[test]
fn the_system_of_units_changes_what_is_shown_only() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    screen.go("motors", "P_r", Field::Value(0));
    assert_eq!(screen.hears("P_r M-1").as_deref(), Some("2 typed"));
    screen.ask(Act::InUs);
    // 2 kW over 745.699 9 W (NIST SP 811) are 2.682 hp.
    assert_eq!(screen.hears("P_r M-1").as_deref(), Some("2.682 typed"));
    assert_eq!(screen.text(), before);
}

/// As many columns are pinned as leave room; the chosen one stays in sight beside an open panel, and the edge of the pinned part
/// is drawn like that of any column.
#[test]
fn pinned_columns_leave_room_and_their_edge_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.ask(Act::Faults);
    screen.go("motors", "s_r", Field::Value(0));
    screen.ask(Act::Pin);
    let edge = screen
        .rect("close")
        .unwrap()
        .min
        .x
        .min(screen.rect("First page").unwrap().min.x);
    let sight = |screen: &mut Screen, label: &str| {
        let rect = screen.rect(label).unwrap();
        assert!(
            rect.min.x >= 190.0 && rect.max.x <= edge,
            "{label}: {rect:?} beside {edge}"
        );
    };
    sight(&mut screen, "s_r M-1");
    assert!(screen.has_part("pinned columns have room"), "{:?}", screen.labels());
    for _ in 0..4 {
        screen.key(Key::ArrowLeft);
    }
    let (_, chosen) = screen.window().chosen().unwrap();
    assert_eq!(chosen.quantity, 2);
    sight(&mut screen, "n_r M-1");
    screen.ask(Act::Faults);
    // Only the first is pinned; its right edge, on either side of the line.
    screen.go("motors", "tag", Field::Value(0));
    screen.ask(Act::Pin);
    assert!(!screen.has_part("pinned columns have room"), "{:?}", screen.labels());
    for beside in [-2.0, 2.0] {
        let before = screen.rect("tag M-1").unwrap();
        let at = eframe::egui::pos2(before.max.x + beside, before.center().y);
        screen.drag_by(at, 40.0);
        let after = screen.rect("tag M-1").unwrap();
        assert!(
            (after.width() - before.width() - 40.0).abs() < 4.0,
            "{beside}: {before:?} {after:?}"
        );
    }
    screen.ask(Act::Undo);
    assert!(screen.has("Taken back: width of tag."), "{:?}", screen.labels());
}

/// Some thousand rows from another program become rows of the list in one step.
#[test]
fn thousands_of_rows_are_pasted_in_one_step() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(3));
    let before = screen.text();
    let mut rows = String::new();
    for row in 1..=4_000 {
        let _ = writeln!(rows, "N-{row}\t{} kW\t{} r/min\t4 pole", 1 + row % 90, 1400 + row % 90);
    }
    screen.go("motors", "tag", Field::Value(2));
    screen.at_once(vec![Event::Paste(rows)]);
    let count = screen.window().session().unwrap().results().sheets[1].items.len();
    assert_eq!(count, 4_002);
    screen.go("motors", "n_s", Field::Value(4_001));
    let columns = ["P_r", "n_r", "p", "n_s", "s_r"];
    same_as_worked(&mut screen, &path, "motors", &columns, &[(4_001, "N-4000")]);
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    assert!(screen.has_part("Taken back: paste"), "{:?}", screen.labels());
    screen.ask(Act::Redo);
    assert!(screen.text().contains("\"N-4000\" | 41 kW | 1440 r/min | 4 pole"));
}

/// A table becomes quantities of a worked sheet: told by what its columns hold, and what finds no place is named.
#[test]
fn a_table_is_pasted_into_a_worked_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let empty = "polepair 1\nsheet pump\n  given x\n";
    let (mut screen, _) = Screen::with(folder.path(), empty);
    screen.key(Key::Home);
    let table = "Brine flow\tQ\t85 m³/h\nHead\tH\t18 m\nDensity\trho\t1210 kg/m³\nEfficiency\teta\t71 %\nShaft power\tP\trho * g_n * Q * H / eta\n";
    screen.at_once(vec![Event::Paste(table.into())]);
    let text = screen.text();
    for line in [
        "given Q = 85 m³/h \"Brine flow\"",
        "given H = 18 m \"Head\"",
        "given eta = 71 % \"Efficiency\"",
        "work P = rho * g_n * Q * H / eta \"Shaft power\"",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(!text.contains("given x"), "{text}");
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(screen.text().contains("given x"), "{}", screen.text());
    // With headings, a unit column and one that says nothing here; chosen is a value.
    screen.go("pump", "x", Field::Value(0));
    let table =
        "Quantity\tValue\tUnit\tRemark\nBrine flow\t85\tm³/h\tguess\nHead at that flow\t18\tm\t\nPoles\t4\tpole\t\n";
    screen.at_once(vec![Event::Paste(table.into())]);
    let text = screen.text();
    for line in [
        "given brine_flow = 85 m³/h \"Brine flow\"",
        "given head_at_that_flow = 18 m \"Head at that flow\"",
        "given Poles = 4 pole",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(
        screen.has_part("headings") && screen.has_part("`Remark` in line 1 and column 4")
            || screen.has_part("`guess` in line 2 and column 4"),
        "{:?}",
        screen.labels()
    );
    // Over lines that are there, and on behind the last one.
    screen.go("pump", "head_at_that_flow", Field::Label);
    screen.at_once(vec![Event::Paste(
        "Head\tH\t19 m\nPoles\tp\t6 pole\nSupply\tf\t50 Hz\n".into(),
    )]);
    let text = screen.text();
    for line in [
        "given H = 19 m \"Head\"",
        "given p = 6 pole \"Poles\"",
        "given f = 50 Hz \"Supply\"",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    // Numbers alone go as far as there are places; the rest is named and nothing is lost.
    screen.go("pump", "H", Field::Value(0));
    let numbers = (0..500)
        .map(|n| format!("{n}\t{n}\t{n}"))
        .collect::<Vec<_>>()
        .join("\n");
    screen.at_once(vec![Event::Paste(numbers)]);
    let text = screen.text();
    assert!(
        text.contains("given H = 0 m") && text.contains("given f = 2 Hz"),
        "{text}"
    );
    assert!(
        screen.has_part("2 values were not pasted, as they cannot stand there: `0` in line 1 and column 2")
            && screen.has_part("were not pasted, as there is no place for them: `3` in line 1 and column 2"),
        "{:?}",
        screen.labels()
    );
}

/// A table with headings becomes the columns and rows of a list that holds nothing yet.
#[test]
fn a_table_with_headings_is_pasted_into_an_empty_list() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given x\n");
    screen.ask(Act::NewList);
    let table = "tag\tP_r\tRated speed (r/min)\tn\tArea\nM-1\t15\t1465\t1478 r/min\tNorth | 1\nM-2\t7.5 kW\t1450\t1471 r/min\tSouth\n";
    screen.at_once(vec![Event::Paste(table.into())]);
    let text = screen.text();
    for line in [
        "rows tag | P_r | rated_speed | n | area",
        "given rated_speed in r/min : rated speed \"Rated speed\"",
        // It does not say whether it was measured.
        "given n in r/min : shaft speed",
        "\"M-1\" | 15 kW | 1465 r/min | 1478 r/min | \"North | 1\"",
        "\"M-2\" | 7.5 kW | 1450 r/min | 1471 r/min | \"South\"",
    ] {
        assert!(
            text.contains(line) || text.contains(&line.replace("area", "Area")),
            "{line}: {text}"
        );
    }
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(!screen.text().contains("rated_speed"), "{}", screen.text());
}

/// Behind the last line of a worked sheet one is open: what is typed there becomes a quantity, in one step.
#[test]
fn the_open_line_becomes_a_quantity() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet pump\n  given Q = 60 m³/h\n");
    assert!(screen.has_part("Type in the open line"), "{:?}", screen.labels());
    let before = screen.text();
    screen.go("pump", "Q", Field::Label);
    screen.key(Key::ArrowDown);
    // All in one frame: label, symbol, value, and on in the next open line.
    let typed = |text: &str| {
        text.chars()
            .map(|letter| Event::Text(letter.to_string()))
            .collect::<Vec<_>>()
    };
    let mut events = typed("Head");
    events.push(press(Key::Tab));
    events.extend(typed("H"));
    events.push(press(Key::Tab));
    events.extend(typed("18 m"));
    events.push(press(Key::Enter));
    // Behind a line that was typed along comes the label of the next; Tab alone goes to the value.
    events.extend([press(Key::Tab), press(Key::Tab)]);
    events.extend(typed("Q * H"));
    events.push(press(Key::Enter));
    events.extend(typed("3 m"));
    events.push(press(Key::Enter));
    screen.at_once(events);
    let text = screen.text();
    assert!(
        text.contains("given H = 18 m \"Head\"") && text.contains("work x = Q * H") && text.contains("given x_2 = 3 m"),
        "{text}"
    );
    assert!(!screen.has_part("Type in the open line"), "{:?}", screen.labels());
    for _ in 0..5 {
        screen.keys(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(screen.text(), before);
    // A symbol that cannot be one stays open, with the reason; Esc leaves no line behind.
    screen.go("pump", "Q", Field::Symbol);
    screen.key(Key::ArrowDown);
    for (typed, reason) in [
        ("Q", "there is a quantity `Q` already"),
        ("3 in", "`3 in` has a blank in it"),
    ] {
        screen.enter(typed);
        assert!(screen.has_part(reason), "{:?}", screen.labels());
        screen.key(Key::Escape);
    }
    assert_eq!(screen.text(), before);
    // Choosing all, copying and filling down leave it alone.
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.ask(Act::Copy);
    assert_eq!(screen.copied().unwrap().lines().count(), 1);
}

/// Whole columns stand at the pinned edge, whichever way they were scrolled: a number cut there reads as another one.
#[test]
fn columns_at_the_pinned_edge_are_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(20));
    let cut = |screen: &Screen| {
        let edge = screen.rect("tag M-1").unwrap().max.x;
        let columns = ["P_r", "n_r", "p", "f", "n_s", "s_r"];
        let rects = columns.map(|name| screen.rect(&format!("{name} M-1")));
        rects
            .into_iter()
            .flatten()
            .any(|rect| rect.min.x < edge - 1.0 && rect.max.x > edge + 1.0)
    };
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Faults);
    for key in [Key::End, Key::ArrowLeft, Key::ArrowLeft, Key::Home, Key::End] {
        screen.key(key);
        assert!(!cut(&screen), "{key:?}");
    }
    let last = screen.rect("s_r M-1").unwrap();
    let panel = screen.rect("First page").unwrap();
    assert!(last.max.x <= panel.min.x, "{last:?} {panel:?}");
    for by in [-60.0, -30.0, 45.0, -700.0, 20.0] {
        screen.scroll_over("P_r M-2", egui::vec2(by, 0.0));
        assert!(!cut(&screen), "{by}");
    }
}

/// In a small window with its panel open, the label gives way and a value with its limits is in sight.
#[test]
fn a_value_is_in_sight_beside_a_panel() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given k = 80 % ± 5 % \"Voltage over rated\"\n  work n_low = k * (1474 r/min) in r/min \"Running at low voltage\"\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.resize(1024.0, 700.0);
    screen.ask(Act::Curves);
    screen.go("a", "n_low", Field::Value(0));
    let value = screen.rect("n_low value").unwrap();
    let panel = screen.rect("First page").unwrap();
    let symbol = screen.rect("n_low symbol").unwrap();
    assert!(
        // What is not in sight is not counted.
        value.width() > 140.0 && value.min.x >= symbol.max.x - 1.0 && value.max.x <= panel.min.x,
        "{value:?} {panel:?}"
    );
}

/// Fill types the first of the chosen cases of a line into the others; of one place there is nothing to fill, and that is said.
#[test]
fn the_first_of_chosen_cases_fills_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet pump\n  cases a | b | c\n  given Q = 60 m³/h | 85 m³/h | 90 m³/h : volume flow\n  given H = 18 m : height\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("pump", "Q", Field::Value(0));
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.ask(Act::FillDown);
    assert!(
        flat(&screen.text()).contains("given Q = 60 m³/h | 60 m³/h | 60 m³/h")
            || flat(&screen.text()).contains("given Q = 60 m³/h :"),
        "{}",
        screen.text()
    );
    screen.ask(Act::Undo);
    assert!(
        flat(&screen.text()).contains("| 85 m³/h | 90 m³/h"),
        "{}",
        screen.text()
    );
    screen.go("pump", "H", Field::Value(0));
    screen.ask(Act::FillDown);
    assert!(screen.has_part("There is nothing to fill"), "{:?}", screen.labels());
    // What is the same already is no step; the columns of a list are no cases.
    let text = "polepair 1
sheet pump
  cases a | b
  given Q = 60 m³/h | 60 m³/h : volume flow
list m
  given tag : text
  given P in kW
  given S in kW
  rows tag | P | S
    \"M-1\" | 5 kW | 6 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    for (sheet, quantity) in [("pump", "Q"), ("m", "P")] {
        screen.go(sheet, quantity, Field::Value(0));
        screen.keys(Modifiers::SHIFT, Key::ArrowRight);
        screen.ask(Act::FillDown);
        assert!(
            !screen.window().session().unwrap().is_changed(),
            "{quantity}: {}",
            screen.text()
        );
    }
    assert!(screen.has_part("There is nothing to fill"), "{:?}", screen.labels());
}
