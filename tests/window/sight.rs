//! What is chosen stays in sight: when a panel opens or closes, and when a column is made.

use std::path::Path;

use eframe::egui::{Event, Key};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, worked};

/// What a screen says of the shipped workbook that is open: each line in sight has its symbol, its first value and the unit that the
/// program works it in. Beside how many cases were in sight of one line.
#[track_caller]
fn values_have_units(screen: &Screen, sheet: &serde_json::Value, at: &str) -> usize {
    let grid = screen.part_rect("grid of").unwrap();
    let within = |label: &str| {
        let rect = screen
            .rect(label)
            .filter(|rect| grid.y_range().contains(rect.center().y));
        rect.map(|rect| rect.min.x >= grid.min.x && rect.max.x <= grid.max.x)
    };
    let items = sheet["items"].as_array().unwrap();
    let mut cases = 0;
    for quantity in sheet["quantities"].as_array().unwrap() {
        let name = quantity["name"].as_str().unwrap();
        let Some(symbol) = within(&format!("{name} symbol")) else {
            continue;
        };
        assert!(symbol, "{at}: {name}");
        let labels = items.iter().map(|item| match item.as_str().unwrap() {
            "" => format!("{name} value"),
            item => format!("{name} {item}"),
        });
        let whole: Vec<String> = labels.filter(|label| within(label) == Some(true)).collect();
        assert!(!whole.is_empty(), "{at}: {name} {:?}", screen.labels());
        cases = cases.max(whole.len());
        let unit = match quantity["unit"].as_str() {
            None | Some("1") => continue,
            Some(unit) => unit,
        };
        assert!(screen.draws(unit), "{at}: {unit} of {name}");
        let column = within(&format!("{name} unit")) == Some(true);
        let beside = |label: &String| screen.hears(label).unwrap().split(' ').any(|word| word == unit);
        assert!(column || whole.iter().all(beside), "{at}: {unit} of {name}");
    }
    assert!(cases > 0, "{at}");
    // No value is hidden behind a sign while others of its column are not.
    assert!(!screen.draws("…"), "{at}");
    cases
}

/// However small the window and however many cases, a value does not stand there without its symbol and its unit.
#[test]
fn symbols_values_and_units_stay_in_sight() {
    let workbooks = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks");
    for (file, least) in [
        ("conveyor-drive.pole", 2),
        ("fan-drive.pole", 1),
        ("feeder-check.pole", 1),
        ("flywheel-press.pole", 1),
        ("small-motor.pole", 1),
        ("torque-speed-lesson.pole", 1),
    ] {
        let path = workbooks.join(file);
        let json = worked(&path);
        let mut screen = Screen::with_file(&path);
        for (width, height) in [(1280.0, 800.0), (1024.0, 700.0), (800.0, 600.0)] {
            screen.resize(width, height);
            for act in [Act::Start, Act::Checks, Act::Curves] {
                screen.ask(act);
                let at = format!("{file} {width} {act:?}");
                let cases = values_have_units(&screen, &json["sheets"][0], &at);
                assert!(cases >= least || width < 1000.0, "{at}: {cases}");
            }
            screen.ask(Act::Curves);
        }
    }
}

/// What is pasted into an empty sheet of a narrow window beside a panel is seen.
#[test]
fn values_that_come_into_an_empty_sheet_are_seen() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given x = 1 kW\n");
    screen.resize(1024.0, 700.0);
    screen.ask(Act::Assumptions);
    screen.ask(Act::NewSheet);
    let table =
        "Quantity\tSymbol\tValue\tUnit\nFlow\tQ\t85\tm³/h\nHead\tH\t32.5\tm\nDensity of brine\trho\t11801.25\tkg/m³\n";
    screen.at_once(vec![Event::Paste(table.to_owned())]);
    screen.ask(Act::Save);
    let json = worked(&path);
    assert_eq!(values_have_units(&screen, &json["sheets"][1], "pasted"), 1);
}

/// Limits take no value out of sight where it is narrow.
#[test]
fn a_value_with_limits_stays_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet drive\n  cases light | dense\n  given Q_m = 120.25 t/h ± 12.125 t/h | 150.5 t/h ± 15.125 t/h : mass flow \"Flow of the bucket elevator\"\n  given H = 25 m : height \"Lift\"\n  work P_h = Q_m * g_n * H in kW : shaft power \"Power of lifting\"\n  check P_h <= 15 kW\n";
    let (mut screen, path) = Screen::with(folder.path(), text);
    let json = worked(&path);
    for (width, height) in [(1024.0, 700.0), (800.0, 540.0), (700.0, 480.0)] {
        screen.resize(width, height);
        for act in [Act::Start, Act::Checks, Act::Curves] {
            screen.ask(act);
            let cases = values_have_units(&screen, &json["sheets"][0], &format!("{width} {act:?}"));
            assert!(cases >= 1, "{width} {act:?}");
        }
        screen.ask(Act::Curves);
    }
}

/// Cases that have no room are told at the edge, and a press goes to the first of them.
#[test]
fn further_cases_are_told_and_reached() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet fans\n  cases a | b | c | d | e\n  given P = 4 kW | 5.5 kW | 7.5 kW | 11 kW | 15 kW \"Rated power of the fan motor\"\n  given n = 1440 r/min | 1450 r/min | 1455 r/min | 1460 r/min | 1465 r/min\n  given s = 0.02\n";
    let (mut screen, path) = Screen::with(folder.path(), text);
    screen.resize(1024.0, 700.0);
    screen.ask(Act::Checks);
    let json = worked(&path);
    let sheet = &json["sheets"][0];
    assert!(values_have_units(&screen, sheet, "five cases") < 5);
    let told = screen
        .labels()
        .into_iter()
        .find(|label| label.ends_with("further cases"));
    let told = told.unwrap_or_else(|| panic!("{:?}", screen.labels()));
    let hidden: usize = told.split(' ').next().unwrap().parse().unwrap();
    let first = ["a", "b", "c", "d", "e"][5 - hidden];
    assert!(!screen.draws("5.5") || hidden < 4, "{told}");
    screen.click(&told);
    in_sight(&screen, &format!("P {first}"));
    assert!(values_have_units(&screen, sheet, "further") > 0);
    screen.key(Key::End);
    screen.go("fans", "n", Field::Value(4));
    in_sight(&screen, "n e");
    assert!(screen.draws("1465") && !screen.has_part("further case"));
}

/// Whether the place of a label is within the grid: right of the pinned columns and left of the panel.
#[track_caller]
fn in_sight(screen: &Screen, label: &str) {
    let rect = screen
        .rect(label)
        .unwrap_or_else(|| panic!("{label} is not drawn: {:?}", screen.labels()));
    let grid = screen
        .labels()
        .into_iter()
        .find(|label| label.starts_with("grid of"))
        .unwrap();
    let grid = screen.rect(&grid).unwrap();
    assert!(
        rect.min.x >= grid.min.x && rect.max.x <= grid.max.x,
        "{label}: {rect:?} in {grid:?}"
    );
}

#[test]
fn the_chosen_place_stays_in_sight_while_panels_come_and_go() {
    let mut screen = Screen::of_list("tests/lists/milchhof-kuehlhaus.csv");
    screen.go("motors", "load", Field::Value(0));
    let first = screen.window().session().unwrap().results().sheets[0].items[0].to_string();
    let chosen = format!("load {first}");
    for act in [
        Act::Report,
        Act::Report,
        Act::Lines,
        Act::Checks,
        Act::Checks,
        Act::Report,
        Act::Report,
    ] {
        in_sight(&screen, &chosen);
        screen.ask(act);
        in_sight(&screen, &chosen);
    }
    // Read, chosen and closed at once by keys.
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    for quantity in ["grade", "load_pf", "I", "machine"] {
        screen.go("motors", quantity, Field::Value(3));
        for act in [Act::Report, Act::Faults, Act::Checks, Act::Checks] {
            screen.ask(act);
            in_sight(&screen, &format!("{quantity} PC-104"));
        }
    }
}

/// Another column is in sight once it is made, with the place to type its symbol.
#[test]
fn a_column_that_is_made_is_in_sight() {
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    screen.key(Key::End);
    screen.ask(Act::Headings);
    screen.key(Key::End);
    screen.click("another column");
    let (_, spot) = screen.window().chosen().unwrap();
    let name = screen.window().session().unwrap().results().sheets[0].quantities[spot.quantity]
        .name
        .to_string();
    in_sight(&screen, &format!("{name} symbol"));
    screen.enter("who");
    in_sight(&screen, "who symbol");
}

/// What went behind the pinned columns for want of room comes back with the room.
#[test]
fn columns_come_back_with_the_room() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/feeder-check.pole");
    let mut screen = Screen::with_file(&file);
    screen.ask(Act::Checks);
    screen.go("motors", "P_n", Field::Value(1));
    for _ in 0..2 {
        screen.ask(Act::Wide);
        in_sight(&screen, "P_n saw");
        screen.ask(Act::Wide);
        in_sight(&screen, "P_n saw");
        in_sight(&screen, "P_n blower");
        assert!(!screen.has_part("behind the pinned"), "{:?}", screen.labels());
    }
    // The mark of hidden columns stands beside the headings, not on one.
    screen.ask(Act::Wide);
    let mark = screen.part_rect("behind the pinned").unwrap();
    for head in ["column label", "column saw"] {
        let head = screen.rect(head).unwrap();
        assert!(!head.shrink(1.0).intersects(mark), "{head:?} {mark:?}");
    }
}

/// The torque of the shipped press falls from 254 N·m to nothing within a tenth of the speeds: its line is as thick there as elsewhere.
#[test]
fn a_steep_line_is_drawn_as_a_line() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string("workbooks/flywheel-press.pole").unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Curves);
    for _ in 0..100 {
        if screen.has_part("254.2 N·m") {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
        screen.settle();
    }
    let lines = screen.drawn_lines(2.0);
    assert!(lines.iter().any(|places| *places > 100), "{lines:?}");
}

/// Without room for the side bar the other sheets are a press away, and headings leave rows in sight until somebody wants them.
#[test]
fn a_small_window_shows_the_way_to_other_sheets_and_rows_of_a_list() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(6));
    assert!(!screen.has("1 of 2 ▾"), "{:?}", screen.labels());
    screen.ask(Act::Faults);
    screen.resize(680.0, 480.0);
    assert!(screen.has("1 of 2 ▾"), "{:?}", screen.labels());
    screen.click("1 of 2 ▾");
    screen.click("Motors");
    assert_eq!(screen.window().chosen().unwrap().0, 1);
    screen.resize(1280.0, 800.0);
    assert!(!screen.has_part("of 2 ▾"), "{:?}", screen.labels());
    screen.resize(1024.0, 330.0);
    assert!(!screen.has("P_r kind"), "{:?}", screen.labels());
    let rows = (1..=6)
        .filter(|row| screen.rect(&format!("P_r M-{row}")).is_some())
        .count();
    assert!(rows >= 3, "{rows} {:?}", screen.labels());
    // Who unfolds them there has them.
    screen.click("headings");
    assert!(screen.has("P_r kind"), "{:?}", screen.labels());
}

/// A label is read as a whole where only the air in the cases has to give way for it; what is typed then moves no column.
#[test]
fn labels_come_before_the_air_in_the_cases() {
    let folder = tempfile::tempdir().unwrap();
    let label = "Synchronous speed at the supply";
    let text = format!(
        "polepair 1\nsheet a\n  cases one | two | three | four\n  given f = 50 Hz\n  given p = 2 pole | 4 pole | 6 pole | 8 pole\n  work n_s = f / p in r/min \"{label}\"\n"
    );
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.resize(1024.0, 700.0);
    assert!(screen.draws(label), "{:?}", screen.rect("n_s label"));
    assert!(screen.draws("3000") && screen.draws("750"));
    let stands =
        |screen: &Screen| ["column label", "column symbol", "column two"].map(|head| screen.rect(head).unwrap());
    let before = stands(&screen);
    screen.go("a", "f", Field::Label);
    screen.enter("Frequency of the supply at the end of the longest cable");
    assert_eq!(stands(&screen), before);
}

/// However large the letters, a unit is said once: beside the values or in its column. A symbol stays beside its value.
#[test]
fn a_unit_is_said_once_at_larger_letters() {
    let workbooks = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks");
    let path = workbooks.join("torque-speed-lesson.pole");
    let json = worked(&path);
    for (width, height) in [(1280.0, 800.0), (1024.0, 700.0)] {
        let mut screen = Screen::with_file(&path);
        screen.resize(width, height);
        for step in 0..=3 {
            for act in [Act::Start, Act::Checks, Act::Curves] {
                screen.ask(act);
                for field in [Field::Value(0), Field::Unit] {
                    screen.go("circuit", "f", field);
                    let at = format!("{width} step {step} {act:?} {field:?}");
                    let grid = screen.part_rect("grid of").unwrap();
                    let column = screen.rect("f unit").unwrap();
                    let column = column.min.x >= grid.min.x && column.max.x <= grid.max.x;
                    let value = screen.hears("f value").unwrap();
                    assert!(column != value.contains("Hz"), "{at}: {value}, column {column}");
                    if field != Field::Unit {
                        let _ = values_have_units(&screen, &json["sheets"][0], &at);
                    }
                }
            }
            screen.ask(Act::Curves);
            screen.ask(Act::Larger);
        }
    }
}

/// In a small window the sign of further cases gives way before the labels do.
#[test]
fn labels_come_before_the_sign_of_further_cases() {
    let book = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/conveyor-drive.pole");
    let mut screen = Screen::with_file(&book);
    screen.resize(640.0, 480.0);
    screen.ask(Act::Faults);
    let label = screen.rect("v label").unwrap();
    assert!(label.width() > 55.0, "{label:?}");
    assert!(screen.draws("1.6") && screen.draws("m/s"), "{:?}", screen.labels());
}
