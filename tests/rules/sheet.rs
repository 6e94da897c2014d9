//! A sheet small enough to be written in a test: lines of givens and works, checked in order and worked for one item.

use std::collections::HashMap;
use std::sync::Arc;

use polepair::fault::Fault;
use polepair::language::check::{
    self, Curved, Defined, Named, Op, QuantityId, Scope, SheetId, Sort, Target, Typed, Which,
};
use polepair::language::functions::Body;
use polepair::language::syntax::{self, Name};
use polepair::quantity::{Kind, Number, Unit};

/// A checked line.
pub struct Line {
    pub name: String,
    pub typed: Typed,
    pub value: Option<Number>,
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
        let value = typed.op.as_ref().map(|op| self.work(op, &typed, &mut HashMap::new()));
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

    fn work(&self, op: &Op, typed: &Typed, locals: &mut HashMap<usize, Number>) -> Number {
        match op {
            Op::Number(number) => *number,
            Op::Read(index) => {
                let read = &typed.reads[*index];
                self.lines[read.quantity.0 as usize].value.expect("a worked line")
            }
            Op::Local(local) => locals[local],
            Op::Let { local, value, body } => {
                let value = self.work(value, typed, locals);
                locals.insert(*local, value);
                self.work(body, typed, locals)
            }
            Op::Sum(parts) => parts.iter().fold(Number::ZERO, |sum, (minus, part)| {
                let part = self.work(part, typed, locals);
                if *minus {
                    sum.sub(part).unwrap()
                } else {
                    sum.add(part).unwrap()
                }
            }),
            Op::Product(parts) => parts.iter().fold(Number::ONE, |product, (over, part)| {
                let part = self.work(part, typed, locals);
                if *over {
                    product.div(part).unwrap()
                } else {
                    product.mul(part).unwrap()
                }
            }),
            Op::Power(base, exponent) => self.work(base, typed, locals).pow_rational(*exponent).unwrap(),
            Op::PowerOf(base, exponent) => {
                let exponent = self.work(exponent, typed, locals);
                self.work(base, typed, locals).pow(exponent).unwrap()
            }
            Op::Negative(inner) => self.work(inner, typed, locals).neg(),
            Op::Scale(inner, scale) => {
                let mut number = self.work(inner, typed, locals);
                if let Some(before) = scale.before {
                    number = number.add(Number::Exact(before)).unwrap();
                }
                number = scale.factor.apply_to(number).unwrap();
                if let Some(after) = scale.after {
                    number = number.sub(Number::Exact(after)).unwrap();
                }
                number
            }
            Op::Call(function, arguments) => {
                let numbers: Vec<Number> = arguments.iter().map(|part| self.work(part, typed, locals)).collect();
                match function.body {
                    Body::Code(code) => code(&numbers).unwrap(),
                    _ => panic!("{function:?} needs the evaluator"),
                }
            }
            other => panic!("not worked here: {other:?}"),
        }
    }
}

/// A short description of what a line gives.
pub fn sort_words(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, kind, .. } => {
            format!("{} [{}]", unit.text, kind.map_or("-", |kind| kind.words()))
        }
        other => format!("{other:?}"),
    }
}
