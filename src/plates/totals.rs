//! Printed totals against the sums of their rows.
//!
//! For: every total of a list recomputed, the difference shown.
//! Always: several sums are tried, since lists count each row once, times its quantity, or without those that stand by or are out of
//! service; a total is doubted only where none of them agrees, and what of it does not run is told. What agrees with the totals above is compared with the rows
//! all the same.
//! Not known here: which of them the author meant.

use super::cell;
use super::find::{As, Column, Found, Table};
use super::motor::Doubt;
use super::pack::{At, Motors};
use super::reads::{PlateUnit, Reads, Sort, float};
use super::rows::{BY_TAG, Understood};
use super::said::{self, short};
use super::store::{Cell, Content, Grid};
use crate::fault::{Code, Severity, Words};

/// A printed total beside what its rows sum to.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Total {
    /// Row of the sheet, from 1.
    pub source_row: u32,
    /// Heading of the column it was compared with.
    pub column: String,
    /// As printed.
    pub printed: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// The sum that comes nearest.
    pub summed: f64,
    /// Which sum that is.
    pub how: String,
    /// Which rows it covers.
    pub covers: String,
    /// Rows it is made of.
    pub rows: usize,
    /// Printed less summed.
    pub difference: f64,
    /// Whether they agree, roundings aside.
    pub agrees: bool,
}

/// The ratings of a list, each times its quantity, by what runs.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Ratings {
    /// Unit of the sums.
    pub unit: &'static str,
    /// Of motors on duty.
    pub on_duty: f64,
    /// Of motors that stand by.
    pub standby: f64,
    /// Of motors that are out of service or gone, by their words or struck through.
    pub out_of_service: f64,
}

impl Ratings {
    /// Of these motors; none where all of them run.
    pub fn of(motors: &Motors, unit: PlateUnit) -> Option<Ratings> {
        let mut sums = [0.0; 3];
        for motor in motors.iter() {
            let Some(kilowatts) = motor.kilowatts() else { continue };
            let count = motor.float(Reads::Quantity).unwrap_or(1.0);
            let running = match motor.float(Reads::QuantityRunning) {
                _ if motor.out_of_service() || motor.standby() => 0.0,
                Some(running) => running,
                None => count,
            };
            let [on_duty, standby, out] = &mut sums;
            *on_duty += kilowatts * running;
            *(if motor.out_of_service() { out } else { standby }) += kilowatts * (count - running);
        }
        let factor = unit.kilowatts().unwrap_or(1.0);
        let [on_duty, standby, out_of_service] = sums.map(|sum| rounded(sum / factor));
        (standby > 0.0 || out_of_service > 0.0).then_some(Ratings {
            unit: unit.text(),
            on_duty,
            standby,
            out_of_service,
        })
    }

    /// In words.
    pub fn in_words(&self) -> String {
        let unit = self.unit;
        let told = |sum: f64, what: &str| (sum > 0.0).then(|| format!("{} {unit} {what}", short(sum)));
        let parts = [
            told(self.on_duty, "on duty"),
            told(self.standby, "standing by"),
            told(self.out_of_service, "out of service or gone"),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        format!("{}, each rating times its quantity", parts.join(", "))
    }
}

/// Printed totals against the sums of their rows.
pub fn compared(grid: &Grid, found: &Found, all: &Understood, doubts: &mut Vec<Doubt>) -> Vec<Total> {
    let mut totals = Vec::new();
    for (number, table) in found.tables.iter().enumerate() {
        let grid = found.grid_of(table, grid);
        let mut reader = Reader {
            grid,
            found,
            all,
            table,
            lines: lines(grid, table, all),
            totals: &mut totals,
            doubts,
        };
        if reader.lines.is_empty() {
            continue;
        }
        let mut motors = all.motors.iter().filter(|motor| motor.table() == number).peekable();
        for (place, called) in &table.rows {
            let Some((row, cells)) = grid.row_at(*place) else {
                continue;
            };
            match called {
                As::Motor => {
                    if let Some(motor) = motors.next_if(|motor| motor.source_row() == row + 1) {
                        reader.motor(row, cells, motor);
                    }
                }
                // What takes power and is no motor stands in printed totals too.
                As::Note if found.set_aside.iter().any(|(aside, _)| *aside == row) => reader.set_aside(row, cells),
                As::Total => reader.total(row, cells),
                _ => {}
            }
        }
    }
    totals
}

/// A column some total of the table is printed in, or that such a total is compared with.
struct Line<'a> {
    column: &'a Column,
    /// Ratings are summed in kW, other columns as they stand.
    unit: PlateUnit,
    is_rating: bool,
    since: Sums,
    whole: Sums,
    /// Totals printed so far, and their rows.
    printed: f64,
    printed_rows: Vec<u32>,
}

/// The columns that matter: the ratings, and those in which a row of totals holds a number.
fn lines<'a>(grid: &Grid, table: &'a Table, all: &Understood) -> Vec<Line<'a>> {
    let mut printed: Vec<u16> = Vec::new();
    for (place, _) in table.rows.iter().filter(|(_, called)| *called == As::Total) {
        for cell in grid.row_at(*place).map_or(&[][..], |(_, cells)| cells) {
            if !printed.contains(&cell.column) {
                printed.push(cell.column);
            }
        }
    }
    if printed.is_empty() {
        return Vec::new();
    }
    let rating = table.column(Reads::RatedPower).map(|column| column.column);
    let is_summed = |column: &&Column| {
        Some(column.column) == rating
            || printed.contains(&column.column)
                && match column.reads {
                    Some(Reads::AbsorbedPower | Reads::MeasuredPower | Reads::ApparentPower | Reads::Quantity) => true,
                    Some(Reads::RatedCurrent | Reads::MeasuredCurrent) => column.heading.at_voltage.is_none(),
                    Some(Reads::RatedPower) | None => true,
                    Some(_) => false,
                }
    };
    let lines = table.columns.iter().filter(is_summed).map(|column| {
        let is_rating = column.reads == Some(Reads::RatedPower);
        Line {
            column,
            unit: match column.reads {
                Some(Reads::RatedPower) => column
                    .unit
                    .filter(|unit| unit.kilowatts().is_some() && !all.other_power_unit)
                    .or(all.power_unit)
                    .unwrap_or(PlateUnit::Kilowatt),
                Some(reads) => column.unit.filter(|unit| unit.fits(reads)).unwrap_or(reads.usual()),
                None => column.unit.unwrap_or(PlateUnit::One),
            },
            is_rating,
            since: Sums::default(),
            whole: Sums::default(),
            printed: 0.0,
            printed_rows: Vec::new(),
        }
    });
    lines.collect()
}

struct Reader<'a, 'd> {
    grid: &'a Grid,
    found: &'a Found,
    all: &'a Understood,
    table: &'a Table,
    lines: Vec<Line<'a>>,
    totals: &'d mut Vec<Total>,
    doubts: &'d mut Vec<Doubt>,
}

impl Reader<'_, '_> {
    fn motor(&mut self, row: u32, cells: &[Cell], motor: At<'_>) {
        // A list without a count may print the total of all motors that its tags name.
        let by_tag = motor
            .cell(Reads::Quantity)
            .is_some_and(|cell| cell.note() == Some(BY_TAG));
        let count = motor.float(Reads::Quantity).unwrap_or(1.0);
        let running = match motor.float(Reads::QuantityRunning) {
            _ if motor.standby() && !motor.out_of_service() => 0.0,
            Some(running) => running,
            None => count,
        };
        for line in &mut self.lines {
            let value = match line.column.reads {
                Some(Reads::RatedPower) => motor.kilowatts(),
                Some(reads) => motor.float(reads),
                None => number(self.grid, cells, line.column.column),
            };
            if let Some(value) = value {
                for sums in [&mut line.since, &mut line.whole] {
                    sums.add(row, value, count, running, motor.out_of_service());
                    sums.by_tags |= by_tag;
                }
            }
        }
    }

    fn set_aside(&mut self, row: u32, cells: &[Cell]) {
        for line in &mut self.lines {
            let factor = line.factor();
            if let Some(value) = number(self.grid, cells, line.column.column) {
                for sums in [&mut line.since, &mut line.whole] {
                    sums.add(row, value * factor, 1.0, 1.0, false);
                }
            }
        }
    }

    fn total(&mut self, row: u32, cells: &[Cell]) {
        let rating = self.lines.iter().position(|line| line.is_rating);
        let rating_column = rating
            .and_then(|place| self.lines.get(place))
            .map(|line| line.column.column);
        let mut of_rating = cells.iter().any(|cell| Some(cell.column) == rating_column);
        let (mut told, mut compared) = (false, false);
        for cell in cells {
            let of_column = self
                .lines
                .iter()
                .position(|line| line.column.column == cell.column)
                .filter(|place| self.lines.get(*place).is_some_and(|line| line.whole.count > 0));
            // A total of the ratings often stands in a column that holds no numbers otherwise.
            let place = match of_column {
                Some(place) => place,
                None => match rating {
                    Some(place) if !of_rating && !self.has_numbers(cell.column) => place,
                    _ => continue,
                },
            };
            let Some(line) = self.lines.get(place) else { continue };
            // The doubt stands where the total is printed, and not at the ratings.
            let column = u32::from(cell.column) + 1;
            let read = match cell.content {
                Content::Number(number) => Some((number, None)),
                Content::Text(text) => line.printed_text(self.grid.text(text), of_column.is_some()),
                Content::NotStored | Content::Failed(_) => {
                    if !told {
                        let said = "The total is a formula without a stored result, so it was not compared.";
                        let doubt = Doubt::new(Some(row + 1), Code::FORMULA_WITHOUT_VALUE, said);
                        self.doubts.push(doubt.in_column(column));
                        told = true;
                    }
                    None
                }
                _ => None,
            };
            let Some((value, unit)) = read else { continue };
            of_rating |= Some(place) == rating;
            if let Some(line) = self.lines.get_mut(place) {
                let (total, doubt) = line.compared(row, value, unit);
                self.totals.extend(total);
                self.doubts.extend(doubt.map(|doubt| doubt.in_column(column)));
                compared = true;
            }
        }
        if told || compared {
            for line in &mut self.lines {
                line.since = Sums::default();
            }
        }
    }

    /// Whether motors have numbers in a column that is read as one: its totals are no totals of ratings.
    fn has_numbers(&self, column: u16) -> bool {
        let known = self.table.columns.iter().find(|known| known.column == column);
        known.and_then(|known| known.reads).is_some_and(|reads| {
            reads.sort() == Sort::Number && self.all.motors.iter().take(200).any(|motor| motor.one(reads).is_some())
        }) || self.found.is_side_by_side() && known.is_none()
    }
}

/// The number in a column of a row.
fn number(grid: &Grid, cells: &[Cell], column: u16) -> Option<f64> {
    let place = cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
    match cells.get(place)?.content {
        Content::Number(number) => Some(number),
        Content::Text(text) => {
            let text = grid.text(text);
            let comma = text.contains(',');
            let plain = cell::read(Reads::Load, text, cell::Writing { comma, whole: false })?;
            match plain.amounts.as_slice() {
                [only] => Some(float(only.value)),
                _ => None,
            }
        }
        _ => None,
    }
}

impl Line<'_> {
    /// What one of the unit is in the sums.
    fn factor(&self) -> f64 {
        if self.is_rating {
            self.unit.kilowatts().unwrap_or(1.0)
        } else {
            1.0
        }
    }

    /// The number of a total that is a text: alone, or behind its words (`Total 45,5 kW`).
    fn printed_text(&self, text: &str, may_stand_alone: bool) -> Option<(f64, Option<PlateUnit>)> {
        let factor = self.factor();
        let off = |value: f64| {
            let off = |sum: f64| (value - sum / factor).abs();
            off(self.since.rows).min(off(self.whole.rows))
        };
        // The sign of a total is the one of its column in almost every list: both readings are tried.
        let both = [false, true].into_iter();
        let alone = both.clone().filter_map(|comma| {
            let plain = cell::read(Reads::RatedPower, text, cell::Writing { comma, whole: false })?;
            plain.amounts.first().copied()
        });
        let behind = both.filter_map(|comma| {
            let found = cell::plate(text, comma);
            let (_, amounts) = found
                .numbers
                .into_iter()
                .find(|(reads, _)| *reads == Reads::RatedPower)?;
            amounts.first().copied().filter(|amount| amount.unit.is_some())
        });
        let near = |amounts: Vec<cell::Amount>| {
            let told = amounts.into_iter().map(|amount| (float(amount.value), amount.unit));
            told.min_by(|a, b| off(a.0).total_cmp(&off(b.0)))
        };
        near(alone.collect())
            .filter(|(_, unit)| may_stand_alone || unit.is_some() || self.is_rating)
            .or_else(|| near(behind.collect()).filter(|_| self.is_rating))
    }

    fn compared(&mut self, row: u32, value: f64, unit: Option<PlateUnit>) -> (Option<Total>, Option<Doubt>) {
        let unit = unit.filter(|unit| unit.kilowatts().is_some()).unwrap_or(self.unit);
        let factor = if self.is_rating {
            unit.kilowatts().unwrap_or(1.0)
        } else {
            1.0
        };
        let of_parts = self.printed_rows.len() > 1 && (value - self.printed).abs() <= 0.001 * self.printed.max(1.0)
            || self.printed_rows.len() == 1 && self.since.count == 0 && value == self.printed;
        let off = |sum: &Sum| (value - sum.value / factor).abs();
        let near = |sums: &Sums| sums.all().into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        let nearest = [&self.since, &self.whole]
            .into_iter()
            // The sum of the totals above is one of all rows.
            .skip(usize::from(of_parts))
            .filter(|sums| sums.count > 0)
            .filter_map(|sums| Some((near(sums)?, sums)))
            .min_by(|a, b| off(&a.0).total_cmp(&off(&b.0)));
        let Some((sum, sums)) = nearest else {
            return (None, None);
        };
        let summed = sum.value / factor;
        let agrees = (value - summed).abs() <= (0.004 * summed.abs()).max(0.051);
        let how = if agrees {
            how_said(&sum, factor, unit)
        } else {
            sum.how()
        };
        let covers = if of_parts {
            let rows: Vec<String> = self
                .printed_rows
                .iter()
                .take(20)
                .map(|row| (row + 1).to_string())
                .collect();
            format!("the totals in rows {}, which cover {}", rows.join(", "), sums.covers())
        } else {
            sums.covers()
        };
        let shown = unit_shown(unit);
        let total = Total {
            source_row: row + 1,
            column: self.column.name.clone(),
            printed: value,
            unit: shown.trim_start(),
            summed: rounded(summed),
            how: if of_parts {
                format!("{how}; it is the sum of the totals above")
            } else {
                how
            },
            covers,
            rows: sums.count,
            difference: rounded(value - summed),
            agrees,
        };
        let doubt = (!agrees).then(|| {
            let other = if of_parts || self.since.count == 0 {
                &self.whole
            } else {
                &self.since
            };
            let [once, counted, running] = [other.rows, other.counted, other.running].map(|sum| sum / factor);
            // Only ratings have a unit that another system of units would show otherwise.
            let amount = |words: Words, value: f64| match self.is_rating {
                true => said::sum(words, value, unit),
                false => words.and(&format!("{}{shown}", short(value))),
            };
            let mut said = if of_parts {
                amount("Printed total ".into(), value).and(" is the sum of the totals above, and their ")
            } else {
                amount("Printed total ".into(), value).and("; the ")
            };
            said = amount(said.and(&format!("{} rows sum to ", other.count)), once);
            if (counted - once).abs() > 1e-9 {
                said = amount(said.and(&format!(", {} ", other.times())), counted);
            }
            if (running - counted).abs() > 1e-9 {
                said = amount(said.and(", without those standing by "), running);
            }
            if other.out > 1e-9 {
                said = amount(said.and(", of them "), other.out / factor).and(" out of service or gone");
            }
            said = amount(said.and("; it is "), (value - summed).abs()).and(" off the nearest of these.");
            if !self.is_rating {
                said = said.and(&format!(" Column {}.", super::motor::shown(&self.column.name)));
            }
            let doubt = Doubt::new(Some(row + 1), Code::TOTAL_DISAGREES, said);
            // The totals above that are off have their own doubts.
            if of_parts {
                doubt.as_severe(Severity::Note)
            } else {
                doubt
            }
        });
        if !of_parts {
            self.printed += value;
            self.printed_rows.push(row);
        }
        (Some(total), doubt)
    }
}

/// A unit behind its number.
fn unit_shown(unit: PlateUnit) -> &'static str {
    match unit {
        PlateUnit::Kilowatt => " kW",
        PlateUnit::Horsepower => " hp",
        PlateUnit::MetricHorsepower => " PS",
        PlateUnit::Watt => " W",
        PlateUnit::Kilovoltampere => " kVA",
        PlateUnit::Ampere => " A",
        _ => "",
    }
}

/// Sums of one column: of ratings in kW.
#[derive(Default)]
struct Sums {
    rows: f64,
    counted: f64,
    running: f64,
    awake: f64,
    /// What of these is out of service or gone.
    out: f64,
    out_counted: f64,
    out_running: f64,
    out_awake: f64,
    count: usize,
    /// Some quantities are counts of the motors that a tag names.
    by_tags: bool,
    /// First and last row, from 0.
    reach: Option<(u32, u32)>,
}

impl Sums {
    fn add(&mut self, row: u32, value: f64, count: f64, running: f64, out: bool) {
        let awake = if running > 0.0 { value } else { 0.0 };
        self.rows += value;
        self.counted += value * count;
        self.running += value * running;
        self.awake += awake;
        if out {
            self.out += value;
            self.out_counted += value * count;
            self.out_running += value * running;
            self.out_awake += awake;
        }
        self.count += 1;
        self.reach = Some((self.reach.map_or(row, |(first, _)| first), row));
    }

    fn covers(&self) -> String {
        match self.reach {
            Some((first, last)) => format!("{} rows, {} to {}", self.count, first + 1, last + 1),
            None => "no rows".to_owned(),
        }
    }

    /// In words, the sum that counts.
    fn times(&self) -> &'static str {
        if self.by_tags {
            "times the motors that each tag names"
        } else {
            "times quantity"
        }
    }

    /// The sums a total may be meant as.
    fn all(&self) -> Vec<Sum> {
        let once = "each row once";
        let with_out = [
            (once, self.rows, self.rows - self.awake, false, self.out),
            (
                self.times(),
                self.counted,
                self.counted - self.running,
                false,
                self.out_counted,
            ),
            (self.times(), self.running, 0.0, true, self.out_running),
            (once, self.awake, 0.0, true, self.out_awake),
        ];
        let mut all: Vec<Sum> = with_out
            .into_iter()
            .map(|(times, value, stands_by, awake, out)| Sum {
                value,
                times,
                stands_by,
                awake,
                out,
                in_service: false,
            })
            .collect();
        let without: Vec<Sum> = all
            .iter()
            .filter(|sum| sum.out > 0.0)
            .map(|sum| Sum {
                value: sum.value - sum.out,
                // Of those that stand by, some may be out of service too: only what is certain is told.
                stands_by: 0.0,
                out: 0.0,
                in_service: true,
                ..*sum
            })
            .collect();
        all.extend(without);
        all
    }
}

/// A sum a total may be meant as.
#[derive(Clone, Copy)]
struct Sum {
    value: f64,
    /// How often rows count.
    times: &'static str,
    /// What of it stands by.
    stands_by: f64,
    /// Without those that stand by.
    awake: bool,
    /// What of it is out of service or gone.
    out: f64,
    /// Without those that are out of service or gone.
    in_service: bool,
}

impl Sum {
    /// Which sum it is.
    fn how(&self) -> String {
        let without = match (self.awake, self.in_service) {
            (false, false) => "",
            (true, false) => ", without those standing by",
            (false, true) => ", without those out of service or gone",
            (true, true) => ", without those standing by, out of service or gone",
        };
        format!("{}{without}", self.times)
    }
}

/// Which sum it is, and how much of it does not run.
fn how_said(sum: &Sum, factor: f64, unit: PlateUnit) -> String {
    let mut how = sum.how();
    for (part, what) in [(sum.stands_by, "standby"), (sum.out, "out of service or gone")] {
        let part = part / factor;
        if part > 1e-6 {
            how.push_str(&format!(", of it {}{} {what}", short(part), unit_shown(unit)));
        }
    }
    how
}

/// To six decimals: what is left of adding floats goes.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
