//! What physics gets: the arguments of a call as floats, and curves to ask.
//!
//! Always: coherent SI units; speeds of rotation are handed on in rad/s, as `machine` wants them.
//! Not known here: how a curve is worked.

use std::cell::RefCell;
use std::f64::consts::TAU;

use crate::machine::{Stopped, Torque};

/// What asks a curve: which argument, and at what.
pub type Ask<'a> = dyn FnMut(usize, f64) -> Result<f64, Stopped> + 'a;

/// The arguments of a call of physics.
pub struct Given<'a> {
    /// Arguments as floats; where a curve stands, not a number.
    numbers: &'a [f64],
    ask: RefCell<&'a mut Ask<'a>>,
}

impl<'a> Given<'a> {
    /// Arguments and curves; `ask` also answers for arguments that are numbers, with the number.
    pub fn new(numbers: &'a [f64], ask: &'a mut Ask<'a>) -> Given<'a> {
        Given {
            numbers,
            ask: RefCell::new(ask),
        }
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
        match self.ask.try_borrow_mut() {
            Ok(mut ask) => ask(at, omega / TAU),
            Err(_) => Err(Stopped::Curve),
        }
    }

    /// Works with the first two arguments as torques over the speed in rad/s: of the motor, of the load.
    pub fn drive<T>(
        &self,
        work: impl FnOnce(&mut Torque<'_>, &mut Torque<'_>) -> Result<T, Stopped>,
    ) -> Result<T, Stopped> {
        work(&mut |omega| self.torque(0, omega), &mut |omega| self.torque(1, omega))
    }
}
