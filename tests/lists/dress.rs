//! Further lists in other dress, invented for these tests: other languages, other layouts, other habits.

use polepair::plates::{Import, Options, import};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use serde_json::Value;

use crate::options;
use crate::packages::{file, ods};

/// The report of a list, read in this process.
fn report(name: &str, bytes: &[u8]) -> Value {
    serde_json::to_value(&imported(name, bytes).report).unwrap()
}

fn imported(name: &str, bytes: &[u8]) -> Import {
    let (_folder, path) = file(name, bytes);
    import(&path, &Options::default()).unwrap()
}

fn row(report: &Value, number: u64) -> &Value {
    report["rows"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["source_row"] == number)
        .unwrap()
}

/// `value unit` of a reading, or the values joined.
fn reading(report: &Value, number: u64, key: &str) -> String {
    let reading = &row(report, number)["readings"][key];
    let value = match &reading["value"] {
        Value::String(text) => text.clone(),
        Value::Array(values) => values
            .iter()
            .map(|value| value.as_str().unwrap())
            .collect::<Vec<_>>()
            .join("/"),
        Value::Null => return "-".to_owned(),
        other => panic!("{other}"),
    };
    match reading["unit"].as_str().unwrap_or("1") {
        "1" => value,
        unit => format!("{value} {unit}"),
    }
}

fn calls(report: &Value) -> Vec<(u64, String)> {
    report["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            (
                row["source_row"].as_u64().unwrap(),
                row["as"].as_str().unwrap().to_owned(),
            )
        })
        .collect()
}

fn rules(report: &Value) -> Vec<(Option<u64>, String)> {
    report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|doubt| (doubt["source_row"].as_u64(), doubt["rule"].as_str().unwrap().to_owned()))
        .collect()
}

#[test]
fn french_semicolons_in_windows_1252() {
    let text = "Laiterie de la Combe Verte;;;;;;;;;\r\n\
        R\u{e9}seau 3x400 V 50 Hz;;;;;;;;;\r\n\
        \r\n\
        Rep\u{e8}re;D\u{e9}signation;Puissance (kW);Vitesse (tr/min);Tension (V);Intensit\u{e9} nominale (A);cos \u{3c6};Rendement (%);Courant mesur\u{e9} (A);Observations\r\n\
        Atelier beurre;;;;;;;;;\r\n\
        P01;Pompe \u{e0} lait;5,5;1455;400;11,2;0,83;89,2;8,4;\r\n\
        P02;Agitateur;1,1;920;400;3,1;0,71;n.c.;2,2;variateur de fr\u{e9}quence\r\n\
        Total;;6,6;;;;;;;\r\n";
    let text = text.replace('\u{3c6}', "phi");
    let (bytes, _, _) = encoding_rs::WINDOWS_1252.encode(&text);
    let report = report("liste.csv", &bytes);
    assert_eq!(report["language"], "fr");
    assert_eq!(
        calls(&report)
            .iter()
            .map(|(_, called)| called.as_str())
            .collect::<Vec<_>>(),
        ["note", "note", "blank", "heading", "area", "motor", "motor", "total"]
    );
    assert_eq!(reading(&report, 6, "description"), "Pompe à lait");
    assert_eq!(reading(&report, 6, "rated_power"), "5.5 kW");
    assert_eq!(reading(&report, 6, "area"), "Atelier beurre");
    assert_eq!(reading(&report, 6, "frequency"), "50 Hz");
    assert_eq!(reading(&report, 6, "poles"), "4");
    assert_eq!(reading(&report, 7, "poles"), "6");
    assert_eq!(reading(&report, 7, "efficiency"), "-");
    assert_eq!(reading(&report, 6, "measured_current"), "8.4 A");
    assert_eq!(rules(&report), [(Some(7), "drive-fed".to_owned())]);
}

#[test]
fn spanish_workbook_with_metric_horsepower() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Motores").unwrap();
    let lines: &[&[&str]] = &[
        &["Planta de áridos El Sauce, 380 V 50 Hz"],
        &[
            "Equipo",
            "Código",
            "Potencia (CV)",
            "Velocidad (rpm)",
            "Corriente nominal (A)",
            "Corriente medida (A)",
            "Cant.",
        ],
        &["Cinta 1", "C-01", "20", "1460", "30", "21", "1"],
        &["Cinta 2", "C-02", "7 1/2", "1.440", "11,5", "9,1", "2"],
        &["Zaranda", "Z-01", "11 kW", "965", "24", "s/d", "1"],
    ];
    for (row, line) in lines.iter().enumerate() {
        for (column, text) in line.iter().enumerate() {
            match text.parse::<f64>() {
                Ok(number) if text.len() < 5 => sheet.write(row as u32, column as u16, number).unwrap(),
                _ => sheet.write(row as u32, column as u16, *text).unwrap(),
            };
        }
    }
    let report = report("motores.xlsx", &book.save_to_buffer().unwrap());
    assert_eq!(report["language"], "es");
    assert_eq!(reading(&report, 3, "rated_power"), "20 PS");
    assert_eq!(reading(&report, 4, "rated_power"), "7.5 PS");
    assert_eq!(reading(&report, 5, "rated_power"), "11 kW");
    assert_eq!(reading(&report, 4, "rated_speed"), "1440 r/min");
    assert_eq!(reading(&report, 4, "rated_current"), "11.5 A");
    assert_eq!(reading(&report, 5, "measured_current"), "-");
    assert_eq!(reading(&report, 5, "poles"), "6");
    assert!(rules(&report).contains(&(None, "mixed-power-units".to_owned())));
}

#[test]
fn portuguese_headings() {
    let text = "Identificação;Equipamento;Potência (cv);Rotação (rpm);Tensão (V);Corrente (A);Rendimento (%);Fator de potência\n\
        M1;Ventilador;10;1760;220/380/440;26,4/15,3/13,2;91,0;0,83\n\
        M2;Bomba;25;3540;220/380/440;61,8/35,8/30,9;91,7;0,88\n\
        M3;Britador;50;1775;220/380/440;122/70,6/61;93,0;0,86\n";
    let report = report("motores.csv", text.as_bytes());
    assert_eq!(reading(&report, 2, "rated_power"), "10 PS");
    assert_eq!(reading(&report, 3, "voltage"), "220/380/440 V");
    assert_eq!(reading(&report, 3, "rated_current"), "61.8/35.8/30.9 A");
    // Nothing says the frequency: the speeds do, and the report says that it was guessed.
    assert_eq!(reading(&report, 2, "frequency"), "60 Hz");
    assert!(rules(&report).contains(&(None, "frequency-guessed".to_owned())));
}

#[test]
fn marks_of_a_workbook() {
    let mut book = Workbook::new();
    let cover = book.add_worksheet();
    cover.write(0, 0, "Cover").unwrap();
    let sheet = book.add_worksheet();
    sheet.set_name("Drives 460 V 60 Hz").unwrap();
    let struck = Format::new().set_font_strikethrough();
    let percent = Format::new().set_num_format("0.0%");
    let date = Format::new().set_num_format("d-mmm");
    for (column, text) in ["Tag", "Service", "HP", "RPM", "FLA", "Eff", "PF", "Amps", "Old HP"]
        .iter()
        .enumerate()
    {
        sheet.write(0, column as u16, *text).unwrap();
    }
    for (column, text) in ["A", "B", "C", "D", "E", "F", "G", "H", "I"].iter().enumerate() {
        sheet.write(1, column as u16, *text).unwrap();
    }
    for (row, tag, power, speed, amps) in [
        (2u32, "P-1", 10.0, 1755.0, 12.4),
        (3, "P-2", 15.0, 1760.0, 18.2),
        (4, "P-3", 20.0, 1765.0, 24.1),
    ] {
        sheet.write(row, 0, tag).unwrap();
        sheet.write(row, 1, "pump").unwrap();
        sheet.write(row, 2, power).unwrap();
        sheet.write(row, 3, speed).unwrap();
        sheet.write(row, 4, amps).unwrap();
        sheet.write_with_format(row, 5, 0.917, &percent).unwrap();
        sheet.write(row, 6, 0.84).unwrap();
        sheet.write(row, 7, amps * 0.7).unwrap();
        sheet.write(row, 8, power).unwrap();
    }
    for column in 0..8 {
        sheet
            .write_with_format(4, column, if column < 2 { "P-3" } else { "20" }, &struck)
            .unwrap();
    }
    sheet.set_row_hidden(3).unwrap();
    sheet.set_column_hidden(8).unwrap();
    sheet.write(5, 0, "P-4").unwrap();
    sheet
        .write_with_format(5, 2, ExcelDateTime::from_ymd(2026, 2, 1).unwrap(), &date)
        .unwrap();
    sheet.write(5, 3, 1750.0).unwrap();
    sheet
        .write_formula(5, 4, Formula::new("1/0").set_result("#DIV/0!"))
        .unwrap();
    let report = report("drives.xlsx", &book.save_to_buffer().unwrap());
    assert_eq!(report["sheet"], "Drives 460 V 60 Hz");
    assert_eq!(row(&report, 2)["as"], "letters");
    assert_eq!(reading(&report, 3, "frequency"), "60 Hz");
    assert_eq!(reading(&report, 3, "efficiency"), "91.7 %");
    assert_eq!(reading(&report, 3, "rated_power"), "10 hp");
    assert_eq!(reading(&report, 3, "measured_current"), "8.68 A");
    assert_eq!(row(&report, 4)["hidden"], true);
    assert_eq!(row(&report, 5)["struck_through"], true);
    let rules = rules(&report);
    for expected in [
        (None, "column-hidden"),
        (Some(4), "row-hidden"),
        (Some(5), "row-struck-through"),
        (Some(6), "date-for-number"),
    ] {
        assert!(
            rules.contains(&(expected.0, expected.1.to_owned())),
            "{expected:?} in {rules:?}"
        );
    }
}

#[test]
fn two_tables_in_one_sheet() {
    let text = "Pumps,,,,\n\
        Tag,Motor kW,RPM,FLA (A),Volts\n\
        P-1,5.5,1455,10.9,400\n\
        P-2,7.5,1460,14.6,400\n\
        ,,,,\n\
        Fans,,,,\n\
        Tag,FLA (A),Motor kW,Volts,RPM\n\
        F-1,21.5,11,400,1465\n\
        F-2,41.0,22,400,1470\n";
    let report = report("plant.csv", text.as_bytes());
    assert_eq!(row(&report, 3)["table"], 1);
    assert_eq!(row(&report, 8)["table"], 2);
    assert_eq!(reading(&report, 8, "rated_power"), "11 kW");
    assert_eq!(reading(&report, 8, "rated_current"), "21.5 A");
    assert_eq!(report["computed"].as_array().unwrap().len(), 4);
}

#[test]
fn unit_column_and_grouped_headings_without_merges() {
    let text = "Tag;Nameplate;;;;;Readings;;\n\
        ;Rating;Unit;Volts;Amps;RPM;Volts;Amps;RPM\n\
        ;;;V;A;r/min;V;A;r/min\n\
        M-1;10;hp;460;12.4;1755;462;8.8;1772\n\
        M-2;7.5;kW;400;14.6;1460;398;11.0;1473\n";
    let report = report("units.csv", text.as_bytes());
    assert_eq!(reading(&report, 4, "rated_power"), "10 hp");
    assert_eq!(reading(&report, 5, "rated_power"), "7.5 kW");
    assert_eq!(reading(&report, 4, "rated_current"), "12.4 A");
    assert_eq!(reading(&report, 4, "measured_current"), "8.8 A");
    assert_eq!(reading(&report, 4, "measured_speed"), "1772 r/min");
    assert_eq!(row(&report, 3)["as"], "unit row");
}

#[test]
fn horsepower_under_a_heading_of_kilowatts() {
    // Ratings of the hp series whose amps, efficiency and power factor at 460 V belong to that many hp.
    let mut text = "Tag,kW,Volts,FLA,Eff,PF,RPM\n".to_owned();
    for (number, power, amps) in [
        (1, 10.0, 12.4),
        (2, 15.0, 18.2),
        (3, 20.0, 24.1),
        (4, 25.0, 30.0),
        (5, 30.0, 35.8),
        (6, 40.0, 47.5),
    ] {
        text.push_str(&format!("M-{number},{power},460,{amps},92.0,0.84,1765\n"));
    }
    let report = report("plant.csv", text.as_bytes());
    assert!(
        rules(&report).contains(&(None, "other-power-unit".to_owned())),
        "{:?}",
        rules(&report)
    );
    // The column is doubted once, not every row.
    assert!(!rules(&report).iter().any(|(_, rule)| rule == "plate-power-ratio"));
}

#[test]
fn doubts_of_impossible_values() {
    let text = "Tag,Motor kW,Poles,RPM,Volts,FLA,Eff %,PF,Meas V,Meas A,Meas kW,Meas RPM,Hrs/yr\n\
        A-1,11,4,1465,400,21.0,91.0,0.84,401,15.0,9.2,1502,9000\n\
        A-2,11,6,1465,400,21.0,910,0.84,401,28.0,12.0,1475,4000\n\
        A-2,11,4,1500,400,21.0,91.0,0.84,231,15.0,8.0,1480,4000\n\
        Note 1: 50 Hz\n";
    let report = report("plant.csv", text.as_bytes());
    let rules = rules(&report);
    for expected in [
        (2, "speed-above-synchronous"),
        (2, "hours-above-year"),
        (3, "efficiency-impossible"),
        (3, "poles-against-speed"),
        (3, "current-above-plate"),
        (3, "tag-twice"),
        (4, "tag-twice"),
        (4, "plate-speed-synchronous"),
        (4, "voltage-off-plate"),
        (4, "power-above-apparent"),
    ] {
        assert!(
            rules.contains(&(Some(expected.0), expected.1.to_owned())),
            "{expected:?} in {rules:?}"
        );
    }
}

#[test]
fn text_that_looks_like_a_formula_stays_text() {
    let report = report(
        "plant.csv",
        b"Tag,Service,Motor kW,RPM,FLA\n'=P-1,'+pump,5.5,1455,10.9\nP-2,-,7.5,1460,14.6\n",
    );
    assert_eq!(reading(&report, 2, "tag"), "=P-1");
    assert_eq!(reading(&report, 2, "description"), "+pump");
}

#[test]
fn the_list_written_reads_back() {
    let import = imported(
        "plant.csv",
        b"Plant 400 V 50 Hz,,,,\nTag,\"Motor \"\"kW\"\"\",RPM,FLA,Remarks\nP \"1\",5.5,1455,10.9,a|b # c\nP-2,1 HP,1440,1.9,VFD\n",
    );
    let text = polepair::workbook::text::write(&import.workbook);
    let again = polepair::workbook::text::read(&text);
    assert_eq!(polepair::workbook::text::write(&again), text);
    let faults: Vec<_> = again
        .head
        .iter()
        .chain(again.sheets.iter().flat_map(|sheet| &sheet.lines))
        .flat_map(|line| &line.faults)
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    assert!(
        text.contains("1 hp"),
        "a cell in another unit than its column says so: {text}"
    );
}

#[test]
fn an_ods_through_the_reading_process() {
    let row = |cells: &[&str]| -> String {
        let cells: String = cells
            .iter()
            .map(|text| match text.parse::<f64>() {
                _ if text.starts_with("2026-") => format!(r#"<table:table-cell office:value-type="date" office:date-value="{text}"><text:p>01.02.26</text:p></table:table-cell>"#),
                Ok(number) => format!(r#"<table:table-cell office:value-type="float" office:value="{number}"><text:p>{text}</text:p></table:table-cell>"#),
                Err(_) => format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#),
            })
            .collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let bytes = ods(&[
        row(&["Pump hall, 400 V 50 Hz"]),
        row(&["Tag", "Motor kW", "RPM", "FLA (A)", "Measured A"]),
        row(&["P-1", "5.5", "1455", "10.9", "7.7"]),
        row(&["P-2", "7,5", "1460", "14.6", "-"]),
        row(&["P-3", "2026-02-01", "1420", "1.3", "0.9"]),
        row(&["P-4", "2026-02-01T00:00:00", "1420", "1.3", "0.9"]),
    ]
    .concat());
    let (_folder, path) = file("plant.ods", &bytes);
    let report = serde_json::to_value(&import(&path, &options()).unwrap().report).unwrap();
    assert_eq!(report["sort"], "ods");
    assert_eq!(reading(&report, 3, "measured_current"), "7.7 A");
    assert_eq!(reading(&report, 4, "rated_power"), "7.5 kW");
    assert_eq!(reading(&report, 4, "poles"), "4");
    // 1/2 that became the first of February is doubted as in an xlsx, whichever way the day is written.
    for row in [5, 6] {
        let told = report["doubts"].as_array().unwrap().iter();
        let mut told = told.filter(|doubt| doubt["source_row"] == row && doubt["rule"] == "date-for-number");
        let text = told.next().unwrap()["text"].as_str().unwrap();
        assert!(text.contains("2026-02-01") && text.contains("fraction"), "{text}");
    }
    assert!(
        report["remarks"]
            .to_string()
            .contains("hidden rows and columns and struck-through cells are not seen")
    );
}

#[test]
fn an_old_workbook_through_the_reading_process() {
    // Invented; written by the xlwt library of Python, since no library of ours writes this format.
    let path = crate::folder().join("weir-pumps.xls");
    let report = serde_json::to_value(&import(&path, &options()).unwrap().report).unwrap();
    assert_eq!(report["sort"], "xls");
    assert_eq!(reading(&report, 4, "tag"), "WP-1");
    assert_eq!(reading(&report, 4, "rated_power"), "15 kW");
    assert_eq!(reading(&report, 5, "rated_speed"), "975 r/min");
    assert_eq!(reading(&report, 5, "poles"), "6");
    assert_eq!(reading(&report, 5, "frequency"), "50 Hz");
    assert!(
        import(&path, &Options::default())
            .unwrap_err()
            .to_string()
            .contains("process of their own")
    );
}

#[test]
fn the_list_of_the_workbooks_folder() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/quarry-motors.xlsx");
    let mut imported = import(&path, &options()).unwrap();
    let engine = polepair::recalc::Engine::new(imported.workbook.clone());
    assert!(engine.results().faults.is_empty(), "{:?}", engine.results().faults);
    imported.take(engine.results());
    let report = serde_json::to_value(&imported.report).unwrap();
    assert_eq!(report["sheet"], "Motors");
    assert_eq!(report["computed"].as_array().unwrap().len(), 25);
    assert_eq!(calls(&report).iter().filter(|(_, called)| called == "total").count(), 4);
    // The plate and the readings stand under the same words; the line above them tells which is which.
    assert_eq!(reading(&report, 8, "rated_current"), "189 A");
    assert_eq!(reading(&report, 8, "measured_current"), "146 A");
    assert_eq!(reading(&report, 8, "area"), "PRIMARY CRUSHING");
    assert_eq!(reading(&report, 19, "rated_speed"), "1465 r/min");
    assert_eq!(reading(&report, 37, "rated_power"), "10 hp");
    let loads = &report["computed"][0];
    let value = |key: &str| loads[key]["value"].as_str().unwrap().parse::<f64>().unwrap();
    // By hand for PC-101: 6 poles at 50 Hz turn at 1000 r/min; 82.1 kW · 0.951 / 110 kW = 70.979 %;
    // (1000 − 993) / (1000 − 990) = 70 %; 146 · 414 / (189 · 415) = 77.062 %; torque 9549.297 · 110 / 990 = 1061.033 N·m.
    assert_eq!(value("synchronous_speed"), 1000.0);
    assert!((value("load_by_power") - 70.979).abs() < 0.001);
    assert!((value("load_by_slip") - 70.0).abs() < 1e-9);
    assert!((value("load_by_current") - 77.0625).abs() < 0.001);
    assert!((value("rated_torque") - 1061.033).abs() < 0.001);
    let rules = rules(&report);
    for expected in [
        (24, "plate-speed-synchronous"),
        (26, "drive-fed"),
        (27, "efficiency-scale"),
        (38, "power-above-apparent"),
    ] {
        assert!(
            rules.contains(&(Some(expected.0), expected.1.to_owned())),
            "{expected:?} in {rules:?}"
        );
    }
}

/// Pole pairs under a heading or in the cell are twice as many poles; a cell that says poles is left alone.
#[test]
fn pole_pairs_are_not_poles() {
    for (heading, cells) in [
        ("Pole pairs", ["2", "3", "4 poles"]),
        ("Polpaare", ["2", "3", "4-polig"]),
        ("Poles", ["2 pole pairs", "3 pairs", "4"]),
    ] {
        let text = format!(
            "Tag;kW;{heading};Rated rpm;Hz\nA1;200;{};1485;50\nA2;400;{};990;50\nA3;110;{};1480;50\n",
            cells[0], cells[1], cells[2]
        );
        let report = report("pairs.csv", text.as_bytes());
        assert_eq!(
            [2, 3, 4].map(|number| reading(&report, number, "poles")),
            ["4", "6", "4"],
            "{heading}"
        );
        assert_eq!(rules(&report), [], "{heading}");
    }
}

/// 24.5 rev/s are 1470 r/min, 0.2 MW are 200 kW, 21 500 mA are 21.5 A, 10π rad/s · 60/(2π) = 300 r/min.
#[test]
fn units_that_stand_on_no_plate_are_converted() {
    let text = "Tag;Power (MW);Rated speed (rev/s);Rated current (mA);Measured speed\n;;;;\nA1;0.2;24.5;21500;1478\nA2;0.1;24.6;11000;1480\n";
    let found = report("units.csv", text.as_bytes());
    assert_eq!(reading(&found, 3, "rated_power"), "200 kW");
    assert_eq!(reading(&found, 3, "rated_speed"), "1470 r/min");
    assert_eq!(reading(&found, 3, "rated_current"), "21.5 A");
    assert_eq!(found["columns"][1]["unit"], "MW");
    // Metres a second are no speed of rotation: said, with the unit that does not fit.
    let odd = report(
        "odd.csv",
        b"Tag;kW;Rated rpm;Measured speed (m/s)\nA1;15;1465;1478\nA2;11;1460;1475\n",
    );
    let doubt = odd["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|doubt| doubt["rule"] == "column-doubtful");
    assert!(doubt.unwrap()["text"].as_str().unwrap().contains("m/s"), "{odd}");
}

/// Three columns that differ by the letter of the phase are one reading, whatever the letters.
#[test]
fn three_phases_without_the_word_measured() {
    for heads in [
        "Amps A;Amps B;Amps C",
        "Current L1;Current L2;Current L3",
        "Strom R;Strom S;Strom T",
    ] {
        let text = format!("Tag;kW;Rated rpm;FLA;{heads}\nA1;15;1465;28.5;20;21;22\nA2;11;1460;21;16;16;16\n");
        let found = report("phases.csv", text.as_bytes());
        assert_eq!(reading(&found, 2, "measured_current"), "21 A", "{heads}");
        assert_eq!(reading(&found, 2, "rated_current"), "28.5 A", "{heads}");
    }
}

/// German short words for measured; without them the measured power would be taken for the rating.
#[test]
fn short_words_for_measured() {
    let text = "Tag;P gem. [kW];P [kW];n [min-1];n gem. [min-1]\nA1;5,2;7,5;1450;1470\nA2;7,3;11;1460;1475\n";
    let found = report("gem.csv", text.as_bytes());
    assert_eq!(reading(&found, 2, "rated_power"), "7.5 kW");
    assert_eq!(reading(&found, 2, "measured_power"), "5.2 kW");
    assert_eq!(reading(&found, 2, "measured_speed"), "1470 r/min");
}

/// Tables side by side are told by their headings; a gap in one table is no border, and tables may stand without a gap.
#[test]
fn an_empty_column_tears_no_table_apart() {
    let gap = report(
        "gap.csv",
        b"Tag;Driven machine;Rated kW;rpm;A;;Measured kW;Measured A;Measured rpm\n\
          F-1;Fan;15;1465;28;;9;18;1478\nF-2;Pump;11;1460;21;;8;15;1471\n",
    );
    assert_eq!(
        calls(&gap),
        [(1, "heading"), (2, "motor"), (3, "motor")].map(|(row, word)| (row, word.to_owned()))
    );
    assert_eq!(reading(&gap, 2, "measured_power"), "9 kW");
    assert_eq!(reading(&gap, 2, "tag"), "F-1");
    let none = report(
        "none.csv",
        b"Tag;kW;rpm;A;Tag;kW;rpm;A\nF-1;15;1465;28;P-1;22;2940;39\nF-2;11;1460;21;;;;\n;;;;P-3;4;1440;8.1\n",
    );
    let motors: Vec<(u64, u64, &str)> = none["rows"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["as"] == "motor")
        .map(|row| {
            let tag = row["readings"]["tag"]["value"].as_str().unwrap();
            (row["source_row"].as_u64().unwrap(), row["table"].as_u64().unwrap(), tag)
        })
        .collect();
    assert_eq!(motors, [(2, 1, "F-1"), (2, 2, "P-1"), (3, 1, "F-2"), (4, 2, "P-3")]);
    // The load columns know which motor they belong to, and the heading stands once.
    let computed: Vec<&str> = none["computed"]
        .as_array()
        .unwrap()
        .iter()
        .map(|motor| motor["tag"].as_str().unwrap())
        .collect();
    assert_eq!(computed, ["F-1", "F-2", "P-1", "P-3"]);
    let headings = none["rows"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["as"] == "heading");
    assert_eq!(headings.count(), 1);
}

/// A column of 1500 and 3000 alone holds no plate speeds. With one real plate speed among them it does.
#[test]
fn speeds_that_are_all_synchronous() {
    let list = |speed: &str| {
        format!(
            "Tag;Motor kW;Speed;Measured speed\nP-1;15;{speed};1478\nP-2;11;3000;2960\nP-3;7,5;1500;1470\nP-4;5,5;3000;2950\n"
        )
    };
    let all = report("all.csv", list("1.500").as_bytes());
    assert_eq!(reading(&all, 2, "synchronous_speed"), "1500 r/min");
    assert_eq!(reading(&all, 3, "rated_speed"), "-");
    assert_eq!(reading(&all, 2, "poles"), "4");
    assert_eq!(reading(&all, 3, "poles"), "2");
    assert_eq!(reading(&all, 2, "frequency"), "50 Hz");
    assert_eq!(reading(&all, 2, "measured_speed"), "1478 r/min");
    let doubt = all["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|doubt| doubt["rule"] == "column-doubtful");
    assert!(
        doubt.unwrap()["text"].as_str().unwrap().contains("synchronous"),
        "{doubt:?}"
    );
    let one = report("one.csv", list("1460").as_bytes());
    assert_eq!(reading(&one, 2, "rated_speed"), "1460 r/min");
    assert_eq!(reading(&one, 3, "rated_speed"), "3000 r/min");
}

/// Speeds in the proportion of 50 to 60 Hz are those of a plate for both; others are those of two numbers of poles.
#[test]
fn plates_for_two_frequencies_and_for_two_speeds() {
    let list = |supply: &str| {
        let text = format!(
            "Pumps, {supply}\nTag;kW;rpm;Volts;FLA\nF-1;5.5/6.3;1450/1750;400/460;10.9/10.9\nF-2;6.3/5.5;1750/1450;460/400;10.9/10.8\n\
             F-3;5.5/1.1;2900/1450;400;10.9/3\n"
        );
        imported("two.csv", text.as_bytes())
    };
    let doubts = |import: &Import, row: u32| -> Vec<&str> {
        let here = import
            .report
            .doubts
            .iter()
            .filter(|doubt| doubt.source_row == Some(row));
        here.map(|doubt| doubt.rule).collect()
    };
    let sixty = list("460 V 60 Hz");
    let report = serde_json::to_value(&sixty.report).unwrap();
    assert_eq!(reading(&report, 3, "rated_power"), "5.5/6.3 kW");
    assert_eq!(reading(&report, 3, "frequency"), "50/60 Hz");
    assert!(doubts(&sixty, 3).contains(&"two-frequencies") && doubts(&sixty, 4).contains(&"two-frequencies"));
    assert!(
        !doubts(&sixty, 5).contains(&"two-frequencies"),
        "{:?}",
        doubts(&sixty, 5)
    );
    let text = polepair::workbook::text::write(&sixty.workbook);
    for part in ["6.3 kW", "1750 r/min", "460 V", "10.9 A", "60 Hz"] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains("| 1450 r/min"), "{text}");
    let fifty = list("400 V 50 Hz");
    let text = polepair::workbook::text::write(&fifty.workbook);
    assert!(
        text.contains("5.5 kW") && text.contains("1450 r/min") && text.contains("10.8 A"),
        "{text}"
    );
    // Without a supply nothing is chosen, and that is said.
    let unknown = list("invented");
    let said = unknown
        .report
        .doubts
        .iter()
        .find(|doubt| doubt.rule == "two-frequencies")
        .unwrap();
    assert!(said.text.contains("none of its pairs"), "{}", said.text);
    assert!(!polepair::workbook::text::write(&unknown.workbook).contains("| 6.3 kW"));
}

/// A plate that may be fed with 50 or 60 Hz and gives each value once: its pairs are those of star and delta, not of the frequencies.
#[test]
fn pairs_of_connections_are_not_those_of_frequencies() {
    let import = imported(
        "both.csv",
        b"Pumps, supply 690 V 50 Hz\nTag;kW;rpm;Volts;FLA;Hz\nF-1;7.5;1455;400/690;14.4/8.3;50/60\nF-2;5.5/6.3;1450/1750;400/460;10.9/10.8;50/60\n",
    );
    let doubts = |row: u32| -> Vec<(&str, &str)> {
        let here = import
            .report
            .doubts
            .iter()
            .filter(|doubt| doubt.source_row == Some(row));
        here.map(|doubt| (doubt.rule, doubt.level)).collect()
    };
    assert!(doubts(3).contains(&("two-frequencies", "note")), "{:?}", doubts(3));
    assert!(doubts(4).contains(&("two-frequencies", "warning")), "{:?}", doubts(4));
    let text = polepair::workbook::text::write(&import.workbook);
    for part in ["690 V", "8.3 A", "1455 r/min", "1450 r/min", "400 V", "10.9 A"] {
        assert!(text.contains(part), "{part} in {text}");
    }
}

/// Plate values at 50 and at 60 Hz in columns of their own are pairs too.
#[test]
fn columns_for_two_frequencies() {
    let list = |hertz: u32| {
        format!(
            "Yard list, supply 440 V {hertz} Hz\nTag;Machine;kW 50 Hz;kW (at 60 Hz);rpm 50 Hz;rpm 60 Hz;Volts;A 50 Hz;A 60 Hz;Meas. A\n\
             W-1;Winch;11;12,6;1460;1760;440;20,8;20,7;15\nW-2;Capstan;5,5;6,3;1450;1750;440;10,9;10,8;8\nW-3;Fan;;2,5;;1735;440;;4,6;3\n"
        )
    };
    let sixty = imported("hertz.csv", list(60).as_bytes());
    let report = serde_json::to_value(&sixty.report).unwrap();
    assert_eq!(reading(&report, 3, "rated_power"), "11/12.6 kW");
    assert_eq!(reading(&report, 3, "rated_speed"), "1460/1760 r/min");
    assert_eq!(reading(&report, 3, "frequency"), "50/60 Hz");
    assert_eq!(reading(&report, 3, "rated_current"), "20.8/20.7 A");
    assert_eq!(reading(&report, 3, "measured_speed"), "-");
    assert_eq!(reading(&report, 3, "measured_current"), "15 A");
    // A plate for one of them alone.
    assert_eq!(reading(&report, 5, "rated_power"), "2.5 kW");
    assert_eq!(reading(&report, 5, "frequency"), "60 Hz");
    let text = polepair::workbook::text::write(&sixty.workbook);
    for part in ["12.6 kW", "1760 r/min", "20.7 A", "2.5 kW"] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains("11 kW"), "{text}");
    let fifty = polepair::workbook::text::write(&imported("hertz.csv", list(50).as_bytes()).workbook);
    assert!(
        fifty.contains("11 kW") && fifty.contains("1460 r/min") && fifty.contains("10.9 A"),
        "{fifty}"
    );
}

/// What lists of switchboards have: the driven machine under `Load`, two units in one heading, the voltage behind the currents.
#[test]
fn a_list_of_a_switchboard() {
    let report = report(
        "mcc.csv",
        b"MCC;Load;kW (HP);FLC @415V;Qty (duty/stby);Starter;Run A (R);Run A (Y);Run A (B);Remarks\n\
          MCC-1;Raw water pump;37 (50);66;2D+1S;S/D;48;47.5;49;\n\
          ;Sump pump;5.5 (7.5);11;1D + 1S;DOL;7.9;8.1;8;TBC\n\
          ;Crane hoist;10/7.5;15;1;VFD;;;;as per vendor\n\
          MCC-2;Blower;75 (100);130;2D;Soft starter;101;99;100;\n",
    );
    assert_eq!(reading(&report, 2, "description"), "Raw water pump");
    assert_eq!(reading(&report, 2, "rated_power"), "37 kW");
    assert_eq!(reading(&report, 3, "rated_power"), "5.5 kW");
    // Told by the numbers, not by the order.
    assert_eq!(reading(&report, 4, "rated_power"), "7.5 kW");
    assert_eq!(reading(&report, 2, "rated_current"), "66 A");
    assert_eq!(reading(&report, 2, "voltage"), "415 V");
    assert_eq!(reading(&report, 2, "quantity"), "3");
    assert_eq!(reading(&report, 5, "quantity"), "2");
    assert_eq!(reading(&report, 2, "measured_current"), "48.1667 A");
    assert_eq!(reading(&report, 2, "load"), "-");
    let rules: Vec<&str> = report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|doubt| doubt["rule"].as_str().unwrap())
        .collect();
    assert!(
        !rules.contains(&"text-not-read") && !rules.contains(&"several-values"),
        "{rules:?}"
    );
}

/// A schedule by marks: several motors on a line, currents without a plate voltage.
#[test]
fn a_schedule_by_marks() {
    let import = imported(
        "hvac.csv",
        b"Power system: 3PH, 60HZ, 575V\nMark;Equipment;Motor data;;;;;Field readings (avg);;\n\
          ;;HP;RPM;FLA;Eff %;P.F. %;Volts;Amps;kW\nAHU-1;Supply fan;25;1770;24.0;93.6;82;581;18.1;\n\
          P-1, P-2;Chilled water pumps;(2) 15;1765;14.5;92.4;84;579;11.0;8.6\nTOTAL HP;;55;;;;;;;\n",
    );
    let report = serde_json::to_value(&import.report).unwrap();
    assert_eq!(reading(&report, 4, "tag"), "AHU-1");
    assert_eq!(reading(&report, 5, "rated_power"), "15 hp");
    let text = polepair::workbook::text::write(&import.workbook);
    assert!(text.contains("work load_A"), "{text}");
    // 24 A · (0.572364 − 0.82 · (3 − √8)) = 10.36 A without load; √((18.1² − 10.36²) / (24² − 10.36²)) = 68.56 %.
    let engine = polepair::recalc::Engine::new(import.workbook.clone());
    let mut worked = import.report.clone();
    worked.take(engine.results());
    assert_eq!(worked.computed.best(0), "68.6 % (C)");
}

/// French in short words; power taken in that is not said to be measured is doubted.
#[test]
fn french_in_short_words() {
    let report = report(
        "step.csv",
        "Rep;Désignation;Puiss. abs. (kW);Pn (kW);In (A) 400V;Nn;Rdt;Cos;Mode dém.;U mes\n\
         A1;Dégrilleur;0,9;1,1;2,6;1430;82;0,76;DD;401\nA2;Pompe relevage;9,1;11;21;1460;90;0,86;ET;399\n"
            .as_bytes(),
    );
    assert_eq!(reading(&report, 2, "rated_power"), "1.1 kW");
    assert_eq!(reading(&report, 2, "measured_power"), "0.9 kW");
    assert_eq!(reading(&report, 2, "efficiency"), "82 %");
    assert_eq!(reading(&report, 2, "measured_voltage"), "401 V");
    assert_eq!(reading(&report, 3, "drive"), "ET");
    let said = report["doubts"].as_array().unwrap().iter().any(|doubt| {
        doubt["rule"] == "column-doubtful"
            && doubt["text"]
                .as_str()
                .unwrap()
                .contains("do not say that it was measured")
    });
    assert!(said, "{}", report["doubts"]);
}

/// All three phases in one cell under a heading that names them.
#[test]
fn three_phases_in_one_cell() {
    let report = report(
        "werk.csv",
        "lfd. Nr.;Anlagenkennz.;Benennung;P2 [kW];Polzahl;U/f;In [A];cosφ/η;Imess [A] L1/L2/L3\n\
         1;PW-01;Hauptpumpe 1;55;4-pol;400 V / 50 Hz;97;0,87/94,6 %;71,2 / 70,8 / 71,9\n\
         2;PW-02;Hauptpumpe 2;\"\"\"\";\"\"\"\";\"\"\"\";\"\"\"\";\"\"\"\";68 / 69 / 68\n"
            .as_bytes(),
    );
    assert_eq!(reading(&report, 2, "tag"), "PW-01");
    // (71.2 + 70.8 + 71.9) / 3 = 71.3.
    assert_eq!(reading(&report, 2, "measured_current"), "71.3 A");
    assert_eq!(reading(&report, 3, "measured_current"), "68.3333 A");
    assert_eq!(reading(&report, 3, "rated_power"), "55 kW");
    assert_eq!(reading(&report, 2, "efficiency"), "94.6 %");
    assert_eq!(reading(&report, 2, "frequency"), "50 Hz");
}

#[test]
fn what_is_no_table_of_motors() {
    for (name, text) in [
        (
            "cars",
            "Model;Power (hp);Cylinders;Weight kg;Year\nBreeze;75;4;1200;2001\nGale;110;4;1300;2004\n",
        ),
        (
            "sets",
            "Set;Rating kVA;Voltage;Frequency;Fuel\nG1;500;400;50;diesel\nG2;250;400;50;diesel\n",
        ),
        ("readings", "Time;Temperature;Power kW\n08:00;20;3\n08:15;21;3\n"),
        (
            "cables",
            "Cable;From;To;Cores;Section mm2;Length m;Current A\nW1;A;B;4;2.5;33;20\n",
        ),
    ] {
        let (_folder, path) = file(&format!("{name}.csv"), text.as_bytes());
        let error = import(&path, &Options::default()).unwrap_err();
        assert!(
            error.cause.found.contains("this is what was seen"),
            "{name}: {}",
            error.cause.found
        );
        assert_eq!(error.report.unwrap().doubts.len(), 0);
    }
    // Hours a day are not hours a year.
    let report = report("hours.csv", b"Tag;kW;rpm;Hours/day\nF-1;15;1465;16\n");
    assert_eq!(reading(&report, 2, "hours_per_year"), "-");
    assert_eq!(reading(&report, 2, "hours_per_day"), "16 h");
}

/// A list of tags and whole plates, with no heading of a rating, is a list of motors; one without plates is none.
#[test]
fn whole_plates_make_a_table() {
    for heading in ["Nameplate", "Was draufsteht"] {
        let text = format!(
            "Motors 400 V 50 Hz (invented);;\nNo;Motor name;{heading}\n1;Fan;15 kW 400 V 28.5 A 1465 rpm cos 0.85\n\
             2;Pump;see photo\nNo;Motor name;{heading}\n3;Mill;P=7,5kW / U=400V / I=14,6A / n=1455/min / cosφ=0,84\n4;Saw;11 kW 400 V 21.2 A 1465 rpm\n"
        );
        let (_folder, path) = file("plates.csv", text.as_bytes());
        let report = serde_json::to_value(&import(&path, &Options::default()).unwrap().report).unwrap();
        assert_eq!(
            calls(&report).iter().filter(|(_, called)| called == "motor").count(),
            4,
            "{heading}"
        );
        let readings = &report["rows"][2]["readings"];
        for (key, value) in [
            ("rated_power", "15"),
            ("rated_speed", "1465"),
            ("rated_current", "28.5"),
        ] {
            assert_eq!(readings[key]["value"], value, "{heading}: {key}");
        }
        assert_eq!(
            report["rows"][5]["readings"]["rated_power"]["value"], "7.5",
            "{heading}"
        );
    }
    let (_folder, path) = file("none.csv", b"No;Name;Note\n1;Fan;see photo\n2;Pump;15 kW\n3;Mill;old\n");
    assert!(import(&path, &Options::default()).is_err());
}

/// Whether the motor of a row stands by as a whole.
fn stands_by(report: &Value, number: u64) -> bool {
    row(report, number)["standby"].as_bool().unwrap_or(false)
}

/// A box to tick, a yes or a word of the state says which motors stand by, in its own column or where a reading should be.
#[test]
fn columns_that_say_which_motors_stand_by() {
    for (heading, running, standing) in [
        ("Standby", "", "X"),
        ("RESERVA", "", "x"),
        ("Reserva", "No", "S\u{ed}"),
        ("Reserve", "nein", "ja"),
        ("Estado", "Operando", "Reserva"),
        ("Courant mesur\u{e9} (A)", "8", "secours"),
    ] {
        let text = format!(
            "Supply 400 V 50 Hz\nTag;kW;V;FLA;rpm;{heading}\nQ-1;7,5;400;14,5;1465;{running}\nQ-2;7,5;400;14,5;1465;{standing}\n\
             Q-3;4;400;8,4;1450;{running}\nTotal;11,5;;;;\n"
        );
        let report = report("standing.csv", text.as_bytes());
        let found: Vec<bool> = (3..=5).map(|number| stands_by(&report, number)).collect();
        assert_eq!(found, [false, true, false], "{heading}");
        assert_eq!(rules(&report), [], "{heading}");
    }
    // A cross under a heading of both says neither.
    let both =
        "Supply 400 V 50 Hz\nTag;kW;V;FLA;rpm;Duty/Standby\nQ-1;7,5;400;14,5;1465;yes\nQ-2;7,5;400;14,5;1465;Standby\n";
    let report = report("both.csv", both.as_bytes());
    assert!(!stands_by(&report, 3) && stands_by(&report, 4));
    assert_eq!(rules(&report), [(Some(3), "text-not-read".to_owned())]);
}

/// Where words count the motors that stand by, the others of the row run.
#[test]
fn counts_of_motors_that_stand_by() {
    let text = "Supply 400 V 50 Hz\nTag;kW;V;FLA;rpm;Qty;Remarks\nQ-1;7,5;400;14,5;1465;2;1 S/B\nQ-2;7,5;400;14,5;1465;3;2 duty, 1 standby\n\
        Q-3;7,5;400;14,5;1465;1;standby\nQ-4;7,5;400;14,5;1465;2;both stand by: 2 standby\nQ-5;7,5;400;14,5;1465;2 (1 standby);\n\
        Q-6;7,5;400;14,5;1465;1A+1R;\nTotal;37,5;;;;;\n";
    let report = report("counted.csv", text.as_bytes());
    for (number, standby, running, standing) in [
        (3, false, "1", "1"),
        (4, false, "2", "1"),
        (5, true, "-", "-"),
        (6, true, "-", "-"),
        (7, false, "1", "1"),
        (8, false, "1", "1"),
    ] {
        assert_eq!(stands_by(&report, number), standby, "row {number}");
        assert_eq!(reading(&report, number, "quantity_running"), running, "row {number}");
        assert_eq!(reading(&report, number, "quantity_standby"), standing, "row {number}");
    }
    // 7.5 kW five times: 1 + 2 + 1 + 1 motors run.
    assert_eq!(rules(&report), []);
}

/// A column of hertz in which a motor on a drive has what no supply gives holds what the drive gave; the plate's is another.
#[test]
fn hertz_beside_a_drive_are_its_output() {
    let text = "Nr.;P [kW];U [V];I [A];n [1/min];FU;f [Hz];I gem. [A]\n1;30;400;55;1475;ja;42;38\n2;7,5;400;14,8;1455;nein;50;11,9\n\
        3;7,5;400;14,8;2540;ja;87;11,9\n4;5,5;400;11;1455;conv. de freq.;35;8\n";
    let report = report("hertz.csv", text.as_bytes());
    for (number, plate, output, poles) in [
        (2, "50 Hz", "42 Hz", "4"),
        (3, "50 Hz", "-", "4"),
        (4, "87 Hz", "-", "4"),
        (5, "50 Hz", "35 Hz", "4"),
    ] {
        assert_eq!(reading(&report, number, "frequency"), plate, "row {number}");
        assert_eq!(reading(&report, number, "output_frequency"), output, "row {number}");
        assert_eq!(reading(&report, number, "poles"), poles, "row {number}");
    }
    assert!(!rules(&report).iter().any(|(_, rule)| rule == "plate-slip-unusual"));
}

/// Amperes at the start are no starter.
#[test]
fn start_amperes_are_no_starter() {
    let text = "Supply 400 V 50 Hz\nTag;kW;V;FLA;Start A;rpm\nQ-1;7,5;400;14,5;98;1465\nQ-2;7,5;400;14,5;101;1465\n";
    let report = report("start.csv", text.as_bytes());
    assert_eq!(row(&report, 3)["readings"]["locked_rotor_current"]["value"], "98");
    assert_eq!(rules(&report), []);
}

/// A decimal comma between commas cuts a number in two: the row has more fields than there are headings, and is doubted.
#[test]
fn fields_past_the_headings() {
    let text =
        "Tag,kW,V,FLA,rpm,Hz\nQ-1,7,5,400,14,5,1465,50\nQ-2,11,400,21,1470,50\nQ-3,15,400,28,1470,50,,see drawing\n";
    let report = report("cut.csv", text.as_bytes());
    let past: Vec<_> = rules(&report)
        .into_iter()
        .filter(|(_, rule)| rule == "fields-past-headings")
        .collect();
    assert_eq!(past, [(Some(2), "fields-past-headings".to_owned())]);
    let sure = |number: u64| {
        row(&report, number)["readings"]["rated_power"]["confidence"]
            .as_f64()
            .unwrap()
    };
    assert!(sure(2) < 0.6 && sure(3) > 0.8, "{} {}", sure(2), sure(3));
}

/// What stands around a number is no reason to lose it.
#[test]
fn cells_in_their_dress() {
    let text = "Supply 400 V 50 Hz\nTag;kW;V;FLA;rpm;Poles;Meas A\nQ-1;7,5 kW IE3;400 tri;14,5@400V;1465 (4P);IV;11 avg\n\
        Q-2;(7,5);400D/690Y;14,5\u{394}/8,4Y;1465 U/min.;4 p\u{f3}los;11\nQ-3;\"7,5 kW\n10 HP\";3F 380V;14,5;1465;4;11\nQ-4;7,5;400 Vca;14,5;1465;4;11\n";
    let report = report("dressed.csv", text.as_bytes());
    let rows: Vec<u64> = calls(&report)
        .into_iter()
        .filter(|(_, called)| called == "motor")
        .map(|(number, _)| number)
        .collect();
    assert_eq!(rows.len(), 4);
    for (number, volts, amps) in [
        (rows[0], "400 V", "14.5 A"),
        (rows[1], "400/690 V", "14.5/8.4 A"),
        (rows[2], "380 V", "14.5 A"),
        (rows[3], "400 V", "14.5 A"),
    ] {
        assert_eq!(reading(&report, number, "rated_power"), "7.5 kW", "row {number}");
        assert_eq!(reading(&report, number, "voltage"), volts, "row {number}");
        assert_eq!(reading(&report, number, "rated_current"), amps, "row {number}");
        assert_eq!(reading(&report, number, "rated_speed"), "1465 r/min", "row {number}");
        assert_eq!(reading(&report, number, "poles"), "4", "row {number}");
        assert_eq!(reading(&report, number, "measured_current"), "11 A", "row {number}");
    }
    assert!(!rules(&report).iter().any(|(_, rule)| rule == "text-not-read"));
}

/// A plate with its units before the numbers is read as it stands, and hertz that no supply has are not the supply of the others.
#[test]
fn units_before_the_numbers_of_a_plate() {
    let text = "Ref;Nameplate;Notes\nPlate HP 5 RPM 1750 HZ 60 copied from the file;;\nQ-1;HP 5 VOLTS 208-230/460 AMPS 13.5-12.8/6.4 RPM 1750 HZ 60;US machine\n\
        Q-2;KW 15 V 400 A 28 RPM 1465 HZ 50;\nQ-3;11 kW 400 V 20,9 A 1473 rpm;\n";
    let report = report("plates.csv", text.as_bytes());
    for (number, power, volts, amps, speed, hertz) in [
        (3, "5 hp", "208/230/460 V", "13.5/12.8/6.4 A", "1750 r/min", "60 Hz"),
        (4, "15 kW", "400 V", "28 A", "1465 r/min", "50 Hz"),
        (5, "11 kW", "400 V", "20.9 A", "1473 r/min", "-"),
    ] {
        assert_eq!(reading(&report, number, "rated_power"), power, "row {number}");
        assert_eq!(reading(&report, number, "voltage"), volts, "row {number}");
        assert_eq!(reading(&report, number, "rated_current"), amps, "row {number}");
        assert_eq!(reading(&report, number, "rated_speed"), speed, "row {number}");
        assert_eq!(reading(&report, number, "frequency"), hertz, "row {number}");
    }
}

/// A share among loads in per cent is told: nothing says whether it is a hundredth of the others.
#[test]
fn a_share_among_loads_in_per_cent() {
    let text = "Supply 400 V 50 Hz\nTag;kW;V;FLA;rpm;Load factor\nQ-1;7,5;400;14,5;1465;75\nQ-2;7,5;400;14,5;1465;0,7\nQ-3;7,5;400;14,5;1465;80\n\
        Q-4;7,5;400;14,5;1465;0\n";
    let report = report("shares.csv", text.as_bytes());
    assert_eq!(rules(&report), [(Some(4), "number-ambiguous".to_owned())]);
    assert_eq!(reading(&report, 4, "load"), "0.7 %");
    assert!(row(&report, 4)["readings"]["load"]["confidence"].as_f64().unwrap() < 0.6);
}

/// A column of shares is per cent all the same; under a heading of per cent that is doubted.
#[test]
fn loads_that_are_all_shares() {
    for (heading, doubts) in [("Load", 0), ("Load %", 3)] {
        let text = format!(
            "Tag;kW;V;FLA;rpm;{heading}\nP-1;15;400;28;1465;0.75\nP-2;11;400;21;1460;0.6\nP-3;7.5;400;15;1455;0.82\n"
        );
        let report = report("all-shares.csv", text.as_bytes());
        assert_eq!(reading(&report, 2, "load"), "75 %");
        assert_eq!(reading(&report, 4, "load"), "82 %");
        let told = report["doubts"].as_array().unwrap().iter();
        assert_eq!(
            told.filter(|doubt| doubt["rule"] == "number-ambiguous").count(),
            doubts,
            "{heading}"
        );
    }
}

/// Lists from old programs: the encoding is told by its words, and said. The bytes of code page 850 and Mac OS Roman were written down
/// from their published tables.
#[test]
fn encodings_of_old_programs() {
    let text = "Netz 400 V 50 Hz\r\nKennung;Bezeichnung;Leistung (kW);Drehzahl;Bemerkung\r\nM1;Rührwerk süd;7,5;1465;\r\nM2;Förderband;11;1470;außer Betrieb\r\n";
    let bytes_of = |table: &[(char, u8)]| -> Vec<u8> {
        text.chars()
            .map(|sign| {
                table
                    .iter()
                    .find(|(known, _)| *known == sign)
                    .map_or(sign as u8, |(_, byte)| *byte)
            })
            .collect()
    };
    let dos = bytes_of(&[('ü', 0x81), ('ö', 0x94), ('ß', 0xE1)]);
    let mac = bytes_of(&[('ü', 0x9F), ('ö', 0x9A), ('ß', 0xA7)]);
    let windows = bytes_of(&[('ü', 0xFC), ('ö', 0xF6), ('ß', 0xDF)]);
    let wide = |low: usize| -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|unit| {
                if low == 0 {
                    unit.to_le_bytes()
                } else {
                    unit.to_be_bytes()
                }
            })
            .collect()
    };
    for (bytes, encoding, told) in [
        (dos, "code page 850", true),
        (mac, "Mac OS Roman", true),
        (windows, "Windows-1252", false),
        (wide(0), "UTF-16LE", true),
        (wide(1), "UTF-16BE", true),
        (text.as_bytes().to_vec(), "UTF-8", false),
    ] {
        let report = report("motoren.csv", &bytes);
        assert_eq!(reading(&report, 3, "description"), "Rührwerk süd", "{encoding}");
        assert_eq!(reading(&report, 4, "description"), "Förderband", "{encoding}");
        assert_eq!(row(&report, 4)["out_of_service"], true, "{encoding}");
        let remarks: Vec<&str> = report["remarks"]
            .as_array()
            .unwrap()
            .iter()
            .map(|remark| remark.as_str().unwrap())
            .collect();
        assert!(
            remarks[0].starts_with(&format!("Text file in {encoding}")),
            "{remarks:?}"
        );
        let said = remarks
            .iter()
            .any(|remark| remark.contains("does not say its encoding"));
        assert_eq!(said, told, "{remarks:?}");
    }
    let french = report("moteurs.csv", b"R\x82seau 400 V 50 Hz\r\nRep\x8are;D\x82signation;Puissance (kW);Vitesse (tr/min)\r\nP1;Pompe \x85 lait;5,5;1455\r\nP2;M\x82langeur;11;1465\r\n");
    assert_eq!(reading(&french, 3, "description"), "Pompe à lait");
}

/// What no cell says is no plate value: poles implied by the plate speeds and a frequency that fits them stand as assumed, with how they
/// came about; where a column or a title says them, they do not.
#[test]
fn what_is_worked_out_is_assumed() {
    let line = |list: &str, begins: &str| {
        let import = imported("list.csv", list.as_bytes());
        let text = polepair::workbook::text::write(&import.workbook);
        let mut lines = text.lines().map(str::trim);
        lines
            .find(|line| line.starts_with(begins))
            .unwrap_or_else(|| panic!("{begins}: {text}"))
            .to_owned()
    };
    let bare = "Tag;kW;rpm;A\nM-1;15;1465;28.5\nM-2;7.5;1450;15\nM-3;22;2940;40\n";
    assert!(line(bare, "given f ").ends_with("assumed \"guessed from the plate speeds\""));
    assert!(line(bare, "given p ").ends_with("assumed \"implied by plate speed and frequency\""));
    let said = "Tag;kW;rpm;Poles;Hz\nM-1;15;1465;4;50\nM-2;7.5;1450;4;50\nM-3;22;2940;;50\n";
    assert!(line(said, "given f ").ends_with("from \"Hz\" plate"));
    assert!(line(said, "given p ").ends_with("from \"Poles\" plate"));
}

/// What stands behind the total of all is of none of the areas above it; a motor behind the total of its area still is.
#[test]
fn a_motor_behind_the_total_of_all_is_of_no_area() {
    let list = "Tag;kW;rpm\nPump house;;\nP-1;15;1465\nP-2;7.5;1450\nTotal;22.5;\nP-3;4;1440\nMill;;\nM-1;22;1470\nM-2;30;1475\n\
                Total;52;\nGrand total;78.5;\nX-1;5.5;1450\n";
    let import = imported("areas.csv", list.as_bytes());
    let text = polepair::workbook::text::write(&import.workbook);
    let of = |tag: &str| {
        let row = text.lines().find(|line| line.contains(&format!("\"{tag}\""))).unwrap();
        ["Pump house", "Mill"].into_iter().find(|area| row.contains(area))
    };
    assert_eq!(
        [of("P-2"), of("P-3"), of("M-2"), of("X-1")],
        [Some("Pump house"), Some("Pump house"), Some("Mill"), None],
        "{text}"
    );
}

/// A supply that each row says is no supply that the list does not say.
#[test]
fn a_supply_said_in_each_row_is_said() {
    let supply = |list: &str| {
        let pages = polepair::plates::pages::of(&imported("supply.csv", list.as_bytes()).report);
        let rows = pages.into_iter().flat_map(|page| page.rows);
        rows.map(|row| row.join(": ")).find(|row| row.starts_with("supply"))
    };
    let each = "Tag;kW;rpm;Netz U [V];Netz f [Hz]\nM-1;15;1465;400;50\nM-2;7.5;1450;400;50\n";
    assert_eq!(
        supply(each).as_deref(),
        Some("supply: said in each row, in Netz U [V], Netz f [Hz]")
    );
    assert_eq!(
        supply("Tag;kW;rpm\nM-1;15;1465\nM-2;7.5;1450\n").as_deref(),
        Some("supply: not said in the list")
    );
}
