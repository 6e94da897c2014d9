//! Checks: value, limit, margin.

use eframe::egui::{self, RichText, Ui};

use super::{Wish, faults};
use crate::recalc::Verdict;
use crate::session::Session;
use crate::window::look;

/// Rows of a list named at most for one check.
const MOST: usize = 40;

/// Draws the panel.
pub fn draw(ui: &mut Ui, session: &Session, wishes: &mut Vec<Wish>) {
    let _ = faults::place;
    let inks = look::of(ui);
    let mut any = false;
    for (at, sheet) in session.results().sheets.iter().enumerate() {
        for (kind, checks) in [("check", &sheet.checks), ("flag", &sheet.flags)] {
            for check in checks {
                any = true;
                let _ = ui.label(RichText::new(&check.text).font(look::bold(14.0)));
                let _ = ui.label(
                    RichText::new(format!("{kind} in {}: {}", sheet.name, check.formula))
                        .size(12.0)
                        .color(inks.faint),
                );
                let is_check = kind == "check";
                // Of a long list only the rows that say something are named.
                let long = check.cells.len() > MOST;
                let told = |verdict: &Verdict| match (is_check, verdict.holds) {
                    (true, Some(true)) => !long,
                    (true, _) => true,
                    (false, holds) => holds == Some(true),
                };
                let _ = egui::Grid::new((sheet.name.clone(), check.formula.clone()))
                    .num_columns(5)
                    .spacing([10.0, 3.0])
                    .show(ui, |ui| {
                        for text in ["", "", "value", "limit", "margin"] {
                            let _ = ui.label(RichText::new(text).font(look::oblique(12.0)).color(inks.faint));
                        }
                        ui.end_row();
                        let cells = check.cells.iter().enumerate().filter(|(_, verdict)| told(verdict));
                        for (item, verdict) in cells.take(MOST) {
                            let (mark, word, ink) = match (is_check, verdict.holds) {
                                (true, Some(true)) => ("✓", "holds", inks.good),
                                (true, Some(false)) => ("✕", "does not hold", inks.failed),
                                (false, _) => ("△", "raised", inks.doubtful),
                                (true, None) => ("○", "not worked", inks.faint),
                            };
                            let _ = ui.label(RichText::new(format!("{mark} {word}")).color(ink));
                            let name = sheet.items.get(item).map_or("", |name| &**name);
                            let first = sheet.quantities.iter().position(|quantity| {
                                check
                                    .formula
                                    .split(|letter: char| !letter.is_alphanumeric() && letter != '_')
                                    .any(|word| word == &*quantity.name)
                            });
                            let name = if name.is_empty() { "go there" } else { name };
                            let link = ui.link(name);
                            if let (true, Some(quantity)) = (link.clicked(), first) {
                                wishes.push(Wish::Go(
                                    at,
                                    crate::window::spot::Spot {
                                        quantity,
                                        field: crate::window::spot::Field::Value(item),
                                    },
                                ));
                            }
                            let (left, right) = verdict.sides.clone().unwrap_or_default();
                            let _ = ui.label(left);
                            let _ = ui.label(right);
                            let _ =
                                ui.label(RichText::new(verdict.margin.as_deref().unwrap_or("")).font(look::bold(14.0)));
                            ui.end_row();
                            if let Some(why) = &verdict.why {
                                let _ = ui.label("");
                                let _ = ui.label(RichText::new(&**why).size(12.0).color(inks.faint));
                                ui.end_row();
                            }
                        }
                    });
                if long {
                    let holds = check.cells.iter().filter(|verdict| verdict.holds == Some(true)).count();
                    let words = if is_check { "hold" } else { "raised" };
                    let _ = ui.label(format!("{holds} of {} rows {words}", check.cells.len()));
                }
                let _ = ui.separator();
            }
        }
    }
    if !any {
        let _ = ui.label("This workbook has no checks. A line of a sheet such as");
        let _ = ui.label(RichText::new("check P_n >= 1.1 * P_sh  \"ten per cent in hand\"").font(look::oblique(14.0)));
        let _ = ui.label("makes one.");
    }
}
