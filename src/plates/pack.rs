//! The motors of a list, close together in memory.
//!
//! For: lists of a hundred thousand rows. A cell as understood has the size of a dozen words, and a long list has millions of them;
//! here equal texts and values are kept once and a cell is 24 bytes.
//! Always: what comes out of [`At::motor`] is what went in with [`Motors::push`].
//! Not known here: how anything was read.

use std::collections::HashMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::motor::{Cell, Chosen, Motor, Raw, Reading, decimal};
use super::reads::{PlateUnit, Reads, float};

/// The motors of a list in order.
#[derive(Clone, Debug, Default)]
pub struct Motors {
    slots: Vec<Slot>,
    cells: Vec<Packed>,
    kept: Kept,
}

/// A motor without its cells.
#[derive(Clone, Copy, Debug)]
struct Slot {
    source_row: u32,
    table: u32,
    /// Where its cells begin.
    start: u32,
    drive: Option<Place>,
    used_voltage: Option<Place>,
    used_current: Option<Place>,
    supply: Option<Place>,
    chosen: Option<Chosen>,
    struck: bool,
    hidden: bool,
    standby: bool,
    out_of_service: bool,
}

/// A cell.
#[derive(Clone, Copy, Debug)]
struct Packed {
    /// A number as it stands, or the place of a text.
    raw: u64,
    value: u32,
    column: Place,
    note: Option<Place>,
    reads: Reads,
    unit: PlateUnit,
    confidence: u8,
    form: Form,
}

/// What `raw` and `value` of a cell are, in one byte.
#[derive(Clone, Copy, Debug)]
struct Form(u8);

impl Form {
    fn of(raw: RawForm, value: ValueForm) -> Form {
        Form(raw as u8 * 8 + value as u8)
    }

    fn raw(self) -> RawForm {
        match self.0 / 8 {
            0 => RawForm::None,
            1 => RawForm::Number,
            _ => RawForm::Text,
        }
    }

    fn value(self) -> ValueForm {
        match self.0 % 8 {
            0 => ValueForm::Nothing,
            1 => ValueForm::AsRaw,
            2 => ValueForm::One,
            3 => ValueForm::Several,
            _ => ValueForm::Words,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(u8)]
enum RawForm {
    None,
    Number,
    Text,
}

#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(u8)]
enum ValueForm {
    Nothing,
    /// The raw number as a decimal.
    AsRaw,
    One,
    Several,
    Words,
}

/// A place in one of the tables, plus one: with its `Option` no larger than a number.
type Place = std::num::NonZeroU32;

fn place(index: usize) -> Place {
    let index = u32::try_from(index).unwrap_or(u32::MAX);
    Place::MIN.saturating_add(index)
}

fn index(place: Place) -> usize {
    place.get() as usize - 1
}

/// Texts and values, each once.
#[derive(Clone, Debug, Default)]
struct Kept {
    texts: Vec<Arc<str>>,
    decimals: Vec<Decimal>,
    several: Vec<Arc<[Decimal]>>,
    known_texts: HashMap<Arc<str>, Place>,
    /// By digits and scale, so that 40.0 stays 40.0.
    known_decimals: HashMap<[u8; 16], Place>,
    /// The address of a text that was asked for just now: most texts of a column are one and the same. It stands in `texts`.
    latest: [Option<Place>; 16],
}

impl Kept {
    fn text(&mut self, text: &Arc<str>) -> Place {
        let address = text.as_ptr() as usize;
        let way = (address >> 4) % self.latest.len();
        if let Some(Some(place)) = self.latest.get(way)
            && self
                .texts
                .get(index(*place))
                .is_some_and(|known| Arc::ptr_eq(known, text))
        {
            return *place;
        }
        let found = match self.known_texts.get(text) {
            Some(known) => *known,
            None => {
                let place = place(self.texts.len());
                self.texts.push(text.clone());
                self.known_texts.insert(text.clone(), place);
                place
            }
        };
        if let Some(latest) = self.latest.get_mut(way) {
            *latest = Some(found);
        }
        found
    }

    fn decimal(&mut self, value: Decimal) -> Place {
        *self.known_decimals.entry(value.serialize()).or_insert_with(|| {
            self.decimals.push(value);
            place(self.decimals.len() - 1)
        })
    }

    fn text_at(&self, place: Place) -> Option<&Arc<str>> {
        self.texts.get(index(place))
    }

    fn decimal_at(&self, place: Place) -> Option<Decimal> {
        self.decimals.get(index(place)).copied()
    }
}

impl Motors {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.slots.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.slots.is_empty()
    }

    /// Adds a motor.
    pub fn push(&mut self, motor: &Motor) {
        let slot = Slot {
            source_row: motor.source_row,
            table: u32::try_from(motor.table).unwrap_or(u32::MAX),
            start: u32::try_from(self.cells.len()).unwrap_or(u32::MAX),
            drive: motor.drive.as_ref().map(|words| self.kept.text(words)),
            used_voltage: motor.used_voltage.map(|value| self.kept.decimal(value)),
            used_current: motor.used_current.map(|value| self.kept.decimal(value)),
            supply: motor.supply.map(|value| self.kept.decimal(value)),
            chosen: motor.chosen,
            struck: motor.struck,
            hidden: motor.hidden,
            standby: motor.standby,
            out_of_service: motor.out_of_service,
        };
        self.slots.push(slot);
        for (reads, cell) in &motor.cells {
            let packed = self.kept.packed(*reads, cell);
            self.cells.push(packed);
        }
    }

    /// The motor of this place in the list.
    pub fn at(&self, index: usize) -> Option<At<'_>> {
        let slot = self.slots.get(index)?;
        let end = self
            .slots
            .get(index + 1)
            .map_or(self.cells.len(), |next| next.start as usize);
        Some(At {
            slot,
            cells: self.cells.get(slot.start as usize..end)?,
            kept: &self.kept,
        })
    }

    /// All of them in order.
    pub fn iter(&self) -> impl Iterator<Item = At<'_>> {
        (0..self.slots.len()).filter_map(|index| self.at(index))
    }

    /// Changes the cell of a motor that is read as this, where there is one.
    pub fn change(&mut self, motor: usize, reads: Reads, change: impl FnOnce(&mut Cell)) {
        let Some(at) = self.at(motor) else { return };
        let Some(place) = at.cells.iter().position(|cell| cell.reads == reads) else {
            return;
        };
        let Some(mut cell) = at.cells.get(place).map(|packed| self.kept.cell(packed)) else {
            return;
        };
        let start = at.slot.start as usize;
        change(&mut cell);
        let packed = self.kept.packed(reads, &cell);
        if let Some(entry) = self.cells.get_mut(start + place) {
            *entry = packed;
        }
    }

    /// Nothing more comes: what only serves to find equal texts and values goes.
    pub fn close(&mut self) {
        self.kept.known_texts = HashMap::new();
        self.kept.known_decimals = HashMap::new();
        self.cells.shrink_to_fit();
        self.slots.shrink_to_fit();
    }
}

impl Kept {
    fn packed(&mut self, reads: Reads, cell: &Cell) -> Packed {
        let (raw, raw_form) = match &cell.raw {
            Raw::None => (0, RawForm::None),
            Raw::Number(number) => (number.to_bits(), RawForm::Number),
            Raw::Text(text) => (u64::from(self.text(text).get()), RawForm::Text),
        };
        let (value, value_form) = match &cell.value {
            Reading::Nothing => (0, ValueForm::Nothing),
            Reading::One(value) => match &cell.raw {
                Raw::Number(number) if decimal(*number).is_some_and(|raw| raw.serialize() == value.serialize()) => {
                    (0, ValueForm::AsRaw)
                }
                _ => (self.decimal(*value).get(), ValueForm::One),
            },
            Reading::Several(values) => {
                self.several.push(values.clone());
                (place(self.several.len() - 1).get(), ValueForm::Several)
            }
            Reading::Words(words) => (self.text(words).get(), ValueForm::Words),
        };
        Packed {
            raw,
            value,
            column: self.text(&cell.column),
            note: cell.note.as_ref().map(|note| self.text(note)),
            reads,
            unit: cell.unit,
            confidence: cell.confidence,
            form: Form::of(raw_form, value_form),
        }
    }

    fn raw_text(&self, packed: &Packed) -> Option<&Arc<str>> {
        self.text_at(Place::new(u32::try_from(packed.raw).ok()?)?)
    }

    fn one(&self, packed: &Packed) -> Option<Decimal> {
        match packed.form.value() {
            ValueForm::AsRaw => decimal(f64::from_bits(packed.raw)),
            ValueForm::One => self.decimal_at(Place::new(packed.value)?),
            _ => None,
        }
    }

    fn words(&self, packed: &Packed) -> Option<&Arc<str>> {
        match packed.form.value() {
            ValueForm::Words => self.text_at(Place::new(packed.value)?),
            _ => None,
        }
    }

    fn several(&self, packed: &Packed) -> Option<&Arc<[Decimal]>> {
        match packed.form.value() {
            ValueForm::Several => self.several.get(index(Place::new(packed.value)?)),
            _ => None,
        }
    }

    fn cell(&self, packed: &Packed) -> Cell {
        let raw = match packed.form.raw() {
            RawForm::None => Raw::None,
            RawForm::Number => Raw::Number(f64::from_bits(packed.raw)),
            RawForm::Text => self.raw_text(packed).cloned().map_or(Raw::None, Raw::Text),
        };
        let value = match packed.form.value() {
            ValueForm::Nothing => None,
            ValueForm::AsRaw | ValueForm::One => self.one(packed).map(Reading::One),
            ValueForm::Several => self.several(packed).cloned().map(Reading::Several),
            ValueForm::Words => self.words(packed).cloned().map(Reading::Words),
        };
        Cell {
            raw,
            column: self.text_at(packed.column).cloned().unwrap_or_else(|| Arc::from("")),
            value: value.unwrap_or(Reading::Nothing),
            unit: packed.unit,
            confidence: packed.confidence,
            note: packed.note.and_then(|note| self.text_at(note)).cloned(),
        }
    }
}

/// A motor in its place.
#[derive(Clone, Copy, Debug)]
pub struct At<'a> {
    slot: &'a Slot,
    cells: &'a [Packed],
    kept: &'a Kept,
}

impl<'a> At<'a> {
    /// The motor by itself.
    pub fn motor(&self) -> Motor {
        let slot = self.slot;
        Motor {
            source_row: slot.source_row,
            table: slot.table as usize,
            struck: slot.struck,
            hidden: slot.hidden,
            standby: slot.standby,
            out_of_service: slot.out_of_service,
            drive: self.drive().cloned(),
            cells: self.cells().map(|cell| (cell.reads(), cell.whole())).collect(),
            chosen: self.slot.chosen,
            used_voltage: self.used_voltage(),
            used_current: self.used_current(),
            supply: slot.supply.and_then(|place| self.kept.decimal_at(place)),
        }
    }

    /// Row of the sheet, from 1.
    pub fn source_row(&self) -> u32 {
        self.slot.source_row
    }

    /// Which table of the sheet, from 0.
    pub fn table(&self) -> usize {
        self.slot.table as usize
    }

    /// Struck through.
    pub fn struck(&self) -> bool {
        self.slot.struck
    }

    /// Hidden.
    pub fn hidden(&self) -> bool {
        self.slot.hidden
    }

    /// The whole row stands by.
    pub fn standby(&self) -> bool {
        self.slot.standby
    }

    /// Its words say that it is out of service or gone.
    pub fn said_out_of_service(&self) -> bool {
        self.slot.out_of_service
    }

    /// Out of service or gone, by its words or struck through.
    pub fn out_of_service(&self) -> bool {
        self.slot.out_of_service || self.slot.struck
    }

    /// The words that say that it is fed by a drive.
    pub fn drive(&self) -> Option<&'a Arc<str>> {
        self.kept.text_at(self.slot.drive?)
    }

    /// The plate voltage that holds at this supply.
    pub fn used_voltage(&self) -> Option<Decimal> {
        self.kept.decimal_at(self.slot.used_voltage?)
    }

    /// The plate current that belongs to it.
    pub fn used_current(&self) -> Option<Decimal> {
        self.kept.decimal_at(self.slot.used_current?)
    }

    /// Its cells.
    pub fn cells(&self) -> impl ExactSizeIterator<Item = CellAt<'a>> + use<'a> {
        let kept = self.kept;
        self.cells.iter().map(move |packed| CellAt { packed, kept })
    }

    /// The cell read as this.
    pub fn cell(&self, reads: Reads) -> Option<CellAt<'a>> {
        self.cells().find(|cell| cell.reads() == reads)
    }

    /// The one number read as this; of a plate for two frequencies the one that holds.
    pub fn one(&self, reads: Reads) -> Option<Decimal> {
        self.of(self.cell(reads)?)
    }

    /// The one number of a cell of this motor.
    pub fn of(&self, cell: CellAt<'_>) -> Option<Decimal> {
        cell.one()
            .or_else(|| self.slot.chosen?.among(cell.reads(), cell.several()))
    }

    /// The same as a float, for plausibility.
    pub fn float(&self, reads: Reads) -> Option<f64> {
        self.one(reads).map(float)
    }

    /// The words read as this.
    pub fn words(&self, reads: Reads) -> Option<&'a Arc<str>> {
        self.cell(reads)?.words()
    }

    /// Why no current of the plate can be used, where it gives several.
    pub fn current_refused(&self) -> Option<&'static str> {
        let currents = self.cell(Reads::RatedCurrent).map_or(0, |cell| cell.count());
        let voltages = self.cell(Reads::Voltage).map_or(0, |cell| cell.count());
        if self.used_current().is_some() || currents < 2 {
            return None;
        }
        Some(match voltages {
            0 => "the plate gives several currents and no voltage to choose by",
            given if given == currents => "the plate gives several voltages and currents, and the supply is not known",
            _ => "the plate gives several currents that do not belong to its voltages one by one",
        })
    }

    /// Why its plate voltage is not known although the plate gives some.
    pub fn voltage_refused(&self) -> Option<&'static str> {
        let voltages = self.cell(Reads::Voltage).map_or(0, |cell| cell.count());
        (self.used_voltage().is_none() && voltages > 1)
            .then_some("the plate gives several voltages, and which of them the supply has is not said: type that one")
    }

    /// The rating in kilowatts, for plausibility.
    pub fn kilowatts(&self) -> Option<f64> {
        let cell = self.cell(Reads::RatedPower)?;
        Some(float(self.of(cell)?) * cell.unit().kilowatts()?)
    }
}

/// A cell in its place.
#[derive(Clone, Copy, Debug)]
pub struct CellAt<'a> {
    packed: &'a Packed,
    kept: &'a Kept,
}

impl<'a> CellAt<'a> {
    /// What it is read as.
    pub fn reads(&self) -> Reads {
        self.packed.reads
    }

    /// The unit.
    pub fn unit(&self) -> PlateUnit {
        self.packed.unit
    }

    /// Whether there is no value.
    pub fn is_nothing(&self) -> bool {
        self.packed.form.value() == ValueForm::Nothing
    }

    /// The value, where it is one number.
    pub fn one(&self) -> Option<Decimal> {
        self.kept.one(self.packed)
    }

    /// The words.
    pub fn words(&self) -> Option<&'a Arc<str>> {
        self.kept.words(self.packed)
    }

    /// The values, where there are several.
    pub fn several(&self) -> &'a [Decimal] {
        self.kept.several(self.packed).map_or(&[], |values| values)
    }

    /// Per cent of certainty.
    pub fn confidence(&self) -> u8 {
        self.packed.confidence
    }

    /// How many values there are.
    pub fn count(&self) -> usize {
        match self.packed.form.value() {
            ValueForm::AsRaw | ValueForm::One => 1,
            _ => self.kept.several(self.packed).map_or(0, |values| values.len()),
        }
    }

    /// The text as it stands; none where the cell holds a number or is implied.
    pub fn raw_text(&self) -> Option<&'a Arc<str>> {
        match self.packed.form.raw() {
            RawForm::Text => self.kept.raw_text(self.packed),
            _ => None,
        }
    }

    /// Heading of its column, empty where the value is implied.
    pub fn column(&self) -> &'a str {
        self.kept.text_at(self.packed.column).map_or("", |column| column)
    }

    /// How it was read, where that is worth saying.
    pub fn note(&self) -> Option<&'a str> {
        self.kept.text_at(self.packed.note?).map(|note| &**note)
    }

    /// The cell by itself.
    pub fn whole(&self) -> Cell {
        self.kept.cell(self.packed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_small() {
        assert_eq!(size_of::<Packed>(), 24);
    }

    #[test]
    fn what_goes_in_comes_out() {
        let text = |text: &str| -> Arc<str> { Arc::from(text) };
        let cell = |raw: Raw, value: Reading, note: Option<&str>| Cell {
            raw,
            column: text("Rated\nkW"),
            value,
            unit: PlateUnit::Kilowatt,
            confidence: 85,
            note: note.map(text),
        };
        let one = |digits: &str| Reading::One(digits.parse().unwrap_or_default());
        let motor = |row: u32| Motor {
            source_row: row,
            table: 1,
            struck: row == 3,
            hidden: row == 4,
            standby: row == 5,
            out_of_service: row == 4,
            drive: (row == 3).then(|| text("VFD")),
            cells: vec![
                (
                    Reads::Tag,
                    cell(Raw::Text(text("M-1")), Reading::Words(text("M-1")), None),
                ),
                (Reads::RatedPower, cell(Raw::Number(11.5), one("11.5"), None)),
                // The same number with another scale, and another number than the raw one.
                (
                    Reads::Poles,
                    cell(Raw::Number(40.0), one("40.0"), Some("as in the row above")),
                ),
                (Reads::Efficiency, cell(Raw::Number(0.91), one("91"), None)),
                (
                    Reads::Remarks,
                    cell(Raw::Text(text("n/a")), Reading::Nothing, Some("no value")),
                ),
                (
                    Reads::Voltage,
                    cell(
                        Raw::None,
                        Reading::Several([Decimal::from(400), Decimal::from(460)].into()),
                        None,
                    ),
                ),
            ],
            chosen: (row == 5).then_some(Chosen { which: 1, of: 2 }),
            used_voltage: Some(Decimal::from(400)),
            used_current: (row == 4).then_some(Decimal::ONE),
            supply: (row == 3).then_some(Decimal::from(690)),
        };
        let mut motors = Motors::default();
        for row in 3..6 {
            motors.push(&motor(row));
        }
        motors.close();
        for (at, row) in motors.iter().zip(3..6) {
            assert_eq!(format!("{:?}", at.motor()), format!("{:?}", motor(row)));
        }
        assert_eq!(motors.iter().count(), 3);
        let volts = |place: usize| motors.at(place).and_then(|at| at.one(Reads::Voltage));
        assert_eq!((volts(1), volts(2)), (None, Some(Decimal::from(460))));
        motors.change(1, Reads::RatedPower, |cell| cell.say("doubted"));
        let changed = motors.at(1).map(|at| at.motor()).unwrap_or_else(|| motor(0));
        assert_eq!(
            changed.cell(Reads::RatedPower).and_then(|cell| cell.note.as_deref()),
            Some("doubted")
        );
        assert_eq!(changed.one(Reads::RatedPower), Some(Decimal::new(115, 1)));
        let other = motors.at(2).map(|at| at.motor()).unwrap_or_else(|| motor(0));
        assert_eq!(format!("{other:?}"), format!("{:?}", motor(5)));
    }
}
