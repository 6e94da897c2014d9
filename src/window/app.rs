//! The window itself: reads the session, draws, collects what was asked for, and lets it run after drawing.

mod acts;
mod arranging;
mod choosing;
mod contents;
mod dialog;
mod frame;
mod keyboard;
mod looking_up;
mod naming;
mod notices;
mod paths;
mod told;
mod wrongs;

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant, SystemTime};

use eframe::egui;

use super::arrange::{Arrangement, Ordered};
use super::calm::Calm;
use super::command::Act;
use super::commas;
use super::daylight;
use super::door::{
    Arrived, By, Copied, Door, Opened, Said, Stamp, Todo, Typed, Wake, Work, kept_beside, kept_meanwhile, waits,
    written_at,
};
use super::grid::Picture;
use super::habits::{self, Habits};
use super::last;
use super::lefts;
use super::look;
use super::maps;
use super::moved::Cut;
use super::newer::{self, ListRead};
use super::order::{Order, Turn};
use super::panels::assumptions::Assumptions;
use super::panels::checks::Checks;
use super::panels::curves::Curves;
use super::panels::faults::Faults;
use super::panels::functions::Library;
use super::panels::lines::Lines;
use super::panels::mending;
use super::panels::report::Reading;
use super::panels::unread::Unread;
use super::panels::working::Working;
use super::panels::{Panel, Wish};
use super::readings::Readings;
use super::renames::{Names, Renamed};
use super::spot::{Field, Seen, Spot};
use super::start::SHIPPED;
use super::steps::Steps;
use super::typing::Editing;
use super::wrong::{Resting, Wrong, Wrongs};
use crate::fault::{Code, Severity, in_words};
use crate::files::{FileError, Holder, Lock};
use crate::plates::Report;
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::workbook::{Form, Statement, VERSION};
pub use dialog::{Asked, SystemDialog};
use dialog::{Dialog, Next, Purpose};
use paths::Beside;
use told::{About, Notice};

/// How long a frame waits for quick work.
const PATIENCE: Duration = Duration::from_millis(10);

/// How long after a change a copy is kept against a crash, at least.
const KEEP_AFTER: Duration = Duration::from_millis(250);

/// How long no key is struck before a copy is kept.
const PAUSE: Duration = Duration::from_millis(200);

/// How many times as long as keeping a copy took it is left alone: a long list must not stand still for its copies.
const KEEP_SHARE: u32 = 10;

/// What is being made.
#[derive(Clone, Debug)]
enum Comes {
    /// A quantity of a sheet, by its symbol, and the field of it that is to be chosen.
    Quantity(usize, Arc<str>, Field),
    /// A row of a list, or the open line of a sheet, by a place in it.
    Row(usize, Spot),
}

/// How far the report of a list has come that was read in another run.
#[derive(Clone, Debug, PartialEq, Eq)]
enum ReadBack {
    /// Nobody wanted it yet.
    Unasked,
    /// The list is being read again.
    Asked,
    /// There is none, and why.
    Failed(String),
}

impl ReadBack {
    /// What stands in the place of the report.
    fn words(&self) -> &str {
        match self {
            ReadBack::Unasked => "No list has been read in this window.",
            ReadBack::Asked => "The list is being read again for its report…",
            ReadBack::Failed(why) => why,
        }
    }
}

/// The work that was in the place of this one, to be taken back.
#[derive(Debug)]
struct Aside {
    session: Box<Session>,
    /// It was there before; else it was taken back.
    earlier: bool,
    /// Something was saved since it was taken back.
    let_go: bool,
}

/// Why the open file cannot be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Closed {
    why: String,
    /// Nothing in its folder can be.
    folder: bool,
}

impl Closed {
    fn of(error: &FileError) -> Closed {
        Closed {
            why: error.why.clone(),
            folder: error.is_of_the_folder(),
        }
    }
}

/// The window.
pub struct Window {
    ctx: egui::Context,
    door: Door,
    path: Option<PathBuf>,
    lock: Option<Lock>,
    /// The right to a file that is there, until the user says that it may be replaced.
    granted_lock: Option<Lock>,
    /// Where the copy of a workbook without a file is kept; the lock says that it belongs to a living window.
    own_copy: Option<(PathBuf, Lock)>,
    stamp: Option<Stamp>,
    title: String,
    changed: bool,
    sheet: usize,
    arrangements: BTreeMap<Arc<str>, Arrangement>,
    steps: Steps,
    picture: Option<Picture>,
    /// What it was read of.
    pictured: Option<frame::Pictured>,
    /// For how long nothing was done.
    calm: Calm,
    /// How many workbooks were open in this window.
    book: u64,
    page: usize,
    /// Width of the grid as it was drawn last.
    room: f32,
    /// How many of the pinned columns had room, where not all had.
    of_pinned: Option<String>,
    editing: Option<Editing>,
    pending: VecDeque<egui::Event>,
    /// Whether pointer or keys have to wait for one another.
    turn: Turn,
    /// What was typed along a line, place by place.
    run: Option<keyboard::Run>,
    /// What had the keys beside the grid at the end of the frame before.
    had_keys: Option<egui::Id>,
    panel: Option<Panel>,
    /// It has nearly the whole middle.
    wide: bool,
    /// The open panel is to get the keys.
    panel_fresh: bool,
    system: System,
    dialog: Option<Dialog>,
    /// The question whose answer is being taken in.
    named_last: Option<Dialog>,
    /// An answer that waits for the session.
    answer_waits: Option<Dialog>,
    find: Option<String>,
    find_fresh: bool,
    search: String,
    library: Library,
    /// Numbers with a decimal comma, by sheet.
    found_commas: Vec<commas::Commas>,
    /// The sheet that is asked about.
    asks_commas: Option<usize>,
    search_fresh: bool,
    notices: Vec<Notice>,
    acts: Vec<Act>,
    wishes: Vec<Wish>,
    report: Option<Reading>,
    /// The list that was read.
    list: Option<ListRead>,
    /// The readings of steps that were taken back, and of steps before the last one.
    readings: Readings,
    /// A list that could not be read, until it is put away.
    unread: Option<Unread>,
    /// The workbook was made of one list.
    of_a_list: bool,
    /// How far its report has come, where it is not of this window.
    back: ReadBack,
    working: Working,
    faults: Faults,
    lines: Lines,
    checks: Checks,
    assumptions: Assumptions,
    curves: Curves,
    /// A value being dragged, until the session is here to take it.
    drag: Option<(Command, bool)>,
    changes: u64,
    /// Quantities of the sheet in sight that a warning stands on, and the item where it is of one alone.
    doubtful: BTreeSet<(Arc<str>, Option<usize>)>,
    /// Checks that do not hold, by the quantities of the sheet in sight that they read.
    checked: BTreeMap<Arc<str>, Vec<(usize, usize)>>,
    /// The order of a list with a row that is being made.
    held: Option<(Arc<str>, Ordered)>,
    /// The list into which something is pasted: rows that come behind its others stay in sight.
    pasted_to: Option<Arc<str>>,
    /// Rows are arranged for the edit before: both are taken back in one go.
    joins: bool,
    /// After which change, in which sheet, columns were made as wide as what stands in them.
    fitted: Option<(u64, usize, usize)>,
    contents: Vec<(Arc<str>, String, usize)>,
    /// The names that arrangements are kept by.
    names: Names,
    /// How many checks of each sheet do not hold.
    failing: Vec<usize>,
    unkept: Option<Instant>,
    keep_after: Duration,
    /// When a key was struck last.
    struck: Instant,
    /// The file that is watched for changes outside.
    watched: Option<PathBuf>,
    /// When this window wrote the file last.
    wrote: Instant,
    outside: bool,
    /// Saving was refused because of it.
    not_saved: bool,
    /// Where the menus end, from the left.
    menus_end: f32,
    /// Height of what is said where it stands at the lower edge of the window.
    notices_below: f32,
    /// What is said over the page takes more than one line.
    notices_wrap: bool,
    /// Where begins what is said of saving: nothing lies over it.
    state_begins: f32,
    /// All that was said is asked for, not the last alone.
    all_notices: bool,
    kept: Option<(Box<Session>, Vec<String>)>,
    /// What is typed and not taken in, as the copy against a crash has it.
    kept_typed: Vec<String>,
    /// When the kept work was written.
    kept_at: Option<SystemTime>,
    /// The file was saved after it.
    kept_is_older: bool,
    /// The version of the text of the file, later than this program knows, that may be written over.
    written_over: Option<u32>,
    /// Faults and warnings before the first sheet.
    of_head: usize,
    /// What the file holds, while the kept work is in its place, or the other way round.
    aside: Option<Aside>,
    /// Since when the session has been at work.
    away: Option<Instant>,
    closing: bool,
    after_save: Option<Next>,
    /// A workbook that was read while work was done in the one that is open: it waits until that is safe.
    come: Option<Box<Arrived>>,
    /// What waits for the session to put another workbook in its place.
    then: Option<Next>,
    /// Folder of the list that was read.
    source: Option<PathBuf>,
    /// Why the open file cannot be written, and whether that is for its folder.
    closed: Option<Closed>,
    /// That was seen and put away.
    closed_known: bool,
    /// A copy another window left, and the right to it.
    left: Option<(PathBuf, Lock)>,
    /// The file whose work it is, where it has one.
    left_of: Option<PathBuf>,
    /// The file whose work was taken of such a copy.
    work_of: Option<PathBuf>,
    /// The file that is noted beside the copy of this window.
    whose: Option<PathBuf>,
    /// It is known which copies there are.
    knows_copies: bool,
    /// When that was written.
    left_at: Option<SystemTime>,
    /// Such a copy whose work was taken; it goes once there is one of this window.
    taken: Option<(PathBuf, Lock)>,
    /// The file dialogs of the system are asked; else only the path field.
    asks_system: bool,
    system_dialog: SystemDialog,
    /// The title of the window of the system.
    named: String,
    /// What stands in the folder of the path that is being written.
    beside: Beside,
    /// A text that was refused, to be opened again.
    reopen: Option<Editing>,
    /// What was typed and is still at work.
    on_way: Vec<Typed>,
    /// After which change somebody said that the work may go without being saved.
    let_go: Option<u64>,
    /// Texts that could not stand at their places.
    wrongs: Wrongs,
    /// The open line of this sheet is being made a quantity.
    wrongs_join: Option<Arc<str>>,
    /// Those that come back with the edit that is being taken back.
    wrongs_return: Option<Wrongs>,
    /// Those of the sheet in sight.
    wrongs_here: Vec<(Spot, Wrong)>,
    /// What is worked from a place that has one, after which change and for which of them.
    resting: (u64, Wrongs, Resting),
    /// A text for the clipboard.
    copied: Option<String>,
    /// What was cut as a whole and has no other place yet.
    cut: Option<Cut>,
    /// What was copied here last.
    copied_last: Option<Copied>,
    /// What is being made, to be chosen once it is there.
    comes: Option<Comes>,
    /// A sheet that is being made, to be turned to.
    turn_to: Option<usize>,
    /// Where looks and unit system are remembered, and as they were when they were last.
    habits: Option<(PathBuf, Habits)>,
    /// The folder where files are remembered, and the files that were opened last.
    state: Option<PathBuf>,
    last: Vec<PathBuf>,
    /// Those of them that unsaved work waits beside.
    waiting: Vec<PathBuf>,
    /// Whose turn it is to write them, and what they are by now.
    writes: (Arc<Mutex<()>>, Arc<Mutex<Option<Habits>>>),
}

impl Window {
    /// A window with a file, or with the first page. `state` is the folder for copies of workbooks without a file.
    pub fn new(ctx: &egui::Context, file: Option<PathBuf>, state: Option<PathBuf>) -> Window {
        look::dress(ctx);
        let turn = Turn::default();
        ctx.add_plugin(Order::beside(&turn));
        let asked = ctx.clone();
        let wake: Wake = Arc::new(move || asked.request_repaint());
        let first = SHIPPED.first().filter(|_| file.is_none());
        let text = first.map_or("polepair 1\n", |shipped| shipped.text);
        let mut window = Window {
            ctx: ctx.clone(),
            door: Door::new(Session::open(text), wake),
            path: None,
            lock: None,
            granted_lock: None,
            own_copy: None,
            stamp: None,
            title: String::new(),
            changed: false,
            sheet: 0,
            arrangements: BTreeMap::new(),
            steps: Steps::default(),
            picture: None,
            pictured: None,
            calm: Calm::default(),
            book: 0,
            page: 20,
            room: 680.0,
            of_pinned: None,
            editing: None,
            pending: VecDeque::new(),
            turn,
            run: None,
            had_keys: None,
            panel: Some(Panel::Start),
            wide: false,
            panel_fresh: false,
            system: System::AsWritten,
            dialog: None,
            named_last: None,
            answer_waits: None,
            find: None,
            find_fresh: false,
            search: String::new(),
            library: Library::default(),
            found_commas: Vec::new(),
            asks_commas: None,
            search_fresh: false,
            notices: Vec::new(),
            acts: Vec::new(),
            wishes: Vec::new(),
            report: None,
            list: None,
            unread: None,
            of_a_list: false,
            readings: Readings::default(),
            back: ReadBack::Unasked,
            working: Working::default(),
            faults: Faults::default(),
            lines: Lines::default(),
            checks: Checks::default(),
            assumptions: Assumptions::default(),
            drag: None,
            curves: Curves::default(),
            changes: 0,
            doubtful: BTreeSet::new(),
            checked: BTreeMap::new(),
            joins: false,
            held: None,
            pasted_to: None,
            fitted: None,
            contents: Vec::new(),
            names: Names::default(),
            failing: Vec::new(),
            unkept: None,
            keep_after: KEEP_AFTER,
            struck: Instant::now(),
            watched: None,
            wrote: Instant::now(),
            outside: false,
            not_saved: false,
            state_begins: f32::INFINITY,
            menus_end: 0.0,
            notices_below: 0.0,
            notices_wrap: false,
            all_notices: false,
            kept: None,
            kept_typed: Vec::new(),
            kept_at: None,
            kept_is_older: false,
            written_over: None,
            of_head: 0,
            aside: None,
            away: None,
            closing: false,
            after_save: None,
            come: None,
            then: None,
            source: None,
            closed: None,
            closed_known: false,
            left: None,
            left_of: None,
            work_of: None,
            whose: None,
            knows_copies: false,
            left_at: None,
            taken: None,
            asks_system: false,
            system_dialog: dialog::of_the_system(),
            named: String::new(),
            beside: Beside::default(),
            reopen: None,
            on_way: Vec::new(),
            let_go: None,
            wrongs: Wrongs::default(),
            wrongs_join: None,
            wrongs_return: None,
            wrongs_here: Vec::new(),
            resting: Default::default(),
            copied: None,
            cut: None,
            copied_last: None,
            comes: None,
            turn_to: None,
            habits: None,
            state: state.clone(),
            last: Vec::new(),
            waiting: Vec::new(),
            writes: Default::default(),
        };
        window.refresh();
        if let Some(shipped) = first {
            window.show_first(shipped.shows);
        }
        if let Some(folder) = state {
            let beside = folder.clone();
            window.door.quietly(move || {
                let files = last::files(&beside);
                let waiting = files.iter().filter(|path| waits(path)).cloned().collect();
                Arrived::Last(files, waiting)
            });
            window.door.quietly(move || copies(&folder));
        }
        if let Some(file) = file {
            window.panel = None;
            match dialog::is_list(&file) {
                true => window.door.import(file, By::Itself),
                false => window.door.open(file, None),
            }
        }
        window
    }

    /// The session, when it is not at work.
    pub fn session(&self) -> Option<&Session> {
        self.door.session()
    }

    /// Whether nothing is at work and nothing waits to be typed.
    pub fn is_idle(&self) -> bool {
        self.drag.is_none()
            && self.then.is_none()
            && self.door.is_idle()
            && self.pending.is_empty()
            && self.acts.is_empty()
            && self.wishes.is_empty()
            && self.answer_waits.is_none()
            && !self.turn.waits()
    }

    /// The chosen place: sheet and spot.
    pub fn chosen(&self) -> Option<(usize, Spot)> {
        let picture = self.picture.as_ref()?;
        let arrangement = self.arrangements.get(&picture.name)?;
        Some((picture.sheet, picture.plan.spot(arrangement.at)?))
    }

    /// The quantity whose place is chosen; of a list the line under a group has its columns too.
    fn chosen_quantity(&self) -> Option<usize> {
        let picture = self.picture.as_ref()?;
        let at = self.arrangements.get(&picture.name)?.at;
        match picture.form {
            Form::Sheet => Some(picture.plan.spot(at)?.quantity),
            Form::List => picture.plan.quantities.get(at.column).copied(),
        }
    }

    /// The text being typed.
    pub fn typing(&self) -> Option<&str> {
        self.editing.as_ref().map(|editing| editing.text.as_str())
    }

    /// Asks for a command, as from a menu.
    pub fn ask(&mut self, act: Act) {
        self.acts.push(act);
    }

    /// Names the program that serves as reading process for foreign lists, where this one does not.
    pub fn read_with(&mut self, program: PathBuf) {
        self.door.read_with(program);
    }

    /// Takes looks and unit system as they were in the last run, and remembers them in this file from now on.
    pub fn remember_in(&mut self, ctx: &egui::Context, path: PathBuf) {
        let habits = Habits::load(&path);
        habits.put_on(ctx);
        self.system = habits.system;
        self.habits = Some((path, habits));
    }

    /// Writes looks and unit system down where they have changed.
    fn remember(&mut self, ctx: &egui::Context) {
        let now = Habits::of(ctx, self.system);
        if let Some((path, before)) = self.habits.as_mut().filter(|(_, before)| *before != now) {
            *before = now;
            let path = path.clone();
            let (turn, latest) = (self.writes.0.clone(), self.writes.1.clone());
            *latest.lock().unwrap_or_else(PoisonError::into_inner) = Some(now);
            self.door.quietly(move || {
                // Threads come in any order; whichever comes last writes what is chosen by then.
                let _turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
                let now = latest.lock().unwrap_or_else(PoisonError::into_inner).unwrap_or(now);
                match now.save(&path) {
                    Ok(()) => Arrived::Nothing,
                    Err(error) => Arrived::Failed(path, format!("The look is not remembered: {error}"), error.help),
                }
            });
        }
    }

    /// Chooses the first value of a quantity whose working is worth a look.
    fn show_first(&mut self, name: &str) {
        let Some(session) = self.door.session() else { return };
        let mut sheets = session.results().sheets.iter().enumerate();
        let place = sheets.find_map(|(at, sheet)| {
            let mut quantities = sheet.quantities.iter();
            let named = quantities.clone().position(|quantity| &*quantity.name == name);
            // A list that was read opens at its readings, behind what its rows are called and where they come from.
            let reading = |quantity: &crate::recalc::QuantityResults| {
                matches!(&quantity.sort, crate::language::check::Sort::Quantity { unit, .. } if !unit.is_plain())
            };
            let quantity = named.or_else(|| quantities.position(reading).filter(|_| sheet.form == Form::List));
            Some((at, quantity?))
        });
        if let Some((at, quantity)) = place {
            let field = Field::Value(0);
            self.wishes.push(Wish::Go(at, Spot { quantity, field }));
        }
    }

    /// Begins light or dark as the desktop is, where the window system does not say and nothing was chosen here.
    pub fn follow_desktop(&mut self, ctx: &egui::Context) {
        let ctx = ctx.clone();
        self.door.quietly(move || {
            if let Some(theme) = daylight::of_the_desktop() {
                ctx.options_mut(|options| options.fallback_theme = theme);
                ctx.request_repaint();
            }
            Arrived::Nothing
        });
    }

    /// Asks the system for files beside the path field.
    pub fn ask_system(&mut self) {
        self.asks_system = true;
    }

    /// Looks for files by another way than the dialogue of the system.
    pub fn look_through(&mut self, way: SystemDialog) {
        self.system_dialog = way;
    }

    /// Goes to a place.
    pub fn go(&mut self, sheet: usize, spot: Spot) {
        self.wishes.push(Wish::Go(sheet, spot));
    }

    /// Reads again what the frame shows besides the grid.
    fn refresh(&mut self) {
        self.calm.stir();
        let Some(session) = self.door.session() else { return };
        self.changes = self.changes.wrapping_add(1);
        self.title.clone_from(&session.workbook().title);
        self.changed = session.is_changed();
        self.of_a_list = newer::origin_of(session.workbook()).is_some();
        let results = session.results();
        let names = Names::of(results);
        let before = std::mem::replace(&mut self.names, names);
        let renamed = before.changed(&self.names);
        for change in &renamed {
            match change {
                Renamed::Sheet(from, to) => {
                    if let Some(arrangement) = self.arrangements.remove(from) {
                        let _ = self.arrangements.insert(to.clone(), arrangement);
                    }
                }
                Renamed::Quantity(sheet, from, to) => {
                    if let Some(arrangement) = self.arrangements.get_mut(sheet) {
                        arrangement.by.renamed(from, to);
                    }
                }
            }
            self.steps.renamed(change);
            self.wrongs.renamed(change);
        }
        let Some(session) = self.door.session() else { return };
        let results = session.results();
        self.contents = results
            .sheets
            .iter()
            .map(|sheet| {
                let faults = results
                    .faults
                    .iter()
                    .filter(|placed| placed.sheet.as_deref() == Some(&*sheet.name));
                (
                    sheet.name.clone(),
                    sheet.heading().to_owned(),
                    faults.filter(|placed| placed.fault.severity != Severity::Note).count(),
                )
            })
            .collect();
        let of_head = results.faults.iter().filter(|placed| placed.sheet.is_none());
        self.of_head = of_head.filter(|placed| placed.fault.severity != Severity::Note).count();
        let was = std::mem::replace(&mut self.found_commas, commas::by_sheet(session));
        let count = |all: &[commas::Commas], at: usize| all.get(at).map_or(0, commas::Commas::count);
        // Several at once are asked about in one go, until there are none or somebody leaves them.
        let more = (0..results.sheets.len()).find(|at| count(&self.found_commas, *at) > count(&was, *at).max(1));
        self.asks_commas = more.or(self.asks_commas.filter(|at| count(&self.found_commas, *at) > 1));
        self.failing = results.sheets.iter().map(super::panels::checks::failing).collect();
        self.sheet = self.sheet.min(self.contents.len().saturating_sub(1));
        self.doubtful = results
            .faults
            .iter()
            .filter(|placed| placed.fault.severity == Severity::Warning)
            // What is said of a check is no doubt about the givens it reads.
            .filter(|placed| !matches!(placed.source.split_whitespace().next(), Some("check" | "flag")))
            .take(500)
            .filter_map(|placed| {
                let (at, spot) = super::panels::faults::place(session, placed)?;
                if at != self.sheet {
                    return None;
                }
                let name = &results.sheets.get(at)?.quantities.get(spot.quantity)?.name;
                let item = match spot.field {
                    Field::Value(item) => placed.item.as_ref().map(|_| item),
                    _ => None,
                };
                // What is said of a formula goes for all cases that it serves; from a table each takes its own value.
                let inputs = Seen::of(session, at)?.inputs(name);
                let serves_all = inputs.is_some_and(|inputs| inputs.values.len() == 1);
                let of_one = !serves_all || placed.fault.code == Code::FROM_MEMORY;
                Some((name.clone(), item.filter(|_| of_one)))
            })
            .collect();
        self.wrongs.go_along(session, !renamed.is_empty());
        let here = results.sheets.get(self.sheet);
        self.checked = here.map_or_else(BTreeMap::new, |here| {
            super::panels::checks::reading(session, &here.name)
        });
    }

    /// Puts another workbook in place.
    fn put(&mut self, session: Session, path: Option<PathBuf>, lock: Option<Lock>, stamp: Option<Stamp>) {
        // Kept work is offered again with its file.
        let back = self.kept_taken_back().filter(|_| self.path != path);
        let copies = self.copy_path().into_iter().chain(back);
        let copies: Vec<PathBuf> = copies.collect();
        self.door.put(session);
        self.door.ask(Todo::Watch(None));
        for copy in copies {
            self.door.ask(Todo::Forget(copy));
        }
        self.path = path;
        self.lock = lock;
        self.stamp = stamp;
        self.sheet = 0;
        self.let_go = None;
        self.book += 1;
        self.arrangements.clear();
        self.names = Names::default();
        self.steps = Steps::default();
        self.picture = None;
        self.editing = None;
        self.wrongs = Wrongs::default();
        self.cut = None;
        self.lines = Lines::default();
        self.faults = Faults::default();
        self.curves = Curves::default();
        // What was said was said of another workbook.
        self.notices.clear();
        self.named_last = None;
        (self.outside, self.not_saved) = (false, false);
        (self.closed, self.work_of) = (None, None);
        self.kept = None;
        self.aside = None;
        self.unkept = None;
        self.report = None;
        self.unread = None;
        self.list = None;
        self.readings = Readings::default();
        self.back = ReadBack::Unasked;
        self.refresh();
    }

    fn opened(&mut self, opened: Opened) {
        let Opened {
            session,
            path,
            lock,
            stamp,
            kept,
            kept_at,
            earlier,
        } = opened;
        let (lock, taken) = match lock {
            Ok(lock) => (Some(lock), None),
            Err(error) => (None, Some(error)),
        };
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        self.note_file(&path);
        self.put(session, Some(path), lock, stamp);
        // A panel that was opened in the meantime stays.
        self.panel = self
            .panel
            .filter(|panel| !matches!(panel, Panel::Start | Panel::Report));
        if let Some(error) = taken {
            (self.closed, self.closed_known) = (Some(Closed::of(&error)), false);
        }
        self.look_for_left();
        self.kept_is_older = kept.is_some() && kept_at < self.path.as_deref().and_then(written_at);
        (self.kept, self.kept_at) = (kept, kept_at);
        self.written_over = None;
        if let Some(version) = self.later_version() {
            self.say(
                format!(
                    "{name} is in version {version} of the text, and this program knows version {VERSION}: what is new there is not read here.                      Saving asks first."
                ),
                true,
            );
        }
        if let Some(earlier) = earlier {
            let words = "Work kept still earlier stands in a workbook of its own";
            self.say(format!("{words}: {}", earlier.display()), true);
        }
    }

    /// A file was opened or written: the first page offers it from now on.
    pub(super) fn note_file(&mut self, path: &Path) {
        let Some(folder) = self.state.clone() else { return };
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.last = last::put_first(std::mem::take(&mut self.last), path.clone());
        self.waiting.retain(|known| *known != path);
        self.door.quietly(move || {
            last::note(&folder, &path);
            Arrived::Nothing
        });
    }

    /// The version of the text, where it is a later one than this program knows.
    pub(super) fn later_version(&self) -> Option<u32> {
        let mut head = self.door.session()?.workbook().head.iter();
        head.find_map(|line| match line.statement {
            Statement::Version(version) if version > VERSION => Some(version),
            _ => None,
        })
    }

    /// The kept work is taken or thrown away: nothing stands beside it any more.
    fn kept_answered(&mut self) -> Option<(Box<Session>, Vec<String>)> {
        if let Some(path) = self.copy_path() {
            self.door.ask(Todo::Forget(path));
        }
        self.kept.take()
    }

    /// Looks for work on the open file that a window kept elsewhere, since it could not keep it beside the file.
    fn look_for_left(&mut self) {
        let (Some(folder), Some(path)) = (self.state.clone(), self.path.clone()) else {
            return;
        };
        if self.knows_copies && self.left.is_none() {
            self.door.away(move || match lefts::of(&folder, &path) {
                Some(left) => Arrived::Left(path, left),
                None => Arrived::Nothing,
            });
        }
    }

    /// The copy of this window says whose work it is.
    fn note_whose(&mut self) {
        let Some((copy, _)) = &self.own_copy else { return };
        let of = self
            .path
            .clone()
            .filter(|_| self.lock.is_none())
            .or_else(|| self.work_of.clone());
        if of != self.whose {
            let copy = copy.clone();
            self.whose.clone_from(&of);
            self.door.quietly(move || {
                lefts::note(&copy, of.as_deref());
                Arrived::Nothing
            });
        }
    }

    /// Where kept work is that was taken back and is in no file: it can still be done again, and stays until something is saved.
    fn kept_taken_back(&self) -> Option<PathBuf> {
        let aside = self.aside.as_ref()?;
        let is_undone = !aside.earlier && !aside.let_go && aside.session.is_changed();
        let path = self.path.as_ref().filter(|_| is_undone && self.lock.is_some())?;
        Some(kept_beside(path))
    }

    /// Has the copy against a crash written, or thrown away where it would hold what the file holds. `typed`: what is not taken in.
    fn keep_copy(&mut self, typed: Vec<String>) {
        self.unkept = None;
        // What is the same as the file needs no copy.
        let same = !self.changed && self.path.is_some() && self.kept.is_none() && typed.is_empty();
        self.kept_typed.clone_from(&typed);
        if let Some(path) = self.copy_path().filter(|_| same) {
            self.door.ask(Todo::Forget(path));
        } else if let Some(path) = self.copy_path() {
            let sees_from = match (&self.path, &self.lock) {
                (None, _) => self.source.clone(),
                (Some(path), None) => Some(dialog::folder_of(path)),
                (Some(_), Some(_)) => None,
            };
            self.note_whose();
            self.door.ask(Todo::Keep(path, sees_from, typed));
        }
    }

    /// Where the copy against a crash is kept: beside the one that is offered or can be done again, while it is.
    fn copy_path(&self) -> Option<PathBuf> {
        match (&self.path, &self.lock) {
            (Some(path), Some(_)) if self.kept.is_some() || self.kept_taken_back().is_some() => {
                Some(kept_meanwhile(path))
            }
            (Some(path), Some(_)) => Some(kept_beside(path)),
            // Beside a file that is another's to write, or in a folder that cannot be written, nothing is put.
            (Some(_), None) | (None, _) => self.own_copy.as_ref().map(|(path, _)| path.clone()),
        }
    }

    /// What is typed and not taken in, and where.
    fn not_taken_in(&self) -> Vec<String> {
        let editing = self.editing.as_ref().filter(|editing| editing.text != editing.was);
        let in_grid = editing.map(|editing| {
            let seen = self.door.session().and_then(|session| Seen::of(session, editing.sheet));
            let at = seen
                .zip(editing.spot)
                .and_then(|(seen, spot)| seen.place_in_words(spot));
            match at {
                Some(at) => format!("`{}` at {at}", editing.text.trim()),
                None => format!("`{}`", editing.text.trim()),
            }
        });
        let in_lines = self.lines.unfinished().map(|text| format!("`{text}` in the lines"));
        let wrong = self.wrongs_in_words();
        wrong.into_iter().chain(in_grid).chain(in_lines).collect()
    }

    /// The window goes: its copy goes with it.
    fn forget_copy(&self) {
        // What was taken back and nobody let go is offered with its file.
        let back = self.kept_taken_back().filter(|_| self.is_let_go());
        for path in self.copy_path().into_iter().chain(back) {
            self.door.forget(&path);
        }
        if let Some((copy, _)) = &self.own_copy {
            lefts::note(copy, None);
        }
    }

    fn arrived(&mut self, arrived: Arrived) {
        self.calm.stir();
        let again = matches!(&arrived, Arrived::Opened(opened) if self.path.as_ref() == Some(&opened.path));
        let replaces = matches!(&arrived, Arrived::Opened(_) | Arrived::Imported(..)) && !again;
        let loses = (self.changed || self.kept_taken_back().is_some()) && !self.is_let_go();
        let at_work = !self.contents.is_empty() && (loses || self.editing.is_some() || !self.door.is_here());
        if replaces && at_work {
            self.come = Some(Box::new(arrived));
            self.ctx.request_repaint();
            return;
        }
        self.put_in(arrived);
    }

    /// What was read comes in, now that nothing is lost by it.
    pub(super) fn comes(&mut self) {
        if let Some(arrived) = self.come.take() {
            self.put_in(*arrived);
        }
    }

    fn put_in(&mut self, arrived: Arrived) {
        match arrived {
            Arrived::Opened(opened) => self.opened(*opened),
            Arrived::Noted(path, Ok(())) => {
                self.named_last = None;
                self.tell(About::HandingOver, format!("Written: {}", path.display()), false)
            }
            Arrived::Noted(_, Err(why)) => {
                let asked = |purpose: &Purpose| matches!(purpose, Purpose::KeepMap(_) | Purpose::KeepReport);
                self.refused_file(About::HandingOver, asked, why);
            }
            Arrived::Imported(session, report, list) => {
                self.put(*session, None, None, None);
                let by = match &list.own {
                    Some(_) => format!(" {}", maps::in_words("the map", report.spoken_of)),
                    None => String::new(),
                };
                let words = format!("Read {}; the file itself stays as it is.{by}", list.path.display());
                self.say(words, false);
                self.unkept = Some(Instant::now());
                self.read(*report);
                self.note_file(&list.path);
                self.source = Some(dialog::folder_of(&list.path));
                self.list = Some(list);
                self.panel = Some(Panel::Report);
                // What was read is looked at first; the loads stand behind it.
                self.show_first("");
            }
            Arrived::Newer(newer, book) if book == self.book => self.door.ask(Todo::PutIn(newer)),
            Arrived::Newer(..) => self.say(
                "The list was read for a workbook that is not open any more; nothing was changed.",
                true,
            ),
            Arrived::Back(back, book) if book == self.book => match back {
                Ok(back) => self.door.ask(Todo::Report(back)),
                Err(why) => {
                    let words = format!("What is doubtful in the list is not marked, as it was not read again: {why}");
                    self.tell(About::Opening, words, true);
                    self.back = ReadBack::Failed(why);
                }
            },
            Arrived::Back(..) => {}
            Arrived::Failed(path, why, help) => {
                let help = help.map_or(String::new(), |help| format!("; {help}"));
                let _ = path;
                let asked = |purpose: &Purpose| matches!(purpose, Purpose::Open);
                self.refused_file(About::Opening, asked, format!("{why}{help}"));
                if self.contents.is_empty() {
                    self.panel = Some(Panel::Start);
                }
            }
            Arrived::NoList(error, newer) => self.no_list(*error, newer),
            Arrived::Map(path) => self.map_named(path),
            Arrived::NoMap(why) => self.refused_file(About::Opening, Purpose::reads_a_list, why),
            Arrived::Beside(folder, names) => self.beside.came(&folder, names),
            Arrived::Named(purpose, path) => self.named_by_system(purpose, path),
            Arrived::Known(stamp) => self.stamp = stamp,
            Arrived::Seen(path, stamp, at) => {
                let _ = self.watched.take_if(|watched| *watched == path);
                let is_other = self.stamp.is_some() && stamp.is_some() && stamp != self.stamp;
                // A look that was taken before this window wrote says nothing of another program.
                if is_other && at > self.wrote && self.path.as_ref() == Some(&path) {
                    self.outside = true;
                }
            }
            Arrived::Copies(own, left, at, of) => {
                self.own_copy = own;
                self.left_at = at;
                // Who opens a file wants that file; what another window left waits.
                self.knows_copies = true;
                if self.path.is_none() && !self.door.waits_for_files() {
                    (self.left, self.left_of) = (left, of);
                } else {
                    drop(left);
                    self.look_for_left();
                }
            }
            Arrived::Left(of, (path, lock)) => {
                if self.path.as_ref() == Some(&of) && self.left.is_none() {
                    self.left_at = written_at(&path);
                    self.left_of = Some(of);
                    self.left = Some((path, lock));
                }
            }
            Arrived::Last(files, waiting) => (self.last, self.waiting) = (files, waiting),
            Arrived::Taken(session, folder, typed) => {
                self.put(*session, None, None, None);
                // Its list is named as seen from where the copy was kept.
                self.source = folder;
                self.work_of = self.left_of.take();
                self.unkept = Some(Instant::now());
                self.panel = None;
                self.say_untaken(&typed);
            }
            Arrived::Kept(Ok(())) => {
                // The copy that was taken is this window's now.
                if let Some((path, _)) = self.taken.take() {
                    self.door.ask(Todo::Forget(path));
                }
            }
            Arrived::Kept(Err(error)) => self.said(Said::NotSaved(error)),
            Arrived::Granted(path, lock, there) => self.granted(path, lock, there),
            Arrived::Target(path, there) => self.export_to(path, there),
            Arrived::Nothing => {}
        }
    }

    fn said(&mut self, said: Said) {
        self.calm.stir();
        match said {
            Said::Unsaved => {
                self.unkept = Some(Instant::now());
                self.refresh();
            }
            Said::Changed => {
                self.wrongs_join();
                self.changed_now();
                self.reading_of_step(true);
                self.steps.edited();
                self.note_wrongs(true);
            }
            Said::Stepped(back, label, at) => {
                self.wrongs = self.wrongs_return.take().unwrap_or(std::mem::take(&mut self.wrongs));
                self.changed_now();
                self.steps.know_texts(&self.wrongs);
                self.reading_of_step(false);
                self.take_picture();
                self.stepped(back, &label, at.as_ref());
            }
            Said::Nothing => {}
            Said::Refused(fault, typed) => {
                self.comes = None;
                self.refused(fault.message.into(), fault.help.map(String::from), typed);
            }
            Said::Broken => {
                self.say(
                    "The program made a mistake of its own; what you typed is here, what was done cannot be taken back any more.",
                    true,
                );
                self.refresh();
            }
            Said::Plots(which, plots) => self.curves.take(which, plots),
            Said::ChangedOutside(_) => {
                self.after_save = None;
                (self.outside, self.not_saved) = (true, true);
                self.well(About::Saving);
            }
            Said::PutIn(mut merged) => {
                let chosen = self.chosen_before(std::mem::take(&mut merged.called));
                self.said(Said::Changed);
                self.choose_again(chosen);
                // It was read again: that it was not is over.
                self.well(About::Opening);
                self.say(merged.in_words(), false);
                self.unread = None;
                self.readings.came(merged.edits, (self.report.take(), self.list.take()));
                self.read(*merged.report);
                self.list = Some(merged.list);
                self.panel = Some(Panel::Report);
            }
            Said::Doubts(doubts) => {
                if let Some(reading) = &mut self.report {
                    reading.doubts = doubts;
                }
            }
            Said::Report(report, list) => {
                if self.report.is_none() {
                    self.read(*report);
                    let _ = self.list.get_or_insert(list);
                }
                self.back = ReadBack::Unasked;
            }
            Said::Saved(path, stamp, but) => {
                self.named_last = None;
                self.stamp = stamp;
                self.wrote = Instant::now();
                (self.outside, self.not_saved) = (false, false);
                self.unkept = None;
                // What is not in its place has another text than the file now.
                if let Some(aside) = &mut self.aside {
                    aside.session.unsaved();
                    aside.let_go = true;
                }
                let left = self.left_out();
                let end = if left.is_empty() { "" } else { "." };
                let words = format!("Saved: {}{end}{left}", path.display());
                self.tell(About::Saving, words, !left.is_empty());
                if let Some(why) = but {
                    self.say(
                        format!("What was read of the list could not be kept beside it: {why}"),
                        true,
                    );
                }
                self.refresh();
                if let Some(next) = self.after_save.take() {
                    self.go_on(next);
                }
            }
            Said::NotSaved(error) => {
                let help = error.help.as_ref().map_or(String::new(), |help| format!("; {help}"));
                self.refused_file(
                    About::Saving,
                    |purpose| *purpose == Purpose::SaveAs,
                    format!("{error}{help}"),
                );
            }
            Said::Kept(took) => self.keep_after = KEEP_AFTER.max(took * KEEP_SHARE),
            Said::Exported(path, exported) => {
                self.named_last = None;
                let left = self.left_out();
                let mut words = format!("Written: {}.{left}", path.display());
                words.push_str(&self.for_the_screen());
                for note in exported.notes {
                    words.push(' ');
                    words.push_str(&note);
                }
                self.tell(About::HandingOver, words, !left.is_empty());
                self.tell_more(exported.details);
            }
            Said::NotExported(why) => {
                self.refused_file(About::HandingOver, |purpose| *purpose == Purpose::Export, why);
            }
            Said::ReportKept(path) => self.tell(About::HandingOver, format!("Written: {}", path.display()), false),
            Said::ChangedBut(note) => {
                self.said(Said::Changed);
                self.tell(About::Change, note, false);
            }
            Said::Unchanged(why) => {
                self.pasted_to = None;
                self.tell(About::Change, why, true);
            }
            Said::Copied(copied) => {
                self.copied = Some(copied.text.clone());
                self.copied_last = Some(copied);
            }
            Said::Would(typed, value) => {
                let asks = |open: &&mut Editing| (open.sheet, open.spot) == (typed.sheet, Some(typed.spot));
                if let Some(open) = self.editing.as_mut().filter(asks) {
                    open.value = Some((typed.text, value));
                } else if let Some(field) = self.lines.typing_mut().or_else(|| self.faults.typing_mut()) {
                    field.valued(typed.text, value);
                }
            }
            Said::Found(_, Some((sheet, spot))) => {
                self.old_news();
                self.well(About::Find);
                self.go_now(sheet, spot);
            }
            Said::Found(text, None) => {
                let hides = self.arrangements.values().any(Arrangement::hides);
                let but = if hides {
                    " Some rows or quantities are not shown; Show all brings them."
                } else {
                    ""
                };
                self.tell(About::Find, format!("Nothing that is shown holds: {text}.{but}"), false);
            }
            Said::Rows(list, by, rows, edits) => match rows {
                Ok(rows) => {
                    // What comes first in a new order is what was asked for.
                    let mut from_top = false;
                    self.rearranged(Some(&list), |arrangement| {
                        if arrangement.by.rows.filter != by.filter {
                            arrangement.top = 0;
                        }
                        from_top = arrangement.by.rows.order != by.order && by.order.is_some();
                        arrangement.by.rows = by;
                        arrangement.order = rows;
                        arrangement.stale = false;
                    });
                    if from_top {
                        self.choose_first(&list);
                    }
                    self.well(About::Rows);
                    if let Some(arrangement) = self.arrangements.get(&list) {
                        let noted = self.steps.note(&list, &arrangement.by, edits);
                        if std::mem::take(&mut self.joins) && noted {
                            self.steps.join();
                        }
                    }
                }
                Err(why) => {
                    self.joins = false;
                    // A choice that was good and is not any more is none.
                    let arrangement = self.arrangements.entry(list).or_default();
                    if arrangement.by.rows == by {
                        arrangement.all_rows();
                    }
                    self.tell(About::Rows, why, true);
                }
            },
        }
    }

    /// The report of the list is here: its doubts are looked at from now on.
    fn read(&mut self, report: Report) {
        let reading = Reading::of(report);
        self.door.ask(Todo::Watch(Some(reading.report.clone())));
        self.report = Some(reading);
    }

    /// The workbook is at another step: the reading of the list is the one of that step.
    fn reading_of_step(&mut self, edited: bool) {
        let Some(edits) = self.door.session().map(Session::steps) else {
            return;
        };
        let mut now = (self.report.take(), self.list.take());
        let other = self.readings.step(edits, edited, &mut now);
        (self.report, self.list) = now;
        if other {
            let report = self.report.as_ref().map(|reading| reading.report.clone());
            self.door.ask(Todo::Watch(report));
        }
    }

    /// The workbook has changed.
    fn changed_now(&mut self) {
        self.named_last = None;
        self.old_news();
        self.well(About::Change);
        // What was taken back or done again is not the last thing any more.
        self.well(About::Step);
        if self.unkept.is_none() {
            self.unkept = Some(Instant::now());
        }
        self.refresh();
        self.rows_again();
        self.choose_new();
    }

    /// Chooses what was made, where it is in sight.
    fn choose_new(&mut self) {
        let Some(comes) = self.comes.take() else { return };
        let (sheet, spot) = match comes {
            Comes::Row(sheet, spot) => (sheet, Some(spot)),
            Comes::Quantity(sheet, name, field) => {
                let quantities = self
                    .door
                    .session()
                    .and_then(|session| session.results().sheets.get(sheet));
                let at = quantities.and_then(|sheet| sheet.quantities.iter().position(|known| known.name == name));
                (sheet, at.map(|quantity| Spot { quantity, field }))
            }
        };
        if let Some(spot) = spot.filter(|_| sheet == self.sheet) {
            self.go_now(sheet, spot);
        }
    }

    /// Rows that came or went make a choice of rows worthless; it is made again.
    fn rows_again(&mut self) {
        let Some(session) = self.door.session() else { return };
        let mut again = Vec::new();
        let held = self.held.take();
        let pasted_to = self.pasted_to.take();
        // A step of single cells moves no row: one that has another name is the same row.
        let of_cells = session.reached().is_some();
        for sheet in &session.results().sheets {
            let Some(arrangement) = self.arrangements.get_mut(&sheet.name) else {
                continue;
            };
            let order = arrangement.order.as_ref();
            let moved = |order: &Ordered| !of_cells && order.names != sheet.items;
            let others = order.is_some_and(|order| order.of != sheet.items.len() || moved(order));
            // What stands in order now may do so no more.
            arrangement.stale = arrangement.by.rows.order.is_some() || arrangement.by.rows.filter.is_some();
            let held = held
                .as_ref()
                .filter(|(name, order)| *name == sheet.name && order.of == sheet.items.len());
            let behind = order.filter(|order| pasted_to.as_ref() == Some(&sheet.name) && order.of < sheet.items.len());
            let behind = behind.map(|order| order.with_rows_behind(sheet.items.len()));
            let order = held.map(|(_, order)| order.clone()).or(behind);
            if let Some(order) = order.filter(|_| others) {
                arrangement.order = Some(order.with_names(&sheet.items));
                continue;
            }
            arrangement.order = arrangement.order.take().filter(|_| !others);
            if let Some(order) = &mut arrangement.order {
                order.names = sheet.items.clone();
            }
            // Another value may stand in another group.
            if others || arrangement.by.rows.groups.is_some() {
                again.push(Todo::Rows(sheet.name.clone(), arrangement.by.rows.clone()));
            }
        }
        for todo in again {
            self.door.ask(todo);
        }
    }

    /// What was typed and does not fit is not lost: it stays at its place, or its line is opened again with the text.
    fn refused(&mut self, message: String, help: Option<String>, mut typed: Option<Typed>) {
        let why = in_words(&message, help.as_deref());
        self.joins = false;
        self.held = None;
        self.pasted_to = None;
        self.comes = None;
        // It stays at its place, and what was to come after it comes.
        if let Some(typed) = typed.take_if(|typed| typed.spot.field != Field::Line) {
            self.keep_wrong(typed.sheet, typed.spot, typed.text, why);
            return;
        }
        // What was to come after it waits until it is asked for again.
        self.acts.clear();
        self.then = None;
        // It stands under its line, where that is in sight.
        let in_lines = self.lines.refused(&why) && self.panel == Some(Panel::Lines);
        match typed {
            // The line as a whole has no place of its own that it could stay at.
            Some(typed) if self.editing.is_none() => {
                let mut editing = Editing::open(typed.sheet, typed.spot, typed.text.clone(), typed.text);
                editing.refused = Some(why);
                self.wishes.push(Wish::Go(typed.sheet, typed.spot));
                self.reopen = Some(editing);
            }
            Some(typed) => self.tell(About::Change, format!("{why} (typed: {})", typed.text), true),
            None if in_lines => self.well(About::Change),
            None => match self.named_last.take() {
                Some(dialog) if self.dialog.is_none() => self.ask_again(dialog, Some(why)),
                _ => self.tell(About::Change, why, true),
            },
        }
    }

    fn seen(&self) -> Option<Seen<'_>> {
        Some(Seen::of(self.door.session()?, self.sheet)?.shown_in(self.system))
    }

    fn arrangement(&mut self) -> Option<&mut Arrangement> {
        let name = self.picture.as_ref()?.name.clone();
        Some(self.arrangements.entry(name).or_default())
    }

    fn apply(
        &mut self,
        label: impl Into<Arc<str>>,
        changes: Vec<crate::workbook::change::Change>,
        typed: Option<Typed>,
    ) {
        if !changes.is_empty() {
            let command = Command {
                label: label.into(),
                changes,
            };
            self.on_way.extend(typed.clone());
            self.door.ask(Todo::Apply(command, typed));
        }
    }

    /// What runs after drawing.
    fn after(&mut self, ctx: &egui::Context) {
        self.had_keys = keyboard::elsewhere(ctx);
        if !self.wishes.is_empty() || !self.acts.is_empty() {
            ctx.request_repaint();
        }
        let mut wishes = std::mem::take(&mut self.wishes).into_iter();
        while let Some(wish) = wishes.next() {
            // While the session is at work nobody can go anywhere: once it is back, and what is to be done there after it.
            if matches!(wish, Wish::Go(..) | Wish::Fault(_)) && self.door.session().is_none() {
                self.wishes.push(wish);
                self.wishes.extend(wishes);
                break;
            }
            self.wish(wish);
        }
        for act in std::mem::take(&mut self.acts) {
            self.act(ctx, act);
        }
        if let Some(next) = self.then.take_if(|_| self.door.is_here()) {
            self.guarded(next);
        }
        // Who types in the workbook that is open finishes there.
        let is_free = self.editing.is_none()
            && self.dialog.is_none()
            && self.then.is_none()
            && self.after_save.is_none()
            && self.door.is_here();
        if self.come.is_some() && is_free {
            self.guarded(Next::Come);
        }
        self.remember(ctx);
        self.note_arranged(ctx);
        self.note_wrongs(false);
        let typed = self.not_taken_in();
        if typed != self.kept_typed && self.unkept.is_none() {
            self.unkept = Some(Instant::now());
        }
        if let Some(since) = self.unkept {
            // Who types on is not made to wait for a long list, unless it takes too long until there is a copy.
            let types = self.struck.elapsed() < PAUSE && since.elapsed() < self.keep_after * 10;
            if since.elapsed() < self.keep_after {
                ctx.request_repaint_after(self.keep_after - since.elapsed());
            } else if types {
                ctx.request_repaint_after(PAUSE);
            } else if self.door.is_here() {
                self.keep_copy(typed);
            }
        }
        self.bring_back_report();
        if let Some(path) = &self.path
            && self.watched.as_ref() != Some(path)
            && !self.outside
            && self.door.is_idle()
        {
            self.watched = Some(path.clone());
            self.door.watch(path.clone(), self.stamp);
        }
        if let (Some(session), Some(Panel::Curves)) = (self.door.session(), self.panel) {
            let chosen = self.chosen().map(|(_, spot)| spot);
            let seen = Seen::of(session, self.sheet).map(|seen| seen.shown_in(self.system));
            let which = seen.and_then(|seen| self.curves.wants(seen, chosen, self.changes));
            if let Some(which) = which {
                self.door.ask(Todo::Plots(which));
            }
        }
        self.ask_value();
        if let Some((command, begins)) = self.drag.take_if(|_| self.door.is_idle()) {
            self.door.ask(Todo::Drag(command, begins));
        }
        let said = self.door.run(PATIENCE);
        if !said.is_empty() {
            ctx.request_repaint();
        }
        for said in said {
            self.said(said);
        }
        if let Some(text) = self.copied.take() {
            ctx.copy_text(text);
        }
        if self.picture.is_none() || !self.pending.is_empty() || !self.acts.is_empty() || self.then.is_some() {
            ctx.request_repaint();
        }
    }

    /// Asks what the open text would give, one question at a time: an answer to a text that is another one by then is dropped.
    fn ask_value(&mut self) {
        if !self.door.is_here() {
            return;
        }
        let open = self.editing.as_ref();
        let open = open.or_else(|| self.lines.typing()).or_else(|| self.faults.typing());
        let Some((sheet, spot, text)) = open.and_then(Editing::wants) else {
            return;
        };
        let (system, read) = (self.system, open.and_then(|open| open.read_as.clone()));
        let typed = Typed { sheet, spot, text };
        let wanted = read.unwrap_or_else(|| typed.text.clone());
        let work = Work::new(move |session: &Session| {
            let seen = Seen::of(session, sheet)?.shown_in(system);
            super::live::worked(seen, spot, &wanted)
        });
        self.door.ask(Todo::Would(typed, work));
    }

    fn wish(&mut self, wish: Wish) {
        self.calm.stir();
        match wish {
            Wish::Go(sheet, spot) => self.go_now(sheet, spot),
            Wish::Fault(placed) => {
                let session = self.door.session();
                let line = session.and_then(|session| super::panels::faults::own_line(session.workbook(), &placed));
                let place = session.and_then(|session| super::panels::faults::place(session, &placed));
                match (line, place) {
                    (Some(line), _) => self.edit_line(line),
                    (None, Some((sheet, spot))) => self.go_now(sheet, spot),
                    (None, None) => {}
                }
            }
            Wish::Do(command) => self.door.ask(Todo::Apply(command, None)),
            Wish::Mend(fix) => {
                // A text that is not taken in is opened by its mend.
                if self.editing.is_none() {
                    self.open_place(None, None);
                }
                if let Some(editing) = &mut self.editing {
                    editing.mend(&fix);
                }
            }
            Wish::Put(text, chosen) => self.put_function(&text, chosen),
            Wish::Drag(command, begins) => {
                // Steps that the session had no time for are left out.
                let begins = begins || self.drag.as_ref().is_some_and(|(_, begins)| *begins);
                self.drag = Some((command, begins));
            }
            Wish::Commas(sheet, doubtful) => {
                let system = self.system;
                let work = Work::new(move |session: &Session| match Seen::of(session, sheet) {
                    Some(seen) => commas::mended(seen.shown_in(system), doubtful),
                    None => Ok((Vec::new(), None)),
                });
                self.door.ask(Todo::Many("read decimal commas".into(), work));
            }
            Wish::MendAll => {
                let system = self.system;
                let work = Work::new(move |session: &Session| mending::mended(session, system));
                self.door.ask(Todo::Many("mend what is offered".into(), work));
            }
            Wish::Show(panel) => self.panel = Some(panel),
            Wish::Ask(act) => self.acts.push(act),
            Wish::Shipped(index) => self.guarded(Next::Shipped(index)),
            Wish::File(path) => self.guarded(Next::File(path)),
            Wish::ReadAgain(map) => self.read_again_by(&map),
            Wish::ReadSheet(sheet) => self.read_sheet(sheet),
            Wish::LeaveUnread => {
                self.unread = None;
                self.well(About::Opening);
                if self.report.is_none() && !self.of_a_list {
                    self.panel = Some(Panel::Start);
                }
            }
            Wish::KeepMap(map) => {
                let name = self.beside_list("columns.txt");
                self.question(Purpose::KeepMap(map), name);
            }
            Wish::KeepReport => {
                let name = self.beside_list("report.txt");
                self.question(Purpose::KeepReport, name);
            }
        }
    }

    /// A name beside the list that was read: `motors-report.txt` beside `motors.xlsx`.
    fn beside_list(&self, ending: &str) -> String {
        let unread = self.unread.as_ref().map(|unread| &unread.path);
        let Some(list) = unread.or(self.list.as_ref().map(|list| &list.path)) else {
            return ending.to_owned();
        };
        let stem = list.file_stem().unwrap_or_default().to_string_lossy();
        list.with_file_name(format!("{stem}-{ending}")).display().to_string()
    }

    fn go_now(&mut self, sheet: usize, spot: Spot) {
        if self.sheet != sheet {
            self.sheet = sheet;
            self.refresh();
        }
        let page = self.page;
        let Some(session) = self.door.session() else { return };
        let Some(seen) = Seen::of(session, sheet) else { return };
        let arrangement = self.arrangements.entry(seen.results.name.clone()).or_default();
        if let Some(quantity) = seen.quantity(spot.quantity) {
            let _ = arrangement.by.hidden.remove(&quantity.name);
        }
        // What heads a column is shown where somebody goes there.
        arrangement.begin(seen.results.items.len());
        arrangement.folded_heads &= matches!(spot.field, Field::Value(_));
        let mut plan = super::arrange::Plan::of(seen, arrangement);
        let lacks = plan.at(spot).is_none() && arrangement.by.rows.filter.is_some();
        if plan.at(spot).is_none() {
            arrangement.all_rows();
            plan = super::arrange::Plan::of(seen, arrangement);
        }
        if let Some(at) = plan.at(spot) {
            arrangement.choose(at, false);
            arrangement.follow(&plan, page);
        }
        if lacks {
            let words = "All rows are shown again: the place was not among those chosen.";
            self.tell(About::Going, words, false);
        }
    }
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _: &mut eframe::Frame) {
        self.show(ui);
    }

    fn on_exit(&mut self, _: Option<&eframe::glow::Context>) {
        self.forget_copy();
    }
}

/// Opens the window.
///
/// # Errors
/// In words, where there is no screen to draw on.
pub fn run(file: Option<PathBuf>) -> Result<(), String> {
    let named = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let screens = ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"];
    if cfg!(all(unix, not(target_os = "macos"))) && !screens.into_iter().any(named) {
        return Err("there is no screen here: neither DISPLAY nor WAYLAND_DISPLAY is set".to_owned());
    }
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Polepair")
            .with_app_id("polepair")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([640.0, 400.0])
            .with_drag_and_drop(true),
        // Ours are looked for later: see `look::OfSystem`.
        system_font_fallback: false,
        ..Default::default()
    };
    eframe::run_native(
        "Polepair",
        options,
        Box::new(|made| {
            made.egui_ctx.add_font_provider(Arc::new(look::OfSystem::default()));
            let mut window = Window::new(&made.egui_ctx, file, habits::state_folder());
            window.ask_system();
            window.follow_desktop(&made.egui_ctx);
            if let Some(path) = habits::file() {
                window.remember_in(&made.egui_ctx, path);
            }
            Ok(Box::new(window))
        }),
    )
    .map_err(|error| {
        // Places in the sources of libraries help nobody here.
        let words = error.to_string();
        let words: Vec<&str> = words.split(": ").filter(|part| !part.contains(".rs:")).collect();
        format!("the window cannot be opened: {}", words.join(": "))
    })
}

/// The copies of workbooks without a file in a folder: a name of its own for this window, and a copy that a window left behind.
fn copies(folder: &Path) -> Arrived {
    let _ = std::fs::create_dir_all(folder);
    let own = (0..100).find_map(|number| {
        let path = folder.join(format!("unsaved-{}-{number}.pole", std::process::id()));
        if path.exists() {
            return None;
        }
        let lock = Lock::take(&path, Holder::Window).ok()?;
        Some((path, lock))
    });
    let left = std::fs::read_dir(folder).ok().and_then(|entries| {
        entries.flatten().map(|entry| entry.path()).find_map(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if !name.starts_with("unsaved-") || !name.ends_with(".pole") {
                return None;
            }
            // A copy whose lock is free belongs to no living window.
            let lock = Lock::take(&path, Holder::Window).ok()?;
            Some((path, lock))
        })
    });
    without_copies(folder);
    lefts::without_copies(folder);
    let at = left.as_ref().and_then(|(path, _)| written_at(path));
    let of = left.as_ref().and_then(|(path, _)| lefts::whose(path));
    Arrived::Copies(own, left, at, of)
}

/// Takes away the locks of copies that are gone and belong to no living window.
fn without_copies(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for lock in entries.flatten().map(|entry| entry.path()) {
        let name = lock.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let copy = name.strip_prefix('.').and_then(|name| name.strip_suffix(".lock"));
        let Some(copy) = copy.filter(|copy| copy.starts_with("unsaved-")) else {
            continue;
        };
        // A lock that is given back takes its file with it.
        let copy = folder.join(copy);
        if !copy.exists() {
            drop(Lock::take(&copy, Holder::Window));
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// A look at the file that was taken before this window wrote it tells of no other program, though it comes in later.
    #[test]
    fn what_this_window_wrote_is_not_changed_outside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        std::fs::write(&path, "polepair 1\n").unwrap();
        let was = Stamp::of(&path);
        let mut window = Window::new(&egui::Context::default(), None, None);
        (window.path, window.stamp) = (Some(path.clone()), was);
        let looked = Instant::now();
        std::fs::write(&path, "polepair 1\nnote \"written here\"\n").unwrap();
        window.said(Said::Saved(path.clone(), Stamp::of(&path), None));
        window.put_in(Arrived::Seen(path.clone(), was, looked));
        assert!(!window.outside);
        // Of another file nothing is known here.
        window.put_in(Arrived::Seen(folder.path().join("b.pole"), was, Instant::now()));
        assert!(!window.outside);
        window.put_in(Arrived::Seen(path, was, Instant::now()));
        assert!(window.outside);
    }
}
