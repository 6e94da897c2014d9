//! Typing in the grid: the open text, what it would be, what could stand there.
//!
//! Always: the text is kept as typed; no letter is lost, however fast they come: letters and cursor keys are taken here, in the
//! order they were struck, whether or not the text is on the screen yet.
//! Not known here: drawing.

use eframe::egui::text::{CCursor, CCursorRange};
use eframe::egui::text_selection::text_cursor_state::{ccursor_next_word, ccursor_previous_word};
use eframe::egui::{Event, Key, Modifiers, TextBuffer as _};

use super::live::{self, WHOLE};
use super::offers::{Offer, offers, within, word_before};
use super::spot::{Field, NEW, Seen, Spot};
use super::whole::{Stands, is_line, of_language};
use crate::fault::{Fault, Fix, Span};
use crate::language::check::Sort;
use crate::language::syntax::{self, Node};
use crate::recalc::{Look, QuantityResults, Showing};
use crate::workbook::Role;
use crate::workbook::change::retyped_fault;

/// The open text.
#[derive(Clone, Debug, Default)]
pub struct Editing {
    /// Sheet.
    pub sheet: usize,
    /// Place.
    pub spot: Option<Spot>,
    /// The text.
    pub text: String,
    /// The text it was opened with.
    pub was: String,
    /// The text that a bare number is taken for, where its place is shown in another unit than it is written in.
    pub read_as: Option<String>,
    /// What it would be.
    pub look: Option<Look>,
    /// The same in words.
    pub gives: String,
    /// A text and its value, worked on another thread; `None`: it has none.
    pub value: Option<(String, Option<Result<String, String>>)>,
    /// The text that was looked at, and where the cursor stood.
    pub looked: Option<(String, usize)>,
    /// What could stand at the cursor.
    pub offers: Vec<Offer>,
    /// The function whose brackets the cursor stands in, and what is to stand there.
    pub within: Option<String>,
    /// Which of them is chosen.
    pub chosen: Option<usize>,
    /// The cursor, and where the chosen letters begin.
    pub range: CCursorRange,
    /// Texts as they were, to take typing back one step at a time.
    back: Vec<(String, CCursorRange)>,
    /// What was taken back.
    on: Vec<(String, CCursorRange)>,
    /// The places of a call that was put in, behind the one that is typed; `None` without such a call.
    places: Option<Vec<String>>,
    /// A comma went to the next place: the blank behind it stands there.
    stepped: bool,
    /// The last key put a letter in: letters in a row are taken back together.
    in_a_row: bool,
    /// Why it was refused.
    pub refused: Option<String>,
    /// It is a line of the head, or a new one there.
    pub of_head: bool,
}

/// What an event means while a text is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Typed; go to the next line (true: back).
    Down(bool),
    /// Typed; go to the next column (true: back).
    Right(bool),
    /// Typed; stay in the column, a line up.
    Up,
    /// Typed; stay in the column, a line down.
    Under,
    /// Leave it as it was.
    Away,
}

/// Whether an event ends typing.
pub fn end(event: &Event) -> Option<End> {
    let Event::Key {
        key,
        pressed: true,
        modifiers,
        ..
    } = event
    else {
        return None;
    };
    match key {
        Key::Enter => Some(End::Down(modifiers.shift)),
        Key::Tab => Some(End::Right(modifiers.shift)),
        Key::Escape => Some(End::Away),
        Key::ArrowUp if *modifiers == Modifiers::NONE => Some(End::Up),
        Key::ArrowDown if *modifiers == Modifiers::NONE => Some(End::Under),
        _ => None,
    }
}

/// Whether an event comes from the keyboard or the clipboard.
pub fn is_typed(event: &Event) -> bool {
    matches!(
        event,
        Event::Text(_) | Event::Key { .. } | Event::Copy | Event::Cut | Event::Paste(_) | Event::Ime(_)
    )
}

impl Editing {
    /// Opens a place with a text, the cursor at its end.
    pub fn open(sheet: usize, spot: Spot, text: String, was: String) -> Editing {
        Editing {
            sheet,
            spot: Some(spot),
            range: CCursorRange::one(CCursor::new(text.chars().count())),
            text,
            was,
            ..Editing::default()
        }
    }

    /// The cursor, in characters.
    pub fn cursor(&self) -> usize {
        self.range.primary.index.0
    }

    /// Chooses the whole text, so that the next letter takes its place.
    pub fn choose_all(&mut self) {
        self.range = CCursorRange::two(CCursor::new(0), CCursor::new(self.text.chars().count()));
    }

    /// Goes to the number of a value that was opened: what is typed next is meant for it and not for the unit behind it. Chosen,
    /// the next letter takes its place.
    pub fn at_number(&mut self, chosen: bool) {
        let Some(number) = number_of(&self.text).filter(|_| self.text == self.was) else {
            return;
        };
        let end = CCursor::new(number.chars().count());
        let begin = if chosen { CCursor::new(0) } else { end };
        self.range = CCursorRange::two(begin, end);
    }

    /// Whether arrows choose among the offers: wherever there are some in sight.
    pub fn chooses(&self) -> bool {
        !self.offers.is_empty()
    }

    /// Chooses the next offer, or the one before.
    pub fn choose(&mut self, on: bool) {
        let Some(last) = self.offers.len().checked_sub(1) else {
            return;
        };
        self.chosen = Some(match (self.chosen, on) {
            (None, true) => 0,
            (None, false) => last,
            (Some(at), true) if at >= last => 0,
            (Some(at), true) => at + 1,
            (Some(at), false) => at.checked_sub(1).unwrap_or(last),
        });
    }

    /// Takes a key or letter. What it gives is for the clipboard.
    pub fn take(&mut self, event: &Event) -> Option<String> {
        let before = (self.text.clone(), self.range);
        let copied = match event {
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => {
                if *key == Key::Z && modifiers.command {
                    self.again(modifiers.shift);
                    return None;
                }
                self.key(*key, *modifiers);
                None
            }
            Event::Text(text) => {
                if self.places.is_none() {
                    self.put(text);
                } else {
                    let mut letter = [0; 4];
                    text.chars()
                        .for_each(|sign| self.put_in_place(sign.encode_utf8(&mut letter)));
                }
                None
            }
            Event::Paste(text) => {
                self.put(&text.replace(['\n', '\r', '\t'], " "));
                None
            }
            Event::Copy | Event::Cut => {
                let chosen = self.range.slice_str(&self.text).to_owned();
                if *event == Event::Cut {
                    self.cut();
                }
                (!chosen.is_empty()).then_some(chosen)
            }
            _ => None,
        };
        if self.text != before.0 {
            let letter = matches!(event, Event::Text(_)) && before.1.is_empty();
            if !(letter && self.in_a_row) {
                self.back.push(before);
            }
            self.in_a_row = letter;
            self.on.clear();
        } else if self.range != before.1 {
            self.in_a_row = false;
        }
        copied
    }

    /// Takes typing back, or does it again.
    fn again(&mut self, on: bool) {
        let (from, to) = if on {
            (&mut self.on, &mut self.back)
        } else {
            (&mut self.back, &mut self.on)
        };
        if let Some((text, range)) = from.pop() {
            to.push((std::mem::replace(&mut self.text, text), self.range));
            self.range = range;
        }
        self.in_a_row = false;
    }

    /// Puts a letter into a call that was put in: a comma goes to the next of its places, and the last bracket is the one that is there.
    fn put_in_place(&mut self, letter: &str) {
        let at = self.cursor();
        let behind: String = self.text.chars().skip(at).collect();
        let before: String = self.text.chars().take(at).collect();
        let after_step = std::mem::take(&mut self.stepped);
        let next = self.places.as_ref().and_then(|places| places.first()).cloned();
        let next = next.filter(|next| self.range.is_empty() && behind.starts_with(&format!(", {next}")));
        let ends_in_digit = before.ends_with(|last: char| last.is_ascii_digit());
        match (letter, next) {
            // It may stand in a number: only with a blank behind it is it between places.
            (",", Some(next)) if !ends_in_digit => self.step(at, &next),
            (" ", Some(next)) if before.ends_with(',') => {
                self.range = CCursorRange::two(CCursor::new(at.saturating_sub(1)), CCursor::new(at));
                self.cut();
                self.step(at.saturating_sub(1), &next);
            }
            (" ", _) if after_step => {}
            (")", None)
                if self.range.is_empty() && behind == ")" && self.places.as_ref().is_some_and(Vec::is_empty) =>
            {
                self.places = None;
                self.range = CCursorRange::one(CCursor::new(at + 1));
            }
            _ => self.put(letter),
        }
    }

    /// Chooses the next place of a call, which stands behind a comma.
    fn step(&mut self, at: usize, next: &str) {
        let from = at + 2;
        self.range = CCursorRange::two(CCursor::new(from), CCursor::new(from + next.chars().count()));
        self.places.iter_mut().for_each(|places| {
            let _ = places.remove(0);
        });
        self.stepped = true;
    }

    /// Puts letters in the place of the chosen ones.
    fn put(&mut self, text: &str) {
        let mut at = self.text.delete_selected(&self.range);
        self.text.insert_text_at(&mut at, text, usize::MAX);
        self.range = CCursorRange::one(at);
    }

    fn cut(&mut self) {
        self.range = CCursorRange::one(self.text.delete_selected(&self.range));
    }

    fn key(&mut self, key: Key, modifiers: Modifiers) {
        let words = modifiers.ctrl || modifiers.alt || modifiers.command;
        let end = CCursor::new(self.text.chars().count());
        let now = self.range.primary;
        let [first, last] = self.range.sorted_cursors();
        let chosen = !self.range.is_empty();
        let to = match key {
            Key::A if modifiers.command => return self.choose_all(),
            Key::Backspace | Key::Delete => {
                if !chosen {
                    let other = match (key, words) {
                        (Key::Backspace, false) => CCursor::new(now.index.0.saturating_sub(1)),
                        (Key::Backspace, true) => ccursor_previous_word(&self.text, now),
                        (_, false) => CCursor::new((now.index.0 + 1).min(end.index.0)),
                        (_, true) => ccursor_next_word(&self.text, now),
                    };
                    self.range = CCursorRange::two(other, now);
                }
                self.cut();
                return;
            }
            Key::ArrowLeft if chosen && modifiers.is_none() => first,
            Key::ArrowRight if chosen && modifiers.is_none() => last,
            Key::ArrowLeft if words => ccursor_previous_word(&self.text, now),
            Key::ArrowRight if words => ccursor_next_word(&self.text, now),
            Key::ArrowLeft => CCursor::new(now.index.0.saturating_sub(1)),
            Key::ArrowRight => CCursor::new((now.index.0 + 1).min(end.index.0)),
            Key::Home => CCursor::new(0),
            Key::End => end,
            _ => return,
        };
        self.range.primary = to;
        if !modifiers.shift {
            self.range.secondary = to;
        }
    }

    /// Drops the `=` that other programs want before a formula. With nothing behind it, what stood there is chosen to be typed over.
    fn drop_sign(&mut self) {
        if !self.text.starts_with('=') {
            return;
        }
        if self.text.trim() == "=" {
            self.text.clone_from(&self.was);
            return self.choose_all();
        }
        let _ = self.text.remove(0);
        let back = |cursor: CCursor| CCursor::new(cursor.index.0.saturating_sub(1));
        self.range = CCursorRange::two(back(self.range.secondary), back(self.range.primary));
    }

    /// Looks at the text anew where it, or the cursor, has changed.
    pub fn consider(&mut self, seen: Seen<'_>) {
        if self.spot.is_some_and(|spot| seen.holds_formula(spot)) {
            self.drop_sign();
        }
        let cursor = self.cursor();
        let same = self.looked.as_ref().is_some_and(|(text, _)| *text == self.text);
        if same && self.looked.as_ref().is_some_and(|(_, at)| *at == cursor) {
            return;
        }
        if self.looked.is_some() {
            self.chosen = None;
        }
        let first = self.looked.is_none();
        self.looked = Some((self.text.clone(), cursor));
        let Some(spot) = self.spot else { return };
        let before: String = self.text.chars().take(cursor).collect();
        let holds_formula = self.holds_formula();
        self.within = within(&before).filter(|_| holds_formula);
        // A whole text that is opened is only looked at: nothing hides the lines below it until something is typed.
        let opened = self.text == self.was && self.back.is_empty() && !self.text.is_empty();
        let offered = |text: &str| {
            if opened {
                Vec::new()
            } else {
                offers(seen, spot, text, cursor)
            }
        };
        let Some(quantity) = seen.quantity(spot.quantity) else {
            // In the open line it is the line that is looked at.
            if spot.quantity == NEW && !same {
                if !first {
                    self.refused = None;
                }
                self.look = None;
                match holds_formula {
                    true => self.look_at_new(seen, spot.field),
                    false => self.look_at_field(seen, spot),
                }
                self.look_behind_symbol(seen, spot);
            }
            self.offers = offered(&self.text);
            return;
        };
        if !same {
            if !first {
                self.refused = None;
            }
            let begins = seen.repeats(spot, &self.text).unwrap_or(0);
            let typed = self.text.get(begins..).unwrap_or("").to_owned();
            self.read_as = seen.read_here(spot, &typed);
            let is_formula = match spot.field {
                Field::Formula => quantity.role != Role::Seek,
                Field::Value(_) => !matches!(quantity.sort, Sort::Text) || self.text.trim_start().starts_with('"'),
                _ => false,
            };
            let sheet = &seen.results.name;
            // In a line that is blank a whole line stands for all of it.
            let is_whole = of_language(self.text.trim(), Stands::Typed).is_some()
                && matches!(seen.whole_line(spot, &self.text), Some(Ok(_)));
            let is_sought =
                matches!(spot.field, Field::Value(_) | Field::Formula) && self.text.starts_with("such that ");
            self.look = match spot.field {
                _ if is_sought && (quantity.role == Role::Seek || seen.is_whole(spot)) => {
                    look_sought(seen, quantity, &self.text)
                }
                Field::Line => self.look_at_line(seen, &seen.typed(spot), &self.text),
                Field::Label | Field::Symbol if is_whole => {
                    let was = format!("given {}", quantity.name);
                    self.look_at_line(seen, &was, self.text.trim_end())
                }
                _ if is_formula && !self.text.trim().is_empty() => {
                    let text = self.read_as.as_deref().unwrap_or(&typed);
                    // What is wanted in a unit is told in it.
                    let unit = seen.unit_wanted(spot, text).or_else(|| seen.unit_here(spot));
                    let whole = seen.is_whole(spot);
                    let mut look = seen.session.look(sheet, &quantity.name, text, whole, unit.as_ref());
                    let right = |look: &&mut Look| !look.faults.iter().any(Fault::is_error);
                    if let Some(look) = look.as_mut().filter(right) {
                        let item = match spot.field {
                            Field::Value(item) if !whole => Some(item),
                            _ => None,
                        };
                        look.faults
                            .extend(seen.session.circle(sheet, &quantity.name, text, item));
                    }
                    look
                }
                _ => None,
            };
            for fault in self.look.iter_mut().flat_map(|look| &mut look.faults) {
                *fault = seen.system.fault(fault).shifted(u32::try_from(begins).unwrap_or(0));
            }
            self.gives = self
                .look
                .as_ref()
                .map_or(String::new(), |look| gives(look, quantity.role, seen));
            match self.look.is_none() {
                true => {
                    self.look_at_field(seen, spot);
                    self.look_behind_symbol(seen, spot);
                }
                false if is_whole => self.gives_whole(),
                false => {}
            }
        }
        self.offers = offered(&self.text);
    }

    /// Looks at a whole line, and at the name that it has; `was`: the line that stands there.
    fn look_at_line(&self, seen: Seen<'_>, was: &str, text: &str) -> Option<Look> {
        let mut look = seen.session.look_line(&seen.results.name, text)?;
        let sheet = (!self.of_head).then_some(seen.at);
        look.faults
            .extend(retyped_fault(seen.session.workbook(), sheet, was, text));
        Some(look)
    }

    /// Says of what is given that a whole line gives it.
    fn gives_whole(&mut self) {
        self.gives = match self.gives.as_str() {
            "" => WHOLE.to_owned(),
            gives => format!("{WHOLE}: {gives}"),
        };
    }

    /// Looks at what is typed in the open line: a whole line, or the formula of one that is still to be made.
    fn look_at_new(&mut self, seen: Seen<'_>, field: Field) {
        let text = self.text.trim_end();
        if text.trim().is_empty() {
            self.gives.clear();
            return;
        }
        let spot = Spot { quantity: NEW, field };
        if matches!(field, Field::Label | Field::Symbol) && matches!(seen.whole_line(spot, text), Some(Err(_))) {
            return self.look_at_field(seen, spot);
        }
        let begin = match field {
            Field::Line => String::new(),
            _ if of_language(text.trim(), Stands::Typed).is_some() => String::new(),
            field if seen.whole_line(Spot { quantity: NEW, field }, text).is_some() => "work ".to_owned(),
            _ => format!("work {} = ", seen.fresh_name()),
        };
        let mut look = match begin.as_str() {
            "" => self.look_at_line(seen, &self.was, text),
            begin => seen.session.look_line(&seen.results.name, &format!("{begin}{text}")),
        };
        for fault in look.iter_mut().flat_map(|look| &mut look.faults) {
            *fault = back_by(&seen.system.fault(fault), begin.len());
        }
        self.gives = look
            .as_ref()
            .map_or(String::new(), |look| gives(look, Role::Work, seen));
        if matches!(field, Field::Label | Field::Symbol) {
            self.gives_whole();
        }
        self.look = look;
    }

    /// Looks at a text that is no formula.
    fn look_at_field(&mut self, seen: Seen<'_>, spot: Spot) {
        if let Some(live) = live::live(seen, spot, &self.text) {
            self.gives = live.gives;
            self.look = Some(Look {
                sort: Sort::Unknown,
                faults: live.faults,
            });
        }
    }

    /// Looks at the value in a text that says what it is called as well: `P_2 = 3 * P` as the label of a line that is still to be made.
    fn look_behind_symbol(&mut self, seen: Seen<'_>, spot: Spot) {
        let is_other = || of_language(self.text.trim(), Stands::Typed).is_some();
        if !matches!(spot.field, Field::Label | Field::Symbol) || is_other() {
            return;
        }
        let Some((at, value)) = seen.behind_symbol(spot, &self.text) else {
            return;
        };
        if !matches!(seen.whole_line(spot, &self.text), Some(Ok(_))) {
            return;
        }
        let begin = format!("work {} = ", seen.fresh_name());
        let Some(mut look) = seen.session.look_line(&seen.results.name, &format!("{begin}{value}")) else {
            return;
        };
        let at = u32::try_from(at).unwrap_or(0);
        for fault in &mut look.faults {
            *fault = back_by(&seen.system.fault(fault), begin.len()).shifted(at);
        }
        let gives = gives(&look, Role::Work, seen);
        if !gives.is_empty() {
            self.gives = format!("{}: {gives}", self.gives);
        }
        self.look = Some(look);
    }

    /// Whether a formula or a line is typed.
    pub fn holds_formula(&self) -> bool {
        self.spot.is_some_and(|spot| {
            matches!(spot.field, Field::Value(_) | Field::Formula | Field::Line) || is_line(spot, &self.text)
        })
    }

    /// What is to be worked to tell the value of the text; `None` where that is known, and where there is none.
    pub fn wants(&self) -> Option<(usize, Spot, String)> {
        let (spot, look) = (self.spot?, self.look.as_ref()?);
        let is_wrong = look.faults.iter().any(Fault::is_error);
        let looked = self.looked.as_ref().is_some_and(|(text, _)| *text == self.text);
        let known = self.value.as_ref().is_some_and(|(text, _)| *text == self.text);
        (self.holds_formula() && looked && !is_wrong && !known).then(|| (self.sheet, spot, self.text.clone()))
    }

    /// The value of the text, where it is known; why there is none as the other side.
    pub fn valued(&self) -> Option<&Result<String, String>> {
        let (text, value) = self.value.as_ref()?;
        value.as_ref().filter(|_| *text == self.text)
    }

    /// Makes an offered change of the text.
    pub fn mend(&mut self, fix: &Fix) {
        let (from, to) = (fix.span.start as usize, fix.span.end as usize);
        let (Some(before), Some(chosen)) = (self.text.get(..from), self.text.get(from..to)) else {
            return;
        };
        let start = before.chars().count();
        self.put_over(start, start + chosen.chars().count(), &fix.replacement);
        self.range = CCursorRange::one(CCursor::new(self.text.chars().count()));
    }

    /// Puts letters in the place of others, as one step that can be taken back.
    fn put_over(&mut self, from: usize, to: usize, text: &str) {
        let before = (self.text.clone(), self.range);
        self.range = CCursorRange::two(CCursor::new(from), CCursor::new(to));
        self.put(text);
        self.back.push(before);
        self.on.clear();
        self.in_a_row = false;
    }

    /// Puts something in the place of the name that is begun before the cursor, and chooses a part of it to be typed over.
    pub fn put_in(&mut self, text: &str, chosen: Option<std::ops::Range<usize>>) {
        let [first, last] = self.range.sorted_cursors();
        let before: String = self.text.chars().take(first.index.0).collect();
        let from = first.index.0 - word_before(&before).chars().count();
        self.put_over(from, last.index.0, text);
        if let Some(chosen) = chosen {
            let rest: String = text.chars().skip(chosen.end).collect();
            let places = rest.trim_end_matches(')').split(", ").map(str::trim);
            self.places = Some(places.filter(|place| !place.is_empty()).map(str::to_owned).collect());
            self.stepped = false;
            self.range = CCursorRange::two(CCursor::new(from + chosen.start), CCursor::new(from + chosen.end));
        }
    }

    /// The name that is begun before the cursor.
    pub fn word(&self) -> String {
        let before: String = self.text.chars().take(self.cursor()).collect();
        word_before(&before).to_owned()
    }

    /// Puts an offer in the place of the letters before the cursor.
    pub fn accept(&mut self, index: usize) {
        let Some(offer) = self.offers.get(index).cloned() else {
            return;
        };
        let cursor = self.cursor();
        self.put_over(cursor.saturating_sub(offer.instead_of), cursor, &offer.text);
        self.chosen = None;
        self.offers.clear();
    }
}

/// The number that a text begins with, where it is a number alone or with its unit.
fn number_of(text: &str) -> Option<&str> {
    let (tree, faults) = syntax::parse(text);
    let literal = match &tree.node {
        Node::Number(literal) => literal,
        Node::Negative(inner) => match &inner.node {
            Node::Number(literal) => literal,
            _ => return None,
        },
        _ => return None,
    };
    let end = literal
        .unit
        .as_ref()
        .map_or(text.len(), |unit| unit.span.start as usize);
    let number = text.get(..end).map(str::trim_end);
    number.filter(|_| !faults.iter().any(Fault::is_error))
}

/// A fault of a line, told of the part of it that begins so many bytes later.
fn back_by(fault: &Fault, bytes: usize) -> Fault {
    let back = |span: Span| {
        let at = |place: u32| (place as usize).saturating_sub(bytes);
        Span::new(at(span.start), at(span.end))
    };
    let mut fault = fault.clone();
    fault.span = back(fault.span);
    fault.fixes.iter_mut().for_each(|fix| fix.span = back(fix.span));
    fault
}

/// Looks at an equation in the line it would stand in.
fn look_sought(seen: Seen<'_>, quantity: &QuantityResults, equation: &str) -> Option<Look> {
    let line = seen.with_equation(quantity, equation)?;
    let at = line.find("such that")?;
    let mut look = seen.session.look_line(&seen.results.name, &line)?;
    look.faults = look.faults.iter().map(|fault| back_by(fault, at)).collect();
    Some(look)
}

/// What a text gives, in words; what cannot stand there gives nothing.
fn gives(look: &Look, role: Role, seen: Seen<'_>) -> String {
    if look.faults.iter().any(Fault::is_error) {
        return String::new();
    }
    super::spot::sort_words(Showing::new(&look.sort, role, None, seen.system).sort())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::session::Session;

    const TEXT: &str = "polepair 1
sheet pump
  given P_in = 15 kW : input power
  given P_out = 12 kW : shaft power \"At the coupling\"
  work eta = P_out / P_in
sheet fan
  given n = 1450 r/min
";

    #[test]
    fn an_offer_takes_the_place_of_the_letters_before_the_cursor() {
        let mut editing = Editing::open(
            0,
            Spot {
                quantity: 2,
                field: Field::Formula,
            },
            "P_o / P_in".to_owned(),
            String::new(),
        );
        let session = Session::open(TEXT);
        editing.range = CCursorRange::one(CCursor::new(3));
        editing.consider(Seen::of(&session, 0).unwrap());
        editing.accept(0);
        assert_eq!((editing.text.as_str(), editing.cursor()), ("P_out / P_in", 5));
        let _ = editing.take(&key(Key::Z, Modifiers::COMMAND));
        assert_eq!((editing.text.as_str(), editing.cursor()), ("P_o / P_in", 3));
    }

    fn key(key: Key, modifiers: Modifiers) -> Event {
        Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers,
        }
    }

    fn typed(begin: &str, events: &[Event]) -> (String, usize) {
        let spot = Spot {
            quantity: 0,
            field: Field::Value(0),
        };
        let mut editing = Editing::open(0, spot, begin.to_owned(), String::new());
        for event in events {
            let _ = editing.take(event);
        }
        (editing.text.clone(), editing.cursor())
    }

    #[test]
    fn letters_and_cursor_keys_are_taken_in_the_order_they_are_struck() {
        let text = |text: &str| Event::Text(text.to_owned());
        let plain = |which| key(which, Modifiers::NONE);
        let ctrl = |which| key(which, Modifiers::COMMAND.plus(Modifiers::CTRL));
        let shift = |which| key(which, Modifiers::SHIFT);
        let cases: &[(&str, Vec<Event>, &str, usize)] = &[
            ("", vec![plain(Key::Num1), text("1"), text("5 kW")], "15 kW", 5),
            ("25 kW", vec![plain(Key::Home), text("1")], "125 kW", 1),
            (
                "2 kW",
                vec![plain(Key::Home), plain(Key::ArrowRight), text("5")],
                "25 kW",
                2,
            ),
            ("rho", vec![ctrl(Key::A), text("eta")], "eta", 3),
            (
                "rho",
                vec![plain(Key::Backspace), plain(Key::Backspace), text("_1")],
                "r_1",
                3,
            ),
            (
                "60 m³/h",
                vec![plain(Key::Home), plain(Key::Delete), text("7")],
                "70 m³/h",
                1,
            ),
            ("P_sh * eta", vec![ctrl(Key::Backspace), text("pf")], "P_sh * pf", 9),
            (
                "a + b",
                vec![shift(Key::ArrowLeft), text("c"), shift(Key::Home), text("d")],
                "d",
                1,
            ),
            ("ab", vec![plain(Key::Home), shift(Key::End), Event::Cut], "", 0),
            ("a", vec![Event::Paste("b\nc".into())], "ab c", 4),
            ("a", vec![text("b"), text("c"), ctrl(Key::Z)], "a", 1),
            ("é", vec![plain(Key::ArrowLeft), text("Ω")], "Ωé", 1),
        ];
        for (begin, events, wanted, cursor) in cases {
            assert_eq!(
                typed(begin, events),
                ((*wanted).to_owned(), *cursor),
                "{begin} {events:?}"
            );
        }
    }

    #[test]
    fn chosen_letters_go_to_the_clipboard() {
        let spot = Spot {
            quantity: 0,
            field: Field::Value(0),
        };
        let mut editing = Editing::open(0, spot, "15 kW".to_owned(), String::new());
        assert_eq!(editing.take(&Event::Copy), None);
        let _ = editing.take(&key(Key::Home, Modifiers::SHIFT));
        assert_eq!(editing.take(&Event::Copy).as_deref(), Some("15 kW"));
        assert_eq!(end(&key(Key::Enter, Modifiers::NONE)), Some(End::Down(false)));
    }
}
