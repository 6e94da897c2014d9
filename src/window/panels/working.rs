//! The working of the chosen value, under the grid: symbols, substitution with units, result, what it rests on, who uses it.

use eframe::egui::{RichText, Ui};

use super::{Wish, links, place_of};
use crate::recalc::Trace;
use crate::session::Session;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot, System, sort_words};
use crate::window::typing::Editing;
use crate::workbook::{Role, SourceWord};

/// The working of a place, remembered until something changes.
#[derive(Clone, Debug, Default)]
pub struct Working {
    of: Option<(usize, Spot, u64)>,
    trace: Option<Trace>,
    reads: Vec<(std::sync::Arc<str>, std::sync::Arc<str>)>,
    readers: Vec<(std::sync::Arc<str>, std::sync::Arc<str>)>,
}

/// Inputs named at most.
const MOST: usize = 24;

impl Working {
    /// Reads it anew where the place or the results have changed.
    fn of(&mut self, seen: Seen<'_>, spot: Spot, changes: u64) {
        if self.of == Some((seen.at, spot, changes)) {
            return;
        }
        self.of = Some((seen.at, spot, changes));
        let Some(quantity) = seen.quantity(spot.quantity) else {
            *self = Working::default();
            return;
        };
        let item = match spot.field {
            Field::Value(item) => item,
            _ => 0,
        };
        self.trace = (quantity.role != Role::Given || quantity.own.contains(&item))
            .then(|| seen.session.trace_at(seen.at, spot.quantity, item))
            .flatten();
        self.reads = seen.session.reads(&seen.results.name, &quantity.name);
        self.readers = seen.session.readers(&seen.results.name, &quantity.name);
    }

    /// Draws it.
    pub fn draw(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        sheet: usize,
        spot: Option<Spot>,
        changes: u64,
        wishes: &mut Vec<Wish>,
    ) {
        let (Some(seen), Some(spot)) = (Seen::of(session, sheet), spot) else {
            return;
        };
        let Some(quantity) = seen.quantity(spot.quantity) else {
            return;
        };
        self.of(seen, spot, changes);
        let inks = look::of(ui);
        let item = match spot.field {
            Field::Value(item) => item,
            _ => 0,
        };
        let case = seen
            .results
            .items
            .get(item)
            .map(|item| &**item)
            .filter(|item| !item.is_empty());
        let _ = ui.horizontal_wrapped(|ui| {
            let _ = ui.label(RichText::new(&*quantity.name).font(look::bold(15.0)));
            if !quantity.title.is_empty() {
                let _ = ui.label(&quantity.title);
            }
            if let Some(case) = case {
                let _ = ui.label(RichText::new(case).font(look::oblique(14.0)).color(inks.words));
            }
            let _ = ui.label(RichText::new(sort_words(&quantity.sort)).size(12.0).color(inks.faint));
        });
        match &self.trace {
            Some(trace) => {
                let symbols = trace.rearranged.as_ref().map_or_else(
                    || format!("{} = {}", quantity.name, trace.formula),
                    |rearranged| format!("{}, so {rearranged}", trace.formula),
                );
                let _ = ui.label(symbols);
                if trace.substituted != trace.formula {
                    let _ = ui.label(RichText::new(format!("= {}", trace.substituted)).color(inks.words));
                }
                let _ = ui.label(RichText::new(format!("= {}", trace.result)).font(look::bold(15.0)));
                if let Some(note) = &trace.note {
                    let _ = ui.label(RichText::new(note).font(look::oblique(13.0)).color(inks.words));
                }
                for table in &trace.tables {
                    let _ = ui.label(RichText::new(table.words()).size(12.0).color(inks.faint));
                }
            }
            None => {
                let typed = seen.typed(spot);
                let shown = seen.shown(spot, System::AsWritten, false);
                if typed.is_empty() {
                    let _ =
                        ui.label(RichText::new(shown.why.as_deref().unwrap_or("nothing typed here")).color(inks.faint));
                } else {
                    let _ = ui.label(RichText::new(format!("typed: {typed}")).color(inks.typed));
                    if let Some(why) = &shown.why {
                        let _ = ui.label(RichText::new(why).color(inks.failed));
                    }
                }
            }
        }
        let _ = ui.horizontal_wrapped(|ui| {
            if !self.reads.is_empty() {
                let _ = ui.label(RichText::new("reads").size(12.0).color(inks.faint));
                links(ui, session, &seen.results.name, &self.reads, case, wishes);
            }
            if let Some(trace) = &self.trace
                && !trace.rests_on.is_empty()
            {
                let _ = ui.label(RichText::new("rests on").size(12.0).color(inks.faint));
                for input in trace.rests_on.iter().take(MOST) {
                    let assumed = input
                        .source
                        .as_ref()
                        .is_some_and(|source| source.word == SourceWord::Assumed);
                    let text = format!(
                        "{} = {}{}",
                        input.name,
                        input.value,
                        if assumed { " (assumed)" } else { "" }
                    );
                    let target = place_of(session.results(), &input.sheet, &input.name, input.item.as_deref());
                    if ui.link(text).on_hover_text("Go there").clicked()
                        && let Some((at, spot)) = target
                    {
                        wishes.push(Wish::Go(at, spot));
                    }
                }
                if trace.rests_on.len() > MOST {
                    let _ = ui.label(format!("and {} more", trace.rests_on.len() - MOST));
                }
            }
            if !self.readers.is_empty() {
                let _ = ui.label(RichText::new("used by").size(12.0).color(inks.faint));
                links(ui, session, &seen.results.name, &self.readers, case, wishes);
            }
        });
    }
}

/// What the open text would be: kind and unit, faults with their help.
pub fn typing(ui: &mut Ui, editing: &Editing) {
    let inks = look::of(ui);
    if let Some(refused) = &editing.refused {
        let _ = ui.label(RichText::new(format!("✕ {refused}")).color(inks.failed));
    }
    let Some(look) = &editing.look else {
        let _ = ui.label(RichText::new("Enter types it, Esc leaves it as it was.").color(inks.faint));
        return;
    };
    let words = sort_words(&look.sort);
    if !words.is_empty() {
        let _ = ui.label(RichText::new(format!("gives: {words}")).font(crate::window::look::bold(14.0)));
    }
    for fault in look.faults.iter().take(3) {
        let (mark, ink) = if fault.is_error() {
            ("✕", inks.failed)
        } else {
            ("△", inks.doubtful)
        };
        let help = fault.help.as_ref().map_or(String::new(), |help| format!(" – {help}"));
        let _ = ui.label(RichText::new(format!("{mark} {}{help}", fault.message)).color(ink));
    }
}
