//! A statement of a workbook as a flat row of pieces with their places. What they mean is said by `workbook::text`.
//!
//! Always: formulas inside are places only; they are parsed on their own, so that a wrong one leaves its line alive.

use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};
use pest::iterators::{Pair, Pairs};

use super::bounds;
use super::build::span_of;
use super::grammar::{Grammar, Rule, in_words};
use super::recover::{expected_fault, never_closed, parse};
use super::words::outside_quotes;
use crate::fault::{Fault, Span};

/// Bytes of a statement. A sheet with thousands of cases still fits.
pub const LONGEST_STATEMENT: usize = 400_000;

/// Which statement it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// `polepair 1`
    Version,
    /// `workbook "…"`
    Workbook,
    /// `about client "…"`
    About,
    /// `sheet …`, `list …`
    Opening,
    /// `units US`
    Units,
    /// `supply single-phase`
    Supply,
    /// `cases a | b`
    Cases,
    /// `cases f from … to … by …`
    CasesOver,
    /// `given`, `work`, `seek`
    Quantity,
    /// `check …`
    Check,
    /// `flag "…" where …`
    Flag,
    /// `curve …`
    Curve,
    /// `define …`
    Define,
    /// `note "…"`
    Note,
    /// `plot …`
    Plot,
    /// `read "…"`
    Read,
    /// `rows a | b`
    Rows,
    /// `at KEY name = …`
    At,
    /// `accept CODE "…"`
    Accept,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// given, work, seek; sheet, list; groups; row; the words of a rounding and of a phasor's form.
    Word,
    /// A name.
    Name,
    /// Text in quotes.
    Text,
    /// A whole number.
    Count,
    /// A number.
    Number,
    /// A formula.
    Formula,
    /// The place of one case; its formula follows unless it is blank.
    Case,
    /// A unit.
    Unit,
    /// Words of a kind.
    Kind,
    /// A word of a choice.
    ChoiceName,
    /// The name of a case.
    CaseName,
    /// Begins `= …`
    ValueClause,
    /// Begins `in …`
    InClause,
    /// Begins `to …`
    ToClause,
    /// Begins `such that …`
    SuchClause,
    /// Begins `between …`
    BetweenClause,
    /// Begins `: …`
    KindClause,
    /// Begins `from "…"`
    FromClause,
    /// Begins `plate`, `maker "…"`
    SourceClause,
    /// Begins a parameter.
    Parameter,
    /// Begins a point of a curve.
    Point,
}

/// A piece of a statement.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    /// What it is.
    pub part: Part,
    /// Where it stands.
    pub span: Span,
}

/// The pieces of a statement in the order they stand.
///
/// # Errors
/// The one fault that keeps the statement from being read.
pub fn statement(text: &str) -> Result<(Sort, Vec<Piece>), Fault> {
    if text.len() > LONGEST_STATEMENT {
        return Err(bounds::too_long(
            Span::new(0, text.len()),
            format!(
                "the line has {} bytes; at most {LONGEST_STATEMENT} can be read",
                text.len()
            ),
        ));
    }
    bounds::levels(text)?;
    if text.contains('\u{1}') {
        return statement(&text.replace('\u{1}', "\u{2}"));
    }
    match Grammar::parse(Rule::statement, text) {
        Ok(pairs) => {
            let read = pieces_of(pairs);
            // A bracket that is left open takes all that follows for its own.
            let saved = match read.0 {
                Sort::Quantity => never_closed(text).and_then(|open| around_wrong_value(text, open)),
                _ => None,
            };
            Ok(saved.unwrap_or(read))
        }
        Err(error) => {
            let at = match error.location {
                InputLocation::Pos(at) | InputLocation::Span((at, _)) => at.min(text.len()),
            };
            if let Some(read) = around_wrong_value(text, at) {
                return Ok(read);
            }
            let ErrorVariant::ParsingError { positives, .. } = &error.variant else {
                return Err(bounds::too_deep(Span::new(at, at)));
            };
            let mut expected: Vec<&'static str> = positives.iter().filter_map(|rule| in_words(*rule)).collect();
            expected.sort_unstable();
            expected.dedup();
            Err(expected_fault(text, text, at, &expected))
        }
    }
}

fn pieces_of(pairs: Pairs<'_, Rule>) -> (Sort, Vec<Piece>) {
    let mut pieces = Vec::new();
    let mut sort = Sort::Note;
    for pair in pairs.flat_map(Pair::into_inner) {
        if let Some(found) = sort_of(pair.as_rule()) {
            sort = found;
            flatten(pair, &mut pieces);
        }
    }
    (sort, pieces)
}

/// Reads the line of a quantity around a formula that breaks off at `at` in a way that takes the rest of the line with it, as
/// `= 5 to 6 kW "Flow"`: the title, the kind and the other cases stay alive, and the formula tells its own fault.
fn around_wrong_value(text: &str, at: usize) -> Option<(Sort, Vec<Piece>)> {
    let head = Grammar::parse(Rule::quantity_head, text).ok()?.next()?.as_span().end();
    let outside = || outside_quotes(text).filter(|(place, _)| *place >= head);
    let bar = outside()
        .take_while(|(place, _)| *place < at)
        .filter(|(_, sign)| *sign == '|');
    let start = bar.last().map_or(head, |(place, _)| place + 1);
    let start = start + text.get(start..)?.len() - text.get(start..)?.trim_start().len();
    let behind = outside().filter(|(place, _)| *place >= at && *place > start);
    let signs = behind.filter(|(place, sign)| matches!(sign, '"' | '|' | ':' | '#') || begins_clause(text, *place));
    let ends = signs.map(|(place, _)| place).chain([text.len()]);
    ends.take(MOST_ENDS).find_map(|end| {
        let wrong = text.get(start..end)?.trim_end();
        if wrong.is_empty() || parse(wrong).1.is_empty() {
            return None;
        }
        let dark = "\u{1}".repeat(wrong.len());
        let blotted = [text.get(..start)?, &dark, text.get(start + wrong.len()..)?].concat();
        let read = pieces_of(Grammar::parse(Rule::statement, &blotted).ok()?);
        (read.0 == Sort::Quantity).then_some(read)
    })
}

/// Places that are looked at for the end of a wrong formula.
const MOST_ENDS: usize = 12;

/// Whether a clause begins with the word at a place.
fn begins_clause(text: &str, place: usize) -> bool {
    let (before, word) = text.split_at_checked(place).unwrap_or_default();
    before.ends_with([' ', '\t']) && Grammar::parse(Rule::clause_begin, word).is_ok()
}

fn sort_of(rule: Rule) -> Option<Sort> {
    Some(match rule {
        Rule::version => Sort::Version,
        Rule::workbook_title => Sort::Workbook,
        Rule::about => Sort::About,
        Rule::opening => Sort::Opening,
        Rule::units => Sort::Units,
        Rule::supply => Sort::Supply,
        Rule::cases => Sort::Cases,
        Rule::cases_over => Sort::CasesOver,
        Rule::quantity => Sort::Quantity,
        Rule::check => Sort::Check,
        Rule::flag => Sort::Flag,
        Rule::curve => Sort::Curve,
        Rule::define => Sort::Define,
        Rule::remark => Sort::Note,
        Rule::plot => Sort::Plot,
        Rule::read_file => Sort::Read,
        Rule::row_names => Sort::Rows,
        Rule::at_row => Sort::At,
        Rule::accept => Sort::Accept,
        _ => return None,
    })
}

/// Where a part with further parts stands. The blanks and comments after its last part are not its own, bars of empty places are.
fn closed(pair: &Pair<'_, Rule>) -> Span {
    let whole = pair.as_span();
    let inner = pair
        .clone()
        .into_inner()
        .flatten()
        .filter(|inner| !matches!(inner.as_rule(), Rule::case_value | Rule::unit_after_in | Rule::kind))
        .map(|inner| span_of(&inner).end as usize);
    let Some(mut end) = inner.max() else {
        return Span::new(whole.start(), whole.start() + whole.as_str().trim_end().len());
    };
    let mut in_comment = false;
    let rest = whole.as_str().get(end.saturating_sub(whole.start())..).unwrap_or("");
    let from = end;
    for (at, letter) in rest.char_indices() {
        match letter {
            '#' => in_comment = true,
            '\n' => in_comment = false,
            '|' if !in_comment => end = from + at + 1,
            _ => {}
        }
    }
    Span::new(whole.start(), end)
}

/// The grammar of statements is shallow: three levels at most.
fn flatten(pair: Pair<'_, Rule>, out: &mut Vec<Piece>) {
    for inner in pair.into_inner() {
        let (part, deeper) = match inner.as_rule() {
            Rule::name => (Part::Name, false),
            Rule::text => (Part::Text, false),
            Rule::count => (Part::Count, false),
            Rule::plain_number => (Part::Number, false),
            Rule::formula_text | Rule::long_formula | Rule::short_formula => (Part::Formula, false),
            Rule::case_value => (Part::Case, true),
            Rule::unit | Rule::unit_one => (Part::Unit, false),
            Rule::kind_words => (Part::Kind, false),
            Rule::choice_name => (Part::ChoiceName, false),
            Rule::case_name => (Part::CaseName, false),
            Rule::value_clause => (Part::ValueClause, true),
            Rule::in_clause => (Part::InClause, true),
            Rule::to_clause => (Part::ToClause, true),
            Rule::such_clause => (Part::SuchClause, true),
            Rule::between_clause => (Part::BetweenClause, true),
            Rule::kind_clause => (Part::KindClause, true),
            Rule::from_clause => (Part::FromClause, true),
            Rule::source => (Part::SourceClause, true),
            Rule::parameter => (Part::Parameter, true),
            Rule::point => (Part::Point, true),
            Rule::role
            | Rule::sheet_word
            | Rule::list_word
            | Rule::groups_word
            | Rule::headings_word
            | Rule::digest_word
            | Rule::row_word
            | Rule::digits_word
            | Rule::form_word
            | Rule::extreme
            | Rule::about_what
            | Rule::system
            | Rule::phases
            | Rule::code_word
            | Rule::through_word
            | Rule::source_word => (Part::Word, false),
            Rule::unit_after_in | Rule::kind => {
                flatten(inner, out);
                continue;
            }
            _ => continue,
        };
        let open_ended = matches!(
            part,
            Part::ValueClause | Part::SuchClause | Part::KindClause | Part::SourceClause
        );
        let span = if open_ended { closed(&inner) } else { span_of(&inner) };
        out.push(Piece { part, span });
        if deeper {
            flatten(inner, out);
        }
    }
}
