//! The words of a fault: a text in which the values are known as such, so that a reader sees them in the units he looks at.
//!
//! Always: the text stands as it was written for the units of the workbook; a value in it keeps its number and unit beside its words.
//! Not known here: units, and how a value is brought from one to another; who reads says that.

use std::borrow::Cow;
use std::fmt;
use std::ops::{Deref, Range};
use std::sync::Arc;

/// A text with the values in it. Cheap to clone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words(Arc<Said>);

#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Said {
    text: String,
    amounts: Vec<Amount>,
}

/// A value in a text, or a unit alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    at: Range<usize>,
    /// The number with all its digits; empty where a unit stands alone.
    pub number: String,
    /// Its unit.
    pub unit: Arc<str>,
    /// The words of its kind, where that is known.
    pub kind: Option<&'static str>,
}

impl Words {
    /// The text as it was written.
    pub fn as_str(&self) -> &str {
        &self.0.text
    }

    /// The same with a further text.
    #[must_use]
    pub fn and(mut self, text: &str) -> Words {
        Arc::make_mut(&mut self.0).text.push_str(text);
        self
    }

    /// The same with a further value: as it is said in its own unit, its number and unit.
    #[must_use]
    pub fn amount(self, said: &str, number: impl Into<String>, unit: &str) -> Words {
        self.amount_of(said, number, unit, None)
    }

    /// The same with a value of a known kind.
    #[must_use]
    pub fn amount_of(mut self, said: &str, number: impl Into<String>, unit: &str, kind: Option<&'static str>) -> Words {
        let own = Arc::make_mut(&mut self.0);
        let from = own.text.len();
        own.text.push_str(said);
        own.amounts.push(Amount {
            at: from..own.text.len(),
            number: number.into(),
            unit: unit.into(),
            kind,
        });
        self
    }

    /// Both, one behind the other.
    #[must_use]
    pub fn then(mut self, other: &Words) -> Words {
        let own = Arc::make_mut(&mut self.0);
        let from = own.text.len();
        own.text.push_str(&other.0.text);
        own.amounts.extend(other.0.amounts.iter().map(|amount| Amount {
            at: amount.at.start + from..amount.at.end + from,
            ..amount.clone()
        }));
        self
    }

    /// All of them, one behind the other.
    pub fn joined<const N: usize>(parts: [Words; N]) -> Words {
        parts.iter().fold(Words::default(), |all, part| all.then(part))
    }

    /// The text, each value as `say` says it; where it says nothing, as it stands.
    pub fn said(&self, say: impl Fn(&Amount) -> Option<String>) -> Cow<'_, str> {
        let Said { text, amounts } = &*self.0;
        if amounts.is_empty() {
            return Cow::Borrowed(text);
        }
        let mut out = String::with_capacity(text.len());
        let mut from = 0;
        for amount in amounts {
            out.push_str(text.get(from..amount.at.start).unwrap_or(""));
            match say(amount) {
                Some(said) => out.push_str(&said),
                None => out.push_str(text.get(amount.at.clone()).unwrap_or("")),
            }
            from = amount.at.end;
        }
        out.push_str(text.get(from..).unwrap_or(""));
        Cow::Owned(out)
    }
}

impl Deref for Words {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0.text
    }
}

impl fmt::Display for Words {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self)
    }
}

impl From<String> for Words {
    fn from(text: String) -> Words {
        Words(Arc::new(Said {
            text,
            amounts: Vec::new(),
        }))
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Words {
        text.to_owned().into()
    }
}

impl From<Words> for String {
    fn from(words: Words) -> String {
        Arc::unwrap_or_clone(words.0).text
    }
}

impl serde::Serialize for Words {
    /// As the text that was written.
    fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_str(self)
    }
}

impl PartialEq<str> for Words {
    fn eq(&self, other: &str) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<&str> for Words {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_said_anew_and_all_else_stays() {
        let words = Words::from("asked at ").amount("5 kW", "5", "kW").and(", not at 5 kW");
        let words = Words::from("in row 5 kW: ").then(&words).and(" (dry)");
        assert_eq!(&*words, "in row 5 kW: asked at 5 kW, not at 5 kW (dry)");
        let said = words.said(|amount| (&*amount.unit == "kW").then(|| format!("{}000 W", amount.number)));
        assert_eq!(said, "in row 5 kW: asked at 5000 W, not at 5 kW (dry)");
        assert_eq!(words.said(|_| None), &*words);
    }
}
