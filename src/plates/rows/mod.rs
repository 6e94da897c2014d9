//! The rows of a table to motors.
//!
//! For: decimal sign and scale settled by the column, ditto marks, merged sections, units in the order cell, unit column, unit row
//! or heading, sheet; pairs and phases; poles and frequency implied.
//! Always: equal texts are read once; a plain number never meets the grammar. Every cell of an understood column gives a reading,
//! if only its text.
//! Not known here: plausibility, the workbook.

mod decimal_sign;
mod numbers;
mod plates;
mod service;
mod drives;

pub(super) use self::decimal_sign::settling_line;
pub(super) use self::plates::poles_at;
pub(super) use self::service::BY_TAG;
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;
use std::sync::Arc;

use rust_decimal::Decimal;

use self::decimal_sign::decimal_signs;
use self::drives::{Fed, drive_of, output_in_words, runs_at};
use self::numbers::{
    DOUBTED, Part, Read, below, hours_by_day, in_unit, is_digits, mean, not_in_unit, one_cell, one_phase, other_unit,
    quoted, ratings_disagree, two_in_one, two_readings, two_units, unequal, zero,
};
use self::plates::{
    ambiguity, by_apparent, by_rating, connections, frequencies, frequency_in_words, in_pairs, named_by_heading,
    plates, pole_pairs, poles, several_alike, used, voltages,
};
use self::service::{out_of_service, standby_of, tags};
use super::cell::{Plain, Writing};
use super::find::{As, Column, Found, Table};
use super::heading::Connection;
use super::motor::{Cell, Chosen, Doubt, Motor, Raw, Reading, decimal, shown};
use super::own::Own;
use super::pack::Motors;
use super::reads::{PlateUnit, Reads, Sort, float};
use super::store::{Content, FileSort, Grid, Look, Merged};
use super::{cell, find, scale, words};
use crate::fault::{Code, Severity};
use crate::quantity::Number;
use crate::standards::Series;

/// What the sheet says of the supply, in its title rows.
#[derive(Clone, Debug, Default)]
pub struct Supply {
    /// Volts.
    pub volts: Option<Decimal>,
    /// Hertz.
    pub hertz: Option<Decimal>,
    /// Where it stands.
    pub said: String,
}

/// What came out of a sheet.
#[derive(Clone, Debug, Default)]
pub struct Understood {
    /// Motors in order.
    pub motors: Motors,
    /// Doubts so far.
    pub doubts: Vec<Doubt>,
    /// The supply.
    pub supply: Supply,
    /// The unit most ratings are in.
    pub power_unit: Option<PlateUnit>,
    /// The plates prove another unit than the heading says, and the ratings are in that.
    pub other_power_unit: bool,
    /// The units of ratings that the user says, by table.
    pub power_units_said: Vec<(usize, PlateUnit)>,
    /// The most frequent language of the headings.
    pub language: &'static str,
    /// Printed totals and what their rows sum to.
    pub totals: Vec<super::totals::Total>,
}

/// Reads all tables of the sheet.
///
/// `delimiter` is the sign between the fields of a text file: a comma may part a number in two.
pub fn read(grid: &Grid, found: &Found, sort: FileSort, delimiter: Option<u8>, own: &Own) -> Understood {
    let mut all = Understood {
        supply: supply_of(grid, found),
        language: language_of(found),
        ..Understood::default()
    };
    let machines: Vec<&str> = found
        .tables
        .iter()
        .filter_map(|table| table.machine.as_deref())
        .collect();
    if !machines.is_empty() {
        all.doubts.push(Doubt::new(
            None,
            Code::COLUMN_DOUBTFUL,
            format!(
                "Each row holds {} motors ({}); each was read as a motor of its own, with the columns that name none.",
                machines.len(),
                shown(&machines.join(", "))
            ),
        ));
    }
    for (number, table) in found.tables.iter().enumerate() {
        let grid = found.grid_of(table, grid);
        let before = all.doubts.len();
        // Beside a table there may be another one.
        let past = (sort == FileSort::Csv && !found.is_side_by_side())
            .then(|| found.tables.iter().filter_map(last_heading).max())
            .flatten();
        let mut reader = Reader::new(grid, table, number, sort, own, &mut all);
        let past = past.filter(|past| !reader.column_without_heading(*past, delimiter == Some(b',')));
        reader.run(past);
        if found.is_side_by_side() {
            for doubt in all.doubts.iter_mut().skip(before) {
                doubt.table = Some(number);
            }
        }
    }
    all
}

/// The last column of a table that has a heading.
fn last_heading(table: &Table) -> Option<u16> {
    let named = table.columns.iter().filter(|column| !column.name.trim().is_empty());
    named.map(|column| column.column).max()
}

/// The language most headings are in.
fn language_of(found: &Found) -> &'static str {
    let mut counts: HashMap<&'static str, usize> = HashMap::new();
    for column in found.tables.iter().flat_map(|table| &table.columns) {
        if let Some(language) = column.heading.language {
            *counts.entry(language).or_default() += 1;
        }
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    counts.first().map_or("en", |(language, _)| language)
}

/// Volts and hertz said in the notes of the sheet, the first ones first; then in its name.
fn supply_of(grid: &Grid, found: &Found) -> Supply {
    let mut supply = Supply::default();
    let lines = found.lines(grid);
    let notes = lines
        .iter()
        .filter(|line| line.called == As::Note)
        .map(|line| (line.row, line.cells));
    let mut take = |text: &str, place: String| {
        let (volts, hertz) = cell::supply_in(text);
        if supply.hertz.is_none()
            && let [only] = hertz.as_slice()
        {
            supply.hertz = Some(*only);
            supply.said = place.clone();
        }
        if supply.volts.is_none()
            && let [only] = volts.as_slice()
        {
            supply.volts = Some(*only);
            if supply.said.is_empty() {
                supply.said = place;
            }
        }
    };
    for (row, cells) in notes.take(200) {
        for cell in cells {
            if let Content::Text(index) = cell.content {
                take(grid.text(index), format!("source row {}", row + 1));
            }
        }
    }
    take(&grid.name, "the name of the sheet".to_owned());
    supply
}

/// How one column is read.
struct Plan<'a> {
    column: &'a Column,
    reads: Reads,
    name: Arc<str>,
    writing: Writing,
    /// Readings of texts seen before, by their index.
    seen: HashMap<u32, Option<Rc<Plain>>>,
    /// What stood in the row above, for ditto marks.
    above: Option<(Content, Look)>,
    /// Efficiencies and power factors: most stand in per cent.
    percent: bool,
    /// Most of its cells stand in brackets, which say nothing then.
    bracketed: bool,
    /// Speeds of which most are a thousandth of one: a point that parts thousands was taken for one that parts decimals.
    thousandths: bool,
}

struct Reader<'a> {
    grid: &'a Grid,
    table: &'a Table,
    number: usize,
    all: &'a mut Understood,
    plans: Vec<Plan<'a>>,
    /// Which plan a column of the sheet has.
    at: Vec<Option<usize>>,
    power_unit: PlateUnit,
    power_unit_sure: bool,
    area: Option<Arc<str>>,
    guessed_hertz: Option<Decimal>,
    /// The frequency of rows without one of their own: its certainty and where it comes from.
    hertz: Option<(Decimal, u8, Arc<str>)>,
    spoken: Spoken<'a>,
    /// Units of the unit column by their texts.
    unit_cells: HashMap<u32, Option<PlateUnit>>,
    /// Merged cells that spread an area over rows.
    areas: Option<find::Spread>,
    often: Often,
    fed: Fed,
    own: &'a Own,
    /// Merged cells that reach over several rows of one column, still to come, the nearest last.
    spreads: Vec<Merged>,
    /// Those that reach over the row that is read, by their column.
    spreading: BTreeMap<u16, Merged>,
    /// Columns of this row that they fill.
    spread_here: Vec<u16>,
    /// Columns in whose cells the unit of another column stands, and of which.
    unit_columns: Vec<(Reads, u16)>,
    /// Zeros that stand for no value, by their column: what it is read as, and the rows.
    zeros: BTreeMap<(Reads, Arc<str>), Vec<u32>>,
    /// The other reading of the rating of this row, where a sign of it may part thousands or decimals.
    other_rating: Option<Decimal>,
}

/// Texts the readings share.
struct Often {
    nothing: Arc<str>,
    implied: Arc<str>,
    from_area: Arc<str>,
    from_heading: Arc<str>,
}

/// What texts of cells say as a whole, each looked up once.
struct Spoken<'a> {
    grid: &'a Grid,
    own: &'a Own,
    known: Vec<u8>,
}

impl Spoken<'_> {
    const KNOWN: u8 = 1;
    /// The same as above.
    const DITTO: u8 = 2;
    /// First of all that there is nothing.
    const BLANK: u8 = 4;
    /// Among other things that there is nothing.
    const ALSO_BLANK: u8 = 8;
    /// That the motor stands by.
    const STANDBY: u8 = 16;
    /// That the motor is out of service.
    const OUT: u8 = 32;

    fn says(&mut self, index: u32, what: u8) -> bool {
        let (grid, own) = (self.grid, self.own);
        let Some(known) = self.known.get_mut(index as usize) else {
            return false;
        };
        if *known == 0 {
            *known = Spoken::KNOWN;
            let text = grid.text(index).trim();
            let phrases = own.words.cells().whole(&words::folded(text));
            let first = phrases.first().map_or("", |phrase| phrase.says);
            if first == "ditto" && text.len() <= 12 {
                *known |= Spoken::DITTO;
            }
            if first == "blank" {
                *known |= Spoken::BLANK;
            }
            if phrases.iter().any(|phrase| phrase.says == "blank") {
                *known |= Spoken::ALSO_BLANK;
            }
            if phrases.iter().any(|phrase| phrase.says == "standby") {
                *known |= Spoken::STANDBY;
            }
            if phrases.iter().any(|phrase| phrase.says == "out_of_service") {
                *known |= Spoken::OUT;
            }
        }
        *known & what != 0
    }
}

/// What a remark says of its motor.
#[derive(Clone, Copy, Default)]
struct Remark {
    /// That there is no drive.
    not_drive: bool,
    /// That there is one.
    drive: bool,
    standby: bool,
    out_of_service: bool,
    gone: bool,
}

impl<'a> Reader<'a> {
    fn new(
        grid: &'a Grid,
        table: &'a Table,
        number: usize,
        sort: FileSort,
        own: &'a Own,
        all: &'a mut Understood,
    ) -> Reader<'a> {
        let used: Vec<&Column> = table.columns.iter().filter(|column| column.reads.is_some()).collect();
        let (commas, points) = decimal_signs(grid, table, &used);
        let whole_file = match (commas.values().sum::<usize>(), points.values().sum::<usize>()) {
            (0, 0) => sort == FileSort::Csv && all.language != "en",
            (commas, points) => commas > points,
        };
        let spread = |column: &&Column| {
            !matches!(
                column.reads,
                Some(Reads::Tag | Reads::Item | Reads::Area | Reads::Remarks | Reads::Quantity)
            )
        };
        let spread: Vec<u16> = used
            .iter()
            .filter(|column| spread(column))
            .map(|column| column.column)
            .collect();
        let mut spreads: Vec<Merged> = grid
            .merged
            .iter()
            .filter(|merged| merged.left == merged.right && merged.bottom > merged.top && spread.contains(&merged.left))
            .copied()
            .collect();
        spreads.sort_by_key(|merged| std::cmp::Reverse(merged.top));
        let units = table.columns.iter();
        let unit_columns = units
            .filter_map(|column| Some((column.heading.unit_of?, column.column)))
            .collect();
        let mut at = vec![None; usize::from(grid.width()) + 1];
        let plans: Vec<Plan<'a>> = used
            .into_iter()
            .filter_map(|column| {
                let reads = column.reads?;
                let own = (
                    commas.get(&column.column).copied().unwrap_or(0),
                    points.get(&column.column).copied().unwrap_or(0),
                );
                let comma = if own == (0, 0) { whole_file } else { own.0 > own.1 };
                Some(Plan {
                    column,
                    reads,
                    name: Arc::from(column.name.as_str()),
                    writing: Writing {
                        comma,
                        whole: matches!(
                            reads,
                            Reads::RatedSpeed
                                | Reads::MeasuredSpeed
                                | Reads::SynchronousSpeed
                                | Reads::HoursPerYear
                                | Reads::Voltage
                                | Reads::Supply
                                | Reads::MeasuredVoltage
                        ),
                    },
                    seen: HashMap::new(),
                    above: None,
                    percent: false,
                    bracketed: false,
                    thousandths: false,
                })
            })
            .collect();
        for (index, plan) in plans.iter().enumerate() {
            if let Some(entry) = at.get_mut(usize::from(plan.column.column)) {
                *entry = Some(index);
            }
        }
        Reader {
            grid,
            table,
            number,
            all,
            plans,
            at,
            power_unit: PlateUnit::Kilowatt,
            power_unit_sure: false,
            area: None,
            guessed_hertz: None,
            hertz: None,
            spoken: Spoken {
                grid,
                own,
                known: vec![0; grid.texts().len()],
            },
            unit_cells: HashMap::new(),
            areas: table
                .column(Reads::Area)
                .map(|column| find::Spread::over(grid, column.column)),
            often: Often {
                nothing: Arc::from(""),
                implied: Arc::from("implied by plate speed and frequency"),
                from_area: Arc::from("from the area above"),
                from_heading: Arc::from("from the headings"),
            },
            fed: Fed::default(),
            own,
            spreads,
            spreading: BTreeMap::new(),
            spread_here: Vec::new(),
            unit_columns,
            zeros: BTreeMap::new(),
            other_rating: None,
        }
    }

    /// Reads the rows; numbers past this column are doubted.
    fn run(&mut self, past: Option<u16>) {
        self.settle_scales();
        self.settle_thousandths();
        self.settle_brackets();
        self.settle_power_unit();
        self.column_doubts();
        if self.all.supply.hertz.is_none() {
            self.guess_frequency();
        }
        self.hertz = match (self.all.supply.hertz, self.guessed_hertz) {
            (Some(hertz), _) => Some((hertz, 90, Arc::from(format!("from {}", self.all.supply.said)))),
            (None, Some(hertz)) => Some((hertz, 50, Arc::from("guessed from the plate speeds"))),
            (None, None) => None,
        };
        let first_motor = self.all.motors.len();
        let table: &'a Table = self.table;
        let mut last: Option<Motor> = None;
        let mut totals = 0;
        for (place, called) in &table.rows {
            let Some((row, cells)) = self.grid.row_at(*place) else {
                continue;
            };
            // A total of an area and one of all behind it: what comes after them is of no area yet.
            totals = match called {
                As::Total => totals + 1,
                As::Motor | As::Area => 0,
                _ => totals,
            };
            if totals > 1 {
                self.area = None;
            }
            match called {
                As::Area => {
                    let text = |cell: &super::store::Cell| match cell.content {
                        Content::Text(index) => Some(self.grid.text(index).trim()),
                        _ => None,
                    };
                    // The number of an area is not its name.
                    let named = |text: &&str| text.chars().filter(|sign| sign.is_alphabetic()).count() > 1;
                    let area = cells.iter().filter_map(text).find(named);
                    self.area = area.or_else(|| cells.iter().find_map(text)).map(Arc::from);
                    // Ditto marks do not reach over a new area's title, but an untouched column goes on.
                }
                As::Motor => {
                    let past = past.and_then(|past| self.past_headings(row, cells, past));
                    let cells = self.with_spread(row, cells);
                    let mut motor = self.motor(row, &cells);
                    if let Some(past) = past {
                        for (reads, cell) in &mut motor.cells {
                            if reads.sort() == Sort::Number {
                                cell.confidence = cell.confidence.min(DOUBTED);
                            }
                        }
                        self.all.doubts.push(past);
                    }
                    if let Some(before) = last.replace(motor) {
                        self.all.motors.push(&before);
                    }
                }
                As::Readings => {
                    let readings = self.motor(row, cells);
                    if let Some(motor) = &mut last {
                        below(motor, readings);
                        used(motor, &self.all.supply, &mut self.all.doubts);
                    }
                }
                _ => {}
            }
        }
        if let Some(motor) = last {
            self.all.motors.push(&motor);
        }
        self.zero_doubts();
        let guessed = self.guessed_hertz.is_some()
            && self.all.motors.iter().skip(first_motor).any(|motor| {
                motor
                    .cell(Reads::Frequency)
                    .is_some_and(|cell| cell.note().is_some_and(|note| note.starts_with("guessed")))
            });
        if guessed && let Some(hertz) = self.guessed_hertz {
            self.all.doubts.push(Doubt::new(
                None,
                Code::FREQUENCY_GUESSED,
                format!(
                    "The list does not say the frequency; the plate speeds fit {} Hz.",
                    hertz.normalize()
                ),
            ));
        }
    }

    /// The cells of a row with those that merged cells spread over it from above.
    fn with_spread<'c>(&mut self, row: u32, cells: &'c [super::store::Cell]) -> Cow<'c, [super::store::Cell]> {
        self.spread_here.clear();
        // One for each column: rows come in order, so that each is taken up and left once.
        while let Some(merged) = self.spreads.pop_if(|merged| merged.top < row) {
            self.spreading.insert(merged.left, merged);
        }
        self.spreading.retain(|_, merged| merged.bottom >= row);
        let missing: Vec<super::store::Cell> = self
            .spreading
            .values()
            .filter(|merged| cells.binary_search_by_key(&merged.left, |cell| cell.column).is_err())
            .filter_map(|merged| self.grid.cell(merged.top, merged.left).copied())
            .collect();
        if missing.is_empty() {
            return Cow::Borrowed(cells);
        }
        self.spread_here.extend(missing.iter().map(|cell| cell.column));
        let mut all = cells.to_vec();
        all.extend(missing);
        all.sort_by_key(|cell| cell.column);
        Cow::Owned(all)
    }

    /// The filled cells of a column in rows that are motors, up to a number that settles any question.
    fn sample(&self, column: u16) -> impl Iterator<Item = (Content, Look)> + '_ {
        self.table
            .rows
            .iter()
            .filter(|(_, called)| *called == As::Motor)
            .filter_map(|(place, _)| self.grid.row_at(*place))
            .filter_map(move |(_, cells)| {
                let place = cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
                cells.get(place).map(|cell| (cell.content, cell.look))
            })
            .take(2000)
    }

    /// Columns of which most cells stand in brackets.
    fn settle_brackets(&mut self) {
        for index in 0..self.plans.len() {
            let Some(plan) = self.plans.get(index).filter(|plan| plan.reads.sort() == Sort::Number) else {
                continue;
            };
            let (mut cells, mut bracketed) = (0usize, 0usize);
            for (content, _) in self.sample(plan.column.column) {
                cells += 1;
                if let Content::Text(text) = content {
                    bracketed += usize::from(self.grid.text(text).starts_with('('));
                }
            }
            if let Some(plan) = self.plans.get_mut(index) {
                plan.bracketed = bracketed * 2 > cells;
            }
        }
    }

    /// Speeds of which most are a thousandth of one that motors have: a column is read on one scale, and told once.
    fn settle_thousandths(&mut self) {
        for index in 0..self.plans.len() {
            let Some(plan) = self.plans.get(index) else { continue };
            if !matches!(
                plan.reads,
                Reads::RatedSpeed | Reads::MeasuredSpeed | Reads::SynchronousSpeed
            ) {
                continue;
            }
            let speeds: Vec<f64> = self.speeds(plan).collect();
            let small = speeds.iter().filter(|speed| scale::is_thousandth_of_speed(**speed));
            let small: Vec<&f64> = small.collect();
            let (Some(first), true) = (small.first(), small.len() >= 2 && small.len() * 2 > speeds.len()) else {
                continue;
            };
            let text = format!(
                "{}: {} of {} speeds are a thousandth of what motors have: the point parts thousands, and {first} was read as {}.",
                plan.name,
                small.len(),
                speeds.len(),
                (*first * 1000.0).round()
            );
            self.all
                .doubts
                .push(Doubt::new(None, Code::VALUE_OF_NO_MOTOR, text).as_severe(Severity::Note));
            if let Some(plan) = self.plans.get_mut(index) {
                plan.thousandths = true;
            }
        }
    }

    /// The speeds of a column, where each is one number, as they stand.
    fn speeds<'p>(&'p self, plan: &'p Plan<'_>) -> impl Iterator<Item = f64> + 'p {
        self.sample(plan.column.column)
            .filter_map(|(content, _)| match content {
                Content::Number(number) => Some(number),
                Content::Text(text) => {
                    let plain = cell::read(plan.reads, self.grid.text(text), plan.writing)?;
                    match plain.amounts.as_slice() {
                        [only] => Some(float(only.value)),
                        _ => None,
                    }
                }
                _ => None,
            })
    }

    /// Fractions or per cent: what most cells of the column are.
    fn settle_scales(&mut self) {
        for index in 0..self.plans.len() {
            let Some(plan) = self.plans.get(index) else { continue };
            if !matches!(plan.reads, Reads::Efficiency | Reads::PowerFactor | Reads::Load) {
                continue;
            }
            let (mut large, mut small) = (0usize, 0usize);
            for (content, look) in self.sample(plan.column.column) {
                let value = match content {
                    Content::Number(number) => {
                        if look.has(Look::PERCENT) {
                            continue;
                        }
                        number
                    }
                    Content::Text(text) => {
                        match cell::read(plan.reads, self.grid.text(text), plan.writing)
                            .and_then(|plain| plain.amounts.first().copied())
                        {
                            Some(amount) if amount.unit.is_none() => float(amount.value),
                            _ => continue,
                        }
                    }
                    _ => continue,
                };
                // Nothing is nothing on either scale.
                if value > 1.5 {
                    large += 1;
                } else if value > 0.0 {
                    small += 1;
                }
            }
            let said = plan.column.unit == Some(PlateUnit::Percent);
            let percent = if large == small { said } else { large > small };
            if let Some(plan) = self.plans.get_mut(index) {
                plan.percent = percent;
            }
        }
    }

    /// The unit of ratings that carry none: the unit column is asked row by row, the heading next; where it names two, what most
    /// cells say; the sheet last.
    fn settle_power_unit(&mut self) {
        let mut counts: HashMap<PlateUnit, usize> = HashMap::new();
        let mut heading_units: Vec<PlateUnit> = Vec::new();
        let mut plain = 0usize;
        for plan in &self.plans {
            if plan.reads != Reads::RatedPower {
                continue;
            }
            if heading_units.is_empty() {
                heading_units = plan
                    .column
                    .heading
                    .units
                    .iter()
                    .copied()
                    .filter(|unit| unit.kilowatts().is_some())
                    .collect();
                if let Some(unit) = plan
                    .column
                    .unit
                    .filter(|unit| unit.kilowatts().is_some() && !heading_units.contains(unit))
                {
                    heading_units.insert(0, unit);
                }
            }
            for (content, _) in self.sample(plan.column.column) {
                match content {
                    Content::Text(text) => {
                        let read = cell::read(plan.reads, self.grid.text(text), plan.writing);
                        if let Some([only]) = read.as_ref().map(|plain| plain.amounts.as_slice()) {
                            match only.unit {
                                Some(unit) => *counts.entry(unit).or_default() += 1,
                                None => plain += 1,
                            }
                        }
                    }
                    Content::Number(_) => plain += 1,
                    _ => {}
                }
            }
        }
        // A column of units says it for the ratings beside it that carry none.
        if let Some(plan) = self.plans.iter().find(|plan| plan.reads == Reads::UnitOfPower) {
            let units = self
                .sample(plan.column.column)
                .filter_map(|(content, _)| match content {
                    Content::Text(text) => cell::units_only(self.grid.text(text)).first().copied(),
                    _ => None,
                });
            for unit in units.filter(|unit| unit.kilowatts().is_some()) {
                *counts.entry(unit).or_default() += 1;
                plain = plain.saturating_sub(1);
            }
        }
        if heading_units.is_empty() {
            heading_units.extend(self.footnote_unit());
        }
        // What the user says holds against what the plates or the series speak for.
        if let Some(said) = find::rating_unit_said(&self.grid.name, self.number, self.table, self.own) {
            heading_units = vec![said];
            self.all.power_units_said.push((self.number, said));
        }
        let mut most: Vec<(PlateUnit, usize)> = counts.into_iter().collect();
        most.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        let by_cells = most.first().map(|(unit, _)| *unit);
        self.power_unit_sure = true;
        self.power_unit = match (heading_units.as_slice(), by_cells) {
            ([only], _) => *only,
            ([first, ..], by_cells) => by_cells.filter(|unit| heading_units.contains(unit)).unwrap_or(*first),
            ([], Some(unit)) => unit,
            ([], None) => {
                self.power_unit_sure = plain == 0;
                if self.all.supply.hertz == Some(Decimal::from(60)) {
                    PlateUnit::Horsepower
                } else {
                    PlateUnit::Kilowatt
                }
            }
        };
        if let Some(unit) = self.unit_of_series() {
            self.all.power_unit = self.all.power_unit.or(Some(unit));
        }
        let cells: usize = most.iter().map(|(_, count)| count).sum();
        let majority = match most.first() {
            Some((unit, count)) if cells > plain && count * 2 > cells + plain => *unit,
            _ => self.power_unit,
        };
        if self.all.power_unit.is_none() && self.plans.iter().any(|plan| plan.reads == Reads::RatedPower) {
            self.all.power_unit = Some(match majority {
                PlateUnit::Watt => PlateUnit::Kilowatt,
                other => other,
            });
        }
    }

    fn column_doubts(&mut self) {
        for column in &self.table.columns {
            if column.hidden {
                self.all.doubts.push(Doubt::new(
                    None,
                    Code::COLUMN_HIDDEN,
                    match column.reads {
                        Some(_) => format!(
                            "The column {} is hidden; it was used, no visible one holds this.",
                            quoted(&column.name)
                        ),
                        None => format!("The column {} is hidden and was not used.", quoted(&column.name)),
                    },
                ));
            }
            if let Some(text) = &column.heading.doubt {
                self.all
                    .doubts
                    .push(Doubt::new(None, Code::COLUMN_DOUBTFUL, text.clone()).as_severe(Severity::Warning));
            }
            if column.reads.is_none() && column.heading.unfit {
                self.all.doubts.push(Doubt::new(
                    None,
                    Code::COLUMN_DOUBTFUL,
                    format!(
                        "The column {} was not used: {}.",
                        quoted(&column.name),
                        column.heading.reason
                    ),
                ));
            }
            if let Some(reads) = column.reads
                && column.heading.confidence < 0.65
            {
                self.all.doubts.push(Doubt::new(
                    None,
                    Code::COLUMN_DOUBTFUL,
                    format!(
                        "The column {} was taken as {}: {}.",
                        quoted(&column.name),
                        reads.title().to_lowercase(),
                        column.heading.reason
                    ),
                ));
            }
        }
        if !self.power_unit_sure {
            self.all.doubts.push(Doubt::new(
                None,
                Code::COLUMN_DOUBTFUL,
                format!(
                    "Nothing says the unit of the ratings; they were taken in {}, and could be in {}. A line of a column map settles it: {}.",
                    self.power_unit.text(),
                    other_unit(self.power_unit).text(),
                    self.settling_line(other_unit(self.power_unit)),
                ),
            ).as_severe(Severity::Warning));
        }
    }

    /// Of ratings in kW and in hp side by side those of a series are the plate's, where the others are not of theirs: 121 hp of 90 kW.
    fn unit_of_series(&self) -> Option<PlateUnit> {
        let of = |plan: &Plan<'_>| {
            let values = self
                .sample(plan.column.column)
                .filter_map(|(content, _)| match content {
                    Content::Number(number) => decimal(number),
                    Content::Text(text) => {
                        let read = cell::read(plan.reads, self.grid.text(text), plan.writing)?;
                        Some(read.amounts.first()?.value)
                    }
                    _ => None,
                });
            Some((values.collect::<Vec<_>>(), plan.column.unit?))
        };
        let powers: Vec<_> = self
            .plans
            .iter()
            .filter(|plan| plan.reads == Reads::RatedPower)
            .filter_map(of)
            .collect();
        let [(first, one), (second, other)] = powers.as_slice() else {
            return None;
        };
        if (*one == PlateUnit::Kilowatt) == (*other == PlateUnit::Kilowatt) {
            return None;
        }
        let (good, bad) = (in_series(second, *other), in_series(first, *one));
        (good >= 0.9 && bad <= 0.6).then_some(*other)
    }

    /// The unit of power that a note gives for a heading of ratings with its mark: `Potencia (1)` and `(1) Potencias en CV`.
    fn footnote_unit(&self) -> Option<PlateUnit> {
        let name = self.table.column(Reads::RatedPower)?.name.trim();
        let mark = match name.rsplit_once(' ') {
            Some((_, last))
                if last.starts_with(['(', '[']) && last.trim_matches(['(', ')', '[', ']']).parse::<u8>().is_ok() =>
            {
                last.to_owned()
            }
            _ => {
                let bare = name.trim_end_matches(['*', '†', '‡', '¹', '²', '³']);
                name.get(bare.len()..).filter(|mark| !mark.is_empty())?.to_owned()
            }
        };
        let mut units = self.grid.texts().iter().filter_map(|text| {
            let note = text.trim().strip_prefix(mark.as_str())?;
            // `**` is another mark than `*`.
            if note.starts_with(['*', '†', '‡']) || !note.chars().any(char::is_alphabetic) {
                return None;
            }
            note.split(|sign: char| sign.is_whitespace() || matches!(sign, ',' | '.' | ';' | '(' | ')'))
                .flat_map(cell::units_only)
                .find(|unit| unit.kilowatts().is_some())
        });
        units.next()
    }

    /// The line of a column map that says the unit of the ratings.
    fn settling_line(&self, unit: PlateUnit) -> String {
        let name = self.table.column(Reads::RatedPower).map_or("", |column| &column.name);
        settling_line(name, unit)
    }

    /// The frequency the plate speeds fit: the one at which more of them have a usual slip.
    fn guess_frequency(&mut self) {
        let Some(plan) = self.plans.iter().find(|plan| plan.reads == Reads::RatedSpeed) else {
            self.guessed_hertz = self.hertz_of_synchronous().map(Decimal::from);
            return;
        };
        let (mut fifty, mut sixty) = (0, 0);
        let times = if plan.thousandths { 1000.0 } else { 1.0 };
        for speed in self.speeds(plan).map(|speed| speed * times) {
            if (200.0..4000.0).contains(&speed) {
                fifty += usize::from(runs_at(50.0, speed));
                sixty += usize::from(runs_at(60.0, speed));
            }
        }
        self.guessed_hertz = match fifty.cmp(&sixty) {
            std::cmp::Ordering::Greater => Some(Decimal::from(50)),
            std::cmp::Ordering::Less => Some(Decimal::from(60)),
            std::cmp::Ordering::Equal => None,
        };
    }

    /// Whether what stands past the last heading is a column that has none, which is told once: most rows have a number there. Where a
    /// comma parts the fields, each of them may as well have a number cut in two.
    fn column_without_heading(&mut self, last: u16, comma_parts: bool) -> bool {
        let mut counts: BTreeMap<u16, usize> = BTreeMap::new();
        let mut motors = 0usize;
        for (place, _) in self.table.rows.iter().filter(|(_, called)| *called == As::Motor) {
            let Some((_, cells)) = self.grid.row_at(*place) else {
                continue;
            };
            motors += 1;
            for cell in cells.iter().filter(|cell| cell.column > last) {
                *counts.entry(cell.column).or_default() += 1;
            }
        }
        let most = counts.values().max().copied().unwrap_or(0);
        if most == 0 || comma_parts || motors < 2 {
            return false;
        }
        let columns: Vec<String> = counts.keys().map(|column| (column + 1).to_string()).collect();
        self.all.doubts.push(Doubt::new(
            None,
            Code::COLUMN_DOUBTFUL,
            format!(
                "No heading stands over column {}, which is filled in {most} of {motors} rows; it was not read. Write a heading over it.",
                columns.join(", ")
            ),
        ));
        true
    }

    /// Numbers of a row past the last heading: one of those before them may have been cut in two.
    fn past_headings(&self, row: u32, cells: &[super::store::Cell], last: u16) -> Option<Doubt> {
        let numbers = cells.iter().filter(|cell| cell.column > last).filter_map(|cell| {
            let Content::Text(text) = cell.content else { return None };
            let text = self.grid.text(text).trim();
            is_digits(text).then_some(text)
        });
        let past: Vec<&str> = numbers.collect();
        if past.is_empty() {
            return None;
        }
        let fields = cells.last().map_or(0, |cell| u32::from(cell.column) + 1);
        let headings = u32::from(last) + 1;
        Some(Doubt::new(
            Some(row + 1),
            Code::FIELDS_PAST_HEADINGS,
            format!(
                "{fields} fields stand under {headings} headings, and no heading over {}. Where a decimal comma parted a number in two, the values \
                 behind it stand under the wrong headings: compare the row with its source.",
                shown(&past.join(", "))
            ),
        ))
    }

    /// A rating of all motors of the row together, as its heading says: that of each.
    fn ratings_together(&mut self, motor: &mut Motor) {
        let count = motor.one(Reads::Quantity).filter(|count| *count > Decimal::ONE);
        let together = |plan: &Plan<'_>| {
            plan.reads == Reads::RatedPower
                && plan.column.heading.together
                && !plan.column.heading.settled
                && words::words(&plan.name)
                    .iter()
                    .any(|word| matches!(word.as_str(), "total" | "gesamt" | "totale" | "totales" | "totais"))
        };
        let (Some(count), Some(plan)) = (count, self.plans.iter().find(|plan| together(plan))) else {
            return;
        };
        let (name, row) = (plan.name.clone(), motor.source_row);
        let Some(cell) = motor.cell_mut(Reads::RatedPower).filter(|cell| cell.column == name) else {
            return;
        };
        let Some((all, each)) = cell
            .one()
            .and_then(|all| Some((all, all.checked_div(count)?.round_dp(8).normalize())))
        else {
            return;
        };
        let unit = cell.unit.text();
        cell.value = Reading::One(each);
        cell.confidence = cell.confidence.min(60);
        cell.say(format!(
            "{} {unit} of {} motors together",
            all.normalize(),
            count.normalize()
        ));
        self.all.doubts.push(Doubt::new(
            Some(row),
            Code::NUMBER_AMBIGUOUS,
            format!(
                "{name}: {} was read as {} {unit} of {} motors together, {each} {unit} each; it may be meant for each.",
                cell.raw.shown(),
                all.normalize(),
                count.normalize()
            ),
        ));
    }

    /// A frequency that is none of a supply, in the row of a motor on a drive: what the drive gave, unless the plate speed belongs to it.
    fn given_by_drive(&mut self, motor: &mut Motor) {
        let plan = self.plans.iter().find(|plan| plan.reads == Reads::Frequency);
        let Some(plan) = plan.filter(|plan| !plan.column.heading.rated) else {
            return;
        };
        let Some(cell) = motor.cell(Reads::Frequency).filter(|cell| cell.column == plan.name) else {
            return;
        };
        let Some(hertz) = cell.one().map(float).filter(|hertz| *hertz > 0.0) else {
            return;
        };
        let near = |supply: f64| (hertz / supply - 1.0).abs() < 0.02;
        let of_plate = hertz > 60.0
            && motor
                .float(Reads::RatedSpeed)
                .is_some_and(|speed| runs_at(hertz, speed));
        if near(50.0)
            || near(60.0)
            || of_plate
            || motor.cell(Reads::OutputFrequency).is_some()
            || drive_of(motor, &mut self.fed, &self.own.words).is_none()
        {
            return;
        }
        if let Some((reads, cell)) = motor.cells.iter_mut().find(|(reads, _)| *reads == Reads::Frequency) {
            *reads = Reads::OutputFrequency;
            cell.confidence = cell.confidence.min(75);
            cell.say("in the row of a drive: taken as what the drive gave");
        }
    }

    /// The frequency that synchronous speeds belong to.
    fn hertz_of_synchronous(&self) -> Option<u32> {
        let plan = self.plans.iter().find(|plan| plan.reads == Reads::SynchronousSpeed)?;
        let speeds: Vec<f64> = self
            .sample(plan.column.column)
            .filter_map(|(content, _)| match content {
                Content::Number(number) => Some(number),
                Content::Text(text) => {
                    let read = cell::read(plan.reads, self.grid.text(text), plan.writing)?;
                    read.amounts.first().map(|amount| float(amount.value))
                }
                _ => None,
            })
            .collect();
        find::synchronous_at(&speeds)
    }

    /// One row.
    fn motor(&mut self, row: u32, cells: &[super::store::Cell]) -> Motor {
        let grid = self.grid;
        let source_row = row + 1;
        let mut motor = Motor {
            source_row,
            table: self.number,
            struck: false,
            hidden: !grid.hidden_rows.is_empty() && grid.hidden_rows.contains(&row),
            drive: None,
            standby: false,
            out_of_service: false,
            cells: Vec::with_capacity(self.plans.len() + 3),
            chosen: None,
            used_voltage: None,
            used_current: None,
            supply: None,
        };
        let (mut struck, mut filled) = (0usize, 0usize);
        // A reading that is not there because the motor stands by, or is out of service.
        let (mut stands_by, mut out) = (false, None);
        let mut phases: Vec<Part<Reads>> = Vec::new();
        let mut by_voltage: Vec<Part<Decimal>> = Vec::new();
        let mut by_hertz: Vec<(Decimal, Reads, Cell)> = Vec::new();
        let mut by_connection: Vec<(Connection, Cell)> = Vec::new();
        let mut unit_cell: Option<PlateUnit> = None;
        let mut alike: Option<u32> = None;
        let mut other_measured: Option<Decimal> = None;
        if let Some(plan) = self.plans.iter().find(|plan| plan.reads == Reads::UnitOfPower)
            && let Ok(place) = cells.binary_search_by_key(&plan.column.column, |cell| cell.column)
            && let Some(Content::Text(text)) = cells.get(place).map(|cell| cell.content)
        {
            unit_cell = *self
                .unit_cells
                .entry(text)
                .or_insert_with(|| cell::units_only(grid.text(text)).first().copied());
        }
        for cell in cells {
            filled += 1;
            struck += usize::from(cell.look.has(Look::STRUCK));
            let Some(index) = self.at.get(usize::from(cell.column)).copied().flatten() else {
                continue;
            };
            let Some(plan) = self.plans.get_mut(index) else {
                continue;
            };
            let raw = Raw::of(grid, cell.content);
            let mut content = cell.content;
            let mut look = cell.look;
            let mut ditto = false;
            if let Content::Text(text) = content
                && self.spoken.says(text, Spoken::DITTO)
                && let Some((above, above_look)) = plan.above
            {
                content = above;
                look = above_look;
                ditto = true;
            }
            plan.above = Some((content, look));
            if let Content::Text(text) = content
                && plan.reads.is_reading()
            {
                stands_by |= self.spoken.says(text, Spoken::STANDBY);
                if self.spoken.says(text, Spoken::OUT) {
                    out = out.or_else(|| Some(grid.shared(text)));
                }
            }
            if let Some(second) = plan.column.heading.second {
                let both = [plan.reads, second];
                for (reads, cell) in two_in_one(grid, plan, both, content, raw, &mut self.spoken) {
                    motor.cells.push((reads, cell));
                }
                continue;
            }
            let mut read = one_cell(
                &mut self.spoken,
                plan,
                content,
                look,
                raw,
                source_row,
                &mut self.all.doubts,
            );
            if ditto {
                read.cell.say("as in the row above");
            }
            if self.spread_here.contains(&cell.column) {
                read.cell.say("from a merged cell over several rows");
                read.cell.confidence = read.cell.confidence.min(80);
            }
            if let Some((_, column)) = self.unit_columns.iter().find(|(of, _)| *of == plan.reads)
                && let Ok(place) = cells.binary_search_by_key(column, |cell| cell.column)
                && let Some(Content::Text(text)) = cells.get(place).map(|cell| cell.content)
            {
                self.all
                    .doubts
                    .extend(in_unit(&mut read, plan, grid.text(text), source_row));
            }
            let reads = plan.reads;
            // The phases of a reading are looked at together.
            if !plan.column.heading.phase {
                zero(reads, &mut read.cell, source_row, &mut self.zeros);
            }
            if reads == Reads::Poles {
                pole_pairs(&mut read, plan.column.heading.pairs);
                in_pairs(&mut read.cell, source_row, &mut self.all.doubts);
            }
            let name = plan.name.clone();
            let heading = &plan.column.heading;
            if reads == Reads::RatedCurrent
                && let Some(volts) = heading.at_voltage
            {
                by_voltage.push((volts, read.cell.one(), read.cell.raw.clone(), name));
                continue;
            }
            if reads == Reads::RatedCurrent
                && let Some(connection) = heading.connection
            {
                by_connection.push((connection, read.cell));
                continue;
            }
            if let Some(hertz) = heading.at_hertz
                && Chosen::goes_with_frequency(reads)
            {
                let mut cell = read.cell;
                if reads == Reads::RatedPower {
                    let own = read.own.filter(|unit| unit.kilowatts().is_some());
                    cell.unit = own.unwrap_or(self.power_unit);
                }
                by_hertz.push((hertz, reads, cell));
                continue;
            }
            // `L1/L2/L3` over cells with all three is no column of one phase.
            let all_in_one = read.cell.all().len() == 3;
            if heading.phase && matches!(reads, Reads::MeasuredCurrent | Reads::MeasuredVoltage) && !all_in_one {
                phases.push((reads, read.cell.one(), read.cell.raw.clone(), name));
                continue;
            }
            match reads {
                Reads::RatedPower => {
                    let column = plan.column;
                    alike = read.plain.as_ref().and_then(|plain| plain.times).or(alike);
                    self.power(&mut motor, read, unit_cell, &column.heading.units);
                }
                Reads::Supply | Reads::Voltage => {
                    if let Some(hertz) = read.plain.as_ref().and_then(|plain| plain.frequency) {
                        motor.cells.push((
                            Reads::Frequency,
                            Cell {
                                raw: read.cell.raw.clone(),
                                column: read.cell.column.clone(),
                                value: Reading::One(hertz),
                                unit: PlateUnit::Hertz,
                                confidence: 95,
                                note: None,
                            },
                        ));
                    }
                    motor.cells.push((Reads::Voltage, read.cell));
                }
                Reads::Quantity => {
                    if let Some((running, standing)) = read.plain.as_ref().and_then(|plain| plain.split) {
                        for (reads, count) in [(Reads::QuantityRunning, running), (Reads::QuantityStandby, standing)] {
                            motor.cells.push((
                                reads,
                                Cell {
                                    value: Reading::One(Decimal::from(count)),
                                    note: None,
                                    ..read.cell.clone()
                                },
                            ));
                        }
                    }
                    motor.cells.push((Reads::Quantity, read.cell));
                }
                Reads::MeasuredCurrent | Reads::MeasuredVoltage if all_in_one => {
                    let values: Vec<Option<Decimal>> = read.cell.all().iter().copied().map(Some).collect();
                    let mut cell = read.cell;
                    mean(&mut cell, &values);
                    zero(reads, &mut cell, source_row, &mut self.zeros);
                    self.all.doubts.extend(unequal(&mut cell, &values, source_row));
                    motor.cells.push((reads, cell));
                }
                Reads::Area => {
                    if let Reading::Words(words) = &read.cell.value {
                        self.area = Some(words.clone());
                    }
                    motor.cells.push((Reads::Area, read.cell));
                }
                _ => {
                    other_measured = read.other.filter(|_| reads == Reads::MeasuredPower).or(other_measured);
                    motor.cells.push((reads, read.cell));
                }
            }
        }
        motor.struck = filled > 0 && struck * 2 > filled;
        self.phases(&mut motor, phases);
        voltages(&mut motor, by_voltage);
        connections(&mut motor, by_connection);
        frequencies(&mut motor, by_hertz, &self.often);
        for plan in self.plans.iter().filter(|plan| plan.column.plates) {
            plates(&mut motor, plan, &mut self.all.doubts);
        }
        if let Some(machine) = &self.table.machine {
            named_by_heading(&mut motor, machine, &self.often);
        }
        self.area(&mut motor, row);
        tags(&mut motor, &mut self.all.doubts);
        self.ratings_together(&mut motor);
        if let Some(times) = alike {
            several_alike(&mut motor, times, &self.often, &mut self.all.doubts);
        }
        hours_by_day(&mut motor);
        self.given_by_drive(&mut motor);
        self.two_frequencies(&mut motor);
        self.frequency(&mut motor);
        scale::not_used(&mut motor, &mut self.all.doubts);
        poles(&mut motor, &self.often);
        let not_running = out_of_service(&motor, out, &mut self.fed, &self.own.words);
        motor.out_of_service = not_running.is_some();
        self.all.doubts.extend(not_running);
        motor.standby = stands_by || standby_of(&mut motor, self.own, &mut self.fed, &mut self.all.doubts);
        motor.drive = drive_of(&motor, &mut self.fed, &self.own.words);
        output_in_words(&mut motor);
        let other_rating = self.other_rating.take();
        used(&mut motor, &self.all.supply, &mut self.all.doubts);
        if let Some(other) = other_rating {
            by_apparent(&mut motor, other, &mut self.all.doubts);
        }
        if let Some(other) = other_measured {
            by_rating(&mut motor, other, &mut self.all.doubts);
        }
        if motor.cells.iter().any(|(reads, _)| *reads == Reads::RatedPower) {
            motor.cells.sort_by_key(|(reads, _)| *reads);
        }
        motor
    }

    /// A rating: its own unit, else the unit column's, else the column's.
    fn power(&mut self, motor: &mut Motor, read: Read, unit_cell: Option<PlateUnit>, heading_units: &[PlateUnit]) {
        let Read {
            mut cell, plain, own, ..
        } = read;
        // kVA of a set or a transformer beside it is no rating of a motor.
        let unit_cell = match unit_cell {
            Some(unit) if unit.kilowatts().is_none() => {
                let own = plain
                    .as_ref()
                    .is_some_and(|plain| plain.amounts.iter().any(|amount| amount.unit.is_some()));
                if !own && cell.value != Reading::Nothing {
                    self.all
                        .doubts
                        .push(not_in_unit(&mut cell, unit.text(), motor.source_row));
                }
                None
            }
            unit => unit,
        };
        let plain = plain.filter(|_| cell.value != Reading::Nothing);
        let usual = own.filter(|unit| unit.kilowatts().is_some()).unwrap_or(self.power_unit);
        let list = self.all.power_unit.unwrap_or(self.power_unit);
        cell.unit = unit_cell.unwrap_or(usual);
        let mut other = match plain.as_ref().map(|plain| plain.amounts.as_slice()) {
            Some([only]) => only.other,
            _ => None,
        };
        if let Some(plain) = plain {
            let amounts = &plain.amounts;
            let mixed = amounts
                .iter()
                .any(|amount| amount.unit != amounts.first().and_then(|first| first.unit));
            if let [only] = amounts.as_slice() {
                if let Some(unit) = only.unit {
                    if unit != cell.unit {
                        cell.say(format!("in {}, as the cell says", unit.text()));
                    }
                    cell.unit = unit;
                }
            } else if let Some(units) = two_units(amounts, heading_units) {
                // `37 (50)` under `kW (HP)`.
                let pairs: Vec<(Decimal, PlateUnit)> = amounts.iter().map(|amount| amount.value).zip(units).collect();
                let chosen = pairs.iter().find(|(_, unit)| *unit == list).or(pairs.first());
                if let Some((value, unit)) = chosen.copied() {
                    cell.value = Reading::One(value);
                    cell.unit = unit;
                    let others = pairs.iter().filter(|(_, other)| *other != unit);
                    for (value, unit) in others {
                        cell.say(format!("also given as {} {}", value.normalize(), unit.text()));
                    }
                }
            } else if mixed && amounts.iter().all(|amount| amount.unit.is_some()) {
                // One rating in two units: the one of the list.
                let chosen = amounts
                    .iter()
                    .find(|amount| amount.unit == Some(list))
                    .or(amounts.first());
                if let Some(chosen) = chosen {
                    cell.value = Reading::One(chosen.value);
                    cell.unit = chosen.unit.unwrap_or(usual);
                    let others: Vec<String> = amounts
                        .iter()
                        .filter(|amount| *amount != chosen)
                        .map(|amount| {
                            format!(
                                "{} {}",
                                amount.value.normalize(),
                                amount.unit.map_or("", PlateUnit::text)
                            )
                        })
                        .collect();
                    cell.say(format!("also given as {}", others.join(", ")));
                    let given: Vec<_> = amounts
                        .iter()
                        .filter_map(|amount| Some((amount.value, amount.unit?)))
                        .collect();
                    self.all
                        .doubts
                        .extend(ratings_disagree(&mut cell, &given, motor.source_row));
                }
            } else if let Some(unit) = amounts.iter().rev().find_map(|amount| amount.unit) {
                cell.unit = unit;
            }
        }
        if cell.unit == PlateUnit::Watt {
            let to_kilowatts = |value: &Decimal| value.checked_div(Decimal::ONE_THOUSAND).unwrap_or(*value);
            cell.value = match &cell.value {
                Reading::One(value) => Reading::One(to_kilowatts(value)),
                Reading::Several(values) => Reading::Several(values.iter().map(to_kilowatts).collect()),
                other => other.clone(),
            };
            cell.unit = PlateUnit::Kilowatt;
            cell.say("written in W");
            other = other.map(|other| to_kilowatts(&other));
        }
        // The doubt with both readings was made before their unit was known.
        if let (Some(other), Some(value)) = (other, cell.one())
            && let Some(doubt) = ambiguity(&mut self.all.doubts, motor.source_row, &cell.column)
        {
            *doubt = two_readings(&cell, Reads::RatedPower, value, other, motor.source_row);
        }
        self.other_rating = other;
        if !self.power_unit_sure {
            cell.confidence = cell.confidence.min(60);
        }
        // Two columns of ratings, in hp and in kW: the list's unit leads, the other fills gaps.
        let row = motor.source_row;
        if let Some(known) = motor.cell_mut(Reads::RatedPower) {
            let given: Vec<_> = [&*known, &cell]
                .into_iter()
                .filter_map(|cell| Some((cell.one()?, cell.unit)))
                .collect();
            let better = known.one().is_none() || (cell.one().is_some() && cell.unit == list && known.unit != list);
            if better {
                let before = std::mem::replace(known, cell);
                if let Some(value) = before.one() {
                    known.say(format!("also given as {} {}", value.normalize(), before.unit.text()));
                }
            } else if let Some(value) = cell.one() {
                known.say(format!("also given as {} {}", value.normalize(), cell.unit.text()));
            }
            self.all.doubts.extend(ratings_disagree(known, &given, row));
            return;
        }
        motor.cells.push((Reads::RatedPower, cell));
    }

    fn phases(&mut self, motor: &mut Motor, phases: Vec<Part<Reads>>) {
        for reads in [Reads::MeasuredCurrent, Reads::MeasuredVoltage] {
            let of: Vec<_> = phases.iter().filter(|(known, ..)| *known == reads).collect();
            if of.is_empty() {
                continue;
            }
            let raw: Vec<String> = of.iter().map(|(_, _, raw, _)| raw.text()).collect();
            let names: Vec<&str> = of.iter().map(|(.., name)| name.as_ref()).collect();
            let mut values: Vec<Option<Decimal>> = of.iter().map(|(_, value, ..)| *value).collect();
            // Empty cells are phases as well.
            let phases = self.plans.iter();
            let phases = phases.filter(|plan| plan.reads == reads && plan.column.heading.phase);
            values.resize(values.len().max(phases.count().min(3)), None);
            let mut cell = Cell {
                raw: Raw::Text(Arc::from(raw.join(" | "))),
                column: Arc::from(names.join(" | ")),
                value: Reading::Nothing,
                unit: reads.usual(),
                confidence: 95,
                note: None,
            };
            mean(&mut cell, &values);
            zero(reads, &mut cell, motor.source_row, &mut self.zeros);
            self.all.doubts.extend(unequal(&mut cell, &values, motor.source_row));
            if reads == Reads::MeasuredCurrent {
                self.all.doubts.extend(one_phase(&cell, &values, motor.source_row));
            }
            motor.cells.push((reads, cell));
        }
    }

    /// One doubt for each column with zeros that stand for no value.
    fn zero_doubts(&mut self) {
        const NAMED: usize = 6;
        for ((reads, column), rows) in std::mem::take(&mut self.zeros) {
            let named: Vec<String> = rows.iter().take(NAMED).map(u32::to_string).collect();
            let more = match rows.len().saturating_sub(NAMED) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            let meant = match reads {
                Reads::MeasuredCurrent | Reads::MeasuredPower | Reads::MeasuredSpeed => {
                    "not measured, or the motor stood still"
                }
                Reads::MeasuredVoltage => "not measured",
                _ => "not known",
            };
            let only = match rows.as_slice() {
                [row] => Some(*row),
                _ => None,
            };
            let place = match only {
                Some(_) => String::new(),
                None => format!(" in source rows {}{more}", named.join(", ")),
            };
            self.all.doubts.push(Doubt::new(
                only,
                Code::VALUE_ZERO,
                format!(
                    "{column}: 0{place} cannot be the {} of a motor; taken as not known: {meant}.",
                    reads.title().to_lowercase()
                ),
            ));
        }
    }

    fn area(&mut self, motor: &mut Motor, row: u32) {
        if motor
            .cell(Reads::Area)
            .is_some_and(|cell| cell.value != Reading::Nothing)
        {
            return;
        }
        if let Some(text) = self.areas.as_mut().and_then(|areas| areas.text(self.grid, row)) {
            self.area = Some(Arc::from(text.trim()));
        }
        if let Some(area) = &self.area {
            motor.cells.retain(|(reads, _)| *reads != Reads::Area);
            motor.cells.push((
                Reads::Area,
                Cell {
                    raw: Raw::Text(area.clone()),
                    column: self.often.nothing.clone(),
                    value: Reading::Words(area.clone()),
                    unit: PlateUnit::One,
                    confidence: 90,
                    note: Some(self.often.from_area.clone()),
                },
            ));
        }
    }

    /// A plate for 50 and 60 Hz: which of its values hold is told by the supply.
    fn two_frequencies(&mut self, motor: &mut Motor) {
        let all = |motor: &Motor, reads: Reads| motor.cell(reads).map_or_else(Vec::new, |cell| cell.all().to_vec());
        let mut hertz = all(motor, Reads::Frequency);
        let own = motor.one(Reads::Frequency);
        if hertz.len() < 2 {
            // Speeds in the proportion of the frequencies: those of two numbers of poles are further apart.
            let speeds = all(motor, Reads::RatedSpeed);
            let [first, second] = speeds.as_slice() else {
                return;
            };
            let ratio = float(*second) / float(*first);
            let (fifty, sixty) = (Decimal::from(50), Decimal::from(60));
            hertz = if (1.17..1.24).contains(&ratio) {
                vec![fifty, sixty]
            } else if (1.17..1.24).contains(&(1.0 / ratio)) {
                vec![sixty, fifty]
            } else {
                return;
            };
            let before = motor.cell(Reads::Frequency).cloned();
            motor.cells.retain(|(reads, _)| *reads != Reads::Frequency);
            motor.cells.push((
                Reads::Frequency,
                Cell {
                    raw: before.as_ref().map_or(Raw::None, |cell| cell.raw.clone()),
                    column: before.map_or_else(|| self.often.nothing.clone(), |cell| cell.column),
                    value: Reading::Several(hertz.as_slice().into()),
                    unit: PlateUnit::Hertz,
                    confidence: 80,
                    note: Some(Arc::from("told by the two plate speeds")),
                },
            ));
        }
        let supply = own.or(self.all.supply.hertz);
        let which = supply.and_then(|supply| hertz.iter().position(|hertz| *hertz == supply));
        let shown: Vec<String> = hertz.iter().map(|hertz| hertz.normalize().to_string()).collect();
        let shown = shown.join(" and ");
        let text = match (which, supply) {
            (Some(_), Some(supply)) => {
                let said = if own.is_some() {
                    "the row itself"
                } else {
                    self.all.supply.said.as_str()
                };
                format!(
                    "The plate is for {shown} Hz; its values at {} Hz were used, as {said} says. Look at the supply.",
                    supply.normalize()
                )
            }
            (_, Some(supply)) => format!(
                "The plate is for {shown} Hz, and the supply has {} Hz: none of its pairs of values was used.",
                supply.normalize()
            ),
            (_, None) => format!(
                "The plate is for {shown} Hz, and the list does not say the supply: none of its pairs of values was used."
            ),
        };
        let Ok(of) = u8::try_from(hertz.len()) else { return };
        // Which of them does not matter here.
        let some = Chosen { which: 0, of };
        let has_pairs = motor
            .cells
            .iter()
            .any(|(reads, cell)| *reads != Reads::Frequency && some.among(*reads, cell.all()).is_some());
        self.all.doubts.push(if has_pairs {
            Doubt::new(Some(motor.source_row), Code::TWO_FREQUENCIES, text)
        } else {
            let text = format!("The plate is for {shown} Hz and gives each value once; at which of them is not said.");
            Doubt::new(Some(motor.source_row), Code::TWO_FREQUENCIES, text).as_severe(Severity::Note)
        });
        if let Some(which) = which.and_then(|which| u8::try_from(which).ok()) {
            motor.chosen = Some(Chosen { which, of });
        }
    }

    /// Frequency: the row's own, else the sheet's, else guessed from the speeds.
    fn frequency(&mut self, motor: &mut Motor) {
        if motor.cell(Reads::Frequency).is_some_and(|cell| !cell.all().is_empty()) {
            return;
        }
        let Some((hertz, confidence, note)) = &self.hertz else {
            return;
        };
        let before = motor.cell(Reads::Frequency).map(|cell| cell.raw.clone());
        motor.cells.retain(|(reads, _)| *reads != Reads::Frequency);
        motor.cells.push((
            Reads::Frequency,
            Cell {
                raw: before.unwrap_or(Raw::None),
                column: self.often.nothing.clone(),
                value: Reading::One(*hertz),
                unit: PlateUnit::Hertz,
                confidence: *confidence,
                note: Some(note.clone()),
            },
        ));
        self.all.doubts.extend(frequency_in_words(motor));
    }
}

/// Which part of different values belongs to the series of their unit; of too few all of them.
pub(super) fn in_series(values: &[Decimal], unit: PlateUnit) -> f64 {
    let series = match unit {
        PlateUnit::Kilowatt => Series::Kw,
        _ => Series::Hp,
    };
    let mut values = values.to_vec();
    values.sort();
    values.dedup();
    if values.len() < 4 {
        return 1.0;
    }
    let fit = values.iter().filter(|value| {
        series
            .at_or_above(Number::Exact(**value))
            .is_some_and(|rating| rating.value == **value)
    });
    fit.count() as f64 / values.len() as f64
}
