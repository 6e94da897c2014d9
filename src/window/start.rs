//! The first page: three doors, the shipped workbooks behind them, and the files one may bring.

use eframe::egui::{RichText, Ui};

use super::command::{self, Act};
use super::look;
use super::panels::{Panel, Wish};

/// A workbook that comes with the program. The data in it is invented.
pub struct Shipped {
    /// The word on the door.
    pub door: &'static str,
    /// What is behind it.
    pub words: &'static str,
    /// The text of the workbook.
    pub text: &'static str,
    /// The panel it opens with.
    pub panel: Panel,
    /// The quantity whose working is shown at first.
    pub shows: &'static str,
}

/// The doors.
pub static SHIPPED: [Shipped; 3] = [
    Shipped {
        door: "Size a drive",
        words: "A worked sheet from the driven machine to the rating, with checks and margins.",
        text: include_str!("../../workbooks/conveyor-drive.pole"),
        panel: Panel::Checks,
        shows: "P_sh",
    },
    Shipped {
        door: "Teach with a motor",
        words: "A motor and a fan over speed: where they meet, what moves it, every step with its formula.",
        text: include_str!("../../workbooks/fan-drive.pole"),
        panel: Panel::Curves,
        shows: "T_1",
    },
    Shipped {
        door: "Survey a plant",
        words: "A list of motors with load by power, slip and current. Choose Read an equipment list to bring your own.",
        text: SURVEY,
        panel: Panel::Faults,
        shows: "load_s",
    },
];

/// An invented list, kept as text so that the door opens at once.
const SURVEY: &str = include_str!("survey.pole");

/// Draws the page.
pub fn draw(ui: &mut Ui, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let _ = ui.label(RichText::new("Begin with one of these").font(look::bold(17.0)));
    for (index, shipped) in SHIPPED.iter().enumerate() {
        ui.add_space(6.0);
        let door = RichText::new(shipped.door).font(look::bold(15.0)).color(inks.typed);
        if ui.link(door).clicked() {
            wishes.push(Wish::Shipped(index));
        }
        let _ = ui.label(RichText::new(shipped.words).color(inks.words));
    }
    ui.add_space(8.0);
    let _ = ui.separator();
    for act in [Act::Open, Act::Import, Act::NewWorkbook, Act::Keys] {
        if let Some(command) = command::of(act) {
            if ui.link(command.word).clicked() {
                wishes.push(Wish::Ask(act));
            }
            let _ = ui.label(RichText::new(command.help).size(12.0).color(inks.faint));
        }
    }
    ui.add_space(8.0);
    let _ = ui.separator();
    let _ = ui.label(
        RichText::new(
            "Results are estimates for qualified people. The nameplate, the maker's data, the local code and licensed practice \
             govern. Measuring on live or turning machines is for people trained and authorised to do it.",
        )
        .size(12.0)
        .color(inks.words),
    );
}
