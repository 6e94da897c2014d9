//! Working what has to be worked, in order, until nothing changes any more.
//!
//! Always: a cell is worked at most once in a wave; an equal result reaches nobody; a column is worked as a column where all
//! of it is asked for.
//! Not known here: why something has to be worked.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap, HashMap};
use std::sync::Arc;

use super::bands::{Bander, Drawn, Spread};
use super::book::{Book, Entry, Sense, Sheet};
use super::graph::Graph;
use super::judge;
use super::literals::Literals;
use super::natural::Natural;
use super::reach::{Component, Items, Link, Reach, reached};
use super::results::{Ran, Verdict};
use super::settle::{Settled, Settlement, Slot};
use crate::fault::{Code, Words};
use crate::language::check::{QuantityId, SheetId, Sort};
use crate::language::work::{Cells, Found, Outcome, Program, Remark, Sums, WorkFault};
use crate::workbook::Workbook;

/// An item and what is to be said of its value.
type Remarks = (usize, Vec<Remark>);

/// What is worked of a node.
#[derive(Clone, Debug)]
pub(super) struct Done {
    /// A cell for each item of a quantity; what a check's condition gives.
    pub cells: Arc<[Outcome]>,
    /// For a check or flag.
    pub verdicts: Vec<Verdict>,
    /// Notes of items: "41 of 44 rows".
    pub notes: BTreeMap<usize, Vec<Remark>>,
    /// Items with a fault of their own that is found only with numbers.
    pub faulty: BTreeSet<usize>,
    /// Items that rest on tolerances.
    pub spreads: BTreeMap<usize, Spread>,
}

impl Done {
    pub fn nothing() -> Done {
        Done {
            cells: Vec::new().into(),
            verdicts: Vec::new(),
            notes: BTreeMap::new(),
            faulty: BTreeSet::new(),
            spreads: BTreeMap::new(),
        }
    }
}

/// Whether notes hold one that the report of faults tells of.
fn warns(notes: &[Remark]) -> bool {
    notes.iter().any(|note| note.remembered_table().is_some())
}

/// Worked cells as the evaluator reads them.
pub(super) struct View<'a> {
    pub book: &'a Book,
    pub done: &'a [Done],
}

impl Cells for View<'_> {
    fn column(&self, quantity: QuantityId) -> &[Outcome] {
        self.done.get(quantity.0 as usize).map_or(&[], |done| &done.cells)
    }

    fn sheet_of(&self, quantity: QuantityId) -> SheetId {
        self.book.sheet_of(quantity).map_or(SheetId(u32::MAX), |sheet| sheet.id)
    }

    fn count(&self, sheet: SheetId) -> usize {
        self.book.sheet(sheet).map_or(0, |sheet| sheet.items.count())
    }

    fn find(&self, sheet: SheetId, key: &str) -> Found {
        self.book
            .sheet(sheet)
            .map_or(Found::None, |sheet| sheet.items.find(key))
    }

    fn counterpart(&self, from: SheetId, item: usize, to: SheetId) -> Option<usize> {
        self.book
            .counterpart(self.book.sheet(from)?, item, self.book.sheet(to)?)
    }

    fn name(&self, quantity: QuantityId) -> String {
        self.book
            .entry(quantity)
            .map_or_else(String::new, |entry| entry.name.to_string())
    }

    fn sheet_name(&self, sheet: SheetId) -> String {
        self.book
            .sheet(sheet)
            .map_or_else(String::new, |sheet| sheet.name.to_string())
    }

    fn place(&self, sheet: SheetId, item: usize) -> String {
        self.book
            .sheet(sheet)
            .map_or_else(String::new, |sheet| sheet.items.place(item))
    }
}

/// A wave over the workbook.
pub(super) struct Wave<'a> {
    pub workbook: &'a Workbook,
    pub book: &'a Book,
    pub settlement: &'a Settlement,
    pub reach: &'a Reach,
    pub done: &'a mut Vec<Done>,
    pub ran: &'a mut Ran,
    /// Nodes whose results are not what they were.
    pub changed: BTreeSet<QuantityId>,
    /// Whether a fault came, went or changed.
    pub faults_changed: bool,
    /// Draws of cells worked in this wave.
    pub drawn: Drawn,
}

impl Wave<'_> {
    /// Works these items and all they reach.
    pub fn run(&mut self, start: Vec<(QuantityId, Items)>) {
        let mut open: HashMap<QuantityId, Items> = HashMap::new();
        let mut queue: BinaryHeap<Reverse<u32>> = BinaryHeap::new();
        for (id, items) in start {
            self.push(&mut open, &mut queue, id, items);
        }
        let mut last = None;
        while let Some(Reverse(rank)) = queue.pop() {
            if last == Some(rank) {
                continue;
            }
            last = Some(rank);
            let reach = self.reach;
            let Some(component) = reach.components.get(rank as usize) else {
                continue;
            };
            let changes = if component.knotted {
                self.knot(component, &mut open)
            } else {
                component
                    .nodes
                    .iter()
                    .filter_map(|id| {
                        let items = open.remove(id)?;
                        let changed = self.column(*id, items.clone());
                        Some((*id, self.spread_out(*id, items, changed)))
                    })
                    .collect()
            };
            for (id, items) in changes {
                if items.is_none() {
                    continue;
                }
                self.changed.insert(id);
                let book = self.book;
                let Some(from) = book.sheet_of(id) else {
                    continue;
                };
                for reader in reach.readers(id) {
                    let inside = component.knotted && component.nodes.contains(&reader.node);
                    if !inside {
                        let items = reached(book, from, &items, reader);
                        self.push(&mut open, &mut queue, reader.node, items);
                    }
                }
            }
        }
    }

    fn push(
        &self,
        open: &mut HashMap<QuantityId, Items>,
        queue: &mut BinaryHeap<Reverse<u32>>,
        id: QuantityId,
        items: Items,
    ) {
        let Some(rank) = self
            .reach
            .rank
            .get(id.0 as usize)
            .copied()
            .filter(|rank| *rank != u32::MAX)
        else {
            return;
        };
        if items.is_none() {
            return;
        }
        open.entry(id).or_insert_with(Items::none).join(items);
        queue.push(Reverse(rank));
    }

    /// Works a node on its own; the items whose result is not what it was.
    fn column(&mut self, id: QuantityId, items: Items) -> Items {
        let (book, settlement) = (self.book, self.settlement);
        let (Some(entry), Some(sheet), Some(settled)) = (book.entry(id), book.sheet_of(id), settlement.get(id)) else {
            return Items::none();
        };
        let count = sheet.items.count();
        let held = self.done.get(id.0 as usize).map_or(0, |done| done.cells.len());
        let items = match items {
            _ if held != count => Items::All,
            Items::Some(items) if items.len() >= count && count > 1 => Items::All,
            other => other,
        };
        self.ran.worked(book, id, &items, count);
        if entry.sense != Sense::Quantity {
            return self.judge(entry, sheet, settled, items);
        }
        let view = View { book, done: self.done };
        let worker = Worker {
            workbook: self.workbook,
            view: &view,
            entry,
            sheet,
            settled,
        };
        match items {
            Items::All => {
                let (cells, notes) = worker.all();
                self.replace(id, cells, notes)
            }
            Items::Some(items) => {
                let items: Vec<usize> = items.into_iter().filter(|item| *item < count).collect();
                let worked = worker.some(&items);
                let mut changed = Vec::new();
                for (item, outcome, notes) in worked {
                    if self.set(id, item, outcome, notes) {
                        changed.push(item);
                    }
                }
                Items::Some(changed)
            }
        }
    }

    fn bander(&self) -> Bander<'_> {
        Bander {
            workbook: self.workbook,
            book: self.book,
            settlement: self.settlement,
            reach: self.reach,
            done: self.done,
        }
    }

    /// Works the bands of the cells that were worked; adds to what has changed the cells whose bands have.
    fn spread_out(&mut self, id: QuantityId, worked: Items, changed: Items) -> Items {
        let had = self
            .done
            .get(id.0 as usize)
            .is_some_and(|done| !done.spreads.is_empty());
        let concerns = self.bander().concerns(id);
        let quantity = self.book.entry(id).is_some_and(|entry| entry.sense == Sense::Quantity);
        if !quantity || !(had || concerns) {
            return changed;
        }
        let count = self.done.get(id.0 as usize).map_or(0, |done| done.cells.len());
        let items: Vec<usize> = match worked {
            Items::All => (0..count).collect(),
            Items::Some(items) => items.into_iter().filter(|item| *item < count).collect(),
        };
        let spreads = self.bander().spreads(id, &items, &self.drawn);
        let mut new: BTreeMap<usize, Spread> = spreads.into_iter().collect();
        let Some(done) = self.done.get_mut(id.0 as usize) else {
            return changed;
        };
        let mut others = Vec::new();
        let gone: Vec<usize> = done.spreads.range(count..).map(|(item, _)| *item).collect();
        for item in gone {
            done.spreads.remove(&item);
        }
        for item in items {
            let new = new.remove(&item);
            if done.spreads.get(&item) == new.as_ref() {
                continue;
            }
            match new {
                Some(new) => drop(done.spreads.insert(item, new)),
                None => drop(done.spreads.remove(&item)),
            }
            others.push(item);
        }
        if others.is_empty() {
            return changed;
        }
        self.changed.insert(id);
        let mut changed = changed;
        changed.join(Items::Some(others));
        changed
    }

    /// The natural limits of a given.
    fn natural(&self, id: QuantityId) -> Option<Natural> {
        Natural::of(self.workbook, self.book.entry(id)?, self.settlement.get(id)?)
    }

    /// Puts a whole column in place.
    fn replace(&mut self, id: QuantityId, cells: Vec<Outcome>, notes: Vec<Remarks>) -> Items {
        let natural = self.natural(id);
        let Some(done) = self.done.get_mut(id.0 as usize) else {
            return Items::none();
        };
        let faulty: BTreeSet<usize> = cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| own_fault(cell))
            .map(|(item, _)| item)
            .collect();
        let changed = if done.cells.len() == cells.len() {
            let changed: Vec<usize> = done
                .cells
                .iter()
                .zip(&cells)
                .enumerate()
                .filter(|(_, (old, new))| !same(old, new))
                .map(|(item, _)| item)
                .collect();
            Items::Some(changed)
        } else {
            Items::All
        };
        self.faults_changed |= !done.faulty.is_empty() || !faulty.is_empty();
        self.faults_changed |=
            natural.is_some_and(|natural| done.cells.iter().chain(&cells).any(|cell| natural.outside(cell)));
        done.faulty = faulty;
        let notes: BTreeMap<usize, Vec<Remark>> = notes.into_iter().collect();
        if notes != done.notes {
            self.faults_changed |= done.notes.values().chain(notes.values()).any(|notes| warns(notes));
            done.notes = notes;
            self.changed.insert(id);
        }
        if !changed.is_none() || done.cells.is_empty() {
            done.cells = cells.into();
        }
        changed
    }

    /// Puts one cell in place; whether it is another one now.
    fn set(&mut self, id: QuantityId, item: usize, outcome: Outcome, notes: Vec<Remark>) -> bool {
        let natural = self.natural(id);
        let Some(done) = self.done.get_mut(id.0 as usize) else {
            return false;
        };
        let held = match notes.is_empty() {
            true => done.notes.remove(&item),
            false => done.notes.insert(item, notes.clone()),
        };
        let held = held.unwrap_or_default();
        if held != notes {
            self.faults_changed |= warns(&held) || warns(&notes);
            self.changed.insert(id);
        }
        let old = done.cells.get(item);
        if old.is_some_and(|old| same(old, &outcome)) {
            return false;
        }
        self.faults_changed |=
            natural.is_some_and(|natural| natural.outside(&outcome) || old.is_some_and(|old| natural.outside(old)));
        let fault = own_fault(&outcome);
        self.faults_changed |= fault || done.faulty.contains(&item);
        if fault {
            done.faulty.insert(item);
        } else {
            done.faulty.remove(&item);
        }
        if let Some(cell) = Arc::make_mut(&mut done.cells).get_mut(item) {
            *cell = outcome;
        }
        true
    }

    fn judge(&mut self, entry: &Entry, sheet: &Sheet, settled: &Settled, items: Items) -> Items {
        let view = View {
            book: self.book,
            done: self.done,
        };
        let Some(slot) = settled.slots.first() else {
            return Items::none();
        };
        let count = sheet.items.count();
        let asked: Vec<usize> = match &items {
            Items::All => (0..count).collect(),
            Items::Some(items) => items.clone(),
        };
        let mut judged = judge::judge(&view, sheet, slot, &asked);
        let bander = self.bander();
        if bander.concerns(entry.id) {
            for (item, _, verdict, _) in &mut judged {
                verdict.in_doubt = verdict.holds.is_some() && bander.in_doubt(entry, sheet, slot, *item, &self.drawn);
                if verdict.margin.is_some() {
                    let least = bander.least_margin(entry, sheet, slot, *item, &self.drawn);
                    verdict.least = least.filter(|least| verdict.margin.as_ref() != Some(least));
                }
            }
        }
        let Some(done) = self.done.get_mut(entry.id.0 as usize) else {
            return Items::none();
        };
        if done.verdicts.len() != count {
            done.verdicts = vec![Verdict::not_worked(Words::default()); count];
            done.cells = vec![Outcome::truth(false); count].into();
            done.faulty.clear();
            done.notes.clear();
        }
        for (item, cell, verdict, notes) in judged {
            let fault = own_fault(&cell);
            if fault || done.faulty.contains(&item) {
                self.faults_changed = true;
            }
            if fault {
                done.faulty.insert(item);
            } else {
                done.faulty.remove(&item);
            }
            self.faults_changed |= warns(&notes);
            let held = match notes.is_empty() {
                true => done.notes.remove(&item),
                false => done.notes.insert(item, notes),
            };
            self.faults_changed |= held.is_some_and(|held| warns(&held));
            if let Some(held) = Arc::make_mut(&mut done.cells).get_mut(item) {
                *held = cell;
            }
            if let Some(held) = done.verdicts.get_mut(item) {
                *held = verdict;
            }
        }
        self.changed.insert(entry.id);
        Items::none()
    }

    /// Works nodes that read each other, cell by cell. Cells that lead back to themselves get a fault that names the loop.
    fn knot(&mut self, component: &Component, open: &mut HashMap<QuantityId, Items>) -> Vec<(QuantityId, Items)> {
        let (book, settlement) = (self.book, self.settlement);
        let knot = Knot::new(book, settlement, self.reach, component);
        let mut dirty = vec![false; knot.places.len()];
        let mut mark = |place: Option<usize>| {
            if let Some(slot) = place.and_then(|place| dirty.get_mut(place)) {
                *slot = true;
            }
        };
        for id in &component.nodes {
            let items = open.remove(id);
            let count = book.sheet_of(*id).map_or(0, |sheet| sheet.items.count());
            let Some(done) = self.done.get_mut(id.0 as usize) else {
                continue;
            };
            let fresh = done.cells.len() != count;
            if fresh {
                done.cells = vec![Outcome::blank(""); count].into();
                done.faulty.clear();
                done.notes.clear();
            }
            match items {
                _ if fresh => (0..count).for_each(|item| mark(knot.place(*id, item))),
                Some(Items::All) => (0..count).for_each(|item| mark(knot.place(*id, item))),
                Some(Items::Some(items)) => items.iter().for_each(|item| mark(knot.place(*id, *item))),
                None => {}
            }
        }
        let mut changed: HashMap<QuantityId, Vec<usize>> = HashMap::new();
        let mut ran: HashMap<QuantityId, Vec<usize>> = HashMap::new();
        let mut sums: Sums = HashMap::new();
        for group in knot.graph.components() {
            let lone = match group.as_slice() {
                [node] => !knot.graph.of(*node).contains(node),
                _ => false,
            };
            if !lone {
                let asked = group
                    .iter()
                    .any(|node| dirty.get(*node as usize).copied().unwrap_or(false));
                if asked {
                    for (id, item) in self.looped(&knot, &group) {
                        ran.entry(id).or_default().push(item);
                        changed.entry(id).or_default().push(item);
                    }
                    for node in &group {
                        knot.spread(*node, &mut dirty);
                    }
                }
                continue;
            }
            let Some(node) = group.first().copied() else {
                continue;
            };
            let asked = dirty.get(node as usize).copied().unwrap_or(false);
            match knot.places.get(node as usize) {
                Some(Cellular::Cell(id, item)) if asked => {
                    ran.entry(*id).or_default().push(*item);
                    let (outcome, notes) = self.cell(*id, *item, &sums);
                    let set = self.set(*id, *item, outcome, notes);
                    let spread = self.spread_out(*id, Items::Some(vec![*item]), Items::none());
                    if set || !spread.is_none() {
                        changed.entry(*id).or_default().push(*item);
                        knot.spread(node, &mut dirty);
                    }
                }
                Some(Cellular::Sum(id, item)) => {
                    // Sums are carried on in any case: the cells after them need them.
                    let cell = self.done.get(id.0 as usize).and_then(|done| done.cells.get(*item));
                    let list = sums.entry(*id).or_default();
                    if let Some(cell) = cell
                        && list.len() == *item
                    {
                        let next = crate::language::work::add_up(list.last(), cell, || {
                            book.entry(*id).map_or_else(String::new, |entry| entry.name.to_string())
                        });
                        list.push(next);
                    }
                    if asked {
                        knot.spread(node, &mut dirty);
                    }
                }
                Some(Cellular::Whole(_)) if asked => knot.spread(node, &mut dirty),
                _ => {}
            }
        }
        for (id, mut items) in ran {
            items.sort_unstable();
            let count = book.sheet_of(id).map_or(0, |sheet| sheet.items.count());
            let items = if items.len() == count {
                Items::All
            } else {
                Items::Some(items)
            };
            self.ran.worked(book, id, &items, count);
        }
        changed
            .into_iter()
            .map(|(id, mut items)| {
                items.sort_unstable();
                items.dedup();
                (id, Items::Some(items))
            })
            .collect()
    }

    fn cell(&self, id: QuantityId, item: usize, sums: &Sums) -> (Outcome, Vec<Remark>) {
        let (book, settlement) = (self.book, self.settlement);
        let (Some(entry), Some(sheet), Some(settled)) = (book.entry(id), book.sheet_of(id), settlement.get(id)) else {
            return (Outcome::blank(""), Vec::new());
        };
        let view = View { book, done: self.done };
        let worker = Worker {
            workbook: self.workbook,
            view: &view,
            entry,
            sheet,
            settled,
        };
        worker.one(item, Some(sums))
    }

    /// Gives the cells of a loop their fault.
    fn looped(&mut self, knot: &Knot, group: &[u32]) -> Vec<(QuantityId, usize)> {
        let book = self.book;
        let mut cells: Vec<(QuantityId, usize)> = group
            .iter()
            .filter_map(|node| match knot.places.get(*node as usize) {
                Some(Cellular::Cell(id, item)) => Some((*id, *item)),
                _ => None,
            })
            .collect();
        cells.sort_by_key(|(id, item)| (book.nodes.get(id.0 as usize).copied(), *item));
        let members: std::collections::HashSet<u32> = group.iter().copied().collect();
        let first = cells.first().and_then(|(id, item)| knot.place(*id, *item));
        let way = match first.and_then(|place| u32::try_from(place).ok()) {
            Some(first) => knot.graph.way_back(first, &|node| members.contains(&node)),
            None => Vec::new(),
        };
        let steps: Vec<(QuantityId, usize)> = way
            .iter()
            .filter_map(|node| match knot.places.get(*node as usize) {
                Some(Cellular::Cell(id, item)) => Some((*id, *item)),
                _ => None,
            })
            .collect();
        let one_item = steps.windows(2).all(|pair| matches!(pair, [(_, a), (_, b)] if a == b));
        let names: Vec<String> = steps
            .iter()
            .chain(steps.first())
            .map(|(id, item)| {
                let name = book.entry(*id).map_or("", |entry| &entry.name);
                match book.sheet_of(*id) {
                    Some(sheet) if !one_item => format!("{name}{}", sheet.items.place(*item)),
                    _ => name.to_owned(),
                }
            })
            .collect();
        let fault = WorkFault {
            code: Code::LOOP,
            message: format!("the names lead back to themselves: {}", names.join(" → ")).into(),
            help: Some("give one of them a value, or look for an unknown with `seek … such that …`".into()),
            passed_on: false,
        };
        let passed_on = Arc::new(WorkFault {
            passed_on: true,
            ..fault.clone()
        });
        let mut fault = Some(Arc::new(fault));
        let mut changed = Vec::new();
        for (id, item) in cells {
            let outcome = Outcome::Fault(fault.take().unwrap_or_else(|| passed_on.clone()));
            if self.set(id, item, outcome, Vec::new()) {
                changed.push((id, item));
            }
        }
        changed
    }
}

/// What is to be reported of a cell: a fault found with numbers, not one passed on.
fn own_fault(cell: &Outcome) -> bool {
    matches!(cell, Outcome::Fault(fault) if !fault.passed_on)
}

/// Equal for every reader: the same digits made the same way.
fn same(old: &Outcome, new: &Outcome) -> bool {
    match (old, new) {
        (Outcome::Fault(a), Outcome::Fault(b)) => Arc::ptr_eq(a, b) || a == b,
        (Outcome::Blank(a), Outcome::Blank(b)) => Arc::ptr_eq(a, b) || a == b,
        (a, b) => a == b,
    }
}

/// A node of the graph of cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cellular {
    Cell(QuantityId, usize),
    /// The sum of a column down to this item.
    Sum(QuantityId, usize),
    /// All cells of a column.
    Whole(QuantityId),
}

/// The graph of the cells of nodes that read each other.
struct Knot {
    places: Vec<Cellular>,
    cells: HashMap<QuantityId, usize>,
    /// From a cell to what it reads.
    graph: Graph,
    /// From a cell to who reads it.
    readers: Graph,
}

impl Knot {
    fn new(book: &Book, settlement: &Settlement, reach: &Reach, component: &Component) -> Knot {
        let mut places = Vec::new();
        let mut cells = HashMap::new();
        for id in &component.nodes {
            cells.insert(*id, places.len());
            let count = book.sheet_of(*id).map_or(0, |sheet| sheet.items.count());
            places.extend((0..count).map(|item| Cellular::Cell(*id, item)));
        }
        let mut edges: Vec<(u32, u32)> = Vec::new();
        let mut edge = |from: usize, to: usize| {
            if let (Ok(from), Ok(to)) = (u32::try_from(from), u32::try_from(to)) {
                edges.push((from, to));
            }
        };
        let mut sums: HashMap<QuantityId, usize> = HashMap::new();
        let mut wholes: HashMap<QuantityId, usize> = HashMap::new();
        for id in &component.nodes {
            let (Some(sheet), Some(base), Some(settled)) =
                (book.sheet_of(*id), cells.get(id).copied(), settlement.get(*id))
            else {
                continue;
            };
            for (read, link, only) in reach.reads(*id) {
                let (Some(source), Some(from)) = (cells.get(read).copied(), book.sheet_of(*read)) else {
                    continue;
                };
                let count = from.items.count();
                if *link == Link::Down && !sums.contains_key(read) {
                    let first = places.len();
                    sums.insert(*read, first);
                    for item in 0..count {
                        places.push(Cellular::Sum(*read, item));
                        edge(first + item, source + item);
                        if item > 0 {
                            edge(first + item, first + item - 1);
                        }
                    }
                }
                if *link == Link::Every && !wholes.contains_key(read) {
                    let whole = places.len();
                    wholes.insert(*read, whole);
                    places.push(Cellular::Whole(*read));
                    (0..count).for_each(|item| edge(whole, source + item));
                }
                let items = match only {
                    Some(item) => *item..*item + 1,
                    None => 0..sheet.items.count(),
                };
                for item in items {
                    let own = settled.own.contains_key(&item) || settled.by_item.get(item).is_some_and(Option::is_some);
                    if only.is_none() && own {
                        continue;
                    }
                    let target = match link {
                        Link::Same => Some(source + item),
                        Link::Case => book.counterpart(sheet, item, from).map(|item| source + item),
                        Link::Item(item) => (*item < count).then(|| source + item),
                        Link::Before => item.checked_sub(1).map(|item| source + item),
                        Link::Down => sums.get(read).map(|first| first + item),
                        Link::Every => wholes.get(read).copied(),
                    };
                    if let Some(target) = target {
                        edge(base + item, target);
                    }
                }
            }
        }
        edges.sort_unstable();
        edges.dedup();
        let back: Vec<(u32, u32)> = edges.iter().map(|(from, to)| (*to, *from)).collect();
        Knot {
            graph: Graph::new(places.len(), &edges),
            readers: Graph::new(places.len(), &back),
            places,
            cells,
        }
    }

    fn place(&self, id: QuantityId, item: usize) -> Option<usize> {
        Some(self.cells.get(&id)? + item)
    }

    fn spread(&self, node: u32, dirty: &mut [bool]) {
        for reader in self.readers.of(node) {
            if let Some(slot) = dirty.get_mut(*reader as usize) {
                *slot = true;
            }
        }
    }
}

/// Works the cells of one quantity.
pub(super) struct Worker<'a> {
    pub workbook: &'a Workbook,
    pub view: &'a View<'a>,
    pub entry: &'a Entry,
    pub sheet: &'a Sheet,
    pub settled: &'a Settled,
}

type Noted = (Outcome, Vec<Remark>);

impl<'a> Worker<'a> {
    fn unit(&self) -> &'a str {
        match &self.settled.sort {
            Sort::Quantity { unit, .. } => &unit.text,
            _ => "",
        }
    }

    /// One cell.
    pub fn one(&self, item: usize, sums: Option<&Sums>) -> Noted {
        if let Some(outcome) = self.unformed(item) {
            return (self.finish(outcome, item), Vec::new());
        }
        let literals = Literals::new(self.workbook, self.entry, self.settled);
        if !self.settled.own.contains_key(&item)
            && let Some(outcome) = literals.cell(item)
        {
            return (outcome, Vec::new());
        }
        let Some(slot) = self.settled.slot_of(item) else {
            return (self.missing(item), Vec::new());
        };
        let program = Program::new(&slot.typed, self.view, self.sheet.id, self.unit());
        match program {
            Some(program) => {
                let program = match sums {
                    Some(sums) => program.with_sums(sums),
                    None => program,
                };
                let worked = program.item(item);
                (self.finish(worked.outcome, item), worked.notes)
            }
            None => (self.unworkable(slot, item), Vec::new()),
        }
    }

    /// Some cells.
    pub fn some(&self, items: &[usize]) -> Vec<(usize, Outcome, Vec<Remark>)> {
        let default = self.settled.default.and_then(|index| self.settled.slots.get(index));
        let literals = Literals::new(self.workbook, self.entry, self.settled);
        let plain = self.settled.looped.is_none()
            && self.settled.line.is_none()
            && self.entry.fixed.is_none()
            && self.entry.copied.is_none();
        let program = default
            .filter(|_| plain && !literals.is_column())
            .and_then(|slot| Program::new(&slot.typed, self.view, self.sheet.id, self.unit()));
        let alone = |item: &usize| {
            self.settled.own.contains_key(item) || self.settled.by_item.get(*item).is_some_and(Option::is_some)
        };
        let Some(program) = program else {
            return items.iter().map(|item| self.alone(*item)).collect();
        };
        let (own, common): (Vec<usize>, Vec<usize>) = items.iter().partition(|item| alone(item));
        let mut out: Vec<(usize, Outcome, Vec<Remark>)> = own.into_iter().map(|item| self.alone(item)).collect();
        let worked = program.some(&common);
        out.extend(
            common
                .into_iter()
                .zip(worked)
                .map(|(item, worked)| (item, self.finish(worked.outcome, item), worked.notes)),
        );
        out.sort_by_key(|(item, _, _)| *item);
        out
    }

    fn alone(&self, item: usize) -> (usize, Outcome, Vec<Remark>) {
        let (outcome, notes) = self.one(item, None);
        (item, outcome, notes)
    }

    /// Values that need no formula and stand in no row.
    fn unformed(&self, item: usize) -> Option<Outcome> {
        if let Some(fault) = &self.settled.line {
            return Some(Outcome::Fault(Arc::new(WorkFault {
                code: fault.code,
                message: fault.message.clone(),
                help: fault.help.clone(),
                passed_on: false,
            })));
        }
        if let Some((looped, reported)) = &self.settled.looped {
            return Some(Outcome::Fault(Arc::new(WorkFault {
                code: Code::LOOP,
                message: format!("the names lead back to themselves: {looped}").into(),
                help: Some(
                    "give one of them a value; where the loop only goes from row to row, give the unit of one of them with `in`"
                        .into(),
                ),
                passed_on: !reported,
            })));
        }
        if let Some(fixed) = &self.entry.fixed {
            return Some(fixed.get(item).cloned().unwrap_or_else(|| self.missing(item)));
        }
        if let Some(copied) = &self.entry.copied {
            let book = self.view.book;
            let cell = book
                .by_name
                .get(&copied.list)
                .and_then(|place| book.sheets.get(*place))
                .and_then(|sheet| sheet.names.get(&copied.by))
                .and_then(|id| self.view.done.get(id.0 as usize))
                .and_then(|done| done.cells.get(*copied.rows.get(item)?));
            return Some(match cell {
                // It is told where the key stands.
                Some(Outcome::Fault(fault)) => Outcome::Fault(Arc::new(WorkFault {
                    passed_on: true,
                    ..(**fault).clone()
                })),
                Some(cell) => cell.clone(),
                None => self.missing(item),
            });
        }
        None
    }

    /// All cells.
    pub fn all(&self) -> (Vec<Outcome>, Vec<Remarks>) {
        let count = self.sheet.items.count();
        let simple = self.settled.looped.is_none()
            && self.settled.line.is_none()
            && self.entry.fixed.is_none()
            && self.entry.copied.is_none();
        if !simple {
            let cells = (0..count).map(|item| self.one(item, None).0).collect();
            return (cells, Vec::new());
        }
        let literals = Literals::new(self.workbook, self.entry, self.settled);
        let mut notes = Vec::new();
        let mut cells: Vec<Outcome>;
        if literals.is_column() {
            // Rows hold the values; the formula of the line serves the empty cells.
            cells = Vec::with_capacity(count);
            for item in 0..count {
                let outcome = match literals.cell(item) {
                    Some(outcome) if !self.settled.own.contains_key(&item) => outcome,
                    _ => {
                        let (outcome, some) = self.one(item, None);
                        if !some.is_empty() {
                            notes.push((item, some));
                        }
                        outcome
                    }
                };
                cells.push(outcome);
            }
            return (cells, notes);
        }
        let default = self.settled.default.and_then(|index| self.settled.slots.get(index));
        match default {
            Some(slot) => match Program::new(&slot.typed, self.view, self.sheet.id, self.unit()) {
                Some(program) => {
                    let (worked, some) = program.items(0..count);
                    cells = worked;
                    notes.extend(
                        some.into_iter()
                            .filter(|(item, _)| !self.settled.own.contains_key(item)),
                    );
                    for (item, cell) in cells.iter_mut().enumerate() {
                        if matches!(cell, Outcome::Blank(_)) {
                            *cell = self.finish(std::mem::replace(cell, Outcome::truth(false)), item);
                        }
                    }
                }
                None => cells = (0..count).map(|item| self.unworkable(slot, item)).collect(),
            },
            None => cells = (0..count).map(|item| self.missing(item)).collect(),
        }
        let others = self.settled.own.keys().copied();
        let cases = (0..count).filter(|item| self.settled.by_item.get(*item).is_some_and(Option::is_some));
        let mut others: Vec<usize> = others.chain(cases).collect();
        others.sort_unstable();
        others.dedup();
        for item in others {
            let (outcome, some) = self.one(item, None);
            if let Some(cell) = cells.get_mut(item) {
                *cell = outcome;
            }
            if !some.is_empty() {
                notes.push((item, some));
            }
        }
        (cells, notes)
    }

    /// A given without a value.
    fn missing(&self, item: usize) -> Outcome {
        Outcome::blank(format!(
            "{} is missing{}",
            self.entry.name,
            self.sheet.items.place(item)
        ))
    }

    /// A blank result says that it is not worked, and why.
    fn finish(&self, outcome: Outcome, _item: usize) -> Outcome {
        match outcome {
            Outcome::Blank(why) if !why.starts_with(NOT_WORKED) => Outcome::blank(format!("{NOT_WORKED}{why}")),
            other => other,
        }
    }

    /// The cell of a formula with faults.
    fn unworkable(&self, slot: &Slot, item: usize) -> Outcome {
        unworkable(self.view, self.sheet, slot, item)
    }
}

const NOT_WORKED: &str = "not worked: ";

/// The cell of a formula that cannot be worked: its own fault, or what stands in the cells it reads.
pub(super) fn unworkable(view: &View<'_>, sheet: &Sheet, slot: &Slot, item: usize) -> Outcome {
    if let Some(fault) = slot.typed.faults.iter().find(|fault| fault.is_error()) {
        return Outcome::Fault(Arc::new(WorkFault {
            code: fault.code,
            message: fault.message.clone(),
            help: fault.help.clone(),
            passed_on: false,
        }));
    }
    let mut blank = None;
    for read in &slot.typed.reads {
        let column = view.column(read.quantity);
        let own = view.sheet_of(read.quantity) == sheet.id;
        let cell = if own { column.get(item) } else { column.first() };
        match cell {
            Some(Outcome::Fault(fault)) => {
                return Outcome::Fault(Arc::new(WorkFault {
                    code: fault.code,
                    message: format!("not worked: {} has a fault", view.name(read.quantity)).into(),
                    help: Some(fault.message.clone()),
                    passed_on: true,
                }));
            }
            Some(Outcome::Blank(why)) => {
                blank.get_or_insert_with(|| why.clone());
            }
            _ => {}
        }
    }
    if let Some(why) = blank {
        return match why.starts_with(NOT_WORKED) {
            true => Outcome::Blank(why),
            false => Outcome::blank(format!("{NOT_WORKED}{why}")),
        };
    }
    let unread = slot.unread.as_deref();
    let message = match unread {
        Some(fault) => fault.message.clone(),
        None if slot.faulty => "the formula cannot be read".into(),
        None => "not worked: something it reads has a fault".into(),
    };
    Outcome::Fault(Arc::new(WorkFault {
        code: unread.map_or(Code::EXPECTED, |fault| fault.code),
        message,
        help: unread.and_then(|fault| fault.help.clone()),
        // The line that cannot be read carries the fault.
        passed_on: true,
    }))
}
