//! Givens outside the natural limits of their kind: an efficiency above one, a month with a year's hours; those that can be and are
//! hardly meant, a frequency that is a usual speed; and shares so small that a sign of per cent was typed too many.
//!
//! Always: the limits are those of the list of kinds; only what is typed is looked at, not what is worked from it.

use rust_decimal::Decimal;

use super::book::Entry;
use super::settle::{Settled, quantity_of};
use crate::fault::{Code, Fault, Span, Words};
use crate::language::check::Sort;
use crate::language::work::{Outcome, finite};
use crate::quantity::{Conversion, Family, Hardly, Kind, Number, Range, Unit, conversion, show};
use crate::workbook::{Role, Workbook};

/// Up to so many per cent an efficiency or a power factor is doubted: `0.92 %` was 0.92. Common practice, no source.
const SMALL: f64 = 1.0;
/// From so many per cent on a number without the sign was meant with it. Common practice, no source.
const LEAST: f64 = 10.0;

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
        let Sort::Quantity { unit, kind, .. } = &settled.sort else {
            return None;
        };
        let quantity = quantity_of(workbook, entry)?;
        if quantity.role != Role::Given {
            return None;
        }
        let of = |kind: Kind| {
            Some(Natural {
                kind,
                range: kind.entry().range?,
                to_limits: conversion(unit, &Unit::usual(kind, false)).ok()?,
                unit: unit.text.to_string(),
            })
        };
        // What is said in words is believed where no kind is declared.
        let said = match quantity.kind {
            None => meant(quantity.title.as_deref().unwrap_or(""), &quantity.name).and_then(of),
            Some(_) => None,
        };
        said.or_else(|| kind.and_then(of))
    }

    /// A value in the unit of the limits.
    fn limited(&self, cell: &Outcome) -> Option<f64> {
        let value = self.to_limits.apply(Number::Float(finite(cell)?)).ok()?;
        Some(value.to_f64())
    }

    /// Whether a cell holds a value that is outside, or a share that is hardly one.
    pub fn outside(&self, cell: &Outcome) -> bool {
        self.limited(cell)
            .is_some_and(|value| !self.range.holds(value) || self.is_small(value) || self.hardly(value).is_some())
    }

    /// What is to be said of a value that can be and is hardly meant. A frequency in kHz was not typed as a speed.
    fn hardly(&self, value: f64) -> Option<&'static Hardly> {
        let is_usual = self.unit == self.kind.entry().si;
        self.range
            .hardly(value)
            .filter(|_| is_usual || self.kind.family() == Family::Poles)
    }

    fn is_small(&self, value: f64) -> bool {
        let share = match self.kind.family() {
            Family::Efficiency { .. } => value,
            // Its limits are plain numbers.
            Family::PowerFactor => value * 100.0,
            _ => return false,
        };
        self.unit == "%" && share > 0.0 && share <= SMALL
    }

    /// What is to be said of it; `typed` is the text at its place.
    pub fn fault(&self, name: &str, cell: &Outcome, span: Span, typed: Option<&str>) -> Option<Fault> {
        let number = cell.as_number()?;
        let kind = self.kind.words();
        let said = show::exact(&number);
        let words = Words::from(format!("`{name}` is "));
        let words = match self.unit.as_str() {
            "1" | "W/VA" => words.and(&said),
            unit => words.amount_of(&format!("{said} {unit}"), said.as_str(), unit, Some(kind)),
        };
        let typed = typed.map(str::trim);
        if self.limited(cell).is_some_and(|value| self.is_small(value)) {
            let message = words.and(&format!("; {kind} is hardly ever so small"));
            let share = said.parse::<Decimal>().ok()?;
            let whole = (share * Decimal::ONE_HUNDRED).normalize();
            let fault = Fault::new(Code::SHARE_UNLIKELY, span, message).help(format!("write {whole} % or {said}"));
            let fits = typed == Some(format!("{said} %").as_str());
            return Some(match fits {
                true => fault.fix(format!("write {whole} %"), span, format!("{whole} %")),
                false => fault,
            });
        }
        let held = self.limited(cell).filter(|value| self.range.holds(*value));
        if let Some(hardly) = held.and_then(|value| self.hardly(value)) {
            let message = words.and(&format!("; {}", hardly.says));
            return Some(Fault::new(Code::HARDLY_MEANT, span, message).help(hardly.likely));
        }
        let range = self.range.words(self.kind.entry().si);
        let message = words.and(&format!("; a value of the kind {kind} is {range}"));
        let fault = Fault::new(Code::BEYOND_KIND, span, message).help(self.range.likely);
        Some(match typed.filter(|typed| self.wants_per_cent(typed)) {
            Some(typed) => fault.fix(format!("write {typed} %"), span, format!("{typed} %")),
            None => fault,
        })
    }

    /// Whether a number as typed would be a share within the limits with the sign of per cent behind it.
    fn wants_per_cent(&self, typed: &str) -> bool {
        let Ok(number) = typed.parse::<f64>() else { return false };
        match self.kind.family() {
            // 1.2 was no 1.2 %.
            Family::PowerFactor | Family::Efficiency { .. } if number < LEAST => false,
            // Its limits are plain numbers.
            Family::PowerFactor => self.range.holds(number / 100.0),
            _ => Unit::is_of_shares(self.kind) && self.range.holds(number),
        }
    }
}

/// The kind with limits that a title ends with, `Belt efficiency`, or that a name is the usual letter of.
fn meant(title: &str, name: &str) -> Option<Kind> {
    Kind::titled(title, |kind| kind.entry().range.is_some()).or_else(|| Kind::of_letter(name))
}
