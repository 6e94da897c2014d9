//! Readings of several days: which columns they are, and which day counts.
//!
//! Always: the newest day counts, and the others are told.

use super::cells::{contents, is_year, numbers, short, weight};
use super::{Column, Table};
use crate::plates::reads::{PlateUnit, Reads};
use crate::plates::store::{Content, Grid};
use crate::plates::{cell, words};

/// The day a heading names, as year, month and day: `Amps 2024`, `A 01.03.2025`, `Meas. A Mar`; zero where it does not say.
pub(super) fn day_named(name: &str) -> Option<(u32, u32, u32)> {
    const MONTHS: [&[&str]; 12] = [
        &["jan", "january", "januar", "janv", "janvier", "ene", "enero", "janeiro"],
        &["feb", "february", "februar", "fevr", "fevrier", "febrero", "fevereiro"],
        &["mar", "march", "marz", "mrz", "mars", "marzo", "marco"],
        &["apr", "april", "avril", "avr", "abr", "abril"],
        &["may", "mai", "mayo", "maio"],
        &["jun", "june", "juni", "juin", "junio", "junho"],
        &["jul", "july", "juli", "juil", "juillet", "julio", "julho"],
        &["aug", "august", "aout", "ago", "agosto"],
        &["sep", "sept", "september", "septembre", "septiembre", "setembro"],
        &["oct", "october", "okt", "oktober", "octobre", "octubre", "outubro"],
        &["nov", "november", "novembre", "noviembre", "novembro"],
        &[
            "dec",
            "december",
            "dez",
            "dezember",
            "decembre",
            "dic",
            "diciembre",
            "dezembro",
        ],
    ];
    let number = |text: &str| text.parse::<u32>().unwrap_or(0);
    for token in name.split(|sign: char| sign.is_whitespace() || matches!(sign, '(' | ')' | '[' | ']')) {
        if cell::is_date(token) {
            let parts: Vec<&str> = token.split(['-', '.', '/']).collect();
            let [first, second, third] = parts.as_slice() else {
                continue;
            };
            let (first, second, third) = (number(first), number(second), number(third));
            return Some(match (first > 31, second > 12) {
                (true, _) => (first, second, third),
                (_, true) => (third, first, second),
                _ => (third, second, first),
            });
        }
    }
    let all = words::words(name);
    let year = all
        .iter()
        .map(|word| number(word))
        .find(|year| is_year(f64::from(*year)));
    let month = all.iter().find_map(|word| {
        let place = MONTHS.iter().position(|names| names.contains(&word.as_str()))?;
        u32::try_from(place + 1).ok()
    });
    (year.is_some() || month.is_some()).then(|| (year.unwrap_or(0), month.unwrap_or(0), 0))
}

/// Of columns of plate values and readings, those of days, where there is one more that is none.
pub(super) fn readings_of_days(table: &Table, places: &[usize]) -> Option<Vec<usize>> {
    let of_day = |place: &usize| {
        table
            .columns
            .get(*place)
            .is_some_and(|column| !column.heading.settled && !column.heading.rated && day_named(&column.name).is_some())
    };
    let (days, others): (Vec<usize>, Vec<usize>) = places.iter().partition(|place| of_day(place));
    (others.len() == 1 && days.len() > 1).then_some(days)
}

/// Of several columns of one reading the newest, else the mean before the highest and the lowest; what is not used is told.
pub(super) fn take_newest(table: &mut Table, places: &[usize], reads: Reads) {
    let rank = |place: usize| {
        let name = table.columns.get(place).map_or("", |column| column.name.as_str());
        let all = words::words(name);
        let any = |known: &[&str]| all.iter().any(|word| known.contains(&word.as_str()));
        let kind = if any(&[
            "avg",
            "average",
            "ave",
            "mean",
            "mittel",
            "mittelwert",
            "moyenne",
            "moy",
            "promedio",
            "media",
        ]) {
            1
        } else if any(&[
            "max", "min", "maximum", "minimum", "peak", "maxi", "mini", "maximo", "minimo", "maxima", "minima",
        ]) {
            -1
        } else {
            0
        };
        (kind, day_named(name).unwrap_or_default())
    };
    let settled = |place: &usize| table.columns.get(*place).is_some_and(|column| column.heading.settled);
    let best = places.iter().copied().max_by(|a, b| {
        settled(a)
            .cmp(&settled(b))
            .then(rank(*a).cmp(&rank(*b)))
            .then(weight(table, *a).total_cmp(&weight(table, *b)))
            .then(b.cmp(a))
    });
    let title = reads.title().to_lowercase();
    let name = |place: usize| {
        table
            .columns
            .get(place)
            .map_or_else(String::new, |column| format!("\u{201c}{}\u{201d}", short(&column.name)))
    };
    let left: Vec<String> = places
        .iter()
        .copied()
        .filter(|place| Some(*place) != best)
        .map(name)
        .collect();
    let chosen = best.map(name).unwrap_or_default();
    for place in places {
        let Some(column) = table.columns.get_mut(*place) else {
            continue;
        };
        if Some(*place) != best {
            column.reads = None;
            column.heading.reason = format!("another column holds {title}");
            continue;
        }
        if column.reads != Some(reads) {
            column.heading.confidence = 0.7;
            column.heading.reason = "a reading of a day, beside a column of plate values".to_owned();
        }
        column.reads = Some(reads);
        if !column.heading.settled && column.heading.doubt.is_none() {
            column.heading.doubt = Some(format!(
                "Several columns hold {title}: {chosen} was used, and not {}. Another one is used where a column map says so.",
                left.join(", ")
            ));
        }
    }
}

/// The plate currents of a table in which no current is known to be measured.
fn plate_currents(grid: &Grid, table: &Table) -> Option<Vec<Option<f64>>> {
    let plate = table.column(Reads::RatedCurrent)?;
    let none = table.column(Reads::MeasuredCurrent).is_none();
    none.then(|| numbers(grid, table, plate.column))
}

/// Whether numbers are near those of the plate: eight of ten from a fifth of it to an overload.
fn is_near(plate: &[Option<f64>], read: &[Option<f64>]) -> bool {
    let ratios: Vec<f64> = plate
        .iter()
        .zip(read)
        .filter_map(|(plate, read)| Some((*read)? / plate.filter(|plate| *plate > 0.0)?))
        .collect();
    let near = ratios.iter().filter(|ratio| (0.2..1.4).contains(*ratio)).count();
    ratios.len() >= 2 && near * 10 >= ratios.len() * 8
}

/// Columns under days alone hold readings of currents where their numbers are near the plate's.
pub(super) fn readings_by_day(grid: &Grid, table: &mut Table) {
    let Some(plate) = plate_currents(grid, table) else {
        return;
    };
    let near = |column: &Column| is_near(&plate, &numbers(grid, table, column.column));
    let places: Vec<usize> = table
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| {
            let alone =
                column.name.split(' ').next().is_some_and(cell::is_date) && words::words(&column.name).len() <= 6;
            column.reads.is_none() && !column.heading.settled && alone && near(column)
        })
        .map(|(place, _)| place)
        .collect();
    if let [only] = places.as_slice()
        && let Some(column) = table.columns.get_mut(*only)
    {
        column.reads = Some(Reads::MeasuredCurrent);
        column.heading.confidence = 0.6;
        column.heading.reason = "numbers near the plate currents under a day".to_owned();
    } else if places.len() > 1 {
        take_newest(table, &places, Reads::MeasuredCurrent);
    }
}

/// Readings of three phases under days or weeks, each near the plate's current: the newest are used.
pub(super) fn phases_by_day(grid: &Grid, table: &mut Table) {
    let Some(plate) = plate_currents(grid, table) else {
        return;
    };
    let stem = |column: &Column| {
        let mut all = words::words(&column.name);
        all.pop();
        all.join(" ")
    };
    let near = |column: &Column| is_near(&plate, &numbers(grid, table, column.column));
    let mut threes: Vec<(usize, String)> = Vec::new();
    let mut place = 0;
    while let Some(three) = table.columns.get(place..place + 3) {
        let of = three.first().map(stem).unwrap_or_default();
        let alike = three.iter().all(|column| {
            column.reads.is_none()
                && column.heading.phase
                && !column.heading.settled
                && stem(column) == of
                && near(column)
        });
        if alike && !of.is_empty() {
            threes.push((place, of));
            place += 3;
        } else {
            place += 1;
        }
    }
    let rank = |stem: &str| {
        let number = words::words(stem)
            .iter()
            .rev()
            .find_map(|word| word.parse::<u32>().ok());
        (day_named(stem).unwrap_or_default(), number.unwrap_or(0))
    };
    let Some((best, _)) = threes
        .iter()
        .max_by(|a, b| rank(&a.1).cmp(&rank(&b.1)).then(a.0.cmp(&b.0)))
    else {
        return;
    };
    let left: Vec<String> = threes
        .iter()
        .filter(|(place, _)| place != best)
        .filter_map(|(place, _)| table.columns.get(*place))
        .map(|column| format!("\u{201c}{}\u{201d}", short(&column.name)))
        .collect();
    let best = *best;
    let name = table
        .columns
        .get(best)
        .map_or_else(String::new, |column| short(&column.name));
    for column in table.columns.iter_mut().skip(best).take(3) {
        column.reads = Some(Reads::MeasuredCurrent);
        column.unit = Some(PlateUnit::Ampere);
        // The doubt that names the others says it already.
        column.heading.confidence = if left.is_empty() { 0.6 } else { 0.7 };
        column.heading.reason = "three phases with numbers near the plate currents".to_owned();
    }
    if let Some(column) = table.columns.get_mut(best).filter(|_| !left.is_empty()) {
        column.heading.doubt = Some(format!(
            "Several columns hold readings of three phases: those from \u{201c}{name}\u{201d} on were used, and not those from {}. Others are used \
             where a column map says so.",
            left.join(" and ")
        ));
    }
}

/// A column of days holds no quantity, whatever its heading: `Last PM`. Ratings may be fractions that became days.
pub(super) fn settle_days(grid: &Grid, table: &mut Table) {
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index).filter(|column| !column.heading.settled) else {
            continue;
        };
        let is_number = column
            .reads
            .is_some_and(|reads| reads.sort() == crate::plates::reads::Sort::Number && reads != Reads::RatedPower);
        if !is_number {
            continue;
        }
        let (mut days, mut cells) = (0usize, 0usize);
        for content in contents(grid, table, column.column).take(200) {
            cells += 1;
            days += usize::from(match content {
                Content::Date(_) => true,
                Content::Text(text) => cell::is_date(grid.text(*text)),
                _ => false,
            });
        }
        if days < 2 || days * 2 <= cells {
            continue;
        }
        if let Some(column) = table.columns.get_mut(index) {
            column.reads = None;
            column.unit = None;
            // `Meas. A` was meant for readings.
            column.heading.unfit = !column.heading.units.is_empty();
            column.heading.reason = "its cells are dates".to_owned();
        }
    }
}
