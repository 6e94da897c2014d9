//! The one line of steps to take back and to do again: edits, which the session keeps, and between them how sheets were arranged and
//! which texts were kept that could not be taken in.
//!
//! Always: steps are taken back in the order they were made, whichever sort they are; an edit keeps its place in the line by the
//! number of edits before it.
//! Not known here: what an edit was.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::arrange::Arranged;
use super::renames::Renamed;
use super::wrong::Wrongs;

/// What a step between edits changed.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// An arrangement took the place of another one.
    Arranged {
        /// Name of the sheet.
        sheet: Arc<str>,
        /// As it was.
        before: Box<Arranged>,
        /// As it was after that.
        after: Box<Arranged>,
    },
    /// Texts that are not taken in came or went.
    Texts {
        /// Those that there were.
        before: Wrongs,
        /// Those that there were after that.
        after: Wrongs,
    },
}

/// A step between edits.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it changed.
    pub what: What,
    /// How many edits were done by then.
    edits: usize,
    /// It belongs to the edit before it.
    pub joined: bool,
}

impl Step {
    /// In a few words.
    pub fn words(&self) -> String {
        match &self.what {
            What::Arranged { before, after, .. } => after.words(before),
            What::Texts { before, after } => match (after.beside(before), before.beside(after)) {
                (Some(kept), _) => format!("`{}`, which was not taken in", kept.text.trim()),
                (None, Some(gone)) => format!("put `{}` away", gone.text.trim()),
                (None, None) => String::new(),
            },
        }
    }
}

/// The steps between edits.
#[derive(Clone, Debug, Default)]
pub struct Steps {
    known: BTreeMap<Arc<str>, Arranged>,
    texts: Wrongs,
    done: Vec<Step>,
    undone: Vec<Step>,
}

impl Steps {
    /// Notes how a sheet is arranged after so many edits; what differs from what is known is a step. `true`: there was one.
    pub fn note(&mut self, sheet: &Arc<str>, now: &Arranged, edits: usize) -> bool {
        let Some(known) = self.known.get_mut(sheet) else {
            let _ = self.known.insert(sheet.clone(), now.clone());
            return false;
        };
        if known == now {
            return false;
        }
        let before = std::mem::replace(known, now.clone());
        self.undone.clear();
        let what = What::Arranged {
            sheet: sheet.clone(),
            before: Box::new(before),
            after: Box::new(now.clone()),
        };
        let last = self.done.last_mut().filter(|last| !last.joined && last.edits == edits);
        // A column drawn wider and wider is one step.
        if !last.is_some_and(|last| last.what.goes_on(&what)) {
            self.done.push(Step {
                what,
                edits,
                joined: false,
            });
        }
        true
    }

    /// Notes which texts are not taken in after so many edits; what differs from what is known is a step, or a part of the last edit.
    pub fn note_texts(&mut self, now: &Wrongs, edits: usize, joined: bool) {
        if self.texts == *now {
            return;
        }
        let before = std::mem::replace(&mut self.texts, now.clone());
        self.undone.clear();
        let what = What::Texts {
            before,
            after: now.clone(),
        };
        self.done.push(Step { what, edits, joined });
    }

    /// Those texts are known, without a step.
    pub fn know_texts(&mut self, now: &Wrongs) {
        self.texts.clone_from(now);
    }

    /// A sheet or a quantity has another name: what was arranged or kept goes on under it.
    pub fn renamed(&mut self, change: &Renamed) {
        match change {
            Renamed::Sheet(from, to) => {
                if let Some(known) = self.known.remove(from) {
                    let _ = self.known.insert(to.clone(), known);
                }
            }
            Renamed::Quantity(sheet, from, to) => {
                if let Some(known) = self.known.get_mut(sheet) {
                    known.renamed(from, to);
                }
            }
        }
        self.texts.renamed(change);
        for step in self.done.iter_mut().chain(&mut self.undone) {
            step.what.renamed(change);
        }
    }

    /// An edit was made: what was taken back before it cannot be done again.
    pub fn edited(&mut self) {
        self.undone.clear();
    }

    /// What taking back would undo, where it is no edit.
    pub fn last(&self, edits: usize) -> Option<&Step> {
        self.done.last().filter(|step| step.edits >= edits)
    }

    /// What doing again would do, where it is no edit.
    pub fn next(&self, edits: usize) -> Option<&Step> {
        self.undone.last().filter(|step| step.edits <= edits)
    }

    /// The last step belongs to the edit before it.
    pub fn join(&mut self) {
        if let Some(step) = self.done.last_mut() {
            step.joined = true;
        }
    }

    /// Whether the edit is taken back together with the last step.
    pub fn joins_last(&self, edits: usize) -> bool {
        self.last(edits).is_some_and(|step| step.joined && step.edits == edits)
    }

    /// Whether a step is done again together with the next edit.
    pub fn joins_next(&self, edits: usize) -> bool {
        let next = self.undone.last();
        next.is_some_and(|step| step.joined && step.edits == edits + 1)
    }

    /// Takes the last step back, where it is no edit.
    pub fn back(&mut self, edits: usize) -> Option<Step> {
        let _ = self.last(edits)?;
        let step = self.done.pop()?;
        match &step.what {
            What::Arranged { sheet, before, .. } => drop(self.known.insert(sheet.clone(), (**before).clone())),
            What::Texts { before, .. } => self.texts.clone_from(before),
        }
        self.undone.push(step.clone());
        Some(step)
    }

    /// Does the next step again, where it is no edit.
    pub fn again(&mut self, edits: usize) -> Option<Step> {
        let _ = self.next(edits)?;
        let step = self.undone.pop()?;
        match &step.what {
            What::Arranged { sheet, after, .. } => drop(self.known.insert(sheet.clone(), (**after).clone())),
            What::Texts { after, .. } => self.texts.clone_from(after),
        }
        self.done.push(step.clone());
        Some(step)
    }
}

impl What {
    /// Goes on with another step that only draws the width of the same column further.
    fn goes_on(&mut self, next: &What) -> bool {
        let (
            What::Arranged { sheet, before, after },
            What::Arranged {
                sheet: there,
                before: then,
                after: now,
            },
        ) = (self, next)
        else {
            return false;
        };
        let own = after.widened(before);
        let goes_on = own.is_some() && sheet == there && own == now.widened(then);
        if goes_on {
            after.clone_from(now);
        }
        goes_on
    }

    fn renamed(&mut self, change: &Renamed) {
        match (self, change) {
            (What::Texts { before, after }, _) => [before, after].into_iter().for_each(|texts| texts.renamed(change)),
            (What::Arranged { sheet, .. }, Renamed::Sheet(from, to)) if sheet == from => sheet.clone_from(to),
            (What::Arranged { sheet, before, after }, Renamed::Quantity(here, from, to)) if sheet == here => {
                before.renamed(from, to);
                after.renamed(from, to);
            }
            (What::Arranged { .. }, _) => {}
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;

    fn hidden(names: &[&str]) -> Arranged {
        Arranged {
            hidden: names.iter().map(|name| Arc::from(*name)).collect(),
            ..Arranged::default()
        }
    }

    fn arranged(step: Option<Step>) -> (Arranged, Arranged) {
        match step.unwrap().what {
            What::Arranged { before, after, .. } => (*before, *after),
            What::Texts { .. } => panic!("no arrangement"),
        }
    }

    fn before(step: Option<Step>) -> Arranged {
        arranged(step).0
    }

    fn after(step: Option<Step>) -> Arranged {
        arranged(step).1
    }

    #[test]
    fn arrangements_and_edits_are_taken_back_in_their_order() {
        let sheet: Arc<str> = "motors".into();
        let mut steps = Steps::default();
        assert!(!steps.note(&sheet, &hidden(&[]), 0));
        // An edit, an arrangement, an edit, an arrangement.
        assert!(steps.note(&sheet, &hidden(&["a"]), 1));
        assert!(steps.note(&sheet, &hidden(&["a", "b"]), 2));
        assert_eq!(steps.last(2).unwrap().words(), "hide b");
        assert_eq!(before(steps.back(2)), hidden(&["a"]));
        // The edit comes first now.
        assert!(steps.back(2).is_none());
        assert_eq!(before(steps.back(1)), hidden(&[]));
        assert!(steps.back(0).is_none() && steps.back(1).is_none());
        // And again.
        assert!(steps.next(0).is_none());
        assert_eq!(after(steps.again(1)), hidden(&["a"]));
        assert!(steps.again(1).is_none());
        assert_eq!(after(steps.again(2)), hidden(&["a", "b"]));
        assert!(!steps.note(&sheet, &hidden(&["a", "b"]), 2));
    }

    #[test]
    fn a_step_goes_with_its_edit() {
        let sheet: Arc<str> = "motors".into();
        let mut steps = Steps::default();
        assert!(!steps.note(&sheet, &hidden(&[]), 0));
        assert!(steps.note(&sheet, &hidden(&["a"]), 1));
        assert!(!steps.joins_last(1));
        steps.join();
        assert!(steps.joins_last(1) && !steps.joins_last(2));
        assert!(steps.back(1).is_some());
        // The edit is taken back as well; it comes first again.
        assert!(steps.joins_next(0) && !steps.joins_next(1));
    }

    #[test]
    fn a_column_drawn_wider_is_one_step_and_a_new_step_ends_what_could_be_done_again() {
        let sheet: Arc<str> = "motors".into();
        let mut steps = Steps::default();
        let wide = |key: &str, width: f32| Arranged {
            widths: [(key.to_owned(), width)].into(),
            ..Arranged::default()
        };
        assert!(!steps.note(&sheet, &Arranged::default(), 0));
        for width in [120.0, 130.0, 140.0] {
            assert!(steps.note(&sheet, &wide("P_r", width), 0));
        }
        let step = steps.back(0).unwrap();
        assert_eq!(step.words(), "width of P_r");
        assert_eq!(before(Some(step)), Arranged::default());
        assert!(steps.next(0).is_some());
        assert!(steps.note(&sheet, &hidden(&["a"]), 0));
        assert!(steps.next(0).is_none());
    }
}
