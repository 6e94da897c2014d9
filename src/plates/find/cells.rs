//! The cells of a column at a glance: numbers, words, classes, and how they lie to the plate.
//!
//! Always: read as they stand; nothing is decided here.

use super::{As, Column, Found, Table};
use crate::plates::reads::Reads;
use crate::plates::store::{Content, Grid};
use crate::plates::words;

/// A year over a column of readings.
pub(super) fn is_year(number: f64) -> bool {
    number.fract() == 0.0 && (1980.0..2100.0).contains(&number)
}

pub(super) fn short(text: &str) -> String {
    crate::plates::motor::shown(text)
}

/// What stands in a column in the rows of motors.
pub(super) fn contents<'g>(grid: &'g Grid, table: &'g Table, column: u16) -> impl Iterator<Item = &'g Content> {
    let motors = table.rows.iter().filter(|(_, called)| *called == As::Motor);
    motors.filter_map(move |(place, _)| {
        let (_, cells) = grid.row_at(*place)?;
        let place = cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
        cells.get(place).map(|cell| &cell.content)
    })
}

pub(super) fn set(found: &mut Found, place: usize, called: As, table: Option<usize>) {
    if let Some(entry) = found.rows.get_mut(place) {
        *entry = (called, table);
    }
}

/// Whether a second column of speeds could be of the same shaft as the plate's; other quantities may be far apart.
pub(super) fn near_the_plate(grid: &Grid, table: &Table, places: &[usize], second: usize) -> bool {
    let Some(plate) = places.iter().find(|place| **place != second) else {
        return true;
    };
    let of = |place: usize| {
        table
            .columns
            .get(place)
            .map(|column| (column.reads, numbers(grid, table, column.column)))
    };
    let (plate, second, near) = match (of(*plate), of(second)) {
        (Some((Some(Reads::RatedSpeed), plate)), Some((_, second))) => (plate, second, 0.6..1.15),
        // Most motors of a list run below their plate current.
        (Some((Some(Reads::RatedCurrent), plate)), Some((_, second))) => (plate, second, 0.0..1.2),
        _ => return true,
    };
    let both: Vec<f64> = plate
        .iter()
        .zip(&second)
        .filter_map(|(plate, second)| Some((*second)? / plate.filter(|plate| *plate > 0.0)?))
        .collect();
    let far = both.iter().filter(|ratio| !near.contains(*ratio)).count();
    far * 2 <= both.len()
}

/// `IE3` under `Efficiency` is a class.
pub(super) fn classes(grid: &Grid, table: &mut Table) {
    if table.column(Reads::EfficiencyClass).is_some() {
        return;
    }
    let of_class = |column: &Column| {
        let (mut classes, mut cells) = (0usize, 0usize);
        for content in contents(grid, table, column.column).take(200) {
            cells += 1;
            if let Content::Text(text) = content {
                let text = words::folded(grid.text(*text));
                let rest = text
                    .strip_prefix("ie")
                    .unwrap_or_default()
                    .trim_start_matches([' ', '-']);
                classes += usize::from(rest.len() == 1 && rest.starts_with(|sign: char| sign.is_ascii_digit()));
            }
        }
        cells >= 2 && classes * 10 >= cells * 8
    };
    let place = table
        .columns
        .iter()
        .position(|column| column.reads == Some(Reads::Efficiency) && !column.heading.settled && of_class(column));
    if let Some(column) = place.and_then(|place| table.columns.get_mut(place)) {
        column.reads = Some(Reads::EfficiencyClass);
        column.unit = None;
        column.heading.reason = "its cells are classes and no numbers".to_owned();
    }
}

/// Last words of the headings of three phases.
pub(super) const PHASES: [[&str; 3]; 11] = [
    ["a", "b", "c"],
    ["r", "s", "t"],
    ["r", "y", "b"],
    ["u", "v", "w"],
    ["1", "2", "3"],
    ["ab", "bc", "ca"],
    ["rs", "st", "tr"],
    ["ry", "yb", "br"],
    ["uv", "vw", "wu"],
    ["an", "bn", "cn"],
    ["12", "23", "31"],
];

/// How good a claim a column has: one that names the motor goes before others, one of several motors together after them.
pub(super) fn weight(table: &Table, place: usize) -> f32 {
    table.columns.get(place).map_or(0.0, |column| {
        let heading = &column.heading;
        let named = if heading.motor { 0.04 } else { 0.0 };
        let together = if heading.together { 0.3 } else { 0.0 };
        heading.confidence + named - together - if column.hidden { 0.5 } else { 0.0 }
    })
}

/// The numbers of a column, row by row of the motors; commas as points.
pub(super) fn numbers(grid: &Grid, table: &Table, column: u16) -> Vec<Option<f64>> {
    let motors = table.rows.iter().filter(|(_, called)| *called == As::Motor).take(500);
    let number = |place: &usize| {
        let (_, cells) = grid.row_at(*place)?;
        let place = cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
        match cells.get(place)?.content {
            Content::Number(number) => Some(number),
            Content::Text(index) => grid.text(index).trim().replace(',', ".").parse().ok(),
            _ => None,
        }
    };
    motors.map(|(place, _)| number(place)).collect()
}
