//! Everything of the language that has a name, by what it is about: functions, words that gather rows, series, published tables,
//! tolerances, constants, words of a formula. Completion and the panel of functions read this one list.
//!
//! Always: an entry says in a line what it is for, and what is put into a text where it is chosen.
//! Not known here: the screen, the workbook.

use std::sync::LazyLock;

use crate::language::check::SCHEDULES;
use crate::language::functions::{self, Body, Function, Gives};
use crate::language::syntax::words::{GATHERING, RESERVED, SEEKING};
use crate::standards::{Series, tables};

/// Letters that a word has at least to be offered, and to be found by the help of others.
pub const LEAST: usize = 3;

/// Something with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What it is about.
    pub topic: &'static str,
    /// Its name.
    pub name: String,
    /// What is shown of it: a function with its parameters.
    pub shown: String,
    /// How it begins in a text.
    pub begins: String,
    /// One line of help.
    pub help: String,
    /// What is to stand there, what it gives, its formula: said when it is looked at.
    pub more: Vec<String>,
    /// An example, and what it gives.
    pub example: Option<(&'static str, &'static str)>,
}

/// What an entry that is no function is about.
const OTHERS: [&str; 6] = [
    "Over the rows of a list",
    "Series of ratings",
    "Published tables",
    "Tolerances behind ±",
    "Constants",
    "Words of a formula",
];

/// All topics, in the order they are shown.
pub fn topics() -> impl Iterator<Item = &'static str> {
    functions::topics().into_iter().map(|(topic, _)| topic).chain(OTHERS)
}

impl Entry {
    fn of_function(topic: &'static str, function: &'static Function) -> Entry {
        let mut more: Vec<String> = function
            .parameters
            .iter()
            .map(|parameter| format!("{}: {}", parameter.name, parameter.takes.words()))
            .collect();
        if let Gives::Kind(kind) = function.gives {
            more.push(format!("gives: {kind}"));
        }
        if let Body::Formula(formula) = function.body {
            more.push(format!("worked as: {formula}"));
        }
        let (example, _) = function.example;
        for (name, (parameter, kind), body) in functions::example_curves() {
            if example.contains(name) {
                more.push(format!("in the example: curve {name}({parameter} : {kind}) = {body}"));
            }
        }
        if !function.source.is_empty() {
            more.push(format!("source: {}", function.source));
        }
        Entry {
            topic,
            name: function.name.to_owned(),
            shown: format!("{}({})", function.name, function.parameters_in_words()),
            begins: format!("{}(", function.name),
            help: function.help.to_owned(),
            more,
            example: Some(function.example).filter(|(example, _)| !example.is_empty()),
        }
    }

    fn named(topic: &'static str, name: &str, begins: String, help: String) -> Entry {
        Entry {
            topic,
            name: name.to_owned(),
            shown: begins.trim_end().to_owned(),
            begins,
            help,
            more: Vec::new(),
            example: None,
        }
    }

    /// The help as it stands behind the name of an offer.
    pub fn beside(&self) -> String {
        let parameters = self.shown.strip_prefix(&self.name).filter(|rest| rest.len() > 2);
        parameters.map_or_else(|| self.help.clone(), |rest| format!("{rest} {}", self.help))
    }

    /// The call with its parameters, as it is put into a text, and the letters of the first that is to be typed over; the beginning
    /// where there are none.
    pub fn call(&self) -> (String, Option<std::ops::Range<usize>>) {
        let first = self.shown.strip_prefix(&self.begins).filter(|rest| rest.len() > 1);
        let Some(first) = first.and_then(|rest| rest.split([',', ')']).next()) else {
            return (self.begins.clone(), None);
        };
        let from = self.begins.chars().count();
        (self.shown.clone(), Some(from..from + first.chars().count()))
    }

    /// How well it answers to words in small letters: 0 by its whole name, 1 by words of its name, 2 by its help, 3 by
    /// words that stand apart from one another.
    pub fn answers(&self, wanted: &str) -> Option<u8> {
        let name = self.name.to_lowercase();
        let called = wanted.replace([' ', '-'], "_");
        if name == called {
            return Some(0);
        }
        if name.starts_with(&called) || name.contains(&format!("_{called}")) {
            return Some(1);
        }
        let help = self.help.to_lowercase();
        if begins_word(&help, wanted) || wanted.contains(' ') && help.contains(wanted) {
            return Some(2);
        }
        let topic = self.topic.to_lowercase();
        let more = self.more.iter().map(|more| more.to_lowercase()).collect::<Vec<_>>();
        let mut words = wanted.split_whitespace().peekable();
        let has = |word: &str| {
            let mut texts = [&name, &help, &topic].into_iter().chain(&more);
            texts.any(|text| begins_word(text, word))
        };
        (words.peek().is_some() && words.all(has)).then_some(3)
    }
}

/// Whether a word of a text begins so.
fn begins_word(text: &str, beginning: &str) -> bool {
    let mut words = text.split(|letter: char| !letter.is_alphanumeric());
    words.any(|word| word.starts_with(beginning))
}

/// Everything, topic by topic; made once, as it hangs on no workbook.
pub fn all() -> impl Iterator<Item = &'static Entry> {
    static ENTRIES: LazyLock<Vec<Entry>> = LazyLock::new(|| entries().collect());
    ENTRIES.iter()
}

fn entries() -> impl Iterator<Item = Entry> {
    let [rows, series, published, schedules, constants, words] = OTHERS;
    let functions = functions::topics()
        .into_iter()
        .flat_map(|(topic, of)| of.iter().map(move |function| Entry::of_function(topic, function)));
    let gathering = GATHERING.iter().filter(|word| functions::find(word).is_none());
    let gathering = gathering.map(move |word| {
        let help = match SEEKING.contains(word) {
            true => format!("{word}(y for LIST at x = …)"),
            false => format!("{word}(x for LIST where …)"),
        };
        Entry::named(
            rows,
            word,
            format!("{word}("),
            format!("over the rows of a list: {help}"),
        )
    });
    let ratings = Series::ALL.into_iter().map(move |it| {
        let title = it.publication().map_or("", |publication| &publication.title);
        let help = format!("ratings in {}: {title}", it.unit());
        Entry::named(series, it.name(), it.name().to_owned(), help)
    });
    let tables =
        tables::all().map(move |it| Entry::named(published, it.name, it.name.to_owned(), it.publication.title.clone()));
    let schedules = SCHEDULES.iter().map(move |it| {
        let help = format!("behind ±: {}", it.title());
        Entry::named(schedules, it.name, it.name.to_owned(), help)
    });
    let constants = functions::constants()
        .iter()
        .map(move |it| Entry::named(constants, it.name, it.name.to_owned(), it.help.to_owned()));
    let reserved = RESERVED.iter().filter(|(word, _)| word.chars().count() >= LEAST);
    let reserved = reserved.map(move |(word, help)| Entry::named(words, word, format!("{word} "), (*help).to_owned()));
    functions
        .chain(gathering)
        .chain(ratings)
        .chain(tables)
        .chain(schedules)
        .chain(constants)
        .chain(reserved)
}

/// What answers to words, the best first.
pub fn found(wanted: &str) -> Vec<&'static Entry> {
    let wanted = wanted.trim().to_lowercase();
    let mut found: Vec<(u8, &Entry)> = all()
        .filter_map(|entry| Some((entry.answers(&wanted)?, entry)))
        .collect();
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, entry)| entry).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_find_what_is_meant() {
        for (words, name) in [
            ("breakdown", "torque_by_breakdown"),
            ("fan", "quadratic_load"),
            ("kw", "kw_ratings"),
            ("region", "region"),
            ("synchronous speed", "synchronous_speed"),
            ("full-load currents", "nec_430_250"),
            ("square root", "sqrt"),
            ("money payback", "simple_payback"),
            ("rows of a list", "sum"),
        ] {
            let found = found(words);
            assert!(
                found.iter().take(8).any(|entry| entry.name == name),
                "{words}: {found:?}"
            );
        }
        assert_eq!(found("breakdown slip")[0].name, "breakdown_slip");
        assert!(found("zzz").is_empty());
    }

    #[test]
    fn every_entry_has_a_topic_and_a_line_of_help() {
        let topics: Vec<&str> = topics().collect();
        for entry in all() {
            assert!(topics.contains(&entry.topic) && !entry.help.is_empty(), "{entry:?}");
        }
        for function in functions::all() {
            assert!(
                all().any(|entry| entry.name == function.name && entry.shown.contains('(')),
                "{function:?}"
            );
        }
        let call = all().find(|entry| entry.name == "torque_by_breakdown").unwrap().call();
        assert_eq!(call, ("torque_by_breakdown(s, T_b, s_b)".to_owned(), Some(20..21)));
    }
}
