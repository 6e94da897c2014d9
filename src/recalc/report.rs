//! All faults with their places, in the order of the text.
//!
//! Always: a fault stands once, however many cells it strikes alike; what an `accept` line settles is set apart with its
//! reason. Columns are counted in characters from 1.

use std::collections::{BTreeMap, BTreeSet};

use super::book::{Book, Entry, Sheet, Wording, whole};
use super::called;
use super::natural::Natural;
use super::results::Accepted;
use super::settle::{Place, Settled, Settlement, Slot};
use super::waves::Done;
use crate::fault::{Code, Fault, Placed, Severity, Span, Stands};
use crate::language::check::QuantityId;
use crate::language::work::{Outcome, Remark, WorkFault};
use crate::workbook::text::{Alignment, cells_of};
use crate::workbook::{Cell, Form, Line, Row, Statement, Workbook};

/// More cells of one column than this with the same fault are reported as one.
const APART: usize = 12;

/// Where a fault stands in the order of the text: sheet, line, row, place.
type Order = (usize, usize, usize, u32);

struct Report<'a> {
    workbook: &'a Workbook,
    book: &'a Book,
    out: Vec<(Order, Placed)>,
    /// How wide the columns of lists are written, by their place: once a list, however many faults its rows have.
    aligned: BTreeMap<usize, Alignment>,
    /// Tables whose values from memory are told of already.
    told_tables: BTreeSet<String>,
    settlement: &'a Settlement,
    /// Givens without the unit of what they are called, on which a formula rests that cannot be worked.
    lacking: BTreeMap<QuantityId, called::Lacking>,
    /// Nothing asks how near a fitted circuit comes to its plate, and that has not been told yet.
    fit_unasked: bool,
}

/// All faults, and the warnings that are settled.
pub(super) fn report(
    workbook: &Workbook,
    book: &Book,
    settlement: &Settlement,
    done: &[Done],
) -> (Vec<Placed>, Vec<Accepted>) {
    let mut report = Report {
        workbook,
        book,
        out: Vec::new(),
        aligned: BTreeMap::new(),
        told_tables: BTreeSet::new(),
        settlement,
        lacking: BTreeMap::new(),
        fit_unasked: !asks_of_fit(workbook),
    };
    for (index, line) in workbook.head.iter().enumerate() {
        let own = book
            .faults
            .iter()
            .filter(|(at, _)| *at == index)
            .map(|(_, fault)| fault);
        for fault in line.faults.iter().chain(own) {
            report.line(None, index, line, fault.clone(), None);
        }
    }
    for (place, (sheet, text)) in book.sheets.iter().zip(&workbook.sheets).enumerate() {
        for fault in &text.opening.faults {
            report.opening(place, &text.opening, fault.clone());
        }
        for (index, line) in text.lines.iter().enumerate() {
            for fault in &line.faults {
                report.line(Some(place), index, line, fault.clone(), None);
            }
        }
        for (line, fault) in &sheet.faults {
            match line.and_then(|line| text.lines.get(line).map(|text| (line, text))) {
                Some((index, line)) => report.line(Some(place), index, line, fault.clone(), None),
                None => report.opening(place, &text.opening, fault.clone()),
            }
        }
        for (row, text) in text.rows.iter().flat_map(|rows| rows.rows.iter().enumerate()) {
            for fault in text.faults.iter().flat_map(|faults| faults.iter()) {
                report.row(place, row, None, fault.clone(), None);
            }
        }
        for entry in &sheet.entries {
            if let Some(settled) = settlement.get(entry.id) {
                report.entry(sheet, entry, settled, done.get(entry.id.0 as usize));
            }
        }
    }
    report.without_unit();
    report.finish()
}

impl Report<'_> {
    fn line(&mut self, sheet: Option<usize>, index: usize, line: &Line, fault: Fault, item: Option<String>) {
        let name = sheet
            .and_then(|place| self.workbook.sheets.get(place))
            .map(|sheet| sheet.name.to_string());
        let order = (sheet.map_or(0, |place| place + 1), index + 1, 0, fault.span.start);
        let stands = sheet.map_or(Stands::Head(index), |place| Stands::Line(place, index));
        let item = item.or_else(|| self.case_of(sheet?, line, &fault));
        self.out.push((order, placed(line, fault, name, item, stands)));
    }

    /// The case whose value a fault of a line stands in.
    fn case_of(&self, place: usize, line: &Line, fault: &Fault) -> Option<String> {
        let Statement::Quantity(quantity) = &line.statement else {
            return None;
        };
        let sheet = self.book.sheets.get(place)?;
        if quantity.values.len() < 2 || quantity.values.len() != sheet.items.count() {
            return None;
        }
        let case = quantity.values.iter().position(|formula| {
            formula.as_ref().is_some_and(|formula| {
                let end = formula.at as usize + formula.text.len();
                formula.at <= fault.span.start && (fault.span.end as usize) <= end
            })
        })?;
        item_name(sheet, case)
    }

    fn opening(&mut self, place: usize, line: &Line, mut fault: Fault) {
        if fault.span == Span::default() {
            fault.span = whole(line);
        }
        let name = self.workbook.sheets.get(place).map(|sheet| sheet.name.to_string());
        let order = (place + 1, 0, 0, fault.span.start);
        self.out
            .push((order, placed(line, fault, name, None, Stands::Opening(place))));
    }

    /// A fault of a row; its span is in bytes of the cell's text.
    fn row(&mut self, place: usize, row: usize, column: Option<usize>, mut fault: Fault, item: Option<String>) {
        let Some(sheet) = self.workbook.sheets.get(place) else {
            return;
        };
        let Some(rows) = &sheet.rows else {
            return;
        };
        let Some(text) = rows.rows.get(row) else {
            return;
        };
        let line = sheet
            .lines
            .iter()
            .position(|line| matches!(line.statement, Statement::Rows))
            .unwrap_or(sheet.lines.len());
        let alignment = self.aligned.entry(place).or_insert_with(|| Alignment::of(rows));
        let (source, cell) = row_text(alignment, text, column);
        fault = fault.shifted(cell.start);
        fault.span.end = fault.span.end.min(cell.end).max(fault.span.start);
        let stands = Stands::Row(
            place,
            row,
            column.or_else(|| cell_at(&source, fault.span.start as usize)),
        );
        let column = column_of(&source, fault.span.start) + text.indent.width();
        let order = (place + 1, line + 1, row + 1, fault.span.start);
        self.out.push((
            order,
            Placed {
                sheet: Some(sheet.name.to_string()),
                item,
                line: text.number,
                column,
                source,
                stands,
                fault,
            },
        ));
    }

    fn entry(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled, done: Option<&Done>) {
        for fault in &settled.faults {
            self.at(sheet, entry, Place::Line(entry.line, 0), fault.clone(), None);
        }
        // Asked for only where a formula has a fault.
        let mut items: Option<Vec<Vec<usize>>> = None;
        for (index, slot) in settled.slots.iter().enumerate() {
            if slot.typed.faults.is_empty() {
                continue;
            }
            let items = items.get_or_insert_with(|| settled.items());
            let first = items.get(index).and_then(|items| items.first());
            let item = first.and_then(|item| item_name(sheet, *item));
            let lacking = self.lacking_of(slot);
            for fault in &slot.typed.faults {
                let fault = called::explained(fault.clone(), &lacking);
                self.at(sheet, entry, slot.place, fault, item.clone());
            }
        }
        self.in_other_unit(sheet, entry, settled);
        if let Some(done) = done {
            self.cells(sheet, entry, settled, done);
            self.beyond(sheet, entry, settled, done);
            self.remembered(sheet, entry, settled, done);
            self.fitted(sheet, entry, settled);
        }
    }

    /// The givens without the unit of what they are called that a formula rests on, where it cannot be worked for its units.
    fn lacking_of(&mut self, slot: &Slot) -> Vec<called::Lacking> {
        if !slot.typed.faults.iter().any(called::may_lack) {
            return Vec::new();
        }
        let reads = slot.typed.reads.iter().map(|read| read.quantity);
        let mut found = called::lacking((self.workbook, self.book, self.settlement), reads);
        let faults = &slot.typed.faults;
        found.retain(|lacking| faults.iter().any(|fault| lacking.explains(fault)));
        self.lacking
            .extend(found.iter().map(|lacking| (lacking.id, lacking.clone())));
        found
    }

    /// The same at their own lines.
    fn without_unit(&mut self) {
        for (id, lacking) in std::mem::take(&mut self.lacking) {
            let Some((sheet, entry)) = self.book.sheet_of(id).zip(self.book.entry(id)) else {
                continue;
            };
            let mut fault = lacking.fault();
            if fault.span == Span::default() {
                fault.span = self.span_of_line(entry);
            }
            self.at(sheet, entry, Place::Line(entry.line, 0), fault, None);
        }
    }

    /// A given that is called a power factor or an efficiency and stands in kW.
    fn in_other_unit(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled) {
        let only = settled.slots.first().filter(|_| settled.slots.len() == 1);
        let Some(mut fault) = called::in_other_unit(self.workbook, entry, settled, only.map(|slot| &*slot.text)) else {
            return;
        };
        match only {
            Some(slot) => {
                fault.span = span_of(slot);
                self.at(sheet, entry, slot.place, fault, None);
            }
            None => {
                fault.span = self.span_of_line(entry);
                self.at(sheet, entry, Place::Line(entry.line, 0), fault, None);
            }
        }
    }

    fn span_of_line(&self, entry: &Entry) -> Span {
        let lines = self.workbook.sheets.get(entry.sheet).map(|sheet| &sheet.lines);
        lines
            .and_then(|lines| lines.get(entry.line))
            .map_or(Span::default(), whole)
    }

    /// A fitted circuit of which nobody asks how good it is, once a workbook.
    fn fitted(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled) {
        if !self.fit_unasked {
            return;
        }
        let Some(slot) = settled.slots.iter().find(|slot| slot.text.contains("fitted_")) else {
            return;
        };
        self.fit_unasked = false;
        let fault = Fault::new(
            Code::FIT_UNASKED,
            span_of(slot),
            "this is of a circuit fitted to a plate, and how near it comes to the plate is not asked",
        )
        .help("add a line with `fit_deviation_running(…)` for running, or `fit_deviation(…)` for starting too, with the same values");
        self.at(sheet, entry, slot.place, fault, None);
    }

    /// Values from memory, once for each table of the workbook.
    fn remembered(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled, done: &Done) {
        for (item, notes) in &done.notes {
            for table in notes.iter().filter_map(Remark::remembered_table) {
                if !self.told_tables.insert(table.to_owned()) {
                    continue;
                }
                let Some(slot) = settled.slot_of(*item) else {
                    continue;
                };
                let fault = Fault::new(
                    Code::FROM_MEMORY,
                    span_of(slot),
                    format!("a value of {table} is from memory and was not read in a source"),
                )
                .help("look it up in the standard itself, then accept this warning with the reason");
                // A formula of all cases may take such a value in some of them only.
                let taken = |notes: &[Remark]| notes.iter().any(|note| note.remembered_table() == Some(table));
                let all = done.notes.iter().filter(|(_, notes)| taken(notes)).count() == done.cells.len();
                let of_case = matches!(sheet.items.wording, Wording::Case) && !all;
                let item = item_name(sheet, *item).filter(|_| of_case);
                self.at(sheet, entry, slot.place, fault, item);
            }
        }
    }

    /// Faults that were found with numbers.
    fn cells(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled, done: &Done) {
        if settled.line.is_some() {
            // It is told with the line.
            return;
        }
        let mut alike: BTreeMap<(&str, String), Vec<usize>> = BTreeMap::new();
        for item in &done.faulty {
            let Some(Outcome::Fault(fault)) = done.cells.get(*item) else {
                continue;
            };
            let own_text = settled.slot_of(*item).is_some_and(|slot| slot.typed.op.is_none());
            let literal = self.literal(entry, *item);
            if literal && fault.code == Code::CELL_MISFIT && self.told_in_row(entry, *item) {
                continue;
            }
            if own_text && !literal && settled.looped.is_none() {
                continue;
            }
            let key = match settled.own.contains_key(item) || literal {
                // In its own place.
                true => format!("{item}"),
                false => fault.message.to_string(),
            };
            alike.entry((fault.code.word(), key)).or_default().push(*item);
        }
        for items in alike.values() {
            self.tell(sheet, entry, settled, items, &|item, span| match done.cells.get(item) {
                Some(Outcome::Fault(fault)) => Some(of_work(fault, span)),
                _ => None,
            });
        }
    }

    /// Givens that their kind cannot be.
    fn beyond(&mut self, sheet: &Sheet, entry: &Entry, settled: &Settled, done: &Done) {
        let Some(natural) = Natural::of(self.workbook, entry, settled) else {
            return;
        };
        let mut alike: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (item, cell) in done.cells.iter().enumerate() {
            if natural.outside(cell) {
                let key = match settled.own.contains_key(&item) || self.literal(entry, item) {
                    // The rows of a long list are told together.
                    true if sheet.form == Form::Sheet => format!("{item}"),
                    // Cases share what is told of a value that they share.
                    _ => {
                        let value = cell.as_number().filter(|_| sheet.form == Form::Sheet);
                        format!("{:?} {value:?}", settled.slot_of(item).map(span_of))
                    }
                };
                alike.entry(key).or_default().push(item);
            }
        }
        for items in alike.values() {
            self.tell(sheet, entry, settled, items, &|item, span| {
                let typed = settled.slot_of(item).map(|slot| &*slot.text);
                natural.fault(&entry.name, done.cells.get(item)?, span, typed)
            });
        }
    }

    /// Tells of a fault that some items of one quantity have alike.
    fn tell(
        &mut self,
        sheet: &Sheet,
        entry: &Entry,
        settled: &Settled,
        items: &[usize],
        fault: &dyn Fn(usize, Span) -> Option<Fault>,
    ) {
        // Each row of a short list is a motor of its own; the cases of a sheet share the formula that is wrong.
        let cases = sheet.form == Form::Sheet && items.len() > 1;
        let together = cases || items.len() > APART;
        for item in items.iter().take(if together { 1 } else { APART }) {
            let place = self.place(entry, settled, *item);
            let Some(mut made) = fault(*item, self.span(entry, settled, *item)) else {
                continue;
            };
            let mut name = item_name(sheet, *item);
            if cases {
                let count = sheet.items.count();
                made.message = made.message.and(&format!(" ({})", cases_of(sheet, items, count)));
                name = None;
            } else if together {
                let rows = format!(" ({} rows, the first{})", items.len(), sheet.items.place(*item));
                made.message = made.message.and(&rows);
                name = None;
            }
            self.at_place(sheet, place, made, name);
        }
    }

    /// Whether the reader of the text has told of a cell of the wrong sort in this row.
    fn told_in_row(&self, entry: &Entry, item: usize) -> bool {
        self.workbook
            .sheets
            .get(entry.sheet)
            .and_then(|sheet| sheet.rows.as_ref()?.rows.get(item)?.faults.as_ref())
            .is_some_and(|faults| faults.iter().any(|fault| fault.code == Code::CELL_SORT))
    }

    fn literal(&self, entry: &Entry, item: usize) -> bool {
        entry.column.is_some_and(|column| {
            self.workbook
                .sheets
                .get(entry.sheet)
                .and_then(|sheet| sheet.rows.as_ref())
                .and_then(|rows| rows.rows.get(item)?.cells.get(column))
                .is_some_and(|cell| !matches!(cell, Cell::Blank | Cell::Formula(_)))
        })
    }

    fn place(&self, entry: &Entry, settled: &Settled, item: usize) -> Place {
        if self.literal(entry, item)
            && !settled.own.contains_key(&item)
            && let Some(column) = entry.column
        {
            return Place::Row(item, column);
        }
        match settled.slot_of(item) {
            Some(slot) => slot.place,
            None => Place::Line(entry.line, 0),
        }
    }

    /// The place of a formula in its own line or cell.
    fn span(&self, entry: &Entry, settled: &Settled, item: usize) -> Span {
        match (self.place(entry, settled, item), settled.slot_of(item)) {
            (Place::Row(..), None) => Span::new(0, usize::MAX),
            (Place::Row(..), Some(slot)) if self.literal(entry, item) => {
                let _ = slot;
                Span::new(0, usize::MAX)
            }
            (_, Some(slot)) => span_of(slot),
            (Place::Line(line, _), None) => self
                .workbook
                .sheets
                .get(entry.sheet)
                .and_then(|sheet| sheet.lines.get(line))
                .map_or(Span::default(), whole),
        }
    }

    /// A fault in bytes of a formula.
    fn at(&mut self, sheet: &Sheet, entry: &Entry, place: Place, fault: Fault, item: Option<String>) {
        let _ = entry;
        self.at_place(sheet, place, fault, item);
    }

    fn at_place(&mut self, sheet: &Sheet, place: Place, fault: Fault, item: Option<String>) {
        let Some(at) = self.book.place(sheet.id) else {
            return;
        };
        match place {
            Place::Row(row, column) => self.row(at, row, Some(column), fault, item),
            Place::Line(line, from) => {
                let workbook = self.workbook;
                match workbook
                    .sheets
                    .get(at)
                    .map(|sheet| (&sheet.opening, sheet.lines.get(line)))
                {
                    Some((_, Some(text))) => self.line(Some(at), line, text, fault.shifted(from), item),
                    Some((opening, None)) => self.opening(
                        at,
                        opening,
                        Fault {
                            span: Span::default(),
                            ..fault
                        },
                    ),
                    None => {}
                }
            }
        }
    }

    fn finish(mut self) -> (Vec<Placed>, Vec<Accepted>) {
        self.out.sort_by_key(|(place, _)| *place);
        self.out.dedup_by(|(a, one), (b, other)| {
            a == b
                && one.fault.code == other.fault.code
                && one.fault.message == other.fault.message
                && one.item == other.item
        });
        /// Code, reason and place of an `accept`.
        type Settling<'a> = (&'a str, &'a str, usize);
        let mut accepts: BTreeMap<(usize, usize), Vec<Settling<'_>>> = BTreeMap::new();
        let mut unused: BTreeMap<(usize, usize), bool> = BTreeMap::new();
        let lists = std::iter::once((0, &self.workbook.head)).chain(
            self.workbook
                .sheets
                .iter()
                .enumerate()
                .map(|(place, sheet)| (place + 1, &sheet.lines)),
        );
        for (place, lines) in lists {
            let mut last = 0;
            for (index, line) in lines.iter().enumerate() {
                match &line.statement {
                    Statement::Accept { code, reason } => {
                        accepts.entry((place, last)).or_default().push((code, reason, index));
                        unused.insert((place, index), true);
                    }
                    _ => last = index + 1,
                }
            }
        }
        let (mut faults, mut accepted) = (Vec::new(), Vec::new());
        for (order, placed) in self.out {
            let settled = accepts
                .get(&(order.0, order.1))
                .into_iter()
                .flatten()
                .find(|(code, _, _)| placed.fault.severity == Severity::Warning && *code == placed.fault.code.word());
            match settled {
                Some((_, reason, index)) => {
                    unused.insert((order.0, *index), false);
                    accepted.push(Accepted {
                        placed,
                        reason: (*reason).to_owned(),
                    });
                }
                None => faults.push((order, placed)),
            }
        }
        for ((place, index), unused) in unused {
            let line = match place.checked_sub(1) {
                None => self.workbook.head.get(index),
                Some(sheet) => self.workbook.sheets.get(sheet).and_then(|sheet| sheet.lines.get(index)),
            };
            if let Some(line) = line.filter(|_| unused) {
                let sheet = place
                    .checked_sub(1)
                    .and_then(|sheet| self.workbook.sheets.get(sheet))
                    .map(|sheet| sheet.name.to_string());
                let fault = Fault::new(
                    Code::NOTHING_TO_ACCEPT,
                    whole(line),
                    "the line before has no warning of this code",
                )
                .help("`accept CODE \"reason\"` settles a warning of the line before it; take the line out where there is none");
                let stands = place
                    .checked_sub(1)
                    .map_or(Stands::Head(index), |sheet| Stands::Line(sheet, index));
                faults.push(((place, index + 1, 0, 0), placed(line, fault, sheet, None, stands)));
            }
        }
        faults.sort_by_key(|(place, _)| *place);
        (faults.into_iter().map(|(_, placed)| placed).collect(), accepted)
    }
}

/// The name of an item; nothing for the only one.
fn item_name(sheet: &Sheet, item: usize) -> Option<String> {
    sheet
        .items
        .names
        .get(item)
        .filter(|name| !name.is_empty())
        .map(|name| name.to_string())
}

/// Whether a line of the workbook asks how near a fitted circuit comes to its plate.
fn asks_of_fit(workbook: &Workbook) -> bool {
    let lines = workbook.sheets.iter().flat_map(|sheet| &sheet.lines);
    lines
        .chain(&workbook.head)
        .any(|line| line.text.contains("fit_deviation"))
}

fn span_of(slot: &Slot) -> Span {
    Span::new(0, slot.text.len())
}

fn of_work(fault: &WorkFault, span: Span) -> Fault {
    let made = Fault::new(fault.code, span, fault.message.clone());
    match &fault.help {
        Some(help) => made.help(help.clone()),
        None => made,
    }
}

/// A fault of a statement with its place. The source is the statement with its indent, a blank for each character of it.
fn placed(line: &Line, fault: Fault, sheet: Option<String>, item: Option<String>, stands: Stands) -> Placed {
    let indent = line.indent.width();
    let mut source = " ".repeat(indent as usize);
    source.push_str(&line.text);
    let fault = fault.shifted(indent);
    let before = source.get(..fault.span.start as usize).unwrap_or("");
    let lines = u32::try_from(before.matches('\n').count()).unwrap_or(0);
    Placed {
        sheet,
        item,
        line: if line.number == 0 { 0 } else { line.number + lines },
        column: column_of(&source, fault.span.start),
        source,
        stands,
        fault,
    }
}

/// The column of a byte in its own text line, in characters from 1.
fn column_of(source: &str, at: u32) -> u32 {
    let before = source.get(..at as usize).unwrap_or("");
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let count = before.get(start..).unwrap_or("").chars().count();
    u32::try_from(count).unwrap_or(u32::MAX).saturating_add(1)
}

/// A row as text and the place of one of its cells; of the whole row without a column.
fn row_text(alignment: &Alignment, row: &Row, column: Option<usize>) -> (String, Span) {
    let text = alignment.row_text(row);
    let whole = Span::new(0, text.len());
    let span = column
        .and_then(|column| cells_of(&text).get(column).copied())
        .map_or(whole, |(start, end)| {
            let cell = text.get(start..end).unwrap_or("");
            let lead = cell.len() - cell.trim_start().len();
            Span::new(start + lead, start + lead + cell.trim().len())
        });
    (text, span)
}

/// The cell of a row that holds a byte.
fn cell_at(row: &str, byte: usize) -> Option<usize> {
    cells_of(row).iter().position(|(_, end)| byte <= *end)
}

/// Which cases: all, or their names as far as they are few.
fn cases_of(sheet: &Sheet, items: &[usize], all: usize) -> String {
    if items.len() == all {
        return "in all cases".to_owned();
    }
    let names: Vec<String> = items
        .iter()
        .take(APART)
        .filter_map(|item| item_name(sheet, *item))
        .collect();
    let more = items.len().saturating_sub(names.len());
    let names = names.join(", ");
    match more {
        0 => format!("in the cases {names}"),
        _ => format!("in the cases {names} and {more} more"),
    }
}
