//! Formulas and lines as people write them elsewhere: words in the place of a value, `if … then … else`, `10 % of P`, `sin phi`,
//! products without a sign, names with blanks, units joined by `*`.
//!
//! For: a text that cannot be read, before it is told what was expected at which place.
//! Always: says what was done and what to write; a change is offered only where one reading is the sensible one.
//! Not known here: which names there are.

use super::tree::Node;
use super::words::{RESERVED, is_reserved};
use crate::fault::{Code, Fault, Span};
use crate::quantity::Unit;

/// Functions of one value whose brackets are left out in print.
const CALLED: &[&str] = &[
    "sin", "cos", "tan", "asin", "acos", "atan", "sqrt", "root", "ln", "log10", "exp", "abs", "num", "floor", "ceiling",
];

/// Words of this many letters are rather words than names.
const LONG_WORD: usize = 4;

/// The fault of a whole formula.
pub(super) fn habit(text: &str) -> Option<Fault> {
    let said = text.trim();
    let start = text.len() - text.trim_start().len();
    let span = Span::new(start, start + said.len());
    in_brackets(said, span)
        .or_else(|| brackets(said, span))
        .or_else(|| if_then(said, span))
        .or_else(|| only_words(said, span))
        .or_else(|| starred_unit(said, span))
}

/// `P * t in kW*h`
fn starred_unit(said: &str, span: Span) -> Option<Fault> {
    let (before, unit) = said.rsplit_once(" in ")?;
    starred(
        unit.trim(),
        span.start as usize + said.len(),
        &format!("{} ", before.trim()),
    )
}

/// A unit joined by `*` that ends there, behind `in` and what stands before that.
pub(super) fn starred(unit: &str, end: usize, before: &str) -> Option<Fault> {
    let write = Unit::joined(unit)?;
    let place = Span::new(end.checked_sub(unit.len())?, end);
    let message = format!("`{unit}` is no unit: its parts are joined by `·`");
    let fault = Fault::new(Code::EXPECTED, place, message).help(format!("write `{before}in {write}`"));
    Some(fault.fix(format!("write {write}"), place, write))
}

/// `[2 + 3] * 2`
fn brackets(said: &str, span: Span) -> Option<Fault> {
    let found = said
        .find(['[', '{'])
        .and_then(|at| said.get(at..=at))
        .filter(|_| !said.contains('"'))?;
    let write = said.replace(['[', '{'], "(").replace([']', '}'], ")");
    let message = format!("`{found}` is no bracket of a formula");
    let fault = Fault::new(Code::OPERATOR_FORM, span, message).help("write `(` and `)`");
    Some(fault.fix(format!("write {write}"), span, write))
}

/// `if n > 3 then a else b`, `IF(n > 3; a; b)`
fn if_then(said: &str, span: Span) -> Option<Fault> {
    let folded = said.to_ascii_lowercase();
    let rest = folded.strip_prefix("if")?;
    if !rest.starts_with([' ', '(']) {
        return None;
    }
    let at = |word: &str| folded.find(word);
    let cut = |from: usize, to: usize| said.get(from..to).map(str::trim).filter(|part| !part.is_empty());
    let parts = match (at(" then "), at(" else ")) {
        (Some(then), Some(last)) if then < last => {
            Some((cut(2, then)?, cut(then + 6, last)?, cut(last + 6, said.len())?))
        }
        (Some(_), _) => None,
        _ => {
            let inner = said.get(2..)?.trim().strip_prefix('(')?.strip_suffix(')')?;
            let parts: Vec<&str> = inner.split(';').map(str::trim).collect();
            match parts.as_slice() {
                [condition, yes, no] => Some((*condition, *yes, *no)),
                _ => None,
            }
        }
    };
    let fault = Fault::new(
        Code::EXPECTED,
        span,
        "a choice begins with its value: the condition stands behind `when`",
    );
    Some(match parts {
        Some((condition, yes, no)) => {
            let write = chosen(condition, yes, no);
            fault
                .help(format!("write `{write}`"))
                .fix(format!("write {write}"), span, write)
        }
        None => fault.help("write `A when CONDITION, otherwise B`"),
    })
}

/// A choice as it is written here.
pub(in crate::language) fn chosen(condition: &str, yes: &str, no: &str) -> String {
    format!("{yes} when {condition}, otherwise {no}")
}

/// `Pressure rise`: no name has a blank, and no sign stands there.
fn only_words(said: &str, span: Span) -> Option<Fault> {
    let words: Vec<&str> = said.split([' ', '-', '/']).filter(|word| !word.is_empty()).collect();
    let is_word = |word: &&str| word.chars().all(char::is_alphabetic) && !CALLED.contains(word);
    let reserved = |word: &str| RESERVED.iter().any(|(reserved, _)| *reserved == word);
    let long = words
        .iter()
        .any(|word| word.chars().count() >= LONG_WORD && !reserved(word));
    let begins = words.first().is_some_and(|first| !is_reserved(first));
    if words.len() < 2 || !said.contains(' ') || !long || !begins || !words.iter().all(is_word) {
        return None;
    }
    Some(
        Fault::new(Code::EXPECTED, span, format!("`{said}` looks like words, and here stands a value"))
            .help("write a number with its unit, such as `15 kW`, or a formula such as `T * n`; words stand behind it in quotes, in the window under label"),
    )
}

/// Two values without a sign between them, `at` the second: `10 % of P`, `sin phi`, `P cos(phi)`.
pub(super) fn side_by_side(text: &str, at: usize, found: &str) -> Option<Fault> {
    let before = text.get(..at)?;
    let kept = before.trim_end();
    let span = Span::new(at, at + found.len());
    let rest = text.get(span.end as usize..)?;
    let last = kept
        .rfind(|letter: char| !(letter.is_alphanumeric() || matches!(letter, '_' | '.' | '′')))
        .map_or(kept, |sign| {
            kept.get(sign..).map_or("", |tail| {
                tail.trim_start_matches(|letter: char| !letter.is_alphanumeric())
            })
        });
    if found == "of" && kept.ends_with(['%', '‰']) && !rest.trim().is_empty() {
        let fault = Fault::new(Code::EXPECTED, span, "a per cent of something is their product");
        return Some(fault.help("write `*` for `of`: `10 % * P`").fix("write *", span, "*"));
    }
    if let Some(fault) = source(found, rest, span) {
        return Some(fault);
    }
    let begins = found.starts_with(|first: char| first.is_alphanumeric() || first == '_');
    let name = last.trim_start_matches(|letter: char| letter.is_ascii_digit() || letter == '.');
    if found == "(" && CALLED.contains(&name) {
        // `2 sqrt(3)`: the bracket is the function's, and the sign is missing before its name.
        let start = kept.len() - name.len();
        let number = kept.get(..start)?.trim_end();
        let fault = Fault::new(
            Code::EXPECTED,
            Span::new(start, kept.len()),
            format!("before `{name}` stands no sign; nothing is multiplied silently"),
        );
        return Some(fault.help(format!("for a product write `* {name}(…)`")).fix(
            format!("write * before {name}"),
            Span::new(number.len(), start),
            "*",
        ));
    }
    if CALLED.contains(&last) && begins {
        let end = span.end as usize;
        let whole = text.get(at..end)?;
        let fault = Fault::new(
            Code::EXPECTED,
            span,
            format!("the value of `{last}` stands in brackets"),
        );
        let write = format!("{last}({whole})");
        return Some(fault.help(format!("write `{write}`")).fix(
            format!("write {write}"),
            Span::new(kept.len() - last.len(), end),
            write,
        ));
    }
    let ends =
        kept.ends_with(|letter: char| letter.is_alphanumeric() || matches!(letter, ')' | '_' | '′' | '%' | '²' | '³'));
    if !(ends && (begins || found == "(" || found == "√")) || is_reserved(found) {
        return None;
    }
    let unit = Unit::known(found).is_some_and(|unit| *unit.text == *found && !unit.is_plain());
    let of_name = last.starts_with(char::is_alphabetic) && found.chars().count() > 1;
    if unit && of_name && rest.trim().is_empty() {
        let fault = Fault::new(
            Code::EXPECTED,
            span,
            format!("`{last}` has its own unit; `{found}` behind it is none of it"),
        );
        let write = format!("{last} in {found}");
        return Some(fault.help(format!("to convert, write `{write}`")).fix(
            format!("write {write}"),
            Span::new(kept.len(), at),
            " in ",
        ));
    }
    let shown = if found == "(" { "(…)" } else { found };
    let left = if last.is_empty() { factor_at_end(kept) } else { last };
    Some(
        Fault::new(
            Code::EXPECTED,
            span,
            format!("between `{left}` and `{shown}` stands no sign; nothing is multiplied silently"),
        )
        .help(format!("for a product write `{left} * {shown}`"))
        .fix(
            "write * between them",
            Span::new(kept.len(), at),
            if at == kept.len() { "*" } else { " * " },
        ),
    )
}

/// The factor that a text ends with: brackets with the name before them, else all since the last blank.
fn factor_at_end(text: &str) -> &str {
    let mut depth = 0_i32;
    let mut begins = None;
    for (at, letter) in text.char_indices().rev() {
        match letter {
            ')' => depth += 1,
            '(' => depth -= 1,
            _ => {}
        }
        let stands = letter.is_alphanumeric() || matches!(letter, '_' | '′' | '√' | '%' | '²' | '³' | '.' | '(' | ')');
        if depth < 0 || depth == 0 && !stands {
            break;
        }
        begins = Some(at);
    }
    begins.and_then(|at| text.get(at..)).unwrap_or(text)
}

/// `given feed rate = 3 m/s`: a name with blanks, where the name ends at `at`.
pub(super) fn name_with_blanks(text: &str, at: usize) -> Option<Fault> {
    // A remark is none of it.
    let text = text.split('#').next()?;
    let (role, rest) = text.split_once(' ')?;
    if !matches!(role, "given" | "work" | "seek") {
        return None;
    }
    let start = role.len() + 1 + (rest.len() - rest.trim_start().len());
    let end = start + text.get(start..)?.find(['=', ':', '"', '(', '|']).unwrap_or(rest.len());
    let name = text.get(start..end.min(text.len()))?.trim_end();
    let words: Vec<&str> = name.split_whitespace().collect();
    let is_word =
        |word: &&str| word.chars().all(|letter| letter.is_alphanumeric() || letter == '_') && !is_reserved(word);
    let begins = name.starts_with(char::is_alphabetic);
    if words.len() < 2 || !begins || !words.iter().all(is_word) || at <= start || at > end {
        return None;
    }
    if let Some((first, value)) = name.split_once(' ').filter(|(_, value)| begins_value(value)) {
        let gap = Span::new(start + first.len(), start + first.len());
        return Some(
            Fault::new(
                Code::EXPECTED,
                Span::new(start, start + name.len()),
                format!("between `{first}` and its value stands `=`"),
            )
            .help(format!("write `{role} {first} = {}`", value.trim()))
            .fix(format!("write {role} {first} = {}", value.trim()), gap, " ="),
        );
    }
    let write = words.join("_");
    let span = Span::new(start, start + name.len());
    Some(
        Fault::new(
            Code::EXPECTED,
            span,
            format!("`{name}` has a blank in it; a name has none"),
        )
        .help(format!(
            "write `{write}`; how the quantity is called in words stands in quotes behind its value"
        ))
        .fix(format!("write {write}"), span, write),
    )
}

/// Whether a text begins with a number that may be a value.
fn begins_value(text: &str) -> bool {
    let (tree, faults) = super::parse(text.trim());
    faults.is_empty()
        && matches!(tree.node, Node::Number(_))
        && text.trim().starts_with(|first: char| first.is_ascii_digit())
}

/// `1450 rpm measured 2 March`: where a value comes from, in the place of the value; `more`: what is said of it.
fn source(word: &str, more: &str, span: Span) -> Option<Fault> {
    if !SOURCES.contains(&word) {
        return None;
    }
    let write = match more.trim().trim_matches('"') {
        "" => word.to_owned(),
        more => format!("{word} {}", super::build::quoted(more)),
    };
    Some(
        Fault::new(
            Code::EXPECTED,
            span,
            format!("`{word}` says where a value comes from and is no part of it"),
        )
        .help(format!(
            "behind the value stands `{write}`, without brackets; in the window it goes under source"
        )),
    )
}

/// Words that say where a value comes from.
const SOURCES: [&str; 5] = ["plate", "measured", "assumed", "maker", "standard"];

/// `15 [kW]`, `15 kW (plate)`: a unit, or where the value comes from, in brackets behind it.
fn in_brackets(said: &str, span: Span) -> Option<Fault> {
    let open = if said.ends_with(']') { '[' } else { '(' };
    let (before, inside) = said.strip_suffix([']', ')'])?.rsplit_once(open)?;
    let (value, inside) = (before.trim_end(), inside.trim());
    if !begins_value(value) {
        return None;
    }
    let brackets = Span::new(span.start as usize + before.len(), span.end as usize);
    let is_bare = super::words::number_at_end(value) == Some(value);
    if !is_bare || Unit::known(inside).is_none() {
        let (word, more) = inside.split_once(' ').unwrap_or((inside, ""));
        return source(word, more, brackets);
    }
    let write = format!("{value} {inside}");
    let fault = Fault::new(
        Code::EXPECTED,
        brackets,
        format!("the unit `{inside}` stands in brackets"),
    );
    Some(
        fault
            .help(format!("a unit stands right behind its number: write `{write}`"))
            .fix(format!("write {write}"), span, write),
    )
}

/// `note Why does it stall?`: the text of a line without its quotes.
pub(super) fn unquoted_note(text: &str, at: usize) -> Option<Fault> {
    let before = text.get(..at)?;
    let said = text.get(at..)?.trim_end();
    if before.trim() != "note" || said.is_empty() || said.contains(['"', '“']) {
        return None;
    }
    let write = super::build::quoted(said);
    let span = Span::new(at, at + said.len());
    Some(
        Fault::new(Code::EXPECTED, span, "the text of a note stands in quotes")
            .help(format!("write `note {write}`"))
            .fix("put it in quotes", span, write),
    )
}
