//! Which rows are headings, units, letters of columns, names of phases.
//!
//! Always: by the words of the list and what stands below them, never by the row's number.
//! Not known here: what a heading means.

use std::collections::{HashMap, HashSet};

use super::Table;
use super::cells::{PHASES, is_year};
use crate::plates::own::{Own, TableAt};
use crate::plates::reads::Reads;
use crate::plates::store::{Cell, Content, Grid, Merged};
use crate::plates::{cell, heading, words};

/// What a text says as a heading.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Meant {
    reads: Option<Reads>,
    /// Its words are those of headings, whether a column of a motor follows or not.
    known: bool,
    /// By somebody, in a column map.
    said: bool,
}

/// What is known of each text of a sheet as a heading, looked up once.
pub(super) struct Texts<'a> {
    pub(super) grid: &'a Grid,
    pub(super) own: &'a Own,
    /// Tables of the sheet before the first of these rows.
    pub(super) before: usize,
    pub(super) known: HashMap<u32, Meant>,
    /// Whether it says that a row is a sum.
    pub(super) totals: Vec<Option<bool>>,
    /// Merged cells by their first row.
    pub(super) merged: HashMap<u32, Vec<Merged>>,
}

impl<'a> Texts<'a> {
    pub(super) fn new(grid: &'a Grid, own: &'a Own, before: usize) -> Texts<'a> {
        let mut merged: HashMap<u32, Vec<Merged>> = HashMap::new();
        for one in &grid.merged {
            merged.entry(one.top).or_default().push(*one);
        }
        Texts {
            grid,
            own,
            before,
            known: HashMap::new(),
            totals: vec![None; grid.texts().len()],
            merged,
        }
    }

    /// Merged cells that begin in this row.
    pub(super) fn merged_from(&self, row: u32) -> &[Merged] {
        self.merged.get(&row).map_or(&[], Vec::as_slice)
    }

    /// Whether a text says that the row is a sum.
    pub(super) fn total(&mut self, index: u32) -> bool {
        let (grid, own) = (self.grid, self.own);
        self.totals
            .get_mut(index as usize)
            .is_some_and(|known| *known.get_or_insert_with(|| own.words.says(grid.text(index), "total")))
    }

    /// What a cell says as a heading; `None` for numbers and other texts.
    pub(super) fn reads(&mut self, cell: &Cell) -> Option<Reads> {
        self.meant(cell).reads
    }

    pub(super) fn meant(&mut self, cell: &Cell) -> Meant {
        let Content::Text(index) = cell.content else {
            return Meant::default();
        };
        let (grid, own) = (self.grid, self.own);
        *self.known.entry(index).or_insert_with(|| {
            let text = grid.text(index).trim();
            let at = TableAt {
                sheet: &grid.name,
                table: None,
            };
            if let Some(said) = heading::as_said(text, 1, at, own) {
                return Meant {
                    reads: said.reads,
                    known: true,
                    said: true,
                };
            }
            if text.len() > 80 || text.starts_with(|sign: char| sign.is_ascii_digit()) {
                return Meant::default();
            }
            let heading = heading::read(&heading::unwrapped(text, &own.words), &own.words);
            let (understood, of) = heading.understood;
            Meant {
                reads: heading.reads.filter(|_| understood * 2 >= of),
                known: of > 0 && understood * 2 >= of,
                said: false,
            }
        })
    }
}

fn is_text(cell: &Cell) -> bool {
    matches!(cell.content, Content::Text(_))
}

/// Whether the row is a row of headings: several different ones, one of them of a motor, and hardly anything else.
pub(super) fn is_heading_row(texts: &mut Texts<'_>, cells: &[Cell]) -> bool {
    let may_head = |cell: &&Cell| {
        is_text(cell)
            || matches!(cell.content, Content::Date(_))
            || matches!(cell.content, Content::Number(year) if is_year(year))
    };
    if cells.len() < 3 || cells.iter().filter(may_head).count() * 5 < cells.len() * 4 {
        return false;
    }
    // A row with numbers in it is one of data, whatever units and classes stand in it.
    let number = |cell: &&Cell| {
        let text = texts.grid.shown(cell.content).trim().replace(',', ".");
        text.parse::<f64>().is_ok_and(|number| !is_year(number))
    };
    if cells.iter().filter(number).count() >= 2 {
        return false;
    }
    let mut found = HashSet::new();
    let (mut matched, mut said) = (0, 0);
    for cell in cells {
        let meant = texts.meant(cell);
        matched += usize::from(meant.known);
        said += usize::from(meant.said && meant.reads.is_some_and(Reads::is_core));
        found.extend(meant.reads);
    }
    // A rating beside models, years and weights is a list of cars or saws.
    let core = found.iter().filter(|reads| reads.is_core()).count();
    let named = found.iter().any(|reads| reads.is_name());
    // Months, quarters and other columns of one's own may outnumber those of the motors.
    let others = core >= 3 && named;
    // Two of them that somebody named are no chance.
    (found.len() >= 3 || said >= 2) && (core >= 2 || core == 1 && named) && (matched * 2 >= cells.len() || others)
}

/// The column under a row of few headings in which whole nameplates stand, most of the way down: such a list needs no heading of a
/// rating.
pub(super) fn over_plates(texts: &mut Texts<'_>, at: usize, cells: &[Cell]) -> Option<u16> {
    const LOOKED_AT: usize = 12;
    let short =
        |cell: &Cell| matches!(cell.content, Content::Text(index) if texts.grid.text(index).chars().count() <= 40);
    if cells.len() < 2 || !cells.iter().all(short) || is_heading_row(texts, cells) {
        return None;
    }
    if !cells.iter().any(|cell| texts.reads(cell).is_some()) {
        return None;
    }
    let grid = texts.grid;
    if cells.iter().any(|cell| is_plate(grid, cell)) {
        return None;
    }
    cells.iter().map(|cell| cell.column).find(|column| {
        let below = (at + 1..=at + LOOKED_AT).filter_map(|place| {
            let (_, row) = grid.row_at(place)?;
            let place = row.binary_search_by_key(column, |cell| cell.column).ok()?;
            row.get(place)
        });
        let (mut plates, mut filled) = (0usize, 0usize);
        for cell in below {
            filled += 1;
            plates += usize::from(is_plate(grid, cell));
        }
        plates >= 2 && plates * 2 > filled
    })
}

/// Whether a whole nameplate stands in a cell.
pub(super) fn is_plate(grid: &Grid, cell: &Cell) -> bool {
    match cell.content {
        Content::Text(index) => cell::plate(grid.text(index), false).len() >= 3,
        _ => false,
    }
}

/// Whether the row can be a further heading line: words of headings, units or phases, no data.
fn is_heading_line(texts: &Texts<'_>, cells: &[Cell], least: usize) -> bool {
    let grid = texts.grid;
    if cells.len() < least || cells.iter().any(|cell| !is_text(cell) || is_plate(grid, cell)) {
        return false;
    }
    let phases = phase_columns(grid, cells);
    let good = cells
        .iter()
        .filter(|cell| {
            if phases.contains(&cell.column) {
                return true;
            }
            let text = grid.shown(cell.content);
            if text.len() > 60 {
                return false;
            }
            let heading = heading::read(&heading::unwrapped(&text, &texts.own.words), &texts.own.words);
            let (understood, of) = heading.understood;
            of > 0
                && understood * 2 >= of
                && (heading.reads.is_some()
                    || heading.phase
                    || heading.measured
                    || heading.rated
                    || heading.former
                    || heading.at_voltage.is_some()
                    || heading.at_hertz.is_some()
                    || !heading.units.is_empty())
        })
        .count();
    good * 5 >= cells.len() * 3
}

fn is_unit_row(grid: &Grid, cells: &[Cell]) -> bool {
    let mut units = 0;
    let mut signs = 0;
    for cell in cells {
        let text = grid.shown(cell.content);
        if !cell::units_only(&text).is_empty() {
            units += 1;
        } else if matches!(
            text.trim(),
            "-" | "–" | "—" | "[-]" | "(-)" | "1" | "[1]" | "no." | "nos" | "text"
        ) {
            signs += 1;
        }
    }
    units >= 2 && (units + signs) * 5 >= cells.len() * 3
}

/// `A B C …` or `1 2 3 …` under the headings.
pub(super) fn is_letters(grid: &Grid, cells: &[Cell]) -> bool {
    if cells.len() < 4 {
        return false;
    }
    let shown: Vec<String> = cells
        .iter()
        .map(|cell| {
            grid.shown(cell.content)
                .trim()
                .trim_matches(['(', ')', '[', ']'])
                .to_owned()
        })
        .collect();
    let steps = |number: fn(&str) -> Option<i64>| {
        let numbers: Option<Vec<i64>> = shown.iter().map(|text| number(text)).collect();
        numbers.is_some_and(|numbers| numbers.windows(2).all(|pair| matches!(pair, [a, b] if b - a == 1)))
    };
    steps(|text| {
        let mut signs = text.chars();
        match (signs.next(), signs.next()) {
            (Some(letter), None) if letter.is_ascii_alphabetic() => Some(i64::from(letter.to_ascii_uppercase() as u32)),
            _ => None,
        }
    }) || steps(|text| text.parse().ok())
}

/// `R S T` under a heading of currents, once or several times.
fn is_phase_row(grid: &Grid, cells: &[Cell]) -> bool {
    let shown: Vec<String> = cells
        .iter()
        .map(|cell| words::words(&grid.shown(cell.content)).concat())
        .collect();
    !shown.is_empty()
        && shown.len().is_multiple_of(3)
        && shown.chunks(3).all(|three| {
            PHASES.iter().any(|letters| {
                three.iter().map(String::as_str).eq(letters.iter().copied()) && !letters.concat().starts_with('1')
            })
        })
}

/// Columns of neighbours `R S T`, wherever they stand in a row.
fn phase_columns(grid: &Grid, cells: &[Cell]) -> HashSet<u16> {
    let threes = cells.windows(3).filter(|three| {
        let together = matches!(three, [first, _, last] if last.column - first.column == 2);
        together && is_phase_row(grid, three)
    });
    threes.flatten().map(|cell| cell.column).collect()
}

/// Whether the row repeats the heading of the table (after a page break).
pub(super) fn is_again(table: &Table, cells: &[Cell]) -> bool {
    let same = cells
        .iter()
        .filter(|cell| matches!(cell.content, Content::Text(index) if table.texts.contains(&(cell.column, index))))
        .count();
    same * 5 >= cells.len() * 4
}

/// The rows of a heading that has its main line at `at`: first, one past the last, and the unit row.
pub(super) fn heading_block(
    grid: &Grid,
    texts: &mut Texts<'_>,
    at: usize,
    free_from: usize,
) -> (usize, usize, Option<usize>) {
    let row_of = |place: usize| grid.row_at(place).map(|(row, _)| row);
    let mut top = at;
    while top > free_from
        && let Some((above, cells)) = grid.row_at(top - 1)
        && row_of(top) == Some(above + 1)
    {
        let grouped = texts
            .merged_from(above)
            .iter()
            .any(|merged| merged.right > merged.left && usize::from(merged.right - merged.left) < 12);
        let least = if grouped { 1 } else { 2 };
        if !is_heading_line(texts, cells, least) || at - top >= 2 {
            break;
        }
        top -= 1;
    }
    let mut end = at + 1;
    let mut unit_row = None;
    while let Some((below, cells)) = grid.row_at(end)
        && row_of(end - 1) == Some(below.wrapping_sub(1))
        && end - at < 5
    {
        if under_groups(texts, row_of(end - 1), cells) {
            // The single columns under headings that reach over several.
        } else if is_unit_row(grid, cells)
            && stands_under(texts, top..end, cells)
            && phase_columns(grid, cells).is_empty()
        {
            // With letters of phases among the units it is a line of the heading like any other.
            unit_row = Some(end);
        } else if is_letters(grid, cells)
            || is_phase_row(grid, cells)
            || (unit_row.is_none() && is_heading_line(texts, cells, 2) && !is_heading_row_again(texts, grid, at, cells))
        {
            // A further line.
        } else {
            break;
        }
        end += 1;
    }
    (top, end, unit_row)
}

/// Whether most cells of a row have a heading above them: `HP | RPM | Volts` under nothing are headings themselves.
fn stands_under(texts: &Texts<'_>, above: std::ops::Range<usize>, cells: &[Cell]) -> bool {
    let covered = |column: u16| {
        above.clone().any(|place| {
            texts.grid.row_at(place).is_some_and(|(row, heads)| {
                heads.binary_search_by_key(&column, |head| head.column).is_ok()
                    || texts
                        .merged_from(row)
                        .iter()
                        .any(|merged| (merged.left..=merged.right).contains(&column))
            })
        })
    };
    cells.iter().filter(|cell| covered(cell.column)).count() * 2 >= cells.len()
}

/// Whether a row holds nothing but short words under merged headings of the row above.
fn under_groups(texts: &Texts<'_>, above: Option<u32>, cells: &[Cell]) -> bool {
    let Some(above) = above else { return false };
    let grid = texts.grid;
    let groups = texts.merged_from(above);
    let wide = |merged: &&Merged| merged.right > merged.left && merged.bottom == merged.top;
    cells.len() >= 2
        && groups.iter().any(|merged| wide(&merged))
        && cells.iter().all(|cell| {
            let Content::Text(index) = cell.content else {
                return false;
            };
            let text = grid.text(index).trim();
            text.chars().count() <= 30
                && text.parse::<f64>().is_err()
                && groups
                    .iter()
                    .filter(wide)
                    .any(|merged| (merged.left..=merged.right).contains(&cell.column))
        })
}

fn is_heading_row_again(texts: &mut Texts<'_>, grid: &Grid, at: usize, cells: &[Cell]) -> bool {
    let Some((_, first)) = grid.row_at(at) else {
        return false;
    };
    is_heading_row(texts, cells)
        && cells
            .iter()
            .filter(|cell| first.iter().any(|other| other.content == cell.content))
            .count()
            * 2
            > cells.len()
}
