//! What columns are by their values and the words in their cells: units, synchronous speeds, plates, drives, names.
//!
//! Always: the words of a heading hold unless the values contradict them, which is told.

use std::collections::{BTreeMap, HashSet};

use super::apart::OF_SEVERAL;
use super::cells::{contents, numbers};
use super::{ADDED, As, Column, Table};
use crate::plates::heading::Heading;
use crate::plates::own::{Own, may_hold_plates};
use crate::plates::reads::Reads;
use crate::plates::store::{self, Content, Grid};
use crate::plates::{cell, list, words};

/// A column of units holds units: under `Unit` may as well stand the machine, which is its tag where nothing else is.
pub(super) fn settle_units(grid: &Grid, table: &mut Table) {
    let named = table.column(Reads::Tag).is_some();
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        if column.heading.settled || column.reads != Some(Reads::UnitOfPower) {
            continue;
        }
        let (mut names, mut cells) = (0usize, 0usize);
        for content in contents(grid, table, column.column).take(2000) {
            cells += 1;
            names += match content {
                Content::Text(text) => usize::from(cell::units_only(grid.text(*text)).is_empty()),
                _ => 0,
            };
        }
        if names * 2 <= cells {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.reads = (!named).then_some(Reads::Tag);
            column.unit = None;
            column.heading.confidence = 0.7;
            column.heading.reason = "its cells are no units".to_owned();
        }
    }
}

/// Where no column of tags is there, numbers of items that tell the motors apart are their tags: `M01`, `P-102`. Plain counting stays
/// what it is. Words under such a heading say what the motors drive, where no other column does.
pub(super) fn settle_items(grid: &Grid, own: &Own, table: &mut Table) {
    if table.column(Reads::Tag).is_some() {
        return;
    }
    let described = table.column(Reads::Description).is_some();
    let motors = table.motors().min(ITEMS);
    let found = table.columns.iter().enumerate().find_map(|(index, column)| {
        if column.heading.settled || column.reads != Some(Reads::Item) {
            return None;
        }
        let (mut filled, mut coded, mut worded) = (0usize, 0usize, 0usize);
        let mut apart: HashSet<String> = HashSet::new();
        for content in contents(grid, table, column.column).take(ITEMS) {
            let Content::Text(text) = content else {
                filled += 1;
                continue;
            };
            let text = grid.text(*text).trim();
            if text.is_empty() || own.words.is(text, "blank") {
                continue;
            }
            filled += 1;
            let letters = text.chars().any(char::is_alphabetic);
            let digits = text.chars().any(|sign| sign.is_ascii_digit());
            // `1.2` and `03-117` are no counting either.
            let parts = digits && text.contains(['.', '-', '/', '_']);
            let long = text.chars().count() > TAG_SIGNS;
            worded += usize::from(letters && (long || !digits && text.chars().count() > 3));
            coded += usize::from((letters || parts) && !long);
            apart.insert(text.to_uppercase());
        }
        // Most motors have one, and most of them another one; one that stands twice is told as such.
        let differ = apart.len() * 10 >= filled * 8 || apart.len() >= 3 && apart.len() + 1 == filled;
        if filled == 0 || filled * 10 < motors * 8 || !differ {
            return None;
        }
        let reads = if worded * 2 > filled && !described {
            (Reads::Description, "its cells are words and no numbers of items")
        } else if coded * 10 >= filled * 8 {
            (Reads::Tag, "no column of tags; these tell the motors apart")
        } else {
            return None;
        };
        Some((index, reads))
    });
    if let Some((index, (reads, reason))) = found
        && let Some(column) = table.columns.get_mut(index)
    {
        column.reads = Some(reads);
        column.heading.confidence = 0.8;
        column.heading.reason = reason.to_owned();
    }
}

/// Cells of a column that are looked at.
const ITEMS: usize = 2000;
/// Signs of the longest tag.
const TAG_SIGNS: usize = 24;

/// A column of a quantity whose cells are words holds no numbers: `Load` over what the motors drive.
pub(super) fn settle_words(grid: &Grid, own: &Own, table: &mut Table) {
    let mut described = table.column(Reads::Description).is_some();
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        let is_number = column
            .reads
            .is_some_and(|reads| reads.sort() == crate::plates::reads::Sort::Number);
        if !is_number || column.heading.settled {
            continue;
        }
        let (mut words, mut cells) = (0usize, 0usize);
        for (place, _) in table.rows.iter().filter(|(_, called)| *called == As::Motor).take(200) {
            let Some((_, row)) = grid.row_at(*place) else { continue };
            let Ok(place) = row.binary_search_by_key(&column.column, |cell| cell.column) else {
                continue;
            };
            let Some(cell) = row.get(place) else { continue };
            let Content::Text(text) = cell.content else {
                cells += 1;
                continue;
            };
            let text = grid.text(text).trim();
            // Signs for nothing and for the same again say nothing of the column.
            if !own.words.cells().whole(&words::folded(text)).is_empty() {
                continue;
            }
            cells += 1;
            words += usize::from(
                text.chars().filter(|sign| sign.is_alphabetic()).count() > 2
                    && !text.chars().any(|sign| sign.is_numeric()),
            );
        }
        if cells < 3 || words * 10 < cells * 8 {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.reads = (!described).then_some(Reads::Description);
            column.unit = None;
            column.heading.second = None;
            column.heading.confidence = 0.7;
            column.heading.reason = "its cells are words and no numbers".to_owned();
        }
        described = true;
    }
}

/// Turns a minute that no loaded motor has: the synchronous speeds of 2 to 12 poles at 50 and at 60 Hz.
const SYNCHRONOUS: [(u32, [u32; 6]); 2] = [
    (50, [3000, 1500, 1000, 750, 600, 500]),
    (60, [3600, 1800, 1200, 900, 720, 600]),
];

/// The frequency at which all of these speeds are synchronous ones.
pub fn synchronous_at(speeds: &[f64]) -> Option<u32> {
    SYNCHRONOUS
        .iter()
        .find(|(_, known)| {
            !speeds.is_empty()
                && speeds
                    .iter()
                    .all(|speed| known.iter().any(|known| f64::from(*known) == *speed))
        })
        .map(|(hertz, _)| *hertz)
}

/// A column of speeds that are all synchronous ones holds neither plate speeds nor readings. A few rows are no proof.
pub(super) fn settle_synchronous(grid: &Grid, table: &mut Table) {
    const ENOUGH: usize = 4;
    if table.column(Reads::SynchronousSpeed).is_some() {
        return;
    }
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        if !matches!(column.reads, Some(Reads::RatedSpeed | Reads::MeasuredSpeed)) || column.heading.settled {
            continue;
        }
        let speeds: Vec<f64> = contents(grid, table, column.column)
            .filter_map(|content| match content {
                Content::Number(number) => Some(*number),
                // 1.500 and 1,500 and 1500 are the same here.
                Content::Text(text) => {
                    let digits: String = grid.text(*text).chars().filter(char::is_ascii_digit).collect();
                    digits.parse().ok()
                }
                _ => None,
            })
            .take(2000)
            .collect();
        if speeds.len() < ENOUGH || synchronous_at(&speeds).is_none() {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.reads = Some(Reads::SynchronousSpeed);
            column.heading.confidence = 0.6;
            column.heading.reason =
                "its values are synchronous speeds only, neither those of plates nor readings".to_owned();
            return;
        }
    }
}

/// Which columns hold whole nameplates: by their heading or by what most of their cells give.
pub(super) fn settle_plates(grid: &Grid, table: &mut Table) {
    let described = table.column(Reads::Description).is_some();
    let rated = table.column(Reads::RatedPower).is_some() && table.column(Reads::RatedSpeed).is_some();
    for column in table.columns.iter_mut().filter(|column| column.heading.plates) {
        column.plates = true;
    }
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        let said = column.reads == Some(Reads::Nameplate);
        let may = !rated && !column.heading.settled && column.reads.is_none_or(may_hold_plates);
        if !said && !may {
            continue;
        }
        let (mut plates, mut texts) = (0usize, 0usize);
        let cells = contents(grid, table, column.column).filter_map(|content| match content {
            Content::Text(index) => Some(grid.text(*index)),
            _ => None,
        });
        for text in cells.take(50) {
            texts += 1;
            plates += usize::from(cell::plate(text, false).len() >= if said { 2 } else { 3 });
        }
        let enough = plates > 0 && plates * 10 >= texts * if said { 3 } else { 5 };
        let Some(column) = table.columns.get_mut(index) else {
            continue;
        };
        column.plates = enough;
        if enough && column.reads.is_none() {
            column.reads = Some(Reads::Nameplate);
            column.heading.confidence = 0.8;
            column.heading.reason = "its cells are nameplates".to_owned();
        } else if said && !enough && !column.heading.settled {
            // `Motor` over names of motors.
            column.reads = (!described).then_some(Reads::Description);
            column.heading.confidence = 0.85;
            column.heading.reason = "its cells are names and no nameplates".to_owned();
        }
    }
}

/// Filled rows in which the headings of added columns are looked for.
const HEADINGS: usize = 200;

/// The columns at the right end of a sheet that were added when it was written back, from 0, with their headings: told by these,
/// whatever group of the list stands above or beside them.
pub fn added(grid: &Grid) -> Vec<(u16, String)> {
    added_of(grid).unwrap_or_default()
}

fn added_of(grid: &Grid) -> Option<Vec<(u16, String)>> {
    let title = |cell: &store::Cell| match cell.content {
        Content::Text(index) => Some(grid.text(index).replace('\n', " ")),
        _ => None,
    };
    let ours = |cell: &&store::Cell| title(cell).is_some_and(|title| list::is_added(&title));
    let found = grid.rows().take(HEADINGS).find_map(|(_, cells)| {
        let added: Vec<&store::Cell> = cells.iter().rev().take_while(ours).collect();
        let (end, first) = (added.first()?, added.last()?);
        let with_doubts = title(end).is_some_and(|title| title.starts_with(list::DOUBTS));
        let side_by_side = usize::from(end.column.checked_sub(first.column)?) + 1 == added.len();
        let is = added.len() > 2 && with_doubts && side_by_side && first.column > 0;
        let titled = added.iter().rev().filter_map(|cell| Some((cell.column, title(cell)?)));
        is.then(|| titled.collect::<Vec<(u16, String)>>())
    })?;
    let end = found.last()?.0;
    let further = |cells: &[store::Cell]| cells.last().is_some_and(|cell| cell.column > end);
    (!grid.rows().any(|(_, cells)| further(cells))).then_some(found)
}

/// The columns at the end of a list that were added when it was written back are no columns of the list.
pub(super) fn settle_added(columns: &mut [Column]) {
    let name = |column: &Column| column.name.replace('\n', " ");
    let count = columns
        .iter()
        .rev()
        .take_while(|column| list::is_added(&name(column)))
        .count();
    let Some(added) = columns
        .len()
        .checked_sub(count)
        .and_then(|from| columns.get_mut(from..))
    else {
        return;
    };
    // A column of such a name alone may be the list's own: ours come with that of the doubts at their end.
    let with_doubts = added
        .last()
        .is_some_and(|column| name(column).starts_with(list::DOUBTS));
    if added.len() < 2 || !with_doubts {
        return;
    }
    for column in added {
        column.reads = None;
        column.unit = None;
        column.heading = Heading {
            reason: ADDED.to_owned(),
            settled: true,
            ..Heading::default()
        };
    }
}

/// `PF / Efficiency` merged over two columns: the first holds the first, the second the second.
pub(super) fn shared_over_two(columns: &mut [Column]) {
    for place in 0..columns.len().saturating_sub(1) {
        let Some([first, second]) = columns.get_mut(place..place + 2) else {
            return;
        };
        if let (Some(reads), true) = (
            first.heading.second,
            first.heading.second == second.heading.second
                && first.name == second.name
                && second.column == first.column.saturating_add(1),
        ) {
            second.reads = Some(reads);
            second.heading.reads = Some(reads);
            for column in [first, second] {
                column.heading.second = None;
                column.unit = column
                    .unit
                    .filter(|unit| column.reads.is_some_and(|reads| unit.fits(reads)));
                column.heading.reason = "one of two quantities under one heading".to_owned();
            }
        }
    }
}

/// A power factor in the midst of readings, behind all columns of the plate, was measured with them.
pub(super) fn measured_factor(table: &mut Table) {
    let is_reading = |column: &Column| {
        matches!(
            column.reads,
            Some(Reads::MeasuredCurrent | Reads::MeasuredPower | Reads::MeasuredVoltage | Reads::MeasuredSpeed)
        )
    };
    let is_plate = |column: &Column| {
        matches!(
            column.reads,
            Some(Reads::RatedPower | Reads::RatedCurrent | Reads::RatedSpeed | Reads::Voltage | Reads::Efficiency)
        )
    };
    let first = table.columns.iter().position(is_reading);
    let last = table.columns.iter().rposition(is_reading);
    let plate = table.columns.iter().rposition(is_plate);
    let (Some(first), Some(last), Some(plate)) = (first, last, plate) else {
        return;
    };
    for (place, column) in table.columns.iter_mut().enumerate() {
        let within = first < place && place < last && plate < first;
        if within && column.reads == Some(Reads::PowerFactor) && !column.heading.rated && !column.heading.settled {
            column.reads = None;
            column.heading.unfit = true;
            "it stands among readings, and was measured with them, it seems: it is not that of the plate"
                .clone_into(&mut column.heading.reason);
        }
    }
}

/// A column that nothing else is known of, or one of duty, whose cells say which motors are fed by a drive.
pub(super) fn drives_in_cells(grid: &Grid, own: &Own, table: &mut Table) {
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        if column.heading.settled
            || column.heading.other
            || column.heading.unfit
            || !matches!(column.reads, None | Some(Reads::Duty))
        {
            continue;
        }
        let (mut drives, mut lines, mut texts) = (0usize, 0usize, 0usize);
        for content in contents(grid, table, column.column).take(500) {
            let Content::Text(text) = content else { continue };
            let text = grid.text(*text);
            if text.len() > 200 || own.words.is(text, "blank") || !text.chars().any(char::is_alphabetic) {
                continue;
            }
            texts += 1;
            if own.words.is(text, "line") {
                lines += 1;
            } else if own.words.states(text, "drive") || own.words.is(text, "drive_code") {
                drives += 1;
            }
        }
        let duty = column.reads == Some(Reads::Duty);
        if drives == 0 || duty && (drives + lines) * 2 < texts {
            continue;
        }
        let free = |reads: Reads| table.column(reads).is_none().then_some(reads);
        let reads = free(Reads::Drive).or_else(|| free(Reads::Converter));
        let reads = reads
            .or_else(|| free(Reads::Remarks))
            .filter(|_| !duty || reads.is_some());
        if let (Some(reads), Some(column)) = (reads, table.columns.get_mut(index)) {
            column.reads = Some(reads);
            column.heading.confidence = 0.7;
            column.heading.reason = "its cells say which motors are fed by a drive".to_owned();
        }
    }
}

/// A column whose numbers cannot be what its heading says: a letter `f` over factors, hours of many years.
pub(super) fn settle_values(grid: &Grid, table: &mut Table) {
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index).filter(|column| !column.heading.settled) else {
            continue;
        };
        let (least, most) = match column.reads {
            Some(Reads::Frequency) => (10.0, 1000.0),
            Some(Reads::HoursPerYear) => (0.0, 8784.0),
            _ => continue,
        };
        let says_year = words::words(&column.name).iter().any(|word| {
            matches!(
                word.as_str(),
                "yr" | "year" | "yearly" | "annual" | "annum" | "a" | "pa" | "jahr" | "an" | "ano" | "ao"
            )
        });
        if column.reads == Some(Reads::HoursPerYear) && says_year {
            continue;
        }
        let values = numbers(grid, table, column.column);
        // Not one above 24 under `Hours`: hours a day.
        let known: Vec<f64> = values.iter().flatten().copied().filter(|value| *value > 0.0).collect();
        if column.reads == Some(Reads::HoursPerYear)
            && column.heading.per.is_none()
            && known.len() >= 3
            && known.iter().all(|value| *value <= 24.0)
            && !contents(grid, table, column.column).any(|content| parts_thousands(grid, content))
        {
            let taken = table.column(Reads::HoursPerDay).is_some();
            if let Some(column) = table.columns.get_mut(index) {
                column.reads = (!taken).then_some(Reads::HoursPerDay);
                column.heading.confidence = 0.6;
                column.heading.reason = "none of its values is above 24".to_owned();
            }
            continue;
        }
        let off = values
            .iter()
            .flatten()
            .filter(|value| !(least..=most).contains(*value))
            .count();
        if off * 2 <= values.iter().flatten().count() {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.heading.reason = match column.reads {
                Some(Reads::HoursPerYear) => "more hours than a year has: an hour meter, it seems".to_owned(),
                _ => "its values are no frequencies".to_owned(),
            };
            column.reads = None;
        }
    }
}

/// `3.500`, which may be 3500.
fn parts_thousands(grid: &Grid, content: &Content) -> bool {
    let Content::Text(index) = content else { return false };
    let behind = grid
        .text(*index)
        .trim()
        .rsplit_once(['.', ','])
        .map(|(_, behind)| behind.len());
    behind == Some(3)
}

/// Poles of one or three beside a column of breakers are those of the breakers.
pub(super) fn poles_of_breakers(grid: &Grid, table: &mut Table) {
    let breakers = table.columns.iter().any(|column| column.heading.other);
    let Some(place) = table
        .columns
        .iter()
        .position(|column| column.reads == Some(Reads::Poles) && !column.heading.settled)
    else {
        return;
    };
    let Some(column) = table.columns.get(place).filter(|_| breakers) else {
        return;
    };
    let values: Vec<f64> = numbers(grid, table, column.column).into_iter().flatten().collect();
    let of_breakers = |value: &f64| matches!(*value, 1.0..=4.0);
    let odd = values.iter().any(|value| *value == 1.0 || *value == 3.0);
    if odd
        && values.iter().all(of_breakers)
        && let Some(column) = table.columns.get_mut(place)
    {
        column.reads = None;
        column.heading.reason = "poles of the breakers, as its values say".to_owned();
    }
}

/// Columns that name what the motors drive, beside a column of the motor's own: they are of the machine.
pub(super) fn driven_machines(table: &mut Table) {
    several_motors(table);
    for reads in [
        Reads::RatedPower,
        Reads::RatedCurrent,
        Reads::MeasuredPower,
        Reads::MeasuredCurrent,
    ] {
        let of = |driven: bool| -> Vec<usize> {
            let places = table.columns.iter().enumerate();
            places
                .filter(|(_, column)| {
                    column.reads == Some(reads) && !column.heading.settled && column.heading.driven == driven
                })
                .map(|(place, _)| place)
                .collect()
        };
        let (driven, own) = (of(true), of(false));
        if driven.is_empty() || own.is_empty() {
            continue;
        }
        let absorbed = reads == Reads::RatedPower && driven.len() == 1 && table.column(Reads::AbsorbedPower).is_none();
        for place in driven {
            let Some(column) = table.columns.get_mut(place) else {
                continue;
            };
            column.reads = absorbed.then_some(Reads::AbsorbedPower);
            column.heading.reason = "of the driven machine, beside a column of the motor".to_owned();
        }
    }
}

/// Columns of the same quantity that name different machines (`Supply fan motor kW`, `Extract fan motor kW`): there are two motors in
/// each row, and none is taken.
fn several_motors(table: &mut Table) {
    let mut by_reads: BTreeMap<Reads, Vec<usize>> = BTreeMap::new();
    for (place, column) in table.columns.iter().enumerate() {
        if let Some(reads) = column.reads
            && reads.sort() == crate::plates::reads::Sort::Number
            && !matches!(reads, Reads::DrivenSpeed | Reads::AbsorbedPower)
            && column.heading.machine.is_some()
            && !column.heading.settled
        {
            by_reads.entry(reads).or_default().push(place);
        }
    }
    for (reads, places) in by_reads {
        let of = |place: &usize| table.columns.get(*place);
        let machines: HashSet<&String> = places
            .iter()
            .filter_map(|place| of(place)?.heading.machine.as_ref())
            .collect();
        // `Pump` and `Pump casing` may be one machine.
        let apart = |one: &&String| {
            let parts = |other: &&String| !other.starts_with(one.as_str()) && !one.starts_with(other.as_str());
            machines.iter().any(parts)
        };
        if !machines.iter().any(apart) {
            continue;
        }
        let names: Vec<String> = places
            .iter()
            .filter_map(of)
            .map(|column| format!("\u{201c}{}\u{201d}", column.name))
            .collect();
        let told = format!(
            "The columns {} are of several motors in one row: none was taken as {}. Write a row for each motor.",
            names.join(" and "),
            reads.title().to_lowercase()
        );
        for (number, place) in places.into_iter().enumerate() {
            if let Some(column) = table.columns.get_mut(place) {
                column.reads = None;
                column.heading.reason = OF_SEVERAL.to_owned();
                column.heading.doubt = (number == 0).then(|| told.clone());
            }
        }
    }
}

/// A part of the plant beside a column that names the drive (`Anlage;Antrieb`): an area.
pub(super) fn parts_of_plant(table: &mut Table) {
    let described = table
        .columns
        .iter()
        .any(|column| column.reads == Some(Reads::Description) && !column.heading.plant);
    if !described || table.column(Reads::Area).is_some() {
        return;
    }
    let part = |column: &&mut Column| {
        column.reads == Some(Reads::Description) && column.heading.plant && !column.heading.settled
    };
    if let Some(column) = table.columns.iter_mut().find(part) {
        column.reads = Some(Reads::Area);
        column.heading.confidence = 0.8;
        column.heading.reason = "a part of the plant, beside a column that names the drive".to_owned();
    }
}

/// `Supply fan CFM` over numbers names no machine.
pub(super) fn numbers_are_no_names(grid: &Grid, table: &mut Table) {
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index).filter(|column| !column.heading.settled) else {
            continue;
        };
        if column.reads != Some(Reads::Description) || !column.heading.driven {
            continue;
        }
        let is_number = |content: &Content| match content {
            Content::Number(_) => true,
            Content::Text(text) => grid.text(*text).trim().replace(',', ".").parse::<f64>().is_ok(),
            _ => false,
        };
        let known: Vec<bool> = contents(grid, table, column.column).take(200).map(is_number).collect();
        if known.is_empty() || known.contains(&false) {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.reads = None;
            column.heading.reason = "its cells are numbers and no names".to_owned();
        }
    }
}

/// `Drive` over names of machines is what the motors drive and no column of starters.
pub(super) fn named_by_drive(grid: &Grid, own: &Own, table: &mut Table) {
    if table.column(Reads::Description).is_some() {
        return;
    }
    let Some(place) = table
        .columns
        .iter()
        .position(|column| column.reads == Some(Reads::Drive) && !column.heading.settled)
    else {
        return;
    };
    let Some(column) = table.columns.get(place) else { return };
    let (mut machines, mut starters) = (0usize, 0usize);
    for content in contents(grid, table, column.column).take(200) {
        let Content::Text(index) = content else { continue };
        let text = grid.text(*index);
        let says = |meaning: &str| own.words.says(text, meaning);
        machines += usize::from(says("machine"));
        starters += usize::from(says("drive") || says("line") || says("not_drive"));
    }
    if machines == 0 || starters > 0 {
        return;
    }
    if let Some(column) = table.columns.get_mut(place) {
        column.reads = Some(Reads::Description);
        column.heading.confidence = 0.8;
        column.heading.reason = "its cells name machines and no starters".to_owned();
    }
}

/// A column for frequency converters beside one for starters.
pub(super) fn converters(own: &Own, table: &mut Table) {
    let drives = table.columns.iter().filter(|column| column.reads == Some(Reads::Drive));
    if drives.count() < 2 {
        return;
    }
    let names_converter = |column: &Column| own.words.says(&column.name, "drive");
    let starter = table
        .columns
        .iter()
        .any(|column| column.reads == Some(Reads::Drive) && !names_converter(column));
    if !starter {
        return;
    }
    let converter = table
        .columns
        .iter_mut()
        .find(|column| column.reads == Some(Reads::Drive) && !column.heading.settled && names_converter(column));
    if let Some(column) = converter {
        column.reads = Some(Reads::Converter);
    }
}

/// Whether of these columns one is for delta and one for star.
pub(super) fn both_connections(table: &Table, places: &[usize]) -> bool {
    let mut connections: Vec<_> = places
        .iter()
        .filter_map(|place| table.columns.get(*place)?.heading.connection)
        .collect();
    connections.sort_unstable();
    connections.dedup();
    connections.len() == places.len()
}
