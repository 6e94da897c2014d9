//! The equivalent circuit: what it gives at a slip, its breakdown, its parameters from tests and from a plate.
//!
//! Always: one phase of three, rotor seen from the stator, reactances at the frequency worked with. Voltage and current are those
//! of a phase: in star the line voltage over root three and the line current, in delta the line voltage and the line current
//! over root three. The core-loss resistance comes last and may be left out.

use super::entry::{formula, of, optional, physics};
use super::{Function, Given};
use crate::machine::Stopped;
use crate::machine::circuit::{Circuit, State};
use crate::machine::fit::{Fitted, Plate, fit};

const CIRCUIT_SOURCE: &str =
    "equivalent circuit with magnetising branch; McGraw-Hill, Electric Machinery (6th ed.), chapter 6";
const TESTS: &str = "no-load, locked-rotor and resistance tests as in IEEE 112; Prentice Hall, Electric Machines: Theory, Operation, Applications, Adjustment and Control, chapter 5";
const FIT: &str = "damped least squares on the equivalent circuit (Levenberg 1944, Marquardt 1963); weights: common practice, no source";

/// Parameters of a circuit after those of the function.
macro_rules! with_circuit {
    ($($first:expr),* $(,)?) => {
        &[
            $($first,)*
            of("R_1", "resistance"),
            of("X_1", "reactance"),
            of("R_2", "resistance"),
            of("X_2", "reactance"),
            of("X_m", "reactance"),
            optional("R_c", "resistance"),
        ]
    };
}

/// What a plate says, for a fit.
macro_rules! plate {
    () => {
        &[
            of("P_r", "rated power"),
            of("n_r", "rated speed"),
            of("n_s", "synchronous speed"),
            of("V_r", "rated voltage"),
            of("eta", "motor efficiency"),
            of("pf", "power factor"),
            of("P_rot", "loss"),
            of("T_b", "breakdown torque"),
            of("I_lr", "locked-rotor current"),
            of("T_lr", "locked-rotor torque"),
            optional("k_1", "ratio"),
        ]
    };
}

/// The circuit whose parameters begin at an argument.
fn circuit(given: &Given<'_>, at: usize) -> Result<Circuit, Stopped> {
    let circuit = Circuit {
        r1: given.number(at),
        x1: given.number(at + 1),
        r2: given.number(at + 2),
        x2: given.number(at + 3),
        xm: given.number(at + 4),
        rc: given.optional(at + 5),
    };
    let fine = circuit.r1 >= 0.0
        && circuit.x1 >= 0.0
        && circuit.r2 > 0.0
        && circuit.x2 >= 0.0
        && circuit.xm > 0.0
        && circuit.rc.is_none_or(|rc| rc > 0.0);
    if fine {
        Ok(circuit)
    } else {
        Err(Stopped::said(
            "a resistance or reactance of the circuit is below zero, or the rotor resistance, magnetising reactance or core-loss resistance is zero",
            "look at the order: R_1, X_1, R_2, X_2, X_m, and R_c where it is known",
        ))
    }
}

/// What happens at slip and voltage, arguments 0 and 1, in the circuit that begins at an argument.
fn state(given: &Given<'_>, at: usize) -> Result<State, Stopped> {
    Ok(circuit(given, at)?.at(given.number(1), given.number(0)))
}

/// Nothing over nothing is no efficiency.
fn over(part: f64, whole: f64) -> Result<f64, Stopped> {
    if whole > 0.0 {
        Ok(part / whole)
    } else {
        Err(Stopped::said(
            "the motor takes no power from the supply here, so it has no efficiency as a motor",
            "ask for a slip between zero and one",
        ))
    }
}

/// The synchronous speed at an argument, as a divisor.
fn synchronous(given: &Given<'_>, at: usize) -> Result<f64, Stopped> {
    let speed = given.speed(at);
    if speed > 0.0 {
        Ok(speed)
    } else {
        Err(Stopped::said(
            "the synchronous speed is not more than nothing",
            "give it as f / p",
        ))
    }
}

fn plate(given: &Given<'_>) -> Result<Plate, Stopped> {
    let stator_part = given.optional(10).unwrap_or(0.5);
    if !(0.0..=1.0).contains(&stator_part) {
        return Err(Stopped::said(
            "the stator's part of the leakage reactance lies between 0 and 1",
            "leave it out for one half, or take stator_part(\"B\")",
        ));
    }
    Ok(Plate {
        power: given.number(0),
        speed: given.speed(1),
        synchronous: given.speed(2),
        voltage: given.number(3),
        efficiency: given.number(4),
        power_factor: given.number(5),
        rotational: given.number(6),
        breakdown: given.number(7),
        locked_current: given.number(8),
        locked_torque: given.number(9),
        stator_part,
    })
}

fn fitted(given: &Given<'_>) -> Result<Fitted, Stopped> {
    fit(&plate(given)?)
}

pub(super) static CIRCUIT: &[Function] = &[
    physics(
        "circuit_current",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "phase current",
        |given| Ok(state(given, 2)?.current.norm()),
        "Stator current of a phase at a slip, from the equivalent circuit",
        (
            "circuit_current(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "18.78 A",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_rotor_current",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "phase current",
        |given| Ok(state(given, 2)?.rotor_current.norm()),
        "Rotor current of a phase, seen from the stator, at a slip",
        (
            "circuit_rotor_current(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "16.3 A",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_power_factor",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "power factor",
        |given| Ok(state(given, 2)?.power_factor()),
        "Power factor at a slip; negative where the machine generates",
        (
            "circuit_power_factor(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "0.8456",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_input",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "input power",
        |given| Ok(state(given, 2)?.input),
        "Electrical input of the three phases at a slip; negative where the machine generates",
        (
            "circuit_input(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "6.049 kW",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_reactive",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "reactive power",
        |given| Ok(state(given, 2)?.reactive),
        "Reactive power of the three phases at a slip",
        (
            "circuit_reactive(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "3.819 kvar",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_stator_loss",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "loss",
        |given| Ok(state(given, 2)?.stator_loss),
        "Copper loss of the stator at a slip, three phases",
        (
            "circuit_stator_loss(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "310.9 W",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_core_loss",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "loss",
        |given| Ok(state(given, 2)?.core_loss),
        "Core loss at a slip, three phases; zero where no core-loss resistance is given",
        (
            "circuit_core_loss(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω, 150 Ω)",
            "274.6 W",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_air_gap_power",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "air-gap power",
        |given| Ok(state(given, 2)?.air_gap),
        "Power across the air gap at a slip, three phases",
        (
            "circuit_air_gap_power(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "5.738 kW",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_rotor_loss",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "loss",
        |given| Ok(state(given, 2)?.rotor_loss),
        "Copper loss of the rotor at a slip: slip times air-gap power",
        (
            "circuit_rotor_loss(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "114.8 W",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_mechanical_power",
        with_circuit![of("s", "slip"), of("V", "phase voltage")],
        "power",
        |given| Ok(state(given, 2)?.mechanical),
        "Power turned into mechanical power at a slip, friction and windage still in it",
        (
            "circuit_mechanical_power(2 %, 127 V, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "5.623 kW",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_torque",
        with_circuit![
            of("s", "slip"),
            of("V", "phase voltage"),
            of("n_s", "synchronous speed")
        ],
        "torque",
        |given| Ok(circuit(given, 3)?.torque(given.number(1), given.number(0), synchronous(given, 2)?)),
        "Torque of the air gap at a slip: air-gap power over synchronous speed; friction and windage still in it",
        (
            "circuit_torque(2 %, 127 V, 1200 r/min, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "45.66 N·m",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_output",
        with_circuit![of("s", "slip"), of("V", "phase voltage"), of("P_rot", "loss")],
        "shaft power",
        |given| Ok(state(given, 3)?.mechanical - given.number(2)),
        "Shaft power at a slip: mechanical power less rotational loss (friction, windage, and what else is charged to the shaft)",
        (
            "circuit_output(2 %, 127 V, 403 W, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "5.22 kW",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_efficiency",
        with_circuit![of("s", "slip"), of("V", "phase voltage"), of("P_rot", "loss")],
        "motor efficiency",
        |given| {
            let state = state(given, 3)?;
            let output = state.mechanical - given.number(2);
            if output <= 0.0 {
                return Err(Stopped::said(
                    "the shaft gives no power here: the machine brakes, generates, or does not cover its rotational loss, so it has no efficiency as a motor",
                    "ask for a slip between the one without load and one",
                ));
            }
            over(output, state.input)
        },
        "Shaft power over electrical input at a slip, with a rotational loss; refused where the shaft gives nothing",
        (
            "circuit_efficiency(2 %, 127 V, 403 W, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "86.3 %",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_breakdown_slip",
        with_circuit![],
        "slip",
        |given| Ok(circuit(given, 0)?.breakdown_slip()),
        "Slip of the largest torque of a circuit, from Thévenin's equivalent of the stator",
        (
            "circuit_breakdown_slip(0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "19.18 %",
        ),
        CIRCUIT_SOURCE,
    ),
    physics(
        "circuit_breakdown_torque",
        with_circuit![of("V", "phase voltage"), of("n_s", "synchronous speed")],
        "breakdown torque",
        |given| Ok(circuit(given, 2)?.breakdown_torque(given.number(0), synchronous(given, 1)?)),
        "Largest torque of a circuit, from Thévenin's equivalent of the stator; the rotor resistance does not change it",
        (
            "circuit_breakdown_torque(127 V, 1200 r/min, 0.294 Ω, 0.503 Ω, 0.144 Ω, 0.209 Ω, 13.25 Ω)",
            "174.5 N·m",
        ),
        CIRCUIT_SOURCE,
    ),
    formula(
        "thevenin_voltage",
        &[
            of("V", "phase voltage"),
            of("R_1", "resistance"),
            of("X_1", "reactance"),
            of("X_m", "reactance"),
        ],
        "phase voltage",
        "V * X_m / sqrt(R_1^2 + (X_1 + X_m)^2)",
        "Phase voltage that the rotor sees across the stator",
        ("thevenin_voltage(127 V, 0.294 Ω, 0.503 Ω, 13.25 Ω)", "122.3 V"),
        CIRCUIT_SOURCE,
    ),
    formula(
        "thevenin_resistance",
        &[of("R_1", "resistance"), of("X_1", "reactance"), of("X_m", "reactance")],
        "resistance",
        "R_1 * X_m^2 / (R_1^2 + (X_1 + X_m)^2)",
        "Resistance that the rotor sees in the stator, exact",
        ("thevenin_resistance(0.294 Ω, 0.503 Ω, 13.25 Ω)", "0.2728 Ω"),
        CIRCUIT_SOURCE,
    ),
    formula(
        "thevenin_reactance",
        &[of("R_1", "resistance"), of("X_1", "reactance"), of("X_m", "reactance")],
        "reactance",
        "X_m * (R_1^2 + X_1^2 + X_1 * X_m) / (R_1^2 + (X_1 + X_m)^2)",
        "Reactance that the rotor sees in the stator, exact",
        ("thevenin_reactance(0.294 Ω, 0.503 Ω, 13.25 Ω)", "0.4904 Ω"),
        CIRCUIT_SOURCE,
    ),
    formula(
        "stator_resistance_star",
        &[of("V_dc", "voltage"), of("I_dc", "current")],
        "resistance",
        "V_dc / (2 * I_dc)",
        "Resistance of a phase in star from direct voltage and current between two lines; the circuit has to be dead before the bridge is connected",
        ("stator_resistance_star(12 V, 60 A)", "0.1 Ω"),
        TESTS,
    ),
    formula(
        "stator_resistance_delta",
        &[of("V_dc", "voltage"), of("I_dc", "current")],
        "resistance",
        "1.5 * V_dc / I_dc",
        "Resistance of a phase in delta from direct voltage and current between two lines; the circuit has to be dead before the bridge is connected",
        ("stator_resistance_delta(12 V, 60 A)", "0.3 Ω"),
        TESTS,
    ),
    formula(
        "locked_rotor_resistance",
        &[of("P", "input power"), of("I", "line current")],
        "resistance",
        "P / (3 * I^2)",
        "Resistance of a phase in star with locked rotor, from input and line current; the test heats the motor within seconds, rotor held fast, by qualified people",
        ("locked_rotor_resistance(2.7 kW, 60 A)", "0.25 Ω"),
        TESTS,
    ),
    formula(
        "locked_rotor_reactance",
        &[
            of("V", "line voltage"),
            of("I", "line current"),
            of("P", "input power"),
            of("f_t", "frequency"),
            of("f", "frequency"),
        ],
        "reactance",
        "sqrt((V / (sqrt(3) * I))^2 - (P / (3 * I^2))^2) * f / f_t",
        "Leakage reactance of a phase in star, stator and rotor together, from a locked-rotor test at frequency f_t, at frequency f",
        (
            "locked_rotor_reactance(36.2 V, 58 A, 2.5734 kW, 15 Hz, 60 Hz)",
            "1.018 Ω",
        ),
        TESTS,
    ),
    formula(
        "magnetizing_reactance",
        &[
            of("V_0", "line voltage"),
            of("I_0", "no-load current"),
            of("P_0", "input power"),
            of("X_1", "reactance"),
        ],
        "reactance",
        "sqrt((V_0 / (sqrt(3) * I_0))^2 - (P_0 / (3 * I_0^2))^2) - X_1",
        "Magnetising reactance of a phase in star from a no-load test",
        ("magnetizing_reactance(460 V, 32.7 A, 4.6644 kW, 0.41 Ω)", "7.581 Ω"),
        TESTS,
    ),
    formula(
        "rotational_loss",
        &[
            of("P_0", "input power"),
            of("I_0", "no-load current"),
            of("R_1", "resistance"),
        ],
        "loss",
        "P_0 - 3 * I_0^2 * R_1",
        "What a motor takes without load beyond its stator copper loss: friction, windage and core",
        ("rotational_loss(4.6644 kW, 32.7 A, 0.102 Ω)", "4337 W"),
        TESTS,
    ),
    formula(
        "rotor_resistance_by_test",
        &[
            of("R_lr", "resistance"),
            of("R_1", "resistance"),
            of("X_2", "reactance"),
            of("X_m", "reactance"),
        ],
        "resistance",
        "(R_lr - R_1) * ((X_2 + X_m) / X_m)^2",
        "Rotor resistance from the locked-rotor resistance, with the current that the magnetising branch takes allowed for",
        ("rotor_resistance_by_test(0.25 Ω, 0.1 Ω, 0.6 Ω, 8 Ω)", "0.1733 Ω"),
        TESTS,
    ),
    physics(
        "fitted_stator_resistance",
        plate!(),
        "resistance",
        |given| Ok(fitted(given)?.circuit.r1),
        "Stator resistance, in star, of the circuit that comes nearest to a plate; fit_deviation says how near",
        (
            "fitted_stator_resistance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "0.4505 Ω",
        ),
        FIT,
    ),
    physics(
        "fitted_stator_reactance",
        plate!(),
        "reactance",
        |given| Ok(fitted(given)?.circuit.x1),
        "Stator leakage reactance, in star, of the circuit that comes nearest to a plate",
        (
            "fitted_stator_reactance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "0.5435 Ω",
        ),
        FIT,
    ),
    physics(
        "fitted_rotor_resistance",
        plate!(),
        "resistance",
        |given| Ok(fitted(given)?.circuit.r2),
        "Rotor resistance, in star and seen from the stator, of the circuit that comes nearest to a plate",
        (
            "fitted_rotor_resistance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "0.1752 Ω",
        ),
        FIT,
    ),
    physics(
        "fitted_rotor_reactance",
        plate!(),
        "reactance",
        |given| Ok(fitted(given)?.circuit.x2),
        "Rotor leakage reactance, in star and seen from the stator, of the circuit that comes nearest to a plate",
        (
            "fitted_rotor_reactance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "0.5435 Ω",
        ),
        FIT,
    ),
    physics(
        "fitted_magnetizing_reactance",
        plate!(),
        "reactance",
        |given| Ok(fitted(given)?.circuit.xm),
        "Magnetising reactance, in star, of the circuit that comes nearest to a plate",
        (
            "fitted_magnetizing_reactance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "16.14 Ω",
        ),
        FIT,
    ),
    physics(
        "fitted_core_resistance",
        plate!(),
        "resistance",
        |given| fitted(given)?.circuit.rc.ok_or(Stopped::Curve),
        "Core-loss resistance, in star, of the circuit that comes nearest to a plate",
        (
            "fitted_core_resistance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "2709 Ω",
        ),
        FIT,
    ),
    physics(
        "fit_deviation",
        plate!(),
        "percentage",
        |given| Ok(fitted(given)?.deviation),
        "How far the fitted circuit is off: the largest deviation among output, input, power factor, breakdown torque, locked-rotor current and torque. Deep-bar rotors keep a large one in the locked-rotor torque",
        (
            "fit_deviation(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "50.22 %",
        ),
        FIT,
    ),
    physics(
        "fit_deviation_running",
        plate!(),
        "percentage",
        |given| Ok(fitted(given)?.running),
        "How far the fitted circuit is off between no load and breakdown: the largest deviation among output, input, power factor and breakdown torque",
        (
            "fit_deviation_running(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)",
            "3.847 %",
        ),
        FIT,
    ),
];
