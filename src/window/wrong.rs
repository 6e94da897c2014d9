//! Texts that cannot stand where they were typed: they stay at their place, marked, until they are mended or put away.
//!
//! Always: what the workbook has at such a place stays as it was; a place has one text; one whose quantity or row goes, goes with it.
//! Not known here: the screen, why a text cannot stand.

use std::sync::Arc;

use super::renames::Renamed;
use super::spot::{Field, NEW, Seen, Spot};
use crate::session::Session;

/// A text that is not taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    sheet: Arc<str>,
    /// `None`: the open line.
    quantity: Option<Arc<str>>,
    field: Field,
    /// The case or row of a value, by name.
    item: Arc<str>,
    /// As typed.
    pub text: String,
    /// Why not.
    pub why: String,
    /// How often the workbook had changed then.
    since: u64,
}

/// All of a workbook, the last one last.
#[derive(Clone, Debug, Default)]
pub struct Wrongs(Vec<Wrong>);

impl Wrong {
    fn of(seen: Seen<'_>, spot: Spot) -> Option<Wrong> {
        let item = match spot.field {
            Field::Value(item) => seen.results.items.get(item).cloned(),
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
            text: String::new(),
            why: String::new(),
            since: 0,
        })
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
        let items = &seen.results.items;
        let field = match self.field {
            // The same row by its name, where rows were put in before it.
            Field::Value(at) if !self.item.is_empty() && items.get(at).is_some_and(|item| *item != self.item) => {
                Field::Value(items.iter().position(|item| *item == self.item)?)
            }
            field => field,
        };
        Some(Spot { quantity, field })
    }
}

impl Wrongs {
    /// Keeps a text at its place, in the stead of one that was there.
    pub fn keep(&mut self, seen: Seen<'_>, spot: Spot, text: String, why: String, since: u64) {
        let _ = self.put_away(seen, spot);
        self.0.extend(Wrong::of(seen, spot).map(|place| Wrong {
            text,
            why,
            since,
            ..place
        }));
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

    /// How many stand in a sheet.
    pub fn count(&self, sheet: &str) -> usize {
        self.0.iter().filter(|wrong| &*wrong.sheet == sheet).count()
    }

    /// Puts the text of a place away.
    pub fn put_away(&mut self, seen: Seen<'_>, spot: Spot) -> Option<Wrong> {
        let at = self.0.iter().position(|wrong| wrong.spot(seen) == Some(spot))?;
        Some(self.0.remove(at))
    }

    /// Takes the last one, where nothing was changed since, or nothing else can be taken back.
    pub fn take_last(&mut self, changes: u64, none_else: bool) -> Option<Wrong> {
        self.0.pop_if(|wrong| none_else || wrong.since == changes)
    }

    /// Those of the open line of a sheet are those of the quantity that it has become.
    pub fn become_of(&mut self, sheet: &str, quantity: &Arc<str>) {
        for wrong in self.0.iter_mut().filter(|wrong| &*wrong.sheet == sheet) {
            if wrong.quantity.is_none() {
                wrong.quantity = Some(quantity.clone());
            }
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

    /// Forgets those whose place is gone.
    pub fn keep_those(&mut self, stands: impl Fn(&Wrong) -> bool) {
        self.0.retain(stands);
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
