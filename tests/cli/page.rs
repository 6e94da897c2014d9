//! The page and the trace of the shipped workbooks, as far as a person relies on them.

use super::{run, run_in};

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

/// Where a hoist is worked, the page says what holds for hoists.
#[test]
fn a_hoist_has_its_caution() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet drive \"Yard hoist 2\"\n  given m = 1000 kg : mass\n  work T = hoist_torque(m, 400 mm, 20, 80 %) in N·m : load torque\n";
    std::fs::write(folder.path().join("hoist.pole"), text).unwrap();
    let page = run_in(folder.path(), &["work", "hoist.pole"]).ends(0);
    let _ = page.says("Nobody stands under a hoisted load");
    std::fs::write(folder.path().join("other.pole"), text.replace("Yard hoist 2", "Yard")).unwrap();
    let page = run_in(folder.path(), &["work", "other.pole"]).ends(0);
    assert!(!page.out.contains("hoisted load"), "{}", page.out);
}
