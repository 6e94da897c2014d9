//! Several columns for one quantity, columns of something near it, and which of them is read.
//!
//! Lists are invented; what is right was written down from the rows by hand.

use crate::doubts::{doubt, doubts, worked};
use crate::headings::{read_as, reading, report, told};
use crate::signs::load;

/// Three motors with these further columns: headings, and the cells of each row.
fn list(heads: &str, rows: [&str; 3]) -> String {
    let [first, second, third] = rows;
    format!(
        "Pump;kW;V;FLA;rpm;{heads}\nN1;11;400;21;1465;{first}\nN2;5.5;400;11;1455;{second}\nN3;22;400;41;1470;{third}\n"
    )
}

/// Of readings of several days the newest is used, and the others are named; so the mean before extremes.
#[test]
fn the_newest_reading_is_used() {
    for (heads, used, left) in [
        ("Amps 2022;Amps 2024;Amps 2023", "Amps 2024", "Amps 2022"),
        ("2024-02-01;2024-03-01;2023-12-01", "2024-03-01", "2024-02-01"),
        (
            "Meas. A (Jan);Meas. A (Oct);Meas. A (May)",
            "Meas. A (Oct)",
            "Meas. A (May)",
        ),
        ("A 03.02.2024;A 17.02.2024;A 30.01.2024", "A 17.02.2024", "A 30.01.2024"),
        (
            "Measured A min;Measured A average;Measured A max",
            "Measured A average",
            "Measured A max",
        ),
    ] {
        let found = report(&list(heads, ["15;16;17", "8;8.5;9", "30;31;33"]));
        assert_eq!(
            reading(&found, 2, "measured_current"),
            "16 A",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(reading(&found, 2, "rated_current"), "21 A", "{heads}");
        assert_eq!(read_as(&found, left), "-", "{heads}");
        assert!(
            told(&found, &format!("“{used}” was used")) && told(&found, &format!("“{left}”")),
            "{}",
            found["doubts"]
        );
    }
}

/// A reading without load is the no-load current, beside one under load.
#[test]
fn amps_of_an_idling_motor() {
    for heads in [
        "Meas. A idle;Meas. A loaded",
        "A à vide;A mesuré",
        "Strom im Leerlauf A;Strom gemessen A",
    ] {
        let found = report(&list(heads, ["8;16", "5;8.5", "14;31"]));
        assert_eq!(
            reading(&found, 2, "no_load_current"),
            "8 A",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(reading(&found, 2, "measured_current"), "16 A", "{heads}");
    }
}

/// Amperes of something else beside the plate's are nobody's reading; what says load, run or measured is one.
#[test]
fn nobody_measured_them() {
    for heading in [
        "MCA (A)",
        "MOCP (A)",
        "Ib (A)",
        "Iz (A)",
        "Max. A",
        "Peak A",
        "Est. A",
        "Calculated A",
        "Demand A",
        "Ammeter scale A",
        "Ground fault A",
        "Zul. Strom A",
        "I maxi",
        "Frobnication A",
    ] {
        let found = report(&list(heading, ["20", "10", "40"]));
        assert_eq!(
            reading(&found, 2, "measured_current"),
            "-",
            "{heading}: {}",
            found["columns"]
        );
        assert_eq!(reading(&found, 2, "rated_current"), "21 A", "{heading}");
    }
    assert!(told(
        &report(&list("Frobnication A", ["20", "10", "40"])),
        "nothing says that it was measured"
    ));
    for heading in [
        "Amps",
        "Load A",
        "Run A",
        "Amps under load",
        "Amps today",
        "Absorbed A",
        "Consumo A",
        "LAST_AMPS",
    ] {
        let found = report(&list(heading, ["16", "8", "30"]));
        assert_eq!(
            reading(&found, 2, "measured_current"),
            "16 A",
            "{heading}: {}",
            found["columns"]
        );
    }
    // Other quantities and other shafts.
    for heading in [
        "Speed %",
        "Speed ref %",
        "Load current %",
        "Max rpm",
        "Critical speed rpm",
        "n2 (1/min)",
        "Min Hz",
        "Max Hz",
        "Winding resistance U-V",
        "Megger V",
        "Ie (A)",
    ] {
        let found = report(&list(heading, ["42", "84", "96"]));
        for key in [
            "measured_current",
            "measured_speed",
            "measured_voltage",
            "efficiency_class",
        ] {
            assert_eq!(reading(&found, 2, key), "-", "{heading} {key}: {}", found["columns"]);
        }
        assert_ne!(reading(&found, 2, "frequency"), "42 Hz", "{heading}");
        assert_eq!(reading(&found, 2, "rated_speed"), "1465 r/min", "{heading}");
    }
    for heading in [
        "Drehzahl 1/min",
        "Drehzahl min-1",
        "n [min-1]",
        "vueltas (v/min)",
        "v.p.m.",
        "Umdr./min",
    ] {
        let found = report(&format!(
            "Pumpe;kW;V;A;{heading}\nN1;11;400;21;1465\nN2;5.5;400;11;1455\n"
        ));
        assert_eq!(
            reading(&found, 2, "rated_speed"),
            "1465 r/min",
            "{heading}: {}",
            found["columns"]
        );
    }
}

/// The usual letters of plate values are as good as words.
#[test]
fn letters_of_plate_values() {
    let found = report("Pumpe;P_N;U_N;I_N;nN\nN1;11 kW;400;21;1465\nN2;5.5 kW;400;11;1455\n");
    for (key, value) in [
        ("rated_power", "11 kW"),
        ("voltage", "400 V"),
        ("rated_current", "21 A"),
        ("rated_speed", "1465 r/min"),
    ] {
        assert_eq!(reading(&found, 2, key), value, "{}", found["columns"]);
    }
    assert!(!told(&found, "lone letter"), "{}", found["doubts"]);
    // `P/N` is a number of parts.
    let found = report("Pump;P/N;kW;V;A;rpm\nN1;4711;11;400;21;1465\nN2;4712;5.5;400;11;1455\n");
    assert_eq!(reading(&found, 2, "rated_power"), "11 kW");
}

/// P2 beside the rating is the power on the shaft; IE3 is a class; MW is a unit.
#[test]
fn powers_and_classes() {
    let found = report("Pump;Motor kW;P2 (kW);V;A;rpm\nN1;11;8.9;400;21;1465\nN2;5.5;4.1;400;11;1455\n");
    assert_eq!(reading(&found, 2, "rated_power"), "11 kW");
    assert_eq!(reading(&found, 2, "absorbed_power"), "8.9 kW");
    let found = report("Pump;P2 (kW);V;A;rpm\nN1;11;400;21;1465\nN2;5.5;400;11;1455\n");
    assert_eq!(reading(&found, 2, "rated_power"), "11 kW");
    let found = report(&list("Efficiency", ["IE3", "IE2", "IE3"]));
    assert_eq!(reading(&found, 2, "efficiency_class"), "IE3");
    let found = report("Pump;MW;kV;A;rpm\nN1;1.25;6.6;128;1490\nN2;0.5;6.6;53;1485\n");
    assert_eq!(reading(&found, 2, "rated_power"), "1250 kW");
    let found = report(
        "Fan;HP;V;FLA;rpm\nN1;1/6;460;0.5;1725\nN2;1/20;460;0.3;1550\nN3;1/12;460;0.3;1550\nN4;3/4;460;1.4;1725\n",
    );
    for (row, value) in [
        (2, "0.16666667 hp"),
        (3, "0.05 hp"),
        (4, "0.08333333 hp"),
        (5, "0.75 hp"),
    ] {
        assert_eq!(reading(&found, row, "rated_power"), value);
    }
}

/// √3 · 400 V · 3.3 A = 2.3 kVA: 1500 kW cannot be, 1.5 kW can; the same decides what a point parts.
#[test]
fn a_rating_above_volts_times_amps() {
    let found = worked("Fan;kW;V;A;rpm;Eff;Meas kW\nN1;1500;400;3.3;1425;84;1.2\nN2;11;400;21;1465;90;9\n");
    let text = doubt(&found, 2, "rating-above-apparent error");
    assert!(text.contains("in W") && text.contains("2.286 kVA"), "{text}");
    assert_eq!(load(&found, 2), "-");
    assert!(!doubts(&found, 3).iter().any(|text| text.contains("apparent")));
    let found =
        report("Antrieb;kW;V;A;U/min\nN1;1.500;400;3,3;1.425\nN2;2,200;400;4,8;1.430\nN3;1.500;6000;172;1.492\n");
    for (row, value) in [(2, "1.5 kW"), (3, "2.2 kW"), (4, "1500 kW")] {
        assert_eq!(reading(&found, row, "rated_power"), value, "{row} {}", found["doubts"]);
    }
    // Without amps nothing decides: a warning with both.
    let found = report("Antrieb;kW;V;U/min\nN1;1.500;400;1.425\nN2;2,2;400;1.430\n");
    doubt(&found, 2, "number-ambiguous warning");
}

/// A note with the mark of the heading gives the unit of the ratings.
#[test]
fn the_unit_stands_in_a_note() {
    for (heading, note) in [
        ("Potencia (1)", "(1) Potencias en CV"),
        ("Potencia*", "* en CV"),
        ("Potencia ²", "² CV"),
    ] {
        let found = report(&format!(
            "Equipo;{heading};V;A;rpm\nBomba 1;15;400;21;1465\nBomba 2;7,5;400;11;1455\n;;;;\n{note};;;;\n"
        ));
        assert_eq!(
            reading(&found, 2, "rated_power"),
            "15 PS",
            "{heading}: {}",
            found["doubts"]
        );
        assert!(!told(&found, "Nothing says the unit"), "{heading}");
    }
    let found = report("Equipo;Potencia;V;A;rpm\nBomba 1;15;400;21;1465\nBomba 2;7,5;400;11;1455\n");
    let all = found["doubts"].as_array().unwrap();
    let unit = all
        .iter()
        .find(|doubt| doubt["text"].as_str().unwrap().contains("Nothing says the unit"));
    assert_eq!(unit.unwrap()["level"], "warning");
}

/// Numbers alone that are the sums of the rows above are a subtotal, in mid list too.
#[test]
fn sums_without_a_word() {
    let found = report(
        "Pump;kW;V;FLA;rpm\nN1;11;400;21;1465\nN2;5.5;400;11;1455\n;16.5;;32;\nN3;22;400;41;1470\nN4;4;400;8;1450\n;26;;49;\nTotal;42.5;;81;\n",
    );
    let rows = found["rows"].as_array().unwrap();
    let called = |row: u64| {
        rows.iter().find(|known| known["source_row"] == row).unwrap()["as"]
            .as_str()
            .unwrap()
    };
    assert_eq!([4, 7, 8].map(called), ["total"; 3]);
    let totals = found["totals"].as_array().unwrap();
    assert!(totals.iter().all(|total| total["agrees"] == true), "{totals:#?}");
}

/// A drive named in a column of duty or of none, with its frequency.
#[test]
fn drives_in_other_columns() {
    for heading in ["Betriebsart", "Fahrweise"] {
        let found = report(&list(heading, ["direkt", "FU 42 Hz", "FU 35-50 Hz"]));
        assert!(doubts(&found, 2).is_empty(), "{heading}");
        doubt(&found, 3, "drive-fed");
        doubt(&found, 4, "drive-fed");
        assert_eq!(reading(&found, 3, "output_frequency"), "42 Hz", "{heading}");
        assert_eq!(reading(&found, 4, "output_frequency"), "-", "{heading}");
    }
    let found = report(&list("Betriebsart", ["S1", "S3 40 %", "S1"]));
    assert_eq!(read_as(&found, "Betriebsart"), "duty");
    let found = report(&list("Remarks", ["on VFD at 38,5 Hz", "", "star delta"]));
    assert_eq!(reading(&found, 2, "output_frequency"), "38.5 Hz");
}

/// Three letters of phases beside the plate; more columns of amps than can be told apart are named.
#[test]
fn letters_of_phases_alone() {
    for heads in ["A;B;C", "R;S;T"] {
        let found = report(&list(heads, ["16;16.2;15.8", "8;8.1;8.2", "30;31;30.5"]));
        assert_eq!(
            reading(&found, 2, "measured_current"),
            "16 A",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(reading(&found, 2, "rated_current"), "21 A", "{heads}");
    }
    let found = report("Pump;kW;A;rpm;A;A\nN1;11;21;1465;16;17\nN2;5.5;11;1455;8;9\n");
    assert!(
        told(&found, "Several columns hold rated current"),
        "{}",
        found["doubts"]
    );
}

/// A second group of volts, amps, power and speed was measured. 9 kW · 0.9 / 11 kW = 74 %.
#[test]
fn a_second_group_is_measured() {
    for heads in ["kW;V;A;rpm;Eff;Volts;Amps;kW;RPM", "kW;V;A;rpm;Eff;V;A;kW;rpm"] {
        let found = worked(&format!(
            "Pump;{heads}\nN1;11;400;21;1465;90;402;16;9;1474\nN2;5.5;400;11;1455;89;402;8;4.3;1468\n"
        ));
        assert_eq!(reading(&found, 2, "rated_power"), "11 kW", "{heads}");
        assert_eq!(
            reading(&found, 2, "measured_power"),
            "9 kW",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(load(&found, 2), "74 A", "{heads}");
        assert!(
            !doubts(&found, 2).iter().any(|text| text.contains("ratings-disagree")),
            "{heads}"
        );
    }
    // kW and hp side by side are one rating still.
    let found = report(
        "Pump;HP;kW;V;A;rpm;Volts;Amps;RPM\nN1;15;11;400;21;1465;402;16;1474\nN2;7.5;5.5;400;11;1455;402;8;1468\n",
    );
    assert_eq!(reading(&found, 2, "measured_power"), "-");
}

/// 21 A · 0.8 = 16.8 A in each row: the list was worked out by its load factor, and nobody measured.
#[test]
fn worked_out_by_the_load_factor() {
    let rows = |third: &str| {
        format!(
            "Pump;kW;FLA;rpm;Load factor;Running A;Running kW\nN1;11;21;1465;0.8;16.8;9.8\nN2;5.5;11;1455;0.7;7.7;4.3\nN3;22;41;1470;0.9;{third};21.5\n"
        )
    };
    let found = report(&rows("36.9"));
    assert_eq!(reading(&found, 2, "measured_current"), "-");
    assert_eq!(reading(&found, 2, "measured_power"), "-");
    assert_eq!(reading(&found, 2, "absorbed_power"), "9.8 kW");
    assert!(told(&found, "times the load factor"), "{}", found["doubts"]);
    let found = report(&rows("35"));
    assert_eq!(reading(&found, 2, "measured_current"), "16.8 A");
}

/// 30 kW of two motors together are 15 kW each.
#[test]
fn a_rating_of_all_motors_of_the_row() {
    let found = report("Pump;Qty;Total kW;V;A;rpm\nN1;2;30;400;28;1470\nN2;1;7.5;400;14.5;1460\n");
    assert_eq!(reading(&found, 2, "rated_power"), "15 kW");
    doubt(&found, 2, "number-ambiguous");
    assert_eq!(reading(&found, 3, "rated_power"), "7.5 kW");
    assert!(doubts(&found, 3).is_empty());
}

/// Words beside a plate column that say where or when a reading was taken; protection and ratings at another frequency are none.
#[test]
fn readings_beside_the_plate_by_their_words() {
    for head in [
        "Line amps",
        "Working current",
        "Courant absorbé",
        "Corriente de trabajo",
        "Corrente de trabalho",
    ] {
        let found = report(&list(head, ["15.2", "8.1", "33"]));
        assert_eq!(reading(&found, 2, "measured_current"), "15.2 A", "{head}");
        assert_eq!(reading(&found, 2, "rated_current"), "21 A", "{head}");
    }
    // Nearly every motor above its plate: the size of its protection, or of another motor.
    let found = report(&list("Rating A", ["32", "16", "63"]));
    assert_eq!(reading(&found, 2, "measured_current"), "-");
    assert!(told(&found, "Rating A"));
    // A catalogue for two frequencies is no survey.
    let found = report(
        "Type;50 Hz;;;;60 Hz;;;\n;V;kW;A;rpm;V;HP;A;rpm\nG1;400;4;8.1;1440;460;6.4;8.2;1735\nG2;400;11;21;1465;460;17;21.4;1765\nG3;400;22;41;1470;460;33;42;1770\n",
    );
    assert_eq!(reading(&found, 3, "measured_power"), "-");
    assert_eq!(reading(&found, 3, "measured_current"), "-");
    // Energy is no power.
    let found = report(&list("kWh/yr", ["52000", "21000", "88000"]));
    assert!(!told(&found, "kWh/yr"), "{found}");
}

/// Plate speeds of two-speed motors are plate speeds.
#[test]
fn two_speeds_tell_motors() {
    let found = report("Tag;kW;A;rpm;V\nT1;1.5/6;4.9/12.6;725/1450;400\nT2;3/12;8.8/24;730/1465;400\n");
    assert_eq!(reading(&found, 2, "rated_speed"), "725/1450 r/min");
}

/// A kind of consumer that is also a machine does not make a motor of what its own words say is none.
#[test]
fn feeders_of_lighting() {
    let found = report(
        "Tag;Description;Kind;kW;V;FLA;rpm\nP1;Pump;Motor;11;400;21;1465\nL1;Lighting board;Feeder;9;400;14;\nV1;Vibrating feeder;Feeder;2.2;400;4.9;1440\n",
    );
    let rows = found["rows"].as_array().unwrap();
    let called: Vec<&str> = rows.iter().map(|row| row["as"].as_str().unwrap()).collect();
    assert_eq!(called, ["heading", "motor", "note", "motor"]);
}

/// A power factor among the readings was measured with them; beside the plate it is the plate's.
#[test]
fn a_power_factor_among_readings() {
    let found = report(&list(
        "Amps R;Amps Y;Amps B;p.f.;Input kW",
        ["16;16;16;0.78;8.6", "8;8;8;0.72;4", "30;30;30;0.83;17"],
    ));
    assert_eq!(reading(&found, 2, "power_factor"), "-", "{}", found["columns"]);
    assert!(told(&found, "among readings"), "{}", found["doubts"]);
    let found = report(&list("p.f.;Meas. A;Input kW", ["0.84;16;8.6", "0.8;8;4", "0.86;30;17"]));
    assert_eq!(reading(&found, 2, "power_factor"), "0.84");
}

/// 121 hp are 90 kW worked out: the series says which of two columns is the plate's.
#[test]
fn the_rating_of_the_series_is_the_plates() {
    let found = report(
        "Mill;HP;kW;V;A;rpm\nN1;121;90;400;158;1485\nN2;177;132;400;230;1485\nN3;30;22;400;41;1475\nN4;101;75;400;134;985\nN5;74;55;400;98;1480\n",
    );
    assert_eq!(reading(&found, 2, "rated_power"), "90 kW");
    assert_eq!(reading(&found, 4, "rated_power"), "22 kW");
    // As plates of hp have it.
    let found = report(
        "Mill;HP;kW;V;A;rpm\nN1;125;93;460;143;1785\nN2;200;149;460;226;1785\nN3;30;22.4;460;36;1770\nN4;100;74.6;460;115;1185\nN5;75;56;460;88;1780\n",
    );
    assert_eq!(reading(&found, 2, "rated_power"), "125 hp");
}

/// Hours a day on some days a year: 16 h · 250 = 4000 h.
#[test]
fn hours_a_day_and_days_a_year() {
    for heads in [
        "Heures / jour;Jours / an",
        "Runtime h/d;Days/yr",
        "Laufzeit [h/d];Tage/a",
        "horas/dia;días/año",
    ] {
        let found = report(&list(heads, ["16;250", "24;365", "8;300"]));
        assert_eq!(
            reading(&found, 2, "hours_per_day"),
            "16 h",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(
            reading(&found, 2, "hours_per_year"),
            "4000 h",
            "{heads}: {}",
            found["columns"]
        );
        assert_eq!(reading(&found, 3, "hours_per_year"), "8760 h", "{heads}");
    }
    let found = report(&list("Runtime h/d", ["16", "24", "8"]));
    assert_eq!(reading(&found, 2, "hours_per_year"), "-");
}

/// Three sets of phases under weeks: the last week's, and the others are named.
#[test]
fn phases_of_several_weeks() {
    let found = report(
        "Pump;kW;V;FLA;rpm;Week 7 L1;Week 7 L2;Week 7 L3;Week 8 L1;Week 8 L2;Week 8 L3\n\
         N1;11;400;21;1465;15;15;15;16;16.5;15.5\nN2;5.5;400;11;1455;7;7;7;8;8;8\nN3;22;400;41;1470;29;29;29;30;30;30\n",
    );
    assert_eq!(reading(&found, 2, "measured_current"), "16 A", "{}", found["columns"]);
    assert!(
        told(&found, "Week 7 L1") && told(&found, "Week 8 L1"),
        "{}",
        found["doubts"]
    );
}
