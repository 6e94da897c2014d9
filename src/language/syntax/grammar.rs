//! Binds the grammar files to the parser, and names their rules as a user would.
//!
//! Always: a rule added to a grammar file must be named here, else the match does not compile.

#![allow(missing_docs, reason = "the rules are described in the grammar files")]

use pest_derive::Parser;

/// The parser of `grammar/formula.pest`.
#[derive(Parser)]
#[grammar = "grammar/formula.pest"]
pub(crate) struct Grammar;

/// What a user would call the rule; `None` for rules that are never expected by themselves.
pub(crate) fn in_words(rule: Rule) -> Option<&'static str> {
    Some(match rule {
        Rule::EOI => "the end",
        Rule::number | Rule::plain_number | Rule::wrong_number | Rule::wrong_fraction | Rule::fraction_text => {
            "a number"
        }
        Rule::unit | Rule::unit_after_in | Rule::unit_one => "a unit",
        Rule::text | Rule::wrong_text => "text in quotes",
        Rule::name | Rule::reference => "a name",
        Rule::count => "a whole number",
        Rule::open | Rule::bracket | Rule::call | Rule::item_call => "`(`",
        Rule::close => "`)`",
        Rule::comma => "`,`",
        Rule::dot => "`.`",
        Rule::sum_sign
        | Rule::product_sign
        | Rule::power_sign
        | Rule::comparison
        | Rule::and_word
        | Rule::or_word
        | Rule::else_word
        | Rule::wrong_power => "an operator",
        Rule::minus_sign | Rule::root_sign | Rule::power_mark => return None,
        Rule::not_word | Rule::here | Rule::here_word | Rule::source_word => return None,
        Rule::formula | Rule::sequence | Rule::item | Rule::value => "a formula",
        Rule::when_word => "`when`",
        Rule::otherwise_word => "`otherwise`",
        Rule::in_word => "`in` and a unit",
        Rule::gather | Rule::for_word => "`for`",
        Rule::where_word => "`where`",
        Rule::from_word => "`from`",
        Rule::to_word => "`to`",
        Rule::row_word => "`row` and a number",
        Rule::unreadable => return None,
        _ => return None,
    })
}
