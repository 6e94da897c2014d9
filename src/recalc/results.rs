//! What a worked workbook gives: read by the terminal page, the JSON, the exports and the window.

use std::sync::Arc;

use crate::fault::{Placed, Words};
use crate::language::check::QuantityId;
use crate::language::check::Sort;
use crate::language::work::{FewerRows, Outcome, Remark};
use crate::workbook::{Form, Role, Rounding, Source, SourceWord};

use super::book::Book;
use super::reach::Items;

/// All results of a workbook.
#[derive(Clone, Debug, Default)]
pub struct Results {
    /// Sheets in order.
    pub sheets: Vec<SheetResults>,
    /// All faults with their places, in the order of the text, each once.
    pub faults: Vec<Placed>,
    /// Warnings that an `accept CODE "reason"` settles, in the order of the text; they are not in `faults`.
    pub accepted: Vec<Accepted>,
}

/// A settled warning.
#[derive(Clone, Debug)]
pub struct Accepted {
    /// The warning and its place.
    pub placed: Placed,
    /// Why it is accepted, as the author wrote it.
    pub reason: String,
}

/// Results of a sheet or list.
#[derive(Clone, Debug)]
pub struct SheetResults {
    /// Name.
    pub name: Arc<str>,
    /// Title.
    pub title: String,
    /// Sheet or list.
    pub form: Form,
    /// Cases or row keys; one empty name for a sheet without cases.
    pub items: Arc<[Arc<str>]>,
    /// Quantities in order.
    pub quantities: Vec<QuantityResults>,
    /// Checks in order.
    pub checks: Vec<CheckResults>,
    /// Flags in order.
    pub flags: Vec<CheckResults>,
    /// Notes, in order.
    pub notes: Vec<String>,
}

/// Results of a quantity.
#[derive(Clone, Debug)]
pub struct QuantityResults {
    /// Name.
    pub name: Arc<str>,
    /// Title, may be empty.
    pub title: String,
    /// Role.
    pub role: Role,
    /// What it is; unit and kind.
    pub sort: Sort,
    /// How it is rounded when shown.
    pub rounding: Option<Rounding>,
    /// Where the given comes from.
    pub source: Option<Source>,
    /// Heading it was read from.
    pub from: Option<String>,
    /// A cell for each item.
    pub cells: Arc<[Outcome]>,
    /// Items whose cell has a formula of its own, in order.
    pub own: Vec<usize>,
    /// Items of a worked quantity for which a number was typed where others have a formula, in order.
    pub over: Vec<usize>,
    /// What a reader of a cell should know, by item in order.
    pub notes: Vec<(usize, Remark)>,
    /// Limits of the cells that rest on tolerances, by item in order.
    pub bands: Vec<(usize, Arc<Band>)>,
    /// Published tables its formulas look into.
    pub tables: Vec<TableUse>,
    /// Cells whose value was typed in another unit, by item in order: what was typed.
    pub typed: Vec<(usize, Arc<str>)>,
}

/// A published table that a value rests on.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct TableUse {
    /// Its name in formulas.
    pub name: &'static str,
    /// Document and clause.
    pub edition: String,
    /// How its values are known: of the row where one value is told of, else of the whole table.
    pub basis: String,
}

impl TableUse {
    /// `nec_430_250: NFPA 70 National Electrical Code 2023, Table 430.250; read`.
    pub fn words(&self) -> String {
        format!("{}: {}; {}", self.name, self.edition, self.basis)
    }
}

/// How far a value may be off because of tolerances, in the unit of its quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// How they were found.
    pub how: How,
    /// Which input causes how much, the largest part first.
    pub caused: Vec<Caused>,
}

/// How limits were found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// At two common corners of all tolerances: the value goes steadily with each of them.
    Corners,
    /// The outermost of shared draws.
    Draws,
}

impl How {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            How::Corners => "corners",
            How::Draws => "draws",
        }
    }
}

/// What one tolerance does to a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Caused {
    /// Sheet of the input.
    pub sheet: Arc<str>,
    /// The input.
    pub name: Arc<str>,
    /// Its item, where the tolerance is that of one item.
    pub item: Option<Arc<str>>,
    /// Lower limit with this tolerance alone.
    pub low: f64,
    /// Upper limit with this tolerance alone.
    pub high: f64,
    /// Its part of the sum of the squares of all such widths.
    pub part: f64,
}

/// Results of a check or flag.
#[derive(Clone, Debug)]
pub struct CheckResults {
    /// In words, or the formula where it has none.
    pub text: String,
    /// The formula.
    pub formula: Arc<str>,
    /// For each item.
    pub cells: Vec<Verdict>,
    /// Published tables its formula looks into.
    pub tables: Vec<TableUse>,
}

/// Whether a check holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// `Some(true)`: it holds; `None`: not worked. In doubt it is what the values without their tolerances give.
    pub holds: Option<bool>,
    /// Within the tolerances it holds in some places and not in others.
    pub in_doubt: bool,
    /// Left and right side as shown, for a simple comparison.
    pub sides: Option<(String, String)>,
    /// Margin: how far the left side is on the good side of the limit, in per cent of the limit (`10 %`, `-3.2 %`).
    pub margin: Option<String>,
    /// The least margin within the tolerances, where it is another one.
    pub least: Option<String>,
    /// Why it is not worked.
    pub why: Option<Words>,
}

impl Verdict {
    /// A verdict that cannot be given, and why.
    pub fn not_worked(why: Words) -> Verdict {
        Verdict {
            holds: None,
            in_doubt: false,
            sides: None,
            margin: None,
            least: None,
            why: Some(why),
        }
    }
}

impl Verdict {
    /// Its margin, and the least within the tolerances: `10 %, least 3.2 %`.
    pub fn margins(&self) -> Option<String> {
        let margin = self.margin.as_ref()?;
        Some(match &self.least {
            Some(least) => format!("{margin}, least {least}"),
            None => margin.clone(),
        })
    }

    /// Whether it holds for sure, not for sure, not in doubt.
    pub fn passes(&self) -> bool {
        self.holds == Some(true) && !self.in_doubt
    }

    /// yes, no, in doubt, not worked.
    pub fn word(&self) -> &'static str {
        match (self.holds, self.in_doubt) {
            (Some(_), true) => "in doubt",
            (Some(true), _) => "yes",
            (Some(false), _) => "no",
            (None, _) => "not worked",
        }
    }
}

impl QuantityResults {
    /// What a reader should know of a cell, where there is something.
    pub fn note(&self, item: usize) -> Option<String> {
        let notes: Vec<String> = self.remarks(item).map(Remark::to_string).collect();
        (!notes.is_empty()).then(|| notes.join("; "))
    }

    /// The remarks on a cell.
    pub fn remarks(&self, item: usize) -> impl Iterator<Item = &Remark> {
        let from = self.notes.partition_point(|(at, _)| *at < item);
        let own = self.notes.iter().skip(from).take_while(move |(at, _)| *at == item);
        own.map(|(_, remark)| remark)
    }

    /// Of how many rows a cell is, where those are fewer than fit.
    pub fn fewer_rows(&self, item: usize) -> Option<FewerRows> {
        self.remarks(item).find_map(|remark| match remark {
            Remark::FewerRows(rows) => Some(*rows),
            Remark::FromMemory(_) | Remark::Words(_) => None,
        })
    }

    /// Whether a number was typed for an item where others have a formula: it reads nothing.
    pub fn is_typed_over(&self, item: usize) -> bool {
        self.over.binary_search(&item).is_ok()
    }

    /// What was typed in a cell, where that was in another unit.
    pub fn typed_as(&self, item: usize) -> Option<&str> {
        let at = self.typed.binary_search_by_key(&item, |(item, _)| *item).ok()?;
        self.typed.get(at).map(|(_, text)| &**text)
    }

    /// The limits of a cell, where it rests on tolerances.
    pub fn band(&self, item: usize) -> Option<&Arc<Band>> {
        let at = self.bands.binary_search_by_key(&item, |(item, _)| *item).ok()?;
        self.bands.get(at).map(|(_, band)| band)
    }

    /// Whether a formula or a number stands in place of the formula of the others. A given typed with its tolerance is none.
    pub fn is_of_its_own(&self, item: usize) -> bool {
        let typed = self.role == Role::Given
            && self.band(item).is_some_and(|band| match band.caused.as_slice() {
                [only] => only.name == self.name,
                _ => false,
            });
        self.is_typed_over(item) || self.own.binary_search(&item).is_ok() && !typed
    }

    /// What it is called: by the heading it was read from, else by its title, else by its name.
    pub fn called(&self) -> &str {
        let from = self.from.as_deref().filter(|_| self.role == Role::Given);
        let title = Some(self.title.as_str()).filter(|title| !title.is_empty());
        from.or(title).unwrap_or(&self.name)
    }
}

impl SheetResults {
    /// What it is called: by its title, else by its name.
    pub fn heading(&self) -> &str {
        if self.title.is_empty() { &self.name } else { &self.title }
    }

    /// A reason as it is said of the item itself: without the number of its row, which is not the one of the source, and with the
    /// heading in place of a name that only the workbook knows.
    pub fn reason_in_words(&self, item: usize, reason: &str) -> Arc<str> {
        let reason = reason.strip_prefix("not worked: ").unwrap_or(reason);
        let reason = reason.strip_suffix(&format!(" in row {}", item + 1)).unwrap_or(reason);
        for end in [" is missing", " has a fault"] {
            let name = reason.strip_suffix(end).unwrap_or_default();
            if let Some(quantity) = self.quantities.iter().find(|quantity| *quantity.name == *name) {
                return Arc::from(format!("{}{end}", quantity.called()));
            }
        }
        Arc::from(reason)
    }

    /// Everything that is assumed in the sheet: name, title, and the values as shown.
    pub fn assumptions(&self) -> impl Iterator<Item = &QuantityResults> {
        self.quantities.iter().filter(|quantity| {
            quantity
                .source
                .as_ref()
                .is_some_and(|source| source.word == SourceWord::Assumed)
        })
    }
}

/// What was checked and worked after a change.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ran {
    /// Quantities, checks and flags with formulas that were checked again.
    pub checked: Vec<Touched>,
    /// Those that were worked again, and which items.
    pub worked: Vec<Worked>,
}

/// A line: sheet and name; a check or flag goes by `check FORMULA`, `flag FORMULA`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Touched {
    /// Sheet or list.
    pub sheet: Arc<str>,
    /// Quantity.
    pub name: Arc<str>,
}

/// Cells worked again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// Which line.
    pub line: Touched,
    /// Which items.
    pub items: Items,
    /// How many cells these are.
    pub count: usize,
}

impl Ran {
    pub(super) fn checked(&mut self, book: &Book, id: QuantityId) {
        let touched = touched(book, id);
        if self.checked.last() != Some(&touched) {
            self.checked.push(touched);
        }
    }

    pub(super) fn worked(&mut self, book: &Book, id: QuantityId, items: &Items, count: usize) {
        self.worked.push(Worked {
            line: touched(book, id),
            items: items.clone(),
            count: match items {
                Items::All => count,
                Items::Some(items) => items.len(),
            },
        });
    }

    /// How many cells were worked.
    pub fn cells(&self) -> usize {
        self.worked.iter().map(|worked| worked.count).sum()
    }

    /// Puts what ran later behind it.
    pub fn extend(&mut self, other: Ran) {
        self.checked.extend(other.checked);
        self.worked.extend(other.worked);
    }
}

fn touched(book: &Book, id: QuantityId) -> Touched {
    let name = book.entry(id).map_or_else(|| Arc::from(""), |entry| entry.name.clone());
    let sheet = book
        .sheet_of(id)
        .map_or_else(|| Arc::from(""), |sheet| sheet.name.clone());
    Touched { sheet, name }
}

/// How a cell came about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// The formula as typed, where there is a value without the refusals in it; for a seek `such that` with its equation.
    pub formula: String,
    /// Whether the value was sought: the formula is an equation then, and what stands in it is not the result.
    pub sought: bool,
    /// Of a choice the part that was taken, in symbols.
    pub branch: Option<String>,
    /// The equation rearranged for the unknown, where it could be.
    pub rearranged: Option<String>,
    /// The formula, of a choice the part that was taken, with the values and units in place of the names; of an equation that could
    /// not be rearranged also with what was found.
    pub substituted: String,
    /// The result with its unit.
    pub result: String,
    /// The givens it rests on, in the order they are met.
    pub rests_on: Vec<RestsOn>,
    /// Which way it went, how many rows took part, what a definition stands for.
    pub note: Option<String>,
    /// Published tables it rests on, with the basis of the rows that gave a value.
    pub tables: Vec<TableUse>,
}

impl Trace {
    /// Formula, substitution and result as one text: `rho * g_n * Q * H / eta = 1210 kg/m³ * … = 5.014 kW`, with the published
    /// tables it rests on.
    pub fn in_one_line(&self) -> String {
        let says_more = self.substituted != self.formula && self.substituted != self.result;
        let mut text = if self.sought && self.rearranged.is_none() {
            // What was sought is no side of its equation.
            let so = if says_more {
                format!(", so that {}", self.substituted)
            } else {
                String::new()
            };
            format!("{}; {}{so}", self.formula, self.result)
        } else {
            let mut parts = vec![self.rearranged.as_deref().unwrap_or(&self.formula)];
            parts.extend(says_more.then_some(self.substituted.as_str()));
            parts.push(&self.result);
            parts.retain(|part| !part.is_empty());
            let sought = if self.rearranged.is_some() {
                format!("{}; ", self.formula)
            } else {
                String::new()
            };
            format!("{sought}{}", parts.join(" = "))
        };
        for table in &self.tables {
            text.push_str(&format!(" [{}]", table.words()));
        }
        text
    }
}

/// A given that a result rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RestsOn {
    /// Sheet or list.
    pub sheet: Arc<str>,
    /// Item, empty for the only one; `None` where several items take part.
    pub item: Option<Arc<str>>,
    /// Quantity.
    pub name: Arc<str>,
    /// Title, may be empty.
    pub title: String,
    /// Value with unit, as shown; for several items, how many.
    pub value: String,
    /// Where it comes from.
    pub source: Option<Source>,
    /// It is read by a condition, or by a part of a choice that was not taken: it did not give the value.
    pub aside: bool,
}
