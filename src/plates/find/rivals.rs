//! Of several columns that may be one quantity, which one is.
//!
//! Always: the one that is used is said, and the others are named.

use std::collections::BTreeMap;

use super::apart::counts_of_something_else;
use super::cells::{PHASES, classes, near_the_plate, numbers, short, weight};
use super::days::{day_named, phases_by_day, readings_by_day, readings_of_days, settle_days, take_newest};
use super::values::{
    both_connections, converters, driven_machines, drives_in_cells, measured_factor, named_by_drive,
    numbers_are_no_names, parts_of_plant, poles_of_breakers, settle_values,
};
use super::{Column, Table};
use crate::plates::own::Own;
use crate::plates::reads::{PlateUnit, Reads};
use crate::plates::store::Grid;
use crate::plates::{heading, words};

/// Where several columns claim the same quantity, one is used; the others are kept as text. Columns of currents under different
/// voltages and of three phases belong together.
///
/// Where the user said what a column holds it stays so.
pub(super) fn settle_columns(grid: &Grid, own: &Own, table: &mut Table) {
    counts_of_something_else(table);
    bare_phases(grid, table);
    settle_days(grid, table);
    three_phases(own, table);
    settle_values(grid, table);
    poles_of_breakers(grid, table);
    perhaps_measured(table);
    driven_machines(table);
    converters(own, table);
    numbers_are_no_names(grid, table);
    named_by_drive(grid, own, table);
    parts_of_plant(table);
    second_group(table);
    worked_out(grid, table);
    measured_factor(table);
    phases_by_day(grid, table);
    shaft_power(table);
    design_current(table);
    drives_in_cells(grid, own, table);
    classes(grid, table);
    readings_by_day(grid, table);
    let mut by_reads: BTreeMap<Reads, Vec<usize>> = BTreeMap::new();
    for (index, column) in table.columns.iter().enumerate() {
        if let Some(reads) = column.reads {
            by_reads.entry(reads).or_default().push(index);
        }
    }
    for (reads, places) in by_reads {
        if places.len() < 2 {
            continue;
        }
        // `Amps @ 230 V`, `Amps @ 460 V` and a third: the plate's are those that say for what they are.
        if reads == Reads::RatedCurrent && under_conditions(table, &places) {
            continue;
        }
        let all =
            |test: &dyn Fn(&Column) -> bool| places.iter().all(|place| table.columns.get(*place).is_some_and(test));
        if reads == Reads::RatedCurrent
            && (all(&|column| column.heading.at_voltage.is_some())
                || all(&|column| column.heading.connection.is_some()) && both_connections(table, &places))
        {
            continue;
        }
        // The same plate value at 50 and at 60 Hz.
        if all(&|column| column.heading.at_hertz.is_some()) {
            let mut hertz: Vec<_> = places
                .iter()
                .filter_map(|place| table.columns.get(*place)?.heading.at_hertz)
                .collect();
            hertz.sort_unstable();
            hertz.dedup();
            if hertz.len() == places.len() {
                continue;
            }
        }
        if matches!(reads, Reads::MeasuredCurrent | Reads::MeasuredVoltage)
            && all(&|column| column.heading.phase)
            && places.len() <= 3
        {
            continue;
        }
        if reads == Reads::RatedPower {
            // kW and hp side by side: both are the rating.
            continue_pair(grid, table, &places);
            continue;
        }
        // `FLA` and `Amps`, or `Amps` twice: the one not said to be the plate's, else the later one, is the reading.
        if let (Some(measured), 2) = (reads.measured_twin(), places.len())
            && !table.columns.iter().any(|column| column.reads == Some(measured))
            && all(&|column| !column.heading.former && !column.hidden)
            && !all(&|column| column.heading.rated)
        {
            let reading = places
                .iter()
                .rev()
                .find(|place| table.columns.get(**place).is_some_and(|column| !column.heading.rated))
                .copied();
            let may_be = reading
                .and_then(|place| table.columns.get(place))
                .is_some_and(may_be_read);
            let near = reading.is_some_and(|place| near_the_plate(grid, table, &places, place));
            if let Some(second) = reading
                .and_then(|place| table.columns.get_mut(place))
                .filter(|column| !column.heading.settled)
            {
                if may_be && near {
                    second.reads = Some(measured);
                    second.heading.confidence = 0.6;
                    second.heading.reason = "beside a column of plate values of the same sort".to_owned();
                } else {
                    second.reads = None;
                    second.heading.unfit = true;
                    second.heading.reason = if near {
                        format!(
                            "it stands beside a column of {}, and nothing says that it was measured; if it was, a column map says so",
                            reads.title().to_lowercase()
                        )
                    } else {
                        format!(
                            "its values are far from those of the column of {}",
                            reads.title().to_lowercase()
                        )
                    };
                }
                continue;
            }
        }
        // The plate and readings of several days: the newest.
        if let Some(measured) = reads.measured_twin()
            && places.len() > 2
            && table.column(measured).is_none()
            && let Some(of_days) = readings_of_days(table, &places)
        {
            take_newest(table, &of_days, measured);
            continue;
        }
        if matches!(
            reads,
            Reads::MeasuredCurrent | Reads::MeasuredVoltage | Reads::MeasuredPower | Reads::MeasuredSpeed
        ) {
            take_newest(table, &places, reads);
            continue;
        }
        let best = places
            .iter()
            .copied()
            .max_by(|a, b| weight(table, *a).total_cmp(&weight(table, *b)).then(b.cmp(a)));
        let left: Vec<String> = places
            .iter()
            .filter(|place| Some(**place) != best)
            .filter_map(|place| table.columns.get(*place))
            .filter(|column| {
                !column.hidden && !column.heading.former && !column.heading.rated && !column.heading.settled
            })
            .map(|column| format!("\u{201c}{}\u{201d}", short(&column.name)))
            .collect();
        if reads.measured_twin().is_some()
            && places.len() > 2
            && !left.is_empty()
            && let Some(column) = best.and_then(|place| table.columns.get_mut(place))
            && column.heading.doubt.is_none()
        {
            column.heading.doubt = Some(format!(
                "Several columns hold {}: \u{201c}{}\u{201d} was used, and not {}. Where they were measured, a column map says so.",
                reads.title().to_lowercase(),
                short(&column.name),
                left.join(", ")
            ));
        }
        for place in places {
            if Some(place) != best
                && let Some(column) = table.columns.get_mut(place)
            {
                column.reads = None;
                column.heading.reason = format!("another column holds {}", reads.title().to_lowercase());
            }
        }
    }
}

/// Whether a second column of a quantity may be a reading: all its words are known, or it speaks of a load, a measurement or a day.
fn may_be_read(column: &Column) -> bool {
    let (understood, of) = column.heading.understood;
    understood >= of || column.heading.loaded || column.heading.measured || day_named(&column.name).is_some()
}

/// Where voltage, current and speed come a second time, so does the power: `HP;V;FLA;RPM;Volts;Amps;kW;RPM`.
fn second_group(table: &mut Table) {
    let of = |reads: Reads| -> Vec<usize> {
        let columns = table.columns.iter().enumerate();
        columns
            .filter(|(_, column)| column.reads == Some(reads) && !column.heading.settled && !column.heading.former)
            .map(|(place, _)| place)
            .collect()
    };
    let again: Vec<(usize, usize)> = [
        (Reads::Voltage, Reads::MeasuredVoltage),
        (Reads::RatedCurrent, Reads::MeasuredCurrent),
        (Reads::RatedSpeed, Reads::MeasuredSpeed),
    ]
    .into_iter()
    .filter_map(|(plate, measured)| {
        let mut places = of(plate);
        places.extend(of(measured));
        places.sort_unstable();
        <[usize; 2]>::try_from(places)
            .ok()
            .map(|[first, second]| (first, second))
    })
    .collect();
    let powers = of(Reads::RatedPower);
    let ([first, second], true) = (powers.as_slice(), again.len() >= 2) else {
        return;
    };
    let plates_end = again.iter().map(|(first, _)| *first).max().unwrap_or(0);
    let readings_begin = again.iter().map(|(_, second)| *second).min().unwrap_or(0);
    // The groups stand apart, and each has its power.
    let apart = plates_end < readings_begin && *first < readings_begin && *second > plates_end + 1;
    if !apart || table.column(Reads::MeasuredPower).is_some() || second.abs_diff(readings_begin) > 3 {
        return;
    }
    // What is taken in is measured in kW; a rating at another frequency is no reading.
    let reading = |column: &&mut Column| {
        !column.heading.rated && column.heading.at_hertz.is_none() && column.unit == Some(PlateUnit::Kilowatt)
    };
    if let Some(column) = table.columns.get_mut(*second).filter(reading) {
        column.reads = Some(Reads::MeasuredPower);
        column.heading.confidence = 0.6;
        column.heading.reason = "in a second group of volts, amps and speed, beside that of the plate".to_owned();
    }
}

/// Amps that are the plate's times the load factor in every row were worked out and not measured, and so were the powers beside them.
fn worked_out(grid: &Grid, table: &mut Table) {
    let of = |reads: Reads| table.column(reads).map(|column| numbers(grid, table, column.column));
    let (Some(load), Some(plate), Some(read)) = (of(Reads::Load), of(Reads::RatedCurrent), of(Reads::MeasuredCurrent))
    else {
        return;
    };
    let share = |load: f64| if load > 1.5 { load / 100.0 } else { load };
    let ratios: Vec<f64> = load
        .iter()
        .zip(plate)
        .zip(read)
        .filter_map(|((load, plate), read)| Some(read? / (share((*load)?) * plate?)))
        .filter(|ratio| ratio.is_finite())
        .collect();
    if ratios.len() < 2 || !ratios.iter().all(|ratio| (ratio - 1.0).abs() < 0.01) {
        return;
    }
    for column in table.columns.iter_mut().filter(|column| !column.heading.settled) {
        match column.reads {
            Some(Reads::MeasuredCurrent) => {
                column.reads = None;
                column.heading.unfit = true;
                "its values are the plate current times the load factor in every row: worked out and not measured"
                    .clone_into(&mut column.heading.reason);
            }
            Some(Reads::MeasuredPower) => {
                column.reads = Some(Reads::AbsorbedPower);
                column.heading.confidence = 0.6;
                "the currents beside it are worked out by the load factor, and so is it"
                    .clone_into(&mut column.heading.reason);
            }
            _ => {}
        }
    }
}

/// `P2` beside another rating is the power on the shaft at the duty.
fn shaft_power(table: &mut Table) {
    let of = |column: &Column| column.reads == Some(Reads::RatedPower) && !column.heading.settled;
    let is_second = |column: &Column| {
        of(column) && !column.heading.rated && words::words(&column.name).iter().any(|word| word == "p2")
    };
    let others = table
        .columns
        .iter()
        .any(|column| of(column) && !is_second(column) && !column.heading.former);
    if !others || table.column(Reads::AbsorbedPower).is_some() {
        return;
    }
    if let Some(column) = table.columns.iter_mut().find(|column| is_second(column)) {
        column.reads = Some(Reads::AbsorbedPower);
        column.heading.confidence = 0.7;
        column.heading.reason = "P2 beside a column of ratings: the power on the shaft".to_owned();
    }
}

/// `Ib` without `Ia` and `Ic` is the design current of the circuit (IEC 60364), and no phase.
fn design_current(table: &mut Table) {
    let names = |column: &Column, letters: &str| words::words(&column.name).iter().any(|word| word == letters);
    if table
        .columns
        .iter()
        .any(|column| names(column, "ia") || names(column, "ic"))
    {
        return;
    }
    let of_circuit = |column: &&mut Column| {
        names(column, "ib")
            && !column.heading.measured
            && !column.heading.settled
            && column.reads.is_some_and(Reads::is_core)
    };
    if let Some(column) = table.columns.iter_mut().find(of_circuit) {
        column.reads = None;
        column.heading.unfit = true;
        column.heading.reason = "the design current of the circuit, it seems, which nobody measured".to_owned();
    }
}

/// Three neighbours under the letters of the phases alone (`R | S | T`), or under the same word of currents beside the plate's (`A | A |
/// A`), whose numbers are about the same in each row: readings of the phases, of volts or of amperes by the size of the numbers.
fn bare_phases(grid: &Grid, table: &mut Table) {
    let median = |reads: Reads| -> Option<f64> {
        let column = table
            .columns
            .iter()
            .find(|column| column.reads == Some(reads) && !column.heading.phase)?;
        let mut values: Vec<f64> = numbers(grid, table, column.column).into_iter().flatten().collect();
        values.sort_by(f64::total_cmp);
        values.get(values.len() / 2).copied()
    };
    let (volts, amps) = (median(Reads::Voltage), median(Reads::RatedCurrent));
    let mut found: Vec<(usize, Reads)> = Vec::new();
    let mut place = 0;
    while let Some(three) = table.columns.get(place..place + 3) {
        place += 1;
        let names: Vec<String> = three
            .iter()
            .map(|column| words::words(&column.name).join(" "))
            .collect();
        let letters = names.iter().map(String::as_str);
        let numbered = letters.clone().eq(["l1", "l2", "l3"]);
        let lettered = PHASES
            .iter()
            .any(|known| !known.concat().starts_with('1') && letters.clone().eq(known.iter().copied()));
        let current = |column: &Column| matches!(column.reads, Some(Reads::RatedCurrent | Reads::MeasuredCurrent));
        // The plate's stands first.
        let before = table
            .columns
            .iter()
            .take(place - 1)
            .filter(|column| current(column))
            .count();
        let same = names.iter().all(|name| Some(name) == names.first())
            && three.iter().all(|column| current(column) && !column.heading.rated)
            && before == 1;
        let of_something =
            |column: &Column| column.heading.settled || column.heading.at_voltage.is_some() || column.plates;
        if !(numbered || lettered || same) || three.iter().any(of_something) {
            continue;
        }
        let [first, second, third] = three else { break };
        let rows = numbers(grid, table, first.column).into_iter();
        let rows = rows
            .zip(numbers(grid, table, second.column))
            .zip(numbers(grid, table, third.column));
        let full: Vec<[f64; 3]> = rows
            .filter_map(|((a, b), c)| Some([a?, b?, c?]))
            .filter(|row| row.iter().all(|value| *value > 0.0))
            .collect();
        let near = |row: &&[f64; 3]| {
            let (least, most) = row.iter().fold((f64::MAX, 0.0f64), |(least, most), value| {
                (least.min(*value), most.max(*value))
            });
            most < 1.5 * least
        };
        if full.is_empty() || full.iter().filter(near).count() * 10 < full.len() * 8 {
            continue;
        }
        let about = |known: Option<f64>, factor: f64| {
            known.is_some_and(|known| {
                let off = |row: &&[f64; 3]| row.iter().sum::<f64>() / 3.0 / known;
                full.iter()
                    .filter(|row| (1.0 / factor..factor).contains(&off(row)))
                    .count()
                    * 2
                    > full.len()
            })
        };
        let between_phases = names.first().is_some_and(|name| name.len() == 2 && !numbered);
        let reads = if between_phases || about(volts, 1.25) && !about(amps, 1.25) {
            Reads::MeasuredVoltage
        } else {
            Reads::MeasuredCurrent
        };
        if found.iter().any(|(_, known)| *known == reads) {
            continue;
        }
        found.push((place - 1, reads));
        place += 2;
    }
    for (place, reads) in found {
        for column in table.columns.iter_mut().skip(place).take(3) {
            column.reads = Some(reads);
            column.unit = Some(reads.usual());
            column.heading.phase = true;
            column.heading.confidence = column.heading.confidence.max(0.8);
            column.heading.reason =
                "one of three phases, by its letter or place and the size of its numbers".to_owned();
        }
    }
}

/// Three neighbours with the same heading but for the letter of the phase are readings of the three phases.
fn three_phases(own: &Own, table: &mut Table) {
    for place in 0..table.columns.len().saturating_sub(2) {
        let Some(three) = table.columns.get_mut(place..place + 3) else {
            return;
        };
        let of_phases = |letters: usize| {
            let parts: Option<Vec<(String, String)>> = three
                .iter()
                .map(|column| {
                    let mut words = crate::plates::words::words(&column.name);
                    let last = words.split_off(words.len().checked_sub(letters)?);
                    Some((words.join(" "), last.concat()))
                })
                .collect();
            let [(first, a), (second, b), (third, c)] = <[_; 3]>::try_from(parts?).ok()?;
            let alike = !first.is_empty() && first == second && first == third;
            let phases = PHASES.iter().any(|letters| *letters == [&a, &b, &c]);
            (alike && phases).then_some(first)
        };
        // `V AB` and `V A-B`.
        let Some(stem) = of_phases(1).or_else(|| of_phases(2)) else {
            continue;
        };
        let reads = three.first().and_then(|column| column.reads);
        // Letters of phases are those of units too: of `V A-B`, `V B-C` and `V C-A` two seem to be in amperes.
        let reads = if three.iter().all(|column| column.reads == reads) {
            reads
        } else {
            heading::read(&stem, &own.words).reads
        };
        let (measured, usual) = match reads {
            Some(Reads::Voltage | Reads::MeasuredVoltage) => (Reads::MeasuredVoltage, PlateUnit::Volt),
            Some(Reads::RatedCurrent | Reads::MeasuredCurrent) => (Reads::MeasuredCurrent, PlateUnit::Ampere),
            _ => continue,
        };
        let plates_own =
            |column: &Column| column.heading.rated || column.heading.settled || column.heading.at_voltage.is_some();
        if three.iter().any(plates_own) {
            continue;
        }
        for column in three.iter_mut() {
            column.reads = Some(measured);
            column.unit = column.unit.map(|unit| if unit.fits(measured) { unit } else { usual });
            column.heading.unfit = false;
            column.heading.phase = true;
            column.heading.confidence = column.heading.confidence.max(0.8);
            column.heading.reason = "one of three phases".to_owned();
        }
    }
}

/// A power taken in that is not said to be measured, in a list in which nothing else is: a figure of the design.
fn perhaps_measured(table: &mut Table) {
    let survey = table.columns.iter().any(|column| {
        matches!(
            column.reads,
            Some(Reads::MeasuredVoltage | Reads::MeasuredCurrent | Reads::MeasuredSpeed)
        ) || column.reads == Some(Reads::MeasuredPower) && !column.heading.perhaps_measured
    });
    if survey {
        return;
    }
    for column in &mut table.columns {
        if column.reads == Some(Reads::MeasuredPower) && column.heading.perhaps_measured && !column.heading.settled {
            column.reads = Some(Reads::AbsorbedPower);
            column.heading.reason = "nothing in the list says that it was measured".to_owned();
        }
    }
}

/// Currents for a voltage or a connection beside one that says none: that one is the reading, where there is no other.
fn under_conditions(table: &mut Table, places: &[usize]) -> bool {
    let said = |column: &Column| column.heading.at_voltage.is_some() || column.heading.connection.is_some();
    let (with, without): (Vec<usize>, Vec<usize>) = places
        .iter()
        .partition(|place| table.columns.get(**place).is_some_and(said));
    let [reading] = without.as_slice() else { return false };
    let has_reading = table.column(Reads::MeasuredCurrent).is_some();
    let Some(column) = table.columns.get_mut(*reading).filter(|column| !column.heading.settled) else {
        return false;
    };
    if with.len() < 2 {
        return false;
    }
    if column.heading.rated || has_reading {
        column.reads = None;
        column.heading.reason = "the columns that say their voltage hold rated current".to_owned();
    } else {
        column.reads = Some(Reads::MeasuredCurrent);
        column.heading.confidence = 0.6;
        column.heading.reason = "beside columns of plate currents that say their voltage".to_owned();
    }
    true
}

/// Two columns of ratings: the better one leads; one in another unit stays beside it for rows where the first is empty.
fn continue_pair(grid: &Grid, table: &mut Table, places: &[usize]) {
    let best = places
        .iter()
        .copied()
        .max_by(|a, b| weight(table, *a).total_cmp(&weight(table, *b)).then(b.cmp(a)));
    let unit = best
        .and_then(|place| table.columns.get(place))
        .and_then(|column| column.unit);
    for place in places {
        if Some(*place) == best {
            continue;
        }
        let other = best.is_some_and(|best| other_power(grid, table, best, *place));
        if let Some(column) = table.columns.get_mut(*place) {
            let twin = !column.hidden && !column.heading.former && column.unit.is_some() && column.unit != unit;
            if twin && other {
                column.reads = None;
                column.heading.reason = "its values are not those of the rating in another unit".to_owned();
                column.heading.doubt = Some(format!(
                    "The column \u{201c}{}\u{201d} holds other powers than the ratings beside it; it was not used. If it was measured, say so in a \
                     column map.",
                    column.name
                ));
            } else if !twin {
                column.reads = None;
                column.heading.reason = "another column holds the rating".to_owned();
            }
        }
    }
}

/// Whether two columns of powers in two units disagree in most rows: no rating and the same rating again.
fn other_power(grid: &Grid, table: &Table, first: usize, second: usize) -> bool {
    let of = |place: usize| {
        let column = table.columns.get(place)?;
        Some((numbers(grid, table, column.column), column.unit?.kilowatts()?))
    };
    let (Some((first, one)), Some((second, other))) = (of(first), of(second)) else {
        return false;
    };
    let ratios: Vec<f64> = first
        .iter()
        .zip(&second)
        .filter_map(|(a, b)| Some(((*a)?, (*b)?)))
        .filter(|(a, b)| *a > 0.0 && *b > 0.0)
        .map(|(a, b)| b * other / (a * one))
        .collect();
    // Ratings of the two series go together by a tenth or better.
    let off = ratios.iter().filter(|ratio| !(0.85..1.18).contains(*ratio)).count();
    off * 2 > ratios.len()
}
