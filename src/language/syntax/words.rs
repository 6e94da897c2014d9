//! Words of the language: reserved ones, those that begin a line, and what to write instead of habits from elsewhere.

/// Words that are never names, with what they are for.
pub const RESERVED: &[(&str, &str)] = &[
    ("and", "both conditions hold"),
    ("between", "limits of an unknown"),
    ("by", "step of cases"),
    ("else", "what to take where a value is blank"),
    ("for", "the list of an aggregate, the variable of a plot"),
    ("from", "heading of a column, lower end"),
    ("here", "the asking item inside an aggregate"),
    ("in", "unit of a result, conversion; inch after a number"),
    ("is", "`such that E is largest`"),
    ("j", "the imaginary unit of phasors"),
    ("not", "the opposite of a condition"),
    ("or", "one of the conditions holds"),
    ("otherwise", "last resort of a choice"),
    ("such", "`such that` begins an equation"),
    ("to", "digits of a result, upper end"),
    ("when", "condition of an arm of a choice"),
    ("where", "condition of an aggregate or a flag"),
];

/// Words that gather the rows of a list.
pub const GATHERING: &[&str] = &[
    "sum",
    "mean",
    "largest",
    "smallest",
    "count",
    "only",
    "first",
    "interpolated",
    "next_up",
    "next_down",
    "nearest",
];

/// Those that seek a place along the rows: `interpolated(y for LIST at x = …)`.
pub const SEEKING: &[&str] = &["interpolated", "next_up", "next_down", "nearest"];

/// What to write instead of a word that people bring along.
const INSTEAD: &[(&str, &str)] = &[
    ("max", "`largest(a, b)`, or `largest(x for LIST)` over rows"),
    ("min", "`smallest(a, b)`, or `smallest(x for LIST)` over rows"),
    ("avg", "`mean(x for LIST)`"),
    ("average", "`mean(x for LIST)`"),
    ("total", "`sum(x for LIST)`"),
    ("if", "`A when CONDITION, otherwise B`"),
    ("then", "`A when CONDITION, otherwise B`"),
    ("iif", "`A when CONDITION, otherwise B`"),
    ("case", "`A when CONDITION, B when CONDITION, otherwise C`"),
    ("pow", "`x ^ n`"),
    ("power", "`x ^ n`"),
    ("int", "`floor(x)`"),
    ("trunc", "`floor(x)`"),
    ("ceil", "`ceiling(x)`"),
    ("lg", "`log10(x)`"),
    ("loge", "`ln(x)`"),
    ("arccos", "`acos(x)`"),
    ("arcsin", "`asin(x)`"),
    ("arctan", "`atan(x)`"),
    ("cbrt", "`root(x, 3)`"),
    ("isblank", "`not known(x)`"),
    ("mod", "`x - n * floor(x / n)`"),
    ("xor", "`a ≠ b`"),
    ("unless", "`A when not CONDITION`"),
];

/// How tables and lists say that there is no value. Common practice, no source.
const NO_VALUE: &[&str] = &[
    "-",
    "--",
    "---",
    "–",
    "—",
    "−",
    "./.",
    "?",
    "n/a",
    "#n/a",
    "n.a.",
    "na",
    "nil",
    "none",
    "unknown",
    "not known",
    "not available",
    "tbd",
    "k.a.",
];

/// Whether a whole text says that there is no value, as lists do.
pub fn says_nothing(text: &str) -> bool {
    NO_VALUE.iter().any(|word| word.eq_ignore_ascii_case(text.trim()))
}

/// Words and signs of haste before a number, the longer ones first.
const ABOUT: &[&str] = &["approx.", "approx", "about", "circa", "ca.", "ca", "abt.", "≈", "~"];

/// The word of haste that a text begins with, where a number follows it: how many bytes stand before the number.
pub fn haste(text: &str) -> Option<(&'static str, usize)> {
    let rest = text.trim_start();
    let word = ABOUT.iter().find(|word| {
        let begins = rest
            .get(..word.len())
            .is_some_and(|first| first.eq_ignore_ascii_case(word));
        begins
            && rest
                .get(word.len()..)
                .is_some_and(|rest| rest.trim_start().starts_with(|sign: char| sign.is_ascii_digit()))
    })?;
    let number = rest.get(word.len()..)?.trim_start();
    Some((word, text.len() - number.len()))
}

/// Words and signs of a limit before a number, and how a condition has it; the longer ones first.
const LIMITS: &[(&str, &str)] = &[
    ("not more than", "<="),
    ("not less than", ">="),
    ("at least", ">="),
    ("at most", "<="),
    ("maximum", "<="),
    ("minimum", ">="),
    ("up to", "<="),
    ("max.", "<="),
    ("min.", ">="),
    ("max", "<="),
    ("min", ">="),
    ("<=", "<="),
    (">=", ">="),
    ("=<", "<="),
    ("≤", "<="),
    ("≥", ">="),
    ("<", "<"),
    (">", ">"),
];

/// The limit that a text begins with, as a condition has it, and what follows.
pub fn says_limit(text: &str) -> Option<(&'static str, &str)> {
    LIMITS.iter().find_map(|(word, sign)| {
        let begins = text
            .get(..word.len())
            .is_some_and(|first| first.eq_ignore_ascii_case(word));
        let rest = text.get(word.len()..).filter(|_| begins)?.trim_start();
        rest.starts_with(|first: char| first.is_ascii_digit())
            .then_some((*sign, rest))
    })
}

/// The signs of a text that stand in no quotes; of a text in quotes its first.
pub fn outside_quotes(text: &str) -> impl Iterator<Item = (usize, char)> {
    let (mut inside, mut escaped) = (false, false);
    text.char_indices().filter(move |(_, sign)| {
        let was = inside;
        match sign {
            '"' if !escaped => inside = !inside,
            '\n' => inside = false,
            _ => {}
        }
        escaped = was && *sign == '\\' && !escaped;
        !was
    })
}

/// Whether a word is a class that plates stamp: of efficiency, protection or duty.
pub fn is_class(word: &str) -> bool {
    let ends_in = |digits: &str, most: usize| {
        (1..=most).contains(&digits.len()) && digits.bytes().all(|digit| digit.is_ascii_digit())
    };
    [("IE", 1), ("IP", 2), ("IC", 3), ("IM", 4), ("S", 2)]
        .into_iter()
        .any(|(before, most)| word.strip_prefix(before).is_some_and(|digits| ends_in(digits, most)))
}

/// The plain number that a text ends with; `None` where it ends with none, or with digits of a name.
pub fn number_at_end(text: &str) -> Option<&str> {
    let before = text.trim_end_matches(|letter: char| letter.is_ascii_digit() || letter == '.');
    let of_name = before.ends_with(|letter: char| letter.is_alphanumeric() || letter == '_');
    text.get(before.len()..).filter(|number| !of_name && !number.is_empty())
}

/// What to write instead of a word the language does not have: `max` → ``write `largest(a, b)` …``.
pub fn instead(word: &str) -> Option<&'static str> {
    INSTEAD
        .iter()
        .find(|(habit, _)| habit.eq_ignore_ascii_case(word))
        .map(|(_, write)| *write)
}

/// Whether the word is reserved.
pub fn is_reserved(word: &str) -> bool {
    RESERVED.iter().any(|(reserved, _)| *reserved == word)
}
