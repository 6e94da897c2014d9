//! Large lists and deep chains.

use polepair::language::work::Outcome;
use polepair::quantity::Number;
use polepair::recalc::Engine;
use polepair::workbook::text;
use rust_decimal::Decimal;

/// A list of motors made up by a rule, and what the rule gives.
fn motors(rows: usize) -> (String, Vec<(Decimal, Decimal)>) {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P in kW : shaft power\n  given n in r/min : shaft speed\n  \
         given f = 50 Hz : frequency\n  given p in pole : poles\n  work n_s = f / p in r/min\n  \
         work slip_n = n_s - n in r/min\n  work total = P * 1.15 + 2 kW in kW\n  rows tag | P | n | p\n",
    );
    let mut inputs = Vec::with_capacity(rows);
    for row in 0..rows {
        let power = Decimal::new(i64::try_from(row % 977).unwrap() + 11, 1);
        let speed = Decimal::from(1400 + row % 97);
        out.push_str(&format!("    \"M-{row}\" | {power} kW | {speed} r/min | 4 pole\n"));
        inputs.push((power, speed));
    }
    (out, inputs)
}

/// Each row against the same arithmetic written out: 50 Hz over 4 poles is 1500 r/min.
#[test]
fn hundred_thousand_rows() {
    let rows = 100_000;
    let (text, inputs) = motors(rows);
    let engine = Engine::new(text::read(&text));
    let results = engine.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults.first());
    let sheet = &results.sheets[0];
    let column = |name: &str| {
        &sheet
            .quantities
            .iter()
            .find(|quantity| &*quantity.name == name)
            .unwrap()
            .cells
    };
    let number = |cell: &Outcome| cell.as_number().unwrap().to_decimal().unwrap();
    for (row, (power, speed)) in inputs.iter().enumerate() {
        assert_eq!(number(&column("n_s")[row]), Decimal::from(1500), "row {row}");
        assert_eq!(number(&column("slip_n")[row]), Decimal::from(1500) - speed, "row {row}");
        assert_eq!(
            number(&column("total")[row]),
            power * Decimal::new(115, 2) + Decimal::from(2),
            "row {row}"
        );
    }
    assert!(matches!(column("total")[0].as_number(), Some(Number::Exact(_))));
}

/// A chain of ten thousand names: each reads the one before. By hand: 1 kW + 9 999 kW.
#[test]
fn deep_chain() {
    let count = 10_000;
    let mut out = String::from("polepair 1\nsheet chain\n");
    // Written backwards, so that nothing stands in the order it is worked in.
    for index in (1..count).rev() {
        out.push_str(&format!("  work x_{index} = x_{} + 1 kW\n", index - 1));
    }
    out.push_str("  given x_0 = 1 kW\n");
    let engine = Engine::new(text::read(&out));
    let results = engine.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults.first());
    let last = results.sheets[0]
        .quantities
        .iter()
        .find(|quantity| *quantity.name == *format!("x_{}", count - 1))
        .unwrap();
    assert_eq!(
        last.cells[0].as_number().unwrap().to_decimal().unwrap(),
        Decimal::from(10_000)
    );
}

/// A loop of ten thousand names is named, and is no danger to the stack.
#[test]
fn deep_loop() {
    let count = 10_000;
    let mut out = String::from("polepair 1\nsheet chain\n");
    for index in 0..count {
        out.push_str(&format!("  work x_{index} = x_{} + 1 kW in kW\n", (index + 1) % count));
    }
    let engine = Engine::new(text::read(&out));
    let results = engine.results();
    assert_eq!(results.faults.len(), 1);
    assert_eq!(results.faults[0].fault.code.word(), "loop");
    assert!(
        results.sheets[0]
            .quantities
            .iter()
            .all(|quantity| matches!(quantity.cells[0], Outcome::Fault(_)))
    );
}

/// Row to row over ten thousand rows: 1 + 2 + … + 10 000 is 50 005 000.
#[test]
fn row_to_row() {
    let rows = 10_000;
    let mut out = String::from(
        "polepair 1\nlist steps\n  given x in kW\n  work total = (previous(total) else 0 kW) + x in kW\n  \
         work same = running(x) in kW\n  rows x\n",
    );
    for row in 1..=rows {
        out.push_str(&format!("    {row} kW\n"));
    }
    let engine = Engine::new(text::read(&out));
    let results = engine.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults.first());
    for quantity in &results.sheets[0].quantities[1..] {
        assert_eq!(
            quantity.cells[rows - 1].as_number().unwrap().to_decimal().unwrap(),
            Decimal::from(50_005_000),
            "{}",
            quantity.name
        );
    }
}

/// Groups by texts, by numbers in more than one unit and by what cannot be worked, with conditions before and behind the equation: as a list
/// of many rows and each row alone, where all rows of the other list are gone over.
#[test]
fn sums_of_groups_are_the_same_for_many_groups_and_for_each_alone() {
    let keys = ["\"N\"", "\"S\"", "\"n\"", "", "\"Hall 2\""];
    let powers = ["1 kW", "1000 W", "2 kW", "", "1 kW / 0", "2.5 kW"];
    let speeds = ["1465 r/min", "", "1480 r/min"];
    let mut rows = String::new();
    for row in 0..180 {
        // Each key with each power and each speed; the columns go round at lengths without a common part but 3.
        let (key, power, speed) = (keys[row % 5], powers[row / 5 % 6], speeds[row / 30 % 3]);
        rows.push_str(&format!("    \"M-{row}\" | {key} | {power} | {speed}\n"));
    }
    let head = format!(
        "polepair 1\nlist motors\n  given tag : text\n  given area : text\n  given P in kW : shaft power\n  \
         given n in r/min : shaft speed\n  rows tag | area | P | n\n{rows}list asked\n  given area : text\n  given P in kW : shaft power\n  \
         work a = count(motors where known(motors.area) and motors.area = here.area)\n  \
         work b = count(motors where known(motors.P) and motors.P = here.P)\n  \
         work c = sum(n for motors where known(n) and motors.area = here.area) in r/min\n  \
         work d = count(motors where n > 1470 r/min and motors.area = here.area)\n  \
         work e = count(motors where motors.area = here.area and known(n) and motors.P = here.P)\n  \
         work f = count(motors where motors.area = \"S\" and motors.P < here.P)\n  \
         work g = count(motors where known(motors.area) and (motors.area = here.area or motors.area = \"S\"))\n  \
         work h = only(tag for motors where tag != \"M-1\" and known(n) and here.P = motors.P and motors.area = here.area)\n  \
         rows area | P\n"
    );
    let asked: Vec<String> = keys
        .iter()
        .flat_map(|key| powers.iter().map(move |power| format!("    {key} | {power}\n")))
        .collect();
    let many = Engine::new(text::read(&format!("{head}{}", asked.concat())));
    let whole = |engine: &Engine, row: usize| -> Vec<String> {
        let worked = engine.results().sheets[1]
            .quantities
            .iter()
            .filter(|quantity| quantity.name.len() == 1);
        let worked = worked.filter(|quantity| &*quantity.name != "P");
        worked
            .map(|quantity| format!("{:?} {:?}", without_row(&quantity.cells[row]), quantity.note(row)))
            .collect()
    };
    // By hand: 36 rows of each key; `n` and `N` are two.
    let number = |name: &str, row: usize| {
        let quantities = &many.results().sheets[1].quantities;
        let found = quantities.iter().find(|quantity| &*quantity.name == name).unwrap();
        found.cells[row].as_number().map(|number| number.to_f64())
    };
    assert_eq!(number("a", 0), Some(36.0));
    for (row, text_of_row) in asked.iter().enumerate() {
        let alone = Engine::new(text::read(&format!("{head}{text_of_row}")));
        assert_eq!(whole(&many, row), whole(&alone, 0), "{text_of_row}");
    }
}

/// The number of the row is in the words.
fn without_row(outcome: &Outcome) -> String {
    match outcome {
        Outcome::Fault(fault) => format!("{} {}", fault.code.word(), fault.message),
        Outcome::Blank(why) => why.split(" in row").next().unwrap().to_owned(),
        other => format!("{other:?}"),
    }
}
