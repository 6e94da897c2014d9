//! What is said and what has to be answered, in a bar over the free part of the menus; where the menus leave no room, at the lower
//! edge of the window, over what the working leaves free.
//!
//! Always: it moves nothing, and no room is kept for it that would stand empty. A hand on its way to a place of the grid finds it where
//! it stood, whatever is said meanwhile. Of what was said the last stands in one line, of what has to be answered the first in another;
//! the rest, and long words whole, where somebody asks for them.
//! Not known here: what is said.

use eframe::egui::{self, Id, RichText, Ui};

use super::Window;
use super::frame::{LOW, Offer};
use crate::window::{hint, look};

/// Points that the bar takes at least beside the menus.
const LEAST: f32 = 300.0;
/// Points that the name of the file and its state take beside it.
const STATE: f32 = 130.0;
/// Points of the page beside the menus that two lines take.
const TWO: f32 = 480.0;
/// What is higher has more than one line.
const ONE_LINE: f32 = 34.0;
/// Points that words keep beside what can be pressed.
const WORDS: f32 = 100.0;

/// How much room words have in a row, and where they end.
fn words_id() -> Id {
    Id::unique("words of a notice")
}

/// Words that give way to what can be pressed behind them: cut in a row of one line, and whole where the pointer rests on them.
pub(super) fn giving_way(ui: &mut Ui, text: RichText) -> egui::Response {
    let room: Option<f32> = ui.data(|data| data.get_temp(words_id()));
    let Some(room) = room else { return ui.label(text) };
    let said = text.text().to_owned();
    let label = egui::Label::new(text)
        .truncate()
        .show_tooltip_when_elided(false)
        .sense(egui::Sense::click());
    let response = ui
        .scope(|ui| {
            ui.set_max_width(room);
            ui.add(label)
        })
        .inner;
    ui.data_mut(|data| data.insert_temp(words_id().with("end"), response.rect.right()));
    // Under it, where nothing of the row is covered.
    hint::below(&response, &said);
    response
}

impl Window {
    /// Whether the menus leave the bar no room in a window so wide.
    pub(super) fn is_narrow(&self, full: f32) -> bool {
        full - self.menus_end - STATE < LEAST
    }

    /// Whether something is said, or is to be answered.
    pub(super) fn speaks(&self) -> bool {
        !self.notices.is_empty() || !self.offers().is_empty()
    }

    /// Draws the bar over a page of a window.
    pub(super) fn notices_over(&mut self, ctx: &egui::Context, page: egui::Rect) {
        let window = ctx.content_rect();
        let full = window.width();
        let offers = self.offers();
        let count = self.notices.len();
        self.all_notices &= count + offers.len() > 0;
        self.notices_below = 0.0;
        if count + offers.len() == 0 {
            self.notices_wrap = false;
            return;
        }
        let is_low;
        let below = self.is_narrow(full);
        let (at, wide) = if below {
            // In a low window further lines would reach over those of the grid.
            is_low = window.height() < LOW;
            let at = egui::pos2(page.left() + 6.0, window.bottom() - 3.0);
            (at, page.width() - 12.0)
        } else {
            // One line may stand over the panels, in the row of the menus; more would cover their names.
            let left = self.menus_end + 12.0;
            is_low = page.right() - left < TWO;
            let both = count > 0 && !offers.is_empty() && !is_low;
            let more = both || self.all_notices || self.notices_wrap;
            let edge = if more { page.right() } else { full };
            let wide = edge.min(self.state_begins) - 12.0 - left;
            (egui::pos2(left, 0.0), wide.max(LEAST))
        };
        let wide = (wide - 18.0).max(200.0);
        let corner = match below {
            true => egui::Align2::LEFT_BOTTOM,
            false => egui::Align2::LEFT_TOP,
        };
        let bar = egui::Area::new(Id::unique("notices"))
            .order(egui::Order::Middle)
            .pivot(corner)
            .fixed_pos(at)
            .show(ctx, |ui| {
                let inks = look::of(ui);
                let frame = egui::Frame::new()
                    .fill(inks.band)
                    .stroke(egui::Stroke::new(1.0, inks.rule))
                    .inner_margin(egui::Margin::symmetric(8, 1));
                let _ = frame.show(ui, |ui| {
                    ui.set_max_width(wide);
                    ui.spacing_mut().item_spacing.y = 2.0;
                    ui.spacing_mut().interact_size.y = 20.0;
                    self.notices_in(ui, &offers, is_low);
                });
            });
        let height = bar.response.rect.height();
        if below {
            self.notices_below = height + 6.0;
        }
        // What has to be answered may take several lines by itself.
        let wrap = !below && height > ONE_LINE;
        if wrap != self.notices_wrap {
            self.notices_wrap = wrap;
            ctx.request_repaint();
        }
    }

    /// What has to be answered.
    fn offers(&self) -> Vec<Offer> {
        let offers = [
            (self.outside, Offer::Outside),
            (self.kept.is_some(), Offer::Kept),
            (self.left.is_some(), Offer::Left),
            (self.closed.is_some() && !self.closed_known, Offer::Closed),
        ];
        let offers = offers.into_iter().filter(|(is, _)| *is).map(|(_, offer)| offer);
        let commas = self.asks_commas.filter(|at| *at == self.sheet).map(Offer::Commas);
        offers.chain(commas).collect()
    }

    fn notices_in(&mut self, ui: &mut Ui, offers: &[Offer], is_low: bool) {
        let count = self.notices.len();
        let all = self.all_notices;
        let one_line = !all && is_low && count > 0;
        // A file that another program changed is known of before it is saved again; only what did not go well is said before that.
        let is_first = |offer: &Offer| matches!(offer, Offer::Outside);
        let is_bad = self.notices.last().is_some_and(|notice| notice.bad);
        let offer_first = one_line && !is_bad && offers.first().is_some_and(is_first);
        let shown = match (all, offer_first) {
            (true, _) => count,
            (false, true) => 0,
            (false, false) => count.min(1),
        };
        let notices: Vec<usize> = (0..count).rev().take(shown).collect();
        // Where two lines would reach over headings, what was said comes first; it goes with the next command.
        let answered = match one_line && !offer_first {
            true => 0,
            false if all => offers.len(),
            false => offers.len().min(1),
        };
        let hidden = count - shown.min(count) + offers.len() - answered;
        let mut more = (hidden > 0 || all).then_some(hidden);
        let mut away = None;
        for index in notices {
            if self.notice(ui, index, more.take()) {
                away = Some(index);
            }
        }
        for offer in offers.iter().take(answered) {
            let more = more.take();
            self.row(ui, offer.key(), |window, ui| {
                window.offer(ui, *offer);
                window.more_notices(ui, more);
            });
        }
        if let Some(index) = away.filter(|index| *index < self.notices.len()) {
            let _ = self.notices.remove(index);
        }
    }

    /// A row: of one line, unless what can be pressed leaves no room for words or somebody asked to see all.
    fn row(&mut self, ui: &mut Ui, key: &'static str, draw: impl FnOnce(&mut Window, &mut Ui)) {
        let behind = words_id().with(key);
        // What stood behind the words when they were drawn last.
        let rest: f32 = ui.data(|data| data.get_temp(behind)).unwrap_or(WORDS);
        let room = ui.max_rect().width() - rest - 12.0;
        if self.all_notices {
            let _ = ui.horizontal_wrapped(|ui| draw(self, ui));
            return;
        }
        if room < WORDS {
            // Words take a line of their own and no more, what can be pressed the one under it.
            let whole = ui.max_rect().width();
            ui.data_mut(|data| data.insert_temp(words_id(), whole));
            let _ = ui.horizontal_wrapped(|ui| draw(self, ui));
            ui.data_mut(|data| {
                let _ = data.remove_temp::<f32>(words_id());
                let _ = data.remove_temp::<f32>(words_id().with("end"));
            });
            return;
        }
        ui.data_mut(|data| data.insert_temp(words_id(), room));
        let row = ui.horizontal(|ui| draw(self, ui)).response.rect;
        let end: Option<f32> = ui.data_mut(|data| {
            data.remove_temp::<f32>(words_id());
            data.get_temp(words_id().with("end"))
        });
        let rest_now = row.right() - end.unwrap_or(row.left());
        ui.data_mut(|data| data.insert_temp(behind, rest_now));
        if (rest_now - rest).abs() > 0.5 {
            ui.ctx().request_repaint();
        }
    }

    /// A thing that was said; whether it is put away. `more`: how many others there are, where that is to be said here.
    fn notice(&mut self, ui: &mut Ui, index: usize, more: Option<usize>) -> bool {
        let inks = look::of(ui);
        let mut away = false;
        self.row(ui, "notice", |window, ui| {
            let Some(notice) = window.notices.get_mut(index) else {
                return;
            };
            let ink = if notice.bad { inks.failed } else { inks.words };
            let mark = if notice.bad { "✕ " } else { "" };
            let said = giving_way(ui, RichText::new(format!("{mark}{}", notice.text)).color(ink));
            // What can be pressed goes to the next line whole.
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
            if !notice.more.is_empty() {
                let word = if notice.all {
                    "less"
                } else {
                    "what was kept and added…"
                };
                if ui.link(RichText::new(word).size(13.0)).clicked() {
                    notice.all = !notice.all;
                }
            }
            away = ui.small_button("put away").clicked();
            window.all_notices |= said.clicked();
            window.more_notices(ui, more);
        });
        let notice = self.notices.get(index);
        for line in notice
            .iter()
            .filter(|notice| notice.all)
            .flat_map(|notice| &notice.more)
        {
            let _ = ui.label(RichText::new(line).size(13.0).color(inks.words));
        }
        away
    }

    /// The way to what else was said.
    fn more_notices(&mut self, ui: &mut Ui, more: Option<usize>) {
        let Some(more) = more else { return };
        let inks = look::of(ui);
        let word = match self.all_notices {
            true => "only the last".to_owned(),
            false => format!("{more} more"),
        };
        let ink = if self.notices.iter().any(|notice| notice.bad) {
            inks.failed
        } else {
            inks.words
        };
        if ui.link(RichText::new(word).size(13.0).color(ink)).clicked() {
            self.all_notices = !self.all_notices;
        }
    }
}
