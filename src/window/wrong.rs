//! Texts that cannot stand where they were typed: they stay at their place, marked, until they are mended or put away.
//!
//! Always: what the workbook has at such a place stays as it was; a place has one text; one whose place goes or is given another text,
//! goes with it, and comes back with it.
//! Not known here: the screen, why a text cannot stand.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::renames::Renamed;
use super::spot::{Field, NEW, Seen, Spot};
use crate::session::Session;
use crate::workbook::Form;

/// A text that is not taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    sheet: Arc<str>,
    /// `None`: the open line.
    quantity: Option<Arc<str>>,
    field: Field,
    /// The case or row of a value, by name.
    item: Arc<str>,
    /// How many cases or rows there were.
    of: usize,
    /// What the workbook has at its place.
    had: String,
    /// As typed.
    pub text: String,
    /// Why not.
    pub why: String,
}

/// All of a workbook, the last one last.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wrongs(Vec<Wrong>);

/// What is worked from a place whose text is not taken in, by sheet, name, and case or row where it is one alone: which text.
#[derive(Clone, Debug, Default)]
pub struct Resting(BTreeMap<Rests, Arc<str>>);

/// What is said of a value that rests on such a text.
pub fn worked_before(text: &str) -> String {
    format!("{text}: this is worked from what stood there before")
}

/// Quantities, by sheet and name.
pub type Named = BTreeSet<(Arc<str>, Arc<str>)>;

/// A sheet, a quantity of it, and the item where not all rest on it.
type Rests = (Arc<str>, Arc<str>, Option<usize>);

impl Resting {
    /// Which text a value would rest on.
    pub fn at(&self, sheet: &Arc<str>, name: &Arc<str>, item: usize) -> Option<&str> {
        if self.0.is_empty() {
            return None;
        }
        let of = |item| self.0.get(&(sheet.clone(), name.clone(), item));
        of(Some(item)).or_else(|| of(None)).map(|words| &**words)
    }
}

impl Wrong {
    fn of(seen: Seen<'_>, spot: Spot) -> Option<Wrong> {
        let items = &seen.results.items;
        let item = match spot.field {
            Field::Value(item) => items.get(item).cloned(),
            _ => None,
        };
        Some(Wrong {
            sheet: seen.results.name.clone(),
            quantity: match spot.quantity {
                NEW => None,
                at => Some(seen.quantity(at)?.name.clone()),
            },
            field: spot.field,
            item: item.unwrap_or_default(),
            of: items.len(),
            had: seen.typed(spot),
            text: String::new(),
            why: String::new(),
        })
    }

    /// What stands where, in words.
    fn in_short(&self) -> Option<String> {
        let at = self.quantity.as_ref()?;
        Some(format!("`{}` at {at} is not taken in", self.text.trim()))
    }

    /// Where it stands; `None` in another sheet, and where its place is gone.
    pub fn spot(&self, seen: Seen<'_>) -> Option<Spot> {
        if self.sheet != seen.results.name {
            return None;
        }
        let quantity = match &self.quantity {
            None => NEW,
            Some(name) => seen.results.quantities.iter().position(|known| known.name == *name)?,
        };
        let field = self.field;
        Some(Spot { quantity, field })
    }

    /// Goes along with the workbook that has changed; `false` where its place is gone, or another text stands there now.
    fn goes_along(&mut self, session: &Session, renamed: bool) -> bool {
        let mut sheets = session.results().sheets.iter();
        let at = sheets.position(|sheet| sheet.name == self.sheet);
        let Some(seen) = at.and_then(|at| Seen::of(session, at)) else {
            return false;
        };
        if !self.keeps_item(seen) {
            return false;
        }
        let Some(spot) = self.spot(seen) else { return false };
        let has = seen.typed(spot);
        // A formula that goes by another name is the same one.
        let is_same = renamed || self.had == has;
        self.had = has;
        is_same
    }

    /// Stays with its case or row, whatever was put in before it, and whatever name that has by now.
    fn keeps_item(&mut self, seen: Seen<'_>) -> bool {
        let items = &seen.results.items;
        let was = std::mem::replace(&mut self.of, items.len());
        let Field::Value(at) = self.field else { return true };
        let there = items.get(at);
        let is_open_row = at == was && seen.results.form == Form::List;
        let now = if there == Some(&self.item) {
            Some(at)
        } else if is_open_row && there.is_none() {
            Some(items.len())
        } else {
            let named = items.iter().enumerate().filter(|(_, item)| !item.is_empty());
            let alike = named.filter(|(_, item)| **item == self.item).map(|(item, _)| item);
            let stays = self.item.is_empty() || was == items.len();
            alike
                .min_by_key(|item| item.abs_diff(at))
                .or_else(|| there.filter(|_| stays).map(|_| at))
        };
        let Some(now) = now else { return false };
        self.field = Field::Value(now);
        self.item = items.get(now).cloned().unwrap_or_default();
        true
    }
}

impl Wrongs {
    /// Keeps a text at its place, in the stead of one that was there.
    pub fn keep(&mut self, seen: Seen<'_>, spot: Spot, text: String, why: String) {
        self.put_away(seen, spot);
        self.0
            .extend(Wrong::of(seen, spot).map(|place| Wrong { text, why, ..place }));
    }

    /// The text of a place.
    pub fn at(&self, seen: Seen<'_>, spot: Spot) -> Option<&Wrong> {
        self.0.iter().find(|wrong| wrong.spot(seen) == Some(spot))
    }

    /// Those of a sheet, with their places.
    pub fn here(&self, seen: Seen<'_>) -> Vec<(Spot, Wrong)> {
        let places = self
            .0
            .iter()
            .filter_map(|wrong| Some((wrong.spot(seen)?, wrong.clone())));
        places.collect()
    }

    /// All of a workbook: where each stands, what it is, why it cannot stand there.
    pub fn told(&self, session: &Session) -> Vec<(usize, Spot, String, String)> {
        if self.0.is_empty() {
            return Vec::new();
        }
        let sheets = (0..session.results().sheets.len()).filter_map(|at| Seen::of(session, at));
        let told = sheets.flat_map(|seen| {
            self.here(seen).into_iter().map(move |(spot, wrong)| {
                let at = seen
                    .place_in_words(spot)
                    .map_or(String::new(), |at| format!(" at {at}"));
                (seen.at, spot, format!("`{}`{at}", wrong.text.trim()), wrong.why)
            })
        });
        told.collect()
    }

    /// What is worked from places that have one.
    pub fn resting(&self, session: &Session) -> Resting {
        let mut out = Resting::default();
        for wrong in &self.0 {
            let item = match wrong.field {
                Field::Value(item) => Some(item),
                Field::Formula => None,
                _ => continue,
            };
            let Some(from) = wrong.quantity.clone() else { continue };
            let Some(words) = wrong.in_short() else { continue };
            let words: Arc<str> = words.into();
            let mut open = vec![(wrong.sheet.clone(), from, item)];
            while let Some((sheet, name, item)) = open.pop() {
                for (there, reader) in session.readers(&sheet, &name) {
                    // Beside it the same case or row is worked from it; elsewhere all of them.
                    let item = item.filter(|_| there == sheet);
                    let reader = (there, reader, item);
                    if !out.0.contains_key(&reader) {
                        let _ = out.0.insert(reader.clone(), words.clone());
                        open.push(reader);
                    }
                }
            }
        }
        out
    }

    /// The first at one of some quantities, by sheet and name, in words; of the sheet that asks only those of the item that it asks for.
    pub fn under(&self, quantities: &Named, (sheet, item): (&str, usize)) -> Option<String> {
        let is_under = |wrong: &&Wrong| {
            let of_item = match wrong.field {
                Field::Value(at) => *wrong.sheet != *sheet || at == item,
                Field::Formula => true,
                _ => false,
            };
            let name = wrong.quantity.as_ref();
            of_item && name.is_some_and(|name| quantities.contains(&(wrong.sheet.clone(), name.clone())))
        };
        self.0.iter().find(is_under)?.in_short()
    }

    /// How many stand in a sheet.
    pub fn count(&self, sheet: &str) -> usize {
        self.0.iter().filter(|wrong| &*wrong.sheet == sheet).count()
    }

    /// Puts the text of a place away.
    pub fn put_away(&mut self, seen: Seen<'_>, spot: Spot) {
        self.put_away_those(seen, |at| at == spot);
    }

    /// Puts the texts of some places of a sheet away.
    pub fn put_away_those(&mut self, seen: Seen<'_>, goes: impl Fn(Spot) -> bool) {
        self.0.retain(|wrong| !wrong.spot(seen).is_some_and(&goes));
    }

    /// The first that others lack.
    pub fn beside<'a>(&'a self, others: &Wrongs) -> Option<&'a Wrong> {
        self.0.iter().find(|wrong| !others.0.contains(wrong))
    }

    /// Goes along with the workbook that has changed: those whose place is gone, or has another text by now, go.
    pub fn go_along(&mut self, session: &Session, renamed: bool) {
        self.0.retain_mut(|wrong| wrong.goes_along(session, renamed));
    }

    /// Those of the open line of a sheet are those of the quantity that it has become, the last one.
    pub fn become_of_last(&mut self, seen: Seen<'_>) {
        let Some((quantity, made)) = seen.results.quantities.iter().enumerate().next_back() else {
            return;
        };
        let here = self.0.iter_mut().filter(|wrong| wrong.sheet == seen.results.name);
        for wrong in here.filter(|wrong| wrong.quantity.is_none()) {
            wrong.quantity = Some(made.name.clone());
            let field = wrong.field;
            wrong.had = seen.typed(Spot { quantity, field });
        }
    }

    /// Goes along with a name.
    pub fn renamed(&mut self, change: &Renamed) {
        for wrong in &mut self.0 {
            match change {
                Renamed::Sheet(from, to) if wrong.sheet == *from => wrong.sheet = to.clone(),
                Renamed::Quantity(sheet, from, to)
                    if wrong.sheet == *sheet && wrong.quantity.as_ref() == Some(from) =>
                {
                    wrong.quantity = Some(to.clone());
                }
                _ => {}
            }
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
