//! What was read from an equipment list: the chosen row, columns, doubts, rows that are no motors, remarks.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{RichText, ScrollArea, Ui};

use super::column_map::Choices;
use super::{Wish, source_row, source_row_of};
use crate::plates::Report;
use crate::plates::find::As;
use crate::session::Session;
use crate::window::command::Act;
use crate::window::look;
use crate::window::spot::{Field, Spot};
use crate::workbook::SOURCE_ROW;

/// Doubts drawn at most.
const MOST: usize = 300;
/// Points that doubts take at most before they scroll.
const DOUBTS_HIGH: f32 = 260.0;

/// The reading of a list, put in order once.
#[derive(Debug)]
pub struct Reading {
    /// The report.
    pub report: Arc<Report>,
    /// Doubts by their places, what is worst first.
    worst_first: Vec<usize>,
    /// What is doubted of a row, in words.
    pub rows: BTreeMap<u32, String>,
    motors: usize,
    /// Rows that are no motors: number and text.
    others: Vec<(u32, String)>,
    more_others: usize,
    choices: Choices,
}

impl Reading {
    /// Of a report. What is worst stands first.
    pub fn of(report: Report) -> Reading {
        let mut worst_first: Vec<usize> = (0..report.doubts.len()).collect();
        worst_first.sort_by_key(|place| match report.doubts.get(*place).map(|doubt| doubt.level) {
            Some("error") => 0,
            Some("warning") => 1,
            _ => 2,
        });
        let mut rows: BTreeMap<u32, String> = BTreeMap::new();
        for doubt in worst_first.iter().filter_map(|place| report.doubts.get(*place)) {
            // Remarks need no second look.
            if let (Some(row), "error" | "warning") = (doubt.source_row, doubt.level) {
                let words = rows
                    .entry(row)
                    .or_insert_with(|| "The reading doubts this row:".to_owned());
                words.push_str(&format!("\n{}", doubt.text));
            }
        }
        let is_other = |called: As| !matches!(called, As::Motor | As::Blank);
        let others = report.rows.iter().filter(|row| is_other(row.called));
        let named = others.clone().take(MOST).map(|row| {
            let text = row.text.as_deref().unwrap_or("").trim().to_owned();
            (row.source_row, text)
        });
        Reading {
            motors: report.rows.iter().filter(|row| row.called == As::Motor).count(),
            others: named.collect(),
            more_others: others.count().saturating_sub(MOST),
            worst_first,
            rows,
            choices: Choices::default(),
            report: Arc::new(report),
        }
    }
}

impl Reading {
    /// How many doubts there are: `1 doubt`.
    pub fn doubts_in_words(&self) -> String {
        match self.report.doubts.len() {
            1 => "1 doubt".to_owned(),
            more => format!("{more} doubts"),
        }
    }
}

/// Draws the panel; `chosen` is the place chosen in the grid.
pub fn draw(
    ui: &mut Ui,
    session: Option<&Session>,
    reading: &mut Reading,
    chosen: Option<(usize, Spot)>,
    wishes: &mut Vec<Wish>,
) {
    let inks = look::of(ui);
    let report = reading.report.clone();
    let motors = reading.motors;
    let _ = ui.label(RichText::new(&report.file).font(look::bold(14.0)));
    let sheet = report
        .sheet
        .as_deref()
        .map_or(String::new(), |sheet| format!(", sheet {sheet}"));
    let _ = ui.label(format!("{motors} motors in {} rows{sheet}", report.rows.len()));
    if let Some(supply) = &report.supply {
        let volts = supply.voltage.as_ref().map(|volts| format!("{volts} V"));
        let hertz = supply.frequency.as_ref().map(|hertz| format!("{hertz} Hz"));
        let parts: Vec<String> = [volts, hertz].into_iter().flatten().collect();
        if !parts.is_empty() {
            let _ = ui.label(format!("Supply: {}, as said in {}", parts.join(", "), supply.said));
        }
    }
    for remark in &report.remarks {
        let _ = ui.label(remark);
    }
    if ui
        .button("Keep the report…")
        .on_hover_text("Writes the whole report to a file: every row, every doubt, the columns.")
        .clicked()
    {
        wishes.push(Wish::KeepReport);
    }
    if !report.changes.is_empty() {
        changes(ui, &report);
    }
    ui.add_space(8.0);
    look::heading(ui, &format!("Look at these: {}", reading.doubts_in_words()));
    // Many doubts leave room for the columns below them.
    let _ = ScrollArea::vertical()
        .id_salt("doubts of the list")
        .max_height(DOUBTS_HIGH)
        .show(ui, |ui| doubts(ui, session, reading, wishes));
    if !report.columns.is_empty() {
        ui.add_space(8.0);
        let row = session.and_then(|session| row_of_place(session, chosen?));
        source_row::draw(ui, &report, row);
        ui.add_space(8.0);
        reading.choices.draw(ui, &report, wishes);
    }
    if !reading.others.is_empty() {
        ui.add_space(8.0);
        look::heading(ui, "Rows that are no motors");
        for (row, text) in &reading.others {
            let _ = ui.label(RichText::new(format!("source row {row}: {text}")).size(13.0));
        }
        if reading.more_others > 0 {
            let _ = ui.label(format!("and {} more", reading.more_others));
        }
    }
    ui.add_space(8.0);
    let _ = ui.label(
        RichText::new(
            "Loads are estimates for qualified people. Measuring on live or turning machines is for people trained and \
             authorised to do it.",
        )
        .size(12.0)
        .color(inks.words),
    );
}

/// Draws what stands in the place of a report that is not there: why, and the way to a newer list.
pub fn without(ui: &mut Ui, why: &str, of_a_list: bool, wishes: &mut Vec<Wish>) {
    let _ = ui.label(why);
    if of_a_list && ui.button("Read the list again…").clicked() {
        wishes.push(Wish::Ask(Act::Newer));
    }
}

/// What has changed since the list was read before.
fn changes(ui: &mut Ui, report: &Report) {
    ui.add_space(8.0);
    look::heading(
        ui,
        &match report.changes.len() {
            1 => "Since it was read before: 1 change".to_owned(),
            more => format!("Since it was read before: {more} changes"),
        },
    );
    let _ = ScrollArea::vertical()
        .id_salt("changes of the list")
        .max_height(DOUBTS_HIGH)
        .show(ui, |ui| {
            for change in report.changes.iter().take(MOST) {
                let _ = ui.label(RichText::new(change.in_words()).size(13.0));
            }
            if report.changes.len() > MOST {
                let _ = ui.label(format!("and {} more", report.changes.len() - MOST));
            }
        });
}

/// What is doubted, with a way to its row.
fn doubts(ui: &mut Ui, session: Option<&Session>, reading: &Reading, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let report = &reading.report;
    let doubts = reading.worst_first.iter().filter_map(|place| report.doubts.get(*place));
    for doubt in doubts.take(MOST) {
        let (mark, ink) = match doubt.level {
            "error" => ("✕", inks.failed),
            "warning" => ("△", inks.doubtful),
            _ => ("▫", inks.faint),
        };
        let _ = ui.horizontal_wrapped(|ui| {
            let _ = ui.label(RichText::new(mark).color(ink));
            match doubt.source_row {
                Some(row) => {
                    if ui.link(format!("source row {row}")).on_hover_text("Go there").clicked()
                        && let Some((at, spot)) = session.and_then(|session| place_of_row(session, row))
                    {
                        wishes.push(Wish::Go(at, spot));
                    }
                }
                None => {
                    let _ = ui.label("a column");
                }
            }
            let text = ui.label(&doubt.text);
            if let Some(why) = doubt.why {
                let _ = text.on_hover_text(format!("Likely: {}. Look at: {}.", why.likely, why.look));
            }
        });
    }
    if report.doubts.len() > MOST {
        let _ = ui.label(format!("and {} more", report.doubts.len() - MOST));
    }
}

/// The row of the source that a place of a list was read from.
fn row_of_place(session: &Session, (at, spot): (usize, Spot)) -> Option<u32> {
    let Field::Value(item) = spot.field else { return None };
    source_row_of(session.results().sheets.get(at)?, item)
}

/// The place of a row of the source.
fn place_of_row(session: &Session, row: u32) -> Option<(usize, Spot)> {
    let results = session.results();
    results.sheets.iter().enumerate().find_map(|(at, sheet)| {
        let column = sheet.quantities.iter().find(|quantity| &*quantity.name == SOURCE_ROW)?;
        let wanted = f64::from(row);
        let item = column.cells.iter().position(|cell| {
            cell.as_number()
                .is_some_and(|number| (number.to_f64() - wanted).abs() < 0.5)
        })?;
        Some((
            at,
            Spot {
                quantity: 0,
                field: Field::Value(item),
            },
        ))
    })
}
