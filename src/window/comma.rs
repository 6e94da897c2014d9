//! A number as others write it: with a comma, and what it may mean; without a digit before its point.
//!
//! Always: a comma that may group digits as well has both readings.

use std::borrow::Cow;

/// A number with a comma as it may be read: with a point, and as grouped digits where it may be that as well. `None` where it is none.
pub(super) fn readings(number: &str) -> Option<(String, Option<String>)> {
    let (whole, decimals) = number.rsplit_once(',')?;
    let digits = |text: &str| !text.is_empty() && text.chars().all(|sign| sign.is_ascii_digit());
    let joined: String = whole.chars().filter(|sign| *sign != '.').collect();
    let mut groups = whole.split('.');
    let first = groups.next().unwrap_or("");
    let mut rest = groups.peekable();
    let is_grouped = rest.peek().is_some();
    let groups_fit = digits(first) && rest.all(|group| digits(group) && group.len() == 3);
    if !digits(decimals) || !groups_fit || is_grouped && first.len() > 3 {
        return None;
    }
    let may_group = !is_grouped && decimals.len() == 3 && first.len() <= 3 && first != "0";
    Some((
        format!("{joined}.{decimals}"),
        may_group.then(|| format!("{first}{decimals}")),
    ))
}

/// A text that begins with a number without a digit before its point, as `.85` on many a plate, with a nought there.
pub(super) fn with_nought(text: &str) -> Cow<'_, str> {
    let bare = text.trim_start();
    let number = bare.trim_start_matches(['-', '−', '+']);
    let is_decimal = number
        .strip_prefix('.')
        .is_some_and(|rest| rest.starts_with(|digit: char| digit.is_ascii_digit()));
    match bare.strip_suffix(number) {
        Some(sign) if is_decimal => Cow::Owned(format!("{sign}0{number}")),
        _ => Cow::Borrowed(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_gets_a_nought_before_its_point() {
        for (text, read) in [
            (".85", "0.85"),
            (" -.5 K", "-0.5 K"),
            (".75*P", "0.75*P"),
            ("0.85", "0.85"),
            (".", "."),
            (".x", ".x"),
            ("P.85", "P.85"),
            ("-2", "-2"),
        ] {
            assert_eq!(with_nought(text), read, "{text:?}");
        }
    }
}
