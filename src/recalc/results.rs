//! What a worked workbook gives: read by the terminal page, the JSON, the exports and the window.

use std::sync::Arc;

use crate::fault::Placed;
use crate::language::check::Sort;
use crate::language::work::Outcome;
use crate::workbook::{Form, Role, Rounding, Source};

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
    /// Items whose cell has a formula of its own.
    pub own: Vec<usize>,
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
}

/// Whether a check holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// `Some(true)`: it holds; `None`: not worked.
    pub holds: Option<bool>,
    /// Left and right side as shown, for a simple comparison.
    pub sides: Option<(String, String)>,
    /// Margin: how far the left side is on the good side of the limit, in per cent of the limit (`10 %`, `-3.2 %`).
    pub margin: Option<String>,
    /// Why it is not worked.
    pub why: Option<Arc<str>>,
}
