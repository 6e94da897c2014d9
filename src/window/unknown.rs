//! Cells of a table from elsewhere that say that nothing is known of a place: `n/a`, `-`, `tbd`.
//!
//! Always: what such a cell stands for is empty, and how many places lost a value by it is said. Where words may stand it is words like
//! others; what is worked stays worked.
//! Not known here: where a cell of the table goes.

use std::sync::Arc;

use super::many::named;
use super::spot::{Field, Seen, Spot};
use crate::fault::Fault;
use crate::language::check::Sort;
use crate::language::syntax::words::says_nothing;
use crate::language::syntax::{self, Expr, Node};
use crate::workbook::change::Change;
use crate::workbook::{Form, Role};

/// Words for it that are told at most.
const TOLD: usize = 3;

/// Whether a cell says that nothing is known of what it stands for. `knows`: which names a formula can read there.
pub(super) fn is_unknown(text: &str, knows: &dyn Fn(&str) -> bool) -> bool {
    if !says_nothing(text) {
        return false;
    }
    let (tree, faults) = syntax::parse(text);
    faults.iter().any(Fault::is_error) || !reads_all(&tree, knows)
}

/// The same of a cell that goes to a place with a value.
pub(super) fn is_unknown_there(seen: Seen<'_>, spot: Spot, text: &str) -> bool {
    let knows = |name: &str| seen.results.quantities.iter().any(|known| *known.name == *name);
    matches!(spot.field, Field::Value(_) | Field::Formula) && is_unknown(text, &knows)
}

/// Whether all names of a formula are known, as those of `n/a` are where there are n and a.
fn reads_all(tree: &Expr, knows: &dyn Fn(&str) -> bool) -> bool {
    match &tree.node {
        Node::Name(name) => knows(name),
        _ => tree.parts().into_iter().all(|part| reads_all(part, knows)),
    }
}

/// Places that a table says nothing is known of, for what is said of it.
#[derive(Debug, Default)]
pub(super) struct Unknown {
    /// So many there are.
    places: usize,
    /// So many had a value.
    emptied: usize,
    words: Vec<String>,
    /// Quantities whose own line gives a value where a row has none.
    given: Vec<Arc<str>>,
}

impl Unknown {
    /// One of a place that holds nothing yet.
    pub(super) fn add(&mut self, text: &str) {
        self.places += 1;
        let word = format!("`{}`", text.trim());
        if !self.words.contains(&word) {
            self.words.push(word);
        }
    }

    /// What empties a place of which a text says that nothing is known; `None` where it is a text like others, or the place is worked.
    pub(super) fn take(&mut self, seen: Seen<'_>, spot: Spot, text: &str) -> Option<Result<Vec<Change>, String>> {
        let known = seen.quantity(spot.quantity).filter(|known| known.role == Role::Given)?;
        let is_word = match &known.sort {
            Sort::Text => true,
            Sort::Choice(words) => words.iter().any(|word| word.eq_ignore_ascii_case(text.trim())),
            _ => false,
        };
        if is_word || !is_unknown_there(seen, spot, text) {
            return None;
        }
        self.add(text);
        let is_list = seen.results.form == Form::List;
        let has_own = match spot.field {
            Field::Value(item) => {
                let is_new = item >= known.cells.len();
                let lacks = || match seen.is_column(&known.name) {
                    true => seen.is_of_heading(known, item),
                    false => !known.own.contains(&item),
                };
                let of_line = is_list && (is_new || lacks());
                !of_line && !seen.typed(spot).is_empty()
            }
            // A value for all cases.
            _ => (0..known.cells.len().max(1)).any(|item| {
                let field = Field::Value(item);
                !seen.typed(Spot { field, ..spot }).is_empty()
            }),
        };
        let of_line = is_list
            && seen
                .inputs(&known.name)
                .is_some_and(|inputs| inputs.values.iter().any(Option::is_some));
        if of_line && !self.given.contains(&known.name) {
            self.given.push(known.name.clone());
        }
        if !has_own {
            return Some(Ok(Vec::new()));
        }
        self.emptied += 1;
        Some(seen.change(spot, ""))
    }

    /// The same of another part of the table.
    pub(super) fn join(&mut self, other: Unknown) {
        self.places += other.places;
        self.emptied += other.emptied;
        for word in other.words {
            if !self.words.contains(&word) {
                self.words.push(word);
            }
        }
        self.given.extend(other.given);
    }

    /// What is said of them.
    pub(super) fn told(&self) -> Option<String> {
        let words = self.words.get(..self.words.len().min(TOLD))?.join(" or ");
        let because = format!("as {words} says that nothing is known there");
        let told = match (self.places, self.emptied) {
            (0, _) => return None,
            (1, 1) => format!("1 place was emptied, {because}."),
            (1, _) => format!("1 place is empty, {because}."),
            (all, 0) => format!("{all} places are empty, {because}."),
            (all, emptied) if all == emptied => format!("{all} places were emptied, {because}."),
            (all, emptied) => format!("{all} places are empty, {because}; {emptied} of them had a value."),
        };
        Some(match self.given.as_slice() {
            [] => told,
            given => format!("{told} Such rows take what the line itself gives: {}.", named(given)),
        })
    }
}
