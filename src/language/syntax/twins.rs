//! Signs that look alike and mean the same are made one; letters of two alphabets that look alike are told apart.
//!
//! Always: what is read is kept as typed in the text; only names and units get their one form.

/// The one form of a name: lowered digits as `_1`, twins made one.
pub fn canonical_name(text: &str) -> std::borrow::Cow<'_, str> {
    if text.is_ascii() {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut lowered = false;
    for letter in text.chars() {
        match lowered_digit(letter) {
            Some(digit) => {
                if !lowered && !out.ends_with('_') {
                    out.push('_');
                }
                out.push(digit);
                lowered = true;
            }
            None => {
                out.push(twin(letter));
                lowered = false;
            }
        }
    }
    out.into()
}

/// The text with twin signs made one: `−` is `-`, the ohm sign is the letter Ω, non-breaking blanks are blanks.
pub fn canonical_text(text: &str) -> std::borrow::Cow<'_, str> {
    if text.chars().all(|letter| twin(letter) == letter) {
        return text.into();
    }
    text.chars().map(twin).collect::<String>().into()
}

/// Quote signs of word processors and other languages: opening, closing.
const QUOTES: [(char, &[char]); 6] = [
    ('“', &['”', '“']),
    ('„', &['“', '”']),
    ('”', &['”']),
    ('«', &['»']),
    ('‘', &['’']),
    ('\'', &['\'']),
];

/// The text with such signs around a text made `"`, each place where it was: blanks stand for the further bytes of a sign.
pub fn straight_quotes(text: &str) -> std::borrow::Cow<'_, str> {
    let mut out = String::new();
    let mut copied = 0;
    while let Some((from, to)) = text.get(copied..).and_then(first_quoted) {
        let (from, to) = (copied + from, copied + to);
        let (Some(before), Some(whole)) = (text.get(copied..from), text.get(from..to)) else {
            break;
        };
        let signs = (whole.chars().next(), whole.chars().next_back());
        let [first, last] = [signs.0, signs.1].map(|sign| sign.map_or(1, char::len_utf8));
        let inside = whole.get(first..whole.len() - last).unwrap_or("");
        let blanks = |bytes: usize| " ".repeat(bytes - 1);
        out.push_str(&format!("{before}{}\"{inside}\"{}", blanks(first), blanks(last)));
        copied = to;
    }
    if copied == 0 {
        return text.into();
    }
    out.push_str(text.get(copied..).unwrap_or(""));
    out.into()
}

/// Where the first text between such signs stands, behind a blank or at the beginning; within plain quotes and remarks there is none.
fn first_quoted(text: &str) -> Option<(usize, usize)> {
    let mut before = ' ';
    for (at, sign) in super::words::outside_quotes(text) {
        if sign == '#' {
            return None;
        }
        let closing = QUOTES
            .iter()
            .find(|(open, _)| *open == sign)
            .map(|(_, closing)| *closing);
        if let Some(closing) = closing.filter(|_| before.is_whitespace()) {
            let start = at + sign.len_utf8();
            let rest = text.get(start..)?;
            let end = rest.find(closing).filter(|end| *end > 0);
            let whole = end.and_then(|end| {
                let length = rest.get(end..)?.chars().next()?.len_utf8();
                let behind = rest.get(end + length..)?;
                let inside = rest.get(..end)?;
                let apart = behind.is_empty() || behind.starts_with([' ', ',', ')', '|', '\t', '\n']);
                (apart && !inside.contains(['"', '\n', '|'])).then_some((at, start + end + length))
            });
            if whole.is_some() {
                return whole;
            }
        }
        before = sign;
    }
    None
}

fn lowered_digit(letter: char) -> Option<char> {
    let digit = (letter as u32).checked_sub('₀' as u32)?;
    char::from_digit(digit, 10)
}

/// The one form of a sign.
fn twin(letter: char) -> char {
    match letter {
        '\u{2126}' => 'Ω',
        '\u{03BC}' => 'µ',
        'º' | '˚' => '°',
        '−' | '–' => '-',
        '⋅' => '·',
        '\u{00A0}' | '\u{202F}' | '\u{2009}' | '\u{2007}' | '\u{FEFF}' => ' ',
        '∆' | '\u{0394}' => 'Δ',
        other => other,
    }
}

/// The name in Latin letters as it looks: two different names with one look are easily confused.
pub fn look_alike(name: &str) -> String {
    name.chars()
        .map(|letter| match letter {
            'Α' | 'А' => 'A',
            'Β' | 'В' => 'B',
            'С' | 'Ϲ' => 'C',
            'Ε' | 'Е' => 'E',
            'Η' | 'Н' => 'H',
            'Ι' | 'І' => 'I',
            'Ј' => 'J',
            'Κ' | 'К' => 'K',
            'Μ' | 'М' => 'M',
            'Ν' => 'N',
            'Ο' | 'О' => 'O',
            'Ρ' | 'Р' => 'P',
            'Ѕ' => 'S',
            'Τ' | 'Т' => 'T',
            'Υ' | 'У' => 'Y',
            'Χ' | 'Х' => 'X',
            'Ζ' => 'Z',
            'а' => 'a',
            'с' | 'ϲ' => 'c',
            'е' => 'e',
            'і' | 'ι' => 'i',
            'ј' => 'j',
            'ο' | 'о' => 'o',
            'р' | 'ρ' => 'p',
            'ѕ' => 's',
            'υ' => 'u',
            'ν' => 'v',
            'х' | 'χ' => 'x',
            'у' => 'y',
            'κ' => 'k',
            other => other,
        })
        .collect()
}
