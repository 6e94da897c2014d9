//! Givens outside the natural limits of their kind: an efficiency above one, a month with a year's hours.
//!
//! Always: the limits are those of the list of kinds; only what is typed is looked at, not what is worked from it.

use super::book::Entry;
use super::settle::{Settled, quantity_of};
use crate::fault::{Code, Fault, Span, Words};
use crate::language::check::Sort;
use crate::language::work::{Outcome, finite};
use crate::quantity::{Conversion, Kind, Number, Range, Unit, conversion, show};
use crate::workbook::{Role, Workbook};

/// The limits of a given.
pub(super) struct Natural {
    kind: Kind,
    range: &'static Range,
    /// From the unit of the quantity to that of the limits.
    to_limits: Conversion,
    unit: String,
}

impl Natural {
    /// Of a quantity that is given, where its kind has limits.
    pub fn of(workbook: &Workbook, entry: &Entry, settled: &Settled) -> Option<Natural> {
        let Sort::Quantity {
            unit, kind: Some(kind), ..
        } = &settled.sort
        else {
            return None;
        };
        let range = kind.entry().range?;
        if quantity_of(workbook, entry)?.role != Role::Given {
            return None;
        }
        Some(Natural {
            kind: *kind,
            range,
            to_limits: conversion(unit, &Unit::usual(*kind, false)).ok()?,
            unit: unit.text.to_string(),
        })
    }

    /// Whether a cell holds a value outside.
    pub fn outside(&self, cell: &Outcome) -> bool {
        finite(cell)
            .and_then(|value| self.to_limits.apply(Number::Float(value)).ok())
            .is_some_and(|value| !self.range.holds(value.to_f64()))
    }

    /// What is to be said of it.
    pub fn fault(&self, name: &str, cell: &Outcome, span: Span) -> Option<Fault> {
        let number = cell.as_number()?;
        let kind = self.kind.words();
        let said = show::exact(&number);
        let words = Words::from(format!("`{name}` is "));
        let words = match self.unit.as_str() {
            "1" | "W/VA" => words.and(&said),
            unit => words.amount_of(&format!("{said} {unit}"), said.as_str(), unit, Some(kind)),
        };
        let range = self.range.words(self.kind.entry().si);
        let message = words.and(&format!("; a value of the kind {kind} is {range}"));
        Some(Fault::new(Code::BEYOND_KIND, span, message).help(self.range.likely))
    }
}
