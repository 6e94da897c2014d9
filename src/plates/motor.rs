//! What is read of one motor.
//!
//! Always: the raw text of the cell stays beside the reading; a cell without a value keeps its text and says so.
//! Not known here: sheets, files.

use std::sync::Arc;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

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

    /// As a doubt shows it.
    pub fn shown(&self) -> String {
        shown(&self.text())
    }
}

/// Signs of a text that a doubt shows.
const SHOWN: usize = 60;

/// A text as a doubt shows it: whole, or its beginning and how long it is.
pub(super) fn shown(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!(
            "{}… ({} signs in all)",
            text.get(..end).unwrap_or_default(),
            text.chars().count()
        ),
        None => text.to_owned(),
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

/// Which of several values of a plate hold at this supply: of a plate for 50 and 60 Hz.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// From 0.
    pub which: u8,
    /// Of how many.
    pub of: u8,
}

impl Chosen {
    /// Whether a plate for two frequencies has two values of this.
    pub fn goes_with_frequency(reads: Reads) -> bool {
        matches!(
            reads,
            Reads::RatedPower
                | Reads::RatedSpeed
                | Reads::Frequency
                | Reads::Voltage
                | Reads::RatedCurrent
                | Reads::Efficiency
                | Reads::PowerFactor
                | Reads::ServiceFactor
        )
    }

    /// The value that holds, of as many as the plate has frequencies. Values further apart than the frequencies are those of two
    /// connections or two windings.
    pub fn among(self, reads: Reads, values: &[Decimal]) -> Option<Decimal> {
        if !Chosen::goes_with_frequency(reads) || values.len() != usize::from(self.of) {
            return None;
        }
        let (least, most) = (values.iter().min()?, values.iter().max()?);
        let near = least.checked_mul(Decimal::new(135, 2)).is_some_and(|far| *most <= far);
        near.then(|| values.get(usize::from(self.which)).copied()).flatten()
    }
}

/// A voltage that plate values are held against, in volts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Volts {
    /// The plate's own.
    Plate(f64),
    /// Measured, where the plate says none.
    Measured(f64),
    /// The supply's, where the plate says none.
    Supply(f64),
}

impl Volts {
    /// In volts.
    pub fn number(self) -> f64 {
        match self {
            Volts::Plate(volts) | Volts::Measured(volts) | Volts::Supply(volts) => volts,
        }
    }

    /// With whose it is: `the plate's 400 V`.
    pub fn in_words(self) -> String {
        match self {
            Volts::Plate(volts) => format!("the plate's {volts} V"),
            Volts::Measured(volts) => format!("the measured {volts} V, as the plate says none,"),
            Volts::Supply(volts) => format!("the supply's {volts} V, as the plate says none,"),
        }
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
    /// Its words say that it is out of service or gone.
    pub out_of_service: bool,
    /// The words that say that it is fed by a drive.
    pub drive: Option<Arc<str>>,
    /// What was read.
    pub cells: Vec<(Reads, Cell)>,
    /// Which of the values hold, where the plate is for two frequencies.
    pub chosen: Option<Chosen>,
    /// The plate voltage that holds at this supply.
    pub used_voltage: Option<Decimal>,
    /// The plate current that belongs to it.
    pub used_current: Option<Decimal>,
    /// The voltage of the supply, as the sheet says it for all motors.
    pub supply: Option<Decimal>,
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

    /// The one number read as this; of a plate for two frequencies the one that holds.
    pub fn one(&self, reads: Reads) -> Option<Decimal> {
        let cell = self.cell(reads)?;
        cell.one().or_else(|| self.chosen?.among(reads, cell.all()))
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
        Some(super::reads::float(self.one(Reads::RatedPower)?) * cell.unit.kilowatts()?)
    }

    /// A voltage of the plate values, for plausibility: the plate's; where it says none, what was measured at a motor without a drive, else
    /// the supply's.
    pub fn volts(&self) -> Option<Volts> {
        if let Some(plate) = self.used_voltage {
            return Some(Volts::Plate(super::reads::float(plate)));
        }
        // A plate with several voltages is told by itself.
        if self.cell(Reads::Voltage).is_some_and(|cell| !cell.all().is_empty()) {
            return None;
        }
        let measured = self.float(Reads::MeasuredVoltage).filter(|_| self.drive.is_none());
        let supply = || Some(Volts::Supply(super::reads::float(self.supply?)));
        measured.map(Volts::Measured).or_else(supply)
    }

    /// √3·V·I·η·pf of the plate over its rating, for plausibility.
    pub fn plate_ratio(&self) -> Option<f64> {
        let volts = self.volts()?.number();
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
    /// Which table, from 0, where tables stand side by side.
    pub table: Option<usize>,
    /// The column of the sheet, from 1, where neither its rule nor its words say which.
    pub column: Option<u32>,
    /// Which.
    pub code: crate::fault::Code,
    /// How bad it is.
    pub severity: crate::fault::Severity,
    /// In words, with the numbers.
    pub text: crate::fault::Words,
    /// Other readings of its cells.
    pub others: Vec<Other>,
}

/// Another reading of cells of a row that a doubt offers, to be taken in one step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Other {
    /// What is put in the place of each, as it is typed into the list.
    pub sets: Vec<(Reads, String)>,
}

impl Other {
    /// Of one cell.
    pub fn of(reads: Reads, typed: impl Into<String>) -> Other {
        Other {
            sets: vec![(reads, typed.into())],
        }
    }

    /// In words: `1460 r/min`; `60 Hz, 4 pole`.
    pub fn in_words(&self) -> String {
        let words = self.sets.iter().map(|(reads, typed)| match (reads, typed.as_str()) {
            (Reads::Quantity, "1") => "1 motor".to_owned(),
            (Reads::Quantity, count) => format!("{count} motors"),
            (_, typed) => typed.to_owned(),
        });
        words.collect::<Vec<String>>().join(", ")
    }
}

impl Doubt {
    /// A doubt with the usual severity of its code.
    pub fn new(source_row: Option<u32>, code: crate::fault::Code, text: impl Into<crate::fault::Words>) -> Doubt {
        Doubt {
            source_row,
            table: None,
            column: None,
            code,
            severity: code.entry().severity,
            text: text.into(),
            others: Vec::new(),
        }
    }

    /// With other readings of its cells.
    #[must_use]
    pub fn offering(mut self, others: impl IntoIterator<Item = Other>) -> Doubt {
        self.others.extend(others);
        self
    }

    /// Of this column of the sheet, from 1.
    #[must_use]
    pub fn in_column(mut self, column: u32) -> Doubt {
        self.column = Some(column);
        self
    }

    /// Another severity.
    #[must_use]
    pub fn as_severe(mut self, severity: crate::fault::Severity) -> Doubt {
        self.severity = severity;
        self
    }
}

/// A float of a sheet as the decimal a person typed: fifteen digits.
pub(super) fn decimal(number: f64) -> Option<Decimal> {
    if number.fract() == 0.0 && number.abs() < 1e15 {
        return Some(Decimal::from(number as i64));
    }
    // A number with a few decimals is told exactly by so many digits; the general way is for the rest.
    if number.abs() < 1e9 {
        for (scale, factor) in [(1, 10.0), (2, 100.0), (3, 1000.0), (4, 10_000.0)] {
            let digits = (number * factor).round();
            if digits / factor == number {
                return Some(Decimal::new(digits as i64, scale).normalize());
            }
        }
    }
    // Its direct conversion gives 4203.154 as 4203.154000000001, so the digits go by way of their text.
    Decimal::from_scientific(&format!("{number:.14e}"))
        .ok()
        .or_else(|| Decimal::from_f64(number))
        .map(|value| value.normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_decimal_comes_back_from_its_float() {
        // Up to fifteen digits are kept by a float of 53 bits (IEEE 754), so the typed text is the judge.
        let mut state = 20_260_101u64;
        for _ in 0..20_000 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let digits = (state >> 20) as i64;
            for (digits, scale) in [
                (digits % 100_000_000, 3),
                (digits % 1_000_000_000_000, 6),
                (digits, 15),
                (-(digits % 10_000_000), 2),
                (digits, 4),
            ] {
                let typed = Decimal::new(digits, scale);
                let float: f64 = typed.to_string().parse().unwrap_or(f64::NAN);
                assert_eq!(decimal(float), Some(typed), "{float:?}");
            }
        }
        let told = |number: f64| decimal(number).map(|value| value.to_string());
        assert_eq!(told(4203.154).as_deref(), Some("4203.154"));
        assert_eq!(told(0.1 + 0.2).as_deref(), Some("0.3"));
        assert_eq!(told(f64::NAN), None);
        assert_eq!(told(f64::INFINITY), None);
        assert_eq!(told(1e40), None);
    }
}
