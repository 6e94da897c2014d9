//! Bands of tolerances: a sheet of 50 quantities by 10 000 shared draws, and a list of 5 000 rows. Prints times; fails nothing.
#![allow(clippy::unwrap_used, missing_docs)]

use std::time::Instant;

use polepair::recalc::{Engine, How};
use polepair::workbook::change::Change;
use polepair::workbook::text;

/// A sheet whose every result turns back within the limits, so that all of them need draws.
fn sheet(tolerance: &str) -> String {
    let mut out = String::from("polepair 1\nsheet bench\n");
    for at in 0..5 {
        out.push_str(&format!("  given x_{at} = {at}.5 kW{tolerance}\n"));
    }
    out.push_str("  work y_0 = (x_0 - 0.5 kW) * (x_0 - 0.5 kW) / (1 kW) in kW\n");
    for at in 1..45 {
        let (one, other) = (at % 5, (at + 1) % 5);
        out.push_str(&format!(
            "  work y_{at} = y_{} * 0.9 + (x_{one} - {one}.5 kW) * (x_{one} - {one}.5 kW) * x_{other} / (5 kW * 1 kW) in kW\n",
            at - 1,
        ));
    }
    out
}

/// A list of load by slip; where it turns back, its results do so within the limits of each row.
fn list(tolerance: &str, turns: bool) -> String {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given n in r/min : measured speed\n  given n_r in r/min : rated speed\n",
    );
    out.push_str("  given n_s = 1500 r/min : synchronous speed\n  given P_r in kW : rated power\n");
    if turns {
        out.push_str("  given n_0 in r/min : shaft speed\n");
        out.push_str("  work s = ((n - n_0) / (3 r/min))^2 * n_r / n_s in %\n  work s_r = s * (2 - (n - n_0) / (9 r/min)) in %\n");
        out.push_str("  work load = s + s_r in %\n  work P = load * P_r in kW\n  work T = P / n_r in N·m\n");
        out.push_str("  rows tag | n | n_r | P_r | n_0\n");
    } else {
        out.push_str("  work s = (n_s - n) / n_s in %\n  work s_r = (n_s - n_r) / n_s in %\n  work load = (n_s - n) / (n_s - n_r) in %\n");
        out.push_str("  work P = load * P_r in kW\n  work T = P / n in N·m\n  rows tag | n | n_r | P_r\n");
    }
    for row in 0..5000 {
        let n = 1475 + row % 15;
        out.push_str(&format!(
            "    \"m{row}\" | {n} r/min{tolerance} | {} r/min{tolerance} | 15 kW{}\n",
            1440 + row % 25,
            if turns { format!(" | {n} r/min") } else { String::new() }
        ));
    }
    out
}

fn median(mut run: impl FnMut() -> f64) -> f64 {
    let mut times: Vec<f64> = (0..9).map(|_| run()).collect();
    times.sort_by(f64::total_cmp);
    times.get(4).copied().unwrap_or(f64::NAN) * 1e3
}

fn main() {
    let timed = |text: &str| {
        let workbook = text::read(text);
        median(|| {
            let workbook = workbook.clone();
            let start = Instant::now();
            let engine = Engine::new(workbook);
            assert!(
                engine.results().faults.is_empty(),
                "{:?}",
                engine.results().faults.first()
            );
            start.elapsed().as_secs_f64()
        })
    };
    let drawn = |text: &str| {
        let engine = Engine::new(text::read(text));
        let sheets = engine.results().sheets.iter();
        let bands = sheets
            .flat_map(|sheet| &sheet.quantities)
            .flat_map(|quantity| &quantity.bands);
        bands.filter(|(_, band)| band.how == How::Draws).count()
    };
    println!(
        "a sheet of 50 quantities, {} of them by 10 000 draws",
        drawn(&sheet(" ± 10 %"))
    );
    let (with, without) = (timed(&sheet(" ± 10 %")), timed(&sheet("")));
    println!(
        "  with bands                    {with:8.1} ms   without {without:.1} ms   (target for the bands 50 ms on an idle machine)"
    );
    let mut engine = Engine::new(text::read(&sheet(" ± 10 %")));
    let mut turn = 0;
    let edit = median(|| {
        turn += 1;
        let change = Change::SetValue {
            sheet: "bench".into(),
            quantity: "x_0".into(),
            case: None,
            text: format!("0.5{turn} kW ± 10 %").into(),
        };
        let start = Instant::now();
        engine.apply(&change).unwrap();
        start.elapsed().as_secs_f64()
    });
    println!("  an edit of one input          {edit:8.1} ms");
    for (turns, how) in [(false, "by corners"), (true, "by draws")] {
        let (banded, plain) = (list(" ± 2 r/min", turns), list("", turns));
        println!(
            "a list of 5 000 rows, two tolerances a row, five results, {} cells by 1 000 draws",
            drawn(&banded)
        );
        println!(
            "  with bands {how:10}        {:8.1} ms   without {:.1} ms   (target for the bands 1 000 ms)",
            timed(&banded),
            timed(&plain)
        );
    }
}
