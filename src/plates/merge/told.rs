//! What is told of a newer list, each with the words of its quantity.
//!
//! Not known here: in which order and how it is shown (`plates::report`).

use super::{named, quantity};
use crate::plates::changes::{Change, Stays};
use crate::plates::list::{MOTORS_IN_ROW, graded_by};
use crate::workbook::Sheet;

/// Tells of quantities by their titles.
pub(super) struct Teller<'a> {
    pub sheets: [&'a Sheet; 2],
}

impl Teller<'_> {
    /// A quantity in words: its title, else its name.
    fn title(&self, name: &str) -> String {
        if let Some(graded) = graded_by(name) {
            return format!("trust in {}", small(graded));
        }
        // Told of a motor by its tag there is no row at hand.
        if name == MOTORS_IN_ROW {
            return "number of motors".to_owned();
        }
        let lines = self.sheets.iter().filter_map(|sheet| quantity(named(sheet, name)?));
        let title = lines
            .filter_map(|line| line.title.as_deref())
            .find(|title| !title.is_empty());
        title.map_or_else(|| name.to_owned(), small)
    }

    /// A value that differs: what it was, what the newer list says, what stands now.
    pub fn value(&self, motor: &str, name: &str, [was, is, now]: [&str; 3], stays: Stays) -> Change {
        Change {
            title: self.title(name),
            was: was.to_owned(),
            is: is.to_owned(),
            kept: match stays {
                Stays::No => now.to_owned(),
                Stays::Typed => format!("{now}, typed since"),
                Stays::Unknown => format!("{now}, as the workbook had it; what was typed is not known"),
            },
            now: now.to_owned(),
            stays,
            ..plain(motor, name)
        }
    }

    /// A column that the newer list has not.
    pub fn column(&self, name: &str) -> Change {
        Change {
            title: self.title(name),
            was: "read".to_owned(),
            is: "not read".to_owned(),
            kept: "taken out".to_owned(),
            ..plain(name, "column")
        }
    }

    /// Something of a whole row.
    pub fn of_row(&self, motor: &str, kept: &str) -> Change {
        Change {
            kept: kept.to_owned(),
            ..plain(motor, "row")
        }
    }
}

/// A motor that the newer list brings.
pub(super) fn came(motor: &str, kept: &str) -> Change {
    Change {
        is: "in the newer list".to_owned(),
        kept: kept.to_owned(),
        ..plain(motor, "came")
    }
}

/// A motor that the newer list has no more.
pub(super) fn went(motor: &str, kept: &str) -> Change {
    Change {
        was: "in the earlier list".to_owned(),
        kept: kept.to_owned(),
        ..plain(motor, "went")
    }
}

fn plain(motor: &str, what: &str) -> Change {
    Change {
        motor: motor.to_owned(),
        what: what.to_owned(),
        title: String::new(),
        was: String::new(),
        is: String::new(),
        kept: String::new(),
        now: String::new(),
        stays: Stays::No,
    }
}

/// Within a line: `Rated power` as `rated power`, `IEC code` as it stands.
fn small(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(next)) if next.is_lowercase() => first.to_lowercase().chain(letters).collect(),
        _ => title.to_owned(),
    }
}
