//! A place in the grid: which quantity, which of its fields; its text as shown, as typed, and the changes that typing makes.
//!
//! Always: a place means the same whichever way round the grid stands. What is typed becomes changes of the workbook; nothing is
//! changed here.
//! Not known here: the screen.

use std::sync::Arc;

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use super::comma::{readings, with_nought};
use super::look::State;
use super::paper::{in_inches, without_sign};
use super::plated::plated;
use crate::fault::{Code, Fault, Span, Words};
use crate::language::check::Sort;
use crate::language::functions;
use crate::language::syntax::unquoted;
use crate::language::syntax::{self, Expr, Node, ProductSign, Tolerance};
use crate::language::work::{Outcome, Value};
use crate::quantity::{Number, System, Unit};
use crate::recalc::{QuantityResults, SheetResults, Showing, as_given, form_of, number_of, phasor_of};
use crate::session::Session;
use crate::workbook::change::{Change, Clause, Place, retyped};
use crate::workbook::text::{name_fault, quoted, read_statement};
use crate::workbook::{Cell, Form, KindText, Line, Quantity, Role, Sheet, Source, SourceWord, Statement};

/// A field of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Field {
    /// Title in words.
    Label,
    /// Symbol.
    Symbol,
    /// The value of an item.
    Value(usize),
    /// Unit of the result.
    Unit,
    /// Kind.
    Kind,
    /// Where a given comes from.
    Source,
    /// The formula of all items.
    Formula,
    /// The whole line.
    Line,
}

impl Field {
    /// Its word, over a column of a sheet and beside a heading line of a list.
    pub fn word(self) -> &'static str {
        match self {
            Field::Label => "label",
            Field::Symbol => "symbol",
            Field::Value(_) => "value",
            Field::Unit => "unit",
            Field::Kind => "kind",
            Field::Source => "source",
            Field::Formula => "formula",
            Field::Line => "line",
        }
    }
}

/// A place: by the place of the quantity in the results of its sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Spot {
    /// Place of the quantity.
    pub quantity: usize,
    /// Field.
    pub field: Field,
}

/// The quantity of the open line of a worked sheet: there is none yet.
pub const NEW: usize = usize::MAX;

/// A text in the grid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shown {
    /// As shown.
    pub text: String,
    /// How far it may be off: its limits in brackets, or of how many rows it is where some have no value; else empty.
    pub band: String,
    /// What it is.
    pub state: State,
    /// Numbers stand at the right.
    pub right: bool,
    /// The unit of a number of a sheet whose text has none: said beside it where the column of units is out of sight.
    pub unit: String,
    /// Why it is missing or failed.
    pub why: Option<String>,
    /// A check that reads it does not hold.
    pub unmet: bool,
}

/// The unit of what is shown, empty for plain numbers.
fn unit_in(showing: &Showing<'_>) -> String {
    let unit = showing.unit().filter(|unit| !unit.is_plain());
    unit.map_or(String::new(), |unit| unit.text.to_string())
}

/// A sheet as the window sees it: inputs and results of the same place.
#[derive(Clone, Copy)]
pub struct Seen<'a> {
    /// The session.
    pub session: &'a Session,
    /// Place of the sheet.
    pub at: usize,
    /// Inputs.
    pub sheet: &'a Sheet,
    /// Results.
    pub results: &'a SheetResults,
    /// The units that values are shown in, and read in where a number is typed without one.
    pub system: System,
}

impl<'a> Seen<'a> {
    /// The sheet at a place, as it is written.
    pub fn of(session: &'a Session, at: usize) -> Option<Seen<'a>> {
        Some(Seen {
            session,
            at,
            sheet: session.workbook().sheets.get(at)?,
            results: session.results().sheets.get(at)?,
            system: System::AsWritten,
        })
    }

    /// The same in the units of a system.
    pub fn shown_in(self, system: System) -> Seen<'a> {
        Seen { system, ..self }
    }

    /// Results of a quantity.
    pub fn quantity(&self, at: usize) -> Option<&'a QuantityResults> {
        self.results.quantities.get(at)
    }

    /// Where the line of a quantity stands, and the line.
    pub fn line(&self, name: &str) -> Option<(usize, &'a Line)> {
        self.sheet.line_of(name)
    }

    /// What the line of a quantity says.
    pub fn inputs(&self, name: &str) -> Option<&'a Quantity> {
        self.sheet.inputs_of(name)
    }

    /// Place among the columns of `rows`.
    fn column(&self, name: &str) -> Option<usize> {
        self.sheet
            .rows
            .as_ref()?
            .columns
            .iter()
            .position(|column| **column == *name)
    }

    /// What stands in the place of a kind and is none, and its fault.
    fn odd_kind(&self, name: &str) -> Option<(&'a str, &'a Fault)> {
        let (_, line) = self.line(name)?;
        let fault = line.faults.iter().find(|fault| fault.code == Code::UNKNOWN_KIND)?;
        Some((fault.span.of(&line.text), fault))
    }

    /// Whether a quantity is a column of `rows`.
    pub fn is_column(&self, name: &str) -> bool {
        self.column(name).is_some()
    }

    /// The list and its quantity whose values the groups of this list are, where it is that by which they are made.
    pub fn groups_by(&self, quantity: &QuantityResults) -> Option<(&'a str, &'a str)> {
        match &self.sheet.opening.statement {
            Statement::Opening {
                groups: Some((list, by)),
            } if *by == quantity.name && self.line(by).is_none() => Some((list, by)),
            _ => None,
        }
    }

    /// The `at` lines of a quantity.
    pub fn own_lines(&self, name: &str) -> Vec<usize> {
        let lines = self.sheet.lines.iter().enumerate();
        lines
            .filter(|(_, line)| matches!(&line.statement, Statement::At { name: known, .. } if **known == *name))
            .map(|(at, _)| at)
            .collect()
    }

    fn row_cell(&self, name: &str, item: usize) -> Option<&'a Cell> {
        let column = self.column(name)?;
        self.sheet.rows.as_ref()?.rows.get(item)?.cells.get(column)
    }

    /// How the values of a quantity are shown.
    pub fn showing(&self, at: usize) -> Option<Showing<'a>> {
        Some(Showing::of(self.quantity(at)?, self.system))
    }

    /// The unit a quantity is shown in, empty for plain numbers.
    pub fn unit(&self, at: usize) -> String {
        self.showing(at).map_or(String::new(), |showing| unit_in(&showing))
    }

    /// The unit that a value is shown in at a place, where it is another one than its quantity is written in.
    pub fn unit_here(&self, spot: Spot) -> Option<Unit> {
        let quantity = self.quantity(spot.quantity)?;
        let own = match spot.field {
            Field::Value(item) => self.as_typed(quantity, item).map(|(_, unit)| unit),
            _ => None,
        };
        let showing = self.showing(spot.quantity)?;
        own.or_else(|| showing.unit().filter(|_| showing.is_brought()).cloned())
    }

    /// A number typed for one item in a unit of its own, where the line names no unit for all and values are shown as written.
    fn as_typed(&self, quantity: &QuantityResults, item: usize) -> Option<(Number, Unit)> {
        if self.system != System::AsWritten || quantity.role != Role::Given {
            return None;
        }
        let Sort::Quantity { unit: of_all, .. } = &quantity.sort else {
            return None;
        };
        let inputs = self.inputs(&quantity.name).filter(|inputs| inputs.unit.is_none())?;
        let (number, unit) = match (self.row_cell(&quantity.name, item), inputs.values.as_slice()) {
            (Some(Cell::Number(number, Some(unit))), _) => (*number, (**unit).clone()),
            (Some(_), _) | (None, [_]) => return None,
            (None, several) => literal(&several.get(item)?.as_ref()?.tree)?,
        };
        let fits = quantity.cells.get(item).and_then(Outcome::as_number).is_some();
        (fits && unit.text != of_all.text).then_some((Number::Exact(number), unit))
    }

    /// A place as shown. `doubts` says whether a warning stands on the quantity.
    pub fn shown(&self, spot: Spot, doubts: bool) -> Shown {
        let Some(quantity) = self.quantity(spot.quantity) else {
            return Shown::default();
        };
        let words = |text: &str| Shown {
            text: text.to_owned(),
            ..Shown::default()
        };
        match spot.field {
            Field::Label => words(&quantity.title),
            Field::Symbol => Shown {
                state: if quantity.role == Role::Given && self.groups_by(quantity).is_none() {
                    State::Typed
                } else {
                    State::Words
                },
                ..words(&quantity.name)
            },
            Field::Unit => words(&self.unit(spot.quantity)),
            Field::Kind => match self.odd_kind(&quantity.name) {
                Some((typed, fault)) => Shown {
                    text: typed.to_owned(),
                    state: State::Failed,
                    why: Some(fault.in_words()),
                    ..Shown::default()
                },
                None => words(&quantity.sort.kind_words()),
            },
            Field::Source => words(&source_words(quantity.source.as_ref())),
            Field::Formula => match (self.own_formulas(quantity), quantity.role) {
                (_, Role::Given) if self.sheet.form == Form::List => words(&self.typed(spot)),
                (own, Role::Given) => words(&own),
                (own, Role::Work | Role::Seek) => match self.typed(spot) {
                    whole if own.is_empty() || self.sheet.form == Form::List => words(&whole),
                    whole if whole.is_empty() => words(&own),
                    whole => words(&format!("{whole}; {own}")),
                },
            },
            Field::Line => words(&self.typed(spot)),
            Field::Value(item) => self.value(quantity, item, doubts),
        }
    }

    /// A value as shown.
    fn value(&self, quantity: &QuantityResults, item: usize, doubts: bool) -> Shown {
        let Some(outcome) = quantity.cells.get(item) else {
            return Shown::default();
        };
        let own = || quantity.own.binary_search(&item).is_ok() || quantity.is_typed_over(item);
        let state = match (quantity.role, doubts) {
            (_, true) => State::Doubtful,
            (Role::Given, _) if self.is_worked_here(quantity, item) => State::Own,
            (Role::Given, _) if self.groups_by(quantity).is_some() => State::Worked,
            // It was not typed here.
            (Role::Given, _) if self.is_of_heading(quantity, item) => State::Worked,
            (Role::Given, _) => State::Typed,
            _ if own() => State::Own,
            _ => State::Worked,
        };
        let showing = Showing::of(quantity, self.system);
        // A list says it once, over the column.
        let unit = |showing: &Showing<'_>| match self.sheet.form {
            Form::Sheet => unit_in(showing),
            Form::List => String::new(),
        };
        if let (Some(form), Some(phasor)) = (form_of(&quantity.sort), outcome.as_phasor()) {
            return Shown {
                text: phasor_of(&phasor, form, quantity.role, quantity.rounding.as_ref()),
                state,
                right: true,
                unit: unit(&showing),
                ..Shown::default()
            };
        }
        match outcome {
            Outcome::Value(Value::Phasor(_)) => Shown::default(),
            Outcome::Value(Value::Number(number)) => {
                let band = quantity.band(item).map(|band| &**band);
                let own = self.as_typed(quantity, item);
                let unit = if own.is_some() { String::new() } else { unit(&showing) };
                let (text, limits) = match own {
                    Some((typed, unit)) => {
                        let (_, limits) = showing.in_unit(&unit).beside(*number, band);
                        let typed = number_of(&typed, Role::Given, quantity.rounding.as_ref());
                        (format!("{typed} {}", unit.text), limits)
                    }
                    None => showing.beside(*number, band),
                };
                // A sum of fewer rows than there are says so beside it.
                let fewer = quantity.fewer_rows(item).map(|rows| rows.to_string());
                let within = limits.map(|(low, high)| format!("({low} … {high})"));
                Shown {
                    text,
                    band: within.or_else(|| fewer.clone()).unwrap_or_default(),
                    state,
                    right: true,
                    unit,
                    why: fewer.map(|fewer| format!("{fewer}: the others have no value")),
                    ..Shown::default()
                }
            }
            Outcome::Value(Value::Text(text)) => Shown {
                text: text.to_string(),
                state,
                ..Shown::default()
            },
            Outcome::Value(Value::Truth(truth)) => Shown {
                text: if *truth { "yes" } else { "no" }.to_owned(),
                state,
                ..Shown::default()
            },
            Outcome::Blank(why) => Shown {
                state: State::Missing,
                right: true,
                why: Some(why.to_string()),
                ..Shown::default()
            },
            Outcome::Fault(fault) => {
                let said = self.system.words(&fault.message);
                Shown {
                    // What only rests on a fault names it; what was typed wrongly stands as it was typed.
                    text: match said.strip_prefix("not worked: ") {
                        Some(rest) if fault.passed_on => rest.to_owned(),
                        None if quantity.role == Role::Given => {
                            let typed = self.typed_value(quantity, item);
                            let says_it = typed.is_empty() || fault.message.starts_with(&typed);
                            if says_it { said.clone() } else { typed }
                        }
                        None if fault.passed_on => "cannot be read".to_owned(),
                        _ => said.clone(),
                    },
                    state: State::Failed,
                    right: true,
                    why: Some(self.system.in_words(&fault.message, fault.help.as_ref())),
                    ..Shown::default()
                }
            }
        }
    }

    /// Whether a row has no value of its own under a heading that gives one for such rows.
    pub fn is_of_heading(&self, quantity: &QuantityResults, item: usize) -> bool {
        quantity.role == Role::Given
            && matches!(self.row_cell(&quantity.name, item), Some(Cell::Blank))
            && matches!(quantity.cells.get(item), Some(Outcome::Value(_)))
    }

    /// Whether nothing was typed in it yet: a worked sheet with one quantity that has neither label nor value.
    pub fn is_unwritten(&self) -> bool {
        match self.results.quantities.as_slice() {
            [only] if self.sheet.form == Form::Sheet => {
                let inputs = self.inputs(&only.name);
                only.title.is_empty() && inputs.is_some_and(|inputs| inputs.values.iter().all(Option::is_none))
            }
            _ => false,
        }
    }

    /// A place in words: `Q_m, dry`, `P_in, SC-203`, `unit of Q_m`.
    pub fn place_in_words(&self, spot: Spot) -> Option<String> {
        if spot.quantity == NEW {
            return Some("the open line".to_owned());
        }
        let name = &self.quantity(spot.quantity)?.name;
        Some(match spot.field {
            Field::Value(item) => match self.results.items.get(item).filter(|item| !item.is_empty()) {
                Some(item) => format!("{name}, {item}"),
                None => name.to_string(),
            },
            Field::Line => format!("the line of {name}"),
            field => format!("{} of {name}", field.word()),
        })
    }

    /// A place as typed.
    pub fn typed(&self, spot: Spot) -> String {
        let Some(quantity) = self.quantity(spot.quantity) else {
            return String::new();
        };
        let name = &quantity.name;
        match spot.field {
            Field::Label => quantity.title.clone(),
            Field::Symbol => name.to_string(),
            Field::Unit => self
                .inputs(name)
                .and_then(|inputs| inputs.unit.as_ref())
                .map_or(String::new(), |unit| unit.unit.text.to_string()),
            Field::Kind => self.inputs(name).map_or(String::new(), |inputs| match &inputs.kind {
                Some(KindText::Kind(kind)) => kind.words().to_owned(),
                Some(KindText::Text) => "text".to_owned(),
                Some(KindText::Choice(words)) => format!("choice {}", words.join(", ")),
                None => self.odd_kind(name).map_or(String::new(), |(typed, _)| typed.to_owned()),
            }),
            Field::Source => source_words(quantity.source.as_ref()),
            Field::Line => self.line(name).map_or(String::new(), |(_, line)| line.text.to_string()),
            Field::Formula => {
                let Some(inputs) = self.inputs(name) else {
                    return String::new();
                };
                if inputs.role == Role::Seek {
                    let text = self.typed(Spot {
                        field: Field::Line,
                        ..spot
                    });
                    let at = text.find("such that").unwrap_or(0);
                    return text.get(at..).unwrap_or("").to_owned();
                }
                match inputs.values.as_slice() {
                    // What is given stands among the values; in a list it stands for the rows that have none of their own.
                    [Some(only)] if inputs.role == Role::Work || self.sheet.form == Form::List => only.text.to_string(),
                    _ => String::new(),
                }
            }
            Field::Value(item) => self.typed_value(quantity, item),
        }
    }

    /// A place as an editor opens it: as typed, but a bare number that is shown with a unit with that unit. Changed there, it
    /// is never taken for one in a unit that is not on the screen.
    pub fn opened(&self, spot: Spot) -> String {
        let typed = self.typed(spot);
        if spot.field == Field::Unit && typed.is_empty() {
            return self.unit(spot.quantity);
        }
        let Field::Value(item) = spot.field else { return typed };
        let cell = self
            .quantity(spot.quantity)
            .and_then(|quantity| quantity.cells.get(item));
        match (self.showing(spot.quantity), cell) {
            (Some(showing), Some(value @ Outcome::Value(_)))
                if (showing.is_brought() || showing.unit_beside().is_some()) && is_bare(&typed) =>
            {
                showing.copied(value)
            }
            _ => typed,
        }
    }

    /// A text as it is to be kept: a bare number gets the unit that its place shows. Where none is shown it stays as it is.
    pub fn read_here(&self, spot: Spot, text: &str) -> Option<String> {
        let quantity = self.quantity(spot.quantity)?;
        let is_value = match spot.field {
            Field::Value(_) => true,
            Field::Formula => quantity.role == Role::Given,
            _ => false,
        };
        let showing = self.showing(spot.quantity).filter(|_| is_value)?;
        let unit = self.unit_here(spot).or_else(|| showing.unit_beside().cloned())?;
        bare_with(text, &unit.text)
    }

    fn typed_value(&self, quantity: &QuantityResults, item: usize) -> String {
        let name = &quantity.name;
        if let Some(cell) = self.row_cell(name, item) {
            match cell {
                Cell::Blank => {}
                Cell::Number(number, Some(unit)) if !unit.is_plain() => return format!("{number} {}", unit.text),
                Cell::Number(number, _) => return number.to_string(),
                Cell::Text(text) if matches!(quantity.sort, Sort::Text) && !text.contains(['"', '\\', '\n']) => {
                    return text.to_string();
                }
                Cell::Text(text) => return quoted(text),
                Cell::Word(word) => return word.to_string(),
                Cell::Formula(formula) => return formula.text.to_string(),
            }
        } else if quantity.own.contains(&item)
            && let Some(text) = self.own(name, item)
        {
            return text;
        }
        let Some(inputs) = self.inputs(name) else {
            return match quantity.cells.get(item) {
                Some(outcome @ Outcome::Value(_)) => as_given(outcome, &quantity.sort),
                _ => String::new(),
            };
        };
        let formula = match inputs.values.as_slice() {
            [only] => only.as_ref(),
            several => several.get(item).and_then(Option::as_ref),
        };
        let text = formula.map_or(String::new(), |formula| formula.text.to_string());
        match (&quantity.sort, unquoted(&text, Span::default())) {
            (Sort::Text, Ok(bare)) if text.starts_with('"') && !bare.contains(['"', '\\', '\n']) => bare,
            _ => text,
        }
    }

    /// The text of an `at` line.
    fn own(&self, name: &str, item: usize) -> Option<String> {
        let key = self.results.items.get(item)?;
        Some(self.sheet.own_of(name, key, item)?.text.to_string())
    }

    /// Why a text cannot stand at a place although it can be read: what is worked from plain numbers alone where a unit is shown,
    /// and what would take the unit of its quantity from the other cases.
    fn misplaced(&self, spot: Spot, text: &str) -> Option<String> {
        let quantity = self.quantity(spot.quantity).filter(|known| known.role == Role::Given)?;
        if self.read_here(spot, text).is_some() {
            return None;
        }
        let unit = self
            .unit_here(spot)
            .or_else(|| self.showing(spot.quantity)?.unit_beside().cloned())?;
        let (tree, faults) = syntax::parse(text);
        if faults.iter().any(Fault::is_error) {
            return None;
        }
        let is_call = matches!(tree.node, Node::Call { .. });
        if is_of_numbers(&tree) && matches!(spot.field, Field::Value(_) | Field::Formula) {
            let worked = if is_call { text.to_owned() } else { format!("({text})") };
            return Some(format!(
                "`{text}` is worked from plain numbers, and this place is shown in {0}: write the unit as well, such as `{worked} * 1 {0}`",
                unit.text
            ));
        }
        let Field::Value(item) = spot.field else { return None };
        let others = quantity.cells.iter().enumerate().filter(|(at, _)| *at != item);
        if self.sheet.form != Form::Sheet || !others.into_iter().any(|(_, cell)| matches!(cell, Outcome::Value(_))) {
            return None;
        }
        let look = |whole| self.session.look(&self.sheet.name, &quantity.name, text, whole, None);
        let fault = look(false)?.faults.into_iter().find(Fault::is_error)?;
        if look(true)?.faults.iter().any(Fault::is_error) {
            return None;
        }
        Some(format!(
            "{}. The other cases of {} are in {}; what all of them are is changed in the whole line, Shift+F2.",
            self.system
                .in_words(&fault.message, fault.help.as_ref())
                .trim_end_matches('.'),
            quantity.name,
            unit.text
        ))
    }

    /// Whether typing there sets the formula of the whole quantity.
    pub fn is_whole(&self, spot: Spot) -> bool {
        match spot.field {
            Field::Formula => true,
            Field::Value(_) => self.sheet.form == Form::Sheet && self.results.items.len() <= 1,
            _ => false,
        }
    }

    /// Whether a formula stands at a place, and no text.
    pub fn holds_formula(&self, spot: Spot) -> bool {
        let is_text = self
            .quantity(spot.quantity)
            .is_some_and(|quantity| matches!(quantity.sort, Sort::Text));
        matches!(spot.field, Field::Value(_) | Field::Formula) && !is_text
    }

    /// A formula and the unit it is wanted in, where typing them sets both.
    fn wanted_in<'t>(&self, spot: Spot, text: &'t str) -> Option<(&'t str, &'t str)> {
        let of_line = self.sheet.form == Form::Sheet || spot.field == Field::Formula;
        wanted_in(text).filter(|_| of_line)
    }

    /// The unit that a formula at a place is wanted in.
    pub fn unit_wanted(&self, spot: Spot, text: &str) -> Option<Unit> {
        let takes_line = matches!(spot.field, Field::Formula | Field::Value(_));
        let (_, unit) = self.wanted_in(spot, text).filter(|_| takes_line)?;
        Unit::known(unit)
    }

    /// What typing `text` at a place changes.
    ///
    /// # Errors
    /// Why it cannot stand there, and what to try.
    pub fn change(&self, spot: Spot, text: &str) -> Result<Vec<Change>, String> {
        if let Some(made) = self.whole_line(spot, text) {
            return made;
        }
        let is_formula = self.holds_formula(spot);
        let inches = in_inches(if is_formula { without_sign(text) } else { text });
        let number = with_nought(&inches);
        let text = if is_formula { &*number } else { text };
        if spot.quantity == NEW {
            return Ok(self.begun(spot.field, text.trim())?.into_iter().collect());
        }
        let Some(quantity) = self.quantity(spot.quantity) else {
            return Err("This quantity is not there any more.".to_owned());
        };
        let text = self.repeats(spot, text).and_then(|at| text.get(at..)).unwrap_or(text);
        let (sheet, name) = (self.sheet.name.clone(), quantity.name.clone());
        if let Some(why) = self.misplaced(spot, text.trim()) {
            return Err(why);
        }
        let kept = self.read_here(spot, text.trim());
        let text = kept.as_deref().unwrap_or(text.trim());
        let takes_line = matches!(spot.field, Field::Formula | Field::Value(_)) && self.line(&name).is_some();
        if takes_line && quantity.role != Role::Seek {
            if self.is_whole(spot) && text.starts_with("such that ") {
                return self.sought_now(quantity, text);
            }
            // The unit a formula is wanted in has a column of its own.
            if let Some((formula, unit)) = self.wanted_in(spot, text) {
                let mut changes = self.change(spot, formula)?;
                changes.push(Change::SetClause {
                    sheet,
                    quantity: name,
                    clause: Clause::Unit,
                    text: format!("in {unit}").into(),
                });
                return Ok(changes);
            }
        }
        let clause = |clause: Clause, text: String| -> Result<Vec<Change>, String> {
            if self.line(&name).is_none() {
                return Err("This quantity has no line of its own.".to_owned());
            }
            Ok(vec![Change::SetClause {
                sheet: sheet.clone(),
                quantity: name.clone(),
                clause,
                text: text.into(),
            }])
        };
        match spot.field {
            Field::Symbol => {
                if text == &*name {
                    return Ok(Vec::new());
                }
                Ok(vec![Change::Rename {
                    sheet: Some(sheet),
                    from: name,
                    to: text.into(),
                }])
            }
            Field::Label => clause(
                Clause::Title,
                if text.is_empty() { String::new() } else { quoted(text) },
            ),
            Field::Unit => {
                let unit = unit_typed(text);
                if unit.is_empty() {
                    return clause(Clause::Unit, String::new());
                }
                let read = Unit::parse(unit).map_err(|fault| fault.to_string())?;
                let mut changes = clause(Clause::Unit, format!("in {unit}"))?;
                if self.means(quantity, spot.quantity, &read) {
                    changes.extend(self.with_unit(quantity, spot.quantity, unit));
                }
                Ok(changes)
            }
            Field::Kind => {
                let kind = text.strip_prefix(':').unwrap_or(text).trim();
                if !kind.is_empty() {
                    let (line, _) = read_statement(&format!("given x : {kind}"));
                    if let Some(fault) = line.faults.iter().find(|fault| fault.is_error()) {
                        return Err(fault.in_words());
                    }
                }
                let mut changes = clause(
                    Clause::Kind,
                    if kind.is_empty() {
                        String::new()
                    } else {
                        format!(": {kind}")
                    },
                )?;
                if kind == "text" {
                    changes.extend(self.as_texts(quantity, spot.quantity));
                }
                Ok(changes)
            }
            Field::Source => clause(Clause::Source, source_typed(text).map_err(|fault| fault.in_words())?),
            Field::Line => {
                let (at, line) = self.line(&name).ok_or("This quantity has no line of its own.")?;
                Ok(retyped(
                    Some(&self.sheet.name),
                    Place::Line(self.at, at),
                    &line.text,
                    text,
                ))
            }
            Field::Formula if quantity.role == Role::Seek => {
                let none = "This quantity has no line of its own.";
                let (at, _) = self.line(&name).ok_or(none)?;
                Ok(vec![Change::SetLine {
                    place: Place::Line(self.at, at),
                    text: self.with_equation(quantity, text).ok_or(none)?.into(),
                }])
            }
            Field::Formula | Field::Value(_) if self.becomes_worked(spot, text) => self.worked_now(quantity, text),
            Field::Formula | Field::Value(_)
                if self.becomes_given(spot, text)
                    && let Some(changes) = self.given_now(quantity, text) =>
            {
                Ok(changes)
            }
            Field::Formula => Ok(vec![Change::SetValue {
                sheet,
                quantity: name,
                case: None,
                text: text.into(),
            }]),
            Field::Value(item) => {
                let text = match &quantity.sort {
                    Sort::Text if !text.is_empty() && !is_quoted(text) && quantity.role == Role::Given => quoted(text),
                    _ => text.to_owned(),
                };
                Ok(vec![match self.sheet.form {
                    Form::List => Change::SetCell {
                        list: sheet,
                        row: item,
                        quantity: name,
                        text: text.into(),
                    },
                    Form::Sheet => Change::SetValue {
                        sheet,
                        quantity: name,
                        case: (self.results.items.len() > 1).then_some(item),
                        text: text.into(),
                    },
                }])
            }
        }
    }
}

/// What is told of a quantity that is to be made.
#[derive(Clone, Debug, Default)]
pub struct Fresh {
    /// Its symbol.
    pub name: Arc<str>,
    /// Title in words.
    pub title: String,
    /// Its values as typed, one for all cases or one for each.
    pub values: Vec<String>,
    /// Unit, kind, source: as they stand in a line.
    pub clauses: [String; 3],
    /// It takes the place of everything that stands in its sheet.
    pub alone: bool,
    /// It is worked, though nothing that it reads is there yet.
    pub worked: bool,
}

impl Seen<'_> {
    /// The line of a quantity that is to be made: a given, or worked where it reads others. `also`: names that are made with it.
    ///
    /// # Errors
    /// Why it cannot stand so.
    pub fn made(&self, fresh: &Fresh, also: &[Arc<str>]) -> Result<String, String> {
        let name = &*fresh.name;
        if let Some(fault) = name_fault(name) {
            return Err(fault.in_words());
        }
        if !fresh.alone && self.results.quantities.iter().any(|known| &*known.name == name) {
            return Err(format!("There is a quantity {name} already."));
        }
        let reads = |value: &String| {
            let (tree, faults) = syntax::parse(value);
            faults.iter().all(|fault| !fault.is_error()) && self.reads_any(&tree, also)
        };
        let worked = fresh.worked || fresh.values.iter().any(reads);
        let mut line = format!("{} {name}", if worked { "work" } else { "given" });
        let title = if fresh.title.is_empty() {
            String::new()
        } else {
            quoted(&fresh.title)
        };
        // Behind an empty place it would be read as its value.
        let (first, title) = match fresh.values.as_slice() {
            [_, .., last] if last.trim().is_empty() => (title, String::new()),
            _ => (String::new(), title),
        };
        if !first.is_empty() {
            line.push_str(&format!(" {first}"));
        }
        if fresh.values.iter().any(|value| !value.is_empty()) {
            line.push_str(&format!(" = {}", fresh.values.join(" | ")));
        }
        let [unit, kind, source] = &fresh.clauses;
        for part in [unit, kind, &title, source] {
            if !part.is_empty() {
                line.push(' ');
                line.push_str(part);
            }
        }
        // Nothing that was typed becomes another part of the line.
        match &read_statement(&line).0.statement {
            Statement::Quantity(read)
                if *read.name == *name
                    && read.title.clone().unwrap_or_default() == fresh.title
                    && read.values.len() == fresh.values.len() =>
            {
                Ok(line)
            }
            _ => Err("This cannot stand there; type the whole line, such as `given Q = 85 m³/h`.".to_owned()),
        }
    }

    pub(super) fn reads_any(&self, tree: &Expr, also: &[Arc<str>]) -> bool {
        match &tree.node {
            Node::Name(name) => also.contains(name) || self.reads_others(tree, ""),
            _ if tree.parts().is_empty() => self.reads_others(tree, ""),
            _ => tree.parts().into_iter().any(|part| self.reads_any(part, also)),
        }
    }

    /// The name of a quantity that has none yet.
    pub fn fresh_name(&self) -> Arc<str> {
        fresh("x", |name| {
            self.results.quantities.iter().any(|known| &*known.name == name)
        })
    }

    /// The change that makes a quantity of what was typed in a field of the open line; none where nothing was.
    fn begun(&self, field: Field, text: &str) -> Result<Option<Change>, String> {
        if text.is_empty() {
            return Ok(None);
        }
        let mut fresh = Fresh {
            name: self.fresh_name(),
            ..Fresh::default()
        };
        match field {
            Field::Symbol => fresh.name = text.into(),
            Field::Label => fresh.title = text.to_owned(),
            Field::Value(_) | Field::Formula => fresh.values = vec![text.to_owned()],
            Field::Unit => {
                let unit = unit_typed(text);
                let _ = Unit::parse(unit).map_err(|fault| fault.to_string())?;
                fresh.clauses = [format!("in {unit}"), String::new(), String::new()];
            }
            Field::Kind => {
                let kind = text.strip_prefix(':').unwrap_or(text).trim();
                fresh.clauses = [String::new(), format!(": {kind}"), String::new()];
            }
            Field::Source => {
                let source = source_typed(text).map_err(|fault| fault.in_words())?;
                fresh.clauses = [String::new(), String::new(), source];
            }
            Field::Line => {}
        }
        let text = match field {
            Field::Line => text.to_owned(),
            _ => self.made(&fresh, &[])?,
        };
        Ok(Some(Change::InsertLine {
            place: Place::Line(self.at, self.sheet.lines.len()),
            before: "".into(),
            text: text.into(),
        }))
    }

    /// Whether a given becomes a worked quantity with this text: it is the text of all cases and reads others. In a list it is the
    /// formula over a column without values; where there are some, it stands for the rows that have none.
    pub fn becomes_worked(&self, spot: Spot, text: &str) -> bool {
        let Some(quantity) = self.quantity(spot.quantity) else {
            return false;
        };
        let fits = match self.sheet.form {
            Form::Sheet => true,
            Form::List => spot.field == Field::Formula && !self.has_cells(&quantity.name),
        };
        if !fits || quantity.role != Role::Given {
            return false;
        }
        let Some(inputs) = self.inputs(&quantity.name) else {
            return false;
        };
        let is_empty = inputs.values.iter().all(Option::is_none);
        let (tree, faults) = syntax::parse(text);
        let is_read = faults.iter().all(|fault| !fault.is_error());
        is_read && (is_empty || self.is_whole(spot)) && self.reads_others(&tree, &quantity.name)
    }

    /// Whether a column of a list has a value in a row.
    fn has_cells(&self, name: &Arc<str>) -> bool {
        let (Some(rows), Some(column)) = (&self.sheet.rows, self.column(name)) else {
            return false;
        };
        let mut cells = rows.rows.iter().filter_map(|row| row.cells.get(column));
        cells.any(|cell| !matches!(cell, Cell::Blank))
    }

    fn reads_others(&self, tree: &Expr, own: &str) -> bool {
        match &tree.node {
            Node::Name(name) => **name != *own && self.results.quantities.iter().any(|known| known.name == *name),
            Node::Far { .. } | Node::Aggregate { .. } => true,
            Node::Call { name, .. } if self.calls_own(name) => true,
            _ => tree.parts().into_iter().any(|part| self.reads_others(part, own)),
        }
    }

    /// Whether a name is one of a curve or a definition of the sheet.
    fn calls_own(&self, called: &Arc<str>) -> bool {
        self.sheet.lines.iter().any(|line| match &line.statement {
            Statement::Curve { name, .. } | Statement::Define { name, .. } => name == called,
            _ => false,
        })
    }

    /// The formulas of single cases, in words: `own formula in dry: 40 kg/m * v`. Empty where there are none, and for the rows of a
    /// list.
    fn own_formulas(&self, quantity: &QuantityResults) -> String {
        if self.sheet.form != Form::Sheet {
            return String::new();
        }
        let several = self
            .inputs(&quantity.name)
            .is_some_and(|inputs| inputs.values.len() > 1);
        if !several && quantity.own.is_empty() {
            return String::new();
        }
        let items = self.results.items.iter().enumerate();
        let own = items.filter(|(item, _)| match quantity.role {
            Role::Given => self.is_worked_here(quantity, *item),
            Role::Work => several || quantity.own.contains(item),
            Role::Seek => false,
        });
        let told: Vec<String> = own
            .take(OWN)
            .map(|(item, name)| match self.typed_value(quantity, item) {
                empty if empty.is_empty() => format!("in {name} none"),
                formula => format!("in {name}: {formula}"),
            })
            .collect();
        match told.len() {
            0 => String::new(),
            _ => format!("own formula {}", told.join("; ")),
        }
    }

    /// Whether one case or row of a given is worked from other quantities while the rest is given.
    pub fn is_worked_here(&self, quantity: &QuantityResults, item: usize) -> bool {
        let of_row = match self.row_cell(&quantity.name, item) {
            Some(Cell::Formula(formula)) => Some(&**formula),
            Some(_) => None,
            None => match self.inputs(&quantity.name).map(|inputs| inputs.values.as_slice()) {
                None | Some([] | [_]) => None,
                Some(several) => several.get(item).and_then(Option::as_ref),
            },
        };
        quantity.role == Role::Given && of_row.is_some_and(|formula| self.reads_others(&formula.tree, &quantity.name))
    }

    /// Whether a worked quantity of a worked sheet becomes a given with this text: it is a number for all cases.
    pub fn becomes_given(&self, spot: Spot, text: &str) -> bool {
        let is_worked = self
            .quantity(spot.quantity)
            .is_some_and(|known| known.role == Role::Work);
        let (tree, faults) = syntax::parse(text);
        let is_read = !faults.iter().any(Fault::is_error);
        is_worked
            && is_read
            && self.is_whole(spot)
            && self.sheet.form == Form::Sheet
            && (is_bare(text) || literal(&tree).is_some())
    }

    /// A worked quantity becomes a given with a number; `None` where its line cannot be one of a given.
    fn given_now(&self, quantity: &QuantityResults, text: &str) -> Option<Vec<Change>> {
        let (at, line) = self.line(&quantity.name)?;
        let (bare, source) = remembered(&line.text);
        let given = format!("given{}", bare.strip_prefix("work")?);
        let (read, _) = read_statement(&given);
        if read.faults.iter().any(Fault::is_error) {
            return None;
        }
        let line = Change::SetLine {
            place: Place::Line(self.at, at),
            text: given.into(),
        };
        let value = Change::SetValue {
            sheet: self.sheet.name.clone(),
            quantity: quantity.name.clone(),
            case: None,
            text: text.into(),
        };
        let source = source.map(|source| Change::SetClause {
            sheet: self.sheet.name.clone(),
            quantity: quantity.name.clone(),
            clause: Clause::Source,
            text: source.into(),
        });
        Some([line, value].into_iter().chain(source).collect())
    }

    /// What typing a text does beside what is typed, in words: it changes what sort of line stands there.
    pub fn also(&self, spot: Spot, text: &str) -> Option<String> {
        let quantity = self.quantity(spot.quantity)?;
        let name = &quantity.name;
        if self.becomes_worked(spot, text) {
            let source = source_words(quantity.source.as_ref());
            return (!source.is_empty()).then(|| {
                format!("{name} is worked now: its source, {source}, is kept as a remark and comes back with a number. Ctrl+Z takes it back.")
            });
        }
        if let (Form::List, Field::Value(item), Role::Work) = (self.sheet.form, spot.field, quantity.role)
            && !quantity.own.contains(&item)
            && !text.trim().is_empty()
            && let Some(row) = self.results.items.get(item)
        {
            return Some(format!(
                "{name} of {row} is typed now and not worked any more; the other rows are. Empty it, or Ctrl+Z, brings the formula back."
            ));
        }
        if let (Form::Sheet, Field::Value(item), Role::Work) = (self.sheet.form, spot.field, quantity.role)
            && !self.is_whole(spot)
            && is_value(text)
            && !is_value(&self.typed(spot))
            && let Some(case) = self.results.items.get(item).filter(|case| !case.is_empty())
        {
            return Some(format!(
                "{name} in {case} is typed now and not worked any more; the other cases are as they were. Ctrl+Z brings the formula back."
            ));
        }
        if spot.field == Field::Unit {
            return self.taken_as(spot, text);
        }
        let source = self.line(name).and_then(|(_, line)| remembered(&line.text).1);
        self.becomes_given(spot, text).then(|| match source {
            Some(source) => {
                format!(
                    "{name} is given now, with the source it had: {source}. Its formula went; Ctrl+Z brings it back."
                )
            }
            None => format!(
                "{name} is given now: its formula went; Ctrl+Z brings it back. Say where the number comes from."
            ),
        })
    }

    /// What bare numbers are taken for beside a unit without a dimension, in words: both can have been meant.
    fn taken_as(&self, spot: Spot, text: &str) -> Option<String> {
        let quantity = self
            .quantity(spot.quantity)
            .filter(|quantity| quantity.role == Role::Given)?;
        let unit = Unit::known(unit_typed(text))?;
        if !unit.dimension.is_none() || unit.is_plain() {
            return None;
        }
        let (typed, number) = (0..self.results.items.len().min(LOOKED_AT)).find_map(|item| {
            let field = Field::Value(item);
            let typed = self.typed(Spot { field, ..spot });
            let number = bare_number(&typed).filter(|number| number.abs() > 0.0)?;
            Some((typed, number))
        })?;
        let (name, sign) = (&quantity.name, &unit.text);
        Some(if self.means(quantity, spot.quantity, &unit) {
            format!("{name}: {typed} was a plain number and is {typed} {sign} now. Ctrl+Z takes it back.")
        } else {
            let share = Decimal::from_f64(number / unit.factor.to_f64())?
                .round_dp(6)
                .normalize();
            format!("{name}: {typed} is a plain number, so {share} {sign}. Where {typed} {sign} is meant, type it so.")
        })
    }

    /// Whether bare numbers of a given are meant in a unit that is typed beside them. Whatever has a dimension is no number without
    /// its unit. A share may be typed as a plain number: 0.85 stays what it is and is shown as 85 %. A number that can be no such
    /// share, as 78 of an efficiency, was typed for the unit.
    pub fn means(&self, quantity: &QuantityResults, at: usize, unit: &Unit) -> bool {
        if quantity.role != Role::Given || unit.is_plain() {
            return false;
        }
        if !unit.dimension.is_none() {
            return true;
        }
        let of_kind = match &quantity.sort {
            Sort::Quantity { kind: Some(kind), .. } => Unit::highest_plain(*kind),
            _ => None,
        };
        let highest = of_kind.map_or(1.0, |highest| highest.min(TYPED_PLAIN));
        (0..self.results.items.len().min(LOOKED_AT)).any(|item| {
            let field = Field::Value(item);
            let typed = self.typed(Spot { quantity: at, field });
            bare_number(&typed).is_some_and(|number| number.abs() > highest)
        })
    }

    /// What puts the words of a list that were typed before their kind in quotes: they are texts now.
    fn as_texts(&self, quantity: &QuantityResults, at: usize) -> Vec<Change> {
        if self.sheet.form != Form::List || quantity.role != Role::Given {
            return Vec::new();
        }
        let cell = |row: usize| {
            let text = match self.row_cell(&quantity.name, row)? {
                Cell::Blank | Cell::Text(_) => return None,
                _ => self.typed(Spot {
                    quantity: at,
                    field: Field::Value(row),
                }),
            };
            Some(Change::SetCell {
                list: self.sheet.name.clone(),
                row,
                quantity: quantity.name.clone(),
                text: quoted(&text).into(),
            })
        };
        (0..self.results.items.len()).filter_map(cell).collect()
    }

    /// What gives bare numbers the unit that is typed beside them.
    fn with_unit(&self, quantity: &QuantityResults, at: usize, unit: &str) -> Vec<Change> {
        let (sheet, name) = (&self.sheet.name, &quantity.name);
        if self.sheet.form == Form::List {
            let cell = |row: usize| {
                let typed = self.typed(Spot {
                    quantity: at,
                    field: Field::Value(row),
                });
                let text = bare_with(&typed, unit)?.into();
                Some(Change::SetCell {
                    list: sheet.clone(),
                    row,
                    quantity: name.clone(),
                    text,
                })
            };
            return (0..self.results.items.len()).filter_map(cell).collect();
        }
        let Some(Statement::Quantity(inputs)) = self.line(name).map(|(_, line)| &line.statement) else {
            return Vec::new();
        };
        let several = inputs.values.len() > 1;
        let value = |(case, value): (usize, &Option<crate::workbook::Formula>)| {
            let text = bare_with(&value.as_ref()?.text, unit)?.into();
            Some(Change::SetValue {
                sheet: sheet.clone(),
                quantity: name.clone(),
                case: several.then_some(case),
                text,
            })
        };
        inputs.values.iter().enumerate().filter_map(value).collect()
    }

    /// What somebody changes who empties the place of a unit; `None` where it is no such place, or the unit has words of its own there.
    ///
    /// # Errors
    /// Where it comes of a formula.
    pub fn unit_emptied(&self, spot: Spot) -> Option<Result<Vec<Change>, String>> {
        let quantity = self.quantity(spot.quantity)?;
        let stands = spot.field == Field::Unit && self.typed(spot).is_empty() && !self.unit(spot.quantity).is_empty();
        stands.then(|| self.without_unit(quantity, spot.quantity))
    }

    /// What makes plain numbers of the values of a quantity, where the unit of it stands in them alone.
    ///
    /// # Errors
    /// Where it comes of a formula.
    fn without_unit(&self, quantity: &QuantityResults, at: usize) -> Result<Vec<Change>, String> {
        let (sheet, name) = (&self.sheet.name, &quantity.name);
        let is_list = self.sheet.form == Form::List;
        let items = if is_list { self.results.items.len() } else { 0 };
        let several = self.inputs(name).is_some_and(|inputs| inputs.values.len() > 1);
        let of_line = self
            .inputs(name)
            .into_iter()
            .flat_map(|inputs| inputs.values.iter().enumerate());
        let of_line = of_line.filter_map(|(case, value)| {
            let text = without_unit(&value.as_ref()?.text)?.into();
            Some(Change::SetValue {
                sheet: sheet.clone(),
                quantity: name.clone(),
                case: (several && !is_list).then_some(case),
                text,
            })
        });
        let of_rows = (0..items).filter_map(|row| {
            let field = Field::Value(row);
            let text = without_unit(&self.typed(Spot { quantity: at, field }))?.into();
            Some(Change::SetCell {
                list: sheet.clone(),
                row,
                quantity: name.clone(),
                text,
            })
        });
        let changes: Vec<Change> = of_line.chain(of_rows).collect();
        match changes.is_empty() {
            true => Err(format!(
                "The unit of {name} comes of its formula; another one that goes with it can be typed here, and the formula says what it is."
            )),
            false => Ok(changes),
        }
    }

    /// What the values of a quantity become where their unit is taken from them: `0.86 kW becomes 0.86`; `None` where that says nothing.
    pub fn becomes_plain(&self, spot: Spot) -> Option<String> {
        let quantity = self.quantity(spot.quantity)?;
        if !self.typed(spot).is_empty() || self.unit(spot.quantity).is_empty() {
            return None;
        }
        (0..quantity.cells.len().min(200)).find_map(|item| {
            let field = Field::Value(item);
            let typed = self.typed(Spot { field, ..spot });
            let becomes = without_unit(&typed)?;
            Some(format!("{typed} becomes {becomes}"))
        })
    }

    /// The line of a quantity with an equation in place of its value or of the equation it has; `None` where it has no line.
    pub fn with_equation(&self, quantity: &QuantityResults, equation: &str) -> Option<String> {
        let (_, line) = self.line(&quantity.name)?;
        let Statement::Quantity(inputs) = &line.statement else {
            return None;
        };
        if inputs.role == Role::Seek {
            let from = line.text.find("such that").unwrap_or(line.text.len());
            return Some(format!("{}{equation}", line.text.get(..from).unwrap_or("")));
        }
        let mut text = format!("seek {}", inputs.name);
        if let Some(unit) = &inputs.unit {
            text.push_str(&format!(" in {}", unit.unit.text));
        }
        text.push_str(&format!(" {equation}"));
        if let Some(KindText::Kind(kind)) = &inputs.kind {
            text.push_str(&format!(" : {}", kind.words()));
        }
        if let Some(title) = &inputs.title {
            text.push_str(&format!(" {}", quoted(title)));
        }
        Some(text)
    }

    /// A given or worked quantity is sought from now on: its line with an equation in place of its value.
    fn sought_now(&self, quantity: &QuantityResults, equation: &str) -> Result<Vec<Change>, String> {
        let none = "This quantity has no line of its own.";
        let (at, _) = self.line(&quantity.name).ok_or(none)?;
        let text = self.with_equation(quantity, equation).ok_or(none)?;
        let (read, _) = read_statement(&text);
        match read.faults.iter().find(|fault| fault.is_error()) {
            Some(fault) => Err(fault.in_words()),
            None => Ok(vec![Change::SetLine {
                place: Place::Line(self.at, at),
                text: text.into(),
            }]),
        }
    }

    /// A given becomes a worked quantity with a formula; where it came from is over.
    fn worked_now(&self, quantity: &QuantityResults, text: &str) -> Result<Vec<Change>, String> {
        let (at, line) = self
            .line(&quantity.name)
            .ok_or("This quantity has no line of its own.")?;
        let rest = line.text.strip_prefix("given").unwrap_or(&line.text);
        let (sheet, name) = (self.sheet.name.clone(), quantity.name.clone());
        let source = quantity.source.as_ref().map(|_| Change::SetClause {
            sheet: sheet.clone(),
            quantity: name.clone(),
            clause: Clause::Source,
            text: "".into(),
        });
        let value = Change::SetValue {
            sheet,
            quantity: name,
            case: None,
            text: text.into(),
        };
        let remark = quantity.source.as_ref().map(Source::typed);
        let worked = Change::SetLine {
            place: Place::Line(self.at, at),
            text: match remark {
                Some(source) => format!("work{}", remembering(rest, &source)),
                None => format!("work{rest}"),
            }
            .into(),
        };
        // In a list a given is a column, and what is worked is none.
        let column = self.is_column(&quantity.name).then(|| Change::DeleteColumn {
            list: self.sheet.name.clone(),
            name: quantity.name.clone(),
        });
        // The formula comes last: a worked line without one stands only in between.
        let changes = std::iter::once(worked).chain(source).chain([value]);
        Ok(changes.chain(column).collect())
    }
}

/// Formulas of single cases told in the column of formulas at most.
const OWN: usize = 4;

/// How a remark begins that keeps the source of what was given.
const WAS: &str = "# was ";

/// Splits a text before the first such sign that stands in no quotes.
fn before_sign(text: &str, sign: char) -> (&str, &str) {
    let mut quoted = false;
    let found = text.char_indices().find_map(|(at, letter)| {
        quoted ^= letter == '"';
        (letter == sign && !quoted).then_some(at)
    });
    text.split_at(found.unwrap_or(text.len()))
}

/// A line with its source kept in its remark.
fn remembering(line: &str, source: &str) -> String {
    let (text, remark) = before_sign(line, '#');
    let remark = match remark.trim_start_matches('#').trim() {
        "" => String::new(),
        remark => format!("; {remark}"),
    };
    format!("{} {WAS}{source}{remark}", text.trim_end())
}

/// A line without the source that its remark keeps, and that source.
fn remembered(line: &str) -> (String, Option<String>) {
    let as_it_is = || (line.to_owned(), None);
    let (text, remark) = before_sign(line, '#');
    let Some(kept) = remark.strip_prefix(WAS) else {
        return as_it_is();
    };
    let (source, rest) = before_sign(kept, ';');
    let rest = rest.trim_start_matches([';', ' ']);
    match source_typed(source.trim()) {
        Ok(source) if !source.is_empty() => {
            let rest = if rest.is_empty() {
                String::new()
            } else {
                format!(" # {rest}")
            };
            (format!("{}{rest}", text.trim_end()), Some(source))
        }
        _ => as_it_is(),
    }
}

/// What a sort is, in words, with the unit that stands in it: for the line under the grid.
pub fn sort_words(sort: &Sort) -> String {
    let what = measured(sort);
    match sort {
        Sort::Quantity { unit, .. } if !unit.is_plain() && what.is_empty() => format!("in {}", unit.text),
        Sort::Quantity { unit, .. } if !unit.is_plain() => format!("{what}, in {}", unit.text),
        _ => what,
    }
}

/// What is measured, in words; none where there is no word for it and the unit says as much.
pub fn measured(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, kind: None, .. } if unit.kind.is_none() && !unit.dimension.is_none() => String::new(),
        Sort::Quantity { unit, kind, .. } => kind.map_or_else(|| unit.measures(), |kind| kind.words().to_owned()),
        other => other.kind_words(),
    }
}

fn source_words(source: Option<&Source>) -> String {
    source.map(Source::typed).unwrap_or_default()
}

/// A fault over a whole text.
pub fn whole(text: &str, message: impl Into<Words>) -> Fault {
    Fault::new(Code::CHANGE_REFUSED, Span::new(0, text.len()), message)
}

/// The fault with one thing to write in place of the whole text for each of some words.
pub fn instead(fault: Fault, text: &str, words: &[String]) -> Fault {
    let span = Span::new(0, text.len());
    words.iter().fold(fault, |fault, word| {
        fault.fix(format!("write {word}"), span, word.clone())
    })
}

/// A source as it stands in a line.
///
/// # Errors
/// Why it is none, and what to write.
pub fn source_typed(text: &str) -> Result<String, Fault> {
    let bare = text.trim();
    if bare.is_empty() {
        return Ok(String::new());
    }
    let end = bare.find(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ':' | ';' | '(' | '"'));
    let (word, rest) = bare.split_at(end.unwrap_or(bare.len()));
    let rest = rest.trim_start_matches(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ':' | ';'));
    let with = |word: &str| match rest.trim() {
        "" => word.to_owned(),
        rest if rest.starts_with('"') => format!("{word} {rest}"),
        rest => format!("{word} {}", quoted(rest)),
    };
    if SourceWord::find(word).is_some() {
        return Ok(with(word));
    }
    let fault = whole(text, format!("`{word}` is no word for a source"));
    if let Some(source) = SourceWord::find(&word.to_lowercase()).or_else(|| SourceWord::near(word)) {
        let near = with(source.word());
        return Err(instead(
            fault.help(format!("write `{}`: {}", source.word(), source.help())),
            text,
            &[near],
        ));
    }
    let words: Vec<String> = SourceWord::ALL.map(|source| source.word().to_owned()).into();
    let fault = fault.help(format!("a source begins with {}", words.join(", ")));
    let all: Vec<String> = words.iter().map(|word| format!("{word} {}", quoted(bare))).collect();
    Err(instead(fault, text, &all))
}

/// A number with its unit, alone or with what it may be off.
pub fn literal(tree: &Expr) -> Option<(rust_decimal::Decimal, Unit)> {
    match &tree.node {
        Node::Number(number) => Some((number.value, number.unit.as_ref()?.unit.clone())),
        Node::Toleranced { value, .. } => literal(value),
        _ => None,
    }
}

/// A number with its unit, perhaps with what it may be off, as a plain one; `None` for every other text.
fn without_unit(text: &str) -> Option<String> {
    let (tree, faults) = syntax::parse(text);
    if faults.iter().any(Fault::is_error) || literal(&tree).is_none() {
        return None;
    }
    let mut numbers = Vec::new();
    plain_numbers(&tree, true, &mut numbers);
    let mut out = text.to_owned();
    for (from, to, plain) in numbers.into_iter().rev() {
        if out.get(from..to).is_some() {
            out.replace_range(from..to, &plain);
        }
    }
    Some(out)
}

/// The numbers with a unit in a text, from left to right, and what they are without it. A per cent that a value may be off is one of that
/// value, with a unit or without.
fn plain_numbers(tree: &Expr, is_value: bool, found: &mut Vec<(usize, usize, String)>) {
    if let Node::Number(number) = &tree.node
        && let Some(unit) = &number.unit
    {
        let plain = match &*unit.unit.text == "%" {
            true if !is_value => return,
            true => number.value / rust_decimal::Decimal::ONE_HUNDRED,
            false => number.value,
        };
        found.push((
            tree.span.start as usize,
            tree.span.end as usize,
            plain.normalize().to_string(),
        ));
    }
    for (part, tree) in tree.parts().into_iter().enumerate() {
        plain_numbers(tree, is_value && part == 0, found);
    }
}

/// Whether nothing but plain numbers is worked in a text: no name, no unit, no function but those of mathematics.
fn is_of_numbers(tree: &Expr) -> bool {
    let node_fits = match &tree.node {
        Node::Number(number) => number.unit.is_none(),
        Node::Negative(_) | Node::Sum(_) | Node::Product(_) | Node::Power(..) => true,
        Node::Call { name, arguments, .. } => functions::is_of_mathematics(name) && !arguments.is_empty(),
        _ => false,
    };
    node_fits && tree.parts().into_iter().all(is_of_numbers)
}

/// Whether a number with its unit stands somewhere in it.
fn has_units(tree: &Expr) -> bool {
    matches!(&tree.node, Node::Number(number) if number.unit.is_some()) || tree.parts().into_iter().any(has_units)
}

/// Where a unit has to stand so that a formula of numbers is in it: behind each number of a sum, one factor of a product. `None` for
/// what it cannot stand in.
fn unit_places(tree: &Expr, out: &mut Vec<usize>) -> Option<()> {
    match &tree.node {
        Node::Number(number) => {
            if number.unit.is_none() {
                out.push(tree.span.end as usize);
            }
            Some(())
        }
        Node::Negative(inner) => unit_places(inner, out),
        Node::Sum(terms) => terms.iter().try_for_each(|(_, term)| unit_places(term, out)),
        Node::Product(factors) => {
            let known =
                |part: &Expr| is_of_numbers(part) || has_units(part) && unit_places(part, &mut Vec::new()).is_some();
            if !factors.iter().all(|(_, part)| known(part)) {
                return None;
            }
            if factors.iter().any(|(_, part)| has_units(part)) {
                return Some(());
            }
            let mut times = factors.iter().filter(|(sign, _)| *sign == ProductSign::Times);
            times.find_map(|(_, part)| {
                let mut places = Vec::new();
                unit_places(part, &mut places)?;
                out.append(&mut places);
                Some(())
            })
        }
        Node::Toleranced { value, tolerance } => {
            unit_places(value, out)?;
            match tolerance {
                Tolerance::Size(size) => unit_places(size, out),
                Tolerance::Limits(low, high) => unit_places(low, out).and_then(|()| unit_places(high, out)),
                Tolerance::Of(..) | Tolerance::Schedule { .. } => Some(()),
            }
        }
        _ => None,
    }
}

/// A formula and the unit it is wanted in, of `Q_m / v in kg/m`.
fn wanted_in(text: &str) -> Option<(&str, &str)> {
    let (tree, faults) = syntax::parse(text);
    let Node::In(inner, _) = &tree.node else { return None };
    let formula = text.get(..inner.span.end as usize)?;
    let unit = text
        .get(inner.span.end as usize..)?
        .trim_start()
        .strip_prefix("in ")?
        .trim();
    (!faults.iter().any(Fault::is_error) && Unit::known(unit).is_some()).then_some((formula, unit))
}

/// A bare number, perhaps with what it may be off, or a formula of such numbers, with a unit behind each number that needs one;
/// `None` for every other text.
pub fn bare_with(text: &str, unit: &str) -> Option<String> {
    // It is no number yet, but it keeps its unit where it is made one.
    if !unit.is_empty() && with_comma(text).is_some() {
        return Some(format!("{} {unit}", text.trim()));
    }
    match plated(text, unit) {
        Some(Ok(number)) => return Some(number),
        // With its unit it is told what it is.
        Some(Err(_)) => return Some(format!("{} {unit}", text.trim())),
        None => {}
    }
    let (tree, faults) = syntax::parse(text);
    if faults.iter().any(Fault::is_error) {
        return None;
    }
    let mut ends = Vec::new();
    unit_places(&tree, &mut ends)?;
    // With a unit of its own nothing but its tolerance is read in another one.
    if ends.is_empty() || unit.is_empty() || literal(&tree).is_some() {
        return None;
    }
    ends.sort_unstable();
    let mut out = text.to_owned();
    for end in ends.into_iter().rev() {
        // A unit goes on to the next blank: `2*6` becomes `2 m * 6`.
        let rest = out.get(end..).unwrap_or("");
        let blank = match rest.chars().next() {
            Some(sign) if matches!(sign, '*' | '/' | '·' | '×' | '^' | '-' | '−' | '+') => {
                let at = end + sign.len_utf8();
                if out.get(at..).is_some_and(|rest| !rest.starts_with(char::is_whitespace)) {
                    out.insert(at, ' ');
                }
                " "
            }
            _ => "",
        };
        out.insert_str(end, &format!(" {unit}{blank}"));
    }
    Some(out)
}

/// The largest share of a kind, as of a service factor, that people write as a plain number; without a kind it is the whole. Common
/// practice, no source.
const TYPED_PLAIN: f64 = 1.5;
/// Rows that are looked at to learn how a column is written.
const LOOKED_AT: usize = 1000;

/// Whether a text stands in quotes as a whole.
fn is_quoted(text: &str) -> bool {
    let inner = text.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    inner.is_some_and(|inner| !inner.replace("\\\\", "").replace("\\\"", "").contains('"'))
}

/// A unit as it is typed in its place, with or without the word that stands before it in a line.
pub fn unit_typed(text: &str) -> &str {
    let text = text.trim();
    text.strip_prefix("in ").unwrap_or(text).trim()
}

/// A number without a unit, perhaps negative or with what it may be off.
fn plain_number(tree: &Expr) -> Option<Decimal> {
    match &tree.node {
        Node::Negative(inner) | Node::Toleranced { value: inner, .. } => plain_number(inner),
        Node::Number(number) if number.unit.is_none() => Some(number.value),
        _ => None,
    }
}

/// A number without a unit, perhaps with a decimal comma or with what it may be off.
fn bare_number(text: &str) -> Option<f64> {
    if let Some(number) = with_comma(text) {
        return Some(number);
    }
    plain_number(&syntax::parse(text).0)?.to_f64()
}

/// A number as it is written with a decimal comma: `190,5`.
fn with_comma(text: &str) -> Option<f64> {
    let text = text.trim();
    let unsigned = text.strip_prefix(['-', '−', '+']).unwrap_or(text);
    let number: f64 = readings(unsigned)?.0.parse().ok()?;
    Some(if text.starts_with(['-', '−']) {
        -number
    } else {
        number
    })
}

/// Whether a text is one bare number, perhaps with what it may be off.
fn is_bare(text: &str) -> bool {
    let (tree, faults) = syntax::parse(text);
    plain_number(&tree).is_some() && !faults.iter().any(Fault::is_error)
}

/// Whether a text is a number, with a unit or bare, perhaps with what it may be off.
pub fn is_value(text: &str) -> bool {
    // Most cells of a table that is pasted; no grammar is needed for them.
    if is_digits(text) {
        return true;
    }
    let (tree, faults) = syntax::parse(text);
    let number = |tree: &Expr| match &tree.node {
        Node::Negative(inner) => matches!(inner.node, Node::Number(_) | Node::Toleranced { .. }),
        Node::Number(_) | Node::Toleranced { .. } => true,
        _ => false,
    };
    let begins = text
        .trim_start()
        .starts_with(|first: char| first.is_ascii_digit() || matches!(first, '-' | '−' | '+'));
    // What begins like a number and cannot be read is one that was written otherwise.
    number(&tree) || begins && faults.iter().any(|fault| fault.is_error())
}

/// `1455`, `7.5`: digits with a point among them perhaps, and no more than any number has.
fn is_digits(text: &str) -> bool {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let all = |digits: &str| !digits.is_empty() && digits.bytes().all(|sign| sign.is_ascii_digit());
    text.len() <= 16 && all(whole) && all(part)
}

/// A fresh name: `x`, `x_2`, `x_3` …
pub fn fresh(base: &str, taken: impl Fn(&str) -> bool) -> Arc<str> {
    if !taken(base) {
        return base.into();
    }
    let mut number = 2_u32;
    loop {
        let name = format!("{base}_{number}");
        if !taken(&name) {
            return name.into();
        }
        number = number.saturating_add(1);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::session::Command;

    /// What is told without the grammar is what the grammar tells.
    #[test]
    fn digits_are_the_number_that_they_are_read_as() {
        for text in ["0", "1455", "007", "7.5", "0.50", "123456789012345"] {
            assert!(is_digits(text), "{text}");
            let (tree, faults) = syntax::parse(text);
            assert!(
                matches!(tree.node, Node::Number(_)) && faults.is_empty(),
                "{text}: {faults:?}"
            );
        }
        for text in ["", ".", "7.", ".5", "1.2.3", "1,5", "-1", "1 kW", "1e3", " 1", "M-1"] {
            assert!(!is_digits(text), "{text}");
        }
    }

    const TEXT: &str = "polepair 1
sheet a
  cases x | y
  given P = 15 kW | 20 hp : shaft power \"Power\" plate
  given eta = 90 % # guessed
  work  Q = P / eta in kW
list motors
  given tag : text
  given P in kW : shaft power
  work  R = 2 * P
  rows tag | P
    \"P-1\" | 15 kW
    \"P-2\" |
";

    fn edit(session: &mut Session, sheet: usize, quantity: usize, field: Field, text: &str) -> Result<(), String> {
        let changes = Seen::of(session, sheet)
            .unwrap()
            .change(Spot { quantity, field }, text)?;
        session
            .apply(Command {
                label: "type".into(),
                changes,
            })
            .map(|_| ())
            .map_err(|fault| fault.message.into())
    }

    #[test]
    fn each_field_is_typed_alone_and_the_rest_of_the_line_stays() {
        let mut session = Session::open(TEXT);
        edit(&mut session, 0, 1, Field::Label, "Efficiency").unwrap();
        edit(&mut session, 0, 1, Field::Kind, "motor efficiency").unwrap();
        edit(&mut session, 0, 1, Field::Source, "maker page 7").unwrap();
        edit(&mut session, 0, 0, Field::Source, "measured").unwrap();
        edit(&mut session, 0, 0, Field::Label, "Rating").unwrap();
        edit(&mut session, 0, 2, Field::Unit, "W").unwrap();
        let lines: Vec<&str> = session.workbook().sheets[0]
            .lines
            .iter()
            .map(|line| &*line.text)
            .collect();
        assert_eq!(
            lines,
            [
                "cases x | y",
                "given P = 15 kW | 20 hp : shaft power \"Rating\" measured",
                "given eta = 90 % : motor efficiency \"Efficiency\" maker \"page 7\" # guessed",
                "work  Q = P / eta in W",
            ]
        );
        edit(&mut session, 0, 1, Field::Source, "").unwrap();
        edit(&mut session, 0, 1, Field::Label, "").unwrap();
        assert_eq!(
            &*session.workbook().sheets[0].lines[2].text,
            "given eta = 90 % : motor efficiency # guessed"
        );
        assert!(edit(&mut session, 0, 1, Field::Source, "somewhere").is_err());
        assert!(edit(&mut session, 0, 1, Field::Unit, "furlongs").is_err());
    }

    /// A value becomes a plain number with its tolerance; a per cent becomes the share it is.
    #[test]
    fn a_unit_is_taken_from_a_value() {
        for (text, plain) in [
            ("0.86 kW", Some("0.86")),
            ("15 kW ± 1.5 kW", Some("15 ± 1.5")),
            ("15 kW ± 10 %", Some("15 ± 10 %")),
            ("86 %", Some("0.86")),
            ("0.86", None),
            ("2 * 3 kW", None),
        ] {
            assert_eq!(without_unit(text).as_deref(), plain, "{text}");
        }
    }

    #[test]
    fn texts_as_typed_come_back_when_typed_again() {
        let mut session = Session::open(TEXT);
        let before = session.text();
        for sheet in 0..2 {
            let (quantities, items) = {
                let seen = Seen::of(&session, sheet).unwrap();
                (seen.results.quantities.len(), seen.results.items.len())
            };
            for quantity in 0..quantities {
                for item in 0..items {
                    let spot = Spot {
                        quantity,
                        field: Field::Value(item),
                    };
                    let seen = Seen::of(&session, sheet).unwrap();
                    if seen.quantity(quantity).unwrap().role != Role::Given {
                        continue;
                    }
                    let text = seen.typed(spot);
                    if sheet == 0 && quantity == 1 {
                        // One value for all cases: typing it for one gives each its own.
                        continue;
                    }
                    edit(&mut session, sheet, quantity, spot.field, &text).unwrap();
                }
            }
        }
        assert_eq!(session.text(), before);
    }

    #[test]
    fn values_say_what_they_are() {
        let session = Session::open(TEXT);
        let seen = Seen::of(&session, 1).unwrap();
        let state = |quantity, item| {
            let field = Field::Value(item);
            seen.shown(Spot { quantity, field }, false).state
        };
        assert_eq!(state(1, 0), State::Typed);
        assert_eq!(state(1, 1), State::Missing);
        assert_eq!(state(2, 0), State::Worked);
        assert_eq!(state(2, 1), State::Missing);
    }

    /// By hand: twice 15 kW ± 1 kW is 28 … 32 kW, in horsepower of 745.699 9 W 37.548 … 42.913, outwards at two
    /// digits of their distance 37.5 … 43.0.
    #[test]
    fn a_value_that_rests_on_a_tolerance_shows_its_limits() {
        let session =
            Session::open("polepair 1\nsheet a\n  given P = 15 kW ± 1 kW : shaft power\n  work Q = 2 * P in kW\n");
        let seen = Seen::of(&session, 0).unwrap();
        let shown = |quantity, system| {
            let field = Field::Value(0);
            let shown = seen.shown_in(system).shown(Spot { quantity, field }, false);
            format!("{} {}", shown.text, shown.band)
        };
        assert_eq!(shown(0, System::AsWritten), "15 (14.0 … 16.0)");
        assert_eq!(shown(1, System::AsWritten), "30.0 (28.0 … 32.0)");
        assert_eq!(shown(1, System::Us), "40.2 (37.5 … 43.0)");
    }

    /// By hand: of 15 kW and a blank the sum is 15 kW, of one row of two; the number of rows is of both.
    #[test]
    fn a_sum_of_fewer_rows_says_so_beside_it_in_sheets_and_lists() {
        let session = Session::open(&format!(
            "{TEXT}list groups = groups of motors by tag\n  work S = sum(P for motors)\n  work N = count(motors)\n\
             sheet b\n  work S = sum(P for motors)\n  work M = 2 * S\n"
        ));
        let shown = |sheet, quantity| {
            let field = Field::Value(0);
            let seen = Seen::of(&session, sheet).unwrap();
            let shown = seen.shown(Spot { quantity, field }, false);
            (format!("{}|{}", shown.text, shown.band), shown.why)
        };
        let told = Some("1 of 2 rows: the others have no value".to_owned());
        assert_eq!(shown(2, 1), ("15|1 of 2 rows".to_owned(), told.clone()));
        assert_eq!(shown(2, 2), ("2|".to_owned(), None));
        assert_eq!(shown(3, 0), ("15|1 of 2 rows".to_owned(), told));
        assert_eq!(shown(3, 1), ("30|".to_owned(), None));
    }

    /// Where the line names no unit for all cases, each typed value stands as it was typed, whatever is typed beside it; where it
    /// names one, that unit is the unit of all.
    #[test]
    fn a_unit_typed_in_one_case_leaves_the_others_as_they_are() {
        let mut session = Session::open(
            "polepair 1\nsheet a\n  cases x | y\n  given P = 15 kW | 18 kW : shaft power\n  given Q = 15 kW | 20 hp in kW\n  given R = 15 kW | 20 hp ± 1 hp\n",
        );
        let shown = |session: &Session, quantity, item| {
            let field = Field::Value(item);
            let shown = Seen::of(session, 0).unwrap().shown(Spot { quantity, field }, false);
            format!("{} {}", shown.text, shown.band).trim_end().to_owned()
        };
        assert_eq!([shown(&session, 0, 0), shown(&session, 0, 1)], ["15", "18"]);
        edit(&mut session, 0, 0, Field::Value(0), "20 hp").unwrap();
        let unit = Seen::of(&session, 0).unwrap().unit(0);
        let (first, second) = (shown(&session, 0, 0), shown(&session, 0, 1));
        assert!(
            (unit.as_str(), first.as_str(), second.as_str()) == ("hp", "20", "18 kW")
                || (unit.as_str(), first.as_str(), second.as_str()) == ("kW", "20 hp", "18"),
            "{unit}: {first}, {second}"
        );
        // 20 hp of 745.699 9 W are 14.914 kW.
        assert_eq!([shown(&session, 1, 0), shown(&session, 1, 1)], ["15", "14.91"]);
        assert_eq!(shown(&session, 2, 1), "20 hp (19.0 … 21.0)");
        // In a system of units there is one unit for all.
        let us = Seen::of(&session, 0).unwrap().shown_in(System::Us);
        let field = Field::Value(1);
        assert_eq!(us.shown(Spot { quantity: 0, field }, false).text, "24.14");
    }

    /// 15 kW over 745.699 9 W a horsepower (NIST SP 811, appendix B) are 20.12 hp at four digits.
    #[test]
    fn the_system_changes_what_is_shown_and_nothing_else() {
        let session = Session::open(TEXT);
        let seen = Seen::of(&session, 0).unwrap();
        let spot = Spot {
            quantity: 0,
            field: Field::Value(0),
        };
        let before = session.text();
        let us = seen.shown_in(System::Us);
        assert_eq!(us.shown(spot, false).text, "20.12");
        assert_eq!(us.unit(0), "hp");
        assert_eq!(seen.shown_in(System::Si).shown(spot, false).text, "15");
        assert_eq!(session.text(), before);
        assert_eq!(seen.typed(spot), "15 kW");
    }
}
