//! A published table: columns with kind and unit, rows with their basis.
//!
//! For: reading a file of `data/`, and asking it from Rust or, as a read-only list, from a formula.
//! Always: a column is declared once, in the head of its file, in the words of the language: `P in hp : rated power "Rated
//! output"`. Every value is in the unit of its column, as printed. A column of numbers has no texts, one of texts no numbers.
//! Not known here: formulas; which table suits a case.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::published::{Basis, Publication};
use crate::quantity::{Kind, Number, Unit, decimal};

/// What stands between two rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Between {
    /// Values may be interpolated; why.
    Interpolated(String),
    /// The nearest row counts; the rule.
    Nearest(String),
    /// Nothing: the table has steps; what to do instead, may be empty.
    Steps(String),
}

impl Between {
    fn parse(text: &str) -> Between {
        let (word, rest) = text.split_once("; ").unwrap_or((text, ""));
        let rest = rest.to_owned();
        match word {
            "interpolated" => Between::Interpolated(rest),
            "nearest" => Between::Nearest(rest),
            _ => Between::Steps(rest),
        }
    }

    /// In words, for a reader of the table.
    pub fn words(&self) -> String {
        let (what, rest) = match self {
            Between::Interpolated(rest) => ("values between two rows are interpolated", rest),
            Between::Nearest(rest) => ("the nearest row counts", rest),
            Between::Steps(rest) => ("no value between two rows", rest),
        };
        match rest.is_empty() {
            true => what.to_owned(),
            false => format!("{what}; {rest}"),
        }
    }
}

/// A value of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// In the unit of its column.
    Number(Decimal),
    /// A text or a word of a choice.
    Text(Arc<str>),
    /// The table has nothing there.
    Blank,
}

/// What a column holds.
#[derive(Clone, Debug)]
pub enum Holds {
    /// Numbers in this unit, of this kind where it has one.
    Numbers {
        /// The unit of every value.
        unit: Unit,
        /// What it is.
        kind: Option<Kind>,
    },
    /// Texts.
    Texts,
    /// One of these words, in the order they first stand in.
    Words(Arc<[Arc<str>]>),
}

/// A column.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its name in formulas.
    pub name: Arc<str>,
    /// What it is called.
    pub title: String,
    /// What it holds.
    pub holds: Holds,
    /// One for each row.
    pub entries: Vec<Entry>,
}

/// A value with how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listed {
    /// In the unit of its column.
    pub value: Decimal,
    /// How its row is known.
    pub basis: Basis,
}

/// What a row is sought by.
#[derive(Clone, Copy, Debug)]
pub enum Key<'a> {
    /// A number in the unit of the column.
    Number(Decimal),
    /// A text.
    Text(&'a str),
}

/// A table.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its name in formulas: that of the standard.
    pub name: &'static str,
    /// Title, edition, source, basis.
    pub publication: Publication,
    /// What stands between two rows.
    pub between: Between,
    /// Columns in order.
    pub columns: Vec<Column>,
    /// How each row is known.
    pub bases: Vec<Basis>,
}

impl Table {
    /// The column of this name.
    pub fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|column| &*column.name == name)
    }

    /// How many rows it has.
    pub fn rows(&self) -> usize {
        self.bases.len()
    }

    /// The rows whose columns have these values, in order. None for a column that is not there.
    pub fn rows_where(&self, keys: &[(&str, Key<'_>)]) -> Vec<usize> {
        let columns: Option<Vec<_>> = keys
            .iter()
            .map(|(name, key)| self.column(name).map(|column| (column, *key)))
            .collect();
        let Some(columns) = columns else {
            return Vec::new();
        };
        let fits = |row: &usize| {
            columns
                .iter()
                .all(|(column, key)| match (column.entries.get(*row), key) {
                    (Some(Entry::Number(number)), Key::Number(key)) => number == key,
                    (Some(Entry::Text(text)), Key::Text(key)) => &**text == *key,
                    _ => false,
                })
        };
        (0..self.rows()).filter(fits).collect()
    }

    /// The value of a column where the others have these values; `None` where no row or more than one fits, or nothing stands
    /// there.
    pub fn only(&self, column: &str, keys: &[(&str, Key<'_>)]) -> Option<Listed> {
        match self.rows_where(keys).as_slice() {
            [row] => self.listed(column, *row),
            _ => None,
        }
    }

    /// The value of a column in a row.
    pub fn listed(&self, column: &str, row: usize) -> Option<Listed> {
        match self.column(column)?.entries.get(row)? {
            Entry::Number(value) => Some(Listed {
                value: *value,
                basis: *self.bases.get(row)?,
            }),
            _ => None,
        }
    }

    /// The text of a column in a row.
    pub fn text(&self, column: &str, row: usize) -> Option<&str> {
        match self.column(column)?.entries.get(row)? {
            Entry::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Whether a row is from memory.
    pub fn is_from_memory(&self, row: usize) -> bool {
        self.bases.get(row) == Some(&Basis::FromMemory)
    }
}

impl Entry {
    /// The number, where it is one.
    pub fn number(&self) -> Option<Number> {
        match self {
            Entry::Number(number) => Some(Number::Exact(*number)),
            _ => None,
        }
    }
}

/// Reads a file of `data/`. What is wrong with it is told as a text; the files are compiled in and the tests read them all.
pub(super) fn read(name: &'static str, text: &str) -> Result<Table, String> {
    let said = |key: &str| {
        text.lines()
            .find_map(|line| line.strip_prefix("# ")?.strip_prefix(key)?.strip_prefix(": "))
            .map(str::to_owned)
            .ok_or_else(|| format!("{name}: the head has no {key}"))
    };
    let publication = Publication {
        title: said("title")?,
        edition: said("edition")?,
        source: said("source")?,
        basis: said("basis")?,
    };
    let between = Between::parse(&said("between")?);
    let mut columns: Vec<Column> = text
        .lines()
        .filter_map(|line| line.strip_prefix("# column: "))
        .map(|clause| declared(clause).ok_or_else(|| format!("{name}: column `{clause}` cannot be read")))
        .collect::<Result<_, _>>()?;
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut bases = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|error| format!("{name}: {error}"))?;
        if row.len() != columns.len() + 1 {
            return Err(format!("{name}: row {} has {} fields", bases.len() + 1, row.len()));
        }
        let wrong = |what: &str| format!("{name}: row {}: {what}", bases.len() + 1);
        for (column, field) in columns.iter_mut().zip(&row) {
            let entry = match (field, &column.holds) {
                ("", _) => Entry::Blank,
                (_, Holds::Numbers { .. }) => Entry::Number(decimal::read(field).ok_or_else(|| wrong(field))?),
                _ => Entry::Text(field.into()),
            };
            column.entries.push(entry);
        }
        let basis = row.iter().next_back().and_then(Basis::parse);
        bases.push(basis.ok_or_else(|| wrong("basis"))?);
    }
    for column in &mut columns {
        if let Holds::Words(words) = &mut column.holds {
            let mut found: Vec<Arc<str>> = Vec::new();
            for entry in &column.entries {
                match entry {
                    Entry::Text(text) if !found.contains(text) => found.push(text.clone()),
                    _ => {}
                }
            }
            *words = found.into();
        }
    }
    Ok(Table {
        name,
        publication,
        between,
        columns,
        bases,
    })
}

/// `P in hp : rated power "Rated output"`.
fn declared(clause: &str) -> Option<Column> {
    let (head, title) = clause.strip_suffix('"')?.rsplit_once(" \"")?;
    let (head, kind) = match head.split_once(" : ") {
        Some((head, kind)) => (head, Some(kind)),
        None => (head, None),
    };
    let (name, unit) = match head.split_once(" in ") {
        Some((name, unit)) => (name, Some(Unit::known(unit)?)),
        None => (head, None),
    };
    let holds = match kind {
        Some("text") => Holds::Texts,
        Some("choice") => Holds::Words(Arc::from([])),
        _ => Holds::Numbers {
            unit: unit.unwrap_or_else(Unit::plain),
            kind: match kind {
                Some(words) => Some(Kind::find(words)?),
                None => None,
            },
        },
    };
    Some(Column {
        name: name.into(),
        title: title.to_owned(),
        holds,
        entries: Vec::new(),
    })
}
