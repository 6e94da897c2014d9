//! Rules of plausibility, each with a plate that breaks it and one that does not, and loads by the best method.
//!
//! Plates are invented; the sources of the limits stand beside the cases.

use polepair::plates::{Import, Options, import};
use polepair::quantity::System;
use serde_json::Value;

use crate::packages::file;

fn imported(text: &str) -> Import {
    let (_folder, path) = file("plant.csv", text.as_bytes());
    import(&path, &Options::default()).unwrap()
}

/// The report of a worked list.
fn worked(text: &str) -> Value {
    let mut import = imported(text);
    let engine = polepair::recalc::Engine::new(import.workbook.clone());
    assert!(engine.results().faults.is_empty(), "{:#?}", engine.results().faults);
    import.take(engine.results());
    serde_json::to_value(&import.report).unwrap()
}

/// Doubts of a row: rule and text.
fn doubts(report: &Value, row: u64) -> Vec<(String, String)> {
    report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|doubt| doubt["source_row"] == row)
        .map(|doubt| {
            (
                doubt["rule"].as_str().unwrap().to_owned(),
                doubt["text"].as_str().unwrap().to_owned(),
            )
        })
        .collect()
}

/// One plate after another: the first breaks the rule and its finding says this, the second does not.
fn broken_and_whole(heading: &str, rule: &str, broken: &str, says: &str, whole: &str) {
    let report = serde_json::to_value(&imported(&format!("{heading}\n{broken}\n{whole}\n")).report).unwrap();
    let found = doubts(&report, 2);
    let (_, text) = found
        .iter()
        .find(|(known, _)| known == rule)
        .unwrap_or_else(|| panic!("{rule} not in {found:?}"));
    assert!(text.contains(says), "{rule}: {text}");
    assert_eq!(doubts(&report, 3), [], "{rule}: the plate that is whole");
    let doubt = report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|doubt| doubt["rule"] == rule)
        .unwrap();
    for key in ["likely", "look", "source"] {
        assert!(doubt[key].as_str().unwrap().len() > 3, "{rule}: {key}");
    }
}

/// A doubt is told with the digits and in the unit of its column, and in the units that somebody looks at. By hand: 13.4 hp over 0.74570 kW
/// is 9.992 kW; √3 · 380 V · 18 A is 11.847 kVA.
#[test]
fn values_of_a_doubt_are_those_of_its_column() {
    let said = |list: &str, rule: &str, system: System| {
        let report = imported(list).report;
        let doubt = report.doubts.iter().find(|doubt| doubt.rule == rule);
        let doubt = doubt.unwrap_or_else(|| panic!("no {rule}: {:?}", report.doubts));
        system.words(&doubt.text)
    };
    let list = "Tag,Motor HP,Volts,RPM,Poles,Hz\nA,13.4,460,1765,4,60\nB,15,460,1765,4,60\n";
    for (system, words) in [
        (System::AsWritten, "13.4 hp is in no standard series"),
        (System::Us, "13.4 hp is in no standard series"),
        (System::Si, "9.992 kW is in no standard series"),
    ] {
        let said = said(list, "rating-not-in-series", system);
        assert!(said.starts_with(words), "{said}");
    }
    // What is measured is electrical and stays in kW.
    let list = "Tag;kW;V;A;Hz;Gemessen kW;Gemessen A;Gemessen V\nA;11;400;21;50;14,2;18;380\nB;11;400;21;50;9;16;400\n";
    for system in [System::AsWritten, System::Us] {
        let said = said(list, "power-above-apparent", system);
        assert!(
            said.starts_with("Measured 14.2 kW is above the 11.85 kVA of 380 V and 18 A"),
            "{said}"
        );
    }
    // 28.5 kW are 38.22 hp, 32.5 kW 43.58 hp, and 4 kW 5.364 hp.
    let list = "Tag;Rated kW;rpm\nA;11;1465\nB;10;1460\nC;7.5;1450\nTotal;32.5;\n";
    let told = said(list, "total-disagrees", System::Us);
    assert!(
        told.starts_with("Printed total 43.58 hp; the 3 rows sum to 38.22 hp; it is 5.364 hp off"),
        "{told}"
    );
    let told = said(list, "total-disagrees", System::AsWritten);
    assert!(
        told.starts_with("Printed total 32.5 kW; the 3 rows sum to 28.5 kW; it is 4 kW off"),
        "{told}"
    );
}

#[test]
fn plate_current_against_the_table() {
    // NFPA 70 Table 430.250: 15 hp at 460 V has 21 A; 40 A is 1.905 times that.
    let heading = "Tag,Motor HP,Volts,FLA,RPM,Hz";
    broken_and_whole(
        heading,
        "current-off-table",
        "A,15,460,40,1765,60",
        "1.90 times the 21 A that NEC Table 430.250 gives for 15 hp",
        "B,15,460,19,1765,60",
    );
    // 15 kW are 20.12 hp; between 20 hp (27 A) and 25 hp (34 A) at 460 V that is 27.2 A, at 400 V 31.2 A.
    broken_and_whole(
        "Tag,kW,Volts,FLA,RPM,Hz",
        "current-off-table",
        "A,15,400,14.0,1465,50",
        "31.",
        "B,15,400,28.1,1465,50",
    );
}

#[test]
fn efficiency_against_its_class() {
    let heading = "Tag,kW,Poles,RPM,Volts,FLA,PF,Eff %,Hz,IE class";
    // IEC 60034-30-1, 50 Hz, 4 poles, 15 kW: IE3 92.1 %; less 15 % of the losses (IEC 60034-1 clause 12) 90.9 %.
    broken_and_whole(
        heading,
        "efficiency-off-class",
        "A,15,4,1465,400,28.3,0.85,90.0,50,IE3",
        "92.1 % that IEC 60034-30-1 asks of IE3",
        "B,15,4,1465,400,27.7,0.85,92.1,50,IE3",
    );
    // IE1, 15 kW, 4 poles: 88.7 %, losses 11.3; 95 % leaves 5.
    broken_and_whole(
        heading,
        "efficiency-off-class",
        "A,15,4,1465,400,26.8,0.85,95.0,50,IE1",
        "half the losses of IE1",
        "B,15,4,1465,400,28.6,0.85,89.0,50,IE1",
    );
    // NEMA MG 1 Table 12-12, enclosed, 4 poles, 20 hp: premium 93.0 %.
    broken_and_whole(
        "Tag,HP,Poles,RPM,Volts,FLA,PF,Eff %,Hz,Efficiency class",
        "efficiency-off-class",
        "A,20,4,1765,460,24.6,0.84,90.2,60,Premium",
        "93 %",
        "B,20,4,1765,460,24.0,0.84,93.0,60,Premium",
    );
}

#[test]
fn values_no_motor_of_its_size_has() {
    let heading = "Tag,kW,Poles,RPM,Volts,FLA,PF,Eff %,Hz";
    broken_and_whole(
        heading,
        "value-unlikely",
        "A,15,4,1465,400,,0.85,71,50",
        "IE1 is 88.7 %",
        "B,15,4,1465,400,,0.85,88,50",
    );
    broken_and_whole(
        heading,
        "value-unlikely",
        "A,15,4,1465,400,,0.99,90,50",
        "Power factor 0.99",
        "B,15,4,1465,400,,0.9,90,50",
    );
}

#[test]
fn ratings_of_no_series() {
    // IEC 60072-1: 15, 18.5 kW; NEMA MG 1 10.32.4: 25 hp, which are 18.64 kW.
    broken_and_whole(
        "Tag,kW,RPM,Hz",
        "rating-not-in-series",
        "A,17,1465,50",
        "17 kW",
        "B,18.65,1465,50",
    );
    broken_and_whole(
        "Tag,HP,RPM,Hz",
        "rating-not-in-series",
        "A,22,1765,60",
        "22 hp",
        "B,25,1765,60",
    );
}

#[test]
fn code_letter_against_locked_rotor_current() {
    // √3 · 460 V · 217.5 A / 30 hp = 5.776 kVA/hp: letter G, 5.6 up to 6.3 (NEMA MG 1 10.37.2).
    broken_and_whole(
        "Tag,HP,RPM,Volts,FLA,LRA,Code letter,Hz",
        "code-letter-off",
        "A,30,1770,460,35,217.5,B,60",
        "5.78 kVA/hp, and code letter B stands for 3.15 to 3.55; G would fit",
        "B,30,1770,460,35,217.5,G,60",
    );
}

#[test]
fn frame_against_rating() {
    // EN 50347 (from memory): 30 kW, 4 poles: 200L. NEMA MG 1 Part 13 (from memory): 20 hp, 4 poles: 256T.
    broken_and_whole(
        "Tag,kW,Poles,RPM,Frame,Hz",
        "frame-off-rating",
        "A,30,4,1470,132M,50",
        "usual is 200",
        "B,30,4,1470,200L,50",
    );
    broken_and_whole(
        "Tag,HP,Poles,RPM,Frame,Hz",
        "frame-off-rating",
        "A,20,4,1765,182T,60",
        "usual is 25x",
        "B,20,4,1765,256T,60",
    );
}

#[test]
fn voltage_against_frequency() {
    broken_and_whole(
        "Tag,kW,Volts,RPM,Hz",
        "voltage-off-frequency",
        "A,15,460,1465,50",
        "460 V is a voltage of 60 Hz systems",
        "B,15,400,1465,50",
    );
}

#[test]
fn slip_of_its_size() {
    // 1499 r/min on 15 kW is 0.07 %; 1380 r/min is 8 %.
    let heading = "Tag,kW,Poles,RPM,Hz";
    broken_and_whole(
        heading,
        "plate-slip-unusual",
        "A,15,4,1499,50",
        "0.07 % slip",
        "B,15,4,1465,50",
    );
    broken_and_whole(
        heading,
        "plate-slip-unusual",
        "A,15,4,1380,50",
        "8.00 % slip",
        "B,1.1,4,1380,50",
    );
}

#[test]
fn readings_far_off_the_plate() {
    // 15 kW at 90.6 % take 16.556 kW; 24.8 kW is 1.5 times that.
    broken_and_whole(
        "Tag,kW,Poles,RPM,Eff %,Hz,Measured kW",
        "power-above-plate",
        "A,15,4,1465,90.6,50,24.8",
        "1.50 times the 16.56 kW",
        "B,15,4,1465,90.6,50,15",
    );
    // (1500 − 1430) / (1500 − 1465) = 2.
    broken_and_whole(
        "Tag,kW,Poles,RPM,Hz,Measured RPM",
        "slip-above-plate",
        "A,15,4,1465,50,1430",
        "2.0 times the rated slip",
        "B,15,4,1465,50,1470",
    );
}

#[test]
fn two_currents_and_no_voltage() {
    let report =
        worked("Tag,kW,RPM,Hz,FLA,Measured A,Measured V\nA,55,1480,50,124/62 A,70,400\nB,55,1480,50,97,70,400\n");
    let refused = report["computed"][0]["load_by_current"]["refused"].as_str().unwrap();
    assert!(
        refused.contains("several currents and no voltage to choose by"),
        "{refused}"
    );
    assert_eq!(doubts(&report, 2)[0].0, "pair-unmatched");
    assert!(doubts(&report, 2)[0].1.contains("2 currents stand beside no voltage"));
}

const HEADING: &str = "Tag,kW,Poles,RPM,Volts,FLA,No load amps,PF,Eff %,Hz,Measured V,Measured A,Measured kW,Measured RPM,VFD output Hz,Absorbed kW,Remarks";

/// The best method of a row: load, method, grade.
fn best(report: &Value, index: usize) -> (String, String, String) {
    let row = &report["computed"][index];
    let load = match row["load"]["value"].as_str() {
        Some(value) => format!("{:.2}", value.parse::<f64>().unwrap()),
        None => row["load"]["refused"].as_str().unwrap().to_owned(),
    };
    (
        load,
        row["method"].as_str().unwrap().to_owned(),
        row["grade"].as_str().unwrap().to_owned(),
    )
}

/// Many lists have amps and nothing else: the ratio of currents at plate voltage, not below half load and not behind a drive.
#[test]
fn load_by_current_without_volts() {
    let rows = [
        // 21.5 / 28.1 = 76.51 %; the second was measured at 396 V: 21.5 · 396 / (28.1 · 400) = 75.75 %.
        "A,15,4,1465,400,28.1,,,90.6,50,,21.5,,,,,",
        "B,15,4,1465,400,28.1,,,90.6,50,396,21.5,,,,,",
        // 13 / 28.1 = 46 %.
        "C,15,4,1465,400,28.1,,,90.6,50,,13,,,,,",
        "D,15,4,1465,400,28.1,,0.85,90.6,50,,20,,,,,VFD",
    ];
    let report = worked(&format!("{HEADING}\n{}\n", rows.join("\n")));
    let under = "the current is under half load, where it hardly follows the load, and no better reading is there";
    let fed = "fed by a drive: measure the input power, or note the output frequency";
    for (index, (load, method, grade)) in [
        ("76.51", "current", "D"),
        ("75.75", "current", "D"),
        (under, "none", "none"),
        (fed, "none", "none"),
    ]
    .into_iter()
    .enumerate()
    {
        assert_eq!(
            best(&report, index),
            (load.to_owned(), method.to_owned(), grade.to_owned()),
            "row {}",
            index + 2
        );
    }
    let alone = |index: usize| &report["computed"][index]["load_by_current_alone"];
    assert!(alone(0)["value"].as_str().unwrap().starts_with("76.51"), "{}", alone(0));
    assert!(
        alone(1)["refused"].as_str().unwrap().contains("the voltages are known"),
        "{}",
        alone(1)
    );
    // A list whose currents all have their voltage has no such column.
    let report = worked(&format!("{HEADING}\n{}\n", rows[1]));
    assert!(report["computed"][0].get("load_by_current_alone").is_none());
}

#[test]
fn load_by_the_best_method() {
    let rows = [
        // 11.6 kW · 90.6 % / 15 kW = 70.06 %.
        "A,15,4,1465,400,28.1,11,0.85,90.6,50,400,21.5,11.6,1476,,,",
        // Without power: √((21.5² − 11²) / (28.1² − 11²)) = 71.44 %.
        "B,15,4,1465,400,28.1,11,0.85,90.6,50,400,21.5,,1476,,,",
        // Without no-load current: 21.5 · 396 / (28.1 · 400) = 75.75 %.
        "C,15,4,1465,400,28.1,,,90.6,50,396,21.5,,1476,,,",
        // The current is under half load (13/28.1 = 46 %): slip and voltage, 24 / 35 · (400/400)² = 68.57 %.
        "D,15,4,1465,400,28.1,,0.85,90.6,50,400,13,,1476,,,",
        // Neither current nor voltage: slip, 24 / 35 = 68.57 %.
        "E,15,4,1465,400,28.1,,0.85,90.6,50,,,,1476,,,",
        // Rated slip of 8 r/min and a current under half load.
        "F,15,4,1492,400,28.1,,0.85,90.6,50,400,13,,1495,,,",
        // Nothing measured, the list says the absorbed power: 9 / 15 = 60 %.
        "G,15,4,1465,400,28.1,,0.85,90.6,50,,,,,,9,",
        "H,15,4,1465,400,28.1,,0.85,90.6,50,400,20,,1150,,,VFD",
        // At 40 Hz the field turns at 1200 r/min: (1200 − 1170) / 35 · 1170/1465 = 68.45 %.
        "I,15,4,1465,400,28.1,,0.85,90.6,50,,,,1170,40,,VFD",
        "J,15,4,1465,400,28.1,,0.85,90.6,50,,,,,,,",
        // 30 kW with 400 V and 20 A cannot be (13.86 kVA): the power is not used, √((20² − 11²) / (28.1² − 11²)) = 64.60 % by the currents.
        "K,15,4,1465,400,28.1,11,0.85,90.6,50,400,20,30,1476,,,",
        // With the power factor: no-load current 28.1 · (0.526783 − 0.85 · (3 − √8)) = 10.70 A, at 396 V as at plate voltage
        // 21.5 / 0.99 = 21.72 A, and √((21.72² − 10.70²) / (28.1² − 10.70²)) · 0.99² = 71.28 %.
        "L,15,4,1465,400,28.1,,0.85,90.6,50,396,21.5,,1476,,,",
        // Below half load by it, although the ratio of currents is 57 %: 16 A give √((16² − 10.7²) / (28.1² − 10.7²)) = 45.77 %.
        "M,15,4,1465,400,28.1,,0.85,90.6,50,,16,,,,,",
        // The plate leaves its efficiency out: 15 kW / (√3 · 400 V · 28.1 A · 0.85) = 90.65 %, and 11.6 · 90.65 % / 15 = 70.10 %.
        "N,15,4,1465,400,28.1,,0.85,,50,400,21.5,11.6,1476,,,",
        // Its values do not fit together (0.5 for 0.85: 154 %), so the table: IE1 of 15 kW, 4 poles: 88.7 %, 68.59 %.
        "O,15,4,1465,400,28.1,,0.5,,50,400,21.5,11.6,1476,,,",
    ];
    let report = worked(&format!("{HEADING}\n{}\n", rows.join("\n")));
    let expected = [
        ("70.06", "measured power", "A"),
        ("71.44", "current and no-load current", "B"),
        ("75.75", "current", "D"),
        ("68.57", "slip and voltage", "D"),
        ("68.57", "slip", "E"),
        (
            "the current is under half load, where it hardly follows the load, and no better reading is there",
            "none",
            "none",
        ),
        ("60.00", "assumed: the list says the absorbed power", "F"),
        (
            "fed by a drive: measure the input power, or note the output frequency",
            "none",
            "none",
        ),
        ("68.45", "slip", "E"),
        ("no reading allows a load", "none", "none"),
        ("64.60", "current and no-load current", "B"),
        ("71.28", "current and power factor", "C"),
        (
            "the current is under half load, where it hardly follows the load, and no better reading is there",
            "none",
            "none",
        ),
        ("70.10", "power, efficiency worked", "B"),
        ("68.59", "power, efficiency assumed", "C"),
    ];
    for (index, (load, method, grade)) in expected.into_iter().enumerate() {
        assert_eq!(
            best(&report, index),
            (load.to_owned(), method.to_owned(), grade.to_owned()),
            "row {}",
            index + 2
        );
    }
    // All methods stand side by side.
    let first = &report["computed"][0];
    for key in [
        "load_by_power",
        "load_by_no_load_current",
        "load_by_current",
        "load_by_slip",
        "load_by_slip_voltage",
    ] {
        assert!(first[key]["value"].is_string(), "{key}");
    }
    assert_eq!(
        report["computed"][5]["load"]["unit"].as_str(),
        Some("%"),
        "a refused load still has its unit"
    );
}

#[test]
fn methods_that_disagree() {
    // 11.6 kW give 70 %, 27 A of 28.1 A give 96 % and with the power factor 95 %, which takes the place of the ratio.
    let report = worked(&format!(
        "{HEADING}\nA,15,4,1465,400,28.1,,0.85,90.6,50,400,27,11.6,1476,,,\nB,15,4,1465,400,28.1,,0.85,90.6,50,400,21,11.6,1476,,,\nC,15,4,1465,400,28.1,,0.85,90.6,50,400,28,9,1490,,,\n"
    ));
    let of = |row: u64| -> Vec<(String, String)> {
        report["doubts"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|doubt| doubt["source_row"] == row && doubt["rule"] == "loads-disagree")
            .map(|doubt| {
                (
                    doubt["level"].as_str().unwrap().to_owned(),
                    doubt["text"].as_str().unwrap().to_owned(),
                )
            })
            .collect()
    };
    assert_eq!(of(2).len(), 1);
    assert_eq!(of(2)[0].0, "note");
    assert!(
        of(2)[0]
            .1
            .contains("70 % by measured power, 95 % by current and power factor, 69 %"),
        "{:?}",
        of(2)
    );
    assert_eq!(of(3), []);
    assert_eq!(of(4)[0].0, "warning");
    // 16 A are 57 % by the ratio and 46 % by the power factor, too little for a load: the ratio does not stand in for it.
    let report = worked(&format!(
        "{HEADING}\nA,15,4,1465,400,28.1,,0.85,90.6,50,400,16,6.6,1484,,,\n"
    ));
    let rules = report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|doubt| doubt["rule"].as_str());
    assert!(
        !rules.clone().any(|rule| rule == Some("loads-disagree")),
        "{:?}",
        report["doubts"]
    );
}

/// A form that was filled from the plate: two readings the same to the last digit. One alone, or the voltage with none of them, is
/// usual.
#[test]
fn readings_copied_from_the_plate() {
    let rows = [
        "A,15,4,1465,400,28.1,,0.85,90.6,50,400,28.1,,1465,,,",
        "B,15,4,1465,400,28.1,,0.85,90.6,50,396,28.1,,1465,,,",
        "C,15,4,1465,400,28.1,,0.85,90.6,50,400,20.3,,1476,,,",
        "D,15,4,1465,400,28.1,,0.85,90.6,50,396,28.1,,1466,,,",
        "E,15,4,1465,400,28.1,,0.85,90.6,50,400,21,11.6,1465,,,",
    ];
    let report = worked(&format!("{HEADING}\n{}\n", rows.join("\n")));
    let doubts = report["doubts"].as_array().unwrap().iter();
    let told: Vec<(u64, &str)> = doubts
        .filter(|doubt| doubt["rule"] == "readings-as-plate")
        .map(|doubt| (doubt["source_row"].as_u64().unwrap(), doubt["text"].as_str().unwrap()))
        .collect();
    let rest = "are those of the plate to the last digit: copied rather than measured?";
    assert_eq!(
        told,
        [
            (
                2,
                &*format!("Measured current 28.1 A, measured speed 1465 r/min and measured voltage 400 V {rest}")
            ),
            (
                3,
                &*format!("Measured current 28.1 A and measured speed 1465 r/min {rest}")
            ),
            (
                6,
                &*format!("Measured speed 1465 r/min and measured voltage 400 V {rest}")
            ),
        ]
    );
    // The load still stands, and its grade says that it is doubted; measured power is another reading.
    assert_eq!(best(&report, 0).2, "C, doubted");
    assert_eq!(best(&report, 4).2, "A");
}

/// A total that agrees with rows of which some stand by says how much of it does.
#[test]
fn a_total_with_standby_says_so() {
    let report = |total: &str| {
        let text = format!(
            "Tag;Rated kW;Volts;Amps;RPM;Remarks\nA1;11;400;21.2;1465;Duty\nA2;11;400;21.2;1465;Standby\n\
             A3;15;400;28.5;1465;Duty\nTotal;{total};;;;\n"
        );
        serde_json::to_value(&imported(&text).report).unwrap()
    };
    let all = report("37");
    assert_eq!(all["totals"][0]["how"], "each row once, of it 11 kW standby");
    assert_eq!(all["totals"][0]["agrees"], true);
    // A total without them, and one that agrees with nothing, hold no standby that could be told.
    assert!(!report("26")["totals"][0]["how"].as_str().unwrap().contains("of it"));
    assert!(!report("44")["totals"][0]["how"].as_str().unwrap().contains("of it"));
}

/// A total with or without a motor that is out of service: which of the two it is, is told.
#[test]
fn a_total_with_motors_out_of_service_says_so() {
    let report = |text: &str| serde_json::to_value(&imported(text).report).unwrap();
    for (printed, how, agrees) in [
        (
            48,
            "each row once, of it 11 kW standby, of it 15 kW out of service or gone",
            true,
        ),
        (33, "each row once, without those out of service or gone", true),
        (
            22,
            "times quantity, without those standing by, out of service or gone",
            true,
        ),
    ] {
        let all = report(&format!(
            "Tag;kW;V;rpm;Remarks\nM1;22;400;1465;\nM2;11;400;1465;standby\nM3;15;400;1465;hors service\nTotal;{printed};;;\n"
        ));
        assert_eq!(all["totals"][0]["how"], how);
        assert_eq!(all["totals"][0]["agrees"], agrees, "{printed}");
    }
    let all =
        report("Tag;kW;V;rpm;Qty;Remarks\nM1;22;400;1465;2;\nM2;11;400;1465;1;standby\nM3;15;400;1465;2;demolished\n");
    assert_eq!(
        all["ratings"],
        serde_json::json!({"unit": "kW", "on_duty": 44.0, "standby": 11.0, "out_of_service": 30.0})
    );
}

/// A doubt names the column of the sheet that is looked at first; one of a row as a whole names none. Columns by hand: 4 is the
/// plate speed, 6 the measured power.
#[test]
fn a_doubt_names_its_column() {
    let report = worked(
        "Tag,Rated kW,Poles,Speed,Rated V,Measured input kW,Measured A,Measured V
M-1,9.2,4,1500,400,79.6,13,400
M-2,7.5,4,1450,400,5.1,10,400
M-2,7.5,4,1450,400,5.2,10,400
",
    );
    let doubts = report["doubts"].as_array().unwrap();
    let column = |rule: &str| {
        let doubt = doubts.iter().find(|doubt| doubt["rule"] == rule);
        doubt.unwrap_or_else(|| panic!("{rule}: {doubts:#?}"))["column"].clone()
    };
    assert_eq!(column("plate-speed-synchronous"), 4);
    assert_eq!(column("power-above-apparent"), 6);
    assert!(column("tag-twice").is_null());
}
