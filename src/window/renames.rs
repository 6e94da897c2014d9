//! Names that changed between two states of a workbook, so that what is kept by name goes on under the new one.
//!
//! Always: a name counts as changed where another one stands in its place and it is found nowhere else; whoever changed it, and
//! whether forwards or back, does not matter.
//! Not known here: what is kept by name.

use std::sync::Arc;

use crate::recalc::Results;

/// The names of the sheets and of their quantities, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Names(Vec<(Arc<str>, Vec<Arc<str>>)>);

/// A name that changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Renamed {
    /// A sheet: from, to.
    Sheet(Arc<str>, Arc<str>),
    /// A quantity: the sheet by its new name, from, to.
    Quantity(Arc<str>, Arc<str>, Arc<str>),
}

impl Names {
    /// Of results.
    pub fn of(results: &Results) -> Names {
        let sheets = results.sheets.iter().map(|sheet| {
            let quantities = sheet.quantities.iter().map(|quantity| quantity.name.clone());
            (sheet.name.clone(), quantities.collect())
        });
        Names(sheets.collect())
    }

    /// What has another name by now: sheets first, then quantities.
    pub fn changed(&self, now: &Names) -> Vec<Renamed> {
        if self.0.len() != now.0.len() {
            return Vec::new();
        }
        let pairs = || self.0.iter().zip(&now.0);
        let old: Vec<&Arc<str>> = self.0.iter().map(|(name, _)| name).collect();
        let new: Vec<&Arc<str>> = now.0.iter().map(|(name, _)| name).collect();
        let sheets = another(&old, &new)
            .into_iter()
            .map(|(from, to)| Renamed::Sheet(from, to));
        let quantities = pairs().flat_map(|((_, old), (sheet, new))| {
            let (old, new): (Vec<&Arc<str>>, Vec<&Arc<str>>) = (old.iter().collect(), new.iter().collect());
            let changed = another(&old, &new).into_iter();
            changed.map(move |(from, to)| Renamed::Quantity(sheet.clone(), from, to))
        });
        sheets.chain(quantities).collect()
    }
}

/// Names that stand in the place of others, of which one list has none of the other's.
fn another(old: &[&Arc<str>], new: &[&Arc<str>]) -> Vec<(Arc<str>, Arc<str>)> {
    if old.len() != new.len() {
        return Vec::new();
    }
    let pairs = old.iter().zip(new).filter(|(from, to)| from != to);
    pairs
        .filter(|(from, to)| !new.contains(from) && !old.contains(to))
        .map(|(from, to)| ((*from).clone(), (*to).clone()))
        .collect()
}

/// A condition with one name for another; what stands in quotes stays.
pub fn in_condition(text: &str, from: &str, to: &str) -> String {
    let is_name = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == '′';
    let mut out = String::with_capacity(text.len());
    let mut word = String::new();
    let mut quoted = false;
    for letter in text.chars().map(Some).chain([None]) {
        if let Some(letter) = letter.filter(|letter| is_name(*letter) && !quoted) {
            word.push(letter);
            continue;
        }
        out.push_str(if word == from { to } else { &word });
        word.clear();
        quoted ^= letter == Some('"');
        out.extend(letter);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(sheets: &[(&str, &[&str])]) -> Names {
        let all = |names: &[&str]| names.iter().map(|name| Arc::from(*name)).collect();
        Names(
            sheets
                .iter()
                .map(|(sheet, names)| (Arc::from(*sheet), all(names)))
                .collect(),
        )
    }

    #[test]
    fn only_a_name_that_stands_for_another_is_a_changed_one() {
        let was = names(&[("a", &["x", "y"]), ("b", &["P"])]);
        let quantity = Renamed::Quantity("a".into(), "y".into(), "z".into());
        assert_eq!(was.changed(&names(&[("a", &["x", "z"]), ("b", &["P"])])), [quantity]);
        let sheet = Renamed::Sheet("b".into(), "c".into());
        assert_eq!(was.changed(&names(&[("a", &["x", "y"]), ("c", &["P"])])), [sheet]);
        // Moved, made or gone is not renamed.
        for other in [
            names(&[("a", &["y", "x"]), ("b", &["P"])]),
            names(&[("a", &["x", "y", "z"]), ("b", &["P"])]),
            names(&[("b", &["P"]), ("a", &["x", "y"])]),
            names(&[("a", &["x", "y"])]),
        ] {
            assert_eq!(was.changed(&other), []);
        }
    }

    #[test]
    fn a_condition_goes_on_under_the_new_name() {
        assert_eq!(
            in_condition("load > 90 % and tag = \"load\" or my_load = load", "load", "m"),
            "m > 90 % and tag = \"load\" or my_load = m"
        );
    }
}
