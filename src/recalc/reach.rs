//! Who reads whom, and which items of a reader a changed cell reaches.
//!
//! Not known here: values.

use std::collections::BTreeSet;

use super::book::{Book, Sheet};
use super::graph::Graph;
use super::settle::Settlement;
use crate::language::check::{Op, QuantityId, SheetId, Typed, Which};
use crate::language::work::{Found, each_part};

/// Which items of a quantity: none, some in ascending order, or all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Items {
    /// These, in ascending order.
    Some(Vec<usize>),
    /// Every one.
    All,
}

impl Items {
    /// No item.
    pub fn none() -> Items {
        Items::Some(Vec::new())
    }

    /// Whether it is no item.
    pub fn is_none(&self) -> bool {
        matches!(self, Items::Some(items) if items.is_empty())
    }

    /// Both together.
    pub fn join(&mut self, other: Items) {
        match (&mut *self, other) {
            (Items::All, _) => {}
            (held, Items::All) => *held = Items::All,
            (Items::Some(held), Items::Some(other)) => {
                if held.is_empty() {
                    *held = other;
                    return;
                }
                held.extend(other);
                held.sort_unstable();
                held.dedup();
            }
        }
    }
}

/// How an item of the reader is tied to the items it reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Link {
    /// The same item.
    Same,
    /// The same case of another sheet, or its only one.
    Case,
    /// This one item.
    Item(usize),
    /// The row before.
    Before,
    /// All rows down to the same one.
    Down,
    /// Every item.
    Every,
}

/// A reader of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Reader {
    pub node: QuantityId,
    pub link: Link,
    /// Only this item of the reader reads; `None`: all without a formula of their own.
    pub only: Option<usize>,
}

/// Who reads whom, and the order of work.
#[derive(Debug, Default)]
pub(super) struct Reach {
    /// Readers in one flat list, by the quantity they read.
    readers: Vec<Reader>,
    starts: Vec<usize>,
    /// Components in the order of work.
    pub components: Vec<Component>,
    /// Place of the component of each node.
    pub rank: Vec<u32>,
    /// What each node reads.
    reads: Vec<Vec<(QuantityId, Link, Option<usize>)>>,
    /// Sheets whose number or names of items matter to a node.
    pub shapes: Vec<BTreeSet<SheetId>>,
}

/// Nodes worked together.
#[derive(Clone, Debug)]
pub(super) struct Component {
    pub nodes: Vec<QuantityId>,
    /// Whether its nodes read each other, so that it has to be worked cell by cell.
    pub knotted: bool,
}

impl Reach {
    pub fn new(book: &Book, settlement: &Settlement) -> Reach {
        let nodes = book.nodes.len();
        let mut reach = Reach {
            reads: vec![Vec::new(); nodes],
            shapes: vec![BTreeSet::new(); nodes],
            ..Reach::default()
        };
        for entry in book.entries() {
            reach.set_reads(book, settlement, entry.id);
        }
        reach.arrange(book);
        reach
    }

    /// Looks again at what one node reads; whether it now reads other cells.
    pub fn set_reads(&mut self, book: &Book, settlement: &Settlement, id: QuantityId) -> bool {
        let (reads, shapes) = reads_of(book, settlement, id);
        let at = id.0 as usize;
        if let Some(slot) = self.shapes.get_mut(at) {
            *slot = shapes;
        }
        match self.reads.get_mut(at) {
            Some(slot) if *slot != reads => {
                *slot = reads;
                true
            }
            _ => false,
        }
    }

    /// Readers and order from what the nodes read.
    pub fn arrange(&mut self, book: &Book) {
        let nodes = self.reads.len();
        let mut pairs: Vec<(u32, Reader)> = Vec::new();
        let mut edges: Vec<(u32, u32)> = Vec::new();
        for (node, reads) in (0_u32..).zip(&self.reads) {
            for (read, link, only) in reads {
                let reader = Reader {
                    node: QuantityId(node),
                    link: *link,
                    only: *only,
                };
                pairs.push((read.0, reader));
                edges.push((node, read.0));
            }
        }
        pairs.sort_unstable();
        self.starts = vec![0; nodes + 1];
        for (read, _) in &pairs {
            if let Some(start) = self.starts.get_mut(*read as usize + 1) {
                *start += 1;
            }
        }
        let mut sum = 0;
        for start in &mut self.starts {
            sum += *start;
            *start = sum;
        }
        self.readers = pairs.into_iter().map(|(_, reader)| reader).collect();
        edges.sort_unstable();
        edges.dedup();
        let graph = Graph::new(nodes, &edges);
        self.components.clear();
        self.rank = vec![u32::MAX; nodes];
        for members in graph.components() {
            let knotted = members.len() > 1 || members.iter().any(|node| graph.of(*node).contains(node));
            let mut nodes: Vec<QuantityId> = members
                .iter()
                .map(|node| QuantityId(*node))
                .filter(|id| book.entry(*id).is_some())
                .collect();
            if nodes.is_empty() {
                continue;
            }
            nodes.sort_by_key(|id| book.nodes.get(id.0 as usize).copied());
            let rank = u32::try_from(self.components.len()).unwrap_or(u32::MAX);
            for id in &nodes {
                if let Some(slot) = self.rank.get_mut(id.0 as usize) {
                    *slot = rank;
                }
            }
            self.components.push(Component { nodes, knotted });
        }
    }

    /// Whether a node reads itself, by whatever way.
    pub fn knotted(&self, id: QuantityId) -> bool {
        let rank = self.rank.get(id.0 as usize).copied().unwrap_or(u32::MAX);
        self.components
            .get(rank as usize)
            .is_some_and(|component| component.knotted)
    }

    /// Who reads a node.
    pub fn readers(&self, id: QuantityId) -> &[Reader] {
        let at = id.0 as usize;
        match (self.starts.get(at), self.starts.get(at + 1)) {
            (Some(from), Some(to)) => self.readers.get(*from..*to).unwrap_or(&[]),
            _ => &[],
        }
    }

    /// What a node reads.
    pub fn reads(&self, id: QuantityId) -> &[(QuantityId, Link, Option<usize>)] {
        self.reads.get(id.0 as usize).map_or(&[], Vec::as_slice)
    }
}

/// A node that is read, by which sort of link, and which of its items where it is one.
type ReadNode = (QuantityId, Link, Option<usize>);

/// What a node reads and which sheets' items matter to it.
fn reads_of(book: &Book, settlement: &Settlement, id: QuantityId) -> (Vec<ReadNode>, BTreeSet<SheetId>) {
    let mut out = Vec::new();
    let mut shapes = BTreeSet::new();
    let (Some(entry), Some(sheet), Some(settled)) = (book.entry(id), book.sheet_of(id), settlement.get(id)) else {
        return (out, shapes);
    };
    if let Some(copied) = &entry.copied
        && let Some(list) = book.by_name.get(&copied.list).and_then(|place| book.sheets.get(*place))
    {
        shapes.insert(list.id);
        out.extend(list.names.get(&copied.by).map(|id| (*id, Link::Every, None)));
    }
    let items = settled.items();
    for (index, slot) in settled.slots.iter().enumerate() {
        // The formula of all items has no items of its own.
        let only = items.get(index).filter(|_| settled.default != Some(index));
        let mut look = |typed: &Typed| {
            for (read, link) in links(book, sheet, typed, &mut shapes) {
                match only {
                    None => out.push((read, link, None)),
                    Some(items) => out.extend(items.iter().map(|item| (read, link, Some(*item)))),
                }
            }
        };
        look(&slot.typed);
        if let Some(sides) = &slot.sides {
            look(&sides.left);
            look(&sides.right);
            if let Some(before) = &sides.before {
                look(before);
            }
        }
    }
    out.sort_unstable();
    out.dedup();
    (out, shapes)
}

/// What a formula reads.
pub(super) fn links(
    book: &Book,
    sheet: &Sheet,
    typed: &Typed,
    shapes: &mut BTreeSet<SheetId>,
) -> Vec<(QuantityId, Link)> {
    let mut out = Vec::new();
    let Some(op) = &typed.op else {
        // Not worked, but what it reads tells why.
        let own = typed.reads.iter().filter(|read| read.quantity.column().is_none());
        out.extend(own.map(|read| (read.quantity, Link::Every)));
        return out;
    };
    let mut open: Vec<(&Op, Option<SheetId>)> = vec![(op, None)];
    while let Some((op, row)) = open.pop() {
        match op {
            Op::Read(index) | Op::Running(index) => {
                let Some(read) = typed.reads.get(*index) else {
                    continue;
                };
                let Some(target) = book.sheet_of(read.quantity) else {
                    continue;
                };
                let down = matches!(op, Op::Running(_)) || read.which == Which::Running;
                let here = if target.id == sheet.id { Link::Same } else { Link::Case };
                if target.id != sheet.id {
                    shapes.insert(target.id);
                }
                let link = match &read.which {
                    Which::Key(key) => {
                        shapes.insert(target.id);
                        match target.items.find(key) {
                            Found::One(item) => Link::Item(item),
                            _ => Link::Every,
                        }
                    }
                    Which::Row(number) => {
                        shapes.insert(target.id);
                        Link::Item((*number as usize).saturating_sub(1))
                    }
                    Which::Here | Which::SameCase => here,
                    Which::Own | Which::Previous | Which::Running if row == Some(target.id) => Link::Every,
                    Which::Own if down => Link::Down,
                    Which::Own => here,
                    Which::Previous => Link::Before,
                    Which::Running => Link::Down,
                };
                out.push((read.quantity, link));
            }
            Op::Gather {
                sheet: over,
                along,
                value,
                condition,
                ..
            } => {
                if over.table().is_none() {
                    shapes.insert(*over);
                }
                if let Some(along) = along {
                    open.extend([(&along.key, Some(*over)), (&along.wanted, row)]);
                }
                open.extend(
                    [value, condition]
                        .into_iter()
                        .flatten()
                        .map(|part| (part.as_ref(), Some(*over))),
                );
            }
            other => each_part(other, &mut |part| open.push((part, row))),
        }
    }
    out
}

/// The items of a reader that the changed items of what it reads reach.
pub(super) fn reached(book: &Book, from: &Sheet, changed: &Items, reader: &Reader) -> Items {
    let Some(to) = book.sheet_of(reader.node) else {
        return Items::none();
    };
    let all = || match reader.only {
        Some(item) => Items::Some(vec![item]),
        None => Items::All,
    };
    let only = |items: Items| match (reader.only, items) {
        (None, items) => items,
        (Some(item), Items::All) => Items::Some(vec![item]),
        (Some(item), Items::Some(items)) => {
            if items.contains(&item) {
                Items::Some(vec![item])
            } else {
                Items::none()
            }
        }
    };
    match (reader.link, changed) {
        (_, changed) if changed.is_none() => Items::none(),
        (Link::Every, _) | (_, Items::All) => all(),
        (Link::Same, changed) => only(changed.clone()),
        (Link::Case, Items::Some(changed)) => {
            if from.items.count() == 1 {
                return all();
            }
            let mut items: Vec<usize> = changed
                .iter()
                .filter_map(|item| from.items.names.get(*item))
                .filter_map(|name| match to.items.find(name) {
                    Found::One(item) => Some(item),
                    _ => None,
                })
                .collect();
            items.sort_unstable();
            only(Items::Some(items))
        }
        (Link::Item(item), Items::Some(changed)) => {
            if changed.binary_search(&item).is_ok() {
                all()
            } else {
                Items::none()
            }
        }
        (Link::Before, Items::Some(changed)) => only(Items::Some(
            changed
                .iter()
                .map(|item| item + 1)
                .filter(|item| *item < to.items.count())
                .collect(),
        )),
        (Link::Down, Items::Some(changed)) => {
            let first = changed.first().copied().unwrap_or(0);
            only(Items::Some((first..to.items.count()).collect()))
        }
    }
}
