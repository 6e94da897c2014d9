//! Where the value, the limit and the margin of a check stand in a row of the panel, and the stroke that draws the margin.
//!
//! Always: no text stands on another. Numbers stand under numbers as long as the panel is wide enough for the longest of them;
//! in a narrow one the name stands above its numbers, and in the narrowest each number has a line of its own.
//! Not known here: what a check says.

use eframe::egui::{self, RichText, Ui};

use crate::window::look;

/// Height of a row in points.
const ROW: f32 = 19.0;
/// Least space between two texts of a row.
const GAP: f32 = 10.0;
/// The stroke of the margin has no less.
const STROKE: f32 = 28.0;

/// What stands in a row.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Texts<'a> {
    /// With the mark before it.
    pub name: &'a str,
    pub value: &'a str,
    pub limit: &'a str,
    pub margin: &'a str,
}

/// Widths in points of the texts of a row: name, value, limit, margin.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Widths([f32; 4]);

impl Widths {
    /// As they are drawn: bold, as that of a check that does not hold is the widest.
    pub fn of(ui: &Ui, texts: Texts<'_>) -> Widths {
        let wide = |text: &str| {
            let font = look::bold(14.0);
            ui.fonts_mut(|fonts| fonts.layout_no_wrap(text.to_owned(), font, egui::Color32::PLACEHOLDER))
                .size()
                .x
                .ceil()
        };
        // Before the name stands the mark.
        Widths([
            wide(texts.name) + 22.0,
            wide(texts.value),
            wide(texts.limit),
            wide(texts.margin),
        ])
    }

    /// Room for both.
    pub fn with(self, other: Widths) -> Widths {
        let mut widths = self.0;
        for (one, other) in widths.iter_mut().zip(other.0) {
            *one = one.max(other);
        }
        Widths(widths)
    }
}

/// How the rows are put.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Form {
    /// All in one row: where value, limit and margin end, from the left in points.
    Beside([f32; 3]),
    /// The name above its numbers, which end there.
    Above([f32; 3]),
    /// A line each.
    Apart,
}

impl Form {
    /// The form for texts of these widths in a room of `room` points.
    pub fn of(widths: Widths, room: f32) -> Form {
        let [name, value, limit, margin] = widths.0;
        let ends = |before: f32| {
            let used = before + value + limit + margin + 4.0 * GAP + STROKE;
            // What is left is parted among the columns and the stroke.
            let more = (room - used) / 4.0;
            (more >= 0.0).then(|| {
                let value = before + GAP + value + more;
                let limit = value + GAP + limit + more;
                [value, limit, limit + GAP + margin + more]
            })
        };
        match (ends(name), ends(0.0)) {
            (Some(ends), _) => Form::Beside(ends),
            (None, Some(ends)) => Form::Above(ends),
            (None, None) => Form::Apart,
        }
    }
}

/// A row: what stands in it is put at fixed places.
pub(super) struct Row {
    rect: egui::Rect,
}

impl Row {
    pub fn new(ui: &mut Ui) -> Row {
        let size = egui::vec2(ui.available_width(), ROW);
        Row {
            rect: ui.allocate_exact_size(size, egui::Sense::hover()).0,
        }
    }

    /// Draws what ends at `to` points from the left.
    fn ending<R>(&self, ui: &mut Ui, to: f32, draw: impl FnOnce(&mut Ui) -> R) -> R {
        let left = self.rect.min.x;
        let rect = egui::Rect::from_x_y_ranges(left..=left + to, self.rect.y_range());
        let layout = egui::Layout::right_to_left(egui::Align::Center);
        ui.scope_builder(egui::UiBuilder::new().max_rect(rect).layout(layout), draw)
            .inner
    }

    /// Draws what begins at `from` points from the left.
    pub fn beginning<R>(&self, ui: &mut Ui, from: f32, draw: impl FnOnce(&mut Ui) -> R) -> R {
        let rect = self.rect.with_min_x(self.rect.min.x + from);
        let layout = egui::Layout::left_to_right(egui::Align::Center);
        ui.scope_builder(egui::UiBuilder::new().max_rect(rect).layout(layout), draw)
            .inner
    }
}

/// The words over the numbers; none where each line says what it is.
pub(super) fn heads(ui: &mut Ui, form: Form) {
    let (Form::Beside(ends) | Form::Above(ends)) = form else {
        return;
    };
    let row = Row::new(ui);
    for (to, text) in ends.into_iter().zip(HEADS) {
        row.ending(ui, to, |ui| head(ui, text));
    }
}

const HEADS: [&str; 3] = ["value", "limit", "margin"];

fn head(ui: &mut Ui, text: &str) {
    let ink = look::of(ui).faint;
    let _ = ui.label(RichText::new(text).font(look::oblique(12.0)).color(ink));
}

/// Draws the numbers of a check and the stroke of its margin and of its least one within the tolerances, the latter two in the ink and the font of what the check says;
/// in its first row the name, which is drawn by `name`.
pub(super) fn numbers(
    ui: &mut Ui,
    form: Form,
    texts: Texts<'_>,
    (shares, ink, font): ([Option<f32>; 2], egui::Color32, egui::FontId),
    name: impl FnOnce(&mut Ui),
) {
    let words = look::of(ui).words;
    let mut row = Row::new(ui);
    row.beginning(ui, 0.0, name);
    let told = [
        RichText::new(texts.value),
        RichText::new(texts.limit).color(words),
        RichText::new(texts.margin).font(font).color(ink),
    ];
    match form {
        Form::Beside(ends) | Form::Above(ends) => {
            if matches!(form, Form::Above(_)) && !texts.name.is_empty() {
                row = Row::new(ui);
            }
            for (to, text) in ends.into_iter().zip(told) {
                row.ending(ui, to, |ui| ui.label(text));
            }
            if let [Some(share), least] = shares {
                row.beginning(ui, ends[2] + GAP, |ui| gauge(ui, share, least, ink));
            }
        }
        Form::Apart => {
            for (text, head_) in told.into_iter().zip(HEADS) {
                let _ = ui.horizontal_wrapped(|ui| {
                    head(ui, head_);
                    ui.label(text)
                });
            }
        }
    }
}

/// The margin as a stroke from the limit: to the right on the good side, to the left beyond it. Half the limit fills it. A tick
/// stands at the least margin within the tolerances, where that is another one.
fn gauge(ui: &mut Ui, share: f32, least: Option<f32>, ink: egui::Color32) {
    let inks = look::of(ui);
    let size = egui::vec2(ui.available_width().max(20.0), 12.0);
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let painter = ui.painter();
    let middle = rect.center();
    painter.hline(rect.x_range(), middle.y, egui::Stroke::new(1.0, inks.rule));
    let at = |share: f32| middle.x + (share * 2.0).clamp(-1.0, 1.0) * rect.width() / 2.0;
    let end = at(share);
    painter.hline(
        egui::Rangef::new(middle.x.min(end), middle.x.max(end)),
        middle.y,
        egui::Stroke::new(4.0, ink),
    );
    painter.vline(middle.x, rect.y_range(), egui::Stroke::new(1.0, inks.ink));
    if let Some(least) = least.map(at).filter(|least| (least - end).abs() > 0.5) {
        painter.vline(least, rect.y_range(), egui::Stroke::new(2.0, ink));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_go_below_the_name_and_then_apart_as_the_room_shrinks() {
        // By hand: 60 + 70 + 70 + 40 + 4·10 + 28 = 308 with the name, 248 without.
        let widths = Widths([60.0, 70.0, 70.0, 40.0]);
        assert_eq!(Form::of(widths, 308.0), Form::Beside([140.0, 220.0, 270.0]));
        assert_eq!(Form::of(widths, 348.0), Form::Beside([150.0, 240.0, 300.0]));
        assert_eq!(Form::of(widths, 307.0), Form::Above([94.75, 189.5, 254.25]));
        assert_eq!(Form::of(widths, 247.0), Form::Apart);
    }
}
