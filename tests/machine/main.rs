//! Motor physics against closed forms, balances that hold for every machine, and the language around it.
//!
//! The circuit and the run-up against SciPy: `tests/system`. Worked examples of textbooks: `tests/published`, `tests/language`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod circuit;
mod currents;
mod curves;
mod language;
mod nonsense;
mod running;
mod workbooks;

use polepair::machine::Stopped;

/// r/min to rad/s.
fn rad(turns: f64) -> f64 {
    turns * std::f64::consts::TAU / 60.0
}

#[track_caller]
fn close(found: f64, wanted: f64, part: f64) {
    let fine = (found - wanted).abs() <= part * wanted.abs().max(f64::MIN_POSITIVE);
    assert!(fine, "{found} for {wanted}");
}

/// What a refusal says.
#[track_caller]
fn words<T: std::fmt::Debug>(result: Result<T, Stopped>) -> String {
    match result {
        Err(Stopped::Said { what, .. }) => what,
        other => panic!("{other:?}"),
    }
}
