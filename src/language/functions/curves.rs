//! Torque over slip and speed: closed forms, the curve through named points, another voltage or frequency, regions.
//!
//! Always: no torque at synchronous speed.

use super::entry::{TEXTBOOK, formula, of, one, physics, refuse_breakdown_slip, torque_curve};
use super::{Body, Function, Gives, Takes};
use crate::machine::Stopped;
use crate::machine::points::{NamedPoints, Point};

const CLOSED_FORM: &str = "closed form from breakdown torque and slip, as in Prentice Hall, Electric Machinery and Transformers (2nd ed.), chapter 9";
const DRIVES: &str =
    "constant flux: equal torque at equal slip speed; New Age International, A First Course on Electrical Drives";

pub(super) static CURVES: &[Function] = &[
    formula(
        "torque_by_breakdown",
        &[of("s", "slip"), of("T_b", "breakdown torque"), of("s_b", "slip")],
        "torque",
        concat!(
            refuse_breakdown_slip!("s_b"),
            "otherwise 2 * T_b * s * s_b / (s^2 + s_b^2)"
        ),
        "Torque at a slip from breakdown torque and breakdown slip, stator resistance left out; the rotor is taken as one cage of constant resistance",
        ("torque_by_breakdown(3 %, 260 N·m, 15 %)", "100 N·m"),
        CLOSED_FORM,
    ),
    formula(
        "torque_by_breakdown_stator",
        &[
            of("s", "slip"),
            of("T_b", "breakdown torque"),
            of("s_b", "slip"),
            of("a", "ratio"),
        ],
        "torque",
        concat!(
            refuse_breakdown_slip!("s_b"),
            "otherwise 2 * T_b * (1 + a * s_b) * s * s_b / (s^2 + s_b^2 + 2 * a * s * s_b^2)"
        ),
        "Torque at a slip from breakdown torque and slip, with the stator resistance as a multiple a of the rotor's",
        ("torque_by_breakdown_stator(3 %, 260 N·m, 15 %, 1)", "108.7 N·m"),
        CLOSED_FORM,
    ),
    formula(
        "breakdown_slip",
        &[of("s_r", "rated slip"), of("k", "ratio")],
        "slip",
        "refuse(\"the breakdown torque is not more than the rated torque\") when k <= 1, otherwise s_r * (k + sqrt(k^2 - 1))",
        "Breakdown slip from rated slip and breakdown torque over rated torque, on the closed form",
        ("breakdown_slip(3 %, 2.5)", "14.37 %"),
        CLOSED_FORM,
    ),
    formula(
        "breakdown_slip_by_locked_rotor",
        &[of("k", "ratio")],
        "slip",
        "refuse(\"the locked-rotor torque is above the breakdown torque\") when k > 1, otherwise (1 - sqrt(1 - k^2)) / k",
        "Breakdown slip from locked-rotor torque over breakdown torque, on the closed form",
        ("breakdown_slip_by_locked_rotor(0.7)", "40.84 %"),
        CLOSED_FORM,
    ),
    formula(
        "breakdown_slip_by_currents",
        &[of("s_r", "rated slip"), of("k", "current ratio")],
        "slip",
        "s_r * sqrt((k^2 - 1) / (1 - k^2 * s_r^2))",
        "Breakdown slip from rated slip and locked-rotor current over rated current, stator impedance left out",
        ("breakdown_slip_by_currents(4 %, 6)", "24.38 %"),
        "rotor current with the stator impedance left out; S.K. Kataria, Elements of Electric Drives, Ex. 16",
    ),
    formula(
        "breakdown_over_rated",
        &[of("s_b", "slip"), of("s_r", "rated slip")],
        "ratio",
        "(s_b^2 + s_r^2) / (2 * s_b * s_r)",
        "Breakdown torque over rated torque from the two slips, on the closed form",
        ("breakdown_over_rated(15 %, 3 %)", "2.6"),
        CLOSED_FORM,
    ),
    physics(
        "torque_by_points",
        &[
            of("n", "shaft speed"),
            of("n_s", "synchronous speed"),
            of("T_lr", "locked-rotor torque"),
            of("n_pu", "shaft speed"),
            of("T_pu", "pull-up torque"),
            of("n_b", "shaft speed"),
            of("T_b", "breakdown torque"),
            of("n_r", "rated speed"),
            of("T_r", "rated torque"),
        ],
        "torque",
        |given| {
            let point = |speed: usize, torque: usize| Point {
                speed: given.speed(speed),
                torque: given.number(torque),
            };
            let curve = NamedPoints::through(given.speed(1), given.number(2), point(3, 4), point(5, 6), point(7, 8))?;
            let (torque, piece) = curve.with_piece(given.speed(0))?;
            given.goes(piece);
            Ok(torque)
        },
        "Torque at a speed on a curve through locked rotor, pull-up, breakdown, rated and synchronous speed: monotone between them, straight from rated to synchronous speed",
        (
            "torque_by_points(1465 r/min, 1500 r/min, 190 N·m, 300 r/min, 160 N·m, 1250 r/min, 260 N·m, 1465 r/min, 97.8 N·m)",
            "97.8 N·m",
        ),
        "points from the maker's data; slopes bounded as by Fritsch and Carlson (1980)",
    ),
    formula(
        "torque_at_voltage",
        &[of("T", "torque"), of("V", "voltage"), of("V_r", "voltage")],
        "torque",
        "T * (V / V_r)^2",
        "Torque at the same slip at another voltage: it goes with the square",
        ("torque_at_voltage(200 N·m, 360 V, 400 V)", "162 N·m"),
        TEXTBOOK,
    ),
    physics(
        "torque_at_supply",
        &[
            torque_curve("T_M"),
            of("n", "shaft speed"),
            of("V", "voltage"),
            of("f", "frequency"),
            of("V_r", "voltage"),
            of("f_r", "frequency"),
            of("p", "poles"),
        ],
        "torque",
        |given| {
            // Poles in pole pairs, cycle/rev; frequencies in cycle/s.
            let (voltage, frequency) = (given.number(2), given.number(3));
            let (rated_voltage, rated, pairs) = (given.number(4), given.number(5), given.number(6));
            if !(frequency > 0.0 && rated > 0.0 && pairs > 0.0 && rated_voltage > 0.0) {
                return Err(Stopped::said(
                    "voltage, frequency and poles have to be more than nothing",
                    "look at the values that go in",
                ));
            }
            if (pairs - pairs.round()).abs() > 1e-9 {
                return Err(Stopped::said(
                    "the poles are not in pairs: 2, 4, 6 and so on",
                    "look at the plate",
                ));
            }
            let flux = voltage / frequency * rated / rated_voltage;
            let slip_speed = given.speed(1) - std::f64::consts::TAU * frequency / pairs;
            let torque = given.torque(0, std::f64::consts::TAU * rated / pairs + slip_speed)?;
            Ok(flux * flux * torque)
        },
        "Torque of a motor curve at another voltage and frequency: at equal slip speed with the square of the flux V/f, so breakdown goes with 1/f² where the voltage stays; stator resistance left out, so too high at a few hertz",
        (
            "torque_at_supply(100 N·m, 1700 r/min, 400 V, 60 Hz, 400 V, 50 Hz, 4 pole)",
            "69.44 N·m",
        ),
        DRIVES,
    ),
    Function {
        name: "region",
        parameters: &[
            of("n", "shaft speed"),
            of("n_s", "synchronous speed"),
            of("n_b", "shaft speed"),
            of("n_r", "rated speed"),
        ],
        gives: Gives::Formula,
        help: "Which region of the curve a speed lies in, from synchronous, breakdown and rated speed: braking, locked rotor, past breakdown, overload, running, generating",
        example: (
            "region(1300 r/min, 1500 r/min, 1250 r/min, 1465 r/min) = \"overload\"",
            "yes",
        ),
        source: "usual names of the regions of a torque–speed curve",
        body: Body::Formula(
            "refuse(\"the rated speed is not below the synchronous speed; a plate speed holds at its own frequency only\") when n_r >= n_s, \
             refuse(\"the breakdown speed is not below the rated speed\") when n_b >= n_r, \
             \"braking\" when n < 0 r/min, \"locked rotor\" when n = 0 r/min, \"past breakdown\" when n < n_b, \"overload\" when n < n_r, \"running\" when n <= n_s, otherwise \"generating\"",
        ),
    },
    Function {
        name: "stator_part",
        parameters: &[one("design", Takes::Text)],
        gives: Gives::Formula,
        help: "Part of the stator in the leakage reactance of a motor, by its design letter: A, D and wound rotors (\"W\") 0.5, B 0.4, C 0.3",
        example: ("stator_part(\"B\")", "0.4"),
        source: "usual split, as in IEEE 112 where the design is known; Prentice Hall, Electric Machines: Theory, Operation, Applications, Adjustment and Control, chapter 5",
        body: Body::Formula(
            "0.5 when design = \"A\" or design = \"D\" or design = \"W\", 0.4 when design = \"B\" or design = \"N\", 0.3 when design = \"C\" or design = \"H\", otherwise refuse(\"no split is known for this design; the letters are A, B, C, D, W, and N, H\")",
        ),
    },
];
