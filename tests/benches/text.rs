//! How long text takes: formulas to trees, statements, rows. Prints figures; asserts nothing.

use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};

use polepair::language::syntax::parse;
use polepair::workbook::text::{read, write};

fn best(times: usize, mut work: impl FnMut()) -> Duration {
    let mut best = Duration::MAX;
    for _ in 0..times {
        let start = Instant::now();
        work();
        best = best.min(start.elapsed());
    }
    best
}

fn main() {
    let formulas: Vec<String> = (0..10_000)
        .map(|n| format!("rho_{n} * g_n * {n}.5 m³/h / eta"))
        .collect();
    let bytes: usize = formulas.iter().map(String::len).sum();
    let took = best(5, || {
        for formula in &formulas {
            black_box(parse(formula));
        }
    });
    println!(
        "10 000 formulas of {} bytes: {took:?}, {:.2} µs each",
        bytes / formulas.len(),
        took.as_secs_f64() * 1e6 / 10_000.0
    );

    let mut lines = "polepair 1\nsheet s\n".to_owned();
    for (n, formula) in formulas.iter().enumerate() {
        let _ = writeln!(lines, "  work x_{n} = {formula} in kW : shaft power \"Title {n}\"");
    }
    let took = best(3, || {
        black_box(read(&lines));
    });
    println!(
        "10 000 work lines read: {took:?}, {:.2} µs each",
        took.as_secs_f64() * 1e6 / 10_000.0
    );
    let book = read(&lines);
    let took = best(3, || {
        black_box(write(&book));
    });
    println!("10 000 work lines written: {took:?}");

    let mut list = "polepair 1\nlist m\n  given tag : text\n".to_owned();
    for column in 1..20 {
        let _ = writeln!(list, "  given c_{column} in kW : shaft power");
    }
    list.push_str("  rows tag");
    for column in 1..20 {
        let _ = write!(list, " | c_{column}");
    }
    list.push('\n');
    for row in 0..100_000 {
        let _ = write!(list, "    \"P-{row}\"");
        for column in 1..20 {
            let _ = write!(list, " | {}.{column} kW", row % 997);
        }
        list.push('\n');
    }
    let took = best(3, || {
        black_box(read(&list));
    });
    println!(
        "100 000 rows × 20 columns, {} MB, read: {took:?}, {:.0} ns a cell",
        list.len() / 1_000_000,
        took.as_secs_f64() * 1e9 / 2e6
    );
    let book = read(&list);
    let took = best(3, || {
        black_box(write(&book));
    });
    println!("written: {took:?}");
}
