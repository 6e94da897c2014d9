//! The side bar: the workbook and its sheets, with what is wrong in them.
//!
//! Always: the right button offers what acts on the sheet under it; pressed twice, it is given another title.
//! Not known here: what stands in a sheet.

use eframe::egui::{self, Panel as Side, RichText, ScrollArea, Ui};

use super::Window;
use super::frame::failing_words;
use crate::window::command::Act;
use crate::window::grid::menus;
use crate::window::look;
use crate::window::panels::Panel;

/// What acts on a sheet.
pub(super) const OF_SHEET: &[&[Act]] = &[
    &[Act::TitleSheet, Act::RenameSheet],
    &[Act::SheetBack, Act::SheetOn],
    &[Act::CopySheet, Act::NewSheet, Act::NewList],
    &[Act::DeleteSheet],
];
/// What acts on a workbook.
const OF_BOOK: &[&[Act]] = &[
    &[Act::TitleBook],
    &[Act::NewSheet, Act::NewList],
    &[Act::Save, Act::SaveAs],
];

/// How many faults and warnings, in words.
fn faults_words(count: usize) -> String {
    match count {
        1 => "1 fault or warning".to_owned(),
        more => format!("{more} faults and warnings"),
    }
}

impl Window {
    /// Whether there is room for the side bar: in a small window the grid has it.
    pub(super) fn has_side(&self, width: f32) -> bool {
        let wanted = if self.panel.is_some() { 860.0 } else { 520.0 };
        width >= wanted || self.contents.len() > 1 && width >= wanted - 160.0
    }

    /// The way to the other sheets, before the title of the one in sight, where there is no side bar.
    pub(super) fn contents_folded(&mut self, ui: &mut Ui, width: f32) -> Option<(usize, Option<Act>)> {
        if self.has_side(width) || self.contents.len() < 2 {
            return None;
        }
        let words = format!("{} of {} ▾", self.sheet + 1, self.contents.len());
        let mut turn = None;
        let shown = ui.scope(|ui| {
            // No higher than the title beside it.
            ui.spacing_mut().button_padding = egui::vec2(4.0, 0.0);
            ui.spacing_mut().interact_size.y = 0.0;
            ui.menu_button(RichText::new(words).size(12.0), |ui| {
                for index in 0..self.contents.len() {
                    turn = turn.or(self.sheet_of_contents(ui, index));
                }
                if turn.is_some() {
                    ui.close();
                }
            })
        });
        let _ = shown
            .inner
            .response
            .on_hover_text("The sheets and lists of this workbook");
        turn
    }

    pub(super) fn contents_side(&mut self, ui: &mut Ui) {
        if !self.has_side(ui.max_rect().width()) {
            return;
        }
        let mut turn = None;
        let _ = Side::left("contents")
            .resizable(true)
            .default_size(190.0)
            .min_size(140.0)
            .show(ui, |ui| {
                ui.set_min_width(ui.available_width());
                ui.add_space(6.0);
                self.book(ui);
                ui.add_space(6.0);
                let _ = ScrollArea::vertical().show(ui, |ui| {
                    if self.of_head > 0 {
                        let words = format!("{} before the first sheet", faults_words(self.of_head));
                        let ink = look::of(ui).failed;
                        if ui.link(RichText::new(words).size(12.0).color(ink)).clicked() {
                            self.panel = Some(Panel::Faults);
                        }
                    }
                    for index in 0..self.contents.len() {
                        turn = turn.or(self.sheet_of_contents(ui, index));
                    }
                });
            });
        self.turn_to_sheet(turn);
    }

    /// Shows a sheet that was pressed, and does there what was asked for.
    pub(super) fn turn_to_sheet(&mut self, turn: Option<(usize, Option<Act>)>) {
        let Some((index, act)) = turn else { return };
        if self.editing.is_some() && !self.commit() {
            return;
        }
        self.sheet = index;
        self.acts.extend(act);
        self.refresh();
    }

    /// The title of the workbook.
    fn book(&mut self, ui: &mut Ui) {
        let title = egui::Label::new(RichText::new(&self.title).font(look::bold(15.0)));
        let title = ui.add(title.sense(egui::Sense::click()));
        if title.double_clicked() {
            self.acts.push(Act::TitleBook);
        }
        let _ = title.context_menu(|ui| self.acts.extend(menus::commands(ui, OF_BOOK, "")));
        let _ = title.on_hover_text("Pressed twice: give the workbook another title");
    }

    /// A sheet, and what is wrong in it. Gives its place where it is turned to, and what is to be done there.
    fn sheet_of_contents(&mut self, ui: &mut Ui, index: usize) -> Option<(usize, Option<Act>)> {
        let inks = look::of(ui);
        let (name, title, faults) = self.contents.get(index)?;
        let (here, faults) = (index == self.sheet, faults + self.wrongs.count(name));
        let font = if here {
            look::bold(14.0)
        } else {
            egui::FontId::proportional(14.0)
        };
        let ink = if here { inks.typed } else { inks.ink };
        let link = ui.link(RichText::new(title).font(font).color(ink));
        let mut turn = link.clicked();
        let mut act = link.double_clicked().then_some(Act::TitleSheet);
        let help = format!("{name}\nPressed twice: give it another title; the right button has what else acts on it");
        let _ = link.context_menu(|ui| {
            act = act.or(menus::commands(ui, OF_SHEET, ""));
            turn |= act.is_some();
        });
        let _ = link.on_hover_text(help);
        if let Some(words) = self.failing.get(index).copied().and_then(failing_words)
            && ui.link(RichText::new(words).size(12.0).color(inks.failed)).clicked()
        {
            turn = true;
            self.panel = Some(Panel::Checks);
        }
        if faults > 0 {
            let words = faults_words(faults);
            if ui.link(RichText::new(words).size(12.0).color(inks.failed)).clicked() {
                self.panel = Some(Panel::Faults);
            }
        }
        turn.then_some((index, act))
    }
}
