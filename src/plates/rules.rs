//! The rules of plausibility, in one list.
//!
//! For: what a finding adds to its numbers: the likely mistake, what to look at on site, and what the rule rests on. The text and the
//! example of a rule are those of its code, so `explain RULE` shows all of it.
//! Always: a limit without a published source says so.
//! Not known here: how a rule is applied.

use super::reads::Reads;
use crate::fault::Code;

/// A rule of plausibility.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its code: word, text and example.
    pub code: Code,
    /// What it compares.
    pub rests_on: &'static str,
    /// The likely mistake.
    pub likely: &'static str,
    /// What to look at on site.
    pub look: &'static str,
    /// Where its limits come from.
    pub source: &'static str,
}

/// For rules whose limits stand in no document.
const PRACTICE: &str = "common practice, no source";

const fn rule(
    code: Code,
    rests_on: &'static str,
    likely: &'static str,
    look: &'static str,
    source: &'static str,
) -> Rule {
    Rule {
        code,
        rests_on,
        likely,
        look,
        source,
    }
}

/// All rules.
pub static RULES: &[Rule] = &[
    rule(
        Code::PLATE_SPEED_SYNCHRONOUS,
        "plate speed, poles, frequency",
        "the nominal speed was typed in place of the one on the plate",
        "the speed on the plate; whether the plate frequency is that of the list",
        "an induction motor under load runs below 120 f/p; definition of slip",
    ),
    rule(
        Code::POLES_AGAINST_SPEED,
        "plate speed, poles, frequency",
        "poles of another motor, or the frequency taken for the whole list while this plate is of the other one",
        "poles, speed and frequency on the plate",
        "an induction motor under load runs below 120 f/p; definition of slip",
    ),
    rule(
        Code::PLATE_SLIP_UNUSUAL,
        "plate speed, poles, frequency, rating",
        "poles or frequency of another motor, a digit swapped in the speed, a speed measured at no load",
        "speed, poles and frequency on the plate",
        PRACTICE,
    ),
    rule(
        Code::PLATE_POWER_RATIO,
        "√3·V·I·η·pf of the plate and the rating",
        "amps of the other connection (1.73) or the other voltage (2), hp for kW (0.75, 1.34), amps at service factor (1.15), values of the other frequency (1.2)",
        "connection, voltage and the amps that belong to it on the plate; the unit of the rating",
        "power balance of the plate; the limits of 7 % and 15 % are common practice, no source",
    ),
    rule(
        Code::CURRENT_OFF_TABLE,
        "plate current and the full-load current of NEC Table 430.250 for the rating, scaled by the voltage where it is not listed",
        "amps of another voltage or another motor, hp for kW",
        "the amps on the plate beside its voltage",
        "NFPA 70 National Electrical Code 2023, Table 430.250 (nec_430_250); the band of 0.6 to 1.5 is common practice, no source",
    ),
    rule(
        Code::EFFICIENCY_OFF_CLASS,
        "efficiency, efficiency class, rating, poles, frequency",
        "class of a newer motor of the same type, efficiency at part load, a rewound motor",
        "class and efficiency on the plate",
        "IEC 60034-30-1:2014 (iec_60034_30_1) and NEMA MG 1 Tables 12-11 and 12-12; tolerance of IEC 60034-1 clause 12",
    ),
    rule(
        Code::VALUE_UNLIKELY,
        "efficiency or power factor and rating",
        "a slipped decimal point, per cent for a fraction, a value at part load",
        "efficiency and power factor on the plate",
        "IEC 60034-30-1:2014 (iec_60034_30_1) as a yardstick; the distance from it is common practice, no source",
    ),
    rule(
        Code::EFFICIENCY_IMPOSSIBLE,
        "efficiency or power factor",
        "a slipped decimal point",
        "efficiency and power factor on the plate",
        "definition: neither exceeds 1",
    ),
    rule(
        Code::RATING_NOT_IN_SERIES,
        "rating",
        "absorbed power typed for the rating, a slipped digit, a rating of another duty or frequency",
        "the rating on the plate",
        "IEC 60072-1 (iec_60072_1) and NEMA MG 1 10.32.4 (nema_mg1_10_32_4)",
    ),
    rule(
        Code::CODE_LETTER_OFF,
        "locked-rotor current, voltage, rating, code letter",
        "the design or insulation letter typed as code letter, locked-rotor current of the other voltage",
        "the letter after CODE on the plate, not the one after DESIGN or INS",
        "NEMA MG 1 10.37.2 (nema_mg1_10_37_2)",
    ),
    rule(
        Code::FRAME_OFF_RATING,
        "frame, rating, poles",
        "frame of another motor, poles swapped, a special or old motor",
        "frame on the plate, shaft height with a rule",
        "EN 50347 (en_50347) and NEMA MG 1 Part 13 (nema_mg1_13), both from memory; two sizes off is common practice, no source",
    ),
    rule(
        Code::VOLTAGE_OFF_FREQUENCY,
        "plate voltage and frequency",
        "values of the other frequency on a plate for two, or a frequency taken for the whole list",
        "the frequency beside that voltage on the plate; the supply",
        "usual system voltages; common practice, no source",
    ),
    rule(
        Code::TAG_TWICE,
        "tags of all rows",
        "a typing slip, or a motor listed twice",
        "the tags on the machines",
        PRACTICE,
    ),
    rule(
        Code::COUNTED_TWICE,
        "quantity and the tags that follow",
        "the quantity counts motors that have rows of their own",
        "how many motors there are",
        PRACTICE,
    ),
    rule(
        Code::OTHER_POWER_UNIT,
        "√3·V·I·η·pf of most plates, and the series the ratings belong to",
        "hp under a heading of kW, or kW under one of hp",
        "the unit of the rating on a plate or two",
        "power balance of the plates; series of IEC 60072-1 and NEMA MG 1 10.32.4",
    ),
    rule(
        Code::POWER_ABOVE_APPARENT,
        "measured power, volts and amps",
        "a slipped decimal point, a line-to-neutral voltage, a clamp around one of several conductors, current and voltage of different moments",
        "the three readings again, by a qualified person",
        "definition: active power does not exceed √3·V·I",
    ),
    rule(
        Code::POWER_ABOVE_PLATE,
        "measured input, rating, efficiency",
        "another motor measured, a slipped decimal point, real overload",
        "the reading again, and the driven machine, by a qualified person",
        PRACTICE,
    ),
    rule(
        Code::CURRENT_ABOVE_PLATE,
        "measured and plate current",
        "several conductors in the clamp, amps of the other connection, real overload",
        "the reading of each phase again, by a qualified person; the connection",
        PRACTICE,
    ),
    rule(
        Code::VOLTAGE_OFF_PLATE,
        "measured and plate voltage",
        "a reading between line and neutral, the other connection",
        "the line-to-line voltages, by a qualified person; the connection",
        "NEMA MG 1 12.44: plus or minus 10 % (voltage_frequency_limits)",
    ),
    rule(
        Code::SPEED_ABOVE_SYNCHRONOUS,
        "measured speed, poles, frequency",
        "the nominal speed typed, a drive not noted, a reading of the driven shaft behind a belt or gear",
        "the reading again at the motor shaft, by a qualified person; whether a drive feeds it",
        "an induction motor that drives runs below 120 f/p; definition of slip",
    ),
    rule(
        Code::SLIP_ABOVE_PLATE,
        "measured speed, plate speed, poles, frequency",
        "overload, low voltage, a plate speed rounded up",
        "current and voltage at that load, by a qualified person",
        "rated slip may be off by 20 % (IEC 60034-1 clause 12); the limit of 1.6 is common practice, no source",
    ),
    rule(
        Code::READINGS_AS_PLATE,
        "measured current, speed and voltage against the plate",
        "the form was filled from the plate",
        "the readings, taken at the running machine by a qualified person",
        PRACTICE,
    ),
    rule(
        Code::LOADS_DISAGREE,
        "loads by the methods that can be trusted",
        "one of the readings was taken at another load, or a plate value is wrong",
        "all readings again at one moment, by a qualified person",
        PRACTICE,
    ),
    rule(
        Code::HOURS_ABOVE_YEAR,
        "hours a year",
        "hours of several motors or years added",
        "the hour meter",
        "a year has 8760 hours, a leap year 8784",
    ),
    rule(
        Code::RATINGS_DISAGREE,
        "the rating in two units",
        "the units swapped, a slipped digit, the rating of an older motor beside that of the new one",
        "the rating and its unit on the plate",
        "kW and hp of one motor are the same power; the two series go together by a tenth or better",
    ),
    rule(
        Code::NOT_A_MOTOR,
        "the words of the row, and that it has no speed, poles or frame",
        "a list of all consumers; a motor named by the heater it serves",
        "what stands there",
        PRACTICE,
    ),
    rule(
        Code::PLATE_DIFFERS,
        "the nameplate in one cell and the column of the same quantity",
        "a row copied from another motor, a motor changed and one of the two kept",
        "the plate",
        PRACTICE,
    ),
    rule(
        Code::VALUE_NEGATIVE,
        "one value",
        "a dash before the number taken for a sign, a clamp the wrong way round",
        "the plate, or the reading again by a qualified person",
        "ratings, currents, voltages and speeds of a list are sizes",
    ),
    rule(
        Code::RATING_ABOVE_APPARENT,
        "rating, plate volts and plate amps",
        "W under a heading of kW, a point that parts decimals taken for one that parts thousands, amps of the other connection",
        "rating, voltage and current on the plate",
        "definition: active power does not exceed √3·V·I; a quarter above it is left to the table of currents",
    ),
    rule(
        Code::VALUE_OF_NO_MOTOR,
        "one speed or voltage",
        "a point that parts thousands, kV under V, the speed of a shaft behind a gear",
        "the plate, or the reading by a qualified person",
        "system voltages and a slowest speed of 60 poles are common practice, no source",
    ),
    rule(
        Code::VALUE_ZERO,
        "one value",
        "0 typed or exported where nothing was known or measured; a reading of a motor that stood still",
        "the plate, or the reading by a qualified person while the motor runs",
        "ratings and plate values of a motor are above zero, and so is what a running motor draws",
    ),
    rule(
        Code::POLES_NOT_IN_PAIRS,
        "number of poles",
        "pole pairs counted, a slipped digit",
        "poles or speed on the plate",
        "definition: a winding has poles in pairs",
    ),
    rule(
        Code::FIELDS_PAST_HEADINGS,
        "the row and the number of headings",
        "a decimal comma in a file with commas between its fields, a column without a heading",
        "the row in its source, beside the values read",
        PRACTICE,
    ),
    rule(
        Code::PLATE_WORD_UNKNOWN,
        "a letter or class of the plate",
        "J read for I, 0 or D for O, a letter of another field of the plate",
        "the letter on the plate",
        "the list it comes from stands in the doubt",
    ),
    rule(
        Code::TOTAL_DISAGREES,
        "printed total and its rows",
        "rows added since, a sum that misses text cells, another unit",
        "how the total is made",
        "sum of the rows",
    ),
];

/// The rule of this code.
pub fn of(code: Code) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.code == code)
}

/// The columns a doubt is about, the likeliest first, then the others it rests on.
static COLUMNS: &[(Code, &[Reads])] = &[
    (
        Code::PLATE_SPEED_SYNCHRONOUS,
        &[Reads::RatedSpeed, Reads::Nameplate, Reads::Poles, Reads::Frequency],
    ),
    (
        Code::POLES_AGAINST_SPEED,
        &[Reads::Poles, Reads::RatedSpeed, Reads::Nameplate, Reads::Frequency],
    ),
    (
        Code::PLATE_SLIP_UNUSUAL,
        &[Reads::RatedSpeed, Reads::Nameplate, Reads::Poles, Reads::Frequency],
    ),
    (
        Code::PLATE_POWER_RATIO,
        &[
            Reads::RatedCurrent,
            Reads::Nameplate,
            Reads::RatedPower,
            Reads::Voltage,
            Reads::Efficiency,
            Reads::PowerFactor,
        ],
    ),
    (
        Code::CURRENT_OFF_TABLE,
        &[Reads::RatedCurrent, Reads::Nameplate, Reads::RatedPower, Reads::Voltage],
    ),
    (
        Code::PAIR_UNMATCHED,
        &[Reads::RatedCurrent, Reads::Nameplate, Reads::Voltage],
    ),
    (Code::EFFICIENCY_IMPOSSIBLE, &[Reads::Efficiency, Reads::Nameplate]),
    (Code::VALUE_UNLIKELY, &[Reads::Efficiency, Reads::Nameplate]),
    (
        Code::EFFICIENCY_OFF_CLASS,
        &[Reads::Efficiency, Reads::Nameplate, Reads::RatedPower, Reads::Poles],
    ),
    (Code::RATING_NOT_IN_SERIES, &[Reads::RatedPower, Reads::Nameplate]),
    (Code::TOTAL_DISAGREES, &[Reads::RatedPower]),
    (Code::MIXED_POWER_UNITS, &[Reads::RatedPower]),
    (Code::OTHER_POWER_UNIT, &[Reads::RatedPower]),
    (Code::FREQUENCY_GUESSED, &[Reads::Frequency]),
    (
        Code::CODE_LETTER_OFF,
        &[Reads::CodeLetter, Reads::LockedRotorCurrent, Reads::RatedPower],
    ),
    (Code::FRAME_OFF_RATING, &[Reads::Frame, Reads::RatedPower, Reads::Poles]),
    (
        Code::VOLTAGE_OFF_FREQUENCY,
        &[Reads::Voltage, Reads::Supply, Reads::Frequency],
    ),
    (Code::RATINGS_DISAGREE, &[Reads::RatedPower, Reads::Nameplate]),
    (Code::RATING_ABOVE_APPARENT, &[Reads::RatedPower, Reads::Nameplate]),
    (Code::POLES_NOT_IN_PAIRS, &[Reads::Poles]),
    (Code::PLATE_NOT_ALL_READ, &[Reads::Nameplate, Reads::Model]),
    (Code::COUNTED_TWICE, &[Reads::Quantity, Reads::Tag]),
    (
        Code::POWER_ABOVE_APPARENT,
        &[Reads::MeasuredPower, Reads::MeasuredCurrent, Reads::MeasuredVoltage],
    ),
    (
        Code::POWER_ABOVE_PLATE,
        &[Reads::MeasuredPower, Reads::RatedPower, Reads::Efficiency],
    ),
    (
        Code::CURRENT_ABOVE_PLATE,
        &[Reads::MeasuredCurrent, Reads::RatedCurrent],
    ),
    (Code::VOLTAGE_OFF_PLATE, &[Reads::MeasuredVoltage, Reads::Voltage]),
    (
        Code::SPEED_ABOVE_SYNCHRONOUS,
        &[Reads::MeasuredSpeed, Reads::Poles, Reads::Frequency],
    ),
    (
        Code::SLIP_ABOVE_PLATE,
        &[Reads::MeasuredSpeed, Reads::RatedSpeed, Reads::Poles, Reads::Frequency],
    ),
    (
        Code::LOADS_DISAGREE,
        &[
            Reads::MeasuredPower,
            Reads::MeasuredCurrent,
            Reads::MeasuredSpeed,
            Reads::MeasuredVoltage,
            Reads::RatedPower,
            Reads::RatedSpeed,
            Reads::RatedCurrent,
            Reads::Efficiency,
        ],
    ),
    (Code::POWER_ABOVE_APPARENT, &[Reads::MeasuredPower]),
    (Code::POWER_ABOVE_PLATE, &[Reads::MeasuredPower]),
    (Code::CURRENT_ABOVE_PLATE, &[Reads::MeasuredCurrent]),
    (Code::VOLTAGE_OFF_PLATE, &[Reads::MeasuredVoltage]),
    (Code::SPEED_ABOVE_SYNCHRONOUS, &[Reads::MeasuredSpeed]),
    (Code::SLIP_ABOVE_PLATE, &[Reads::MeasuredSpeed]),
    (Code::READINGS_AS_PLATE, &[Reads::MeasuredCurrent, Reads::MeasuredSpeed]),
    (Code::PHASE_MISSING, &[Reads::MeasuredCurrent]),
    (Code::SUPPLY_NOT_SAID, &[Reads::Voltage, Reads::Supply]),
    (
        Code::FREQUENCY_IN_WORDS,
        &[Reads::Frequency, Reads::Remarks, Reads::Description],
    ),
    (Code::HOURS_ABOVE_YEAR, &[Reads::HoursPerYear]),
    (Code::DRIVE_FED, &[Reads::Drive, Reads::Remarks, Reads::Description]),
];

/// The columns that name a motor, for doubts of a row as a whole.
pub static NAMES_MOTOR: &[Reads] = &[Reads::Tag, Reads::Item, Reads::Description];

/// The columns a doubt is about, the likeliest first; none where it is about the row as a whole.
pub fn columns_of(word: &str, text: &str) -> Option<&'static [Reads]> {
    if text.starts_with("Power factor") {
        return Some(&[Reads::PowerFactor, Reads::Nameplate]);
    }
    let code = Code::find(word)?;
    let (_, columns) = COLUMNS.iter().find(|(known, _)| *known == code)?;
    Some(columns)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_says_all_of_it() {
        for rule in RULES {
            for text in [rule.rests_on, rule.likely, rule.look, rule.source] {
                assert!(text.len() > 3 && !text.ends_with('.'), "{}: {text}", rule.code.word());
            }
            assert!(!rule.code.entry().example.is_empty());
            assert_eq!(RULES.iter().filter(|other| other.code == rule.code).count(), 1);
        }
    }
}
