//! Every function of the list has a help and an example, and the example gives what it says.

use polepair::language::check::{self, SCHEDULES, Sort, Target};
use polepair::language::functions;
use polepair::language::syntax;
use polepair::language::work::{Outcome, Value};
use polepair::quantity::{Kind, Unit, convert, show};
use polepair::recalc::Engine;
use polepair::workbook::text;

use super::sheet::Sheet;

#[test]
fn each_example_gives_what_it_says() {
    let mut wrong = Vec::new();
    let mut run = 0;
    for function in functions::all() {
        assert!(!function.help.is_empty() && !function.source.is_empty(), "{function:?}");
        let (formula, expected) = function.example;
        if formula.is_empty() {
            // Rows of a list are needed: `lists.md` has them.
            assert!(
                matches!(function.name, "previous" | "running"),
                "{function:?} has no example"
            );
            continue;
        }
        run += 1;
        let mut sheet = Sheet::default();
        for (name, (parameter, kind), body) in functions::example_curves() {
            sheet.define(name, &[(parameter, Some(kind))], body);
        }
        let (tree, faults) = syntax::parse(formula);
        assert!(faults.is_empty(), "{formula}: {faults:?}");
        let typed = check::formula(&tree, formula, &Target::default(), &sheet);
        let faults: Vec<_> = typed.faults.iter().map(|fault| fault.message.clone()).collect();
        let found = match (sheet.work(&typed), &typed.sort) {
            (Some(Outcome::Value(Value::Number(number))), Sort::Quantity { unit, .. }) => {
                // In the unit that the example speaks of, at the digits it shows.
                let (shown, wanted) = match expected.split_once(' ') {
                    Some((_, wanted)) => match Unit::parse(wanted) {
                        Ok(wanted) => (convert(number.to_decimal().unwrap(), unit, &wanted).ok(), wanted),
                        Err(_) => (Some(number), unit.clone()),
                    },
                    None => (Some(number), unit.clone()),
                };
                let number = shown.unwrap_or(number);
                let text = show::number(&number, None);
                let text = if text.contains('.') {
                    text.trim_end_matches('0').trim_end_matches('.').to_owned()
                } else {
                    text
                };
                if wanted.is_plain() {
                    text
                } else {
                    format!("{text} {wanted}")
                }
            }
            (Some(Outcome::Value(Value::Truth(truth))), _) => if truth { "yes" } else { "no" }.to_owned(),
            (Some(Outcome::Blank(why)), _) => format!("blank: {why}"),
            other => format!("{other:?}"),
        };
        if found != expected || !faults.is_empty() {
            wrong.push(format!("{formula}: says {expected}, gives {found} {faults:?}"));
        }
    }
    assert!(run > 30);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every schedule of tolerances has an example that gives the limits it promises, kinds that are known, and rows in its table.
#[test]
fn schedules_have_an_example_and_rows() {
    for schedule in SCHEDULES {
        let (line, limits) = schedule.example;
        let engine = Engine::new(text::read(&format!(
            "polepair 1\nsheet s\n  {line}\n    accept from-memory \"an example\"\n"
        )));
        let quantity = &engine.results().sheets[0].quantities[0];
        let band = quantity.band(0).unwrap_or_else(|| panic!("{line} has no band"));
        let ends: Vec<f64> = limits
            .split(" … ")
            .map(|end| end.split(' ').next().unwrap().parse().unwrap())
            .collect();
        assert!(
            (band.low - ends[0]).abs() < 1e-9 && (band.high - ends[1]).abs() < 1e-9,
            "{line}: {band:?}"
        );
        for entry in schedule.entries {
            assert!(
                !entry.words(schedule).is_empty(),
                "{}: {}",
                schedule.name,
                entry.quantity
            );
            for kind in entry.kinds.iter().chain(entry.needs.iter().map(|(_, kind)| kind)) {
                assert!(Kind::find(kind).is_some(), "{}: {kind}", schedule.name);
            }
        }
    }
}
