//! What standards fix by a table or a formula: efficiency classes, derating, temperature rise, starts, protection, power factor
//! correction.
//!
//! Always: a value of a table is looked up in the table itself, so its edition and basis ride along; beyond a table the
//! function refuses, with the reason. Parameters are named so that no column has the same name.
//! Not known here: local codes. What these give is to be checked by those who answer for it.

use super::entry::{PRACTICE, TEXTBOOK, formula, of, one, refuse_efficiency, refuse_poles, refuse_power_factor, text};
use super::{Function, Takes};

const CLASSES: &str = "IEC 60034-30-1:2014; Regulation (EU) 2019/1781 Annex I, by UK SI 2021/745 Tables 27 and 28";
const PART_LOAD: &str =
    "losses as a constant part and a part with the square of the load; IEC 60034-31, two-point formula (from memory)";
const PREMIUM: &str = "10 CFR 431.25; NEMA MG 1 Table 12-12";
const CORRECTION: &str = "power triangle; standard relation";
const NEC: &str = "NFPA 70 National Electrical Code 2023, article 430; check the value, the local code governs";

pub(super) static STANDARDS: &[Function] = &[
    // ---- efficiency --------------------------------------------------------------------------------------------------------
    formula(
        "cubic",
        &[
            one("x", Takes::Plain),
            one("a_3", Takes::Plain),
            one("a_2", Takes::Plain),
            one("a_1", Takes::Plain),
            one("a_0", Takes::Plain),
        ],
        "number",
        "((a_3 * x + a_2) * x + a_1) * x + a_0",
        "A polynomial of the third degree, the highest coefficient first",
        ("cubic(2, 1, 0, 3, 4)", "18"),
        "definition",
    ),
    formula(
        "efficiency_limit",
        &[one("ie", Takes::Text), of("P_r", "rated power"), of("poles", "poles")],
        "motor efficiency",
        concat!(
            refuse_poles!("poles"),
            "refuse(\"the formula of the classes holds from 0.12 to 0.55 kW and from 0.75 to 1000 kW\") \
            when P_r < 0.12 kW or P_r > 1000 kW or 0.55 kW < P_r < 0.75 kW, \
         next_up(eta for iec_60034_30_1 at P_to = P_r where class = ie and p = poles) when P_r > 200 kW, \
         otherwise round(cubic(log10(P_r / (1 kW)), \
            only(a for iec_60034_30_1_coefficients where class = ie and p = poles and P_from <= P_r and P_to >= P_r), \
            only(b for iec_60034_30_1_coefficients where class = ie and p = poles and P_from <= P_r and P_to >= P_r), \
            only(c for iec_60034_30_1_coefficients where class = ie and p = poles and P_from <= P_r and P_to >= P_r), \
            only(d for iec_60034_30_1_coefficients where class = ie and p = poles and P_from <= P_r and P_to >= P_r)) \
            * 1 %, 0.1 %)"
        ),
        "Nominal efficiency limit of a class (\"IE1\" to \"IE4\") at 50 Hz, by the coefficients of the standard; above 200 kW by its table",
        ("efficiency_limit(\"IE3\", 11 kW, 4 pole)", "91.4 %"),
        CLASSES,
    ),
    formula(
        "premium_efficiency",
        &[
            of("P_r", "rated power"),
            of("poles", "poles"),
            one("built", Takes::Text),
        ],
        "motor efficiency",
        concat!(
            refuse_poles!("poles"),
            "otherwise nearest(eta for nema_mg1_12_12 at P = P_r where p = poles and enclosure = built)"
        ),
        "Premium nominal efficiency at 60 Hz, \"open\" or \"enclosed\"; a power at or above the midpoint of two ratings counts as the larger",
        ("premium_efficiency(50 hp, 4 pole, \"enclosed\")", "94.5 %"),
        PREMIUM,
    ),
    formula(
        "energy_efficient_limit",
        &[
            of("P_r", "rated power"),
            of("poles", "poles"),
            one("built", Takes::Text),
        ],
        "motor efficiency",
        concat!(
            refuse_poles!("poles"),
            "otherwise nearest(eta for nema_mg1_12_11 at P = P_r where p = poles and enclosure = built)"
        ),
        "Energy efficient (1992 Act) nominal efficiency at 60 Hz, \"open\" or \"enclosed\"; midpoints count as the larger rating",
        ("energy_efficient_limit(50 hp, 4 pole, \"enclosed\")", "93 %"),
        "42 U.S.C. 6313(b)(1); NEMA MG 1 Table 12-11",
    ),
    formula(
        "minimum_efficiency",
        &[of("eta_n", "motor efficiency")],
        "motor efficiency",
        "only(eta_min for nema_mg1_12_10 where eta = eta_n)",
        "The minimum that belongs to a nominal efficiency on the plate",
        ("minimum_efficiency(94.5 %)", "93.6 %"),
        "NEMA MG 1 Table 12-10",
    ),
    formula(
        "part_load_efficiency",
        &[
            of("x", "load"),
            of("eta_100", "motor efficiency"),
            of("eta_75", "motor efficiency"),
        ],
        "motor efficiency",
        concat!(
            refuse_efficiency!("eta_100"),
            refuse_efficiency!("eta_75"),
            "refuse(\"without load there is no efficiency\") when x <= 0 %, \
         refuse(\"losses that are partly constant and partly grow with the load do not go through these two efficiencies\") \
            when part_load_constant(eta_100, eta_75) < 0 or part_load_constant(eta_100, eta_75) > 1 / eta_100 - 1, \
         eta_100 when x = 100 %, eta_75 when x = 75 %, \
         otherwise assuming(x / (x + part_load_constant(eta_100, eta_75) + (1 / eta_100 - 1 - part_load_constant(eta_100, eta_75)) * x^2), \
            \"assumed: interpolated from full and three quarters load\")"
        ),
        "Efficiency at a load from those at full and three quarters load, marked assumed where it is neither; where these two are not from the plate, mark them assumed",
        ("part_load_efficiency(50 %, 90 %, 90.5 %)", "89.99 %"),
        PART_LOAD,
    ),
    formula(
        "part_load_constant",
        &[of("eta_100", "motor efficiency"), of("eta_75", "motor efficiency")],
        "ratio",
        "(0.75 * (1 / eta_75 - 1) - 0.5625 * (1 / eta_100 - 1)) / 0.4375",
        "The part of the losses that does not change with load, over the rated output",
        ("part_load_constant(90 %, 90.5 %)", "0.0371"),
        PART_LOAD,
    ),
    formula(
        "part_load_power_factor",
        &[
            of("x", "load"),
            of("eta_x", "motor efficiency"),
            of("eta_100", "motor efficiency"),
            of("pf_100", "power factor"),
            of("eta_75", "motor efficiency"),
            of("pf_75", "power factor"),
        ],
        "power factor",
        concat!(
            refuse_power_factor!("pf_100"),
            refuse_power_factor!("pf_75"),
            "refuse(\"without load this says nothing of the power factor\") when x <= 0 %, \
         pf_100 when x = 100 %, pf_75 when x = 75 %, \
         otherwise assuming(cos(atan(reactive_at_load(x, tan(acos(pf_100)) / eta_100, 0.75 * tan(acos(pf_75)) / eta_75) * eta_x / x)), \
            \"assumed: interpolated from full and three quarters load\")"
        ),
        "Power factor at a load, marked assumed where it is neither full nor three quarters: reactive power as a constant part and a part with the square of the load, through full and three quarters load",
        ("part_load_power_factor(50 %, 90 %, 90 %, 0.85, 90.5 %, 0.8)", "0.6957"),
        PRACTICE,
    ),
    formula(
        "reactive_at_load",
        &[of("x", "load"), one("q_100", Takes::Plain), one("q_75", Takes::Plain)],
        "ratio",
        "q_100 - (q_100 - q_75) / 0.4375 * (1 - x^2)",
        "Reactive power at a load over the rated output, from its values at full and three quarters load",
        ("reactive_at_load(75 %, 0.7, 0.6)", "0.6"),
        PRACTICE,
    ),
    // ---- derating ----------------------------------------------------------------------------------------------------------
    formula(
        "site_factor",
        &[of("h_site", "altitude"), of("t_site", "temperature")],
        "derating factor",
        "refuse(\"the table reaches up to 4000 m and 60 °C\") when h_site > 4000 m or t_site > 60 °C, \
         otherwise largest(k for ambient_altitude where h >= h_site and t >= t_site)",
        "Rating factor for altitude and ambient temperature, of the next higher listed pair; 1 to 200 hp. Above 1 it is no licence to overload",
        ("site_factor(2000 m, 50 °C)", "0.86"),
        "Siemens Application Manual for NEMA Motors, 05/08, Table 1",
    ),
    formula(
        "altitude_factor",
        &[of("h_site", "altitude")],
        "derating factor",
        "refuse(\"the chart reaches up to 11500 ft\") when h_site > 11500 ft, \
         1 when h_site <= 3300 ft, \
         otherwise largest(k for altitude_bands where h_to >= h_site)",
        "Rating factor for the altitude in bands, ambient up to 40 °C",
        ("altitude_factor(6000 ft)", "0.94"),
        "chart of a drives maker, equal to the 40 °C column of the table ambient_altitude",
    ),
    formula(
        "ambient_for_full_output",
        &[one("thermal_class", Takes::Text), of("h_site", "altitude")],
        "temperature",
        "40 °C when h_site <= 1000 m, \
         otherwise interpolated(t for iec_60034_1_8 at h = h_site where class = thermal_class)",
        "Largest ambient temperature that keeps the rated output at an altitude, for thermal class \"A\", \"B\", \"F\" or \"H\"",
        ("ambient_for_full_output(\"F\", 2000 m)", "30 °C"),
        "IEC 60034-1 clause 8",
    ),
    formula(
        "unbalance_factor",
        &[of("u_V", "voltage unbalance")],
        "derating factor",
        "refuse(\"the unbalance is below zero\") when u_V < 0 %, \
         refuse(\"above 5 % unbalance a motor should not run\") when u_V > 5 %, \
         1 when u_V <= 1 %, \
         otherwise interpolated(k for nema_mg1_14_1 at u = u_V where reading = 1)",
        "Rating factor for voltage unbalance, on the curve of the standard",
        ("unbalance_factor(2.5 %)", "0.93"),
        "NEMA MG 1 Figure 14-1",
    ),
    formula(
        "standard_service_factor",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "service factor",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(sf for nema_mg1_12_51 where P = P_r and p = poles)"
        ),
        "Service factor of an open motor at 60 Hz, where the plate says nothing else; totally enclosed motors have 1.0",
        ("standard_service_factor(50 hp, 4 pole)", "1.15"),
        "NEMA MG 1 12.51",
    ),
    formula(
        "permitted_output",
        &[
            of("P_r", "rated power"),
            of("sf", "service factor"),
            of("k_site", "derating factor"),
        ],
        "shaft power",
        "P_r * sf * k_site",
        "Largest output with service factor and site; at service-factor load a motor runs hotter and lives shorter",
        ("permitted_output(50 hp, 1.0, 0.94)", "47 hp"),
        "NEMA MG 1 14.37: rated output times service factor, at rated voltage and frequency",
    ),
    formula(
        "rise_limit",
        &[one("insulation", Takes::Text), one("motor_sort", Takes::Text)],
        "temperature rise",
        "only(rise for nema_mg1_12_43 where class = insulation and motor = motor_sort)",
        "Limit of temperature rise of an insulation class by NEMA; \"service factor 1.0\", \"service factor 1.15\" or \"nonventilated\"",
        ("rise_limit(\"F\", \"service factor 1.0\")", "105 K"),
        "NEMA MG 1 12.43",
    ),
    formula(
        "rise_limit_iec",
        &[one("insulation", Takes::Text)],
        "temperature rise",
        "only(rise for iec_60034_1_rise where class = insulation)",
        "Limit of temperature rise of an air-cooled winding of an insulation class, by resistance",
        ("rise_limit_iec(\"B\")", "80 K"),
        "IEC 60034-1",
    ),
    formula(
        "rise_limit_warm",
        &[of("rise_r", "temperature rise"), of("t_site", "temperature")],
        "temperature rise",
        "rise_r when t_site <= 40 °C, otherwise rise_r - (t_site - 40 °C)",
        "Limit of temperature rise where the ambient is warmer than 40 °C: less by what is above",
        ("rise_limit_warm(80 K, 50 °C)", "70 K"),
        "NEMA MG 1 12.43 (from memory)",
    ),
    formula(
        "insulation_life_factor",
        &[of("hotter", "temperature difference")],
        "ratio",
        "0.5 ^ (hotter / (10 K))",
        "Life of the insulation over its usual life where the winding is hotter than its class by this much: half for each 10 K",
        ("insulation_life_factor(20 K)", "0.25"),
        "rule of the insulation classes, table insulation_life",
    ),
    // ---- starting ----------------------------------------------------------------------------------------------------------
    formula(
        "starts_per_hour",
        &[
            of("P_r", "rated power"),
            of("poles", "poles"),
            of("J_load", "load inertia"),
        ],
        "starts per hour",
        concat!(
            refuse_poles!("poles"),
            "otherwise smallest(only(A for nema_mg10_2_3 where P = P_r and p = poles), only(B for nema_mg10_2_3 where P = P_r and p = poles) / J_load)"
        ),
        "Most starts in an hour of designs A and B at 60 Hz, across the line; the least rest between starts holds too (rest_between_starts)",
        ("starts_per_hour(25 hp, 4 pole, 50 lb·ft²)", "2.44 1/h"),
        "NEMA MG 10 Table 2-3",
    ),
    formula(
        "rest_between_starts",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "time",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(rest for nema_mg10_2_3 where P = P_r and p = poles)"
        ),
        "Least rest between two starts of designs A and B at 60 Hz",
        ("rest_between_starts(1 hp, 4 pole)", "38 s"),
        "NEMA MG 10 Table 2-3",
    ),
    formula(
        "load_inertia_listed",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "load inertia",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(J for nema_mg1_12_54 where P = P_r and p = poles)"
        ),
        "Largest load inertia of designs A and B at 60 Hz as printed; load torque with the square of speed, two starts from cold",
        ("load_inertia_listed(50 hp, 4 pole)", "232 lb·ft²"),
        "NEMA MG 1 12.54",
    ),
    text(
        "code_letter",
        &[of("k_lr", "locked-rotor kVA per hp")],
        "next_down(letter for nema_mg1_10_37_2 at k_from = k_lr)",
        "Code letter of a locked-rotor kVA per hp; the lower end of a range belongs to its letter",
        ("code_letter(6 kVA/hp) = \"G\"", "yes"),
        "NEMA MG 1 10.37.2",
    ),
    formula(
        "locked_rotor_apparent_power",
        &[of("k_lr", "locked-rotor kVA per hp"), of("P_r", "rated power")],
        "locked-rotor apparent power",
        "k_lr * P_r",
        "Locked-rotor kVA from the kVA per hp of a code letter and the rating",
        ("locked_rotor_apparent_power(6 kVA/hp, 50 hp)", "300 kVA"),
        "NEMA MG 1, definition of the code letters",
    ),
    formula(
        "locked_rotor_current_limit",
        &[of("P_r", "rated power"), of("V_r", "rated voltage")],
        "locked-rotor current",
        "only(I_lr for nema_mg1_12_35_1 where P = P_r) * (230 V) / V_r",
        "Largest locked-rotor current of designs B, C and D at 60 Hz; design A has no limit",
        ("locked_rotor_current_limit(100 hp, 460 V)", "725 A"),
        "NEMA MG 1 12.35.1",
    ),
    formula(
        "locked_rotor_torque_limit",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "torque ratio",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(T_lr for nema_mg1_12_38_1 where P = P_r and p = poles)"
        ),
        "Least locked-rotor torque over full-load torque, designs A and B, 60 Hz",
        ("locked_rotor_torque_limit(50 hp, 4 pole)", "140 %"),
        "NEMA MG 1 12.38.1",
    ),
    formula(
        "breakdown_torque_limit",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "torque ratio",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(T_b for nema_mg1_12_39_1 where P = P_r and p = poles)"
        ),
        "Least breakdown torque over full-load torque, designs A and B, 60 Hz",
        ("breakdown_torque_limit(50 hp, 4 pole)", "200 %"),
        "NEMA MG 1 12.39.1",
    ),
    formula(
        "pull_up_torque_limit",
        &[of("P_r", "rated power"), of("poles", "poles")],
        "torque ratio",
        concat!(
            refuse_poles!("poles"),
            "otherwise only(T_pu for nema_mg1_12_40_1 where P = P_r and p = poles)"
        ),
        "Least pull-up torque over full-load torque, designs A and B, 60 Hz",
        ("pull_up_torque_limit(50 hp, 4 pole)", "100 %"),
        "NEMA MG 1 12.40.1",
    ),
    // ---- currents and protection -------------------------------------------------------------------------------------------
    formula(
        "full_load_current",
        &[of("P_r", "rated power"), of("V_r", "rated voltage")],
        "rated current",
        "only(I for nec_430_250 where P = P_r and V = V_r)",
        "Full-load current of a three-phase motor by table, for sizing the circuit; overload protection goes by the plate. Check it: the local code governs",
        ("full_load_current(50 hp, 460 V)", "65 A"),
        "NFPA 70 National Electrical Code 2023, Table 430.250",
    ),
    formula(
        "conductor_current",
        &[of("I_fl", "rated current")],
        "current",
        "only(limit for nec_430 where id = \"LIM-006\") * I_fl",
        "Least current the conductors of one motor have to carry, continuous duty. Check it: the local code governs",
        ("conductor_current(65 A)", "81.25 A"),
        NEC,
    ),
    formula(
        "protection_limit",
        &[
            of("I_fl", "rated current"),
            one("motor_sort", Takes::Text),
            one("protected_by", Takes::Text),
        ],
        "current",
        "only(limit for nec_430_52 where motor = motor_sort and device = protected_by) * I_fl",
        "Largest rating of a branch device, before the next standard size: \"polyphase\" and \"inverse-time breaker\", as in the table nec_430_52. Set by authorised people; the local code governs",
        (
            "protection_limit(65 A, \"polyphase\", \"inverse-time breaker\")",
            "162.5 A",
        ),
        NEC,
    ),
    formula(
        "device_rating_above",
        &[of("I_limit", "current")],
        "current",
        "next_up(I for nec_240_6 at I = I_limit where fits = \"fuses and breakers\")",
        "The standard rating of a fuse or inverse-time breaker at or above a current",
        ("device_rating_above(162.5 A)", "175 A"),
        "NFPA 70 National Electrical Code 2023, 240.6(A)",
    ),
    formula(
        "device_rating_below",
        &[of("I_limit", "current")],
        "current",
        "next_down(I for nec_240_6 at I = I_limit where fits = \"fuses and breakers\")",
        "The standard rating of a fuse or inverse-time breaker not above a current; a feeder is not rounded up",
        ("device_rating_below(162.5 A)", "150 A"),
        "NFPA 70 National Electrical Code 2023, 240.6(A), 430.62(A)",
    ),
    formula(
        "overload_setting_limit",
        &[of("I_plate", "rated current"), of("sf", "service factor")],
        "current",
        "only(limit for nec_430 where id = \"LIM-032\") * I_plate when sf >= 1.15, \
         otherwise only(limit for nec_430 where id = \"LIM-034\") * I_plate",
        "Largest trip setting of a separate overload device, by the plate current. Set by authorised people; the local code governs",
        ("overload_setting_limit(60 A, 1.15)", "75 A"),
        NEC,
    ),
    // ---- power factor correction -------------------------------------------------------------------------------------------
    formula(
        "capacitor_power",
        &[
            of("P_in", "input power"),
            of("pf_1", "power factor"),
            of("pf_2", "power factor"),
        ],
        "capacitor power",
        concat!(
            refuse_power_factor!("pf_1"),
            refuse_power_factor!("pf_2"),
            "refuse(\"the power factor is as good already\") when pf_1 >= pf_2, otherwise P_in * (tan(acos(pf_1)) - tan(acos(pf_2)))"
        ),
        "Capacitor kvar that bring a load from one power factor to another; at a motor's terminals never more than capacitor_limit",
        ("capacitor_power(100 kW, 0.8, 0.95)", "42.13 kvar"),
        CORRECTION,
    ),
    formula(
        "capacitor_limit",
        &[of("V_l", "line voltage"), of("I_0", "no-load current")],
        "capacitor power",
        "0.9 * sqrt(3) * V_l * I_0 * (1 var/VA)",
        "Most capacitor kvar switched together with a motor: nine tenths of what it takes without load, else it may excite itself and overvolt. Never over-correct; maker's data govern",
        ("capacitor_limit(400 V, 10 A)", "6.235 kvar"),
        PRACTICE,
    ),
    formula(
        "corrected_power_factor",
        &[
            of("P_in", "input power"),
            of("pf_1", "power factor"),
            of("Q_c", "reactive power"),
        ],
        "power factor",
        concat!(
            refuse_power_factor!("pf_1"),
            "refuse(\"the capacitors give more reactive power than the load takes: it would be over-corrected, and the current would lead\") \
            when Q_c / P_in > tan(acos(pf_1)) + 1e-9, \
         otherwise cos(atan(tan(acos(pf_1)) - Q_c / P_in))"
        ),
        "Power factor of a load with capacitors beside it; refused where they over-correct",
        ("corrected_power_factor(100 kW, 0.8, 42.13 kvar)", "0.95"),
        CORRECTION,
    ),
    formula(
        "corrected_current",
        &[
            of("I_1", "line current"),
            of("pf_1", "power factor"),
            of("pf_2", "power factor"),
        ],
        "line current",
        concat!(
            refuse_power_factor!("pf_1"),
            refuse_power_factor!("pf_2"),
            "otherwise I_1 * pf_1 / pf_2"
        ),
        "Line current before the capacitors of a load brought from one power factor to another; the motor's own current stays",
        ("corrected_current(100 A, 0.8, 0.95)", "84.21 A"),
        TEXTBOOK,
    ),
];
