//! Motor formulas, written in the language itself. Parameters have kinds, so arguments are checked and roles are looked at.
//!
//! Sources are named with each. They are the usual relations of induction-machine textbooks; the load formulas are those of
//! the US Department of Energy's fact sheet on determining motor load and efficiency.

use super::Function;
use super::entry::{TEXTBOOK, formula, of, refuse_efficiency, refuse_hours, refuse_poles, refuse_power_factor};

const LOAD: &str =
    "US Department of Energy, Motor Challenge fact sheet: Determining Electric Motor Load and Efficiency";

pub(super) static MOTOR: &[Function] = &[
    formula(
        "synchronous_speed",
        &[of("f", "frequency"), of("p", "poles")],
        "synchronous speed",
        concat!(refuse_poles!("p"), "otherwise f / p"),
        "Speed of the rotating field",
        ("synchronous_speed(60 Hz, 4 pole)", "1800 r/min"),
        TEXTBOOK,
    ),
    formula(
        "poles_from_speed",
        &[of("f", "frequency"), of("n", "shaft speed")],
        "poles",
        "refuse(\"faster than the field of two poles\") when num(f / n in pole pair) + 1e-9 < 1, otherwise 2 * floor(num(f / n in pole pair) + 1e-9) * (1 pole)",
        "Pole count of a motor that runs at a rated speed just below synchronous; rounded down, never to the nearest",
        ("poles_from_speed(50 Hz, 1465 r/min)", "4 pole"),
        "definition; a motor runs below its synchronous speed",
    ),
    formula(
        "slip",
        &[of("n_s", "synchronous speed"), of("n", "shaft speed")],
        "slip",
        "(n_s - n) / n_s",
        "How far the shaft stays behind the field, as a part of the synchronous speed",
        ("slip(1500 r/min, 1455 r/min)", "3 %"),
        TEXTBOOK,
    ),
    formula(
        "rotor_frequency",
        &[of("s", "slip"), of("f", "frequency")],
        "rotor frequency",
        "s * f",
        "Frequency of the currents in the rotor",
        ("rotor_frequency(3 %, 50 Hz)", "1.5 Hz"),
        TEXTBOOK,
    ),
    formula(
        "shaft_power",
        &[of("T", "torque"), of("n", "shaft speed")],
        "shaft power",
        "T * n",
        "Power of a torque at a speed",
        ("shaft_power(100 N·m, 1000 r/min)", "10.47 kW"),
        TEXTBOOK,
    ),
    formula(
        "torque",
        &[of("P", "shaft power"), of("n", "shaft speed")],
        "torque",
        "P / n",
        "Torque of a shaft power at a speed",
        ("torque(10 kW, 1000 r/min)", "95.49 N·m"),
        TEXTBOOK,
    ),
    formula(
        "active_power",
        &[
            of("V", "line voltage"),
            of("I", "line current"),
            of("pf", "power factor"),
        ],
        "input power",
        concat!(refuse_power_factor!("pf"), "otherwise sqrt(3) * V * I * pf"),
        "Three-phase active power from line voltage, line current and power factor",
        ("active_power(400 V, 30 A, 0.85)", "17.67 kW"),
        TEXTBOOK,
    ),
    formula(
        "apparent_power",
        &[of("V", "line voltage"), of("I", "line current")],
        "apparent power",
        "sqrt(3) * V * I",
        "Three-phase apparent power from line voltage and line current",
        ("apparent_power(400 V, 30 A)", "20.78 kVA"),
        TEXTBOOK,
    ),
    formula(
        "reactive_power",
        &[
            of("V", "line voltage"),
            of("I", "line current"),
            of("pf", "power factor"),
        ],
        "reactive power",
        concat!(refuse_power_factor!("pf"), "otherwise sqrt(3) * V * I * sin(acos(pf))"),
        "Three-phase reactive power from line voltage, line current and power factor",
        ("reactive_power(400 V, 30 A, 0.8)", "12.47 kvar"),
        TEXTBOOK,
    ),
    formula(
        "motor_efficiency",
        &[of("P_sh", "shaft power"), of("P_in", "input power")],
        "motor efficiency",
        "P_sh / P_in",
        "Shaft power over electrical input",
        ("motor_efficiency(15 kW, 16 kW)", "93.75 %"),
        TEXTBOOK,
    ),
    formula(
        "load_by_power",
        &[
            of("P_in", "input power"),
            of("P_r", "rated power"),
            of("eta", "motor efficiency"),
        ],
        "load",
        concat!(
            refuse_efficiency!("eta"),
            "refuse(\"the input is negative: the load drives the motor, and what its shaft takes is not input times efficiency\") when P_in < 0 kW, otherwise P_in * eta / P_r"
        ),
        "Load from the measured input, the rating and the efficiency",
        ("load_by_power(12 kW, 15 kW, 90 %)", "72 %"),
        LOAD,
    ),
    formula(
        "load_by_current",
        &[
            of("I", "measured current"),
            of("I_r", "rated current"),
            of("V", "measured voltage"),
            of("V_r", "rated voltage"),
        ],
        "load",
        "(I / I_r) * (V / V_r)",
        "Load from the measured current and voltage; only to be trusted above half load, and even there it reads high, by 8 to 20 points at half load, by 3 to 9 at three quarters (load_by_current_power_factor is nearer)",
        ("load_by_current(24 A, 30 A, 400 V, 400 V)", "80 %"),
        LOAD,
    ),
    formula(
        "load_by_no_load_current",
        &[
            of("I", "measured current"),
            of("I_r", "rated current"),
            of("I_0", "no-load current"),
        ],
        "load",
        "refuse(\"the no-load current is not below the rated current\") when I_0 >= I_r, \
         refuse(\"the current is below the no-load current: another voltage, or one of the two is misread\") when I < I_0, \
         otherwise 1 - (I_r - I) / (I_r - I_0)",
        "Load from the measured current on the straight line between no-load and rated current. It reads low at part load, 14 to 22 points at half load, where the current is a magnetising and a torque-making part at right angles: load_by_active_current",
        ("load_by_no_load_current(24 A, 30 A, 10 A)", "70 %"),
        "straight line between no-load and rated current, as in trade magazines on estimating motor load",
    ),
    formula(
        "load_by_active_current",
        &[
            of("I", "measured current"),
            of("I_r", "rated current"),
            of("I_0", "no-load current"),
        ],
        "load",
        "refuse(\"the no-load current is not below the rated current\") when I_0 >= I_r, \
         refuse(\"the current is below the no-load current: another voltage, or one of the two is misread\") when I < I_0, \
         otherwise sqrt((I^2 - I_0^2) / (I_r^2 - I_0^2))",
        "Load from the measured current less the no-load current at a right angle: the current of a motor is a magnetising part that stays and a torque-making part that goes with the load. From half load to overload within four points of equivalent circuits from 1 to 250 kW; at a quarter load up to eight points high",
        ("load_by_active_current(24 A, 30 A, 10 A)", "77.14 %"),
        TEXTBOOK,
    ),
    formula(
        "estimated_no_load_current",
        &[
            of("I_r", "rated current"),
            of("pf", "power factor"),
            of("k", "torque ratio"),
        ],
        "no-load current",
        concat!(
            refuse_power_factor!("pf"),
            "refuse(\"the breakdown torque is not more than the rated torque\") when k <= 1, \
             refuse(\"the power factor is too high for that breakdown torque: no magnetising current is left\") \
             when sin(acos(pf)) <= cos(acos(pf)) * (k - sqrt(k^2 - 1)), \
             otherwise I_r * (sin(acos(pf)) - cos(acos(pf)) * (k - sqrt(k^2 - 1)))"
        ),
        "No-load current from the power factor at rated load and the breakdown torque over the rated one: what the circle of the motor's current leaves of the reactive current. About a tenth low for usual motors with a ratio of 3",
        ("estimated_no_load_current(30 A, 0.85, 3)", "11.43 A"),
        "circle diagram of the induction motor, losses of the stator left out; textbooks",
    ),
    formula(
        "load_by_current_power_factor",
        &[
            of("I", "measured current"),
            of("I_r", "rated current"),
            of("pf", "power factor"),
            of("V", "measured voltage"),
            of("V_r", "rated voltage"),
        ],
        "load",
        "refuse(\"the current is not above the no-load current that goes with the power factor of the plate: hardly any load, or one of the three is not of this motor\") \
         when I * (V_r / V) <= estimated_no_load_current(I_r, pf, 3), \
         otherwise load_by_active_current(I * (V_r / V), I_r, estimated_no_load_current(I_r, pf, 3)) * (V / V_r)^2",
        "Load from the measured current and voltage with the power factor of the plate: the magnetising current is estimated from it (estimated_no_load_current, breakdown torque taken as three times rated) and taken off at a right angle. At half load it reads three points low to ten points high of equivalent circuits from 1 to 250 kW, where the ratio of currents alone reads eight to twenty points high",
        (
            "load_by_current_power_factor(24 A, 30 A, 0.85, 400 V, 400 V)",
            "76.08 %",
        ),
        "circle diagram and phasor diagram of the induction motor, textbooks; the breakdown torque is common practice, no source",
    ),
    formula(
        "load_by_slip",
        &[
            of("n_s", "synchronous speed"),
            of("n", "measured speed"),
            of("n_r", "rated speed"),
        ],
        "load",
        "refuse(\"the rated speed is not below the synchronous speed\") when n_r >= n_s, \
         refuse(\"the measured speed is above the synchronous speed: the load drives the motor, which generates, or speed, poles or frequency are misread\") when n > n_s, \
         otherwise (n_s - n) / (n_s - n_r)",
        "Load from the measured slip over the rated slip; the plate's slip may be off by a fifth. Refused above synchronous speed, where the motor generates",
        ("load_by_slip(1800 r/min, 1773 r/min, 1760 r/min)", "67.5 %"),
        LOAD,
    ),
    formula(
        "load_by_slip_voltage",
        &[
            of("n_s", "synchronous speed"),
            of("n", "measured speed"),
            of("n_r", "rated speed"),
            of("V", "measured voltage"),
            of("V_r", "rated voltage"),
        ],
        "load",
        "refuse(\"the rated speed is not below the synchronous speed\") when n_r >= n_s, \
         refuse(\"the measured speed is above the synchronous speed: the load drives the motor, which generates, or speed, poles or frequency are misread\") when n > n_s, \
         otherwise (n_s - n) / ((n_s - n_r) * (V_r / V)^2)",
        "Load from the slip, corrected for a voltage other than rated. Refused above synchronous speed, where the motor generates",
        (
            "load_by_slip_voltage(1800 r/min, 1770 r/min, 1750 r/min, 460 V, 460 V)",
            "60 %",
        ),
        LOAD,
    ),
    formula(
        "annual_energy",
        &[of("P_in", "input power"), of("hours", "hours per year")],
        "energy",
        concat!(refuse_hours!("hours"), "otherwise P_in * hours * (1 yr)"),
        "Electrical energy in a year from the mean input and the running hours",
        ("annual_energy(10 kW, 4000 h/yr)", "40000 kWh"),
        "definition",
    ),
    formula(
        "energy_cost",
        &[of("E", "energy"), of("price", "energy price")],
        "cost",
        "E * price",
        "Cost of an energy at a price",
        ("energy_cost(1000 kWh, 0.2 $/kWh)", "200 $"),
        "definition",
    ),
    formula(
        "locked_rotor_current",
        &[
            of("k", "locked-rotor kVA per hp"),
            of("P", "rated power"),
            of("V", "line voltage"),
        ],
        "locked-rotor current",
        "k * P / (sqrt(3) * V)",
        "Current at standstill from the kVA per hp of the code letter, the rating and the voltage",
        ("locked_rotor_current(6 kVA/hp, 50 hp, 460 V)", "376.5 A"),
        "NEMA MG 1, definition of the code letters",
    ),
    formula(
        "winding_resistance",
        &[
            of("R_1", "resistance"),
            of("theta_1", "temperature"),
            of("theta_2", "temperature"),
        ],
        "resistance",
        "R_1 * (theta_2 - (-235 °C)) / (theta_1 - (-235 °C))",
        "Resistance of a copper winding at another temperature; aluminium has 225 in the place of 235",
        ("winding_resistance(0.5 Ω, 20 °C, 90 °C)", "0.6373 Ω"),
        "IEC 60034-1, temperature rise by resistance (from memory)",
    ),
    formula(
        "winding_temperature",
        &[
            of("R_1", "resistance"),
            of("theta_1", "temperature"),
            of("R_2", "resistance"),
        ],
        "temperature",
        "R_2 / R_1 * (theta_1 - (-235 °C)) + (-235 °C)",
        "Mean temperature of a copper winding by its resistance cold and warm; aluminium has 225 in the place of 235",
        ("winding_temperature(0.5 Ω, 20 °C, 0.6373 Ω)", "90.02 °C"),
        "IEC 60034-1, temperature rise by resistance (from memory)",
    ),
    formula(
        "voltage_unbalance",
        &[of("V_1", "voltage"), of("V_2", "voltage"), of("V_3", "voltage")],
        "voltage unbalance",
        "largest(abs(V_1 - (V_1 + V_2 + V_3) / 3), abs(V_2 - (V_1 + V_2 + V_3) / 3), abs(V_3 - (V_1 + V_2 + V_3) / 3)) / ((V_1 + V_2 + V_3) / 3)",
        "Largest deviation of a line voltage from the mean of the three, over the mean",
        ("voltage_unbalance(390 V, 400 V, 410 V)", "2.5 %"),
        "NEMA MG 1, definition of voltage unbalance",
    ),
];
