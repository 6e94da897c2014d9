//! One heading: what its column holds, in which unit, under which condition.
//!
//! For: the words of a heading, of the lines above it and of the unit row, put together to one meaning with a reason.
//! Always: a longer phrase beats a shorter one; a word that only qualifies (measured, rated, former, phase) never makes a column by
//! itself. A weak sign, such as a lone `P`, is said to be weak.
//! Not known here: rows, values.

use rust_decimal::Decimal;

use super::cell;
use super::own::{Own, TableAt};
use super::reads::{PlateUnit, Reads};
use super::words::{self, Words};
use crate::quantity::{Unit, convert};

/// What a heading says.
#[derive(Clone, Debug, Default)]
pub struct Heading {
    /// What the column is read as.
    pub reads: Option<Reads>,
    /// A second quantity in the same column (`PF / Eff`).
    pub second: Option<Reads>,
    /// Units named, in order.
    pub units: Vec<PlateUnit>,
    /// A unit that no plate has (`rev/s`, `MW`) but that converts to the one its quantity is kept in.
    pub foreign: Option<Unit>,
    /// Pole pairs, where poles are meant to be read.
    pub pairs: bool,
    /// A voltage named (`230 V` over a column of currents).
    pub at_voltage: Option<Decimal>,
    /// A frequency named (`kW 50 Hz`): that of the plate values under it.
    pub at_hertz: Option<Decimal>,
    /// One of three phases.
    pub phase: bool,
    /// Values of an earlier time.
    pub former: bool,
    /// Said to be measured.
    pub measured: bool,
    /// Said to be of the plate.
    pub rated: bool,
    /// From 0 to 1.
    pub confidence: f32,
    /// Why, in words.
    pub reason: String,
    /// The words' languages.
    pub language: Option<&'static str>,
    /// How many words were understood, and how many there are.
    pub understood: (usize, usize),
    /// Said by the user: not to be changed by what other columns hold.
    pub settled: bool,
    /// Said by the user: whole nameplates stand in its cells beside that.
    pub plates: bool,
    /// It names the motor.
    pub motor: bool,
    /// It names the machine that the motor drives, and not the motor.
    pub driven: bool,
    /// The machine it names, in the words of the heading.
    pub machine: Option<String>,
    /// It is of several motors together.
    pub together: bool,
    /// The part of the load its values are for, in per cent.
    pub at_load: Option<u32>,
    /// The connection its values are for.
    pub connection: Option<Connection>,
    /// The quantity whose unit stands in its cells.
    pub unit_of: Option<Reads>,
    /// It names a part of the plant, which may be the machine or stand over several.
    pub plant: bool,
    /// It is of something else than the motor.
    pub other: bool,
    /// It has a unit of none of a motor's quantities.
    pub strange: bool,
    /// A power taken in, of which it is not said that it was measured.
    pub perhaps_measured: bool,
    /// Its unit is none of what its words say.
    pub unfit: bool,
    /// Both readings, where it cannot be told which holds and none was taken.
    pub doubt: Option<String>,
    /// The time its hours are for, where that is no year.
    pub per: Option<Per>,
    /// It speaks of the load: `Amps under load`.
    pub loaded: bool,
    /// No word of it says what it is of, but its unit.
    pub by_unit: bool,
}

/// A time that hours are given for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Per {
    /// A week.
    Week,
    /// A month.
    Month,
    /// A shift, of which nobody knows how many there are.
    Shift,
}

impl Per {
    /// How many of them a year has, where that is known.
    pub fn in_a_year(self) -> Option<u32> {
        match self {
            Per::Week => Some(52),
            Per::Month => Some(12),
            Per::Shift => None,
        }
    }

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Per::Week => "week",
            Per::Month => "month",
            Per::Shift => "shift",
        }
    }
}

/// How a winding is connected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Connection {
    /// Delta: the lower voltage, the higher current.
    Delta,
    /// Star.
    Star,
}

/// Words that name a unit as well as a quantity.
const SPELT_OUT: &[(&str, PlateUnit)] = &[
    ("horsepower", PlateUnit::Horsepower),
    ("bhp", PlateUnit::Horsepower),
    ("bkw", PlateUnit::Kilowatt),
];

/// Lone letters and what they usually stand for.
const SYMBOLS: &[(&str, &str)] = &[
    ("p", "power"),
    ("u", "voltage"),
    ("v", "voltage"),
    ("i", "current"),
    ("n", "speed"),
    ("f", "frequency"),
    ("eta", "efficiency"),
    ("pn", "power"),
    ("un", "voltage"),
    ("in", "current"),
    ("nn", "speed"),
    ("inom", "current"),
    ("pnom", "power"),
    ("unom", "voltage"),
    ("imot", "current"),
];

/// Letters that stand for a rated value, as IEC 60027 writes it: `I_N`, `PN`.
const PLATE_SYMBOLS: &[&str] = &["pn", "un", "in", "nn", "inom", "pnom", "unom"];

/// What the user says of the column with this heading.
pub fn as_said(text: &str, which: usize, at: TableAt<'_>, own: &Own) -> Option<Heading> {
    let said = own.said(text, which, at)?;
    let count = words::words(text).len().max(1);
    Some(Heading {
        reads: said.reads,
        second: said.and.filter(|and| *and != Reads::Nameplate),
        plates: said.and == Some(Reads::Nameplate),
        units: said.unit.into_iter().collect(),
        pairs: said.pairs,
        confidence: 1.0,
        reason: "as the column map says".to_owned(),
        understood: (count, count),
        settled: true,
        ..Heading::default()
    })
}

/// The text of one heading cell with its line breaks taken away that only wrap it: a line that is a unit or a condition of its own
/// (`[A]`, `400 V`) stays one. A word parted by a hyphen at the end of its line is put together.
pub fn unwrapped(text: &str, of: &Words) -> String {
    let mut out = String::new();
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        if out.is_empty() {
            out.push_str(line);
            continue;
        }
        let stays = line.starts_with(['(', '['])
            || cell::supply_in(line).0.len() == 1
            || !cell::units_only(line).is_empty()
                && of
                    .headings()
                    .longest_at(&words::words(line))
                    .is_none_or(|phrase| phrase.says == "limit");
        let open = out.matches(['(', '[']).count() > out.matches([')', ']']).count();
        out.push(if stays && !open { '\n' } else { ' ' });
        out.push_str(line);
    }
    unhyphenated(&out, of)
}

/// A heading with its parted words put together: `Wirkungs- grad`, and `Betriebs-stunden` where the whole is a word of headings.
fn unhyphenated(text: &str, of: &Words) -> String {
    let signs: Vec<char> = text.chars().collect();
    let at = |place: usize| signs.get(place).copied().unwrap_or(' ');
    let word_from = |place: usize| -> String {
        signs
            .iter()
            .skip(place)
            .take_while(|sign| sign.is_alphabetic())
            .collect()
    };
    let word_to = |place: usize| -> String {
        let before = signs.get(..place).unwrap_or_default();
        let word: Vec<char> = before
            .iter()
            .rev()
            .take_while(|sign| sign.is_alphabetic())
            .copied()
            .collect();
        word.into_iter().rev().collect()
    };
    let mut out = String::with_capacity(text.len());
    let mut place = 0;
    while place < signs.len() {
        let mut next = place + 1;
        while at(next).is_whitespace() && next < signs.len() {
            next += 1;
        }
        let parted = at(place) == '-' && place > 0 && at(place - 1).is_alphabetic() && at(next).is_lowercase();
        let (first, rest) = (word_to(place), word_from(next));
        let joined = words::folded(&format!("{first}{rest}"));
        let is_word = |words: &[String]| of.headings().longest_at(words).is_some();
        let behind = || words::words(&signs.iter().skip(next).collect::<String>());
        let joins = parted
            && if next > place + 1 {
                // `Ein- und Ausgang` leaves a word out, and `Nenn- cos phi` is two.
                first.chars().count() > 2
                    && (is_word(std::slice::from_ref(&joined)) || !is_word(&behind()))
                    && !matches!(
                        rest.as_str(),
                        "und" | "oder" | "and" | "or" | "et" | "ou" | "y" | "o" | "e"
                    )
            } else {
                is_word(&[joined])
            };
        if joins {
            place = next;
        } else {
            out.push(at(place));
            place += 1;
        }
    }
    out
}

/// Times behind a stroke.
const RATES: [&str; 14] = [
    "a", "A", "h", "yr", "y", "year", "jahr", "Jahr", "an", "año", "ano", "day", "d", "month",
];

/// The heading without a unit that is so much a year or an hour (`kWh/a`, `starts/h`), which is given: its last letter is no unit
/// of plates. Hours a year are phrases of their own, and after a plate unit or a quantity a second one may follow (`V/A`).
fn without_rate(text: &str, of: &Words, alien: &mut Option<String>) -> Option<String> {
    let signs: Vec<(usize, char)> = text.char_indices().collect();
    let sign = |place: usize| signs.get(place).map_or(' ', |(_, sign)| *sign);
    for place in 0..signs.len() {
        if sign(place) != '/' {
            continue;
        }
        let mut next = place + 1;
        while sign(next) == ' ' && next < signs.len() {
            next += 1;
        }
        let after: String = signs
            .iter()
            .skip(next)
            .map(|(_, sign)| *sign)
            .take_while(|sign| sign.is_alphanumeric())
            .collect();
        if !RATES.contains(&after.as_str()) {
            continue;
        }
        let from = (0..place)
            .rev()
            .skip_while(|at| sign(*at) == ' ')
            .take_while(|at| !sign(*at).is_whitespace() && !matches!(sign(*at), '(' | '[' | '/' | ','))
            .last();
        let Some(from) = from else { continue };
        let start = signs.get(from).map_or(0, |(at, _)| *at);
        let slash = signs.get(place).map_or(0, |(at, _)| *at);
        let before = text.get(start..slash)?.trim();
        let all = words::words(before);
        let means = of.headings().longest_at(&all).map(|phrase| phrase.says);
        let hours = means == Some("hours_per_year")
            || matches!(all.last().map(String::as_str), Some("h" | "std" | "hr" | "hrs"));
        let pair = !cell::units_only(before).is_empty() || means.is_some_and(is_numeric);
        let both = words::words(&format!("{before} {after}"));
        let phrase = of
            .headings()
            .longest_at(&both)
            .is_some_and(|phrase| phrase.words == both.len());
        if before.is_empty() || hours || pair || phrase {
            continue;
        }
        let end = signs
            .get(next + after.chars().count())
            .map_or(text.len(), |(at, _)| *at);
        *alien = Some(text.get(start..end)?.to_owned());
        return Some(format!("{} {}", text.get(..start)?, text.get(end..)?));
    }
    None
}

/// Reads a heading (its lines joined by a line end).
pub fn read(text: &str, of: &Words) -> Heading {
    let mut heading = Heading::default();
    let joined = text.contains('-').then(|| unhyphenated(text, of));
    let text = joined.as_deref().unwrap_or(text);
    let mut alien = None;
    let without = without_rate(text, of, &mut alien);
    let text = without.as_deref().unwrap_or(text);
    let without = hertz_in(text);
    let text = match &without {
        Some((hertz, rest)) => {
            heading.at_hertz = Some(*hertz);
            heading.understood = (1, 1);
            rest.as_str()
        }
        None => text,
    };
    let without = volts_in(text).or_else(|| volts_behind(text));
    let text = match &without {
        Some((volts, rest)) => {
            heading.at_voltage = Some(*volts);
            heading.understood.0 += 1;
            heading.understood.1 += 1;
            rest.as_str()
        }
        None => text,
    };
    let without = part_load_in(text);
    let text = match &without {
        Some((load, rest)) => {
            heading.at_load = Some(*load);
            heading.understood.0 += 1;
            heading.understood.1 += 1;
            rest.as_str()
        }
        None => text,
    };
    let without = if alien.is_none() {
        without_alien(text, of, &mut alien)
    } else {
        None
    };
    let text = without.as_deref().unwrap_or(text);
    let mut said: Vec<(&'static str, usize)> = Vec::new();
    let mut weak = None;
    let mut plate_symbol = false;
    let mut foreign = Vec::new();
    let mut spelt_out = None;
    let mut loose = false;
    let mut number = None;
    for line in pieces(text, of, &mut heading, &mut foreign) {
        let all = words::words(&line);
        heading.understood.1 += all.len();
        heading.motor |= all.iter().any(|word| is_motor(word));
        number = number.or_else(|| motor_number(&all).map(str::to_owned));
        let unit = |word: &String| SPELT_OUT.iter().find(|(known, _)| known == word).map(|(_, unit)| *unit);
        spelt_out = spelt_out.or_else(|| all.iter().find_map(unit));
        let mut at = 0;
        while let Some(rest) = all.get(at..).filter(|rest| !rest.is_empty()) {
            if let Some(phrase) = of.headings().longest_at(rest) {
                // `LAST_AMP` is the last reading and no German load.
                let says = match phrase.says {
                    // `1/min` is no lowest value.
                    "limit" if is_minute(&all, at) => "",
                    "load" if rest.first().is_some_and(|word| word == "last") && is_latest(&all, at, of) => "measured",
                    says => says,
                };
                if !says.is_empty() {
                    said.push((says, phrase.words));
                }
                if phrase.says == "driven" && heading.machine.is_none() {
                    heading.machine = Some(machine_at(rest, phrase.words, of));
                }
                // Words that are the same in several languages do not tell the language.
                if phrase.words > 1 || rest.first().is_some_and(|word| word.len() > 4) {
                    heading.language = Some(phrase.language);
                }
                heading.understood.0 += phrase.words;
                at += phrase.words.max(1);
                continue;
            }
            if let Some(word) = rest.first() {
                if let Some((_, says)) = SYMBOLS.iter().find(|(symbol, _)| symbol == word) {
                    let indexed = all.get(at + 1).is_some_and(|next| next == "n") && line.contains(['_', '.']);
                    plate_symbol |= weak.is_none() && (PLATE_SYMBOLS.contains(&word.as_str()) || indexed);
                    weak = weak.or(Some(*says));
                    heading.understood.0 += 1;
                } else {
                    let units = cell::units_only(word);
                    if !units.is_empty() {
                        heading.understood.0 += 1;
                        // `p.a.` ends in no ampere: a bare letter is a unit where nothing better is known.
                        // Its capital at the end of a line is one.
                        let capital =
                            at + 1 == all.len() && line.trim_end().chars().next_back().is_some_and(char::is_uppercase);
                        loose |= word.len() == 1 && !capital;
                        heading.units.extend(units);
                    }
                }
            }
            at += 1;
        }
    }
    if let Some(number) = number {
        let machine = heading.machine.get_or_insert_with(|| "motor".to_owned());
        machine.push_str(&format!(" {number}"));
    }
    // As they stand, whether in brackets or not: of `kW (HP)` the first is kW.
    let lower = text.to_lowercase();
    heading
        .units
        .sort_by_key(|unit| lower.find(&unit.text().to_lowercase()).unwrap_or(usize::MAX));
    if heading.units.is_empty() {
        heading.units.extend(spelt_out);
    }
    if said.iter().all(|(says, _)| *says == "phase")
        && weak.is_none()
        && heading.units.is_empty()
        && let Some(says) = phase_alone(text)
    {
        said.push((says, 1));
        heading.phase = true;
        heading.understood = (1, 1);
    }
    settle(&mut heading, &said, (weak, plate_symbol), loose, text.contains('/'));
    foreign_unit(&mut heading, &foreign);
    let alone = text.trim().trim_matches(['(', ')', '[', ']']);
    if heading.reads.is_none()
        && said.is_empty()
        && alone.len() > 1
        && let (Some(unit), Some(kilowatt)) = (Unit::known(alone), Unit::known(PlateUnit::Kilowatt.text()))
        && convert(Decimal::ONE, &unit, &kilowatt).is_ok()
    {
        heading.reads = Some(Reads::RatedPower);
        heading.confidence = 0.85;
        heading.reason = format!("by the unit {alone}");
        heading.understood = (1, 1);
        heading.foreign = Some(unit);
    }
    heading.strange = alien.is_some();
    if heading.reads != Some(Reads::HoursPerYear) {
        heading.per = None;
    } else if heading.per == Some(Per::Shift) {
        heading.reads = None;
        heading.unfit = true;
        heading.reason = "hours a shift, and the list does not say how many shifts a year has".to_owned();
    }
    not_the_motors(&mut heading, alien.as_deref());
    heading
}

/// Whether the word stands for minutes: `1/min`, `min-1`, `tr/min`.
fn is_minute(all: &[String], at: usize) -> bool {
    let is = |place: Option<usize>, known: &[&str]| {
        place
            .and_then(|place| all.get(place))
            .is_some_and(|word| known.contains(&word.as_str()))
    };
    is(Some(at), &["min"])
        && (is(at.checked_add(1), &["1"])
            || is(
                at.checked_sub(1),
                &["1", "r", "u", "t", "tr", "rev", "v", "umdr", "trs", "l", "m3"],
            ))
}

/// Whether `last` stands beside a word that is not German: it is the English one then.
fn is_latest(all: &[String], last: usize, of: &Words) -> bool {
    all.iter().enumerate().any(|(place, word)| {
        place != last
            && word.chars().count() > 2
            && cell::units_only(word).len() != 1
            && of
                .headings()
                .longest_at(std::slice::from_ref(word))
                .is_none_or(|phrase| phrase.language != "de")
            || place != last && is_spelt_unit(word)
    })
}

/// A unit written as an English word.
pub(super) fn is_spelt_unit(word: &str) -> bool {
    matches!(word, "amp" | "amps" | "ampere" | "amperes" | "volts" | "rpm")
}

fn is_motor(word: &str) -> bool {
    matches!(word, "motor" | "motors" | "moteur" | "motores")
}

/// The number behind the word for a motor: `Motor 2 kW`.
fn motor_number(all: &[String]) -> Option<&str> {
    all.windows(2).find_map(|pair| match pair {
        [motor, number] if is_motor(motor) && is_one_digit(number) => Some(number.as_str()),
        _ => None,
    })
}

fn is_one_digit(word: &str) -> bool {
    word.len() == 1 && word.chars().all(|sign| sign.is_ascii_digit())
}

/// The machine that a heading names with its first words, and which of several: its number, or words behind it that are not known
/// otherwise (`Ventilateur de soufflage`).
fn machine_at(all: &[String], words: usize, of: &Words) -> String {
    let is_more = |place: &usize| {
        let Some(word) = all.get(*place) else { return false };
        let joins = matches!(word.as_str(), "de" | "d" | "du" | "del" | "do" | "da");
        let unknown = word.len() > 3
            && word.chars().all(char::is_alphabetic)
            && !is_motor(word)
            && cell::units_only(word).is_empty()
            && all.get(*place..).is_some_and(|rest| {
                of.headings()
                    .longest_at(rest)
                    .is_none_or(|phrase| phrase.says == "driven")
            });
        joins || unknown || *place == words && is_one_digit(word)
    };
    let end = (words..all.len())
        .take_while(is_more)
        .last()
        .map_or(words, |last| last + 1);
    all.get(..end).map(|words| words.join(" ")).unwrap_or_default()
}

/// What a heading that is one phase's letter and number stands over: `I1`, `U12`, `L3`.
fn phase_alone(text: &str) -> Option<&'static str> {
    let all = words::words(text);
    let [word] = all.as_slice() else { return None };
    let (letter, rest) = word.split_at_checked(1)?;
    if !matches!(rest, "1" | "2" | "3" | "12" | "23" | "31" | "13") {
        return None;
    }
    match (letter, rest.len()) {
        ("i" | "l", 1) => Some("current"),
        ("u" | "v", _) | ("l", 2) => Some("voltage"),
        _ => None,
    }
}

/// Takes back a meaning that the rest of the heading contradicts: a unit of something else, a part of the load, the driven machine.
fn not_the_motors(heading: &mut Heading, alien: Option<&str>) {
    let Some(reads) = heading.reads else { return };
    if let Some(unit) = alien
        && (reads.sort() == super::reads::Sort::Number || reads == Reads::Area)
    {
        heading.reads = None;
        heading.unfit = true;
        heading.reason = format!("the unit {unit} is none of {}", reads.title().to_lowercase());
        return;
    }
    let of_load = matches!(
        reads,
        Reads::Efficiency | Reads::PowerFactor | Reads::RatedCurrent | Reads::RatedSpeed
    );
    if let Some(load) = heading.at_load.filter(|load| *load != 100 && of_load) {
        heading.reads = None;
        heading.reason = format!("at {load} % of the load, not at the rating");
        return;
    }
    if !heading.driven || heading.motor {
        heading.driven = false;
        return;
    }
    match reads {
        Reads::RatedSpeed | Reads::MeasuredSpeed => {
            heading.reads = Some(Reads::DrivenSpeed);
            heading.driven = false;
        }
        Reads::Efficiency => {
            heading.reads = None;
            heading.reason = "of the driven machine, not of the motor".to_owned();
        }
        Reads::RatedPower => heading.confidence = heading.confidence.min(0.6),
        _ => {}
    }
}

/// The part of the load a heading names (`Eff 50 %`, `PF 3/4`), in per cent, and what is left of it.
fn part_load_in(text: &str) -> Option<(u32, String)> {
    let found = |sign: &str, part: fn(&str) -> Option<u32>| {
        let end = text.find(sign)?;
        let before = text.get(..end)?.trim_end();
        let digits = before.chars().rev().take_while(char::is_ascii_digit).count();
        let start = before.len().checked_sub(digits)?;
        let lead = before.get(..start)?;
        let load = part(before.get(start..)?)?;
        let clear = !lead.ends_with(['.', ',', '/', '-', '±']) && lead.chars().any(char::is_alphabetic);
        clear.then(|| (load, lead.to_owned(), end + sign.len()))
    };
    let percent = |digits: &str| {
        digits
            .parse()
            .ok()
            .filter(|load| matches!(load, 25 | 50 | 75 | 100 | 110 | 115 | 125))
    };
    let quarters = |digits: &str| {
        digits
            .parse::<u32>()
            .ok()
            .filter(|load| *load <= 5)
            .map(|load| load * 25)
    };
    let halves = |digits: &str| {
        digits
            .parse::<u32>()
            .ok()
            .filter(|load| matches!(load, 1 | 2))
            .map(|load| load * 50)
    };
    let (load, lead, end) = found("%", percent)
        .or_else(|| found("/4", quarters))
        .or_else(|| found("/2", halves))?;
    let tail = text.get(end..)?;
    if tail.starts_with(|sign: char| sign.is_alphanumeric()) {
        return None;
    }
    Some((load, format!("{lead} {tail}")))
}

/// The heading without a unit that is none of a motor's quantities (`Air m³/h`), which is given.
fn without_alien(text: &str, of: &Words, alien: &mut Option<String>) -> Option<String> {
    const TARGETS: [PlateUnit; 9] = [
        PlateUnit::Kilowatt,
        PlateUnit::Volt,
        PlateUnit::Ampere,
        PlateUnit::TurnsPerMinute,
        PlateUnit::Hertz,
        PlateUnit::Hour,
        PlateUnit::NewtonMetre,
        PlateUnit::Kilogram,
        PlateUnit::Percent,
    ];
    let lower = text.to_lowercase();
    for noise in ["db(a)", "db (a)"] {
        if lower.len() == text.len()
            && let Some(start) = lower.find(noise)
        {
            *alien = Some("dB".to_owned());
            return Some(format!("{} {}", text.get(..start)?, text.get(start + noise.len()..)?));
        }
    }
    let is_mark = |sign: char| sign.is_whitespace() || matches!(sign, '(' | ')' | '[' | ']' | ',' | ';' | ':');
    let bracketed = |token: &str| ["(", "["].iter().any(|open| text.contains(&format!("{open}{token}")));
    for token in text
        .split(is_mark)
        .filter(|token| token.chars().count() > 1 || *token == "m")
    {
        let compound = token.contains(['/', '³', '²', '°']) || token.contains("m3") || token.contains("m2");
        if !compound && !bracketed(token) || !cell::units_only(token).is_empty() {
            continue;
        }
        let all = words::words(token);
        if of.headings().longest_at(&all).is_some() {
            continue;
        }
        let written = token.replace("m3", "m³").replace("m2", "m²");
        let Some(unit) = Unit::known(&written) else { continue };
        let is_of = |target: PlateUnit| {
            Unit::known(target.text()).is_some_and(|target| convert(Decimal::ONE, &unit, &target).is_ok())
        };
        if !TARGETS.into_iter().any(is_of) {
            *alien = Some(token.to_owned());
            return Some(text.replacen(token, " ", 1));
        }
    }
    None
}

/// The voltage a heading names behind `@` or `at` (`FLC @415V`), and what is left of it.
fn volts_in(text: &str) -> Option<(Decimal, String)> {
    let lower = text.to_ascii_lowercase();
    let (start, sign) = ["@", " at ", " bei "]
        .into_iter()
        .find_map(|sign| Some((lower.rfind(sign)?, sign)))?;
    let (volts, hertz) = cell::supply_in(text.get(start + sign.len()..)?);
    let [volts] = volts.as_slice() else { return None };
    let rest = text.get(..start)?.trim_end();
    let alone = words::words(text.get(start + sign.len()..)?).len() <= 2;
    (alone && hertz.is_empty() && rest.chars().any(char::is_alphabetic)).then(|| (*volts, rest.to_owned()))
}

/// The voltage behind the unit of a column of currents, as in `A 400V` and `A/400 V`, and what is left of it.
fn volts_behind(text: &str) -> Option<(Decimal, String)> {
    let bare = text.trim_end().strip_suffix(['V', 'v'])?.trim_end();
    let digits = bare.chars().rev().take_while(char::is_ascii_digit).count();
    let start = bare.len().checked_sub(digits).filter(|_| digits == 3)?;
    let lead = bare.get(..start)?.trim_end_matches(['/', ' ', '\n']);
    let of_current = lead.ends_with(['A', 'a', ')']) || lead.to_lowercase().ends_with("amps");
    let value = bare.get(start..)?.parse::<u32>().ok()?;
    (of_current && lead.len() < start).then(|| (Decimal::from(value), lead.to_owned()))
}

/// The frequency a heading names beside something else (`kW 50 Hz`, `Speed (at 60 Hz)`), and what is left of it.
fn hertz_in(text: &str) -> Option<(Decimal, String)> {
    let lower = text.to_ascii_lowercase();
    let end = lower.find("hz")?;
    // A second one makes it a pair or a heading of a frequency.
    if lower.matches("hz").count() > 1 {
        return None;
    }
    let before = lower.get(..end)?.trim_end();
    let hertz = match before {
        _ if before.ends_with("50") => 50,
        _ if before.ends_with("60") => 60,
        _ => return None,
    };
    let start = before.len() - 2;
    let lead = lower.get(..start)?;
    if lead.ends_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '/' | '-' | ',' | '.')) {
        return None;
    }
    let lead = lead.trim_end_matches(['@', ' ', '(', '[', '\u{a0}']);
    let lead = ["at", "bei", "à", "a"]
        .into_iter()
        .find_map(|word| lead.strip_suffix(word).filter(|rest| rest.ends_with([' ', '(', '['])))
        .map_or(lead, |rest| rest.trim_end_matches([' ', '(', '[']));
    let tail = text.get(end + 2..)?.trim_start_matches([' ', ')', ']']);
    let mut rest = text.get(..lead.len())?.to_owned();
    if !tail.is_empty() {
        rest.push_str(if tail.starts_with('\n') { "" } else { " " });
        rest.push_str(tail);
    }
    rest.chars()
        .any(char::is_alphabetic)
        .then(|| (Decimal::from(hertz), rest))
}

/// Cuts a heading into its texts, taking out units in brackets and lines, and voltages.
fn pieces<'t>(text: &'t str, of: &Words, heading: &mut Heading, foreign: &mut Vec<&'t str>) -> Vec<String> {
    let mut lines = Vec::new();
    for line in text.lines() {
        let mut plain = String::new();
        let mut rest = line;
        while let Some(open) = rest.find(['[', '(']) {
            let close = rest
                .get(open..)
                .and_then(|tail| tail.find([']', ')']))
                .map(|place| open + place);
            let Some(close) = close else { break };
            plain.push_str(rest.get(..open).unwrap_or(""));
            let inside = rest.get(open + 1..close).unwrap_or("");
            let units = cell::units_only(inside);
            if units.is_empty() {
                foreign.push(inside.trim());
                if !voltage_in(inside, heading) {
                    plain.push(' ');
                    plain.push_str(inside);
                }
            } else {
                heading.understood.0 += 1;
                heading.understood.1 += 1;
                heading.units.extend(units);
            }
            plain.push(' ');
            rest = rest.get(close + 1..).unwrap_or("");
        }
        plain.push_str(rest);
        if let Some(before) = plain.trim_end().strip_suffix('%')
            && before.chars().any(char::is_alphabetic)
        {
            plain = before.to_owned();
            heading.units.push(PlateUnit::Percent);
            heading.understood.0 += 1;
            heading.understood.1 += 1;
        }
        // `Power MW`, `Speed, rev/s`: the last word, and a line that is one word.
        foreign.extend(rest.rsplit([' ', ',', ':']).next().map(str::trim));
        // `Volts / Amps` are two quantities, not volts in amperes and no unit.
        let meant = |text: &str| {
            let all = words::words(text);
            let phrase = of.headings().longest_at(&all)?;
            (phrase.words == all.len() && is_numeric(phrase.says)).then_some(phrase.says)
        };
        if let Some((before, after)) = plain.split_once(['/', '&', '|'])
            && let (Some(first), Some(last)) = (meant(before), meant(after))
            && first != last
        {
            lines.push(plain);
            continue;
        }
        let whole = cell::units_only(&plain);
        if !whole.is_empty() {
            heading.understood.0 += 1;
            heading.understood.1 += 1;
            heading.units.extend(whole);
            continue;
        }
        if voltage_in(&plain, heading) {
            continue;
        }
        // `Rating - kW/HP`, `Speed, r/min`: a unit after the last sign.
        if let Some((before, after)) = plain.rsplit_once([',', '-', ':', '/', '–'])
            && !cell::units_only(after).is_empty()
        {
            let (before, after) = match plain.split_once([',', ':', '–']).or_else(|| plain.split_once(" - ")) {
                Some((first, last)) if !cell::units_only(last).is_empty() => (first, last),
                _ => (before, after),
            };
            // `Hrs/yr` and `V/Ph/Hz` are phrases; only take the unit off where the rest still says something.
            let as_phrase = words::words(&plain);
            if of
                .headings()
                .longest_at(&as_phrase)
                .is_none_or(|phrase| phrase.words < as_phrase.len())
                && words::words(before).iter().any(|word| word.len() > 1)
            {
                heading.understood.0 += 1;
                heading.understood.1 += 1;
                heading.units.extend(cell::units_only(after));
                lines.push(before.to_owned());
                continue;
            }
        }
        lines.push(plain);
    }
    lines
}

/// Takes a text that is a voltage (`230 V`) as the condition of the column.
fn voltage_in(text: &str, heading: &mut Heading) -> bool {
    let text = text.trim().trim_start_matches(['@']).trim_start_matches("at ").trim();
    let (volts, hertz) = cell::supply_in(text);
    if volts.len() == 1 && hertz.is_empty() && words::words(text).len() <= 2 {
        heading.at_voltage = volts.first().copied();
        heading.understood.0 += 1;
        heading.understood.1 += 1;
        return true;
    }
    false
}

fn settle(
    heading: &mut Heading,
    said: &[(&'static str, usize)],
    (weak, plate_symbol): (Option<&'static str>, bool),
    loose: bool,
    shared: bool,
) {
    let mut base: Option<&'static str> = None;
    let mut second = None;
    let (mut input, mut other, mut each, mut unit_of) = (false, false, false, None);
    let (mut limit, mut idle) = (false, false);
    for (says, _) in said {
        let of_plate = matches!(*says, "plate_speed" | "plate_voltage");
        heading.rated |= of_plate;
        let says = says.strip_prefix("plate_").filter(|_| of_plate).unwrap_or(says);
        match says {
            "measured" => heading.measured = true,
            "rated" => heading.rated = true,
            "former" => heading.former = true,
            "phase" => heading.phase = true,
            "input" => input = true,
            "taken_in" => {
                input = true;
                heading.perhaps_measured = true;
            }
            "other" => other = true,
            "limit" => limit = true,
            // `Line amps` beside those of the plate are read at the line.
            "between_lines" => heading.loaded = true,
            "idle" => idle = true,
            "plant" => {
                heading.plant = true;
                base = base.or(Some("description"));
            }
            "together" => heading.together = true,
            "each" => each = true,
            "delta" => heading.connection = Some(Connection::Delta),
            "star" => heading.connection = Some(Connection::Star),
            "driven" => heading.driven = true,
            "per_year" => {}
            "hours_per_month" => {
                heading.per = Some(Per::Month);
                base = Some("hours_per_year");
            }
            "per_week" => heading.per = Some(Per::Week),
            "per_month" => heading.per = Some(Per::Month),
            "per_shift" => heading.per = Some(Per::Shift),
            "unit_of_power" if base.is_some_and(is_numeric) && heading.units.is_empty() => unit_of = base,
            "pole_pairs" => {
                heading.pairs = true;
                base = Some("poles");
            }
            "plate_current" => {
                heading.rated = true;
                base = Some("current");
            }
            says => match base {
                None => base = Some(says),
                // `Rating kVA` stands over transformers and sets: no rating of a motor.
                Some("power") if says == "apparent_power" && heading.units.is_empty() => base = Some(says),
                // `Measured voltage` under `Motor`, `Motor power`: the more telling one stays.
                Some(known) => {
                    if known == "nameplate" || is_numeric(says) && !is_numeric(known) {
                        base = Some(says);
                    } else if is_numeric(says) && says != known && second.is_none() {
                        second = Some(says);
                    }
                }
            },
        }
    }
    if other {
        heading.other = true;
        heading.reason = "its words are of something else than the motor".to_owned();
        return;
    }
    heading.loaded |= said.iter().any(|(says, _)| *says == "load");
    if let Some(base) = unit_of {
        heading.unit_of = match base {
            "power" => Some(Reads::RatedPower),
            "speed" => Some(Reads::RatedSpeed),
            "voltage" => Some(Reads::Voltage),
            "current" => Some(Reads::RatedCurrent),
            other => Reads::find(other),
        };
        heading.reads = (base == "power").then_some(Reads::UnitOfPower);
        heading.confidence = 0.9;
        heading.reason = "by the words of the heading".to_owned();
        return;
    }
    // `P unit. (kW)`: the rating of each.
    if base == Some("unit_of_power") && heading.units.first().is_some_and(|unit| unit.kilowatts().is_some()) {
        base = None;
        each = true;
    }
    heading.together &= !each;
    let mut confidence: f32 = 0.95;
    let mut reason = match base {
        Some(_) => "by the words of the heading".to_owned(),
        None => String::new(),
    };
    if matches!(base, None | Some("nameplate")) && input {
        base = Some("power");
        reason = "by the words of the heading".to_owned();
    }
    // `Motor` over a unit is the quantity of that unit.
    if base == Some("nameplate") && heading.units.first().is_some_and(|unit| of_unit(*unit).is_some()) {
        base = None;
    }
    if base.is_none() && heading.driven && heading.units.is_empty() && weak.is_none() {
        base = Some("description");
        reason = "by the words of the heading".to_owned();
    }
    if base.is_none()
        && let Some(unit) = heading.units.first()
    {
        base = of_unit(*unit);
        heading.by_unit = base.is_some();
        confidence = 0.85;
        reason = format!("by the unit {}", unit.text());
    }
    if base.is_none()
        && let Some(symbol) = weak
    {
        base = Some(symbol);
        // `I nominal`, `Meas. V`: a word beside it says whose value it is, so that the letter stands for a quantity.
        (confidence, reason) = match (heading.measured, heading.rated) {
            (true, _) => (0.8, "by its letter, said to be measured".to_owned()),
            (_, true) => (0.8, "by its letter, said to be of the plate".to_owned()),
            _ => (0.5, "by a lone letter".to_owned()),
        };
    }
    if base.is_none() && heading.phase && heading.measured {
        base = Some("current");
        confidence = 0.6;
        reason = "one of three phases".to_owned();
    }
    let Some(base) = base else { return };
    let symbol = weak.filter(|_| plate_symbol);
    if symbol == Some(base) && !heading.measured {
        heading.rated = true;
        if confidence < 0.85 {
            confidence = 0.85;
            reason = "by the usual letters of a plate value".to_owned();
        }
    }
    let measured = heading.measured && !heading.rated;
    let rated = heading.rated;
    let phase = heading.phase;
    let reads = match base {
        "power" if input || measured => Some(Reads::MeasuredPower),
        "power" => Some(Reads::RatedPower),
        "speed" if measured => Some(Reads::MeasuredSpeed),
        "speed" => Some(Reads::RatedSpeed),
        // Plates give one voltage and one current; three phases are a reading.
        "voltage" | "current" if phase && !rated && !measured => {
            confidence = 0.8;
            reason = "one of three phases".to_owned();
            Some(if base == "voltage" {
                Reads::MeasuredVoltage
            } else {
                Reads::MeasuredCurrent
            })
        }
        "voltage" if measured => Some(Reads::MeasuredVoltage),
        "voltage" => Some(Reads::Voltage),
        "current" if measured => Some(Reads::MeasuredCurrent),
        "current" => Some(Reads::RatedCurrent),
        // A measured frequency is the one a drive gave at the time.
        "frequency" if measured => Some(Reads::OutputFrequency),
        // A measured power factor or efficiency is not the plate's.
        "power_factor" | "efficiency" if measured => None,
        "supply" if measured => None,
        other => Reads::find(other),
    };
    if input && !measured && reads == Some(Reads::MeasuredPower) {
        // A calculated one stands under the same words.
        confidence = 0.6;
        reason = "by the words of the heading, which do not say that it was measured".to_owned();
    }
    let of_plate_or_reading = matches!(
        reads,
        Some(
            Reads::RatedCurrent
                | Reads::MeasuredCurrent
                | Reads::Voltage
                | Reads::MeasuredVoltage
                | Reads::RatedSpeed
                | Reads::MeasuredSpeed
                | Reads::Frequency
                | Reads::OutputFrequency
        )
    );
    if idle && of_plate_or_reading && !heading.rated {
        if base == "current" {
            heading.reads = Some(Reads::NoLoadCurrent);
            heading.confidence = 0.85;
            heading.reason = "said to be of the motor without load".to_owned();
        } else {
            heading.reason = "of the motor without load".to_owned();
        }
        return;
    }
    if limit && of_plate_or_reading && !heading.measured && !heading.rated {
        heading.unfit = true;
        heading.reason = "a limit, a setting or a worked value, neither of the plate nor measured".to_owned();
        return;
    }
    // kVA is no rating of a motor: `Rating kVA` stands over transformers and sets.
    let reads = match reads {
        Some(Reads::RatedPower | Reads::MeasuredPower) if heading.units.first() == Some(&PlateUnit::Kilovoltampere) => {
            reason = "by the unit kVA".to_owned();
            Some(Reads::ApparentPower)
        }
        reads => reads,
    };
    // The unit contradicts the words: `Load` over kW, `Consumption` over A. It is no quantity of the words then.
    if let (Some(found), Some(unit)) = (reads, heading.units.first())
        && (found.sort() == super::reads::Sort::Number
            || matches!(
                found,
                Reads::Description | Reads::Area | Reads::Enclosure | Reads::EfficiencyClass | Reads::Item
            ))
        && found != Reads::Supply
        && !heading.units.iter().any(|unit| unit.fits(found))
    {
        if loose {
            heading.reads = reads;
            heading.confidence = 0.6;
            heading.reason = format!("{reason}, though the unit {} does not fit", unit.text());
            heading.units.clear();
            return;
        }
        // `Ie (A)` is the rated operational current.
        heading.rated |= found == Reads::EfficiencyClass;
        let said_input = input || measured || matches!(base, "load" | "absorbed_power");
        heading.reads = match of_unit(*unit) {
            _ if matches!(found, Reads::Enclosure | Reads::Item) => None,
            Some("power") if said_input => Some(Reads::MeasuredPower),
            Some("power") => Some(Reads::RatedPower),
            Some("current") if said_input => Some(Reads::MeasuredCurrent),
            Some("current") => Some(Reads::RatedCurrent),
            Some("voltage") if said_input => Some(Reads::MeasuredVoltage),
            Some("speed") if said_input => Some(Reads::MeasuredSpeed),
            Some("speed") => Some(Reads::RatedSpeed),
            Some(other) => Reads::find(other),
            None => None,
        };
        heading.unfit = heading.reads.is_none();
        heading.confidence = 0.6;
        // `kW / Speed`: both stand in the cells.
        if shared && heading.reads.is_some_and(|first| may_share(first, found)) {
            heading.second = Some(found);
            heading.confidence = 0.8;
            heading.reason = "by the words and the unit of the heading".to_owned();
            return;
        }
        heading.reason = match heading.reads {
            Some(_) => format!(
                "by the unit {}, though the words say {}",
                unit.text(),
                found.title().to_lowercase()
            ),
            None => format!("the unit {} is none of {}", unit.text(), found.title().to_lowercase()),
        };
        return;
    }
    heading.reads = reads;
    heading.second = second
        .and_then(|second| match second {
            "power" => Some(Reads::RatedPower),
            "speed" => Some(if measured {
                Reads::MeasuredSpeed
            } else {
                Reads::RatedSpeed
            }),
            "voltage" => Some(if measured {
                Reads::MeasuredVoltage
            } else {
                Reads::Voltage
            }),
            "current" => Some(if measured {
                Reads::MeasuredCurrent
            } else {
                Reads::RatedCurrent
            }),
            other => Reads::find(other),
        })
        .filter(|second| reads.is_some_and(|first| may_share(first, *second)));
    if heading.former {
        confidence -= 0.4;
    }
    heading.confidence = confidence;
    heading.reason = reason;
}

/// Takes a unit that no plate has but that the quantity of the column converts from. A written unit that does not fit is said.
fn foreign_unit(heading: &mut Heading, written: &[&str]) {
    let Some(reads) = heading.reads.filter(|_| heading.units.is_empty()) else {
        return;
    };
    let usual = reads.usual();
    if !matches!(
        usual,
        PlateUnit::Kilowatt
            | PlateUnit::Kilovoltampere
            | PlateUnit::Volt
            | PlateUnit::Ampere
            | PlateUnit::TurnsPerMinute
            | PlateUnit::Hertz
            | PlateUnit::Hour
            | PlateUnit::NewtonMetre
    ) {
        return;
    }
    let Some(target) = Unit::known(usual.text()) else {
        return;
    };
    for text in written.iter().filter(|text| text.chars().count() > 1) {
        if !cell::units_only(text).is_empty() {
            continue;
        }
        let Some(unit) = Unit::known(text) else { continue };
        // Hours under `(d)` or `(yr)` are hours a day or a year, not days.
        if usual != PlateUnit::Hour && convert(Decimal::ONE, &unit, &target).is_ok() {
            heading.foreign = Some(unit);
            return;
        }
        // `[h/d]` and `[h/Tag]` are hours, as the words say.
        let hours = words::words(text)
            .first()
            .is_some_and(|word| matches!(word.as_str(), "h" | "hr" | "hrs" | "std" | "hours"));
        if text.contains('/') && !(hours && usual == PlateUnit::Hour) {
            heading.reads = None;
            heading.unfit = true;
            heading.reason = format!("the unit {text} is none of {}", reads.title().to_lowercase());
            return;
        }
    }
}

/// Whether two quantities stand together in one column of real lists: power factor with efficiency, volts with amps, output with
/// speed, speed with poles.
pub fn may_share(first: Reads, second: Reads) -> bool {
    use Reads::*;
    let pair = |a, b| (first, second) == (a, b) || (first, second) == (b, a);
    pair(PowerFactor, Efficiency)
        || pair(Voltage, RatedCurrent)
        || pair(MeasuredVoltage, MeasuredCurrent)
        || pair(RatedPower, RatedSpeed)
        || pair(RatedSpeed, Poles)
        || pair(RatedPower, Poles)
}

fn is_numeric(says: &str) -> bool {
    matches!(says, "power" | "speed" | "voltage" | "current" | "supply")
        || Reads::find(says).is_some_and(|reads| reads.sort() == super::reads::Sort::Number)
        || matches!(says, "efficiency_class" | "drive" | "frame")
}

fn of_unit(unit: PlateUnit) -> Option<&'static str> {
    Some(match unit {
        PlateUnit::Kilowatt | PlateUnit::Watt | PlateUnit::Horsepower | PlateUnit::MetricHorsepower => "power",
        PlateUnit::Kilovoltampere => "apparent_power",
        PlateUnit::Volt | PlateUnit::Kilovolt => "voltage",
        PlateUnit::Ampere => "current",
        PlateUnit::TurnsPerMinute => "speed",
        PlateUnit::Hertz => "frequency",
        PlateUnit::NewtonMetre => "torque",
        PlateUnit::Kilogram => "weight",
        PlateUnit::Hour => "hours_per_year",
        PlateUnit::One | PlateUnit::Percent => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_in_five_languages() {
        let cases: &[(&str, &str)] = &[
            ("Motor HP", "rated_power hp"),
            ("F.L.A", "rated_current"),
            ("FL RPM", "rated_speed"),
            ("Nom. Eff", "efficiency"),
            ("Power Factor", "power_factor"),
            ("Nenn- cos phi", "power_factor"),
            ("Nenn- drehzahl [1/min]", "rated_speed r/min"),
            ("Netz f [Hz]", "frequency Hz"),
            ("Versorgung f", "frequency"),
            ("Meas. kW", "measured_power kW"),
            ("Meas. V", "measured_voltage"),
            ("Hrs/yr", "hours_per_year"),
            ("Status / Remarks", "remarks"),
            ("Driven equipment", "description"),
            ("Equip Tag", "tag"),
            ("Motor Rating - kW/HP", "rated_power kW hp"),
            ("V/Ph/Hz", "supply"),
            ("FLA (A)", "rated_current A"),
            ("Leistung [kW]", "rated_power kW"),
            ("Drehzahl [1/min]", "rated_speed r/min"),
            ("cos phi", "power_factor"),
            ("U gemessen [V]", "measured_voltage V"),
            ("n gemessen [1/min]", "measured_speed r/min"),
            ("Betriebsstunden/a", "hours_per_year"),
            ("Rated I (A)\n400 V", "rated_current A"),
            ("Measured\nInput power", "measured_power"),
            ("Measured current\nL2", "measured_current"),
            ("Motor Loading Factor", "load"),
            ("No. of Poles", "poles"),
            ("Puissance (kW)", "rated_power kW"),
            ("Puissance absorbée mesurée (kW)", "measured_power kW"),
            ("Vitesse (tr/min)", "rated_speed r/min"),
            ("Repère", "tag"),
            ("Intensité nominale (A)", "rated_current A"),
            ("Potencia (CV)", "rated_power PS"),
            ("Corriente medida (A)", "measured_current A"),
            ("Tensão (V)", "voltage V"),
            ("Rotação (rpm)", "rated_speed r/min"),
            ("Rendimento (%)", "efficiency %"),
            ("Bemerkung", "remarks"),
            ("Pole pairs", "poles"),
            ("Polpaarzahl", "poles"),
            ("Nombre de paires de pôles", "poles"),
            ("P gem. [W]", "measured_power W"),
            ("n gem. [min-1]", "measured_speed r/min"),
            ("Amps L1", "measured_current"),
            ("FLA L1", "rated_current"),
            ("Speed (mm/s)", "none"),
            ("Invoice", "none"),
            ("N.º equipo", "tag"),
            ("N° repère", "tag"),
            ("AKZ", "tag"),
            ("F.P.", "power_factor"),
            ("Amp. medidos", "measured_current"),
            ("Corrente a plena carga (A)", "rated_current A"),
            ("Typenschilddaten", "nameplate"),
            ("Motor\nkW", "rated_power kW"),
            ("Motor\nManufacturer", "maker"),
            ("VFD output Hz", "output_frequency"),
            ("Gemessene Leistung [kW]", "measured_power kW"),
            ("Potência medida (kW)", "measured_power kW"),
            ("Intensités relevées", "measured_current"),
        ];
        for (text, expected) in cases {
            let heading = read(text, &Own::usual().words);
            let mut found = heading.reads.map_or("none", Reads::key).to_owned();
            if expected.contains(' ') {
                for unit in &heading.units {
                    found = format!("{found} {}", unit.text());
                }
            }
            assert_eq!(found, *expected, "{text}: {heading:?}");
        }
    }

    /// A heading that says that it is of the plate says so in one word too.
    #[test]
    fn headings_of_the_plate() {
        for (text, rated) in [
            ("Rated speed", true),
            ("Nenndrehzahl [1/min]", true),
            ("Rated voltage (V)", true),
            ("Nennspannung", true),
            ("Vitesse nominale", true),
            ("Rated current", true),
            ("Drehzahl", false),
            ("Voltage (V)", false),
        ] {
            let heading = read(text, &Own::usual().words);
            assert_eq!(heading.rated, rated, "{text}: {heading:?}");
        }
    }

    #[test]
    fn two_quantities_in_one_column() {
        for (text, first, second) in [
            ("PF / Efficiency", Reads::PowerFactor, Reads::Efficiency),
            ("Wirkungsgrad / cos φ", Reads::Efficiency, Reads::PowerFactor),
            ("Volts / Amps", Reads::Voltage, Reads::RatedCurrent),
            ("Rated kW / Speed", Reads::RatedPower, Reads::RatedSpeed),
        ] {
            let heading = read(text, &Own::usual().words);
            assert_eq!((heading.reads, heading.second), (Some(first), Some(second)), "{text}");
        }
        let supply = read("Voltage / Frequency", &Own::usual().words);
        assert_eq!((supply.reads, supply.second), (Some(Reads::Supply), None));
    }

    /// Units that stand on no plate: taken where they convert, told where they do not.
    #[test]
    fn foreign_units() {
        for (text, unit) in [
            ("Speed (rev/s)", "r/s"),
            ("Power MW", "MW"),
            ("Rated power\nMW", "MW"),
            ("Current [mA]", "mA"),
            ("Measured speed (rad/s)", "rad/s"),
        ] {
            let heading = read(text, &Own::usual().words);
            let found = heading.foreign.as_ref().map(|unit| unit.text.to_string());
            assert_eq!(found.as_deref(), Some(unit), "{text}: {heading:?}");
        }
        for text in [
            "Speed (n)",
            "Current (I)",
            "Rated power",
            "Power factor (PF)",
            "Running hours (yr)",
            "Speed (rpm)",
        ] {
            assert!(read(text, &Own::usual().words).foreign.is_none(), "{text}");
        }
        let odd = read("Speed (mm/s)", &Own::usual().words);
        assert!(odd.reads.is_none() && odd.reason.contains("mm/s"), "{odd:?}");
        let of = &Own::usual().words;
        assert!(read("Pole pairs", of).pairs && !read("No. of poles", of).pairs);
    }
}
