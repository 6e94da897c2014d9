//! What was read from an equipment list: columns and what they were taken for, rows that are no motors, doubts, remarks.

use eframe::egui::{self, RichText, Ui};

use super::Wish;
use crate::plates::Report;
use crate::plates::find::As;
use crate::session::Session;
use crate::window::look;
use crate::window::spot::{Field, Spot};
use crate::workbook::SOURCE_ROW;

/// Doubts drawn at most.
const MOST: usize = 300;

/// The reading of a list, put in order once.
#[derive(Debug)]
pub struct Reading {
    report: Report,
    motors: usize,
    /// Rows that are no motors: number and text.
    others: Vec<(u32, String)>,
    more_others: usize,
}

impl Reading {
    /// Of a report. What is worst stands first.
    pub fn of(mut report: Report) -> Reading {
        report.doubts.sort_by_key(|doubt| match doubt.level {
            "error" => 0,
            "warning" => 1,
            _ => 2,
        });
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
            report,
        }
    }
}

/// Draws the panel.
pub fn draw(ui: &mut Ui, session: Option<&Session>, reading: &Reading, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let Reading { report, motors, .. } = reading;
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
    ui.add_space(8.0);
    look::heading(ui, "Columns");
    let _ = egui::Grid::new("columns of the list")
        .num_columns(3)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            for text in ["heading", "read as", "unit"] {
                let _ = ui.label(RichText::new(text).font(look::oblique(12.0)).color(inks.faint));
            }
            ui.end_row();
            for column in &report.columns {
                let _ = ui.label(column.heading.replace('\n', " "));
                let unsure = column.confidence < 0.8;
                let reads = match column.reads {
                    Some(reads) => format!("{}{}", if unsure { "△ " } else { "" }, reads.replace('_', " ")),
                    None => "kept as it stands".to_owned(),
                };
                let label = ui.label(reads);
                if !column.reason.is_empty() {
                    let _ = label.on_hover_text(&column.reason);
                }
                let _ = ui.label(column.unit.as_deref().unwrap_or(""));
                ui.end_row();
            }
        });
    ui.add_space(8.0);
    look::heading(ui, &format!("Look at these: {} doubts", report.doubts.len()));
    for doubt in report.doubts.iter().take(MOST) {
        let (mark, ink) = match doubt.level {
            "error" => ("✕", inks.failed),
            "warning" => ("△", inks.doubtful),
            _ => ("▫", inks.faint),
        };
        let _ = ui.horizontal_wrapped(|ui| {
            let _ = ui.label(RichText::new(mark).color(ink));
            match doubt.source_row {
                Some(row) => {
                    if ui.link(format!("row {row}")).on_hover_text("Go there").clicked()
                        && let Some((at, spot)) = session.and_then(|session| place_of_row(session, row))
                    {
                        wishes.push(Wish::Go(at, spot));
                    }
                }
                None => {
                    let _ = ui.label("a column");
                }
            }
            let _ = ui.label(&doubt.text);
        });
    }
    if report.doubts.len() > MOST {
        let _ = ui.label(format!("and {} more", report.doubts.len() - MOST));
    }
    if !reading.others.is_empty() {
        ui.add_space(8.0);
        look::heading(ui, "Rows that are no motors");
        for (row, text) in &reading.others {
            let _ = ui.label(RichText::new(format!("{row}: {text}")).size(13.0));
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
