//! A newer list put into the workbook that was made from an earlier one.
//!
//! For: going on with a workbook after the list has changed: what was typed in it since is kept, the rest is the newer list's.
//! Always: a cell or line that differs from what the earlier import gave was typed since and stays; every difference is told. Without
//! the earlier import nothing is known of what was typed, so the workbook's values stay wherever the two differ. Rows of the same
//! file are known by where they stand in it, whatever is taken for their tag by now.
//! Not known here: files.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::list::NAME;
use super::report::Change;
use crate::workbook::change::{Change as Step, Restore};
use crate::workbook::text::{self, row_text};
use crate::workbook::{Cell, Line, Quantity, Row, Rows, SOURCE_ROW, Sheet, Statement, Workbook};

/// What came of it.
#[derive(Clone, Debug)]
pub struct Merged {
    /// The workbook as it goes on.
    pub workbook: Workbook,
    /// What changed, came and went.
    pub changes: Vec<Change>,
}

/// Whether the workbook was made from a list.
pub fn is_of_a_list(workbook: &Workbook) -> bool {
    list_of(workbook).is_some()
}

/// The digest of the file that a workbook's list was read from.
fn digest_of(workbook: &Workbook) -> Option<&str> {
    list_of(workbook)?.lines.iter().find_map(|line| match &line.statement {
        Statement::Read { digest, .. } => digest.as_deref(),
        _ => None,
    })
}

/// Whether `earlier`, as an import made it, is of the same file as the list of the workbook.
pub fn is_of_the_same_list(earlier: &Workbook, workbook: &Workbook) -> bool {
    digest_of(earlier).is_some_and(|digest| digest_of(workbook) == Some(digest))
}

/// Whether two lists were read from the same sheet of the same file: then their rows of the source are the same.
fn is_of_the_same_sheet(one: &Sheet, other: &Sheet) -> bool {
    let read_from = |sheet: &Sheet| {
        sheet.lines.iter().find_map(|line| match &line.statement {
            Statement::Read { sheet, digest, .. } => Some((sheet.clone(), digest.clone()?)),
            _ => None,
        })
    };
    read_from(one).is_some_and(|from| read_from(other) == Some(from))
}

/// The list that was read from a file, whatever it is called by now; where there are several, the one of the usual name.
fn list_of(workbook: &Workbook) -> Option<&Sheet> {
    let is_read = |sheet: &&Sheet| {
        let mut lines = sheet.lines.iter();
        sheet.rows.is_some() && lines.any(|line| matches!(line.statement, Statement::Read { .. }))
    };
    let mut all = workbook.sheets.iter().filter(is_read);
    let usual = workbook.sheets.iter().find(|sheet| *sheet.name == *NAME);
    match (all.next(), all.next()) {
        (Some(only), None) => Some(only),
        _ => usual.filter(is_read),
    }
}

/// Puts `newer`, as an import made it, into `known`; `earlier` is what the import before it made.
pub fn merged(known: &Workbook, earlier: Option<&Workbook>, newer: &Workbook) -> Option<Merged> {
    let (old, new) = (list_of(known)?, list_of(newer)?);
    let base = earlier.and_then(list_of);
    let mut changes = Vec::new();
    let names = columns(old, base, new, &mut changes);
    let rows = rows(old, base, new, &names, &mut changes);
    let mut workbook = known.clone();
    let sheet = workbook.sheets.iter_mut().find(|sheet| sheet.name == old.name)?;
    sheet.lines = lines(old, base, new, &names);
    sheet.rows = Some(Rows {
        columns: names.iter().map(|name| name.as_str().into()).collect(),
        rows,
    });
    // Read again from its text, so that it is what a reader of the file gets.
    let workbook = text::read(&text::write(&workbook));
    Some(Merged { workbook, changes })
}

/// The columns of both, in the order of the newer list unless the workbook's were moved since; a column of the earlier list that the
/// newer one does not have goes, unless something was typed in it.
fn columns(old: &Sheet, base: Option<&Sheet>, new: &Sheet, changes: &mut Vec<Change>) -> Vec<String> {
    let of = |sheet: &Sheet| -> Vec<String> {
        sheet
            .rows
            .iter()
            .flat_map(|rows| &rows.columns)
            .map(|name| name.to_string())
            .collect()
    };
    let (mut known, newer) = (of(old), of(new));
    let earlier = base.map(of);
    if let Some(base) = base {
        let typed = Typed::of(old, base);
        let gone: Vec<String> = known
            .iter()
            .filter(|name| !newer.contains(name) && !typed.is_in(name))
            .cloned()
            .collect();
        for name in &gone {
            changes.push(change(name, "column", "read", "not read", "taken out"));
        }
        known.retain(|name| !gone.contains(name));
    }
    let moved = earlier.is_none_or(|earlier| {
        let both = |all: &[String], other: &[String]| -> Vec<String> {
            all.iter().filter(|name| other.contains(name)).cloned().collect()
        };
        both(&known, &earlier) != both(&earlier, &known)
    });
    if moved {
        following(known, &newer)
    } else {
        following(newer, &known)
    }
}

/// `all`, and what else is in `others`, each after what it follows there.
fn following(mut all: Vec<String>, others: &[String]) -> Vec<String> {
    let mut before: Option<&String> = None;
    for name in others {
        if !all.contains(name) {
            let at = before.and_then(|before| all.iter().position(|known| known == before));
            all.insert(at.map_or(0, |at| at + 1), name.clone());
        }
        before = Some(name);
    }
    all
}

/// What was typed in a list since the earlier one gave it.
struct Typed<'a> {
    sheets: (&'a Sheet, &'a Sheet),
    is: Table<'a>,
    was: Table<'a>,
    /// Rows of the earlier list, by the rows that the workbook has of them.
    given: HashMap<usize, usize>,
}

impl<'a> Typed<'a> {
    fn of(old: &'a Sheet, base: &'a Sheet) -> Typed<'a> {
        let (is, was) = (Table::of(old), Table::of(base));
        let here = is.rows_of(&was).into_iter().enumerate();
        Typed {
            sheets: (old, base),
            given: here.filter_map(|(row, here)| Some((here?, row))).collect(),
            is,
            was,
        }
    }

    /// Whether anything was typed in a column, or in its line.
    fn is_in(&self, name: &str) -> bool {
        let (is, was) = (named(self.sheets.0, name), named(self.sheets.1, name));
        let line = matches!((is, was), (Some(is), Some(was)) if same_text(is, was));
        let stays = |row: usize| {
            let before = self.given.get(&row);
            let before = before.and_then(|before| self.was.cell(*before, name));
            same(self.is.cell(row, name), before)
        };
        !(line && self.was.at.contains_key(name) && (0..self.is.rows.len()).all(stays))
    }
}

fn quantity(line: &Line) -> Option<&Quantity> {
    match &line.statement {
        Statement::Quantity(quantity) => Some(quantity),
        _ => None,
    }
}

fn named<'a>(sheet: &'a Sheet, name: &str) -> Option<&'a Line> {
    sheet
        .lines
        .iter()
        .find(|line| quantity(line).is_some_and(|quantity| *quantity.name == *name))
}

fn same_text(one: &Line, other: &Line) -> bool {
    one.text.split_whitespace().eq(other.text.split_whitespace())
}

/// The lines: those changed since stay, the others become the newer list's, and what it adds comes before the rows.
fn lines(old: &Sheet, base: Option<&Sheet>, new: &Sheet, names: &[String]) -> Vec<Line> {
    let read = new
        .lines
        .iter()
        .find(|line| matches!(line.statement, Statement::Read { .. }));
    let mut lines: Vec<Line> = Vec::new();
    let with = |line: &Line, newer: &Line| Line {
        before: line.before.clone(),
        ..newer.clone()
    };
    for line in &old.lines {
        match &line.statement {
            Statement::Read { .. } => lines.push(read.map_or_else(|| line.clone(), |read| with(line, read))),
            Statement::Rows => {
                add(&mut lines, old, base, new);
                lines.push(Line {
                    text: Arc::from(format!("rows {}", names.join(" | "))),
                    ..line.clone()
                });
            }
            Statement::Quantity(its) => {
                let newer = named(new, &its.name);
                let untouched = base
                    .and_then(|base| named(base, &its.name))
                    .is_some_and(|base| same_text(base, line));
                let is_column = names.iter().any(|name| **name == *its.name);
                match newer {
                    Some(newer) if untouched => lines.push(with(line, newer)),
                    // What the earlier list gave and the newer one does not.
                    None if untouched && !is_column => {}
                    _ => lines.push(line.clone()),
                }
            }
            _ => lines.push(line.clone()),
        }
    }
    lines
}

/// Puts in what the newer list adds, each line after the one that it follows there. What was taken out since stays out.
fn add(lines: &mut Vec<Line>, old: &Sheet, base: Option<&Sheet>, new: &Sheet) {
    let mut before: Option<&str> = None;
    for line in &new.lines {
        let Some(its) = quantity(line) else { continue };
        let taken_out = base.is_some_and(|base| named(base, &its.name).is_some());
        if named(old, &its.name).is_none() && !taken_out {
            let place_of = |name: &str| {
                let is = |line: &Line| quantity(line).is_some_and(|known| *known.name == *name);
                lines.iter().position(is)
            };
            let at = match before {
                Some(before) => place_of(before).map_or(lines.len(), |at| at + 1),
                None => lines
                    .iter()
                    .position(|line| quantity(line).is_some())
                    .unwrap_or(lines.len()),
            };
            lines.insert(at.min(lines.len()), line.clone());
        }
        before = Some(&its.name);
    }
}

/// What the rows of two lists are matched by.
#[derive(Clone, Copy)]
enum Known {
    BySourceRow,
    ByName,
}

/// A list's rows with the places of their columns.
struct Table<'a> {
    rows: &'a [Row],
    at: HashMap<&'a str, usize>,
}

impl<'a> Table<'a> {
    fn of(sheet: &'a Sheet) -> Table<'a> {
        let rows = sheet.rows.as_ref();
        Table {
            rows: rows.map_or(&[], |rows| &rows.rows),
            at: rows
                .into_iter()
                .flat_map(|rows| &rows.columns)
                .enumerate()
                .map(|(place, name)| (&**name, place))
                .collect(),
        }
    }

    fn cell(&self, row: usize, name: &str) -> Option<&'a Cell> {
        self.rows.get(row)?.cells.get(*self.at.get(name)?)
    }

    /// What a row without a tag is known by: its machine and area in words.
    fn described(&self, row: usize) -> Option<String> {
        let words = |name: &str| match self.cell(row, name) {
            Some(Cell::Text(text)) => text.split_whitespace().collect::<Vec<_>>().join(" "),
            _ => String::new(),
        };
        let (machine, area) = (words("machine"), words("area"));
        match (machine.is_empty(), area.is_empty()) {
            (true, _) => None,
            (false, true) => Some(machine),
            (false, false) => Some(format!("{machine}, {area}")),
        }
    }

    fn tag(&self, row: usize) -> Option<String> {
        match self.cell(row, "tag") {
            Some(Cell::Text(tag)) if !tag.trim().is_empty() => Some(tag.trim().to_owned()),
            _ => None,
        }
    }

    /// Descriptions of rows without a tag that stand more than once.
    fn alike(&self) -> HashSet<String> {
        let mut seen = HashSet::new();
        (0..self.rows.len())
            .filter(|row| self.tag(*row).is_none())
            .filter_map(|row| self.described(row))
            .filter(|described| !seen.insert(described.clone()))
            .collect()
    }

    /// What each row is called: its tag; without one what it drives, with the rating and the plate speed where several are alike;
    /// without either its row of the source.
    fn called(&self, alike: &HashSet<String>) -> Vec<String> {
        let called = |row: usize| {
            let described = || {
                let described = self.described(row)?;
                Some(match alike.contains(&described) {
                    true => format!("{described} {} {}", self.shown(row, "P_r"), self.shown(row, "n_r")),
                    false => described,
                })
            };
            self.tag(row)
                .or_else(described)
                .unwrap_or_else(|| format!("source row {}", self.shown(row, SOURCE_ROW)))
        };
        (0..self.rows.len()).map(called).collect()
    }

    /// What each row is known by: its row of the source or what it is called, and how often that came before.
    fn keys(&self, alike: &HashSet<String>, by: Known) -> Vec<(String, usize)> {
        let mut seen: HashMap<String, usize> = HashMap::new();
        let keys = match by {
            Known::BySourceRow => (0..self.rows.len()).map(|row| self.shown(row, SOURCE_ROW)).collect(),
            Known::ByName => self.called(alike),
        };
        keys.into_iter()
            .map(|key| {
                let count = seen.entry(key.clone()).or_default();
                *count += 1;
                (key, *count)
            })
            .collect()
    }

    /// The row that became of each row of the list it was made of. Where several have its row of the source, as a copy has, it is
    /// the one that is called as it was; else the first one, if nothing else was read from there or its tag or its machine is the same.
    fn rows_of(&self, base: &Table<'_>) -> Vec<Option<usize>> {
        let by_source = |table: &Table<'_>| {
            let mut rows: HashMap<String, Vec<usize>> = HashMap::new();
            for row in 0..table.rows.len() {
                rows.entry(table.shown(row, SOURCE_ROW)).or_default().push(row);
            }
            rows.remove("");
            rows
        };
        let mut left = by_source(self);
        let mut out = vec![None; base.rows.len()];
        for (source, read) in by_source(base) {
            let Some(left) = left.get_mut(&source) else { continue };
            let mut take = |is: &dyn Fn(usize, usize) -> bool| {
                for row in &read {
                    let Some(entry) = out.get_mut(*row).filter(|entry| entry.is_none()) else {
                        continue;
                    };
                    if let Some(at) = left.iter().position(|here| is(*row, *here)) {
                        *entry = Some(left.remove(at));
                    }
                }
            };
            let tag = |row: usize, here: usize| base.tag(row) == self.tag(here);
            let machine = |row: usize, here: usize| base.described(row) == self.described(here);
            take(&|row, here| tag(row, here) && machine(row, here));
            take(&|row, here| base.tag(row).is_some() && tag(row, here));
            take(&|row, here| base.described(row).is_some() && machine(row, here));
            take(&|_, _| read.len() == 1);
        }
        out
    }

    fn shown(&self, row: usize, name: &str) -> String {
        self.cell(row, name).map(shown).unwrap_or_default()
    }
}

/// A cell as it is written.
fn shown(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => text.to_string(),
        cell => {
            let row = Row {
                before: None,
                number: 0,
                indent: Row::INDENT,
                cells: vec![cell.clone()],
                faulty: None,
                faults: None,
                comment: None,
            };
            row_text(&row).trim().to_owned()
        }
    }
}

fn same(one: Option<&Cell>, other: Option<&Cell>) -> bool {
    match (one.unwrap_or(&Cell::Blank), other.unwrap_or(&Cell::Blank)) {
        (Cell::Number(a, of_a), Cell::Number(b, of_b)) => {
            a == b && of_a.as_ref().map(|unit| &unit.text) == of_b.as_ref().map(|unit| &unit.text)
        }
        (a, b) => shown(a) == shown(b),
    }
}

fn rows(old: &Sheet, base: Option<&Sheet>, new: &Sheet, names: &[String], changes: &mut Vec<Change>) -> Vec<Row> {
    let by = match is_of_the_same_sheet(base.unwrap_or(old), new) {
        true => Known::BySourceRow,
        false => Known::ByName,
    };
    let (old, new) = (Table::of(old), Table::of(new));
    let base = base.map(Table::of);
    // The earlier import and the workbook made from it have the same rows of the source; tags may have been corrected since.
    let here_of: Vec<Option<usize>> = match &base {
        Some(base) => old.rows_of(base),
        None => (0..old.rows.len()).map(Some).collect(),
    };
    // Alike in one of the lists: known by more in all of them.
    let mut alike = new.alike();
    alike.extend(base.as_ref().map_or_else(|| old.alike(), Table::alike));
    let by_key = |table: &Table<'_>| -> HashMap<(String, usize), usize> {
        table
            .keys(&alike, by)
            .into_iter()
            .enumerate()
            .map(|(row, key)| (key, row))
            .collect()
    };
    let known = base.as_ref().map_or_else(|| by_key(&old), by_key);
    let mut used = vec![false; old.rows.len()];
    let mut found = vec![false; base.as_ref().map_or(old.rows.len(), |base| base.rows.len())];
    let mut out = Vec::with_capacity(new.rows.len());
    let called = new.called(&alike);
    for (row, (key, motor)) in new.keys(&alike, by).into_iter().zip(called).enumerate() {
        let blank = |cells: Vec<Cell>| Row {
            before: None,
            number: 0,
            indent: Row::INDENT,
            cells,
            faulty: None,
            faults: None,
            comment: new.rows.get(row).and_then(|row| row.comment.clone()),
        };
        let as_new = || {
            names
                .iter()
                .map(|name| new.cell(row, name).cloned().unwrap_or(Cell::Blank))
                .collect()
        };
        let Some(before) = known.get(&key).copied() else {
            changes.push(change(&motor, "came", "", "in the newer list", "taken"));
            out.push(blank(as_new()));
            continue;
        };
        if let Some(entry) = found.get_mut(before) {
            *entry = true;
        }
        let here = here_of.get(before).copied().flatten();
        let Some((here, kept)) = here.and_then(|here| Some((here, old.rows.get(here)?))) else {
            changes.push(change(
                &motor,
                "row",
                "taken out of the workbook",
                "in the newer list",
                "left out, as before",
            ));
            continue;
        };
        if let Some(entry) = used.get_mut(here) {
            *entry = true;
        }
        if kept.faulty.is_some() {
            changes.push(change(
                &motor,
                "row",
                "has a fault in the workbook",
                "",
                "kept as it stands; mend it",
            ));
            out.push(kept.clone());
            continue;
        }
        let cells = names
            .iter()
            .map(|name| {
                let (is, newer) = (old.cell(here, name), new.cell(row, name));
                let Some(newer) = newer else {
                    return is.cloned().unwrap_or(Cell::Blank);
                };
                let earlier = base.as_ref().map(|base| base.cell(before, name));
                let typed = match earlier {
                    Some(earlier) => !same(earlier, is),
                    // A column the workbook does not have was not typed.
                    None => is.is_some() && !same(is, Some(newer)),
                };
                let was = earlier.unwrap_or(is);
                let moved = !same(was, Some(newer));
                // Rows of the source move with every line put in; that is no change of the motor.
                if name != SOURCE_ROW && (moved || typed) && !(typed && same(is, Some(newer))) {
                    let text = |cell: Option<&Cell>| cell.map(shown).unwrap_or_default();
                    let result = match (typed, earlier) {
                        (true, Some(_)) => format!("{}, typed since", text(is)),
                        (true, None) => format!("{}, as the workbook had it; what was typed is not known", text(is)),
                        (false, _) => text(Some(newer)),
                    };
                    changes.push(change(&motor, name, &text(was), &text(Some(newer)), &result));
                }
                if typed && name != SOURCE_ROW {
                    is.cloned().unwrap_or(Cell::Blank)
                } else {
                    newer.clone()
                }
            })
            .collect();
        let mut merged = blank(cells);
        merged.before = kept.before.clone();
        let comment = base
            .as_ref()
            .and_then(|base| base.rows.get(before))
            .map(|row| &row.comment);
        if comment.is_some_and(|comment| *comment != kept.comment) {
            merged.comment = kept.comment.clone();
        }
        out.push(merged);
    }
    went(
        &old,
        base.as_ref(),
        &alike,
        &found,
        &here_of,
        &mut used,
        names,
        &mut out,
        changes,
    );
    // Rows that no list gave were typed.
    for (row, _) in used.iter().enumerate().filter(|(_, used)| !**used) {
        out.extend(spread(&old, row, names));
    }
    out
}

/// A row of the workbook in the columns to be written.
fn spread(old: &Table<'_>, row: usize, names: &[String]) -> Option<Row> {
    let kept = old.rows.get(row)?;
    Some(Row {
        cells: names
            .iter()
            .map(|name| old.cell(row, name).cloned().unwrap_or(Cell::Blank))
            .collect(),
        ..kept.clone()
    })
}

/// Rows of the earlier list that the newer one does not have: they go, unless something was typed in them.
#[allow(clippy::too_many_arguments, reason = "parts of one step, named for reading")]
fn went(
    old: &Table<'_>,
    base: Option<&Table<'_>>,
    alike: &HashSet<String>,
    found: &[bool],
    here_of: &[Option<usize>],
    used: &mut [bool],
    names: &[String],
    out: &mut Vec<Row>,
    changes: &mut Vec<Change>,
) {
    let called = base.unwrap_or(old).called(alike);
    for (before, _) in found.iter().enumerate().filter(|(_, found)| !**found) {
        let motor = called.get(before).map_or("", String::as_str);
        let here = here_of.get(before).copied().flatten();
        let Some(here) = here.filter(|here| used.get(*here) == Some(&false)) else {
            continue;
        };
        if let Some(entry) = used.get_mut(here) {
            *entry = true;
        }
        let typed = base.is_none_or(|base| {
            names
                .iter()
                .any(|name| !same(base.cell(before, name), old.cell(here, name)))
        });
        if typed {
            out.extend(spread(old, here, names));
        }
        let kept = if typed {
            "kept, since something was typed in it"
        } else {
            "taken out"
        };
        changes.push(change(motor, "went", "in the earlier list", "", kept));
    }
}

fn change(motor: &str, what: &str, was: &str, is: &str, kept: &str) -> Change {
    Change {
        motor: motor.to_owned(),
        what: what.to_owned(),
        was: was.to_owned(),
        is: is.to_owned(),
        kept: kept.to_owned(),
    }
}

/// The text of a workbook made from a list, which is named so from the folder of the workbook.
pub fn text_naming(workbook: &Workbook, list: &str) -> String {
    let text = text::write(workbook);
    let mut lines = workbook.sheets.iter().flat_map(|sheet| &sheet.lines);
    let named = lines.find_map(|line| match &line.statement {
        Statement::Read { file, .. } => Some(file),
        _ => None,
    });
    match named {
        Some(named) => text.replacen(
            &format!("read {}", text::quoted(named)),
            &format!("read {}", text::quoted(list)),
            1,
        ),
        None => text,
    }
}

/// The changes that make one workbook out of another one that differs in its list only.
pub fn steps(known: &Workbook, merged: Workbook) -> Vec<Step> {
    let Some(name) = list_of(known).map(|sheet| sheet.name.clone()) else {
        return Vec::new();
    };
    let mut sheets = merged.sheets.into_iter().enumerate();
    let Some((at, sheet)) = sheets.find(|(_, sheet)| sheet.name == name) else {
        return Vec::new();
    };
    vec![
        Step::Restore(Restore::DeleteSheets(at, 1)),
        Step::Restore(Restore::InsertSheets(at, vec![sheet])),
    ]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;

    fn book(digest: &str, rows: &str) -> Workbook {
        text::read(&format!(
            "polepair 1\nworkbook \"Plant\"\n\nlist motors \"Plant\"\n  read \"list.csv\" headings 1 digest \"{digest}\"\n  given tag : text \"Tag\" from \"Tag\"\n  given {SOURCE_ROW} : number \"Row in the source\"\n  given P_r in kW : rated power \"Rated power\" from \"kW\" plate\n  work E = P_r * 1 h in kWh\n  rows tag | {SOURCE_ROW} | P_r\n{rows}"
        ))
    }

    #[test]
    fn what_was_typed_stays_and_the_rest_is_the_newer_lists() {
        let earlier = book(
            "aa",
            "    \"A\" | 2 | 11 kW\n    \"B\" | 3 | 15 kW\n    \"C\" | 4 | 22 kW\n    \"D\" | 5 | 30 kW\n    \"E\" | 6 | 37 kW\n",
        );
        // B was corrected, C got a formula of its own, a row was added, a line written.
        let known = text::read(
            &(text::write(&earlier)
                .replace("15 kW", "18.5 kW")
                .replace("22 kW", "2 * 11 kW")
                .replace("  rows", "  note \"Checked in May\"\n  rows")
                + "    \"Z\" |  | 4 kW\n"),
        );
        let newer = book(
            "bb",
            "    \"A\" | 3 | 7.5 kW\n    \"N\" | 4 | 90 kW\n    \"B\" | 5 | 16 kW\n    \"C\" | 6 | 22 kW\n    \"E\" | 7 | 37 kW\n",
        );
        let merged = merged(&known, Some(&earlier), &newer).unwrap();
        let text = text::write(&merged.workbook);
        for part in [
            "digest \"bb\"",
            "Checked in May",
            "\"A\" | 3 | 7.5 kW",
            "\"N\" | 4 | 90 kW",
            "\"B\" | 5 | 18.5 kW",
            "\"C\" | 6 | 2 * 11 kW",
            "\"E\" | 7 | 37 kW",
            "\"Z\" |  | 4 kW",
        ] {
            assert!(squeezed(&text).contains(&squeezed(part)), "{part} in\n{text}");
        }
        assert!(!text.contains("\"D\""), "{text}");
        let told: Vec<String> = merged
            .changes
            .iter()
            .map(|change| {
                format!(
                    "{} {}: {} > {}, {}",
                    change.motor, change.what, change.was, change.is, change.kept
                )
            })
            .collect();
        assert_eq!(
            told,
            [
                "A P_r: 11 kW > 7.5 kW, 7.5 kW",
                "N came:  > in the newer list, taken",
                "B P_r: 15 kW > 16 kW, 18.5 kW, typed since",
                "C P_r: 22 kW > 22 kW, 2 * 11 kW, typed since",
                "D went: in the earlier list > , taken out",
            ]
        );
        // The same list once more changes nothing.
        let again = super::merged(&merged.workbook, Some(&newer), &newer).unwrap();
        assert_eq!(text::write(&again.workbook), text);
    }

    /// A list as an import makes it, with these columns after tag and row.
    fn with_columns(columns: &[(&str, &str)], rows: &str) -> Workbook {
        let given: String = columns
            .iter()
            .map(|(name, line)| format!("  given {name} {line}\n"))
            .collect();
        let names: String = columns.iter().map(|(name, _)| format!(" | {name}")).collect();
        text::read(&format!(
            "polepair 1\nlist motors\n  read \"list.csv\" headings 1 digest \"aa\"\n  given tag : text\n  given {SOURCE_ROW} : number\n{given}  rows tag | {SOURCE_ROW}{names}\n{rows}"
        ))
    }

    /// A list without tags, with a row put in on top: what was typed stays with the machine, not with the number of the row.
    #[test]
    fn rows_without_a_tag_are_known_by_their_machine() {
        let columns = [
            ("machine", ": text from \"Service\""),
            ("P_r", "in kW : rated power from \"kW\""),
            ("I", "in A : measured current from \"A\""),
        ];
        let before = with_columns(
            &columns,
            "     | 2 | \"Pump one\" | 7.5 kW | 11 A\n     | 3 | \"Pump two\" | 7.5 kW | 11.5 A\n     | 4 | \"Fan\" | 4 kW | \n     | 5 | \"Fan\" | 22 kW | 30 A\n",
        );
        let known = text::read(&text::write(&before).replace("11.5 A", "12.5 A").replace("30 A", "31 A"));
        let newer = with_columns(
            &columns,
            "     | 2 | \"New pump\" | 4 kW | \n     | 3 | \"Pump one\" | 7.5 kW | 11 A\n     | 4 | \"Fan\" | 22 kW | 30 A\n     | 5 | \"Pump two\" | 7.5 kW | 11.5 A\n     | 6 | \"Fan\" | 4 kW | \n",
        );
        let newer = text::read(&text::write(&newer).replace("\"aa\"", "\"bb\""));
        let merged = merged(&known, Some(&before), &newer).unwrap();
        let text = squeezed(&text::write(&merged.workbook));
        for part in [
            "2 | \"New pump\" | 4 kW",
            "3 | \"Pump one\" | 7.5 kW | 11 A",
            "4 | \"Fan\" | 22 kW | 31 A",
            "5 | \"Pump two\" | 7.5 kW | 12.5 A",
        ] {
            assert!(text.contains(&squeezed(part)), "{part} in\n{text}");
        }
        let told: Vec<&str> = merged.changes.iter().map(|change| change.motor.as_str()).collect();
        assert!(told.contains(&"New pump") && told.contains(&"Pump two"), "{told:?}");
        let still = merged.changes.iter().find(|change| change.motor == "Pump two").unwrap();
        assert_eq!(
            still.in_words(),
            "Pump two I: still 11.5 A in the list; the workbook has 12.5 A, typed since"
        );
    }

    #[test]
    fn a_column_taken_for_another_thing_does_not_stay() {
        let power = ("P_r", "in kW : rated power from \"Size\"");
        let current = ("I_r", "in A : rated current from \"Size\"");
        let speed = ("n_r", "in r/min : rated speed from \"n\"");
        let before = with_columns(&[power, speed], "    \"A\" | 2 | 11 kW | 1460 r/min\n");
        let newer = with_columns(&[current, speed], "    \"A\" | 2 | 11 A | 1460 r/min\n");
        let fresh = merged(&before, Some(&before), &newer).unwrap();
        assert_eq!(text::write(&fresh.workbook), text::write(&newer));
        assert!(
            fresh
                .changes
                .iter()
                .any(|change| change.motor == "P_r" && change.kept == "taken out")
        );
        // What was typed in it keeps the column, before the one that it stood before.
        let typed = text::read(&text::write(&before).replace("11 kW", "15 kW"));
        let kept = text::write(&merged(&typed, Some(&before), &newer).unwrap().workbook);
        assert!(squeezed(&kept).contains("\"A\"|2|15kW|11A|1460r/min"), "{kept}");
    }

    /// The same file with another column taken for the tag: each motor stands once, with what was typed in it; a copy made of a row
    /// since stays a row of its own.
    #[test]
    fn the_same_file_read_otherwise_is_matched_by_its_rows() {
        let columns = [
            ("machine", ": text from \"Service\""),
            ("P_r", "in kW : rated power from \"kW\""),
            ("n", "in r/min : measured speed from \"n\""),
        ];
        let rows = |tags: [&str; 4]| {
            let [one, two, three, four] = tags;
            format!(
                "    {one} | 2 | \"Kiln fan\" | 5.5 kW | 1448 r/min\n    {two} | 3 | \"Kiln fan\" | 5.5 kW | 1500 r/min\n    {three} | 4 | \"Saw\" | 22 kW | \n    {four} | 4 | \"Pump\" | 4 kW | \n"
            )
        };
        let before = with_columns(&columns, &rows([""; 4]));
        let newer = with_columns(&columns, &rows(["\"M1\"", "\"M2\"", "\"M2\"", "\"M4\""]));
        // Sorted, the second fan corrected and copied, the pump of the row with two motors changed, the saw taken out.
        let known = with_columns(
            &columns,
            "     | 4 | \"Pump\" | 5.5 kW | \n     | 3 | \"Kiln fan\" | 5.5 kW | 1449 r/min\n     | 3 | \"Kiln fan\" | 7.5 kW | 1449 r/min\n     | 2 | \"Kiln fan\" | 5.5 kW | 1448 r/min\n",
        );
        let right = with_columns(
            &columns,
            "    \"M1\" | 2 | \"Kiln fan\" | 5.5 kW | 1448 r/min\n    \"M2\" | 3 | \"Kiln fan\" | 5.5 kW | 1449 r/min\n    \"M4\" | 4 | \"Pump\" | 5.5 kW | \n     | 3 | \"Kiln fan\" | 7.5 kW | 1449 r/min\n",
        );
        let fresh = merged(&known, Some(&before), &newer).unwrap();
        assert_eq!(text::write(&fresh.workbook), text::write(&right));
        let came = fresh.changes.iter().any(|change| change.what == "came");
        assert!(!came, "{:?}", fresh.changes);
        let told: Vec<String> = fresh.changes.iter().map(Change::in_words).collect();
        let kept = "M2 n: still 1500 r/min in the list; the workbook has 1449 r/min, typed since";
        assert!(told.iter().any(|told| told == kept), "{told:?}");
        // Where the earlier import is not known, no motor stands twice either.
        let unknown = merged(&known, None, &newer).unwrap();
        let count = unknown.workbook.sheets[0].rows.as_ref().unwrap().rows.len();
        assert_eq!(count, 5, "{}", text::write(&unknown.workbook));
    }

    #[test]
    fn a_list_under_another_name_and_moved_columns_are_known() {
        let power = ("P_r", "in kW : rated power");
        let speed = ("n_r", "in r/min : rated speed");
        let before = with_columns(&[power, speed], "    \"A\" | 2 | 11 kW | 1460 r/min\n");
        let known = with_columns(&[speed, power], "    \"A\" | 2 | 1460 r/min | 11 kW\n");
        let known = text::read(&text::write(&known).replace("list motors", "list pumps"));
        let newer = with_columns(&[power, speed], "    \"A\" | 2 | 11 kW | 1470 r/min\n");
        let merged = merged(&known, Some(&before), &newer).unwrap();
        let text = text::write(&merged.workbook);
        assert!(
            text.contains("list pumps") && squeezed(&text).contains("\"A\"|2|1470r/min|11kW"),
            "{text}"
        );
        let mut changed = known.clone();
        for step in steps(&known, merged.workbook) {
            crate::workbook::change::apply(&mut changed, &step).unwrap();
        }
        assert_eq!(text::write(&changed), text);
    }

    #[test]
    fn without_the_earlier_import_the_workbook_holds() {
        let known = book("aa", "    \"A\" | 2 | 11 kW\n    \"B\" | 3 | 15 kW\n");
        let newer = book("bb", "    \"A\" | 2 | 7.5 kW\n    \"B\" | 3 | 15 kW\n");
        let merged = merged(&known, None, &newer).unwrap();
        let text = text::write(&merged.workbook);
        assert!(squeezed(&text).contains("\"A\"|2|11kW"), "{text}");
        assert_eq!(merged.changes.len(), 1);
        assert!(merged.changes[0].kept.contains("not known"));
    }

    fn squeezed(text: &str) -> String {
        text.chars().filter(|sign| !sign.is_whitespace()).collect()
    }
}
