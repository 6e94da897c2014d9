//! The first page: three doors and the shipped workbooks behind them, the files that were open last, those one may bring, and what else is
//! shipped.

use std::path::PathBuf;

use eframe::egui::{self, Pos2, Rect, RichText, Sense, Stroke, Ui, Vec2, vec2};

use super::command::{self, Act};
use super::look;
use super::panels::{Panel, Wish};

/// A workbook that comes with the program. The data in it is invented.
pub struct Shipped {
    /// The word on the door.
    pub door: &'static str,
    /// What is behind it.
    pub words: &'static str,
    /// What one has in hand at the end.
    pub end: &'static str,
    /// None where it is no door.
    sketch: Option<Sketch>,
    /// The text of the workbook.
    pub text: &'static str,
    /// The panel it opens with; none where the sheet wants all the room.
    pub panel: Option<Panel>,
    /// The quantity whose working is shown at first.
    pub shows: &'static str,
}

/// The shipped workbooks: the doors first.
pub static SHIPPED: [Shipped; 7] = [
    Shipped {
        door: "Size a drive",
        words: "A worked sheet from the driven machine to the motor: every formula with its units.",
        end: "a rating, with its checks and their margins",
        sketch: Some(Sketch::Margins),
        text: include_str!("../../workbooks/conveyor-drive.pole"),
        panel: Some(Panel::Checks),
        shows: "P_sh",
    },
    Shipped {
        door: "Teach with a motor",
        words: "A motor and a fan over speed: where they meet, and what moves it when a given is dragged.",
        end: "a curve with its operating point, and the worked key",
        sketch: Some(Sketch::Curves),
        text: include_str!("../../workbooks/fan-drive.pole"),
        panel: Some(Panel::Curves),
        shows: "T_1",
    },
    Shipped {
        door: "Survey a plant",
        words: "A list of motors with their loads by power, slip and current. Read an equipment list brings your own.",
        end: "the list with loads, doubts and what to measure again",
        sketch: Some(Sketch::Loads),
        text: SURVEY,
        panel: None,
        shows: "load_s",
    },
    Shipped {
        door: "First sheet: speed, slip, torque, power",
        words: "A small motor at a brake.",
        end: "slip, shaft power, efficiency, load",
        sketch: None,
        text: include_str!("../../workbooks/small-motor.pole"),
        panel: Some(Panel::Checks),
        shows: "s",
    },
    Shipped {
        door: "Lesson: torque and speed",
        words: "From the circuit to the curve.",
        end: "the three largest points of a curve, each another one",
        sketch: None,
        text: include_str!("../../workbooks/torque-speed-lesson.pole"),
        panel: Some(Panel::Curves),
        shows: "n_1",
    },
    Shipped {
        door: "Run-up of a flywheel press",
        words: "The time to speed and the heat in the rotor.",
        end: "whether the rotor stands the start",
        sketch: None,
        text: include_str!("../../workbooks/flywheel-press.pole"),
        panel: Some(Panel::Curves),
        shows: "t_up",
    },
    Shipped {
        door: "Three motors on one feeder",
        words: "Currents and protection by published tables.",
        end: "what the feeder and its protection are checked for",
        sketch: None,
        text: include_str!("../../workbooks/feeder-check.pole"),
        panel: Some(Panel::Checks),
        shows: "I_fl",
    },
];

/// An invented list, kept as text so that the door opens at once.
const SURVEY: &str = include_str!("survey.pole");

/// A small picture of what is behind a door.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sketch {
    Margins,
    Curves,
    Loads,
}

impl Sketch {
    /// Draws it into a place.
    fn draw(self, painter: &egui::Painter, place: Rect, inks: &look::Inks) {
        let at = |x: f32, y: f32| place.lerp_inside(vec2(x, y));
        let thin = Stroke::new(1.0, inks.rule);
        let bold = |ink| Stroke::new(2.0, ink);
        match self {
            // Three limits, and how far each value lies beyond it.
            Sketch::Margins => {
                let _ = painter.line_segment([at(0.35, 0.05), at(0.35, 0.95)], Stroke::new(1.0, inks.ink));
                for (y, end) in [(0.2, 0.95), (0.5, 0.5), (0.8, 0.72)] {
                    let _ = painter.line_segment([at(0.0, y), at(1.0, y)], thin);
                    let _ = painter.line_segment([at(0.35, y), at(end, y)], Stroke::new(5.0, inks.good));
                }
            }
            // A torque curve and a load that meets it.
            Sketch::Curves => {
                let _ = painter.line_segment([at(0.0, 0.0), at(0.0, 1.0)], thin);
                let _ = painter.line_segment([at(0.0, 1.0), at(1.0, 1.0)], thin);
                let motor = [
                    (0.0, 0.55),
                    (0.3, 0.45),
                    (0.55, 0.22),
                    (0.72, 0.1),
                    (0.82, 0.2),
                    (0.9, 0.6),
                    (0.95, 1.0),
                ];
                let load = [(0.0, 0.93), (0.3, 0.9), (0.6, 0.78), (0.89, 0.55)];
                let path = |points: &[(f32, f32)]| points.iter().map(|(x, y)| at(*x, *y)).collect::<Vec<Pos2>>();
                let _ = painter.line(path(&motor), bold(inks.typed));
                let _ = painter.line(path(&load), bold(inks.good));
                let _ = painter.circle(at(0.89, 0.55), 3.5, inks.paper, bold(inks.ink));
            }
            // Motors of a list and their loads; one is doubtful.
            Sketch::Loads => {
                for (y, end) in [(0.1, 0.75), (0.37, 0.45), (0.63, 0.9), (0.9, 0.3)] {
                    let ink = if end > 0.8 { inks.doubtful } else { inks.typed };
                    let _ = painter.line_segment([at(0.0, y), at(0.14, y)], Stroke::new(3.0, inks.words));
                    let _ = painter.line_segment([at(0.2, y), at(1.0, y)], thin);
                    let _ = painter.line_segment([at(0.2, y), at(0.2 + 0.8 * end, y)], Stroke::new(5.0, ink));
                }
            }
        }
    }
}

/// Room of a sketch; a narrow page has none.
const SKETCH: Vec2 = vec2(76.0, 52.0);

/// Draws the page. `waiting`: those of the last files that unsaved work waits beside.
pub fn draw(ui: &mut Ui, last: &[PathBuf], waiting: &[PathBuf], wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let _ = ui.label(RichText::new("What is to be done?").font(look::bold(20.0)));
    for (index, shipped) in SHIPPED.iter().enumerate() {
        if let Some(sketch) = shipped.sketch {
            ui.add_space(8.0);
            if door(ui, shipped, sketch, inks) {
                wishes.push(Wish::Shipped(index));
            }
        }
    }
    if !last.is_empty() {
        ui.add_space(14.0);
        look::heading(ui, "Go on with");
        for path in last {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let folder = path
                .parent()
                .map_or(String::new(), |folder| folder.display().to_string());
            let _ = ui.horizontal(|ui| {
                if ui.link(RichText::new(&*name).size(15.0).color(inks.typed)).clicked() {
                    wishes.push(Wish::File(path.clone()));
                }
                if waiting.contains(path) {
                    let _ = ui.label(
                        RichText::new("△ unsaved work waits in it")
                            .size(12.0)
                            .color(inks.doubtful),
                    );
                }
                let folder = RichText::new(folder).size(12.0).color(inks.faint);
                let _ = ui.add(egui::Label::new(folder).truncate());
            });
        }
    }
    ui.add_space(14.0);
    look::heading(ui, "Bring your own");
    for act in [Act::Open, Act::Import, Act::NewWorkbook, Act::Keys] {
        if let Some(command) = command::of(act) {
            let _ = ui.horizontal_wrapped(|ui| {
                if ui
                    .link(RichText::new(command.word).size(15.0).color(inks.typed))
                    .clicked()
                {
                    wishes.push(Wish::Ask(act));
                }
                let _ = ui.label(RichText::new(command.help).size(12.0).color(inks.faint));
            });
        }
    }
    ui.add_space(10.0);
    let _ = ui.separator();
    let _ = ui.label(
        RichText::new(
            "Results are estimates for qualified people. The nameplate, the maker's data, the local code and licensed practice \
             govern. Measuring on live or turning machines is for people trained and authorised to do it.",
        )
        .size(12.0)
        .color(inks.words),
    );
    ui.add_space(14.0);
    look::heading(ui, "More that is worked already");
    for (index, shipped) in SHIPPED
        .iter()
        .enumerate()
        .filter(|(_, shipped)| shipped.sketch.is_none())
    {
        let _ = ui.horizontal_wrapped(|ui| {
            let link = ui.link(RichText::new(shipped.door).size(15.0).color(inks.typed));
            if link.on_hover_text(format!("At the end: {}.", shipped.end)).clicked() {
                wishes.push(Wish::Shipped(index));
            }
            let _ = ui.label(RichText::new(shipped.words).size(12.0).color(inks.faint));
        });
    }
}

/// A door: pressed anywhere, by mouse or key. Whether it was.
fn door(ui: &mut Ui, shipped: &Shipped, sketch: Sketch, inks: &look::Inks) -> bool {
    let id = ui.scope_id().with(shipped.door);
    let known = ui.ctx().read_response(id);
    let lit = known.is_some_and(|known| known.hovered() || known.has_focus());
    let edge = if lit {
        Stroke::new(1.5, inks.typed)
    } else {
        Stroke::new(1.0, inks.rule)
    };
    let words = |text: RichText| egui::Label::new(text).selectable(false).wrap();
    let drawn = egui::Frame::new()
        .fill(if lit { inks.range } else { inks.paper })
        .stroke(edge)
        .inner_margin(egui::Margin::symmetric(14, 12))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let _ = ui.horizontal_top(|ui| {
                if ui.available_width() > SKETCH.x * 3.5 {
                    let (place, _) = ui.allocate_exact_size(SKETCH, Sense::hover());
                    sketch.draw(ui.painter(), place.shrink(2.0), inks);
                    ui.add_space(10.0);
                }
                let _ = ui.vertical(|ui| {
                    let door = RichText::new(shipped.door).font(look::bold(18.0)).color(inks.typed);
                    let _ = ui.add(words(door));
                    let _ = ui.add(words(RichText::new(shipped.words)));
                    let end = RichText::new(format!("At the end: {}.", shipped.end));
                    let _ = ui.add(words(end.font(look::oblique(14.0)).color(inks.words)));
                });
            });
        });
    let response = ui.interact(drawn.response.rect, id, Sense::click());
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_role(egui::accesskit::Role::Button);
        node.set_label(shipped.door);
    });
    response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
}
