//! All commands with their keys, from the one list.

use eframe::egui::{self, RichText, Ui};

use super::Wish;
use crate::window::command::{self, COMMANDS, Group};
use crate::window::look::{self, State};

/// Draws the panel.
pub fn draw(ui: &mut Ui, search: &mut String, fresh: &mut bool, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let begins = std::mem::take(fresh);
    if begins {
        search.clear();
    }
    let label = ui.label("Search a command");
    let field = ui
        .add(egui::TextEdit::singleline(search).desired_width(f32::INFINITY))
        .labelled_by(label.id);
    if begins {
        field.request_focus();
    }
    let wanted = search.trim().to_lowercase();
    let fits = |command: &&command::Command| command.answers(&wanted).is_some();
    // Enter does the first of those that answer best.
    let enter = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if enter && !wanted.is_empty() {
        let found = COMMANDS.iter().filter(fits);
        if let Some(command) = found.min_by_key(|command| command.answers(&wanted)) {
            wishes.push(Wish::Ask(command.act));
            search.clear();
            return;
        }
    }
    if !COMMANDS.iter().any(|command| fits(&command)) {
        let _ = ui.label(RichText::new("Nothing is called so. Other words may find it.").color(inks.doubtful));
        let _ = ui.separator();
    }
    for group in Group::ALL {
        let mut of_group = COMMANDS
            .iter()
            .filter(|command| command.group == group)
            .filter(fits)
            .peekable();
        if of_group.peek().is_none() {
            continue;
        }
        let _ = ui.label(RichText::new(group.word()).font(look::bold(14.0)));
        for command in of_group {
            let _ = ui.horizontal_wrapped(|ui| {
                if ui.link(command.word).clicked() {
                    wishes.push(Wish::Ask(command.act));
                }
                if let Some(keys) = &command.keys {
                    let _ = ui.label(
                        RichText::new(command::keys(keys))
                            .font(look::oblique(13.0))
                            .color(inks.typed),
                    );
                }
            });
            let _ = ui.label(RichText::new(command.help).size(12.0).color(inks.faint));
        }
        let _ = ui.separator();
    }
    let _ = ui.label(RichText::new("In the grid").font(look::bold(14.0)));
    for text in [
        "Letters begin to type in the chosen place. Enter goes down, Tab to the right, with Shift back; Esc leaves it as it was.",
        "A number typed or pasted without a unit gets the unit that is shown. Behind the last line of a sheet one is open for the next.",
        "Arrows move; with Shift they choose a range. Home and End go to the ends of a line, with Ctrl to the ends of the sheet.",
        "In a list Ctrl+Home goes to the first row, Up from there to the lines that head it where they are unfolded. What is typed in the open row behind the last makes a row; Insert puts one after the chosen one.",
        "A heading pressed chooses its column, a margin its line; with Shift, up to there. What acts on a chosen column acts on its quantity or its case: copied, filled, emptied, hidden, widened, taken away. Pressed twice, a heading is typed anew.",
        "The edge of a heading is drawn to widen its column. Notes of a sheet stand between its lines; pressed, they are typed anew.",
        "Page Up and Page Down turn the page. Esc closes Find and puts away what was said.",
    ] {
        let _ = ui.label(text);
    }
    let _ = ui.label(RichText::new("Marks").font(look::bold(14.0)));
    let place = |ui: &mut Ui| ui.allocate_space(egui::vec2(12.0, look::SIZE)).1.center();
    for state in State::ALL.into_iter().filter(|state| !state.mark().is_empty()) {
        let _ = ui.horizontal_wrapped(|ui| {
            let at = place(ui);
            look::mark(ui.painter(), at, state, state.ink(inks));
            let _ = ui.label(
                RichText::new(state.word())
                    .font(state.font(14.0))
                    .color(state.ink(inks)),
            );
        });
    }
    let _ = ui.horizontal_wrapped(|ui| {
        let at = place(ui);
        look::unmet(ui.painter(), at, inks);
        let _ = ui.label(RichText::new(State::UNMET).color(inks.failed));
    });
    let _ = ui.horizontal_wrapped(|ui| {
        let _ = ui.label(RichText::new("68 (52 … 91)").color(inks.ink));
        let _ = ui.label("a value and its limits within the tolerances");
    });
}
