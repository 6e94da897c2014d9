//! What the rows of a table are called: motor, area, total, note.
//!
//! Always: every row is called something; a row with a number of a motor is a motor, unless its words say otherwise.

use std::collections::{HashMap, HashSet};

use super::cells::set;
use super::texts::Texts;
use super::{As, Found, Table};
use crate::plates::own::Own;
use crate::plates::reads::Reads;
use crate::plates::store::{Cell, Content, Grid};
use crate::plates::words;

/// A line of one text above the heading of a further table names the area of that table, not of the one before.
pub(super) fn area_of_next(grid: &Grid, found: &mut Found, top: usize, number: usize) {
    let row_of = |place: usize| grid.row_at(place).map(|(row, _)| row);
    let (Some(place), true) = (top.checked_sub(1), number > 0) else {
        return;
    };
    let near = matches!((row_of(place), row_of(top)), (Some(above), Some(row)) if row - above <= 3);
    if let Some(entry @ (As::Area, _)) = found.rows.get_mut(place)
        && near
    {
        entry.1 = Some(number);
    }
}

/// What a row under a heading is.
pub(super) fn called(known: &mut Texts<'_>, table: &Table, row: u32, cells: &[Cell]) -> As {
    let grid = known.grid;
    let mut core = 0;
    let mut numbers = 0;
    let mut power_or_count = 0;
    let mut texts: Vec<(Option<Reads>, u32)> = Vec::new();
    let mut tag = None;
    for cell in cells {
        let reads = table
            .columns
            .binary_search_by_key(&cell.column, |column| column.column)
            .ok()
            .and_then(|place| table.columns.get(place))
            .and_then(|column| column.reads);
        let is_number = match cell.content {
            Content::Text(index) => {
                let text = grid.text(index);
                if reads == Some(Reads::Tag) {
                    tag = Some(index);
                }
                // In a text file numbers are texts too.
                let number = text.starts_with(|sign: char| sign.is_ascii_digit())
                    && reads.is_some_and(|reads| reads.sort() == crate::plates::reads::Sort::Number);
                if !number {
                    texts.push((reads, index));
                }
                number
            }
            Content::NotStored => false,
            _ => true,
        };
        numbers += usize::from(is_number);
        if let Some(reads) = reads {
            if reads.is_core() {
                core += 1;
            }
            if matches!(
                reads,
                Reads::RatedPower | Reads::Quantity | Reads::MeasuredPower | Reads::AbsorbedPower | Reads::Load
            ) && is_number
            {
                power_or_count += 1;
            }
        }
    }
    let first = texts.first().map_or("", |(_, text)| grid.text(*text));
    let only_remarks = texts.iter().all(|(reads, _)| *reads == Some(Reads::Remarks));
    let says_total = texts.iter().take(3).any(|(reads, text)| {
        grid.text(*text).len() <= 80 && (only_remarks || !matches!(reads, Some(Reads::Remarks))) && known.total(*text)
    });
    if says_total && tag.is_none_or(|tag| known.total(tag)) && core <= 3 {
        return As::Total;
    }
    let merged_across = known
        .merged_from(row)
        .iter()
        .any(|merged| merged.right > merged.left.saturating_add(2));
    let signed = numbers == 0 && known.own.words.begins(first, "note") && first.contains(':');
    if signed
        || core <= 1 && is_signature(known.own, first)
        || core == 0 && numbers == 0 && is_spare_way(known.own, first)
        || texts.iter().all(|(_, text)| is_page_line(known.own, grid.text(*text))) && core == 0 && !texts.is_empty()
    {
        return As::Note;
    }
    if is_numbered_area(grid, table, cells) && core == 0 {
        return As::Area;
    }
    if numbers == 0 && (cells.len() <= 2 && core == 0 || cells.len() == 1 || (merged_across && cells.len() <= 2)) {
        let alone = texts.iter().all(|(reads, _)| *reads == Some(Reads::Remarks));
        let words_of = words::words(first);
        let begins_note = words_of.first().is_some_and(|word| {
            known
                .own
                .words
                .cells()
                .whole(word)
                .iter()
                .any(|phrase| phrase.says == "note")
        }) || first.starts_with(['*', '†']);
        let long = first.chars().count() > 70 || first.trim_end().ends_with('.') && words_of.len() > 4;
        return if alone || begins_note || long {
            As::Note
        } else if tag.is_some_and(|tag| looks_like_tag(grid.text(tag))) && cells.len() == 2 {
            As::Motor
        } else {
            As::Area
        };
    }
    if texts.is_empty() && numbers > 0 && numbers == power_or_count && numbers <= 2 {
        return As::Total;
    }
    if core >= 1 && cells.len() >= 2 || tag.is_some() && cells.len() >= 2 {
        return As::Motor;
    }
    if cells.len() >= 3 && numbers > 0 && core > 0 {
        As::Motor
    } else {
        As::Note
    }
}

/// `Checked by`, `Date:`: who made a list and when.
fn is_signature(own: &Own, text: &str) -> bool {
    let text = text.trim();
    own.words.is(text.trim_end_matches([':', '.', ' ']), "signed")
        || text.contains(':') && own.words.begins(text, "signed")
}

/// `SPARE 1`, `Reserve`, `Spare FVNR size 1`: a way of a switchboard without a motor.
pub(super) fn is_spare_way(own: &Own, text: &str) -> bool {
    let all = words::words(text);
    let Some((first, rest)) = all.split_first() else {
        return false;
    };
    let of_way = |word: &String| {
        word.chars().any(|sign| sign.is_ascii_digit())
            || word.len() == 1
            || own.words.is(word, "way")
            || own.words.is(word, "line")
    };
    own.words.is(first, "spare_way") && rest.iter().all(of_way)
}

/// `Page 1 of 2`, `Motor list (cont.)`: what a page break leaves in a list.
fn is_page_line(own: &Own, text: &str) -> bool {
    let all = words::words(text);
    let begins = own.words.begins(text, "page") && all.iter().any(|word| word.parse::<u32>().is_ok());
    begins
        || all.len() <= 8
            && all
                .last()
                .is_some_and(|last| !last.is_empty() && own.words.is(last, "page") && all.len() > 1)
}

/// `1 | RAW WATER`: a number or letter in the first columns and one text, and nothing of a motor.
fn is_numbered_area(grid: &Grid, table: &Table, cells: &[Cell]) -> bool {
    let [number, name] = cells else { return false };
    let is_name = |cell: &Cell, known: &[Reads]| {
        let column = table.columns.iter().find(|column| column.column == cell.column);
        column.is_some_and(|column| column.reads.is_none_or(|reads| known.contains(&reads)))
    };
    let counts = match number.content {
        Content::Number(number) => number.fract() == 0.0 && (0.0..1000.0).contains(&number),
        Content::Text(index) => {
            let text = grid.text(index).trim().trim_end_matches(['.', ')']);
            let roman = !text.is_empty() && text.len() <= 4 && text.chars().all(|sign| matches!(sign, 'I' | 'V' | 'X'));
            let letter = text.len() == 1 && text.chars().all(|sign| sign.is_ascii_uppercase());
            text.parse::<u16>().is_ok() || roman || letter
        }
        _ => false,
    };
    let titled = match name.content {
        Content::Text(index) => {
            let text = grid.text(index);
            text.chars().any(char::is_alphabetic) && !text.chars().any(char::is_lowercase)
        }
        _ => false,
    };
    let of_item = is_name(number, &[Reads::Item]);
    counts
        && (of_item || titled)
        && is_name(number, &[Reads::Item, Reads::Tag])
        && is_name(name, &[Reads::Tag, Reads::Description])
        && matches!(name.content, Content::Text(_))
}

/// Rows that alternate: the plate of a motor, and under it what was measured on it, as a column says in words.
pub(super) fn readings_below(texts: &mut Texts<'_>, found: &mut Found) {
    let (grid, own) = (texts.grid, texts.own);
    let mut known: HashMap<u32, Option<bool>> = HashMap::new();
    let mut measured = |index: u32| {
        *known.entry(index).or_insert_with(|| {
            let all = words::words(grid.text(index));
            let phrase = own.words.headings().whole(&all.join(" ")).first()?;
            match phrase.says {
                "measured" => Some(true),
                "rated" | "nameplate" => Some(false),
                _ => None,
            }
        })
    };
    let mut below: Vec<usize> = Vec::new();
    // Columns in which the row above says that it is the plate.
    let mut plates: Vec<u16> = Vec::new();
    for (place, (called, _)) in found.rows.iter().enumerate() {
        let Some((_, cells)) = grid.row_at(place).filter(|_| *called == As::Motor) else {
            plates.clear();
            continue;
        };
        let says = |cell: &Cell, measured: &mut dyn FnMut(u32) -> Option<bool>| match cell.content {
            Content::Text(index) => measured(index),
            _ => None,
        };
        if cells
            .iter()
            .any(|cell| plates.contains(&cell.column) && says(cell, &mut measured) == Some(true))
        {
            below.push(place);
            plates.clear();
            continue;
        }
        plates = cells
            .iter()
            .filter(|cell| says(cell, &mut measured) == Some(false))
            .map(|cell| cell.column)
            .collect();
    }
    for place in below {
        if let Some(entry) = found.rows.get_mut(place) {
            entry.0 = As::Readings;
        }
    }
}

fn looks_like_tag(text: &str) -> bool {
    text.chars().count() <= 20 && text.chars().any(|sign| sign.is_ascii_digit()) && !text.trim().contains("  ")
}

/// An area has motors under it; else it was a note.
pub(super) fn settle_areas(found: &mut Found) {
    let mut motors_below: Option<usize> = None;
    for (called, table) in found.rows.iter_mut().rev() {
        match called {
            As::Motor => motors_below = *table,
            As::Area if motors_below.is_none() || motors_below != *table => *called = As::Note,
            _ => {}
        }
    }
    // A table without a single motor is none.
    let with: HashSet<usize> = found
        .rows
        .iter()
        .filter(|(called, _)| *called == As::Motor)
        .filter_map(|(_, table)| *table)
        .collect();
    for (called, table) in &mut found.rows {
        if table.is_some_and(|table| !with.contains(&table)) {
            *called = As::Note;
        }
    }
}

/// A row of numbers alone that are sums of the rows above it is a total, whatever stands beside it.
pub(super) fn settle_sums(grid: &Grid, found: &mut Found) {
    let value = |cell: &Cell| match cell.content {
        Content::Number(number) => Some(number),
        Content::Text(index) => grid.text(index).trim().replace(',', ".").parse::<f64>().ok(),
        _ => None,
    };
    let mut sums = vec![0.0; usize::from(grid.width()) + 1];
    let (mut rows, mut of) = (0usize, None);
    for place in 0..found.rows.len() {
        let Some((called, table)) = found.rows.get(place).copied() else {
            continue;
        };
        if !matches!(called, As::Motor) || table != of {
            if called != As::Note && called != As::Blank {
                sums.fill(0.0);
                rows = 0;
            }
            of = table;
        }
        let Some((_, cells)) = grid.row_at(place).filter(|_| called == As::Motor) else {
            continue;
        };
        let is_filled = |cell: &Cell| match cell.content {
            Content::Text(index) => !grid.text(index).trim().is_empty(),
            _ => true,
        };
        let is_sum = |cell: &Cell| {
            let sum = sums.get(usize::from(cell.column)).copied().unwrap_or(0.0);
            value(cell).is_some_and(|value| value > 0.0 && (value - sum).abs() <= 0.004 * sum)
        };
        let mut filled = cells.iter().filter(|cell| is_filled(cell)).take(7);
        let few = cells.len() <= 40 && (2..=6).contains(&filled.clone().count());
        if rows >= 2 && few && filled.all(is_sum) {
            set(found, place, As::Total, table);
            sums.fill(0.0);
            rows = 0;
            continue;
        }
        rows += 1;
        for cell in cells {
            if let (Some(value), Some(sum)) = (value(cell), sums.get_mut(usize::from(cell.column))) {
                *sum += value;
            }
        }
    }
}
