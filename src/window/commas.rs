//! Numbers with a decimal comma: how many stand in a sheet, and what writes them with a point.
//!
//! Always: a comma that may as well group digits (`1,234`) is never read without being asked for.
//! Not known here: the screen.

use std::collections::BTreeSet;

use super::comma::{numbers, readings};
use super::many::Made;
use super::spot::{Field, Seen, Spot};
use crate::fault::{Code, Stands};
use crate::session::Session;
use crate::workbook::change::Change;
use crate::workbook::{Cell, Form, Role};

/// How commas that may as well group digits are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubtful {
    /// They stay as they are.
    Stay,
    /// They stand before the decimals.
    Decimal,
    /// They group digits.
    Group,
}

/// The numbers of a sheet that are written with a decimal comma.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Commas {
    /// How many can be read in one way only.
    pub sure: usize,
    /// How many may be grouped digits as well.
    pub doubtful: usize,
    /// The first of those.
    pub example: String,
}

/// Whether a text is a value: a number with what belongs to it.
fn is_value(text: &str) -> bool {
    let begins = text.trim_start_matches(['-', '−', '+', ' ']);
    begins.starts_with(|first: char| first.is_ascii_digit()) && !text.contains(['(', '"'])
}

/// A value with a point in each of its numbers; `None` where nothing changes, and for what is no value.
fn written(text: &str, doubtful: Doubtful) -> Option<String> {
    is_value(text).then(|| numbers_written(text, doubtful))?
}

/// A formula with a point in each of its numbers; `None` where nothing changes. In the brackets of a function a comma parts what it takes.
fn formula_written(text: &str, doubtful: Doubtful) -> Option<String> {
    (!text.contains('"')).then(|| numbers_written(text, doubtful))?
}

fn numbers_written(text: &str, doubtful: Doubtful) -> Option<String> {
    let mut out = text.to_owned();
    let places: Vec<_> = numbers(text).collect();
    for place in places.into_iter().rev() {
        let read = match (readings(text.get(place.clone())?), doubtful) {
            _ if is_in_call(text.get(..place.start)?) => None,
            (Some((decimal, None)), _) | (Some((decimal, Some(_))), Doubtful::Decimal) => Some(decimal),
            (Some((_, grouped)), Doubtful::Group) => grouped,
            _ => None,
        };
        if let Some(read) = read {
            out.replace_range(place, &read);
        }
    }
    (out != text).then_some(out)
}

/// Whether what comes behind a text stands in the brackets of a function.
fn is_in_call(before: &str) -> bool {
    let mut open: Vec<bool> = Vec::new();
    let mut last = ' ';
    for letter in before.chars() {
        match letter {
            '(' => open.push(last.is_alphanumeric() || matches!(last, '_' | '′')),
            ')' => drop(open.pop()),
            _ => {}
        }
        last = letter;
    }
    open.contains(&true)
}

/// The numbers with a decimal comma that stand wrong, by sheet.
pub fn by_sheet(session: &Session) -> Vec<Commas> {
    let results = session.results();
    let mut all = vec![Commas::default(); results.sheets.len()];
    let mut lists = BTreeSet::new();
    let faults = results.faults.iter();
    for placed in faults.filter(|placed| placed.fault.code == Code::NUMBER_FORM) {
        match placed.stands {
            Stands::Line(at, _) => {
                let number = placed.fault.span.of(&placed.source);
                let before = placed.source.get(..placed.fault.span.start as usize).unwrap_or("");
                // What is read unasked is a value or a part of a formula of a quantity.
                let is_read = session.workbook().quantity_at(placed.stands).is_some() && !is_in_call(before);
                if let Some(found) = all.get_mut(at).filter(|_| is_read) {
                    found.add(number);
                }
            }
            // Of a column that has many only the first is told.
            Stands::Row(at, ..) => drop(lists.insert(at)),
            _ => {}
        }
    }
    for at in lists {
        let rows = session.workbook().sheets.get(at).and_then(|sheet| sheet.rows.as_ref());
        let Some(found) = all.get_mut(at) else { continue };
        let cells = rows.iter().flat_map(|rows| &rows.rows).flat_map(|row| row.cells.iter());
        for cell in cells {
            if let Cell::Formula(formula) = cell
                && formula.faulty
                && is_value(&formula.text)
            {
                let places = numbers(&formula.text);
                places.for_each(|place| found.add(formula.text.get(place).unwrap_or("")));
            }
        }
    }
    all
}

impl Commas {
    fn add(&mut self, number: &str) {
        match readings(number) {
            Some((_, None)) => self.sure += 1,
            Some((_, Some(_))) => {
                if self.doubtful == 0 {
                    number.clone_into(&mut self.example);
                }
                self.doubtful += 1;
            }
            None => {}
        }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.sure + self.doubtful
    }

    /// What is found, in words.
    pub fn words(&self) -> String {
        let values = |count: usize| match count {
            1 => "1 number has".to_owned(),
            more => format!("{more} numbers have"),
        };
        let also = match self.doubtful {
            0 => String::new(),
            _ if self.sure == 0 => ", which may group digits as well".to_owned(),
            more => format!("; {more} of them may group digits as well, such as {}", self.example),
        };
        format!("{} a decimal comma{also}.", values(self.count()))
    }

    /// What can be done about them: what it is called, and how the doubtful ones are read.
    pub fn offers(&self) -> Vec<(String, Doubtful)> {
        let values = |count: usize| match count {
            1 => "1 value".to_owned(),
            more => format!("{more} values"),
        };
        let mut out = Vec::new();
        if self.sure > 0 {
            let rest = if self.doubtful > 0 { ", leave the others" } else { "" };
            let words = format!("read {} with decimal comma{rest}", values(self.sure));
            out.push((words, Doubtful::Stay));
        }
        if self.doubtful > 0
            && let Some((decimal, Some(grouped))) = readings(&self.example)
        {
            let all = if self.sure > 0 { "all " } else { "" };
            for (read, doubtful) in [(decimal, Doubtful::Decimal), (grouped, Doubtful::Group)] {
                let words = format!("read {all}{}: {} is {read}", values(self.count()), self.example);
                out.push((words, doubtful));
            }
        }
        out
    }
}

/// Writes the values of a sheet that have a decimal comma with a point, in the units that are shown.
///
/// # Errors
/// Where there are none any more.
pub fn mended(seen: Seen<'_>, doubtful: Doubtful) -> Made {
    let mut changes = Vec::new();
    let sheet = &seen.sheet.name;
    for (at, quantity) in seen.results.quantities.iter().enumerate() {
        if quantity.role == Role::Work {
            let field = Field::Formula;
            let spot = Spot { quantity: at, field };
            if let Some(text) = formula_written(&seen.typed(spot), doubtful) {
                changes.extend(seen.change(spot, &text)?);
            }
            continue;
        }
        let Some(inputs) = seen.inputs(&quantity.name).filter(|_| quantity.role == Role::Given) else {
            continue;
        };
        let serves_all = seen.sheet.form == Form::Sheet && inputs.values.len() <= 1;
        let items = if serves_all { 1 } else { seen.results.items.len() };
        for item in 0..items {
            let spot = Spot {
                quantity: at,
                field: Field::Value(item),
            };
            let Some(text) = written(&seen.typed(spot), doubtful) else {
                continue;
            };
            let text = seen.read_here(spot, &text).unwrap_or(text).into();
            let quantity = quantity.name.clone();
            changes.push(match seen.sheet.form {
                Form::Sheet => Change::SetValue {
                    sheet: sheet.clone(),
                    quantity,
                    case: (!serves_all).then_some(item),
                    text,
                },
                Form::List => Change::SetCell {
                    list: sheet.clone(),
                    row: item,
                    quantity,
                    text,
                },
            });
        }
    }
    match changes.is_empty() {
        true => Err("No number has a decimal comma any more.".to_owned()),
        false => Ok((changes, None)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_a_formula_are_read_outside_calls() {
        for (text, read) in [
            ("P_sh*1,1", Some("P_sh*1.1")),
            ("(P + 1,5 kW) * 2,25", Some("(P + 1.5 kW) * 2.25")),
            ("largest(P, 1,5 kW) + 0,5 kW", Some("largest(P, 1,5 kW) + 0.5 kW")),
            ("x1 * 2", None),
            ("P_1,5 * 2", None),
            ("P * 1,234", None),
        ] {
            assert_eq!(formula_written(text, Doubtful::Stay).as_deref(), read, "{text}");
        }
    }

    /// What each number is by the habit of writing that has it; the doubtful ones have two.
    #[test]
    fn only_what_can_be_read_in_one_way_is_read_unasked() {
        for (text, stays, decimal, grouped) in [
            ("190,5", "190.5", "190.5", "190.5"),
            ("1,8 m/s", "1.8 m/s", "1.8 m/s", "1.8 m/s"),
            ("1.234,5 kW", "1234.5 kW", "1234.5 kW", "1234.5 kW"),
            ("1.234.567,25", "1234567.25", "1234567.25", "1234567.25"),
            ("1,234", "1,234", "1.234", "1234"),
            ("0,125", "0.125", "0.125", "0.125"),
            ("1234,567", "1234.567", "1234.567", "1234.567"),
            ("-2,5 K", "-2.5 K", "-2.5 K", "-2.5 K"),
            (
                "1,5 kW ± 0,2 kW",
                "1.5 kW ± 0.2 kW",
                "1.5 kW ± 0.2 kW",
                "1.5 kW ± 0.2 kW",
            ),
            ("1,234,567", "1,234,567", "1,234,567", "1,234,567"),
            ("12.34,5", "12.34,5", "12.34,5", "12.34,5"),
            ("largest(1,5)", "largest(1,5)", "largest(1,5)", "largest(1,5)"),
            ("P,5", "P,5", "P,5", "P,5"),
            ("15 kW", "15 kW", "15 kW", "15 kW"),
        ] {
            let read = |doubtful| written(text, doubtful).unwrap_or_else(|| text.to_owned());
            assert_eq!(read(Doubtful::Stay), stays);
            assert_eq!(read(Doubtful::Decimal), decimal);
            assert_eq!(read(Doubtful::Group), grouped);
        }
    }
}
