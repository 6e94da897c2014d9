//! Where the lines of a plot are worked, and where two of them meet.
//!
//! Always: places rise from 0 to 1, the ends of the plot; even ones first, more where a line bends, breaks off or changes its word, so
//! that a stretch between two places looks straight. Not more than [`MOST`] are added.
//! Not known here: what is worked, how it is drawn.

use crate::language::work::{Outcome, Value};

/// Places added to the even ones.
const MOST: usize = 1_200;
/// How often a stretch is halved: the even places of a picture, cut so often, are far below what can be seen.
const ROUNDS: usize = 14;
/// How far a place may lie off the straight line between its neighbours, for a picture of one by one.
const FLAT: f64 = 0.002;
/// Stretches this short are not halved.
const SHORT: f64 = 1e-5;
/// Into how many parts a stretch is cut in which two lines meet, or a line has its top, and how often.
const PARTS: usize = 32;
const TIMES: usize = 4;

/// What two lines are at a place; none where one cannot be worked.
pub type Both = (Option<f64>, Option<f64>);

/// Works a line at so many even places, at its bends, and where more are needed.
pub fn places(even: usize, bends: &[f64], work: &mut dyn FnMut(&[f64]) -> Vec<Outcome>) -> Vec<(f64, Outcome)> {
    let mut first: Vec<f64> = spaced(0.0, 1.0, even);
    first.extend(
        bends
            .iter()
            .copied()
            .filter(|place| (0.0..=1.0).contains(place))
            .take(MOST),
    );
    first.sort_by(f64::total_cmp);
    first.dedup();
    let mut line: Vec<(f64, Outcome)> = joined(first, work);
    let most = line.len() + MOST;
    for _ in 0..ROUNDS {
        let more = wanted(&line);
        if more.is_empty() || line.len() + more.len() > most {
            break;
        }
        line.extend(joined(more, work));
        line.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    if let Some(top) = top(&line, work) {
        line.push(top);
        line.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    line
}

/// The top of a line between the places beside its largest value, where it is higher than that: what is told of a peak is its own
/// value, and not that of a place near it.
fn top(line: &[(f64, Outcome)], work: &mut dyn FnMut(&[f64]) -> Vec<Outcome>) -> Option<(f64, Outcome)> {
    let best = |places: &[(f64, Outcome)]| {
        let numbers = places.iter().enumerate();
        let numbers = numbers.filter_map(|(at, (_, outcome))| Some((at, number(outcome)?)));
        numbers.max_by(|a, b| a.1.total_cmp(&b.1))
    };
    let (at, known) = best(line)?;
    let beside = |places: &[(f64, Outcome)], at: usize| {
        let (before, behind) = (places.get(at.checked_sub(1)?)?, places.get(at + 1)?);
        let _ = number(&before.1).and(number(&behind.1))?;
        Some((before.0, behind.0))
    };
    let mut ends = beside(line, at)?;
    let mut found = None;
    for _ in 0..TIMES {
        let fine = joined(spaced(ends.0, ends.1, PARTS + 1), work);
        let (at, height) = best(&fine)?;
        if height > known {
            found = fine.get(at).cloned();
        }
        let Some(nearer) = beside(&fine, at) else { break };
        ends = nearer;
    }
    found
}

fn joined(places: Vec<f64>, work: &mut dyn FnMut(&[f64]) -> Vec<Outcome>) -> Vec<(f64, Outcome)> {
    let worked = work(&places);
    places.into_iter().zip(worked).collect()
}

/// So many even places between two ends, both among them.
fn spaced(from: f64, to: f64, places: usize) -> Vec<f64> {
    let last = places.max(2) - 1;
    #[allow(clippy::cast_precision_loss)] // A few hundred places.
    let place = |step: usize| {
        if step == last {
            to
        } else {
            from + (to - from) * step as f64 / last as f64
        }
    };
    (0..=last).map(place).collect()
}

/// The middles of the stretches that do not look straight, or whose ends are of different sorts.
fn wanted(line: &[(f64, Outcome)]) -> Vec<f64> {
    let numbers = line.iter().filter_map(|(_, outcome)| number(outcome));
    let (low, high) = numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
        (low.min(y), high.max(y))
    });
    let height = high - low;
    let mut more = Vec::new();
    let mut middle = |from: f64, to: f64| {
        let half = from + (to - from) / 2.0;
        if to - from > SHORT && more.last() != Some(&half) {
            more.push(half);
        }
    };
    for (at, pair) in line.windows(2).enumerate() {
        let [(from, first), (to, second)] = pair else { continue };
        if !same_sort(first, second) {
            middle(*from, *to);
            continue;
        }
        // Seen from both ends: with the stretch before and with the one behind.
        let before = at.checked_sub(1).and_then(|before| line.get(before..at + 2));
        let behind = line.get(at..at + 3);
        let bent =
            |three: Option<&[(f64, Outcome)]>| three.and_then(|three| off(three, height)).is_some_and(|off| off > FLAT);
        if bent(before) || bent(behind) {
            middle(*from, *to);
        }
    }
    more
}

/// How far the middle one of three places lies off the straight line between the others, in a picture of one by one.
fn off(three: &[(f64, Outcome)], height: f64) -> Option<f64> {
    let [first, middle, last] = three else { return None };
    if !(height > 0.0 && height.is_finite()) {
        return None;
    }
    let seen = |(x, outcome): &(f64, Outcome)| Some((*x, number(outcome)? / height));
    let ((a, b), (x, y), (c, d)) = (seen(first)?, seen(middle)?, seen(last)?);
    let (along, up) = (c - a, d - b);
    let length = along.hypot(up);
    (length > 0.0).then(|| (along * (y - b) - up * (x - a)).abs() / length)
}

fn same_sort(first: &Outcome, second: &Outcome) -> bool {
    match (first, second) {
        (Outcome::Value(Value::Text(first)), Outcome::Value(Value::Text(second))) => first == second,
        _ => number(first).is_some() == number(second).is_some() && word(first) == word(second),
    }
}

fn word(outcome: &Outcome) -> bool {
    matches!(outcome, Outcome::Value(Value::Text(_)))
}

fn number(outcome: &Outcome) -> Option<f64> {
    let number = outcome.as_number()?.to_f64();
    number.is_finite().then_some(number)
}

/// Where two lines meet: the place and the value there. `both` gives what they are at places. Where one jumps over the other they
/// do not meet; where they lie on one another nothing is told.
pub fn meetings(places: &[f64], both: &mut dyn FnMut(&[f64]) -> Vec<Both>) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    let worked = both(places);
    let values = worked.iter().flat_map(|(first, second)| [*first, *second]).flatten();
    let height = values.fold(0.0_f64, |most, value| most.max(value.abs()));
    for (from, to) in crossings(places, &worked) {
        // Equal at the very end, as curves that end at no torque: no crossing is to be seen.
        if places.last() == Some(&to) && worked.last().is_some_and(|(first, second)| first == second) {
            continue;
        }
        let (mut from, mut to) = (from, to);
        let mut last = None;
        for _ in 0..TIMES {
            let fine = spaced(from, to, PARTS + 1);
            let worked = both(&fine);
            let Some((low, high)) = crossings(&fine, &worked).into_iter().next() else {
                break;
            };
            last = between((low, high), &fine, &worked);
            (from, to) = (low, high);
        }
        found.extend(
            last.filter(|(_, _, apart)| *apart <= height * 1e-3)
                .map(|(x, y, _)| (x, y)),
        );
    }
    found.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
    found
}

/// The stretches in which the one line comes to the other's other side; a place at which they are equal is a stretch of its own end.
fn crossings(places: &[f64], worked: &[Both]) -> Vec<(f64, f64)> {
    let apart: Vec<(f64, Option<f64>)> = places
        .iter()
        .zip(worked)
        .map(|(place, (first, second))| (*place, first.zip(*second).map(|(first, second)| first - second)))
        .collect();
    let mut found = Vec::new();
    for pair in apart.windows(2) {
        let [(from, Some(before)), (to, Some(after))] = pair else {
            continue;
        };
        // Equal at the end of a stretch counts for this one and not for the next.
        let crosses = before * after < 0.0 || (*after == 0.0 && *before != 0.0);
        if crosses {
            found.push((*from, *to));
        }
    }
    found
}

/// The place between two neighbouring ones at which the straight lines meet, the value there, and how far the lines are apart at
/// the two.
fn between((low, high): (f64, f64), places: &[f64], worked: &[Both]) -> Option<(f64, f64, f64)> {
    let at = |wanted: f64| {
        let held = places.iter().position(|place| place.total_cmp(&wanted).is_eq())?;
        let (first, second) = worked.get(held)?;
        first.zip(*second)
    };
    let ((a, b), (c, d)) = (at(low)?, at(high)?);
    let (before, after) = (a - b, c - d);
    let share = before / (before - after);
    let share = if share.is_finite() { share } else { 0.5 };
    Some((
        low + (high - low) * share,
        a + (c - a) * share,
        before.abs() + after.abs(),
    ))
}
