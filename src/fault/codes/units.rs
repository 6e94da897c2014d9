//! Fault codes of units and their text, and of direct conversions.

codes! {
    UNKNOWN_UNIT = "unknown-unit", Error,
        "No unit of this name is known. Capital and small letters matter: kV, not kv; MW and mW are not the same.",
        "15 kv", "15 kV";
    WHICH_TON = "which-ton", Error,
        "Ton alone can be a mass of 1000 kg, 2000 lb or 2240 lb, or 12000 BTU/h of cooling. Write which: t, ton_us, ton_uk, ton_refr.",
        "3 ton", "3 t";
    UNIT_TWO_WAYS = "unit-two-ways", Error,
        "A unit with two divisions, or a product behind a division, can be read two ways. Brackets say which.",
        "4186 J/kg·K", "4186 J/(kg·K)";
    UNIT_BROKEN = "unit-broken", Error,
        "The text of the unit breaks off, or has a bracket or an exponent that does not fit.",
        "5 kg·", "5 kg";
    UNITS_DO_NOT_MATCH = "units-do-not-match", Error,
        "One unit cannot be turned into the other: they measure different things.",
        "5 kW in kg", "5 kW in hp";
    CYCLE_MEETS_TURN = "cycle-meets-turn", Error,
        "A frequency counts cycles of the supply, a speed counts turns of the shaft. Poles or pole pairs lead from one to the other.",
        "60 Hz in r/min", "60 Hz / (4 pole) in r/min";
    CYCLE_MEETS_ANGLE = "cycle-meets-angle", Error,
        "A cycle is not an angle. 2·π·f is the electrical angular speed; it has to be written.",
        "60 Hz in rad/s", "2*pi*60 Hz in rad/s";
    CYCLE_DROPPED = "cycle-dropped", Error,
        "Cycles are left over: a frequency is more than a plain rate, and a pole count more than a plain number.",
        "60 Hz in 1/s", "60 Hz / (1 Hz)";
    TURN_DROPPED = "turn-dropped", Error,
        "Turns are left over: a turn never becomes a plain number on its own.",
        "3 rev in 1", "3 rev / (1 rev)";
    RATE_IS_NO_SPEED = "rate-is-no-speed", Error,
        "A number made of times alone is a plain rate; it becomes a speed or a frequency only where turns, radians or cycles are written.",
        "25 1/s in rad/s", "25 rad/s";
    POWER_KINDS_DIFFER = "power-kinds-differ", Error,
        "Active, apparent and reactive power are not the same: W, VA and var meet only through the power factor or S² = P² + Q².",
        "37 kVA in kW", "37 kVA * 0.85 W/VA in kW";
    TORQUE_IS_NOT_ENERGY = "torque-is-not-energy", Error,
        "A torque is no energy, though newton and metre stand in both. Torque times angle is energy.",
        "10 N·m in J", "10 N·m * 1 rad in J";
    MASS_IS_NOT_FORCE = "mass-is-not-force", Error,
        "A mass is not a force: lb and kg are mass, lbf, kgf and N are force. Mass times g_n is weight.",
        "5 lb in lbf", "5 lb * g_n in lbf";
    POINT_AND_DIFFERENCE = "point-and-difference", Error,
        "20 °C on the scale is not a difference of 20 kelvin.",
        "20 °C in Δ°C", "20 °C - 0 °C in K";
    CURRENCIES_DO_NOT_CONVERT = "currencies-do-not-convert", Error,
        "No rate between currencies is kept here. Write the rate with its units.",
        "100 $ in €", "100 $ * 0.92 €/$ in €";
}
