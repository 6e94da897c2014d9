//! Which motor of the workbook each row of a newer list is.
//!
//! Always: a motor is one row of one list only. Rows are the same motor where they stand in the same row of the same file, where they
//! have the same tag, or where all but the tag is the same; among several of one tag those that have most in common are. A row typed
//! by hand is the motor that a newer list brings under its tag.
//! Not known here: what becomes of their cells.

use std::collections::HashMap;

use super::table::{Table, is_blank, same, shown};
use crate::plates::list::{About, about};
use crate::workbook::SOURCE_ROW;

/// The lists that are put together, by their rows.
pub(super) struct Lists<'a> {
    /// As the workbook has it.
    pub old: Table<'a>,
    /// As the earlier import made it.
    pub base: Option<Table<'a>>,
    /// The newer one.
    pub new: Table<'a>,
    /// Whether the newer list is of the same sheet of the same file.
    pub is_same_file: bool,
}

/// A motor that is known: its row of the workbook, and the row that it was read from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Motor {
    /// None where it was taken out of the workbook.
    pub here: Option<usize>,
    /// None where it was typed by hand, and where the earlier import is not known.
    pub before: Option<usize>,
}

/// The motors that are known: those of the earlier import, then those typed by hand.
pub(super) fn motors(lists: &Lists<'_>) -> Vec<Motor> {
    let typed = |here: usize| Motor {
        here: Some(here),
        before: None,
    };
    let count = lists.old.rows.len();
    let Some(base) = &lists.base else {
        return (0..count).map(typed).collect();
    };
    let here_of = lists.old.rows_of(base);
    let mut by_hand = vec![true; count];
    for here in here_of.iter().flatten() {
        if let Some(entry) = by_hand.get_mut(*here) {
            *entry = false;
        }
    }
    let read = here_of.iter().enumerate().map(|(row, here)| Motor {
        here: *here,
        before: Some(row),
    });
    let by_hand = by_hand.into_iter().enumerate().filter(|(_, by_hand)| *by_hand);
    read.chain(by_hand.map(|(here, _)| typed(here))).collect()
}

/// For each row of the newer list, which of the motors it is.
pub(super) fn matched(lists: &Lists<'_>, motors: &[Motor]) -> Vec<Option<usize>> {
    let mut pairs = Pairs {
        lists,
        motors,
        columns: compared(lists),
        of_row: vec![None; lists.new.rows.len()],
        taken: vec![false; motors.len()],
    };
    if lists.is_same_file {
        pairs.by_source_row();
    }
    pairs.by_name();
    pairs.by_the_rest();
    pairs.of_row
}

/// The columns that tell one motor from another: those of both lists but the row of the source, and what is doubted.
fn compared(lists: &Lists<'_>) -> Vec<String> {
    let known = lists.base.as_ref().unwrap_or(&lists.old);
    let mut columns: Vec<String> = lists
        .new
        .at
        .keys()
        .filter(|name| known.at.contains_key(*name) && **name != SOURCE_ROW && about(name) != About::Trust)
        .map(|name| (*name).to_owned())
        .collect();
    columns.sort_unstable();
    columns
}

/// More pairs of one name than this are not weighed one by one.
const WEIGHED: usize = 2_500;

/// The pairs that are found, while they are found.
struct Pairs<'l> {
    lists: &'l Lists<'l>,
    motors: &'l [Motor],
    columns: Vec<String>,
    of_row: Vec<Option<usize>>,
    taken: Vec<bool>,
}

/// Motors and rows of the newer list that may be the same.
#[derive(Default)]
struct Group {
    motors: Vec<usize>,
    rows: Vec<usize>,
    /// They have a tag: then other values are no other motor.
    tagged: bool,
}

impl Pairs<'_> {
    fn pair(&mut self, motor: usize, row: usize) {
        if let (Some(of_row), Some(taken)) = (self.of_row.get_mut(row), self.taken.get_mut(motor))
            && of_row.is_none()
            && !*taken
        {
            *of_row = Some(motor);
            *taken = true;
        }
    }

    fn rows_left(&self) -> Vec<usize> {
        let rows = self.of_row.iter().enumerate();
        rows.filter(|(_, motor)| motor.is_none()).map(|(row, _)| row).collect()
    }

    fn motors_left(&self) -> Vec<usize> {
        let motors = self.taken.iter().enumerate();
        motors.filter(|(_, taken)| !**taken).map(|(motor, _)| motor).collect()
    }

    /// The table and row that tell most of what a motor was before the newer list.
    fn told(&self, motor: usize) -> Option<(&Table<'_>, usize)> {
        let motor = self.motors.get(motor)?;
        match (&self.lists.base, motor.before) {
            (Some(base), Some(row)) => Some((base, row)),
            _ => Some((&self.lists.old, motor.here?)),
        }
    }

    fn is_by_hand(&self, motor: usize) -> bool {
        self.lists.base.is_some() && self.motors.get(motor).is_some_and(|motor| motor.before.is_none())
    }

    /// In the same file a row of the source is the same row, whatever is taken for its tag by now.
    fn by_source_row(&mut self) {
        let mut groups: HashMap<String, Group> = HashMap::new();
        for motor in self.motors_left() {
            // A copy made of a row since has its row of the source too.
            if let Some((table, row)) = self.told(motor).filter(|_| !self.is_by_hand(motor)) {
                groups
                    .entry(table.shown(row, SOURCE_ROW))
                    .or_default()
                    .motors
                    .push(motor);
            }
        }
        let _ = groups.remove("");
        for row in self.rows_left() {
            if let Some(group) = groups.get_mut(&self.lists.new.shown(row, SOURCE_ROW)) {
                group.rows.push(row);
            }
        }
        self.weigh(groups.into_values().map(|group| Group { tagged: true, ..group }));
    }

    /// By the tag, without one by the machine: as the list said before, or as the workbook says by now.
    fn by_name(&mut self) {
        let name = |table: &Table<'_>, row: usize| match table.tag(row) {
            Some(tag) => Some((true, tag.to_owned())),
            None => table.described(row).map(|described| (false, described)),
        };
        let mut groups: HashMap<(bool, String), Group> = HashMap::new();
        for row in self.rows_left() {
            if let Some(name) = name(&self.lists.new, row) {
                groups.entry(name).or_default().rows.push(row);
            }
        }
        for motor in self.motors_left() {
            let here = self.motors.get(motor).and_then(|motor| motor.here);
            let here = here.and_then(|here| name(&self.lists.old, here));
            let before = self.told(motor).and_then(|(table, row)| name(table, row));
            let mut names = [before, here];
            if names.first() == names.last() {
                names = [names.into_iter().next().flatten(), None];
            }
            for name in names.into_iter().flatten() {
                if let Some(group) = groups.get_mut(&name) {
                    group.motors.push(motor);
                }
            }
        }
        let groups = groups.into_iter().map(|((tagged, _), group)| Group { tagged, ..group });
        self.weigh(groups.collect::<Vec<_>>().into_iter());
    }

    /// Pairs those of each group that have most in common; of equals the first with the first.
    fn weigh(&mut self, groups: impl Iterator<Item = Group>) {
        let mut weighed: Vec<(i64, usize, usize, usize)> = Vec::new();
        for group in groups {
            if let ([motor], [row]) = (group.motors.as_slice(), group.rows.as_slice()) {
                // The only one of its name: a motor of a tag, and a machine that was read, may have changed in anything.
                if group.tagged || !self.is_by_hand(*motor) || !self.contradict(*motor, *row) {
                    weighed.push((0, 0, *motor, *row));
                }
                continue;
            }
            if group.motors.len().saturating_mul(group.rows.len()) > WEIGHED {
                self.in_order(&group);
                continue;
            }
            for (at, motor) in group.motors.iter().enumerate() {
                for (place, row) in group.rows.iter().enumerate() {
                    if group.tagged || !self.contradict(*motor, *row) {
                        let apart = at.abs_diff(place);
                        weighed.push((-self.in_common(*motor, *row), apart, *motor, *row));
                    }
                }
            }
        }
        weighed.sort_unstable();
        for (_, _, motor, row) in weighed {
            self.pair(motor, row);
        }
    }

    /// Very many of one name: first those that are the same in all, then those of the same plate, then one after the other.
    fn in_order(&mut self, group: &Group) {
        let of_plate: Vec<String> = self
            .columns
            .iter()
            .filter(|name| about(name) == About::Plate)
            .cloned()
            .collect();
        let all = self.columns.clone();
        for columns in [&all, &of_plate, &Vec::new()] {
            if columns.is_empty() && !group.tagged {
                continue;
            }
            let mut motors: HashMap<String, Vec<usize>> = HashMap::new();
            for motor in group
                .motors
                .iter()
                .rev()
                .filter(|motor| self.taken.get(**motor) == Some(&false))
            {
                if let Some((table, row)) = self.told(*motor) {
                    motors.entry(print_of(table, row, columns)).or_default().push(*motor);
                }
            }
            for row in &group.rows {
                let of_print = motors.get_mut(&print_of(&self.lists.new, *row, columns));
                let is_free = self.of_row.get(*row) == Some(&None);
                if let Some(motor) = of_print.filter(|_| is_free).and_then(Vec::pop) {
                    self.pair(motor, *row);
                }
            }
        }
    }

    /// How much a motor and a row have in common: twice what is the same, less what is otherwise.
    fn in_common(&self, motor: usize, row: usize) -> i64 {
        let Some((table, before)) = self.told(motor) else {
            return 0;
        };
        let here = self.motors.get(motor).and_then(|motor| motor.here);
        let new = &self.lists.new;
        let one = |name: &String| {
            let (was, is) = (table.cell(before, name), new.cell(row, name));
            let typed = here.and_then(|here| self.lists.old.cell(here, name));
            match is_blank(is) {
                true => 0,
                false if same(was, is) || same(typed, is) => 2,
                false if is_blank(was) => 0,
                false => -1,
            }
        };
        self.columns.iter().map(one).sum()
    }

    /// Whether a motor and a row have another plate: where no tag says that they are the same, they are not.
    fn contradict(&self, motor: usize, row: usize) -> bool {
        let Some((table, before)) = self.told(motor) else {
            return false;
        };
        let other = |name: &&str| {
            let (was, is) = (table.cell(before, name), self.lists.new.cell(row, name));
            !is_blank(was) && !is_blank(is) && !same(was, is)
        };
        ["P_r", "n_r"].iter().any(other)
    }

    /// What has another tag now and is the same in all the rest, with a reading or a machine that no other row has.
    fn by_the_rest(&mut self) {
        let rest: Vec<String> = self.columns.iter().filter(|name| *name != "tag").cloned().collect();
        let (new, columns) = (&self.lists.new, &rest);
        let mut rows: HashMap<String, Vec<usize>> = HashMap::new();
        for row in self.rows_left() {
            rows.entry(print_of(new, row, columns)).or_default().push(row);
        }
        if rows.is_empty() {
            return;
        }
        let is_measured = |row: usize| {
            let mut measured = rest.iter().filter(|name| about(name) == About::Measured);
            measured.any(|name| !is_blank(new.cell(row, name)))
        };
        let machines = |table: &Table<'_>| {
            let mut machines: HashMap<String, usize> = HashMap::new();
            for described in (0..table.rows.len()).filter_map(|row| table.described(row)) {
                *machines.entry(described).or_default() += 1;
            }
            machines
        };
        let known = machines(self.lists.base.as_ref().unwrap_or(&self.lists.old));
        let newer = machines(new);
        let is_alone = |row: usize| {
            let described = new.described(row);
            described.is_some_and(|described| known.get(&described) == Some(&1) && newer.get(&described) == Some(&1))
        };
        let mut motors: HashMap<String, Vec<usize>> = HashMap::new();
        for motor in self.motors_left() {
            if let Some((table, row)) = self.told(motor) {
                motors.entry(print_of(table, row, columns)).or_default().push(motor);
            }
        }
        let pairs: Vec<(usize, usize)> = rows
            .iter()
            .filter_map(|(print, rows)| match (rows.as_slice(), motors.get(print)?.as_slice()) {
                ([row], [motor]) if is_measured(*row) || is_alone(*row) => Some((*motor, *row)),
                _ => None,
            })
            .collect();
        for (motor, row) in pairs {
            self.pair(motor, row);
        }
    }
}

/// What stands in these columns of a row, as one text.
fn print_of(table: &Table<'_>, row: usize, columns: &[String]) -> String {
    let mut out = String::new();
    for name in columns {
        if let Some(cell) = table.cell(row, name).filter(|cell| !is_blank(Some(cell))) {
            out.push_str(&shown(cell));
        }
        out.push('\u{1f}');
    }
    out
}
