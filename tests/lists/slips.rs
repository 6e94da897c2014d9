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
