//! Rows of a list by the values of some of its columns, so that a look-up for every row of another list does not go over all
//! rows each time.
//!
//! For: `where P = here.P and V = here.V`, `where motors.panel = here.panel`: equations at the beginning of the condition,
//! one side the row's, the other the asking item's.
//! Always: gives candidates and never the answer: the whole condition is worked for each of them. A row that could give anything
//! but a plain no is a candidate, so the result is that of going over all rows.

use std::collections::HashMap;
use std::sync::Arc;

use super::one::One;
use super::{Outcome, Value};
use crate::language::check::{Op, SheetId};
use crate::language::syntax::Comparison;

/// Room for values that are equal at twelve digits.
const NEAR: f64 = 1e-11;

/// One equation.
struct Equation<'a> {
    /// What the asking item compares with.
    wanted: &'a Op,
    texts: HashMap<Arc<str>, Vec<usize>>,
    /// Rising.
    numbers: Vec<(f64, usize)>,
}

/// The rows by the equations of a condition.
pub(super) struct Index<'a> {
    equations: Vec<Equation<'a>>,
    /// Rows without a value in one of the equations; they are looked at in any case.
    others: Vec<usize>,
}

/// The parts of a condition that are equations, from the first on, up to the first part that is none.
pub(super) fn equations(condition: &Op) -> Vec<(&Op, &Op)> {
    let parts: &[Op] = match condition {
        Op::And(parts) => parts,
        one => std::slice::from_ref(one),
    };
    parts
        .iter()
        .map_while(|part| match part {
            Op::Compare(first, rest) => match rest.as_slice() {
                [(Comparison::Equal, second)] => Some((first.as_ref(), second)),
                _ => None,
            },
            _ => None,
        })
        .collect()
}

impl<'a> Index<'a> {
    /// Works the row's side (the first of each pair) for every row.
    pub fn new(one: &mut One<'a>, sheet: SheetId, sides: &[(&'a Op, &'a Op)]) -> Index<'a> {
        let mut index = Index {
            equations: Vec::with_capacity(sides.len()),
            others: Vec::new(),
        };
        let outer = one.row;
        for (key, wanted) in sides {
            let mut equation = Equation {
                wanted,
                texts: HashMap::new(),
                numbers: Vec::new(),
            };
            for row in 0..one.cells.count(sheet) {
                one.row = Some((sheet, row));
                match one.eval(key) {
                    Outcome::Value(Value::Text(text)) => equation.texts.entry(text).or_default().push(row),
                    Outcome::Value(Value::Number(number)) => equation.numbers.push((number.to_f64(), row)),
                    _ => index.others.push(row),
                }
            }
            equation.numbers.sort_by(|a, b| a.0.total_cmp(&b.0));
            index.equations.push(equation);
        }
        one.row = outer;
        index.others.sort_unstable();
        index.others.dedup();
        index
    }

    /// The rows that may fit the asking item, in order; `None`: all may.
    pub fn rows(&self, one: &mut One<'a>) -> Option<Vec<usize>> {
        enum Candidates<'b> {
            Text(&'b [usize]),
            Numbers(&'b [(f64, usize)]),
        }
        let mut best: Option<Candidates<'_>> = None;
        let size = |found: &Candidates<'_>| match found {
            Candidates::Text(rows) => rows.len(),
            Candidates::Numbers(rows) => rows.len(),
        };
        for equation in &self.equations {
            let found = match one.eval(equation.wanted) {
                Outcome::Value(Value::Text(text)) => {
                    Candidates::Text(equation.texts.get(&text).map_or(&[][..], Vec::as_slice))
                }
                Outcome::Value(Value::Number(number)) => {
                    let number = number.to_f64();
                    let room = number.abs() * NEAR;
                    let from = equation.numbers.partition_point(|(key, _)| *key < number - room);
                    let to = equation.numbers.partition_point(|(key, _)| *key <= number + room);
                    Candidates::Numbers(equation.numbers.get(from..to).unwrap_or(&[]))
                }
                // A blank decides nothing; the other equations may.
                Outcome::Blank(_) => continue,
                // A fault, or a sort that cannot be compared, shows at the first row it meets.
                _ => return None,
            };
            if best.as_ref().is_none_or(|held| size(&found) < size(held)) {
                best = Some(found);
            }
        }
        let mut rows = match best? {
            Candidates::Text(rows) => rows.to_vec(),
            Candidates::Numbers(rows) => rows.iter().map(|(_, row)| *row).collect(),
        };
        rows.extend(&self.others);
        rows.sort_unstable();
        rows.dedup();
        Some(rows)
    }
}
