//! What an experienced person would doubt in a list.
//!
//! For: plates that do not agree with themselves, readings that cannot be, totals that do not add up, tags that stand twice.
//! Always: each doubt names the numbers it rests on and the likely mistake; nothing is changed because of a doubt. Limits without
//! a source are common practice and say so in the list of codes.
//! Not known here: how the list is written or worked.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use rust_decimal::Decimal;

use super::find::Found;
use super::motor::{Doubt, Motor, Other, Raw, Volts, shown};
use super::own::Own;
use super::pack::{At, Motors};
use super::reads::{PlateUnit, Reads, Sort, float};
use super::rows::{Understood, poles_at};
use super::store::Grid;
use super::words::{self, Words};
use super::{letters, plausible, power_unit, said, scale, totals};
use crate::fault::{self, Code, Severity};

/// Raises all doubts; those of reading are there already.
pub fn raise(grid: &Grid, found: &Found, own: &Own, all: &mut Understood) {
    let mut doubts = std::mem::take(&mut all.doubts);
    power_unit::settle(all, &mut doubts);
    mixed_units(all, &mut doubts);
    let mut said = Said {
        of: &own.words,
        known: HashMap::new(),
    };
    for motor in all.motors.iter().map(|at| at.motor()) {
        let motor = &motor;
        let before = doubts.len();
        marks(motor, &mut said, &mut doubts);
        several(motor, &mut doubts);
        let other = |doubt: &Doubt| doubt.code == Code::OTHER_MACHINE && doubt.severity == Severity::Error;
        // Slip is of induction motors: a synchronous motor runs at its synchronous speed.
        if !doubts.iter().skip(before).any(other) {
            speeds(motor, &mut doubts);
        }
        ratings(motor, &mut doubts);
        let is_other = doubts.iter().skip(before).any(other);
        let known = doubts.len();
        plausible::raise(motor, &mut doubts);
        if is_other {
            // The series are those of three-phase motors.
            let raised = doubts.split_off(known);
            doubts.extend(
                raised
                    .into_iter()
                    .filter(|doubt| doubt.code != Code::RATING_NOT_IN_SERIES),
            );
        }
        letters::raise(motor, &mut doubts);
        readings(motor, &mut doubts);
        words_for_numbers(motor, &mut doubts);
        if found.is_side_by_side() {
            for doubt in doubts.iter_mut().skip(before) {
                doubt.table = Some(motor.table);
            }
        }
    }
    for (row, said) in &found.set_aside {
        doubts.push(Doubt::new(
            Some(row + 1),
            Code::NOT_A_MOTOR,
            format!(
                "The row is no motor by its words (\u{201c}{said}\u{201d}) and has nothing that only motors have: it was set aside as a note. If it is one, write its speed or poles."
            ),
        ));
    }
    tags(&all.motors, &mut doubts);
    all.totals = totals::compared(grid, found, all, &mut doubts);
    // Row by row, whole columns first.
    doubts.sort_by_key(|doubt| doubt.source_row);
    // Tables side by side, and motors of one row, share columns and the sheet: what is said of these is said once.
    if found.is_side_by_side() {
        doubts.dedup_by(|next, known| {
            next.source_row.is_none()
                && known.source_row.is_none()
                && next.code == known.code
                && next.text == known.text
        });
    }
    all.doubts = doubts;
}

/// What the rules of plate and readings say of one motor by itself: to ask them again of values that were changed since.
pub fn of_motor(motor: &Motor) -> Vec<Doubt> {
    let mut doubts: Vec<Doubt> = scale::of(motor).into_iter().map(|(_, doubt)| doubt).collect();
    speeds(motor, &mut doubts);
    ratings(motor, &mut doubts);
    plausible::raise(motor, &mut doubts);
    letters::raise(motor, &mut doubts);
    readings(motor, &mut doubts);
    hours(motor, &mut doubts);
    below_zero(motor, &mut doubts);
    doubts
}

fn row(motor: &Motor, code: Code, text: impl Into<fault::Words>) -> Doubt {
    Doubt::new(Some(motor.source_row), code, text)
}

/// Two ratings or two speeds on one plate.
fn several(motor: &Motor, doubts: &mut Vec<Doubt>) {
    for reads in [
        Reads::RatedPower,
        Reads::RatedSpeed,
        Reads::Poles,
        Reads::Efficiency,
        Reads::PowerFactor,
        Reads::MeasuredPower,
        Reads::MeasuredSpeed,
        Reads::MeasuredCurrent,
        Reads::MeasuredVoltage,
    ] {
        if let Some(cell) = motor.cell(reads)
            && let super::motor::Reading::Several(_) = cell.value
            && motor.one(reads).is_none()
        {
            doubts.push(row(
                motor,
                Code::SEVERAL_VALUES,
                format!(
                    "{}: {} gives several values; none was used.",
                    cell.column,
                    cell.raw.shown()
                ),
            ));
        }
    }
}

/// What texts say of their motors. Those that come again are known.
struct Said<'a> {
    of: &'a Words,
    known: HashMap<Arc<str>, Vec<&'static str>>,
}

impl Said<'_> {
    /// Different texts kept at once.
    const KEPT: usize = 4096;

    fn says(&mut self, text: &Arc<str>, meaning: &str) -> bool {
        if self.known.len() >= Said::KEPT && !self.known.contains_key(text) {
            self.known.clear();
        }
        let of = self.of;
        let said = self.known.entry(text.clone()).or_insert_with(|| {
            let mut said = of.stated(text);
            said.extend(of.is(text, "other_type").then_some("is another type"));
            said
        });
        said.contains(&meaning)
    }
}

fn marks(motor: &Motor, said: &mut Said<'_>, doubts: &mut Vec<Doubt>) {
    if motor.struck {
        doubts.push(row(
            motor,
            Code::ROW_STRUCK_THROUGH,
            "The row is struck through: the motor may be gone.".to_owned(),
        ));
    }
    other_machine(motor, said, doubts);
    if motor.hidden {
        doubts.push(row(
            motor,
            Code::ROW_HIDDEN,
            "The row is hidden in the source.".to_owned(),
        ));
    }
    if let Some(words) = &motor.drive {
        doubts.push(row(
            motor,
            Code::DRIVE_FED,
            match motor.float(Reads::OutputFrequency) {
                Some(hertz) => format!(
                    "Fed by a drive ({}) at {} Hz: load by slip is worked at that frequency, load by current is refused.",
                    shown(words),
                    said::short(hertz)
                ),
                None => format!(
                    "Fed by a drive ({}): load by slip and by current is refused without the output frequency.",
                    shown(words)
                ),
            },
        ));
    }
    hours(motor, doubts);
}

/// More hours than a leap year has.
fn hours(motor: &Motor, doubts: &mut Vec<Doubt>) {
    if let Some(hours) = motor.float(Reads::HoursPerYear)
        && hours > 8784.0
    {
        doubts.push(row(
            motor,
            Code::HOURS_ABOVE_YEAR,
            format!("{hours} hours, and a year has 8760."),
        ));
    }
}

/// What is below zero: of what is read nothing is, so that it was typed since.
fn below_zero(motor: &Motor, doubts: &mut Vec<Doubt>) {
    for (reads, cell) in &motor.cells {
        let Some(value) = cell.one().filter(|value| value.is_sign_negative() && !value.is_zero()) else {
            continue;
        };
        let other = said::typed(value.abs(), cell.unit);
        let words = format!(
            "{}: {} is below zero, which cannot be. Without its sign it would be {other}.",
            cell.column,
            cell.raw.shown()
        );
        doubts.push(row(motor, Code::VALUE_NEGATIVE, words).offering(Some(Other::of(*reads, other))));
    }
}

/// What is no three-phase induction motor, by its type, its remarks, its supply.
fn other_machine(motor: &Motor, known: &mut Said<'_>, doubts: &mut Vec<Doubt>) {
    let raw = |reads: Reads| motor.cell(reads).map(|cell| cell.raw.text());
    let by_type = motor
        .words(Reads::Model)
        .filter(|text| known.says(text, "is another type") || known.says(text, "other_machine"));
    let by_words = [Reads::Remarks, Reads::Description, Reads::Phases]
        .into_iter()
        .filter_map(|reads| motor.words(reads))
        .find(|text| known.says(text, "other_machine"));
    let phases = raw(Reads::Phases).filter(|text| {
        let digits: String = text.chars().filter(char::is_ascii_digit).collect();
        let said = text.trim().trim_end_matches(['?', '.', '~']);
        matches!(digits.as_str(), "1" | "2") || known.of.is(said, "one_phase")
    });
    let supply = raw(Reads::Voltage).filter(|text| {
        let plain: String = text
            .chars()
            .filter(|sign| !sign.is_whitespace())
            .collect::<String>()
            .to_lowercase();
        ["/1/", "1~", "1ph", "/1ph", "-1-"].iter().any(|one| {
            plain.match_indices(one).any(|(place, _)| {
                let before = plain.get(..place).unwrap_or_default();
                one.starts_with(['/', '-']) || !before.ends_with(|sign: char| sign.is_ascii_digit())
            })
        })
    });
    let direct = [Reads::RatedPower, Reads::Voltage]
        .into_iter()
        .filter_map(raw)
        .find(|text| {
            let all = words::words(text);
            let said = all
                .iter()
                .any(|word| matches!(word.as_str(), "dc" | "vdc" | "cc" | "vcc"));
            said || text.to_lowercase().replace(' ', "").ends_with("v=")
        });
    let said = by_type
        .or(by_words)
        .map(|text| shown(text))
        .or_else(|| phases.map(|text| format!("phases: {text}")))
        .or(direct)
        .or(supply);
    if let Some(said) = said {
        doubts.push(row(
            motor,
            Code::OTHER_MACHINE,
            format!("\u{201c}{said}\u{201d}: no three-phase induction motor, it seems; its load is not told by slip or current."),
        ));
        return;
    }
    // Three phases of so few volts are hardly found.
    if let Some(volts) = motor
        .used_voltage
        .map(float)
        .filter(|volts| (100.0..=130.0).contains(volts))
        && motor.cell(Reads::Voltage).is_some_and(|cell| cell.one().is_some())
    {
        doubts.push(
            row(
                motor,
                Code::OTHER_MACHINE,
                format!("{volts} V: perhaps a motor for one phase; its load is then not told by slip or current."),
            )
            .as_severe(Severity::Warning),
        );
    }
}

/// Synchronous speed of a motor in r/min, for plausibility.
fn synchronous(motor: &Motor) -> Option<f64> {
    let poles = motor.float(Reads::Poles).filter(|poles| *poles >= 2.0)?;
    Some(120.0 * motor.float(Reads::Frequency)? / poles)
}

/// What a slip worked with floats may be off.
const HAIR: f64 = 1e-9;

/// The usual band of rated slip by size. Common practice, no source; wide, so that old and slow motors fit.
fn usual_slip(kilowatts: Option<f64>) -> (f64, f64) {
    let Some(kilowatts) = kilowatts else {
        return (0.001, 0.13);
    };
    for (size, least, most) in [
        (1.5, 0.007, 0.14),
        (4.0, 0.006, 0.11),
        (11.0, 0.005, 0.09),
        (45.0, 0.003, 0.05),
        (150.0, 0.002, 0.04),
    ] {
        if kilowatts <= size {
            return (least, most);
        }
    }
    (0.001, 0.03)
}

/// The poles that a plate speed would fit at this frequency, else at the other one.
fn fitting(speed: f64, hertz: f64, kilowatts: Option<f64>) -> String {
    let (least, most) = usual_slip(kilowatts);
    let other = if hertz > 55.0 { 50.0 } else { 60.0 };
    for hertz in [hertz, other] {
        let pairs = (60.0 * hertz / speed).floor();
        if pairs < 1.0 {
            continue;
        }
        let synchronous = 60.0 * hertz / pairs;
        let slip = 1.0 - speed / synchronous;
        if slip == 0.0 {
            return format!("; it is the synchronous speed of {} poles at {hertz} Hz", 2.0 * pairs);
        }
        if (least..=most).contains(&slip) {
            return format!("; the speed would fit {} poles at {hertz} Hz", 2.0 * pairs);
        }
    }
    String::new()
}

/// The poles, and where it is another one the frequency, that go with the plate speed.
pub(super) fn going_with_speed(motor: &Motor) -> Option<Other> {
    let (own, speed) = (motor.one(Reads::Frequency)?, motor.one(Reads::RatedSpeed)?);
    let (least, most) = usual_slip(motor.kilowatts());
    let other = Decimal::from(if float(own) > 55.0 { 50 } else { 60 });
    [own, other].into_iter().find_map(|hertz| {
        let poles = poles_at(speed, hertz)?;
        let slip = 1.0 - float(speed) * float(poles) / (120.0 * float(hertz));
        let mut sets = Vec::new();
        if hertz != own {
            sets.push((Reads::Frequency, said::typed(hertz, PlateUnit::Hertz)));
        }
        if motor.one(Reads::Poles) != Some(poles) {
            sets.push((Reads::Poles, format!("{} pole", poles.normalize())));
        }
        ((least..=most).contains(&slip) && !sets.is_empty()).then_some(Other { sets })
    })
}

fn speeds(motor: &Motor, doubts: &mut Vec<Doubt>) {
    let Some(synchronous) = synchronous(motor) else { return };
    let told = said::short(synchronous);
    let (poles, hertz) = (
        motor.float(Reads::Poles).unwrap_or(0.0),
        motor.float(Reads::Frequency).unwrap_or(0.0),
    );
    if let Some(speed) = motor.float(Reads::RatedSpeed) {
        // A nominal speed is typed as it is or a little off; further up, poles or frequency are others.
        if speed > synchronous * 1.01 {
            doubts.push(row(
                motor,
                Code::POLES_AGAINST_SPEED,
                format!(
                    "Plate speed {speed} r/min is above the synchronous speed {told} r/min of {poles} poles at {hertz} Hz: poles, frequency or speed are wrong{}.",
                    fitting(speed, hertz, motor.kilowatts())
                ),
            ).offering(going_with_speed(motor)));
        } else if speed >= synchronous {
            doubts.push(row(
                motor,
                Code::PLATE_SPEED_SYNCHRONOUS,
                format!(
                    "Plate speed {speed} r/min is {} the synchronous speed {told} r/min of {poles} poles at {hertz} Hz; the nominal speed was probably typed.",
                    if speed > synchronous { "above" } else { "at" }
                ),
            ));
        } else {
            let slip = 1.0 - speed / synchronous;
            let (least, most) = usual_slip(motor.kilowatts());
            // High-slip motors of design D are made so.
            let high_slip = motor
                .words(Reads::Design)
                .is_some_and(|word| word.trim().eq_ignore_ascii_case("d"));
            // A speed that gives just the last slip of the band is in it.
            if slip > most + HAIR && !high_slip || slip < least - HAIR {
                doubts.push(
                    row(motor, Code::PLATE_SLIP_UNUSUAL, {
                        let words = fault::Words::from(format!(
                            "Plate speed {speed} r/min with {poles} poles at {hertz} Hz is {:.2} % slip; usual for ",
                            slip * 100.0
                        ));
                        let words = match motor.kilowatts() {
                            Some(_) => said::own_rating(words, motor),
                            None => words.and("a motor"),
                        };
                        words.and(&format!(
                            " is {:.1} to {:.0} %. Look at speed, poles and frequency.",
                            least * 100.0,
                            most * 100.0
                        ))
                    })
                    .offering(going_with_speed(motor)),
                );
            }
        }
    }
    if let Some(speed) = motor.float(Reads::MeasuredSpeed)
        && motor.drive.is_none()
        && speed >= synchronous
    {
        doubts.push(row(
            motor,
            Code::SPEED_ABOVE_SYNCHRONOUS,
            format!(
                "Measured {speed} r/min is not below the synchronous speed {told} r/min of {poles} poles at {hertz} Hz."
            ),
        ));
    }
}

/// Ratios and what usually makes them.
const RATIOS: &[(f64, &str)] = &[
    (
        1.732,
        "near 1.73: amps of the other connection, phase for line or star for delta",
    ),
    (
        0.577,
        "near 0.58: amps of the other connection, phase for line or star for delta",
    ),
    (2.0, "near 2: amps of the other winding voltage"),
    (0.5, "near 0.5: amps of the other winding voltage"),
    (1.15, "near 1.15: amps at service-factor load"),
    (1.2, "near 1.2: values of another frequency"),
    (0.833, "near 0.83: values of another frequency"),
    (0.7457, "near 0.75: hp taken for kW"),
    (1.341, "near 1.34: kW taken for hp"),
    (10.0, "near 10: a slipped decimal point"),
    (0.1, "near 0.1: a slipped decimal point"),
];

/// The usual mistake that makes such a ratio.
pub(super) fn near_ratio(ratio: f64) -> Option<&'static str> {
    RATIOS
        .iter()
        .filter(|(known, _)| (ratio / known - 1.0).abs() < 0.035)
        .min_by(|a, b| (ratio / a.0 - 1.0).abs().total_cmp(&(ratio / b.0 - 1.0).abs()))
        .map(|(_, text)| *text)
}

/// How far the ratio may be off with a voltage that is not the plate's: a plate of 380 V at 415 V is 9 % off by itself.
const OF_SUPPLY: f64 = 0.25;

fn ratings(motor: &Motor, doubts: &mut Vec<Doubt>) {
    if let Some(efficiency) = motor.float(Reads::Efficiency)
        && efficiency > 100.0
    {
        doubts.push(row(
            motor,
            Code::EFFICIENCY_IMPOSSIBLE,
            format!("Efficiency {efficiency} % is above 100 %."),
        ));
    }
    if let Some(power_factor) = motor.float(Reads::PowerFactor)
        && power_factor > 1.0
    {
        doubts.push(row(
            motor,
            Code::EFFICIENCY_IMPOSSIBLE,
            format!("Power factor {power_factor} is above 1."),
        ));
    }
    let Some(ratio) = motor.plate_ratio() else { return };
    let off = (ratio - 1.0).abs();
    let (of, least) = match motor.volts() {
        None | Some(Volts::Plate(_)) => ("of the plate".to_owned(), 0.07),
        Some(volts) => (format!("with {}", volts.in_words()), OF_SUPPLY),
    };
    if off > least {
        let near = near_ratio(ratio).unwrap_or("which no usual mistake makes");
        let doubt = row(
            motor,
            Code::PLATE_POWER_RATIO,
            format!("√3·V·I·η·pf {of} is {ratio:.3} times the rating, {near}."),
        );
        doubts.push(if off > 0.15 {
            doubt
        } else {
            doubt.as_severe(Severity::Note)
        });
    }
}

/// Readings far off the plate.
fn off_plate(motor: &Motor, doubts: &mut Vec<Doubt>) {
    if let (Some(measured), Some(kilowatts)) = (motor.float(Reads::MeasuredPower), motor.kilowatts())
        && kilowatts > 0.0
    {
        let efficiency = motor.float(Reads::Efficiency).filter(|efficiency| *efficiency > 30.0);
        let input = kilowatts / efficiency.unwrap_or(85.0) * 100.0;
        if measured > 1.3 * input {
            doubts.push(row(
                motor,
                Code::POWER_ABOVE_PLATE,
                format!(
                    "Measured {measured} kW is {:.2} times the {} kW that the motor takes at its rating.",
                    measured / input,
                    said::worked(input)
                ),
            ));
        }
    }
    if let (Some(synchronous), Some(rated), Some(speed), None) = (
        synchronous(motor),
        motor.float(Reads::RatedSpeed),
        motor.float(Reads::MeasuredSpeed),
        &motor.drive,
    ) && rated < synchronous
        && speed < synchronous
    {
        let ratio = (synchronous - speed) / (synchronous - rated);
        if ratio > 1.6 {
            let told = said::short(synchronous);
            doubts.push(row(
                motor,
                Code::SLIP_ABOVE_PLATE,
                format!("Measured {speed} r/min is {ratio:.1} times the rated slip of {rated} r/min at {told} r/min synchronous."),
            ));
        }
    }
}

/// Readings that are the plate again: the current or the speed, and a second one with it. One alone may be chance, and a supply at
/// plate voltage is usual.
fn as_plate(motor: &Motor) -> Option<Doubt> {
    let same = |reads: Reads, plate: Option<f64>| {
        let read = motor.float(reads).filter(|read| *read > 0.0)?;
        (Some(read) == plate).then(|| format!("{} {read} {}", reads.title().to_lowercase(), reads.usual().text()))
    };
    let telling = [
        same(Reads::MeasuredCurrent, motor.used_current.map(float)),
        same(Reads::MeasuredSpeed, motor.float(Reads::RatedSpeed)),
    ];
    let volts = same(Reads::MeasuredVoltage, motor.used_voltage.map(float));
    let found: Vec<String> = telling.iter().flatten().cloned().collect();
    let all: Vec<String> = found.iter().cloned().chain(volts).collect();
    (!found.is_empty() && all.len() > 1).then(|| {
        row(
            motor,
            Code::READINGS_AS_PLATE,
            format!(
                "{} are those of the plate to the last digit: copied rather than measured?",
                joined(&all)
            ),
        )
    })
}

/// Words with commas and an "and", the first letter large.
fn joined(words: &[String]) -> String {
    let text = match words {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        words => words.join(""),
    };
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn readings(motor: &Motor, doubts: &mut Vec<Doubt>) {
    doubts.extend(as_plate(motor));
    let volts = motor.float(Reads::MeasuredVoltage);
    let amps = motor.float(Reads::MeasuredCurrent);
    // Without measured volts those of the plate serve; they may be a tenth off.
    let near = volts
        .map(|volts| (volts, 1.01, ""))
        .or_else(|| Some((float(motor.used_voltage?), 1.12, " of the plate")));
    if let (Some((volts, room, whose)), Some(amps), Some(kilowatts)) = (near, amps, motor.float(Reads::MeasuredPower)) {
        let apparent = 3f64.sqrt() * volts * amps / 1000.0;
        if apparent > 0.0 && kilowatts > apparent * room {
            doubts.push(row(
                motor,
                Code::POWER_ABOVE_APPARENT,
                format!(
                    "Measured {kilowatts} kW is above the {} kVA of {volts} V{whose} and {amps} A (power factor {:.2}): one of the three is wrong.",
                    said::worked(apparent),
                    kilowatts / apparent
                ),
            ));
        }
    }
    // A reading that cannot be says nothing of the load.
    if doubts
        .last()
        .is_none_or(|doubt| doubt.code != Code::POWER_ABOVE_APPARENT || doubt.source_row != Some(motor.source_row))
    {
        off_plate(motor, doubts);
    }
    if let (Some(amps), Some(plate)) = (amps, motor.used_current.map(float))
        && plate > 0.0
        && amps > 1.25 * plate
    {
        doubts.push(row(
            motor,
            Code::CURRENT_ABOVE_PLATE,
            format!(
                "Measured {amps} A is {:.2} times the plate's {plate} A: overload, or several conductors in the clamp.",
                amps / plate
            ),
        ));
    }
    if let (Some(volts), Some(plate)) = (volts, motor.used_voltage.map(float))
        && plate > 0.0
        && (volts / plate - 1.0).abs() > 0.10
    {
        let doubt = row(
            motor,
            Code::VOLTAGE_OFF_PLATE,
            format!(
                "Measured {volts} V is {:.0} % off the plate's {plate} V{}.",
                (volts / plate - 1.0).abs() * 100.0,
                if (volts / plate * 3f64.sqrt() - 1.0).abs() < 0.06 {
                    ", about 1/√3 of it: perhaps line to neutral"
                } else {
                    ""
                }
            ),
        );
        // No motor runs so far off: the reading or the plate voltage is of something else.
        doubts.push(if (volts / plate - 1.0).abs() > 0.25 {
            doubt.as_severe(Severity::Error)
        } else {
            doubt
        });
    }
}

/// Words where a number is expected, other than the usual signs for none.
fn words_for_numbers(motor: &Motor, doubts: &mut Vec<Doubt>) {
    for (reads, cell) in &motor.cells {
        if reads.sort() == Sort::Number
            && cell.value == super::motor::Reading::Nothing
            && cell
                .note
                .as_deref()
                .is_some_and(|note| note.contains("words, no value"))
            && let Raw::Text(text) = &cell.raw
        {
            doubts.push(row(
                motor,
                Code::TEXT_NOT_READ,
                format!(
                    "{}: {} is no number; {} stays empty.",
                    cell.column,
                    shown(text),
                    reads.title().to_lowercase()
                ),
            ));
        }
    }
}

fn mixed_units(all: &Understood, doubts: &mut Vec<Doubt>) {
    let Some(list) = all.power_unit else { return };
    let others: Vec<u32> = all
        .motors
        .iter()
        .filter(|motor| {
            motor
                .cell(Reads::RatedPower)
                .is_some_and(|cell| cell.unit() != list && motor.of(cell).is_some())
        })
        .map(|motor| motor.source_row())
        .collect();
    if !others.is_empty() {
        let shown: Vec<String> = others.iter().take(10).map(u32::to_string).collect();
        let more = if others.len() > 10 { " and more" } else { "" };
        doubts.push(Doubt::new(
            None,
            Code::MIXED_POWER_UNITS,
            format!(
                "Most ratings are in {}; {} {}{more} {} in another unit and {} read in it.",
                list.text(),
                if others.len() == 1 {
                    "the one of source row"
                } else {
                    "those of source rows"
                },
                shown.join(", "),
                if others.len() == 1 { "is" } else { "are" },
                if others.len() == 1 { "was" } else { "were" },
            ),
        ));
    }
}

/// The number at the end of a tag and what stands before it: `BP-11` is (`BP-`, 11).
fn parted(tag: &str) -> Option<(&str, u64)> {
    let tag = tag.trim();
    let digits = tag.chars().rev().take_while(char::is_ascii_digit).count();
    let place = tag.len().checked_sub(digits)?;
    Some((tag.get(..place)?, tag.get(place..)?.parse().ok()?))
}

fn tags(motors: &Motors, doubts: &mut Vec<Doubt>) {
    // Their places in the list.
    let mut rows: HashMap<String, Vec<usize>> = HashMap::new();
    // A motor that is gone does not count twice.
    let mut gone: HashSet<usize> = HashSet::new();
    for (place, motor) in motors.iter().enumerate() {
        if let Some(tag) = motor.words(Reads::Tag) {
            if motor.struck() {
                gone.insert(place);
            }
            rows.entry(tag.trim().to_uppercase()).or_default().push(place);
        }
    }
    let same_machine = |motor: At<'_>, tag: &String| {
        let rating = |motor: At<'_>| motor.kilowatts().map(|kilowatts| (kilowatts * 1e6) as i64);
        let name = |motor: At<'_>| {
            motor.words(Reads::Description).map(|words| {
                let letters = words::folded(words);
                letters.chars().filter(|sign| sign.is_alphabetic()).collect::<String>()
            })
        };
        let places = rows.get(&tag.to_uppercase()).into_iter().flatten();
        let mut others = places.filter_map(|place| motors.at(*place));
        // A row with a count of its own is no part of another one's.
        others.any(|other| {
            rating(other) == rating(motor)
                && match (name(other), name(motor)) {
                    (Some(other), Some(own)) => other.starts_with(&own) || own.starts_with(&other),
                    _ => true,
                }
                && other
                    .one(Reads::Quantity)
                    .is_none_or(|count| count == rust_decimal::Decimal::ONE)
        })
    };
    let twice = rows.values().any(|places| places.len() > 1);
    for motor in motors.iter() {
        let row = |code: Code, text: String| Doubt::new(Some(motor.source_row()), code, text);
        let Some(tag) = motor.words(Reads::Tag) else { continue };
        if twice
            && let Some(places) = rows.get(&tag.trim().to_uppercase())
            && places.len() > 1
        {
            let others: Vec<String> = places
                .iter()
                .filter_map(|place| Some(motors.at(*place)?.source_row()))
                .filter(|row| *row != motor.source_row())
                .take(5)
                .map(|row| row.to_string())
                .collect();
            // Several motors in one row share its tag.
            if !others.is_empty() {
                doubts.push(row(
                    Code::TAG_TWICE,
                    format!("Tag {} stands also in source row {}.", shown(tag), others.join(", ")),
                ));
            }
        }
        let Some(count) = motor.one(Reads::Quantity).and_then(|count| u64::try_from(count).ok()) else {
            continue;
        };
        if !(2..=50).contains(&count) {
            continue;
        }
        if let Some((stem, first)) = parted(tag) {
            let width = tag.trim().len() - stem.len();
            let next: Vec<String> = (1..count)
                .map(|step| format!("{stem}{:0width$}", first + step))
                .collect();
            let stands = |tag: &String| {
                let places = rows.get(&tag.to_uppercase());
                places.is_some_and(|places| places.iter().any(|place| !gone.contains(place)))
            };
            if next.iter().all(stands) && next.iter().all(|tag| same_machine(motor, tag)) {
                doubts.push(row(
                    Code::COUNTED_TWICE,
                    format!(
                        "Quantity {count} on {tag}, and {} {}.",
                        next.join(", "),
                        if next.len() == 1 {
                            "has a row of its own"
                        } else {
                            "are listed in rows of their own"
                        }
                    ),
                ));
            }
        }
    }
}
