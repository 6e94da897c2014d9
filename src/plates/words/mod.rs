//! The words of headings and cells, in five languages, as data.
//!
//! A user's own words come beside them (`own`).
//! Always: one place that folds a text to plain words (lower case, no accents, no signs), so that lists and tables meet.
//! Not known here: what follows from a word.

use std::collections::HashMap;
use std::sync::OnceLock;

use unicode_normalization::UnicodeNormalization;

/// A phrase of the tables.
#[derive(Clone, Debug)]
pub struct Phrase {
    /// What it says.
    pub says: &'static str,
    /// The language.
    pub language: &'static str,
    /// How many words it has.
    pub words: usize,
}

/// A table of phrases by their words.
#[derive(Debug)]
pub struct Table {
    phrases: HashMap<String, Vec<Phrase>>,
    /// The first words of phrases, and how many words the longest phrase with it has.
    first: HashMap<String, usize>,
}

impl Table {
    fn read(text: &'static str, own: &[(&'static str, String)], fold: fn(&str) -> Vec<String>) -> Table {
        let mut table = Table {
            phrases: HashMap::new(),
            first: HashMap::new(),
        };
        // The user's own come first: of two meanings of a phrase the first one holds.
        for (says, phrase) in own {
            table.add(says, OWN, fold(phrase));
        }
        for (says, language, phrase) in entries(text) {
            table.add(says, language, fold(phrase));
        }
        table
    }

    fn add(&mut self, says: &'static str, language: &'static str, words: Vec<String>) {
        if let Some(word) = words.first() {
            let longest = self.first.entry(word.clone()).or_default();
            *longest = words.len().max(*longest);
        }
        let entry = self.phrases.entry(words.join(" ")).or_default();
        if !entry.iter().any(|known| known.says == says) {
            entry.push(Phrase {
                says,
                language,
                words: words.len(),
            });
        }
    }

    /// What this text as a whole says.
    pub fn whole(&self, folded: &str) -> &[Phrase] {
        self.phrases.get(folded).map_or(&[], |found| found)
    }

    /// The longest phrase that begins at the first word.
    pub fn longest_at(&self, words: &[String]) -> Option<&Phrase> {
        self.all_at(words).first()
    }

    /// All meanings of the longest phrase that begins at the first word.
    fn all_at(&self, words: &[String]) -> &[Phrase] {
        let longest = words
            .first()
            .and_then(|word| self.first.get(word))
            .copied()
            .unwrap_or(0);
        let found = (1..=longest.min(words.len())).rev().find_map(|length| {
            let text = words.get(..length)?.join(" ");
            self.phrases.get(&text)
        });
        found.map_or(&[], Vec::as_slice)
    }
}

/// The language of a user's own words.
const OWN: &str = "own";

const HEADINGS: &str = include_str!("headings.csv");
const CELLS: &str = include_str!("cells.csv");

/// The entries of a table: what a phrase says, its language, the phrase.
fn entries(text: &str) -> impl Iterator<Item = (&str, &str, &str)> {
    text.lines().filter(|line| !line.starts_with("# ")).filter_map(|line| {
        let mut fields = line.splitn(3, ';');
        Some((fields.next()?, fields.next()?, fields.next()?))
    })
}

/// What the phrases of a table can say, each once.
fn meanings(text: &'static str) -> Vec<&'static str> {
    let mut all: Vec<&str> = entries(text).map(|(says, ..)| says).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// The words of headings and of cells: those of the tables, and a user's own.
#[derive(Debug)]
pub struct Words {
    headings: Table,
    cells: Table,
    inside: Table,
}

impl Words {
    /// The tables alone. They are read once: whoever asks for each row of a table would read them for each.
    pub fn usual() -> &'static Words {
        static USUAL: OnceLock<Words> = OnceLock::new();
        USUAL.get_or_init(|| Words::with(&[]))
    }

    /// The tables and further phrases, which go before those of the tables: what a phrase says and the phrase.
    pub fn with(own: &[(&'static str, String)]) -> Words {
        let (headings, cells) = (meanings(HEADINGS), meanings(CELLS));
        let of = |known: &[&'static str]| -> Vec<(&'static str, String)> {
            own.iter()
                .filter(|(says, _)| known.contains(says))
                .map(|(says, phrase)| (*says, phrase.clone()))
                .collect()
        };
        let (of_headings, of_cells) = (of(&headings), of(&cells));
        Words {
            headings: Table::read(HEADINGS, &of_headings, words),
            cells: Table::read(CELLS, &of_cells, |text| vec![folded(text)]),
            inside: Table::read(CELLS, &of_cells, words),
        }
    }

    /// All that a phrase of a heading or of a cell can say.
    pub fn all_meanings() -> Vec<&'static str> {
        let mut all = meanings(HEADINGS);
        all.extend(meanings(CELLS));
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The words of headings.
    pub fn headings(&self) -> &Table {
        &self.headings
    }

    /// The words of cells, whole texts.
    pub fn cells(&self) -> &Table {
        &self.cells
    }

    /// Whether a heading has a word of this meaning.
    pub fn headings_say(&self, text: &str, meaning: &str) -> bool {
        Words::any(&self.headings, text, meaning)
    }

    /// Whether a word of this meaning stands in the text.
    pub fn says(&self, text: &str, meaning: &str) -> bool {
        Words::any(&self.inside, text, meaning)
    }

    fn any(table: &Table, text: &str, meaning: &str) -> bool {
        let all = words(text);
        let mut at = 0;
        while let Some(rest) = all.get(at..).filter(|rest| !rest.is_empty()) {
            match table.longest_at(rest) {
                Some(phrase) => {
                    if phrase.says == meaning {
                        return true;
                    }
                    at += phrase.words.max(1);
                }
                None => at += 1,
            }
        }
        false
    }
}

/// What is said apart from each other.
fn clauses(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';', ':', '(', ')', '\n'])
        .flat_map(|clause| clause.split(" - "))
}

/// Words before a phrase that take it back, at most so far away.
const BEFORE: usize = 3;
/// Words after it.
const AFTER: usize = 2;

impl Words {
    /// Whether the text says this of the motor as it is: not `not on VSD`, `candidate for VFD`, `spare parts`. Words that take a
    /// phrase back stand near it in the same clause.
    pub fn states(&self, text: &str, meaning: &str) -> bool {
        self.stated(text).contains(&meaning)
    }

    /// All that the text says of the motor as it is.
    pub fn stated(&self, text: &str) -> Vec<&'static str> {
        let mut all = Vec::new();
        for clause in clauses(text) {
            self.clause_states(&words(clause), &mut all);
        }
        all
    }

    /// Whether the text says that the motor is gone: by a word that says it of nothing else, or by one that may be said of a part too
    /// (`guard removed`) and stands first or behind the machine (`motor was removed`).
    pub fn gone(&self, text: &str) -> bool {
        clauses(text).any(|clause| {
            let all = words(clause);
            let mut said = Vec::new();
            self.clause_states(&all, &mut said);
            let says = |words: &[String], meaning: &str| {
                let phrases = self.inside.all_at(words);
                let count = phrases.first().map_or(0, |phrase| phrase.words);
                phrases.iter().any(|phrase| phrase.says == meaning).then_some(count)
            };
            let machine = says(&all, "machine").unwrap_or(0);
            let is_between = |word: &&String| {
                matches!(
                    word.as_str(),
                    "was" | "is" | "has" | "been" | "ist" | "wurde" | "a" | "ete" | "ha" | "sido" | "foi"
                )
            };
            let between = all.iter().skip(machine).take_while(is_between).count();
            let from = if machine > 0 { machine + between } else { 0 };
            said.contains(&"gone") || says(all.get(from..).unwrap_or_default(), "gone_first").is_some()
        })
    }

    /// How many the text says this of: 1 in `2 duty, 1 standby`. A number behind another word is a name, as in `pump 1 standby`.
    pub fn counted(&self, text: &str, meaning: &str) -> Option<u32> {
        clauses(text).find_map(|clause| {
            let all = words(clause);
            let mut at = 0;
            // Whether a count may begin here.
            let mut begins = true;
            while let Some(rest) = all.get(at..).filter(|rest| !rest.is_empty()) {
                let count = rest.first().and_then(|word| self.count(word)).filter(|_| begins);
                let phrases = self.inside.all_at(rest.get(1..).unwrap_or_default());
                let length = phrases.first().map_or(0, |phrase| phrase.words);
                if let Some(count) = count {
                    if phrases.iter().any(|phrase| phrase.says == meaning) {
                        return Some(count);
                    }
                    at += 1 + length;
                    continue;
                }
                begins = rest
                    .first()
                    .is_some_and(|word| matches!(word.as_str(), "and" | "und" | "et" | "y" | "e"));
                at += 1;
            }
            None
        })
    }

    /// The number a word is.
    fn count(&self, word: &str) -> Option<u32> {
        let spelt_out = || {
            self.cells
                .whole(word)
                .iter()
                .find_map(|phrase| phrase.says.parse().ok())
        };
        word.parse().ok().or_else(spelt_out)
    }

    fn clause_states(&self, words: &[String], all: &mut Vec<&'static str>) {
        let mut said: Vec<(usize, usize, &'static str)> = Vec::new();
        let mut at = 0;
        while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
            let phrases = self.inside.all_at(rest);
            let count = phrases.first().map_or(1, |phrase| phrase.words.max(1));
            said.extend(phrases.iter().map(|phrase| (at, at + count, phrase.says)));
            at += count;
        }
        let taken_back = |start: usize, end: usize| {
            said.iter().any(|(first, last, other)| match *other {
                "taken_back_before" => *last <= start && start - last < BEFORE,
                "taken_back_after" => *first >= end && first - end < AFTER,
                _ => false,
            })
        };
        let hold = said.iter().filter(|(start, end, _)| !taken_back(*start, *end));
        all.extend(hold.map(|(.., says)| *says));
    }

    /// Whether a text begins with a phrase of this meaning.
    pub fn begins(&self, text: &str, meaning: &str) -> bool {
        self.inside
            .all_at(&words(text))
            .iter()
            .any(|phrase| phrase.says == meaning)
    }

    /// Whether a cell as a whole says this.
    pub fn is(&self, text: &str, meaning: &str) -> bool {
        self.cells
            .whole(&folded(text))
            .iter()
            .any(|phrase| phrase.says == meaning)
    }
}

/// Lower case, accents off, blanks of all sorts as one blank, ends trimmed.
pub fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    if text.is_ascii() {
        // Most texts: nothing to take apart.
        for sign in text.chars() {
            if !sign.is_whitespace() {
                out.push(sign.to_ascii_lowercase());
            } else if !out.ends_with(' ') {
                out.push(' ');
            }
        }
        return match out.trim() {
            trimmed if trimmed.len() == out.len() => out,
            trimmed => trimmed.to_owned(),
        };
    }
    for sign in text.nfkd() {
        match sign {
            '\u{0300}'..='\u{036F}' => {}
            'ß' => out.push_str("ss"),
            'φ' | 'ϕ' | 'Φ' => out.push_str("phi"),
            'η' => out.push_str("eta"),
            // The degree sign stands for the small o of `N°`.
            '°' if out.ends_with('n') || out.ends_with("n.") => out.push('o'),
            sign if sign.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            sign => out.extend(sign.to_lowercase()),
        }
    }
    out.trim().to_owned()
}

/// The words of a text: runs of letters and digits, and `#`.
pub fn words(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut word = String::new();
    for sign in folded(text).chars() {
        if sign.is_alphanumeric() {
            word.push(sign);
        } else {
            if !word.is_empty() {
                all.push(std::mem::take(&mut word));
            }
            if sign == '#' {
                all.push("#".to_owned());
            }
        }
    }
    if !word.is_empty() {
        all.push(word);
    }
    // `N.º`, `N°` and `Nº` are one word.
    while let Some(place) = all
        .windows(2)
        .position(|pair| matches!(pair, [n, o] if n == "n" && o == "o"))
    {
        all.remove(place + 1);
        if let Some(word) = all.get_mut(place) {
            word.push('o');
        }
    }
    all
}

/// What a heading is known by: its words, or its signs where it has none, as `%`.
pub fn key(heading: &str) -> String {
    match words(heading).join(" ") {
        words if words.is_empty() => folded(heading).split_whitespace().collect(),
        words => words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same letters fold alike whether the text is plain or not; an accent makes it not plain and is taken off.
    #[test]
    fn plain_texts_fold_like_others() {
        for text in [" Rated\tkW ", "M-1017", "a  B\u{b}c\r\n", "", "  ", "#3 \u{1c}Pump"] {
            let marked = format!("{text}x\u{301}");
            assert_eq!(folded(&format!("{text}x")), folded(&marked), "{text:?}");
        }
        assert_eq!(folded(" \tAs  Above "), "as above");
    }

    #[test]
    fn the_tables_are_read_once() {
        assert!(std::ptr::eq(Words::usual(), Words::usual()));
    }
}
