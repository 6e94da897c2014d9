//! What headings mean: whose value a column holds, in which unit, and who is told where it cannot be known.
//!
//! Lists and machines are invented; what is right was written down from the rows by hand.

use polepair::plates::{Options, import};
use polepair::workbook::{Cell, Row};
use serde_json::Value;

use crate::packages::file;

pub fn report(text: &str) -> Value {
    let (_folder, path) = file("list.csv", text.as_bytes());
    let import = import(&path, &Options::default()).unwrap();
    serde_json::to_value(&import.report).unwrap()
}

/// What each column is read as, by its heading.
pub fn read_as(report: &Value, heading: &str) -> String {
    let columns = report["columns"].as_array().unwrap();
    let column = columns.iter().find(|column| column["heading"] == heading);
    let column = column.unwrap_or_else(|| panic!("{heading} is no column of {columns:?}"));
    column["reads"].as_str().unwrap_or("-").to_owned()
}

/// Value and unit of a reading of a source row.
pub fn reading(report: &Value, row: u64, key: &str) -> String {
    let rows = report["rows"].as_array().unwrap();
    let row = rows.iter().find(|found| found["source_row"] == row).unwrap();
    let reading = &row["readings"][key];
    let value = match &reading["value"] {
        Value::String(text) => text.clone(),
        Value::Array(values) => {
            let values: Vec<&str> = values.iter().map(|value| value.as_str().unwrap()).collect();
            values.join("/")
        }
        _ => return "-".to_owned(),
    };
    match reading["unit"].as_str().unwrap_or("1") {
        "1" => value,
        unit => format!("{value} {unit}"),
    }
}

pub fn told(report: &Value, word: &str) -> bool {
    let doubts = report["doubts"].as_array().unwrap();
    doubts
        .iter()
        .any(|doubt| doubt["text"].as_str().unwrap().contains(word))
}

/// A breaker's rating is no reading of the motor beside it, in any language, with and without a column of plate currents.
#[test]
fn what_protects_a_motor_is_not_its_current() {
    for heading in [
        "MCB (A)",
        "Breaker (A)",
        "Fuse A",
        "Sicherung [A]",
        "Overload setting (A)",
        "Relais th. (A)",
        "Disjoncteur (A)",
        "Disjuntor (A)",
        "Guardamotor",
        "Contactor A",
        "CT ratio A",
        "Réglage relais thermique (A)",
        "Motorschutz Einst. [A]",
    ] {
        let with = report(&format!(
            "Tag;kW;V;FLA;rpm;{heading}\nM1;5.5;400;10.8;1465;16\nM2;4;400;8.1;1455;10\n"
        ));
        assert_eq!(read_as(&with, heading), "-", "{heading}");
        assert_eq!(reading(&with, 2, "measured_current"), "-", "{heading}");
        let without = report(&format!(
            "Tag;kW;V;rpm;{heading}\nM1;5.5;400;1465;16\nM2;4;400;1455;10\n"
        ));
        assert_eq!(reading(&without, 2, "rated_current"), "-", "{heading}");
    }
}

/// Brake horsepower of the machine is in hp, and no second rating of the motor.
#[test]
fn brake_horsepower_is_in_horsepower() {
    let found = report("Tag;HP;BHP;RPM;V\nP1;10;8.1;1760;460\nP2;25;19;1770;460\n");
    assert_eq!(reading(&found, 2, "rated_power"), "10 hp");
    assert_eq!(reading(&found, 2, "absorbed_power"), "8.1 hp");
    assert_eq!(
        reading(&report("Tag;Horsepower;RPM;V\nP1;10;1760;460\n"), 2, "rated_power"),
        "10 hp"
    );
}

/// The readings of the motors of a source row, in order.
fn of_row(report: &Value, row: u64, key: &str) -> Vec<String> {
    let rows = report["rows"].as_array().unwrap().iter();
    let of_row = rows.filter(|found| found["source_row"] == row);
    of_row
        .map(|found| {
            let reading = &found["readings"][key];
            reading["value"].as_str().unwrap_or("-").to_owned()
        })
        .collect()
}

/// Two machines in one row, each with its rating: two motors, which share the columns that name none. Where a rating is missing none
/// is taken.
#[test]
fn two_machines_in_one_row() {
    let found = report("AHU;Supply fan kW;Extract fan kW;V;rpm\nA1;7.5;5.5;400;1465\nA2;11;-;400;1470\n");
    assert_eq!(of_row(&found, 2, "rated_power"), ["7.5", "5.5"]);
    assert_eq!(of_row(&found, 2, "description"), ["Supply fan", "Extract fan"]);
    assert_eq!(of_row(&found, 2, "voltage"), ["400", "400"]);
    assert_eq!(of_row(&found, 3, "rated_power"), ["11"]);
    assert!(told(&found, "Each row holds 2 motors (Supply fan, Extract fan)"));
    let twice = found["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .any(|doubt| doubt["rule"] == "tag-twice");
    assert!(!twice, "{}", found["doubts"]);
    // In two lines, and said to be motors: the same.
    let found = report(
        "AHU;Supply fan motor;;;Extract fan motor;;\n;kW;A;rpm;kW;A;rpm\nA1;7.5;14.5;1465;5.5;10.8;1466\nA2;11;21;1470;7.5;14.5;1465\n",
    );
    assert_eq!(of_row(&found, 3, "rated_power"), ["7.5", "5.5"]);
    assert_eq!(of_row(&found, 3, "rated_speed"), ["1465", "1466"]);
    assert_eq!(of_row(&found, 4, "measured_current"), ["-", "-"]);
    // Told apart by a number, or by a word behind the machine.
    for (first, second) in [
        ("Motor 1", "Motor 2"),
        ("Pump 1 motor", "Pump 2 motor"),
        ("Fan motor 1", "Fan motor 2"),
        ("Moteur ventilateur soufflage", "Moteur ventilateur reprise"),
        ("Ventilateur de soufflage", "Ventilateur de reprise"),
    ] {
        let found = report(&format!(
            "Tag;{first} kW;{first} A;{first} rpm;{second} kW;{second} A;{second} rpm;V\n\
             A1;7.5;14.5;1465;5.5;10.8;1455;400\nA2;11;21;1470;7.5;14.5;1465;400\n"
        ));
        assert_eq!(of_row(&found, 2, "rated_power"), ["7.5", "5.5"], "{first}");
        assert_eq!(of_row(&found, 2, "rated_current"), ["14.5", "10.8"], "{first}");
        assert_eq!(of_row(&found, 3, "voltage"), ["400", "400"], "{first}");
    }
    // Speeds and currents of two machines, and one rating: whose it is nobody says.
    let found = report(
        "AHU;kW;Supply fan rpm;Supply fan A;Extract fan rpm;Extract fan A;V\nA1;7.5;1465;14.5;1450;11;400\nA2;11;1470;21;1455;15;400\n",
    );
    assert_eq!(of_row(&found, 2, "rated_current"), ["-"]);
    assert!(told(&found, "Extract fan A"), "{}", found["doubts"]);
    // One machine under two names.
    let found =
        report("Tag;Pump motor kW;Pump motor rpm;Pump casing rpm;V\nA1;7.5;1465;1465;400\nA2;11;1470;1470;400\n");
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW");
    // One machine alone: its motor, with a doubt.
    let found = report("AHU;Supply fan kW;V;rpm\nA1;7.5;400;1465\nA2;11;400;1470\n");
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW");
    assert!(told(&found, "Supply fan kW"), "{}", found["doubts"]);
    let found = report("Tag;Pump kW;Motor kW;V;rpm\nA1;6.1;7.5;400;1465\nA2;9;11;400;1470\n");
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW");
    assert_eq!(reading(&found, 2, "absorbed_power"), "6.1 kW");
    // What a fan moves is no name.
    let found = report("MARK;SUPPLY FAN CFM;MOTOR HP;V;RPM\nA1;12000;15;460;1765\nA2;8000;10;460;1760\n");
    assert_eq!(reading(&found, 2, "description"), "-");
}

/// Efficiency and speed of the driven machine are not the motor's, whichever stands first.
#[test]
fn the_driven_machine_is_not_the_motor() {
    for other in [
        "Pump efficiency",
        "Eff pump %",
        "Fan efficiency",
        "Hydraulic efficiency (%)",
    ] {
        let found = report(&format!(
            "Tag;kW;V;{other};Motor efficiency;Meas kW\nP1;7.5;400;72;90.4;6.2\nP2;11;400;70;91;8\n"
        ));
        assert_eq!(reading(&found, 2, "efficiency"), "90.4 %", "{other}");
    }
    let found = report("Tag;HP;V;FAN RPM;MOTOR RPM\nF1;10;460;1120;1765\nF2;5;460;980;1755\n");
    assert_eq!(reading(&found, 2, "rated_speed"), "1765 r/min");
    assert_eq!(reading(&found, 2, "measured_speed"), "-");
    assert_eq!(reading(&found, 2, "driven_speed"), "1120 r/min");
}

/// Of values for parts of the load the one for the full load is the plate's.
#[test]
fn values_for_parts_of_the_load() {
    for (half, full) in [("η 50%", "η 100%"), ("Eff 1/2", "Eff 4/4"), ("Eff. 75 %", "Eff. 100 %")] {
        let found = report(&format!(
            "Tag;kW;V;rpm;{half};{full}\nM1;7.5;400;1465;88;90.4\nM2;11;400;1470;89;91\n"
        ));
        assert_eq!(reading(&found, 2, "efficiency"), "90.4 %", "{half}");
        assert_eq!(read_as(&found, half), "-", "{half}");
    }
}

/// The amps of each connection belong to the voltage of that connection, and are no reading.
#[test]
fn amps_of_both_connections() {
    let found = report("Tag;kW;V;I Δ (A);I Y (A)\nM1;5.5;230/400;19;10.9\nM2;4;230/400;14;8.1\n");
    assert_eq!(reading(&found, 2, "rated_current"), "19/10.9 A");
    assert_eq!(reading(&found, 2, "measured_current"), "-");
    let found = report("Tag;kW;V;I Y (A);I Δ (A)\nM1;5.5;400/230;10.9;19\nM2;4;400/230;8.1;14\n");
    assert_eq!(reading(&found, 2, "rated_current"), "10.9/19 A");
}

/// Columns that say their voltage are the plate's; the one beside them that says none is the reading, which is told.
#[test]
fn amps_at_two_voltages_beside_a_reading() {
    let found =
        report("Tag;HP;RPM;Amps @ 230V;Amps @ 460V;Line Amps\nM1;10;1760;24.8;12.4;9.8\nM2;5;1750;12.8;6.4;5.5\n");
    assert_eq!(reading(&found, 2, "rated_current"), "24.8/12.4 A");
    assert_eq!(reading(&found, 2, "measured_current"), "9.8 A");
    assert!(told(&found, "Line Amps"));
    for heading in ["kW Meter", "Motor kW input"] {
        let found = report(&format!(
            "Tag;HP;RPM;V;{heading}\nM1;25;1775;460;17.2\nM2;40;1780;460;28.9\n"
        ));
        assert_eq!(reading(&found, 2, "measured_power"), "17.2 kW", "{heading}");
        assert_eq!(reading(&found, 2, "rated_power"), "25 hp", "{heading}");
    }
    // A second column of powers that are not the ratings in another unit.
    let found = report("Tag;HP;RPM;V;kW\nM1;25;1775;460;14.2\nM2;40;1780;460;22.9\n");
    assert_eq!(reading(&found, 2, "rated_power"), "25 hp");
    assert!(
        told(&found, "\u{201c}kW\u{201d} holds other powers"),
        "{}",
        found["doubts"]
    );
}

/// The power of each motor is the rating, not that of all motors of the row.
#[test]
fn each_and_all() {
    for (first, second) in [("P unit. (kW)", "P inst. (kW)"), ("kW each", "Total kW")] {
        for swapped in [false, true] {
            let (a, b) = if swapped { (second, first) } else { (first, second) };
            let (left, right) = if swapped { ("15", "7.5") } else { ("7.5", "15") };
            let found = report(&format!(
                "Rep;{a};{b};Nb;rpm\nM1;{left};{right};2;1465\nM2;{left};{right};2;1465\n"
            ));
            assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW", "{a}; {b}");
        }
    }
}

/// The unit of a heading decides where the words say a quantity of another sort.
#[test]
fn the_unit_of_a_heading_holds() {
    let found = report("Tag;kW;V;rpm;Consumo (A)\nM1;45;400;1480;61.2\nM2;37;400;1480;50\n");
    assert_eq!(reading(&found, 2, "measured_current"), "61.2 A");
    assert_eq!(reading(&found, 2, "measured_power"), "-");
    for heading in [
        "Luftmenge m³/h",
        "Q (m³/h)",
        "Airflow m3/h",
        "Débit (m³/h)",
        "Hour meter",
        "SERVICE_HRS",
        "Total hours",
    ] {
        let found = report(&format!(
            "Tag;kW;V;rpm;{heading}\nM1;45;400;1480;18000\nM2;37;400;1480;16000\n"
        ));
        assert_eq!(read_as(&found, heading), "-", "{heading}");
        assert!(!told(&found, "a year has 8760"), "{heading}");
    }
    let found = report("Tag;kW;Volt drop (%);Voltage (V);rpm\nM1;45;1.9;400;1480\nM2;37;2.2;400;1480\n");
    assert_eq!(reading(&found, 2, "voltage"), "400 V");
    assert_eq!(reading(&found, 2, "measured_voltage"), "-");
}

/// Hours of many years stand on a meter, whatever the heading says.
#[test]
fn more_hours_than_a_year_has() {
    let found =
        report("Tag;kW;V;rpm;Betriebsstunden\nM1;45;400;1480;48000\nM2;37;400;1480;16000\nM3;37;400;1480;900\n");
    assert_eq!(read_as(&found, "Betriebsstunden"), "-");
    let found = report("Tag;kW;V;rpm;Betriebsstunden/a\nM1;45;400;1480;48000\nM2;37;400;1480;6000\n");
    assert_eq!(read_as(&found, "Betriebsstunden/a"), "hours_per_year");
}

/// Service factors and diversity factors are no frequencies.
#[test]
fn factors_are_no_frequencies() {
    for (heading, key) in [("F.S.", "service_factor"), ("FS", "service_factor"), ("f", "-")] {
        let found = report(&format!(
            "Motor list 440 V 60 Hz;;;;\nTag;kW;V;rpm;{heading}\nM1;45;440;1780;1.15\nM2;37;440;1775;0.8\n"
        ));
        assert_eq!(read_as(&found, heading), key, "{heading}");
        assert_eq!(reading(&found, 3, "frequency"), "60 Hz", "{heading}");
    }
}

/// A power that the list does not say to be measured, in a list without any reading, is a figure of its design.
#[test]
fn absorbed_power_of_a_load_list() {
    for heading in ["P abs. (kW)", "P1", "Puissance absorbée (kW)"] {
        let found = report(&format!(
            "Rep;Puissance nominale (kW);V;tr/min;{heading}\nM1;45;400;1480;37\nM2;37;400;1480;30\n"
        ));
        assert_eq!(reading(&found, 2, "measured_power"), "-", "{heading}");
        assert_eq!(reading(&found, 2, "absorbed_power"), "37 kW", "{heading}");
        assert!(
            told(&found, "nothing in the list says that it was measured"),
            "{heading}"
        );
        let found = report(&format!(
            "Rep;Puissance nominale (kW);V;tr/min;I mesuré (A);{heading}\nM1;45;400;1480;70;37\nM2;37;400;1480;61;30\n"
        ));
        assert_eq!(reading(&found, 2, "measured_power"), "37 kW", "{heading}");
    }
}

/// Columns of one's own may outnumber those of the motors.
#[test]
fn headings_among_many_others() {
    for others in [
        "Jan;Feb;Mar;Apr;May;Jun",
        "Q1;Q2;Q3;Q4;Q5;Q6",
        "2019;2020;2021;2022;2023;2024",
    ] {
        let found = report(&format!(
            "Tag;Rated kW;V;FLA;rpm;{others}\nM1;45;400;81;1480;1;2;3;4;5;6\nM2;37;400;67;1480;1;2;3;4;5;6\n"
        ));
        assert_eq!(reading(&found, 2, "rated_power"), "45 kW", "{others}");
    }
    let found = report(
        "Tag;Rated kW;V;FLA;rpm;U12;U23;U31;I1;I2;I3\nM1;45;400;81;1480;398;399;400;71;72;73\nM2;37;400;67;1480;398;399;400;60;61;62\n",
    );
    assert_eq!(reading(&found, 2, "measured_voltage"), "399 V");
    assert_eq!(reading(&found, 2, "measured_current"), "72 A");
    let found = report("Tag;kW;V RS;V ST;V TR;L1;L2;L3\nM1;45;370;380;402;71;72;73\nM2;37;370;380;402;60;61;62\n");
    assert_eq!(reading(&found, 2, "measured_voltage"), "384 V");
    assert_eq!(reading(&found, 2, "measured_current"), "72 A");
}

/// Phases by pairs of letters are readings, in one line of headings and in two.
#[test]
fn voltages_between_two_phases() {
    for phases in [
        "Volts AB;Volts BC;Volts CA",
        "V A-B;V B-C;V C-A",
        "V A;V B;V C",
        "U RS;U ST;U TR",
        "Spannung UV;Spannung VW;Spannung WU",
    ] {
        let found = report(&format!(
            "Tag;HP;Volts;FLA;RPM;{phases}\nM1;10;460;12.4;1760;468;472;464\nM2;25;460;30;1770;465;466;467\n"
        ));
        assert_eq!(reading(&found, 2, "voltage"), "460 V", "{phases}");
        assert_eq!(reading(&found, 2, "measured_voltage"), "468 V", "{phases}");
        assert_eq!(reading(&found, 2, "measured_current"), "-", "{phases}");
    }
    let found = report(
        "Tag;HP;Volts;FLA;RPM;Voltage;;\n;;;;;A-B;B-C;C-A\nM1;10;460;12.4;1760;468;472;464\nM2;25;460;30;1770;465;466;467\n",
    );
    assert_eq!(reading(&found, 3, "measured_voltage"), "468 V");
    assert_eq!(reading(&found, 3, "voltage"), "460 V");
}

/// A line with units and letters of phases under the headings is a line of the heading and no motor.
#[test]
fn units_and_phases_in_one_line() {
    let found = report(
        "Tag;Service;Power;Speed;Measured current (A);;;Measured power (kW)\n;;(kW);(rpm);R;S;T;\n\
         P-1;Pump;18,5;1465;28;28,5;27,5;15,1\nP-2;Pump;7,5;1465;11;11,2;11,1;6,1\n",
    );
    assert_eq!(found["rows"].as_array().unwrap().len(), 4);
    assert_eq!(found["rows"][1]["as"], "heading");
    assert_eq!(reading(&found, 3, "measured_current"), "28 A");
    assert_eq!(read_as(&found, "Measured current (A) T"), "measured_current");
    assert_eq!(reading(&found, 3, "measured_power"), "15.1 kW");
    // More units than phases: two powers under one heading and a current of three phases.
    let found = report(
        "TAG;POTÊNCIA;;TENSÃO;CORRENTE;ROTAÇÃO;REND;CORRENTE MEDIDA (A);;\n;(cv);(kW);(V);(A);(rpm);(%);R;S;T\n\
         B-1;25;18,5;380;36;1765;92,4;28;28,5;27,5\nB-2;10;7,5;380;15;1760;91;11;11,2;11,1\n",
    );
    assert_eq!(reading(&found, 3, "rated_power"), "25 PS");
    assert_eq!(read_as(&found, "POTÊNCIA (kW)"), "rated_power");
    assert_eq!(reading(&found, 3, "measured_current"), "28 A");
}

/// Columns of the unit row under empty cells belong to the heading to their left.
#[test]
fn units_under_empty_headings() {
    let found = report(
        "Tag;Service;Rated power;;Voltage;Current;Reading;;;Notes\n;;HP;kW;V;A;A;V;kW;\n\
         P1;Pump;10;7,5;400;14,5;12;398;6,1;new seal\nP2;Pump;15;11;400;21;18;397;9,1;\n",
    );
    for (key, value) in [
        ("rated_power", "10 hp"),
        ("voltage", "400 V"),
        ("rated_current", "14.5 A"),
        ("measured_current", "12 A"),
        ("measured_voltage", "398 V"),
        ("measured_power", "6.1 kW"),
        ("remarks", "new seal"),
    ] {
        assert_eq!(reading(&found, 3, key), value, "{key}");
    }
    assert_eq!(found["rows"][1]["as"], "unit row");
}

/// Under `Unit` stand units of the rating, or the machines: its cells tell which. `Q'ty` counts, and a load in amperes is a current.
#[test]
fn units_that_are_machines() {
    let of = |text: &str, reads: &str| {
        let (_folder, path) = crate::packages::file("units.csv", text.as_bytes());
        let import = polepair::plates::import(&path, &polepair::plates::Options::default()).unwrap();
        let report = serde_json::to_value(&import.report).unwrap();
        let rows = report["rows"].as_array().unwrap();
        let row = rows.iter().find(|row| row["as"] == "motor").unwrap();
        row["readings"][reads]["value"].as_str().unwrap_or("-").to_owned()
    };
    let machines = "Unit;kW;V;FLA;rpm;Q'ty;Load A\nAHU-1;7,5;400;14,5;1465;2;11\nAHU-2;11;400;21;1470;1;15\n";
    assert_eq!(of(machines, "tag"), "AHU-1");
    assert_eq!(of(machines, "quantity"), "2");
    assert_eq!(of(machines, "measured_current"), "11");
    let units = "Tag;Power;Unit;V;FLA;rpm\nQ-1;10;HP;400;14,5;1465\nQ-2;11;kW;400;21;1470\n";
    assert_eq!(of(units, "tag"), "Q-1");
    assert_eq!(of(units, "unit_of_power"), "HP");
}

/// German words grown together with what was done, beside a column of the plate.
#[test]
fn measured_in_one_word() {
    let list = report(
        "Tag;kW;Nennstrom [A];Nenndrehzahl;Messstrom [A];Messdrehzahl [min-1];Messspannung;Messleistung [kW]\nM-1;11;21;1465;17,5;1478;398;9,1\n",
    );
    for (heading, reads) in [
        ("Messstrom [A]", "measured_current"),
        ("Messdrehzahl [min-1]", "measured_speed"),
        ("Messspannung", "measured_voltage"),
        ("Messleistung [kW]", "measured_power"),
    ] {
        assert_eq!(read_as(&list, heading), reads, "{}", list["columns"]);
    }
    assert_eq!(reading(&list, 2, "measured_current"), "17.5 A");
    let list = report("Tag;kW;A;rpm;Iststrom;Istdrehzahl\nM-1;11;21;1465;17,5;1478\n");
    assert_eq!(read_as(&list, "Iststrom"), "measured_current");
    assert_eq!(read_as(&list, "Istdrehzahl"), "measured_speed");
}

/// A count behind an empty column is that of the motors only where something of a motor, or nothing else, stands with it.
#[test]
fn counts_of_another_table_are_none_of_motors() {
    let of = |heads: &str, first: &str, second: &str| {
        report(&format!(
            "Tag;kW;V;A;rpm;;{heads}\nM-1;11;400;21;1465;;{first}\nM-2;5.5;400;11;1455;;{second}\nM-3;22;400;41;1470;;{first}\n"
        ))
    };
    let belts = of("Keilriemen;Profil;Länge [mm];Stück", "R1;SPA;1200;4", "R2;SPB;1210;3");
    assert_eq!(read_as(&belts, "Stück"), "-", "{}", belts["columns"]);
    assert_eq!(reading(&belts, 2, "quantity"), "-");
    let filters = of("Filter;Qty", "F7 592 x 592;6", "G4 287 x 592;2");
    assert_eq!(read_as(&filters, "Qty"), "-", "{}", filters["columns"]);
    for (heads, first, second) in [
        ("Qty", "2", "1"),
        ("Qty;Remarks", "2;loud", "1;"),
        ("Frame;Qty", "160M;2", "132S;1"),
    ] {
        let motors = of(heads, first, second);
        assert_eq!(reading(&motors, 2, "quantity"), "2", "{heads}: {}", motors["columns"]);
    }
}

/// Where no column of tags is there, what stands under item or position and tells the motors apart is their tag; counting is not, nor
/// is what stands beside a tag, nor what many motors share. Remarks come along.
#[test]
fn items_that_are_tags() {
    let of = |head: &str, items: [&str; 4]| {
        let [one, two, three, four] = items;
        let text = format!(
            "{head};kW;V;FLA;rpm;Remarks\n{one};11;400;21;1465;new belt\n{two};5.5;400;11;1455;\n{three};22;400;41;1470;loud\n{four};7.5;400;15;1455;\n"
        );
        let (_folder, path) = file("items.csv", text.as_bytes());
        let import = import(&path, &Options::default()).unwrap();
        let report = serde_json::to_value(&import.report).unwrap();
        let rows = import.workbook.sheets[0].rows.clone().unwrap();
        let column = |name: &str| -> Vec<String> {
            let at = rows.columns.iter().position(|column| **column == *name);
            let shown = |cell: &Cell| match cell {
                Cell::Text(text) => text.to_string(),
                _ => "-".to_owned(),
            };
            let of_row = |row: &Row| at.map_or("no column".to_owned(), |at| shown(&row.cells[at]));
            rows.rows.iter().map(of_row).collect()
        };
        (report, column("tag"), column("machine"), column("remark"))
    };
    for (head, items) in [
        ("Pos", ["M01", "M02", "M03", "M04"]),
        ("Item No", ["P-101 A", "P-101 B", "K-7", "K-8"]),
        ("N°", ["1.1", "1.2", "2.1", "2.2"]),
    ] {
        let (report, tags, _, remarks) = of(head, items);
        assert_eq!(tags, items, "{head}");
        assert_eq!(remarks, ["new belt", "-", "loud", "-"]);
        let columns = report["columns"].as_array().unwrap();
        assert!(columns[0]["reason"].as_str().unwrap().contains("no column of tags"));
    }
    let (report, ..) = of("Pos", ["M01", "M02", "M03", "M03"]);
    assert!(
        told(&report, "Tag M03 stands also in source row 5"),
        "{}",
        report["doubts"]
    );
    for (head, items) in [
        ("Pos", ["1", "2", "3", "4"]),
        ("Pos", ["M1", "M2", "M1", "M2"]),
        ("Pos", ["M1", "", "", ""]),
    ] {
        let (report, tags, ..) = of(head, items);
        assert_eq!(read_as(&report, head), "item", "{items:?}");
        assert_eq!(tags, ["-"; 4]);
    }
    let pumps = ["Feed pump", "Return pump", "Exhaust fan", "Mill"];
    let (report, tags, machines, _) = of("Item", pumps);
    assert_eq!(
        (read_as(&report, "Item").as_str(), machines),
        ("description", pumps.map(str::to_owned).to_vec())
    );
    // What they drive tells them apart: there is no empty column of tags.
    assert_eq!(tags, ["no column"; 4]);
    let (report, tags, ..) = of("Tag;Item", ["T-1;M1", "T-2;M2", "T-3;M3", "T-4;M4"]);
    assert_eq!(read_as(&report, "Item"), "item");
    assert_eq!(tags, ["T-1", "T-2", "T-3", "T-4"]);
}

/// A letter beside a word that says whose value it is needs no doubt; a letter alone has one.
#[test]
fn letters_beside_measured_and_rated() {
    for (rated, measured) in [
        ("I nominal", "I mesurée"),
        ("I nenn", "I gemessen"),
        ("Rated I", "Meas. I"),
    ] {
        let found = report(&format!(
            "Tag;kW;V;{rated};rpm;{measured};Meas. V\nP1;7.5;400;14.5;1465;12;398\nP2;11;400;21;1470;18;397\n"
        ));
        assert_eq!(reading(&found, 2, "rated_current"), "14.5 A", "{rated}");
        assert_eq!(reading(&found, 2, "measured_current"), "12 A", "{measured}");
        assert_eq!(reading(&found, 2, "measured_voltage"), "398 V");
        assert!(!told(&found, "letter"), "{}", found["doubts"]);
    }
    let found = report("Tag;kW;V;I;rpm\nP1;7.5;400;14.5;1465\nP2;11;400;21;1470\n");
    assert!(told(&found, "lone letter"), "{}", found["doubts"]);
}

/// A column of units says the unit of the ratings; where it is empty nothing does.
#[test]
fn a_column_of_units_says_the_unit() {
    let list = |first: &str, second: &str| {
        report(&format!(
            "Tag;Power;Unit;V;A;rpm\nP1;7.5;{first};400;14.5;1465\nP2;11;{second};400;21;1470\n"
        ))
    };
    assert!(!told(&list("kW", "kW"), "says the unit of the ratings"));
    let found = list("hp", "kW");
    assert!(!told(&found, "says the unit of the ratings"));
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 hp");
    assert_eq!(reading(&found, 3, "rated_power"), "11 kW");
    assert!(told(&list("-", "-"), "says the unit of the ratings"));
}

/// `/a` is a year and no ampere, `/h` no hours; hours of a week and a month are as many as a year has, those of a shift unknown.
#[test]
fn what_stands_below_the_stroke() {
    for heading in [
        "Energy (MWh/a)",
        "Stromkosten €/a",
        "CO2 [t/a]",
        "Stops/h",
        "Verbrauch kWh / a",
        "Water m³/a",
    ] {
        let found = report(&format!(
            "Tag;kW;V;FLA;rpm;{heading}\nM1;5.5;400;10.8;1465;160\nM2;4;400;8.1;1455;100\n"
        ));
        assert_eq!(read_as(&found, heading), "-", "{heading}");
    }
    for (heading, hours) in [
        ("Operating hrs/week", "3120 h"),
        ("Laufzeit h/Woche", "3120 h"),
        ("Heures par semaine", "3120 h"),
        ("horas/mes", "720 h"),
        ("Run hours (monthly)", "720 h"),
        ("h / shift", "-"),
        ("Betriebs- stunden/a", "60 h"),
        ("Betriebsstunden p.a.", "60 h"),
        ("Std/Jahr", "60 h"),
    ] {
        let found = report(&format!(
            "Tag;kW;V;FLA;rpm;{heading}\nM1;5.5;400;10.8;1465;60\nM2;4;400;8.1;1455;168\n"
        ));
        assert_eq!(reading(&found, 2, "hours_per_year"), hours, "{heading}");
        assert_eq!(reading(&found, 2, "measured_current"), "-", "{heading}");
    }
    assert!(told(
        &report("Tag;kW;V;FLA;rpm;h / shift\nM1;5.5;400;10.8;1465;6\nM2;4;400;8.1;1455;8\n"),
        "shifts"
    ));
    // `Volts/A` is no rate.
    let found = report("Tag;kW;rpm;Volts/A\nM1;5.5;1465;400\nM2;4;1455;400\n");
    assert_eq!(reading(&found, 2, "voltage"), "400 V");
    // 24 hours are those of a day, in one cell a doubt, in all of them the column.
    let found =
        report("Tag;kW;V;FLA;rpm;Hours/yr\nM1;5.5;400;10.8;1465;6000\nM2;4;400;8.1;1455;24h\nM3;4;400;8.1;1455;20\n");
    assert!(told(&found, "hours a day it would be 8760"), "{}", found["doubts"]);
    let found = report("Tag;kW;V;FLA;rpm;Hours\nM1;5.5;400;10.8;1465;16\nM2;4;400;8.1;1455;24\nM3;4;400;8.1;1455;8\n");
    assert_eq!(reading(&found, 2, "hours_per_day"), "16 h");
}

/// Headings wrapped in their cells, and parted by hyphens, read as in one line; a unit in a line of its own stays one.
#[test]
fn wrapped_headings() {
    let list = |heads: &[&str]| {
        let heads: Vec<String> = heads.iter().map(|head| format!("\"{head}\"")).collect();
        report(&format!(
            "{}\nM1,15,400,28,1470,91.5,21,Pumpe\nM2,7.5,400,14.5,1460,89,11.2,Pumpe\n",
            heads.join(",")
        ))
    };
    for heads in [
        [
            "Pump\nNo.",
            "Motor\nrating\n(kW)",
            "Supply\nvoltage",
            "Full\nload\namps",
            "Full load\nspeed (r.p.m.)",
            "Motor\nefficiency\n%",
            "Load\ncurrent\n(A)",
            "Remarks",
        ],
        [
            "Betriebsmittel-\nkennzeichen",
            "Nenn-\nleistung\nkW",
            "Nenn-\nspannung\n[V]",
            "Nenn-\nstrom\n[A]",
            "Nenn-\ndrehzahl",
            "Wirkungs-\ngrad\n%",
            "Gemessener\nStrom\nA",
            "Bemer-\nkung",
        ],
        [
            "Repère",
            "Puissance\nnominale\n(kW)",
            "Tension\n(V)",
            "Intensité\nnominale",
            "Vitesse\n(tr/min)",
            "Rende-\nment\n%",
            "Intensité\nmesurée\nA",
            "Obser- vations",
        ],
    ] {
        let found = list(&heads);
        for (key, value) in [
            ("rated_power", "15 kW"),
            ("voltage", "400 V"),
            ("rated_current", "28 A"),
            ("rated_speed", "1470 r/min"),
            ("efficiency", "91.5 %"),
            ("measured_current", "21 A"),
            ("remarks", "Pumpe"),
        ] {
            assert_eq!(
                reading(&found, 2, key),
                value,
                "{key} of {heads:?}: {}",
                found["columns"]
            );
        }
    }
    // A condition in a line of its own.
    let found =
        report("Tag,kW,\"Rated I (A)\n230 V\",\"Rated I (A)\n400 V\",rpm\nM1,15,48.5,28,1470\nM2,7.5,25,14.5,1460\n");
    assert_eq!(reading(&found, 2, "voltage"), "230/400 V");
    assert_eq!(reading(&found, 2, "rated_current"), "48.5/28 A");
}

/// Phases under their letters alone, or under the same word again, are told by the size of their numbers.
#[test]
fn phases_without_a_word_for_what_they_are() {
    for (heads, volts) in [
        ("FLA;A;B;C", false),
        ("FLA;R;S;T", false),
        ("FLA;U;V;W", false),
        ("FLA;L1;L2;L3;L1;L2;L3", true),
        ("A;A;A;A", false),
    ] {
        let (first, second) = if volts {
            ("398;400;402;", "399;400;401;")
        } else {
            ("", "")
        };
        let found = report(&format!(
            "Tag;kW;V;rpm;{heads}\nM1;11;400;1465;21;{first}15;15.2;14.8\nM2;7.5;400;1460;15;{second}11;11.2;10.8\n"
        ));
        assert_eq!(reading(&found, 2, "rated_current"), "21 A", "{heads}");
        assert_eq!(reading(&found, 2, "measured_current"), "15 A", "{heads}");
        assert_eq!(reading(&found, 3, "measured_current"), "11 A", "{heads}");
        let voltage = if volts { "400 V" } else { "-" };
        assert_eq!(reading(&found, 2, "measured_voltage"), voltage, "{heads}");
    }
    // Letters over other things.
    let found = report("Tag;kW;V;rpm;FLA;A;B;C\nM1;11;400;1465;21;15;3;700\nM2;7.5;400;1460;15;11;4;20\n");
    assert_eq!(read_as(&found, "B"), "-");
}
