//! An unknown found from an equation.
//!
//! Always: a solution lies between the limits and makes the equation hold; none, or several, is a fault that says so.
//! How: the isolated formula where the checker found one; else the span between the limits is scanned for changes of sign and
//! for places where the difference only touches zero, and each is narrowed down (R. P. Brent, "Algorithms for Minimization
//! Without Derivatives", 1973, chapters 4 and 5).

use super::corners::of_local;
use super::one::One;
use super::phasors::{of_value, phasor};
use super::points::with_unit;
use super::steps::{float, mismatch, number_fault, settled};
use super::{Outcome, Value};
use crate::fault::{Code, Words};
use crate::language::check::{Goal, Op, Seek};
use crate::quantity::{Number, NumberFault, Phasor};

/// Into how many parts the span between the limits is cut for the first look.
const PARTS: usize = 240;
/// How many solutions are named in a message.
const NAMED: usize = 3;

/// The solution, or why there is none.
pub(super) fn seek<'a>(one: &mut One<'a>, sought: &'a Seek) -> Outcome {
    let between = match &sought.between {
        None => None,
        Some((low, high)) => match (one.float(low), one.float(high)) {
            (Ok(a), Ok(b)) => Some((a.min(b), a.max(b))),
            (Err(fault @ Outcome::Fault(_)), _) | (_, Err(fault @ Outcome::Fault(_))) => return fault,
            (Err(hole), _) | (_, Err(hole)) => return hole,
        },
    };
    match &sought.goal {
        Goal::Zero(difference) => equation(one, sought, difference, between),
        Goal::Linear(difference) => linear(one, sought, difference),
        Goal::Largest(value) => extreme(one, sought.local, value, between, 1.0),
        Goal::Smallest(value) => extreme(one, sought.local, value, between, -1.0),
    }
}

/// A phasor that enters an equation linearly: two places tell the line, two more whether it is one.
fn linear<'a>(one: &mut One<'a>, sought: &'a Seek, difference: &'a Op) -> Outcome {
    if let Some((isolated, _)) = &sought.isolated {
        return one.eval(isolated);
    }
    let mut at = |x: Phasor| -> Result<Phasor, Outcome> {
        one.bind(sought.local, Outcome::Value(Value::Phasor(x)));
        match one.eval(difference) {
            Outcome::Value(value) => of_value(&value).ok_or_else(mismatch),
            other => Err(other),
        }
    };
    let solved = |at: &mut dyn FnMut(Phasor) -> Result<Phasor, Outcome>| -> Result<Outcome, Outcome> {
        let lost = |fault: NumberFault| number_fault(fault);
        let place = |re: f64, im: f64| Phasor::new(re, im).map_err(lost);
        let none = at(place(0.0, 0.0)?)?;
        let slope = at(place(1.0, 0.0)?)?.sub(none).map_err(lost)?;
        let size = slope.abs().max(none.abs());
        for x in [place(0.0, 1.0)?, place(2.0, -3.0)?] {
            let wanted = none.add(slope.mul(x).map_err(lost)?).map_err(lost)?;
            if at(x)?.sub(wanted).map_err(lost)?.abs() > 1e-9 * size * x.abs() {
                return Err(Outcome::fault(
                    Code::NO_SOLUTION,
                    "the unknown is a phasor and does not enter linearly, so that the equation cannot be solved for it",
                    Some(SPLIT),
                ));
            }
        }
        if slope.abs() <= 1e-14 * size {
            return Err(Outcome::fault(
                Code::NO_SOLUTION,
                "what the unknown is multiplied by is zero, so that the equation says nothing about it",
                Some("look at the inputs that are zero"),
            ));
        }
        Ok(phasor(none.neg().div(slope)))
    };
    solved(&mut at).unwrap_or_else(|hole| hole)
}

/// What to do where a phasor cannot be solved for.
const SPLIT: &str = "rearrange it for the unknown by hand; or split it into two real unknowns, one line each: give `R` a value and `seek X in Ω such that abs(V / (R + j*X)) = 10 A between 0 Ω and 50 Ω`, then compare the angles";

fn no_limits() -> Outcome {
    Outcome::fault(
        Code::NO_LIMITS,
        "this equation cannot be rearranged, and no limits are given to search between",
        Some("add `between A and B`"),
    )
}

fn equation<'a>(one: &mut One<'a>, sought: &'a Seek, difference: &'a Op, between: Option<(f64, f64)>) -> Outcome {
    let unit = one.unit;
    let mut outside = None;
    if let Some((isolated, _)) = &sought.isolated {
        match one.eval(isolated) {
            Outcome::Value(Value::Number(number)) => {
                let x = number.to_f64();
                let inside = between.is_none_or(|(low, high)| {
                    let slack = (high - low).abs().max(x.abs()) * 1e-12;
                    low - slack <= x && x <= high + slack
                });
                if between.is_none() {
                    // The rearranged formula knows nothing of what is refused.
                    one.bind(sought.local, Outcome::number(number));
                    if let Err(refused @ Outcome::Blank(_)) = one.float(difference) {
                        return refused;
                    }
                }
                if !inside {
                    outside = Some(x);
                } else if fits(one, sought.local, difference, number) {
                    // Where the way back is not one to one, there may be a second solution between the limits.
                    if one_way(difference, sought.local) || between.is_none() {
                        return Outcome::number(number);
                    }
                    let others = between.map(|limits| scan(one, sought.local, difference, limits));
                    match others {
                        Some(Ok(found)) if found.roots.len() > 1 => return several(&found.roots, unit),
                        _ => return Outcome::number(number),
                    }
                }
            }
            Outcome::Value(_) => {}
            // A blank or passed-on fault of an input says more than a search that cannot start.
            blank @ Outcome::Blank(_) => return blank,
            Outcome::Fault(fault) if fault.passed_on => return Outcome::Fault(fault),
            Outcome::Fault(fault) if between.is_none() && fault.code == Code::DIVISION_BY_ZERO => {
                let zero = one.zero_divisor(isolated);
                let named = zero.map_or_else(String::new, |name| format!(": `{name}` is 0"));
                return Outcome::fault(
                    Code::NO_SOLUTION,
                    format!(
                        "what the unknown is multiplied by is zero, so that the equation says nothing about it{named}"
                    ),
                    Some("look at the inputs that are zero"),
                );
            }
            fault => {
                if between.is_none() {
                    return fault;
                }
            }
        }
    }
    let Some(limits) = between else {
        return no_limits();
    };
    match scan(one, sought.local, difference, limits) {
        Err(hole) => hole,
        Ok(found) => match found.roots.as_slice() {
            [root] => settled(float(*root)),
            [] => match (outside, found.fault) {
                (Some(x), _) => Outcome::fault(
                    Code::NO_SOLUTION,
                    {
                        let words = with_unit(Words::from("the solution is "), x, unit).and(", outside ");
                        let words = with_unit(words, limits.0, unit).and(" … ");
                        with_unit(words, limits.1, unit)
                    },
                    Some("widen the limits after `between`, or look at the inputs"),
                ),
                (None, Some(hole)) if found.nowhere => hole,
                _ => Outcome::fault(
                    Code::NO_SOLUTION,
                    {
                        let words = with_unit(Words::from("nothing between "), limits.0, unit).and(" and ");
                        let words = with_unit(words, limits.1, unit).and(" makes the equation hold");
                        match found.jump {
                            Some(x) => {
                                let words = with_unit(words.and("; near "), x, unit);
                                words.and(" one side jumps past the other")
                            }
                            None => words,
                        }
                    },
                    Some("widen the limits after `between`, or look at the inputs"),
                ),
            },
            roots => several(roots, unit),
        },
    }
}

fn several(roots: &[f64], unit: &str) -> Outcome {
    let mut words = Words::from("the equation holds in several places: near ");
    for (at, root) in roots.iter().take(NAMED).enumerate() {
        words = with_unit(if at > 0 { words.and(", ") } else { words }, *root, unit);
    }
    Outcome::fault(
        Code::SEVERAL_SOLUTIONS,
        words,
        Some("draw the limits after `between` around the one that is meant"),
    )
}

/// Whether the difference is zero there, as far as its own size lets one tell.
fn fits<'a>(one: &mut One<'a>, local: usize, difference: &'a Op, solution: Number) -> bool {
    one.bind(local, Outcome::number(solution));
    let Ok(rest) = one.float(difference) else {
        return false;
    };
    rest.abs() <= 1e-9 * size(one, difference).max(f64::MIN_POSITIVE)
}

/// The size of the parts of a difference.
fn size<'a>(one: &mut One<'a>, difference: &'a Op) -> f64 {
    match difference {
        Op::Sum(parts) => parts.iter().map(|(_, part)| one.float(part).unwrap_or(0.0).abs()).sum(),
        Op::Scale(part, scale) => size(one, part) * scale.factor.to_f64().abs(),
        other => one.float(other).unwrap_or(0.0).abs(),
    }
}

/// Whether the unknown stands once, behind steps that each lead back to one value only.
fn one_way(op: &Op, local: usize) -> bool {
    if count(op, local) != 1 {
        return false;
    }
    fn walk(op: &Op, local: usize) -> bool {
        match op {
            Op::Local(_) => true,
            Op::Sum(parts) | Op::Product(parts) => parts
                .iter()
                .all(|(_, part)| count(part, local) == 0 || walk(part, local)),
            Op::Negative(part) | Op::Scale(part, _) => walk(part, local),
            Op::Power(part, exponent) => (exponent.num() % 2 != 0 || exponent.den() % 2 == 0) && walk(part, local),
            Op::Call(function, parts) => {
                matches!(
                    function.name,
                    "sqrt" | "root" | "exp" | "ln" | "log" | "log10" | "asin" | "acos" | "atan"
                ) && parts.iter().all(|part| count(part, local) == 0 || walk(part, local))
            }
            _ => false,
        }
    }
    walk(op, local)
}

/// How often a local stands in a step.
fn count(op: &Op, local: usize) -> usize {
    match op {
        Op::Local(at) => usize::from(*at == local),
        other => {
            let mut sum = 0;
            super::visit::each_part(other, &mut |part| sum += count(part, local));
            sum
        }
    }
}

struct Scanned {
    roots: Vec<f64>,
    /// Where the difference changes its sign without vanishing.
    jump: Option<f64>,
    /// What stood in the way at some place.
    fault: Option<Outcome>,
    /// No place could be worked at all.
    nowhere: bool,
}

/// Where a formula is looked at between two limits: so many parts, and where it bends or jumps.
fn places<'a>(one: &mut One<'a>, local: usize, value: &'a Op, low: f64, high: f64) -> Vec<f64> {
    // The limits themselves, not a rounded neighbour, are the first and the last place.
    let mut places: Vec<f64> = (0..PARTS)
        .map(|index| low + (high - low) * (index as f64 / PARTS as f64))
        .collect();
    places.push(high);
    let corners = of_local(one, local, value, low, high);
    if !corners.is_empty() {
        places.extend(corners);
        places.sort_by(f64::total_cmp);
        places.dedup();
    }
    places
}

/// All places between the limits where the difference is zero.
fn scan<'a>(one: &mut One<'a>, local: usize, difference: &'a Op, limits: (f64, f64)) -> Result<Scanned, Outcome> {
    let (low, high) = limits;
    if !(low.is_finite() && high.is_finite()) {
        return Err(no_limits());
    }
    let places = places(one, local, difference, low, high);
    let mut fault = None;
    let mut at = |x: f64| -> Option<f64> {
        one.bind(local, Outcome::number(Number::Float(x)));
        match one.float(difference) {
            Ok(y) if y.is_finite() => Some(y),
            Ok(_) => None,
            Err(hole) => {
                fault.get_or_insert(hole);
                None
            }
        }
    };
    let xs: Vec<(f64, Option<f64>)> = places.into_iter().map(|x| (x, at(x))).collect();
    let nowhere = xs.iter().all(|(_, y)| y.is_none());
    let scale = xs.iter().filter_map(|(_, y)| *y).fold(0.0_f64, |a, y| a.max(y.abs()));
    let mut roots: Vec<f64> = Vec::new();
    if scale == 0.0 && !nowhere {
        // Zero everywhere: the two ends stand for all the places between.
        return Ok(Scanned {
            roots: if low == high { vec![low] } else { vec![low, high] },
            jump: None,
            fault,
            nowhere,
        });
    }
    let mut jump = None;
    for pair in xs.windows(2) {
        let [(a, Some(ya)), (b, Some(yb))] = *pair else {
            continue;
        };
        if ya == 0.0 {
            roots.push(a);
        } else if ya * yb < 0.0
            && let Some((x, y)) = narrow(&mut at, (a, ya), (b, yb))
        {
            // At a pole and at a jump the sign changes too, but the difference does not vanish.
            if y.abs() <= (ya.abs().max(yb.abs()) * 1e-6).max(scale * 1e-9) {
                roots.push(x);
            } else {
                jump = jump.or(Some(x));
            }
        }
    }
    if let Some((x, Some(0.0))) = xs.last() {
        roots.push(*x);
    }
    for triple in xs.windows(3) {
        let [(a, Some(ya)), (_, Some(yb)), (c, Some(yc))] = *triple else {
            continue;
        };
        let same_sign = ya * yb > 0.0 && yb * yc > 0.0;
        if same_sign && yb.abs() <= ya.abs() && yb.abs() <= yc.abs() {
            let (x, y) = lowest(&mut |x| at(x).map(f64::abs), a, c);
            if y <= scale * 1e-12 {
                roots.push(x);
            } else if let Some(signed) = at(x)
                && signed * yb < 0.0
            {
                // Two changes of sign hid between two neighbours.
                for (from, to) in [((a, ya), (x, signed)), ((x, signed), (c, yc))] {
                    roots.extend(narrow(&mut at, from, to).map(|(x, _)| x));
                }
            }
        }
    }
    roots.sort_by(f64::total_cmp);
    let near = (high - low).abs() * 1e-9;
    roots.dedup_by(|a, b| (*a - *b).abs() <= near);
    Ok(Scanned {
        roots,
        jump,
        fault,
        nowhere,
    })
}

/// Brent's method between two places of different sign; the place and what is left there.
fn narrow(at: &mut impl FnMut(f64) -> Option<f64>, from: (f64, f64), to: (f64, f64)) -> Option<(f64, f64)> {
    let ((mut a, mut fa), (mut b, mut fb)) = (from, to);
    let (mut c, mut fc) = (a, fa);
    let mut d = b - a;
    let mut e = d;
    for _ in 0..200 {
        if fb * fc > 0.0 {
            (c, fc) = (a, fa);
            d = b - a;
            e = d;
        }
        if fc.abs() < fb.abs() {
            (a, fa) = (b, fb);
            (b, fb) = (c, fc);
            (c, fc) = (a, fa);
        }
        let tolerance = 2.0 * f64::EPSILON * b.abs();
        let middle = 0.5 * (c - b);
        if middle.abs() <= tolerance || fb == 0.0 {
            return Some((b, fb));
        }
        if e.abs() >= tolerance && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * middle * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (
                    s * (2.0 * middle * q * (q - r) - (b - a) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * middle * q - (tolerance * q).abs()).min((e * q).abs()) {
                e = d;
                d = p / q;
            } else {
                d = middle;
                e = d;
            }
        } else {
            d = middle;
            e = d;
        }
        (a, fa) = (b, fb);
        b += if d.abs() > tolerance {
            d
        } else {
            tolerance.copysign(middle)
        };
        fb = at(b)?;
    }
    Some((b, fb))
}

/// Golden section: where a function with one valley between `a` and `b` is lowest, and how low.
fn lowest(at: &mut impl FnMut(f64) -> Option<f64>, a: f64, b: f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (a, b);
    let mut value = |x: f64| at(x).unwrap_or(f64::INFINITY);
    let (mut x, mut y) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut fx, mut fy) = (value(x), value(y));
    for _ in 0..100 {
        if (b - a).abs() <= f64::EPSILON * 4.0 * (a.abs() + b.abs()) {
            break;
        }
        if fx <= fy {
            (b, y, fy) = (y, x, fx);
            x = b - GOLDEN * (b - a);
            fx = value(x);
        } else {
            (a, x, fx) = (x, y, fy);
            y = a + GOLDEN * (b - a);
            fy = value(y);
        }
    }
    if fx <= fy { (x, fx) } else { (y, fy) }
}

fn extreme<'a>(one: &mut One<'a>, local: usize, value: &'a Op, between: Option<(f64, f64)>, sign: f64) -> Outcome {
    let Some((low, high)) = between else {
        return Outcome::fault(
            Code::NO_LIMITS,
            "no limits are given to search between",
            Some("add `between A and B`"),
        );
    };
    let places = places(one, local, value, low, high);
    let mut fault = None;
    let mut at = |x: f64| -> Option<f64> {
        one.bind(local, Outcome::number(Number::Float(x)));
        match one.float(value) {
            Ok(y) if y.is_finite() => Some(-sign * y),
            Ok(_) => None,
            Err(hole) => {
                fault.get_or_insert(hole);
                None
            }
        }
    };
    let mut best: Option<(usize, f64)> = None;
    for (index, x) in places.iter().enumerate() {
        if let Some(y) = at(*x)
            && best.is_none_or(|(_, held)| y < held)
        {
            best = Some((index, y));
        }
    }
    let Some((index, held)) = best else {
        return fault.unwrap_or_else(no_limits);
    };
    let place = |index: usize| places.get(index).copied().unwrap_or(high);
    let (a, b) = (place(index.saturating_sub(1)), place(index + 1));
    let (x, y) = lowest(&mut at, a, b);
    let mut found = if y < held { (x, y) } else { (place(index), held) };
    // Comparing values alone finds the place to half the digits only; where the slope changes sign, it is found closer.
    let h = (b - a) * 1e-2;
    if found.0 - 3.0 * h > low && found.0 + 3.0 * h < high {
        let mut slope = |x: f64| -> Option<f64> {
            let (near, far) = (at(x + h)? - at(x - h)?, at(x + 2.0 * h)? - at(x - 2.0 * h)?);
            Some(8.0 * near - far)
        };
        let (left, right) = (found.0 - h, found.0 + h);
        if let (Some(l), Some(r)) = (slope(left), slope(right))
            && l < 0.0
            && r > 0.0
            && let Some((x, _)) = narrow(&mut slope, (left, l), (right, r))
            && let Some(y) = at(x)
            && y <= found.1 + found.1.abs() * 1e-14
        {
            found = (x, y);
        }
    }
    settled(float(found.0))
}
