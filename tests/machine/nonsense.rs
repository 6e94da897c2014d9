//! Every function of physics with arguments that make no sense: a value or a reason, never a panic, never without end.

use std::time::Instant;

use polepair::language::functions::{self, Body, Function, Given, Takes};
use polepair::language::work::Outcome;
use polepair::machine::Stopped;
use polepair::recalc::Engine;
use polepair::workbook::text;
use proptest::prelude::*;

fn numbers() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(1.0),
        Just(-1.0),
        Just(1e-300),
        Just(-1e300),
        Just(f64::MAX),
        Just(f64::NAN),
        Just(f64::INFINITY),
        -100.0..100.0_f64,
        0.0..1.0_f64,
        1e-9..1e9_f64,
    ]
}

fn physics() -> Vec<&'static Function> {
    functions::all()
        .filter(|function| matches!(function.body, Body::Physics(_)))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_numbers(given in proptest::collection::vec(numbers(), 14), a in numbers(), b in numbers(), c in numbers(), kink in numbers()) {
        for function in physics() {
            let Body::Physics(code) = function.body else { unreachable!() };
            let count = function.parameters.len();
            let curves: Vec<bool> =
                function.parameters.iter().map(|parameter| matches!(parameter.takes, Takes::Curve(..))).collect();
            let mut asked = 0_u64;
            let mut ask = |at: usize, x: f64| {
                asked += 1;
                if !curves.get(at).copied().unwrap_or(false) {
                    return Ok(given[at]);
                }
                // A parabola with a jump, the other way round for the second curve.
                let y = a + b * x + c * x * x + if x > kink { a } else { 0.0 };
                if at == 0 { Ok(y) } else if y == 7.0 { Err(Stopped::Curve) } else { Ok(-0.5 * y) }
            };
            let given = &given[..count];
            let result = code(&mut Given::new(given, &mut ask));
            prop_assert!(asked < 4_000_000, "{function:?} asked its curves {asked} times");
            if let Err(Stopped::Said { what, help, .. }) = result {
                prop_assert!(!what.is_empty() && !help.is_empty());
            }
        }
    }
}

/// Deep formulas, and definitions in definitions, as a curve: worked as deep as the checker lets them be, refused beyond.
#[test]
fn deep_curves() {
    let mut worked = 0;
    for depth in [10, 25, 40, 60, 95] {
        let mut body = "n".to_owned();
        for _ in 0..depth {
            body = format!("(1 * ({body} + 0 r/min))");
        }
        let text = format!(
            "polepair 1\nsheet deep\n  define once(x : shaft speed) = {}\n  define twice(x : shaft speed) = once(once(x))\n  \
             curve T_M(n : shaft speed) in N·m = 0.1 N·m * twice({body}) / (1 r/min)\n  \
             work n = operating_speed(300 N·m, T_M, 0 r/min, 5000 r/min) in r/min : shaft speed\n",
            body.replace("(n ", "(x "),
        );
        let start = Instant::now();
        let engine = Engine::new(text::read(&text));
        let outcome = engine.results().sheets[0].quantities[0].cells[0].clone();
        match &outcome {
            Outcome::Value(_) => {
                worked += 1;
                super::close(outcome.as_number().unwrap().to_f64(), 3000.0, 1e-9);
            }
            _ => assert!(
                engine
                    .results()
                    .faults
                    .iter()
                    .any(|placed| placed.fault.code.word() == "too-long"),
                "{depth}: {outcome:?} {:?}",
                engine.results().faults
            ),
        }
        assert!(start.elapsed().as_secs() < 20);
    }
    assert!(worked >= 2, "{worked}");
}
