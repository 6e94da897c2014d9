//! Text to workbook.

use std::sync::Arc;

use super::lines::{ReadLine, read_line};
use super::rows::{Columns, read_row};
use super::split::{Open, TextLine, is_blank, lines};
use crate::fault::{Code, Fault, Span};
use crate::language::syntax::Name;
use crate::workbook::settle;
use crate::workbook::{Form, Indent, Line, Row, Rows, Sheet, Statement, Workbook};

/// Reads a workbook from the bytes of a file. There is always a workbook; bytes that are no text give one faulty line that
/// says where.
pub fn read_bytes(bytes: &[u8]) -> Workbook {
    match std::str::from_utf8(bytes) {
        Ok(text) if !text.contains('\0') => read(text),
        Ok(text) => not_text(text.as_bytes(), text.find('\0').unwrap_or(0), "a byte that no text has"),
        Err(error) => not_text(bytes, error.valid_up_to(), "a byte that is not UTF-8"),
    }
}

fn not_text(bytes: &[u8], at: usize, what: &str) -> Workbook {
    let before = bytes.get(..at).unwrap_or_default();
    let number = before.iter().filter(|byte| **byte == b'\n').count() + 1;
    let number = u32::try_from(number).unwrap_or(u32::MAX);
    let wide = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    let help = if wide {
        "the file is in UTF-16: save it as UTF-8"
    } else if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        "this is a table or archive file: an equipment list is read by `polepair import`, or by Read an equipment list in the window"
    } else {
        "a workbook is a plain text: save it as UTF-8 from the program it was written with"
    };
    let fault = Fault::new(
        Code::NOT_TEXT,
        Span::new(0, 0),
        format!("byte {} of the file, in line {number}, is {what}", at + 1),
    )
    .help(help);
    Workbook {
        head: vec![Line {
            before: Arc::from(""),
            text: Arc::from(""),
            number,
            indent: Indent::NONE,
            statement: Statement::Faulty,
            faults: vec![fault],
        }],
        ..Workbook::default()
    }
}

/// Reads the text of a workbook. There is always a workbook; faults ride in its lines and rows.
pub fn read(text: &str) -> Workbook {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let mut reader = Reader::default();
    let all: Vec<TextLine<'_>> = lines(text).collect();
    let mut rest = all.as_slice();
    while let Some((first, after)) = rest.split_first() {
        if first.is_silent() {
            reader.silent(first);
            rest = after;
            continue;
        }
        if reader.in_rows && !first.begins_statement() {
            reader.row(first);
            rest = after;
            continue;
        }
        rest = reader.statement(first, after);
    }
    reader.end()
}

/// A row as it stands, read when the whole sheet is known.
struct RawRow<'t> {
    before: Option<Arc<str>>,
    line: TextLine<'t>,
}

#[derive(Default)]
struct Reader<'t> {
    book: Workbook,
    sheet: Option<Sheet>,
    raw: Vec<RawRow<'t>>,
    in_rows: bool,
    before: String,
    seen_statement: bool,
}

impl<'t> Reader<'t> {
    /// A comment or blank line.
    fn silent(&mut self, line: &TextLine<'t>) {
        self.before.push_str(line.text);
        self.before.push('\n');
    }

    fn row(&mut self, line: &TextLine<'t>) {
        let before = if self.before.is_empty() {
            None
        } else {
            Some(Arc::from(std::mem::take(&mut self.before)))
        };
        self.raw.push(RawRow { before, line: *line });
    }

    /// Takes the lines of one statement and reads it; gives the lines after it.
    fn statement<'a>(&mut self, first: &TextLine<'t>, mut after: &'a [TextLine<'t>]) -> &'a [TextLine<'t>] {
        let content = first.content();
        let mut open = Open::default();
        open.scan(content);
        let mut text = content.to_owned();
        let mut unclosed = open.quote;
        // The line below `rows` is a row, whatever it begins with: its first cell may be blank or a negative number.
        let goes_on = super::split::first_word(content) != "rows";
        while goes_on && unclosed.is_none() {
            // Comments and blank lines belong to the statement only where it goes on behind them.
            let silent = match open.brackets {
                0 => 0,
                _ => after.iter().take_while(|line| line.is_silent()).count(),
            };
            let Some(next) = after.get(silent).filter(|next| !next.begins_statement()) else {
                break;
            };
            if open.brackets == 0 && (next.is_silent() || !next.goes_on()) {
                break;
            }
            let (taken, behind) = after.split_at(silent + 1);
            for next in taken {
                let start = text.len() + 1;
                open.scan(next.text);
                unclosed = unclosed.or(open.quote.map(|at| start + at));
                text.push('\n');
                text.push_str(next.text);
            }
            after = behind;
        }
        let read = read_line(text.trim_end_matches(is_blank), unclosed);
        let line = Line {
            before: Arc::from(std::mem::take(&mut self.before)),
            text: text.into(),
            number: first.number,
            indent: first.indent(),
            statement: Statement::Faulty,
            faults: Vec::new(),
        };
        self.place(line, read);
        after
    }

    fn place(&mut self, mut line: Line, read: ReadLine) {
        line.statement = read.statement;
        line.faults = read.faults;
        self.seen_statement = true;
        // Rows end with the first statement after them.
        self.in_rows = false;
        if let Some(opened) = read.opened {
            self.close();
            self.sheet = Some(Sheet {
                opening: line,
                name: opened.name,
                title: opened.title,
                form: if opened.list { Form::List } else { Form::Sheet },
                lines: Vec::new(),
                rows: None,
            });
            return;
        }
        let Some(sheet) = &mut self.sheet else {
            if let Statement::Workbook(title) = &line.statement {
                self.book.title = title.clone();
            }
            self.book.head.push(line);
            return;
        };
        let rows_line = super::split::first_word(&line.text) == "rows";
        if rows_line && sheet.form == Form::List && sheet.rows.is_none() {
            self.in_rows = true;
            sheet.rows = Some(Rows {
                columns: read.columns.iter().map(|(name, _)| name.clone()).collect(),
                rows: Vec::new(),
            });
        }
        sheet.lines.push(line);
    }

    /// Ends the sheet that is open: reads its rows, now that all its columns are known.
    fn close(&mut self) {
        self.in_rows = false;
        let raw = std::mem::take(&mut self.raw);
        let Some(mut sheet) = self.sheet.take() else { return };
        let mut columns = Columns::of(&sheet);
        if let Some(rows) = &mut sheet.rows {
            rows.rows = raw
                .into_iter()
                .map(|raw| Row {
                    before: raw.before,
                    number: raw.line.number,
                    indent: raw.line.indent(),
                    ..read_row(raw.line.content(), &mut columns)
                })
                .collect();
        }
        settle::sheet(&mut sheet);
        self.book.sheets.push(sheet);
    }

    fn end(mut self) -> Workbook {
        self.close();
        self.book.tail = Arc::from(self.before);
        if !self.seen_statement {
            self.book.head.push(Line {
                before: Arc::from(""),
                text: Arc::from(""),
                number: 1,
                indent: Indent::NONE,
                statement: Statement::Faulty,
                faults: Vec::new(),
            });
        }
        settle::workbook(&mut self.book);
        self.book
    }
}

/// Reads the text of one statement again, after a change.
pub(crate) fn read_statement(text: &str) -> (ReadLine, Vec<(Name, Span)>) {
    let mut open = Open::default();
    let mut at = 0;
    let mut unclosed = None;
    for part in text.split('\n') {
        open.scan(part);
        if unclosed.is_none() {
            unclosed = open.quote.map(|quote| at + quote);
        }
        at += part.len() + 1;
    }
    let mut read = read_line(text, unclosed);
    let columns = std::mem::take(&mut read.columns);
    (read, columns)
}

/// How many statements a text holds when it is split.
pub(crate) fn statements_of(text: &str) -> usize {
    let book = read(&format!("polepair 1\nsheet x\n{text}\n"));
    let first = book.sheets.first().map_or(0, |sheet| sheet.lines.len());
    first + book.sheets.len().saturating_sub(1)
}

/// Whether a text begins with a word that opens a sheet or names columns, even where the rest cannot be read.
pub(crate) fn opens(text: &str) -> bool {
    matches!(super::split::first_word(text), "sheet" | "list" | "rows")
}

/// Whether a text would be read as a statement below the rows of a list.
pub(crate) fn is_statement(text: &str) -> bool {
    TextLine { number: 0, text }.begins_statement()
}
