//! The panels beside the grid, and the working line under it.
//!
//! Always: a panel reads results and gives back wishes; it changes nothing.

pub mod faults;
pub mod checks;
pub mod assumptions;
pub mod curves;
pub mod report;
pub mod keys;
pub mod working;

use std::sync::Arc;

use super::command::Act;
use super::spot::{Field, Spot};
use crate::recalc::Results;
use crate::session::{Command, Session};
use crate::workbook::Role;

/// Which panel is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Panel {
    /// The first page.
    Start,
    /// Faults and warnings.
    Faults,
    /// Checks.
    Checks,
    /// Assumptions.
    Assumptions,
    /// Curves.
    Curves,
    /// What was read from a list.
    Report,
    /// Commands and keys.
    Keys,
}

/// What a panel wishes.
#[derive(Clone, Debug)]
pub enum Wish {
    /// Go to a place of a sheet.
    Go(usize, Spot),
    /// Do a command.
    Do(Command),
    /// Do a command in place of the one before it, while a value is dragged; `true`: the drag begins.
    Drag(Command, bool),
    /// As if a command had been chosen.
    Ask(Act),
    /// Open a shipped workbook, by its place in the list.
    Shipped(usize),
}

/// The place of a quantity of a name: its value for an item, or its formula.
pub fn place_of(results: &Results, sheet: &str, name: &str, item: Option<&str>) -> Option<(usize, Spot)> {
    let at = results.sheets.iter().position(|known| *known.name == *sheet)?;
    let sheet = results.sheets.get(at)?;
    let quantity = sheet.quantities.iter().position(|known| *known.name == *name)?;
    let item = item.and_then(|item| sheet.items.iter().position(|known| **known == *item));
    let role = sheet.quantities.get(quantity)?.role;
    let field = match item {
        Some(item) => Field::Value(item),
        None if role == Role::Given && !sheet.items.is_empty() => Field::Value(0),
        None => Field::Formula,
    };
    Some((at, Spot { quantity, field }))
}

/// The words of a formula, names among them.
fn words_of(formula: &str) -> impl Iterator<Item = &str> {
    formula
        .split(|letter: char| !letter.is_alphanumeric() && letter != '_' && letter != '′')
        .filter(|word| !word.is_empty())
}

/// A name that leads to a place.
#[derive(Clone, Debug)]
struct Link {
    text: String,
    goes: Option<(usize, Spot)>,
}

/// Links to quantities, those of other sheets with the name of their sheet.
fn links_to(results: &Results, here: &str, names: &[(Arc<str>, Arc<str>)], item: Option<&str>) -> Vec<Link> {
    names
        .iter()
        .map(|(sheet, name)| Link {
            text: if **sheet == *here {
                name.to_string()
            } else {
                format!("{sheet}.{name}")
            },
            goes: place_of(results, sheet, name, item),
        })
        .collect()
}

/// Draws links one after another.
fn draw_links(ui: &mut eframe::egui::Ui, links: &[Link], wishes: &mut Vec<Wish>) {
    for link in links {
        match link.goes {
            Some((at, spot)) => {
                if ui.link(&link.text).on_hover_text("Go there").clicked() {
                    wishes.push(Wish::Go(at, spot));
                }
            }
            None => {
                let _ = ui.label(&link.text);
            }
        }
    }
}

/// A row of links to quantities.
fn links(
    ui: &mut eframe::egui::Ui,
    session: &Session,
    here: &str,
    names: &[(Arc<str>, Arc<str>)],
    item: Option<&str>,
    wishes: &mut Vec<Wish>,
) {
    draw_links(ui, &links_to(session.results(), here, names, item), wishes);
}
