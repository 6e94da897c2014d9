//! The columns of a list and what they were taken for, to be confirmed and corrected.
//!
//! Always: a choice is only kept here; the list is read again, and its map written, by the list's own reader.
//! Not known here: what a heading means.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{self, Label, RichText, Ui};

use super::Wish;
use crate::plates::reads::{PlateUnit, Reads, Sort};
use crate::plates::report::ColumnReport;
use crate::plates::{Report, Settled};
use crate::window::command::Act;
use crate::window::look;

/// Points that the box of a chooser is high at most.
const HIGH: f32 = 420.0;

/// What a user chose of columns, by their place in the report.
#[derive(Clone, Debug, Default)]
pub struct Choices(BTreeMap<usize, Settled>);

impl Choices {
    /// Draws the columns.
    pub fn draw(&mut self, ui: &mut Ui, report: &Report, wishes: &mut Vec<Wish>) {
        let all = report.columns.len();
        let unsure = |column: &&ColumnReport| column.confidence < 0.8 && column.reads.is_some();
        let unsure = report.columns.iter().filter(unsure).count();
        let unused = report.columns.iter().filter(|column| column.reads.is_none()).count();
        let told = match (unsure, unused) {
            (0, 0) => "all known".to_owned(),
            (0, unused) => format!("{unused} kept as they stand"),
            (unsure, 0) => format!("{unsure} not sure"),
            (unsure, unused) => format!("{unsure} not sure, {unused} kept as they stand"),
        };
        // What was understood is folded until somebody asks for it.
        let _ = egui::CollapsingHeader::new(RichText::new(format!("{all} columns, {told}")).font(look::bold(13.0)))
            .id_salt("columns of the list, folded")
            .default_open(unsure > 0)
            .show(ui, |ui| self.columns(ui, report, wishes));
    }

    /// The columns with their choosers.
    pub fn columns(&mut self, ui: &mut Ui, report: &Report, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        // Nothing is wider than the panel: it would grow while it is looked at.
        let wide = ui.available_width();
        let (of_heading, of_reads) = (wide * 0.28, (wide * 0.4).clamp(90.0, 170.0));
        let of_unit = (wide * 0.18).clamp(44.0, 70.0);
        let _ = egui::Grid::new("columns of the list")
            .num_columns(3)
            .spacing([8.0, 3.0])
            .max_col_width(of_reads + 8.0)
            .show(ui, |ui| {
                for text in ["heading", "read as", "unit"] {
                    let _ = ui.label(RichText::new(text).font(look::oblique(12.0)).color(inks.faint));
                }
                ui.end_row();
                for (place, column) in report.columns.iter().enumerate() {
                    let name = column.heading.replace('\n', " ");
                    let hidden = if column.hidden { " (hidden)" } else { "" };
                    let label = ui
                        .scope(|ui| {
                            ui.set_max_width(of_heading);
                            ui.add(Label::new(format!("{name}{hidden}")).wrap())
                        })
                        .inner;
                    if !column.reason.is_empty() {
                        let why = format!("{:.0} % sure: {}", column.confidence * 100.0, column.reason);
                        let _ = label.on_hover_text(why);
                    }
                    let as_read = Settled {
                        reads: column.reads.and_then(Reads::find),
                        unit: column.unit.as_deref().and_then(unit_of),
                    };
                    let now = self.0.get(&place).cloned().unwrap_or_else(|| as_read.clone());
                    let mut wanted = now.clone();
                    let unsure = column.confidence < 0.8 && column.reads.is_some();
                    let mark = if self.0.contains_key(&place) {
                        "→ "
                    } else if unsure {
                        "△ "
                    } else {
                        ""
                    };
                    reads_box(ui, (place, of_reads), &name, mark, &mut wanted);
                    // Another quantity has units of its own.
                    if wanted.reads != now.reads {
                        wanted.unit = None;
                    }
                    unit_box(ui, (place, of_unit), &name, column.unit.as_deref(), &mut wanted);
                    ui.end_row();
                    if wanted != now {
                        if wanted == as_read {
                            let _ = self.0.remove(&place);
                        } else {
                            let _ = self.0.insert(place, wanted);
                        }
                    }
                }
            });
        ui.add_space(4.0);
        let _ = ui.horizontal_wrapped(|ui| {
            let map = || -> Arc<str> { report.column_map_with(|place| self.0.get(&place).cloned()).into() };
            let again = ui.add_enabled(!self.0.is_empty(), egui::Button::new("Read again with these"));
            let hint = "Reads the list again, its columns taken as chosen here.";
            if again.on_hover_text(hint).clicked() {
                wishes.push(Wish::ReadAgain(map()));
            }
            let keep = ui.button("Keep the map…");
            let hint =
                "Writes the columns as they stand here to a small text file, for the next list of the same origin.";
            if keep.on_hover_text(hint).clicked() {
                wishes.push(Wish::KeepMap(map()));
            }
            let with = ui.button("Read with a kept map…");
            let hint = "Reads the list again, its columns as a map says that was kept of a list of the same origin.";
            if with.on_hover_text(hint).clicked() {
                wishes.push(Wish::Ask(Act::KeptMap));
            }
        });
    }
}

fn unit_of(text: &str) -> Option<PlateUnit> {
    PlateUnit::ALL.into_iter().find(|unit| unit.text() == text)
}

fn in_words(reads: Option<Reads>) -> &'static str {
    reads.map_or("kept as it stands", Reads::title)
}

/// What a column can hold, of which these letters are said: what begins with them comes first.
fn found(sought: &str) -> Vec<Option<Reads>> {
    let sought = sought.trim().to_lowercase();
    let all = std::iter::once(None).chain(Reads::ALL.iter().copied().map(Some));
    let holds = |reads: &Option<Reads>| {
        let words = in_words(*reads).to_lowercase();
        sought.split_whitespace().all(|part| words.contains(part))
    };
    let mut found: Vec<Option<Reads>> = all.filter(holds).collect();
    found.sort_by_key(|reads| !in_words(*reads).to_lowercase().starts_with(&sought));
    found
}

fn reads_box(ui: &mut Ui, (place, wide): (usize, f32), name: &str, mark: &str, wanted: &mut Settled) {
    let sought_id = egui::Id::unique("what a column is read as is sought by").with(place);
    let made = egui::ComboBox::from_id_salt(("read as", place))
        .width(wide)
        .height(HIGH)
        .truncate()
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .selected_text(format!("{mark}{}", in_words(wanted.reads)))
        .show_ui(ui, |ui| {
            let known: Option<String> = ui.data(|data| data.get_temp(sought_id));
            let opens = known.is_none();
            let mut sought = known.unwrap_or_default();
            let field = egui::TextEdit::singleline(&mut sought)
                .hint_text("type to find")
                .desired_width(wide);
            let field = ui.add(field);
            if opens {
                field.request_focus();
            }
            let found = found(&sought);
            let struck = ui.input(|input| input.key_pressed(egui::Key::Enter));
            if struck && (field.has_focus() || field.lost_focus()) {
                if let Some(first) = found.first().filter(|_| !sought.trim().is_empty()) {
                    wanted.reads = *first;
                }
                ui.close();
            }
            for reads in found {
                if ui.selectable_value(&mut wanted.reads, reads, in_words(reads)).clicked() {
                    ui.close();
                }
            }
            ui.data_mut(|data| data.insert_temp(sought_id, sought));
        });
    if made.inner.is_none() {
        let _ = ui.data_mut(|data| data.remove_temp::<String>(sought_id));
    }
    ui.ctx()
        .accesskit_node_builder(made.response.id, |node| node.set_label(format!("{name}: read as")));
}

fn unit_box(ui: &mut Ui, (place, wide): (usize, f32), name: &str, said: Option<&str>, wanted: &mut Settled) {
    let Some(reads) = wanted.reads.filter(|reads| reads.sort() == Sort::Number) else {
        let _ = ui.label("");
        return;
    };
    let fitting: Vec<PlateUnit> = PlateUnit::ALL.into_iter().filter(|unit| unit.fits(reads)).collect();
    if fitting.len() < 2 {
        let _ = ui.label(said.unwrap_or_else(|| reads.usual().text()));
        return;
    }
    let shown = wanted.unit.map_or("as the list says", PlateUnit::text);
    let made = egui::ComboBox::from_id_salt(("unit", place))
        .width(wide)
        .truncate()
        .selected_text(shown)
        .show_ui(ui, |ui| {
            for unit in fitting {
                let _ = ui.selectable_value(&mut wanted.unit, Some(unit), unit.text());
            }
        });
    ui.ctx()
        .accesskit_node_builder(made.response.id, |node| node.set_label(format!("{name}: unit")));
}
