//! The grid: one widget for sheets and lists. It draws the lines in sight and says what was done with the mouse.
//!
//! Always: only lines in sight are read and drawn, whether there are ten or a million; a place has an accessible name.
//! Not known here: what a click or a letter changes.

mod columns;
pub mod menus;
mod notes;
mod numbers;
pub mod offered;
mod places;
mod reading;
mod totals;
mod widths;

use eframe::egui::{self, Align, Event, Id, Layout, Rect, Sense, Stroke, StrokeKind, Ui};

use super::arrange::{Arrangement, At};
use super::hint;
use super::look::{self, SIZE, State};
use super::spot::{Field, Shown, Spot};
use super::typing::Editing;
use super::wrong::Wrong;
use crate::workbook::Form;
use columns::{Ends, at_rest, columns_offset, into_sight, pinned};
pub use notes::OfNote;
use numbers::Points;
use places::{Draws, goes_on, heads_height, table, text_width};
pub use reading::{Doubts, Head, Line, Picture, Sight};
pub use totals::{Told, Totals};
pub use widths::{For, fit};

/// Height of a line.
pub const LINE: f32 = 23.0;
/// Width of the scroll bar.
const BAR: f32 = 12.0;

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
    /// The heading of a column was pressed; with Shift, the columns up to it.
    Column(usize, bool),
    /// The margin of a line was pressed; with Shift, the lines up to it.
    Line(usize, bool),
    /// The heading of a column of a list was pressed twice: which part of it.
    EditHead(usize, Field),
    /// A group is folded or unfolded, by the line under it.
    Fold(usize),
    /// Another column of a list is asked for.
    Another,
    /// What is to be done with a note, by its place among the statements of the sheet.
    Note(usize, OfNote),
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
    /// Where the headings of columns are.
    heads: Vec<(usize, Rect)>,
}

/// Texts that stand at their places in the stead of what the workbook has there.
#[derive(Clone, Copy)]
pub struct Texts<'a> {
    /// Those that are not taken in.
    pub wrongs: &'a [(Spot, Wrong)],
    /// Those that were typed and are still at work.
    pub on_way: &'a [(Spot, String)],
}

impl Texts<'_> {
    /// The one of a place; `right`: numbers stand there.
    fn at(&self, spot: Option<Spot>, right: bool) -> Option<Shown> {
        let spot = spot?;
        let typed = self.on_way.iter().rev().find(|(at, _)| *at == spot);
        let typed = typed.map(|(_, text)| Shown {
            text: format!("{} …", text.trim()),
            right,
            why: Some("It is being worked: what it gives is not here yet.".to_owned()),
            ..Shown::default()
        });
        let wrong = || self.wrongs.iter().find(|(at, _)| *at == spot);
        typed.or_else(|| {
            wrong().map(|(_, wrong)| Shown {
                text: wrong.text.clone(),
                state: State::Failed,
                right,
                why: Some(format!("Not taken in: {}", wrong.why)),
                ..Shown::default()
            })
        })
    }
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
pub fn draw(
    ui: &mut Ui,
    picture: &Picture,
    texts: Texts<'_>,
    arrangement: &mut Arrangement,
    mut editing: Option<&mut Editing>,
) -> Drawn {
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
    let top = heads_height(ui, picture);
    let heads = picture.plan.heads();
    // A strip is left at the bottom for the bar that scrolls columns.
    let room = ((rect.height() - top - BAR) / LINE).floor().max(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A small positive number.
    let page = (room as usize).saturating_sub(heads).max(1);
    drawn.page = page;
    drawn.room = rect.width();
    wheel(ui, rect, picture, arrangement, page);
    let body = Rect::from_min_max(rect.min, egui::pos2(rect.max.x - BAR, rect.max.y));
    let gutter = reading::GUTTER;
    let (pinned, pinned_width) = pinned(picture, gutter, body.width());
    drawn.pinned = pinned;
    let (left, right) = body.split_left_right_at_x(body.min.x + pinned_width);
    drawn.body = Some(body);
    let _ = ui.painter().rect_filled(body, 0.0, inks.paper);
    let ends = Ends::of(picture, pinned, right.width());
    let draws = Draws {
        picture,
        texts,
        points: Points::of(ui, picture),
        pinned,
        top,
        says_units: columns::says_units_twice(ui, picture, &ends),
        inks,
    };
    let mut behind = 0;
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
        // Where the room has just become another one, no edge of the last frame draws the columns back.
        own.spacing_mut().scroll.kinetic.rubber_band = false;
        if part == "pinned" {
            table(
                &mut own,
                &draws,
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
            let chosen = into_sight(&own, picture, arrangement, &ends);
            if let Some(offset) = chosen.or_else(|| at_rest(&own, picture, &ends)) {
                scroll = scroll.horizontal_scroll_offset(offset);
            }
            let shown = scroll.show(&mut own, |own| {
                table(own, &draws, arrangement, columns, None, &mut editing, &mut drawn);
                own.expand_to_include_x(own.min_rect().left() + ends.content());
            });
            let offset = shown.state.clamped_offset().x;
            behind = ends.behind(offset);
            ui.data_mut(|data| data.insert_temp(columns_offset(picture.own()), offset));
        }
    }
    ui.painter()
        .vline(left.max.x, rect.y_range(), Stroke::new(1.0, inks.rule));
    notes::draw(ui, &draws, body, &mut drawn);
    totals::words(ui, &draws, body, left.max.x, &drawn.heads);
    if let Some(further) = further(picture, body, &drawn) {
        more_cases(ui, further, arrangement.at.line, &mut drawn);
    }
    if behind > 0 {
        hidden(ui, egui::pos2(rect.min.x + 3.0, rect.min.y + 1.0), behind, arrangement);
    }
    another(ui, &draws, body, &mut drawn);
    match picture.form {
        Form::Sheet if picture.plan.quantities.len() <= 1 => begin(ui, body, top + LINE * 3.0, &BEGIN),
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        Form::List if picture.plan.items <= 1 && picture.plan.lines() > picture.plan.last() + 1 => {
            begin(ui, body, top + LINE * (picture.lines.len() + 1) as f32, &BEGIN_LIST)
        }
        // Rows that are all out of sight come back by a command.
        Form::List if picture.plan.items > 0 && picture.plan.items_chosen() == 0 => {
            begin(ui, body, top + LINE * (picture.lines.len() + 1) as f32, &NONE_SHOWN);
        }
        _ => {}
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
        let before = |line: &&Line| line.line < arrangement.at.line || line.note.is_some();
        let row = picture.lines.iter().take_while(before).count();
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        let y = body.min.y + top + LINE * row.min(picture.lines.len().saturating_sub(1)) as f32;
        let line = Rect::from_min_size(
            egui::pos2(body.min.x + gutter, y),
            egui::vec2(body.width() - gutter, LINE),
        );
        let line = over_column(picture, &drawn, spot).unwrap_or(line);
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

/// Where the symbol, or the words, of a quantity of a list stand over its column.
fn over_column(picture: &Picture, drawn: &Drawn, spot: Spot) -> Option<Rect> {
    let column = match picture.form {
        Form::List => picture.plan.quantities.iter().position(|at| *at == spot.quantity)?,
        Form::Sheet => return None,
    };
    let (_, rect) = drawn.heads.iter().find(|(known, _)| *known == column)?;
    let foot = rect.max.y - LINE;
    match spot.field {
        Field::Symbol | Field::Unit => Some(Rect::from_min_max(egui::pos2(rect.min.x, foot), rect.max)),
        Field::Label => Some(Rect::from_min_max(
            rect.min,
            egui::pos2(rect.max.x, foot.max(rect.min.y + LINE)),
        )),
        _ => None,
    }
}

/// What to type in a sheet that holds next to nothing.
const BEGIN: [&str; 3] = [
    "Type in the open line: a symbol such as Q, and a value with its unit such as 85 m³/h.",
    "A text that reads others is worked: rho * g_n * Q * H / eta.",
    "Tab goes on in the line, Enter to the next one; Insert puts a line between. A table can be pasted.",
];

/// What to type in a list that holds next to nothing.
const BEGIN_LIST: [&str; 3] = [
    "Type in the open row: a tag, then its values; Tab goes on in the row, Enter to the next one. A table can be pasted with its headings.",
    "Another column comes by + at the right of the headings, or by Insert in a heading; its symbol, unit and kind are typed over it.",
    "A column that is worked: type its formula in the line `formula` over it; Alt+R makes a given worked.",
];

/// What is said where no row is shown.
const NONE_SHOWN: [&str; 1] =
    ["No row fulfils the condition. Show all (Alt+J) brings every row back, Only rows where… asks for another one."];

/// Says how many columns lie behind the pinned ones; pressed, they come back.
fn hidden(ui: &mut Ui, at: egui::Pos2, count: usize, arrangement: &mut Arrangement) {
    let inks = look::of(ui);
    let words = format!("‹ {count}");
    let width = text_width(ui, &words, look::bold(SIZE - 2.0)) + 10.0;
    let rect = Rect::from_min_size(at, egui::vec2(width, LINE - 5.0));
    let response = ui.interact(rect, Id::unique("columns behind"), Sense::click());
    let _ = ui.painter().rect_filled(rect, 0.0, inks.range);
    let font = look::bold(SIZE - 2.0);
    let _ = ui
        .painter()
        .text(rect.center(), egui::Align2::CENTER_CENTER, &words, font, inks.typed);
    let told = match count {
        1 => "1 column lies behind the pinned ones".to_owned(),
        more => format!("{more} columns lie behind the pinned ones"),
    };
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Button);
        node.set_label(told.clone());
    });
    if response.clicked() {
        arrangement.to_start = true;
    }
    hint::above(&response, &format!("{told}. Home or a press here brings them back."));
}

/// The cases behind the right edge: how many they are, which column is the first, and what is in sight of it.
fn further(picture: &Picture, body: Rect, drawn: &Drawn) -> Option<(usize, usize, Rect)> {
    let case = |column: &usize| matches!(picture.plan.fields.get(*column), Some(Field::Value(_)));
    let heads = drawn.heads.iter().filter(|(column, _)| case(column));
    let mut beyond = heads.filter(|(_, rect)| goes_on(*rect, body.max.x));
    let (first, rect) = beyond.next()?;
    let count = (*first..picture.heads.len()).filter(case).count();
    Some((count, *first, rect.with_max_x(body.max.x)))
}

/// Says how many cases lie behind the right edge; pressed, the first of them comes into sight.
fn more_cases(ui: &mut Ui, (count, first, room): (usize, usize, Rect), line: usize, drawn: &mut Drawn) {
    let inks = look::of(ui);
    let response = ui.interact(room, Id::unique("further cases"), Sense::click());
    let _ = ui.painter().rect_filled(room, 0.0, inks.band);
    let place = room.shrink2(egui::vec2(2.0, 3.0));
    let place = place.with_max_x(place.max.x.min(place.min.x + 30.0));
    let _ = ui.painter().rect_filled(place, 0.0, inks.range);
    let font = look::bold(SIZE - 2.0);
    let words = format!("{count} ›");
    let _ = ui
        .painter()
        .text(place.center(), egui::Align2::CENTER_CENTER, words, font, inks.typed);
    let told = match count {
        1 => "1 further case".to_owned(),
        more => format!("{more} further cases"),
    };
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Button);
        node.set_label(told.clone());
    });
    if response.clicked() {
        drawn.done.push(Done::Choose(At { line, column: first }, false));
    }
    let _ = response.on_hover_text(format!(
        "{told} at the right. A press here or the arrow to the right goes there."
    ));
}

/// Behind the last heading of a list, where there is room: makes another column.
fn another(ui: &mut Ui, draws: &Draws<'_>, body: Rect, drawn: &mut Drawn) {
    let last = draws.picture.heads.len().checked_sub(1);
    let Some((_, rect)) = drawn.heads.iter().find(|(column, _)| Some(*column) == last) else {
        return;
    };
    let height = LINE.min(rect.height());
    let place = Rect::from_min_size(
        egui::pos2(rect.max.x + 1.0, rect.max.y - height),
        egui::vec2(LINE + 5.0, height),
    );
    if draws.picture.form != Form::List || place.max.x > body.max.x {
        return;
    }
    let response = ui.interact(
        place,
        Id::unique(("another column", draws.picture.own())),
        Sense::click(),
    );
    let ink = if response.hovered() {
        draws.inks.typed
    } else {
        draws.inks.words
    };
    let _ = ui.painter().text(
        place.center(),
        egui::Align2::CENTER_CENTER,
        "+",
        look::bold(SIZE + 2.0),
        ink,
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Button);
        node.set_label("another column");
    });
    if response.clicked() {
        drawn.done.push(Done::Another);
    }
    hint::above(&response, "Another column");
}

fn begin(ui: &mut Ui, body: Rect, from: f32, said: &[&str]) {
    let inks = look::of(ui);
    let mut y = body.min.y + from;
    for words in said {
        let at = Rect::from_min_max(
            egui::pos2(body.min.x + reading::GUTTER, y),
            egui::pos2(body.max.x, y + LINE),
        );
        let text = egui::RichText::new(*words)
            .font(look::oblique(SIZE - 1.0))
            .color(inks.words);
        let label = egui::Label::new(text).halign(Align::Min).wrap();
        // The line at the pinned edge does not go through words.
        let paper = egui::Frame::new().fill(inks.paper);
        let made = ui
            .scope_builder(egui::UiBuilder::new().max_rect(at), |ui| {
                paper.show(ui, |ui| ui.add(label)).inner
            })
            .inner;
        y = made.rect.max.y + 4.0;
    }
}

fn wheel(ui: &Ui, rect: Rect, picture: &Picture, arrangement: &mut Arrangement, page: usize) {
    let most = picture.plan.most(page);
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
    let rows = match picture.form {
        Form::Sheet => picture.plan.lines(),
        Form::List => picture.plan.rows(),
    };
    let most = picture.plan.most(page);
    if most == 0 {
        return;
    }
    let inks = look::of(ui);
    let response = ui.interact(rect, Id::unique(("bar", picture.own())), Sense::click_and_drag());
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss
    )]
    // Places on a bar of some hundred pixels, worked in f64.
    {
        let share = (rows.saturating_sub(most) as f64 / rows.max(1) as f64)
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

fn editor(ui: &mut Ui, rect: Rect, open: &mut Editing, drawn: &mut Drawn, name: &str) {
    let inks = look::of(ui);
    let id = editor_id();
    drawn.open = true;
    let faults = offered::places(open);
    let mut layouter = |ui: &Ui, text: &dyn egui::TextBuffer, _: f32| {
        let job = offered::underlined(text.as_str(), &faults, inks);
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
    // Who looks something up elsewhere has another list before them.
    if focused.is_some_and(|focused| focused != id && focused != keys_id()) {
        return;
    }
    let body = drawn.body.unwrap_or(wide);
    let room = offered::Room {
        body,
        widest: offered::WIDEST,
        below: wide.bottom(),
    };
    drawn.done.extend(offered::list(ui, wide, room, open).map(Done::Offer));
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
