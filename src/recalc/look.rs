//! Looking without touching: what a text would be as the value of a quantity, who reads whom, a question asked of a sheet, the
//! points of a plot.
//!
//! For: checking while a user types, going from a result to what it reads and back, filters, pictures.
//! Always: the workbook and its results stay as they are.
//! Not known here: screens.

use std::sync::Arc;

use super::Engine;
use super::book::Entry;
use super::scope::Asking;
use super::settle::{quantity_of, target_for_cells, target_of};
use super::waves::View;
use crate::fault::Fault;
use crate::language::check::{self, Sort, Target, Typed};
use crate::language::syntax::{self, Node};
use crate::language::work::{Outcome, Program, Value};
use crate::quantity::show;
use crate::workbook::Statement;

/// What a text would be.
#[derive(Clone, Debug)]
pub struct Look {
    /// What it gives.
    pub sort: Sort,
    /// What is wrong or worth a look; places are bytes of the text.
    pub faults: Vec<Fault>,
}

/// A line of a plot.
#[derive(Clone, Debug)]
pub struct Trail {
    /// What is drawn, as typed.
    pub text: String,
    /// Unit of the values, empty for plain numbers.
    pub unit: String,
    /// Argument and value in their units; places that cannot be worked are left out.
    pub points: Vec<(f64, f64)>,
    /// Where what is drawn is a word, such as the name of a region: from, to, word.
    pub regions: Vec<(f64, f64, Arc<str>)>,
    /// Why points are missing.
    pub missing: Option<String>,
}

/// A plot of a sheet.
#[derive(Clone, Debug)]
pub struct Plot {
    /// Title, may be empty.
    pub title: String,
    /// The variable.
    pub variable: Arc<str>,
    /// Its unit.
    pub unit: String,
    /// The lines.
    pub trails: Vec<Trail>,
    /// Why nothing can be drawn.
    pub refused: Option<String>,
}

impl Engine {
    /// What `text` would be as the formula of a quantity: of the whole quantity, or of one cell of it. `None` for a sheet or a
    /// quantity that is not there.
    pub fn look(&self, sheet: &str, quantity: &str, text: &str, whole: bool) -> Option<Look> {
        let place = *self.book.by_name.get(sheet)?;
        let entry = self.entry_named(sheet, quantity)?;
        let target = match (quantity_of(&self.workbook, entry), self.settlement.get(entry.id)) {
            (Some(line), Some(settled)) if !whole => target_for_cells(line, &settled.sort),
            (Some(line), _) => target_of(line),
            (None, _) => Target::default(),
        };
        let (typed, faults) = self.typed(place, text, &target);
        Some(Look {
            sort: typed.sort,
            faults,
        })
    }

    fn typed(&self, place: usize, text: &str, target: &Target) -> (Typed, Vec<Fault>) {
        let (tree, mut faults) = syntax::parse(text);
        let asking = Asking::new(&self.book, &self.settlement.sorts, place);
        let typed = check::formula(&tree, text, target, &asking);
        if faults.iter().all(|fault| !fault.is_error()) {
            faults.extend(typed.faults.iter().cloned());
        }
        (typed, faults)
    }

    /// What a formula or condition gives for each item of a sheet.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn ask(&self, sheet: &str, text: &str) -> Result<Vec<Outcome>, Vec<Fault>> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Err(Vec::new());
        };
        let Some(own) = self.book.sheets.get(*place) else {
            return Err(Vec::new());
        };
        let (typed, faults) = self.typed(*place, text, &Target::default());
        if faults.iter().any(Fault::is_error) {
            return Err(faults);
        }
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        match Program::new(&typed, &view, own.id, "") {
            Some(program) => Ok(program.items(0..own.items.count()).0),
            None => Err(faults),
        }
    }

    fn ask_one(&self, place: usize, text: &str, item: usize) -> Result<(Outcome, Sort), String> {
        let (typed, faults) = self.typed(place, text, &Target::default());
        if let Some(fault) = faults.iter().find(|fault| fault.is_error()) {
            return Err(fault.message.clone());
        }
        let own = self.book.sheets.get(place).ok_or_else(String::new)?;
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        let outcome = Program::new(&typed, &view, own.id, "").map(|program| program.item(item).outcome);
        Ok((outcome.ok_or_else(String::new)?, typed.sort.clone()))
    }

    /// The plots of a sheet for one item, each line worked at so many places from end to end.
    pub fn plots(&self, sheet: &str, item: usize, places: usize) -> Vec<Plot> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Vec::new();
        };
        let lines = self.workbook.sheets.get(*place).map_or(&[][..], |sheet| &sheet.lines);
        lines
            .iter()
            .filter_map(|line| self.plot(*place, &line.statement, item, places))
            .collect()
    }

    fn plot(&self, place: usize, statement: &Statement, item: usize, places: usize) -> Option<Plot> {
        let Statement::Plot {
            curves,
            variable,
            from,
            to,
            title,
        } = statement
        else {
            return None;
        };
        let mut made = Plot {
            title: title.clone().unwrap_or_default(),
            variable: variable.clone(),
            unit: String::new(),
            trails: Vec::new(),
            refused: None,
        };
        let ends = self.ask_one(place, &from.text, item).and_then(|(low, sort)| {
            let unit = unit_of(&sort);
            let upper = match unit.as_str() {
                "" => to.text.to_string(),
                unit => format!("({}) in {unit}", to.text),
            };
            let (high, _) = self.ask_one(place, &upper, item)?;
            let number = |outcome: &Outcome| match outcome {
                Outcome::Blank(why) => Err(why.to_string()),
                Outcome::Fault(fault) => Err(fault.message.clone()),
                value => value
                    .as_number()
                    .map(|number| number.to_f64())
                    .ok_or_else(|| "the ends are no numbers".to_owned()),
            };
            Ok((number(&low)?, number(&high)?, unit))
        });
        let (low, high, unit) = match ends {
            Ok(ends) => ends,
            Err(why) => {
                made.refused = Some(why);
                return Some(made);
            }
        };
        made.unit = unit;
        for formula in curves {
            made.trails
                .push(self.trail(place, formula, variable, (low, high), &made.unit, item, places));
        }
        Some(made)
    }

    #[allow(clippy::too_many_arguments)] // One place of use; a struct would only rename them.
    fn trail(
        &self,
        place: usize,
        formula: &crate::workbook::Formula,
        variable: &str,
        (low, high): (f64, f64),
        unit: &str,
        item: usize,
        places: usize,
    ) -> Trail {
        let is_curve = match &formula.tree.node {
            Node::Name(name) => {
                let asking = Asking::new(&self.book, &self.settlement.sorts, place);
                check::Scope::curve(&asking, name).is_some()
            }
            _ => false,
        };
        let mut trail = Trail {
            text: formula.text.to_string(),
            unit: String::new(),
            points: Vec::with_capacity(places),
            regions: Vec::new(),
            missing: None,
        };
        let steps = places.max(2) - 1;
        for step in 0..=steps {
            #[allow(clippy::cast_precision_loss)] // A few hundred places.
            let at = low + (high - low) * step as f64 / steps as f64;
            let Ok(number) = crate::quantity::Number::from_f64(at) else {
                continue;
            };
            let written = format!("({} {unit})", show::exact(&number));
            let text = if is_curve {
                format!("{}({written})", formula.text)
            } else {
                with_value(&formula.text, variable, &written)
            };
            match self.ask_one(place, &text, item) {
                Ok((outcome, sort)) => {
                    if trail.unit.is_empty() {
                        trail.unit = unit_of(&sort);
                    }
                    match outcome {
                        Outcome::Blank(why) => trail.missing = Some(why.to_string()),
                        Outcome::Fault(fault) => trail.missing = Some(fault.message.clone()),
                        Outcome::Value(Value::Text(word)) => match trail.regions.last_mut() {
                            Some((_, to, last)) if *last == word => *to = at,
                            _ => trail.regions.push((at, at, word)),
                        },
                        value => trail
                            .points
                            .extend(value.as_number().map(|number| (at, number.to_f64()))),
                    }
                }
                Err(why) => {
                    trail.missing = Some(why);
                    break;
                }
            }
        }
        trail
    }

    /// The quantities that the formulas of a quantity read, each once: sheet and name.
    pub fn reads(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        let Some(entry) = self.entry_named(sheet, quantity) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for (read, _, _) in self.reach.reads(entry.id) {
            if let (Some(from), Some(named)) = (self.book.sheet_of(*read), self.book.entry(*read)) {
                let pair = (from.name.clone(), named.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        out
    }

    /// The quantities, checks and flags whose formulas read a quantity: sheet and name (`check FORMULA`, `flag FORMULA`).
    pub fn readers(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        let Some(wanted) = self.entry_named(sheet, quantity).map(|entry| entry.id) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for entry in self.book.entries() {
            if self.reach.reads(entry.id).iter().any(|(read, _, _)| *read == wanted)
                && let Some(from) = self.book.sheet_of(entry.id)
            {
                let pair = (from.name.clone(), entry.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        out
    }

    fn entry_named(&self, sheet: &str, quantity: &str) -> Option<&Entry> {
        let place = self.book.by_name.get(sheet)?;
        let id = self.book.sheets.get(*place)?.names.get(quantity)?;
        self.book.entry(*id)
    }
}

fn unit_of(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, .. } if !unit.is_plain() => unit.text.to_string(),
        _ => String::new(),
    }
}

/// A formula with a value in place of a name, outside of texts in quotes.
fn with_value(text: &str, name: &str, value: &str) -> String {
    let mut out = String::new();
    let mut word = String::new();
    let mut quoted = false;
    for letter in text.chars().chain(std::iter::once('\n')) {
        if !quoted && (letter.is_alphanumeric() || letter == '_' || letter == '′') {
            word.push(letter);
            continue;
        }
        out.push_str(if word == name { value } else { &word });
        word.clear();
        if letter == '"' {
            quoted = !quoted;
        }
        out.push(letter);
    }
    out.pop();
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::workbook::text;

    const TEXT: &str = "polepair 1
sheet drive
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  work  n_s = f / p in r/min : synchronous speed
  check n_s >= 1400 r/min
  curve T_L(n : shaft speed) in N·m through (0 r/min, 30 N·m), (1500 r/min, 90 N·m)
  plot T_L for n from 0 r/min to n_s \"Load\"
";

    #[test]
    fn a_look_changes_nothing_and_says_what_is_wrong() {
        let engine = Engine::new(text::read(TEXT));
        let look = engine.look("drive", "f", "50 kW", false).unwrap();
        assert!(look.faults.iter().any(Fault::is_error), "{look:?}");
        assert!(engine.look("drive", "f", "60 Hz", false).unwrap().faults.is_empty());
        assert!(engine.look("drive", "g", "60 Hz", false).is_none());
        assert!(engine.results().faults.is_empty());
    }

    #[test]
    fn who_reads_whom_both_ways() {
        let engine = Engine::new(text::read(TEXT));
        let names =
            |pairs: Vec<(Arc<str>, Arc<str>)>| pairs.iter().map(|(_, name)| name.to_string()).collect::<Vec<_>>();
        assert_eq!(names(engine.reads("drive", "n_s")), ["f", "p"]);
        assert_eq!(names(engine.readers("drive", "f")), ["n_s"]);
        assert_eq!(names(engine.readers("drive", "n_s")), ["check n_s >= 1400 r/min"]);
    }

    #[test]
    fn a_question_is_answered_for_each_item() {
        let engine = Engine::new(text::read(TEXT));
        let answer = engine.ask("drive", "n_s > 1400 r/min").unwrap();
        assert_eq!(answer[0].as_truth(), Some(true));
        assert!(engine.ask("drive", "n_s > 5 kW").is_err());
    }

    /// The ends of the plot are points of the curve; the middle of a straight line between two points is their mean.
    #[test]
    fn a_plot_goes_from_end_to_end() {
        let engine = Engine::new(text::read(TEXT));
        let plots = engine.plots("drive", 0, 3);
        assert_eq!(plots[0].title, "Load");
        assert_eq!(plots[0].trails[0].points, [(0.0, 30.0), (750.0, 60.0), (1500.0, 90.0)]);
        assert_eq!(plots[0].trails[0].unit, "N·m");
    }

    /// `region` names where a speed lies between those of breakdown and of rated load.
    #[test]
    fn words_of_a_plot_are_regions() {
        let text = TEXT.replace("plot T_L for", "plot T_L, region(n, n_s, 1200 r/min, 1450 r/min) for");
        let plots = Engine::new(text::read(&text)).plots("drive", 0, 6);
        let regions = &plots[0].trails[1].regions;
        let words: Vec<&str> = regions.iter().map(|(_, _, word)| &**word).collect();
        assert_eq!(words, ["locked rotor", "past breakdown", "overload", "running"]);
        assert_eq!((regions[1].0, regions[1].1), (300.0, 900.0));
    }

    #[test]
    fn only_the_name_itself_is_replaced() {
        assert_eq!(with_value("n_s * n + \"n\"", "n", "(5)"), "n_s * (5) + \"n\"");
    }
}
