//! Why no row of a published table fits, in words that help: which value the table does not have, and which it has.

use std::cmp::Ordering;
use std::sync::Arc;

use super::cells::table;
use super::index::equations;
use super::one::One;
use super::{Outcome, Value, WorkFault};
use crate::fault::{Code, Words};
use crate::language::check::{Op, SheetId};
use crate::quantity::{Kind, Number, PhasorForm, show};
use crate::standards::{Column, Entry, Holds};

/// How many values of a column are told.
const TOLD: usize = 8;

/// The fault, with what the table has. `None` where the condition is no row of equations.
pub(super) fn missing<'a>(one: &mut One<'a>, sheet: SheetId, condition: &'a Op) -> Option<Outcome> {
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
            let said = told(format!("{} = ", column.name).into(), column, &value);
            if found.is_none() && !column.entries.iter().any(|entry| same(entry, &value)) {
                let words = Words::from(format!("{} has no row with ", table.name)).then(&said);
                found = Some((words, listed(column, &value)));
            }
            asked.push(said);
            break;
        }
    }
    one.row = outer;
    let apart = || {
        let (first, others) = asked.split_first()?;
        let words = Words::from(format!("{} has no row with ", table.name)).then(first);
        let words = others.iter().fold(words, |words, said| words.and(" and ").then(said));
        Some((words, "each stands in the table, but not together in one row".into()))
    };
    let (message, help) = found.or_else(apart)?;
    Some(Outcome::Fault(Arc::new(WorkFault {
        code: Code::NOT_IN_TABLE,
        message,
        help: Some(help),
        passed_on: false,
    })))
}

fn same(entry: &Entry, value: &Value) -> bool {
    match (entry, value) {
        (Entry::Number(entry), Value::Number(value)) => Number::Exact(*entry).compare(*value) == Ordering::Equal,
        (Entry::Text(entry), Value::Text(value)) => entry == value,
        _ => false,
    }
}

/// The unit of a column, empty for plain numbers, and the words of its kind.
fn unit(column: &Column) -> (&str, Option<&'static str>) {
    match &column.holds {
        Holds::Numbers { unit, kind } if !unit.is_plain() => (&unit.text, kind.map(Kind::words)),
        _ => ("", None),
    }
}

/// Words with a value behind them.
fn told(words: Words, column: &Column, value: &Value) -> Words {
    match (value, unit(column)) {
        (Value::Number(number), ("", _)) => words.and(&show::number(number, None)),
        (Value::Number(number), (unit, kind)) => {
            let said = format!("{} {unit}", show::number(number, None));
            words.amount_of(&said, show::exact(number), unit, kind)
        }
        (Value::Phasor(phasor), (unit, _)) => words.and(&show::phasor(phasor, PhasorForm::Rectangular, None, unit)),
        (Value::Text(text), _) => words.and(&format!("\"{text}\"")),
        (Value::Truth(truth), _) => words.and(if *truth { "yes" } else { "no" }),
    }
}

/// The values a column has, those around a number first.
fn listed(column: &Column, value: &Value) -> Words {
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
        return format!("{} is one of: {}", column.name, texts.join(", ")).into();
    };
    if numbers.len() <= TOLD {
        return values(format!("{} is one of: ", column.name).into(), column, &numbers);
    }
    let above = numbers.partition_point(|number| number.compare(*wanted) == Ordering::Less);
    let around = numbers
        .get(above.saturating_sub(1)..(above + 1).min(numbers.len()))
        .unwrap_or(&[]);
    values("around it the table has ".into(), column, around).and("; `next_up` and `next_down` take such a row")
}

/// Words with values behind them, each with its unit.
fn values(words: Words, column: &Column, numbers: &[Number]) -> Words {
    let (unit, kind) = unit(column);
    let values = numbers.iter().enumerate();
    values.fold(words, |words, (place, number)| {
        let words = words.and(if place == 0 { "" } else { ", " });
        let said = show::exact(number);
        match unit {
            "" => words.and(&said),
            unit => words.amount_of(&format!("{said} {unit}"), said.as_str(), unit, kind),
        }
    })
}
