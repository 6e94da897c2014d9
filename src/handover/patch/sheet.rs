//! Columns put into the XML of a sheet, to the right of all it holds.
//!
//! For: the one part of the package that changes. Read twice: once to see what is there, once to write it anew.
//! Always: what is not ours goes through byte for byte, formulas and stored values included. A cell of ours never lands on a
//! cell that holds something, nor inside a merged block or a table.

use std::collections::{BTreeMap, HashSet};
use std::io::{Read, Write};

use super::super::figure::{fifteen, plain};
use super::address::{Area, LAST_COLUMN, letters};
use super::stream::{Piece, Stream, retag};
use super::{CellOut, Column};

/// What a sheet holds, as far as it matters for columns beside it.
#[derive(Debug, Default)]
pub struct Survey {
    /// Last column with something in it, 0 for none.
    pub last_column: u32,
    /// Rows to be written that exist.
    present: HashSet<u32>,
    /// Style of the last heading.
    heading_style: Option<u32>,
    /// Merged blocks that reach into rows to be written.
    merges: Vec<Area>,
    /// Links to parts of tables.
    pub tables: Vec<String>,
    /// Whether widths are written.
    has_columns: bool,
    /// Whether there was a `<sheetData>`.
    has_data: bool,
    /// Whether there are `<sheetViews>`, a frozen or split pane, a filter.
    has_views: bool,
    has_pane: bool,
    has_filter: bool,
}

/// Looks through a sheet.
pub fn survey(part: impl Read, rows: &Rows) -> Result<Survey, String> {
    let mut stream = Stream::new(part);
    let mut found = Survey::default();
    let mut at = (0, 0);
    let mut heading = (0, None);
    let mut style = None;
    while let Some(piece) = stream.next()? {
        match piece {
            Piece::Columns { .. } => found.has_columns = true,
            Piece::Data { .. } => found.has_data = true,
            Piece::Row { row, .. } if rows.cells.contains_key(&row) => {
                found.present.insert(row);
            }
            Piece::Cell {
                row,
                column,
                style: its,
                ..
            } => {
                at = (row, column);
                style = its;
            }
            Piece::CellPart => {
                found.last_column = found.last_column.max(at.1);
                if at.0 == rows.heading_row && at.1 > heading.0 {
                    heading = (at.1, style);
                }
            }
            Piece::Merge(area) if rows.cells.range(area.top..=area.bottom).next().is_some() => found.merges.push(area),
            Piece::Table(id) => found.tables.push(id),
            Piece::Views => found.has_views = true,
            Piece::Pane => found.has_pane = true,
            Piece::Filter => found.has_filter = true,
            _ => {}
        }
    }
    if !found.has_data {
        return Err("the sheet has no rows".to_owned());
    }
    found.heading_style = heading.1;
    Ok(found)
}

impl Survey {
    /// Whether a filter is put on the heading: there is none yet, and no table, which has one of its own.
    pub fn gets_filter(&self) -> bool {
        !self.has_filter && self.tables.is_empty()
    }

    /// First column that is free in all rows to be written; `tables` are the blocks of the sheet's tables.
    ///
    /// Where columns were added before, from `again` on, those are free.
    pub fn first_free(&self, rows: &Rows, tables: &[Area], again: Option<u32>) -> u32 {
        let tables = tables
            .iter()
            .filter(|area| rows.cells.range(area.top..=area.bottom).next().is_some());
        let edges = self.merges.iter().chain(tables).map(|area| area.right);
        let edge = edges.max().unwrap_or(0);
        match again.filter(|again| *again > edge && *again <= self.last_column) {
            Some(again) => again,
            None => edge.max(self.last_column) + 1,
        }
    }
}

/// Cells to be written, row by row.
pub struct Rows<'a> {
    heading_row: u32,
    columns: &'a [Column],
    cells: BTreeMap<u32, Vec<(usize, &'a CellOut)>>,
}

impl<'a> Rows<'a> {
    /// Turns columns into rows. The heading row is one of them, also where no column has a cell in it.
    pub fn new(heading_row: u32, columns: &'a [Column]) -> Rows<'a> {
        let mut cells: BTreeMap<u32, Vec<(usize, &CellOut)>> = BTreeMap::new();
        cells.entry(heading_row).or_default();
        for (index, column) in columns.iter().enumerate() {
            for (row, cell) in &column.cells {
                if *row != heading_row && !matches!(cell, CellOut::Blank) {
                    cells.entry(*row).or_default().push((index, cell));
                }
            }
        }
        // Of two cells for one place the first counts.
        for row in cells.values_mut() {
            row.dedup_by_key(|(index, _)| *index);
        }
        Rows {
            heading_row,
            columns,
            cells,
        }
    }

    /// The row of the heading.
    pub fn heading_row(&self) -> u32 {
        self.heading_row
    }

    /// First and last row.
    pub fn ends(&self) -> (u32, u32) {
        let first = self.cells.keys().next().copied().unwrap_or(self.heading_row);
        let last = self.cells.keys().next_back().copied().unwrap_or(self.heading_row);
        (first, last)
    }

    /// How many rows but the heading's get something.
    pub fn count(&self) -> usize {
        self.cells.len() - 1
    }
}

/// What the sheet gets beside the columns.
#[derive(Debug, Default)]
pub struct Dress<'a> {
    /// Style of the numbers of each column.
    pub styles: &'a [Option<u32>],
    /// Link to the notes.
    pub notes: Option<&'a str>,
    /// Freeze the heading and filter by it.
    pub freeze: bool,
    /// The columns from the first of ours on hold what was added before: it gives way.
    pub again: bool,
}

/// Elements that come before a filter though they come after the rows.
const BEFORE_FILTER: [&str; 4] = ["sheetCalcPr", "sheetProtection", "protectedRanges", "scenarios"];
/// Elements that come after the link to notes.
const AFTER_NOTES: [&str; 8] = [
    "legacyDrawingHF",
    "drawingHF",
    "picture",
    "oleObjects",
    "controls",
    "webPublishItems",
    "tableParts",
    "extLst",
];

/// Writes the sheet anew with the columns from `first` on.
pub fn write(
    part: impl Read,
    out: &mut dyn Write,
    found: &Survey,
    rows: &Rows,
    first: u32,
    dress: &Dress<'_>,
) -> Result<(), Stop> {
    let mut stream = Stream::new(part);
    let mut writer = Writer {
        out,
        found,
        rows,
        first,
        last: first + u32::try_from(rows.columns.len()).unwrap_or(LAST_COLUMN) - 1,
        waiting: rows
            .cells
            .keys()
            .copied()
            .filter(|row| !found.present.contains(row))
            .collect(),
        written: HashSet::new(),
        prefix: String::new(),
        dress,
    };
    let freeze = dress.freeze && !found.has_pane;
    let mut views_done = !freeze;
    // A table has a filter of its own.
    let mut filter_done = !dress.freeze || !found.gets_filter();
    let mut notes_done = dress.notes.is_none();
    let mut after_data = false;
    // The row we are in, while its new cells are still to come.
    let mut open: Option<u32> = None;
    // Inside an empty cell that ours takes the place of.
    let mut swallowing = false;
    let mut widths: Vec<Vec<u8>> = Vec::new();
    let mut in_columns = false;
    while let Some(piece) = stream.next().map_err(Stop::Xml)? {
        if writer.prefix != stream.prefix {
            writer.prefix = stream.prefix.clone();
        }
        let raw = stream.raw();
        // What must stand at a place of its own goes before the piece that comes after it.
        match &piece {
            Piece::Columns { .. } | Piece::Data { .. } if !views_done && !found.has_views => {
                views_done = true;
                writer.views()?;
            }
            Piece::Section(name) if name == "sheetFormatPr" && !views_done && !found.has_views => {
                views_done = true;
                writer.views()?;
            }
            _ => {}
        }
        if after_data {
            let (name, ends): (&str, bool) = match &piece {
                Piece::Section(name) => (name, false),
                Piece::Merge(_) | Piece::Table(_) | Piece::Filter => ("", false),
                Piece::End => ("", true),
                _ => ("", false),
            };
            let is_section = matches!(&piece, Piece::Section(_));
            if !filter_done && (ends || is_section && !BEFORE_FILTER.contains(&name)) {
                filter_done = true;
                writer.filter()?;
            }
            if !notes_done && (ends || is_section && AFTER_NOTES.contains(&name)) {
                notes_done = true;
                writer.notes()?;
            }
        }
        match piece {
            Piece::View { empty } if !views_done => {
                views_done = true;
                if empty {
                    writer.opened(raw)?;
                    writer.pane()?;
                    writer.text(&format!("</{}sheetView>", stream.prefix))?;
                } else {
                    writer.raw(raw)?;
                    writer.pane()?;
                }
            }
            Piece::Filter if dress.freeze => writer.wider_filter(raw)?,
            Piece::CellEnd if swallowing => swallowing = false,
            _ if swallowing => {}
            Piece::Dimension => writer.dimension(raw)?,
            Piece::Columns { empty: true } => {
                writer.opened(raw)?;
                writer.widths(&[])?;
                writer.text(&format!("</{}cols>", stream.prefix))?;
            }
            Piece::Columns { empty: false } => {
                in_columns = true;
                writer.raw(raw)?;
            }
            Piece::Column => widths.push(raw.to_vec()),
            Piece::ColumnsEnd => {
                in_columns = false;
                writer.widths(&widths)?;
                writer.raw(raw)?;
            }
            // Closing tags of long-hand columns and blanks between them; a short-hand form is written instead.
            _ if in_columns => {}
            Piece::Data { empty } => {
                if !found.has_columns {
                    writer.text(&format!("<{}cols>", stream.prefix))?;
                    writer.widths(&[])?;
                    writer.text(&format!("</{}cols>", stream.prefix))?;
                }
                after_data |= empty;
                if empty {
                    let name = format!("{}sheetData", stream.prefix);
                    writer.opened(raw)?;
                    writer.missing_rows(u32::MAX)?;
                    writer.text(&format!("</{name}>"))?;
                } else {
                    writer.raw(raw)?;
                }
            }
            Piece::DataEnd => {
                after_data = true;
                writer.missing_rows(u32::MAX)?;
                writer.raw(raw)?;
            }
            Piece::Row { row, empty } => {
                writer.missing_rows(row)?;
                if rows.cells.contains_key(&row) && writer.written.insert(row) {
                    writer.row_start(raw, empty)?;
                    if empty {
                        writer.cells(row)?;
                        writer.text(&format!("</{}row>", stream.prefix))?;
                    } else {
                        open = Some(row);
                    }
                } else {
                    writer.raw(raw)?;
                }
            }
            Piece::Cell { row, column, empty, .. } => {
                if column >= first && open == Some(row) {
                    writer.cells(row)?;
                    open = None;
                }
                let added_before = dress.again && column >= first && row >= rows.heading_row;
                if added_before || writer.taken(row, column) {
                    swallowing = !empty;
                } else {
                    writer.raw(raw)?;
                }
            }
            Piece::RowEnd => {
                if let Some(row) = open.take() {
                    writer.cells(row)?;
                }
                writer.raw(raw)?;
            }
            _ => writer.raw(raw)?,
        }
    }
    Ok(())
}

/// Why writing stopped.
#[derive(Debug)]
pub enum Stop {
    /// The XML of the source.
    Xml(String),
    /// The target.
    Write(std::io::Error),
}

impl From<std::io::Error> for Stop {
    fn from(error: std::io::Error) -> Stop {
        Stop::Write(error)
    }
}

struct Writer<'a> {
    out: &'a mut dyn Write,
    found: &'a Survey,
    rows: &'a Rows<'a>,
    first: u32,
    last: u32,
    /// Rows to be written that the sheet does not have, in order.
    waiting: std::collections::VecDeque<u32>,
    /// Rows whose cells were written.
    written: HashSet<u32>,
    prefix: String,
    dress: &'a Dress<'a>,
}

impl Writer<'_> {
    fn raw(&mut self, bytes: &[u8]) -> Result<(), Stop> {
        Ok(self.out.write_all(bytes)?)
    }

    fn text(&mut self, text: &str) -> Result<(), Stop> {
        self.raw(text.as_bytes())
    }

    /// A short-hand tag (`<row/>`) as an opening one.
    fn opened(&mut self, raw: &[u8]) -> Result<(), Stop> {
        match raw.strip_suffix(b"/>") {
            Some(tag) => {
                self.raw(tag.trim_ascii_end())?;
                self.text(">")
            }
            None => self.raw(raw),
        }
    }

    /// Whether one of our cells stands there.
    fn taken(&self, row: u32, column: u32) -> bool {
        let Some(cells) = self.rows.cells.get(&row) else {
            return false;
        };
        let Some(index) = column.checked_sub(self.first).map(|index| index as usize) else {
            return false;
        };
        if row == self.rows.heading_row {
            return index < self.rows.columns.len();
        }
        cells.iter().any(|(at, _)| *at == index)
    }

    /// The pane that keeps the heading in sight.
    fn pane(&mut self) -> Result<(), Stop> {
        let above = self.rows.heading_row;
        self.text(&format!(
            "<{}pane ySplit=\"{above}\" topLeftCell=\"A{}\" activePane=\"bottomLeft\" state=\"frozen\"/>",
            self.prefix,
            above + 1
        ))
    }

    fn views(&mut self) -> Result<(), Stop> {
        let p = self.prefix.clone();
        self.text(&format!("<{p}sheetViews><{p}sheetView workbookViewId=\"0\">"))?;
        self.pane()?;
        self.text(&format!("</{p}sheetView></{p}sheetViews>"))
    }

    /// The block a filter covers: from the heading to the last row written, over all columns.
    fn filtered(&self) -> Area {
        Area {
            top: self.rows.heading_row,
            left: 1,
            bottom: self.rows.ends().1,
            right: self.last,
        }
    }

    fn filter(&mut self) -> Result<(), Stop> {
        let area = self.filtered();
        self.text(&format!("<{}autoFilter ref=\"{area}\"/>", self.prefix))
    }

    /// A filter of the sheet reaches over our columns too, where it stands on the heading.
    fn wider_filter(&mut self, raw: &[u8]) -> Result<(), Stop> {
        let last = self.last;
        let heading = self.rows.heading_row;
        let new = retag(raw, |name, value| {
            let area = (name == "ref").then(|| Area::parse(value))??;
            (area.top == heading).then(|| {
                Area {
                    right: area.right.max(last),
                    ..area
                }
                .to_string()
            })
        });
        self.raw(new.as_deref().unwrap_or(raw))
    }

    fn notes(&mut self) -> Result<(), Stop> {
        let Some(id) = self.dress.notes else { return Ok(()) };
        self.text(&format!(
            "<{}legacyDrawing xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\" r:id=\"{id}\"/>",
            self.prefix
        ))
    }

    fn dimension(&mut self, raw: &[u8]) -> Result<(), Stop> {
        let (top, bottom) = self.rows.ends();
        let ours = Area {
            top,
            left: self.first,
            bottom,
            right: self.last,
        };
        let new = retag(raw, |name, value| {
            (name == "ref").then(|| Area::parse(value).map(|area| area.join(ours).to_string()))?
        });
        self.raw(new.as_deref().unwrap_or(raw))
    }

    /// The widths of the sheet, those that lie over our columns cut back, and ours between them.
    fn widths(&mut self, old: &[Vec<u8>]) -> Result<(), Stop> {
        let mut before = Vec::new();
        let mut after = Vec::new();
        for raw in old {
            let (mut min, mut max) = (0, 0);
            let read = retag(raw, |name, value| {
                match name {
                    "min" => min = value.trim().parse().unwrap_or(0),
                    "max" => max = value.trim().parse().unwrap_or(0),
                    _ => {}
                }
                None
            });
            // A tag written out in full is closed elsewhere; the short form says the same.
            let short = |tag: Vec<u8>| -> Vec<u8> {
                if tag.ends_with(b"/>") {
                    return tag;
                }
                let mut tag = tag;
                tag.pop();
                tag.extend_from_slice(b"/>");
                tag
            };
            if read.is_none() || min == 0 || max < self.first || min > self.last {
                let list: &mut Vec<Vec<u8>> = if min > self.last { &mut after } else { &mut before };
                list.push(short(raw.clone()));
                continue;
            }
            let cut = |from: u32, to: u32, list: &mut Vec<Vec<u8>>| {
                let tag = retag(raw, |name, _| match name {
                    "min" => Some(from.to_string()),
                    "max" => Some(to.to_string()),
                    _ => None,
                });
                list.extend(tag.map(short));
            };
            if min < self.first {
                cut(min, self.first - 1, &mut before);
            }
            if max > self.last {
                cut(self.last + 1, max, &mut after);
            }
        }
        for tag in before {
            self.raw(&tag)?;
        }
        for (column, index) in self.rows.columns.iter().zip(self.first..) {
            let tag = format!(
                "<{}col min=\"{index}\" max=\"{index}\" width=\"{}\" customWidth=\"1\"/>",
                self.prefix,
                column.width()
            );
            self.text(&tag)?;
        }
        for tag in after {
            self.raw(&tag)?;
        }
        Ok(())
    }

    /// The rows before `row` that the sheet does not have.
    fn missing_rows(&mut self, row: u32) -> Result<(), Stop> {
        while let Some(&next) = self.waiting.front().filter(|next| **next < row) {
            self.waiting.pop_front();
            self.text(&format!("<{}row r=\"{next}\">", self.prefix))?;
            self.cells(next)?;
            self.text(&format!("</{}row>", self.prefix))?;
        }
        Ok(())
    }

    /// The opening tag of a row, its span of columns widened.
    fn row_start(&mut self, raw: &[u8], empty: bool) -> Result<(), Stop> {
        let last = self.last;
        let mut widened = false;
        let new = retag(raw, |name, value| {
            if name != "spans" {
                return None;
            }
            let (start, end) = value.trim().split_once(':')?;
            let end: u32 = end.parse().ok()?;
            widened = true;
            Some(format!("{start}:{}", end.max(last)))
        });
        let tag = match &new {
            Some(tag) if widened => tag,
            _ => raw,
        };
        if empty { self.opened(tag) } else { self.raw(tag) }
    }

    /// Our cells of a row.
    fn cells(&mut self, row: u32) -> Result<(), Stop> {
        let rows = self.rows;
        if row == rows.heading_row {
            for (column, at) in rows.columns.iter().zip(self.first..) {
                self.cell(
                    row,
                    at,
                    self.found.heading_style,
                    &CellOut::Text(column.heading.clone()),
                )?;
            }
            return Ok(());
        }
        for (index, cell) in rows.cells.get(&row).into_iter().flatten() {
            let column = self.first + u32::try_from(*index).unwrap_or(0);
            let style = match cell {
                CellOut::Number(_) => self.dress.styles.get(*index).copied().flatten(),
                _ => None,
            };
            self.cell(row, column, style, cell)?;
        }
        Ok(())
    }

    fn cell(&mut self, row: u32, column: u32, style: Option<u32>, cell: &CellOut) -> Result<(), Stop> {
        let p = self.prefix.clone();
        let place = format!("{}{row}", letters(column));
        let style = style.map(|style| format!(" s=\"{style}\"")).unwrap_or_default();
        let text = match cell {
            CellOut::Blank => return Ok(()),
            CellOut::Number(number) => format!(
                "<{p}c r=\"{place}\"{style}><{p}v>{}</{p}v></{p}c>",
                plain(fifteen(*number))
            ),
            CellOut::Text(text) => format!(
                "<{p}c r=\"{place}\"{style} t=\"inlineStr\"><{p}is><{p}t xml:space=\"preserve\">{}</{p}t></{p}is></{p}c>",
                escaped(text)
            ),
        };
        self.text(&text)
    }
}

/// Longest text of a cell.
const LONGEST_TEXT: usize = 32_767;

/// Text as it stands in XML. Characters that XML cannot hold are written the way this file format writes them, `_x0001_`.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut units = 0;
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        units += c.len_utf16();
        if units > LONGEST_TEXT - 1 && rest.chars().nth(1).is_some() {
            out.push('…');
            break;
        }
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\n' | '\t' => out.push(c),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push_str(&format!("_x{:04X}_", u32::from(c))),
            // What looks like such an escape is escaped itself.
            '_' if looks_escaped(rest) => out.push_str("_x005F_"),
            _ => out.push(c),
        }
        rest = rest.get(c.len_utf8()..).unwrap_or("");
    }
    out
}

fn looks_escaped(text: &str) -> bool {
    let mut bytes = text.bytes();
    bytes.next() == Some(b'_')
        && bytes.next() == Some(b'x')
        && bytes.by_ref().take(4).filter(u8::is_ascii_hexdigit).count() == 4
        && bytes.next() == Some(b'_')
}
