//! How far load by current may be off: the formulas against motors of known circuits, from 1 to 250 kW.
//!
//! The 40 hp motor is that of Prentice Hall, Electric Machines: Theory, Operation, Applications, Adjustment and Control, example
//! 5.16; the others are invented, with the usual shape of their size. What is said in the help of the formulas and of the grades
//! rests on these figures.

use std::fmt::Write as _;

use polepair::machine::circuit::Circuit;
use polepair::recalc::Engine;
use polepair::workbook::text;

/// Circuit of one phase in star, line voltage, friction and windage in W, rated power in W.
const MOTORS: [([f64; 5], f64, f64, f64); 6] = [
    ([0.102, 0.407, 0.153, 0.611, 7.58], 460.0, 4_338.0, 29_840.0),
    ([6.0, 7.5, 5.5, 7.5, 150.0], 400.0, 60.0, 1_100.0),
    ([0.32, 0.5, 0.17, 0.5, 18.0], 400.0, 200.0, 15_900.0),
    ([0.25, 0.6, 0.25, 0.7, 9.0], 400.0, 500.0, 22_000.0),
    ([0.03, 0.12, 0.025, 0.12, 5.0], 400.0, 1_500.0, 75_000.0),
    ([0.006, 0.03, 0.007, 0.035, 1.6], 400.0, 4_000.0, 250_000.0),
];

struct Known {
    circuit: Circuit,
    phase: f64,
    friction: f64,
    rated: f64,
}

fn motors() -> [Known; 6] {
    MOTORS.map(|([r1, x1, r2, x2, xm], line, friction, rated)| Known {
        circuit: Circuit {
            r1,
            x1,
            r2,
            x2,
            xm,
            rc: None,
        },
        phase: line / 3_f64.sqrt(),
        friction,
        rated,
    })
}

impl Known {
    /// Line current and power factor at a part of the rated power: between no load and breakdown the shaft power rises with slip.
    fn at(&self, part: f64) -> (f64, f64) {
        let (mut low, mut high) = (1e-9, 0.9 * self.circuit.breakdown_slip());
        for _ in 0..200 {
            let slip = (low + high) / 2.0;
            if self.circuit.at(self.phase, slip).mechanical - self.friction < part * self.rated {
                low = slip;
            } else {
                high = slip;
            }
        }
        let state = self.circuit.at(self.phase, low);
        (state.current.norm(), state.power_factor())
    }
}

/// The loads that the formulas give at a part of the load, in points off it: with the no-load current, with the power factor, by
/// the ratio of currents, on the straight line.
fn off(motor: &Known, part: f64) -> [f64; 4] {
    let ((rated, pf), (current, _)) = (motor.at(1.0), motor.at(part));
    let idle = motor.circuit.at(motor.phase, 1e-9).current.norm();
    let mut sheet = String::from("polepair 1\nsheet motor\n");
    for (name, formula) in [
        ("a", format!("load_by_active_current({current} A, {rated} A, {idle} A)")),
        (
            "b",
            format!("load_by_current_power_factor({current} A, {rated} A, {pf}, 400 V, 400 V)"),
        ),
        ("c", format!("load_by_current({current} A, {rated} A, 400 V, 400 V)")),
        (
            "d",
            format!("load_by_no_load_current({current} A, {rated} A, {idle} A)"),
        ),
    ] {
        let _ = writeln!(sheet, "  work {name} = {formula} in % : load");
    }
    let engine = Engine::new(text::read(&sheet));
    let quantities = &engine.results().sheets[0].quantities;
    std::array::from_fn(|at| {
        let outcome = &quantities[at].cells[0];
        let load = outcome.as_number().unwrap_or_else(|| panic!("{outcome:?} in\n{sheet}"));
        load.to_f64() - 100.0 * part
    })
}

/// Least and most of a column of figures.
fn ends(figures: &[[f64; 4]], column: usize) -> (f64, f64) {
    let of = figures.iter().map(|figures| figures[column]);
    of.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| {
        (least.min(x), most.max(x))
    })
}

#[test]
fn load_by_current_against_known_motors() {
    let motors = motors();
    // Part of the load, and the points that each formula may be off there.
    for (part, with_no_load, with_power_factor, ratio, straight) in [
        (0.25, (-2.0, 8.0), (-3.5, 20.0), (15.0, 38.0), (-18.0, -10.0)),
        (0.5, (-4.0, 4.0), (-4.0, 10.0), (7.0, 21.0), (-22.0, -13.0)),
        (0.75, (-3.0, 2.0), (-3.0, 4.0), (3.0, 9.1), (-16.0, -8.0)),
        (1.1, (-1.0, 2.2), (-1.0, 2.3), (-3.1, -0.5), (3.0, 9.0)),
    ] {
        let figures: Vec<[f64; 4]> = motors.iter().map(|motor| off(motor, part)).collect();
        for (column, (low, high)) in [with_no_load, with_power_factor, ratio, straight]
            .into_iter()
            .enumerate()
        {
            let (least, most) = ends(&figures, column);
            assert!(low <= least && most <= high, "{part}, {column}: {least:.1} … {most:.1}");
        }
    }
    // At rated load all of them are right.
    for motor in &motors {
        assert!(off(motor, 1.0).iter().all(|off| off.abs() < 1e-6));
    }
}

/// The no-load current that a power factor tells is somewhat low, and never above the true one.
#[test]
fn the_no_load_current_of_a_power_factor() {
    for motor in motors() {
        let (current, pf) = motor.at(1.0);
        let sheet = format!(
            "polepair 1\nsheet motor\n  work I_0 = estimated_no_load_current({current} A, {pf}, 3) in A : no-load current\n"
        );
        let engine = Engine::new(text::read(&sheet));
        let estimated = engine.results().sheets[0].quantities[0].cells[0]
            .as_number()
            .unwrap()
            .to_f64();
        let share = estimated / motor.circuit.at(motor.phase, 1e-9).current.norm();
        assert!((0.75..1.05).contains(&share), "{share}");
    }
}
