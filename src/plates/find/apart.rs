//! Tables side by side, and several motors in one row.
//!
//! Always: parted only where each part is a table by itself, or each motor has its rating.

use std::collections::HashSet;
use std::sync::Arc;

use super::texts::{Texts, is_heading_row};
use super::{As, Column, Found, Table, in_sheet};
use crate::plates::own::Own;
use crate::plates::reads::Reads;
use crate::plates::store::{Cell, Content, Grid};

/// Filled rows looked at to see whether tables stand side by side.
const TRIED: usize = 300;

/// Tables that stand side by side: each has ratings and names of its own, so that no table with an empty column is torn apart.
pub(super) fn side_by_side(grid: &Grid, sheet: usize, own: &Own) -> Option<Found> {
    let mut bands = bands(grid, own);
    let mut place = 0;
    // What is no table of its own belongs to its neighbour.
    while bands.len() > 1 && place < bands.len() {
        let (first, last) = bands.get(place).copied()?;
        if stands_alone(&in_sheet(&grid.band(first..=last, TRIED), sheet, own, 0)) {
            place += 1;
            continue;
        }
        bands.remove(place);
        let to = place.saturating_sub(1);
        let neighbour = bands.get_mut(to)?;
        *neighbour = (neighbour.0.min(first), neighbour.1.max(last));
        place = to;
    }
    if bands.len() < 2 {
        return None;
    }
    let mut all = Found::of(sheet, 0);
    for (first, last) in bands {
        all.add_part(grid.band(first..=last, usize::MAX), own, None);
    }
    Some(all)
}

/// Why a column is not read that is of one of several motors in a row.
pub(super) const OF_SEVERAL: &str = "of several motors in one row";

/// Motors that share a row, each with columns of its own (`Supply fan kW | A`, `Return fan kW | A`): a table for each of them, with
/// the columns that name none. Only where it is certain: each of them has one rating.
pub(super) fn motors_in_each_row(grid: &Grid, sheet: usize, own: &Own, found: &Found) -> Option<Found> {
    const MOST: usize = 4;
    let mut with_motors = found.tables.iter().filter(|table| table.motors() > 0);
    let (table, None) = (with_motors.next()?, with_motors.next()) else {
        return None;
    };
    let mut machines: Vec<&String> = Vec::new();
    for column in table
        .columns
        .iter()
        .filter(|column| column.heading.reason == OF_SEVERAL)
    {
        let machine = column.heading.machine.as_ref()?;
        if !machines.contains(&machine) {
            machines.push(machine);
        }
    }
    let of = |column: &Column| {
        let machine = column.heading.machine.as_ref()?;
        machines.iter().position(|known| *known == machine)
    };
    let ratings = |place: usize| {
        let columns = table.columns.iter().filter(|column| of(column) == Some(place));
        columns
            .filter(|column| column.heading.reads == Some(Reads::RatedPower))
            .count()
    };
    if !(2..=MOST).contains(&machines.len()) || !(0..machines.len()).all(|place| ratings(place) == 1) {
        return None;
    }
    let mut all = Found::of(sheet, 0);
    for (place, machine) in machines.iter().enumerate() {
        let others: HashSet<u16> = table
            .columns
            .iter()
            .filter(|column| of(column).is_some_and(|known| known != place))
            .map(|column| column.column)
            .collect();
        let is_its = |column: u16| {
            table
                .columns
                .iter()
                .any(|known| known.column == column && of(known) == Some(place))
        };
        // A row in which nothing of it stands has no such motor.
        let without: HashSet<u32> = table
            .rows
            .iter()
            .filter(|(_, called)| *called == As::Motor)
            .filter_map(|(place, _)| grid.row_at(*place))
            .filter(|(_, cells)| {
                !cells
                    .iter()
                    .any(|cell| is_its(cell.column) && !says_nothing(grid, own, cell))
            })
            .map(|(row, _)| row)
            .collect();
        let part = grid.cut(
            |column| !others.contains(&column),
            usize::MAX,
            |row| !without.contains(&row),
        );
        let mut name = String::new();
        let mut letters = machine.chars();
        name.extend(letters.next().into_iter().flat_map(char::to_uppercase));
        name.extend(letters);
        all.add_part(part, own, Some(Arc::from(name)));
    }
    Some(all)
}

/// Whether a cell is a sign for nothing.
fn says_nothing(grid: &Grid, own: &Own, cell: &Cell) -> bool {
    matches!(cell.content, Content::Text(index) if own.words.is(grid.text(index), "blank"))
}

/// Whether the tables of some columns could stand by themselves: motors with ratings and names.
fn stands_alone(found: &Found) -> bool {
    found.tables.iter().any(|table| {
        let has = |reads: Reads| table.column(reads).is_some();
        table.motors() > 0
            && (has(Reads::RatedPower) || has(Reads::Nameplate))
            && (has(Reads::Tag) || has(Reads::Description))
    })
}

/// Why a count of something is not read as that of the motors.
const OF_ANOTHER: &str = "of another table beside the motors";

/// A count behind an empty column, among columns of which none is of a motor, counts something else: belts, bearings, filters.
pub(super) fn counts_of_something_else(table: &mut Table) {
    let counts = |column: &Column| {
        matches!(
            column.reads,
            Some(Reads::Quantity | Reads::QuantityRunning | Reads::QuantityStandby)
        )
    };
    let is_next = |one: &Column, next: &Column| one.column.checked_add(1) == Some(next.column);
    let bands = table.columns.chunk_by_mut(is_next).skip(1);
    for band in bands {
        // A band of counts and remarks alone, or one in which anything is of a motor, goes on with the list.
        let others = band.iter().filter(|column| !counts(column));
        let (unknown, known): (Vec<&Column>, Vec<&Column>) = others.partition(|column| column.reads.is_none());
        if unknown.is_empty() || !known.is_empty() {
            continue;
        }
        for column in band
            .iter_mut()
            .filter(|column| counts(column) && !column.heading.settled)
        {
            column.reads = None;
            OF_ANOTHER.clone_into(&mut column.heading.reason);
        }
    }
}

/// Columns that may hold tables of their own, first and last: parted by empty columns, and where the heading begins anew.
fn bands(grid: &Grid, own: &Own) -> Vec<(u16, u16)> {
    let width = grid.width();
    let mut filled = vec![false; usize::from(width)];
    let mut texts: Option<Texts<'_>> = None;
    let mut begins_anew: Vec<u16> = Vec::new();
    for (place, (_, cells)) in grid.rows().enumerate() {
        // A title of the sheet may reach over everything.
        if cells.len() == 1 && place < 20 {
            continue;
        }
        for cell in cells {
            if let Some(entry) = filled.get_mut(usize::from(cell.column)) {
                *entry = true;
            }
        }
        if place < 60 && begins_anew.is_empty() && cells.len() >= 6 {
            let texts = texts.get_or_insert_with(|| Texts::new(grid, own, 0));
            if is_heading_row(texts, cells) {
                let reads: Vec<(u16, Reads)> = cells
                    .iter()
                    .filter_map(|cell| Some((cell.column, texts.reads(cell)?)))
                    .collect();
                if let Some((_, first)) = reads.first()
                    && matches!(first, Reads::Tag | Reads::Item | Reads::Description)
                {
                    let again = reads.iter().skip(1).filter(|(_, reads)| reads == first);
                    begins_anew = again.map(|(column, _)| *column).collect();
                }
            }
        }
    }
    let mut bands: Vec<(u16, u16)> = Vec::new();
    let mut gap = true;
    for column in (0..width).filter(|column| *column < u16::MAX) {
        let is_filled = filled.get(usize::from(column)).copied().unwrap_or(false);
        match bands.last_mut() {
            Some((_, last)) if is_filled && !gap && !begins_anew.contains(&column) => *last = column,
            _ if is_filled => bands.push((column, column)),
            _ => {}
        }
        gap = !is_filled;
    }
    // What stands before the first filled column (a title over everything) goes with it.
    if let Some(first) = bands.first_mut() {
        first.0 = 0;
    }
    bands
}
