//! The words of headings and cells, in five languages, as data.
//!
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
    fn read(text: &'static str, fold: fn(&str) -> Vec<String>) -> Table {
        let mut phrases: HashMap<String, Vec<Phrase>> = HashMap::new();
        let mut first: HashMap<String, usize> = HashMap::new();
        for line in text.lines() {
            if line.starts_with("# ") {
                continue;
            }
            let mut fields = line.splitn(3, ';');
            let (Some(says), Some(language), Some(phrase)) = (fields.next(), fields.next(), fields.next()) else {
                continue;
            };
            let words = fold(phrase);
            if let Some(word) = words.first() {
                let longest = first.entry(word.clone()).or_default();
                *longest = words.len().max(*longest);
            }
            let entry = phrases.entry(words.join(" ")).or_default();
            if !entry.iter().any(|known| known.says == says) {
                entry.push(Phrase {
                    says,
                    language,
                    words: words.len(),
                });
            }
        }
        Table { phrases, first }
    }

    /// What this text as a whole says.
    pub fn whole(&self, folded: &str) -> &[Phrase] {
        self.phrases.get(folded).map_or(&[], |found| found)
    }

    /// The longest phrase that begins at the first word.
    pub fn longest_at(&self, words: &[String]) -> Option<&Phrase> {
        let longest = *self.first.get(words.first()?)?;
        (1..=longest.min(words.len())).rev().find_map(|length| {
            let text = words.get(..length)?.join(" ");
            self.phrases.get(&text)?.first()
        })
    }
}

/// The words of headings.
pub fn headings() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| Table::read(include_str!("headings.csv"), words))
}

/// The words of cells, whole texts.
pub fn cells() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| Table::read(include_str!("cells.csv"), |text| vec![folded(text)]))
}

/// The words of cells, word by word, for finding one inside a remark.
pub fn inside() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| Table::read(include_str!("cells.csv"), words))
}

/// Whether a word of this meaning stands in the text.
pub fn says(text: &str, meaning: &str) -> bool {
    let all = words(text);
    let table = inside();
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
    all
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
}
