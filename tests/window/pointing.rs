//! What the mouse and a key find beyond pressing: notes that unfold, menus beside the grid, what is told where the pointer rests, the
//! first thing in a panel; what is said of a group.

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;

/// A note of many words, its last one told apart.
fn noted() -> String {
    let many = "It takes many words to say why this is so. ".repeat(14);
    format!(
        "polepair 1\nworkbook \"Notes\"\nsheet a \"First\"\n  given b = 1\n  note \"{many}Finis\"\n  given c = 2\nsheet d \"Second\"\n  given e = 3\n"
    )
}

/// A note that has no room says that there is more; pressed, it is shown whole, and a whole one is typed anew or taken away.
#[test]
fn a_long_note_unfolds() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &noted());
    // With room it is whole.
    assert!(
        screen.has_part("Finis") && !screen.has_part("more ▾"),
        "{:?}",
        screen.labels()
    );
    screen.resize(900.0, 560.0);
    assert!(!screen.has_part("Finis"), "{:?}", screen.labels());
    let before = screen.text();
    screen.click_part("more ▾");
    assert!(
        screen.has_part("Finis") && !screen.has_part("more ▾"),
        "{:?}",
        screen.labels()
    );
    let first = screen
        .labels()
        .into_iter()
        .find(|label| label.starts_with("It takes many"))
        .unwrap();
    assert_eq!(
        screen.menu_of(&first),
        ["Change the note", "Show it in short", "Take the note away"]
    );
    screen.click("Show it in short");
    assert!(screen.has_part("more ▾") && !screen.has_part("Finis"));
    let _ = screen.menu_of(&first);
    screen.click("Take the note away");
    assert!(!screen.text().contains("note"), "{}", screen.text());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    let _ = screen.menu_of(&first);
    screen.click("Change the note");
    assert!(screen.has("Line"), "{:?}", screen.labels());
}

/// With larger letters beside a panel a note of three lines is whole.
#[test]
fn a_note_is_whole_with_larger_letters() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/fan-drive.pole");
    let mut screen = Screen::with_file(&file);
    for _ in 0..3 {
        screen.ask(Act::Larger);
    }
    screen.ask(Act::Faults);
    assert!(
        screen.has_part("see it move") && !screen.has_part("more ▾"),
        "{:?}",
        screen.labels()
    );
}

/// A sheet is given a title where it stands in the side bar, and what acts on it is offered there.
#[test]
fn a_sheet_is_renamed_where_it_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &noted());
    let offered = screen.menu_of("Second");
    for word in [
        "Title of the sheet",
        "Rename the sheet",
        "New sheet",
        "New list",
        "Delete the sheet",
    ] {
        assert!(
            offered.iter().any(|label| label.starts_with(word)),
            "{word}: {offered:?}"
        );
    }
    // It acts on the sheet that it was opened on.
    screen.click("Delete the sheet");
    let text = screen.text();
    assert!(
        text.contains("sheet a") && !text.contains("sheet d"),
        "{text} {:?}",
        screen.labels()
    );
    screen.ask(Act::Undo);
    screen.double_click("Second");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("Third");
    assert!(screen.text().contains("sheet d \"Third\""), "{}", screen.text());
    let offered = screen.menu_of("Notes");
    assert!(
        offered.iter().any(|label| label.starts_with("Title of the workbook")),
        "{offered:?}"
    );
}

/// What is told of a heading stands over it and not over values, and is gone while one types.
#[test]
fn what_is_told_covers_no_values_and_goes_with_typing() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(20));
    screen.go("motors", "P_r", Field::Value(0));
    screen.rest_on("column P_r");
    let told = "Pressed: chooses the column";
    let over = screen
        .part_rect(told)
        .unwrap_or_else(|| panic!("{:?}", screen.labels()));
    let head = screen.rect("column P_r").unwrap();
    assert!(over.max.y <= head.min.y + 1.0, "{over:?} {head:?}");
    screen.letters("7");
    assert!(!screen.has_part(told), "{:?}", screen.labels());
    screen.key(Key::Escape);
    assert!(!screen.has_part(told), "{:?}", screen.labels());
    // The pointer moves: it comes again.
    screen.point_at("column n_r");
    screen.rest_on("column P_r");
    assert!(screen.has_part(told));
}

/// F5 gives the keys to the first fault, and the next is what mends it.
#[test]
fn the_first_fault_is_a_key_away() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given f = 50 Hz\n  work n = ff / (2 pole) in r/min\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Faults);
    screen.key(Key::F5);
    let first = screen.focused().unwrap();
    assert_eq!(first, "n in a", "{:?}", screen.labels());
    for _ in 0..3 {
        if screen.focused().is_some_and(|label| label.starts_with('→')) {
            break;
        }
        screen.key(Key::Tab);
    }
    screen.key(Key::Enter);
    assert!(screen.text().contains("work n = f / (2 pole)"), "{}", screen.text());
    // With nothing to press in it, its name has the keys.
    screen.ask(Act::Checks);
    screen.key(Key::Escape);
    screen.key(Key::F5);
    assert!(screen.focused().is_some_and(|label| !label.starts_with("grid of")));
    // Every panel is named, functions too.
    screen.click("Functions");
    assert!(screen.has_part("What is to be worked"), "{:?}", screen.labels());
}

/// Invented; by hand: 3 · 10 kW + 1 · 2 kW are 32 kW; the loads of its rows, 80 % and 50 %, by rating (30 · 80 + 2 · 50) / 32 = 78.125 %.
const GROUPED: &str = "polepair 1
list motors
  given tag : text
  given area : text \"Area\"
  given P_r in kW : rated power \"Rated power\"
  given load in % : load \"Load\"
  given number : number \"Motors in this row\"
  rows tag | area | P_r | load | number
    \"a\" | \"a hall with a long name, north of the river\" | 10 kW | 80 % | 3
    \"b\" | \"south\" | 5 kW | |
    \"c\" | \"a hall with a long name, north of the river\" | 2 kW | 50 % | 1
";

/// The line of a group, chosen, says what the group is, how many rows it has, its sums and means with units, and where they stand.
#[test]
fn a_chosen_group_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), GROUPED);
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    let north = "a hall with a long name, north of the river";
    // Its words run over the empty places beside the column, where there are some, and are told where not.
    assert!(screen.has(&format!("area group {north}")), "{:?}", screen.labels());
    screen.click(&format!("area group {north}"));
    let said = |screen: &Screen, words: &[&str]| {
        let labels = screen.labels();
        for words in words {
            assert!(labels.iter().any(|label| label.contains(words)), "{words}: {labels:?}");
        }
    };
    said(
        &screen,
        &[
            &format!("= {north}"),
            "2 rows",
            "Rated power, each row times number: 32 kW",
            "Motors; a row without a number is one: 4",
            "78.1",
            "the sums stand in",
        ],
    );
    screen.click(&format!("P_r group {north}"));
    said(
        &screen,
        &["P_r_sum", "= 32 kW", &format!("area = {north}, 2 rows"), "motors.P_r"],
    );
    // A group whose loads are unknown says so.
    screen.click("area group south");
    said(&screen, &["none, as", "1 row"]);
    screen.click("motors_by_area");
    let (sheet, _) = screen.window().chosen().unwrap();
    assert_eq!(sheet, 1);
}

/// The words of a group are whole beside empty places, and begin in the first column where their own is out of sight.
#[test]
fn words_of_a_group_run_over_empty_places() {
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Group);
    let results = screen.window().session().unwrap().results();
    assert!(results.sheets.iter().any(|sheet| &*sheet.name == "motors_by_P_r"));
    let words = |screen: &Screen| {
        let labels = screen.labels();
        let group = labels.iter().find(|label| label.starts_with("P_r group")).unwrap();
        screen.hears(group).unwrap()
    };
    let told = words(&screen);
    assert!(told.contains(" kW") && told.contains("row"), "{told}");
    assert!(screen.draws(&told), "{told}");
    screen.key(Key::End);
    let told = words(&screen);
    let name = told.split(" · ").last().unwrap();
    assert!(screen.draws(name), "{told}");
}

/// Unfolded, the lines that head a list say what else stands over the columns: neither is said twice.
#[test]
fn unfolded_headings_say_it_once() {
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    screen.ask(Act::Report);
    screen.go("motors", "tag", Field::Value(0));
    let (label, symbol) = ("Rated power", "P_r");
    let unfolded = screen.has("P_r kind");
    let times = |screen: &Screen| (screen.times_drawn(label), screen.times_drawn(symbol));
    let before = times(&screen);
    screen.ask(Act::Headings);
    assert_ne!(screen.has("P_r kind"), unfolded);
    let after = times(&screen);
    let (folded, open) = if unfolded { (after, before) } else { (before, after) };
    assert_eq!(folded, (1, 0), "the symbol stands with its unit");
    assert_eq!(open, (1, 1), "{:?}", screen.labels());
    if unfolded {
        screen.ask(Act::Headings);
    }
    let head = screen.rect("column P_r").unwrap();
    assert!(head.height() < 20.0, "{head:?}");
}

/// Whatever is said, taken back, answered or put away, every place of the grid stands where it stood.
#[test]
fn what_is_said_moves_no_place() {
    let text = "polepair 1\nsheet a \"First\"\n  cases x | y\n  given b = 4,5 kW | 2,5 kW\n  given c = 1,5 kW | 3 kW\n  given d = 3 kW\n";
    for (width, height, panel) in [
        (1280.0, 800.0, false),
        (1280.0, 800.0, true),
        (1024.0, 700.0, true),
        (900.0, 600.0, false),
        (640.0, 480.0, false),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("test.pole");
        std::fs::write(&path, text).unwrap();
        std::fs::write(folder.path().join(".test.pole.kept"), text.replace("3 kW", "5 kW")).unwrap();
        let mut screen = Screen::with_file(&path);
        screen.resize(width, height);
        if panel {
            screen.ask(Act::Faults);
        }
        let stands = |screen: &Screen| screen.rect("d symbol").unwrap();
        let before = stands(&screen);
        let same = |screen: &Screen, when: &str| {
            let now = stands(screen);
            assert!(
                (now.min - before.min).length() < 0.5,
                "{width} {when}: {before:?} {now:?}"
            );
            // Nothing lies over the headings or the lines either.
            let bar = screen
                .part_rect("Throw it away")
                .or_else(|| screen.part_rect("put away"));
            let head = screen.rect("column symbol").unwrap();
            assert!(
                bar.is_none_or(|bar| bar.max.y <= head.min.y + 1.0 || bar.min.y >= now.max.y && bar.max.y <= height),
                "{width} {when}: {bar:?} {head:?}"
            );
        };
        assert!(screen.has("Throw it away"), "{:?}", screen.labels());
        screen.go("a", "d", Field::Value(0));
        screen.enter("7 kW");
        same(&screen, "typed");
        screen.ask(Act::Undo);
        assert!(screen.has_part("Taken back"), "{:?}", screen.labels());
        same(&screen, "taken back");
        screen.ask(Act::Wider);
        screen.ask(Act::Undo);
        assert!(screen.has_part("width of x"), "{:?}", screen.labels());
        same(&screen, "width taken back");
        // Beside a panel what was said stands before it.
        while !screen.has("Throw it away") && screen.has("put away") {
            screen.click("put away");
        }
        screen.click("Throw it away");
        same(&screen, "thrown away");
        while screen.has("put away") {
            screen.click("put away");
        }
        same(&screen, "put away");
    }
}

/// No room stands empty over the title for what might be said: at every size of letters it begins right below the menus, and stays
/// there when something is said, which lies over no place of the grid.
#[test]
fn the_title_stands_below_the_menus_whatever_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &crate::grid::workbook(2));
    screen.resize(1024.0, 700.0);
    for step in 0..8 {
        let title = |screen: &Screen| {
            let titles = screen.rects("Brine pump drive");
            titles
                .into_iter()
                .max_by(|one, other| one.min.x.total_cmp(&other.min.x))
                .unwrap()
        };
        let menu = screen.rect("Workbook").unwrap();
        let before = title(&screen);
        let named = screen.has("test.pole");
        assert!(before.min.y - menu.max.y < 16.0, "step {step}: {menu:?} {before:?}");
        screen.go("brine", "H", Field::Value(0));
        screen.enter(&format!("{} m", 20 + step));
        screen.ask(Act::Undo);
        let bar = screen
            .rect("put away")
            .unwrap_or_else(|| panic!("{step}: {:?}", screen.labels()));
        assert_eq!(title(&screen), before, "step {step}");
        // Said below, it takes the place of nothing.
        assert!(
            !named || bar.min.y < before.min.y || screen.has("test.pole"),
            "step {step}"
        );
        let room = eframe::egui::vec2(1024.0, 700.0) / screen.zoom();
        assert!(bar.max.x <= room.x && bar.max.y <= room.y, "step {step}: {bar:?}");
        for place in ["column symbol", "H symbol", "H winter"] {
            let place = screen.rect(place).unwrap();
            assert!(!place.intersects(bar), "step {step}: {place:?} {bar:?}");
        }
        while screen.has("put away") {
            screen.click("put away");
        }
        screen.ask(Act::Larger);
    }
}

/// Values without cases, pressed twice at their head, get a first case and one beside it; an emptied case of a formula says so.
#[test]
fn values_get_their_first_case_by_their_head() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given b = 1 kW\n  work c = 2 * b\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.double_click("column value");
    assert!(!screen.has_part("Choose a value"), "{:?}", screen.labels());
    screen.answer("summer");
    assert!(screen.text().contains("cases first | summer"), "{}", screen.text());
    screen.go("a", "c", Field::Value(0));
    screen.key(Key::Delete);
    assert_eq!(
        screen.hears("c formula").as_deref(),
        Some("own formula in first none; in summer: 2 * b")
    );
}
