//! The session: the one door through which a workbook is changed.
//!
//! For: the window, the command line, the import. A workbook is opened from its text, commands change it, each can be undone
//! and redone, and what was done is kept in a journal.
//! Always: a command is done whole or not at all; undoing gives the same text and the same results again.
//! Not known here: files, screens.

mod journal;

pub use journal::Patch;

use std::ops::Range;
use std::sync::Arc;

use crate::fault::Fault;
use crate::language::work::Outcome;
use crate::quantity::{System, Unit};
use crate::recalc::{Engine, Look, Plot, Ran, RestsOn, Results, Trace, Would};
use crate::workbook::change::{Change, Touches};
use crate::workbook::{Workbook, text};

/// What a user does in one go.
#[derive(Clone, Debug)]
pub struct Command {
    /// In a few words, for the menu: "undo: set P_r".
    pub label: Arc<str>,
    /// The changes, in order.
    pub changes: Vec<Change>,
}

impl Command {
    /// A command of one change.
    pub fn one(label: impl Into<Arc<str>>, change: Change) -> Command {
        Command {
            label: label.into(),
            changes: vec![change],
        }
    }
}

/// A command that was done, with what takes it back.
#[derive(Clone, Debug)]
struct Done {
    label: Arc<str>,
    change: Change,
    back: Change,
    /// Where it is seen.
    touches: Option<Touches>,
}

/// An open workbook.
#[derive(Debug)]
pub struct Session {
    engine: Engine,
    done: Vec<Done>,
    undone: Vec<Done>,
    /// How many commands had been done when the workbook was last saved; `None` when that state can no longer be reached.
    saved: Option<usize>,
    /// The rows whose cells the last step reached, where it reached nothing else.
    rows: Option<Vec<(usize, usize)>>,
}

impl Session {
    /// Opens a workbook from its text. Whatever is wrong rides along in the results.
    pub fn open(text: &str) -> Session {
        Session::with(text::read(text))
    }

    /// Opens a workbook that was made, such as an imported list.
    pub fn with(workbook: Workbook) -> Session {
        Session {
            engine: Engine::new(workbook),
            done: Vec::new(),
            undone: Vec::new(),
            saved: Some(0),
            rows: None,
        }
    }

    /// The inputs.
    pub fn workbook(&self) -> &Workbook {
        self.engine.workbook()
    }

    /// What they give.
    pub fn results(&self) -> &Results {
        self.engine.results()
    }

    /// The canonical text.
    pub fn text(&self) -> String {
        text::write(self.workbook())
    }

    /// How a cell came about; see [`Engine::trace`].
    pub fn trace(&self, sheet: &str, quantity: &str, item: usize) -> Option<Trace> {
        self.engine.trace(sheet, quantity, item)
    }

    /// How a cell came about, by places in the results; see [`Engine::trace_at`].
    pub fn trace_at(&self, sheet: usize, quantity: usize, item: usize) -> Option<Trace> {
        self.engine.trace_at(sheet, quantity, item)
    }

    /// The same with values in the units of a system; see [`Engine::trace_in`].
    pub fn trace_in(&self, sheet: usize, quantity: usize, item: usize, system: System) -> Option<Trace> {
        self.engine.trace_in(sheet, quantity, item, system)
    }

    /// Both sides of a check or flag in the units of a system; see [`Engine::sides_in`].
    pub fn sides_in(&self, which: (usize, bool, usize), item: usize, system: System) -> Option<(String, String)> {
        self.engine.sides_in(which, item, system)
    }

    /// What a check reads; see [`Engine::check_reads`].
    pub fn check_reads(&self, which: (usize, usize)) -> Vec<(Arc<str>, Arc<str>)> {
        self.engine.check_reads(which)
    }

    /// The givens a check or flag rests on; see [`Engine::check_rests_on`].
    pub fn check_rests_on(&self, which: (usize, bool, usize), item: usize, system: System) -> Vec<RestsOn> {
        self.engine.check_rests_on(which, item, system)
    }

    /// What a text would be as value of a quantity; see [`Engine::look`].
    pub fn look(&self, sheet: &str, quantity: &str, text: &str, whole: bool, unit: Option<&Unit>) -> Option<Look> {
        self.engine.look(sheet, quantity, text, whole, unit)
    }

    /// What is wrong with a text as the formula of a quantity because it leads back to it.
    pub fn circle(&self, sheet: &str, quantity: &str, text: &str, item: Option<usize>) -> Option<Fault> {
        self.engine.circle(sheet, quantity, text, item)
    }

    /// What a text would give; see [`Engine::would`].
    pub fn would(&self, sheet: &str, quantity: &str, text: &str, whole: bool, items: Range<usize>) -> Option<Would> {
        self.engine.would(sheet, quantity, text, whole, items)
    }

    /// What a whole line would give; see [`Engine::would_line`].
    pub fn would_line(&self, sheet: &str, text: &str, items: Range<usize>) -> Option<Would> {
        self.engine.would_line(sheet, text, items)
    }

    /// What a whole line would be; see [`Engine::look_line`].
    pub fn look_line(&self, sheet: &str, text: &str) -> Option<Look> {
        self.engine.look_line(sheet, text)
    }

    /// Whether a text is a condition for a sheet, and what is worth a look; see [`Engine::condition`].
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn condition(&self, sheet: &str, text: &str) -> Result<Option<String>, Vec<Fault>> {
        self.engine.condition(sheet, text)
    }

    /// What a formula or condition gives for each item of a sheet; see [`Engine::ask`].
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn ask(&self, sheet: &str, text: &str) -> Result<Vec<Outcome>, Vec<Fault>> {
        self.engine.ask(sheet, text)
    }

    /// The plots of a sheet; see [`Engine::plots`].
    pub fn plots(&self, sheet: &str, item: usize, places: usize) -> Vec<Plot> {
        self.engine.plots(sheet, item, places)
    }

    /// The quantities that the plots of a sheet rest on; see [`Engine::plotted`].
    pub fn plotted(&self, sheet: &str) -> std::collections::BTreeSet<(Arc<str>, Arc<str>)> {
        self.engine.plotted(sheet)
    }

    /// What a quantity reads: sheet and name.
    pub fn reads(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        self.engine.reads(sheet, quantity)
    }

    /// Who reads a quantity: sheet and name.
    pub fn readers(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        self.engine.readers(sheet, quantity)
    }

    /// Does a command.
    ///
    /// # Errors
    /// Where a change does not fit the workbook; then nothing has changed.
    pub fn apply(&mut self, command: Command) -> Result<Ran, Fault> {
        let mut changes = command.changes;
        let change = match (changes.pop(), changes.is_empty()) {
            (None, _) => return Ok(Ran::default()),
            (Some(only), true) => only,
            (Some(last), false) => {
                changes.push(last);
                Change::Several(changes)
            }
        };
        let touches = change.touches(self.workbook());
        let rows = change.rows(self.workbook());
        let (ran, back) = self.engine.apply_back(&change)?;
        self.rows = rows;
        self.undone.clear();
        if self.saved.is_some_and(|saved| saved > self.done.len()) {
            self.saved = None;
        }
        self.done.push(Done {
            label: command.label,
            change,
            back,
            touches,
        });
        Ok(ran)
    }

    /// Adds changes to the last command: they are taken back and done again with it.
    ///
    /// # Errors
    /// Where a change does not fit the workbook; then nothing has changed.
    pub fn follow(&mut self, changes: Vec<Change>) -> Result<Ran, Fault> {
        if self.done.is_empty() || changes.is_empty() {
            return Ok(Ran::default());
        }
        let change = Change::Several(changes);
        let (ran, back) = self.engine.apply_back(&change)?;
        if let Some(last) = self.done.last_mut() {
            let before = std::mem::replace(&mut last.change, Change::Several(Vec::new()));
            last.change = Change::Several(vec![before, change]);
            let before = std::mem::replace(&mut last.back, Change::Several(Vec::new()));
            last.back = Change::Several(vec![back, before]);
        }
        Ok(ran)
    }

    /// The rows whose cells the last step reached, as places of list and row; `None` where it reached more.
    pub fn reached(&self) -> Option<&[(usize, usize)]> {
        self.rows.as_deref()
    }

    /// Takes the last command back; `None` where there is none.
    ///
    /// # Errors
    /// Never for what this session did itself; kept so that a broken promise is seen and nothing is lost.
    pub fn undo(&mut self) -> Result<Option<Ran>, Fault> {
        let Some(last) = self.done.last() else {
            return Ok(None);
        };
        self.rows = last.back.rows(self.engine.workbook());
        let (ran, again) = self.engine.apply_back(&last.back)?;
        if let Some(mut last) = self.done.pop() {
            last.change = again;
            self.undone.push(last);
        }
        Ok(Some(ran))
    }

    /// Does the command that was taken back last again; `None` where there is none.
    ///
    /// # Errors
    /// Never for what this session did itself; kept so that a broken promise is seen and nothing is lost.
    pub fn redo(&mut self) -> Result<Option<Ran>, Fault> {
        let Some(last) = self.undone.last() else {
            return Ok(None);
        };
        self.rows = last.change.rows(self.engine.workbook());
        let (ran, back) = self.engine.apply_back(&last.change)?;
        if let Some(mut last) = self.undone.pop() {
            last.back = back;
            self.done.push(last);
        }
        Ok(Some(ran))
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|done| &*done.label)
    }

    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|done| &*done.label)
    }

    /// Where what was taken back last is seen.
    pub fn undone_at(&self) -> Option<&Touches> {
        self.undone.last()?.touches.as_ref()
    }

    /// Where what was done last is seen.
    pub fn done_at(&self) -> Option<&Touches> {
        self.done.last()?.touches.as_ref()
    }

    /// How many commands are done and not taken back.
    pub fn steps(&self) -> usize {
        self.done.len()
    }

    /// Says that the text as it is now has been saved.
    pub fn saved(&mut self) {
        self.saved = Some(self.done.len());
    }

    /// Says that the text as it is now is in no file, such as a list that was just read.
    pub fn unsaved(&mut self) {
        self.saved = None;
    }

    /// Whether something was changed since it was last saved.
    pub fn is_changed(&self) -> bool {
        self.saved != Some(self.done.len())
    }

    /// Everything done since the workbook was opened and not taken back, as patches of its text.
    pub fn journal(&self) -> Vec<Patch> {
        let backs: Vec<(&str, &Change)> = self.done.iter().map(|done| (&*done.label, &done.back)).collect();
        journal::patches(self.workbook(), &backs)
    }
}
