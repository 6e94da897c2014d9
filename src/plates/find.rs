//! Where the list is: the sheet, its tables, their heading rows and what each row is.
//!
//! For: turning a sheet into tables of motors with columns understood by their headings.
//! Always: every row of the sheet is called something, blank rows inside too; nothing is thrown away. The rules look at words and
//! shapes only, never at a particular list.
//! Not known here: what the cells of a motor's row mean.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use super::cell;
use super::heading::{self, Heading};
use super::list;
use super::own::{ColumnSaid, Own, TableAt, may_hold_plates};
use super::pages::is_report;
use super::reads::{PlateUnit, Reads};
use super::store::{Book, Cell, Content, Grid, Merged};
use super::words;

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
pub fn find_said(book: &Book, file: &str, own: &Own) -> LookedFor {
    let mut told: Vec<ColumnSaid> = Vec::new();
    loop {
        let mut looked = find(book, file, &own.with_columns(told.clone()));
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
        let heading = words::words(&column.name).join(" ");
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
pub fn find(book: &Book, file: &str, own: &Own) -> LookedFor {
    let mut best: Option<(usize, Found)> = None;
    let (mut others, mut no_motors) = (Vec::new(), Vec::new());
    let lists = book.sheets.iter().enumerate();
    for (index, grid) in lists.filter(|(_, grid)| !is_report(&grid.name)) {
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

/// The texts of the row that looks most like headings, for a file in which none was understood: the widest row of short texts.
pub fn likely_headings(book: &Book) -> Vec<String> {
    let mut best: Vec<String> = Vec::new();
    for grid in &book.sheets {
        for (_, cells) in grid.rows().take(50) {
            let texts: Vec<String> = cells
                .iter()
                .filter_map(|cell| match cell.content {
                    Content::Text(index) => Some(grid.text(index).split_whitespace().collect::<Vec<_>>().join(" ")),
                    _ => None,
                })
                .filter(|text| text.chars().count() <= 40 && text.parse::<f64>().is_err())
                .collect();
            if texts.len() > best.len() && texts.len() >= 2 && texts.len() * 5 >= cells.len() * 4 {
                best = texts;
            }
        }
    }
    best.truncate(12);
    best.iter().map(|text| format!("\"{text}\"")).collect()
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

/// What a text says as a heading.
#[derive(Clone, Copy, Debug, Default)]
struct Meant {
    reads: Option<Reads>,
    /// Its words are those of headings, whether a column of a motor follows or not.
    known: bool,
}

/// What is known of each text of a sheet as a heading, looked up once.
struct Texts<'a> {
    grid: &'a Grid,
    own: &'a Own,
    /// Tables of the sheet before the first of these rows.
    before: usize,
    known: HashMap<u32, Meant>,
    /// Whether it says that a row is a sum.
    totals: Vec<Option<bool>>,
    /// Merged cells by their first row.
    merged: HashMap<u32, Vec<Merged>>,
}

impl<'a> Texts<'a> {
    fn new(grid: &'a Grid, own: &'a Own, before: usize) -> Texts<'a> {
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
    fn merged_from(&self, row: u32) -> &[Merged] {
        self.merged.get(&row).map_or(&[], Vec::as_slice)
    }

    /// Whether a text says that the row is a sum.
    fn total(&mut self, index: u32) -> bool {
        let (grid, own) = (self.grid, self.own);
        self.totals
            .get_mut(index as usize)
            .is_some_and(|known| *known.get_or_insert_with(|| own.words.says(grid.text(index), "total")))
    }

    /// What a cell says as a heading; `None` for numbers and other texts.
    fn reads(&mut self, cell: &Cell) -> Option<Reads> {
        self.meant(cell).reads
    }

    fn meant(&mut self, cell: &Cell) -> Meant {
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
            }
        })
    }
}

fn is_text(cell: &Cell) -> bool {
    matches!(cell.content, Content::Text(_))
}

/// Whether the row is a row of headings: several different ones, one of them of a motor, and hardly anything else.
fn is_heading_row(texts: &mut Texts<'_>, cells: &[Cell]) -> bool {
    let may_head = |cell: &&Cell| {
        is_text(cell)
            || matches!(cell.content, Content::Date(_))
            || matches!(cell.content, Content::Number(year) if is_year(year))
    };
    if cells.len() < 3 || cells.iter().filter(may_head).count() * 5 < cells.len() * 4 {
        return false;
    }
    let mut found = HashSet::new();
    let mut matched = 0;
    for cell in cells {
        let meant = texts.meant(cell);
        matched += usize::from(meant.known);
        found.extend(meant.reads);
    }
    // A rating beside models, years and weights is a list of cars or saws.
    let core = found.iter().filter(|reads| reads.is_core()).count();
    let named = found.iter().any(|reads| reads.is_name());
    // A row with numbers in it is one of data, whatever units and classes stand in it.
    let number = |cell: &&Cell| {
        let text = texts.grid.shown(cell.content).trim().replace(',', ".");
        text.parse::<f64>().is_ok_and(|number| !is_year(number))
    };
    if cells.iter().filter(number).count() >= 2 {
        return false;
    }
    // Months, quarters and other columns of one's own may outnumber those of the motors.
    let others = core >= 3 && named;
    found.len() >= 3 && (core >= 2 || core == 1 && named) && (matched * 2 >= cells.len() || others)
}

/// A year over a column of readings.
fn is_year(number: f64) -> bool {
    number.fract() == 0.0 && (1980.0..2100.0).contains(&number)
}

/// The column under a row of few headings in which whole nameplates stand, most of the way down: such a list needs no heading of a
/// rating.
fn over_plates(texts: &mut Texts<'_>, at: usize, cells: &[Cell]) -> Option<u16> {
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
fn is_plate(grid: &Grid, cell: &Cell) -> bool {
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
fn is_letters(grid: &Grid, cells: &[Cell]) -> bool {
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

/// Filled rows looked at to see whether tables stand side by side.
const TRIED: usize = 300;

/// Tables that stand side by side: each has ratings and names of its own, so that no table with an empty column is torn apart.
fn side_by_side(grid: &Grid, sheet: usize, own: &Own) -> Option<Found> {
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
const OF_SEVERAL: &str = "of several motors in one row";

/// Motors that share a row, each with columns of its own (`Supply fan kW | A`, `Return fan kW | A`): a table for each of them, with
/// the columns that name none. Only where it is certain: each of them has one rating.
fn motors_in_each_row(grid: &Grid, sheet: usize, own: &Own, found: &Found) -> Option<Found> {
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
        settle_synchronous(grid, table);
    }
    settle_not_motors(grid, own, &mut found);
    found
}

/// What a cell says of standing by, in a column of nothing else.
pub fn stands_by(text: &str, own: &Own) -> Option<bool> {
    let says = own.words.cells().whole(&words::folded(text));
    let any = |meaning: &str| says.iter().any(|phrase| phrase.says == meaning);
    if any("standby") || any("stands_by") {
        Some(true)
    } else {
        any("on_duty").then_some(false)
    }
}

/// What a cell says under a heading that speaks of running or standing by: the first letter of one of its words (`R` under
/// `Running/Standby`), a word of its own there (`off`, `C` of `C/I/S`), a yes or no to `In service`.
pub fn stands_by_under(heading: &str, text: &str, own: &Own) -> Option<bool> {
    let cell = words::folded(text);
    let heading_words = words::words(heading);
    let mut signs = cell.chars();
    if let (Some(letter), None) = (signs.next(), signs.next()) {
        let begins = heading_words
            .iter()
            .filter(|word| word.len() > 1 && word.starts_with(letter));
        let told: Vec<bool> = begins.filter_map(|word| stands_by(word, own)).collect();
        if let [only] = told.as_slice() {
            return Some(*only);
        }
    }
    let is = |meaning: &str| own.words.is(text, meaning);
    let asks = asks_for_duty(heading, own);
    stands_by(text, own).or_else(|| {
        if is("stands_by_there") || asks && is("no") {
            Some(true)
        } else {
            (is("on_duty_there") || asks && is("yes")).then_some(false)
        }
    })
}

/// Whether a heading as a whole asks whether the motor runs: `In service`, `Running?`, `In Betrieb`.
fn asks_for_duty(heading: &str, own: &Own) -> bool {
    own.words.is(&words::words(heading).join(" "), "on_duty")
}

/// Whether a column says which motors stand by is told by its cells: `Duty/Standby` is no duty type, and `Duty` over D and S neither.
fn settle_standby(grid: &Grid, own: &Own, table: &mut Table) {
    const ENOUGH: usize = 2;
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        // `In service` over yes and no, whatever else its words may mean.
        let asks = asks_for_duty(&column.name, own);
        let may = matches!(column.reads, None | Some(Reads::Duty | Reads::Standby | Reads::Remarks)) || asks;
        if column.heading.settled || !may {
            continue;
        }
        let (mut said, mut standing, mut cells) = (0usize, 0usize, 0usize);
        let mut types = 0usize;
        for content in contents(grid, table, column.column).take(2000) {
            let words = match content {
                Content::Text(text) => Some(grid.text(*text)),
                _ => None,
            };
            let says = words.and_then(|text| {
                if asks || column.reads == Some(Reads::Standby) {
                    stands_by_under(&column.name, text, own)
                } else {
                    stands_by(text, own)
                }
            });
            // A motor out of service neither runs nor stands by.
            if says.is_none() && words.is_some_and(|text| own.words.is(text, "blank")) {
                continue;
            }
            cells += 1;
            let Some(text) = words else { continue };
            if let Some(stands_by) = says {
                said += 1;
                standing += usize::from(stands_by);
            }
            types += usize::from(
                text.trim()
                    .strip_prefix(['S', 's'])
                    .is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit())),
            );
        }
        // A column without a heading that is known needs a motor that stands by: words of duty alone stand under many headings.
        let by_cells = cells >= ENOUGH
            && said * 10 >= cells * 8
            && (standing > 0 || column.reads.is_some() && types == 0 && said == cells);
        let reads = match column.reads {
            Some(Reads::Standby) if types * 2 > cells => Some(Reads::Duty),
            // Remarks may say it in some rows and other things in others.
            Some(Reads::Remarks) if said < cells || standing == said => continue,
            _ if by_cells => Some(Reads::Standby),
            _ => continue,
        };
        if let Some(column) = table.columns.get_mut(index)
            && column.reads != reads
        {
            column.reads = reads;
            column.heading.confidence = 0.85;
            column.heading.reason = match reads {
                Some(Reads::Duty) => "its cells are duty types",
                _ => "its cells say which motors stand by",
            }
            .to_owned();
        }
    }
}

/// A column of units holds units: under `Unit` may as well stand the machine, which is its tag where nothing else is.
fn settle_units(grid: &Grid, table: &mut Table) {
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
fn nothing_of_motors(grid: &Grid, file: &str, own: &Own, found: &Found) -> Option<String> {
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
fn settle_not_motors(grid: &Grid, own: &Own, found: &mut Found) {
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

fn short(text: &str) -> String {
    super::motor::shown(text)
}

/// A column of a quantity whose cells are words holds no numbers: `Load` over what the motors drive.
fn settle_words(grid: &Grid, own: &Own, table: &mut Table) {
    let mut described = table.column(Reads::Description).is_some();
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        let is_number = column
            .reads
            .is_some_and(|reads| reads.sort() == super::reads::Sort::Number);
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

/// What stands in a column in the rows of motors.
fn contents<'g>(grid: &'g Grid, table: &'g Table, column: u16) -> impl Iterator<Item = &'g Content> {
    let motors = table.rows.iter().filter(|(_, called)| *called == As::Motor);
    motors.filter_map(move |(place, _)| {
        let (_, cells) = grid.row_at(*place)?;
        let place = cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
        cells.get(place).map(|cell| &cell.content)
    })
}

/// A column of speeds that are all synchronous ones holds neither plate speeds nor readings. A few rows are no proof.
fn settle_synchronous(grid: &Grid, table: &mut Table) {
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

/// A line of one text above the heading of a further table names the area of that table, not of the one before.
fn area_of_next(grid: &Grid, found: &mut Found, top: usize, number: usize) {
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

/// Which columns hold whole nameplates: by their heading or by what most of their cells give.
fn settle_plates(grid: &Grid, table: &mut Table) {
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

fn set(found: &mut Found, place: usize, called: As, table: Option<usize>) {
    if let Some(entry) = found.rows.get_mut(place) {
        *entry = (called, table);
    }
}

/// Whether the row repeats the heading of the table (after a page break).
fn is_again(table: &Table, cells: &[Cell]) -> bool {
    let same = cells
        .iter()
        .filter(|cell| matches!(cell.content, Content::Text(index) if table.texts.contains(&(cell.column, index))))
        .count();
    same * 5 >= cells.len() * 4
}

/// The rows of a heading that has its main line at `at`: first, one past the last, and the unit row.
fn heading_block(grid: &Grid, texts: &mut Texts<'_>, at: usize, free_from: usize) -> (usize, usize, Option<usize>) {
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
            let folded = words::words(&name).join(" ");
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

/// The columns at the end of a list that were added when it was written back are no columns of the list.
fn settle_added(columns: &mut [Column]) {
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
fn shared_over_two(columns: &mut [Column]) {
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

/// What a row under a heading is.
fn called(known: &mut Texts<'_>, table: &Table, row: u32, cells: &[Cell]) -> As {
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
                    && reads.is_some_and(|reads| reads.sort() == super::reads::Sort::Number);
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
fn is_spare_way(own: &Own, text: &str) -> bool {
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
fn readings_below(texts: &mut Texts<'_>, found: &mut Found) {
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
fn settle_areas(found: &mut Found) {
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

/// Where several columns claim the same quantity, one is used; the others are kept as text. Columns of currents under different
/// voltages and of three phases belong together.
///
/// Where the user said what a column holds it stays so.
fn settle_columns(grid: &Grid, own: &Own, table: &mut Table) {
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
        if let (Some(measured), 2) = (measured_twin(reads), places.len())
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
        if let Some(measured) = measured_twin(reads)
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
        if measured_twin(reads).is_some()
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

/// Whether a second column of speeds could be of the same shaft as the plate's; other quantities may be far apart.
fn near_the_plate(grid: &Grid, table: &Table, places: &[usize], second: usize) -> bool {
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

/// The day a heading names, as year, month and day: `Amps 2024`, `A 01.03.2025`, `Meas. A Mar`; zero where it does not say.
fn day_named(name: &str) -> Option<(u32, u32, u32)> {
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
fn readings_of_days(table: &Table, places: &[usize]) -> Option<Vec<usize>> {
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
fn take_newest(table: &mut Table, places: &[usize], reads: Reads) {
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

/// Columns under days alone hold readings of currents where their numbers are near the plate's.
fn readings_by_day(grid: &Grid, table: &mut Table) {
    if table.column(Reads::MeasuredCurrent).is_some() {
        return;
    }
    let Some(plate) = table
        .column(Reads::RatedCurrent)
        .map(|column| numbers(grid, table, column.column))
    else {
        return;
    };
    let near = |column: &Column| {
        let ratios: Vec<f64> = plate
            .iter()
            .zip(numbers(grid, table, column.column))
            .filter_map(|(plate, read)| Some(read? / plate.filter(|plate| *plate > 0.0)?))
            .collect();
        let near = ratios.iter().filter(|ratio| (0.2..1.4).contains(*ratio)).count();
        ratios.len() >= 2 && near * 10 >= ratios.len() * 8
    };
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

/// A power factor in the midst of readings, behind all columns of the plate, was measured with them.
fn measured_factor(table: &mut Table) {
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

/// Readings of three phases under days or weeks, each near the plate's current: the newest are used.
fn phases_by_day(grid: &Grid, table: &mut Table) {
    if table.column(Reads::MeasuredCurrent).is_some() {
        return;
    }
    let Some(plate) = table
        .column(Reads::RatedCurrent)
        .map(|column| numbers(grid, table, column.column))
    else {
        return;
    };
    let stem = |column: &Column| {
        let mut all = words::words(&column.name);
        all.pop();
        all.join(" ")
    };
    let near = |column: &Column| {
        let ratios: Vec<f64> = plate
            .iter()
            .zip(numbers(grid, table, column.column))
            .filter_map(|(plate, read)| Some(read? / plate.filter(|plate| *plate > 0.0)?))
            .collect();
        ratios.len() >= 2 && ratios.iter().filter(|ratio| (0.2..1.4).contains(*ratio)).count() * 10 >= ratios.len() * 8
    };
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

/// A column that nothing else is known of, or one of duty, whose cells say which motors are fed by a drive.
fn drives_in_cells(grid: &Grid, own: &Own, table: &mut Table) {
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

/// `IE3` under `Efficiency` is a class.
fn classes(grid: &Grid, table: &mut Table) {
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

/// A row of numbers alone that are sums of the rows above it is a total, whatever stands beside it.
fn settle_sums(grid: &Grid, found: &mut Found) {
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

/// Last words of the headings of three phases.
const PHASES: [[&str; 3]; 11] = [
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
                    let mut words = super::words::words(&column.name);
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

fn measured_twin(reads: Reads) -> Option<Reads> {
    match reads {
        Reads::RatedCurrent => Some(Reads::MeasuredCurrent),
        Reads::RatedSpeed => Some(Reads::MeasuredSpeed),
        Reads::Voltage => Some(Reads::MeasuredVoltage),
        _ => None,
    }
}

/// How good a claim a column has: one that names the motor goes before others, one of several motors together after them.
fn weight(table: &Table, place: usize) -> f32 {
    table.columns.get(place).map_or(0.0, |column| {
        let heading = &column.heading;
        let named = if heading.motor { 0.04 } else { 0.0 };
        let together = if heading.together { 0.3 } else { 0.0 };
        heading.confidence + named - together - if column.hidden { 0.5 } else { 0.0 }
    })
}

/// A column of days holds no quantity, whatever its heading: `Last PM`. Ratings may be fractions that became days.
fn settle_days(grid: &Grid, table: &mut Table) {
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index).filter(|column| !column.heading.settled) else {
            continue;
        };
        let is_number = column
            .reads
            .is_some_and(|reads| reads.sort() == super::reads::Sort::Number && reads != Reads::RatedPower);
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

/// A column whose numbers cannot be what its heading says: a letter `f` over factors, hours of many years.
fn settle_values(grid: &Grid, table: &mut Table) {
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

/// The numbers of a column, row by row of the motors; commas as points.
fn numbers(grid: &Grid, table: &Table, column: u16) -> Vec<Option<f64>> {
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

/// Poles of one or three beside a column of breakers are those of the breakers.
fn poles_of_breakers(grid: &Grid, table: &mut Table) {
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

/// Columns that name what the motors drive, beside a column of the motor's own: they are of the machine.
fn driven_machines(table: &mut Table) {
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
            && reads.sort() == super::reads::Sort::Number
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
fn parts_of_plant(table: &mut Table) {
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
fn numbers_are_no_names(grid: &Grid, table: &mut Table) {
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
fn named_by_drive(grid: &Grid, own: &Own, table: &mut Table) {
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
fn converters(own: &Own, table: &mut Table) {
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
fn both_connections(table: &Table, places: &[usize]) -> bool {
    let mut connections: Vec<_> = places
        .iter()
        .filter_map(|place| table.columns.get(*place)?.heading.connection)
        .collect();
    connections.sort_unstable();
    connections.dedup();
    connections.len() == places.len()
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
