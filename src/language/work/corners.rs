//! Where a curve bends or jumps: its given points, and the places where a choice takes another arm.
//!
//! For: whoever looks at a curve at some places only and must not pass over a narrow peak between two of them.
//! Always: found from the way that values go (which piece between points, which arm, which row), not from the values; where the way
//! is another one at two neighbouring places, the change is narrowed down, and so is each change that hides between.

use super::Outcome;
use super::block::Program;
use super::one::{One, Shared};
use crate::language::check::{Op, Sort};
use crate::quantity::Number;

/// Which way a value went, as a number: the same for the same way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Way(u64);

impl Way {
    /// One of several was taken.
    pub fn goes(&mut self, which: usize) {
        self.joins(Way(which as u64 + 1));
    }

    /// Goes on as another one went.
    pub fn joins(&mut self, other: Way) {
        if other != Way::default() {
            self.0 = (self.0.rotate_left(5) ^ other.0).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        }
    }
}

/// Into how many parts the span is cut for the first look.
const PARTS: u32 = 96;
/// Corners that are looked for; a table of some hundred rows is the longest curve.
const MOST: usize = 2_000;

/// Both sides of each place between two ends where the way changes, by rising place.
pub fn corners(way: &mut dyn FnMut(f64) -> Way, from: f64, to: f64) -> Vec<f64> {
    let (low, high) = (from.min(to), from.max(to));
    let mut found = Vec::new();
    if !(low.is_finite() && high.is_finite() && low < high) {
        return found;
    }
    let mut before = (low, way(low));
    if before.1 == Way::default() {
        // No way is taken anywhere.
        return found;
    }
    let fine = (high - low) * 1e-13;
    for part in 1..=PARTS {
        let place = if part == PARTS {
            high
        } else {
            low + (high - low) * f64::from(part) / f64::from(PARTS)
        };
        let next = (place, way(place));
        between(way, before, next, fine, &mut found);
        before = next;
    }
    found
}

/// The same for a formula of one variable.
pub(super) fn of_local<'a>(one: &mut One<'a>, local: usize, value: &'a Op, from: f64, to: f64) -> Vec<f64> {
    let (held, noted, taken) = (std::mem::take(&mut one.way), one.notes.len(), one.taken.take());
    let found = corners(
        &mut |place| {
            one.way = Way::default();
            one.bind(local, Outcome::number(Number::Float(place)));
            // Where there is no value, whoever asks for it hears why.
            let _ = one.float(value);
            one.way
        },
        from,
        to,
    );
    (one.way, one.taken) = (held, taken);
    one.notes.truncate(noted);
    found
}

impl Program<'_> {
    /// Where a formula over a variable that goes between two ends bends or jumps, as shares of the way from the one to the other;
    /// nowhere for one that gives words.
    pub fn bends(&self, item: usize) -> Vec<f64> {
        if !matches!(self.typed.sort, Sort::Quantity { .. }) {
            return Vec::new();
        }
        let Op::Let { local, value, body } = self.op() else {
            return Vec::new();
        };
        let Op::Toleranced(ends) = &**value else {
            return Vec::new();
        };
        let (Op::Number(low), Op::Number(high)) = (&ends.low, &ends.high) else {
            return Vec::new();
        };
        let (low, high) = (low.to_f64(), high.to_f64());
        let shared = Shared::default();
        let found = of_local(&mut self.one(&shared, item), *local, body, low, high);
        found.into_iter().map(|place| (place - low) / (high - low)).collect()
    }
}

/// The changes between two places.
fn between(way: &mut dyn FnMut(f64) -> Way, from: (f64, Way), to: (f64, Way), fine: f64, found: &mut Vec<f64>) {
    // Ends still to be reached, the nearest last.
    let mut ends = vec![to];
    let mut at = from;
    while let Some(end) = ends.last().copied() {
        let middle = 0.5 * (at.0 + end.0);
        if at.1 == end.1 || found.len() >= MOST {
            at = end;
            ends.pop();
        } else if end.0 - at.0 <= fine || middle <= at.0 || middle >= end.0 {
            found.extend([at.0, end.0]);
            at = end;
            ends.pop();
        } else {
            let way = way(middle);
            if way == at.1 {
                at.0 = middle;
            } else if way == end.1 {
                if let Some(end) = ends.last_mut() {
                    end.0 = middle;
                }
            } else {
                ends.push((middle, way));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Way, corners};

    /// Pieces between given places: all are found, however near they are to each other.
    #[test]
    fn all_between_two_looks() {
        let places = [100.0, 703.0, 703.001, 703.002, 1400.0];
        let mut way = |x: f64| {
            let mut way = Way::default();
            way.goes(places.iter().filter(|place| **place <= x).count());
            way
        };
        let found = corners(&mut way, 0.0, 1500.0);
        assert_eq!(found.len(), 2 * places.len(), "{found:?}");
        for (sides, place) in found.chunks(2).zip(places) {
            assert!(
                sides.iter().all(|side| (side - place).abs() < 1e-9),
                "{sides:?} {place}"
            );
            assert!(sides.first() < sides.last());
        }
    }

    #[test]
    fn nothing_where_nothing_is_taken() {
        let mut asked = 0;
        let mut way = |_: f64| {
            asked += 1;
            Way::default()
        };
        assert!(corners(&mut way, 0.0, 1.0).is_empty());
        assert!(corners(&mut way, 0.0, f64::NAN).is_empty());
        assert_eq!(asked, 1);
    }
}
