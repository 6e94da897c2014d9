//! Published worked examples, worked again through the library.
//!
//! For: the examples of `electrical_worked_examples.csv`, `worked_examples_ratings.csv` and `tolerance_examples.csv`, each written
//! as workbook text with its source beside it. Expected values and tolerances are read from the tables, never typed again.
//! Always: every asked quantity is either worked in one of the workbooks or named in `not-expressed.csv` with the reason, not
//! both; a workbook here has no error, no open warning and no check that fails, and stands in its canonical form.
//! Not known here: how a value is worked.
//!
//! An asked quantity is a `work` or `seek` line whose title begins with the id of its row. On a sheet with cases the ids of
//! the cases stand in their order, joined by `|`; a case that is not asked stays empty: `"RAT-12b||RAT-14b largest deviation"`.
//!
//! `ratings-asked.csv` gives ids to the answers inside the words of `worked_examples_ratings.csv`: `number 2` is the second number
//! of its `expected`, `word 3` its third word; half a unit of the last printed digit is the tolerance, none where `exact` follows.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::str::FromStr;

use polepair::fault::Severity;
use polepair::language::check::Sort;
use polepair::language::work::{Outcome, Value};
use polepair::quantity::{Number, Unit, convert};
use polepair::recalc::{Band, Engine, Results};
use polepair::workbook::text;
use rust_decimal::Decimal;

/// What a source gives for one asked quantity.
#[derive(Clone, Debug)]
enum Answer {
    /// A number with the unit of the row, and how far off a value may be.
    Number {
        value: Decimal,
        tolerance: Decimal,
        unit: String,
    },
    /// A number with its limits, and how far off each of them may be.
    Band {
        ends: [Decimal; 3],
        tolerance: Decimal,
        unit: String,
    },
    /// A word.
    Word(String),
}

/// One asked quantity.
#[derive(Clone, Debug)]
struct Asked {
    answer: Answer,
    /// Book and page, where the table has a column for it.
    source: Option<String>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published")
}

fn decimal(text: &str) -> Decimal {
    Decimal::from_str(text)
        .or_else(|_| Decimal::from_scientific(text))
        .unwrap_or_else(|_| panic!("`{text}` in a table is no number"))
}

fn table(name: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(folder().join(name)).unwrap();
    let heads: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    reader
        .records()
        .map(|row| {
            heads
                .iter()
                .cloned()
                .zip(row.unwrap().iter().map(str::to_owned))
                .collect()
        })
        .collect()
}

/// The numbers of a sentence as printed.
fn numbers(sentence: &str) -> Vec<String> {
    sentence
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .map(|part| part.trim_matches('.'))
        .filter(|part| !part.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The words of a sentence without punctuation.
fn words(sentence: &str) -> Vec<String> {
    sentence
        .split([' ', ';', ','])
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// What stands in the last square brackets of `asked`.
fn bracket(asked: &str) -> String {
    let (_, rest) = asked.rsplit_once('[').unwrap_or_else(|| panic!("no unit in `{asked}`"));
    rest.trim_end_matches(']').to_owned()
}

/// All asked quantities of the tables.
fn asked() -> BTreeMap<String, Asked> {
    let mut all = BTreeMap::new();
    for row in table("electrical_worked_examples.csv") {
        let answer = Answer::Number {
            value: decimal(&row["answer"]),
            tolerance: decimal(&row["answer_tolerance"]),
            unit: bracket(&row["asked"]),
        };
        let source = Some(row["source"].clone());
        assert!(
            all.insert(row["id"].clone(), Asked { answer, source }).is_none(),
            "{} stands twice",
            row["id"]
        );
    }
    for row in table("tolerance_examples.csv") {
        let answer = Answer::Band {
            ends: ["low", "answer", "high"].map(|end| decimal(&row[end])),
            tolerance: decimal(&row["answer_tolerance"]),
            unit: bracket(&row["asked"]),
        };
        let source = Some(row["source"].clone());
        assert!(
            all.insert(row["id"].clone(), Asked { answer, source }).is_none(),
            "{} stands twice",
            row["id"]
        );
    }
    let sentences: BTreeMap<String, String> = table("worked_examples_ratings.csv")
        .into_iter()
        .map(|mut row| (row.remove("inputs").unwrap(), row.remove("expected").unwrap()))
        .collect();
    let mut used = BTreeSet::new();
    for row in table("ratings-asked.csv") {
        let sentence = sentences
            .get(&row["inputs"])
            .unwrap_or_else(|| panic!("{}: no such row of ratings", row["id"]));
        used.insert(row["inputs"].clone());
        let place: Vec<&str> = row["where"].split(' ').collect();
        let at = place[1].parse::<usize>().unwrap() - 1;
        let answer = match place[0] {
            "word" => Answer::Word(words(sentence)[at].clone()),
            _ => {
                let value = decimal(&numbers(sentence)[at]);
                let half_digit = Decimal::new(5, value.scale() + 1);
                let exact = place.get(2) == Some(&"exact");
                let tolerance = if exact { Decimal::ZERO } else { half_digit };
                Answer::Number {
                    value,
                    tolerance,
                    unit: bracket(&row["asked"]),
                }
            }
        };
        assert!(
            all.insert(row["id"].clone(), Asked { answer, source: None }).is_none(),
            "{} stands twice",
            row["id"]
        );
    }
    for inputs in sentences.keys() {
        assert!(used.contains(inputs), "no quantity is asked of the row `{inputs}`");
    }
    all
}

/// The unit of a table's bracket in the words of the language, the first to convert to, the others taken as they are.
/// Horsepower is left to the workbook: the statements say which one the source means.
fn units_of(bracket: &str) -> Vec<&str> {
    match bracket {
        "hp" | "bhp" => vec!["hp", "hp_e", "PS"],
        "rpm" => vec!["r/min"],
        "rev/s" => vec!["r/s"],
        "lbf.ft" => vec!["lbf·ft"],
        "lbf.in" => vec!["lbf·in"],
        "ft.lbf" => vec!["ft·lbf"],
        "N.m" => vec!["N·m"],
        "kg.m2" => vec!["kg·m²"],
        "rad/s2" => vec!["rad/s²"],
        "acfm" => vec!["cfm"],
        "USD" | "currency" => vec!["$"],
        "ohm" | "ohm/phase" => vec!["Ω"],
        "W/phase" => vec!["W"],
        "C" => vec!["K"],
        "mV/(A.m)" => vec!["mV/(A·m)"],
        per_cent if per_cent.starts_with('%') => vec!["%"],
        other => vec![other],
    }
}

/// Compares one worked value with its answer; says what is wrong.
fn compare(id: &str, asked: &Asked, outcome: &Outcome, band: Option<&Band>, sort: &Sort) -> Option<String> {
    match (&asked.answer, outcome, sort) {
        (Answer::Band { ends, tolerance, unit }, _, Sort::Quantity { unit: own, .. }) => {
            if *own.text != **unit && !(own.is_plain() && unit == "1") {
                return Some(format!("{id}: the unit is {}, expected {unit}", own.text));
            }
            let (Some(number), Some(band)) = (outcome.as_number(), band) else {
                return Some(format!("{id}: expected limits, worked is {outcome:?}"));
            };
            let worked = [band.low, number.to_f64(), band.high];
            let off = ends.iter().zip(worked).any(|(end, worked)| {
                let worked = Decimal::try_from(worked).unwrap();
                (worked - end).abs() > *tolerance
            });
            off.then(|| format!("{id}: the source has {ends:?} ± {tolerance} {unit}, worked is {worked:?}"))
        }
        (Answer::Word(word), Outcome::Value(Value::Text(found)), _) => {
            (word != &**found).then(|| format!("{id}: the source has `{word}`, worked is `{found}`"))
        }
        (
            Answer::Number {
                value,
                tolerance,
                unit: bracket,
            },
            Outcome::Value(Value::Number(number)),
            Sort::Quantity { unit, .. },
        ) => {
            let raw = match number {
                Number::Exact(d) | Number::Rounded(d) => *d,
                Number::Float(f) => Decimal::try_from(*f).unwrap(),
            };
            let candidates: Vec<Unit> = units_of(bracket).into_iter().map(|u| Unit::parse(u).unwrap()).collect();
            let worked = if candidates.iter().any(|c| c.text == unit.text) {
                raw
            } else if candidates.len() > 1 {
                return Some(format!(
                    "{id}: the unit is {}, expected one of {}",
                    unit.text,
                    units_of(bracket).join(", ")
                ));
            } else {
                match convert(raw, unit, &candidates[0]) {
                    Ok(Number::Exact(d) | Number::Rounded(d)) => d,
                    Ok(Number::Float(f)) => Decimal::try_from(f).unwrap(),
                    Err(_) => {
                        return Some(format!(
                            "{id}: {} does not convert to {}",
                            unit.text, candidates[0].text
                        ));
                    }
                }
            };
            ((worked - value).abs() > *tolerance)
                .then(|| format!("{id}: the source has {value} ± {tolerance} {bracket}, worked is {worked}"))
        }
        _ => Some(format!("{id}: expected {:?}, worked is {outcome:?}", asked.answer)),
    }
}

/// Ids at the head of a title, one for each item; `None` where the title begins with no id.
fn ids(title: &str) -> Option<Vec<&str>> {
    let head = title.split(' ').next()?;
    let looks = |id: &str| {
        id.is_empty()
            || id.split_once('-').is_some_and(|(word, number)| {
                !word.is_empty()
                    && word.bytes().all(|b| b.is_ascii_uppercase())
                    && number.bytes().next().is_some_and(|b| b.is_ascii_digit())
            })
    };
    let ids: Vec<&str> = head.split('|').collect();
    (!head.is_empty() && ids.iter().all(|id| looks(id))).then_some(ids)
}

/// All workbooks of the folder with their texts.
fn workbooks() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "pole"))
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                std::fs::read_to_string(&path).unwrap(),
            )
        })
        .collect();
    all.sort();
    assert!(all.len() >= 10, "the workbooks are missing");
    all
}

/// Errors, open warnings and checks that do not hold.
fn troubles(file: &str, results: &Results) -> Vec<String> {
    let mut found = Vec::new();
    for placed in &results.faults {
        if placed.fault.severity != Severity::Note {
            found.push(format!(
                "{file}:{}:{}: {} {}: {}{}\n      {}",
                placed.line,
                placed.column,
                placed.fault.severity.word(),
                placed.fault.code,
                placed.fault.message,
                placed
                    .fault
                    .help
                    .as_ref()
                    .map(|h| format!(" ({h})"))
                    .unwrap_or_default(),
                placed.source.trim(),
            ));
        }
    }
    for sheet in &results.sheets {
        for check in &sheet.checks {
            for verdict in &check.cells {
                if verdict.holds != Some(true) {
                    found.push(format!(
                        "{file}: {}: the check `{}` does not hold: {verdict:?}",
                        sheet.name, check.formula
                    ));
                }
            }
        }
    }
    found
}

/// Works the texts and compares every asked quantity; gives all that is wrong and the ids that were found.
fn work(texts: &[(String, String)], asked: &BTreeMap<String, Asked>) -> (Vec<String>, BTreeSet<String>) {
    let mut wrong = Vec::new();
    let mut covered = BTreeSet::new();
    for (file, content) in texts {
        let engine = Engine::new(text::read(content));
        let results = engine.results();
        wrong.extend(troubles(file, results));
        // Another workbook may work the same example another way.
        let mut here = BTreeSet::new();
        for sheet in &results.sheets {
            for quantity in &sheet.quantities {
                let Some(ids) = ids(&quantity.title) else { continue };
                if ids.len() != quantity.cells.len() {
                    wrong.push(format!(
                        "{file}: {}: {} ids for {} cases",
                        quantity.title,
                        ids.len(),
                        quantity.cells.len()
                    ));
                    continue;
                }
                for (item, (id, outcome)) in ids
                    .into_iter()
                    .zip(quantity.cells.iter())
                    .enumerate()
                    .filter(|(_, (id, _))| !id.is_empty())
                {
                    covered.insert(id.to_owned());
                    if !here.insert(id.to_owned()) {
                        wrong.push(format!("{file}: {id} is worked twice"));
                    }
                    let Some(row) = asked.get(id) else {
                        wrong.push(format!("{file}: {id} is in none of the tables"));
                        continue;
                    };
                    let band = quantity.band(item).map(|band| &**band);
                    wrong.extend(compare(id, row, outcome, band, &quantity.sort));
                    if let Some(source) = &row.source
                        && !sheet.notes.iter().any(|note| note.starts_with(source.as_str()))
                    {
                        wrong.push(format!(
                            "{file}: sheet {} has no note that begins with its source: {source}",
                            sheet.name
                        ));
                    }
                }
            }
        }
    }
    (wrong, covered)
}

/// Ids in neither or both of the workbooks and `not-expressed.csv`, and ids of no table.
fn gaps(asked: &BTreeMap<String, Asked>, covered: &BTreeSet<String>, left: &BTreeSet<String>) -> Vec<String> {
    let neither = asked.keys().filter(|id| !covered.contains(*id) && !left.contains(*id));
    let both = covered.intersection(left);
    let unknown = left.iter().filter(|id| !asked.contains_key(*id));
    neither
        .map(|id| format!("{id} is neither worked nor listed in not-expressed.csv"))
        .chain(both.map(|id| format!("{id} is worked and listed in not-expressed.csv")))
        .chain(unknown.map(|id| format!("{id} of not-expressed.csv is in none of the tables")))
        .collect()
}

fn left() -> BTreeSet<String> {
    let mut left = BTreeSet::new();
    for row in table("not-expressed.csv") {
        assert!(
            row["reason"].ends_with('.') && !row["needs"].is_empty(),
            "{}: say why in one sentence",
            row["id"]
        );
        assert!(left.insert(row["id"].clone()), "{} is listed twice", row["id"]);
    }
    left
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong:\n  {}", wrong.len(), wrong.join("\n  "));
}

#[test]
fn every_published_example_comes_out_as_printed() {
    let (wrong, _) = work(&workbooks(), &asked());
    none(&wrong);
}

#[test]
fn every_row_is_worked_or_listed_with_its_reason() {
    let asked = asked();
    let (_, covered) = work(&workbooks(), &asked);
    none(&gaps(&asked, &covered, &left()));
}

#[test]
fn the_workbooks_stand_in_canonical_form() {
    for (file, content) in workbooks() {
        assert_eq!(text::write(&text::read(&content)), content, "{file} is not tidy");
    }
}

#[test]
fn a_changed_input_is_noticed() {
    let mut texts = workbooks();
    let speed = texts
        .iter_mut()
        .find(|(file, _)| file == "speed-and-slip.pole")
        .unwrap();
    assert_eq!(speed.1.matches("k = 85 %").count(), 1);
    speed.1 = speed.1.replace("k = 85 %", "k = 85.1 %");
    let (wrong, _) = work(&texts, &asked());
    assert_eq!(wrong.len(), 1, "{wrong:#?}");
    assert!(
        wrong[0].starts_with("SYN-1: the source has 1020 ± 0.5 rpm, worked is 1021"),
        "{}",
        wrong[0]
    );
}

#[test]
fn a_changed_tolerance_is_noticed() {
    let mut texts = workbooks();
    let (_, text) = texts.iter_mut().find(|(file, _)| file == "tolerances.pole").unwrap();
    *text = text.replace("1797 r/min ± 2 r/min", "1797 r/min ± 2.1 r/min");
    let (wrong, _) = work(&texts, &asked());
    assert_eq!(wrong.len(), 1, "{wrong:#?}");
    assert!(wrong[0].starts_with("TOL-2: the source has"), "{}", wrong[0]);
}

/// To the first order 88 % of the variance of the first tolerance example come from the plate; the limits are not linear, so a
/// point more or less.
#[test]
fn the_plate_causes_most_of_the_band_of_a_load_by_slip() {
    let (_, content) = workbooks()
        .into_iter()
        .find(|(file, _)| file == "tolerances.pole")
        .unwrap();
    let engine = Engine::new(text::read(&content));
    let sheet = &engine.results().sheets[0];
    let load = sheet
        .quantities
        .iter()
        .find(|quantity| &*quantity.name == "load")
        .unwrap();
    let caused = &load.band(0).unwrap().caused;
    assert_eq!(caused.len(), 2);
    assert_eq!(&*caused[0].name, "n_r");
    assert!((caused[0].part - 0.88).abs() <= 0.01, "{}", caused[0].part);
    assert!((caused[0].part + caused[1].part - 1.0).abs() <= 1e-12);
}

#[test]
fn gaps_are_noticed() {
    let asked = asked();
    let covered: BTreeSet<String> = asked
        .keys()
        .filter(|id| *id != "SYN-1" && !id.starts_with("EQC-2"))
        .cloned()
        .collect();
    let left = [
        "EQC-2a", "EQC-2b", "EQC-2c", "EQC-2d", "EQC-2e", "EQC-2f", "EQC-2g", "SLP-2", "ABC-1",
    ];
    let found = gaps(&asked, &covered, &left.into_iter().map(str::to_owned).collect());
    assert_eq!(found.len(), 3, "{found:#?}");
    assert!(
        found[0].starts_with("SYN-1 is neither")
            && found[1].starts_with("SLP-2 is worked and")
            && found[2].starts_with("ABC-1 of")
    );
}

#[test]
fn a_title_gives_its_ids() {
    assert_eq!(ids("SYN-1 synchronous speed"), Some(vec!["SYN-1"]));
    assert_eq!(
        ids("RAT-12b||RAT-14b largest deviation"),
        Some(vec!["RAT-12b", "", "RAT-14b"])
    );
    assert_eq!(ids("Rated speed"), None);
    assert_eq!(ids(""), None);
}

#[test]
fn a_sought_quantity_shows_its_rearranged_equation_with_the_values() {
    let (_, content) = workbooks()
        .into_iter()
        .find(|(file, _)| file == "three-phase.pole")
        .unwrap();
    let trace = Engine::new(text::read(&content)).trace("flc_2", "I", 0).unwrap();
    assert_eq!(trace.formula, "such that active_power(V, I, pf) = P_in");
    assert_eq!(trace.rearranged.as_deref(), Some("I = P_in / sqrt(3) / V / pf"));
    assert_eq!(trace.substituted, "405.4 W / sqrt(3) / 230 V / 0.8");
    assert_eq!(trace.result, "1.272 A");
    assert_eq!(
        trace.in_one_line(),
        "such that active_power(V, I, pf) = P_in; I = P_in / sqrt(3) / V / pf = 405.4 W / sqrt(3) / 230 V / 0.8 = 1.272 A"
    );
}

/// What was found stands in the equation, and is no side of it. By hand: 60·(1 − n/1500) = 40·(n/1500)² has the root
/// n/1500 = (−60 + √(60² + 4·40·60))/80 = 0.6861406…, which is 1029.2 r/min.
#[test]
fn what_was_sought_stands_in_its_equation() {
    let book = "polepair 1\nsheet drive\n  given n_s = 1500 r/min : synchronous speed\n  \
        curve T_M(n : shaft speed) in N·m = 60 N·m * (1 - n / n_s)\n  \
        curve T_L(n : shaft speed) in N·m = 40 N·m * (n / n_s)^2\n  \
        seek n_1 such that T_M(n_1) = T_L(n_1) between 0 r/min and n_s : shaft speed\n";
    let trace = Engine::new(text::read(book)).trace("drive", "n_1", 0).unwrap();
    assert_eq!(trace.formula, "such that T_M(n_1) = T_L(n_1) between 0 r/min and n_s");
    assert_eq!(trace.substituted, "T_M(1029 r/min) = T_L(1029 r/min)");
    assert_eq!(
        trace.in_one_line(),
        "such that T_M(n_1) = T_L(n_1) between 0 r/min and n_s; 1029 r/min, so that T_M(1029 r/min) = T_L(1029 r/min)"
    );
}
