//! `import` and `export`: a list in, load columns out.

use std::fs;

use super::{folder_with, run_in};

/// Three motors, invented. The third has no reading of speed.
const LIST: &str = "\
Tag;Rating kW;Poles;Frequency Hz;Rated speed r/min;Measured speed r/min;Rated current A;Measured current A;Voltage V;Measured voltage V
P-101;15;4;50;1465;1478;28.5;20.1;400;398
P-102;7,5;4;50;1450;1471;15.1;10.2;400;398
P-103;22;4;50;1470;;41;30;400;398
";

#[test]
fn a_list_in_load_columns_out() {
    let folder = folder_with("motors.csv", LIST);
    let ran = run_in(
        folder.path(),
        &[
            "import",
            "motors.csv",
            "--to",
            "motors.pole",
            "--report",
            "motors.json",
            "--export",
            "out.csv",
        ],
    )
    .ends(0);
    assert!(
        ran.out.contains("3 motors") || ran.out.contains("3 rows"),
        "{}",
        ran.out
    );
    let report: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("motors.json")).unwrap()).unwrap();
    let rows = report["rows"].as_array().unwrap();
    assert_eq!(rows.iter().filter(|r| r["as"] == "motor").count(), 3);
    assert_eq!(report["computed"].as_array().unwrap().len(), 3);
    // Load by slip of P-101: (1500 − 1478)/(1500 − 1465) = 22/35 = 62.857 %.
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    assert!(out.contains("62.857"), "{out}");
    assert_eq!(
        fs::read_to_string(folder.path().join("motors.csv")).unwrap(),
        LIST,
        "the list is as it was"
    );
    // The workbook goes on by itself.
    fs::remove_file(folder.path().join("motors.csv")).unwrap();
    run_in(folder.path(), &["work", "motors.pole"])
        .ends(0)
        .says("P-101")
        .says("62.86");
    run_in(folder.path(), &["tidy", "motors.pole", "--check"]).ends(0);
}

#[test]
fn an_older_workbook_of_that_name_is_kept() {
    let folder = folder_with("motors.csv", LIST);
    fs::write(folder.path().join("motors.pole"), "polepair 1\n# days of work\n").unwrap();
    run_in(folder.path(), &["import", "motors.csv", "--to", "motors.pole"])
        .ends(0)
        .complains("motors.pole.before");
    assert!(
        fs::read_to_string(folder.path().join("motors.pole.before"))
            .unwrap()
            .contains("days of work")
    );
    // The same import again leaves it alone.
    run_in(folder.path(), &["import", "motors.csv", "--to", "motors.pole"]).ends(0);
    assert!(
        fs::read_to_string(folder.path().join("motors.pole.before"))
            .unwrap()
            .contains("days of work")
    );
}

#[test]
fn lists_that_are_none_are_3() {
    let folder = folder_with("a.csv", "Date;Amount\n1;2\n3;4\n");
    run_in(folder.path(), &["import", "a.csv", "--report", "r.json"])
        .ends(3)
        .complains("motor");
    let report = fs::read_to_string(folder.path().join("r.json")).unwrap();
    serde_json::from_str::<serde_json::Value>(&report).unwrap();
    run_in(folder.path(), &["import", "nowhere.csv"])
        .ends(3)
        .silent()
        .complains("nowhere.csv");
    fs::write(folder.path().join("b.xlsx"), "not packed at all").unwrap();
    run_in(folder.path(), &["import", "b.xlsx"]).ends(3).complains("b.xlsx");
    fs::write(folder.path().join("c.csv"), "").unwrap();
    run_in(folder.path(), &["import", "c.csv", "--report", "c.json"]).ends(3);
    let report: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("c.json")).unwrap()).unwrap();
    assert_eq!(report["file"], "c.csv");
    assert_eq!(report["remarks"][0], "The file is empty.");
    fs::write(folder.path().join("d.csv"), b"\x00\xff\x00").unwrap();
    run_in(folder.path(), &["import", "d.csv"]).ends(3);
}

#[test]
fn the_list_itself_is_never_overwritten() {
    let folder = folder_with("motors.csv", LIST);
    for option in ["--to", "--report", "--export"] {
        run_in(folder.path(), &["import", "motors.csv", option, "motors.csv"])
            .ends(64)
            .complains("list itself");
        run_in(folder.path(), &["import", "motors.csv", option, "./motors.csv"]).ends(64);
        assert_eq!(fs::read_to_string(folder.path().join("motors.csv")).unwrap(), LIST);
    }
    run_in(
        folder.path(),
        &["import", "motors.csv", "--to", "same.json", "--report", "same.json"],
    )
    .ends(64);
    run_in(folder.path(), &["import", "motors.csv", "--export", "out.doc"])
        .ends(64)
        .complains(".csv");
    run_in(folder.path(), &["import", "motors.csv", "--to", "nowhere/m.pole"])
        .ends(3)
        .complains("nowhere");
}

#[test]
fn a_sheet_is_exported_in_every_form() {
    let folder = folder_with(
        "a.pole",
        "polepair 1\nsheet a \"A\"\n  given P = 15 kW\n  work T = P / (1465 r/min) in N·m : torque\n",
    );
    for (name, start) in [
        ("a.csv", None),
        ("a.json", Some(&b"{"[..])),
        ("a.xlsx", Some(&b"PK\x03\x04"[..])),
    ] {
        run_in(folder.path(), &["export", "a.pole", "--to", name]).ends(0);
        let bytes = fs::read(folder.path().join(name)).unwrap();
        assert!(start.is_none_or(|s| bytes.starts_with(s)), "{name}");
        assert!(!bytes.is_empty());
    }
    let csv = fs::read_to_string(folder.path().join("a.csv")).unwrap();
    // 15 kW / (2π · 1465/60) = 97.774 N·m
    assert!(csv.contains("97.77"), "{csv}");
    run_in(folder.path(), &["export", "a.pole", "--to", "a.pole"]).ends(64);
}

/// The loads of an edited workbook stand beside the values of the list: where the two differ the row says so, and the doubts of
/// the import are there too.
#[test]
fn edits_and_doubts_are_told_beside_the_row() {
    let folder = folder_with("motors.csv", LIST.replace("P-103;22;4;50;1470", "P-101;22;4;50;1470"));
    run_in(folder.path(), &["import", "motors.csv", "--to", "motors.pole"]).ends(0);
    let text = fs::read_to_string(folder.path().join("motors.pole")).unwrap();
    assert_eq!(text.matches("7.5 kW").count(), 1, "{text}");
    fs::write(folder.path().join("edited.pole"), text.replace("7.5 kW", "11 kW ")).unwrap();
    run_in(folder.path(), &["export", "edited.pole", "--to", "out.csv"]).ends(0);
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let row = |tag: &str| out.lines().find(|line| line.starts_with(tag)).unwrap().to_owned();
    assert!(
        row("P-102").contains("Worked with 11 kW for Rating kW, in place of 7.5 kW in the list."),
        "{out}"
    );
    assert!(!row("P-101").contains("Worked with"), "{out}");
    assert!(row("P-101").contains("Tag P-101 stands also in source row 4."), "{out}");
}

/// What was filled in, settled or taken out since the list was read is told as that, with the cell as it stands; a copy of a row is
/// no correction of it.
#[test]
fn what_the_list_did_not_say_is_told_as_such() {
    let folder = folder_with(
        "motors.csv",
        "Tag;kW;V;FLA;rpm;A measured\nE-1;45;400/690;81/47;1475;60\nE-2;11;400;21;1465;n/a\nE-3;15;400;28;1465;22\n",
    );
    run_in(folder.path(), &["import", "motors.csv", "--to", "m.pole"]).ends(0);
    let text = fs::read_to_string(folder.path().join("m.pole")).unwrap();
    let names = text
        .lines()
        .find(|line| line.trim_start().starts_with("rows "))
        .unwrap();
    let names: Vec<&str> = names
        .trim_start()
        .trim_start_matches("rows ")
        .split(" | ")
        .map(str::trim)
        .collect();
    let mut rows: Vec<Vec<String>> = text
        .lines()
        .filter(|line| line.trim_start().starts_with("\"E-"))
        .map(|line| {
            line.split("  #")
                .next()
                .unwrap()
                .split(" | ")
                .map(|cell| cell.trim().to_owned())
                .collect()
        })
        .collect();
    let mut set = |row: usize, name: &str, value: &str| {
        let at = names
            .iter()
            .position(|known| *known == name)
            .unwrap_or_else(|| panic!("{name}: {names:?}"));
        rows[row][at] = value.to_owned();
    };
    set(0, "V_r", "400 V");
    set(0, "I_r", "81 A");
    set(1, "I", "18 A");
    set(2, "I", "");
    set(2, "n_r", "1460 r/min");
    let head = text
        .split_inclusive('\n')
        .take_while(|line| !line.trim_start().starts_with('"'));
    let mut edited: String = head.collect();
    let last = rows[2].clone();
    for row in rows.iter().chain([&last]) {
        edited.push_str(&format!("    {}\n", row.join(" | ")));
    }
    fs::write(folder.path().join("m.pole"), edited).unwrap();
    run_in(folder.path(), &["export", "m.pole", "--to", "out.csv"]).ends(0);
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let row = |tag: &str| out.lines().find(|line| line.starts_with(tag)).unwrap().to_owned();
    for (tag, words) in [
        ("E-1", "Worked with 400 V for V, in place of 400/690 in the list."),
        ("E-1", "Worked with 81 A for FLA, in place of 81/47 in the list."),
        ("E-2", "Worked with 18 A for A measured, in place of n/a in the list."),
        ("E-3", "Worked without A measured; the list says 22 A."),
        (
            "E-3",
            "Worked with 1460 r/min for rpm, in place of 1465 r/min in the list.",
        ),
    ] {
        assert!(row(tag).contains(words), "{words} not in {out}");
    }
    assert!(!out.contains("in place of nothing"), "{out}");
}

/// How many doubts a row has, by their weight: a tag for two motors is a note, one that stands twice a doubt.
#[test]
fn doubts_of_a_row_are_counted_in_words() {
    let list = "Tag;kW;V;FLA;rpm\nE-1A/B;11;400;21;1465\nE-2;15;400;28;1465\nE-2;15;400;28;1465\nE-3A/B;15;400;28;1465\nE-3A/B;15;400;28;1465\n";
    let folder = folder_with("motors.csv", list);
    run_in(folder.path(), &["import", "motors.csv", "--report", "r.txt"]).ends(0);
    let report = fs::read_to_string(folder.path().join("r.txt")).unwrap();
    let (_, rows) = report.split_once("\nRows\n").unwrap();
    for (row, doubts) in [("2 ", "1 note"), ("3 ", "1 doubt"), ("5 ", "1 doubt, 1 note")] {
        let line = rows.lines().find(|line| line.trim_start().starts_with(row)).unwrap();
        assert!(line.contains(&format!(" {doubts}  ")), "{doubts}: {line}");
    }
}

/// One reading corrected, and trusted again: one value was corrected. That it is trusted is no value of the list and is said as what it is.
#[test]
fn a_reading_that_is_trusted_again_is_no_corrected_value() {
    let list = include_bytes!("../../workbooks/quarry-motors.xlsx");
    let folder = folder_with("quarry-motors.xlsx", list);
    run_in(folder.path(), &["import", "quarry-motors.xlsx", "--to", "q.pole"]).ends(0);
    let text = fs::read_to_string(folder.path().join("q.pole")).unwrap();
    let motor = text.lines().find(|line| line.contains("79.6 kW")).unwrap();
    let mended = motor.replace("79.6 kW", "7.96 kW").replace("\"refused\"", "\"good\"");
    fs::write(folder.path().join("q.pole"), text.replace(motor, &mended)).unwrap();
    run_in(folder.path(), &["export", "q.pole", "--to", "out.xlsx"])
        .ends(0)
        .complains("1 value was corrected since the list was read: its cell stays");
    run_in(folder.path(), &["export", "q.pole", "--to", "out.csv"]).ends(0);
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let row = out.lines().find(|line| line.contains("SV-408")).unwrap();
    let words = "Measured power, efficiency and rating: refused for the load when the list was read, good now.";
    assert!(row.contains(words), "{row}");
    assert!(!row.contains("good, doubted or refused"), "{row}");
}

/// A column that somebody adds to a list is handed over with it; what reading the list made for its own use is not.
#[test]
fn columns_of_ones_own_are_handed_over() {
    let folder = folder_with("motors.csv", LIST);
    run_in(folder.path(), &["import", "motors.csv", "--to", "q.pole"]).ends(0);
    let text = fs::read_to_string(folder.path().join("q.pole")).unwrap();
    let lines = text.lines().map(|line| {
        let (row, comment) = line.split_at(line.find("  #").unwrap_or(line.len()));
        match row.trim_start() {
            rows if rows.starts_with("rows ") => {
                format!("  given who : text \"Looked at by\"\n  given seen in h : time\n{row} | who | seen")
            }
            known if known.starts_with("\"P-102\"") => format!("{row} | \"Huber\" | 12 h{comment}"),
            known if known.starts_with('"') => format!("{row} | | {comment}"),
            _ => line.to_owned(),
        }
    });
    let added = lines.collect::<Vec<_>>().join("\n") + "\n";
    fs::write(folder.path().join("q.pole"), added).unwrap();
    run_in(folder.path(), &["export", "q.pole", "--to", "out.csv"]).ends(0);
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let heads: Vec<&str> = out.lines().next().unwrap().split(';').collect();
    let at = |head: &str| {
        heads
            .iter()
            .position(|known| *known == head)
            .unwrap_or_else(|| panic!("{head}: {out}"))
    };
    let row: Vec<&str> = out
        .lines()
        .find(|line| line.starts_with("P-102"))
        .unwrap()
        .split(';')
        .collect();
    assert_eq!((row[at("Looked at by")], row[at("seen [h]")]), ("Huber", "12"));
    for own in ["source_row", "On duty", "good, doubted"] {
        assert!(!heads.iter().any(|head| head.contains(own)), "{heads:?}");
    }
}

/// What is missing is said by the heading of the list, and rows are those of the source, on the page and in the report.
#[test]
fn reasons_speak_of_the_list() {
    let folder = folder_with(
        "motors.csv",
        format!("Plant, invented\n\n{}", LIST.replace("P-103", "")),
    );
    let ran = run_in(folder.path(), &["import", "motors.csv", "--report", "r.json"])
        .ends(0)
        .says("Measured speed r/min is missing [source row 6]");
    assert!(!ran.out.contains("(csv)"), "{}", ran.out);
    let report: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("r.json")).unwrap()).unwrap();
    assert_eq!(
        report["computed"][2]["load_by_slip"]["refused"],
        "Measured speed r/min is missing"
    );
}

/// A row with a doubt is marked where its numbers stand.
#[test]
fn doubtful_rows_are_marked() {
    let folder = folder_with("motors.csv", LIST.replace("1465;1478", "1500;1500"));
    run_in(folder.path(), &["import", "motors.csv"])
        .ends(0)
        .says("P-101 !")
        .says("source row 2");
}

/// A note of a long list counts all its rows, not the ones that are shown.
#[test]
fn notes_count_all_rows() {
    let rows: String = (1..=300)
        .map(|number| {
            let speed = if number % 2 == 0 { "1470" } else { "" };
            format!("P-{number:03};15;4;50;1465;{speed}\n")
        })
        .collect();
    let folder = folder_with(
        "long.csv",
        format!("Tag;Rating kW;Poles;Hz;Rated speed r/min;Measured speed r/min\n{rows}"),
    );
    // 150 rows have no reading; six are named.
    let ran = run_in(folder.path(), &["import", "long.csv"]).ends(0);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("P-011 and 144 more]"), "{}", ran.out);
}

#[test]
fn a_folder_that_is_not_there_is_named_in_plain_words() {
    let folder = folder_with("motors.csv", LIST);
    let ran = run_in(folder.path(), &["import", "motors.csv", "--export", "nowhere/out.xlsx"])
        .ends(3)
        .complains("its folder does not exist");
    assert!(
        !ran.err.contains("os error") && !ran.err.contains(".part"),
        "{}",
        ran.err
    );
}

/// Headings of a house of its own, invented. `Leistg` and `Mess 2` are in no table of words.
const ODD: &str = "\
Betriebsmittel;Leistg;n1;Nennstrom;Mess 2
P-101;15;1465;28,5;20,1
P-102;7,5;1450;15,1;10,2
P-103;22;1470;41;30
";

#[test]
fn a_column_map_is_written_changed_and_read() {
    let folder = folder_with("odd.csv", ODD);
    let at = |name: &str| folder.path().join(name);
    // As it stands there is no table: the message names the headings that were seen.
    run_in(folder.path(), &["import", "odd.csv"])
        .ends(3)
        .complains("no motor table was found")
        .complains("\"Leistg\"")
        .complains("--write-map");
    // A map to be filled in is written: a line for each column.
    run_in(folder.path(), &["import", "odd.csv", "--write-map", "empty.map"]).ends(3);
    let empty = fs::read_to_string(at("empty.map")).unwrap();
    assert!(
        empty.contains("column \"Leistg\" = nothing\n") && empty.contains("# A column can hold: tag, "),
        "{empty}"
    );
    fs::write(
        at("filled.map"),
        empty
            .replace("\"Leistg\" = nothing", "\"Leistg\" = rated_power in kW")
            .replace("\"n1\" = nothing", "\"n1\" = rated_speed"),
    )
    .unwrap();
    run_in(folder.path(), &["import", "odd.csv", "--map", "filled.map"]).ends(0);
    fs::write(
        at("house.map"),
        "polepair columns 1\ncolumn \"Leistg\" = rated_power in kW\ncolumn \"n1\" = rated_speed\ncolumn \"Mess 2\" = measured_current in A\n",
    )
    .unwrap();
    fs::write(at("house.words"), "tag;de;Betriebsmittel\n").unwrap();
    let asked = [
        "import",
        "odd.csv",
        "--map",
        "house.map",
        "--words",
        "house.words",
        "--report",
        "r.json",
        "--write-map",
        "kept.map",
    ];
    run_in(folder.path(), &asked).ends(0).says("P-101");
    let report: serde_json::Value = serde_json::from_str(&fs::read_to_string(at("r.json")).unwrap()).unwrap();
    let reading = |key: &str| report["rows"][1]["readings"][key]["value"].as_str().map(str::to_owned);
    assert_eq!(reading("tag").as_deref(), Some("P-101"));
    assert_eq!(reading("rated_power").as_deref(), Some("15"));
    assert_eq!(reading("rated_speed").as_deref(), Some("1465"));
    assert_eq!(reading("rated_current").as_deref(), Some("28.5"));
    assert_eq!(reading("measured_current").as_deref(), Some("20.1"));
    // What was written reads the same without the words.
    run_in(
        folder.path(),
        &["import", "odd.csv", "--map", "kept.map", "--report", "again.json"],
    )
    .ends(0);
    let again: serde_json::Value = serde_json::from_str(&fs::read_to_string(at("again.json")).unwrap()).unwrap();
    for row in 1..4 {
        for key in ["tag", "rated_power", "rated_speed", "rated_current", "measured_current"] {
            assert_eq!(
                report["rows"][row]["readings"][key]["value"], again["rows"][row]["readings"][key]["value"],
                "{key}"
            );
        }
    }
}

#[test]
fn a_wrong_line_of_a_map_is_named() {
    let folder = folder_with("odd.csv", ODD);
    fs::write(
        folder.path().join("house.map"),
        "polepair columns 1\ncolumn \"Leistg\" = rated_powr in kW\n",
    )
    .unwrap();
    run_in(folder.path(), &["import", "odd.csv", "--map", "house.map"])
        .ends(3)
        .complains("house.map:2")
        .complains("rated_power");
    run_in(folder.path(), &["import", "odd.csv", "--map", "none.map"])
        .ends(3)
        .complains("none.map");
    run_in(
        folder.path(),
        &["import", "odd.csv", "--map", "house.map", "--write-map", "house.map"],
    )
    .ends(64)
    .complains("not overwritten");
}

#[test]
fn the_report_as_text() {
    let folder = folder_with("motors.csv", LIST.to_owned() + "Total;44,5;;;;;;;;\n");
    run_in(folder.path(), &["import", "motors.csv", "--report", "r.txt"])
        .ends(0)
        .says("Total of source row 5: 44.5 kW printed, 44.5 summed");
    let text = fs::read_to_string(folder.path().join("r.txt")).unwrap();
    for part in [
        "About the list",
        "Columns",
        "Rows",
        "Totals",
        "Doubts",
        "Rated current A",
        "each row once",
        "P-103",
        "70.2 % (D)",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
}

/// Of two sheets with motors the longer is read, unless the other is asked for.
#[test]
fn another_sheet_is_read_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = rust_xlsxwriter::Workbook::new();
    for (name, motors) in [("North", 3), ("South", 2)] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).unwrap();
        for (column, heading) in (0u16..).zip(["Tag", "kW", "rpm"]) {
            sheet.write(0, column, heading).unwrap();
        }
        for row in 1..=motors {
            sheet.write(row, 0, format!("{name}-{row}")).unwrap();
            sheet.write(row, 1, 15).unwrap();
            sheet.write(row, 2, 1465).unwrap();
        }
    }
    book.save(folder.path().join("two.xlsx")).unwrap();
    let ran = |more: &[&str]| run_in(folder.path(), &[&["import", "two.xlsx"], more].concat());
    ran(&[]).ends(0).says("3 motors").says("The sheet South also holds");
    ran(&["--sheet", "south"])
        .ends(0)
        .says("2 motors")
        .says("South-1")
        .says("The sheet North also holds");
    // The workbook goes on knowing its sheet, and its report.
    ran(&["--sheet", "South", "--to", "south.pole"]).ends(0);
    run_in(folder.path(), &["export", "south.pole", "--to", "south.xlsx"])
        .ends(0)
        .complains("sheet \"South\"")
        .complains("importreport");
    ran(&["--sheet", "East"])
        .ends(3)
        .complains("there are \"North\", \"South\"");
}

#[test]
fn a_newer_list_goes_into_the_workbook() {
    let folder = folder_with("motors.csv", LIST);
    let at = |name: &str| folder.path().join(name);
    run_in(folder.path(), &["import", "motors.csv", "--to", "motors.pole"]).ends(0);
    // The rating of P-102 is corrected, a line is added.
    let typed = fs::read_to_string(at("motors.pole")).unwrap();
    assert!(typed.contains("7.5 kW"), "{typed}");
    let typed = typed
        .replace("7.5 kW", "5.5 kW")
        .replacen("  rows ", "  work twice = 2 * P_r in kW\n  rows ", 1);
    fs::write(at("motors.pole"), typed).unwrap();
    // The newer list: P-101 has another speed, P-103 is gone, P-104 came.
    let newer = LIST.replace("1478", "1480").replace(
        "P-103;22;4;50;1470;;41;30;400;398\n",
        "P-104;4;4;50;1440;1470;8,2;5,1;400;398\n",
    );
    fs::write(at("motors.csv"), newer).unwrap();
    run_in(
        folder.path(),
        &[
            "import",
            "motors.csv",
            "--to",
            "motors.pole",
            "--report",
            "r.json",
            "--export",
            "out.csv",
        ],
    )
    .ends(0)
    .says("P-101 measured speed: 1478 r/min before, 1480 r/min now")
    .says("P-102 rated power: 5.5 kW was typed here and stays; the list says 7.5 kW still")
    .says("P-103 went")
    .says("P-104 came");
    let text = fs::read_to_string(at("motors.pole")).unwrap();
    assert!(
        text.contains("work twice") && text.contains("5.5 kW") && text.contains("1480 r/min"),
        "{text}"
    );
    assert!(text.contains("P-104") && !text.contains("P-103"), "{text}");
    let report: serde_json::Value = serde_json::from_str(&fs::read_to_string(at("r.json")).unwrap()).unwrap();
    assert_eq!(report["changes"].as_array().unwrap().len(), 4);
    // (1500 − 1480) / (1500 − 1465) = 57.14 %.
    let load = report["computed"][0]["load_by_slip"]["value"]
        .as_str()
        .unwrap()
        .parse::<f64>()
        .unwrap();
    assert!((load - 57.142857).abs() < 1e-4);
    run_in(folder.path(), &["work", "motors.pole"]).ends(0).says("twice");
}

/// Texts that a spreadsheet would take for a formula get the usual prefix in csv and lose it on the way back.
#[test]
fn texts_like_formulas_go_out_and_come_back() {
    let list = "Tag;Service;Rating kW;Poles;Frequency Hz;Rated speed r/min;Measured speed r/min\n'=P-1;'+5 bar pump;15;4;50;1465;1478\n'@fan;'-cold side;7,5;4;50;1512;1471\n";
    let folder = folder_with("motors.csv", list);
    let at = |name: &str| folder.path().join(name);
    run_in(
        folder.path(),
        &[
            "import",
            "motors.csv",
            "--report",
            "r.json",
            "--export",
            "out.csv",
            "--to",
            "m.pole",
        ],
    )
    .ends(0);
    let read =
        |name: &str| -> serde_json::Value { serde_json::from_str(&fs::read_to_string(at(name)).unwrap()).unwrap() };
    let first = read("r.json");
    let tags = |report: &serde_json::Value| -> Vec<String> {
        [1, 2]
            .iter()
            .flat_map(|row| {
                ["tag", "description"].map(|key| {
                    report["rows"][*row]["readings"][key]["value"]
                        .as_str()
                        .unwrap()
                        .to_owned()
                })
            })
            .collect()
    };
    assert_eq!(tags(&first), ["=P-1", "+5 bar pump", "@fan", "-cold side"]);
    let out = fs::read_to_string(at("out.csv")).unwrap();
    for part in ["'=P-1", "'+5 bar pump", "'@fan", "'-cold side"] {
        assert!(out.contains(part), "{part} in {out}");
    }
    // (1500 − 1512) / 1500 would be −0.8 %, and no slip of a plate is below zero.
    assert!(!out.contains("-0,8"), "{out}");
    run_in(folder.path(), &["import", "out.csv", "--report", "again.json"]).ends(0);
    assert_eq!(tags(&read("again.json")), tags(&first));
}

#[test]
fn a_list_given_back_is_a_list_again() {
    let folder = folder_with("motors.csv", LIST);
    run_in(folder.path(), &["import", "motors.csv", "--export", "out.xlsx"]).ends(0);
    let again = run_in(folder.path(), &["import", "out.xlsx", "--report", "again.json"]).ends(0);
    assert!(again.out.contains("3 motors"), "{}", again.out);
    let report: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("again.json")).unwrap()).unwrap();
    let motors: Vec<&str> = report["rows"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["as"] == "motor")
        .filter_map(|row| row["readings"]["tag"]["value"].as_str())
        .collect();
    assert_eq!(motors, ["P-101", "P-102", "P-103"]);
}

#[test]
fn more_than_one_point_is_no_number_unless_it_parts_thousands() {
    let list = "Tag;Rating kW;Poles;Rated speed r/min;Rated current A\nA;15;4;1465;28.5\nB;5.5.5;4;14.6.0;1.2.3\nC;1.250;4;1.485;1.234.5\nD;11;4;1460;21.2\n";
    let folder = folder_with("odd.csv", list);
    run_in(folder.path(), &["import", "odd.csv", "--report", "odd.json"]);
    let report: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("odd.json")).unwrap()).unwrap();
    let row = |number: u64| {
        let mut rows = report["rows"].as_array().unwrap().iter();
        rows.find(|row| row["source_row"] == number).unwrap()["readings"].clone()
    };
    for what in ["rated_power", "rated_speed", "rated_current"] {
        assert_eq!(row(3)[what]["value"], serde_json::Value::Null, "{what}");
    }
    assert_eq!(row(3)["rated_power"]["raw"], "5.5.5");
    assert_eq!(row(2)["rated_power"]["value"], "15");
    let doubted: Vec<&serde_json::Value> = report["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|doubt| doubt["source_row"] == 3)
        .collect();
    assert!(!doubted.is_empty());
}

/// Headings of the first sheet, rows that hold something in its last column, and the names of all sheets.
fn dress_of(path: &std::path::Path, row: usize) -> (Vec<String>, usize, Vec<String>) {
    use calamine::Reader as _;
    let mut book: calamine::Xlsx<_> = calamine::open_workbook(path).unwrap();
    let names = book.sheet_names().clone();
    let sheet = book.worksheet_range(&names[0]).unwrap();
    let headings: Vec<String> = sheet.rows().nth(row).unwrap().iter().map(ToString::to_string).collect();
    let filled = sheet
        .rows()
        .filter(|cells| cells.last().is_some_and(|cell| !cell.to_string().is_empty()))
        .count();
    (headings, filled, names)
}

/// A list given back is imported and given back again: the columns and the sheet that were added are replaced, not doubled.
#[test]
fn a_list_given_back_again_has_its_columns_once() {
    let folder = folder_with("motors.csv", LIST);
    let at = |name: &str| folder.path().join(name);
    fs::copy(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lists/ice-rink-motor-survey.xlsx"),
        at("rink.xlsx"),
    )
    .unwrap();
    for (list, sheet_row) in [("motors.csv", 0), ("rink.xlsx", 4)] {
        run_in(folder.path(), &["import", list, "--export", "out.xlsx"]).ends(0);
        run_in(
            folder.path(),
            &["import", "out.xlsx", "--export", "again.xlsx", "--report", "again.json"],
        )
        .ends(0);
        let (first, again) = (
            dress_of(&at("out.xlsx"), sheet_row),
            dress_of(&at("again.xlsx"), sheet_row),
        );
        assert_eq!(first, again, "{list}");
        assert_eq!(
            again
                .0
                .iter()
                .filter(|heading| *heading == "Doubts and reasons")
                .count(),
            1,
            "{list}: {again:?}"
        );
        assert!(!again.2.contains(&"Import report 2".to_owned()));
        let report: serde_json::Value = serde_json::from_str(&fs::read_to_string(at("again.json")).unwrap()).unwrap();
        let columns = report["columns"].as_array().unwrap();
        let slip = columns
            .iter()
            .find(|column| column["heading"] == "Rated slip [%]")
            .unwrap();
        assert!(
            slip["reads"].is_null() && slip["reason"].as_str().unwrap().contains("worked anew"),
            "{slip}"
        );
        fs::remove_file(at("out.xlsx")).unwrap();
        fs::remove_file(at("again.xlsx")).unwrap();
    }
}

/// Under a group of headings that runs on over the last column, what was added when the list was written back is put aside by its own
/// headings: read again, the list says what it said at first.
#[test]
fn a_list_under_grouped_headings_given_back_says_what_it_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::write(
        at("fans.csv"),
        "AHU;Supply fan;;;Extract fan;;\n;kW;A;rpm;kW;A;rpm\nAHU-1;7,5;14,5;1465;5,5;10,8;1465\nAHU-2;7,5;14,5;1465;5,5;10,8;1465\n",
    )
    .unwrap();
    let mut lists = vec!["fans.csv"];
    lists.extend(["one.xlsx", "two.xlsx", "three.xlsx"]);
    let mut said = Vec::new();
    for pair in lists.windows(2) {
        run_in(
            folder.path(),
            &["import", pair[0], "--export", pair[1], "--report", "report.json"],
        )
        .ends(0);
        let report: serde_json::Value = serde_json::from_str(&fs::read_to_string(at("report.json")).unwrap()).unwrap();
        let rows = report["rows"].as_array().unwrap().iter();
        let motors = rows.filter(|row| row["as"] == "motor");
        let values: Vec<Vec<(String, String)>> = motors
            .map(|row| {
                let readings = row["readings"].as_object().unwrap().iter();
                readings
                    .map(|(name, reading)| (name.clone(), format!("{} {}", reading["value"], reading["unit"])))
                    .collect()
            })
            .collect();
        said.push(values);
    }
    assert_eq!(said[0].len(), 4, "{said:?}");
    assert!(
        said[0][0].contains(&("rated_power".to_owned(), "\"7.5\" \"kW\"".to_owned())),
        "{said:?}"
    );
    assert_eq!(said[0], said[1]);
    assert_eq!(said[0], said[2]);
}

/// Motors of one row that have no tag of their own are told apart by the machine they drive.
#[test]
fn motors_of_one_row_have_names_of_their_own() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("fans.csv"),
        "Unit no.;Supply fan;;;Extract fan;;\n;kW;A;rpm;kW;A;rpm\n;7,5;14,5;1465;5,5;10,8;1465\n;7,5;14,5;1465;5,5;10,8;1465\n",
    )
    .unwrap();
    let run = run_in(folder.path(), &["import", "fans.csv"]);
    for name in [
        "source row 3, Supply fan",
        "source row 3, Extract fan",
        "source row 4, Supply fan",
        "source row 4, Extract fan",
    ] {
        assert!(run.out.contains(name), "{name}: {}", run.out);
    }
    assert!(!run.out.contains("source row 3 "), "{}", run.out);
}

/// Motors that were added in the workbook, or copied from another row, are handed over and told; so is a row whose motor is not there any
/// more. 50 Hz and 4 poles are 1500 r/min (60 f / pole pairs).
#[test]
fn motors_added_and_taken_out_are_told() {
    let folder = folder_with(
        "quarry-motors.xlsx",
        include_bytes!("../../workbooks/quarry-motors.xlsx"),
    );
    run_in(folder.path(), &["import", "quarry-motors.xlsx", "--to", "q.pole"]).ends(0);
    let text = fs::read_to_string(folder.path().join("q.pole")).unwrap();
    let columns = text.lines().find(|line| line.trim_start().starts_with("rows tag"));
    let blanks = columns.unwrap().matches('|').count() - 5;
    let added = format!(
        "    \"N1\" | | \"Pack\" | \"New pump\" | 7.5 kW | 4 pole{}\n",
        " |".repeat(blanks)
    );
    let row = |tag: &str| text.lines().find(|line| line.trim_start().starts_with(tag)).unwrap();
    let copied = row("\"PC-101\"");
    let now = text.replace(&format!("{}\n", row("\"SV-408\"")), "");
    fs::write(folder.path().join("q.pole"), format!("{now}{added}{copied}\n")).unwrap();
    let said = [
        "2 motors were added in the workbook since",
        "The motor of row 38 is not in the workbook any more",
    ];
    let given = run_in(folder.path(), &["export", "q.pole", "--to", "out.xlsx"]).ends(0);
    let all = said.iter().chain(&["on the sheet \"Motors added\""]);
    let _ = all.fold(given, |given, said| given.complains(said));
    let means = polepair::plates::open::Means {
        program: None,
        limits: polepair::plates::Limits::default(),
    };
    let book = polepair::plates::open::read(&folder.path().join("out.xlsx"), &means).unwrap();
    let sheet = |name: &str| {
        let grid = book.sheets.iter().find(|grid| grid.name == name).unwrap();
        let rows = grid
            .rows()
            .map(|(_, cells)| cells.iter().map(|cell| grid.shown(cell.content)).collect());
        rows.collect::<Vec<Vec<String>>>()
    };
    let sheet_added = sheet("Motors added");
    let motors: Vec<&Vec<String>> = sheet_added.iter().skip(2).collect();
    assert_eq!(motors.len(), 2, "{sheet_added:#?}");
    assert_eq!(motors[0][..4], ["N1", "Pack", "New pump", "7.5"], "{motors:#?}");
    assert!(motors[0].contains(&"1500".to_owned()));
    assert_eq!(motors[1][0], "PC-101");
    let of_list = sheet("Motors");
    assert!(
        !of_list.iter().flatten().any(|cell| cell.contains("motor 2 of the row")),
        "{:#?}",
        of_list[3]
    );
    let gone = of_list
        .iter()
        .find(|row| row.iter().any(|cell| cell == "SV-408"))
        .unwrap();
    assert!(
        gone.last()
            .unwrap()
            .starts_with("The workbook has no motor of this row any more"),
        "{gone:#?}"
    );
    let report = sheet("Import report");
    let mut below = report
        .iter()
        .skip_while(|row| row[..] != ["Not in the workbook any more"]);
    assert!(
        below.any(|row| row[0] == "38" && row[1].starts_with("SV-408, ")),
        "{report:#?}"
    );
    // A text file has one table: they stand below the others, what has no heading there is told.
    let given = run_in(folder.path(), &["export", "q.pole", "--to", "out.csv"]).ends(0);
    let _ = said.iter().fold(given, |given, said| given.complains(said));
    let out = fs::read_to_string(folder.path().join("out.csv")).unwrap();
    let last: Vec<&str> = out.lines().rev().take(2).collect();
    assert!(last[1].starts_with(",N1,New pump,"), "{}", last[1]);
    assert!(
        last[1].contains("Nameplate Rating 7.5 kW, Number of poles 4 pole"),
        "{}",
        last[1]
    );
    assert!(last[0].starts_with(",PC-101,"), "{}", last[0]);
    let gone = out.lines().find(|line| line.contains(",SV-408,")).unwrap();
    assert!(
        gone.contains("The workbook has no motor of this row any more"),
        "{gone}"
    );
}
