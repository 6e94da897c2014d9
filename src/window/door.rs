//! The way to the session: what changes it, and what takes long, runs on another thread.
//!
//! Always: the session is in one place at a time: here, to be read by a frame, or away at work. What was asked for is done in
//! order and nothing is dropped. No file is read or written on the thread that draws.
//! Not known here: what is on the screen.

use std::collections::{BTreeMap, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant, SystemTime};

use crate::fault::Fault;
use crate::files::{self, FileError, Holder, Lock};
use crate::handover::export::{Exported, Job};
use crate::handover::origin::Origin;
use crate::handover::{self};
use crate::plates::open::Means;
use crate::plates::{self, Import, ListError, Options, Own, Report, merge};
use crate::session::{Command, Session};
use crate::workbook::change::Touches;
use crate::workbook::{Form, text};

use super::arrange::{Ordered, RowsBy};
use super::copied::Lines;
use super::emptied;
use super::many::Made;
use super::maps;
use super::newer::{self, Back, ListRead, Merged, Newer, Wanted};
use super::panels::curves::{PLACES, Which};
use super::panels::doubts::{self, Doubts, Watch};
use super::spot::Spot;
use super::untaken;
use crate::recalc::{Plot, SheetResults};

/// What is asked of a session.
#[derive(Debug)]
pub enum Todo {
    /// A change; and where it was typed, to open that place again where it is refused.
    Apply(Command, Option<Typed>),
    /// Take back.
    Undo,
    /// Do again.
    Redo,
    /// A change in place of the one of the same name before it, while a value is dragged; `true`: the drag begins.
    Drag(Command, bool),
    /// Write to a file.
    Save(Saving),
    /// Keep a copy against a crash; and the folder from which a workbook without a file sees its list.
    Keep(PathBuf, Option<PathBuf>, Vec<String>),
    /// The text as it is now is in no file.
    Unsaved,
    /// Throw a copy away.
    Forget(PathBuf),
    /// The points of the plots of a sheet.
    Plots(Which),
    /// Hand over: to where, beside what, how the list it was made from is read again, and the place of the sheet in sight.
    Export(PathBuf, PathBuf, Options, usize),
    /// Put a newer list into the workbook that was made of it.
    PutIn(Box<Newer>),
    /// Put the report of the list beside the workbook.
    Report(Box<Back>),
    /// Look at the doubts of this report again after each step; none where there is no report.
    Watch(Option<Arc<Report>>),
    /// Write the report of a list, with the loads as they are now.
    KeepReport(Arc<Report>, PathBuf),
    /// The rows of a list for which a condition holds, in order.
    Rows(Arc<str>, RowsBy),
    /// Many changes at once, worked out from what stands there: in a few words, and how.
    Many(Arc<str>, Work<Made>),
    /// The chosen places as text for the clipboard.
    Copy(Work<Copied>),
    /// The next place with a text.
    Find(String, Work<Option<(usize, Spot)>>),
    /// What an open text would give.
    Would(Typed, Work<Option<Result<String, String>>>),
}

/// How a workbook is written.
#[derive(Debug)]
pub struct Saving {
    /// The file.
    pub path: PathBuf,
    /// It was last seen so; where it is another one now, nothing is written.
    pub known: Option<Stamp>,
    /// Kept work is offered still: its copy stays until the offer is answered.
    pub offered: bool,
    /// What imports made of its list, to be kept beside it.
    pub as_read: Vec<(String, Arc<str>)>,
}

/// Something read from a session on the thread where it is at work.
pub struct Work<T>(Box<dyn FnOnce(&Session) -> T + Send>);

impl<T> Work<T> {
    /// How it is read.
    pub fn new(work: impl FnOnce(&Session) -> T + Send + 'static) -> Work<T> {
        Work(Box::new(work))
    }
}

impl<T> std::fmt::Debug for Work<T> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("work")
    }
}

/// What was copied.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Copied {
    /// As it is shown, for other programs.
    pub text: String,
    /// As it was typed, for this window.
    pub typed: String,
    /// Whole lines of a worked sheet, with their formulas.
    pub lines: Option<Lines>,
}

/// Where something was typed, and what.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// Sheet.
    pub sheet: usize,
    /// Place.
    pub spot: Spot,
    /// The text.
    pub text: String,
}

/// What came of it.
#[derive(Debug)]
pub enum Said {
    /// A change was made or taken back.
    Changed,
    /// A change was taken back, or done again: what it was, and where it is seen.
    Stepped(bool, String, Option<Touches>),
    /// What is here is in no file.
    Unsaved,
    /// There was nothing to take back or do again.
    Nothing,
    /// The program made a mistake of its own.
    Broken,
    /// A change does not fit.
    Refused(Fault, Option<Typed>),
    /// Written; and what could not be written beside it, in words.
    Saved(PathBuf, Option<Stamp>, Option<String>),
    /// Not written.
    NotSaved(FileError),
    /// Not written: another program has changed the file.
    ChangedOutside(PathBuf),
    /// A copy is being kept; it kept the session so long.
    Kept(Duration),
    /// The points of plots.
    Plots(Which, Vec<Plot>),
    /// Handed over, with what the user should know.
    Exported(PathBuf, Exported),
    /// Not handed over.
    NotExported(String),
    /// A newer list is in the workbook.
    PutIn(Box<Merged>),
    /// The report of the list.
    Report(Box<Report>, ListRead),
    /// How it stands with the doubts of the list.
    Doubts(Arc<Doubts>),
    /// A report was written.
    ReportKept(PathBuf),
    /// A change was made; what the user should know of it.
    ChangedBut(String),
    /// Nothing was changed, and why.
    Unchanged(String),
    /// Rows in sight of a list; `None`: all as they stand; after how many edits.
    Rows(Arc<str>, RowsBy, Result<Option<Ordered>, String>, usize),
    /// A text for the clipboard.
    Copied(Copied),
    /// Where a text was found.
    Found(String, Option<(usize, Spot)>),
    /// What an open text would give, or why nothing; `None`: nothing can be said.
    Would(Typed, Option<Result<String, String>>),
}

/// When and how large a file was, to notice that another program has changed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    changed: SystemTime,
    size: u64,
}

impl Stamp {
    /// Of a file, if it is there.
    pub fn of(path: &Path) -> Option<Stamp> {
        let about = std::fs::metadata(path).ok()?;
        Some(Stamp {
            changed: about.modified().ok()?,
            size: about.len(),
        })
    }
}

/// What comes from files.
pub enum Arrived {
    /// A workbook.
    Opened(Box<Opened>),
    /// A list, and how its columns were settled.
    Imported(Box<Session>, Box<Report>, ListRead),
    /// A newer list was read for the workbook that has this number.
    Newer(Box<Newer>, u64),
    /// The list of the workbook that has this number was read again for its report, or why not.
    Back(Result<Box<Back>, String>, u64),
    /// A small text was written, or why not.
    Noted(PathBuf, Result<(), String>),
    /// A file could not be opened: which, why, what to try.
    Failed(PathBuf, String, Option<String>),
    /// A list could not be read; `true`: it was to be put into the workbook that is open.
    NoList(Box<ListError>, bool),
    /// What was named as a list or a workbook is a column map.
    Map(PathBuf),
    /// A column map cannot be used: why, as a sentence.
    NoMap(String),
    /// A file was named in a dialog, for the purpose with this number.
    Named(u8, Option<PathBuf>),
    /// What stands in a folder.
    Beside(PathBuf, Vec<String>),
    /// The stamp of the open file now: whatever it is, it is known to the user.
    Known(Option<Stamp>),
    /// The stamp that a file had when it was looked at, for a file that is watched.
    Seen(PathBuf, Option<Stamp>, Instant),
    /// Where this window keeps its copy of a workbook without a file, such a copy that a window left behind, when that was written, and the file it is of.
    Copies(
        Option<(PathBuf, Lock)>,
        Option<(PathBuf, Lock)>,
        Option<SystemTime>,
        Option<PathBuf>,
    ),
    /// Work on this file that a window left elsewhere than beside it.
    Left(PathBuf, (PathBuf, Lock)),
    /// The files that were opened last.
    /// And those of them that unsaved work waits beside.
    Last(Vec<PathBuf>, Vec<PathBuf>),
    /// The work of such a copy, the folder it was kept in, and what was typed and not taken in.
    Taken(Box<Session>, Option<PathBuf>, Vec<String>),
    /// The right to write to another file, or why there is none; `true`: a file of this name is there.
    Granted(PathBuf, Result<Lock, FileError>, bool),
    /// Whether a file is there that a hand-over would replace.
    Target(PathBuf, bool),
    /// A copy against a crash was written, or why not.
    Kept(Result<(), FileError>),
    /// Nothing to tell.
    Nothing,
}

/// A workbook that was opened.
pub struct Opened {
    /// The session.
    pub session: Session,
    /// The file.
    pub path: PathBuf,
    /// The right to change it, or who has it.
    pub lock: Result<Lock, FileError>,
    /// The file when it was read.
    pub stamp: Option<Stamp>,
    /// The work of a window that did not end well, where it says something else, and what was typed there and not taken in.
    pub kept: Option<(Box<Session>, Vec<String>)>,
    /// When that was kept.
    pub kept_at: Option<SystemTime>,
    /// Where still earlier kept work was put.
    pub earlier: Option<PathBuf>,
}

type Batch = (Box<Session>, Vec<Todo>);
type Done = (Box<Session>, Vec<Said>);

/// What stands beside the session where it is at work.
struct Beside {
    watch: Option<Watch>,
    copies: Copies,
}

/// The copies against a crash: a large one is written while the session is back already. One after the other: a copy that is to go, or
/// for which a later one came, is not written any more.
#[derive(Clone)]
struct Copies {
    turns: Arc<Mutex<BTreeMap<PathBuf, u64>>>,
    written: Sender<(bool, Arrived)>,
    wake: Wake,
}

/// Letters of a copy that is written at once.
const SMALL: usize = 1_000_000;

impl Copies {
    /// Nothing is written to this path while this is held.
    fn turns(&self) -> MutexGuard<'_, BTreeMap<PathBuf, u64>> {
        self.turns.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What was to be written to a path before is not, from now on.
    fn next(&self, path: &Path) -> u64 {
        let mut turns = self.turns();
        let turn = turns.entry(path.to_owned()).or_default();
        *turn += 1;
        *turn
    }

    fn keep(&self, path: PathBuf, text: String) {
        let turn = self.next(&path);
        let copies = self.clone();
        let is_small = text.len() < SMALL;
        let write = move || {
            let written = {
                let turns = copies.turns();
                let is_wanted = turns.get(&path) == Some(&turn);
                is_wanted.then(|| files::save(&path, text.as_bytes()))
            };
            if let Some(written) = written {
                let _ = copies.written.send((false, Arrived::Kept(written)));
                (copies.wake)();
            }
        };
        if is_small {
            write();
        } else {
            let _ = std::thread::Builder::new().name("copies".to_owned()).spawn(write);
        }
    }

    fn forget(&self, path: &Path) {
        let _ = self.next(path);
        let _turns = self.turns();
        let _ = std::fs::remove_file(path);
    }
}

/// How often a look is taken whether the file was changed outside.
const LOOK_OUTSIDE: Duration = Duration::from_secs(2);
/// Looks until it is said that nothing has changed: the thread of a window that is gone ends after so many.
const LOOKS: u32 = 15;

/// The door.
pub struct Door {
    copies: Copies,
    session: Option<Box<Session>>,
    queue: VecDeque<Todo>,
    to: Sender<Batch>,
    from: Receiver<Done>,
    arrive: Sender<(bool, Arrived)>,
    arrived: Receiver<(bool, Arrived)>,
    wake: Wake,
    waiting: usize,
    /// The program that reads foreign lists, where it is not this one.
    reader: Option<PathBuf>,
    /// Work that is for a session that was put away in the meantime is thrown away.
    stale: usize,
}

/// Asks for a new frame.
pub type Wake = std::sync::Arc<dyn Fn() + Send + Sync>;

impl Door {
    /// A door for a session. `wake` asks for a frame when something is ready.
    pub fn new(session: Session, wake: Wake) -> Door {
        let (to, work) = channel::<Batch>();
        let (done, from) = channel::<Done>();
        let (arrive, arrived) = channel();
        let woken = wake.clone();
        let copies = Copies {
            turns: Arc::default(),
            written: arrive.clone(),
            wake: wake.clone(),
        };
        let beside = copies.clone();
        let _ = std::thread::Builder::new().name("session".to_owned()).spawn(move || {
            let mut beside = Beside {
                watch: None,
                copies: beside,
            };
            while let Ok((mut session, todo)) = work.recv() {
                let before = beside.watch.as_ref().map(Watch::doubts);
                let todo = todo.into_iter();
                let mut said: Vec<Said> = todo.map(|todo| guarded(&mut session, &mut beside, todo)).collect();
                let doubts = beside.watch.as_ref().map(Watch::doubts);
                let is_before = |now: &Arc<Doubts>| before.as_ref().is_some_and(|before| Arc::ptr_eq(before, now));
                said.extend(doubts.filter(|now| !is_before(now)).map(Said::Doubts));
                drop(before);
                if done.send((session, said)).is_err() {
                    return;
                }
                woken();
            }
        });
        Door {
            copies,
            session: Some(Box::new(session)),
            queue: VecDeque::new(),
            to,
            from,
            arrive,
            arrived,
            wake,
            waiting: 0,
            reader: None,
            stale: 0,
        }
    }

    /// The session, when it is here.
    pub fn session(&self) -> Option<&Session> {
        self.session.as_deref()
    }

    /// Asks for something; it is done after the frame.
    pub fn ask(&mut self, todo: Todo) {
        self.queue.push_back(todo);
    }

    /// Whether the session is here and every change asked for is made.
    pub fn is_here(&self) -> bool {
        self.session.is_some() && self.queue.is_empty()
    }

    /// Whether everything asked for is done.
    pub fn is_idle(&self) -> bool {
        self.session.is_some() && self.queue.is_empty() && self.waiting == 0
    }

    /// Whether a file is being read, a list imported, a name asked for.
    pub fn waits_for_files(&self) -> bool {
        self.waiting > 0
    }

    /// Puts another session in place.
    pub fn put(&mut self, session: Session) {
        if self.session.is_none() {
            self.stale += 1;
        }
        self.queue.clear();
        self.session = Some(Box::new(session));
    }

    /// Puts another session in place of the one that is here, which is given back.
    pub fn exchange(&mut self, session: Box<Session>) -> Option<Box<Session>> {
        self.session.replace(session)
    }

    /// Throws a copy away at once: also the one that is being written.
    pub fn forget(&self, path: &Path) {
        self.copies.forget(path);
    }

    /// Sends what was asked for to work and waits a little for it, so that quick work is on the next frame.
    pub fn run(&mut self, patience: Duration) -> Vec<Said> {
        let mut said = self.back(Duration::ZERO);
        if !self.queue.is_empty()
            && let Some(session) = self.session.take()
        {
            let todo = self.queue.drain(..).collect();
            match self.to.send((session, todo)) {
                Ok(()) => said.extend(self.back(patience)),
                Err(unsent) => {
                    // The thread is gone: do it here rather than lose it.
                    let (mut session, todo) = unsent.0;
                    let todo = todo.into_iter();
                    let mut beside = Beside {
                        watch: None,
                        copies: self.copies.clone(),
                    };
                    said.extend(todo.map(|todo| guarded(&mut session, &mut beside, todo)));
                    self.session = Some(session);
                }
            }
        }
        said
    }

    fn back(&mut self, patience: Duration) -> Vec<Said> {
        let mut out = Vec::new();
        while self.session.is_none() || self.stale > 0 {
            match self.from.recv_timeout(patience) {
                Ok(_) if self.stale > 0 => self.stale -= 1,
                Ok((session, said)) => {
                    self.session = Some(session);
                    out.extend(said);
                }
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => break,
            }
        }
        out
    }

    /// What has come from files.
    pub fn arrivals(&mut self) -> Vec<Arrived> {
        let out: Vec<(bool, Arrived)> = self.arrived.try_iter().collect();
        self.waiting = self
            .waiting
            .saturating_sub(out.iter().filter(|(counted, _)| *counted).count());
        out.into_iter().map(|(_, arrived)| arrived).collect()
    }

    /// Does something with files on a thread of its own.
    pub fn away(&mut self, work: impl FnOnce() -> Arrived + Send + 'static) {
        self.waiting += 1;
        self.start(true, work);
    }

    /// The same for what nobody waits for.
    pub fn quietly(&mut self, work: impl FnOnce() -> Arrived + Send + 'static) {
        self.start(false, work);
    }

    fn start(&self, counted: bool, work: impl FnOnce() -> Arrived + Send + 'static) {
        let (send, wake) = (self.arrive.clone(), self.wake.clone());
        let _ = std::thread::Builder::new().name("files".to_owned()).spawn(move || {
            let _ = send.send((counted, work()));
            wake();
        });
    }

    /// Looks at a file again and again until it is another one than `known`, so that nothing is drawn while it is not; after a while it
    /// says so anyway.
    pub fn watch(&mut self, path: PathBuf, known: Option<Stamp>) {
        self.quietly(move || {
            let mut seen = None;
            for _ in 0..LOOKS {
                std::thread::sleep(LOOK_OUTSIDE);
                seen = Stamp::of(&path);
                if seen.is_some() && seen != known {
                    break;
                }
            }
            Arrived::Seen(path, seen, Instant::now())
        });
    }

    /// Names the program that serves as reading process, where this one does not.
    pub fn read_with(&mut self, program: PathBuf) {
        self.reader = Some(program);
    }

    /// Opens a workbook. The lock of the file that is open is given, so that it can be opened anew.
    pub fn open(&mut self, path: PathBuf, lock: Option<Lock>) {
        self.away(move || {
            drop(lock);
            open(path)
        });
    }

    /// Reads a list, its columns as somebody says.
    pub fn import(&mut self, path: PathBuf, by: By) {
        let options = self.options(None);
        self.away(move || import(path, by, options).unwrap_or_else(|not| *not));
    }

    /// Reads a list to put it into the workbook that was made of an earlier one.
    pub fn import_newer(&mut self, newer: Wanted, book: u64) {
        let again = self.options(None);
        self.away(move || import_newer(newer, again, book).unwrap_or_else(|not| *not));
    }

    /// Reads the list of the workbook with this number again for its report.
    pub fn read_back(&mut self, origin: Origin, folder: PathBuf, book: u64) {
        let options = self.options(None);
        self.away(move || Arrived::Back(newer::read_back(&origin, &folder, &options).map(Box::new), book));
    }

    /// Writes a small text to a file that is not there yet.
    pub fn note(&mut self, path: PathBuf, text: Arc<str>) {
        self.away(move || {
            let written = if path.exists() {
                Err(format!("{} is there already; give another name.", path.display()))
            } else {
                files::save(&path, text.as_bytes()).map_err(|error| error.to_string())
            };
            Arrived::Noted(path, written)
        });
    }

    /// How a list is read, its columns by what a user settled, where something was.
    pub fn options(&self, own: Option<Arc<Own>>) -> Options {
        let mut options = Options::of_this_program();
        if self.reader.is_some() {
            options.program.clone_from(&self.reader);
        }
        options.own = own;
        options
    }
}

/// What is said of the columns of a list.
#[derive(Debug, Default)]
pub enum By {
    /// Nothing.
    #[default]
    Itself,
    /// As they were settled.
    Own(Arc<Own>),
    /// By the column map in a file.
    Map(PathBuf),
}

/// What a user says of columns: by the map in a file, where one is named.
fn own_of(map: Option<&Path>) -> Result<Option<Arc<Own>>, Box<Arrived>> {
    let read = map
        .map(maps::read)
        .transpose()
        .map_err(|why| Box::new(Arrived::NoMap(why)))?;
    Ok(read.map(Arc::new))
}

/// Reads a list; a column map in its place is told as one.
fn read_list(path: &Path, options: &Options, newer: bool) -> Result<Import, Box<Arrived>> {
    if maps::is_map(path) {
        return Err(Box::new(Arrived::Map(path.to_owned())));
    }
    plates::import(path, options).map_err(|error| Box::new(Arrived::NoList(Box::new(error), newer)))
}

fn import(path: PathBuf, by: By, options: Options) -> Result<Arrived, Box<Arrived>> {
    let own = match by {
        By::Itself => None,
        By::Own(own) => Some(own),
        By::Map(map) => own_of(Some(&map))?,
    };
    let options = Options {
        own: own.clone(),
        ..options
    };
    let mut import = read_list(&path, &options, false)?;
    let as_read = text::write(&import.workbook);
    let mut session = Session::with(std::mem::take(&mut import.workbook));
    session.unsaved();
    import.take(session.results());
    let as_read = vec![(import.report.digest.clone(), as_read.into())];
    let list = ListRead { path, own, as_read };
    Ok(Arrived::Imported(Box::new(session), Box::new(import.report), list))
}

fn import_newer(mut newer: Wanted, again: Options, book: u64) -> Result<Arrived, Box<Arrived>> {
    if let Some(own) = own_of(newer.map.as_deref())? {
        newer.own = Some(own);
    }
    let options = Options {
        own: newer.own.clone(),
        ..again.clone()
    };
    let of_its_sheet = Options {
        sheet: newer.sheet.clone(),
        ..options.clone()
    };
    let import = match read_list(&newer.path, &of_its_sheet, true) {
        // A newer list may have another name over its sheet.
        Err(not) if matches!(*not, Arrived::NoList(..)) && newer.sheet.is_some() && !newer.instead => {
            read_list(&newer.path, &options, true)?
        }
        read => read?,
    };
    Ok(Arrived::Newer(Box::new(newer.read(import, again)), book))
}

/// Opens a workbook: text, lock, kept copy.
pub fn open(path: PathBuf) -> Arrived {
    if maps::is_map(&path) {
        return Arrived::Map(path);
    }
    let stamp = Stamp::of(&path);
    let text = match files::open(&path) {
        Ok(text) => text,
        Err(error) => return Arrived::Failed(path, error.to_string(), error.help),
    };
    let lock = Lock::take(&path, Holder::Window);
    let earlier = if lock.is_ok() {
        set_earlier_aside(&path, &text)
    } else {
        None
    };
    let kept = lock
        .is_ok()
        .then(|| std::fs::read_to_string(kept_beside(&path)).ok())
        .flatten()
        .filter(|kept| *kept != text)
        .map(|kept| {
            let (text, typed) = untaken::parted(&kept);
            let mut session = Session::open(text);
            session.unsaved();
            (Box::new(session), typed)
        });
    let kept_at = kept.as_ref().and_then(|_| written_at(&kept_beside(&path)));
    Arrived::Opened(Box::new(Opened {
        session: Session::open(&text),
        kept_at,
        path,
        lock,
        stamp,
        kept,
        earlier,
    }))
}

/// When a file was written last.
pub fn written_at(path: &Path) -> Option<SystemTime> {
    std::fs::metadata(path).ok()?.modified().ok()
}

/// Where the copy is kept while the work kept before is neither taken nor thrown away.
pub fn kept_meanwhile(path: &Path) -> PathBuf {
    beside(path, ".", "kept-meanwhile")
}

/// After a second accident both copies stay: the later one is offered, the earlier one stands under a name of its own. A copy that
/// holds nothing beside the file and the other copy is none. `text`: what the file holds.
fn set_earlier_aside(path: &Path, text: &str) -> Option<PathBuf> {
    let (kept, meanwhile) = (kept_beside(path), kept_meanwhile(path));
    let holds = |path: &Path| std::fs::read_to_string(path).ok();
    let (earlier_text, later_text) = (holds(&kept), holds(&meanwhile));
    if !meanwhile.exists() {
        return None;
    }
    let mut earlier = None;
    if earlier_text.is_some() && later_text.as_deref() == Some(text) {
        let _ = std::fs::remove_file(&meanwhile);
        return None;
    }
    let is_own = earlier_text.as_deref() != Some(text) && earlier_text != later_text;
    if kept.exists() && is_own {
        let mut names = (1..1000).map(|number| beside(path, "", &format!("kept-{number}.pole")));
        let free = names.find(|path| !path.exists())?;
        std::fs::rename(&kept, &free).ok()?;
        earlier = Some(free);
    }
    std::fs::rename(&meanwhile, &kept).ok()?;
    earlier
}

/// Where the copy against a crash is kept.
pub fn kept_beside(path: &Path) -> PathBuf {
    beside(path, ".", "kept")
}

/// Whether work that was not saved waits beside a file that no window has open.
pub fn waits(path: &Path) -> bool {
    let kept = [kept_beside(path), kept_meanwhile(path)];
    let file = || std::fs::read(path).ok();
    let is_other = |kept: &PathBuf| std::fs::read(kept).is_ok_and(|kept| file() != Some(kept));
    kept.iter().any(is_other) && files::is_free(path)
}

/// A name made of that of a workbook, in its folder.
fn beside(path: &Path, before: &str, ending: &str) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{before}{name}.{ending}"))
}

/// A mistake of the program itself must not take the work with it: the inputs are read again from their text.
fn guarded(session: &mut Session, beside: &mut Beside, todo: Todo) -> Said {
    let done = catch_unwind(AssertUnwindSafe(|| perform(session, beside, todo)));
    done.unwrap_or_else(|_| {
        let mut again = Session::open(&session.text());
        again.unsaved();
        *session = again;
        Said::Broken
    })
}

/// Does a command; what the rules of a list say of it becomes part of it.
fn apply(session: &mut Session, watch: &mut Option<Watch>, mut command: Command) -> Result<(), Fault> {
    emptied::keep(session, &mut command.changes);
    let _ = session.apply(command)?;
    if let Some(watch) = watch {
        watch.step(session);
    }
    Ok(())
}

/// Takes readings as right; where no load is another one by it, that is said.
fn used(session: &mut Session, watch: &mut Option<Watch>, command: Command) -> Result<Said, Fault> {
    let rows = command
        .changes
        .first()
        .and_then(|change| change.rows(session.workbook()));
    let row = rows.and_then(|rows| rows.first().copied());
    let before = row.map(|(at, item)| doubts::of_load(session, at, item));
    apply(session, watch, command)?;
    let told = row.zip(before);
    let told = told.and_then(|((at, item), before)| doubts::without_effect(session, at, item, &before));
    Ok(told.map_or(Said::Changed, Said::ChangedBut))
}

fn perform(session: &mut Session, Beside { watch, copies }: &mut Beside, todo: Todo) -> Said {
    let stepped = |session: &Session, watch: &mut Option<Watch>| {
        if let Some(watch) = watch {
            watch.back(session);
        }
    };
    match todo {
        Todo::Apply(command, _) if *command.label == *doubts::USE => {
            used(session, watch, command).unwrap_or_else(|fault| Said::Refused(fault, None))
        }
        Todo::Apply(command, typed) => match apply(session, watch, command) {
            Ok(()) => Said::Changed,
            Err(fault) => Said::Refused(fault, typed),
        },
        Todo::Undo => {
            let label = session.undo_label().unwrap_or_default().to_owned();
            let undone = session.undo();
            stepped(session, watch);
            taken(undone, true, label, session.undone_at())
        }
        Todo::Redo => {
            let label = session.redo_label().unwrap_or_default().to_owned();
            let redone = session.redo();
            stepped(session, watch);
            taken(redone, false, label, session.done_at())
        }
        Todo::Drag(command, begins) => {
            // Only the last step of a drag stays, so that it is taken back in one go.
            if !begins && session.undo_label() == Some(&*command.label) {
                let _ = session.undo();
            }
            match apply(session, watch, command) {
                Ok(()) => Said::Changed,
                Err(fault) => Said::Refused(fault, None),
            }
        }
        Todo::Save(saving) => save(session, copies, saving),
        Todo::Forget(path) => {
            copies.forget(&path);
            Said::Nothing
        }
        Todo::Unsaved => {
            session.unsaved();
            Said::Unsaved
        }
        Todo::Plots(which) => {
            let (sheet, item, _) = which;
            let name = session.results().sheets.get(sheet).map(|sheet| sheet.name.clone());
            let plots = name.map_or_else(Vec::new, |name| session.plots(&name, item, PLACES));
            Said::Plots(which, plots)
        }
        Todo::Keep(path, sees_from, typed) => {
            let begin = Instant::now();
            if let Some(folder) = path.parent() {
                let _ = std::fs::create_dir_all(folder);
            }
            let seen = sees_from.and_then(|folder| {
                let origin = newer::origin_of(session.workbook())?;
                files::seen_from(&folder.join(origin.file), path.parent()?)
            });
            let text = match seen {
                Some(list) => merge::text_naming(session.workbook(), &list),
                None => session.text(),
            };
            copies.keep(path, untaken::with(text, &typed));
            Said::Kept(begin.elapsed())
        }
        Todo::Export(target, beside, options, at) => export(session, watch.as_ref(), &target, (&beside, &options, at)),
        Todo::PutIn(newer) => match newer::put_in(session, *newer) {
            Ok(merged) => Said::PutIn(Box::new(merged)),
            Err(why) => Said::Unchanged(why),
        },
        Todo::Report(back) => {
            let (report, list) = back.beside(session);
            Said::Report(report, list)
        }
        Todo::Watch(report) => {
            *watch = report.map(|report| Watch::new(report, session));
            Said::Nothing
        }
        Todo::KeepReport(report, target) => keep_report(session, &report, &target),
        Todo::Rows(list, by) => {
            let rows = rows_by(session, &list, &by);
            Said::Rows(list, by, rows, session.steps())
        }
        Todo::Many(label, work) => match (work.0)(session) {
            Ok((changes, note)) if changes.is_empty() => note.map_or(Said::Nothing, Said::Unchanged),
            Ok((changes, note)) => match apply(session, watch, Command { label, changes }) {
                Ok(()) => note.map_or(Said::Changed, Said::ChangedBut),
                Err(fault) => Said::Refused(fault, None),
            },
            Err(why) => Said::Unchanged(why),
        },
        Todo::Copy(work) => Said::Copied((work.0)(session)),
        Todo::Find(text, work) => Said::Found(text, (work.0)(session)),
        Todo::Would(typed, work) => Said::Would(typed, (work.0)(session)),
    }
}

fn save(session: &mut Session, copies: &Copies, saving: Saving) -> Said {
    let Saving {
        path,
        known,
        offered,
        as_read,
    } = saving;
    if known.is_some() && Stamp::of(&path).is_some_and(|now| Some(now) != known) {
        return Said::ChangedOutside(path);
    }
    match files::save(&path, session.text().as_bytes()) {
        Ok(()) => {
            session.saved();
            let stamp = Stamp::of(&path);
            if !offered {
                copies.forget(&kept_beside(&path));
            }
            copies.forget(&kept_meanwhile(&path));
            let but = newer::keep_as_read(session, &as_read, &path).err();
            Said::Saved(path, stamp, but)
        }
        Err(error) => Said::NotSaved(error),
    }
}

fn taken(outcome: Result<Option<crate::recalc::Ran>, Fault>, back: bool, label: String, at: Option<&Touches>) -> Said {
    match outcome {
        Ok(Some(_)) => Said::Stepped(back, label, at.cloned()),
        Ok(None) => Said::Nothing,
        Err(fault) => Said::Refused(fault, None),
    }
}

/// Which rows are in sight, in order.
fn rows_by(session: &Session, list: &str, by: &RowsBy) -> Result<Option<Ordered>, String> {
    let found = session
        .results()
        .sheets
        .iter()
        .find(|sheet| &*sheet.name == list)
        .filter(|sheet| sheet.form == Form::List)
        .ok_or("Only lists have rows to choose from.")?;
    let count = found.items.len();
    let (rows, unknown) = match &by.filter {
        Some(condition) => {
            let (rows, unknown) = rows_where(session, found, condition)?;
            (Some(rows), unknown)
        }
        None => (None, 0),
    };
    let column = |name: &str| found.quantities.iter().find(|quantity| *quantity.name == *name);
    let all = || (0..count).collect();
    let order = by.order.as_ref();
    let rows = match order.and_then(|(name, largest_first)| Some((column(name)?, *largest_first))) {
        Some((column, largest_first)) => {
            let rows = rows.unwrap_or_else(all);
            Some(super::arrange::ordered(&column.cells, rows.into_iter(), largest_first))
        }
        None => rows,
    };
    let ordered = match by.groups.as_ref().and_then(|name| column(name)) {
        Some(column) => {
            let rows = rows.unwrap_or_else(all);
            Some(Ordered::in_groups(count, rows, &column.cells, &by.folded))
        }
        None => rows.map(|rows| Ordered::items(count, rows)),
    };
    Ok(ordered.map(|ordered| Ordered {
        unknown,
        ..ordered.with_names(&found.items)
    }))
}

/// The rows for which a condition holds, and for how many it has no value.
fn rows_where(session: &Session, found: &SheetResults, condition: &str) -> Result<(Vec<usize>, usize), String> {
    let answers = session.ask(&found.name, condition).map_err(|faults| {
        let error = faults.iter().find(|fault| fault.is_error());
        error.map_or_else(|| "This is no condition.".to_owned(), Fault::in_words)
    })?;
    let is_value = |answer: &crate::language::work::Outcome| matches!(answer, crate::language::work::Outcome::Value(_));
    if answers
        .iter()
        .any(|answer| is_value(answer) && answer.as_truth().is_none())
    {
        return Err("This is a value and no condition; compare it, such as: load > 100 %.".to_owned());
    }
    let holds = answers.iter().map(crate::language::work::Outcome::as_truth);
    let unknown = holds.clone().filter(Option::is_none).count();
    let rows = holds.enumerate().filter(|(_, holds)| *holds == Some(true));
    Ok((rows.map(|(row, _)| row).collect(), unknown))
}

/// Writes a report with the loads as they are now.
fn keep_report(session: &Session, report: &Report, target: &Path) -> Said {
    let mut report = report.clone();
    report.take(session.results());
    handover::source::as_now(&mut report, session.workbook(), session.results());
    match files::save_by(target, |out| handover::reading::write(&report, target, out)) {
        Ok(()) => Said::ReportKept(target.to_owned()),
        Err(error) => Said::NotSaved(error),
    }
}

fn export(
    session: &Session,
    watch: Option<&Watch>,
    target: &Path,
    (beside, options, at): (&Path, &Options, usize),
) -> Said {
    let results = session.results();
    let mut said = handover::source::of_lists(session.workbook(), results, beside, options);
    // A list whose file is another one by now is handed over with what its reading doubted.
    if let (None, Some(watch)) = (&said.1, watch) {
        said = handover::source::of_reading(session.workbook(), results, watch.report());
    }
    let (remarks, report) = said;
    let trace = |sheet: &crate::recalc::SheetResults, quantity: usize, item: usize| {
        let at = results.sheets.iter().position(|known| std::ptr::eq(known, sheet))?;
        session.trace_at(at, quantity, item).map(|trace| trace.in_one_line())
    };
    let job = Job {
        workbook: session.workbook(),
        results,
        trace: &trace,
        beside,
        means: &Means {
            program: options.program.clone(),
            limits: options.limits,
        },
        remarks: &remarks,
        report: report.as_ref(),
        in_sight: results.sheets.get(at).map(|sheet| &*sheet.name),
    };
    match handover::export(&job, target) {
        Ok(exported) => Said::Exported(target.to_owned(), exported),
        Err(error) => Said::NotExported(format!("{error}; {}", error.help())),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;
    use crate::workbook::change::Change;

    const TEXT: &str = "polepair 1\nlist a\n  given P in kW\n  rows P\n    1 kW\n    3 kW\n    2 kW\n";

    fn wait(door: &mut Door) -> Vec<Said> {
        let mut said = Vec::new();
        for _ in 0..3000 {
            said.extend(door.run(Duration::from_millis(20)));
            if door.is_idle() {
                return said;
            }
            // Only what was just asked for is waited for.
            std::thread::sleep(Duration::from_millis(5));
        }
        panic!("the work does not come back");
    }

    fn saving(path: &Path, known: Option<Stamp>, offered: bool) -> Todo {
        Todo::Save(Saving {
            path: path.to_owned(),
            known,
            offered,
            as_read: Vec::new(),
        })
    }

    fn set(row: usize, text: &str) -> Todo {
        Todo::Apply(
            Command::one(
                "set",
                Change::SetCell {
                    list: "a".into(),
                    row,
                    quantity: "P".into(),
                    text: text.into(),
                },
            ),
            None,
        )
    }

    #[test]
    fn what_is_asked_for_is_done_in_order() {
        let mut door = Door::new(Session::open(TEXT), std::sync::Arc::new(|| {}));
        door.ask(set(0, "5 kW"));
        door.ask(Todo::Undo);
        door.ask(set(9, "5 kW"));
        door.ask(set(1, "4 kW"));
        let said = wait(&mut door);
        assert!(matches!(
            said.as_slice(),
            [Said::Changed, Said::Stepped(true, ..), Said::Refused(..), Said::Changed]
        ));
        let text = door.session().unwrap().text();
        assert!(text.contains("1 kW\n    4 kW\n    2 kW"), "{text}");
    }

    #[test]
    fn rows_are_chosen_by_the_language_and_ordered_by_value() {
        let mut door = Door::new(Session::open(TEXT), std::sync::Arc::new(|| {}));
        let by = |filter: &str, order: Option<bool>| {
            let by = RowsBy {
                filter: (!filter.is_empty()).then(|| filter.to_owned()),
                order: order.map(|largest_first| ("P".into(), largest_first)),
                ..RowsBy::default()
            };
            Todo::Rows("a".into(), by)
        };
        for todo in [
            by("P > 1500 W", None),
            by("", Some(true)),
            by("P > 1500 W", Some(false)),
            by("", None),
            by("P", None),
            by("Q > 1", None),
        ] {
            door.ask(todo);
        }
        let said = wait(&mut door);
        let rows: Vec<Result<_, &String>> = said
            .iter()
            .map(|said| match said {
                Said::Rows(_, _, Ok(rows), _) => Ok(rows.as_ref().map(|rows| {
                    assert_eq!(rows.of, 3);
                    rows.rows.to_vec()
                })),
                Said::Rows(_, _, Err(why), _) => Err(why),
                other => panic!("{other:?}"),
            })
            .collect();
        let [one, two, three, four, Err(no), Err(_)] = rows.as_slice() else {
            panic!("{rows:?}");
        };
        assert_eq!(*one, Ok(Some(vec![1, 2])));
        assert_eq!(*two, Ok(Some(vec![1, 2, 0])));
        assert_eq!(*three, Ok(Some(vec![2, 1])));
        assert_eq!(*four, Ok(None));
        assert!(no.contains("no condition"));
    }

    /// A large copy is written while the session is back; one that is to go is not written behind that.
    #[test]
    fn a_large_copy_is_written_beside_and_goes_for_good() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("kept");
        let text = format!("polepair 1\nnote \"{}\"\n", "many words ".repeat(SMALL / 8));
        let mut door = Door::new(Session::open(&text), std::sync::Arc::new(|| {}));
        let keep = || Todo::Keep(path.clone(), None, Vec::new());
        door.ask(keep());
        let said = wait(&mut door);
        assert!(matches!(said.as_slice(), [Said::Kept(_)]), "{said:?}");
        let begin = Instant::now();
        let kept = |door: &mut Door| {
            let mut arrived = door.arrivals().into_iter();
            arrived.any(|arrived| matches!(arrived, Arrived::Kept(Ok(()))))
        };
        while !kept(&mut door) {
            assert!(begin.elapsed() < Duration::from_secs(60));
            std::thread::sleep(Duration::from_millis(5));
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), door.session().unwrap().text());
        for _ in 0..20 {
            door.ask(keep());
            door.ask(Todo::Forget(path.clone()));
            let _ = wait(&mut door);
        }
        std::thread::sleep(Duration::from_millis(300));
        assert!(!path.exists());
    }

    #[test]
    fn a_drag_leaves_one_step_to_take_back() {
        let mut door = Door::new(Session::open(TEXT), std::sync::Arc::new(|| {}));
        door.ask(set(1, "4 kW"));
        for (begins, text) in [(true, "5 kW"), (false, "6 kW"), (false, "7 kW")] {
            let Todo::Apply(mut command, _) = set(0, text) else {
                panic!()
            };
            command.label = "drag P".into();
            door.ask(Todo::Drag(command, begins));
        }
        let _ = wait(&mut door);
        assert!(door.session().unwrap().text().contains("    7 kW\n    4 kW\n"));
        door.ask(Todo::Undo);
        let _ = wait(&mut door);
        assert!(door.session().unwrap().text().contains("    1 kW\n    4 kW\n"));
    }

    #[test]
    fn what_another_program_has_written_is_not_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        std::fs::write(&path, TEXT).unwrap();
        let mut door = Door::new(Session::open(TEXT), std::sync::Arc::new(|| {}));
        let known = Stamp::of(&path);
        std::fs::write(&path, "polepair 1\n# another hand\n").unwrap();
        door.ask(saving(&path, known, false));
        let said = wait(&mut door);
        assert!(matches!(said.as_slice(), [Said::ChangedOutside(_)]), "{said:?}");
        assert!(std::fs::read_to_string(&path).unwrap().contains("another hand"));
    }

    #[test]
    fn after_a_second_accident_both_copies_stay() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        std::fs::write(&path, TEXT).unwrap();
        std::fs::write(kept_beside(&path), TEXT.replace("1 kW", "6 kW")).unwrap();
        std::fs::write(kept_meanwhile(&path), TEXT.replace("1 kW", "7 kW")).unwrap();
        let Arrived::Opened(opened) = open(path.clone()) else {
            panic!("opens")
        };
        assert!(opened.kept.as_ref().unwrap().0.text().contains("7 kW"));
        let earlier = opened.earlier.clone().unwrap();
        assert!(std::fs::read_to_string(earlier).unwrap().contains("6 kW"));
        assert!(!kept_meanwhile(&path).exists() && kept_beside(&path).exists());
    }

    /// What the file or the later copy holds as well needs no workbook of its own.
    #[test]
    fn copies_that_hold_nothing_of_their_own_go() {
        let six = TEXT.replace("1 kW", "6 kW");
        for (kept, meanwhile, offered) in [
            (TEXT, six.as_str(), Some("6 kW")),
            (six.as_str(), six.as_str(), Some("6 kW")),
            (six.as_str(), TEXT, Some("6 kW")),
            (TEXT, TEXT, None),
        ] {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("a.pole");
            std::fs::write(&path, TEXT).unwrap();
            std::fs::write(kept_beside(&path), kept).unwrap();
            std::fs::write(kept_meanwhile(&path), meanwhile).unwrap();
            let Arrived::Opened(opened) = open(path.clone()) else {
                panic!("opens")
            };
            let text = opened.kept.as_ref().map(|(session, _)| session.text());
            assert_eq!(text.is_some(), offered.is_some());
            assert!(offered.is_none_or(|words| text.unwrap().contains(words)));
            assert_eq!(opened.earlier, None);
            assert!(!kept_meanwhile(&path).exists());
            let left = std::fs::read_dir(folder.path()).unwrap().flatten();
            let left: Vec<String> = left
                .map(|entry| entry.file_name().to_string_lossy().into_owned())
                .collect();
            assert!(!left.iter().any(|name| name.contains("kept-")), "{left:?}");
        }
    }

    #[test]
    fn a_kept_copy_is_offered_and_goes_with_a_save() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.pole");
        std::fs::write(&path, TEXT).unwrap();
        let mut door = Door::new(Session::open(TEXT), std::sync::Arc::new(|| {}));
        door.ask(set(0, "7 kW"));
        door.ask(Todo::Keep(kept_beside(&path), None, Vec::new()));
        let _ = wait(&mut door);
        let Arrived::Opened(opened) = open(path.clone()) else {
            panic!("opens")
        };
        assert!(opened.kept.as_ref().unwrap().0.text().contains("7 kW"));
        assert!(opened.lock.is_ok());
        // A second window may look, and is not offered the copy of the first.
        let Arrived::Opened(second) = open(path.clone()) else {
            panic!("opens")
        };
        assert!(second.lock.is_err() && second.kept.is_none());
        // While the copy is offered, a save does not answer the offer.
        door.ask(saving(&path, opened.stamp, true));
        let _ = wait(&mut door);
        assert!(kept_beside(&path).exists());
        door.ask(saving(&path, Stamp::of(&path), false));
        let _ = wait(&mut door);
        assert!(!kept_beside(&path).exists());
        assert!(std::fs::read_to_string(&path).unwrap().contains("7 kW"));
        assert!(!door.session().unwrap().is_changed());
    }
}
