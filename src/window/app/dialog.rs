//! Small questions: a path, a name, a condition, whether work may be left unsaved.

use std::path::PathBuf;

use eframe::egui::{self, RichText};

use super::Window;
use crate::window::command::Act;
use crate::window::door::{Arrived, Todo};
use crate::window::look;
use crate::window::start::SHIPPED;
use crate::workbook::change::Change;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    Open,
    SaveAs,
    Import,
    Export,
    NewCase,
    SheetName,
    Filter,
    /// Unsaved work is in the way of this.
    Leave(Next),
    /// A shipped workbook: needs no answer unless work is unsaved.
    Shipped(usize),
}

/// What is done once work is safe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    New,
    Open,
    Import,
    Close,
    Shipped(usize),
}

impl Purpose {
    pub(super) fn number(self) -> u8 {
        match self {
            Purpose::Open => 0,
            Purpose::SaveAs => 1,
            Purpose::Import => 2,
            Purpose::Export => 3,
            _ => 9,
        }
    }

    fn title(self) -> &'static str {
        match self {
            Purpose::Open => "Open a workbook",
            Purpose::SaveAs => "Save under another name",
            Purpose::Import => "Read an equipment list",
            Purpose::Export => "Hand over",
            Purpose::NewCase => "New case",
            Purpose::SheetName => "Rename the sheet",
            Purpose::Filter => "Only rows where",
            Purpose::Leave(_) | Purpose::Shipped(_) => "Work is not saved",
        }
    }

    fn hint(self) -> &'static str {
        match self {
            Purpose::Open => "The path of a .pole file.",
            Purpose::SaveAs => "The path of a .pole file.",
            Purpose::Import => "The path of an xlsx, xls, ods or csv file.",
            Purpose::Export => "The path of a file that ends in .xlsx, .csv or .json.",
            Purpose::NewCase => "Its name.",
            Purpose::SheetName => "Letters, digits and _.",
            Purpose::Filter => "A condition, such as: load > 100 %. Leave it empty for all rows.",
            Purpose::Leave(_) | Purpose::Shipped(_) => "",
        }
    }
}

/// An open question.
#[derive(Clone, Debug)]
pub(super) struct Dialog {
    pub(super) purpose: Purpose,
    pub(super) text: String,
    pub(super) said: Option<String>,
    fresh: bool,
}

impl Dialog {
    /// Whether its field is still to get the keys.
    pub(super) fn is_fresh(&self) -> bool {
        self.fresh && !matches!(self.purpose, Purpose::Leave(_))
    }
}

impl Window {
    /// Asks.
    pub(super) fn question(&mut self, purpose: Purpose, text: String) {
        self.dialog = Some(Dialog {
            purpose,
            text,
            said: None,
            fresh: true,
        });
    }

    /// Does something that puts another workbook in place, or asks first where work is unsaved.
    pub(super) fn guarded(&mut self, purpose: Purpose) {
        let next = match purpose {
            Purpose::Open => Next::Open,
            Purpose::Import => Next::Import,
            Purpose::Shipped(index) => Next::Shipped(index),
            _ => Next::New,
        };
        if self.changed {
            self.question(Purpose::Leave(next), String::new());
        } else {
            self.go_on(next);
        }
    }

    pub(super) fn go_on(&mut self, next: Next) {
        match next {
            Next::New => {
                self.put(crate::session::Session::open(EMPTY), None, None, None);
                self.panel = None;
            }
            Next::Open => self.question(Purpose::Open, String::new()),
            Next::Import => self.question(Purpose::Import, String::new()),
            Next::Close => self.closing = true,
            Next::Shipped(index) => {
                if let Some(shipped) = SHIPPED.get(index) {
                    self.put(crate::session::Session::open(shipped.text), None, None, None);
                    self.panel = Some(if index == 2 {
                        crate::window::panels::Panel::Faults
                    } else {
                        crate::window::panels::Panel::Checks
                    });
                }
            }
        }
    }

    /// Draws the open question.
    pub(super) fn dialogs(&mut self, ui: &egui::Ui) {
        let Some(mut dialog) = self.dialog.take() else { return };
        let inks = look::of(ui);
        let mut answer: Option<bool> = None;
        let mut save_first = false;
        let _ = egui::Window::new(dialog.purpose.title())
            .collapsible(false)
            .resizable(false)
            .anchor(egui::Align2::CENTER_TOP, [0.0, 90.0])
            .show(ui.ctx(), |ui| {
                if let Purpose::Leave(_) = dialog.purpose {
                    let _ = ui.label("What was changed in this workbook is not saved yet.");
                    let _ = ui.horizontal(|ui| {
                        save_first = ui.button("Save it first").clicked();
                        if ui.button("Go on without saving").clicked() {
                            answer = Some(true);
                        }
                        if ui.button("Stay here").clicked() {
                            answer = Some(false);
                        }
                    });
                    return;
                }
                let label = ui.label(RichText::new(dialog.purpose.hint()).color(inks.words));
                let field = ui
                    .add(egui::TextEdit::singleline(&mut dialog.text).desired_width(520.0))
                    .labelled_by(label.id);
                if dialog.fresh {
                    field.request_focus();
                    dialog.fresh = false;
                }
                if field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter)) {
                    answer = Some(true);
                }
                if let Some(said) = &dialog.said {
                    let _ = ui.label(RichText::new(format!("✕ {said}")).color(inks.failed));
                }
                let _ = ui.horizontal(|ui| {
                    if ui.button("Do it").clicked() {
                        answer = Some(true);
                    }
                    if dialog.purpose.number() < 9 && ui.button("Look for it…").clicked() {
                        self.look_for(dialog.purpose, &dialog.text);
                    }
                    if ui.button("Leave it").clicked() {
                        answer = Some(false);
                    }
                });
            });
        if ui.input(|input| input.key_pressed(egui::Key::Escape)) {
            answer = Some(false);
        }
        if save_first && let Purpose::Leave(next) = dialog.purpose {
            self.after_save = Some(match next {
                Next::New | Next::Shipped(_) => Act::NewWorkbook,
                Next::Open => Act::Open,
                Next::Import => Act::Import,
                Next::Close => Act::Close,
            });
            self.acts.push(Act::Save);
            return;
        }
        match answer {
            Some(false) => self.after_save = None,
            Some(true) => match self.answered(&dialog) {
                Ok(()) => {}
                Err(why) => {
                    dialog.said = Some(why);
                    dialog.fresh = true;
                    self.dialog = Some(dialog);
                }
            },
            None => {
                if self.dialog.is_none() {
                    self.dialog = Some(dialog);
                }
            }
        }
    }

    /// Asks the system for a file, on another thread. Where it has no such dialog, the path field stays.
    fn look_for(&mut self, purpose: Purpose, text: &str) {
        let folder = PathBuf::from(text)
            .parent()
            .map(PathBuf::from)
            .filter(|folder| folder.is_dir());
        self.door.away(move || {
            let mut dialog = rfd::FileDialog::new().set_title(purpose.title());
            if let Some(folder) = folder {
                dialog = dialog.set_directory(folder);
            }
            let named = match purpose {
                Purpose::Open => dialog.add_filter("workbook", &["pole"]).pick_file(),
                Purpose::Import => dialog
                    .add_filter(
                        "equipment list",
                        &["xlsx", "xlsm", "xls", "xlsb", "ods", "csv", "tsv", "txt"],
                    )
                    .pick_file(),
                Purpose::Export => dialog.set_file_name("loads.xlsx").save_file(),
                _ => dialog.set_file_name("workbook.pole").save_file(),
            };
            Arrived::Named(purpose.number(), named)
        });
    }

    fn answered(&mut self, dialog: &Dialog) -> Result<(), String> {
        let text = dialog.text.trim();
        let path = || {
            if text.is_empty() {
                return Err("A path is missing.".to_owned());
            }
            Ok(PathBuf::from(text))
        };
        match dialog.purpose {
            Purpose::Open => self.door.open(path()?),
            Purpose::Import => self.door.import(path()?),
            Purpose::SaveAs => {
                let mut path = path()?;
                if path.extension().is_none() {
                    let _ = path.set_extension("pole");
                }
                self.save_to(path)?;
            }
            Purpose::Export => {
                let target = path()?;
                let beside = self
                    .path
                    .as_ref()
                    .and_then(|path| path.parent().map(PathBuf::from))
                    .or_else(|| self.source.clone())
                    .unwrap_or_else(|| PathBuf::from("."));
                self.door.ask(Todo::Export(target, beside, self.remarks.clone()));
            }
            Purpose::NewCase => {
                let seen = self.seen().ok_or("The workbook is being worked; try again.")?;
                let at = match self.chosen().map(|(_, spot)| spot.field) {
                    Some(crate::window::spot::Field::Value(item)) => item + 1,
                    _ => seen.results.items.len(),
                };
                let unnamed = seen.results.items.iter().all(|name| name.is_empty());
                let change = Change::InsertCase {
                    sheet: seen.sheet.name.clone(),
                    at: if unnamed { 0 } else { at },
                    name: text.into(),
                };
                self.apply("new case", vec![change], None);
            }
            Purpose::SheetName => {
                let seen = self.seen().ok_or("The workbook is being worked; try again.")?;
                let change = Change::RenameSheet {
                    from: seen.sheet.name.clone(),
                    to: text.into(),
                };
                self.apply("rename the sheet", vec![change], None);
            }
            Purpose::Filter => {
                if text.is_empty() {
                    if let Some(arrangement) = self.arrangement() {
                        arrangement.order = None;
                        arrangement.filter = None;
                        arrangement.ordered = None;
                    }
                } else {
                    self.door.ask(Todo::Filter(self.sheet, text.to_owned()));
                }
            }
            Purpose::Leave(next) => {
                self.changed = false;
                self.go_on(next);
            }
            Purpose::Shipped(_) => {}
        }
        Ok(())
    }

    /// Saves to a path: the lock of it first.
    pub(super) fn save_to(&mut self, path: PathBuf) -> Result<(), String> {
        let same = self.path.as_ref() == Some(&path);
        if !same || self.lock.is_none() {
            let lock = crate::files::Lock::take(&path).map_err(|error| match error.help {
                Some(help) => format!("{}; {help}", error.why),
                None => error.why,
            })?;
            self.forget_copy();
            self.lock = Some(lock);
            self.stamp = None;
            self.outside = false;
        }
        self.path = Some(path.clone());
        self.door.ask(Todo::Save(path));
        Ok(())
    }
}

/// An empty workbook.
const EMPTY: &str = "polepair 1\nworkbook \"New workbook\"\n\nsheet work \"Worked sheet\"\n  given x : number\n";
