//! Looks a file over before any reader touches it.
//!
//! For: the first bytes, the size, and for packages a pass over every part with everything inflated through counters: number of
//! parts, their names, total, ratio, the longest stretch without a tag, the promised number of texts, document types. The same
//! pass reads what the reader does not tell: hidden rows and columns, merged cells, formulas without a stored result, and it
//! checks every cell reference as written.
//! Always: memory stays small whatever the file promises. What passes may still be strange; it is then read under caps.
//! Not known here: what cells mean.

use std::collections::{BTreeSet, HashMap};
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

use quick_xml::events::Event;

use super::error::{FileError, Trouble};
use super::store::{FileSort, Merged};

/// Limits for files from outside. Generous for lists, small for memory.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Bytes of the file itself.
    pub file_bytes: u64,
    /// Parts of a package.
    pub parts: usize,
    /// Bytes of all parts together, inflated.
    pub inflated_bytes: u64,
    /// Inflated over packed size, from [`Limits::ratio_from`] on.
    pub ratio: u64,
    /// Inflated bytes up to which no ratio is asked.
    pub ratio_from: u64,
    /// Bytes of one tag, or between two tags.
    pub gap: usize,
    /// Filled cells kept.
    pub cells: usize,
    /// Cells looked at, filled or not.
    pub visited: usize,
    /// Bytes of different texts kept.
    pub text_bytes: usize,
    /// Seconds the reading process may take.
    pub seconds: u64,
    /// Bytes of address space of the reading process.
    pub memory: u64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            file_bytes: 256 << 20,
            parts: 4096,
            inflated_bytes: 1 << 30,
            ratio: 200,
            ratio_from: 64 << 20,
            gap: 1 << 20,
            cells: 12_000_000,
            visited: 50_000_000,
            text_bytes: 256 << 20,
            seconds: 60,
            memory: 1 << 30,
        }
    }
}

/// What the pass saw of a sheet.
#[derive(Clone, Debug, Default)]
pub struct SheetFacts {
    /// Hidden rows, from 0.
    pub hidden_rows: BTreeSet<u32>,
    /// Hidden columns, from 0.
    pub hidden_columns: BTreeSet<u16>,
    /// Merged cells.
    pub merged: Vec<Merged>,
    /// Cells with a formula and no stored result.
    pub not_stored: Vec<(u32, u16)>,
}

/// A file that may be handed to a reader.
#[derive(Clone, Debug)]
pub struct Passed {
    /// What it is.
    pub sort: FileSort,
    /// What was seen, by the name of the sheet (xlsx only).
    pub facts: HashMap<String, SheetFacts>,
    /// For the report.
    pub remarks: Vec<String>,
}

/// Rows and columns of the largest sheet any of the formats knows.
const LAST_ROW: u32 = 1_048_576;
const LAST_COLUMN: u32 = 16_384;

/// Looks the file over.
///
/// # Errors
/// Everything [`Trouble`] names up to `Hostile`.
pub fn look_over(path: &Path, limits: &Limits) -> Result<Passed, FileError> {
    let size = size_of(path, limits)?;
    let mut file = File::open(path).map_err(|error| unreadable(path, &error))?;
    let mut head = [0u8; 512];
    let length = read_up_to(&mut file, &mut head).map_err(|error| unreadable(path, &error))?;
    let head = head.get(..length).unwrap_or_default();
    if head.is_empty() {
        return Err(FileError::new(
            Trouble::NotAList,
            path,
            "The file is empty.",
            "Look whether the list was saved to the end.",
        ));
    }
    let mut passed = if head.starts_with(b"PK\x03\x04") || head.starts_with(b"PK\x05\x06") {
        package(path, size, limits)?
    } else if head.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        compound(path)?
    } else {
        plain(path, head)?
    };
    let extension = path
        .extension()
        .map(|extension| extension.to_string_lossy().to_lowercase())
        .unwrap_or_default();
    let said = match extension.as_str() {
        "xlsm" | "xltx" | "xltm" => "xlsx",
        "txt" | "tsv" | "tab" | "" => "csv",
        other => other,
    };
    if said != passed.sort.word() {
        passed.remarks.push(format!(
            "The name ends in .{extension}, the file is {}; it was read as that.",
            passed.sort.word()
        ));
    }
    Ok(passed)
}

/// The size and the first bytes only: which reader the file needs. A package counts as xlsx here.
///
/// # Errors
/// [`Trouble::Missing`], [`Trouble::NotReadable`], [`Trouble::TooLarge`].
pub fn first_look(path: &Path, limits: &Limits) -> Result<FileSort, FileError> {
    size_of(path, limits)?;
    let mut file = File::open(path).map_err(|error| unreadable(path, &error))?;
    let mut head = [0u8; 4];
    let length = read_up_to(&mut file, &mut head).map_err(|error| unreadable(path, &error))?;
    Ok(match head.get(..length).unwrap_or_default() {
        [b'P', b'K', ..] => FileSort::Xlsx,
        [0xD0, 0xCF, 0x11, 0xE0] => FileSort::Xls,
        _ => FileSort::Csv,
    })
}

fn size_of(path: &Path, limits: &Limits) -> Result<u64, FileError> {
    let data = std::fs::metadata(path).map_err(|error| unreadable(path, &error))?;
    if data.is_dir() {
        return Err(FileError::new(
            Trouble::NotReadable,
            path,
            "This is a folder.",
            "Name the file with the list in it.",
        ));
    }
    if !data.is_file() {
        return Err(FileError::new(
            Trouble::NotReadable,
            path,
            "This is not an ordinary file.",
            "Save the list as a file and name that.",
        ));
    }
    if data.len() > limits.file_bytes {
        return Err(FileError::new(
            Trouble::TooLarge,
            path,
            format!(
                "The file has {} MB; lists up to {} MB are read.",
                data.len() >> 20,
                limits.file_bytes >> 20
            ),
            "Save the sheet with the list alone, without pictures.",
        ));
    }
    Ok(data.len())
}

/// The error for a file that the system refuses.
pub(super) fn unreadable(path: &Path, error: &std::io::Error) -> FileError {
    if error.kind() == std::io::ErrorKind::NotFound {
        FileError::new(
            Trouble::Missing,
            path,
            "There is no file of this name.",
            "Look at the spelling and the folder.",
        )
    } else {
        FileError::new(
            Trouble::NotReadable,
            path,
            format!("The file cannot be read: {error}."),
            "Look whether you may read it and whether another program holds it.",
        )
    }
}

fn read_up_to(from: &mut impl Read, into: &mut [u8]) -> std::io::Result<usize> {
    let mut length = 0;
    while let Some(rest) = into.get_mut(length..).filter(|rest| !rest.is_empty()) {
        match from.read(rest)? {
            0 => break,
            read => length += read,
        }
    }
    Ok(length)
}

/// A file that is neither a package nor a compound file: text, or nothing we read.
fn plain(path: &Path, head: &[u8]) -> Result<Passed, FileError> {
    let known: &[(&[u8], &str)] = &[
        (b"%PDF", "a PDF page"),
        (b"\x89PNG", "a picture"),
        (b"\xFF\xD8\xFF", "a picture"),
        (b"GIF8", "a picture"),
        (b"{\\rtf", "a word-processor text"),
        (b"\x1F\x8B", "a packed file"),
        (b"7z\xBC\xAF", "a packed file"),
        (b"Rar!", "a packed file"),
        (b"SQLite format 3", "a database"),
    ];
    let not = |what: &str| {
        Err(FileError::new(
            Trouble::NotAList,
            path,
            format!("The file is {what}, not a list."),
            "Lists are read from xlsx, xls, xlsb, ods and csv. Save or export it as one of these.",
        ))
    };
    for (bytes, what) in known {
        if head.starts_with(bytes) {
            return not(what);
        }
    }
    let wide = head.starts_with(&[0xFF, 0xFE])
        || head.starts_with(&[0xFE, 0xFF])
        || super::text_file::wide_without_mark(head).is_some();
    if !wide && head.contains(&0) {
        return not("binary data of no known sort");
    }
    let start: String = String::from_utf8_lossy(head)
        .trim_start_matches('\u{FEFF}')
        .trim_start()
        .chars()
        .take(64)
        .collect::<String>()
        .to_lowercase();
    if start.starts_with("<!doctype") || start.starts_with("<html") {
        return not("a web page");
    }
    let version = start.strip_prefix("polepair ").map(str::trim_start);
    if version.is_some_and(|rest| rest.starts_with(|first: char| first.is_ascii_digit())) {
        return Err(FileError::new(
            Trouble::NotAList,
            path,
            "The file is a workbook, not an equipment list.",
            "Open it, or work it, as a workbook; the list it was made of is named in it.",
        ));
    }
    if start.starts_with("<?xml") || start.starts_with('{') {
        return not("a data file of another sort");
    }
    Ok(Passed {
        sort: FileSort::Csv,
        facts: HashMap::new(),
        remarks: Vec::new(),
    })
}

/// A compound file: an old workbook, a locked new one, or something else.
fn compound(path: &Path) -> Result<Passed, FileError> {
    let bytes = std::fs::read(path).map_err(|error| unreadable(path, &error))?;
    let wide = |text: &str| -> Vec<u8> { text.encode_utf16().flat_map(u16::to_le_bytes).collect() };
    let holds = |text: &str| memchr::memmem::find(&bytes, &wide(text)).is_some();
    if holds("EncryptedPackage") {
        return Err(locked(path));
    }
    if !holds("Workbook") && !holds("Book") {
        return Err(FileError::new(
            Trouble::NotAList,
            path,
            "The file is a compound file without a workbook in it.",
            "Lists are read from xlsx, xls, xlsb, ods and csv. Save or export it as one of these.",
        ));
    }
    Ok(Passed {
        sort: FileSort::Xls,
        facts: HashMap::new(),
        remarks: Vec::new(),
    })
}

/// The error for a locked file.
pub(super) fn locked(path: &Path) -> FileError {
    FileError::new(
        Trouble::Encrypted,
        path,
        "The file is locked with a password.",
        "Open it where it was made, take the password off and save it again.",
    )
}

fn hostile(path: &Path, found: impl Into<String>) -> FileError {
    FileError::new(
        Trouble::Hostile,
        path,
        found,
        "If you trust where it comes from, open it where it was made and save it again as xlsx or csv.",
    )
}

fn damaged(path: &Path, found: impl std::fmt::Display) -> FileError {
    FileError::new(
        Trouble::NotReadable,
        path,
        format!("The package is damaged: {found}."),
        "Get the file again, or open it where it was made and save it again.",
    )
}

/// A zip package: every part inflated through counters.
fn package(path: &Path, size: u64, limits: &Limits) -> Result<Passed, FileError> {
    let file = File::open(path).map_err(|error| unreadable(path, &error))?;
    let whole = |error| match error {
        // How a reader of packages says it helps nobody.
        zip::result::ZipError::InvalidArchive(_) => damaged(path, "it is cut short, or no whole package"),
        error => damaged(path, error),
    };
    let mut zip = zip::ZipArchive::new(BufReader::new(file)).map_err(whole)?;
    if zip.len() > limits.parts {
        return Err(hostile(
            path,
            format!("The package has {} parts; a list has a few dozen.", zip.len()),
        ));
    }
    let mut total = 0u64;
    let mut names = BTreeSet::new();
    let mut facts: HashMap<String, SheetFacts> = HashMap::new();
    let mut small: HashMap<String, Vec<u8>> = HashMap::new();
    for index in 0..zip.len() {
        let mut part = match zip.by_index(index) {
            Ok(part) => part,
            Err(zip::result::ZipError::UnsupportedArchive(what)) if what.to_lowercase().contains("password") => {
                return Err(locked(path));
            }
            Err(error) => return Err(damaged(path, error)),
        };
        let name = part.name().map_err(|error| damaged(path, error))?.into_owned();
        if part.enclosed_name().is_none() {
            return Err(hostile(
                path,
                format!("A part of the package is named {name:?}, outside the package."),
            ));
        }
        if !names.insert(name.clone()) {
            return Err(hostile(path, format!("Two parts of the package are named {name:?}.")));
        }
        let lower = name.to_lowercase();
        let is_xml = lower.ends_with(".xml") || lower.ends_with(".rels") || lower.ends_with(".vml");
        let keep = matches!(name.as_str(), "xl/workbook.xml" | "xl/_rels/workbook.xml.rels");
        let mut scan = Scan::new(limits.gap);
        let mut kept = Vec::new();
        let mut buffer = vec![0u8; 1 << 16];
        loop {
            let read = part.read(&mut buffer).map_err(|error| damaged(path, error))?;
            if read == 0 {
                break;
            }
            total += read as u64;
            if total > limits.inflated_bytes || (total > limits.ratio_from && total / size.max(1) > limits.ratio) {
                return Err(hostile(
                    path,
                    format!(
                        "{} kB unpack to more than {} MB, far more than a list holds.",
                        size >> 10,
                        total >> 20
                    ),
                ));
            }
            let bytes = buffer.get(..read).unwrap_or_default();
            if is_xml {
                scan.feed(bytes)
                    .map_err(|found| hostile(path, format!("{found} (part {name}).")))?;
            }
            if keep && kept.len() < (4 << 20) {
                kept.extend_from_slice(bytes);
            }
        }
        if is_xml {
            scan.finish()
                .map_err(|found| hostile(path, format!("{found} (part {name}).")))?;
            if let Some(promised) = scan.promised_texts
                && promised > scan.bytes / 4
            {
                return Err(hostile(
                    path,
                    format!("The table of texts promises {promised} texts in {} bytes.", scan.bytes),
                ));
            }
            if scan.is_sheet {
                facts.insert(name.clone(), scan.facts);
            }
        }
        if keep {
            small.insert(name, kept);
        }
    }
    let sort = if names.contains("xl/workbook.bin") {
        FileSort::Xlsb
    } else if names.contains("content.xml") {
        if names.contains("META-INF/manifest.xml") && is_locked_ods(path) {
            return Err(locked(path));
        }
        FileSort::Ods
    } else if names.iter().any(|name| name.starts_with("xl/")) {
        FileSort::Xlsx
    } else {
        return Err(FileError::new(
            Trouble::NotAList,
            path,
            "The file is a zip package without a workbook in it.",
            "If the list is inside it, unpack it and name the list.",
        ));
    };
    let by_sheet = sheets_to_parts(&small)
        .into_iter()
        .filter_map(|(sheet, part)| Some((sheet, facts.remove(&part)?)))
        .collect();
    Ok(Passed {
        sort,
        facts: by_sheet,
        remarks: Vec::new(),
    })
}

/// Whether the manifest of an ods says that parts are encrypted.
fn is_locked_ods(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    let Ok(mut zip) = zip::ZipArchive::new(BufReader::new(file)) else {
        return false;
    };
    let Ok(mut part) = zip.by_name("META-INF/manifest.xml") else {
        return false;
    };
    let mut text = Vec::new();
    part.by_ref().take(1 << 20).read_to_end(&mut text).is_ok()
        && memchr::memmem::find(&text, b"encryption-data").is_some()
}

/// Names of the sheets and the parts that hold them.
fn sheets_to_parts(small: &HashMap<String, Vec<u8>>) -> Vec<(String, String)> {
    let mut targets: HashMap<String, String> = HashMap::new();
    for attributes in tags(small.get("xl/_rels/workbook.xml.rels"), "Relationship") {
        if let (Some(id), Some(target)) = (attributes.get("Id"), attributes.get("Target")) {
            let target = match target.strip_prefix('/') {
                Some(whole) => whole.to_owned(),
                None => format!("xl/{target}"),
            };
            targets.insert(id.clone(), target);
        }
    }
    tags(small.get("xl/workbook.xml"), "sheet")
        .into_iter()
        .filter_map(|attributes| {
            Some((
                attributes.get("name")?.clone(),
                targets.get(attributes.get("id")?)?.clone(),
            ))
        })
        .collect()
}

/// The attributes of all tags of this local name, by local name.
fn tags(xml: Option<&Vec<u8>>, local: &str) -> Vec<HashMap<String, String>> {
    let mut found = Vec::new();
    let Some(Ok(text)) = xml.map(|xml| std::str::from_utf8(xml)) else {
        return found;
    };
    let mut reader = quick_xml::Reader::from_str(text);
    while let Ok(event) = reader.read_event() {
        match event {
            Event::Start(tag) | Event::Empty(tag) if tag.local_name().as_ref() == local => {
                let mut attributes = HashMap::new();
                for attribute in tag.attributes().flatten() {
                    if let Ok(value) = attribute.normalized_value(quick_xml::XmlVersion::Implicit1_0) {
                        attributes.insert(attribute.key.local_name().as_ref().to_owned(), value.into_owned());
                    }
                }
                found.push(attributes);
            }
            Event::Eof => break,
            _ => {}
        }
    }
    found
}

/// A pass over the bytes of one XML part: tags only, nothing built up.
struct Scan {
    gap: usize,
    bytes: u64,
    /// Bytes since the last tag ended.
    since: usize,
    /// An unfinished tag.
    rest: Vec<u8>,
    promised_texts: Option<u64>,
    is_sheet: bool,
    facts: SheetFacts,
    row: u32,
    column: u32,
    cell: Option<(u32, u16)>,
    has_formula: bool,
    has_value: bool,
}

impl Scan {
    fn new(gap: usize) -> Scan {
        Scan {
            gap,
            bytes: 0,
            since: 0,
            rest: Vec::new(),
            promised_texts: None,
            is_sheet: false,
            facts: SheetFacts::default(),
            row: 0,
            column: 0,
            cell: None,
            has_formula: false,
            has_value: false,
        }
    }

    fn feed(&mut self, bytes: &[u8]) -> Result<(), String> {
        self.bytes += bytes.len() as u64;
        if self.rest.is_empty() {
            let used = self.walk(bytes)?;
            self.rest.extend_from_slice(bytes.get(used..).unwrap_or_default());
        } else {
            let mut joined = std::mem::take(&mut self.rest);
            joined.extend_from_slice(bytes);
            let used = self.walk(&joined)?;
            joined.drain(..used);
            self.rest = joined;
        }
        if self.rest.len() > self.gap {
            return Err("A tag goes on for more than 1 MB".to_owned());
        }
        Ok(())
    }

    fn finish(&mut self) -> Result<(), String> {
        if self.rest.is_empty() {
            Ok(())
        } else {
            Err("The part breaks off inside a tag".to_owned())
        }
    }

    /// Reads all whole tags; returns how many bytes are done with.
    fn walk(&mut self, bytes: &[u8]) -> Result<usize, String> {
        let mut at = 0;
        while let Some(rest) = bytes.get(at..) {
            let Some(open) = memchr::memchr(b'<', rest) else {
                self.since += rest.len();
                if self.since > self.gap {
                    return Err("A text between two tags goes on for more than 1 MB".to_owned());
                }
                return Ok(bytes.len());
            };
            self.since += open;
            if self.since > self.gap {
                return Err("A text between two tags goes on for more than 1 MB".to_owned());
            }
            let tag = rest.get(open..).unwrap_or_default();
            let Some(length) = tag_length(tag) else {
                return Ok(at + open);
            };
            self.tag(tag.get(1..length - 1).unwrap_or_default())?;
            self.since = 0;
            at += open + length;
        }
        Ok(at)
    }

    /// One tag without its angle brackets.
    fn tag(&mut self, tag: &[u8]) -> Result<(), String> {
        let (closing, body) = match tag.strip_prefix(b"/") {
            Some(body) => (true, body),
            None => (false, tag),
        };
        let end = body
            .iter()
            .position(|byte| byte.is_ascii_whitespace() || *byte == b'/')
            .unwrap_or(body.len());
        let full = body.get(..end).unwrap_or_default();
        let local = match full.iter().position(|byte| *byte == b':') {
            Some(colon) => full.get(colon + 1..).unwrap_or_default(),
            None => full,
        };
        let empty = body.ends_with(b"/");
        match (local, closing) {
            (b"v" | b"is" | b"t", false) => self.has_value |= !empty,
            (b"f", false) => self.has_formula = true,
            (b"c", false) => {
                self.cell_begins(body)?;
                if empty {
                    self.cell = None;
                }
            }
            (b"c", true) => {
                if let Some(cell) = self.cell.take()
                    && self.has_formula
                    && !self.has_value
                    && self.facts.not_stored.len() < 1_000_000
                {
                    self.facts.not_stored.push(cell);
                }
            }
            (b"row", false) => {
                self.column = 0;
                self.row = match attribute(body, b"r") {
                    Some(written) => row_number(written)?,
                    None => self.row + 1,
                };
                if attribute(body, b"hidden").is_some_and(is_true) {
                    self.facts.hidden_rows.insert(self.row - 1);
                }
            }
            (b"col", false) if attribute(body, b"hidden").is_some_and(is_true) => {
                let number = |name: &[u8]| {
                    attribute(body, name)
                        .and_then(|text| std::str::from_utf8(text).ok())
                        .and_then(|text| text.parse::<u32>().ok())
                        .filter(|number| (1..=LAST_COLUMN).contains(number))
                };
                if let (Some(first), Some(last)) = (number(b"min"), number(b"max")) {
                    for column in first..=last {
                        self.facts.hidden_columns.insert((column - 1) as u16);
                    }
                }
            }
            (b"mergeCell", false) => {
                if let Some(range) = attribute(body, b"ref")
                    && let Some(merged) = merged(range)
                    && self.facts.merged.len() < 1_000_000
                {
                    self.facts.merged.push(merged);
                }
            }
            (b"sheetData", false) => self.is_sheet = true,
            (b"sst", false) => {
                self.promised_texts = attribute(body, b"uniqueCount").map(|text| {
                    std::str::from_utf8(text)
                        .ok()
                        .and_then(|text| text.trim().parse::<u64>().ok())
                        .unwrap_or(u64::MAX)
                });
            }
            _ if tag.len() >= 8
                && tag
                    .get(..8)
                    .is_some_and(|start| start.eq_ignore_ascii_case(b"!DOCTYPE")) =>
            {
                return Err("A part carries a document type, which lists never do".to_owned());
            }
            _ => {}
        }
        Ok(())
    }

    fn cell_begins(&mut self, body: &[u8]) -> Result<(), String> {
        self.has_formula = false;
        self.has_value = false;
        self.cell = None;
        let (row, column) = match attribute(body, b"r") {
            Some(written) => {
                // Charts and comments have tags of this name too; only sheets are checked.
                if !self.is_sheet {
                    return Ok(());
                }
                reference(written).ok_or_else(|| {
                    let shown: String = String::from_utf8_lossy(written).chars().take(40).collect();
                    format!("A cell says it stands at {shown:?}, which no sheet has")
                })?
            }
            None => (self.row.max(1), self.column + 1),
        };
        self.column = column;
        if self.is_sheet && row <= LAST_ROW && column <= LAST_COLUMN {
            self.cell = Some((row - 1, (column - 1) as u16));
        }
        Ok(())
    }
}

/// Bytes of the tag that begins here, its brackets included; `None` when it is not all there.
fn tag_length(tag: &[u8]) -> Option<usize> {
    if tag.starts_with(b"<!--") {
        return memchr::memmem::find(tag, b"-->").map(|place| place + 3);
    }
    if tag.starts_with(b"<![CDATA[") {
        return memchr::memmem::find(tag, b"]]>").map(|place| place + 3);
    }
    if tag.len() < 9 && (b"<!--".starts_with(tag) || b"<![CDATA[".starts_with(tag)) {
        return None;
    }
    // A bracket may stand inside a quoted value.
    let mut from = 0;
    let mut quote: Option<u8> = None;
    loop {
        let close = from + memchr::memchr(b'>', tag.get(from..)?)?;
        for byte in tag.get(from..close)? {
            match quote {
                Some(open) if *byte == open => quote = None,
                None if *byte == b'"' || *byte == b'\'' => quote = Some(*byte),
                _ => {}
            }
        }
        if quote.is_none() {
            return Some(close + 1);
        }
        from = close + 1;
    }
}

/// The value of an attribute of this exact name.
fn attribute<'a>(body: &'a [u8], name: &[u8]) -> Option<&'a [u8]> {
    let mut at = 0;
    while let Some(rest) = body.get(at..) {
        let place = memchr::memmem::find(rest, name)? + at;
        at = place + name.len();
        let before = place.checked_sub(1).and_then(|place| body.get(place));
        if !before.is_some_and(u8::is_ascii_whitespace) {
            continue;
        }
        let mut rest = body.get(at..)?;
        while let Some((first, more)) = rest.split_first()
            && first.is_ascii_whitespace()
        {
            rest = more;
        }
        let Some((b'=', mut rest)) = rest.split_first() else {
            continue;
        };
        while let Some((first, more)) = rest.split_first()
            && first.is_ascii_whitespace()
        {
            rest = more;
        }
        let (quote, rest) = rest.split_first()?;
        return rest.get(..memchr::memchr(*quote, rest)?);
    }
    None
}

fn is_true(text: &[u8]) -> bool {
    matches!(text, b"1" | b"true")
}

fn row_number(written: &[u8]) -> Result<u32, String> {
    std::str::from_utf8(written)
        .ok()
        .filter(|text| text.len() <= 7)
        .and_then(|text| text.parse::<u32>().ok())
        .filter(|row| (1..=LAST_ROW).contains(row))
        .ok_or_else(|| {
            let shown: String = String::from_utf8_lossy(written).chars().take(40).collect();
            format!("A row says its number is {shown:?}, which no sheet has")
        })
}

/// `AB12` as row and column from 1.
fn reference(written: &[u8]) -> Option<(u32, u32)> {
    let letters = written.iter().take_while(|byte| byte.is_ascii_alphabetic()).count();
    if !(1..=3).contains(&letters) {
        return None;
    }
    let column = written.get(..letters)?.iter().fold(0u32, |sum, byte| {
        sum * 26 + u32::from(byte.to_ascii_uppercase() - b'A') + 1
    });
    let row = row_number(written.get(letters..)?).ok()?;
    (column <= LAST_COLUMN).then_some((row, column))
}

fn merged(range: &[u8]) -> Option<Merged> {
    let colon = range.iter().position(|byte| *byte == b':')?;
    let (top, left) = reference(range.get(..colon)?)?;
    let (bottom, right) = reference(range.get(colon + 1..)?)?;
    (top <= bottom && left <= right).then_some(Merged {
        top: top - 1,
        left: (left - 1) as u16,
        bottom: bottom - 1,
        right: (right - 1) as u16,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::indexing_slicing)]
    use super::*;

    #[test]
    fn references_as_written() {
        assert_eq!(reference(b"A1"), Some((1, 1)));
        assert_eq!(reference(b"XFD1048576"), Some((1_048_576, 16_384)));
        assert_eq!(reference(b"XFE1"), None);
        assert_eq!(reference(b"AAAAAAAAAA1"), None);
        assert_eq!(reference(b"A99999999999"), None);
    }

    #[test]
    fn a_bracket_in_a_quoted_value_does_not_hide_a_reference() {
        let mut scan = Scan::new(1 << 20);
        scan.feed(b"<sheetData><row r=\"1\"><c a=\">\" r=\"ZZZZZZ1\">")
            .unwrap_err();
    }

    #[test]
    fn tags_may_be_cut_anywhere() {
        let text = b"<sheetData><row r=\"3\" hidden=\"1\"><c r=\"B3\"><f>A1</f></c><c r=\"C3\"><f>A1</f><v>2</v></c></row></sheetData>\
            <!-- > --><mergeCells><mergeCell ref=\"A1:C2\"/></mergeCells>";
        for cut in 0..text.len() {
            let mut scan = Scan::new(1 << 20);
            scan.feed(&text[..cut]).unwrap();
            scan.feed(&text[cut..]).unwrap();
            scan.finish().unwrap();
            assert!(scan.facts.hidden_rows.contains(&2));
            assert_eq!(scan.facts.not_stored, [(2, 1)]);
            assert_eq!(scan.facts.merged.len(), 1);
        }
    }
}
