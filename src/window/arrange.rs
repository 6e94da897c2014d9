//! How a sheet is arranged on the screen: which way round, which rows in which order, what is hidden, pinned, chosen.
//!
//! Always: it is never part of the workbook. The same arrangement serves sheets and lists: lines down, columns across.
//! Not known here: drawing.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::renames::in_condition;
use super::spot::{Field, NEW, Seen, Spot};
use crate::language::work::{Outcome, Value};
use crate::workbook::{Form, Line, Statement};

/// Fields that head the columns of a list, each on a line of its own.
pub const HEADS: [Field; 6] = [
    Field::Label,
    Field::Symbol,
    Field::Unit,
    Field::Kind,
    Field::Source,
    Field::Formula,
];

/// Up to so many rows a list is being made.
const FEW: usize = 12;

/// A line and a column of the grid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct At {
    /// Line, headings of a list first.
    pub line: usize,
    /// Column.
    pub column: usize,
}

/// Which rows of a list are in sight, and in what order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RowsBy {
    /// The condition they fulfil.
    pub filter: Option<String>,
    /// The quantity they are ordered by; `true`: largest first.
    pub order: Option<(Arc<str>, bool)>,
    /// The quantity whose equal values stand together, with a line under each group.
    pub groups: Option<Arc<str>>,
    /// Groups of which only that line is shown, by their value in words.
    pub folded: BTreeSet<String>,
}

impl RowsBy {
    /// Whether it is all rows as they stand.
    pub fn is_all(&self) -> bool {
        self.filter.is_none() && self.order.is_none() && self.groups.is_none()
    }

    /// The order in words.
    pub fn order_words(&self) -> Option<String> {
        let (name, largest_first) = self.order.as_ref()?;
        Some(format!(
            "{name}, {} first",
            if *largest_first { "largest" } else { "smallest" }
        ))
    }
}

/// A group of rows that stand together.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// What they have in common, as it is remembered; empty where they have no value.
    pub name: String,
    /// One of its items.
    pub item: usize,
    /// How many are shown, or would be where it is unfolded.
    pub rows: usize,
    /// Only the line under it is shown.
    pub folded: bool,
}

/// Rows in the order they are shown, and of how many they were chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ordered {
    /// How many items there were.
    pub of: usize,
    /// Their names, as far as they are known: rows that moved are told by them.
    pub names: Arc<[Arc<str>]>,
    /// Items; a number behind the last item is the line under a group, the first group first.
    pub rows: Arc<Vec<usize>>,
    /// The groups.
    pub groups: Arc<Vec<Group>>,
    /// For how many items it is not known whether they are to be shown: the condition has no value there. They are not.
    pub unknown: usize,
}

impl Ordered {
    /// Items in an order, without groups.
    pub fn items(of: usize, rows: Vec<usize>) -> Ordered {
        Ordered {
            of,
            rows: Arc::new(rows),
            ..Ordered::default()
        }
    }

    /// The same of items that have these names now.
    pub fn with_names(self, names: &Arc<[Arc<str>]>) -> Ordered {
        Ordered {
            names: names.clone(),
            ..self
        }
    }

    /// The same with a row made before an item, shown in a place of its own whatever the order.
    pub fn with_row(&self, item: usize, place: usize) -> Ordered {
        let moved = |number: &usize| number + usize::from(*number >= item);
        let mut rows: Vec<usize> = self.rows.iter().map(moved).collect();
        rows.insert(place.min(rows.len()), item);
        Ordered {
            of: self.of + 1,
            rows: Arc::new(rows),
            ..self.clone()
        }
    }

    /// The same with rows made behind all others, shown last whatever the order.
    pub fn with_rows_behind(&self, of: usize) -> Ordered {
        (self.of..of).fold(self.clone(), |order, item| order.with_row(item, order.rows.len()))
    }

    /// The same in groups of equal values: the first value first, rows of a group in the order they had.
    pub fn in_groups(of: usize, rows: Vec<usize>, cells: &[Outcome], folded: &BTreeSet<String>) -> Ordered {
        let rows = ordered(cells, rows.into_iter(), false);
        let value = |item: usize| match cells.get(item) {
            Some(Outcome::Value(value)) => Some(value),
            _ => None,
        };
        let mut out = Vec::with_capacity(rows.len());
        let mut groups: Vec<Group> = Vec::new();
        let alike = |one: &usize, other: &usize| match (value(*one), value(*other)) {
            (Some(one), Some(other)) => compare(one, other) == Ordering::Equal,
            (None, None) => true,
            _ => false,
        };
        for group in rows.chunk_by(alike) {
            let Some(first) = group.first() else { continue };
            let name = value(*first).map_or(String::new(), in_words);
            let folded = folded.contains(&name);
            if !folded {
                out.extend_from_slice(group);
            }
            out.push(of + groups.len());
            groups.push(Group {
                name,
                item: *first,
                rows: group.len(),
                folded,
            });
        }
        Ordered {
            of,
            rows: Arc::new(out),
            groups: Arc::new(groups),
            ..Ordered::default()
        }
    }
}

/// A value that groups are told apart by.
fn in_words(value: &Value) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::Truth(truth) => truth.to_string(),
        Value::Number(number) => number.to_f64().to_string(),
        Value::Phasor(phasor) => phasor.abs().to_string(),
    }
}

/// What was chosen as a whole, whatever comes to it or goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whole {
    /// Columns, from the first row to the last.
    Columns,
    /// Lines, from the first column to the last.
    Lines,
}

/// Words that stand between the lines of a sheet: a note, or a line that cannot be read and has no place of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The line it stands before.
    pub before: usize,
    /// Where it stands among the statements of the sheet.
    pub statement: usize,
    /// All of it.
    pub text: String,
    /// Its words, as many on each line of the screen as there is room for.
    pub rows: Vec<String>,
    /// A long one is cut, or was unfolded; `None`: it has room.
    pub folded: Option<bool>,
    /// Why it cannot be read, and what to try; `None` for a note.
    pub wrong: Option<String>,
}

/// What is looked at in a sheet.
#[derive(Clone, Debug, Default)]
pub struct Arrangement {
    /// The chosen place.
    pub at: At,
    /// Where the range of chosen places begins.
    pub from: At,
    /// The first line in sight, not counting headings.
    pub top: usize,
    /// Rows in the order they are shown; `None`: as they stand.
    pub order: Option<Ordered>,
    /// What is chosen as a whole.
    pub whole: Option<Whole>,
    /// It was looked at.
    pub begun: bool,
    /// Columns are to be scrolled back to the first of them.
    pub to_start: bool,
    /// Values have changed since the rows were put in order.
    pub stale: bool,
    /// The headings of a list are folded away: what they say most stands over the columns all the same.
    pub folded_heads: bool,
    /// They were folded once for want of room.
    pub crowded: bool,
    /// Widths of columns as wide as what stands in them, by column.
    pub fitting: BTreeMap<String, f32>,
    /// How many letters of a note stand beside each other, and on how many lines; none: as many as read well.
    pub notes_across: (usize, usize),
    /// Notes that are shown whole although they are long, by their text.
    pub unfolded: BTreeSet<String>,
    /// How often widths were set by another way than drawing them: tables begin anew with them.
    pub widths_set: u32,
    /// What a user arranged.
    pub by: Arranged,
}

/// What a user arranges in a sheet; it is taken back like every other step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Arranged {
    /// Which rows are in sight, in what order.
    pub rows: RowsBy,
    /// Names of hidden quantities.
    pub hidden: BTreeSet<Arc<str>>,
    /// How many columns are pinned; `None`: the usual ones.
    pub pinned: Option<usize>,
    /// Widths that were changed, by column.
    pub widths: BTreeMap<String, f32>,
}

impl Arranged {
    /// A quantity has another name: what was arranged of it stays.
    pub fn renamed(&mut self, from: &Arc<str>, to: &Arc<str>) {
        if self.hidden.remove(from) {
            let _ = self.hidden.insert(to.clone());
        }
        if let Some(width) = self.widths.remove(&**from) {
            let _ = self.widths.insert(to.to_string(), width);
        }
        if let Some((by, _)) = self.rows.order.as_mut().filter(|(by, _)| by == from) {
            by.clone_from(to);
        }
        if let Some(by) = self.rows.groups.as_mut().filter(|by| *by == from) {
            by.clone_from(to);
        }
        if let Some(filter) = &mut self.rows.filter {
            *filter = in_condition(filter, from, to);
        }
    }

    /// What it changes of another arrangement, in a few words.
    pub fn words(&self, before: &Arranged) -> String {
        let mut words = Vec::new();
        if self.rows.filter != before.rows.filter {
            words.push(match &self.rows.filter {
                Some(filter) => format!("only rows where {filter}"),
                None => "show all rows".to_owned(),
            });
        }
        if self.rows.groups != before.rows.groups {
            words.push(match &self.rows.groups {
                Some(by) => format!("groups by {by}"),
                None => "rows without groups".to_owned(),
            });
        } else if self.rows.folded != before.rows.folded {
            words.push("fold groups".to_owned());
        }
        if self.rows.order != before.rows.order {
            let by = self.rows.order_words().map(|order| format!("order by {order}"));
            words.push(by.unwrap_or_else(|| "order of the list".to_owned()));
        }
        let names = |more: &BTreeSet<Arc<str>>, less: &BTreeSet<Arc<str>>| -> Option<String> {
            let mut names = more.difference(less).map(|name| &**name);
            let first: Vec<&str> = names.by_ref().take(3).collect();
            let rest = match names.count() {
                0 => String::new(),
                rest => format!(" and {rest} more"),
            };
            (!first.is_empty()).then(|| format!("{}{rest}", first.join(", ")))
        };
        words.extend(names(&self.hidden, &before.hidden).map(|names| format!("hide {names}")));
        words.extend(names(&before.hidden, &self.hidden).map(|names| format!("show {names} again")));
        if self.pinned != before.pinned {
            words.push(match self.pinned {
                Some(0) => "let the pinned columns go".to_owned(),
                _ => "pin".to_owned(),
            });
        }
        if self.widths != before.widths {
            words.push(match self.widened(before) {
                Some(column) => format!("width of {column}"),
                None => "widths".to_owned(),
            });
        }
        words.join(", ")
    }

    /// The column whose width it changes, where it changes nothing else.
    pub fn widened(&self, before: &Arranged) -> Option<&str> {
        let alike = self.rows == before.rows && self.hidden == before.hidden && self.pinned == before.pinned;
        let mut other = self
            .widths
            .iter()
            .filter(|(key, width)| before.widths.get(*key) != Some(width));
        match (other.next(), other.next()) {
            (Some((key, _)), None) if alike => Some(key),
            _ => None,
        }
    }
}

/// The grid of a sheet: lines and columns and what stands where.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Sheet or list.
    pub form: Form,
    /// Quantities in sight.
    pub quantities: Vec<usize>,
    /// Columns of a sheet; none for a list.
    pub fields: Vec<Field>,
    /// Items.
    pub items: usize,
    /// Order of items.
    pub order: Option<Ordered>,
    /// Heading lines.
    pub heads: &'static [Field],
    /// Rows can be typed: those of a list of groups are its groups.
    pub takes_rows: bool,
    /// Notes between the lines of a sheet.
    pub notes: Vec<Note>,
}

/// Letters of a note beside each other that read well.
const ACROSS: usize = 110;

/// A text in lines of at most so many letters, broken between words where it can be.
fn in_rows(text: &str, across: usize) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    let mut room = 0;
    for word in text.split_whitespace() {
        let letters = word.chars().count();
        match rows.last_mut() {
            Some(row) if letters < room => {
                row.push(' ');
                row.push_str(word);
                room -= letters + 1;
            }
            _ => {
                rows.push(word.to_owned());
                room = across.saturating_sub(letters);
            }
        }
    }
    rows
}

/// What stands behind a note of which there is more.
pub const MORE: &str = " … more ▾";

/// The first rows of a text, which say that there are more; and whether there are.
fn at_most(mut rows: Vec<String>, most: usize, across: usize) -> (Vec<String>, bool) {
    let is_cut = rows.len() > most;
    if is_cut {
        rows.truncate(most);
        if let Some(last) = rows.last_mut() {
            // What says so has room in the row.
            let room = across.saturating_sub(MORE.chars().count());
            while last.chars().count() > room
                && let Some(at) = last.rfind(' ')
            {
                last.truncate(at);
            }
            last.push_str(MORE);
        }
    }
    (rows, is_cut)
}

/// A line that cannot be read as it stands in the grid, and what is wrong with it.
fn unread(seen: Seen<'_>, line: &Line) -> Option<(String, String)> {
    let fault = line.faults.iter().find(|fault| fault.is_error())?;
    let text = line.text.lines().next()?.trim();
    let why = seen.system.in_words(&fault.message, fault.help.as_ref());
    (!text.is_empty()).then(|| {
        (
            format!("✕ {text} – not read: {}", seen.system.words(&fault.message)),
            why,
        )
    })
}

/// The notes of a sheet and the lines they stand before.
fn notes(seen: Seen<'_>, arrangement: &Arrangement) -> Vec<Note> {
    if seen.results.form == Form::List {
        return Vec::new();
    }
    let (across, most) = match arrangement.notes_across {
        (0, _) | (_, 0) => (ACROSS, usize::MAX),
        (across, most) => (across.min(ACROSS), most),
    };
    let mut before = 0;
    let mut notes = Vec::new();
    let mut note = |before: usize, statement: usize, text: String, wrong: Option<String>| {
        let is_whole = arrangement.unfolded.contains(&text);
        let most_here = if is_whole { usize::MAX } else { most };
        let (rows, is_cut) = at_most(in_rows(&text, across), most_here, across);
        notes.push(Note {
            before,
            statement,
            text,
            rows,
            folded: match (is_cut, is_whole) {
                (true, _) => Some(true),
                (false, true) => Some(false),
                (false, false) => None,
            },
            wrong,
        });
    };
    for (statement, line) in seen.sheet.lines.iter().enumerate() {
        match &line.statement {
            Statement::Quantity(quantity) if !arrangement.by.hidden.contains(&quantity.name) => before += 1,
            Statement::CasesOver { name, .. } if !arrangement.by.hidden.contains(name) => before += 1,
            Statement::Note(text) => note(before, statement, text.clone(), None),
            Statement::Faulty => {
                if let Some((text, why)) = unread(seen, line) {
                    note(before, statement, text, Some(why));
                }
            }
            _ => {}
        }
    }
    notes
}

impl Plan {
    /// The plan of a sheet.
    pub fn of(seen: Seen<'_>, arrangement: &Arrangement) -> Plan {
        let items = seen.results.items.len();
        // A list has its items down, as many as there are: they are not counted out for each frame.
        let mut fields = Vec::new();
        if seen.results.form == Form::Sheet {
            fields.extend([Field::Label, Field::Symbol]);
            fields.extend((0..items).map(Field::Value));
            fields.extend([Field::Unit, Field::Formula, Field::Kind, Field::Source]);
        }
        let quantities = seen.results.quantities.iter().enumerate();
        Plan {
            form: seen.results.form,
            quantities: quantities
                .filter(|(_, quantity)| !arrangement.by.hidden.contains(&quantity.name))
                .map(|(at, _)| at)
                .collect(),
            fields,
            items,
            // An order of other rows than there are now is no order.
            order: arrangement.order.clone().filter(|order| order.of == items),
            heads: match seen.results.form {
                Form::List if !arrangement.folded_heads => &HEADS,
                _ => &[],
            },
            takes_rows: matches!(seen.sheet.opening.statement, Statement::Opening { groups: None }),
            notes: notes(seen, arrangement),
        }
    }

    /// Heading lines.
    pub fn heads(&self) -> usize {
        self.heads.len()
    }

    /// The notes that stand before a line.
    pub fn notes_before(&self, line: usize) -> impl Iterator<Item = &Note> {
        self.notes.iter().filter(move |note| note.before == line)
    }

    /// How many lines of the screen a line takes, with the notes before it.
    fn height(&self, line: usize) -> usize {
        1 + self.notes_before(line).map(|note| note.rows.len()).sum::<usize>()
    }

    /// The first line in sight at the latest where a line is to be in sight of a page of so many, not counting headings.
    fn top_for(&self, row: usize, page: usize) -> usize {
        if self.notes.is_empty() {
            return (row + 1).saturating_sub(page);
        }
        let mut room = page;
        let mut top = row;
        loop {
            let height = self.height(top);
            if height > room {
                return (top + 1).min(row);
            }
            room -= height;
            match top.checked_sub(1) {
                Some(before) => top = before,
                None => return 0,
            }
        }
    }

    /// How far the lines can be scrolled.
    pub fn most(&self, page: usize) -> usize {
        match self.lines().saturating_sub(self.heads()).checked_sub(1) {
            Some(last) => self.top_for(last, page),
            None => 0,
        }
    }

    /// The group that a line of a list stands under.
    pub fn group(&self, line: usize) -> Option<&Group> {
        let order = self.order.as_ref()?;
        let number = *order.rows.get(line.checked_sub(self.heads())?)?;
        order.groups.get(number.checked_sub(self.items)?)
    }

    /// All lines.
    pub fn lines(&self) -> usize {
        match self.form {
            // Behind the last one a line is open for a new one.
            Form::Sheet => self.quantities.len() + 1,
            // Where no row is left by a condition nothing is typed either.
            Form::List => {
                let is_open = self.takes_rows && (self.order.is_none() || self.rows() > 0);
                self.heads() + self.rows() + usize::from(is_open)
            }
        }
    }

    /// Whether nothing stands in a line yet: the one behind the last.
    pub fn is_open(&self, line: usize) -> bool {
        line == self.last_end() && line < self.lines()
    }

    /// Where the lines that hold something end.
    fn last_end(&self) -> usize {
        match self.form {
            Form::Sheet => self.quantities.len(),
            Form::List => self.heads() + self.rows(),
        }
    }

    /// The last line that holds something.
    pub fn last(&self) -> usize {
        self.last_end().saturating_sub(1)
    }

    /// Rows of a list in sight.
    pub fn rows(&self) -> usize {
        self.order.as_ref().map_or(self.items, |order| order.rows.len())
    }

    /// How many items fulfil the condition: those of folded groups as well.
    pub fn items_chosen(&self) -> usize {
        self.order
            .as_ref()
            .map_or(self.items, |order| match order.groups.as_slice() {
                [] => order.rows.len(),
                groups => groups.iter().map(|group| group.rows).sum(),
            })
    }

    /// For how many items it is not known whether they fulfil it.
    pub fn items_unknown(&self) -> usize {
        self.order.as_ref().map_or(0, |order| order.unknown)
    }

    /// All columns.
    pub fn columns(&self) -> usize {
        match self.form {
            Form::Sheet => self.fields.len(),
            Form::List => self.quantities.len(),
        }
    }

    /// The item of a line of a list.
    pub fn item(&self, line: usize) -> Option<usize> {
        let row = line.checked_sub(self.heads())?;
        match &self.order {
            Some(order) => order.rows.get(row).copied().filter(|item| *item < self.items),
            None => (row < self.items).then_some(row),
        }
    }

    /// What stands at a place.
    pub fn spot(&self, at: At) -> Option<Spot> {
        match self.form {
            Form::Sheet => Some(Spot {
                quantity: match at.line == self.quantities.len() {
                    true => NEW,
                    false => *self.quantities.get(at.line)?,
                },
                field: *self.fields.get(at.column)?,
            }),
            Form::List => Some(Spot {
                quantity: *self.quantities.get(at.column)?,
                field: match self.heads.get(at.line) {
                    Some(head) => *head,
                    None if self.is_open(at.line) => Field::Value(self.items),
                    None => Field::Value(self.item(at.line)?),
                },
            }),
        }
    }

    /// Where something stands, if it is in sight.
    pub fn at(&self, spot: Spot) -> Option<At> {
        let mut quantities = self.quantities.iter();
        let quantity = match (self.form, spot.quantity) {
            (Form::Sheet, NEW) => self.quantities.len(),
            (_, at) => quantities.position(|known| *known == at)?,
        };
        match self.form {
            Form::Sheet => Some(At {
                line: quantity,
                column: self.fields.iter().position(|known| *known == spot.field)?,
            }),
            Form::List => Some(At {
                column: quantity,
                line: match spot.field {
                    Field::Value(item) if item == self.items => self.heads() + self.rows(),
                    Field::Value(item) => {
                        let row = match &self.order {
                            Some(order) => order.rows.iter().position(|known| *known == item)?,
                            None => (item < self.items).then_some(item)?,
                        };
                        self.heads() + row
                    }
                    field => self.heads.iter().position(|known| *known == field)?,
                },
            }),
        }
    }

    /// The nearest place that is there; below the headings of a list without rows, the place where a row would be.
    pub fn kept(&self, at: At) -> At {
        let mut kept = self.within(at);
        if self.form == Form::List && self.rows() == 0 && at.line >= self.heads() {
            kept.line = self.heads();
        }
        kept
    }

    /// The nearest place that is there.
    pub fn within(&self, at: At) -> At {
        At {
            line: at.line.min(self.lines().saturating_sub(1)),
            column: at.column.min(self.columns().saturating_sub(1)),
        }
    }
}

impl Arrangement {
    /// A sheet is looked at for the first time. A long list has its rows in the place of the lines that head it; what it is stands over
    /// each column all the same. A short one, which is being made, has them open.
    pub fn begin(&mut self, items: usize) {
        if !self.begun {
            self.begun = true;
            self.folded_heads = items > FEW;
        }
    }

    /// Whether something of the sheet is not shown.
    pub fn hides(&self) -> bool {
        self.by.rows.filter.is_some() || !self.by.hidden.is_empty()
    }

    /// Shows all rows as they stand.
    pub fn all_rows(&mut self) {
        self.order = None;
        self.by.rows = RowsBy::default();
    }

    /// First and last line and column of the chosen places.
    pub fn range(&self) -> (At, At) {
        (
            At {
                line: self.at.line.min(self.from.line),
                column: self.at.column.min(self.from.column),
            },
            At {
                line: self.at.line.max(self.from.line),
                column: self.at.column.max(self.from.column),
            },
        )
    }

    /// Whether a column is among the chosen ones.
    pub fn holds_column(&self, column: usize) -> bool {
        let (first, last) = self.range();
        (first.column..=last.column).contains(&column)
    }

    /// Whether a line is among the chosen ones.
    pub fn holds_line(&self, line: usize) -> bool {
        let (first, last) = self.range();
        (first.line..=last.line).contains(&line)
    }

    /// Whether a place is among the chosen ones.
    pub fn holds(&self, at: At) -> bool {
        let (first, last) = self.range();
        (first.line..=last.line).contains(&at.line) && (first.column..=last.column).contains(&at.column)
    }

    /// The row of a list with so many in which a line stands; `None` for the others.
    pub fn row(&self, line: usize, of: usize) -> Option<usize> {
        let heads = if self.folded_heads { 0 } else { HEADS.len() };
        let at = line.checked_sub(heads)?;
        match self.order.as_ref().filter(|order| order.of == of) {
            Some(order) => order.rows.get(at).copied().filter(|row| *row < of),
            None => Some(at).filter(|row| *row < of),
        }
    }

    /// Chooses a place, alone or as the end of the range.
    pub fn choose(&mut self, at: At, extend: bool) {
        self.at = at;
        if !extend {
            self.from = at;
            self.whole = None;
        }
    }

    /// Chooses a column from its first row to its last, alone or with those up to it.
    pub fn choose_column(&mut self, plan: &Plan, column: usize, extend: bool) {
        if !extend || self.whole != Some(Whole::Columns) {
            self.from.column = if extend { self.from.column } else { column };
            self.whole = Some(Whole::Columns);
        }
        self.at.column = column;
        self.stay_whole(plan);
    }

    /// Chooses a line from its first column to its last, alone or with those up to it.
    pub fn choose_line(&mut self, plan: &Plan, line: usize, extend: bool) {
        if !extend || self.whole != Some(Whole::Lines) {
            self.from.line = if extend { self.from.line } else { line };
            self.whole = Some(Whole::Lines);
        }
        self.at.line = line;
        self.stay_whole(plan);
    }

    /// What is chosen as a whole is so with what has come and without what has gone.
    fn stay_whole(&mut self, plan: &Plan) {
        match self.whole {
            Some(Whole::Columns) => {
                // The open line belongs to no column.
                let last = plan.last();
                self.at.line = plan.heads().min(last);
                self.from.line = last;
            }
            Some(Whole::Lines) => {
                self.at.column = 0;
                self.from.column = plan.columns().saturating_sub(1);
            }
            None => {}
        }
    }

    /// Keeps the choice among what is there. Where no row is left the headings are not chosen in its place: what is typed next
    /// was not meant for them.
    pub fn stay_within(&mut self, plan: &Plan) {
        (self.at, self.from) = (plan.kept(self.at), plan.kept(self.from));
        self.stay_whole(plan);
    }

    /// Moves the choice by lines and columns, as far as there are some.
    pub fn step(&mut self, plan: &Plan, lines: isize, columns: isize, extend: bool) {
        let at = At {
            line: self.at.line.saturating_add_signed(lines),
            column: self.at.column.saturating_add_signed(columns),
        };
        self.choose(plan.kept(at), extend);
    }

    /// Brings the chosen line into sight of a page of so many lines.
    pub fn follow(&mut self, plan: &Plan, page: usize) {
        let Some(row) = self.at.line.checked_sub(plan.heads()) else {
            return;
        };
        let page = page.max(1);
        // A whole column is in sight wherever it is looked at.
        if self.whole == Some(Whole::Columns) {
            return;
        }
        self.top = self.top.min(row).max(plan.top_for(row, page));
    }
}

/// Rows in the order of a column; blanks and faults last either way, equal ones as they stand.
pub fn ordered(cells: &[Outcome], among: impl Iterator<Item = usize>, largest_first: bool) -> Vec<usize> {
    let mut rows: Vec<usize> = among.collect();
    let rank = |item: &usize| match cells.get(*item) {
        Some(Outcome::Value(value)) => Some(value),
        _ => None,
    };
    rows.sort_by(|a, b| match (rank(a), rank(b)) {
        (Some(a), Some(b)) => {
            let order = compare(a, b);
            if largest_first { order.reverse() } else { order }
        }
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    });
    rows
}

/// Texts by their letters, and by the numbers in them where both have one: `Hall 9` before `Hall 16`. Only the same text is equal.
fn by_numbers_within(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a, b);
    loop {
        let (one, other) = match (left.chars().next(), right.chars().next()) {
            (Some(one), Some(other)) => (one, other),
            // What differs in zeros before a number alone.
            (None, None) => return a.cmp(b),
            (one, _) => {
                return if one.is_none() {
                    Ordering::Less
                } else {
                    Ordering::Greater
                };
            }
        };
        let order = if one.is_ascii_digit() && other.is_ascii_digit() {
            let (number, rest) = number_before(left);
            let (other, other_rest) = number_before(right);
            (left, right) = (rest, other_rest);
            number.len().cmp(&other.len()).then_with(|| number.cmp(other))
        } else {
            left = left.get(one.len_utf8()..).unwrap_or("");
            right = right.get(other.len_utf8()..).unwrap_or("");
            one.cmp(&other)
        };
        if order.is_ne() {
            return order;
        }
    }
}

/// The digits with which a text begins, without zeros before them, and what follows.
fn number_before(text: &str) -> (&str, &str) {
    let end = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    let (digits, rest) = text.split_at_checked(end).unwrap_or((text, ""));
    (digits.trim_start_matches('0'), rest)
}

fn compare(a: &Value, b: &Value) -> Ordering {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => a.compare(*b),
        // Phasors have no order of their own; rows go by magnitude.
        (Value::Phasor(a), Value::Phasor(b)) => a.abs().total_cmp(&b.abs()),
        (Value::Text(a), Value::Text(b)) => by_numbers_within(a, b),
        (Value::Truth(a), Value::Truth(b)) => a.cmp(b),
        (Value::Number(_) | Value::Phasor(_), _) | (Value::Text(_), Value::Truth(_)) => Ordering::Less,
        _ => Ordering::Greater,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::quantity::Number;
    use crate::session::Session;

    const TEXT: &str = "polepair 1
sheet a
  cases x | y
  given P = 15 kW
  work Q = 2 * P
list b
  given tag : text
  given P in kW
  rows tag | P
    \"one\" | 1 kW
    \"two\" | 2 kW
    \"three\" | 3 kW
";

    #[test]
    fn texts_go_by_the_numbers_in_them() {
        let texts = [
            "Hall 16", "Hall 9", "Hall", "M-101", "M-12b", "M-12", "M-012", "hall 1", "9", "Pump", "Hall 9",
        ];
        let cells: Vec<Outcome> = texts
            .iter()
            .map(|text| Outcome::Value(Value::Text((*text).into())))
            .collect();
        let shown = |largest_first: bool| -> Vec<&str> {
            ordered(&cells, 0..cells.len(), largest_first)
                .into_iter()
                .map(|row| texts[row])
                .collect()
        };
        let wanted = [
            "9", "Hall", "Hall 9", "Hall 9", "Hall 16", "M-012", "M-12", "M-12b", "M-101", "Pump", "hall 1",
        ];
        assert_eq!(shown(false), wanted);
        let back: Vec<&str> = wanted.into_iter().rev().collect();
        assert_eq!(shown(true), back);
        // Longer than any number of the machine.
        let long = |last: char| format!("T{}{last}", "9".repeat(40));
        assert_eq!(by_numbers_within(&long('1'), &long('2')), Ordering::Less);
    }

    #[test]
    fn every_place_in_sight_leads_to_its_spot_and_back() {
        let session = Session::open(TEXT);
        for sheet in 0..2 {
            let arrangement = Arrangement {
                order: (sheet == 1).then(|| Ordered::items(3, vec![2, 0])),
                ..Arrangement::default()
            };
            let plan = Plan::of(Seen::of(&session, sheet).unwrap(), &arrangement);
            let mut seen = 0;
            for line in 0..plan.lines() {
                for column in 0..plan.columns() {
                    let at = At { line, column };
                    assert_eq!(plan.at(plan.spot(at).unwrap()), Some(at));
                    seen += 1;
                }
            }
            // A line is open behind the quantities of a sheet, and behind the rows of a list.
            assert_eq!(seen, if sheet == 0 { 3 * 8 } else { (HEADS.len() + 3) * 2 });
        }
    }

    #[test]
    fn blanks_stand_last_either_way() {
        let number = |text: &str| Outcome::number(Number::Exact(text.parse().unwrap()));
        let cells = [number("2"), Outcome::blank("none"), number("10"), number("-1")];
        assert_eq!(ordered(&cells, 0..4, false), [3, 0, 2, 1]);
        assert_eq!(ordered(&cells, 0..4, true), [2, 0, 3, 1]);
    }

    #[test]
    fn the_choice_stays_in_the_grid_and_in_sight() {
        let session = Session::open(TEXT);
        let mut arrangement = Arrangement::default();
        let plan = Plan::of(Seen::of(&session, 1).unwrap(), &arrangement);
        arrangement.step(&plan, 100, 100, false);
        assert_eq!(arrangement.at, At { line: 9, column: 1 });
        arrangement.follow(&plan, 2);
        assert_eq!(arrangement.top, 2);
        arrangement.step(&plan, -100, 0, true);
        assert!(arrangement.holds(At { line: 3, column: 1 }) && !arrangement.holds(At { line: 3, column: 0 }));
    }
}
