//! Binds the grammar files to the parser, and names their rules as a user would.
//!
//! Always: a rule added to a grammar file must be named here, else the match does not compile.

#![allow(missing_docs, reason = "the rules are described in the grammar files")]

use pest_derive::Parser;

/// The parser of both grammar files.
#[derive(Parser)]
#[grammar = "grammar/formula.pest"]
#[grammar = "grammar/workbook.pest"]
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
        Rule::name | Rule::reference | Rule::imaginary => "a name",
        Rule::count => "a whole number",
        Rule::open | Rule::bracket | Rule::call | Rule::item_call => "`(`",
        Rule::close => "`)`",
        Rule::comma => "`,`",
        Rule::dot => "`.`",
        Rule::sum_sign
        | Rule::product_sign
        | Rule::power_sign
        | Rule::angle_sign
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
        Rule::along => "`at`",
        Rule::where_word => "`where`",
        Rule::from_word => "`from`",
        Rule::to_word => "`to`",
        Rule::row_word => "`row` and a number",
        Rule::unreadable => return None,
        Rule::version_word => "`polepair`",
        Rule::workbook_word => "`workbook`",
        Rule::about_word => "`about`",
        Rule::sheet_word => "`sheet`",
        Rule::list_word => "`list`",
        Rule::groups_word => "`groups`",
        Rule::of_word => "`of`",
        Rule::by_word => "`by`",
        Rule::units_word => "`units`",
        Rule::supply_word => "`supply`",
        Rule::cases_word => "`cases`",
        Rule::check_word => "`check`",
        Rule::flag_word => "`flag`",
        Rule::curve_word => "`curve`",
        Rule::through_word => "`through`",
        Rule::define_word => "`define`",
        Rule::note_word => "`note`",
        Rule::plot_word => "`plot`",
        Rule::read_word => "`read`",
        Rule::headings_word => "`headings`",
        Rule::digest_word => "`digest`",
        Rule::rows_word => "`rows`",
        Rule::at_word => "`at`",
        Rule::accept_word => "`accept`",
        Rule::plus_minus | Rule::tolerance | Rule::limits_word | Rule::limit => return None,
        Rule::dots => "`…`",
        Rule::schedule => "a schedule of tolerances",
        Rule::digits_word => "`digits`",
        Rule::form_word => "`polar` or `rectangular`",
        Rule::such_word => "`such that`",
        Rule::that_word => "`that`",
        Rule::between_word => "`between`",
        Rule::is_word => "`is largest`",
        Rule::equals => "`=`",
        Rule::bar => "`|`",
        Rule::colon => "`:` and a kind",
        Rule::role => "given, work or seek",
        Rule::extreme => "`largest` or `smallest`",
        Rule::about_what => "client, author, checked by, revision, date, project or document",
        Rule::system => "`SI` or `US`",
        Rule::phases => "`single-phase` or `three-phase`",
        Rule::code_word => "the code of a warning",
        Rule::kind | Rule::kind_words => "a kind",
        Rule::choice_name | Rule::choice_word => "a word of a choice",
        Rule::case_name => "the name of a case",
        Rule::parameter => "a name",
        Rule::point => "a point, `(argument, value)`",
        Rule::source => "plate, measured, assumed, maker or standard",
        Rule::formula_text | Rule::long_formula | Rule::short_formula => "a formula",
        Rule::case_value => return None,
        Rule::statement
        | Rule::version
        | Rule::workbook_title
        | Rule::about
        | Rule::opening
        | Rule::units
        | Rule::supply
        | Rule::cases
        | Rule::cases_over
        | Rule::quantity
        | Rule::quantity_head
        | Rule::check
        | Rule::flag
        | Rule::curve
        | Rule::define
        | Rule::remark
        | Rule::plot
        | Rule::read_file
        | Rule::row_names
        | Rule::at_row
        | Rule::accept
        | Rule::value_clause
        | Rule::in_clause
        | Rule::to_clause
        | Rule::such_clause
        | Rule::between_clause
        | Rule::kind_clause
        | Rule::from_clause => return None,
        Rule::WHITESPACE | Rule::COMMENT => return None,
        // Silent rules: they never show up by themselves.
        Rule::blank
        | Rule::operand
        | Rule::prefix
        | Rule::infix
        | Rule::primary
        | Rule::number_unit
        | Rule::exponent
        | Rule::odd_tail
        | Rule::converts
        | Rule::unit_goes_on
        | Rule::unit_text
        | Rule::unit_factor
        | Rule::unit_symbol
        | Rule::unit_letter
        | Rule::called
        | Rule::unit_joint
        | Rule::unit_exponent
        | Rule::unit_mark
        | Rule::raised
        | Rule::letter
        | Rule::name_char
        | Rule::lowered
        | Rule::digit
        | Rule::reserved
        | Rule::common_word
        | Rule::wide
        | Rule::word_not_unit
        | Rule::minus
        | Rule::clause
        | Rule::kind_end
        | Rule::kind_letter
        | Rule::skip
        | Rule::first_piece
        | Rule::short_first
        | Rule::piece
        | Rule::short_piece
        | Rule::loose_piece
        | Rule::loose_bracket
        | Rule::loose_operator
        | Rule::free_word
        | Rule::any_word
        | Rule::any_letters
        | Rule::clause_word
        | Rule::clause_begin
        | Rule::hard_word
        | Rule::loose_sign => return None,
    })
}
