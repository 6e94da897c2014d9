//! A curve through points: monotone cubic pieces without overshoot.
//!
//! Always: between two points the curve stays between their values; outside the first and last point there is no value.
//! Source of the slopes: F. N. Fritsch, J. Butland, "A method for constructing local monotone piecewise cubic interpolants",
//! SIAM J. Sci. Stat. Comput. 5 (1984): weighted harmonic mean inside, one-sided three-point slope at the ends.

use std::sync::Arc;

use super::Outcome;
use super::one::One;
use super::steps::{float, settled};
use crate::fault::{Code, Words};
use crate::language::check::{Op, PointCurve};

/// Points in ascending order with their slopes.
#[derive(Clone, Debug, PartialEq)]
pub struct Monotone {
    points: Vec<Knot>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    x: f64,
    y: f64,
    slope: f64,
}

impl Monotone {
    /// A curve through at least two points in any order; `None` where two have the same argument or a number is not finite.
    pub fn through(points: &[(f64, f64)]) -> Option<Monotone> {
        if points.len() < 2 || points.iter().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
            return None;
        }
        let mut points: Vec<Knot> = points.iter().map(|&(x, y)| Knot { x, y, slope: 0.0 }).collect();
        points.sort_by(|a, b| a.x.total_cmp(&b.x));
        let steps: Vec<(f64, f64)> = points
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((b.x - a.x, (b.y - a.y) / (b.x - a.x))),
                _ => None,
            })
            .collect();
        if steps.iter().any(|(width, slope)| *width <= 0.0 || !slope.is_finite()) {
            return None;
        }
        let slopes = slopes(&steps);
        for (knot, slope) in points.iter_mut().zip(slopes) {
            knot.slope = slope;
        }
        Some(Monotone { points })
    }

    /// First and last argument.
    pub fn range(&self) -> (f64, f64) {
        let first = self.points.first().map_or(f64::NAN, |knot| knot.x);
        let last = self.points.last().map_or(f64::NAN, |knot| knot.x);
        (first, last)
    }

    /// The value at `x`; `None` outside the points.
    pub fn at(&self, x: f64) -> Option<f64> {
        self.with_piece(x).map(|(value, _)| value)
    }

    /// The value at `x` and the piece it lies in, counted from the first.
    pub fn with_piece(&self, x: f64) -> Option<(f64, usize)> {
        let after = self.points.partition_point(|knot| knot.x <= x);
        let piece = after.checked_sub(1)?;
        let left = self.points.get(piece)?;
        let Some(right) = self.points.get(after) else {
            return (left.x == x).then_some((left.y, piece.saturating_sub(1)));
        };
        let width = right.x - left.x;
        let t = (x - left.x) / width;
        // Hermite form, arranged around the left value so that a flat piece is exactly flat.
        let rise = right.y - left.y;
        let (a, b) = (left.slope * width - rise, rise - right.slope * width);
        Some((left.y + t * rise + t * (1.0 - t) * (a * (1.0 - t) + b * t), piece))
    }
}

/// The slope at each point from the widths and slopes of the pieces between them.
fn slopes(steps: &[(f64, f64)]) -> Vec<f64> {
    let mut out = Vec::with_capacity(steps.len() + 1);
    match steps {
        [] => {}
        [(_, slope)] => out.extend([*slope, *slope]),
        [first, second, ..] => {
            out.push(end_slope(*first, *second));
            for pair in steps.windows(2) {
                if let [(h0, d0), (h1, d1)] = *pair {
                    out.push(if d0 * d1 <= 0.0 {
                        0.0
                    } else {
                        let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
                        (w0 + w1) / (w0 / d0 + w1 / d1)
                    });
                }
            }
            if let [.., before, last] = steps {
                out.push(end_slope(*last, *before));
            }
        }
    }
    out
}

fn end_slope((h0, d0): (f64, f64), (h1, d1): (f64, f64)) -> f64 {
    let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if slope * d0 <= 0.0 {
        0.0
    } else if d0 * d1 < 0.0 && slope.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        slope
    }
}

/// The value of a curve of the sheet.
pub(super) fn at<'a>(one: &mut One<'a>, curve: &'a Arc<PointCurve>, argument: &'a Op) -> Outcome {
    let x = match one.float(argument) {
        Ok(x) => x,
        Err(outcome) => return outcome,
    };
    let key = Arc::as_ptr(curve) as usize;
    let made = match one.shared.curves.get(&key) {
        Some(made) => made.clone(),
        None => make(one, curve),
    };
    let made = match made {
        Ok(made) => made,
        Err(outcome) => return outcome,
    };
    match made.with_piece(x) {
        Some((y, piece)) => {
            one.way.goes(piece);
            settled(float(y))
        }
        None => {
            let (first, last) = made.range();
            Outcome::fault(
                Code::OUTSIDE_CURVE,
                {
                    let words = Words::from(format!("{} is given from ", curve.name));
                    let words = with_unit(words, first, &curve.unit).and(" to ");
                    let words = with_unit(words, last, &curve.unit).and(" and asked at ");
                    with_unit(words, x, &curve.unit)
                },
                Some("add points on that side, or stay between the first and the last point"),
            )
        }
    }
}

/// Words with a value behind them.
pub(super) fn with_unit(words: Words, number: f64, unit: &str) -> Words {
    let said = plain(number);
    match unit {
        "1" | "" => words.and(&said),
        unit => words.amount(&format!("{said} {unit}"), number.to_string(), unit),
    }
}

/// Works the points of a curve.
pub(super) fn make<'a>(one: &mut One<'a>, curve: &'a PointCurve) -> Result<Arc<Monotone>, Outcome> {
    let mut points = Vec::with_capacity(curve.points.len());
    for (x, y) in &curve.points {
        points.push((one.float(x)?, one.float(y)?));
    }
    Monotone::through(&points).map(Arc::new).ok_or_else(|| {
        Outcome::fault(
            Code::CURVE_POINTS,
            format!("the points of {} do not make a curve", curve.name),
            Some("give at least two points, each at another argument"),
        )
    })
}

/// A float for a message.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.5e}");
    match text.parse::<f64>() {
        Ok(short) if short == 0.0 || (1e-4..1e9).contains(&short.abs()) => format!("{short}"),
        _ => text,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::Monotone;

    /// Values of `scipy.interpolate.PchipInterpolator`, SciPy 1.17.1, for the same points.
    #[test]
    fn values_of_a_reference_library() {
        type Points = &'static [(f64, f64)];
        let cases: [(Points, Points); 4] = [
            (
                &[(0.0, 30.0), (500.0, 35.0), (1000.0, 60.0), (1450.0, 90.0)],
                &[
                    (100.0, 30.253333333333334),
                    (250.0, 31.458333333333336),
                    (999.0, 59.942676151088776),
                    (1200.0, 72.3644429642255),
                ],
            ),
            (
                &[(0.0, 0.0), (1.0, 2.0), (2.0, 2.0), (3.0, -1.0), (4.5, 5.0)],
                &[
                    (0.25, 0.734375),
                    (0.5, 1.375),
                    (1.5, 2.0),
                    (2.5, 0.5),
                    (3.2, -0.8979555555555554),
                    (4.4, 4.209244444444447),
                ],
            ),
            (&[(1.0, 2.0), (3.0, 8.0)], &[(1.5, 3.5)]),
            (
                &[(3.0, 11.0), (0.0, 0.0), (1.0, 10.0)],
                &[
                    (0.1, 1.3369705882352942),
                    (0.5, 6.513480392156863),
                    (2.0, 10.764705882352942),
                    (2.9, 10.997779411764705),
                ],
            ),
        ];
        for (points, values) in cases {
            let curve = Monotone::through(points).unwrap();
            for (x, expected) in values {
                let found = curve.at(*x).unwrap();
                assert!(
                    (found - expected).abs() <= 1e-12 * expected.abs().max(1.0),
                    "{x}: {found} {expected}"
                );
            }
        }
    }

    #[test]
    fn through_each_point_and_nowhere_else() {
        let curve = Monotone::through(&[(0.0, 1.0), (1.0, 3.0), (2.0, 3.5)]).unwrap();
        assert_eq!(curve.at(0.0), Some(1.0));
        assert_eq!(curve.at(1.0), Some(3.0));
        assert_eq!(curve.at(2.0), Some(3.5));
        assert_eq!(curve.at(-0.001), None);
        assert_eq!(curve.at(2.001), None);
    }

    #[test]
    fn no_curve() {
        assert_eq!(Monotone::through(&[(0.0, 1.0)]), None);
        assert_eq!(Monotone::through(&[(0.0, 1.0), (0.0, 2.0)]), None);
        assert_eq!(Monotone::through(&[(0.0, f64::NAN), (1.0, 2.0)]), None);
    }
}
