//! Printed totals against the sums of their rows.
//!
//! For: every total of a list recomputed, the difference shown.
//! Always: several sums are tried, since lists count each row once, times its quantity, or without those that stand by; a total is
//! doubted only where none of them agrees.
//! Not known here: which of them the author meant.

use super::cell;
use super::find::{As, Found};
use super::motor::Doubt;
use super::reads::{PlateUnit, Reads, float};
use super::rows::Understood;
use super::store::{Content, Grid};
use crate::fault::Code;

/// A printed total beside what its rows sum to.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Total {
    /// Row of the sheet, from 1.
    pub source_row: u32,
    /// As printed.
    pub printed: f64,
    /// Its unit.
    pub unit: &'static str,
    /// The sum that comes nearest.
    pub summed: f64,
    /// Which sum that is.
    pub how: String,
    /// Rows it is made of.
    pub rows: usize,
    /// Printed less summed.
    pub difference: f64,
    /// Whether they agree, roundings aside.
    pub agrees: bool,
}

/// Printed totals of ratings against the sums of their rows.
pub fn compared(grid: &Grid, found: &Found, all: &Understood, doubts: &mut Vec<Doubt>) -> Vec<Total> {
    let mut totals = Vec::new();
    for (number, table) in found.tables.iter().enumerate() {
        let Some(column) = table.column(Reads::RatedPower) else {
            continue;
        };
        let grid = found.grid_of(table, grid);
        let usual = column
            .unit
            .filter(|unit| unit.kilowatts().is_some() && !all.other_power_unit)
            .or(all.power_unit)
            .unwrap_or(PlateUnit::Kilowatt);
        let mut motors = all.motors.iter().filter(|motor| motor.table() == number).peekable();
        let mut since = Sums::default();
        let mut whole = Sums::default();
        let mut printed_sum = 0.0;
        // What of the totals above is said to stand by.
        let mut printed_standby = 0.0;
        for (place, called) in &table.rows {
            let Some((index, cells)) = grid.row_at(*place) else {
                continue;
            };
            if *called != As::Total {
                continue;
            }
            while let Some(motor) = motors.next_if(|motor| motor.source_row() <= index) {
                if let Some(kilowatts) = motor.kilowatts() {
                    let count = motor.float(Reads::Quantity).unwrap_or(1.0);
                    let running = match motor.float(Reads::QuantityRunning) {
                        _ if motor.standby() => 0.0,
                        Some(running) => running,
                        None => count,
                    };
                    for sums in [&mut since, &mut whole] {
                        sums.add(kilowatts, count, running);
                    }
                }
            }
            let Some(cell) = cells.iter().find(|cell| cell.column == column.column) else {
                continue;
            };
            let read = match cell.content {
                Content::Number(number) => Some((number, None)),
                Content::Text(text) => {
                    let text = grid.text(text);
                    // The sign of a total is the one of its column in almost every list: both readings are tried.
                    [false, true]
                        .into_iter()
                        .filter_map(|comma| cell::read(Reads::RatedPower, text, cell::Writing { comma, whole: false }))
                        .filter_map(|plain| plain.amounts.first().copied())
                        .map(|amount| (float(amount.value), amount.unit))
                        .min_by(|a, b| {
                            let off = |value: f64| (value - since.rows).abs().min((value - whole.rows).abs());
                            off(a.0).total_cmp(&off(b.0))
                        })
                }
                Content::NotStored | Content::Failed(_) => {
                    doubts.push(Doubt::new(
                        Some(index + 1),
                        Code::FORMULA_WITHOUT_VALUE,
                        "The total is a formula without a stored result, so it was not compared.",
                    ));
                    None
                }
                _ => None,
            };
            let Some((value, unit)) = read else { continue };
            let unit = unit.unwrap_or(usual);
            let factor = unit.kilowatts().unwrap_or(1.0);
            let candidates = since.all().into_iter().map(|sum| (sum, since.count));
            let further = whole.all().into_iter().map(|sum| (sum, whole.count));
            let of_parts = printed_sum > 0.0 && (value - printed_sum).abs() <= 0.001 * printed_sum.max(1.0);
            let off = |kilowatts: f64| (value - kilowatts / factor).abs();
            let nearest = candidates
                .chain(further)
                .filter(|(_, count)| *count > 0)
                .chain(of_parts.then_some((
                    Sum {
                        kilowatts: printed_sum * factor,
                        how: "of the totals above",
                        stands_by: printed_standby,
                    },
                    0,
                )))
                .min_by(|(a, _), (b, _)| off(a.kilowatts).total_cmp(&off(b.kilowatts)));
            let Some((
                Sum {
                    kilowatts,
                    how,
                    stands_by,
                },
                count,
            )) = nearest
            else {
                continue;
            };
            let summed = kilowatts / factor;
            let agrees = of_parts || (value - summed).abs() <= (0.004 * summed.abs()).max(0.051);
            totals.push(Total {
                source_row: index + 1,
                printed: value,
                unit: unit.text(),
                summed: rounded(summed),
                how: how_said(how, if agrees { stands_by } else { 0.0 }, unit),
                rows: count,
                difference: rounded(value - summed),
                agrees,
            });
            if !agrees {
                let sums = if since.count > 0 { &since } else { &whole };
                let [once, counted, running, _] = sums.all().map(|sum| sum.kilowatts / factor);
                let mut said = format!(
                    "Printed total {value} {unit}; the {} rows sum to {} {unit}",
                    sums.count,
                    short(once),
                    unit = unit.text(),
                );
                if (counted - once).abs() > 1e-9 {
                    said.push_str(&format!(", times quantity {} {}", short(counted), unit.text()));
                }
                if (running - counted).abs() > 1e-9 {
                    said.push_str(&format!(
                        ", without those standing by {} {}",
                        short(running),
                        unit.text()
                    ));
                }
                said.push_str(&format!(
                    "; it is {} {} off the nearest of these.",
                    short((value - summed).abs()),
                    unit.text()
                ));
                doubts.push(Doubt::new(Some(index + 1), Code::TOTAL_DISAGREES, said));
            }
            if !of_parts {
                printed_sum += value;
                printed_standby += stands_by;
            }
            since = Sums::default();
        }
    }
    totals
}

/// Sums of ratings in kW.
#[derive(Default)]
struct Sums {
    rows: f64,
    counted: f64,
    running: f64,
    awake: f64,
    count: usize,
}

impl Sums {
    fn add(&mut self, kilowatts: f64, count: f64, running: f64) {
        self.rows += kilowatts;
        self.counted += kilowatts * count;
        self.running += kilowatts * running;
        if running > 0.0 {
            self.awake += kilowatts;
        }
        self.count += 1;
    }

    /// The sums a total may be meant as.
    fn all(&self) -> [Sum; 4] {
        let sum = |kilowatts, how, stands_by| Sum {
            kilowatts,
            how,
            stands_by,
        };
        [
            sum(self.rows, "each row once", self.rows - self.awake),
            sum(self.counted, "times quantity", self.counted - self.running),
            sum(self.running, "times quantity, without those standing by", 0.0),
            sum(self.awake, "each row once, without those standing by", 0.0),
        ]
    }
}

/// A sum a total may be meant as.
#[derive(Clone, Copy)]
struct Sum {
    kilowatts: f64,
    how: &'static str,
    /// What of it stands by, in kW.
    stands_by: f64,
}

/// Which sum it is, and how much of it stands by.
fn how_said(how: &str, stands_by: f64, unit: PlateUnit) -> String {
    let standby = stands_by / unit.kilowatts().unwrap_or(1.0);
    if standby > 1e-6 {
        format!("{how}, of it {} {} standby", short(standby), unit.text())
    } else {
        how.to_owned()
    }
}

/// To six decimals: what is left of adding floats goes.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

fn short(value: f64) -> String {
    let shown = format!("{value:.3}");
    shown.trim_end_matches('0').trim_end_matches('.').to_owned()
}
