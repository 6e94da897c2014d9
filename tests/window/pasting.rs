//! Pasting: lines with their formulas and cases, columns, tables from other programs, numbers with a decimal comma.

use eframe::egui::{Event, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::grid::workbook;
use crate::{Screen, paste};

/// What is pasted over the label of a quantity leaves these lines in the sheet.
fn pasted_over(folder: &std::path::Path, (book, at): (&str, &str), text: &str, lines: &[&str]) -> Screen {
    let mut screen = Screen::pasted(folder, book, ("work", at, Field::Label), text);
    let now = screen.text();
    for line in lines {
        assert!(now.contains(line), "{text}: {line}: {now}");
    }
    screen
}

/// The text of the sheet or list that comes last.
fn last(screen: &mut Screen) -> String {
    let text = screen.text();
    let at = text.rfind("\nsheet ").max(text.rfind("\nlist ")).unwrap_or(0);
    text[at..].to_owned()
}

/// Invented values.
const BELT: &str = "polepair 1
sheet belt
  cases dry | wet
  given Q_m = 180 t/h | 220 t/h : mass flow \"Gravel\" measured
  given v = 1.6 m/s : speed
  work m_L = Q_m / v in kg/m
  work P = m_L * g_n * 18 m * v / (92 %) in kW : shaft power \"Power\"
  work k = 1.1 | 1.2
  work P_n = next_rating(k * P, kw_ratings) in kW
";

/// Copied lines stay what they are on another sheet: formulas, cases, kinds and sources; where a name is taken it is another one.
#[test]
fn lines_with_cases_are_copied_with_their_formulas() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.go("belt", "Q_m", Field::Label);
    screen.ask(Act::ChooseAll);
    screen.ask(Act::Copy);
    let copied = screen.copied().unwrap();
    screen.ask(Act::NewSheet);
    paste(&mut screen, &copied);
    let new = last(&mut screen);
    for line in BELT.lines().skip(2) {
        let line = line.trim().replace("work ", "");
        assert!(new.contains(&line), "{line}: {new}");
    }
    assert!(!new.contains("given x"), "{new}");
    let values = |screen: &mut Screen, sheet: usize| {
        let results = screen.window().session().unwrap().results();
        let cells = results.sheets[sheet].quantities.last().unwrap().cells.clone();
        format!("{cells:?}")
    };
    assert_eq!(values(&mut screen, 0), values(&mut screen, 1));
    // Into the same sheet, behind its last line: one line by its margin, with names of its own.
    screen.go("belt", "P", Field::Label);
    screen.ask(Act::ChooseLine);
    screen.ask(Act::Copy);
    let copied = screen.copied().unwrap();
    screen.go("belt", "P_n", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, &copied);
    let text = screen.text();
    assert!(
        text.contains("work P_2 = m_L * g_n * 18 m * v / (92 %) in kW"),
        "{text}"
    );
    // Two that read one another follow the new names.
    screen.go("belt", "m_L", Field::Symbol);
    screen.keys(Modifiers::COMMAND, Key::Home);
    screen.go("belt", "m_L", Field::Label);
    screen.ask(Act::ChooseLine);
    screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    screen.ask(Act::Copy);
    let copied = screen.copied().unwrap();
    screen.go("belt", "P_2", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, &copied);
    let text = screen.text();
    assert!(text.contains("work m_L_2 = Q_m / v in kg/m"), "{text}");
    assert!(text.contains("work P_3 = m_L_2 * g_n * 18 m * v"), "{text}");
    assert!(screen.has_part("m_L is m_L_2"), "{:?}", screen.labels());
    // One step to take back.
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(!screen.text().contains("P_3"));
}

/// One line, from elsewhere too, becomes a line where the open one stands.
#[test]
fn one_line_is_pasted_into_the_open_line() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "P_sh", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Flow\tQ_2\t240 m3/h");
    let text = screen.text();
    assert!(text.contains("given Q_2 = 240 m³/h \"Flow\""), "{text}");
    assert!(!screen.has_part("were not pasted"), "{:?}", screen.labels());
}

/// A copied column of values makes lines where there are none.
#[test]
fn a_column_makes_lines_as_it_needs_them() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.go("belt", "Q_m", Field::Value(0));
    screen.ask(Act::ChooseColumn);
    screen.ask(Act::Copy);
    let copied = screen.copied().unwrap();
    assert_eq!(copied.lines().count(), 6, "{copied}");
    screen.ask(Act::NewSheet);
    paste(&mut screen, &copied);
    let new = last(&mut screen);
    assert_eq!(new.matches("given x").count(), 6, "{new}");
    assert!(new.contains("= 180 t/h") && new.contains("= 1.6 m/s"), "{new}");
    // The same behind the last line of a sheet, and a column of symbols.
    screen.key(Key::End);
    screen.keys(Modifiers::COMMAND, Key::End);
    screen.go("work", "x_6", Field::Value(0));
    screen.key(Key::ArrowDown);
    paste(&mut screen, "7 kW\n8 kW\n9 kW");
    let new = last(&mut screen);
    assert_eq!(new.matches("given x").count(), 9, "{new}");
    screen.go("work", "x_9", Field::Symbol);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "alpha\nbeta");
    let new = last(&mut screen);
    assert!(new.contains("given alpha\n") && new.contains("given beta"), "{new}");
}

/// Columns of values from elsewhere are cases of a sheet that has none; the unit stays with what is worked.
#[test]
fn columns_of_values_become_cases() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.ask(Act::NewSheet);
    paste(
        &mut screen,
        "Name\tSymbol\tsummer\twinter\tUnit\nFlow\tQ\t240\t180\tm³/h\nHead\tH\t25\t26\tm",
    );
    let new = last(&mut screen);
    assert!(new.contains("cases summer | winter"), "{new}");
    assert!(new.contains("given Q = 240 m³/h | 180 m³/h \"Flow\""), "{new}");
    assert!(new.contains("given H = 25 m | 26 m \"Head\""), "{new}");
    assert!(
        screen.has_part("Each column of values is a case: summer, winter."),
        "{:?}",
        screen.labels()
    );
}

/// Headings that name the cases of a sheet say which value goes to which, wherever they stand; what is of no case there is told.
#[test]
fn values_go_to_the_cases_that_their_headings_name() {
    let folder = tempfile::tempdir().unwrap();
    for (table, line) in [
        (
            "Quantity\tWet\tDry\nFlow\t4 t/h\t3 t/h\nWater\t0.4 t/h\t0.1 t/h",
            "given Flow = 3 t/h | 4 t/h",
        ),
        (
            "Quantity\tFrozen\tWet\tDry\nFlow\t5 t/h\t4 t/h\t3 t/h\nWater\t0 t/h\t0.4 t/h\t0.1 t/h",
            "given Flow = 3 t/h | 4 t/h",
        ),
        (
            "Quantity\tFrozen\tDry\nFlow\t5 t/h\t3 t/h\nWater\t0 t/h\t0.1 t/h",
            "given Flow = 3 t/h |",
        ),
        (
            "Quantity\tFrozen\tWet\nFlow\t5 t/h\t4 t/h\nWater\t0 t/h\t0.4 t/h",
            "given Flow = | 4 t/h",
        ),
        (
            "Quantity\tSummer\tWinter\nFlow\t3 t/h\t4 t/h\nWater\t0.1 t/h\t0.4 t/h",
            "given Flow = 3 t/h | 4 t/h",
        ),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), BELT);
        screen.go("belt", "P_n", Field::Symbol);
        screen.key(Key::ArrowDown);
        paste(&mut screen, table);
        let now = screen.text();
        assert!(now.contains(line), "{table}: {now}");
        assert!(
            !now.contains("Frozen") && !now.contains("given Quantity"),
            "{table}: {now}"
        );
        let is_left = screen.has_part("there is no place for");
        assert_eq!(is_left, table.contains("Frozen"), "{table}: {:?}", screen.labels());
    }
}

/// A table with headings fills the columns that a new list has, by name and by unit, and makes the others.
#[test]
fn a_table_with_headings_fills_the_columns_of_a_new_list() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.ask(Act::NewList);
    paste(
        &mut screen,
        "Tag\tP [kW]\teta [%]\tcos phi\nM-1\t15\t91\t0.86\nM-2\t22\t92\t0.87",
    );
    let new = last(&mut screen);
    assert!(new.contains("rows tag | P_r | eta | cos_phi"), "{new}");
    assert!(new.contains("\"M-1\" | 15 kW | 91 % | 0.86"), "{new}");
    assert!(!new.contains("given P in"), "{new}");
}

/// In a new list a heading goes to a column of the same alone: what was measured gets a column of its own, of its kind, with the heading
/// as its title, and is no rating.
#[test]
fn a_measured_power_is_no_rating_of_a_new_list() {
    let folder = tempfile::tempdir().unwrap();
    for (heading, column) in [
        ("Meas. kW", "given P_in in kW : input power \"Meas. kW\""),
        ("Input kW", "given Input in kW : input power"),
        (
            "Measured power [kW]",
            "given measured_power in kW : input power \"Measured power\"",
        ),
        ("P1 [kW]", "given P1 in kW : input power"),
        (
            "Leistung gemessen kW",
            "given leistung_gemessen in kW : input power \"Leistung gemessen\"",
        ),
        ("Absorbed kW", "given Absorbed in kW : shaft power"),
        // It does not say whether it is of the plate.
        ("Current [A]", "given Current in A : current"),
        ("Voltage [V]", "given Voltage in V : voltage"),
        ("Torque [N·m]", "given Torque in N·m"),
        ("Consumption kW", "given Consumption in kW"),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), BELT);
        screen.ask(Act::NewList);
        paste(&mut screen, &format!("Tag\t{heading}\nM-1\t13.2\nM-2\t4.1\n"));
        let new = last(&mut screen);
        assert!(new.contains(column), "{heading}: {new}");
        assert!(new.contains("\"M-1\" | | 13.2"), "{heading}: {new}");
    }
    // A rating beside it goes to its own, wherever it stands.
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.ask(Act::NewList);
    paste(
        &mut screen,
        "Tag\tMeas. kW\tRating kW\tMeas. amps\nM-1\t13.2\t15\t22.1\nM-2\t4.1\t5.5\t8",
    );
    let new = last(&mut screen);
    assert!(new.contains("rows tag | P_r | P_in | meas_amps\n"), "{new}");
    assert!(
        new.contains("given meas_amps in A : measured current \"Meas. amps\""),
        "{new}"
    );
    assert!(new.contains("\"M-1\" | 15 kW | 13.2 kW | 22.1 A"), "{new}");
    assert!(
        screen.has_part("Columns went by what their headings mean: \"Rating kW\" to P_r."),
        "{:?}",
        screen.labels()
    );
    // A list that has a column of the same has it filled, one of a rating does not.
    for (own, rows) in [
        ("given P in kW : input power", "\"M-1\" | 13.2 kW\n"),
        ("given P_r in kW : rated power", "\"M-1\" | | 13.2 kW\n"),
        ("given I_r in kW : rated power", "\"M-1\" | | 13.2 kW\n"),
        ("given P in kW \"Shaft power\"", "\"M-1\" | | 13.2 kW\n"),
    ] {
        let name = own.split(' ').nth(1).unwrap();
        let text = format!("polepair 1\nlist motors\n  given tag : text\n  {own}\n  rows tag | {name}\n");
        let mut screen = Screen::pasted(
            folder.path(),
            &text,
            ("motors", "tag", Field::Value(0)),
            "Tag\tMeas. kW\nM-1\t13.2\nM-2\t4.1\n",
        );
        let new = last(&mut screen);
        assert!(new.contains(rows), "{own}: {new}");
    }
}

/// A number without a unit has the one of its column: that of the heading, else the one that most of the column have; also one with a
/// decimal comma, and one that is pasted later.
#[test]
fn numbers_without_a_unit_have_that_of_their_column() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.ask(Act::NewList);
    paste(
        &mut screen,
        "Tag\tRated speed\tInput\tFlow [l/s]\tcos phi\nM-1\t1765 rpm\t2 hp\t3\t0.86\nM-2\t1760\t1,5\t4\t0.87\nM-3\t1750\t100\t5\t0,88\nM-4\t1740\t11 kW\t6 l/min\t0.9\nM-5\t1730\t3 hp\t7\t0.9\n",
    );
    let told =
        "Numbers without a unit got the one that others of their column have: \"Rated speed\" rpm, \"Input\" hp.";
    assert!(screen.has_part(told), "{:?}", screen.labels());
    screen.click("→ read 2 values with decimal comma");
    let new = last(&mut screen);
    for row in [
        "\"M-1\" | | 1765 r/min | 2 hp | 3 L/s | 0.86",
        "\"M-2\" | | 1760 r/min | 1.5 hp | 4 L/s | 0.87",
        "\"M-3\" | | 1750 r/min | 100 hp | 5 L/s | 0.88",
        "\"M-4\" | | 1740 r/min | 11 kW | 6 L/min | 0.9",
        "given rated_speed in r/min : rated speed \"Rated speed\"",
    ] {
        assert!(new.contains(row), "{row}: {new}");
    }
    assert!(!screen.has_part("has no unit"), "{:?}", screen.labels());
    // Rows that are pasted later have it too.
    paste(
        &mut screen,
        "Tag\tRated speed\tInput\nM-6\t1720\t7,5\nM-7\t1710\t15\nM-8\t1700\t5,5\n",
    );
    screen.click("→ read 2 values with decimal comma");
    let new = last(&mut screen);
    for row in ["\"M-6\" | | 1720 r/min | 7.5 hp", "\"M-7\" | | 1710 r/min | 15 hp"] {
        assert!(new.contains(row), "{row}: {new}");
    }
}

/// Numbers with a decimal comma are read all in one step, with their units; those that may group digits are asked about.
#[test]
fn decimal_commas_are_read_in_one_step() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), BELT);
    screen.ask(Act::NewSheet);
    paste(
        &mut screen,
        "Flow\tQ\t190,5\t210,5\tm³/h\nHead\tH\t1,8\t2,4\tm\nForce\tF\t1.234,5\t85,5\tN\nMass\tm\t1,234\t2,5\tkg",
    );
    assert!(
        screen.has_part("8 numbers have a decimal comma; 1 of them may group digits as well, such as 1,234"),
        "{:?}",
        screen.labels()
    );
    let before = screen.text();
    screen.click("→ read 7 values with decimal comma, leave the others");
    let new = last(&mut screen);
    for line in [
        "given Q = 190.5 m³/h | 210.5 m³/h \"Flow\"",
        "given H = 1.8 m | 2.4 m \"Head\"",
        "given F = 1234.5 N | 85.5 N \"Force\"",
        "given m = 1,234 kg | 2.5 kg \"Mass\"",
    ] {
        assert!(new.contains(line), "{line}: {new}");
    }
    assert!(!screen.has_part("have a decimal comma"), "{:?}", screen.labels());
    // One step; then all of them, from the panel of faults.
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(screen.text(), before);
    screen.click("Leave them");
    screen.key(Key::F7);
    screen.click("→ read all 8 values: 1,234 is 1.234");
    let new = last(&mut screen);
    assert!(new.contains("given m = 1.234 kg | 2.5 kg \"Mass\""), "{new}");
    screen.keys(Modifiers::COMMAND, Key::Z);
    // The same from the line under the grid.
    screen.key(Key::F7);
    screen.click("Leave them");
    screen.go("work", "H", Field::Value(0));
    screen.click("→ read all 8 values: 1,234 is 1234");
    let new = last(&mut screen);
    assert!(new.contains("given m = 1234 kg | 2.5 kg \"Mass\""), "{new}");
}

const EMPTY: &str = "polepair 1
sheet work
  given x
";

/// The sign that other programs want before a formula is dropped, typed at once or letter by letter; alone it changes nothing.
#[test]
fn a_sign_before_a_formula_is_dropped() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet a
  given n = 1450 r/min
  given P = 5 kW
  work T = P / n in N·m
list l
  given tag : text
  given P in kW
  rows tag | P
    \"a\" | 3 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("a", "P", Field::Value(0));
    screen.enter("=7.5 kW");
    assert!(screen.text().contains("given P = 7.5 kW\n"), "{}", screen.text());
    screen.go("a", "P", Field::Value(0));
    let letters = |text: &str| text.chars().map(|letter| Event::Text(letter.to_string())).collect();
    screen.one_by_one(letters("=8 kW"));
    assert_eq!(screen.window().typing(), Some("8 kW"));
    screen.key(Key::Enter);
    assert!(screen.text().contains("given P = 8 kW\n"), "{}", screen.text());
    screen.go("a", "T", Field::Formula);
    screen.enter("= 2*P/n");
    assert!(screen.text().contains("work T = 2*P/n in N·m"), "{}", screen.text());
    // In the open line, in a list, and pasted.
    screen.go("a", "T", Field::Value(0));
    screen.key(Key::ArrowDown);
    screen.enter("=P/n");
    assert!(screen.text().contains("work x = P/n\n"), "{}", screen.text());
    screen.go("l", "P", Field::Value(0));
    screen.enter("=4");
    assert!(screen.text().contains("\"a\" | 4 kW"), "{}", screen.text());
    screen.go("l", "P", Field::Value(0));
    paste(&mut screen, "=5");
    assert!(screen.text().contains("\"a\" | 5 kW"), "{}", screen.text());
    // The name of a row is a text; alone the sign leaves what stood there.
    screen.go("l", "tag", Field::Value(0));
    screen.enter("=a");
    assert!(screen.text().contains("\"=a\" | 5 kW"), "{}", screen.text());
    let before = screen.text();
    screen.go("a", "P", Field::Value(0));
    screen.enter("=");
    assert_eq!(screen.text(), before);
}

/// A line as it is written on paper makes symbol and value, wherever in the open line it is typed.
#[test]
fn a_line_as_on_paper_is_a_symbol_and_a_value() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), EMPTY);
    screen.go("work", "x", Field::Symbol);
    screen.letters("P = 7.5 kW");
    assert!(
        screen.has_part("what it is called, and its value"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Enter);
    assert!(screen.text().contains("given P = 7.5 kW\n"), "{}", screen.text());
    for (field, typed, line) in [
        (Field::Symbol, "n = 1450 r/min", "given n = 1450 r/min\n"),
        (Field::Label, "T = P/n", "work T = P/n\n"),
        (Field::Value(0), "Q = 2*T", "work Q = 2*T\n"),
        (
            Field::Label,
            "Rated power = 7,5 kW",
            "given rated_power = 7,5 kW \"Rated power\"\n",
        ),
        (
            Field::Symbol,
            "M = 49 N·m : torque \"Load\" measured",
            "given M = 49 N·m : torque \"Load\" measured\n",
        ),
        (Field::Label, "Power [kW] = 11", "given Power = 11 kW\n"),
        // Words that are none.
        (Field::Label, "Speed = fast", "given x \"Speed = fast\"\n"),
    ] {
        let last = screen.window().session().unwrap().results().sheets[0]
            .quantities
            .last()
            .unwrap()
            .name
            .clone();
        screen.go("work", &last, field);
        screen.key(Key::ArrowDown);
        screen.enter(typed);
        assert!(screen.text().contains(line), "{typed}: {}", screen.text());
    }
    // The symbol of the place repeated before its value; a name that is taken; a comparison stays one.
    screen.go("work", "P", Field::Value(0));
    screen.enter("P = 9 kW");
    assert!(screen.text().contains("given P = 9 kW\n"), "{}", screen.text());
    screen.go("work", "x", Field::Symbol);
    screen.key(Key::ArrowDown);
    let before = screen.text();
    screen.enter("P = 3 kW");
    assert!(
        screen.has_part("There is a quantity P already"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    assert_eq!(screen.text(), before);
    screen.go("work", "x", Field::Value(0));
    screen.key(Key::ArrowDown);
    screen.enter("P = 3 kW");
    assert!(screen.text().contains("work x_2 = P = 3 kW"), "{}", screen.text());
}

/// Lines from a letter or a data sheet are read as what they say.
#[test]
fn text_lines_are_parted_where_they_are_pasted() {
    let folder = tempfile::tempdir().unwrap();
    for (pasted, lines) in [
        (
            "P = 7,5 kW\nn = 1450 r/min\nT = P/n",
            vec!["given P = 7,5 kW\n", "given n = 1450 r/min\n", "work T = P/n\n"],
        ),
        (
            "Rated power   7.5 kW\nRated speed   1450 r/min",
            vec![
                "given rated_power = 7.5 kW \"Rated power\"\n",
                "given rated_speed = 1450 r/min \"Rated speed\"\n",
            ],
        ),
        (
            "Power;P;7,5;kW\nSpeed;n;1450;r/min",
            vec!["given P = 7,5 kW \"Power\"\n", "given n = 1450 r/min \"Speed\"\n"],
        ),
        (
            "Pump drive\nRated power: 7.5 kW\nSpeed  n = 1450 r/min",
            vec![
                "note \"Pump drive\"\n",
                "given rated_power = 7.5 kW \"Rated power\"\n",
                "given n = 1450 r/min \"Speed\"\n",
            ],
        ),
        (
            "given Q = 60 m³/h : volume flow \"Flow\"\nwork V = Q * 2 h\ncheck Q > 50 m³/h",
            vec![
                "given Q = 60 m³/h : volume flow \"Flow\"\n",
                "work V = Q * 2 h\n",
                "check Q > 50 m³/h\n",
            ],
        ),
    ] {
        let mut screen = pasted_over(folder.path(), (EMPTY, "x"), pasted, &lines);
        assert!(!screen.text().contains("given x"), "{}", screen.text());
        screen.keys(Modifiers::COMMAND, Key::Z);
        assert!(screen.text().contains("given x\n"), "{}", screen.text());
    }
    // Behind the last line names that are taken are others; words alone are labels, and that is said.
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet work\n  given P = 3 kW\n");
    screen.go("work", "P", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "P = 5 kW\nn = 2 * P");
    let text = screen.text();
    assert!(
        text.contains("given P_2 = 5 kW\n") && text.contains("work n = 2 * P_2\n"),
        "{text}"
    );
    screen.go("work", "n", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Rated power\nRated speed");
    assert!(
        screen.has_part("2 lines have words and no value"),
        "{:?}",
        screen.labels()
    );
    // A list that holds nothing takes a table with semicolons.
    screen.ask(Act::NewList);
    paste(&mut screen, "Tag;P [kW];eta [%]\nM-1;15;91,5\nM-2;22;92");
    let new = last(&mut screen);
    assert!(new.contains("\"M-1\" | 15 kW | 91,5 %"), "{new}");
}

/// A size in inches is kept where it was pasted, with what is wrong with a fraction; what cannot stand there says so.
#[test]
fn sizes_in_inches_are_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), EMPTY);
    paste(&mut screen, "Bore\td\t3/4\"\nShaft\tD\t1.5\"");
    let new = last(&mut screen);
    assert!(
        new.contains("given d = 3/4 inch \"Bore\"") && new.contains("given D = 1.5 inch \"Shaft\""),
        "{new}"
    );
    assert!(!screen.has_part("not pasted"), "{:?}", screen.labels());
    screen.go("work", "D", Field::Value(0));
    screen.enter("2\"");
    assert!(last(&mut screen).contains("given D = 2 inch"));
    paste(&mut screen, "4 mm\n5 mm | 6 mm");
    assert!(
        screen.has_part("as it cannot stand there: `5 mm | 6 mm`"),
        "{:?}",
        screen.labels()
    );
}

/// Tables as they are copied from other programs, invented: headings, units beside the words, formulas with their sign, symbols that
/// are none, several lines in one.
#[test]
fn tables_from_elsewhere_keep_units_and_formulas() {
    let folder = tempfile::tempdir().unwrap();
    for (pasted, lines) in [
        // The unit beside the words is that of the value; 90.6 % is no 90.6.
        (
            "Efficiency [%]\t90.6\nSpeed [rpm]\t1455\nPower (kW)\t7.5",
            vec!["= 90.6 %", "= 1455 r/min", "= 7.5 kW"],
        ),
        (
            "Efficiency (%)\teta\t90.6\nShaft speed\tn [rpm]\t1455",
            vec![
                "given eta = 90.6 % \"Efficiency\"\n",
                "given n = 1455 r/min \"Shaft speed\"\n",
            ],
        ),
        // A value with a unit of its own keeps it, whatever stands beside the words.
        (
            "Power [kW]\tP\t5 hp\nLoad [see plate]\tF\t85 N",
            vec!["given P = 5 hp \"Power\"\n", "given F = 85 N \"Load [see plate]\"\n"],
        ),
        // One symbol that is none takes no others away.
        (
            "Rated power\tP_n\t15 kW\nRated voltage\tU_n\t400 V\nPower factor\tcos φ\t0.84\nPoles\t2p\t4",
            vec![
                "given P_n = 15 kW \"Rated power\"\n",
                "given U_n = 400 V \"Rated voltage\"\n",
                "given power_factor = 0.84 \"Power factor\"\n",
            ],
        ),
        // Formulas with their sign, the same in all cases and others in each.
        (
            "Quantity\tSymbol\tCase 1\tCase 2\tUnit\nFlow\tQ\t60\t85\tm³/h\nHead\tH\t18\t18\tm\n\
             Pressure\tp_d\t=rho*g_n*H\t=rho*g_n*H\tkPa\nFlow later\tQ_2\t=Q*2\t=Q*3\tm³/h",
            vec![
                "cases case_1 | case_2",
                "work p_d = rho*g_n*H in kPa \"Pressure\"\n",
                "work Q_2 = Q*2 | Q*3 in m³/h \"Flow later\"\n",
            ],
        ),
        (
            "Name\tFormula\tValue\tUnit\nQ\t\t60\tm³/h\nP\tQ*p/eta\t4.15\tkW",
            vec!["given Q = 60 m³/h\n", "work P = Q*p/eta in kW\n"],
        ),
        // A table with semicolons and a formula.
        (
            "Parameter;Symbol;Value;Unit\nRated power;P_r;7,5;kW\nRated torque;T_r;=P_r/n_r;N·m\nEfficiency;eta;0,91;",
            vec![
                "given P_r = 7,5 kW \"Rated power\"\n",
                "work T_r = P_r/n_r in N·m \"Rated torque\"\n",
                "given eta = 0,91 \"Efficiency\"\n",
            ],
        ),
        (
            "P = 7.5 kW; n = 1450 r/min; T = P/n",
            vec!["given P = 7.5 kW\n", "given n = 1450 r/min\n", "work T = P/n\n"],
        ),
        ("I = 15 A, U = 400 V", vec!["given I = 15 A\n", "given U = 400 V\n"]),
        ("U = 400 V  I = 15 A", vec!["given U = 400 V\n", "given I = 15 A\n"]),
        // A comma within a formula parts nothing.
        ("A = smallest(2 kW, 3 kW)", vec!["given A = smallest(2 kW, 3 kW)\n"]),
        ("Rated power P = 7.5 kW", vec!["given P = 7.5 kW \"Rated power\"\n"]),
        // What stands twice: the second has a name of its own, and what reads it reads the first.
        (
            "given n = 1450 r/min\ngiven n = 1440 r/min\nwork m = 2 * n",
            vec!["given n = 1450 r/min\n", "given n_2 = 1440 r/min\n", "work m = 2 * n\n"],
        ),
    ] {
        let mut screen = pasted_over(folder.path(), (EMPTY, "x"), pasted, &lines);
        assert!(!screen.text().contains("given x"), "{}", screen.text());
        assert!(!screen.has_part("not pasted"), "{pasted}: {:?}", screen.labels());
    }
    // The same in a table.
    let (mut screen, _) = Screen::with(folder.path(), EMPTY);
    screen.go("work", "x", Field::Label);
    paste(
        &mut screen,
        "Speed\tn\t1450 r/min\nOther speed\tn\t1440 r/min\nTwice\tm\t=2 * n",
    );
    assert!(
        screen.text().contains("given n_2 = 1440") && screen.text().contains("work m = 2 * n \"Twice\""),
        "{}",
        screen.text()
    );
    // Several lines in one, typed in the open line.
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\nsheet work\n  given F = 3 N\n");
    screen.go("work", "F", Field::Label);
    screen.key(Key::ArrowDown);
    screen.enter("P = 7.5 kW; n = 1450 r/min; T = P/n");
    let text = screen.text();
    for line in ["given P = 7.5 kW\n", "given n = 1450 r/min\n", "work T = P/n\n"] {
        assert!(text.contains(line), "{line}: {text}");
    }
    screen.keys(Modifiers::COMMAND, Key::Z);
    assert!(!screen.text().contains("given n"), "{}", screen.text());
    // Under lines with the same names, what was pasted reads what came with it: 7.5 kW over 1450 r/min, not over 1400 r/min.
    for pasted in [
        "Quantity\tSymbol\tValue\tUnit\tFormula\nPower\tP\t7.5\tkW\t\nSpeed\tn\t1450\tr/min\t\nTorque\tT\t49.39\tN·m\tP / n",
        "Power\tP\t7.5 kW\nSpeed\tn\t1450 r/min\nTorque\tT\t=P / n",
        "Power;P;7.5 kW\nSpeed;n;1450 r/min\nTorque;T;=P / n",
    ] {
        let there = "polepair 1\nsheet work\n  given P = 7 kW\n  given n = 1400 r/min\n";
        let (mut screen, _) = Screen::with(folder.path(), there);
        screen.go("work", "n", Field::Label);
        screen.key(Key::ArrowDown);
        paste(&mut screen, pasted);
        let text = screen.text();
        assert!(text.contains("work T = P_2 / n_2"), "{text}");
        assert!(screen.has_part("P is P_2, n is n_2"), "{:?}", screen.labels());
    }
    // One line behind others, with its sign.
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\nsheet work\n  given P = 7 kW\n  given n = 1400 r/min\n",
    );
    screen.go("work", "n", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Torque\tT\t=P/n");
    assert!(screen.text().contains("work T = P/n \"Torque\""), "{}", screen.text());
}

/// What is a whole line by itself is none of the labels, symbols and values it is pasted over; units in a column of their own go with
/// the values before them.
#[test]
fn whole_lines_are_no_labels() {
    let folder = tempfile::tempdir().unwrap();
    let there = "polepair 1
sheet work
  cases a | b
  given P = 7 kW | 8 kW : shaft power \"Old power\"
  given n = 1400 r/min \"Old speed\"
";
    for (pasted, lines) in [
        (
            "Rated power: 7.5 kW\nRated speed: 1450 r/min",
            vec![
                "given rated_power = 7.5 kW \"Rated power\"\n",
                "given rated_speed = 1450 r/min \"Rated speed\"\n",
            ],
        ),
        (
            "given c = 1 kW\ngiven d = 2 kW",
            vec!["given c = 1 kW\n", "given d = 2 kW\n"],
        ),
        (
            "P = 7.5 kW\nn = 1450 r/min",
            vec!["given P_2 = 7.5 kW\n", "given n_2 = 1450 r/min\n"],
        ),
        ("Symbol\tValue\tUnit\nm\t1450\tr/min", vec!["given m = 1450 r/min\n"]),
    ] {
        let lines: Vec<&str> = there.lines().skip(3).map(str::trim).chain(lines).collect();
        let mut screen = pasted_over(folder.path(), (there, "P"), pasted, &lines);
        assert!(
            screen.has_part("they stand behind the last one"),
            "{:?}",
            screen.labels()
        );
        screen.keys(Modifiers::COMMAND, Key::Z);
        assert!(!screen.text().contains("1450"), "{}", screen.text());
    }
    // Labels that say nothing more go where they stand; a symbol repeated before its value goes there too.
    let mut screen = Screen::pasted(
        folder.path(),
        there,
        ("work", "P", Field::Label),
        "New power\nNew speed",
    );
    let text = screen.text();
    assert!(
        text.contains("\"New power\"") && text.contains("\"New speed\""),
        "{text}"
    );
    screen.go("work", "P", Field::Value(1));
    paste(&mut screen, "P = 9 kW\nn = 1390 r/min");
    let text = screen.text();
    assert!(
        text.contains("given P = 7 kW | 9 kW") && text.contains("1390 r/min"),
        "{text}"
    );
    // 7.5 kW stay 7.5 kW in whatever unit the place is shown, and the next case stays what it was.
    screen.ask(Act::InUs);
    screen.go("work", "P", Field::Value(0));
    paste(&mut screen, "7.5\tkW\n1450\trpm");
    let text = screen.text();
    assert!(
        text.contains("given P = 7.5 kW | 9 kW") && text.contains("1450 r"),
        "{text}"
    );
}

/// The text of a workbook that is pasted becomes sheets, behind the one in sight; what has no place there is told.
#[test]
fn the_text_of_a_workbook_becomes_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\nsheet drive\n  given P = 5 kW\nsheet last\n  given k = 2\n",
    );
    let before = screen.text();
    let pasted = "\n# from a letter\npolepair 1\nworkbook \"Other\"\nsupply 60 Hz\n\nsheet drive \"Fan\"\n  given Q = 2 m³/s : volume flow\n  \
        work dp = 3 kW / Q in Pa\nlist fans\n  given tag : text\n  given P_r = drive.Q * 1 kPa in kW\n  rows tag\n    \"F-1\"\n";
    paste(&mut screen, pasted);
    let text = screen.text();
    let names: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with("sheet ") || line.starts_with("list "))
        .collect();
    assert_eq!(
        names,
        ["sheet drive", "sheet drive_2 \"Fan\"", "list fans", "sheet last"],
        "{text}"
    );
    assert!(
        text.contains("work dp = 3 kW / Q in Pa") && text.contains("given P_r = drive_2.Q * 1 kPa in kW"),
        "{text}"
    );
    assert!(!text.contains("60 Hz") && !text.contains("Other"), "{text}");
    for told in [
        "Pasted as 2 sheets: drive_2, fans.",
        "drive is drive_2",
        "`supply 60 Hz`",
    ] {
        assert!(screen.has_part(told), "{told} {:?}", screen.labels());
    }
    assert_eq!(screen.window().chosen().unwrap().0, 1);
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);
    // Words that only begin like one are words.
    screen.go("last", "k", Field::Label);
    paste(&mut screen, "list price");
    assert!(
        screen.text().contains("given k = 2 \"list price\""),
        "{}",
        screen.text()
    );
}

/// A part of such a text is its sheets as well, and needs no line that says what file it is. What begins in the midst of a sheet, or cannot
/// be read, becomes no label: it is said what to do.
#[test]
fn sheets_of_a_workbook_are_pasted_without_its_first_line() {
    let folder = tempfile::tempdir().unwrap();
    let here = "polepair 1\nsheet drive\n  given P = 5 kW\nlist fans\n  given tag : text\n  rows tag\n    \"F-0\"\n";
    let sheet = "sheet drive \"Fan\"\n  given Q = 2 m³/s : volume flow\n  work dp = 3 kW / Q in Pa\n";
    let list = "list fans\n  given tag : text\n  given P_r = drive.Q * 1 kPa in kW\n  rows tag\n    \"F-1\"\n";
    for (pasted, names, reads) in [
        (
            sheet.to_owned(),
            vec!["sheet drive", "sheet drive_2 \"Fan\"", "list fans"],
            "Pa",
        ),
        (
            format!("\n{list}"),
            vec!["sheet drive", "list fans_2", "list fans"],
            "drive.Q",
        ),
        (
            format!("# from another\nworkbook \"Other\"\n{sheet}\n{list}"),
            vec!["sheet drive", "sheet drive_2 \"Fan\"", "list fans_2", "list fans"],
            "drive_2.Q",
        ),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), here);
        screen.go("drive", "P", Field::Label);
        let before = screen.text();
        paste(&mut screen, &pasted);
        let text = screen.text();
        let openings = text
            .lines()
            .filter(|line| line.starts_with("sheet ") || line.starts_with("list "));
        assert_eq!(openings.collect::<Vec<_>>(), names, "{pasted}: {text}");
        assert!(text.contains(reads) && text.matches("polepair").count() == 1, "{text}");
        assert!(screen.has_part("Pasted as "), "{:?}", screen.labels());
        screen.ask(Act::Undo);
        assert_eq!(screen.text(), before);
    }
    let (mut screen, _) = Screen::with(folder.path(), here);
    screen.go("drive", "P", Field::Label);
    let before = screen.text();
    for (pasted, told) in [
        (
            format!("  given b = 3 m\n  work c = 2 * b\n\n{sheet}"),
            "begins within a sheet and goes on with another one, `sheet drive \"Fan\"`",
        ),
        (
            sheet.replace("sheet drive", "sheet 2nd"),
            "its line `sheet 2nd \"Fan\"` cannot be read: ",
        ),
    ] {
        paste(&mut screen, &pasted);
        assert!(screen.has_part(told), "{told} {:?}", screen.labels());
        assert_eq!(screen.text(), before);
    }
    // Words of a table are words.
    paste(&mut screen, "list price\t12\nsheet thickness\t5");
    assert!(screen.text().contains("\"list price\""), "{}", screen.text());
}

/// A list that is pasted beside the one whose file it names is a list of its own: the file is read again for one of them.
#[test]
fn a_pasted_list_leaves_a_file_that_is_read_here() {
    let folder = tempfile::tempdir().unwrap();
    let list = "list motors\n  read \"site.csv\" headings 1\n  given tag : text\n  given P_r in kW : rated power\n  rows tag | P_r\n    \"M-1\" | 5 kW\n";
    for (here, reads) in [
        (format!("polepair 1\n{list}"), 1),
        ("polepair 1\nsheet a\n".to_owned(), 1),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), &here);
        paste(&mut screen, &format!("polepair 1\n{list}"));
        let text = screen.text();
        assert_eq!(
            text.matches("list motors").count(),
            here.matches("list motors").count() + 1,
            "{text}"
        );
        assert_eq!(text.matches("read \"site.csv\"").count(), reads, "{text}");
    }
}

/// Below rows that are there, a line whose columns are parted by semicolons or by blanks is a row, as it is in an empty list; a remark
/// with one semicolon is one text.
#[test]
fn lines_are_parted_into_rows_below_others() {
    let folder = tempfile::tempdir().unwrap();
    for pasted in ["M-9;15 kW;1465 r/min;4 pole", "M-9   15 kW   1465 r/min   4 pole"] {
        let (mut screen, _) = Screen::with(folder.path(), &workbook(1));
        screen.go("motors", "tag", Field::Value(0));
        screen.key(Key::ArrowDown);
        paste(&mut screen, pasted);
        let row = "\"M-9\" | 15 kW | 1465 r/min | 4 pole";
        assert!(screen.text().contains(row), "{pasted}: {}", screen.text());
    }
    let (mut screen, _) = Screen::with(folder.path(), &workbook(1));
    screen.go("motors", "tag", Field::Value(0));
    screen.key(Key::ArrowDown);
    paste(&mut screen, "spare; in store");
    assert!(screen.text().contains("\"spare; in store\""), "{}", screen.text());
}

/// A table with decimal commas keeps no point that marks thousands, and a number in brackets is negative; both are told. What stands in
/// brackets behind a symbol is its unit, also 1/min.
#[test]
fn numbers_of_other_programs_are_read_as_they_are_meant() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), "polepair 1\n\nsheet a\n  given b = 2\n");
    screen.go("a", "b", Field::Label);
    screen.key(Key::ArrowDown);
    paste(
        &mut screen,
        "Bucket pitch\tp_b\t0,30 m\nDensity\trho\t1.250 kg/m³\nMass\tm_s\t1.250,5 kg\nDrehzahl\tn_x\t2.950\nNeg\tx1\t(5,2)\n",
    );
    let text = screen.text();
    for line in ["rho = 1250 kg/m³", "n_x = 2950", "x1 = -5,2"] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(screen.has_part("1.250 is 1250"), "{:?}", screen.labels());
    for (pasted, line) in [
        ("n [1/min]\t1450\nT [N·m]\t20", "n = 1450 1/min"),
        ("Drehzahl n [1/min]\t1450\nMoment T [N·m]\t20", "n = 1450 1/min"),
        ("Drehzahl [1/min]\tn\t1450\nMoment [N·m]\tT\t20", "n = 1450 1/min"),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), "polepair 1\n\nsheet a\n  given x\n");
        screen.go("a", "x", Field::Label);
        paste(&mut screen, pasted);
        assert!(screen.text().contains(line), "{pasted:?}: {}", screen.text());
    }
}

/// A formula among pasted values is worked in the unit that stands beside it, also without a sign before it; where `1` or a stroke
/// stands there, there is none.
#[test]
fn a_unit_beside_a_formula_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let flow = "polepair 1\n\nsheet work\n  given Q = 85 m³/h\n  given H = 32 m\n";
    let (mut screen, _) = Screen::with(folder.path(), flow);
    screen.go("work", "H", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Shaft\tP_s\tQ*H*998 kg/m3*g_n\tkW");
    let text = screen.text();
    assert!(
        text.contains("work P_s = Q*H*998 kg/m³*g_n in kW \"Shaft\"\n"),
        "{text}"
    );
    let (mut screen, _) = Screen::with(folder.path(), flow);
    screen.go("work", "H", Field::Label);
    screen.key(Key::ArrowDown);
    paste(
        &mut screen,
        "Factor\tk\t1.15\t1\nStages\tz\t3\t-\nRows\tr\t4\t–\nGates\ti\t5\t—\nWays\tw\t6\t−\nHead\tH_2\t12\tm\nTorque\tT\t20\tN*m\nMore\tQ_2\tk*Q\tL/s",
    );
    let text = screen.text();
    for line in [
        "given k = 1.15 \"Factor\"\n",
        "given z = 3 \"Stages\"\n",
        "given r = 4 \"Rows\"\n",
        "given i = 5 \"Gates\"\n",
        "given w = 6 \"Ways\"\n",
        "given H_2 = 12 m \"Head\"\n",
        "given T = 20 N·m \"Torque\"\n",
        "work Q_2 = k*Q in L/s \"More\"\n",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    // What says that there is no unit is no text without a place.
    assert!(!screen.has_part("not pasted"), "{:?}", screen.labels());
    // Most of the lines are formulas.
    let (mut screen, _) = Screen::with(folder.path(), flow);
    screen.go("work", "H", Field::Label);
    screen.key(Key::ArrowDown);
    paste(
        &mut screen,
        "Twice\tQ_2\t2*Q\tL/s\nFactor\tk\t1.15\t1\nMore\tQ_3\tk*Q\tL/s",
    );
    let text = screen.text();
    for line in [
        "work Q_2 = 2*Q in L/s \"Twice\"\n",
        "given k = 1.15 \"Factor\"\n",
        "work Q_3 = k*Q in L/s \"More\"\n",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    // A number typed over one case has the unit of the line.
    let (mut screen, _) = Screen::with(
        folder.path(),
        "polepair 1\n\nsheet work\n  cases dry | wet\n  given P = 3 kW | 4 kW\n",
    );
    screen.go("work", "P", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Shaft\tP_s\t=2*P\t5\tkW");
    let text = screen.text();
    assert!(text.contains("work P_s = 2*P | 5 kW in kW \"Shaft\"\n"), "{text}");
    screen.go("work", "P_s", Field::Label);
    screen.key(Key::ArrowDown);
    paste(&mut screen, "Twice that\tP_t\t=2*P_s\t=2*P_s\tkW");
    let text = screen.text();
    assert!(text.contains("work P_t = 2*P_s in kW \"Twice that\"\n"), "{text}");
}

/// Rows with semicolons over rows that are there are parted where a column of values stands in them; tags with a semicolon are texts.
#[test]
fn rows_with_semicolons_go_over_rows_that_are_there() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "tag", Field::Value(0));
    paste(&mut screen, "N-1;15 kW\nN-2;22 kW");
    let text = screen.text();
    assert!(
        text.contains("\"N-1\" | 15 kW |") && text.contains("\"N-2\" | 22 kW |"),
        "{text}"
    );
    screen.go("motors", "tag", Field::Value(0));
    paste(&mut screen, "spare; in store\nspare; on loan");
    let text = screen.text();
    assert!(text.contains("\"spare; in store\" | 15 kW |"), "{text}");
    // Neither has a column of values behind the first one, and one row alone may be one text.
    for (rows, tag) in [
        ("spare; 15 kW\nspare; on loan", "\"spare; 15 kW\" | 15 kW |"),
        ("15 kW; spare\n22 kW; on loan", "\"15 kW; spare\" | 15 kW |"),
        ("spare; 18 kW", "\"spare; 18 kW\" | 15 kW |"),
    ] {
        screen.go("motors", "tag", Field::Value(0));
        paste(&mut screen, rows);
        let text = screen.text();
        assert!(text.contains(tag), "{rows}: {text}");
    }
}

/// Invented values.
const DRIVE: &str = "polepair 1

sheet drive
  given n = 1472 r/min : shaft speed
  given T = 64 N·m : torque
  work P = T * n in kW
";

/// A number that is pasted over another one with its unit beside it is in that unit, wherever the paste begins; one whose unit nobody knows
/// is a fault at its place, and not a number of the unit that stood there.
#[test]
fn a_number_pasted_over_another_is_in_the_unit_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    for (field, table, lines) in [
        (Field::Value(0), "25\tlb-ft", vec!["given T = 25 lbf·ft : torque\n"]),
        (Field::Symbol, "T\t25\tlb-ft", vec!["given T = 25 lbf·ft : torque\n"]),
        (
            Field::Label,
            "Load\tT\t25\tN*m",
            vec!["given T = 25 N·m : torque \"Load\"\n"],
        ),
        (Field::Value(0), "25\tlbft", vec!["given T = 25 lbft : torque\n"]),
        (
            Field::Value(0),
            "25 lbf·ft\tN·m",
            vec!["given T = 25 lbf·ft in N·m : torque\n"],
        ),
        // A stroke says nothing of the unit that stands there.
        (Field::Value(0), "25\t-", vec!["given T = 25 N·m : torque\n"]),
    ] {
        let mut screen = Screen::pasted(folder.path(), DRIVE, ("drive", "T", field), table);
        let text = screen.text();
        for line in lines {
            assert!(text.contains(line), "{table}: {line}: {text}");
        }
    }
    let mut screen = Screen::pasted(
        folder.path(),
        DRIVE,
        ("drive", "n", Field::Value(0)),
        "24.5\tr/s\n25\tlb-ft",
    );
    let text = screen.text();
    assert!(
        text.contains("given n = 24.5 r/s : shaft speed\n") && text.contains("given T = 25 lbf·ft : torque\n"),
        "{text}"
    );
    let cases = "polepair 1\n\nsheet belt\n  cases dry | wet\n  given L = 80 m | 90 m\n";
    let mut screen = Screen::pasted(folder.path(), cases, ("belt", "L", Field::Value(0)), "200\t210\tft");
    let text = screen.text();
    assert!(text.contains("given L = 200 ft | 210 ft\n"), "{text}");
}

/// Units as people write them elsewhere are those that are meant, and one that nobody knows takes no other away: it stays beside its
/// number, where it is a fault with what can be written instead.
#[test]
fn units_of_new_lines_are_not_lost() {
    let folder = tempfile::tempdir().unwrap();
    for (table, lines) in [
        (
            "Power\t5.5\tKW\nSpeed\t1470\tRPM\nCurrent\t11\tAmps\nVoltage\t400\tVolts",
            vec!["= 5.5 kW", "= 1470 r/min", "= 11 A", "= 400 V"],
        ),
        (
            "TQ\t25\tlb-ft\nP\t3\tkw",
            vec!["given TQ = 25 lbf·ft\n", "given P = 3 kW\n"],
        ),
        (
            "P1\t5.5\tkW\nTQ\t25\tlbft\nn\t1470\trpms",
            vec!["given P1 = 5.5 kW\n", "given TQ = 25 lbft\n", "given n = 1470 rpms\n"],
        ),
        ("TQ\t25\tlbft", vec!["given TQ = 25 lbft\n"]),
        (
            "Quantity\tValue\tUnit\nPower\t5.5\tKW\nTorque\t25\tlbft\nCurrent\t11\tAmps",
            vec![
                "given Power = 5.5 kW\n",
                "given Torque = 25 lbft\n",
                "given Current = 11 A\n",
            ],
        ),
        // What stands there and is meant for no unit is said, and its number is none of any.
        (
            "P1\t5.5\tkW\nTQ\t25\tsee the plate\nQ\t3\tL/s",
            vec!["given P1 = 5.5 kW\n", "given Q = 3 L/s\n"],
        ),
    ] {
        let (mut screen, _) = Screen::with(folder.path(), EMPTY);
        screen.go("work", "x", Field::Label);
        paste(&mut screen, table);
        let text = screen.text();
        for line in lines {
            assert!(text.contains(line), "{table}: {line}: {text}");
        }
    }
}

/// What is worked is not typed over in silence: of several pasted lines it goes on being worked, and where a number alone is pasted over it
/// the same is said as where it is typed. By hand: 65 N·m times 1472 r/min are 10.02 kW.
#[test]
fn a_number_pasted_over_a_formula_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = Screen::pasted(
        folder.path(),
        DRIVE,
        ("drive", "n", Field::Value(0)),
        "1472 r/min\n65\n9.865",
    );
    let text = screen.text();
    assert!(
        text.contains("given T = 65 N·m") && text.contains("work P = T * n in kW"),
        "{text}"
    );
    assert!(screen.has_part("P stays worked here"), "{:?}", screen.labels());
    for table in ["9.5", "9.5\tkW"] {
        let mut screen = Screen::pasted(folder.path(), DRIVE, ("drive", "P", Field::Value(0)), table);
        assert!(screen.text().contains("given P = 9.5 kW"), "{}", screen.text());
        assert!(
            screen.has_part("P is given now: its formula went"),
            "{:?}",
            screen.labels()
        );
    }
    // The same where lines behind the last one become new.
    let mut screen = Screen::pasted(
        folder.path(),
        DRIVE,
        ("drive", "T", Field::Symbol),
        "T\t65\tN·m\nP\t9.865\tkW\nQ\t3\tL/s",
    );
    let text = screen.text();
    assert!(
        text.contains("work P = T * n in kW") && text.contains("given Q = 3 L/s"),
        "{text}"
    );
    assert!(screen.has_part("P stays worked here"), "{:?}", screen.labels());
    // A formula takes the place of another one.
    let mut screen = Screen::pasted(folder.path(), DRIVE, ("drive", "T", Field::Value(0)), "65\n=2*T*n");
    assert!(screen.text().contains("work P = 2*T*n in kW"), "{}", screen.text());
    let cases = "polepair 1\n\nsheet belt\n  cases dry | wet\n  given F = 80 N | 90 N\n  work W = F * 3 m in kJ\n";
    let screen = Screen::pasted(folder.path(), cases, ("belt", "W", Field::Value(0)), "0.2\t0.3");
    let told = "W is typed in 2 places now and not worked there";
    assert!(screen.has_part(told), "{:?}", screen.labels());
    let mut screen = Screen::pasted(folder.path(), cases, ("belt", "F", Field::Value(0)), "70\t75\n0.2\t0.3");
    assert!(screen.text().contains("work W = F * 3 m in kJ"), "{}", screen.text());
}
