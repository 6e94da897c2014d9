//! Published tables as read-only lists: the workbook's own sheets first, then the tables.
//!
//! For: everything that asks for a sheet or for a quantity of one. A list of the workbook that is named like a table hides it.
//! Always: a column has the unit and kind that the table declares, and is checked like a column of a list.
//! Not known here: the values.

use super::calls::along_needs_numbers;
use super::scope::{Curved, Defined, Named, Scope};
use super::term::Term;
use super::typed::{Along, QuantityId, Read, SheetId, Sort, Which};
use super::walk::{Checker, Part};
use crate::fault::{Code, Fault, Span};
use crate::language::syntax::{Expr, Name, Node};
use crate::quantity::Unit;
use crate::standards::{Between, Entry, Holds, Table, tables};

/// The scope of a workbook with the published tables behind it.
pub(super) struct WithTables<'a>(pub &'a dyn Scope);

/// The sort of the columns of a table.
fn sort_of(holds: &Holds) -> Sort {
    match holds {
        Holds::Numbers { unit, kind } => Sort::Quantity {
            dimension: unit.dimension,
            unit: unit.clone(),
            kind: *kind,
            phasor: None,
        },
        Holds::Texts => Sort::Text,
        Holds::Words(words) => Sort::Choice(words.clone()),
    }
}

/// The column whose texts name the rows: the first with texts.
pub(in crate::language) fn key_column(table: &Table) -> Option<&[Entry]> {
    table
        .columns
        .iter()
        .find(|column| !matches!(column.holds, Holds::Numbers { .. }))
        .map(|column| column.entries.as_slice())
}

/// The published table a sheet's handle stands for.
pub(super) fn published(sheet: SheetId) -> Option<&'static Table> {
    tables::at(sheet.table()?)
}

impl Scope for WithTables<'_> {
    fn quantity(&self, name: &str) -> Option<Named> {
        self.0.quantity(name)
    }

    fn sheet(&self, name: &str) -> Option<SheetId> {
        self.0
            .sheet(name)
            .or_else(|| tables::number_of(name).map(SheetId::of_table))
    }

    fn quantity_of(&self, sheet: SheetId, name: &str) -> Option<Named> {
        let Some(number) = sheet.table() else {
            return self.0.quantity_of(sheet, name);
        };
        let columns = &tables::at(number)?.columns;
        let at = columns.iter().position(|column| &*column.name == name)?;
        Some(Named {
            id: QuantityId::of_table(number, at),
            sort: sort_of(&columns.get(at)?.holds),
        })
    }

    fn is_list(&self, sheet: SheetId) -> bool {
        sheet.table().is_some() || self.0.is_list(sheet)
    }

    fn has_item(&self, sheet: SheetId, which: &Which) -> Option<bool> {
        let Some(table) = published(sheet) else {
            return self.0.has_item(sheet, which);
        };
        match which {
            Which::Row(number) => Some(*number >= 1 && *number as usize <= table.rows()),
            Which::Key(key) => Some(key_column(table).is_some_and(|entries| {
                entries
                    .iter()
                    .any(|entry| matches!(entry, Entry::Text(text) if text == key))
            })),
            _ => None,
        }
    }

    fn same_case(&self, sheet: SheetId) -> bool {
        sheet.table().is_none() && self.0.same_case(sheet)
    }

    fn definition(&self, name: &str) -> Option<Defined> {
        self.0.definition(name)
    }

    fn curve(&self, name: &str) -> Option<Curved> {
        self.0.curve(name)
    }

    fn names(&self) -> Vec<Name> {
        self.0.names()
    }

    fn sheets(&self) -> Vec<Name> {
        self.0.sheets()
    }

    fn names_of(&self, sheet: SheetId) -> Vec<Name> {
        match published(sheet) {
            Some(table) => table.columns.iter().map(|column| column.name.clone()).collect(),
            None => self.0.names_of(sheet),
        }
    }

    fn us_units(&self) -> bool {
        self.0.us_units()
    }

    fn single_phase(&self) -> bool {
        self.0.single_phase()
    }

    fn in_list(&self) -> bool {
        self.0.in_list()
    }

    fn whole(&self) -> Span {
        self.0.whole()
    }
}

impl Checker<'_> {
    /// What the list is called that an aggregate goes over.
    pub(super) fn list_name(&self, sheet: SheetId) -> String {
        if let Some(table) = published(sheet) {
            return table.name.to_owned();
        }
        let sheets = self.scope.sheets();
        let found = sheets.iter().find(|name| self.scope.sheet(name) == Some(sheet));
        found.map_or_else(|| "LIST".to_owned(), |name| name.to_string())
    }

    /// Tells where a table has nothing between its rows; whether it is so.
    pub(super) fn steps_only(&mut self, sheet: SheetId, span: Span) -> bool {
        let Some(table) = published(sheet) else {
            return false;
        };
        let instead = match &table.between {
            Between::Interpolated(_) => return false,
            Between::Nearest(rule) => format!("take `nearest`: {rule}"),
            Between::Steps(rest) if rest.is_empty() => {
                "take a row as it stands: `only` with a condition, `next_up` or `next_down`".to_owned()
            }
            Between::Steps(rest) => rest.clone(),
        };
        self.fault(
            Fault::new(
                Code::NO_VALUE_BETWEEN,
                span,
                format!(
                    "`{}` gives no values between its rows; they are not interpolated",
                    table.name
                ),
            )
            .help(instead),
        );
        true
    }

    /// `at x = value`: `x` is the list's, what it is sought for was worked outside the rows.
    pub(super) fn place_along(&mut self, key: &Expr, wanted: Option<Term>) -> Option<Along> {
        let rows = self.rows?;
        let part = match &key.node {
            Node::Name(name) if self.bound(name).is_none() => match self.scope.quantity_of(rows.sheet, name) {
                Some(named) => {
                    let read = Read {
                        quantity: named.id,
                        which: Which::Own,
                    };
                    self.reading(&named.sort, read, key.span)
                }
                None => {
                    self.unknown_column(rows.sheet, name, key.span);
                    return None;
                }
            },
            _ => self.walk(key),
        };
        let said: Name = self.said(key.span).into();
        let mut key_term = match part {
            Part::Term(term) => term,
            Part::Unknown | Part::Blank(_) => return None,
            _ => {
                self.fault(along_needs_numbers(key.span, &said));
                return None;
            }
        };
        key_term.span = key.span;
        let key_term = self.real(key_term, "the place in a table")?;
        let key_term = if key_term.point {
            key_term
        } else {
            self.seated(key_term)?
        };
        let unit = key_term.unit.clone().unwrap_or_else(Unit::plain);
        let wanted = self.in_unit(wanted?, &unit, key_term.kind, Span::default())?;
        Some(Along {
            key: key_term.op,
            wanted: wanted.op,
            name: said,
            unit: if unit.is_plain() {
                Name::from("")
            } else {
                unit.text.clone()
            },
        })
    }
}
