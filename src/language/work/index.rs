//! Rows of a list by the values of some of its columns, so that a look-up for every row of another list does not go over all
//! rows each time.
//!
//! For: `where P = here.P and V = here.V`, `where known(motors.panel) and motors.panel = here.panel`: equations at the beginning of
//! the condition, one side the row's, the other the asking item's, and among them what the row decides alone.
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

/// What a part of a condition is for an index.
pub(super) enum Part<'a> {
    /// The row's side, and what the asking item compares with.
    Equation(&'a Op, &'a Op),
    /// The row decides it alone.
    Own(&'a Op),
}

/// The rows by the equations of a condition.
pub(super) struct Index<'a> {
    equations: Vec<Equation<'a>>,
    /// Rows where all holds that the row decides alone.
    open: Vec<usize>,
    /// Rows without a value in one of the parts; they are looked at in any case.
    others: Vec<usize>,
}

/// The parts of a condition, all of which have to hold.
pub(super) fn parts(condition: &Op) -> &[Op] {
    match condition {
        Op::And(parts) => parts,
        one => std::slice::from_ref(one),
    }
}

/// Both sides of an equation.
pub(super) fn equation(part: &Op) -> Option<(&Op, &Op)> {
    match part {
        Op::Compare(first, rest) => match rest.as_slice() {
            [(Comparison::Equal, second)] => Some((first.as_ref(), second)),
            _ => None,
        },
        _ => None,
    }
}

/// The parts of a condition that are equations, from the first on, up to the first part that is none.
pub(super) fn equations(condition: &Op) -> Vec<(&Op, &Op)> {
    parts(condition).iter().map_while(equation).collect()
}

impl<'a> Index<'a> {
    /// Works the row's sides for every row. The parts stand in the order of the condition, from its first on.
    pub fn new(one: &mut One<'a>, sheet: SheetId, parts: &[Part<'a>]) -> Index<'a> {
        let mut index = Index {
            equations: Vec::with_capacity(parts.len()),
            // Where a part is a plain no, what stands behind it is not asked.
            open: (0..one.cells.count(sheet)).collect(),
            others: Vec::new(),
        };
        let outer = one.row;
        for part in parts {
            match part {
                Part::Own(condition) => index.open.retain(|row| {
                    one.row = Some((sheet, *row));
                    match one.eval(condition) {
                        Outcome::Value(Value::Truth(truth)) => truth,
                        _ => {
                            index.others.push(*row);
                            false
                        }
                    }
                }),
                Part::Equation(key, wanted) => {
                    let mut equation = Equation {
                        wanted,
                        texts: HashMap::new(),
                        numbers: Vec::new(),
                    };
                    for row in &index.open {
                        one.row = Some((sheet, *row));
                        match one.eval(key) {
                            Outcome::Value(Value::Text(text)) => equation.texts.entry(text).or_default().push(*row),
                            Outcome::Value(Value::Number(number)) => equation.numbers.push((number.to_f64(), *row)),
                            _ => index.others.push(*row),
                        }
                    }
                    equation.numbers.sort_by(|a, b| a.0.total_cmp(&b.0));
                    index.equations.push(equation);
                }
            }
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
        let mut rows = match best {
            Some(Candidates::Text(rows)) => rows.to_vec(),
            Some(Candidates::Numbers(rows)) => rows.iter().map(|(_, row)| *row).collect(),
            None => self.open.clone(),
        };
        rows.extend(&self.others);
        rows.sort_unstable();
        rows.dedup();
        Some(rows)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;
    use crate::language::check::{self, Curved, Defined, Named, QuantityId, Scope, Sort, Target, Which};
    use crate::language::syntax::{self, Name};
    use crate::language::work::{Cells, Found, Program};

    /// Quantity 0 is the key of each group, quantity 1 that of each row of the list `L`.
    struct Groups {
        groups: Vec<Outcome>,
        rows: Vec<Outcome>,
        read: AtomicUsize,
    }

    fn text(id: u32) -> Named {
        Named {
            id: QuantityId(id),
            sort: Sort::Text,
        }
    }

    impl Scope for Groups {
        fn quantity(&self, name: &str) -> Option<Named> {
            (name == "q").then(|| text(0))
        }
        fn sheet(&self, name: &str) -> Option<SheetId> {
            (name == "L").then_some(SheetId(1))
        }
        fn quantity_of(&self, sheet: SheetId, name: &str) -> Option<Named> {
            (name == "q").then(|| text(sheet.0))
        }
        fn is_list(&self, _: SheetId) -> bool {
            true
        }
        fn has_item(&self, _: SheetId, _: &Which) -> Option<bool> {
            None
        }
        fn same_case(&self, _: SheetId) -> bool {
            false
        }
        fn definition(&self, _: &str) -> Option<Defined> {
            None
        }
        fn curve(&self, _: &str) -> Option<Curved> {
            None
        }
        fn names(&self) -> Vec<Name> {
            vec!["q".into()]
        }
        fn sheets(&self) -> Vec<Name> {
            vec!["L".into()]
        }
        fn names_of(&self, _: SheetId) -> Vec<Name> {
            vec!["q".into()]
        }
    }

    impl Cells for Groups {
        fn column(&self, quantity: QuantityId) -> &[Outcome] {
            let _ = self.read.fetch_add(1, Ordering::Relaxed);
            if quantity.0 == 0 { &self.groups } else { &self.rows }
        }
        fn sheet_of(&self, quantity: QuantityId) -> SheetId {
            SheetId(quantity.0)
        }
        fn count(&self, sheet: SheetId) -> usize {
            if sheet.0 == 0 {
                self.groups.len()
            } else {
                self.rows.len()
            }
        }
        fn find(&self, _: SheetId, _: &str) -> Found {
            Found::None
        }
        fn counterpart(&self, _: SheetId, _: usize, _: SheetId) -> Option<usize> {
            None
        }
        fn name(&self, _: QuantityId) -> String {
            "q".to_owned()
        }
        fn sheet_name(&self, _: SheetId) -> String {
            "L".to_owned()
        }
        fn place(&self, _: SheetId, _: usize) -> String {
            String::new()
        }
    }

    /// 200 groups of two rows each: going over all rows for each group would read a cell 80 000 times.
    #[test]
    fn what_the_row_decides_alone_does_not_hide_the_equation_behind_it() {
        let key = |at: usize| Outcome::Value(Value::Text(format!("Hall {}", at % 200).into()));
        let cells = Groups {
            groups: (0..200).map(key).collect(),
            rows: (0..400).map(key).collect(),
            read: AtomicUsize::new(0),
        };
        let formula = "count(L where known(L.q) and L.q = here.q)";
        let (tree, faults) = syntax::parse(formula);
        assert!(faults.is_empty(), "{faults:?}");
        let typed = check::formula(&tree, formula, &Target::default(), &cells);
        assert!(typed.faults.is_empty(), "{:?}", typed.faults);
        let program = Program::new(&typed, &cells, SheetId(0), "").unwrap();
        let (worked, _) = program.items(0..200);
        assert!(
            worked.iter().all(|cell| cell.as_number().unwrap().to_f64() == 2.0),
            "{worked:?}"
        );
        let read = cells.read.into_inner();
        assert!(read < 5_000, "{read}");
    }
}
