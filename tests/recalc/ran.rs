//! What runs again after an edit, and that it gives what a fresh start gives.

use std::sync::Arc;

use polepair::fault::Fault;
use polepair::language::work::Outcome;
use polepair::recalc::{Engine, Items, Ran, Results};
use polepair::workbook::change::{Change, Place};
use polepair::workbook::text;
use proptest::prelude::*;

fn engine(text: &str) -> Engine {
    let engine = Engine::new(text::read(text));
    let errors: Vec<_> = engine
        .results()
        .faults
        .iter()
        .filter(|placed| placed.fault.is_error())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    engine
}

fn set(sheet: &str, quantity: &str, text: &str) -> Change {
    Change::SetValue {
        sheet: sheet.into(),
        quantity: quantity.into(),
        case: None,
        text: text.into(),
    }
}

fn cell(list: &str, row: usize, quantity: &str, text: &str) -> Change {
    Change::SetCell {
        list: list.into(),
        row,
        quantity: quantity.into(),
        text: text.into(),
    }
}

fn worked(ran: &Ran) -> Vec<(String, usize)> {
    ran.worked
        .iter()
        .map(|worked| (worked.line.name.to_string(), worked.count))
        .collect()
}

fn checked(ran: &Ran) -> Vec<String> {
    ran.checked.iter().map(|touched| touched.name.to_string()).collect()
}

fn pairs(list: &[(&str, usize)]) -> Vec<(String, usize)> {
    list.iter().map(|(name, count)| ((*name).to_owned(), *count)).collect()
}

const DRIVE: &str = "polepair 1
sheet drive
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  given P = 15 kW : shaft power
  work n_s = f / p in r/min
  work n = n_s * 0.97 in r/min
  work T = P / n in N·m : torque
  work cost = P * 0.2 in kW
  work twice = 2 * cost in kW
  check T < 200 N·m
";

#[test]
fn a_new_number_works_what_it_reaches_and_checks_its_own_line() {
    let mut engine = engine(DRIVE);
    let ran = engine.apply(&set("drive", "f", "60 Hz")).unwrap();
    assert_eq!(checked(&ran), ["f"]);
    assert_eq!(
        worked(&ran),
        pairs(&[("f", 1), ("n_s", 1), ("n", 1), ("T", 1), ("check T < 200 N·m", 1)])
    );
}

#[test]
fn an_equal_result_stops_the_wave() {
    let mut engine = engine(DRIVE);
    let ran = engine.apply(&set("drive", "f", "25 Hz + 25 Hz")).unwrap();
    assert_eq!(worked(&ran), pairs(&[("f", 1)]));
    let ran = engine.apply(&set("drive", "n", "n_s * 0.970")).unwrap();
    assert_eq!(worked(&ran), pairs(&[("n", 1)]));
}

#[test]
fn a_new_unit_checks_the_readers() {
    let mut engine = engine(DRIVE);
    let place = Place::Line(0, 2);
    let ran = engine
        .apply(&Change::SetLine {
            place,
            text: "given P = 15000 W : shaft power".into(),
        })
        .unwrap();
    let mut names = checked(&ran);
    names.sort();
    names.dedup();
    assert_eq!(names, ["P", "T", "cost"]);
    // The cost is the same as before: nobody behind it is worked.
    let names: Vec<String> = worked(&ran).into_iter().map(|(name, _)| name).collect();
    assert!(
        names.contains(&"cost".to_owned()) && !names.contains(&"twice".to_owned()),
        "{names:?}"
    );
}

#[test]
fn a_comment_or_note_works_nothing() {
    let mut engine = engine(DRIVE);
    let ran = engine
        .apply(&Change::InsertLine {
            place: Place::Line(0, 3),
            before: "".into(),
            text: "note \"looked at again\"".into(),
        })
        .unwrap();
    assert_eq!((checked(&ran), ran.cells()), (Vec::new(), 0));
}

#[test]
fn a_new_line_checks_itself_alone() {
    let mut engine = engine(DRIVE);
    let ran = engine
        .apply(&Change::InsertLine {
            place: Place::Line(0, 0),
            before: "".into(),
            text: "work double = 2 * T in N·m".into(),
        })
        .unwrap();
    assert_eq!(checked(&ran), ["double"]);
    assert_eq!(worked(&ran), pairs(&[("double", 1)]));
}

fn list(rows: usize) -> String {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P in kW : shaft power\n  given n in r/min : shaft speed\n  \
         work T = P / n in N·m : torque\n  work P_2 = 2 * P in kW\n  work so_far = running(P) in kW\n  rows tag | P | n\n",
    );
    for row in 0..rows {
        out.push_str(&format!("    \"M-{row}\" | {} kW | 1450 r/min\n", row + 1));
    }
    out.push_str("\nsheet plant\n  work P_all = sum(P for motors) in kW\n  work P_5 = motors(row 5).P in kW\n");
    out
}

#[test]
fn a_cell_of_a_row_works_that_row() {
    let mut engine = engine(&list(3000));
    let ran = engine.apply(&cell("motors", 2990, "n", "1475 r/min")).unwrap();
    assert!(ran.checked.is_empty());
    assert_eq!(worked(&ran), pairs(&[("n", 1), ("T", 1)]));
    assert_eq!(ran.worked[1].items, Items::Some(vec![2990]));
    // The running sum goes on to the last row; the sum of the list is worked, a far row is not.
    let ran = engine.apply(&cell("motors", 2990, "P", "5 kW")).unwrap();
    let mut found = worked(&ran);
    found.sort();
    let mut expected = pairs(&[("P", 1), ("T", 1), ("P_2", 1), ("so_far", 10), ("P_all", 1)]);
    expected.sort();
    assert_eq!(found, expected);
    // By hand: 1 + … + 3000 = 4 501 500, with 5 in place of 2991.
    let plant = &engine.results().sheets[1].quantities[0].cells[0];
    assert_eq!(plant.as_number().unwrap().to_f64(), 4_501_500.0 - 2991.0 + 5.0);
    let ran = engine.apply(&cell("motors", 4, "P", "7 kW")).unwrap();
    assert!(worked(&ran).contains(&("P_5".to_owned(), 1)));
}

#[test]
fn a_formula_in_one_cell_is_checked_alone() {
    let mut engine = engine(&list(100));
    let ran = engine.apply(&cell("motors", 3, "P", "2 * 4 kW")).unwrap();
    assert_eq!(checked(&ran), ["P"]);
    let found = worked(&ran);
    assert!(found.contains(&("T".to_owned(), 1)), "{found:?}");
    let own = &engine.results().sheets[0].quantities[1];
    assert_eq!(own.own, [3]);
    assert_eq!(own.cells[3].as_number().unwrap().to_f64(), 8.0);
}

// ---- incremental = fresh ----

fn shown(results: &Results) -> Vec<String> {
    let mut out = Vec::new();
    for sheet in &results.sheets {
        out.push(format!("{} {:?}", sheet.name, sheet.items));
        for quantity in &sheet.quantities {
            out.push(format!(
                "{} {:?} {:?} {:?} {:?}",
                quantity.name, quantity.sort, quantity.own, quantity.notes, quantity.role
            ));
            for outcome in quantity.cells.iter() {
                out.push(match outcome {
                    Outcome::Value(value) => format!("{value:?}"),
                    Outcome::Blank(why) => format!("blank {why}"),
                    Outcome::Fault(fault) => format!("fault {fault:?}"),
                });
            }
        }
        for check in sheet.checks.iter().chain(&sheet.flags) {
            out.push(format!("{check:?}"));
        }
    }
    for placed in &results.faults {
        let Fault {
            code, message, span, ..
        } = &placed.fault;
        out.push(format!(
            "{:?} {:?} {} {code} {message} {span:?} {}",
            placed.sheet, placed.item, placed.column, placed.source
        ));
    }
    out
}

const MIXED: &str = "polepair 1
define shaft(T : torque, n : shaft speed) = T * n
sheet site
  cases winter | summer
  given f = 50 Hz | 60 Hz : frequency
  given p = 4 pole : poles
  given T = 20 N·m | 30 N·m : torque
  work n_s = f / p in r/min
  work P = shaft(T, n_s) in kW
  work x = 1 + 1
  work y = x else 3
  check P > 4 kW
  flag \"slow\" where n_s < 1600 r/min
list motors
  given tag : text
  given panel : text
  given P in kW : shaft power
  given n in r/min : shaft speed
  work slip = 1500 r/min - n in r/min
  work share = P / sum(P for motors) in %
  work before = previous(P) else 0 kW in kW
  work total = (previous(total) else 0 kW) + P in kW
  check slip > 0 r/min
  rows tag | panel | P | n
    \"a\" | \"E\" | 15 kW | 1465 r/min
    \"b\" | \"W\" | 7.5 kW | 1450 r/min
    \"c\" | \"E\" | 3 kW |
    \"d\" | \"E\" | | 1480 r/min
  at \"b\" n = 1455 r/min
list panels = groups of motors by panel
  work P_sum = sum(P for motors where motors.panel = here.panel) in kW
sheet plant
  work P_all = sum(P for motors) in kW
  work best = only(tag for motors where P > 10 kW)
  work k = motors(\"a\").P + site(\"winter\").P in kW
  work m = motors(row 2).n in r/min
";

fn edits() -> Vec<Change> {
    let mut out = vec![
        set("site", "p", "6 pole"),
        set("site", "p", "2 pole"),
        set("site", "p", "4 kW"),
        set("site", "T", "25 N·m"),
        set("site", "x", "y"),
        set("site", "x", "2 + 2"),
        set("site", "x", "1 / 0"),
        set("site", "x", "missing_name"),
        set("site", "y", "x + 1"),
        set("site", "y", "x else 3"),
        set("site", "n_s", "f / p * 0.98"),
        set("site", "n_s", "f / p"),
        set("motors", "slip", "1500 r/min - n - 1 r/min"),
        set("motors", "slip", "n"),
        set("motors", "share", "P / 10 kW"),
        set("motors", "total", "previous(total) + P"),
        set("plant", "P_all", "mean(P for motors)"),
        set("plant", "P_all", "k"),
        set("plant", "k", "P_all"),
        set("plant", "k", "2 kW"),
        cell("motors", 0, "P", "16 kW"),
        cell("motors", 0, "P", "20 hp"),
        cell("motors", 0, "P", ""),
        cell("motors", 1, "P", "2 * 3 kW"),
        cell("motors", 1, "P", "motors(row 1).P"),
        cell("motors", 2, "P", "5 kVA"),
        cell("motors", 2, "n", "1440 r/min"),
        cell("motors", 3, "n", "\"fast\""),
        cell("motors", 3, "panel", "\"W\""),
        cell("motors", 1, "tag", "\"a\""),
        cell("motors", 1, "tag", "\"b\""),
        cell("motors", 1, "tag", "\"z\""),
        cell("motors", 0, "tag", "\"b\""),
        cell("motors", 2, "tag", ""),
    ];
    out.extend([
        Change::InsertRow {
            list: "motors".into(),
            at: 1,
            text: "\"e\" | \"N\" | 22 kW | 1470 r/min".into(),
        },
        Change::DeleteRow {
            list: "motors".into(),
            row: 0,
        },
        Change::MoveRow {
            list: "motors".into(),
            row: 0,
            to: 2,
        },
        Change::InsertLine {
            place: Place::Line(0, 2),
            before: "".into(),
            text: "work extra = 2 * T in N·m".into(),
        },
        Change::DeleteLine {
            place: Place::Line(0, 3),
        },
        Change::SetLine {
            place: Place::Line(0, 1),
            text: "given f = 50 Hz : frequency".into(),
        },
        Change::SetLine {
            place: Place::Line(0, 2),
            text: "given p in pole : poles".into(),
        },
        Change::SetLine {
            place: Place::Head(1),
            text: "define shaft(T : torque, n : shaft speed) = 2 * T * n".into(),
        },
        Change::InsertCase {
            sheet: "site".into(),
            at: 1,
            name: "spring".into(),
        },
        Change::DeleteCase {
            sheet: "site".into(),
            case: 0,
        },
        Change::Rename {
            sheet: Some("site".into()),
            from: "T".into(),
            to: "torque_1".into(),
        },
        Change::DeleteSheet { sheet: "panels".into() },
    ]);
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]
    /// After any edits the results are those of a workbook worked from its inputs alone; taking all back gives the first.
    #[test]
    fn incremental_is_fresh(chosen in prop::collection::vec(any::<prop::sample::Index>(), 1..8)) {
        let edits = edits();
        let mut engine = Engine::new(text::read(MIXED));
        let first = shown(engine.results());
        let mut backs = Vec::new();
        for index in chosen {
            let edit = index.get(&edits);
            let Ok((_, back)) = engine.apply_back(edit) else {
                continue;
            };
            backs.push(back);
            let fresh = Engine::new(engine.workbook().clone());
            let (ours, theirs) = (shown(engine.results()), shown(fresh.results()));
            if let Some((ours, theirs)) = ours.iter().zip(&theirs).find(|(a, b)| a != b) {
                prop_assert!(false, "after {edit:?}:\nfollowed {ours}\nfresh    {theirs}");
            }
            prop_assert_eq!(ours.len(), theirs.len());
        }
        for back in backs.into_iter().rev() {
            engine.apply(&back).unwrap();
        }
        prop_assert_eq!(shown(engine.results()), first);
    }
}

/// A row with a fault in one cell, edited in another: the fault is shown with the row as it is now.
#[test]
fn a_fault_is_shown_with_the_text_as_it_is_now() {
    let mut engine = Engine::new(text::read(MIXED));
    engine.apply(&cell("motors", 2, "P", "5 kVA")).unwrap();
    engine.apply(&cell("motors", 2, "n", "1440 r/min")).unwrap();
    let fresh = Engine::new(engine.workbook().clone());
    assert_eq!(shown(engine.results()), shown(fresh.results()));
    assert!(
        engine
            .results()
            .faults
            .iter()
            .any(|placed| placed.source.contains("1440 r/min"))
    );
}

/// Every single edit on its own, so that none is left to chance.
#[test]
fn each_edit_alone() {
    engine(MIXED);
    for edit in edits() {
        let mut engine = Engine::new(text::read(MIXED));
        if engine.apply(&edit).is_err() {
            continue;
        }
        let fresh = Engine::new(engine.workbook().clone());
        assert_eq!(shown(engine.results()), shown(fresh.results()), "{edit:?}");
    }
}

/// A tag that nothing asks for reaches its row and what gathers tags, in a short list and in a long one; where cases go by the tags,
/// all is worked anew. All data invented.
#[test]
fn another_tag_reaches_its_row_alone() {
    for (rows, by_case) in [(8, false), (300, false), (8, true)] {
        let mut text = String::from(
            "polepair 1\nlist motors\n  given tag : text\n  given P in kW : shaft power\n  work Q = 1 / (P - 4 kW) in 1/kW\n  \
             flag \"large\" where P > 280 kW\n",
        );
        if by_case {
            text.push_str("  work F = site.f\n");
        }
        text.push_str("  rows tag | P\n");
        for row in 0..rows {
            text.push_str(&format!("    \"m{row}\" | {row} kW\n"));
        }
        text.push_str("sheet plant\n  work best = only(tag for motors where P = 4 kW)\n");
        text.push_str("sheet site\n  cases ");
        let cases: Vec<String> = (0..rows).map(|row| format!("m{row}")).collect();
        text.push_str(&cases.join(" | "));
        text.push_str("\n  given f = 50 Hz\n");
        let mut engine = Engine::new(text::read(&text));
        for typed in ["\"x\"", "\"m1\"", "", "\"m4\""] {
            // By hand: 4 kW less 4 kW is nothing to divide by, so that this row has a fault.
            let (ran, back) = engine.apply_back(&cell("motors", 4, "tag", typed)).unwrap();
            if !by_case {
                let mut reached = worked(&ran);
                reached.sort();
                let wanted = [("tag", 1), ("best", 1)];
                assert!(
                    reached
                        .iter()
                        .all(|one| wanted.iter().any(|(name, count)| (*name, *count) == (&*one.0, one.1))),
                    "{rows} rows, {typed}: {reached:?}"
                );
            }
            let fresh = Engine::new(engine.workbook().clone());
            assert_eq!(shown(engine.results()), shown(fresh.results()), "{rows} rows, {typed}");
            engine.apply(&back).unwrap();
            engine.apply(&cell("motors", 4, "tag", typed)).unwrap();
            assert_eq!(
                shown(engine.results()),
                shown(fresh.results()),
                "{rows} rows, {typed}, again"
            );
        }
    }
}

/// A few cells in one step are each followed by itself; where one is refused nothing has changed.
#[test]
fn a_few_cells_in_one_step_reach_their_rows() {
    let mut engine = engine(&list(300));
    let first = shown(engine.results());
    let step = |cells: &[(usize, &str)]| {
        Change::Several(
            cells
                .iter()
                .map(|(row, text)| cell("motors", *row, "P", text))
                .collect(),
        )
    };
    let (ran, back) = engine.apply_back(&step(&[(290, "7 kW"), (295, "8 kW")])).unwrap();
    assert!(ran.cells() < 40, "{:?}", worked(&ran));
    let fresh = Engine::new(engine.workbook().clone());
    assert_eq!(shown(engine.results()), shown(fresh.results()));
    let (ran, _) = engine.apply_back(&back).unwrap();
    assert!(ran.cells() < 40, "{:?}", worked(&ran));
    assert_eq!(shown(engine.results()), first);
    assert!(engine.apply(&step(&[(290, "7 kW"), (295, "8 kW | 9 kW")])).is_err());
    assert_eq!(shown(engine.results()), first);
}

#[test]
fn results_taken_before_an_edit_stay_as_they_were() {
    let mut engine = engine(DRIVE);
    let before: Arc<[Outcome]> = engine.results().sheets[0].quantities[3].cells.clone();
    let copy = before.to_vec();
    engine.apply(&set("drive", "f", "60 Hz")).unwrap();
    assert_eq!(before.to_vec(), copy);
    assert_ne!(engine.results().sheets[0].quantities[3].cells.to_vec(), copy);
}

/// A line whose unit is not known, or that stands twice, is not worked; put right it is, and so are its readers.
#[test]
fn a_line_put_right_is_worked() {
    let mut engine = Engine::new(text::read(
        "polepair 1\nsheet a\n  given P = 3 kW\n  work k = P in kw\n  work r = k / P\n",
    ));
    let is = |engine: &Engine, quantity: usize| {
        let results = engine.results();
        results.sheets[0].quantities[quantity].cells[0].as_number().is_some()
    };
    let line = |text: &str| Change::SetLine {
        place: Place::Line(0, 1),
        text: text.into(),
    };
    assert!(!is(&engine, 1) && !is(&engine, 2));
    engine.apply(&line("work k = P in kW")).unwrap();
    assert!(is(&engine, 1) && is(&engine, 2) && engine.results().faults.is_empty());
    engine.apply(&line("work k = P in kw")).unwrap();
    assert!(!is(&engine, 1) && !is(&engine, 2));
    // Another name, and a name that is taken.
    engine.apply(&line("work P = 2 kW")).unwrap();
    assert!(is(&engine, 0) && !is(&engine, 1));
    engine.apply(&line("work k = P in kW")).unwrap();
    assert!(is(&engine, 1) && is(&engine, 2) && engine.results().faults.is_empty());
}

/// A name that is offered for an unknown one fits by its kind, also where its own line stands further down.
#[test]
fn an_offered_name_fits_whichever_line_comes_first() {
    let text = "polepair 1\nsheet a\n  given f = 50 Hz\n  work n = f / p in r/min\n  given P = 15 kW\n";
    let told = |engine: &Engine| -> Vec<String> {
        let faults = &engine.results().faults;
        faults.iter().map(|placed| placed.fault.in_words()).collect()
    };
    let mut engine = Engine::new(text::read(text));
    let fresh = told(&engine);
    assert!(fresh.iter().all(|told| !told.contains("`P`")), "{fresh:?}");
    engine.apply(&set("a", "n", "2 * f / p")).unwrap();
    engine.apply(&set("a", "n", "f / p")).unwrap();
    assert_eq!(told(&engine), fresh);
}
