//! The rules of reading asked again for one row, as the workbook has it now.
//!
//! Always: a rule is only said to hold no longer where it also speaks of what was read, made of the same cells: what cannot be put
//! to it is not asked.
//! Not known here: what the rules are, and drawing.

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive as _;

use crate::language::check::Sort;
use crate::plates::doubt::of_motor;
use crate::plates::list::given_of;
use crate::plates::motor::{self, Motor, Raw, Reading};
use crate::plates::reads::{PlateUnit, Reads};
use crate::recalc::SheetResults;
use crate::workbook::Cell;

/// What a rule says when it is asked again.
#[derive(Clone, Debug, PartialEq)]
pub enum Again {
    /// It speaks still, in these words.
    Holds(String),
    /// It has nothing to say any more.
    Over,
    /// It could not be asked.
    Unasked,
}

/// A row of the list as the rules see it.
#[derive(Clone, Copy)]
pub struct Row<'a> {
    /// Its place.
    pub item: usize,
    /// The list as worked.
    pub results: &'a SheetResults,
    /// Its cell under a name, where that is a column.
    pub cell: &'a dyn Fn(&str) -> Option<&'a Cell>,
}

impl Row<'_> {
    /// Asks a rule, by its word, again; `was`: the cells that were changed, as they were read.
    pub fn asked(&self, rule: &str, was: &[(&'static str, &Cell)]) -> Again {
        let says = |motor: &Motor| of_motor(motor).into_iter().find(|doubt| doubt.code.word() == rule);
        let before = |name: &str| match was.iter().find(|(known, _)| *known == name) {
            Some((_, cell)) => Some(*cell),
            None => (self.cell)(name),
        };
        // What stands there now has to be one that the rule can see.
        let is_seen = |name: &str| match (self.cell)(name) {
            None | Some(Cell::Blank) => true,
            Some(cell) => Reads::ALL
                .iter()
                .any(|reads| given_of(*reads) == Some(name) && held(*reads, cell).is_some()),
        };
        if !was.iter().all(|(name, _)| is_seen(name)) || says(&self.motor(&before)).is_none() {
            return Again::Unasked;
        }
        match says(&self.motor(&|name| (self.cell)(name))) {
            Some(doubt) => Again::Holds(doubt.text),
            None => Again::Over,
        }
    }

    fn motor<'c>(&self, cell: &dyn Fn(&str) -> Option<&'c Cell>) -> Motor {
        let mut motor = Motor {
            source_row: 0,
            table: 0,
            struck: false,
            hidden: false,
            standby: false,
            out_of_service: false,
            drive: None,
            cells: Vec::new(),
            chosen: None,
            used_voltage: None,
            used_current: None,
        };
        for reads in Reads::ALL.iter().filter(|reads| **reads != Reads::Item) {
            let Some(name) = given_of(*reads) else { continue };
            let held = match cell(name) {
                Some(cell) => held(*reads, cell),
                None => self.of_all(*reads, name),
            };
            let Some(held) = held else { continue };
            match reads {
                Reads::Voltage => motor.used_voltage = held.one(),
                Reads::RatedCurrent => motor.used_current = held.one(),
                Reads::Drive => {
                    if let Reading::Words(words) = &held.value {
                        motor.drive = Some(words.clone()).filter(|words| **words == *"drive");
                    }
                    continue;
                }
                _ => {}
            }
            motor.cells.push((*reads, held));
        }
        motor
    }

    /// A value that is given for all rows, such as the frequency.
    fn of_all(&self, reads: Reads, name: &str) -> Option<motor::Cell> {
        let quantity = self.results.quantities.iter().find(|known| *known.name == *name)?;
        let Sort::Quantity { unit, .. } = &quantity.sort else {
            return None;
        };
        let number = quantity.cells.get(self.item)?.as_number()?;
        let (value, unit) = measured(reads, Decimal::from_f64(number.to_f64())?, Some(&unit.text))?;
        Some(understood(Reading::One(value), unit))
    }
}

fn understood(value: Reading, unit: PlateUnit) -> motor::Cell {
    motor::Cell {
        raw: Raw::None,
        column: "".into(),
        value,
        unit,
        confidence: 100,
        note: None,
    }
}

/// A cell as the rules see it; `None` where they do not: a formula, a unit that no plate has.
fn held(reads: Reads, cell: &Cell) -> Option<motor::Cell> {
    match cell {
        Cell::Number(number, unit) => {
            let (value, unit) = measured(reads, *number, unit.as_ref().map(|unit| &*unit.text))?;
            Some(understood(Reading::One(value), unit))
        }
        Cell::Text(text) | Cell::Word(text) => Some(understood(Reading::Words(text.clone()), PlateUnit::One))
            .filter(|_| reads.sort() == crate::plates::reads::Sort::Text),
        Cell::Blank | Cell::Formula(_) => None,
    }
}

/// A number in the unit that the rules take it to be in; ratings keep theirs.
fn measured(reads: Reads, number: Decimal, unit: Option<&str>) -> Option<(Decimal, PlateUnit)> {
    let thousand = Decimal::ONE_THOUSAND;
    let unit = match unit {
        None | Some("" | "pole") => PlateUnit::One,
        Some(text) => PlateUnit::ALL.into_iter().find(|known| known.text() == text)?,
    };
    let usual = reads.usual();
    Some(match (unit, usual) {
        (unit, usual) if unit == usual => (number, unit),
        (unit, PlateUnit::Kilowatt) if reads == Reads::RatedPower => {
            let _ = unit.kilowatts()?;
            (number, unit)
        }
        (PlateUnit::Watt, PlateUnit::Kilowatt) => (number / thousand, usual),
        (PlateUnit::Kilovolt, PlateUnit::Volt) => (number * thousand, usual),
        (PlateUnit::One, PlateUnit::Percent) => (number * Decimal::ONE_HUNDRED, usual),
        (PlateUnit::Percent, PlateUnit::One) => (number / Decimal::ONE_HUNDRED, usual),
        _ => return None,
    })
}
