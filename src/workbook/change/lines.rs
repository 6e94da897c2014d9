//! Changes of statements and sheets as they stand.

use std::sync::Arc;

use super::{Change, Done, Place, Restore, is_structural, refused, typed};
use crate::fault::Fault;
use crate::language::syntax::Name;
use crate::workbook::text::{quoted, read};
use crate::workbook::{Indent, Line, Sheet, Statement};

fn not_there() -> Fault {
    refused("there is no such line", "look at the workbook again; it has changed")
}

impl Done<'_> {
    pub(super) fn line(&self, place: Place) -> Result<&Line, Fault> {
        match place {
            Place::Head(line) => self.book.head.get(line),
            Place::Opening(sheet) => self.book.sheets.get(sheet).map(|sheet| &sheet.opening),
            Place::Line(sheet, line) => self.book.sheets.get(sheet).and_then(|sheet| sheet.lines.get(line)),
        }
        .ok_or_else(not_there)
    }

    fn line_mut(&mut self, place: Place) -> Result<&mut Line, Fault> {
        match place {
            Place::Head(line) => self.book.head.get_mut(line),
            Place::Opening(sheet) => self.book.sheets.get_mut(sheet).map(|sheet| &mut sheet.opening),
            Place::Line(sheet, line) => self
                .book
                .sheets
                .get_mut(sheet)
                .and_then(|sheet| sheet.lines.get_mut(line)),
        }
        .ok_or_else(not_there)
    }

    fn settle_at(&mut self, place: Place) {
        self.settle(match place {
            Place::Line(sheet, _) => Some(sheet),
            Place::Head(_) | Place::Opening(_) => None,
        });
    }

    /// Puts a line in the place of another.
    pub(super) fn replace(&mut self, place: Place, line: Line) -> Result<(), Fault> {
        let held = self.line_mut(place)?;
        let old = std::mem::replace(held, line);
        let alone = crate::workbook::settle::same_together(&old, held);
        self.back.push(Change::Restore(Restore::Line(place, Box::new(old))));
        self.names_again(place);
        if !alone {
            self.settle_at(place);
        }
        if matches!(place, Place::Opening(_)) {
            self.settle(None);
        }
        Ok(())
    }

    /// What a sheet or workbook remembers of its opening and title lines.
    fn names_again(&mut self, place: Place) {
        match place {
            Place::Opening(sheet) => {
                if let Some(sheet) = self.book.sheets.get_mut(sheet) {
                    let (read, _) = crate::workbook::text::read_statement(&sheet.opening.text);
                    if let Some(opened) = read.opened {
                        // What still has to be looked at goes by the name of its sheet.
                        for name in self.unsettled.iter_mut().flatten().filter(|name| **name == sheet.name) {
                            *name = opened.name.clone();
                        }
                        sheet.name = opened.name;
                        sheet.title = opened.title;
                    }
                }
            }
            Place::Head(_) => {
                let title = self.book.head.iter().find_map(|line| match &line.statement {
                    Statement::Workbook(title) => Some(title.clone()),
                    _ => None,
                });
                self.book.title = title.unwrap_or_default();
            }
            Place::Line(sheet, line) => {
                let Some(sheet) = self.book.sheets.get_mut(sheet) else {
                    return;
                };
                let line = sheet
                    .lines
                    .get(line)
                    .filter(|line| matches!(line.statement, Statement::Rows));
                if let (Some(line), Some(rows)) = (line, &mut sheet.rows) {
                    let (_, columns) = crate::workbook::text::read_statement(&line.text);
                    if columns.len() == rows.columns.len() {
                        rows.columns = columns.into_iter().map(|(name, _)| name).collect();
                    }
                }
            }
        }
    }

    /// Puts a line before the one that stands there.
    pub(super) fn put(&mut self, place: Place, line: Line) -> Result<(), Fault> {
        match place {
            Place::Head(at) if at <= self.book.head.len() => self.book.head.insert(at, line),
            Place::Line(sheet, at) => {
                let sheet = self.book.sheets.get_mut(sheet).ok_or_else(not_there)?;
                if at > sheet.lines.len() {
                    return Err(not_there());
                }
                sheet.lines.insert(at, line);
            }
            _ => return Err(not_there()),
        }
        self.back.push(Change::DeleteLine { place });
        self.names_again(place);
        self.settle_at(place);
        Ok(())
    }

    pub(super) fn set_line(&mut self, place: Place, text: &str) -> Result<(), Fault> {
        let old = self.line(place)?;
        let line = typed(text, Some(old))?;
        if is_structural(old) || is_structural(&line) {
            return Err(refused(
                "the opening line of a sheet and the `rows` line are not typed anew",
                "rename, retitle, insert or take away the sheet or column instead",
            ));
        }
        self.replace(place, line)
    }

    pub(super) fn insert_line(&mut self, place: Place, before: &Arc<str>, text: &str) -> Result<(), Fault> {
        let mut line = typed(text, None)?;
        if is_structural(&line) {
            return Err(refused(
                "a sheet is not inserted as a line",
                "insert it as a sheet with its lines",
            ));
        }
        line.before = comments_only(before)?;
        if matches!(place, Place::Head(_)) {
            line.indent = Indent::NONE;
        }
        self.put(place, line)
    }

    pub(super) fn delete_line(&mut self, place: Place) -> Result<(), Fault> {
        if is_structural(self.line(place)?) {
            return Err(refused(
                "the opening line of a sheet and the `rows` line stay as long as the sheet",
                "take the whole sheet away",
            ));
        }
        let old = match place {
            Place::Head(at) => self.book.head.remove(at),
            Place::Line(sheet, at) => {
                let sheet = self.book.sheets.get_mut(sheet).ok_or_else(not_there)?;
                sheet.lines.remove(at)
            }
            Place::Opening(_) => return Err(not_there()),
        };
        self.back
            .push(Change::Restore(Restore::InsertLine(place, Box::new(old))));
        self.names_again(place);
        self.settle_at(place);
        Ok(())
    }

    pub(super) fn move_line(&mut self, place: Place, to: usize) -> Result<(), Fault> {
        if !crate::workbook::text::is_statement(&self.line(place)?.text) {
            return Err(refused(
                "this line cannot be read and is not moved",
                "put it right first",
            ));
        }
        let (lines, from, target) = match place {
            Place::Head(from) => (&mut self.book.head, from, Place::Head(to)),
            Place::Line(sheet, from) => {
                let sheet_at = self.book.sheets.get_mut(sheet).ok_or_else(not_there)?;
                (&mut sheet_at.lines, from, Place::Line(sheet, to))
            }
            Place::Opening(_) => return Err(not_there()),
        };
        if to >= lines.len() {
            return Err(not_there());
        }
        let line = lines.remove(from);
        lines.insert(to, line);
        self.back.push(Change::MoveLine {
            place: target,
            to: from,
        });
        self.settle_at(place);
        Ok(())
    }

    pub(super) fn set_comment(&mut self, place: Place, before: &Arc<str>) -> Result<(), Fault> {
        let before = comments_only(before)?;
        let mut line = self.line(place)?.clone();
        line.before = before;
        self.replace(place, line)
    }

    pub(super) fn insert_sheet(&mut self, at: usize, text: &str) -> Result<(), Fault> {
        // Read below a version line, so that the sheet's own lines are numbered from there.
        let read = read(&format!("polepair 1\n{}\n", text.trim_matches(['\n', '\r'])));
        if read.head.len() != 1 || read.sheets.is_empty() {
            return Err(refused(
                "the text does not begin with the line of a sheet or list",
                "begin it with `sheet NAME` or `list NAME`",
            ));
        }
        for (place, sheet) in read.sheets.iter().enumerate() {
            let same = |other: &Sheet| other.name == sheet.name;
            if self.book.sheets.iter().any(same) || read.sheets.iter().skip(place + 1).any(same) {
                return Err(refused(
                    format!("a sheet or list `{}` is there already", sheet.name),
                    "give the new one another name",
                ));
            }
        }
        let mut sheets = read.sheets;
        for sheet in &mut sheets {
            for line in std::iter::once(&mut sheet.opening).chain(&mut sheet.lines) {
                line.number = 0;
            }
            for row in sheet.rows.iter_mut().flat_map(|rows| &mut rows.rows) {
                row.number = 0;
            }
        }
        self.put_sheets(at, sheets)
    }

    pub(super) fn put_sheets(&mut self, at: usize, sheets: Vec<Sheet>) -> Result<(), Fault> {
        if at > self.book.sheets.len() {
            return Err(not_there());
        }
        self.back.push(Change::Restore(Restore::DeleteSheets(at, sheets.len())));
        self.book.sheets.splice(at..at, sheets);
        self.settle(None);
        Ok(())
    }

    pub(super) fn delete_sheets(&mut self, at: usize, count: usize) -> Result<(), Fault> {
        let end = at.saturating_add(count);
        if end > self.book.sheets.len() {
            return Err(not_there());
        }
        let sheets: Vec<Sheet> = self.book.sheets.drain(at..end).collect();
        self.back.push(Change::Restore(Restore::InsertSheets(at, sheets)));
        self.settle(None);
        Ok(())
    }

    pub(super) fn move_sheet(&mut self, name: &Name, to: usize) -> Result<(), Fault> {
        let from = self.sheet(name)?;
        if to >= self.book.sheets.len() {
            return Err(not_there());
        }
        let sheet = self.book.sheets.remove(from);
        self.book.sheets.insert(to, sheet);
        self.back.push(Change::MoveSheet {
            sheet: name.clone(),
            to: from,
        });
        self.settle(None);
        Ok(())
    }

    pub(super) fn set_title(&mut self, sheet: Option<&Name>, title: &str) -> Result<(), Fault> {
        let Some(name) = sheet else {
            let text = format!("workbook {}", quoted(title));
            let held = self
                .book
                .head
                .iter()
                .position(|line| matches!(line.statement, Statement::Workbook(_)));
            return match held {
                Some(at) => self.set_line(Place::Head(at), &text),
                None => {
                    let at = usize::from(matches!(
                        self.book.head.first().map(|line| &line.statement),
                        Some(Statement::Version(_))
                    ));
                    self.insert_line(Place::Head(at), &Arc::from(""), &text)
                }
            };
        };
        let at = self.sheet(name)?;
        let line = self.line(Place::Opening(at))?.clone();
        let end = line
            .text
            .find('"')
            .or_else(|| line.text.find('#'))
            .unwrap_or(line.text.len());
        let words = line.text.get(..end).unwrap_or("").trim_end();
        let rest = line.text.get(end..).unwrap_or("");
        let mut open = crate::workbook::text::Open::default();
        open.scan(rest);
        let comment = open.comment.and_then(|at| rest.get(at..)).unwrap_or("");
        let mut text = words.to_owned();
        if !title.is_empty() {
            text.push(' ');
            text.push_str(&quoted(title));
        }
        if !comment.is_empty() {
            text.push_str("  ");
            text.push_str(comment);
        }
        let line = typed(&text, Some(&line))?;
        self.replace(Place::Opening(at), line)
    }
}

/// Comment and blank lines, each with its line end.
fn comments_only(before: &str) -> Result<Arc<str>, Fault> {
    let fine = before.lines().all(|line| {
        let line = line.trim();
        line.is_empty() || line.starts_with('#')
    });
    if !fine {
        return Err(refused(
            "a comment line begins with `#`",
            "put `#` before each line of the comment",
        ));
    }
    Ok(if before.is_empty() || before.ends_with('\n') {
        before.into()
    } else {
        format!("{before}\n").into()
    })
}
