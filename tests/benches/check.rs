//! Reading and checking of 10 000 different formulas. Prints times; asserts nothing about them.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use std::time::{Duration, Instant};

use polepair::language::check::{self, Curved, Defined, Named, QuantityId, Scope, SheetId, Sort, Target, Which};
use polepair::language::syntax::{self, Name};
use polepair::quantity::Unit;

/// A hundred quantities, found by a map.
struct Names(std::collections::HashMap<String, Named>);

impl Scope for Names {
    fn quantity(&self, name: &str) -> Option<Named> {
        self.0.get(name).cloned()
    }
    fn sheet(&self, _: &str) -> Option<SheetId> {
        None
    }
    fn quantity_of(&self, _: SheetId, _: &str) -> Option<Named> {
        None
    }
    fn is_list(&self, _: SheetId) -> bool {
        false
    }
    fn has_item(&self, _: SheetId, _: &Which) -> Option<bool> {
        None
    }
    fn same_case(&self, _: SheetId) -> bool {
        true
    }
    fn definition(&self, _: &str) -> Option<Defined> {
        None
    }
    fn curve(&self, _: &str) -> Option<Curved> {
        None
    }
    fn names(&self) -> Vec<Name> {
        Vec::new()
    }
    fn sheets(&self) -> Vec<Name> {
        Vec::new()
    }
    fn names_of(&self, _: SheetId) -> Vec<Name> {
        Vec::new()
    }
}

fn main() {
    let kinds = [
        ("P", "kW"),
        ("T", "N·m"),
        ("n", "r/min"),
        ("V", "V"),
        ("I", "A"),
        ("eta", "%"),
        ("J", "kg·m²"),
    ];
    let mut names = std::collections::HashMap::new();
    for (letter, unit) in kinds {
        for at in 0..20u32 {
            let unit = Unit::parse(unit).unwrap();
            let id = QuantityId(u32::try_from(names.len()).unwrap());
            let sort = Sort::Quantity {
                dimension: unit.dimension,
                kind: unit.kind,
                unit,
                phasor: None,
            };
            names.insert(format!("{letter}_{at}"), Named { id, sort });
        }
    }
    let scope = Names(names);
    let formulas: Vec<(String, Target)> = (0..10_000)
        .map(|at| {
            let (a, b, c) = (at % 20, at / 20 % 20, at / 400 % 20);
            let (text, unit) = match at % 5 {
                0 => (format!("T_{a} * n_{b} / eta_{c} + {at} W"), "kW"),
                1 => (format!("P_{a} / n_{b} * 1.0{at}"), "N·m"),
                2 => (format!("sqrt(3) * V_{a} * I_{b} * 0.8{at}"), "kW"),
                3 => (format!("J_{a} * (n_{b} - {at} r/min) / T_{a}"), "s"),
                _ => (format!("(P_{a} - {at} W) * eta_{b} * {at} h"), "kWh"),
            };
            let unit = Some(Unit::parse(unit).unwrap());
            (
                text,
                Target {
                    unit,
                    ..Target::default()
                },
            )
        })
        .collect();
    let (mut parse, mut both) = (Duration::MAX, Duration::MAX);
    for _ in 0..5 {
        let start = Instant::now();
        let trees: Vec<_> = formulas.iter().map(|(text, _)| syntax::parse(text)).collect();
        parse = parse.min(start.elapsed());
        let mut errors = 0;
        for ((tree, faults), (text, target)) in trees.iter().zip(&formulas) {
            assert!(faults.is_empty(), "{text}: {faults:?}");
            let typed = check::formula(tree, text, target, &scope);
            errors += usize::from(typed.op.is_none());
        }
        both = both.min(start.elapsed());
        assert_eq!(errors, 0);
    }
    println!("10 000 formulas: read {parse:?}, read and checked {both:?} (target 200 ms on an idle machine)");
}
