//! The ledger of assumptions: everything in the workbook that is assumed, with its value and what rests on it.

use std::sync::Arc;

use eframe::egui::{RichText, Ui};

use super::{Link, Wish, draw_links, links_to, place_of};
use crate::quantity::System;
use crate::recalc::Showing;
use crate::session::Session;
use crate::window::look;
use crate::window::spot::Spot;

/// Values of a list named at most.
const MOST: usize = 6;

/// Values of a list looked at.
const LOOKED_AT: usize = 20_000;

#[derive(Clone, Debug)]
struct Entry {
    sheet: String,
    name: Arc<str>,
    title: String,
    goes: Option<(usize, Spot)>,
    values: String,
    words: Option<String>,
    readers: Vec<Link>,
}

/// The panel: read once for every change, however often it is drawn.
#[derive(Clone, Debug, Default)]
pub struct Assumptions {
    of: Option<(u64, System)>,
    entries: Vec<Entry>,
}

impl Assumptions {
    /// Reads the assumptions anew where something has changed.
    pub fn read(&mut self, session: &Session, changes: u64, system: System) {
        if self.of == Some((changes, system)) {
            return;
        }
        self.of = Some((changes, system));
        self.entries.clear();
        for sheet in &session.results().sheets {
            for quantity in sheet.assumptions() {
                // Values that differ, in their order; a long list is read as far as it says something new.
                let showing = Showing::of(quantity, system);
                let mut values: Vec<String> = Vec::new();
                let mut more = false;
                let mut last = None;
                for cell in quantity.cells.iter().take(LOOKED_AT) {
                    if last == Some(cell) {
                        continue;
                    }
                    last = Some(cell);
                    let text = showing.whole(cell);
                    if !values.contains(&text) {
                        if values.len() == MOST {
                            more = true;
                            break;
                        }
                        values.push(text);
                    }
                }
                let mut text = values.join(" | ");
                if more {
                    text.push_str(" and others");
                }
                let readers = session.readers(&sheet.name, &quantity.name);
                self.entries.push(Entry {
                    sheet: sheet.heading().to_owned(),
                    name: quantity.name.clone(),
                    title: quantity.title.clone(),
                    goes: place_of(session.results(), &sheet.name, &quantity.name, None),
                    values: text,
                    words: quantity
                        .source
                        .as_ref()
                        .and_then(|source| source.text.as_ref())
                        .map(|text| text.to_string()),
                    readers: links_to(session.results(), &sheet.name, &readers, None),
                });
            }
        }
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        if self.entries.is_empty() {
            let _ = ui.label(
                "Nothing in this workbook is said to be assumed. The word assumed in the source of a given puts it here.",
            );
            return;
        }
        let _ = ui.label(
            RichText::new("Whoever signs the sheet signs these too.")
                .font(look::oblique(13.0))
                .color(inks.words),
        );
        let mut sheet: &str = "";
        for entry in &self.entries {
            if entry.sheet != sheet {
                sheet = &entry.sheet;
                ui.add_space(8.0);
                look::heading(ui, sheet);
            }
            ui.add_space(6.0);
            let _ = ui.horizontal_wrapped(|ui| {
                let link = ui.link(&*entry.name);
                if let (true, Some((at, spot))) = (link.on_hover_text("Go there").clicked(), entry.goes) {
                    wishes.push(Wish::Go(at, spot));
                }
                let _ = ui.label("=");
                let _ = ui.label(RichText::new(&entry.values).font(look::bold(14.0)).color(inks.typed));
            });
            if !entry.title.is_empty() {
                let _ = ui.label(&entry.title);
            }
            if let Some(words) = &entry.words {
                let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(inks.words));
            }
            let _ = ui.horizontal_wrapped(|ui| {
                if entry.readers.is_empty() {
                    let _ = ui.label(RichText::new("nothing rests on it").size(12.0).color(inks.faint));
                } else {
                    let _ = ui.label(RichText::new("used by").size(12.0).color(inks.faint));
                    draw_links(ui, &entry.readers, wishes);
                }
            });
        }
    }
}
