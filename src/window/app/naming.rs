//! What is wrong with a name while it is written in a question: of a case, of a sheet.
//!
//! Always: what is refused when the question is answered is said while it is written.
//! Not known here: how it is drawn.

use std::sync::Arc;

use super::Window;
use super::dialog::Purpose;
use crate::fault::{Fault, Fix};
use crate::window::{conditions, live};
use crate::workbook::change::case_fault;

impl Window {
    /// What is wrong with a name that is written for a purpose; `None` for other purposes, and where nothing is written yet.
    pub(super) fn wrong_name(&self, purpose: &Purpose, name: &str) -> Option<Fault> {
        let name = name.trim();
        let seen = self.seen().filter(|_| !name.is_empty())?;
        let cases = &seen.results.items;
        match purpose {
            // Several are made at once.
            Purpose::NewCase => {
                let mut known = cases.to_vec();
                let mut names = cases_named(name).into_iter();
                let wrong = names.find_map(|name| {
                    let fault = case_fault(name, &known);
                    known.push(name.into());
                    fault
                });
                // What is offered takes the place of the whole text.
                wrong.map(|mut fault| {
                    if name.contains('|') {
                        fault.fixes.clear();
                    }
                    fault
                })
            }
            Purpose::CaseName(own) => {
                let others = cases.iter().enumerate().filter(|(at, _)| at != own);
                let others: Vec<Arc<str>> = others.map(|(_, name)| name.clone()).collect();
                case_fault(name, &others)
            }
            Purpose::SheetName if *seen.results.name != *name => {
                let sheets = &seen.session.results().sheets;
                live::sheet_name(name, |name| sheets.iter().any(|sheet| *sheet.name == *name))
            }
            _ => None,
        }
    }
}

impl Window {
    /// What is offered in the place of a condition that was refused: a text with its quotes, a number with its unit.
    pub(super) fn condition_meant(&self, purpose: &Purpose, condition: &str) -> Option<Fault> {
        let condition = condition.trim();
        let seen = self.seen().filter(|_| *purpose == Purpose::Filter)?;
        let faults = seen.session.condition(&seen.results.name, condition).err()?;
        // A number without its unit, and whatever else the check of a formula has an offer for.
        let offered = || faults.iter().find(|fault| fault.is_error() && !fault.fixes.is_empty());
        conditions::text_meant(seen, condition).or_else(|| offered().map(|fault| self.system.fault(fault)))
    }
}

/// The names of cases in a text, with bars between them as in the line that names them.
pub(super) fn cases_named(text: &str) -> Vec<&str> {
    let names = text.split('|').map(str::trim);
    let several: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
    if several.is_empty() { vec![text] } else { several }
}

/// A text with an offered change of it.
pub(super) fn mended(text: &str, fix: &Fix) -> String {
    fix.applied(text.trim()).unwrap_or_else(|| fix.replacement.to_string())
}
