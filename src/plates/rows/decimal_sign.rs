//! The decimal sign of a column and the other signs of its numbers, decided for the column as a whole.
//!
//! Always: a sign that can be read in two ways is settled by its column, or told.

use std::collections::HashMap;

use crate::plates::find::{As, Column, Table};
use crate::plates::motor::shown;
use crate::plates::reads::{PlateUnit, Sort};
use crate::plates::store::{Content, Grid};

/// The line of a column map that says the unit of ratings.
pub(in crate::plates) fn settling_line(heading: &str, unit: PlateUnit) -> String {
    format!(
        "column \"{}\" = rated_power in {}",
        shown(heading).replace('"', "\"\""),
        unit.text()
    )
}

/// How often something stands in each column.
type Counts = HashMap<u16, usize>;

/// How often the comma and the point are decimal signs, column by column.
pub(super) fn decimal_signs(grid: &Grid, table: &Table, used: &[&Column]) -> (Counts, Counts) {
    let mut commas: Counts = HashMap::new();
    let mut points: Counts = HashMap::new();
    let numeric: Vec<u16> = used
        .iter()
        .filter(|column| column.plates || column.reads.is_some_and(|reads| reads.sort() == Sort::Number))
        .map(|column| column.column)
        .collect();
    let rows = table
        .rows
        .iter()
        .filter(|(_, called)| matches!(called, As::Motor | As::Total))
        .take(3000);
    for (place, _) in rows {
        let Some((_, cells)) = grid.row_at(*place) else {
            continue;
        };
        for cell in cells {
            let Content::Text(index) = cell.content else { continue };
            if numeric.binary_search(&cell.column).is_err() {
                continue;
            }
            for (sign, _) in signs(grid.text(index)) {
                *(if sign == ',' { &mut commas } else { &mut points })
                    .entry(cell.column)
                    .or_default() += 1;
            }
        }
    }
    (commas, points)
}

/// The signs of a text that can only be decimal signs.
fn signs(text: &str) -> Vec<(char, usize)> {
    let mut found = Vec::new();
    let bytes = text.as_bytes();
    let mut start = 0;
    while start < bytes.len() {
        if !bytes.get(start).is_some_and(u8::is_ascii_digit) {
            start += 1;
            continue;
        }
        let mut end = start;
        while bytes
            .get(end)
            .is_some_and(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','))
        {
            end += 1;
        }
        let number = text.get(start..end).unwrap_or("").trim_end_matches(['.', ',']);
        let marks: Vec<(usize, char)> = number
            .char_indices()
            .filter(|(_, sign)| !sign.is_ascii_digit())
            .collect();
        if let Some((place, sign)) = marks.last()
            && marks.iter().filter(|(_, other)| other == sign).count() == 1
        {
            let after = number.len() - place - 1;
            let lead = number.get(..*place).unwrap_or("");
            // Three digits after a lead of one to three may part thousands: no proof.
            if after != 3 || lead == "0" || lead.len() > 3 || marks.len() > 1 {
                found.push((*sign, start));
            }
        }
        start = end.max(start + 1);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_certain_decimal_signs_count() {
        let of = |text: &str| signs(text).iter().map(|(sign, _)| *sign).collect::<String>();
        assert_eq!(of("4,9"), ",");
        assert_eq!(of("1.480"), "");
        assert_eq!(of("0.787"), ".");
        assert_eq!(of("13.2/6.6"), "..");
        assert_eq!(of("1.234,5"), ",");
        assert_eq!(of("1,765"), "");
        assert_eq!(of("1475,0"), ",");
    }
}
