//! Recalculation: who reads whom, loops as faults, order, what to do again, results, trace.
//!
//! For: a workbook in, results out; an edit in, only what it reaches worked again.
//! Always: an equal result stops the wave; a list column is worked as a column, in blocks, in parallel.
//! Not known here: how results are shown or stored.

mod along;
mod apply;
mod bands;
mod book;
mod called;
mod edits;
mod engine;
mod graph;
mod judge;
mod lines;
mod literals;
mod look;
mod names;
mod natural;
mod plots;
mod plotted;
mod published;
mod reach;
mod report;
mod results;
mod scope;
mod seeking;
mod settle;
mod shown;
mod stepped;
mod trace;
mod typed_as;
mod waves;

pub use engine::Engine;
pub use graph::Graph;
pub use look::{Look, Would};
pub use plots::{Meeting, Plot, Trail};
pub use reach::Items;
pub use results::*;
pub use shown::{Showing, as_given, banded_of, count_of, form_of, limits_of, nominal_of, number_of, phasor_of, shown};
