//! What is read of one motor.
//!
//! Always: the raw text of the cell stays beside the reading; a cell without a value keeps its text and says so.
//! Not known here: sheets, files.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::reads::{PlateUnit, Reads};
use super::store::{Content, Grid};

/// The cell as it stands in the source.
#[derive(Clone, Debug, PartialEq)]
pub enum Raw {
    /// There is no cell: the value is implied.
    None,
    /// A number.
    Number(f64),
    /// A text.
    Text(Arc<str>),
}

impl Raw {
    /// Of a cell.
    pub fn of(grid: &Grid, content: Content) -> Raw {
        match content {
            Content::Number(number) => Raw::Number(number),
            Content::Text(index) | Content::Failed(index) => Raw::Text(grid.shared(index)),
            other => Raw::Text(Arc::from(grid.shown(other))),
        }
    }

    /// As text.
    pub fn text(&self) -> String {
        match self {
            Raw::None => String::new(),
            Raw::Number(number) => format!("{number}"),
            Raw::Text(text) => text.to_string(),
        }
    }
}

/// What was read.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// No value.
    Nothing,
    /// A number.
    One(Decimal),
    /// Several, in the order written.
    Several(Arc<[Decimal]>),
    /// Words.
    Words(Arc<str>),
}

/// A cell as understood.
#[derive(Clone, Debug)]
pub struct Cell {
    /// As it stands.
    pub raw: Raw,
    /// Heading of its column, empty where the value is implied.
    pub column: Arc<str>,
    /// What was read.
    pub value: Reading,
    /// Its unit.
    pub unit: PlateUnit,
    /// Per cent of certainty.
    pub confidence: u8,
    /// How it was read, where that is worth saying.
    pub note: Option<Arc<str>>,
}

impl Cell {
    /// The value, where it is one number.
    pub fn one(&self) -> Option<Decimal> {
        match &self.value {
            Reading::One(value) => Some(*value),
            _ => None,
        }
    }

    /// The values.
    pub fn all(&self) -> &[Decimal] {
        match &self.value {
            Reading::One(value) => std::slice::from_ref(value),
            Reading::Several(values) => values,
            _ => &[],
        }
    }

    /// Adds to the note.
    pub fn say(&mut self, note: impl AsRef<str>) {
        self.note = Some(match &self.note {
            Some(before) => Arc::from(format!("{before}; {}", note.as_ref())),
            None => Arc::from(note.as_ref()),
        });
    }
}

/// A row that is a motor, or several alike.
#[derive(Clone, Debug)]
pub struct Motor {
    /// Row of the sheet, from 1.
    pub source_row: u32,
    /// Which table of the sheet, from 0.
    pub table: usize,
    /// Struck through.
    pub struck: bool,
    /// Hidden.
    pub hidden: bool,
    /// Its words say that the whole row stands by.
    pub standby: bool,
    /// The words that say that it is fed by a drive.
    pub drive: Option<Arc<str>>,
    /// What was read.
    pub cells: Vec<(Reads, Cell)>,
    /// The plate voltage that holds at this supply.
    pub used_voltage: Option<Decimal>,
    /// The plate current that belongs to it.
    pub used_current: Option<Decimal>,
}

impl Motor {
    /// The cell read as this.
    pub fn cell(&self, reads: Reads) -> Option<&Cell> {
        self.cells
            .iter()
            .find(|(known, _)| *known == reads)
            .map(|(_, cell)| cell)
    }

    /// The cell read as this, to change.
    pub fn cell_mut(&mut self, reads: Reads) -> Option<&mut Cell> {
        self.cells
            .iter_mut()
            .find(|(known, _)| *known == reads)
            .map(|(_, cell)| cell)
    }

    /// The one number read as this.
    pub fn one(&self, reads: Reads) -> Option<Decimal> {
        self.cell(reads).and_then(Cell::one)
    }

    /// The same as a float, for plausibility.
    pub fn float(&self, reads: Reads) -> Option<f64> {
        self.one(reads).map(super::reads::float)
    }

    /// The words read as this.
    pub fn words(&self, reads: Reads) -> Option<&Arc<str>> {
        match self.cell(reads)?.value {
            Reading::Words(ref words) => Some(words),
            _ => None,
        }
    }

    /// The rating in kilowatts, for plausibility.
    pub fn kilowatts(&self) -> Option<f64> {
        let cell = self.cell(Reads::RatedPower)?;
        Some(super::reads::float(cell.one()?) * cell.unit.kilowatts()?)
    }

    /// Why no current of the plate can be used, where it gives several.
    pub fn current_refused(&self) -> Option<&'static str> {
        let currents = self.cell(Reads::RatedCurrent).map_or(0, |cell| cell.all().len());
        let voltages = self.cell(Reads::Voltage).map_or(0, |cell| cell.all().len());
        if self.used_current.is_some() || currents < 2 {
            return None;
        }
        Some(match voltages {
            0 => "the plate gives several currents and no voltage to choose by",
            given if given == currents => "the plate gives several voltages and currents, and the supply is not known",
            _ => "the plate gives several currents that do not belong to its voltages one by one",
        })
    }

    /// √3·V·I·η·pf of the plate over its rating, for plausibility.
    pub fn plate_ratio(&self) -> Option<f64> {
        let volts = super::reads::float(self.used_voltage?);
        let amps = super::reads::float(self.used_current?);
        let efficiency = self.float(Reads::Efficiency)?;
        let power_factor = self.float(Reads::PowerFactor)?;
        let kilowatts = self.kilowatts().filter(|kilowatts| *kilowatts > 0.0)?;
        Some(3f64.sqrt() * volts * amps * efficiency / 100.0 * power_factor / 1000.0 / kilowatts)
    }
}

/// A doubt of the report.
#[derive(Clone, Debug)]
pub struct Doubt {
    /// Row of the sheet from 1; `None`: a whole column.
    pub source_row: Option<u32>,
    /// Which.
    pub code: crate::fault::Code,
    /// How bad it is.
    pub severity: crate::fault::Severity,
    /// In words, with the numbers.
    pub text: String,
}

impl Doubt {
    /// A doubt with the usual severity of its code.
    pub fn new(source_row: Option<u32>, code: crate::fault::Code, text: impl Into<String>) -> Doubt {
        Doubt {
            source_row,
            code,
            severity: code.entry().severity,
            text: text.into(),
        }
    }

    /// Another severity.
    #[must_use]
    pub fn as_severe(mut self, severity: crate::fault::Severity) -> Doubt {
        self.severity = severity;
        self
    }
}
