//! What surrounds a motor: capacitors, unbalance, heating and cooling.

use super::Function;
use super::entry::{formula, of};

const HEATING: &str = "one body with one time constant; Narosa, Fundamentals of Electrical Drives, chapter 4";

pub(super) static CONDITIONS: &[Function] = &[
    formula(
        "delta_capacitance",
        &[of("Q", "reactive power"), of("V", "line voltage"), of("f", "frequency")],
        "capacitance",
        "Q / (3 * 2 * pi * f * V^2)",
        "Capacitance of each of three capacitors in delta that take a reactive power together; three times it in star. Capacitors stay charged after switching off",
        ("delta_capacitance(20 kvar, 400 V, 50 Hz)", "132.6 µF"),
        "standard relation of electrical engineering",
    ),
    formula(
        "unbalance_heating",
        &[of("u", "voltage unbalance")],
        "percentage",
        "2 * num(u in %)^2 * (1 %)",
        "By how much the temperature rise grows with a voltage unbalance: about twice its square, in per cent",
        ("unbalance_heating(3.5 %)", "24.5 %"),
        "Prentice Hall textbooks of electric machines; rule of thumb",
    ),
    formula(
        "temperature_rise_after",
        &[
            of("theta_0", "temperature rise"),
            of("theta_f", "temperature rise"),
            of("t", "time"),
            of("tau", "time"),
        ],
        "temperature rise",
        "theta_f - (theta_f - theta_0) * exp(0 - t / tau)",
        "Temperature rise some time after it began to go from one value to another, by the heating time constant",
        ("temperature_rise_after(0 K, 80 K, 30 min, 45 min)", "38.93 K"),
        HEATING,
    ),
    formula(
        "short_time_power",
        &[
            of("P_r", "rated power"),
            of("t", "time"),
            of("tau", "time"),
            of("k", "ratio"),
        ],
        "shaft power",
        "P_r * sqrt((1 + k) / (1 - exp(0 - t / tau)) - k)",
        "Power that heats a motor from cold to its full rise in a time, k being constant loss over rated copper loss; breakdown torque and the maker's word limit it before",
        ("short_time_power(30 kW, 20 min, 60 min, 0.4)", "63.91 kW"),
        HEATING,
    ),
    formula(
        "intermittent_power",
        &[
            of("P_r", "rated power"),
            of("t_on", "time"),
            of("t_off", "time"),
            of("tau_h", "time"),
            of("tau_c", "time"),
            of("k", "ratio"),
        ],
        "shaft power",
        "P_r * sqrt((1 + k) * (1 - exp(0 - (t_on / tau_h + t_off / tau_c))) / (1 - exp(0 - t_on / tau_h)) - k)",
        "Power that heats a motor to its full rise in an endless turn of running and rest, with time constants of heating and of cooling at rest",
        (
            "intermittent_power(30 kW, 10 min, 20 min, 60 min, 90 min, 0.4)",
            "47.8 kW",
        ),
        HEATING,
    ),
];
