//! The four sample lists against what a correct reading gives.

use serde_json::Value;

use crate::{folder, options};

const LISTS: [(&str, &str); 4] = [
    ("brickworks-motor-list", "xlsx"),
    ("ice-rink-motor-survey", "xlsx"),
    ("milchhof-kuehlhaus", "csv"),
    ("timber-yard-drives", "xlsx"),
];

/// Kilowatts in one, as the expected files count them (`conventions`).
fn kilowatts(unit: &str) -> f64 {
    match unit {
        "kW" => 1.0,
        "hp" => 0.745699872,
        "PS" => 0.73549875,
        other => panic!("rating in {other}"),
    }
}

const KEYS: [(&str, &str); 16] = [
    ("tag", "tag"),
    ("area", "area"),
    ("rated_power_kW", "rated_power"),
    ("poles", "poles"),
    ("rated_speed_rpm", "rated_speed"),
    ("frequency_Hz", "frequency"),
    ("voltage_V", "voltage"),
    ("rated_current_A", "rated_current"),
    ("efficiency_pct", "efficiency"),
    ("power_factor", "power_factor"),
    ("measured_voltage_V", "measured_voltage"),
    ("measured_current_A", "measured_current"),
    ("measured_power_kW", "measured_power"),
    ("measured_speed_rpm", "measured_speed"),
    ("hours_per_year", "hours_per_year"),
    ("quantity", "quantity"),
];

fn near(found: f64, expected: f64, tolerance: f64) -> bool {
    (found - expected).abs() <= tolerance * expected.abs().max(1e-9)
}

/// Whether a reading is the expected value, and how it looks if not.
fn same(key: &str, reading: Option<&Value>, expected: &Value) -> bool {
    let value = reading.map_or(&Value::Null, |reading| &reading["value"]);
    let number = |value: &Value| value.as_str().and_then(|text| text.parse::<f64>().ok());
    match expected {
        Value::Null => value.is_null(),
        Value::String(text) => value.as_str() == Some(text),
        Value::Number(expected) => {
            let Some(found) = number(value) else { return false };
            let factor = match key {
                "rated_power" => kilowatts(reading.unwrap()["unit"].as_str().unwrap()),
                _ => 1.0,
            };
            // The files give six digits.
            near(found * factor, expected.as_f64().unwrap(), 1e-5)
        }
        Value::Array(expected) => {
            let Some(found) = value.as_array() else { return false };
            found.len() == expected.len()
                && found.iter().zip(expected).all(|(found, expected)| {
                    number(found).is_some_and(|found| near(found, expected.as_f64().unwrap(), 1e-5))
                })
        }
        _ => false,
    }
}

#[test]
fn rows_and_values() {
    for (name, extension) in LISTS {
        let expected: Value =
            serde_json::from_slice(&std::fs::read(folder().join(format!("{name}.expected.json"))).unwrap()).unwrap();
        let import = polepair::plates::import(&folder().join(format!("{name}.{extension}")), &options()).unwrap();
        let report = serde_json::to_value(&import.report).unwrap();
        let row = |number: &Value| {
            report["rows"]
                .as_array()
                .unwrap()
                .iter()
                .find(|row| row["source_row"] == *number)
        };
        let mut wrong_rows = Vec::new();
        let expected_rows = expected["rows"].as_array().unwrap();
        let skipped = expected["skipped_rows"].as_array().unwrap();
        for (number, called) in expected_rows.iter().map(|row| (&row["source_row"], "motor")).chain(
            skipped
                .iter()
                .map(|row| (&row["source_row"], row["why"].as_str().unwrap())),
        ) {
            let found = row(number).map_or("missing", |row| row["as"].as_str().unwrap());
            if found != called {
                wrong_rows.push(format!("row {number}: {found}, expected {called}"));
            }
        }
        assert_eq!(
            report["rows"].as_array().unwrap().len(),
            expected_rows.len() + skipped.len(),
            "{name}: every row once"
        );
        let (mut right, mut all) = (0, 0);
        let mut wrong = Vec::new();
        for expected in expected_rows {
            let Some(row) = row(&expected["source_row"]) else {
                continue;
            };
            for (key, ours) in KEYS {
                let Some(value) = expected.get(key) else { continue };
                all += 1;
                let reading = row["readings"].get(ours);
                let other = expected["accept_also"].get(key);
                if same(ours, reading, value) || other.is_some_and(|other| same(ours, reading, other)) {
                    right += 1;
                } else {
                    wrong.push(format!(
                        "row {} {ours}: {reading:?}, expected {value}",
                        expected["source_row"]
                    ));
                }
            }
        }
        let raised = report["doubts"].as_array().unwrap();
        let expected_doubts = expected["doubts"].as_array().unwrap();
        let missed: Vec<String> = expected_doubts
            .iter()
            .filter(|doubt| !raised.iter().any(|raised| raised["source_row"] == doubt["source_row"]))
            .map(|doubt| doubt.to_string())
            .collect();
        let extra: Vec<String> = raised
            .iter()
            .filter(|raised| {
                !raised["source_row"].is_null()
                    && raised["level"] != "note"
                    && !expected_doubts
                        .iter()
                        .any(|doubt| doubt["source_row"] == raised["source_row"])
            })
            .map(|doubt| doubt.to_string())
            .collect();
        println!(
            "{name}: rows wrong {} of {}; values {right} of {all} ({:.2} %); doubts expected {}, missed {}; further errors and warnings {}, notes {}",
            wrong_rows.len(),
            expected_rows.len() + skipped.len(),
            100.0 * right as f64 / all as f64,
            expected_doubts.len(),
            missed.len(),
            extra.len(),
            raised.iter().filter(|doubt| doubt["level"] == "note").count(),
        );
        for line in wrong_rows.iter().chain(&wrong).chain(&missed).chain(&extra) {
            println!("   {line}");
        }
        assert!(wrong_rows.is_empty(), "{name}: every row classified");
        assert!(right * 100 >= all * 99, "{name}: 99 % of the values");
        assert!(missed.is_empty(), "{name}: every expected doubt");
        assert!(extra.is_empty(), "{name}: no false error or warning");
    }
}

const COMPUTED: [(&str, &str); 7] = [
    ("sync_speed_rpm", "synchronous_speed"),
    ("slip_rated_pct", "rated_slip"),
    ("rated_torque_Nm", "rated_torque"),
    ("load_by_power_pct", "load_by_power"),
    ("load_by_slip_pct", "load_by_slip"),
    ("load_by_slip_voltage_corrected_pct", "load_by_slip_voltage"),
    ("load_by_current_pct", "load_by_current"),
];

#[test]
fn load_columns() {
    for (name, extension) in LISTS {
        let expected: Value =
            serde_json::from_slice(&std::fs::read(folder().join(format!("{name}.expected.json"))).unwrap()).unwrap();
        let mut import = polepair::plates::import(&folder().join(format!("{name}.{extension}")), &options()).unwrap();
        let engine = polepair::recalc::Engine::new(import.workbook.clone());
        let faults: Vec<_> = engine
            .results()
            .faults
            .iter()
            .map(|placed| format!("{} {}: {}", placed.source, placed.fault.code, placed.fault.message))
            .collect();
        assert!(faults.is_empty(), "{name}: {faults:#?}");
        import.take(engine.results());
        let report = serde_json::to_value(&import.report).unwrap();
        let rows = report["computed"].as_array().unwrap();
        let (mut right, mut all, mut refusals) = (0, 0, 0);
        let mut wrong = Vec::new();
        for expected in expected["computed"].as_array().unwrap() {
            let row = rows
                .iter()
                .find(|row| row["source_row"] == expected["source_row"])
                .unwrap();
            for (key, ours) in COMPUTED {
                all += 1;
                let found = &row[ours];
                let good = match expected[key].as_f64() {
                    Some(value) => found["value"]
                        .as_str()
                        .is_some_and(|text| near_or_zero(text.parse().unwrap(), value)),
                    // A refusal and a missing reading both say why, in a sentence.
                    None => {
                        refusals += 1;
                        found["value"].is_null() && found["refused"].as_str().is_some_and(|why| why.len() > 10)
                    }
                };
                if good {
                    right += 1;
                } else {
                    wrong.push(format!(
                        "row {} {ours}: {found}, expected {}",
                        expected["source_row"], expected[key]
                    ));
                }
            }
            if let Some(why) = expected.get("why_null") {
                let reason = if why.to_string().contains("drive-fed") {
                    "drive"
                } else {
                    "rated slip is zero"
                };
                let text = row["load_by_slip"]["refused"].as_str().unwrap();
                assert!(text.contains(reason), "{name}: {text}");
            }
        }
        println!("{name}: computed {right} of {all}, {refusals} of them without value and with a reason");
        for line in &wrong {
            println!("   {line}");
        }
        assert!(wrong.is_empty(), "{name}");
    }
}

fn near_or_zero(found: f64, expected: f64) -> bool {
    if expected == 0.0 {
        found.abs() < 1e-12
    } else {
        near(found, expected, 2e-5)
    }
}
