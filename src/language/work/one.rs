//! One item at a time.
//!
//! For: single cells, checks, the goal of a seek, the value under an integral, the rows of an aggregate, and whatever differs
//! from row to row inside a block.
//! Always: only the arm of a choice that is needed is worked, and the second part of an `else` only where the first is blank.

use std::collections::HashMap;
use std::sync::Arc;

use super::cells::Known;
use super::corners::Way;
use super::steps::{Step, Turn, binary, compare, heavier, mismatch, number_fault, raised, read, settled, unary};
use super::{Found, Outcome, Remark, Value, gather, index, integral, phasors, physics, points, seek};
use crate::fault::Code;
use crate::language::check::{Op, QuantityId, Read, SheetId, Typed, Which};
use crate::language::functions::{Body, Function};
use crate::language::syntax::Comparison;
use crate::quantity::{Number, NumberFault};

/// A worked item.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// What it gives.
    pub outcome: Outcome,
    /// What a reader of the result should know: "41 of 44 rows".
    pub notes: Vec<Remark>,
    /// Which way it went, for the trace: address of a choice or an `else`, and which of its parts was taken.
    pub taken: Vec<(usize, usize)>,
    /// Rows of published tables that gave a value, for the trace.
    pub rows: Vec<(SheetId, usize)>,
}

/// Running sums that are known, by quantity: one for each item from the first on.
pub type Sums = HashMap<QuantityId, Vec<Outcome>>;

/// What is worked out once for all items of a column.
#[derive(Default)]
pub(super) struct Shared<'a> {
    /// Aggregates that do not depend on the asking item, by the address of their step.
    pub gathers: HashMap<usize, (Outcome, Vec<Remark>)>,
    /// Running sums.
    pub running: Sums,
    /// Curves through points that are the same for every item, by their address.
    pub curves: HashMap<usize, Result<Arc<points::Monotone>, Outcome>>,
    /// Rows by key for aggregates that look for a text of the asking item, by the address of their step.
    pub indexes: HashMap<usize, index::Index<'a>>,
}

/// The address of a step, its name while its formula stands still.
pub(super) fn address(op: &Op) -> usize {
    std::ptr::from_ref(op) as usize
}

/// The evaluator of one item.
pub(super) struct One<'a> {
    pub typed: &'a Typed,
    pub cells: Known<'a>,
    pub shared: &'a Shared<'a>,
    pub sums: Option<&'a Sums>,
    /// The sheet of the asking item.
    pub sheet: SheetId,
    /// The asking item.
    pub item: usize,
    /// The row an aggregate stands at.
    pub row: Option<(SheetId, usize)>,
    /// Values bound so far.
    pub locals: Vec<Outcome>,
    /// The unit of the result, for messages.
    pub unit: &'a str,
    /// Notes for the reader.
    pub notes: Vec<Remark>,
    /// The point at which sources of doubt stand; `None`: all at their values.
    pub at: Option<super::spread::At<'a>>,
    /// Recorded ways, where asked for.
    pub taken: Option<Vec<(usize, usize)>>,
    /// Rows of published tables that gave a value, where ways are recorded.
    pub table_rows: Vec<(SheetId, usize)>,
    /// Which way the value went since this was last cleared, for the corners of a curve.
    pub way: Way,
}

impl<'a> One<'a> {
    /// Another one for the same item, with the same values bound, that records nothing.
    pub fn again(&self) -> One<'a> {
        One {
            locals: self.locals.clone(),
            notes: Vec::new(),
            at: None,
            taken: None,
            table_rows: Vec::new(),
            way: Way::default(),
            ..*self
        }
    }

    pub fn eval(&mut self, op: &'a Op) -> Outcome {
        match op {
            Op::Number(number) => Outcome::number(*number),
            Op::Toleranced(part) => self.toleranced(part),
            Op::Phasor(phasor) => Outcome::Value(Value::Phasor(*phasor)),
            Op::Text(text) => Outcome::Value(Value::Text(text.clone())),
            Op::Truth(truth) => Outcome::truth(*truth),
            Op::Read(index) => {
                self.read_of_table(*index);
                self.read(*index)
            }
            Op::Local(local) => self.locals.get(*local).cloned().unwrap_or_else(mismatch),
            Op::Let { local, value, body } => {
                let value = self.eval(value);
                self.bind(*local, value);
                self.eval(body)
            }
            Op::Sum(parts) => {
                let mut sum: Option<Outcome> = None;
                for (minus, part) in parts {
                    let part = self.eval(part);
                    sum = Some(match sum {
                        None if *minus => unary(part, Turn::Negative),
                        None => part,
                        Some(sum) if *minus => binary(sum, &part, Step::Sub),
                        Some(sum) => binary(sum, &part, Step::Add),
                    });
                }
                sum.unwrap_or_else(mismatch)
            }
            Op::Product(parts) => {
                let mut product: Option<Outcome> = None;
                for (over, part) in parts {
                    let part = self.eval(part);
                    product = Some(match product {
                        None if *over => unary(part, Turn::Inverse),
                        None => part,
                        Some(product) if *over => binary(product, &part, Step::Div),
                        Some(product) => binary(product, &part, Step::Mul),
                    });
                }
                product.unwrap_or_else(mismatch)
            }
            Op::Power(base, exponent) => unary(self.eval(base), Turn::Power(*exponent)),
            Op::PowerOf(base, exponent) => {
                let base = self.eval(base);
                let exponent = self.eval(exponent);
                raised(base, &exponent)
            }
            Op::Negative(part) => unary(self.eval(part), Turn::Negative),
            Op::Scale(part, scale) => unary(self.eval(part), Turn::Scale(scale)),
            Op::Call(function, arguments) => self.call(function, arguments),
            Op::OfPhasor(how, parts) => phasors::step(self, *how, parts),
            Op::Compare(first, rest) => self.compare(first, rest),
            Op::And(parts) => self.all(parts, false),
            Op::Or(parts) => self.all(parts, true),
            Op::Not(part) => match self.eval(part) {
                Outcome::Value(Value::Truth(truth)) => Outcome::truth(!truth),
                Outcome::Value(_) => mismatch(),
                other => other,
            },
            Op::Choice { arms, otherwise } => self.choice(op, arms, otherwise.as_deref()),
            Op::Else(first, second) => match self.eval(first) {
                Outcome::Blank(_) => {
                    self.took(op, 1);
                    self.eval(second)
                }
                other => {
                    self.took(op, 0);
                    other
                }
            },
            Op::Known(part) => match self.eval(part) {
                Outcome::Blank(_) => Outcome::truth(false),
                Outcome::Value(_) => Outcome::truth(true),
                fault => fault,
            },
            Op::Gather {
                how,
                sheet,
                along,
                value,
                condition,
            } => {
                if let Some((outcome, notes)) = self.shared.gathers.get(&address(op)) {
                    self.notes.extend(notes.iter().cloned());
                    return outcome.clone();
                }
                let shared = self.shared;
                let among = shared.indexes.get(&address(op)).and_then(|index| index.rows(self));
                let asked = gather::Asked {
                    how: *how,
                    sheet: *sheet,
                    along: along.as_deref(),
                    value: value.as_deref(),
                    condition: condition.as_deref(),
                };
                let (outcome, note) = gather::gather(self, &asked, among);
                self.notes.extend(note);
                outcome
            }
            Op::Running(index) => self.running(*index),
            Op::Integral { local, value, from, to } => integral::integral(self, *local, value, from, to),
            Op::Points(curve, argument) => points::at(self, curve, argument),
            // A curve stands only where physics asks it.
            Op::Along { .. } => mismatch(),
            Op::Seek(sought) => seek::seek(self, sought),
            Op::Fault(fault) => Outcome::fault(fault.code, fault.message.clone(), fault.help.as_deref()),
        }
    }

    /// The float of a part, or what stands in its place.
    pub fn float(&mut self, op: &'a Op) -> Result<f64, Outcome> {
        match self.eval(op) {
            Outcome::Value(Value::Number(number)) => Ok(number.to_f64()),
            Outcome::Value(_) => Err(mismatch()),
            other => Err(other),
        }
    }

    /// Works each part and hands its value on; the heaviest of what stands in place of values, where something does. `take` says
    /// whether it is a value of the sort it needs.
    pub fn values(&mut self, parts: &'a [Op], mut take: impl FnMut(usize, Value) -> bool) -> Option<Outcome> {
        let mut hole: Option<Outcome> = None;
        for (index, part) in parts.iter().enumerate() {
            match self.eval(part) {
                Outcome::Value(value) => {
                    if !take(index, value) {
                        return Some(mismatch());
                    }
                }
                other => {
                    hole = Some(match hole {
                        None => other,
                        Some(hole) => heavier(hole, other),
                    });
                }
            }
        }
        hole
    }

    /// A row of a list or table gave a value: what a reader should know of it.
    pub fn gave(&mut self, sheet: SheetId, row: usize) {
        if sheet.table().is_none() {
            return;
        }
        if let Some(remark) = self.cells.remark(sheet, row)
            && !self.notes.contains(&remark)
        {
            self.notes.push(remark);
        }
        if self.taken.is_some() {
            self.table_rows.push((sheet, row));
        }
    }

    /// Binds a value.
    pub fn bind(&mut self, local: usize, value: Outcome) {
        if let Some(slot) = self.locals.get_mut(local) {
            *slot = value;
        }
    }

    fn took(&mut self, op: &Op, part: usize) {
        if let Some(taken) = &mut self.taken {
            taken.push((address(op), part));
        }
    }

    fn compare(&mut self, first: &'a Op, rest: &'a [(Comparison, Op)]) -> Outcome {
        let mut left = self.eval(first);
        let mut so_far = Outcome::truth(true);
        for (how, right) in rest {
            let right = self.eval(right);
            match compare(&left, *how, &right) {
                Outcome::Value(Value::Truth(false)) => {
                    self.way.goes(0);
                    return Outcome::truth(false);
                }
                Outcome::Value(_) => self.way.goes(1),
                other => so_far = heavier(so_far, other),
            }
            if matches!(so_far, Outcome::Fault(_)) {
                return so_far;
            }
            left = right;
        }
        so_far
    }

    /// `and` (decided by a no) and `or` (decided by a yes), with blanks that only matter where nothing else decides.
    fn all(&mut self, parts: &'a [Op], decides: bool) -> Outcome {
        let mut so_far = Outcome::truth(!decides);
        for part in parts {
            match self.eval(part) {
                Outcome::Value(Value::Truth(truth)) if truth == decides => return Outcome::truth(decides),
                Outcome::Value(Value::Truth(_)) => {}
                Outcome::Value(_) => return mismatch(),
                Outcome::Fault(fault) => return Outcome::Fault(fault),
                blank => so_far = heavier(so_far, blank),
            }
        }
        so_far
    }

    fn choice(&mut self, op: &'a Op, arms: &'a [(Op, Op)], otherwise: Option<&'a Op>) -> Outcome {
        for (index, (condition, value)) in arms.iter().enumerate() {
            match self.eval(condition) {
                Outcome::Value(Value::Truth(true)) => {
                    self.took(op, index);
                    return self.eval(value);
                }
                Outcome::Value(Value::Truth(false)) => {}
                Outcome::Value(_) => return mismatch(),
                other => return other,
            }
        }
        self.took(op, arms.len());
        match otherwise {
            Some(value) => self.eval(value),
            None => Outcome::blank("none of the cases applies"),
        }
    }

    fn call(&mut self, function: &'static Function, arguments: &'a [Op]) -> Outcome {
        match function.body {
            Body::Code(code) => {
                // Nearly all functions have few arguments: no allocation for those.
                let mut few = [Number::Exact(0.into()); 4];
                let mut many = Vec::new();
                let hole = self.values(arguments, |index, value| {
                    let Value::Number(number) = value else { return false };
                    match few.get_mut(index) {
                        Some(slot) if arguments.len() <= 4 => *slot = number,
                        _ => many.push(number),
                    }
                    true
                });
                if let Some(hole) = hole {
                    return hole;
                }
                let numbers = if arguments.len() <= 4 {
                    few.get(..arguments.len()).unwrap_or(&[])
                } else {
                    &many
                };
                settled(code(numbers))
            }
            Body::Special => self.special(function, arguments),
            Body::Physics(code) => physics::physics(self, code, arguments),
            // The checker works formulas in place.
            Body::Formula(_) => mismatch(),
        }
    }

    /// Functions that need more than numbers.
    fn special(&mut self, function: &'static Function, arguments: &'a [Op]) -> Outcome {
        match function.name {
            "refuse" => match arguments.first().map(|reason| self.eval(reason)) {
                Some(Outcome::Value(Value::Text(reason))) => Outcome::Blank(reason),
                Some(other) => other,
                None => mismatch(),
            },
            "assuming" => match arguments {
                [value, what] => {
                    let value = self.eval(value);
                    if let (Outcome::Value(_), Outcome::Value(Value::Text(what))) = (&value, self.eval(what)) {
                        let what = Remark::Words(what);
                        if !self.notes.contains(&what) {
                            self.notes.push(what);
                        }
                    }
                    value
                }
                _ => mismatch(),
            },
            "known" => match arguments.first().map(|part| self.eval(part)) {
                Some(Outcome::Blank(_)) => Outcome::truth(false),
                Some(Outcome::Value(_)) => Outcome::truth(true),
                Some(fault) => fault,
                None => mismatch(),
            },
            _ => {
                let mut values = Vec::with_capacity(arguments.len());
                let mut hole: Option<Outcome> = None;
                for argument in arguments {
                    match self.eval(argument) {
                        Outcome::Value(value) => values.push(value),
                        other => {
                            hole = Some(match hole {
                                None => other,
                                Some(hole) => heavier(hole, other),
                            });
                        }
                    }
                }
                match hole {
                    Some(hole) => hole,
                    None => {
                        let (outcome, remark) = super::special::special(function.name, &values);
                        self.notes.extend(remark);
                        outcome
                    }
                }
            }
        }
    }

    /// The cell of a read that names its row may be one of a published table.
    fn read_of_table(&mut self, index: usize) {
        let Some(wanted) = self.typed.reads.get(index) else {
            return;
        };
        if wanted.quantity.column().is_some()
            && matches!(wanted.which, Which::Key(_) | Which::Row(_))
            && let Ok(row) = self.find(wanted)
        {
            let sheet = self.cells.sheet_of(wanted.quantity);
            self.gave(sheet, row);
        }
    }

    pub fn read(&self, index: usize) -> Outcome {
        let Some(wanted) = self.typed.reads.get(index) else {
            return mismatch();
        };
        match self.find(wanted) {
            Ok(item) => match (
                self.wavering(wanted.quantity, item),
                self.cells.column(wanted.quantity).get(item),
            ) {
                (Some(outcome), _) => outcome,
                (None, Some(cell)) => read(cell, || self.cells.name(wanted.quantity)),
                (None, None) => Outcome::blank(format!("{} has no such row", self.sheet_of(wanted))),
            },
            Err(outcome) => outcome,
        }
    }

    /// What a cell gives at the point that is worked, where it differs from point to point.
    fn wavering(&self, quantity: QuantityId, item: usize) -> Option<Outcome> {
        let at = self.at.as_ref()?;
        Some(at.asked.samples(quantity, item)?.at(at.point))
    }

    fn sheet_of(&self, wanted: &Read) -> String {
        self.cells.sheet_name(self.cells.sheet_of(wanted.quantity))
    }

    /// The item a read means.
    pub fn find(&self, wanted: &Read) -> Result<usize, Outcome> {
        let sheet = self.cells.sheet_of(wanted.quantity);
        match &wanted.which {
            Which::Own => Ok(self.current(sheet)?),
            Which::Previous => match self.current(sheet)?.checked_sub(1) {
                Some(item) => Ok(item),
                None => Err(Outcome::blank("there is no row before the first")),
            },
            Which::Here | Which::SameCase => self.counterpart(sheet),
            Which::Running => Ok(self.current(sheet)?),
            Which::Row(number) => {
                let count = self.cells.count(sheet);
                match usize::try_from(*number).ok().and_then(|number| number.checked_sub(1)) {
                    Some(item) if item < count => Ok(item),
                    _ => Err(Outcome::fault(
                        Code::NO_SUCH_ITEM,
                        format!("{} has no row {number}, it has {count}", self.sheet_of(wanted)),
                        Some("count the rows from 1"),
                    )),
                }
            }
            Which::Key(key) => match self.cells.find(sheet, key) {
                Found::One(item) => Ok(item),
                Found::None => Err(Outcome::fault(
                    Code::NO_SUCH_ITEM,
                    format!("{} has no item \"{key}\"", self.sheet_of(wanted)),
                    Some("write the key as it stands in the first text column, or give the row: (row 12)"),
                )),
                Found::Several(first, second) => Err(Outcome::fault(
                    Code::KEY_NOT_UNIQUE,
                    format!(
                        "\"{key}\" stands in rows {} and {} of {}",
                        first + 1,
                        second + 1,
                        self.sheet_of(wanted)
                    ),
                    Some("make the key unique, or give the row: (row 12)"),
                )),
            },
        }
    }

    /// The row an aggregate stands at, or the asking item.
    fn current(&self, sheet: SheetId) -> Result<usize, Outcome> {
        match self.row {
            Some((at, row)) if at == sheet => Ok(row),
            _ => self.counterpart(sheet),
        }
    }

    fn counterpart(&self, sheet: SheetId) -> Result<usize, Outcome> {
        if sheet == self.sheet {
            return Ok(self.item);
        }
        self.cells.counterpart(self.sheet, self.item, sheet).ok_or_else(|| {
            Outcome::fault(
                Code::NO_SUCH_ITEM,
                format!("{} has no case of the same name", self.cells.sheet_name(sheet)),
                Some("name the case: brine(\"winter\").P"),
            )
        })
    }

    pub fn running(&mut self, index: usize) -> Outcome {
        let Some(wanted) = self.typed.reads.get(index) else {
            return mismatch();
        };
        let item = match self.find(wanted) {
            Ok(item) => item,
            Err(outcome) => return outcome,
        };
        let known = [Some(&self.shared.running), self.sums].into_iter().flatten();
        for sums in known {
            if let Some(sum) = sums.get(&wanted.quantity).and_then(|sums| sums.get(item)) {
                return sum.clone();
            }
        }
        let column = self.cells.column(wanted.quantity);
        let name = || self.cells.name(wanted.quantity);
        let mut sum: Option<Outcome> = None;
        for (row, cell) in column.iter().take(item + 1).enumerate() {
            let cell = self.wavering(wanted.quantity, row).unwrap_or_else(|| read(cell, name));
            sum = Some(match sum {
                None => cell,
                Some(sum) => binary(sum, &cell, Step::Add),
            });
        }
        sum.unwrap_or_else(|| number_fault(NumberFault::NotReal))
    }
}

/// All running sums of a column.
pub(super) fn running_sums(cells: Known<'_>, wanted: &Read) -> Vec<Outcome> {
    let mut sums: Vec<Outcome> = Vec::new();
    for cell in cells.column(wanted.quantity) {
        let cell = read(cell, || cells.name(wanted.quantity));
        let sum = match sums.last() {
            None => cell,
            Some(sum) => binary(sum.clone(), &cell, Step::Add),
        };
        sums.push(sum);
    }
    sums
}
