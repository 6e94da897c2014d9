//! What a newer list has otherwise than the workbook that was made of an earlier one.
//!
//! Always: what went and what came is told first, then what tells a motor from others, its plate, its readings. What is the same in
//! many motors is one line.
//! Not known here: how it is found (`merge`).

use std::collections::HashMap;

use serde::Serialize;

use super::list::{About, about};

/// A difference between a workbook made from an earlier list and the newer list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// Tag, or row of the source.
    pub motor: String,
    /// `came`, `went`, `row`, `column`, or the quantity that changed.
    pub what: String,
    /// The quantity in words.
    #[serde(skip)]
    pub title: String,
    /// What the workbook had.
    pub was: String,
    /// What the newer list says.
    pub is: String,
    /// What stands in the workbook now, and why.
    pub kept: String,
    /// What stands in the workbook now.
    #[serde(skip)]
    pub now: String,
    /// Why that is.
    #[serde(skip)]
    pub stays: Stays,
}

/// Whether a value of the workbook stays.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Stays {
    /// The newer list's stands there.
    #[default]
    No,
    /// It was typed since.
    Typed,
    /// It is not known whether it was typed.
    Unknown,
}

/// So many motors with the same change are one line.
const ALIKE: usize = 4;
/// Motors that such a line names.
const NAMED: usize = 3;

impl Change {
    /// In words.
    pub fn in_words(&self) -> String {
        let motor = &self.motor;
        match self.what.as_str() {
            "came" if self.kept == "taken" => format!("{motor} came"),
            "came" | "went" | "row" => format!("{motor} {}: {}", self.what, self.kept),
            "column" => format!(
                "{}: no row of the newer list has it, and nothing was typed in it: the column was taken out",
                self.title
            ),
            _ => format!("{motor} {}: {}", self.title, self.of_value()),
        }
    }

    fn of_value(&self) -> String {
        let told = |text: &str| match text {
            "" => "nothing".to_owned(),
            // A cell that says why it has no value.
            text => match text.strip_prefix("refuse(\"").and_then(|text| text.strip_suffix("\")")) {
                Some(why) => format!("no value ({why})"),
                None => text.to_owned(),
            },
        };
        let (was, is) = (told(&self.was), told(&self.is));
        let typed = match self.now.as_str() {
            "" => "it was emptied here and stays empty".to_owned(),
            now if about(&self.what) == About::Trust => format!("{now} was set here and stays"),
            now => format!("{now} was typed here and stays"),
        };
        match self.stays {
            Stays::No => format!("{was} before, {is} now"),
            Stays::Typed if self.was == self.is => format!("{typed}; the list says {is} still"),
            Stays::Typed if self.was.is_empty() => format!("{typed}; the list says {is} now"),
            Stays::Typed => format!("{typed}; the list says {is} now, {was} before"),
            Stays::Unknown => format!(
                "{} stays, as the workbook has it; the list says {is}. What was typed is not known",
                told(&self.now)
            ),
        }
    }

    fn rank(&self) -> (u8, About) {
        match self.what.as_str() {
            "went" => (0, About::Itself),
            "came" => (1, About::Itself),
            "row" => (2, About::Itself),
            "column" => (3, About::Itself),
            name => (4, about(name)),
        }
    }

    /// Whether another motor has the same change.
    fn is_like(&self, other: &Change) -> bool {
        let of = |change: &Change| (change.rank().0, change.stays);
        of(self) == (4, Stays::No)
            && of(other) == of(self)
            && (&self.what, &self.was, &self.is) == (&other.what, &other.was, &other.is)
    }
}

/// Changes as they are told: what went and came first.
pub fn told(changes: &[Change]) -> Vec<String> {
    let mut sorted: Vec<&Change> = changes.iter().collect();
    sorted.sort_by_key(|change| change.rank());
    // What is alike comes where the first of them does.
    let mut groups: Vec<Vec<&Change>> = Vec::new();
    let mut places: HashMap<(&str, &str, &str), usize> = HashMap::new();
    for change in sorted {
        let key = (change.what.as_str(), change.was.as_str(), change.is.as_str());
        let known = places.get(&key).and_then(|place| groups.get_mut(*place));
        match known.filter(|group| group.first().is_some_and(|first| first.is_like(change))) {
            Some(group) => group.push(change),
            None => {
                let _ = places.insert(key, groups.len());
                groups.push(vec![change]);
            }
        }
    }
    groups
        .iter()
        .flat_map(|group| match group.as_slice() {
            [first, ..] if group.len() >= ALIKE => vec![of_many(first, group)],
            _ => group.iter().map(|change| change.in_words()).collect(),
        })
        .collect()
}

fn of_many(first: &Change, group: &[&Change]) -> String {
    let named: Vec<&str> = group.iter().take(NAMED).map(|change| change.motor.as_str()).collect();
    let more = group.len().saturating_sub(NAMED);
    format!(
        "{} of {} motors: {}: {} and {more} more",
        first.title,
        group.len(),
        first.of_value(),
        named.join(", ")
    )
}
