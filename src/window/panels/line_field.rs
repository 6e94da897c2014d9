//! A field of a panel for a whole line: what is typed there is looked at as in the grid, and names, units, functions and kinds are
//! offered there as in the grid.
//!
//! Always: a line stays one line, in as many rows as it takes. What is wrong with it is in sight while it is typed: no list of offers covers
//! it.
//! Not known here: what becomes of the line.

use eframe::egui::text::{CCursor, CCursorRange};
use eframe::egui::{self, Event, Id, Key, RichText, Ui};

use super::{Answer, Wish, working};
use crate::window::grid::{choosing, offered};
use crate::window::look;
use crate::window::paper::are_lines;
use crate::window::spot::{Field, NEW, Seen, Spot};
use crate::window::typing::Editing;

/// A text that is typed in a field, and what is known of it.
#[derive(Clone, Debug, Default)]
pub struct LineField {
    open: Editing,
    /// The state of the workbook it was looked at in.
    of: Option<(usize, u64)>,
    /// It has the keys.
    focused: bool,
    /// The cursor was put somewhere.
    moved: bool,
    /// Where the field stands, and where it ends with its buttons.
    stands: Option<(Id, egui::Rect, f32)>,
    /// The text, and how far down went what was said of it, when it was brought into sight.
    brought: (String, f32),
}

/// Whether a field keeps the keys for the next line.
#[derive(Clone, Copy, Debug)]
pub struct Stays(pub bool);

/// What is typed is a whole line.
const SPOT: Spot = Spot {
    quantity: NEW,
    field: Field::Line,
};

impl LineField {
    /// A field with a text that is to be typed on.
    pub fn new(text: String) -> LineField {
        LineField {
            open: Editing::open(0, SPOT, text, String::new()),
            ..LineField::default()
        }
    }

    /// A field with a line as it stands in a sheet, or in the head of the workbook.
    pub fn with(text: &str, of_head: bool) -> LineField {
        let mut open = Editing::open(0, SPOT, text.to_owned(), text.to_owned());
        open.of_head = of_head;
        LineField {
            open,
            ..LineField::default()
        }
    }

    /// The text.
    pub fn text(&self) -> &str {
        &self.open.text
    }

    /// Empties it.
    pub fn clear(&mut self) {
        let focused = self.focused;
        *self = LineField {
            focused,
            ..LineField::new(String::new())
        };
    }

    /// The text with what is known of it, where it has the keys.
    pub fn typing(&self) -> Option<&Editing> {
        Some(&self.open).filter(|_| self.focused)
    }

    /// Puts something in the place of the name that is begun at the cursor.
    pub fn put_in(&mut self, text: &str, chosen: Option<std::ops::Range<usize>>) {
        self.open.put_in(text, chosen);
        self.moved = true;
    }

    /// It is not on the screen any more.
    pub fn rest(&mut self) {
        self.focused = false;
    }

    /// Its value was worked.
    pub fn valued(&mut self, text: String, value: Option<Result<String, String>>) {
        self.open.value = Some((text, value));
    }

    /// Looks at the text anew where it, the cursor or the workbook has changed.
    pub fn consider(&mut self, seen: Seen<'_>, changes: u64) {
        self.open.spot = Some(SPOT);
        if self.of != Some((seen.at, changes)) {
            self.of = Some((seen.at, changes));
            self.open.sheet = seen.at;
            (self.open.looked, self.open.value) = (None, None);
        }
        self.open.consider(seen);
    }

    /// Draws it, with what to do with it. `fresh`: it is to get the keys; `stays`: it keeps them for the next line.
    pub(super) fn draw(&mut self, ui: &mut Ui, word: &str, (fresh, stays): (bool, Stays)) -> Option<Answer> {
        let inks = look::of(ui);
        let label = ui.label(RichText::new(word).size(12.0).color(inks.faint));
        // It is the same field, however many lines come to stand above it.
        let id = ui.make_persistent_id(word);
        let had = ui.memory(|memory| memory.has_focus(id));
        let (mut done, taken) = if had { self.keys(ui) } else { (false, false) };
        // A field that is only to get the keys keeps no chosen letters yet.
        let moved = taken | self.moved;
        self.moved &= !had;
        if fresh && !moved {
            // One types on at its end.
            self.open.range = CCursorRange::one(CCursor::new(self.open.text.chars().count()));
        }
        if fresh || moved {
            self.put_cursor(ui, id);
        }
        let was_many = self.open.text.contains('\n');
        let places = offered::places(&self.open);
        let mut layouter = |ui: &Ui, text: &dyn egui::TextBuffer, width: f32| {
            let mut job = offered::underlined(text.as_str(), &places, inks);
            job.wrap.max_width = width;
            ui.fonts_mut(|fonts| fonts.layout_job(job))
        };
        let output = egui::TextEdit::multiline(&mut self.open.text)
            .id(id)
            .desired_rows(1)
            .desired_width(f32::INFINITY)
            .return_key(None)
            // Tab takes what is marked; else it goes on to the next thing.
            .lock_focus(self.open.chosen.is_some())
            .layouter(&mut layouter)
            .show(ui);
        let field = output.response.response.clone().labelled_by(label.id);
        if let Some(range) = output.state.cursor.char_range().filter(|_| !self.moved) {
            self.open.range = range;
        }
        if !was_many && self.open.text.contains('\n') {
            // What was pasted with line ends is one line all the same, unless each of them is one where new ones are made.
            done |= stays.0 && are_lines(&self.open.text);
            if !done {
                self.open.text = self.open.text.replace('\n', " ");
            }
        }
        if fresh {
            field.request_focus();
        }
        let looked = self.open.looked.as_ref();
        if looked.is_none_or(|(text, at)| *text != self.open.text || *at != self.open.cursor()) {
            ui.ctx().request_repaint();
        }
        let mut away = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape));
        let buttons = ui.horizontal(|ui| {
            done |= ui.button("Do it").clicked();
            away |= ui.button("Leave it").clicked();
        });
        self.stands = Some((id, field.rect, buttons.response.rect.bottom()));
        if done && stays.0 {
            field.request_focus();
        }
        self.focused = ui.memory(|memory| memory.has_focus(id));
        match (done, away) {
            (true, _) => Some(Answer::Do),
            (false, true) => Some(Answer::Leave),
            (false, false) => None,
        }
    }

    /// What stands at the cursor of the field on the screen follows the text.
    fn put_cursor(&self, ui: &Ui, id: Id) {
        let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
        state.cursor.set_char_range(Some(self.open.range));
        state.store(ui.ctx(), id);
    }

    /// Takes the keys that choose among the offers, and Enter. Whether Enter does the line, and whether the cursor was moved.
    fn keys(&mut self, ui: &Ui) -> (bool, bool) {
        let (mut done, mut moved, mut typed) = (false, false, false);
        let looked = self
            .open
            .looked
            .as_ref()
            .is_some_and(|(text, _)| *text == self.open.text);
        ui.input_mut(|input| {
            input.events.retain(|event| {
                let Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } = event
                else {
                    typed |= matches!(event, Event::Text(_) | Event::Paste(_) | Event::Cut);
                    return true;
                };
                let step = match key {
                    Key::ArrowDown if modifiers.is_none() => Some(1),
                    Key::ArrowUp if modifiers.is_none() => Some(-1),
                    _ => choosing(event),
                };
                // What is offered is for the text that was looked at.
                let offers = looked && !typed && !moved && self.open.chooses();
                match (key, step) {
                    (_, Some(step)) if offers => self.open.choose(step > 0),
                    (Key::Enter | Key::Tab, _) if offers && self.open.chosen.is_some() => {
                        if let Some(chosen) = self.open.chosen {
                            self.open.accept(chosen);
                        }
                        moved = true;
                    }
                    (Key::Enter, _) => done = true,
                    _ => {
                        typed |= matches!(key, Key::Backspace | Key::Delete);
                        return true;
                    }
                }
                false
            });
        });
        (done, moved)
    }

    /// The list of what could stand at the cursor, while the field has the keys or the mouse is on the way to the list. `below`: where what
    /// is said of the text ends.
    fn offers(&mut self, ui: &Ui, (id, rect): (Id, egui::Rect), below: f32) {
        let last = Id::unique("line field in use");
        if ui.memory(|memory| memory.has_focus(id)) {
            ui.data_mut(|data| data.insert_temp(last, id));
        }
        let used = ui.data(|data| data.get_temp::<Id>(last)) == Some(id);
        let focused = ui.memory(|memory| memory.has_focus(id));
        let pressing = ui.input(|input| input.pointer.any_down() || input.pointer.any_released());
        if !(used && (focused || pressing)) {
            return;
        }
        let room = offered::Room {
            body: ui.ctx().content_rect(),
            widest: rect.width(),
            below,
        };
        if let Some(index) = offered::list(ui, rect, room, &self.open) {
            self.open.accept(index);
            self.put_cursor(ui, id);
            ui.memory_mut(|memory| memory.request_focus(id));
            ui.ctx().request_repaint();
        }
    }

    /// Says what the text would be and what is wrong with it, and offers what could stand at the cursor beside that; `refused`: why it was,
    /// where what was found says nothing.
    pub(super) fn said(&mut self, ui: &mut Ui, refused: Option<&str>) {
        self.words(ui, refused);
        let Some((id, rect, end)) = self.stands else { return };
        let said = ui.cursor().top().max(end);
        if self.focused && self.brought != (self.open.text.clone(), said - rect.top()) {
            self.brought = (self.open.text.clone(), said - rect.top());
            ui.scroll_to_rect(rect.with_max_y(said), None);
        }
        self.offers(ui, (id, rect), said);
    }

    fn words(&mut self, ui: &mut Ui, refused: Option<&str>) {
        let changed = self.open.text.trim() != self.open.was.trim();
        if self.open.text.trim().is_empty() || !changed && refused.is_none() {
            return;
        }
        let found = self.open.look.as_ref().is_some_and(|look| !look.faults.is_empty());
        self.open.refused = refused.filter(|_| !found).map(str::to_owned);
        let mut wishes = Vec::new();
        working::typing(ui, &self.open, true, &mut wishes);
        for wish in wishes {
            if let Wish::Mend(fix) = wish {
                self.open.mend(&fix);
                ui.ctx().request_repaint();
            }
        }
    }
}
