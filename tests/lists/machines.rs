//! What rows say of their motors beside numbers: drives, other machines, motors that are gone, readings in rows and cells of their
//! own.
//!
//! Lists and machines are invented; what is right was written down from the rows by hand.

use serde_json::Value;

use crate::headings::{reading, report};

/// The severities and rules of the doubts of a row.
fn doubts(report: &Value, row: u64) -> Vec<String> {
    let doubts = report["doubts"].as_array().unwrap().iter();
    doubts
        .filter(|doubt| doubt["source_row"] == row)
        .map(|doubt| {
            format!(
                "{} {}",
                doubt["level"].as_str().unwrap(),
                doubt["rule"].as_str().unwrap()
            )
        })
        .collect()
}

fn has(report: &Value, row: u64, rule: &str) -> bool {
    doubts(report, row).iter().any(|doubt| doubt.ends_with(rule))
}

fn row_as(report: &Value, row: u64) -> String {
    let rows = report["rows"].as_array().unwrap();
    let row = rows.iter().find(|found| found["source_row"] == row).unwrap();
    row["as"].as_str().unwrap().to_owned()
}

/// A filled cell under a heading of drives is a drive, whatever stands in it; a no, a starter and nothing are none.
#[test]
fn what_fills_a_column_of_drives() {
    for (heading, cell, fed) in [
        ("VFD", "x", true),
        ("VFD", "✓", true),
        ("VFD", "Alto 300", true),
        ("VFD kW", "7.5", true),
        ("VFD", "yes", true),
        ("VFD", "no", false),
        ("VFD", "-", false),
        ("VFD", "", false),
        ("VFD", "0", false),
        ("VFD", "DOL", false),
        ("Starter", "V.F.D.", true),
        ("Starter", "FC", true),
        ("Starter", "VS", true),
        ("Starter", "S/D", false),
        ("Starter", "DOL (was VSD)", false),
        ("Starter / VFD", "star-delta", false),
        ("Remarks", "candidate for VFD", false),
        ("Remarks", "VSD proposed", false),
        ("Remarks", "not on VSD", false),
        ("Remarks", "inverter duty motor", false),
        ("Remarks", "no leak, on VSD", true),
        ("Output Hz", "42", true),
        ("VSD Hz", "42", true),
        ("Measured Hz", "49.9", false),
    ] {
        let found = report(&format!(
            "Tag;kW;V;Hz;rpm;Meas rpm;{heading}\nM1;7.5;400;50;1465;1478;{cell}\nM2;7.5;400;50;1465;1478;\n"
        ));
        assert_eq!(has(&found, 2, "drive-fed"), fed, "{heading}: {cell}");
    }
    // A column of starters does not hide the one of drives.
    let found = report("Tag;kW;V;rpm;Starter;VFD\nM1;7.5;400;1465;DOL;\nM2;7.5;400;1465;;x\n");
    assert!(!has(&found, 2, "drive-fed") && has(&found, 3, "drive-fed"));
    let found = report("Tag;kW;V;rpm;Starter\nM1;7.5;400;1465;S/D\nM2;7.5;400;1465;DOL\n");
    assert_eq!(reading(&found, 2, "drive"), "S/D");
}

/// Words near another one take it back.
#[test]
fn standby_and_gone() {
    for (remark, standby) in [
        ("standby", true),
        ("not standby", false),
        ("spare parts ok", false),
        ("ex standby pump", false),
        ("noisy, standby", true),
    ] {
        let found = report(&format!(
            "Tag;kW;V;rpm;Remarks\nM1;7.5;400;1465;{remark}\nM2;7.5;400;1465;\n"
        ));
        let row = &found["rows"].as_array().unwrap()[1];
        assert_eq!(row["standby"] == true, standby, "{remark}");
    }
    for (remark, gone) in [
        ("DELETED", true),
        ("removed", true),
        ("scrapped 2019", true),
        ("Motor stillgelegt", true),
        ("guard removed", false),
        ("not deleted", false),
    ] {
        let found = report(&format!(
            "Tag;kW;V;rpm;Remarks\nM1;7.5;400;1465;{remark}\nM2;7.5;400;1465;\n"
        ));
        assert_eq!(has(&found, 2, "motor-gone"), gone, "{remark}");
    }

    let found = report("Tag;kW;V;rpm;Remarks\nM1;7.5;400;1465;hors service\nM2;7.5;400;1465;-\n");
    assert_eq!(reading(&found, 2, "remarks"), "hors service");
    assert_eq!(reading(&found, 3, "remarks"), "-");
}

/// A motor that neither runs nor stands by is marked and told apart, in whichever column it is said.
#[test]
fn out_of_service() {
    for (heading, words, rule) in [
        ("Remarks", "hors service", "out-of-service"),
        ("Remarks", "HS", "out-of-service"),
        ("Remarks", "out of service since May", "out-of-service"),
        ("Bemerkung", "außer Betrieb", "out-of-service"),
        ("Observaciones", "fuera de servicio", "out-of-service"),
        ("Observações", "fora de serviço", "out-of-service"),
        ("Status", "Out of service", "out-of-service"),
        ("Duty/Standby", "out of service", "out-of-service"),
        ("Load type", "out of service", "out-of-service"),
        ("Measured A", "out of service", "out-of-service"),
        ("Status", "demolished", "motor-gone"),
        ("Load type", "removed", "motor-gone"),
        ("Remarks", "motor was removed", "motor-gone"),
        ("Bemerkung", "Pumpe ausgebaut", "motor-gone"),
        ("Status", "OOS", "out-of-service"),
        ("Bemerkung", "a. B.", "out-of-service"),
        ("Remarks", "was out of service in 2019", ""),
        ("Remarks", "HS bearing noisy", ""),
        ("Remarks", "pump guard removed", ""),
        ("Remarks", "VFD removed", ""),
        ("Remarks", "in service", ""),
    ] {
        let found = report(&format!(
            "Tag;kW;V;rpm;{heading}\nM1;7.5;400;1465;{words}\nM2;7.5;400;1465;\nM3;11;400;1465;\n"
        ));
        let row = &found["rows"].as_array().unwrap()[1];
        assert_eq!(row["out_of_service"] == true, !rule.is_empty(), "{heading}: {words}");
        let told = rule.is_empty() || has(&found, 2, rule);
        assert!(told, "{heading}: {words}: {:?}", doubts(&found, 2));
        let out = if rule.is_empty() { 0.0 } else { 7.5 };
        let sum = found["ratings"]["out_of_service"].as_f64().unwrap_or(0.0);
        assert_eq!(sum, out, "{heading}: {words}");
    }
}

/// No load by slip or current of what is no three-phase induction motor.
#[test]
fn other_machines_are_told() {
    for (heading, cell, other) in [
        ("Type", "DC", true),
        ("Type", "synchronous", true),
        ("Type", "servo", true),
        ("Type", "PM", true),
        ("Type", "1~", true),
        ("Type", "cage", false),
        ("Remarks", "slip-ring motor", true),
        ("Remarks", "Gleichstrommotor", true),
        ("Remarks", "read at 3 PM", false),
        ("Remarks", "not a single phase motor", false),
        ("Phases", "1", true),
        ("Phases", "3", false),
    ] {
        let found = report(&format!(
            "Tag;kW;V;rpm;{heading}\nM1;7.5;400;1465;{cell}\nM2;7.5;400;1465;\nM3;11;400;1465;\n"
        ));
        assert_eq!(has(&found, 2, "other-machine"), other, "{heading}: {cell}");
    }
    for (power, volts, other) in [
        ("CC 40 kW", "440", true),
        ("40", "440 V=", true),
        ("40", "440 VDC", true),
        ("40", "440 V", false),
    ] {
        let found = report(&format!(
            "Rep;Puissance (kW);Tension;tr/min\nM1;{power};{volts};1750\nM2;7,5;400;1465\n"
        ));
        assert_eq!(has(&found, 2, "other-machine"), other, "{power} {volts}");
    }
    let found = report("Tag;Load type;kW;V;rpm\nM1;Motor;7.5;400;1465\nM2;Heater;2;400;\nM3;Feeder;30;400;\n");
    assert!(!has(&found, 2, "other-machine") && has(&found, 3, "not-a-motor") && has(&found, 4, "other-machine"));
    let found = report("Tag;kW;Supply;rpm\nM1;0.75;230/1/50;1420\nM2;7.5;400/3/50;1465\n");
    assert!(has(&found, 2, "other-machine") && !has(&found, 3, "other-machine"));
    let found = report("Tag;HP;V;rpm\nM1;0.5;115;1725\nM2;7.5;460;1765\n");
    assert_eq!(doubts(&found, 2), ["warning other-machine"]);
}

/// Phases far apart are told; where one is under half of another the mean says nothing.
#[test]
fn phases_far_apart() {
    for (cells, level) in [
        ("2;11;12", Some("error phases-unequal")),
        ("0;12;12", Some("error phases-unequal")),
        ("9;11;13", Some("warning phases-unequal")),
        ("11.4;11;12", None),
    ] {
        let found = report(&format!(
            "Tag;kW;V;FLA;rpm;I L1;I L2;I L3\nM1;7.5;400;14.5;1465;{cells}\nM2;7.5;400;14.5;1465;12;12;12\n"
        ));
        let told = doubts(&found, 2);
        assert_eq!(told.first().map(String::as_str), level, "{cells}");
    }
    let found = report("Tag;kW;V;FLA;rpm;Measured A\nM1;7.5;400;14.5;1465;9-11-13\nM2;7.5;400;14.5;1465;12\n");
    assert_eq!(doubts(&found, 2), ["warning phases-unequal"]);
}

/// Three phases in one cell, as people write them; of two numbers none is taken, and that is told.
#[test]
fn phases_in_one_cell() {
    for cell in [
        "11.2 11.0 10.9",
        "11.2, 11.0, 10.9",
        "L1=11.2 L2=11.0 L3=10.9",
        "11.2/11.0/10.9",
        "L1: 11.2; L2: 11.0; L3: 10.9",
    ] {
        let found = report(&format!(
            "Tag;kW;V;FLA;rpm;Measured A\nM1;7.5;400;14.5;1465;\"{cell}\"\nM2;7.5;400;14.5;1465;12\n"
        ));
        assert_eq!(reading(&found, 2, "measured_current"), "11.0333 A", "{cell}");
    }
    for cell in ["8-9", "11.2/11.0"] {
        let found = report(&format!(
            "Tag;kW;V;FLA;rpm;Measured A\nM1;7.5;400;14.5;1465;{cell}\nM2;7.5;400;14.5;1465;12\n"
        ));
        assert!(has(&found, 2, "several-values"), "{cell}: {}", found["doubts"]);
    }
}

/// Units in a column of their own, as maintenance systems write them.
#[test]
fn units_in_columns_of_their_own() {
    let found = report(
        "EQUNR;RATED_POWER;POWER_UOM;RATED_CURR;RATED_SPEED;SPEED_UOM;POWER_FACT;LAST_CURR;START_DATE\n\
         P1;37000;W;67;1480;RPM;0.85;51.2;2019-03-01\nP2;50;HP;67;24.5;RPS;0.85;50;2019-03-01\nP3;15;KW;28;1470;mm;0.85;20;\n",
    );
    assert_eq!(reading(&found, 2, "rated_power"), "37 kW");
    assert_eq!(reading(&found, 3, "rated_power"), "50 hp");
    assert_eq!(reading(&found, 3, "rated_speed"), "1470 r/min");
    assert_eq!(reading(&found, 4, "rated_speed"), "-");
    assert!(has(&found, 4, "text-not-read"));
    assert_eq!(reading(&found, 2, "rated_current"), "67 A");
    assert_eq!(reading(&found, 2, "measured_current"), "51.2 A");
    assert_eq!(reading(&found, 2, "power_factor"), "0.85");
    assert!(!has(&found, 2, "drive-fed"));
}

/// The plate and under it what was measured: one motor.
#[test]
fn readings_in_the_row_below() {
    let found = report(
        "Kennzeichen;Werte;P [kW];I [A];n [1/min];U [V]\nH1;Typenschild;90;157;1485;400\n;gemessen;61;115;1490;398\n\
         F1;Typenschild;7,5;14,5;1465;400\n;gemessen;5,1;10,9;1476;401\n",
    );
    assert_eq!(row_as(&found, 3), "readings");
    assert_eq!(reading(&found, 2, "rated_power"), "90 kW");
    assert_eq!(reading(&found, 2, "measured_power"), "61 kW");
    assert_eq!(reading(&found, 2, "measured_current"), "115 A");
    assert_eq!(reading(&found, 4, "measured_speed"), "1476 r/min");
    assert_eq!(reading(&found, 4, "measured_voltage"), "401 V");
}

/// A range of voltages is no pair of them: which end was taken is told.
#[test]
fn a_range_of_voltages_is_told() {
    let found = report("Tag;kW;V;FLA;rpm;Measured V\nM1;7.5;380-420;14.5;1465;398\nM2;7.5;230/400;25/14.5;1465;398\n");
    assert_eq!(doubts(&found, 2), ["warning several-values"]);
    assert_eq!(doubts(&found, 3), Vec::<String>::new());
}

/// A row of another machine, or with a count of its own, is not counted by the row before.
#[test]
fn counted_twice_or_not() {
    let head = "Tag;Description;kW;V;rpm;Qty\n";
    let found = report(&format!("{head}M-1;Pump;7.5;400;1465;2\nM-2;Pump;7.5;400;1465;1\n"));
    assert!(has(&found, 2, "counted-twice"));
    for second in [
        "M-2;Fan;7.5;400;1465;1",
        "M-2;Pump;11;400;1465;1",
        "M-2;Pump;7.5;400;1465;2",
    ] {
        let found = report(&format!("{head}M-1;Pump;7.5;400;1465;2\n{second}\n"));
        assert!(!has(&found, 2, "counted-twice"), "{second}");
    }
    assert_eq!(
        reading(
            &report(&format!("{head}X;Pump;7.5;400;1465;1\nY;Pump;7.5;400;1465;1\n")),
            2,
            "tag"
        ),
        "X"
    );
}

/// Page lines, signatures, numbered areas and totals in the remarks are no motors and no areas.
#[test]
fn rows_between_motors() {
    let found = report(
        "Sr no;Equipment;kW;V;rpm;Remarks\n1;RAW WATER;;;;\n1.1;Pump;7.5;400;1465;\nPage 1 of 2;;;;;\nMotor list (cont.);;;;;\n\
         1.2;Pump two;7.5;400;1465;\n2;TREATED WATER;;;;\n2.1;Pump three;30;400;1475;\n;;45;;;Total connected load\nPrepared: J.S.;Checked: K.L.;;;;\n",
    );
    let called: Vec<String> = (2..=10).map(|row| row_as(&found, row)).collect();
    assert_eq!(
        called,
        [
            "area", "motor", "note", "note", "motor", "area", "motor", "total", "note"
        ]
    );
    assert_eq!(reading(&found, 6, "area"), "RAW WATER");
}

/// Direct current is told wherever it stands; the number beside it is read, and nothing of slip is said.
#[test]
fn direct_current_is_told() {
    let found = report(
        "Tag;kW;V;rpm;A;Meas A;Type\nM1;CC 37 kW;440;1500;100;80;\nM2;37 kW DC;440;1500;100;80;\nM3;11;400;1465;21;15;Gleichstrom\n\
         M4;11;400;1465;21;15;corriente continua\nM5;11;460 VDC;1465;21;15;\nM6;11;400;1465;21;15;\n",
    );
    for row in 2..=6 {
        assert_eq!(
            doubts(&found, row).first().map(String::as_str),
            Some("error other-machine"),
            "{row}"
        );
        assert!(
            !has(&found, row, "plate-speed-synchronous") && !has(&found, row, "text-not-read"),
            "{row}"
        );
        let load = &found["computed"][row as usize - 2]["load"];
        assert!(load["value"].is_null(), "{load}");
    }
    assert_eq!(reading(&found, 2, "rated_power"), "37 kW");
    assert_eq!(reading(&found, 3, "rated_power"), "37 kW");
    assert_eq!(reading(&found, 6, "voltage"), "460 V");
    assert!(doubts(&found, 7).is_empty());
}

/// Who made a list, and when, is no motor, wherever it stands.
#[test]
fn signatures_are_notes() {
    let found = report(
        "Tag;kW;V;rpm;A\nM1;11;400;1465;21\nPrepared: J.S.;;;;\nn/a;7.5;400;1465;15\n-;7.5;400;1465;15\nChecked by;K.L.;;;\nDate:;2024-05-01;;;\n\
         Geprüft: A.B.;;;;\nData;3/4/24;;;\nM2;11;400;1465;21\n",
    );
    for (row, called) in [
        (3, "note"),
        (6, "note"),
        (7, "note"),
        (8, "note"),
        (9, "note"),
        (10, "motor"),
    ] {
        assert_eq!(row_as(&found, row), called, "{row}");
    }
    assert_eq!(reading(&found, 4, "tag"), "-");
    assert_eq!(reading(&found, 5, "tag"), "-");
}

/// The part of the plant and the drive are both kept.
#[test]
fn plant_and_drive() {
    let found =
        report("Anlage;Antrieb;kW;V;A;1/min\nFaulturm;Rührwerk 1;5,5;400;11;1450\nRechen;Motor 2;7,5;400;15;1460\n");
    assert_eq!(reading(&found, 2, "area"), "Faulturm");
    assert_eq!(reading(&found, 2, "description"), "Rührwerk 1");
    let found = report("Anlage;kW;V;A;1/min\nRührwerk 1;5,5;400;11;1450\nPumpe 2;7,5;400;15;1460\n");
    assert_eq!(reading(&found, 2, "description"), "Rührwerk 1");
    let found = report("Area;Drive;kW;V;A;rpm\nNorth;Mixer;5.5;400;11;1450\nSouth;Pump;7.5;400;15;1460\n");
    assert_eq!(reading(&found, 2, "description"), "Mixer");
    let found = report("Tag;Drive;kW;V;A;rpm\nM1;VFD;5.5;400;11;1450\nM2;;7.5;400;15;1460\n");
    assert!(has(&found, 2, "drive-fed"));
}

/// Cables, feeders, spare ways and sockets are set aside with the reason; the one pump among them is read.
#[test]
fn what_a_switchboard_feeds_besides_motors() {
    let found = report(
        "Tag;Description;kW;V;A;Remarks\nP-1;Pump;11;400;21;fed from the incomer\nC-1;Control cable;0.5;230;2;\nF-1;Feeder to MCC 2;110;400;200;\n\
         SPARE 1;;;;;\nSP-2;Spare;11;400;21;\nSP-3;SPACE;;400;;\nSP-4;Spare FVNR size 2;11;400;;\nS-1;Socket outlets;3.5;400;16;\nL-1;Lighting;2;230;9;\n\
         CV-1;Apron feeder;11;400;21;\nP-2;Spare pump;11;400;21;\n",
    );
    for row in [3, 4, 6, 7, 8, 9, 10] {
        assert_eq!(row_as(&found, row), "note", "{row}");
        assert!(has(&found, row, "not-a-motor"), "{row}");
    }
    assert_eq!(row_as(&found, 5), "note");
    for row in [2, 11, 12] {
        assert_eq!(row_as(&found, row), "motor", "{row}");
        assert_eq!(reading(&found, row, "area"), "-", "{row}");
    }
}
