//! Texts that cannot stand at their places: kept there, shown, mended, put away.
//!
//! Always: the cursor goes on, and nothing that was typed is lost.
//! Not known here: how a place is drawn.

use super::Window;
use crate::window::spot::{Seen, Spot};
use crate::window::typing::Editing;

impl Window {
    /// Keeps a text that cannot stand at its place, and why.
    pub(super) fn keep_wrong(&mut self, sheet: usize, spot: Spot, text: String, why: String) {
        let Some(session) = self.door.session() else { return };
        if let Some(seen) = Seen::of(session, sheet) {
            self.wrongs.keep(seen, spot, text, why, self.changes);
        }
    }

    /// Puts the text of a place away: it was mended, or is left as it was.
    pub(super) fn put_wrong_away(&mut self, sheet: usize, spot: Option<Spot>) {
        if self.wrongs.is_empty() {
            return;
        }
        let Some(session) = self.door.session() else { return };
        if let (Some(seen), Some(spot)) = (Seen::of(session, sheet), spot) {
            let _ = self.wrongs.put_away(seen, spot);
        }
    }

    /// Those of the open line go with the line that it has become.
    pub(super) fn wrongs_join(&mut self) {
        let Some(sheet) = self.wrongs_join.take() else { return };
        let sheets = self.door.session().map(|session| &session.results().sheets);
        let made = sheets.and_then(|sheets| sheets.iter().find(|known| known.name == sheet));
        if let Some(made) = made.and_then(|made| made.quantities.last()) {
            self.wrongs.become_of(&sheet, &made.name);
        }
    }

    /// Whether a place has one.
    pub(super) fn is_wrong(&self, sheet: usize, spot: Spot) -> bool {
        let seen = self.door.session().and_then(|session| Seen::of(session, sheet));
        seen.is_some_and(|seen| self.wrongs.at(seen, spot).is_some())
    }

    /// Puts the one of the chosen place away; `false` where it has none, and where more is chosen.
    pub(super) fn put_chosen_wrong_away(&mut self) -> bool {
        let alone = self
            .arrangement()
            .is_some_and(|arrangement| arrangement.from == arrangement.at);
        let Some((sheet, spot)) = self.chosen().filter(|_| alone) else {
            return false;
        };
        let is_wrong = self.is_wrong(sheet, spot);
        self.put_wrong_away(sheet, Some(spot));
        is_wrong
    }

    /// Takes the last one back, where nothing was done since; `false` where there is none.
    pub(super) fn take_wrong_back(&mut self) -> bool {
        let none_else = self.door.session().is_some_and(|session| session.steps() == 0);
        let Some(wrong) = self.wrongs.take_last(self.changes, none_else) else {
            return false;
        };
        self.say(
            format!("Taken back: `{}`, which was not taken in.", wrong.text.trim()),
            false,
        );
        true
    }

    /// What they are, and where: `5 to 6` at x.
    pub(super) fn wrongs_in_words(&self) -> Vec<String> {
        let Some(session) = self.door.session() else {
            return Vec::new();
        };
        self.wrongs
            .told(session)
            .into_iter()
            .map(|(_, _, words, _)| words)
            .collect()
    }

    /// The one of the chosen place, as it would be if it were opened.
    pub(super) fn chosen_wrong(&self) -> Option<Editing> {
        if self.wrongs.is_empty() {
            return None;
        }
        let (sheet, spot) = self.chosen()?;
        let seen = self.seen()?;
        let wrong = self.wrongs.at(seen, spot)?;
        let mut editing = Editing::open(sheet, spot, wrong.text.clone(), seen.opened(spot));
        editing.consider(seen);
        editing.refused = Some(wrong.why.clone());
        Some(editing)
    }
}
