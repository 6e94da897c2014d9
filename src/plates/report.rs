//! The report of an import, as other programs may rely on it.
//!
//! Always: `rows` has one entry for each filled row of the sheet that holds the list, blank rows inside it too; the types here are
//! the written form and nothing else uses them.
//! Not known here: how anything was understood.

use std::collections::HashMap;
use std::sync::Arc;

use serde::ser::{SerializeMap, SerializeSeq};
use serde::{Serialize, Serializer};

use super::changes::Change;
use super::find::As;
use super::list::{self, LOADS, Load};
use super::motor::{Cell, Other, Reading};
use super::pack::{At, CellAt, Motors};
use super::reads::{self, Reads};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value as Worked};
use crate::quantity::show;
use crate::recalc::{QuantityResults, SheetResults};
use crate::workbook::SOURCE_ROW;

/// The report.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// The file, as named.
    pub file: String,
    /// What it is by its first bytes.
    pub sort: String,
    /// SHA-256 of the file.
    pub digest: String,
    /// The sheet that holds the list; `null` where none does.
    pub sheet: Option<String>,
    /// All sheets with their filled cells and the motors found in them.
    pub sheets: Vec<SheetReport>,
    /// Main language of the headings.
    pub language: Option<String>,
    /// Supply as said in title rows.
    pub supply: Option<SupplyReport>,
    /// Columns of each table and what they were taken for.
    pub columns: Vec<ColumnReport>,
    /// Every row.
    pub rows: Vec<RowReport>,
    /// Printed totals beside the sums of their rows.
    pub totals: Vec<super::totals::Total>,
    /// What of the ratings does not run; only where a motor stands by or is out of service.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratings: Option<super::totals::Ratings>,
    /// Every doubt.
    pub doubts: Vec<DoubtReport>,
    /// Load columns of each motor; filled once the list has been worked.
    pub computed: ComputedLoads,
    /// What was noticed while reading the file.
    pub remarks: Vec<String>,
    /// How many of its columns a column map speaks of.
    #[serde(skip)]
    pub spoken_of: usize,
    /// What changed since the workbook was last made from the list; only where there is one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Change>,
    /// What was corrected in the workbook since the list was read; only where a list is handed over from a workbook.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub corrected: Vec<Correction>,
    /// Rows of motors that the workbook has no more; only where a list is handed over from a workbook.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gone: Vec<u32>,
}

/// A value that the workbook has otherwise than the list it was read from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// Row of the sheet, from 1.
    pub source_row: u32,
    /// Column of the sheet, from 1; `null` where the value stands in no column of its own.
    pub column: Option<u32>,
    /// The quantity.
    pub name: String,
    /// What it is called in the list.
    pub called: String,
    /// As read of the list; where no value was, as it stands in the cell. [`NO_VALUE`] for an empty cell.
    pub received: String,
    /// As the workbook has it, and works with; [`NO_VALUE`] where it was taken out.
    pub used: String,
}

/// What is said in the place of a value where none is.
pub const NO_VALUE: &str = "nothing";

impl Correction {
    /// Whether it is no value of the list, but how far its readings are trusted: changed by hand or with a value.
    pub fn is_grade(&self) -> bool {
        list::graded_by(&self.name).is_some()
    }

    /// For the last column of the list.
    pub fn in_words(&self) -> String {
        let (called, used, received) = (&self.called, &self.used, &self.received);
        if let Some(readings) = list::graded_by(&self.name) {
            return format!("{readings}: {received} for the load when the list was read, {used} now.");
        }
        match (received.as_str(), used.as_str()) {
            (NO_VALUE, used) => format!("Worked with {used} for {called}, of which the list says nothing."),
            (received, NO_VALUE) => format!("Worked without {called}; the list says {received}."),
            (received, used) => format!("Worked with {used} for {called}, in place of {received} in the list."),
        }
    }

    /// In few words, beside a doubt that it settles.
    pub fn in_short(&self) -> String {
        let (called, used, received) = (&self.called, &self.used, &self.received);
        match (received.as_str(), used.as_str()) {
            (NO_VALUE, used) => format!("{called} {used}, where the list says nothing"),
            (received, NO_VALUE) => format!("{called} {received} taken out"),
            (received, used) => format!("{called} {used} in place of {received}"),
        }
    }

    /// For a note on the cell, which stays as it was received.
    pub fn on_its_cell(&self) -> String {
        let (used, received) = (&self.used, &self.received);
        match (received.as_str(), used.as_str()) {
            (NO_VALUE, used) => format!("Added since the list was read: {used} is used. The cell stays empty."),
            (received, NO_VALUE) => {
                format!("Taken out since the list was read: {received} is not used. The cell stays as received.")
            }
            (received, used) => format!(
                "Corrected since the list was read: {used} is used in place of {received}. The cell stays as received."
            ),
        }
    }
}

impl Report {
    /// How many motors each row of the source holds.
    pub fn motors_in_rows(&self) -> HashMap<u32, usize> {
        let motors = self.rows.iter().filter(|row| row.called == As::Motor);
        let mut counts = HashMap::new();
        for row in motors {
            *counts.entry(row.source_row).or_default() += 1;
        }
        counts
    }

    /// The first column of the sheet, from 1, of those at its end that were added when the list was written back.
    pub fn added_from(&self) -> Option<u32> {
        let added = self.columns.iter().filter(|column| column.reason == super::find::ADDED);
        let first = added.map(|column| column.column).min()?;
        let further = self.columns.iter().filter(|column| column.column >= first);
        further
            .into_iter()
            .all(|column| column.reason == super::find::ADDED)
            .then_some(first)
    }

    /// Of a file of which nothing is known yet.
    pub fn of(file: &str, sort: &str, digest: String, remarks: Vec<String>) -> Report {
        Report {
            file: file.to_owned(),
            sort: sort.to_owned(),
            digest,
            sheet: None,
            sheets: Vec::new(),
            language: None,
            supply: None,
            columns: Vec::new(),
            rows: Vec::new(),
            totals: Vec::new(),
            ratings: None,
            doubts: Vec::new(),
            computed: ComputedLoads::default(),
            remarks,
            spoken_of: 0,
            changes: Vec::new(),
            corrected: Vec::new(),
            gone: Vec::new(),
        }
    }

    /// Of a file that could not be read: its name and why.
    pub fn unread(file: &str, why: &str) -> Report {
        Report::of(file, "not read", String::new(), vec![why.to_owned()])
    }
}

/// A sheet of the file.
#[derive(Clone, Debug, Serialize)]
pub struct SheetReport {
    /// Name.
    pub name: String,
    /// Filled cells.
    pub filled: usize,
    /// Rows of motors.
    pub motors: usize,
    /// Hidden in the file.
    pub hidden: bool,
}

/// What is said of another sheet with motors.
pub fn not_read(sheet: &str, motors: usize) -> String {
    format!("The sheet {sheet} also holds a table of motors ({motors} rows); it was not read.")
}

/// The supply.
#[derive(Clone, Debug, Serialize)]
pub struct SupplyReport {
    /// V
    pub voltage: Option<String>,
    /// Hz
    pub frequency: Option<String>,
    /// Where it stands.
    pub said: String,
}

/// A column and what it was taken for.
#[derive(Clone, Debug, Serialize)]
pub struct ColumnReport {
    /// Table, from 1.
    pub table: usize,
    /// Column of the sheet, from 1.
    pub column: u32,
    /// Heading.
    pub heading: String,
    /// What it holds; `null`: kept as it stands, not read.
    pub reads: Option<&'static str>,
    /// What else stands in its cells: a second quantity, or whole nameplates.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub and: Option<&'static str>,
    /// Unit its numbers were read in where they carry none; `null`: no unit.
    pub unit: Option<String>,
    /// The unit written over it, of those that plates have.
    #[serde(skip)]
    pub written_unit: Option<&'static str>,
    /// From 0 to 1.
    pub confidence: f64,
    /// Why.
    pub reason: String,
    /// Hidden in the file.
    pub hidden: bool,
    /// Pole pairs, read as poles.
    #[serde(skip_serializing_if = "is_false")]
    pub pairs: bool,
}

/// A source row.
#[derive(Clone, Debug, Serialize)]
pub struct RowReport {
    /// Sheet.
    pub sheet: std::sync::Arc<str>,
    /// Table, from 1; `null` outside of tables.
    pub table: Option<usize>,
    /// Row of the sheet, from 1.
    pub source_row: u32,
    /// What it is.
    #[serde(rename = "as")]
    pub called: As,
    /// Struck through.
    #[serde(skip_serializing_if = "is_false")]
    pub struck_through: bool,
    /// Hidden.
    #[serde(skip_serializing_if = "is_false")]
    pub hidden: bool,
    /// Stands by as a whole; a quantity such as 2W+1S has readings of its own.
    #[serde(skip_serializing_if = "is_false")]
    pub standby: bool,
    /// Out of service or gone, by its words; where that is only struck through, that is said alone.
    #[serde(skip_serializing_if = "is_false")]
    pub out_of_service: bool,
    /// What the row says, where it is no motor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// Readings, where it is a motor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub readings: Option<Readings>,
}

fn is_false(value: &bool) -> bool {
    !value
}

/// Readings of a row, by their keys: one motor of the list.
#[derive(Clone, Debug)]
pub struct Readings {
    motors: Arc<Motors>,
    motor: usize,
}

impl Readings {
    /// Of a motor by its place in the list.
    pub fn of(motors: &Arc<Motors>, motor: usize) -> Readings {
        Readings {
            motors: motors.clone(),
            motor,
        }
    }

    /// The place of the motor in the list.
    pub fn place(&self) -> usize {
        self.motor
    }

    /// The motor.
    pub fn at(&self) -> Option<At<'_>> {
        self.motors.at(self.motor)
    }

    /// All of them, in the order of the report.
    pub fn cells(&self) -> impl Iterator<Item = CellAt<'_>> {
        self.motors.at(self.motor).into_iter().flat_map(|at| at.cells())
    }

    /// The reading under this key.
    pub fn get(&self, reads: Reads) -> Option<Cell> {
        let cell = self.motors.at(self.motor)?.cell(reads)?;
        Some(cell.whole())
    }
}

impl Serialize for Readings {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.cells().count()))?;
        for cell in self.cells() {
            let reads = cell.reads();
            map.serialize_entry(reads.key(), &Written(&cell.whole(), reads.sort()))?;
        }
        map.end()
    }
}

/// A reading as written.
struct Written<'a>(&'a Cell, reads::Sort);

impl Serialize for Written<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let cell = self.0;
        let mut map = serializer.serialize_map(Some(6))?;
        map.serialize_entry("raw", &cell.raw.text())?;
        map.serialize_entry("column", &cell.column)?;
        map.serialize_entry("value", &Value(&cell.value))?;
        // Words have no unit.
        let unit = Some(cell.unit.text()).filter(|_| self.1 == reads::Sort::Number);
        map.serialize_entry("unit", &unit)?;
        map.serialize_entry("confidence", &(f64::from(cell.confidence) / 100.0))?;
        map.serialize_entry("note", &cell.note)?;
        map.end()
    }
}

struct Value<'a>(&'a Reading);

impl Serialize for Value<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Reading::Nothing => serializer.serialize_none(),
            Reading::One(value) => serializer.collect_str(&value.normalize()),
            Reading::Several(values) => {
                let mut list = serializer.serialize_seq(Some(values.len()))?;
                for value in values.iter() {
                    list.serialize_element(&value.normalize().to_string())?;
                }
                list.end()
            }
            Reading::Words(words) => serializer.serialize_str(words),
        }
    }
}

fn in_words<S: Serializer>(others: &[Other], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(others.iter().map(Other::in_words))
}

/// A doubt.
#[derive(Clone, Debug, Serialize)]
pub struct DoubtReport {
    /// Row of the sheet from 1; `null`: a whole column.
    pub source_row: Option<u32>,
    /// Table, from 1, where tables stand side by side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub table: Option<usize>,
    /// Column of the sheet, from 1, that is to be looked at first; `null`: the row as a whole.
    pub column: Option<u32>,
    /// The same, where it was known when the doubt was found.
    #[serde(skip)]
    pub given_column: Option<u32>,
    /// All readings of the list that it is about, that of `column` first.
    #[serde(skip)]
    pub reads: Vec<Reads>,
    /// The word of the rule; `explain` tells more.
    pub rule: &'static str,
    /// `error`, `warning` or `note`.
    pub level: &'static str,
    /// In words, with the numbers it rests on.
    pub text: crate::fault::Words,
    /// Other readings of its cells, as they are typed; only where one is offered.
    #[serde(
        rename = "offered",
        skip_serializing_if = "Vec::is_empty",
        serialize_with = "in_words"
    )]
    pub others: Vec<Other>,
    /// Why it is over; only where the value was corrected in the workbook since.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<String>,
    /// It is about what was typed in the workbook since the list was read.
    #[serde(skip_serializing_if = "is_false")]
    pub typed_since: bool,
    /// The likely mistake, what to look at on site and what the rule rests on, for rules of plausibility.
    #[serde(flatten)]
    pub why: Option<Why>,
}

/// What a rule of plausibility adds to its findings.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Why {
    /// The likely mistake.
    pub likely: &'static str,
    /// What to look at on site.
    pub look: &'static str,
    /// What the rule rests on.
    pub source: &'static str,
}

/// Load columns of the motors: what the worked list gives, without a copy of it.
#[derive(Clone, Debug, Default)]
pub struct ComputedLoads {
    /// Row of the sheet, from 1, and tag of each motor.
    pub motors: Vec<(u32, Option<Arc<str>>)>,
    /// The list as worked.
    sheet: Option<SheetResults>,
    /// Which item of it each motor is, where they do not stand in the same order.
    places: Option<Vec<Option<usize>>>,
}

impl ComputedLoads {
    /// Of motors whose list has not been worked yet.
    pub fn of(motors: Vec<(u32, Option<Arc<str>>)>) -> ComputedLoads {
        ComputedLoads {
            motors,
            sheet: None,
            places: None,
        }
    }

    /// Takes what the worked list gives.
    pub fn take(&mut self, sheet: &SheetResults) {
        self.sheet = Some(sheet.clone());
        // A list put into a workbook that was there before may have lost and gained rows.
        let rows: Vec<Option<u32>> = self.column(SOURCE_ROW).map_or_else(Vec::new, |column| {
            column
                .cells
                .iter()
                .map(|cell| match cell {
                    Outcome::Value(Worked::Number(number)) => Some(number.to_f64() as u32),
                    _ => None,
                })
                .collect()
        });
        let in_order = rows.len() == self.motors.len()
            && rows
                .iter()
                .zip(&self.motors)
                .all(|(row, (motor, _))| *row == Some(*motor));
        self.places = (!in_order && !rows.is_empty()).then(|| {
            let places: HashMap<u32, usize> = rows
                .iter()
                .enumerate()
                .filter_map(|(place, row)| Some(((*row)?, place)))
                .collect();
            self.motors.iter().map(|(row, _)| places.get(row).copied()).collect()
        });
    }

    /// The item of the worked list that a motor is.
    pub fn place(&self, index: usize) -> Option<usize> {
        match &self.places {
            Some(places) => places.get(index).copied().flatten(),
            None => Some(index),
        }
    }

    /// How many motors there are.
    pub fn len(&self) -> usize {
        self.motors.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.motors.is_empty()
    }

    /// A column of the worked list.
    pub fn column(&self, name: &str) -> Option<&QuantityResults> {
        let sheet = self.sheet.as_ref()?;
        sheet.quantities.iter().find(|quantity| *quantity.name == *name)
    }

    /// The best load of a motor in few words: `62.1 % (A)`, or why there is none.
    pub fn best(&self, index: usize) -> String {
        let load = self.cell(self.column("load"), index);
        match (load.value, load.refused) {
            (Some(value), _) => {
                let grade = self.cell(self.column("grade"), index).value.unwrap_or_default();
                let rounded = value.parse::<f64>().map_or(value, |value| format!("{value:.1}"));
                format!("{rounded} {} ({grade})", load.unit)
            }
            (None, Some(why)) => why,
            (None, None) => String::new(),
        }
    }

    /// A worked cell.
    fn cell(&self, column: Option<&QuantityResults>, index: usize) -> Computed {
        let (Some(sheet), Some(column)) = (&self.sheet, column) else {
            return Computed::default();
        };
        let unit = match &column.sort {
            Sort::Quantity { unit, .. } => unit.text.to_string(),
            _ => String::new(),
        };
        let place = self.place(index);
        let (value, refused) = match place.and_then(|place| column.cells.get(place)) {
            Some(Outcome::Value(Worked::Number(number))) => (Some(show::exact(number)), None),
            Some(Outcome::Value(Worked::Text(text))) => (Some(text.to_string()), None),
            Some(Outcome::Value(_)) => (None, Some("it is no number".to_owned())),
            Some(Outcome::Blank(why)) => (
                None,
                Some(sheet.reason_in_words(place.unwrap_or(index), why).to_string()),
            ),
            Some(Outcome::Fault(fault)) => (None, Some(fault.message.to_string())),
            None => (None, Some("the list has not been worked".to_owned())),
        };
        Computed { value, unit, refused }
    }
}

impl Serialize for ComputedLoads {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let columns: Vec<_> = LOADS.iter().map(|load| (load, self.column(load.name))).collect();
        let mut list = serializer.serialize_seq(Some(self.motors.len()))?;
        for (index, (source_row, tag)) in self.motors.iter().enumerate() {
            let row = ComputedRow {
                loads: self,
                columns: &columns,
                index,
                source_row: *source_row,
                tag: tag.as_deref(),
            };
            list.serialize_element(&row)?;
        }
        list.end()
    }
}

/// The load columns of a motor as written.
struct ComputedRow<'a> {
    loads: &'a ComputedLoads,
    columns: &'a [(&'a Load, Option<&'a QuantityResults>)],
    index: usize,
    source_row: u32,
    tag: Option<&'a str>,
}

impl Serialize for ComputedRow<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("source_row", &self.source_row)?;
        map.serialize_entry("tag", &self.tag)?;
        for (load, column) in self.columns {
            let cell = self.loads.cell(*column, self.index);
            if matches!(load.key, "method" | "grade") {
                map.serialize_entry(load.key, &cell.value)?;
            } else if column.is_some() || !matches!(load.key, "load_by_no_load_current" | "load_by_current_alone") {
                map.serialize_entry(load.key, &cell)?;
            }
        }
        map.end()
    }
}

/// A worked value, or why there is none.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Computed {
    /// A decimal string.
    pub value: Option<String>,
    /// Its unit.
    pub unit: String,
    /// Why there is none.
    pub refused: Option<String>,
}
