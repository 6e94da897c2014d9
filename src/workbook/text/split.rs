//! Text into statements and rows, before anything is read.
//!
//! Always: a line that begins with a word of [`WORDS`] begins a statement, so that nothing left open above can swallow it.

use crate::workbook::Indent;

/// Words that begin a statement, with what it is.
pub const WORDS: &[(&str, &str)] = &[
    ("about", "who made the workbook: `about client \"…\"`"),
    (
        "accept",
        "settles a warning of the line before: `accept CODE \"reason\"`",
    ),
    ("at", "own formula of one row: `at \"P-102\" f = 60 Hz`"),
    ("cases", "cases of a worked sheet: `cases winter | summer`"),
    (
        "check",
        "a requirement: `check P_n >= 1.1 * P \"ten per cent in hand\"`",
    ),
    ("curve", "a function of one quantity: `curve T(n : shaft speed) = …`"),
    ("define", "a formula with parameters: `define f(x) = …`"),
    ("flag", "marks items: `flag \"oversized\" where load < 40 %`"),
    ("given", "an input: `given Q = 60 m³/h`"),
    ("list", "opens a list: `list motors \"Plant-room motors\"`"),
    ("note", "prose: `note \"…\"`"),
    ("plot", "a picture: `plot T_M, T_L for n from 0 r/min to n_s`"),
    ("polepair", "version of the text: `polepair 1`"),
    (
        "read",
        "where a list was read from: `read \"list.xlsx\" sheet \"Motors\" headings 5`",
    ),
    ("rows", "names the columns of the rows below: `rows tag | P_r`"),
    ("seek", "an unknown: `seek n such that T_M(n) = T_L(n)`"),
    ("sheet", "opens a worked sheet: `sheet brine \"Brine pump drive\"`"),
    ("supply", "`supply single-phase`"),
    ("units", "`units SI` or `units US`"),
    ("work", "a result: `work P = T * n in kW`"),
    ("workbook", "title: `workbook \"…\"`"),
];

/// Whether a word begins a statement.
pub fn begins_statement(word: &str) -> bool {
    WORDS.binary_search_by(|(known, _)| (*known).cmp(word)).is_ok()
}

/// The word a text begins with.
pub fn first_word(text: &str) -> &str {
    let end = text
        .find(|letter: char| !(letter.is_alphanumeric() || letter == '_'))
        .unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}

/// Blanks as people type them.
pub fn is_blank(letter: char) -> bool {
    matches!(
        letter,
        ' ' | '\t' | '\u{A0}' | '\u{202F}' | '\u{2009}' | '\u{2007}' | '\u{FEFF}'
    )
}

/// A line with its number from 1 and without its line end.
#[derive(Clone, Copy)]
pub struct TextLine<'t> {
    pub number: u32,
    pub text: &'t str,
}

impl<'t> TextLine<'t> {
    /// Without the blanks before it.
    pub fn content(&self) -> &'t str {
        self.text.trim_start_matches(is_blank)
    }

    /// The blanks before it.
    pub fn indent(&self) -> Indent {
        let bytes = self.text.len() - self.content().len();
        self.text.get(..bytes).map_or(Indent::NONE, Indent::of)
    }

    /// Whether it is blank or a comment.
    pub fn is_silent(&self) -> bool {
        let content = self.content();
        content.is_empty() || content.starts_with('#')
    }

    /// Whether it begins a statement, even inside a block of rows: a row may begin with such a word only when `|` follows.
    pub fn begins_statement(&self) -> bool {
        let content = self.content();
        let word = first_word(content);
        if !begins_statement(word) {
            return false;
        }
        let rest = content.get(word.len()..).unwrap_or("");
        let next = rest.trim_start_matches(is_blank);
        rest.is_empty() || (rest.starts_with(is_blank) && !next.starts_with('|'))
    }

    /// Whether it goes on with the formula of the line above.
    pub fn goes_on(&self) -> bool {
        let content = self.content();
        let Some(first) = content.chars().next() else {
            return false;
        };
        matches!(
            first,
            '+' | '-'
                | '−'
                | '–'
                | '*'
                | '·'
                | '⋅'
                | '×'
                | '/'
                | '÷'
                | '^'
                | '<'
                | '>'
                | '='
                | '≤'
                | '≥'
                | '≠'
                | '|'
                | ','
                | ')'
                | '!'
        ) || matches!(first_word(content), "and" | "or" | "else" | "when" | "otherwise")
    }
}

/// The lines of a text.
pub fn lines(text: &str) -> impl Iterator<Item = TextLine<'_>> {
    let mut number = 0u32;
    let body = text.strip_suffix('\n').unwrap_or(text);
    let empty = text.is_empty();
    body.split('\n').filter(move |_| !empty).map(move |line| {
        number = number.saturating_add(1);
        TextLine {
            number,
            text: line.strip_suffix('\r').unwrap_or(line),
        }
    })
}

/// What is open at the end of a line.
#[derive(Clone, Copy, Debug, Default)]
pub struct Open {
    /// Brackets.
    pub brackets: usize,
    /// Where a text in quotes begins that does not end, in bytes of what was scanned last.
    pub quote: Option<usize>,
    /// Where the comment begins, in bytes of what was scanned last.
    pub comment: Option<usize>,
}

impl Open {
    /// Goes over one line.
    pub fn scan(&mut self, line: &str) {
        self.quote = None;
        self.comment = None;
        let mut escaped = false;
        for (at, byte) in line.bytes().enumerate() {
            if self.quote.is_some() {
                if byte == b'"' && !escaped {
                    self.quote = None;
                }
                escaped = byte == b'\\' && !escaped;
                continue;
            }
            match byte {
                b'"' => {
                    self.quote = Some(at);
                    escaped = false;
                }
                b'#' => {
                    self.comment = Some(at);
                    return;
                }
                b'(' => self.brackets += 1,
                b')' => self.brackets = self.brackets.saturating_sub(1),
                _ => {}
            }
        }
    }
}
