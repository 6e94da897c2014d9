//! A number as others write it: with a comma, and what it may mean; without a digit before its point; in brackets where it is negative.
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

/// A text from elsewhere with its numbers as they are written here, and what is to be said of them.
pub(super) fn from_elsewhere(text: &str) -> (Cow<'_, str>, Vec<String>) {
    let (read, of_points) = without_thousands(text);
    let (signed, of_brackets) = with_signs(&read);
    let read = match signed {
        Some(signed) => Cow::Owned(signed),
        None => read,
    };
    (read, of_points.into_iter().chain(of_brackets).collect())
}

/// A table whose numbers in brackets have a minus instead: so accounts and the programs that keep them write what is negative (common
/// practice, no source).
fn with_signs(text: &str) -> (Option<String>, Option<String>) {
    let negative = |cell: &str| {
        let (number, unit) = cell.trim().strip_prefix('(')?.split_once(')')?;
        let number = number.trim();
        let is_number = number.starts_with(|sign: char| sign.is_ascii_digit())
            && number
                .split_whitespace()
                .next()?
                .chars()
                .all(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ','));
        let is_unit = unit.is_empty() || unit.starts_with([' ', '%']) && !unit.contains(['*', '/', '(', '+', '-']);
        (is_number && is_unit).then(|| format!("-{number}{unit}"))
    };
    let mut first = None;
    let lines: Vec<String> = text
        .split('\n')
        .map(|line| {
            let cells = line.split('\t').map(|cell| match negative(cell) {
                Some(signed) => {
                    first.get_or_insert_with(|| format!("{} is {signed}", cell.trim()));
                    signed
                }
                None => cell.to_owned(),
            });
            cells.collect::<Vec<String>>().join("\t")
        })
        .collect();
    match first {
        Some(first) => {
            let words = format!("Numbers in brackets were taken as negative, as in accounts: {first}.");
            (Some(lines.join("\n")), Some(words))
        }
        None => (None, None),
    }
}

/// A text from elsewhere whose numbers have decimal commas, without the points that mark thousands beside them; and what is to be said
/// of them. Where points stand before decimals as well, nothing is taken out.
fn without_thousands(text: &str) -> (Cow<'_, str>, Option<String>) {
    let (mut with_comma, mut with_point) = (false, false);
    let mut marked: Vec<std::ops::Range<usize>> = Vec::new();
    for place in numbers(text).filter(|place| begins(text, place.start)) {
        let number = text.get(place.clone()).unwrap_or("").trim_end_matches(['.', ',']);
        let place = place.start..place.start + number.len();
        if marks_thousands(number) {
            marked.push(place);
        } else if number.contains(',') {
            with_comma |= matches!(readings(number), Some((_, None)));
        } else {
            with_point |= number.contains('.');
        }
    }
    let Some(example) = marked.first().and_then(|place| text.get(place.clone())) else {
        return (Cow::Borrowed(text), None);
    };
    let joined = example.replace('.', "");
    if !with_comma {
        return (Cow::Borrowed(text), None);
    }
    if with_point {
        let words = format!(
            "Numbers with decimal commas and numbers with decimal points stand in what was pasted: {example} stays as it is, and where its \
             point marks thousands it is {joined}."
        );
        return (Cow::Borrowed(text), Some(words));
    }
    let words = format!(
        "Numbers in what was pasted have decimal commas, so a point before three digits marks thousands: {example} is {joined}."
    );
    let mut out = text.to_owned();
    for place in marked.into_iter().rev() {
        let number = out.get(place.clone()).unwrap_or("").replace('.', "");
        out.replace_range(place, &number);
    }
    (Cow::Owned(out), Some(words))
}

/// Where the numbers of a text stand, with whatever points and commas are among their digits; digits of a name are none.
pub(super) fn numbers(text: &str) -> impl Iterator<Item = std::ops::Range<usize>> {
    let mut from = 0;
    std::iter::from_fn(move || {
        loop {
            let begin = from + text.get(from..)?.find(|sign: char| sign.is_ascii_digit())?;
            let is_part = |sign: &char| sign.is_ascii_digit() || matches!(sign, '.' | ',');
            // Each of these signs is one byte.
            let end = begin + text.get(begin..)?.chars().take_while(is_part).count();
            from = end;
            let of_name = |last: char| last.is_alphanumeric() || last == '_';
            if !text.get(..begin)?.ends_with(of_name) {
                return Some(begin..end);
            }
        }
    })
}

/// Whether a cell of a table or a side of an equation begins with the number that stands at a place.
fn begins(text: &str, at: usize) -> bool {
    let all = text.get(..at).unwrap_or("");
    let before = all.trim_end_matches([' ', '-', '−', '+', '±', '"']);
    let gap = all.get(before.len()..).unwrap_or("");
    let apart = gap.contains("  ") || gap.contains('±');
    before.is_empty() || apart || before.ends_with(['\t', '\n', '\r', ';', '=', ':'])
}

/// Whether a number is one whose points may mark thousands, and only they: `1.250`, `1.234.567`.
fn marks_thousands(number: &str) -> bool {
    let mut groups = number.split('.');
    let digits = |text: &str| text.chars().all(|sign| sign.is_ascii_digit());
    let first = groups.next().unwrap_or("");
    let begins = (1..=3).contains(&first.len()) && digits(first) && !first.starts_with('0');
    let mut rest = groups.peekable();
    begins && rest.peek().is_some() && rest.all(|group| group.len() == 3 && digits(group))
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

    /// A point before three digits beside numbers with decimal commas is a mark of thousands, as German and most of Europe write them
    /// (common practice, no source); beside points before decimals it is none, nor where no number has a comma.
    #[test]
    fn points_mark_thousands_beside_decimal_commas() {
        let read = |text: &str| {
            let (text, words) = without_thousands(text);
            (text.into_owned(), words.is_some())
        };
        for (text, becomes) in [
            (
                "Pitch\tp_b\t0,30 m\nDensity\trho\t1.250 kg/m³\nn\t2.950",
                "Pitch\tp_b\t0,30 m\nDensity\trho\t1250 kg/m³\nn\t2950",
            ),
            (
                "a = 12,5 kW\nb = -1.250.000 J ± 1.000 J",
                "a = 12,5 kW\nb = -1250000 J ± 1000 J",
            ),
            ("1,5;2.950;0.125", "1,5;2.950;0.125"),
            ("Clause 10.120\t0,5", "Clause 10.120\t0,5"),
            ("1,250\t2.950", "1,250\t2.950"),
            ("0,5\t1.250, as read", "0,5\t1250, as read"),
            ("1.250\t2.950", "1.250\t2.950"),
            ("1.250,5\t2.950 r/min", "1.250,5\t2950 r/min"),
        ] {
            assert_eq!(read(text).0, becomes, "{text:?}");
        }
        assert!(read("0,5\t1.250").1 && read("0,5\t1.250\t1.5").1);
        assert!(!read("0,5\t12").1 && !read("1.250\t2.950").1);
    }

    #[test]
    fn numbers_in_brackets_are_negative_in_a_table() {
        for (text, becomes) in [
            ("Neg\tx1\t(5.2)", "Neg\tx1\t-5.2"),
            ("(1.250,5) kW\t(3 %)", "-1.250,5 kW\t-3 %"),
            ("(5.2) * b\t(a)\t(4 pole", "(5.2) * b\t(a)\t(4 pole"),
            ("f(5.2)", "f(5.2)"),
        ] {
            assert_eq!(from_elsewhere(text).0, becomes, "{text:?}");
        }
        assert_eq!(from_elsewhere("a\t(5)").1.len(), 1);
    }

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
