//! The one list of fault codes: word, usual severity, meaning, example.
//!
//! For: `explain CODE`, the help of the window, the pages of the manual and the tests, which walk the whole list.
//! Always: a code is a word a user can type; every entry has a meaning and an example text that raises it.
//! Each area keeps its own file, so that its messages are read together.

use super::Severity;

/// Writes an area's codes: a constant for each on [`Code`] and the area's list `CODES`.
macro_rules! codes {
    ($($name:ident = $word:literal, $severity:ident, $meaning:literal, $example:literal, $mended:literal;)*) => {
        pub(super) static CODES: &[&$crate::fault::CodeEntry] = &[$(&entries::$name),*];
        mod entries {
            $(pub(super) static $name: $crate::fault::CodeEntry = $crate::fault::CodeEntry {
                word: $word,
                severity: $crate::fault::Severity::$severity,
                meaning: $meaning,
                example: $example,
                mended: $mended,
            };)*
        }
        impl $crate::fault::Code {
            $(#[doc = $meaning] pub const $name: $crate::fault::Code = $crate::fault::Code::of(&entries::$name);)*
        }
    };
}

mod syntax;
mod units;
mod check;
mod work;
mod workbook;
mod lists;

/// The word of a fault, stable over versions.
#[derive(Clone, Copy)]
pub struct Code(&'static CodeEntry);

/// What is known of a code.
#[derive(Debug)]
pub struct CodeEntry {
    /// The word, in lower case with hyphens.
    pub word: &'static str,
    /// How bad it usually is.
    pub severity: Severity,
    /// What it means and why it matters, in a user's words.
    pub meaning: &'static str,
    /// A formula, line or cell that raises it.
    pub example: &'static str,
    /// The example put right.
    pub mended: &'static str,
}

impl Code {
    /// The code of an entry of the list.
    pub(crate) const fn of(entry: &'static CodeEntry) -> Code {
        Code(entry)
    }

    /// The word of the code.
    pub fn word(self) -> &'static str {
        self.0.word
    }

    /// All that is known of it.
    pub fn entry(self) -> &'static CodeEntry {
        self.0
    }

    /// The code with this word.
    pub fn find(word: &str) -> Option<Code> {
        Code::all().find(|code| code.word() == word)
    }

    /// Every code, area by area.
    pub fn all() -> impl Iterator<Item = Code> {
        [
            syntax::CODES,
            units::CODES,
            check::CODES,
            work::CODES,
            workbook::CODES,
            lists::CODES,
        ]
        .into_iter()
        .flatten()
        .map(|entry| Code(entry))
    }
}

impl PartialEq for Code {
    fn eq(&self, other: &Code) -> bool {
        self.0.word == other.0.word
    }
}
impl Eq for Code {}
impl std::hash::Hash for Code {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.0.word.hash(state);
    }
}
impl std::fmt::Debug for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.word)
    }
}
impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0.word)
    }
}
