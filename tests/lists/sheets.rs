//! Sheets as people lay them out: merged cells over several motors, two revisions in one workbook, motors side by side.
//!
//! Lists and machines are invented; what is right was written down from the rows by hand.

use polepair::plates::{Options, import};
use rust_xlsxwriter::{Format, Workbook};
use serde_json::Value;

use crate::headings::{reading, report};
use crate::packages::file;

const HEAD: [&str; 6] = ["Tag", "Service", "kW", "V", "FLA", "rpm"];

fn imported(book: &mut Workbook) -> Value {
    let (_folder, path) = file("book.xlsx", &book.save_to_buffer().unwrap());
    serde_json::to_value(&import(&path, &Options::default()).unwrap().report).unwrap()
}

/// A cell merged over three motors holds for each of them, and says so.
#[test]
fn cells_merged_over_several_motors() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, text) in (0u16..).zip(HEAD) {
        sheet.write_string(0, column, text).unwrap();
    }
    for row in 1..=3 {
        sheet.write_string(row, 0, format!("P-{row}")).unwrap();
        sheet.write_string(row, 1, format!("Pump {row}")).unwrap();
    }
    for (column, value) in [(2u16, "7.5"), (3, "400"), (4, "14.5")] {
        sheet.merge_range(1, column, 3, column, value, &Format::new()).unwrap();
        sheet.write_number(1, column, value.parse::<f64>().unwrap()).unwrap();
    }
    for row in 1..=3 {
        sheet.write_number(row, 5, 1460.0 + f64::from(row)).unwrap();
    }
    let found = imported(&mut book);
    for row in 2..=4 {
        assert_eq!(reading(&found, row, "rated_power"), "7.5 kW", "row {row}");
        assert_eq!(reading(&found, row, "rated_current"), "14.5 A", "row {row}");
    }
    let note = &found["rows"][3]["readings"]["rated_power"]["note"];
    assert!(note.as_str().unwrap().contains("merged"), "{note}");
    // The tag is of one motor alone.
    assert_eq!(reading(&found, 3, "tag"), "P-2");
}

/// The revision that still holds is read, although the other one is longer; where both are marked, the longer.
#[test]
fn a_superseded_list_loses() {
    for (marks, expected) in [(["REV A SUPERSEDED", "Rev B"], "Rev B"), (["Rev A", "Rev B"], "Rev A")] {
        let mut book = Workbook::new();
        for (name, mark, motors) in [("Rev A", marks[0], 8u32), ("Rev B", marks[1], 6)] {
            let sheet = book.add_worksheet().set_name(name).unwrap();
            sheet.write_string(0, 0, format!("Motor list {mark}")).unwrap();
            for (column, text) in (0u16..).zip(HEAD) {
                sheet.write_string(1, column, text).unwrap();
            }
            for row in 2..2 + motors {
                sheet.write_string(row, 0, format!("P-{row}")).unwrap();
                for (column, value) in [(2u16, 7.5), (3, 400.0), (4, 14.5), (5, 1465.0)] {
                    sheet.write_number(row, column, value).unwrap();
                }
            }
        }
        assert_eq!(imported(&mut book)["sheet"], expected, "{marks:?}");
    }
}

/// Motors as columns are refused in words that say what to do.
#[test]
fn a_transposed_list_is_told() {
    let (_folder, path) = file(
        "turned.csv",
        b"Tag;P-1;P-2;P-3\nRated power (kW);5.5;5.5;11\nVoltage (V);400;400;400\nCurrent (A);10.2;10.2;21\nSpeed (rpm);2930;2930;1470\n",
    );
    let error = import(&path, &Options::default()).unwrap_err();
    assert!(
        error.cause.found.contains("transposed") && error.cause.found.contains("column A"),
        "{error}"
    );
    let (_folder, path) = file("other.csv", b"Invoice;Date;Sum\n1;2026-01-02;17\n2;2026-01-03;18\n");
    let error = import(&path, &Options::default()).unwrap_err();
    assert!(!error.cause.found.contains("transposed"), "{error}");
}

/// Phases named in a row of their own under one heading.
#[test]
fn phases_under_one_heading() {
    let found = report(
        "TAG;kW;Tensión (V);rpm;Consumo (A);;\n;;;;R;S;T\nB-1;45;400;1480;81.2;80.9;81.9\nB-2;37;400;1475;61;60;62\n",
    );
    assert_eq!(reading(&found, 3, "measured_current"), "81.3333 A");
    assert_eq!(reading(&found, 3, "measured_power"), "-");
    assert_eq!(found["rows"][1]["as"], "heading");
}

/// Tables of other things are no lists of motors: what their headings and units say is told.
#[test]
fn tables_of_other_things() {
    for (text, word) in [
        (
            "Q (m³/h);H (m);P (kW);η (%);NPSH (m);Speed (rpm)\n0;32;5.1;0;2;1450\n20;31;6.8;42;2.1;1450\n40;28;8.4;66;2.4;1450\n",
            "no row has a name",
        ),
        (
            "Tag;Make;Power (kVA);Power (kW);Voltage (V);Current (A);Speed (rpm);Fuel\nG-1;Alto;500;400;400;722;1500;diesel\nG-2;Alto;250;200;400;361;1500;diesel\n",
            "Fuel",
        ),
        (
            "Circuit;Description;Breaker (A);Poles;Voltage (V);Load (kW)\n1;Lights;10;1;230;1.2\n2;Sockets;16;1;230;2\n3;Oven;25;3;400;9\n",
            "Lights",
        ),
        (
            "Asset;Machine;Power (kW);Voltage;Current (A);Weight\nW1;Welder;9;400;16;80\nW2;Welding set;12;400;20;95\n",
            "Welder",
        ),
    ] {
        let (_folder, path) = file("other.csv", text.replace(';', "\t").as_bytes());
        let error = import(&path, &Options::default()).unwrap_err();
        assert!(error.cause.found.contains(word), "{word}: {error}");
    }
    // A schedule of pumps with the same columns beside those of their motors is one.
    let found =
        report("Pump;Q (m³/h);H (m);NPSH (m);Motor kW;V;rpm\nP-1;20;31;2.1;7.5;400;1465\nP-2;40;28;2.4;11;400;1470\n");
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW");
    // A breaker beside a motor says nothing of its poles.
    let found = report("Tag;kW;V;Poles;Breaker poles;Breaker (A)\nP-1;7.5;400;4;3;16\nP-2;11;400;2;3;25\n");
    assert_eq!(reading(&found, 2, "poles"), "4");
}

/// An export whose cells are all texts: its rows of data are no headings, whatever units and classes stand in them.
#[test]
fn units_in_rows_of_data_make_no_heading() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let rows = [
        [
            "FUNC_LOC",
            "NAME",
            "RATED_POWER",
            "POWER_UOM",
            "RATED_SPEED",
            "SPEED_UOM",
            "INS_CLASS",
            "RATED_CURR",
        ],
        ["PL1-P01", "FEED PUMP", "37000", "W", "1480", "RPM", "F", "67"],
        ["PL1-P02", "FEED PUMP 2", "50", "HP", "24.5", "RPS", "F", "67"],
    ];
    for (row, texts) in (0u32..).zip(rows) {
        for (column, text) in (0u16..).zip(texts) {
            sheet.write_string(row, column, text).unwrap();
        }
    }
    let found = imported(&mut book);
    assert_eq!(reading(&found, 2, "rated_power"), "37 kW");
    assert_eq!(reading(&found, 3, "rated_power"), "50 hp");
    assert_eq!(reading(&found, 3, "rated_speed"), "1470 r/min");
}

/// A plate in the row is a motor, whatever the remarks say of what stands beside it.
#[test]
fn a_plate_is_a_motor() {
    let found = report(
        "Ref;Nameplate;Notes\nA1;5.5 kW 400 V 10.8 A 1465 rpm 50 Hz;ok\nA2;7.5 kW 400 V 14.5 A 1465 rpm 50 Hz;machine on transformer\n",
    );
    assert_eq!(reading(&found, 3, "rated_power"), "7.5 kW");
}

/// Consumers of which nothing says that they are motors are no list of motors; a word, a speed or a column map says it.
#[test]
fn a_table_of_motors_speaks_of_motors() {
    let read = |name: &str, text: &str| {
        let (_folder, path) = file(name, text.as_bytes());
        import(&path, &Options::default())
    };
    for (text, why) in [
        (
            "Inverter;Model;kW;V;A\nINV-1;S50;50;400;72\nINV-2;S50;50;400;72\n",
            "nothing says that they are motors",
        ),
        (
            "Item;Name;kW;V;A\n1;Kettle;2.2;230;10\n2;Oven;9;400;13\n3;Freezer;0.3;230;2\n",
            "nothing says that they are motors",
        ),
        (
            "Server;Rack;W;V;A\nweb1;R1;350;230;1.6\ndb1;R2;700;230;3.2\n",
            "nothing says that they are motors",
        ),
        (
            "Item;Description;kg;Current;Power drill\n1;Bolt;0.1;stock;no\n2;Nut;0.2;stock;no\n",
            "has no number in any column",
        ),
    ] {
        let error = read("plant.csv", text).unwrap_err();
        assert!(error.cause.found.contains(why), "{}", error.cause.found);
    }
    for (name, text) in [
        (
            "plant.csv",
            "Item;Name;kW;V;A\n1;Kettle;2.2;230;10\n2;Feed pump;9;400;18\n",
        ),
        (
            "plant.csv",
            "Item;Name;kW;V;A;rpm\n1;North;2.2;400;5;1440\n2;South;9;400;18;\n",
        ),
        ("plant.csv", "Item;Name;HP;V;A\n1;North;3;460;5\n2;South;10;460;14\n"),
        (
            "motor list.csv",
            "Item;Name;kW;V;A\n1;North;2.2;400;5\n2;South;9;400;18\n",
        ),
        (
            "plant.csv",
            "Motors of the north hall\nItem;Name;kW;V;A\n1;North;2.2;400;5\n2;South;9;400;18\n",
        ),
    ] {
        let motors = read(name, text).unwrap().report.computed.len();
        assert!(motors >= 1, "{text}");
    }
}

/// Headings over two and three lines of which only some groups are merged.
#[test]
fn groups_of_which_some_are_merged() {
    let groups = [(0, "Tag"), (1, "Service"), (2, "Plate"), (5, "Measured"), (8, "Notes")];
    let words = ["Power", "Current", "Speed", "Voltage", "Current", "Speed"];
    let units = ["kW", "A", "rpm", "V", "A", "rpm"];
    let all = [(0, 0, 2), (1, 0, 2), (2, 4, 0), (5, 7, 0), (8, 0, 2)];
    for three in [false, true] {
        let lines = if three { 3 } else { 2 };
        for chosen in [
            &[][..],
            &[3],
            &[2],
            &[2, 3],
            &[0],
            &[0, 3],
            &[0, 1, 2, 4],
            &[0, 1, 2, 3, 4],
        ] {
            let mut book = Workbook::new();
            let sheet = book.add_worksheet();
            for (column, text) in groups {
                sheet.write_string(0, column, text).unwrap();
            }
            for (place, column) in (2u16..8).enumerate() {
                if three {
                    sheet.write_string(1, column, words[place]).unwrap();
                }
                sheet.write_string(lines - 1, column, units[place]).unwrap();
            }
            for place in chosen {
                let (left, right, down) = all[*place];
                let bottom = if down > 0 { lines - 1 } else { 0 };
                let text = groups[*place].1;
                sheet
                    .merge_range(0, left, bottom, left.max(right), text, &Format::new())
                    .unwrap();
            }
            for row in 0..2u32 {
                let values = [7.5, 15.0, 1460.0, 400.0, 12.0, 1475.0];
                sheet.write_string(lines + row, 0, format!("M{row}")).unwrap();
                sheet.write_string(lines + row, 1, "Pump").unwrap();
                for (column, value) in (2u16..).zip(values) {
                    sheet.write_number(lines + row, column, value).unwrap();
                }
            }
            let found = imported(&mut book);
            let first = u64::from(lines) + 1;
            for (key, value) in [
                ("rated_power", "7.5 kW"),
                ("rated_current", "15 A"),
                ("rated_speed", "1460 r/min"),
                ("measured_voltage", "400 V"),
                ("measured_current", "12 A"),
                ("measured_speed", "1475 r/min"),
            ] {
                assert_eq!(
                    reading(&found, first, key),
                    value,
                    "{key} of {lines} lines, merged {chosen:?}"
                );
            }
        }
    }
}

/// A heading that is merged down over both lines takes nothing from the line beside it, though a group at its left is the last of that line
/// and units stand under all.
#[test]
fn a_heading_merged_over_both_lines_has_no_words_of_its_neighbour() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, text) in [(0, "Tag"), (3, "Power Factor"), (4, "Efficiency"), (5, "Full Load RPM")] {
        sheet.merge_range(0, column, 1, column, text, &Format::new()).unwrap();
    }
    sheet.merge_range(0, 1, 0, 2, "Full Load Amps", &Format::new()).unwrap();
    sheet.write_string(1, 1, "230 V").unwrap();
    sheet.write_string(1, 2, "400 V").unwrap();
    sheet.write_string(0, 6, "kW").unwrap();
    for (column, unit) in [(1, "A"), (2, "A"), (3, "-"), (4, "%"), (5, "rpm"), (6, "kW")] {
        sheet.write_string(2, column, unit).unwrap();
    }
    for row in 0..3u32 {
        sheet.write_string(3 + row, 0, format!("M{row}")).unwrap();
        for (column, value) in (1u16..).zip([26.0, 15.0, 0.81, 90.5, 1460.0, 7.5]) {
            sheet.write_number(3 + row, column, value).unwrap();
        }
    }
    let found = imported(&mut book);
    for (key, value) in [
        ("power_factor", "0.81"),
        ("efficiency", "90.5 %"),
        ("rated_speed", "1460 r/min"),
    ] {
        assert_eq!(reading(&found, 4, key), value, "{key}");
    }
    let said = found.to_string();
    assert!(
        said.contains("Power Factor") && !said.contains("Factor 400 V") && !said.contains("RPM 400 V"),
        "{said}"
    );
    assert!(said.contains("400 V"), "{said}");
}
