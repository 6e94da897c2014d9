//! The circuit and the run-up against numpy and SciPy: the complex network as a linear system, an ODE solver.

use std::io::Write;
use std::process::{Command, Stdio};

use num_complex::Complex64;
use polepair::machine::circuit::Circuit;
use polepair::machine::meet::operating;
use polepair::machine::run_up::Drive;
use serde_json::{Value, json};

use super::root;

/// Numbers between 0 and 1 from a fixed start (Lehmer, 48 271).
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> f64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

fn circuit(draws: &mut Draws) -> Circuit {
    Circuit {
        r1: draws.between(0.1, 1.0),
        x1: draws.between(0.2, 1.5),
        r2: draws.between(0.1, 1.0),
        x2: draws.between(0.2, 1.5),
        xm: draws.between(10.0, 40.0),
        rc: (draws.next() > 0.5).then(|| draws.between(100.0, 900.0)),
    }
}

fn parts(circuit: &Circuit) -> Value {
    json!({"r1": circuit.r1, "x1": circuit.x1, "r2": circuit.r2, "x2": circuit.x2, "xm": circuit.xm, "rc": circuit.rc})
}

fn answers(cases: &Value) -> Value {
    let python = std::env::var_os("POLEPAIR_PYTHON").expect("POLEPAIR_PYTHON names a python3 that has numpy and scipy");
    let mut child = Command::new(python)
        .arg(root().join("tests/system/machine.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 runs");
    child
        .stdin
        .take()
        .unwrap()
        .write_all(cases.to_string().as_bytes())
        .unwrap();
    let ran = child.wait_with_output().unwrap();
    assert!(ran.status.success());
    serde_json::from_slice(&ran.stdout).unwrap()
}

#[track_caller]
fn close(found: f64, wanted: &Value, size: f64, part: f64) {
    let wanted = wanted.as_f64().unwrap();
    assert!(
        (found - wanted).abs() <= part * size.abs().max(wanted.abs()),
        "{found} for {wanted}"
    );
}

#[track_caller]
fn close_complex(found: Complex64, wanted: &Value) {
    close(found.re, &wanted[0], found.norm(), 1e-10);
    close(found.im, &wanted[1], found.norm(), 1e-10);
}

#[test]
fn circuits_and_run_ups_agree_with_scipy() {
    let mut draws = Draws(1917);
    let synchronous = 1500.0 * std::f64::consts::TAU / 60.0;
    let voltage = 400.0 / 3.0_f64.sqrt();
    let circuits: Vec<(Circuit, f64)> = (0..200)
        .map(|_| {
            let slip = draws.between(-0.8, 1.8);
            (circuit(&mut draws), if slip.abs() < 1e-3 { 0.02 } else { slip })
        })
        .collect();
    // Motor, load that stays, load by the square, inertia, way: all come up to the wanted speed.
    let runs: Vec<(Circuit, f64, f64, f64, f64)> = (0..12)
        .map(|_| {
            let circuit = circuit(&mut draws);
            let still = circuit.torque(voltage, 1.0, synchronous);
            let rated = circuit.torque(voltage, 0.5 * circuit.breakdown_slip(), synchronous);
            let constant = 0.3 * still;
            let square = 0.2 * rated / (synchronous * synchronous);
            let to = (1.0 - 0.8 * circuit.breakdown_slip().min(0.8)) * synchronous;
            (circuit, constant, square, draws.between(0.1, 20.0), to)
        })
        .collect();
    let cases = json!({
        "circuits": circuits.iter().map(|(circuit, slip)| {
            let mut case = parts(circuit);
            case["slip"] = json!(slip);
            case["voltage"] = json!(voltage);
            case["synchronous"] = json!(synchronous);
            case
        }).collect::<Vec<_>>(),
        "runs": runs.iter().map(|(circuit, constant, square, inertia, to)| json!({
            "circuit": parts(circuit), "voltage": voltage, "synchronous": synchronous,
            "constant": constant, "square": square, "inertia": inertia, "to": to,
        })).collect::<Vec<_>>(),
    });
    let answers = answers(&cases);
    for ((circuit, slip), wanted) in circuits.iter().zip(answers["circuits"].as_array().unwrap()) {
        let state = circuit.at(voltage, *slip);
        close_complex(state.current, &wanted["current"]);
        close_complex(state.rotor_current, &wanted["rotor_current"]);
        let apparent = 3.0 * voltage * state.current.norm();
        close(state.input, &wanted["input"], apparent, 1e-10);
        close(state.reactive, &wanted["reactive"], apparent, 1e-10);
        close(state.core_loss, &wanted["core_loss"], 0.0, 1e-10);
        close(state.air_gap, &wanted["air_gap"], 0.0, 1e-10);
        close(
            circuit.torque(voltage, *slip, synchronous),
            &wanted["torque"],
            0.0,
            1e-10,
        );
    }
    for ((circuit, constant, square, inertia, to), wanted) in runs.iter().zip(answers["runs"].as_array().unwrap()) {
        let mut motor = |omega: f64| Ok(circuit.torque(voltage, 1.0 - omega / synchronous, synchronous));
        let mut load = |omega: f64| Ok(constant + square * omega * omega);
        let mut drive = Drive {
            motor: &mut motor,
            load: &mut load,
            inertia: *inertia,
        };
        let time = drive.time(0.0, *to).unwrap();
        close(time, &wanted["time"], 0.0, 1e-8);
        close(
            drive.rotor_heat(synchronous, 0.0, *to).unwrap(),
            &wanted["heat"],
            0.0,
            1e-8,
        );
        close(
            drive.speed_after(0.0, synchronous, 0.5 * time).unwrap(),
            &wanted["half"],
            0.0,
            1e-8,
        );
        let runs = operating(&mut motor, &mut load, 0.0, synchronous).unwrap();
        close(runs.speed, &wanted["runs"], 0.0, 1e-9);
    }
}
