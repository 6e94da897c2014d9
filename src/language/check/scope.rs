//! What the checker asks about names. `recalc` answers for a workbook, tests answer from a table.

use std::sync::Arc;

use super::typed::{QuantityId, SheetId, Sort};
use crate::fault::Span;
use crate::language::syntax::{Expr, Name};
use crate::quantity::Kind;

/// What a name stands for.
#[derive(Clone, Debug)]
pub struct Named {
    /// Handle.
    pub id: QuantityId,
    /// What it is.
    pub sort: Sort,
}

/// A definition: `define torque(P : shaft power, n : shaft speed) = P / n`.
#[derive(Clone, Debug)]
pub struct Defined {
    /// Parameters with their kinds.
    pub parameters: Vec<(Name, Option<Kind>)>,
    /// The formula's text (for faults inside it).
    pub text: Arc<str>,
    /// The formula.
    pub body: Arc<Expr>,
}

/// A curve: `curve T_L(n : shaft speed) in N·m …`.
#[derive(Clone, Debug)]
pub struct Curved {
    /// Parameter and its kind.
    pub parameter: (Name, Option<Kind>),
    /// Unit of the value, where set.
    pub unit: Option<crate::language::syntax::WrittenUnit>,
    /// Points, or a formula of the parameter.
    pub body: CurveBody,
}

/// How a curve is given.
#[derive(Clone, Debug)]
pub enum CurveBody {
    /// Through points.
    Points(Arc<[(Expr, Expr)]>),
    /// A formula of the parameter, and its text (for faults inside it).
    Formula(Arc<Expr>, Arc<str>),
}

/// What the checker may ask. Sheets are named by handle.
pub trait Scope {
    /// The quantity of this name in the sheet the formula stands in.
    fn quantity(&self, name: &str) -> Option<Named>;
    /// A sheet or list by name.
    fn sheet(&self, name: &str) -> Option<SheetId>;
    /// A quantity of another sheet.
    fn quantity_of(&self, sheet: SheetId, name: &str) -> Option<Named>;
    /// Whether the sheet is a list (`Item::Same` is then a fault outside an aggregate).
    fn is_list(&self, sheet: SheetId) -> bool;
    /// Whether the sheet has an item with this key or row number; `None` when not known yet.
    fn has_item(&self, sheet: SheetId, which: &super::Which) -> Option<bool>;
    /// Whether the sheet the formula stands in can read the same case of `sheet` (same cases, or only one there).
    fn same_case(&self, sheet: SheetId) -> bool;
    /// A definition by name (the workbook's own; built-in ones are in `functions`).
    fn definition(&self, name: &str) -> Option<Defined>;
    /// A curve by name.
    fn curve(&self, name: &str) -> Option<Curved>;
    /// Names that can be reached, for "did you mean".
    fn names(&self) -> Vec<Name>;
    /// Names of the sheets.
    fn sheets(&self) -> Vec<Name>;
    /// Names of the quantities of a sheet.
    fn names_of(&self, sheet: SheetId) -> Vec<Name>;
    /// Whether results without a unit of their own are shown in US customary units.
    fn us_units(&self) -> bool {
        false
    }
    /// Whether the sheet says `supply single-phase`.
    fn single_phase(&self) -> bool {
        false
    }
    /// Whether the formula stands in a list, where a name is that of a column.
    fn in_list(&self) -> bool {
        false
    }
    /// Where the formula stands in its own text, for faults about the whole of it.
    fn whole(&self) -> Span {
        Span::default()
    }
}
