//! Plates against published tables.
//!
//! For: current, efficiency, rating, code letter, frame and voltage of a plate beside what the standards list for its size.
//! Always: a rule speaks only where the table has a row near enough; what it rests on stands in the text.
//! Not known here: readings on site.

use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::motor::{Doubt, Motor, Volts, decimal};
use super::reads::{PlateUnit, Reads, Sort, float};
use super::said;
use crate::fault::{Code, Words};
use crate::standards::tables;

/// Rows of the tables as floats, read once.
struct Tables {
    /// hp, V, A
    currents: Vec<[f64; 3]>,
    /// class (1 to 4), poles, kW from, kW to, per cent
    classes: Vec<[f64; 5]>,
    /// class (2 or 3), poles, hp, per cent; enclosed motors at 60 Hz
    sixty: Vec<[f64; 4]>,
    /// kW
    kilowatts: Vec<f64>,
    /// hp, its kW
    horsepower: Vec<[f64; 2]>,
    /// letter, kVA/hp from, below
    letters: Vec<(String, f64, f64)>,
    /// poles, kW, mm
    frames: Vec<[f64; 3]>,
    /// poles, hp, first two digits
    t_frames: Vec<[f64; 3]>,
    /// mm
    heights: Vec<f64>,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let number = |table: &str, column: &str, row: usize| {
        tables::find(table)
            .and_then(|table| table.listed(column, row))
            .map(|listed| float(listed.value))
    };
    let text = |table: &str, column: &str, row: usize| {
        tables::find(table)
            .and_then(|table| table.text(column, row))
            .unwrap_or_default()
            .to_owned()
    };
    let rows = |table: &str| 0..tables::find(table).map_or(0, tables_rows);
    let row = |table: &'static str| {
        move |row: usize| -> Option<[f64; 3]> {
            let of = |column: &str| number(table, column, row);
            match table {
                "nec_430_250" => Some([of("P")?, of("V")?, of("I")?]),
                _ => Some([of("p")?, of("P")?, of("h")?]),
            }
        }
    };
    let class = |word: &str| word.strip_prefix("IE").and_then(|digit| digit.parse::<f64>().ok());
    let sixty = |table: &'static str, class: f64| {
        rows(table)
            .filter(move |row| text(table, "enclosure", *row) == "enclosed")
            .filter_map(move |row| {
                let of = |column: &str| number(table, column, row);
                Some([class, of("p")?, of("P")?, of("eta")?])
            })
    };
    Tables {
        currents: rows("nec_430_250").filter_map(row("nec_430_250")).collect(),
        classes: rows("iec_60034_30_1")
            .filter_map(|row| {
                let of = |column: &str| number("iec_60034_30_1", column, row);
                let class = class(&text("iec_60034_30_1", "class", row))?;
                Some([class, of("p")?, of("P")?, of("P_to")?, of("eta")?])
            })
            .collect(),
        sixty: sixty("nema_mg1_12_11", 2.0)
            .chain(sixty("nema_mg1_12_12", 3.0))
            .collect(),
        kilowatts: rows("iec_60072_1")
            .filter_map(|row| number("iec_60072_1", "P", row))
            .collect(),
        horsepower: rows("nema_mg1_10_32_4")
            .filter_map(|row| {
                let of = |column: &str| number("nema_mg1_10_32_4", column, row);
                Some([of("P")?, of("P_kw").or_else(|| of("P_kW"))?])
            })
            .collect(),
        letters: rows("nema_mg1_10_37_2")
            .filter_map(|row| {
                let of = |column: &str| number("nema_mg1_10_37_2", column, row);
                Some((
                    text("nema_mg1_10_37_2", "letter", row),
                    of("k_from")?,
                    of("k_below").unwrap_or(f64::INFINITY),
                ))
            })
            .collect(),
        frames: rows("en_50347").filter_map(row("en_50347")).collect(),
        t_frames: rows("nema_mg1_13")
            .filter_map(|row| {
                let of = |column: &str| number("nema_mg1_13", column, row);
                let digits: f64 = text("nema_mg1_13", "frame", row).get(..2)?.parse().ok()?;
                Some([of("p")?, of("P")?, digits])
            })
            .collect(),
        heights: rows("iec_60072_1_heights")
            .filter_map(|row| number("iec_60072_1_heights", "h", row))
            .collect(),
    }
});

fn tables_rows(table: &crate::standards::Table) -> usize {
    table.rows()
}

/// kW in one hp, to four digits: good for plausibility.
const HORSEPOWER: f64 = 0.7457;

/// Doubts of one plate.
pub(super) fn raise(motor: &Motor, doubts: &mut Vec<Doubt>) {
    let tables = &*TABLES;
    let mut tell = |code: Code, text: Words| doubts.push(Doubt::new(Some(motor.source_row), code, text));
    if let Some(text) = current(motor, tables) {
        tell(Code::CURRENT_OFF_TABLE, text);
    }
    if let Some(text) = above_apparent(motor) {
        tell(Code::RATING_ABOVE_APPARENT, text);
    }
    if let Some((code, text)) = efficiency(motor, tables) {
        tell(code, text);
    }
    if let Some(text) = power_factor(motor) {
        tell(Code::VALUE_UNLIKELY, text);
    }
    if let Some(text) = series(motor, tables) {
        tell(Code::RATING_NOT_IN_SERIES, text);
    }
    if let Some(text) = code_letter(motor, tables) {
        tell(Code::CODE_LETTER_OFF, text);
    }
    if let Some(text) = frame(motor, tables) {
        tell(Code::FRAME_OFF_RATING, text);
    }
    if let Some(text) = voltage(motor) {
        let doubt = Doubt::new(Some(motor.source_row), Code::VOLTAGE_OFF_FREQUENCY, text);
        doubts.push(doubt.offering(super::doubt::going_with_speed(motor)));
    }
}

/// A rating that the plate's volts and amps cannot give, whatever efficiency and power factor are. Smaller contradictions are those of
/// the table of currents.
fn above_apparent(motor: &Motor) -> Option<Words> {
    if motor.plate_ratio().is_some() {
        return None;
    }
    let (of, amps) = (motor.volts()?, float(motor.used_current?));
    let volts = of.number();
    let rating = motor.kilowatts()?;
    let apparent = 3f64.sqrt() * volts * amps / 1000.0;
    if apparent <= 0.0 || rating <= 1.25 * apparent {
        return None;
    }
    // Efficiency times power factor is about three quarters on most plates.
    let times = rating / (0.75 * apparent);
    let likely = match times {
        600.0..1800.0 => "a thousand times too much: in W, or with a sign that parts decimals",
        60.0..180.0 => "a hundred times too much: a slipped decimal sign",
        6.0..18.0 => "ten times too much: a slipped decimal sign",
        1.85..2.3 => "twice too much, as with the amps of the higher voltage",
        ..1.85 => "1.7 times too much, as with the amps of the other connection",
        _ => "rating, volts or amps are of something else",
    };
    let cell = motor.cell(Reads::RatedPower)?;
    let words = Words::from(format!("{}: {} is read as ", cell.column, cell.raw.shown()));
    Some(said::own_rating(words, motor).and(&format!(
        ", and √3·V·I of {} and the plate's {amps} A is {} kVA, which no motor gives more than: {likely}.",
        of.in_words(),
        said::worked(apparent)
    )))
}

/// The full-load current of the table for this rating: listed voltages as they stand, others by 460 V.
fn table_current(horsepower: f64, volts: f64, tables: &Tables) -> Option<(f64, f64)> {
    let of_volts = tables
        .currents
        .iter()
        .map(|row| row[1])
        .filter(|listed| (volts / listed - 1.0).abs() < 0.03)
        .min_by(|a, b| (volts / a - 1.0).abs().total_cmp(&(volts / b - 1.0).abs()))
        .unwrap_or(460.0);
    let mut below: Option<[f64; 3]> = None;
    for row in tables.currents.iter().filter(|row| row[1] == of_volts) {
        if (row[0] / horsepower - 1.0).abs() < 0.02 {
            return Some((row[2] * of_volts / volts, of_volts));
        }
        if row[0] > horsepower {
            // Between two ratings the current goes in proportion.
            let below = below?;
            let part = (horsepower - below[0]) / (row[0] - below[0]);
            return Some(((below[2] + part * (row[2] - below[2])) * of_volts / volts, of_volts));
        }
        below = Some(*row);
    }
    None
}

fn current(motor: &Motor, tables: &Tables) -> Option<Words> {
    // With efficiency and power factor the plate proves itself; the table is for plates without them.
    if motor.plate_ratio().is_some() {
        return None;
    }
    let (of, amps) = (motor.volts()?, float(motor.used_current?));
    let volts = of.number();
    let horsepower = motor.kilowatts()? / HORSEPOWER;
    if volts <= 0.0 || amps <= 0.0 {
        return None;
    }
    let (listed, of_volts) = table_current(horsepower, volts, tables)?;
    let ratio = amps / listed;
    let most = if motor.float(Reads::Poles).is_some_and(|poles| poles >= 8.0) {
        1.8
    } else {
        1.5
    };
    let least = if horsepower < 1.0 { 0.5 } else { 0.6 };
    if (least..=most).contains(&ratio) {
        return None;
    }
    let scaled = if (of_volts / volts - 1.0).abs() < 0.03 {
        String::new()
    } else {
        format!(", scaled from {of_volts} V")
    };
    let words = Words::from(format!(
        "Plate current {amps} A is {ratio:.2} times the {} A that NEC Table 430.250 gives for ",
        said::worked(listed)
    ));
    Some(said::own_rating(words, motor).and(&format!(
        " at {}{scaled}{}.",
        match of {
            Volts::Plate(volts) => format!("{volts} V"),
            of => of.in_words().trim_end_matches(',').to_owned(),
        },
        super::doubt::near_ratio(ratio).map_or(String::new(), |near| format!("; {near}"))
    )))
}

/// The nominal efficiency of a class for this motor: lowest and highest of the rows around its rating.
fn nominal(class: f64, poles: f64, kilowatts: f64, hertz: f64, tables: &Tables) -> Option<(f64, f64)> {
    let rows: Vec<(f64, f64, f64)> = if hertz > 55.0 {
        let of = |row: &&[f64; 4]| row[0] == class && row[1] == poles;
        tables
            .sixty
            .iter()
            .filter(of)
            .map(|row| (row[2] * HORSEPOWER, row[2] * HORSEPOWER, row[3]))
            .collect()
    } else {
        let of = |row: &&[f64; 5]| row[0] == class && row[1] == poles;
        tables
            .classes
            .iter()
            .filter(of)
            .map(|row| (row[2], row[3], row[4]))
            .collect()
    };
    let holds = rows
        .iter()
        .find(|(from, to, _)| kilowatts >= from * 0.98 && kilowatts <= to * 1.02)
        .map(|row| row.2);
    if let Some(eta) = holds {
        return Some((eta, eta));
    }
    let below = rows
        .iter()
        .filter(|row| row.1 < kilowatts)
        .map(|row| row.2)
        .next_back()?;
    let above = rows.iter().find(|row| row.0 > kilowatts).map(|row| row.2)?;
    Some((below.min(above), below.max(above)))
}

/// The efficiency class on the plate, without blanks and hyphens.
fn class_said(motor: &Motor) -> Option<String> {
    let word = motor.words(Reads::EfficiencyClass)?;
    Some(word.to_uppercase().replace([' ', '-'], ""))
}

/// The class a word stands for, by its number.
fn class_of(word: &str, hertz: f64) -> Option<f64> {
    match word {
        "PREMIUM" | "NEMAPREMIUM" | "PE" if hertz > 55.0 => Some(3.0),
        "EPACT" | "EE" | "ENERGYEFFICIENT" if hertz > 55.0 => Some(2.0),
        word => {
            let digit = word.strip_prefix("IE")?.chars().next()?.to_digit(10)?;
            Some(f64::from(digit))
        }
    }
}

/// The efficiency of the table for a motor whose list says none, in per cent: of the class on its plate, else of IE1, which older
/// motors have; four poles where the list does not say them.
pub(super) fn assumed_efficiency(motor: &Motor) -> Option<Decimal> {
    let class = class_said(motor).and_then(|word| class_of(&word, 50.0)).unwrap_or(1.0);
    let poles = motor.float(Reads::Poles).unwrap_or(4.0);
    let (least, _) = nominal(class, poles, motor.kilowatts()?, 50.0, &TABLES)?;
    decimal(least)
}

fn efficiency(motor: &Motor, tables: &Tables) -> Option<(Code, Words)> {
    let eta = motor
        .float(Reads::Efficiency)
        .filter(|eta| *eta > 0.0 && *eta <= 100.0)?;
    let kilowatts = motor.kilowatts()?;
    let hertz = motor.float(Reads::Frequency)?;
    let poles = motor.float(Reads::Poles)?;
    let said = class_said(motor);
    let class = said.as_deref().and_then(|word| class_of(word, hertz));
    let losses = 100.0 - eta;
    let of_size =
        |before: &str, behind: &str| said::own_rating(before.into(), motor).and(&format!(" and {poles} poles{behind}"));
    let table = if hertz > 55.0 {
        "NEMA MG 1 Tables 12-11 and 12-12"
    } else {
        "IEC 60034-30-1"
    };
    if let (Some(class), Some(word)) = (class, &said)
        && let Some((least, most)) = nominal(class, poles, kilowatts, hertz, tables)
    {
        // IEC 60034-1 clause 12: 15 % of the losses up to 150 kW, 10 % above; a plate rounds to a tenth.
        let room = if kilowatts <= 150.0 { 0.15 } else { 0.10 };
        if eta < least - room * (100.0 - least) - 0.06 {
            return Some((
                Code::EFFICIENCY_OFF_CLASS,
                of_size(
                    &format!("Efficiency {eta} % is below the {least} % that {table} asks of {word} for "),
                    ", tolerance included.",
                ),
            ));
        }
        if losses < 0.55 * (100.0 - most) {
            return Some((
                Code::EFFICIENCY_OFF_CLASS,
                of_size(
                    &format!(
                        "Efficiency {eta} % leaves little more than half the losses of {word} ({most} % in {table} for "
                    ),
                    "): the class or the efficiency is of another motor.",
                ),
            ));
        }
        return None;
    }
    // Without a class: far from what motors of this size have. The 50 Hz classes serve as a yardstick at 60 Hz too.
    let (least, _) = nominal(1.0, poles, kilowatts, 50.0, tables)?;
    let (_, most) = nominal(4.0, poles, kilowatts, 50.0, tables)?;
    if eta < least - 0.9 * (100.0 - least) || losses < 0.6 * (100.0 - most) {
        return Some((
            Code::VALUE_UNLIKELY,
            of_size(
                &format!("Efficiency {eta} % is unusual for "),
                &format!("; IE1 is {least} % and IE4 {most} %."),
            ),
        ));
    }
    None
}

fn power_factor(motor: &Motor) -> Option<Words> {
    let power_factor = motor.float(Reads::PowerFactor)?;
    let kilowatts = motor.kilowatts()?;
    let least = if kilowatts < 1.0 { 0.40 } else { 0.55 };
    let unusual = power_factor < least || (0.965..=1.0).contains(&power_factor);
    unusual.then(|| {
        let words = format!("Power factor {power_factor} is unusual at the rating of an induction motor of ");
        said::own_rating(words.into(), motor).and("; usual is 0.7 to 0.92.")
    })
}

fn series(motor: &Motor, tables: &Tables) -> Option<Words> {
    let cell = motor.cell(Reads::RatedPower)?;
    let value = float(motor.one(Reads::RatedPower)?);
    if value <= 0.0 {
        return Some(said::own_rating("A rating of ".into(), motor).and(" cannot be."));
    }
    // A plate for two frequencies has the one rating by the series and the other in proportion.
    let further = motor.chosen.map_or(&[][..], |_| cell.all());
    let near = |listed: f64| {
        let is = |value: f64| (value / listed - 1.0).abs() < 0.011;
        is(value) || further.iter().any(|value| is(float(*value)))
    };
    let (listed, smallest): (bool, f64) = match cell.unit {
        PlateUnit::Kilowatt => (
            tables.kilowatts.iter().any(|listed| near(*listed))
                || tables
                    .horsepower
                    .iter()
                    .any(|row| near(row[1]) || near(row[0] * HORSEPOWER)),
            0.12,
        ),
        PlateUnit::Horsepower => (
            // 0.33 stands for a third.
            tables
                .horsepower
                .iter()
                .any(|row| near(row[0]) || (value - row[0]).abs() < 0.005),
            0.25,
        ),
        _ => return None,
    };
    let largest = if cell.unit == PlateUnit::Kilowatt {
        1000.0
    } else {
        500.0
    };
    if listed || value < smallest || value > largest {
        return None;
    }
    Some(said::own_rating(Words::default(), motor).and(" is in no standard series of ratings."))
}

fn code_letter(motor: &Motor, tables: &Tables) -> Option<Words> {
    let word = motor.words(Reads::CodeLetter)?.trim().to_uppercase();
    let (_, from, below) = tables.letters.iter().find(|(letter, ..)| *letter == word)?;
    let cell = motor.cell(Reads::LockedRotorCurrent)?;
    let given = float(cell.one()?);
    let volts = float(motor.used_voltage?);
    // A small number without a unit is the multiple of the rated current.
    let amps = if cell.unit == PlateUnit::Ampere || given > 15.0 {
        given
    } else {
        given * float(motor.used_current?)
    };
    let horsepower = motor.kilowatts().filter(|kilowatts| *kilowatts > 0.0)? / HORSEPOWER;
    let ratio = 3f64.sqrt() * volts * amps / 1000.0 / horsepower;
    if ratio > from * 0.95 && ratio < below * 1.05 {
        return None;
    }
    let fits = tables
        .letters
        .iter()
        .find(|(_, from, below)| ratio >= *from && ratio < *below)
        .map_or(String::new(), |(letter, ..)| format!("; {letter} would fit"));
    let words = format!("Locked-rotor current {} A at {volts} V on ", said::worked(amps));
    Some(said::own_rating(words.into(), motor).and(&format!(
        " is {ratio:.2} kVA/hp, and code letter {word} stands for {from} to {below}{fits}."
    )))
}

/// First two digits of frames by NEMA, four times the shaft height in inches, rising.
const T_SIZES: [f64; 9] = [14.0, 18.0, 21.0, 25.0, 28.0, 32.0, 36.0, 40.0, 44.0];

fn frame(motor: &Motor, tables: &Tables) -> Option<Words> {
    let word = motor.words(Reads::Frame)?.trim().to_uppercase();
    let digits: String = word
        .chars()
        .skip_while(|sign| !sign.is_ascii_digit())
        .take_while(char::is_ascii_digit)
        .collect();
    let number: f64 = digits.parse().ok()?;
    let poles = motor.float(Reads::Poles)?;
    let kilowatts = motor.kilowatts()?;
    let place = |sizes: &[f64], size: f64| sizes.iter().position(|listed| *listed == size);
    let two: f64 = digits.get(..2)?.parse().ok()?;
    let is_t = digits.len() == 3
        && place(&T_SIZES, two).is_some()
        && !tables.heights.contains(&number)
        && (word.contains('T') || word.contains('U') || digits.ends_with(['3', '4', '5', '6', '7', '9']));
    // 42, 48 and 56 of small American motors count sixteenths of an inch.
    let american = motor
        .cell(Reads::RatedPower)
        .is_some_and(|cell| cell.unit == PlateUnit::Horsepower)
        || motor.float(Reads::Frequency).is_some_and(|hertz| hertz > 55.0);
    if american && matches!(digits.as_str(), "42" | "48" | "56") {
        return None;
    }
    let (found, usual, shown) = if is_t {
        let horsepower = kilowatts / HORSEPOWER;
        let row = tables
            .t_frames
            .iter()
            .find(|row| row[0] == poles && (row[1] / horsepower - 1.0).abs() < 0.02)?;
        (place(&T_SIZES, two)?, place(&T_SIZES, row[2])?, format!("{}x", row[2]))
    } else {
        let row = tables
            .frames
            .iter()
            .find(|row| row[0] == poles && (row[1] / kilowatts - 1.0).abs() < 0.02)?;
        (
            place(&tables.heights, number)?,
            place(&tables.heights, row[2])?,
            format!("{}", row[2]),
        )
    };
    if found.abs_diff(usual) < 2 {
        return None;
    }
    let words = said::own_rating(format!("Frame {word} for ").into(), motor);
    Some(words.and(&format!(
        " and {poles} poles; usual is {shown}, {} sizes {}.",
        found.abs_diff(usual),
        if found < usual { "larger" } else { "smaller" }
    )))
}

/// System voltages of one frequency that hardly stand with the other.
const OF_60_HZ: [f64; 6] = [208.0, 460.0, 480.0, 575.0, 600.0, 4160.0];
const OF_50_HZ: [f64; 1] = [415.0];

fn voltage(motor: &Motor) -> Option<String> {
    let frequency = motor.cell(Reads::Frequency)?;
    let hertz = float(motor.one(Reads::Frequency)?);
    let (known, other) = if (49.0..51.0).contains(&hertz) {
        (&OF_60_HZ[..], "60 Hz")
    } else if (59.0..61.0).contains(&hertz) {
        (&OF_50_HZ[..], "50 Hz")
    } else {
        return None;
    };
    debug_assert_eq!(Reads::Voltage.sort(), Sort::Number);
    let volts = motor
        .cell(Reads::Voltage)?
        .all()
        .iter()
        .map(|volts| float(*volts))
        .find(|volts| known.contains(volts))?;
    let guessed = if frequency.column.is_empty() {
        ", which was not read in this row"
    } else {
        ""
    };
    Some(format!(
        "{volts} V is a voltage of {other} systems, and the frequency is {hertz} Hz{guessed}."
    ))
}
