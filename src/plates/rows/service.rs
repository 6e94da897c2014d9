//! Whether a motor runs, stands by or is out of service, and how many motors its row stands for.
//!
//! Always: by the words of the row or the crosses of its columns, which are told.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::drives::Fed;
use super::numbers::{DOUBTED, quoted};
use crate::fault::{Code, Severity};
use crate::plates::cell::Plain;
use crate::plates::motor::{Cell, Doubt, Motor, Raw, Reading, shown};
use crate::plates::own::Own;
use crate::plates::reads::{PlateUnit, Reads};
use crate::plates::words::Words;
use crate::plates::{cell, find, words};

/// Whether the row as a whole stands by: its words say so and its quantity does not tell how many do. A column that says nothing
/// else goes before remarks.
pub(super) fn standby_of(motor: &mut Motor, own: &Own, fed: &mut Fed, doubts: &mut Vec<Doubt>) -> bool {
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
pub(super) fn out_of_service(motor: &Motor, reading: Option<Arc<str>>, fed: &mut Fed, of: &Words) -> Option<Doubt> {
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
        format!(
            "{}: {told}. The row is read; sums of ratings name it apart.",
            quoted(&text)
        ),
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
pub(super) fn number_word(reads: Reads, text: &str, of: &Words) -> Option<Plain> {
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

/// What the note of a quantity says that the tag gave.
pub(in crate::plates) const BY_TAG: &str = "counted by the tag";

/// A tag for several motors counts them where no quantity is given: both readings are told.
pub(super) fn tags(motor: &mut Motor, doubts: &mut Vec<Doubt>) {
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

/// Whether a cell under a heading of drives says that there is one: anything but nothing, no and a starter on the line.
pub(super) fn is_filled(text: &str, of: &Words) -> bool {
    !text.is_empty()
        && (is_cross(text) || !of.is(text, "blank"))
        && !of.is(text, "no")
        && !of.is(text, "line")
        && !of.begins(text, "taken_back_before")
        && !of.says(text, "line")
        && text.parse::<f64>() != Ok(0.0)
}
