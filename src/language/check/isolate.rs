//! Equations rearranged: the unknown alone on one side.
//!
//! For: `seek` where the unknown occurs once, through + − × ÷, powers, negation, conversion, and definitions that are formulas.
//! Always: exact; an even power is left alone, since it has two roots. Gives a tree, which is checked like any other.
//! Not known here: units.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::walk::constant;
use crate::fault::Span;
use crate::language::syntax::{Comparison, Expr, Literal, Name, Node, ProductSign, SumSign, quoted};

/// A formula with parameters, by its name.
pub(super) type Opened<'a> = &'a dyn Fn(&str) -> Option<(Vec<Name>, Arc<Expr>)>;

/// Parts that definitions may bring into a rearranged formula; one with more is searched for instead.
const MOST_OPENED: usize = 400;

/// How often a name stands in a tree.
pub(super) fn occurs(expr: &Expr, name: &str) -> usize {
    match &expr.node {
        Node::Name(other) => usize::from(&**other == name),
        // Inside, the name is the variable's.
        Node::Integral { variable, from, to, .. } if &**variable == name => occurs(from, name) + occurs(to, name),
        _ => expr.parts().into_iter().map(|part| occurs(part, name)).sum(),
    }
}

fn made(node: Node, span: Span) -> Expr {
    Expr { node, span }
}

fn joined_product(mut parts: Vec<(ProductSign, Expr)>, span: Span) -> Expr {
    match parts.iter().position(|(sign, _)| *sign == ProductSign::Times) {
        Some(at) => {
            let first = parts.remove(at);
            parts.insert(0, first);
        }
        None => {
            parts.insert(0, (ProductSign::Times, number(1, span)));
        }
    }
    if parts.len() == 1
        && let Some((_, only)) = parts.pop()
    {
        return only;
    }
    made(Node::Product(parts), span)
}

/// A definition's formula with the arguments in place of the parameters. `None` where it is more than plain algebra or too long.
fn in_place(body: &Expr, parameters: &[Name], arguments: &[Expr], span: Span, left: &mut usize) -> Option<Expr> {
    *left = left.checked_sub(1)?;
    let inner = |part: &Expr, left: &mut usize| in_place(part, parameters, arguments, span, left);
    let node = match &body.node {
        Node::Name(name) => match parameters.iter().position(|parameter| parameter == name) {
            Some(at) => {
                let argument = arguments.get(at)?;
                *left = left.checked_sub(parts(argument))?;
                return Some(argument.clone());
            }
            None => Node::Name(name.clone()),
        },
        Node::Number(literal) => Node::Number(literal.clone()),
        Node::Negative(part) => Node::Negative(Box::new(inner(part, left)?)),
        Node::In(part, unit) => Node::In(Box::new(inner(part, left)?), unit.clone()),
        Node::Power(base, exponent) => Node::Power(Box::new(inner(base, left)?), Box::new(inner(exponent, left)?)),
        Node::Sum(list) => {
            let list = list.iter().map(|(sign, part)| Some((*sign, inner(part, left)?)));
            Node::Sum(list.collect::<Option<_>>()?)
        }
        Node::Product(list) => {
            let list = list.iter().map(|(sign, part)| Some((*sign, inner(part, left)?)));
            Node::Product(list.collect::<Option<_>>()?)
        }
        Node::Call {
            name,
            name_span,
            arguments: list,
        } => Node::Call {
            name: name.clone(),
            name_span: *name_span,
            arguments: list.iter().map(|part| inner(part, left)).collect::<Option<_>>()?,
        },
        // What is refused has no value: where there is one, it is the last resort.
        Node::Choice {
            arms,
            otherwise: Some(otherwise),
        } if arms.iter().all(|(value, _)| refuses(value)) => return inner(otherwise, left),
        _ => return None,
    };
    Some(made(node, span))
}

fn refuses(expr: &Expr) -> bool {
    matches!(&expr.node, Node::Call { name, .. } if &**name == "refuse")
}

/// How many parts a formula has, as far as they can stand in plain algebra; others count as very many.
fn parts(expr: &Expr) -> usize {
    1 + match &expr.node {
        Node::Name(_) | Node::Number(_) | Node::Text(_) | Node::Far { .. } | Node::Here(_) => 0,
        Node::Negative(part) | Node::In(part, _) => parts(part),
        Node::Power(base, exponent) => parts(base) + parts(exponent),
        Node::Sum(list) => list.iter().map(|(_, part)| parts(part)).sum(),
        Node::Product(list) => list.iter().map(|(_, part)| parts(part)).sum(),
        Node::Call { arguments, .. } => arguments.iter().map(parts).sum(),
        _ => MOST_OPENED,
    }
}

/// The unknown alone: what it equals. `None` where it occurs more than once or cannot be got alone.
pub(super) fn isolated(left: &Expr, right: &Expr, name: &str, opened: Opened<'_>) -> Option<Expr> {
    let mut room = MOST_OPENED;
    let (mut with, mut other) = match (occurs(left, name), occurs(right, name)) {
        (1, 0) => (left.clone(), right.clone()),
        (0, 1) => (right.clone(), left.clone()),
        _ => return None,
    };
    let span = left.span.join(right.span);
    loop {
        let node = std::mem::replace(&mut with.node, Node::Bad);
        match node {
            Node::Name(found) if &*found == name => return Some(other),
            Node::In(inner, _) => with = *inner,
            Node::Negative(inner) => {
                other = made(Node::Negative(Box::new(other)), span);
                with = *inner;
            }
            Node::Sum(parts) => {
                let at = parts.iter().position(|(_, part)| occurs(part, name) == 1)?;
                let mut parts = parts;
                let (sign, inner) = parts.remove(at);
                // ±x + rest = other: x = ±(other − rest)
                let sum = if sign == SumSign::Plus {
                    let mut list = vec![(SumSign::Plus, other)];
                    list.extend(parts.into_iter().map(|(sign, part)| {
                        let turned = if sign == SumSign::Plus {
                            SumSign::Minus
                        } else {
                            SumSign::Plus
                        };
                        (turned, part)
                    }));
                    list
                } else {
                    parts.push((SumSign::Minus, other));
                    if let Some(at) = parts.iter().position(|(sign, _)| *sign == SumSign::Plus) {
                        let first = parts.remove(at);
                        parts.insert(0, first);
                    }
                    parts
                };
                other = match sum.as_slice() {
                    [(SumSign::Plus, _)] => sum.into_iter().next()?.1,
                    [(SumSign::Plus, _), ..] => made(Node::Sum(sum), span),
                    _ => {
                        let turned = sum
                            .into_iter()
                            .map(|(sign, part)| {
                                let turned = if sign == SumSign::Plus {
                                    SumSign::Minus
                                } else {
                                    SumSign::Plus
                                };
                                (turned, part)
                            })
                            .collect::<Vec<_>>();
                        let inner = if turned.len() == 1 {
                            turned.into_iter().next()?.1
                        } else {
                            made(Node::Sum(turned), span)
                        };
                        made(Node::Negative(Box::new(inner)), span)
                    }
                };
                with = inner;
            }
            Node::Product(parts) => {
                let at = parts.iter().position(|(_, part)| occurs(part, name) == 1)?;
                let mut parts = parts;
                let (sign, inner) = parts.remove(at);
                let turn = |sign: ProductSign| match sign {
                    ProductSign::Times => ProductSign::Over,
                    ProductSign::Over => ProductSign::Times,
                };
                let list = if sign == ProductSign::Times {
                    // x · rest = other: x = other / rest
                    let mut list = vec![(ProductSign::Times, other)];
                    list.extend(parts.into_iter().map(|(sign, part)| (turn(sign), part)));
                    list
                } else {
                    // rest / x = other: x = rest / other
                    parts.push((ProductSign::Over, other));
                    parts
                };
                other = joined_product(list, span);
                with = inner;
            }
            Node::Power(base, exponent) => {
                if occurs(&exponent, name) != 0 {
                    // b^x = other: x = log(other, b)
                    other = called("log", vec![other, *base], span);
                    with = *exponent;
                    continue;
                }
                let (num, den) = constant(&exponent)?.as_fraction()?;
                other = rooted(other, num, den, span)?;
                with = *base;
            }
            Node::Call {
                name: function,
                arguments,
                ..
            } => {
                if let Some((inner, back)) = undone(&function, &arguments, &other, name, span) {
                    (with, other) = (inner, back);
                    continue;
                }
                let (parameters, body) = opened(&function)?;
                if parameters.len() != arguments.len() {
                    return None;
                }
                with = in_place(&body, &parameters, &arguments, span, &mut room)?;
                if occurs(&with, name) != 1 {
                    return None;
                }
            }
            _ => return None,
        }
    }
}

fn number(value: i64, span: Span) -> Expr {
    let literal = Literal {
        value: Decimal::from(value),
        unit: None,
    };
    made(Node::Number(literal), span)
}

fn called(function: &str, arguments: Vec<Expr>, span: Span) -> Expr {
    let node = Node::Call {
        name: Arc::from(function),
        name_span: span,
        arguments,
    };
    made(node, span)
}

/// What stands in a function that is one to one, and what it equals: ln(x) = other gives x = exp(other).
fn undone(function: &str, arguments: &[Expr], other: &Expr, name: &str, span: Span) -> Option<(Expr, Expr)> {
    let raised = |base: Expr| made(Node::Power(Box::new(base), Box::new(other.clone())), span);
    match (function, arguments) {
        ("sqrt", [inner]) => Some((inner.clone(), rooted(other.clone(), 1, 2, span)?)),
        ("exp", [inner]) => Some((inner.clone(), called("ln", vec![other.clone()], span))),
        ("ln", [inner]) => Some((inner.clone(), called("exp", vec![other.clone()], span))),
        ("log10", [inner]) => Some((inner.clone(), raised(number(10, span)))),
        ("log", [inner, base]) if occurs(base, name) == 0 => Some((inner.clone(), raised(base.clone()))),
        _ => None,
    }
}

/// `other^(1/(num/den))`; `None` for an even power, which has two roots.
fn rooted(other: Expr, num: i64, den: i64, span: Span) -> Option<Expr> {
    let divisor = gcd(num.unsigned_abs(), den.unsigned_abs());
    let divisor = i64::try_from(divisor).ok().filter(|divisor| *divisor != 0)?;
    let (num, den) = (num / divisor, den / divisor);
    if num == 0 || num % 2 == 0 {
        return None;
    }
    let number = |value: i64| number(value, span);
    let (up, down) = if num < 0 { (-den, -num) } else { (den, num) };
    let exponent = if down == 1 {
        number(up)
    } else {
        made(
            Node::Product(vec![
                (ProductSign::Times, number(up)),
                (ProductSign::Over, number(down)),
            ]),
            span,
        )
    };
    Some(made(Node::Power(Box::new(other), Box::new(exponent)), span))
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// The formula as text, in canonical spacing. Parts that were typed are shown from the tree, not from the text.
pub fn shown(expr: &Expr) -> String {
    let mut out = String::new();
    write(expr, 0, &mut out);
    out
}

/// Binding strength: what a part needs brackets in.
fn strength(node: &Node) -> u8 {
    match node {
        Node::Choice { .. } | Node::In(..) => 0,
        Node::Else(..) | Node::Or(_) | Node::And(_) | Node::Not(_) | Node::Compare(..) => 1,
        Node::Sum(_) => 2,
        Node::Product(_) => 3,
        Node::Negative(_) => 4,
        Node::Power(..) => 5,
        _ => 6,
    }
}

fn write(expr: &Expr, least: u8, out: &mut String) {
    let brackets = strength(&expr.node) < least;
    if brackets {
        out.push('(');
    }
    bare(&expr.node, out);
    if brackets {
        out.push(')');
    }
}

fn list(parts: &[Expr], joint: &str, least: u8, out: &mut String) {
    for (at, part) in parts.iter().enumerate() {
        if at > 0 {
            out.push_str(joint);
        }
        write(part, least, out);
    }
}

fn bare(node: &Node, out: &mut String) {
    match node {
        Node::Number(literal) => {
            out.push_str(&literal.value.to_string());
            if let Some(written) = &literal.unit {
                if &*written.unit.text != "%" {
                    out.push(' ');
                }
                out.push_str(&written.unit.text);
            }
        }
        Node::Text(text) => out.push_str(&quoted(text)),
        Node::Name(name) => out.push_str(name),
        Node::Far { sheet, item, name } => {
            use crate::language::syntax::Item;
            out.push_str(sheet);
            match item {
                Item::Same => {}
                Item::Key(key) => {
                    out.push('(');
                    out.push_str(&quoted(key));
                    out.push(')');
                }
                Item::Row(row) => out.push_str(&format!("(row {row})")),
            }
            out.push('.');
            out.push_str(name);
        }
        Node::Toleranced { value, .. } => bare(&value.node, out),
        Node::Here(name) => {
            out.push_str("here.");
            out.push_str(name);
        }
        Node::Call { name, arguments, .. } => {
            out.push_str(name);
            out.push('(');
            list(arguments, ", ", 0, out);
            out.push(')');
        }
        Node::Sum(parts) => {
            for (at, (sign, part)) in parts.iter().enumerate() {
                match (at, sign) {
                    (0, SumSign::Plus) => {}
                    (0, SumSign::Minus) => out.push('-'),
                    (_, SumSign::Plus) => out.push_str(" + "),
                    (_, SumSign::Minus) => out.push_str(" - "),
                }
                write(part, 3, out);
            }
        }
        Node::Product(parts) => {
            for (at, (sign, part)) in parts.iter().enumerate() {
                match (at, sign) {
                    (0, _) => {}
                    (_, ProductSign::Times) => out.push_str(" * "),
                    (_, ProductSign::Over) => out.push_str(" / "),
                }
                write(part, 4, out);
            }
        }
        Node::Power(base, exponent) => {
            let number_with_unit = matches!(&base.node, Node::Number(literal) if literal.unit.is_some());
            write(base, if number_with_unit { 7 } else { 6 }, out);
            out.push('^');
            write(exponent, 6, out);
        }
        Node::Negative(inner) => {
            out.push('-');
            write(inner, 4, out);
        }
        Node::In(inner, unit) => {
            write(inner, 1, out);
            out.push_str(" in ");
            out.push_str(&unit.unit.text);
        }
        Node::Compare(first, rest) => {
            write(first, 2, out);
            for (comparison, part) in rest {
                out.push_str(match comparison {
                    Comparison::Equal => " = ",
                    Comparison::NotEqual => " ≠ ",
                    Comparison::Less => " < ",
                    Comparison::LessEqual => " <= ",
                    Comparison::Greater => " > ",
                    Comparison::GreaterEqual => " >= ",
                });
                write(part, 2, out);
            }
        }
        Node::And(parts) => list(parts, " and ", 2, out),
        Node::Or(parts) => list(parts, " or ", 2, out),
        Node::Not(inner) => {
            out.push_str("not ");
            write(inner, 2, out);
        }
        Node::Choice { arms, otherwise } => {
            for (value, condition) in arms {
                write(value, 1, out);
                out.push_str(" when ");
                write(condition, 1, out);
                out.push_str(", ");
            }
            match otherwise {
                Some(last) => {
                    out.push_str("otherwise ");
                    write(last, 1, out);
                }
                None => out.truncate(out.len().saturating_sub(2)),
            }
        }
        Node::Else(first, second) => {
            write(first, 2, out);
            out.push_str(" else ");
            write(second, 2, out);
        }
        Node::Aggregate {
            how,
            value,
            list: of,
            along,
            condition,
            ..
        } => {
            out.push_str(how);
            out.push('(');
            if let Some(value) = value {
                write(value, 0, out);
                out.push_str(" for ");
            }
            out.push_str(of);
            if let Some(along) = along {
                out.push_str(" at ");
                write(&along.0, 3, out);
                out.push_str(" = ");
                write(&along.1, 3, out);
            }
            if let Some(condition) = condition {
                out.push_str(" where ");
                write(condition, 0, out);
            }
            out.push(')');
        }
        Node::Integral {
            value,
            variable,
            from,
            to,
        } => {
            out.push_str("integral(");
            write(value, 0, out);
            out.push_str(&format!(" for {variable} from "));
            write(from, 0, out);
            out.push_str(" to ");
            write(to, 0, out);
            out.push(')');
        }
        Node::Bad => out.push('…'),
    }
}

/// Keeps the name of the unknown beside its formula: `n = P / T`.
pub(super) fn equation(name: &Arc<str>, expr: &Expr) -> String {
    format!("{name} = {}", shown(expr))
}
