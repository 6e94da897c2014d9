//! The plots of a sheet for the chosen case: lines with a read-out at the cursor, and a given to drag.

use eframe::egui::{self, RichText, Ui};
use egui_plot::{Legend, Line, PlotPoints, Points, Text};

use super::Wish;
use crate::recalc::Plot;
use crate::session::{Command, Session};
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot};
use crate::workbook::Role;

/// Places worked along a line.
const PLACES: usize = 160;

/// Plots that were worked, kept until something changes.
#[derive(Clone, Debug, Default)]
pub struct Curves {
    of: Option<(usize, usize, u64)>,
    plots: Vec<Plot>,
}

impl Curves {
    /// Draws the panel for an item of a sheet.
    pub fn draw(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        sheet: usize,
        chosen: Option<Spot>,
        changes: u64,
        wishes: &mut Vec<Wish>,
    ) {
        let inks = look::of(ui);
        let Some(seen) = Seen::of(session, sheet) else { return };
        let item = match chosen.map(|spot| spot.field) {
            Some(Field::Value(item)) => item,
            _ => 0,
        };
        if self.of != Some((sheet, item, changes)) {
            self.of = Some((sheet, item, changes));
            self.plots = session.plots(&seen.results.name, item, PLACES);
        }
        if self.plots.is_empty() {
            let _ = ui.label("This sheet has no plot. A line such as");
            let _ = ui.label(RichText::new("plot T_L for n from 0 r/min to 1500 r/min").font(look::oblique(14.0)));
            let _ = ui.label("draws a curve or a formula of one quantity.");
        }
        if let Some(case) = seen.results.items.get(item).filter(|case| !case.is_empty()) {
            let _ = ui.label(RichText::new(format!("for {case}")).font(look::oblique(14.0)));
        }
        for (index, plot) in self.plots.iter().enumerate() {
            one(ui, index, sheet, plot, inks);
        }
        if !self.plots.is_empty() {
            slider(ui, seen, chosen, wishes);
        }
    }
}

fn named(name: &str, unit: &str) -> String {
    if unit.is_empty() {
        name.to_owned()
    } else {
        format!("{name} in {unit}")
    }
}

fn one(ui: &mut Ui, index: usize, sheet: usize, plot: &Plot, inks: &look::Inks) {
    if !plot.title.is_empty() {
        let _ = ui.label(RichText::new(&plot.title).font(look::bold(14.0)));
    }
    if let Some(why) = &plot.refused {
        let _ = ui.label(RichText::new(format!("✕ {why}")).color(inks.failed));
        return;
    }
    let unit = plot.trails.first().map_or("", |trail| trail.unit.as_str());
    let names: Vec<&str> = plot.trails.iter().map(|trail| trail.text.as_str()).collect();
    let (variable, x_unit) = (plot.variable.to_string(), plot.unit.clone());
    let y_unit = unit.to_owned();
    let _ = egui_plot::Plot::new(("plot", sheet, index))
        .height(260.0)
        .legend(Legend::default())
        .x_axis_label(named(&plot.variable, &plot.unit))
        .y_axis_label(named(&names.join(", "), unit))
        .allow_scroll(false)
        .coordinates_formatter(
            egui_plot::Corner::LeftBottom,
            egui_plot::CoordinatesFormatter::new(move |point, _| {
                format!("{variable} = {:.4} {x_unit}, {:.4} {y_unit}", point.x, point.y)
            }),
        )
        .show(ui, |drawing| {
            let styles = [
                (inks.typed, egui_plot::LineStyle::Solid),
                (inks.good, egui_plot::LineStyle::dashed_loose()),
                (inks.doubtful, egui_plot::LineStyle::dotted_dense()),
                (inks.ink, egui_plot::LineStyle::dashed_dense()),
            ];
            for (trail, (ink, style)) in plot.trails.iter().zip(styles.iter().cycle()) {
                let points: Vec<[f64; 2]> = trail.points.iter().map(|(x, y)| [*x, *y]).collect();
                drawing.line(
                    Line::new(trail.text.clone(), PlotPoints::from(points.clone()))
                        .color(*ink)
                        .width(2.0)
                        .style(*style),
                );
                let ends: Vec<[f64; 2]> = points.first().into_iter().chain(points.last()).copied().collect();
                drawing.points(Points::new(trail.text.clone(), ends.clone()).radius(3.0).color(*ink));
                for [x, y] in ends {
                    drawing.text(Text::new(
                        trail.text.clone(),
                        [x, y].into(),
                        RichText::new(format!("{y:.4}")).color(*ink),
                    ));
                }
            }
        });
    for trail in &plot.trails {
        if let Some(why) = &trail.missing {
            let _ = ui.label(
                RichText::new(format!("{}: {why}", trail.text))
                    .size(12.0)
                    .color(inks.doubtful),
            );
        }
    }
}

/// A given of the sheet to drag: from half to twice its value; let go, and it is typed.
fn slider(ui: &mut Ui, seen: Seen<'_>, chosen: Option<Spot>, wishes: &mut Vec<Wish>) {
    let Some(spot) = chosen else { return };
    let Some(quantity) = seen.quantity(spot.quantity) else {
        return;
    };
    let Field::Value(item) = spot.field else { return };
    let number = quantity
        .cells
        .get(item)
        .and_then(crate::language::work::Outcome::as_number);
    let (Role::Given, Some(number)) = (quantity.role, number) else {
        let _ = ui.label("Choose a given with a number to drag it.");
        return;
    };
    let now = number.to_f64();
    if now == 0.0 {
        return;
    }
    let unit = seen.unit(spot.quantity, Default::default());
    let id = ui.scope_id().with(("dragged", seen.at, spot));
    let mut value: f64 = ui.data(|data| data.get_temp(id)).unwrap_or(now);
    let (low, high) = if now > 0.0 {
        (now / 2.0, now * 2.0)
    } else {
        (now * 2.0, now / 2.0)
    };
    let response = ui.add(
        egui::Slider::new(&mut value, low..=high)
            .text(named(&quantity.name, &unit))
            .clamping(egui::SliderClamping::Never),
    );
    if response.changed() {
        // Three digits are as fine as a hand drags.
        let text = format!(
            "{} {unit}",
            crate::quantity::show::number(
                &crate::quantity::Number::from_f64(value).unwrap_or(number),
                Some(&crate::workbook::Rounding::Digits(3)),
            )
        );
        if let Ok(changes) = seen.change(spot, text.trim()) {
            let command = Command {
                label: format!("drag {}", quantity.name).into(),
                changes,
            };
            let first = ui.data(|data| data.get_temp::<f64>(id)).is_none();
            wishes.push(Wish::Drag(command, first));
        }
    }
    if response.dragged() {
        ui.data_mut(|data| data.insert_temp(id, value));
    } else {
        ui.data_mut(|data| data.remove::<f64>(id));
    }
}
