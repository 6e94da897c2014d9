//! The journal: what was done, as patches of the text of the workbook.
//!
//! Always: applying the patches in order to the text as it was opened, in canonical form, gives the text as it is.

use serde::{Deserialize, Serialize};

use crate::workbook::change::{self, Change};
use crate::workbook::{Workbook, text};

/// A change of a text: some lines taken out, others put in their place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Patch {
    /// What was done, in a few words.
    pub label: String,
    /// The first line that changes, from 1.
    pub line: usize,
    /// Lines taken out.
    pub old: Vec<String>,
    /// Lines put in their place.
    pub new: Vec<String>,
}

impl Patch {
    /// The patch that leads from one text to another.
    pub fn between(label: &str, before: &str, after: &str) -> Patch {
        let old: Vec<&str> = before.split_inclusive('\n').collect();
        let new: Vec<&str> = after.split_inclusive('\n').collect();
        let same = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
        let rest = old.len().min(new.len()) - same;
        let tail = old
            .iter()
            .rev()
            .zip(new.iter().rev())
            .take(rest)
            .take_while(|(a, b)| a == b)
            .count();
        let cut = |lines: &[&str]| {
            lines
                .iter()
                .take(lines.len() - tail)
                .skip(same)
                .map(|line| (*line).to_owned())
                .collect()
        };
        Patch {
            label: label.to_owned(),
            line: same + 1,
            old: cut(&old),
            new: cut(&new),
        }
    }

    /// The text after it; `None` where it does not fit.
    pub fn apply(&self, text: &str) -> Option<String> {
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let from = self.line.checked_sub(1)?;
        let to = from.checked_add(self.old.len())?;
        if lines.get(from..to)? != self.old {
            return None;
        }
        let before = lines.get(..from)?.iter().copied();
        let after = lines.get(to..)?.iter().copied();
        Some(before.chain(self.new.iter().map(String::as_str)).chain(after).collect())
    }
}

/// The patches of what was done last to first, in the order they were done. They are found by taking everything back on a copy.
pub(super) fn patches(workbook: &Workbook, backs: &[(&str, &Change)]) -> Vec<Patch> {
    let mut workbook = workbook.clone();
    let mut after = text::write(&workbook);
    let mut out = Vec::new();
    for (label, back) in backs.iter().rev() {
        if change::apply(&mut workbook, back).is_err() {
            break;
        }
        let before = text::write(&workbook);
        out.push(Patch::between(label, &before, &after));
        after = before;
    }
    out.reverse();
    out
}
