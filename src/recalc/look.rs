//! Looking without touching: what a text would be as the value of a quantity, who reads whom, a question asked of a sheet.
//!
//! For: checking while a user types, going from a result to what it reads and back, filters.
//! Always: the workbook and its results stay as they are.
//! Not known here: screens.

use std::sync::Arc;

use super::Engine;
use super::book::Entry;
use super::scope::Asking;
use super::settle::{quantity_of, target_for_cells, target_of};
use super::waves::View;
use crate::fault::Fault;
use crate::language::check::{self, Sort, Target, Typed};
use crate::language::syntax;
use crate::language::work::{Outcome, Program};
use crate::quantity::Unit;

/// What a text would be.
#[derive(Clone, Debug)]
pub struct Look {
    /// What it gives.
    pub sort: Sort,
    /// What is wrong or worth a look; places are bytes of the text.
    pub faults: Vec<Fault>,
}

impl Engine {
    /// What `text` would be as the formula of a quantity: of the whole quantity, or of one cell of it. `None` for a sheet or a
    /// quantity that is not there. `unit` is the one that the place is shown in, where that is another one than it is written in:
    /// what is said of the text speaks of it.
    pub fn look(&self, sheet: &str, quantity: &str, text: &str, whole: bool, unit: Option<&Unit>) -> Option<Look> {
        let place = *self.book.by_name.get(sheet)?;
        let entry = self.entry_named(sheet, quantity)?;
        let mut target = match (quantity_of(&self.workbook, entry), self.settlement.get(entry.id)) {
            (Some(line), Some(settled)) if !whole => target_for_cells(line, &settled.sort),
            (Some(line), _) => target_of(line),
            (None, _) => Target::default(),
        };
        if let Some(unit) = unit.filter(|_| target.unit.is_some() || target.kind.is_some()) {
            target.unit = Some(unit.clone());
        }
        let (typed, faults) = self.typed(place, text, &target);
        Some(Look {
            sort: typed.sort,
            faults,
        })
    }

    fn typed(&self, place: usize, text: &str, target: &Target) -> (Typed, Vec<Fault>) {
        let (tree, mut faults) = syntax::parse(text);
        let asking = Asking::new(&self.book, &self.settlement.sorts, place);
        let typed = check::formula(&tree, text, target, &asking);
        if faults.iter().all(|fault| !fault.is_error()) {
            faults.extend(typed.faults.iter().cloned());
        }
        (typed, faults)
    }

    /// What a formula or condition gives for each item of a sheet.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn ask(&self, sheet: &str, text: &str) -> Result<Vec<Outcome>, Vec<Fault>> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Err(Vec::new());
        };
        let Some(own) = self.book.sheets.get(*place) else {
            return Err(Vec::new());
        };
        let (typed, faults) = self.typed(*place, text, &Target::default());
        if faults.iter().any(Fault::is_error) {
            return Err(faults);
        }
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        match Program::new(&typed, &view, own.id, "") {
            Some(program) => Ok(program.items(0..own.items.count()).0),
            None => Err(faults),
        }
    }

    /// The quantities that the formulas of a quantity read, each once: sheet and name.
    pub fn reads(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        let Some(entry) = self.entry_named(sheet, quantity) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for (read, _, _) in self.reach.reads(entry.id) {
            if let (Some(from), Some(named)) = (self.book.sheet_of(*read), self.book.entry(*read)) {
                let pair = (from.name.clone(), named.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        out
    }

    /// The quantities, checks and flags whose formulas read a quantity: sheet and name (`check FORMULA`, `flag FORMULA`).
    pub fn readers(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        let Some(wanted) = self.entry_named(sheet, quantity).map(|entry| entry.id) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for entry in self.book.entries() {
            if self.reach.reads(entry.id).iter().any(|(read, _, _)| *read == wanted)
                && let Some(from) = self.book.sheet_of(entry.id)
            {
                let pair = (from.name.clone(), entry.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        out
    }

    fn entry_named(&self, sheet: &str, quantity: &str) -> Option<&Entry> {
        let place = self.book.by_name.get(sheet)?;
        let id = self.book.sheets.get(*place)?.names.get(quantity)?;
        self.book.entry(*id)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::workbook::text;

    const TEXT: &str = "polepair 1
sheet drive
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  work  n_s = f / p in r/min : synchronous speed
  check n_s >= 1400 r/min
";

    #[test]
    fn a_look_changes_nothing_and_says_what_is_wrong() {
        let engine = Engine::new(text::read(TEXT));
        let look = engine.look("drive", "f", "50 kW", false, None).unwrap();
        assert!(look.faults.iter().any(Fault::is_error), "{look:?}");
        assert!(
            engine
                .look("drive", "f", "60 Hz", false, None)
                .unwrap()
                .faults
                .is_empty()
        );
        assert!(engine.look("drive", "g", "60 Hz", false, None).is_none());
        assert!(engine.results().faults.is_empty());
    }

    #[test]
    fn who_reads_whom_both_ways() {
        let engine = Engine::new(text::read(TEXT));
        let names =
            |pairs: Vec<(Arc<str>, Arc<str>)>| pairs.iter().map(|(_, name)| name.to_string()).collect::<Vec<_>>();
        assert_eq!(names(engine.reads("drive", "n_s")), ["f", "p"]);
        assert_eq!(names(engine.readers("drive", "f")), ["n_s"]);
        assert_eq!(names(engine.readers("drive", "n_s")), ["check n_s >= 1400 r/min"]);
    }

    #[test]
    fn a_question_is_answered_for_each_item() {
        let engine = Engine::new(text::read(TEXT));
        let answer = engine.ask("drive", "n_s > 1400 r/min").unwrap();
        assert_eq!(answer[0].as_truth(), Some(true));
        assert!(engine.ask("drive", "n_s > 5 kW").is_err());
    }
}
