//! Fault codes of working a checked formula with numbers.

codes! {
    DIVISION_BY_ZERO = "division-by-zero", Error,
        "A divisor is zero for this item.",
        "1 / 0", "1 / 2";
    TOO_LARGE = "too-large", Error,
        "A number on the way becomes larger than 7.9·10²⁸, the largest that can be worked with all its digits.",
        "10 ^ 40", "10 ^ 4";
    TOO_SMALL = "too-small", Error,
        "A product or quotient of numbers that are not zero becomes too small to be told from zero.",
        "1e-20 * 1e-20", "1e-2 * 1e-2";
    NOT_REAL = "no-real-result", Error,
        "There is no real result: the root of a negative number, the logarithm of zero, the arc cosine of 2.",
        "sqrt(0 - 1)", "sqrt(1)";
    NOT_A_NUMBER = "not-a-number", Error,
        "A text, or a yes or no, stands where a number is needed.",
        "2 * \"star\"", "2 * 3";
    NO_SUCH_ITEM = "no-such-item", Error,
        "The sheet or list has no case, key or row of this name or number.",
        "motors(\"P-999\").P_r", "motors(\"P-101\").P_r";
    KEY_NOT_UNIQUE = "key-not-unique", Error,
        "A row is named by a key that stands in several rows, so it is not clear which one is meant.",
        "motors(\"P-101\").P_r with two rows \"P-101\"", "motors(row 3).P_r";
    NOT_ONE_ROW = "not-one-row", Error,
        "`only` takes the single row that fits; here none fits, or several do.",
        "only(I for motors where P > 1 kW)", "first(I for motors where P > 1 kW)";
    OUTSIDE_LIST = "outside-list", Error,
        "A place is sought beyond the first or last row of a list or table, where nothing is known.",
        "interpolated(k for nema_mg1_14_1 at u = 7 % where reading = 1)", "interpolated(k for nema_mg1_14_1 at u = 2 % where reading = 1)";
    FROM_MEMORY = "from-memory", Warning,
        "A value is from a row of a published table that was not read in a source; it has to be checked against the standard.",
        "only(eta_min for nema_mg1_12_10 where eta = 94.5 %)", "accept from-memory \"checked against a licensed copy\"";
    FIT_UNASKED = "fit-unasked", Warning,
        "A circuit fitted to a plate is used, and nowhere in the workbook is it asked how near it comes to the plate; a circuit of constant resistances cannot have every value of a deep-bar rotor.",
        "work R_2 = fitted_rotor_resistance(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)", "work off = fit_deviation_running(15 kW, 1470 r/min, 1500 r/min, 400 V, 92.1 %, 0.84, 200 W, 290 N·m, 205 A, 220 N·m)";
    TABLE_HIDDEN = "table-hidden", Warning,
        "A sheet or list is named like a published table, which can then not be reached.",
        "list nec_430_250", "list own_currents";
    BEYOND_KIND = "beyond-kind", Warning,
        "A given lies outside what its kind can be by nature: an efficiency or a power factor above 1, more hours than a year has, poles that are no pairs. Mostly a per cent sign is missing, or two values are swapped.",
        "given eta = 120 % : gear efficiency", "given eta = 96 % : gear efficiency";
    HARDLY_MEANT = "hardly-meant", Warning,
        "A given can be so by nature, and hardly anybody has it: more poles than motors are built with, or a frequency that is a usual speed.",
        "given f = 1775 Hz : frequency", "given f = 60 Hz : frequency";
    UNIT_NOT_AS_CALLED = "unit-not-as-called", Warning,
        "A given stands in another unit than what it is called has, or in none where a formula needs one: a power factor in kW, a line voltage of 400.",
        "given pf = 0.86 kW \"Power factor\"", "given pf = 0.86 \"Power factor\"";
    SHARE_UNLIKELY = "share-unlikely", Warning,
        "A sign of per cent is missing or too many: 90 is nine thousand per cent, and an efficiency of 0.92 % hardly exists.",
        "given load = 88 %\ncheck load <= 90", "given load = 88 %\ncheck load <= 90 %";
    NO_LIMITS = "no-limits", Error,
        "The equation cannot be rearranged for the unknown, and no limits are given to search between.",
        "seek x such that x + ln(x) = 3", "seek x such that x + ln(x) = 3 between 1 and 5";
    NO_SOLUTION = "no-solution", Error,
        "No value between the limits makes the equation hold.",
        "seek x such that x^2 = 9 between 4 and 5", "seek x such that x^2 = 9 between 2 and 5";
    SEVERAL_SOLUTIONS = "several-solutions", Error,
        "The equation holds for more than one value between the limits; which one is meant cannot be guessed.",
        "seek x such that x^2 = 9 between -5 and 5", "seek x such that x^2 = 9 between 0 and 5";
    OUTSIDE_CURVE = "outside-curve", Error,
        "A curve through points is asked beyond its first or last point, where nothing is known.",
        "T_L(2000 r/min) with points up to 1450 r/min", "T_L(1400 r/min)";
    CURVE_POINTS = "curve-points", Error,
        "The points of a curve do not make a curve: fewer than two, or two with the same argument.",
        "curve c(x) through (1, 2), (1, 3)", "curve c(x) through (1, 2), (2, 3)";
    STALLS = "stalls", Error,
        "The load asks for more torque than the motor gives: the drive does not start, or stops on the way; the message says at which speed.",
        "run_up_time(20 N·m, 30 N·m, 1 kg·m², 0 r/min, 900 r/min)", "run_up_time(40 N·m, 30 N·m, 1 kg·m², 0 r/min, 900 r/min)";
    NO_SUCH_MACHINE = "no-such-machine", Error,
        "The values that go in belong to no motor or drive: a breakdown torque below the rated one, a rated speed above the synchronous one, no inertia.",
        "run_up_time(40 N·m, 30 N·m, 0 kg·m², 0 r/min, 900 r/min)", "run_up_time(40 N·m, 30 N·m, 1 kg·m², 0 r/min, 900 r/min)";
    NO_INTEGRAL = "no-integral", Error,
        "The integral does not settle to a value: there is a pole or a jump between its ends.",
        "integral(1 / x for x from -1 to 1)", "integral(1 / x for x from 1 to 2)";
    LOOP = "loop", Error,
        "Names lead back to themselves: each needs the other to be worked first.",
        "work a = b and work b = a", "given b = 2 and work a = b";
    CELL_UNIT = "cell-unit", Error,
        "A number in a row has no unit, and its column has one.",
        "15 in a column in kW", "15 kW";
    CELL_MISFIT = "cell-misfit", Error,
        "A cell of a row holds another sort of thing than its column: a text for a number, or a word that is not in the choice.",
        "\"big\" in a column in kW", "15 kW";
    CASES_STEPS = "cases-steps", Error,
        "Cases are stepped through from a first to a last value by a step that leads there.",
        "cases f from 20 Hz to 60 Hz by -10 Hz", "cases f from 20 Hz to 60 Hz by 10 Hz";
    GROUPS = "groups", Error,
        "A list of groups has one row for each value in a column of the rows of another list.",
        "list panels = groups of motors by P", "list panels = groups of motors by panel";
    NOTHING_TO_ACCEPT = "nothing-to-accept", Note,
        "An `accept` line stands under a line that has no warning of that code.",
        "accept efficiency-direction \"as in the old sheet\"", "the line taken out";
    NOT_IN_TABLE = "not-in-table", Error,
        "A published table or series has no entry for this value.",
        "next_rating(5000 kW, kw_ratings)", "next_rating(50 kW, kw_ratings)";
}
