//! What the evaluator asks about cells. `recalc` answers for a workbook, tests answer from a table.

use super::Outcome;
use crate::language::check::{QuantityId, SheetId};

/// The answer to "which item has this key".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// This one.
    One(usize),
    /// None has it.
    None,
    /// Several have it; the first two.
    Several(usize, usize),
}

/// Worked cells, read only. Items are counted from 0.
pub trait Cells: Sync {
    /// All cells of a quantity, one for each item of its sheet.
    fn column(&self, quantity: QuantityId) -> &[Outcome];
    /// The sheet a quantity stands in.
    fn sheet_of(&self, quantity: QuantityId) -> SheetId;
    /// How many items a sheet has.
    fn count(&self, sheet: SheetId) -> usize;
    /// The item of a sheet with this key.
    fn find(&self, sheet: SheetId, key: &str) -> Found;
    /// The item of `to` that stands for the same case as `item` of `from`.
    fn counterpart(&self, from: SheetId, item: usize, to: SheetId) -> Option<usize>;
    /// The name of a quantity, for messages.
    fn name(&self, quantity: QuantityId) -> String;
    /// The name of a sheet, for messages.
    fn sheet_name(&self, sheet: SheetId) -> String;
    /// Where an item is, for messages: ` in row 12`, ` for winter`, or nothing.
    fn place(&self, sheet: SheetId, item: usize) -> String;
}
