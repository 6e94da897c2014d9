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
    out.push_str("  work y_0 = (x_0 - 0.5 kW) * (x_1 - 1.5 kW) / (1 kW) in kW\n");
    for at in 1..45 {
        out.push_str(&format!(
            "  work y_{at} = y_{} * 0.9 + x_{} * (x_{} / (10 kW)) in kW\n",
            at - 1,
            at % 5,
            (at + 1) % 5
        ));
    }
    out
}

fn list(tolerance: &str) -> String {
    let mut out = String::from(
        "polepair 1\nlist motors\n  given tag : text\n  given n in r/min : measured speed\n  given n_r in r/min : rated speed\n",
    );
    out.push_str("  given n_s = 1500 r/min : synchronous speed\n  given P_r in kW : rated power\n");
    out.push_str("  work s = (n_s - n) / n_s in %\n  work s_r = (n_s - n_r) / n_s in %\n  work load = (n_s - n) / (n_s - n_r) in %\n");
    out.push_str("  work P = load * P_r in kW\n  work T = P / n in N·m\n  rows tag | n | n_r | P_r\n");
    for row in 0..5000 {
        out.push_str(&format!(
            "    \"m{row}\" | {} r/min{tolerance} | {} r/min{tolerance} | 15 kW\n",
            1475 + row % 15,
            1440 + row % 25
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
    let engine = Engine::new(text::read(&sheet(" ± 10 %")));
    let bands = engine.results().sheets.iter().flat_map(|sheet| &sheet.quantities);
    let drawn = bands
        .flat_map(|quantity| &quantity.bands)
        .filter(|(_, band)| band.how == How::Draws);
    println!("a sheet of 50 quantities, {} of them by 10 000 draws", drawn.count());
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
    println!("a list of 5 000 rows, two tolerances a row, five results");
    let (with, without) = (timed(&list(" ± 2 r/min")), timed(&list("")));
    println!(
        "  with bands by corners         {with:8.1} ms   without {without:.1} ms   (target for the bands 1 000 ms)"
    );
}
