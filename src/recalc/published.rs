//! Which published tables a formula rests on, and what is to be said of them.
//!
//! For: the source of a value on the page and in its trace; the warning about values from memory.
//! Not known here: values.

use std::collections::BTreeSet;

use super::results::TableUse;
use super::settle::Settled;
use crate::language::check::{Op, SheetId, Typed};
use crate::language::work::each_part;
use crate::standards::{Basis, Series, Table, tables};

/// The table of the code letters, which two functions read.
const LETTERS: &str = "nema_mg1_10_37_2";

/// The numbers of the tables a formula looks into, each once, in order.
pub(super) fn tables_of(typed: &Typed) -> BTreeSet<usize> {
    let mut out: BTreeSet<usize> = typed
        .reads
        .iter()
        .filter_map(|read| read.quantity.column().map(|(number, _)| number))
        .collect();
    let mut open: Vec<&Op> = typed.op.iter().collect();
    while let Some(op) = open.pop() {
        match op {
            Op::Gather { sheet, .. } => out.extend(sheet.table()),
            Op::Call(function, arguments) => out.extend(match (function.name, arguments.as_slice()) {
                ("next_rating", [_, Op::Text(series)]) => Series::find(series)
                    .and_then(Series::table)
                    .and_then(|table| tables::number_of(table.name)),
                ("code_letter_low" | "code_letter_high", _) => tables::number_of(LETTERS),
                _ => None,
            }),
            _ => {}
        }
        each_part(op, &mut |part| open.push(part));
    }
    out
}

/// The tables that the formulas of a line look into.
pub(super) fn tables_of_line(settled: &Settled) -> Vec<TableUse> {
    let numbers: BTreeSet<usize> = settled.slots.iter().flat_map(|slot| tables_of(&slot.typed)).collect();
    numbers
        .into_iter()
        .filter_map(tables::at)
        .map(|table| used(table, table.publication.basis.clone()))
        .collect()
}

/// The tables a formula looked into for one item, with the basis of the rows that gave a value.
pub(super) fn tables_of_item(typed: &Typed, rows: &[(SheetId, usize)]) -> Vec<TableUse> {
    let basis = |number: usize, table: &Table| {
        let bases: BTreeSet<Basis> = rows
            .iter()
            .filter(|(sheet, _)| sheet.table() == Some(number))
            .filter_map(|(_, row)| table.bases.get(*row).copied())
            .collect();
        match bases.last() {
            // The least sure one counts.
            Some(basis) => basis.words().to_owned(),
            None => table.publication.basis.clone(),
        }
    };
    tables_of(typed)
        .into_iter()
        .filter_map(|number| tables::at(number).map(|table| used(table, basis(number, table))))
        .collect()
}

fn used(table: &Table, basis: String) -> TableUse {
    TableUse {
        name: table.name,
        edition: table.publication.edition.clone(),
        basis,
    }
}
