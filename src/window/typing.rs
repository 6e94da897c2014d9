//! Typing in the grid: the open text, what it would be, what could stand there.
//!
//! Always: the text is kept as typed; no letter is lost, however fast they come: letters and cursor keys are taken here, in the
//! order they were struck, whether or not the text is on the screen yet.
//! Not known here: drawing.

use eframe::egui::text::{CCursor, CCursorRange};
use eframe::egui::text_selection::text_cursor_state::{ccursor_next_word, ccursor_previous_word};
use eframe::egui::{Event, Key, Modifiers, TextBuffer as _};

use super::live;
use super::spot::{Field, NEW, Seen, Spot};
use crate::fault::{Fault, Fix};
use crate::language::check::{SCHEDULES, Sort};
use crate::language::functions;
use crate::quantity::{Kind, System, Unit, conversion};
use crate::recalc::{Look, Showing};
use crate::standards::tables;
use crate::workbook::{Role, SourceWord};

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
    /// Which of them is chosen.
    pub chosen: Option<usize>,
    /// The cursor, and where the chosen letters begin.
    pub range: CCursorRange,
    /// Texts as they were, to take typing back one step at a time.
    back: Vec<(String, CCursorRange)>,
    /// What was taken back.
    on: Vec<(String, CCursorRange)>,
    /// The last key put a letter in: letters in a row are taken back together.
    in_a_row: bool,
    /// Why it was refused.
    pub refused: Option<String>,
}

/// Something that could stand at the cursor.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What is put in.
    pub text: String,
    /// One line of help.
    pub help: String,
    /// How many characters before the cursor it stands for.
    pub instead_of: usize,
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

    /// Whether arrows choose among the offers: one is chosen already, or the text is only the beginning of something. A text that
    /// is right as it stands is typed by them.
    pub fn chooses(&self) -> bool {
        let half = self
            .look
            .as_ref()
            .is_some_and(|look| look.faults.iter().any(Fault::is_error));
        !self.offers.is_empty() && (self.chosen.is_some() || half)
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
                self.put(text);
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

    /// Looks at the text anew where it, or the cursor, has changed.
    pub fn consider(&mut self, seen: Seen<'_>) {
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
        let Some(quantity) = seen.quantity(spot.quantity) else {
            // In the open line it is the line that is looked at.
            if spot.quantity == NEW && !same {
                if !first {
                    self.refused = None;
                }
                self.look_at_field(seen, spot);
            }
            self.offers = offers(seen, spot, &self.text, cursor);
            return;
        };
        if !same {
            if !first {
                self.refused = None;
            }
            self.read_as = seen.read_here(spot, &self.text);
            let is_formula = match spot.field {
                Field::Formula => quantity.role != Role::Seek,
                Field::Value(_) => !matches!(quantity.sort, Sort::Text) || self.text.trim_start().starts_with('"'),
                _ => false,
            };
            let sheet = &seen.results.name;
            self.look = match spot.field {
                Field::Line => seen.session.look_line(sheet, &self.text),
                _ if is_formula && !self.text.trim().is_empty() => {
                    let text = self.read_as.as_deref().unwrap_or(&self.text);
                    let unit = seen.unit_here(spot);
                    seen.session
                        .look(sheet, &quantity.name, text, seen.is_whole(spot), unit.as_ref())
                }
                _ => None,
            };
            for fault in self.look.iter_mut().flat_map(|look| &mut look.faults) {
                *fault = seen.system.fault(fault);
            }
            self.gives = self.look.as_ref().map_or(String::new(), |look| {
                let wrong = look.faults.iter().any(Fault::is_error);
                let sort = Showing::new(&look.sort, quantity.role, None, seen.system);
                // What cannot stand there gives nothing.
                if wrong {
                    String::new()
                } else {
                    super::spot::sort_words(sort.sort())
                }
            });
            if self.look.is_none() {
                self.look_at_field(seen, spot);
            }
        }
        self.offers = offers(seen, spot, &self.text, cursor);
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

    /// What is to be worked to tell the value of the text; `None` where that is known, and where there is none.
    pub fn wants(&self) -> Option<(usize, Spot, String)> {
        let (spot, look) = (self.spot?, self.look.as_ref()?);
        let holds_formula = matches!(spot.field, Field::Value(_) | Field::Formula | Field::Line);
        let is_wrong = look.faults.iter().any(Fault::is_error);
        let looked = self.looked.as_ref().is_some_and(|(text, _)| *text == self.text);
        let known = self.value.as_ref().is_some_and(|(text, _)| *text == self.text);
        (holds_formula && looked && !is_wrong && !known).then(|| (self.sheet, spot, self.text.clone()))
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

/// Offers shown at most.
const MOST: usize = 6;

/// What could stand at the cursor.
pub fn offers(seen: Seen<'_>, spot: Spot, text: &str, cursor: usize) -> Vec<Offer> {
    let before: String = text.chars().take(cursor).collect();
    let sort = seen.quantity(spot.quantity).map(|quantity| &quantity.sort);
    let whole = before.trim_start().to_owned();
    let from_list = |list: Vec<(String, String)>| -> Vec<Offer> {
        let count = whole.chars().count();
        list.into_iter()
            .filter(|(word, _)| word.starts_with(&whole) && *word != whole)
            .take(MOST)
            .map(|(text, help)| Offer {
                text,
                help,
                instead_of: count,
            })
            .collect()
    };
    match spot.field {
        Field::Kind => kinds(seen, spot, whole.trim_start_matches([':', ' '])),
        Field::Source => {
            let known = live::sources_known(seen);
            let words = SourceWord::ALL.map(|source| (source.word().to_owned(), source.help().to_owned()));
            let known = known
                .into_iter()
                .filter(|_| !whole.is_empty())
                .map(|source| (source, "typed before in this workbook".to_owned()));
            from_list(words.into_iter().chain(known).collect())
        }
        Field::Unit => {
            let bare = whole.strip_prefix("in ").unwrap_or(&whole);
            let quantity = seen.quantity(spot.quantity);
            let with = quantity.and_then(|quantity| live::measure(seen, quantity));
            units(bare, with.as_ref(), true)
        }
        Field::Label | Field::Symbol => Vec::new(),
        Field::Value(_) if matches!(sort, Some(Sort::Choice(_))) => match sort {
            Some(Sort::Choice(words)) => from_list(
                words
                    .iter()
                    .map(|word| (word.to_string(), "one of the choices".to_owned()))
                    .collect(),
            ),
            _ => Vec::new(),
        },
        Field::Value(_) if matches!(sort, Some(Sort::Text)) => Vec::new(),
        Field::Value(_) | Field::Formula | Field::Line => formula(seen, spot, &before),
    }
}

fn is_name(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_' || letter == '′'
}

fn formula(seen: Seen<'_>, spot: Spot, before: &str) -> Vec<Offer> {
    if before.matches('"').count() % 2 == 1 {
        return Vec::new();
    }
    // A number, perhaps a blank, and the beginning of a unit.
    let unit_at = before
        .rfind(|letter: char| letter.is_whitespace() || letter == '(')
        .map_or(0, |at| at + 1);
    let beginning = before.get(unit_at..).unwrap_or("");
    let head = before.get(..unit_at).unwrap_or("").trim_end();
    let after_number = head.ends_with(|letter: char| letter.is_ascii_digit())
        && before.get(..unit_at).is_some_and(|head| head.ends_with(' '));
    let after_in = head.ends_with(" in") || head == "in";
    if after_number || after_in {
        let mut out = Vec::new();
        let here = seen
            .unit_here(spot)
            .or_else(|| seen.showing(spot.quantity)?.unit_beside().cloned());
        let own = here.as_ref().map_or(String::new(), |unit| unit.text.to_string());
        // A number alone is in a unit of this place.
        let alone = after_number
            && head
                .chars()
                .all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | '-'));
        let offered = units(beginning, here.as_ref(), alone);
        let is_whole = offered.is_empty() && !beginning.is_empty();
        if !own.is_empty() && own.starts_with(beginning) && own != beginning && !is_whole {
            out.push(Offer {
                text: own.clone(),
                help: "the unit of this quantity".to_owned(),
                instead_of: beginning.chars().count(),
            });
        }
        out.extend(offered.into_iter().filter(|offer| offer.text != own));
        out.truncate(MOST);
        return out;
    }
    let word: String = {
        let letters: Vec<char> = before.chars().rev().take_while(|letter| is_name(*letter)).collect();
        letters.into_iter().rev().collect()
    };
    if word.is_empty() || word.starts_with(|letter: char| letter.is_ascii_digit()) {
        return Vec::new();
    }
    let count = word.chars().count();
    let fits = |name: &str| name.starts_with(&word) && name != word;
    // A name that is whole needs nothing; one letter may be the beginning of many.
    let is_known = |name: &str| seen.results.quantities.iter().any(|known| *known.name == *name);
    if count > 1 && is_known(&word) {
        return Vec::new();
    }
    let rest = before.get(..before.len() - word.len()).unwrap_or("");
    let mut out: Vec<Offer> = Vec::new();
    let mut add = |text: String, help: String| {
        out.push(Offer {
            text,
            help,
            instead_of: count,
        });
    };
    let results = seen.session.results();
    if let Some(owner) = rest.strip_suffix('.') {
        let sheet = results.sheets.iter().find(|sheet| owner.ends_with(&*sheet.name));
        for quantity in sheet.into_iter().flat_map(|sheet| &sheet.quantities) {
            if fits(&quantity.name) {
                add(quantity.name.to_string(), described(quantity, seen.system));
            }
        }
        out.truncate(MOST);
        return out;
    }
    for quantity in &seen.results.quantities {
        if fits(&quantity.name) {
            add(quantity.name.to_string(), described(quantity, seen.system));
        }
    }
    for sheet in results.sheets.iter().filter(|sheet| sheet.name != seen.results.name) {
        if fits(&sheet.name) {
            add(
                format!("{}.", sheet.name),
                format!("quantities of {}", title_of(&sheet.title, &sheet.name)),
            );
        }
    }
    for function in functions::all() {
        if fits(function.name) {
            let parameters: Vec<&str> = function.parameters.iter().map(|parameter| parameter.name).collect();
            add(
                format!("{}(", function.name),
                format!("({}) {}", parameters.join(", "), function.help),
            );
        }
    }
    for constant in functions::constants() {
        if fits(constant.name) {
            add(constant.name.to_owned(), constant.help.to_owned());
        }
    }
    for schedule in SCHEDULES.iter().filter(|schedule| fits(schedule.name)) {
        add(schedule.name.to_owned(), format!("behind ±: {}", schedule.title()));
    }
    for table in tables::all().filter(|table| fits(table.name)) {
        add(table.name.to_owned(), table.publication.title.clone());
    }
    out.truncate(MOST);
    out
}

fn title_of<'t>(title: &'t str, name: &'t str) -> &'t str {
    if title.is_empty() { name } else { title }
}

fn described(quantity: &crate::recalc::QuantityResults, system: System) -> String {
    let what = super::spot::sort_words(Showing::of(quantity, system).sort());
    match quantity.title.as_str() {
        "" => what,
        title => format!("{title}: {what}"),
    }
}

/// Kinds that begin with a text, in one of their words, or are called so; those that the values can be of.
fn kinds(seen: Seen<'_>, spot: Spot, beginning: &str) -> Vec<Offer> {
    let quantity = seen.quantity(spot.quantity);
    let unit = quantity.and_then(|quantity| live::unit_of(seen, quantity));
    let count = beginning.chars().count();
    let wanted = beginning.trim_end().to_lowercase();
    if Kind::find(&wanted).is_some() {
        return Vec::new();
    }
    let fits = |kind: &Kind| unit.as_ref().is_none_or(|unit| live::is_of(unit, *kind));
    let rank = |kind: &Kind| {
        let words = kind.words();
        if words.starts_with(&wanted) {
            return Some(0);
        }
        let inside = words.split(' ').any(|word| word.starts_with(&wanted));
        inside.then_some(1)
    };
    let mut found: Vec<(u8, Kind)> = Kind::all()
        .filter(fits)
        .filter_map(|kind| Some((rank(&kind)?, kind)))
        .collect();
    found.sort_by_key(|(rank, _)| *rank);
    let named = found.into_iter().map(|(_, kind)| (kind, kind.entry().help.to_owned()));
    // By another word or sign: `GD²` is the flywheel effect.
    let called = Kind::called(beginning)
        .into_iter()
        .map(|kind| (kind, format!("{}: {}", beginning.trim(), kind.entry().help)));
    called
        .chain(named)
        .take(MOST)
        .map(|(kind, help)| Offer {
            text: kind.words().to_owned(),
            help,
            instead_of: count,
        })
        .collect()
}

/// Units that begin with a text. `with`: those that go with it first, and no others where `only`. None where the text is one that
/// stands by itself: a letter alone may be the beginning of another.
fn units(beginning: &str, with: Option<&Unit>, only: bool) -> Vec<Offer> {
    let count = beginning.chars().count();
    let fits = |text: &str| with.is_none_or(|with| Unit::parse(text).is_ok_and(|unit| conversion(with, &unit).is_ok()));
    if Unit::parse(beginning).is_ok() && (count > 1 || with.is_some() && fits(beginning)) {
        return Vec::new();
    }
    let mut out: Vec<(bool, Offer)> = Unit::all()
        .filter(|entry| {
            (entry.symbol.starts_with(beginning) && entry.symbol != beginning)
                || (count > 0
                    && entry
                        .aliases
                        .iter()
                        .any(|alias| alias.starts_with(beginning) && alias != beginning))
        })
        .map(|entry| {
            let offer = Offer {
                text: entry.symbol.clone(),
                help: entry.quantity.clone(),
                instead_of: count,
            };
            (fits(&entry.symbol), offer)
        })
        .collect();
    if only && with.is_some() && out.iter().any(|(fits, _)| *fits) {
        out.retain(|(fits, _)| *fits);
    }
    out.sort_by_key(|(fits, offer)| (!fits, !offer.text.starts_with(beginning)));
    let mut out: Vec<Offer> = out.into_iter().map(|(_, offer)| offer).collect();
    out.truncate(MOST);
    out
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

    fn texts(text: &str) -> Vec<String> {
        let session = Session::open(TEXT);
        let spot = Spot {
            quantity: 0,
            field: Field::Value(0),
        };
        let seen = Seen::of(&session, 0).unwrap();
        offers(seen, spot, text, text.chars().count())
            .into_iter()
            .map(|offer| offer.text)
            .collect()
    }

    #[test]
    fn names_units_and_functions_are_offered_where_they_fit() {
        assert_eq!(texts("2 * P_o"), ["P_out"]);
        assert_eq!(texts("20 k")[0], "kW");
        assert!(texts("P_out in h").contains(&"hp".to_owned()));
        assert!(texts("sq").contains(&"sqrt(".to_owned()));
        assert!(texts("fa").contains(&"fan.".to_owned()));
        assert_eq!(texts("fan."), Vec::<String>::new());
        assert!(texts("\"P_o").is_empty());
        assert!(texts("15").is_empty());
        // The unit of the quantity stands first after a number.
        assert_eq!(texts("15 ")[0], "kW");
    }

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
