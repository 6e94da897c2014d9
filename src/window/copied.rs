//! Lines of a worked sheet that are copied as lines: with their formulas, kinds and sources, and the cases they are worked for.
//!
//! Always: what is worked goes on being worked where it is pasted; a name that is taken there is another one, in its own lines too.
//! Not known here: the clipboard, the screen.

use std::sync::Arc;

use super::arrange::{At, Plan};
use super::many::quantities;
use super::pasted::{self, Made};
use super::spot::{Field, Seen, fresh};
use crate::language::syntax::{Expr, Node};
use crate::workbook::change::{Change, Place};
use crate::workbook::text::read_statement;
use crate::workbook::{Form, Statement, formulas_of};

/// Lines that were copied whole.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lines {
    /// The line that names the cases, where the sheet has some.
    cases: Option<String>,
    /// How many cases there are.
    count: usize,
    /// Name and text of each.
    lines: Vec<(Arc<str>, String)>,
}

/// The chosen lines of a worked sheet; `None` where not the symbol and every value of them is chosen.
pub fn lines(seen: Seen<'_>, plan: &Plan, (first, last): (At, At)) -> Option<Lines> {
    let fields = plan
        .fields
        .get(first.column..=last.column.min(plan.fields.len().checked_sub(1)?))?;
    let count = seen.results.items.len();
    let whole = fields.contains(&Field::Symbol) && (0..count).all(|case| fields.contains(&Field::Value(case)));
    if seen.results.form != Form::Sheet || !whole {
        return None;
    }
    let names_cases = |statement: &Statement| matches!(statement, Statement::Cases(_) | Statement::CasesOver { .. });
    let cases = seen.sheet.lines.iter().find(|line| names_cases(&line.statement));
    let chosen = quantities(plan, (first, last));
    let lines = chosen.iter().filter_map(|at| {
        let name = &seen.quantity(*at)?.name;
        let (_, line) = seen.line(name)?;
        matches!(line.statement, Statement::Quantity(_)).then(|| (name.clone(), line.text.to_string()))
    });
    Some(Lines {
        cases: cases.map(|line| line.text.to_string()),
        count,
        lines: lines.collect(),
    })
}

/// For how many cases a line has values of their own; 1 where it has one for all.
fn cases_of(text: &str) -> usize {
    match read_statement(text).0.statement {
        Statement::Quantity(quantity) => quantity.values.len().max(1),
        _ => 1,
    }
}

impl Lines {
    /// Lines that were not copied here: name and text of each, no name for one that is no quantity.
    pub fn of(lines: Vec<(Arc<str>, String)>) -> Lines {
        let count = lines.iter().map(|(_, text)| cases_of(text)).max().unwrap_or(1);
        Lines {
            cases: None,
            count,
            lines,
        }
    }

    /// The same as new lines of a worked sheet, before a statement of it or at its end, or in place of the lone line of one that holds nothing;
    /// `None` where its cases are others.
    pub fn pasted(&self, seen: Seen<'_>, before: Option<usize>) -> Option<Made> {
        let there = seen.results.items.iter().filter(|name| !name.is_empty()).count();
        let of_cases = self.lines.iter().any(|(_, text)| cases_of(text) > 1);
        let brings = self.cases.as_ref().filter(|_| there == 0 && pasted::is_empty(seen));
        if of_cases && brings.is_none() && there.max(1) != self.count {
            return None;
        }
        let mut changes = Vec::new();
        let mut place = before.unwrap_or(seen.sheet.lines.len());
        let lone = pasted::lone(seen);
        if let Some(line) = lone {
            let line = Place::Line(seen.at, line);
            changes.push(Change::DeleteLine { place: line });
            place = place.saturating_sub(1);
        }
        let mut taken: Vec<Arc<str>> = Vec::new();
        if lone.is_none() {
            taken.extend(seen.results.quantities.iter().map(|known| known.name.clone()));
        }
        // A name that stands twice in the copy is that of the first; the others have names of their own.
        let mut others: Vec<(Arc<str>, Arc<str>)> = Vec::new();
        let mut again: Vec<(Arc<str>, Arc<str>)> = Vec::new();
        let mut own: Vec<Option<Arc<str>>> = Vec::new();
        for (at, (name, _)) in self.lines.iter().enumerate() {
            let new = (!name.is_empty()).then(|| fresh(name, |name| taken.iter().any(|known| **known == *name)));
            taken.extend(new.clone());
            let new = new.filter(|new| new != name);
            if let Some(new) = &new {
                let is_first = !self.lines.iter().take(at).any(|(before, _)| before == name);
                let list = if is_first { &mut others } else { &mut again };
                list.push((name.clone(), new.clone()));
            }
            own.push(new);
        }
        let lines = self.lines.iter().zip(&own);
        let lines = lines.map(|((_, text), own)| renamed(text, own.as_ref(), &others));
        for text in brings.cloned().into_iter().chain(lines) {
            changes.push(Change::InsertLine {
                place: Place::Line(seen.at, place),
                before: "".into(),
                text: text.into(),
            });
            place += 1;
        }
        let of_again = listed(&again).map(|names| format!("What stood twice in it has a name of its own: {names}."));
        let note: Vec<String> = names_taken(&others).into_iter().chain(of_again).collect();
        Some(Ok((changes, Some(note.join(" ")).filter(|note| !note.is_empty()))))
    }
}

fn listed(names: &[(Arc<str>, Arc<str>)]) -> Option<String> {
    let names: Vec<String> = names.iter().map(|(from, to)| format!("{from} is {to}")).collect();
    (!names.is_empty()).then(|| names.join(", "))
}

/// What is said of names that were taken where something was pasted.
pub(super) fn names_taken(others: &[(Arc<str>, Arc<str>)]) -> Option<String> {
    listed(others).map(|names| format!("Names that were taken here are others now: {names}."))
}

/// The line of a quantity with other names: its own, where it has another one, and those it reads.
pub(super) fn renamed(text: &str, own: Option<&Arc<str>>, others: &[(Arc<str>, Arc<str>)]) -> String {
    let (line, _) = read_statement(text);
    let Statement::Quantity(quantity) = &line.statement else {
        return text.to_owned();
    };
    let other = |name: &str| {
        others
            .iter()
            .find(|(from, _)| **from == *name)
            .map(|(_, to)| to.clone())
    };
    let mut edits: Vec<(usize, usize, Arc<str>)> = Vec::new();
    if let Some(to) = own.cloned() {
        let word = text.find(char::is_whitespace).unwrap_or(0);
        let at = text
            .get(word..)
            .and_then(|rest| rest.find(&*quantity.name))
            .map(|at| word + at);
        edits.extend(at.map(|at| (at, at + quantity.name.len(), to)));
    }
    for formula in formulas_of(&line.statement) {
        named(&formula.tree, &mut |name, tree| {
            let at = |place: u32| (formula.at + place) as usize;
            edits.extend(other(name).map(|to| (at(tree.span.start), at(tree.span.end), to)));
        });
    }
    edits.sort_by_key(|(from, ..)| std::cmp::Reverse(*from));
    let mut out = text.to_owned();
    for (from, to, name) in edits {
        if out.get(from..to).is_some() {
            out.replace_range(from..to, &name);
        }
    }
    out
}

/// Walks the names that a formula reads.
fn named(tree: &Expr, found: &mut dyn FnMut(&str, &Expr)) {
    if let Node::Name(name) = &tree.node {
        found(name, tree);
    }
    for part in tree.parts() {
        named(part, found);
    }
}
