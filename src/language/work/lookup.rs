//! Why no row of a published table fits, in words that help: which value the table does not have, and which it has.

use std::cmp::Ordering;

use super::cells::table;
use super::index::equations;
use super::one::One;
use super::{Outcome, Value};
use crate::language::check::{Op, SheetId};
use crate::quantity::{Number, PhasorForm, show};
use crate::standards::{Column, Entry, Holds};

/// How many values of a column are told.
const TOLD: usize = 8;

/// Message and help. `None` where the condition is no row of equations.
pub(super) fn missing<'a>(one: &mut One<'a>, sheet: SheetId, condition: &'a Op) -> Option<(String, Option<String>)> {
    let table = table(sheet)?;
    let outer = one.row;
    let mut asked = Vec::new();
    let mut found = None;
    for (first, second) in equations(condition) {
        for (key, wanted) in [(first, second), (second, first)] {
            let Op::Read(index) = key else {
                continue;
            };
            let column = one.typed.reads.get(*index).and_then(|read| read.quantity.column());
            let Some(column) = column.and_then(|(_, column)| table.columns.get(column)) else {
                continue;
            };
            one.row = None;
            let value = match one.eval(wanted) {
                Outcome::Value(value) => value,
                _ => continue,
            };
            let said = format!("{} = {}", column.name, told(column, &value));
            if found.is_none() && !column.entries.iter().any(|entry| same(entry, &value)) {
                found = Some((
                    format!("{} has no row with {said}", table.name),
                    Some(listed(column, &value)),
                ));
            }
            asked.push(said);
            break;
        }
    }
    one.row = outer;
    found.or_else(|| {
        (!asked.is_empty()).then(|| {
            (
                format!("{} has no row with {}", table.name, asked.join(" and ")),
                Some("each stands in the table, but not together in one row".to_owned()),
            )
        })
    })
}

fn same(entry: &Entry, value: &Value) -> bool {
    match (entry, value) {
        (Entry::Number(entry), Value::Number(value)) => Number::Exact(*entry).compare(*value) == Ordering::Equal,
        (Entry::Text(entry), Value::Text(value)) => entry == value,
        _ => false,
    }
}

fn unit(column: &Column) -> &str {
    match &column.holds {
        Holds::Numbers { unit, .. } if !unit.is_plain() => &unit.text,
        _ => "",
    }
}

fn told(column: &Column, value: &Value) -> String {
    match value {
        Value::Number(number) => format!("{} {}", show::number(number, None), unit(column))
            .trim_end()
            .to_owned(),
        Value::Phasor(phasor) => show::phasor(phasor, PhasorForm::Rectangular, None, unit(column)),
        Value::Text(text) => format!("\"{text}\""),
        Value::Truth(truth) => if *truth { "yes" } else { "no" }.to_owned(),
    }
}

/// The values a column has, those around a number first.
fn listed(column: &Column, value: &Value) -> String {
    let mut numbers: Vec<Number> = column.entries.iter().filter_map(Entry::number).collect();
    numbers.sort_by(|a, b| a.compare(*b));
    numbers.dedup_by(|a, b| a.compare(*b) == Ordering::Equal);
    let (Value::Number(wanted), false) = (value, numbers.is_empty()) else {
        let mut texts: Vec<&str> = Vec::new();
        for entry in &column.entries {
            match entry {
                Entry::Text(text) if !texts.contains(&&**text) => texts.push(text),
                _ => {}
            }
        }
        return format!("{} is one of: {}", column.name, texts.join(", "));
    };
    let shown = |numbers: &[Number]| {
        let numbers: Vec<String> = numbers.iter().map(show::exact).collect();
        format!("{} {}", numbers.join(", "), unit(column)).trim_end().to_owned()
    };
    if numbers.len() <= TOLD {
        return format!("{} is one of: {}", column.name, shown(&numbers));
    }
    let above = numbers.partition_point(|number| number.compare(*wanted) == Ordering::Less);
    let around = numbers
        .get(above.saturating_sub(1)..(above + 1).min(numbers.len()))
        .unwrap_or(&[]);
    format!(
        "around it the table has {}; `next_up` and `next_down` take such a row",
        shown(around)
    )
}
