//! Formulas made to be too much: deep ones, and definitions that call each other until they would fill the machine.

use polepair::fault::Code;
use polepair::language::check::{self, Target};
use polepair::language::syntax;

use super::sheet::Sheet;

#[test]
fn deep_formulas_are_checked_or_refused() {
    let sheet = Sheet::default();
    for (open, close) in [
        ("abs(", ")"),
        ("-(", ")"),
        ("2 * (1 + ", ")"),
        ("1 + (2 * ", ")"),
        ("sqrt(", ")"),
        ("(3 + ", ")^2"),
    ] {
        for depth in [20, 90, 180, 400] {
            let text = format!("{}2{}", open.repeat(depth), close.repeat(depth));
            let (tree, _) = syntax::parse(&text);
            let _ = check::formula(&tree, &text, &Target::default(), &sheet);
        }
    }
}

#[test]
fn definitions_that_double_each_time_are_refused_in_time() {
    let mut sheet = Sheet::default();
    sheet.define("d_0", &[("x", None)], "x + x");
    for at in 1..39 {
        let before = at - 1;
        sheet.define(
            &format!("d_{at}"),
            &[("x", None)],
            &format!("d_{before}(x) + d_{before}(x)"),
        );
    }
    let line = sheet.add("y = d_38(1)");
    assert!(line.typed.faults.iter().any(|fault| fault.code == Code::TOO_LONG));
    assert!(line.typed.op.is_none());
}

#[test]
fn deep_definitions_are_refused() {
    let mut sheet = Sheet::default();
    let (open, close) = ("abs(1 + ".repeat(60), ")".repeat(60));
    sheet.define("d_0", &[("x", None)], "x");
    for at in 1..39 {
        let before = at - 1;
        sheet.define(
            &format!("d_{at}"),
            &[("x", None)],
            &format!("{open}d_{before}(x){close}"),
        );
    }
    let line = sheet.add("y = d_38(1)");
    assert!(line.typed.faults.iter().any(|fault| fault.code == Code::TOO_LONG));
}
