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
use crate::workbook::Form;

/// Fields that head the columns of a list, each on a line of its own.
pub const HEADS: [Field; 6] = [
    Field::Label,
    Field::Symbol,
    Field::Unit,
    Field::Kind,
    Field::Source,
    Field::Formula,
];

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
}

impl RowsBy {
    /// Whether it is all rows as they stand.
    pub fn is_all(&self) -> bool {
        self.filter.is_none() && self.order.is_none()
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

/// What is looked at in a sheet.
#[derive(Clone, Debug, Default)]
pub struct Arrangement {
    /// The chosen place.
    pub at: At,
    /// Where the range of chosen places begins.
    pub from: At,
    /// The first line in sight, not counting headings.
    pub top: usize,
    /// Rows in the order they are shown, and of how many they were chosen; `None`: as they stand.
    pub order: Option<(usize, Arc<Vec<usize>>)>,
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
    pub order: Option<Arc<Vec<usize>>>,
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
            order: arrangement
                .order
                .as_ref()
                .filter(|(of, _)| *of == items)
                .map(|(_, order)| order.clone()),
        }
    }

    /// Heading lines.
    pub fn heads(&self) -> usize {
        match self.form {
            Form::Sheet => 0,
            Form::List => HEADS.len(),
        }
    }

    /// All lines.
    pub fn lines(&self) -> usize {
        match self.form {
            // Behind the last one a line is open for a new one.
            Form::Sheet => self.quantities.len() + 1,
            Form::List => self.heads() + self.rows(),
        }
    }

    /// Rows of a list in sight.
    pub fn rows(&self) -> usize {
        self.order.as_ref().map_or(self.items, |order| order.len())
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
            Some(order) => order.get(row).copied(),
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
                field: match HEADS.get(at.line) {
                    Some(head) => *head,
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
                    Field::Value(item) => {
                        let row = match &self.order {
                            Some(order) => order.iter().position(|known| *known == item)?,
                            None => (item < self.items).then_some(item)?,
                        };
                        self.heads() + row
                    }
                    field => HEADS.iter().position(|known| *known == field)?,
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

    /// Whether a place is among the chosen ones.
    pub fn holds(&self, at: At) -> bool {
        let (first, last) = self.range();
        (first.line..=last.line).contains(&at.line) && (first.column..=last.column).contains(&at.column)
    }

    /// Chooses a place, alone or as the end of the range.
    pub fn choose(&mut self, at: At, extend: bool) {
        self.at = at;
        if !extend {
            self.from = at;
        }
    }

    /// Keeps the choice among what is there. Where no row is left the headings are not chosen in its place: what is typed next
    /// was not meant for them.
    pub fn stay_within(&mut self, plan: &Plan) {
        (self.at, self.from) = (plan.kept(self.at), plan.kept(self.from));
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
        if row < self.top {
            self.top = row;
        } else if row >= self.top + page {
            self.top = row + 1 - page;
        }
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

fn compare(a: &Value, b: &Value) -> Ordering {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => a.compare(*b),
        // Phasors have no order of their own; rows go by magnitude.
        (Value::Phasor(a), Value::Phasor(b)) => a.abs().total_cmp(&b.abs()),
        (Value::Text(a), Value::Text(b)) => a.cmp(b),
        (Value::Truth(a), Value::Truth(b)) => a.cmp(b),
        (Value::Number(_) | Value::Phasor(_), _) | (Value::Text(_), Value::Truth(_)) => Ordering::Less,
        _ => Ordering::Greater,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
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
    fn every_place_in_sight_leads_to_its_spot_and_back() {
        let session = Session::open(TEXT);
        for sheet in 0..2 {
            let arrangement = Arrangement {
                order: (sheet == 1).then(|| (3, Arc::new(vec![2, 0]))),
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
            // A worked sheet has an open line behind its quantities.
            assert_eq!(seen, if sheet == 0 { 3 * 8 } else { (HEADS.len() + 2) * 2 });
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
        assert_eq!(arrangement.at, At { line: 8, column: 1 });
        arrangement.follow(&plan, 2);
        assert_eq!(arrangement.top, 1);
        arrangement.step(&plan, -100, 0, true);
        assert!(arrangement.holds(At { line: 3, column: 1 }) && !arrangement.holds(At { line: 3, column: 0 }));
    }
}
