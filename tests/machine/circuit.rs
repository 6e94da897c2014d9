use polepair::machine::circuit::Circuit;
use polepair::machine::fit::{Plate, fit, fitted};
use proptest::prelude::*;

use super::{close, rad, words};

fn circuits() -> impl Strategy<Value = Circuit> {
    (
        0.01..5.0_f64,
        0.01..5.0_f64,
        0.01..5.0_f64,
        0.01..5.0_f64,
        5.0..200.0_f64,
        proptest::option::of(50.0..5000.0_f64),
    )
        .prop_map(|(r1, x1, r2, x2, xm, rc)| Circuit { r1, x1, r2, x2, xm, rc })
}

proptest! {
    /// Air-gap power : rotor copper loss : mechanical power = 1 : s : 1 − s, at every slip, motoring, generating and braking; and
    /// what goes in comes out. (McGraw-Hill, Electric Machinery, 6th ed., section 6.4.)
    #[test]
    fn energy_is_kept(circuit in circuits(), slip in -1.0..2.0_f64, voltage in 10.0..4000.0_f64) {
        let state = circuit.at(voltage, slip);
        let copper = 3.0 * state.rotor_current.norm_sqr() * circuit.r2;
        let size = state.air_gap.abs().max(1e-9);
        prop_assert!((copper - slip * state.air_gap).abs() <= 1e-9 * size, "{copper} {}", slip * state.air_gap);
        prop_assert!((state.rotor_loss - copper).abs() <= 1e-9 * size);
        prop_assert!((state.mechanical + state.rotor_loss - state.air_gap).abs() <= 1e-9 * size);
        let out = state.stator_loss + state.core_loss + state.air_gap;
        prop_assert!((state.input - out).abs() <= 1e-9 * state.input.abs().max(state.stator_loss), "{} {out}", state.input);
        let omega = rad(1500.0);
        let torque = circuit.torque(voltage, slip, omega);
        prop_assert!((torque * omega - state.air_gap).abs() <= 1e-9 * size);
    }

    /// No torque at synchronous speed, none above breakdown: no slip gives more than the torque at breakdown slip.
    #[test]
    fn breakdown_is_the_largest(circuit in circuits(), slip in 0.0..3.0_f64) {
        let (voltage, omega) = (230.0, rad(1500.0));
        prop_assert_eq!(circuit.torque(voltage, 0.0, omega), 0.0);
        let breakdown = circuit.breakdown_torque(voltage, omega);
        let there = circuit.torque(voltage, circuit.breakdown_slip(), omega);
        prop_assert!((there - breakdown).abs() <= 1e-9 * breakdown, "{there} {breakdown}");
        prop_assert!(circuit.torque(voltage, slip, omega) <= breakdown * (1.0 + 1e-12));
    }

    /// A plate that a circuit gave leads back to a circuit with that plate.
    #[test]
    fn fitted_to_its_own_plate(
        r in 0.7..1.4_f64, x in 0.7..1.4_f64, m in 0.7..1.4_f64, s in 0.02..0.04_f64,
    ) {
        let circuit = Circuit { r1: 0.32 * r, x1: 0.5 * x, r2: 0.17, x2: 0.5 * x, xm: 18.0 * m, rc: Some(420.0) };
        let (synchronous, phase) = (rad(1500.0), 400.0 / 3.0_f64.sqrt());
        let rated = circuit.at(phase, s);
        let locked = circuit.at(phase, 1.0);
        let rotational = 200.0;
        let plate = Plate {
            power: rated.mechanical - rotational,
            speed: (1.0 - s) * synchronous,
            synchronous,
            voltage: 400.0,
            efficiency: (rated.mechanical - rotational) / rated.input,
            power_factor: rated.power_factor(),
            rotational,
            breakdown: circuit.breakdown_torque(phase, synchronous),
            locked_current: locked.current.norm(),
            locked_torque: locked.air_gap / synchronous,
            stator_part: 0.5,
        };
        let found = fit(&plate).unwrap();
        prop_assert!(found.deviation < 1e-3, "{found:?}");
        let pairs = [
            (found.circuit.r1, circuit.r1),
            (found.circuit.x1, circuit.x1),
            (found.circuit.r2, circuit.r2),
            (found.circuit.x2, circuit.x2),
            (found.circuit.xm, circuit.xm),
            (found.circuit.rc.unwrap(), 420.0),
        ];
        for (found, true_one) in pairs {
            prop_assert!((found / true_one - 1.0).abs() < 0.01, "{found} {true_one}");
        }
        // Remembered or worked anew, it is the same.
        prop_assert_eq!(fit(&plate).unwrap(), found);
        prop_assert_eq!(fitted(&plate).unwrap(), found);
    }
}

/// Thévenin's equivalent with real numbers alone, as textbooks print it (FML-EQC-4 to 7): the same torque.
#[test]
fn the_textbook_formula_of_the_torque() {
    let (r1, x1, r2, x2, xm) = (0.294, 0.503, 0.144, 0.209, 13.25);
    let circuit = Circuit {
        r1,
        x1,
        r2,
        x2,
        xm,
        rc: None,
    };
    let square: f64 = r1 * r1 + (x1 + xm) * (x1 + xm);
    let voltage = 127.0 * xm / square.sqrt();
    let r = r1 * xm * xm / square;
    let x = xm * (r1 * r1 + x1 * x1 + x1 * xm) / square;
    let omega = rad(1200.0);
    for slip in [0.001, 0.02, 0.19, 1.0, 1.7, -0.05] {
        let load = r2 / slip;
        let wanted = 3.0 * voltage * voltage * load / (omega * ((r + load).powi(2) + (x + x2).powi(2)));
        close(circuit.torque(127.0, slip, omega), wanted, 1e-12);
    }
    close(circuit.breakdown_slip(), r2 / r.hypot(x + x2), 1e-12);
    let largest = 3.0 * voltage * voltage / (2.0 * omega * (r + r.hypot(x + x2)));
    close(circuit.breakdown_torque(127.0, omega), largest, 1e-12);
    // The rotor resistance moves breakdown, and does not change its torque.
    let other = Circuit {
        r2: 2.0 * r2,
        ..circuit
    };
    close(other.breakdown_torque(127.0, omega), largest, 1e-12);
    close(other.breakdown_slip(), 2.0 * circuit.breakdown_slip(), 1e-12);
}

#[test]
fn plates_that_no_motor_has() {
    let plate = Plate {
        power: 15e3,
        speed: rad(1470.0),
        synchronous: rad(1500.0),
        voltage: 400.0,
        efficiency: 0.921,
        power_factor: 0.84,
        rotational: 200.0,
        breakdown: 290.0,
        locked_current: 205.0,
        locked_torque: 220.0,
        stator_part: 0.5,
    };
    assert!(fit(&plate).is_ok());
    let fast = Plate {
        speed: rad(1500.0),
        ..plate
    };
    assert!(words(fit(&fast)).contains("not below the synchronous speed"));
    let slow = Plate {
        speed: rad(1380.0),
        ..plate
    };
    assert!(
        words(fit(&slow)).contains("the rotor alone loses 1322 W"),
        "{}",
        words(fit(&slow))
    );
    let weak = Plate {
        breakdown: 90.0,
        ..plate
    };
    assert!(words(fit(&weak)).contains("not more than the rated torque"));
    let perfect = Plate {
        efficiency: 1.0,
        ..plate
    };
    assert!(words(fit(&perfect)).contains("below 100 %"));
    let blank = Plate {
        locked_current: f64::NAN,
        ..plate
    };
    assert!(words(fit(&blank)).contains("not more than nothing"));
}
