//! The one line of steps to take back and to do again: edits, which the session keeps, and how sheets were arranged between them.
//!
//! Always: steps are taken back in the order they were made, whichever sort they are; an edit keeps its place in the line by the
//! number of edits before it.
//! Not known here: what an edit was.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::arrange::Arranged;
use super::renames::Renamed;

/// An arrangement that took the place of another one.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Name of the sheet.
    pub sheet: Arc<str>,
    /// As it was.
    pub before: Arranged,
    /// As it was after that.
    pub after: Arranged,
    /// How many edits were done by then.
    edits: usize,
    /// It belongs to the edit before it.
    joined: bool,
}

impl Step {
    /// In a few words.
    pub fn words(&self) -> String {
        self.after.words(&self.before)
    }
}

/// How sheets were arranged, step by step.
#[derive(Clone, Debug, Default)]
pub struct Steps {
    known: BTreeMap<Arc<str>, Arranged>,
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
        let step = Step {
            sheet: sheet.clone(),
            before,
            after: now.clone(),
            edits,
            joined: false,
        };
        match self.done.last_mut() {
            // A column drawn wider and wider is one step.
            Some(last) if !last.joined && last.edits == edits && last.sheet == *sheet && last.goes_on(&step) => {
                last.after = step.after
            }
            _ => self.done.push(step),
        }
        true
    }

    /// A sheet or a quantity has another name: what was arranged goes on under it.
    pub fn renamed(&mut self, change: &Renamed) {
        let steps = self.done.iter_mut().chain(&mut self.undone);
        match change {
            Renamed::Sheet(from, to) => {
                if let Some(known) = self.known.remove(from) {
                    let _ = self.known.insert(to.clone(), known);
                }
                for step in steps.filter(|step| step.sheet == *from) {
                    step.sheet.clone_from(to);
                }
            }
            Renamed::Quantity(sheet, from, to) => {
                for step in steps.filter(|step| step.sheet == *sheet) {
                    step.before.renamed(from, to);
                    step.after.renamed(from, to);
                }
                if let Some(known) = self.known.get_mut(sheet) {
                    known.renamed(from, to);
                }
            }
        }
    }

    /// An edit was made: what was taken back before it cannot be done again.
    pub fn edited(&mut self) {
        self.undone.clear();
    }

    /// What taking back would undo, where it is an arrangement.
    pub fn last(&self, edits: usize) -> Option<&Step> {
        self.done.last().filter(|step| step.edits >= edits)
    }

    /// What doing again would do, where it is an arrangement.
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

    /// Takes the last step back, where it is an arrangement.
    pub fn back(&mut self, edits: usize) -> Option<Step> {
        let _ = self.last(edits)?;
        let step = self.done.pop()?;
        let _ = self.known.insert(step.sheet.clone(), step.before.clone());
        self.undone.push(step.clone());
        Some(step)
    }

    /// Does the next step again, where it is an arrangement.
    pub fn again(&mut self, edits: usize) -> Option<Step> {
        let _ = self.next(edits)?;
        let step = self.undone.pop()?;
        let _ = self.known.insert(step.sheet.clone(), step.after.clone());
        self.done.push(step.clone());
        Some(step)
    }
}

impl Step {
    /// Whether another step only goes on with what this one did: the width of the same column.
    fn goes_on(&self, next: &Step) -> bool {
        let own = self.after.widened(&self.before);
        own.is_some() && own == next.after.widened(&next.before)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn hidden(names: &[&str]) -> Arranged {
        Arranged {
            hidden: names.iter().map(|name| Arc::from(*name)).collect(),
            ..Arranged::default()
        }
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
        assert_eq!(steps.back(2).unwrap().before, hidden(&["a"]));
        // The edit comes first now.
        assert!(steps.back(2).is_none());
        assert_eq!(steps.back(1).unwrap().before, hidden(&[]));
        assert!(steps.back(0).is_none() && steps.back(1).is_none());
        // And again.
        assert!(steps.next(0).is_none());
        assert_eq!(steps.again(1).unwrap().after, hidden(&["a"]));
        assert!(steps.again(1).is_none());
        assert_eq!(steps.again(2).unwrap().after, hidden(&["a", "b"]));
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
        assert_eq!(
            (step.words().as_str(), step.before),
            ("width of P_r", Arranged::default())
        );
        assert!(steps.next(0).is_some());
        assert!(steps.note(&sheet, &hidden(&["a"]), 0));
        assert!(steps.next(0).is_none());
    }
}
