//! Curves as arguments in a workbook: who reads whom, trace, renaming, messages.

use polepair::language::work::Outcome;
use polepair::machine::circuit::Circuit;
use polepair::recalc::Engine;
use polepair::workbook::change::Change;
use polepair::workbook::text;
use proptest::prelude::*;

use super::close;

const PRESS: &str = "polepair 1\nsheet press\n  given T_b = 260 N·m : breakdown torque\n  given T_r = 95 N·m : load torque\n  given J = 6 kg·m² : inertia\n  \
    curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(1500 r/min, n), T_b, 15 %)\n  curve T_L(n : shaft speed) in N·m = quadratic_load(n, T_r, 1450 r/min)\n  \
    work n = operating_speed(T_M, T_L, 0 r/min, 1500 r/min) in r/min : shaft speed\n  work t = run_up_time(T_M, T_L, J, 0 r/min, 0.98*n) in s : time\n";

fn engine(text: &str) -> Engine {
    let engine = Engine::new(text::read(text));
    let faults: Vec<&str> = engine
        .results()
        .faults
        .iter()
        .map(|placed| placed.fault.message.as_str())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    engine
}

fn outcome(engine: &Engine, name: &str) -> Outcome {
    let sheet = &engine.results().sheets[0];
    sheet
        .quantities
        .iter()
        .find(|quantity| &*quantity.name == name)
        .unwrap()
        .cells[0]
        .clone()
}

fn number(engine: &Engine, name: &str) -> f64 {
    outcome(engine, name)
        .as_number()
        .unwrap_or_else(|| panic!("{name}"))
        .to_f64()
}

fn set(quantity: &str, text: &str) -> Change {
    Change::SetValue {
        sheet: "press".into(),
        quantity: quantity.into(),
        case: None,
        text: text.into(),
    }
}

/// What a curve reads is read by the formula that names the curve: only that is worked again.
#[test]
fn a_changed_input_of_a_curve_reaches_who_names_it() {
    let mut engine = engine(PRESS);
    close(number(&engine, "n"), 1_456.980_308_348, 1e-12);
    let ran = engine.apply(&set("T_r", "60 N·m")).unwrap();
    let worked: Vec<&str> = ran.worked.iter().map(|worked| &*worked.line.name).collect();
    assert_eq!(worked, ["T_r", "n", "t"]);
    let fresh = super::language::engine(&PRESS.replace("95 N·m", "60 N·m"));
    assert_eq!(outcome(&engine, "n"), outcome(&fresh, "n"));
    assert_eq!(outcome(&engine, "t"), outcome(&fresh, "t"));
    let ran = engine.apply(&set("J", "3 kg·m²")).unwrap();
    let worked: Vec<&str> = ran.worked.iter().map(|worked| &*worked.line.name).collect();
    assert_eq!(worked, ["J", "t"]);
    close(number(&engine, "t"), 0.5 * number(&fresh, "t"), 1e-9);
}

/// The trace says what the curves are, and the givens behind them.
#[test]
fn the_trace_shows_the_curves() {
    let engine = engine(PRESS);
    let trace = engine.trace("press", "t", 0).unwrap();
    let note = trace.note.unwrap();
    assert!(
        note.contains("T_M(n) = torque_by_breakdown(slip(1500 r/min, n), T_b, 15 %)"),
        "{note}"
    );
    assert!(note.contains("T_L(n) = quadratic_load(n, T_r, 1450 r/min)"), "{note}");
    let rests: Vec<&str> = trace.rests_on.iter().map(|given| &*given.name).collect();
    for name in ["T_b", "T_r", "J"] {
        assert!(rests.contains(&name), "{name}: {rests:?}");
    }
}

/// A curve renamed is renamed where it is handed on, too.
#[test]
fn a_renamed_curve_is_followed() {
    let mut engine = engine(PRESS);
    let rename = Change::Rename {
        sheet: Some("press".into()),
        from: "T_M".into(),
        to: "T_motor".into(),
    };
    engine.apply(&rename).unwrap();
    let written = text::write(engine.workbook());
    assert!(written.contains("run_up_time(T_motor, T_L, J"), "{written}");
    close(number(&engine, "n"), 1_456.980_308_348, 1e-12);
}

/// A list: each row with its own inertia, worked row by row through the same curves.
#[test]
fn curves_in_a_list() {
    let rows: String = (1..=40)
        .map(|row| format!("    \"D-{row}\" | {row} kg·m² | {} N·m\n", 20 + row))
        .collect();
    let text = format!(
        "polepair 1\nlist drives\n  given tag : text\n  given J in kg·m² : inertia\n  given T in N·m : load torque\n  \
         curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)\n  \
         work t = run_up_time(T_M, T, J, 0 r/min, 1400 r/min) in s : time\n  rows tag | J | T\n{rows}"
    );
    let engine = engine(&text);
    let sheet = &engine.results().sheets[0];
    let times = &sheet
        .quantities
        .iter()
        .find(|quantity| &*quantity.name == "t")
        .unwrap()
        .cells;
    for (row, cell) in (1..=40).zip(times.iter()) {
        let alone = super::language::engine(&format!(
            "polepair 1\nsheet one\n  curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)\n  \
             work t = run_up_time(T_M, {} N·m, {row} kg·m², 0 r/min, 1400 r/min) in s : time\n",
            20 + row
        ));
        assert_eq!(*cell, outcome(&alone, "t"), "row {row}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A replacement never saves more than the old motor costs to run, whatever efficiencies and speeds are promised.
    #[test]
    fn no_saving_beyond_the_cost(power in 1..400_u32, old in 500..999_u32, new in 500..999_u32, n_1 in 1400..1499_u32, n_2 in 100..1499_u32, hours in 1..8760_u32) {
        let text = format!(
            "polepair 1\nsheet press\n  work saving = replacement_saving_cost({power} kW, {}.{} %, {n_1} r/min, {}.{} %, {n_2} r/min, {hours} h/yr, 0.2 $/kWh)\n  \
             work now = running_cost({power} kW / ({}.{} %), {hours} h/yr, 0.2 $/kWh)\n",
            old / 10, old % 10, new / 10, new % 10, old / 10, old % 10
        );
        let engine = Engine::new(text::read(&text));
        let (saving, now) = (number(&engine, "saving"), number(&engine, "now"));
        prop_assert!(saving < now, "{saving} {now}");
    }
}

/// The speed over time, drawn: the points of the plot are those of the run-up (SciPy's `solve_ivp` gives 740.788 758 r/min after 5 s).
#[test]
fn the_speed_over_time_is_drawn() {
    let text = format!("{PRESS}  plot speed_after(T_M, T_L, J, 0 r/min, 1500 r/min, t) for t from 0 s to 10 s\n");
    let plots = engine(&text).plots("press", 0, 11);
    let trail = &plots[0].trails[0];
    assert_eq!((trail.unit(), &trail.missing), ("r/min", &None));
    let after = |seconds: f64| {
        let point = trail.points.iter().find(|(t, _)| *t == seconds);
        point.map_or(f64::NAN, |(_, speed)| *speed)
    };
    close(after(5.0), 740.788_758, 1e-8);
    close(after(10.0), 1_456.954_441, 1e-8);
    assert_eq!(after(0.0), 0.0);
}

/// An unknown found through a run-up: the inertia that takes ten seconds is ten seconds over the time of one kg·m².
#[test]
fn an_unknown_behind_a_run_up() {
    let text = format!(
        "{PRESS}  work t_1 = run_up_time(T_M, T_L, 1 kg·m², 0 r/min, 0.98*n) in s : time\n  \
         seek J_10 in kg·m² such that run_up_time(T_M, T_L, J_10, 0 r/min, 0.98*n) = 10 s between 1 kg·m² and 50 kg·m² : inertia\n"
    );
    let engine = engine(&text);
    close(number(&engine, "J_10"), 10.0 / number(&engine, "t_1"), 1e-9);
}

/// A curve worked in floats and the same curve worked step by step: a step that floats do not have (`round` to nothing that shows)
/// sends it the other way.
#[test]
fn both_ways_of_working_a_curve_agree() {
    let bodies = [
        "torque_by_breakdown(slip(n_s, n), T_b, 15 %)",
        "circuit_torque(slip(n_s, n), 230 V, n_s, 0.32 Ω, 0.5 Ω, 0.17 Ω, 0.5 Ω, 18 Ω)",
        "190 N·m when n < 200 r/min, 160 N·m + 0.5 N·m * (n / (1 r/min) - 200) when n < 400 r/min and n > 100 r/min, otherwise T_b * (1 - (n / n_s)^4)",
        "sqrt(T_b * (1 N·m)) * (1 - n / n_s) * exp(n / n_s) + smallest(T_b, 90 N·m) + through(n)",
        "piece(n) - 2 * abs(T_b) * (n / n_s)^0.5 * 0.01 + largest(T_b, 3 N·m) * sin(n / n_s) when not n > 1490 r/min or n < 0 r/min, otherwise 0 N·m",
        "torque_by_points(n, n_s, 190 N·m, 300 r/min, 160 N·m, 1250 r/min, T_b, 1465 r/min, 97.8 N·m)",
        "drive(n, n + 1 r/min)",
    ];
    for body in bodies {
        let text = |body: &str| {
            format!(
                "polepair 1\nsheet press\n  given T_b = 260 N·m : breakdown torque\n  given n_s = 1500 r/min : synchronous speed\n  \
                 define piece(x : shaft speed) = T_b * (x / n_s) + T_b\n  \
                 define drive(a : shaft speed, b : shaft speed) = T_b * (1 - a / (b + n_s)) * (a + b) / (b + 3 * a)\n  \
                 curve through(n : shaft speed) in N·m through (0 r/min, 30 N·m), (700 r/min, 44 N·m), (1500 r/min, T_b / 3)\n  \
                 curve T_M(n : shaft speed) in N·m = {body}\n  \
                 work t = run_up_time(T_M, 5 N·m, 3 kg·m², 20 r/min, 900 r/min) in s : time\n  \
                 work W = run_up_heat(T_M, 5 N·m, 3 kg·m², n_s, 20 r/min, 900 r/min) in kJ : heat\n"
            )
        };
        // Rounding to 1e-12 N·m is no step of floats, and shows nowhere.
        let (plain, other) = (engine(&text(body)), engine(&text(&format!("round({body}, 1e-12 N·m)"))));
        for name in ["t", "W"] {
            close(number(&plain, name), number(&other, name), 1e-9);
        }
    }
}

/// Where the curve has no value, the fault is that of the curve, whichever way it is worked.
#[test]
fn a_curve_without_value_says_so() {
    for (body, code) in [
        ("1 N·m / (n / (1 r/min) - 30)", "division-by-zero"),
        ("2 N·m * sqrt(100 - n / (1 r/min))", "no-real-result"),
        (
            "torque_by_points(n - 100 r/min, 1500 r/min, 190 N·m, 300 r/min, 160 N·m, 1250 r/min, 260 N·m, 1465 r/min, 97.8 N·m)",
            "no-such-machine",
        ),
    ] {
        let text = format!(
            "polepair 1\nsheet press\n  curve T_M(n : shaft speed) in N·m = {body}\n  \
             work n = operating_speed(T_M, 500 N·m, 30 r/min, 1500 r/min) in r/min : shaft speed\n"
        );
        let engine = Engine::new(text::read(&text));
        let Outcome::Fault(fault) = outcome(&engine, "n") else {
            panic!("{body}");
        };
        assert_eq!(fault.code.word(), code, "{body}: {}", fault.message);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The tests of a motor in numbers: a circuit measured with direct current, without load, and locked at a quarter of the
    /// frequency, gives the circuit back. The locked motor's magnetising current, of which the usual steps know nothing for the
    /// reactance, keeps that one up to 8.2 % off (20 000 circuits of this sort, worked with complex numbers apart from the program).
    #[test]
    fn parameters_by_tests_lead_back_to_the_circuit(
        r1 in 0.1..0.3_f64, r2 in 0.1..0.3_f64, x in 0.3..1.0_f64, ratio in 25.0..60.0_f64,
    ) {
        let (r1, r2) = (r1 * x, r2 * x);
        let circuit = Circuit { r1, x1: 0.5 * x, r2, x2: 0.5 * x, xm: 0.5 * x * ratio, rc: None };
        let phase = 400.0 / 3.0_f64.sqrt();
        let idle = circuit.at(phase, 0.0);
        let friction = 150.0;
        // A quarter of the frequency: a quarter of each reactance, and of the voltage.
        let slow = Circuit { x1: circuit.x1 / 4.0, x2: circuit.x2 / 4.0, xm: circuit.xm / 4.0, ..circuit };
        let locked = slow.at(phase / 20.0, 1.0);
        let text = format!(
            "polepair 1\nsheet tests\n  work R_1 = stator_resistance_star({} V, 10 A) in Ω\n  \
             given I_0 = {} A : no-load current\n  given P_0 = {} W : input power\n  \
             given I = {} A : line current\n  given P = {} W : input power\n  \
             work R = locked_rotor_resistance(P, I) in Ω\n  \
             work X = locked_rotor_reactance({} V, I, P, 12.5 Hz, 50 Hz) in Ω\n  work X_1 = 0.5 * X in Ω : reactance\n  \
             work X_m = magnetizing_reactance(400 V, I_0, P_0, X_1) in Ω\n  \
             work R_2 = rotor_resistance_by_test(R, R_1, X_1, X_m) in Ω\n  \
             work P_rot = rotational_loss(P_0, I_0, R_1) in W\n",
            20.0 * r1,
            idle.current.norm(),
            idle.input + friction,
            locked.current.norm(),
            locked.input,
            400.0 / 20.0,
        );
        let engine = engine(&text);
        let parameters = [
            ("R_1", r1, 1e-9),
            ("X_1", circuit.x1, 0.083),
            ("X_m", circuit.xm, 0.004),
            ("R_2", r2, 0.002),
            ("P_rot", friction, 1e-6),
        ];
        for (name, wanted, part) in parameters {
            let found = number(&engine, name);
            prop_assert!((found / wanted - 1.0).abs() <= part, "{} {} {}", name, found, wanted);
        }
    }
}

/// Draws through physics are shared out among the threads there are; the limits are the same to the last digit, however many.
#[test]
fn limits_do_not_depend_on_the_threads() {
    let text = "polepair 1\nsheet press\n  given T_b = 260 N·m ± 10 % : breakdown torque\n  given T_r = 95 N·m ± 15 % : load torque\n  \
        curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(1500 r/min, n), T_b, 15 %)\n  \
        curve T_L(n : shaft speed) in N·m = quadratic_load(n, T_r, 1450 r/min)\n  \
        work n = operating_speed(T_M, T_L, 0 r/min, 1500 r/min) in r/min : shaft speed\n  \
LINES";
    // Each is nearest to its speed at another one of the draws.
    let lines: String = (0..12)
        .map(|place| {
            format!(
                "  work off_{place} = abs(n - {}.{place} r/min) in r/min\n",
                1452 + place
            )
        })
        .collect();
    let text = text.replace("LINES", &lines);
    let limits = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let engine = pool.install(|| engine(&text));
        let sheet = &engine.results().sheets[0];
        let bands: Vec<(u64, u64)> = sheet
            .quantities
            .iter()
            .filter_map(|quantity| quantity.band(0))
            .map(|band| (band.low.to_bits(), band.high.to_bits()))
            .collect();
        assert_eq!(bands.len(), 15);
        let drawn = sheet.quantities.last().unwrap().band(0).unwrap();
        assert_eq!(drawn.how.word(), "draws");
        // Of ten thousand draws many lie close to it.
        assert!(drawn.low < 0.1, "{drawn:?}");
        bands
    };
    let one = limits(1);
    assert_eq!(one, limits(2));
    assert_eq!(one, limits(5));
}
