//! A received list read again, for what must be said beside its rows.
//!
//! For: handing over a workbook that was made from a list, from the command line and from the window.
//! Always: doubts of reading the list and givens that the workbook has otherwise than the list stand by row of the source. Where the
//! list is not there any more, is another one now, or there are several, nothing is said.
//! Not known here: where it is written.

use std::collections::HashMap;
use std::path::Path;

use rayon::prelude::*;

use super::origin::Origin;
use super::table::{Remarks, source_rows};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::plates::again::{List, as_received};
use crate::plates::report::{Correction, DoubtReport, NO_VALUE};
use crate::plates::tags::Tags;
use crate::plates::{self, Import, Options, Report, list};
use crate::quantity::show;
use crate::recalc::{Engine, QuantityResults, Results, SheetResults};
use crate::workbook::{Form, Role, Workbook};

/// The doubts of an import, by row of the source.
pub fn doubts_of(report: &Report) -> Remarks {
    let mut remarks = Remarks::new();
    for doubt in report.doubts.iter().filter(|doubt| doubt.settled.is_none()) {
        if let Some(row) = doubt.source_row {
            let text = match doubt.table {
                // Two motors stand in such a row.
                Some(table) => format!("Table {table}: {}", doubt.text),
                None => doubt.text.to_string(),
            };
            remarks.entry(row).or_default().push(text);
        }
    }
    remarks
}

/// Says of doubts whose values were corrected since the list was read that they are over, and adds those of what was typed since.
pub fn as_now(report: &mut Report, workbook: &Workbook, results: &Results) {
    let (ended, raised, gone) = {
        let Some(list) = List::of(workbook, results, report) else {
            return;
        };
        let items = list.items();
        let tags = Tags::of(list.rows);
        let ended: Vec<Option<String>> = report
            .doubts
            .par_iter()
            .map(|doubt| {
                let items = doubt.source_row.and_then(|row| items.get(&row));
                let standing = list.standing(doubt, items.map_or(&[], Vec::as_slice), &tags);
                standing.settled.filter(|_| !standing.by_hand)
            })
            .collect();
        let rows = (0..list.rows.rows.len()).into_par_iter();
        let raised: Vec<DoubtReport> = rows
            .flat_map_iter(|item| list.raised(item, &tags))
            .filter(|raised| !raised.by_hand && raised.told.source_row.is_some())
            .map(|raised| raised.told)
            .collect();
        let mut there: HashMap<u32, usize> = HashMap::new();
        for row in (0..list.rows.rows.len()).filter_map(|item| list.source_row(item)) {
            *there.entry(row).or_default() += 1;
        }
        let motors = report.motors_in_rows().into_iter();
        let gone = motors.filter(|(row, count)| there.get(row).is_none_or(|there| there < count));
        let gone: Vec<u32> = gone.map(|(row, _)| row).collect();
        (ended, raised, gone)
    };
    report.gone = gone;
    report.gone.sort_unstable();
    for (doubt, settled) in report.doubts.iter_mut().zip(ended) {
        doubt.settled = settled;
    }
    report.doubts.extend(raised);
    report.doubts.sort_by_key(|doubt| doubt.source_row);
    report.place_doubts();
}

/// What must be said beside the rows of a received list: its doubts, and givens that the workbook has otherwise than the list.
/// Without the second a reader would see loads worked with other values than those printed beside them.
pub fn of_lists(workbook: &Workbook, results: &Results, beside: &Path, options: &Options) -> (Remarks, Option<Report>) {
    let mut lists = results.sheets.iter().filter_map(|sheet| {
        let known = workbook.sheets.iter().find(|known| *known.name == *sheet.name)?;
        let origin = Origin::of(known)?;
        let path = origin.find(beside).ok()?;
        Some((sheet, origin, path))
    });
    // Rows of two received lists would be taken for each other.
    let (Some((sheet, origin, path)), None) = (lists.next(), lists.next()) else {
        return (Remarks::new(), None);
    };
    let Some(mut import) = read_again(&path, &origin, options) else {
        return (Remarks::new(), None);
    };
    import.take(results);
    as_now(&mut import.report, workbook, results);
    let mut remarks = doubts_of(&import.report);
    let fresh = Engine::new(import.workbook);
    if let Some(before) = fresh.results().sheets.iter().find(|known| known.form == Form::List) {
        let corrected = changed(before, sheet, &import.report);
        // Which value the loads of the row rest on stands before what is doubted of it.
        for one in corrected.iter().rev() {
            remarks.entry(one.source_row).or_default().insert(0, one.in_words());
        }
        import.report.corrected = corrected;
    }
    (remarks, Some(import.report))
}

/// The same of a list whose file is another one now, or gone, with the report of its reading.
pub fn of_reading(workbook: &Workbook, results: &Results, report: &Report) -> (Remarks, Option<Report>) {
    // Rows of two received lists would be taken for each other.
    let received = workbook.sheets.iter().filter_map(Origin::of).count();
    if received != 1 || List::of(workbook, results, report).is_none() {
        return (Remarks::new(), None);
    }
    let mut report = report.clone();
    as_now(&mut report, workbook, results);
    (doubts_of(&report), Some(report))
}

/// The list as it is now, of the sheet it was read from. That sheet is named only where another one holds more motors: else the
/// report counts the cells of all sheets, as it did at first.
fn read_again(path: &Path, origin: &Origin, options: &Options) -> Option<Import> {
    let of_it = |import: &Import| origin.sheet.is_none() || import.report.sheet == origin.sheet;
    let named = origin.options(options);
    let alone = Options {
        sheet: options.sheet.clone(),
        ..named.clone()
    };
    let found = plates::import(path, &alone).ok().filter(of_it);
    found.or_else(|| plates::import(path, &named).ok()).filter(of_it)
}

/// Givens of `now` that differ from those of `before`, by row of the source.
fn changed(before: &SheetResults, now: &SheetResults, report: &Report) -> Vec<Correction> {
    let tables: HashMap<u32, Option<usize>> = report.rows.iter().map(|row| (row.source_row, row.table)).collect();
    // Several motors of one row stand in their order; a copy of a row that was made since is none of the list.
    let mut places: HashMap<u32, Vec<usize>> = HashMap::new();
    for (item, row) in source_rows(before).into_iter().enumerate() {
        places.entry(row.unwrap_or_default()).or_default().push(item);
    }
    let mut seen: HashMap<u32, usize> = HashMap::new();
    let rows: Vec<Option<(u32, usize, usize)>> = source_rows(now)
        .into_iter()
        .map(|row| {
            let row = row?;
            let count = seen.entry(row).or_default();
            *count += 1;
            Some((row, *count - 1, *places.get(&row)?.get(*count - 1)?))
        })
        .collect();
    let mut told = Vec::new();
    for quantity in now.quantities.iter().filter(|quantity| quantity.role == Role::Given) {
        let Some(old) = before.quantities.iter().find(|old| old.name == quantity.name) else {
            continue;
        };
        // The workbook was made with other columns: what it has is no correction of this one.
        if matches!(quantity.sort, Sort::Text) && old.from != quantity.from {
            continue;
        }
        // In another unit the same value has other digits.
        let units = (unit_of(&old.sort), unit_of(&quantity.sort));
        if units.0 != units.1 {
            continue;
        }
        for (item, row) in rows.iter().enumerate() {
            let Some((row, motor, place)) = *row else { continue };
            let value = |quantity: &QuantityResults, item: usize| match quantity.cells.get(item) {
                Some(Outcome::Value(Value::Number(number))) => Some(show::exact(number)),
                Some(Outcome::Value(Value::Text(text))) => Some(text.to_string()),
                _ => None,
            };
            let (was, is) = (value(old, place), value(quantity, item));
            if was != is {
                let said = |value: Option<String>| match value {
                    Some(value) => format!("{value} {}", units.1).trim_end().to_owned(),
                    None => NO_VALUE.to_owned(),
                };
                let received = match was {
                    Some(was) => said(Some(was)),
                    None => as_received(report, row, motor, &quantity.name).unwrap_or_else(|| said(None)),
                };
                let table = tables.get(&row).copied().flatten();
                told.push(Correction {
                    source_row: row,
                    column: report.column_of(&quantity.name, quantity.from.as_deref(), table),
                    name: quantity.name.to_string(),
                    called: list::graded_by(&quantity.name)
                        .unwrap_or_else(|| quantity.called())
                        .to_owned(),
                    received,
                    used: said(is),
                });
            }
        }
    }
    told.sort_by_key(|one| one.source_row);
    told
}

fn unit_of(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, .. } if &*unit.text != "1" => unit.text.to_string(),
        _ => String::new(),
    }
}
