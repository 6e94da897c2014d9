//! What a formula may ask of its workbook while it is checked, and the memory of what it asked.
//!
//! For: the checker, and for knowing whether a formula has to be checked again: only when an answer has changed.
//! Not known here: which formula asks.

use std::cell::RefCell;
use std::sync::Arc;

use super::book::Book;
use crate::language::check::{Curved, Defined, Named, QuantityId, Scope, SheetId, Sort, Which};
use crate::language::syntax::Name;
use crate::language::work::Found;
use crate::workbook::Form;

/// Sorts settled so far, by handle.
pub(super) type Sorts = Vec<Option<Sort>>;

/// A question and its answer.
#[derive(Clone, Debug)]
pub(super) enum Asked {
    Quantity(Name, Option<Named>),
    Sheet(Name, Option<SheetId>),
    QuantityOf(SheetId, Name, Option<Named>),
    IsList(SheetId, bool),
    HasItem(SheetId, Which, Option<bool>),
    SameCase(SheetId, bool),
    Definition(Name, Option<Arc<str>>),
    Curve(Name, Option<String>),
    /// Nearest names: anything may change them.
    Names,
    Us(bool),
    SinglePhase(bool),
}

/// The scope of a formula in a sheet.
pub(super) struct Asking<'a> {
    pub book: &'a Book,
    pub sorts: &'a Sorts,
    /// Place of the sheet in the book.
    pub sheet: usize,
    pub asked: RefCell<Vec<Asked>>,
}

impl<'a> Asking<'a> {
    pub fn new(book: &'a Book, sorts: &'a Sorts, sheet: usize) -> Asking<'a> {
        Asking {
            book,
            sorts,
            sheet,
            asked: RefCell::new(Vec::new()),
        }
    }

    /// Whether every question still has the same answer.
    pub fn still(&self, asked: &[Asked]) -> bool {
        asked.iter().all(|asked| match asked {
            Asked::Quantity(name, answer) => same_named(&self.quantity(name), answer),
            Asked::Sheet(name, answer) => self.sheet(name) == *answer,
            Asked::QuantityOf(sheet, name, answer) => same_named(&self.quantity_of(*sheet, name), answer),
            Asked::IsList(sheet, answer) => self.is_list(*sheet) == *answer,
            Asked::HasItem(sheet, which, answer) => self.has_item(*sheet, which) == *answer,
            Asked::SameCase(sheet, answer) => self.same_case(*sheet) == *answer,
            Asked::Definition(name, answer) => definition_text(self.definition(name).as_ref()) == *answer,
            Asked::Curve(name, answer) => self.curve(name).as_ref().map(curve_text) == *answer,
            Asked::Names => false,
            Asked::Us(answer) => self.us_units() == *answer,
            Asked::SinglePhase(answer) => self.single_phase() == *answer,
        })
    }

    fn note(&self, asked: Asked) {
        if let Ok(mut list) = self.asked.try_borrow_mut() {
            list.push(asked);
        }
    }

    fn named(&self, id: QuantityId) -> Named {
        let sort = self.sorts.get(id.0 as usize).cloned().flatten();
        Named {
            id,
            sort: sort.unwrap_or(Sort::Unknown),
        }
    }

    fn own(&self) -> Option<&super::book::Sheet> {
        self.book.sheets.get(self.sheet)
    }
}

/// All that a definition says: parameters with kinds, and formula.
fn definition_text(defined: Option<&Defined>) -> Option<Arc<str>> {
    defined.map(|defined| {
        let parameters: Vec<String> = defined
            .parameters
            .iter()
            .map(|(name, kind)| format!("{name}:{}", kind.map_or("", |kind| kind.words())))
            .collect();
        Arc::from(format!("{}={}", parameters.join(","), defined.text))
    })
}

fn curve_text(curved: &Curved) -> String {
    format!("{curved:?}")
}

fn same_named(left: &Option<Named>, right: &Option<Named>) -> bool {
    match (left, right) {
        (None, None) => true,
        (Some(left), Some(right)) => left.id == right.id && same_sort(&left.sort, &right.sort),
        _ => false,
    }
}

/// Whether two sorts are the same for every reader.
pub(super) fn same_sort(left: &Sort, right: &Sort) -> bool {
    match (left, right) {
        (
            Sort::Quantity {
                dimension: d1,
                unit: u1,
                kind: k1,
                phasor: p1,
            },
            Sort::Quantity {
                dimension: d2,
                unit: u2,
                kind: k2,
                phasor: p2,
            },
        ) => d1 == d2 && u1.text == u2.text && k1 == k2 && p1 == p2,
        (Sort::Text, Sort::Text) | (Sort::Truth, Sort::Truth) | (Sort::Unknown, Sort::Unknown) => true,
        (Sort::Choice(a), Sort::Choice(b)) => a == b,
        _ => false,
    }
}

impl Scope for Asking<'_> {
    fn quantity(&self, name: &str) -> Option<Named> {
        let found = self
            .own()
            .and_then(|sheet| sheet.names.get(name))
            .map(|id| self.named(*id));
        self.note(Asked::Quantity(Arc::from(name), found.clone()));
        found
    }

    fn sheet(&self, name: &str) -> Option<SheetId> {
        let found = self
            .book
            .by_name
            .get(name)
            .and_then(|place| self.book.sheets.get(*place))
            .map(|sheet| sheet.id);
        self.note(Asked::Sheet(Arc::from(name), found));
        found
    }

    fn quantity_of(&self, sheet: SheetId, name: &str) -> Option<Named> {
        let found = self
            .book
            .sheet(sheet)
            .and_then(|sheet| sheet.names.get(name))
            .map(|id| self.named(*id));
        self.note(Asked::QuantityOf(sheet, Arc::from(name), found.clone()));
        found
    }

    fn is_list(&self, sheet: SheetId) -> bool {
        let list = self.book.sheet(sheet).is_some_and(|sheet| sheet.form == Form::List);
        self.note(Asked::IsList(sheet, list));
        list
    }

    fn has_item(&self, sheet: SheetId, which: &Which) -> Option<bool> {
        let has = self.book.sheet(sheet).and_then(|sheet| match which {
            Which::Key(key) => Some(sheet.items.find(key) != Found::None),
            Which::Row(number) => Some(*number >= 1 && *number as usize <= sheet.items.count()),
            _ => None,
        });
        self.note(Asked::HasItem(sheet, which.clone(), has));
        has
    }

    fn same_case(&self, sheet: SheetId) -> bool {
        let same = match (self.own(), self.book.sheet(sheet)) {
            (Some(own), Some(other)) => {
                own.id == other.id
                    || other.items.count() == 1
                    || (own.items.count() <= other.items.count()
                        && own
                            .items
                            .names
                            .iter()
                            .all(|name| matches!(other.items.find(name), Found::One(_))))
            }
            _ => false,
        };
        self.note(Asked::SameCase(sheet, same));
        same
    }

    fn definition(&self, name: &str) -> Option<Defined> {
        let found = self
            .own()
            .and_then(|sheet| sheet.definitions.get(name))
            .or_else(|| self.book.definitions.get(name))
            .map(|made| made.what.clone());
        self.note(Asked::Definition(Arc::from(name), definition_text(found.as_ref())));
        found
    }

    fn curve(&self, name: &str) -> Option<Curved> {
        let found = self
            .own()
            .and_then(|sheet| sheet.curves.get(name))
            .or_else(|| self.book.curves.get(name))
            .map(|made| made.what.clone());
        self.note(Asked::Curve(Arc::from(name), found.as_ref().map(curve_text)));
        found
    }

    fn names(&self) -> Vec<Name> {
        self.note(Asked::Names);
        let Some(sheet) = self.own() else {
            return Vec::new();
        };
        let quantities = sheet.entries.iter().map(|entry| entry.id);
        let mut names: Vec<Name> = quantities
            .filter_map(|id| self.book.entry(id))
            .filter(|entry| sheet.names.get(&entry.name) == Some(&entry.id))
            .map(|entry| entry.name.clone())
            .collect();
        let mut called: Vec<Name> = [&sheet.definitions, &self.book.definitions]
            .into_iter()
            .flat_map(|made| made.keys().cloned())
            .chain(
                [&sheet.curves, &self.book.curves]
                    .into_iter()
                    .flat_map(|made| made.keys().cloned()),
            )
            .collect();
        called.sort();
        names.extend(called);
        names
    }

    fn sheets(&self) -> Vec<Name> {
        self.note(Asked::Names);
        self.book.sheets.iter().map(|sheet| sheet.name.clone()).collect()
    }

    fn names_of(&self, sheet: SheetId) -> Vec<Name> {
        self.note(Asked::Names);
        match self.book.sheet(sheet) {
            Some(sheet) => sheet
                .entries
                .iter()
                .filter(|entry| sheet.names.get(&entry.name) == Some(&entry.id))
                .map(|entry| entry.name.clone())
                .collect(),
            None => Vec::new(),
        }
    }

    fn us_units(&self) -> bool {
        let us = self.own().is_some_and(|sheet| sheet.us);
        self.note(Asked::Us(us));
        us
    }

    fn single_phase(&self) -> bool {
        let single = self.own().is_some_and(|sheet| sheet.single_phase);
        self.note(Asked::SinglePhase(single));
        single
    }

    fn in_list(&self) -> bool {
        self.own().is_some_and(|sheet| sheet.form == Form::List)
    }
}
