//! One edit that reaches 100 cells, in a workbook of 10 000 dependent cells; a row put into a list of 100 000 and taken out again; 1 000
//! cells of that list in one step, beside as many one by one.
//! Prints the times; fails nothing. All data is invented.
#![allow(clippy::unwrap_used, missing_docs)]

use std::time::Instant;

use polepair::recalc::Engine;
use polepair::workbook::change::Change;
use polepair::workbook::text;

fn main() {
    // A hundred chains of a hundred names, each from a given of its own.
    let mut out = String::from("polepair 1\nsheet bench\n");
    for chain in 0..100 {
        out.push_str(&format!("  given c{chain}_0 = {} kW : shaft power\n", chain + 1));
        for link in 1..100 {
            out.push_str(&format!(
                "  work c{chain}_{link} = c{chain}_{} * 1.001 + 2 W in kW\n",
                link - 1
            ));
        }
    }
    let mut engine = Engine::new(text::read(&out));
    assert!(
        engine.results().faults.is_empty(),
        "{:?}",
        engine.results().faults.first()
    );
    let mut times = Vec::new();
    for turn in 0..200 {
        let change = Change::SetValue {
            sheet: "bench".into(),
            quantity: format!("c{}_0", turn % 100).into(),
            case: None,
            text: format!("{}.5 kW", turn + 3).into(),
        };
        let start = Instant::now();
        let ran = engine.apply(&change).unwrap();
        times.push(start.elapsed().as_secs_f64());
        assert_eq!(ran.cells(), 100);
    }
    times.sort_by(f64::total_cmp);
    let at = |part: usize| times.get(times.len() * part / 100).copied().unwrap_or(f64::NAN) * 1e3;
    println!("one edit, 100 of 10 000 dependent cells reached, 200 times");
    println!(
        "  median                        {:8.3} ms   (target 1 ms on an idle machine)",
        at(50)
    );
    println!("  nine of ten within            {:8.3} ms", at(90));
    rows();
}

/// Rows of a list come and go.
fn rows() {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given P in kW : shaft power\n  given n_r in r/min : rated speed\n  \
         given n in r/min : measured speed\n  given n_s = 1500 r/min : synchronous speed\n  \
         work s_r = (n_s - n_r) / n_s in %\n  work load = (n_s - n) / (n_s - n_r) in %\n  work P_2 = load * P in kW\n  \
         rows tag | P | n_r | n\n",
    );
    for row in 0..100_000 {
        let (rated, measured) = (1400 + row % 80, 1480 + row % 15);
        out.push_str(&format!(
            "    \"M-{row}\" | {} kW | {rated} r/min | {measured} r/min\n",
            1 + row % 90
        ));
    }
    let mut engine = Engine::new(text::read(&out));
    let list: std::sync::Arc<str> = "motors".into();
    let mut times = [Vec::new(), Vec::new()];
    for turn in 0..20 {
        let changes = [
            Change::InsertRow {
                list: list.clone(),
                at: 50_000 + turn,
                text: "\"new\" | 5 kW | 1450 r/min | 1470 r/min".into(),
            },
            Change::DeleteRow {
                list: list.clone(),
                row: 50_000 + turn,
            },
        ];
        for (change, times) in changes.iter().zip(&mut times) {
            let start = Instant::now();
            let _ = engine.apply(change).unwrap();
            times.push(start.elapsed().as_secs_f64() * 1e3);
        }
    }
    for (what, times) in ["put in", "taken out"].iter().zip(&mut times) {
        times.sort_by(f64::total_cmp);
        let median = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
        println!(
            "a row {what}, list of 100 000 rows:      {median:8.1} ms   median of {}",
            times.len()
        );
    }
    many(&mut engine, &list);
}

/// A thousand cells in one step and one by one: what a table that is pasted does.
fn many(engine: &mut Engine, list: &std::sync::Arc<str>) {
    let cells = |turn: usize| -> Vec<Change> {
        let cell = |row: usize| Change::SetCell {
            list: list.clone(),
            row: 90 * row,
            quantity: "n".into(),
            text: format!("{} r/min", 1480 + (row + turn) % 17).into(),
        };
        (0..1000).map(cell).collect()
    };
    let took = |work: &mut dyn FnMut()| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e3
    };
    let once = took(&mut || drop(engine.apply(&Change::Several(cells(1))).unwrap()));
    let each = took(&mut || cells(2).iter().for_each(|change| drop(engine.apply(change).unwrap())));
    let turn = took(&mut || {
        let _ = engine
            .apply(&Change::InsertRow {
                list: list.clone(),
                at: 0,
                text: "\"new\" | 5 kW | 1450 r/min | 1470 r/min".into(),
            })
            .unwrap();
    });
    println!(
        "1 000 cells of that list in one step: {once:8.1} ms   one by one {each:8.1} ms, planned anew once {turn:8.1} ms"
    );
}
