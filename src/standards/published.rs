//! Where a table comes from.
//!
//! For: the head of each file in `data/`, which says title, edition, source and basis, and the basis of each row.

/// What the head of a table says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Publication {
    /// What the table is.
    pub title: String,
    /// Document and clause.
    pub edition: String,
    /// Where its numbers were read.
    pub source: String,
    /// What was not read, if anything.
    pub basis: String,
}

/// How a row is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Read in the source.
    Read,
    /// From memory: to be confirmed against the standard.
    FromMemory,
}

impl Basis {
    /// As written in the files.
    pub fn words(self) -> &'static str {
        match self {
            Basis::Read => "read",
            Basis::FromMemory => "from memory",
        }
    }

    pub(super) fn parse(text: &str) -> Option<Basis> {
        [Basis::Read, Basis::FromMemory]
            .into_iter()
            .find(|basis| basis.words() == text)
    }
}

/// Head and rows of a file. Rows are handed out with their fields; the head lines begin with `#`.
pub(super) fn table(text: &str) -> (Publication, Vec<csv::StringRecord>) {
    let said = |key: &str| {
        let line = text
            .lines()
            .find_map(|line| line.strip_prefix("# ")?.strip_prefix(key)?.strip_prefix(": "));
        line.unwrap_or("").to_owned()
    };
    let publication = Publication {
        title: said("title"),
        edition: said("edition"),
        source: said("source"),
        basis: said("basis"),
    };
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    // A row that cannot be read would be missing; the tests count them.
    let rows = reader.records().filter_map(Result::ok).collect();
    (publication, rows)
}
