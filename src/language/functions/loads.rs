//! Loads: torque over speed, power of driven machines, inertia, and all of it seen from the motor.
//!
//! Always: an efficiency divides where the motor drives the load, and multiplies where the load drives the motor. A load that only
//! resists opposes the motion, so it is odd in the speed.

use super::Function;
use super::entry::{PRACTICE, TEXTBOOK, formula, of, physics, refuse_efficiency, torque_curve};
use crate::machine::Stopped;

const MACHINES: &str = "standard relation of mechanics; S. Chand, Theory of Machines; Delmar, Machine Design";
const REFLECTED: &str = "equal power and equal kinetic energy; Narosa, Fundamentals of Electrical Drives, chapter 2";

pub(super) static LOADS: &[Function] = &[
    formula(
        "linear_load",
        &[
            of("n", "shaft speed"),
            of("T_r", "load torque"),
            of("n_r", "shaft speed"),
        ],
        "load torque",
        "T_r * n / n_r",
        "Load torque that grows with the speed: calender, viscous drive",
        ("linear_load(750 r/min, 80 N·m, 1500 r/min)", "40 N·m"),
        TEXTBOOK,
    ),
    formula(
        "quadratic_load",
        &[
            of("n", "shaft speed"),
            of("T_r", "load torque"),
            of("n_r", "shaft speed"),
        ],
        "load torque",
        "T_r * (n / n_r) * abs(n / n_r)",
        "Load torque that grows with the square of the speed and opposes it either way: fan, centrifugal pump without static head",
        ("quadratic_load(750 r/min, 80 N·m, 1500 r/min)", "20 N·m"),
        TEXTBOOK,
    ),
    formula(
        "inverse_load",
        &[
            of("n", "shaft speed"),
            of("T_r", "load torque"),
            of("n_r", "shaft speed"),
            of("n_1", "shaft speed"),
        ],
        "load torque",
        "T_r * n_r / largest(n, n_1) when n >= 0 r/min, otherwise -T_r * n_r / largest(-n, n_1)",
        "Load torque of constant power, T_r at n_r: winder, lathe; below n_1 it stays as it is there, and backwards it turns its sign",
        ("inverse_load(1000 r/min, 80 N·m, 1500 r/min, 300 r/min)", "120 N·m"),
        TEXTBOOK,
    ),
    formula(
        "breakaway_load",
        &[
            of("n", "shaft speed"),
            of("T_0", "load torque"),
            of("T_1", "load torque"),
            of("n_1", "shaft speed"),
        ],
        "load torque",
        "T_1 when n >= n_1, T_0 - (T_0 - T_1) * n / n_1 when n >= 0 r/min, \
         -T_0 - (T_0 - T_1) * n / n_1 when n > -n_1, otherwise -T_1",
        "Load torque that breaks away at T_0 and falls to T_1 at the speed n_1, from there on constant; backwards it turns its sign. Other loads may be added",
        ("breakaway_load(50 r/min, 90 N·m, 30 N·m, 150 r/min)", "70 N·m"),
        PRACTICE,
    ),
    formula(
        "power_law_load",
        &[
            of("n", "shaft speed"),
            of("T_r", "load torque"),
            of("n_r", "shaft speed"),
            of("k", "number"),
        ],
        "load torque",
        "T_r when k = 0, T_r * (n / n_r)^k when n >= 0 r/min, otherwise -T_r * (-n / n_r)^k",
        "Load torque that grows with a power k of the speed: 0 hoist, 1 calender, 2 fan; backwards it turns its sign, but not that of a hoist",
        ("power_law_load(750 r/min, 80 N·m, 1500 r/min, 3)", "10 N·m"),
        TEXTBOOK,
    ),
    formula(
        "conveyor_power",
        &[of("F", "tension"), of("v", "speed"), of("eta", "drive efficiency")],
        "shaft power",
        concat!(
            refuse_efficiency!("eta"),
            "F * v * eta when F * v < 0 W, otherwise F * v / eta"
        ),
        "Shaft power of a belt conveyor from its effective tension, belt speed and drive efficiency; below zero where the belt drives the motor, and there the efficiency multiplies",
        ("conveyor_power(8 kN, 1.5 m/s, 80 %)", "15 kW"),
        MACHINES,
    ),
    formula(
        "incline_pull",
        &[of("m", "mass"), of("mu", "friction coefficient"), of("slope", "angle")],
        "force",
        "m * g_n * (mu * cos(slope) + sin(slope))",
        "Pull that draws a mass up a slope against friction",
        ("incline_pull(1000 kg, 0.03, 30 deg)", "5158 N"),
        MACHINES,
    ),
    formula(
        "hoist_power",
        &[of("m", "mass"), of("v", "speed"), of("eta", "drive efficiency")],
        "shaft power",
        concat!(
            refuse_efficiency!("eta"),
            "m * g_n * v * eta when v < 0 m/s, otherwise m * g_n * v / eta"
        ),
        "Shaft power to lift a mass at a speed; lowered, with a speed below zero, the load drives the motor and the efficiency multiplies. Nobody under the load; a brake that holds without current, and rules of their own where people are lifted",
        ("hoist_power(1000 kg, 0.5 m/s, 80 %)", "6.129 kW"),
        MACHINES,
    ),
    formula(
        "hoist_torque",
        &[
            of("m", "mass"),
            of("D", "diameter"),
            of("i", "gear ratio"),
            of("eta", "drive efficiency"),
        ],
        "load torque",
        concat!(
            refuse_efficiency!("eta"),
            "otherwise m * g_n * D / (2 * i * eta * (1 rad))"
        ),
        "Torque at the motor shaft while lifting, from mass, drum diameter, gear ratio and efficiency. The brake is chosen by the rules for hoists, not by this figure",
        ("hoist_torque(1000 kg, 400 mm, 20, 80 %)", "122.6 N·m"),
        MACHINES,
    ),
    formula(
        "hoist_torque_lowering",
        &[
            of("m", "mass"),
            of("D", "diameter"),
            of("i", "gear ratio"),
            of("eta", "drive efficiency"),
        ],
        "load torque",
        concat!(
            refuse_efficiency!("eta"),
            "otherwise m * g_n * D * eta / (2 * i * (1 rad))"
        ),
        "Torque with which a load that is lowered drives the motor; without current only the brake holds it",
        ("hoist_torque_lowering(1000 kg, 400 mm, 20, 80 %)", "78.45 N·m"),
        MACHINES,
    ),
    formula(
        "pump_power",
        &[
            of("rho", "density"),
            of("Q", "volume flow"),
            of("H", "height"),
            of("eta", "pump efficiency"),
        ],
        "shaft power",
        concat!(refuse_efficiency!("eta"), "otherwise rho * g_n * Q * H / eta"),
        "Shaft power of a pump from density, flow, head and pump efficiency",
        ("pump_power(1000 kg/m³, 36 m³/h, 20 m, 70 %)", "2.802 kW"),
        "standard relation; McGraw-Hill, Fluid Mechanics with Engineering Applications",
    ),
    formula(
        "fan_power",
        &[
            of("Q", "air flow"),
            of("p", "fan pressure"),
            of("eta", "fan efficiency"),
        ],
        "shaft power",
        concat!(refuse_efficiency!("eta"), "otherwise Q * p / eta"),
        "Shaft power of a fan from air flow, pressure rise and fan efficiency",
        ("fan_power(3.6e4 m³/h, 600 Pa, 60 %)", "10 kW"),
        "standard relation; McGraw-Hill, Fluid Mechanics with Engineering Applications",
    ),
    formula(
        "flywheel_energy",
        &[of("J", "inertia"), of("n_1", "shaft speed"), of("n_2", "shaft speed")],
        "kinetic energy",
        "J * (n_1^2 - n_2^2) / 2",
        "Energy that a flywheel gives up while it slows down from n_1 to n_2; it holds it still when the supply is off",
        ("flywheel_energy(10 kg·m², 900 r/min, 600 r/min)", "24.67 kJ"),
        MACHINES,
    ),
    formula(
        "flywheel_inertia",
        &[
            of("E", "kinetic energy"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "inertia",
        "2 * E / (n_1^2 - n_2^2)",
        "Inertia of a flywheel that gives up an energy between two speeds",
        ("flywheel_inertia(24.67 kJ, 900 r/min, 600 r/min)", "9.998 kg·m²"),
        MACHINES,
    ),
    formula(
        "cylinder_inertia",
        &[of("m", "mass"), of("D", "diameter")],
        "inertia",
        "m * D^2 / 8",
        "Inertia of a solid cylinder about its axis",
        ("cylinder_inertia(80 kg, 500 mm)", "2.5 kg·m²"),
        MACHINES,
    ),
    formula(
        "ring_inertia",
        &[of("m", "mass"), of("D", "diameter"), of("d", "diameter")],
        "inertia",
        "m * (D^2 + d^2) / 8",
        "Inertia of a hollow cylinder about its axis, from outer and inner diameter",
        ("ring_inertia(80 kg, 500 mm, 300 mm)", "3.4 kg·m²"),
        MACHINES,
    ),
    formula(
        "speed_at_motor",
        &[of("n", "shaft speed"), of("i", "gear ratio")],
        "shaft speed",
        "n * i",
        "Motor speed from the speed of the load and the ratio motor over load speed",
        ("speed_at_motor(70 r/min, 20)", "1400 r/min"),
        REFLECTED,
    ),
    formula(
        "torque_at_motor",
        &[of("T", "load torque"), of("i", "gear ratio"), of("eta", "efficiency")],
        "load torque",
        concat!(
            refuse_efficiency!("eta"),
            "refuse(\"a torque below zero: where the load drives the motor take torque_at_motor_driven, where the drive runs backwards, or in a curve, take load_at_motor, which looks at the direction\") when T < 0 N·m, \
             otherwise T / (i * eta)"
        ),
        "Load torque at the motor shaft where the motor drives the load: the efficiency divides. A torque below zero is refused; where the load drives, torque_at_motor_driven; for a curve over all speeds, load_at_motor",
        ("torque_at_motor(1000 N·m, 20, 80 %)", "62.5 N·m"),
        REFLECTED,
    ),
    physics(
        "load_at_motor",
        &[
            torque_curve("T_L"),
            of("n", "shaft speed"),
            of("i", "gear ratio"),
            of("eta", "efficiency"),
        ],
        "load torque",
        |given| {
            let (omega, ratio, efficiency) = (given.speed(1), given.number(2), given.number(3));
            if !(efficiency > 0.0 && efficiency <= 1.0) {
                return Err(Stopped::said(
                    "the efficiency is not between 0 and 100 %",
                    "write 91 %, not 91",
                ));
            }
            if ratio == 0.0 {
                return Err(Stopped::said(
                    "the gear ratio is zero",
                    "give motor speed over load speed; below zero where the gear turns the direction",
                ));
            }
            let at_load = given.torque(0, omega / ratio)? / ratio;
            // At standstill, what resists a start forwards resists.
            let driven = at_load * omega < 0.0 || (omega == 0.0 && at_load < 0.0);
            Ok(if driven {
                at_load * efficiency
            } else {
                at_load / efficiency
            })
        },
        "Load curve at the motor shaft, at motor speed n, in either direction: the efficiency divides where the motor drives the load, and multiplies where the load drives the motor",
        ("load_at_motor(T_L, 1450 r/min, 2, 95 %)", "12.5 N·m"),
        REFLECTED,
    ),
    formula(
        "torque_at_motor_driven",
        &[of("T", "load torque"), of("i", "gear ratio"), of("eta", "efficiency")],
        "load torque",
        concat!(refuse_efficiency!("eta"), "otherwise T * eta / i"),
        "Torque at the motor shaft where the load drives the motor: the efficiency multiplies",
        ("torque_at_motor_driven(1000 N·m, 20, 80 %)", "40 N·m"),
        REFLECTED,
    ),
    formula(
        "inertia_at_motor",
        &[of("J", "inertia"), of("i", "gear ratio")],
        "inertia",
        "J / i^2",
        "Inertia of a load seen from the motor, by the ratio motor over load speed",
        ("inertia_at_motor(80 kg·m², 20)", "0.2 kg·m²"),
        REFLECTED,
    ),
    formula(
        "mass_at_motor",
        &[of("m", "mass"), of("v", "speed"), of("n", "shaft speed")],
        "inertia",
        "m * (v / n)^2",
        "Inertia at the motor shaft of a mass that moves along a line at v while the motor turns at n",
        ("mass_at_motor(1000 kg, 1.5 m/s, 1000 r/min)", "0.2052 kg·m²"),
        REFLECTED,
    ),
    formula(
        "belt_speed",
        &[of("D", "diameter"), of("n", "shaft speed")],
        "speed",
        "pi * D * n",
        "Speed of a belt on a pulley",
        ("belt_speed(200 mm, 1500 r/min)", "15.71 m/s"),
        MACHINES,
    ),
    formula(
        "belt_ratio",
        &[of("D_1", "diameter"), of("D_2", "diameter"), of("creep", "percentage")],
        "gear ratio",
        "D_2 / (D_1 * (1 - creep))",
        "Ratio motor over load speed of a belt from the pulley on the motor, the pulley on the load and the creep of the belt",
        ("belt_ratio(200 mm, 500 mm, 2 %)", "2.551"),
        MACHINES,
    ),
];
