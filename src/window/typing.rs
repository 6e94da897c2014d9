//! Typing in the grid: the open text, what it would be, what could stand there.
//!
//! Always: the text is kept as typed; no letter is lost, however fast they come: letters, Enter and arrows are taken in the order
//! they were struck, and what cannot be taken in this frame waits for the next.
//! Not known here: drawing.

use eframe::egui::{Event, Key, Modifiers};

use super::spot::{Field, Seen, Spot, System};
use crate::language::check::Sort;
use crate::language::functions;
use crate::quantity::{Kind, Unit};
use crate::recalc::Look;
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
    /// It has not been on the screen yet: letters are put at its end.
    pub fresh: bool,
    /// What it would be.
    pub look: Option<Look>,
    /// The text that was looked at.
    pub looked: Option<String>,
    /// What could stand at the cursor.
    pub offers: Vec<Offer>,
    /// Which of them is chosen.
    pub chosen: Option<usize>,
    /// The cursor, in characters.
    pub cursor: usize,
    /// Put the cursor here in the next frame.
    pub to: Option<usize>,
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
    /// Opens a place with a text.
    pub fn open(sheet: usize, spot: Spot, text: String, was: String) -> Editing {
        Editing {
            sheet,
            spot: Some(spot),
            cursor: text.chars().count(),
            text,
            was,
            fresh: true,
            ..Editing::default()
        }
    }

    /// Takes an event before the text has been on the screen. `false`: it has to wait for the screen.
    pub fn take(&mut self, event: &Event) -> bool {
        match event {
            Event::Text(text) => self.push(text),
            Event::Paste(text) => self.push(&text.replace(['\n', '\r'], " ")),
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => {
                let moves = matches!(
                    key,
                    Key::Backspace | Key::Delete | Key::ArrowLeft | Key::ArrowRight | Key::Home | Key::End
                );
                if moves || modifiers.command || modifiers.alt {
                    return false;
                }
            }
            Event::Ime(_) => return false,
            _ => {}
        }
        true
    }

    fn push(&mut self, text: &str) {
        self.text.push_str(text);
        self.cursor = self.text.chars().count();
    }

    /// Looks at the text anew where it has changed.
    pub fn consider(&mut self, seen: Seen<'_>) {
        if self.looked.as_deref() == Some(self.text.as_str()) {
            return;
        }
        if self.looked.is_some() {
            self.refused = None;
            self.chosen = None;
        }
        self.looked = Some(self.text.clone());
        let Some(spot) = self.spot else { return };
        let Some(quantity) = seen.quantity(spot.quantity) else {
            return;
        };
        let is_formula = match spot.field {
            Field::Formula => quantity.role != Role::Seek,
            Field::Value(_) => !matches!(quantity.sort, Sort::Text) || self.text.trim_start().starts_with('"'),
            _ => false,
        };
        self.look = (is_formula && !self.text.trim().is_empty())
            .then(|| {
                seen.session
                    .look(&seen.results.name, &quantity.name, &self.text, seen.is_whole(spot))
            })
            .flatten();
        self.offers = offers(seen, spot, &self.text, self.cursor);
    }

    /// Puts an offer in the place of the letters before the cursor.
    pub fn accept(&mut self, index: usize) {
        let Some(offer) = self.offers.get(index).cloned() else {
            return;
        };
        let from = self.cursor.saturating_sub(offer.instead_of);
        let before: String = self.text.chars().take(from).collect();
        let after: String = self.text.chars().skip(self.cursor).collect();
        self.text = format!("{before}{}{after}", offer.text);
        self.cursor = from + offer.text.chars().count();
        self.to = Some(self.cursor);
        self.chosen = None;
        self.offers.clear();
    }
}

/// Offers shown at most.
const MOST: usize = 8;

/// What could stand at the cursor.
pub fn offers(seen: Seen<'_>, spot: Spot, text: &str, cursor: usize) -> Vec<Offer> {
    let before: String = text.chars().take(cursor).collect();
    let Some(quantity) = seen.quantity(spot.quantity) else {
        return Vec::new();
    };
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
        Field::Kind => from_list(
            Kind::all()
                .map(|kind| (kind.words().to_owned(), kind.entry().help.to_owned()))
                .collect(),
        ),
        Field::Source => from_list(
            SourceWord::ALL
                .iter()
                .map(|source| (source.word().to_owned(), "where the given comes from".to_owned()))
                .collect(),
        ),
        Field::Unit => {
            let bare = whole.strip_prefix("in ").unwrap_or(&whole);
            units(bare)
        }
        Field::Label | Field::Symbol => Vec::new(),
        Field::Value(_) if matches!(quantity.sort, Sort::Choice(_)) => match &quantity.sort {
            Sort::Choice(words) => from_list(
                words
                    .iter()
                    .map(|word| (word.to_string(), "one of the choices".to_owned()))
                    .collect(),
            ),
            _ => Vec::new(),
        },
        Field::Value(_) if matches!(quantity.sort, Sort::Text) => Vec::new(),
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
        let own = seen.unit(spot.quantity, System::AsWritten);
        if !own.is_empty() && own.starts_with(beginning) && own != beginning {
            out.push(Offer {
                text: own.clone(),
                help: "the unit of this quantity".to_owned(),
                instead_of: beginning.chars().count(),
            });
        }
        out.extend(units(beginning).into_iter().filter(|offer| offer.text != own));
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
                add(quantity.name.to_string(), described(quantity));
            }
        }
        out.truncate(MOST);
        return out;
    }
    for quantity in &seen.results.quantities {
        if fits(&quantity.name) {
            add(quantity.name.to_string(), described(quantity));
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
    out.truncate(MOST);
    out
}

fn title_of<'t>(title: &'t str, name: &'t str) -> &'t str {
    if title.is_empty() { name } else { title }
}

fn described(quantity: &crate::recalc::QuantityResults) -> String {
    let what = super::spot::sort_words(&quantity.sort);
    match quantity.title.as_str() {
        "" => what,
        title => format!("{title}: {what}"),
    }
}

fn units(beginning: &str) -> Vec<Offer> {
    let count = beginning.chars().count();
    let mut out: Vec<Offer> = Unit::all()
        .filter(|entry| {
            (entry.symbol.starts_with(beginning) && entry.symbol != beginning)
                || (count > 0
                    && entry
                        .aliases
                        .iter()
                        .any(|alias| alias.starts_with(beginning) && alias != beginning))
        })
        .map(|entry| Offer {
            text: entry.symbol.clone(),
            help: entry.quantity.clone(),
            instead_of: count,
        })
        .collect();
    out.sort_by_key(|offer| !offer.text.starts_with(beginning));
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
        editing.cursor = 3;
        editing.consider(Seen::of(&session, 0).unwrap());
        editing.accept(0);
        assert_eq!((editing.text.as_str(), editing.cursor), ("P_out / P_in", 5));
    }

    #[test]
    fn letters_are_taken_until_a_key_needs_the_screen() {
        let mut editing = Editing::open(
            0,
            Spot {
                quantity: 0,
                field: Field::Value(0),
            },
            String::new(),
            String::new(),
        );
        let key = |key| Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        };
        assert!(editing.take(&key(Key::Num1)) && editing.take(&Event::Text("1".into())));
        assert!(editing.take(&Event::Text("5 kW".into())));
        assert!(!editing.take(&key(Key::Backspace)));
        assert_eq!(editing.text, "15 kW");
        assert_eq!(end(&key(Key::Enter)), Some(End::Down(false)));
    }
}
