//! Equipment lists in the window: doubts of one sort at once, tables with headings, rows behind a condition, units of fans and pumps.
//!
//! All lists are invented; what a case rests on stands beside it.

use eframe::egui::{Event, Key};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, paste};

/// A list read in a window that has the first page open.
fn read(text: &str) -> Screen {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("plant.csv");
    std::fs::write(&list, text).unwrap();
    Screen::of_list(&list)
}

/// The row of the list that begins with a tag, as it stands in the workbook.
fn row(screen: &mut Screen, tag: &str) -> String {
    let text = screen.text();
    let begins = format!("\"{tag}\" |");
    let row = text.lines().find(|line| line.trim_start().starts_with(&begins));
    row.unwrap_or_else(|| panic!("no row {tag} in {text}"))
        .trim()
        .to_owned()
}

fn shown(screen: &mut Screen, quantity: &str, item: usize) -> String {
    screen.go("motors", quantity, Field::Value(item));
    let (at, spot) = screen.window().chosen().unwrap();
    let session = screen.window().session().unwrap();
    let seen = polepair::window::spot::Seen::of(session, at).unwrap();
    seen.shown(spot, false).text
}

/// A, B, C and D are measured over 1.5 times their plate current; the plate of D is off as well (√3·400·49.4·0.91·0.84 W is 26.2 kW over
/// 15 kW), which speaks against the same current. E has nothing against it. F, G and H have the synchronous speed on their plates.
const CURRENTS: &str = "Tag;kW;V;A;rpm;Hz;eff;pf;Measured V;Measured A;Measured rpm
A;15;400;28.5;1465;50;91;0.84;400;45;1475
B;15;400;28.5;1465;50;91;0.84;400;46;1475
C;15;400;28.5;1465;50;91;0.84;400;47;1475
D;15;400;49.4;1465;50;91;0.84;400;80;1475
E;15;400;28.5;1465;50;91;0.84;400;20;1475
F;15;400;28.5;1500;50;91;0.84;400;20;1475
G;15;400;28.5;1500;50;91;0.84;400;20;1475
H;15;400;28.5;1500;50;91;0.84;400;20;1475
";

#[test]
fn doubts_of_one_sort_are_taken_as_right_in_one_step() {
    let mut screen = read(CURRENTS);
    let before = screen.text();
    screen.click("4 × current above plate…");
    assert!(
        screen
            .has("1 stays open: a doubt of another sort speaks against the same reading, to be looked at row by row."),
        "{:?}",
        screen.labels()
    );
    screen.click("→ take 3 as right");
    for (tag, is_taken) in [("A", true), ("B", true), ("C", true), ("D", false)] {
        assert_eq!(row(&mut screen, tag).contains("\"doubted\""), !is_taken, "{tag}");
    }
    // 45 A take the load of A by current and power factor, which the reading had not used.
    assert!(
        shown(&mut screen, "method", 0).starts_with("current"),
        "{}",
        shown(&mut screen, "method", 0)
    );
    // One is left, and one alone is no sort.
    assert!(!screen.has_part("× current above plate"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    assert!(screen.has("4 × current above plate"), "{:?}", screen.labels());
}

#[test]
fn what_no_motor_has_is_not_taken_as_right() {
    let mut screen = read(CURRENTS);
    assert!(!row(&mut screen, "F").ends_with("\"good\""));
    screen.click("3 × plate speed synchronous…");
    assert!(
        screen.has_part("3 stay open: no induction motor has such plates"),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has_part("→ take"), "{:?}", screen.labels());
    screen.click("Leave it");
    assert!(!screen.has_part("3 stay open"), "{:?}", screen.labels());
    // Nor one by one.
    let screen = read("Tag;kW;V;A;rpm;Hz\nF;15;400;28.5;1500;50\nG;15;400;28.5;1465;50\n");
    assert!(screen.has("source row 2"), "{:?}", screen.labels());
    assert!(!screen.has("it is right: use it"), "{:?}", screen.labels());
}

/// 1.46, 1.47 and 1.45 r/min are written with a point for thousands.
#[test]
fn the_other_reading_of_one_sort_is_taken_in_one_step() {
    let mut screen = read(
        "Tag;kW;V;rpm\nA;15;400;1.46\nB;11;400;1465\nC;11;400;1455\nD;7.5;400;965\nE;15;400;1.47\nF;15;400;1.45\nG;11;400;1460\n",
    );
    let before = screen.text();
    screen.click("3 × value of no motor…");
    screen.click("→ read 3 the other way");
    for (tag, speed) in [("A", "1460 r/min"), ("E", "1470 r/min"), ("F", "1450 r/min")] {
        assert!(
            row(&mut screen, tag).contains(&format!("4 pole | {speed}")),
            "{}",
            row(&mut screen, tag)
        );
    }
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
}

/// Plates of two voltages, where nothing says which one the supply has: each choice is offered for all rows that have it, with the
/// current of each row at that voltage. C has another pair.
#[test]
fn one_of_several_readings_is_chosen_for_all_of_a_sort() {
    let mut screen = read(
        "Tag;kW;V;A;rpm;Hz\nA;15;400/690;28.5/16.5;1465;50\nB;11;400/690;21/12.2;1460;50\nC;7.5;230/400;26/15;1455;50\nD;5.5;500;9;1450;50\n",
    );
    let before = screen.text();
    assert!(
        screen.has("source row 2") && screen.has_part("none was used"),
        "{:?}",
        screen.labels()
    );
    screen.click("3 × supply not said…");
    assert!(
        screen.has("3 stay open until one of their readings is chosen, here for all that have it, or row by row."),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has_part("no load is held back"), "{:?}", screen.labels());
    assert!(screen.has("→ read 2 as 690 V"), "{:?}", screen.labels());
    screen.click("→ read 3 as 400 V");
    for (tag, current) in [("A", "28.5 A"), ("B", "21 A"), ("C", "15 A")] {
        let now = row(&mut screen, tag);
        assert!(now.contains(&format!("400 V | {current}")), "{tag}: {now}");
    }
    assert!(!screen.has_part("× supply not said"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
}

/// A motor that is added has its load without anybody telling more than its plate and its readings: 4.5 kW · 0.89 / 5.5 kW = 72.82 %.
#[test]
fn an_added_motor_has_its_loads() {
    let mut screen = read(CURRENTS);
    screen.go("motors", "tag", Field::Value(7));
    screen.ask(Act::InsertAfter);
    for (name, text) in [
        ("tag", "N"),
        ("P_r", "5.5"),
        ("p", "4"),
        ("n_r", "1450"),
        ("V_r", "400"),
        ("I_r", "11"),
        ("eta", "89"),
        ("pf", ".84"),
        ("V", "400"),
        ("I", "8"),
        ("n", "1465"),
        ("P_in", "4.5"),
    ] {
        screen.go("motors", name, Field::Value(8));
        screen.enter(text);
    }
    assert_eq!(shown(&mut screen, "load_P", 8), "72.82");
    assert_eq!(shown(&mut screen, "load", 8), "72.82");
    assert_eq!(shown(&mut screen, "method", 8), "measured power");
    assert_eq!(shown(&mut screen, "pf", 8), "0.84");
    // 1500 − 1465 over 1500 − 1450.
    assert_eq!(shown(&mut screen, "load_s", 8), "70");
}

const PLAIN: &str = "polepair 1
list motors
  given tag : text
  given P_r in kW : rated power \"Rated power\"
  given n_r in r/min : rated speed \"Rated speed\"
  given eta in % : efficiency \"Efficiency\"
  work T = torque(P_r, n_r) in N·m
  rows tag | P_r | n_r | eta
    \"M-1\" | 15 kW | 1465 r/min | 91 %
    \"M-2\" | 5.5 kW | 1450 r/min | 89 %
    \"M-3\" | 7.5 kW | 1455 r/min | 90 %
";

/// A table goes by its headings wherever it is pasted: no heading is a motor, columns in another order go to their own, a tag that is
/// there is that row, a total is none. 20 hp stay 20 hp.
#[test]
fn a_table_with_headings_goes_by_them() {
    let folder = tempfile::tempdir().unwrap();
    let table =
        "Tag\tRPM\tDept\tEfficiency [%]\tHP\nM-4\t2930\tMill\t90\t15\nM-1\t1470\tMill\t92\t20\nTotal\t\t\t\t35\n";
    for place in [Field::Value(3), Field::Value(0), Field::Formula] {
        let (mut screen, _) = Screen::with(folder.path(), PLAIN);
        screen.go("motors", "tag", place);
        paste(&mut screen, table);
        assert_eq!(
            row(&mut screen, "M-4"),
            "\"M-4\" | 15 hp | 2930 r/min | 90 %",
            "{place:?}"
        );
        assert_eq!(
            row(&mut screen, "M-1"),
            "\"M-1\" | 20 hp | 1470 r/min | 92 %",
            "{place:?}"
        );
        assert_eq!(
            row(&mut screen, "M-2"),
            "\"M-2\" | 5.5 kW | 1450 r/min | 89 %",
            "{place:?}"
        );
        let text = screen.text();
        assert!(!text.contains("Total") && !text.contains("\"Tag\""), "{text}");
        assert_eq!(text.matches("\"M-1\"").count(), 1, "{text}");
        for part in [
            "The first line was taken for headings.",
            "1 row is new, 1 was there by its tag and is changed.",
            "The list has no column for: Dept.",
            "1 row is a total of others and was left out.",
        ] {
            assert!(screen.has_part(part), "{part}: {:?}", screen.labels());
        }
    }
}

const SURVEYED: &str = "polepair 1
list motors
  given tag : text
  given P_r in kW : rated power \"Rated power\"
  given n_r in r/min : rated speed \"Rated speed\" from \"Schild n\"
  given I_r in A : rated current \"Plate current at that voltage\"
  given I in A : measured current \"Measured current\"
  given n in r/min : measured speed \"Measured speed\"
  given P_in in kW : input power \"Measured input power\"
  rows tag | P_r | n_r | I_r | I | n | P_in
    \"M-1\" | 15 kW | 1465 r/min | 28.5 A | | |
    \"M-2\" | 5.5 kW | 1450 r/min | 11 A | 8 A | |
    \"M-2\" | 7.5 kW | 1455 r/min | | | |
    \"M-4\" | 4 kW | | | | |
";

/// A heading that may be of the plate or measured replaces no plate value; where it went is told, and a row whose tag several have is.
#[test]
fn a_heading_of_two_meanings_replaces_no_plate_value() {
    let folder = tempfile::tempdir().unwrap();
    let pasted = |table: &str| Screen::pasted(folder.path(), SURVEYED, ("motors", "tag", Field::Value(0)), table);
    let mut screen = pasted("Tag\tStrom [A]\tDrehzahl\tP1 [kW]\nM-1\t20\t1480\t9\nM-2\t9\t1470\t4\n");
    assert_eq!(
        row(&mut screen, "M-1"),
        "\"M-1\" | 15 kW | 1465 r/min | 28.5 A | 20 A | 1480 r/min | 9 kW"
    );
    assert!(
        screen.text().contains("\"M-2\" | 5.5 kW | 1450 r/min | 11 A | 8 A |"),
        "{}",
        screen.text()
    );
    for part in [
        "1 row was there by its tag and is changed. 1 row was not pasted, as several rows of the list have its tag: M-2.",
        "Plate values in I_r, n_r stay: a heading that does not say whether it is of the plate was taken as measured.",
        "Columns went by what their headings mean: \"Strom [A]\" to I, \"Drehzahl\" to n, \"P1 [kW]\" to P_in.",
    ] {
        assert!(screen.has_part(part), "{part}: {:?}", screen.labels());
    }
    // What was not taken is said before what stays as it was.
    let screen = pasted("Tag\tStrom [A]\tZone\nM-1\t20\tnorth\n");
    assert!(
        screen.has_part("The list has no column for: Zone. Plate values in I_r stay:"),
        "{:?}",
        screen.labels()
    );
    // Where nothing is replaced, and where it says what it is, it goes to the plate.
    let mut screen = pasted("Tag\tStrom [A]\tRPM\nM-4\t8.5\t1440\n");
    assert_eq!(row(&mut screen, "M-4"), "\"M-4\" | 4 kW | 1440 r/min | 8.5 A | | |");
    assert!(screen.has_part("\"Strom [A]\" to I_r"), "{:?}", screen.labels());
    for table in [
        "Tag\tRated current\tSchild n\nM-1\t29\t1470\n",
        "Tag\tFLA\tNenndrehzahl\nM-1\t29\t1470\n",
        "Tag\tNennstrom\tRated speed [r/min]\nM-1\t29\t1470\n",
    ] {
        let mut screen = pasted(table);
        let now = row(&mut screen, "M-1");
        assert!(
            now.starts_with("\"M-1\" | 15 kW | 1470 r/min | 29 A |"),
            "{table}: {now}"
        );
    }
}

/// The unit of a heading stands behind a comma, behind `in` or in brackets, and is that of the numbers under it.
#[test]
fn the_unit_of_a_heading_is_that_of_its_numbers() {
    let folder = tempfile::tempdir().unwrap();
    for heading in [
        "Rated power, hp",
        "Rated power in hp",
        "Rated power [hp]",
        "Rated power (hp)",
    ] {
        let mut screen = Screen::pasted(
            folder.path(),
            PLAIN,
            ("motors", "tag", Field::Value(0)),
            &format!("Tag\t{heading}\tRated speed\nM-1\t20\t1470\n"),
        );
        assert_eq!(
            row(&mut screen, "M-1"),
            "\"M-1\" | 20 hp | 1470 r/min | 91 %",
            "{heading}"
        );
    }
}

/// Numbers without a unit have that of most others of their column, also where the list is in another one; beside a few in another one they
/// are in that of the list, and both is said. 100 among horsepowers are no 100 kW.
#[test]
fn numbers_beside_others_in_another_unit_are_meant_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let most = "Numbers without a unit got the one that others of their column have: ";
    let own = "Numbers without a unit are in that of their column, beside some in another one: ";
    for (at, table, second, told) in [
        (
            "tag",
            "Tag\tRated power\nM-1\t15 hp\nM-2\t100\nM-3\t75 hp\n",
            "100 hp",
            format!("{most}\"Rated power\" hp"),
        ),
        ("P_r", "15 hp\n100\n75 hp\n", "100 hp", format!("{most}\"P_r\" hp")),
        (
            "tag",
            "Tag\tRated power\nM-1\t15 hp\nM-2\t100\nM-3\t75\n",
            "100 kW",
            format!("{own}\"Rated power\" kW"),
        ),
        ("P_r", "15 hp\n100\n75\n", "100 kW", format!("{own}\"P_r\" kW")),
        // Half of them are not most.
        ("P_r", "15 hp\n100\n", "100 kW", format!("{own}\"P_r\" kW")),
    ] {
        let mut screen = Screen::pasted(folder.path(), PLAIN, ("motors", at, Field::Value(0)), table);
        assert!(
            row(&mut screen, "M-1").starts_with("\"M-1\" | 15 hp |"),
            "{table}: {}",
            screen.text()
        );
        assert!(
            row(&mut screen, "M-2").starts_with(&format!("\"M-2\" | {second} |")),
            "{table}: {}",
            screen.text()
        );
        assert!(screen.has_part(&told), "{table}: {:?}", screen.labels());
    }
    // Nothing is to be said where the unit is that of the column, where it is one of something else, and where the heading has one.
    for (at, table, second) in [
        ("P_r", "15 kW\n100\n75 kW\n", "100 kW"),
        ("P_r", "15 A\n100\n75 A\n", "100 kW"),
        (
            "tag",
            "Tag\tRated power [kW]\nM-1\t15 hp\nM-2\t100\nM-3\t75 hp\n",
            "100 kW",
        ),
    ] {
        let mut screen = Screen::pasted(folder.path(), PLAIN, ("motors", at, Field::Value(0)), table);
        let now = row(&mut screen, "M-2");
        assert!(now.starts_with(&format!("\"M-2\" | {second} |")), "{table}: {now}");
        assert!(
            !screen.has_part("Numbers without a unit"),
            "{table}: {:?}",
            screen.labels()
        );
    }
    // The same in a list that is new; there each line of a sheet has a unit of its own, whatever stands above and below.
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    screen.ask(Act::NewList);
    paste(&mut screen, "Tag\tPower [kW]\nN-1\t15 hp\nN-2\t100\nN-3\t75 hp\n");
    let now = row(&mut screen, "N-2");
    assert!(now.contains("100 kW"), "{now}");
    let sheet = "polepair 1\nsheet a\n  given P = 1 kW\n  given Q = 2 kW\n  given R = 3 kW\n";
    let mut screen = Screen::pasted(folder.path(), sheet, ("a", "P", Field::Value(0)), "15 hp\n100\n75 hp\n");
    let text = screen.text();
    assert!(
        text.contains("given P = 15 hp") && text.contains("given Q = 100 kW"),
        "{text}"
    );
    assert!(!screen.has_part("Numbers without a unit"), "{:?}", screen.labels());
}

/// A line that names the tags, with words alone over values, is one of headings, although the list has none of the other columns: no
/// value goes by its place.
#[test]
fn headings_of_other_columns_are_no_row() {
    let folder = tempfile::tempdir().unwrap();
    for table in [
        "Tag\tInput kW\tMeasured rpm\tMeas. volts\nM-1\t13.2\t1479\t396\nM-2\t4.1\t1466\t398\n",
        "tag\tBearing\tGrease [g]\nM-1\t6308\t12\nM-2\t6306\t9\n",
    ] {
        let (mut screen, _) = Screen::with(folder.path(), PLAIN);
        screen.go("motors", "tag", Field::Value(0));
        let before = screen.text();
        paste(&mut screen, table);
        assert_eq!(screen.text(), before, "{table}");
        assert!(!screen.has_part("changed"), "{table}: {:?}", screen.labels());
        assert!(
            screen.has_part("The list has no column for: "),
            "{table}: {:?}",
            screen.labels()
        );
    }
    // Tags alone, or words beside words, are rows.
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    screen.go("motors", "tag", Field::Value(1));
    screen.key(Key::ArrowDown);
    paste(&mut screen, "M-8\nM-9\n");
    assert!(
        screen.text().contains("\"M-8\"") && screen.text().contains("\"M-9\""),
        "{}",
        screen.text()
    );
}

/// A list whose columns are called as others call something else: the kind says what they are.
const OWN: &str = "polepair 1
list motors
  given motor : text
  given P in kW : rated power
  given I in A : rated current
  given n in r/min : speed \"Rated speed\"
  rows motor | P | I | n
    \"M-1\" | 15 kW | 28.5 A | 1465 r/min
    \"M-2\" | 5.5 kW | 11 A | 1440 r/min
";

/// What was measured is no plate value, whatever it is called in the list and whatever its unit; also where no tags are pasted.
#[test]
fn what_was_measured_goes_into_no_plate_value() {
    let folder = tempfile::tempdir().unwrap();
    for (table, told) in [
        (
            "Motor\tMeas. amps\tInput kW\tMeasured rpm\nM-1\t22.1\t13.2\t1479\nM-2\t8\t4.1\t1466\n",
            "The list has no column for: Meas. amps, Input kW, Measured rpm.",
        ),
        (
            "Meas. amps\tMeasured power [kW]\n22.1\t13.2\n8\t4.1\n",
            "The list has no column for: Meas. amps, Measured power [kW].",
        ),
        (
            "Motor\tConsumption kW\tPeak amps\nM-1\t13.2\t40\nM-2\t4.1\t20\n",
            "The list has no column for: Consumption kW, Peak amps.",
        ),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), OWN);
        screen.go("motors", "motor", Field::Value(0));
        let before = screen.text();
        paste(&mut screen, table);
        assert_eq!(screen.text(), before, "{table}");
        assert!(screen.has_part(told), "{table}: {:?}", screen.labels());
    }
    // What is of the plate goes there, whatever the list calls it.
    let (mut screen, _) = Screen::with(folder.path(), OWN);
    screen.go("motors", "motor", Field::Value(0));
    paste(
        &mut screen,
        "Motor\tRated current\tRating [kW]\tFL RPM\nM-1\t29\t18.5\t1470\n",
    );
    assert_eq!(row(&mut screen, "M-1"), "\"M-1\" | 18.5 kW | 29 A | 1470 r/min");
}

/// A heading that is turned to the measured quantity writes over no formula there, and a plate value that is worked hinders no reading.
#[test]
fn a_heading_turned_to_the_measured_quantity_writes_over_no_formula() {
    let folder = tempfile::tempdir().unwrap();
    for (work, tagged, taken, told) in [
        (
            "work I = 0.8 * I_r in A : measured current",
            "\"M-1\" | 28.5 A |",
            "\"M-1\" | 28.5 A | 1480 r/min |",
            "Worked here and not taken: I.",
        ),
        (
            "work I_r = 1.2 * I in A : rated current",
            "\"M-1\" | 24 A |",
            "\"M-1\" | 20 A | 1480 r/min |",
            "\"Strom [A]\" to I",
        ),
    ] {
        let given = if work.contains("work I_r") {
            "given I in A : measured current"
        } else {
            "given I_r in A : rated current"
        };
        let name = if work.contains("work I_r") { "I" } else { "I_r" };
        let (mut screen, _) = Screen::with(
            folder.path(),
            &format!(
                "polepair 1\nlist motors\n  given tag : text\n  {given}\n  given n in r/min : measured speed\n  {work}\n  \
                 rows tag | {name} | n\n    {tagged} |\n"
            ),
        );
        screen.go("motors", "tag", Field::Value(0));
        paste(&mut screen, "Tag\tStrom [A]\tn\nM-1\t20\t1480\n");
        assert_eq!(row(&mut screen, "M-1"), taken);
        assert!(screen.text().contains(work), "{}", screen.text());
        assert!(screen.has_part(told), "{told}: {:?}", screen.labels());
    }
}

/// What is pasted behind a condition stays in sight until rows are chosen again, and it is said.
#[test]
fn pasted_rows_stay_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    for (from, text, new) in [
        (2, "M-9\t3 kW\t1430 r/min\t80 %", "1 new row stands at the end"),
        (2, "M-8\t2\t1420\t78\nM-9\t3\t1430\t80", "2 new rows stand at the end"),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), PLAIN);
        screen.ask(Act::Filter);
        screen.answer("P_r > 6 kW");
        let lines = |screen: &mut Screen| {
            screen
                .labels()
                .iter()
                .filter(|label| label.starts_with("tag M-"))
                .count()
        };
        assert_eq!(lines(&mut screen), 2, "{:?}", screen.labels());
        screen.go("motors", "tag", Field::Value(from));
        screen.key(Key::ArrowDown);
        paste(&mut screen, text);
        let rows = 2 + text.lines().count();
        assert_eq!(lines(&mut screen), rows, "{:?}", screen.labels());
        assert!(screen.has_part(new), "{:?}", screen.labels());
        assert!(row(&mut screen, "M-9").contains("3 kW | 1430 r/min | 80 %"));
        screen.ask(Act::ShowAll);
        screen.ask(Act::Filter);
        screen.answer("P_r > 6 kW");
        assert_eq!(lines(&mut screen), 2, "{:?}", screen.labels());
    }
}

/// A fan and a pump typed in US customary units are shown so, and what is worked goes along: 15000 cfm at 6.5 inH2O are
/// 15000 · 6.5 / 6356 = 15.34 hp of air, over 70 % 21.91 hp (6356: 33000 ft·lbf/min over 5.192 lbf/ft² an inch of water; the exact
/// factor is 6354, which gives 21.92 hp).
#[test]
fn customary_units_stay_customary() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1
sheet fan
  given Q = 15000 cfm
  given dp = 6.5 inH2O
  given eta = 70 %
  given Q_p = 1000 gpm
  given H = 120 ft
  given D = 30 inch
  given P_si = 15 kW : shaft power
  given Q_si = 3 m³/h : air flow
  work P = Q * dp / eta
  work Q_a = 1.2 * Q
",
    );
    screen.ask(Act::InUs);
    for (name, heard) in [
        ("Q", "15000 cfm"),
        ("dp", "6.5 inH2O"),
        ("Q_p", "1000 gpm"),
        ("H", "120 ft"),
        ("D", "30 inch"),
        ("Q_a", "18000 cfm"),
        // 15 kW over 0.7457 kW a horsepower; 3 m³/h over 1.699 m³/h a cfm.
        ("P_si", "20.12 hp"),
        ("Q_si", "1.766 cfm"),
    ] {
        assert_eq!(told(&mut screen, name), heard, "{name}");
    }
    let power = told(&mut screen, "P");
    let worked: f64 = power.strip_suffix(" hp").unwrap().parse().unwrap();
    assert!((21.85..22.0).contains(&worked), "{power}");
}

/// A value with its unit as the sheet shows it.
fn told(screen: &mut Screen, name: &str) -> String {
    screen.go("fan", name, Field::Value(0));
    let (at, spot) = screen.window().chosen().unwrap();
    let session = screen.window().session().unwrap();
    let seen = polepair::window::spot::Seen::of(session, at).unwrap();
    let seen = seen.shown_in(polepair::quantity::System::Us);
    format!("{} {}", seen.shown(spot, false).text, seen.unit(spot.quantity))
}

/// A column that is pasted is asked about as one that is typed: decimal commas in one step, a point that parts thousands as a doubt.
#[test]
fn a_pasted_column_is_asked_about() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P_r in kW : rated power\n  rows tag | P_r\n",
    );
    for row in 0..20 {
        book.push_str(&format!("    \"m{row}\" |\n"));
    }
    let (mut screen, _) = Screen::with(folder.path(), &book);
    screen.go("motors", "P_r", Field::Value(0));
    let column: Vec<String> = (0..20).map(|row| format!("{},5", row + 1)).collect();
    screen.at_once(vec![Event::Paste(column.join("\n"))]);
    assert!(
        screen.has_part("20 numbers have a decimal comma"),
        "{:?}",
        screen.labels()
    );
    screen.click_part("read 20 values with decimal comma");
    let text = screen.text();
    assert!(
        text.contains("\"m0\" | 1.5 kW") && text.contains("\"m19\" | 20.5 kW"),
        "{text}"
    );
    let mut screen = read("Tag;kW;V;rpm\nA;15;400;1460\nB;11;400;1465\nC;11;400;1455\nD;7.5;400;965\n");
    for (what, events) in [
        ("typed", vec![Event::Text("1.455".to_owned())]),
        ("pasted", vec![Event::Paste("1.455\n1.46".to_owned())]),
        ("pasted", vec![Event::Paste("Tag\trpm\nA\t1.455\nZ\t1.46".to_owned())]),
        (
            "pasted",
            vec![Event::Paste("Tag\tkW\trpm\nY\t11\t1.455\nZ\t15\t1.46".to_owned())],
        ),
    ] {
        screen.go("motors", "n_r", Field::Value(0));
        screen.at_once(events);
        screen.key(Key::Enter);
        assert!(
            screen.has_part("read it as 1455 r/min"),
            "{what}: {} {:?}",
            screen.text(),
            screen.labels()
        );
        screen.ask(Act::Undo);
        assert!(
            !screen.has_part("read it as 1455 r/min"),
            "{what}: {} {:?}",
            screen.text(),
            screen.labels()
        );
    }
}
