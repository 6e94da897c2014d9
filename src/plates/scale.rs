//! Values that no motor has, most of them by a point that parts thousands and was read as one that parts decimals.
//!
//! Always: such a value is told and not used; where a thousand times as much is one that motors have, that reading is offered. The
//! slowest motors on the line have about sixty poles: common practice, no source.
//! Not known here: how a cell is read.

use rust_decimal::Decimal;

use super::motor::{Cell, Doubt, Motor, Other, Reading};
use super::reads::{Reads, float};
use super::rows::poles_at;
use super::said;
use crate::fault::Code;

/// Voltages of systems and plates, in volts. Usual ones; common practice, no source.
const VOLTAGES: &[f64] = &[
    200.0, 208.0, 220.0, 230.0, 240.0, 380.0, 400.0, 415.0, 440.0, 460.0, 480.0, 500.0, 525.0, 550.0, 575.0, 600.0,
    660.0, 690.0, 1000.0, 2300.0, 2400.0, 3000.0, 3300.0, 4000.0, 4160.0, 5000.0, 6000.0, 6300.0, 6600.0, 6900.0,
    10_000.0, 11_000.0, 13_200.0, 13_800.0,
];

/// Whether a thousand times this is a speed that motors on the line have, and this itself is none.
pub(super) fn is_thousandth_of_speed(speed: f64) -> bool {
    (0.2..=3.65).contains(&speed)
}

fn is_thousandth_of_voltage(volts: f64) -> bool {
    VOLTAGES.iter().any(|known| (volts * 1000.0 / known - 1.0).abs() < 1e-6)
}

/// What is doubted of the values of a motor, with what each is about.
pub(super) fn of(motor: &Motor) -> Vec<(Reads, Doubt)> {
    // A motor of a low frequency is made for a drive.
    let fed = motor.float(Reads::Frequency).is_some_and(|hertz| hertz < 45.0);
    let asked = [
        Reads::RatedSpeed,
        Reads::MeasuredSpeed,
        Reads::Voltage,
        Reads::MeasuredVoltage,
    ];
    let told = asked.into_iter().filter_map(|reads| {
        let cell = motor.cell(reads)?;
        let all = cell.all();
        let each = |is: &dyn Fn(f64) -> bool| !all.is_empty() && all.iter().all(|value| is(float(*value)));
        let thousandth = match reads {
            Reads::RatedSpeed | Reads::MeasuredSpeed => each(&is_thousandth_of_speed),
            _ => each(&is_thousandth_of_voltage),
        };
        if !thousandth && (reads != Reads::RatedSpeed || fed || !each(&|speed| speed > 0.0 && speed < SLOWEST)) {
            return None;
        }
        Some((reads, doubt(motor, reads, cell, thousandth)))
    });
    told.collect()
}

/// r/min that the slowest motors on the line reach: 60 poles at 50 Hz, with their slip.
const SLOWEST: f64 = 85.0;

fn doubt(motor: &Motor, reads: Reads, cell: &Cell, thousandth: bool) -> Doubt {
    let what = reads.title().to_lowercase();
    let unit = reads.usual();
    let raw = cell.raw.shown();
    let said = match raw.ends_with(unit.text()) {
        true => raw,
        false => format!("{raw} {}", unit.text()),
    };
    let instead = cell.one().filter(|_| thousandth);
    let instead = instead.and_then(|value| value.checked_mul(Decimal::ONE_THOUSAND));
    let others = instead.map(|value| {
        let mut other = Other::of(reads, said::typed(value, unit));
        // Where the list does not say the poles, the speed does.
        let hertz = motor.one(Reads::Frequency);
        if reads == Reads::RatedSpeed
            && motor.one(Reads::Poles).is_none()
            && let Some(poles) = hertz.and_then(|hertz| poles_at(value, hertz))
        {
            other.sets.push((Reads::Poles, format!("{} pole", poles.normalize())));
        }
        other
    });
    let instead = instead.map(|value| said::typed(value, unit));
    let likely = match (&instead, reads) {
        (Some(instead), Reads::Voltage | Reads::MeasuredVoltage) => {
            format!("in kV, or a point that parts thousands, it is {instead}")
        }
        (Some(instead), _) => format!("with a point that parts thousands it is {instead}"),
        (None, Reads::RatedSpeed) if !thousandth => "it may be that of a shaft behind a gear".to_owned(),
        (None, _) => "a sign in it may part thousands".to_owned(),
    };
    let text = format!("{}: {said} is no {what} of a motor on the line; {likely}.", cell.column);
    Doubt::new(Some(motor.source_row), Code::VALUE_OF_NO_MOTOR, text).offering(others)
}

/// Tells of the values of a motor that was read, and takes them out.
pub(super) fn not_used(motor: &mut Motor, doubts: &mut Vec<Doubt>) {
    for (reads, mut doubt) in of(motor) {
        doubt.text = doubt.text.and(" It was not used.");
        if let Some(cell) = motor.cell_mut(reads) {
            cell.value = Reading::Nothing;
            cell.say("no motor has this, no value");
        }
        doubts.push(doubt);
    }
}
