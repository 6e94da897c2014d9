//! The engine: a workbook in, results out; an edit in, only what it reaches worked again.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::bands::Drawn;
use super::book::{self, Book, Entry, Handles, Sense};
use super::judge;
use super::published::tables_of_line;
use super::reach::{Items, Reach};
use super::report::report;
use super::results::{Band, CheckResults, QuantityResults, Ran, Results, SheetResults, Trace};
use super::settle::{self, Settled, Settlement, quantity_of, statement_of};
use super::stepped;
use super::trace::Tracer;
use super::typed_as::{typed_as, typed_over};
use super::waves::{Done, View, Wave};
use crate::language::check::{QuantityId, Sort};
use crate::language::work::{Outcome, Remark};
use crate::quantity::System;
use crate::workbook::{Form, Role, Statement, Workbook};

/// Lists longer than this give up their results while a change runs, so that their columns need not be copied.
pub(super) const LONG: usize = 256;

/// A workbook and everything worked from it.
#[derive(Debug)]
pub struct Engine {
    pub(super) workbook: Workbook,
    pub(super) handles: Handles,
    pub(super) book: Book,
    pub(super) settlement: Settlement,
    pub(super) reach: Reach,
    pub(super) done: Vec<Done>,
    pub(super) results: Results,
    /// Place of a node among the quantities, checks or flags of its sheet in the results.
    pub(super) shelves: Vec<usize>,
}

impl Engine {
    /// Works a whole workbook.
    pub fn new(workbook: Workbook) -> Engine {
        Engine::worked(workbook).0
    }

    /// Works a whole workbook, and says what was checked and worked.
    pub fn worked(workbook: Workbook) -> (Engine, Ran) {
        let mut engine = Engine {
            workbook,
            handles: Handles::default(),
            book: Book::default(),
            settlement: Settlement::default(),
            reach: Reach::default(),
            done: Vec::new(),
            results: Results::default(),
            shelves: Vec::new(),
        };
        let mut ran = Ran::default();
        engine.plan(&mut ran, &[]);
        (engine, ran)
    }

    /// The inputs.
    pub fn workbook(&self) -> &Workbook {
        &self.workbook
    }

    /// The inputs, given back.
    pub fn into_workbook(self) -> Workbook {
        self.workbook
    }

    /// What they give.
    pub fn results(&self) -> &Results {
        &self.results
    }

    /// How a cell came about. Sheet, quantity and item as they stand in the results; `None` for a value without a formula and
    /// for what is not there.
    pub fn trace(&self, sheet: &str, quantity: &str, item: usize) -> Option<Trace> {
        let place = self.book.by_name.get(sheet)?;
        let id = self.book.sheets.get(*place)?.names.get(quantity)?;
        self.tracer(System::AsWritten).trace(self.book.entry(*id)?, item)
    }

    /// The same by places in the results.
    pub fn trace_at(&self, sheet: usize, quantity: usize, item: usize) -> Option<Trace> {
        self.trace_in(sheet, quantity, item, System::AsWritten)
    }

    /// The same with values in the units of a system.
    pub fn trace_in(&self, sheet: usize, quantity: usize, item: usize, system: System) -> Option<Trace> {
        let entry = self.entry_at(sheet, Sense::Quantity, quantity)?;
        self.tracer(system).trace(entry, item)
    }

    /// A line by its place among those of its sense in the results.
    pub(super) fn entry_at(&self, sheet: usize, sense: Sense, place: usize) -> Option<&Entry> {
        let entries = &self.book.sheets.get(sheet)?.entries;
        entries.iter().filter(|entry| entry.sense == sense).nth(place)
    }

    /// Both sides of a check for an item, in the units of a system: by its place among the checks, or the flags, of a sheet.
    pub fn sides_in(
        &self,
        (sheet, check, at): (usize, bool, usize),
        item: usize,
        system: System,
    ) -> Option<(String, String)> {
        let sense = if check { Sense::Check } else { Sense::Flag };
        let entry = self.entry_at(sheet, sense, at)?;
        let slot = self.settlement.get(entry.id)?.slot_of(item)?;
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        judge::sides(&view, self.book.sheets.get(sheet)?, slot, item, system)
    }

    /// The givens a check or flag rests on for an item, nearest first: by its place among the checks, or the flags, of a sheet.
    pub fn check_rests_on(
        &self,
        (sheet, check, at): (usize, bool, usize),
        item: usize,
        system: System,
    ) -> Vec<super::RestsOn> {
        let sense = if check { Sense::Check } else { Sense::Flag };
        let entry = self.entry_at(sheet, sense, at);
        entry.map_or_else(Vec::new, |entry| self.tracer(system).rests_on(entry.id, item))
    }

    fn tracer(&self, system: System) -> Tracer<'_> {
        Tracer {
            system,
            workbook: &self.workbook,
            book: &self.book,
            settlement: &self.settlement,
            reach: &self.reach,
            done: &self.done,
        }
    }

    /// Reads, checks and orders everything anew; what is still good is taken over. `touched` are worked again in any case.
    pub(super) fn plan(&mut self, ran: &mut Ran, touched: &[QuantityId]) {
        self.let_go();
        let old_book = std::mem::take(&mut self.book);
        let old = std::mem::take(&mut self.settlement);
        self.book = book::read(&self.workbook, &mut self.handles, &stepped::steps);
        self.settlement = settle::settle(&self.workbook, &self.book, old.clone(), ran);
        super::lines::check(&self.workbook, &mut self.book, &self.settlement);
        self.reach = Reach::new(&self.book, &self.settlement);
        self.done.resize_with(self.handles.nodes(), Done::nothing);
        for (slot, node) in self.done.iter_mut().zip(&self.book.nodes) {
            if node.is_none() {
                *slot = Done::nothing();
            }
        }
        let mut start = self.stale(&old_book, &old);
        start.extend(touched.iter().map(|id| (*id, Items::All)));
        self.wave(start, ran);
        self.publish_all();
        self.report();
    }

    /// Nodes whose results may no longer be right.
    fn stale(&self, old_book: &Book, old: &Settlement) -> Vec<(QuantityId, Items)> {
        let moved: BTreeSet<_> = self
            .book
            .sheets
            .iter()
            .filter(|sheet| {
                old_book
                    .sheet(sheet.id)
                    .is_none_or(|before| before.items.names != sheet.items.names)
            })
            .map(|sheet| sheet.id)
            .collect();
        let mut start = Vec::new();
        for entry in self.book.entries() {
            let at = entry.id.0 as usize;
            let own_sheet = self.book.sheets.get(entry.sheet).map(|sheet| sheet.id);
            let shaped = self
                .reach
                .shapes
                .get(at)
                .is_some_and(|shapes| shapes.iter().any(|sheet| moved.contains(sheet)));
            let whole = old_book.entry(entry.id).is_none()
                || own_sheet.is_some_and(|sheet| moved.contains(&sheet))
                || shaped
                || entry.fixed.is_some()
                || entry.copied.is_some()
                || entry.column.is_some()
                || old_book.entry(entry.id).is_some_and(|before| before.column.is_some());
            let count = self.book.sheets.get(entry.sheet).map_or(0, |sheet| sheet.items.count());
            let items = match (whole, old.get(entry.id), self.settlement.get(entry.id)) {
                (true, _, _) => Items::All,
                (false, Some(before), Some(after)) => changed_items(before, after, count),
                _ => Items::All,
            };
            if !items.is_none() || count == 0 {
                start.push((entry.id, if count == 0 { Items::All } else { items }));
            }
        }
        start
    }

    pub(super) fn wave(&mut self, start: Vec<(QuantityId, Items)>, ran: &mut Ran) -> (BTreeSet<QuantityId>, bool) {
        let mut wave = Wave {
            workbook: &self.workbook,
            book: &self.book,
            settlement: &self.settlement,
            reach: &self.reach,
            done: &mut self.done,
            ran,
            changed: BTreeSet::new(),
            faults_changed: false,
            drawn: Drawn::default(),
        };
        wave.run(start);
        (wave.changed, wave.faults_changed)
    }

    /// Lets the results of long lists go, so that their columns can be changed in place.
    pub(super) fn let_go(&mut self) {
        let empty: Arc<[Outcome]> = Vec::new().into();
        for sheet in &mut self.results.sheets {
            if sheet.items.len() > LONG {
                for quantity in &mut sheet.quantities {
                    quantity.cells = empty.clone();
                }
            }
        }
    }

    pub(super) fn report(&mut self) {
        let (faults, accepted) = report(&self.workbook, &self.book, &self.settlement, &self.done);
        self.results.faults = faults;
        self.results.accepted = accepted;
    }

    fn publish_all(&mut self) {
        self.shelves = vec![0; self.done.len()];
        let mut sheets = Vec::with_capacity(self.book.sheets.len());
        for (sheet, text) in self.book.sheets.iter().zip(&self.workbook.sheets) {
            let mut made = SheetResults {
                name: text.name.clone(),
                title: text.title.clone(),
                form: sheet.form,
                items: sheet.items.names.clone(),
                quantities: Vec::new(),
                checks: Vec::new(),
                flags: Vec::new(),
                notes: text
                    .lines
                    .iter()
                    .filter_map(|line| match &line.statement {
                        Statement::Note(text) => Some(text.clone()),
                        _ => None,
                    })
                    .collect(),
            };
            for entry in &sheet.entries {
                let shelf = match entry.sense {
                    Sense::Quantity => {
                        made.quantities.push(self.quantity_results(entry));
                        made.quantities.len() - 1
                    }
                    Sense::Check => {
                        made.checks.extend(self.check_results(entry));
                        made.checks.len().saturating_sub(1)
                    }
                    Sense::Flag => {
                        made.flags.extend(self.check_results(entry));
                        made.flags.len().saturating_sub(1)
                    }
                };
                if let Some(slot) = self.shelves.get_mut(entry.id.0 as usize) {
                    *slot = shelf;
                }
            }
            sheets.push(made);
        }
        self.results.sheets = sheets;
    }

    pub(super) fn quantity_results(&self, entry: &Entry) -> QuantityResults {
        let quantity = quantity_of(&self.workbook, entry);
        let settled = self.settlement.get(entry.id);
        let done = self.done.get(entry.id.0 as usize);
        let role = quantity.map_or(Role::Given, |quantity| quantity.role);
        QuantityResults {
            name: entry.name.clone(),
            title: quantity.and_then(|quantity| quantity.title.clone()).unwrap_or_default(),
            role,
            sort: settled.map_or(Sort::Unknown, |settled| settled.sort.clone()),
            rounding: quantity.and_then(|quantity| quantity.rounding.clone()),
            source: quantity.and_then(|quantity| quantity.source.clone()),
            from: quantity.and_then(|quantity| quantity.from.clone()),
            cells: done.map_or_else(|| Vec::new().into(), |done| done.cells.clone()),
            own: settled.map_or_else(Vec::new, |settled| settled.own.keys().copied().collect()),
            over: settled.map_or_else(Vec::new, |settled| typed_over(settled, role)),
            notes: done.map_or_else(Vec::new, notes_of),
            bands: done.map_or_else(Vec::new, bands_of),
            tables: settled.map_or_else(Vec::new, tables_of_line),
            typed: settled.map_or_else(Vec::new, |settled| {
                let items = done.map_or(0, |done| done.cells.len());
                typed_as(&self.workbook, entry, settled, role, items)
            }),
        }
    }

    fn check_results(&self, entry: &Entry) -> Option<CheckResults> {
        let (formula, text) = match statement_of(&self.workbook, entry)? {
            Statement::Check { formula, text } | Statement::Flag { formula, text } => (formula, text),
            _ => return None,
        };
        Some(CheckResults {
            text: if text.is_empty() {
                formula.text.to_string()
            } else {
                text.clone()
            },
            formula: formula.text.clone(),
            cells: self
                .done
                .get(entry.id.0 as usize)
                .map_or_else(Vec::new, |done| done.verdicts.clone()),
            tables: self.settlement.get(entry.id).map_or_else(Vec::new, tables_of_line),
        })
    }

    /// Whether a sheet is a list.
    pub fn is_list(&self, sheet: usize) -> bool {
        self.book
            .sheets
            .get(sheet)
            .is_some_and(|sheet| sheet.form == Form::List)
    }
}

pub(super) fn bands_of(done: &Done) -> Vec<(usize, Arc<Band>)> {
    let spreads = done.spreads.iter();
    spreads
        .filter_map(|(item, spread)| Some((*item, spread.band.clone()?)))
        .collect()
}

/// What a reader of the cells should know, by item: also why there are no limits.
pub(super) fn notes_of(done: &Done) -> Vec<(usize, Remark)> {
    let own = (done.notes.iter()).flat_map(|(item, notes)| notes.iter().map(|note| (*item, note.clone())));
    let spreads = done.spreads.iter();
    let without = spreads.filter_map(|(item, spread)| Some((*item, Remark::Words(spread.without_band()?.into()))));
    let mut notes: Vec<(usize, Remark)> = own.chain(without).collect();
    notes.sort_by_key(|(item, _)| *item);
    notes
}

/// Items whose formula is not what it was.
pub(super) fn changed_items(before: &Settled, after: &Settled, count: usize) -> Items {
    let sort = super::scope::same_sort(&before.sort, &after.sort);
    let typed = |settled: &Settled, index: Option<usize>| {
        index
            .and_then(|index| settled.slots.get(index))
            .map(|slot| Arc::as_ptr(&slot.typed))
    };
    if !sort
        || before.looped != after.looped
        || before.line != after.line
        || typed(before, before.default) != typed(after, after.default)
    {
        return Items::All;
    }
    let of = |settled: &Settled, item: usize| {
        let index = settled
            .own
            .get(&item)
            .copied()
            .or_else(|| settled.by_item.get(item).copied().flatten());
        typed(settled, index)
    };
    let mut asked: BTreeSet<usize> = before.own.keys().chain(after.own.keys()).copied().collect();
    asked.extend(0..before.by_item.len().max(after.by_item.len()).min(count));
    Items::Some(
        asked
            .into_iter()
            .filter(|item| *item < count && of(before, *item) != of(after, *item))
            .collect(),
    )
}
