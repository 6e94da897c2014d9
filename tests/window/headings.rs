//! Tables with headings pasted over what is there: values go where their headings and the names beside them say, and a notice says so.
//! Expected lines are put together by hand from the tables; all values are invented.

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, paste};

const BELT: &str = "polepair 1
sheet belt
  cases dry | wet
  given Q_m = 180 t/h | 220 t/h : mass flow \"Gravel\" measured
  given v = 1.6 m/s : speed \"Belt speed\"
  given m_B = 12 kg/m \"Belt mass\"
  work m_L = Q_m / v in kg/m \"Load\"
";

/// The same without cases.
const PLAIN: &str = "polepair 1
sheet belt
  given Q_m = 180 t/h : mass flow \"Gravel\" measured
  given v = 1.6 m/s : speed \"Belt speed\"
  work m_L = Q_m / v in kg/m \"Load\"
";

const MOTORS: &str = "polepair 1
list motors
  given tag : text
  given P_r in kW : rated power \"Rated power\"
  given n_r in r/min : rated speed
  given remark : text \"Remark\"
  work P_2 = 2 * P_r in kW
  rows tag | P_r | n_r | remark
    \"M-1\" | 15 kW | 1465 r/min | \"a\"
    \"M-2\" | 5.5 kW | 1440 r/min | \"b\"
    \"M-3\" | 11 kW | 1455 r/min | \"c\"
";

/// What is pasted at a place leaves these lines, says these words, and comes back in one step.
fn pasted(book: &str, at: (&str, &str, Field), table: &str, lines: &[&str], told: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go(at.0, at.1, at.2);
    let before = screen.text();
    paste(&mut screen, table);
    let now = screen.text();
    for line in lines {
        assert!(now.contains(line), "{table}: {line}: {now}\n{:?}", screen.labels());
    }
    for words in told {
        assert!(screen.has_part(words), "{table}: {words}: {:?}", screen.labels());
    }
    if now != before {
        screen.keys(Modifiers::COMMAND, Key::Z);
        assert_eq!(screen.text(), before, "{table}");
    }
}

/// What is pasted at a place is refused with these words, and nothing changes.
fn refused(book: &str, at: (&str, &str, Field), table: &str, told: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), book);
    screen.go(at.0, at.1, at.2);
    let before = screen.text();
    paste(&mut screen, table);
    assert_eq!(screen.text(), before, "{table}");
    for words in told {
        assert!(screen.has_part(words), "{table}: {words}: {:?}", screen.labels());
    }
}

/// Values under the names of cases alone begin at the chosen line, whichever of its places is chosen; each goes to its own case.
#[test]
fn values_alone_go_to_the_cases_over_them() {
    for field in [Field::Label, Field::Symbol, Field::Value(0), Field::Value(1)] {
        pasted(
            BELT,
            ("belt", "Q_m", field),
            "Wet\tDry\n230\t190\n1.8\t1.7",
            &[
                "given Q_m = 190 t/h | 230 t/h : mass flow",
                "given v = 1.7 m/s | 1.8 m/s : speed",
            ],
            &["Values went to Q_m, v, in the cases dry, wet. The first line was taken for headings."],
        );
    }
    // One column, onto the place of another case.
    pasted(
        BELT,
        ("belt", "v", Field::Value(0)),
        "wet\n1.9 m/s\n14 kg/m",
        &[
            "given v = 1.6 m/s | 1.9 m/s : speed",
            "given m_B = 12 kg/m | 14 kg/m",
            "180 t/h | 220 t/h",
        ],
        &["Values went to v, m_B, in the case wet."],
    );
    // An empty place changes nothing, one of which nothing is known is emptied, and what is worked stays worked. Behind the last line there
    // are new ones.
    pasted(
        BELT,
        ("belt", "v", Field::Value(0)),
        "Dry\tWet\n\t1.9\n13\t-\n31\t36\n5 kN\t6 kN",
        &[
            "given v = 1.6 m/s | 1.9 m/s : speed",
            "given m_B \"Belt mass\" = 13 kg/m |",
            "work m_L = Q_m / v in kg/m",
            "given x = 5 kN | 6 kN\n",
        ],
        &["Worked here and not taken: m_L.", "1 line names no quantity here"],
    );
    // Units beside all of them, over them, or beside each.
    for table in [
        "Dry\tWet\tUnit\n190\t230\tkg/h",
        "Unit\tDry\tWet\nkg/h\t190\t230",
        "Dry [kg/h]\tWet [kg/h]\n190\t230",
        "Dry\t\tWet\t\n190\tkg/h\t230\tkg/h",
        "Dry;Wet;Unit\n190;230;kg/h",
    ] {
        pasted(
            BELT,
            ("belt", "Q_m", Field::Value(0)),
            table,
            &["given Q_m = 190 kg/h | 230 kg/h : mass flow"],
            &["Values went to Q_m, in the cases dry, wet."],
        );
    }
}

/// With names before them values go to the quantity that each line names, by its symbol or its label, wherever they are pasted.
#[test]
fn values_go_to_the_quantities_that_their_lines_name() {
    for at in [Field::Label, Field::Value(0), Field::Kind] {
        for table in [
            "Quantity\tWet\tDry\nBelt speed\t1.8\t1.7\nGravel\t230\t190",
            "\tWet\tDry\nv\t1.8\t1.7\nQ_m\t230\t190",
            "Name\tSymbol\tWet\tDry\nSpeed now\tv\t1.8\t1.7\nGravel\tQ_m\t230\t190",
            "Size\tSign\tUnit\tDry\tWet\nBelt speed\tv\tm/s\t1.7\t1.8\ngravel\tQ_m\tt/h\t190\t230",
            "Quantity\tDry\tWet\tUnit\nbelt speed\t1.7\t1.8\tm/s\nGRAVEL\t190\t230\tt/h",
            "No.\tQuantity\tWet\tDry\n1\tBelt speed\t1.8\t1.7\n2\tGravel\t230\t190",
        ] {
            pasted(
                BELT,
                ("belt", "m_B", at),
                table,
                &[
                    "given Q_m = 190 t/h | 230 t/h : mass flow \"Gravel\" measured",
                    "given v = 1.7 m/s | 1.8 m/s : speed \"Belt speed\"",
                    "given m_B = 12 kg/m \"Belt mass\"",
                ],
                &["Values went to v, Q_m, in the cases "],
            );
        }
    }
    // What is not there is a line of its own; two lines of one name, and words that mean two, are told.
    pasted(
        BELT,
        ("belt", "Q_m", Field::Label),
        "Quantity\tDry\tWet\nGravel\t190\t230\nLoad\t30\t35\nWater\t3 t/h\t4 t/h\nQ_m\t1\t2",
        &[
            "given Q_m = 190 t/h | 230 t/h : mass flow",
            "work m_L = Q_m / v in kg/m",
            "given Water = 3 t/h | 4 t/h",
        ],
        &[
            "Values went to Q_m, in the cases dry, wet.",
            "Named in several lines, of which the first was taken: Q_m.",
            "Worked here and not taken: m_L.",
            "1 line names no quantity here: it is a line of its own, behind the last one.",
        ],
    );
    // Nobody here is called so: lines of their own, and nothing is replaced.
    pasted(
        BELT,
        ("belt", "Q_m", Field::Label),
        "Quantity\tWet\tDry\nSand\t4 t/h\t3 t/h",
        &["180 t/h | 220 t/h", "given Sand = 3 t/h | 4 t/h"],
        &["they stand behind the last one"],
    );
    // A symbol of one quantity beside the label of another says nothing for sure.
    refused(
        BELT,
        ("belt", "Q_m", Field::Label),
        "Name\tSymbol\tDry\tWet\nGravel\tv\t1\t2",
        &["More than one quantity is meant", "Gravel v"],
    );
}

/// Headings that are known words: a value alone is for the chosen case, else for all of them; with its unit, its kind and its source.
#[test]
fn a_table_of_known_headings_goes_to_what_it_names() {
    let table = "Symbol\tValue\tUnit\nv\t1.9\tm/s\nm_B\t14\tkg/m";
    pasted(
        BELT,
        ("belt", "Q_m", Field::Label),
        table,
        &[
            "given v = 1.9 m/s : speed",
            "given m_B = 14 kg/m \"Belt mass\"",
            "180 t/h | 220 t/h",
        ],
        &["Values went to v, m_B, in all cases."],
    );
    pasted(
        BELT,
        ("belt", "Q_m", Field::Value(1)),
        table,
        &["given v = 1.6 m/s | 1.9 m/s : speed", "given m_B = 12 kg/m | 14 kg/m"],
        &["Values went to v, m_B, in the case wet."],
    );
    pasted(
        PLAIN,
        ("belt", "Q_m", Field::Label),
        "Quantity\tSymbol\tValue\tUnit\tSource\nGravel\tQ_m\t190\tt/h\tplate\nLoad\tm_L\t33\tkg/m\tmeasured\nHeight\tH\t3\tm\t",
        &[
            "given Q_m = 190 t/h : mass flow \"Gravel\" plate",
            "work m_L = Q_m / v in kg/m",
            "given H = 3 m \"Height\"",
        ],
        &["Values went to Q_m.", "Worked here and not taken: m_L."],
    );
    // A unit that nobody knows leaves its value out; it is none of the place.
    pasted(
        PLAIN,
        ("belt", "Q_m", Field::Label),
        "Symbol\tValue\tUnit\nQ_m\t190\tper cart\nv\t1.9\tm/s",
        &["given Q_m = 180 t/h", "given v = 1.9 m/s"],
        &[
            "Values went to v.",
            "2 values were not pasted, as there is no place for them: `per cart` in line 2 and column 3 of what was copied and 1 more. A case more",
        ],
    );
    // One word may be a unit written wrongly: beside its number it is a fault that can be mended, and no number of the unit before.
    pasted(
        PLAIN,
        ("belt", "Q_m", Field::Value(0)),
        "Symbol\tValue\tUnit\nQ_m\t190\tcarts\nv\t1.9\tm/s",
        &["given Q_m = 190 carts : mass flow", "given v = 1.9 m/s"],
        &["`carts` is not a known unit"],
    );
}

/// A heading that is no case's: what stands under it is left out where others are known, and nothing is pasted where none is.
#[test]
fn headings_of_no_case_bring_no_wrong_number() {
    pasted(
        BELT,
        ("belt", "Q_m", Field::Value(0)),
        "Frozen\tWet\n5\t230",
        &["given Q_m = 180 t/h | 230 t/h"],
        &[
            "Values went to Q_m, in the case wet.",
            "1 value was not pasted, as there is no place for it: `5` in line 2 and column 1 of what was copied. A case more (New case)",
            "No case here is called Frozen.",
        ],
    );
    // Twice the same: the first.
    pasted(
        BELT,
        ("belt", "Q_m", Field::Value(0)),
        "Wet\tWet\n230\t231",
        &["given Q_m = 180 t/h | 230 t/h"],
        &["Over several columns, of which the first was taken, stands Wet."],
    );
    // A name in each of the headings, of one case alone.
    pasted(
        BELT,
        ("belt", "Q_m", Field::Value(0)),
        "Wet season\tDry season\n230\t190",
        &["given Q_m = 190 t/h | 230 t/h"],
        &["Headings went by the name in them: \"Wet season\" to wet, \"Dry season\" to dry."],
    );
    for table in [
        "Summer\tWinter\n190\t230",
        "Frozen\n190\n1.7",
        "Wet one\tFrozen\n230\t190",
        "Wet 2031\tWet 2032\n190\t230",
        "Quantity\tSummer\tWinter\nGravel\t190\t230",
        "Sort\tSummer\tWinter\nGravel\t190\t230",
        "Sort\tSummer\tWinter\nSand\t190\t230",
    ] {
        refused(
            BELT,
            ("belt", "Q_m", Field::Value(0)),
            table,
            &["the cases here are called dry, wet. Nothing was pasted."],
        );
    }
    refused(
        PLAIN,
        ("belt", "Q_m", Field::Value(0)),
        "Summer\tWinter\n190\t230",
        &["this sheet has no cases"],
    );
    // One value a line needs no heading.
    pasted(
        PLAIN,
        ("belt", "Q_m", Field::Value(0)),
        "Plant A\n190\n1.7",
        &["given Q_m = 190 t/h", "given v = 1.7 m/s"],
        &["Values went to Q_m, v. The first line was taken for headings."],
    );
    // Names that are there are formulas, and words of a choice are values.
    pasted(
        BELT,
        ("belt", "v", Field::Value(0)),
        "v\n13 kg/m",
        &["given m_B = 13 kg/m | 12 kg/m"],
        &[],
    );
    let choice =
        "polepair 1\nsheet s\n  cases star | delta\n  given c = star | delta : choice star, delta\n  given k = 1 | 2\n";
    pasted(
        choice,
        ("s", "c", Field::Value(0)),
        "delta\tstar\n3\t4",
        &["given c = delta | star : choice", "given k = 3 | 4"],
        &[],
    );
    // Behind the last line values go by place, and that is said.
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.go("belt", "m_L", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Quantity\tSummer\tWinter\nSand\t3 t/h\t4 t/h");
    assert!(
        screen.text().contains("given Sand = 3 t/h | 4 t/h"),
        "{}",
        screen.text()
    );
    assert!(
        screen.has_part("values went by their place, \"Summer\" to dry, \"Winter\" to wet."),
        "{:?}",
        screen.labels()
    );
}

/// A column alone whose heading names one of the list goes into that one, from the chosen row on.
#[test]
fn a_column_alone_goes_to_the_one_its_heading_names() {
    for (heading, field) in [
        ("P_r", "P_r"),
        ("Rated power", "tag"),
        ("Rated power [kW]", "n_r"),
        ("P_r", "tag"),
    ] {
        pasted(
            MOTORS,
            ("motors", field, Field::Value(1)),
            &format!("{heading}\n7.5\n12"),
            &["\"M-1\" | 15 kW", "\"M-2\" | 7.5 kW", "\"M-3\" | 12 kW"],
            &[
                "Values went into P_r, which their heading names.",
                "2 rows that were there are changed.",
                "The first line was taken for headings.",
            ],
        );
    }
    // Over the rows it begins with the first of them; behind the last one there are new rows.
    pasted(
        MOTORS,
        ("motors", "P_r", Field::Label),
        "P_r\n7.5\n8\n9\n10",
        &["\"M-1\" | 7.5 kW", "\"M-3\" | 9 kW", " | 10 kW |"],
        &["1 row is new, 3 that were there are changed."],
    );
    // By its tag where there is one.
    pasted(
        MOTORS,
        ("motors", "tag", Field::Value(0)),
        "Tag\tRated power\nM-3\t12\nM-1\t16",
        &["\"M-1\" | 16 kW", "\"M-2\" | 5.5 kW", "\"M-3\" | 12 kW"],
        &["2 rows were there by their tags and are changed."],
    );
    // A heading that nobody knows goes where it is pasted, and that is said; one that is known to be of something else goes nowhere.
    pasted(
        MOTORS,
        ("motors", "P_r", Field::Value(0)),
        "New ones [hp]\n20\n15",
        &["\"M-1\" | 20 hp", "\"M-2\" | 15 hp"],
        &["The list has no column \"New ones [hp]\": values went into P_r, where they were pasted."],
    );
    refused(
        MOTORS,
        ("motors", "P_r", Field::Value(0)),
        "Rated voltage [V]\n400\n690",
        &["the list has no such column. Nothing was pasted."],
    );
    // What is worked stays worked; words are a heading over their own column alone.
    refused(
        MOTORS,
        ("motors", "tag", Field::Value(0)),
        "P_2\n7\n8",
        &["Worked here and not taken: P_2."],
    );
    pasted(
        MOTORS,
        ("motors", "remark", Field::Value(0)),
        "Remark\nspare\nin store",
        &["1465 r/min | \"spare\"", "1440 r/min | \"in store\""],
        &["Values went into remark, which their heading names."],
    );
    pasted(
        MOTORS,
        ("motors", "tag", Field::Value(0)),
        "Remark\nspare\nin store",
        &["\"Remark\" | 15 kW", "\"spare\" | 5.5 kW"],
        &[],
    );
}

/// A list whose columns no line names yet takes a table, rows and what is typed in the open row: the line comes with them.
#[test]
fn a_list_without_rows_takes_its_first_ones() {
    let bare = "polepair 1
list motors
  given tag : text
  given P in kW : rated power
  given f = 50 Hz
  check P > 1 kW
";
    let (tag, head) = (("motors", "tag", Field::Value(0)), "rows tag | P\n");
    pasted(
        bare,
        tag,
        "Tag\tRated power\tRemark\nM-1\t15\tspare\nM-2\t5.5\t",
        &[
            "given Remark : text",
            "rows tag | P | Remark\n",
            "\"M-1\" | 15 kW | \"spare\"",
            "given f = 50 Hz",
        ],
        &[],
    );
    pasted(
        bare,
        tag,
        "M-1\t15\nM-2\t5.5",
        &[head, "\"M-1\" | 15 kW", "\"M-2\" | 5.5 kW"],
        &[],
    );
    pasted(
        bare,
        ("motors", "P", Field::Value(0)),
        "Rated power\n15\n5.5",
        &[head, "| 15 kW", "| 5.5 kW"],
        &["2 rows are new."],
    );
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), bare);
    screen.go("motors", "tag", Field::Value(0));
    assert!(
        screen.has_part("A table can be pasted with its headings."),
        "{:?}",
        screen.labels()
    );
    let before = screen.text();
    screen.enter("M-7");
    assert!(screen.text().contains("rows tag | P\n \"M-7\" |"), "{}", screen.text());
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before);
    screen.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!(screen.text().contains("rows tag | P\n \"M-7\" |"), "{}", screen.text());
    // A list that has nothing at all.
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nlist motors\n");
    paste(&mut screen, "Tag\tRated power [kW]\nM-1\t15\nM-2\t5.5");
    assert!(screen.text().contains("\"M-2\" | 5.5 kW"), "{}", screen.text());
}

/// Words and a value, typed as the label of a line that was put in between others, are what they are in the open line.
#[test]
fn a_label_with_a_value_of_an_inserted_line_is_both() {
    let folder = tempfile::tempdir().unwrap();
    for (typed, line) in [
        (
            "Rated power = 15 kW",
            "given rated_power = 15 kW \"Rated power\"\n given v",
        ),
        (
            "Rated power: 15 kW",
            "given rated_power = 15 kW \"Rated power\"\n given v",
        ),
        ("Power [kW] = 15", "given Power = 15 kW\n given v"),
        ("Rated power P_n = 15 kW", "given P_n = 15 kW \"Rated power\"\n given v"),
        ("Half speed = v / 2", "given half_speed = v / 2"),
        ("Speed = fast", "given x \"Speed = fast\"\n given v"),
        ("Gear 1:20", "given x \"Gear 1:20\"\n given v"),
    ] {
        for book in [PLAIN, BELT] {
            let (mut screen, _) = Screen::with(folder.path(), book);
            screen.go("belt", "v", Field::Value(0));
            screen.ask(Act::Insert);
            screen.enter(typed);
            let text = screen.text();
            let is_there = text.contains(line) || text.contains(&line.replace("given half", "work half"));
            assert!(is_there, "{typed}: {text}");
        }
    }
    // Also where there are words already, and none where there is a value.
    let (mut screen, _) = Screen::with(folder.path(), PLAIN);
    screen.go("belt", "v", Field::Value(0));
    screen.ask(Act::Insert);
    screen.enter("Power");
    screen.go("belt", "x", Field::Label);
    screen.letters("Rated power = 15 kW");
    assert!(
        screen.has_part("what it is called, and its value"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Enter);
    assert!(screen.text().contains("= 15 kW \"Rated power\"\n"), "{}", screen.text());
    screen.go("belt", "v", Field::Label);
    screen.enter("Speed = 2 m/s");
    assert!(
        screen.text().contains("given v = 1.6 m/s : speed \"Speed = 2 m/s\""),
        "{}",
        screen.text()
    );
}

/// A column of a list is called by its symbol or its label, whatever capitals these have; what looks like a unit in a label is a part of it.
/// A list without rows and one with rows go by the same.
#[test]
fn a_column_is_called_by_its_symbol_or_its_label() {
    let lines = "polepair 1
list cranes
  given tag : text
  given x in kg \"Crane mass\"
  given L in m \"Lift in m\"
  given other in kg
  rows tag | x | L | other
";
    for rows in ["", "    \"A\" | 1 kg | 2 m | 3 kg\n    \"B\" | 1 kg | 2 m | 3 kg\n"] {
        let book = format!("{lines}{rows}");
        for (heads, row) in [
            ("Tag\tOTHER\tCRANE MASS\tLIFT in m", "\"C\" | 700 kg | 9 m | 50 kg"),
            (
                "Tag\tOther [t]\tCrane mass [t]\tLift in m",
                "\"C\" | 700 t | 9 m | 50 t",
            ),
        ] {
            pasted(
                &book,
                ("cranes", "tag", Field::Value(0)),
                &format!("{heads}\nC\t50\t700\t9\nD\t60\t800\t8"),
                &[row],
                &[],
            );
        }
    }
}

/// What may be a symbol stands for one, though it may be a unit too; a column of units has one at least that no symbol can be.
#[test]
fn a_symbol_that_is_also_a_unit_is_a_symbol() {
    let book = "polepair 1\nsheet cart\n  cases dry | wet\n  given k = 1 | 2\n";
    pasted(
        book,
        ("cart", "k", Field::Label),
        "Item\tSign of it\tDry\tWet\nMass\tm\t5 kg\t6 kg\nHeight\th\t3 m\t4 m",
        &["given m = 5 kg | 6 kg \"Mass\"", "given h = 3 m | 4 m \"Height\""],
        &[],
    );
    pasted(
        book,
        ("cart", "k", Field::Label),
        "Item\tMeasured in\tDry\tWet\nMass\tkg\t5\t6\nSpeed\tm/s\t3\t4",
        &["given Mass = 5 kg | 6 kg", "given Speed = 3 m/s | 4 m/s"],
        &[],
    );
}
