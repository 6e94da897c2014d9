//! Which operator binds tighter. The operators themselves are read by `grammar/formula.pest`.
//!
//! From loose to tight. `in UNIT` stands outside the table: it is looser than all and converts what is on its left.
//!
//! | level | operators | chains |
//! |---|---|---|
//! | `ELSE` | `a else b` | to the right |
//! | `OR` | `a or b` | flat |
//! | `AND` | `a and b` | flat |
//! | `NOT` | `not a` | before an operand |
//! | `COMPARE` | `a < b <= c` | flat, all must hold |
//! | `SUM` | `a + b - c` | flat |
//! | `PRODUCT` | `a * b / c` | flat |
//! | `MINUS` | `-a` | before an operand, so `-a * b` is `(-a) * b` |
//! | `ANGLE` | `a ∠ b` | to the right; tighter than a product, so `V / 2 Ω ∠ 30 deg` is `V / (2 Ω ∠ 30 deg)` |
//! | `POWER` | `a ^ b`, `a²` | to the right; tighter than minus, so `-a²` is `-(a²)` |
//! | `ROOT` | `√a` | takes the next operand alone |
//!
//! A number with its unit is one operand: `f / 4 pole` is `f / (4 pole)`.

use super::grammar::Rule;
use super::tree::{Comparison, ProductSign, SumSign};

/// How tight an operator binds; larger is tighter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Level {
    Else,
    Or,
    And,
    Not,
    Compare,
    Sum,
    Product,
    Minus,
    Angle,
    Power,
}

/// The level of an operator between two operands.
pub(super) fn level(rule: Rule) -> Option<Level> {
    Some(match rule {
        Rule::else_word => Level::Else,
        Rule::or_word => Level::Or,
        Rule::and_word => Level::And,
        Rule::comparison => Level::Compare,
        Rule::sum_sign => Level::Sum,
        Rule::product_sign => Level::Product,
        Rule::angle_sign => Level::Angle,
        Rule::power_sign | Rule::wrong_power => Level::Power,
        _ => return None,
    })
}

/// Plus or minus.
pub(super) fn sum_sign(text: &str) -> SumSign {
    if text == "+" { SumSign::Plus } else { SumSign::Minus }
}

/// Times or over.
pub(super) fn product_sign(text: &str) -> ProductSign {
    if text == "/" || text == "÷" {
        ProductSign::Over
    } else {
        ProductSign::Times
    }
}

/// A comparison, and how it should have been written where it is a habit from elsewhere.
pub(super) fn comparison(text: &str) -> (Comparison, Option<&'static str>) {
    match text {
        "==" => (Comparison::Equal, Some("=")),
        "=<" => (Comparison::LessEqual, Some("<=")),
        "=>" => (Comparison::GreaterEqual, Some(">=")),
        "<>" => (Comparison::NotEqual, Some("≠")),
        "!=" | "≠" => (Comparison::NotEqual, None),
        "<=" | "≤" => (Comparison::LessEqual, None),
        ">=" | "≥" => (Comparison::GreaterEqual, None),
        "<" => (Comparison::Less, None),
        ">" => (Comparison::Greater, None),
        _ => (Comparison::Equal, None),
    }
}
