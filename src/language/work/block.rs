//! A column at a time: blocks of rows, in parallel.
//!
//! For: worked columns of lists. A step is done for all rows of a block before the next one; reads of the same row are
//! slices; what is the same for all rows is worked once.
//! Always: the same values as one row at a time. What differs from row to row (a choice with both answers in one block, a
//! root, a curve) goes row by row through the evaluator of one item.

use std::ops::Range;
use std::rc::Rc;
use std::sync::Arc;

use rayon::prelude::*;

use super::cells::Known;
use super::corners::Way;
use super::one::{One, Shared, Sums, Worked, address, running_sums};
use super::steps::{Step, Turn, binary, compare, heavier, mismatch, raised, read, unary};
use super::visit::each_part;
use super::{Cells, Outcome, Remark, Value, gather, index, points};
use crate::language::check::{Op, SheetId, Typed, Which};
use crate::language::syntax::Comparison;

/// Rows of a block.
pub const BLOCK: usize = 1024;

/// Fewer rows than this are not worth a block.
const FEW: usize = 8;

/// A typed formula ready to be worked on cells.
pub struct Program<'a> {
    pub(super) typed: &'a Typed,
    op: &'a Op,
    cells: Known<'a>,
    sheet: SheetId,
    unit: &'a str,
    sums: Option<&'a Sums>,
}

/// Notes of some items.
pub type ItemNotes = Vec<(usize, Vec<Remark>)>;

impl<'a> Program<'a> {
    /// `None` where the formula has an error fault. `sheet` is where it stands, `unit` the unit of its result for messages.
    pub fn new(typed: &'a Typed, cells: &'a dyn Cells, sheet: SheetId, unit: &'a str) -> Option<Program<'a>> {
        Some(Program {
            typed,
            op: typed.op.as_ref()?,
            cells: Known(cells),
            sheet,
            unit,
            sums: None,
        })
    }

    /// The same with running sums that are known already.
    #[must_use]
    pub fn with_sums(mut self, sums: &'a Sums) -> Program<'a> {
        self.sums = Some(sums);
        self
    }

    pub(super) fn one<'b>(&'b self, shared: &'b Shared<'b>, item: usize) -> One<'b> {
        One {
            typed: self.typed,
            cells: self.cells,
            shared,
            sums: self.sums,
            sheet: self.sheet,
            item,
            row: None,
            locals: vec![Outcome::truth(false); self.typed.locals],
            unit: self.unit,
            notes: Vec::new(),
            at: None,
            taken: None,
            table_rows: Vec::new(),
            way: Way::default(),
        }
    }

    /// The formula.
    pub(super) fn op(&self) -> &'a Op {
        self.op
    }

    /// One item.
    pub fn item(&self, item: usize) -> Worked {
        self.work(self.op, item, false)
    }

    /// One item, and which way it went.
    pub fn traced(&self, item: usize) -> Worked {
        self.work(self.op, item, true)
    }

    /// What a read gives for one item, by its place among the reads.
    pub fn read(&self, read: usize, item: usize) -> Outcome {
        let shared = Shared::default();
        let mut one = self.one(&shared, item);
        match self.typed.reads.get(read) {
            Some(wanted) if wanted.which == Which::Running => one.running(read),
            _ => one.read(read),
        }
    }

    /// A part of the formula for one item; parts that use bound values cannot be worked alone.
    pub fn part(&self, op: &'a Op, item: usize) -> Outcome {
        self.work(op, item, false).outcome
    }

    fn work(&self, op: &'a Op, item: usize, traced: bool) -> Worked {
        self.work_with(&Shared::default(), op, item, traced)
    }

    fn work_with<'b>(&'b self, shared: &'b Shared<'b>, op: &'b Op, item: usize, traced: bool) -> Worked {
        let mut one = self.one(shared, item);
        one.taken = traced.then(Vec::new);
        let outcome = one.eval(op);
        let outcome = one.divisor_named(op, outcome);
        Worked {
            outcome,
            notes: std::mem::take(&mut one.notes),
            taken: one.taken.take().unwrap_or_default(),
            rows: std::mem::take(&mut one.table_rows),
        }
    }

    /// All items of a span, and the notes of those that have some.
    pub fn items(&self, items: Range<usize>) -> (Vec<Outcome>, ItemNotes) {
        if items.len() < FEW {
            let mut notes = Vec::new();
            let outcomes = items
                .map(|item| {
                    let worked = self.item(item);
                    if !worked.notes.is_empty() {
                        notes.push((item, worked.notes));
                    }
                    worked.outcome
                })
                .collect();
            return (outcomes, notes);
        }
        let nothing = Shared::default();
        let shared = self.shared(&nothing);
        if items.len() <= BLOCK {
            return self.block(&shared, items);
        }
        let starts: Vec<usize> = items.clone().step_by(BLOCK).collect();
        let blocks: Vec<(Vec<Outcome>, ItemNotes)> = starts
            .par_iter()
            .map(|start| self.block(&shared, *start..(start + BLOCK).min(items.end)))
            .collect();
        let mut outcomes = Vec::with_capacity(items.len());
        let mut notes = Vec::new();
        for (block, some) in blocks {
            outcomes.extend(block);
            notes.extend(some);
        }
        (outcomes, notes)
    }

    /// Some items, in the order asked for.
    pub fn some(&self, items: &[usize]) -> Vec<Worked> {
        let nothing = Shared::default();
        let shared = if items.len() < FEW {
            Shared::default()
        } else {
            self.shared(&nothing)
        };
        items
            .iter()
            .map(|item| self.work_with(&shared, self.op, *item, false))
            .collect()
    }

    fn block<'b>(&'b self, shared: &'b Shared<'b>, rows: Range<usize>) -> (Vec<Outcome>, ItemNotes) {
        let mut block = Block {
            one: self.one(shared, rows.start),
            bound: vec![None; self.typed.locals],
            rows: rows.clone(),
            notes: Vec::new(),
        };
        let column = block.eval(self.op);
        let mut outcomes = column.into_vec(rows.len());
        for (item, outcome) in rows.clone().zip(&mut outcomes) {
            if matches!(outcome, Outcome::Fault(_)) {
                block.one.item = item;
                *outcome = block
                    .one
                    .divisor_named(self.op, std::mem::replace(outcome, Outcome::truth(false)));
            }
        }
        let mut notes = std::mem::take(&mut block.notes);
        notes.sort_by_key(|(item, _)| *item);
        (outcomes, notes)
    }

    /// Works once what does not depend on the row.
    fn shared<'b>(&'b self, nothing: &'b Shared<'b>) -> Shared<'b> {
        let mut shared = Shared::default();
        let mut gathers = Vec::new();
        let mut running = Vec::new();
        let mut curves = Vec::new();
        find_shared(self.op, &mut |op| match op {
            Op::Gather { .. } => gathers.push(op),
            Op::Running(index) => running.push(*index),
            Op::Points(curve, _) => curves.push(curve),
            _ => {}
        });
        for op in gathers {
            let Op::Gather {
                how,
                sheet,
                along,
                value,
                condition,
            } = op
            else {
                continue;
            };
            if self.alike(op, &mut Vec::new(), None) {
                let mut one = self.one(nothing, 0);
                let asked = gather::Asked {
                    how: *how,
                    sheet: *sheet,
                    along: along.as_deref(),
                    value: value.as_deref(),
                    condition: condition.as_deref(),
                };
                let (outcome, note) = gather::gather(&mut one, &asked, None);
                let notes = one.notes.into_iter().chain(note).collect();
                shared.gathers.insert(address(op), (outcome, notes));
                continue;
            }
            let parts = condition.as_deref().map_or(&[][..], index::parts).iter();
            let parts: Vec<index::Part<'_>> = parts.map_while(|part| self.indexed(part, *sheet)).collect();
            if !parts.is_empty() {
                let mut one = self.one(nothing, 0);
                let made = index::Index::new(&mut one, *sheet, &parts);
                shared.indexes.insert(address(op), made);
            }
        }
        for index in running {
            if let Some(wanted) = self.typed.reads.get(index) {
                shared
                    .running
                    .entry(wanted.quantity)
                    .or_insert_with(|| running_sums(self.cells, wanted));
            }
        }
        for curve in curves {
            let alike = curve
                .points
                .iter()
                .all(|(x, y)| self.alike(x, &mut Vec::new(), None) && self.alike(y, &mut Vec::new(), None));
            if alike {
                let mut one = self.one(nothing, 0);
                shared
                    .curves
                    .insert(Arc::as_ptr(curve) as usize, points::make(&mut one, curve));
            }
        }
        shared
    }

    /// What a part of a condition over the rows of this sheet is for an index; `None`: it needs both the row and the asking item.
    fn indexed<'b>(&self, part: &'b Op, sheet: SheetId) -> Option<index::Part<'b>>
    where
        'b: 'a,
    {
        let of_row = |op: &'b Op| self.alike(op, &mut Vec::new(), Some(sheet));
        if of_row(part) {
            return Some(index::Part::Own(part));
        }
        let (first, second) = index::equation(part)?;
        let mut sides = [(first, second), (second, first)].into_iter();
        let (key, wanted) = sides.find(|(key, wanted)| of_row(key) && self.steady(wanted, sheet))?;
        Some(index::Part::Equation(key, wanted))
    }

    /// Whether a step is the same at every row of an aggregate over this sheet.
    fn steady(&self, op: &Op, sheet: SheetId) -> bool {
        match op {
            Op::Read(index) => self.typed.reads.get(*index).is_some_and(|wanted| match wanted.which {
                Which::Own | Which::Previous | Which::Running => self.cells.sheet_of(wanted.quantity) != sheet,
                _ => true,
            }),
            Op::Running(_) | Op::Gather { .. } => false,
            other => {
                let mut steady = true;
                each_part(other, &mut |part| steady = steady && self.steady(part, sheet));
                steady
            }
        }
    }

    /// Whether a step gives the same for every asking item. `at` is the sheet of the rows an aggregate stands at.
    fn alike(&self, op: &'a Op, bound: &mut Vec<usize>, at: Option<SheetId>) -> bool {
        match op {
            Op::Local(local) => bound.contains(local),
            Op::Running(_) => false,
            Op::Read(index) => match self.typed.reads.get(*index) {
                Some(wanted) => match wanted.which {
                    Which::Key(_) | Which::Row(_) => true,
                    Which::Own | Which::Previous => at == Some(self.cells.sheet_of(wanted.quantity)),
                    _ => false,
                },
                None => false,
            },
            Op::Gather {
                sheet,
                along,
                value,
                condition,
                ..
            } => {
                let rows = [value, condition].into_iter().flatten().map(AsRef::as_ref);
                let key = along.as_ref().map(|along| &along.key);
                let outside = along.as_ref().is_none_or(|along| self.alike(&along.wanted, bound, at));
                outside && rows.chain(key).all(|part| self.alike(part, bound, Some(*sheet)))
            }
            other => {
                match other {
                    Op::Let { local, .. } | Op::Integral { local, .. } | Op::Along { local, .. } => bound.push(*local),
                    Op::Seek(seek) => bound.push(seek.local),
                    _ => {}
                }
                let mut alike = true;
                each_part(other, &mut |part| alike = alike && self.alike(part, bound, at));
                alike
            }
        }
    }
}

/// Looks at every step, the outermost first; inside an aggregate nothing is shared on its own.
fn find_shared<'a>(op: &'a Op, look: &mut dyn FnMut(&'a Op)) {
    look(op);
    each_part(op, &mut |part| find_shared(part, look));
}

/// The values of a step for all rows of a block.
#[derive(Clone)]
enum Column<'a> {
    Same(Outcome),
    Slice(&'a [Outcome]),
    Made(Vec<Outcome>),
    Bound(Rc<Vec<Outcome>>),
}

static NOTHING: Outcome = Outcome::Value(Value::Truth(false));

impl Column<'_> {
    fn get(&self, index: usize) -> &Outcome {
        match self {
            Column::Same(outcome) => outcome,
            Column::Slice(cells) => cells.get(index).unwrap_or(&NOTHING),
            Column::Made(cells) => cells.get(index).unwrap_or(&NOTHING),
            Column::Bound(cells) => cells.get(index).unwrap_or(&NOTHING),
        }
    }

    fn into_vec(self, rows: usize) -> Vec<Outcome> {
        match self {
            Column::Same(outcome) => vec![outcome; rows],
            Column::Slice(cells) => cells.to_vec(),
            Column::Made(cells) => cells,
            Column::Bound(cells) => Rc::try_unwrap(cells).unwrap_or_else(|cells| cells.to_vec()),
        }
    }
}

struct Block<'a> {
    one: One<'a>,
    bound: Vec<Option<Column<'a>>>,
    rows: Range<usize>,
    notes: ItemNotes,
}

impl<'a> Block<'a> {
    fn eval(&mut self, op: &'a Op) -> Column<'a> {
        match op {
            Op::Number(number) => Column::Same(Outcome::number(*number)),
            Op::Toleranced(part) if !part.published => Column::Same(Outcome::number(part.nominal)),
            Op::Phasor(phasor) => Column::Same(Outcome::Value(Value::Phasor(*phasor))),
            Op::Text(text) => Column::Same(Outcome::Value(Value::Text(text.clone()))),
            Op::Truth(truth) => Column::Same(Outcome::truth(*truth)),
            Op::Read(index) => self.read(op, *index),
            Op::Local(local) => match self.bound.get(*local) {
                Some(Some(column)) => column.clone(),
                _ => Column::Same(mismatch()),
            },
            Op::Let { local, value, body } => {
                let value = match self.eval(value) {
                    Column::Made(cells) => Column::Bound(Rc::new(cells)),
                    other => other,
                };
                if let Some(slot) = self.bound.get_mut(*local) {
                    *slot = Some(value);
                }
                self.eval(body)
            }
            Op::Sum(parts) => self.fold(parts, Step::Add, Step::Sub, Turn::Negative),
            Op::Product(parts) => self.fold(parts, Step::Mul, Step::Div, Turn::Inverse),
            Op::Power(base, exponent) => self.each(base, Turn::Power(*exponent)),
            Op::PowerOf(base, exponent) => {
                let base = self.eval(base);
                let exponent = self.eval(exponent);
                self.raised(base, exponent)
            }
            Op::Negative(part) => self.each(part, Turn::Negative),
            Op::Scale(part, scale) => self.each(part, Turn::Scale(scale)),
            Op::Compare(first, rest) => self.compare(first, rest),
            Op::Choice { arms, otherwise } => self.choice(op, arms, otherwise.as_deref()),
            Op::Gather { .. } if self.one.shared.gathers.contains_key(&address(op)) => {
                let (outcome, notes) = match self.one.shared.gathers.get(&address(op)) {
                    Some(made) => made.clone(),
                    None => return Column::Same(mismatch()),
                };
                if !notes.is_empty() {
                    for item in self.rows.clone() {
                        self.note(item, notes.clone());
                    }
                }
                Column::Same(outcome)
            }
            _ => self.row_by_row(op),
        }
    }

    fn len(&self) -> usize {
        self.rows.len()
    }

    fn note(&mut self, item: usize, notes: Vec<Remark>) {
        // Rows come in order, step by step.
        let new = self.notes.last().is_none_or(|(at, _)| *at < item);
        match self.notes.iter_mut().find(|(at, _)| !new && *at == item) {
            Some((_, held)) => {
                for note in notes {
                    if !held.contains(&note) {
                        held.push(note);
                    }
                }
            }
            None => self.notes.push((item, notes)),
        }
    }

    /// One row after the other, through the evaluator of one item.
    fn row_by_row(&mut self, op: &'a Op) -> Column<'a> {
        let mut made = Vec::with_capacity(self.len());
        for (index, item) in self.rows.clone().enumerate() {
            self.one.item = item;
            for (slot, bound) in self.one.locals.iter_mut().zip(&self.bound) {
                if let Some(column) = bound {
                    *slot = column.get(index).clone();
                }
            }
            made.push(self.one.eval(op));
            if !self.one.notes.is_empty() {
                let notes = std::mem::take(&mut self.one.notes);
                self.note(item, notes);
            }
        }
        Column::Made(made)
    }

    fn read(&mut self, op: &'a Op, index: usize) -> Column<'a> {
        let cells = self.one.cells;
        let Some(wanted) = self.one.typed.reads.get(index) else {
            return Column::Same(mismatch());
        };
        match wanted.which {
            Which::Own if cells.sheet_of(wanted.quantity) == self.one.sheet => {
                let Some(slice) = cells.column(wanted.quantity).get(self.rows.clone()) else {
                    return self.row_by_row(op);
                };
                if slice.iter().any(|cell| matches!(cell, Outcome::Fault(_))) {
                    let name = || cells.name(wanted.quantity);
                    return Column::Made(slice.iter().map(|cell| read(cell, name)).collect());
                }
                Column::Slice(slice)
            }
            Which::Key(_) | Which::Row(_) => Column::Same(self.one.eval(op)),
            _ => self.row_by_row(op),
        }
    }

    fn raised(&self, base: Column<'a>, exponent: Column<'a>) -> Column<'a> {
        if let (Column::Same(a), Column::Same(b)) = (&base, &exponent) {
            return Column::Same(raised(a.clone(), b));
        }
        let cells = base.into_vec(self.len()).into_iter().enumerate();
        Column::Made(cells.map(|(at, cell)| raised(cell, exponent.get(at))).collect())
    }

    fn each(&mut self, part: &'a Op, turn: Turn<'_>) -> Column<'a> {
        match self.eval(part) {
            Column::Same(outcome) => Column::Same(unary(outcome, turn)),
            column => {
                let mut cells = column.into_vec(self.len());
                for cell in &mut cells {
                    match cell {
                        Outcome::Value(Value::Number(number)) => match turn.number(*number) {
                            Ok(made) => *number = made,
                            Err(fault) => *cell = super::steps::number_fault(fault),
                        },
                        Outcome::Value(_) => {
                            let held = std::mem::replace(cell, Outcome::truth(false));
                            *cell = unary(held, turn);
                        }
                        _ => {}
                    }
                }
                Column::Made(cells)
            }
        }
    }

    fn join(&self, left: Column<'a>, right: Column<'a>, step: Step) -> Column<'a> {
        if let (Column::Same(a), Column::Same(b)) = (&left, &right) {
            return Column::Same(binary(a.clone(), b, step));
        }
        let mut cells = left.into_vec(self.len());
        match right {
            Column::Same(b) => {
                for cell in &mut cells {
                    into(cell, &b, step);
                }
            }
            Column::Slice(others) => {
                for (cell, b) in cells.iter_mut().zip(others) {
                    into(cell, b, step);
                }
            }
            Column::Made(others) => {
                for (cell, b) in cells.iter_mut().zip(&others) {
                    into(cell, b, step);
                }
            }
            Column::Bound(others) => {
                for (cell, b) in cells.iter_mut().zip(others.iter()) {
                    into(cell, b, step);
                }
            }
        }
        Column::Made(cells)
    }

    fn fold(&mut self, parts: &'a [(bool, Op)], plain: Step, inverse: Step, first_inverse: Turn<'_>) -> Column<'a> {
        let mut result: Option<Column<'a>> = None;
        for (other, part) in parts {
            let part = self.eval(part);
            result = Some(match result {
                None if *other => match part {
                    Column::Same(outcome) => Column::Same(unary(outcome, first_inverse)),
                    column => {
                        let cells = column.into_vec(self.len()).into_iter();
                        Column::Made(cells.map(|cell| unary(cell, first_inverse)).collect())
                    }
                },
                None => part,
                Some(result) => self.join(result, part, if *other { inverse } else { plain }),
            });
        }
        result.unwrap_or_else(|| Column::Same(mismatch()))
    }

    fn compare(&mut self, first: &'a Op, rest: &'a [(Comparison, Op)]) -> Column<'a> {
        let mut left = self.eval(first);
        let mut result = vec![Outcome::truth(true); self.len()];
        for (how, right) in rest {
            let right = self.eval(right);
            for (index, so_far) in result.iter_mut().enumerate() {
                if matches!(so_far, Outcome::Value(Value::Truth(false)) | Outcome::Fault(_)) {
                    continue;
                }
                match compare(left.get(index), *how, right.get(index)) {
                    Outcome::Value(Value::Truth(true)) => {}
                    Outcome::Value(_) => *so_far = Outcome::truth(false),
                    other => {
                        let held = std::mem::replace(so_far, Outcome::truth(true));
                        *so_far = heavier(held, other);
                    }
                }
            }
            left = right;
        }
        Column::Made(result)
    }

    /// Where all rows of the block go the same way, that way is worked as a block.
    fn choice(&mut self, op: &'a Op, arms: &'a [(Op, Op)], otherwise: Option<&'a Op>) -> Column<'a> {
        for (condition, value) in arms {
            let answers = self.eval(condition);
            let mut yes = 0;
            let mut no = 0;
            for index in 0..self.len() {
                match answers.get(index) {
                    Outcome::Value(Value::Truth(true)) => yes += 1,
                    Outcome::Value(Value::Truth(false)) => no += 1,
                    _ => {}
                }
            }
            if yes == self.len() {
                return self.eval(value);
            }
            if no != self.len() {
                return self.row_by_row(op);
            }
        }
        match otherwise {
            Some(value) => self.eval(value),
            None => Column::Same(Outcome::blank("none of the cases applies")),
        }
    }
}

/// `cell ∘= other`.
fn into(cell: &mut Outcome, other: &Outcome, step: Step) {
    match (&mut *cell, other) {
        (Outcome::Value(Value::Number(a)), Outcome::Value(Value::Number(b))) => match step.numbers(*a, *b) {
            Ok(made) => *a = made,
            Err(fault) => *cell = super::steps::number_fault(fault),
        },
        _ => {
            let held = std::mem::replace(cell, Outcome::truth(false));
            *cell = binary(held, other, step);
        }
    }
}
