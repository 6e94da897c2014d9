//! The tree of a formula.
//!
//! Always: plain values with byte places, no types, no parser types. Sums and products are flat lists, so that a long sum is
//! no deep tree.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::fault::Span;
use crate::quantity::Unit;

/// A name in its one form (subscript digits as `_1`, twins made one).
pub type Name = Arc<str>;

/// A formula or a part of one.
#[derive(Clone, Debug)]
pub struct Expr {
    /// What it is.
    pub node: Node,
    /// Where it stands in the formula's text.
    pub span: Span,
}

/// A unit as written in a formula.
#[derive(Clone, Debug)]
pub struct WrittenUnit {
    /// The unit.
    pub unit: Unit,
    /// Where it stands.
    pub span: Span,
}

/// A number as written.
#[derive(Clone, Debug)]
pub struct Literal {
    /// The number, with the digits as typed (1.10 keeps its zero).
    pub value: Decimal,
    /// Its unit, if one follows.
    pub unit: Option<WrittenUnit>,
}

/// Which item of a sheet or list is meant.
#[derive(Clone, Debug)]
pub enum Item {
    /// `brine.P_sh`: the same case, or the only one.
    Same,
    /// `motors("P-101").P_r`.
    Key(Arc<str>),
    /// `motors(row 12).P_r`: the row number, from 1, of the list.
    Row(u32),
}

/// An operator of a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SumSign {
    /// +
    Plus,
    /// −
    Minus,
}

/// An operator of a product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProductSign {
    /// × · *
    Times,
    /// /
    Over,
}

/// A comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// =
    Equal,
    /// ≠
    NotEqual,
    /// <
    Less,
    /// ≤
    LessEqual,
    /// >
    Greater,
    /// ≥
    GreaterEqual,
}

/// A part with the operator before it.
pub type Signed<S> = (S, Expr);

/// What a value may be off. Sizes and limits are numbers, a minus before them is theirs.
#[derive(Clone, Debug)]
pub enum Tolerance {
    /// `± 8 r/min`, `± 2 %` of the value
    Size(Box<Expr>),
    /// `± 20 % of (n_s - n_r)`
    Of(Box<Expr>, Box<Expr>),
    /// `limits 1750 r/min … 1768 r/min`
    Limits(Box<Expr>, Box<Expr>),
    /// `± iec_60034_1(P_r)`
    Schedule {
        /// Its name.
        name: Name,
        /// Where the name stands.
        name_span: Span,
        /// What it depends on.
        arguments: Vec<Expr>,
    },
}

/// What a formula can be.
#[derive(Clone, Debug)]
pub enum Node {
    /// `15 kW`
    Number(Literal),
    /// `1760 r/min ± 8 r/min`: a number with what it may be off.
    Toleranced {
        /// The number.
        value: Box<Expr>,
        /// What it may be off.
        tolerance: Tolerance,
    },
    /// `"star"`
    Text(Arc<str>),
    /// `P_sh`
    Name(Name),
    /// `brine.P_sh`, `motors("P-101").P_r`, `motors(row 12).P_r`
    Far {
        /// Sheet or list.
        sheet: Name,
        /// Which item.
        item: Item,
        /// The quantity.
        name: Name,
    },
    /// `here.x` inside an aggregate: the asking item.
    Here(Name),
    /// `torque(P, n)`, `T_L(n)`: function, definition or curve.
    Call {
        /// The name called.
        name: Name,
        /// Where the name stands.
        name_span: Span,
        /// What it is called with.
        arguments: Vec<Expr>,
    },
    /// `a + b − c`, at least two parts; the first sign is always plus.
    Sum(Vec<Signed<SumSign>>),
    /// `a * b / c`, at least two parts; the first sign is always times.
    Product(Vec<Signed<ProductSign>>),
    /// `a ^ b`, `a²`
    Power(Box<Expr>, Box<Expr>),
    /// `−a`
    Negative(Box<Expr>),
    /// `a in kW`
    In(Box<Expr>, WrittenUnit),
    /// `a < b <= c`: at least one comparison.
    Compare(Box<Expr>, Vec<(Comparison, Expr)>),
    /// `a and b and c`
    And(Vec<Expr>),
    /// `a or b`
    Or(Vec<Expr>),
    /// `not a`
    Not(Box<Expr>),
    /// `A when C, B when D, otherwise E`
    Choice {
        /// Value and condition, in order.
        arms: Vec<(Expr, Expr)>,
        /// The last resort.
        otherwise: Option<Box<Expr>>,
    },
    /// `a else b`: b where a is blank.
    Else(Box<Expr>, Box<Expr>),
    /// `sum(P_in for motors where load > 100 %)`, `count(motors where …)` (no value).
    Aggregate {
        /// sum, mean, largest, smallest, count, only, first, interpolated, next_up, next_down, nearest.
        how: Name,
        /// Where that word stands.
        how_span: Span,
        /// The value worked for each row; `None` for `count(motors)`.
        value: Option<Box<Expr>>,
        /// The list or sheet.
        list: Name,
        /// Where its name stands.
        list_span: Span,
        /// The quantity of the rows along which a value is sought, and the value of the asking item: `at P = 45 kW`.
        along: Option<Box<(Expr, Expr)>>,
        /// Only rows for which this holds.
        condition: Option<Box<Expr>>,
    },
    /// `integral(E for n from A to B)`
    Integral {
        /// What is integrated.
        value: Box<Expr>,
        /// The variable.
        variable: Name,
        /// Lower end.
        from: Box<Expr>,
        /// Upper end.
        to: Box<Expr>,
    },
    /// A part that could not be read; its fault is in the list. Checks as "anything" and is never worked.
    Bad,
}

impl Expr {
    /// The parts directly inside, in the order of the text (a condition stands after its value).
    pub fn parts(&self) -> Vec<&Expr> {
        match &self.node {
            Node::Number(_) | Node::Text(_) | Node::Name(_) | Node::Far { .. } | Node::Here(_) | Node::Bad => {
                Vec::new()
            }
            Node::Toleranced { value, tolerance } => {
                let mut parts: Vec<&Expr> = vec![value];
                match tolerance {
                    Tolerance::Size(size) => parts.push(size),
                    Tolerance::Of(share, of) => parts.extend([&**share, &**of]),
                    Tolerance::Limits(low, high) => parts.extend([&**low, &**high]),
                    Tolerance::Schedule { arguments, .. } => parts.extend(arguments),
                }
                parts
            }
            Node::Call { arguments, .. } => arguments.iter().collect(),
            Node::Sum(parts) => parts.iter().map(|(_, part)| part).collect(),
            Node::Product(parts) => parts.iter().map(|(_, part)| part).collect(),
            Node::Power(base, exponent) => vec![base, exponent],
            Node::Negative(inner) | Node::In(inner, _) | Node::Not(inner) => vec![inner],
            Node::Compare(first, chain) => std::iter::once(first.as_ref())
                .chain(chain.iter().map(|(_, part)| part))
                .collect(),
            Node::And(parts) | Node::Or(parts) => parts.iter().collect(),
            Node::Choice { arms, otherwise } => arms
                .iter()
                .flat_map(|(value, condition)| [value, condition])
                .chain(otherwise.as_deref())
                .collect(),
            Node::Else(left, right) => vec![left, right],
            Node::Aggregate {
                value,
                along,
                condition,
                ..
            } => value
                .as_deref()
                .into_iter()
                .chain(along.iter().flat_map(|along| [&along.0, &along.1]))
                .chain(condition.as_deref())
                .collect(),
            Node::Integral { value, from, to, .. } => vec![value, from, to],
        }
    }
}
