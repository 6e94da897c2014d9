//! Lists as text: encoding, delimiter, quotes.
//!
//! Always: a row is a record as a grid shows it, blank lines counted. Nothing is taken for a number here; that needs the column.
//! Not known here: decimal signs, headings.

use std::path::Path;

use super::error::{FileError, Trouble};
use super::guard::{Limits, Passed};
use super::store::{Book, Cell, Content, Dress, FileSort, Grid, Look};

/// Delimiters that are tried, the more telling first.
const DELIMITERS: [u8; 4] = [b';', b'\t', b',', b'|'];

/// Reads a text file.
pub(super) fn read(path: &Path, passed: Passed, limits: &Limits) -> Result<Book, FileError> {
    let bytes = super::open::bytes_of(path, limits)?;
    let Decoded { text, encoding, doubt } = decoded(&bytes);
    let mut remarks = passed.remarks;
    let delimiter = delimiter_of(&text);
    remarks.push(format!(
        "Text file in {encoding}, fields parted by {}.",
        match delimiter {
            b'\t' => "tab".to_owned(),
            other => format!("{:?}", char::from(other)),
        }
    ));
    remarks.extend(doubt);
    let mut grid = Grid::new("(csv)");
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut row: u64 = 0;
    let mut before = 1u64;
    let mut kept = 0usize;
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                remarks.push(format!("Source row {} could not be read: {error}.", row + 1));
                break;
            }
        }
        // The reader passes over blank lines without a word; a grid shows them as rows.
        let inside: u64 = record.iter().map(|field| field.matches('\n').count() as u64).sum();
        let after = reader.position().line();
        row += after.saturating_sub(before).saturating_sub(inside + 1);
        before = after;
        if row >= 1_048_576 {
            remarks.push("Rows after 1 048 576 were not read.".to_owned());
            break;
        }
        for (column, field) in record.iter().enumerate() {
            let field = field.trim();
            if field.is_empty() {
                continue;
            }
            let Ok(column) = u16::try_from(column) else { break };
            // A sign put before a text so that no program takes it for a formula is taken off again.
            let field = match field.strip_prefix('\'') {
                Some(rest) if rest.starts_with(['=', '+', '-', '@']) => rest,
                _ => field,
            };
            kept += 1;
            if kept > limits.cells {
                return Err(FileError::new(
                    Trouble::TooLarge,
                    path,
                    format!("The file has more than {} filled fields.", limits.cells),
                    "Read it in parts.",
                ));
            }
            let content = Content::Text(grid.intern(field));
            grid.push(
                row as u32,
                Cell {
                    column,
                    look: Look::default(),
                    content,
                },
            );
        }
        row += 1;
    }
    let dress = Dress {
        delimiter,
        comma: delimiter != b',' && decimal_commas(&grid),
    };
    Ok(Book {
        sort: FileSort::Csv,
        sheets: vec![grid],
        remarks,
        dress: Some(dress),
    })
}

/// Whether more of the decimal numbers have a comma than a point. Three digits behind the sign may be thousands and prove nothing.
fn decimal_commas(grid: &Grid) -> bool {
    let behind = |text: &str, sign: char| {
        text.split_once(sign).is_some_and(|(whole, part)| {
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            digits(whole) && digits(part) && part.len() != 3
        })
    };
    let (mut commas, mut points) = (0usize, 0usize);
    for text in grid.texts() {
        commas += usize::from(behind(text, ','));
        points += usize::from(behind(text, '.'));
    }
    commas > points
}

/// A text and how it was written.
struct Decoded {
    text: String,
    encoding: &'static str,
    /// What tells the encoding, where nothing in the file says it.
    doubt: Option<String>,
}

/// UTF-8 and UTF-16 with or without mark, else the one of Windows-1252, code page 850 and Mac OS Roman in which its letters stand in
/// words and its signs beside numbers.
fn decoded(bytes: &[u8]) -> Decoded {
    let sure = |text: String, encoding| Decoded {
        text,
        encoding,
        doubt: None,
    };
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or_default());
        return sure(text.into_owned(), encoding.name());
    }
    if let Some(encoding) = wide_without_mark(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes);
        return Decoded {
            text: text.into_owned(),
            encoding: encoding.name(),
            doubt: Some(format!(
                "The file does not say its encoding; every other byte is zero, as in {}.",
                encoding.name()
            )),
        };
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return sure(text.to_owned(), "UTF-8");
    }
    let windows = encoding_rs::WINDOWS_1252.decode(bytes).0.into_owned();
    let dos = oem_cp::decode_string_complete_table(bytes, &oem_cp::code_table::DECODING_TABLE_CP850);
    let mac = encoding_rs::MACINTOSH.decode(bytes).0.into_owned();
    let mut best = (likeness(&windows), windows, "Windows-1252");
    for (text, encoding) in [(dos, "code page 850"), (mac, "Mac OS Roman")] {
        let like = likeness(&text);
        if like > best.0 {
            best = (like, text, encoding);
        }
    }
    let (like, text, encoding) = best;
    let told = words_told(&text);
    let doubt = if like < 0 {
        Some(format!(
            "The encoding of the file is not known: read as {encoding}, its words look wrong ({told}). Save it as UTF-8 where it was made."
        ))
    } else {
        let read = format!("The file does not say its encoding; in {encoding} its letters make words ({told}).");
        (encoding != "Windows-1252").then_some(read)
    };
    Decoded { text, encoding, doubt }
}

/// UTF-16 without a mark: in lists one byte of almost every two is zero, always the same one, and the other is a sign of plain text.
pub(super) fn wide_without_mark(bytes: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let pairs: Vec<(u8, u8)> = bytes
        .chunks_exact(2)
        .take(2048)
        .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
        .collect();
    let plain = |byte: u8| matches!(byte, b'\t' | b'\r' | b'\n' | b' '..=b'~');
    let most = |count: usize| pairs.len() >= 8 && count * 10 >= pairs.len() * 9;
    if most(pairs.iter().filter(|(low, high)| *high == 0 && plain(*low)).count()) {
        Some(encoding_rs::UTF_16LE)
    } else if most(pairs.iter().filter(|(high, low)| *high == 0 && plain(*low)).count()) {
        Some(encoding_rs::UTF_16BE)
    } else {
        None
    }
}

/// Letters of the five languages of lists beside those of ASCII.
const LETTERS: &str = "äöüßàâçéèêëîïôùûœñáíóúãõ";
/// Signs of lists.
const SIGNS: &str = "°²³½¼¾ØøµΩΔφη·±€ºª–’“”…«»×§";

/// How much a text reads like a list in one of the five languages: letters in words speak for it, signs inside of words and those that
/// lists do not have against.
fn likeness(text: &str) -> i64 {
    let mut like = 0;
    let mut before = ' ';
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        if !sign.is_ascii() {
            let after = signs.peek().copied().unwrap_or(' ');
            let small = sign.to_lowercase().next().unwrap_or(sign);
            let in_word = before.is_alphabetic() || after.is_alphabetic();
            // A capital stands first or among capitals.
            let cased = !sign.is_uppercase() || !before.is_lowercase();
            like += if LETTERS.contains(small) {
                if in_word && cased { 2 } else { -1 }
            } else if SIGNS.contains(sign) {
                let inside = before.is_alphabetic() && after.is_alphabetic();
                if !inside || sign == '’' { 1 } else { -2 }
            } else {
                -2
            };
        }
        before = sign;
    }
    like
}

/// Some words with letters that tell the encoding.
fn words_told(text: &str) -> String {
    let mut told: Vec<String> = Vec::new();
    let words = text.split(|sign: char| sign.is_whitespace() || matches!(sign, ';' | ',' | '|' | '"'));
    for word in words.filter(|word| !word.is_ascii() && word.chars().count() > 2) {
        let word = format!("\u{201c}{}\u{201d}", super::motor::shown(word));
        if !told.contains(&word) {
            told.push(word);
        }
        if told.len() == 4 {
            break;
        }
    }
    told.join(", ")
}

/// The delimiter that cuts the first records into the most equal rows.
fn delimiter_of(text: &str) -> u8 {
    if let Some(line) = text.lines().next()
        && let Some(sign) = line.strip_prefix("sep=").and_then(|rest| rest.bytes().next())
    {
        return sign;
    }
    let mut best = (0usize, b';');
    for delimiter in DELIMITERS {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut counts = std::collections::BTreeMap::new();
        for record in reader.records().take(200).flatten() {
            if record.len() > 1 {
                *counts.entry(record.len()).or_insert(0usize) += 1;
            }
        }
        // Fields in the most frequent shape: many equal rows of several fields.
        let score = counts
            .iter()
            .map(|(fields, rows)| (fields - 1) * rows * rows)
            .max()
            .unwrap_or(0);
        if score > best.0 {
            best = (score, delimiter);
        }
    }
    best.1
}
