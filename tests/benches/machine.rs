//! Motor physics: a curve by the circuit, the operating point, a run-up; bare, and through formulas of a workbook.
//!
//! Wanted: 1 000 points of a circuit in 0.2 ms, an operating point in 20 µs, a run-up in 1 ms.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

use std::f64::consts::TAU;
use std::hint::black_box;
use std::time::Instant;

use polepair::machine::circuit::Circuit;
use polepair::machine::fit::{Plate, fit, fitted};
use polepair::machine::meet::operating;
use polepair::machine::run_up::Drive;
use polepair::recalc::Engine;
use polepair::workbook::text;

const PRESS: &str = "polepair 1\nsheet press\n  \
    curve T_M(n : shaft speed) in N·m = circuit_torque(slip(1500 r/min, n), 230.94 V, 1500 r/min, 0.32 Ω, 0.5 Ω, 0.17 Ω, 0.5 Ω, 18 Ω)\n  \
    curve T_L(n : shaft speed) in N·m = quadratic_load(n, 95 N·m, 1450 r/min)\n  LINE\n";

/// A list whose every row asks for fitted parameters; no two rows have one plate, nor has any row of another `turn`.
fn fitted_list(functions: usize, turn: usize) -> String {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P in kW : rated power\n  given T_b in N·m : breakdown torque\n",
    );
    for name in [
        "stator_resistance",
        "stator_reactance",
        "rotor_resistance",
        "rotor_reactance",
        "magnetizing_reactance",
        "core_resistance",
    ]
    .into_iter()
    .take(functions)
    {
        out.push_str(&format!(
            "  work {name} = fitted_{name}(P, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, T_b, 205 A, 220 N·m) in Ω\n"
        ));
    }
    out.push_str("  rows tag | P | T_b\n");
    for row in 0..5000 {
        out.push_str(&format!(
            "    \"m{row}\" | {}.{:02} kW | {}.{turn} N·m\n",
            14 + row % 2,
            row % 100,
            270 + row / 100
        ));
    }
    out
}

/// The middle of some measurements, in µs.
fn measured(name: &str, rounds: usize, mut work: impl FnMut()) {
    let mut times: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{name}: {:.1} µs", times[rounds / 2]);
}

fn main() {
    let circuit = Circuit {
        r1: 0.32,
        x1: 0.5,
        r2: 0.17,
        x2: 0.5,
        xm: 18.0,
        rc: Some(420.0),
    };
    let synchronous = 1500.0 * TAU / 60.0;
    measured("1 000 points of the torque by a circuit", 2000, || {
        let mut sum = 0.0;
        for point in 0..1000 {
            sum += circuit.torque(black_box(230.94), f64::from(point) / 1000.0, synchronous);
        }
        black_box(sum);
    });
    measured("1 000 points of all that a circuit gives", 2000, || {
        let mut sum = 0.0;
        for point in 0..1000 {
            sum += circuit.at(black_box(230.94), f64::from(point) / 1000.0).input;
        }
        black_box(sum);
    });
    let mut motor = |omega: f64| Ok(circuit.torque(230.94, 1.0 - omega / synchronous, synchronous));
    let mut load = |omega: f64| Ok(95.0 * (omega / 151.8) * (omega / 151.8));
    measured("operating point", 2000, || {
        black_box(operating(&mut motor, &mut load, 0.0, black_box(synchronous)).unwrap());
    });
    measured("run-up", 1000, || {
        let mut drive = Drive {
            motor: &mut motor,
            load: &mut load,
            inertia: 6.0,
        };
        black_box(drive.time(0.0, black_box(0.96 * synchronous)).unwrap());
    });
    measured("speed after a time", 1000, || {
        let mut drive = Drive {
            motor: &mut motor,
            load: &mut load,
            inertia: 6.0,
        };
        black_box(drive.speed_after(0.0, black_box(synchronous), 5.0).unwrap());
    });
    let plate = Plate {
        power: 15e3,
        speed: 1470.0 * TAU / 60.0,
        synchronous,
        voltage: 400.0,
        efficiency: 0.921,
        power_factor: 0.84,
        rotational: 200.0,
        breakdown: 290.0,
        locked_current: 205.0,
        locked_torque: 220.0,
        stator_part: 0.5,
    };
    measured("circuit fitted to a plate", 200, || {
        black_box(fitted(black_box(&plate)).unwrap());
    });
    measured("the same plate again", 2000, || {
        black_box(fit(black_box(&plate)).unwrap());
    });
    let mut time = Vec::new();
    for (functions, share) in [(1, "one of six"), (6, "six")] {
        let workbook = text::read(&fitted_list(functions, time.len()));
        let start = Instant::now();
        let engine = Engine::new(workbook);
        time.push(start.elapsed().as_secs_f64() * 1e3);
        let wrong = engine.results().faults.iter().find(|placed| placed.fault.is_error());
        assert!(wrong.is_none(), "{wrong:?}");
        println!(
            "5 000 rows, {share} fitted parameters a row: {:.0} ms",
            time[time.len() - 1]
        );
    }
    for (name, line) in [
        ("a workbook with one line", "work n = 1 r/min"),
        (
            "with an operating point",
            "work n = operating_speed(T_M, T_L, 0 r/min, 1500 r/min)",
        ),
        (
            "with a run-up",
            "work t = run_up_time(T_M, T_L, 6 kg·m², 0 r/min, 1440 r/min)",
        ),
    ] {
        let workbook = text::read(&PRESS.replace("LINE", line));
        measured(name, 200, || {
            black_box(Engine::new(workbook.clone()));
        });
    }
}
