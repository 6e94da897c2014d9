//! The rules of units, tags, kinds and roles, as data: formulas of the trade with givens, and what each must give or be refused for.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod formulas;
mod sheet;

use sheet::Sheet;

/// A definition is worked in place: each argument settles by the kind of its parameter.
#[test]
fn definitions_are_worked_in_place() {
    let mut sheet = Sheet::default();
    sheet.define("pull", &[("P", Some("power")), ("v", Some("speed"))], "P / v");
    sheet.add("P = 12 kW");
    let line = sheet.add("F = pull(P, 4 m/s) in N");
    assert_eq!(line.number(), Some(3000.0));
    assert!(sheet.faults().is_empty());
}

#[test]
#[ignore]
fn try_lines() {
    let text = std::fs::read_to_string(std::env::var("TRY").unwrap()).unwrap();
    let mut sheet = sheet::Sheet::default();
    for line in text.lines() {
        if line.trim().is_empty() {
            sheet = sheet::Sheet::default();
            println!();
            continue;
        }
        let last = sheet.add(line);
        println!(
            "{line:60} -> {} {}",
            last.value.as_ref().map(show).unwrap_or_default(),
            sheet::sort_words(&last.typed.sort)
        );
        for fault in &last.typed.faults {
            println!(
                "      {} {}: {} | {}",
                fault.severity.word(),
                fault.code,
                fault.message,
                fault.help.clone().unwrap_or_default()
            );
        }
    }
}

fn show(outcome: &polepair::language::work::Outcome) -> String {
    match outcome.as_number() {
        Some(number) => polepair::quantity::show::number(&number, None),
        None => format!("{outcome:?}"),
    }
}
