//! Nanoseconds for one operation of units, factors and numbers, the best of five runs. Prints; asserts nothing.
#![allow(clippy::unwrap_used, missing_docs, reason = "a bench")]

use std::hint::black_box;
use std::time::Instant;

use polepair::quantity::{Exponent, Factor, Number, Unit, conversion, decimal, show};
use rust_decimal::Decimal;

fn measure<T>(what: &str, times: u32, mut work: impl FnMut() -> T) -> f64 {
    let best = (0..5)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..times {
                black_box(work());
            }
            start.elapsed().as_nanos() as f64 / f64::from(times)
        })
        .fold(f64::INFINITY, f64::min);
    println!("{what:<44} {best:>9.1} ns");
    best
}

fn main() {
    let unit = |text: &str| Unit::parse(text).unwrap();
    let number = |text: &str| Number::Exact(decimal::read(text).unwrap());
    let long = number("1").div(number("3")).unwrap();
    let short = number("1465");
    let (kw, hp, speed, omega, hour) = (unit("kW"), unit("hp"), unit("r/min"), unit("rad/s"), unit("h"));

    measure("read a symbol (kW)", 100_000, || Unit::parse(black_box("kW")));
    measure("read an alias (lb-ft²)", 100_000, || Unit::parse(black_box("lb-ft²")));
    measure("read a compound (N·m/(r/min))", 20_000, || {
        Unit::parse(black_box("N·m/(r/min)"))
    });
    measure("read an unknown unit (kv)", 200, || Unit::parse(black_box("kv")));
    measure("dimension product", 100_000, || {
        black_box(kw.dimension).mul(black_box(&hour.dimension))
    });
    measure("dimension power", 100_000, || {
        black_box(kw.dimension).pow(black_box(Exponent::whole(2)))
    });
    measure("factor product, small", 100_000, || {
        black_box(&kw.factor).mul(black_box(&hour.factor))
    });
    measure("factor product, horsepower", 100_000, || {
        black_box(&hp.factor).div(black_box(&speed.factor))
    });
    measure("factor root", 10_000, || {
        black_box(&hour.factor).pow(Exponent::new(1, 2).unwrap())
    });
    measure("conversion r/min to rad/s", 100_000, || {
        conversion(black_box(&speed), black_box(&omega))
    });

    let apply = |from: &Unit, to: &Unit| conversion(from, to).unwrap().factor;
    for (what, factor) in [
        ("finite (kW to W)", apply(&kw, &unit("W"))),
        ("finite, long (hp to kW)", apply(&hp, &kw)),
        ("quotient (r/min to r/s)", apply(&speed, &unit("r/s"))),
        ("quotient, long (kW to hp)", apply(&kw, &hp)),
        ("with π (r/min to rad/s)", apply(&speed, &omega)),
    ] {
        measure(&format!("apply {what}, short number"), 100_000, || {
            factor.apply_to(black_box(short))
        });
        measure(&format!("apply {what}, 28 digits"), 100_000, || {
            factor.apply_to(black_box(long))
        });
    }
    measure("apply, first use of a new factor", 10_000, || {
        Factor::new(black_box(355), 113, Exponent::ZERO)
            .unwrap()
            .apply(Decimal::ONE)
    });

    let (a, b) = (number("1465"), number("0.914"));
    measure("sum", 100_000, || black_box(a).add(black_box(b)));
    measure("product", 100_000, || black_box(a).mul(black_box(b)));
    measure("product, 28 digits", 100_000, || black_box(long).mul(black_box(b)));
    measure("quotient", 100_000, || black_box(a).div(black_box(b)));
    measure("square root", 20_000, || black_box(a).sqrt());
    measure("compare, exact", 100_000, || black_box(a).compare(black_box(b)));
    measure("compare, rounded", 100_000, || {
        black_box(a).inexact().compare(black_box(b))
    });
    measure("to double", 100_000, || black_box(long).to_f64());
    measure("shown", 20_000, || show::number(black_box(&long), None));
    measure("exact text", 20_000, || show::exact(black_box(&long)));

    let x = Decimal::new(1465, 0);
    let y = Decimal::new(914, 3);
    let bare = measure("bare decimal product", 100_000, || {
        black_box(x).checked_mul(black_box(y))
    });
    let checked = measure("checked number product", 100_000, || black_box(a).mul(black_box(b)));
    println!("checked product over bare product: {:.2}", checked / bare);
}
