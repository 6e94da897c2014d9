//! A list in which no table of motors was found: what was seen of it, and its columns to be named.
//!
//! Always: the workbook that is open and the reading of its own list stay as they are.
//! Not known here: how it is read again.

use std::path::PathBuf;

use eframe::egui::{Label, RichText, Ui};

use super::Wish;
use super::column_map::Choices;
use crate::plates::ListError;
use crate::plates::Report;
use crate::window::look;

/// See the module.
#[derive(Debug)]
pub struct Unread {
    /// The file.
    pub path: PathBuf,
    /// It was to be put into the workbook that is open.
    pub newer: bool,
    report: Report,
    why: String,
    choices: Choices,
}

impl Unread {
    /// Of a list that could not be read; none where nothing was seen of it.
    pub fn of(error: ListError, newer: bool) -> Option<Unread> {
        Some(Unread {
            path: error.cause.path,
            newer,
            report: *error.report?,
            why: error.cause.found,
            choices: Choices::default(),
        })
    }

    /// Whether it has columns that can be named.
    pub fn has_columns(&self) -> bool {
        !self.report.columns.is_empty()
    }
}

/// Draws it.
pub fn draw(ui: &mut Ui, unread: &mut Unread, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let _ = ui.label(RichText::new(&unread.report.file).font(look::bold(14.0)));
    let mut letters = unread.why.chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    let why = format!("✕ {first}{}.", letters.as_str());
    let _ = ui.add(Label::new(RichText::new(why).color(inks.failed)).wrap());
    ui.add_space(8.0);
    if unread.has_columns() {
        look::heading(ui, "Say what its columns hold");
        let words =
            "Of motors a table says a rating, a speed or a current. The row most like headings has these columns:";
        let _ = ui.add(Label::new(RichText::new(words).color(inks.words)).wrap());
        ui.add_space(4.0);
        let Unread { report, choices, .. } = unread;
        choices.columns(ui, report, wishes);
    } else {
        let words = "A table of motors needs a row of headings, one of which names a rating, a speed or a current, and rows under it.";
        let _ = ui.add(Label::new(words).wrap());
    }
    ui.add_space(8.0);
    if ui.button("Put it away").clicked() {
        wishes.push(Wish::LeaveUnread);
    }
}
