//! Main screens as pictures, light and dark, drawn by software: the same on every machine up to a shade of a few pixels.
//!
//! A picture that has changed on purpose is made anew with `UPDATE_SNAPSHOTS=true` and looked at before it is kept. Needs a
//! software Vulkan (`mesa-vulkan-drivers`); the renderer takes the processor where there is a choice.

use eframe::egui;
use egui_kittest::SnapshotOptions;
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;

/// A shade of an edge may differ between versions of the renderer, a stroke or a letter may not.
const SHADE: f32 = 2.0;
const PIXELS: usize = 40;

fn workbook(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("workbooks")
        .join(name);
    std::fs::read_to_string(path).unwrap()
}

fn both(screen: &mut Screen, name: &str) {
    let options = SnapshotOptions::new()
        .threshold(SHADE)
        .max_failed_pixels(PIXELS)
        .output_path("tests/window/pictures");
    for (word, dark) in [("light", false), ("dark", true)] {
        if screen.dark() != dark {
            screen.ask(Act::Night);
        }
        screen.still();
        screen.picture(&format!("{name}-{word}"), &options);
    }
}

#[test]
fn the_first_page() {
    let mut screen = Screen::first(None);
    both(&mut screen, "first-page");
}

#[test]
fn a_sheet_with_its_checks() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook("conveyor-drive.pole"));
    screen.go("drive", "P_sh", Field::Value(1));
    screen.ask(Act::Checks);
    both(&mut screen, "checks");
}

#[test]
fn a_list_with_its_faults() {
    let folder = tempfile::tempdir().unwrap();
    let text = crate::grid::workbook(30)
        .replace("1403 r/min", "5 kW")
        .replace("1405 r/min", "");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("motors", "s_r", Field::Value(2));
    screen.ask(Act::Faults);
    both(&mut screen, "faults");
}

#[test]
fn a_plot_with_its_regions() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook("fan-drive.pole"));
    screen.go("fan", "T_1", Field::Value(0));
    screen.ask(Act::Curves);
    both(&mut screen, "curves");
}

/// The reading of the shipped list: doubts, the chosen row as it stands and as it was read, the columns.
#[test]
fn a_list_that_was_read() {
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    screen.keys(egui::Modifiers::COMMAND, egui::Key::I);
    screen.answer(&list.display().to_string());
    // The path in it is another on every machine.
    screen.click("put away");
    screen.go("motors", "P_r", Field::Value(3));
    both(&mut screen, "list");
}
