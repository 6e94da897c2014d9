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
