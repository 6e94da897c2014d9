//! Open, save, import, hand over; work that is not lost.

use std::path::Path;
use std::time::Duration;

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;
use crate::grid::workbook;

fn shipped() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx")
}

#[test]
fn the_shipped_list_is_read_and_handed_over() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = Screen::first(None);
    screen.window().read_with(env!("CARGO_BIN_EXE_polepair").into());
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&shipped().display().to_string());
    assert!(screen.has("Columns"), "{:?}", screen.labels());
    let text = screen.text();
    assert!(text.contains("work"), "{text}");
    let out = folder.path().join("out.xlsx");
    screen.keys(Modifiers::COMMAND, Key::E);
    screen.answer(&out.display().to_string());
    assert!(out.exists(), "{:?}", screen.labels());
    let saved = folder.path().join("quarry.pole");
    screen.keys(Modifiers::COMMAND, Key::S);
    screen.answer(&saved.display().to_string());
    assert_eq!(crate::flat(&std::fs::read_to_string(&saved).unwrap()), text);
}

#[test]
fn a_file_that_is_no_workbook_is_told_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = Screen::first(None);
    let before = screen.text();
    for (name, bytes) in [("a.pole", &b"\x7fELF\0\0"[..]), ("b.pole", b"")] {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        screen.keys(Modifiers::COMMAND, Key::O);
        screen.answer(&path.display().to_string());
        assert!(screen.has_part("cannot read"), "{:?}", screen.labels());
    }
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&folder.path().join("none.xlsx").display().to_string());
    assert!(screen.has_part("none.xlsx"), "{:?}", screen.labels());
    assert_eq!(screen.text(), before);
}

#[test]
fn unsaved_work_is_marked_and_guarded() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    assert!(screen.has("saved"));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    assert!(screen.has("not saved"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::N);
    assert!(screen.has_part("not saved yet"), "{:?}", screen.labels());
    screen.click("Stay here");
    assert!(screen.text().contains("19 m"));
    screen.keys(Modifiers::COMMAND, Key::S);
    assert!(screen.has("saved"));
    assert!(std::fs::read_to_string(&path).unwrap().contains("19 m"));
}

#[test]
fn work_is_kept_while_typing_and_taken_after_an_accident() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("23 m");
    std::thread::sleep(Duration::from_millis(900));
    screen.settle();
    screen.settle();
    let kept = polepair::window::door::kept_beside(&path);
    assert!(std::fs::read_to_string(&kept).unwrap().contains("23 m"));
    // The window goes without a word, as in a crash: nothing is saved.
    drop(screen);
    assert!(!std::fs::read_to_string(&path).unwrap().contains("23 m"));
    let mut screen = Screen::with_file(&path);
    assert!(!screen.text().contains("23 m"));
    screen.click("Take the kept work");
    assert!(screen.text().contains("23 m"), "{}", screen.text());
    assert!(screen.has("not saved"));
    // The file is as it was until the work is saved.
    assert!(!std::fs::read_to_string(&path).unwrap().contains("23 m"));
    screen.keys(Modifiers::COMMAND, Key::S);
    assert!(std::fs::read_to_string(&path).unwrap().contains("23 m"));
    assert!(!kept.exists());
}

#[test]
fn a_second_window_looks_but_does_not_write() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, path) = Screen::with(folder.path(), &workbook(2));
    let mut second = Screen::with_file(&path);
    assert!(
        second.has_part("another program is changing it"),
        "{:?}",
        second.labels()
    );
    second.go("brine", "H", Field::Value(0));
    second.enter("20 m");
    second.keys(Modifiers::COMMAND, Key::S);
    // It asks for another name; the file stays as the first window left it.
    assert!(second.has("Do it"), "{:?}", second.labels());
    assert!(!std::fs::read_to_string(&path).unwrap().contains("20 m"));
    first.ask(Act::Save);
}

#[test]
fn a_file_changed_outside_is_noticed_before_it_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    std::fs::write(&path, workbook(3)).unwrap();
    std::thread::sleep(Duration::from_millis(2100));
    for _ in 0..50 {
        screen.settle();
        if screen.has_part("changed outside") {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(screen.has_part("changed outside"), "{:?}", screen.labels());
    screen.click("Load it again");
    assert!(screen.text().contains("\"M-3\""));
}

#[test]
fn work_without_a_file_is_kept_and_offered_to_the_next_window() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = Screen::first(Some(folder.path().to_owned()));
    screen.keys(Modifiers::COMMAND, Key::N);
    screen.go("work", "x", Field::Value(0));
    screen.enter("42");
    std::thread::sleep(Duration::from_millis(900));
    screen.settle();
    screen.settle();
    // While the window lives, its work is not offered to another one.
    let second = Screen::first(Some(folder.path().to_owned()));
    assert!(!second.has("Take that work"));
    drop(screen);
    let mut third = Screen::first(Some(folder.path().to_owned()));
    for _ in 0..100 {
        third.settle();
        if third.has("Take that work") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    third.click("Take that work");
    assert!(third.text().contains("given x = 42"), "{}", third.text());
}
