//! Lines that hold no column: definitions, curves, plots. They are checked at their own place.

use std::sync::Arc;

use super::book::{Book, whole};
use super::scope::{Asking, Sorts};
use super::settle::Settlement;
use crate::fault::{Code, Fault, Span};
use crate::language::check::{self, CurveBody, Curved, Scope, Sort, Target};
use crate::language::syntax::{Expr, Name, Node};
use crate::quantity::nearest::nearest;
use crate::workbook::{CurveText, Formula, Line, Statement, Workbook};

/// Adds what is found to the faults of the book.
pub(super) fn check(workbook: &Workbook, book: &mut Book, settlement: &Settlement) {
    let head = faults(&workbook.head, book, &settlement.sorts, usize::MAX);
    let sheets: Vec<Vec<(usize, Fault)>> = workbook
        .sheets
        .iter()
        .enumerate()
        .map(|(place, sheet)| faults(&sheet.lines, book, &settlement.sorts, place))
        .collect();
    book.faults.extend(head);
    for (sheet, found) in book.sheets.iter_mut().zip(sheets) {
        sheet
            .faults
            .extend(found.into_iter().map(|(line, fault)| (Some(line), fault)));
    }
}

fn faults(lines: &[Line], book: &Book, sorts: &Sorts, sheet: usize) -> Vec<(usize, Fault)> {
    let mut out = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let found = of_statement(&line.statement, whole(line), &Asking::new(book, sorts, sheet));
        out.extend(found.into_iter().map(|fault| (index, fault)));
    }
    out
}

/// What is wrong with a definition, a curve or a plot, with places in its line; `span`: the whole of it.
pub(super) fn of_statement(statement: &Statement, span: Span, asking: &Asking<'_>) -> Vec<Fault> {
    match statement {
        Statement::Define { parameters, body, .. } if !body.faulty => shifted(
            check::definition(&super::book::defined(parameters, body), asking),
            body.at,
        ),
        Statement::Curve { body, .. } => match super::book::curved(statement) {
            Some(curved) => curve(&curved, body, asking),
            None => Vec::new(),
        },
        Statement::Plot { .. } => plot(statement, span, asking),
        _ => Vec::new(),
    }
}

fn shifted(faults: Vec<Fault>, at: u32) -> Vec<Fault> {
    faults.into_iter().map(|fault| fault.shifted(at)).collect()
}

fn curve(curved: &Curved, body: &CurveText, asking: &Asking<'_>) -> Vec<Fault> {
    match body {
        CurveText::Formula(formula) if formula.faulty => Vec::new(),
        CurveText::Formula(formula) => {
            let typed = check::curve_formula(curved, &formula.tree, &formula.text, asking);
            shifted(typed.faults, formula.at)
        }
        CurveText::Points(points) => {
            let mut out = Vec::new();
            let argument = Target {
                kind: curved.parameter.1,
                ..Target::default()
            };
            let value = Target {
                unit: curved.unit.as_ref().map(|written| written.unit.clone()),
                ..Target::default()
            };
            for (x, y) in points {
                for (formula, target) in [(x, &argument), (y, &value)] {
                    if !formula.faulty {
                        let typed = check::formula(&formula.tree, &formula.text, target, asking);
                        out.extend(shifted(typed.faults, formula.at));
                    }
                }
            }
            out
        }
    }
}

/// The faults of a curve that does not say what its parameter is, in the range it is drawn over.
fn called_along(name: &Name, variable: &Name, from: &Formula, formula: &Formula, asking: &Asking<'_>) -> Vec<Fault> {
    let span = formula.tree.span;
    let end = check::formula(&from.tree, &from.text, &Target::default(), asking);
    let Sort::Quantity { unit, .. } = &end.sort else {
        return Vec::new();
    };
    let argument = Expr {
        node: Node::Name(variable.clone()),
        span,
    };
    let call = Expr {
        node: Node::Call {
            name: name.clone(),
            name_span: span,
            arguments: vec![argument],
        },
        span,
    };
    check::along(&call, &formula.text, (variable, unit), &Target::default(), asking).faults
}

fn plot(statement: &Statement, span: Span, asking: &Asking<'_>) -> Vec<Fault> {
    let Statement::Plot {
        curves,
        variable,
        from,
        to,
        ..
    } = statement
    else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for formula in [from, to].into_iter().filter(|formula| !formula.faulty) {
        let typed = check::formula(&formula.tree, &formula.text, &Target::default(), asking);
        out.extend(shifted(typed.faults, formula.at));
    }
    for formula in curves.iter().filter(|formula| !formula.faulty) {
        match &formula.tree.node {
            Node::Name(name) if name == variable => {}
            Node::Name(name) if asking.curve(name).is_some_and(|curve| curve.parameter.1.is_none()) => {
                out.extend(shifted(called_along(name, variable, from, formula, asking), formula.at));
            }
            Node::Name(name) if asking.curve(name).is_some() || asking.quantity(name).is_some() => {}
            Node::Name(name) => {
                let known = asking.names();
                let mut fault = Fault::new(
                    Code::UNKNOWN_NAME,
                    formula.tree.span,
                    format!("no curve or quantity is called {name}"),
                );
                let near = nearest(name, known.iter().map(|name| &**name), 1);
                fault = match near.first() {
                    Some(near) => fault.help(format!("is {near} meant?")),
                    None => fault.help("name a curve of this sheet"),
                };
                out.push(fault.shifted(formula.at));
            }
            _ => {
                let curved = Curved {
                    parameter: (variable.clone(), None),
                    unit: None,
                    body: CurveBody::Formula(Arc::clone(&formula.tree), formula.text.clone()),
                };
                let typed = check::curve_formula(&curved, &formula.tree, &formula.text, asking);
                out.extend(shifted(typed.faults, formula.at));
            }
        }
    }
    if curves.is_empty() {
        out.push(Fault::new(Code::EXPECTED, span, "a plot draws at least one curve"));
    }
    out
}
