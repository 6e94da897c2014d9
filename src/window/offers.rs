//! What could stand at the cursor of a text that is typed: names, units, functions, series, tables, kinds, sources, words that begin a
//! line; each with one line of help.
//!
//! Always: what is whole as it stands needs nothing; of names and units those that fit come first.
//! Not known here: keys, drawing.

use super::library::{self, LEAST};
use super::live;
use super::spot::{Field, Seen, Spot};
use super::whole::is_line;
use crate::fault::Fault;
use crate::language::check::Sort;
use crate::language::functions;
use crate::language::syntax::words::outside_quotes;
use crate::quantity::{Kind, System, Unit, conversion};
use crate::recalc::{QuantityResults, Showing};
use crate::workbook::text::WORDS;
use crate::workbook::{SourceWord, Statement};

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

/// Offers shown at most.
const MOST: usize = 6;

/// What could stand at the cursor.
pub fn offers(seen: Seen<'_>, spot: Spot, text: &str, cursor: usize) -> Vec<Offer> {
    let before: String = text.chars().take(cursor).collect();
    let sort = seen.quantity(spot.quantity).map(|quantity| &quantity.sort);
    let whole = before.trim_start();
    match spot.field {
        Field::Kind => {
            let quantity = seen.quantity(spot.quantity);
            let unit = quantity.and_then(|quantity| live::unit_of(seen, quantity));
            kinds(whole.trim_start_matches([':', ' ']), unit.as_ref())
        }
        Field::Source => sources(seen, whole),
        Field::Unit => {
            let bare = whole.strip_prefix("in ").unwrap_or(whole);
            let quantity = seen.quantity(spot.quantity);
            let with = quantity.and_then(|quantity| live::measure(seen, quantity));
            units(seen, bare, (with.as_ref(), true))
        }
        Field::Label | Field::Symbol if is_line(spot, text) => line(seen, spot, &before),
        Field::Label | Field::Symbol => match seen.behind_symbol(spot, &before) {
            Some((_, value)) => formula(seen, spot, value),
            None => Vec::new(),
        },
        Field::Value(_) if let Some(Sort::Choice(words)) = sort => {
            let words = words
                .iter()
                .map(|word| (word.to_string(), "one of the choices".to_owned()));
            begun(whole, words)
        }
        Field::Value(_) if matches!(sort, Some(Sort::Text)) => Vec::new(),
        Field::Value(_) | Field::Formula => formula(seen, spot, &before),
        Field::Line => line(seen, spot, &before),
    }
}

/// Words that begin a line and are not typed: those that say what file this is and where its rows are.
const NOT_TYPED: [&str; 2] = ["polepair", "rows"];

/// What could stand at the cursor of a whole line: the word it begins with, a kind behind `:`, a source behind that, else what could
/// stand in a formula.
fn line(seen: Seen<'_>, spot: Spot, before: &str) -> Vec<Offer> {
    let bare = before.trim_start();
    if in_quotes(bare) || bare.is_empty() {
        return Vec::new();
    }
    if !bare.contains(char::is_whitespace) {
        let words = WORDS.iter().filter(|(word, _)| !NOT_TYPED.contains(word));
        return begun(bare, words.map(|(word, help)| (format!("{word} "), (*help).to_owned())));
    }
    let behind = outside_quotes(bare)
        .filter(|(_, letter)| *letter == ':')
        .last()
        .and_then(|(at, _)| Some((bare.get(..at)?, bare.get(at + 1..)?)));
    let is_given = bare.starts_with("given ");
    let word = word_before(bare);
    let head = bare.strip_suffix(word).unwrap_or(bare).trim_end();
    if let Some((head, rest)) = behind.filter(|(_, rest)| !rest.contains([')', '=', '|', '"', ','])) {
        let found = kinds(rest.trim_start(), unit_of_line(seen, head).as_ref());
        let is_kind = |text: &str| Kind::find(text.trim()).is_some();
        let ended = rest.trim_end().strip_suffix(word).unwrap_or(rest);
        if found.is_empty() && is_given && is_kind(ended) {
            return sources(seen, word);
        }
        return found;
    }
    if is_given && head.ends_with('"') {
        return sources(seen, word);
    }
    formula(seen, spot, before)
}

/// The unit of the values of a line that is typed as far as its kind; `None` for parameters, and where nothing is known of it.
fn unit_of_line(seen: Seen<'_>, head: &str) -> Option<Unit> {
    let look = seen.session.look_line(&seen.results.name, head)?;
    match look.sort {
        Sort::Quantity { unit, .. } if !look.faults.iter().any(Fault::is_error) => Some(unit),
        _ => None,
    }
}

/// Offers that begin with a text and are not whole with it.
fn begun(beginning: &str, words: impl IntoIterator<Item = (String, String)>) -> Vec<Offer> {
    let count = beginning.chars().count();
    let fits = |word: &str| word.starts_with(beginning) && word.trim_end() != beginning;
    let words = words.into_iter().filter(|(word, _)| fits(word)).take(MOST);
    words
        .map(|(text, help)| Offer {
            text,
            help,
            instead_of: count,
        })
        .collect()
}

/// Words for where a given comes from, and what was typed for one before.
fn sources(seen: Seen<'_>, beginning: &str) -> Vec<Offer> {
    if SourceWord::find(beginning).is_some() {
        return Vec::new();
    }
    let words = SourceWord::ALL.map(|source| (source.word().to_owned(), source.help().to_owned()));
    let known = live::sources_known(seen)
        .into_iter()
        .filter(|_| !beginning.is_empty())
        .map(|source| (source, "typed before in this workbook".to_owned()));
    begun(beginning, words.into_iter().chain(known))
}

/// The letters of a name that is begun before the cursor.
pub fn word_before(before: &str) -> &str {
    before.rsplit(|letter: char| !is_name(letter)).next().unwrap_or("")
}

fn in_quotes(before: &str) -> bool {
    before.matches('"').count() % 2 == 1
}

fn is_name(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_' || letter == '′'
}

fn formula(seen: Seen<'_>, spot: Spot, before: &str) -> Vec<Offer> {
    if in_quotes(before) {
        return Vec::new();
    }
    // A number, perhaps a blank, and the beginning of a unit.
    let unit_at = before
        .rfind(|letter: char| letter.is_whitespace() || letter == '(')
        .map_or(0, |at| at + 1);
    let beginning = before.get(unit_at..).unwrap_or("");
    let head = before.get(..unit_at).unwrap_or("").trim_end();
    let last = head
        .rsplit(|letter: char| !is_name(letter) && letter != '.')
        .next()
        .unwrap_or("");
    let after_number = last.starts_with(|letter: char| letter.is_ascii_digit())
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
        let offered = units(seen, beginning, (here.as_ref(), alone));
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
    let word = word_before(before);
    if word.is_empty() || word.starts_with(|letter: char| letter.is_ascii_digit()) {
        return Vec::new();
    }
    // A name that is whole needs nothing.
    if seen.results.quantities.iter().any(|known| *known.name == *word) {
        return Vec::new();
    }
    let rest = before.get(..before.len() - word.len()).unwrap_or("");
    let results = seen.session.results();
    let of_sheet = |quantities: &[QuantityResults]| -> Vec<(String, String)> {
        let told = |quantity: &QuantityResults| (quantity.name.to_string(), described(quantity, seen.system));
        quantities
            .iter()
            .filter(|quantity| quantity.name.starts_with(word))
            .map(told)
            .collect()
    };
    if let Some(owner) = rest.strip_suffix('.') {
        let sheet = results.sheets.iter().find(|sheet| owner.ends_with(&*sheet.name));
        return begun(word, sheet.map(|sheet| of_sheet(&sheet.quantities)).unwrap_or_default());
    }
    let sheets = results.sheets.iter().filter(|sheet| sheet.name != seen.results.name);
    let sheets = sheets.map(|sheet| {
        let title = title_of(&sheet.title, &sheet.name);
        (format!("{}.", sheet.name), format!("quantities of {title}"))
    });
    let named = of_sheet(&seen.results.quantities).into_iter().chain(sheets);
    let known = library::all().map(|entry| (entry.begins.clone(), entry.beside()));
    let mut out = begun(word, named.chain(own_calls(seen)).chain(known));
    // Who knows what it is about and not what it is called finds it too.
    if word.chars().count() >= LEAST {
        let offered = |begins: &str| out.iter().any(|offer| offer.text == begins);
        let functions = library::found(word)
            .into_iter()
            .filter(|entry| entry.begins.ends_with('('));
        let about: Vec<Offer> = functions
            .filter(|entry| !offered(&entry.begins))
            .map(|entry| Offer {
                help: entry.beside(),
                text: entry.begins.clone(),
                instead_of: word.chars().count(),
            })
            .collect();
        out.extend(about);
    }
    out.truncate(MOST);
    out
}

/// Curves and definitions of the sheet.
fn own_calls(seen: Seen<'_>) -> impl Iterator<Item = (String, String)> {
    seen.sheet.lines.iter().filter_map(|line| match &line.statement {
        Statement::Curve { name, parameter, .. } => {
            Some((format!("{name}("), format!("({parameter}) a curve of this sheet")))
        }
        Statement::Define { name, parameters, .. } => {
            let names: Vec<&str> = parameters.iter().map(|(name, _)| &**name).collect();
            Some((
                format!("{name}("),
                format!("({}) a definition of this sheet", names.join(", ")),
            ))
        }
        _ => None,
    })
}

/// The function that the cursor stands in the brackets of, with what is to stand there.
pub fn within(before: &str) -> Option<String> {
    let mut open: Vec<(usize, usize)> = Vec::new();
    for (at, letter) in outside_quotes(before) {
        match letter {
            '(' => open.push((at, 0)),
            ')' => {
                let _ = open.pop();
            }
            ',' => {
                if let Some((_, count)) = open.last_mut() {
                    *count += 1;
                }
            }
            _ => {}
        }
    }
    open.into_iter().rev().find_map(|(at, count)| {
        let head = before.get(..at)?;
        let function = functions::find(word_before(head))?;
        let last = function.parameters.len().checked_sub(1)?;
        let repeats = function.parameters.iter().any(|parameter| parameter.repeats);
        let parameter = function.parameters.get(if repeats { count.min(last) } else { count })?;
        Some(format!(
            "{}({}): here {}, {}",
            function.name,
            function.parameters_in_words(),
            parameter.name,
            parameter.takes.words()
        ))
    })
}

fn title_of<'t>(title: &'t str, name: &'t str) -> &'t str {
    if title.is_empty() { name } else { title }
}

fn described(quantity: &QuantityResults, system: System) -> String {
    let what = super::spot::sort_words(Showing::of(quantity, system).sort());
    match quantity.title.as_str() {
        "" => what,
        title => format!("{title}: {what}"),
    }
}

/// Kinds that begin with a text, in one of their words, or are called so; those that the values can be of.
fn kinds(beginning: &str, unit: Option<&Unit>) -> Vec<Offer> {
    let count = beginning.chars().count();
    let wanted = beginning.trim_end().to_lowercase();
    if Kind::find(&wanted).is_some() {
        return Vec::new();
    }
    let fits = |kind: &Kind| unit.is_none_or(|unit| live::is_of(unit, *kind));
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

/// Units that begin with a text. `with`: those that go with it first, and no others where `only`; else those of this sheet first. None
/// where the text is one that stands by itself: a letter alone may be the beginning of another.
fn units(seen: Seen<'_>, beginning: &str, (with, only): (Option<&Unit>, bool)) -> Vec<Offer> {
    let count = beginning.chars().count();
    let fits =
        |text: &str| with.is_none_or(|with| Unit::known(text).is_some_and(|unit| conversion(with, &unit).is_ok()));
    if Unit::known(beginning).is_some() && (count > 1 || with.is_some() && fits(beginning)) {
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
    let here: Vec<String> = (0..seen.results.quantities.len()).map(|at| seen.unit(at)).collect();
    out.sort_by_key(|(fits, offer)| (!fits, !here.contains(&offer.text), !offer.text.starts_with(beginning)));
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
}
