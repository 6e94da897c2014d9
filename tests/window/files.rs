//! Open, save, import, hand over; work that is not lost.

use std::path::Path;
use std::time::Duration;

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::grid::workbook;
use crate::{Screen, press};

fn shipped() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx")
}

/// Reads a list into a first window and saves the workbook.
fn read_and_save(list: &Path, saved: &Path) -> Screen {
    let mut screen = Screen::of_list(list);
    save_to(&mut screen, saved);
    screen
}

/// Saves under a name that is asked for.
fn save_to(screen: &mut Screen, saved: &Path) {
    screen.keys(Modifiers::COMMAND, Key::S);
    screen.answer(&saved.display().to_string());
}

#[test]
fn the_shipped_list_is_read_and_handed_over() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = Screen::of_list(shipped());
    assert!(screen.has_part(" columns, "), "{:?}", screen.labels());
    // It opens at its readings. The best load of the first motor: 82.1 kW of input · 95.1 % / 110 kW, from row 8 of the list.
    assert!(screen.has("given: 110 kW"), "{:?}", screen.labels());
    screen.go("motors", "load", Field::Value(0));
    assert!(screen.has("Load by the best method"), "{:?}", screen.labels());
    assert!(screen.has("= 70.98 %"), "{:?}", screen.labels());
    let text = screen.text();
    assert!(text.contains("work"), "{text}");
    let out = folder.path().join("out.xlsx");
    screen.keys(Modifiers::COMMAND, Key::E);
    screen.answer(&out.display().to_string());
    assert!(out.exists(), "{:?}", screen.labels());
    let saved = folder.path().join("quarry.pole");
    save_to(&mut screen, &saved);
    // All as it was, but that the list is seen from the folder of the workbook.
    let rest = |text: &str| {
        text.lines()
            .filter(|line| !line.starts_with(" read "))
            .collect::<Vec<_>>()
            .join("\n")
    };
    let written = crate::flat(&std::fs::read_to_string(&saved).unwrap());
    assert_eq!(rest(&written), rest(&text));
    assert_eq!(written, screen.text());
}

#[test]
fn a_list_is_found_again_from_another_folder() {
    let folder = tempfile::tempdir().unwrap();
    let (lists, books) = (folder.path().join("lists"), folder.path().join("books"));
    std::fs::create_dir(&lists).unwrap();
    std::fs::create_dir(&books).unwrap();
    let list = lists.join("quarry.xlsx");
    std::fs::copy(shipped(), &list).unwrap();
    let saved = books.join("quarry.pole");
    let screen = read_and_save(&list, &saved);
    let text = std::fs::read_to_string(&saved).unwrap();
    assert!(text.contains("read \"../lists/quarry.xlsx\""), "{text}");
    drop(screen);
    let mut screen = Screen::with_file(&saved);
    // The name that is proposed stands beside the workbook.
    screen.keys(Modifiers::COMMAND, Key::E);
    screen.answer("");
    let out = books.join("quarry.xlsx");
    assert!(
        out.exists() && !screen.has_part("not where it was"),
        "{:?}",
        screen.labels()
    );
    // Saved where it was, nothing changes.
    screen.keys(Modifiers::COMMAND, Key::S);
    assert_eq!(std::fs::read_to_string(&saved).unwrap(), text);
}

/// An invented list whose column of currents has a heading that says nothing.
const LIST: &str = "\
Tag;Rating kW;Poles;Frequency Hz;Rated speed;Measured speed;Spalte Q;Voltage V
P-101;15;4;50;1465;1478;28.5;400
P-102;7,5;4;50;1450;approx. 1471;15.1;400
P-103;22;4;50;1500;1482;41;400
";

/// Takes a column of the list for something and reads the list again.
fn take_column_for(screen: &mut Screen, heading: &str, reads: &str) {
    let column = format!("{heading}: read as");
    let mut labels = screen.labels().into_iter();
    let folded = labels.find(|label| label.contains(" columns, ")).unwrap();
    if !screen.has(&column) {
        screen.reveal(&folded);
        screen.click(&folded);
    }
    for label in [column.as_str(), reads, "Read again with these"] {
        screen.reveal(label);
        screen.click(label);
    }
    screen.settle();
}

/// A column taken for something else is a step like any other: the reading goes back with it and comes again with it. What was typed
/// before stays with its motor, and no motor stands twice.
#[test]
fn the_reading_follows_the_steps_of_the_workbook() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    std::fs::write(&path, LIST.replace("Tag;", "Spalte K;")).unwrap();
    let mut screen = Screen::of_list(&path);
    screen.go("motors", "n", Field::Value(2));
    screen.enter("1481 r/min");
    let typed = screen.text();
    let rows = |text: &str| text.lines().filter(|line| line.contains("4 pole")).count();
    assert!(rows(&typed) == 3 && !typed.contains("P-103"), "{typed}");
    let told = "Since it was read before: ";
    assert!(!screen.has_part(told));
    take_column_for(&mut screen, "Spalte K", "Tag");
    let read = screen.text();
    assert!(rows(&read) == 3 && read.contains("\"P-103\""), "{read}");
    let line = read.lines().find(|line| line.contains("P-103")).unwrap();
    assert!(line.contains("1481 r/min"), "{line}");
    assert!(screen.has_part(told));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), typed);
    assert!(!screen.has_part(told), "{:?}", screen.labels());
    screen.ask(Act::Redo);
    assert_eq!(screen.text(), read);
    assert!(screen.has_part(told), "{:?}", screen.labels());
    // Taken back once more, the column can be asked for again as it was chosen, and comes to the same.
    screen.ask(Act::Undo);
    screen.reveal("Read again with these");
    screen.click("Read again with these");
    screen.settle();
    assert_eq!(screen.text(), read);
    screen.ask(Act::Undo);
    screen.ask(Act::Undo);
    assert!(
        !screen.text().contains("1481") && !screen.has_part(told),
        "{:?}",
        screen.labels()
    );
}

#[test]
fn the_columns_of_a_list_are_corrected_and_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    std::fs::write(&path, LIST).unwrap();
    let mut screen = Screen::of_list(&path);
    assert!(!screen.text().contains("Spalte Q"), "{}", screen.text());
    // As it stands and as it was read, of the row chosen in the grid.
    screen.go("motors", "n", Field::Value(1));
    assert!(
        screen.has("Source row 3 as it stands and as it was read"),
        "{:?}",
        screen.labels()
    );
    assert!(
        screen.has("approx. 1471") && screen.has_part("1471 r/min · given as about"),
        "{:?}",
        screen.labels()
    );
    // The panel does not grow while it is looked at.
    let before = screen.rect("Keep the report…");
    screen.still();
    assert_eq!(screen.rect("Keep the report…"), before);
    // A doubt leads to its row.
    screen.click("source row 4");
    assert!(
        screen.has("Source row 4 as it stands and as it was read"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has_part("Look at: "), "{:?}", screen.labels());
    // The column is what the user says.
    take_column_for(&mut screen, "Spalte Q", "Rated current");
    let text = screen.text();
    assert!(text.contains("from \"Spalte Q\"") && text.contains("28.5 A"), "{text}");
    // And it is kept for the next list.
    let map = folder.path().join("columns.txt");
    screen.reveal("Keep the map…");
    screen.click("Keep the map…");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&map.display().to_string());
    let map = std::fs::read_to_string(&map).unwrap();
    assert!(map.contains("column \"Spalte Q\" = rated_current"), "{map}");
    let report = folder.path().join("report.json");
    screen.reveal("Keep the report…");
    screen.click("Keep the report…");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&report.display().to_string());
    let report: serde_json::Value = serde_json::from_slice(&std::fs::read(&report).unwrap()).unwrap();
    assert_eq!(report["rows"][1]["readings"]["rated_current"]["value"], "28.5");
    // (1500 − 1478)/(1500 − 1465) = 22/35: the loads are in it too.
    let load = report["computed"][0]["load_by_slip"]["value"].as_str().unwrap();
    assert!(load.starts_with("62.857"), "{load}");
}

/// A workbook that is opened again reads its list as it was read: with the columns that were settled by hand.
#[test]
fn settled_columns_stay_settled_in_a_workbook_that_is_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    std::fs::write(&path, LIST).unwrap();
    let mut screen = Screen::of_list(&path);
    assert!(!screen.text().contains("column map"), "{}", screen.text());
    take_column_for(&mut screen, "Spalte Q", "Rated current");
    let text = screen.text();
    assert!(text.contains("# column \"Spalte Q\" = rated_current"), "{text}");
    let saved = folder.path().join("motors.pole");
    save_to(&mut screen, &saved);
    drop(screen);
    // What the import made is not at hand either.
    for entry in std::fs::read_dir(folder.path()).unwrap().flatten() {
        if ![&path, &saved].contains(&&entry.path()) {
            std::fs::remove_file(entry.path()).unwrap();
        }
    }
    let mut screen = Screen::with_file(&saved);
    screen.key(Key::F4);
    screen.settle();
    assert!(
        screen.has_part("columns were read as the column map says") && !screen.has_part("with other columns"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "I_r", Field::Value(0));
    assert!(screen.has_part("28.5 A"), "{:?}", screen.labels());
    let before = screen.text();
    screen.ask(Act::Newer);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&path.display().to_string());
    screen.settle();
    assert_eq!(screen.text(), before);
    assert!(
        screen.has_part("It says what the workbook has already"),
        "{:?}",
        screen.labels()
    );
    // Another column is settled: what was said before stands no more.
    take_column_for(&mut screen, "Spalte Q", "Measured current");
    let text = screen.text();
    assert!(
        text.contains("# column \"Spalte Q\" = measured_current") && !text.contains("= rated_current"),
        "{text}"
    );
    // The same by the command line, which reads the list into the workbook that was saved.
    drop(screen);
    let ran = std::process::Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(["import", "motors.csv", "--to", "motors.pole"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    assert_eq!(crate::flat(&std::fs::read_to_string(&saved).unwrap()), before);
}

/// A map that was kept is used for the next list of the same origin; a map that is opened is told as one and asks for its list.
#[test]
fn a_kept_map_reads_the_next_list() {
    let folder = tempfile::tempdir().unwrap();
    let map = folder.path().join("house.map");
    std::fs::write(&map, "polepair columns 1\ncolumn \"Spalte Q\" = rated_current in A\n").unwrap();
    let path = folder.path().join("motors.csv");
    std::fs::write(&path, LIST).unwrap();
    let mut screen = Screen::first(None);
    // No list is read yet: the map asks for the one that it is for.
    screen.keys(Modifiers::COMMAND, Key::O);
    screen.answer(&map.display().to_string());
    assert!(screen.has_part("house.map is a column map"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&path.display().to_string());
    let mapped = screen.text();
    assert!(
        mapped.contains("from \"Spalte Q\"") && mapped.contains("28.5 A"),
        "{mapped}"
    );
    assert!(
        screen.has_part("One column was read as the map says."),
        "{:?}",
        screen.labels()
    );
    // Read without it, and then with it by the command: one step.
    let mut screen = Screen::of_list(&path);
    let plain = screen.text();
    assert!(!plain.contains("Spalte Q"), "{plain}");
    let labels = screen.labels();
    let folded = labels
        .iter()
        .find(|label| label.contains(" columns, "))
        .unwrap()
        .clone();
    screen.reveal(&folded);
    if !screen.has("Read with a kept map…") {
        screen.click(&folded);
    }
    screen.reveal("Read with a kept map…");
    screen.click("Read with a kept map…");
    screen.keys(Modifiers::COMMAND, Key::A);
    // What is no map is refused with the reason, and the question stays.
    screen.answer(&path.display().to_string());
    assert!(
        screen.has_part("is no column map") && screen.has("Read with a kept map"),
        "{:?}",
        screen.labels()
    );
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&map.display().to_string());
    assert!(screen.text().contains("28.5 A"), "{}", screen.text());
    assert!(
        screen.has_part("One column was read as house.map says."),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), plain);
    // A map that is opened while a list is there is named already.
    screen.ask(Act::Save);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&folder.path().join("motors.pole").display().to_string());
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&map.display().to_string());
    assert!(screen.has_part("reads motors.csv again by it"), "{:?}", screen.labels());
    screen.click("Do it");
    screen.settle();
    assert!(screen.text().contains("28.5 A"), "{}", screen.text());
    // A map that speaks of other columns says so.
    let other = folder.path().join("other.map");
    std::fs::write(&other, "polepair columns 1\ncolumn \"Strom\" = rated_current in A\n").unwrap();
    screen.ask(Act::KeptMap);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&other.display().to_string());
    assert!(
        screen.has_part("No column of the list is called as one of other.map"),
        "{:?}",
        screen.labels()
    );
}

/// An invented list none of whose headings is known, with three motors.
const UNKNOWN: &str = "Ozn;Moc;Obr;Prad\nM-1;15;1465;28.5\nM-2;7,5;1450;15.1\nM-3;22;1470;41\n";

/// A list whose headings are not known is named in the window: the workbook that is open keeps its own reading all the while.
#[test]
fn the_columns_of_an_unknown_list_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let known = folder.path().join("motors.csv");
    std::fs::write(&known, LIST).unwrap();
    let path = folder.path().join("pl.csv");
    std::fs::write(&path, UNKNOWN).unwrap();
    let mut screen = read_and_save(&known, &folder.path().join("motors.pole"));
    let before = screen.text();
    let import = |screen: &mut Screen| {
        screen.keys(Modifiers::COMMAND, Key::I);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&path.display().to_string());
    };
    import(&mut screen);
    assert!(
        screen.has_part("say at the right what its columns hold") && !screen.has("Read an equipment list"),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has_part("--"), "{:?}", screen.labels());
    // Put away, the reading of the open workbook is there again.
    screen.reveal("Put it away");
    screen.click("Put it away");
    assert_eq!(screen.text(), before);
    assert!(
        screen.has("motors.csv") && !screen.has("pl.csv"),
        "{:?}",
        screen.labels()
    );
    import(&mut screen);
    for (heading, reads) in [
        ("Ozn", "Tag"),
        ("Moc", "Rated power"),
        ("Obr", "Rated speed"),
        ("Prad", "Rated current"),
    ] {
        screen.reveal(&format!("{heading}: read as"));
        screen.click(&format!("{heading}: read as"));
        screen.reveal(reads);
        screen.click(reads);
    }
    screen.reveal("Read again with these");
    screen.click("Read again with these");
    screen.settle();
    let text = screen.text();
    assert!(
        text.contains("from \"Moc\"") && text.contains("\"M-2\"") && text.contains("7.5 kW") && text.contains("15.1 A"),
        "{text}"
    );
    assert!(
        screen.has("pl.csv") && screen.has_part("3 motors in"),
        "{:?}",
        screen.labels()
    );
    // With a map that was kept it is read as well.
    let mut screen = Screen::first(None);
    import(&mut screen);
    let map = folder.path().join("pl.map");
    std::fs::write(
        &map,
        "polepair columns 1\ncolumn \"Moc\" = rated_power in kW\ncolumn \"Obr\" = rated_speed\n",
    )
    .unwrap();
    screen.reveal("Read with a kept map…");
    screen.click("Read with a kept map…");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&map.display().to_string());
    assert!(screen.text().contains("7.5 kW"), "{:?}", screen.labels());
}

/// Typing letters in the chooser of a column finds what it holds, and Enter takes it.
#[test]
fn what_a_column_holds_is_found_by_letters() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pl.csv");
    std::fs::write(&path, UNKNOWN).unwrap();
    let mut screen = Screen::of_list(&path);
    for (heading, letters, reads) in [
        ("Moc", "rated p", "→ Rated power"),
        ("Obr", "speed meas", "→ Measured speed"),
        ("Prad", "curr", "→ Rated current"),
    ] {
        let chooser = format!("{heading}: read as");
        screen.reveal(&chooser);
        screen.click(&chooser);
        // Many of them are in sight at once.
        assert!(
            screen.has("Measured speed") && screen.has("Efficiency"),
            "{:?}",
            screen.labels()
        );
        screen.letters(letters);
        assert!(!screen.has("Efficiency"), "{:?}", screen.labels());
        screen.key(Key::Enter);
        assert_eq!(screen.hears(&chooser).as_deref(), Some(reads), "{:?}", screen.labels());
        assert!(!screen.has("Efficiency"), "{:?}", screen.labels());
    }
    assert!(!screen.text().contains("curr"), "{}", screen.text());
}

/// Another sheet of the file takes the place of the one that was read, in one step.
#[test]
fn another_sheet_of_the_file_is_read_instead() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("two.xlsx");
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, motors) in [("North", 3), ("South", 2)] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).unwrap();
        for (column, heading) in (0u16..).zip(["Tag", "kW", "rpm"]) {
            sheet.write(0, column, heading).unwrap();
        }
        for row in 1..=motors {
            // The same tags in both: what stands under one is nothing of the other.
            sheet.write(row, 0, format!("M-{row}")).unwrap();
            sheet.write(row, 1, if name == "North" { 15 } else { 22 }).unwrap();
            sheet.write(row, 2, 1465).unwrap();
        }
    }
    book.save(&path).unwrap();
    let saved = folder.path().join("two.pole");
    let mut screen = read_and_save(&path, &saved);
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("11 kW");
    let north = screen.text();
    assert!(screen.has_part("The sheet South also holds"), "{:?}", screen.labels());
    screen.reveal("Read this sheet instead");
    screen.click("Read this sheet instead");
    screen.settle();
    let south = screen.text();
    assert!(
        south.contains("sheet \"South\"")
            && south.matches("22 kW").count() == 2
            && !south.contains("11 kW")
            && !south.contains("M-3"),
        "{south}"
    );
    assert!(screen.has_part("Read the sheet South of"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), north);
    screen.ask(Act::Redo);
    assert_eq!(screen.text(), south);
    // Read again, it stays the sheet that was chosen.
    screen.ask(Act::Newer);
    screen.click("Do it");
    screen.settle();
    assert_eq!(screen.text(), south);
    assert!(screen.has_part("The sheet North also holds"), "{:?}", screen.labels());
}

/// Rows that were moved or put in by hand keep their places when the list is read again; what came stands where the list has it.
#[test]
fn rows_moved_by_hand_keep_their_order_when_the_list_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    std::fs::write(&path, LIST).unwrap();
    let mut screen = read_and_save(&path, &folder.path().join("motors.pole"));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::MoveOn);
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::InsertAfter);
    screen.go("motors", "P_r", Field::Value(1));
    screen.enter("55 kW");
    let list = LIST.replace("P-103;22", "P-109;11;4;50;1460;1475;20;400\nP-103;22");
    std::fs::write(&path, list).unwrap();
    screen.ask(Act::Newer);
    screen.click("Do it");
    screen.settle();
    let text = screen.text();
    let at = |part: &str| text.find(part).unwrap_or_else(|| panic!("{part} in {text}"));
    let order = ["P-102", "P-109", "55 kW", "P-101", "P-103"].map(at);
    assert!(order.is_sorted(), "{text}");
}

/// What a condition shows is shown of the motors that fit it, wherever they stand after the list was read again; taken back too.
#[test]
fn a_condition_goes_by_the_motors_and_not_by_their_places() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    let lines: Vec<&str> = LIST.lines().collect();
    let [head, first, second, third] = lines[..] else {
        panic!()
    };
    let (other, last) = ("P-104;30;4;50;1470;1480;50;400", "P-105;3;4;50;1440;1470;6;400");
    let write = |rows: &[&str]| std::fs::write(&path, [&[head], rows].concat().join("\n")).unwrap();
    for (then, shown) in [
        (vec![second, first, third], ["P-101", "P-103"]),
        (vec![second, third, last], ["P-101", "P-103"]),
        (vec![other, second, third], ["P-101", "P-103"]),
    ] {
        write(&[first, second, third]);
        let mut screen = read_and_save(&path, &folder.path().join("motors.pole"));
        let tags = |screen: &mut Screen| -> Vec<String> {
            let labels = screen.labels();
            let tags = labels.iter().filter_map(|label| label.strip_prefix("tag P-"));
            let mut tags: Vec<String> = tags.map(|tag| format!("P-{tag}")).collect();
            tags.sort();
            tags.dedup();
            tags
        };
        screen.go("motors", "P_r", Field::Value(0));
        screen.ask(Act::Filter);
        screen.answer("P_r > 10 kW");
        assert_eq!(tags(&mut screen), shown, "{:?}", screen.labels());
        write(&then);
        screen.ask(Act::Newer);
        screen.click("Do it");
        screen.settle();
        let fits: Vec<String> = [("P-101", first), ("P-103", third), ("P-104", other)]
            .iter()
            .filter(|(tag, row)| then.contains(row) && screen.text().contains(tag))
            .map(|(tag, _)| (*tag).to_owned())
            .collect();
        assert_eq!(tags(&mut screen), fits, "{:?}", screen.labels());
        screen.ask(Act::Undo);
        assert_eq!(tags(&mut screen), shown, "{:?}", screen.labels());
    }
}

/// The parts of a package by their names.
fn parts(path: &Path) -> Vec<(String, String)> {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(path).unwrap()).unwrap();
    let mut parts: Vec<(String, String)> = (0..archive.len())
        .map(|at| {
            let mut entry = archive.by_index(at).unwrap();
            let name = entry.name().unwrap().into_owned();
            let mut text = Vec::new();
            std::io::Read::read_to_end(&mut entry, &mut text).unwrap();
            (name, String::from_utf8_lossy(&text).into_owned())
        })
        .collect();
    parts.sort();
    parts
}

/// What is handed over from the window is what the command hands over: the report and the notes on doubtful cells are in it.
#[test]
fn a_list_handed_over_from_the_window_has_its_report() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("quarry-motors.xlsx");
    std::fs::copy(shipped(), &path).unwrap();
    let mut screen = Screen::of_list(&path);
    let out = folder.path().join("out.xlsx");
    screen.keys(Modifiers::COMMAND, Key::E);
    screen.answer(&out.display().to_string());
    screen.settle();
    let by_command = folder.path().join("command.xlsx");
    let ran = std::process::Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args([
            "import".as_ref(),
            path.as_os_str(),
            "--export".as_ref(),
            by_command.as_os_str(),
        ])
        .output()
        .unwrap();
    assert!(by_command.exists(), "{}", String::from_utf8_lossy(&ran.stderr));
    let (window, command) = (parts(&out), parts(&by_command));
    assert!(window.iter().any(|(_, text)| text.contains("Import report")));
    let names = |parts: &[(String, String)]| parts.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&window), names(&command));
    for ((name, ours), (_, theirs)) in window.iter().zip(&command) {
        assert!(ours == theirs, "{name} differs");
    }
}

/// A value corrected in the window stays as received in the cell of the list; a note on the cell, the report and the notice say
/// what is used. What was left alone is told on demand.
#[test]
fn a_corrected_value_is_noted_on_its_cell() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("quarry-motors.xlsx");
    std::fs::copy(shipped(), &path).unwrap();
    let mut screen = Screen::of_list(&path);
    // Row 38 of the list has its measured power in column M, row 8 its rating in column E.
    for (quantity, row, text) in [("P_in", 24, "7.96 kW"), ("P_r", 0, "90 kW")] {
        screen.go("motors", quantity, Field::Value(row));
        screen.enter(text);
    }
    let out = folder.path().join("out.xlsx");
    screen.keys(Modifiers::COMMAND, Key::E);
    screen.answer(&out.display().to_string());
    screen.settle();
    assert!(
        screen.has_part("2 values were corrected since the list was read"),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has_part("Parts of the package"), "{:?}", screen.labels());
    screen.click("what was kept and added…");
    assert!(screen.has_part("Parts of the package"), "{:?}", screen.labels());
    let written = parts(&out);
    let part = |end: &str| {
        let mut found = written.iter().filter(|(name, _)| name.ends_with(end));
        let (_, text) = found.next().unwrap_or_else(|| panic!("{end}"));
        text.clone()
    };
    let comments = part("comments1.xml");
    let note = |cell: &str| {
        let (_, rest) = comments.split_once(&format!("ref=\"{cell}\"")).unwrap();
        rest.split("</comment>").next().unwrap().to_owned()
    };
    let power = note("M38");
    assert!(power.contains("7.96 kW is used in place of 79.6 kW"), "{power}");
    assert!(power.contains("Doubted when it was read: Measured 79.6 kW"), "{power}");
    assert!(note("E8").contains("90 kW is used in place of 110 kW"));
    let report = written
        .iter()
        .find(|(_, text)| text.contains("Corrected since the list was read<"))
        .unwrap();
    for cell in ["as received", "79.6 kW", "7.96 kW", "110 kW", "90 kW", "PC-101"] {
        assert!(report.1.contains(&format!(">{cell}<")), "{cell}: {}", report.1);
    }
    // The cells of the list are as they came.
    let sheet = |parts: &[(String, String)], cell: &str| {
        let (_, text) = parts.iter().find(|(name, _)| name.ends_with("sheet2.xml")).unwrap();
        let (_, rest) = text.split_once(&format!("<c r=\"{cell}\"")).unwrap();
        rest.split("</c>").next().unwrap().to_owned()
    };
    for cell in ["M38", "E8"] {
        assert_eq!(sheet(&written, cell), sheet(&parts(&path), cell));
    }
}

/// What the reading of a list doubted goes along although its file is gone: by hand, four poles at 50 Hz have 1500 r/min and no induction
/// motor has them on its plate. Opened anew nothing is known of the reading, which is said.
#[test]
fn doubts_go_along_when_the_list_is_gone() {
    let folder = tempfile::tempdir().unwrap();
    let (list, saved) = (folder.path().join("motors.csv"), folder.path().join("motors.pole"));
    std::fs::write(&list, "Tag;kW;rpm;poles;Hz\nA-1;15;1500;4;50\nA-2;11;1455;4;50\n").unwrap();
    let mut screen = read_and_save(&list, &saved);
    std::fs::remove_file(&list).unwrap();
    let doubt = "Plate speed 1500 r/min is at the synchronous speed 1500 r/min of 4 poles at 50 Hz";
    let not_there = "What its reading doubted is not in what was written";
    let out = folder.path().join("out.csv");
    let hand_over = |screen: &mut Screen| {
        screen.ask(Act::Export);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&out.display().to_string());
        assert!(
            screen.has_part("motors.csv is not where it was"),
            "{:?}",
            screen.labels()
        );
        let csv = std::fs::read_to_string(&out).unwrap();
        std::fs::remove_file(&out).unwrap();
        ["A-1", "A-2"].map(|tag| {
            let row = csv.lines().find(|line| line.starts_with(tag));
            row.unwrap_or_else(|| panic!("{tag} in {csv}")).contains(doubt)
        })
    };
    assert_eq!(hand_over(&mut screen), [true, false]);
    assert!(!screen.has_part(not_there), "{:?}", screen.labels());
    // Corrected, it is doubted no longer.
    screen.go("motors", "n_r", Field::Value(0));
    screen.enter("1465 r/min");
    assert_eq!(hand_over(&mut screen), [false, false]);
    screen.ask(Act::Undo);
    assert_eq!(hand_over(&mut screen), [true, false]);
    drop(screen);
    let mut screen = Screen::with_file(&saved);
    assert_eq!(hand_over(&mut screen), [false, false]);
    assert!(screen.has_part(not_there), "{:?}", screen.labels());
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
    screen.keys(Modifiers::ALT, Key::K);
    assert!(screen.text().contains("23 m"), "{}", screen.text());
    assert!(screen.has("not saved"));
    // Taking it is taken back like everything else, and done again.
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given H = 18 m"), "{}", screen.text());
    screen.ask(Act::Undo);
    screen.ask(Act::Redo);
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
        second.has_part("it is open in another Polepair window"),
        "{:?}",
        second.labels()
    );
    second.go("brine", "H", Field::Value(0));
    second.enter("20 m");
    second.keys(Modifiers::COMMAND, Key::S);
    // It asks for another name and says why; the file stays as the first window left it.
    assert!(
        second.has("Do it") && second.has_part("Give your work another name"),
        "{:?}",
        second.labels()
    );
    assert!(!std::fs::read_to_string(&path).unwrap().contains("20 m"));
    first.ask(Act::Save);
}

/// What is typed into a file that is another window's to write is kept against a crash as well, away from that file.
#[test]
fn work_on_a_file_of_another_window_is_kept_too() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("state");
    let (first, path) = Screen::with(folder.path(), &workbook(2));
    let mut second = Screen::with_state(&path, &state);
    assert!(second.has_part("it is open in another Polepair window"));
    second.go("brine", "H", Field::Value(0));
    second.enter("20 m");
    std::thread::sleep(Duration::from_millis(900));
    second.settle();
    second.settle();
    // Beside the file nothing is put: that place is the first window's.
    assert!(!polepair::window::door::kept_beside(&path).exists());
    drop(second);
    let mut third = Screen::first(Some(state));
    for _ in 0..100 {
        third.settle();
        if third.has("Take that work") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    third.click("Take that work");
    assert!(third.text().contains("20 m"), "{}", third.text());
    assert!(!std::fs::read_to_string(&path).unwrap().contains("20 m"));
    drop(first);
}

/// Work that could not be kept beside its file is offered where the file is opened again.
#[test]
fn work_kept_elsewhere_is_offered_with_its_file() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("state");
    let (first, path) = Screen::with(folder.path(), &workbook(2));
    let mut second = Screen::with_state(&path, &state);
    second.go("brine", "H", Field::Value(0));
    second.enter("20 m");
    std::thread::sleep(Duration::from_millis(900));
    second.settle();
    second.settle();
    drop(second);
    drop(first);
    let other = folder.path().join("other.pole");
    std::fs::write(&other, "polepair 1\nsheet a\n  given x = 1\n").unwrap();
    let mut screen = Screen::with_state(&other, &state);
    screen.settle();
    assert!(!screen.has("Take that work"), "{:?}", screen.labels());
    drop(screen);
    let mut screen = Screen::with_state(&path, &state);
    for _ in 0..100 {
        screen.settle();
        if screen.has("Take that work") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    assert!(
        screen.has_part("test.pole, which could not be written"),
        "{:?}",
        screen.labels()
    );
    screen.click("Take that work");
    assert!(screen.text().contains("20 m"), "{}", screen.text());
}

/// Where one line is said, beside a panel in a small window, that another program changed the file comes before what went well, and after what did not.
#[test]
fn a_file_changed_outside_is_said_before_what_went_well() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    screen.resize(1024.0, 700.0);
    screen.key(Key::F7);
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    screen.keys(Modifiers::COMMAND, Key::S);
    assert!(screen.has_part("Saved: "), "{:?}", screen.labels());
    std::fs::write(&path, workbook(3)).unwrap();
    std::thread::sleep(Duration::from_millis(2100));
    for _ in 0..50 {
        screen.settle();
        if screen.has_part("changed outside") {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(
        screen.has_part("changed outside") && screen.has("Load it again") && !screen.has_part("Saved: "),
        "{:?}",
        screen.labels()
    );
    screen.click("1 more");
    assert!(
        screen.has_part("Saved: ") && screen.has_part("changed outside"),
        "{:?}",
        screen.labels()
    );
    screen.click("only the last");
    screen.drop_files(&[Path::new("one.pole"), Path::new("two.pole")]);
    assert!(
        screen.has_part("2 files were dropped") && !screen.has_part("changed outside"),
        "{:?}",
        screen.labels()
    );
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
    // A copy of its own is written before the one that it took goes.
    let copies = || {
        let left = std::fs::read_dir(folder.path()).unwrap().flatten();
        let copies = left.filter(|entry| entry.file_name().to_string_lossy().starts_with("unsaved-"));
        let holds = |entry: std::fs::DirEntry| {
            entry.path().extension().is_some_and(|ending| ending == "pole")
                && std::fs::read_to_string(entry.path()).is_ok_and(|text| text.contains("given x = 42"))
        };
        copies.filter_map(|entry| holds(entry).then_some(())).count()
    };
    let mut most = copies();
    for _ in 0..300 {
        third.settle();
        let now = copies();
        assert!(now > 0);
        most = most.max(now);
        if most > 1 && now == 1 {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    assert_eq!((most > 0, copies()), (true, 1));
    // Locks of windows that are gone do not pile up: what is there belongs to this one and to the copy it took.
    drop(second);
    drop(third);
    std::fs::write(folder.path().join(".unsaved-1-0.pole.lock"), "").unwrap();
    let _ = std::fs::remove_file(folder.path().join("unsaved-1-0.pole"));
    let _fourth = Screen::first(Some(folder.path().to_owned()));
    let gone = (0..100).any(|_| {
        std::thread::sleep(Duration::from_millis(10));
        !folder.path().join(".unsaved-1-0.pole.lock").exists()
    });
    assert!(gone);
}

/// Where no copy can be written, that is told: whoever trusts in it would lose the work.
#[test]
fn a_copy_that_cannot_be_written_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    // A folder in its place is written over by no file.
    let kept = polepair::window::door::kept_beside(&path);
    std::fs::create_dir(&kept).unwrap();
    std::fs::write(kept.join("in the way"), "").unwrap();
    screen.go("brine", "H", Field::Value(0));
    screen.enter("23 m");
    let name = kept.file_name().unwrap().to_string_lossy().into_owned();
    for _ in 0..300 {
        screen.settle();
        if screen.has_part(&name) {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    assert!(screen.has_part(&name), "{:?}", screen.labels());
    assert!(screen.text().contains("23 m"), "{}", screen.text());
}

/// What is typed and not taken in is in no workbook; the copy that is kept tells it all the same.
#[test]
fn what_was_typed_and_not_taken_in_is_told_after_an_accident() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    screen.go("brine", "H", Field::Value(1));
    screen.letters("57.5");
    std::thread::sleep(Duration::from_millis(900));
    screen.settle();
    screen.settle();
    let kept = polepair::window::door::kept_beside(&path);
    let copy = std::fs::read_to_string(&kept).unwrap();
    // The window ends without a word; its copy stays.
    drop(screen);
    std::fs::write(&kept, copy).unwrap();
    let mut again = Screen::with_file(&path);
    let told = "Typed then and not taken in: `57.5` at H, summer.";
    assert!(again.has_part(told), "{:?}", again.labels());
    again.click("Take the kept work");
    assert!(again.has_part(told), "{:?}", again.labels());
    assert_eq!(again.text(), before);
}

/// A file that is there is not written over without a word.
#[test]
fn another_file_is_replaced_only_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let other = folder.path().join("other.pole");
    std::fs::write(&other, "polepair 1\n# not to be lost\n").unwrap();
    let text = screen.text();
    for name in ["other.pole", "other.csv"] {
        let target = folder.path().join(name);
        std::fs::write(&target, "not to be lost").unwrap();
        screen.ask(if name.ends_with("pole") {
            Act::SaveAs
        } else {
            Act::Export
        });
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&target.display().to_string());
        assert!(screen.has("Write over it"), "{:?}", screen.labels());
        screen.click("Leave it");
        assert_eq!(std::fs::read_to_string(&target).unwrap(), "not to be lost");
        screen.ask(if name.ends_with("pole") {
            Act::SaveAs
        } else {
            Act::Export
        });
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&target.display().to_string());
        screen.click("Write over it");
        assert_ne!(std::fs::read_to_string(&target).unwrap(), "not to be lost");
    }
    assert_eq!(crate::flat(&std::fs::read_to_string(&other).unwrap()), text);
    // What cannot be handed over so is refused before anybody is asked.
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&other.display().to_string());
    assert!(
        !screen.has("Write over it") && screen.has_part("end the name in .xlsx, .csv or .json"),
        "{:?}",
        screen.labels()
    );
    assert_eq!(crate::flat(&std::fs::read_to_string(&other).unwrap()), text);
}

/// What was just read from a list is in no file yet.
#[test]
fn a_list_that_was_read_is_work_not_saved() {
    let mut screen = Screen::of_list(shipped());
    assert!(screen.has("not saved"), "{:?}", screen.labels());
    // A doubt of the report leads to its row.
    screen.click("source row 38");
    let (at, spot) = screen.window().chosen().unwrap();
    let results = screen.window().session().unwrap().results();
    let Field::Value(row) = spot.field else {
        panic!("{spot:?}")
    };
    let source = results.sheets[at]
        .quantities
        .iter()
        .find(|quantity| &*quantity.name == "source_row");
    let number = source.unwrap().cells[row].as_number().unwrap();
    assert!((number.to_f64() - 38.0).abs() < 1e-9);
    screen.ask(Act::NewWorkbook);
    assert!(screen.has_part("not saved yet"), "{:?}", screen.labels());
}

#[test]
fn a_file_dropped_on_the_window_is_opened_once_work_is_safe() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let other = folder.path().join("dropped.pole");
    std::fs::write(&other, "polepair 1\nsheet dropped\n  given y = 7\n").unwrap();
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    screen.drop_file(&other);
    assert!(screen.has_part("not saved yet"), "{:?}", screen.labels());
    screen.click("Save it first");
    assert!(screen.text().contains("sheet dropped"), "{}", screen.text());
    assert!(
        std::fs::read_to_string(folder.path().join("test.pole"))
            .unwrap()
            .contains("19 m")
    );
}

/// Saving right after another program has written, before the next look at the file.
#[test]
fn saving_does_not_win_against_another_program() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    std::fs::write(&path, "polepair 1\n# another hand\n").unwrap();
    screen.ask(Act::Save);
    assert!(std::fs::read_to_string(&path).unwrap().contains("another hand"));
    assert!(screen.has_part("changed outside"), "{:?}", screen.labels());
    screen.click("Keep what is here");
    screen.ask(Act::Save);
    assert!(std::fs::read_to_string(&path).unwrap().contains("19 m"));
}

/// What was chosen for the looks holds in the next window; it is no part of the workbook.
#[test]
fn looks_and_units_are_remembered_and_a_broken_memory_stops_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("test.pole");
    std::fs::write(&path, workbook(2)).unwrap();
    let habits = folder.path().join("settings").join("window.json");
    let mut screen = Screen::with_habits(&path, &habits);
    let (dark, text) = (screen.dark(), screen.text());
    assert_eq!(screen.hears("Q winter").as_deref(), Some("60 typed"));
    for act in [Act::Night, Act::Larger, Act::InUs] {
        screen.ask(act);
    }
    for _ in 0..2_000 {
        screen.settle();
        if std::fs::read_to_string(&habits).is_ok_and(|text| text.contains("US")) {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    drop(screen);
    let mut screen = Screen::with_habits(&path, &habits);
    assert_ne!(screen.dark(), dark);
    assert!((screen.zoom() - 1.1).abs() < 1e-3, "{}", screen.zoom());
    assert_eq!(screen.hears("Q winter").as_deref(), Some("264.2 typed"));
    assert_eq!(screen.text(), text);
    assert!(screen.has("saved"));
    drop(screen);
    let habits = folder.path().join("settings").join("broken.json");
    for broken in [&b"{\"look\": "[..], b"\xff\x00", b""] {
        std::fs::write(&habits, broken).unwrap();
        let mut screen = Screen::with_habits(&path, &habits);
        assert_eq!(screen.hears("Q winter").as_deref(), Some("60 typed"));
        assert!((screen.zoom() - 1.0).abs() < 1e-6);
        assert_eq!(screen.text(), text);
    }
}

#[test]
fn the_reading_of_a_list_is_there_again_after_reopening() {
    let folder = tempfile::tempdir().unwrap();
    let (list, saved) = (folder.path().join("motors.csv"), folder.path().join("motors.pole"));
    std::fs::write(&list, LIST).unwrap();
    drop(read_and_save(&list, &saved));
    let mut screen = Screen::with_file(&saved);
    screen.keys(Modifiers::NONE, Key::F4);
    for _ in 0..200 {
        screen.settle();
        if screen.has_part(" columns, ") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    assert!(
        screen.has_part(" columns, ") && screen.has_part("3 motors in"),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has("not saved"), "looking changes nothing");
    screen.click("source row 4");
    assert!(
        screen.has("Source row 4 as it stands and as it was read"),
        "{:?}",
        screen.labels()
    );
}

#[test]
fn a_newer_list_goes_into_the_workbook_and_what_was_typed_stays() {
    let folder = tempfile::tempdir().unwrap();
    let (list, saved) = (folder.path().join("motors.csv"), folder.path().join("motors.pole"));
    std::fs::write(&list, LIST).unwrap();
    let mut screen = read_and_save(&list, &saved);
    screen.go("motors", "P_r", Field::Value(0));
    screen.enter("18.5 kW");
    screen.keys(Modifiers::COMMAND, Key::S);
    let before = screen.text();
    drop(screen);
    // P-101 and P-102 get other ratings, P-103 goes, P-104 comes.
    let newer = LIST
        .replace("P-101;15;", "P-101;22;")
        .replace("P-102;7,5;", "P-102;11;")
        .replace("P-103;22;", "P-104;30;");
    std::fs::write(&list, newer).unwrap();
    let mut screen = Screen::with_file(&saved);
    screen.keys(Modifiers::NONE, Key::F4);
    for _ in 0..200 {
        screen.settle();
        if screen.has_part("has changed since") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    screen.click("Read the list again…");
    screen.answer("");
    let text = screen.text();
    for part in [
        "\"P-101\" | 2 | 18.5 kW",
        "\"P-102\" | 3 | 11 kW",
        "\"P-104\" | 4 | 30 kW",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains("P-103"), "{text}");
    assert!(
        screen.has_part("P-101 rated power: 18.5 kW was typed here and stays; the list says 22 kW now, 15 kW before"),
        "{:?}",
        screen.labels()
    );
    // It is one step.
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before);
    screen.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(screen.text(), text);
    screen.keys(Modifiers::COMMAND, Key::S);
    assert_eq!(crate::flat(&std::fs::read_to_string(&saved).unwrap()), text);
    drop(screen);
    // The command goes on from there as if it had made the workbook itself.
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_polepair"))
        .args(["import", "motors.csv", "--to", "motors.pole"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(out.status.success());
    assert_eq!(crate::flat(&std::fs::read_to_string(&saved).unwrap()), text);
}

/// Kept work that was taken and taken back, to look at the file, is not lost: neither by an accident nor without a question.
#[test]
fn kept_work_that_was_taken_back_is_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    let kept = folder.path().join(".test.pole.kept");
    let meanwhile = folder.path().join(".test.pole.kept-meanwhile");
    std::fs::write(&kept, workbook(3)).unwrap();
    let holds = |path: &Path| {
        std::fs::read_to_string(path)
            .map(|text| crate::flat(&text))
            .unwrap_or_default()
    };
    let waits = |screen: &mut Screen| {
        std::thread::sleep(Duration::from_millis(900));
        screen.settle();
        screen.settle();
    };
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let leaves = |screen: &mut Screen| {
        screen.ask(Act::Close);
        let asks = screen.has("Work is not saved");
        screen.key(Key::Escape);
        asks
    };
    screen.keys(Modifiers::ALT, Key::K);
    // What is typed then and taken back as well is no part of it.
    screen.go("brine", "H", Field::Value(0));
    screen.enter("21 m");
    waits(&mut screen);
    assert!(holds(&kept).contains("21 m"));
    screen.keys(Modifiers::COMMAND, Key::Z);
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), crate::flat(&workbook(2)));
    waits(&mut screen);
    assert_eq!(holds(&kept), crate::flat(&workbook(3)));
    assert!(leaves(&mut screen), "{:?}", screen.labels());
    // An accident: it is offered again, along with what was done in the meantime.
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    waits(&mut screen);
    assert!(holds(&meanwhile).contains("19 m"));
    assert_eq!(holds(&kept), crate::flat(&workbook(3)));
    screen.keys(Modifiers::COMMAND, Key::Z);
    waits(&mut screen);
    drop(screen);
    let mut screen = Screen::with_file(&path);
    screen.keys(Modifiers::ALT, Key::K);
    assert_eq!(screen.text(), crate::flat(&workbook(3)));
    screen.keys(Modifiers::COMMAND, Key::Z);
    // Done again it is the work of this window; there is one copy.
    screen.ask(Act::Redo);
    waits(&mut screen);
    assert_eq!(holds(&kept), crate::flat(&workbook(3)));
    assert!(!meanwhile.exists());
    screen.keys(Modifiers::COMMAND, Key::Z);
    // Something is saved: what was taken back is let go.
    screen.go("brine", "H", Field::Value(0));
    screen.enter("20 m");
    screen.keys(Modifiers::COMMAND, Key::S);
    waits(&mut screen);
    assert!(!kept.exists() && !meanwhile.exists());
    assert!(!leaves(&mut screen), "{:?}", screen.labels());
}

/// What is kept beside another text of the file is in no file: it says so, is asked for before it goes, and is kept against a crash.
#[test]
fn what_is_kept_beside_a_changed_file_is_not_saved() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    std::fs::write(&path, workbook(3)).unwrap();
    for _ in 0..200 {
        screen.settle();
        if screen.has_part("changed outside") {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    screen.click("Keep what is here");
    screen.settle();
    std::thread::sleep(Duration::from_millis(900));
    screen.settle();
    assert!(screen.has("not saved"), "{:?}", screen.labels());
    assert!(folder.path().join(".test.pole.kept").exists());
    screen.ask(Act::Close);
    assert!(screen.has("Work is not saved"), "{:?}", screen.labels());
    screen.key(Key::Escape);
    screen.keys(Modifiers::COMMAND, Key::S);
    assert_eq!(
        crate::flat(&std::fs::read_to_string(&path).unwrap()),
        crate::flat(&workbook(2))
    );
    assert!(screen.has("saved"), "{:?}", screen.labels());
}

/// Who says so lets kept work go that was taken back.
#[test]
fn kept_work_that_was_taken_back_goes_when_it_is_let_go() {
    let folder = tempfile::tempdir().unwrap();
    let kept = folder.path().join(".test.pole.kept");
    std::fs::write(&kept, workbook(3)).unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.keys(Modifiers::ALT, Key::K);
    screen.keys(Modifiers::COMMAND, Key::Z);
    screen.ask(Act::NewWorkbook);
    assert!(
        screen.has_part("The kept work that was taken back is in no file."),
        "{:?}",
        screen.labels()
    );
    // What loses nothing has the keys first.
    screen.key(Key::Enter);
    assert!(kept.exists() && screen.text() == crate::flat(&workbook(2)));
    screen.ask(Act::NewWorkbook);
    screen.click("Go on without saving");
    screen.settle();
    assert!(!kept.exists());
    assert!(screen.text() != crate::flat(&workbook(2)));
}

#[test]
fn a_save_does_not_answer_the_offer_of_kept_work() {
    let folder = tempfile::tempdir().unwrap();
    let kept = folder.path().join(".test.pole.kept");
    std::fs::write(&kept, workbook(3)).unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    assert!(screen.has("Take the kept work"), "{:?}", screen.labels());
    screen.go("brine", "H", Field::Value(0));
    screen.enter("21 m");
    screen.keys(Modifiers::COMMAND, Key::S);
    assert!(screen.has_part("Saved") && kept.exists(), "{:?}", screen.labels());
    screen.click("Take the kept work");
    assert_eq!(screen.text(), crate::flat(&workbook(3)));
}

/// Of the kept work and what the file held, one stands on the screen and one was saved last: where they are two, it is not saved.
#[test]
fn kept_work_that_was_saved_and_taken_back_is_not_saved() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(".test.pole.kept"), workbook(3)).unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let asks = |screen: &mut Screen| {
        screen.ask(Act::NewWorkbook);
        let asks = screen.has("Work is not saved");
        screen.key(Key::Escape);
        asks
    };
    screen.click("Take the kept work");
    screen.ask(Act::Save);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), workbook(3));
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), crate::flat(&workbook(2)));
    assert!(asks(&mut screen), "{:?}", screen.labels());
    // And the other way round.
    screen.ask(Act::Save);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), workbook(2));
    screen.ask(Act::Redo);
    assert_eq!(screen.text(), crate::flat(&workbook(3)));
    assert!(asks(&mut screen), "{:?}", screen.labels());
}

#[test]
fn a_list_that_was_never_saved_knows_its_file_after_an_accident() {
    let (folder, state) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let list = folder.path().join("motors.csv");
    std::fs::write(&list, LIST).unwrap();
    let mut screen = Screen::first(Some(state.path().to_owned()));
    screen.keys(Modifiers::COMMAND, Key::I);
    screen.answer(&list.display().to_string());
    std::thread::sleep(Duration::from_millis(900));
    screen.settle();
    screen.settle();
    drop(screen);
    let mut screen = Screen::first(Some(state.path().to_owned()));
    for _ in 0..100 {
        screen.settle();
        if screen.has("Take that work") {
            break;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    screen.click("Take that work");
    screen.settle();
    std::fs::create_dir(folder.path().join("books")).unwrap();
    let saved = folder.path().join("books/motors.pole");
    save_to(&mut screen, &saved);
    let text = std::fs::read_to_string(&saved).unwrap();
    assert!(text.contains("read \"../motors.csv\""), "{text}");
}

/// The dialogue of the system may take long to come, or never come: that is said at once, and the path field works all the while.
#[test]
fn the_dialogue_of_the_system_is_waited_for_without_standing_still() {
    use std::sync::{Arc, Mutex, mpsc};
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let (answer, answers) = mpsc::channel::<Option<std::path::PathBuf>>();
    let answers = Arc::new(Mutex::new(answers));
    let waits = answers.clone();
    screen
        .window()
        .look_through(Arc::new(move |_| waits.lock().unwrap().recv().ok().flatten()));
    screen.window().ask_system();
    screen.ask(Act::Open);
    assert!(
        screen.has_part("is being opened; a path can be written here meanwhile"),
        "{:?}",
        screen.labels()
    );
    // It never came: the question stays, and says so.
    answer.send(None).unwrap();
    for _ in 0..200 {
        screen.settle();
        if screen.has_part("no dialogue for files here") {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(screen.has_part("no dialogue for files here"), "{:?}", screen.labels());
    assert!(screen.has("Do it"));
    // Asked for again, the field is used while it is on its way.
    screen.click("Look for it…");
    assert!(screen.has_part("is being opened"), "{:?}", screen.labels());
    let other = folder.path().join("other.pole");
    std::fs::write(&other, "polepair 1\nsheet other\n  given y = 7\n").unwrap();
    // The field had the keys before the button.
    screen.click("The path of a .pole file.");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&other.display().to_string());
    assert!(screen.text().contains("sheet other"), "{:?}", screen.labels());
    // What comes too late changes nothing.
    answer.send(Some(path)).unwrap();
    std::thread::sleep(Duration::from_millis(20));
    assert!(screen.text().contains("sheet other"));
}

/// What is said last of a thing takes the place of what was said before; everything said can be put away.
#[test]
fn a_later_success_takes_the_place_of_an_older_error() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(12));
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P_r");
    assert!(screen.has_part("not yes or no"), "{:?}", screen.labels());
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("P_r > 5 kW");
    assert!(!screen.has_part("not yes or no"), "{:?}", screen.labels());
    for name in ["none/there/out.xlsx", "out.doc"] {
        screen.ask(Act::Export);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&folder.path().join(name).display().to_string());
        let errors = screen.labels().iter().filter(|label| label.starts_with("✕ ")).count();
        assert!(errors <= 2, "one notice, heard twice at most: {:?}", screen.labels());
        assert!(errors > 0, "{name}: {:?}", screen.labels());
    }
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&folder.path().join("out.csv").display().to_string());
    assert!(
        screen.has_part("Written: ") && !screen.has_part("✕ ") && !screen.has_part("hidden"),
        "{:?}",
        screen.labels()
    );
    // What is hidden on the screen goes along, and that is said.
    screen.go("motors", "P_r", Field::Value(0));
    screen.ask(Act::Hide);
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&folder.path().join("shown.csv").display().to_string());
    assert!(
        screen.has_part("The hidden quantity is in it as well"),
        "{:?}",
        screen.labels()
    );
    while screen.has("put away") {
        screen.click("put away");
    }
    assert!(!screen.has_part("Written: "), "{:?}", screen.labels());
}

/// After an outside change, and in a second window, a name is proposed that no file has.
#[test]
fn the_name_of_a_file_that_is_not_ours_is_never_proposed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    let free = |number: u32| folder.path().join(format!("test-{number}.pole"));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("19 m");
    std::fs::write(&path, "polepair 1\n# another hand\n").unwrap();
    screen.ask(Act::Save);
    assert!(screen.has_part("changed outside"), "{:?}", screen.labels());
    let mut second = Screen::with_file(&path);
    second.ask(Act::Save);
    assert_eq!(
        second.hears("The path of a .pole file.").as_deref(),
        Some(free(2).display().to_string().as_str())
    );
    screen.ask(Act::Save);
    screen.click("Do it");
    assert!(std::fs::read_to_string(free(2)).unwrap().contains("19 m"));
    assert!(std::fs::read_to_string(&path).unwrap().contains("another hand"));
    second.click("Leave it");
    second.ask(Act::Save);
    assert_eq!(
        second.hears("The path of a .pole file.").as_deref(),
        Some(free(3).display().to_string().as_str())
    );
}

/// Lists, workbooks, rubbish, folders and several at once: each is opened or told, and nothing is lost.
#[test]
fn whatever_falls_on_the_window_is_opened_or_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    let rubbish = folder.path().join("rubbish.bin");
    std::fs::write(&rubbish, [0_u8, 255, 1, 2, 254, 7].repeat(500)).unwrap();
    let no_book = folder.path().join("rubbish.pole");
    std::fs::write(&no_book, [0_u8, 255, 1]).unwrap();
    let csv = folder.path().join("motors.csv");
    std::fs::write(&csv, LIST).unwrap();
    let book = folder.path().join("dropped.pole");
    std::fs::write(&book, "polepair 1\nsheet dropped\n  given y = 7\n").unwrap();
    for (paths, part) in [
        (vec![rubbish.as_path()], "rubbish.bin"),
        (vec![no_book.as_path()], "cannot read"),
        (vec![folder.path()], ""),
        (vec![folder.path().join("gone.xlsx").as_path()], "gone.xlsx"),
        (
            vec![book.as_path(), csv.as_path()],
            "2 files were dropped; drop one at a time.",
        ),
    ] {
        screen.drop_files(&paths);
        assert!(
            screen.has_part(part) && screen.has("put away"),
            "{paths:?}: {:?}",
            screen.labels()
        );
        assert_eq!(screen.text(), before, "{paths:?}");
    }
    // What is being typed is not lost to what falls.
    screen.go("brine", "H", Field::Value(0));
    screen.letters("21 m");
    screen.drop_file(&book);
    assert!(screen.has_part("not saved yet"), "{:?}", screen.labels());
    screen.click("Stay here");
    assert!(screen.text().contains("H = 21 m"), "{}", screen.text());
    screen.ask(Act::Save);
    screen.drop_file(&csv);
    assert!(screen.text().contains("P-102"), "{:?}", screen.labels());
    screen.drop_file(&shipped());
    screen.click("Go on without saving");
    assert!(screen.has_part("quarry-motors.xlsx"), "{:?}", screen.labels());
    screen.drop_file(&book);
    screen.click("Go on without saving");
    assert!(screen.text().contains("sheet dropped"), "{:?}", screen.labels());
}

/// Whoever goes on without saving has not saved: as long as nothing takes its place the work stays, and is asked for again.
#[test]
fn work_that_may_go_is_not_saved_until_it_goes() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("none.csv");
    std::fs::write(&list, "a;b\nx;y\n").unwrap();
    let other = folder.path().join("other.pole");
    std::fs::write(&other, "polepair 1\nsheet other\n  given a = 1\n").unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.enter("21 m");
    for (act, answer) in [(Act::Import, None), (Act::Open, None), (Act::Import, Some(&list))] {
        screen.ask(act);
        screen.click("Go on without saving");
        if let Some(answer) = answer {
            screen.keys(Modifiers::COMMAND, Key::A);
            screen.answer(&answer.display().to_string());
        }
        screen.key(Key::Escape);
        assert!(screen.has("not saved"), "{act:?}: {:?}", screen.labels());
        screen.ask(Act::NewWorkbook);
        assert!(screen.has("Work is not saved"), "{act:?}: {:?}", screen.labels());
        screen.click("Stay here");
        assert!(screen.text().contains("H = 21 m"), "{}", screen.text());
    }
    // The copy against a crash is written a little after the last change.
    let kept = folder.path().join(".test.pole.kept");
    for _ in 0..1000 {
        if kept.exists() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
        screen.settle();
    }
    assert!(kept.exists());
    // It is asked once for what comes.
    screen.ask(Act::Open);
    screen.click("Go on without saving");
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&other.display().to_string());
    assert!(screen.text().contains("sheet other"), "{:?}", screen.labels());
    assert!(!std::fs::read_to_string(&path).unwrap().contains("21 m"));
}

/// A path that is refused stays in its question, with the reason; what is typed next is typed there.
#[test]
fn a_refused_path_stays_in_its_question() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    let before = screen.text();
    let nowhere = folder.path().join("nowhere");
    for (act, title, wrong, right, reason) in [
        (
            Act::SaveAs,
            "Save under another name",
            "x.pole",
            "y.pole",
            "does not exist",
        ),
        (Act::Export, "Hand over", "out.pdf", "out.csv", "end the name in"),
        (Act::Open, "Open a workbook", "none.pole", "test.pole", "none.pole"),
        (Act::Import, "Read an equipment list", "none.csv", "", "none.csv"),
    ] {
        screen.ask(act);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&nowhere.join(wrong).display().to_string());
        screen.settle();
        assert!(
            screen.has(title) && screen.has_part(reason),
            "{title}: {:?}",
            screen.labels()
        );
        if right.is_empty() {
            screen.key(Key::Escape);
            continue;
        }
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&folder.path().join(right).display().to_string());
        assert!(!screen.has(title), "{title}: {:?}", screen.labels());
        assert_eq!(screen.text(), before);
    }
    assert!(folder.path().join("y.pole").exists() && folder.path().join("out.csv").exists());
}

/// What the reading doubted is marked from the opening on; where the list is gone, that is said.
#[test]
fn doubts_of_a_list_are_there_again_on_opening() {
    let folder = tempfile::tempdir().unwrap();
    let (list, saved) = (folder.path().join("motors.csv"), folder.path().join("motors.pole"));
    // A plate speed at the synchronous speed is doubted.
    std::fs::write(&list, "Tag;kW;rpm;poles\nA-1;15;1500;4\nA-2;11;1455;4\n").unwrap();
    let screen = read_and_save(&list, &saved);
    let marks = |screen: &Screen| [screen.hears("tag A-1").unwrap(), screen.hears("tag A-2").unwrap()];
    let read = marks(&screen);
    assert!(read[0].ends_with("doubtful") && read[1].ends_with("typed"), "{read:?}");
    drop(screen);
    let mut screen = Screen::with_file(&saved);
    assert_eq!(marks(&screen), read);
    screen.key(Key::F7);
    assert!(screen.has_part("The reading of the list has"), "{:?}", screen.labels());
    drop(screen);
    std::fs::remove_file(&list).unwrap();
    let screen = Screen::with_file(&saved);
    assert!(
        screen.has_part("What is doubtful in the list is not marked"),
        "{:?}",
        screen.labels()
    );
}

/// Groups leave with the list they are made of: on the sheet that is added to the received file, or as the csv of what is in sight.
#[test]
fn groups_are_handed_over_with_their_list() {
    let folder = tempfile::tempdir().unwrap();
    let list = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    let received = folder.path().join("quarry-motors.xlsx");
    std::fs::copy(&list, &received).unwrap();
    let mut screen = Screen::of_list(&received);
    screen.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&folder.path().join("quarry.pole").display().to_string());
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    screen.go("motors_by_area", "number_of_rows", Field::Value(0));
    let mut out = |name: &str| {
        let target = folder.path().join(name);
        screen.ask(Act::Export);
        screen.keys(Modifiers::COMMAND, Key::A);
        screen.answer(&target.display().to_string());
        assert!(target.exists(), "{:?}", screen.labels());
        assert!(!screen.has_part("Not written, as they"), "{:?}", screen.labels());
        target
    };
    let csv = std::fs::read_to_string(out("groups.csv")).unwrap();
    let (first, rows) = csv.split_once('\n').unwrap();
    assert!(first.contains("Rows"), "{csv}");
    let first_group = rows.lines().next().unwrap().to_owned();
    let xlsx = out("back.xlsx");
    let mut packed = zip::ZipArchive::new(std::fs::File::open(xlsx).unwrap()).unwrap();
    let mut found = false;
    for at in 0..packed.len() {
        let mut text = String::new();
        let part = packed.by_index(at).unwrap();
        let _ = std::io::Read::read_to_string(&mut { part }, &mut text);
        let area = first_group.split(',').next().unwrap();
        // On a sheet of its own, named by the list and the quantity, that says whose it is.
        found |= text.contains(">Worked from the list and added to this file") && text.contains(&format!(">{area}<"));
    }
    assert!(found, "{csv}");
    let named = |parts: &[(String, String)]| {
        let book = parts.iter().find(|(name, _)| name == "xl/workbook.xml").unwrap();
        book.1.matches("name=\"motors by area\"").count()
    };
    assert_eq!(named(&parts(&folder.path().join("back.xlsx"))), 1);
    // Read again it is no list: 25 motors are found as before, and what is handed over once more has it once.
    drop(screen);
    let mut screen = Screen::of_list(folder.path().join("back.xlsx"));
    assert!(
        screen.has_part("25 motors in 41 rows, sheet Motors"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "area", Field::Value(0));
    screen.ask(Act::Group);
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    let again = folder.path().join("again.xlsx");
    screen.answer(&again.display().to_string());
    assert_eq!(named(&parts(&again)), 1, "{:?}", screen.labels());
}

/// A file is read while work goes on: what was typed meanwhile is asked about before anything takes its place, and letters begun
/// in one workbook never reach another.
#[test]
fn what_is_typed_while_a_file_is_read_is_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _path) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given P = 10 kW\n");
    let list = folder.path().join("motors.csv");
    let rows: String = (0..3000).map(|row| format!("M-{row};11;1460;400;21\n")).collect();
    std::fs::write(&list, format!("Tag;kW;rpm;V;A\n{rows}")).unwrap();
    screen.go("a", "P", Field::Value(0));
    screen.ask(Act::Import);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.letters(&list.display().to_string());
    // Enter in the question, then at once a value.
    let mut events = vec![press(Key::Enter)];
    events.extend("12 kW".chars().map(|letter| Event::Text(letter.to_string())));
    screen.one_by_one(events);
    assert!(
        screen.text().contains("given P = 10 kW"),
        "the old workbook stays while it is typed in"
    );
    screen.key(Key::Enter);
    assert!(screen.has("Work is not saved"), "{:?}", screen.labels());
    assert!(screen.text().contains("given P = 12 kW"));
    // Back: the workbook stays, and what was read is put away.
    screen.key(Key::Escape);
    assert!(screen.text().contains("given P = 12 kW") && !screen.has("Work is not saved"));
    assert!(
        screen.has_part("the workbook that is open stays"),
        "{:?}",
        screen.labels()
    );
}

/// A proposed path is typed over by the first letter; an arrow goes into it.
#[test]
fn a_proposed_path_is_chosen_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given v = 3 m/s : speed\n");
    let hint = "The path of a file that ends in .xlsx, .csv or .json.";
    screen.ask(Act::Export);
    assert!(
        screen.hears(hint).is_some_and(|path| path.ends_with("test.xlsx")),
        "{:?}",
        screen.labels()
    );
    screen.letters("/tmp/other.csv");
    assert_eq!(screen.hears(hint).as_deref(), Some("/tmp/other.csv"));
    screen.key(Key::Escape);
    screen.ask(Act::Export);
    screen.key(Key::ArrowRight);
    screen.letters("x");
    assert!(
        screen.hears(hint).is_some_and(|path| path.ends_with("test.xlsxx")),
        "{:?}",
        screen.hears(hint)
    );
}

/// The first page names the files that unsaved work waits in; where the file was saved after that work was kept, this is said.
#[test]
fn unsaved_work_of_a_named_file_is_told_on_the_first_page() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("state");
    let path = folder.path().join("pumps.pole");
    std::fs::write(&path, workbook(3)).unwrap();
    drop(Screen::with_state(&path, &state));
    let told = "unsaved work waits in it";
    let screen = Screen::first(Some(state.clone()));
    assert!(
        screen.has("pumps.pole") && !screen.has_part(told),
        "{:?}",
        screen.labels()
    );
    let kept = polepair::window::door::kept_beside(&path);
    std::fs::write(&kept, workbook(4)).unwrap();
    let mut screen = Screen::first(Some(state.clone()));
    assert!(screen.has_part(told), "{:?}", screen.labels());
    screen.click("pumps.pole");
    assert!(
        screen.has("Take the kept work") && !screen.has_part("older than the file"),
        "{:?}",
        screen.labels()
    );
    // Another window has it open: what it keeps is no work that waits.
    let other = Screen::first(Some(state.clone()));
    assert!(!other.has_part(told), "{:?}", other.labels());
    drop((screen, other));
    let long_ago = std::time::SystemTime::now() - std::time::Duration::from_secs(3600);
    std::fs::write(&kept, workbook(4)).unwrap();
    std::fs::File::options()
        .write(true)
        .open(&kept)
        .unwrap()
        .set_modified(long_ago)
        .unwrap();
    let screen = Screen::with_state(&path, &state);
    assert!(
        screen.has_part("The kept work is older than the file"),
        "{:?}",
        screen.labels()
    );
}

/// A file of a newer program says so at the top, and is written over only when asked; its fault stands before the first sheet.
#[test]
fn a_file_of_a_newer_program_is_not_written_over_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 9\nsheet a\n  given P = 3 kW\n";
    let (mut screen, path) = Screen::with(folder.path(), text);
    assert!(
        screen.has_part("test.pole is in version 9 of the text"),
        "{:?}",
        screen.labels()
    );
    assert!(
        screen.has("1 fault or warning before the first sheet"),
        "{:?}",
        screen.labels()
    );
    screen.go("a", "P", Field::Value(0));
    screen.enter("4 kW");
    screen.ask(Act::Save);
    assert!(screen.has("The file is of a newer program"), "{:?}", screen.labels());
    screen.click("Leave it");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    screen.ask(Act::Save);
    screen.click("Write over it");
    assert!(std::fs::read_to_string(&path).unwrap().contains("P = 4 kW"));
    // It is asked once.
    screen.go("a", "P", Field::Value(0));
    screen.enter("5 kW");
    screen.ask(Act::Save);
    assert!(
        std::fs::read_to_string(&path).unwrap().contains("P = 5 kW"),
        "{:?}",
        screen.labels()
    );
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet a\n  given P = 3 kW\n");
    screen.ask(Act::Save);
    assert!(!screen.has_part("newer program") && !screen.has_part("before the first sheet"));
}

/// A workbook that has no file is saved, not saved anew: under its title, in the folder of the last file.
#[test]
fn the_first_save_proposes_a_folder_and_a_name() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("state");
    let path = folder.path().join("pumps.pole");
    std::fs::write(&path, workbook(3)).unwrap();
    drop(Screen::with_state(&path, &state));
    let mut screen = Screen::first(Some(state));
    screen.ask(Act::NewWorkbook);
    screen.ask(Act::TitleBook);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer("Fan 3/4 \"new\"");
    screen.ask(Act::Save);
    assert!(
        screen.has("Save the workbook") && !screen.has("Save under another name"),
        "{:?}",
        screen.labels()
    );
    let proposed = folder.path().join("Fan 34 new.pole");
    screen.click("Do it");
    assert!(proposed.exists(), "{:?}", screen.labels());
    screen.ask(Act::SaveAs);
    assert!(screen.has("Save under another name"), "{:?}", screen.labels());
}

/// Where the system has no dialogue for files a path is found all the same: what stands in the folder is offered, pressed, completed by Tab.
#[test]
fn a_file_is_found_without_a_dialogue_of_the_system() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, path) = Screen::with(folder.path(), &workbook(2));
    std::fs::create_dir(folder.path().join("plant")).unwrap();
    for name in ["pumps-north.pole", "pumps-south.pole"] {
        std::fs::write(folder.path().join("plant").join(name), workbook(4)).unwrap();
    }
    std::fs::write(folder.path().join("plant/notes.doc"), "x").unwrap();
    screen.window().look_through(std::sync::Arc::new(|_| None));
    screen.window().ask_system();
    let offered = |screen: &mut Screen, name: &str| {
        for _ in 0..200 {
            screen.still();
            if screen.has(name) {
                return;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        panic!("{name}: {:?}", screen.labels());
    };
    screen.ask(Act::Open);
    // It begins where the open file stands.
    offered(&mut screen, "plant/");
    assert!(
        screen.has_part("The system has no dialogue for files here"),
        "{:?}",
        screen.labels()
    );
    screen.click("plant/");
    offered(&mut screen, "pumps-north.pole");
    assert!(!screen.has("notes.doc"), "{:?}", screen.labels());
    screen.letters("p");
    screen.key(Key::Tab);
    // The arrows go along the path and leave its field to nothing else.
    let field = screen.focused();
    for key in [Key::ArrowLeft, Key::ArrowRight, Key::ArrowUp, Key::ArrowDown] {
        screen.key(key);
        assert_eq!(screen.focused(), field, "{key:?}");
    }
    screen.key(Key::End);
    screen.letters("s");
    screen.key(Key::Tab);
    assert_eq!(screen.focused(), field);
    screen.key(Key::Enter);
    screen.settle();
    assert_eq!(screen.text(), crate::flat(&workbook(4)), "{:?}", screen.labels());
    // A name to save under goes beside the others, and what is there is seen.
    let beside = path.with_file_name("other");
    screen.ask(Act::SaveAs);
    offered(&mut screen, "pumps-south.pole");
    // With nothing to complete Tab goes on to what can be pressed.
    let field = screen.focused();
    screen.key(Key::Tab);
    assert_ne!(screen.focused(), field);
    screen.keys(Modifiers::SHIFT, Key::Tab);
    assert_eq!(screen.focused(), field);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&beside.display().to_string());
    assert!(beside.with_extension("pole").exists(), "{:?}", screen.labels());
}

/// What is handed over never gets the name of a file that was read: the received list itself, whether the workbook has a file or not, nor
/// that of a list that was read before.
#[test]
fn the_received_list_is_never_proposed_for_what_is_handed_over() {
    let folder = tempfile::tempdir().unwrap();
    let hint = "The path of a file that ends in .xlsx, .csv or .json.";
    let list = folder.path().join("motors.xlsx");
    std::fs::copy(shipped(), &list).unwrap();
    let proposed = |screen: &mut Screen| {
        screen.ask(Act::Export);
        let path = screen.hears(hint).unwrap_or_else(|| panic!("{:?}", screen.labels()));
        screen.key(Key::Escape);
        Path::new(&path).to_owned()
    };
    let mut screen = Screen::of_list(&list);
    let wanted = folder.path().join("motors-loads.xlsx");
    assert_eq!(proposed(&mut screen), wanted);
    save_to(&mut screen, &folder.path().join("motors.pole"));
    assert_eq!(proposed(&mut screen), wanted);
    // Under another name of the workbook the list is in nobody's way.
    screen.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&folder.path().join("survey.pole").display().to_string());
    assert_eq!(proposed(&mut screen), folder.path().join("survey.xlsx"));
    drop(screen);
    // Opened anew, and where the file has changed since.
    std::fs::write(&list, "changed").unwrap();
    let mut screen = Screen::with_file(&folder.path().join("motors.pole"));
    assert_eq!(proposed(&mut screen), wanted);
    screen.ask(Act::Export);
    screen.keys(Modifiers::COMMAND, Key::A);
    screen.answer(&list.display().to_string());
    screen.click("Write over it");
    assert!(screen.has_part("is the list itself"), "{:?}", screen.labels());
    assert_eq!(std::fs::read(&list).unwrap(), b"changed");
}

/// The place that was chosen stays on its motor when the list is read again, wherever that stands now, and on the next one where it went;
/// in the column that it was in, although another one came before it.
#[test]
fn the_chosen_motor_stays_chosen_when_the_list_is_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("motors.csv");
    let lines: Vec<&str> = LIST.lines().collect();
    let [head, first, second, third] = lines[..] else {
        panic!()
    };
    let (other, last) = ("P-104;30;4;50;1470;1480;50;400", "P-105;3;4;50;1440;1470;6;400");
    let write = |rows: &[&str]| std::fs::write(&path, [&[head], rows].concat().join("\n")).unwrap();
    let chosen = |screen: &mut Screen| {
        let (sheet, spot) = screen.window().chosen().unwrap();
        let sheet = &screen.window().session().unwrap().results().sheets[sheet];
        let Field::Value(item) = spot.field else {
            panic!("{spot:?}")
        };
        (
            sheet.items[item].to_string(),
            sheet.quantities[spot.quantity].name.to_string(),
        )
    };
    for order in [false, true] {
        for (at, then, goes) in [
            (1, vec![other, last, first, second, third], "P-102"),
            (1, vec![third, first, second], "P-102"),
            (1, vec![other, first, third], "P-103"),
            (2, vec![other, first, second], "P-102"),
        ] {
            write(&[first, second, third]);
            let mut screen = read_and_save(&path, &folder.path().join("motors.pole"));
            if order {
                screen.go("motors", "P_r", Field::Value(0));
                screen.ask(Act::SortDown);
            }
            screen.go("motors", "n_r", Field::Value(at));
            write(&then);
            screen.ask(Act::Newer);
            screen.click("Do it");
            screen.settle();
            assert_eq!(
                chosen(&mut screen),
                (goes.to_owned(), "n_r".to_owned()),
                "{then:?} {:?}",
                screen.labels()
            );
        }
    }
}
