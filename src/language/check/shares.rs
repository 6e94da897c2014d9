//! Plain numbers beside shares: `load <= 90`, where 90 is nine thousand per cent.
//!
//! Always: a warning; a number that can be such a share, as 1.15 of a load, raises none.
//! Not known here: what is typed as a given.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::term::Term;
use super::walk::Checker;
use crate::fault::{Code, Fault};
use crate::quantity::Unit;

/// The largest share that is compared with a plain number, where its kind has no limits of its own: a starting current of seven times
/// the rated one is 700 %.
const COMPARED_PLAIN: f64 = 10.0;

impl Checker<'_> {
    /// What is compared: each number beside the one before it and the one behind it.
    pub(super) fn shares(&mut self, terms: &[(bool, Term)]) {
        let pairs = terms.iter().zip(terms.iter().skip(1));
        let both: Vec<_> = pairs
            .flat_map(|(one, other)| [(&one.1, &other.1), (&other.1, &one.1)])
            .collect();
        for (number, share) in both {
            let named = is_named(self.said(share.span));
            if let Some(value) = number.literal.filter(|value| named && is_beyond(*value, share)) {
                self.unlikely(number, value, share);
            }
        }
    }

    /// `1 - 3`, where a slip of 3 % is meant.
    pub(super) fn share_from_one(&mut self, terms: &[(bool, Term)]) {
        let [(false, one), (true, share)] = terms else { return };
        let value = share
            .literal
            .filter(|value| *value > Decimal::ONE && *value <= Decimal::ONE_HUNDRED);
        let Some(value) = value.filter(|_| one.literal == Some(Decimal::ONE)) else {
            return;
        };
        let said = self.said(share.span).to_owned();
        self.fault(
            Fault::new(
                Code::SHARE_UNLIKELY,
                share.span,
                format!(
                    "1 - {said} is {}; a share taken from one is a part or has its per cent",
                    Decimal::ONE - value
                ),
            )
            .help(format!("write `{said} %`"))
            .fix(format!("write {said} %"), share.span, format!("{said} %")),
        );
    }

    fn unlikely(&mut self, number: &Term, value: Decimal, share: &Term) {
        let (said, other) = (self.said(number.span).to_owned(), self.said(share.span).to_owned());
        let hundred = value.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(value).normalize();
        self.fault(
            Fault::new(
                Code::SHARE_UNLIKELY,
                number.span,
                format!("`{other}` is a share, and {said} means {hundred} %"),
            )
            .help(format!("write `{said} %`"))
            .fix(format!("write {said} %"), number.span, format!("{said} %")),
        );
    }
}

/// Whether a text is a name or a number of per cent. What is worked, as `100 * eta`, may count in per cents by itself.
fn is_named(said: &str) -> bool {
    let said = said.trim();
    let number = said.strip_suffix('%').map(str::trim_end);
    let of_name = |letter: char| letter.is_alphanumeric() || matches!(letter, '_' | '.' | '′');
    number.is_some_and(|number| number.parse::<f64>().is_ok()) || said.chars().all(of_name)
}

/// Whether a plain number is more than a share can be.
fn is_beyond(value: Decimal, share: &Term) -> bool {
    if share.literal.is_some() {
        return false;
    }
    let of_kind = share
        .kind
        .filter(|kind| Unit::is_of_shares(*kind))
        .and_then(Unit::highest_plain);
    let high = match (of_kind, share.percent) {
        (Some(high), _) => high,
        (None, true) => COMPARED_PLAIN,
        (None, false) => return false,
    };
    value.to_f64().is_some_and(|value| value.abs() > high)
}
