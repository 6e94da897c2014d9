//! Tags that stand more than once in a list, as the workbook has it now.
//!
//! For: the rule of a tag that stands twice, asked again of what was typed or pasted since the list was read.
//! Always: tags are compared as reading compares them: whatever their case and the blanks around them. A step into a few cells is
//! followed without a look at all tags where none of them changed.
//! Not known here: what was read, and how it is told.

use std::collections::{BTreeSet, HashMap};
use std::hash::{BuildHasher, RandomState};

use rayon::prelude::*;

use super::list::given_of;
use super::reads::Reads;
use crate::workbook::{Cell, Rows};

/// The rows of a list by their tags.
#[derive(Clone, Debug, Default)]
pub struct Tags {
    state: RandomState,
    /// Of each row; none without a tag.
    keys: Vec<Option<u64>>,
    /// The rows of tags that stand more than once.
    twice: HashMap<u64, BTreeSet<usize>>,
}

/// The tag of a row.
pub fn tag_of(rows: &Rows, item: usize) -> Option<&str> {
    let at = place_of_tags(rows)?;
    match rows.rows.get(item)?.cells.get(at)? {
        Cell::Text(text) | Cell::Word(text) => Some(text.trim()).filter(|text| !text.is_empty()),
        _ => None,
    }
}

fn place_of_tags(rows: &Rows) -> Option<usize> {
    let name = given_of(Reads::Tag)?;
    rows.columns.iter().position(|column| **column == *name)
}

impl Tags {
    /// Of a list.
    pub fn of(rows: &Rows) -> Tags {
        let state = RandomState::new();
        let items = (0..rows.rows.len()).into_par_iter();
        let keys: Vec<Option<u64>> = items.map(|item| key(&state, rows, item)).collect();
        let mut sorted: Vec<(u64, usize)> = keys
            .iter()
            .enumerate()
            .filter_map(|(item, key)| Some(((*key)?, item)))
            .collect();
        sorted.par_sort_unstable();
        let groups = sorted.chunk_by(|one, next| one.0 == next.0);
        let twice = groups
            .filter(|group| group.len() > 1)
            .filter_map(|group| Some((group.first()?.0, group.iter().map(|(_, item)| *item).collect())));
        Tags {
            twice: twice.collect(),
            state,
            keys,
        }
    }

    /// The rows whose tags stand more than once.
    pub fn all(&self) -> impl Iterator<Item = usize> {
        self.twice.values().flatten().copied()
    }

    /// The other rows with the tag of a row, in order.
    pub fn others(&self, rows: &Rows, item: usize) -> Vec<usize> {
        let group = self.keys.get(item).copied().flatten();
        let Some(group) = group.and_then(|key| self.twice.get(&key)) else {
            return Vec::new();
        };
        let upper = |item: usize| tag_of(rows, item).map(str::to_uppercase);
        let own = upper(item);
        let others = group.iter().copied().filter(|other| *other != item);
        others.filter(|other| upper(*other) == own).collect()
    }

    /// Cells of these rows were typed: which other rows had or have the tags of those whose tag is another one now.
    pub fn follow(&mut self, rows: &Rows, typed: &[usize]) -> Vec<usize> {
        let mut beside = BTreeSet::new();
        for item in typed {
            let now = key(&self.state, rows, *item);
            let Some(known) = self.keys.get_mut(*item).filter(|known| **known != now) else {
                continue;
            };
            let before = std::mem::replace(known, now);
            for key in [before, now].into_iter().flatten() {
                let all = self.keys.iter().enumerate();
                let group: BTreeSet<usize> = all
                    .filter(|(_, known)| **known == Some(key))
                    .map(|(item, _)| item)
                    .collect();
                beside.extend(&group);
                let _ = match group.len() {
                    0 | 1 => self.twice.remove(&key),
                    _ => self.twice.insert(key, group),
                };
            }
        }
        for item in typed {
            let _ = beside.remove(item);
        }
        beside.into_iter().collect()
    }
}

fn key(state: &RandomState, rows: &Rows, item: usize) -> Option<u64> {
    tag_of(rows, item).map(|tag| state.hash_one(tag.to_uppercase()))
}
