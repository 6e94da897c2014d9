//! Over the rows of a list or the cases of a sheet.
//!
//! Always: a blank is never zero; where rows are left out because something is blank, a note says how many took part.

use std::cmp::Ordering;
use std::sync::Arc;

use super::one::One;
use super::place::{Around, Taken};
use super::steps::{Step, binary, mismatch};
use super::{FewerRows, Outcome, Remark, Value, lookup};
use crate::fault::Code;
use crate::language::check::{Along, Gather, Op, SheetId};
use crate::quantity::Number;
use rust_decimal::Decimal;

/// What is asked of the rows.
pub(super) struct Asked<'a> {
    pub how: Gather,
    pub sheet: SheetId,
    pub along: Option<&'a Along>,
    pub value: Option<&'a Op>,
    pub condition: Option<&'a Op>,
}

/// The aggregate over these rows, or over all, and its note.
pub(super) fn gather<'a>(one: &mut One<'a>, asked: &Asked<'a>, among: Option<Vec<usize>>) -> (Outcome, Option<Remark>) {
    let outer = one.row;
    let sheet = asked.sheet;
    let mut around = match asked.along.map(|along| (along, one.eval(&along.wanted))) {
        None => None,
        Some((along, Outcome::Value(Value::Number(wanted)))) => Some(Around::new(along, wanted)),
        Some((_, Outcome::Value(_))) => return (mismatch(), None),
        Some((_, other)) => return (other, None),
    };
    let mut rows = Rows::new(asked.how);
    let count = among.as_ref().map_or_else(|| one.cells.count(sheet), Vec::len);
    for place in 0..count {
        let item = match &among {
            Some(among) => among.get(place).copied().unwrap_or(place),
            None => place,
        };
        one.row = Some((sheet, item));
        match asked.condition.map(|condition| one.eval(condition)) {
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
            match (&mut around, asked.value) {
                (Some(around), _) => match one.eval(&around.along().key) {
                    Outcome::Value(Value::Number(key)) => {
                        rows.known += 1;
                        around.take(key, item);
                    }
                    Outcome::Value(_) => rows.stop(mismatch()),
                    Outcome::Blank(why) => rows.blank(why),
                    fault => rows.stop(fault),
                },
                (None, None) => rows.known += 1,
                (None, Some(value)) => match one.eval(value) {
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
    let name = one.cells.sheet_name(sheet);
    let made = match (around, asked.value) {
        (Some(around), Some(value)) if rows.stopped.is_none() && rows.known > 0 => {
            let note = rows.note();
            let outcome = match around.taken(asked.how, &name) {
                Taken::Nothing(outcome) => outcome,
                Taken::Row(row) => {
                    one.way.goes(row);
                    of_row(one, sheet, row, value)
                }
                Taken::Between(low, high, share) => {
                    one.way.goes(low);
                    one.way.goes(high);
                    let low = of_row(one, sheet, low, value);
                    let high = of_row(one, sheet, high, value);
                    super::place::between(&low, &high, share)
                }
            };
            (outcome, note)
        }
        _ => {
            if let (Gather::Only | Gather::First, (Some(row), second)) = (asked.how, rows.taken)
                && (asked.how == Gather::First || second.is_none())
                && rows.stopped.is_none()
            {
                one.gave(sheet, row);
            }
            let none = rows.known == 0 && rows.blank == 0 && rows.stopped.is_none();
            let missing = asked
                .condition
                .filter(|_| none && sheet.table().is_some())
                .and_then(|condition| lookup::missing(one, sheet, condition));
            match (missing, asked.how) {
                (Some(missing), Gather::Only | Gather::First) => (missing, None),
                (Some(missing), _) if asked.along.is_some() => (missing, None),
                // What the asking item lacks is missing in every row of a table.
                _ if sheet.table().is_some() && rows.known == 0 => match rows.why.take() {
                    Some(why) if rows.stopped.is_none() => (Outcome::Blank(why), None),
                    _ => rows.finish(&name),
                },
                _ => rows.finish(&name),
            }
        }
    };
    one.row = outer;
    made
}

/// What stands in a row.
fn of_row<'a>(one: &mut One<'a>, sheet: SheetId, row: usize, value: &'a Op) -> Outcome {
    one.row = Some((sheet, row));
    one.gave(sheet, row);
    one.eval(value)
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
        if matches!(self.how, Gather::Sum | Gather::Mean) {
            match binary(Outcome::Value(held.clone()), &Outcome::Value(value), Step::Add) {
                Outcome::Value(sum) => self.held = Some(sum),
                fault => self.stopped = Some(fault),
            }
            return;
        }
        let (Value::Number(a), Value::Number(b)) = (held, &value) else {
            self.stopped = Some(mismatch());
            return;
        };
        let (a, b) = (*a, *b);
        let wanted = match self.how {
            Gather::Largest => Ordering::Greater,
            _ => Ordering::Less,
        };
        if b.compare(a) == wanted {
            self.held = Some(value);
        }
    }

    fn note(&self) -> Option<Remark> {
        let rows = FewerRows {
            known: self.known,
            all: self.known + self.blank,
        };
        (self.blank > 0).then_some(Remark::FewerRows(rows))
    }

    fn finish(self, list: &str) -> (Outcome, Option<Remark>) {
        if let Some(stopped) = self.stopped {
            return (stopped, None);
        }
        let all = self.known + self.blank;
        let note = self.note();
        let nothing = || match &self.why {
            Some(why) => Outcome::blank(format!("no row of {list} has a value ({why})")),
            None => Outcome::blank(format!("no row of {list} fits")),
        };
        let outcome = match self.how {
            Gather::Count => Outcome::number(Number::Exact(Decimal::from(self.known))),
            Gather::Sum if all == 0 => Outcome::number(Number::Exact(Decimal::ZERO)),
            Gather::Mean => match self.held {
                Some(sum) => {
                    let count = Outcome::number(Number::Exact(Decimal::from(self.known)));
                    binary(Outcome::Value(sum), &count, Step::Div)
                }
                None => nothing(),
            },
            Gather::Only | Gather::Interpolated | Gather::NextUp | Gather::NextDown | Gather::Nearest => {
                match self.taken {
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
                }
            }
            _ => self.held.map_or_else(nothing, Outcome::Value),
        };
        (outcome, note)
    }
}
