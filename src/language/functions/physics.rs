//! What physics gets: the arguments of a call as floats, and curves to ask.
//!
//! Always: coherent SI units; speeds of rotation are handed on in rad/s, as `machine` wants them.
//! Not known here: how a curve is worked.

use std::cell::{Cell, RefCell};
use std::f64::consts::TAU;

use crate::machine::{Stopped, Torque};

/// Curves among the arguments of a call.
pub trait Curves {
    /// What argument `which` gives at a place; an argument that is a number gives it everywhere.
    ///
    /// # Errors
    /// Where the curve has no value.
    fn at(&mut self, which: usize, place: f64) -> Result<f64, Stopped>;

    /// Places between two others where argument `which` bends or jumps.
    fn corners(&mut self, _which: usize, _from: f64, _to: f64) -> Vec<f64> {
        Vec::new()
    }
}

impl<F: FnMut(usize, f64) -> Result<f64, Stopped>> Curves for F {
    fn at(&mut self, which: usize, place: f64) -> Result<f64, Stopped> {
        self(which, place)
    }
}

/// The arguments of a call of physics.
pub struct Given<'a> {
    /// Arguments as floats; where a curve stands, not a number.
    numbers: &'a [f64],
    curves: RefCell<&'a mut dyn Curves>,
    went: Cell<Option<usize>>,
}

/// One curve among the arguments, over the speed in rad/s.
struct Argument<'g, 'a> {
    given: &'g Given<'a>,
    which: usize,
}

impl Torque for Argument<'_, '_> {
    fn at(&mut self, omega: f64) -> Result<f64, Stopped> {
        self.given.torque(self.which, omega)
    }

    fn corners(&mut self, from: f64, to: f64) -> Vec<f64> {
        let Ok(mut curves) = self.given.curves.try_borrow_mut() else {
            return Vec::new();
        };
        let mut corners = curves.corners(self.which, from / TAU, to / TAU);
        corners.iter_mut().for_each(|place| *place *= TAU);
        corners
    }
}

impl<'a> Given<'a> {
    /// Arguments and curves; `curves` also answers for arguments that are numbers, with the number.
    pub fn new(numbers: &'a [f64], curves: &'a mut dyn Curves) -> Given<'a> {
        Given {
            numbers,
            curves: RefCell::new(curves),
            went: Cell::new(None),
        }
    }

    /// Says which of several ways the value goes, such as a piece of a curve: where it is another one, there is a corner.
    pub fn goes(&self, way: usize) {
        self.went.set(Some(way));
    }

    /// Which way the value went, where there are several.
    pub fn went(&self) -> Option<usize> {
        self.went.get()
    }

    /// Number `at`; not a number where it is left out.
    pub fn number(&self, at: usize) -> f64 {
        self.optional(at).unwrap_or(f64::NAN)
    }

    /// Number `at`, where it is given.
    pub fn optional(&self, at: usize) -> Option<f64> {
        self.numbers.get(at).copied()
    }

    /// Numbers from `at` on.
    pub fn rest(&self, at: usize) -> &[f64] {
        self.numbers.get(at..).unwrap_or(&[])
    }

    /// Speed `at` in rad/s. (Coherent with r/min is rev/s.)
    pub fn speed(&self, at: usize) -> f64 {
        self.number(at) * TAU
    }

    /// Curve `at` of a torque over the speed in rad/s.
    pub fn torque(&self, at: usize, omega: f64) -> Result<f64, Stopped> {
        match self.curves.try_borrow_mut() {
            Ok(mut curves) => curves.at(at, omega / TAU),
            Err(_) => Err(Stopped::Curve),
        }
    }

    /// Works with the first two arguments as torques over the speed in rad/s: of the motor, of the load.
    pub fn drive<T>(
        &self,
        work: impl FnOnce(&mut dyn Torque, &mut dyn Torque) -> Result<T, Stopped>,
    ) -> Result<T, Stopped> {
        let argument = |which| Argument { given: self, which };
        work(&mut argument(0), &mut argument(1))
    }
}
