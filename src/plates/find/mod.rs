//! Where the list is: the sheet, its tables, their heading rows and what each row is.
//!
//! For: turning a sheet into tables of motors with columns understood by their headings.
//! Always: every row of the sheet is called something, blank rows inside too; nothing is thrown away. The rules look at words and
//! shapes only, never at a particular list.
//! Not known here: what the cells of a motor's row mean.

mod cells;
mod texts;
mod lines;
mod kinds;
mod standby;
mod days;
mod values;
mod rivals;
mod apart;

pub(super) use self::standby::stands_by_under;
pub use self::values::added;
pub(super) use self::values::synchronous_at;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use self::apart::{motors_in_each_row, side_by_side};
use self::cells::set;
use self::kinds::{nothing_of_motors, settle_not_motors};
use self::lines::{area_of_next, called, readings_below, settle_areas, settle_sums};
use self::rivals::settle_columns;
use self::standby::settle_standby;
use self::texts::{Texts, heading_block, is_again, is_heading_row, is_letters, over_plates};
use self::values::{
    settle_added, settle_items, settle_plates, settle_synchronous, settle_units, settle_words, shared_over_two,
};
use super::heading::Heading;
use super::own::{ColumnSaid, Own, TableAt};
use super::pages::is_added;
use super::reads::{PlateUnit, Reads};
use super::store::{Book, Cell, Content, Grid, Merged};
use super::{cell, heading, words};

/// What a source row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize)]
pub enum As {
    /// A motor (or several alike).
    #[serde(rename = "motor")]
    Motor,
    /// The name of an area for the rows under it.
    #[serde(rename = "area")]
    Area,
    /// A sum of rows.
    #[serde(rename = "total")]
    Total,
    /// Title, preamble, note.
    #[serde(rename = "note")]
    Note,
    /// Heading.
    #[serde(rename = "heading")]
    Heading,
    /// Units under the headings.
    #[serde(rename = "unit row")]
    UnitRow,
    /// Readings of the motor in the row above.
    #[serde(rename = "readings")]
    Readings,
    /// Nothing.
    #[serde(rename = "blank")]
    Blank,
    /// Letters or numbers of the columns.
    #[serde(rename = "letters")]
    Letters,
}

impl As {
    /// The word of the report.
    pub fn word(self) -> &'static str {
        match self {
            As::Motor => "motor",
            As::Area => "area",
            As::Total => "total",
            As::Note => "note",
            As::Heading => "heading",
            As::UnitRow => "unit row",
            As::Readings => "readings",
            As::Blank => "blank",
            As::Letters => "letters",
        }
    }
}

/// A column of a table.
#[derive(Clone, Debug)]
pub struct Column {
    /// Column of the sheet, from 0.
    pub column: u16,
    /// Its heading, lines joined by a blank.
    pub name: String,
    /// What the heading says.
    pub heading: Heading,
    /// What it is used as, after all columns were compared.
    pub reads: Option<Reads>,
    /// The unit of the heading or of the unit row.
    pub unit: Option<PlateUnit>,
    /// Hidden in the source.
    pub hidden: bool,
    /// Whole nameplates stand in its cells.
    pub plates: bool,
}

impl Column {
    /// What else stands in its cells: a second quantity, or whole nameplates.
    pub fn and(&self) -> Option<Reads> {
        let plates = self.plates && self.reads != Some(Reads::Nameplate);
        self.heading.second.or(plates.then_some(Reads::Nameplate))
    }

    /// The unit written over it, of those that plates have.
    pub fn written_unit(&self) -> Option<PlateUnit> {
        self.unit
            .filter(|unit| *unit != PlateUnit::One && self.heading.foreign.is_none())
            .filter(|unit| self.reads.is_some_and(|reads| unit.fits(reads)))
    }
}

/// A table of motors.
#[derive(Clone, Debug)]
pub struct Table {
    /// Heading rows, from 0.
    pub headings: Vec<u32>,
    /// Columns in order.
    pub columns: Vec<Column>,
    /// Places of the rows (in the order of filled rows) that belong to it, heading first.
    pub rows: Vec<(usize, As)>,
    /// The part of the sheet it stands in, where tables stand side by side.
    pub part: Option<usize>,
    /// Which of several motors in each row its columns are of, as the headings say.
    pub machine: Option<Arc<str>>,
    /// Texts of the main heading row and their columns, to know it again.
    texts: HashSet<(u16, u32)>,
}

impl Table {
    /// The first column used as this.
    pub fn column(&self, reads: Reads) -> Option<&Column> {
        self.columns.iter().find(|column| column.reads == Some(reads))
    }

    /// How many rows are motors.
    pub fn motors(&self) -> usize {
        self.rows.iter().filter(|(_, called)| *called == As::Motor).count()
    }
}

/// A sheet with what was found in it.
#[derive(Clone, Debug)]
pub struct Found {
    /// Which sheet of the book.
    pub sheet: usize,
    /// Its tables.
    pub tables: Vec<Table>,
    /// What each filled row is, by its place, and its table; empty where tables stand side by side.
    rows: Vec<(As, Option<usize>)>,
    /// Columns of the sheet that are read by themselves, since tables stand side by side.
    parts: Vec<Part>,
    /// Rows of the tables that are no motors, from 0, and the words that say so.
    pub set_aside: Vec<(u32, String)>,
    /// Why tables of the sheet are none of motors.
    pub no_motors: Vec<String>,
}

/// Some columns of a sheet that hold tables of their own.
#[derive(Clone, Debug)]
struct Part {
    grid: Grid,
    rows: Vec<(As, Option<usize>)>,
}

/// A filled row, or the part of it that belongs to one of two tables side by side.
#[derive(Clone, Copy, Debug)]
pub struct Line<'a> {
    /// Row of the sheet, from 0.
    pub row: u32,
    /// What it is.
    pub called: As,
    /// Its table.
    pub table: Option<usize>,
    /// Its cells.
    pub cells: &'a [Cell],
}

impl Found {
    /// Nothing yet, of so many filled rows.
    fn of(sheet: usize, rows: usize) -> Found {
        Found {
            sheet,
            tables: Vec::new(),
            rows: vec![(As::Note, None); rows],
            parts: Vec::new(),
            set_aside: Vec::new(),
            no_motors: Vec::new(),
        }
    }

    /// Adds a part of the sheet with its tables; the machine is the one of several in each row that its columns are of.
    fn add_part(&mut self, part: Grid, own: &Own, machine: Option<Arc<str>>) {
        let before = self.tables.len();
        let mut found = in_sheet(&part, self.sheet, own, before);
        for table in &mut found.tables {
            table.part = Some(self.parts.len());
            table.machine.clone_from(&machine);
        }
        for (_, table) in &mut found.rows {
            *table = table.map(|table| table + before);
        }
        self.tables.append(&mut found.tables);
        self.set_aside.append(&mut found.set_aside);
        self.no_motors.append(&mut found.no_motors);
        self.parts.push(Part {
            grid: part,
            rows: found.rows,
        });
    }

    /// The sheet as a table sees it: with tables side by side, its columns alone.
    pub fn grid_of<'a>(&'a self, table: &Table, whole: &'a Grid) -> &'a Grid {
        table
            .part
            .and_then(|part| self.parts.get(part))
            .map_or(whole, |part| &part.grid)
    }

    /// Whether tables stand side by side.
    pub fn is_side_by_side(&self) -> bool {
        !self.parts.is_empty()
    }

    /// The filled rows in order. With tables side by side, a row gives a line for each of them that it has a motor, an area or a
    /// total of.
    pub fn lines<'a>(&'a self, whole: &'a Grid) -> Vec<Line<'a>> {
        fn of<'a>(grid: &'a Grid, rows: &'a [(As, Option<usize>)]) -> impl Iterator<Item = Line<'a>> {
            grid.rows().zip(rows).map(|((row, cells), (called, table))| Line {
                row,
                called: *called,
                table: *table,
                cells,
            })
        }
        if self.parts.is_empty() {
            return of(whole, &self.rows).collect();
        }
        let mut lines: Vec<Line<'a>> = self.parts.iter().flat_map(|part| of(&part.grid, &part.rows)).collect();
        lines.sort_by_key(|line| line.row);
        let mut kept: Vec<Line<'a>> = Vec::with_capacity(lines.len());
        let mut rows = whole.rows();
        let mut at = rows.next();
        for line in lines {
            while at.is_some_and(|(row, _)| row < line.row) {
                at = rows.next();
            }
            let alike = kept.last_mut().filter(|known| {
                known.row == line.row
                    && known.called == line.called
                    && matches!(line.called, As::Heading | As::Note | As::UnitRow | As::Letters)
            });
            match (alike, at) {
                // One heading over both: the row stands once, with all its cells.
                (Some(known), Some((row, cells))) if row == line.row => known.cells = cells,
                _ => kept.push(line),
            }
        }
        kept
    }
}

/// What was looked for in a book.
#[derive(Clone, Debug, Default)]
pub struct LookedFor {
    /// The sheet with the most motors, and its tables.
    pub found: Option<Found>,
    /// How many motors other sheets hold.
    pub others: Vec<(String, usize)>,
    /// Why tables are none of motors.
    pub no_motors: Vec<String>,
    /// How many columns the column map speaks of.
    pub spoken_of: usize,
}

/// Finds the tables as the user says: what a column map says that is found without it anyway changes nothing, so that a map read
/// back as it was written gives the same list.
///
/// `only`: the sheet to be read, whatever others hold.
pub fn find_said(book: &Book, file: &str, own: &Own, only: Option<usize>) -> LookedFor {
    let mut told: Vec<ColumnSaid> = Vec::new();
    loop {
        let mut looked = find(book, file, &own.with_columns(told.clone()), only);
        let tables = looked.found.as_ref().map_or(&[][..], |found| &found.tables);
        let sheet = looked.found.as_ref().and_then(|found| book.sheets.get(found.sheet));
        let sheet = sheet.map_or("", |grid| grid.name.as_str());
        let numbered: Vec<Numbered<'_>> = tables
            .iter()
            .enumerate()
            .flat_map(|(place, table)| numbered(sheet, place + 1, table))
            .collect();
        let before = told.len();
        for said in own.columns() {
            let mut of = numbered
                .iter()
                .filter(|of| said.is_of(&of.heading, of.which, of.at))
                .peekable();
            let as_found = of.peek().is_some() && of.all(|of| holds_already(of.column, said));
            if !as_found && !told.contains(said) {
                told.push(said.clone());
            }
        }
        // What had to be told may change what is found for others: looked at again until nothing is left to tell.
        if told.len() == before {
            let spoken_of = |of: &&Numbered<'_>| own.said(&of.heading, of.which, of.at).is_some();
            looked.spoken_of = numbered.iter().filter(spoken_of).count();
            return looked;
        }
    }
}

/// A column as a column map speaks of it.
struct Numbered<'a> {
    /// Its heading as words.
    heading: String,
    /// Which of that heading it is, from 1.
    which: usize,
    at: TableAt<'a>,
    column: &'a Column,
}

/// The columns of a table, from 1, as a column map speaks of them.
fn numbered<'a>(sheet: &'a str, table: usize, of: &'a Table) -> Vec<Numbered<'a>> {
    let mut seen: HashMap<String, usize> = HashMap::new();
    let columns = of.columns.iter().map(|column| {
        let heading = words::key(&column.name);
        let which = seen.entry(heading.clone()).or_insert(0);
        *which += 1;
        Numbered {
            heading,
            which: *which,
            at: TableAt {
                sheet,
                table: Some(table),
            },
            column,
        }
    });
    columns.collect()
}

/// The unit a column map gives the ratings of a table, from 0.
pub fn rating_unit_said(sheet: &str, table: usize, of: &Table, own: &Own) -> Option<PlateUnit> {
    if !own.has_columns() {
        return None;
    }
    numbered(sheet, table + 1, of)
        .iter()
        .filter(|of| of.column.reads == Some(Reads::RatedPower))
        .find_map(|of| own.said(&of.heading, of.which, of.at)?.unit)
}

/// Whether a column is read as the user says.
fn holds_already(column: &Column, said: &ColumnSaid) -> bool {
    if column.heading.settled || column.reads.is_none() && said.reads.is_none() {
        return true;
    }
    column.reads == said.reads
        && column.and() == said.and
        && (said.reads != Some(Reads::Poles) || column.heading.pairs == said.pairs)
        && said.unit.is_none_or(|unit| match column.written_unit() {
            // Where nothing is written over ratings the map is asked for their unit anyway.
            None => said.reads == Some(Reads::RatedPower),
            written => written == Some(unit),
        })
}

/// Finds the sheet with the most motors and its tables. The name of the file may say that they are motors.
///
/// `only`: the sheet to be read, whatever others hold.
pub fn find(book: &Book, file: &str, own: &Own, only: Option<usize>) -> LookedFor {
    let mut best: Option<(usize, Found)> = None;
    let (mut others, mut no_motors) = (Vec::new(), Vec::new());
    let lists = book.sheets.iter().enumerate();
    for (index, grid) in lists.filter(|(_, grid)| !is_added(grid)) {
        let found = side_by_side(grid, index, own).unwrap_or_else(|| {
            let found = in_sheet(grid, index, own, 0);
            motors_in_each_row(grid, index, own, &found).unwrap_or(found)
        });
        let motors: usize = found.tables.iter().map(Table::motors).sum();
        no_motors.extend(
            found
                .no_motors
                .iter()
                .map(|why| format!("sheet \"{}\": {why}", grid.name)),
        );
        if motors == 0 {
            continue;
        }
        if let Some(why) = nothing_of_motors(grid, file, own, &found) {
            no_motors.push(format!("sheet \"{}\": {why}", grid.name));
            continue;
        }
        if only.is_some_and(|only| only != index) {
            others.push((grid.name.clone(), motors));
            continue;
        }
        // A visible sheet is preferred to a hidden copy; the first of equals stays.
        let weight = if grid.hidden { motors } else { motors * 2 + 1 };
        // A list that says that it no longer holds is read where there is no other.
        let weight = if says_superseded(grid, &found, own) {
            1
        } else {
            weight + 1
        };
        let name = |found: &Found| {
            book.sheets
                .get(found.sheet)
                .map(|grid| grid.name.clone())
                .unwrap_or_default()
        };
        match &best {
            Some((known, _)) if *known >= weight => others.push((grid.name.clone(), motors)),
            _ => {
                if let Some((_, old)) = best.take() {
                    others.push((name(&old), old.tables.iter().map(Table::motors).sum()));
                }
                best = Some((weight, found));
            }
        }
    }
    LookedFor {
        found: best.map(|(_, found)| found),
        others,
        no_motors,
        spoken_of: 0,
    }
}

/// Whether the name of a sheet or a line above its first table says that the list no longer holds.
fn says_superseded(grid: &Grid, found: &Found, own: &Own) -> bool {
    let first = found
        .tables
        .iter()
        .flat_map(|table| table.headings.first())
        .min()
        .copied()
        .unwrap_or(0);
    let titles = grid.rows().take_while(|(row, _)| *row < first).take(20);
    let mut texts = titles
        .flat_map(|(_, cells)| cells)
        .filter_map(|cell| match cell.content {
            Content::Text(index) => Some(grid.text(index)),
            _ => None,
        });
    own.words.states(&grid.name, "superseded")
        || texts.any(|text| text.len() <= 120 && own.words.states(text, "superseded"))
}

/// The row that looks most like headings: a cell each.
#[derive(Clone, Debug, Default)]
pub struct Likely {
    /// Column of the sheet, from 0; the text; what it says by itself.
    pub headings: Vec<(u16, String, Option<Reads>)>,
}

/// The row that looks most like headings, for a file in which none was understood: the widest row of short texts.
pub fn likely_headings(book: &Book, own: &Own, only: Option<usize>) -> Likely {
    let mut best: Vec<&Cell> = Vec::new();
    let mut of = None;
    for (index, grid) in book.sheets.iter().enumerate() {
        if is_added(grid) || only.is_some_and(|only| only != index) {
            continue;
        }
        for (_, cells) in grid.rows().take(50) {
            let is_heading = |text: &str| text.chars().count() <= 40 && text.parse::<f64>().is_err();
            let is_text = |cell: &&Cell| match cell.content {
                Content::Text(index) => is_heading(grid.text(index).trim()),
                _ => false,
            };
            let texts: Vec<&Cell> = cells.iter().filter(is_text).collect();
            if texts.len() > best.len() && texts.len() >= 2 && texts.len() * 5 >= cells.len() * 4 {
                best = texts;
                of = Some(grid);
            }
        }
    }
    let Some(grid) = of else { return Likely::default() };
    let mut texts = Texts::new(grid, own, 0);
    let headings = best.into_iter().filter_map(|cell| {
        let Content::Text(index) = cell.content else {
            return None;
        };
        let text = grid.text(index).split_whitespace().collect::<Vec<_>>().join(" ");
        Some((cell.column, text, texts.reads(cell)))
    });
    Likely {
        headings: headings.collect(),
    }
}

/// The column of a sheet that holds what would be headings, where the motors stand side by side as columns; from 0.
pub fn transposed(book: &Book, own: &Own) -> Option<u16> {
    book.sheets.iter().find_map(|grid| {
        let mut texts = Texts::new(grid, own, 0);
        (0..grid.width().min(3)).find(|column| {
            let mut found = HashSet::new();
            for (_, cells) in grid.rows().take(60) {
                if let Ok(place) = cells.binary_search_by_key(column, |cell| cell.column)
                    && cells.len() >= 3
                    && let Some(cell) = cells.get(place)
                {
                    found.extend(texts.reads(cell));
                }
            }
            found.len() >= 3 && found.iter().filter(|reads| reads.is_core()).count() >= 2
        })
    })
}

fn in_sheet(grid: &Grid, sheet: usize, own: &Own, before: usize) -> Found {
    let mut texts = Texts::new(grid, own, before);
    let mut found = Found::of(sheet, grid.row_count());
    let mut at = 0;
    let mut free_from = 0;
    let mut by_plates = false;
    while let Some((row, cells)) = grid.row_at(at) {
        let over_plates = if found.tables.is_empty() {
            over_plates(&mut texts, at, cells)
        } else {
            None
        };
        // Such a heading repeated further down.
        let repeated = by_plates && cells.len() >= 2 && found.tables.last().is_some_and(|table| is_again(table, cells));
        by_plates |= over_plates.is_some();
        if over_plates.is_some() || repeated || is_heading_row(&mut texts, cells) {
            let again = found.tables.last().is_some_and(|table| is_again(table, cells));
            let (top, end, unit_row) = heading_block(grid, &mut texts, at, free_from);
            let number = if again {
                found.tables.len() - 1
            } else {
                found.tables.len()
            };
            if !again {
                area_of_next(grid, &mut found, top, number);
                let rows: Vec<usize> = (top..end).filter(|place| Some(*place) != unit_row).collect();
                let mut table = table_of(&texts, &rows, unit_row, at, number);
                if let Some(column) = table
                    .columns
                    .iter_mut()
                    .find(|column| Some(column.column) == over_plates)
                    && !column.heading.settled
                {
                    column.reads = Some(Reads::Nameplate);
                    column.heading.confidence = 0.8;
                    column.heading.reason = "its cells are nameplates".to_owned();
                }
                found.tables.push(table);
            }
            for place in top..end {
                let called = match grid.row_at(place) {
                    _ if Some(place) == unit_row => As::UnitRow,
                    Some((_, cells)) if place > at && is_letters(grid, cells) => As::Letters,
                    _ => As::Heading,
                };
                set(&mut found, place, called, Some(number));
            }
            at = end;
            free_from = end;
            continue;
        }
        if let Some(number) = found.tables.len().checked_sub(1) {
            let called = found
                .tables
                .get(number)
                .map_or(As::Note, |table| called(&mut texts, table, row, cells));
            set(&mut found, at, called, Some(number));
        }
        at += 1;
    }
    settle_sums(grid, &mut found);
    settle_areas(&mut found);
    readings_below(&mut texts, &mut found);
    for place in 0..found.rows.len() {
        if let Some((called, Some(number))) = found.rows.get(place).copied()
            && let Some(table) = found.tables.get_mut(number)
        {
            table.rows.push((place, called));
        }
    }
    for table in &mut found.tables {
        settle_plates(grid, table);
        settle_standby(grid, own, table);
        settle_units(grid, table);
        settle_words(grid, own, table);
        settle_columns(grid, own, table);
        settle_items(grid, own, table);
        settle_synchronous(grid, table);
    }
    settle_not_motors(grid, own, &mut found);
    found
}

/// Puts the lines of a heading together to columns.
fn table_of(texts: &Texts<'_>, lines: &[usize], unit_row: Option<usize>, main: usize, number: usize) -> Table {
    let grid = texts.grid;
    let mut columns: BTreeMap<u16, Vec<String>> = BTreeMap::new();
    let lines: Vec<usize> = lines
        .iter()
        .copied()
        .filter(|place| grid.row_at(*place).is_some_and(|(_, cells)| !is_letters(grid, cells)))
        .collect();
    let units: HashMap<u16, Vec<PlateUnit>> = unit_row
        .and_then(|place| grid.row_at(place))
        .map(|(_, cells)| {
            cells
                .iter()
                .map(|cell| (cell.column, cell::units_only(&grid.shown(cell.content))))
                .filter(|(_, units)| !units.is_empty())
                .collect()
        })
        .unwrap_or_default();
    for (number, place) in lines.iter().enumerate() {
        let Some((row, cells)) = grid.row_at(*place) else {
            continue;
        };
        let (merged, upright): (Vec<&Merged>, Vec<&Merged>) = texts
            .merged_from(row)
            .iter()
            .partition(|merged| merged.right > merged.left);
        // Headings of the lines above that are merged down over this one have nothing of it.
        let over = lines.iter().take(number).filter_map(|place| grid.row_at(*place));
        let over = over.flat_map(|(above, _)| texts.merged_from(above));
        let over: Vec<u16> = over
            .filter(|merged| merged.bottom >= row)
            .map(|merged| merged.left)
            .collect();
        for (index, cell) in cells.iter().enumerate() {
            let text = grid.shown(cell.content).trim().to_owned();
            let mut last = cell.column;
            if let Some(merged) = merged.iter().find(|merged| merged.left == cell.column) {
                last = merged.right;
            } else if !upright.iter().any(|merged| merged.left == cell.column) {
                // A group without merged cells reaches to the next text or merged cell of its line, where the line below has texts, or
                // the row of units under the last line has units. Often only some groups of a heading are merged.
                let next = cells.get(index + 1).map_or(u16::MAX, |next| next.column);
                let beside = merged.iter().chain(&upright).map(|merged| merged.left);
                let beside = beside.chain(over.iter().copied());
                let next = beside.filter(|left| *left > cell.column).fold(next, u16::min);
                let below: Vec<u16> = match lines.get(number + 1) {
                    Some(place) => grid
                        .row_at(*place)
                        .map(|(_, cells)| cells.iter().map(|cell| cell.column).collect())
                        .unwrap_or_default(),
                    None => units.keys().copied().collect(),
                };
                if below.contains(&cell.column) {
                    last = below
                        .into_iter()
                        .filter(|column| *column < next)
                        .max()
                        .unwrap_or(last)
                        .max(last);
                }
            }
            for column in cell.column..=last.min(cell.column.saturating_add(60)) {
                columns.entry(column).or_default().push(text.clone());
            }
        }
    }
    let mut seen: HashMap<String, usize> = HashMap::new();
    let mut columns: Vec<Column> = columns
        .into_iter()
        .map(|(column, lines)| {
            let unwrapped: Vec<String> = lines
                .iter()
                .map(|line| heading::unwrapped(line, &texts.own.words))
                .collect();
            let mut text = unwrapped.join("\n");
            if let Some(unit) = units.get(&column).and_then(|units| units.first()) {
                // The unit row helps to understand `Measured | Power`.
                text.push_str(&format!("\n[{}]", unit.text()));
            }
            let name = lines.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
            let folded = words::key(&name);
            let which = {
                let count = seen.entry(folded).or_insert(0usize);
                *count += 1;
                *count
            };
            let mut heading = heading::read(&text, &texts.own.words);
            let at = TableAt {
                sheet: &grid.name,
                table: Some(texts.before + number + 1),
            };
            if let Some(said) = heading::as_said(&name, which, at, texts.own) {
                // Where the user says no unit, the one that is written holds.
                let units = if said.units.is_empty() {
                    heading.units.clone()
                } else {
                    said.units.clone()
                };
                let foreign = if said.units.is_empty() {
                    heading.foreign.clone()
                } else {
                    None
                };
                heading = Heading {
                    units,
                    foreign,
                    at_voltage: heading.at_voltage,
                    at_hertz: heading.at_hertz,
                    per: heading.per,
                    phase: heading.phase,
                    language: heading.language,
                    ..said
                };
            }
            let said_unit = heading.settled.then(|| heading.units.first().copied()).flatten();
            let unit = units
                .get(&column)
                .and_then(|units| units.first())
                .copied()
                .filter(|_| said_unit.is_none())
                .or_else(|| heading.units.first().copied())
                // The cells are converted to it.
                .or_else(|| heading.foreign.as_ref().and(heading.reads).map(Reads::usual));
            Column {
                column,
                name,
                reads: heading.reads,
                unit,
                hidden: grid.hidden_columns.contains(&column),
                plates: false,
                heading,
            }
        })
        .collect();
    shared_over_two(&mut columns);
    settle_added(&mut columns);
    let texts = grid
        .row_at(main)
        .map(|(_, cells)| {
            cells
                .iter()
                .filter_map(|cell| match cell.content {
                    Content::Text(index) => Some((cell.column, index)),
                    _ => None,
                })
                .collect()
        })
        .unwrap_or_default();
    Table {
        headings: lines
            .iter()
            .filter_map(|place| grid.row_at(*place).map(|(row, _)| row))
            .collect(),
        columns,
        rows: Vec::new(),
        part: None,
        machine: None,
        texts,
    }
}

/// Why a column is not read that was added when the list was written back.
pub const ADDED: &str = "added when the list was written back; it is worked anew";

/// Every filled row, and the blank rows between them, with what it is; row numbers from 1.
pub fn all_rows<'a>(grid: &'a Grid, found: &'a Found) -> Vec<Line<'a>> {
    let lines = found.lines(grid);
    let mut all = Vec::with_capacity(lines.len());
    let mut next = 0;
    for line in lines {
        let Line { row, table, .. } = line;
        // A hole of thousands of rows is the end of the list, not a gap worth listing.
        if row.saturating_sub(next) <= 200 {
            for blank in next..row {
                all.push(Line {
                    row: blank,
                    called: As::Blank,
                    table,
                    cells: &[],
                });
            }
        }
        all.push(line);
        next = row + 1;
    }
    all
}

/// Merged cells over one column, asked row by row from the top down.
#[derive(Clone, Debug)]
pub struct Spread {
    /// Those to come, the nearest last: place in the sheet's list and what it covers.
    to_come: Vec<(usize, Merged)>,
    /// Those begun, by their place in the list.
    begun: BTreeMap<usize, Merged>,
}

impl Spread {
    /// The merged cells over a column.
    pub fn over(grid: &Grid, column: u16) -> Spread {
        let mut to_come: Vec<(usize, Merged)> = grid
            .merged
            .iter()
            .copied()
            .enumerate()
            .filter(|(_, merged)| (merged.left..=merged.right).contains(&column))
            .collect();
        to_come.sort_by_key(|(place, merged)| std::cmp::Reverse((merged.top, *place)));
        Spread {
            to_come,
            begun: BTreeMap::new(),
        }
    }

    /// The text that the first merged cells over this row spread. Rows must come in order.
    pub fn text(&mut self, grid: &Grid, row: u32) -> Option<Arc<str>> {
        while let Some((place, merged)) = self.to_come.pop_if(|(_, merged)| merged.top <= row) {
            self.begun.insert(place, merged);
        }
        let merged = loop {
            let first = self.begun.first_entry()?;
            if first.get().bottom >= row {
                break *first.get();
            }
            first.remove();
        };
        match grid.cell(merged.top, merged.left)?.content {
            Content::Text(index) => Some(grid.shared(index)),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plates::store::Look;

    #[test]
    fn merged_cells_spread_their_text() {
        let mut grid = Grid::new("list");
        for (row, text) in [(2, "north"), (5, "south")] {
            let index = grid.intern(text);
            grid.push(
                row,
                Cell {
                    column: 0,
                    look: Look::default(),
                    content: Content::Text(index),
                },
            );
        }
        let merged = |top, bottom, right| Merged {
            top,
            left: 0,
            bottom,
            right,
        };
        // The later one stands first in the file, and one over no row that matters.
        grid.merged = vec![merged(5, 8, 1), merged(0, 0, 3), merged(2, 4, 0)];
        let mut spread = Spread::over(&grid, 0);
        let told: Vec<_> = (1..10).map(|row| spread.text(&grid, row)).collect();
        let told: Vec<&str> = told.iter().map(|text| text.as_deref().unwrap_or("-")).collect();
        assert_eq!(
            told,
            ["-", "north", "north", "north", "south", "south", "south", "south", "-"]
        );
        assert_eq!(Spread::over(&grid, 1).text(&grid, 6).as_deref(), Some("south"));
        assert_eq!(Spread::over(&grid, 1).text(&grid, 3), None);
    }
}
