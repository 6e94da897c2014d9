//! The rules of units, tags, kinds and roles, as data: formulas of the trade with givens, and what each must give or be refused for.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod bounds;
mod codes;
mod formulas;
mod functions;
mod sheet;

use sheet::Sheet;

/// A definition is worked in place: each argument settles by the kind of its parameter.
#[test]
fn definitions_are_worked_in_place() {
    let mut sheet = Sheet::default();
    sheet.define("pull", &[("P", Some("power")), ("v", Some("speed"))], "P / v");
    sheet.add("P = 12 kW");
    let line = sheet.add("F = pull(P, 4 m/s) in N");
    assert_eq!(line.number(), Some(3000.0));
    assert!(sheet.faults().is_empty());
}
