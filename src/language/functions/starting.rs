//! Starting methods and the supply while starting: current, torque, voltage dip, drop in the feeder.
//!
//! Always: currents and torques at standstill, of a motor whose values at full voltage are known.

use super::Function;
use super::entry::{PRACTICE, TEXTBOOK, formula, of, refuse_part_of_voltage, refuse_power_factor};

const REDUCED: &str = "current goes with the voltage, torque with its square; Dhanpat Rai, A Textbook on Power System Engineering, chapter 4";
const DIP: &str = "voltage divider of supply and standing motor; standard relation";
/// The arm of a formula that refuses a resistance or reactance below zero in a dip.
macro_rules! refuse_below_zero {
    () => {
        "refuse(\"a resistance or reactance is below zero: look at the order R_s, X_s, R_c, X_c, R_m, X_m\") \
            when smallest(R_s, X_s, R_c, X_c, R_m, X_m) < 0 Ω, "
    };
}

const DROP: &str = "phasor sum of voltages; McGraw-Hill textbooks of power distribution";

pub(super) static STARTING: &[Function] = &[
    formula(
        "star_delta_current",
        &[of("I_lr", "locked-rotor current")],
        "locked-rotor current",
        "I_lr / 3",
        "Line current at the start in star of a motor made for delta; at the change to delta it may jump to the full value",
        ("star_delta_current(210 A)", "70 A"),
        REDUCED,
    ),
    formula(
        "star_delta_torque",
        &[of("T_lr", "locked-rotor torque")],
        "locked-rotor torque",
        "T_lr / 3",
        "Torque at the start in star of a motor made for delta",
        ("star_delta_torque(210 N·m)", "70 N·m"),
        REDUCED,
    ),
    formula(
        "autotransformer_current",
        &[of("I_lr", "locked-rotor current"), of("k", "ratio")],
        "locked-rotor current",
        concat!(refuse_part_of_voltage!("k"), "otherwise k^2 * I_lr"),
        "Line current at the start through an autotransformer tapped at k of the voltage; its own magnetising current left out",
        ("autotransformer_current(200 A, 65 %)", "84.5 A"),
        REDUCED,
    ),
    formula(
        "autotransformer_motor_current",
        &[of("I_lr", "locked-rotor current"), of("k", "ratio")],
        "locked-rotor current",
        concat!(refuse_part_of_voltage!("k"), "otherwise k * I_lr"),
        "Current of the motor at the start through an autotransformer tapped at k of the voltage",
        ("autotransformer_motor_current(200 A, 65 %)", "130 A"),
        REDUCED,
    ),
    formula(
        "reduced_voltage_current",
        &[of("I_lr", "locked-rotor current"), of("k", "ratio")],
        "locked-rotor current",
        concat!(refuse_part_of_voltage!("k"), "otherwise k * I_lr"),
        "Line current at the start at a part k of the voltage: soft starter, resistors, reactors",
        ("reduced_voltage_current(200 A, 65 %)", "130 A"),
        REDUCED,
    ),
    formula(
        "reduced_voltage_torque",
        &[of("T_lr", "locked-rotor torque"), of("k", "ratio")],
        "locked-rotor torque",
        concat!(refuse_part_of_voltage!("k"), "otherwise k^2 * T_lr"),
        "Torque at the start at a part k of the voltage: autotransformer, soft starter, resistors, reactors",
        ("reduced_voltage_torque(200 N·m, 65 %)", "84.5 N·m"),
        REDUCED,
    ),
    formula(
        "voltage_for_current",
        &[of("I_lr", "locked-rotor current"), of("I", "line current")],
        "ratio",
        "refuse(\"the motor takes less than this at full voltage\") when I > I_lr, otherwise I / I_lr",
        "Part of the voltage at which a soft starter keeps to a current at standstill",
        ("voltage_for_current(200 A, 90 A)", "0.45"),
        REDUCED,
    ),
    formula(
        "voltage_for_torque",
        &[of("T_lr", "locked-rotor torque"), of("T", "load torque")],
        "ratio",
        "refuse(\"more than the motor gives at standstill with full voltage\") when T > T_lr, otherwise sqrt(T / T_lr)",
        "Part of the voltage that gives a torque at standstill",
        ("voltage_for_torque(200 N·m, 98 N·m)", "0.7"),
        REDUCED,
    ),
    formula(
        "drive_current",
        &[
            of("I_r", "rated current"),
            of("I_0", "no-load current"),
            of("T", "torque"),
            of("T_r", "rated torque"),
        ],
        "line current",
        "refuse(\"the no-load current is not below the rated current\") when I_0 >= I_r, \
         otherwise sqrt(I_0^2 + (I_r^2 - I_0^2) * (T / T_r)^2)",
        "About the current of a motor that gives a torque on a drive at full flux, also at standstill: magnetising and torque-making part at right angles",
        ("drive_current(30 A, 12 A, 150 N·m, 100 N·m)", "42.95 A"),
        PRACTICE,
    ),
    formula(
        "locked_rotor_kva_per_hp",
        &[
            of("V", "line voltage"),
            of("I_lr", "locked-rotor current"),
            of("P_r", "rated power"),
        ],
        "locked-rotor kVA per hp",
        "apparent_power(V, I_lr) / P_r",
        "Apparent power at standstill over the rating: the code letter stands for a range of it",
        ("locked_rotor_kva_per_hp(460 V, 362.5 A, 50 hp)", "5.776 kVA/hp"),
        "NEMA MG 1, definition of the code letters",
    ),
    formula(
        "locked_rotor_impedance",
        &[of("V", "line voltage"), of("I_lr", "locked-rotor current")],
        "impedance",
        "V / (sqrt(3) * I_lr)",
        "Impedance of a phase at standstill, in star",
        ("locked_rotor_impedance(400 V, 200 A)", "1.155 Ω"),
        TEXTBOOK,
    ),
    formula(
        "source_impedance",
        &[of("V", "line voltage"), of("S_sc", "apparent power")],
        "impedance",
        "V^2 / S_sc",
        "Impedance of a phase of a supply from its short-circuit power, at the voltage it is wanted for",
        ("source_impedance(400 V, 8 MVA)", "0.02 Ω"),
        TEXTBOOK,
    ),
    formula(
        "transformer_impedance",
        &[
            of("V", "line voltage"),
            of("S_r", "apparent power"),
            of("u_k", "percentage"),
        ],
        "impedance",
        "u_k * V^2 / S_r",
        "Impedance of a phase of a transformer from its short-circuit voltage, on the side of that voltage",
        ("transformer_impedance(400 V, 400 kVA, 4 %)", "0.016 Ω"),
        TEXTBOOK,
    ),
    formula(
        "dip_by_power",
        &[of("S_lr", "locked-rotor apparent power"), of("S_sc", "apparent power")],
        "percentage",
        "S_lr / (S_lr + S_sc)",
        "Voltage dip while a motor starts, from its power at standstill and the short-circuit power of the supply; short form, equal angles taken",
        ("dip_by_power(140 kVA, 6.86 MVA)", "2 %"),
        DIP,
    ),
    formula(
        "dip_at_bus",
        &[
            of("R_s", "resistance"),
            of("X_s", "reactance"),
            of("R_c", "resistance"),
            of("X_c", "reactance"),
            of("R_m", "resistance"),
            of("X_m", "reactance"),
        ],
        "percentage",
        concat!(
            refuse_below_zero!(),
            "otherwise 1 - sqrt(((R_c + R_m)^2 + (X_c + X_m)^2) / ((R_s + R_c + R_m)^2 + (X_s + X_c + X_m)^2))"
        ),
        "Voltage dip at the bus between supply and feeder while a motor starts, exact with resistances and reactances of supply, cable and standing motor; other loads on the bus left out",
        ("dip_at_bus(0 Ω, 0.04 Ω, 0 Ω, 0.06 Ω, 0 Ω, 0.9 Ω)", "4 %"),
        DIP,
    ),
    formula(
        "dip_at_terminals",
        &[
            of("R_s", "resistance"),
            of("X_s", "reactance"),
            of("R_c", "resistance"),
            of("X_c", "reactance"),
            of("R_m", "resistance"),
            of("X_m", "reactance"),
        ],
        "percentage",
        concat!(
            refuse_below_zero!(),
            "otherwise 1 - sqrt((R_m^2 + X_m^2) / ((R_s + R_c + R_m)^2 + (X_s + X_c + X_m)^2))"
        ),
        "Voltage dip at the terminals of a motor while it starts, exact; the torque falls with the square of what is left",
        ("dip_at_terminals(0 Ω, 0.04 Ω, 0 Ω, 0.06 Ω, 0 Ω, 0.9 Ω)", "10 %"),
        DIP,
    ),
    formula(
        "feeder_drop",
        &[
            of("I", "line current"),
            of("R", "resistance"),
            of("X", "reactance"),
            of("pf", "power factor"),
        ],
        "voltage drop",
        concat!(
            refuse_power_factor!("pf"),
            "otherwise sqrt(3) * I * (R * cos(acos(pf)) + X * sin(acos(pf)))"
        ),
        "Drop between lines in a three-phase feeder; short form, good to a few per cent of drop",
        ("feeder_drop(100 A, 0.1 Ω, 0.05 Ω, 0.8)", "19.05 V"),
        DROP,
    ),
    formula(
        "feeder_drop_exact",
        &[
            of("V", "line voltage"),
            of("I", "line current"),
            of("R", "resistance"),
            of("X", "reactance"),
            of("pf", "power factor"),
        ],
        "voltage drop",
        concat!(
            refuse_power_factor!("pf"),
            "otherwise sqrt((V + sqrt(3) * I * (R * cos(acos(pf)) + X * sin(acos(pf))))^2 + 3 * I^2 * (X * cos(acos(pf)) - R * sin(acos(pf)))^2) - V"
        ),
        "Drop between lines in a three-phase feeder, exact: sending voltage less the voltage V at the load",
        ("feeder_drop_exact(400 V, 100 A, 0.1 Ω, 0.05 Ω, 0.8)", "19.07 V"),
        DROP,
    ),
];
