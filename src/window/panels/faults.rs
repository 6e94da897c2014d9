//! Faults and warnings: a click goes there, an offered fix is made in one click, a warning is accepted with a reason.

use eframe::egui::{self, RichText, Ui};

use super::{Wish, place_of};
use crate::fault::{Fix, Placed, Severity};
use crate::session::{Command, Session};
use crate::window::look::{self, State};
use crate::window::spot::{Field, Spot};
use crate::workbook::change::{Change, Place};
use crate::workbook::text::quoted;
use crate::workbook::{Statement, Workbook};

/// Faults drawn at most; the rest is counted.
const MOST: usize = 200;

/// Where a fault stands in the workbook.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Stands {
    /// A statement.
    Line(Place),
    /// A cell of a row: list, row, column.
    Cell(usize, usize, usize),
}

fn stands(book: &Workbook, placed: &Placed) -> Option<Stands> {
    let is_it = |text: &str| *text == *placed.source;
    let Some(name) = &placed.sheet else {
        let line = book.head.iter().position(|line| is_it(&line.text))?;
        return Some(Stands::Line(Place::Head(line)));
    };
    let at = book.sheets.iter().position(|sheet| *sheet.name == **name)?;
    let sheet = book.sheets.get(at)?;
    if is_it(&sheet.opening.text) {
        return Some(Stands::Line(Place::Opening(at)));
    }
    if let Some(line) = sheet.lines.iter().position(|line| is_it(&line.text)) {
        return Some(Stands::Line(Place::Line(at, line)));
    }
    let rows = sheet.rows.as_ref()?;
    let row = rows
        .rows
        .iter()
        .position(|row| row.number != 0 && row.number == placed.line);
    let row = match (row, &placed.item) {
        (Some(row), _) => row,
        (None, Some(item)) => keyed(book, at, item)?,
        (None, None) => return None,
    };
    let column = placed
        .source
        .get(..placed.fault.span.start as usize)?
        .matches('|')
        .count();
    Some(Stands::Cell(at, row, column))
}

/// The row with a key: its first text.
fn keyed(book: &Workbook, sheet: usize, key: &str) -> Option<usize> {
    let rows = book.sheets.get(sheet)?.rows.as_ref()?;
    rows.rows.iter().position(|row| {
        row.cells
            .iter()
            .any(|cell| matches!(cell, crate::workbook::Cell::Text(text) if **text == *key))
    })
}

/// The place in the grid a fault leads to.
pub fn place(session: &Session, placed: &Placed) -> Option<(usize, Spot)> {
    let book = session.workbook();
    let results = session.results();
    match stands(book, placed)? {
        Stands::Line(Place::Line(at, line)) => {
            let sheet = book.sheets.get(at)?;
            let name = match &sheet.lines.get(line)?.statement {
                Statement::Quantity(quantity) => quantity.name.clone(),
                Statement::CasesOver { name, .. } | Statement::At { name, .. } => name.clone(),
                Statement::Check { formula, .. } | Statement::Flag { formula, .. } => {
                    // A check has no place of its own in the grid: the first quantity it names.
                    let names = &results.sheets.get(at)?.quantities;
                    names
                        .iter()
                        .find(|quantity| {
                            formula
                                .text
                                .split(|c: char| !c.is_alphanumeric() && c != '_')
                                .any(|w| w == &*quantity.name)
                        })?
                        .name
                        .clone()
                }
                _ => return None,
            };
            place_of(results, &sheet.name, &name, placed.item.as_deref())
        }
        Stands::Line(_) => None,
        Stands::Cell(at, row, column) => {
            let sheet = book.sheets.get(at)?;
            let name = sheet.rows.as_ref()?.columns.get(column)?;
            let quantity = results
                .sheets
                .get(at)?
                .quantities
                .iter()
                .position(|known| known.name == *name)?;
            Some((
                at,
                Spot {
                    quantity,
                    field: Field::Value(row),
                },
            ))
        }
    }
}

/// The command that makes an offered fix.
pub fn fixed(session: &Session, placed: &Placed, fix: &Fix) -> Option<Command> {
    let book = session.workbook();
    let (from, to) = (fix.span.start as usize, fix.span.end as usize);
    let source = &placed.source;
    let whole = format!("{}{}{}", source.get(..from)?, fix.replacement, source.get(to..)?);
    let change = match stands(book, placed)? {
        Stands::Line(place) => Change::SetLine {
            place,
            text: whole.into(),
        },
        Stands::Cell(at, row, column) => {
            let sheet = book.sheets.get(at)?;
            Change::SetCell {
                list: sheet.name.clone(),
                row,
                quantity: sheet.rows.as_ref()?.columns.get(column)?.clone(),
                text: whole.split('|').nth(column)?.trim().into(),
            }
        }
    };
    Some(Command::one(fix.label.clone(), change))
}

/// The command that accepts a warning with a reason.
pub fn accepted(session: &Session, placed: &Placed, reason: &str) -> Option<Command> {
    let Stands::Line(Place::Line(sheet, line)) = stands(session.workbook(), placed)? else {
        return None;
    };
    let code = placed.fault.code.word();
    Some(Command::one(
        format!("accept {code}"),
        Change::InsertLine {
            place: Place::Line(sheet, line + 1),
            before: "".into(),
            text: format!("accept {code} {}", quoted(reason.trim())).into(),
        },
    ))
}

/// Draws the panel.
pub fn draw(ui: &mut Ui, session: &Session, reason: &mut String, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let faults = &session.results().faults;
    if faults.is_empty() {
        let _ = ui.label("No faults and no warnings.");
    }
    for (index, placed) in faults.iter().take(MOST).enumerate() {
        let fault = &placed.fault;
        let (state, word) = match fault.severity {
            Severity::Error => (State::Failed, "error"),
            Severity::Warning => (State::Doubtful, "warning"),
            Severity::Note => (State::Worked, "note"),
        };
        let _ = ui.push_id(("fault", index), |ui| {
            let _ = ui.horizontal_wrapped(|ui| {
                let _ = ui.label(RichText::new(state.mark()).color(state.ink(inks)));
                let place_words = match (&placed.sheet, &placed.item) {
                    (Some(sheet), Some(item)) if !item.is_empty() => format!("{word} in {sheet}, {item}"),
                    (Some(sheet), _) => format!("{word} in {sheet}"),
                    (None, _) => format!("{word} before the first sheet"),
                };
                match place(session, placed) {
                    Some((at, spot)) => {
                        let link = ui.link(RichText::new(place_words).font(look::oblique(13.0)));
                        if link.on_hover_text("Go there").clicked() {
                            wishes.push(Wish::Go(at, spot));
                        }
                    }
                    None => {
                        let _ = ui.label(RichText::new(place_words).font(look::oblique(13.0)));
                    }
                }
            });
            let _ = ui.label(fault.message.as_str());
            if let Some(line) = placed.source.lines().next().filter(|line| !line.trim().is_empty()) {
                let _ = ui.label(source(line.trim_end(), placed, inks));
            }
            if let Some(help) = &fault.help {
                let _ = ui.label(RichText::new(help).color(inks.words));
            }
            let _ = ui.horizontal_wrapped(|ui| {
                for fix in &fault.fixes {
                    if let Some(command) = fixed(session, placed, fix)
                        && ui.button(format!("→ {}", fix.label)).clicked()
                    {
                        wishes.push(Wish::Do(command));
                    }
                }
                if fault.severity == Severity::Warning && !reason.trim().is_empty() {
                    let button = ui.button(format!("accept {}", fault.code.word()));
                    if button
                        .on_hover_text("Accepts the warning for the reason written below")
                        .clicked()
                        && let Some(command) = accepted(session, placed, reason)
                    {
                        wishes.push(Wish::Do(command));
                    }
                }
                let _ = ui
                    .label(RichText::new(fault.code.word()).size(12.0).color(inks.faint))
                    .on_hover_text(fault.code.entry().meaning);
            });
            let _ = ui.separator();
        });
    }
    if faults.len() > MOST {
        let _ = ui.label(format!("and {} more", faults.len() - MOST));
    }
    if faults.iter().any(|placed| placed.fault.severity == Severity::Warning) {
        let label = ui.label("A reason, to accept a warning:");
        let _ = ui
            .add(egui::TextEdit::singleline(reason).desired_width(f32::INFINITY))
            .labelled_by(label.id);
    }
    let accepted = &session.results().accepted;
    if !accepted.is_empty() {
        let _ = ui.label(RichText::new("Accepted").font(look::bold(14.0)));
        for one in accepted {
            let _ = ui.label(format!("{}: {}", one.placed.fault.message, one.reason));
        }
    }
}

/// The line of the workbook with the place underlined.
fn source(line: &str, placed: &Placed, inks: &look::Inks) -> egui::text::LayoutJob {
    let span = &placed.fault.span;
    let (from, to) = (
        (span.start as usize).min(line.len()),
        (span.end as usize).min(line.len()),
    );
    let mut job = egui::text::LayoutJob::default();
    let format = |underline| egui::TextFormat {
        font_id: egui::FontId::proportional(13.0),
        color: inks.words,
        underline,
        ..egui::TextFormat::default()
    };
    let plain = egui::Stroke::NONE;
    let parts = match (line.get(..from), line.get(from..to), line.get(to..)) {
        (Some(a), Some(b), Some(c)) => [a, b, c],
        _ => [line, "", ""],
    };
    for (part, underline) in parts
        .into_iter()
        .zip([plain, egui::Stroke::new(1.5, inks.failed), plain])
    {
        job.append(part, 0.0, format(underline));
    }
    job
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_leads_to_its_place_in_sheet_and_list() {
        let session = Session::open(
            "polepair 1\nsheet a\n  given f = 50 Hz : frequency\n  work n = f + 5 kW\nlist b\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"x\" | 1 kW\n    \"y\" | 5 Hz\n",
        );
        let faults = &session.results().faults;
        let places: Vec<_> = faults.iter().map(|placed| place(&session, placed)).collect();
        let formula = Spot {
            quantity: 1,
            field: Field::Formula,
        };
        let cell = Spot {
            quantity: 1,
            field: Field::Value(1),
        };
        assert!(places.contains(&Some((0, formula))), "{faults:?}");
        assert!(places.contains(&Some((1, cell))), "{faults:?} {places:?}");
    }

    #[test]
    fn an_offered_fix_mends_the_fault() {
        let mut session = Session::open("polepair 1\nsheet a\n  given eta = 0.9\n  work P = 15 kW/eta\n");
        let placed = session
            .results()
            .faults
            .iter()
            .find(|placed| !placed.fault.fixes.is_empty());
        let placed = placed
            .unwrap_or_else(|| panic!("{:?}", session.results().faults))
            .clone();
        let command = fixed(&session, &placed, &placed.fault.fixes[0]).unwrap();
        session.apply(command).unwrap();
        assert!(
            !session
                .results()
                .faults
                .iter()
                .any(|left| left.fault.code == placed.fault.code),
            "{:?}",
            session.results().faults
        );
    }
}
