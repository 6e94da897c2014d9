//! The panels beside the grid, and the working line under it.
//!
//! Always: a panel reads results and gives back wishes; it changes nothing.

pub mod faults;
pub mod mending;
mod margins;
pub mod checks;
pub mod assumptions;
mod drawn;
mod labels;
mod picture;
mod proposed;
pub mod curves;
pub mod column_map;
pub mod source_row;
pub mod doubts;
pub mod sorts;
pub mod report;
pub mod unread;
pub mod keys;
pub mod functions;
pub mod working;
pub mod line_field;
pub mod lines;

use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;

use eframe::egui::{self, RichText};

use super::command::Act;
use super::commas::{Commas, Doubtful};
use super::look;
use super::spot::{Field, Spot};
use crate::fault::{Fix, Placed};
use crate::recalc::{RestsOn, Results, SheetResults};
use crate::session::Command;
use crate::workbook::{Role, SOURCE_ROW, SourceWord};

/// Which panel is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Panel {
    /// The first page.
    Start,
    /// Faults and warnings.
    Faults,
    /// Lines without a place in the grid.
    Lines,
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
    /// Functions, series, tables of the language.
    Functions,
}

impl Panel {
    /// All of them, in the order they are named.
    pub const ALL: [Panel; 9] = [
        Panel::Start,
        Panel::Faults,
        Panel::Lines,
        Panel::Checks,
        Panel::Assumptions,
        Panel::Curves,
        Panel::Report,
        Panel::Keys,
        Panel::Functions,
    ];

    /// The command that opens it.
    pub fn act(self) -> Act {
        match self {
            Panel::Start => Act::Start,
            Panel::Faults => Act::Faults,
            Panel::Lines => Act::Lines,
            Panel::Checks => Act::Checks,
            Panel::Assumptions => Act::Assumptions,
            Panel::Curves => Act::Curves,
            Panel::Report => Act::Report,
            Panel::Keys => Act::Keys,
            Panel::Functions => Act::Functions,
        }
    }
}

/// What a panel wishes.
#[derive(Clone, Debug)]
pub enum Wish {
    /// Go to a place of a sheet.
    Go(usize, Spot),
    /// Go to the place of a fault.
    Fault(Box<Placed>),
    /// Do a command.
    Do(Command),
    /// Mend the open text.
    Mend(Fix),
    /// Do a command in place of the one before it, while a value is dragged; `true`: the drag begins.
    Drag(Command, bool),
    /// Put a text into the one that is typed, and choose these letters of it.
    Put(String, Option<Range<usize>>),
    /// Read the numbers of a sheet that have a decimal comma.
    Commas(usize, Doubtful),
    /// Make every offered change that leaves no choice.
    MendAll,
    /// Show a panel.
    Show(Panel),
    /// As if a command had been chosen.
    Ask(Act),
    /// Open a file.
    File(PathBuf),
    /// Open a shipped workbook, by its place in the list.
    Shipped(usize),
    /// Read the list again by this column map.
    ReadAgain(Arc<str>),
    /// Read this sheet of the list in the place of the one that was read.
    ReadSheet(String),
    /// Put away what was seen of a list that could not be read.
    LeaveUnread,
    /// Write this column map to a file.
    KeepMap(Arc<str>),
    /// Write the report to a file.
    KeepReport,
}

/// An item by its name, and where it most likely stands: a long list is not searched for each name that leads to the same row.
#[derive(Clone, Copy, Debug)]
pub struct Near<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where to look first.
    pub at: usize,
}

impl Near<'_> {
    fn find(self, items: &[Arc<str>]) -> Option<usize> {
        match items.get(self.at) {
            Some(item) if **item == *self.name => Some(self.at),
            _ => items.iter().position(|known| **known == *self.name),
        }
    }
}

/// The place of a quantity of a name: its value for an item, or its formula.
pub fn place_of(results: &Results, sheet: &str, name: &str, item: Option<Near<'_>>) -> Option<(usize, Spot)> {
    let at = results.sheets.iter().position(|known| *known.name == *sheet)?;
    let sheet = results.sheets.get(at)?;
    let quantity = sheet.quantities.iter().position(|known| *known.name == *name)?;
    let item = item.and_then(|item| item.find(&sheet.items));
    let role = sheet.quantities.get(quantity)?.role;
    let field = match item {
        Some(item) => Field::Value(item),
        None if role == Role::Given && !sheet.items.is_empty() => Field::Value(0),
        None => Field::Formula,
    };
    Some((at, Spot { quantity, field }))
}

/// The row of the source that an item of a list was read from.
pub fn source_row_of(sheet: &SheetResults, item: usize) -> Option<u32> {
    let column = sheet.quantities.iter().find(|quantity| &*quantity.name == SOURCE_ROW)?;
    let row = column.cells.get(item)?.as_number()?.to_f64();
    (row >= 1.0).then_some(row as u32)
}

/// An item without a name in words: by its number here, and by its row of the source where it was read from one.
fn row_in_words(sheet: &SheetResults, item: usize) -> String {
    match source_row_of(sheet, item) {
        Some(row) => format!("row {} (source row {row})", item + 1),
        None => format!("row {}", item + 1),
    }
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
fn links_to(results: &Results, here: &str, names: &[(Arc<str>, Arc<str>)], item: Option<Near<'_>>) -> Vec<Link> {
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

/// The givens something rests on, so many at most, with their values.
fn inputs(results: &Results, here: &str, (inputs, most): (&[RestsOn], usize), at: usize) -> Vec<Link> {
    let link = |input: &RestsOn| {
        let assumed = input
            .source
            .as_ref()
            .is_some_and(|source| source.word == SourceWord::Assumed);
        let word = if assumed { " (assumed)" } else { "" };
        let name = match *input.sheet == *here {
            true => input.name.to_string(),
            false => format!("{}.{}", input.sheet, input.name),
        };
        // Marks of the page in words.
        let text = match input.value.as_str() {
            "!" => format!("{name} has a fault"),
            "–" => format!("{name} is missing"),
            value if input.item.is_none() => format!("{name}: {value}{word}"),
            value => format!("{name} = {value}{word}"),
        };
        Link {
            text,
            goes: {
                let item = input.item.as_deref().map(|name| Near { name, at });
                place_of(results, &input.sheet, &input.name, item)
            },
        }
    };
    let mut out: Vec<Link> = inputs.iter().take(most).map(link).collect();
    let more = inputs.len().saturating_sub(most);
    if more > 0 {
        out.push(Link {
            text: format!("and {more} more"),
            goes: None,
        });
    }
    out
}

/// Draws links one after another.
fn draw_links(ui: &mut egui::Ui, links: &[Link], wishes: &mut Vec<Wish>) {
    for link in links {
        match link.goes {
            Some((at, spot)) => {
                if ui.link(&link.text).on_hover_text("Go there").clicked() {
                    wishes.push(Wish::Go(at, spot));
                }
            }
            // Checks and flags have no place in the grid.
            None if link.text.contains("check ") || link.text.contains("flag ") => {
                if ui.link(&link.text).on_hover_text("Show the checks").clicked() {
                    wishes.push(Wish::Show(Panel::Checks));
                }
            }
            None => {
                let _ = ui.label(&link.text);
            }
        }
    }
}

/// A button for something offered. Whether it was pressed.
pub(super) fn offered(ui: &mut egui::Ui, label: &str) -> bool {
    ui.button(format!("→ {label}")).on_hover_text("Do it").clicked()
}

/// Offers to read the numbers of a sheet that have a decimal comma, all in one step.
pub(in crate::window) fn draw_commas(ui: &mut egui::Ui, sheet: usize, found: &Commas, wishes: &mut Vec<Wish>) {
    for (words, doubtful) in found.offers() {
        if offered(ui, &words) {
            wishes.push(Wish::Commas(sheet, doubtful));
        }
    }
}

/// What came of a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answer {
    /// What is written in it is to be done.
    Do,
    /// It is to be left.
    Leave,
}

/// A field for a line, with what to do with it. `fresh`: it is to get the keys; `stays`: it keeps them for the next line.
fn field(ui: &mut egui::Ui, word: &str, text: &mut String, fresh: bool, stays: bool) -> Option<Answer> {
    let label = ui.label(RichText::new(word).size(12.0).color(look::of(ui).faint));
    let field = ui
        // It is the same field, however many lines come to stand above it.
        .add(
            egui::TextEdit::singleline(text)
                .id_salt(word)
                .desired_width(f32::INFINITY),
        )
        .labelled_by(label.id);
    if fresh {
        field.request_focus();
        // One types on at its end.
        if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), field.id) {
            let end = egui::text::CCursor::new(text.chars().count());
            state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
            state.store(ui.ctx(), field.id);
        }
    }
    let pressed = |key| field.lost_focus() && ui.input(|input| input.key_pressed(key));
    let (mut done, mut away) = (pressed(egui::Key::Enter), pressed(egui::Key::Escape));
    let _ = ui.horizontal(|ui| {
        done |= ui.button("Do it").clicked();
        away |= ui.button("Leave it").clicked();
    });
    if done && stays {
        field.request_focus();
    }
    match (done, away) {
        (true, _) => Some(Answer::Do),
        (false, true) => Some(Answer::Leave),
        (false, false) => None,
    }
}
