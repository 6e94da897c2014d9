//! Recalculation: who reads whom, loops as faults, order, what to do again, results, trace.
//!
//! For: a workbook in, results out; an edit in, only what it reaches worked again.
//! Always: an equal result stops the wave; a list column is worked as a column, in blocks, in parallel.
//! Not known here: how results are shown or stored.

pub mod results;

pub use results::*;
