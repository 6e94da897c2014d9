//! A row of the list as it stands in the source, beside what was read of it.
//!
//! Always: the text of a cell stands beside its reading, word for word; what is doubted of the row stands under it with the likely
//! mistake and what to look at.
//! Not known here: how a cell is read.

use eframe::egui::{self, Label, RichText, Ui};

use super::doubts::Stands;
use crate::plates::Report;
use crate::plates::motor::Reading;
use crate::plates::pages::shown;
use crate::quantity::System;
use crate::window::look;

/// What is looked at.
pub struct Row<'a> {
    /// The report of the list.
    pub report: &'a Report,
    /// The number of the row of the source, from 1.
    pub row: Option<u32>,
    /// The units that doubts are said in.
    pub system: System,
}

/// Draws the row of the source, and how it stands with its doubts.
pub fn draw<'s>(ui: &mut Ui, of: Row<'_>, doubts: impl Iterator<Item = Stands<'s>>) {
    let Row { report, row, system } = of;
    let inks = look::of(ui);
    let faint = |text: &str| RichText::new(text).font(look::oblique(12.0)).color(inks.faint);
    // Nothing is wider than the panel: it would grow while it is looked at.
    let wide = ((ui.available_width() - 84.0) / 3.0).max(60.0);
    let Some(row) = row else {
        look::heading(ui, "Stands and read");
        let _ = ui.label("Choose a cell of the list to see its row as it stands and as it was read.");
        return;
    };
    look::heading(ui, &format!("Source row {row} as it stands and as it was read"));
    // Rows are in order; with tables side by side several have one number.
    let first = report.rows.partition_point(|known| known.source_row < row);
    let here = report
        .rows
        .iter()
        .skip(first)
        .take_while(|known| known.source_row == row);
    for (number, readings) in here.filter_map(|known| known.readings.as_ref()).enumerate() {
        let _ = egui::Grid::new(("stands and read", number))
            .num_columns(4)
            .striped(true)
            .spacing([8.0, 3.0])
            .max_col_width(wide)
            .show(ui, |ui| {
                for text in ["heading", "stands", "read", "sure"] {
                    let _ = ui.label(faint(text));
                }
                ui.end_row();
                for at in readings.cells() {
                    let cell = at.whole();
                    let heading = if cell.column.is_empty() {
                        format!("({})", at.reads().title().to_lowercase())
                    } else {
                        cell.column.replace('\n', " ")
                    };
                    let _ = ui.add(Label::new(heading).wrap());
                    let stands = RichText::new(cell.raw.text()).font(look::upright(13.0));
                    let _ = ui.add(Label::new(stands).wrap());
                    let ink = if cell.confidence < 80 {
                        inks.doubtful
                    } else {
                        inks.typed
                    };
                    let read = match cell.value {
                        Reading::Nothing => "no value".to_owned(),
                        _ => shown(&cell),
                    };
                    let said = match &cell.note {
                        Some(note) => format!("{read} · {note}"),
                        None => read,
                    };
                    let _ = ui.add(Label::new(RichText::new(said).color(ink)).wrap());
                    // What is certain needs no word for it.
                    let _ = ui.label(match cell.confidence {
                        95.. => String::new(),
                        sure => format!("{sure} %"),
                    });
                    ui.end_row();
                }
            });
    }
    for stands in doubts {
        let text = RichText::new(system.words(&stands.doubt.text));
        if let Some(settled) = stands.settled {
            let _ = ui.label(text.strikethrough().color(inks.faint));
            let _ = ui.label(RichText::new(settled).color(inks.words));
            continue;
        }
        let _ = ui.label(text.color(inks.doubtful));
        if let Some(why) = stands.doubt.why {
            let _ = ui.label(format!("Likely: {}. Look at: {}.", why.likely, why.look));
            let _ = ui.label(faint(&format!("rests on {}", why.source)));
        }
    }
}
