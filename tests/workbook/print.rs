//! A tree as one line of nested brackets, to compare with.

use polepair::language::syntax::{Comparison, Expr, Item, Node, ProductSign, SumSign, parse};

/// The tree of a formula that must have no faults.
pub fn tree(text: &str) -> String {
    let (tree, faults) = parse(text);
    assert!(faults.is_empty(), "{text}: {faults:?}");
    show(&tree)
}

pub fn show(expr: &Expr) -> String {
    let list = |parts: &[Expr]| parts.iter().map(show).collect::<Vec<_>>().join(" ");
    match &expr.node {
        Node::Number(number) => match &number.unit {
            Some(unit) => format!("{}[{}]", number.value, unit.unit.text),
            None => number.value.to_string(),
        },
        Node::Text(text) => format!("{text:?}"),
        Node::Name(name) => name.to_string(),
        Node::Far { sheet, item, name } => match item {
            Item::Same => format!("{sheet}.{name}"),
            Item::Key(key) => format!("{sheet}({key:?}).{name}"),
            Item::Row(row) => format!("{sheet}(row {row}).{name}"),
        },
        Node::Toleranced { .. } => {
            let parts: Vec<String> = expr.parts().into_iter().map(show).collect();
            format!("(± {})", parts.join(" "))
        }
        Node::Here(name) => format!("here.{name}"),
        Node::Call { name, arguments, .. } => format!("({name}: {})", list(arguments)),
        Node::Sum(parts) => {
            let parts: Vec<String> = parts
                .iter()
                .map(|(sign, part)| format!("{}{}", if *sign == SumSign::Plus { "+" } else { "-" }, show(part)))
                .collect();
            format!("({})", parts.join(" "))
        }
        Node::Product(parts) => {
            let parts: Vec<String> = parts
                .iter()
                .map(|(sign, part)| format!("{}{}", if *sign == ProductSign::Times { "*" } else { "/" }, show(part)))
                .collect();
            format!("({})", parts.join(" "))
        }
        Node::Power(base, exponent) => format!("(^ {} {})", show(base), show(exponent)),
        Node::Negative(inner) => format!("(- {})", show(inner)),
        Node::In(inner, unit) => format!("(in {} {})", show(inner), unit.unit.text),
        Node::Compare(first, chain) => {
            let mut out = format!("(? {}", show(first));
            for (comparison, part) in chain {
                let sign = match comparison {
                    Comparison::Equal => "=",
                    Comparison::NotEqual => "!=",
                    Comparison::Less => "<",
                    Comparison::LessEqual => "<=",
                    Comparison::Greater => ">",
                    Comparison::GreaterEqual => ">=",
                };
                out.push_str(&format!(" {sign} {}", show(part)));
            }
            out + ")"
        }
        Node::And(parts) => format!("(and {})", list(parts)),
        Node::Or(parts) => format!("(or {})", list(parts)),
        Node::Not(inner) => format!("(not {})", show(inner)),
        Node::Choice { arms, otherwise } => {
            let mut out = "(choice".to_owned();
            for (value, condition) in arms {
                out.push_str(&format!(" {} when {}", show(value), show(condition)));
            }
            if let Some(last) = otherwise {
                out.push_str(&format!(" otherwise {}", show(last)));
            }
            out + ")"
        }
        Node::Else(left, right) => format!("(else {} {})", show(left), show(right)),
        Node::Aggregate {
            how,
            value,
            list,
            condition,
            ..
        } => {
            let value = value.as_ref().map_or("rows".to_owned(), |value| show(value));
            let condition = condition
                .as_ref()
                .map_or(String::new(), |cond| format!(" where {}", show(cond)));
            format!("({how} {value} for {list}{condition})")
        }
        Node::Integral {
            value,
            variable,
            from,
            to,
        } => format!("(integral {} for {variable} {} {})", show(value), show(from), show(to)),
        Node::Bad => "BAD".to_owned(),
    }
}
