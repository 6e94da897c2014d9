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

/// A value that was typed in another unit than its line's is told as typed beside the value in that unit: on the page, in json and in
/// the table. 30 ft are 9.144 m, 20 hp are 14.914 kW (NIST SP 811, appendix B.8).
#[test]
fn what_was_typed_in_another_unit_is_told() {
    let text = "polepair 1\nsheet s\n  cases a | b\n  given H = 30 ft in m : height\n  given P = 15 kW | 20 hp in kW : shaft power\n  work E = P * (2 h) in kWh\n\n\
                list m\n  given tag : text\n  given P in kW : shaft power\n  rows tag | P\n    \"M-1\" | 15 kW\n    \"M-2\" | 20 hp\n";
    let folder = crate::folder_with("s.pole", text);
    let page = crate::run_in(folder.path(), &["work", "s.pole"]).ends(0).out;
    for told in [
        "9.1440¹",
        "¹ H: typed as 30 ft",
        "² P: typed as 20 hp [b]",
        "P: typed as 20 hp [M-2]",
    ] {
        assert!(page.contains(told), "{told} is not on the page:\n{page}");
    }
    let all = crate::run_in(folder.path(), &["work", "s.pole", "--json"])
        .ends(0)
        .json();
    let cells = &all["sheets"][0]["quantities"][1]["cells"];
    assert_eq!(cells[1]["typed"], serde_json::json!("20 hp"));
    assert!(
        cells[0].get("typed").is_none() && cells[1]["value"] == "14.91",
        "{cells}"
    );
    // A file of a list has the list alone.
    let (sheet, _) = text.split_once("\nlist").unwrap();
    std::fs::write(folder.path().join("t.pole"), sheet).unwrap();
    for (name, told) in [
        ("s", ["P: typed as 20 hp"; 2]),
        ("t", ["b: typed as 20 hp", "typed as 30 ft"]),
    ] {
        let (from, to) = (format!("{name}.pole"), format!("{name}.csv"));
        crate::run_in(folder.path(), &["export", &from, "--to", &to]).ends(0);
        let table = std::fs::read_to_string(folder.path().join(to)).unwrap();
        assert!(told.iter().all(|told| table.contains(told)), "{table}");
    }
}

/// With its sign, and with what it may be off, what was typed in another unit is told all the same; by hand 2 hp are 1.4914 kW (NIST SP 811,
/// appendix B.8).
#[test]
fn what_was_typed_with_a_sign_or_a_tolerance_is_told() {
    let text = "polepair 1\nsheet s\n  given a = -2 hp in kW\n  given b = 2 hp ± 1 hp in kW\n";
    let folder = crate::folder_with("s.pole", text);
    let page = crate::run_in(folder.path(), &["work", "s.pole"]).ends(0).out;
    for told in ["-1.491", "a: typed as -2 hp", "b: typed as 2 hp ± 1 hp"] {
        assert!(page.contains(told), "{told} is not on the page:\n{page}");
    }
}
