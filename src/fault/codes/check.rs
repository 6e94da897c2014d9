//! Fault codes of dimension, kind and role of a formula.
//!
//! Examples are lines of a worked sheet.

codes! {
    UNKNOWN_NAME = "unknown-name", Error,
        "No quantity, function or definition of this name can be reached from here.",
        "given P_shaft = 5 kW\nwork x = P_shaf * 2", "given P_shaft = 5 kW\nwork x = P_shaft * 2";
    UNKNOWN_SHEET = "unknown-sheet", Error,
        "The workbook has no sheet or list of this name.",
        "work x = brinee.P", "given P = 5 kW\nwork x = P";
    UNKNOWN_FUNCTION = "unknown-function", Error,
        "There is no function, definition or curve of this name.",
        "work x = max(3 kW, 4 kW)", "work x = largest(3 kW, 4 kW)";
    UNKNOWN_SERIES = "unknown-series", Error,
        "There is no published series of ratings of this name.",
        "work x = next_rating(16 kW, kw_rating)", "work x = next_rating(16 kW, kw_ratings)";
    NOT_A_FUNCTION = "not-a-function", Error,
        "A quantity cannot be called with brackets; multiplication is always written.",
        "given T = 40 N·m\ngiven n = 1450 r/min\nwork P = T(n)", "given T = 40 N·m\ngiven n = 1450 r/min\nwork P = T*(n)";
    ARGUMENT_COUNT = "argument-count", Error,
        "A function, definition or curve is called with more or fewer values than it takes.",
        "work x = slip(1500 r/min)", "work x = slip(1500 r/min, 1450 r/min)";
    DEFINITION_LOOP = "definition-loop", Error,
        "A definition calls itself, directly or through others.",
        "define a(x) = a(x) + 1\nwork y = a(2)", "define a(x) = x + 1\nwork y = a(2)";
    UNIT_OR_NAME = "unit-or-name", Warning,
        "A word after a number is read as its unit; here it is also the name of a quantity.",
        "given s = 3 %\nwork x = 2 s", "given s = 3 %\nwork x = 2*s";
    UNIT_UNLIKELY = "unit-unlikely", Warning,
        "A unit is read as it stands, where another one is likelier: C is the coulomb, kW/h is no energy.",
        "given t = 20 C", "given t = 20 °C";
    AMBIGUOUS_NAME = "ambiguous-name", Error,
        "Where rows are gathered, a bare name is the list's; here the asking sheet has the same name.",
        "given P = 5 kW\nwork x = sum(P for motors)", "given P_0 = 5 kW\nwork x = sum(P for motors)";
    HERE_OUTSIDE = "here-outside", Error,
        "`here.x` means the asking item where rows are gathered, and nothing elsewhere.",
        "given P = 5 kW\nwork x = here.P", "given P = 5 kW\nwork x = P";
    WHICH_ROW = "which-row", Error,
        "A quantity of a list has many rows; a formula elsewhere has to say which, or gather them.",
        "work x = motors.P", "work x = sum(P for motors)";
    WHICH_CASE = "which-case", Error,
        "A quantity of a sheet with other cases has several values; which is meant has to be said.",
        "work x = brine.P", "work x = brine(\"winter\").P";
    ROWS_IN_ROWS = "rows-in-rows", Error,
        "Rows are gathered inside rows that are gathered.",
        "work x = sum(P / count(motors) for motors)", "work m = count(motors)\nwork x = sum(P / here.m for motors)";
    NAME_NEEDED = "name-needed", Error,
        "The name of a quantity is needed here, not a formula.",
        "given E = 5 kWh\nwork x = running(2 * E)", "given E = 5 kWh\nwork F = 2 * E\nwork x = running(F)";
    TEXT_NEEDED = "text-needed", Error,
        "A text in quotes is needed here.",
        "work x = code_letter_low(7)", "work x = code_letter_low(\"G\")";
    TEXT_IN_ARITHMETIC = "text-in-arithmetic", Error,
        "A text cannot be worked with like a number.",
        "given tag = \"P-1\" : text\nwork x = 2 * tag", "given tag = \"P-1\" : text\nwork x = 2";
    TRUTH_IN_ARITHMETIC = "condition-in-arithmetic", Error,
        "A condition is yes or no; it cannot be worked with like a number.",
        "given P = 5 kW\nwork x = 2 * (P > 3 kW)", "given P = 5 kW\nwork x = 2 when P > 3 kW, otherwise 0";
    NOT_A_CONDITION = "not-a-condition", Error,
        "A condition is needed here: a comparison, or several joined by and, or, not.",
        "given P = 5 kW\nwork x = 2 when P, otherwise 0", "given P = 5 kW\nwork x = 2 when P > 3 kW, otherwise 0";
    SORTS_DIFFER = "sorts-differ", Error,
        "Values of which one is taken have to be of one sort: quantities, or texts, or conditions.",
        "given P = 5 kW\nwork x = 2 kW when P > 3 kW, otherwise \"none\"", "given P = 5 kW\nwork x = 2 kW when P > 3 kW, otherwise 0 kW";
    NOT_OF_THE_CHOICE = "not-of-the-choice", Error,
        "A word is none of those the choice allows.",
        "given connection = stra : choice star, delta", "given connection = star : choice star, delta";
    NUM_NEEDS_UNIT = "num-needs-unit", Error,
        "`num` strips a unit and has to be told which one.",
        "given P = 5 kW\nwork x = num(P)", "given P = 5 kW\nwork x = num(P in kW)";
    NOT_PLAIN = "not-a-plain-number", Error,
        "A plain number is needed, as in an exponent or a logarithm.",
        "work x = ln(5 kW)", "work x = ln(5 kW / (1 kW))";
    EXPONENT = "exponent", Error,
        "A quantity with a unit can be raised to a power typed as a number only, and not to any height.",
        "given k = 2\nwork A = (3 m)^k", "work A = (3 m)^2";
    CANNOT_ADD = "cannot-add", Error,
        "Only quantities of one kind can be added or subtracted.",
        "work x = 5 kW + 3 N·m", "work x = 5 kW + 3 hp";
    CANNOT_COMPARE = "cannot-compare", Error,
        "Only quantities of one kind can be compared.",
        "given P = 5 kW\ngiven T = 3 N·m\nwork x = 1 when P > T, otherwise 2", "given P = 5 kW\nwork x = 1 when P > 3 kW, otherwise 2";
    PERCENT_ADDED = "percent-added", Error,
        "A per cent is a part of something; added to a quantity it does not say of what.",
        "work x = 15 kW + 10 %", "work x = 15 kW * (1 + 10 %)";
    NO_TWO_PI = "no-two-pi", Error,
        "A rate of angle becomes a frequency by a written 2π only.",
        "work f in Hz = sqrt(9 N/m / (1 kg))", "work f = sqrt(9 N/m / (1 kg)) / (2*pi) in Hz";
    TWO_PI_IS_NO_FREQUENCY = "two-pi-is-no-frequency", Error,
        "With a written 2π a frequency becomes an angular speed.",
        "work f = 2*pi*(50 Hz) in Hz", "work w = 2*pi*(50 Hz) in rad/s";
    TWO_PI_NAMED = "two-pi-named", Warning,
        "2π under a name is a plain number and no longer turns a frequency into an angular speed.",
        "work k = 2*pi", "given f = 50 Hz\nwork w = 2*pi*f";
    ELECTRICAL_SPEED = "electrical-angular-speed", Error,
        "2π·f turns with the field of a two-pole motor; torque and shaft power need the poles first.",
        "given P = 15 kW\nwork T = P / (2*pi*(50 Hz)) in N·m", "given P = 15 kW\nwork T = P / (50 Hz / (4 pole)) in N·m";
    PI_WITH_TURN = "pi-with-turn", Error,
        "Beside mass it cannot be told whether a written π belongs to the turn of a speed.",
        "given F = 100 N\ngiven D = 0.2 m\ngiven n = 100 r/min\nwork P = F * pi * D * n in W", "given F = 100 N\ngiven D = 0.2 m\ngiven n = 100 r/min\nwork v = pi * D * n in m/s\nwork P = F * v in W";
    CONSTANT_WITH_CONVERSION = "constant-with-conversion", Error,
        "A number such as 9550 or 120 already contains a conversion of units, and units are converted here.",
        "given P = 15 kW\ngiven n = 1450 r/min\nwork T = 9550 * P / n in N·m", "given P = 15 kW\ngiven n = 1450 r/min\nwork T = P / n in N·m";
    FLYWHEEL_EFFECT = "flywheel-effect", Error,
        "GD² is four times the moment of inertia J.",
        "given GD2 = 8 kgf·m²(GD2)\nwork t = GD2 * (1450 r/min) / (40 N·m) in s", "given GD2 = 8 kgf·m²(GD2)\nwork t = (GD2 in kg·m²) * (1450 r/min) / (40 N·m) in s";
    ANGLE_WITHOUT_UNIT = "angle-without-unit", Warning,
        "A number without a unit is taken as an angle in radians.",
        "work x = sin(30)", "work x = sin(30 deg)";
    POWER_FACTOR_UNDECLARED = "power-factor-undeclared", Warning,
        "A plain number carries kVA to kW; declared as a power factor it is beyond doubt.",
        "given S = 37 kVA\nwork P = S * 0.85 in kW", "given S = 37 kVA\ngiven pf = 0.85 : power factor\nwork P = S * pf in kW";
    EFFICIENCY_WRONG_WAY = "efficiency-wrong-way", Warning,
        "An efficiency is multiplied where it must be divided, or the other way round.",
        "given P_sh = 15 kW : shaft power\ngiven eta = 92 % : motor efficiency\nwork P_in = P_sh * eta : input power", "given P_sh = 15 kW : shaft power\ngiven eta = 92 % : motor efficiency\nwork P_in = P_sh / eta : input power";
    ENDS_DIFFER = "ends-differ", Warning,
        "Electrical input is taken where shaft power is meant, or the other way round.",
        "given P_in = 16 kW : input power\nwork P_sh = 0.9 * P_in : shaft power", "given P_in = 16 kW : input power\ngiven eta = 90 % : motor efficiency\nwork P_sh = eta * P_in : shaft power";
    LINE_AND_PHASE = "line-and-phase", Warning,
        "A line value and a phase value are added or compared.",
        "given V_l = 400 V : line voltage\ngiven V_p = 230 V : phase voltage\nwork d = V_l - V_p", "given V_l = 400 V : line voltage\ngiven V_p = 230 V : phase voltage\nwork d = V_l - (sqrt(3) * V_p in V)";
    ROOT_THREE_MISSING = "root-three-missing", Warning,
        "Three-phase power from line values takes √3, from phase values 3; so does the impedance of a phase, and a loss is three times that of one phase.",
        "given V = 400 V : line voltage\ngiven I = 30 A : line current\nwork S = V * I : apparent power", "given V = 400 V : line voltage\ngiven I = 30 A : line current\nwork S = sqrt(3) * V * I : apparent power";
    POWER_FACTOR_MISSING = "power-factor-missing", Warning,
        "A current comes from an active power without a power factor.",
        "given P = 16 kW : input power\ngiven V = 400 V : line voltage\nwork I = P / (sqrt(3) * V) in A", "given P = 16 kW : input power\ngiven V = 400 V : line voltage\ngiven pf = 0.85 : power factor\nwork I = P / (sqrt(3) * V * pf) in A";
    SLIP_BASE = "slip-base", Warning,
        "Slip is what the rotor falls behind the field, as a part of the synchronous speed and not of the rotor's.",
        "given n_s = 1500 r/min : synchronous speed\ngiven n = 1450 r/min : shaft speed\nwork s = (n_s - n) / n : slip", "given n_s = 1500 r/min : synchronous speed\ngiven n = 1450 r/min : shaft speed\nwork s = (n_s - n) / n_s : slip";
    OTHER_ROLE = "other-role", Warning,
        "A quantity of another role stands where the formula or the kind of the line asks for one: a line voltage for a phase voltage, a shaft speed for the synchronous speed, one ratio for another.",
        "given n_s = 1500 r/min : synchronous speed\ngiven n = 1450 r/min : measured speed\nwork s = slip(n, n_s)", "given n_s = 1500 r/min : synchronous speed\ngiven n = 1450 r/min : measured speed\nwork s = slip(n_s, n)";
    NO_VALUE_BETWEEN = "no-value-between", Error,
        "A published table has steps; its standard gives no values between two rows.",
        "work I = interpolated(I for nec_430_250 at P = 45 hp where V = 460 V)", "work I = next_up(nec_430_250.I for nec_430_250 at P = 45 hp where V = 460 V)";
    TOLERANCE_PLACE = "tolerance-place", Error,
        "A tolerance belongs to a typed number of a line of its own, not to a name, a definition or a curve.",
        "given n = 1760 r/min\nwork x = n ± 8 r/min", "given n = 1760 r/min ± 8 r/min\nwork x = n";
    TOLERANCE_UNIT = "tolerance-unit", Error,
        "What a value may be off is given in its own unit, in per cent of it, or in per cent of something of its kind.",
        "given n = 1760 r/min ± 8 Hz", "given n = 1760 r/min ± 8 r/min";
    TOLERANCE_SIZE = "tolerance-size", Error,
        "A tolerance is not negative, and limits stand on both sides of the value, the lower one first.",
        "given n = 1760 r/min ± -8 r/min", "given n = 1760 r/min ± 8 r/min";
    TOLERANCE_OF_PERCENT = "tolerance-of-per-cent", Warning,
        "Per cent of a value in per cent: whether a part of the value or points are meant cannot be seen.",
        "given eta = 92 % ± 2 %", "given eta = 92 % limits 90 % … 94 %";
    TOLERANCE_SCHEDULE = "tolerance-schedule", Error,
        "A published schedule of tolerances is not known, has nothing for this kind, or needs more to be told.",
        "given T = 90 N·m ± iec_60034 : breakdown torque", "given T = 90 N·m ± iec_60034_1 : breakdown torque";
    PHASOR_WHERE_REAL = "phasor-where-real", Error,
        "A phasor stands where only a real value has a meaning.",
        "given Z = 3 Ω + j*4 Ω : impedance\nwork R = Z in Ω : resistance", "given Z = 3 Ω + j*4 Ω : impedance\nwork R = re(Z) in Ω : resistance";
    PHASOR_COMPARED = "phasor-compared", Error,
        "Phasors are not larger or smaller; their magnitudes, angles and parts are.",
        "given Z = 3 Ω + j*4 Ω : impedance\ncheck Z < 6 Ω", "given Z = 3 Ω + j*4 Ω : impedance\ncheck abs(Z) < 6 Ω";
    PHASOR_POWER = "phasor-power", Error,
        "A phasor is raised to whole powers only: a root of it has several values.",
        "given Z = 3 Ω + j*4 Ω : impedance\nwork x = sqrt(Z)", "given Z = 3 Ω + j*4 Ω : impedance\nwork x = sqrt(abs(Z)) ∠ angle(Z) / 2";
    CONJUGATE_MISSING = "conjugate-missing", Warning,
        "Two phasors are multiplied to a power, and none of them is the conjugate.",
        "given V = 230 V ∠ 0 deg\ngiven I = 10 A ∠ -30 deg\nwork S = V * I", "given V = 230 V ∠ 0 deg\ngiven I = 10 A ∠ -30 deg\nwork S = V * conj(I)";
    UNIT_OF_UNKNOWN = "unit-of-unknown", Error,
        "What the unknown of an equation is measured in is not said.",
        "seek x such that sqrt(x) + x = 6", "seek x in 1 such that sqrt(x) + x = 6 between 0 and 10";
    UNKNOWN_NOT_IN_EQUATION = "unknown-not-in-equation", Error,
        "The unknown does not occur in its equation.",
        "given a = 2 m\nseek x in m such that a = 3 m", "given a = 2 m\nseek x in m such that x + a = 3 m";
}
