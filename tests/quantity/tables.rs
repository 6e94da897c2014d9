//! The published tables: every file reads, and the cross-checks of their sources hold.
//!
//! Each check names what the table is held against: a second published reading, a formula of the standard, or a rule.

use std::collections::BTreeSet;

use polepair::quantity::decimal::read;
use polepair::standards::{Basis, Entry, Holds, Key, Table, tables};
use rust_decimal::Decimal;

fn table(name: &str) -> &'static Table {
    tables::find(name).unwrap_or_else(|| panic!("{name}"))
}

fn number(text: &str) -> Decimal {
    read(text).unwrap()
}

/// A value sought by numbers and texts: `("P", "50")`, `("class", "IE3")`.
fn value(table: &Table, column: &str, keys: &[(&str, &str)]) -> Decimal {
    let keys: Vec<(&str, Key)> = keys
        .iter()
        .map(|(name, text)| {
            let key = match table.column(name).unwrap().holds {
                Holds::Numbers { .. } => Key::Number(number(text)),
                _ => Key::Text(text),
            };
            (*name, key)
        })
        .collect();
    table
        .only(column, &keys)
        .unwrap_or_else(|| panic!("{} {column} {keys:?}", table.name))
        .value
}

fn count(table: &Table, basis: Basis) -> usize {
    table.bases.iter().filter(|held| **held == basis).count()
}

#[test]
fn every_file_reads_and_every_file_is_in_the_list() {
    assert_eq!(tables::check(), Vec::<String>::new());
    let files: BTreeSet<String> = std::fs::read_dir("src/standards/data")
        .unwrap()
        .map(|entry| entry.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    let listed: BTreeSet<String> = tables::names().map(str::to_owned).collect();
    assert_eq!(files, listed);
    for table in tables::all() {
        let publication = &table.publication;
        for said in [
            &publication.title,
            &publication.edition,
            &publication.source,
            &publication.basis,
        ] {
            assert!(said.len() > 4, "{}: {publication:?}", table.name);
        }
        assert!(table.rows() > 2, "{}", table.name);
        let mut names = BTreeSet::new();
        for column in &table.columns {
            assert!(names.insert(column.name.clone()), "{} {}", table.name, column.name);
            assert_eq!(column.entries.len(), table.rows(), "{} {}", table.name, column.name);
            assert!(
                column.entries.iter().any(|entry| *entry != Entry::Blank),
                "{} {}",
                table.name,
                column.name
            );
        }
    }
}

/// Rows read, recomputed and from memory, as the source list of the tables counts them.
#[test]
fn rows_keep_how_they_are_known() {
    let known = |name: &str| {
        let table = table(name);
        Basis::ALL.map(|basis| count(table, basis))
    };
    assert_eq!(known("nec_430_250"), [134, 0, 0]);
    assert_eq!(known("nec_430_248"), [48, 0, 0]);
    assert_eq!(known("iec_60034_30_1"), [0, 348, 136]);
    assert_eq!(known("iec_60034_30_1_coefficients"), [24, 0, 3]);
    assert_eq!(known("nema_mg1_10_37_2"), [19, 0, 0]);
    assert_eq!(known("iec_60072_1"), [24, 0, 15]);
    assert_eq!(known("nema_mg1_12_54"), [145, 0, 0]);
    assert_eq!(known("nema_mg10_2_3"), [60, 0, 0]);
    assert_eq!(known("ambient_altitude"), [49, 0, 0]);
    assert_eq!(known("nema_mg1_12_10"), [0, 0, 51]);
}

/// IEC 60034-30-1 by coefficients: A x³ + B x² + C x + D, x = log10(P / 1 kW), rounded to 0.1 (UK SI 2021/745 Tables 27, 28).
/// 348 values of IE2 to IE4 were compared by the source list, 66 of IE1 with remembered coefficients.
#[test]
fn efficiency_classes_follow_from_their_coefficients() {
    let limits = table("iec_60034_30_1");
    let coefficients = table("iec_60034_30_1_coefficients");
    let mut compared = [0, 0];
    for row in 0..limits.rows() {
        let class = limits.text("class", row).unwrap();
        let get = |name: &str| limits.listed(name, row).unwrap().value;
        let (poles, power, eta) = (get("p"), get("P"), get("eta"));
        let fits = coefficients
            .rows_where(&[("class", Key::Text(class)), ("p", Key::Number(poles))])
            .into_iter()
            .find(|row| {
                let end = |name: &str| coefficients.listed(name, *row).unwrap().value;
                end("P_from") <= power && power <= end("P_to")
            });
        let Some(fits) = fits else {
            continue;
        };
        let number = |name: &str| {
            let value = coefficients.listed(name, fits).unwrap().value;
            polepair::quantity::decimal::to_f64(value)
        };
        let x = polepair::quantity::decimal::to_f64(power).log10();
        let worked = number("a") * x.powi(3) + number("b") * x.powi(2) + number("c") * x + number("d");
        let worked = (worked * 10.0).round() / 10.0;
        let eta = polepair::quantity::decimal::to_f64(eta);
        assert!(
            (worked - eta).abs() < 1e-9,
            "{class} {poles} poles {power} kW: {worked} and {eta}"
        );
        compared[usize::from(class == "IE1")] += 1;
    }
    assert_eq!(compared, [348, 66]);
}

/// Figures that public copies of NEC Table 430.250 misprint, and the right ones, from the source list.
#[test]
fn full_load_currents_where_copies_misprint() {
    let currents = table("nec_430_250");
    for (hp, volts, amperes) in [
        ("1.5", "575", "2.4"),
        ("450", "460", "515"),
        ("450", "575", "412"),
        ("500", "460", "590"),
        ("500", "575", "472"),
        ("50", "460", "65"),
    ] {
        assert_eq!(
            value(currents, "I", &[("P", hp), ("V", volts)]),
            number(amperes),
            "{hp} hp {volts} V"
        );
    }
}
