//! Whole lines, rows and cases that were cut: where they are pasted they go, and until then they stay where they are.
//!
//! Always: nothing goes that has no other place yet; what is moved keeps its name, so that formulas go on reading it.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::arrange::{At, Plan, Whole};
use super::copied::Lines;
use super::many::{self, Made, Range, named};
use super::spot::{Field, Seen};
use crate::workbook::change::{Change, Place};
use crate::workbook::{Form, Statement};

/// What was cut as a whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    sheet: Arc<str>,
    what: What,
}

#[derive(Clone, Debug, PartialEq)]
enum What {
    /// Lines of a sheet or columns of a list, by name.
    Quantities(Vec<Arc<str>>),
    /// Rows of a list or cases of a sheet, each by its place and its name, and how many there were.
    Items(Vec<(usize, Arc<str>)>, usize),
}

impl Cut {
    /// What is chosen, where it is chosen as a whole: a single place is emptied and no line goes with it.
    pub fn of(seen: Seen<'_>, plan: &Plan, range: Range, whole: Option<Whole>) -> Option<Cut> {
        let items = &seen.results.items;
        let item = |at: usize| items.get(at).map(|name| (at, name.clone()));
        let is_list = seen.results.form == Form::List;
        let of_items = |chosen: Vec<usize>| {
            let chosen: Vec<_> = chosen.into_iter().filter_map(item).collect();
            (!chosen.is_empty()).then(|| What::Items(chosen, items.len()))
        };
        let what = match whole {
            Some(Whole::Lines) if is_list => of_items(many::rows(plan, range)),
            Some(Whole::Columns) if !is_list => of_items(cases(seen, plan, range)?),
            Some(Whole::Lines | Whole::Columns) => quantities(seen, plan, range),
            None if is_list => None,
            None => super::copied::lines(seen, plan, range).and_then(|_| quantities(seen, plan, range)),
        };
        Some(Cut {
            sheet: seen.sheet.name.clone(),
            what: what?,
        })
    }

    /// What it is, in words: `v, L and 3 more`.
    pub fn words(&self) -> String {
        match &self.what {
            What::Quantities(names) => named(names),
            What::Items(items, _) => {
                let name = |(at, name): &(usize, Arc<str>)| match name.is_empty() {
                    true => format!("row {}", at + 1).into(),
                    false => name.clone(),
                };
                named(&items.iter().map(name).collect::<Vec<_>>())
            }
        }
    }

    /// The changes that bring it to the first of the chosen places; `None` where it can only be copied there.
    pub fn put(&self, seen: Seen<'_>, plan: &Plan, range: Range, lines: Option<&Lines>) -> Option<Made> {
        let stays_here = seen.sheet.name == self.sheet;
        let (first, _) = range;
        match &self.what {
            What::Quantities(names) if stays_here => Some(move_lines(seen, plan, first, names)),
            What::Quantities(names) => {
                let made = insert(seen, plan, range, lines?)?;
                Some(made.and_then(|made| self.leave(seen, names, made)))
            }
            What::Items(items, of) => {
                let known = |(at, name): &(usize, Arc<str>)| seen.results.items.get(*at) == Some(name);
                if !stays_here || seen.results.items.len() != *of || !items.iter().all(known) {
                    return None;
                }
                let chosen: Vec<usize> = items.iter().map(|(at, _)| *at).collect();
                Some(match seen.results.form {
                    Form::List => move_rows(seen, plan, first, &chosen),
                    Form::Sheet => move_cases(seen, plan, first, &chosen),
                })
            }
        }
    }

    /// Lines that have a place in another sheet go from where they were, unless somebody there asks for them: then they stay as well.
    fn leave(&self, seen: Seen<'_>, names: &[Arc<str>], (mut changes, note): (Vec<Change>, Option<String>)) -> Made {
        let mut sheets = seen.session.workbook().sheets.iter();
        let from = sheets.position(|sheet| sheet.name == self.sheet);
        let Some(from) = from.and_then(|at| Seen::of(seen.session, at)) else {
            return Ok((changes, note));
        };
        let readers = names.iter().flat_map(|name| seen.session.readers(&self.sheet, name));
        let asking = readers.filter(|(sheet, reader)| *sheet != self.sheet || !names.contains(reader));
        let mut asking: Vec<Arc<str>> = asking.map(|(_, reader)| reader).collect();
        asking.sort();
        asking.dedup();
        let stay = (!asking.is_empty()).then(|| {
            let (they, them) = if names.len() == 1 {
                ("It stays", "it")
            } else {
                ("They stay", "them")
            };
            let ask = if asking.len() == 1 { "asks" } else { "ask" };
            format!("{they} in {} as well: {} {ask} for {them}.", self.sheet, named(&asking))
        });
        if stay.is_none() {
            let lines = names.iter().filter_map(|name| from.line(name));
            let mut places: Vec<usize> = lines.map(|(at, _)| at).collect();
            places.sort_unstable();
            changes.extend(places.into_iter().rev().map(|at| Change::DeleteLine {
                place: Place::Line(from.at, at),
            }));
        }
        let note = note.into_iter().chain(stay).collect::<Vec<_>>().join(" ");
        Ok((changes, Some(note).filter(|note| !note.is_empty())))
    }

    /// The first of the quantities that were moved.
    pub fn first(&self) -> Option<&Arc<str>> {
        match &self.what {
            What::Quantities(names) => names.first(),
            What::Items(..) => None,
        }
    }
}

/// Copied lines as lines of their own: before the chosen one, in place of one that nothing was typed in, or behind the last. `None` where they
/// are no lines of such a sheet.
pub fn insert(seen: Seen<'_>, plan: &Plan, range: Range, lines: &Lines) -> Option<Made> {
    if many::makes_lines(seen, plan, range) {
        return lines.pasted(seen, None);
    }
    if plan.form == Form::List {
        return None;
    }
    let before = match before_line(seen, plan, range.0) {
        Ok(before) => before,
        Err(why) => return Some(Err(why)),
    };
    let made = lines.pasted(seen, Some(before))?;
    Some(made.map(|(mut changes, note)| {
        let fresh = plan.quantities.get(range.0.line).and_then(|at| seen.quantity(*at));
        if fresh.is_some_and(|quantity| is_fresh(seen, &quantity.name)) {
            let place = Place::Line(seen.at, before + changes.len());
            changes.push(Change::DeleteLine { place });
        }
        (changes, note)
    }))
}

/// Whether nothing was typed in a line yet, and nobody asks for it.
fn is_fresh(seen: Seen<'_>, name: &str) -> bool {
    let line = seen.line(name);
    line.is_some_and(|(_, line)| *line.text == format!("given {name}"))
        && seen.session.readers(&seen.sheet.name, name).is_empty()
}

/// The chosen quantities that have a line of their own.
fn quantities(seen: Seen<'_>, plan: &Plan, range: Range) -> Option<What> {
    let chosen = many::quantities(plan, range);
    let names = chosen.iter().filter_map(|at| {
        let name = &seen.quantity(*at)?.name;
        let (_, line) = seen.line(name)?;
        matches!(line.statement, Statement::Quantity(_)).then(|| name.clone())
    });
    Some(What::Quantities(names.collect())).filter(|what| !matches!(what, What::Quantities(names) if names.is_empty()))
}

/// The chosen cases of a sheet; `None` where other columns are chosen as well.
fn cases(seen: Seen<'_>, plan: &Plan, (first, last): Range) -> Option<Vec<usize>> {
    let chosen = plan.fields.get(first.column..=last.column)?.iter();
    let case = |field: &Field| match field {
        Field::Value(case) if seen.results.items.get(*case).is_some_and(|name| !name.is_empty()) => Some(*case),
        _ => None,
    };
    chosen.map(case).collect()
}

/// Where in its sheet a line is put that goes before the chosen one, or behind the last.
fn before_line(seen: Seen<'_>, plan: &Plan, at: At) -> Result<usize, String> {
    let place = match plan.form {
        Form::Sheet => at.line,
        Form::List => at.column,
    };
    let Some(quantity) = plan.quantities.get(place).and_then(|at| seen.quantity(*at)) else {
        return Ok(seen.sheet.lines.len());
    };
    let line = seen.line(&quantity.name).map(|(line, _)| line);
    line.ok_or_else(|| format!("{} has no line of its own; choose another one.", quantity.name))
}

/// From where to where each of some goes, one after the other, so that all stand before a place among so many.
fn steps(chosen: &[usize], before: usize) -> Vec<(usize, usize)> {
    let (above, below): (Vec<usize>, Vec<usize>) = chosen.iter().partition(|at| **at < before);
    // Each that goes on draws those behind it a place back.
    let on = above.iter().enumerate().map(|(number, at)| (at - number, before - 1));
    let back = below.iter().enumerate().map(|(number, at)| (*at, before + number));
    on.chain(back).filter(|(from, to)| from != to).collect()
}

fn move_lines(seen: Seen<'_>, plan: &Plan, first: At, names: &[Arc<str>]) -> Made {
    let before = before_line(seen, plan, first)?;
    let mut chosen: Vec<usize> = names
        .iter()
        .filter_map(|name| seen.line(name))
        .map(|(at, _)| at)
        .collect();
    chosen.sort_unstable();
    let moves = steps(&chosen, before).into_iter().map(|(from, to)| Change::MoveLine {
        place: Place::Line(seen.at, from),
        to,
    });
    Ok((moves.collect(), None))
}

fn move_rows(seen: Seen<'_>, plan: &Plan, first: At, rows: &[usize]) -> Made {
    if plan.order.is_some() {
        return Err("Rows are moved in the order of the list; show it so first.".to_owned());
    }
    if first.line < plan.heads() {
        return Err("Choose the row that they are to stand before.".to_owned());
    }
    let before = plan.item(first.line).unwrap_or(plan.items);
    let moves = steps(rows, before).into_iter().map(|(row, to)| Change::MoveRow {
        list: seen.sheet.name.clone(),
        row,
        to,
    });
    Ok((moves.collect(), None))
}

fn move_cases(seen: Seen<'_>, plan: &Plan, first: At, cases: &[usize]) -> Made {
    let Some(Field::Value(at)) = plan.fields.get(first.column) else {
        return Err("Choose a value of the case whose place it is to take.".to_owned());
    };
    // Behind the last case there is no place to choose.
    let goes_on = cases.iter().all(|case| case < at);
    let moves = steps(cases, at + usize::from(goes_on)).into_iter();
    let moves = moves.map(|(case, to)| Change::MoveCase {
        sheet: seen.sheet.name.clone(),
        case,
        to,
    });
    Ok((moves.collect(), None))
}

#[cfg(test)]
mod tests {
    use super::steps;

    /// By hand: what a list becomes that is moved step by step.
    #[test]
    fn what_is_moved_stands_before_the_place_in_its_order() {
        for (chosen, before, wanted) in [
            (&[1][..], 3, "acbde"),
            (&[3], 1, "adbce"),
            (&[0, 1], 5, "cdeab"),
            (&[3, 4], 0, "deabc"),
            (&[0, 4], 2, "baecd"),
            (&[2], 2, "abcde"),
            (&[2], 3, "abcde"),
            (&[1, 2], 2, "abcde"),
        ] {
            let mut letters: Vec<char> = "abcde".chars().collect();
            for (from, to) in steps(chosen, before) {
                let letter = letters.remove(from);
                letters.insert(to, letter);
            }
            assert_eq!(letters.iter().collect::<String>(), wanted, "{chosen:?} before {before}");
        }
    }
}
