//! Motor physics: equivalent circuit, torque through named points, where curves meet, run-up, circuit fitted to a plate.
//!
//! For: what a formula of the language cannot say in one line. Simple relations stand in `language::functions` as formulas.
//! Always: plain floats in coherent SI units, speeds in rad/s; speeds in messages in r/min. What has no answer is said in words.
//! Not known here: units as typed, kinds, names, cells.

pub mod circuit;
pub mod fit;
pub mod meet;
pub mod points;
pub mod quadrature;
pub mod run_up;

use std::f64::consts::TAU;

/// Why there is no result.
#[derive(Clone, Debug, PartialEq)]
pub enum Stopped {
    /// What was found, and what to try.
    Said {
        /// Whether the drive stalls; else the values are such that there is no result.
        stall: bool,
        /// What was found.
        what: String,
        /// What to try.
        help: String,
    },
    /// There is nothing of the kind, which is no mistake: a blank with this sentence.
    Nothing(String),
    /// A curve gave no value somewhere; whoever worked it knows why.
    Curve,
}

impl Stopped {
    /// A reason in words.
    pub fn said(what: impl Into<String>, help: impl Into<String>) -> Stopped {
        Stopped::Said {
            stall: false,
            what: what.into(),
            help: help.into(),
        }
    }

    /// The drive stalls: where and why.
    pub fn stall(what: impl Into<String>, help: impl Into<String>) -> Stopped {
        Stopped::Said {
            stall: true,
            what: what.into(),
            help: help.into(),
        }
    }
}

/// A torque over speed, N·m over rad/s.
pub trait Torque {
    /// The torque at a speed.
    ///
    /// # Errors
    /// Where the curve has no value.
    fn at(&mut self, omega: f64) -> Result<f64, Stopped>;

    /// Speeds between two others where the curve bends or jumps: its given points, and both sides of each jump. A peak between
    /// two of them is missed by whoever looks at other places only.
    fn corners(&mut self, _from: f64, _to: f64) -> Vec<f64> {
        Vec::new()
    }
}

impl<F: FnMut(f64) -> Result<f64, Stopped>> Torque for F {
    fn at(&mut self, omega: f64) -> Result<f64, Stopped> {
        self(omega)
    }
}

/// The places at which a span is looked at, in its direction: so many parts, and the corners of both curves.
fn places(motor: &mut dyn Torque, load: &mut dyn Torque, from: f64, to: f64, parts: u32) -> Vec<f64> {
    let mut places: Vec<f64> = (0..parts)
        .map(|part| from + (to - from) * f64::from(part) / f64::from(parts))
        .collect();
    places.push(to);
    let inside = |omega: &f64| (*omega - from) * (to - *omega) > 0.0;
    let mut corners = motor.corners(from, to);
    corners.extend(load.corners(from, to));
    if !corners.is_empty() {
        places.extend(corners.into_iter().filter(inside));
        places.sort_by(|a, b| (a * (to - from)).total_cmp(&(b * (to - from))));
        places.dedup();
    }
    places
}

/// A speed in rad/s in words: `1478 r/min`.
pub(crate) fn speed(omega: f64) -> String {
    let turns = omega * 60.0 / TAU;
    let digits = if turns.abs() < 99.95 { 1 } else { 0 };
    let text = format!("{turns:.digits$}");
    // No `-0`, no `412.0`.
    let text = text.strip_suffix(".0").unwrap_or(&text);
    format!("{} r/min", if text == "-0" { "0" } else { text })
}

/// A torque in N·m in words.
pub(crate) fn moment(torque: f64) -> String {
    let size = torque.abs();
    let digits = if size < 9.995 {
        2
    } else if size < 99.95 {
        1
    } else {
        0
    };
    format!("{torque:.digits$} N·m")
}

#[cfg(test)]
mod tests {
    use super::{moment, speed};

    #[test]
    fn words() {
        assert_eq!(speed(157.079_632_679), "1500 r/min");
        assert_eq!(speed(-0.000_001), "0 r/min");
        assert_eq!(speed(5.0), "47.7 r/min");
        assert_eq!(moment(95.49), "95.5 N·m");
        assert_eq!(moment(954.9), "955 N·m");
    }
}
