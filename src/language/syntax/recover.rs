//! Parsing with faults: always a tree, and as many independent faults as can be found.
//!
//! The parser stops at the first place it cannot pass. That part (between the operators, commas or brackets around it) is
//! blotted out and the rest is parsed again, a few times at most.

use std::borrow::Cow;

use pest::Parser;
use pest::error::{Error, ErrorVariant, InputLocation};

use super::bounds;
use super::build::{bad, build};
use super::grammar::{Grammar, Rule, in_words};
use super::habits;
use super::jotted::jotted;
use super::stamped::stamped;
use super::tree::Expr;
use super::twins::straight_quotes;
use super::units::one_of;
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::quantity::{Family, Unit};

/// Faults of form looked for in one formula.
const MOST_FAULTS: usize = 6;

/// Reads a formula. There is always a tree; parts that could not be read are [`super::Node::Bad`] and have a fault.
pub fn parse(text: &str) -> (Expr, Vec<Fault>) {
    let whole = Span::new(0, text.len());
    if let Err(fault) = bounds::check(text) {
        return (bad(whole), vec![fault]);
    }
    if text.contains('\u{1}') {
        // The sign that blots out parts below; in a text from outside it is as unreadable as any other control sign.
        return parse(&text.replace('\u{1}', "\u{2}"));
    }
    if let Cow::Owned(straight) = straight_quotes(text) {
        return parse(&straight);
    }
    match Grammar::parse(Rule::formula, text) {
        Ok(mut pairs) => match pairs.next() {
            Some(formula) => {
                let (tree, faults) = build(text, formula.into_inner());
                match stamped(text, !faults.iter().any(Fault::is_error)) {
                    Some(fault) => (bad(whole), vec![fault]),
                    None => (tree, faults),
                }
            }
            None => (bad(whole), Vec::new()),
        },
        Err(error) => match as_in_lists(text)
            .or_else(|| stamped(text, false))
            .or_else(|| jotted(text))
            .or_else(|| habits::habit(text))
        {
            Some(fault) => (bad(whole), vec![fault]),
            None => mend(text, &error),
        },
    }
}

/// What lists write in the place of a value, or before one: `-`, `ca. 3 kW`.
fn as_in_lists(text: &str) -> Option<Fault> {
    if words::says_nothing(text) {
        return Some(no_value(text));
    }
    let (word, to) = words::haste(text)?;
    let number = text.get(to..)?.trim_end();
    let start = text.len() - text.trim_start().len();
    let fault = Fault::new(
        Code::EXPECTED,
        Span::new(start, to),
        format!("`{word}` cannot stand before a number: a formula takes the number itself"),
    );
    Some(
        fault
            .help(format!(
                "write `{number}`; how far it may be off follows the number, such as `± 10 %`, or mark the given `assumed`"
            ))
            .fix(format!("write {number}"), Span::new(start, to), ""),
    )
}

/// The fault of a whole text that says, as lists do, that there is no value.
pub fn no_value(text: &str) -> Fault {
    let said = text.trim();
    let start = text.len() - text.trim_start().len();
    let span = Span::new(start, start + said.len());
    Fault::new(
        Code::EXPECTED,
        span,
        format!("`{said}` is no value; where none is known, the place stays empty"),
    )
    .help("leave the place empty: what needs it is then not worked, and says so")
    .fix("leave it empty", span, "")
}

/// Blots out what cannot be read until the rest can.
fn mend(text: &str, first: &Error<Rule>) -> (Expr, Vec<Fault>) {
    let whole = Span::new(0, text.len());
    let mut faults = vec![explain(text, text, first)];
    let mut blotted = text.to_owned();
    let mut at = place(first, text.len());
    while let Some(part) = part_around(&blotted, at) {
        let Some(dark) = blot(&blotted, part) else { break };
        blotted = dark;
        match Grammar::parse(Rule::formula, &blotted) {
            Ok(mut pairs) => {
                let Some(formula) = pairs.next() else { break };
                let (tree, more) = build(&blotted, formula.into_inner());
                faults.extend(more);
                faults.sort_by_key(|fault| fault.span);
                return (tree, faults);
            }
            Err(error) => {
                at = place(&error, text.len());
                if faults.len() >= MOST_FAULTS {
                    break;
                }
                // An error at a blotted place speaks of the same part again.
                if blotted
                    .get(at..)
                    .is_some_and(|rest| !rest.trim_start().starts_with('\u{1}'))
                {
                    let fault = explain(text, &blotted, &error);
                    if faults.iter().all(|known| known.span != fault.span) {
                        faults.push(fault);
                    }
                }
            }
        }
    }
    faults.sort_by_key(|fault| fault.span);
    (bad(whole), faults)
}

fn place(error: &Error<Rule>, end: usize) -> usize {
    match error.location {
        InputLocation::Pos(at) => at.min(end),
        InputLocation::Span((at, _)) => at.min(end),
    }
}

/// A piece of a text as far as recovery needs it.
#[derive(Clone, Copy, PartialEq)]
enum Sign {
    Open,
    Close,
    Between,
}

/// Brackets and everything that separates operands, with their places.
fn signs(text: &str) -> Vec<(Sign, usize, usize)> {
    let mut out = Vec::new();
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => {
                let mut escaped = false;
                for (_, inner) in letters.by_ref() {
                    if inner == '\n' || (inner == '"' && !escaped) {
                        break;
                    }
                    escaped = inner == '\\' && !escaped;
                }
            }
            '#' => {
                for (_, inner) in letters.by_ref() {
                    if inner == '\n' {
                        break;
                    }
                }
            }
            '(' => out.push((Sign::Open, at, at + 1)),
            ')' => out.push((Sign::Close, at, at + 1)),
            ',' | '+' | '*' | '/' | '^' | '<' | '>' | '=' | '·' | '×' | '≤' | '≥' | '≠' | '-' | '−' => {
                out.push((Sign::Between, at, at + letter.len_utf8()));
            }
            _ if letter.is_alphabetic() => {
                let mut end = at + letter.len_utf8();
                while let Some((next, inner)) = letters.next_if(|(_, inner)| inner.is_alphanumeric() || *inner == '_') {
                    end = next + inner.len_utf8();
                }
                if text
                    .get(at..end)
                    .is_some_and(|word| words::is_reserved(word) && word != "in")
                {
                    out.push((Sign::Between, at, end));
                }
            }
            _ => {}
        }
    }
    out
}

/// The part to blot out for an error at `at`: what stands between the separators around it; wider where that is empty.
fn part_around(text: &str, at: usize) -> Option<Span> {
    let signs = signs(text);
    let mut depth = 0i32;
    let mut start = 0;
    // Backwards: the nearest separator or the bracket that encloses the place.
    for (sign, from, to) in signs.iter().rev() {
        if *to > at {
            continue;
        }
        match sign {
            Sign::Close => depth += 1,
            Sign::Open if depth == 0 => {
                start = *to;
                break;
            }
            Sign::Open => depth -= 1,
            Sign::Between if depth == 0 => {
                start = *to;
                break;
            }
            Sign::Between => {}
        }
        let _ = from;
    }
    let mut end = text.len();
    depth = 0;
    for (sign, from, _) in &signs {
        if *from < at {
            continue;
        }
        match sign {
            Sign::Open => depth += 1,
            Sign::Close if depth == 0 => {
                end = *from;
                break;
            }
            Sign::Close => depth -= 1,
            Sign::Between if depth == 0 => {
                end = *from;
                break;
            }
            Sign::Between => {}
        }
    }
    let tight = Span::new(start.min(end), end);
    if usable(tight, text) {
        return Some(tight);
    }
    // Nothing between: the separators around go with it, up to the bracket.
    enclosing(&signs, at, text.len()).filter(|wide| usable(*wide, text))
}

/// The inside of the bracket around a place.
fn enclosing(signs: &[(Sign, usize, usize)], at: usize, length: usize) -> Option<Span> {
    let mut open = Vec::new();
    for (sign, from, to) in signs {
        match sign {
            Sign::Open => open.push(*to),
            Sign::Close => {
                let start = open.pop()?;
                if start <= at && *from >= at {
                    return Some(Span::new(start, *from));
                }
            }
            Sign::Between => {}
        }
    }
    open.is_empty().then(|| Span::new(0, length))
}

/// Whether there is something left to blot out.
fn usable(span: Span, text: &str) -> bool {
    let part = span.of(text);
    !part.is_empty() && !part.trim().chars().all(|letter| letter == '\u{1}') || part.chars().any(|letter| letter == ' ')
}

/// The text with the part blotted out, of the same length.
fn blot(text: &str, span: Span) -> Option<String> {
    let mut out = String::with_capacity(text.len());
    out.push_str(text.get(..span.start as usize)?);
    for _ in span.start..span.end {
        out.push('\u{1}');
    }
    out.push_str(text.get(span.end as usize..)?);
    (out != text).then_some(out)
}

/// What a parser error says to a user.
fn explain(text: &str, parsed: &str, error: &Error<Rule>) -> Fault {
    let at = place(error, text.len());
    let ErrorVariant::ParsingError { positives, .. } = &error.variant else {
        return bounds::too_deep(Span::new(at, at));
    };
    let mut expected: Vec<&'static str> = positives.iter().filter_map(|rule| in_words(*rule)).collect();
    expected.sort_unstable();
    expected.dedup();
    expected_fault(text, parsed, at, &expected)
}

/// The fault for a place where something else was expected.
pub(super) fn expected_fault(text: &str, parsed: &str, at: usize, expected: &[&str]) -> Fault {
    let rest = text.get(at..).unwrap_or("");
    let found = first_piece(rest);
    let span = if found.is_empty() {
        Span::new(text.trim_end().len().min(at), at)
    } else {
        Span::new(at, at + found.len())
    };
    let wants_operand = expected.contains(&"a number") || expected.contains(&"a formula");
    let wants_operator = expected.contains(&"an operator");
    if let Some(fault) = particular(text, at, found, span, wants_operand) {
        return fault;
    }
    if found.is_empty()
        && !wants_operand
        && let Some(open) = never_closed(parsed)
    {
        let fault = Fault::new(
            Code::UNCLOSED_BRACKET,
            Span::new(open, open + 1),
            "this bracket is opened but never closed",
        )
        .help("put `)` where the bracket ends");
        // What stands behind a formula is no part of the bracket.
        let inside = text
            .get(open..)
            .unwrap_or("")
            .split('#')
            .next()
            .unwrap_or("")
            .trim_end();
        let alone = !inside.contains([':', '"', '|', ',']) && !inside.contains(" in ");
        let end = open + inside.len();
        return if alone {
            fault.fix("put ) at the end", Span::new(end, end), ")")
        } else {
            fault
        };
    }
    if let Some(fault) = habits::name_with_blanks(text, at).or_else(|| habits::unquoted_note(text, at)) {
        return fault;
    }
    let wanted = if wants_operand {
        "a value (a number, a name, a text or a bracket)".to_owned()
    } else {
        list(expected)
    };
    let message = match (found, wanted.is_empty()) {
        ("", true) => "the text breaks off here".to_owned(),
        ("", false) => format!("the text breaks off here; expected {wanted}"),
        (_, true) => format!("`{found}` cannot stand here"),
        (_, false) => format!("found `{found}`, expected {wanted}"),
    };
    let fault = Fault::new(Code::EXPECTED, span, message);
    let before = word_before(text, at);
    if let Some(instead) = words::instead(found).or_else(|| words::instead(before)) {
        return fault.help(format!("write {instead}"));
    }
    if found.is_empty() {
        return if wants_operand {
            fault.help("something is missing at the end: put the value there or take the last operator away")
        } else {
            fault
        };
    }
    if found == ")" && wants_operand {
        return fault.help("put a value before the bracket");
    }
    if found == ")" {
        return fault
            .help("no bracket is open here: take it away, or open one before")
            .fix("take it away", span, "");
    }
    if matches!(found, "+" | "-" | "*" | "/" | "^" | "·" | "×" | "<" | ">")
        && let Some((_, unit)) = text.get(..at).and_then(|before| before.rsplit_once(" in "))
        && Unit::known(unit.trim()).is_some()
    {
        let rest = text.get(at + found.len()..).unwrap_or("");
        let rest = rest.split([' ', ',', ')', '|', ':', '"']).next().unwrap_or("");
        let whole = format!("{}{found}{rest}", unit.trim());
        if let Some(fault) = habits::starred(&whole, at + found.len() + rest.len(), "") {
            return fault;
        }
        return fault.help(format!(
            "`in` comes last; to go on with the converted value, put it in brackets: `(… in {}) {found} …`",
            unit.trim()
        ));
    }
    if let Some((apart, unit)) = unit_apart(text, at, found) {
        let fault = Fault::new(
            Code::EXPECTED,
            apart,
            format!("`{}` is no unit: in a unit there is no blank", apart.of(text)),
        );
        return fault
            .help(
                match text
                    .get(..apart.start as usize)
                    .is_some_and(|before| before.trim_end().ends_with("in"))
                {
                    true => format!("write `{unit}`"),
                    false => {
                        format!("write `{unit}` for one unit, or put an operator such as `*` between two quantities")
                    }
                },
            )
            .fix(format!("write {unit}"), apart, unit);
    }
    if found == "." && text.get(..at).is_some_and(|before| before.trim_end().ends_with(')')) {
        return fault
            .help("a row is named by its number, `LIST(row 3).x`, or by its key in quotes, `LIST(\"P-101\").x`");
    }
    if matches!(found, "'" | "‘" | "’") && wants_operand {
        return fault.help("a text stands in double quotes: `\"star\"`");
    }
    if wants_operator
        && !wants_operand
        && let Some(fault) = habits::side_by_side(text, at, found)
    {
        return fault;
    }
    if expected.contains(&"a name") && words::is_reserved(found) {
        return fault.help(format!("`{found}` is a word of the language; take another name"));
    }
    if expected.contains(&"a name") && found.starts_with(|first: char| first.is_ascii_digit()) {
        return fault.help("a name begins with a letter: letters, digits and `_` may follow");
    }
    if wants_operand && words::is_reserved(found) {
        return fault.help(match found {
            // In a curve or a work line somebody seeks.
            "such" => "an unknown is sought in a line of its own, `seek x such that … = … between … and …`, in every case or row; a curve is read backwards the same way".to_owned(),
            _ => format!("`{found}` is a word of the language and cannot be a name"),
        });
    }
    if wants_operand && before.is_empty() {
        return fault.help("two operators stand together, or a value is missing between them");
    }
    if wants_operator && !wants_operand {
        return Fault::new(Code::EXPECTED, span, format!("`{found}` cannot stand behind a value"))
            .help("behind a value stands an operator such as `*`, `in` and a unit, or nothing more; a remark stands behind `#`");
    }
    fault.help("look at what stands just before this place")
}

/// `5 N m`, `P / n in lbf ft`: symbols of one unit with blanks between, where they stand, and how they are joined.
fn unit_apart(text: &str, at: usize, found: &str) -> Option<(Span, String)> {
    let before = word_before(text, at);
    let start = text.get(..at)?.trim_end().len().checked_sub(before.len())?;
    let wants_unit = text.get(..start)?.trim_end();
    let is_unit =
        wants_unit.ends_with(|sign: char| sign.is_ascii_digit()) || word_before(wants_unit, wants_unit.len()) == "in";
    let joined = [(before, found), (found, before)].map(|(first, second)| {
        let joined = format!("{first}·{second}");
        Unit::known(&joined).map(|unit| (joined, unit))
    });
    if !is_unit || Unit::known(found).is_none() {
        return None;
    }
    // `ft lb` is the torque, not a mass at an arm.
    let is_torque = |unit: &Unit| unit.kind.is_some_and(|kind| kind.family() == Family::Torque);
    let [first, second] = joined;
    let turned = second.filter(|(_, unit)| is_torque(unit) && !first.as_ref().is_some_and(|(_, unit)| is_torque(unit)));
    let (joined, _) = turned.or(first)?;
    Some((Span::new(start, at + found.len()), joined))
}

/// Faults that have words of their own.
fn particular(text: &str, at: usize, found: &str, span: Span, wants_operand: bool) -> Option<Fault> {
    if found == "±" || text.get(at..).is_some_and(|rest| rest.starts_with("+/-")) {
        let span = if found == "±" { span } else { Span::new(at, at + 3) };
        return Some(
            Fault::new(Code::TOLERANCE_PLACE, span, "a tolerance cannot stand here")
                .help("write `1760 r/min ± 8 r/min`, `± 2 %`, `± 20 % of x`, or `limits LOW … HIGH` after the number"),
        );
    }
    if found == "∠" {
        return Some(
            Fault::new(
                Code::EXPECTED,
                span,
                "before the angle sign the magnitude of a phasor is expected",
            )
            .help("write `230 V ∠ -30 deg`, or `polar(230 V, -30 deg)`"),
        );
    }
    let before = text.get(..at).unwrap_or("").trim_end();
    let names = [
        "given", "work", "seek", "define", "curve", "cases", "by", "for", "previous", "running",
    ];
    if found == "j" && (wants_operand || names.contains(&before.split_whitespace().next_back().unwrap_or(""))) {
        return Some(
            Fault::new(
                Code::EXPECTED,
                span,
                "`j` is the imaginary unit of phasors and cannot be the name of a quantity",
            )
            .help("take another name: `J` for an inertia, `j_1` for anything else, and write that in the formulas too"),
        );
    }
    let hangs = |before: &str| {
        let behind_j = word_before(before, before.len()).strip_prefix('j').unwrap_or("");
        !behind_j.is_empty() && behind_j.bytes().all(|sign| sign.is_ascii_digit())
    };
    if found == "j" && before.ends_with(|sign: char| sign.is_alphanumeric() || sign == ')')
        || before.strip_suffix('.').is_some_and(hangs)
        || found == "." && hangs(before)
    {
        return Some(
            Fault::new(
                Code::EXPECTED,
                span,
                "`j` is a factor like any other, and nothing is multiplied silently",
            )
            .help("write `j*0.5 Ω`, with the sign"),
        );
    }
    if matches!(found, "&" | "|" | "!" | "~") {
        let instead = match found {
            "&" => "and",
            "|" => "or",
            _ => "not",
        };
        return Some(
            Fault::new(
                Code::OPERATOR_FORM,
                span,
                format!("`{found}` is written `{instead}` here"),
            )
            .help(format!("write `{instead}`")),
        );
    }
    let behind = text.get(span.end as usize..).unwrap_or("").trim_start();
    if found == "=" && behind.starts_with('=') && !before.is_empty() {
        return Some(
            Fault::new(Code::EXPECTED, span, "two `=` stand one behind the other")
                .help("take one of them away: behind the name and its `=` stands the value")
                .fix("take it away", span, ""),
        );
    }
    if found == "=" && before.ends_with(':') {
        let sign = Span::new(before.len() - 1, span.end as usize);
        return Some(
            Fault::new(Code::OPERATOR_FORM, sign, "`:=` is written `=` here")
                .help("write `=`; behind `:` stands the kind, at the end of the line")
                .fix("write =", sign, "="),
        );
    }
    if found == "/" && wants_operand && before.ends_with('/') {
        let sign = Span::new(before.len() - 1, span.end as usize);
        return Some(
            Fault::new(Code::OPERATOR_FORM, sign, "`//` begins no remark here")
                .help("a remark stands behind `#`; a division has one `/`")
                .fix("write #", sign, "#"),
        );
    }
    if found == ";" && never_closed(text.get(..at).unwrap_or("")).is_none() && !text.contains(" when ") {
        return Some(
            Fault::new(
                Code::OPERATOR_FORM,
                span,
                "`;` ends no line here: what stands behind it is none of this value",
            )
            .help("each quantity has a line of its own, and a value has one place; a remark stands behind `#`"),
        );
    }
    if found == ";" {
        return Some(
            Fault::new(Code::OPERATOR_FORM, span, "`;` separates nothing here")
                .help("write `,` and a blank between arguments")
                .fix("write , between all", Span::new(0, text.len()), with_commas(text)),
        );
    }
    if matches!(found, "[" | "{") {
        return Some(
            Fault::new(
                Code::OPERATOR_FORM,
                span,
                format!("`{found}` is no bracket of a formula"),
            )
            .help("write `(` and `)`"),
        );
    }
    if found == "=" && wants_operand && text.get(..at).is_some_and(|before| before.trim().is_empty()) {
        return Some(
            Fault::new(Code::EXPECTED, span, "a formula does not begin with `=`")
                .help("take the sign away")
                .fix("take it away", span, ""),
        );
    }
    None
}

/// `largest(a; b)` with commas; texts stay as they are.
fn with_commas(text: &str) -> String {
    let parts = text.split('"').enumerate();
    let changed = parts.map(|(place, part)| match place % 2 {
        0 => part.replace("; ", ";").replace(';', ", "),
        _ => part.to_owned(),
    });
    changed.collect::<Vec<_>>().join("\"")
}

/// The word or sign a text begins with.
fn first_piece(text: &str) -> &str {
    let Some(first) = text.chars().next() else { return "" };
    let end = if first.is_alphanumeric() || first == '_' {
        text.find(|letter: char| !(letter.is_alphanumeric() || letter == '_' || letter == '′'))
            .unwrap_or(text.len())
    } else {
        first.len_utf8()
    };
    text.get(..end).unwrap_or("")
}

/// The word that stands directly before a place.
fn word_before(text: &str, at: usize) -> &str {
    let before = text.get(..at).unwrap_or("").trim_end();
    let start = before
        .rfind(|letter: char| !(letter.is_alphanumeric() || letter == '_'))
        .map_or(0, |sign| {
            sign + before
                .get(sign..)
                .and_then(|rest| rest.chars().next())
                .map_or(1, char::len_utf8)
        });
    before.get(start..).unwrap_or("")
}

/// The first bracket that is never closed.
pub(super) fn never_closed(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    for (sign, from, _) in signs(text) {
        match sign {
            Sign::Open => open.push(from),
            Sign::Close => {
                open.pop();
            }
            Sign::Between => {}
        }
    }
    open.last().copied()
}

/// `a, b or c`, words that are quoted already stay so.
fn list(words: &[&str]) -> String {
    let owned: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    match owned.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => one_of(&[]),
    }
}
