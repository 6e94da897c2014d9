//! Which changes can be followed without planning anew.

use super::book::Book;
use super::reach::Items;
use crate::language::check::QuantityId;
use crate::workbook::Workbook;
use crate::workbook::change::Change;

/// What has to be known before a change is applied.
pub(super) struct Before;

/// What a narrow change asks for.
pub(super) struct Edit {
    pub id: QuantityId,
    /// Items to be worked again in any case.
    pub items: Items,
    /// Whether a formula has changed.
    pub formulas: bool,
    /// Whether faults of the text came or went.
    pub faults: bool,
}

pub(super) fn before(_workbook: &Workbook, _book: &Book, _change: &Change) -> Option<Before> {
    None
}

pub(super) fn after(_workbook: &Workbook, _book: &Book, _change: &Change, _before: &Before) -> Option<Edit> {
    None
}
