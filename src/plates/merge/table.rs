//! The rows of a list with the places of their columns, and what each row is called.
//!
//! Always: a value that a row has of its own in a line `at …` is its cell, where the list has no such column. A column that a list
//! has no use for, since all rows would have the usual word in it, reads as if it were there.
//! Not known here: what becomes of the rows.

use std::collections::{HashMap, HashSet};

use crate::language::syntax::Item;
use crate::plates::list::usual_words;
use crate::workbook::settle::rows_by_key;
use crate::workbook::text::row_text;
use crate::workbook::{Cell, Line, Row, SOURCE_ROW, Sheet, Statement};

/// A list's rows with the places of their columns.
pub(super) struct Table<'a> {
    pub rows: &'a [Row],
    pub at: HashMap<&'a str, usize>,
    /// What rows have of their own for a quantity that is no column: the cell, and the line it stands in.
    own: HashMap<&'a str, HashMap<usize, Cell>>,
    own_lines: Vec<(usize, &'a str)>,
    usual: HashMap<&'static str, Cell>,
}

impl<'a> Table<'a> {
    pub fn of(sheet: &'a Sheet) -> Table<'a> {
        let rows = sheet.rows.as_ref();
        let mut table = Table {
            rows: rows.map_or(&[], |rows| &rows.rows),
            at: rows
                .into_iter()
                .flat_map(|rows| &rows.columns)
                .enumerate()
                .map(|(place, name)| (&**name, place))
                .collect(),
            own: HashMap::new(),
            own_lines: Vec::new(),
            usual: usual_words()
                .map(|(name, word)| (name, Cell::Text(word.into())))
                .collect(),
        };
        table.read_own(sheet);
        table
    }

    fn read_own(&mut self, sheet: &'a Sheet) {
        let rows_of = rows_of_items(sheet);
        for (line, text) in sheet.lines.iter().enumerate() {
            if let Statement::At { item, name, formula } = &text.statement
                && let Some(row) = rows_of(item)
                && !self.at.contains_key(&**name)
            {
                let cell = Cell::Formula(Box::new(formula.clone()));
                let _ = self.own.entry(name).or_default().insert(row, cell);
                self.own_lines.push((line, &**name));
            }
        }
    }

    /// The lines that give one row a value of its own which becomes its cell, where these are columns.
    pub fn lines_in(&self, columns: &[String]) -> HashSet<usize> {
        let is_column = |name: &str| columns.iter().any(|column| column == name);
        let lines = self.own_lines.iter().filter(|(_, name)| is_column(name));
        lines.map(|(line, _)| *line).collect()
    }

    /// The rows that have a value of their own in a line.
    pub fn rows_with_own(&self) -> HashSet<usize> {
        self.own.values().flat_map(HashMap::keys).copied().collect()
    }

    pub fn cell(&self, row: usize, name: &str) -> Option<&Cell> {
        match self.at.get(name) {
            Some(place) => self.rows.get(row)?.cells.get(*place),
            None => {
                let own = self.own.get(name).and_then(|own| own.get(&row));
                own.or_else(|| self.usual.get(name))
            }
        }
    }

    /// A cell, or the usual word where nothing stands in it.
    pub fn said(&self, row: usize, name: &str) -> Option<&Cell> {
        match self.cell(row, name) {
            Some(Cell::Blank) => self.usual.get(name).or(Some(&Cell::Blank)),
            cell => cell,
        }
    }

    /// What a row without a tag is known by: its machine and area in words.
    pub fn described(&self, row: usize) -> Option<String> {
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

    pub fn tag(&self, row: usize) -> Option<&str> {
        match self.cell(row, "tag") {
            Some(Cell::Text(tag)) => Some(tag.trim()).filter(|tag| !tag.is_empty()),
            _ => None,
        }
    }

    /// Descriptions of rows without a tag that stand more than once.
    pub fn alike(&self) -> HashSet<String> {
        let mut seen = HashSet::new();
        (0..self.rows.len())
            .filter(|row| self.tag(*row).is_none())
            .filter_map(|row| self.described(row))
            .filter(|described| !seen.insert(described.clone()))
            .collect()
    }

    /// What each row is called: its tag; without one what it drives, with the rating and the plate speed where several are alike;
    /// without either its row of the source.
    pub fn called(&self, alike: &HashSet<String>) -> Vec<String> {
        let called = |row: usize| {
            let described = || {
                let described = self.described(row)?;
                Some(match alike.contains(&described) {
                    true => format!("{described} {} {}", self.shown(row, "P_r"), self.shown(row, "n_r")),
                    false => described,
                })
            };
            self.tag(row)
                .map(str::to_owned)
                .or_else(described)
                .unwrap_or_else(|| format!("source row {}", self.shown(row, SOURCE_ROW)))
        };
        (0..self.rows.len()).map(called).collect()
    }

    pub fn shown(&self, row: usize, name: &str) -> String {
        self.cell(row, name).map(shown).unwrap_or_default()
    }

    /// The row that became of each row of the list it was made of. Where several have its row of the source, as a copy has, it is
    /// the one that is called as it was; else the first one, if nothing else was read from there or its tag or its machine is the same.
    pub fn rows_of(&self, base: &Table<'_>) -> Vec<Option<usize>> {
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
}

/// Which row of a list an `at` line speaks of; none where it speaks of none or of several.
fn rows_of_items(sheet: &Sheet) -> impl Fn(&Item) -> Option<usize> {
    let count = sheet.rows.as_ref().map_or(0, |rows| rows.rows.len());
    let is_at = |line: &Line| matches!(line.statement, Statement::At { .. });
    let keys = match sheet.lines.iter().any(is_at) {
        true => rows_by_key(sheet),
        false => HashMap::new(),
    };
    move |item| match item {
        Item::Key(key) => match keys.get(key)?.as_slice() {
            [row] => Some(*row),
            _ => None,
        },
        Item::Row(row) => (*row as usize).checked_sub(1).filter(|row| *row < count),
        Item::Same => None,
    }
}

/// A cell as it is written.
pub(super) fn shown(cell: &Cell) -> String {
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
            // An empty cell alone is a bar.
            let text = row_text(&row);
            if matches!(cell, Cell::Blank) {
                String::new()
            } else {
                text.trim().to_owned()
            }
        }
    }
}

/// Whether two cells say the same.
pub(super) fn same(one: Option<&Cell>, other: Option<&Cell>) -> bool {
    match (one.unwrap_or(&Cell::Blank), other.unwrap_or(&Cell::Blank)) {
        (Cell::Blank, Cell::Blank) => true,
        (Cell::Number(a, of_a), Cell::Number(b, of_b)) => {
            a == b && of_a.as_ref().map(|unit| &unit.text) == of_b.as_ref().map(|unit| &unit.text)
        }
        (a, b) => shown(a) == shown(b),
    }
}

/// Whether nothing stands in a cell.
pub(super) fn is_blank(cell: Option<&Cell>) -> bool {
    matches!(cell, None | Some(Cell::Blank))
}
