//! A sheet or list as a table of rows: what csv and new workbooks write.
//!
//! For: one way of laying out, several writers. A list keeps the columns it came with, the worked ones stand to their right, then
//! the remarks. A worked sheet has its quantities one below the other, each with its formula as typed, under the heads of the grid.
//! Always: rows are made one at a time, so that a large list needs no copy. A result that is missing has an empty cell and its
//! reason in the remarks. Where values rest on tolerances, their limits stand in two columns of their own to the right.
//! Not known here: files, formats.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::{figure, json};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Remark, Value};
use crate::plates::list;
use crate::plates::report::Report;
use crate::plates::store::{Content, Grid};
use crate::quantity::{Number, Unit};
use crate::recalc::{Band, CheckResults, QuantityResults, SheetResults, Verdict, form_of, phasor_of};
use crate::workbook::{Form, Relation, Role, Rounding, SOURCE_ROW, Source, Workbook};

/// Heading of the column of reasons on a worked sheet.
pub const REMARKS: &str = "remarks";
/// Heading of the column of reasons of a list, which often has a column `Remarks` of its own.
pub use crate::plates::list::DOUBTS;

/// Columns of a worked sheet before its cases: label and symbol.
const CASES: usize = 2;

/// What stands in a place of the table.
#[derive(Clone, Debug, PartialEq)]
pub enum Field<'a> {
    /// Nothing.
    Blank,
    /// A worked or given number and how it is rounded when shown.
    Number(Number, Option<&'a Rounding>),
    /// A number of the source.
    Double(f64),
    /// A day of the source: the serial number of days, and as text.
    Date(f64, String),
    /// Yes or no.
    Truth(bool),
    /// A text.
    Text(String),
}

/// What of a value stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The value itself.
    Value,
    /// Its lower limit.
    Low,
    /// Its upper limit.
    High,
}

impl Part {
    /// The value, and its limits where there are any.
    fn of(banded: bool) -> &'static [Part] {
        if banded {
            &[Part::Value, Part::Low, Part::High]
        } else {
            &[Part::Value]
        }
    }

    /// What is added to the name of the value.
    fn word(self) -> &'static str {
        match self {
            Part::Value => "",
            Part::Low => "low",
            Part::High => "high",
        }
    }

    /// `Load low`.
    fn named(self, name: &str) -> String {
        match self {
            Part::Value => name.to_owned(),
            part => format!("{name} {}", part.word()),
        }
    }

    fn limit(self, band: &Band) -> f64 {
        match self {
            Part::High => band.high,
            _ => band.low,
        }
    }
}

/// A column of a list: a quantity, or the limits of its values.
#[derive(Clone, Copy, Debug)]
pub struct Column<'a> {
    quantity: &'a QuantityResults,
    part: Part,
}

impl<'a> Column<'a> {
    /// The columns of a quantity.
    fn of(quantity: &'a QuantityResults) -> impl Iterator<Item = Column<'a>> {
        let parts = Part::of(!quantity.bands.is_empty()).iter();
        parts.map(move |part| Column { quantity, part: *part })
    }

    /// What kind of values it has.
    pub fn sort(&self) -> &'a Sort {
        &self.quantity.sort
    }

    /// How many items there are.
    pub fn count(&self) -> usize {
        self.quantity.cells.len()
    }

    /// What it is and its unit.
    pub fn heading(&self) -> String {
        let words = self.part.named(self.quantity.called());
        match unit(&self.quantity.sort) {
            // `Rating (kW)` says its unit already.
            Some(unit) if !words.split([' ', '(', ')', '[', ']', ',']).any(|word| word == unit) => {
                format!("{words} [{unit}]")
            }
            _ => words,
        }
    }

    /// The field of an item.
    pub fn field(&self, item: usize) -> Field<'a> {
        field(self.quantity, item, self.part)
    }
}

/// The sheet a list was read from, and which of its rows belong to which of the list.
#[derive(Clone, Debug)]
pub struct Original {
    /// What stands in it.
    pub grid: Grid,
    /// Its row with the headings, from 1.
    pub headings: u32,
}

/// Remarks from elsewhere (doubts of an import), by source row from 1.
pub type Remarks = BTreeMap<u32, Vec<String>>;

/// Which row of its source each row of a list stands in, and which of the source have none of it any more.
#[derive(Clone, Debug, Default)]
pub struct Places {
    /// From 1; none for a row that was added since the list was read, or copied from another one.
    pub rows: Vec<Option<u32>>,
    /// Rows of the source whose motor is not in the list any more.
    pub gone: Vec<u32>,
}

impl Places {
    /// Of a list; `report`: what was read of its source, where that is known.
    pub fn of(sheet: &SheetResults, report: Option<&Report>) -> Places {
        let mut rows = source_rows(sheet);
        let Some(report) = report else {
            return Places { rows, gone: Vec::new() };
        };
        let motors = report.motors_in_rows();
        let mut seen: HashMap<u32, usize> = HashMap::new();
        for entry in &mut rows {
            let Some(row) = *entry else { continue };
            let count = seen.entry(row).or_default();
            *count += 1;
            // More of them than the source holds are copies that somebody made.
            if motors.get(&row).is_none_or(|motors| *count > *motors) {
                *entry = None;
            }
        }
        Places {
            rows,
            gone: report.gone.clone(),
        }
    }

    /// The rows of the list that stand in no row of the source.
    pub fn added(&self) -> impl Iterator<Item = usize> + '_ {
        let items = self.rows.iter().enumerate();
        items.filter(|(_, row)| row.is_none()).map(|(item, _)| item)
    }
}

/// What is said beside a row of the source whose motor is not in the list any more.
pub const GONE: &str = "The workbook has no motor of this row any more: it was deleted there since the list was read, and nothing is worked for it.";

/// What is said beside a row that was added.
const ADDED: &str = "Added in the workbook since the list was read";

/// A sheet or list laid out.
pub struct Table<'a> {
    sheet: &'a SheetResults,
    original: Option<&'a Original>,
    /// Place of each row of the original in the order of its filled rows.
    filled: HashMap<u32, usize>,
    /// The item whose source row it is, from 1; further ones where a row of the source holds several motors.
    items: Vec<HashMap<u32, usize>>,
    places: Places,
    /// Items that stand in no row of the original, below it.
    below: Vec<usize>,
    remarks: &'a Remarks,
    /// Columns of the original, or none.
    width: usize,
    shown: Vec<Column<'a>>,
    /// Columns of a worked sheet: items, and the limits of their values.
    cases: Vec<(usize, Part)>,
    /// How each quantity of a worked sheet is worked, as typed.
    formulas: Vec<String>,
    /// Curves and definitions that stand among its formulas.
    relations: Vec<Relation>,
    /// How many rows there are.
    pub rows: u32,
    /// The row with the headings, from 0.
    pub heading: u32,
}

impl<'a> Table<'a> {
    /// Lays out a sheet or list.
    pub fn new(sheet: &'a SheetResults, original: Option<&'a Original>, remarks: &'a Remarks) -> Table<'a> {
        Table::placed(sheet, original, remarks, Places::of(sheet, None))
    }

    /// The same, with the places of its rows in the source.
    pub fn placed(
        sheet: &'a SheetResults,
        original: Option<&'a Original>,
        remarks: &'a Remarks,
        places: Places,
    ) -> Table<'a> {
        let mut table = Table {
            sheet,
            original: original.filter(|_| sheet.form == Form::List),
            filled: HashMap::new(),
            items: Vec::new(),
            below: Vec::new(),
            places,
            remarks,
            width: 0,
            shown: sheet.quantities.iter().flat_map(Column::of).collect(),
            cases: cases(sheet),
            formulas: Vec::new(),
            relations: Vec::new(),
            rows: 0,
            heading: 0,
        };
        let rows = &table.places.rows;
        for (item, (row, layer)) in rows.iter().zip(layers(rows)).enumerate() {
            let Some(row) = *row else { continue };
            if table.items.len() <= layer {
                table.items.resize_with(layer + 1, HashMap::new);
            }
            if let Some(items) = table.items.get_mut(layer) {
                items.insert(row, item);
            }
        }
        match table.original {
            Some(original) => {
                table.shown = added(sheet).collect();
                table.width = usize::from(original.grid.width());
                table.heading = original.headings.saturating_sub(1);
                let mut last = table.heading;
                for (place, (row, _)) in original.grid.rows().enumerate() {
                    table.filled.insert(row, place);
                    last = last.max(row);
                }
                let rows = table.items.first().map(|items| items.keys().max().copied());
                last = last.max(rows.flatten().unwrap_or(0).saturating_sub(1));
                table.below = table.places.added().collect();
                table.rows = last + 1 + u32::try_from(table.below.len()).unwrap_or(0);
            }
            None if sheet.form == Form::List => {
                // What was typed first, then what was worked; the order inside both is the author's.
                table.shown.sort_by_key(|column| column.quantity.role != Role::Given);
                table.rows = u32::try_from(sheet.items.len()).unwrap_or(u32::MAX - 1) + 1;
            }
            None => table.rows = table.sheet_rows(),
        }
        table
    }

    /// With the formulas of the workbook beside the values of a worked sheet, its curves and definitions below.
    pub fn with_formulas(mut self, workbook: &Workbook) -> Table<'a> {
        let known = workbook.sheets.iter().find(|known| *known.name == *self.sheet.name);
        if let (Form::Sheet, Some(known)) = (self.sheet.form, known) {
            let quantities = self.sheet.quantities.iter();
            self.formulas = quantities
                .map(|quantity| known.worked_by(&quantity.name, &self.sheet.items))
                .collect();
            let lines = workbook.head.iter().chain(&known.lines);
            self.relations = lines.filter_map(|line| line.statement.relation()).collect();
            self.rows = self.sheet_rows();
        }
        self
    }

    /// Rows of a worked sheet, with its heading.
    fn sheet_rows(&self) -> u32 {
        let rows =
            self.sheet.quantities.len() + self.relations.len() + self.sheet.checks.len() + self.sheet.flags.len();
        u32::try_from(rows).unwrap_or(u32::MAX - 1) + 1
    }

    /// Whether a field is a value that was typed, from 0.
    pub fn is_given(&self, row: u32, column: usize) -> bool {
        let quantity = || self.sheet.quantities.get((row as usize).checked_sub(1)?);
        self.sheet.form == Form::Sheet
            && (CASES..CASES + self.cases.len()).contains(&column)
            && quantity().is_some_and(|quantity| quantity.role == Role::Given)
    }

    /// First column that is not the original's, from 0.
    pub fn first_worked(&self) -> usize {
        match (self.original, self.sheet.form) {
            (Some(_), _) => self.width,
            (None, Form::List) => self
                .shown
                .iter()
                .filter(|column| column.quantity.role == Role::Given)
                .count(),
            (None, Form::Sheet) => 0,
        }
    }

    /// How many columns there are.
    pub fn columns(&self) -> usize {
        match self.sheet.form {
            Form::List if self.original.is_some() => self.width + (self.shown.len() + 1) * self.items.len().max(1),
            Form::List => self.shown.len() + 1,
            Form::Sheet => CASES + self.cases.len() + 5,
        }
    }

    /// The fields of a row, from 0.
    pub fn row(&self, row: u32) -> Vec<Field<'a>> {
        match (self.original, self.sheet.form) {
            (Some(original), _) => match self.item_below(row) {
                Some(item) => self.row_below(original, item),
                None => self.original_row(original, row),
            },
            (None, Form::List) => self.list_row(row),
            (None, Form::Sheet) => self.sheet_row(row),
        }
    }

    fn original_row(&self, original: &'a Original, row: u32) -> Vec<Field<'a>> {
        let mut fields = vec![Field::Blank; self.width];
        let cells = self.filled.get(&row).and_then(|place| original.grid.row_at(*place));
        for cell in cells.map(|(_, cells)| cells).unwrap_or_default() {
            if let Some(field) = fields.get_mut(usize::from(cell.column)) {
                *field = match cell.content {
                    Content::Number(number) => Field::Double(number),
                    Content::Date(serial) => Field::Date(serial, original.grid.shown(cell.content)),
                    Content::Truth(truth) => Field::Truth(truth),
                    Content::Text(_) | Content::Failed(_) => Field::Text(original.grid.shown(cell.content)),
                    Content::NotStored => Field::Blank,
                };
            }
        }
        for (layer, items) in self.items.iter().enumerate() {
            if row == self.heading {
                let headings = self.shown.iter().map(Column::heading);
                let headings = headings.chain([DOUBTS.to_owned()]);
                fields.extend(headings.map(|words| Field::Text(in_layer(words, layer))));
            } else if let Some(item) = items.get(&(row + 1)) {
                fields.extend(self.shown.iter().map(|column| column.field(*item)));
                fields.push(text(self.item_remarks(*item)));
            } else {
                fields.resize(fields.len() + self.shown.len() + 1, Field::Blank);
                if let (0, true, Some(last)) = (layer, self.places.gone.contains(&(row + 1)), fields.last_mut()) {
                    *last = text_of(GONE);
                }
            }
        }
        fields
    }

    /// The item that stands in a row below the original.
    fn item_below(&self, row: u32) -> Option<usize> {
        let first = self.rows.checked_sub(u32::try_from(self.below.len()).ok()?)?;
        self.below.get(usize::try_from(row.checked_sub(first)?).ok()?).copied()
    }

    /// An item that was added since the original was read: what was typed under the headings that it belongs to, and what was worked. What
    /// stands under none of them is told.
    fn row_below(&self, original: &'a Original, item: usize) -> Vec<Field<'a>> {
        let mut fields = vec![Field::Blank; self.width];
        let headings = original
            .grid
            .row_at(self.filled.get(&self.heading).copied().unwrap_or(usize::MAX));
        let headings = headings.map(|(_, cells)| cells).unwrap_or_default();
        let mut elsewhere = Vec::new();
        let is_read = |quantity: &&QuantityResults| quantity.role == Role::Given && *quantity.name != *SOURCE_ROW;
        let shown = |quantity: &QuantityResults| self.shown.iter().any(|column| column.quantity.name == quantity.name);
        for quantity in self.sheet.quantities.iter().filter(is_read) {
            let value = field(quantity, item, Part::Value);
            if value == Field::Blank || shown(quantity) {
                continue;
            }
            let from = quantity.from.as_deref();
            let heading = headings
                .iter()
                .find(|cell| from.is_some_and(|from| original.grid.shown(cell.content).trim() == from.trim()));
            match heading.and_then(|cell| fields.get_mut(usize::from(cell.column))) {
                Some(place) => *place = value,
                None if list::graded_by(&quantity.name).is_none() => {
                    let unit = unit(&quantity.sort).map_or(String::new(), |unit| format!(" {unit}"));
                    elsewhere.push(format!("{} {}{unit}", quantity.called(), value.plain()));
                }
                None => {}
            }
        }
        fields.extend(self.shown.iter().map(|column| column.field(item)));
        let mut parts = vec![match elsewhere.is_empty() {
            true => format!("{ADDED}."),
            false => format!("{ADDED}, with {}.", elsewhere.join(", ")),
        }];
        parts.push(self.item_remarks(item));
        parts.retain(|part| !part.is_empty());
        fields.push(text(sentences(&parts)));
        let columns = self.columns();
        fields.resize(columns.max(fields.len()), Field::Blank);
        fields
    }

    fn list_row(&self, row: u32) -> Vec<Field<'a>> {
        let Some(item) = (row as usize).checked_sub(1) else {
            let headings = self.shown.iter().map(|column| Field::Text(column.heading()));
            return headings.chain([Field::Text(DOUBTS.to_owned())]).collect();
        };
        let fields = self.shown.iter().map(|column| column.field(item));
        fields.chain([text(self.item_remarks(item))]).collect()
    }

    fn sheet_row(&self, row: u32) -> Vec<Field<'a>> {
        let items = &self.sheet.items;
        let Some(at) = (row as usize).checked_sub(1) else {
            let cases = self.cases.iter().map(|(item, part)| {
                let name = items.get(*item).map_or("", |name| name);
                text(match (name, part) {
                    ("", Part::Value) => "value".to_owned(),
                    ("", part) => part.word().to_owned(),
                    (name, part) => part.named(name),
                })
            });
            return line(
                ["label", "symbol"].map(text_of),
                cases,
                ["unit", "formula", "kind", "source", REMARKS].map(text_of),
            );
        };
        let quantities = self.sheet.quantities.len();
        if let Some(quantity) = self.sheet.quantities.get(at) {
            return self.quantity_row(quantity, self.formulas.get(at).map_or("", String::as_str));
        }
        match self.relations.get(at - quantities) {
            Some(relation) => line(
                [&relation.title, &relation.called].map(|words| text_of(words)),
                self.cases.iter().map(|_| Field::Blank),
                [&relation.unit, &relation.formula, relation.word, "", ""].map(text_of),
            ),
            None => self.check_row(at - quantities - self.relations.len()),
        }
    }

    fn quantity_row(&self, quantity: &'a QuantityResults, formula: &str) -> Vec<Field<'a>> {
        let source = quantity.source.as_ref().map(Source::typed).unwrap_or_default();
        let items = 0..self.sheet.items.len();
        let reasons = items.clone().filter_map(|item| Some((item, said_of(quantity, item)?)));
        let typed = items.filter_map(|item| Some((item, typed(quantity, item)?)));
        line(
            [&quantity.title, &*quantity.name].map(text_of),
            self.cases.iter().map(|(item, part)| field(quantity, *item, *part)),
            [
                text_of(unit(&quantity.sort).unwrap_or("")),
                text_of(formula),
                text(quantity.sort.kind_words()),
                text(source),
                text(self.by_item(reasons.chain(typed))),
            ],
        )
    }

    /// A check, or behind them a flag.
    fn check_row(&self, at: usize) -> Vec<Field<'a>> {
        let (check, role, raised) = match self.sheet.checks.get(at) {
            Some(check) => (Some(check), "check", ("holds", "does not hold")),
            None => (
                self.sheet.flags.get(at - self.sheet.checks.len()),
                "flag",
                ("raised", "not raised"),
            ),
        };
        let Some(check) = check else { return Vec::new() };
        let cells = check.cells.iter().enumerate();
        let reasons = cells.filter_map(|(item, verdict)| Some((item, Arc::from(verdict.why.as_deref()?))));
        line(
            [text_of(&check.text), Field::Blank],
            self.cases
                .iter()
                .map(|(item, part)| match (part, check.cells.get(*item)) {
                    (Part::Value, Some(verdict)) => text(verdict_text(verdict, raised)),
                    _ => Field::Blank,
                }),
            [
                Field::Blank,
                text_of(&check.formula),
                text_of(role),
                Field::Blank,
                text(self.by_item(reasons)),
            ],
        )
    }

    /// Reasons with the case they belong to, equal ones once.
    fn by_item(&self, reasons: impl Iterator<Item = (usize, Arc<str>)>) -> String {
        grouped(reasons.map(|(item, reason)| (self.sheet.items.get(item).map_or("", |name| name), reason)))
    }

    /// What must be said of a row of a list.
    pub fn item_remarks(&self, item: usize) -> String {
        let quantities = self
            .sheet
            .quantities
            .iter()
            .filter(|quantity| quantity.role != Role::Given);
        let reasons = quantities.filter_map(|quantity| {
            let name = if quantity.title.is_empty() {
                &quantity.name
            } else {
                quantity.title.as_str()
            };
            Some((name, self.sheet.reason_in_words(item, &said_of(quantity, item)?)))
        });
        let mut parts = Vec::new();
        let verdict = |check: &'a CheckResults| Some((check, check.cells.get(item)?));
        for (check, verdict) in self.sheet.checks.iter().filter_map(verdict) {
            if verdict.holds == Some(false) || verdict.in_doubt {
                parts.push(format!(
                    "{}: {}",
                    check.text,
                    verdict_text(verdict, ("holds", "does not hold"))
                ));
            }
        }
        for (flag, verdict) in self.sheet.flags.iter().filter_map(verdict) {
            if verdict.holds == Some(true) {
                parts.push(flag.text.clone());
            }
        }
        let source = self.source_row(item);
        parts.extend(
            source
                .and_then(|row| self.remarks.get(&row))
                .into_iter()
                .flatten()
                .cloned(),
        );
        parts.push(grouped(reasons));
        // What stands in the source stands there as it was typed.
        let own = self.sheet.quantities.iter();
        let own = own.filter(|quantity| quantity.from.is_none() || self.original.is_none());
        parts.push(grouped(
            own.filter_map(|quantity| Some((quantity.called(), typed(quantity, item)?))),
        ));
        parts.retain(|part| !part.is_empty());
        sentences(&parts)
    }

    fn source_row(&self, item: usize) -> Option<u32> {
        self.places.rows.get(item).copied().flatten()
    }

    /// The head of a list and these of its items, without the rows of a source.
    pub fn items(&self, items: &[usize]) -> Vec<Vec<Field<'a>>> {
        let is_place = |column: &Column<'_>| *column.quantity.name == *SOURCE_ROW;
        let place = self.shown.iter().position(is_place);
        let items = items
            .iter()
            .filter_map(|item| u32::try_from(*item).ok()?.checked_add(1));
        let rows = std::iter::once(0).chain(items);
        let without = |row: u32| {
            let mut fields = self.list_row(row);
            if let Some(place) = place.filter(|place| *place < fields.len()) {
                drop(fields.remove(place));
            }
            fields
        };
        rows.map(without).collect()
    }
}

/// The columns that an export adds to a list: those that were worked, and those that somebody added since it was read.
pub fn added(sheet: &SheetResults) -> impl Iterator<Item = Column<'_>> {
    let is_own = |quantity: &QuantityResults| quantity.from.is_none() && !list::is_read(&quantity.name);
    let own = move |quantity: &&QuantityResults| quantity.role != Role::Given || is_own(quantity);
    sheet.quantities.iter().filter(own).flat_map(Column::of)
}

/// The columns of a worked sheet: a case, and beside it the limits of its values where there are any.
fn cases(sheet: &SheetResults) -> Vec<(usize, Part)> {
    let banded = |item: usize| sheet.quantities.iter().any(|quantity| quantity.band(item).is_some());
    (0..sheet.items.len())
        .flat_map(|item| Part::of(banded(item)).iter().map(move |part| (item, *part)))
        .collect()
}

/// For each row of a list the row of its source, from 1, where it is known.
pub fn source_rows(sheet: &SheetResults) -> Vec<Option<u32>> {
    let quantity = sheet.quantities.iter().find(|quantity| *quantity.name == *SOURCE_ROW);
    (0..sheet.items.len()).map(|item| source_row(quantity?, item)).collect()
}

/// For each row of a list which of several sets of columns it goes to, from 0: with tables side by side a row of the source holds
/// several motors, and those of one table go together.
pub fn layers(rows: &[Option<u32>]) -> Vec<usize> {
    /// More runs than tables stand side by side in any list: its rows were put in another order.
    const MOST: usize = 8;
    let mut seen: HashMap<u32, usize> = HashMap::new();
    let by_count: Vec<usize> = rows
        .iter()
        .map(|row| {
            let Some(row) = row else { return 0 };
            let next = seen.entry(*row).or_default();
            *next += 1;
            *next - 1
        })
        .collect();
    if by_count.iter().all(|layer| *layer == 0) {
        return by_count;
    }
    // Tables come one after the other, each with its rows in order.
    let mut runs: Vec<(u32, u32)> = Vec::new();
    let mut run_of = Vec::with_capacity(rows.len());
    for row in rows {
        let row = row.unwrap_or(0);
        match runs.last_mut() {
            Some((_, last)) if row > *last || row == 0 => *last = row.max(*last),
            _ => runs.push((row, row)),
        }
        run_of.push(runs.len() - 1);
    }
    if runs.len() > MOST {
        return by_count;
    }
    // Tables below each other share their columns.
    let mut layer_of: Vec<usize> = Vec::new();
    for (run, (first, last)) in runs.iter().enumerate() {
        let beside = |layer: usize| {
            let known = runs.iter().zip(&layer_of).take(run).filter(|(_, of)| **of == layer);
            known.clone().any(|((from, to), _)| from <= last && first <= to)
        };
        layer_of.push((0..).find(|layer| !beside(*layer)).unwrap_or(0));
    }
    run_of
        .into_iter()
        .map(|run| layer_of.get(run).copied().unwrap_or(0))
        .collect()
}

/// A heading of the columns for a further motor of the rows.
pub fn in_layer(heading: String, layer: usize) -> String {
    match layer {
        0 => heading,
        further => format!("{heading}, motor {} of the row", further + 1),
    }
}

fn source_row(quantity: &QuantityResults, item: usize) -> Option<u32> {
    match quantity.cells.get(item)? {
        Outcome::Value(Value::Number(Number::Exact(row) | Number::Rounded(row))) if row.fract().is_zero() => {
            u32::try_from(*row).ok().filter(|row| *row > 0)
        }
        _ => None,
    }
}

/// The unit, none for a plain number, text or truth.
fn unit(sort: &Sort) -> Option<&str> {
    let Sort::Quantity { unit, .. } = sort else { return None };
    Some(unit_text(unit)).filter(|text| *text != "1")
}

fn unit_text(unit: &Unit) -> &str {
    json::unit_text(unit)
}

/// A line of a worked sheet: what stands before its cases, the cases, what stands behind them.
fn line<'a>(
    before: [Field<'a>; CASES],
    cases: impl Iterator<Item = Field<'a>>,
    behind: [Field<'a>; 5],
) -> Vec<Field<'a>> {
    before.into_iter().chain(cases).chain(behind).collect()
}

/// What of an item stands in a field.
fn field(quantity: &QuantityResults, item: usize, part: Part) -> Field<'_> {
    let cell = quantity.cells.get(item);
    if part != Part::Value {
        return match quantity.band(item) {
            Some(band) if cell.is_some_and(|cell| cell.as_number().is_some()) => {
                Field::Number(Number::Float(part.limit(band)), quantity.rounding.as_ref())
            }
            _ => Field::Blank,
        };
    }
    if let (Some(form), Some(phasor)) = (form_of(&quantity.sort), cell.and_then(Outcome::as_phasor)) {
        return text(phasor_of(&phasor, form, quantity.role, quantity.rounding.as_ref()));
    }
    match cell {
        Some(Outcome::Value(Value::Phasor(_))) => Field::Blank,
        Some(Outcome::Value(Value::Number(number))) => Field::Number(*number, quantity.rounding.as_ref()),
        Some(Outcome::Value(Value::Text(text))) => text_of(text),
        Some(Outcome::Value(Value::Truth(truth))) => Field::Truth(*truth),
        Some(Outcome::Blank(_) | Outcome::Fault(_)) | None => Field::Blank,
    }
}

/// What must be said of a value: why there is none, or that it is of fewer rows than there are.
fn said_of(quantity: &QuantityResults, item: usize) -> Option<Arc<str>> {
    let of_rows = || {
        let said = quantity
            .remarks(item)
            .filter(|remark| remark.remembered_table().is_none());
        let said: Vec<String> = said.map(Remark::to_string).collect();
        (!said.is_empty()).then(|| Arc::from(said.join("; ")))
    };
    quantity.cells.get(item).and_then(reason).or_else(of_rows)
}

/// What was typed, where that was in another unit.
fn typed(quantity: &QuantityResults, item: usize) -> Option<Arc<str>> {
    let typed = quantity.typed_as(item)?;
    Some(format!("typed as {typed}").into())
}

/// Why there is no value.
fn reason(outcome: &Outcome) -> Option<Arc<str>> {
    match outcome {
        Outcome::Value(_) => None,
        Outcome::Blank(why) => Some(why.clone()),
        Outcome::Fault(fault) => Some(Arc::from(&*fault.message)),
    }
}

/// `a, b: reason; c: other reason`, in the order of first appearance.
fn grouped<'n>(reasons: impl Iterator<Item = (&'n str, Arc<str>)>) -> String {
    let mut groups: Vec<(Arc<str>, Vec<&str>)> = Vec::new();
    for (name, reason) in reasons.filter(|(_, reason)| !reason.is_empty()) {
        match groups.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, names)) => names.push(name),
            None => groups.push((reason, vec![name])),
        }
    }
    let parts = groups.iter().map(|(reason, names)| {
        let names = names.join(", ");
        if names.is_empty() {
            reason.to_string()
        } else {
            format!("{names}: {reason}")
        }
    });
    parts.collect::<Vec<_>>().join("; ")
}

/// Remarks one behind the other, each ending like a sentence.
fn sentences(parts: &[String]) -> String {
    let mut text = String::new();
    for part in parts {
        if !text.is_empty() {
            text.push_str(if text.ends_with(['.', '!', '?']) { " " } else { "; " });
        }
        text.push_str(part);
    }
    text
}

/// A verdict in words, with its margin.
pub fn verdict_text(verdict: &Verdict, (yes, no): (&str, &str)) -> String {
    let word = match verdict.holds {
        Some(_) if verdict.in_doubt => "in doubt",
        Some(true) => yes,
        Some(false) => no,
        None => "not worked",
    };
    match verdict.margins() {
        Some(margins) => format!("{word}, margin {margins}"),
        None => word.to_owned(),
    }
}

fn text(text: String) -> Field<'static> {
    if text.is_empty() {
        Field::Blank
    } else {
        Field::Text(text)
    }
}

fn text_of(words: &str) -> Field<'static> {
    text(words.to_owned())
}

impl Field<'_> {
    /// As it stands in a text file: numbers at fifteen digits.
    pub fn plain(&self) -> String {
        match self {
            Field::Blank => String::new(),
            Field::Number(number, _) => figure::plain(figure::at_fifteen_digits(number)),
            Field::Double(number) => figure::plain(*number),
            Field::Truth(truth) => if *truth { "yes" } else { "no" }.to_owned(),
            Field::Text(text) | Field::Date(_, text) => text.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::layers;

    #[test]
    fn motors_of_one_table_go_together() {
        let of = |rows: &[u32]| layers(&rows.iter().map(|row| Some(*row)).collect::<Vec<_>>());
        // One table, in any order.
        assert_eq!(of(&[3, 4, 5]), [0, 0, 0]);
        assert_eq!(of(&[5, 3, 4]), [0, 0, 0]);
        // Two side by side, the second beginning higher; a third below both.
        assert_eq!(of(&[5, 6, 9, 4, 5, 6, 12, 13]), [0, 0, 0, 1, 1, 1, 1, 1]);
        assert_eq!(of(&[5, 6, 4, 5, 3, 5]), [0, 0, 1, 1, 2, 2]);
        // Put in another order: each motor still has a place of its own.
        let mixed = of(&[9, 8, 7, 6, 5, 4, 3, 2, 1, 9, 8]);
        assert_eq!(mixed, [0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1]);
    }
}
