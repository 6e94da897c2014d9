//! What stands under or over an open text: the lines under what is wrong in it, the list of what could stand at the cursor.
//!
//! Not known here: what a key changes.

use std::ops::Range;

use eframe::egui::{self, Id, Rect, Stroke, TextFormat, Ui};

use super::LINE;
use crate::window::look::{self, Inks, SIZE};
use crate::window::typing::Editing;

/// Bytes of a text that something is said of; `true`: it is wrong.
pub type Place = (Range<usize>, bool);

/// The places of the open text that something is said of.
pub fn places(open: &Editing) -> Vec<Place> {
    let looked = open.looked.as_ref().is_some_and(|(text, _)| *text == open.text);
    let faults = open.look.iter().filter(|_| looked).flat_map(|look| &look.faults);
    faults
        .map(|fault| (fault.span.start as usize..fault.span.end as usize, fault.is_error()))
        .collect()
}

/// The text with a line under each place that is wrong or worth a look.
pub fn underlined(text: &str, faults: &[Place], inks: &Inks) -> egui::text::LayoutJob {
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
/// Width of what is offered over the grid, at most.
pub const WIDEST: f32 = 640.0;

/// Air around what is offered.
const AIR: f32 = 12.0;
/// So many are offered at once at least.
const FEWEST: usize = 2;

/// Where there is room for what could stand at the cursor.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// Within this.
    pub body: Rect,
    /// In lines no wider than this.
    pub widest: f32,
    /// Below the text not before this: what stands between stays in sight.
    pub below: f32,
}

/// What could stand at the cursor, under the text or over it; which one was pressed.
pub fn list(ui: &Ui, rect: Rect, room: Room, open: &Editing) -> Option<usize> {
    let Room { body, widest, below } = room;
    if open.offers.is_empty() {
        return None;
    }
    let inks = look::of(ui);
    let mut pressed = None;
    // Near the bottom they stand above, so that what is said under the grid is seen.
    #[allow(clippy::cast_precision_loss)] // A few lines.
    let wanted = (open.offers.len() + 1) as f32 * LINE + AIR;
    let (room_above, room_below) = (rect.min.y - body.min.y, body.max.y - below);
    let above = wanted > room_below && room_above > room_below;
    let (pivot, at) = if above {
        (egui::Align2::LEFT_BOTTOM, rect.left_top())
    } else {
        (egui::Align2::LEFT_TOP, egui::pos2(rect.left(), below))
    };
    // Where all of them have no room, the marked one is among those that have.
    let room = if above { room_above } else { room_below };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A small number.
    let fits = (((room - AIR) / LINE).max(0.0) as usize).saturating_sub(1).max(FEWEST);
    let first = open.chosen.map_or(0, |chosen| (chosen + 1).saturating_sub(fits));
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
                    ui.set_min_width(OFFERS_WIDTH.min(widest - 8.0));
                    for (index, offer) in open.offers.iter().enumerate().skip(first).take(fits) {
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
                        job.wrap = egui::text::TextWrapping::truncate_at_width(widest - 24.0);
                        let galley = ui.painter().layout_job(job);
                        if ui.selectable_label(open.chosen == Some(index), galley).clicked() {
                            pressed = Some(index);
                        }
                    }
                    let _ = ui.label(
                        egui::RichText::new(match open.chosen {
                            Some(_) => "Enter takes the marked one; Down and Up go on",
                            None => "Down marks one; Enter types the text as it is",
                        })
                        .size(11.0)
                        .color(inks.faint),
                    );
                });
        });
    pressed
}
