//! Whether a drive feeds a motor, and at which frequency.
//!
//! Always: a word of a drive in any cell counts; the frequency beside it is told with where it stands.

use std::collections::HashMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::Remark;
use super::service::is_filled;
use crate::plates::motor::{Cell, Motor, Raw, Reading};
use crate::plates::reads::{PlateUnit, Reads, float};
use crate::plates::words;
use crate::plates::words::Words;

/// What remarks and descriptions say of their motors. Those that come again are known.
#[derive(Default)]
pub(super) struct Fed {
    pub(super) remarks: HashMap<Arc<str>, Remark>,
    pub(super) descriptions: HashMap<Arc<str>, bool>,
}

/// Different texts kept at most; beyond that they hardly come again.
const FED_KEPT: usize = 4096;

impl Fed {
    /// What a remark says.
    pub(super) fn remark(&mut self, text: &Arc<str>, of: &Words) -> Remark {
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
    pub(super) fn description(&mut self, text: &Arc<str>) -> bool {
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

/// Whether a plate speed is one of this frequency: the slip of a rating is small.
pub(super) fn runs_at(hertz: f64, speed: f64) -> bool {
    let pairs = (60.0 * hertz / speed).floor();
    let slip = 1.0 - speed * pairs / (60.0 * hertz);
    pairs >= 1.0 && slip > 0.0 && slip < 0.09
}

/// The words that say the motor is fed by a drive.
pub(super) fn drive_of(motor: &Motor, fed: &mut Fed, of: &Words) -> Option<Arc<str>> {
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

/// The output frequency in the words that say the motor is fed by a drive: `FU 42 Hz`, `on VFD at 42 Hz`. A range is none.
pub(super) fn output_in_words(motor: &mut Motor) {
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
