//! The XML of a sheet, read piece by piece, each piece with the very bytes it was written in.
//!
//! Always: the pieces put together again are the part, byte for byte. Elements are known by their local name and depth, so a
//! prefix on every name or a `row` inside an extension misleads nobody. Rows and cells without an address follow the one
//! before. Nothing of the sheet is kept.

use std::io::{self, BufRead, Read};

use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::address::{self, Area, LAST_COLUMN, LAST_ROW};

/// Longest single tag or text that is read. A cell holds 32 767 characters at most.
const LONGEST_PIECE: usize = 16 << 20;

/// What a piece is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Passed through.
    Other,
    /// `<dimension …/>`
    Dimension,
    /// `<cols>`
    Columns {
        /// `<cols/>`
        empty: bool,
    },
    /// `<col …/>`
    Column,
    /// `</cols>`
    ColumnsEnd,
    /// `<sheetData>`
    Data {
        /// `<sheetData/>`
        empty: bool,
    },
    /// `<row …>`
    Row {
        /// From 1.
        row: u32,
        /// `<row …/>`
        empty: bool,
    },
    /// `<c …>`
    Cell {
        /// From 1.
        row: u32,
        /// From 1.
        column: u32,
        /// Index of its style.
        style: Option<u32>,
        /// `<c …/>`
        empty: bool,
    },
    /// Begin of something inside a cell: value, formula or text.
    CellPart,
    /// `</c>`
    CellEnd,
    /// `</row>`
    RowEnd,
    /// `</sheetData>`
    DataEnd,
    /// `<mergeCell …/>`
    Merge(Area),
    /// Link to the part of a table.
    Table(String),
    /// `<sheetViews>`
    Views,
    /// `<sheetView …>`
    View {
        /// `<sheetView …/>`
        empty: bool,
    },
    /// `<pane …/>`
    Pane,
    /// `<autoFilter …>`
    Filter,
    /// Another element right inside the sheet.
    Section(String),
    /// `</worksheet>`
    End,
}

/// Part of the sheet a piece stands in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Section {
    Other,
    Columns,
    Data,
    Merges,
    Tables,
    Views,
}

/// A sheet's XML in pieces.
pub struct Stream<R: Read> {
    reader: Reader<Tee<io::BufReader<R>>>,
    buffer: Vec<u8>,
    raw: Vec<u8>,
    depth: usize,
    section: Section,
    row: u32,
    column: u32,
    /// Prefix of the names, with its colon.
    pub prefix: String,
}

impl<R: Read> Stream<R> {
    /// Reads from the beginning of the part.
    pub fn new(part: R) -> Stream<R> {
        let mut reader = Reader::from_reader(Tee {
            inner: io::BufReader::with_capacity(1 << 16, part),
            taken: Vec::new(),
        });
        reader.config_mut().check_end_names = true;
        Stream {
            reader,
            buffer: Vec::new(),
            raw: Vec::new(),
            depth: 0,
            section: Section::Other,
            row: 0,
            column: 0,
            prefix: String::new(),
        }
    }

    /// The bytes of the piece read last.
    pub fn raw(&self) -> &[u8] {
        &self.raw
    }

    /// The next piece; none at the end.
    pub fn next(&mut self) -> Result<Option<Piece>, String> {
        self.buffer.clear();
        self.raw.clear();
        let event = self.reader.read_event_into(&mut self.buffer).map_err(|error| {
            let place = error.to_string();
            format!("its XML cannot be read: {place}")
        })?;
        let piece = match &event {
            Event::Start(tag) => {
                self.depth += 1;
                let piece = open(
                    tag,
                    false,
                    self.depth,
                    &mut self.section,
                    &mut self.row,
                    &mut self.column,
                )?;
                if self.depth == 1 {
                    self.prefix = prefix(tag)?;
                }
                piece
            }
            Event::Empty(tag) => {
                let depth = self.depth + 1;
                let mut section = self.section;
                let piece = open(tag, true, depth, &mut section, &mut self.row, &mut self.column)?;
                if depth == 1 {
                    return Err("the sheet is empty XML".to_owned());
                }
                piece
            }
            Event::End(_) => {
                let piece = match (self.depth, self.section) {
                    (2, Section::Columns) => Piece::ColumnsEnd,
                    (2, Section::Data) => Piece::DataEnd,
                    (3, Section::Data) => Piece::RowEnd,
                    (4, Section::Data) => Piece::CellEnd,
                    (1, _) => Piece::End,
                    _ => Piece::Other,
                };
                if self.depth == 2 {
                    self.section = Section::Other;
                }
                self.depth = self.depth.saturating_sub(1);
                piece
            }
            Event::Decl(declaration) => {
                if let Some(Ok(encoding)) = declaration.encoding()
                    && !["utf-8", "utf8", "us-ascii", "ascii"].contains(&encoding.to_ascii_lowercase().as_str())
                {
                    return Err(format!("its XML is written in {encoding}, not in UTF-8"));
                }
                Piece::Other
            }
            Event::DocType(_) => return Err("its XML has a document type, which no sheet needs".to_owned()),
            Event::Eof if self.depth > 0 => return Err("its XML ends too early".to_owned()),
            Event::Eof => return Ok(None),
            _ => Piece::Other,
        };
        std::mem::swap(&mut self.raw, &mut self.reader.get_mut().taken);
        Ok(Some(piece))
    }
}

/// Places an opening tag.
fn open(
    tag: &BytesStart,
    empty: bool,
    depth: usize,
    section: &mut Section,
    row: &mut u32,
    column: &mut u32,
) -> Result<Piece, String> {
    let local = tag.local_name();
    let name: &str = local.as_ref();
    Ok(match (depth, *section, name) {
        (1, _, "worksheet") => Piece::Other,
        (1, _, other) => return Err(format!("it is no sheet of cells but a \"{other}\"")),
        (2, _, _) => {
            *section = match name {
                "cols" => Section::Columns,
                "sheetData" => Section::Data,
                "mergeCells" => Section::Merges,
                "tableParts" => Section::Tables,
                "sheetViews" => Section::Views,
                _ => Section::Other,
            };
            match name {
                "dimension" => Piece::Dimension,
                "cols" => Piece::Columns { empty },
                "sheetData" => Piece::Data { empty },
                "sheetViews" => Piece::Views,
                "autoFilter" => Piece::Filter,
                other => Piece::Section(other.to_owned()),
            }
        }
        (3, Section::Views, "sheetView") => Piece::View { empty },
        (4, Section::Views, "pane") => Piece::Pane,
        (3, Section::Columns, "col") => Piece::Column,
        (3, Section::Data, "row") => {
            *row = match attribute(tag, "r")? {
                Some(text) => text.trim().parse().ok().filter(|row| (1..=LAST_ROW).contains(row)),
                None => Some(*row + 1).filter(|row| *row <= LAST_ROW),
            }
            .ok_or_else(|| "a row has a number that no sheet has".to_owned())?;
            *column = 0;
            Piece::Row { row: *row, empty }
        }
        (4, Section::Data, "c") => {
            *column = match attribute(tag, "r")? {
                Some(text) => match address::cell(text.trim()) {
                    Some((at, column)) if at == *row => column,
                    _ => return Err(format!("row {row} has a cell with the address \"{text}\"")),
                },
                None => *column + 1,
            };
            if *column > LAST_COLUMN {
                return Err(format!("row {row} has more cells than a sheet has columns"));
            }
            Piece::Cell {
                row: *row,
                column: *column,
                style: attribute(tag, "s")?.and_then(|text| text.trim().parse().ok()),
                empty,
            }
        }
        (5, Section::Data, _) => Piece::CellPart,
        (3, Section::Merges, "mergeCell") => match attribute(tag, "ref")?.as_deref().and_then(Area::parse) {
            Some(area) => Piece::Merge(area),
            None => Piece::Other,
        },
        (3, Section::Tables, "tablePart") => match attribute(tag, "id")? {
            Some(id) => Piece::Table(id),
            None => Piece::Other,
        },
        _ => Piece::Other,
    })
}

/// The value of the attribute with this local name.
pub fn attribute(tag: &BytesStart, name: &str) -> Result<Option<String>, String> {
    for attribute in tag.attributes().with_checks(false) {
        let attribute = attribute.map_err(|error| format!("its XML cannot be read: {error}"))?;
        if AsRef::<str>::as_ref(&attribute.key.local_name()) == name {
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|error| format!("its XML cannot be read: {error}"))?;
            return Ok(Some(value.into_owned()));
        }
    }
    Ok(None)
}

fn prefix(tag: &BytesStart) -> Result<String, String> {
    let name = tag.name();
    let name: &str = name.as_ref();
    Ok(match name.rsplit_once(':') {
        Some((prefix, _)) => format!("{prefix}:"),
        None => String::new(),
    })
}

/// The same tag with some attributes changed; `change` gets name and raw value and gives the new value, written as it is.
pub fn retag(raw: &[u8], mut change: impl FnMut(&str, &str) -> Option<String>) -> Option<Vec<u8>> {
    let text = std::str::from_utf8(raw).ok()?.strip_prefix('<')?.strip_suffix('>')?;
    let (text, end) = match text.strip_suffix('/') {
        Some(text) => (text, "/>"),
        None => (text, ">"),
    };
    let name = text.split(|c: char| c.is_ascii_whitespace()).next()?;
    let tag = BytesStart::from_content(text, name.len());
    let mut out = format!("<{name}");
    for attribute in tag.attributes().with_checks(false) {
        let attribute = attribute.ok()?;
        let key: &str = attribute.key.as_ref();
        let value: &str = &attribute.value;
        let new = change(key, value);
        // A value in single quotes may hold double ones.
        let value = new.as_deref().unwrap_or(value).replace('"', "&quot;");
        out.push_str(&format!(" {key}=\"{value}\""));
    }
    out.push_str(end);
    Some(out.into_bytes())
}

/// Reads through and keeps what was taken.
struct Tee<R> {
    inner: R,
    taken: Vec<u8>,
}

impl<R: BufRead> Read for Tee<R> {
    fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(to)?;
        self.taken.extend_from_slice(to.get(..count).unwrap_or_default());
        Ok(count)
    }
}

impl<R: BufRead> BufRead for Tee<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        if self.taken.len() > LONGEST_PIECE {
            return Err(io::Error::other("one piece of text is far longer than a cell can hold"));
        }
        self.inner.fill_buf()
    }

    fn consume(&mut self, count: usize) {
        // What is in the buffer is given again without reading on.
        if let Ok(buffer) = self.inner.fill_buf() {
            self.taken.extend_from_slice(buffer.get(..count).unwrap_or(buffer));
        }
        self.inner.consume(count);
    }
}
