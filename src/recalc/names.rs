//! The names a formula mentions, before it is checked.
//!
//! For: the order in which formulas are checked.
//! Always: every name that could mean a quantity, a curve or a definition is there; some that do not may be, too.

use crate::language::syntax::{Expr, Item, Name, Node};

/// A name and the list whose rows it may belong to.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Mention {
    /// A plain name; inside an aggregate, the list named there first.
    Plain(Name, Option<Name>),
    /// `brine.P_sh`, `motors("P-101").P_r`: sheet, name, and whether one fixed item is meant.
    Far(Name, Name, bool),
    /// A function, definition or curve.
    Call(Name),
    /// A plain name among the arguments of a call: may be a curve or definition that is handed on. Stands beside its `Plain`.
    HandedOn(Name),
}

/// All names of a formula.
pub fn mentions(tree: &Expr) -> Vec<Mention> {
    let mut out = Vec::new();
    let mut open: Vec<(&Expr, Option<&Name>)> = vec![(tree, None)];
    // The tree is bounded, but it is walked without recursion all the same.
    while let Some((expr, list)) = open.pop() {
        match &expr.node {
            Node::Number(_) | Node::Text(_) | Node::Bad => {}
            Node::Name(name) => out.push(Mention::Plain(name.clone(), list.cloned())),
            Node::Here(name) => out.push(Mention::Plain(name.clone(), None)),
            Node::Far { sheet, item, name } => {
                out.push(Mention::Far(sheet.clone(), name.clone(), !matches!(item, Item::Same)));
            }
            Node::Toleranced { .. } => open.extend(expr.parts().into_iter().map(|part| (part, list))),
            Node::Call { name, arguments, .. } => {
                out.push(Mention::Call(name.clone()));
                out.extend(arguments.iter().filter_map(|part| match &part.node {
                    Node::Name(name) => Some(Mention::HandedOn(name.clone())),
                    _ => None,
                }));
                open.extend(arguments.iter().map(|part| (part, list)));
            }
            Node::Sum(parts) => open.extend(parts.iter().map(|(_, part)| (part, list))),
            Node::Product(parts) => open.extend(parts.iter().map(|(_, part)| (part, list))),
            Node::Power(first, second) | Node::Else(first, second) => {
                open.extend([(first.as_ref(), list), (second.as_ref(), list)]);
            }
            Node::Negative(part) | Node::In(part, _) | Node::Not(part) => open.push((part, list)),
            Node::Compare(first, rest) => {
                open.push((first, list));
                open.extend(rest.iter().map(|(_, part)| (part, list)));
            }
            Node::And(parts) | Node::Or(parts) => open.extend(parts.iter().map(|part| (part, list))),
            Node::Choice { arms, otherwise } => {
                for (value, condition) in arms {
                    open.extend([(value, list), (condition, list)]);
                }
                open.extend(otherwise.iter().map(|part| (part.as_ref(), list)));
            }
            Node::Aggregate {
                value,
                list: over,
                along,
                condition,
                ..
            } => {
                open.extend(value.iter().map(|part| (part.as_ref(), Some(over))));
                open.extend(condition.iter().map(|part| (part.as_ref(), Some(over))));
                // What is sought is the asking item's.
                open.extend(
                    along
                        .iter()
                        .flat_map(|along| [(&along.0, Some(over)), (&along.1, list)]),
                );
            }
            Node::Integral { value, from, to, .. } => {
                open.extend([(value.as_ref(), list), (from.as_ref(), list), (to.as_ref(), list)]);
            }
        }
    }
    out
}
