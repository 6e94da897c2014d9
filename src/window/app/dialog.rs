//! Small questions: a path, a name, a condition, whether work may be left unsaved.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use eframe::egui::{self, RichText};

use super::naming::{cases_named, mended};
use super::told::About;
use super::{ReadBack, Window};
use crate::fault::Fault;
use crate::files::{FileError, Holder, Lock};
use crate::handover::Format;
use crate::plates::{ListError, Own};
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::door::{Arrived, By, Saving, Stamp, Todo, Work};
use crate::window::look;
use crate::window::many::lists_seen_from;
use crate::window::maps;
use crate::window::newer::{self, Wanted};
use crate::window::panels::Panel;
use crate::window::panels::offered;
use crate::window::panels::unread::Unread;
use crate::window::spot::{NEW, Spot};
use crate::window::start::SHIPPED;
use crate::window::untaken;
use crate::workbook::change::Change;

/// Where what is asked for is one of a sheet and there is none.
const NO_SHEET: &str = "There is no sheet here.";

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    Open,
    SaveAs,
    Import,
    /// A newer list for this workbook.
    Newer,
    /// A column map that was kept, for the list of this workbook.
    WithMap,
    /// A list that is read by this column map.
    ImportBy(PathBuf),
    Export,
    NewCase,
    CaseName(usize),
    SheetName,
    SheetTitle,
    BookTitle,
    Filter,
    /// Where this column map is written.
    KeepMap(Arc<str>),
    KeepReport,
    /// Unsaved work is in the way of this.
    Leave(Next),
    /// A file of this name is there.
    Replace(PathBuf, Written),
}

/// What is written to a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    Workbook,
    /// A workbook in a later version of the text.
    Later(u32),
    HandOver,
}

/// What is done once work is safe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Next {
    New,
    Open,
    Import,
    Close,
    Shipped(usize),
    /// A file that was dropped on the window.
    File(PathBuf),
    /// The file that is open, as it is now.
    Reload,
    /// The work that another window left.
    Left,
    /// What was read while work went on here.
    Come,
}

/// What the values of a sheet become the case of, when a further one is put beside them.
const FIRST_CASE: &str = "first";

impl Purpose {
    /// The purposes that a file dialog of the system can answer.
    pub(super) fn number(&self) -> u8 {
        match self {
            Purpose::Open => 0,
            Purpose::SaveAs => 1,
            Purpose::Import => 2,
            Purpose::Export => 3,
            Purpose::KeepMap(_) => 4,
            Purpose::KeepReport => 5,
            Purpose::Newer => 6,
            Purpose::WithMap => 7,
            Purpose::ImportBy(_) => 8,
            _ => 9,
        }
    }

    /// Whether a list is read where it is answered.
    pub(super) fn reads_a_list(&self) -> bool {
        matches!(
            self,
            Purpose::Open | Purpose::Import | Purpose::ImportBy(_) | Purpose::Newer | Purpose::WithMap
        )
    }

    fn title(&self) -> &'static str {
        match self {
            Purpose::Open => "Open a workbook",
            Purpose::SaveAs => "Save under another name",
            Purpose::Import => "Read an equipment list",
            Purpose::Newer => "Read the list again",
            Purpose::WithMap => "Read with a kept map",
            Purpose::ImportBy(_) => "Read a list by a map",
            Purpose::Export => "Hand over",
            Purpose::NewCase => "New case",
            Purpose::CaseName(_) => "Rename the case",
            Purpose::SheetName => "Rename the sheet",
            Purpose::SheetTitle => "Title of the sheet",
            Purpose::BookTitle => "Title of the workbook",
            Purpose::Filter => "Only rows where",
            Purpose::KeepMap(_) => "Keep the column map",
            Purpose::KeepReport => "Keep the report",
            Purpose::Leave(_) => "Work is not saved",
            Purpose::Replace(_, Written::Later(_)) => "The file is of a newer program",
            Purpose::Replace(..) => "The file is there already",
        }
    }

    /// The same, where it is known whether the workbook has a file.
    fn title_for(&self, has_file: bool) -> &'static str {
        match self {
            Purpose::SaveAs if !has_file => "Save the workbook",
            purpose => purpose.title(),
        }
    }

    /// What files end in that can be meant.
    fn endings(&self) -> &'static [&'static str] {
        match self {
            Purpose::Open => &OPENED,
            Purpose::Import | Purpose::ImportBy(_) | Purpose::Newer => &LISTS,
            Purpose::SaveAs => &["pole"],
            Purpose::Export => &["xlsx", "csv", "json"],
            Purpose::KeepMap(_) | Purpose::WithMap => &MAPS,
            Purpose::KeepReport => &["txt", "json"],
            _ => &[],
        }
    }

    fn hint(&self) -> &'static str {
        match self {
            Purpose::Open => "The path of a .pole file.",
            Purpose::SaveAs => "The path of a .pole file.",
            Purpose::Import | Purpose::ImportBy(_) => "The path of an xlsx, xls, ods or csv file.",
            Purpose::Newer => "The path of the list as it is now. What was typed in this workbook since stays.",
            Purpose::Export => "The path of a file that ends in .xlsx, .csv or .json.",
            Purpose::WithMap => {
                "The path of a column map, as “Keep the map…” wrote it. The list is read again by it, in one step."
            }
            Purpose::KeepMap(_) => "The path of a text file that is not there yet.",
            Purpose::KeepReport => "The path of a file that ends in .txt or .json and is not there yet.",
            Purpose::NewCase | Purpose::CaseName(_) => "Its name.",
            Purpose::SheetName => "Letters, digits and _.",
            Purpose::SheetTitle | Purpose::BookTitle => {
                "In words, as it stands at the head of the page that is handed over."
            }
            Purpose::Filter => "A condition, such as: load > 100 %. Leave it empty for all rows.",
            Purpose::Leave(_) | Purpose::Replace(..) => "",
        }
    }
}

/// What the dialogue of the system is asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Over it.
    pub title: &'static str,
    /// Where to begin.
    pub folder: Option<PathBuf>,
    /// A file that is there, of this sort and with these endings; `None`: a name to write to.
    pub filter: Option<(&'static str, &'static [&'static str])>,
    /// The name that is proposed for a file to be written.
    pub proposed: String,
}

/// Asks the system for a file; it may take as long as it takes, on a thread of its own.
pub type SystemDialog = Arc<dyn Fn(Asked) -> Option<PathBuf> + Send + Sync>;

/// The dialogue that the system has, if it has one.
pub(super) fn of_the_system() -> SystemDialog {
    Arc::new(|asked| {
        let folder = asked.folder.filter(|folder| folder.is_dir());
        let mut dialog = rfd::FileDialog::new().set_title(asked.title);
        if let Some(folder) = folder {
            dialog = dialog.set_directory(folder);
        }
        match asked.filter {
            Some((word, endings)) => dialog.add_filter(word, endings).pick_file(),
            None => dialog.set_file_name(asked.proposed).save_file(),
        }
    })
}

/// How it stands with the dialogue of the system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Looking {
    /// It is not asked for.
    No,
    /// It is on its way.
    Comes,
    /// Another window took the keys in the meantime: it was seen.
    Seen,
    /// It came back without ever being seen.
    Never,
}

/// An open question.
#[derive(Clone, Debug)]
pub(super) struct Dialog {
    pub(super) purpose: Purpose,
    pub(super) text: String,
    pub(super) said: Option<String>,
    /// What is to be known before it is answered.
    pub(super) told: Option<String>,
    /// What is worth a look in what was written, and what that was: who writes it again means it.
    doubt: Option<String>,
    doubted: String,
    /// What was written in the field at first.
    began: String,
    looking: Looking,
    fresh: bool,
    /// Where the cursor of the field is still to go.
    caret: Option<Caret>,
}

/// Where the cursor of a field goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Caret {
    /// What is proposed is chosen, so that the next letter takes its place.
    All,
    /// What was completed is gone on with.
    End,
}

impl Dialog {
    /// Whether its field is still to get the keys.
    pub(super) fn is_fresh(&self) -> bool {
        self.fresh && !matches!(self.purpose, Purpose::Leave(_) | Purpose::Replace(..))
    }
}

impl Window {
    /// Asks.
    pub(super) fn question(&mut self, purpose: Purpose, text: String) {
        let asks = self.asks_system && purpose.number() < 9;
        if asks {
            self.look_for(&purpose, &text);
        }
        self.named_last = None;
        self.dialog = Some(Dialog {
            caret: Some(Caret::All),
            purpose,
            began: text.clone(),
            text,
            said: None,
            told: None,
            looking: if asks { Looking::Comes } else { Looking::No },
            doubt: None,
            doubted: String::new(),
            fresh: true,
        });
    }

    /// A file was named in a dialog of the system, or none was.
    pub(super) fn named_by_system(&mut self, purpose: u8, path: Option<PathBuf>) {
        let Some(mut dialog) = self.dialog.take_if(|dialog| dialog.purpose.number() == purpose) else {
            return;
        };
        match path {
            Some(path) => {
                dialog.text = path.display().to_string();
                self.answer(dialog);
            }
            // Who closed the dialogue of the system wants nothing; what is written in the field stays all the same.
            None if dialog.looking == Looking::Seen && dialog.text == dialog.began => self.after_save = None,
            None => {
                dialog.looking = match dialog.looking {
                    Looking::Seen => Looking::No,
                    _ => Looking::Never,
                };
                self.dialog = Some(dialog);
            }
        }
    }

    /// Whether the sheet has no cases yet.
    fn without_cases(&self) -> bool {
        let seen = self.seen();
        seen.is_some_and(|seen| seen.results.items.iter().all(|name| name.is_empty()))
    }

    /// What is typed in a panel and not yet taken in.
    pub(super) fn drafts(&mut self) -> Vec<Command> {
        let Some(session) = self.door.session() else {
            return Vec::new();
        };
        self.lines.read(session, self.sheet, self.system, self.changes);
        let mut drafts = self.lines.drafts(session);
        drafts.extend(self.faults.draft());
        drafts
    }

    /// Does something that puts another workbook in place, or asks first where work is unsaved. What is typed is taken in
    /// before, so that it is never lost without a question.
    pub(super) fn guarded(&mut self, next: Next) {
        // What is being typed is work as well, and what is being worked may be not saved yet.
        if self.editing.is_some() && !self.commit() {
            return;
        }
        if self.door.is_here() {
            for draft in self.drafts() {
                self.door.ask(Todo::Apply(draft, None));
            }
            self.lines.taken();
            self.faults.taken();
        }
        if !self.door.is_here() {
            self.then = Some(next);
            return;
        }
        let asked = next == Next::Come && self.is_let_go();
        let loses = self.changed || !self.wrongs.is_empty() || self.kept_taken_back().is_some();
        if loses && !asked {
            self.question(Purpose::Leave(next), String::new());
        } else {
            self.go_on(next);
        }
    }

    /// Whether somebody said that the work as it is now may go without being saved.
    pub(super) fn is_let_go(&self) -> bool {
        self.let_go == Some(self.changes)
    }

    pub(super) fn go_on(&mut self, next: Next) {
        match next {
            Next::New => {
                self.put(Session::open(EMPTY), None, None, None);
                self.panel = None;
                let units = match self.system {
                    System::AsWritten => None,
                    System::Si => Some("SI units"),
                    System::Us => Some("US customary units"),
                };
                if let Some(units) = units {
                    let words = format!(
                        "Values are shown in {units}, as you chose before; Alt+0 shows them as they are written."
                    );
                    self.tell(About::Units, words, false);
                }
            }
            Next::Open => self.question(Purpose::Open, self.begin_in()),
            Next::Import => self.question(Purpose::Import, self.begin_in()),
            Next::Close => self.closing = true,
            Next::Come => self.comes(),
            Next::Shipped(index) => {
                if let Some(shipped) = SHIPPED.get(index) {
                    self.put(Session::open(shipped.text), None, None, None);
                    self.panel = shipped.panel;
                    self.show_first(shipped.shows);
                }
            }
            Next::File(path) => {
                let is_workbook = path
                    .extension()
                    .is_some_and(|ending| ending.eq_ignore_ascii_case("pole"));
                if is_workbook {
                    self.open_file(path);
                } else {
                    self.door.import(path, By::Itself);
                }
            }
            Next::Left => {
                let Some((path, lock)) = self.left.take() else { return };
                let from = path.clone();
                self.taken = Some((path, lock));
                self.door.away(move || match crate::files::open(&from) {
                    Ok(text) => {
                        let (text, typed) = untaken::parted(&text);
                        let mut session = Session::open(text);
                        session.unsaved();
                        Arrived::Taken(Box::new(session), Some(folder_of(&from)), typed)
                    }
                    Err(error) => Arrived::Failed(from, error.to_string(), error.help),
                });
            }
            Next::Reload => {
                if let Some(path) = self.path.clone() {
                    self.open_file(path);
                }
            }
        }
    }

    /// The folder in which a file is looked for first, as it is written before a name.
    fn begin_in(&self) -> String {
        let folder = self.folder_begun().filter(|folder| folder.is_dir());
        folder.map_or(String::new(), |folder| before_name(&folder))
    }

    /// A column map was named in the place of a list or a workbook: it is said what it is, and the list it is for is asked for.
    pub(super) fn map_named(&mut self, map: PathBuf) {
        let name = maps::named(&map);
        self.named_last = None;
        let (purpose, text, words) = match self.list_for_map() {
            Some(list) => {
                let list = maps::named(&list);
                let words = format!(
                    "{name} is a column map: it says what the columns of a list hold. “Do it” reads {list} again by it; for another list, \
                     read that one first."
                );
                (Purpose::WithMap, map.display().to_string(), words)
            }
            None => {
                let words = format!(
                    "{name} is a column map: it says what the columns of a list hold. Name the list that is to be read by it."
                );
                let folder = folder_before(&map);
                (Purpose::ImportBy(map), folder, words)
            }
        };
        // What is named already is not looked for.
        let asks = self.asks_system;
        self.asks_system = asks && purpose != Purpose::WithMap;
        self.question(purpose, text);
        self.asks_system = asks;
        if let Some(dialog) = &mut self.dialog {
            dialog.told = Some(words);
        }
    }

    /// Opens a workbook. The one that is open gives its lock back first where it is the same file.
    fn open_file(&mut self, path: PathBuf) {
        let same = self.path.as_ref() == Some(&path);
        let lock = if same { self.lock.take() } else { None };
        self.outside &= !same;
        self.door.open(path, lock);
    }

    /// Draws the open question.
    pub(super) fn dialogs(&mut self, ui: &egui::Ui) {
        let Some(mut dialog) = self.dialog.take() else { return };
        let inks = look::of(ui);
        let mut answer: Option<bool> = None;
        let mut save_first = false;
        let _ = egui::Window::new(dialog.purpose.title_for(self.path.is_some()))
            .collapsible(false)
            .resizable(false)
            .anchor(egui::Align2::CENTER_TOP, [0.0, 90.0])
            .show(ui.ctx(), |ui| {
                match &dialog.purpose {
                    Purpose::Replace(path, written) => {
                        let _ = ui.label(path.display().to_string());
                        if let Written::Later(version) = written {
                            let _ = ui.label(format!(
                                "It is in version {version} of the text. What this program does not know may be lost by writing over it; \
                                 saved under another name the file stays as it is."
                            ));
                        }
                        // What loses nothing has the keys first.
                        let pressed = buttons(ui, &["Write over it", "Leave it"], 1, &mut dialog.fresh);
                        answer = pressed.map(|pressed| pressed == 0);
                        return;
                    }
                    Purpose::Leave(_) => {
                        if self.changed {
                            let _ = ui.label("What was changed in this workbook is not saved yet.");
                        }
                        let taken_back = self.kept_taken_back().is_some();
                        if taken_back {
                            let words = match self.changed {
                                true => "Saving lets the kept work go that was taken back: it is in no file. Do again brings it.",
                                false => "The kept work that was taken back is in no file. Do again brings it, to be saved.",
                            };
                            let _ = ui.label(words);
                        }
                        let wrong = self.wrongs_in_words();
                        if !wrong.is_empty() {
                            let words = format!("Not taken in, and in no file: {}.", wrong.join("; "));
                            let _ = ui.add(egui::Label::new(words).wrap());
                        }
                        // What is not taken in cannot be saved.
                        let all = ["Save it first", "Go on without saving", "Stay here"];
                        let words = all.get(usize::from(!self.changed)..).unwrap_or_default();
                        let stays = !wrong.is_empty() || taken_back;
                        let first = if stays { words.len().saturating_sub(1) } else { 0 };
                        let pressed = buttons(ui, words, first, &mut dialog.fresh);
                        let pressed = pressed.map(|pressed| pressed + usize::from(!self.changed));
                        save_first = pressed == Some(0);
                        answer = pressed.filter(|pressed| *pressed > 0).map(|pressed| pressed == 1);
                        return;
                    }
                    _ => {}
                }
                let hint = match dialog.purpose {
                    Purpose::NewCase if self.without_cases() => {
                        "Its name, such as: summer. The values there are become the case `first`; all are named by: winter | summer."
                    }
                    _ => dialog.purpose.hint(),
                };
                if let Some(told) = &dialog.told {
                    let _ = ui.add(egui::Label::new(told).wrap());
                }
                let label = ui.label(RichText::new(hint).color(inks.words));
                let id = ui.make_persistent_id("answer");
                // What is proposed is typed over, or gone into with an arrow.
                if let Some(caret) = dialog.caret.take_if(|_| ui.memory(|memory| memory.has_focus(id))) {
                    let end = egui::text::CCursor::new(dialog.text.chars().count());
                    let begin = match caret {
                        Caret::All => egui::text::CCursor::new(0),
                        Caret::End => end,
                    };
                    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
                    let range = egui::text::CCursorRange::two(begin, end);
                    state.cursor.set_char_range(Some(range));
                    state.store(ui.ctx(), id);
                }
                let field = ui
                    .add(egui::TextEdit::singleline(&mut dialog.text).id(id).desired_width(520.0))
                    .labelled_by(label.id);
                if field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter)) {
                    answer = Some(true);
                }
                let mut held = field.has_focus();
                if dialog.purpose.number() < 9 {
                    let endings = dialog.purpose.endings();
                    let (path, has_keys) = self.path_offers(ui, &dialog.text, endings, &field);
                    held |= has_keys;
                    if let Some(path) = path {
                        dialog.text = path;
                        (dialog.fresh, dialog.caret) = (true, Some(Caret::End));
                    }
                }
                if dialog.looking == Looking::Comes && ui.input(|input| input.viewport().focused == Some(false)) {
                    dialog.looking = Looking::Seen;
                }
                let waits = matches!(dialog.looking, Looking::Comes | Looking::Seen);
                let words = match dialog.looking {
                    Looking::No => None,
                    Looking::Comes | Looking::Seen => {
                        Some("The dialogue of the system is being opened; a path can be written here meanwhile.")
                    }
                    Looking::Never => Some("The system has no dialogue for files here; write the path, or press what stands in the folder. Tab completes it."),
                };
                if let Some(words) = words {
                    let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(inks.words));
                }
                let refused = dialog.said.is_some();
                let meant = || self.condition_meant(&dialog.purpose, &dialog.text).filter(|_| refused);
                let wrong = self.wrong_name(&dialog.purpose, &dialog.text).or_else(meant);
                // What is wrong with the name is said while it is written, and not twice.
                let said = wrong.as_ref().map(Fault::in_words).or_else(|| dialog.said.clone());
                if let Some(said) = said {
                    let _ = ui.label(RichText::new(format!("✕ {said}")).color(inks.failed));
                }
                for fix in wrong.iter().flat_map(|wrong| &wrong.fixes) {
                    if offered(ui, &fix.label) {
                        dialog.text = mended(&dialog.text, fix);
                        dialog.fresh = true;
                    }
                }
                if let Some(doubt) = dialog.doubt.as_ref().filter(|_| dialog.doubted == dialog.text) {
                    let _ = ui.label(RichText::new(format!("△ {doubt}")).color(inks.doubtful));
                }
                let _ = ui.horizontal(|ui| {
                    let mut pressed = |ui: &mut egui::Ui, enabled: bool, word: &str| {
                        let button = ui.add_enabled(enabled, egui::Button::new(word));
                        held |= button.has_focus();
                        button.clicked()
                    };
                    if pressed(ui, true, "Do it") {
                        answer = Some(true);
                    }
                    if dialog.purpose.number() < 9 && pressed(ui, !waits, "Look for it…") {
                        dialog.looking = Looking::Comes;
                        self.look_for(&dialog.purpose, &dialog.text);
                    }
                    if pressed(ui, true, "Leave it") {
                        answer = Some(false);
                    }
                });
                // As long as something is asked, nothing else has the keys.
                if std::mem::take(&mut dialog.fresh) || !held && answer.is_none() {
                    field.request_focus();
                }
            });
        if ui.input(|input| input.key_pressed(egui::Key::Escape)) {
            answer = Some(false);
        }
        if save_first && let Purpose::Leave(next) = dialog.purpose {
            self.after_save = Some(next);
            self.acts.push(Act::Save);
            return;
        }
        match answer {
            Some(false) => {
                self.after_save = None;
                self.granted_lock = None;
                if dialog.purpose == Purpose::Leave(Next::Come) && self.come.take().is_some() {
                    self.say(
                        "What was read was put away again; the workbook that is open stays.",
                        false,
                    );
                }
            }
            Some(true) => self.answer(dialog),
            None => {
                if self.dialog.is_none() {
                    self.dialog = Some(dialog);
                }
            }
        }
    }

    /// An answer that was given while the session was at work.
    pub(super) fn answer_now(&mut self) {
        if let Some(dialog) = self.answer_waits.take_if(|_| self.door.session().is_some()) {
            self.answer(dialog);
        }
    }

    fn answer(&mut self, mut dialog: Dialog) {
        dialog.said = None;
        // What is said of the workbook waits until it is here: a copy against a crash is no reason to ask again.
        let of_workbook = matches!(
            dialog.purpose,
            Purpose::Filter | Purpose::NewCase | Purpose::CaseName(_) | Purpose::SheetName | Purpose::SheetTitle
        );
        if of_workbook && self.door.session().is_none() && !self.contents.is_empty() {
            self.answer_waits = Some(dialog);
            return;
        }
        if let Some(doubt) = self.doubt_of(&dialog) {
            dialog.doubt = Some(doubt);
            dialog.doubted.clone_from(&dialog.text);
            self.ask_again(dialog, None);
            return;
        }
        match self.answered(&dialog) {
            Err(why) => self.ask_again(dialog, Some(why)),
            // A name or a path may still be refused; then it is asked for again.
            Ok(()) => {
                let again = matches!(
                    dialog.purpose,
                    Purpose::NewCase
                        | Purpose::CaseName(_)
                        | Purpose::SheetName
                        | Purpose::SheetTitle
                        | Purpose::BookTitle
                );
                // A dialogue that stands there already asks something else.
                let again = again || dialog.purpose.number() < 9 && self.dialog.is_none();
                self.named_last = again.then_some(dialog);
            }
        }
    }

    /// What was to be done with a file was not done: its question stays open with the path, else it is said.
    pub(super) fn refused_file(&mut self, about: About, asked: impl Fn(&Purpose) -> bool, why: String) {
        match self.named_last.take_if(|dialog| asked(&dialog.purpose)) {
            Some(dialog) if self.dialog.is_none() => self.ask_again(dialog, Some(why)),
            _ => {
                if about == About::Saving {
                    self.after_save = None;
                }
                self.tell(about, why, true);
            }
        }
    }

    /// The question stays open, with what was written.
    pub(super) fn ask_again(&mut self, mut dialog: Dialog, why: Option<String>) {
        dialog.said = why;
        dialog.fresh = true;
        self.dialog = Some(dialog);
    }

    /// What is worth a look in an answer, once.
    fn doubt_of(&self, dialog: &Dialog) -> Option<String> {
        let text = dialog.text.trim();
        let asked = dialog.purpose == Purpose::Filter && dialog.doubted != dialog.text && !text.is_empty();
        let seen = self.seen().filter(|_| asked)?;
        let doubt = seen.session.condition(&seen.results.name, text).ok()??;
        Some(format!("{doubt}, or do it again to leave it as it is"))
    }

    /// Asks the system for a file, on another thread. Where it has no such dialog, the path field stays.
    fn look_for(&mut self, purpose: &Purpose, text: &str) {
        let folder = PathBuf::from(text)
            .parent()
            .map(PathBuf::from)
            .filter(|folder| !folder.as_os_str().is_empty());
        let named = Path::new(text)
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        let (system, number) = (self.system_dialog.clone(), purpose.number());
        let asked = Asked {
            title: purpose.title(),
            folder,
            filter: match purpose {
                Purpose::Open => Some(("workbook", &["pole"])),
                Purpose::Import | Purpose::ImportBy(_) | Purpose::Newer => Some(("equipment list", &LISTS)),
                Purpose::WithMap => Some(("column map", &MAPS)),
                _ => None,
            },
            proposed: match (purpose, named) {
                (Purpose::Export, Some(name)) => name,
                (Purpose::Export, None) => "loads.xlsx".to_owned(),
                (Purpose::KeepMap(_), _) => "columns.txt".to_owned(),
                (Purpose::KeepReport, _) => "report.txt".to_owned(),
                _ => "workbook.pole".to_owned(),
            },
        };
        self.door.quietly(move || Arrived::Named(number, system(asked)));
    }

    fn answered(&mut self, dialog: &Dialog) -> Result<(), String> {
        let text = dialog.text.trim();
        let path = || {
            if text.is_empty() {
                return Err("A path is missing.".to_owned());
            }
            Ok(at_home(text))
        };
        match &dialog.purpose {
            // An equipment list is read, whichever way it is asked for.
            Purpose::Open if is_list(&path()?) => self.door.import(path()?, By::Itself),
            Purpose::Open => self.open_file(path()?),
            Purpose::Import => self.door.import(path()?, By::Itself),
            Purpose::ImportBy(map) => self.door.import(path()?, By::Map(map.clone())),
            Purpose::Newer => {
                let own = self.list.as_ref().and_then(|list| list.own.clone());
                self.read_newer(path()?, own, None, None);
            }
            Purpose::WithMap => {
                let map = path()?;
                let list = self
                    .list_for_map()
                    .ok_or("No list is read here that the map could be for.")?;
                match self.unread.as_ref().is_some_and(|unread| !unread.newer) {
                    true => self.door.import(list, By::Map(map)),
                    false => self.read_newer(list, None, Some(map), None),
                }
            }
            Purpose::KeepMap(map) => {
                let (path, map) = (path()?, map.clone());
                self.door.note(path, map);
            }
            Purpose::KeepReport => {
                let path = path()?;
                if path.exists() {
                    return Err("A file of this name is there already; give another name.".to_owned());
                }
                if let Some(reading) = &self.report {
                    self.door.ask(Todo::KeepReport(reading.report.clone(), path));
                }
            }
            Purpose::SaveAs => {
                let mut path = path()?;
                if path.extension().is_none() {
                    let _ = path.set_extension("pole");
                }
                self.save_to(path);
            }
            Purpose::Export => {
                let target = path()?;
                self.door.away(move || {
                    let there = target.exists();
                    Arrived::Target(target, there)
                });
            }
            Purpose::Replace(path, Written::HandOver) => self.export_to(path.clone(), false),
            Purpose::Replace(path, Written::Later(version)) => {
                self.written_over = Some(*version);
                self.save_to(path.clone());
            }
            Purpose::Replace(path, Written::Workbook) => match self.granted_lock.take() {
                Some(lock) => self.granted(path.clone(), Ok(lock), false),
                None => self.save_to(path.clone()),
            },
            Purpose::NewCase => {
                let seen = self.seen().ok_or(NO_SHEET)?;
                let at = match self.chosen().map(|(_, spot)| spot.field) {
                    Some(crate::window::spot::Field::Value(item)) => item + 1,
                    _ => seen.results.items.len(),
                };
                let insert = |at: usize, name: &str| Change::InsertCase {
                    sheet: seen.sheet.name.clone(),
                    at,
                    name: name.trim().into(),
                };
                let mut names = cases_named(text);
                if self.without_cases() && names.len() == 1 {
                    names.insert(0, FIRST_CASE);
                }
                let begin = if self.without_cases() { 0 } else { at };
                let changes = names.iter().enumerate();
                let changes = changes.map(|(place, name)| insert(begin + place, name)).collect();
                // The new case is chosen, in the line that was.
                let spot = self.chosen().map(|(_, spot)| spot).filter(|spot| spot.quantity != NEW);
                let quantity = spot.map_or(0, |spot| spot.quantity);
                let case = if self.without_cases() { 1 } else { at };
                let field = crate::window::spot::Field::Value(case);
                let sheet = self.sheet;
                self.apply("new case", changes, None);
                self.comes = Some(super::Comes::Row(sheet, Spot { quantity, field }));
            }
            Purpose::CaseName(case) => {
                let seen = self.seen().ok_or(NO_SHEET)?;
                let change = Change::RenameCase {
                    sheet: seen.sheet.name.clone(),
                    case: *case,
                    to: text.into(),
                };
                self.apply("rename the case", vec![change], None);
            }
            Purpose::SheetName => {
                let seen = self.seen().ok_or(NO_SHEET)?;
                let change = Change::RenameSheet {
                    from: seen.sheet.name.clone(),
                    to: text.into(),
                };
                self.apply("rename the sheet", vec![change], None);
            }
            Purpose::SheetTitle => {
                let seen = self.seen().ok_or(NO_SHEET)?;
                let sheet = Some(seen.sheet.name.clone());
                self.set_title("title of the sheet", sheet, text);
            }
            Purpose::BookTitle => self.set_title("title of the workbook", None, text),
            Purpose::Filter => {
                let none = "There is no list here whose rows could be chosen.";
                let seen = self.seen().ok_or(none)?;
                if !text.is_empty() {
                    let asked = seen.session.condition(&seen.results.name, text);
                    let _ = asked.map_err(|faults| condition_words(self.system, &faults))?;
                }
                let filter = (!text.is_empty()).then(|| text.to_owned());
                self.ask_rows(|by| by.filter = filter);
            }
            Purpose::Leave(next) => {
                // Until something takes its place it is what it was: not saved.
                self.let_go = Some(self.changes);
                self.go_on(next.clone());
            }
        }
        Ok(())
    }

    fn set_title(&mut self, label: &str, sheet: Option<Arc<str>>, title: &str) {
        let title = title.into();
        self.apply(label, vec![Change::SetTitle { sheet, title }], None);
    }

    /// Saves to a path: where it is another file than the open one, its lock first.
    pub(super) fn save_to(&mut self, path: PathBuf) {
        if self.path.as_ref() == Some(&path) && self.lock.is_some() {
            let saving = self.saving(path, self.stamp);
            self.door.ask(saving);
            return;
        }
        self.door.away(move || {
            let there = path.exists();
            let lock = Lock::take(&path, Holder::Window);
            Arrived::Granted(path, lock, there)
        });
    }

    /// The right to write to another file is there, or it is not.
    pub(super) fn granted(&mut self, path: PathBuf, lock: Result<Lock, FileError>, there: bool) {
        match lock {
            Ok(lock) if there && self.path.as_ref() != Some(&path) => {
                self.granted_lock = Some(lock);
                self.question(Purpose::Replace(path, Written::Workbook), String::new());
            }
            Ok(lock) => {
                let copy = self.copy_path();
                let is_other = self.path.as_ref() != Some(&path);
                if is_other && (self.kept.take().is_some() || self.kept_taken_back().is_some()) {
                    self.say(
                        "The kept work stays beside the file that was open; it is offered when that is opened again.",
                        false,
                    );
                }
                if let Some(was) = self.folder() {
                    let now = folder_of(&path);
                    let work = Work::new(move |session| Ok((lists_seen_from(session.workbook(), &was, &now), None)));
                    self.door.ask(Todo::Many("where the list is".into(), work));
                }
                let saving = self.saving(path.clone(), None);
                self.door.ask(saving);
                if let Some(copy) = copy {
                    self.door.ask(Todo::Forget(copy));
                }
                self.note_file(&path);
                self.lock = Some(lock);
                (self.closed, self.work_of) = (None, None);
                self.path = Some(path);
                self.stamp = None;
                self.outside = false;
            }
            Err(error) => {
                let help = error.help.map_or(String::new(), |help| format!("; {help}"));
                let why = format!("{}{help}", error.why);
                self.refused_file(About::Saving, |purpose| *purpose == Purpose::SaveAs, why);
            }
        }
    }

    fn saving(&self, path: PathBuf, known: Option<Stamp>) -> Todo {
        Todo::Save(Saving {
            path,
            known,
            offered: self.kept.is_some(),
            as_read: self.list.as_ref().map_or_else(Vec::new, |list| list.as_read.clone()),
        })
    }

    /// The folder from which the workbook sees its lists.
    fn folder(&self) -> Option<PathBuf> {
        let folder = self.path.as_deref().map(folder_of);
        folder.or_else(|| self.source.clone())
    }

    /// The list of the workbook, as it is named there.
    pub(super) fn list_named(&self) -> Option<PathBuf> {
        if let Some(list) = &self.list {
            return Some(list.path.clone());
        }
        let origin = newer::origin_of(self.door.session()?.workbook())?;
        Some(self.folder().unwrap_or_default().join(origin.file))
    }

    /// The list that a column map would be used for.
    pub(super) fn list_for_map(&self) -> Option<PathBuf> {
        let unread = self.unread.as_ref().map(|unread| unread.path.clone());
        unread.or_else(|| self.list_named())
    }

    /// A list could not be read. What was seen of it is shown, and what the reading of the open workbook says stays.
    pub(super) fn no_list(&mut self, error: ListError, newer: bool) {
        let cause = &error.cause;
        let why = format!("{}: {} {}", cause.path.display(), cause.found, cause.help);
        let name = maps::named(&cause.path);
        let unread = Unread::of(error, newer);
        if unread.as_ref().is_some_and(Unread::has_columns) {
            // It goes on in the panel, and not with another path.
            self.named_last = None;
            let words = format!(
                "No table of motors was found in {name}: say at the right what its columns hold, and read it again."
            );
            self.tell(About::Opening, words, true);
        } else {
            self.refused_file(About::Opening, Purpose::reads_a_list, why);
        }
        if unread.is_some() {
            self.unread = unread;
            self.panel = Some(Panel::Report);
        } else if self.contents.is_empty() {
            self.panel = Some(Panel::Start);
        }
    }

    /// Reads another sheet of the list in the place of the one that was read.
    pub(super) fn read_sheet(&mut self, sheet: String) {
        if let Some(path) = self.list_named() {
            self.read_newer(path, None, None, Some(sheet));
        }
    }

    /// Reads the list again with its columns as they were settled now.
    pub(super) fn read_again_by(&mut self, map: &str) {
        let unread = self.unread.as_ref().map(|unread| (unread.path.clone(), unread.newer));
        let here = || Some((self.list.as_ref()?.path.clone(), true));
        let Some((path, newer)) = unread.or_else(here) else {
            return;
        };
        match Own::read(Some(map), None) {
            Ok(own) if newer => self.read_newer(path, Some(Arc::new(own)), None, None),
            Ok(own) => self.door.import(path, By::Own(Arc::new(own))),
            Err(faults) => {
                for fault in faults.into_iter().take(1) {
                    self.say(format!("{}; {}", fault.message, fault.help), true);
                }
            }
        }
    }

    /// Reads a list to put it into this workbook, its columns as they were read before where nothing else is said of them.
    ///
    /// `instead`: the sheet that takes the place of the one that was read.
    fn read_newer(&mut self, path: PathBuf, own: Option<Arc<Own>>, map: Option<PathBuf>, instead: Option<String>) {
        let origin = || newer::origin_of(self.door.session()?.workbook());
        let own = own.or_else(|| origin()?.own());
        let wanted = Wanted {
            path,
            own,
            map,
            instead: instead.is_some(),
            sheet: instead.or_else(|| origin()?.sheet),
            earlier: self.list.as_ref().map_or_else(Vec::new, |list| list.as_read.clone()),
            workbook: self.path.clone(),
            folder: self.folder().unwrap_or_else(|| PathBuf::from(".")),
        };
        self.door.import_newer(wanted, self.book);
    }

    /// Who looks for the report of a list that was read in another run gets it: the list is read again.
    pub(super) fn bring_back_report(&mut self) {
        // What the reading doubted is marked in the grid, so it is wanted from the beginning.
        let wanted = self.of_a_list && self.report.is_none() && self.back == ReadBack::Unasked;
        if !wanted || !self.door.is_here() || self.door.waits_for_files() {
            return;
        }
        let Some(origin) = self
            .door
            .session()
            .and_then(|session| newer::origin_of(session.workbook()))
        else {
            return;
        };
        self.back = ReadBack::Asked;
        let folder = self.folder().unwrap_or_else(|| PathBuf::from("."));
        self.door.read_back(origin, folder, self.book);
    }

    /// Hands over to a file; asks first where it is there.
    pub(super) fn export_to(&mut self, target: PathBuf, there: bool) {
        // What cannot be written is refused before anybody is asked whether it may be written over.
        if there && Format::of(&target).is_some() {
            self.question(Purpose::Replace(target, Written::HandOver), String::new());
            return;
        }
        let beside = self.folder().unwrap_or_else(|| PathBuf::from("."));
        let own = self.list.as_ref().and_then(|list| list.own.clone());
        let options = self.door.options(own);
        self.door.ask(Todo::Export(target, beside, options, self.sheet));
    }
}

/// Endings of files that are lists and no workbooks, as far as their names tell.
const LISTS: [&str; 8] = ["xlsx", "xlsm", "xls", "xlsb", "ods", "csv", "tsv", "txt"];

/// Endings of files that are column maps.
const MAPS: [&str; 2] = ["map", "txt"];

/// Endings of files that are opened: a list is read, whichever way it is asked for.
const OPENED: [&str; 9] = ["pole", "xlsx", "xlsm", "xls", "xlsb", "ods", "csv", "tsv", "txt"];

/// Whether a path is that of a list, by its ending.
pub(super) fn is_list(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default();
    LISTS.iter().any(|known| ending.eq_ignore_ascii_case(known))
}

/// A path as typed; `~` at its beginning is the folder of the user.
pub(super) fn at_home(text: &str) -> PathBuf {
    let rest = text
        .strip_prefix('~')
        .filter(|rest| rest.is_empty() || rest.starts_with(std::path::is_separator));
    match (rest, std::env::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest.trim_start_matches(std::path::is_separator)),
        _ => PathBuf::from(text),
    }
}

/// Why a text is no condition.
fn condition_words(system: System, faults: &[Fault]) -> String {
    let error = faults.iter().find(|fault| fault.is_error());
    let said = |fault: &Fault| system.in_words(&fault.message, fault.help.as_ref());
    error.map_or_else(|| "This is no condition.".to_owned(), said)
}

/// Takes Enter and blanks that end a text typed on while a question came: who goes on typing a path answers no question with it. An
/// arrow or Tab says that the question is seen. Whether such a text was typed.
fn strays(ui: &egui::Ui, fresh: bool) -> bool {
    let id = egui::Id::unique("letters typed at a question");
    let mut typed = !fresh && ui.data(|data| data.get_temp(id)).unwrap_or(false);
    ui.input_mut(|input| {
        input.events.retain(|event| match event {
            egui::Event::Text(text) => {
                typed |= !text.trim().is_empty();
                true
            }
            egui::Event::Key {
                key: egui::Key::Enter | egui::Key::Space,
                pressed: true,
                ..
            } => !typed,
            egui::Event::Key { key, pressed: true, .. } => {
                let chooses = [
                    egui::Key::Tab,
                    egui::Key::ArrowLeft,
                    egui::Key::ArrowRight,
                    egui::Key::ArrowUp,
                    egui::Key::ArrowDown,
                ];
                typed &= !chooses.contains(key);
                true
            }
            _ => true,
        });
    });
    ui.data_mut(|data| data.insert_temp(id, typed));
    typed
}

/// Buttons of a question, one of which always has the keys: arrows and Tab go from one to the next. Which one was pressed.
fn buttons(ui: &mut egui::Ui, words: &[&str], safe: usize, fresh: &mut bool) -> Option<usize> {
    let strays = strays(ui, *fresh);
    let shown = ui.horizontal(|ui| words.iter().map(|word| ui.button(*word)).collect::<Vec<_>>());
    if strays {
        let words = "What is typed here goes nowhere. An arrow or Tab chooses, then Enter answers.";
        let ink = look::of(ui).doubtful;
        let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(ink));
    }
    let pressed = shown.inner.iter().position(egui::Response::clicked);
    let held = shown.inner.iter().position(egui::Response::has_focus);
    let step = ui.input(|input| {
        let on = [egui::Key::ArrowRight, egui::Key::ArrowDown];
        let back = [egui::Key::ArrowLeft, egui::Key::ArrowUp];
        let struck = |keys: [egui::Key; 2]| keys.iter().any(|key| input.key_pressed(*key));
        (struck(on), struck(back))
    });
    let to = match (std::mem::take(fresh), held, step) {
        (true, ..) | (_, None, _) => Some(safe),
        (_, Some(at), (true, _)) => Some((at + 1) % words.len().max(1)),
        (_, Some(at), (_, true)) => Some(at.checked_sub(1).unwrap_or(words.len().saturating_sub(1))),
        _ => None,
    };
    if let Some(button) = to.and_then(|to| shown.inner.get(to)).filter(|_| pressed.is_none()) {
        button.request_focus();
    }
    if let Some(button) = shown.inner.iter().find(|button| button.has_focus()) {
        let arrows = egui::EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            ..egui::EventFilter::default()
        };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(button.id, arrows));
    }
    pressed
}

/// A folder as it is written before a name.
fn before_name(folder: &Path) -> String {
    format!("{}{}", folder.display(), std::path::MAIN_SEPARATOR)
}

/// The folder a file stands in, as it is written before a name.
pub(super) fn folder_before(path: &Path) -> String {
    before_name(&folder_of(path))
}

/// The folder a file stands in.
pub(super) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// An empty workbook.
const EMPTY: &str = "polepair 1\nworkbook \"New workbook\"\n\nsheet work \"Worked sheet\"\n  given x\n";
