//! Keys and letters, in the order they were struck.

use std::collections::VecDeque;
use std::time::Instant;

use eframe::egui::{self, Event, Id, Key, Modifiers};

use super::told::About;
use super::{Comes, Window};
use crate::fault::Fault;
use crate::window::arrange::{At, Plan};
use crate::window::command::{Act, COMMANDS};
use crate::window::door::Typed;
use crate::window::grid::{choosing, editor_id, keys_id};
use crate::window::live;
use crate::window::many;
use crate::window::panels::Panel;
use crate::window::sheets;
use crate::window::spot::{Field, NEW, Seen, Spot};
use crate::window::typing::{self, Editing, End};
use crate::workbook::Form;

/// Places of a line that were typed one after the other with Tab between them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    sheet: usize,
    /// Where it goes along, among the lines of the plan.
    line: usize,
    /// The column of its first place.
    from: usize,
}

impl Window {
    /// Takes the keys of this frame, unless a question, a field of a panel or a menu has them.
    ///
    /// Which widget of the grid has the focus does not matter, and the arrows and Tab do not move it: else the letters that
    /// come before the next frame would go nowhere.
    pub(super) fn keys(&mut self, ctx: &egui::Context) {
        without_letters_of_commands(ctx);
        let comes = self.field_comes();
        let asks = self.dialog.is_some() || comes;
        // Who drags and reads in a plot types in the grid: what the slider or the picture has no use for goes there.
        if self.curves.signs(ctx).is_some_and(|signs| is_for_grid(ctx, signs)) {
            ctx.memory_mut(|memory| memory.request_focus(keys_id()));
        }
        // Esc takes the keys from a field before the field has seen it.
        let now = keys_elsewhere(ctx);
        let is_left =
            ctx.memory(|memory| memory.focused()).is_none() && ctx.input(|input| input.key_pressed(Key::Escape));
        let left = self.had_keys.filter(|_| is_left);
        // What was typed before it is still the field's.
        if let Some(field) = left
            && (!self.pending.is_empty() || !begins_with_escape(ctx))
        {
            ctx.memory_mut(|memory| memory.request_focus(field));
        }
        let elsewhere = now || left.is_some();
        if asks || elsewhere || egui::Popup::is_any_open(ctx) {
            // A field that is about to have the keys gets those that came before it was there.
            if comes {
                self.pending.extend(typed_events(ctx));
                ctx.request_repaint();
            } else {
                self.keys_of_field(ctx);
            }
            // Who goes on elsewhere has typed what was open.
            let looks_up = self.panel == Some(Panel::Functions) && self.library.has_keys();
            if elsewhere && !asks && !looks_up && self.editing.as_ref().is_some_and(|editing| editing.refused.is_none())
            {
                let _ = self.commit();
            }
            self.shortcuts(ctx);
            return;
        }
        ctx.memory_mut(|memory| memory.move_focus(egui::FocusDirection::None));
        let mut coming: VecDeque<Event> = std::mem::take(&mut self.pending);
        let struck = typed_events(ctx);
        if !struck.is_empty() {
            self.struck = Instant::now();
        }
        coming.extend(struck);
        let mut composed: Vec<Event> = Vec::new();
        while let Some(event) = coming.pop_front() {
            let taken = match &event {
                // An input method writes into the text on the screen.
                Event::Ime(_) if self.editing.is_some() => {
                    composed.push(event.clone());
                    true
                }
                _ if self.editing.is_some() => self.key_of_text(ctx, &event),
                _ => self.key_of_grid(&event),
            };
            if !taken {
                coming.push_front(event);
                break;
            }
        }
        if !coming.is_empty() {
            self.pending = coming;
            ctx.request_repaint();
        }
        ctx.input_mut(|input| input.events.extend(composed));
    }

    /// Whether a field that was asked for is still to be drawn. Until it has the keys, what is typed is kept for it and nothing of it
    /// reaches the grid.
    fn field_comes(&self) -> bool {
        let of_panel = match self.panel {
            Some(Panel::Lines) => self.lines.begins(),
            Some(Panel::Keys | Panel::Functions) => self.search_fresh,
            _ => false,
        };
        self.find_fresh || self.panel_fresh || of_panel || self.dialog.as_ref().is_some_and(super::Dialog::is_fresh)
    }

    /// Gives a field the keys that came before it was there. What follows Enter, Esc or a command comes with the next frame: only then
    /// it is known who has the keys.
    fn keys_of_field(&mut self, ctx: &egui::Context) {
        let mut events: Vec<Event> = self.pending.drain(..).collect();
        ctx.input_mut(|input| {
            events.append(&mut input.events);
            let ends = |event: &Event| {
                let key = match event {
                    Event::Key { key, pressed: true, .. } => *key,
                    _ => return false,
                };
                matches!(key, Key::Enter | Key::Escape) || command_of(event).is_some_and(opens_elsewhere)
            };
            // What is offered is known with the letters before it only once they were looked at.
            let asks = |event: &Event| {
                matches!(
                    event,
                    Event::Key {
                        key: Key::ArrowDown | Key::ArrowUp | Key::Tab,
                        pressed: true,
                        ..
                    }
                )
            };
            let typed = events
                .iter()
                .position(|event| matches!(event, Event::Text(_) | Event::Paste(_)));
            let asked = typed.and_then(|from| Some(from + events.get(from..)?.iter().position(asks)?));
            // Esc comes alone: it takes the keys from the field.
            let end = match events.iter().position(ends) {
                Some(at) if at > 0 && events.get(at).is_some_and(is_escape) => at,
                Some(at) => at + 1,
                None => events.len(),
            };
            let end = asked.map_or(end, |asked| asked.min(end));
            let (later, rest): (Vec<Event>, Vec<Event>) = events.split_off(end).into_iter().partition(typing::is_typed);
            self.pending = later.into();
            events.extend(rest);
            input.events = events;
        });
        // An Esc that waited takes the keys as one does that has just come.
        let escaped = ctx.input(|input| input.events.iter().any(is_escape));
        if escaped && let Some(field) = elsewhere(ctx) {
            ctx.memory_mut(|memory| memory.surrender_focus(field));
        }
        if !self.pending.is_empty() {
            ctx.request_repaint();
        }
    }

    /// Commands work while a panel has the keys, as far as they need no place of the grid and no letters.
    fn shortcuts(&mut self, ctx: &egui::Context) {
        if self.dialog.is_some() {
            return;
        }
        let acts = &mut self.acts;
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let act = command_of(event).filter(|act| !of_the_grid(*act) && !is_plain(event));
                acts.extend(act);
                act.is_none()
            });
        });
    }

    /// A key while a text is open. `false`: it has to wait for the next frame.
    fn key_of_text(&mut self, ctx: &egui::Context, event: &Event) -> bool {
        if !self.acts.is_empty() {
            return false;
        }
        let step = choosing(event);
        let end = typing::end(event);
        if step.is_some() || end.is_some() {
            // What is offered, and what is typed, is known only with the session.
            if !self.door.is_here() {
                return false;
            }
            self.consider();
        }
        let Some(editing) = &mut self.editing else { return true };
        let step = step.or(match end {
            Some(End::Under) if editing.chooses() => Some(1),
            Some(End::Up) if editing.chooses() => Some(-1),
            _ => None,
        });
        if let Some(step) = step {
            editing.choose(step > 0);
            return true;
        }
        if let Some(end) = end {
            if let (Some(chosen), End::Down(_) | End::Right(_)) = (editing.chosen, end) {
                editing.accept(chosen);
                return true;
            }
            return self.end_typing(ctx, end);
        }
        if let Some(act) = command_of(event).filter(|act| ends_typing(*act)) {
            self.acts.push(act);
            return true;
        }
        if let Some(copied) = editing.take(event) {
            ctx.copy_text(copied);
        }
        true
    }

    /// Looks at the open text where it changed.
    fn consider(&mut self) {
        let Some(session) = self.door.session() else { return };
        if let Some(editing) = &mut self.editing
            && let Some(seen) = Seen::of(session, editing.sheet)
        {
            editing.consider(seen.shown_in(self.system));
        }
    }

    /// Ends typing: what was typed becomes a command, or the place stays open and says why not.
    pub(super) fn end_typing(&mut self, ctx: &egui::Context, end: End) -> bool {
        if self.editing.is_none() {
            return true;
        }
        if end == End::Away {
            // What was said of a refused text goes with it.
            if let Some(editing) = self.editing.take() {
                if editing.refused.is_some() {
                    self.well(About::Change);
                }
                self.put_wrong_away(editing.sheet, editing.spot);
            }
            ctx.memory_mut(|memory| memory.request_focus(keys_id()));
            return true;
        }
        // A change is made from what stands there, so those asked for before have to be done first.
        if !self.door.is_here() {
            return false;
        }
        // From the open line Enter goes to the one that is open then.
        let open = self.editing.as_ref().filter(|editing| !editing.text.trim().is_empty());
        let begun = open.and_then(|editing| Some((editing.sheet, editing.spot.filter(|spot| spot.quantity == NEW)?)));
        let row = open.and_then(|editing| self.open_row(editing.sheet, editing.spot?));
        let typed_at = self.arrangement().map(|arrangement| arrangement.at).unwrap_or_default();
        if !self.commit() {
            return true;
        }
        // A text that is not taken in makes no line and no row.
        let is_wrong = |at: Option<(usize, Spot)>| at.is_some_and(|(sheet, spot)| self.is_wrong(sheet, spot));
        let begun = begun.filter(|begun| !is_wrong(Some(*begun)));
        let row = row.filter(|row| !is_wrong(Some(*row)));
        if end == End::Right(false) && self.begins_of_run(typed_at.line).is_none() {
            let (line, from) = (typed_at.line, typed_at.column);
            self.run = Some(Run {
                sheet: self.sheet,
                line,
                from,
            });
        }
        if let Some((sheet, spot)) = row {
            self.after_row(sheet, spot, end);
            ctx.memory_mut(|memory| memory.request_focus(keys_id()));
            return true;
        }
        ctx.memory_mut(|memory| memory.request_focus(keys_id()));
        if let (Some((sheet, spot)), End::Down(false) | End::Under) = (begun, end) {
            self.comes = Some(Comes::Row(sheet, spot));
            return true;
        }
        let (lines, columns) = match end {
            End::Down(false) => {
                self.down();
                return true;
            }
            End::Under => (1, 0),
            End::Down(true) | End::Up => (-1, 0),
            End::Right(back) => {
                self.tab(back);
                return true;
            }
            End::Away => (0, 0),
        };
        self.step(lines, columns, false);
        true
    }

    /// Makes a command of the open text. `false` where it cannot stand there; then it stays open.
    pub(super) fn commit(&mut self) -> bool {
        let Some(editing) = self.editing.take() else {
            return true;
        };
        let Some(spot) = editing.spot else { return true };
        if editing.text == editing.was {
            self.put_wrong_away(editing.sheet, editing.spot);
            return true;
        }
        let Some(session) = self.door.session() else {
            self.editing = Some(editing);
            return false;
        };
        let Some(seen) = Seen::of(session, editing.sheet).map(|seen| seen.shown_in(self.system)) else {
            return true;
        };
        let name = seen
            .quantity(spot.quantity)
            .map_or(String::new(), |quantity| quantity.name.to_string());
        let words = match spot.field {
            _ if spot.quantity == NEW => "new line".to_owned(),
            Field::Value(_) | Field::Formula => format!("set {name}"),
            field => format!("{} of {name}", field.word()),
        };
        // What is typed in the open row of a list makes the row.
        let row = self.open_row(editing.sheet, spot);
        let blank = editing.text.trim().is_empty();
        if row.is_some() && blank {
            return true;
        }
        let refused = live::live(seen, spot, &editing.text).and_then(|live| live.refused().map(Fault::in_words));
        let empty = spot.quantity == NEW && blank;
        let made = match refused.filter(|_| !empty) {
            Some(why) => Err(why),
            None => match seen.unit_emptied(spot).filter(|_| blank) {
                Some(emptied) => emptied,
                None => seen.change(spot, &editing.text),
            },
        };
        let made = made.map(|changes| match (row, spot.field) {
            (Some(_), Field::Value(item)) => std::iter::once(many::make_row(seen, item)).chain(changes).collect(),
            _ => changes,
        });
        match made {
            Ok(changes) => {
                let also = seen.also(spot, &editing.text);
                if let (
                    Some((
                        _,
                        Spot {
                            field: Field::Value(item),
                            ..
                        },
                    )),
                    Some(plan),
                ) = (row, self.plan())
                {
                    self.hold(&plan, item, plan.rows());
                }
                let typed = Typed {
                    sheet: editing.sheet,
                    spot,
                    text: editing.text,
                };
                self.put_wrong_away(typed.sheet, Some(typed.spot));
                if typed.spot.quantity == NEW && !changes.is_empty() {
                    self.wrongs_join = self.contents.get(typed.sheet).map(|(name, ..)| name.clone());
                }
                self.apply(words, changes, Some(typed));
                if let Some(also) = also {
                    self.say(also, false);
                }
                true
            }
            // The line as a whole has no place of its own that it could stay at.
            Err(why) if spot.field != Field::Line => {
                self.keep_wrong(editing.sheet, spot, editing.text, why);
                true
            }
            Err(why) => {
                let mut editing = editing;
                editing.refused = Some(why);
                self.editing = Some(editing);
                false
            }
        }
    }

    /// A key while no text is open. `false`: it has to wait.
    fn key_of_grid(&mut self, event: &Event) -> bool {
        // Changes that were asked for run first, so that what a key finds is what its user sees.
        if !self.door.is_here() || !self.acts.is_empty() || !self.wishes.is_empty() {
            return false;
        }
        match event {
            Event::Text(text) if !text.trim().is_empty() => self.begin_with(text),
            Event::Ime(egui::ImeEvent::Commit(text)) if !text.trim().is_empty() => self.begin_with(text),
            Event::Copy => self.acts.push(Act::Copy),
            Event::Cut => self.acts.push(Act::Cut),
            // What is pasted into a workbook without a sheet makes one.
            Event::Paste(text) if self.contents.is_empty() && sheets::of(text).is_none() => {
                self.acts.push(Act::NewSheet);
                return false;
            }
            Event::Paste(text) => self.paste(text.clone()),
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => match command_of(event) {
                // Copy, cut and paste come as events of their own.
                Some(Act::Copy | Act::Cut | Act::Paste) => {}
                Some(act) => self.acts.push(act),
                None => self.move_by(*key, *modifiers),
            },
            _ => {}
        }
        true
    }

    fn move_by(&mut self, key: Key, modifiers: egui::Modifiers) {
        let page = isize::try_from(self.page).unwrap_or(20);
        let all = 1_isize << 40;
        let ctrl = modifiers.command;
        let (lines, columns) = match key {
            Key::ArrowUp if ctrl => (-all, 0),
            Key::ArrowDown if ctrl => (all, 0),
            Key::ArrowLeft if ctrl => (0, -all),
            Key::ArrowRight if ctrl => (0, all),
            Key::ArrowUp => (-1, 0),
            Key::ArrowDown => (1, 0),
            Key::ArrowLeft => (0, -1),
            Key::ArrowRight => (0, 1),
            Key::Home if ctrl => (-all, -all),
            Key::End if ctrl => (all, all),
            Key::Home => (0, -all),
            Key::End => (0, all),
            Key::PageUp => (-page, 0),
            Key::PageDown => (page, 0),
            Key::Enter if modifiers.shift => return self.step(-1, 0, false),
            Key::Enter => return self.down(),
            Key::Tab => return self.tab(modifiers.shift),
            Key::Backspace => return self.begin_with(""),
            Key::Escape => return self.put_away(),
            _ => return,
        };
        self.run = None;
        // In a list the first row comes before its headings.
        let at = self.arrangement().map(|arrangement| arrangement.at).unwrap_or_default();
        let heads = self.plan().map_or(0, |plan| plan.heads());
        let up = at.line.checked_sub(heads).and_then(|up| isize::try_from(up).ok());
        let lines = match up {
            Some(up) if lines == -all && heads > 0 => -up,
            _ => lines,
        };
        // The end of a list is its last row; the open one behind it is a step further.
        let rows = self
            .plan()
            .filter(|plan| plan.form == Form::List)
            .map(|plan| plan.last());
        let down = rows.and_then(|last| isize::try_from(last.checked_sub(at.line)?).ok());
        let lines = match down {
            Some(down) if lines == all && down > 0 => down,
            _ => lines,
        };
        if columns == -all
            && let Some(arrangement) = self.arrangement()
        {
            arrangement.to_start = true;
        }
        self.step(lines, columns, modifiers.shift);
    }

    /// One place on or back; from the last of a line to the first of the next, and back.
    fn tab(&mut self, back: bool) {
        let Some(plan) = self.plan() else { return };
        let at = self.arrangement().map(|arrangement| arrangement.at).unwrap_or_default();
        let last = plan.columns().saturating_sub(1);
        let across = isize::try_from(last).unwrap_or(0);
        match back {
            false if at.column >= last && at.line + 1 < plan.lines() => {
                self.step(1, -across, false);
                let (sheet, line) = (self.sheet, at.line + 1);
                self.run = self.run.take().map(|_| Run { sheet, line, from: 0 });
                if let Some(arrangement) = self.arrangement() {
                    arrangement.to_start = true;
                }
            }
            false => self.step(0, 1, false),
            true if at.column == 0 && at.line > 0 => self.step(-1, across, false),
            true => self.step(0, -1, false),
        }
    }

    /// The place in the open row of a list, where it is one.
    fn open_row(&self, sheet: usize, spot: Spot) -> Option<(usize, Spot)> {
        let items = self
            .seen()
            .filter(|seen| seen.at == sheet && seen.results.form == Form::List)?;
        let Field::Value(item) = spot.field else { return None };
        (item == items.results.items.len()).then_some((sheet, spot))
    }

    /// A row was begun: the place that comes next is chosen once it is there.
    fn after_row(&mut self, sheet: usize, spot: Spot, end: End) {
        let Field::Value(item) = spot.field else { return };
        let Some(plan) = self.plan() else { return };
        let column = plan.quantities.iter().position(|at| *at == spot.quantity).unwrap_or(0);
        let last = plan.columns().saturating_sub(1);
        let (item, column) = match end {
            End::Right(false) if column >= last => (item + 1, 0),
            End::Right(false) => (item, column + 1),
            End::Right(true) => (item, column.saturating_sub(1)),
            End::Down(true) | End::Up => (item.saturating_sub(1), column),
            End::Down(false) => {
                let at = self.arrangement().map(|arrangement| arrangement.at).unwrap_or_default();
                (item + 1, self.begins_of_run(at.line).unwrap_or(column))
            }
            End::Under | End::Away => (item + 1, column),
        };
        let Some(quantity) = plan.quantities.get(column).copied() else {
            return;
        };
        let field = Field::Value(item);
        self.comes = Some(Comes::Row(sheet, Spot { quantity, field }));
    }

    /// Leaves what was cut where it is, and closes what stands over the grid: the text to be found, then what was said.
    fn put_away(&mut self) {
        if self.cut.take().is_some() {
            self.well(About::Change);
        } else if self.find.take().is_none() {
            self.notices.clear();
        }
    }

    /// The column in which what was typed along a line, place by place with Tab, began.
    fn begins_of_run(&self, line: usize) -> Option<usize> {
        let run = self.run.as_ref()?;
        (run.sheet == self.sheet && run.line == line).then_some(run.from)
    }

    /// Goes a line down: below the chosen place, or below the first of those that were typed along the line.
    fn down(&mut self) {
        let at = self.arrangement().map(|arrangement| arrangement.at).unwrap_or_default();
        let from = self.begins_of_run(at.line);
        self.run = None;
        let columns = from.and_then(|from| isize::try_from(at.column.checked_sub(from)?).ok());
        self.step(1, -columns.unwrap_or(0), false);
    }

    /// Moves the choice.
    pub(super) fn step(&mut self, lines: isize, columns: isize, extend: bool) {
        let page = self.page;
        let Some(plan) = self.plan() else { return };
        if let Some(arrangement) = self.arrangement() {
            arrangement.step(&plan, lines, columns, extend);
            arrangement.follow(&plan, page);
        }
    }

    pub(super) fn plan(&self) -> Option<Plan> {
        self.picture.as_ref().map(|picture| picture.plan.clone())
    }

    /// Opens the chosen place with letters in place of what stood there.
    fn begin_with(&mut self, text: &str) {
        self.choose_one();
        if let Some((sheet, spot)) = self.chosen() {
            let was = self.seen().map_or(String::new(), |seen| seen.opened(spot));
            self.editing = Some(Editing::open(sheet, spot, text.to_owned(), was));
        }
    }

    /// Opens a place to amend what was typed there: the cursor goes to the number of a value, and a press chooses it.
    pub(super) fn amend(&mut self, pressed: Option<At>) {
        self.open_place(pressed, None);
        if let Some(editing) = &mut self.editing {
            editing.at_number(pressed.is_some());
        }
    }

    /// Opens a place with what was typed there.
    pub(super) fn open_place(&mut self, at: Option<At>, field: Option<Field>) {
        let page = self.page;
        let Some(plan) = self.plan() else { return };
        if let (Some(at), Some(arrangement)) = (at, self.arrangement()) {
            arrangement.choose(at, false);
            arrangement.follow(&plan, page);
        }
        if field.is_none() {
            self.choose_one();
        }
        let Some((sheet, mut spot)) = self.chosen() else { return };
        if let Some(field) = field {
            let wanted = Spot { field, ..spot };
            // A field that has no place of its own is typed in the chosen one.
            if let (Some(at), Some(arrangement)) = (plan.at(wanted), self.arrangement()) {
                arrangement.choose(at, false);
            }
            spot = wanted;
        }
        let Some(seen) = self.seen() else { return };
        let was = seen.opened(spot);
        let wrong = self.wrongs.at(seen, spot);
        let mut editing = Editing::open(
            sheet,
            spot,
            wrong.map_or_else(|| was.clone(), |wrong| wrong.text.clone()),
            was,
        );
        editing.refused = wrong.map(|wrong| wrong.why.clone());
        self.editing = Some(editing);
    }
}

/// Whether something beside the grid has the keys.
pub(super) fn keys_elsewhere(ctx: &egui::Context) -> bool {
    elsewhere(ctx).is_some()
}

/// What has the keys beside the grid.
pub(super) fn elsewhere(ctx: &egui::Context) -> Option<Id> {
    let focused = ctx.memory(|memory| memory.focused());
    focused.filter(|id| *id != keys_id() && *id != editor_id())
}

fn is_escape(event: &Event) -> bool {
    matches!(
        event,
        Event::Key {
            key: Key::Escape,
            pressed: true,
            ..
        }
    )
}

/// Whether Esc is the first of what was typed since the last frame.
fn begins_with_escape(ctx: &egui::Context) -> bool {
    ctx.input(|input| {
        input
            .events
            .iter()
            .find(|event| typing::is_typed(event))
            .is_some_and(is_escape)
    })
}

/// Whether something is struck that what has the keys beside the grid has no use for, but for these signs, and the grid has.
fn is_for_grid(ctx: &egui::Context, signs: &str) -> bool {
    let is = |event: &Event| match event {
        Event::Text(text) | Event::Ime(egui::ImeEvent::Commit(text)) => {
            !text.trim().is_empty() && !signs.contains(text.as_str())
        }
        Event::Paste(_) | Event::Copy | Event::Cut => true,
        Event::Key {
            key,
            pressed: true,
            modifiers,
            ..
        } => {
            // A picture goes by all arrows, a slider by two of them.
            let goes_on = *key == Key::Enter || signs.is_empty() && matches!(key, Key::ArrowUp | Key::ArrowDown);
            modifiers.is_none() && goes_on || command_of(event).is_some_and(of_the_grid)
        }
        _ => false,
    };
    ctx.input(|input| input.events.iter().any(is))
}

/// Some systems send the letter of a key as text although Alt was held: it is not typed, whether the keys are a command or not. A
/// letter that is made with Alt where letters are made so is.
fn without_letters_of_commands(ctx: &egui::Context) {
    let makes_letters = ctx.os().is_mac();
    ctx.input_mut(|input| {
        let mut held: Option<(Key, Modifiers, bool)> = None;
        input.events.retain(|event| {
            let before = held.take();
            match event {
                Event::Text(text) => before.is_none_or(|(key, modifiers, is_command)| {
                    // Behind a command its field may be typed in already.
                    let may_follow = makes_letters || modifiers.ctrl || is_command;
                    may_follow && !text.eq_ignore_ascii_case(key.symbol_or_name())
                }),
                Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } => {
                    held = Some((*key, *modifiers, command_of(event).is_some())).filter(|_| modifiers.alt);
                    true
                }
                _ => true,
            }
        });
    });
}

/// Takes what comes from the keyboard out of the input.
fn typed_events(ctx: &egui::Context) -> Vec<Event> {
    ctx.input_mut(|input| {
        let (typed, rest) = std::mem::take(&mut input.events)
            .into_iter()
            .partition(typing::is_typed);
        input.events = rest;
        typed
    })
}

/// The command that a key stands for.
fn command_of(event: &Event) -> Option<Act> {
    let Event::Key {
        key,
        pressed: true,
        modifiers,
        ..
    } = event
    else {
        return None;
    };
    // A plus needs Shift on some keyboards.
    let held = |keys: egui::KeyboardShortcut| {
        modifiers.matches_exact(keys.modifiers) || *key == Key::Plus && modifiers.matches_logically(keys.modifiers)
    };
    COMMANDS
        .iter()
        .find(|command| command.keys.is_some_and(|keys| keys.logical_key == *key && held(keys)))
        .map(|command| command.act)
}

/// Whether a command may be asked for while a text is open; the text is typed first. The others belong to the open text.
fn ends_typing(act: Act) -> bool {
    !matches!(
        act,
        Act::Undo
            | Act::Redo
            | Act::Edit
            | Act::Copy
            | Act::Cut
            | Act::Paste
            | Act::Clear
            | Act::ChooseAll
            | Act::CaseBack
            | Act::CaseOn
            | Act::Delete
            | Act::Wider
            | Act::Narrower
    )
}

/// Whether a command works on the chosen place: while a field beside the grid has the keys, they are the field's.
fn of_the_grid(act: Act) -> bool {
    !ends_typing(act)
        || matches!(
            act,
            Act::Insert
                | Act::InsertAfter
                | Act::MoveBack
                | Act::MoveOn
                | Act::CopyLines
                | Act::CopyCase
                | Act::InsertCase
                | Act::DeleteCase
                | Act::FillDown
                | Act::ChooseColumn
                | Act::ChooseLine
                | Act::Role
                | Act::Hide
                | Act::Pin
                | Act::SortUp
                | Act::SortDown
                | Act::SortNone
                | Act::Group
                | Act::Fold
        )
}

/// Whether the keys may go elsewhere with a command: what is typed behind it is not for who has them now.
fn opens_elsewhere(act: Act) -> bool {
    ends_typing(act) && !matches!(act, Act::FindNext)
}

/// Whether an event is a key that a field takes as it is.
fn is_plain(event: &Event) -> bool {
    matches!(event, Event::Key { key, modifiers, .. } if modifiers.is_none() && !is_function_key(*key))
}

fn is_function_key(key: Key) -> bool {
    matches!(
        key,
        Key::F1
            | Key::F2
            | Key::F3
            | Key::F4
            | Key::F5
            | Key::F6
            | Key::F7
            | Key::F8
            | Key::F9
            | Key::F10
            | Key::F11
            | Key::F12
    )
}
