//! Whole lines, typed where a part of a line stands: they are the line that they say, and no label, symbol or value.

use eframe::egui::Key;
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;

const ONE: &str = "polepair 1\nsheet work\n  given f = 50 Hz\n  check f > 40 Hz\n";

/// Types in the open line, which stands below the last quantity.
fn in_open_line(screen: &mut Screen, field: Field, typed: &str) {
    let results = screen.window().session().unwrap().results();
    let last = results.sheets[0].quantities.last().unwrap().name.clone();
    screen.go("work", &last, field);
    screen.key(Key::ArrowDown);
    screen.enter(typed);
}

/// In the open line they are made, in whichever place they are typed, as they are when they are pasted.
#[test]
fn whole_lines_are_made_in_the_open_line() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), ONE);
    for (field, typed) in [
        (Field::Label, "given p = 4 pole : poles"),
        (Field::Symbol, "work n_s = f / p in r/min \"Field\""),
        (Field::Value(0), "given n = 1450 r/min : measured speed measured"),
        (Field::Label, "check n_s <= 1500 r/min"),
        (Field::Label, "note \"As on the plate.\""),
        (
            Field::Label,
            "curve T_L(m : shaft speed) in N·m = quadratic_load(m, 9 N·m, 1450 r/min)",
        ),
        // What is wrong in it does not make it a label.
        (Field::Label, "given P = 15 kw : power"),
    ] {
        in_open_line(&mut screen, field, typed);
        let text = screen.text();
        assert!(text.contains(&format!(" {typed}\n")), "{typed}: {text}");
    }
    // With a colon, as on paper; words that only begin like a line are words.
    for (typed, line) in [
        ("Rated power: 7.5 kW", "given rated_power = 7.5 kW \"Rated power\"\n"),
        ("Gear 1:20", "given x \"Gear 1:20\"\n"),
        ("check valve", "given x_2 \"check valve\"\n"),
        ("plot area", "given x_3 \"plot area\"\n"),
        ("Speed: fast", "given x_4 \"Speed: fast\"\n"),
    ] {
        in_open_line(&mut screen, Field::Label, typed);
        let text = screen.text();
        assert!(text.contains(line), "{typed}: {text}");
    }
    let before = screen.text();
    in_open_line(&mut screen, Field::Label, "given f = 60 Hz");
    assert!(
        screen.has_part("There is a quantity f already"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    assert_eq!(screen.text(), before);
}

/// In a line that is blank yet, of a new sheet or put in between others, a whole line is what stands there.
#[test]
fn whole_lines_are_made_in_a_blank_line() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), ONE);
    screen.go("work", "f", Field::Value(0));
    screen.ask(Act::Insert);
    screen.enter("given p = 4 pole : poles");
    assert!(
        screen.text().contains("given p = 4 pole : poles\n"),
        "{}",
        screen.text()
    );
    screen.ask(Act::NewSheet);
    screen.enter("given n = 1465 r/min \"Speed\"");
    assert!(
        screen.text().trim_end().ends_with("given n = 1465 r/min \"Speed\""),
        "{}",
        screen.text()
    );
    assert!(!screen.text().contains("given x"), "{}", screen.text());
}

/// A line is blank where nothing was typed in it, nothing asks for it and no remark stands before it. What is typed in it keeps its own
/// name, and takes none that stands elsewhere.
#[test]
fn a_whole_line_takes_the_place_of_no_line_that_is_used() {
    let folder = tempfile::tempdir().unwrap();
    for (text, typed, becomes) in [
        ("  given x\n", "given x = 4 pole", Ok("given x = 4 pole\n")),
        ("  given x\n", "given p = 4 pole", Ok("given p = 4 pole\n")),
        ("  given x\n", "given f = 60 Hz", Err("There is a quantity f already")),
        (
            "  given x\n  work y = 2 * x\n",
            "given p = 4 pole",
            Err("This is a whole line"),
        ),
        (
            "  # of the plate\n  given x\n",
            "given p = 4 pole",
            Err("This is a whole line"),
        ),
        ("  given x \"Poles\"\n", "given p = 4 pole", Err("This is a whole line")),
        ("  given x : poles\n", "given p = 4 pole", Err("This is a whole line")),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), &format!("{ONE}{text}"));
        let before = screen.text();
        screen.go("work", "x", Field::Label);
        screen.enter(typed);
        let now = screen.text();
        match becomes {
            Ok(line) => assert!(
                now.contains(line) && !now.contains("given x\n"),
                "{text}: {typed}: {now}"
            ),
            Err(why) => {
                assert_eq!(now, before, "{text}: {typed}");
                screen.go("work", "x", Field::Label);
                assert!(screen.has_part(why), "{text}: {typed}: {:?}", screen.labels());
            }
        }
    }
}

/// While such a line is typed it is told what it becomes; a label that ends with a value says that it holds none.
#[test]
fn what_a_whole_line_becomes_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), ONE);
    // In the place of the symbol as well.
    for field in [Field::Label, Field::Symbol] {
        screen.go("work", "f", field);
        screen.key(Key::ArrowDown);
        screen.letters("given p = 4 pole");
        let told = screen.has_part("a whole line, as it is written");
        assert!(told, "{field:?}: {:?}", screen.labels());
        screen.key(Key::Escape);
    }
    screen.go("work", "f", Field::Label);
    screen.key(Key::ArrowDown);
    // In a line that was put in between others as well.
    screen.ask(Act::Insert);
    screen.letters("work q = 2 * f in kq");
    assert!(screen.has_part("`kq`"), "{:?}", screen.labels());
    for _ in 0.."in kq".len() {
        screen.key(Key::Backspace);
    }
    assert!(
        screen.has_part("a whole line, as it is written: ") && !screen.has_part("✕"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    screen.ask(Act::Undo);
    screen.go("work", "f", Field::Label);
    screen.key(Key::ArrowDown);
    // What is wrong in it is told at once, and what it gives: 2 · 50 Hz.
    screen.letters("work q = 2 * f in kq");
    assert!(screen.has_part("`kq`"), "{:?}", screen.labels());
    screen.key(Key::Escape);
    screen.letters("work q = 2 * f");
    assert!(
        screen.has_part("a whole line, as it is written") && screen.has_part("100 Hz"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    screen.letters("given f = 60 Hz");
    assert!(
        screen.has_part("There is a quantity f already"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    screen.letters("Efficiency 90 %");
    assert!(
        screen.has_part("where 90 % is its value, write `Efficiency = 90 %`"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    // At the place of a part of another line it stands for nothing, and nothing is changed.
    let before = screen.text();
    for field in [Field::Label, Field::Value(0)] {
        screen.go("work", "f", field);
        screen.enter("given q = 4 pole : poles");
        // It stays at its place, marked, and says why when it is chosen.
        screen.go("work", "f", field);
        assert!(
            screen.has_part("This is a whole line"),
            "{field:?}: {:?}",
            screen.labels()
        );
        screen.key(Key::Delete);
        assert_eq!(screen.text(), before, "{field:?}");
    }
}

/// What is wanted in another unit is shown in it while it is typed. By hand: 7500 W are 7.5 kW.
#[test]
fn a_value_is_told_in_the_unit_it_is_wanted_in() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet work\n  given F = 1500 N\n  given v = 5 m/s\n  work P = F * v in W\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("work", "P", Field::Value(0));
    screen.letters("F * v in kW");
    screen.settle();
    assert!(screen.has_part("7.5 kW"), "{:?}", screen.labels());
    screen.key(Key::Enter);
    assert!(screen.text().contains("work P = F * v in kW"), "{}", screen.text());
}
