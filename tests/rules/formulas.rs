//! 161 formulas of the trade: each in one line and in every named step that its tree allows.
//!
//! The formulas are the usual ones of the trade; the givens are our own. `expected` was worked from SI values with the arithmetic
//! of `by_hand` (Python floats), not with this program. A row without `expected` is a wrong formula: nothing may come out of it,
//! however it is cut into steps. A row with `expected` and an error is a right formula that does not say enough in one line; cut
//! into steps it may give the right value and no other.

use polepair::fault::{Code, Severity};
use polepair::language::check::Target;
use polepair::language::syntax::{self, Expr, Node};
use polepair::quantity::Unit;

use super::sheet::Sheet;

struct Row {
    line: usize,
    formula: String,
    givens: Vec<String>,
    unit: String,
    severity: Option<Severity>,
    code: String,
    expected: Option<f64>,
}

fn rows() -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(include_str!("formulas.csv").as_bytes());
    reader
        .records()
        .enumerate()
        .map(|(at, record)| {
            let record = record.unwrap();
            let (severity, code) = match &record[4] {
                "ok" => (None, ""),
                other => {
                    let (severity, code) = other.split_once(':').unwrap();
                    let severity = if severity == "error" {
                        Severity::Error
                    } else {
                        Severity::Warning
                    };
                    (Some(severity), code)
                }
            };
            Row {
                line: at + 2,
                formula: record[1].to_owned(),
                givens: record[2].split("; ").map(str::to_owned).collect(),
                unit: record[3].strip_prefix("in ").unwrap().to_owned(),
                severity,
                code: code.to_owned(),
                expected: record[5].parse().ok(),
            }
        })
        .collect()
}

fn close(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= 1e-12 * expected.abs()
}

fn sheet(row: &Row) -> Sheet {
    let mut sheet = Sheet::default();
    for given in &row.givens {
        let line = sheet.add(given);
        assert!(
            line.value.is_some(),
            "row {}: {given}: {:?}",
            row.line,
            line.typed.faults
        );
    }
    sheet
}

#[test]
fn each_formula_in_one_line() {
    let mut wrong = Vec::new();
    let rows = rows();
    assert_eq!(rows.len(), 161);
    for row in &rows {
        let mut sheet = sheet(row);
        let target = Target {
            unit: Some(Unit::parse(&row.unit).unwrap()),
            ..Target::default()
        };
        let _ = target;
        let line = sheet.add(&format!("result = {} in {}", row.formula, row.unit));
        let found: Vec<String> = line
            .typed
            .faults
            .iter()
            .map(|fault| format!("{}:{}", fault.severity.word(), fault.code))
            .collect();
        let wanted = match row.severity {
            None => Vec::new(),
            Some(severity) => vec![format!("{}:{}", severity.word(), row.code)],
        };
        let error = row.severity == Some(Severity::Error);
        let value = line.number();
        let fits = match (error, value, row.expected) {
            (true, None, _) => true,
            (false, Some(value), Some(expected)) => close(value, expected),
            _ => false,
        };
        if found != wanted || !fits {
            wrong.push(format!(
                "row {}: {} in {}: wanted {wanted:?} {:?}, found {found:?} {value:?}",
                row.line, row.formula, row.unit, row.expected
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every part of a formula that can be a line of its own.
fn parts<'a>(expr: &'a Expr, out: &mut Vec<&'a Expr>) {
    match &expr.node {
        Node::Sum(list) => list.iter().for_each(|(_, part)| parts(part, out)),
        Node::Product(list) => list.iter().for_each(|(_, part)| parts(part, out)),
        Node::Power(base, _) => parts(base, out),
        Node::Call { arguments, .. } => arguments.iter().for_each(|part| parts(part, out)),
        Node::Negative(inner) => parts(inner, out),
        _ => return,
    }
    out.push(expr);
}

/// Steps that say less than the whole, so that nothing comes out: under a name without a unit they are a plain number, a plain
/// rate or an energy. With `in UNIT` on their line they work.
const LOST: &[(&str, &str)] = &[
    ("v/r", "v/r"),
    ("P*tan(acos(pf))", "tan(acos(pf))"),
    ("S*sin(phi)", "sin(phi)"),
    ("1/t", "1/t"),
    ("sqrt(k/J)", "k/J"),
    ("J*w^2*theta", "J*w^2*theta"),
];

/// Naming a step never changes an answer: whatever part gets a line and a name of its own, the result is the same or a fault.
#[test]
fn each_formula_in_named_steps() {
    let mut wrong = Vec::new();
    let mut tried = 0;
    for row in rows() {
        // A constant with a conversion inside is told beside its kinds; a step may part the two, and then it is a number.
        if row.code == "constant-with-conversion" {
            continue;
        }
        let (tree, faults) = syntax::parse(&row.formula);
        assert!(faults.is_empty());
        let mut list = Vec::new();
        parts(&tree, &mut list);
        for part in list {
            let text = part.span.of(&row.formula);
            let mut rest = row.formula.clone();
            rest.replace_range(part.span.start as usize..part.span.end as usize, "step");
            let mut sheet = sheet(&row);
            sheet.add(&format!("step = {text}"));
            let value = sheet.add(&format!("result = {rest} in {}", row.unit)).number();
            tried += 1;
            let doubted = sheet.faults().iter().any(|fault| fault.code == Code::TWO_PI_NAMED);
            let fine = match (value, row.expected) {
                (None, _) => true,
                (Some(_), _) if doubted => true,
                (Some(value), Some(expected)) => close(value, expected),
                (Some(_), None) => false,
            };
            // A right formula that works in one line works in steps as well, save where 2π and what it belongs to are parted.
            let lost = value.is_none()
                && row.severity.is_none()
                && !row.formula.contains("pi")
                && !row.formula.contains("4.44")
                && !LOST.contains(&(row.formula.as_str(), text));
            if !fine || lost {
                let faults: Vec<String> = sheet
                    .faults()
                    .iter()
                    .map(|fault| format!("{}: {}", fault.code, fault.message))
                    .collect();
                wrong.push(format!(
                    "row {}: {} in {} with step = {text}: wanted {:?}, found {value:?} {faults:?}",
                    row.line, row.formula, row.unit, row.expected
                ));
            }
        }
    }
    assert!(tried > 200, "only {tried} steps were tried");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
