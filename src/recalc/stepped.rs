//! `cases f from 20 Hz to 60 Hz by 10 Hz`: the cases and their values.
//!
//! Always: the steps are exact decimals; the last value takes part where a step meets it.
//! Not known here: other quantities; the ends and the step are plain values.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::book::{Book, Steps};
use super::scope::Asking;
use super::shown::as_given;
use super::waves::View;
use crate::fault::{Code, Fault, Span};
use crate::language::check::{self, SheetId, Sort, Target};
use crate::language::work::{Outcome, Program};
use crate::quantity::{Number, Unit};
use crate::workbook::{Formula, Line, Statement};

/// As many cases as a sheet can show.
const MOST: usize = 2_000;

/// The cases of a line.
pub(super) fn steps(line: &Line) -> Steps {
    let Statement::CasesOver { from, to, by, .. } = &line.statement else {
        return nothing(None);
    };
    let (book, sorts) = (Book::default(), Vec::new());
    let asking = Asking::new(&book, &sorts, usize::MAX);
    let (sort, first) = match value(from, None, &asking) {
        Ok(made) => made,
        Err(fault) => return nothing(fault),
    };
    let Sort::Quantity { unit, .. } = &sort else {
        return nothing(Some(bad(from, "cases are stepped through by a quantity")));
    };
    let (last, step) = match (value(to, Some(unit), &asking), value(by, Some(unit), &asking)) {
        (Ok((_, last)), Ok((_, step))) => (last, step),
        (Err(fault), _) | (_, Err(fault)) => return nothing(fault),
    };
    let (Some(first), Some(last), Some(step)) = (first.to_decimal(), last.to_decimal(), step.to_decimal()) else {
        return nothing(Some(bad(from, "the ends are too large to be stepped through")));
    };
    let Some(count) = count(first, last, step) else {
        return nothing(Some(bad(by, "the step does not lead from the first value to the last")));
    };
    if count >= MOST {
        return nothing(Some(bad(by, &format!("that is more than {MOST} cases"))));
    }
    let mut made = nothing(None);
    for index in 0..=count {
        let Some(value) = step
            .checked_mul(Decimal::from(index))
            .and_then(|way| first.checked_add(way))
        else {
            break;
        };
        let outcome = Outcome::number(Number::Exact(value.normalize()));
        made.names.push(Arc::from(as_given(&outcome, &sort)));
        made.values.push(outcome);
    }
    made
}

/// How many steps fit.
fn count(first: Decimal, last: Decimal, step: Decimal) -> Option<usize> {
    let way = last.checked_sub(first)?;
    if way.is_zero() {
        return Some(0);
    }
    let count = way.checked_div(step)?;
    if count.is_sign_negative() {
        return None;
    }
    usize::try_from(count.floor().mantissa() / 10_i128.pow(count.floor().scale())).ok()
}

fn nothing(fault: Option<Fault>) -> Steps {
    Steps {
        names: Vec::new(),
        values: Vec::new(),
        fault,
    }
}

fn bad(formula: &Formula, message: &str) -> Fault {
    Fault::new(Code::CASES_STEPS, Span::new(0, formula.text.len()), message)
        .help("write it like `cases f from 20 Hz to 60 Hz by 10 Hz`")
        .shifted(formula.at)
}

/// A plain value; `Err(None)` where the line already carries the fault.
fn value(formula: &Formula, unit: Option<&Unit>, asking: &Asking<'_>) -> Result<(Sort, Number), Option<Fault>> {
    if formula.faulty {
        return Err(None);
    }
    let target = Target {
        unit: unit.cloned(),
        ..Target::default()
    };
    let typed = check::formula(&formula.tree, &formula.text, &target, asking);
    if let Some(fault) = typed.faults.iter().find(|fault| fault.is_error()) {
        return Err(Some(fault.clone().shifted(formula.at)));
    }
    let (book, done) = (Book::default(), Vec::new());
    let view = View {
        book: &book,
        done: &done,
    };
    let outcome = Program::new(&typed, &view, SheetId(0), "").map(|program| program.item(0).outcome);
    match outcome.as_ref().and_then(Outcome::as_number) {
        Some(number) => Ok((typed.sort, number)),
        None => Err(Some(bad(formula, "a plain value is expected here"))),
    }
}
