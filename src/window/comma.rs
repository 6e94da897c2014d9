//! A number that is written with a comma, and what it may mean.
//!
//! Always: a comma that may group digits as well has both readings.

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
