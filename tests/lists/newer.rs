//! A newer list put into the workbook that was made of an earlier one: whose values are whose afterwards.
//!
//! The lists are invented. What must stand where is by hand: a value belongs to the motor that it was typed for.

use polepair::plates::changes::{Change, told};
use polepair::plates::{Options, import, merge};
use polepair::recalc::{Engine, as_given};
use polepair::workbook::Workbook;
use polepair::workbook::text;

use crate::packages::file;

const HEAD: &str = "Tag;Area;Service;kW;V;A;pf;eff;rpm;Measured A;Measured kW;Measured rpm\n";

/// Two motors of one tag, as lists have them.
const ROWS: &str = "A;Yard;Pump 1;11;400;21;0.85;89;1460;16;8.1;1475\n\
                    B;Yard;Conveyor 2;15;400;28;0.85;90;1465;20;10.2;1480\n\
                    B;Mill;Pump 14;22;400;41;0.86;91;1470;35;19.2;1475\n\
                    C;Mill;Fan 3;7.5;400;15;0.84;88;1450;11;5.2;1470\n";

fn read(rows: &str) -> Workbook {
    let (_folder, path) = file("plant.csv", format!("{HEAD}{rows}").as_bytes());
    import(&path, &Options::default()).unwrap().workbook
}

/// A workbook with lines typed after the rows of its list, or with other texts.
fn typed(book: &Workbook, more: &str, changes: &[(&str, &str)]) -> Workbook {
    let text = changes.iter().fold(text::write(book), |text, (was, is)| {
        assert!(text.contains(was), "{was} in\n{text}");
        text.replacen(was, is, 1)
    });
    text::read(&format!("{text}{more}"))
}

/// A newer list in the workbook, and what is told.
fn put(known: &Workbook, earlier: &Workbook, newer: &str) -> (Workbook, Vec<Change>) {
    let merged = merge::merged(known, Some(earlier), &read(newer)).unwrap();
    (merged.workbook, merged.changes)
}

/// The values of a quantity, each with tag and machine: `A, Pump 1: 398 V`.
fn values(book: &Workbook, sheet: &str, name: &str) -> Vec<String> {
    let engine = Engine::new(text::read(&text::write(book)));
    let sheet = engine
        .results()
        .sheets
        .iter()
        .find(|known| *known.name == *sheet)
        .unwrap();
    let of = |name: &str| {
        let quantity = sheet.quantities.iter().find(|known| *known.name == *name).unwrap();
        let cells = (0..quantity.cells.len())
            .map(|item| as_given(quantity.cells.get(item).unwrap(), &quantity.sort).replace('"', ""));
        cells.collect::<Vec<String>>()
    };
    let values = of(name);
    if sheet.items.len() == 1 {
        return values;
    }
    let (tags, machines) = (of("tag"), of("machine"));
    let called = tags.iter().zip(&machines).zip(&values);
    let known = called.filter(|(_, value)| value.chars().any(char::is_alphanumeric));
    known
        .map(|((tag, machine), value)| format!("{tag}, {machine}: {value}"))
        .collect()
}

fn faults(book: &Workbook) -> Vec<String> {
    let engine = Engine::new(text::read(&text::write(book)));
    let errors = engine.results().faults.iter().filter(|placed| placed.fault.is_error());
    errors
        .map(|placed| format!("{}: {}", placed.source, placed.fault.message))
        .collect()
}

#[test]
fn values_of_single_rows_go_with_their_motor() {
    let base = read(ROWS);
    let known = typed(
        &base,
        "  at row 2 V = 398 V\n  at \"A\" V = 401 V\n  at row 3 V = 395 V\nsheet sums\n  work I_2 = motors(row 3).I in A\n  work I_c = motors(\"C\").I in A\n",
        &[],
    );
    let before = values(&known, "motors", "V");
    assert_eq!(
        before,
        ["A, Pump 1: 401 V", "B, Conveyor 2: 398 V", "B, Pump 14: 395 V"]
    );
    // One is put in before, and the rest stands in another order.
    let [a, b, other_b, c] = ROWS.lines().collect::<Vec<_>>()[..] else {
        panic!()
    };
    let newer = format!("N;Yard;Feeder;4;400;8.5;0.82;85;1440;;;\n{c}\n{other_b}\n{a}\n{b}\n");
    let (book, changes) = put(&known, &base, &newer);
    let mut after = values(&book, "motors", "V");
    after.sort_unstable();
    assert_eq!(after, before);
    assert_eq!(values(&book, "sums", "I_2"), ["35 A"]);
    assert_eq!(values(&book, "sums", "I_c"), ["11 A"]);
    assert_eq!(told(&changes), ["N came"]);
    assert_eq!(faults(&book), [""; 0]);
    // What has its tag from then on is named by it; the steps of the window say the same.
    let mut stepped = known.clone();
    for step in merge::steps(&known, book.clone()) {
        polepair::workbook::change::apply(&mut stepped, &step).unwrap();
    }
    assert_eq!(text::write(&stepped), text::write(&book));
}

/// How many motors a row stands for is told of a motor by its tag, where no row is at hand.
#[test]
fn how_many_motors_there_are_is_told_by_the_tag() {
    let list = |count: u32| {
        let rows = format!(
            "Tag;Qty;Service;kW;V;A;pf;eff;rpm\nA;{count};Pump 1;11;400;21;0.85;89;1460\nB;1;Fan 3;7.5;400;15;0.84;88;1450\n"
        );
        let (_folder, path) = file("plant.csv", rows.as_bytes());
        import(&path, &Options::default()).unwrap().workbook
    };
    let merged = merge::merged(&list(2), Some(&list(2)), &list(3)).unwrap();
    assert_eq!(told(&merged.changes), ["A number of motors: 2 before, 3 now"]);
}

/// A second motor of a tag that comes, and a motor with a value of its own that goes.
#[test]
fn a_tag_that_stands_twice_from_now_on_takes_no_value_away() {
    let base = read(ROWS);
    let known = typed(
        &base,
        "  at \"A\" V = 401 V\n  at \"C\" V = 396 V\nsheet s\n  work I_a = motors(\"A\").I in A\n",
        &[],
    );
    let newer: String = ROWS
        .lines()
        .filter(|row| !row.starts_with("C;"))
        .map(|row| format!("{row}\n"))
        .collect();
    let (book, changes) = put(
        &known,
        &base,
        &format!("A;Mill;Saw;30;400;55;0.86;92;1475;44;25;1480\n{newer}"),
    );
    assert_eq!(values(&book, "motors", "V"), ["A, Pump 1: 401 V", "C, Fan 3: 396 V"]);
    assert_eq!(values(&book, "s", "I_a"), ["16 A"]);
    assert_eq!(faults(&book), [""; 0]);
    let told = told(&changes);
    assert!(
        told.contains(&"C went: kept, since a value of its own or a formula speaks of it".to_owned()),
        "{told:?}"
    );
}

#[test]
fn a_motor_typed_by_hand_is_the_one_that_the_list_brings() {
    let base = read(ROWS);
    // Readings and a wrong efficiency were typed, the voltage into no column of the list.
    let row = |book: &Workbook, cells: &[(&str, &str)]| {
        let rows = book.sheets[0].rows.as_ref().unwrap();
        let cell = |name: &str| {
            cells
                .iter()
                .find(|(known, _)| *known == name)
                .map_or("", |(_, cell)| cell)
        };
        rows.columns
            .iter()
            .map(|name| cell(name))
            .collect::<Vec<_>>()
            .join(" | ")
    };
    let typed_row = row(
        &base,
        &[
            ("tag", "\"D\""),
            ("machine", "\"Sump pump\""),
            ("P_r", "18.5 kW"),
            ("eta", "0.92 %"),
            ("I", "21 A"),
            ("n", "1477 r/min"),
        ],
    );
    let known = typed(&base, &format!("    {typed_row}\n  at \"D\" V = 402 V\n"), &[]);
    let (book, changes) = put(
        &known,
        &base,
        &format!("D;Yard;Sump pump;18.5;400;35;0.85;92;1465;;;\n{ROWS}"),
    );
    assert_eq!(book.sheets[0].rows.as_ref().unwrap().rows.len(), 5);
    for (name, value) in [
        ("V", "402 V"),
        ("I", "21 A"),
        ("n", "1477 r/min"),
        ("I_r", "35 A"),
        ("P_r", "18.5 kW"),
        ("area", "Yard"),
        ("eta", "0.92 %"),
        ("fed", "line"),
    ] {
        let found = values(&book, "motors", name);
        assert!(found.contains(&format!("D, Sump pump: {value}")), "{name}: {found:?}");
    }
    assert_eq!(
        told(&changes),
        [
            "D came: it was typed by hand already: what was typed stays, the list adds the rest",
            "D efficiency: 0.92 % was typed here and stays; the list says 92 % now",
        ]
    );
}

/// Of two motors of one tag the first is taken out of the list, or gets a tag of its own, as it was asked for.
#[test]
fn motors_of_one_tag_are_told_apart_by_the_rest() {
    let base = read(ROWS);
    let known = typed(&base, "", &[("35 A", "31 A")]);
    let all = [
        "A, Pump 1: 16 A",
        "B, Conveyor 2: 20 A",
        "B, Pump 14: 31 A",
        "C, Fan 3: 11 A",
    ];
    let without = ROWS.replacen("B;Yard;Conveyor 2;15;400;28;0.85;90;1465;20;10.2;1480\n", "", 1);
    let (book, changes) = put(&known, &base, &without);
    assert_eq!(values(&book, "motors", "I"), [all[0], all[2], all[3]]);
    assert_eq!(
        told(&changes),
        [
            "B went: taken out",
            "B measured current: 31 A was typed here and stays; the list says 35 A still"
        ]
    );
    let renamed = ROWS.replacen("B;Yard", "B1;Yard", 1);
    let (book, changes) = put(&known, &base, &renamed);
    let now = [all[0], "B1, Conveyor 2: 20 A", all[2], all[3]];
    assert_eq!(values(&book, "motors", "I"), now);
    assert!(
        told(&changes).contains(&"B1 tag: B before, B1 now".to_owned()),
        "{:?}",
        told(&changes)
    );
    // The same where the workbook was corrected as well, with a reading typed there.
    let both = typed(&known, "", &[("\"B\"", "\"B1\""), ("20 A", "22 A")]);
    let (book, _) = put(&both, &base, &renamed);
    assert_eq!(
        values(&book, "motors", "I"),
        [all[0], "B1, Conveyor 2: 22 A", all[2], all[3]]
    );
    // And where the list has not heard of it.
    let (book, _) = put(&both, &base, ROWS);
    assert_eq!(
        values(&book, "motors", "I"),
        [all[0], "B1, Conveyor 2: 22 A", all[2], all[3]]
    );
}

/// Three machines of one name and rating, one taken away and another one bought: nothing says that they are the same.
#[test]
fn another_motor_of_the_same_sort_gets_no_readings_of_the_old_one() {
    let like = |tag: &str, rest: &str| format!("{tag};Mill;Agitator;7.5;400;15;0.84;88;1450;{rest}\n");
    let rows = format!("{}{}{}", like("G1", ";;"), like("G2", ";;"), like("G3", ";;"));
    let base = read(&rows);
    let known = typed(&base, "  at \"G2\" V = 391 V\n", &[]);
    let (book, _) = put(&known, &base, &rows.replace("G2", "G9"));
    assert_eq!(values(&book, "motors", "V"), ["G2, Agitator: 391 V"]);
}

/// The newer list measured what was typed before it had a column for it.
#[test]
fn a_value_of_a_single_row_becomes_the_cell_of_a_new_column() {
    let base = read(ROWS);
    let known = typed(&base, "  at \"A\" V = 401 V\n  at row 2 V = 398 V\n", &[]);
    let (_folder, path) = file(
        "plant.csv",
        format!(
            "{}{}",
            HEAD.replace("Measured A", "Measured V;Measured A"),
            ROWS.replace("1460;16", "1460;403;16")
                .replace("1465;20", "1465;398;20")
                .replace(";35;", ";397;35;")
                .replace(";11;5.2", ";;11;5.2")
        )
        .as_bytes(),
    );
    let newer = import(&path, &Options::default()).unwrap().workbook;
    let merged = merge::merged(&known, Some(&base), &newer).unwrap();
    assert_eq!(
        values(&merged.workbook, "motors", "V"),
        ["A, Pump 1: 401 V", "B, Conveyor 2: 398 V", "B, Pump 14: 397 V"]
    );
    assert!(
        !text::write(&merged.workbook).contains("at \""),
        "{}",
        text::write(&merged.workbook)
    );
    let told = told(&merged.changes);
    let stays = "A measured voltage: 401 V was typed here and stays; the list says 403 V now";
    assert!(told.contains(&stays.to_owned()), "{told:?}");
}

/// Readings are doubted in one row of the earlier list and in one that was typed; the newer list has no doubt left.
#[test]
fn a_doubt_of_a_typed_row_stays_when_the_list_has_none_any_more() {
    // 30 kW taken in by a motor of 11 kW.
    let rows = ROWS.replacen(";16;8.1;", ";16;30;", 1);
    let base = read(&rows);
    let doubted = values(&base, "motors", "trust_P");
    assert!(
        doubted
            .iter()
            .any(|one| one.starts_with("A, ") && !one.ends_with("good")),
        "{doubted:?}"
    );
    let columns = &base.sheets[0].rows.as_ref().unwrap().columns;
    let cells = [
        ("tag", "\"D\""),
        ("machine", "\"Saw\""),
        ("P_r", "22 kW"),
        ("eta", "91 %"),
        ("P_in", "19 kW"),
        ("fed", "\"line\""),
        ("trust_P", "\"doubted\""),
        ("trust_I", "\"good\""),
        ("trust_n", "\"good\""),
    ];
    let cell = |name: &str| {
        cells
            .iter()
            .find(|(known, _)| *known == name)
            .map_or("", |(_, cell)| cell)
    };
    let row = columns.iter().map(|name| cell(name)).collect::<Vec<_>>().join(" | ");
    let known = typed(&base, &format!("    {row}\n"), &[]);
    let grade = |book: &Workbook, tag: &str| {
        let all = values(book, "motors", "grade");
        all.into_iter().find(|one| one.starts_with(tag)).unwrap()
    };
    assert_eq!(grade(&known, "D"), "D, Saw: A, doubted");
    let (book, _) = put(&known, &base, ROWS);
    assert_eq!(grade(&book, "D"), "D, Saw: A, doubted");
    assert_eq!(grade(&book, "A"), "A, Pump 1: A");
    assert_eq!(faults(&book), [""; 0]);
    // Without the row nothing is doubted, and the column goes.
    let (book, _) = put(&base, &base, ROWS);
    let fresh = read(ROWS);
    assert_eq!(text::write(&book), text::write(&fresh));
}

/// What was settled of one reading is not settled of the next one.
#[test]
fn a_settled_reading_that_the_list_changes_is_doubted_anew() {
    let base = read(&ROWS.replacen(";16;8.1;", ";16;30;", 1));
    let trust = |book: &Workbook| values(book, "motors", "trust_P").swap_remove(0);
    let doubted = trust(&base);
    assert!(!doubted.ends_with("good"), "{doubted}");
    let word = format!("| \"{}\"", doubted.rsplit(' ').next().unwrap());
    let known = typed(&base, "", &[(&word, "| \"good\"")]);
    assert_eq!(trust(&known), "A, Pump 1: good");
    let (book, _) = put(&known, &base, &ROWS.replacen(";16;8.1;", ";16;60;", 1));
    assert_eq!(trust(&book), doubted);
    // The same list once more: it stays settled.
    let (book, _) = put(&known, &base, &ROWS.replacen(";16;8.1;", ";16;30;", 1));
    assert_eq!(trust(&book), "A, Pump 1: good");
}

#[test]
fn what_went_and_came_is_told_first_and_the_same_in_one_line() {
    let rows: String = (1..=9)
        .map(|number| format!("M{number};Mill;Fan {number};7.5;400;15;0.84;88;1450;11;5.2;1470\n"))
        .collect();
    let base = read(&rows);
    let newer = rows
        .replace("1450;11;5.2;1470", "1450;12;5.2;1470")
        .replace("M3;Mill;Fan 3;7.5", "M3;Mill;Fan 3;5.5")
        .replace("M7;Mill;Fan 7;7.5;400;15;0.84;88;1450;12;5.2;1470\n", "")
        + "S1;Mill;Fan 12 standby;7.5;400;15;0.84;88;1450;;;\n";
    let (book, changes) = put(&base, &base, &newer);
    let all = told(&changes);
    assert_eq!(
        all.iter().filter(|one| !one.contains("trust")).collect::<Vec<_>>(),
        [
            "M7 went: taken out",
            "S1 came",
            "M3 rated power: 7.5 kW before, 5.5 kW now",
            "measured current of 8 motors: 11 A before, 12 A now: M1, M2, M3 and 5 more",
        ]
    );
    let service = values(&book, "motors", "service");
    assert_eq!(
        service.iter().filter(|one| one.ends_with("on duty")).count(),
        8,
        "{service:?}"
    );
    assert!(
        service.contains(&"S1, Fan 12 standby: standby".to_owned()),
        "{service:?}"
    );
}
