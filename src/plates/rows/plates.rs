//! The values of a plate in their cells: voltages and connections, poles, frequencies, whole plates beside columns.
//!
//! Always: what a plate and a column say differently is told; the column holds.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::drives::runs_at;
use super::numbers::{DOUBTED, Part, Read, is_digits, joined, quoted, ratings_disagree, same_power, to_usual};
use super::{Often, Plan, Supply};
use crate::fault::{Code, Severity, Words};
use crate::plates::cell;
use crate::plates::cell::{Counted, Plain, Writing};
use crate::plates::heading::Connection;
use crate::plates::motor::{Cell, Doubt, Motor, Other, Raw, Reading, shown};
use crate::plates::reads::{PlateUnit, Reads, float};
use crate::plates::said;

/// The quantities of a whole nameplate in one cell, where no column of their own gives them. What of the plate is not read is told.
pub(super) fn plates(motor: &mut Motor, plan: &Plan<'_>, doubts: &mut Vec<Doubt>) {
    let Some(from) = motor.cell(plan.reads) else { return };
    let Reading::Words(text) = from.value.clone() else {
        return;
    };
    let mut found = cell::plate(&text, plan.writing.comma);
    let row = motor.source_row;
    let mut tell =
        |code: Code, text: String| doubts.push(Doubt::new(Some(row), code, format!("{}: {text}", plan.name)));
    if motor.one(Reads::RatedSpeed).is_none()
        && let Some(speed) = lone_speed(&mut found, motor, plan.writing.comma)
    {
        tell(
            Code::NUMBER_AMBIGUOUS,
            format!(
                "{} stands without a name on the plate; it was taken as the speed in r/min, as it would be one of {} poles at {} Hz.",
                speed.0.normalize(),
                speed.1,
                speed.2
            ),
        );
    }
    let left = std::mem::take(&mut found.left);
    let is_plate = found.len() >= 2 || matches!(plan.reads, Reads::Nameplate | Reads::Model) && !left.is_empty();
    if is_plate && !left.is_empty() {
        let read = if found.is_empty() && found.words.is_empty() {
            ", and nothing else stands there"
        } else {
            ""
        };
        tell(
            Code::PLATE_NOT_ALL_READ,
            format!("not read: {}{read}.", shown(&left.join(", "))),
        );
    }
    let cell = |value: Reading, unit: PlateUnit| Cell {
        raw: Raw::Text(text.clone()),
        column: plan.name.clone(),
        value,
        unit,
        confidence: 85,
        note: Some(Arc::from("from the nameplate in one cell")),
    };
    let mut further: Vec<(Reads, Cell)> = Vec::new();
    for (reads, amounts) in found.numbers {
        let unit = amounts.iter().rev().find_map(|amount| amount.unit);
        let usual = match (reads, unit) {
            (Reads::RatedPower, Some(unit)) => unit,
            _ => reads.usual(),
        };
        let values: Vec<Decimal> = amounts
            .iter()
            .filter(|amount| reads != Reads::RatedPower || amount.unit == amounts.first().and_then(|first| first.unit))
            .map(|amount| to_usual(amount.value, amount.unit))
            .map(|value| match reads {
                Reads::PowerFactor if float(value) > 1.5 => value.checked_div(Decimal::ONE_HUNDRED).unwrap_or(value),
                Reads::Efficiency if float(value) <= 1.5 => value.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(value),
                _ => value,
            })
            .map(|value| value.normalize())
            .collect();
        let unit = match reads {
            // One rating in two units: the first.
            Reads::RatedPower => amounts.first().and_then(|first| first.unit).unwrap_or(usual),
            _ => usual,
        };
        let (values, unit) = if unit == PlateUnit::Watt {
            let kilowatts = |value: &Decimal| value.checked_div(Decimal::ONE_THOUSAND).unwrap_or(*value);
            (values.iter().map(kilowatts).collect(), PlateUnit::Kilowatt)
        } else {
            (values, unit)
        };
        let value = match values.as_slice() {
            [only] => Reading::One(*only),
            _ => Reading::Several(values.into()),
        };
        let mut cell = cell(value, unit);
        if reads == Reads::RatedPower {
            let given: Vec<_> = amounts
                .iter()
                .filter_map(|amount| Some((amount.value, amount.unit?)))
                .collect();
            doubts.extend(ratings_disagree(&mut cell, &given, row));
        }
        if reads == Reads::Poles {
            in_pairs(&mut cell, row, doubts);
        }
        if reads == Reads::RatedSpeed
            && amounts
                .iter()
                .any(|amount| amount.unit.is_none() && amount.other == LONE)
        {
            cell.confidence = DOUBTED;
            cell.say("a number without a name, taken as the speed");
        }
        further.push((reads, cell));
    }
    for (reads, word) in found.words {
        further.push((reads, cell(Reading::Words(Arc::from(word)), PlateUnit::One)));
    }
    for (reads, cell) in further {
        match motor.cell_mut(reads) {
            Some(known) if known.value == Reading::Nothing => *known = cell,
            Some(known) => doubts.extend(plate_differs(reads, known, &cell, row)),
            None => motor.cells.push((reads, cell)),
        }
    }
}

/// Plate currents of both connections, in the order of the voltages they belong to: delta with the lower one.
pub(super) fn connections(motor: &mut Motor, mut by_connection: Vec<(Connection, Cell)>) {
    by_connection.retain(|(_, cell)| cell.one().is_some());
    by_connection.sort_by_key(|(connection, _)| *connection);
    let volts = motor
        .cell(Reads::Voltage)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    if let [first, second] = volts.as_slice()
        && first > second
    {
        by_connection.reverse();
    }
    let raw: Vec<String> = by_connection.iter().map(|(_, cell)| cell.raw.text()).collect();
    let names: Vec<&str> = by_connection.iter().map(|(_, cell)| cell.column.as_ref()).collect();
    let values: Vec<Decimal> = by_connection.iter().filter_map(|(_, cell)| cell.one()).collect();
    let Some((_, first)) = by_connection.first() else {
        return;
    };
    let mut cell = first.clone();
    cell.raw = Raw::Text(Arc::from(raw.join(" | ")));
    cell.column = Arc::from(names.join(" | "));
    if values.len() > 1 {
        cell.value = Reading::Several(values.into());
    }
    motor.cells.push((Reads::RatedCurrent, cell));
}

/// Three phases in one cell in other dress: `11.2 11.0 10.9`, `11.2, 11.0, 10.9`, `L1=11.2 L2=11.0 L3=10.9`.
pub(super) fn phases_in(reads: Reads, text: &str, writing: Writing) -> Option<Plain> {
    if !matches!(reads, Reads::MeasuredCurrent | Reads::MeasuredVoltage) || text.len() > 80 {
        return None;
    }
    let apart = text
        .replace([';', '|'], " ")
        .replace(", ", " ")
        .replace("= ", "=")
        .replace(": ", ":");
    let mut amounts = Vec::new();
    for token in apart.split_whitespace() {
        let value = token.rsplit(['=', ':']).next().unwrap_or(token);
        let is_unit = !cell::units_only(token).is_empty();
        if is_unit && !amounts.is_empty() {
            continue;
        }
        let plain = cell::read(reads, value, writing)?;
        let [only] = plain.amounts.as_slice() else { return None };
        amounts.push(*only);
    }
    (amounts.len() == 3).then(|| Plain {
        amounts,
        ..Plain::default()
    })
}

/// Marks an amount that stood without a name.
const LONE: Option<Decimal> = Some(Decimal::NEGATIVE_ONE);

/// A number of the plate without a name that can be its speed and nothing else: taken into what was found. Gives the speed, and the
/// poles and frequency it would be of.
fn lone_speed(found: &mut cell::PlateText, motor: &Motor, comma: bool) -> Option<(Decimal, f64, f64)> {
    if found.len() < 2 || found.numbers.iter().any(|(reads, _)| *reads == Reads::RatedSpeed) {
        return None;
    }
    let on_plate = |reads: Reads| {
        let (_, amounts) = found.numbers.iter().find(|(known, _)| *known == reads)?;
        amounts.first().map(|amount| float(amount.value))
    };
    let hertz = on_plate(Reads::Frequency).or_else(|| motor.float(Reads::Frequency));
    let fits = |speed: f64| {
        [50.0, 60.0]
            .into_iter()
            .filter(|known| hertz.is_none_or(|hertz| hertz == *known))
            .find_map(|hertz| {
                let pairs = (60.0 * hertz / speed).floor();
                let slip = 1.0 - speed * pairs / (60.0 * hertz);
                ((1.0..=8.0).contains(&pairs) && (0.002..0.09).contains(&slip)).then_some((2.0 * pairs, hertz))
            })
    };
    let mut able = found.left.iter().enumerate().filter_map(|(place, text)| {
        let (value, _) = cell::number(text, Writing { comma, whole: true }).filter(|_| is_digits(text))?;
        let (poles, hertz) = fits(float(value))?;
        Some((place, value, poles, hertz))
    });
    let (place, value, poles, hertz) = able.next()?;
    if able.next().is_some() {
        return None;
    }
    found.left.remove(place);
    found.numbers.push((
        Reads::RatedSpeed,
        vec![cell::Amount {
            value,
            unit: None,
            other: LONE,
        }],
    ));
    Some((value, poles, hertz))
}

/// What the plate says beside a column of its own that says something else: the column holds, and both are told.
fn plate_differs(reads: Reads, known: &Cell, plate: &Cell, row: u32) -> Option<Doubt> {
    let (column, on_plate) = (known.one()?, plate.one()?);
    let same = match reads {
        Reads::RatedPower => same_power(column, known.unit, on_plate, plate.unit),
        _ => (float(column) - float(on_plate)).abs() <= 0.005 * float(column).abs(),
    };
    (!same).then(|| {
        Doubt::new(
            Some(row),
            Code::PLATE_DIFFERS,
            format!(
                "{} says {} {}, and the plate in {} says {} {}; the column was used.",
                known.column,
                column.normalize(),
                known.unit.text(),
                plate.column,
                on_plate.normalize(),
                plate.unit.text()
            ),
        )
    })
}

/// Currents in columns that name their voltage: the pair of voltages and currents.
pub(super) fn voltages(motor: &mut Motor, by_voltage: Vec<Part<Decimal>>) {
    if by_voltage.is_empty() {
        return;
    }
    let raw: Vec<String> = by_voltage.iter().map(|(_, _, raw, _)| raw.text()).collect();
    let names: Vec<&str> = by_voltage.iter().map(|(.., name)| name.as_ref()).collect();
    let known: Vec<(Decimal, Decimal)> = by_voltage
        .iter()
        .filter_map(|(volts, current, ..)| Some((*volts, (*current)?)))
        .collect();
    let several = |values: Vec<Decimal>| match values.as_slice() {
        [] => Reading::Nothing,
        [only] => Reading::One(*only),
        _ => Reading::Several(values.into()),
    };
    let column: Arc<str> = Arc::from(names.join(" | "));
    let cell = |value, unit, raw| Cell {
        raw,
        column: column.clone(),
        value,
        unit,
        confidence: 95,
        note: None,
    };
    motor.cells.push((
        Reads::RatedCurrent,
        cell(
            several(known.iter().map(|(_, current)| *current).collect()),
            PlateUnit::Ampere,
            Raw::Text(Arc::from(raw.join(" | "))),
        ),
    ));
    if motor.cell(Reads::Voltage).is_none() {
        let mut voltage = cell(
            several(known.iter().map(|(volts, _)| *volts).collect()),
            PlateUnit::Volt,
            Raw::None,
        );
        voltage.say("from the heading of the currents");
        motor.cells.push((Reads::Voltage, voltage));
    }
}

/// The motor of several in its row that its columns are of, beside what the row says of them all.
pub(super) fn named_by_heading(motor: &mut Motor, machine: &Arc<str>, often: &Often) {
    if let Some(cell) = motor.cell_mut(Reads::Description)
        && let Reading::Words(words) = &cell.value
    {
        cell.value = Reading::Words(Arc::from(format!("{words}, {machine}")));
        cell.say("with the machine that the headings name");
        return;
    }
    motor.cells.retain(|(reads, _)| *reads != Reads::Description);
    motor.cells.push((
        Reads::Description,
        Cell {
            raw: Raw::None,
            column: often.nothing.clone(),
            value: Reading::Words(machine.clone()),
            unit: PlateUnit::One,
            confidence: 85,
            note: Some(often.from_heading.clone()),
        },
    ));
}

/// Plate values in columns that name their frequency: pairs in the order of the frequencies, as if they stood in one cell.
pub(super) fn frequencies(motor: &mut Motor, by_hertz: Vec<(Decimal, Reads, Cell)>, often: &Often) {
    // A column without a value says nothing of the plate.
    let (mut filled, empty): (Vec<_>, Vec<_>) = by_hertz
        .into_iter()
        .partition(|(.., cell)| cell.value != Reading::Nothing);
    filled.sort_by_key(|(hertz, ..)| *hertz);
    let mut hertz: Vec<Decimal> = filled.iter().map(|(hertz, ..)| *hertz).collect();
    hertz.dedup();
    if let Some(reading) = match hertz.as_slice() {
        [] => None,
        [only] => Some(Reading::One(*only)),
        several => Some(Reading::Several(several.into())),
    } && motor.cell(Reads::Frequency).is_none()
    {
        motor.cells.push((
            Reads::Frequency,
            Cell {
                raw: Raw::None,
                column: often.nothing.clone(),
                value: reading,
                unit: PlateUnit::Hertz,
                confidence: 85,
                note: Some(often.from_heading.clone()),
            },
        ));
    }
    for (at, reads, cell) in filled {
        let Some(known) = motor.cell_mut(reads) else {
            let mut cell = cell;
            if hertz.len() > 1 {
                cell.say(format!("at {} Hz", at.normalize()));
            }
            motor.cells.push((reads, cell));
            continue;
        };
        known.raw = Raw::Text(Arc::from(format!("{} | {}", known.raw.text(), cell.raw.text())));
        known.column = Arc::from(format!("{} | {}", known.column, cell.column));
        known.value = Reading::Several([known.all(), cell.all()].concat().into());
        known.confidence = known.confidence.min(cell.confidence);
        known.say(format!("at {} Hz", at.normalize()));
    }
    for (_, reads, cell) in empty {
        if motor.cell(reads).is_none() {
            motor.cells.push((reads, cell));
        }
    }
}

/// Poles of pole pairs, by what the cell says it counts, else by its heading.
pub(super) fn pole_pairs(read: &mut Read, pairs: bool) {
    let pairs = match read.plain.as_ref().and_then(|plain| plain.counted) {
        Some(counted) => counted == Counted::Pairs,
        None => pairs,
    };
    if !pairs || read.cell.value == Reading::Nothing {
        return;
    }
    let twice = |value: &Decimal| value.checked_mul(Decimal::TWO).unwrap_or(*value);
    read.cell.value = match &read.cell.value {
        Reading::One(value) => Reading::One(twice(value)),
        Reading::Several(values) => Reading::Several(values.iter().map(twice).collect()),
        other => other.clone(),
    };
    read.cell.say("given as pole pairs");
}

/// Poles come in pairs: another count is told and not used.
pub(super) fn in_pairs(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let is_pair = |value: &Decimal| *value >= Decimal::TWO && (*value % Decimal::TWO).is_zero();
    if cell.all().iter().all(is_pair) {
        return;
    }
    let whole = cell
        .all()
        .iter()
        .all(|value| value.is_integer() && *value > Decimal::ZERO);
    let pairs = if whole {
        let twice = cell.all().iter().map(|value| value.saturating_mul(Decimal::TWO));
        format!(" If it counts pole pairs, there are {} poles.", joined(twice))
    } else {
        String::new()
    };
    doubts.push(Doubt::new(
        Some(row),
        Code::POLES_NOT_IN_PAIRS,
        format!(
            "{}: {} poles cannot be, as poles come in pairs; the count was not used.{pairs}",
            cell.column,
            cell.raw.shown()
        ),
    ));
    cell.value = Reading::Nothing;
    cell.say("not in pairs, no value");
}

/// Another frequency in the words of a row, as of a machine from abroad: taken where the plate speed goes with it and not with that of the
/// list, else told. What a drive gives is another matter.
pub(super) fn frequency_in_words(motor: &mut Motor) -> Option<Doubt> {
    let hertz = motor.one(Reads::Frequency)?;
    let (said_in, words) = [Reads::Remarks, Reads::Description, Reads::Model, Reads::Connection]
        .into_iter()
        .find_map(|reads| {
            let words = motor.words(reads)?.clone();
            words.to_lowercase().contains("hz").then_some((reads, words))
        })?;
    let (_, said) = cell::supply_in(&words);
    let [said] = said.as_slice() else { return None };
    let usual = [Decimal::from(50), Decimal::from(60)];
    if *said == hertz || !usual.contains(said) {
        return None;
    }
    let speed = motor.float(Reads::RatedSpeed);
    let goes = speed.is_some_and(|speed| runs_at(float(*said), speed) && !runs_at(float(hertz), speed));
    let poles = motor.one(Reads::RatedSpeed).and_then(|speed| poles_at(speed, *said));
    let poles = poles.filter(|_| motor.one(Reads::Poles).is_none());
    let column = motor
        .cell(said_in)
        .map_or_else(String::new, |cell| cell.column.to_string());
    let begins = format!("{column}: {} says {} Hz", quoted(&words), said.normalize());
    let mut other = Other::of(Reads::Frequency, said::typed(*said, PlateUnit::Hertz));
    if !goes {
        other
            .sets
            .extend(poles.map(|poles| (Reads::Poles, format!("{} pole", poles.normalize()))));
        let text = format!("{begins}, and {} Hz of the list was used.", hertz.normalize());
        return Some(Doubt::new(Some(motor.source_row), Code::FREQUENCY_IN_WORDS, text).offering([other]));
    }
    let cell = motor.cell_mut(Reads::Frequency)?;
    cell.value = Reading::One(*said);
    cell.confidence = 75;
    cell.note = Some(Arc::from("from the words of the row; the plate speed goes with it"));
    let text = format!(
        "{begins}, and the plate speed goes with it and not with the {} Hz of the list: it was used.",
        hertz.normalize()
    );
    let back = Other::of(Reads::Frequency, said::typed(hertz, PlateUnit::Hertz));
    Some(
        Doubt::new(Some(motor.source_row), Code::FREQUENCY_IN_WORDS, text)
            .as_severe(Severity::Note)
            .offering([back]),
    )
}

/// The poles that a plate speed belongs to: 2 · floor(60 f / n).
pub(in crate::plates) fn poles_at(speed: Decimal, hertz: Decimal) -> Option<Decimal> {
    let pairs = hertz.checked_mul(Decimal::from(60))?.checked_div(speed)?.floor();
    (pairs >= Decimal::ONE && pairs <= Decimal::from(60)).then(|| pairs * Decimal::TWO)
}

/// Poles by plate speed and frequency where the list does not say them: 2 · floor(60 f / n).
pub(super) fn poles(motor: &mut Motor, often: &Often) {
    if motor.one(Reads::Poles).is_some() {
        return;
    }
    let synchronous = motor.one(Reads::SynchronousSpeed);
    let speed = motor.one(Reads::RatedSpeed).or(synchronous);
    let (Some(speed), Some(hertz)) = (speed, motor.one(Reads::Frequency)) else {
        return;
    };
    let Some(poles) = poles_at(speed, hertz) else { return };
    let before = motor.cell(Reads::Poles).map(|cell| cell.raw.clone());
    motor.cells.retain(|(reads, _)| *reads != Reads::Poles);
    motor.cells.push((
        Reads::Poles,
        Cell {
            raw: before.unwrap_or(Raw::None),
            column: often.nothing.clone(),
            value: Reading::One(poles),
            unit: PlateUnit::One,
            confidence: 85,
            note: Some(often.implied.clone()),
        },
    ));
}

/// How many motors the rating of a row says, `2x1.5`: each of them has the rating. Common practice, no source; a column of counts holds
/// where it says otherwise.
pub(super) fn several_alike(motor: &mut Motor, times: u32, often: &Often, doubts: &mut Vec<Doubt>) {
    let Some(rating) = motor.cell(Reads::RatedPower).cloned() else {
        return;
    };
    let Some(each) = rating.one().filter(|_| times > 1) else {
        return;
    };
    let row = motor.source_row;
    let count = Decimal::from(times);
    let begins = format!("{}: {} was read as", rating.column, rating.raw.shown());
    let each = said::typed(each, rating.unit);
    let number = |count: Decimal| Other::of(Reads::Quantity, count.normalize().to_string());
    match motor.one(Reads::Quantity) {
        Some(known) if known == count => {}
        Some(known) => doubts.push(
            Doubt::new(
                Some(row),
                Code::NUMBER_AMBIGUOUS,
                format!(
                    "{begins} {times} motors of {each}, and the list says {} for how many there are; that was used.",
                    known.normalize()
                ),
            )
            .as_severe(Severity::Warning)
            .offering([number(count)]),
        ),
        None => {
            motor.cells.retain(|(reads, _)| *reads != Reads::Quantity);
            motor.cells.push((
                Reads::Quantity,
                Cell {
                    raw: Raw::None,
                    column: often.nothing.clone(),
                    value: Reading::One(count),
                    unit: PlateUnit::One,
                    confidence: 80,
                    note: Some(Arc::from("as the rating says")),
                },
            ));
            doubts.push(
                Doubt::new(
                    Some(row),
                    Code::NUMBER_AMBIGUOUS,
                    format!("{begins} {times} motors of {each} each, which count as {times} in every sum."),
                )
                .offering([number(Decimal::ONE)]),
            );
        }
    }
}

/// The doubt of a row with both readings of a cell of this column.
pub(super) fn ambiguity<'d>(doubts: &'d mut [Doubt], row: u32, column: &str) -> Option<&'d mut Doubt> {
    doubts.iter_mut().rev().find(|doubt| {
        doubt.source_row == Some(row) && doubt.code == Code::NUMBER_AMBIGUOUS && doubt.text.starts_with(column)
    })
}

/// A rating with a sign that may part thousands or decimals: the plate's own volts and amps decide where only one of the two is at most
/// √3·V·I and no small part of it. Where they do not, the doubt is a warning: the two are a factor of thousand apart.
pub(super) fn by_apparent(motor: &mut Motor, other: Decimal, doubts: &mut [Doubt]) {
    let apparent = 3f64.sqrt() * motor.used_voltage.map_or(0.0, float) * motor.used_current.map_or(0.0, float) / 1000.0;
    let rating = motor.cell(Reads::RatedPower);
    let kilowatts = rating.and_then(|cell| cell.unit.kilowatts()).unwrap_or(1.0);
    let fits = |rating: Decimal| apparent > 0.0 && (0.2..=1.05).contains(&(float(rating) * kilowatts / apparent));
    let by = "the volts and amps of the plate say";
    decide(motor, Reads::RatedPower, other, fits, by, doubts);
}

/// A measured power with such a sign: the rating decides where only one of the two is a load of it. From a twentieth of the rating to
/// one and a half times of it; common practice, no source.
pub(super) fn by_rating(motor: &mut Motor, other: Decimal, doubts: &mut [Doubt]) {
    let rating = motor.kilowatts().unwrap_or(0.0);
    let fits = |measured: Decimal| rating > 0.0 && (0.05..=1.5).contains(&(float(measured) / rating));
    decide(motor, Reads::MeasuredPower, other, fits, "the rating says", doubts);
}

/// Decides between two readings of a cell by what only one of them goes with.
fn decide(
    motor: &mut Motor,
    reads: Reads,
    other: Decimal,
    fits: impl Fn(Decimal) -> bool,
    by: &str,
    doubts: &mut [Doubt],
) {
    let row = motor.source_row;
    let Some(cell) = motor.cell_mut(reads) else { return };
    let Some(value) = cell.one() else { return };
    let doubt = ambiguity(doubts, row, &cell.column);
    let (read, instead) = match (fits(value), fits(other)) {
        (true, false) => (value, other),
        (false, true) => (other, value),
        _ => {
            if let Some(doubt) = doubt {
                doubt.severity = Severity::Warning;
            }
            return;
        }
    };
    cell.value = Reading::One(read.normalize());
    cell.say(format!("decided as {by}"));
    cell.confidence = 80;
    if let Some(doubt) = doubt {
        doubt.severity = Severity::Note;
        doubt.text = Words::from(format!(
            "{}: {} was read as {}, as {by}; {} would not go with it.",
            cell.column,
            cell.raw.shown(),
            said::typed(read, cell.unit),
            said::typed(instead, cell.unit)
        ));
    }
}

/// The member of a pair of voltages nearest the measured volts, else the supply, and the current that belongs to it.
pub(super) fn used(motor: &mut Motor, supply: &Supply, doubts: &mut Vec<Doubt>) {
    let voltages: Vec<Decimal> = motor
        .cell(Reads::Voltage)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    let currents: Vec<Decimal> = motor
        .cell(Reads::RatedCurrent)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    motor.supply = supply.volts;
    let near = motor.one(Reads::MeasuredVoltage).or(supply.volts);
    let chosen = match (voltages.as_slice(), near) {
        ([], _) => None,
        ([_], _) => Some(0),
        (several, Some(near)) => several
            .iter()
            .enumerate()
            .min_by_key(|(_, volts)| (**volts - near).abs())
            .map(|(index, _)| index),
        (_, None) => None,
    };
    let by_frequency = |reads: Reads, values: &[Decimal]| motor.chosen?.among(reads, values);
    let chosen = match motor.chosen {
        Some(of) if by_frequency(Reads::Voltage, &voltages).is_some() => Some(usize::from(of.which)),
        _ => chosen,
    };
    let of_frequency = by_frequency(Reads::RatedCurrent, &currents);
    motor.used_voltage = chosen.and_then(|index| voltages.get(index).copied());
    if let ([first, second], Some(used)) = (voltages.as_slice(), motor.used_voltage)
        && currents.len() < 2
        && let (low, high) = (float(*first.min(second)), float(*first.max(second)))
        && high / low < 1.2
        && let Some(cell) = motor.cell(Reads::Voltage)
    {
        let text = format!(
            "{}: {} is a range of voltages; {} V was used. The other end is {:.0} % off, and current and slip go with it.",
            cell.column,
            cell.raw.shown(),
            used.normalize(),
            (high / low - 1.0) * 100.0
        );
        doubts.push(Doubt::new(Some(motor.source_row), Code::SEVERAL_VALUES, text).as_severe(Severity::Warning));
    }
    if let (Some(cell), true, None) = (motor.cell(Reads::Voltage), voltages.len() > 1, motor.used_voltage) {
        let text = format!(
            "{}: {} gives several voltages, and which of them the supply has is not said; none was used.",
            cell.column,
            cell.raw.shown()
        );
        let readings = voltages.iter().enumerate().map(|(place, volts)| {
            let mut other = Other::of(Reads::Voltage, said::typed(*volts, PlateUnit::Volt));
            if currents.len() == voltages.len()
                && let Some(amps) = currents.get(place)
            {
                other
                    .sets
                    .push((Reads::RatedCurrent, said::typed(*amps, PlateUnit::Ampere)));
            }
            other
        });
        doubts.push(Doubt::new(Some(motor.source_row), Code::SUPPLY_NOT_SAID, text).offering(readings));
    }
    motor.used_current = match (currents.as_slice(), chosen) {
        _ if of_frequency.is_some() => of_frequency,
        ([only], _) => Some(*only),
        (several, Some(index)) if several.len() == voltages.len() => several.get(index).copied(),
        _ => None,
    };
    if currents.len() > 1 && currents.len() != voltages.len() && of_frequency.is_none() {
        doubts.push(Doubt::new(
            Some(motor.source_row),
            Code::PAIR_UNMATCHED,
            format!(
                "{} currents stand beside {}; which belongs to the supply is not certain, so none was used.",
                currents.len(),
                match voltages.len() {
                    0 => "no voltage".to_owned(),
                    1 => "one voltage".to_owned(),
                    several => format!("{several} voltages"),
                }
            ),
        ));
    }
}
