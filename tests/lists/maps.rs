//! Column maps: what is written and read back unchanged changes nothing.

use std::path::Path;
use std::sync::Arc;

use polepair::plates::own::Own;
use polepair::plates::reads::Reads;
use polepair::plates::{Options, Settled, import};
use serde_json::Value;

use super::packages::file;
use super::unseen;

/// Invented lists whose columns hold more than one thing: two quantities, whole plates beside a type, currents under their
/// voltages, phases by letter, a column that another one outdoes, tables side by side and one below the other.
const LISTS: &[&str] = &[
    "Tag;Type plate;PF / Efficiency;Code;Meas V;Meas I;Meas rpm\n\
     W-1;15kW 28.5A 400V 1465rpm cl.F IP55 S1 SF1.15 frame 160L;0.85 / 90.6;G;401;21.0;1478\n\
     W-2;22 kW, 690/400 V, 23.5/41 A, 1470 1/min, Y/D, IM B3, IE2;0,86/91.6;;399;5.0;1496\n\
     W-3;18.5kW 400/3/50 35A 980;85 / 91;;;30;983\n",
    "TAG;Servicio;Potencia;Tensión;Intensidad nominal;Velocidad;Rend. / cos φ\n\
     B-1;Bomba;10 CV;400 V;14,2;1450;87 / 0,84\nB-2;Ventilador;20 CV;400 V;28;1465;90 / 0,85\n",
    "Tag;Drives;kW;Rated I (A) 230 V;Rated I (A) 400 V;rpm\nS-1;Saw;3;11.4;6.6;1430\nS-2;Fan;4;14.5;8.4;1440\n",
    "Tag;Motor kW;HP;FLA;Amps R;Amps S;Amps T;RPM\nC-1;15;20;28.5;21;22;21.5;1465\nC-2;7.5;10;15;11;11;11.2;1450\n",
    "Tag;Rating;Amps;Amps;Speed;Old kW\nD-1;15;28.5;21;1465;11\nD-2;7.5;15;11.2;1450;5.5\nD-3;22;41;30;1470;18.5\n",
    "Tag;kW;Volts / Amps;Model\nE-1;15;400 / 28.5;M1\nE-2;7.5;400 / 15;M2\n\n\
     Tag;HP;Volts / Amps;Model;Speed\nF-1;20;400 / 28.5;4-pole 15 kW 400 V 28.5 A 1465 rpm;1465\nF-2;10;400 / 15;7.5 kW 400 V 15 A 1450 rpm;1450\n",
];

/// The report but for the line that says how many columns the map speaks of.
fn read(path: &Path, map: Option<String>) -> (Value, String) {
    let options = Options {
        own: map.map(|text| Arc::new(Own::read(Some(&text), None).unwrap())),
        ..Options::default()
    };
    let report = import(path, &options).unwrap().report;
    let map = report.column_map();
    let mut report = serde_json::to_value(&report).unwrap();
    if let Some(remarks) = report["remarks"].as_array_mut() {
        remarks.retain(|remark| !remark.as_str().unwrap().ends_with("as the column map says."));
    }
    (report, map)
}

/// Where the unit of the ratings is doubted the map settles it, as it was read: the doubt goes and the values stay.
fn settled(mut report: Value) -> Value {
    let doubts = report["doubts"].as_array_mut().unwrap();
    let before = doubts.len();
    doubts.retain(|doubt| {
        !doubt["text"]
            .as_str()
            .unwrap()
            .contains("line of a column map settles it")
    });
    if doubts.len() == before {
        return report;
    }
    for row in report["rows"].as_array_mut().unwrap() {
        if let Some(power) = row["readings"].get_mut("rated_power") {
            power["confidence"] = Value::Null;
            power["note"] = Value::Null;
        }
    }
    report
}

fn comes_back(path: &Path) -> String {
    let (first, map) = read(path, None);
    let (mut again, map_again) = read(path, Some(map.clone()));
    assert!(first["rows"].as_array().unwrap().len() > 1);
    let before = first["doubts"].as_array().unwrap().len();
    let first = settled(first);
    if first["doubts"].as_array().unwrap().len() < before {
        for row in again["rows"].as_array_mut().unwrap() {
            if let Some(power) = row["readings"].get_mut("rated_power") {
                power["confidence"] = Value::Null;
                power["note"] = Value::Null;
            }
        }
        again["columns"] = first["columns"].clone();
        assert_eq!(first, again, "{}\n{map}", path.display());
        return map;
    }
    assert_eq!(first, again, "{}\n{map}", path.display());
    assert_eq!(map, map_again);
    map
}

#[test]
fn a_map_read_back_as_written_changes_nothing() {
    for name in [
        "brickworks-motor-list.xlsx",
        "ice-rink-motor-survey.xlsx",
        "milchhof-kuehlhaus.csv",
        "timber-yard-drives.xlsx",
    ] {
        comes_back(&super::folder().join(name));
    }
    for name in unseen::NAMES {
        let (_folder, path) = unseen::built_file(name, &unseen::list(name));
        comes_back(&path);
    }
    for text in LISTS {
        let (_folder, path) = file("list.csv", text.as_bytes());
        comes_back(&path);
    }
}

#[test]
fn two_in_one_cell_are_said_and_taken_away() {
    let (_folder, path) = file("list.csv", LISTS[0].as_bytes());
    let map = comes_back(&path);
    assert!(map.contains("column \"Type plate\" = model and nameplate\n"), "{map}");
    assert!(
        map.contains("column \"PF / Efficiency\" = power_factor and efficiency"),
        "{map}"
    );
    let less = map.replace(" and nameplate", "").replace(" and efficiency", "");
    let (first, _) = read(&path, None);
    let (told, _) = read(&path, Some(less));
    let value = |report: &Value, key: &str| report["rows"][1]["readings"][key]["value"].clone();
    assert_eq!(value(&first, "rated_power"), "15");
    assert_eq!(value(&first, "efficiency"), "90.6");
    assert!(value(&told, "rated_power").is_null());
    assert!(value(&told, "efficiency").is_null());
}

#[test]
fn headings_that_nobody_knows_hold_two_in_one_where_the_map_says_so() {
    let text = "Xa;Xb;Xc;Xd\nW-1;15;0.85 / 90.6;28.5A 400V 1465rpm\nW-2;22;0.86 / 91.6;41 A 400 V 1470 rpm\n";
    let (_folder, path) = file("list.csv", text.as_bytes());
    let map = "polepair columns 1\ncolumn \"Xa\" = tag\ncolumn \"Xb\" = rated_power in kW\n\
               column \"Xc\" = power_factor and efficiency\ncolumn \"Xd\" = remarks and nameplate\n";
    let (report, _) = read(&path, Some(map.to_owned()));
    for (key, value) in [
        ("power_factor", "0.85"),
        ("efficiency", "90.6"),
        ("rated_speed", "1465"),
        ("rated_current", "28.5"),
    ] {
        assert_eq!(report["rows"][1]["readings"][key]["value"], value, "{key}");
    }
    let faults = Own::read(Some("polepair columns 1\ncolumn \"Xc\" = tag and efficiency\n"), None).unwrap_err();
    assert!(faults[0].message.contains("tag and efficiency"), "{faults:?}");
}

/// Ratings of the hp series under a heading of kW, and no plate to prove it: a doubt with both readings, and one line settles it.
#[test]
fn one_line_settles_the_unit_of_the_ratings() {
    let list = "Tag;kW;Speed;Hz\nA;15;1465;50\nB;20;1465;50\nC;25;1470;50\nD;10;1455;50\nE;40;1475;50\nF;60;1480;50\n";
    let (_folder, path) = file("list.csv", list.as_bytes());
    let (first, map) = read(&path, None);
    let unit = |report: &Value| report["rows"][1]["readings"]["rated_power"]["unit"].clone();
    let doubt = |report: &Value| {
        let doubts = report["doubts"].as_array().unwrap();
        let of = doubts.iter().find(|doubt| doubt["rule"] == "other-power-unit");
        of.map(|doubt| doubt["text"].as_str().unwrap().to_owned())
    };
    assert_eq!(unit(&first), "kW");
    let text = doubt(&first).unwrap();
    // 60 hp are 44.7 kW; 60 kW are 80.5 hp.
    for part in [
        "60 is 60 kW (80.5 hp) or 60 hp (44.7 kW)",
        "column \"kW\" = rated_power in hp",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(map.contains("column \"kW\" = rated_power in kW\n"), "{map}");
    for said in ["hp", "kW"] {
        let map = format!("polepair columns 1\ncolumn \"kW\" = rated_power in {said}\n");
        let (again, written) = read(&path, Some(map));
        assert_eq!(unit(&again), said);
        assert_eq!(doubt(&again), None, "{said} is settled");
        assert!(written.contains(&format!("= rated_power in {said}\n")), "{written}");
    }
    // Nothing says the unit: the guess is carried by the map.
    let list = list.replace("kW", "Rating");
    let (_folder, path) = file("list.csv", list.as_bytes());
    let (first, map) = read(&path, None);
    assert_eq!(unit(&first), "kW");
    assert!(
        map.contains("column \"Rating\" = rated_power in kW\n#   the list does not say"),
        "{map}"
    );
    let (again, _) = read(&path, Some(map.replace("in kW", "in hp")));
    assert_eq!(unit(&again), "hp");
}

/// A line may be of one table: the same heading holds something else in each.
#[test]
fn a_line_of_one_table() {
    let list = "Tag;P;Speed;Volts\nA;15;1465;400\nB;20;1465;400\n\nTag;P;Speed;Amps\nC;15;1465;28\nD;20;1465;35\n";
    let (_folder, path) = file("list.csv", list.as_bytes());
    let map = "polepair columns 1\ncolumn \"P\" = rated_power in kW\ncolumn \"P\" of table 2 = rated_power in hp\n";
    let (report, written) = read(&path, Some(map.to_owned()));
    let unit = |row: usize| report["rows"][row]["readings"]["rated_power"]["unit"].clone();
    assert_eq!(report["rows"][5]["source_row"], 6, "{report:#}");
    assert_eq!(
        (unit(1), unit(2), unit(5), unit(6)),
        ("kW".into(), "kW".into(), "hp".into(), "hp".into())
    );
    for line in [
        "column \"P\" of table 1 = rated_power in kW\n",
        "column \"P\" of table 2 = rated_power in hp\n",
    ] {
        assert!(written.contains(line), "{line} in {written}");
    }
}

/// A column whose heading is only a sign is what somebody says it is. Invented list.
#[test]
fn a_column_under_a_sign_can_be_said() {
    let text = "Tag;kW;V;A;rpm;‰\nA;11;400;21;1460;92\nB;7.5;400;15;1455;91\n";
    let (_folder, path) = file("signs.csv", text.as_bytes());
    let report = import(&path, &Options::default()).unwrap().report;
    let at = |heading: &str| report.columns.iter().position(|column| column.heading == heading);
    let said = |place: usize| {
        let reads = match Some(place) {
            sign if sign == at("‰") => Reads::Efficiency,
            _ => return None,
        };
        Some(Settled {
            reads: Some(reads),
            unit: None,
        })
    };
    let map = report.column_map_with(said);
    assert!(map.contains("column \"‰\" = efficiency\n"), "{map}");
    let (read, _) = read(&path, Some(map));
    let of = |row: usize, key: &str| read["rows"][row]["readings"][key]["value"].as_str().map(str::to_owned);
    assert_eq!(
        (of(1, "efficiency").as_deref(), of(2, "efficiency").as_deref()),
        (Some("92"), Some("91"))
    );
}
