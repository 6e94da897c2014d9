//! Looking up a function while something is typed, and putting it there.
//!
//! Always: what is typed stays open while one looks.

use super::Window;
use super::told::About;
use crate::window::grid::editor_id;
use crate::window::panels::Panel;
use crate::window::panels::functions::Goes;
use crate::window::spot::{Field, Spot};

impl Window {
    /// Opens the panel of functions, with the name that is begun where something is typed; closes it where nothing is.
    pub(super) fn look_up(&mut self, keys_elsewhere: bool) {
        let into = match (&self.editing, self.lines.typing()) {
            (Some(open), _) => Some((Goes::Grid, open.word())),
            (None, Some(open)) => Some((Goes::Lines(self.lines.types_open()), open.word())),
            (None, None) => None,
        };
        if self.panel == Some(Panel::Functions) && (into.is_none() && keys_elsewhere || self.library.has_keys()) {
            self.panel = None;
            return;
        }
        self.library.begin(into);
        self.panel = Some(Panel::Functions);
        self.search_fresh = true;
    }

    /// Puts a function into the text that is typed: in the grid, in the panel of lines, else in the chosen place, where that is empty.
    pub(super) fn put_function(&mut self, text: &str, chosen: Option<std::ops::Range<usize>>) {
        if let (None, Some(Goes::Lines(open))) = (&self.editing, self.library.goes()) {
            self.lines.put_in(text, chosen, open);
            self.panel = Some(Panel::Lines);
            return;
        }
        if self.editing.is_none() {
            let formula = |spot: &Spot| matches!(spot.field, Field::Value(_) | Field::Formula);
            let empty = self
                .chosen()
                .filter(|(_, spot)| formula(spot))
                .filter(|(_, spot)| self.seen().is_some_and(|seen| seen.opened(*spot).is_empty()));
            if empty.is_none() {
                let words =
                    "Open a place to type it in first: F2, or a letter in an empty place; or a line in Lines, F11.";
                self.tell(About::Going, words, false);
                self.search_fresh = true;
                return;
            }
            self.open_place(None, None);
        }
        if let Some(editing) = &mut self.editing {
            editing.put_in(text, chosen);
            self.ctx.memory_mut(|memory| memory.request_focus(editor_id()));
        }
    }
}
