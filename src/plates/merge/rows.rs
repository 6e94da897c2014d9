//! The rows of a newer list put into those of the workbook, and what is told of each.
//!
//! Always: what was typed since stays, and so does the order of rows that were moved or put in by hand. What is said of how far readings are trusted goes with the worse of both where both changed.
//! Not known here: which motor a row is (`matching`).

use super::matching::{Lists, Motor};
use super::table::{Table, is_blank, same, shown};
use super::told::{Teller, came, went};
use crate::plates::changes::{Change, Stays};
use crate::plates::list::{About, about};
use crate::plates::trust::Trust;
use crate::workbook::{Cell, Row, SOURCE_ROW};

/// A row as it goes on, and which row of the workbook it was.
pub(super) type Put = (Row, Option<usize>);

/// What the rows are put together of.
pub(super) struct Rows<'a> {
    pub lists: &'a Lists<'a>,
    pub motors: &'a [Motor],
    /// For each row of the newer list, which of the motors it is.
    pub of_row: &'a [Option<usize>],
    /// The columns to be written.
    pub names: &'a [String],
    pub teller: &'a Teller<'a>,
    /// Whether a formula or a value of its own speaks of a row of the workbook.
    pub is_spoken_of: &'a dyn Fn(usize) -> bool,
}

/// A cell of a motor in the three lists.
struct Cells<'a> {
    /// As the earlier import gave it; none where that is not known.
    was: Option<Option<&'a Cell>>,
    is: Option<&'a Cell>,
    newer: Option<&'a Cell>,
}

impl Cells<'_> {
    /// Whether it was typed since.
    fn is_typed(&self) -> bool {
        match self.was {
            Some(was) => !same(was, self.is),
            // A column the workbook does not have was not typed.
            None => self.is.is_some() && !same(self.is, self.newer),
        }
    }

    /// Whether the workbook's stays; `is_new`: the newer list has other readings of this motor.
    fn stays(&self, name: &str, is_new: bool) -> bool {
        let trust = |cell: Option<&Cell>| match cell {
            Some(Cell::Text(word)) => Trust::of(word),
            _ => None,
        };
        match (name, self.was) {
            (SOURCE_ROW, _) => false,
            // What was settled of one reading is not settled of the next.
            (name, Some(_)) if is_new && about(name) == About::Trust => {
                self.is_typed() && trust(self.is) >= trust(self.newer)
            }
            _ => self.is_typed(),
        }
    }
}

impl Rows<'_> {
    /// All of them, those of the newer list first; in the order of the workbook where that was made by hand.
    pub fn put(&self, changes: &mut Vec<Change>) -> Vec<Put> {
        let mut out: Vec<Put> = Vec::with_capacity(self.of_row.len());
        let called = self.lists.new.called(&self.lists.new.alike());
        for (row, (motor, called)) in self.of_row.iter().zip(&called).enumerate() {
            let motor = motor.and_then(|motor| self.motors.get(motor)).copied();
            out.extend(self.row(row, motor, called, changes));
        }
        self.went(&mut out, changes);
        if self.is_ordered_by_hand() {
            self.in_order_of_workbook(out)
        } else {
            out
        }
    }

    /// Whether rows of the workbook were moved since it was read, or put in between.
    fn is_ordered_by_hand(&self) -> bool {
        if self.lists.base.is_none() {
            return false;
        }
        let mut before = vec![None; self.lists.old.rows.len()];
        for motor in self.motors {
            if let Some(entry) = motor.here.and_then(|here| before.get_mut(here)) {
                *entry = motor.before;
            }
        }
        // A row that no list gave stands behind all others as long as nobody wants it elsewhere.
        !before.iter().map(|before| before.unwrap_or(usize::MAX)).is_sorted()
    }

    /// Rows of the workbook as they stand there, each row that came behind the one before it in the list.
    fn in_order_of_workbook(&self, put: Vec<Put>) -> Vec<Put> {
        let mut last = (0, 0);
        let mut placed: Vec<((usize, usize), Put)> = Vec::with_capacity(put.len());
        for (row, here) in put {
            last = match here {
                Some(here) => (here + 1, 0),
                None => (last.0, last.1 + 1),
            };
            placed.push((last, (row, here)));
        }
        placed.sort_by_key(|(at, _)| *at);
        placed.into_iter().map(|(_, put)| put).collect()
    }

    fn row(&self, row: usize, motor: Option<Motor>, called: &str, changes: &mut Vec<Change>) -> Option<Put> {
        let Some(motor) = motor else {
            changes.push(came(called, "taken"));
            return Some((self.as_new(row, |name| self.lists.new.cell(row, name).cloned()), None));
        };
        let row_told = |kept: &str| self.teller.of_row(called, kept);
        let Some((here, kept)) = motor.here.and_then(|here| Some((here, self.lists.old.rows.get(here)?))) else {
            changes.push(row_told(
                "in the newer list; left out, as it was taken out of the workbook",
            ));
            return None;
        };
        if kept.faulty.is_some() {
            changes.push(row_told(
                "has a fault in the workbook and is kept as it stands; mend it",
            ));
            return Some((kept.clone(), Some(here)));
        }
        let by_hand = self.lists.base.is_some() && motor.before.is_none();
        if by_hand {
            changes.push(came(
                called,
                "it was typed by hand already: what was typed stays, the list adds the rest",
            ));
        }
        let is_new = self.names.iter().any(|name| {
            let cells = self.cells(row, motor, here, name);
            matches!(about(name), About::Plate | About::Measured | About::Trust)
                && cells.was.is_some_and(|was| !same(was, cells.newer))
        });
        let mut put = self.as_new(row, |name| {
            let cells = self.cells(row, motor, here, name);
            let Some(newer) = cells.newer else {
                return cells.is.cloned();
            };
            let stays = cells.stays(name, is_new);
            if !by_hand || stays {
                changes.extend(self.told(called, name, &cells, stays));
            }
            if stays { cells.is } else { Some(newer) }.cloned()
        });
        put.before = kept.before.clone();
        let comment = self
            .lists
            .base
            .as_ref()
            .zip(motor.before)
            .and_then(|(base, before)| base.rows.get(before));
        if comment.is_some_and(|was| was.comment != kept.comment) || (by_hand && kept.comment.is_some()) {
            put.comment = kept.comment.clone();
        }
        Some((put, Some(here)))
    }

    fn cells(&self, row: usize, motor: Motor, here: usize, name: &str) -> Cells<'_> {
        let was = |base| match motor.before {
            Some(before) => Table::said(base, before, name),
            None => None,
        };
        Cells {
            was: self.lists.base.as_ref().map(was),
            is: self.lists.old.said(here, name),
            newer: self.lists.new.cell(row, name),
        }
    }

    /// A row with the comment of the newer list.
    fn as_new(&self, row: usize, mut cell: impl FnMut(&str) -> Option<Cell>) -> Row {
        Row {
            before: None,
            number: 0,
            indent: Row::INDENT,
            cells: self
                .names
                .iter()
                .map(|name| cell(name).unwrap_or(Cell::Blank))
                .collect(),
            faulty: None,
            faults: None,
            comment: self.lists.new.rows.get(row).and_then(|row| row.comment.clone()),
        }
    }

    /// What is told of a cell, where anything is.
    fn told(&self, called: &str, name: &str, cells: &Cells<'_>, stays: bool) -> Option<Change> {
        let was = cells.was.unwrap_or(cells.is);
        let is_other = !same(was, cells.newer) || cells.is_typed();
        // What was settled is no news, nor is a reading where the list has none.
        let is_known = same(was, cells.newer) && (about(name) == About::Trust || is_blank(cells.newer));
        // Rows of the source move with every line put in; that is no change of the motor.
        if name == SOURCE_ROW || is_known || !is_other || (stays && same(cells.is, cells.newer)) {
            return None;
        }
        let text = |cell: Option<&Cell>| cell.filter(|cell| !is_blank(Some(cell))).map(shown).unwrap_or_default();
        let stays = match (stays, cells.was) {
            (false, _) => Stays::No,
            (true, Some(_)) => Stays::Typed,
            (true, None) => Stays::Unknown,
        };
        let now = if stays == Stays::No { cells.newer } else { cells.is };
        Some(
            self.teller
                .value(called, name, [&text(was), &text(cells.newer), &text(now)], stays),
        )
    }

    /// Motors that the newer list does not have: they go, unless something was typed in them.
    fn went(&self, out: &mut Vec<Put>, changes: &mut Vec<Change>) {
        let mut found = vec![false; self.motors.len()];
        for motor in self.of_row.iter().flatten() {
            if let Some(entry) = found.get_mut(*motor) {
                *entry = true;
            }
        }
        let gone = self.motors.iter().zip(found).filter(|(_, found)| !found);
        let gone = gone.filter_map(|(motor, _)| Some((motor.here?, motor.before)));
        let known = self.lists.base.as_ref().unwrap_or(&self.lists.old);
        let called = known.called(&known.alike());
        for (here, before) in gone {
            let is_typed = |base| {
                let mut names = self.names.iter();
                before.is_none_or(|before| {
                    names.any(|name| !same(Table::cell(base, before, name), self.lists.old.cell(here, name)))
                })
            };
            let kept = match &self.lists.base {
                // What no list gave was typed, and is no list's to take.
                Some(_) if before.is_none() => None,
                Some(base) if is_typed(base) => Some("kept, since something was typed in it"),
                Some(_) if (self.is_spoken_of)(here) => {
                    Some("kept, since a value of its own or a formula speaks of it")
                }
                Some(_) => {
                    changes.push(went(
                        called.get(before.unwrap_or(here)).map_or("", String::as_str),
                        "taken out",
                    ));
                    continue;
                }
                None => Some("kept, since what was typed in it is not known"),
            };
            if let Some(kept) = kept {
                changes.push(went(
                    called.get(before.unwrap_or(here)).map_or("", String::as_str),
                    kept,
                ));
            }
            out.extend(self.spread(here).map(|row| (row, Some(here))));
        }
    }

    /// A row of the workbook in the columns to be written.
    fn spread(&self, here: usize) -> Option<Row> {
        let kept = self.lists.old.rows.get(here)?;
        Some(Row {
            cells: self
                .names
                .iter()
                .map(|name| self.lists.old.cell(here, name).cloned().unwrap_or(Cell::Blank))
                .collect(),
            ..kept.clone()
        })
    }
}
