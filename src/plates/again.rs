//! The rules of reading asked again, of a list as the workbook has it now.
//!
//! For: what was doubted of a row and was changed since, and rows with values that were typed or pasted since the list was read.
//! Always: what reading knew of a motor stays known to its rules, with the cells of the workbook in the place of those that were
//! changed. A rule is only said to hold no longer where it also speaks of what was read, and a changed row is only doubted anew by a
//! rule that did not speak of what was read: the report has the others. A list that was not read has no rules; its checks and flags
//! are its own.
//! Not known here: how it is shown, and what is changed because of it.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};

use super::doubt::of_motor;
use super::find::As;
use super::list::{BEST_LOAD, DRIVE, Written, given_of};
use super::loads::Methods;
use super::motor::{self, Doubt, Motor, Other, Raw, Reading};
use super::pack::At;
use super::reads::{PlateUnit, Reads, Sort as ReadsSort};
use super::report::{DoubtReport, Report};
use super::rules;
use super::said;
use super::tags::{Tags, tag_of};
use super::trust::{self, Rests, Trust};
use crate::fault::{Code, Severity, Words};
use crate::language::check::Sort;
use crate::recalc::{QuantityResults, Results, SheetResults};
use crate::workbook::{Cell, Rows, SOURCE_ROW, Sheet, Workbook};

/// How it stands with a doubt of the report.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// Why it is settled, in words.
    pub settled: Option<String>,
    /// What was changed by hand although the doubt still stands, in words.
    pub changed: Option<Words>,
    /// The item of the list it is about.
    pub item: Option<usize>,
    /// Its readings are not used for the load, and could be.
    pub can_use: bool,
    /// It is settled because its readings were taken as right, not because they were changed.
    pub by_hand: bool,
}

/// A doubt of what was typed since the list was read.
#[derive(Clone, Debug)]
pub struct Raised {
    /// The item of the list it is about.
    pub item: usize,
    /// As the report would tell it.
    pub told: DoubtReport,
    /// What it means for the load.
    pub means: Vec<(Rests, Trust)>,
    /// Its readings were taken as right by hand.
    pub by_hand: bool,
}

/// A reading that the rules may rest on.
struct Column<'a> {
    reads: Reads,
    name: &'static str,
    /// Its place among the columns of the list.
    place: Option<usize>,
    quantity: Option<&'a QuantityResults>,
}

/// A list that was read, as the workbook has it now.
pub struct List<'a> {
    /// Place of the list among the sheets.
    pub at: usize,
    /// The list.
    pub sheet: &'a Sheet,
    /// Its rows.
    pub rows: &'a Rows,
    /// As worked.
    pub results: &'a SheetResults,
    report: &'a Report,
    source_rows: usize,
    columns: Vec<Column<'a>>,
    methods: Methods<'a>,
    /// Which motor of its row of the source each item is, where a row holds several.
    several: OnceLock<Option<Vec<u32>>>,
}

/// A value that was changed since it was read.
struct Changed {
    name: &'static str,
    was: String,
    is: String,
    /// The rules can see it.
    seen: bool,
}

/// What stands in the place of a reading.
struct Is {
    /// As typed.
    words: String,
    /// As the rules see it.
    value: Option<(Reading, PlateUnit)>,
    /// The rules can see it, or see that nothing is there.
    seen: bool,
}

/// A row as it was read and as it is.
struct Now {
    was: Option<Motor>,
    is: Motor,
    changed: Vec<Changed>,
}

impl<'a> List<'a> {
    /// The list of a workbook that was made of one; none where there is none.
    pub fn of(workbook: &'a Workbook, results: &'a Results, report: &'a Report) -> Option<List<'a>> {
        let sheets = workbook.sheets.iter().zip(&results.sheets);
        sheets.enumerate().find_map(|(at, (sheet, results))| {
            let rows = sheet.rows.as_ref()?;
            let quantity = |name: &str| results.quantities.iter().find(|known| *known.name == *name);
            let asked = |reads: &&Reads| match reads {
                // What else names a motor goes where its tag goes.
                Reads::Item => false,
                reads => reads.sort() == ReadsSort::Number || **reads == Reads::Drive,
            };
            let columns = Reads::ALL.iter().filter(asked).filter_map(|reads| {
                let name = given_of(*reads)?;
                Some(Column {
                    reads: *reads,
                    name,
                    place: place_of(rows, name),
                    quantity: quantity(name),
                })
            });
            Some(List {
                at,
                sheet,
                rows,
                results,
                report,
                source_rows: place_of(rows, SOURCE_ROW)?,
                columns: columns.collect(),
                methods: Methods::of(quantity),
                several: OnceLock::new(),
            })
        })
    }

    /// The cell of a row under a name, where that is a column.
    pub fn cell(&self, item: usize, name: &str) -> Option<&'a Cell> {
        self.rows.rows.get(item)?.cells.get(place_of(self.rows, name)?)
    }

    /// The row of the source that a row was read from.
    pub fn source_row(&self, item: usize) -> Option<u32> {
        match self.rows.rows.get(item)?.cells.get(self.source_rows)? {
            Cell::Number(number, _) => number.to_u32(),
            _ => None,
        }
    }

    /// The items that were read from doubted rows.
    pub fn items(&self) -> HashMap<u32, Vec<usize>> {
        let doubted = self.report.doubts.iter().filter_map(|doubt| doubt.source_row);
        let mut out: HashMap<u32, Vec<usize>> = doubted.map(|row| (row, Vec::new())).collect();
        if out.is_empty() {
            return out;
        }
        for item in 0..self.rows.rows.len() {
            if let Some(items) = self.source_row(item).and_then(|row| out.get_mut(&row)) {
                items.push(item);
            }
        }
        out
    }

    /// Which motor of its row of the source an item is. Where rows hold several, these stand table by table in the list.
    fn motor_of_row(&self, item: usize, row: u32) -> usize {
        if let Some(places) = self.several.get_or_init(|| self.places_of_several()) {
            return places.get(item).map_or(0, |place| *place as usize);
        }
        let before = (0..item).rev();
        before.take_while(|known| self.source_row(*known) == Some(row)).count()
    }

    fn places_of_several(&self) -> Option<Vec<u32>> {
        let motors = || self.report.rows.iter().filter(|known| known.called == As::Motor);
        let mut pairs = motors().zip(motors().skip(1));
        if !pairs.any(|(one, next)| one.source_row == next.source_row) {
            return None;
        }
        let mut seen: HashMap<u32, u32> = HashMap::new();
        let mut place = |item: usize| {
            let count = seen.entry(self.source_row(item)?).or_default();
            *count += 1;
            Some(*count - 1)
        };
        let items = 0..self.rows.rows.len();
        Some(items.map(|item| place(item).unwrap_or_default()).collect())
    }

    /// The motor as it was read; none for a row that was not read.
    fn was(&self, item: usize) -> Option<At<'a>> {
        let row = self.source_row(item)?;
        read_of(self.report, row, self.motor_of_row(item, row))
    }

    /// Whether something of a row was changed since it was read, or the row was not read.
    pub fn is_changed(&self, item: usize) -> bool {
        let Some(was) = self.was(item) else { return true };
        let written = Written::of(was);
        self.columns
            .iter()
            .any(|column| self.change(item, column, Some((was, &written))).is_some())
    }

    /// What stands in the place of a reading that was changed since it was read.
    fn change(&self, item: usize, column: &Column<'_>, was: Option<(At<'_>, &Written<'_>)>) -> Option<Is> {
        let Some(place) = column.place else {
            // A value that is given for all rows, such as the frequency.
            let now = self.worked(item, column)?;
            let was = was
                .and_then(|(at, _)| at.one(column.reads))
                .and_then(|value| value.to_f64());
            let is = now.0.to_f64();
            let same = was
                .zip(is)
                .is_some_and(|(was, is)| (was - is).abs() <= 1e-9 * was.abs());
            let is = Is {
                words: said::typed(now.0, now.1),
                value: Some((Reading::One(now.0), now.1)),
                seen: true,
            };
            return (!same).then_some(is);
        };
        let cell = self.rows.rows.get(item)?.cells.get(place).unwrap_or(&Cell::Blank);
        match was {
            Some((_, written)) if written.is(column.reads, cell) => return None,
            None if matches!(cell, Cell::Blank) => return None,
            _ => {}
        }
        let value = match cell {
            Cell::Blank => None,
            Cell::Number(number, unit) => measured(column.reads, *number, unit.as_ref().map(|unit| &*unit.text))
                .map(|(value, unit)| (Reading::One(value), unit)),
            Cell::Formula(_) => self
                .worked(item, column)
                .map(|(value, unit)| (Reading::One(value), unit)),
            Cell::Text(text) | Cell::Word(text) if column.reads == Reads::Drive => {
                Some((Reading::Words(text.clone()), PlateUnit::One))
            }
            Cell::Text(_) | Cell::Word(_) => None,
        };
        Some(Is {
            words: typed(cell),
            seen: value.is_some() || matches!(cell, Cell::Blank),
            value,
        })
    }

    /// A worked value in the unit that the rules take it to be in.
    fn worked(&self, item: usize, column: &Column<'_>) -> Option<(Decimal, PlateUnit)> {
        let quantity = column.quantity?;
        let Sort::Quantity { unit, .. } = &quantity.sort else {
            return None;
        };
        let number = quantity.cells.get(item)?.as_number()?;
        measured(column.reads, Decimal::from_f64(number.to_f64())?, Some(&unit.text))
    }

    fn now(&self, item: usize) -> Now {
        let was = self.was(item);
        let read = was.map(|was| was.motor());
        let written = was.map(|was| (was, Written::of(was)));
        let known = written.as_ref().map(|(at, written)| (*at, written));
        let mut now = Now {
            is: read.clone().unwrap_or_else(nothing_read),
            was: read,
            changed: Vec::new(),
        };
        for column in &self.columns {
            let Some(is) = self.change(item, column, known) else {
                continue;
            };
            put(&mut now.is, column, is.value, &is.words);
            let was = known.map_or_else(|| "nothing".to_owned(), |(_, written)| written.typed(column.reads));
            let seen = is.seen;
            now.changed.push(Changed {
                name: column.name,
                was,
                is: is.words,
                seen,
            });
        }
        now
    }

    /// The quantities a doubt is about, that of its column first.
    pub fn names(&self, doubt: &DoubtReport) -> Vec<&'static str> {
        let names = doubt.reads.iter().filter_map(|reads: &Reads| given_of(*reads));
        if doubt.rule == Code::LOADS_DISAGREE.word() {
            return std::iter::once(BEST_LOAD).chain(names).collect();
        }
        names
            .filter(|name| self.results.quantities.iter().any(|known| &*known.name == *name))
            .collect()
    }

    /// What says how far the readings are trusted that a doubt is about, as far as the list says so.
    pub fn trusts(&self, doubt: &DoubtReport) -> Vec<&'static str> {
        if doubt.level == "note" {
            return Vec::new();
        }
        let rests = Rests::of_rule(doubt.rule, &doubt.text).into_iter().map(Rests::quantity);
        rests.filter(|name| place_of(self.rows, name).is_some()).collect()
    }

    /// What a doubt of the report means for the load, by its place there.
    pub fn means(&self, place: usize) -> Vec<(Rests, Trust)> {
        let Some(doubt) = self.report.doubts.get(place) else {
            return Vec::new();
        };
        let known = Code::find(doubt.rule).map(|code| Doubt::new(doubt.source_row, code, doubt.text.clone()));
        let severity = match doubt.level {
            "error" => Severity::Error,
            "warning" => Severity::Warning,
            _ => Severity::Note,
        };
        known.map_or_else(Vec::new, |known| trust::means(&known.as_severe(severity)))
    }

    /// The other readings that a doubt offers for a row, without those that stand there now.
    pub fn others<'d>(&self, doubt: &'d DoubtReport, item: usize) -> Vec<&'d Other> {
        let is_known = |name: &str| self.results.quantities.iter().any(|known| *known.name == *name);
        let can = |other: &&Other| {
            let mut sets = other.sets.iter();
            sets.all(|(reads, _)| given_of(*reads).is_some_and(is_known)) && !self.has(item, other)
        };
        doubt.others.iter().filter(can).collect()
    }

    /// Whether another reading stands in a row now.
    fn has(&self, item: usize, other: &Other) -> bool {
        let is = |reads: Reads, text: &str| {
            let column = self.columns.iter().find(|column| column.reads == reads);
            match column.map(|column| (column, self.cell(item, column.name))) {
                Some((_, Some(cell))) => typed(cell) == text,
                Some((column, None)) => self
                    .worked(item, column)
                    .is_some_and(|(value, unit)| said::typed(value, unit) == text),
                None => false,
            }
        };
        other.sets.iter().all(|(reads, text)| is(*reads, text))
    }

    /// Whether a reading of a row is taken as good.
    pub fn is_good(&self, item: usize, name: &str) -> bool {
        matches!(self.cell(item, name), Some(Cell::Text(text)) if **text == *Trust::Good.word())
    }

    /// How it stands with a doubt of a row of the report; `items`: what was read from that row of the source; `tags`: those of the
    /// list.
    pub fn standing(&self, doubt: &DoubtReport, items: &[usize], tags: &Tags) -> Standing {
        let Some(row) = doubt.source_row else {
            return Standing::default();
        };
        let motor = motor_of(self.report, doubt, row);
        let item = items.get(motor).copied();
        if read_of(self.report, row, motor).is_none() {
            return Standing {
                item,
                ..Standing::default()
            };
        }
        let Some(item) = item else {
            return Standing {
                settled: Some("the row is not in the workbook any more".to_owned()),
                ..Standing::default()
            };
        };
        let trusts = self.trusts(doubt);
        let may_be = trust::may_be_right(doubt.rule);
        let good = trusts.iter().all(|name| self.is_good(item, name));
        let by_hand = (good && may_be && !trusts.is_empty()).then(|| "taken as right by hand".to_owned());
        let standing = Standing {
            by_hand: by_hand.is_some(),
            settled: by_hand,
            changed: None,
            item: Some(item),
            can_use: !good && may_be,
        };
        if doubt.rule == Code::TAG_TWICE.word() {
            return self.standing_of_tag(item, tags, standing);
        }
        let names = self.names(doubt);
        let now = self.now(item);
        let about = |changed: &&Changed| names.contains(&changed.name);
        let named: Vec<&Changed> = now.changed.iter().filter(about).collect();
        if now.changed.is_empty() {
            return standing;
        }
        let told = |changed: &[&Changed]| {
            let told = changed
                .iter()
                .map(|changed| format!("{} was read as {}, now {}", changed.name, changed.was, changed.is));
            told.collect::<Vec<String>>().join("; ")
        };
        let still = |words: Words| Standing {
            changed: Some(words),
            ..standing.clone()
        };
        let unasked = || match named.is_empty() {
            true => standing.clone(),
            false => still(format!("changed since the list was read: {}; not asked again", told(&named)).into()),
        };
        if named.iter().any(|changed| !changed.seen) {
            return unasked();
        }
        let settled = |changed: &[&Changed]| Standing {
            settled: Some(format!("corrected since: {}", told(changed))),
            by_hand: false,
            ..standing.clone()
        };
        // A doubt may rest on more than what it names, so that it is asked again whatever of its row was changed.
        let everything: Vec<&Changed> = now.changed.iter().collect();
        let rests = if named.is_empty() { &everything } else { &named };
        let says = |motor: &Motor| {
            let mut doubts = of_motor(motor).into_iter();
            doubts
                .find(|known| known.code.word() == doubt.rule)
                .map(|known| known.text)
        };
        let says_now = if doubt.rule == Code::LOADS_DISAGREE.word() {
            self.methods.apart(item).map(|(_, words)| words.into())
        } else if now.was.as_ref().and_then(says).is_some() {
            says(&now.is)
        } else if OF_READING.iter().any(|code| code.word() == doubt.rule) && self.typed_anew(doubt, &now) {
            // What was doubted is how the cell was read, and another value stands in its place.
            says(&now.is)
        } else {
            // What cannot be put to a rule is not asked.
            return unasked();
        };
        match says_now {
            None => settled(rests),
            // It says the same of what it said before.
            Some(text) if named.is_empty() && *text == *doubt.text => standing,
            Some(text) => {
                let told = told(rests);
                still(Words::from(format!("changed since: {told}; it is doubted still: ")).then(&text))
            }
        }
    }

    /// Whether another value was typed into the cell whose reading is doubted.
    fn typed_anew(&self, doubt: &DoubtReport, now: &Now) -> bool {
        let name = doubt.reads.first().and_then(|reads| given_of(*reads));
        let by_offer = doubt.others.iter().flat_map(|other| &other.sets);
        let mut names = by_offer.filter_map(|(reads, _)| given_of(*reads)).chain(name);
        names.any(|name| now.changed.iter().any(|changed| changed.name == name && changed.seen))
    }

    /// How it stands with a tag that stood twice.
    fn standing_of_tag(&self, item: usize, tags: &Tags, standing: Standing) -> Standing {
        let is = tag_of(self.rows, item).unwrap_or("nothing");
        let read = self.was(item).and_then(|was| was.words(Reads::Tag).cloned());
        let told = read
            .filter(|was| was.trim() != is)
            .map(|was| format!("tag was read as {was}, now {is}"));
        let settled = |words: String| Standing {
            settled: Some(format!("corrected since: {words}")),
            by_hand: false,
            ..standing.clone()
        };
        match (self.twice(item, tags), told) {
            (None, Some(told)) => settled(told),
            (None, None) => settled(format!("no other row has the tag {is} any more")),
            (Some(twice), Some(told)) => Standing {
                changed: Some(format!("changed since: {told}; it is doubted still: {twice}").into()),
                ..standing
            },
            (Some(_), None) => standing,
        }
    }

    /// Which other rows have the tag of a row, in words.
    fn twice(&self, item: usize, tags: &Tags) -> Option<String> {
        let own = self.source_row(item);
        let others = tags.others(self.rows, item).into_iter();
        // Several motors in one row of the source share its tag; more of them than were read are copies of a row.
        let others: Vec<(usize, Option<u32>)> = others.map(|other| (other, self.source_row(other))).collect();
        let of_row = own.map_or(0, |own| motors_of(self.report, own).count());
        let beside = others.iter().filter(|(_, row)| row.is_some() && *row == own).count();
        let together = beside < of_row;
        // By its row of the source where that tells it from this one.
        let places = others.into_iter().filter_map(|(other, row)| match row {
            Some(row) if Some(row) != own => Some((other, Some(row))),
            Some(_) if together => None,
            _ => Some((other, None)),
        });
        let others: Vec<(usize, Option<u32>)> = places.take(TAGS_TOLD).collect();
        let listed = |numbers: Vec<String>, before: &str, after: &str| {
            (!numbers.is_empty()).then(|| format!("in {before} {}{after}", numbers.join(", ")))
        };
        let mut read: Vec<u32> = others.iter().filter_map(|(_, row)| *row).collect();
        read.dedup();
        let read = read.iter().map(u32::to_string).collect();
        let typed = others.iter().filter(|(_, row)| row.is_none());
        let typed = typed.map(|(item, _)| (item + 1).to_string()).collect();
        let parts = [listed(read, "source row", ""), listed(typed, "row", " of the list")];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        let tag = tag_of(self.rows, item)?;
        (!parts.is_empty()).then(|| format!("Tag {tag} stands also {}.", parts.join(" and ")))
    }

    /// What the rules say of a changed row that they did not say of what was read, and of a tag that came to stand twice.
    pub fn raised(&self, item: usize, tags: &Tags) -> Vec<Raised> {
        let twice = || {
            let twice = self.twice(item, tags)?;
            let row = self.was(item).map(|was| was.source_row());
            let said = self.reported(item, row).contains(&Code::TAG_TWICE.word());
            (!said).then(|| Doubt::new(row, Code::TAG_TWICE, twice))
        };
        let mut raised = self.raised_of_readings(item);
        raised.extend(twice().map(|doubt| self.raise(item, &doubt)));
        raised
    }

    fn raise(&self, item: usize, doubt: &Doubt) -> Raised {
        let mut told = super::told(doubt);
        told.typed_since = true;
        // A rule of every column says by what it offers which one it is about.
        told.reads = match rules::columns_of(told.rule, &told.text) {
            Some(columns) => columns.to_vec(),
            None => doubt
                .others
                .iter()
                .flat_map(|other| &other.sets)
                .map(|(reads, _)| *reads)
                .collect(),
        };
        let means: Vec<(Rests, Trust)> = trust::means(doubt);
        let mut trusts = means.iter().map(|(rests, _)| rests.quantity());
        let by_hand =
            trust::may_be_right(told.rule) && !means.is_empty() && trusts.all(|name| self.is_good(item, name));
        Raised {
            item,
            told,
            means,
            by_hand,
        }
    }

    fn raised_of_readings(&self, item: usize) -> Vec<Raised> {
        if !self.is_changed(item) {
            return Vec::new();
        }
        let now = self.now(item);
        let row = self.source_row(item).filter(|_| now.was.is_some());
        let before: OnceCell<Vec<&'static str>> = OnceCell::new();
        let said_before = |code: Code| {
            let before = before.get_or_init(|| {
                let read = now.was.iter().flat_map(of_motor).map(|doubt| doubt.code.word());
                read.chain(self.reported(item, row)).collect()
            });
            before.contains(&code.word())
        };
        let mut doubts = of_motor(&now.is);
        if let Some((severity, words)) = self.methods.apart(item) {
            doubts.push(Doubt::new(None, Code::LOADS_DISAGREE, words).as_severe(severity));
        }
        doubts.retain(|doubt| !said_before(doubt.code));
        let raised = doubts.into_iter().map(|mut doubt| {
            doubt.source_row = row;
            let mut raised = self.raise(item, &doubt);
            // It stands at what was typed since, not at what nobody touched.
            let typed =
                |reads: &Reads| given_of(*reads).is_some_and(|name| now.changed.iter().any(|it| it.name == name));
            raised.told.reads.sort_by_key(|reads| !typed(reads));
            raised
        });
        raised.collect()
    }

    /// The rules whose doubts of a row stand in the report.
    fn reported(&self, item: usize, row: Option<u32>) -> Vec<&'static str> {
        let Some(row) = row else { return Vec::new() };
        let motor = self.motor_of_row(item, row);
        // Doubts are in the order of their rows.
        let first = self.report.doubts.partition_point(|doubt| doubt.source_row < Some(row));
        let doubts = self.report.doubts.iter().skip(first);
        doubts
            .take_while(|doubt| doubt.source_row == Some(row))
            .filter(|doubt| doubt.table.is_none() || motor_of(self.report, doubt, row) == motor)
            .map(|doubt| doubt.rule)
            .collect()
    }
}

/// Rules that doubt how a cell was read, and not what it says: they are over with another value in its place.
static OF_READING: &[Code] = &[
    Code::NUMBER_AMBIGUOUS,
    Code::VALUE_OF_NO_MOTOR,
    Code::SUPPLY_NOT_SAID,
    Code::PHASE_MISSING,
    Code::FREQUENCY_IN_WORDS,
    Code::VALUE_NEGATIVE,
    Code::VALUE_ZERO,
    Code::TEXT_NOT_READ,
    Code::DATE_FOR_NUMBER,
    Code::FORMULA_WITHOUT_VALUE,
    Code::EFFICIENCY_SCALE,
    Code::POWER_FACTOR_SCALE,
    Code::POLES_NOT_IN_PAIRS,
    Code::SEVERAL_VALUES,
];

/// How many rows with the same tag are named.
const TAGS_TOLD: usize = 5;

/// Where a column stands among those of a list.
fn place_of(rows: &Rows, name: &str) -> Option<usize> {
    rows.columns.iter().position(|column| **column == *name)
}

/// The motors of a row of the source, in order.
fn motors_of(report: &Report, row: u32) -> impl Iterator<Item = &super::report::RowReport> {
    let first = report.rows.partition_point(|known| known.source_row < row);
    report
        .rows
        .iter()
        .skip(first)
        .take_while(move |known| known.source_row == row)
        .filter(|known| known.called == As::Motor)
}

fn read_of(report: &Report, row: u32, motor: usize) -> Option<At<'_>> {
    motors_of(report, row).nth(motor)?.readings.as_ref()?.at()
}

/// The cell that a given of a list was read from, as it stands there: by the row of the source, and which of the motors of that row.
pub fn as_received(report: &Report, row: u32, motor: usize, name: &str) -> Option<String> {
    let reads = Reads::ALL.iter().find(|reads| given_of(**reads) == Some(name))?;
    let cell = read_of(report, row, motor)?.cell(*reads)?;
    Some(cell.whole().raw.shown()).filter(|raw| !raw.is_empty())
}

/// Which of the motors of a row of the source a doubt is about: more than one where tables stand side by side.
fn motor_of(report: &Report, doubt: &DoubtReport, row: u32) -> usize {
    let Some(table) = doubt.table else { return 0 };
    let place = motors_of(report, row).position(|known| known.table == Some(table));
    place.unwrap_or(0)
}

/// A motor of which nothing was read.
fn nothing_read() -> Motor {
    Motor {
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
        supply: None,
    }
}

/// Puts what stands in the workbook in the place of what was read.
fn put(motor: &mut Motor, column: &Column<'_>, value: Option<(Reading, PlateUnit)>, typed: &str) {
    let reads = column.reads;
    let heading = motor.cell(reads).map(|cell| cell.column.clone());
    motor.cells.retain(|(known, _)| *known != reads);
    let one = match &value {
        Some((Reading::One(one), _)) => Some(*one),
        _ => None,
    };
    match reads {
        Reads::Voltage => motor.used_voltage = one,
        Reads::RatedCurrent => motor.used_current = one,
        Reads::Drive => {
            motor.drive = match value {
                Some((Reading::Words(words), _)) => Some(words).filter(|words| **words == *DRIVE),
                _ => None,
            };
            return;
        }
        _ => {}
    }
    let Some((value, unit)) = value else { return };
    let titled = column.quantity.map(|quantity| Arc::from(quantity.called()));
    let cell = motor::Cell {
        raw: Raw::Text(typed.into()),
        column: heading
            .filter(|heading| !heading.is_empty())
            .or(titled)
            .unwrap_or_else(|| "".into()),
        value,
        unit,
        confidence: 100,
        note: None,
    };
    motor.cells.push((reads, cell));
}

/// A number in the unit that the rules take it to be in; ratings keep theirs. None for a unit that no plate has.
fn measured(reads: Reads, number: Decimal, unit: Option<&str>) -> Option<(Decimal, PlateUnit)> {
    let thousand = Decimal::ONE_THOUSAND;
    let unit = match unit {
        None | Some("" | "1" | "pole") => PlateUnit::One,
        Some(text) => PlateUnit::ALL.into_iter().find(|known| known.text() == text)?,
    };
    let usual = reads.usual();
    Some(match (unit, usual) {
        (unit, usual) if unit == usual => (number, unit),
        (unit, PlateUnit::Kilowatt) if reads == Reads::RatedPower => {
            let _ = unit.kilowatts()?;
            (number, unit)
        }
        (PlateUnit::Watt, PlateUnit::Kilowatt) => (number.checked_div(thousand)?, usual),
        (unit, PlateUnit::Kilowatt) => (number.checked_mul(Decimal::from_f64(unit.kilowatts()?)?)?, usual),
        (PlateUnit::Kilovolt, PlateUnit::Volt) => (number.checked_mul(thousand)?, usual),
        (PlateUnit::One, PlateUnit::Percent) => (number.checked_mul(Decimal::ONE_HUNDRED)?, usual),
        (PlateUnit::Percent, PlateUnit::One) => (number.checked_div(Decimal::ONE_HUNDRED)?, usual),
        _ => return None,
    })
}

/// A cell as typed.
fn typed(cell: &Cell) -> String {
    match cell {
        Cell::Blank => "nothing".to_owned(),
        Cell::Number(number, Some(unit)) if !unit.is_plain() => format!("{} {}", number.normalize(), unit.text),
        Cell::Number(number, _) => number.normalize().to_string(),
        Cell::Text(text) | Cell::Word(text) => text.to_string(),
        Cell::Formula(formula) => formula.text.to_string(),
    }
}
