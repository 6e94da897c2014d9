//! Whether a table is one of motors, and which of its rows tell of other machines.
//!
//! Always: what is not read is told, with what was seen.

use super::cells::{contents, short};
use super::lines::is_spare_way;
use super::{As, Column, Found, Table};
use crate::plates::own::Own;
use crate::plates::reads::{PlateUnit, Reads};
use crate::plates::store::{Cell, Content, Grid};
use crate::plates::{cell, words};

/// What only motors have.
fn is_of_motors(column: &Column) -> bool {
    use Reads::*;
    let words = words::words(&column.name);
    let named = words
        .iter()
        .any(|word| matches!(word.as_str(), "motor" | "moteur" | "motors" | "motores"));
    named
        || column
            .unit
            .is_some_and(|unit| matches!(unit, PlateUnit::Horsepower | PlateUnit::MetricHorsepower))
        || matches!(
            column.reads,
            Some(
                Poles
                    | RatedSpeed
                    | MeasuredSpeed
                    | SynchronousSpeed
                    | Frame
                    | EfficiencyClass
                    | Insulation
                    | ServiceFactor
                    | CodeLetter
                    | Design
                    | Mounting
                    | NoLoadCurrent
                    | LockedRotorCurrent
                    | Nameplate
            )
        )
}

/// What the headings of a table say that no list of motors has: fuel and engines of sets, windings of transformers; and columns of a
/// machine's curve without a single name.
fn of_other_machines(own: &Own, table: &Table) -> Option<String> {
    if table
        .columns
        .iter()
        .any(|column| column.heading.motor || column.heading.settled)
    {
        return None;
    }
    let says = |column: &&Column| own.words.headings_say(&column.name, "other_list");
    if let Some(column) = table.columns.iter().find(says) {
        return Some(format!("as the heading \u{201c}{}\u{201d} says", short(&column.name)));
    }
    let named = table
        .columns
        .iter()
        .any(|column| column.reads.is_some_and(Reads::is_name));
    let strange = |column: &&Column| column.heading.unfit || column.heading.strange;
    let strange = table.columns.iter().filter(strange).count();
    (!named && strange >= 2).then(|| "as the units of its columns say, and no row has a name".to_owned())
}

/// Why a sheet holds no motors although it has ratings, currents or speeds: nothing in it says motors, or no row has a number.
pub(super) fn nothing_of_motors(grid: &Grid, file: &str, own: &Own, found: &Found) -> Option<String> {
    let tables = || found.tables.iter().filter(|table| table.motors() > 0);
    let table = tables().next()?;
    let row = table.headings.first().map_or(0, |row| row + 1);
    if !tables().any(|table| has_numbers(found.grid_of(table, grid), table)) {
        return Some(format!(
            "the table under source row {row} has no number in any column of ratings, currents or speeds"
        ));
    }
    let said = || {
        let texts = found
            .lines(grid)
            .into_iter()
            .filter(|line| line.called != As::Motor)
            .take(200);
        let says = |text: &str| own.words.says(text, "machine");
        says(&grid.name)
            || says(file)
            || texts
                .flat_map(|line| line.cells)
                .any(|cell| matches!(cell.content, Content::Text(index) if says(grid.text(index))))
    };
    if tables().any(|table| speaks_of_motors(found.grid_of(table, grid), own, table)) || said() {
        return None;
    }
    let columns: Vec<String> = table
        .columns
        .iter()
        .filter(|column| column.reads.is_some_and(Reads::is_core))
        .map(|column| format!("\u{201c}{}\u{201d}", short(&column.name)))
        .take(6)
        .collect();
    Some(format!(
        "the table under source row {row} holds {} rows of consumers ({}), and nothing says that they are motors: no poles, frames, classes or \
         plate speeds, no word of a motor or a driven machine; a column map reads it all the same",
        tables().map(Table::motors).sum::<usize>(),
        columns.join(", ")
    ))
}

/// Whether a row of the table has a number where motors have ratings, currents or speeds.
fn has_numbers(grid: &Grid, table: &Table) -> bool {
    table
        .columns
        .iter()
        // What stands there of several motors in one row is not read and is there all the same.
        .filter(|column| column.plates || column.reads.or(column.heading.reads).is_some_and(Reads::is_core))
        .any(|column| {
            column.plates
                || contents(grid, table, column.column).any(|content| match content {
                    Content::Text(text) => grid
                        .text(*text)
                        .contains(|sign: char| sign.is_ascii_digit() || "½¼¾".contains(sign)),
                    _ => true,
                })
        })
}

/// Whether a table says that its rows are motors: by what only motors have, by speeds as plates have them, by the words of its rows.
fn speaks_of_motors(grid: &Grid, own: &Own, table: &Table) -> bool {
    let has = |reads: Reads| table.column(reads).is_some();
    let by_columns = table.columns.iter().any(|column| {
        column.heading.settled
            || column.heading.motor
            || column.plates
            || column.heading.rated
            || column.heading.connection.is_some()
            || is_of_motors(column) && !is_speed(column)
    });
    let phases = table.columns.iter().any(|column| column.heading.phase);
    let together = has(Reads::PowerFactor) && has(Reads::Efficiency)
        || has(Reads::Drive)
        || has(Reads::Converter)
        || has(Reads::DrivenSpeed)
        || has(Reads::Connection)
        || has(Reads::RatedPower) && phases
        || has(Reads::RatedCurrent) && has(Reads::MeasuredCurrent);
    if by_columns || together {
        return true;
    }
    let speeds = table.columns.iter().filter(|column| is_speed(column));
    let mut turns = speeds
        .flat_map(|column| contents(grid, table, column.column).take(200))
        .flat_map(|content| match content {
            Content::Number(number) => vec![*number],
            Content::Text(text) => spoken(grid.text(*text)),
            _ => Vec::new(),
        });
    if turns.any(is_of_plate) {
        return true;
    }
    table
        .columns
        .iter()
        .filter(|column| {
            column
                .reads
                .is_some_and(|reads| reads.is_name() || matches!(reads, Reads::Remarks | Reads::Model | Reads::Area))
                || column.reads.is_none()
        })
        .any(|column| {
            contents(grid, table, column.column)
                .take(500)
                .any(|content| match content {
                    Content::Text(text) => own.words.says(grid.text(*text), "machine"),
                    _ => false,
                })
        })
}

/// The numbers of a text: all its digits together, and each of a pair.
fn spoken(text: &str) -> Vec<f64> {
    let digits = |part: &str| {
        part.chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
            .parse()
            .ok()
    };
    let pair = text.split(['/', '-', '–']).filter_map(digits);
    digits(text).into_iter().chain(pair).collect()
}

fn is_speed(column: &Column) -> bool {
    matches!(
        column.reads,
        Some(Reads::RatedSpeed | Reads::MeasuredSpeed | Reads::SynchronousSpeed)
    )
}

/// Whether so many turns a minute are those of a motor: synchronous, or less than an eighth below.
fn is_of_plate(turns: f64) -> bool {
    [3000.0, 3600.0].into_iter().any(|two_poles| {
        let pairs = (two_poles / turns).floor();
        (1.0..=12.0).contains(&pairs) && turns * pairs / two_poles > 0.875
    })
}

/// Rows that take power and are no motors: heaters, lighting, sockets. In a list of motors such a row, with nothing in it that only
/// motors have, is set aside with the reason; a table that says so as a whole and has nothing of motors is none.
pub(super) fn settle_not_motors(grid: &Grid, own: &Own, found: &mut Found) {
    let says = |text: &str, meaning: &str| own.words.says(text, meaning);
    let titles_say = |meaning: &str, headings: &[u32]| {
        says(&grid.name, meaning)
            || found
                .rows
                .iter()
                .enumerate()
                .filter(|(_, (called, table))| *called == As::Note && table.is_none() || *called == As::Heading)
                .take(40)
                .filter_map(|(place, _)| grid.row_at(place))
                .filter(|(row, _)| headings.first().is_none_or(|first| row <= first) || headings.contains(row))
                .flat_map(|(_, cells)| cells)
                .any(|cell| matches!(cell.content, Content::Text(text) if says(grid.text(text), meaning)))
    };
    let mut set_aside: Vec<(usize, String)> = Vec::new();
    let mut none: Vec<(usize, String)> = Vec::new();
    for (number, table) in found.tables.iter().enumerate() {
        let of_motors: Vec<u16> = table
            .columns
            .iter()
            .filter(|column| is_of_motors(column))
            .map(|column| column.column)
            .collect();
        let telling: Vec<u16> = of_motors
            .iter()
            .copied()
            .filter(|column| tells_a_motor(table, *column))
            .collect();
        let named: Vec<u16> = table
            .columns
            .iter()
            .filter(|column| {
                matches!(
                    column.reads,
                    Some(Reads::Description | Reads::Tag | Reads::Item | Reads::Remarks | Reads::Model)
                )
            })
            .map(|column| column.column)
            .collect();
        let columns_of = |reads: Reads| -> Vec<u16> {
            let columns = table.columns.iter().filter(|column| column.reads == Some(reads));
            columns.map(|column| column.column).collect()
        };
        let (described, remarks) = (columns_of(Reads::Description), columns_of(Reads::Remarks));
        let plates: Vec<u16> = table
            .columns
            .iter()
            .filter(|column| column.plates)
            .map(|column| column.column)
            .collect();
        let foreign = of_other_machines(own, table);
        let (mut not, mut machines, mut motors) = (Vec::new(), 0usize, 0usize);
        let mut area = "";
        for (place, called) in &table.rows {
            let Some((_, cells)) = grid.row_at(*place) else {
                continue;
            };
            let text = |cell: &Cell| match cell.content {
                Content::Text(index) => Some(grid.text(index).trim()),
                _ => None,
            };
            if *called == As::Area {
                area = cells.iter().find_map(text).unwrap_or("");
            }
            if *called != As::Motor {
                continue;
            }
            motors += 1;
            let tells = |cell: &Cell| match text(cell) {
                Some(text) if text.starts_with(|sign: char| sign.is_ascii_digit()) => true,
                Some(text) => own.words.cells().whole(&words::folded(text)).is_empty(),
                None => true,
            };
            // Most rows of motors are known by a speed: their words need no look.
            let has_plate = |cell: &Cell| {
                plates.contains(&cell.column) && text(cell).is_some_and(|text| cell::plate(text, false).len() >= 3)
            };
            if cells
                .iter()
                .any(|cell| telling.contains(&cell.column) && tells(cell) || has_plate(cell))
            {
                machines += 1;
                continue;
            }
            let names = |of: &[u16]| -> Vec<&str> {
                let cells = cells.iter().filter(|cell| of.contains(&cell.column));
                let texts = cells.filter_map(text).filter(|text| text.len() <= 200);
                texts.chain(std::iter::once(area)).collect()
            };
            let mut texts = names(&named);
            // `Lighting DB` is no motor, whatever its kind is called: a feeder may be one that feeds stone.
            let own_words = names(&described);
            let lit = own_words
                .iter()
                .any(|text| **text != *area && says(text, "not_motor") && !says(text, "machine"));
            if !lit && texts.iter().any(|text| says(text, "machine")) {
                machines += 1;
                continue;
            }
            // What is described says what it is; a remark may speak of its surroundings then (`fed from the transformer`).
            if own_words.len() > 1 {
                let without: Vec<u16> = named
                    .iter()
                    .copied()
                    .filter(|column| !remarks.contains(column))
                    .collect();
                texts = names(&without);
            }
            let is_none = |text: &&&str| says(text, "not_motor") || **text != area && is_spare_way(own, text);
            let Some(said) = texts.iter().find(is_none) else {
                continue;
            };
            not.push((*place, (*said).to_owned()));
        }
        let all_of_it = of_motors.is_empty()
            && (titles_say("not_motor", &table.headings)
                && !titles_say("machine", &table.headings)
                && machines * 2 < motors.max(1)
                || machines == 0 && not.len() * 10 >= motors * 6);
        if let Some(why) = foreign.filter(|_| motors > 0) {
            none.push((number, why));
        } else if all_of_it && motors > 0 {
            let said = not.first().map_or_else(
                || "as its titles or headings say".to_owned(),
                |(_, said)| format!("such as \u{201c}{}\u{201d}", short(said)),
            );
            none.push((number, said));
        } else {
            set_aside.append(&mut not);
        }
    }
    for (number, said) in none {
        let Some(table) = found.tables.get_mut(number) else {
            continue;
        };
        let first = table.headings.first().map_or(0, |row| row + 1);
        found.no_motors.push(format!(
            "the table under source row {first} holds {} rows of sets, heaters, lighting or the like, {said}, and nothing that only motors have",
            table.motors()
        ));
        for (place, called) in &mut table.rows {
            *called = As::Note;
            if let Some(entry) = found.rows.get_mut(*place) {
                entry.0 = As::Note;
            }
        }
    }
    for (place, said) in set_aside {
        if let Some(entry) = found.rows.get_mut(place) {
            entry.0 = As::Note;
        }
        for (of, called) in found.tables.iter_mut().flat_map(|table| &mut table.rows) {
            if *of == place {
                *called = As::Note;
            }
        }
        if let Some((row, _)) = grid.row_at(place) {
            found.set_aside.push((row, short(&said)));
        }
    }
}

/// Whether a filled cell of the column tells a motor: heaters have ratings in hp or under `Motor kW` too.
fn tells_a_motor(table: &Table, column: u16) -> bool {
    table
        .columns
        .iter()
        .find(|known| known.column == column)
        .and_then(|known| known.reads)
        .is_some_and(|reads| {
            reads != Reads::RatedPower && reads != Reads::RatedCurrent && !reads.is_name() && reads != Reads::Remarks
        })
}
