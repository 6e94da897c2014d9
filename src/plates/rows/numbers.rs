//! One cell as a number: its unit, its scale, its pair, and what speaks against it.
//!
//! Always: the raw text stays; what can be read in two ways is told with both readings.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::plates::phases_in;
use super::service::number_word;
use super::{Plan, Spoken};
use crate::fault::{Code, Severity};
use crate::plates::cell::{Plain, Writing};
use crate::plates::heading::Per;
use crate::plates::motor::{Cell, Doubt, Motor, Other, Raw, Reading, decimal, shown};
use crate::plates::reads::{PlateUnit, Reads, Sort, float};
use crate::plates::store::{Content, Grid, Look};
use crate::plates::{cell, said, scale, words};
use crate::quantity::{Unit, convert};

/// Ratings of one motor are the same power, in two units as near as the series of the two go together: else a doubt with both, and
/// whether they would be the same with their units swapped.
pub(super) fn ratings_disagree(cell: &mut Cell, given: &[(Decimal, PlateUnit)], row: u32) -> Option<Doubt> {
    let ((first, unit), (second, other)) = given.iter().enumerate().find_map(|(place, a)| {
        let b = given.iter().skip(place + 1).find(|b| !same_power(a.0, a.1, b.0, b.1))?;
        Some((*a, *b))
    })?;
    let in_other = |value: Decimal, from: PlateUnit, to: PlateUnit| {
        if from == to {
            return "in the same unit".to_owned();
        }
        let kilowatts = float(value) * from.kilowatts().unwrap_or(1.0);
        format!("{:.1} {}", kilowatts / to.kilowatts().unwrap_or(1.0), to.text())
    };
    let swapped = if same_power(first, other, second, unit) {
        format!(
            "; {} {} and {} {} would agree, so the units may be swapped",
            first.normalize(),
            other.text(),
            second.normalize(),
            unit.text()
        )
    } else {
        String::new()
    };
    cell.confidence = cell.confidence.min(DOUBTED);
    Some(Doubt::new(
        Some(row),
        Code::RATINGS_DISAGREE,
        format!(
            "{}: {} {} is {}, and beside it stands {} {}, which is {}{swapped}. {} {} was used.",
            cell.column,
            first.normalize(),
            unit.text(),
            in_other(first, unit, other),
            second.normalize(),
            other.text(),
            in_other(second, other, unit),
            cell.one().unwrap_or_default().normalize(),
            cell.unit.text()
        ),
    ))
}

/// Certainty of a reading beside which another one stands that is as likely, in per cent.
pub(super) const DOUBTED: u8 = crate::plates::trust::AS_LIKELY - 10;

/// Whether two ratings are one: those of the two series go together by a tenth or better (4 kW with 5.5 hp, 0.75 kW with 1 hp).
pub(super) fn same_power(a: Decimal, unit: PlateUnit, b: Decimal, other: PlateUnit) -> bool {
    let kilowatts = |value: Decimal, unit: PlateUnit| float(value) * unit.kilowatts().unwrap_or(1.0);
    (0.88..1.14).contains(&(kilowatts(a, unit) / kilowatts(b, other)))
}

/// The units of two bare numbers under a heading that names two units of power: told by the numbers themselves, so that the order
/// of the heading does not matter.
pub(super) fn two_units(amounts: &[cell::Amount], heading: &[PlateUnit]) -> Option<[PlateUnit; 2]> {
    let [first, second] = amounts else { return None };
    if first.unit.is_some() || second.unit.is_some() {
        return None;
    }
    let other = heading
        .iter()
        .copied()
        .find(|unit| matches!(unit, PlateUnit::Horsepower | PlateUnit::MetricHorsepower))?;
    if !heading.contains(&PlateUnit::Kilowatt) {
        return None;
    }
    [[PlateUnit::Kilowatt, other], [other, PlateUnit::Kilowatt]]
        .into_iter()
        .find(|[a, b]| same_power(first.value, *a, second.value, *b))
}

/// One of several columns that make one reading: which, its value, its raw text and its heading.
pub(super) type Part<W> = (W, Option<Decimal>, Raw, Arc<str>);

/// A cell read by its column.
pub(super) struct Read {
    pub(super) cell: Cell,
    pub(super) plain: Option<Rc<Plain>>,
    /// The unit of the column.
    pub(super) own: Option<PlateUnit>,
    /// The other reading, where a sign may part thousands or decimals and nothing in the cell settles it; in the unit that is kept.
    pub(super) other: Option<Decimal>,
}

/// Reads a cell by the plan of its column.
pub(super) fn one_cell(
    spoken: &mut Spoken<'_>,
    plan: &mut Plan<'_>,
    content: Content,
    look: Look,
    raw: Raw,
    row: u32,
    doubts: &mut Vec<Doubt>,
) -> Read {
    let grid = spoken.grid;
    let reads = plan.reads;
    let own = plan.column.unit;
    let mut cell = Cell {
        raw,
        column: plan.name.clone(),
        value: Reading::Nothing,
        unit: own.filter(|unit| unit.fits(reads)).unwrap_or(reads.usual()),
        confidence: (plan.column.heading.confidence * 100.0) as u8,
        note: None,
    };
    if matches!(reads, Reads::PowerFactor | Reads::Efficiency) {
        cell.unit = reads.usual();
    }
    if reads.sort() == Sort::Text {
        let text = match content {
            Content::Text(index) => {
                let text = grid.text(index).trim();
                // Remarks of words are kept: `out of service` says more than nothing. So are `S/D` of a starter and a tag `X`.
                let keeps = match reads {
                    Reads::Remarks | Reads::Description => text.chars().filter(|sign| sign.is_alphabetic()).count() > 3,
                    Reads::Drive => spoken.own.words.is(text, "line"),
                    Reads::Tag => text.chars().count() == 1 && text.chars().all(char::is_alphabetic),
                    _ => false,
                };
                if !keeps && spoken.says(index, Spoken::BLANK) {
                    None
                } else if text.len() == grid.text(index).len() {
                    Some(grid.shared(index))
                } else {
                    Some(Arc::from(text))
                }
            }
            other => Some(Arc::from(grid.shown(other))),
        };
        cell.value = text.map_or(Reading::Nothing, Reading::Words);
        return Read {
            cell,
            plain: None,
            own,
            other: None,
        };
    }
    let mut plain = None;
    let mut two = None;
    match content {
        Content::Number(number) => match decimal(number) {
            Some(value) => {
                let value = if look.has(Look::PERCENT) {
                    value.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(value)
                } else {
                    value
                };
                let unit = if look.has(Look::PERCENT) {
                    Some(PlateUnit::Percent)
                } else {
                    None
                };
                scaled(&mut cell, plan, value, unit, row, doubts);
            }
            None => cell.say("too large or too small to be a reading"),
        },
        Content::Text(index) => {
            let writing = plan.writing;
            let read = plan
                .seen
                .entry(index)
                .or_insert_with(|| {
                    let text = grid.text(index);
                    if cell::is_date(text) {
                        return None;
                    }
                    cell::read(reads, text, writing)
                        .or_else(|| number_word(reads, text, &spoken.own.words))
                        .or_else(|| phases_in(reads, text, writing))
                        .map(Rc::new)
                })
                .clone();
            match read {
                Some(read) => {
                    if let Some(note) = &read.note {
                        cell.say(note);
                    }
                    if read.about {
                        cell.say("given as about");
                        cell.confidence = cell.confidence.min(80);
                    }
                    if let [only] = read.amounts.as_slice() {
                        let value = to_usual(only.value, only.unit);
                        scaled(&mut cell, plan, value, only.unit, row, doubts);
                        two = only.other.map(|other| (only.value, other));
                        if read.bracketed && !plan.bracketed {
                            cell.confidence = cell.confidence.min(DOUBTED);
                            doubts.push(Doubt::new(
                                Some(row),
                                Code::NUMBER_AMBIGUOUS,
                                format!(
                                    "{}: {} stands in brackets; it was read as {}. Brackets may mean that it is estimated, of another motor, or below zero.",
                                    plan.name,
                                    cell.raw.shown(),
                                    only.value.normalize()
                                ),
                            ));
                        }
                    } else {
                        cell.value = Reading::Several(
                            read.amounts
                                .iter()
                                .map(|amount| to_usual(amount.value, amount.unit))
                                .collect(),
                        );
                    }
                    plain = Some(read);
                }
                None if cell::is_date(grid.text(index)) => a_date(&mut cell, plan, row, doubts),
                None => {
                    if reads.is_reading() && spoken.says(index, Spoken::STANDBY) {
                        cell.say("the motor stands by, no value");
                    } else if spoken.says(index, Spoken::ALSO_BLANK) {
                        cell.say("no value");
                    } else {
                        cell.say("words, no value");
                    }
                }
            }
        }
        Content::Date(_) => a_date(&mut cell, plan, row, doubts),
        Content::Failed(_) | Content::NotStored => {
            if reads != Reads::Load {
                doubts.push(Doubt::new(
                    Some(row),
                    Code::FORMULA_WITHOUT_VALUE,
                    format!("{}: the cell holds a formula without a result.", plan.name),
                ));
            }
            cell.say("a formula without a result");
        }
        Content::Truth(_) => {
            doubts.push(Doubt::new(
                Some(row),
                Code::TEXT_NOT_READ,
                format!(
                    "{}: {} is no number; {} stays empty.",
                    plan.name,
                    cell.raw.shown(),
                    reads.title().to_lowercase()
                ),
            ));
            cell.say("yes or no, no value");
        }
    }
    let said = plain
        .as_ref()
        .is_some_and(|plain| plain.amounts.iter().any(|amount| amount.unit.is_some()));
    if let Some(foreign) = &plan.column.heading.foreign
        && !said
    {
        from_foreign(&mut cell, foreign, reads.usual());
    } else if own == Some(PlateUnit::Kilovolt)
        && !said
        && let Reading::Several(values) = &cell.value
    {
        cell.value = Reading::Several(values.iter().map(|value| to_usual(*value, own)).collect());
    }
    match plan.column.heading.per {
        Some(per) => a_year(&mut cell, per),
        None if reads == Reads::HoursPerYear => of_a_day(&mut cell, row, doubts),
        None => {}
    }
    let other = two.and_then(|(value, other)| ambiguous(&mut cell, plan, value, other, row, doubts));
    negative(&mut cell, row, doubts);
    Read {
        cell,
        plain,
        own,
        other,
    }
}

/// Hours of a week or a month as hours of a year.
fn a_year(cell: &mut Cell, per: Per) {
    let (Some(hours), Some(times)) = (cell.one(), per.in_a_year()) else {
        return;
    };
    if let Some(value) = hours.checked_mul(Decimal::from(times)) {
        cell.value = Reading::One(value);
        cell.say(format!("{} h a {}, times {times}", hours.normalize(), per.word()));
    }
}

/// `24 h` among hours a year may be hours a day.
fn of_a_day(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let Some(hours) = cell
        .one()
        .filter(|hours| *hours > Decimal::ZERO && float(*hours) <= 24.0)
    else {
        return;
    };
    let written = cell.raw.text().chars().any(char::is_alphabetic);
    if !written && float(hours) != 24.0 {
        return;
    }
    cell.confidence = cell.confidence.min(DOUBTED);
    doubts.push(Doubt::new(
        Some(row),
        Code::NUMBER_AMBIGUOUS,
        format!(
            "{}: {} was read as {} hours a year; as hours a day it would be {} a year.",
            cell.column,
            cell.raw.shown(),
            hours.normalize(),
            hours.saturating_mul(Decimal::from(365)).normalize()
        ),
    ));
}

/// A day where a number is expected: told, and used only where it is a fraction that a spreadsheet made a day of.
fn a_date(cell: &mut Cell, plan: &Plan<'_>, row: u32, doubts: &mut Vec<Doubt>) {
    let expected = plan.reads.title().to_lowercase();
    let raw = cell.raw.text();
    let fraction = (plan.reads == Reads::RatedPower)
        .then(|| fraction_of_date(&raw))
        .flatten();
    let told = match &fraction {
        Some((shown, _)) => {
            format!("a fraction turned into it and was read as {shown}. Look at the plate.")
        }
        None => "a fraction may have turned into it.".to_owned(),
    };
    doubts.push(Doubt::new(
        Some(row),
        Code::DATE_FOR_NUMBER,
        format!(
            "{}: the cell is the date {}, where {expected} is expected; {told}",
            plan.name,
            cell.raw.shown()
        ),
    ));
    match fraction {
        Some((shown, value)) => {
            scaled(cell, plan, value, None, row, doubts);
            cell.say(format!("a date, read as the fraction {shown}"));
            cell.confidence = cell.confidence.min(DOUBTED);
        }
        None => cell.say("a date, no value"),
    }
}

/// Zero where a motor has a size of it: a sign for no value, as forms and data bases write it.
pub(super) fn zero(reads: Reads, cell: &mut Cell, row: u32, zeros: &mut BTreeMap<(Reads, Arc<str>), Vec<u32>>) {
    let may_be_zero = matches!(
        reads,
        Reads::Poles
            | Reads::HoursPerYear
            | Reads::HoursPerDay
            | Reads::DaysPerYear
            | Reads::Quantity
            | Reads::QuantityRunning
            | Reads::QuantityStandby
            | Reads::Load
    );
    if reads.sort() == Sort::Text || may_be_zero || cell.all().is_empty() || !cell.all().iter().all(Decimal::is_zero) {
        return;
    }
    cell.value = Reading::Nothing;
    cell.say("zero, no value");
    zeros.entry((reads, cell.column.clone())).or_default().push(row);
}

/// Nothing that is read in a list is below zero: such a value is told and not used.
fn negative(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let below = |value: &Decimal| value.is_sign_negative() && !value.is_zero();
    if !cell.all().iter().any(below) {
        return;
    }
    doubts.push(Doubt::new(
        Some(row),
        Code::VALUE_NEGATIVE,
        format!(
            "{}: {} is below zero, which cannot be; it was not used. Without its sign it would be {}.",
            cell.column,
            cell.raw.shown(),
            joined(cell.all().iter().map(Decimal::abs)),
        ),
    ));
    cell.value = Reading::Nothing;
    cell.say("below zero, no value");
}

/// Numbers beside each other.
pub(super) fn joined(values: impl Iterator<Item = Decimal>) -> String {
    let shown: Vec<String> = values.map(|value| value.normalize().to_string()).collect();
    shown.join("/")
}

/// Numbers of a column in a unit that no plate has, in the unit their quantity is kept in.
fn from_foreign(cell: &mut Cell, from: &Unit, to: PlateUnit) {
    let Some(target) = Unit::known(to.text()) else { return };
    let told = |value: &Decimal| {
        let number = convert(*value, from, &target).ok()?;
        number.to_decimal().map(|value| value.normalize())
    };
    let value = match &cell.value {
        Reading::One(value) => told(value).map(Reading::One),
        Reading::Several(values) => values.iter().map(told).collect::<Option<_>>().map(Reading::Several),
        _ => return,
    };
    match value {
        Some(value) => {
            cell.value = value;
            cell.unit = to;
            cell.say(format!("written in {}", from.text));
        }
        None => {
            cell.value = Reading::Nothing;
            cell.say("too large or too small to be a reading");
        }
    }
}

/// Volts of kilovolts.
pub(super) fn to_usual(value: Decimal, unit: Option<PlateUnit>) -> Decimal {
    match unit {
        Some(PlateUnit::Kilovolt) => value.checked_mul(Decimal::ONE_THOUSAND).unwrap_or(value),
        _ => value,
    }
}

/// Puts a number into the cell, on the scale of its column.
fn scaled(
    cell: &mut Cell,
    plan: &Plan<'_>,
    value: Decimal,
    unit: Option<PlateUnit>,
    row: u32,
    doubts: &mut Vec<Doubt>,
) {
    let hundred = Decimal::ONE_HUNDRED;
    let fraction_limit = Decimal::new(15, 1);
    let times = |value: Decimal| value.checked_mul(hundred).unwrap_or(value).normalize();
    let over = |value: Decimal| value.checked_div(hundred).unwrap_or(value).normalize();
    let is_fraction = value.abs() <= fraction_limit;
    let tell = |cell: &mut Cell, doubts: &mut Vec<Doubt>, code: Code, shown: String| {
        cell.say(format!("read as {shown}"));
        cell.confidence = cell.confidence.min(85);
        doubts.push(Doubt::new(
            Some(row),
            code,
            format!(
                "{}: {} stands on another scale than its column; read as {shown}.",
                plan.name,
                cell.raw.shown()
            ),
        ));
    };
    match plan.reads {
        Reads::Efficiency => {
            let read = if is_fraction { times(value) } else { value };
            let off_scale =
                unit.is_none() && is_fraction == plan.percent || unit == Some(PlateUnit::Percent) && is_fraction;
            if off_scale && !value.is_zero() {
                tell(cell, doubts, Code::EFFICIENCY_SCALE, format!("{} %", read.normalize()));
            }
            cell.value = Reading::One(read);
        }
        Reads::PowerFactor => {
            let read = if is_fraction && unit != Some(PlateUnit::Percent) {
                value
            } else {
                over(value)
            };
            if unit.is_none() && is_fraction == plan.percent && !value.is_zero() {
                tell(cell, doubts, Code::POWER_FACTOR_SCALE, read.normalize().to_string());
            }
            cell.value = Reading::One(read);
        }
        // Among per cents 0.7 may be 70 % or a motor that idles: the value stays, and is doubted.
        Reads::Load if unit.is_none() && is_fraction && plan.percent && !value.is_zero() => {
            cell.value = Reading::One(value);
            cell.confidence = cell.confidence.min(DOUBTED);
            doubts.push(Doubt::new(
                Some(row),
                Code::NUMBER_AMBIGUOUS,
                format!(
                    "{}: {} stands among per cents; it was read as {} %, and may be meant as {} %.",
                    plan.name,
                    cell.raw.shown(),
                    value.normalize(),
                    times(value)
                ),
            ));
        }
        // A column of shares; where its heading says per cent, both are told.
        Reads::Load if unit.is_none() && is_fraction && !value.is_zero() => {
            cell.value = Reading::One(times(value));
            cell.say(format!("a share, read as {} %", times(value)));
            if plan.name.contains('%') || plan.column.unit == Some(PlateUnit::Percent) {
                cell.confidence = cell.confidence.min(DOUBTED);
                doubts.push(Doubt::new(
                    Some(row),
                    Code::NUMBER_AMBIGUOUS,
                    format!(
                        "{}: all of the column are shares under per cent; {} was read as {} %, and may be meant as {} %.",
                        plan.name,
                        cell.raw.shown(),
                        times(value),
                        value.normalize()
                    ),
                ));
            }
        }
        _ => {
            if plan.column.unit == Some(PlateUnit::Kilovolt)
                && unit.is_none()
                && matches!(plan.reads, Reads::Voltage | Reads::MeasuredVoltage)
            {
                cell.unit = PlateUnit::Volt;
                cell.value = Reading::One(to_usual(value, Some(PlateUnit::Kilovolt)));
                return;
            }
            if let Some(unit) = unit
                && plan.reads != Reads::RatedPower
                && unit != PlateUnit::Kilovolt
            {
                if !unit.fits(plan.reads) {
                    doubts.push(not_in_unit(cell, unit.text(), row));
                    return;
                }
                cell.unit = unit;
            } else if unit == Some(PlateUnit::Kilovolt) {
                cell.unit = PlateUnit::Volt;
            }
            if cell.unit == PlateUnit::Watt && plan.reads != Reads::RatedPower {
                cell.unit = PlateUnit::Kilowatt;
                cell.value = Reading::One(value.checked_div(Decimal::ONE_THOUSAND).unwrap_or(value));
                cell.say("written in W");
                return;
            }
            let thousandth = plan.thousandths && scale::is_thousandth_of_speed(float(value));
            let value = match value.checked_mul(Decimal::ONE_THOUSAND).filter(|_| thousandth) {
                Some(times) => {
                    cell.say("the point parts thousands");
                    cell.confidence = cell.confidence.min(80);
                    times.normalize()
                }
                None => value,
            };
            cell.value = Reading::One(value);
        }
    }
}

/// A sign that parts thousands or decimals: both readings are kept; a doubt only where nothing settles it, and then the other reading is
/// given. `value` and `other` as they are written, before the cell was put into the unit it is kept in.
fn ambiguous(
    cell: &mut Cell,
    plan: &Plan<'_>,
    value: Decimal,
    other: Decimal,
    row: u32,
    doubts: &mut Vec<Doubt>,
) -> Option<Decimal> {
    cell.say(format!("could also be {}", other.normalize()));
    // A speed or a number of hours below 10 would be no reading at all.
    let settled = plan.writing.whole && float(other) < 10.0 && float(value) >= 100.0;
    if settled {
        return None;
    }
    cell.confidence = cell.confidence.min(DOUBTED);
    let kept = cell.one()?;
    let other = other.checked_mul(kept)?.checked_div(value)?;
    doubts.push(two_readings(cell, plan.reads, kept, other, row));
    Some(other)
}

/// A doubt with both readings of a cell, in the unit that it is kept in.
pub(super) fn two_readings(cell: &Cell, reads: Reads, value: Decimal, other: Decimal, row: u32) -> Doubt {
    let typed = |value: Decimal| said::typed(value, cell.unit);
    let text = format!(
        "{}: {} was read as {}; it could also be {}.",
        cell.column,
        cell.raw.shown(),
        typed(value),
        typed(other)
    );
    let readings = [value, other].map(|value| Other::of(reads, typed(value)));
    Doubt::new(Some(row), Code::NUMBER_AMBIGUOUS, text).offering(readings)
}

/// The fraction that a spreadsheet turned into this date (`2026-03-04` of `3/4`): month and day in either order are a fraction
/// below one, as ratings are given.
fn fraction_of_date(shown: &str) -> Option<(String, Decimal)> {
    let mut parts = shown.get(..10)?.split('-').skip(1);
    let (month, day): (u32, u32) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    let (over, under) = (month.min(day), month.max(day));
    let known = matches!(
        (over, under),
        (1, 2..=4 | 6 | 8 | 10 | 12) | (2, 3) | (3, 4 | 8) | (5, 8) | (7, 8)
    );
    let value = Decimal::from(over).checked_div(Decimal::from(under))?;
    known.then(|| (format!("{over}/{under}"), value.round_dp(8).normalize()))
}

/// Two quantities in one column: `0.86 / 92.4` under power factor and efficiency, `400 / 28.5` under volts and amps.
pub(super) fn two_in_one(
    grid: &Grid,
    plan: &Plan<'_>,
    both: [Reads; 2],
    content: Content,
    raw: Raw,
    spoken: &mut Spoken<'_>,
) -> Vec<(Reads, Cell)> {
    let cell = |reads: Reads, value: Reading, confidence: u8, note: &str| {
        (
            reads,
            Cell {
                raw: raw.clone(),
                column: plan.name.clone(),
                value,
                unit: reads.usual(),
                confidence,
                note: Some(Arc::from(note)),
            },
        )
    };
    let ratios = both
        .iter()
        .all(|reads| matches!(reads, Reads::PowerFactor | Reads::Efficiency));
    let one = |reads: Reads, text: &str| -> Option<(Decimal, PlateUnit)> {
        let plain = cell::read(reads, text, plan.writing)?;
        let [only] = plain.amounts.as_slice() else { return None };
        let value = to_usual(only.value, only.unit);
        let hundred = Decimal::ONE_HUNDRED;
        let small = value.abs() <= Decimal::new(15, 1);
        let value = match reads {
            Reads::Efficiency if small => value.checked_mul(hundred)?,
            Reads::PowerFactor if !small => value.checked_div(hundred)?,
            _ => value,
        };
        let unit = match (reads, only.unit) {
            (Reads::RatedPower, unit) => unit
                .or(plan.column.unit)
                .filter(|unit| unit.fits(reads))
                .unwrap_or(PlateUnit::Kilowatt),
            _ => reads.usual(),
        };
        Some((value.normalize(), unit))
    };
    let text = match content {
        Content::Text(index) if spoken.says(index, Spoken::ALSO_BLANK) => {
            return both.map(|reads| cell(reads, Reading::Nothing, 90, "no value")).into();
        }
        Content::Text(index) => grid.text(index).to_owned(),
        other => grid.shown(other),
    };
    let parts: Vec<&str> = text.split(['/', '|', ';']).map(str::trim).collect();
    let known = |value: Option<(Decimal, PlateUnit)>, reads: Reads, note: &str| match value {
        Some((value, unit)) => {
            let (reads, mut cell) = cell(reads, Reading::One(value), 90, note);
            cell.unit = unit;
            (reads, cell)
        }
        None => cell(reads, Reading::Nothing, 90, "no value"),
    };
    let [first, second] = both;
    match parts.as_slice() {
        [a, b] => {
            let order = if ratios && swapped(first, a, b, plan.writing) {
                [b, a]
            } else {
                [a, b]
            };
            let [a, b] = order;
            vec![
                known(one(first, a), first, "one of two in the cell"),
                known(one(second, b), second, "one of two in the cell"),
            ]
        }
        [only] if ratios => {
            // A number alone tells by its size what it is.
            let large = cell::read(Reads::Efficiency, only, plan.writing)
                .and_then(|plain| plain.amounts.first().map(|amount| float(amount.value) > 1.5));
            match large {
                Some(large) => {
                    let reads = if large { Reads::Efficiency } else { Reads::PowerFactor };
                    let (reads, mut cell) = known(one(reads, only), reads, "alone in a cell for two; told by its size");
                    cell.confidence = 60;
                    vec![(reads, cell)]
                }
                None => vec![cell(first, Reading::Nothing, 50, "words, no value")],
            }
        }
        [only] => vec![known(
            one(first, only),
            first,
            "alone in a cell for two; taken as the first",
        )],
        _ => vec![cell(first, Reading::Nothing, 50, "words, no value")],
    }
}

/// Whether the first number is plainly the second quantity: a power factor above 1.5 is an efficiency in per cent, and the other way
/// round.
fn swapped(first: Reads, a: &str, b: &str, writing: Writing) -> bool {
    let size = |text: &str| {
        cell::read(Reads::Efficiency, text, writing)
            .and_then(|plain| plain.amounts.first().map(|amount| float(amount.value)))
    };
    match (size(a), size(b)) {
        (Some(a), Some(b)) if first == Reads::PowerFactor => a > 1.5 && b <= 1.5,
        (Some(a), Some(b)) => a <= 1.5 && b > 1.5,
        _ => false,
    }
}

/// A value in the unit that a column of units gives for it.
pub(super) fn in_unit(read: &mut Read, plan: &Plan<'_>, unit: &str, row: u32) -> Option<Doubt> {
    let own = read
        .plain
        .as_ref()
        .is_some_and(|plain| plain.amounts.iter().any(|amount| amount.unit.is_some()));
    if own || plan.reads == Reads::RatedPower || unit.trim().is_empty() || read.cell.value == Reading::Nothing {
        return None;
    }
    let unit = unit.trim();
    let written = match words::folded(unit).as_str() {
        "rps" | "u/s" | "tr/s" => "r/s".to_owned(),
        _ => match cell::units_only(unit).first() {
            Some(known) if known.fits(plan.reads) => known.text().to_owned(),
            _ => unit.to_owned(),
        },
    };
    let usual = plan.reads.usual().text();
    if written == usual {
        return None;
    }
    let (Some(from), Some(to)) = (Unit::known(&written), Unit::known(usual)) else {
        return Some(not_in_unit(&mut read.cell, unit, row));
    };
    if convert(Decimal::ONE, &from, &to).is_err() {
        return Some(not_in_unit(&mut read.cell, unit, row));
    }
    from_foreign(&mut read.cell, &from, plan.reads.usual());
    None
}

/// A value whose unit is none of its quantity: not used.
pub(super) fn not_in_unit(cell: &mut Cell, unit: &str, row: u32) -> Doubt {
    cell.value = Reading::Nothing;
    cell.say(format!("in {unit}, no value"));
    Doubt::new(
        Some(row),
        Code::TEXT_NOT_READ,
        format!(
            "{}: {} stands in {}, which is no unit of it; it was not used.",
            cell.column,
            cell.raw.shown(),
            shown(unit)
        ),
    )
}

/// The readings of a row under the plate of the same motor.
pub(super) fn below(motor: &mut Motor, readings: Motor) {
    for (reads, mut cell) in readings.cells {
        let measured = match reads {
            Reads::RatedPower => Reads::MeasuredPower,
            Reads::RatedCurrent => Reads::MeasuredCurrent,
            Reads::Voltage | Reads::Supply => Reads::MeasuredVoltage,
            Reads::RatedSpeed => Reads::MeasuredSpeed,
            Reads::MeasuredPower
            | Reads::MeasuredCurrent
            | Reads::MeasuredVoltage
            | Reads::MeasuredSpeed
            | Reads::OutputFrequency
            | Reads::HoursPerYear
            | Reads::Remarks => reads,
            _ => continue,
        };
        // What is implied or filled in from above is no reading.
        if cell.column.is_empty() || cell.value == Reading::Nothing {
            continue;
        }
        cell.say(format!("measured, of source row {}", readings.source_row));
        match motor.cell_mut(measured) {
            Some(known) if known.value == Reading::Nothing => *known = cell,
            Some(_) => {}
            None => motor.cells.push((measured, cell)),
        }
    }
    motor.cells.sort_by_key(|(reads, _)| *reads);
}

/// Phases so far apart that their mean says little. The limits are common practice, no source.
pub(super) fn unequal(cell: &mut Cell, values: &[Option<Decimal>], row: u32) -> Option<Doubt> {
    const SMALL: f64 = 0.10;
    let known: Vec<f64> = values.iter().flatten().copied().map(float).collect();
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    let (least, most) = (
        known.iter().copied().fold(f64::MAX, f64::min),
        known.iter().copied().fold(0.0, f64::max),
    );
    if known.len() < 2 || mean <= 0.0 || (most - mean).max(mean - least) <= SMALL * mean {
        return None;
    }
    let shown: Vec<String> = values
        .iter()
        .flatten()
        .map(|value| value.normalize().to_string())
        .collect();
    let apart = least < 0.5 * most;
    cell.confidence = cell.confidence.min(if apart { DOUBTED } else { 70 });
    let doubt = Doubt::new(
        Some(row),
        Code::PHASES_UNEQUAL,
        format!(
            "{}: {} are far apart, {}.",
            cell.column,
            shown.join(", "),
            if apart {
                "as on two phases or with a clamp not closed; their mean says nothing of the load"
            } else {
                "more than a tenth off their mean"
            }
        ),
    );
    Some(if apart { doubt.as_severe(Severity::Error) } else { doubt })
}

/// One phase of several that have a column says little of the others.
pub(super) fn one_phase(cell: &Cell, values: &[Option<Decimal>], row: u32) -> Option<Doubt> {
    let mut known = values.iter().flatten();
    let (Some(only), None, true) = (known.next(), known.next(), values.len() > 1) else {
        return None;
    };
    let only = said::typed(*only, cell.unit);
    let text = format!(
        "{}: one phase of {} was read, {only}; it was used as the mean of all.",
        cell.column,
        values.len()
    );
    Some(Doubt::new(Some(row), Code::PHASE_MISSING, text))
}

pub(super) fn is_digits(text: &str) -> bool {
    text.bytes()
        .all(|sign| sign.is_ascii_digit() || matches!(sign, b'.' | b','))
}

/// The mean of three phases, the phases in the note.
pub(super) fn mean(cell: &mut Cell, values: &[Option<Decimal>]) {
    let known: Vec<Decimal> = values.iter().copied().flatten().collect();
    if known.is_empty() {
        cell.value = Reading::Nothing;
        cell.say("no value");
        return;
    }
    let sum = known
        .iter()
        .try_fold(Decimal::ZERO, |sum, value| sum.checked_add(*value));
    let mean = sum.and_then(|sum| sum.checked_div(Decimal::from(known.len())));
    let shown: Vec<String> = known.iter().map(|value| value.normalize().to_string()).collect();
    match mean {
        Some(mean) => {
            // Two digits more than the readings have, at least four decimals.
            let decimals = known.iter().map(|value| value.normalize().scale()).max().unwrap_or(0);
            cell.value = Reading::One(mean.round_dp((decimals + 2).max(4)).normalize());
            let missing = values.len() - known.len();
            if missing > 0 {
                cell.say(format!(
                    "mean of {}; {missing} of {} phases missing",
                    shown.join(", "),
                    values.len()
                ));
                cell.confidence = cell.confidence.min(70);
            } else {
                cell.say(format!("mean of {}", shown.join(", ")));
            }
        }
        None => cell.say("too large to be a reading"),
    }
}

/// Hours a year of hours a day and days a year, where the list does not say them.
pub(super) fn hours_by_day(motor: &mut Motor) {
    let (Some(hours), Some(days)) = (motor.one(Reads::HoursPerDay), motor.one(Reads::DaysPerYear)) else {
        return;
    };
    let possible = float(hours) <= 24.0 && float(days) <= 366.0;
    if !possible || motor.one(Reads::HoursPerYear).is_some() {
        return;
    }
    let Some(mut cell) = motor.cell(Reads::HoursPerDay).cloned() else {
        return;
    };
    cell.value = Reading::One(hours.saturating_mul(days).normalize());
    cell.confidence = cell.confidence.min(85);
    cell.say(format!(
        "{} h a day on {} days a year",
        hours.normalize(),
        days.normalize()
    ));
    motor.cells.retain(|(reads, _)| *reads != Reads::HoursPerYear);
    motor.cells.push((Reads::HoursPerYear, cell));
}

/// The other one of kW and hp.
pub(super) fn other_unit(unit: PlateUnit) -> PlateUnit {
    match unit {
        PlateUnit::Kilowatt => PlateUnit::Horsepower,
        _ => PlateUnit::Kilowatt,
    }
}

pub(super) fn quoted(text: &str) -> String {
    format!("\u{201c}{}\u{201d}", shown(text))
}
