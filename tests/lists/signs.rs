//! Signs in cells that are no values: zeros, days, units of other quantities, machines of other sorts.
//!
//! Lists are invented; what is right was written down from the rows by hand.

use crate::doubts::{doubt, doubts, worked};
use crate::headings::{read_as, reading, report, told};

/// The best load of a row in whole per cent, and its grade.
pub fn load(report: &serde_json::Value, row: u64) -> String {
    let all = report["computed"].as_array().unwrap();
    let of = all.iter().find(|of| of["source_row"] == row).unwrap();
    match of["load"]["value"].as_str().or(of["load"].as_str()) {
        Some(value) => format!("{:.0} {}", value.parse::<f64>().unwrap(), of["grade"].as_str().unwrap()),
        None => "-".to_owned(),
    }
}

/// A form prints 0 for what nobody knows: no fault, no row lost, and each other method still works. 9.4 kW · 0.9 / 11 kW = 77 %.
#[test]
fn zeros_stand_for_no_value() {
    let found = worked(
        "Pump;kW;V;FLA;rpm;Eff;Meas A;Meas V;Meas rpm;Meas kW;cos phi\n\
         Z1;0;400;21;1465;90;16;400;1474;9.4;0.84\n\
         Z2;11;0;21;1465;90;16;400;1474;9.4;0.84\n\
         Z3;11;400;0;1465;90;16;400;1474;9.4;0.84\n\
         Z4;11;400;21;0;90;16;400;1474;9.4;0.84\n\
         Z5;11;400;21;1465;90;16;0;1474;9.4;0.84\n\
         Z6;11;400;21;1465;90;0;400;1474;0;0.84\n\
         Z7;11;400;21;1465;0;16;400;0;9.4;0\n",
    );
    for (row, key, column) in [
        (2, "rated_power", "kW"),
        (3, "voltage", "V"),
        (4, "rated_current", "FLA"),
        (5, "rated_speed", "rpm"),
        (6, "measured_voltage", "Meas V"),
        (7, "measured_current", "Meas A"),
        (8, "measured_speed", "Meas rpm"),
        (8, "efficiency", "Eff"),
        (8, "power_factor", "cos phi"),
    ] {
        assert_eq!(reading(&found, row, key), "-", "row {row} {key}");
        let said = doubts(&found, row);
        let zero = format!("value-zero note: {column}: 0 ");
        assert!(said.iter().any(|text| text.starts_with(&zero)), "{column}: {said:#?}");
        assert!(said.iter().all(|text| !text.contains("scale")), "{said:#?}");
    }
    for row in [3, 4, 5, 6] {
        assert_eq!(load(&found, row), "77 A", "row {row}");
    }
    // Many of them are told once for their column; phases that are all zero are one reading that is none.
    let found = worked(
        "Pump;kW;V;FLA;rpm;L1 A;L2 A;L3 A\nA;11;400;21;1465;0;0;0\nB;11;400;21;1465;0;0;0\nC;11;400;21;1465;0;16;16\n",
    );
    assert_eq!(reading(&found, 2, "measured_current"), "-");
    let all = found["doubts"].as_array().unwrap();
    let zeros: Vec<_> = all.iter().filter(|doubt| doubt["rule"] == "value-zero").collect();
    assert_eq!(zeros.len(), 1, "{zeros:#?}");
    assert!(
        zeros[0]["text"].as_str().unwrap().contains("in source rows 2, 3 "),
        "{zeros:#?}"
    );
    // One dead phase of three is a reading, and a bad one.
    doubt(&found, 4, "phases-unequal error");
}

/// 90 kVA is no rating of a motor; nor is 7 kVA a measured power.
#[test]
fn a_unit_of_something_else_gives_no_value_and_no_fault() {
    let found =
        worked("Item;Rating;Unit;V;A;rpm\nFan;18.5;kW;400;35;1470\nSet;90;kVA;400;130;1500\nMill;20;HP;400;28;1460\n");
    assert_eq!(reading(&found, 3, "rated_power"), "-");
    assert!(doubt(&found, 3, "text-not-read").contains("90 stands in kVA"));
    assert_eq!(reading(&found, 2, "rated_power"), "18.5 kW");
    assert_eq!(reading(&found, 4, "rated_power"), "20 hp");
    let found =
        worked("Item;kW;V;A;rpm;Meas. kW;Meas. A\nFan;11;400;21;1465;9,1;16\nMill;11;400;21;1465;7,2 kVA;15 kW\n");
    assert_eq!(reading(&found, 3, "measured_power"), "-");
    assert_eq!(reading(&found, 3, "measured_current"), "-");
    let said = doubts(&found, 3);
    assert_eq!(
        said.iter().filter(|text| text.starts_with("text-not-read")).count(),
        2,
        "{said:#?}"
    );
}

/// A day is no number, in a cell and in a whole column.
#[test]
fn days_are_no_values() {
    let found = report(
        "Tag;kW;V;FLA;rpm;Meas A;Load test\n\
         M1;11;400;21;1465;2024-05-17;17.05.2024\nM2;11;400;21;1465;16;03.06.2024\nM3;11;400;21;1465;17.05.24;\nM5;11;400;21;1465;15;\nM6;11;400;21;1465;15;\nM4;11;400;21;1465;5/17/2024 08:15;11.06.2024\n",
    );
    for row in [2, 4, 7] {
        assert_eq!(reading(&found, row, "measured_current"), "-", "row {row}");
        doubt(&found, row, "date-for-number");
    }
    assert_eq!(reading(&found, 3, "measured_current"), "16 A");
    let found = report(
        "Tag;kW;V;FLA;rpm;Last overhaul;Loading checked\n\
         M1;11;400;21;1465;2019-05-17;2024-05-17\nM2;11;400;21;1465;2020-01-02;2024-05-18\nM3;11;400;21;1465;;2024-05-18\n",
    );
    for heading in ["Last overhaul", "Loading checked"] {
        assert_eq!(read_as(&found, heading), "-", "{heading}");
    }
    assert!(doubts(&found, 2).is_empty(), "{:#?}", doubts(&found, 2));
    assert!(!told(&found, "dates"), "{}", found["doubts"]);
    // A column with a unit was meant for values.
    let found = report("Tag;kW;V;FLA;rpm;Meas. A\nM1;11;400;21;1465;2024-05-17\nM2;11;400;21;1465;2024-05-18\n");
    assert!(
        told(&found, "“Meas. A” was not used: its cells are dates"),
        "{}",
        found["doubts"]
    );
}

/// Phases and types say that a motor is none for three phases.
#[test]
fn other_machines_by_phases_and_type() {
    let list = |column: &str, text: &str| {
        report(&format!(
            "Tag;kW;V;FLA;rpm;{column};Meas A\nM1;1.5;230;8.9;1420;{text};7\nM2;4;400;8.1;1440;3;6\n"
        ))
    };
    for text in ["Mono", "Monofásico?", "M", "2", "1", "single", "bifásico"] {
        for column in ["Phases", "Fases"] {
            doubt(&list(column, text), 2, "other-machine");
        }
    }
    for text in ["3", "Tri", "3~", "T"] {
        assert!(doubts(&list("Phases", text), 2).is_empty(), "{text}");
    }
    for text in [
        "SRIM",
        "WRIM",
        "Syn.",
        "BLDC",
        "DCM",
        "Shunt",
        "Series",
        "Hydraulic",
        "Pneumatic",
        "Diesel",
        "Universal",
        "Linear",
    ] {
        doubt(&list("Type", text), 2, "other-machine");
    }
    for text in ["SCIM", "ASM", "TEFC", "M2BA 132"] {
        assert!(doubts(&list("Type", text), 2).is_empty(), "{text}");
    }
}
