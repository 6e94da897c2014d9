//! The plots of a sheet for the chosen case: lines with their names and marked places, a read-out at the cursor, a given to drag.
//!
//! Always: points are worked by the session, away from the thread that draws; the last ones stay until new ones come.

use eframe::egui::{self, RichText, Ui};

use super::picture::{Drawn, Marked, one, shown};
use super::{Panel, Wish};
use crate::quantity::{Number, System, show};
use crate::recalc::{Plot, Showing};
use crate::session::Command;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot};
use crate::workbook::{Role, Rounding, Statement};

/// Places worked along a line.
pub const PLACES: usize = 160;

/// Which plots: sheet, item, how many changes there were.
pub type Which = (usize, usize, u64);

/// A given that can be dragged.
#[derive(Clone, Debug, PartialEq)]
struct Given {
    spot: Spot,
    name: String,
    unit: String,
    value: f64,
}

/// The hand on a given: where it began, where it is.
#[derive(Clone, Debug)]
struct Hand {
    spot: Spot,
    from: f64,
    value: f64,
    moving: bool,
}

/// The sheet that the panel stands beside.
#[derive(Clone, Copy)]
pub struct Beside<'a> {
    /// The sheet as it is seen, when the session is here.
    pub seen: Option<Seen<'a>>,
    /// Place of the sheet.
    pub sheet: usize,
    /// The chosen place.
    pub chosen: Option<Spot>,
}

/// Plots that were worked, kept until something changes.
#[derive(Clone, Debug, Default)]
pub struct Curves {
    /// What is drawn.
    of: Option<Which>,
    plots: Vec<Plot>,
    /// The same in the units they are shown in.
    drawn: Vec<Drawn>,
    system: System,
    /// What is asked for.
    asked: Option<Which>,
    /// What was read for the panel beside the points.
    read: Option<Which>,
    case: String,
    givens: Vec<Given>,
    marked: Vec<Marked>,
    any: bool,
    hand: Option<Hand>,
}

impl Curves {
    /// Which plots have to be worked, if they are not there yet and not asked for.
    pub fn wants(&mut self, seen: Seen<'_>, chosen: Option<Spot>, changes: u64) -> Option<Which> {
        let sheet = seen.at;
        let items = seen.results.items.len();
        let item = match (chosen.map(|spot| spot.field), self.read) {
            (Some(Field::Value(item)), _) => item,
            // Beside the values the case that was looked at stays.
            (_, Some((of, item, _))) if of == sheet && item < items => item,
            _ => 0,
        };
        let which = (sheet, item, changes);
        if self.read != Some(which) || self.system != seen.system {
            // In other units the hand on a given begins anew.
            if self.system != seen.system {
                self.hand = None;
                self.system = seen.system;
                self.draw_anew();
            }
            self.read(seen, item);
            self.read = Some(which);
        }
        if !self.any {
            self.plots.clear();
            self.drawn.clear();
            self.of = Some(which);
        }
        if self.of == Some(which) || self.asked == Some(which) {
            return None;
        }
        self.asked = Some(which);
        Some(which)
    }

    /// Takes plots that were worked.
    pub fn take(&mut self, which: Which, plots: Vec<Plot>) {
        if self.asked == Some(which) {
            self.of = Some(which);
            self.plots = plots;
            self.draw_anew();
        }
    }

    fn draw_anew(&mut self) {
        self.drawn = self.plots.iter().map(|plot| Drawn::of(plot, self.system)).collect();
    }

    fn read(&mut self, seen: Seen<'_>, item: usize) {
        self.any = seen
            .sheet
            .lines
            .iter()
            .any(|line| matches!(line.statement, Statement::Plot { .. }));
        self.case = seen
            .results
            .items
            .get(item)
            .map_or(String::new(), |case| case.to_string());
        self.givens.clear();
        self.marked.clear();
        for (at, quantity) in seen.results.quantities.iter().enumerate() {
            let Some(number) = quantity
                .cells
                .get(item)
                .and_then(crate::language::work::Outcome::as_number)
            else {
                continue;
            };
            let unit = seen.unit(at);
            let value = Showing::of(quantity, seen.system).number(number).to_f64();
            self.marked.push(Marked {
                name: quantity.name.to_string(),
                unit: unit.clone(),
                value,
            });
            let spot = Spot {
                quantity: at,
                field: Field::Value(item),
            };
            // Between limits of its own it cannot be dragged.
            let between = || seen.typed(spot).contains(" limits ");
            if quantity.role == Role::Given && value != 0.0 && !between() {
                self.givens.push(Given {
                    spot,
                    name: quantity.name.to_string(),
                    unit,
                    value,
                });
            }
        }
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        if !self.any {
            let _ = ui.label("This sheet has no plot. A line such as");
            let _ = ui.label(RichText::new("plot T_L for n from 0 r/min to 1500 r/min").font(look::oblique(14.0)));
            let _ = ui.label("draws a curve or a formula of one quantity.");
            if ui.link("Type a line…").clicked() {
                wishes.push(Wish::Show(Panel::Lines));
            }
            return;
        }
        if !self.case.is_empty() {
            let _ = ui.label(
                RichText::new(format!("for {}", self.case))
                    .font(look::oblique(14.0))
                    .color(inks.words),
            );
        }
        for (index, plot) in self.drawn.iter().enumerate() {
            one(ui, index, beside.sheet, plot, &self.marked, inks);
        }
        if !self.drawn.is_empty() {
            self.drag(ui, beside, wishes);
        }
    }

    /// A given of the sheet to drag, from half to twice the value it had; let go, and it is typed.
    fn drag(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let Beside { seen, sheet, chosen } = beside;
        let inks = look::of(ui);
        let item = self.read.map_or(0, |(_, item, _)| item);
        let held = self.hand.as_ref().map(|hand| hand.spot);
        let mut spot = chosen
            .filter(|spot| self.givens.iter().any(|given| given.spot == *spot))
            .filter(|spot| held.is_none_or(|held| held.quantity != spot.quantity) || held == Some(*spot))
            .or(held)
            .or_else(|| self.givens.first().map(|given| given.spot));
        // The hand stays on its quantity when another case is looked at.
        if let Some(spot) = &mut spot {
            spot.field = Field::Value(item);
        }
        let Some(given) = spot
            .and_then(|spot| self.givens.iter().find(|given| given.spot == spot))
            .cloned()
        else {
            return;
        };
        ui.add_space(8.0);
        look::heading(ui, "Drag a given and see it move");
        let mut wanted = given.spot;
        let _ = ui.horizontal(|ui| {
            let box_ = egui::ComboBox::from_id_salt("given to drag")
                .selected_text(&given.name)
                .show_ui(ui, |ui| {
                    for other in &self.givens {
                        let _ = ui.selectable_value(&mut wanted, other.spot, &other.name);
                    }
                });
            ui.ctx()
                .accesskit_node_builder(box_.response.id, |node| node.set_label("Given to drag"));
            let _ = ui.label(
                RichText::new(shown(given.value, &given.unit))
                    .font(look::bold(14.0))
                    .color(inks.typed),
            );
        });
        if wanted != given.spot {
            self.hand = self.givens.iter().find(|other| other.spot == wanted).map(hand);
            wishes.push(Wish::Go(sheet, wanted));
            return;
        }
        let fits = self.hand.as_ref().is_some_and(|hand| hand.spot == given.spot);
        let mut hand = match self.hand.take() {
            Some(hand) if fits => hand,
            _ => hand(&given),
        };
        if !hand.moving {
            hand.value = given.value;
            // Typed elsewhere in the meantime: the ends go with it.
            if !(0.45..=2.2).contains(&(given.value / hand.from)) {
                hand.from = given.value;
            }
        }
        let ends = (hand.from / 2.0, hand.from * 2.0);
        ui.spacing_mut().slider_width = (ui.available_width() - 20.0).max(80.0);
        let response = ui.add(
            egui::Slider::new(&mut hand.value, ends.0.min(ends.1)..=ends.0.max(ends.1))
                .show_value(false)
                .clamping(egui::SliderClamping::Never),
        );
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(format!("drag {}", given.name)));
        if response.changed()
            && let Some(seen) = seen
        {
            // Three digits are as fine as a hand drags.
            let digits = Number::from_f64(hand.value).map(|number| show::number(&number, Some(&Rounding::Digits(3))));
            // What it may be off stays as it is typed.
            let typed = seen.typed(given.spot);
            let off = typed.find('±').or_else(|| typed.find("+/-"));
            let off = off.and_then(|at| typed.get(at..)).unwrap_or("");
            if let Ok(digits) = digits
                && let Ok(changes) = seen.change(given.spot, format!("{digits} {} {off}", given.unit).trim())
            {
                let command = Command {
                    label: format!("drag {}", given.name).into(),
                    changes,
                };
                wishes.push(Wish::Drag(command, !hand.moving));
                hand.moving = true;
            }
        }
        if !response.dragged() && !response.changed() {
            hand.moving = false;
        }
        self.hand = Some(hand);
    }
}

fn hand(given: &Given) -> Hand {
    Hand {
        spot: given.spot,
        from: given.value,
        value: given.value,
        moving: false,
    }
}
