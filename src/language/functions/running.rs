//! Motor and load together: operating point, run-up, duty cycle, starts, permissible inertia.
//!
//! Always: torques, speeds and inertias at the motor shaft. A curve may be the name of a curve or a torque that stays the same.

use super::entry::{TEXTBOOK, again, formula, of, one, physics, refuse_breakdown_slip, refuse_poles, torque_curve};
use super::{Function, Given, Takes};
use crate::machine::meet::{Meeting, meetings, operating, reached, unstable};
use crate::machine::run_up::Drive;
use crate::machine::{Stopped, Torque};

const DRIVES: &str = "J·dω/dt = T_M − T_L; New Age International, A First Course on Electrical Drives, chapter 5";
const STABLE: &str =
    "a point holds where the load curve rises above the motor curve with the speed; textbooks of electric drives";
const RESTING: &str = "Prentice Hall, Electric Machinery and Transformers (2nd ed.): resting time counted at one third";
const DUTY: &str = "equal heat: root of the mean square; Narosa, Fundamentals of Electrical Drives, chapter 4";

/// A search for a meeting of motor and load between two speeds.
type Search = fn(&mut dyn Torque, &mut dyn Torque, f64, f64) -> Result<Meeting, Stopped>;

/// A meeting found by one of the searches between two speeds, arguments 2 and 3.
fn between(given: &Given<'_>, search: Search) -> Result<Meeting, Stopped> {
    given.drive(|motor, load| search(motor, load, given.speed(2), given.speed(3)))
}

/// Something worked with motor, load and inertia, argument 2.
fn with_drive(given: &Given<'_>, work: impl FnOnce(Drive<'_>) -> Result<f64, Stopped>) -> Result<f64, Stopped> {
    given.drive(|motor, load| {
        work(Drive {
            motor,
            load,
            inertia: given.number(2),
        })
    })
}

/// Coherent with r/min is rev/s.
fn turns(omega: f64) -> f64 {
    omega / std::f64::consts::TAU
}

/// Root of the mean square of values and times in turn; times with nothing in them count for a part.
fn mean_square(pairs: &[f64], resting: f64) -> Result<f64, Stopped> {
    if !(0.0..=1.0).contains(&resting) {
        return Err(Stopped::said(
            "the cooling at standstill is a part of the cooling while running, between 0 and 1",
            "one third is usual for self-ventilated motors, 1 for a fan of its own",
        ));
    }
    let (mut square, mut time) = (0.0, 0.0);
    for pair in pairs.chunks_exact(2) {
        if let [value, lasts] = pair {
            if *lasts < 0.0 {
                return Err(Stopped::said(
                    "a step of the duty lasts less than nothing",
                    "look at the times",
                ));
            }
            square += value * value * lasts;
            time += lasts * if *value == 0.0 { resting } else { 1.0 };
        }
    }
    if time > 0.0 {
        Ok((square / time).sqrt())
    } else {
        Err(Stopped::said("the duty lasts no time", "look at the times"))
    }
}

/// Values and times in turn.
fn cooled_alike(given: &mut Given<'_>) -> Result<f64, Stopped> {
    mean_square(given.rest(0), 1.0)
}

/// The part of cooling at rest, then values and times in turn.
fn cooled_less_at_rest(given: &mut Given<'_>) -> Result<f64, Stopped> {
    mean_square(given.rest(1), given.number(0))
}

pub(super) static RUNNING: &[Function] = &[
    physics(
        "operating_speed",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "shaft speed",
        |given| Ok(turns(between(given, operating)?.speed)),
        "Speed at which motor and load run: the stable meeting of their curves between two speeds, the fastest where there are several",
        ("operating_speed(T_M, T_L, 0 r/min, 1500 r/min)", "1457 r/min"),
        STABLE,
    ),
    physics(
        "operating_torque",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "load torque",
        |given| Ok(between(given, operating)?.torque),
        "Torque at the stable meeting of motor and load between two speeds",
        ("operating_torque(T_M, T_L, 0 r/min, 1500 r/min)", "95.92 N·m"),
        STABLE,
    ),
    physics(
        "unstable_speed",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "shaft speed",
        |given| Ok(turns(between(given, unstable)?.speed)),
        "The unstable meeting below the operating point: pulled down below it, the motor stalls",
        ("unstable_speed(T_M, 150 N·m, 0 r/min, 1500 r/min)", "791.4 r/min"),
        STABLE,
    ),
    physics(
        "reached_speed",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "shaft speed",
        |given| Ok(turns(between(given, reached)?.speed)),
        "Speed that a drive comes to when it starts at n_1: where it first stays; well below the operating speed, it crawls",
        ("reached_speed(T_M, T_L, 0 r/min, 1500 r/min)", "1457 r/min"),
        STABLE,
    ),
    physics(
        "meeting_count",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "number",
        |given| {
            given.drive(|motor, load| {
                let count = meetings(motor, load, given.speed(2), given.speed(3))?.points.len();
                Ok(u32::try_from(count).map_or(f64::NAN, f64::from))
            })
        },
        "How many times the curves of motor and load meet between two speeds, stable or not",
        ("meeting_count(T_M, 150 N·m, 0 r/min, 1500 r/min)", "2"),
        STABLE,
    ),
    physics(
        "meeting_speed",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
            of("k", "number"),
        ],
        "shaft speed",
        |given| {
            given.drive(|motor, load| {
                let met = meetings(motor, load, given.speed(2), given.speed(3))?.points;
                let wanted = given.number(4);
                let found = met.iter().zip(1_u32..).find(|(_, place)| f64::from(*place) == wanted);
                found.map(|(point, _)| turns(point.speed)).ok_or_else(|| {
                    Stopped::Nothing(format!(
                        "motor and load meet {} times between these speeds; there is no meeting {wanted}",
                        met.len()
                    ))
                })
            })
        },
        "Speed of the k-th meeting of motor and load, counted from the lower speed up, stable or not",
        ("meeting_speed(T_M, 150 N·m, 0 r/min, 1500 r/min, 1)", "791.4 r/min"),
        STABLE,
    ),
    physics(
        "run_up_time",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("J", "inertia"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "starting time",
        |given| with_drive(given, |mut drive| drive.time(given.speed(3), given.speed(4))),
        "Time from one speed to another, the inertia over the accelerating torque added up; the first cycles' electrical transients left out. Slowing down too, where the load asks for more",
        ("run_up_time(50 N·m, 20 N·m, 0.3 kg·m², 0 r/min, 1500 r/min)", "1.571 s"),
        DRIVES,
    ),
    physics(
        "run_up_heat",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("J", "inertia"),
            of("n_s", "synchronous speed"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "heat",
        |given| {
            with_drive(given, |mut drive| {
                drive.rotor_heat(given.speed(3), given.speed(4), given.speed(5))
            })
        },
        "Heat that the rotor takes between two speeds: slip power over time. Starts in a row add up; the maker says how many are allowed",
        (
            "run_up_heat(50 N·m, 0 N·m, 0.3 kg·m², 1500 r/min, 0 r/min, 1500 r/min)",
            "3.701 kJ",
        ),
        DRIVES,
    ),
    physics(
        "speed_after",
        &[
            torque_curve("T_M"),
            torque_curve("T_L"),
            of("J", "inertia"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
            of("t", "time"),
        ],
        "shaft speed",
        |given| {
            with_drive(given, |mut drive| {
                Ok(turns(drive.speed_after(
                    given.speed(3),
                    given.speed(4),
                    given.number(5),
                )?))
            })
        },
        "Speed some time after a start at n_1; looked for up to n_2, such as the synchronous speed",
        (
            "speed_after(50 N·m, 20 N·m, 0.3 kg·m², 0 r/min, 3000 r/min, 1 s)",
            "954.9 r/min",
        ),
        DRIVES,
    ),
    formula(
        "acceleration_time",
        &[
            of("J", "inertia"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
            of("T_a", "accelerating torque"),
        ],
        "starting time",
        "J * (n_2 - n_1) / T_a",
        "Time from one speed to another at a constant accelerating torque",
        ("acceleration_time(0.3 kg·m², 0 r/min, 1500 r/min, 30 N·m)", "1.571 s"),
        TEXTBOOK,
    ),
    formula(
        "unloaded_run_up_time",
        &[
            of("J", "inertia"),
            of("n_s", "synchronous speed"),
            of("T_b", "breakdown torque"),
            of("s_b", "slip"),
            of("s_1", "slip"),
            of("s_2", "slip"),
        ],
        "starting time",
        concat!(
            refuse_breakdown_slip!("s_b"),
            "otherwise J * n_s / (2 * T_b) * ((s_1^2 - s_2^2) / (2 * s_b) + s_b * ln(s_1 / s_2))"
        ),
        "Run-up time without load from slip s_1 to slip s_2 on the closed-form curve",
        (
            "unloaded_run_up_time(10 kg·m², 1000 r/min, 764 N·m, 40.8 %, 1, 5 %)",
            "1.675 s",
        ),
        "New Age International, A First Course on Electrical Drives, Ex. 5.3",
    ),
    formula(
        "quickest_breakdown_slip",
        &[of("s_1", "slip"), of("s_2", "slip")],
        "slip",
        "sqrt((s_1^2 - s_2^2) / (2 * ln(s_1 / s_2)))",
        "Breakdown slip with which an unloaded run-up from slip s_1 to s_2 is quickest: what a rotor resistance is chosen for",
        ("quickest_breakdown_slip(1, 5 %)", "40.8 %"),
        "New Age International, A First Course on Electrical Drives, Ex. 5.3",
    ),
    formula(
        "unloaded_rotor_heat",
        &[
            of("J", "inertia"),
            of("n_s", "synchronous speed"),
            of("s_1", "slip"),
            of("s_2", "slip"),
        ],
        "heat",
        "J * n_s^2 * (s_1^2 - s_2^2) / 2",
        "Heat that the rotor takes in a run-up without load, whatever its curve: from rest as much as the kinetic energy",
        ("unloaded_rotor_heat(0.3 kg·m², 1500 r/min, 1, 0)", "3.701 kJ"),
        "New Age International, A First Course on Electrical Drives, chapter 5",
    ),
    physics(
        "equivalent_power",
        &[again("P", "shaft power"), again("t", "time")],
        "shaft power",
        cooled_alike,
        "Constant power that heats a motor as a duty cycle does, from powers and times in turn; cooling taken as the same at rest",
        (
            "equivalent_power(100 kW, 10 min, 50 kW, 8 min, 0 kW, 9 min)",
            "66.67 kW",
        ),
        DUTY,
    ),
    physics(
        "equivalent_power_resting",
        &[of("c", "ratio"), again("P", "shaft power"), again("t", "time")],
        "shaft power",
        cooled_less_at_rest,
        "The same for a motor that cools less at rest: times without power count for the part c, one third or one quarter where self-ventilated",
        (
            "equivalent_power_resting(1/3, 100 kW, 10 min, 50 kW, 8 min, 0 kW, 9 min)",
            "75.59 kW",
        ),
        RESTING,
    ),
    physics(
        "equivalent_torque",
        &[again("T", "torque"), again("t", "time")],
        "torque",
        cooled_alike,
        "Constant torque that heats a motor as a duty cycle does, from torques and times in turn; better than power where the speed changes",
        (
            "equivalent_torque(240 N·m, 20 min, 140 N·m, 10 min, 300 N·m, 10 min, 200 N·m, 20 min)",
            "225.4 N·m",
        ),
        DUTY,
    ),
    physics(
        "equivalent_torque_resting",
        &[of("c", "ratio"), again("T", "torque"), again("t", "time")],
        "torque",
        cooled_less_at_rest,
        "The same for a motor that cools less at rest: times without torque count for the part c",
        (
            "equivalent_torque_resting(0.25, 90 N·m, 4 min, 0 N·m, 8 min)",
            "73.48 N·m",
        ),
        RESTING,
    ),
    formula(
        "ramp_power",
        &[of("P_1", "shaft power"), of("P_2", "shaft power")],
        "shaft power",
        "sqrt((P_1^2 + P_1 * P_2 + P_2^2) / 3)",
        "Constant power that heats as much as one that rises straight from P_1 to P_2: a step of a duty cycle",
        ("ramp_power(0 kW, 400 kW)", "230.9 kW"),
        DUTY,
    ),
    formula(
        "permissible_inertia_nema",
        &[of("P_r", "rated power"), of("n_s", "synchronous speed")],
        "load inertia",
        "((27 when n_s > 1800 r/min, otherwise 24) * num(P_r in hp)^0.95 / num(n_s / (1000 r/min) in 1)^2.4 - 0.0685 * num(P_r in hp)^1.5 / num(n_s / (1000 r/min) in 1)^1.8) * (1 lb·ft²)",
        "Largest load inertia at the motor shaft for designs A and B at 60 Hz: load torque by the square of speed, two starts from cold or one from rated temperature",
        ("permissible_inertia_nema(50 hp, 1800 r/min) in lb·ft²", "232.3 lb·ft²"),
        "NEMA MG 1 12.54, its formula from memory; checked against the table of that clause",
    ),
    formula(
        "permissible_inertia_iec",
        &[of("P_r", "rated power"), of("p", "poles")],
        "load inertia",
        concat!(
            refuse_poles!("p"),
            "otherwise 0.04 * num(P_r in kW)^0.9 * num(p in pp)^2.5 * (1 kg·m²)"
        ),
        "Largest external inertia at the motor shaft for design N: load torque by the square of speed, two starts from cold or one from rated temperature",
        ("permissible_inertia_iec(15 kW, 4 pole)", "2.589 kg·m²"),
        "IEC 60034-12, formula from memory",
    ),
    formula(
        "starts_allowed",
        &[
            of("A", "starts per hour"),
            one("B", Takes::Any),
            of("J", "load inertia"),
        ],
        "starts per hour",
        "smallest(A, B / J)",
        "Starts per hour of a design A or B motor from the two values of its rating and the load inertia: the lesser of A and B over the inertia. The rest between starts has a value of its own",
        ("starts_allowed(8 1/h, 200 lb·ft²/h, 40 lb·ft²)", "5 1/h"),
        "NEMA MG 10, table 2-3",
    ),
];
