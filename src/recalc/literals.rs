//! Values that stand in the rows of a list, brought to the unit of their quantity once.
//!
//! Always: exact where the units allow it; a value of another sort or unit is a fault of its own cell.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::book::Entry;
use super::settle::Settled;
use crate::fault::Code;
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value, WorkFault};
use crate::quantity::{Conversion, ConvertFault, Number, Unit, conversion};
use crate::workbook::{Cell, Rows, Workbook};

/// The column of a quantity in the rows of its list.
pub(super) struct Literals<'a> {
    rows: Option<(&'a Rows, usize)>,
    sort: &'a Sort,
    /// Conversions by the address of the cells' unit: a column has few of them.
    conversions: RefCell<HashMap<usize, Result<Conversion, ConvertFault>>>,
}

impl<'a> Literals<'a> {
    pub fn new(workbook: &'a Workbook, entry: &Entry, settled: &'a Settled) -> Literals<'a> {
        let rows = workbook.sheets.get(entry.sheet).and_then(|sheet| sheet.rows.as_ref());
        Literals {
            rows: rows.zip(entry.column),
            sort: &settled.sort,
            conversions: RefCell::new(HashMap::new()),
        }
    }

    /// Whether the quantity has a column in the rows.
    pub fn is_column(&self) -> bool {
        self.rows.is_some()
    }

    /// The value of a cell; `None` for an empty one and for a formula.
    pub fn cell(&self, item: usize) -> Option<Outcome> {
        let (rows, column) = self.rows?;
        match rows.rows.get(item)?.cells.get(column)? {
            Cell::Blank | Cell::Formula(_) => None,
            Cell::Number(value, unit) => Some(self.number(*value, unit.as_ref())),
            Cell::Text(text) => Some(match self.sort {
                Sort::Text => Outcome::Value(Value::Text(text.clone())),
                Sort::Choice(words) => chosen(text, words),
                _ => another(format!(
                    "\"{text}\" is a text, and a value with its unit is expected here"
                )),
            }),
            Cell::Word(word) => Some(match self.sort {
                Sort::Choice(words) => chosen(word, words),
                Sort::Text => another(format!("a text stands in quotes: \"{word}\"")),
                _ => another(format!("{word} is a word, and a value with its unit is expected here")),
            }),
        }
    }

    /// A real number in a column of phasors is one without an imaginary part.
    fn number(&self, value: Decimal, unit: Option<&Arc<Unit>>) -> Outcome {
        let to = match self.sort {
            Sort::Quantity { unit, .. } => unit,
            Sort::Text => return another(format!("a text stands in quotes: \"{value}\"")),
            Sort::Choice(words) => return another(format!("{value} is none of {}", words.join(", "))),
            Sort::Truth | Sort::Unknown => {
                return Outcome::Fault(Arc::new(WorkFault {
                    code: Code::CELL_UNIT,
                    message: "not worked: it is not clear what this column holds".into(),
                    help: None,
                    passed_on: true,
                }));
            }
        };
        match unit {
            Some(unit) if unit.text == to.text => Outcome::number(Number::Exact(value)),
            Some(unit) => self.convert(value, Arc::as_ptr(unit) as usize, unit, to),
            None if to.is_plain() => Outcome::number(Number::Exact(value)),
            None if to.dimension.is_none() => self.convert(value, 0, &Unit::plain(), to),
            None => Outcome::fault(
                Code::CELL_UNIT,
                format!("{value} has no unit"),
                Some(&format!("write {value} {} or the unit that is meant", to.text)),
            ),
        }
    }

    fn convert(&self, value: Decimal, key: usize, from: &Unit, to: &Unit) -> Outcome {
        let mut held = self.conversions.borrow_mut();
        let conversion = held.entry(key).or_insert_with(|| conversion(from, to));
        match conversion {
            Ok(conversion) => match conversion.apply(Number::Exact(value)) {
                Ok(number) => Outcome::number(number),
                Err(fault) => refused(&ConvertFault::from(fault), to),
            },
            Err(fault) => refused(fault, to),
        }
    }
}

fn refused(fault: &ConvertFault, to: &Unit) -> Outcome {
    let code = fault.code.unwrap_or(Code::TOO_LARGE);
    let column = format!(
        "the column is in {}; write the value in this unit, or in one that becomes it",
        to.text
    );
    let help = if code == Code::UNITS_DO_NOT_MATCH {
        Some(column.as_str())
    } else {
        fault.help.as_deref()
    };
    Outcome::fault(code, fault.message.clone(), help)
}

fn another(message: String) -> Outcome {
    Outcome::fault(Code::CELL_MISFIT, message, None)
}

fn chosen(word: &Arc<str>, words: &[Arc<str>]) -> Outcome {
    if words.contains(word) {
        return Outcome::Value(Value::Text(word.clone()));
    }
    Outcome::fault(
        Code::CELL_MISFIT,
        format!("{word} is none of {}", words.join(", ")),
        Some("write one of the words of the choice, or add it after `choice`"),
    )
}
