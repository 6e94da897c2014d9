//! The formulas of a sheet as they were typed: of a quantity, of one of its items, of an equation, of a curve or definition.
//!
//! For: whoever shows a formula beside its value: the grid, the files handed over, the trace.
//! Not known here: what the formulas give.

use super::{CurveText, Formula, Line, Quantity, Role, SeekGoal, Sheet, Statement, SuchThat};
use crate::language::syntax::{Expr, Item, Name, Node};

impl Sheet {
    /// Where the line of a quantity stands, and the line.
    pub fn line_of(&self, name: &str) -> Option<(usize, &Line)> {
        self.lines.iter().enumerate().find(|(_, line)| match &line.statement {
            Statement::Quantity(quantity) => *quantity.name == *name,
            Statement::CasesOver { name: known, .. } => **known == *name,
            _ => false,
        })
    }

    /// What the line of a quantity says.
    pub fn inputs_of(&self, name: &str) -> Option<&Quantity> {
        match &self.line_of(name)?.1.statement {
            Statement::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// The formula of an `at` line. `key` is the name of the item, `item` its place.
    pub fn own_of(&self, name: &str, key: &str, item: usize) -> Option<&Formula> {
        self.lines.iter().find_map(|line| match &line.statement {
            Statement::At {
                item: which,
                name: known,
                formula,
            } if **known == *name => match which {
                Item::Key(text) if **text == *key => Some(formula),
                Item::Row(row) if *row as usize == item + 1 => Some(formula),
                _ => None,
            },
            _ => None,
        })
    }

    /// How a quantity of a worked sheet is worked, as typed: the formula of all cases, the equation, then those of single cases
    /// (`in wet: 1.2 * F`). Empty for what is given. `cases` are their names in order.
    pub fn worked_by<N: AsRef<str>>(&self, name: &str, cases: &[N]) -> String {
        let Some(inputs) = self.inputs_of(name) else {
            return String::new();
        };
        let given = inputs.role == Role::Given;
        let formula = |formula: &Formula| Some(formula.text.to_string()).filter(|_| !given || names(&formula.tree));
        let of_all = match (&inputs.such_that, inputs.values.as_slice()) {
            (Some(such_that), _) => Some(such_that.typed()),
            (None, [only]) => only.as_ref().and_then(formula),
            (None, _) => None,
        };
        let several = Some(&inputs.values).filter(|values| values.len() > 1);
        let single = cases.iter().enumerate().filter_map(|(case, name)| {
            let key = name.as_ref();
            let own = self.own_of(&inputs.name, key, case);
            let own = own.or_else(|| several?.get(case)?.as_ref())?;
            Some(format!("in {key}: {}", formula(own)?))
        });
        of_all.into_iter().chain(single).collect::<Vec<_>>().join("; ")
    }
}

/// Whether a formula reads anything by name.
fn names(tree: &Expr) -> bool {
    match &tree.node {
        Node::Name(_) | Node::Far { .. } | Node::Aggregate { .. } => true,
        _ => tree.parts().into_iter().any(names),
    }
}

impl SuchThat {
    /// The equation as typed, with the limits it is looked for between.
    pub fn typed(&self) -> String {
        let text = |formula: &Formula| formula.text.to_string();
        let mut out = format!("such that {}", self.goal.said_with(&text));
        if let Some((low, high)) = &self.between {
            out.push_str(&format!(" between {} and {}", text(low), text(high)));
        }
        out
    }
}

impl SeekGoal {
    /// The goal, each formula by `text`.
    pub fn said_with(&self, text: &dyn Fn(&Formula) -> String) -> String {
        match self {
            SeekGoal::Equation(left, right) => format!("{} = {}", text(left), text(right)),
            SeekGoal::Largest(value) => format!("{} is largest", text(value)),
            SeekGoal::Smallest(value) => format!("{} is smallest", text(value)),
        }
    }
}

/// A curve or definition as a line of a sheet shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Relation {
    /// In words, may be empty.
    pub title: String,
    /// `T_L(n)`
    pub called: String,
    /// Unit of the value, empty where none was typed.
    pub unit: String,
    /// Formula or points, as typed.
    pub formula: String,
    /// `curve` or `definition`.
    pub word: &'static str,
}

impl Statement {
    /// The curve or definition that the line makes.
    pub fn relation(&self) -> Option<Relation> {
        let called = |name: &Name, parameters: &[&Name]| {
            let parameters: Vec<&str> = parameters.iter().map(|parameter| &***parameter).collect();
            format!("{name}({})", parameters.join(", "))
        };
        match self {
            Statement::Curve {
                name,
                parameter,
                unit,
                body,
                title,
                ..
            } => Some(Relation {
                title: title.clone().unwrap_or_default(),
                called: called(name, &[parameter]),
                unit: unit.as_ref().map_or(String::new(), |unit| unit.unit.text.to_string()),
                formula: match body {
                    CurveText::Formula(formula) => formula.text.to_string(),
                    CurveText::Points(points) => {
                        let points = points
                            .iter()
                            .map(|(at, value)| format!("({}, {})", at.text, value.text));
                        format!("through {}", points.collect::<Vec<_>>().join(", "))
                    }
                },
                word: "curve",
            }),
            Statement::Define {
                name,
                parameters,
                body,
                title,
            } => Some(Relation {
                title: title.clone().unwrap_or_default(),
                called: called(name, &parameters.iter().map(|(name, _)| name).collect::<Vec<_>>()),
                unit: String::new(),
                formula: body.text.to_string(),
                word: "definition",
            }),
            _ => None,
        }
    }
}
