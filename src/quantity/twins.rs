//! Signs that look alike and mean the same, made one.
//!
//! For: unit texts as they come from keyboards, plates and files: two ohm signs, two micro signs, several dots and minuses.
//! Always: a text without twins is handed back as it is.
//! Not known here: names and formulas.

use std::borrow::Cow;

/// The one form of a unit text: twins made one, `^2` and `^-1` as superscripts, no blanks at the ends.
pub fn one_form(text: &str) -> Cow<'_, str> {
    let text = text.trim();
    if text.bytes().all(|byte| byte.is_ascii() && byte != b'^') {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\u{2126}' => out.push('Ω'),
            'μ' => out.push('µ'),
            'º' | '˚' => out.push('°'),
            '⋅' | '∙' | '•' | '‧' => out.push('·'),
            '∕' | '⁄' => out.push('/'),
            '−' | '‐' | '‑' | '–' => out.push('-'),
            '℃' => out.push_str("°C"),
            '℉' => out.push_str("°F"),
            '\u{212a}' => out.push('K'),
            '∆' => out.push('Δ'),
            'ϕ' => out.push('φ'),
            '′' | '’' => out.push('\''),
            '″' | '”' => out.push('"'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' => out.push(' '),
            other => out.push(other),
        }
    }
    Cow::Owned(superscripts(out.trim()))
}

/// `^2` → `²`, `^-1` → `⁻¹`; exponents that are not whole stay.
fn superscripts(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('^') {
        out.push_str(before);
        let signed = after.strip_prefix('-');
        let digits_from = signed.unwrap_or(after);
        let length = digits_from.bytes().take_while(u8::is_ascii_digit).count();
        let (digits, left) = digits_from.split_at(length);
        if digits.is_empty() || left.starts_with('.') {
            out.push('^');
            rest = after;
            continue;
        }
        if signed.is_some() {
            out.push('⁻');
        }
        out.extend(digits.chars().map(superscript));
        rest = left;
    }
    out.push_str(rest);
    out
}

/// A digit as a superscript; other signs as they are.
pub fn superscript(digit: char) -> char {
    match digit {
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        '-' => '⁻',
        other => other,
    }
}

/// A superscript digit or minus as a plain one.
pub fn plain_digit(letter: char) -> Option<char> {
    Some(match letter {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁻' => '-',
        _ => return None,
    })
}
