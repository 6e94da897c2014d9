//! What is chosen stays in sight: when a panel opens or closes, and when a column is made.

use eframe::egui::Key;
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;

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
