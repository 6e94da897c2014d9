//! Slips of typing that a list is full of: points that part thousands, counts before a rating, a phase or a sign left out.

use serde_json::Value;

use crate::doubts::{doubt, doubts, worked};

fn readings(report: &Value, row: u64) -> &Value {
    let rows = report["rows"].as_array().unwrap();
    &rows.iter().find(|known| known["source_row"] == row).unwrap()["readings"]
}

fn computed(report: &Value, row: u64) -> &Value {
    let rows = report["computed"].as_array().unwrap();
    rows.iter().find(|known| known["source_row"] == row).unwrap()
}

/// A speed of 1.46 r/min or a voltage of 0.4 V is no motor's; a torque of 15 kW at 1.46 r/min would be 98110 N·m (P / 2πn). The slowest
/// motors on the line have about sixty poles, 100 r/min at 50 Hz.
#[test]
fn values_that_no_motor_has_are_not_used() {
    let report = worked(
        "Tag;kW;V;A;rpm;Measured V;Measured rpm\nA;15;400;28;1.46;398;1.475\nB;15;0.4;28;1465;0.398;1475\nC;15;0,69;16;1465;690;1475\nD;15;400;28;24;;\nE;15;400;28;98;;\nF;15;400;28;1465;;\nG;15;6.6;1.7;1465;;\n",
    );
    for (row, key, offered) in [
        (2, "rated_speed", "1460 r/min, 4 pole"),
        (3, "voltage", "400 V"),
        (4, "voltage", "690 V"),
        (8, "voltage", "6600 V"),
    ] {
        assert!(readings(&report, row)[key]["value"].is_null(), "row {row}");
        doubt(&report, row, "value-of-no-motor warning");
        let told = report["doubts"].as_array().unwrap();
        let told = told
            .iter()
            .find(|doubt| doubt["source_row"] == row && doubt["rule"] == "value-of-no-motor");
        assert_eq!(told.unwrap()["offered"], serde_json::json!([offered]), "row {row}");
    }
    assert!(computed(&report, 2)["rated_torque"]["value"].is_null());
    let behind_a_gear = doubt(&report, 5, "value-of-no-motor warning");
    assert!(
        behind_a_gear.contains("24 r/min") && behind_a_gear.contains("behind a gear"),
        "{behind_a_gear}"
    );
    assert!(readings(&report, 5)["rated_speed"]["value"].is_null());
    for row in [6, 7] {
        let all = doubts(&report, row);
        assert!(!all.iter().any(|one| one.starts_with("value-of-no-motor")), "{all:#?}");
    }
    // 15 kW at 1465 r/min: 15000 / (2π · 24.4167) = 97.77 N·m.
    let torque = computed(&report, 7)["rated_torque"]["value"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!((torque.parse::<f64>().unwrap() - 97.77).abs() < 0.01, "{torque}");
}

/// A column of speeds of which all are thousandths was typed with points that part thousands: it is read so and told once.
#[test]
fn a_column_of_thousandths() {
    let report = worked("Tag;kW;V;rpm\nA;15;400;1.46\nB;11;400;1.455\nC;7.5;400;0.97\nD;5.5;400;2.92\nE;4;400;\n");
    for (row, speed, poles) in [(2, "1460", "4"), (3, "1455", "4"), (4, "970", "6"), (5, "2920", "2")] {
        assert_eq!(readings(&report, row)["rated_speed"]["value"], speed);
        // 2 · floor(60 · 50 / n).
        assert_eq!(readings(&report, row)["poles"]["value"], poles);
    }
    let told = report["doubts"].as_array().unwrap().iter();
    let told: Vec<&Value> = told.filter(|doubt| doubt["rule"] == "value-of-no-motor").collect();
    assert_eq!(told.len(), 1, "{told:#?}");
    assert!(told[0]["source_row"].is_null());
}

/// `2x1.5` under a rating: two motors of 1.5 kW each (common practice). With 3 kW and 7.5 kW of other rows that is 13.5 kW and not 12.
#[test]
fn a_count_before_a_rating() {
    let report = worked("Tag;kW;V;rpm\nA;2x1,5;400;1410\nB;3;400;1420\nC;7,5;400;1450\nTotal;13,5;;\n");
    assert_eq!(readings(&report, 2)["rated_power"]["value"], "1.5");
    assert_eq!(readings(&report, 2)["quantity"]["value"], "2");
    assert!(readings(&report, 3)["quantity"].is_null());
    let text = doubt(&report, 2, "number-ambiguous note");
    assert!(text.contains("2 motors of 1.5 kW each"), "{text}");
    let all = report["doubts"].to_string();
    assert!(!all.contains("total-disagrees"), "{all}");
    // A column of counts holds, and where it says another count that is told.
    let report = worked("Tag;Qty;kW;V;rpm\nA;2;2 x 1,5 kW;400;1410\nB;1;2x1,5;400;1410\nC;1;1,5;400;1410\n");
    assert_eq!(readings(&report, 2)["quantity"]["value"], "2");
    assert!(!doubts(&report, 2).iter().any(|one| one.starts_with("number-ambiguous")));
    assert_eq!(readings(&report, 3)["quantity"]["value"], "1");
    let text = doubt(&report, 3, "number-ambiguous warning");
    assert!(text.contains("2 motors of 1.5 kW") && text.contains("says 1"), "{text}");
}

/// `12.400 W` under kW: the unit of both readings stands in the doubt. 0.0124 kW would be a load of less than a thousandth of 15 kW; without
/// a rating nothing decides.
#[test]
fn both_readings_have_their_unit() {
    let report = worked(
        "Tag;kW;V;A;rpm;Measured kW\nA;15;400;28;1465;12.400 W\nB;1.500 W;400;3.4;1410;\nC;;400;28;1465;12.400 W\n",
    );
    let text = doubt(&report, 2, "number-ambiguous");
    assert!(
        text.contains("was read as 12.4 kW, as the rating says; 0.0124 kW would not"),
        "{text}"
    );
    let text = doubt(&report, 4, "number-ambiguous warning");
    assert!(
        text.contains("was read as 0.0124 kW; it could also be 12.4 kW"),
        "{text}"
    );
    let text = doubt(&report, 3, "number-ambiguous");
    assert!(
        text.contains("was read as 1.5 kW, as the volts and amps of the plate say; 0.0015 kW would not"),
        "{text}"
    );
}

fn offered(report: &Value, row: u64, rule: &str) -> Value {
    let doubts = report["doubts"].as_array().unwrap();
    let found = doubts
        .iter()
        .find(|doubt| doubt["source_row"] == row && doubt["rule"] == rule);
    found.unwrap_or_else(|| panic!("{rule} in {doubts:#?}"))["offered"].clone()
}

/// One current of three is used, doubted and graded so: by current alone 20 A of 28.1 A are 71.2 %.
#[test]
fn one_phase_of_three() {
    let report = worked(
        "Tag;kW;V;A;poles;rpm;Hz;L1 A;L2 A;L3 A\nA;15;400;28.1;4;1465;50;20;;\nB;15;400;28.1;4;1465;50;20;20;20\nC;15;400;28.1;4;1465;50;20;;20\n",
    );
    let text = doubt(&report, 2, "phase-missing warning");
    assert!(text.contains("one phase of 3 was read, 20 A"), "{text}");
    assert_eq!(readings(&report, 2)["measured_current"]["value"], "20");
    let grade = |row: u64| computed(&report, row)["grade"].as_str().unwrap().to_owned();
    assert_eq!([grade(2), grade(3), grade(4)], ["D, doubted", "D", "D"]);
    assert!(
        readings(&report, 4)["measured_current"]["note"]
            .as_str()
            .unwrap()
            .contains("1 of 3 phases missing")
    );
    for row in [3, 4] {
        assert_eq!(doubts(&report, row), [""; 0]);
    }
    // A list with one column of currents has no phases to miss.
    let report = worked("Tag;kW;V;A;poles;rpm;Hz;Measured A\nA;15;400;28.1;4;1465;50;20\n");
    assert_eq!(doubts(&report, 2), [""; 0]);
}

/// 1770 r/min is 1.67 % slip at 60 Hz and 4 poles and 41 % at 50 Hz and 2 poles, which no motor has; 1465 r/min goes with 50 Hz alone
/// (2.3 %, at 60 Hz 18.6 %).
#[test]
fn another_frequency_in_the_words_of_a_row() {
    let list = |remark: &str, speed: &str| {
        worked(&format!(
            "Tag;kW;V;rpm;Hz of the supply;Measured rpm;Remarks\nA;22;460;{speed};;1778;{remark}\nB;15;400;1465;;;\nC;11;400;1460;;;ok\n"
        ))
    };
    let report = list("60 Hz, import", "1770");
    assert_eq!(readings(&report, 2)["frequency"]["value"], "60");
    assert_eq!(readings(&report, 2)["poles"]["value"], "4");
    assert_eq!(readings(&report, 3)["frequency"]["value"], "50");
    assert!(doubt(&report, 2, "frequency-in-words note").contains("60 Hz, import"));
    assert_eq!(offered(&report, 2, "frequency-in-words"), serde_json::json!(["50 Hz"]));
    assert!(
        !doubts(&report, 2)
            .iter()
            .any(|one| one.starts_with("voltage-off-frequency"))
    );
    // The speed contradicts the words.
    let report = list("60 Hz", "1465");
    assert_eq!(readings(&report, 2)["frequency"]["value"], "50");
    doubt(&report, 2, "frequency-in-words warning");
    assert_eq!(
        offered(&report, 2, "frequency-in-words"),
        serde_json::json!(["60 Hz, 4 pole"])
    );
    // Without words the doubts offer what goes together, and what cannot be is not worked with.
    let report = list("", "1770");
    assert_eq!(readings(&report, 2)["frequency"]["value"], "50");
    for rule in ["plate-slip-unusual", "voltage-off-frequency"] {
        assert_eq!(offered(&report, 2, rule), serde_json::json!(["60 Hz, 4 pole"]));
    }
    for load in ["rated_slip", "load_by_slip"] {
        let refused = computed(&report, 2)[load]["refused"].as_str().unwrap();
        assert!(refused.contains("over 25 %"), "{load}: {refused}");
    }
    assert!(computed(&report, 3)["rated_slip"]["value"].is_string());
}

/// 400/690 V on a plate are two voltages of one winding; which the supply has the plate does not say.
#[test]
fn two_voltages_and_no_supply() {
    let of = |title: &str, cell: &str| {
        worked(&format!(
            "{title}Tag;kW;V;A;rpm;Hz;Measured V;Measured A\nA;22;{cell};40.5/23.5;1465;50;;31\nB;15;400;28;1465;50;;\n"
        ))
    };
    let report = of("", "400/690");
    assert!(doubt(&report, 2, "supply-not-said note").contains("400/690 gives several voltages"));
    assert_eq!(
        offered(&report, 2, "supply-not-said"),
        serde_json::json!(["400 V, 40.5 A", "690 V, 23.5 A"])
    );
    // The voltage is not missing: the reason says what is.
    let list = "Tag;kW;V;A;rpm;Hz;Measured rpm\nA;22;400/690;40.5;1465;50;1474\nB;15;400;28;1465;50;\n";
    let (_folder, path) = crate::packages::file("plant.csv", list.as_bytes());
    let import = polepair::plates::import(&path, &polepair::plates::Options::default()).unwrap();
    let text = polepair::workbook::text::write(&import.workbook);
    assert!(
        text.contains("refuse(\"the plate gives several voltages, and which of them the supply has is not said"),
        "{text}"
    );
    let report = of("Supply 400 V;;;;;;;\n", "400/690");
    assert_eq!(
        readings(&report, 3)["voltage"]["value"],
        serde_json::json!(["400", "690"])
    );
    assert!(!report["doubts"].to_string().contains("supply-not-said"));
}

/// A list without tags names its rows by what they drive, and has no empty column of tags; one with a tag keeps it first.
#[test]
fn rows_without_tags_are_named_by_what_they_drive() {
    let of = |list: &str| {
        let (_folder, path) = crate::packages::file("plant.csv", list.as_bytes());
        let import = polepair::plates::import(&path, &polepair::plates::Options::default()).unwrap();
        let engine = polepair::recalc::Engine::new(import.workbook.clone());
        assert!(engine.results().faults.is_empty(), "{:#?}", engine.results().faults);
        let names: Vec<String> = engine.results().sheets[0]
            .items
            .iter()
            .map(|name| name.to_string())
            .collect();
        (names, polepair::workbook::text::write(&import.workbook))
    };
    let (names, text) = of("Pos;Drive;kW;V;rpm\n1;Gang saw;55;400;1480\n2;Edger;22;400;1465\n3;Fan;22;400;1465\n");
    assert_eq!(names, ["Gang saw", "Edger", "Fan"]);
    assert!(!text.contains("given tag"), "{text}");
    // What does not tell them apart names none.
    let (names, text) = of("Pos;Drive;kW;V;rpm\n1;Fan;55;400;1480\n2;Edger;22;400;1465\n3;Fan;22;400;1465\n");
    assert!(
        !names.contains(&"Edger".to_owned()) && text.contains("given tag"),
        "{names:?}"
    );
    let (names, text) = of("Tag;Drive;kW;V;rpm\nM1;Gang saw;55;400;1480\n;Edger;22;400;1465\nM3;Fan;22;400;1465\n");
    assert_eq!(names[0], "M1");
    assert!(text.contains("given tag"), "{text}");
}
