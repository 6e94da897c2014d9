//! How sheets are arranged, as steps in the one line of what is taken back and done again; and where such a step is seen.
//!
//! Always: a place that is chosen stays chosen when rows or columns around it come, go or change their order.
//! Not known here: what a step of the session changed.

use std::sync::Arc;

use eframe::egui;

use super::Window;
use super::told::About;
use crate::quantity::System;
use crate::session::Session;
use crate::window::arrange::{Arranged, Arrangement, At, Plan, Whole};
use crate::window::door::Todo;
use crate::window::newer::Called;
use crate::window::panels::Panel;
use crate::window::spot::{Field, Seen, Spot};
use crate::window::steps::{Step, What};
use crate::workbook::Form;
use crate::workbook::change::Touches;

/// A place of a list that was chosen: which row it was, and what its column was called.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    row: usize,
    column: Option<Arc<str>>,
}

impl Window {
    /// Notes how the sheet in sight is arranged; what has changed is a step. While the mouse is held it is not done yet.
    pub(super) fn note_arranged(&mut self, ctx: &egui::Context) {
        let (Some(session), Some(picture)) = (self.door.session(), &self.picture) else {
            return;
        };
        if ctx.input(|input| input.pointer.any_down()) {
            return;
        }
        let edits = session.steps();
        if let Some(arrangement) = self.arrangements.get(&picture.name) {
            let _ = self.steps.note(&picture.name, &arrangement.by, edits);
        }
    }

    /// What a file that is handed over holds beside what is seen here.
    pub(super) fn for_the_screen(&self) -> String {
        let all = || self.arrangements.values().map(|arrangement| &arrangement.by);
        let hidden = match all().map(|by| by.hidden.len()).sum() {
            0_usize => "",
            1 => " The hidden quantity is in it as well: hiding is for the screen.",
            _ => " The hidden quantities are in it as well: hiding is for the screen.",
        };
        let narrowed = all().any(|by| by.rows.filter.is_some());
        let ordered = all().any(|by| by.rows.order.is_some());
        let rows = match (narrowed, ordered) {
            (false, false) => "",
            (true, false) => " All rows are in it: which of them are shown is for the screen.",
            (false, true) => " The rows are in it as the list has them: their order is for the screen.",
            (true, true) => {
                " All rows are in it as the list has them: which of them are shown, and their order, is for the screen."
            }
        };
        let units = match self.system {
            System::AsWritten => "",
            _ => " Values are in the units of the workbook: those that are shown are for the screen.",
        };
        format!("{hidden}{rows}{units}")
    }

    /// What a step between edits changed, with cases by their names.
    pub(super) fn step_in_words(&self, step: &Step) -> String {
        let words = step.words();
        let case = words
            .strip_prefix("width of case ")
            .and_then(|at| at.parse::<usize>().ok());
        let What::Arranged { sheet: name, .. } = &step.what else {
            return words;
        };
        let sheets = self.door.session().map(|session| &session.results().sheets);
        let sheet = sheets.and_then(|sheets| sheets.iter().find(|sheet| sheet.name == *name));
        match (case, sheet) {
            (Some(case), Some(sheet)) => match sheet.items.get(case) {
                Some(name) if !name.is_empty() => format!("width of {name}"),
                _ => "width of the values".to_owned(),
            },
            _ => words,
        }
    }

    /// Takes a step between edits back, or does it again, where it is the next in the line.
    pub(super) fn step_between(&mut self, ctx: &egui::Context, back: bool) -> bool {
        self.note_arranged(ctx);
        self.note_wrongs(false);
        let Some(edits) = self.door.session().map(Session::steps) else {
            return false;
        };
        loop {
            let step = if back {
                self.steps.back(edits)
            } else {
                self.steps.again(edits)
            };
            let Some(step) = step else { return false };
            let words = self.step_in_words(&step);
            let of_edit = step.joined && matches!(step.what, What::Texts { .. });
            let done = match step.what {
                What::Arranged { sheet, before, after } => {
                    self.arrange_again(&sheet, if back { *before } else { *after })
                }
                What::Texts { before, after } => {
                    let (from, to) = if back { (after, before) } else { (before, after) };
                    self.wrongs_again(&from, to, step.joined && back);
                    true
                }
            };
            if done {
                // What comes or goes with an edit is told with it.
                if !of_edit {
                    self.told_step(back, &words, "");
                }
                return true;
            }
        }
    }

    /// Arranges a sheet as it was; one that went, or has another name now, is arranged no more.
    fn arrange_again(&mut self, name: &Arc<str>, by: Arranged) -> bool {
        let Some(sheet) = self.contents.iter().position(|(known, ..)| known == name) else {
            return false;
        };
        self.turn_now(sheet);
        let rows = (!by.rows.is_all()).then(|| by.rows.clone());
        self.rearranged(None, |arrangement| {
            if by.rows.is_all() {
                arrangement.order = None;
            }
            arrangement.by = by;
            arrangement.widths_set += 1;
        });
        if let Some(rows) = rows {
            self.door.ask(Todo::Rows(name.clone(), rows));
        }
        true
    }

    /// Shows another sheet.
    pub(super) fn turn_now(&mut self, sheet: usize) {
        if self.sheet != sheet {
            self.sheet = sheet;
            self.refresh();
            self.take_picture();
        }
    }

    /// Arranges a sheet anew, the one in sight where none is named. What was chosen stays chosen and in sight.
    pub(super) fn rearranged(&mut self, sheet: Option<&Arc<str>>, change: impl FnOnce(&mut Arrangement)) {
        let name = sheet.or(self.picture.as_ref().map(|picture| &picture.name)).cloned();
        let Some(name) = name else { return };
        let page = self.page;
        let arrangement = self.arrangements.entry(name.clone()).or_default();
        let seen = self.door.session().and_then(|session| {
            let at = session.results().sheets.iter().position(|sheet| sheet.name == name)?;
            Seen::of(session, at)
        });
        let chosen = seen.and_then(|seen| Plan::of(seen, arrangement).spot(arrangement.at));
        change(arrangement);
        let Some(seen) = seen else { return };
        let plan = Plan::of(seen, arrangement);
        match chosen.and_then(|spot| plan.at(spot)) {
            Some(at) if at == arrangement.at => {}
            // What was chosen beside it has gone elsewhere.
            Some(at) => arrangement.choose(at, false),
            None => arrangement.choose(plan.kept(arrangement.at), false),
        }
        arrangement.follow(&plan, page);
    }

    /// The row and the column of a list that were chosen before a newer one came in, by what they were called then.
    pub(super) fn chosen_before(&self, called: Vec<Called>) -> Vec<(Called, Chosen)> {
        let chosen = |called: Called| {
            let arrangement = self.arrangements.get(&called.list)?;
            // A column chosen as a whole goes on from the first row.
            let is_row = arrangement.whole != Some(Whole::Columns);
            let row = arrangement
                .row(arrangement.at.line, called.rows.len())
                .filter(|_| is_row)?;
            let is_shown = |name: &&Arc<str>| !arrangement.by.hidden.contains(*name);
            let mut shown = called.columns.iter().filter(is_shown);
            let column = shown.nth(arrangement.at.column).cloned();
            Some((called, Chosen { row, column }))
        };
        called.into_iter().filter_map(chosen).collect()
    }

    /// Chooses them where they stand now, and as far down the screen as they were.
    pub(super) fn choose_again(&mut self, all: Vec<(Called, Chosen)>) {
        let page = self.page;
        for (called, Chosen { row, column }) in all {
            let Some(session) = self.door.session() else { return };
            let sheets = &session.results().sheets;
            let at = sheets.iter().position(|sheet| sheet.name == called.list);
            let Some(seen) = at.and_then(|at| Seen::of(session, at)) else {
                continue;
            };
            let Some(arrangement) = self.arrangements.get_mut(&called.list) else {
                continue;
            };
            let Some(now) = called.row_now(row, &seen.results.items) else {
                continue;
            };
            let plan = Plan::of(seen, arrangement);
            let named = |at: &usize| seen.quantity(*at).map(|known| &known.name) == column.as_ref();
            let column = plan.quantities.iter().position(named).unwrap_or(arrangement.at.column);
            let spot = plan.quantities.get(column).map(|quantity| Spot {
                quantity: *quantity,
                field: Field::Value(now),
            });
            if let Some(at) = spot.and_then(|spot| plan.at(spot)) {
                let from_top = arrangement.at.line.saturating_sub(arrangement.top);
                arrangement.top = at.line.saturating_sub(from_top);
                match arrangement.whole {
                    Some(Whole::Lines) => arrangement.choose_line(&plan, at.line, false),
                    _ => arrangement.choose(at, false),
                }
                arrangement.follow(&plan, page);
            }
        }
    }

    /// Chooses the first row of a list, in the chosen column.
    pub(super) fn choose_first(&mut self, list: &Arc<str>) {
        let Some(arrangement) = self.arrangements.get_mut(list) else {
            return;
        };
        let at = self.door.session().and_then(|session| {
            let at = session.results().sheets.iter().position(|sheet| sheet.name == *list)?;
            let plan = Plan::of(Seen::of(session, at)?, arrangement);
            let column = arrangement.at.column;
            Some(plan.kept(At {
                line: plan.heads(),
                column,
            }))
        });
        arrangement.top = 0;
        if let Some(at) = at {
            arrangement.choose(at, false);
        }
    }

    /// Says what was taken back or done again.
    pub(super) fn told_step(&mut self, back: bool, words: &str, place: &str) {
        let begin = if back { "Taken back" } else { "Done again" };
        self.tell(About::Step, format!("{begin}: {words}{place}."), false);
    }

    /// An edit was taken back or done again: its place is chosen and in sight, or it is said where it is.
    pub(super) fn stepped(&mut self, back: bool, words: &str, at: Option<&Touches>) {
        // What was dragged beside the plots of another sheet is seen there.
        let is_seen = |at: &&Touches| {
            !(at.sheet != self.sheet && self.panel == Some(Panel::Curves) && self.curves.has_dragged(words))
        };
        let place = at.filter(is_seen).map_or(String::new(), |at| self.lead_to(at));
        self.told_step(back, words, &place);
    }

    /// Chooses a place that a change touches, as far as it is shown; gives the place in words.
    fn lead_to(&mut self, at: &Touches) -> String {
        self.turn_now(at.sheet.min(self.contents.len().saturating_sub(1)));
        let page = self.page;
        let Some(seen) = self.door.session().and_then(|session| Seen::of(session, self.sheet)) else {
            return String::new();
        };
        let is_list = seen.results.form == Form::List;
        let arrangement = self.arrangements.entry(seen.results.name.clone()).or_default();
        let plan = Plan::of(seen, arrangement);
        let known = at.quantity.iter().find_map(|name| {
            let mut quantities = seen.results.quantities.iter();
            quantities.position(|quantity| quantity.name == *name)
        });
        // Without a quantity of its own a row is seen where the choice stands.
        let chosen = plan.spot(arrangement.at);
        let quantity = known.or(chosen.filter(|_| at.item.is_some()).map(|spot| spot.quantity));
        let item = at.item.filter(|item| *item < seen.results.items.len());
        let name = item
            .and_then(|item| seen.results.items.get(item))
            .filter(|name| !name.is_empty());
        let mut words = match (item, name) {
            (Some(_), Some(name)) => format!(" ({name}"),
            (Some(item), None) if is_list => format!(" (row {}", item + 1),
            _ => String::new(),
        };
        if let Some(quantity) = quantity {
            let field = match (item, chosen) {
                (Some(item), _) => Field::Value(item),
                // The whole line is seen from wherever the choice stands in it.
                (None, Some(spot)) if spot.quantity == quantity => spot.field,
                (None, _) if is_list => Field::Symbol,
                (None, _) => Field::Value(0),
            };
            match plan.at(Spot { quantity, field }) {
                Some(place) => {
                    arrangement.choose(place, false);
                    arrangement.follow(&plan, page);
                }
                None if words.is_empty() => words.push_str(" (not shown here"),
                None => words.push_str(", not among what is shown"),
            }
        }
        if at.more > 0 && !words.is_empty() {
            words.push_str(&format!(" and {} more places", at.more));
        }
        if !words.is_empty() {
            words.push(')');
        }
        words
    }
}
