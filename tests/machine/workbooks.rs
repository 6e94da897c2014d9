//! The shipped workbooks, their values worked apart from the program with SciPy 1.17.1: `quad` and `solve_ivp` for the run-up,
//! `brentq` for the operating point, the network of the circuit as a linear system, `minimize_scalar` for the largest values.

use std::path::Path;

use polepair::language::check::Sort;
use polepair::language::work::{Outcome, Value};
use polepair::quantity::{Unit, convert};
use polepair::recalc::Engine;
use polepair::workbook::text;

use super::close;

fn shipped(name: &str) -> Engine {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks").join(name);
    let written = std::fs::read_to_string(path).unwrap();
    let engine = Engine::new(text::read(&written));
    let faults: Vec<&str> = engine
        .results()
        .faults
        .iter()
        .map(|placed| placed.fault.message.as_str())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    assert_eq!(
        text::write(engine.workbook()),
        written,
        "{name} stands in its canonical form"
    );
    for check in engine.results().sheets.iter().flat_map(|sheet| &sheet.checks) {
        assert!(
            check.cells.iter().all(|cell| cell.holds == Some(true)),
            "{}",
            check.text
        );
    }
    engine
}

fn cell(engine: &Engine, sheet: &str, name: &str, case: usize) -> (Outcome, Sort) {
    let sheet = engine
        .results()
        .sheets
        .iter()
        .find(|found| &*found.name == sheet)
        .unwrap();
    let quantity = sheet
        .quantities
        .iter()
        .find(|quantity| &*quantity.name == name)
        .unwrap();
    (quantity.cells[case].clone(), quantity.sort.clone())
}

fn number(engine: &Engine, sheet: &str, name: &str, case: usize, unit: &str) -> f64 {
    let (Outcome::Value(Value::Number(number)), Sort::Quantity { unit: own, .. }) = cell(engine, sheet, name, case)
    else {
        panic!("{name}");
    };
    convert(number.to_decimal().unwrap(), &own, &Unit::parse(unit).unwrap())
        .unwrap()
        .to_f64()
}

#[test]
fn the_flywheel_press() {
    let engine = shipped("flywheel-press.pole");
    let wanted = [
        ("J", "kg·m²", 3.971_196, 3.971_196),
        ("T_L", "N·m", 12.505_263_157_9, 12.505_263_157_9),
        ("n", "r/min", 1_495.523_528_09, 1_493.804_191_13),
        ("t_up", "s", 3.406_175_630_31, 4.838_171_382_12),
        ("W_R", "J", 52_624.867_234_8, 54_179.819_410_9),
        ("n_2", "r/min", 755.781_101_777, 508.141_533_755),
        ("E", "J", 13_514.439_857_6, 13_483.383_817_5),
    ];
    for (name, unit, full, weak) in wanted {
        close(number(&engine, "press", name, 0, unit), full, 1e-9);
        close(number(&engine, "press", name, 1, unit), weak, 1e-9);
    }
}

#[test]
fn the_torque_speed_lesson() {
    let engine = shipped("torque-speed-lesson.pole");
    for (name, unit, wanted) in [
        ("I_1", "A", 28.685_545_851_9),
        ("pf", "1", 0.865_031_345_329),
        ("P_in", "W", 17_191.571_663_8),
        ("P_sh", "W", 15_873.593_033_7),
        ("eta", "1", 0.923_335_768_489),
        ("T", "N·m", 104.415_991_207),
    ] {
        close(number(&engine, "circuit", name, 0, unit), wanted, 1e-10);
    }
    for (name, unit, wanted, part) in [
        ("T_b", "N·m", 359.755_986_62, 1e-10),
        ("n_b", "r/min", 1_254.082_9, 1e-6),
        ("T_lr", "N·m", 135.761_579_673, 1e-10),
        ("n_P", "r/min", 1_299.003_96, 1e-5),
        ("n_1", "r/min", 1_474.494_238_67, 1e-9),
        ("n_low", "r/min", 1_458.005_770_4, 1e-9),
        // The curve at 50 Hz at the same speed under its field, 1464 r/min, by the square of 50 over 60.
        ("T_2", "N·m", 85.378_321_284_4, 1e-10),
    ] {
        close(number(&engine, "curve_of_it", name, 0, unit), wanted, part);
    }
    for (name, wanted) in [("where_1", "running"), ("where_low", "overload")] {
        let (outcome, _) = cell(&engine, "curve_of_it", name, 0);
        assert_eq!(outcome, Outcome::Value(Value::Text(wanted.into())));
    }
}

/// What somebody changes first, voltage, frequency and poles, goes through all of it: no number of the first motor is left in a formula.
/// The network of the circuit as a linear system, with reactances of 60 Hz.
#[test]
fn the_lesson_follows_its_supply_and_its_poles() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/torque-speed-lesson.pole");
    let mut written = std::fs::read_to_string(path).unwrap();
    for (from, to) in [
        ("given V = 400 V", "given V = 460 V"),
        ("given f = 50 Hz", "given f = 60 Hz"),
        ("given p = 4 pole", "given p = 6 pole"),
    ] {
        assert_eq!(written.matches(from).count(), 1, "{from}");
        written = written.replace(from, to);
    }
    let engine = Engine::new(text::read(&written));
    assert!(engine.results().faults.is_empty(), "{:?}", engine.results().faults);
    close(number(&engine, "circuit", "T", 0, "N·m"), TORQUE_AT_SIXTY, 1e-10);
    // On its own frequency the other supply is the same one.
    close(number(&engine, "curve_of_it", "T_2", 0, "N·m"), TORQUE_AT_SIXTY, 1e-10);
    for name in ["where_1", "where_low"] {
        let (outcome, _) = cell(&engine, "curve_of_it", name, 0);
        assert!(matches!(outcome, Outcome::Value(Value::Text(_))), "{name}: {outcome:?}");
    }
}

const TORQUE_AT_SIXTY: f64 = 171.690_589_118_5;
