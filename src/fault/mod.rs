//! What is wrong, where, and what to try.
//!
//! For: one shape for everything a user is told about a text, from a typo to a shaft speed that turns into a frequency.
//! Always: a fault has a code out of the one list in [`codes`], a place in the text it was found in, and a message that says
//! what was found and what was expected. Help is what to try, in the user's words.
//! Not known here: cells, sheets, units. Whoever owns the text adds sheet, item and line.

pub mod codes;
pub mod render;
mod words;

pub use codes::{Code, CodeEntry};
pub use words::{Amount, Words};

/// A place in a text: bytes, `start <= end`. The owner of the text knows which text it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span over `start..end`.
    pub fn new(start: usize, end: usize) -> Span {
        Span {
            start: u32::try_from(start).unwrap_or(u32::MAX),
            end: u32::try_from(end).unwrap_or(u32::MAX),
        }
    }

    /// The smallest span that holds both.
    pub fn join(self, other: Span) -> Span {
        Span {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// The same place in a text that begins `bytes` earlier.
    pub fn shifted(self, bytes: u32) -> Span {
        Span {
            start: self.start.saturating_add(bytes),
            end: self.end.saturating_add(bytes),
        }
    }

    /// The text of the place, empty where the place does not fit the text.
    pub fn of(self, text: &str) -> &str {
        text.get(self.start as usize..self.end as usize).unwrap_or("")
    }
}

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; nothing to do.
    Note,
    /// Worked, but look at it. Can be settled by `accept CODE "reason"`.
    Warning,
    /// Not worked.
    Error,
}

impl Severity {
    /// `error`, `warning` or `note`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A change of the text that would mend the fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    /// What the change does, in a few words.
    pub label: Words,
    /// What is replaced.
    pub span: Span,
    /// By what.
    pub replacement: Words,
}

impl Fix {
    /// A text with the change made; `None` where the place is none of the text.
    pub fn applied(&self, text: &str) -> Option<String> {
        let (from, to) = (self.span.start as usize, self.span.end as usize);
        let (before, after) = (text.get(..from)?, text.get(to..)?);
        Some(format!("{before}{}{after}", self.replacement))
    }
}

/// One thing that is wrong, or worth a look, in one text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Which of the listed faults it is.
    pub code: Code,
    /// How bad it is; the code's usual severity unless the place decides otherwise.
    pub severity: Severity,
    /// Where, in bytes of the text it was found in.
    pub span: Span,
    /// What was found and what was expected, one sentence.
    pub message: Words,
    /// What to try.
    pub help: Option<Words>,
    /// Other places of the same text that explain it.
    pub notes: Vec<(Span, String)>,
    /// Changes that would mend it.
    pub fixes: Vec<Fix>,
}

impl Fault {
    /// A fault of `code` at `span`, with the usual severity of the code.
    pub fn new(code: Code, span: Span, message: impl Into<Words>) -> Fault {
        Fault {
            code,
            severity: code.entry().severity,
            span,
            message: message.into(),
            help: None,
            notes: Vec::new(),
            fixes: Vec::new(),
        }
    }

    /// Says what to try.
    #[must_use]
    pub fn help(mut self, help: impl Into<Words>) -> Fault {
        self.help = Some(help.into());
        self
    }

    /// Points at another place of the same text.
    #[must_use]
    pub fn note(mut self, span: Span, text: impl Into<String>) -> Fault {
        self.notes.push((span, text.into()));
        self
    }

    /// Offers a change of the text.
    #[must_use]
    pub fn fix(mut self, label: impl Into<Words>, span: Span, replacement: impl Into<Words>) -> Fault {
        self.fixes.push(Fix {
            label: label.into(),
            span,
            replacement: replacement.into(),
        });
        self
    }

    /// The same fault in a text that begins `bytes` earlier.
    #[must_use]
    pub fn shifted(mut self, bytes: u32) -> Fault {
        self.span = self.span.shifted(bytes);
        for (span, _) in &mut self.notes {
            *span = span.shifted(bytes);
        }
        for fix in &mut self.fixes {
            fix.span = fix.span.shifted(bytes);
        }
        self
    }

    /// With the offer to write each of some texts in a place.
    #[must_use]
    pub fn offering(self, place: Span, texts: impl IntoIterator<Item = impl Into<String>>) -> Fault {
        texts.into_iter().map(Into::into).fold(self, |fault, text: String| {
            fault.fix(format!("write {text}"), place, text)
        })
    }

    /// What was found and what to try, in one line.
    pub fn in_words(&self) -> String {
        in_words(&self.message, self.help.as_deref())
    }

    /// Whether it stops the formula from being worked.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// What was found and what to try, in one line.
pub fn in_words(message: &str, help: Option<&str>) -> String {
    match help {
        Some(help) => format!("{message}; {help}"),
        None => message.to_owned(),
    }
}

/// Which statement or row of a workbook a fault stands in, by places counted from 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stands {
    /// Not in a workbook.
    #[default]
    Nowhere,
    /// A line before the first sheet.
    Head(usize),
    /// The opening line of a sheet.
    Opening(usize),
    /// A line of a sheet: sheet, line.
    Line(usize, usize),
    /// A row of a list: sheet, row, and the column of `rows` where it is known.
    Row(usize, usize, Option<usize>),
}

/// Where a fault stands in a workbook: what `work --json` prints of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The fault; its span is in bytes of `source`.
    pub fault: Fault,
    /// Name of the sheet, `None` for the head of the workbook.
    pub sheet: Option<String>,
    /// The item (case or row key) when only that one is struck.
    pub item: Option<String>,
    /// Line in the workbook text, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// The source text that is shown with the place underlined (one or more whole lines).
    pub source: String,
    /// The statement or row it stands in.
    pub stands: Stands,
}
