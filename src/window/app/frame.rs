//! One frame: what stands where on the screen.

use std::borrow::Cow;
use std::time::Instant;

use eframe::egui::{self, Align, Layout, Panel as Side, RichText, ScrollArea, Ui};

use super::contents::OF_SHEET;
use super::dialog::Next;
use super::notices::giving_way;
use super::told::About;
use super::{Aside, Window};
use crate::session::Session;
use crate::window::calm;
use crate::window::command::{self, Act, COMMANDS, Command, Group};
use crate::window::door::{Arrived, Stamp, Todo};
use crate::window::grid::{self, Done, Doubts, For, Picture, Sight, menus};
use crate::window::hint;
use crate::window::look;
use crate::window::panels::curves::{Beside, Curves};
use crate::window::panels::faults::Faults;
use crate::window::panels::lines::Lines;
use crate::window::panels::report::Reading;
use crate::window::panels::unread;
use crate::window::panels::{Panel, Wish, draw_commas, keys, report, working};
use crate::window::readings::Readings;
use crate::window::renames::Names;
use crate::window::spot::{Field, Seen, Spot};
use crate::window::start;
use crate::window::steps::Steps;
use crate::window::untaken;
use crate::workbook::Form;

/// Below this height a window is low: what stands beside the grid yields, in points.
pub(super) const LOW: f32 = 420.0;

/// Width of the grid beside a wide panel: labels that give way, symbols, a value, its unit.
const BESIDE_WIDE: f32 = 344.0;

/// Height that a menu leaves to the bar it hangs from, and air below.
const BESIDE_MENU: f32 = 60.0;

/// What is said of kept work that was taken.
const KEPT: &str =
    "This is the kept work. Take back brings what was here before it; the file stays as it is until you save.";

/// How many letters of a note have room beside each other, in tens so that a drawn edge does not break it anew with each point.
fn letters_in(room: f32) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Some hundred.
    let letters = ((room - 90.0) / 7.0).max(20.0) as usize;
    letters / 10 * 10
}

/// Rows of a list that are in sight at least beside its headings.
const FEW_ROWS: usize = 3;

/// How many lines of a page a note may take: in a low window a value is seen before the words about it.
fn rows_of_notes(page: usize) -> usize {
    (page / 3).clamp(1, 12)
}

/// What somebody has to answer.
#[derive(Clone, Copy, Debug)]
pub(super) enum Offer {
    /// Another program has changed the file.
    Outside,
    /// Work of this workbook that was kept.
    Kept,
    /// Work of a workbook without a file that was kept.
    Left,
    /// The open file cannot be written.
    Closed,
    /// Numbers with a decimal comma, in a sheet.
    Commas(usize),
}

impl Offer {
    /// By what its row is remembered.
    pub(super) fn key(self) -> &'static str {
        match self {
            Offer::Outside => "outside",
            Offer::Kept => "kept",
            Offer::Left => "left",
            Offer::Closed => "closed",
            Offer::Commas(_) => "commas",
        }
    }
}

/// How long ago something was, in words; none where the clock says that it is still to come.
fn ago(at: std::time::SystemTime) -> Option<String> {
    let seconds = at.elapsed().ok()?.as_secs();
    let of = |count: u64, one: &str| match count {
        1 => format!("1 {one} ago"),
        more => format!("{more} {one}s ago"),
    };
    Some(match seconds {
        0..60 => "just now".to_owned(),
        60..3600 => of(seconds / 60, "minute"),
        3600..86_400 => of(seconds / 3600, "hour"),
        more => of(more / 86_400, "day"),
    })
}

/// How many checks do not hold, in words; none where all do.
pub(super) fn failing_words(count: usize) -> Option<String> {
    match count {
        0 => None,
        1 => Some("✕ 1 check does not hold".to_owned()),
        more => Some(format!("✕ {more} checks do not hold")),
    }
}

/// What a command does, and its keys.
fn with_keys(act: Act) -> String {
    command::of(act).map_or_else(String::new, |command| {
        let keys = command.keys.as_ref().map(command::keys).unwrap_or_default();
        format!("{} {keys}", command.help)
    })
}

/// Gives the keys to the first thing that is drawn next and takes them, as Tab does.
fn keys_to_what_follows(ui: &mut Ui) {
    let before = egui::Id::unique("before what takes the keys");
    ui.memory_mut(|memory| {
        memory.request_focus(before);
        memory.move_focus(egui::FocusDirection::Next);
    });
    stop(ui, before);
}

/// Where nothing took the keys, another place has them.
fn keys_or(ui: &mut Ui, other: Option<egui::Id>) {
    let behind = egui::Id::unique("behind what takes the keys");
    stop(ui, behind);
    if let Some(other) = other.filter(|_| ui.memory(|memory| memory.has_focus(behind))) {
        ui.memory_mut(|memory| memory.request_focus(other));
    }
}

/// Something without a size that can have the keys, for one frame.
fn stop(ui: &mut Ui, id: egui::Id) {
    let place = egui::Rect::from_min_size(ui.cursor().min, egui::Vec2::ZERO);
    let _ = ui.interact(place, id, egui::Sense::focusable_noninteractive());
}

/// Changes, sheet, lines of a page, width, whether the session was there.
pub(super) type Pictured = (u64, usize, usize, f32, bool);

impl Window {
    /// Draws a frame, then lets run what was asked for.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        hint::note_typing(&ctx);
        for arrived in self.door.arrivals() {
            self.arrived(arrived);
        }
        for said in self.door.run(std::time::Duration::ZERO) {
            self.said(said);
        }
        if self.door.is_here() {
            self.on_way.clear();
        }
        self.answer_now();
        if let Some(sheet) = self.turn_to
            && sheet < self.contents.len()
        {
            self.turn_to = None;
            self.sheet = sheet;
            self.refresh();
        }
        let mut is_still = self.pending.is_empty() && self.reopen.is_none() && calm::is_still(&ctx);
        // Where nothing was done, what was read stands: a list is not read anew because a pointer goes over it.
        if !self.picture_stands() {
            self.take_picture();
        } else if cfg!(debug_assertions) {
            // In trials it is read all the same, and has to be what stands.
            let before = self.picture.as_ref().map(|picture| format!("{picture:?}"));
            self.take_picture();
            let now = self.picture.as_ref().map(|picture| format!("{picture:?}"));
            assert_eq!(before, now, "the picture does not stand");
        }
        self.calm.begin(is_still && !calm::is_in_hand(&ctx));
        if let Some(editing) = self.reopen.take() {
            self.editing = Some(editing);
            is_still = false;
        }
        self.dropped(&ctx);
        self.keys(&ctx);
        self.turn.keys_wait(!self.pending.is_empty());
        // Where nothing came in, nothing has changed since.
        if !is_still {
            self.take_picture();
        }
        self.top(ui);
        self.find_strip(ui);
        self.contents_side(ui);
        self.panel_side(ui);
        // What was to get the keys has them by now, or is not there.
        (self.panel_fresh, self.search_fresh) = (false, false);
        self.lines.begun();
        self.bottom(ui);
        let fill = look::of(ui).paper;
        let full = ctx.content_rect().width();
        let page = egui::CentralPanel::default()
            .frame(egui::Frame::new().fill(fill).inner_margin(egui::Margin {
                left: 10,
                right: 0,
                top: 6,
                bottom: 0,
            }))
            .show(ui, |ui| {
                self.sheet_page(ui, full);
            });
        self.notices_over(&ctx, page.response.rect);
        self.dialogs(ui);
        self.name_window(&ctx);
        self.closing(&ctx);
        self.after(&ctx);
    }

    /// What a picture is read of, as far as it changes without anything being done.
    fn pictured(&self) -> Pictured {
        (self.changes, self.sheet, self.page, self.room, self.door.is_here())
    }

    fn picture_stands(&self) -> bool {
        self.calm.stands() && self.picture.is_some() && self.pictured == Some(self.pictured())
    }

    /// Reads the lines in sight, where the session is here; else the last picture stays.
    pub(super) fn take_picture(&mut self) {
        self.pictured = Some(self.pictured());
        self.look_at_resting();
        let Some(session) = self.door.session() else { return };
        let Some(seen) = Seen::of(session, self.sheet).map(|seen| seen.shown_in(self.system)) else {
            self.picture = None;
            return;
        };
        let name = &seen.results.name;
        let begins = !self.arrangements.contains_key(name);
        let arrangement = self.arrangements.entry(name.clone()).or_default();
        arrangement.begin(seen.results.items.len());
        arrangement.notes_across = (letters_in(self.room), rows_of_notes(self.page));
        let plan = crate::window::arrange::Plan::of(seen, arrangement);
        let lines = plan.quantities.len() + plan.items;
        let fitted = (self.changes, self.sheet, lines);
        let made_for = match self.fitted {
            Some((_, sheet, before)) if sheet == self.sheet && lines <= before + 1 => For::Unreadable,
            _ => For::All,
        };
        // No column moves under a hand.
        let waits =
            made_for == For::Unreadable && (self.editing.is_some() || self.ctx.input(|input| input.pointer.any_down()));
        if self.fitted != Some(fitted) && !waits {
            self.fitted = Some(fitted);
            self.ctx.fonts_mut(|fonts| {
                let mut measure = |text: &str, font: egui::FontId| {
                    let galley = fonts.layout_no_wrap(text.to_owned(), font, egui::Color32::PLACEHOLDER);
                    galley.size().x
                };
                grid::fit(seen, &plan, made_for, &mut arrangement.fitting, &mut measure);
            });
        }
        // A sheet is entered at its first value, an empty one where one begins to type.
        if begins
            && let Some(quantity) = plan.quantities.first()
            && let Some(at) = plan.at(Spot {
                quantity: *quantity,
                field: if seen.is_unwritten() {
                    Field::Label
                } else {
                    Field::Value(0)
                },
            })
        {
            arrangement.choose(at, false);
        }
        arrangement.stay_within(&plan);
        let sight = Sight {
            page: self.page,
            room: self.room,
            book: self.book,
        };
        let doubts = Doubts {
            quantities: &self.doubtful,
            checks: &self.checked,
            resting: &self.resting.2,
            rows: self.report.as_ref().map(Reading::rows),
            list: self.report.as_ref().and_then(|reading| reading.doubts.list),
        };
        self.picture = Some(Picture::of(seen, plan, arrangement, sight, doubts));
        if let Some(editing) = &mut self.editing
            && editing.sheet == self.sheet
        {
            editing.consider(seen);
        }
    }

    /// The commands of a menu.
    fn menu(&mut self, ui: &mut Ui, group: Group) {
        for command in COMMANDS.iter().filter(|command| command.group == group) {
            let mut button = egui::Button::new(command.word).selected(self.is_on(command.act));
            if let Some(keys) = &command.keys {
                button = button.shortcut_text(command::keys(keys));
            }
            let response = ui.add_enabled(self.has_a_use(command.act), button);
            if response.clicked() {
                self.acts.push(command.act);
                ui.close();
            }
            let _ = response.on_hover_text(self.help_now(command));
        }
    }

    fn top(&mut self, ui: &mut Ui) {
        let inks = look::of(ui);
        let _ = Side::top("top").show(ui, |ui| {
            let _ = egui::MenuBar::new().ui(ui, |ui| {
                for group in Group::ALL {
                    ui.menu_button(group.word(), |ui| {
                        // In large letters a long menu has no room: it scrolls.
                        let most = (ui.ctx().content_rect().height() - BESIDE_MENU).max(BESIDE_MENU);
                        ScrollArea::vertical()
                            .max_height(most)
                            .show(ui, |ui| self.menu(ui, group));
                    });
                }
                self.menus_end = ui.cursor().min.x;
                let _ = ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let busy = match (self.door.is_here(), self.door.is_idle()) {
                        (false, _) => "working…",
                        (true, false) => "a file is read or written…",
                        (true, true) => "",
                    };
                    // What is not saved stays marked, whatever goes on.
                    let state = match (self.changed, busy, &self.path) {
                        (true, "", _) => "not saved".to_owned(),
                        (true, busy, _) => format!("not saved · {busy}"),
                        (false, "", Some(_)) => "saved".to_owned(),
                        (false, busy, _) => busy.to_owned(),
                    };
                    let state = ui.label(RichText::new(state).font(look::oblique(13.0)).color(inks.typed));
                    self.state_begins = state.rect.min.x;
                    let name = self
                        .path
                        .as_ref()
                        .and_then(|path| path.file_name())
                        .map_or(String::new(), |name| name.to_string_lossy().into_owned());
                    // Where there is little room the menus have it, and what is said there: half a name is another one.
                    let over_it = self.speaks() && !self.is_narrow(ui.ctx().content_rect().width());
                    if ui.available_width() > 24.0 && !over_it {
                        let name = RichText::new(name).size(13.0).color(inks.faint);
                        let _ = ui.add(egui::Label::new(name).truncate());
                    }
                });
            });
        });
    }

    /// Whether what a command chooses is chosen.
    fn is_on(&self, act: Act) -> bool {
        use crate::quantity::System;
        match act {
            Act::AsWritten => self.system == System::AsWritten,
            Act::InSi => self.system == System::Si,
            Act::InUs => self.system == System::Us,
            Act::Wide => self.wide && self.panel.is_some(),
            act => self.panel.is_some_and(|panel| panel.act() == act),
        }
    }

    /// Whether a command has something to work on here.
    fn has_a_use(&self, act: Act) -> bool {
        let form = self.picture.as_ref().map(|picture| picture.form);
        match act {
            Act::Undo | Act::Redo => self.label_of(act).is_none_or(|label| !label.is_empty()),
            Act::InsertCase | Act::CopyCase | Act::DeleteCase | Act::RenameCase | Act::CaseBack | Act::CaseOn => {
                form == Some(Form::Sheet)
            }
            Act::SortUp | Act::SortDown | Act::SortNone | Act::Filter | Act::Group | Act::Fold | Act::Headings => {
                form == Some(Form::List)
            }
            Act::Report => self.report.is_some() || self.unread.is_some() || self.of_a_list,
            Act::Newer => self.of_a_list,
            Act::KeptMap => self.of_a_list || self.unread.is_some(),
            Act::NextDoubt => self.report.is_some(),
            Act::TakeKept => self.kept.is_some() || self.left.is_some(),
            _ => true,
        }
    }

    /// What would be taken back or done again, in a few words; `None` while that is not known.
    fn label_of(&self, act: Act) -> Option<Cow<'_, str>> {
        let session = self.door.session()?;
        let arranged = match act {
            Act::Undo => self.steps.last(session.steps()),
            _ => self.steps.next(session.steps()),
        };
        if let Some(step) = arranged {
            return Some(self.step_in_words(step).into());
        }
        let label = match act {
            Act::Undo => session.undo_label(),
            _ => session.redo_label(),
        };
        let aside = self.aside.as_ref().filter(|aside| aside.earlier == (act == Act::Undo));
        Some(label.or(aside.map(|_| "the kept work")).unwrap_or("").into())
    }

    /// The help of a command, with what it would do now.
    fn help_now(&self, command: &Command) -> String {
        match (command.act, self.label_of(command.act)) {
            (Act::Undo | Act::Redo, Some(label)) if !label.is_empty() => format!("{} Next: {label}.", command.help),
            _ => command.help.to_owned(),
        }
    }

    /// A text that is looked for has a strip of its own.
    fn find_strip(&mut self, ui: &mut Ui) {
        if self.find.is_some() {
            let _ = Side::top("find").show(ui, |ui| self.find_bar(ui));
        }
    }

    /// What somebody has to answer.
    pub(super) fn offer(&mut self, ui: &mut Ui, offer: Offer) {
        let inks = look::of(ui);
        let words = |ui: &mut Ui, text: String| {
            let _ = giving_way(ui, RichText::new(format!("△ {text}")).color(inks.doubtful));
        };
        let since = |at: Option<std::time::SystemTime>| at.and_then(ago).map_or(String::new(), |ago| format!(" {ago}"));
        match offer {
            Offer::Outside => {
                let not_saved = if self.not_saved { "Not saved: the" } else { "The" };
                words(ui, format!("{not_saved} file was changed outside."));
                if ui.button("Load it again").clicked() {
                    self.guarded(Next::Reload);
                }
                if ui.button("Keep what is here").clicked()
                    && let Some(path) = self.path.clone()
                {
                    (self.outside, self.not_saved) = (false, false);
                    self.door.ask(Todo::Unsaved);
                    self.door.away(move || Arrived::Known(Stamp::of(&path)));
                }
            }
            Offer::Commas(at) => {
                let Some(found) = self.found_commas.get(at) else { return };
                words(ui, found.words());
                draw_commas(ui, at, found, &mut self.wishes);
                if ui.button("Leave them").clicked() {
                    self.asks_commas = None;
                }
            }
            Offer::Kept => {
                let since = since(self.kept_at);
                let typed = self
                    .kept
                    .as_ref()
                    .and_then(|(_, typed)| untaken::in_words(typed))
                    .map_or(String::new(), |words| format!(" {words}"));
                // What decides comes first: the end of a long sentence may have no room.
                words(
                    ui,
                    match self.kept_is_older {
                        true => format!(
                            "The kept work is older than the file: a window ended and kept it{since}, and the file has been saved since.{typed}"
                        ),
                        false => {
                            format!("A window ended without saving this workbook; its work was kept{since}.{typed}")
                        }
                    },
                );
                // What is at work comes back first.
                let here = self.door.is_here();
                let take = ui.add_enabled(here, egui::Button::new("Take the kept work"));
                if take.on_hover_text(with_keys(Act::TakeKept)).clicked() {
                    self.take_kept();
                }
                if ui.button("Throw it away").clicked() {
                    let _ = self.kept_answered();
                    if let Some(copy) = self.copy_path() {
                        self.door.ask(Todo::Forget(copy));
                    }
                }
            }
            Offer::Closed => {
                let mut told = self.closed_in_words();
                if let Some(told) = &mut told {
                    told.push_str("; it can be looked at here and saved under another name");
                }
                words(ui, told.unwrap_or_default());
                if ui.button("Save under another name…").clicked() {
                    self.acts.push(Act::Save);
                }
                if ui.button("Put away").clicked() {
                    self.closed_known = true;
                }
            }
            Offer::Left => {
                let since = since(self.left_at);
                let of = self.left_of.as_deref().map(crate::window::maps::named);
                let of = of.map_or("a new workbook".to_owned(), |of| {
                    format!("{of}, which could not be written")
                });
                words(
                    ui,
                    format!("A window ended without saving {of}; its work was kept{since}."),
                );
                let take = ui.button("Take that work");
                if take.on_hover_text(with_keys(Act::TakeKept)).clicked() {
                    self.guarded(Next::Left);
                }
                if ui.button("Throw it away").clicked()
                    && let Some((path, lock)) = self.left.take()
                {
                    self.door.quietly(move || {
                        let _ = std::fs::remove_file(path);
                        drop(lock);
                        Arrived::Nothing
                    });
                }
            }
        }
    }

    /// The kept work takes the place of what the file holds; the file stays as it is until it is saved.
    pub(super) fn take_kept(&mut self) {
        let Some((kept, typed)) = self.kept_answered() else {
            return;
        };
        let before = self.door.exchange(kept);
        self.aside = before.map(|session| Aside {
            session,
            earlier: true,
            let_go: false,
        });
        self.exchanged();
        self.say(KEPT, false);
        self.say_untaken(&typed);
    }

    /// What was typed and not taken in stands in no workbook: it is said until it is put away.
    pub(super) fn say_untaken(&mut self, typed: &[String]) {
        if let Some(words) = untaken::in_words(typed) {
            self.say(words, true);
        }
    }

    /// Takes back that the kept work was taken, or takes it again, where there is nothing else to take back or do again.
    pub(super) fn other_work(&mut self, back: bool) -> bool {
        let last = |session: &Session| match back {
            true => session.undo_label().is_none(),
            false => session.redo_label().is_none(),
        };
        if !self.door.is_here() || !self.door.session().is_some_and(last) {
            return false;
        }
        let is_other = self.aside.as_ref().is_some_and(|aside| aside.earlier == back);
        // What leaves its place is in its copy first, and that is written where the session is at work.
        if is_other && back && self.unkept.is_some() && self.changed {
            self.keep_copy(self.not_taken_in());
            self.acts.push(Act::Undo);
            return true;
        }
        let meanwhile = self.kept_taken_back().and_then(|_| self.copy_path());
        let Some(aside) = self.aside.take_if(|aside| aside.earlier == back) else {
            return false;
        };
        let session = self.door.exchange(aside.session);
        self.aside = session.map(|session| Aside {
            session,
            earlier: !back,
            let_go: false,
        });
        // What is shown now has the place of the kept work, or that gets it back as it was before its steps were taken back.
        if let Some(meanwhile) = meanwhile.filter(|_| !back) {
            self.door.ask(Todo::Forget(meanwhile));
        }
        self.exchanged();
        let words = if back {
            "This is what was here before the kept work was taken. Do again brings the kept work."
        } else {
            KEPT
        };
        self.say(words, false);
        true
    }

    fn exchanged(&mut self) {
        self.notices.clear();
        self.arrangements.clear();
        self.names = Names::default();
        self.steps = Steps::default();
        self.steps.know_texts(&self.wrongs);
        self.picture = None;
        self.editing = None;
        self.lines = Lines::default();
        self.faults = Faults::default();
        self.curves = Curves::default();
        self.unkept = Some(Instant::now());
        self.readings = Readings::default();
        // The rows are others now.
        if let Some(reading) = &self.report {
            self.door.ask(Todo::Watch(Some(reading.report.clone())));
        }
        self.refresh();
    }

    fn find_bar(&mut self, ui: &mut Ui) {
        let Some(mut text) = self.find.take() else { return };
        let mut open = true;
        let _ = ui.horizontal(|ui| {
            let label = ui.label("Find");
            let field = ui
                .add(egui::TextEdit::singleline(&mut text).desired_width(260.0))
                .labelled_by(label.id);
            if self.find_fresh {
                field.request_focus();
                self.find_fresh = false;
            }
            let enter = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            if ui.button("Next").clicked() || enter {
                self.acts.push(Act::FindNext);
                field.request_focus();
            }
            let escape = ui.input(|input| input.key_pressed(egui::Key::Escape));
            if ui.button("Done").clicked() || escape {
                open = false;
            }
        });
        if open {
            self.find = Some(text);
        }
    }

    fn panel_side(&mut self, ui: &mut Ui) {
        let inks = look::of(ui);
        if self.panel != Some(Panel::Lines) {
            self.lines.rest();
        }
        if self.panel != Some(Panel::Faults) {
            self.faults.rest();
        }
        let Some(open) = self.panel else { return };
        // A panel leaves half of the width to the grid, a wide one its values.
        let room = ui.available_width();
        let most = (room * 0.5).max(120.0);
        let (id, usual, range) = match (open, self.wide) {
            (_, true) => {
                let wide = (room - BESIDE_WIDE).max(most);
                ("wide panel", wide, wide..=wide)
            }
            (Panel::Start, _) => ("first page", most.min(560.0), 280.0_f32.min(most)..=most),
            _ => ("panel", 420.0_f32.min(most), 280.0_f32.min(most)..=most),
        };
        let _ = Side::right(id)
            .resizable(!self.wide)
            .default_size(usual)
            .size_range(range)
            .show(ui, |ui| {
                // What is wider than the panel ends at its edge: were the panel told of it, it would move out of the window.
                let room = ui.available_rect_before_wrap();
                ui.expand_to_include_rect(room);
                let ui = &mut ui.new_child(egui::UiBuilder::new().max_rect(room));
                let mut tab = None;
                let _ = ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing.x = 7.0;
                    // A name of two words goes to the next line whole.
                    ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
                    for panel in Panel::ALL {
                        let Some(word) = command::of(panel.act()).map(|command| command.word) else {
                            continue;
                        };
                        if !self.has_a_use(panel.act()) {
                            continue;
                        }
                        let text = if open == panel {
                            RichText::new(word).font(look::bold(13.0)).color(inks.typed)
                        } else {
                            RichText::new(word).size(13.0).color(inks.words)
                        };
                        let link = ui.link(text);
                        if link.clicked() {
                            self.panel = if open == panel { None } else { Some(panel) };
                        }
                        if open == panel {
                            tab = Some(link.id);
                        }
                    }
                    let away = ui.link(RichText::new("close").size(12.0).color(inks.faint));
                    if away.on_hover_text("Close the panel").clicked() {
                        self.panel = None;
                    }
                });
                let _ = ui.separator();
                // The keys go to what stands in it, and to its name where nothing there takes them.
                let is_fresh = std::mem::take(&mut self.panel_fresh);
                if is_fresh {
                    keys_to_what_follows(ui);
                }
                self.panel_body(ui, open);
                if is_fresh {
                    keys_or(ui, tab);
                }
            });
    }

    /// What stands in a panel.
    fn panel_body(&mut self, ui: &mut Ui, open: Panel) {
        let inks = look::of(ui);
        if open == Panel::Curves {
            // It scrolls by itself, and keeps its slider in sight.
            let chosen = self.chosen_spot();
            let seen = self.door.session().and_then(|session| Seen::of(session, self.sheet));
            let seen = seen.map(|seen| seen.shown_in(self.system));
            let sheet = self.sheet;
            let (rests_on, item) = self.curves.rest_on();
            let untaken = seen.and_then(|seen| self.wrongs.under(rests_on, (&seen.results.name, item)));
            let beside = Beside {
                seen,
                sheet,
                chosen,
                untaken: untaken.as_deref(),
            };
            self.curves.draw(ui, beside, &mut self.wishes);
            return;
        }
        let wrongs = match open {
            Panel::Faults => self.wrongs_told(),
            _ => Vec::new(),
        };
        let _ = ScrollArea::vertical()
            .auto_shrink(false)
            .id_salt(open as u8)
            .show(ui, |ui| {
                let chosen = self.chosen_spot();
                let session = self.door.session();
                let wishes = &mut self.wishes;
                // A panel is read again where something has changed; while the session is at work the last one stays.
                match open {
                    Panel::Start => start::draw(ui, &self.last, &self.waiting, wishes),
                    Panel::Keys => keys::draw(ui, &mut self.search, &mut self.search_fresh, wishes),
                    Panel::Functions => self.library.draw(ui, &mut self.search_fresh, wishes),
                    Panel::Report => match (&mut self.unread, &mut self.report) {
                        (Some(unread), _) => unread::draw(ui, unread, wishes),
                        (None, Some(reading)) => {
                            let chosen = chosen.map(|spot| (self.sheet, spot));
                            reading.system = self.system;
                            report::draw(ui, session, reading, chosen, wishes);
                        }
                        (None, None) => report::without(ui, self.back.words(), self.of_a_list, wishes),
                    },
                    Panel::Faults => {
                        if let Some(session) = session {
                            self.faults.read(session, self.changes, self.system);
                        }
                        self.faults.draw(ui, &wrongs, wishes);
                        if self.report.is_none() && self.of_a_list {
                            ui.add_space(8.0);
                            let words = format!("△ {}", self.back.words());
                            let _ = ui.label(RichText::new(words).color(inks.doubtful));
                        }
                        // What was read has its own doubts; they are no faults of the workbook.
                        if let Some(reading) = self.report.as_ref().filter(|reading| !reading.rows().is_empty()) {
                            ui.add_space(8.0);
                            let words = format!("△ The reading of the list has {}.", reading.doubts_in_words());
                            let text = RichText::new(words).color(inks.doubtful);
                            if ui.link(text).on_hover_text("Show them").clicked() {
                                wishes.push(Wish::Show(Panel::Report));
                            }
                        }
                    }
                    Panel::Lines => {
                        if let Some(session) = session {
                            self.lines.read(session, self.sheet, self.system, self.changes);
                        }
                        self.lines.draw(ui, wishes);
                    }
                    Panel::Checks => {
                        if let Some(session) = session {
                            self.checks.read(session, self.changes, self.system);
                        }
                        self.checks.draw(ui, &self.resting.2, wishes);
                    }
                    Panel::Assumptions => {
                        if let Some(session) = session {
                            self.assumptions.read(session, self.changes, self.system);
                        }
                        self.assumptions.draw(ui, wishes);
                    }
                    Panel::Curves => {}
                }
            });
    }

    fn chosen_spot(&self) -> Option<crate::window::spot::Spot> {
        self.chosen().map(|(_, spot)| spot)
    }

    /// The group whose line is chosen.
    fn chosen_group(&self) -> Option<working::GroupAt> {
        let picture = self.picture.as_ref().filter(|picture| picture.sheet == self.sheet)?;
        let arrangement = self.arrangements.get(&picture.name)?;
        let group = picture.plan.group(arrangement.at.line)?;
        Some(working::GroupAt {
            sheet: self.sheet,
            by: arrangement.by.rows.clone(),
            group: group.clone(),
            quantity: picture.plan.quantities.get(arrangement.at.column).copied(),
            changes: self.changes,
            system: self.system,
        })
    }

    /// What there is to say of it.
    fn told_of_group<'s>(&self, seen: Seen<'s>, at: &working::GroupAt) -> Option<grid::Told<'s>> {
        let arrangement = self.arrangements.get(&seen.results.name)?;
        Some(grid::Totals::of(seen, arrangement).told(seen, &at.group, at.quantity))
    }

    fn bottom(&mut self, ui: &mut Ui) {
        let spot = self.chosen_spot();
        // In a low window the grid has the room; what is longer scrolls.
        let room = ui.available_height();
        let most = room * if room < LOW { 0.3 } else { 0.7 };
        // What is said over its end hides none of it: it can be scrolled beyond.
        let below = Some(self.notices_below).filter(|below| *below > 0.0);
        let scrolled_beyond = |ui: &mut Ui| below.into_iter().for_each(|below| ui.add_space(below));
        let _ = Side::bottom("working")
            .resizable(true)
            .default_size(152.0_f32.min(most))
            .size_range(24.0_f32.min(most)..=most)
            .show(ui, |ui| {
                // Where it is longer than the strip, a bar that stays says so.
                ui.spacing_mut().scroll = egui::style::ScrollStyle {
                    bar_width: 8.0,
                    ..egui::style::ScrollStyle::solid()
                };
                let _ = ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    if let Some(editing) = &self.editing {
                        working::typing(ui, editing, true, &mut self.wishes);
                        scrolled_beyond(ui);
                        return;
                    }
                    if let Some(editing) = self.chosen_wrong() {
                        working::typing(ui, &editing, false, &mut self.wishes);
                        scrolled_beyond(ui);
                        return;
                    }
                    if let Some(session) = self.door.session() {
                        self.away = None;
                        let seen = Seen::of(session, self.sheet).map(|seen| seen.shown_in(self.system));
                        match seen.zip(self.chosen_group()) {
                            Some((_, at)) if self.working.is_of_group(&at) => {}
                            Some((seen, at)) => {
                                if let Some(told) = self.told_of_group(seen, &at) {
                                    self.working.read_group(at, &told);
                                }
                            }
                            None => self.working.read(seen, spot, self.changes),
                        }
                    } else if self.away.is_none() {
                        self.away = Some(Instant::now());
                    }
                    let away = self.away.map(|since| since.elapsed());
                    let doubts = Doubts {
                        quantities: &self.doubtful,
                        checks: &self.checked,
                        resting: &self.resting.2,
                        rows: self.report.as_ref().map(Reading::rows),
                        list: self.report.as_ref().and_then(|reading| reading.doubts.list),
                    };
                    let seen = self.door.session().and_then(|session| Seen::of(session, self.sheet));
                    let seen = seen.map(|seen| seen.shown_in(self.system));
                    let beside = working::Reading {
                        doubted: seen.zip(spot).and_then(|(seen, spot)| doubts.at(seen, spot)),
                        corrected: seen
                            .zip(self.report.as_ref())
                            .and_then(|(seen, reading)| reading.corrected(seen.session, seen.at, spot?)),
                    };
                    self.working.draw(ui, away, &beside, &mut self.wishes);
                    scrolled_beyond(ui);
                });
            });
    }

    fn sheet_page(&mut self, ui: &mut Ui, full: f32) {
        if let Some(seen) = self.door.session().and_then(|session| Seen::of(session, self.sheet)) {
            self.wrongs_here = self.wrongs.here(seen);
        }
        let inks = look::of(ui);
        let Some(picture) = self.picture.take() else {
            // What is not there yet may be on its way.
            let words = if self.door.waits_for_files() {
                "The workbook is being opened…"
            } else {
                "This workbook has no sheet yet. New sheet makes one."
            };
            let _ = ui.label(words);
            return;
        };
        // A long title in a low window would take the lines of the grid.
        let size = if ui.available_height() < LOW * 0.7 { 14.0 } else { 18.0 };
        let mut turn = None;
        let _ = ui.horizontal_wrapped(|ui| {
            turn = self.contents_folded(ui, full);
            let title = if picture.title.is_empty() {
                &*picture.name
            } else {
                picture.title.as_str()
            };
            let title = egui::Label::new(RichText::new(title).font(look::bold(size))).sense(egui::Sense::click());
            let title = ui.add(title).on_hover_text("Pressed twice: give it another title");
            if title.double_clicked() {
                self.acts.push(Act::TitleSheet);
            }
            let _ = title.context_menu(|ui| self.acts.extend(menus::commands(ui, OF_SHEET, "")));
            if let Some(words) = self.failing.get(self.sheet).copied().and_then(failing_words)
                && ui.link(RichText::new(words).size(13.0).color(inks.failed)).clicked()
            {
                self.panel = Some(Panel::Checks);
            }
            if !picture.title.is_empty() && self.has_side(full) {
                let _ = ui.label(RichText::new(&*picture.name).color(inks.faint));
            }
            let cut = self
                .cut
                .as_ref()
                .map(|cut| format!("{} cut, to be pasted", cut.words()));
            for words in picture.words.iter().chain(&self.of_pinned).chain(&cut) {
                let _ = ui.label(
                    RichText::new(format!("· {words}"))
                        .font(look::oblique(13.0))
                        .color(inks.typed),
                );
            }
        });
        let on_way = self.on_way.iter().filter(|typed| typed.sheet == picture.sheet);
        let on_way: Vec<(Spot, String)> = on_way.map(|typed| (typed.spot, typed.text.clone())).collect();
        let arrangement = self.arrangements.entry(picture.name.clone()).or_default();
        let texts = grid::Texts {
            wrongs: &self.wrongs_here,
            on_way: &on_way,
        };
        let drawn = grid::draw(ui, &picture, texts, arrangement, self.editing.as_mut());
        let of_pinned = (picture.pinned_by_hand && drawn.pinned < picture.pinned).then(|| {
            let (some, all) = (drawn.pinned, picture.pinned);
            format!("{some} of {all} pinned columns have room")
        });
        // Headings that take the lines of the rows are folded, until somebody unfolds them there.
        let heads = picture.plan.heads();
        let is_crowded = heads > 0 && drawn.page < FEW_ROWS && arrangement.at.line >= heads;
        if is_crowded && self.editing.is_none() && !std::mem::replace(&mut arrangement.crowded, true) {
            self.acts.push(Act::Headings);
        }
        if drawn.page != self.page || drawn.room != self.room || of_pinned != self.of_pinned {
            // A chosen line that was in sight stays so where there is less room.
            let row = arrangement.at.line.saturating_sub(picture.plan.heads());
            if (arrangement.top..arrangement.top + self.page).contains(&row) {
                arrangement.follow(&picture.plan, drawn.page);
            }
            (self.page, self.room, self.of_pinned) = (drawn.page, drawn.room, of_pinned);
            ui.ctx().request_repaint();
        }
        self.picture = Some(picture);
        for done in drawn.done {
            self.done(done);
        }
        self.turn_to_sheet(turn);
    }

    fn done(&mut self, done: Done) {
        self.calm.stir();
        // Pressing elsewhere types what was open.
        if self.editing.is_some() && !matches!(done, Done::Offer(_)) && !self.commit() {
            return;
        }
        match done {
            Done::Choose(at, extend) => {
                self.run = None;
                if let Some(arrangement) = self.arrangement() {
                    arrangement.choose(at, extend);
                }
            }
            Done::Extend(at) => {
                if let Some(arrangement) = self.arrangement() {
                    arrangement.choose(at, true);
                }
            }
            Done::Edit(at) => self.amend(Some(at)),
            Done::Offer(index) => {
                if let Some(editing) = &mut self.editing {
                    editing.accept(index);
                }
            }
            Done::Ask(act) => self.acts.push(act),
            Done::Column(column, extend) => self.choose_column(column, extend),
            Done::Line(line, extend) => self.choose_line(line, extend),
            Done::EditHead(column, field) => self.edit_head(column, field),
            Done::Fold(line) => self.fold(Some(line)),
            Done::Another => self.another_column(),
            Done::Note(statement, does) => self.of_note(statement, does),
        }
    }

    /// A file dropped on the window: a workbook is opened, anything else is read as a list.
    fn dropped(&mut self, ctx: &egui::Context) {
        let paths: Vec<_> = ctx.input(|input| {
            let files = input.raw.dropped_files.iter();
            files.map(|file| file.path().to_owned()).collect()
        });
        match paths.as_slice() {
            [] => {}
            [path] => self.guarded(Next::File(path.clone())),
            several => {
                let words = format!("{} files were dropped; drop one at a time.", several.len());
                self.tell(About::Opening, words, true);
            }
        }
    }

    /// What the system writes over the window and in its lists of windows.
    fn name_window(&mut self, ctx: &egui::Context) {
        let name = match self.path.as_ref().and_then(|path| path.file_name()) {
            Some(file) => file.to_string_lossy().into_owned(),
            None => self.title.clone(),
        };
        let mark = if self.changed { " (not saved)" } else { "" };
        let named = format!("{name}{mark} · Polepair");
        if named != self.named {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(named.clone()));
            self.named = named;
        }
    }

    fn closing(&mut self, ctx: &egui::Context) {
        let safe = !self.changed
            && self.kept_taken_back().is_none()
            && self.editing.is_none()
            && self.drafts().is_empty()
            && self.door.is_here();
        if ctx.input(|input| input.viewport().close_requested()) && !safe && !self.closing {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.acts.push(Act::Close);
        }
        if self.closing && self.door.is_idle() {
            self.changed = false;
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}
