//! Renaming: every formula that reads a name, sheet, case or row number follows.
//!
//! Always: only the name itself is typed anew; the rest of each line stays byte for byte.

use std::sync::Arc;

use super::values::case_fault;
use super::{Change, Done, Place, line_of, refused};
use crate::fault::{Fault, Span};
use crate::language::syntax::statement::{Part, Sort, statement};
use crate::language::syntax::{Expr, Item, Name, Node, canonical_name};
use crate::workbook::settle::defines;
use crate::workbook::text::{formula, formula_texts, name_fault, quoted, read_statement};
use crate::workbook::{Cell, Line, Row, Statement, Workbook, formulas_of};

/// What is renamed.
pub(super) enum Wish<'w> {
    /// A quantity, curve or definition of a sheet, or of the head.
    Name {
        sheet: Option<usize>,
        from: &'w str,
        to: &'w str,
    },
    /// A sheet or list.
    Sheet { from: &'w str, to: &'w str },
    /// A case of a sheet.
    Case { sheet: &'w str, from: &'w str, to: &'w str },
    /// Row numbers of a list, and what names its rows by their keys.
    Rows {
        list: &'w str,
        /// The number that a row has then; none where it is gone.
        to: &'w dyn Fn(usize) -> Option<usize>,
        /// What names the row of a key then, where that is something else.
        called: &'w dyn Fn(&str) -> Option<Item>,
    },
}

/// A line typed anew by a person. Where it gives its quantity, curve or definition another name, every formula that reads the name
/// follows.
pub fn retyped(sheet: Option<&Name>, place: Place, was: &str, text: &str) -> Vec<Change> {
    let renames = named(was).zip(named(text)).filter(|(from, to)| from != to);
    let rename = renames.map(|(from, to)| Change::Rename {
        sheet: sheet.cloned(),
        from,
        to,
    });
    let text = text.into();
    rename.into_iter().chain([Change::SetLine { place, text }]).collect()
}

/// Why a line cannot be called as it is typed, at its name; `was`: what it was before, empty for a new line; `sheet`: none in the
/// head. As far as the lines of the workbook say.
pub fn retyped_fault(book: &Workbook, sheet: Option<usize>, was: &str, text: &str) -> Option<Fault> {
    let to = named(text)?;
    let mut fault = match named(was) {
        Some(from) if from == to => None,
        Some(from) => rename_fault(book, sheet, &from, &to),
        None => is_taken(book, sheet, &to).then(|| taken(&to)),
    }?;
    let (_, pieces) = statement(text).ok()?;
    fault.span = pieces.iter().find(|piece| piece.part == Part::Name)?.span;
    Some(fault)
}

/// The name that a line gives to its quantity, curve or definition.
fn named(line: &str) -> Option<Name> {
    let (line, _) = read_statement(line);
    defines(&line.statement).cloned()
}

/// A piece of text and what it becomes.
struct Edit {
    span: Span,
    text: String,
}

/// Where a formula stands.
struct Context<'c> {
    book: &'c Workbook,
    /// The sheet that asks; `None` in the head.
    asks: Option<usize>,
}

impl Done<'_> {
    pub(super) fn rename(&mut self, sheet: Option<&Name>, from: &Name, to: &Name) -> Result<(), Fault> {
        let index = sheet.map(|sheet| self.sheet(sheet)).transpose()?;
        let to_name = canonical_name(to);
        if let Some(fault) = name_fault(to) {
            return Err(fault);
        }
        if !is_taken(self.book, index, from) {
            return Err(refused(
                format!("there is no `{from}` here"),
                "look at the names of the sheet",
            ));
        }
        if is_taken(self.book, index, &to_name) {
            return Err(taken(to));
        }
        self.rewrite(&Wish::Name {
            sheet: index,
            from,
            to: &to_name,
        })
    }

    pub(super) fn rename_sheet(&mut self, from: &Name, to: &Name) -> Result<(), Fault> {
        self.sheet(from)?;
        let to_name = canonical_name(to);
        if let Some(fault) = name_fault(to) {
            return Err(fault);
        }
        if self.sheet(&to_name).is_ok() {
            return Err(refused(format!("the name `{to}` is taken"), "choose another one"));
        }
        self.rewrite(&Wish::Sheet { from, to: &to_name })
    }

    pub(super) fn rename_case(&mut self, sheet: &Name, case: usize, to: &Arc<str>) -> Result<(), Fault> {
        let index = self.sheet(sheet)?;
        let found = self.cases(index);
        let Some((line, mut names)) = found.filter(|(_, names)| case < names.len()) else {
            return Err(refused(
                format!("the sheet has no case {}", case + 1),
                "cases are named in the line `cases`",
            ));
        };
        if let Some(fault) = case_fault(to, &names) {
            return Err(fault);
        }
        let from = names.get(case).cloned().unwrap_or_default();
        if let Some(name) = names.get_mut(case) {
            *name = to.clone();
        }
        self.rewrite(&Wish::Case { sheet, from: &from, to })?;
        self.set_cases(index, line, &names)
    }

    /// Types anew whatever the wish reaches.
    pub(super) fn rewrite(&mut self, wish: &Wish<'_>) -> Result<(), Fault> {
        let Rewritten { lines, rows } = rewritten(self.book, wish)?;
        for (place, line) in lines {
            self.replace(place, line)?;
        }
        for (list, at, row) in rows {
            self.replace_row(list, at, row)?;
        }
        Ok(())
    }
}

/// The lines and rows that become others: list, row.
pub(super) struct Rewritten {
    lines: Vec<(Place, Line)>,
    rows: Vec<(usize, usize, Row)>,
}

/// Why a name of a sheet, or of the head, cannot become another one, as far as the lines of the workbook say: a line reads something else by it where
/// the old one is read. Formulas in rows are looked at when it is done.
pub fn rename_fault(book: &Workbook, sheet: Option<usize>, from: &str, to: &str) -> Option<Fault> {
    let to = canonical_name(to);
    if is_taken(book, sheet, &to) {
        return Some(taken(&to));
    }
    lines_rewritten(book, &Wish::Name { sheet, from, to: &to }).err()
}

/// Whatever a wish reaches, as it becomes.
pub(super) fn rewritten(book: &Workbook, wish: &Wish<'_>) -> Result<Rewritten, Fault> {
    let lines = lines_rewritten(book, wish)?;
    let mut rows: Vec<(usize, usize, Row)> = Vec::new();
    for (index, sheet) in book.sheets.iter().enumerate() {
        let context = Context {
            book,
            asks: Some(index),
        };
        for (at, row) in sheet.rows.iter().flat_map(|rows| &rows.rows).enumerate() {
            rows.extend(context.row(row, wish)?.map(|row| (index, at, row)));
        }
    }
    Ok(Rewritten { lines, rows })
}

/// The lines that a wish reaches, as they become.
fn lines_rewritten(book: &Workbook, wish: &Wish<'_>) -> Result<Vec<(Place, Line)>, Fault> {
    let mut lines: Vec<(Place, Line)> = Vec::new();
    let head = Context { book, asks: None };
    for (at, line) in book.head.iter().enumerate() {
        lines.extend(head.line(line, wish)?.map(|line| (Place::Head(at), line)));
    }
    for (index, sheet) in book.sheets.iter().enumerate() {
        let context = Context {
            book,
            asks: Some(index),
        };
        let opening = context.line(&sheet.opening, wish)?;
        lines.extend(opening.map(|line| (Place::Opening(index), line)));
        for (at, line) in sheet.lines.iter().enumerate() {
            lines.extend(context.line(line, wish)?.map(|line| (Place::Line(index, at), line)));
        }
    }
    Ok(lines)
}

/// Whether a line of the workbook names a row of a list by this key.
pub(super) fn names_row(book: &Workbook, list: usize, key: &str) -> bool {
    let Some(sheet) = book.sheets.get(list) else {
        return false;
    };
    let is = |item: &Item| matches!(item, Item::Key(known) if **known == *key);
    fn reads(tree: &Expr, list: &str, is: &dyn Fn(&Item) -> bool) -> bool {
        let far = matches!(&tree.node, Node::Far { sheet, item, .. } if **sheet == *list && is(item));
        far || tree.parts().iter().any(|part| reads(part, list, is))
    }
    let by_at = |line: &Line| matches!(&line.statement, Statement::At { item, .. } if is(item));
    let lines = book.sheets.iter().flat_map(|sheet| &sheet.lines);
    let mut formulas = lines.chain(&book.head).flat_map(|line| formulas_of(&line.statement));
    sheet.lines.iter().any(by_at) || formulas.any(|formula| reads(&formula.tree, &sheet.name, &is))
}

impl Context<'_> {
    fn sheet_named(&self, name: &str) -> Option<usize> {
        self.book.sheets.iter().position(|sheet| *sheet.name == *name)
    }

    fn has(&self, sheet: Option<usize>, name: &str) -> bool {
        match sheet {
            Some(sheet) => self
                .book
                .sheets
                .get(sheet)
                .is_some_and(|sheet| line_of(sheet, name).is_some()),
            None => false,
        }
    }

    /// The line as it becomes, where anything of it changes.
    fn line(&self, line: &Line, wish: &Wish<'_>) -> Result<Option<Line>, Fault> {
        let mut edits = Vec::new();
        self.words(line, wish, &mut edits)?;
        let mut bound: Vec<Name> = Vec::new();
        match &line.statement {
            Statement::Curve { parameter, .. } => bound.push(parameter.clone()),
            Statement::Define { parameters, .. } => bound.extend(parameters.iter().map(|(name, _)| name.clone())),
            _ => {}
        }
        let drawn = match &line.statement {
            Statement::Plot { curves, .. } => curves.len(),
            _ => 0,
        };
        for (place, part) in formulas_of(&line.statement).into_iter().enumerate() {
            let plain = bound.len();
            if place < drawn
                && let Statement::Plot { variable, .. } = &line.statement
            {
                bound.push(variable.clone());
            }
            let mut own = Vec::new();
            self.formula(&part.tree, &part.text, wish, None, &mut bound, &mut own)?;
            bound.truncate(plain);
            edits.extend(own.into_iter().map(|edit| Edit {
                span: edit.span.shifted(part.at),
                text: edit.text,
            }));
        }
        if edits.is_empty() {
            return Ok(None);
        }
        let text = edited(&line.text, edits);
        let (read, _) = read_statement(&text);
        Ok(Some(Line {
            before: line.before.clone(),
            text: text.into(),
            number: line.number,
            indent: line.indent.clone(),
            statement: read.statement,
            faults: read.faults,
        }))
    }

    /// Names, sheets, cases and rows that stand in a line outside of formulas.
    fn words(&self, line: &Line, wish: &Wish<'_>, edits: &mut Vec<Edit>) -> Result<(), Fault> {
        let Ok((sort, pieces)) = statement(&line.text) else {
            return Ok(());
        };
        let names: Vec<(Span, Name)> = pieces
            .iter()
            .filter(|piece| piece.part == Part::Name)
            .map(|piece| {
                (
                    piece.span,
                    Name::from(canonical_name(piece.span.of(&line.text)).as_ref()),
                )
            })
            .collect();
        let mut put = |span: Span, text: &str| {
            edits.push(Edit {
                span,
                text: text.to_owned(),
            });
        };
        match (wish, sort) {
            (
                Wish::Name { sheet, from, to },
                Sort::Quantity | Sort::Curve | Sort::Define | Sort::At | Sort::CasesOver | Sort::Rows,
            ) if *sheet == self.asks => {
                let own = if sort == Sort::Rows { names.len() } else { 1 };
                for (span, name) in names.iter().take(own) {
                    if **name == **from {
                        put(*span, to);
                    }
                }
            }
            (Wish::Name { sheet, from, to }, Sort::Opening) => {
                if let [_, (_, list), (span, by)] = names.as_slice()
                    && sheet.is_some()
                    && self.sheet_named(list) == *sheet
                    && **by == **from
                {
                    put(*span, to);
                }
                if let [_, _, (span, by)] = names.as_slice()
                    && *sheet == self.asks
                    && **by == **from
                    && edits.is_empty()
                {
                    edits.push(Edit {
                        span: *span,
                        text: (*to).to_owned(),
                    });
                }
            }
            (Wish::Sheet { from, to }, Sort::Opening) => {
                for (span, name) in names.iter().take(2) {
                    if **name == **from {
                        put(*span, to);
                    }
                }
            }
            (Wish::Rows { list, to, called }, Sort::At)
                if self.asks.is_some() && self.sheet_named(list) == self.asks =>
            {
                let Statement::At { item, .. } = &line.statement else {
                    return Ok(());
                };
                let span_of = |part: Part| pieces.iter().find(|piece| piece.part == part).map(|piece| piece.span);
                match (item, span_of(Part::Count), span_of(Part::Text)) {
                    (Item::Row(row), Some(span), _) => {
                        let row = *row as usize;
                        match to(row) {
                            Some(new) if new != row => put(span, &new.to_string()),
                            Some(_) => {}
                            None => return Err(read_by_number(row)),
                        }
                    }
                    (Item::Key(key), _, Some(span)) => {
                        if let Some(item) = called(key) {
                            put(span, &item_text(&item));
                        }
                    }
                    _ => {}
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// The row as it becomes, where a formula in it changes.
    fn row(&self, row: &Row, wish: &Wish<'_>) -> Result<Option<Row>, Fault> {
        let mut new: Option<Row> = None;
        let mut whole: Vec<Edit> = Vec::new();
        for (place, cell) in row.cells.iter().enumerate() {
            let Cell::Formula(old) = cell else { continue };
            let mut edits = Vec::new();
            self.formula(&old.tree, &old.text, wish, None, &mut Vec::new(), &mut edits)?;
            if edits.is_empty() {
                continue;
            }
            whole.extend(edits.iter().map(|edit| Edit {
                span: edit.span.shifted(old.at),
                text: edit.text.clone(),
            }));
            let (cell, _) = formula(&edited(&old.text, edits), old.at);
            let new = new.get_or_insert_with(|| row.clone());
            if let Some(held) = new.cells.get_mut(place) {
                *held = Cell::Formula(Box::new(cell));
            }
        }
        let Some(mut new) = new else { return Ok(None) };
        if let (Some(text), Some(at)) = (&row.faulty, self.asks) {
            // A faulty row is kept as typed: the name changes in its text, and it is read again.
            let text = edited(text, whole);
            let sheet = self.book.sheets.get(at);
            if let Some(sheet) = sheet {
                new = Row {
                    before: row.before.clone(),
                    number: row.number,
                    indent: row.indent.clone(),
                    ..formula_texts(&text, sheet)
                };
            }
        }
        Ok(Some(new))
    }

    /// Whether a name means the same after it is renamed, where it stands: neither is the new name bound to something else there, nor is
    /// something else meant by it.
    fn stays_itself(
        &self,
        name: &Name,
        is_own: bool,
        wish: &Wish<'_>,
        (over, bound): (Option<usize>, &[Name]),
        text: &str,
    ) -> Result<(), Fault> {
        let Wish::Name { sheet, from, to } = wish else {
            return Ok(());
        };
        let is_bound = bound.iter().any(|bound| **bound == **to);
        let asked = [over, self.asks].into_iter().flatten();
        let owner = |is_owner: &dyn Fn(usize) -> bool| asked.clone().find(|at| is_owner(*at));
        let then = owner(&|at| Some(at) == *sheet || self.has(Some(at), to));
        let said = if is_own && (is_bound || then != *sheet) {
            format!("`{text}` reads `{from}`, and `{to}` means something else there")
        } else if !is_own && **name == **to && !is_bound && over.is_some() && over != *sheet && self.asks == *sheet {
            // A name of the list that the asking sheet has too is told as a fault.
            format!("`{text}` reads the `{to}` of another list")
        } else if !is_own && **name == **to && !is_bound && then == *sheet {
            let now = owner(&|at| self.has(Some(at), to));
            if now == *sheet || now.is_none() && !head_has(self.book, to) {
                return Ok(());
            }
            format!("`{text}` reads another `{to}` already")
        } else {
            return Ok(());
        };
        Err(refused(said, "choose another name"))
    }

    /// What changes in a formula. `over`: the list of the innermost aggregate.
    fn formula(
        &self,
        expr: &Expr,
        text: &str,
        wish: &Wish<'_>,
        over: Option<usize>,
        bound: &mut Vec<Name>,
        edits: &mut Vec<Edit>,
    ) -> Result<(), Fault> {
        let own = |name: &Name, bound: &[Name]| match wish {
            Wish::Name { sheet, from, .. } if **name == **from && !bound.contains(name) => {
                let owner = [over, self.asks]
                    .into_iter()
                    .flatten()
                    .find(|at| self.has(Some(*at), name));
                owner == *sheet
            }
            _ => false,
        };
        let to = match wish {
            Wish::Name { to, .. } | Wish::Sheet { to, .. } | Wish::Case { to, .. } => *to,
            Wish::Rows { .. } => "",
        };
        if let Node::Name(name) | Node::Call { name, .. } = &expr.node {
            self.stays_itself(name, own(name, bound), wish, (over, bound), text)?;
        }
        match &expr.node {
            Node::Name(name) if own(name, bound) => word(expr.span, text, name, false, to, edits),
            Node::Here(name) => {
                if let Wish::Name { sheet, from, .. } = wish
                    && **name == **from
                    && sheet.is_some()
                    && self.asks == *sheet
                {
                    word(expr.span, text, name, true, to, edits);
                }
            }
            Node::Call { name, name_span, .. } if own(name, bound) && *name_span != expr.span => {
                word(*name_span, text, name, false, to, edits);
            }
            Node::Far { sheet, item, name } => {
                let at = self.sheet_named(sheet);
                match wish {
                    Wish::Name { sheet: of, from, .. } if at.is_some() && at == *of && **name == **from => {
                        word(expr.span, text, name, true, to, edits);
                    }
                    Wish::Sheet { from, .. } if **sheet == **from => word(expr.span, text, sheet, false, to, edits),
                    Wish::Case { sheet: of, from, .. } if **sheet == **of => {
                        if let Item::Key(key) = item
                            && **key == **from
                        {
                            key_text(expr.span, text, to, edits);
                        }
                    }
                    Wish::Rows { list, to, called } if **sheet == **list => match item {
                        Item::Row(row) => {
                            let row = *row as usize;
                            match to(row) {
                                Some(new) if new != row => row_number(expr.span, text, new, edits),
                                Some(_) => {}
                                None => return Err(read_by_number(row)),
                            }
                        }
                        Item::Key(key) => {
                            if let Some(item) = called(key) {
                                in_quotes(expr.span, text, item_text(&item), edits);
                            }
                        }
                        Item::Same => {}
                    },
                    _ => {}
                }
            }
            _ => {}
        }
        match &expr.node {
            Node::Aggregate {
                value,
                list,
                list_span,
                along,
                condition,
                ..
            } => {
                if let Wish::Sheet { from, .. } = wish
                    && **list == **from
                {
                    word(*list_span, text, list, false, to, edits);
                }
                let asking = over;
                let over = self.sheet_named(list);
                if let Some(along) = along {
                    // A bare name before the equation is the list's; a published table cannot be renamed.
                    if over.is_some() || !matches!(along.0.node, Node::Name(_)) {
                        self.formula(&along.0, text, wish, over, bound, edits)?;
                    }
                    self.formula(&along.1, text, wish, asking, bound, edits)?;
                }
                for part in value.as_deref().into_iter().chain(condition.as_deref()) {
                    self.formula(part, text, wish, over, bound, edits)?;
                }
            }
            Node::Integral {
                value,
                variable,
                from,
                to,
            } => {
                bound.push(variable.clone());
                self.formula(value, text, wish, over, bound, edits)?;
                bound.pop();
                self.formula(from, text, wish, over, bound, edits)?;
                self.formula(to, text, wish, over, bound, edits)?;
            }
            _ => {
                for part in expr.parts() {
                    self.formula(part, text, wish, over, bound, edits)?;
                }
            }
        }
        Ok(())
    }
}

/// Whether a sheet, or the head, has a line of a name.
fn is_taken(book: &Workbook, sheet: Option<usize>, name: &str) -> bool {
    match sheet {
        Some(at) => book.sheets.get(at).is_some_and(|sheet| line_of(sheet, name).is_some()),
        None => head_has(book, name),
    }
}

/// Whether a line of the head defines a name.
fn head_has(book: &Workbook, name: &str) -> bool {
    book.head
        .iter()
        .any(|line| defines(&line.statement).is_some_and(|known| **known == *name))
}

fn taken(to: &str) -> Fault {
    refused(format!("the name `{to}` is taken"), "choose another one")
}

fn read_by_number(row: usize) -> Fault {
    refused(
        format!("row {row} is read by its number and cannot be taken away"),
        "change the formula or `at` line that reads it first",
    )
}

/// The text with the edits made, from the right to the left.
fn edited(text: &str, mut edits: Vec<Edit>) -> String {
    edits.sort_by_key(|edit| std::cmp::Reverse(edit.span));
    edits.dedup_by_key(|edit| edit.span);
    let mut out = text.to_owned();
    for edit in edits {
        let range = edit.span.start as usize..edit.span.end as usize;
        if out.get(range.clone()).is_some() {
            out.replace_range(range, &edit.text);
        }
    }
    out
}

/// The place of a name inside a wider place (brackets may stand around it): the first such word, or the last.
fn word(wide: Span, text: &str, name: &str, last: bool, to: &str, edits: &mut Vec<Edit>) {
    let mut found = None;
    let mut start = None;
    let part = wide.of(text);
    let mut quoted = false;
    for (at, letter) in part.char_indices().chain([(part.len(), ' ')]) {
        if letter == '"' {
            quoted = !quoted;
        }
        let of_word = letter.is_alphanumeric() || matches!(letter, '_' | '′');
        match (start, of_word) {
            (None, true) if !quoted => start = Some(at),
            (Some(from), false) => {
                start = None;
                if canonical_name(part.get(from..at).unwrap_or("")) == name && (last || found.is_none()) {
                    found = Some((from, at));
                }
            }
            _ => {}
        }
    }
    if let Some((from, end)) = found {
        edits.push(Edit {
            span: Span::new(wide.start as usize + from, wide.start as usize + end),
            text: to.to_owned(),
        });
    }
}

/// Another name in the place of the text in quotes.
fn key_text(wide: Span, text: &str, to: &str, edits: &mut Vec<Edit>) {
    in_quotes(wide, text, quoted(to), edits);
}

/// Another text in the place of the text in quotes inside a place, and of the quotes.
fn in_quotes(wide: Span, text: &str, to: String, edits: &mut Vec<Edit>) {
    let part = wide.of(text);
    let (Some(from), Some(end)) = (part.find('"'), part.rfind('"')) else {
        return;
    };
    edits.push(Edit {
        span: Span::new(wide.start as usize + from, wide.start as usize + end + 1),
        text: to,
    });
}

/// What names an item, as typed.
fn item_text(item: &Item) -> String {
    match item {
        Item::Key(key) => quoted(key),
        Item::Row(row) => format!("row {row}"),
        Item::Same => String::new(),
    }
}

/// The number behind `row` inside a place.
fn row_number(wide: Span, text: &str, to: usize, edits: &mut Vec<Edit>) {
    let part = wide.of(text);
    let Some(row) = part.find("row").map(|at| at + 3) else {
        return;
    };
    let Some(from) = part
        .get(row..)
        .and_then(|rest| rest.find(|sign: char| sign.is_ascii_digit()))
    else {
        return;
    };
    let from = row + from;
    let rest = part.get(from..).unwrap_or("");
    let length = rest.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(rest.len());
    edits.push(Edit {
        span: Span::new(wide.start as usize + from, wide.start as usize + from + length),
        text: to.to_string(),
    });
}
