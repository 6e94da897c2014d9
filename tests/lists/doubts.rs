//! Cells that contradict themselves or others, or that cannot be: a doubt with every reading, and no silent choice.
//!
//! Lists are invented; what a case rests on stands beside it.

use polepair::plates::{Import, Options, import};
use serde_json::Value;

use crate::packages::file;

fn imported(text: &str) -> Import {
    let (_folder, path) = file("plant.csv", text.as_bytes());
    import(&path, &Options::default()).unwrap()
}

fn report(text: &str) -> Value {
    serde_json::to_value(&imported(text).report).unwrap()
}

/// The report of a worked list.
fn worked(text: &str) -> Value {
    let mut import = imported(text);
    let engine = polepair::recalc::Engine::new(import.workbook.clone());
    assert!(engine.results().faults.is_empty(), "{:#?}", engine.results().faults);
    import.take(engine.results());
    serde_json::to_value(&import.report).unwrap()
}

/// `rule level: text` of the doubts of a row.
fn doubts(report: &Value, row: u64) -> Vec<String> {
    report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|doubt| doubt["source_row"] == row)
        .map(|doubt| {
            let of = |key: &str| doubt[key].as_str().unwrap();
            format!("{} {}: {}", of("rule"), of("level"), of("text"))
        })
        .collect()
}

/// The one doubt of this rule in the row.
fn doubt(report: &Value, row: u64, rule: &str) -> String {
    let all = doubts(report, row);
    let mut of = all.iter().filter(|doubt| doubt.starts_with(rule));
    let found = of.next().unwrap_or_else(|| panic!("row {row}: no {rule} in {all:#?}"));
    assert!(of.next().is_none(), "row {row}: {rule} twice");
    found.clone()
}

fn has_all(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "{part:?} not in {text}");
    }
}

fn reading<'a>(report: &'a Value, row: u64, key: &str) -> &'a Value {
    let rows = report["rows"].as_array().unwrap();
    let row = rows.iter().find(|known| known["source_row"] == row).unwrap();
    &row["readings"][key]
}

/// 11 hp are 8.2 kW and 15 kW are 20.1 hp (1 hp = 0.7457 kW); 11 kW with 15 hp are one motor of the two series.
#[test]
fn two_ratings_that_are_not_one() {
    let report = report(
        "Tag,kW,RPM,Hz\nA,15 kW / 11 hp,1465,50\nB,11 kW / 15 hp,1465,50\nC,4 kW / 5.5 hp,1440,50\nD,\"5,5 kW / 10 hp\",1450,50\n",
    );
    let text = doubt(&report, 2, "ratings-disagree warning");
    has_all(
        &text,
        &[
            "15 kW is 20.1 hp",
            "11 hp, which is 8.2 kW",
            "15 hp and 11 kW would agree",
        ],
    );
    assert!(reading(&report, 2, "rated_power")["confidence"].as_f64().unwrap() < 0.5);
    assert_eq!(doubts(&report, 3), [] as [&str; 0]);
    assert_eq!(doubts(&report, 4), [] as [&str; 0]);
    let text = doubt(&report, 5, "ratings-disagree");
    assert!(!text.contains("would agree"), "{text}");
    // The same in two columns.
    let report = self::report("Tag,kW,HP,RPM,Hz\nA,15,11,1465,50\nB,11,15,1465,50\n");
    has_all(&doubt(&report, 2, "ratings-disagree"), &["15 kW", "11 hp"]);
    assert_eq!(doubts(&report, 3), [] as [&str; 0]);
}

#[test]
fn values_below_zero_are_told_and_not_used() {
    let report =
        report("Tag,kW,RPM,Hz,FLA,Measured A\nA,-5,1465,50,28,-9 A\nB,-5 kW,1465,50,28,−9\nC,5.5,1465,50,-,9\n");
    for row in [2, 3] {
        for key in ["rated_power", "measured_current"] {
            assert!(reading(&report, row, key)["value"].is_null(), "row {row} {key}");
        }
        let power = format!(
            "value-negative error: kW: {} is below zero",
            if row == 2 { "-5" } else { "-5 kW" }
        );
        let all = doubts(&report, row);
        assert!(
            all.iter()
                .any(|text| text.starts_with(&power) && text.contains("it would be 5")),
            "{all:#?}"
        );
        assert!(all.iter().any(|text| text.contains("it would be 9")), "{all:#?}");
    }
    // A dash alone is no value and no doubt.
    assert_eq!(doubts(&report, 4), [] as [&str; 0]);
    // One of three phases.
    let report = self::report("Tag,kW,RPM,Hz,L1 A,L2 A,L3 A\nA,5.5,1465,50,9,-9,9\n");
    doubt(&report, 2, "value-negative error: L2 A: -9");
}

/// A winding has poles in pairs.
#[test]
fn poles_that_are_no_pairs() {
    let report = report(
        "Tag,kW,Poles,RPM,Hz\nA,15,3,1465,50\nB,15,4,1465,50\nC,15,0,1465,50\nD,11/5.5,4/6,1460/970,50\nE,15,2.5,1465,50\n",
    );
    let text = doubt(&report, 2, "poles-not-in-pairs error");
    has_all(
        &text,
        &["3 poles cannot be", "If it counts pole pairs, there are 6 poles"],
    );
    // The plate speed tells the poles: 60 · 50 / 1465 = 2.05, so two pairs.
    assert_eq!(reading(&report, 2, "poles")["value"], "4");
    assert_eq!(reading(&report, 2, "poles")["raw"], "3");
    for (row, said) in [(3, false), (4, true), (5, false), (6, true)] {
        let raised = doubts(&report, row)
            .iter()
            .any(|text| text.starts_with("poles-not-in-pairs"));
        assert_eq!(raised, said, "row {row}");
    }
    // A heading of pole pairs counts pairs.
    let report = self::report("Tag,kW,Pole pairs,RPM,Hz\nA,15,3,965,50\n");
    assert_eq!(doubts(&report, 2), [] as [&str; 0]);
}

/// NEMA MG 1 10.37.2 has no code letter I, O, Q; IEC 60034-30-1 has IE1 to IE4; IEC 60085 no class Q; IEC 60034-1 no S11; IEC 60529
/// no first digit 7.
#[test]
fn letters_that_no_list_has() {
    let heading = "Tag,kW,RPM,Hz,Code letter,IE class,Insulation class,Duty,Enclosure,Design";
    let report = report(&format!(
        "{heading}\nA,15,1465,50,I,IE7,Q,S11,IP75,K\nB,15,1465,50,J,IE3,F,S3 40%,IP 55,B\nC,15,1465,50,n/a,Premium,155 (F),S1,TEFC,N\nD,15,1465,50,o,IE 9,Cl. F/B,S 1,ODP,\n",
    ));
    let all = doubts(&report, 2);
    for part in [
        "Code letter: I is none that there is; code letters are A to V without I, O and Q",
        "IE class: IE7 is none that there is; classes are IE1 to IE4",
        "Insulation class: Q is none",
        "Duty: S11 is none that there is; duty types are S1 to S10",
        "Enclosure: IP75 is none",
        "Design: K is none",
    ] {
        let begins = format!("plate-word-unknown warning: {part}");
        assert!(all.iter().any(|text| text.starts_with(&begins)), "{part} in {all:#?}");
    }
    assert_eq!(doubts(&report, 3), [] as [&str; 0]);
    assert_eq!(doubts(&report, 4), [] as [&str; 0]);
    assert_eq!(doubts(&report, 5).len(), 2, "{:#?}", doubts(&report, 5));
}

/// A doubt shows the beginning of a long text; the report keeps all of it.
#[test]
fn long_cells_are_cut_in_doubts() {
    let long = "7".repeat(40_000);
    let report = report(&format!(
        "Tag,kW,RPM,Hz,FLA\nA,15,1465,50,as {long}\nB,15,1465,50,{long}\n"
    ));
    let text = doubt(&report, 2, "text-not-read");
    assert!(text.len() < 250, "{}", text.len());
    has_all(&text, &["as 777", "… (40003 signs in all)"]);
    assert_eq!(
        reading(&report, 2, "rated_current")["raw"].as_str().unwrap().len(),
        40_003
    );
    assert!(doubts(&report, 3).iter().all(|text| text.len() < 250));
}
