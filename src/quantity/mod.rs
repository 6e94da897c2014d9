//! Quantities: dimension, kind, unit, number, and how a value is shown.
//!
//! For: everything that can be said of a quantity before and after a number is known.
//! Always: factors are exact (a fraction times a power of π) and rounded once; nobody writes a derived dimension by hand, it
//! follows from the unit's definition in `data/units.csv`.
//! Not known here: formula text, names, cells, sheets.

pub mod dimension;
pub mod fault;
pub mod decimal;
pub mod number;
pub mod phasor;
pub mod factor;
pub mod nearest;
pub mod twins;
pub mod kind;
pub mod unit;
pub mod convert;
pub mod show;
pub mod system;

pub use convert::{Conversion, ConvertFault, conversion, convert};
pub use dimension::{Base, Dimension, Exponent};
pub use factor::Factor;
pub use kind::{Conductor, Family, Hardly, Kind, Range, SpeedRole, Stage};
pub use number::{Number, NumberFault, Worked};
pub use phasor::{Phasor, PhasorForm};
pub use system::System;
pub use unit::{Unit, UnitEntry, UnitFault};
