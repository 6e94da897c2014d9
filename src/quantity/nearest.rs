//! Nearest known names, for "did you mean".
//!
//! For: unit symbols, kinds, names in a sheet, functions.
//! Always: names that differ in case alone come first; a name too far away is not offered.
//! Not known here: what the names stand for.

use std::cmp::Reverse;

/// At most `count` of the names, nearest first; of those as near, the one with the longest beginning in common. A name is near when it differs in case alone, begins with what was typed (three
/// letters or more), sounds the same, or can be reached with few changes of a letter: one up to four letters, two up to eight,
/// three beyond.
pub fn nearest<'a>(typed: &str, names: impl IntoIterator<Item = &'a str>, count: usize) -> Vec<&'a str> {
    let folded: Vec<(String, &str)> = names.into_iter().map(|name| (name.to_lowercase(), name)).collect();
    let folded = folded.iter().map(|(folded, name)| (folded.as_str(), *name));
    near(typed, folded, count, true)
}

/// The same where the small letters of the names are known already; of those as near, the first by letters.
pub fn nearest_folded<'a, 'b>(
    typed: &str,
    names: impl IntoIterator<Item = (&'b str, &'a str)>,
    count: usize,
) -> Vec<&'a str> {
    near(typed, names, count, false)
}

fn near<'a, 'b>(
    typed: &str,
    names: impl IntoIterator<Item = (&'b str, &'a str)>,
    count: usize,
    by_beginning: bool,
) -> Vec<&'a str> {
    let folded: Vec<char> = typed.to_lowercase().chars().collect();
    let length = folded.len();
    let reach = match length {
        0 => return Vec::new(),
        1 => 0,
        2..=4 => 1,
        5..=8 => 2,
        _ => 3,
    };
    let heard = sound(&typed.to_lowercase());
    let mut letters: Vec<char> = Vec::new();
    let mut near: Vec<(usize, Reverse<usize>, &str)> = names
        .into_iter()
        .filter(|(_, name)| *name != typed)
        .filter_map(|(name_folded, name)| {
            letters.clear();
            letters.extend(name_folded.chars());
            let both = letters.iter().zip(&folded);
            let common = both.take_while(|(one, other)| by_beginning && one == other);
            let common = Reverse(common.count());
            if letters == folded {
                return Some((0, common, name));
            }
            let size = letters.len();
            if size.abs_diff(length) <= reach {
                let changes = distance(&folded, &letters);
                // A name that has to be changed in every letter is another name.
                if changes <= reach && changes < size.max(length) {
                    return Some((changes, common, name));
                }
            }
            let sounds = length >= 4 && sound(name_folded) == heard;
            (sounds || length >= 3 && letters.starts_with(&folded)).then_some((reach + 1, common, name))
        })
        .collect();
    near.sort();
    near.dedup();
    near.into_iter().take(count).map(|(.., name)| name).collect()
}

/// A word as it is heard: `torque` and `tork`, `phase` and `fase` are the same.
fn sound(word: &str) -> String {
    let mut out = word.to_owned();
    for (written, heard) in [
        ("que", "k"),
        ("qu", "kw"),
        ("ck", "k"),
        ("ph", "f"),
        ("c", "k"),
        ("y", "i"),
    ] {
        out = out.replace(written, heard);
    }
    let mut before = None;
    out.retain(|letter| before.replace(letter) != Some(letter));
    out.trim_end_matches('e').to_owned()
}

/// Letters to insert, remove, change or swap with a neighbour to make one text of the other.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    let mut letter_before = None;
    for (i, letter) in a.iter().enumerate() {
        let mut next = Vec::with_capacity(row.len());
        next.push(i + 1);
        let mut other_before = None;
        for (j, other) in b.iter().enumerate() {
            let at = |row: &[usize], place: usize| row.get(place).copied().unwrap_or(usize::MAX / 2);
            let changed = at(&row, j) + usize::from(letter != other);
            let mut least = changed.min(at(&row, j + 1) + 1).min(at(&next, j) + 1);
            if letter_before == Some(other) && other_before == Some(letter) && j > 0 {
                least = least.min(at(&before, j - 1) + 1);
            }
            next.push(least);
            other_before = Some(other);
        }
        before = std::mem::replace(&mut row, next);
        letter_before = Some(letter);
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_comes_first() {
        assert_eq!(nearest("kv", ["V", "kV", "kvar", "k"], 3).first(), Some(&"kV"));
    }

    #[test]
    fn a_name_that_begins_alike_comes_before_others_as_near() {
        assert_eq!(nearest("P_s", ["P_b", "P_n", "P_sh"], 3), ["P_sh", "P_b", "P_n"]);
    }

    #[test]
    fn swapped_letters_are_one_change() {
        let apart = |a: &str, b: &str| distance(&a.chars().collect::<Vec<_>>(), &b.chars().collect::<Vec<_>>());
        assert_eq!(apart("rmp", "rpm"), 1);
        assert_eq!(apart("kitten", "sitting"), 3);
        assert_eq!(apart("", "abc"), 3);
    }

    #[test]
    fn a_name_is_found_by_its_sound() {
        assert_eq!(nearest("tork", ["height", "torque"], 3), ["torque"]);
        assert_eq!(nearest("fazor", ["phazor"], 3), ["phazor"]);
        assert!(nearest("work", ["torque", "kwork_rate"], 3).is_empty());
    }

    #[test]
    fn far_names_are_not_offered() {
        assert!(nearest("torque", ["height", "loss"], 3).is_empty());
        assert!(nearest("q", ["V", "A"], 3).is_empty());
    }
}
