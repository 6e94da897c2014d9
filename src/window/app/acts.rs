//! What each command does. The list of commands with words and keys is in `command`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use eframe::egui;

use super::dialog::{Next, Purpose, Written};
use super::told::About;
use super::{Comes, Window};
use crate::handover::origin::Origin;
use crate::quantity::System;
use crate::window::arrange::{Arrangement, At, Plan, RowsBy, Whole};
use crate::window::comma::from_elsewhere;
use crate::window::command::Act;
use crate::window::door::{Copied, Todo, Work};
use crate::window::habits::SIZES;
use crate::window::moved::{self, Cut};
use crate::window::panels::Panel;
use crate::window::spot::{Field, Seen, Spot, fresh};
use crate::window::{clip, command, copied, many, sheets, twice};
use crate::workbook::change::{Change, Place};
use crate::workbook::{Form, Role};

/// A name beside a file that no file has yet: `pumps-2.pole` beside `pumps.pole`.
fn free_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let named = |number: u32| path.with_file_name(format!("{stem}-{number}.pole"));
    (2..100)
        .map(named)
        .find(|path| !path.exists())
        .unwrap_or_else(|| named(100))
}

impl Window {
    /// Does a command.
    pub(super) fn act(&mut self, ctx: &egui::Context, act: Act) {
        self.calm.stir();
        // That something was taken back is no news any more once something else is done.
        if !matches!(act, Act::Undo | Act::Redo) {
            self.well(About::Step);
        }
        // A command that reads what is chosen ends typing first, and waits for the session; what only changes the look does not.
        let looks = matches!(
            act,
            Act::Night | Act::Larger | Act::Smaller | Act::UsualSize | Act::Commands | Act::Wide
        ) || act != Act::Lines && Panel::ALL.iter().any(|panel| panel.act() == act);
        if self.editing.is_some() && !looks && !self.commit() {
            let word = command::of(act)
                .map_or("", |command| command.word)
                .trim_end_matches('…');
            let words = format!("{word}: first mend what is typed, or press Esc to leave it as it was.");
            self.tell(About::Change, words, true);
            return;
        }
        // What was typed has to stand first: where it is refused, its place is open again and nothing else is done.
        if !self.door.is_here() && !looks {
            self.acts.push(act);
            return;
        }
        self.old_news();
        let act = self.act_for_case(act);
        match act {
            Act::Start => self.panel = Some(Panel::Start),
            Act::NewWorkbook => self.guarded(Next::New),
            Act::Open => self.guarded(Next::Open),
            Act::Import => self.guarded(Next::Import),
            Act::TakeKept if self.kept.is_some() => self.take_kept(),
            Act::TakeKept if self.left.is_some() => self.guarded(Next::Left),
            Act::TakeKept => self.say("No work was kept that could be taken.", false),
            Act::Newer => {
                if let Some(path) = self.list_named() {
                    self.question(Purpose::Newer, path.display().to_string());
                }
            }
            Act::KeptMap => {
                let beside = self.list_for_map();
                let beside = beside.as_deref().map_or(String::new(), super::dialog::folder_before);
                self.question(Purpose::WithMap, beside);
            }
            Act::Save => self.save(),
            Act::SaveAs => self.question_path(Purpose::SaveAs, "pole"),
            Act::Export => self.question_path(Purpose::Export, "xlsx"),
            Act::Close => self.guarded(Next::Close),
            // What was asked for before comes first: it may be the step that is taken back.
            Act::Undo | Act::Redo if !self.door.is_here() => self.acts.push(act),
            Act::Undo => {
                let edits = self.door.session().map_or(0, crate::session::Session::steps);
                let joins = self.steps.joins_last(edits);
                if self.step_between(ctx, true) {
                    self.acts.extend(joins.then_some(Act::Undo));
                } else if !self.other_work(true) {
                    self.door.ask(Todo::Undo);
                }
            }
            Act::Redo => {
                let edits = self.door.session().map_or(0, crate::session::Session::steps);
                let joins = self.steps.joins_next(edits);
                if !self.step_between(ctx, false) && !self.other_work(false) {
                    self.door.ask(Todo::Redo);
                    self.acts.extend(joins.then_some(Act::Redo));
                }
            }
            Act::Copy => {
                self.cut = None;
                self.copy();
            }
            Act::Cut => self.cut(),
            Act::Paste => ctx.send_viewport_cmd(egui::ViewportCommand::RequestPaste),
            Act::ChooseColumn => self.choose_whole(Whole::Columns),
            Act::ChooseLine => self.choose_whole(Whole::Lines),
            Act::ChooseAll => self.choose_all(),
            Act::FillDown => self.many("fill down", many::fill_down),
            // What is not taken in goes; what the place has stays.
            Act::Clear if self.put_chosen_wrong_away() => {}
            Act::Clear => {
                self.put_chosen_wrongs_away();
                self.many("empty", many::empty);
            }
            Act::Edit => self.amend(None),
            Act::EditLine => self.open_place(None, Some(Field::Line)),
            Act::Rename => {
                self.open_place(None, Some(Field::Symbol));
                // Another name comes in its place.
                if let Some(editing) = &mut self.editing {
                    editing.choose_all();
                }
            }
            Act::Role => self.role(),
            Act::Insert => self.insert(false),
            Act::InsertAfter => self.insert(true),
            Act::Delete => {
                if !self.delete_columns() {
                    self.comes = self.row_behind_chosen();
                    self.many("delete", many::delete);
                }
            }
            Act::CopyLines => self.many("copy of what is chosen", twice::lines),
            Act::CopyCase => {
                if let Some((case, _)) = self.chosen_case() {
                    self.many("copy of the case", move |seen, _, _| twice::case(seen, case));
                }
            }
            Act::CopySheet => {
                let at = self.sheet;
                let work = Work::new(move |session| match Seen::of(session, at) {
                    Some(seen) => twice::sheet(seen),
                    None => Ok((Vec::new(), None)),
                });
                self.door.ask(Todo::Many("copy of the sheet".into(), work));
                self.turn_to = Some(at + 1);
            }
            Act::SheetBack => self.move_sheet(false),
            Act::SheetOn => self.move_sheet(true),
            Act::MoveBack => self.move_line(false),
            Act::MoveOn => self.move_line(true),
            Act::InsertCase => {
                if self.seen().is_some_and(|seen| seen.results.form == Form::Sheet) {
                    self.question(Purpose::NewCase, String::new());
                }
            }
            Act::DeleteCase => {
                if let Some((_, name)) = self.chosen_case() {
                    self.of_case("delete the case", |sheet, case, _| Some(Change::DeleteCase { sheet, case }));
                    self.say(format!("Case {name} deleted with its values. Ctrl+Z brings it back."), false);
                }
            }
            Act::CaseBack => self.move_case(false),
            Act::CaseOn => self.move_case(true),
            Act::RenameCase => {
                if let Some((case, name)) = self.chosen_case() {
                    self.question(Purpose::CaseName(case), name.to_string());
                }
            }
            Act::NewSheet => self.new_sheet("sheet work \"Worked sheet\"\n  given x\n", "work"),
            Act::NewList => self.new_sheet(
                "list motors \"List\"\n  given tag : text\n  given P_r in kW : shaft power\n  rows tag | P_r\n    \"M-1\" |\n",
                "motors",
            ),
            Act::RenameSheet => {
                let name = self.seen().map_or(String::new(), |seen| seen.sheet.name.to_string());
                self.question(Purpose::SheetName, name);
            }
            Act::TitleSheet => {
                let title = self.seen().map(|seen| seen.sheet.title.clone());
                if let Some(title) = title {
                    self.question(Purpose::SheetTitle, title);
                }
            }
            Act::TitleBook => self.question(Purpose::BookTitle, self.title.clone()),
            Act::DeleteSheet => {
                if let Some(seen) = self.seen() {
                    let said = many::sheet_gone(seen);
                    let change = Change::DeleteSheet {
                        sheet: seen.sheet.name.clone(),
                    };
                    self.apply("delete the sheet", vec![change], None);
                    self.say(said, false);
                }
            }
            Act::NextSheet => self.turn(1),
            Act::PreviousSheet => self.turn(-1),
            Act::Find => {
                let _ = self.find.get_or_insert_default();
                self.find_fresh = true;
            }
            Act::FindNext => self.find_next(),
            Act::Filter => {
                let text = self.arrangement().and_then(|arrangement| arrangement.by.rows.filter.clone()).unwrap_or_default();
                self.question(Purpose::Filter, text);
            }
            Act::SortUp => self.order(false),
            Act::SortDown => self.order(true),
            Act::SortNone => self.ask_rows(|by| by.order = None),
            Act::Group => self.group(),
            Act::Fold => self.fold(None),
            Act::Headings => self.fold_headings(),
            Act::Hide => self.hide(),
            Act::ShowAll => {
                self.rearranged(None, |arrangement| {
                    arrangement.by.hidden.clear();
                    arrangement.all_rows();
                });
            }
            Act::Pin => self.pin(),
            Act::Wider => self.widen(1.25),
            Act::Narrower => self.widen(0.8),
            Act::AsWritten => self.show_in(System::AsWritten),
            Act::InSi => self.show_in(System::Si),
            Act::InUs => self.show_in(System::Us),
            Act::Lines => {
                // The keys go where lines are typed; who has them there already is done.
                let there = self.panel == Some(Panel::Lines) && super::keyboard::keys_elsewhere(ctx);
                self.panel = (!there).then_some(Panel::Lines);
                self.lines.begin();
            }
            Act::NextDoubt => {
                let next = self.door.session().and_then(|session| self.report.as_mut()?.next(session));
                match next {
                    Some((sheet, spot)) => self.go_now(sheet, spot),
                    None => self.tell(About::Going, self.without_doubts(), false),
                }
            }
            Act::Faults | Act::Checks | Act::Assumptions | Act::Curves | Act::Report => {
                let panel = Panel::ALL.into_iter().find(|panel| panel.act() == act);
                self.panel = panel.filter(|panel| self.panel != Some(*panel));
            }
            Act::Keys => {
                // It begins with a field: what is typed is looked for. Who has the keys there already is done.
                let there = self.panel == Some(Panel::Keys) && super::keyboard::keys_elsewhere(ctx);
                self.panel = (!there).then_some(Panel::Keys);
                self.search_fresh = !there;
            }
            // Without a panel it is the plots that want the room.
            Act::Wide if self.panel.is_none() => (self.panel, self.wide) = (Some(Panel::Curves), true),
            Act::Wide => self.wide = !self.wide,
            Act::IntoPanel => {
                let panel = *self.panel.get_or_insert(Panel::Faults);
                if panel == Panel::Lines {
                    self.lines.begin();
                } else {
                    self.panel_fresh = true;
                }
            }
            Act::Functions => self.look_up(super::keyboard::keys_elsewhere(ctx)),
            Act::Commands => {
                self.panel = Some(Panel::Keys);
                self.search_fresh = true;
            }
            Act::Night => ctx.set_theme(if ctx.global_style().visuals.dark_mode {
                egui::Theme::Light
            } else {
                egui::Theme::Dark
            }),
            Act::Larger => ctx.set_zoom_factor((ctx.zoom_factor() * 1.1).min(*SIZES.end())),
            Act::Smaller => ctx.set_zoom_factor((ctx.zoom_factor() / 1.1).max(*SIZES.start())),
            Act::UsualSize => ctx.set_zoom_factor(1.0),
        }
    }

    /// Shows values in the units of a system. What was said of the one before is true no more.
    fn show_in(&mut self, system: System) {
        self.system = system;
        self.well(About::Units);
    }

    /// Why there is no next doubt to go to.
    fn without_doubts(&self) -> String {
        let words = match (&self.report, self.of_a_list) {
            (Some(reading), _) if reading.report.doubts.is_empty() => {
                "Nothing of this list was doubted when it was read."
            }
            (Some(_), _) => "Nothing of the list is doubted any more.",
            (None, true) => self.back.words(),
            (None, false) => {
                "Doubts are those of a list that was read, and this workbook was not made of one. F7 tells its faults and warnings."
            }
        };
        words.to_owned()
    }

    fn question_path(&mut self, purpose: Purpose, ending: &str) {
        // The name of a file that is not this window's to write is none to propose.
        let other = self.lock.is_none() || self.outside;
        let path = self.path.as_ref().map(|path| match purpose {
            Purpose::SaveAs if other => self.free_for(path),
            Purpose::Export => self.not_read(&path.with_extension(ending)),
            _ => path.with_extension(ending),
        });
        // What was read and not yet saved is handed over beside the list.
        let of_list = || self.list.as_ref().filter(|_| purpose == Purpose::Export);
        let path = path.or_else(|| Some(self.not_read(&of_list()?.path.with_extension(ending))));
        let path = path.or_else(|| (purpose == Purpose::SaveAs).then(|| self.first_name()).flatten());
        let text = path.map_or(String::new(), |path| path.display().to_string());
        self.question(purpose, text);
    }

    /// A path for what is handed over, or one like it where a file of that name was read: what was received is none to propose.
    fn not_read(&self, path: &Path) -> PathBuf {
        let mut read: Vec<PathBuf> = self
            .last
            .iter()
            .filter(|path| super::dialog::is_list(path))
            .cloned()
            .collect();
        read.extend(self.list.as_ref().map(|list| list.path.clone()));
        read.extend(self.unread.as_ref().map(|unread| unread.path.clone()));
        let beside = self
            .path
            .as_deref()
            .map(super::dialog::folder_of)
            .or(self.source.clone());
        let beside = beside.unwrap_or_default();
        let sheets = self
            .door
            .session()
            .map_or(&[][..], |session| &session.workbook().sheets);
        read.extend(sheets.iter().filter_map(|sheet| Origin::of(sheet)?.stands(&beside)));
        let whole = |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let read: Vec<PathBuf> = read.iter().map(|path| whole(path)).collect();
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        let ending = path.extension().unwrap_or_default().to_string_lossy();
        let others = (1_u32..).map(|number| match number {
            1 => path.with_file_name(format!("{stem}-loads.{ending}")),
            more => path.with_file_name(format!("{stem}-loads-{more}.{ending}")),
        });
        let mut all = std::iter::once(path.to_owned()).chain(others);
        all.find(|path| !read.contains(&whole(path)))
            .unwrap_or_else(|| path.to_owned())
    }

    /// A free name like that of a file that is not this window's to write: beside it, or where the user may write.
    fn free_for(&self, path: &Path) -> PathBuf {
        let in_folder = self.closed.as_ref().is_some_and(|closed| closed.folder);
        let home = std::env::home_dir().filter(|home| in_folder && home.is_dir());
        match home.and_then(|home| Some(home.join(path.file_name()?))) {
            Some(path) if path.exists() => free_beside(&path),
            Some(path) => path,
            None => free_beside(path),
        }
    }

    /// What is proposed for a workbook that has no file: its title, in the folder of the list it was read from, of the last file, or of
    /// the user.
    fn first_name(&self) -> Option<PathBuf> {
        let folder = self.folder_begun()?;
        let kept = |letter: char| letter.is_alphanumeric() || matches!(letter, ' ' | '-' | '_' | '(' | ')');
        let name: String = self.title.chars().filter(|letter| kept(*letter)).collect();
        let name = match name.trim() {
            "" => "workbook",
            name => name,
        };
        let path = folder.join(format!("{name}.pole"));
        Some(if path.exists() { free_beside(&path) } else { path })
    }

    /// Where a file is looked for, or put, that was not named yet: in the folder of the one that is open, of the list it was read from, of the last
    /// file, or of the user.
    pub(super) fn folder_begun(&self) -> Option<PathBuf> {
        let of = |path: Option<&PathBuf>| path.and_then(|path| path.parent()).map(Path::to_owned);
        let known = of(self.path.as_ref()).or(self.source.clone());
        known.or_else(|| of(self.last.first())).or_else(std::env::home_dir)
    }

    fn save(&mut self) {
        match (self.path.clone(), self.lock.is_some()) {
            (Some(path), true) if !self.outside && self.later_version() > self.written_over => {
                let version = self.later_version().unwrap_or(0);
                self.question(Purpose::Replace(path, Written::Later(version)), String::new());
            }
            (Some(_), true) if self.outside => {
                self.not_saved = true;
                self.question_path(Purpose::SaveAs, "pole");
            }
            (Some(path), true) => self.save_to(path),
            _ => {
                self.question_path(Purpose::SaveAs, "pole");
                let why = self.closed_in_words();
                let in_folder = self.closed.as_ref().is_some_and(|closed| closed.folder);
                if let (Some(why), Some(dialog)) = (why, &mut self.dialog) {
                    let where_to = if in_folder {
                        " in a folder where you may write"
                    } else {
                        ""
                    };
                    dialog.told = Some(format!("{why}. Give your work another name{where_to}."));
                }
            }
        }
    }

    /// Why the open file cannot be written.
    pub(super) fn closed_in_words(&self) -> Option<String> {
        let closed = self.closed.as_ref()?;
        let name = crate::window::maps::named(self.path.as_deref()?);
        Some(format!("{name}: {}", closed.why))
    }

    fn copy(&mut self) {
        if let Some((sheet, plan, range)) = self.chosen_range() {
            let system = self.system;
            let work = Work::new(move |session| {
                Seen::of(session, sheet).map_or(Copied::default(), |seen| Copied {
                    text: clip::text(seen.shown_in(system), &plan, range),
                    typed: clip::text(seen, &plan, range),
                    lines: copied::lines(seen, &plan, range),
                })
            });
            self.door.ask(Todo::Copy(work));
        }
    }

    /// Types what was copied from the chosen place on.
    pub(super) fn paste(&mut self, text: String) {
        if let Some(read) = sheets::of(&text) {
            let book = match read {
                Ok(book) => book,
                Err(why) => {
                    self.tell(About::Change, why, true);
                    return;
                }
            };
            let behind = (!self.contents.is_empty()).then_some(self.sheet);
            let work = Work::new(move |session| sheets::pasted(session, book, behind));
            self.door.ask(Todo::Many("paste".into(), work));
            self.turn_to = Some(behind.map_or(0, |at| at + 1));
            return;
        }
        // What was copied here comes back as it was typed, whatever unit it was shown in.
        let same = |copied: &&Copied| copied.text.lines().eq(text.lines());
        let mut said = Vec::new();
        let (text, lines, system) = match self.copied_last.as_ref().filter(same) {
            Some(copied) => (copied.typed.clone(), copied.lines.clone(), System::AsWritten),
            None => {
                // Something else is in the clipboard by now.
                self.cut = None;
                let (read, words) = from_elsewhere(&text);
                said = words;
                (read.into_owned(), None, self.system)
            }
        };
        if self.put_cut(lines.as_ref()) {
            return;
        }
        self.pasted_to = self.picture.as_ref().map(|picture| picture.name.clone());
        self.many("paste", move |seen, plan, range| {
            let (changes, note) = match lines.and_then(|lines| moved::insert(seen, plan, range, &lines)) {
                Some(made) => made,
                None => many::paste(seen.shown_in(system), plan, range, &text),
            }?;
            let notes: Vec<String> = note.into_iter().chain(said).collect();
            Ok((changes, Some(notes.join(" ")).filter(|notes| !notes.is_empty())))
        });
    }

    /// Copies what is chosen and empties it. What is chosen as a whole stays until it is pasted.
    fn cut(&mut self) {
        self.copy();
        let whole = self.whole().map(|(_, whole)| whole);
        let chosen = self.chosen_range();
        self.cut = chosen.and_then(|(_, plan, range)| Cut::of(self.seen()?, &plan, range, whole));
        match self.cut.as_ref().map(Cut::words) {
            Some(words) => self.tell(
                About::Change,
                format!("Cut: {words}. Ctrl+V brings it before what is chosen then, Esc leaves it where it is."),
                false,
            ),
            None => {
                self.put_chosen_wrongs_away();
                self.many("cut", many::empty);
            }
        }
    }

    /// Brings what was cut to the chosen place; `false` where nothing was, or it can only be copied there.
    fn put_cut(&mut self, lines: Option<&copied::Lines>) -> bool {
        let (Some(cut), Some((sheet, plan, range))) = (self.cut.clone(), self.chosen_range()) else {
            return false;
        };
        let made = self.seen().and_then(|seen| cut.put(seen, &plan, range, lines));
        match made {
            None => {
                let words = format!("{} is copied here and stays where it was cut.", cut.words());
                self.say(words, false);
                self.cut = None;
                return false;
            }
            Some(Err(why)) => self.tell(About::Change, why, true),
            Some(Ok((changes, note))) => {
                self.cut = None;
                self.well(About::Change);
                let first = cut.first().filter(|_| !changes.is_empty());
                self.comes = first.map(|name| Comes::Quantity(sheet, name.clone(), Field::Symbol));
                self.apply(format!("move {}", cut.words()), changes, None);
                if let Some(note) = note {
                    self.say(note, false);
                }
            }
        }
        true
    }

    /// Sheet, plan and range of what is chosen.
    pub(super) fn chosen_range(&mut self) -> Option<(usize, Plan, many::Range)> {
        let plan = self.plan()?;
        let range = self.arrangement()?.range();
        Some((self.sheet, plan, range))
    }

    /// Changes many places; what has to be changed is worked out where the session is at work.
    pub(super) fn many(
        &mut self,
        label: &str,
        made: impl FnOnce(Seen<'_>, &Plan, many::Range) -> many::Made + Send + 'static,
    ) {
        let Some((sheet, plan, range)) = self.chosen_range() else {
            return;
        };
        let work = Work::new(move |session| match Seen::of(session, sheet) {
            Some(seen) => made(seen, &plan, range),
            None => Ok((Vec::new(), None)),
        });
        self.door.ask(Todo::Many(label.into(), work));
    }

    fn choose_all(&mut self) {
        let Some(plan) = self.plan() else { return };
        if let Some(arrangement) = self.arrangement() {
            // In a list the rows, from the first one on; its headings are chosen by themselves.
            let line = plan.heads().min(plan.last());
            arrangement.choose(plan.within(At { line, column: 0 }), false);
            // The open line holds nothing.
            let (line, column) = (plan.last(), usize::MAX);
            arrangement.choose(plan.within(At { line, column }), true);
        }
    }

    fn role(&mut self) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(seen) = self.seen() else { return };
        let Some(quantity) = seen.quantity(spot.quantity) else {
            return;
        };
        let Some((at, line)) = seen.line(&quantity.name) else {
            return;
        };
        let (from, to) = match quantity.role {
            Role::Given => ("given", "work"),
            Role::Work => ("work", "given"),
            Role::Seek => {
                self.say("A sought quantity has an equation; type its whole line.", true);
                return;
            }
        };
        let Some(rest) = line.text.strip_prefix(from) else {
            return;
        };
        let (list, name) = (seen.sheet.name.clone(), quantity.name.clone());
        let set = Change::SetLine {
            place: Place::Line(seen.at, at),
            text: format!("{to}{rest}").into(),
        };
        // In a list a given is a column, and what is worked is none.
        let column = match quantity.role {
            Role::Given if seen.is_column(&name) => Some(Change::DeleteColumn { list, name }),
            Role::Work => self.new_column(Some(spot.quantity), true, &name),
            _ => None,
        };
        let changes = std::iter::once(set).chain(column).collect();
        self.apply(format!("make it {to}"), changes, None);
    }

    /// The change that makes a given a column of the list, beside the column of a quantity.
    fn new_column(&self, beside: Option<usize>, after: bool, name: &Arc<str>) -> Option<Change> {
        let seen = self.seen()?;
        let columns = &seen.sheet.rows.as_ref()?.columns;
        let beside = beside.and_then(|at| seen.quantity(at));
        let at = beside.and_then(|quantity| columns.iter().position(|column| *column == quantity.name));
        Some(Change::InsertColumn {
            list: seen.sheet.name.clone(),
            at: at.map_or(columns.len(), |at| at + usize::from(after)),
            name: name.clone(),
            cells: Vec::new(),
        })
    }

    fn insert(&mut self, after: bool) {
        let Some((_, spot)) = self.chosen() else {
            // An empty sheet has no place to choose, nor has a list without rows.
            match self.seen().map(|seen| (seen.results.form, seen.results.items.len())) {
                Some((Form::List, 0)) => {
                    let (quantity, field) = (0, Field::Value(0));
                    self.insert_row(Spot { quantity, field }, false);
                }
                Some((Form::List, _)) => self.say("No row is shown; Show all brings them.", true),
                _ => self.insert_quantity(None, after),
            }
            return;
        };
        let is_row = matches!(spot.field, Field::Value(_)) && !self.chose_quantities();
        match (self.seen().map(|seen| seen.results.form), is_row) {
            (Some(Form::List), true) => self.insert_row(spot, after),
            _ => self.insert_quantity(Some(spot), after),
        }
    }

    fn insert_row(&mut self, spot: Spot, after: bool) {
        let Field::Value(item) = spot.field else { return };
        let line = self.arrangement().map_or(0, |arrangement| arrangement.at.line);
        let Some(plan) = self.plan() else { return };
        let Some(seen) = self.seen() else { return };
        let at = (item + usize::from(after)).min(seen.results.items.len());
        let change = many::make_row(seen, at);
        let sheet = seen.at;
        self.hold(&plan, at, (line + usize::from(after)).saturating_sub(plan.heads()));
        self.apply("insert a row", vec![change], None);
        let field = Field::Value(at);
        self.comes = Some(Comes::Row(sheet, Spot { field, ..spot }));
    }

    /// A row is being made: among ordered or chosen rows it is shown where it was asked for, until they are ordered or chosen anew.
    pub(super) fn hold(&mut self, plan: &Plan, item: usize, place: usize) {
        let name = self.picture.as_ref().map(|picture| picture.name.clone());
        let order = plan.order.as_ref().map(|order| order.with_row(item, place));
        self.held = name.zip(order);
    }

    fn insert_quantity(&mut self, spot: Option<Spot>, after: bool) {
        let Some(seen) = self.seen() else { return };
        let known = |name: &str| seen.results.quantities.iter().any(|quantity| &*quantity.name == name);
        let name = fresh("x", known);
        let line = spot
            .and_then(|spot| seen.quantity(spot.quantity))
            .and_then(|quantity| seen.line(&quantity.name))
            .map(|(at, _)| at + usize::from(after));
        let change = Change::InsertLine {
            place: Place::Line(seen.at, line.unwrap_or(seen.sheet.lines.len())),
            before: "".into(),
            text: format!("given {name}").into(),
        };
        let sheet = seen.at;
        // A line begins with its label, as the open line does; what is read as a column is told by its symbol.
        let field = match seen.results.form {
            Form::Sheet => Field::Label,
            Form::List => Field::Symbol,
        };
        let column = self.new_column(spot.map(|spot| spot.quantity), after, &name);
        let changes = std::iter::once(change).chain(column).collect();
        self.apply("insert a quantity", changes, None);
        self.comes = Some(Comes::Quantity(sheet, name, field));
    }

    fn move_line(&mut self, on: bool) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(plan) = self.plan() else { return };
        let Some(seen) = self.seen() else { return };
        if let (Form::List, Field::Value(item), false) = (seen.results.form, spot.field, self.chose_quantities()) {
            if plan.order.is_some() {
                self.say("Rows are moved in the order of the list; show it so first.", true);
                return;
            }
            let to = if on { item + 1 } else { item.wrapping_sub(1) };
            if to < plan.items && item < plan.items {
                let change = Change::MoveRow {
                    list: seen.sheet.name.clone(),
                    row: item,
                    to,
                };
                self.apply("move the row", vec![change], None);
                self.step(if on { 1 } else { -1 }, 0, false);
            }
            return;
        }
        let neighbour = if on {
            spot.quantity.checked_add(1)
        } else {
            spot.quantity.checked_sub(1)
        };
        let line = |at: usize| {
            seen.quantity(at)
                .and_then(|quantity| seen.line(&quantity.name))
                .map(|(at, _)| at)
        };
        if let (Some(from), Some(to)) = (line(spot.quantity), neighbour.and_then(line)) {
            let change = Change::MoveLine {
                place: Place::Line(seen.at, from),
                to,
            };
            let is_list = seen.results.form == Form::List;
            self.apply("move the quantity", vec![change], None);
            let step = if on { 1 } else { -1 };
            if is_list {
                self.step(0, step, false)
            } else {
                self.step(step, 0, false)
            }
        }
    }

    /// The chosen case of a worked sheet and its name.
    fn chosen_case(&mut self) -> Option<(usize, Arc<str>)> {
        let found = self.chosen().zip(self.seen()).and_then(|((_, spot), seen)| {
            let Field::Value(case) = spot.field else { return None };
            let name = seen.results.items.get(case)?;
            (seen.results.form == Form::Sheet && !name.is_empty()).then(|| (case, name.clone()))
        });
        if found.is_none() {
            self.say("Choose a value of the case first.", true);
        }
        found
    }

    fn of_case(&mut self, label: &str, change: impl FnOnce(Arc<str>, usize, usize) -> Option<Change>) {
        let Some((case, _)) = self.chosen_case() else { return };
        let Some(seen) = self.seen() else { return };
        let made = change(seen.sheet.name.clone(), case, seen.results.items.len());
        self.apply(label, made.into_iter().collect(), None);
    }

    fn move_case(&mut self, on: bool) {
        let mut moved = false;
        self.of_case("move the case", |sheet, case, count| {
            let to = if on { case + 1 } else { case.checked_sub(1)? };
            moved = to < count;
            moved.then_some(Change::MoveCase { sheet, case, to })
        });
        if moved {
            self.step(0, if on { 1 } else { -1 }, false);
        }
    }

    fn new_sheet(&mut self, text: &str, base: &str) {
        let Some(session) = self.door.session() else { return };
        let sheets = &session.workbook().sheets;
        let name = fresh(base, |name| sheets.iter().any(|sheet| &*sheet.name == name));
        let at = (self.sheet + 1).min(sheets.len());
        let change = Change::InsertSheet {
            at,
            text: text.replacen(base, &name, 1).into(),
        };
        self.apply("new sheet", vec![change], None);
        self.turn_to = Some(at);
    }

    fn move_sheet(&mut self, on: bool) {
        let to = if on {
            self.sheet.checked_add(1)
        } else {
            self.sheet.checked_sub(1)
        };
        let Some(to) = to.filter(|to| *to < self.contents.len()) else {
            return;
        };
        let Some(seen) = self.seen() else { return };
        let change = Change::MoveSheet {
            sheet: seen.sheet.name.clone(),
            to,
        };
        self.apply("move the sheet", vec![change], None);
        self.turn_to = Some(to);
    }

    fn turn(&mut self, by: isize) {
        let last = self.contents.len().saturating_sub(1);
        self.sheet = self.sheet.saturating_add_signed(by).min(last);
        self.refresh();
    }

    /// Goes to the next place with the text, over all sheets, from the chosen one on.
    pub(super) fn find_next(&mut self) {
        let typed = self.find.as_ref().map(|text| text.trim().to_owned());
        let Some(typed) = typed.filter(|text| !text.is_empty()) else {
            return;
        };
        let from = (self.sheet, self.chosen().map(|(_, spot)| spot));
        let system = self.system;
        let text = typed.to_lowercase();
        let arranged = self.arrangements.clone();
        let work = Work::new(move |session| many::find(session, from, &text, system, &arranged));
        self.door.ask(Todo::Find(typed, work));
    }

    /// Chooses the rows in sight and their order anew.
    pub(super) fn ask_rows(&mut self, change: impl FnOnce(&mut RowsBy)) {
        if self.seen().is_none_or(|seen| seen.results.form == Form::Sheet) {
            self.say("Only the rows of a list can be chosen and ordered.", false);
            return;
        }
        let Some(arrangement) = self.arrangement() else { return };
        let mut by = arrangement.by.rows.clone();
        change(&mut by);
        if by.is_all() {
            self.rearranged(None, Arrangement::all_rows);
        } else if let Some(name) = self.picture.as_ref().map(|picture| picture.name.clone()) {
            self.door.ask(Todo::Rows(name, by));
        }
    }

    fn order(&mut self, largest_first: bool) {
        let Some(quantity) = self.chosen_quantity() else { return };
        let name = self.seen().and_then(|seen| Some(seen.quantity(quantity)?.name.clone()));
        self.ask_rows(|by| by.order = name.map(|name| (name, largest_first)));
    }

    fn hide(&mut self) {
        if self.whole() == Some((Form::Sheet, Whole::Columns)) {
            self.say(
                "Quantities are hidden, and of a sheet they are its lines; a column can be made narrower.",
                false,
            );
            return;
        }
        let Some((_, plan, range)) = self.chosen_range() else {
            return;
        };
        let quantities = many::quantities(&plan, range);
        let Some(seen) = self.seen() else { return };
        let names: Vec<Arc<str>> = quantities
            .iter()
            .filter_map(|at| seen.quantity(*at))
            .map(|quantity| quantity.name.clone())
            .collect();
        let all = seen.results.quantities.len();
        if let Some(arrangement) = self.arrangement()
            && arrangement.by.hidden.len() + names.len() < all
        {
            arrangement.by.hidden.extend(names);
            arrangement.choose(arrangement.at, false);
        }
    }

    fn pin(&mut self) {
        let usual = self.picture.as_ref().map_or(1, |picture| picture.pinned);
        if let Some(arrangement) = self.arrangement() {
            let wanted = arrangement.at.column + 1;
            arrangement.by.pinned = Some(if usual == wanted { 0 } else { wanted });
        }
    }

    fn widen(&mut self, by: f32) {
        let widths = self.widths_chosen();
        let Some(arrangement) = self.arrangement() else { return };
        for (key, width) in widths {
            let _ = arrangement.by.widths.insert(key, (width * by).clamp(36.0, 900.0));
            arrangement.widths_set += 1;
        }
    }
}
