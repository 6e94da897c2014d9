//! What the reading of a list doubts, beside what the workbook has now.
//!
//! Always: a doubt is settled, and says so, where its value was changed by hand and its rule, asked again, holds no longer, or where
//! its readings were taken as right; nothing is changed because of a doubt unless somebody asks for it.
//! Not known here: how a doubt comes about, and drawing.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};

use rust_decimal::prelude::ToPrimitive as _;

use super::again::{Again, Row};
use crate::fault::Code;
use crate::plates::find::As;
use crate::plates::list::{BEST_LOAD, given_of};
use crate::plates::loads::spread;
use crate::plates::report::{ComputedLoads, DoubtReport};
use crate::plates::trust::{Rests, Trust};
use crate::plates::{Report, reads::Reads};
use crate::recalc::SheetResults;
use crate::session::{Command, Session};
use crate::window::newer::{AsRead, place_of};
use crate::window::spot::{Field, Spot};
use crate::workbook::change::Change;
use crate::workbook::text::quoted;
use crate::workbook::{Cell, Rows, SOURCE_ROW, Sheet};

/// What is doubted of a row and stands still.
#[derive(Clone, Debug, Default)]
pub struct RowDoubts {
    /// All of it, in words.
    words: String,
    /// The same by the quantity that it is about.
    at: Vec<(&'static str, String)>,
}

impl RowDoubts {
    /// What is doubted at a quantity: all of it at the name of the row and at its load, else what is doubted of the quantity itself.
    pub fn at(&self, name: &str, names_row: bool) -> Option<&str> {
        if names_row || name == BEST_LOAD {
            return Some(&self.words);
        }
        let (_, words) = self.at.iter().find(|(known, _)| *known == name)?;
        Some(words)
    }

    fn add(&mut self, name: Option<&'static str>, text: &str) {
        let into = |words: &mut String, head: &str| {
            if words.is_empty() {
                words.push_str(head);
            }
            words.push('\n');
            words.push_str(text);
        };
        into(&mut self.words, "The reading doubts this row:");
        let Some(name) = name else { return };
        if !self.at.iter().any(|(known, _)| *known == name) {
            self.at.push((name, String::new()));
        }
        if let Some((_, words)) = self.at.iter_mut().find(|(known, _)| *known == name) {
            into(words, "The reading doubts this:");
        }
    }
}

/// How it stands with a doubt.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// Why it is settled, in words.
    pub settled: Option<String>,
    /// What was changed by hand although the doubt still stands, in words.
    pub changed: Option<String>,
    /// The item of the list it is about.
    item: Option<usize>,
    /// Its readings are not used for the load, and could be.
    pub can_use: bool,
}

impl Standing {
    /// Whether there is a place to go to, for a doubt of a row.
    pub fn has_place(&self) -> bool {
        self.item.is_some()
    }

    /// What is to be done comes first: open doubts by their level, among them what was corrected and is not used yet.
    pub fn rank(&self, level: &str) -> u8 {
        match (&self.settled, level) {
            (None, "error") => 0,
            (Some(_), _) if self.can_use => 1,
            (None, "warning") => 2,
            (None, _) => 3,
            (Some(_), _) => 4,
        }
    }
}

/// The doubts of a report as they stand.
#[derive(Clone, Debug, Default)]
pub struct Doubts {
    of: Option<u64>,
    standing: Vec<Standing>,
    /// What stands still, by the row of the source.
    pub rows: BTreeMap<u32, RowDoubts>,
}

/// The list that was read.
struct List<'a> {
    at: usize,
    sheet: &'a Sheet,
    rows: &'a Rows,
    results: &'a SheetResults,
}

impl<'a> List<'a> {
    fn of(session: &'a Session) -> Option<List<'a>> {
        let sheets = session.workbook().sheets.iter().zip(&session.results().sheets);
        sheets.enumerate().find_map(|(at, (sheet, results))| {
            let rows = sheet.rows.as_ref()?;
            place_of(rows, SOURCE_ROW)?;
            Some(List {
                at,
                sheet,
                rows,
                results,
            })
        })
    }

    fn cell(&self, item: usize, name: &str) -> Option<&'a Cell> {
        self.rows.rows.get(item)?.cells.get(place_of(self.rows, name)?)
    }

    /// The items that were read from doubted rows.
    fn items(&self, report: &Report) -> HashMap<u32, Vec<usize>> {
        let mut out: HashMap<u32, Vec<usize>> = report
            .doubts
            .iter()
            .filter_map(|doubt| Some((doubt.source_row?, Vec::new())))
            .collect();
        let Some(numbers) = place_of(self.rows, SOURCE_ROW).filter(|_| !out.is_empty()) else {
            return out;
        };
        for (item, row) in self.rows.rows.iter().enumerate() {
            if let Some(Cell::Number(number, _)) = row.cells.get(numbers)
                && let Some(items) = number.to_u32().and_then(|number| out.get_mut(&number))
            {
                items.push(item);
            }
        }
        out
    }

    /// The quantities a doubt is about, that of its column first.
    fn names(&self, doubt: &DoubtReport) -> Vec<&'static str> {
        if doubt.rule == Code::LOADS_DISAGREE.word() {
            let mut names = vec![BEST_LOAD];
            names.extend(doubt.reads.iter().filter_map(|reads: &Reads| given_of(*reads)));
            return names;
        }
        let names = doubt.reads.iter().filter_map(|reads| given_of(*reads));
        names
            .filter(|name| self.results.quantities.iter().any(|known| &*known.name == *name))
            .collect()
    }

    /// What says how far the readings are trusted that a doubt is about, as far as the list says so.
    fn trusts(&self, doubt: &DoubtReport) -> Vec<&'static str> {
        if doubt.level == "note" {
            return Vec::new();
        }
        let rests = Rests::of_rule(doubt.rule, &doubt.text).into_iter().map(Rests::quantity);
        rests.filter(|name| place_of(self.rows, name).is_some()).collect()
    }

    fn is_good(&self, item: usize, name: &str) -> bool {
        matches!(self.cell(item, name), Some(Cell::Text(text)) if **text == *Trust::Good.word())
    }
}

/// Which of the motors of a row of the source a doubt is about: more than one where tables stand side by side.
fn motor_of(report: &Report, doubt: &DoubtReport, row: u32) -> usize {
    let Some(table) = doubt.table else { return 0 };
    let first = report.rows.partition_point(|known| known.source_row < row);
    let motors = report
        .rows
        .iter()
        .skip(first)
        .take_while(|known| known.source_row == row);
    let mut motors = motors.filter(|known| known.called == As::Motor);
    motors.position(|known| known.table == Some(table)).unwrap_or(0)
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

impl Doubts {
    /// Looks again at what was doubted, where something has changed. Whether it has.
    pub fn read(&mut self, report: &Report, as_read: &AsRead, session: &Session, changes: u64) -> bool {
        if self.of == Some(changes) {
            return false;
        }
        let list = List::of(session);
        let items = list.as_ref().map(|list| list.items(report)).unwrap_or_default();
        // The loads are compared again only where a reading of theirs was changed.
        let apart: OnceCell<HashMap<u32, String>> = OnceCell::new();
        let stand = |doubt: &DoubtReport| match (&list, doubt.source_row) {
            (Some(list), Some(row)) => {
                let apart = || apart.get_or_init(|| loads_apart(list, items.keys())).get(&row).cloned();
                standing(report, as_read, list, items.get(&row), doubt, row, &apart)
            }
            _ => Standing::default(),
        };
        let standing: Vec<Standing> = report.doubts.iter().map(stand).collect();
        let mut rows: BTreeMap<u32, RowDoubts> = BTreeMap::new();
        for level in ["error", "warning"] {
            for (doubt, standing) in report.doubts.iter().zip(&standing) {
                if let (Some(row), None) = (doubt.source_row.filter(|_| doubt.level == level), &standing.settled) {
                    let first = list.as_ref().and_then(|list| list.names(doubt).first().copied());
                    let text = match &standing.changed {
                        Some(changed) => format!("{} ({changed})", doubt.text),
                        None => doubt.text.clone(),
                    };
                    rows.entry(row).or_default().add(first, &text);
                }
            }
        }
        *self = Doubts {
            of: Some(changes),
            standing,
            rows,
        };
        true
    }

    /// How it stands with a doubt, by its place in the report.
    pub fn standing(&self, place: usize) -> Option<&Standing> {
        self.standing.get(place)
    }

    /// Why a doubt is settled, by its place in the report.
    pub fn settled_by(&self, place: usize) -> Option<&str> {
        self.standing(place)?.settled.as_deref()
    }

    /// How many are settled.
    pub fn settled(&self) -> usize {
        let settled = self.standing.iter().filter(|standing| standing.settled.is_some());
        settled.count()
    }

    /// The place of the reading a doubt is about; of a whole column, its heading.
    pub fn place(&self, report: &Report, session: &Session, place: usize) -> Option<(usize, Spot)> {
        let doubt = report.doubts.get(place)?;
        let list = List::of(session)?;
        let quantities = &list.results.quantities;
        let of_name = |name: &str| quantities.iter().position(|quantity| *quantity.name == *name);
        let heading = || {
            let column = report.columns.iter().find(|known| Some(known.column) == doubt.column)?;
            let from = |known: &crate::recalc::QuantityResults| known.from.as_deref() == Some(column.heading.as_str());
            quantities.iter().position(from)
        };
        let quantity = list
            .names(doubt)
            .first()
            .and_then(|name| of_name(name))
            .or_else(heading);
        let (quantity, field) = match (doubt.source_row, quantity) {
            // A doubt of the row as a whole stands at its name.
            (Some(_), quantity) => (quantity.unwrap_or(0), Field::Value(self.standing(place)?.item?)),
            (None, quantity) => (quantity?, Field::Label),
        };
        Some((list.at, Spot { quantity, field }))
    }

    /// The command that lets the best load of a row rest on readings again that were corrected since, at one of them, the load or
    /// the name of the row.
    pub fn corrected(&self, report: &Report, session: &Session, at: usize, spot: Spot) -> Option<Command> {
        let Field::Value(item) = spot.field else { return None };
        let list = List::of(session).filter(|list| list.at == at)?;
        let name = &list.results.quantities.get(spot.quantity)?.name;
        let mut places = self
            .standing
            .iter()
            .enumerate()
            .filter(|(_, standing)| standing.can_use && standing.settled.is_some() && standing.item == Some(item));
        let (place, _) = places.find(|(place, _)| {
            let names = report
                .doubts
                .get(*place)
                .map(|doubt| list.names(doubt))
                .unwrap_or_default();
            spot.quantity == 0 || **name == *BEST_LOAD || names.iter().any(|known| **known == **name)
        })?;
        self.using(report, session, place)
    }

    /// The command that takes the readings of a doubt as right: its load rests on them again.
    pub fn using(&self, report: &Report, session: &Session, place: usize) -> Option<Command> {
        let doubt = report.doubts.get(place)?;
        let list = List::of(session)?;
        let item = self.standing(place)?.item?;
        let names = list.trusts(doubt).into_iter().filter(|name| !list.is_good(item, name));
        let changes: Vec<Change> = names
            .map(|name| Change::SetCell {
                list: list.sheet.name.clone(),
                row: item,
                quantity: name.into(),
                text: quoted(Trust::Good.word()).into(),
            })
            .collect();
        (!changes.is_empty()).then(|| Command {
            label: "use the reading".into(),
            changes,
        })
    }
}

fn standing(
    report: &Report,
    as_read: &AsRead,
    list: &List<'_>,
    items: Option<&Vec<usize>>,
    doubt: &DoubtReport,
    row: u32,
    apart: &dyn Fn() -> Option<String>,
) -> Standing {
    let motor = motor_of(report, doubt, row);
    let Some(was) = as_read.motors(row).get(motor) else {
        return Standing {
            item: items.and_then(|items| items.get(motor)).copied(),
            ..Standing::default()
        };
    };
    let Some(item) = items.and_then(|items| items.get(motor)).copied() else {
        return Standing {
            settled: Some("the row is not in the workbook any more".to_owned()),
            ..Standing::default()
        };
    };
    let of_doubt = was.iter().filter(|(name, _)| list.names(doubt).contains(name));
    let changed: Vec<(&'static str, &Cell)> = of_doubt
        .filter(|(name, was)| list.cell(item, name).is_some_and(|is| typed(was) != typed(is)))
        .map(|(name, was)| (*name, was))
        .collect();
    let told: Vec<String> = changed
        .iter()
        .filter_map(|(name, was)| {
            Some(format!(
                "{name} was read as {}, now {}",
                typed(was),
                typed(list.cell(item, name)?)
            ))
        })
        .collect();
    let told = told.join("; ");
    let trusts = list.trusts(doubt);
    let good = trusts.iter().all(|name| list.is_good(item, name));
    let unreadable = |(name, _): &(&'static str, &Cell)| matches!(list.cell(item, name), Some(Cell::Formula(_)));
    let asked = if changed.is_empty() {
        None
    } else if changed.iter().any(unreadable) {
        Some(Again::Unasked)
    } else if doubt.rule == Code::LOADS_DISAGREE.word() {
        let is_alone = items.is_some_and(|items| items.len() == 1);
        Some(match apart() {
            _ if !is_alone => Again::Unasked,
            Some(text) => Again::Holds(text),
            None => Again::Over,
        })
    } else {
        let cell = |name: &str| list.cell(item, name);
        let row = Row {
            item,
            results: list.results,
            cell: &cell,
        };
        Some(row.asked(doubt.rule, &changed))
    };
    let by_hand = (good && !trusts.is_empty()).then(|| "taken as right by hand".to_owned());
    let (settled, changed) = match asked {
        None => (by_hand, None),
        Some(Again::Over) => (Some(format!("corrected since: {told}")), None),
        Some(Again::Holds(text)) => (
            by_hand,
            Some(format!("changed since: {told}; it is doubted still: {text}")),
        ),
        Some(Again::Unasked) => (
            by_hand,
            Some(format!("changed since the list was read: {told}; not asked again")),
        ),
    };
    Standing {
        settled,
        changed,
        item: Some(item),
        can_use: !good,
    }
}

/// Where the loads of these rows of the source are apart now, in words.
fn loads_apart<'r>(list: &List<'_>, rows: impl Iterator<Item = &'r u32>) -> HashMap<u32, String> {
    let mut loads = ComputedLoads::of(rows.map(|row| (*row, None)).collect());
    loads.take(list.results);
    let doubts = spread(&loads).into_iter();
    doubts
        .filter_map(|doubt| Some((doubt.source_row?, doubt.text)))
        .collect()
}
