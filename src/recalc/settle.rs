//! Checking all formulas in an order in which every name is settled before it is read.
//!
//! For: the sort of every quantity, and a typed formula for every formula of the workbook.
//! Always: a formula is checked again only when its text, its line's unit or kind, or an answer it was given has changed.
//! Not known here: values.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::book::{Book, Entry, Sense, Sheet};
use super::graph::Graph;
use super::names::{Mention, mentions};
use super::results::Ran;
use super::scope::{Asked, Asking, Sorts, same_sort};
use crate::fault::{Code, Fault, Span};
use crate::language::check::{self, CurveBody, QuantityId, Sort, Target, Typed, Which};
use crate::language::syntax::words::says_nothing;
use crate::language::syntax::{Expr, Literal, Node, ProductSign, WrittenUnit, parse};
use crate::quantity::{Family, Kind, PhasorForm, Unit, conversion};
use crate::standards::tables;
use crate::workbook::{Cell, Formula, KindText, Quantity, Role, Row, SeekGoal, Statement, SuchThat, Workbook};

/// Where a formula stands in its sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// In a line, from this byte of the line on.
    Line(usize, u32),
    /// In a cell of a row: row, column.
    Row(usize, usize),
}

/// A formula with what the checker made of it.
#[derive(Clone, Debug)]
pub(super) struct Slot {
    pub text: Arc<str>,
    pub tree: Arc<Expr>,
    /// Its text could not be read; the line carries the fault.
    pub faulty: bool,
    /// What could not be read in it.
    pub unread: Option<Arc<Fault>>,
    pub place: Place,
    pub typed: Arc<Typed>,
    /// Both sides of a check that compares a value with a limit, or with one on each side of it.
    pub sides: Option<Arc<Sides>>,
    /// A seek: limits and goal are more texts than one.
    pub seek: Option<Arc<SuchThat>>,
    asked: Arc<[Asked]>,
    aim: Aim,
}

/// Both sides of a comparison, each checked on its own.
#[derive(Debug)]
pub(super) struct Sides {
    /// The value that is compared.
    pub left: Typed,
    pub right: Typed,
    /// The limit before the value, where there is one on each side of it.
    pub before: Option<Typed>,
}

/// What a formula was checked for.
#[derive(Clone, Debug, PartialEq)]
enum Aim {
    Value {
        unit: Option<Arc<str>>,
        kind: Option<Kind>,
        text: bool,
        choice: Option<Arc<[Arc<str>]>>,
        form: Option<PhasorForm>,
        real: bool,
        slip: bool,
    },
    Condition,
}

impl Aim {
    fn of(target: &Target) -> Aim {
        Aim::Value {
            unit: target.unit.as_ref().map(|unit| unit.text.clone()),
            kind: target.kind,
            text: target.text,
            choice: target.choice.clone(),
            form: target.form,
            real: target.real,
            slip: target.slip,
        }
    }
}

/// What is settled of an entry.
#[derive(Clone, Debug)]
pub(super) struct Settled {
    pub sort: Sort,
    pub slots: Vec<Slot>,
    /// The formula of all items without one of their own.
    pub default: Option<usize>,
    /// The place of the value that decides the sort, where each case has its own.
    pub decides: usize,
    /// One formula for each item (an empty place is `None`); empty where there is one for all.
    pub by_item: Vec<Option<usize>>,
    /// Items with their own formula.
    pub own: BTreeMap<usize, usize>,
    /// Faults of the line that belong to no formula.
    pub faults: Vec<Fault>,
    /// What is wrong with the line itself (its unit, its kind, the number of its values), so that no value of it can be trusted.
    pub line: Option<Fault>,
    /// The names of a loop whose sort cannot be settled, and whether it is reported here.
    pub looped: Option<(Arc<str>, bool)>,
}

impl Settled {
    fn empty() -> Settled {
        Settled {
            sort: Sort::Unknown,
            slots: Vec::new(),
            default: None,
            decides: 0,
            by_item: Vec::new(),
            own: BTreeMap::new(),
            faults: Vec::new(),
            line: None,
            looped: None,
        }
    }

    /// The formula that works an item, if one does.
    pub fn slot_of(&self, item: usize) -> Option<&Slot> {
        let index = self
            .own
            .get(&item)
            .copied()
            .or_else(|| self.by_item.get(item).copied().flatten())
            .or(self.default)?;
        self.slots.get(index)
    }

    /// The items each formula works, its own ones first; a formula of all items is not asked.
    pub fn items(&self) -> Vec<Vec<usize>> {
        let mut items = vec![Vec::new(); self.slots.len()];
        let own = self.own.iter().map(|(item, slot)| (*item, *slot));
        let cases = self.by_item.iter().enumerate();
        for (item, slot) in own.chain(cases.filter_map(|(item, slot)| Some((item, (*slot)?)))) {
            if let Some(items) = items.get_mut(slot) {
                items.push(item);
            }
        }
        items
    }
}

/// Everything that is settled.
#[derive(Clone, Debug, Default)]
pub(super) struct Settlement {
    pub nodes: Vec<Option<Settled>>,
    pub sorts: Sorts,
}

impl Settlement {
    pub fn get(&self, id: QuantityId) -> Option<&Settled> {
        self.nodes.get(id.0 as usize)?.as_ref()
    }

    /// Whether a formula asks for items of a sheet by their names, or for those of other sheets by its own.
    pub fn asks_by_name(&self, book: &Book, sheet: &Sheet) -> bool {
        let asks = |entry: &Entry, asked: &Asked| match asked {
            Asked::HasItem(of, Which::Key(_), _) => *of == sheet.id,
            Asked::SameCase(of, _) => {
                let own = book.sheet_of(entry.id).map(|own| own.id);
                own != Some(*of) && (*of == sheet.id || own == Some(sheet.id))
            }
            _ => false,
        };
        book.entries().any(|entry| {
            let slots = self.get(entry.id).map_or(&[][..], |settled| &settled.slots);
            let mut asked = slots.iter().flat_map(|slot| slot.asked.iter());
            asked.any(|asked| asks(entry, asked))
        })
    }
}

/// Checks what has to be checked.
pub(super) fn settle(workbook: &Workbook, book: &Book, old: Settlement, ran: &mut Ran) -> Settlement {
    let nodes = book.nodes.len();
    let mut settler = Settler {
        workbook,
        book,
        old,
        held: None,
        new: Settlement {
            nodes: vec![None; nodes],
            sorts: vec![None; nodes],
        },
        ran,
        calls: HashMap::new(),
    };
    settler.all();
    settler.new
}

/// Checks the formulas of one entry again; everything else stays. Gives back whether its sort is still the same.
pub(super) fn settle_one(
    workbook: &Workbook,
    book: &Book,
    settlement: &mut Settlement,
    id: QuantityId,
    ran: &mut Ran,
) -> bool {
    let Some(entry) = book.entry(id) else {
        return false;
    };
    let before = settlement.sorts.get(id.0 as usize).cloned().flatten();
    let held = settlement.nodes.get_mut(id.0 as usize).and_then(Option::take);
    let mut settler = Settler {
        workbook,
        book,
        old: Settlement::default(),
        // Its own old formulas may be taken over.
        held: held.map(|held| (id, held)),
        new: std::mem::take(settlement),
        ran,
        calls: HashMap::new(),
    };
    if entry.sense == Sense::Quantity {
        settler.sort(entry);
    }
    settler.rest(entry);
    *settlement = settler.new;
    match (before, settlement.sorts.get(id.0 as usize).cloned().flatten()) {
        (Some(before), Some(after)) => same_sort(&before, &after),
        (None, None) => true,
        _ => false,
    }
}

/// Whether a published table of this name has such a column.
fn is_column(table: &str, name: &str) -> bool {
    tables::find(table).is_some_and(|table| table.column(name).is_some())
}

struct Settler<'a> {
    workbook: &'a Workbook,
    book: &'a Book,
    old: Settlement,
    /// What an entry that is settled alone was before.
    held: Option<(QuantityId, Settled)>,
    new: Settlement,
    ran: &'a mut Ran,
    /// What definitions and curves mention, by sheet and name.
    calls: HashMap<(usize, crate::language::syntax::Name), Vec<QuantityId>>,
}

impl<'a> Settler<'a> {
    fn all(&mut self) {
        let mut edges: Vec<(u32, u32)> = Vec::new();
        for entry in self.book.entries().filter(|entry| entry.sense == Sense::Quantity) {
            for dependence in self.reads(entry) {
                edges.push((entry.id.0, dependence.0));
            }
        }
        edges.sort_unstable();
        edges.dedup();
        let graph = Graph::new(self.book.nodes.len(), &edges);
        for component in graph.components() {
            let lone = match component.as_slice() {
                [node] => !graph.of(*node).contains(node),
                _ => false,
            };
            if lone {
                self.sort_of(component.first().copied());
            } else {
                self.knot(&graph, &component);
            }
        }
        let book = self.book;
        for entry in book.entries().filter(|entry| entry.sense == Sense::Quantity) {
            // Which name was meant is asked with all sorts known, as after a change of this line alone.
            if self.is_offered_a_name(entry.id) {
                self.sort(entry);
            }
        }
        for entry in book.entries() {
            self.rest(entry);
        }
    }

    fn is_offered_a_name(&self, id: QuantityId) -> bool {
        let offered = |fault: &Fault| fault.code == Code::UNKNOWN_NAME && !fault.fixes.is_empty();
        self.new.get(id).is_some_and(|settled| {
            settled.looped.is_none() && settled.slots.iter().any(|slot| slot.typed.faults.iter().any(offered))
        })
    }

    fn sort_of(&mut self, node: Option<u32>) {
        let book = self.book;
        if let Some(entry) = node.and_then(|node| book.entry(QuantityId(node)))
            && entry.sense == Sense::Quantity
        {
            self.sort(entry);
        }
    }

    /// Quantities that read each other: those that say their unit or kind are known beforehand.
    fn knot(&mut self, graph: &Graph, component: &[u32]) {
        let book = self.book;
        let mut open: Vec<u32> = Vec::new();
        let mut known: Vec<u32> = Vec::new();
        for node in component {
            let declared = book.entry(QuantityId(*node)).and_then(|entry| self.declared(entry));
            match declared {
                Some(sort) => {
                    if let Some(slot) = self.new.sorts.get_mut(*node as usize) {
                        *slot = Some(sort);
                    }
                    known.push(*node);
                }
                None => open.push(*node),
            }
        }
        let place: HashMap<u32, u32> = (0_u32..).zip(&open).map(|(place, node)| (*node, place)).collect();
        let mut inner: Vec<(u32, u32)> = Vec::new();
        for node in &open {
            for dependence in graph.of(*node) {
                if let (Some(reader), Some(read)) = (place.get(node), place.get(dependence)) {
                    inner.push((*read, *reader));
                }
            }
        }
        let order = Graph::new(open.len(), &inner);
        let sorted = order.order();
        let done: std::collections::HashSet<u32> = sorted.iter().copied().collect();
        for index in sorted {
            self.sort_of(open.get(index as usize).copied());
        }
        let left: Vec<u32> = (0_u32..)
            .zip(&open)
            .filter(|(index, _)| !done.contains(index))
            .map(|(_, node)| *node)
            .collect();
        if !left.is_empty() {
            self.unsettled(graph, &left);
        }
        for node in known {
            self.sort_of(Some(node));
        }
    }

    /// Names that lead back to themselves before any unit is known, and those that read them.
    fn unsettled(&mut self, graph: &Graph, left: &[u32]) {
        let book = self.book;
        let mut ways: HashMap<u32, (Arc<str>, bool)> = HashMap::new();
        let place: HashMap<u32, u32> = (0_u32..).zip(left).map(|(place, node)| (*node, place)).collect();
        let mut inner: Vec<(u32, u32)> = Vec::new();
        for (node, at) in &place {
            let read = graph.of(*node).iter().filter_map(|read| place.get(read));
            inner.extend(read.map(|read| (*at, *read)));
        }
        inner.sort_unstable();
        let small = Graph::new(left.len(), &inner);
        for component in small.components() {
            let mut members: Vec<(u32, QuantityId)> = component
                .iter()
                .filter_map(|at| left.get(*at as usize).map(|node| (*at, QuantityId(*node))))
                .collect();
            members.sort_by_key(|(_, id)| book.nodes.get(id.0 as usize).copied());
            let Some((first, _)) = members.first().copied() else {
                continue;
            };
            let inside: std::collections::HashSet<u32> = component.iter().copied().collect();
            let way = small.way_back(first, &|node| inside.contains(&node));
            if way.is_empty() {
                // It reads a loop without being part of it.
                continue;
            }
            let names: Vec<String> = way
                .iter()
                .chain(way.first())
                .filter_map(|at| left.get(*at as usize))
                .filter_map(|node| book.entry(QuantityId(*node)))
                .map(|entry| entry.name.to_string())
                .collect();
            let names: Arc<str> = Arc::from(names.join(" → "));
            for (at, id) in members {
                ways.insert(id.0, (names.clone(), at == first));
            }
        }
        for node in left {
            if let Some(sort) = self.new.sorts.get_mut(*node as usize) {
                *sort = Some(Sort::Unknown);
            }
        }
        for node in left {
            // The formula is checked all the same, so that its other faults are seen.
            self.sort_of(Some(*node));
            if let Some(way) = ways.remove(node)
                && let Some(Some(settled)) = self.new.nodes.get_mut(*node as usize)
            {
                settled.looped = Some(way);
            }
        }
    }

    /// The quantities that have to be settled before the sort of this one can be.
    fn reads(&mut self, entry: &Entry) -> Vec<QuantityId> {
        if let Some(copied) = &entry.copied {
            return self
                .book
                .by_name
                .get(&copied.list)
                .and_then(|place| self.book.sheets.get(*place))
                .and_then(|sheet| sheet.names.get(&copied.by))
                .copied()
                .into_iter()
                .collect();
        }
        let Some(quantity) = quantity_of(self.workbook, entry) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        if let Some(first) = quantity.values.iter().flatten().next() {
            self.collect(entry.sheet, &first.tree, &mut out);
            // `n/a` is no value of n, rather than n by something that is not there.
            if says_nothing(&first.text) && out.contains(&entry.id) && out.len() < mentions(&first.tree).len() {
                out.clear();
            }
        }
        if let Some(such_that) = &quantity.such_that {
            for formula in formulas_of(such_that) {
                self.collect(entry.sheet, &formula.tree, &mut out);
            }
            // The unknown itself is bound by the equation, not read.
            out.retain(|id| *id != entry.id);
        }
        let toleranced = |tree: &Expr| {
            matches!(&tree.node, Node::Toleranced { .. })
                || matches!(&tree.node, Node::Negative(inner) if matches!(inner.node, Node::Toleranced { .. }))
        };
        if quantity
            .values
            .iter()
            .flatten()
            .any(|formula| toleranced(&formula.tree))
        {
            // In its own tolerance the name means the number as typed.
            out.retain(|id| *id != entry.id);
        }
        out
    }

    fn collect(&mut self, sheet: usize, tree: &Expr, out: &mut Vec<QuantityId>) {
        let book = self.book;
        let Some(own) = book.sheets.get(sheet) else {
            return;
        };
        let far = |name: &str| book.by_name.get(name).and_then(|place| book.sheets.get(*place));
        for mention in mentions(tree) {
            match mention {
                // A published table waits for nothing.
                Mention::Plain(name, Some(list)) if far(&list).is_none() && is_column(&list, &name) => {}
                Mention::Plain(name, list) => {
                    let listed = list.and_then(|list| far(&list)).and_then(|list| list.names.get(&name));
                    out.extend(listed.or_else(|| own.names.get(&name)).copied());
                }
                Mention::Far(sheet, name, _) => {
                    out.extend(far(&sheet).and_then(|sheet| sheet.names.get(&name)).copied());
                }
                Mention::Call(name) | Mention::HandedOn(name) => {
                    let key = (sheet, name);
                    if let Some(known) = self.calls.get(&key) {
                        out.extend(known.iter().copied());
                        continue;
                    }
                    // Set before it is worked, so that a definition that calls itself comes to an end.
                    self.calls.insert(key.clone(), Vec::new());
                    let mut inner = Vec::new();
                    for (body, bound) in self.bodies(sheet, &key.1) {
                        let mut found = Vec::new();
                        self.collect(sheet, &body, &mut found);
                        found.retain(|id| {
                            book.entry(*id)
                                .is_none_or(|entry| !bound.contains(&entry.name) || entry.sheet != sheet)
                        });
                        inner.extend(found);
                    }
                    out.extend(inner.iter().copied());
                    self.calls.insert(key, inner);
                }
            }
        }
    }

    /// The formulas behind a call, with the names bound in them.
    fn bodies(&self, sheet: usize, name: &str) -> Vec<(Arc<Expr>, Vec<crate::language::syntax::Name>)> {
        let Some(own) = self.book.sheets.get(sheet) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        if let Some(made) = own.definitions.get(name).or_else(|| self.book.definitions.get(name)) {
            let bound = made.what.parameters.iter().map(|(name, _)| name.clone()).collect();
            out.push((made.what.body.clone(), bound));
        }
        if let Some(made) = own.curves.get(name).or_else(|| self.book.curves.get(name)) {
            match &made.what.body {
                CurveBody::Formula(body, _) => out.push((body.clone(), vec![made.what.parameter.0.clone()])),
                CurveBody::Points(points) => {
                    for (x, y) in points.iter() {
                        out.push((Arc::new(x.clone()), Vec::new()));
                        out.push((Arc::new(y.clone()), Vec::new()));
                    }
                }
            }
        }
        out
    }

    /// The sort a line says by itself, where it says enough.
    fn declared(&self, entry: &Entry) -> Option<Sort> {
        let quantity = quantity_of(self.workbook, entry)?;
        let target = target_of(quantity);
        if target.unit.is_none() && target.kind.is_none() && !target.text && target.choice.is_none() {
            return None;
        }
        let us = self.book.sheets.get(entry.sheet).is_some_and(|sheet| sheet.us);
        sample(&target, None, us, &Asking::new(self.book, &self.new.sorts, entry.sheet)).map(|typed| typed.sort)
    }

    /// Settles the sort of a quantity, and checks the formula that decides it.
    fn sort(&mut self, entry: &Entry) {
        let mut settled = Settled::empty();
        if let Some(copied) = &entry.copied {
            let source = self
                .book
                .by_name
                .get(&copied.list)
                .and_then(|place| self.book.sheets.get(*place))
                .and_then(|sheet| sheet.names.get(&copied.by));
            settled.sort = source
                .and_then(|id| self.new.sorts.get(id.0 as usize).cloned().flatten())
                .unwrap_or(Sort::Unknown);
            self.put(entry.id, settled);
            return;
        }
        if entry.fixed.is_some() {
            if let Some(Statement::CasesOver { from, .. }) = statement_of(self.workbook, entry) {
                let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
                settled.sort = check::formula(&from.tree, &from.text, &Target::default(), &asking).sort;
            }
            self.put(entry.id, settled);
            return;
        }
        let Some(quantity) = quantity_of(self.workbook, entry) else {
            self.put(entry.id, settled);
            return;
        };
        let target = target_of(quantity);
        let us = self.book.sheets.get(entry.sheet).is_some_and(|sheet| sheet.us);
        if let Some(such_that) = &quantity.such_that {
            let slot = self.seek(entry, quantity, such_that, &target);
            settled.sort = slot.typed.sort.clone();
            settled.slots.push(slot);
            settled.default = Some(0);
        } else if let Some((at, slot)) = self.deciding(entry, quantity, &target) {
            settled.sort = slot.typed.sort.clone();
            settled.decides = at;
            settled.slots.push(slot);
            if quantity.values.len() == 1 {
                settled.default = Some(0);
            }
        } else {
            let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
            let first = first_cell(self.workbook, entry);
            match sample(&target, first, us, &asking) {
                Some(typed) => {
                    settled.sort = typed.sort;
                    let place = quantity.unit.as_ref().map_or(quantity.name_span, |unit| unit.span);
                    settled.faults.extend(typed.faults.into_iter().map(|mut fault| {
                        fault.span = place;
                        fault.notes.clear();
                        fault.fixes.clear();
                        fault
                    }));
                }
                None => {
                    settled.sort = match first {
                        Some(Cell::Text(_) | Cell::Word(_)) => Sort::Text,
                        _ => Sort::Unknown,
                    };
                }
            }
        }
        self.put(entry.id, settled);
    }

    /// The value that decides the sort of all, by its place: the first that can be read, else the first there is. A wrong one does
    /// not change the unit of the others; nor does a formula in one case of a given where another is written with its unit.
    fn deciding(&mut self, entry: &Entry, quantity: &Quantity, target: &Target) -> Option<(usize, Slot)> {
        let mut first = None;
        let is_given = quantity.role == Role::Given;
        let values = quantity.values.iter().enumerate();
        let mut order: Vec<_> = values
            .filter_map(|(at, formula)| Some((at, formula.as_ref()?)))
            .collect();
        // A phasor in the first place makes phasors of all.
        if let Some((at, formula)) = order.first().filter(|_| is_given && order.len() > 1) {
            let slot = self.value(entry, formula, Place::Line(entry.line, formula.at), target);
            if matches!(slot.typed.sort, Sort::Quantity { phasor: Some(_), .. }) && !slot.faulty {
                return Some((*at, slot));
            }
        }
        order.sort_by_key(|(_, formula)| !(is_given && written_in(&formula.tree).is_some()));
        for (at, formula) in order {
            // What is worked from numbers in per cent is shown in it, as the numbers are.
            let mut aim = target.clone();
            if let Some(unit) =
                written_in(&formula.tree).filter(|_| is_given && !matches!(formula.tree.node, Node::Number(_)))
            {
                aim.unit.get_or_insert_with(|| unit.clone());
            }
            let slot = self.value(entry, formula, Place::Line(entry.line, formula.at), &aim);
            if !slot.faulty && slot.typed.faults.iter().all(|fault| !fault.is_error()) {
                return Some((at, slot));
            }
            first.get_or_insert((at, slot));
        }
        first
    }

    fn put(&mut self, id: QuantityId, settled: Settled) {
        let slot = id.0 as usize;
        if self.new.nodes.len() <= slot {
            self.new.nodes.resize(slot + 1, None);
            self.new.sorts.resize(slot + 1, None);
        }
        if let Some(sort) = self.new.sorts.get_mut(slot) {
            *sort = Some(settled.sort.clone());
        }
        if let Some(node) = self.new.nodes.get_mut(slot) {
            *node = Some(settled);
        }
    }

    /// Checks all formulas of an entry that do not decide its sort.
    fn rest(&mut self, entry: &Entry) {
        match entry.sense {
            Sense::Quantity => self.rest_of_quantity(entry),
            Sense::Check | Sense::Flag => {
                let formula = match statement_of(self.workbook, entry) {
                    Some(Statement::Check { formula, .. } | Statement::Flag { formula, .. }) => formula,
                    _ => return,
                };
                let mut slot = self.condition(entry, formula);
                let line = self
                    .workbook
                    .sheets
                    .get(entry.sheet)
                    .and_then(|sheet| sheet.lines.get(entry.line));
                // What was read in place of the sign that was written is not judged: it may not be what is meant.
                if line.is_some_and(|line| line.faults.iter().any(|fault| fault.code == Code::OPERATOR_FORM)) {
                    slot.faulty = true;
                    slot.typed = Arc::new(Typed {
                        op: None,
                        ..(*slot.typed).clone()
                    });
                }
                let mut settled = Settled::empty();
                settled.sort = Sort::Truth;
                settled.slots.push(slot);
                settled.default = Some(0);
                self.put(entry.id, settled);
            }
        }
    }

    fn rest_of_quantity(&mut self, entry: &Entry) {
        let Some(quantity) = quantity_of(self.workbook, entry) else {
            return;
        };
        let Some(mut settled) = self.new.nodes.get_mut(entry.id.0 as usize).and_then(Option::take) else {
            return;
        };
        settled.line = line_fault(self.workbook, self.book, entry, quantity);
        let target = target_for_cells(quantity, &settled.sort);
        if quantity.values.len() > 1 {
            for (at, formula) in quantity.values.iter().enumerate() {
                let Some(formula) = formula else {
                    settled.by_item.push(None);
                    continue;
                };
                if at == settled.decides {
                    settled.by_item.push(Some(0));
                    continue;
                }
                let slot = self.value(entry, formula, Place::Line(entry.line, formula.at), &target);
                settled.by_item.push(Some(settled.slots.len()));
                settled.slots.push(slot);
            }
        }
        for (item, line) in &entry.at {
            let Some(Statement::At { formula, .. }) = self
                .workbook
                .sheets
                .get(entry.sheet)
                .and_then(|sheet| sheet.lines.get(*line))
                .map(|line| &line.statement)
            else {
                continue;
            };
            let slot = self.value(entry, formula, Place::Line(*line, formula.at), &target);
            settled.own.insert(*item, settled.slots.len());
            settled.slots.push(slot);
        }
        if let Some(column) = entry.column {
            let workbook = self.workbook;
            let rows = workbook.sheets.get(entry.sheet).and_then(|sheet| sheet.rows.as_ref());
            for (item, row) in rows.iter().flat_map(|rows| rows.rows.iter().enumerate()) {
                let Some(Cell::Formula(formula)) = cell_of(row, column) else {
                    continue;
                };
                let slot = self.value(entry, formula, Place::Row(item, column), &target);
                settled.own.insert(item, settled.slots.len());
                settled.slots.push(slot);
            }
        }
        if let Some(node) = self.new.nodes.get_mut(entry.id.0 as usize) {
            *node = Some(settled);
        }
    }

    /// An old slot for the same text and aim whose answers still hold.
    fn kept(&self, entry: &Entry, text: &str, aim: &Aim, place: Place) -> Option<Slot> {
        let old = match &self.held {
            Some((id, held)) if *id == entry.id => held,
            _ => self.old.get(entry.id)?,
        };
        let slot = old.slots.iter().find(|slot| *slot.text == *text && slot.aim == *aim)?;
        let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
        asking.still(&slot.asked).then(|| Slot { place, ..slot.clone() })
    }

    fn value(&mut self, entry: &Entry, formula: &Formula, place: Place, target: &Target) -> Slot {
        let aim = Aim::of(target);
        if let Some(kept) = self.kept(entry, &formula.text, &aim, place) {
            return kept;
        }
        self.ran.checked(self.book, entry.id);
        let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
        let typed = check::formula(&formula.tree, &formula.text, target, &asking);
        slot(formula, place, typed, asking, aim)
    }

    fn condition(&mut self, entry: &Entry, formula: &Formula) -> Slot {
        let place = Place::Line(entry.line, formula.at);
        if let Some(kept) = self.kept(entry, &formula.text, &Aim::Condition, place) {
            return kept;
        }
        self.ran.checked(self.book, entry.id);
        let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
        let typed = check::condition(&formula.tree, &formula.text, &asking);
        let sides = match &formula.tree.node {
            Node::Compare(first, rest) if typed.op.is_some() => {
                let side = |tree: &Expr| check::formula(tree, &formula.text, &Target::default(), &asking);
                match rest.as_slice() {
                    [(_, right)] => Some(Arc::new(Sides {
                        left: side(first),
                        right: side(right),
                        before: None,
                    })),
                    [(_, value), (_, right)] => Some(Arc::new(Sides {
                        left: side(value),
                        right: side(right),
                        before: Some(side(first)),
                    })),
                    _ => None,
                }
            }
            _ => None,
        };
        let mut made = slot(formula, place, typed, asking, Aim::Condition);
        made.sides = sides;
        made
    }

    fn seek(&mut self, entry: &Entry, quantity: &Quantity, such_that: &SuchThat, target: &Target) -> Slot {
        let aim = Aim::of(target);
        let text: Arc<str> = self
            .workbook
            .sheets
            .get(entry.sheet)
            .and_then(|sheet| sheet.lines.get(entry.line))
            .map_or_else(|| Arc::from(""), |line| line.text.clone());
        let place = Place::Line(entry.line, 0);
        if let Some(kept) = self.kept(entry, &text, &aim, place) {
            return kept;
        }
        self.ran.checked(self.book, entry.id);
        let asking = Asking::new(self.book, &self.new.sorts, entry.sheet);
        let typed = super::seeking::check(such_that, &quantity.name, target, &asking);
        let tree = Arc::new(Expr {
            node: Node::Bad,
            span: Span::new(0, text.len()),
        });
        Slot {
            text,
            tree,
            faulty: false,
            unread: None,
            place,
            typed: Arc::new(typed),
            sides: None,
            seek: Some(Arc::new(such_that.clone())),
            asked: asking.asked.into_inner().into(),
            aim,
        }
    }
}

fn slot(formula: &Formula, place: Place, mut typed: Typed, asking: Asking<'_>, aim: Aim) -> Slot {
    let wrong = |fault: &Fault| fault.is_error();
    let faults = if formula.faulty {
        parse(&formula.text).1
    } else {
        Vec::new()
    };
    // What was read in place of the sign that was written is not worked: it may not be what is meant.
    if faults.iter().any(|fault| fault.code == Code::OPERATOR_FORM) {
        typed.op = None;
    }
    Slot {
        unread: faults.into_iter().find(wrong).map(Arc::new),
        text: formula.text.clone(),
        tree: formula.tree.clone(),
        faulty: formula.faulty,
        place,
        typed: Arc::new(typed),
        sides: None,
        seek: None,
        asked: asking.asked.into_inner().into(),
        aim,
    }
}

/// A fault of a line outside its formulas that leaves its values in doubt. How a value is shown, or where it comes from, does not.
fn line_fault(workbook: &Workbook, book: &Book, entry: &Entry, quantity: &Quantity) -> Option<Fault> {
    let line = workbook.sheets.get(entry.sheet)?.lines.get(entry.line)?;
    let equation = quantity.such_that.iter().flat_map(|such_that| formulas_of(such_that));
    let formulas: Vec<(u32, u32)> = quantity
        .values
        .iter()
        .flatten()
        .chain(equation)
        .map(|formula| {
            (
                formula.at,
                formula.at + u32::try_from(formula.text.len()).unwrap_or(u32::MAX),
            )
        })
        .collect();
    let outside = |fault: &Fault| {
        !formulas
            .iter()
            .any(|(from, to)| fault.span.start >= *from && fault.span.end <= *to)
    };
    let of_book = book
        .sheets
        .get(entry.sheet)
        .into_iter()
        .flat_map(|sheet| &sheet.faults)
        .filter(|(at, fault)| *at == Some(entry.line) && fault.code == Code::CASE_COUNT)
        .map(|(_, fault)| fault);
    line.faults
        .iter()
        .chain(of_book)
        .find(|fault| {
            fault.is_error()
                && ![Code::ROUNDING, Code::CLAUSE_MISPLACED].contains(&fault.code)
                && (fault.code == Code::CASE_COUNT || outside(fault))
        })
        .cloned()
}

/// All formulas of an equation.
pub(super) fn formulas_of(such_that: &SuchThat) -> Vec<&Formula> {
    let mut out = match &such_that.goal {
        SeekGoal::Equation(left, right) => vec![left, right],
        SeekGoal::Largest(value) | SeekGoal::Smallest(value) => vec![value],
    };
    if let Some((low, high)) = &such_that.between {
        out.extend([low, high]);
    }
    out
}

/// The statement of an entry.
pub(super) fn statement_of<'a>(workbook: &'a Workbook, entry: &Entry) -> Option<&'a Statement> {
    workbook
        .sheets
        .get(entry.sheet)?
        .lines
        .get(entry.line)
        .map(|line| &line.statement)
}

/// The `given`, `work` or `seek` of an entry.
pub(super) fn quantity_of<'a>(workbook: &'a Workbook, entry: &Entry) -> Option<&'a Quantity> {
    match statement_of(workbook, entry)? {
        Statement::Quantity(quantity) => Some(quantity),
        _ => None,
    }
}

/// A cell of a row.
pub(super) fn cell_of(row: &Row, column: usize) -> Option<&Cell> {
    row.cells.get(column)
}

/// The first cell of the column of an entry that is not empty.
fn first_cell<'a>(workbook: &'a Workbook, entry: &Entry) -> Option<&'a Cell> {
    let column = entry.column?;
    let rows = workbook.sheets.get(entry.sheet)?.rows.as_ref()?;
    rows.rows
        .iter()
        .filter_map(|row| cell_of(row, column))
        .find(|cell| !matches!(cell, Cell::Blank | Cell::Formula(_)))
}

/// What the line itself says of its result.
pub(super) fn target_of(quantity: &Quantity) -> Target {
    let mut target = Target {
        unit: quantity.unit.as_ref().map(|unit| unit.unit.clone()),
        form: quantity.form,
        name: Some(quantity.name.clone()),
        given: quantity.role == Role::Given,
        ..Target::default()
    };
    match &quantity.kind {
        Some(KindText::Kind(kind)) => target.kind = Some(*kind),
        Some(KindText::Text) => target.text = true,
        Some(KindText::Choice(words)) => target.choice = Some(words.clone()),
        None => {
            target.kind = said_by_title(quantity);
            let letter = quantity.name.split('_').next().unwrap_or("");
            let title = quantity.title.as_deref().unwrap_or("");
            let is_slip = |kind: Kind| kind.family() == Family::Slip;
            target.slip = matches!(letter, "s" | "slip") || Kind::titled(title, is_slip).is_some();
        }
    }
    target
}

/// The kind that the title of a given says, where none is declared: between what conductors a voltage is, in what a current. Only what
/// is written in a unit of it is believed.
fn said_by_title(quantity: &Quantity) -> Option<Kind> {
    let title = quantity.title.as_deref().filter(|_| quantity.role == Role::Given)?;
    let is_of_conductors = |kind: Kind| {
        let family = matches!(kind.family(), Family::Voltage { .. } | Family::Current { .. });
        family && (kind.words().starts_with("line ") || kind.words().starts_with("phase "))
    };
    let kind = Kind::titled(title, is_of_conductors)?;
    let usual = Unit::usual(kind, false);
    let fits = |unit: &Unit| conversion(unit, &usual).is_ok();
    let values = quantity.values.iter().flatten();
    let mut units = values.map(|value| written_in(&value.tree));
    let believed = match &quantity.unit {
        Some(written) => fits(&written.unit),
        None => !quantity.values.is_empty() && units.all(|unit| unit.is_some_and(fits)),
    };
    believed.then_some(kind)
}

/// The unit that a value is written in: that of a number, perhaps with what it may be off, of all parts of a sum of such, of one
/// factor beside plain numbers. `None` for everything else, and for what is worked from other quantities.
fn written_in(tree: &Expr) -> Option<&Unit> {
    match &tree.node {
        Node::Number(number) => number.unit.as_ref().map(|written| &written.unit),
        Node::Negative(inner) | Node::Toleranced { value: inner, .. } => written_in(inner),
        Node::Sum(terms) => {
            let (_, first) = terms.first()?;
            let unit = written_in(first)?;
            let same = |term: &Expr| written_in(term).is_some_and(|known| known.text == unit.text);
            terms.iter().all(|(_, term)| same(term)).then_some(unit)
        }
        Node::Product(factors) => {
            let is_number = |part: &Expr| matches!(&part.node, Node::Number(number) if number.unit.is_none());
            let mut others = factors.iter().filter(|(_, part)| !is_number(part));
            let (sign, only) = others.next()?;
            (others.next().is_none() && *sign == ProductSign::Times).then(|| written_in(only))?
        }
        _ => None,
    }
}

/// What a further cell of a settled quantity has to give.
pub(super) fn target_for_cells(quantity: &Quantity, sort: &Sort) -> Target {
    let mut target = target_of(quantity);
    match sort {
        Sort::Quantity { unit, phasor, .. } => {
            target.unit = Some(unit.clone());
            target.form = *phasor;
            target.real = phasor.is_none();
        }
        Sort::Text => target.text = true,
        Sort::Choice(words) => target.choice = Some(words.clone()),
        Sort::Truth | Sort::Unknown => {}
    }
    // A given without a kind may hold other kinds of the same dimension in its cells; a declared kind holds for all.
    if quantity.role != Role::Given && target.kind.is_none() {
        target.kind = None;
    }
    target
}

/// What a line without a formula says: checked with a one in its unit, the unit of its first cell, or the usual unit of its
/// kind. `None` where it says nothing.
fn sample(target: &Target, first: Option<&Cell>, us: bool, asking: &Asking<'_>) -> Option<Typed> {
    if target.text || target.choice.is_some() {
        let sort = match &target.choice {
            Some(words) => Sort::Choice(words.clone()),
            None => Sort::Text,
        };
        return Some(Typed {
            sort,
            op: None,
            reads: Vec::new(),
            places: Vec::new(),
            locals: 0,
            tolerances: 0,
            faults: Vec::new(),
        });
    }
    let unit: Option<Unit> = match (&target.unit, first, target.kind) {
        (Some(unit), _, _) => Some(unit.clone()),
        (None, Some(Cell::Number(_, unit)), _) => unit.as_ref().map(|unit| unit.as_ref().clone()),
        (None, _, Some(kind)) => Some(Unit::usual(kind, us)),
        (None, _, None) => return None,
    };
    let tree = Expr {
        node: Node::Number(Literal {
            value: rust_decimal::Decimal::ONE,
            unit: unit.map(|unit| WrittenUnit {
                unit,
                span: Span::default(),
            }),
        }),
        span: Span::default(),
    };
    Some(check::formula(&tree, "", target, asking))
}
