//! The page and the trace of the shipped workbooks, as far as a person relies on them.

use super::run;

#[test]
fn page_of_a_worked_sheet() {
    let page = run(&["work", "workbooks/conveyor-drive.pole"]).ends(0);
    for part in [
        "Gravel works: drive of the inclined conveyor",
        "client: Example works, invented",
        "dry",
        "wet",
        "Shaft power of the motor",
        "measured \"belt scale, 2 March\"",
        "✓",
        "Ten per cent of power in hand",
        "Assumed:",
        "Friction of belt and idlers",
        "all 6 checks hold",
    ] {
        assert!(page.out.contains(part), "{part} is missing in\n{}", page.out);
    }
    assert!(!page.out.contains('\u{1b}'), "no colour where nobody looks on");
    assert!(page.out.lines().all(|l| l.chars().count() <= 100), "{}", page.out);
    assert_eq!(page.err, "");
}

#[test]
fn trace_shows_formula_numbers_and_inputs() {
    let page = run(&["work", "workbooks/small-motor.pole", "--trace"]).ends(0);
    for part in [
        "f / p",
        "50 Hz / 4 pole",
        "1500 r/min",
        "T * n",
        "9.8 N·m",
        "1430 r/min",
        "measured \"tachometer\"",
    ] {
        assert!(page.out.contains(part), "{part} is missing in\n{}", page.out);
    }
}
