//! The places of the grid: heads, margins, values with their marks; what is done to them with the mouse.
//!
//! Always: a number that is not in sight as a whole is not in sight; a place has an accessible name.
//! Not known here: what a click or a letter changes.

use std::sync::Arc;

use eframe::egui::text::{LayoutJob, TextWrapping};
use eframe::egui::{self, Align, Color32, Id, Layout, Rect, Response, Sense, Stroke, TextFormat, Ui};
use egui_extras::{Column, TableBuilder};

use super::menus::{self, Over};
use super::numbers::{self, Points};
use super::reading::{Head, Line, Picture};
use super::widths::{LEAST, UNIT_AIR};
use super::{Done, Drawn, LINE, Texts, editor};
use crate::window::arrange::{Arrangement, At, Whole};
use crate::window::command::{self, Act};
use crate::window::hint;
use crate::window::look::{self, Inks, SIZE, State};
use crate::window::spot::{Field, Shown, Spot};
use crate::window::typing::Editing;
use crate::workbook::Form;

/// What is drawn, and what is known of all of it.
pub(super) struct Draws<'a> {
    pub picture: &'a Picture,
    /// Texts that are not what the workbook has at their places.
    pub texts: Texts<'a>,
    pub points: Points,
    /// How many columns are pinned.
    pub pinned: usize,
    /// Height of the headings over the columns.
    pub top: f32,
    /// The units beside the values stand in their column in sight as well: it alone says them.
    pub says_units: bool,
    pub inks: &'a Inks,
}

/// Height of the headings over the columns: in a list, what a quantity is in words stands over its symbol, in as many lines as it takes.
/// Over lines that say all this themselves there is only a strip to press.
pub(super) fn heads_height(ui: &Ui, picture: &Picture) -> f32 {
    if picture.plan.heads() > 0 {
        return STRIP;
    }
    let rows = picture.heads.iter().filter(|head| !head.label.is_empty());
    match rows
        .map(|head| label_of(ui, head, Color32::PLACEHOLDER).rows.len())
        .max()
    {
        None => LINE,
        #[allow(clippy::cast_precision_loss)] // One or two.
        Some(rows) => LINE + HEAD_ROW * rows as f32,
    }
}

/// Height of headings that say nothing.
const STRIP: f32 = 18.0;

/// Height of a line of a heading.
const HEAD_ROW: f32 = 16.0;

/// What a quantity is in words, in two lines at most.
fn label_of(ui: &Ui, head: &Head, ink: Color32) -> Arc<egui::Galley> {
    let mut job = LayoutJob::simple(head.label.clone(), look::upright(SIZE - 1.0), ink, head.width - 14.0);
    job.wrap.max_rows = 2;
    ui.painter().layout_job(job)
}

pub(super) fn table(
    ui: &mut Ui,
    draws: &Draws<'_>,
    arrangement: &mut Arrangement,
    columns: std::ops::Range<usize>,
    gutter: Option<f32>,
    editing: &mut Option<&mut Editing>,
    drawn: &mut Drawn,
) {
    let picture = draws.picture;
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
        builder = builder.column(Column::initial(head.width).at_least(LEAST).clip(true).resizable(true));
    }
    builder
        .header(draws.top, |mut header| {
            if gutter.is_some() {
                let _ = header.col(|ui| corner(ui, draws, drawn));
            }
            for (head, column) in heads.iter().zip(columns.clone()) {
                let _ = header.col(|ui| heading(ui, draws, arrangement, (head, column), drawn));
            }
        })
        .body(|mut body| {
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
            // One row of the table holds all lines in sight: a part of the screen for each place would take longer than what is drawn there.
            #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
            let height = LINE * picture.lines.len() as f32;
            body.row(height, |mut row| {
                let mut parts: Vec<Part> = Vec::with_capacity(columns.len() + 1);
                let all = gutter.map(|_| None).into_iter().chain(columns.clone().map(Some));
                let last = columns.len() + usize::from(gutter.is_some());
                for column in all {
                    let _ = row.col(|ui| {
                        parts.push(Part {
                            column,
                            rect: ui.max_rect(),
                            clip: ui.clip_rect(),
                        });
                        if parts.len() == last {
                            lines(ui, draws, arrangement, &parts, editing, drawn);
                        }
                    });
                }
            });
        });
}

/// A column of the table; none for the margin.
struct Part {
    column: Option<usize>,
    rect: Rect,
    clip: Rect,
}

impl Part {
    /// Where the line of this number from the top stands in it.
    fn at(&self, number: usize) -> Rect {
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        let top = self.rect.min.y + LINE * number as f32;
        Rect::from_x_y_ranges(self.rect.x_range(), top..=top + LINE)
    }
}

/// All lines in sight, one after the other.
fn lines(
    ui: &mut Ui,
    draws: &Draws<'_>,
    arrangement: &Arrangement,
    parts: &[Part],
    editing: &mut Option<&mut Editing>,
    drawn: &mut Drawn,
) {
    let whole = parts.iter().fold(Rect::NOTHING, |all, part| all.union(part.clip));
    for (number, line) in draws.picture.lines.iter().enumerate() {
        // Words of a note go over all columns; they are drawn behind the others.
        if line.note.is_some() {
            continue;
        }
        let values = || parts.iter().filter_map(|part| Some((part, part.column?)));
        for (part, column) in values() {
            let rect = part.at(number);
            ui.set_clip_rect(part.clip.intersect(rect));
            ground(ui, draws, arrangement, column, line, rect);
        }
        // Under all places of a line goes one rule.
        if let (Some((first, _)), Some((last, _))) = (values().next(), values().next_back()) {
            let (first, last) = (first.at(number), last.at(number));
            let stroke = Stroke::new(if line.group.is_some() { 1.0 } else { 0.5 }, draws.inks.rule);
            ui.set_clip_rect(whole);
            let _ = ui.painter().hline(first.min.x..=last.max.x, first.max.y - 0.5, stroke);
        }
        for part in parts {
            let rect = part.at(number);
            ui.set_clip_rect(part.clip.intersect(rect));
            match part.column {
                Some(column) => place(ui, draws, arrangement, (column, rect), line, editing, drawn),
                None => margin(ui, draws, arrangement, (line, rect), drawn),
            }
        }
    }
}

/// What lies under a place: it is chosen with others, or it is of a heading.
fn ground(ui: &Ui, draws: &Draws<'_>, arrangement: &Arrangement, column: usize, line: &Line, rect: Rect) {
    let (inks, at) = (
        draws.inks,
        At {
            line: line.line,
            column,
        },
    );
    if line.cells.get(column).is_none() {
        return;
    }
    if arrangement.holds(at) {
        let _ = ui.painter().rect_filled(rect, 0.0, inks.range);
    } else if line.line < draws.picture.plan.heads() || line.group.is_some() {
        let _ = ui.painter().rect_filled(rect, 0.0, inks.band);
    }
}

/// Over the margin: in a list, the headings are folded and unfolded there.
fn corner(ui: &mut Ui, draws: &Draws<'_>, drawn: &mut Drawn) {
    let (rect, inks) = (ui.max_rect(), draws.inks);
    let _ = ui.painter().rect_filled(rect, 0.0, inks.band);
    if draws.picture.form == Form::Sheet {
        return;
    }
    let open = draws.picture.plan.heads() > 0;
    let response = ui.interact(rect, Id::unique(("corner", draws.picture.own())), Sense::click());
    let ink = if response.hovered() { inks.typed } else { inks.faint };
    let _ = ui.painter().text(
        egui::pos2(rect.max.x - 6.0, rect.center().y.max(rect.max.y - LINE / 2.0)),
        egui::Align2::RIGHT_CENTER,
        if open { "▾" } else { "▸" },
        look::upright(SIZE),
        ink,
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Button);
        node.set_label("headings");
    });
    if response.clicked() {
        drawn.done.push(Done::Ask(Act::Headings));
    }
    let words = command::of(Act::Headings).map_or("", |command| command.help);
    hint::above(&response, words);
}

/// The heading of a column: pressed, it chooses the column.
fn heading(
    ui: &mut Ui,
    draws: &Draws<'_>,
    arrangement: &Arrangement,
    (head, column): (&Head, usize),
    drawn: &mut Drawn,
) {
    let (rect, inks, picture) = (ui.max_rect(), draws.inks, draws.picture);
    drawn.heads.push((column, rect));
    let whole = arrangement.whole == Some(Whole::Columns) && arrangement.holds_column(column);
    let fill = if whole { inks.range } else { inks.band };
    let _ = ui.painter().rect_filled(rect, 0.0, fill);
    let field = picture.plan.fields.get(column);
    let case = matches!(field, Some(Field::Value(_)));
    let numbers = picture.form == Form::List && picture.stands_right(column);
    let font = match picture.form {
        Form::Sheet if !case => look::oblique(SIZE - 1.0),
        _ => look::bold(SIZE - 1.0),
    };
    let mut elided = false;
    // What goes on beyond the edge begins in sight.
    let beyond = (rect.max.x - ui.clip_rect().max.x).max(0.0);
    let right = (case || numbers) && beyond < 1.0;
    let mut line = |galley: Arc<egui::Galley>, center: f32| {
        elided |= galley.elided;
        let x = match right {
            true => rect.max.x - 8.0 - galley.size().x,
            false => rect.min.x + 8.0,
        };
        let at = egui::pos2(x.max(rect.min.x + 6.0), center - galley.size().y / 2.0);
        ui.painter().galley(at, galley, Color32::PLACEHOLDER);
    };
    // The lines below say it themselves, where they are unfolded.
    let says = picture.plan.heads() == 0;
    if says {
        let mut job = LayoutJob::simple_singleline(head.text.clone(), font, inks.words);
        job.wrap = TextWrapping::truncate_at_width((rect.width() - 14.0 - beyond).max(1.0));
        line(ui.painter().layout_job(job), rect.max.y - LINE / 2.0);
    }
    if says && !head.label.is_empty() {
        let mut label = label_of(ui, head, inks.ink);
        if right {
            let mut job = (*label.job).clone();
            job.halign = Align::RIGHT;
            label = ui.painter().layout_job(job);
            elided |= label.elided;
            let at = egui::pos2(rect.max.x - 8.0, rect.max.y - LINE - label.size().y + 2.0);
            ui.painter().galley(at, label, Color32::PLACEHOLDER);
        } else {
            let center = rect.max.y - LINE - label.size().y / 2.0 + 2.0;
            line(label, center);
        }
    }
    ui.painter()
        .hline(rect.x_range(), rect.max.y - 0.5, Stroke::new(1.0, inks.rule));
    let response = ui.interact(
        rect,
        Id::unique(("head", picture.own(), &head.key)),
        Sense::click_and_drag(),
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::ColumnHeader);
        let spoken = picture.spoken.get(column).map_or("", String::as_str);
        node.set_label(format!("column {spoken}"));
        node.set_value(format!("{} {}", head.label, head.text).trim_start().to_owned());
        node.set_selected(whole);
    });
    let shift = ui.input(|input| input.modifiers.shift);
    if response.double_clicked() {
        match field {
            Some(Field::Value(_)) => {
                // Values without cases are named with the first case that comes beside them.
                let act = match picture.is_named(column) {
                    true => Act::RenameCase,
                    false => Act::InsertCase,
                };
                let done = [Done::Column(column, false), Done::Ask(act)];
                drawn.done.extend(done);
            }
            Some(_) => {}
            None => {
                // What it is called in words stands over its symbol.
                let above = ui.input(|input| input.pointer.interact_pos().is_some_and(|at| at.y < rect.max.y - LINE));
                let field = if above { Field::Label } else { Field::Symbol };
                drawn.done.push(Done::EditHead(column, field));
            }
        }
    } else if pressed(ui, &response) {
        drawn.done.push(Done::Column(column, shift));
    } else if is_drawn_over(ui, rect, &response, "drawn columns") && arrangement.at.column != column {
        drawn.done.push(Done::Column(column, true));
    }
    menus::draw(&response, picture, Over::Column(column), drawn, || {
        (!whole).then_some(Done::Column(column, false))
    });
    let mut words = "Pressed: chooses the column; with Shift or drawn, up to it".to_owned();
    if elided {
        words = format!("{} {}\n{words}", head.label, head.text);
    }
    hint::above(&response, words.trim_start());
}

fn pressed(ui: &Ui, response: &Response) -> bool {
    response.clicked() || response.is_pointer_button_down_on() && ui.input(|input| input.pointer.primary_pressed())
}

/// At the left of a line: pressed, it chooses the line; under a group, it folds it.
fn margin(ui: &mut Ui, draws: &Draws<'_>, arrangement: &Arrangement, (line, rect): (&Line, Rect), drawn: &mut Drawn) {
    let (inks, picture) = (draws.inks, draws.picture);
    let whole = arrangement.whole == Some(Whole::Lines) && arrangement.holds_line(line.line);
    if whole {
        let _ = ui.painter().rect_filled(rect, 0.0, inks.range);
    } else if line.line < picture.plan.heads() || line.group.is_some() {
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
    let response = ui.interact(
        rect,
        Id::unique(("margin", picture.own(), line.line)),
        Sense::click_and_drag(),
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::RowHeader);
        node.set_label(format!("line {}", line.name));
        node.set_selected(whole);
    });
    if line.group.is_some() {
        if response.clicked() {
            drawn.done.push(Done::Fold(line.line));
        }
        hint::beside(&response, "Pressed: folds or unfolds the rows of the group");
        return;
    }
    if response.double_clicked() && picture.form == Form::Sheet {
        drawn.done.push(Done::Ask(Act::EditLine));
    } else if pressed(ui, &response) {
        let shift = ui.input(|input| input.modifiers.shift);
        drawn.done.push(Done::Line(line.line, shift));
    } else if is_drawn_over(ui, rect, &response, "drawn lines") && arrangement.at.line != line.line {
        drawn.done.push(Done::Line(line.line, true));
    }
    menus::draw(&response, picture, Over::Line(line.line), drawn, || {
        (!whole).then_some(Done::Line(line.line, false))
    });
    hint::beside(&response, "Pressed: chooses the line; with Shift or drawn, up to it");
}

fn place(
    ui: &mut Ui,
    draws: &Draws<'_>,
    arrangement: &Arrangement,
    (column, rect): (usize, Rect),
    line: &Line,
    editing: &mut Option<&mut Editing>,
    drawn: &mut Drawn,
) {
    let (picture, inks) = (draws.picture, draws.inks);
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
    let other = draws.texts.at(spot, shown.right);
    let shown = other.as_ref().unwrap_or(shown);
    let head = line.line < picture.plan.heads();
    let group = line.group.is_some();
    let chosen = arrangement.at == at;
    let held = arrangement.holds(at);
    let clip = ui.clip_rect();
    let whole = clip.min.x <= rect.min.x + 1.0 && clip.max.x >= rect.max.x - 1.0;
    let visible = rect.intersect(clip);
    // Numbers share an edge, with a unit beside them or without one.
    let units = picture.units_beside.filter(|_| shown.right).unwrap_or(0.0);
    let room = visible.width() - AIR - MARK - units;
    let type_of = Type {
        head,
        group,
        spot,
        units,
        // Where the units stand in their column in sight as well, that alone says them.
        unit: if draws.says_units { "" } else { &shown.unit },
    };
    let elided = if line.words == Some(column) || is_further(ui, picture, column, rect) {
        // Words of a group are drawn over all places. Beside whole values a part of one would be another number; the heading says that there are more.
        false
    } else if !whole && !shown.right && clip.max.x < rect.max.x {
        // Words that go on beyond the edge say so.
        paint(
            ui,
            Rect::from_min_max(rect.min, egui::pos2(clip.max.x, rect.max.y)),
            shown,
            &type_of,
            0.0,
            inks,
        )
    } else if whole || !shown.right {
        let lacks = draws.points.lacks(column, line, shown);
        paint(ui, rect, shown, &type_of, lacks, inks)
    } else if text_width(ui, &shown.text, type_of.font(shown)) <= room {
        // It stands in what is in sight of its place.
        paint(ui, visible, shown, &type_of, 0.0, inks)
    } else {
        // Of a number that is not in sight as a whole no digit is shown: what is left of it is another number.
        let rest = Shown {
            text: "…".to_owned(),
            band: String::new(),
            right: false,
            ..shown.clone()
        };
        paint(ui, rect, &rest, &type_of, 0.0, inks)
    };
    if chosen {
        // The chosen place is underlined like a line on paper, with a tick at its left.
        let stroke = Stroke::new(2.0, inks.chosen);
        ui.painter().hline(rect.x_range(), rect.max.y - 1.0, stroke);
        ui.painter().vline(rect.min.x + 1.0, rect.y_range(), stroke);
    }
    let id = Id::unique(("place", picture.own(), spot.map_or_else(|| Err(at), Ok)));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(egui::accesskit::Role::Cell);
        node.set_label(picture.spoken(line, column));
        let unmet = if shown.unmet { State::UNMET } else { "" };
        let unit = if units > 0.0 { type_of.unit } else { "" };
        let parts = [shown.text.as_str(), &shown.band, unit, shown.state.word(), unmet];
        let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        node.set_value(parts.join(" "));
        // Under a group it is read what the words and sums are of.
        if let Some(why) = shown.why.as_deref().filter(|_| group) {
            node.set_description(why);
        }
        node.set_selected(chosen);
    });
    if group {
        if response.double_clicked() {
            drawn.done.push(Done::Fold(line.line));
        } else if pressed(ui, &response) {
            drawn
                .done
                .push(Done::Choose(at, ui.input(|input| input.modifiers.shift)));
        }
    } else {
        pointer(ui, rect, &response, at, drawn);
        menus::draw(&response, picture, Over::Place(at), drawn, || {
            (!held).then_some(Done::Choose(at, false))
        });
    }
    if let Some(why) = &shown.why {
        hint::below(&response, why);
    } else if elided {
        hint::below(&response, format!("{} {}", shown.text, shown.band).trim_end());
    }
}

/// Whether a place is one of a case that goes on beyond the right edge.
pub(super) fn is_further(ui: &Ui, picture: &Picture, column: usize, rect: Rect) -> bool {
    let case = matches!(picture.plan.fields.get(column), Some(Field::Value(_)));
    case && goes_on(rect, ui.clip_rect().max.x)
}

/// Whether a place goes on beyond an edge at its right.
pub(super) fn goes_on(rect: Rect, edge: f32) -> bool {
    rect.min.x < edge && rect.max.x > edge + 1.0
}

pub(super) fn text_width(ui: &Ui, text: &str, font: egui::FontId) -> f32 {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER);
    galley.size().x
}

/// Air at both sides of a value.
const AIR: f32 = 16.0;
/// Width that the mark of a value takes.
const MARK: f32 = 12.0;

/// Where a text stands, as far as its type goes by it.
struct Type<'a> {
    head: bool,
    group: bool,
    spot: Option<Spot>,
    /// Room of units beside the numbers of a sheet.
    units: f32,
    unit: &'a str,
}

impl Type<'_> {
    fn is_symbol(&self) -> bool {
        self.spot.is_some_and(|spot| spot.field == Field::Symbol)
    }

    fn font(&self, shown: &Shown) -> egui::FontId {
        match (self.is_symbol() || self.group, self.head) {
            (true, _) => look::bold(SIZE),
            (_, true) => egui::FontId::proportional(SIZE - 1.0),
            _ => shown.state.font(SIZE),
        }
    }
}

/// Draws what stands at a place, so far from its right edge as the places it lacks. `true`: not all of it has room.
fn paint(ui: &Ui, rect: Rect, shown: &Shown, type_of: &Type<'_>, lacks: f32, inks: &Inks) -> bool {
    let painter = ui.painter();
    let ink = shown.state.ink(inks);
    let symbol = type_of.is_symbol();
    let value = type_of.spot.is_some_and(|spot| matches!(spot.field, Field::Value(_)));
    let mut from = rect.min.x + 8.0;
    let failed = shown.state == State::Failed;
    if value && shown.state != State::Words || failed {
        let at = egui::pos2(rect.min.x + 10.0, rect.center().y);
        look::mark(painter, at, shown.state, ink);
        from += MARK;
    }
    if shown.unmet {
        let at = egui::pos2(from + 4.0, rect.center().y);
        look::unmet(painter, at, inks);
        from += MARK;
    }
    if shown.text.is_empty() {
        return false;
    }
    let font = type_of.font(shown);
    let format = |font_id, color| TextFormat {
        font_id,
        color,
        ..TextFormat::default()
    };
    let room = (rect.max.x - 7.0 - from - type_of.units).max(1.0);
    let galley = |band: &str| {
        let mut job = LayoutJob::default();
        job.append(
            &shown.text,
            0.0,
            format(font.clone(), if symbol && !failed { inks.ink } else { ink }),
        );
        if !band.is_empty() {
            job.append(band, 5.0, format(look::upright(SIZE - 1.5), inks.words));
        }
        job.wrap = TextWrapping::truncate_at_width(room);
        painter.layout_job(job)
    };
    let mut made = galley(&shown.band);
    let elided = made.elided;
    if elided && !shown.band.is_empty() {
        // Without room for the limits the value says that it has some.
        let is_limits = shown.band.contains('…');
        made = galley(if is_limits { "±" } else { "△" });
    }
    if made.elided && shown.right && numbers::split(&shown.text).is_some() {
        // The first digits of a number are another number.
        let job = LayoutJob::simple_singleline("…".to_owned(), font, ink);
        made = painter.layout_job(job);
    }
    let galley = made;
    let x = if shown.right {
        rect.max.x - 8.0 - lacks - type_of.units - galley.size().x
    } else {
        from
    };
    let at = egui::pos2(x.max(from), rect.center().y - galley.size().y / 2.0);
    let end = galley.size().x;
    painter.galley(at, galley, Color32::PLACEHOLDER);
    if type_of.units > 0.0 {
        let at = egui::pos2(rect.max.x - 8.0 - type_of.units + UNIT_AIR, rect.center().y);
        let font = look::upright(SIZE - 1.0);
        let _ = painter.text(at, egui::Align2::LEFT_CENTER, type_of.unit, font, inks.words);
    }
    if shown.state == State::Doubtful {
        painter.hline(at.x..=at.x + end, rect.max.y - 4.0, Stroke::new(1.0, inks.doubtful));
    }
    if shown.unmet {
        // Told apart from a doubt by its stroke: broken, under the value that the check reads.
        let y = rect.max.y - 4.0;
        let line = [egui::pos2(at.x, y), egui::pos2(at.x + end, y)];
        painter.extend(egui::Shape::dashed_line(&line, Stroke::new(1.5, inks.failed), 4.0, 2.5));
    }
    elided
}

fn pointer(ui: &Ui, rect: Rect, response: &Response, at: At, drawn: &mut Drawn) {
    let input = |read: &dyn Fn(&egui::InputState) -> bool| ui.input(read);
    if response.double_clicked() {
        drawn.done.push(Done::Edit(at));
        return;
    }
    if pressed(ui, response) {
        drawn.done.push(Done::Choose(at, input(&|input| input.modifiers.shift)));
        return;
    }
    if response.secondary_clicked() {
        return;
    }
    if is_drawn_over(ui, rect, response, "drawn range") {
        drawn.done.push(Done::Extend(at));
    }
}

/// Whether a range that was begun at a place of its sort is drawn to this one.
fn is_drawn_over(ui: &Ui, rect: Rect, response: &Response, sort: &str) -> bool {
    if response.drag_started() {
        ui.data_mut(|data| data.insert_temp(Id::unique(sort), response.id));
    }
    let drawing = ui.input(|input| {
        let pointer = &input.pointer;
        let over = || pointer.interact_pos().is_some_and(|pos| rect.contains(pos));
        pointer.primary_down() && !pointer.primary_pressed() && over()
    });
    let begun = || ui.data(|data| data.get_temp::<Id>(Id::unique(sort)));
    drawing && ui.ctx().dragged_id().is_some_and(|id| begun() == Some(id))
}
