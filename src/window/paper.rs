//! Lines as they are written on paper and in letters: `P = 7.5 kW`, `Rated power: 7.5 kW`, columns with blanks or semicolons between.
//!
//! Always: what is told apart is a symbol or words at the left and a value or a formula at the right. What is not clearly so stays what it
//! was typed as.
//! Not known here: the clipboard, the screen.

use std::borrow::Cow;
use std::sync::Arc;

use super::copied::Lines;
use super::pasted::{self, Made};
use super::spot::{Field, Fresh, NEW, Seen, Spot, bare_with, fresh, is_value};
use super::table::heading;
use super::whole::{Stands, of_language};
use crate::fault::Fault;
use crate::language::syntax::{self, Node};
use crate::workbook::change::{Change, Place};
use crate::workbook::text::{name_fault, opens, quoted, read_statement};
use crate::workbook::{Form, Role, Statement};

/// A line of paper.
#[derive(Clone, Debug, PartialEq)]
struct Paper<'t> {
    symbol: Option<&'t str>,
    words: String,
    /// Value or formula, perhaps with more parts of a line.
    rest: &'t str,
    /// A unit that stands in brackets beside the words.
    unit: Option<String>,
}

/// A formula without the sign that other programs want before it.
pub fn without_sign(text: &str) -> &str {
    match text.trim_start().strip_prefix('=') {
        Some(rest) if !rest.trim().is_empty() => rest.trim_start(),
        _ => text,
    }
}

/// A size with the sign of inches, which begins a text in the language, with the word for it.
pub fn in_inches(text: &str) -> Cow<'_, str> {
    let bare = text.trim();
    let number = bare.strip_suffix(['"', '″', '”']).map(str::trim_end);
    let is_size = |number: &&str| {
        let sizes = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | '-' | ' ');
        starts_as_number(number)
            && number.contains(|letter: char| letter.is_ascii_digit())
            && number.trim_start_matches(['-', '−', '+', '±']).chars().all(sizes)
    };
    match number.filter(is_size) {
        Some(number) => Cow::Owned(format!("{number} inch")),
        None => Cow::Borrowed(text),
    }
}

/// The two sides of the first `=` that is no part of another sign.
fn sides(text: &str) -> Option<(&str, &str)> {
    let at = text.find('=')?;
    let (left, rest) = text.split_at_checked(at)?;
    let rest = rest.strip_prefix('=')?;
    let is_part = left.ends_with(['<', '>', '!', ':', '≤', '≥', '≠']) || rest.starts_with('=');
    let (left, rest) = (left.trim(), rest.trim());
    (!is_part && !rest.is_empty()).then_some((left, rest))
}

/// Whether words may stand at the left: no formula.
fn are_words(text: &str) -> bool {
    let begins = text.chars().next().is_some_and(char::is_alphabetic);
    begins && !text.contains(['*', '+', '^', '"', '|', '<', '>', '=', '?', '!', ';'])
}

/// Parts of a text with two or more blanks between them.
fn parts(text: &str) -> Vec<&str> {
    text.split("  ")
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}

fn may_be_symbol(word: &str) -> bool {
    name_fault(word).is_none()
}

/// Whether a text alone is a symbol and no word: one letter, or one with an index or a number.
fn is_symbol_alone(text: &str) -> bool {
    text.chars().count() == 1 || text.contains('_') || text.ends_with(|last: char| last.is_ascii_digit())
}

/// Whether a word behind others is a symbol and none of them: one letter, perhaps with an index.
fn is_short_symbol(word: &str) -> bool {
    let (letter, index) = word.split_once('_').unwrap_or((word, ""));
    letter.chars().count() == 1 && index.chars().count() <= 4 && may_be_symbol(word)
}

/// Several lines of paper in one: parted by semicolons, by two or more blanks, by commas; `None` where a part is none.
fn several(text: &str) -> Option<Vec<&str>> {
    let whole = |part: &&str| on_paper(part, false).is_some_and(|paper| paper.symbol.is_some() && is_whole(paper.rest));
    let by = |sign: &str| {
        let parts: Vec<&str> = text
            .split(sign)
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .collect();
        (parts.len() > 1 && parts.iter().all(whole)).then_some(parts)
    };
    by(";").or_else(|| by("  ")).or_else(|| by(", "))
}

/// Whether no bracket is left open, or closed before it was opened.
fn is_whole(text: &str) -> bool {
    let depth = text.chars().try_fold(0_i32, |depth, letter| match letter {
        '(' | '[' => Some(depth + 1),
        ')' | ']' => (depth > 0).then_some(depth - 1),
        _ => Some(depth),
    });
    depth == Some(0)
}

/// A line that names what it gives; `None` for every other text. `colon`: words may end with one.
fn on_paper(text: &str, colon: bool) -> Option<Paper<'_>> {
    let by_colon = || {
        let (left, rest) = text.split_once(':').filter(|_| colon)?;
        let rest = rest.trim();
        // `Gear 1:20` is a ratio.
        let apart = !left.ends_with(|last: char| last.is_ascii_digit()) || text.contains(": ");
        (apart && is_value(rest) && starts_as_number(rest)).then_some((left.trim(), rest))
    };
    let (left, rest) = sides(text).or_else(by_colon)?;
    if !are_words(left) {
        return None;
    }
    let (left, unit) = heading(left);
    let reads = |symbol: &str| text.get(..text.find(symbol)? + symbol.len())?.rsplit(' ').next();
    let parts = parts(&left);
    let (words, symbol) = match parts.as_slice() {
        [one] if may_be_symbol(one) => ("", reads(one)),
        [one] => match one.rsplit_once(' ').filter(|(_, last)| is_short_symbol(last)) {
            Some((words, symbol)) => (words.trim_end(), reads(symbol)),
            None => (*one, None),
        },
        [words, symbol] if may_be_symbol(symbol) => (*words, reads(symbol)),
        _ => return None,
    };
    Some(Paper {
        symbol: symbol.filter(|symbol| may_be_symbol(symbol)),
        words: words.to_owned(),
        rest,
        unit,
    })
}

fn starts_as_number(text: &str) -> bool {
    text.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '-' | '−' | '+' | '±'))
}

/// Whether a name stands for none yet: `x`, `x_2`.
fn is_of_nobody(name: &str) -> bool {
    let number = name.strip_prefix("x_");
    name == "x" || number.is_some_and(|number| number.parse::<u32>().is_ok())
}

/// Whether a text gives something by itself: a value, or more than one name.
fn gives(text: &str) -> bool {
    let (tree, faults) = syntax::parse(text);
    let works = !faults.iter().any(Fault::is_error) && !matches!(tree.node, Node::Name(_));
    is_value(text) || works
}

impl Paper<'_> {
    fn value(&self) -> String {
        let with = self.unit.as_deref().and_then(|unit| bare_with(self.rest, unit));
        with.unwrap_or_else(|| self.rest.to_owned())
    }

    /// The line of the language under a name. `also`: names that are made with it.
    fn line(&self, seen: Seen<'_>, name: &str, also: &[Arc<str>]) -> Result<String, String> {
        let value = self.value();
        if self.words.is_empty() {
            let line = |role: &str| format!("{role} {name} = {value}");
            let (read, _) = read_statement(&line("given"));
            if let Statement::Quantity(quantity) = &read.statement
                && *quantity.name == *name
                && !quantity.values.is_empty()
                && !read.faults.iter().any(Fault::is_error)
            {
                let mut trees = quantity.values.iter().flatten();
                let works = trees.any(|formula| seen.reads_any(&formula.tree, also));
                return Ok(line(if works { "work" } else { "given" }));
            }
        }
        let fresh = Fresh {
            name: name.into(),
            title: self.words.clone(),
            values: vec![value],
            alone: true,
            ..Fresh::default()
        };
        seen.made(&fresh, also)
    }
}

impl Seen<'_> {
    pub(super) fn is_taken(&self, name: &str) -> bool {
        self.results.quantities.iter().any(|known| *known.name == *name)
    }

    /// Whether a line is to be given a value and has none yet.
    pub(super) fn is_without_value(&self, spot: Spot) -> bool {
        let quantity = self.quantity(spot.quantity);
        let inputs = quantity.and_then(|quantity| self.inputs(&quantity.name));
        inputs.is_some_and(|inputs| inputs.role == Role::Given && inputs.values.iter().all(Option::is_none))
    }

    /// Where the value begins in a text that repeats the symbol of its place: `P = 7.5 kW` typed as the value of P.
    pub fn repeats(&self, spot: Spot, text: &str) -> Option<usize> {
        let quantity = self.quantity(spot.quantity)?;
        let is_value = matches!(spot.field, Field::Value(_) | Field::Formula);
        let (left, rest) = sides(text).filter(|_| is_value && self.sheet.form == Form::Sheet)?;
        let begins = text.trim_end().len().checked_sub(rest.len());
        begins.filter(|_| *left == *quantity.name)
    }

    /// The same of several in one text, each a line of its own.
    fn whole_lines(&self, parts: &[&str]) -> Result<Vec<Change>, String> {
        let papers: Vec<Paper<'_>> = parts.iter().filter_map(|part| on_paper(part, false)).collect();
        let names: Vec<Arc<str>> = papers.iter().filter_map(|paper| paper.symbol).map(Arc::from).collect();
        for (at, name) in names.iter().enumerate() {
            if self.is_taken(name) || names.iter().take(at).any(|before| before == name) {
                return Err(format!("There is a quantity {name} already."));
            }
        }
        let lines = papers.iter().zip(&names).enumerate();
        lines
            .map(|(number, (paper, name))| {
                Ok(Change::InsertLine {
                    place: Place::Line(self.at, self.sheet.lines.len() + number),
                    before: "".into(),
                    text: paper.line(*self, name, &names)?.into(),
                })
            })
            .collect()
    }

    /// Where the value begins, and the value, in a text that names what it gives: `P_2 = 3 * P`, in a line that is still to be made or has
    /// no value yet.
    pub fn behind_symbol<'t>(&self, spot: Spot, text: &'t str) -> Option<(usize, &'t str)> {
        let is_free = self.sheet.form == Form::Sheet && (spot.quantity == NEW || self.is_without_value(spot));
        let (left, rest) = sides(text).filter(|(left, _)| is_free && are_words(left))?;
        let (words, unit) = heading(left);
        let names = unit.is_none() && may_be_symbol(words.rsplit(' ').next()?);
        let begins = text.trim_end().len().checked_sub(rest.len())?;
        names.then_some((begins, rest))
    }

    /// What a text changes that names what it gives, in a line that is still to be made or has nothing in it; `None` where it is typed
    /// for its place alone.
    pub fn whole_line(&self, spot: Spot, text: &str) -> Option<Result<Vec<Change>, String>> {
        let text = text.trim();
        if self.sheet.form != Form::Sheet
            || matches!(spot.field, Field::Line | Field::Unit | Field::Kind | Field::Source)
        {
            return None;
        }
        if let Some(parts) = several(text).filter(|_| spot.quantity == NEW) {
            return Some(self.whole_lines(&parts));
        }
        if of_language(text, Stands::Typed).is_some() {
            return Some(self.line_of_language(spot, text));
        }
        let of_value = matches!(spot.field, Field::Value(_) | Field::Formula);
        let paper = on_paper(text, !of_value)?;
        // A value that compares something known is a condition.
        if of_value && paper.symbol.is_none_or(|symbol| self.is_taken(symbol)) {
            return None;
        }
        // `P_n = next_ra` is a line whose name is written wrongly, `Class = IE3` a label.
        let is_sure = paper.words.is_empty() && paper.symbol.is_some_and(is_symbol_alone);
        let may_be_words = paper.symbol.is_none() || spot.field == Field::Label && !is_sure;
        if may_be_words && !gives(&paper.value()) {
            return None;
        }
        if let Some(symbol) = paper.symbol.filter(|symbol| self.is_taken(symbol)) {
            return Some(Err(format!("There is a quantity {symbol} already.")));
        }
        if spot.quantity == NEW {
            let name = match paper.symbol {
                Some(symbol) => symbol.into(),
                None => fresh(&pasted::name_of(&paper.words), |name| self.is_taken(name)),
            };
            let line = paper.line(*self, &name, &[]);
            return Some(line.map(|text| vec![self.new_line(&text)]));
        }
        let quantity = self.quantity(spot.quantity).filter(|_| self.is_without_value(spot))?;
        // What is typed at the place of its label takes the place of that.
        if !paper.words.is_empty() && spot.field != Field::Label && !quantity.title.is_empty() {
            return None;
        }
        // A line that was put in between others has a name that nobody chose.
        let is_unnamed = || is_of_nobody(&quantity.name) && self.blank_line(spot).is_some();
        let named = || fresh(&pasted::name_of(&paper.words), |name| self.is_taken(name));
        let symbol = paper.symbol.map(Arc::from).or_else(|| is_unnamed().then(named));
        let of = |field: Field| Spot { field, ..spot };
        Some(self.change(of(Field::Formula), &paper.value()).map(|mut changes| {
            if !paper.words.is_empty() {
                changes.push(Change::SetClause {
                    sheet: self.sheet.name.clone(),
                    quantity: quantity.name.clone(),
                    clause: crate::workbook::change::Clause::Title,
                    text: quoted(&paper.words).into(),
                });
            }
            // The name last, so that the others are found by the one it has now.
            changes.extend(symbol.map(|symbol| Change::Rename {
                sheet: Some(self.sheet.name.clone()),
                from: quantity.name.clone(),
                to: symbol,
            }));
            changes
        }))
    }
}

/// The cells of a text without tabs whose lines have columns: parted by semicolons, or by two or more blanks. `None` where no line has
/// some. `all`: every line has to have as many.
pub fn columns(text: &str, all: bool) -> Option<Vec<Vec<String>>> {
    if text.contains('\t') {
        return None;
    }
    let lines = text.lines().filter(|line| !line.trim().is_empty());
    let by = |part: &dyn Fn(&str) -> Vec<String>| -> Option<Vec<Vec<String>>> {
        let cells: Vec<Vec<String>> = lines.clone().map(part).collect();
        let width = cells.iter().map(Vec::len).max()?;
        let even = cells.iter().all(|row| row.len() == width);
        (width > 1 && (even || !all)).then_some(cells)
    };
    let signs = |line: &str| line.split(';').map(|part| part.trim().to_owned()).collect();
    let blanks = |line: &str| parts(line).into_iter().map(str::to_owned).collect();
    by(&signs).or_else(|| by(&blanks))
}

/// Whether a text is several lines of the language.
pub(super) fn are_lines(text: &str) -> bool {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty()).peekable();
    text.trim().contains('\n') && lines.all(|line| of_language(line.trim(), Stands::Pasted).is_some())
}

/// Whether a text is a whole line by itself: of the language, or as on paper.
pub(super) fn is_whole_line(line: &str) -> bool {
    of_language(line, Stands::Pasted).is_some() || on_paper(line, true).is_some_and(|paper| gives(&paper.value()))
}

/// Lines of the language, and such as name what they give, as new lines of a worked sheet; `None` where there are none among them.
pub fn lines(seen: Seen<'_>, text: &str) -> Option<Made> {
    if text.contains('\t') {
        return None;
    }
    let typed: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let parted = |line: &&str| several(line).is_some();
    // Semicolons in every line are those of a table, whatever else stands in it.
    if typed.len() > 1 && typed.iter().all(|line| line.contains(';')) && !typed.iter().all(parted) {
        return None;
    }
    let typed: Vec<&str> = typed
        .iter()
        .flat_map(|line| several(line).unwrap_or_else(|| vec![line]))
        .collect();
    let is_read = |line: &&&str| of_language(line, Stands::Pasted).is_some() || on_paper(line, true).is_some();
    if !typed.iter().any(|line| is_read(&line)) {
        return None;
    }
    let mut names: Vec<Arc<str>> = Vec::new();
    for line in &typed {
        let named = match of_language(line, Stands::Pasted) {
            Some(Statement::Quantity(quantity)) => Some(quantity.name.clone()),
            Some(_) => None,
            None => on_paper(line, true).map(|paper| match paper.symbol {
                Some(symbol) => symbol.into(),
                None => fresh(&pasted::name_of(&paper.words), |name| {
                    names.iter().any(|known| **known == *name)
                }),
            }),
        };
        names.push(named.unwrap_or_default());
    }
    let mut out = Vec::new();
    let mut notes = 0;
    let mut left: Vec<&str> = Vec::new();
    for (line, name) in typed.iter().zip(&names) {
        if of_language(line, Stands::Pasted).is_some() {
            out.push((name.clone(), (*line).to_owned()));
        } else if let Some(made) = on_paper(line, true).map(|paper| paper.line(seen, name, &names)) {
            match made {
                Ok(made) => out.push((name.clone(), made)),
                Err(_) => left.push(line),
            }
        } else if opens(line) {
            left.push(line);
        } else {
            notes += 1;
            out.push(("".into(), format!("note {}", quoted(line))));
        }
    }
    let (changes, note) = match Lines::of(out).pasted(seen, None)? {
        Ok(made) => made,
        Err(why) => return Some(Err(why)),
    };
    let of_notes = (notes > 0).then(|| match notes {
        1 => "1 line names no value: it is a note now, under Lines (F11).".to_owned(),
        more => format!("{more} lines name no value: they are notes now, under Lines (F11)."),
    });
    let of_left = left.first().map(|first| {
        let short: String = first.chars().take(24).collect();
        match left.len() {
            1 => format!("1 line was not pasted, as it cannot stand in a sheet: `{short}`."),
            more => format!(
                "{more} lines were not pasted, as they cannot stand in a sheet: `{short}` and {} more.",
                more - 1
            ),
        }
    });
    let note: Vec<String> = note.into_iter().chain(of_notes).chain(of_left).collect();
    Some(Ok((changes, Some(note.join(" ")).filter(|note| !note.is_empty()))))
}
