//! The grid: one widget for sheets and lists. It draws the lines in sight and says what was done with the mouse.
//!
//! Always: only lines in sight are read and drawn, whether there are ten or a million; a place has an accessible name.
//! Not known here: what a click or a letter changes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use eframe::egui::{
    self, Align, Color32, Event, Id, Layout, Rect, Response, Sense, Stroke, StrokeKind, TextFormat, Ui,
};
use egui_extras::{Column, TableBuilder};

use super::arrange::{Arrangement, At, HEADS, Plan};
use super::look::{self, Inks, SIZE, State};
use super::panels::doubts::RowDoubts;
use super::panels::source_row_of;
use super::spot::{Field, Seen, Shown, Spot};
use super::typing::Editing;
use crate::quantity::System;
use crate::workbook::{Form, Role};

/// Height of a line.
pub const LINE: f32 = 23.0;
/// Width of the scroll bar.
const BAR: f32 = 12.0;

/// A heading of a column.
#[derive(Clone, Debug)]
pub struct Head {
    /// Its key for widths.
    pub key: String,
    /// Text over the column; empty in lists, where headings are lines.
    pub text: String,
    /// Its width.
    pub width: f32,
    /// Its width where nobody has changed it, in whole steps.
    usual: u16,
}

/// A line as drawn.
#[derive(Clone, Debug)]
pub struct Line {
    /// Which line.
    pub line: usize,
    /// At its left: role or row number.
    pub gutter: String,
    /// Its cells.
    pub cells: Vec<Shown>,
    /// Names of the cells for those who listen.
    pub name: String,
}

/// What is drawn: the lines in sight, read from a result that does not change. It stays while the session is at work.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Place of the sheet.
    pub sheet: usize,
    /// Number of the workbook in this window: what is scrolled and widened is that of its sheet alone.
    pub book: u64,
    /// Its name.
    pub name: Arc<str>,
    /// Its title.
    pub title: String,
    /// Form.
    pub form: Form,
    /// Columns.
    pub heads: Vec<Head>,
    /// Names of columns for those who listen: symbols of a list, fields of a sheet.
    pub spoken: Vec<String>,
    /// Lines in sight, headings first.
    pub lines: Vec<Line>,
    /// How many columns are pinned.
    pub pinned: usize,
    /// How often widths were set by command, as far as these widths know.
    pub widths_set: u32,
    /// The plan.
    pub plan: Plan,
    /// What stands in the way of a full view, in words: filter, order, hidden.
    pub words: Vec<String>,
}

/// What is worth a look before a value is relied on.
#[derive(Clone, Copy, Debug)]
pub struct Doubts<'a> {
    /// Quantities that a warning stands on.
    pub quantities: &'a BTreeSet<Arc<str>>,
    /// What the reading of a list doubts, in words, by the row of its source.
    pub rows: Option<&'a BTreeMap<u32, RowDoubts>>,
}

impl Doubts<'_> {
    /// What is doubted of an item of a list.
    fn of_row(&self, seen: Seen<'_>, item: usize) -> Option<&RowDoubts> {
        let rows = self.rows.filter(|_| seen.results.form == Form::List)?;
        rows.get(&source_row_of(seen.results, item)?)
    }

    /// What the reading doubts at a place.
    pub fn at(&self, seen: Seen<'_>, spot: Spot) -> Option<&str> {
        let Field::Value(item) = spot.field else { return None };
        let name = &seen.quantity(spot.quantity)?.name;
        self.of_row(seen, item)?.at(name, spot.quantity == 0)
    }
}

/// What a picture is read for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sight {
    /// Lines that fit, without headings.
    pub page: usize,
    /// Width of the grid.
    pub room: f32,
    /// Number of the workbook in this window.
    pub book: u64,
}

/// Usual width of values.
const VALUE: f32 = 112.0;
/// Usual width of values with their limits.
const BANDED: f32 = 184.0;
/// Width of the role or the number of a line.
const GUTTER: f32 = 52.0;
/// Usual width of symbols and units.
const SYMBOL: f32 = 72.0;

/// Usual width of the labels of a sheet: less where a value would have no room beside them.
fn label_width(room: f32, value: f32) -> f32 {
    let beside = ((room - BAR - GUTTER - SYMBOL - value) / 10.0).floor() * 10.0;
    ((room * 0.03).round() * 10.0).min(beside).clamp(60.0, 215.0)
}

impl Picture {
    /// Reads the lines in sight.
    pub fn of(seen: Seen<'_>, arrangement: &Arrangement, sight: Sight, doubts: Doubts<'_>) -> Picture {
        let Sight { page, room, book } = sight;
        let plan = Plan::of(seen, arrangement);
        let columns = plan.columns();
        let key = |column: usize| match plan.form {
            Form::Sheet => match plan.fields.get(column) {
                Some(Field::Value(item)) => format!("case {item}"),
                Some(field) => field.word().to_owned(),
                None => String::new(),
            },
            Form::List => plan
                .quantities
                .get(column)
                .and_then(|at| seen.quantity(*at))
                .map_or(String::new(), |quantity| quantity.name.to_string()),
        };
        // Limits need room beside their values.
        let has_limits = |column: usize| match (plan.form, plan.fields.get(column)) {
            (Form::Sheet, Some(Field::Value(item))) => {
                let mut quantities = seen.results.quantities.iter();
                quantities.any(|quantity| quantity.band(*item).is_some())
            }
            (Form::List, _) => {
                let quantity = plan.quantities.get(column).and_then(|at| seen.quantity(*at));
                quantity.is_some_and(|quantity| !quantity.bands.is_empty())
            }
            _ => false,
        };
        let banded: Vec<bool> = (0..columns).map(has_limits).collect();
        let widest = if banded.contains(&true) { BANDED } else { VALUE };
        let heads: Vec<Head> = (0..columns)
            .map(|column| {
                let key = key(column);
                let text = match (plan.form, plan.fields.get(column)) {
                    (Form::Sheet, Some(Field::Value(item))) => match seen.results.items.get(*item) {
                        Some(name) if !name.is_empty() => name.to_string(),
                        _ => "value".to_owned(),
                    },
                    (Form::Sheet, Some(field)) => field.word().to_owned(),
                    _ => String::new(),
                };
                let usual = match (plan.form, plan.fields.get(column)) {
                    (Form::Sheet, Some(Field::Label)) => label_width(room, widest),
                    (Form::Sheet, Some(Field::Symbol | Field::Unit)) => SYMBOL,
                    (Form::Sheet, Some(Field::Formula)) => 250.0,
                    (Form::Sheet, Some(Field::Kind | Field::Source)) => 130.0,
                    _ if banded.get(column).is_some_and(|banded| *banded) => BANDED,
                    _ => VALUE,
                };
                let width = arrangement.by.widths.get(&key).copied().unwrap_or(usual);
                Head {
                    key,
                    text,
                    width,
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Some hundred.
                    usual: usual as u16,
                }
            })
            .collect();
        let first = plan.heads();
        let shown = (first + arrangement.top)..plan.lines().min(first + arrangement.top + page);
        let lines = (0..first)
            .chain(shown)
            .map(|line| Picture::line(seen, &plan, line, columns, &doubts))
            .collect();
        let mut words = Vec::new();
        if let Some(filter) = &arrangement.by.rows.filter {
            words.push(format!("only rows where {filter}: {} of {}", plan.rows(), plan.items));
        }
        words.extend(arrangement.by.rows.order_words());
        if !arrangement.by.hidden.is_empty() {
            words.push(format!("{} hidden", arrangement.by.hidden.len()));
        }
        match seen.system {
            System::AsWritten => {}
            System::Si => words.push("shown in SI units".to_owned()),
            System::Us => words.push("shown in US customary units".to_owned()),
        }
        Picture {
            sheet: seen.at,
            book,
            name: seen.results.name.clone(),
            title: seen.results.title.clone(),
            form: plan.form,
            spoken: (0..columns)
                .map(|column| match heads.get(column) {
                    Some(head) if plan.form == Form::Sheet => head.text.clone(),
                    Some(head) => head.key.clone(),
                    None => String::new(),
                })
                .collect(),
            widths_set: arrangement.widths_set,
            heads,
            lines,
            pinned: arrangement
                .by
                .pinned
                .unwrap_or(if plan.form == Form::Sheet { 2 } else { 1 })
                .min(columns),
            plan,
            words,
        }
    }

    fn line(seen: Seen<'_>, plan: &Plan, line: usize, columns: usize, doubts: &Doubts<'_>) -> Line {
        let doubtful = doubts.quantities;
        let of_row = plan.item(line).and_then(|item| doubts.of_row(seen, item));
        let cells = (0..columns)
            .map(|column| {
                let Some(spot) = plan.spot(At { line, column }) else {
                    return Shown::default();
                };
                let warned = !doubtful.is_empty()
                    && matches!(spot.field, Field::Value(_))
                    && seen
                        .quantity(spot.quantity)
                        .is_some_and(|quantity| doubtful.contains(&quantity.name));
                // What the reading doubts stands at the reading, at the name of the row, and at the load that comes of it.
                let of_row = of_row
                    .zip(seen.quantity(spot.quantity))
                    .and_then(|(row, quantity)| row.at(&quantity.name, spot.quantity == 0));
                let mut shown = seen.shown(spot, warned || of_row.is_some());
                if let Some(words) = of_row {
                    shown.why = Some(
                        shown
                            .why
                            .map_or_else(|| words.to_owned(), |why| format!("{why}\n{words}")),
                    );
                }
                shown
            })
            .collect();
        let (gutter, name) = match plan.form {
            Form::Sheet => {
                let quantity = plan.quantities.get(line).and_then(|at| seen.quantity(*at));
                let gutter = match quantity.map(|quantity| quantity.role) {
                    Some(Role::Given) => "given",
                    Some(Role::Work) => "work",
                    Some(Role::Seek) => "seek",
                    None => "",
                };
                let name = quantity.map_or("new line", |quantity| &quantity.name);
                (gutter.to_owned(), name.to_owned())
            }
            Form::List => match (HEADS.get(line), plan.item(line)) {
                (Some(head), _) => (head.word().to_owned(), head.word().to_owned()),
                (None, Some(item)) => {
                    let key = seen.results.items.get(item).map_or("", |key| &**key);
                    (
                        (item + 1).to_string(),
                        if key.is_empty() {
                            format!("row {}", item + 1)
                        } else {
                            key.to_owned()
                        },
                    )
                }
                (None, None) => (String::new(), String::new()),
            },
        };
        Line {
            line,
            gutter,
            cells,
            name,
        }
    }

    /// What tells its sheet from all others that this window has shown.
    fn own(&self) -> (usize, u64) {
        (self.sheet, self.book)
    }

    /// The unit that stands with the value at a place, for those who listen.
    fn spoken(&self, line: &Line, column: usize) -> String {
        let spoken = self.spoken.get(column).map_or("", String::as_str);
        match self.form {
            Form::Sheet => format!("{} {spoken}", line.name),
            Form::List => format!("{spoken} {}", line.name),
        }
    }
}

/// What was done with the mouse.
#[derive(Clone, Debug, PartialEq)]
pub enum Done {
    /// A place was pressed; with Shift, the range goes on to it.
    Choose(At, bool),
    /// The range was drawn on to a place.
    Extend(At),
    /// A place was pressed twice.
    Edit(At),
    /// An offer was taken.
    Offer(usize),
    /// A command was asked for at a place.
    Ask(super::command::Act),
}

/// What the drawing gives back.
#[derive(Debug, Default)]
pub struct Drawn {
    /// What was done.
    pub done: Vec<Done>,
    /// Lines that fit, without headings.
    pub page: usize,
    /// Width there is.
    pub room: f32,
    /// How many of the pinned columns have room.
    pub pinned: usize,
    /// The open text is on the screen.
    open: bool,
    /// Where there is room for it.
    body: Option<Rect>,
}

/// The name by which keys reach the grid.
pub fn keys_id() -> Id {
    Id::unique("grid keys")
}

/// The name of the open text.
pub fn editor_id() -> Id {
    Id::unique("open text")
}

/// All keys, so that Tab and arrows stay in the grid.
pub fn all_keys() -> egui::EventFilter {
    egui::EventFilter {
        tab: true,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: true,
    }
}

/// Draws the grid into the rest of `ui`.
pub fn draw(ui: &mut Ui, picture: &Picture, arrangement: &mut Arrangement, mut editing: Option<&mut Editing>) -> Drawn {
    let inks = look::of(ui);
    let rect = ui.available_rect_before_wrap();
    let mut drawn = Drawn::default();
    let keys = ui.interact(rect, keys_id(), Sense::focusable_noninteractive());
    ui.ctx().accesskit_node_builder(keys.id, |node| {
        node.set_label(format!("grid of {}", picture.name));
    });
    ui.memory_mut(|memory| {
        if memory.focused().is_none() {
            memory.request_focus(keys_id());
        }
        memory.set_focus_lock_filter(keys_id(), all_keys());
    });
    let top = if picture.form == Form::Sheet { LINE } else { 0.0 };
    let heads = picture.plan.heads();
    // A strip is left at the bottom for the bar that scrolls columns.
    let room = ((rect.height() - top - BAR) / LINE).floor().max(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A small positive number.
    let page = (room as usize).saturating_sub(heads).max(1);
    drawn.page = page;
    drawn.room = rect.width();
    wheel(ui, rect, picture, arrangement, page);
    let body = Rect::from_min_max(rect.min, egui::pos2(rect.max.x - BAR, rect.max.y));
    let gutter = GUTTER;
    let (pinned, pinned_width) = pinned(picture, gutter, body.width());
    drawn.pinned = pinned;
    let (left, right) = body.split_left_right_at_x(body.min.x + pinned_width);
    drawn.body = Some(body);
    let _ = ui.painter().rect_filled(body, 0.0, inks.paper);
    // The pinned part comes last: its edge, by which its last column is drawn wider, lies over the other part.
    let grip = egui::vec2(ui.style().interaction.resize_grab_radius_side, 0.0);
    for (part, area, columns) in [
        ("free", right, pinned..picture.heads.len()),
        ("pinned", left, 0..pinned),
    ] {
        let mut own = ui.new_child(
            egui::UiBuilder::new()
                .max_rect(area)
                .id_salt((part, picture.own()))
                // Down: the body of the table stands under its heading line, not beside it.
                .layout(Layout::top_down(Align::Min)),
        );
        let seen = if part == "pinned" { area.expand2(grip) } else { area };
        own.set_clip_rect(seen.intersect(ui.clip_rect()));
        own.spacing_mut().item_spacing = egui::Vec2::ZERO;
        // A column is in sight as a whole, or its numbers are not: nothing fades.
        own.spacing_mut().scroll.fade.strength = 0.0;
        if part == "pinned" {
            table(
                &mut own,
                picture,
                arrangement,
                columns,
                Some(gutter),
                &mut editing,
                &mut drawn,
            );
        } else {
            let mut scroll = egui::ScrollArea::horizontal()
                .id_salt(("columns", picture.own()))
                .auto_shrink(false);
            let ends = Ends::of(picture, pinned, right.width());
            let chosen = into_sight(&own, picture, arrangement, &ends);
            if let Some(offset) = chosen.or_else(|| at_rest(&own, picture, &ends)) {
                scroll = scroll.horizontal_scroll_offset(offset);
            }
            let shown = scroll.show(&mut own, |own| {
                table(own, picture, arrangement, columns, None, &mut editing, &mut drawn);
                own.expand_to_include_x(own.min_rect().left() + ends.content());
            });
            let offset = shown.state.clamped_offset().x;
            ui.data_mut(|data| data.insert_temp(columns_offset(picture.own()), offset));
        }
    }
    ui.painter()
        .vline(left.max.x, rect.y_range(), Stroke::new(1.0, inks.rule));
    if picture.form == Form::Sheet && picture.plan.quantities.len() <= 1 {
        begin(ui, body, top + LINE * 3.0);
    }
    bar(
        ui,
        Rect::from_min_max(egui::pos2(body.max.x, rect.min.y), rect.max),
        picture,
        arrangement,
        page,
    );
    // A whole line has no place of its own, and a place may be scrolled out of sight: what is typed is seen all the same.
    if let Some(open) = editing.filter(|open| open.sheet == picture.sheet && !drawn.open)
        && let Some(spot) = open.spot
    {
        let lines = picture.lines.iter();
        let row = lines.take_while(|line| line.line < arrangement.at.line).count();
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        let y = body.min.y + top + LINE * row.min(picture.lines.len().saturating_sub(1)) as f32;
        let line = Rect::from_min_size(
            egui::pos2(body.min.x + gutter, y),
            egui::vec2(body.width() - gutter, LINE),
        );
        let name = match picture.form {
            Form::Sheet => picture.lines.get(row).map(|line| line.name.as_str()),
            Form::List => picture.spoken.get(arrangement.at.column).map(String::as_str),
        };
        let name = format!("the {} of {}", spot.field.word(), name.unwrap_or_default());
        editor(ui, line, open, &mut drawn, &name);
    }
    ui.advance_cursor_after_rect(rect);
    drawn
}

/// What to type in a sheet that holds next to nothing.
const BEGIN: [&str; 3] = [
    "Type in the open line: a symbol such as Q, and a value with its unit such as 85 m³/h.",
    "A text that reads others is worked: rho * g_n * Q * H / eta.",
    "Tab goes on in the line, Enter to the next one; Insert puts a line between. A table can be pasted.",
];

fn begin(ui: &mut Ui, body: Rect, from: f32) {
    let inks = look::of(ui);
    let mut y = body.min.y + from;
    for words in BEGIN {
        let at = Rect::from_min_max(egui::pos2(body.min.x + GUTTER, y), egui::pos2(body.max.x, y + LINE));
        let text = egui::RichText::new(words)
            .font(look::oblique(SIZE - 1.0))
            .color(inks.words);
        let label = egui::Label::new(text).halign(Align::Min).wrap();
        let made = ui
            .scope_builder(egui::UiBuilder::new().max_rect(at), |ui| ui.add(label))
            .inner;
        y = made.rect.max.y + 4.0;
    }
}

/// How many of the pinned columns are kept in sight, and their width with the gutter: as many as leave room for the others. The
/// rest is scrolled with these, so that every column can be brought into sight.
fn pinned(picture: &Picture, gutter: f32, room: f32) -> (usize, f32) {
    let mut width = gutter;
    let mut count = 0;
    for head in picture.heads.iter().take(picture.pinned) {
        if width + head.width > room * MOST_PINNED {
            break;
        }
        width += head.width;
        count += 1;
    }
    (count, width)
}

/// The share of the width that pinned columns take at most.
const MOST_PINNED: f32 = 0.7;

/// Where it is remembered how far the columns are scrolled.
fn columns_offset(own: (usize, u64)) -> Id {
    Id::unique(("columns offset", own))
}

/// Where the columns that are scrolled begin, and what is in sight of them: whole columns stand at the pinned edge, as a number
/// that is cut there reads as another one.
struct Ends {
    /// Which of all columns is the first.
    pinned: usize,
    /// Where each begins, and where the last one ends.
    at: Vec<f32>,
    /// What is in sight.
    width: f32,
}

impl Ends {
    fn of(picture: &Picture, pinned: usize, width: f32) -> Ends {
        let mut end = 0.0;
        let mut at = vec![0.0];
        for head in picture.heads.iter().skip(pinned) {
            end += head.width;
            at.push(end);
        }
        Ends { pinned, at, width }
    }

    /// Where a column begins and ends.
    fn column(&self, column: usize) -> Option<(f32, f32)> {
        let at = column.checked_sub(self.pinned)?;
        Some((*self.at.get(at)?, *self.at.get(at + 1)?))
    }

    /// The first column that begins there or further on, where the last one is in sight at the latest.
    fn from(&self, offset: f32) -> f32 {
        let begins = self.at.iter().rev().skip(1).rev();
        let last = begins.clone().next_back().copied().unwrap_or(0.0);
        begins.copied().find(|begin| *begin >= offset - 0.5).unwrap_or(last)
    }

    /// The last column that begins there or before.
    fn before(&self, offset: f32) -> f32 {
        let begins = self.at.iter().copied();
        begins.take_while(|begin| *begin <= offset + 0.5).last().unwrap_or(0.0)
    }

    /// How far the columns can be scrolled: until the last one is in sight, with a whole one at the edge.
    fn most(&self) -> f32 {
        let end = self.at.last().copied().unwrap_or(0.0);
        if end <= self.width {
            0.0
        } else {
            self.from(end - self.width)
        }
    }

    /// The width that lets them be scrolled so far.
    fn content(&self) -> f32 {
        let end = self.at.last().copied().unwrap_or(0.0);
        match self.most() {
            0.0 => end,
            most => end.max(most + self.width),
        }
    }
}

/// Where the columns have to be scrolled to so that the chosen one is in sight; only right after the choice moved or the
/// grid became narrower or wider.
fn into_sight(ui: &Ui, picture: &Picture, arrangement: &Arrangement, ends: &Ends) -> Option<f32> {
    let seen = Id::unique(("chosen column", picture.own()));
    let before: Option<(usize, f32)> = ui.data(|data| data.get_temp(seen));
    let chosen = arrangement.at.column;
    if before == Some((chosen, ends.width)) {
        return None;
    }
    ui.data_mut(|data| data.insert_temp(seen, (chosen, ends.width)));
    let before = before.map_or(0, |(column, _)| column);
    let (start, end) = ends.column(chosen)?;
    let now = scrolled(ui, picture);
    let to = if start < now || before < ends.pinned && start == 0.0 {
        start
    } else if end > now + ends.width {
        ends.from(end - ends.width).min(start)
    } else {
        return None;
    };
    ui.data_mut(|data| data.insert_temp(rest_offset(picture.own()), to));
    Some(to)
}

/// Where the columns come to rest once nobody moves them: on in the way they went, with a whole one at the pinned edge.
fn at_rest(ui: &Ui, picture: &Picture, ends: &Ends) -> Option<f32> {
    let moves = ui.input(|input| input.pointer.any_down() || input.smooth_scroll_delta() != egui::Vec2::ZERO);
    if moves {
        return None;
    }
    let id = rest_offset(picture.own());
    let rested: f32 = ui.data(|data| data.get_temp(id)).unwrap_or(0.0);
    let now = scrolled(ui, picture);
    let to = if now > rested {
        ends.from(now).min(ends.most())
    } else {
        ends.before(now)
    };
    ui.data_mut(|data| data.insert_temp(id, to));
    ((to - now).abs() > 0.5).then_some(to)
}

fn scrolled(ui: &Ui, picture: &Picture) -> f32 {
    let offset = columns_offset(picture.own());
    ui.data(|data| data.get_temp(offset)).unwrap_or(0.0)
}

/// Where it is remembered how far they were scrolled when they came to rest.
fn rest_offset(own: (usize, u64)) -> Id {
    Id::unique(("columns at rest", own))
}

fn wheel(ui: &Ui, rect: Rect, picture: &Picture, arrangement: &mut Arrangement, page: usize) {
    let rows = picture.plan.lines().saturating_sub(picture.plan.heads());
    let most = rows.saturating_sub(page);
    if ui.rect_contains_pointer(rect) {
        let id = Id::unique(("wheel", picture.own()));
        let delta = ui.input(|input| input.smooth_scroll_delta().y);
        if delta != 0.0 {
            let rest: f32 = ui.data(|data| data.get_temp(id)).unwrap_or(0.0) - delta;
            let lines = (rest / LINE).trunc();
            ui.data_mut(|data| data.insert_temp(id, rest - lines * LINE));
            #[allow(clippy::cast_possible_truncation)] // A few lines.
            let lines = lines as isize;
            arrangement.top = arrangement.top.saturating_add_signed(lines);
        }
    }
    arrangement.top = arrangement.top.min(most);
}

/// The bar at the right: where the lines in sight stand among all.
fn bar(ui: &mut Ui, rect: Rect, picture: &Picture, arrangement: &mut Arrangement, page: usize) {
    let rows = picture.plan.lines().saturating_sub(picture.plan.heads());
    if rows <= page {
        return;
    }
    let inks = look::of(ui);
    let response = ui.interact(rect, Id::unique(("bar", picture.own())), Sense::click_and_drag());
    let most = rows - page;
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss
    )]
    // Places on a bar of some hundred pixels, worked in f64.
    {
        let share = (page as f64 / rows as f64)
            .max(24.0 / f64::from(rect.height()))
            .min(1.0);
        let handle = f64::from(rect.height()) * share;
        let way = f64::from(rect.height()) - handle;
        if let Some(pointer) = response.interact_pointer_pos() {
            let at = (f64::from(pointer.y - rect.min.y) - handle / 2.0) / way.max(1.0);
            arrangement.top = (at.clamp(0.0, 1.0) * most as f64).round() as usize;
        }
        let from = rect.min.y + (way * arrangement.top as f64 / most as f64) as f32;
        let handle = Rect::from_min_size(egui::pos2(rect.min.x + 3.0, from), egui::vec2(BAR - 6.0, handle as f32));
        let _ = ui
            .painter()
            .rect_filled(handle, 0.0, if response.hovered() { inks.faint } else { inks.rule });
    }
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_label(format!("rows from {} of {rows}", arrangement.top + 1));
    });
}

fn table(
    ui: &mut Ui,
    picture: &Picture,
    arrangement: &mut Arrangement,
    columns: std::ops::Range<usize>,
    gutter: Option<f32>,
    editing: &mut Option<&mut Editing>,
    drawn: &mut Drawn,
) {
    let inks = look::of(ui);
    let heads = picture.heads.get(columns.clone()).unwrap_or(&[]);
    // Widths set by command start the table anew, as usual ones that have changed; those drawn with the mouse are read back below. The
    // picture says which widths it has: an older one, drawn while the session is away, would have its widths read back as new ones.
    let keys: Vec<(&str, u16)> = heads.iter().map(|head| (head.key.as_str(), head.usual)).collect();
    let mut builder = TableBuilder::new(ui)
        .id_salt((picture.own(), keys, picture.widths_set))
        .vscroll(false)
        .striped(false)
        .cell_layout(Layout::left_to_right(Align::Center));
    if let Some(gutter) = gutter {
        builder = builder.column(Column::exact(gutter).clip(true));
    }
    for head in heads {
        builder = builder.column(Column::initial(head.width).at_least(36.0).clip(true).resizable(true));
    }
    let body = |body: egui_extras::TableBody<'_>| {
        let widths: Vec<f32> = body
            .widths()
            .iter()
            .skip(usize::from(gutter.is_some()))
            .copied()
            .collect();
        for (head, width) in heads.iter().zip(&widths) {
            if (head.width - width).abs() > 0.5 {
                let _ = arrangement.by.widths.insert(head.key.clone(), *width);
            }
        }
        body.rows(LINE, picture.lines.len(), |mut row| {
            let Some(line) = picture.lines.get(row.index()) else {
                return;
            };
            if gutter.is_some() {
                row.col(|ui| {
                    let rect = ui.max_rect();
                    let is_head = line.line < picture.plan.heads();
                    if is_head {
                        let _ = ui.painter().rect_filled(rect, 0.0, inks.band);
                    }
                    let ink = if line.line == arrangement.at.line {
                        inks.typed
                    } else {
                        inks.faint
                    };
                    let _ = ui.painter().text(
                        egui::pos2(rect.max.x - 6.0, rect.center().y),
                        egui::Align2::RIGHT_CENTER,
                        &line.gutter,
                        look::oblique(SIZE - 2.0),
                        ink,
                    );
                });
            }
            for column in columns.clone() {
                row.col(|ui| place(ui, picture, arrangement, line, column, editing, drawn, inks));
            }
        });
    };
    if picture.form == Form::Sheet {
        builder
            .header(LINE, |mut header| {
                if gutter.is_some() {
                    header.col(|ui| {
                        let _ = ui.painter().rect_filled(ui.max_rect(), 0.0, inks.band);
                    });
                }
                for head in heads {
                    header.col(|ui| {
                        let rect = ui.max_rect();
                        let _ = ui.painter().rect_filled(rect, 0.0, inks.band);
                        let right = head.key.starts_with("case ");
                        let (at, align) = if right {
                            (rect.max.x - 8.0, egui::Align2::RIGHT_CENTER)
                        } else {
                            (rect.min.x + 8.0, egui::Align2::LEFT_CENTER)
                        };
                        let font = if right {
                            look::bold(SIZE - 1.0)
                        } else {
                            look::oblique(SIZE - 1.0)
                        };
                        let _ = ui
                            .painter()
                            .text(egui::pos2(at, rect.center().y), align, &head.text, font, inks.words);
                    });
                }
            })
            .body(body);
    } else {
        builder.body(body);
    }
}

#[allow(clippy::too_many_arguments)] // One place of use.
fn place(
    ui: &mut Ui,
    picture: &Picture,
    arrangement: &Arrangement,
    line: &Line,
    column: usize,
    editing: &mut Option<&mut Editing>,
    drawn: &mut Drawn,
    inks: &Inks,
) {
    let rect = ui.max_rect();
    let at = At {
        line: line.line,
        column,
    };
    let spot = picture.plan.spot(at);
    if let Some(open) = editing.as_deref_mut()
        && open.sheet == picture.sheet
        && open.spot == spot
        && spot.is_some()
    {
        editor(ui, rect, open, drawn, &picture.spoken(line, column));
        return;
    }
    let Some(shown) = line.cells.get(column) else { return };
    let head = line.line < picture.plan.heads();
    let chosen = arrangement.at == at;
    let held = arrangement.holds(at);
    if held {
        let _ = ui.painter().rect_filled(rect, 0.0, inks.range);
    } else if head {
        let _ = ui.painter().rect_filled(rect, 0.0, inks.band);
    }
    let clip = ui.clip_rect();
    let whole = clip.min.x <= rect.min.x + 1.0 && clip.max.x >= rect.max.x - 1.0;
    let visible = rect.intersect(clip);
    let room = visible.width() - 27.0;
    let elided = if whole || !shown.right {
        paint(ui, rect, shown, head, spot, inks)
    } else if text_width(ui, &shown.text, shown.state.font(SIZE)) <= room {
        // It stands in what is in sight of its place.
        paint(ui, visible, shown, head, spot, inks)
    } else {
        // Of a number that is not in sight as a whole no digit is shown: what is left of it is another number.
        let rest = Shown {
            text: "…".to_owned(),
            band: String::new(),
            right: false,
            ..shown.clone()
        };
        paint(ui, rect, &rest, head, spot, inks)
    };
    ui.painter()
        .hline(rect.x_range(), rect.max.y - 0.5, Stroke::new(0.5, inks.rule));
    if chosen {
        // The chosen place is underlined like a line on paper, with a tick at its left.
        let stroke = Stroke::new(2.0, inks.chosen);
        ui.painter().hline(rect.x_range(), rect.max.y - 1.0, stroke);
        ui.painter().vline(rect.min.x + 1.0, rect.y_range(), stroke);
    }
    let id = Id::unique(("place", picture.own(), spot));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Cell);
        node.set_label(picture.spoken(line, column));
        let mut value = shown.text.clone();
        if !shown.band.is_empty() {
            value = format!("{value} {}", shown.band);
        }
        if !shown.state.word().is_empty() {
            value = format!("{value} {}", shown.state.word()).trim_start().to_owned();
        }
        node.set_value(value);
        node.set_selected(chosen);
    });
    pointer(ui, rect, &response, at, drawn);
    menu(&response, at, held, drawn);
    if let Some(why) = &shown.why {
        let _ = response.on_hover_text(why);
    } else if elided {
        let _ = response.on_hover_text(format!("{} {}", shown.text, shown.band).trim_end());
    }
}

fn text_width(ui: &Ui, text: &str, font: egui::FontId) -> f32 {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER);
    galley.size().x
}

/// Draws what stands at a place. `true`: not all of it has room.
fn paint(ui: &Ui, rect: Rect, shown: &Shown, head: bool, spot: Option<Spot>, inks: &Inks) -> bool {
    let painter = ui.painter();
    let ink = shown.state.ink(inks);
    let mark = shown.state.mark();
    let symbol = spot.is_some_and(|spot| spot.field == Field::Symbol);
    let value = spot.is_some_and(|spot| matches!(spot.field, Field::Value(_)));
    let mut from = rect.min.x + 8.0;
    if !mark.is_empty() && value {
        let _ = painter.text(
            egui::pos2(rect.min.x + 5.0, rect.center().y),
            egui::Align2::LEFT_CENTER,
            mark,
            egui::FontId::proportional(9.0),
            ink,
        );
        from += 10.0;
    }
    if shown.text.is_empty() {
        return false;
    }
    let font = match (symbol, head) {
        (true, _) => look::bold(SIZE),
        (_, true) => egui::FontId::proportional(SIZE - 1.0),
        _ => shown.state.font(SIZE),
    };
    let format = |font_id, color| TextFormat {
        font_id,
        color,
        ..TextFormat::default()
    };
    let room = (rect.max.x - 7.0 - from).max(1.0);
    let galley = |band: &str| {
        let mut job = egui::text::LayoutJob::default();
        job.append(
            &shown.text,
            0.0,
            format(font.clone(), if symbol { inks.ink } else { ink }),
        );
        if !band.is_empty() {
            job.append(band, 5.0, format(look::upright(SIZE - 1.5), inks.words));
        }
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        painter.layout_job(job)
    };
    let mut made = galley(&shown.band);
    let elided = made.elided;
    if elided && !shown.band.is_empty() {
        // Without room for the limits the value says that it has some.
        made = galley("±");
    }
    let galley = made;
    let x = if shown.right {
        rect.max.x - 8.0 - galley.size().x
    } else {
        from
    };
    let at = egui::pos2(x.max(from), rect.center().y - galley.size().y / 2.0);
    let end = galley.size().x;
    painter.galley(at, galley, Color32::PLACEHOLDER);
    if shown.state == State::Doubtful {
        painter.hline(at.x..=at.x + end, rect.max.y - 4.0, Stroke::new(1.0, inks.doubtful));
    }
    elided
}

fn pointer(ui: &Ui, rect: Rect, response: &Response, at: At, drawn: &mut Drawn) {
    let input = |read: &dyn Fn(&egui::InputState) -> bool| ui.input(read);
    if response.double_clicked() {
        drawn.done.push(Done::Edit(at));
        return;
    }
    let pressed =
        response.clicked() || response.is_pointer_button_down_on() && input(&|input| input.pointer.primary_pressed());
    if pressed {
        drawn.done.push(Done::Choose(at, input(&|input| input.modifiers.shift)));
        return;
    }
    if response.secondary_clicked() {
        return;
    }
    let drawing = input(&|input| input.pointer.primary_down() && !input.pointer.primary_pressed());
    if drawing
        && ui
            .ctx()
            .dragged_id()
            .is_some_and(|id| ui.data(|data| data.get_temp(Id::unique("drawn range"))) == Some(id))
        && input(&|input| input.pointer.interact_pos().is_some_and(|pos| rect.contains(pos)))
    {
        drawn.done.push(Done::Extend(at));
    }
    if response.drag_started() {
        ui.data_mut(|data| data.insert_temp(Id::unique("drawn range"), response.id));
    }
}

fn menu(response: &Response, at: At, held: bool, drawn: &mut Drawn) {
    use super::command::{self, Act};
    const OFFERED: &[Act] = &[
        Act::Edit,
        Act::EditLine,
        Act::Copy,
        Act::Clear,
        Act::FillDown,
        Act::Rename,
        Act::InsertAfter,
        Act::Delete,
        Act::SortUp,
        Act::SortDown,
        Act::Group,
        Act::Hide,
        Act::Pin,
    ];
    let _ = response.context_menu(|ui| {
        if !held {
            drawn.done.push(Done::Choose(at, false));
        }
        for command in OFFERED.iter().filter_map(|act| command::of(*act)) {
            if ui.button(command.word).on_hover_text(command.help).clicked() {
                drawn.done.push(Done::Ask(command.act));
                ui.close();
            }
        }
    });
}

fn editor(ui: &mut Ui, rect: Rect, open: &mut Editing, drawn: &mut Drawn, name: &str) {
    let inks = look::of(ui);
    let id = editor_id();
    drawn.open = true;
    let faults: Vec<(std::ops::Range<usize>, bool)> = open
        .look
        .iter()
        .filter(|_| open.looked.as_ref().is_some_and(|(text, _)| *text == open.text))
        .flat_map(|look| &look.faults)
        .map(|fault| (fault.span.start as usize..fault.span.end as usize, fault.is_error()))
        .collect();
    let mut layouter = |ui: &Ui, text: &dyn egui::TextBuffer, _: f32| {
        let job = underlined(text.as_str(), &faults, inks);
        ui.fonts_mut(|fonts| fonts.layout_job(job))
    };
    // The keys are taken before drawing; the drawn text only follows, except where the mouse or an input method moves it.
    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    state.cursor.set_char_range(Some(open.range));
    egui::TextEdit::store_state(ui.ctx(), id, state);
    // A question or a field that was pressed has the keys; else the open text.
    let focused = ui.memory(|memory| memory.focused());
    if focused.is_none_or(|focused| focused == keys_id()) {
        ui.memory_mut(|memory| memory.request_focus(id));
    }
    // A long text runs over the places beside it, as far as the grid goes.
    let wanted = text_width(ui, &open.text, egui::FontId::proportional(SIZE)) + 24.0;
    let body = drawn.body.unwrap_or(rect);
    let width = rect.width().max(wanted).min(body.width());
    let from = rect.min.x.min(body.max.x - width).max(body.min.x);
    let wide = Rect::from_min_size(egui::pos2(from, rect.min.y), egui::vec2(width, rect.height()));
    let area = egui::Area::new(Id::unique("open text area"))
        .order(egui::Order::Middle)
        .fixed_pos(wide.min)
        .constrain(false)
        .show(ui.ctx(), |ui| {
            let _ = ui.painter().rect_filled(wide, 0.0, inks.paper);
            // An area is as wide as it was in the frame before; the text has its own room.
            let mut own = ui.new_child(egui::UiBuilder::new().max_rect(wide));
            let output = egui::TextEdit::singleline(&mut open.text)
                .id(id)
                .frame(egui::Frame::NONE.inner_margin(egui::Margin::symmetric(7, 3)))
                .event_filter(all_keys())
                .return_key(None)
                .layouter(&mut layouter)
                .desired_width(wide.width())
                .show(&mut own);
            ui.advance_cursor_after_rect(wide);
            let _ = ui
                .painter()
                .rect_stroke(wide, 0.0, Stroke::new(1.5, inks.chosen), StrokeKind::Inside);
            output
        });
    let output = area.inner;
    let name = format!("typing {name}");
    ui.ctx().accesskit_node_builder(id, |node| node.set_label(name.clone()));
    let response = &output.response.response;
    if (response.changed() || response.is_pointer_button_down_on() || response.clicked())
        && let Some(range) = output.state.cursor.char_range()
    {
        open.range = range;
    }
    offers(ui, wide, open, drawn, inks);
}

/// The text with a line under each place that is wrong or worth a look.
fn underlined(text: &str, faults: &[(std::ops::Range<usize>, bool)], inks: &Inks) -> egui::text::LayoutJob {
    let mut cuts: Vec<usize> = faults.iter().flat_map(|(range, _)| [range.start, range.end]).collect();
    cuts.extend([0, text.len()]);
    cuts.retain(|cut| text.is_char_boundary(*cut));
    cuts.sort_unstable();
    cuts.dedup();
    let mut job = egui::text::LayoutJob::default();
    for (from, to) in cuts.iter().zip(cuts.iter().skip(1)) {
        let hit = faults
            .iter()
            .filter(|(range, _)| range.start <= *from && *to <= range.end);
        let worst = hit.map(|(_, error)| *error).max();
        let underline = match worst {
            Some(true) => Stroke::new(2.0, inks.failed),
            Some(false) => Stroke::new(1.5, inks.doubtful),
            None => Stroke::NONE,
        };
        job.append(
            text.get(*from..*to).unwrap_or(""),
            0.0,
            TextFormat {
                font_id: egui::FontId::proportional(SIZE),
                color: inks.ink,
                underline,
                ..TextFormat::default()
            },
        );
    }
    job
}

/// Width of what is offered, at least.
const OFFERS_WIDTH: f32 = 320.0;

fn offers(ui: &Ui, rect: Rect, open: &Editing, drawn: &mut Drawn, inks: &Inks) {
    if open.offers.is_empty() {
        return;
    }
    // Near the bottom they stand above, so that what is said under the grid is seen.
    let body = drawn.body.unwrap_or(rect);
    #[allow(clippy::cast_precision_loss)] // A few lines.
    let wanted = (open.offers.len() + 1) as f32 * LINE;
    let above = rect.max.y + wanted > body.max.y && rect.min.y - body.min.y > body.max.y - rect.max.y;
    let (pivot, at) = if above {
        (egui::Align2::LEFT_BOTTOM, rect.left_top())
    } else {
        (egui::Align2::LEFT_TOP, rect.left_bottom())
    };
    let _ = egui::Area::new(Id::unique("offers"))
        .order(egui::Order::Foreground)
        .pivot(pivot)
        .fixed_pos(at)
        .show(ui.ctx(), |ui| {
            let _ = egui::Frame::new()
                .fill(inks.paper)
                .stroke(Stroke::new(1.0, inks.rule))
                .inner_margin(4)
                .show(ui, |ui| {
                    // One line each, as wide as they are: an area is otherwise as narrow as it was for the text before.
                    ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
                    ui.set_min_width(OFFERS_WIDTH);
                    for (index, offer) in open.offers.iter().enumerate() {
                        let mut job = egui::text::LayoutJob::default();
                        let format = |font_id, color| TextFormat {
                            font_id,
                            color,
                            ..TextFormat::default()
                        };
                        job.append(&offer.text, 0.0, format(look::bold(SIZE), inks.ink));
                        job.append(
                            &offer.help,
                            12.0,
                            format(egui::FontId::proportional(SIZE - 1.0), inks.faint),
                        );
                        job.wrap = egui::text::TextWrapping::truncate_at_width(460.0);
                        if ui.selectable_label(open.chosen == Some(index), job).clicked() {
                            drawn.done.push(Done::Offer(index));
                        }
                    }
                    let _ = ui.label(
                        egui::RichText::new(if open.chooses() {
                            "Down and Up choose, Enter takes"
                        } else {
                            "Ctrl+Down and Ctrl+Up choose, Enter takes"
                        })
                        .size(11.0)
                        .color(inks.faint),
                    );
                });
        });
}

/// Whether an event chooses among the offers: one on, one back.
pub fn choosing(event: &Event) -> Option<isize> {
    match event {
        Event::Key {
            key: egui::Key::ArrowDown,
            pressed: true,
            modifiers,
            ..
        } if modifiers.command => Some(1),
        Event::Key {
            key: egui::Key::ArrowUp,
            pressed: true,
            modifiers,
            ..
        } if modifiers.command => Some(-1),
        _ => None,
    }
}
