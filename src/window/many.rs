//! Many places at once: what pasting, filling down, emptying and deleting change.
//!
//! Always: the changes are worked out from an unchanging session, on the thread that makes them; they are one step to take back.
//! Not known here: the screen, the clipboard.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use super::arrange::{Arrangement, At, HEADS, Plan};
use super::clip;
use super::headed;
use super::lent::Lent;
use super::live;
use super::over;
use super::paper;
use super::pasted::{self, Left};
pub use super::pasted::{Made, make_row};
use super::spot::{Field, NEW, Seen, Spot, is_value};
use super::table::{Columns, Table, cell, is_formula, said};
use super::unknown::{self, Unknown};
use crate::fault::Fault;
use crate::files;
use crate::language::check::Sort;
use crate::language::syntax::quoted;
use crate::quantity::System;
use crate::session::Session;
use crate::workbook::change::{Change, Place, own_lines};
use crate::workbook::{Form, Role, Statement, Workbook};

/// Changes made at once at most.
pub const MOST: usize = 2_000_000;

/// First and last of the chosen places.
pub type Range = (At, At);

/// The `read` lines of a workbook that was seen from one folder and goes to another.
pub fn lists_seen_from(workbook: &Workbook, was: &Path, now: &Path) -> Vec<Change> {
    let mut changes = Vec::new();
    for (at, sheet) in workbook.sheets.iter().enumerate() {
        for (number, line) in sheet.lines.iter().enumerate() {
            let Statement::Read { file, .. } = &line.statement else {
                continue;
            };
            let Some(path) = files::seen_from(&was.join(file), now).filter(|path| path != file) else {
                continue;
            };
            changes.push(Change::SetLine {
                place: Place::Line(at, number),
                text: line.text.replacen(&quoted(file), &quoted(&path), 1).into(),
            });
        }
    }
    changes
}

/// Values that were pasted over what was worked.
#[derive(Debug, Default)]
struct TypedOver {
    count: usize,
    /// What is said of the first.
    first: Option<String>,
    name: Arc<str>,
}

impl TypedOver {
    fn add(&mut self, seen: Seen<'_>, spot: Spot, text: &str, name: &Arc<str>) {
        if self.count == 0 {
            self.first = seen.also(spot, text);
            self.name = name.clone();
        }
        self.count += 1;
    }

    /// The same that is said where one is typed.
    fn words(self) -> Option<String> {
        match self.count {
            0 => None,
            1 => self.first,
            more => Some(format!(
                "{} is typed in {more} places now and not worked there. Ctrl+Z brings its formula back.",
                self.name
            )),
        }
    }
}

/// Whether several rows have a column of values behind their first one.
fn has_values_behind(cells: &Table) -> bool {
    let width = cells.iter().map(Vec::len).max().unwrap_or(0);
    let are_values = |column: usize| {
        let mut said = said(cells, column).peekable();
        said.peek().is_some() && said.all(is_value)
    };
    cells.len() > 1 && (1..width).any(are_values)
}

/// Whether lines of a table that begins at some places have a label or a symbol, and a value or a formula where values stand.
fn works_at(cells: &Table, places: &[Option<Field>]) -> bool {
    let stand = |fits: fn(Field) -> bool| {
        let of = move |(column, field): (usize, &Option<Field>)| field.filter(|field| fits(*field)).map(|_| column);
        places.iter().enumerate().filter_map(of)
    };
    let named = |row: &Vec<String>| {
        stand(|field| matches!(field, Field::Label | Field::Symbol)).any(|at| !cell(row, at).is_empty())
    };
    let works = |row: &Vec<String>| {
        let mut values = stand(|field| matches!(field, Field::Value(_))).map(|at| cell(row, at));
        values.all(|text| is_value(text) || is_formula(text))
    };
    let has_values = stand(|field| matches!(field, Field::Value(_))).next().is_some();
    has_values && cells.iter().all(|row| named(row) && works(row))
}

/// Types what was copied from the first chosen place on. Rows that are lacking at the end of a list are made; one copied place,
/// or one copied line, fills all chosen ones.
///
/// # Errors
/// Why nothing was pasted.
pub fn paste(seen: Seen<'_>, plan: &Plan, (first, last): Range, text: &str) -> Made {
    let makes = makes_lines(seen, plan, (first, last));
    let whole = plan.form == Form::Sheet && !makes && names_others(seen, plan, first, text);
    if (makes || whole)
        && let Some(made) = paper::lines(seen, text)
    {
        return if whole { made.map(behind_the_last) } else { made };
    }
    if plan.form == Form::Sheet && !makes {
        let parted = paper::columns(text, true);
        let cells = parted.clone().unwrap_or_else(|| clip::cells(text));
        if let Some(made) = over::lines(seen, plan, first, &cells, parted.is_some()) {
            return made;
        }
    }
    let is_blank = plan.form == Form::List && pasted::is_blank(seen);
    let is_new_row = new_row(seen, plan, first.line).is_some();
    let cells = Some(text).filter(|_| makes || is_blank || is_new_row);
    let cells = cells.and_then(|text| paper::columns(text, is_blank || is_new_row));
    // Two parts may be one text; a row has more.
    let cells = cells.filter(|cells| !is_new_row || is_blank || cells.iter().all(|row| row.len() > 2));
    // Over rows that are there columns are told by the values in them: a text alone may have a semicolon.
    let is_over = plan.form == Form::List && !is_blank && !is_new_row;
    let cells = cells.or_else(|| paper::columns(text, true).filter(|cells| is_over && has_values_behind(cells)));
    let cells = cells.unwrap_or_else(|| clip::cells(text));
    let is_column = cells.iter().all(|row| row.len() == 1);
    if plan.form == Form::List
        && (!is_blank || is_column)
        && let Some(made) = headed::rows(seen, plan, first, &cells)
    {
        return made;
    }
    let field = |column: usize| plan.fields.get(first.column + column).copied();
    let cells = match plan.form {
        Form::Sheet => pasted::with_units(cells, &field),
        Form::List => cells,
    };
    let width = cells.iter().map(Vec::len).max().unwrap_or(0);
    let fills = cells.len() == 1;
    let one = fills && width == 1;
    let lines = if fills { last.line - first.line + 1 } else { cells.len() };
    if lines.saturating_mul(width) > MOST {
        return Err(format!("This is more than {MOST} values; paste it in parts."));
    }
    let there = match plan.form {
        Form::Sheet => plan.quantities.len().saturating_sub(first.line),
        Form::List => usize::MAX,
    };
    let places: Vec<Option<Field>> = (0..width).map(field).collect();
    // Lines over others go where they stand; those behind the last one become new.
    let beside = !pasted::is_empty(seen) && there > 0 && pasted::stands(seen, &cells, &places);
    if !beside && let Some(made) = table(seen, &cells, there) {
        return made;
    }
    // Formulas alone tell no column: behind the last line they go by the columns that they are pasted at.
    if makes && works_at(&cells, &places) {
        // The first works something out like the others, and is no line of headings.
        let mut columns = Columns::by_places(&cells, places.clone());
        columns.headed = false;
        if let Some(made) = pasted::lines(seen, &cells, Some(columns)) {
            return made;
        }
    }
    // From here on each text goes to its place.
    let mut lent = Lent::default();
    let cells = match plan.form {
        Form::Sheet => cells,
        Form::List => with_lent(seen, plan, first.column, cells, &mut lent),
    };
    let (cells, beyond) = match beside {
        true => cells.split_at(there.min(cells.len())),
        false => (cells.as_slice(), &[][..]),
    };
    let lines = if fills { lines } else { cells.len() };
    let mut changes = Vec::new();
    let mut names = Vec::new();
    let mut left = Left::default();
    let mut unknown = Unknown::default();
    // One text that cannot stand there is refused; among several it is left out and named.
    let several = lines * width > 1;
    // Rows of a list bring what is typed in them; what is worked there goes on being worked.
    let rows = plan.form == Form::List && width > 1;
    let several_lines = plan.form == Form::Sheet && lines > 1;
    let mut typed_over = TypedOver::default();
    let mut stays: Vec<Arc<str>> = Vec::new();
    let mut new = 0;
    for down in 0..lines {
        let Some(row) = cells.get(if fills { 0 } else { down }) else {
            break;
        };
        let line = first.line + down;
        if let Some(at) = new_row(seen, plan, line) {
            changes.push(make_row(seen, at));
            new += 1;
        }
        // A bare number is in the unit beside it, not in the one that stood there.
        let (row, unit_taken) = match plan.form {
            Form::Sheet => pasted::with_its_unit(row, &places),
            Form::List => (Cow::Borrowed(row.as_slice()), None),
        };
        let columns = if one { last.column - first.column + 1 } else { row.len() };
        for right in 0..columns {
            let Some(text) = row.get(if one { 0 } else { right }) else {
                break;
            };
            if unit_taken == Some(right) {
                continue;
            }
            let at = At {
                line,
                column: first.column + right,
            };
            let made = new_row(seen, plan, line).zip(plan.quantities.get(at.column));
            let made = made.map(|(item, quantity)| Spot {
                quantity: *quantity,
                field: Field::Value(item),
            });
            let Some(spot) = made.or_else(|| plan.spot(at)) else {
                left.add(text, down, right);
                continue;
            };
            // Where there is no formula for all cases, the values stand beside it and stay.
            if spot.field == Field::Formula && text.is_empty() {
                continue;
            }
            // What is worked does not give way to a text that says nothing.
            let is_said = !unknown::is_unknown_there(seen, spot, text);
            // Of several lines of a sheet those that are worked go on being worked, unless a formula is pasted there.
            let of_lines = several_lines && matches!(spot.field, Field::Value(_)) && is_value(text);
            if let Some(worked) = seen
                .quantity(spot.quantity)
                .filter(|known| known.role != Role::Given && (rows || of_lines || !is_said))
            {
                let is_told = !text.is_empty() && (is_said || !several);
                if is_told && !stays.contains(&worked.name) {
                    stays.push(worked.name.clone());
                }
                continue;
            }
            if let Some(emptied) = unknown.take(seen, spot, text) {
                changes.extend(emptied?);
                continue;
            }
            if let Some(worked) = seen.quantity(spot.quantity).filter(|known| known.role == Role::Work)
                && matches!(spot.field, Field::Value(_))
                && is_value(text)
            {
                typed_over.add(seen, spot, text, &worked.name);
            }
            match seen.change(spot, text) {
                Ok(_) if spot.quantity == NEW && several => left.add(text, down, right),
                // Names last, so that the others are found by the names they have now.
                Ok(made) if spot.field == Field::Symbol => names.extend(made),
                Ok(made) => changes.extend(made),
                Err(_) if several => left.misfit(text, down, right),
                Err(why) => return Err(why),
            }
        }
    }
    changes.extend(names);
    let stays = match stays.as_slice() {
        [] => None,
        [one] => Some(format!("{one} stays worked here.")),
        all => Some(format!("{} stay worked here.", named(all))),
    };
    let held = headed::held(plan, new);
    let note = left.words().into_iter().chain(unknown.told()).chain(lent.words());
    let mut note: Vec<String> = note.chain(typed_over.words()).chain(stays).chain(held).collect();
    // Those behind the last line become new.
    if !beyond.is_empty()
        && let Some(made) = pasted::lines(seen, beyond, Some(Columns::by_places(beyond, places)))
    {
        let (more, told) = made?;
        changes.extend(more);
        note.extend(told);
    }
    match note.join(" ") {
        words if changes.is_empty() && !words.is_empty() => Err(words),
        words => Ok((changes, Some(words).filter(|words| !words.is_empty()))),
    }
}

/// Rows whose numbers have the unit that others of their column have, where some have one.
fn with_lent(
    seen: Seen<'_>,
    plan: &Plan,
    first: usize,
    mut cells: Vec<Vec<String>>,
    lent: &mut Lent,
) -> Vec<Vec<String>> {
    let width = cells.iter().map(Vec::len).max().unwrap_or(0);
    for column in 0..width {
        let at = plan.quantities.get(first + column).copied();
        let Some((at, quantity)) = at.and_then(|at| Some((at, seen.quantity(at)?))) else {
            continue;
        };
        let Some(unit) = lent.take(&quantity.name, &cells, column, &seen.unit(at)) else {
            continue;
        };
        for text in cells.iter_mut().filter_map(|row| row.get_mut(column)) {
            *text = pasted::beside(text.trim(), &unit);
        }
    }
    cells
}

/// Whether what is pasted there becomes lines of their own: behind the last line of a worked sheet, or in one that holds nothing.
pub fn makes_lines(seen: Seen<'_>, plan: &Plan, (first, _): Range) -> bool {
    plan.form == Form::Sheet && (plan.quantities.len() <= first.line || pasted::is_empty(seen))
}

/// A table with lines beyond the last one of a worked sheet, or in a list that holds nothing yet: new quantities, columns, rows.
fn table(seen: Seen<'_>, cells: &[Vec<String>], there: usize) -> Option<Made> {
    let width = cells.iter().map(Vec::len).max().unwrap_or(0);
    if seen.results.form == Form::List {
        return (width > 1 && cells.len() > 1).then(|| pasted::list(seen, cells))?;
    }
    // One text is typed where it stands.
    if width.max(cells.len()) < 2 {
        return None;
    }
    let is_headed = pasted::has_heads(cells);
    // A table over lines that are all there goes where it stands; with headings of its own it is no part of what stands there.
    if cells.len() <= there && !pasted::is_empty(seen) && !is_headed {
        return None;
    }
    let over = there > 0 && !pasted::is_empty(seen);
    let made = pasted::lines(seen, cells, None)?;
    Some(if over && is_headed {
        made.map(behind_the_last)
    } else {
        made
    })
}

/// Whether each line of a text is a whole line that names another quantity than the one whose place it would take.
fn names_others(seen: Seen<'_>, plan: &Plan, first: At, text: &str) -> bool {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let mut lines = lines.enumerate().peekable();
    let meant = |(number, line): (usize, &str)| {
        let line_of = first.line + number;
        let spot = plan.spot(At { line: line_of, ..first });
        paper::is_whole_line(line) && spot.is_none_or(|spot| seen.repeats(spot, line).is_none())
    };
    lines.peek().is_some() && lines.all(meant)
}

/// What is said of new lines that were pasted over others.
pub(super) fn behind_the_last((changes, note): (Vec<Change>, Option<String>)) -> (Vec<Change>, Option<String>) {
    let told = "These are lines of their own: they stand behind the last one.".to_owned();
    let note = std::iter::once(told).chain(note).collect::<Vec<_>>().join(" ");
    (changes, Some(note))
}

/// Types the first of the chosen places into those under it; of the cases of one line, into those at its right.
///
/// # Errors
/// Why it cannot stand there.
pub fn fill_down(seen: Seen<'_>, plan: &Plan, (first, last): Range) -> Made {
    if first.line == last.line {
        return fill_across(seen, plan, (first, last));
    }
    let mut changes = Vec::new();
    let mut misfits: Vec<Arc<str>> = Vec::new();
    for column in first.column..=last.column {
        let line = first.line;
        let Some((from, text)) = plan.spot(At { line, column }).map(|spot| (spot, seen.opened(spot))) else {
            continue;
        };
        for line in first.line + 1..=last.line {
            let spot = plan.spot(At { line, column });
            let Some(spot) =
                spot.filter(|spot| spot.field != Field::Symbol && !plan.is_open(line) && spot.quantity != NEW)
            else {
                continue;
            };
            // What is of another kind stays as it is; the rows of one column are of one kind.
            if spot.quantity != from.quantity && !fits(seen, spot, &text) {
                let name = seen.quantity(spot.quantity).map(|quantity| quantity.name.clone());
                misfits.extend(name.filter(|name| !misfits.contains(name)));
                continue;
            }
            changes.extend(seen.change(spot, &text)?);
        }
    }
    let left = (!misfits.is_empty()).then(|| {
        let stay = if misfits.len() == 1 {
            "stays as it is"
        } else {
            "stay as they are"
        };
        format!("{} {stay}: what was filled down cannot stand there.", named(&misfits))
    });
    match left {
        Some(words) if changes.is_empty() => Err(words),
        left => Ok((changes, left)),
    }
}

/// Types the first of the chosen cases of a line into the others.
fn fill_across(seen: Seen<'_>, plan: &Plan, (first, last): Range) -> Made {
    let line = first.line;
    let spots = (first.column..=last.column).filter_map(|column| plan.spot(At { line, column }));
    let is_case = |spot: &Spot| matches!(spot.field, Field::Value(_)) && seen.sheet.form == Form::Sheet;
    let mut cases = spots.filter(|spot| is_case(spot) && spot.quantity != NEW);
    let (Some(from), true) = (cases.next(), first.column < last.column) else {
        return Err("There is nothing to fill: choose places under each other, or cases of one line.".to_owned());
    };
    let text = seen.opened(from);
    let mut changes = Vec::new();
    for spot in cases.filter(|spot| seen.opened(*spot) != text) {
        changes.extend(seen.change(spot, &text)?);
    }
    Ok((changes, None))
}

/// Whether a text can stand at a place: nothing in it is wrong there.
fn fits(seen: Seen<'_>, spot: Spot, text: &str) -> bool {
    if text.is_empty() {
        return true;
    }
    if let Some(live) = live::live(seen, spot, text) {
        return live.faults.is_empty();
    }
    let Some(quantity) = seen.quantity(spot.quantity) else {
        return false;
    };
    let read = seen.read_here(spot, text);
    let unit = seen.unit_here(spot);
    let text = read.as_deref().unwrap_or(text);
    let look = seen.session.look(
        &seen.sheet.name,
        &quantity.name,
        text,
        seen.is_whole(spot),
        unit.as_ref(),
    );
    let worded = matches!(quantity.sort, Sort::Text) && !text.starts_with('"');
    worded || look.is_some_and(|look| !look.faults.iter().any(Fault::is_error))
}

/// Names told at most.
const TOLD: usize = 4;

/// Some names in words: `v, L and 3 more`.
pub fn named(names: &[Arc<str>]) -> String {
    let told: Vec<&str> = names.iter().take(TOLD).map(AsRef::as_ref).collect();
    match names.len().saturating_sub(TOLD) {
        0 => told.join(", "),
        more => format!("{} and {more} more", told.join(", ")),
    }
}

/// Empties the chosen places. A symbol stays: a quantity has a name.
///
/// # Errors
/// Why a place cannot be empty.
pub fn empty(seen: Seen<'_>, plan: &Plan, range: Range) -> Made {
    let mut changes = Vec::new();
    for spot in spots(plan, range).filter(|spot| spot.field != Field::Symbol) {
        // A unit that stands in the values goes where it alone is chosen. What else is empty already stays as it is.
        let alone = range.0.column == range.1.column;
        if let Some(emptied) = seen.unit_emptied(spot).filter(|_| alone) {
            changes.extend(emptied?);
        } else if !seen.typed(spot).is_empty() {
            changes.extend(seen.change(spot, "")?);
        }
    }
    Ok((changes, None))
}

/// Takes the chosen rows away, or the chosen quantities with their columns.
///
/// # Errors
/// Never; like the others.
pub fn delete(seen: Seen<'_>, plan: &Plan, range: Range) -> Made {
    let list = &seen.sheet.name;
    let rows = rows(plan, range);
    if !rows.is_empty() && seen.results.form == Form::List {
        let said = rows_gone(seen, &rows);
        let change = Change::DeleteRows {
            list: list.clone(),
            rows,
        };
        return Ok((vec![change], said));
    }
    if seen.results.form == Form::List && range.0.line >= plan.heads() {
        // No row is left to go.
        return Ok((Vec::new(), None));
    }
    delete_quantities(seen, plan, range)
}

/// What is said of rows that go; none where one goes that nothing was said of.
fn rows_gone(seen: Seen<'_>, rows: &[usize]) -> Option<String> {
    let mut own: Vec<Arc<str>> = Vec::new();
    for (_, name) in own_lines(seen.sheet, rows) {
        if !own.contains(&name) {
            own.push(name);
        }
    }
    match (rows.len(), own.as_slice()) {
        (1, []) => None,
        (1, own) => Some(format!(
            "1 row deleted, and with it what was said of it alone: {}. Ctrl+Z brings both back.",
            named(own)
        )),
        (count, []) => Some(format!("{count} rows deleted. Ctrl+Z brings them back.")),
        (count, own) => Some(format!(
            "{count} rows deleted, and with them what was said of single ones: {}. Ctrl+Z brings all of it back.",
            named(own)
        )),
    }
}

/// Takes the chosen quantities away, with their columns and their own values.
///
/// # Errors
/// Never; like the others.
pub fn delete_quantities(seen: Seen<'_>, plan: &Plan, range: Range) -> Made {
    let list = &seen.sheet.name;
    let mut changes = Vec::new();
    let mut lines = Vec::new();
    let mut gone: Vec<Arc<str>> = Vec::new();
    for quantity in quantities(plan, range).iter().filter_map(|at| seen.quantity(*at)) {
        if seen.is_column(&quantity.name) {
            changes.push(Change::DeleteColumn {
                list: list.clone(),
                name: quantity.name.clone(),
            });
        }
        lines.extend(seen.line(&quantity.name).map(|(at, _)| at));
        lines.extend(seen.own_lines(&quantity.name));
        gone.push(quantity.name.clone());
    }
    lines.sort_unstable();
    lines.dedup();
    changes.extend(lines.iter().rev().map(|line| Change::DeleteLine {
        place: crate::workbook::change::Place::Line(seen.at, *line),
    }));
    Ok((changes, asked_for(seen, &gone)))
}

/// What is said of a sheet that goes: which formulas of other sheets ask for it.
pub fn sheet_gone(seen: Seen<'_>) -> String {
    let here = &seen.sheet.name;
    let mut asking: Vec<Arc<str>> = Vec::new();
    let names = seen.results.quantities.iter().map(|quantity| &quantity.name);
    for (sheet, reader) in names.flat_map(|name| seen.session.readers(here, name)) {
        let name: Arc<str> = format!("{sheet}.{reader}").into();
        if sheet != *here && !asking.contains(&name) {
            asking.push(name);
        }
    }
    let read = match asking.len() {
        0 => String::new(),
        1 => format!("; 1 formula asks for it: {}", named(&asking)),
        more => format!("; {more} formulas ask for it: {}", named(&asking)),
    };
    format!("{} deleted{read}. Ctrl+Z brings it back.", seen.results.heading())
}

/// Who still asks for quantities that go, in words; none where nobody does.
fn asked_for(seen: Seen<'_>, gone: &[Arc<str>]) -> Option<String> {
    let here = &seen.sheet.name;
    let mut asking: Vec<Arc<str>> = Vec::new();
    for (sheet, reader) in gone.iter().flat_map(|name| seen.session.readers(here, name)) {
        let name: Arc<str> = if sheet == *here {
            reader.clone()
        } else {
            format!("{sheet}.{reader}").into()
        };
        let goes_as_well = sheet == *here && gone.contains(&reader);
        if !goes_as_well && !asking.contains(&name) {
            asking.push(name);
        }
    }
    let (lines, ask) = match asking.len() {
        // One that nobody asks for goes without a word.
        0 if gone.len() < 2 => return None,
        0 => return Some(format!("{} deleted. Ctrl+Z brings them back.", named(gone))),
        1 => ("1 formula asks".to_owned(), named(&asking)),
        more => (format!("{more} formulas ask"), named(&asking)),
    };
    let it = if gone.len() == 1 { "it" } else { "them" };
    Some(format!(
        "{} deleted; {lines} for {it}: {ask}. Ctrl+Z takes it back.",
        named(gone)
    ))
}

/// All places of a range.
fn spots(plan: &Plan, (first, last): Range) -> impl Iterator<Item = Spot> + '_ {
    (first.line..=last.line)
        .flat_map(move |line| (first.column..=last.column).filter_map(move |column| plan.spot(At { line, column })))
}

/// The quantities of a range, each once, in order.
pub fn quantities(plan: &Plan, (first, last): Range) -> Vec<usize> {
    let range = match plan.form {
        Form::Sheet => first.line..last.line + 1,
        Form::List => first.column..last.column + 1,
    };
    let end = range.end.min(plan.quantities.len());
    plan.quantities.get(range.start.min(end)..end).unwrap_or(&[]).to_vec()
}

/// The rows of a range of a list, in rising order; none where its headings are chosen.
pub fn rows(plan: &Plan, (first, last): Range) -> Vec<usize> {
    if plan.form == Form::Sheet || first.line < plan.heads() {
        return Vec::new();
    }
    let mut out: Vec<usize> = (first.line..=last.line).filter_map(|line| plan.item(line)).collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// The row that is made at the end of a list by what is pasted in a line: its place among the rows.
fn new_row(seen: Seen<'_>, plan: &Plan, line: usize) -> Option<usize> {
    let beyond = line.checked_sub(plan.heads() + plan.rows())?;
    (seen.results.form == Form::List).then_some(plan.items + beyond)
}

/// The next place that holds a text, over all sheets, from a place on and around to it: whatever the grid shows, as the sheets are
/// arranged, line by line. What is hidden or left out by a condition is not looked at.
pub fn find(
    session: &Session,
    from: (usize, Option<Spot>),
    wanted: &str,
    system: System,
    arranged: &BTreeMap<Arc<str>, Arrangement>,
) -> Option<(usize, Spot)> {
    let sheets = session.results().sheets.len();
    let usual = Arrangement::default();
    (0..=sheets).find_map(|step| {
        let at = (from.0 + step) % sheets.max(1);
        let seen = Seen::of(session, at)?.shown_in(system);
        let plan = Plan::of(seen, arranged.get(&seen.results.name).unwrap_or(&usual));
        find_in(seen, &plan, wanted, from.1.filter(|_| step == 0))
    })
}

/// The first place of a sheet, after one, that holds a text.
fn find_in(seen: Seen<'_>, plan: &Plan, wanted: &str, after: Option<Spot>) -> Option<(usize, Spot)> {
    let columns = plan.columns().max(1);
    // What the headings of a list say stands over its columns also where they are folded away.
    let (heads, lines): (&[Field], usize) = match plan.form {
        Form::Sheet => (&[], plan.quantities.len()),
        Form::List => (&HEADS, HEADS.len() + plan.rows()),
    };
    let spot = |number: usize| {
        let (line, column) = (number / columns, number % columns);
        match heads.get(line) {
            Some(head) => Some(Spot {
                quantity: *plan.quantities.get(column)?,
                field: *head,
            }),
            None => plan.spot(At {
                line: line - heads.len() + plan.heads(),
                column,
            }),
        }
    };
    let number = |after: Spot| {
        let (line, column) = match heads.iter().position(|head| *head == after.field) {
            Some(line) => (line, plan.quantities.iter().position(|known| *known == after.quantity)?),
            None => {
                let at = plan.at(after)?;
                (at.line.checked_sub(plan.heads())? + heads.len(), at.column)
            }
        };
        Some(line * columns + column)
    };
    let start = after.and_then(number).map_or(0, |number| number + 1);
    (start..lines * columns)
        .filter_map(spot)
        .find(|spot| seen.shown(*spot, false).text.to_lowercase().contains(wanted))
        .map(|spot| (seen.at, spot))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::session::Command;
    use crate::window::arrange::{Arranged, Ordered, RowsBy};

    const TEXT: &str = "polepair 1
sheet a
  cases x | y
  given P = 15 kW | 20 kW : shaft power \"Power\" plate
  given eta = 90 %
  work  Q = P / eta in kW
list motors
  given tag : text
  given P in kW : shaft power
  given f = 50 Hz
  work  R = 2 * P
  rows tag | P
    \"P-1\" | 15 kW
    \"P-2\" | 16 kW
    \"P-3\" |
  at \"P-1\" f = 60 Hz
";

    fn range(first: (usize, usize), last: (usize, usize)) -> Range {
        let at = |(line, column)| At { line, column };
        (at(first), at(last))
    }

    fn done(sheet: usize, work: impl Fn(Seen<'_>, &Plan) -> Made) -> (String, String, Option<String>) {
        let mut session = Session::open(TEXT);
        let before = session.text();
        let (changes, note) = {
            let seen = Seen::of(&session, sheet).unwrap();
            work(seen, &Plan::of(seen, &Arrangement::default())).unwrap()
        };
        session
            .apply(Command {
                label: "many".into(),
                changes,
            })
            .unwrap();
        let after = session.text();
        let _ = session.undo().unwrap();
        assert_eq!(session.text(), before);
        (before, after, note)
    }

    #[test]
    fn a_line_of_a_sheet_is_pasted_with_label_symbol_and_values() {
        let (_, after, note) = done(0, |seen, plan| {
            paste(
                seen,
                plan,
                range((1, 0), (1, 0)),
                "Efficiency\teta_1\t91 %\t92 %\t\t\t\tmaker\tover",
            )
        });
        assert!(after.contains("given eta_1 = 91 % | 92 % "), "{after}");
        assert!(after.contains("\"Efficiency\" maker"), "{after}");
        assert!(after.contains("Q = P / eta_1"), "{after}");
        assert!(note.unwrap().starts_with("1 value "));
    }

    #[test]
    fn rows_that_lack_are_made_and_one_line_fills_many() {
        let (_, after, _) = done(1, |seen, plan| {
            paste(seen, plan, range((8, 0), (8, 0)), "\"P-4\"\t7 kW\nP-5\t8 kW\n")
        });
        assert!(after.contains("\"P-4\" | 7 kW\n    \"P-5\" | 8 kW\n"), "{after}");
        let (_, after, _) = done(1, |seen, plan| paste(seen, plan, range((6, 1), (8, 1)), "9 kW"));
        assert_eq!(after.matches("| 9 kW").count(), 3, "{after}");
    }

    #[test]
    fn chosen_places_are_filled_and_emptied_but_keep_their_names() {
        let (_, after, _) = done(1, |seen, plan| fill_down(seen, plan, range((6, 1), (8, 1))));
        assert_eq!(after.matches("| 15 kW").count(), 3, "{after}");
        let (_, after, _) = done(0, |seen, plan| empty(seen, plan, range((0, 0), (0, 3))));
        assert!(after.contains("given P = | : shaft power plate"), "{after}");
    }

    #[test]
    fn a_quantity_goes_with_its_column_and_its_own_values() {
        let (_, after, _) = done(1, |seen, plan| delete(seen, plan, range((0, 1), (0, 2))));
        assert!(
            after.contains("rows tag\n") && !after.contains("given P in") && !after.contains("60 Hz"),
            "{after}"
        );
        let (_, after, _) = done(1, |seen, plan| delete(seen, plan, range((6, 1), (7, 1))));
        assert!(!after.contains("\"P-2\"") && after.contains("\"P-3\""), "{after}");
    }

    #[test]
    fn find_goes_round() {
        let session = Session::open(TEXT);
        let of = |from, wanted| find(&session, from, wanted, System::AsWritten, &BTreeMap::new());
        let value = |item| Spot {
            quantity: 0,
            field: Field::Value(item),
        };
        let first = of((0, None), "p-").unwrap();
        assert_eq!(first, (1, value(0)));
        let next = of((1, Some(first.1)), "p-").unwrap();
        assert_eq!(next, (1, value(1)));
        let last = of((1, Some(next.1)), "p-3").unwrap();
        assert_eq!(of((1, Some(last.1)), "p-3"), Some(last));
        assert_eq!(of((0, None), "nowhere"), None);
    }

    /// Whatever the grid shows is found: kinds, sources and formulas too, of a list over its columns.
    #[test]
    fn find_looks_at_every_place() {
        let session = Session::open(TEXT);
        let of = |from, wanted| find(&session, from, wanted, System::AsWritten, &BTreeMap::new());
        let spot = |quantity, field| Spot { quantity, field };
        assert_eq!(of((0, None), "shaft"), Some((0, spot(0, Field::Kind))));
        assert_eq!(of((0, None), "plate"), Some((0, spot(0, Field::Source))));
        assert_eq!(of((0, None), "p / eta"), Some((0, spot(2, Field::Formula))));
        let next = of((0, Some(spot(0, Field::Kind))), "shaft");
        assert_eq!(next, Some((1, spot(1, Field::Kind))));
        let next = of((1, next.map(|(_, spot)| spot)), "shaft");
        assert_eq!(next, Some((1, spot(3, Field::Kind))));
        assert_eq!(
            of((1, next.map(|(_, spot)| spot)), "shaft"),
            Some((0, spot(0, Field::Kind)))
        );
        assert_eq!(of((1, None), "2 * p"), Some((1, spot(3, Field::Formula))));
    }

    #[test]
    fn find_looks_at_what_is_shown_in_the_order_it_is_shown() {
        let session = Session::open(TEXT);
        let mut shown = Arrangement {
            order: Some(Ordered::items(3, vec![2, 0])),
            by: Arranged {
                rows: RowsBy {
                    filter: Some("such".to_owned()),
                    ..RowsBy::default()
                },
                ..Arranged::default()
            },
            ..Arrangement::default()
        };
        let of = |shown: &Arrangement, from, wanted| {
            let arranged = BTreeMap::from([(Arc::from("motors"), shown.clone())]);
            let found = find(&session, (1, from), wanted, System::AsWritten, &arranged)?;
            Some((found.0, found.1.quantity, found.1.field))
        };
        let value = |item| Field::Value(item);
        let first = Spot {
            quantity: 0,
            field: value(2),
        };
        assert_eq!(of(&shown, None, "p-"), Some((1, 0, value(2))));
        assert_eq!(of(&shown, Some(first), "p-"), Some((1, 0, value(0))));
        assert_eq!(of(&shown, None, "p-2"), None);
        let _ = shown.by.hidden.insert("tag".into());
        assert_eq!(of(&shown, None, "p-"), None);
        assert_eq!(of(&shown, None, "15"), Some((1, 1, value(0))));
    }
}
