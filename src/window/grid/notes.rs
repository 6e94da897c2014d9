//! The notes of a sheet, as words over all its columns, between its lines; and lines that cannot be read, at their place.
//!
//! Always: a note that is cut for want of room says so, and a press shows it whole; a whole one is typed anew by a press.
//! Not known here: how its words are broken into rows.

use eframe::egui::{self, Id, Rect, Response, Sense, Stroke, Ui};

use super::places::Draws;
use super::{Done, Drawn, LINE, reading};
use crate::window::arrange::Note;
use crate::window::hint;
use crate::window::look::{self, SIZE};

/// What is done with a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfNote {
    /// It is typed anew.
    Change,
    /// A long one is shown whole, or in short again.
    Fold,
    /// It is taken away.
    Delete,
}

impl OfNote {
    const ALL: [OfNote; 3] = [OfNote::Change, OfNote::Fold, OfNote::Delete];

    /// Its word, where it can be done.
    fn word(self, note: &Note) -> Option<&'static str> {
        match (self, note.folded) {
            (OfNote::Change, _) if note.wrong.is_some() => Some("Type the line anew"),
            (OfNote::Delete, _) if note.wrong.is_some() => Some("Take the line away"),
            (OfNote::Change, _) => Some("Change the note"),
            (OfNote::Fold, Some(true)) => Some("Show it whole"),
            (OfNote::Fold, Some(false)) => Some("Show it in short"),
            (OfNote::Fold, None) => None,
            (OfNote::Delete, _) => Some("Take the note away"),
        }
    }
}

/// Draws those in sight.
pub(super) fn draw(ui: &mut Ui, draws: &Draws<'_>, body: Rect, drawn: &mut Drawn) {
    for (row, line) in draws.picture.lines.iter().enumerate() {
        let Some((statement, begins)) = line.note else { continue };
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        let y = body.min.y + draws.top + LINE * row as f32;
        if y + LINE > body.max.y {
            break;
        }
        let rect = Rect::from_min_max(egui::pos2(body.min.x, y), egui::pos2(body.max.x, y + LINE));
        let _ = ui.painter().rect_filled(rect, 0.0, draws.inks.paper);
        let id = Id::unique(("note", draws.picture.own(), statement, row));
        let response = ui.interact(rect, id, Sense::click());
        let note = draws.picture.plan.notes.iter().find(|note| note.statement == statement);
        let ink = match note.is_some_and(|note| note.wrong.is_some()) {
            _ if response.hovered() => draws.inks.typed,
            true => draws.inks.failed,
            false => draws.inks.words,
        };
        let at = egui::pos2(body.min.x + reading::GUTTER + 8.0, rect.center().y);
        let font = look::oblique(SIZE);
        let _ = ui.painter().text(at, egui::Align2::LEFT_CENTER, &line.name, font, ink);
        if begins {
            // A short stroke at its beginning, as beside a paragraph.
            let x = body.min.x + reading::GUTTER - 4.0;
            let rows = draws.picture.lines.iter().skip(row + 1);
            let more = rows.take_while(|next| next.note == Some((statement, false))).count();
            #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
            let end = y + LINE * (more + 1) as f32 - 4.0;
            ui.painter().vline(x, y + 4.0..=end, Stroke::new(1.5, draws.inks.rule));
        }
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_role(egui::accesskit::Role::Note);
            node.set_label(line.name.clone());
        });
        if let Some(note) = note {
            pressed(response, note, drawn);
        }
    }
}

fn pressed(response: Response, note: &Note, drawn: &mut Drawn) {
    let is_cut = note.folded == Some(true);
    if response.clicked() {
        let does = if is_cut { OfNote::Fold } else { OfNote::Change };
        drawn.done.push(Done::Note(note.statement, does));
    }
    let _ = response.context_menu(|ui| {
        for does in OfNote::ALL {
            if let Some(word) = does.word(note)
                && ui.button(word).clicked()
            {
                drawn.done.push(Done::Note(note.statement, does));
                ui.close();
            }
        }
    });
    let help = match (is_cut, note.wrong.is_some()) {
        (true, _) => "pressed, it is shown whole",
        (false, false) => "pressed, it is typed anew",
        (false, true) => "pressed, it is typed anew among the lines of the sheet",
    };
    let told = match &note.wrong {
        Some(why) => {
            format!("A line that cannot be read: {why}\nIt is in the workbook and nothing is worked from it; {help}")
        }
        None => format!("{}\nA note of the sheet; {help}", note.text),
    };
    hint::below(&response, &told);
}
