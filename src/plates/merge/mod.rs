//! A newer list put into the workbook that was made from an earlier one.
//!
//! For: going on with a workbook after the list has changed: what was typed in it since is kept, the rest is the newer list's.
//! Always: a cell or line that differs from what the earlier import gave was typed since and stays; every difference is told. Without
//! the earlier import nothing is known of what was typed, so the workbook's values stay wherever the two differ. Rows of the same
//! file are known by where they stand in it, whatever is taken for their tag by now. What a line or formula says of a row goes where
//! the row goes.
//! Not known here: files.

mod matching;
mod rows;
mod table;
mod told;

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use self::matching::Lists;
use self::rows::Put;
use self::table::{Table, same};
use self::told::Teller;
use super::changes::Change;
use super::list::{NAME, load_lines};
use super::own::with_remarks;
use crate::workbook::change::{Change as Step, Place, Restore, Went, follow, read_by_number};
use crate::workbook::settle::key_column;
use crate::workbook::text::{self, read_statement};
use crate::workbook::{Cell, Indent, Line, Quantity, Row, Rows, Sheet, Statement, Workbook};

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
    let teller = Teller { sheets: [new, old] };
    let mut changes = Vec::new();
    let names = columns(old, base, new, &teller, &mut changes);
    let lists = Lists {
        old: Table::of(old),
        base: base.map(Table::of),
        new: Table::of(new),
        is_same_file: is_of_the_same_sheet(base.unwrap_or(old), new),
    };
    let motors = matching::motors(&lists);
    let of_row = matching::matched(&lists, &motors);
    let spoken_of = read_by_number(known, &old.name);
    let own = lists.old.rows_with_own();
    let put = rows::Rows {
        lists: &lists,
        motors: &motors,
        of_row: &of_row,
        names: &names,
        teller: &teller,
        is_spoken_of: &|row| spoken_of.contains(&row) || own.contains(&row),
    }
    .put(&mut changes);
    let mut workbook = known.clone();
    // Where a row of the workbook has no place any more, nothing speaks of it.
    let _ = follow(&mut workbook, &went(old, &names, &put));
    let sheet = workbook.sheets.iter_mut().find(|sheet| sheet.name == old.name)?;
    let rows = followed(put, &lists.old, &Table::of(sheet), &names);
    let own = lists.old.lines_in(&names);
    sheet.lines = lines(sheet, base, new, &names, &own);
    sheet.rows = Some(Rows {
        columns: names.iter().map(|name| name.as_str().into()).collect(),
        rows,
    });
    // Read again from its text, so that it is what a reader of the file gets.
    let workbook = text::read(&text::write(&workbook));
    Some(Merged { workbook, changes })
}

/// Where the rows of a list go, and what they are called there.
fn went<'a>(old: &'a Sheet, names: &[String], put: &[Put]) -> Went<'a> {
    let mut to = vec![None; old.rows.as_ref().map_or(0, |rows| rows.rows.len())];
    for (place, (_, row)) in put.iter().enumerate() {
        if let Some(entry) = row.and_then(|row| to.get_mut(row)) {
            *entry = Some(place);
        }
    }
    let columns = old.rows.as_ref().map_or(&[][..], |rows| &rows.columns);
    let key = key_column(old).and_then(|key| columns.get(key));
    let key = key.and_then(|key| names.iter().position(|name| **name == **key));
    let called = put.iter().map(|(row, _)| match row.cells.get(key?)? {
        Cell::Text(text) => Some(text.clone()),
        _ => None,
    });
    Went {
        list: &old.name,
        to,
        called: called.collect(),
    }
}

/// The rows, with their formulas as they follow other rows.
fn followed(put: Vec<Put>, old: &Table<'_>, now: &Table<'_>, names: &[String]) -> Vec<Row> {
    let mut rows = Vec::with_capacity(put.len());
    for (mut row, here) in put {
        for (cell, name) in row.cells.iter_mut().zip(names) {
            if let (Some(here), Cell::Formula(_)) = (here, &*cell)
                && same(old.cell(here, name), Some(cell))
                && let Some(follows) = now.cell(here, name)
            {
                *cell = follows.clone();
            }
        }
        rows.push(row);
    }
    rows
}

/// The columns of both, in the order of the newer list unless the workbook's were moved since; a column of the earlier list that the
/// newer one does not have goes, unless something was typed in it.
fn columns(
    old: &Sheet,
    base: Option<&Sheet>,
    new: &Sheet,
    teller: &Teller<'_>,
    changes: &mut Vec<Change>,
) -> Vec<String> {
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
            changes.push(teller.column(name));
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

/// The lines: those changed since stay, the others become the newer list's, and what it adds comes before the rows. `own`: lines of
/// values that stand in cells from now on.
fn lines(old: &Sheet, base: Option<&Sheet>, new: &Sheet, names: &[String], own: &HashSet<usize>) -> Vec<Line> {
    let read = new
        .lines
        .iter()
        .find(|line| matches!(line.statement, Statement::Read { .. }));
    let mut lines: Vec<Line> = Vec::new();
    let with = |line: &Line, newer: &Line| Line {
        before: line.before.clone(),
        ..newer.clone()
    };
    let kept = old.lines.iter().enumerate().filter(|(place, _)| !own.contains(place));
    for line in kept.map(|(_, line)| line) {
        match &line.statement {
            Statement::Read { .. } => lines.push(read.map_or_else(
                || line.clone(),
                |read| Line {
                    before: with_remarks(&line.before, &read.before).into(),
                    ..read.clone()
                },
            )),
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
    see_all(&mut lines, new, names);
    lines
}

/// Lets the loads see columns that the newer list has no use for, and which stay since something was typed in them. Load lines that
/// somebody has written anew are left alone.
fn see_all(lines: &mut Vec<Line>, new: &Sheet, names: &[String]) {
    let columns = new.rows.as_ref().map_or(&[][..], |rows| &rows.columns);
    let is_newer = |name: &str| columns.iter().any(|known| **known == *name);
    let is_line = |name: &str| named(new, name).is_some();
    let before = load_lines(&is_newer, &is_line);
    let after = load_lines(
        &|name| is_newer(name) || names.iter().any(|known| known == name),
        &is_line,
    );
    let line_of = |text: &str, before: Arc<str>| {
        let (read, _) = read_statement(text);
        Line {
            before,
            text: text.into(),
            number: 0,
            indent: Indent::Blanks(2),
            statement: read.statement,
            faults: read.faults,
        }
    };
    let mut last: Option<usize> = None;
    for text in &after {
        let place = lines
            .iter()
            .position(|line| quantity(line).is_some_and(|its| is_of(text, &its.name)));
        match place {
            Some(place) => {
                let was = before.iter().find(|was| is_of(was, name_in(text)));
                if let Some(line) = lines.get_mut(place)
                    && was.is_some_and(|was| was != text && line.text.split_whitespace().eq(was.split_whitespace()))
                {
                    *line = line_of(text, line.before.clone());
                }
                last = Some(place);
            }
            None if !before.contains(text) => {
                let at = last.map_or(lines.len(), |last| last + 1);
                lines.insert(at, line_of(text, Arc::from("")));
                last = Some(at);
            }
            None => {}
        }
    }
}

/// The name that a line `work NAME = …` gives.
fn name_in(text: &str) -> &str {
    text.split_whitespace().nth(1).unwrap_or_default()
}

fn is_of(text: &str, name: &str) -> bool {
    name_in(text) == name
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

/// The changes that make one workbook out of another one that a newer list was put into.
pub fn steps(known: &Workbook, merged: Workbook) -> Vec<Step> {
    let head = known.head.iter().zip(&merged.head).enumerate();
    let head = head.filter(|(_, (was, is))| !says_the_same(was, is));
    let mut steps: Vec<Step> = head
        .map(|(at, (_, is))| Step::Restore(Restore::Line(Place::Head(at), Box::new(is.clone()))))
        .collect();
    let list = list_of(known).map(|sheet| &sheet.name);
    for (at, (was, is)) in known.sheets.iter().zip(merged.sheets).enumerate() {
        // Formulas of other sheets follow the rows that they read.
        if Some(&was.name) == list || !is_as_it_was(was, &is) {
            steps.push(Step::Restore(Restore::DeleteSheets(at, 1)));
            steps.push(Step::Restore(Restore::InsertSheets(at, vec![is])));
        }
    }
    steps
}

fn says_the_same(was: &Line, is: &Line) -> bool {
    text::canonical_line(was) == text::canonical_line(is)
}

fn is_as_it_was(was: &Sheet, is: &Sheet) -> bool {
    let rows = |sheet: &Sheet| -> Vec<String> {
        let rows = sheet.rows.iter().flat_map(|rows| &rows.rows);
        let has_formula =
            |row: &&Row| row.faulty.is_some() || row.cells.iter().any(|cell| matches!(cell, Cell::Formula(_)));
        rows.filter(has_formula).map(text::row_text).collect()
    };
    says_the_same(&was.opening, &is.opening)
        && was.lines.len() == is.lines.len()
        && was.lines.iter().zip(&is.lines).all(|(was, is)| says_the_same(was, is))
        && rows(was) == rows(is)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;
    use crate::workbook::SOURCE_ROW;

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
            "Pump two I: 12.5 A was typed here and stays; the list says 11.5 A still"
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
        // Put into another order, which stays; the second fan corrected and copied, the pump of the row with two motors changed, the saw taken out.
        let known = with_columns(
            &columns,
            "     | 4 | \"Pump\" | 5.5 kW | \n     | 3 | \"Kiln fan\" | 5.5 kW | 1449 r/min\n     | 3 | \"Kiln fan\" | 7.5 kW | 1449 r/min\n     | 2 | \"Kiln fan\" | 5.5 kW | 1448 r/min\n",
        );
        let right = with_columns(
            &columns,
            "    \"M4\" | 4 | \"Pump\" | 5.5 kW | \n    \"M2\" | 3 | \"Kiln fan\" | 5.5 kW | 1449 r/min\n     | 3 | \"Kiln fan\" | 7.5 kW | 1449 r/min\n    \"M1\" | 2 | \"Kiln fan\" | 5.5 kW | 1448 r/min\n",
        );
        let fresh = merged(&known, Some(&before), &newer).unwrap();
        assert_eq!(text::write(&fresh.workbook), text::write(&right));
        let came = fresh.changes.iter().any(|change| change.what == "came");
        assert!(!came, "{:?}", fresh.changes);
        let told: Vec<String> = fresh.changes.iter().map(Change::in_words).collect();
        let kept = "M2 n: 1449 r/min was typed here and stays; the list says 1500 r/min still";
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
