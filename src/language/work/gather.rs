//! Over the rows of a list or the cases of a sheet.
//!
//! Always: a blank is never zero; where rows are left out because something is blank, a note says how many took part.

use std::cmp::Ordering;
use std::collections::HashMap;
use std::sync::Arc;

use super::one::One;
use super::steps::{mismatch, number_fault, settled};
use super::{Outcome, Value};
use crate::fault::Code;
use crate::language::check::{Gather, Op, SheetId};
use crate::quantity::Number;
use rust_decimal::Decimal;

/// The rows of a list by the text of one of its columns: for `where motors.panel = here.panel`, which would else look at all
/// rows for every group.
pub(super) struct Index<'a> {
    /// What the asking item compares with.
    wanted: &'a Op,
    rows: HashMap<Arc<str>, Vec<usize>>,
    /// Rows without a text there; they are looked at in any case.
    others: Vec<usize>,
}

impl<'a> Index<'a> {
    /// Works the key of every row.
    pub fn new(one: &mut One<'a>, sheet: SheetId, key: &'a Op, wanted: &'a Op) -> Index<'a> {
        let mut index = Index {
            wanted,
            rows: HashMap::new(),
            others: Vec::new(),
        };
        let outer = one.row;
        for item in 0..one.cells.count(sheet) {
            one.row = Some((sheet, item));
            match one.eval(key) {
                Outcome::Value(Value::Text(text)) => index.rows.entry(text).or_default().push(item),
                _ => index.others.push(item),
            }
        }
        one.row = outer;
        index
    }

    /// The rows that may fit the asking item, in order; `None`: all may.
    pub fn rows(&self, one: &mut One<'a>) -> Option<Vec<usize>> {
        match one.eval(self.wanted) {
            Outcome::Value(Value::Text(text)) => {
                let mut rows = self.rows.get(&text).cloned().unwrap_or_default();
                rows.extend(&self.others);
                rows.sort_unstable();
                Some(rows)
            }
            _ => None,
        }
    }
}

/// The aggregate over these rows, or over all, and its note.
pub(super) fn gather<'a>(
    one: &mut One<'a>,
    how: Gather,
    sheet: SheetId,
    value: Option<&'a Op>,
    condition: Option<&'a Op>,
    among: Option<Vec<usize>>,
) -> (Outcome, Option<Arc<str>>) {
    let outer = one.row;
    let mut rows = Rows::new(how);
    let count = among.as_ref().map_or_else(|| one.cells.count(sheet), Vec::len);
    for place in 0..count {
        let item = match &among {
            Some(among) => among.get(place).copied().unwrap_or(place),
            None => place,
        };
        one.row = Some((sheet, item));
        match condition.map(|condition| one.eval(condition)) {
            None | Some(Outcome::Value(Value::Truth(true))) => {}
            Some(Outcome::Value(Value::Truth(false))) => continue,
            Some(Outcome::Value(_)) => rows.stop(mismatch()),
            Some(Outcome::Blank(why)) => {
                rows.blank(why);
                continue;
            }
            Some(fault) => rows.stop(fault),
        }
        if rows.stopped.is_none() {
            match value {
                None => rows.known += 1,
                Some(value) => match one.eval(value) {
                    Outcome::Blank(why) => rows.blank(why),
                    Outcome::Value(value) => rows.take(value, item),
                    fault => rows.stop(fault),
                },
            }
        }
        if rows.stopped.is_some() {
            break;
        }
    }
    one.row = outer;
    let name = one.cells.sheet_name(sheet);
    rows.finish(&name)
}

struct Rows {
    how: Gather,
    /// Rows that took part.
    known: usize,
    /// Rows left out because something is blank.
    blank: usize,
    /// Why the first of them is.
    why: Option<Arc<str>>,
    /// Sum, extreme or first so far.
    held: Option<Value>,
    /// Rows of the first and second taken, for `only`.
    taken: (Option<usize>, Option<usize>),
    stopped: Option<Outcome>,
}

impl Rows {
    fn new(how: Gather) -> Rows {
        Rows {
            how,
            known: 0,
            blank: 0,
            why: None,
            held: None,
            taken: (None, None),
            stopped: None,
        }
    }

    fn stop(&mut self, outcome: Outcome) {
        self.stopped = Some(outcome);
    }

    fn blank(&mut self, why: Arc<str>) {
        self.blank += 1;
        self.why.get_or_insert(why);
    }

    fn take(&mut self, value: Value, item: usize) {
        self.known += 1;
        match self.taken {
            (None, _) => self.taken.0 = Some(item),
            (_, None) => self.taken.1 = Some(item),
            _ => {}
        }
        if matches!(self.how, Gather::Count) {
            return;
        }
        let Some(held) = &self.held else {
            self.held = Some(value);
            return;
        };
        if matches!(self.how, Gather::Only | Gather::First) {
            return;
        }
        let (Value::Number(a), Value::Number(b)) = (held, &value) else {
            self.stopped = Some(mismatch());
            return;
        };
        let (a, b) = (*a, *b);
        let wanted = match self.how {
            Gather::Sum | Gather::Mean => match a.add(b) {
                Ok(sum) => {
                    self.held = Some(Value::Number(sum));
                    return;
                }
                Err(fault) => {
                    self.stopped = Some(number_fault(fault));
                    return;
                }
            },
            Gather::Largest => Ordering::Greater,
            _ => Ordering::Less,
        };
        if b.compare(a) == wanted {
            self.held = Some(value);
        }
    }

    fn finish(self, list: &str) -> (Outcome, Option<Arc<str>>) {
        if let Some(stopped) = self.stopped {
            return (stopped, None);
        }
        let all = self.known + self.blank;
        let note = (self.blank > 0).then(|| Arc::from(format!("{} of {all} rows", self.known)));
        let nothing = || match &self.why {
            Some(why) => Outcome::blank(format!("no row of {list} has a value ({why})")),
            None => Outcome::blank(format!("no row of {list} fits")),
        };
        let outcome = match self.how {
            Gather::Count => Outcome::number(Number::Exact(Decimal::from(self.known))),
            Gather::Sum if all == 0 => Outcome::number(Number::Exact(Decimal::ZERO)),
            Gather::Mean => match self.held {
                Some(Value::Number(sum)) => settled(sum.div(Number::Exact(Decimal::from(self.known)))),
                _ => nothing(),
            },
            Gather::Only => match self.taken {
                (None, _) if self.blank > 0 => nothing(),
                (None, _) => Outcome::fault(
                    Code::NOT_ONE_ROW,
                    format!("no row of {list} fits, and only one may"),
                    Some("look at the condition after `where`"),
                ),
                (Some(first), Some(second)) => Outcome::fault(
                    Code::NOT_ONE_ROW,
                    format!(
                        "{} rows of {list} fit, the first are rows {} and {}; only one may",
                        self.known,
                        first + 1,
                        second + 1
                    ),
                    Some("narrow the condition after `where`, or take `first`"),
                ),
                (Some(_), None) => self.held.map_or_else(nothing, Outcome::Value),
            },
            _ => self.held.map_or_else(nothing, Outcome::Value),
        };
        (outcome, note)
    }
}
