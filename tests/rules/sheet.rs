//! A sheet small enough to be written in a test: lines of givens and works, checked in order and worked for one item.

use std::collections::HashMap;
use std::sync::Arc;

use polepair::fault::Fault;
use polepair::language::check::{self, Curved, Defined, Named, QuantityId, Scope, SheetId, Target, Typed, Which};
use polepair::language::syntax::{self, Name};
use polepair::language::work::{Cells, Found, Outcome, Program};
use polepair::quantity::{Kind, Unit};

/// A checked line.
pub struct Line {
    pub name: String,
    pub typed: Typed,
    pub value: Option<Outcome>,
}

#[derive(Default)]
pub struct Sheet {
    pub lines: Vec<Line>,
    pub definitions: HashMap<String, Defined>,
    pub us: bool,
    pub single_phase: bool,
}

impl Scope for Sheet {
    fn quantity(&self, name: &str) -> Option<Named> {
        self.lines.iter().position(|line| line.name == name).map(|at| Named {
            id: QuantityId(at as u32),
            sort: self.lines[at].typed.sort.clone(),
        })
    }
    fn sheet(&self, _: &str) -> Option<SheetId> {
        None
    }
    fn quantity_of(&self, _: SheetId, _: &str) -> Option<Named> {
        None
    }
    fn is_list(&self, _: SheetId) -> bool {
        false
    }
    fn has_item(&self, _: SheetId, _: &Which) -> Option<bool> {
        None
    }
    fn same_case(&self, _: SheetId) -> bool {
        true
    }
    fn definition(&self, name: &str) -> Option<Defined> {
        self.definitions.get(name).cloned()
    }
    fn curve(&self, _: &str) -> Option<Curved> {
        None
    }
    fn names(&self) -> Vec<Name> {
        self.lines.iter().map(|line| line.name.as_str().into()).collect()
    }
    fn sheets(&self) -> Vec<Name> {
        Vec::new()
    }
    fn names_of(&self, _: SheetId) -> Vec<Name> {
        Vec::new()
    }
    fn us_units(&self) -> bool {
        self.us
    }
    fn single_phase(&self) -> bool {
        self.single_phase
    }
}

/// `formula in unit : kind`, the last ` : ` and ` in ` outside brackets counting.
fn split(text: &str) -> (String, Target) {
    let (rest, kind) = match text.rsplit_once(" : ") {
        Some((rest, kind)) => (
            rest,
            Some(Kind::find(kind.trim()).unwrap_or_else(|| panic!("no kind {kind}"))),
        ),
        None => (text, None),
    };
    let (formula, unit) = match rest.rsplit_once(" in ") {
        Some((formula, unit)) if !unit.contains(')') || unit.starts_with('(') => (
            formula,
            Some(Unit::parse(unit.trim()).unwrap_or_else(|_| panic!("no unit {unit}"))),
        ),
        _ => (rest, None),
    };
    (
        formula.trim().to_owned(),
        Target {
            unit,
            kind,
            ..Target::default()
        },
    )
}

impl Sheet {
    /// Adds `name = formula in unit : kind` and works it.
    pub fn add(&mut self, line: &str) -> &Line {
        let (name, rest) = line.split_once('=').unwrap_or_else(|| panic!("no = in {line}"));
        let (formula, target) = split(rest);
        let typed = self.check(&formula, &target);
        let value = self.work(&typed);
        self.lines.push(Line {
            name: name.trim().to_owned(),
            typed,
            value,
        });
        self.lines.last().unwrap()
    }

    pub fn check(&self, formula: &str, target: &Target) -> Typed {
        let (tree, faults) = syntax::parse(formula);
        assert!(faults.is_empty(), "{formula}: {faults:?}");
        check::formula(&tree, formula, target, self)
    }

    pub fn define(&mut self, name: &str, parameters: &[(&str, Option<&str>)], body: &str) {
        let (tree, faults) = syntax::parse(body);
        assert!(faults.is_empty(), "{body}: {faults:?}");
        let defined = Defined {
            parameters: parameters
                .iter()
                .map(|(name, kind)| ((*name).into(), kind.map(|kind| Kind::find(kind).unwrap())))
                .collect(),
            text: body.into(),
            body: Arc::new(tree),
        };
        self.definitions.insert(name.to_owned(), defined);
    }

    /// All faults of all lines.
    pub fn faults(&self) -> Vec<&Fault> {
        self.lines.iter().flat_map(|line| &line.typed.faults).collect()
    }
}

/// The cells of the sheet: one item.
struct Column<'a>(&'a Sheet, Vec<Vec<Outcome>>);

impl Cells for Column<'_> {
    fn column(&self, quantity: QuantityId) -> &[Outcome] {
        self.1.get(quantity.0 as usize).map_or(&[], |cells| cells)
    }
    fn sheet_of(&self, _: QuantityId) -> SheetId {
        SheetId(0)
    }
    fn count(&self, _: SheetId) -> usize {
        1
    }
    fn find(&self, _: SheetId, _: &str) -> Found {
        Found::None
    }
    fn counterpart(&self, _: SheetId, item: usize, _: SheetId) -> Option<usize> {
        Some(item)
    }
    fn name(&self, quantity: QuantityId) -> String {
        self.0.lines[quantity.0 as usize].name.clone()
    }
    fn sheet_name(&self, _: SheetId) -> String {
        "sheet".to_owned()
    }
    fn place(&self, _: SheetId, _: usize) -> String {
        String::new()
    }
}

impl Sheet {
    /// Works a checked formula; `None` where it has an error.
    pub fn work(&self, typed: &Typed) -> Option<Outcome> {
        let cells = self
            .lines
            .iter()
            .map(|line| vec![line.value.clone().unwrap_or_else(|| Outcome::blank("a fault"))])
            .collect();
        let column = Column(self, cells);
        Program::new(typed, &column, SheetId(0), "").map(|program| program.item(0).outcome)
    }
}

impl Line {
    /// The number.
    pub fn number(&self) -> Option<f64> {
        self.value
            .as_ref()
            .and_then(Outcome::as_number)
            .map(|number| number.to_f64())
    }
}
