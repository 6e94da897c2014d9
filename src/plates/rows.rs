//! The rows of a table to motors.
//!
//! For: decimal sign and scale settled by the column, ditto marks, merged sections, units in the order cell, unit column, unit row
//! or heading, sheet; pairs and phases; poles and frequency implied.
//! Always: equal texts are read once; a plain number never meets the grammar. Every cell of an understood column gives a reading,
//! if only its text.
//! Not known here: plausibility, the workbook.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::cell::{self, Counted, Plain, Writing};
use super::find::{self, As, Column, Found, Table};
use super::heading::{Connection, Per};
use super::motor::{Cell, Chosen, Doubt, Motor, Raw, Reading, decimal, shown};
use super::own::Own;
use super::pack::Motors;
use super::reads::{PlateUnit, Reads, Sort, float};
use super::store::{Content, FileSort, Grid, Look, Merged};
use super::words::{self, Words};
use crate::fault::{Code, Severity};
use crate::quantity::{Number, Unit, convert};
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

/// What remarks and descriptions say of their motors. Those that come again are known.
#[derive(Default)]
struct Fed {
    remarks: HashMap<Arc<str>, Remark>,
    descriptions: HashMap<Arc<str>, bool>,
}

/// Different texts kept at most; beyond that they hardly come again.
const FED_KEPT: usize = 4096;

impl Fed {
    /// What a remark says.
    fn remark(&mut self, text: &Arc<str>, of: &Words) -> Remark {
        if let Some(known) = self.remarks.get(text) {
            return *known;
        }
        let stated = of.stated(text);
        let said = Remark {
            not_drive: of.says(text, "not_drive"),
            drive: stated.contains(&"drive"),
            standby: stated.contains(&"standby"),
            out_of_service: stated.contains(&"out_of_service"),
            gone: of.gone(text),
        };
        if self.remarks.len() < FED_KEPT {
            self.remarks.insert(text.clone(), said);
        }
        said
    }

    /// Whether a description names a drive by its letters.
    fn description(&mut self, text: &Arc<str>) -> bool {
        if let Some(known) = self.descriptions.get(text) {
            return *known;
        }
        let said = words::words(text)
            .iter()
            .any(|word| matches!(word.as_str(), "vfd" | "vsd" | "fu" | "asd"));
        if self.descriptions.len() < FED_KEPT {
            self.descriptions.insert(text.clone(), said);
        }
        said
    }
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
        for (place, called) in &table.rows {
            let Some((row, cells)) = self.grid.row_at(*place) else {
                continue;
            };
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
        for (content, _) in self.sample(plan.column.column) {
            let speed = match content {
                Content::Number(number) => number,
                Content::Text(text) => match cell::read(plan.reads, self.grid.text(text), plan.writing) {
                    Some(plain) => match plain.amounts.as_slice() {
                        [only] => float(only.value),
                        _ => continue,
                    },
                    None => continue,
                },
                _ => continue,
            };
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
        };
        let (mut struck, mut filled) = (0usize, 0usize);
        // A reading that is not there because the motor stands by, or is out of service.
        let (mut stands_by, mut out) = (false, None);
        let mut phases: Vec<Part<Reads>> = Vec::new();
        let mut by_voltage: Vec<Part<Decimal>> = Vec::new();
        let mut by_hertz: Vec<(Decimal, Reads, Cell)> = Vec::new();
        let mut by_connection: Vec<(Connection, Cell)> = Vec::new();
        let mut unit_cell: Option<PlateUnit> = None;
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
                _ => motor.cells.push((reads, read.cell)),
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
        hours_by_day(&mut motor);
        self.given_by_drive(&mut motor);
        self.two_frequencies(&mut motor);
        self.frequency(&mut motor);
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
        if motor.cells.iter().any(|(reads, _)| *reads == Reads::RatedPower) {
            motor.cells.sort_by_key(|(reads, _)| *reads);
        }
        motor
    }

    /// A rating: its own unit, else the unit column's, else the column's.
    fn power(&mut self, motor: &mut Motor, read: Read, unit_cell: Option<PlateUnit>, heading_units: &[PlateUnit]) {
        let Read { mut cell, plain, own } = read;
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
            let values: Vec<Option<Decimal>> = of.iter().map(|(_, value, ..)| *value).collect();
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
                    "{column}: 0{place} is no {} of a motor and was taken as no value: {meant}.",
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
    fn frequency(&self, motor: &mut Motor) {
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
    }
}

/// Whether a plate speed is one of this frequency: the slip of a rating is small.
fn runs_at(hertz: f64, speed: f64) -> bool {
    let pairs = (60.0 * hertz / speed).floor();
    let slip = 1.0 - speed * pairs / (60.0 * hertz);
    pairs >= 1.0 && slip > 0.0 && slip < 0.09
}

/// Ratings of one motor are the same power, in two units as near as the series of the two go together: else a doubt with both, and
/// whether they would be the same with their units swapped.
fn ratings_disagree(cell: &mut Cell, given: &[(Decimal, PlateUnit)], row: u32) -> Option<Doubt> {
    let ((first, unit), (second, other)) = given.iter().enumerate().find_map(|(place, a)| {
        let b = given.iter().skip(place + 1).find(|b| !same_power(a.0, a.1, b.0, b.1))?;
        Some((*a, *b))
    })?;
    let in_other = |value: Decimal, from: PlateUnit, to: PlateUnit| {
        if from == to {
            return "in the same unit".to_owned();
        }
        let kilowatts = float(value) * from.kilowatts().unwrap_or(1.0);
        format!("{:.1} {}", kilowatts / to.kilowatts().unwrap_or(1.0), to.text())
    };
    let swapped = if same_power(first, other, second, unit) {
        format!(
            "; {} {} and {} {} would agree, so the units may be swapped",
            first.normalize(),
            other.text(),
            second.normalize(),
            unit.text()
        )
    } else {
        String::new()
    };
    cell.confidence = cell.confidence.min(DOUBTED);
    Some(Doubt::new(
        Some(row),
        Code::RATINGS_DISAGREE,
        format!(
            "{}: {} {} is {}, and beside it stands {} {}, which is {}{swapped}. {} {} was used.",
            cell.column,
            first.normalize(),
            unit.text(),
            in_other(first, unit, other),
            second.normalize(),
            other.text(),
            in_other(second, other, unit),
            cell.one().unwrap_or_default().normalize(),
            cell.unit.text()
        ),
    ))
}

/// Certainty of a reading beside which another one stands that is as likely, in per cent.
const DOUBTED: u8 = super::trust::AS_LIKELY - 10;

/// Whether two ratings are one: those of the two series go together by a tenth or better (4 kW with 5.5 hp, 0.75 kW with 1 hp).
fn same_power(a: Decimal, unit: PlateUnit, b: Decimal, other: PlateUnit) -> bool {
    let kilowatts = |value: Decimal, unit: PlateUnit| float(value) * unit.kilowatts().unwrap_or(1.0);
    (0.88..1.14).contains(&(kilowatts(a, unit) / kilowatts(b, other)))
}

/// The units of two bare numbers under a heading that names two units of power: told by the numbers themselves, so that the order
/// of the heading does not matter.
fn two_units(amounts: &[cell::Amount], heading: &[PlateUnit]) -> Option<[PlateUnit; 2]> {
    let [first, second] = amounts else { return None };
    if first.unit.is_some() || second.unit.is_some() {
        return None;
    }
    let other = heading
        .iter()
        .copied()
        .find(|unit| matches!(unit, PlateUnit::Horsepower | PlateUnit::MetricHorsepower))?;
    if !heading.contains(&PlateUnit::Kilowatt) {
        return None;
    }
    [[PlateUnit::Kilowatt, other], [other, PlateUnit::Kilowatt]]
        .into_iter()
        .find(|[a, b]| same_power(first.value, *a, second.value, *b))
}

/// One of several columns that make one reading: which, its value, its raw text and its heading.
type Part<W> = (W, Option<Decimal>, Raw, Arc<str>);

/// A cell read by its column.
struct Read {
    cell: Cell,
    plain: Option<Rc<Plain>>,
    /// The unit of the column.
    own: Option<PlateUnit>,
}

/// Reads a cell by the plan of its column.
fn one_cell(
    spoken: &mut Spoken<'_>,
    plan: &mut Plan<'_>,
    content: Content,
    look: Look,
    raw: Raw,
    row: u32,
    doubts: &mut Vec<Doubt>,
) -> Read {
    let grid = spoken.grid;
    let reads = plan.reads;
    let own = plan.column.unit;
    let mut cell = Cell {
        raw,
        column: plan.name.clone(),
        value: Reading::Nothing,
        unit: own.filter(|unit| unit.fits(reads)).unwrap_or(reads.usual()),
        confidence: (plan.column.heading.confidence * 100.0) as u8,
        note: None,
    };
    if matches!(reads, Reads::PowerFactor | Reads::Efficiency) {
        cell.unit = reads.usual();
    }
    if reads.sort() == Sort::Text {
        let text = match content {
            Content::Text(index) => {
                let text = grid.text(index).trim();
                // Remarks of words are kept: `out of service` says more than nothing. So are `S/D` of a starter and a tag `X`.
                let keeps = match reads {
                    Reads::Remarks | Reads::Description => text.chars().filter(|sign| sign.is_alphabetic()).count() > 3,
                    Reads::Drive => spoken.own.words.is(text, "line"),
                    Reads::Tag => text.chars().count() == 1 && text.chars().all(char::is_alphabetic),
                    _ => false,
                };
                if !keeps && spoken.says(index, Spoken::BLANK) {
                    None
                } else if text.len() == grid.text(index).len() {
                    Some(grid.shared(index))
                } else {
                    Some(Arc::from(text))
                }
            }
            other => Some(Arc::from(grid.shown(other))),
        };
        cell.value = text.map_or(Reading::Nothing, Reading::Words);
        return Read { cell, plain: None, own };
    }
    let mut plain = None;
    match content {
        Content::Number(number) => match decimal(number) {
            Some(value) => {
                let value = if look.has(Look::PERCENT) {
                    value.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(value)
                } else {
                    value
                };
                let unit = if look.has(Look::PERCENT) {
                    Some(PlateUnit::Percent)
                } else {
                    None
                };
                scaled(&mut cell, plan, value, unit, row, doubts);
            }
            None => cell.say("too large or too small to be a reading"),
        },
        Content::Text(index) => {
            let writing = plan.writing;
            let read = plan
                .seen
                .entry(index)
                .or_insert_with(|| {
                    let text = grid.text(index);
                    if cell::is_date(text) {
                        return None;
                    }
                    cell::read(reads, text, writing)
                        .or_else(|| number_word(reads, text, &spoken.own.words))
                        .or_else(|| phases_in(reads, text, writing))
                        .map(Rc::new)
                })
                .clone();
            match read {
                Some(read) => {
                    if let Some(note) = &read.note {
                        cell.say(note);
                    }
                    if read.about {
                        cell.say("given as about");
                        cell.confidence = cell.confidence.min(80);
                    }
                    if let [only] = read.amounts.as_slice() {
                        let value = to_usual(only.value, only.unit);
                        scaled(&mut cell, plan, value, only.unit, row, doubts);
                        if let Some(other) = only.other {
                            ambiguous(&mut cell, plan, only.value, other, row, doubts);
                        }
                        if read.bracketed && !plan.bracketed {
                            cell.confidence = cell.confidence.min(DOUBTED);
                            doubts.push(Doubt::new(
                                Some(row),
                                Code::NUMBER_AMBIGUOUS,
                                format!(
                                    "{}: {} stands in brackets; it was read as {}. Brackets may mean that it is estimated, of another motor, or below zero.",
                                    plan.name,
                                    cell.raw.shown(),
                                    only.value.normalize()
                                ),
                            ));
                        }
                    } else {
                        cell.value = Reading::Several(
                            read.amounts
                                .iter()
                                .map(|amount| to_usual(amount.value, amount.unit))
                                .collect(),
                        );
                    }
                    plain = Some(read);
                }
                None if cell::is_date(grid.text(index)) => a_date(&mut cell, plan, row, doubts),
                None => {
                    if reads.is_reading() && spoken.says(index, Spoken::STANDBY) {
                        cell.say("the motor stands by, no value");
                    } else if spoken.says(index, Spoken::ALSO_BLANK) {
                        cell.say("no value");
                    } else {
                        cell.say("words, no value");
                    }
                }
            }
        }
        Content::Date(_) => a_date(&mut cell, plan, row, doubts),
        Content::Failed(_) | Content::NotStored => {
            if reads != Reads::Load {
                doubts.push(Doubt::new(
                    Some(row),
                    Code::FORMULA_WITHOUT_VALUE,
                    format!("{}: the cell holds a formula without a result.", plan.name),
                ));
            }
            cell.say("a formula without a result");
        }
        Content::Truth(_) => {
            doubts.push(Doubt::new(
                Some(row),
                Code::TEXT_NOT_READ,
                format!(
                    "{}: {} is no number; {} stays empty.",
                    plan.name,
                    cell.raw.shown(),
                    reads.title().to_lowercase()
                ),
            ));
            cell.say("yes or no, no value");
        }
    }
    let said = plain
        .as_ref()
        .is_some_and(|plain| plain.amounts.iter().any(|amount| amount.unit.is_some()));
    if let Some(foreign) = &plan.column.heading.foreign
        && !said
    {
        from_foreign(&mut cell, foreign, reads.usual());
    } else if own == Some(PlateUnit::Kilovolt)
        && !said
        && let Reading::Several(values) = &cell.value
    {
        cell.value = Reading::Several(values.iter().map(|value| to_usual(*value, own)).collect());
    }
    match plan.column.heading.per {
        Some(per) => a_year(&mut cell, per),
        None if reads == Reads::HoursPerYear => of_a_day(&mut cell, row, doubts),
        None => {}
    }
    negative(&mut cell, row, doubts);
    Read { cell, plain, own }
}

/// Hours of a week or a month as hours of a year.
fn a_year(cell: &mut Cell, per: Per) {
    let (Some(hours), Some(times)) = (cell.one(), per.in_a_year()) else {
        return;
    };
    if let Some(value) = hours.checked_mul(Decimal::from(times)) {
        cell.value = Reading::One(value);
        cell.say(format!("{} h a {}, times {times}", hours.normalize(), per.word()));
    }
}

/// `24 h` among hours a year may be hours a day.
fn of_a_day(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let Some(hours) = cell
        .one()
        .filter(|hours| *hours > Decimal::ZERO && float(*hours) <= 24.0)
    else {
        return;
    };
    let written = cell.raw.text().chars().any(char::is_alphabetic);
    if !written && float(hours) != 24.0 {
        return;
    }
    cell.confidence = cell.confidence.min(DOUBTED);
    doubts.push(Doubt::new(
        Some(row),
        Code::NUMBER_AMBIGUOUS,
        format!(
            "{}: {} was read as {} hours a year; as hours a day it would be {} a year.",
            cell.column,
            cell.raw.shown(),
            hours.normalize(),
            hours.saturating_mul(Decimal::from(365)).normalize()
        ),
    ));
}

/// A day where a number is expected: told, and used only where it is a fraction that a spreadsheet made a day of.
fn a_date(cell: &mut Cell, plan: &Plan<'_>, row: u32, doubts: &mut Vec<Doubt>) {
    let expected = plan.reads.title().to_lowercase();
    let raw = cell.raw.text();
    let fraction = (plan.reads == Reads::RatedPower)
        .then(|| fraction_of_date(&raw))
        .flatten();
    let told = match &fraction {
        Some((shown, _)) => {
            format!("a fraction turned into it and was read as {shown}. Look at the plate.")
        }
        None => "a fraction may have turned into it.".to_owned(),
    };
    doubts.push(Doubt::new(
        Some(row),
        Code::DATE_FOR_NUMBER,
        format!(
            "{}: the cell is the date {}, where {expected} is expected; {told}",
            plan.name,
            cell.raw.shown()
        ),
    ));
    match fraction {
        Some((shown, value)) => {
            scaled(cell, plan, value, None, row, doubts);
            cell.say(format!("a date, read as the fraction {shown}"));
            cell.confidence = cell.confidence.min(DOUBTED);
        }
        None => cell.say("a date, no value"),
    }
}

/// Zero where a motor has a size of it: a sign for no value, as forms and data bases write it.
fn zero(reads: Reads, cell: &mut Cell, row: u32, zeros: &mut BTreeMap<(Reads, Arc<str>), Vec<u32>>) {
    let may_be_zero = matches!(
        reads,
        Reads::Poles
            | Reads::HoursPerYear
            | Reads::HoursPerDay
            | Reads::DaysPerYear
            | Reads::Quantity
            | Reads::QuantityRunning
            | Reads::QuantityStandby
            | Reads::Load
    );
    if reads.sort() == Sort::Text || may_be_zero || cell.all().is_empty() || !cell.all().iter().all(Decimal::is_zero) {
        return;
    }
    cell.value = Reading::Nothing;
    cell.say("zero, no value");
    zeros.entry((reads, cell.column.clone())).or_default().push(row);
}

/// Nothing that is read in a list is below zero: such a value is told and not used.
fn negative(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let below = |value: &Decimal| value.is_sign_negative() && !value.is_zero();
    if !cell.all().iter().any(below) {
        return;
    }
    doubts.push(Doubt::new(
        Some(row),
        Code::VALUE_NEGATIVE,
        format!(
            "{}: {} is below zero, which cannot be; it was not used. Without its sign it would be {}.",
            cell.column,
            cell.raw.shown(),
            joined(cell.all().iter().map(Decimal::abs)),
        ),
    ));
    cell.value = Reading::Nothing;
    cell.say("below zero, no value");
}

/// Numbers beside each other.
fn joined(values: impl Iterator<Item = Decimal>) -> String {
    let shown: Vec<String> = values.map(|value| value.normalize().to_string()).collect();
    shown.join("/")
}

/// Numbers of a column in a unit that no plate has, in the unit their quantity is kept in.
fn from_foreign(cell: &mut Cell, from: &Unit, to: PlateUnit) {
    let Ok(target) = Unit::parse(to.text()) else { return };
    let told = |value: &Decimal| {
        let number = convert(*value, from, &target).ok()?;
        number.to_decimal().map(|value| value.normalize())
    };
    let value = match &cell.value {
        Reading::One(value) => told(value).map(Reading::One),
        Reading::Several(values) => values.iter().map(told).collect::<Option<_>>().map(Reading::Several),
        _ => return,
    };
    match value {
        Some(value) => {
            cell.value = value;
            cell.unit = to;
            cell.say(format!("written in {}", from.text));
        }
        None => {
            cell.value = Reading::Nothing;
            cell.say("too large or too small to be a reading");
        }
    }
}

/// Volts of kilovolts.
fn to_usual(value: Decimal, unit: Option<PlateUnit>) -> Decimal {
    match unit {
        Some(PlateUnit::Kilovolt) => value.checked_mul(Decimal::ONE_THOUSAND).unwrap_or(value),
        _ => value,
    }
}

/// Puts a number into the cell, on the scale of its column.
fn scaled(
    cell: &mut Cell,
    plan: &Plan<'_>,
    value: Decimal,
    unit: Option<PlateUnit>,
    row: u32,
    doubts: &mut Vec<Doubt>,
) {
    let hundred = Decimal::ONE_HUNDRED;
    let fraction_limit = Decimal::new(15, 1);
    let times = |value: Decimal| value.checked_mul(hundred).unwrap_or(value).normalize();
    let over = |value: Decimal| value.checked_div(hundred).unwrap_or(value).normalize();
    let is_fraction = value.abs() <= fraction_limit;
    let tell = |cell: &mut Cell, doubts: &mut Vec<Doubt>, code: Code, shown: String| {
        cell.say(format!("read as {shown}"));
        cell.confidence = cell.confidence.min(85);
        doubts.push(Doubt::new(
            Some(row),
            code,
            format!(
                "{}: {} stands on another scale than its column; read as {shown}.",
                plan.name,
                cell.raw.shown()
            ),
        ));
    };
    match plan.reads {
        Reads::Efficiency => {
            let read = if is_fraction { times(value) } else { value };
            let off_scale =
                unit.is_none() && is_fraction == plan.percent || unit == Some(PlateUnit::Percent) && is_fraction;
            if off_scale && !value.is_zero() {
                tell(cell, doubts, Code::EFFICIENCY_SCALE, format!("{} %", read.normalize()));
            }
            cell.value = Reading::One(read);
        }
        Reads::PowerFactor => {
            let read = if is_fraction && unit != Some(PlateUnit::Percent) {
                value
            } else {
                over(value)
            };
            if unit.is_none() && is_fraction == plan.percent && !value.is_zero() {
                tell(cell, doubts, Code::POWER_FACTOR_SCALE, read.normalize().to_string());
            }
            cell.value = Reading::One(read);
        }
        // Among per cents 0.7 may be 70 % or a motor that idles: the value stays, and is doubted.
        Reads::Load if unit.is_none() && is_fraction && plan.percent && !value.is_zero() => {
            cell.value = Reading::One(value);
            cell.confidence = cell.confidence.min(DOUBTED);
            doubts.push(Doubt::new(
                Some(row),
                Code::NUMBER_AMBIGUOUS,
                format!(
                    "{}: {} stands among per cents; it was read as {} %, and may be meant as {} %.",
                    plan.name,
                    cell.raw.shown(),
                    value.normalize(),
                    times(value)
                ),
            ));
        }
        // A column of shares; where its heading says per cent, both are told.
        Reads::Load if unit.is_none() && is_fraction && !value.is_zero() => {
            cell.value = Reading::One(times(value));
            cell.say(format!("a share, read as {} %", times(value)));
            if plan.name.contains('%') || plan.column.unit == Some(PlateUnit::Percent) {
                cell.confidence = cell.confidence.min(DOUBTED);
                doubts.push(Doubt::new(
                    Some(row),
                    Code::NUMBER_AMBIGUOUS,
                    format!(
                        "{}: all of the column are shares under per cent; {} was read as {} %, and may be meant as {} %.",
                        plan.name,
                        cell.raw.shown(),
                        times(value),
                        value.normalize()
                    ),
                ));
            }
        }
        _ => {
            if plan.column.unit == Some(PlateUnit::Kilovolt)
                && unit.is_none()
                && matches!(plan.reads, Reads::Voltage | Reads::MeasuredVoltage)
            {
                cell.unit = PlateUnit::Volt;
                cell.value = Reading::One(to_usual(value, Some(PlateUnit::Kilovolt)));
                return;
            }
            if let Some(unit) = unit
                && plan.reads != Reads::RatedPower
                && unit != PlateUnit::Kilovolt
            {
                if !unit.fits(plan.reads) {
                    doubts.push(not_in_unit(cell, unit.text(), row));
                    return;
                }
                cell.unit = unit;
            } else if unit == Some(PlateUnit::Kilovolt) {
                cell.unit = PlateUnit::Volt;
            }
            if cell.unit == PlateUnit::Watt && plan.reads != Reads::RatedPower {
                cell.unit = PlateUnit::Kilowatt;
                cell.value = Reading::One(value.checked_div(Decimal::ONE_THOUSAND).unwrap_or(value));
                cell.say("written in W");
                return;
            }
            cell.value = Reading::One(value);
        }
    }
}

/// A sign that parts thousands or decimals: both readings are kept; a doubt only where nothing settles it.
fn ambiguous(cell: &mut Cell, plan: &Plan<'_>, value: Decimal, other: Decimal, row: u32, doubts: &mut Vec<Doubt>) {
    cell.say(format!("could also be {}", other.normalize()));
    // A speed or a number of hours below 10 would be no reading at all.
    let settled = plan.writing.whole && float(other) < 10.0 && float(value) >= 100.0;
    if !settled {
        cell.confidence = cell.confidence.min(DOUBTED);
        doubts.push(Doubt::new(
            Some(row),
            Code::NUMBER_AMBIGUOUS,
            format!(
                "{}: {} was read as {}; it could also be {}.",
                plan.name,
                cell.raw.shown(),
                value.normalize(),
                other.normalize()
            ),
        ));
    }
}

/// The fraction that a spreadsheet turned into this date (`2026-03-04` of `3/4`): month and day in either order are a fraction
/// below one, as ratings are given.
fn fraction_of_date(shown: &str) -> Option<(String, Decimal)> {
    let mut parts = shown.get(..10)?.split('-').skip(1);
    let (month, day): (u32, u32) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    let (over, under) = (month.min(day), month.max(day));
    let known = matches!(
        (over, under),
        (1, 2..=4 | 6 | 8 | 10 | 12) | (2, 3) | (3, 4 | 8) | (5, 8) | (7, 8)
    );
    let value = Decimal::from(over).checked_div(Decimal::from(under))?;
    known.then(|| (format!("{over}/{under}"), value.round_dp(8).normalize()))
}

/// Two quantities in one column: `0.86 / 92.4` under power factor and efficiency, `400 / 28.5` under volts and amps.
fn two_in_one(
    grid: &Grid,
    plan: &Plan<'_>,
    both: [Reads; 2],
    content: Content,
    raw: Raw,
    spoken: &mut Spoken<'_>,
) -> Vec<(Reads, Cell)> {
    let cell = |reads: Reads, value: Reading, confidence: u8, note: &str| {
        (
            reads,
            Cell {
                raw: raw.clone(),
                column: plan.name.clone(),
                value,
                unit: reads.usual(),
                confidence,
                note: Some(Arc::from(note)),
            },
        )
    };
    let ratios = both
        .iter()
        .all(|reads| matches!(reads, Reads::PowerFactor | Reads::Efficiency));
    let one = |reads: Reads, text: &str| -> Option<(Decimal, PlateUnit)> {
        let plain = cell::read(reads, text, plan.writing)?;
        let [only] = plain.amounts.as_slice() else { return None };
        let value = to_usual(only.value, only.unit);
        let hundred = Decimal::ONE_HUNDRED;
        let small = value.abs() <= Decimal::new(15, 1);
        let value = match reads {
            Reads::Efficiency if small => value.checked_mul(hundred)?,
            Reads::PowerFactor if !small => value.checked_div(hundred)?,
            _ => value,
        };
        let unit = match (reads, only.unit) {
            (Reads::RatedPower, unit) => unit
                .or(plan.column.unit)
                .filter(|unit| unit.fits(reads))
                .unwrap_or(PlateUnit::Kilowatt),
            _ => reads.usual(),
        };
        Some((value.normalize(), unit))
    };
    let text = match content {
        Content::Text(index) if spoken.says(index, Spoken::ALSO_BLANK) => {
            return both.map(|reads| cell(reads, Reading::Nothing, 90, "no value")).into();
        }
        Content::Text(index) => grid.text(index).to_owned(),
        other => grid.shown(other),
    };
    let parts: Vec<&str> = text.split(['/', '|', ';']).map(str::trim).collect();
    let known = |value: Option<(Decimal, PlateUnit)>, reads: Reads, note: &str| match value {
        Some((value, unit)) => {
            let (reads, mut cell) = cell(reads, Reading::One(value), 90, note);
            cell.unit = unit;
            (reads, cell)
        }
        None => cell(reads, Reading::Nothing, 90, "no value"),
    };
    let [first, second] = both;
    match parts.as_slice() {
        [a, b] => {
            let order = if ratios && swapped(first, a, b, plan.writing) {
                [b, a]
            } else {
                [a, b]
            };
            let [a, b] = order;
            vec![
                known(one(first, a), first, "one of two in the cell"),
                known(one(second, b), second, "one of two in the cell"),
            ]
        }
        [only] if ratios => {
            // A number alone tells by its size what it is.
            let large = cell::read(Reads::Efficiency, only, plan.writing)
                .and_then(|plain| plain.amounts.first().map(|amount| float(amount.value) > 1.5));
            match large {
                Some(large) => {
                    let reads = if large { Reads::Efficiency } else { Reads::PowerFactor };
                    let (reads, mut cell) = known(one(reads, only), reads, "alone in a cell for two; told by its size");
                    cell.confidence = 60;
                    vec![(reads, cell)]
                }
                None => vec![cell(first, Reading::Nothing, 50, "words, no value")],
            }
        }
        [only] => vec![known(
            one(first, only),
            first,
            "alone in a cell for two; taken as the first",
        )],
        _ => vec![cell(first, Reading::Nothing, 50, "words, no value")],
    }
}

/// Whether the first number is plainly the second quantity: a power factor above 1.5 is an efficiency in per cent, and the other way
/// round.
fn swapped(first: Reads, a: &str, b: &str, writing: Writing) -> bool {
    let size = |text: &str| {
        cell::read(Reads::Efficiency, text, writing)
            .and_then(|plain| plain.amounts.first().map(|amount| float(amount.value)))
    };
    match (size(a), size(b)) {
        (Some(a), Some(b)) if first == Reads::PowerFactor => a > 1.5 && b <= 1.5,
        (Some(a), Some(b)) => a <= 1.5 && b > 1.5,
        _ => false,
    }
}

/// The quantities of a whole nameplate in one cell, where no column of their own gives them. What of the plate is not read is told.
fn plates(motor: &mut Motor, plan: &Plan<'_>, doubts: &mut Vec<Doubt>) {
    let Some(from) = motor.cell(plan.reads) else { return };
    let Reading::Words(text) = from.value.clone() else {
        return;
    };
    let mut found = cell::plate(&text, plan.writing.comma);
    let row = motor.source_row;
    let mut tell =
        |code: Code, text: String| doubts.push(Doubt::new(Some(row), code, format!("{}: {text}", plan.name)));
    if motor.one(Reads::RatedSpeed).is_none()
        && let Some(speed) = lone_speed(&mut found, motor, plan.writing.comma)
    {
        tell(
            Code::NUMBER_AMBIGUOUS,
            format!(
                "{} stands without a name on the plate; it was taken as the speed in r/min, as it would be one of {} poles at {} Hz.",
                speed.0.normalize(),
                speed.1,
                speed.2
            ),
        );
    }
    let left = std::mem::take(&mut found.left);
    let is_plate = found.len() >= 2 || matches!(plan.reads, Reads::Nameplate | Reads::Model) && !left.is_empty();
    if is_plate && !left.is_empty() {
        let read = if found.is_empty() && found.words.is_empty() {
            ", and nothing else stands there"
        } else {
            ""
        };
        tell(
            Code::PLATE_NOT_ALL_READ,
            format!("not read: {}{read}.", shown(&left.join(", "))),
        );
    }
    let cell = |value: Reading, unit: PlateUnit| Cell {
        raw: Raw::Text(text.clone()),
        column: plan.name.clone(),
        value,
        unit,
        confidence: 85,
        note: Some(Arc::from("from the nameplate in one cell")),
    };
    let mut further: Vec<(Reads, Cell)> = Vec::new();
    for (reads, amounts) in found.numbers {
        let unit = amounts.iter().rev().find_map(|amount| amount.unit);
        let usual = match (reads, unit) {
            (Reads::RatedPower, Some(unit)) => unit,
            _ => reads.usual(),
        };
        let values: Vec<Decimal> = amounts
            .iter()
            .filter(|amount| reads != Reads::RatedPower || amount.unit == amounts.first().and_then(|first| first.unit))
            .map(|amount| to_usual(amount.value, amount.unit))
            .map(|value| match reads {
                Reads::PowerFactor if float(value) > 1.5 => value.checked_div(Decimal::ONE_HUNDRED).unwrap_or(value),
                Reads::Efficiency if float(value) <= 1.5 => value.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(value),
                _ => value,
            })
            .map(|value| value.normalize())
            .collect();
        let unit = match reads {
            // One rating in two units: the first.
            Reads::RatedPower => amounts.first().and_then(|first| first.unit).unwrap_or(usual),
            _ => usual,
        };
        let (values, unit) = if unit == PlateUnit::Watt {
            let kilowatts = |value: &Decimal| value.checked_div(Decimal::ONE_THOUSAND).unwrap_or(*value);
            (values.iter().map(kilowatts).collect(), PlateUnit::Kilowatt)
        } else {
            (values, unit)
        };
        let value = match values.as_slice() {
            [only] => Reading::One(*only),
            _ => Reading::Several(values.into()),
        };
        let mut cell = cell(value, unit);
        if reads == Reads::RatedPower {
            let given: Vec<_> = amounts
                .iter()
                .filter_map(|amount| Some((amount.value, amount.unit?)))
                .collect();
            doubts.extend(ratings_disagree(&mut cell, &given, row));
        }
        if reads == Reads::Poles {
            in_pairs(&mut cell, row, doubts);
        }
        if reads == Reads::RatedSpeed
            && amounts
                .iter()
                .any(|amount| amount.unit.is_none() && amount.other == LONE)
        {
            cell.confidence = DOUBTED;
            cell.say("a number without a name, taken as the speed");
        }
        further.push((reads, cell));
    }
    for (reads, word) in found.words {
        further.push((reads, cell(Reading::Words(Arc::from(word)), PlateUnit::One)));
    }
    for (reads, cell) in further {
        match motor.cell_mut(reads) {
            Some(known) if known.value == Reading::Nothing => *known = cell,
            Some(known) => doubts.extend(plate_differs(reads, known, &cell, row)),
            None => motor.cells.push((reads, cell)),
        }
    }
}

/// A value in the unit that a column of units gives for it.
fn in_unit(read: &mut Read, plan: &Plan<'_>, unit: &str, row: u32) -> Option<Doubt> {
    let own = read
        .plain
        .as_ref()
        .is_some_and(|plain| plain.amounts.iter().any(|amount| amount.unit.is_some()));
    if own || plan.reads == Reads::RatedPower || unit.trim().is_empty() || read.cell.value == Reading::Nothing {
        return None;
    }
    let unit = unit.trim();
    let written = match words::folded(unit).as_str() {
        "rps" | "u/s" | "tr/s" => "r/s".to_owned(),
        _ => match cell::units_only(unit).first() {
            Some(known) if known.fits(plan.reads) => known.text().to_owned(),
            _ => unit.to_owned(),
        },
    };
    let usual = plan.reads.usual().text();
    if written == usual {
        return None;
    }
    let (Ok(from), Ok(to)) = (Unit::parse(&written), Unit::parse(usual)) else {
        return Some(not_in_unit(&mut read.cell, unit, row));
    };
    if convert(Decimal::ONE, &from, &to).is_err() {
        return Some(not_in_unit(&mut read.cell, unit, row));
    }
    from_foreign(&mut read.cell, &from, plan.reads.usual());
    None
}

/// A value whose unit is none of its quantity: not used.
fn not_in_unit(cell: &mut Cell, unit: &str, row: u32) -> Doubt {
    cell.value = Reading::Nothing;
    cell.say(format!("in {unit}, no value"));
    Doubt::new(
        Some(row),
        Code::TEXT_NOT_READ,
        format!(
            "{}: {} stands in {}, which is no unit of it; it was not used.",
            cell.column,
            cell.raw.shown(),
            shown(unit)
        ),
    )
}

/// The readings of a row under the plate of the same motor.
fn below(motor: &mut Motor, readings: Motor) {
    for (reads, mut cell) in readings.cells {
        let measured = match reads {
            Reads::RatedPower => Reads::MeasuredPower,
            Reads::RatedCurrent => Reads::MeasuredCurrent,
            Reads::Voltage | Reads::Supply => Reads::MeasuredVoltage,
            Reads::RatedSpeed => Reads::MeasuredSpeed,
            Reads::MeasuredPower
            | Reads::MeasuredCurrent
            | Reads::MeasuredVoltage
            | Reads::MeasuredSpeed
            | Reads::OutputFrequency
            | Reads::HoursPerYear
            | Reads::Remarks => reads,
            _ => continue,
        };
        // What is implied or filled in from above is no reading.
        if cell.column.is_empty() || cell.value == Reading::Nothing {
            continue;
        }
        cell.say(format!("measured, of source row {}", readings.source_row));
        match motor.cell_mut(measured) {
            Some(known) if known.value == Reading::Nothing => *known = cell,
            Some(_) => {}
            None => motor.cells.push((measured, cell)),
        }
    }
    motor.cells.sort_by_key(|(reads, _)| *reads);
}

/// Plate currents of both connections, in the order of the voltages they belong to: delta with the lower one.
fn connections(motor: &mut Motor, mut by_connection: Vec<(Connection, Cell)>) {
    by_connection.retain(|(_, cell)| cell.one().is_some());
    by_connection.sort_by_key(|(connection, _)| *connection);
    let volts = motor
        .cell(Reads::Voltage)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    if let [first, second] = volts.as_slice()
        && first > second
    {
        by_connection.reverse();
    }
    let raw: Vec<String> = by_connection.iter().map(|(_, cell)| cell.raw.text()).collect();
    let names: Vec<&str> = by_connection.iter().map(|(_, cell)| cell.column.as_ref()).collect();
    let values: Vec<Decimal> = by_connection.iter().filter_map(|(_, cell)| cell.one()).collect();
    let Some((_, first)) = by_connection.first() else {
        return;
    };
    let mut cell = first.clone();
    cell.raw = Raw::Text(Arc::from(raw.join(" | ")));
    cell.column = Arc::from(names.join(" | "));
    if values.len() > 1 {
        cell.value = Reading::Several(values.into());
    }
    motor.cells.push((Reads::RatedCurrent, cell));
}

/// Phases so far apart that their mean says little. The limits are common practice, no source.
fn unequal(cell: &mut Cell, values: &[Option<Decimal>], row: u32) -> Option<Doubt> {
    const SMALL: f64 = 0.10;
    let known: Vec<f64> = values.iter().flatten().copied().map(float).collect();
    let mean = known.iter().sum::<f64>() / known.len() as f64;
    let (least, most) = (
        known.iter().copied().fold(f64::MAX, f64::min),
        known.iter().copied().fold(0.0, f64::max),
    );
    if known.len() < 2 || mean <= 0.0 || (most - mean).max(mean - least) <= SMALL * mean {
        return None;
    }
    let shown: Vec<String> = values
        .iter()
        .flatten()
        .map(|value| value.normalize().to_string())
        .collect();
    let apart = least < 0.5 * most;
    cell.confidence = cell.confidence.min(if apart { DOUBTED } else { 70 });
    let doubt = Doubt::new(
        Some(row),
        Code::PHASES_UNEQUAL,
        format!(
            "{}: {} are far apart, {}.",
            cell.column,
            shown.join(", "),
            if apart {
                "as on two phases or with a clamp not closed; their mean says nothing of the load"
            } else {
                "more than a tenth off their mean"
            }
        ),
    );
    Some(if apart { doubt.as_severe(Severity::Error) } else { doubt })
}

/// Three phases in one cell in other dress: `11.2 11.0 10.9`, `11.2, 11.0, 10.9`, `L1=11.2 L2=11.0 L3=10.9`.
fn phases_in(reads: Reads, text: &str, writing: Writing) -> Option<Plain> {
    if !matches!(reads, Reads::MeasuredCurrent | Reads::MeasuredVoltage) || text.len() > 80 {
        return None;
    }
    let apart = text
        .replace([';', '|'], " ")
        .replace(", ", " ")
        .replace("= ", "=")
        .replace(": ", ":");
    let mut amounts = Vec::new();
    for token in apart.split_whitespace() {
        let value = token.rsplit(['=', ':']).next().unwrap_or(token);
        let is_unit = !cell::units_only(token).is_empty();
        if is_unit && !amounts.is_empty() {
            continue;
        }
        let plain = cell::read(reads, value, writing)?;
        let [only] = plain.amounts.as_slice() else { return None };
        amounts.push(*only);
    }
    (amounts.len() == 3).then(|| Plain {
        amounts,
        ..Plain::default()
    })
}

/// Marks an amount that stood without a name.
const LONE: Option<Decimal> = Some(Decimal::NEGATIVE_ONE);

/// A number of the plate without a name that can be its speed and nothing else: taken into what was found. Gives the speed, and the
/// poles and frequency it would be of.
fn lone_speed(found: &mut cell::PlateText, motor: &Motor, comma: bool) -> Option<(Decimal, f64, f64)> {
    if found.len() < 2 || found.numbers.iter().any(|(reads, _)| *reads == Reads::RatedSpeed) {
        return None;
    }
    let on_plate = |reads: Reads| {
        let (_, amounts) = found.numbers.iter().find(|(known, _)| *known == reads)?;
        amounts.first().map(|amount| float(amount.value))
    };
    let hertz = on_plate(Reads::Frequency).or_else(|| motor.float(Reads::Frequency));
    let fits = |speed: f64| {
        [50.0, 60.0]
            .into_iter()
            .filter(|known| hertz.is_none_or(|hertz| hertz == *known))
            .find_map(|hertz| {
                let pairs = (60.0 * hertz / speed).floor();
                let slip = 1.0 - speed * pairs / (60.0 * hertz);
                ((1.0..=8.0).contains(&pairs) && (0.002..0.09).contains(&slip)).then_some((2.0 * pairs, hertz))
            })
    };
    let mut able = found.left.iter().enumerate().filter_map(|(place, text)| {
        let (value, _) = cell::number(text, Writing { comma, whole: true }).filter(|_| is_digits(text))?;
        let (poles, hertz) = fits(float(value))?;
        Some((place, value, poles, hertz))
    });
    let (place, value, poles, hertz) = able.next()?;
    if able.next().is_some() {
        return None;
    }
    found.left.remove(place);
    found.numbers.push((
        Reads::RatedSpeed,
        vec![cell::Amount {
            value,
            unit: None,
            other: LONE,
        }],
    ));
    Some((value, poles, hertz))
}

fn is_digits(text: &str) -> bool {
    text.bytes()
        .all(|sign| sign.is_ascii_digit() || matches!(sign, b'.' | b','))
}

/// What the plate says beside a column of its own that says something else: the column holds, and both are told.
fn plate_differs(reads: Reads, known: &Cell, plate: &Cell, row: u32) -> Option<Doubt> {
    let (column, on_plate) = (known.one()?, plate.one()?);
    let same = match reads {
        Reads::RatedPower => same_power(column, known.unit, on_plate, plate.unit),
        _ => (float(column) - float(on_plate)).abs() <= 0.005 * float(column).abs(),
    };
    (!same).then(|| {
        Doubt::new(
            Some(row),
            Code::PLATE_DIFFERS,
            format!(
                "{} says {} {}, and the plate in {} says {} {}; the column was used.",
                known.column,
                column.normalize(),
                known.unit.text(),
                plate.column,
                on_plate.normalize(),
                plate.unit.text()
            ),
        )
    })
}

/// Whether the row as a whole stands by: its words say so and its quantity does not tell how many do. A column that says nothing
/// else goes before remarks.
fn standby_of(motor: &mut Motor, own: &Own, fed: &mut Fed, doubts: &mut Vec<Doubt>) -> bool {
    if motor.cell(Reads::QuantityStandby).is_some() {
        return false;
    }
    if let Some(stands_by) = counted_standby(motor, &own.words) {
        return stands_by;
    }
    if let Some(cell) = motor.cell(Reads::Standby) {
        let text = cell.raw.text();
        // A cross is a sign for nothing but under a heading of standing by alone.
        let said = crossed(text.trim(), &cell.column, &own.words)
            .or_else(|| find::stands_by_under(&cell.column, text.trim(), own));
        match said {
            Some(stands_by) => return stands_by,
            None if matches!(cell.value, Reading::Words(_)) && !motor.out_of_service => doubts.push(Doubt::new(
                Some(motor.source_row),
                Code::TEXT_NOT_READ,
                format!(
                    "{}: {} says neither that the motor is on duty nor that it stands by; it was taken as on duty.",
                    cell.column,
                    shown(text.trim())
                ),
            )),
            None => {}
        }
    }
    let by_type = motor
        .words(Reads::Model)
        .is_some_and(|text| own.words.is(text, "standby"));
    by_type
        || [Reads::Remarks, Reads::Description]
            .into_iter()
            .filter_map(|reads| motor.words(reads))
            .any(|text| fed.remark(text, &own.words).standby)
}

/// The doubt of a motor that neither runs nor stands by, as its words say: remarks, the columns that say what runs, types of loads,
/// and cells of readings.
fn out_of_service(motor: &Motor, reading: Option<Arc<str>>, fed: &mut Fed, of: &Words) -> Option<Doubt> {
    let words = [Reads::Remarks, Reads::Standby, Reads::Model, Reads::Description];
    let texts = words.into_iter().filter_map(|reads| {
        let cell = motor.cell(reads)?;
        let text = match &cell.value {
            Reading::Words(words) => words.clone(),
            // Such words are a sign for nothing in other columns.
            _ => match &cell.raw {
                Raw::Text(text) => text.clone(),
                _ => return None,
            },
        };
        Some((reads, text))
    });
    let said = texts
        .chain(reading.map(|text| (Reads::Load, text)))
        .find_map(|(reads, text)| {
            let said = fed.remark(&text, of);
            let alone = reads != Reads::Description && of.is(&text, "out_of_service_alone");
            if said.gone {
                Some((Code::MOTOR_GONE, "the motor may be gone", text))
            } else if said.out_of_service || alone {
                Some((Code::OUT_OF_SERVICE, "the motor is out of service", text))
            } else {
                None
            }
        });
    let (code, told, text) = said?;
    let doubt = Doubt::new(
        Some(motor.source_row),
        code,
        format!("{}: {told}. Its row is read; sums tell it apart.", quoted(&text)),
    );
    // A row struck through says it already.
    Some(if motor.struck {
        doubt.as_severe(Severity::Note)
    } else {
        doubt
    })
}

/// Whether a yes, a no or a cross under a heading of standing by alone says that the motor does. Under `Duty/Standby` it could be either.
fn crossed(text: &str, heading: &str, of: &Words) -> Option<bool> {
    if !of.headings_say(heading, "standby") || of.says(heading, "on_duty") {
        return None;
    }
    if is_cross(text) || of.is(text, "yes") {
        return Some(true);
    }
    of.is(text, "no").then_some(false)
}

/// A sign in a box to tick.
fn is_cross(text: &str) -> bool {
    matches!(words::folded(text).as_str(), "x" | "xx")
}

/// Whether all of the row's motors stand by where words count those that do, as in `2 duty, 1 standby`; the others run.
fn counted_standby(motor: &mut Motor, of: &Words) -> Option<bool> {
    let (from, standing) = [Reads::Standby, Reads::Remarks].into_iter().find_map(|reads| {
        let standing = of.counted(motor.words(reads)?, "standby")?;
        Some((motor.cell(reads)?.clone(), Decimal::from(standing)))
    })?;
    let count = motor.one(Reads::Quantity)?;
    if standing >= count {
        return Some(true);
    }
    for (reads, value) in [
        (Reads::QuantityRunning, count.saturating_sub(standing)),
        (Reads::QuantityStandby, standing),
    ] {
        motor.cells.push((
            reads,
            Cell {
                value: Reading::One(value),
                unit: PlateUnit::One,
                note: None,
                ..from.clone()
            },
        ));
    }
    Some(false)
}

/// `two`, `zwei` in a column of counts.
fn number_word(reads: Reads, text: &str, of: &Words) -> Option<Plain> {
    if reads != Reads::Quantity {
        return None;
    }
    let says = of.cells().whole(&words::folded(text)).first()?.says;
    let count: u32 = says.parse().ok()?;
    Some(Plain {
        amounts: vec![cell::Amount {
            value: Decimal::from(count),
            unit: None,
            other: None,
        }],
        note: Some("a word".to_owned()),
        ..Plain::default()
    })
}

/// The mean of three phases, the phases in the note.
fn mean(cell: &mut Cell, values: &[Option<Decimal>]) {
    let known: Vec<Decimal> = values.iter().copied().flatten().collect();
    if known.is_empty() {
        cell.value = Reading::Nothing;
        cell.say("no value");
        return;
    }
    let sum = known
        .iter()
        .try_fold(Decimal::ZERO, |sum, value| sum.checked_add(*value));
    let mean = sum.and_then(|sum| sum.checked_div(Decimal::from(known.len())));
    let shown: Vec<String> = known.iter().map(|value| value.normalize().to_string()).collect();
    match mean {
        Some(mean) => {
            // Two digits more than the readings have, at least four decimals.
            let decimals = known.iter().map(|value| value.normalize().scale()).max().unwrap_or(0);
            cell.value = Reading::One(mean.round_dp((decimals + 2).max(4)).normalize());
            let missing = values.len() - known.len();
            if missing > 0 {
                cell.say(format!(
                    "mean of {}; {missing} of {} phases missing",
                    shown.join(", "),
                    values.len()
                ));
                cell.confidence = cell.confidence.min(70);
            } else {
                cell.say(format!("mean of {}", shown.join(", ")));
            }
        }
        None => cell.say("too large to be a reading"),
    }
}

/// Currents in columns that name their voltage: the pair of voltages and currents.
fn voltages(motor: &mut Motor, by_voltage: Vec<Part<Decimal>>) {
    if by_voltage.is_empty() {
        return;
    }
    let raw: Vec<String> = by_voltage.iter().map(|(_, _, raw, _)| raw.text()).collect();
    let names: Vec<&str> = by_voltage.iter().map(|(.., name)| name.as_ref()).collect();
    let known: Vec<(Decimal, Decimal)> = by_voltage
        .iter()
        .filter_map(|(volts, current, ..)| Some((*volts, (*current)?)))
        .collect();
    let several = |values: Vec<Decimal>| match values.as_slice() {
        [] => Reading::Nothing,
        [only] => Reading::One(*only),
        _ => Reading::Several(values.into()),
    };
    let column: Arc<str> = Arc::from(names.join(" | "));
    let cell = |value, unit, raw| Cell {
        raw,
        column: column.clone(),
        value,
        unit,
        confidence: 95,
        note: None,
    };
    motor.cells.push((
        Reads::RatedCurrent,
        cell(
            several(known.iter().map(|(_, current)| *current).collect()),
            PlateUnit::Ampere,
            Raw::Text(Arc::from(raw.join(" | "))),
        ),
    ));
    if motor.cell(Reads::Voltage).is_none() {
        let mut voltage = cell(
            several(known.iter().map(|(volts, _)| *volts).collect()),
            PlateUnit::Volt,
            Raw::None,
        );
        voltage.say("from the heading of the currents");
        motor.cells.push((Reads::Voltage, voltage));
    }
}

/// The motor of several in its row that its columns are of, beside what the row says of them all.
fn named_by_heading(motor: &mut Motor, machine: &Arc<str>, often: &Often) {
    if let Some(cell) = motor.cell_mut(Reads::Description)
        && let Reading::Words(words) = &cell.value
    {
        cell.value = Reading::Words(Arc::from(format!("{words}, {machine}")));
        cell.say("with the machine that the headings name");
        return;
    }
    motor.cells.retain(|(reads, _)| *reads != Reads::Description);
    motor.cells.push((
        Reads::Description,
        Cell {
            raw: Raw::None,
            column: often.nothing.clone(),
            value: Reading::Words(machine.clone()),
            unit: PlateUnit::One,
            confidence: 85,
            note: Some(often.from_heading.clone()),
        },
    ));
}

/// Plate values in columns that name their frequency: pairs in the order of the frequencies, as if they stood in one cell.
fn frequencies(motor: &mut Motor, by_hertz: Vec<(Decimal, Reads, Cell)>, often: &Often) {
    // A column without a value says nothing of the plate.
    let (mut filled, empty): (Vec<_>, Vec<_>) = by_hertz
        .into_iter()
        .partition(|(.., cell)| cell.value != Reading::Nothing);
    filled.sort_by_key(|(hertz, ..)| *hertz);
    let mut hertz: Vec<Decimal> = filled.iter().map(|(hertz, ..)| *hertz).collect();
    hertz.dedup();
    if let Some(reading) = match hertz.as_slice() {
        [] => None,
        [only] => Some(Reading::One(*only)),
        several => Some(Reading::Several(several.into())),
    } && motor.cell(Reads::Frequency).is_none()
    {
        motor.cells.push((
            Reads::Frequency,
            Cell {
                raw: Raw::None,
                column: often.nothing.clone(),
                value: reading,
                unit: PlateUnit::Hertz,
                confidence: 85,
                note: Some(often.from_heading.clone()),
            },
        ));
    }
    for (at, reads, cell) in filled {
        let Some(known) = motor.cell_mut(reads) else {
            let mut cell = cell;
            if hertz.len() > 1 {
                cell.say(format!("at {} Hz", at.normalize()));
            }
            motor.cells.push((reads, cell));
            continue;
        };
        known.raw = Raw::Text(Arc::from(format!("{} | {}", known.raw.text(), cell.raw.text())));
        known.column = Arc::from(format!("{} | {}", known.column, cell.column));
        known.value = Reading::Several([known.all(), cell.all()].concat().into());
        known.confidence = known.confidence.min(cell.confidence);
        known.say(format!("at {} Hz", at.normalize()));
    }
    for (_, reads, cell) in empty {
        if motor.cell(reads).is_none() {
            motor.cells.push((reads, cell));
        }
    }
}

/// What the note of a quantity says that the tag gave.
pub(super) const BY_TAG: &str = "counted by the tag";

/// A tag for several motors counts them where no quantity is given: both readings are told.
fn tags(motor: &mut Motor, doubts: &mut Vec<Doubt>) {
    let Some(tag) = motor.words(Reads::Tag).cloned() else {
        return;
    };
    let tags = cell::tags_in(&tag);
    if tags.len() < 2 {
        return;
    }
    if let Some(cell) = motor.cell_mut(Reads::Tag) {
        cell.say(format!("{} motors: {}", tags.len(), tags.join(", ")));
    }
    if motor.one(Reads::Quantity).is_none() {
        doubts.push(Doubt::new(
            Some(motor.source_row),
            Code::COUNTED_BY_TAG,
            format!(
                "{} names {} motors ({}) and no quantity is given: counted as {}. If it is one motor, give a quantity of 1.",
                shown(&tag),
                tags.len(),
                shown(&tags.join(", ")),
                tags.len()
            ),
        ));
        motor.cells.retain(|(reads, _)| *reads != Reads::Quantity);
        motor.cells.push((
            Reads::Quantity,
            Cell {
                raw: Raw::None,
                column: Arc::from(""),
                value: Reading::One(Decimal::from(tags.len())),
                unit: PlateUnit::One,
                confidence: DOUBTED,
                note: Some(Arc::from(BY_TAG)),
            },
        ));
    }
}

/// Poles of pole pairs, by what the cell says it counts, else by its heading.
fn pole_pairs(read: &mut Read, pairs: bool) {
    let pairs = match read.plain.as_ref().and_then(|plain| plain.counted) {
        Some(counted) => counted == Counted::Pairs,
        None => pairs,
    };
    if !pairs || read.cell.value == Reading::Nothing {
        return;
    }
    let twice = |value: &Decimal| value.checked_mul(Decimal::TWO).unwrap_or(*value);
    read.cell.value = match &read.cell.value {
        Reading::One(value) => Reading::One(twice(value)),
        Reading::Several(values) => Reading::Several(values.iter().map(twice).collect()),
        other => other.clone(),
    };
    read.cell.say("given as pole pairs");
}

/// Poles come in pairs: another count is told and not used.
fn in_pairs(cell: &mut Cell, row: u32, doubts: &mut Vec<Doubt>) {
    let is_pair = |value: &Decimal| *value >= Decimal::TWO && (*value % Decimal::TWO).is_zero();
    if cell.all().iter().all(is_pair) {
        return;
    }
    let whole = cell
        .all()
        .iter()
        .all(|value| value.is_integer() && *value > Decimal::ZERO);
    let pairs = if whole {
        let twice = cell.all().iter().map(|value| value.saturating_mul(Decimal::TWO));
        format!(" If it counts pole pairs, there are {} poles.", joined(twice))
    } else {
        String::new()
    };
    doubts.push(Doubt::new(
        Some(row),
        Code::POLES_NOT_IN_PAIRS,
        format!(
            "{}: {} poles cannot be, as poles come in pairs; the count was not used.{pairs}",
            cell.column,
            cell.raw.shown()
        ),
    ));
    cell.value = Reading::Nothing;
    cell.say("not in pairs, no value");
}

/// Poles by plate speed and frequency where the list does not say them: 2 · floor(60 f / n).
fn poles(motor: &mut Motor, often: &Often) {
    if motor.one(Reads::Poles).is_some() {
        return;
    }
    let synchronous = motor.one(Reads::SynchronousSpeed);
    let speed = motor.one(Reads::RatedSpeed).or(synchronous);
    let (Some(speed), Some(hertz)) = (speed, motor.one(Reads::Frequency)) else {
        return;
    };
    let pairs = hertz
        .checked_mul(Decimal::from(60))
        .and_then(|turns| turns.checked_div(speed))
        .map(|pairs| pairs.floor());
    let Some(pairs) = pairs.filter(|pairs| *pairs >= Decimal::ONE && *pairs <= Decimal::from(60)) else {
        return;
    };
    let before = motor.cell(Reads::Poles).map(|cell| cell.raw.clone());
    motor.cells.retain(|(reads, _)| *reads != Reads::Poles);
    motor.cells.push((
        Reads::Poles,
        Cell {
            raw: before.unwrap_or(Raw::None),
            column: often.nothing.clone(),
            value: Reading::One(pairs * Decimal::TWO),
            unit: PlateUnit::One,
            confidence: 85,
            note: Some(often.implied.clone()),
        },
    ));
}

/// The words that say the motor is fed by a drive.
fn drive_of(motor: &Motor, fed: &mut Fed, of: &Words) -> Option<Arc<str>> {
    for reads in [Reads::Remarks, Reads::Drive, Reads::Converter] {
        let Some(cell) = motor.cell(reads) else { continue };
        let text = match &cell.value {
            Reading::Words(words) => words.clone(),
            // A cross is a sign for nothing but under a heading of drives.
            _ if reads != Reads::Remarks => Arc::from(cell.raw.text().trim()),
            _ => continue,
        };
        let said = fed.remark(&text, of);
        if said.not_drive {
            return None;
        }
        if said.drive || reads != Reads::Remarks && of.is(&text, "drive_code") {
            return Some(text);
        }
        if reads != Reads::Remarks && heads_drives(&cell.column, of) && is_filled(&text, of) {
            return Some(Arc::from(format!("{}: {text}", cell.column)));
        }
    }
    if let Some(cell) = motor.cell(Reads::OutputFrequency)
        && let Some(output) = cell.one().filter(|hertz| *hertz > Decimal::ZERO)
    {
        let supply = motor.one(Reads::Frequency);
        let near = |supply: Decimal| (float(output) / float(supply) - 1.0).abs() < 0.02;
        // A measured frequency that is the supply's is one of the supply.
        if heads_drives(&cell.column, of) || supply.is_some_and(|supply| !near(supply)) {
            return Some(Arc::from(format!("{}: {}", cell.column, output.normalize())));
        }
    }
    let text = motor.words(Reads::Description)?;
    fed.description(text).then(|| text.clone())
}

/// A rating with a sign that may part thousands or decimals: the plate's own volts and amps decide where only one of the two is at most
/// √3·V·I and no small part of it. Where they do not, the doubt is a warning: the two are a factor of thousand apart.
fn by_apparent(motor: &mut Motor, other: Decimal, doubts: &mut [Doubt]) {
    let (row, volts, amps) = (motor.source_row, motor.used_voltage, motor.used_current);
    let Some(cell) = motor.cell_mut(Reads::RatedPower) else {
        return;
    };
    let Some(value) = cell.one() else { return };
    let doubt = doubts.iter_mut().rev().find(|doubt| {
        doubt.source_row == Some(row) && doubt.code == Code::NUMBER_AMBIGUOUS && doubt.text.starts_with(&*cell.column)
    });
    let kilowatts = cell.unit.kilowatts().unwrap_or(1.0);
    let fits = |rating: Decimal| {
        let apparent = 3f64.sqrt() * volts.map_or(0.0, float) * amps.map_or(0.0, float) / 1000.0;
        apparent > 0.0 && (0.2..=1.05).contains(&(float(rating) * kilowatts / apparent))
    };
    let (read, instead) = match (fits(value), fits(other)) {
        (true, false) => (value, other),
        (false, true) => (other, value),
        _ => {
            if let Some(doubt) = doubt {
                doubt.severity = Severity::Warning;
            }
            return;
        }
    };
    cell.value = Reading::One(read);
    cell.say("decided by the volts and amps of the plate");
    cell.confidence = 80;
    if let Some(doubt) = doubt {
        doubt.severity = Severity::Note;
        doubt.text = format!(
            "{}: {} was read as {}, as the volts and amps of the plate say; {} would not go with them.",
            cell.column,
            cell.raw.shown(),
            read.normalize(),
            instead.normalize()
        );
    }
}

/// Hours a year of hours a day and days a year, where the list does not say them.
fn hours_by_day(motor: &mut Motor) {
    let (Some(hours), Some(days)) = (motor.one(Reads::HoursPerDay), motor.one(Reads::DaysPerYear)) else {
        return;
    };
    let possible = float(hours) <= 24.0 && float(days) <= 366.0;
    if !possible || motor.one(Reads::HoursPerYear).is_some() {
        return;
    }
    let Some(mut cell) = motor.cell(Reads::HoursPerDay).cloned() else {
        return;
    };
    cell.value = Reading::One(hours.saturating_mul(days).normalize());
    cell.confidence = cell.confidence.min(85);
    cell.say(format!(
        "{} h a day on {} days a year",
        hours.normalize(),
        days.normalize()
    ));
    motor.cells.retain(|(reads, _)| *reads != Reads::HoursPerYear);
    motor.cells.push((Reads::HoursPerYear, cell));
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

/// The output frequency in the words that say the motor is fed by a drive: `FU 42 Hz`, `on VFD at 42 Hz`. A range is none.
fn output_in_words(motor: &mut Motor) {
    let Some(text) = motor.drive.clone() else { return };
    if motor.one(Reads::OutputFrequency).is_some() {
        return;
    }
    let lower = text.to_ascii_lowercase();
    let Some(before) = lower.find("hz").and_then(|place| lower.get(..place)).map(str::trim_end) else {
        return;
    };
    let digits = before
        .chars()
        .rev()
        .take_while(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ','))
        .count();
    let Some((lead, number)) = before
        .len()
        .checked_sub(digits)
        .and_then(|start| before.split_at_checked(start))
    else {
        return;
    };
    let ranges = lead.trim_end().ends_with(['-', '–', '/', '…'])
        || words::words(lead)
            .last()
            .is_some_and(|word| matches!(word.as_str(), "to" | "bis" | "a" | "max" | "min"));
    let hertz = number.replace(',', ".").parse::<Decimal>().ok();
    let Some(hertz) = hertz.filter(|hertz| !ranges && (5.0..=120.0).contains(&float(*hertz))) else {
        return;
    };
    motor.cells.retain(|(reads, _)| *reads != Reads::OutputFrequency);
    motor.cells.push((
        Reads::OutputFrequency,
        Cell {
            raw: Raw::Text(text),
            column: Arc::from(""),
            value: Reading::One(hertz.normalize()),
            unit: PlateUnit::Hertz,
            confidence: 75,
            note: Some(Arc::from("from the words that say the motor is fed by a drive")),
        },
    ));
}

/// Whether a heading is of drives alone: under `Starter / VFD` the cell has to say which.
fn heads_drives(heading: &str, of: &Words) -> bool {
    let all = words::words(heading);
    let starts = |word: &String| {
        of.headings()
            .longest_at(std::slice::from_ref(word))
            .is_some_and(|phrase| phrase.says == "drive")
    };
    let names_drive = |word: &String| of.cells().whole(word).iter().any(|phrase| phrase.says == "drive");
    of.says(heading, "drive")
        && !all
            .iter()
            .any(|word| starts(word) && !names_drive(word) && word != "drive")
}

/// Whether a cell under a heading of drives says that there is one: anything but nothing, no and a starter on the line.
fn is_filled(text: &str, of: &Words) -> bool {
    !text.is_empty()
        && (is_cross(text) || !of.is(text, "blank"))
        && !of.is(text, "no")
        && !of.is(text, "line")
        && !of.begins(text, "taken_back_before")
        && !of.says(text, "line")
        && text.parse::<f64>() != Ok(0.0)
}

/// The member of a pair of voltages nearest the measured volts, else the supply, and the current that belongs to it.
fn used(motor: &mut Motor, supply: &Supply, doubts: &mut Vec<Doubt>) {
    let voltages: Vec<Decimal> = motor
        .cell(Reads::Voltage)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    let currents: Vec<Decimal> = motor
        .cell(Reads::RatedCurrent)
        .map(|cell| cell.all().to_vec())
        .unwrap_or_default();
    let near = motor.one(Reads::MeasuredVoltage).or(supply.volts);
    let chosen = match (voltages.as_slice(), near) {
        ([], _) => None,
        ([_], _) => Some(0),
        (several, Some(near)) => several
            .iter()
            .enumerate()
            .min_by_key(|(_, volts)| (**volts - near).abs())
            .map(|(index, _)| index),
        (_, None) => None,
    };
    let by_frequency = |reads: Reads, values: &[Decimal]| motor.chosen?.among(reads, values);
    let chosen = match motor.chosen {
        Some(of) if by_frequency(Reads::Voltage, &voltages).is_some() => Some(usize::from(of.which)),
        _ => chosen,
    };
    let of_frequency = by_frequency(Reads::RatedCurrent, &currents);
    motor.used_voltage = chosen.and_then(|index| voltages.get(index).copied());
    if let ([first, second], Some(used)) = (voltages.as_slice(), motor.used_voltage)
        && currents.len() < 2
        && let (low, high) = (float(*first.min(second)), float(*first.max(second)))
        && high / low < 1.2
        && let Some(cell) = motor.cell(Reads::Voltage)
    {
        let text = format!(
            "{}: {} is a range of voltages; {} V was used. The other end is {:.0} % off, and current and slip go with it.",
            cell.column,
            cell.raw.shown(),
            used.normalize(),
            (high / low - 1.0) * 100.0
        );
        doubts.push(Doubt::new(Some(motor.source_row), Code::SEVERAL_VALUES, text).as_severe(Severity::Warning));
    }
    motor.used_current = match (currents.as_slice(), chosen) {
        _ if of_frequency.is_some() => of_frequency,
        ([only], _) => Some(*only),
        (several, Some(index)) if several.len() == voltages.len() => several.get(index).copied(),
        _ => None,
    };
    if currents.len() > 1 && currents.len() != voltages.len() && of_frequency.is_none() {
        doubts.push(Doubt::new(
            Some(motor.source_row),
            Code::PAIR_UNMATCHED,
            format!(
                "{} currents stand beside {}; which belongs to the supply is not certain, so none was used.",
                currents.len(),
                match voltages.len() {
                    0 => "no voltage".to_owned(),
                    1 => "one voltage".to_owned(),
                    several => format!("{several} voltages"),
                }
            ),
        ));
    }
}

/// The line of a column map that says the unit of ratings.
pub(super) fn settling_line(heading: &str, unit: PlateUnit) -> String {
    format!(
        "column \"{}\" = rated_power in {}",
        shown(heading).replace('"', "\"\""),
        unit.text()
    )
}

/// The other one of kW and hp.
fn other_unit(unit: PlateUnit) -> PlateUnit {
    match unit {
        PlateUnit::Kilowatt => PlateUnit::Horsepower,
        _ => PlateUnit::Kilowatt,
    }
}

/// How often something stands in each column.
type Counts = HashMap<u16, usize>;

/// How often the comma and the point are decimal signs, column by column.
fn decimal_signs(grid: &Grid, table: &Table, used: &[&Column]) -> (Counts, Counts) {
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

fn quoted(text: &str) -> String {
    format!("\u{201c}{}\u{201d}", shown(text))
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
