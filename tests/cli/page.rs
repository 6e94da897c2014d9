//! The page and the trace of the shipped workbooks, as far as a person relies on them.

use super::{folder_with, run, run_in};

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

/// What is interpolated is marked on the page, and figures of protection and capacitors bring their word of care.
#[test]
fn assumptions_of_the_library_and_words_of_care() {
    let page = |text: &str| {
        let folder = folder_with("s.pole", format!("polepair 1\nsheet s\n{text}"));
        let page = run_in(folder.path(), &["work", "s.pole"]).ends(0);
        page.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let part = page("  work eta = part_load_efficiency(60 %, 90 %, 90.5 %) in %\n");
    assert!(
        part.contains("eta: assumed: interpolated from full and three quarters load"),
        "{part}"
    );
    let plate = page("  work eta = part_load_efficiency(75 %, 90 %, 90.5 %) in %\n");
    assert!(!plate.contains("interpolated"), "{plate}");
    let currents = page("  work I = full_load_current(50 hp, 460 V) in A\n");
    assert!(
        currents.contains("authorised people set them, and the local code governs"),
        "{currents}"
    );
    let capacitor = page("  work Q = capacitor_power(100 kW, 0.8, 0.95) in kvar\n");
    assert!(
        capacitor.contains("Capacitors stay charged after switching off"),
        "{capacitor}"
    );
    assert!(!currents.contains("Capacitors") && !capacitor.contains("authorised people set"));
}
