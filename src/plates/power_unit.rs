//! Whether the ratings of a list are in the unit its heading says.
//!
//! For: hp under a heading of kW and kW under one of hp, told by the other plate values of most rows and by the series the ratings
//! belong to.
//! Always: the unit changes only where both agree or the plates prove it, and then with a doubt that names both readings; where the
//! series alone speaks, the heading holds and the doubt says so.
//! Not known here: single rows that are off.

use rust_decimal::Decimal;

use super::motor::{Doubt, Motor};
use super::reads::{PlateUnit, Reads, float};
use super::rows::{Understood, in_series, settling_line};
use crate::fault::Code;

/// Settles the unit of ratings that carry none of their own.
pub fn settle(all: &mut Understood, doubts: &mut Vec<Doubt>) {
    let Some(said) = all.power_unit.filter(|_| all.power_units_said.is_empty()) else {
        return;
    };
    let (other, expected) = match said {
        PlateUnit::Kilowatt => (PlateUnit::Horsepower, 0.7457),
        PlateUnit::Horsepower => (PlateUnit::Kilowatt, 1.341),
        _ => return,
    };
    let supply = all.supply.volts.map(float);
    // Ratings that carry no unit of their own: which motors, the values, and the ratios of their plates.
    let mut bare: Vec<usize> = Vec::new();
    let mut values: Vec<Decimal> = Vec::new();
    let (mut exact, mut about) = (Vec::new(), Vec::new());
    for (place, at) in all.motors.iter().enumerate() {
        let is_bare = at.cell(Reads::RatedPower).is_some_and(|cell| {
            let told = |words: &str| cell.note().is_some_and(|note| note.contains(words));
            cell.unit() == said && !told("as the cell says") && !told("also given as")
        });
        if !is_bare {
            continue;
        }
        bare.push(place);
        values.extend(at.one(Reads::RatedPower));
        let motor = at.motor();
        exact.extend(motor.plate_ratio().or_else(|| at_supply(&motor, supply)));
        about.extend(about_ratio(&motor, supply));
    }
    // Both readings of one of them, and how the other one is said.
    let example = values.iter().rev().find(|value| !value.is_zero()).map(|value| {
        let number = float(*value);
        let in_said =
            |unit: PlateUnit, to: PlateUnit| number * unit.kilowatts().unwrap_or(1.0) / to.kilowatts().unwrap_or(1.0);
        format!(
            "{} is {} {} ({:.1} {}) or {} {} ({:.1} {})",
            value.normalize(),
            value.normalize(),
            said.text(),
            in_said(said, other),
            other.text(),
            value.normalize(),
            other.text(),
            in_said(other, said),
            said.text()
        )
    });
    let example = example.unwrap_or_default();
    let heading = all
        .motors
        .iter()
        .find_map(|motor| motor.cell(Reads::RatedPower).map(|cell| cell.column().to_owned()))
        .unwrap_or_default();
    let series = by_series(values, said, other);
    let (exact, about) = (median(exact), median(about));
    let near = |ratio: Option<f64>, room: f64| ratio.filter(|ratio| (ratio / expected - 1.0).abs() < room);
    let proof = match (near(exact, 0.05), near(about, 0.12)) {
        (Some(ratio), _) => Some(format!("√3·V·I·η·pf of most plates is {ratio:.2} times the rating")),
        (None, Some(ratio)) if exact.is_none() && series => Some(format!(
            "√3·V·I of most plates, with the efficiency and power factor usual for the size, is about {ratio:.2} times the rating, and the ratings are those of the {} series",
            other.text()
        )),
        _ => None,
    };
    match proof {
        Some(proof) => {
            doubts.push(Doubt::new(
                None,
                Code::OTHER_POWER_UNIT,
                format!(
                    "The heading says {}, but {proof}: they were read in {}; {example}. Look at a plate or two; if the heading is right, a line of a column map settles it: {}.",
                    said.text(),
                    other.text(),
                    settling_line(&heading, said)
                ),
            ));
            for place in bare {
                all.motors.change(place, Reads::RatedPower, |cell| {
                    cell.unit = other;
                    cell.confidence = cell.confidence.min(60);
                    cell.say(format!("in {}, though the heading says {}", other.text(), said.text()));
                });
            }
            all.power_unit = Some(other);
            all.other_power_unit = true;
        }
        // Where the plates agree with the heading the series of the values means nothing.
        None if series && exact.is_none() && about.is_none() => doubts.push(Doubt::new(
            None,
            Code::OTHER_POWER_UNIT,
            format!(
                "The ratings are those of the {} series, and the heading says {}: they were read in {}, and are probably {}; {example}. Look at a plate or two; a line of a column map settles it: {}.",
                other.text(),
                said.text(),
                said.text(),
                other.text(),
                settling_line(&heading, other)
            ),
        )),
        None => {}
    }
}

/// Whether the ratings belong to the series of the other unit and not to that of their own.
fn by_series(mut values: Vec<Decimal>, said: PlateUnit, other: PlateUnit) -> bool {
    values.sort();
    values.dedup();
    values.len() >= 4 && in_series(&values, other) >= 0.9 && in_series(&values, said) <= 0.6
}

/// The middle of at least five ratios.
fn median(mut ratios: Vec<f64>) -> Option<f64> {
    if ratios.len() < 5 {
        return None;
    }
    ratios.sort_by(f64::total_cmp);
    ratios.get(ratios.len() / 2).copied()
}

/// The ratio of the plate with the volts of the supply, where the list gives no rated voltage.
fn at_supply(motor: &Motor, supply: Option<f64>) -> Option<f64> {
    let product = motor.float(Reads::Efficiency)? / 100.0 * motor.float(Reads::PowerFactor)?;
    ratio(motor, supply, product)
}

/// The ratio with the efficiency and power factor usual for the size.
fn about_ratio(motor: &Motor, supply: Option<f64>) -> Option<f64> {
    let kilowatts = motor.kilowatts()?;
    ratio(motor, supply, usual_product(kilowatts))
}

fn ratio(motor: &Motor, supply: Option<f64>, product: f64) -> Option<f64> {
    let volts = motor.used_voltage.map(float).or(supply)?;
    let amps = motor
        .used_current
        .or_else(|| motor.one(Reads::RatedCurrent))
        .map(float)
        .filter(|amps| *amps > 0.0)?;
    let kilowatts = motor.kilowatts().filter(|kilowatts| *kilowatts > 0.0)?;
    Some(3f64.sqrt() * volts * amps * product / 1000.0 / kilowatts)
}

/// Efficiency times power factor at rated load by size, four poles. Common practice, no source; good to about a tenth.
pub fn usual_product(kilowatts: f64) -> f64 {
    const POINTS: [(f64, f64); 8] = [
        (0.12, 0.38),
        (0.37, 0.50),
        (0.75, 0.58),
        (2.2, 0.67),
        (7.5, 0.745),
        (22.0, 0.79),
        (75.0, 0.825),
        (300.0, 0.85),
    ];
    let at = kilowatts.max(0.01).ln();
    let mut before: Option<(f64, f64)> = None;
    for (size, product) in POINTS {
        let here = f64::ln(size);
        if at <= here {
            return before.map_or(product, |(from, low)| {
                low + (product - low) * (at - from) / (here - from)
            });
        }
        before = Some((here, product));
    }
    before.map_or(0.8, |(_, product)| product)
}
