//! A place along the rows of a list or table: interpolated, next up, next down, nearest.
//!
//! Always: a place that a row has exactly (at twelve digits) gives that row; nothing is guessed beyond the first and last row.
//! Not known here: which rows take part, and whether the table may be interpolated.

use std::cmp::Ordering;

use super::steps::{mismatch, settled};
use super::{Outcome, Value};
use crate::fault::{Code, Words};
use crate::language::check::{Along, Gather};
use crate::quantity::{Number, NumberFault, show};

/// The rows around a place, so far.
pub(super) struct Around<'a> {
    along: &'a Along,
    wanted: Number,
    below: Near,
    equal: Near,
    above: Near,
}

/// The nearest row on one side, and a second one with the same key.
#[derive(Clone, Copy, Default)]
struct Near {
    key: Option<Number>,
    row: usize,
    second: Option<usize>,
}

impl Near {
    /// Takes a row that is nearer than the one held: `nearer` says how its key compares then.
    fn take(&mut self, key: Number, row: usize, nearer: Ordering) {
        match self.key.map(|held| key.compare(held)) {
            None => {
                *self = Near {
                    key: Some(key),
                    row,
                    second: None,
                }
            }
            Some(Ordering::Equal) => {
                self.second.get_or_insert(row);
            }
            Some(order) if order == nearer => {
                *self = Near {
                    key: Some(key),
                    row,
                    second: None,
                }
            }
            Some(_) => {}
        }
    }
}

/// What is to be read, once all rows are seen.
pub(super) enum Taken {
    /// What stands in this row.
    Row(usize),
    /// Between these two rows, at this share of the way.
    Between(usize, usize, Number),
    /// Nothing; why.
    Nothing(Outcome),
}

impl<'a> Around<'a> {
    pub fn new(along: &'a Along, wanted: Number) -> Around<'a> {
        Around {
            along,
            wanted,
            below: Near::default(),
            equal: Near::default(),
            above: Near::default(),
        }
    }

    /// What is sought.
    pub fn along(&self) -> &'a Along {
        self.along
    }

    /// A row that fits, with its key.
    pub fn take(&mut self, key: Number, row: usize) {
        match key.compare(self.wanted) {
            Ordering::Less => self.below.take(key, row, Ordering::Greater),
            Ordering::Equal => self.equal.take(key, row, Ordering::Less),
            Ordering::Greater => self.above.take(key, row, Ordering::Less),
        }
    }

    /// Decides. `list` is what the list is called.
    pub fn taken(self, how: Gather, list: &str) -> Taken {
        let row = |near: Near| match near.second {
            None => Taken::Row(near.row),
            Some(second) => Taken::Nothing(self.twice(near, second, list)),
        };
        if self.equal.key.is_some() {
            return row(self.equal);
        }
        match (how, self.below.key, self.above.key) {
            (_, None, None) => Taken::Nothing(Outcome::fault(
                Code::NOT_ONE_ROW,
                format!("no row of {list} fits"),
                Some("look at the condition after `where`"),
            )),
            (Gather::NextUp, _, Some(_)) => row(self.above),
            (Gather::NextDown, Some(_), _) => row(self.below),
            (_, Some(below), Some(above)) => {
                let (up, down) = match (above.sub(self.wanted), self.wanted.sub(below)) {
                    (Ok(up), Ok(down)) => (up, down),
                    _ => return Taken::Nothing(mismatch()),
                };
                if how == Gather::Nearest {
                    return match up.compare(down) {
                        Ordering::Greater => row(self.below),
                        _ => row(self.above),
                    };
                }
                if let Some((near, second)) = [self.below, self.above]
                    .into_iter()
                    .find_map(|near| Some((near, near.second?)))
                {
                    return Taken::Nothing(self.twice(near, second, list));
                }
                match up.add(down).and_then(|whole| down.div(whole)) {
                    Ok(share) => Taken::Between(self.below.row, self.above.row, share),
                    Err(fault) => Taken::Nothing(super::steps::number_fault(fault)),
                }
            }
            (_, Some(largest), None) => Taken::Nothing(self.outside("above the largest", largest, list)),
            (_, None, Some(smallest)) => Taken::Nothing(self.outside("below the smallest", smallest, list)),
        }
    }

    /// Words with a value behind them.
    fn value(&self, words: Words, number: Number) -> Words {
        let said = show::number(&number, None);
        match &*self.along.unit {
            "" => words.and(&said),
            unit => words.amount(&format!("{said} {unit}"), show::exact(&number), unit),
        }
    }

    fn outside(&self, where_: &str, end: Number, list: &str) -> Outcome {
        Outcome::fault(
            Code::OUTSIDE_LIST,
            {
                let words = self.value(Words::default(), self.wanted);
                let words = words.and(&format!(" is {where_} {} that fits in {list}, ", self.along.name));
                self.value(words, end)
            },
            Some("nothing is known beyond the rows; look at the value, or use data that reach so far"),
        )
    }

    fn twice(&self, near: Near, second: usize, list: &str) -> Outcome {
        Outcome::fault(
            Code::NOT_ONE_ROW,
            {
                let (first, second) = (near.row + 1, second + 1);
                let words = format!("rows {first} and {second} of {list} both have {} = ", self.along.name);
                self.value(words.into(), near.key.unwrap_or(self.wanted))
            },
            Some("narrow the condition after `where`, so that one row has each value"),
        )
    }
}

/// The value at a share of the way between two rows.
pub(super) fn between(low: &Outcome, high: &Outcome, share: Number) -> Outcome {
    match (low, high) {
        (Outcome::Value(Value::Number(low)), Outcome::Value(Value::Number(high))) => {
            let made = || -> Result<Number, NumberFault> { low.add(high.sub(*low)?.mul(share)?) };
            settled(made())
        }
        (Outcome::Value(_), Outcome::Value(_)) => mismatch(),
        (Outcome::Value(_), other) => other.clone(),
        (other, _) => other.clone(),
    }
}
