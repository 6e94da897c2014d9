//! Everything of the language that has a name, found by plain words: help, parameters, an example; pressed, one is put into what is
//! typed.
//!
//! Always: what is typed elsewhere stays open while one looks here.
//! Not known here: where the text is put.

use std::ops::Range;

use eframe::egui::{self, Key, RichText, Ui};

use super::Wish;
use crate::window::library::{self, Entry};
use crate::window::look;

/// What a chosen entry is put into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goes {
    /// The open text of the grid.
    Grid,
    /// A text of the panel of lines; `true`: the line that is typed anew, `false`: the new one.
    Lines(bool),
}

/// The panel.
#[derive(Clone, Debug, Default)]
pub struct Library {
    search: String,
    /// What answers to the search, read once for each.
    found: Option<(String, Vec<&'static Entry>)>,
    /// The topic that is unfolded.
    topic: Option<&'static str>,
    /// The entry that is looked at.
    open: Option<String>,
    goes: Option<Goes>,
    has_keys: bool,
}

/// Entries shown at most.
const MOST: usize = 40;

impl Library {
    /// It is opened: with what a chosen entry is put into, and the name that is begun there.
    pub fn begin(&mut self, into: Option<(Goes, String)>) {
        self.search = into.as_ref().map_or(String::new(), |(_, word)| word.clone());
        self.goes = into.map(|(goes, _)| goes);
        self.open = None;
    }

    /// What a chosen entry is put into.
    pub fn goes(&self) -> Option<Goes> {
        self.goes
    }

    /// Whether the search has the keys.
    pub fn has_keys(&self) -> bool {
        self.has_keys
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, fresh: &mut bool, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        let label = ui.label("What is to be worked, in a word or two: breakdown, fan, run-up, cable, payback");
        let field = ui
            .add(
                egui::TextEdit::singleline(&mut self.search)
                    .id(egui::Id::unique("search of functions"))
                    .desired_width(f32::INFINITY),
            )
            .labelled_by(label.id);
        if std::mem::take(fresh) {
            field.request_focus();
            let mut state = egui::TextEdit::load_state(ui.ctx(), field.id).unwrap_or_default();
            let range = egui::text::CCursorRange::two(
                egui::text::CCursor::new(0),
                egui::text::CCursor::new(self.search.chars().count()),
            );
            state.cursor.set_char_range(Some(range));
            state.store(ui.ctx(), field.id);
        }
        let enter = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        self.has_keys = field.has_focus();
        let wanted = self.search.trim().to_lowercase();
        if self.found.as_ref().is_none_or(|(known, _)| *known != wanted) {
            let found = if wanted.is_empty() {
                library::all().collect()
            } else {
                library::found(&wanted)
            };
            self.found = Some((wanted.clone(), found));
        }
        let Some((_, entries)) = &self.found else { return };
        if enter && !wanted.is_empty() {
            if let Some(entry) = entries.first() {
                let (text, chosen) = entry.call();
                wishes.push(Wish::Put(text, chosen));
            } else {
                field.request_focus();
            }
        }
        ui.add_space(4.0);
        let hint = match self.goes {
            Some(_) => "Enter puts the first into what is typed; a press puts the one that is pressed.",
            None => "Enter puts the first into the chosen place, where that is empty; a press the one that is pressed.",
        };
        let _ = ui.label(RichText::new(hint).size(12.0).color(inks.faint));
        let open = &mut self.open;
        if wanted.is_empty() {
            for topic in library::topics() {
                let here = self.topic == Some(topic);
                let of = || entries.iter().filter(move |entry| entry.topic == topic);
                ui.add_space(4.0);
                let mark = if here { "▾" } else { "▸" };
                let words = format!("{mark} {topic} ({})", of().count());
                if ui
                    .link(RichText::new(words).font(look::bold(14.0)).color(inks.ink))
                    .clicked()
                {
                    self.topic = (!here).then_some(topic);
                }
                if here {
                    of().for_each(|entry| one(ui, entry, open, wishes));
                }
            }
            return;
        }
        if entries.is_empty() {
            let words =
                "Nothing answers to that. Other words may find it; without any all of it stands here by subject.";
            let _ = ui.label(RichText::new(words).color(inks.doubtful));
        }
        for entry in entries.iter().take(MOST) {
            one(ui, entry, open, wishes);
        }
        if let Some(more) = entries.len().checked_sub(MOST).filter(|more| *more > 0) {
            let _ = ui.label(RichText::new(format!("and {more} more; another word narrows them")).color(inks.faint));
        }
    }
}

/// One entry: its call, its help, an example; more where it is looked at.
fn one(ui: &mut Ui, entry: &Entry, open: &mut Option<String>, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let put =
        |wishes: &mut Vec<Wish>, (text, chosen): (String, Option<Range<usize>>)| wishes.push(Wish::Put(text, chosen));
    ui.add_space(5.0);
    let here = open.as_ref() == Some(&entry.name);
    let _ = ui.horizontal_wrapped(|ui| {
        let call = ui.link(RichText::new(&entry.shown).font(look::bold(14.0)).color(inks.typed));
        if call.on_hover_text("Put it into what is typed").clicked() {
            put(wishes, entry.call());
        }
        if !entry.more.is_empty() {
            let word = if here { "less" } else { "more…" };
            let more = ui.link(RichText::new(word).size(12.0).color(inks.faint));
            // Those who listen hear of what.
            let spoken = format!("{word} of {}", entry.name);
            ui.ctx().accesskit_node_builder(more.id, |node| node.set_label(spoken));
            if more.clicked() {
                *open = (!here).then(|| entry.name.clone());
            }
        }
    });
    let _ = ui.label(RichText::new(&entry.help).size(13.0).color(inks.words));
    if let Some((example, gives)) = entry.example {
        let words = RichText::new(format!("{example} = {gives}"))
            .font(look::oblique(12.0))
            .color(inks.words);
        if ui
            .link(words)
            .on_hover_text("Put the example into what is typed")
            .clicked()
        {
            put(wishes, (example.to_owned(), None));
        }
    }
    if here {
        for more in &entry.more {
            let _ = ui.label(RichText::new(format!("    {more}")).size(12.0).color(inks.ink));
        }
    }
}
