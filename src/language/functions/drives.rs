//! Motors on drives and on another supply: affinity laws, torque ranges, cooling, field weakening, 50 and 60 Hz.

use super::Function;
use super::entry::{PRACTICE, TEXTBOOK, formula, of, refuse_poles};

/// The arm of a formula that refuses field weakening below the base frequency.
macro_rules! refuse_below_base {
    () => {
        "refuse(\"below the base frequency V/f keeps the field, and the breakdown torque stays about as it is\") when f < f_b, "
    };
}

const AFFINITY: &str = "affinity laws; US Department of Energy, Fundamentals Handbook DOE-HDBK-1012";
const FLUX: &str = "breakdown torque goes with (V/f)²; Prentice Hall, Electric Machines: Theory, Operation, Applications, Adjustment and Control";

pub(super) static DRIVES: &[Function] = &[
    formula(
        "affinity_flow",
        &[
            of("Q", "volume flow"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "volume flow",
        "Q * n_2 / n_1",
        "Flow of the same fan or pump at another speed",
        ("affinity_flow(60 m³/h, 1450 r/min, 1160 r/min)", "48 m³/h"),
        AFFINITY,
    ),
    formula(
        "affinity_head",
        &[of("H", "height"), of("n_1", "shaft speed"), of("n_2", "shaft speed")],
        "height",
        "H * (n_2 / n_1)^2",
        "Head of the same pump at another speed",
        ("affinity_head(20 m, 1450 r/min, 1160 r/min)", "12.8 m"),
        AFFINITY,
    ),
    formula(
        "affinity_power",
        &[
            of("P", "shaft power"),
            of("n_1", "shaft speed"),
            of("n_2", "shaft speed"),
        ],
        "shaft power",
        "P * (n_2 / n_1)^3",
        "Shaft power of the same fan or pump at another speed, from its actual power and not the rating; with static head the saving is smaller",
        ("affinity_power(10 kW, 1450 r/min, 1160 r/min)", "5.12 kW"),
        AFFINITY,
    ),
    formula(
        "system_head",
        &[
            of("H_s", "height"),
            of("H_r", "height"),
            of("Q_r", "volume flow"),
            of("Q", "volume flow"),
        ],
        "height",
        "H_s + (H_r - H_s) * (Q / Q_r)^2",
        "Head that a pipe system asks for at a flow: static head and losses by the square, H_r at Q_r",
        ("system_head(8 m, 20 m, 60 m³/h, 30 m³/h)", "11 m"),
        AFFINITY,
    ),
    formula(
        "drive_voltage",
        &[of("V_b", "line voltage"), of("f_b", "frequency"), of("f", "frequency")],
        "line voltage",
        "smallest(V_b * f / f_b, V_b)",
        "Voltage of a drive at a frequency: with V/f constant up to the base frequency, constant above it",
        ("drive_voltage(400 V, 50 Hz, 20 Hz)", "160 V"),
        TEXTBOOK,
    ),
    formula(
        "self_cooled_torque",
        &[
            of("f", "frequency"),
            of("f_b", "frequency"),
            of("T_r", "rated torque"),
            of("f_c", "frequency"),
            of("k_0", "ratio"),
        ],
        "torque",
        "refuse(\"the frequency is below zero\") when f < 0 Hz, \
         T_r * (k_0 + (1 - k_0) * f / f_c) when f < f_c, T_r when f <= f_b, otherwise T_r * f_b / f",
        "Torque a self-ventilated motor may give for long on a drive: full from f_c to the base frequency, below it falling straight to the part k_0 at standstill, above base by constant power. f_c and k_0 come from the maker",
        ("self_cooled_torque(10 Hz, 50 Hz, 100 N·m, 30 Hz, 0.5)", "66.67 N·m"),
        PRACTICE,
    ),
    formula(
        "lowest_drive_frequency",
        &[
            of("T", "load torque"),
            of("T_r", "rated torque"),
            of("f_c", "frequency"),
            of("k_0", "ratio"),
        ],
        "frequency",
        "refuse(\"more than the rated torque; no frequency is slow enough or fast enough for that\") when T > T_r, f_c * (T / T_r - k_0) / (1 - k_0) when T / T_r > k_0, otherwise 0 Hz",
        "Lowest frequency at which a self-ventilated motor may give a torque for long, by the same straight line; below it, a fan of its own or a larger motor",
        ("lowest_drive_frequency(80 N·m, 100 N·m, 30 Hz, 0.5)", "18 Hz"),
        PRACTICE,
    ),
    formula(
        "highest_frequency_same_torque",
        &[
            of("T", "load torque"),
            of("T_b", "breakdown torque"),
            of("f_b", "frequency"),
            of("m", "margin"),
        ],
        "frequency",
        "refuse(\"the breakdown torque does not leave this margin even at the base frequency\") when T_b < T * (1 + m), \
         otherwise f_b * sqrt(T_b / (T * (1 + m)))",
        "Frequency above base up to which the breakdown torque stays a margin above a load torque that stays the same",
        (
            "highest_frequency_same_torque(100 N·m, 260 N·m, 50 Hz, 30 %)",
            "70.71 Hz",
        ),
        FLUX,
    ),
    formula(
        "highest_frequency_same_power",
        &[
            of("T", "load torque"),
            of("T_b", "breakdown torque"),
            of("f_b", "frequency"),
            of("m", "margin"),
        ],
        "frequency",
        "refuse(\"the breakdown torque does not leave this margin even at the base frequency\") when T_b < T * (1 + m), \
         otherwise f_b * T_b / (T * (1 + m))",
        "Frequency above base up to which the breakdown torque stays a margin above the torque of a load of constant power, T at base. Bearings and couplings have a speed limit of their own",
        ("highest_frequency_same_power(100 N·m, 260 N·m, 50 Hz, 30 %)", "100 Hz"),
        FLUX,
    ),
    formula(
        "highest_frequency_fan",
        &[of("P", "shaft power"), of("f", "frequency"), of("P_r", "rated power")],
        "frequency",
        "f * (P_r / P)^(1/3)",
        "Frequency at which a fan or pump that takes P at f comes to the rating, by the cube of the speed; above base the rating does not grow",
        ("highest_frequency_fan(10 kW, 50 Hz, 15 kW)", "57.24 Hz"),
        AFFINITY,
    ),
    formula(
        "breakdown_above_base",
        &[
            of("T_b", "breakdown torque"),
            of("f_b", "frequency"),
            of("f", "frequency"),
        ],
        "breakdown torque",
        concat!(refuse_below_base!(), "otherwise T_b * (f_b / f)^2"),
        "Breakdown torque above the base frequency, where the voltage stays and the field is weakened",
        ("breakdown_above_base(260 N·m, 50 Hz, 65 Hz)", "153.8 N·m"),
        FLUX,
    ),
    formula(
        "above_base_margin",
        &[
            of("T_b", "breakdown torque"),
            of("f_b", "frequency"),
            of("f", "frequency"),
            of("T", "load torque"),
        ],
        "margin",
        concat!(refuse_below_base!(), "otherwise T_b * (f_b / f)^2 / T - 1"),
        "What is in hand between the breakdown torque above base frequency and a load torque; 30 % and more is usual. Bearings and couplings have a speed limit of their own",
        ("above_base_margin(260 N·m, 50 Hz, 65 Hz, 100 N·m)", "53.85 %"),
        FLUX,
    ),
    formula(
        "rerated_power",
        &[
            of("P", "rated power"),
            of("V_1", "line voltage"),
            of("f_1", "frequency"),
            of("V_2", "line voltage"),
            of("f_2", "frequency"),
        ],
        "rated power",
        "P * smallest(V_2 / V_1, f_2 / f_1)",
        "Output of a motor moved to another supply at about the same current: by the voltage, but by no more than the frequency. Only with the maker's word; V/f more than a few per cent above the plate overheats the core",
        ("rerated_power(15 kW, 400 V, 50 Hz, 460 V, 60 Hz)", "17.25 kW"),
        PRACTICE,
    ),
    formula(
        "rerated_speed",
        &[
            of("n_r", "rated speed"),
            of("p", "poles"),
            of("f_1", "frequency"),
            of("f_2", "frequency"),
        ],
        "rated speed",
        concat!(
            refuse_poles!("p"),
            "refuse(\"the rated speed is not below the synchronous speed\") when n_r >= f_1 / p, \
             otherwise f_2 / p - (f_1 / p - n_r)"
        ),
        "Speed at rated torque on another frequency with the same V/f: the slip speed stays",
        ("rerated_speed(1465 r/min, 4 pole, 50 Hz, 60 Hz)", "1765 r/min"),
        "constant flux: equal torque at equal slip speed",
    ),
    formula(
        "breakdown_at_supply",
        &[
            of("T_b", "breakdown torque"),
            of("V_1", "line voltage"),
            of("f_1", "frequency"),
            of("V_2", "line voltage"),
            of("f_2", "frequency"),
        ],
        "breakdown torque",
        "T_b * (V_2 / V_1 * f_1 / f_2)^2",
        "Breakdown torque on another voltage and frequency; locked-rotor torque goes nearly the same way",
        ("breakdown_at_supply(260 N·m, 400 V, 50 Hz, 400 V, 60 Hz)", "180.6 N·m"),
        FLUX,
    ),
];
