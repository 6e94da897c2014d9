//! The ledger of assumptions: everything in the workbook that is assumed, with its value and what rests on it.

use eframe::egui::{RichText, Ui};

use super::{Wish, links, place_of};
use crate::recalc::as_given;
use crate::session::Session;
use crate::window::look;

/// Values of a list named at most.
const MOST: usize = 6;

/// Draws the panel.
pub fn draw(ui: &mut Ui, session: &Session, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let mut any = false;
    for sheet in &session.results().sheets {
        for quantity in sheet.assumptions() {
            any = true;
            let title = if quantity.title.is_empty() {
                &*quantity.name
            } else {
                quantity.title.as_str()
            };
            let _ = ui.horizontal_wrapped(|ui| {
                if ui.link(RichText::new(&*quantity.name).font(look::bold(14.0))).clicked()
                    && let Some((at, spot)) = place_of(session.results(), &sheet.name, &quantity.name, None)
                {
                    wishes.push(Wish::Go(at, spot));
                }
                let _ = ui.label(title);
                let _ = ui.label(RichText::new(format!("in {}", sheet.name)).size(12.0).color(inks.faint));
            });
            let mut values: Vec<String> = quantity
                .cells
                .iter()
                .map(|cell| as_given(cell, &quantity.sort))
                .collect();
            values.dedup();
            let more = values.len().saturating_sub(MOST);
            values.truncate(MOST);
            let mut text = values.join(", ");
            if more > 0 {
                text.push_str(&format!(" and {more} more"));
            }
            let _ = ui.label(RichText::new(text).color(inks.typed));
            if let Some(words) = quantity.source.as_ref().and_then(|source| source.text.as_ref()) {
                let _ = ui.label(RichText::new(words).font(look::oblique(13.0)));
            }
            let readers = session.readers(&sheet.name, &quantity.name);
            if !readers.is_empty() {
                let _ = ui.horizontal_wrapped(|ui| {
                    let _ = ui.label(RichText::new("used by").size(12.0).color(inks.faint));
                    links(ui, session, &sheet.name, &readers, None, wishes);
                });
            }
            let _ = ui.separator();
        }
    }
    if !any {
        let _ = ui.label(
            "Nothing in this workbook is said to be assumed. The word assumed in the source of a given puts it here.",
        );
    }
}
