//! A change in, and only what it reaches checked and worked again.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::book::Sense;
use super::edits::{self, Before};
use super::engine::{Engine, LONG, bands_of, changed_items, notes_of};
use super::reach::Items;
use super::results::Ran;
use super::settle::{self, Settled};
use crate::fault::Fault;
use crate::language::check::{QuantityId, Sort};
use crate::workbook::change::{self, Change};
use crate::workbook::text::ALIGNED_ROWS;

/// Where the work of a change begins at a node.
#[derive(Default)]
struct Start {
    /// Items to be worked again in any case.
    items: BTreeSet<usize>,
    /// Whether a formula has changed.
    formulas: bool,
}

impl Engine {
    /// Applies a change and works what it reaches.
    ///
    /// # Errors
    /// Where the change does not fit the workbook; then nothing has changed.
    pub fn apply(&mut self, change: &Change) -> Result<Ran, Fault> {
        self.apply_back(change).map(|(ran, _)| ran)
    }

    /// The same, with the change that takes it back.
    ///
    /// # Errors
    /// Where the change does not fit the workbook; then nothing has changed.
    pub fn apply_back(&mut self, change: &Change) -> Result<(Ran, Change), Fault> {
        let before = edits::before(&self.workbook, change);
        let back = change::apply(&mut self.workbook, change)?;
        let mut ran = Ran::default();
        let done = before.map_or(Err(Vec::new()), |before| self.follow(&before, &mut ran));
        if let Err(touched) = done {
            self.plan(&mut ran, &touched);
        }
        Ok((ran, back))
    }

    /// Follows a change of lines and cells that leaves names, items and sorts as they are. `Err`: plan anew, and work these nodes again in
    /// any case.
    fn follow(&mut self, before: &[Before], ran: &mut Ran) -> Result<(), Vec<QuantityId>> {
        let edits = edits::after(&self.workbook, &self.book, &self.settlement, before).ok_or_else(Vec::new)?;
        let mut faults = false;
        let mut start: BTreeMap<QuantityId, Start> = BTreeMap::new();
        for (before, edits) in before.iter().zip(edits) {
            for edit in edits {
                faults |= edit.faults || self.shown_in_faults(edit.id, before);
                if let Some((list, row, name)) = edit.named {
                    faults |= self.rename_row(list, row, name);
                }
                let start = start.entry(edit.id).or_default();
                start.items.extend(edit.item);
                start.formulas |= edit.formulas;
            }
        }
        let ids: Vec<QuantityId> = start.keys().copied().collect();
        let mut wave = Vec::with_capacity(ids.len());
        let mut arrange = false;
        for (id, Start { items, formulas }) in start {
            let mut items = Items::Some(items.into_iter().collect());
            if formulas {
                let Some((changed, faulty)) = self.settle_again(id, ran) else {
                    return Err(ids);
                };
                items.join(changed);
                faults |= faulty;
                arrange |= self.reach.set_reads(&self.book, &self.settlement, id);
            }
            wave.push((id, items));
        }
        if arrange {
            self.reach.arrange(&self.book);
            // A loop is settled with all of its names at once.
            if ids.iter().any(|id| self.reach.knotted(*id)) {
                return Err(ids);
            }
        }
        self.let_go();
        let (changed, more) = self.wave(wave, ran);
        self.publish(&changed);
        for id in ids {
            self.describe(id);
        }
        if faults || more {
            self.report();
        }
        Ok(())
    }

    /// Settles the formulas of one node again: the items whose formula is another one now, and whether one has faults or had. `None` where
    /// all names have to be settled.
    fn settle_again(&mut self, id: QuantityId, ran: &mut Ran) -> Option<(Items, bool)> {
        let old = self.settlement.get(id).cloned();
        let same = settle::settle_one(&self.workbook, &self.book, &mut self.settlement, id, ran);
        // What is not known yet may turn out to be a loop: that is seen only with all names at once.
        let unknown = |settled: Option<&Settled>| {
            settled.is_none_or(|settled| settled.looped.is_some() || matches!(settled.sort, Sort::Unknown))
        };
        let new = self.settlement.get(id);
        if !same || unknown(old.as_ref()) || unknown(new) {
            return None;
        }
        let (old, new) = (old?, new?);
        let count = self.book.sheet_of(id).map_or(0, |sheet| sheet.items.count());
        Some((changed_items(&old, new, count), has_faults(&old) || has_faults(new)))
    }

    /// Gives a row of a list another name. Whether faults are told of it.
    fn rename_row(&mut self, list: usize, row: usize, name: Arc<str>) -> bool {
        let (Some(sheet), Some(results)) = (self.book.sheets.get_mut(list), self.results.sheets.get_mut(list)) else {
            return true;
        };
        let was = results.items.get(row).cloned();
        // Let go, so that the names of a long list need not be copied.
        results.items = Arc::default();
        sheet.items.rename(row, name);
        results.items = sheet.items.names.clone();
        let mut faults = self.results.faults.iter();
        faults.any(|placed| placed.item.as_deref() == was.as_deref() && was.is_some())
    }

    /// Whether the text that changes is shown beside faults, which then have to be shown with the new one.
    fn shown_in_faults(&self, id: QuantityId, before: &Before) -> bool {
        let faulty = |id: QuantityId| self.done.get(id.0 as usize).map(|done| &done.faulty);
        match before {
            Before::Row(list, row, ..) => self.book.sheets.get(*list).is_some_and(|sheet| {
                // Rows of a short list are aligned: a longer cell moves the other rows too.
                let rows = self.results.sheets.get(*list).map_or(0, |sheet| sheet.items.len());
                sheet.entries.iter().any(|entry| {
                    faulty(entry.id)
                        .is_some_and(|faulty| faulty.contains(row) || rows <= ALIGNED_ROWS && !faulty.is_empty())
                })
            }),
            Before::Line(..) => faulty(id).is_some_and(|faulty| !faulty.is_empty()),
        }
    }

    /// Puts changed cells into the results.
    fn publish(&mut self, changed: &BTreeSet<QuantityId>) {
        for (sheet, results) in self.book.sheets.iter().zip(&mut self.results.sheets) {
            if results.items.len() <= LONG {
                continue;
            }
            for entry in sheet.entries.iter().filter(|entry| entry.sense == Sense::Quantity) {
                let shelf = self.shelves.get(entry.id.0 as usize).copied().unwrap_or(usize::MAX);
                if let (Some(quantity), Some(done)) =
                    (results.quantities.get_mut(shelf), self.done.get(entry.id.0 as usize))
                {
                    quantity.cells = done.cells.clone();
                }
            }
        }
        for id in changed {
            let Some(entry) = self.book.entry(*id) else {
                continue;
            };
            let shelf = self.shelves.get(id.0 as usize).copied().unwrap_or(usize::MAX);
            let (Some(done), Some(sheet)) = (self.done.get(id.0 as usize), self.results.sheets.get_mut(entry.sheet))
            else {
                continue;
            };
            match entry.sense {
                Sense::Quantity => {
                    if let Some(quantity) = sheet.quantities.get_mut(shelf) {
                        quantity.cells = done.cells.clone();
                        quantity.notes = notes_of(done);
                        quantity.bands = bands_of(done);
                    }
                }
                Sense::Check => {
                    if let Some(check) = sheet.checks.get_mut(shelf) {
                        check.cells = done.verdicts.clone();
                    }
                }
                Sense::Flag => {
                    if let Some(flag) = sheet.flags.get_mut(shelf) {
                        flag.cells = done.verdicts.clone();
                    }
                }
            }
        }
    }

    /// Puts what the line of a quantity says of itself into the results.
    fn describe(&mut self, id: QuantityId) {
        let Some(entry) = self.book.entry(id) else {
            return;
        };
        let shelf = self.shelves.get(id.0 as usize).copied().unwrap_or(usize::MAX);
        match entry.sense {
            Sense::Quantity => {
                let made = self.quantity_results(entry);
                if let Some(slot) = self
                    .results
                    .sheets
                    .get_mut(entry.sheet)
                    .and_then(|sheet| sheet.quantities.get_mut(shelf))
                {
                    *slot = made;
                }
            }
            Sense::Check | Sense::Flag => {}
        }
    }
}

fn has_faults(settled: &Settled) -> bool {
    !settled.faults.is_empty()
        || settled.looped.is_some()
        || settled.slots.iter().any(|slot| !slot.typed.faults.is_empty())
}
