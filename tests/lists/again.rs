//! What was doubted when a list was read, asked again of the list as the workbook has it now.

use polepair::plates::again::List;
use polepair::plates::tags::Tags;
use polepair::plates::{Import, Options, import};
use polepair::recalc::Engine;
use polepair::workbook::text;

use crate::packages::file;

/// A list that was read, and its text.
struct Read {
    found: Import,
    text: String,
}

impl Read {
    fn of(list: &str) -> Read {
        let (_folder, path) = file("plant.csv", list.as_bytes());
        let mut found = import(&path, &Options::default()).unwrap();
        let text = text::write(&found.workbook);
        // Loads are worked of the text that is written: its blocks of rows are read in one place.
        let engine = Engine::new(text::read(&text));
        found.take(engine.results());
        Read { found, text }
    }

    /// How it stands with the doubts once the text is another one, by row and rule: `3 voltage-off-frequency: open`; and what is raised.
    fn with(&self, changes: &[(&str, &str)]) -> Vec<String> {
        let text = changes.iter().fold(self.text.clone(), |text, (was, is)| {
            assert!(text.contains(was), "{was} in\n{text}");
            text.replacen(was, is, 1)
        });
        let engine = Engine::new(text::read(&text));
        let list = List::of(engine.workbook(), engine.results(), &self.found.report).unwrap();
        let tags = Tags::of(list.rows);
        let items = list.items();
        let doubts = self
            .found
            .report
            .doubts
            .iter()
            .filter(|doubt| doubt.source_row.is_some());
        let stands = doubts.map(|doubt| {
            let row = doubt.source_row.unwrap();
            let stands = list.standing(doubt, items.get(&row).unwrap(), &tags);
            let changed = stands.changed.map(|words| words.to_string());
            let words = stands.settled.or(changed).unwrap_or("open".to_owned());
            format!("{row} {}: {words}", doubt.rule)
        });
        let raised = (0..list.rows.rows.len()).flat_map(|item| list.raised(item, &tags));
        let raised =
            raised.map(|raised| format!("raised at {}: {} {}", raised.item, raised.told.rule, raised.told.text));
        stands.chain(raised).collect()
    }

    /// The other readings that are offered for the doubts of a row, in words, and those of them that do not stand there yet.
    fn offered(&self, row: u32) -> (Vec<String>, Vec<String>) {
        let engine = Engine::new(text::read(&self.text));
        let list = List::of(engine.workbook(), engine.results(), &self.found.report).unwrap();
        let items = list.items();
        let doubts = self
            .found
            .report
            .doubts
            .iter()
            .filter(|doubt| doubt.source_row == Some(row));
        let (mut all, mut open) = (Vec::new(), Vec::new());
        for doubt in doubts {
            all.extend(doubt.others.iter().map(|other| other.in_words()));
            let item = items.get(&row).unwrap()[0];
            open.extend(list.others(doubt, item).iter().map(|other| other.in_words()));
        }
        (all, open)
    }
}

/// 1770 r/min is 1.67 % slip at 4 poles and 60 Hz (1800 r/min) and 41 % at 2 poles and 50 Hz; 460 V is a usual voltage at 60 Hz. At 1778 r/min
/// the slip is 22 of 30 r/min, 73 %, and the current says about the same.
#[test]
fn a_doubt_is_asked_again_whatever_it_rests_on_was_changed() {
    let read = Read::of(
        "Tag;kW;V;A;pf;eff;rpm;Measured A;Measured rpm\nA;11;400;21;0.85;89;1460;16;1475\nB;30 HP;460;35.8;0.86;92;1770;28;1778\nC;7.5;400;15;0.85;88;1450;11;1470\n",
    );
    let of_b = |all: Vec<String>| {
        all.into_iter()
            .filter(|one| !one.starts_with('2'))
            .collect::<Vec<String>>()
    };
    let open = of_b(read.with(&[]));
    let rules = ["plate-slip-unusual", "voltage-off-frequency"];
    for rule in rules {
        assert!(open.contains(&format!("3 {rule}: open")), "{rule} in {open:#?}");
    }
    // The frequency alone: the plate voltage goes with it now, the poles still do not.
    let at_60 = ("rows tag", "at \"B\" f = 60 Hz\n  rows tag");
    let now = of_b(read.with(&[at_60]));
    assert!(
        now.contains(&"3 voltage-off-frequency: corrected since: f was read as 50 Hz, now 60 Hz".to_owned()),
        "{now:#?}"
    );
    let slip = now.iter().find(|one| one.starts_with("3 plate-slip-unusual"));
    assert!(
        slip.unwrap()
            .contains("it is doubted still: Plate speed 1770 r/min with 2 poles at 60 Hz"),
        "{now:#?}"
    );
    // The poles too: nothing is open any more, and nothing new is raised.
    let now = of_b(read.with(&[at_60, ("| 2 pole | 1770 r/min", "| 4 pole | 1770 r/min")]));
    assert_eq!(now.len(), rules.len(), "{now:#?}");
    for one in &now {
        assert!(one.contains("corrected since: "), "{one}");
    }
    // Hours are nothing that these doubts rest on.
    let other = of_b(read.with(&[("| \"line\"", "| \"line\" ")]));
    assert_eq!(other, open);
}

/// Loads that are apart rest on the frequency as well. 1490 r/min is (1500 - 1490) / 35 = 29 % by slip at 50 Hz, and (1530 - 1490) / 65 = 62 % at
/// 51 Hz; 20 of 28.1 A are about 65 %.
#[test]
fn loads_are_compared_again() {
    let read = Read::of("Tag;kW;V;A;pf;eff;rpm;Measured A;Measured rpm\nA;15;400;28.1;0.85;90.6;1465;20;1490\n");
    let loads = |all: Vec<String>| {
        let found = all.iter().find(|one| one.starts_with("2 loads-disagree"));
        found.unwrap_or_else(|| panic!("{all:#?}")).clone()
    };
    assert_eq!(loads(read.with(&[])), "2 loads-disagree: open");
    let now = loads(read.with(&[("rows tag", "at \"A\" f = 51 Hz\n  rows tag")]));
    assert_eq!(now, "2 loads-disagree: corrected since: f was read as 50 Hz, now 51 Hz");
}

/// A value that was typed in place of a doubted reading settles the doubt of how it was read; one that no motor has is doubted again.
#[test]
fn a_reading_that_was_replaced_is_doubted_no_longer() {
    let read = Read::of(
        "Tag;kW;V;A;rpm;Measured kW\nA;15;400;28;1.46;12.400 W\nB;11;400;21;1465;9\nC;11;400;21;1465;9\nD;11;400;21;970;9\n",
    );
    let of = |all: Vec<String>, rule: &str| {
        let found = all.iter().find(|one| one.starts_with(&format!("2 {rule}")));
        found.unwrap_or_else(|| panic!("{rule} in {all:#?}")).clone()
    };
    let rule = "value-of-no-motor";
    assert_eq!(of(read.with(&[]), rule), format!("2 {rule}: open"));
    // 60 · 50 / 1460 is 2.05: two pairs of poles.
    assert_eq!(
        read.offered(2),
        (
            vec![
                "0.0124 kW".to_owned(),
                "12.4 kW".to_owned(),
                "1460 r/min, 4 pole".to_owned()
            ],
            vec!["0.0124 kW".to_owned(), "1460 r/min, 4 pole".to_owned()],
        )
    );
    let row = read
        .text
        .lines()
        .find(|line| line.trim_start().starts_with("\"A\""))
        .unwrap();
    let with = |speed: &str, power: &str| {
        let row_now = row
            .replacen("|        |            |", &format!("|        | {speed} |"), 1)
            .replacen("12.4 kW", power, 1);
        assert_ne!(row, row_now);
        read.with(&[(row, &row_now)])
    };
    let good = with("1460 r/min", "0.0124 kW");
    assert!(of(good.clone(), rule).contains("corrected since: n_r was read as no value (1.46), now 1460 r/min"));
    assert!(of(good, "number-ambiguous").contains("corrected since: P_in was read as 12.4 kW, now 0.0124 kW"));
    let bad = with("1.5 r/min", "12.4 kW");
    assert!(
        of(bad.clone(), rule).contains("it is doubted still: rpm: 1.5 r/min is no rated speed"),
        "{bad:#?}"
    );
    assert_eq!(of(bad, "number-ambiguous"), "2 number-ambiguous: open");
}

/// More hours than a year has, and what is below zero, are told of values that were typed too, and are over once they are right. A year
/// has 8760 hours, a leap year 8784.
#[test]
fn hours_and_what_is_below_zero_are_asked_again() {
    let read = Read::of(
        "Tag;Qty;kW;V;A;rpm;Hours per year\nA;3;15;400;28;1465;6000\nB;1;11;400;21;1465;9200\nC;1;11;400;21;1465;4000\n",
    );
    let about = |all: Vec<String>, rule: &str| -> Vec<String> {
        let found = all.into_iter().filter(|one| one.contains(rule));
        found.collect()
    };
    let hours = "hours-above-year";
    assert_eq!(about(read.with(&[]), hours), [format!("3 {hours}: open")]);
    let now = about(read.with(&[("9200 h", "8784 h")]), hours);
    assert_eq!(
        now,
        [format!(
            "3 {hours}: corrected since: hours was read as 9200 h, now 8784 h"
        )]
    );
    let now = about(read.with(&[("9200 h", "9000 h")]), hours);
    assert!(
        now.len() == 1 && now[0].contains("it is doubted still: 9000 hours, and a year has 8760"),
        "{now:#?}"
    );
    let now = about(read.with(&[("6000 h", "8785 h")]), hours);
    assert!(
        now.len() == 2 && now.iter().any(|one| one.contains("8785 hours")),
        "{now:#?}"
    );
    let below = "value-negative";
    assert!(about(read.with(&[]), below).is_empty());
    let mut rows = read.text.lines();
    let row = rows.find(|line| line.trim_start().starts_with("\"A\"")).unwrap();
    for (was, is, said) in [
        (
            "6000 h",
            "-20 h",
            "-20 h is below zero, which cannot be. Without its sign it would be 20 h.",
        ),
        (
            " 3 ",
            " -3 ",
            "-3 is below zero, which cannot be. Without its sign it would be 3.",
        ),
        ("15 kW", "-15 kW", "-15 kW is below zero"),
    ] {
        let typed = row.replacen(was, is, 1);
        assert_ne!(row, typed, "{was}");
        let now = about(read.with(&[(row, &typed)]), below);
        assert!(now.len() == 1 && now[0].contains(said), "{is}: {now:#?}");
    }
}
