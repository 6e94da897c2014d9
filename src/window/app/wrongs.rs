//! Texts that cannot stand at their places: kept there, shown, mended, put away.
//!
//! Always: the cursor goes on, and nothing that was typed is lost.
//! Not known here: how a place is drawn.

use super::Window;
use crate::window::arrange::At;
use crate::window::panels::faults::NotTaken;
use crate::window::spot::{Seen, Spot};
use crate::window::typing::Editing;
use crate::window::wrong::Wrongs;

impl Window {
    /// Keeps a text that cannot stand at its place, and why.
    pub(super) fn keep_wrong(&mut self, sheet: usize, spot: Spot, text: String, why: String) {
        let Some(session) = self.door.session() else { return };
        if let Some(seen) = Seen::of(session, sheet) {
            self.wrongs.keep(seen, spot, text, why);
        }
        self.note_wrongs(false);
    }

    /// Puts the text of a place away: it was mended, or is left as it was.
    pub(super) fn put_wrong_away(&mut self, sheet: usize, spot: Option<Spot>) {
        if self.wrongs.is_empty() {
            return;
        }
        let Some(session) = self.door.session() else { return };
        if let (Some(seen), Some(spot)) = (Seen::of(session, sheet), spot) {
            self.wrongs.put_away(seen, spot);
        }
    }

    /// Those of the open line go with the line that it has become.
    pub(super) fn wrongs_join(&mut self) {
        let Some(sheet) = self.wrongs_join.take() else { return };
        let Some(session) = self.door.session() else { return };
        let mut sheets = session.results().sheets.iter();
        let at = sheets.position(|known| known.name == sheet);
        if let Some(seen) = at.and_then(|at| Seen::of(session, at)) {
            self.wrongs.become_of_last(seen);
        }
    }

    /// What a file or a hand-over lacks, in words; empty where all is taken in.
    pub(super) fn left_out(&self) -> String {
        match self.wrongs_in_words().as_slice() {
            [] => String::new(),
            wrongs => format!(
                " Left out, as not taken in: {}; what stood there before is worked with.",
                wrongs.join("; ")
            ),
        }
    }

    /// Looks anew at what is worked from places that have one, where anything has changed.
    pub(super) fn look_at_resting(&mut self) {
        let Some(session) = self.door.session() else { return };
        let (changes, wrongs, _) = &self.resting;
        if *changes != self.changes || *wrongs != self.wrongs {
            let resting = self.wrongs.resting(session);
            self.resting = (self.changes, self.wrongs.clone(), resting);
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

    /// Puts those of all chosen places away.
    pub(super) fn put_chosen_wrongs_away(&mut self) {
        let Some((sheet, plan, (first, last))) = self.chosen_range() else {
            return;
        };
        let within =
            |at: At| (first.line..=last.line).contains(&at.line) && (first.column..=last.column).contains(&at.column);
        let Some(session) = self.door.session() else { return };
        if let Some(seen) = Seen::of(session, sheet) {
            self.wrongs
                .put_away_those(seen, |spot| plan.at(spot).is_some_and(within));
        }
    }

    /// Notes that some came or went: a step of its own, or a part of the edit that was made. While an edit is on its way it is not known yet
    /// which of them it is.
    pub(super) fn note_wrongs(&mut self, with_edit: bool) {
        let Some(session) = self.door.session() else { return };
        // Those that come back with an edit are on their way.
        if self.wrongs_return.is_none() && (with_edit || self.door.is_here()) {
            self.steps.note_texts(&self.wrongs, session.steps(), with_edit);
        }
    }

    /// Brings those back that there were, and goes where one is another one now. Those of an edit wait until it is taken back.
    pub(super) fn wrongs_again(&mut self, from: &Wrongs, to: Wrongs, with_edit: bool) {
        if with_edit {
            self.wrongs_return = Some(to);
            return;
        }
        let other = to.beside(from).or_else(|| from.beside(&to)).cloned();
        self.wrongs = to;
        let Some(session) = self.door.session() else { return };
        let mut sheets = (0..session.results().sheets.len()).filter_map(|at| Seen::of(session, at));
        if let Some((sheet, spot)) = other.and_then(|wrong| sheets.find_map(|seen| Some((seen.at, wrong.spot(seen)?))))
        {
            self.go_now(sheet, spot);
        }
    }

    /// All of them, with what would mend each.
    pub(super) fn wrongs_told(&self) -> Vec<NotTaken> {
        let Some(session) = self.door.session() else {
            return Vec::new();
        };
        let with_fixes = |(sheet, spot, words, why)| {
            let seen = Seen::of(session, sheet).map(|seen| seen.shown_in(self.system));
            let look = seen.and_then(|seen| self.opened_wrong(seen, spot)?.look);
            let faults = look.into_iter().flat_map(|look| look.faults);
            let fixes = faults.flat_map(|fault| fault.fixes).collect();
            NotTaken {
                sheet,
                spot,
                words,
                why,
                fixes,
            }
        };
        self.wrongs.told(session).into_iter().map(with_fixes).collect()
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
        let (_, spot) = self.chosen()?;
        self.opened_wrong(self.seen()?, spot)
    }

    /// The one of a place, as it would be if it were opened.
    fn opened_wrong(&self, seen: Seen<'_>, spot: Spot) -> Option<Editing> {
        let wrong = self.wrongs.at(seen, spot)?;
        let mut editing = Editing::open(seen.at, spot, wrong.text.clone(), seen.opened(spot));
        editing.consider(seen);
        editing.refused = Some(wrong.why.clone());
        Some(editing)
    }
}
