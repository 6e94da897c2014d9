//! `calc "EXPRESSION"`

use super::Status;
use super::terminal::Terminal;
use crate::fault::render::{self, Style};
use crate::fault::{Placed, Span};
use crate::handover::page::Ink;
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::{PhasorForm, show};
use crate::recalc::{Engine, banded_of, form_of, shown};
use crate::workbook::text;

/// What stands before the expression on its line.
const BEFORE: &str = "  work answer_ = ";

/// Works one expression and prints its value.
pub fn run(terminal: &Terminal, expression: &str) -> Status {
    // One line of a sheet of its own: so an expression means here what it means in a workbook.
    let line: String = expression
        .chars()
        .map(|c| if c == '\n' || c == '\r' { ' ' } else { c })
        .collect();
    if line.trim().is_empty() {
        terminal.complain(
            "there is no expression",
            Some("for example: polepair calc \"15 kW / (1465 r/min) in N·m\""),
        );
        return Status::Faults;
    }
    let workbook = text::read(&format!("polepair 1\nsheet calc\n{BEFORE}{line}\n"));
    let engine = Engine::new(workbook);
    let results = engine.results();
    let faulty = tell_faults(terminal, &results.faults, &line);
    if faulty {
        return Status::Faults;
    }
    let quantity = results.sheets.iter().flat_map(|sheet| &sheet.quantities).next();
    let (Some(quantity), Some(cell)) = (quantity, quantity.and_then(|q| q.cells.first())) else {
        terminal.complain(
            "this is not an expression",
            Some("for example: polepair calc \"15 kW / (1465 r/min) in N·m\""),
        );
        return Status::Faults;
    };
    let answer = match cell {
        Outcome::Value(Value::Phasor(phasor)) => {
            let other = match form_of(&quantity.sort) {
                Some(PhasorForm::Polar) => PhasorForm::Rectangular,
                _ => PhasorForm::Polar,
            };
            let unit = match &quantity.sort {
                Sort::Quantity { unit, .. } if !unit.is_plain() => &*unit.text,
                _ => "",
            };
            let text = shown(cell, &quantity.sort, quantity.rounding.as_ref());
            let other = show::typed_phasor(phasor, other, unit, MOST_DIGITS);
            format!("{}\n= {other}\n", Ink::Strong.on(&text, terminal.colour))
        }
        Outcome::Value(Value::Number(number)) => {
            let unit = match &quantity.sort {
                Sort::Quantity { unit, .. } if !unit.is_plain() => format!(" {}", unit.text),
                _ => String::new(),
            };
            let kind = match &quantity.sort {
                Sort::Quantity { kind: Some(kind), .. } => {
                    Ink::Faint.on(&format!("   {}", kind.words()), terminal.colour)
                }
                _ => String::new(),
            };
            let shown = match quantity.band(0) {
                Some(band) => banded_of(number, band, quantity.role, quantity.rounding.as_ref()),
                None => show::number(number, quantity.rounding.as_ref()),
            };
            let exact = show::exact(number);
            let mut text = format!("{}{kind}\n", Ink::Strong.on(&format!("{shown}{unit}"), terminal.colour));
            if !same(&shown, &exact) {
                text.push_str(&format!("= {exact}{unit}\n"));
            }
            text
        }
        Outcome::Value(Value::Text(text)) => format!("{}\n", render::clean(text)),
        Outcome::Value(Value::Truth(truth)) => format!("{}\n", if *truth { "yes" } else { "no" }),
        Outcome::Blank(why) => format!("blank: {}\n", render::clean(why)),
        Outcome::Fault(fault) => {
            terminal.complain(&fault.message, fault.help.as_deref());
            return Status::Faults;
        }
    };
    terminal.print(&answer)
}

/// Signs of a number of a phasor that is shown unrounded.
const MOST_DIGITS: usize = 17;

/// Whether two texts are the same number: `1800` and `1800.0`.
fn same(shown: &str, exact: &str) -> bool {
    let bare = |text: &str| {
        if text.contains('.') && !text.contains('e') {
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        } else {
            text.to_owned()
        }
    };
    bare(shown) == bare(exact)
}

/// Faults and warnings with their places in the expression alone. Whether one stops it.
fn tell_faults(terminal: &Terminal, faults: &[Placed], line: &str) -> bool {
    let style = Style {
        file: None,
        colour: terminal.colour_of_errors,
        width: terminal.width,
        explain: true,
    };
    for placed in faults {
        let mut here = placed.clone();
        // The place counts from the beginning of the line of the sheet; the indent may or may not be part of the source.
        let before = if placed.source.starts_with(' ') {
            BEFORE.len()
        } else {
            BEFORE.trim_start().len()
        };
        let back = |at: u32| (at as usize).saturating_sub(before).min(line.len());
        let moved = |span: Span| Span::new(back(span.start), back(span.end));
        here.source = line.to_owned();
        here.fault.span = moved(placed.fault.span);
        here.fault.notes = placed
            .fault
            .notes
            .iter()
            .map(|(span, text)| (moved(*span), text.clone()))
            .collect();
        terminal.say(&format!("{}\n", render::full(&here, &style)));
    }
    faults.iter().any(|placed| placed.fault.is_error())
}
