//! A change in, and only what it reaches checked and worked again.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::book::Sense;
use super::edits::{self, Before};
use super::engine::{Engine, LONG, bands_of, changed_items, notes_of};
use super::results::Ran;
use super::settle::{self, Settled};
use crate::fault::Fault;
use crate::language::check::{QuantityId, Sort};
use crate::workbook::Workbook;
use crate::workbook::change::{self, Change};
use crate::workbook::text::ALIGNED_ROWS;

/// Cells of a change that are followed one by one.
const FEW: usize = 16;

/// The cells of lists that a change is of, in order, where it is of a few of them and nothing else.
fn few_cells<'c>(book: &Workbook, change: &'c Change) -> Option<Vec<&'c Change>> {
    let mut open = vec![change];
    let mut cells = Vec::new();
    while let Some(change) = open.pop() {
        match change {
            Change::Several(parts) => open.extend(parts.iter().rev()),
            change if matches!(change.reach(book), change::Reach::Row(..)) => cells.push(change),
            _ => return None,
        }
        if cells.len() + open.len() > FEW {
            return None;
        }
    }
    Some(cells)
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
        match few_cells(&self.workbook, change) {
            Some(cells) if cells.len() > 1 => self.one_by_one(&cells),
            _ => self.at_once(change).map(|(ran, back, _)| (ran, back)),
        }
    }

    /// Follows each of a few cells by itself, where all at once would be planned anew. Where one is planned anew, so is the rest, at once.
    fn one_by_one(&mut self, cells: &[&Change]) -> Result<(Ran, Change), Fault> {
        let mut ran = Ran::default();
        let mut backs = Vec::new();
        let mut left = cells;
        while let Some((first, rest)) = left.split_first() {
            let done = match backs.last() {
                Some((_, true)) => {
                    let rest = left.iter().map(|cell| (*cell).clone()).collect();
                    left = &[];
                    self.at_once(&Change::Several(rest))
                }
                _ => {
                    left = rest;
                    self.at_once(first)
                }
            };
            match done {
                Ok((more, back, planned)) => {
                    ran.extend(more);
                    backs.push((back, planned));
                }
                Err(fault) => {
                    // What was just done can be taken back.
                    for (back, _) in backs.iter().rev() {
                        let _ = self.at_once(back);
                    }
                    return Err(fault);
                }
            }
        }
        let backs = backs.into_iter().rev().map(|(back, _)| back);
        Ok((ran, Change::Several(backs.collect())))
    }

    /// What was checked and worked, what takes it back, and whether all was planned anew.
    fn at_once(&mut self, change: &Change) -> Result<(Ran, Change, bool), Fault> {
        let before = edits::before(&self.workbook, change);
        let back = change::apply(&mut self.workbook, change)?;
        let mut ran = Ran::default();
        let touched = match before {
            Some(before) => self.follow(&before, &mut ran),
            None => Err(None),
        };
        if let Err(touched) = touched {
            self.plan(&mut ran, touched);
        }
        Ok((ran, back, touched.is_err()))
    }

    /// Follows a change of one line or cell that leaves names, items and sorts as they are. `Err`: plan anew, and
    /// work this node again in any case.
    fn follow(&mut self, before: &Before, ran: &mut Ran) -> Result<(), Option<QuantityId>> {
        let edit = edits::after(&self.workbook, &self.book, &self.settlement, before).ok_or(None)?;
        let id = edit.id;
        let mut items = edit.items;
        let mut faults = edit.faults || self.shown_in_faults(id, before);
        if let Some((list, row, name)) = edit.named {
            faults |= self.rename_row(list, row, name);
        }
        if edit.formulas {
            let old = self.settlement.get(id).cloned();
            let same = settle::settle_one(&self.workbook, &self.book, &mut self.settlement, id, ran);
            // What is not known yet may turn out to be a loop: that is seen only with all names at once.
            let unknown = |settled: Option<&Settled>| {
                settled.is_none_or(|settled| settled.looped.is_some() || matches!(settled.sort, Sort::Unknown))
            };
            if !same || unknown(old.as_ref()) || unknown(self.settlement.get(id)) {
                return Err(Some(id));
            }
            let count = self.book.sheet_of(id).map_or(0, |sheet| sheet.items.count());
            if let (Some(old), Some(new)) = (&old, self.settlement.get(id)) {
                items.join(changed_items(old, new, count));
                faults |= has_faults(old) || has_faults(new);
            }
            if self.reach.set_reads(&self.book, &self.settlement, id) {
                self.reach.arrange(&self.book);
                // A loop is settled with all of its names at once.
                if self.reach.knotted(id) {
                    return Err(Some(id));
                }
            }
        }
        self.let_go();
        let (changed, more) = self.wave(vec![(id, items)], ran);
        self.publish(&changed);
        self.describe(id);
        if faults || more {
            self.report();
        }
        Ok(())
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
            _ => faulty(id).is_some_and(|faulty| !faulty.is_empty()),
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
