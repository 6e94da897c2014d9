//! What the grid draws, read from a result that does not change.
//!
//! Always: only lines in sight are read, whether there are ten or a million.
//! Not known here: drawing.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::totals::Totals;
use super::widths;
use crate::quantity::System;
use crate::window::arrange::{Arrangement, At, Plan};
use crate::window::panels::checks;
use crate::window::panels::doubts::RowDoubts;
use crate::window::spot::{Field, Seen, Shown, Spot};
use crate::window::wrong::{Resting, worked_before};
use crate::workbook::{Form, Role};

/// A heading of a column.
#[derive(Clone, Debug)]
pub struct Head {
    /// Its key for widths.
    pub key: String,
    /// Text over the column: in a list the symbol and the unit.
    pub text: String,
    /// What it is in words, over that; empty in sheets.
    pub label: String,
    /// Its width.
    pub width: f32,
    /// Its width where nobody has changed it, in whole steps.
    pub(super) usual: u16,
}

/// A line as drawn.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// Which line; of a note, the line that it stands before.
    pub line: usize,
    /// It holds words that stand between the lines: where they stand among the statements, and whether they begin there.
    pub note: Option<(usize, bool)>,
    /// It stands under a group, which is folded or not.
    pub group: Option<bool>,
    /// The column whose words go over the empty places beside it.
    pub words: Option<usize>,
    /// At its left: role or row number.
    pub gutter: String,
    /// Its cells.
    pub cells: Vec<Shown>,
    /// Names of the cells for those who listen.
    pub name: String,
}

/// What is drawn: the lines in sight, read from a result that does not change. It stays while the session is at work.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Place of the sheet.
    pub sheet: usize,
    /// Number of the workbook in this window: what is scrolled and widened is that of its sheet alone.
    pub book: u64,
    /// Its name.
    pub name: Arc<str>,
    /// Its title.
    pub title: String,
    /// Form.
    pub form: Form,
    /// Columns.
    pub heads: Vec<Head>,
    /// What is given, worked or sought: for the columns of a list, for the lines in sight of a sheet.
    pub roles: Vec<Option<Role>>,
    /// More than one line is chosen.
    pub several: bool,
    /// Which columns are cases with a name.
    pub named: Vec<bool>,
    /// Names of columns for those who listen: symbols of a list, fields of a sheet.
    pub spoken: Vec<String>,
    /// Lines in sight, headings first.
    pub lines: Vec<Line>,
    /// How many columns are pinned.
    pub pinned: usize,
    /// A user pinned them.
    pub pinned_by_hand: bool,
    /// How often widths were set by command, as far as these widths know.
    pub widths_set: u32,
    /// The plan.
    pub plan: Plan,
    /// How much room units take beside the values of a sheet, where their own column is out of sight.
    pub units_beside: Option<f32>,
    /// What stands in the way of a full view, in words: filter, order, hidden.
    pub words: Vec<String>,
}

/// What is worth a look before a value is relied on.
#[derive(Clone, Copy, Debug)]
pub struct Doubts<'a> {
    /// Quantities that a warning stands on, and the item where it is of one alone.
    pub quantities: &'a BTreeSet<(Arc<str>, Option<usize>)>,
    /// Checks that do not hold somewhere, by the quantities of the sheet that they read: sheet and place of each.
    pub checks: &'a BTreeMap<Arc<str>, Vec<(usize, usize)>>,
    /// What is worked from a place whose text is not taken in.
    pub resting: &'a Resting,
    /// What the reading of a list doubts, in words, by item.
    pub rows: Option<&'a BTreeMap<usize, Arc<RowDoubts>>>,
    /// Place of the list among the sheets.
    pub list: Option<usize>,
}

impl Doubts<'_> {
    /// Whether a warning stands on a value.
    fn warns(&self, name: &Arc<str>, item: usize) -> bool {
        let stands = |item| self.quantities.contains(&(name.clone(), item));
        !self.quantities.is_empty() && (stands(None) || stands(Some(item)))
    }

    /// The check that reads a value and does not hold.
    fn unmet(&self, seen: Seen<'_>, name: &str, item: usize) -> Option<String> {
        let checks = self.checks.get(name)?;
        checks.iter().find_map(|(sheet, check)| {
            let check = seen.session.results().sheets.get(*sheet)?.checks.get(*check)?;
            // A check of another sheet is one of the whole sheet here.
            let items = match *sheet == seen.at && seen.results.items.len() > 1 {
                true => item..item + 1,
                false => 0..check.cells.len(),
            };
            let fails = items.into_iter().any(|item| checks::fails(check, item));
            fails.then(|| format!("✕ check {} does not hold", check.formula))
        })
    }

    /// The text that is not taken in and that a value would rest on.
    fn rests_on(&self, seen: Seen<'_>, name: &Arc<str>, item: usize) -> Option<String> {
        let words = self.resting.at(&seen.results.name, name, item)?;
        Some(worked_before(words))
    }

    /// What is doubted of an item of a list.
    fn of_row(&self, seen: Seen<'_>, item: usize) -> Option<&RowDoubts> {
        let rows = self.rows.filter(|_| self.list == Some(seen.at))?;
        rows.get(&item).map(|row| &**row)
    }

    /// What the reading doubts at a place.
    pub fn at(&self, seen: Seen<'_>, spot: Spot) -> Option<String> {
        let Field::Value(item) = spot.field else { return None };
        let name = &seen.quantity(spot.quantity)?.name;
        let of_row = self.of_row(seen, item).and_then(|row| row.at(name, spot.quantity == 0));
        of_row
            .map(|words| seen.system.words(words))
            .or_else(|| self.rests_on(seen, name, item))
    }
}

/// What a picture is read for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sight {
    /// Lines that fit, without headings.
    pub page: usize,
    /// Width of the grid.
    pub room: f32,
    /// Number of the workbook in this window.
    pub book: u64,
}

/// Usual width of values.
pub(super) const VALUE: f32 = 112.0;
/// Width of the role or the number of a line.
pub(super) const GUTTER: f32 = 52.0;
/// Usual width of symbols and units.
pub(super) const SYMBOL: f32 = 72.0;

/// The headings of the columns, with their widths: as drawn by a user, else as wide as what stands in them.
///
/// Beside them the room of units beside the values of a sheet, where their column is out of sight.
fn heads(seen: Seen<'_>, plan: &Plan, arrangement: &Arrangement, room: f32) -> (Vec<Head>, Option<f32>) {
    let columns = plan.columns();
    let fits = |key: &str, usual: f32| arrangement.fitting.get(key).copied().unwrap_or(usual);
    let mut made: Vec<Head> = (0..columns)
        .map(|column| {
            let key = key(seen, plan, column);
            let field = plan.fields.get(column);
            let quantity = plan.quantities.get(column).filter(|_| plan.form == Form::List);
            let (text, label) = match (field, quantity.and_then(|at| Some((*at, seen.quantity(*at)?)))) {
                (Some(Field::Value(item)), _) => match seen.results.items.get(*item) {
                    Some(name) if !name.is_empty() => (name.to_string(), String::new()),
                    _ => ("value".to_owned(), String::new()),
                },
                (Some(field), _) => (field.word().to_owned(), String::new()),
                (None, Some((at, quantity))) => {
                    let unit = seen.unit(at);
                    let dot = if unit.is_empty() { "" } else { " · " };
                    (format!("{}{dot}{unit}", quantity.name), quantity.title.clone())
                }
                (None, None) => Default::default(),
            };
            let usual = match field {
                Some(Field::Label) => 215.0,
                Some(Field::Symbol | Field::Unit) => SYMBOL,
                Some(Field::Formula) => 250.0,
                Some(Field::Kind | Field::Source) => 130.0,
                _ => VALUE,
            };
            let width = fits(&key, usual);
            Head {
                key,
                text,
                label,
                width,
                usual: 0,
            }
        })
        .collect();
    // A value is seen before the words about it.
    let units = match plan.form {
        Form::Sheet => widths::of_sheet(&mut made, arrangement, room),
        Form::List => None,
    };
    for head in &mut made {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Some hundred.
        {
            head.usual = head.width as u16;
        }
        if let Some(width) = arrangement.by.widths.get(&head.key) {
            head.width = *width;
        }
    }
    (made, units)
}

/// The key of a column, by which its width is remembered.
pub(super) fn key(seen: Seen<'_>, plan: &Plan, column: usize) -> String {
    match plan.form {
        Form::Sheet => match plan.fields.get(column) {
            Some(Field::Value(item)) => format!("{}{item}", widths::CASE),
            Some(field) => field.word().to_owned(),
            None => String::new(),
        },
        Form::List => plan
            .quantities
            .get(column)
            .and_then(|at| seen.quantity(*at))
            .map_or(String::new(), |quantity| quantity.name.to_string()),
    }
}

impl Picture {
    /// Reads the lines in sight of a plan.
    pub fn of(seen: Seen<'_>, plan: Plan, arrangement: &Arrangement, sight: Sight, doubts: Doubts<'_>) -> Picture {
        let Sight { page, room, book } = sight;
        let columns = plan.columns();
        let (heads, units) = heads(seen, &plan, arrangement, room);
        let first = plan.heads();
        let mut lines: Vec<Line> = (0..first)
            .map(|line| Picture::line(seen, &plan, line, columns, &doubts))
            .collect();
        let mut totals = None;
        for line in first + arrangement.top..plan.lines() {
            if lines.len() >= first + page {
                break;
            }
            for note in plan.notes_before(line) {
                lines.extend(note.rows.iter().enumerate().map(|(at, words)| Line {
                    line,
                    note: Some((note.statement, at == 0)),
                    name: words.clone(),
                    ..Line::default()
                }));
            }
            lines.push(match plan.group(line) {
                Some(group) => {
                    let totals = totals.get_or_insert_with(|| Totals::of(seen, arrangement));
                    totals.line(seen, &plan, line, group)
                }
                None => Picture::line(seen, &plan, line, columns, &doubts),
            });
        }
        lines.truncate(first + page);
        let role = |at: &usize| seen.quantity(*at).map(|quantity| quantity.role);
        let roles = match plan.form {
            Form::List => plan.quantities.iter().map(role).collect(),
            Form::Sheet => {
                let of = |line: &Line| plan.quantities.get(line.line).and_then(role);
                lines.iter().map(of).collect()
            }
        };
        let mut words = Vec::new();
        if let Some(filter) = &arrangement.by.rows.filter {
            let chosen = plan.items_chosen();
            let unknown = match plan.items_unknown() {
                0 => String::new(),
                some => format!(", not known for {some}"),
            };
            words.push(format!("only rows where {filter}: {chosen} of {}{unknown}", plan.items));
        }
        words.extend(arrangement.by.rows.groups.iter().map(|by| format!("groups by {by}")));
        words.extend(arrangement.by.rows.order_words());
        if let Some(last) = words.last_mut().filter(|_| arrangement.stale) {
            last.push_str(", as it was before the last changes");
        }
        if !arrangement.by.hidden.is_empty() {
            words.push(format!("{} hidden", arrangement.by.hidden.len()));
        }
        match seen.system {
            System::AsWritten => {}
            System::Si => words.push("shown in SI units".to_owned()),
            System::Us => words.push("shown in US customary units".to_owned()),
        }
        Picture {
            sheet: seen.at,
            book,
            name: seen.results.name.clone(),
            title: seen.results.title.clone(),
            form: plan.form,
            spoken: (0..columns)
                .map(|column| match heads.get(column) {
                    Some(head) if plan.form == Form::Sheet => head.text.clone(),
                    Some(head) => head.key.clone(),
                    None => String::new(),
                })
                .collect(),
            widths_set: arrangement.widths_set,
            several: arrangement.at.line != arrangement.from.line,
            named: (plan.fields.iter())
                .map(|field| match field {
                    Field::Value(item) => seen.results.items.get(*item).is_some_and(|name| !name.is_empty()),
                    _ => false,
                })
                .collect(),
            heads,
            roles,
            lines,
            pinned_by_hand: arrangement.by.pinned.is_some(),
            pinned: arrangement
                .by
                .pinned
                .unwrap_or(if plan.form == Form::Sheet { 2 } else { 1 })
                .min(columns),
            plan,
            units_beside: units,
            words,
        }
    }

    fn line(seen: Seen<'_>, plan: &Plan, line: usize, columns: usize, doubts: &Doubts<'_>) -> Line {
        let of_row = plan.item(line).and_then(|item| doubts.of_row(seen, item));
        let cells = (0..columns)
            .map(|column| {
                let Some(spot) = plan.spot(At { line, column }) else {
                    return Shown::default();
                };
                let quantity = seen.quantity(spot.quantity);
                let value = match spot.field {
                    Field::Value(item) => quantity.map(|quantity| (quantity, item)),
                    _ => None,
                };
                let warned = value.is_some_and(|(quantity, item)| doubts.warns(&quantity.name, item));
                // What the reading doubts stands at the reading, at the name of the row, and at the load that comes of it.
                let of_row = of_row
                    .zip(quantity)
                    .and_then(|(row, quantity)| row.at(&quantity.name, spot.quantity == 0));
                let rests = value.and_then(|(quantity, item)| doubts.rests_on(seen, &quantity.name, item));
                let mut shown = seen.shown(spot, warned || of_row.is_some() || rests.is_some());
                let unmet = value.and_then(|(quantity, item)| doubts.unmet(seen, &quantity.name, item));
                shown.unmet = unmet.is_some();
                let doubted = of_row.map(|words| seen.system.words(words));
                for words in doubted.into_iter().chain(unmet).chain(rests) {
                    shown.why = Some(match shown.why {
                        Some(why) => format!("{why}\n{words}"),
                        None => words,
                    });
                }
                shown
            })
            .collect();
        let (gutter, name) = match plan.form {
            Form::Sheet => {
                let quantity = plan.quantities.get(line).and_then(|at| seen.quantity(*at));
                let gutter = match quantity.map(|quantity| quantity.role) {
                    Some(Role::Given) => "given",
                    Some(Role::Work) => "work",
                    Some(Role::Seek) => "seek",
                    None => "",
                };
                let name = quantity.map_or("new line", |quantity| &quantity.name);
                (gutter.to_owned(), name.to_owned())
            }
            Form::List => match (plan.heads.get(line), plan.item(line)) {
                (Some(head), _) => (head.word().to_owned(), head.word().to_owned()),
                (None, Some(item)) => {
                    let key = seen.results.items.get(item).map_or("", |key| &**key);
                    (
                        (item + 1).to_string(),
                        if key.is_empty() {
                            format!("row {}", item + 1)
                        } else {
                            key.to_owned()
                        },
                    )
                }
                (None, None) => (String::new(), "new row".to_owned()),
            },
        };
        Line {
            line,
            gutter,
            cells,
            name,
            ..Line::default()
        }
    }

    /// Whether a case has a name.
    pub(super) fn is_named(&self, column: usize) -> bool {
        self.named.get(column).is_some_and(|named| *named)
    }

    /// What is given, worked or sought at a place.
    pub(super) fn role(&self, at: At) -> Option<Role> {
        match self.form {
            Form::List => self.roles.get(at.column).copied().flatten(),
            Form::Sheet => {
                let row = self
                    .lines
                    .iter()
                    .position(|line| line.line == at.line && line.note.is_none())?;
                self.roles.get(row).copied().flatten()
            }
        }
    }

    /// Whether the values of a column stand at the right.
    pub(super) fn stands_right(&self, column: usize) -> bool {
        let heads = self.plan.heads();
        let cells = self
            .lines
            .iter()
            .filter(|line| line.line >= heads && line.group.is_none());
        let mut cells = cells.filter_map(|line| line.cells.get(column));
        cells.any(|shown| shown.right && !shown.text.is_empty())
    }

    /// What tells its sheet from all others that this window has shown.
    pub(super) fn own(&self) -> (usize, u64) {
        (self.sheet, self.book)
    }

    /// The name of a place, for those who listen.
    pub(super) fn spoken(&self, line: &Line, column: usize) -> String {
        let spoken = self.spoken.get(column).map_or("", String::as_str);
        match self.form {
            Form::Sheet => format!("{} {spoken}", line.name),
            Form::List => format!("{spoken} {}", line.name),
        }
    }
}
