//! Keys and letters, in the order they were struck.

use std::collections::VecDeque;

use eframe::egui::{self, Event, Key};

use super::Window;
use crate::window::arrange::{At, Plan};
use crate::window::command::{Act, COMMANDS};
use crate::window::door::Typed;
use crate::window::grid::{choosing, editor_id, keys_id};
use crate::window::spot::{Field, Seen, Spot};
use crate::window::typing::{self, Editing, End};

impl Window {
    /// Takes the keys of this frame. Letters that the open text takes itself are left in the input.
    pub(super) fn keys(&mut self, ctx: &egui::Context) {
        let other = ctx
            .memory(|memory| memory.focused())
            .is_some_and(|id| id != keys_id() && id != editor_id());
        if other || self.dialog.is_some() || egui::Popup::is_any_open(ctx) {
            self.shortcuts(ctx);
            return;
        }
        let mut coming: VecDeque<Event> = std::mem::take(&mut self.pending);
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                let typed = typing::is_typed(event);
                if typed {
                    coming.push_back(event.clone());
                }
                !typed
            });
        });
        let mut left: Vec<Event> = Vec::new();
        while let Some(event) = coming.pop_front() {
            let taken = if self.editing.is_some() {
                self.key_of_text(ctx, &event, &mut left)
            } else {
                self.key_of_grid(ctx, &event)
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
        ctx.input_mut(|input| input.events.extend(left));
    }

    /// Commands work while a panel has the keys, as far as they need no place of the grid and no letters.
    fn shortcuts(&mut self, ctx: &egui::Context) {
        for command in COMMANDS {
            let Some(keys) = command.keys else { continue };
            let letters = matches!(
                command.act,
                Act::Copy | Act::Cut | Act::Paste | Act::Undo | Act::Redo | Act::Clear
            );
            let plain = keys.modifiers.is_none() && !is_function_key(keys.logical_key);
            if !letters && !plain && self.dialog.is_none() && ctx.input_mut(|input| input.consume_shortcut(&keys)) {
                self.acts.push(command.act);
            }
        }
    }

    /// A key while a text is open. `false`: it has to wait for the next frame.
    fn key_of_text(&mut self, ctx: &egui::Context, event: &Event, left: &mut Vec<Event>) -> bool {
        let Some(editing) = &mut self.editing else { return true };
        if let Some(step) = choosing(event) {
            if !left.is_empty() {
                return false;
            }
            let count = editing.offers.len();
            if count > 0 {
                let last = count - 1;
                editing.chosen = Some(match (editing.chosen, step > 0) {
                    (None, true) => 0,
                    (None, false) => last,
                    (Some(at), true) => {
                        if at >= last {
                            0
                        } else {
                            at + 1
                        }
                    }
                    (Some(at), false) => at.checked_sub(1).unwrap_or(last),
                });
            }
            return true;
        }
        if let Some(end) = typing::end(event) {
            if !left.is_empty() {
                return false;
            }
            if let (Some(chosen), End::Down(_) | End::Right(_)) = (editing.chosen, end) {
                editing.accept(chosen);
                return true;
            }
            return self.end_typing(ctx, end);
        }
        if editing.fresh {
            return editing.take(event);
        }
        if let Event::Paste(text) = event {
            left.push(Event::Paste(text.replace(['\n', '\r'], " ")));
        } else {
            left.push(event.clone());
        }
        true
    }

    /// Ends typing: what was typed becomes a command, or the place stays open and says why not.
    pub(super) fn end_typing(&mut self, ctx: &egui::Context, end: End) -> bool {
        if self.editing.is_none() {
            return true;
        }
        if end == End::Away {
            self.editing = None;
            ctx.memory_mut(|memory| memory.request_focus(keys_id()));
            return true;
        }
        if self.door.session().is_none() {
            return false;
        }
        if !self.commit() {
            return true;
        }
        ctx.memory_mut(|memory| memory.request_focus(keys_id()));
        let (lines, columns) = match end {
            End::Down(false) | End::Under => (1, 0),
            End::Down(true) | End::Up => (-1, 0),
            End::Right(false) => (0, 1),
            End::Right(true) => (0, -1),
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
        if editing.text == editing.was && editing.refused.is_none() {
            return true;
        }
        let Some(session) = self.door.session() else {
            self.editing = Some(editing);
            return false;
        };
        let Some(seen) = Seen::of(session, editing.sheet) else {
            return true;
        };
        let name = seen
            .quantity(spot.quantity)
            .map_or(String::new(), |quantity| quantity.name.to_string());
        let words = match spot.field {
            Field::Value(_) | Field::Formula => format!("set {name}"),
            field => format!("{} of {name}", field.word()),
        };
        match seen.change(spot, &editing.text) {
            Ok(changes) => {
                let typed = Typed {
                    sheet: editing.sheet,
                    spot,
                    text: editing.text,
                };
                self.apply(words, changes, Some(typed));
                true
            }
            Err(why) => {
                self.editing = Some(Editing {
                    refused: Some(why),
                    to: Some(editing.cursor),
                    ..editing
                });
                false
            }
        }
    }

    /// A key while no text is open. `false`: it has to wait.
    fn key_of_grid(&mut self, ctx: &egui::Context, event: &Event) -> bool {
        // Changes that were asked for run first, so that what a key finds is what its user sees.
        if self.door.session().is_none() || !self.acts.is_empty() {
            return false;
        }
        match event {
            Event::Text(text) if !text.trim().is_empty() => self.begin_with(text),
            Event::Ime(egui::ImeEvent::Commit(text)) if !text.trim().is_empty() => self.begin_with(text),
            Event::Copy => self.acts.push(Act::Copy),
            Event::Cut => self.acts.push(Act::Cut),
            Event::Paste(text) => self.paste(text),
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => {
                // A plus needs Shift on some keyboards.
                let held = |keys: egui::KeyboardShortcut| {
                    modifiers.matches_exact(keys.modifiers)
                        || *key == Key::Plus && modifiers.matches_logically(keys.modifiers)
                };
                let found = COMMANDS
                    .iter()
                    .find(|command| command.keys.is_some_and(|keys| keys.logical_key == *key && held(keys)));
                match found {
                    // Copy, cut and paste come as events of their own.
                    Some(command) if matches!(command.act, Act::Copy | Act::Cut | Act::Paste) => {}
                    Some(command) => self.acts.push(command.act),
                    None => self.move_by(ctx, *key, *modifiers),
                }
            }
            _ => {}
        }
        true
    }

    fn move_by(&mut self, _: &egui::Context, key: Key, modifiers: egui::Modifiers) {
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
            Key::Enter => return self.step(1, 0, false),
            Key::Tab if modifiers.shift => return self.step(0, -1, false),
            Key::Tab => return self.step(0, 1, false),
            Key::Backspace => return self.begin_with(""),
            _ => return,
        };
        self.step(lines, columns, modifiers.shift);
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
        if let Some((sheet, spot)) = self.chosen() {
            let was = self.seen().map_or(String::new(), |seen| seen.typed(spot));
            self.editing = Some(Editing::open(sheet, spot, text.to_owned(), was));
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
        let text = seen.typed(spot);
        self.editing = Some(Editing::open(sheet, spot, text.clone(), text));
    }
}

fn is_function_key(key: Key) -> bool {
    matches!(
        key,
        Key::F1 | Key::F2 | Key::F3 | Key::F4 | Key::F5 | Key::F6 | Key::F7 | Key::F8 | Key::F9 | Key::F10
    )
}
