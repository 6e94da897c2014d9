//! One cell: text to numbers, units and words, by `grammar/plate.pest`.
//!
//! Always: numbers come out with the decimal sign the column settled; a text that is not understood gives nothing and the caller
//! keeps the raw text. No text can make it slow: cells longer than 200 bytes are not read.
//! Not known here: the column, the row.

#![allow(missing_docs, reason = "the rules are described in the grammar file")]

use std::str::FromStr;

use pest::Parser;
use pest::iterators::Pair;
use rust_decimal::Decimal;

use super::reads::{PlateUnit, Reads};

/// The parser of plate cells.
#[derive(pest_derive::Parser)]
#[grammar = "grammar/plate.pest"]
struct Plate;

/// How numbers of a column are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Writing {
    /// The decimal sign is the comma.
    pub comma: bool,
    /// A single sign before exactly three digits parts thousands (speeds, hours) even where it is the decimal sign.
    pub whole: bool,
}

/// A number with its unit, if one is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// The number.
    pub value: Decimal,
    /// The unit in the cell.
    pub unit: Option<PlateUnit>,
    /// The other reading, where the sign may part thousands or decimals.
    pub other: Option<Decimal>,
}

/// What a count of poles counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Poles.
    Poles,
    /// Pole pairs.
    Pairs,
}

/// What a cell gives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plain {
    /// The numbers, in the order written.
    pub amounts: Vec<Amount>,
    /// A word of haste stood before it.
    pub about: bool,
    /// For a supply: the frequency.
    pub frequency: Option<Decimal>,
    /// For a rating: of how many motors, `2x1.5`.
    pub times: Option<u32>,
    /// For a count: running and standing by.
    pub split: Option<(u32, u32)>,
    /// For poles: what the cell says it counts.
    pub counted: Option<Counted>,
    /// The whole cell stands in brackets, which may mean that it is estimated, of another motor or below zero.
    pub bracketed: bool,
    /// How it was read, where that is worth saying.
    pub note: Option<String>,
}

impl Plain {
    fn say(&mut self, note: String) {
        self.note = Some(match self.note.take() {
            Some(before) => format!("{before}; {note}"),
            None => note,
        });
    }
}

/// A number without the last thing written around it, and that: a mark (`30*`), a tolerance (`400 V ±10%`), words in brackets
/// (`1480 (strobe)`).
fn undressed(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let parted = |place: usize| {
        let (bare, beside) = text.split_at_checked(place)?;
        Some((bare.trim_end(), beside.trim()))
    };
    let marks = ['*', '†', '‡', '#', '?', '!'];
    let bare = text.trim_end_matches(marks);
    if bare.len() < text.len() {
        return parted(bare.len());
    }
    // Direct current: said of the motor by `doubt`, the number stands.
    for sign in ["dc", "cc", "d.c.", "c.c."] {
        let lower = text.to_ascii_lowercase();
        if lower.starts_with(sign)
            && text
                .get(sign.len()..)
                .is_some_and(|rest| rest.starts_with(char::is_whitespace))
        {
            return text
                .split_at_checked(sign.len())
                .map(|(sign, bare)| (bare.trim(), sign));
        }
        let before = text.len().saturating_sub(sign.len());
        if lower.ends_with(sign)
            && text
                .get(..before)
                .is_some_and(|rest| rest.ends_with(char::is_whitespace))
        {
            return parted(before);
        }
    }
    if let Some(inside) = text
        .strip_suffix(')')
        .and_then(|text| text.rsplit_once('('))
        .map(|(_, inside)| inside)
    {
        let whole = inside.len() + 2 == text.len();
        if whole {
            return inside
                .starts_with(|sign: char| sign.is_ascii_digit())
                .then_some((inside, IN_BRACKETS));
        }
        let letters = inside.chars().any(char::is_alphabetic);
        let poles = Plate::parse(Rule::poles, inside).is_ok();
        let says = letters && (poles || !inside.contains(|sign: char| sign.is_ascii_digit()));
        return parted(text.len() - inside.len() - 2).filter(|_| says && units_only(inside).is_empty());
    }
    if let Some((place, _)) = text.match_indices('@').next()
        && Plate::parse(Rule::supply, text.get(place + 1..)?.trim()).is_ok()
    {
        return parted(place);
    }
    if let Some((place, _)) = text.char_indices().rfind(|(_, sign)| sign.is_whitespace())
        && is_beside(text.get(place..)?.trim())
    {
        return parted(place);
    }
    let tolerance = ["±", "+/-", "+-"]
        .into_iter()
        .filter_map(|sign| text.find(sign))
        .min()?;
    parted(tolerance).filter(|(bare, beside)| {
        !bare.is_empty()
            && beside
                .chars()
                .all(|sign| sign.is_ascii_digit() || "±+-/., %".contains(sign))
    })
}

/// A number without the symbol of its quantity before it (`n=1460`, `cosφ 0,83`), a sign of a limit or a mean, or its class (`IE3-93,5%`).
fn named(reads: Reads, text: &str) -> Option<(&str, &str)> {
    use Reads::*;
    let symbols: &[&str] = match reads {
        RatedSpeed | MeasuredSpeed | SynchronousSpeed => &["nn", "n"],
        RatedCurrent | MeasuredCurrent | NoLoadCurrent => &["in", "i"],
        Voltage | Supply | MeasuredVoltage => &["un", "u", "v"],
        Efficiency => &["eta", "η", "eff", "ie1", "ie2", "ie3", "ie4", "ie5"],
        PowerFactor => &["cos phi", "cosphi", "cos φ", "cosφ", "cos", "p.f.", "pf", "fp"],
        RatedPower | MeasuredPower => &["pn", "p"],
        _ => return None,
    };
    let text = text.trim();
    let begins = |rest: &str| rest.starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ','));
    for sign in ["≥", "Ø", "⌀", "∅"] {
        if let Some(rest) = text.strip_prefix(sign).map(str::trim_start).filter(|rest| begins(rest)) {
            return Some((rest, sign));
        }
    }
    symbols.iter().find_map(|symbol| {
        let before = text
            .get(..symbol.len())
            .filter(|before| before.eq_ignore_ascii_case(symbol))?;
        let behind = text.get(symbol.len()..)?;
        let rest = behind.trim_start_matches([' ', '=', ':', '-']);
        // A lone letter needs its sign: `V 400` may be anything.
        let parted = behind.len() > rest.len() && (symbol.len() > 1 || behind.contains(['=', ':']));
        (parted && begins(rest)).then_some((rest, before))
    })
}

/// A number without what its quantity has beside it: the sort of a power factor (`0,85 ind`), a duty type behind a rating (`7,5 kW S3
/// 40%`), the voltage of a current (`14,5 A bei 400 V`), the frequency of a speed (`1460 @50Hz`).
fn qualified(reads: Reads, text: &str) -> Option<(&str, &str)> {
    use Reads::*;
    let text = text.trim();
    let parted = |place: usize| {
        let (bare, beside) = text.split_at_checked(place)?;
        let bare = bare.trim_end();
        (!bare.is_empty()).then_some((bare, beside.trim()))
    };
    let volts = |beside: &str| Plate::parse(Rule::supply, beside.trim()).is_ok() && beside.contains(['V', 'v']);
    match reads {
        PowerFactor => ["inductive", "lagging", "ind.", "ind", "lag.", "lag", "i"]
            .into_iter()
            .find_map(|word| {
                let place = text.len().checked_sub(word.len())?;
                let is_word = text.get(place..)?.eq_ignore_ascii_case(word);
                parted(place).filter(|(bare, _)| is_word && bare.ends_with(|sign: char| sign.is_ascii_digit()))
            }),
        RatedPower => {
            let place = text.rfind(" S").or_else(|| text.rfind("(S"))?;
            let duty = text.get(place + 2..)?.trim_end_matches(')');
            let of_duty = duty.starts_with(|sign: char| matches!(sign, '1'..='9'))
                && duty.chars().all(|sign| sign.is_ascii_digit() || " %-,.".contains(sign));
            parted(place).filter(|_| of_duty)
        }
        RatedCurrent | MeasuredCurrent => {
            if let Some(place) = text.rfind('(') {
                let inside = text.get(place + 1..)?.strip_suffix(')')?;
                return parted(place).filter(|_| volts(inside));
            }
            [" bei ", " at ", " à ", " a "].into_iter().find_map(|word| {
                let place = text.find(word)?;
                parted(place).filter(|_| text.get(place + word.len()..).is_some_and(volts))
            })
        }
        RatedSpeed | MeasuredSpeed => {
            let place = text.find('@')?;
            let beside = text.get(place + 1..)?;
            let hertz =
                Plate::parse(Rule::frequency, beside.trim()).is_ok() && beside.to_ascii_lowercase().contains("hz");
            parted(place).filter(|_| hertz)
        }
        _ => None,
    }
}

/// Whether a word behind a number is of the plate and no number itself (`7.5 kW IE3`), or says that it is a mean (`11 avg`).
fn is_beside(word: &str) -> bool {
    if !word.starts_with(char::is_alphabetic) {
        return false;
    }
    let of_plate = plate(word, false);
    let only_a_word = of_plate.is_empty() && of_plate.left.is_empty() && of_plate.words.len() == 1;
    only_a_word || Plate::parse(Rule::mean_word, word).is_ok()
}

/// What stands beside a number in brackets.
const IN_BRACKETS: &str = "a pair of brackets";

/// The longest cell that is read as a number.
const LONGEST: usize = 200;

/// Reads a cell of this sort; `None` where the text is not understood.
pub fn read(reads: Reads, text: &str, writing: Writing) -> Option<Plain> {
    if text.len() > LONGEST {
        return None;
    }
    let text = text.trim();
    if let Some(amount) = quick(text, writing) {
        return Some(Plain {
            amounts: vec![amount],
            ..Plain::default()
        });
    }
    let rule = match reads {
        Reads::RatedPower | Reads::AbsorbedPower => Rule::power,
        Reads::RatedCurrent | Reads::MeasuredCurrent | Reads::NoLoadCurrent => Rule::current,
        Reads::Voltage | Reads::Supply => Rule::supply,
        Reads::RatedSpeed | Reads::MeasuredSpeed | Reads::SynchronousSpeed | Reads::DrivenSpeed => Rule::speed,
        Reads::Poles => Rule::poles,
        Reads::Frequency => Rule::frequency,
        Reads::Efficiency | Reads::PowerFactor | Reads::Load => Rule::ratio,
        Reads::Quantity => Rule::count,
        Reads::HoursPerYear => Rule::hours,
        _ => Rule::number,
    };
    // A minus is no dash here: a digit follows it at once.
    let unsigned = text
        .strip_prefix(['-', '−', '–'])
        .filter(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '.' | ',')));
    if let Some(unsigned) = unsigned {
        let mut plain = read(reads, unsigned, writing)?;
        for amount in &mut plain.amounts {
            amount.value.set_sign_negative(true);
            amount.other = None;
        }
        return Some(plain);
    }
    let parsed = |text| {
        let parsed = Plate::parse(rule, text).or_else(|error| {
            // A plain number with a decimal or a foreign unit in a column of voltages is still a number.
            if rule == Rule::supply {
                Plate::parse(Rule::number, text)
            } else {
                Err(error)
            }
        });
        parsed.ok()?.next()
    };
    let Some(pair) = parsed(text) else {
        // The number without what is written around it, which goes into the note.
        let (bare, beside) = named(reads, text)
            .or_else(|| qualified(reads, text))
            .or_else(|| undressed(text))?;
        let mut plain = read(reads, bare, writing)?;
        plain.bracketed |= beside == IN_BRACKETS;
        plain.about |= beside == "?";
        let note = format!("beside it stands {beside}");
        plain.note = Some(match plain.note {
            Some(before) => format!("{note}; {before}"),
            None => note,
        });
        return Some(plain);
    };
    let mut plain = Plain::default();
    let mut reader = CellReader {
        plain: &mut plain,
        writing,
        times: None,
        first: None,
    };
    reader.gather(pair)?;
    let times = reader.times;
    plain.times = times;
    if let Some(times) = times {
        plain.say(format!("{times} of them"));
    }
    if plain.amounts.is_empty() { None } else { Some(plain) }
}

/// Whether a text is a day, with or without a time: `2025-03-11`, `11.03.2025`, `3/11/2025 08:30`. Three numbers parted by one sign
/// are a day only with a year of four digits, or with points between two digits each.
pub fn is_date(text: &str) -> bool {
    let text = text.trim();
    let (day, time) = match text.split_once([' ', 'T']) {
        Some((day, time)) => (day, Some(time.trim())),
        None => (text, None),
    };
    let is_time = |time: &str| {
        let mut parts = time.trim_end_matches('Z').split(':');
        let two = |part: Option<&str>| part.is_some_and(|part| part.get(..2).is_some_and(is_digits));
        two(parts.next()) && two(parts.next())
    };
    if !(6..=10).contains(&day.len()) || time.is_some_and(|time| !is_time(time)) {
        return false;
    }
    let Some(sign) = day
        .chars()
        .find(|sign| !sign.is_ascii_digit())
        .filter(|sign| matches!(sign, '-' | '.' | '/'))
    else {
        return false;
    };
    let parts: Vec<&str> = day.split(sign).collect();
    let [first, second, third] = parts.as_slice() else {
        return false;
    };
    if !parts.iter().all(|part| is_digits(part)) {
        return false;
    }
    let number = |part: &str| part.parse::<u32>().unwrap_or(u32::MAX);
    let is_year = |part: &str| part.len() == 4 && (1900..2100).contains(&number(part));
    let of_month = |one: &str, other: &str| {
        let (one, other) = (number(one), number(other));
        one >= 1 && other >= 1 && one.max(other) <= 31 && one.min(other) <= 12
    };
    is_year(first) && of_month(second, third)
        || is_year(third) && of_month(first, second)
        || sign == '.' && third.len() == 2 && first.len() <= 2 && second.len() <= 2 && of_month(first, second)
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|sign| sign.is_ascii_digit())
}

/// A whole or decimal number and nothing else: most cells, without the grammar.
fn quick(text: &str, writing: Writing) -> Option<Amount> {
    let bytes = text.as_bytes();
    if bytes.is_empty() || bytes.len() > 28 || !bytes.first()?.is_ascii_digit() {
        return None;
    }
    let mut dots = 0;
    for byte in bytes {
        match byte {
            b'0'..=b'9' => {}
            b'.' => dots += 1,
            _ => return None,
        }
    }
    match dots {
        0 => {}
        1 if !writing.comma && !writing.whole && bytes.last()? != &b'.' => {}
        _ => return None,
    }
    Some(Amount {
        value: Decimal::from_str(text).ok()?,
        unit: None,
        other: None,
    })
}

struct CellReader<'a> {
    plain: &'a mut Plain,
    writing: Writing,
    times: Option<u32>,
    /// A unit written before its number.
    first: Option<PlateUnit>,
}

impl CellReader<'_> {
    /// Walks the tree; `None` where a number cannot be held.
    fn gather(&mut self, pair: Pair<'_, Rule>) -> Option<()> {
        match pair.as_rule() {
            Rule::amount | Rule::plain | Rule::tight | Rule::tight_plain => {
                let mut amount = self.amount(pair)?;
                amount.unit = self.first.take();
                self.plain.amounts.push(amount);
            }
            Rule::voltage => {
                let (value, other) = number(pair.as_str(), self.writing)?;
                self.plain.amounts.push(Amount {
                    value,
                    unit: None,
                    other,
                });
            }
            Rule::about => self.plain.about = true,
            Rule::unit_rps => {
                let last = self.plain.amounts.last_mut()?;
                // `24.417 1/s` parts no thousands: no motor turns so often in a second.
                let turns = last
                    .other
                    .take()
                    .filter(|other| *other < last.value)
                    .unwrap_or(last.value);
                last.value = turns.checked_mul(Decimal::from(60))?.normalize();
                last.unit = Some(PlateUnit::TurnsPerMinute);
                self.plain.say("written in turns a second".to_owned());
            }
            Rule::unit_ma => {
                let last = self.plain.amounts.last_mut()?;
                last.value = last.value.checked_div(Decimal::ONE_THOUSAND)?.normalize();
                last.unit = Some(PlateUnit::Ampere);
                self.plain.say("written in mA".to_owned());
            }
            Rule::neutral => self.plain.say(format!("{} V line to neutral", pair.as_str())),
            // `HP 25`: the unit waits for its number.
            Rule::power_first => self.first = pair.into_inner().next().and_then(|unit| unit_of(unit.as_rule())),
            Rule::times => {
                self.times = pair.into_inner().next().and_then(|int| int.as_str().parse().ok());
            }
            Rule::hertz | Rule::hertz_written | Rule::plate_hertz_plain => {
                let digits: String = pair
                    .as_str()
                    .chars()
                    .take_while(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ','))
                    .collect();
                self.plain.frequency = number(&digits, self.writing).map(|(value, _)| value);
            }
            Rule::phase | Rule::phase_worded | Rule::connection => {}
            Rule::poles | Rule::plate_poles => {
                for inner in pair.into_inner() {
                    match inner.as_rule() {
                        Rule::int => self.whole(inner.as_str())?,
                        Rule::roman => self.whole(match inner.as_str() {
                            "II" => "2",
                            "IV" => "4",
                            "VI" => "6",
                            "VIII" => "8",
                            "X" => "10",
                            _ => "12",
                        })?,
                        Rule::pair_word => self.plain.counted = Some(Counted::Pairs),
                        Rule::pole_said => self.plain.counted = Some(Counted::Poles),
                        _ => {}
                    }
                }
            }
            Rule::count_split => {
                let mut counts = pair.into_inner().filter_map(|part| {
                    part.into_inner()
                        .next()
                        .and_then(|int| int.as_str().parse::<u32>().ok())
                });
                let (running, standing) = (counts.next()?, counts.next()?);
                self.plain.split = Some((running, standing));
                if self.plain.amounts.is_empty() {
                    self.plain
                        .amounts
                        .push(exact(Decimal::from(running.checked_add(standing)?)));
                }
                self.plain.note = Some(format!("{running} running, {standing} standing by"));
            }
            Rule::count_standing => {
                let standing: u32 = pair.into_inner().next()?.into_inner().next()?.as_str().parse().ok()?;
                let all = self.plain.amounts.last()?.value;
                let running = u32::try_from(all).ok()?.checked_sub(standing)?;
                self.plain.split = Some((running, standing));
                self.plain.note = Some(format!("{running} running, {standing} standing by"));
            }
            Rule::count_running => {
                let count = pair.into_inner().next()?.into_inner().next()?;
                self.whole(count.as_str())?;
                self.plain.note = Some("all of them running".to_owned());
            }
            Rule::count_shares => {
                let count = pair.into_inner().next()?;
                self.whole(count.as_str())?;
                self.plain.note = Some("each carries a share of the duty".to_owned());
            }
            Rule::count_sum => {
                let mut sum = Decimal::ZERO;
                let mut parts = Vec::new();
                for int in pair.into_inner() {
                    sum = sum.checked_add(Decimal::from_str(int.as_str()).ok()?)?;
                    parts.extend(int.as_str().parse::<u32>());
                }
                self.plain.amounts.push(exact(sum));
                if let [running, standing] = parts.as_slice() {
                    self.plain.split = Some((*running, *standing));
                }
                self.plain.note = Some("a sum: running and standing by".to_owned());
            }
            Rule::count_plain => {
                for part in pair.into_inner() {
                    match part.as_rule() {
                        Rule::int => self.whole(part.as_str())?,
                        _ => self.gather(part)?,
                    }
                }
            }
            Rule::hours_pattern => {
                let mut inner = pair.clone().into_inner().filter(|part| part.as_rule() == Rule::int);
                let a_day: u32 = inner.next()?.as_str().parse().ok()?;
                let days: u32 = pair
                    .as_str()
                    .chars()
                    .rev()
                    .find(char::is_ascii_digit)
                    .and_then(|digit| digit.to_digit(10))?;
                if a_day == 0 || a_day > 24 {
                    return None;
                }
                // Seven days a week are the whole year; fewer are taken as 52 weeks.
                let hours = if days == 7 { a_day * 365 } else { a_day * days * 52 };
                self.plain.amounts.push(exact(Decimal::from(hours)));
                self.plain.note = Some(format!("{a_day} hours a day on {days} days a week"));
            }
            rule => {
                if let Some(unit) = unit_of(rule) {
                    match self.plain.amounts.last_mut() {
                        Some(last) => last.unit = Some(unit),
                        None => return None,
                    }
                    return Some(());
                }
                for inner in pair.into_inner() {
                    self.gather(inner)?;
                }
            }
        }
        Some(())
    }

    fn whole(&mut self, text: &str) -> Option<()> {
        self.plain.amounts.push(exact(Decimal::from_str(text).ok()?));
        Some(())
    }

    fn amount(&self, pair: Pair<'_, Rule>) -> Option<Amount> {
        let inner = pair.into_inner().next()?;
        Some(match inner.as_rule() {
            Rule::mixed => {
                let mut sum = Decimal::ZERO;
                for part in inner.into_inner() {
                    sum = sum.checked_add(match part.as_rule() {
                        Rule::int => Decimal::from_str(part.as_str()).ok()?,
                        _ => fraction(part.as_str())?,
                    })?;
                }
                exact(sum)
            }
            Rule::vulgar | Rule::small_fraction => exact(fraction(inner.as_str())?),
            Rule::scientific => exact(
                Decimal::from_scientific(&inner.as_str().replace(',', "."))
                    .ok()?
                    .normalize(),
            ),
            Rule::spaced => {
                let together: String = inner.as_str().chars().filter(|sign| !sign.is_whitespace()).collect();
                exact(Decimal::from_str(&together.replace(',', ".")).ok()?)
            }
            _ => {
                let (value, other) = number(inner.as_str(), self.writing)?;
                Amount {
                    value,
                    unit: None,
                    other,
                }
            }
        })
    }
}

fn exact(value: Decimal) -> Amount {
    Amount {
        value,
        unit: None,
        other: None,
    }
}

fn fraction(text: &str) -> Option<Decimal> {
    // A third of a horsepower in eight digits: closer than any plate.
    let of = |over: i64, under: i64| {
        Some(
            Decimal::from(over)
                .checked_div(Decimal::from(under))?
                .round_dp(8)
                .normalize(),
        )
    };
    match text {
        "½" => of(1, 2),
        "¼" => of(1, 4),
        "¾" => of(3, 4),
        "⅓" => of(1, 3),
        "⅔" => of(2, 3),
        "⅛" => of(1, 8),
        "⅜" => of(3, 8),
        "⅝" => of(5, 8),
        "⅞" => of(7, 8),
        _ => {
            let (over, under) = text.split_once(['/', '⁄'])?;
            of(over.trim().parse().ok()?, under.trim().parse().ok()?)
        }
    }
}

/// A number as written, by the writing of its column; the second is the other reading where the sign leaves one.
pub fn number(text: &str, writing: Writing) -> Option<(Decimal, Option<Decimal>)> {
    let signs: Vec<(usize, char)> = text.char_indices().filter(|(_, sign)| !sign.is_ascii_digit()).collect();
    let whole = || {
        let digits: String = text.chars().filter(char::is_ascii_digit).collect();
        Decimal::from_str(&digits).ok()
    };
    let decimal_at = |place: usize| {
        let (before, after) = text.split_at_checked(place)?;
        let digits = |part: &str| part.chars().filter(char::is_ascii_digit).collect::<String>();
        let before = digits(before);
        let before = if before.is_empty() { "0".to_owned() } else { before };
        Decimal::from_str(&format!("{before}.{}", digits(after))).ok()
    };
    match signs.as_slice() {
        [] => Some((Decimal::from_str(text).ok()?, None)),
        [(place, sign)] => {
            if *sign == '\'' || *sign == '’' {
                return Some((whole()?, None));
            }
            let after = text.len() - place - sign.len_utf8();
            let lead = text.get(..*place).unwrap_or("");
            let may_part = after == 3 && (1..=3).contains(&lead.len()) && !lead.starts_with('0');
            let is_decimal_sign = (*sign == ',') == writing.comma;
            if may_part && (writing.whole || !is_decimal_sign) {
                Some((whole()?, decimal_at(*place)))
            } else if may_part {
                Some((decimal_at(*place)?, whole()))
            } else {
                // Not three digits after it: a decimal sign, whichever it is.
                Some((decimal_at(*place)?, None))
            }
        }
        [.., (place, last)] => {
            if signs.iter().all(|(_, sign)| sign == last) {
                // The same sign again and again parts thousands.
                return Some((whole()?, None));
            }
            Some((decimal_at(*place)?, None))
        }
    }
}

fn unit_of(rule: Rule) -> Option<PlateUnit> {
    Some(match rule {
        Rule::unit_kw => PlateUnit::Kilowatt,
        Rule::unit_w => PlateUnit::Watt,
        Rule::unit_hp => PlateUnit::Horsepower,
        Rule::unit_ps => PlateUnit::MetricHorsepower,
        Rule::unit_kva => PlateUnit::Kilovoltampere,
        Rule::unit_v => PlateUnit::Volt,
        Rule::unit_kv => PlateUnit::Kilovolt,
        Rule::unit_a => PlateUnit::Ampere,
        Rule::unit_rpm => PlateUnit::TurnsPerMinute,
        Rule::unit_hz => PlateUnit::Hertz,
        Rule::unit_percent => PlateUnit::Percent,
        Rule::unit_hours => PlateUnit::Hour,
        Rule::unit_nm => PlateUnit::NewtonMetre,
        Rule::unit_kg => PlateUnit::Kilogram,
        _ => return None,
    })
}

/// The units a text consists of: `kW`, `[A]`, `kW/HP`; empty where it holds anything else.
pub fn units_only(text: &str) -> Vec<PlateUnit> {
    if text.len() > 40 {
        return Vec::new();
    }
    Plate::parse(Rule::unit_only, text.trim())
        .ok()
        .and_then(|mut pairs| pairs.next())
        .map(|pair| pair.into_inner().filter_map(|inner| unit_of(inner.as_rule())).collect())
        .unwrap_or_default()
}

/// What a title row says of the supply: voltages and frequencies.
pub fn supply_in(text: &str) -> (Vec<Decimal>, Vec<Decimal>) {
    let mut volts = Vec::new();
    let mut hertz = Vec::new();
    let text: String = text.chars().take(500).collect();
    let writing = Writing {
        comma: false,
        whole: false,
    };
    if let Ok(mut pairs) = Plate::parse(Rule::title, &text)
        && let Some(pair) = pairs.next()
    {
        for inner in pair.into_inner() {
            match inner.as_rule() {
                Rule::title_hertz => {
                    if let Some(plain) = inner.into_inner().next()
                        && let Some((value, _)) = number(plain.as_str(), writing)
                        && is_frequency(value)
                    {
                        hertz.push(value);
                    }
                }
                Rule::title_volts => {
                    volts.extend(
                        inner
                            .into_inner()
                            .filter(|part| part.as_rule() == Rule::voltage)
                            .filter_map(|part| Some(number(part.as_str(), writing)?.0)),
                    );
                }
                _ => {}
            }
        }
    }
    (volts, hertz)
}

/// Whether a motor can be fed at so many hertz: from a slow drive to the mains of ships and aircraft. Common practice, no source.
fn is_frequency(hertz: Decimal) -> bool {
    (Decimal::TEN..=Decimal::from(400)).contains(&hertz)
}

/// What a whole nameplate in one cell says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlateText {
    /// Numbers by what they are, in the order written.
    pub numbers: Vec<(Reads, Vec<Amount>)>,
    /// Words by what they are.
    pub words: Vec<(Reads, String)>,
    /// What stands in it besides, in the order written.
    pub left: Vec<String>,
}

impl PlateText {
    /// How many quantities it gives.
    pub fn len(&self) -> usize {
        self.numbers.len()
    }

    /// Whether it gives none.
    pub fn is_empty(&self) -> bool {
        self.numbers.is_empty()
    }

    fn add(&mut self, reads: Reads, amounts: Vec<Amount>) {
        match self.numbers.iter_mut().find(|(known, _)| *known == reads) {
            Some((_, known)) => known.extend(amounts),
            None => self.numbers.push((reads, amounts)),
        }
    }
}

/// The longest plate.
const LONGEST_PLATE: usize = 600;

/// Reads a whole nameplate in one cell: everything that carries its unit or its name.
pub fn plate(text: &str, comma: bool) -> PlateText {
    let mut found = PlateText::default();
    if text.len() > LONGEST_PLATE {
        return found;
    }
    let Some(pair) = Plate::parse(Rule::plate, text.trim())
        .ok()
        .and_then(|mut pairs| pairs.next())
    else {
        return found;
    };
    let mut left_to = 0;
    for part in pair.into_inner() {
        let span = part.as_span();
        let reads = match part.as_rule() {
            Rule::plate_word | Rule::plate_number => {
                // `213T` and `M-12` are one word, and words beside each other are told as they stand.
                let joined = found.left.last_mut().filter(|_| {
                    let between = text.trim().get(left_to..span.start());
                    between.is_some_and(|between| {
                        matches!(between.trim(), "" | "-" | "." | "/" | "'") && between.len() < 3
                    })
                });
                match joined {
                    Some(word) => {
                        word.push_str(text.trim().get(left_to..span.end()).unwrap_or_default());
                    }
                    None => found.left.push(span.as_str().to_owned()),
                }
                left_to = span.end();
                continue;
            }
            Rule::plate_factor => Reads::PowerFactor,
            Rule::plate_efficiency => Reads::Efficiency,
            Rule::plate_service => Reads::ServiceFactor,
            Rule::plate_power => Reads::RatedPower,
            Rule::plate_volts | Rule::volts_first | Rule::plate_supply => Reads::Voltage,
            Rule::plate_amps | Rule::amps_first => Reads::RatedCurrent,
            Rule::plate_speed => Reads::RatedSpeed,
            Rule::plate_hertz => Reads::Frequency,
            Rule::plate_poles => Reads::Poles,
            Rule::plate_frame => Reads::Frame,
            Rule::plate_code => Reads::CodeLetter,
            Rule::plate_design => Reads::Design,
            Rule::plate_insulation => Reads::Insulation,
            Rule::plate_enclosure => Reads::Enclosure,
            Rule::plate_class => Reads::EfficiencyClass,
            Rule::plate_duty => Reads::Duty,
            Rule::plate_mounting => Reads::Mounting,
            Rule::plate_connection => Reads::Connection,
            Rule::plate_phases => Reads::Phases,
            Rule::plate_locked => Reads::LockedRotorCurrent,
            Rule::plate_serial => Reads::Serial,
            Rule::plate_type => Reads::Model,
            Rule::plate_year => Reads::Year,
            Rule::plate_weight => Reads::Weight,
            Rule::plate_ambient => Reads::Temperature,
            _ => continue,
        };
        if reads.sort() == super::reads::Sort::Text {
            let whole = part.as_str().trim().to_owned();
            let name = part.into_inner().last();
            let word = name.map_or_else(|| whole.clone(), |name| name.as_str().to_owned());
            let word = match reads {
                Reads::Weight | Reads::Temperature => whole,
                Reads::Serial | Reads::Model | Reads::Connection => word,
                Reads::Phases => word.chars().filter(char::is_ascii_digit).collect(),
                _ => word.to_uppercase().replace([' ', '-'], ""),
            };
            match found.words.iter().find(|(known, _)| *known == reads) {
                // A second, other one is told.
                Some((_, known)) if *known != word => found.left.push(word),
                Some(_) => {}
                None => found.words.push((reads, word)),
            }
            continue;
        }
        let writing = Writing {
            comma,
            whole: matches!(reads, Reads::RatedSpeed | Reads::Voltage),
        };
        let mut plain = Plain::default();
        let mut reader = CellReader {
            plain: &mut plain,
            writing,
            times: None,
            first: None,
        };
        let part_text = part.as_str().trim().to_owned();
        if reader.gather(part).is_none() {
            continue;
        }
        if reads == Reads::Frequency && !plain.amounts.iter().all(|amount| is_frequency(amount.value)) {
            found.left.push(part_text);
            continue;
        }
        if let Some(hertz) = plain.frequency {
            found.add(Reads::Frequency, vec![exact(hertz)]);
        }
        if plain.counted == Some(Counted::Pairs) {
            continue;
        }
        if !plain.amounts.is_empty() {
            found.add(reads, plain.amounts);
        }
    }
    found
}

/// The tags of a text that stands for several motors; empty for one.
pub fn tags_in(text: &str) -> Vec<String> {
    // Most tags hold none of the signs that part the letters.
    if text.len() > LONGEST {
        return Vec::new();
    }
    let run = run_of_tags(text.trim());
    if !run.is_empty() || !text.contains(['/', ',', '&', '+']) {
        return run;
    }
    let Some(pair) = Plate::parse(Rule::tag_letters, text.trim())
        .ok()
        .and_then(|mut pairs| pairs.next())
    else {
        return Vec::new();
    };
    let mut base = "";
    let mut tags = Vec::new();
    for part in pair.into_inner() {
        match part.as_rule() {
            Rule::tag_base => {
                base = part.as_str();
                // A letter without a number before it is part of a word.
                if !base
                    .trim_end_matches(['-', '.', ' '])
                    .ends_with(|sign: char| sign.is_ascii_digit())
                {
                    return Vec::new();
                }
            }
            Rule::tag_letter => tags.push(format!("{base}{}", part.as_str())),
            _ => {}
        }
    }
    tags
}

/// Words and signs between the first and the last of a run of tags, and between two of them.
const RUNS: [&str; 9] = [" to ", " thru ", " through ", " bis ", " à ", " a ", "…", "...", "–"];
const TWO: [&str; 5] = [" & ", "/", ", ", "+", " and "];
/// Longer runs are no tags of motors in one row.
const LONGEST_RUN: u64 = 30;

/// `P-301 to 304`, `EF-1 thru EF-6`, `M1…M4`, `P-201 A-D`, `P-401/402`, `P-601 & P-602`: the tags in order; empty for anything else.
fn run_of_tags(text: &str) -> Vec<String> {
    // Most tags hold none of the signs and no letter behind a dash.
    let lettered = text.rsplit_once('-').is_some_and(|(_, last)| last.trim().len() == 1);
    if !lettered && !text.contains([' ', '/', ',', '&', '+', '…', '–']) && !text.contains("...") {
        return Vec::new();
    }
    let parted = |sign: &str| {
        let (first, last) = text.split_once(sign)?;
        Some((first.trim(), last.trim()))
    };
    let runs = RUNS.iter().map(|sign| (parted(sign), true));
    let twos = TWO.iter().map(|sign| (parted(sign), false));
    let letters = std::iter::once((parted("-").filter(|(_, last)| last.len() == 1), true));
    // Of `P-201 A-D` the last dash is meant.
    let dashed = std::iter::once((
        text.rsplit_once('-').map(|(first, last)| (first.trim(), last.trim())),
        true,
    ));
    for (pair, all) in runs
        .chain(twos)
        .chain(letters)
        .chain(dashed.filter(|(pair, _)| pair.is_some_and(|(_, last)| last.len() == 1)))
    {
        let Some((first, last)) = pair else { continue };
        let tags = between(first, last, all);
        if tags.len() > 1 {
            return tags;
        }
    }
    Vec::new()
}

/// The tags from the first to the last one, or these two: told by a number at their end, or by a letter behind a number.
fn between(first: &str, last: &str, all: bool) -> Vec<String> {
    let digits = |text: &str| text.chars().rev().take_while(char::is_ascii_digit).count();
    let count = digits(first);
    if count == 0 {
        let mut signs = first.char_indices().rev();
        let (Some((at, from)), Some((_, before))) = (signs.next(), signs.next()) else {
            return Vec::new();
        };
        let mut end = last.chars();
        let (Some(to), None) = (end.next(), end.next()) else {
            return Vec::new();
        };
        let stem = first.get(..at).unwrap_or_default();
        let of_number =
            before.is_ascii_digit() || before == ' ' && stem.trim_end().ends_with(|sign: char| sign.is_ascii_digit());
        if !all || !from.is_ascii_uppercase() || !to.is_ascii_uppercase() || to <= from || !of_number {
            return Vec::new();
        }
        return (from..=to)
            .map(|letter| format!("{}{letter}", stem.trim_end()))
            .collect();
    }
    let (stem, from) = first.split_at(first.len() - count);
    let to = last.strip_prefix(stem).unwrap_or(last);
    let parsed = |text: &str| {
        text.parse::<u64>()
            .ok()
            .filter(|_| text.len() <= 6 && digits(text) == text.len())
    };
    let (Some(low), Some(high)) = (parsed(from), parsed(to)) else {
        return Vec::new();
    };
    // A tag begins with a letter, and `7/1` goes backwards.
    let named =
        stem.starts_with(char::is_alphabetic) && high > low && high - low <= LONGEST_RUN && to.len() >= from.len();
    if !named {
        return Vec::new();
    }
    let width = from.len();
    let tag = |number: u64| format!("{stem}{number:0width$}");
    if all {
        (low..=high).map(tag).collect()
    } else if high == low + 1 || last.starts_with(stem) {
        vec![tag(low), tag(high)]
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn runs_of_tags() {
        for (text, tags) in [
            ("P-301 to 304", "P-301 P-302 P-303 P-304"),
            ("EF-1 thru EF-3", "EF-1 EF-2 EF-3"),
            ("M1…M4", "M1 M2 M3 M4"),
            ("M08 bis M11", "M08 M09 M10 M11"),
            ("P-201 A-D", "P-201A P-201B P-201C P-201D"),
            ("P-201A–C", "P-201A P-201B P-201C"),
            ("P-401/402", "P-401 P-402"),
            ("P-601 & P-602", "P-601 P-602"),
            ("P-101A/B", "P-101A P-101B"),
            ("P-10-2", ""),
            ("P-101/1", ""),
            ("P-2/40", ""),
            ("Fan A-D", ""),
            ("20-P-301", ""),
            ("1/2", ""),
            ("M-1 to M-900", ""),
            ("Pump to drain 2", ""),
        ] {
            assert_eq!(tags_in(text).join(" "), tags, "{text}");
        }
    }

    const POINT: Writing = Writing {
        comma: false,
        whole: false,
    };
    const COMMA: Writing = Writing {
        comma: true,
        whole: false,
    };
    const WHOLE: Writing = Writing {
        comma: true,
        whole: true,
    };

    fn shown(reads: Reads, text: &str, writing: Writing) -> String {
        match read(reads, text, writing) {
            None => "none".to_owned(),
            Some(plain) => plain
                .amounts
                .iter()
                .map(|amount| {
                    let unit = amount.unit.map_or(String::new(), |unit| format!(" {}", unit.text()));
                    format!("{}{unit}", amount.value.normalize())
                })
                .chain(plain.frequency.map(|hertz| format!("@{}", hertz.normalize())))
                .collect::<Vec<_>>()
                .join("; "),
        }
    }

    #[test]
    fn ratings() {
        for (text, expected) in [
            ("7-1/2", "7.5"),
            ("1 1/2", "1.5"),
            ("1½", "1.5"),
            ("3/4", "0.75"),
            ("7.5 HP / 5.5 kW", "7.5 hp; 5.5 kW"),
            ("5.5 kW (7.5 hp)", "5.5 kW; 7.5 hp"),
            ("2.2 kw", "2.2 kW"),
            ("7.5\u{a0}kW", "7.5 kW"),
            ("2 x 11 kW", "11 kW"),
            ("11/15 kW", "11; 15 kW"),
            ("as per vendor", "none"),
        ] {
            assert_eq!(shown(Reads::RatedPower, text, POINT), expected, "{text}");
        }
        assert_eq!(shown(Reads::RatedPower, "5,5 PS", COMMA), "5.5 PS");
        assert_eq!(shown(Reads::RatedPower, "3,0kW", COMMA), "3 kW");
    }

    #[test]
    fn supplies() {
        for (text, expected) in [
            ("400/3/50", "400; @50"),
            ("400 V, 3 Ph, 50 Hz", "400 V; @50"),
            ("400/690V Δ/Y", "400; 690 V"),
            ("230/460", "230; 460"),
            ("208-230/460", "208; 230; 460"),
            ("3x400 V 50 Hz", "400 V; @50"),
            ("460 V 60Hz", "460 V; @60"),
            ("3~ 400V", "400 V"),
            ("6.6 kV", "6.6 kV"),
            ("380-415V 50Hz", "380; 415 V; @50"),
            ("380…420 V", "380; 420 V"),
            // The connection before the value, behind it, or at each.
            ("Y/Δ 400/230", "400; 230"),
            ("Δ/Y 400/690V", "400; 690 V"),
            ("D 400 V", "400 V"),
            ("star 400", "400"),
            ("Δ: 400 / Y: 690", "400; 690"),
            ("230VD/400VY", "230 V; 400 V"),
            ("400 V~", "400 V"),
            ("400 V~ 50 Hz", "400 V; @50"),
            ("V 400", "400"),
            ("tri 400", "400"),
            ("3/N/PE 400", "400"),
            // A letter that is no connection.
            ("400T", "none"),
            ("X 400 V", "none"),
        ] {
            assert_eq!(shown(Reads::Supply, text, POINT), expected, "{text}");
        }
    }

    #[test]
    fn counts_and_hours() {
        for (text, expected) in [
            ("2W+1S", "3"),
            ("3 Nos", "3"),
            ("(3 x 33%)", "3"),
            ("1+1", "2"),
            ("2 Nos (1W+1S)", "2"),
            ("2 (1 standby)", "2"),
            ("1A+1R", "2"),
            ("4", "4"),
        ] {
            assert_eq!(shown(Reads::Quantity, text, POINT), expected, "{text}");
        }
        assert_eq!(shown(Reads::HoursPerYear, "24x7", POINT), "8760");
        assert_eq!(shown(Reads::HoursPerYear, "24 x 7", POINT), "8760");
        assert_eq!(shown(Reads::HoursPerYear, "6.000", WHOLE), "6000");
        assert_eq!(shown(Reads::HoursPerYear, "2 shifts", POINT), "none");
    }

    #[test]
    fn speeds_poles_currents() {
        assert_eq!(shown(Reads::RatedSpeed, "1.480", WHOLE), "1480");
        assert_eq!(shown(Reads::RatedSpeed, "1475,0", WHOLE), "1475");
        assert_eq!(shown(Reads::RatedSpeed, "970 RPM", POINT), "970 r/min");
        assert_eq!(shown(Reads::RatedSpeed, "1 480", POINT), "1480");
        assert_eq!(shown(Reads::Poles, "4P", POINT), "4");
        assert_eq!(shown(Reads::Poles, "6 pole", POINT), "6");
        assert_eq!(shown(Reads::RatedCurrent, "27.2-24.6/12.3", POINT), "27.2; 24.6; 12.3");
        assert_eq!(shown(Reads::RatedCurrent, "28,5 A", COMMA), "28.5 A");
        assert_eq!(shown(Reads::Efficiency, "92.4 %", POINT), "92.4 %");
    }

    #[test]
    fn whole_plates() {
        let told = |text: &str, comma: bool| {
            let found = plate(text, comma);
            let numbers = found.numbers.iter().map(|(reads, amounts)| {
                let shown: Vec<String> = amounts
                    .iter()
                    .map(|amount| {
                        let unit = amount.unit.map_or("", PlateUnit::text);
                        format!("{}{unit}", amount.value.normalize())
                    })
                    .collect();
                format!("{} {}", reads.key(), shown.join("/"))
            });
            let words = found
                .words
                .iter()
                .map(|(reads, word)| format!("{} {word}", reads.key()));
            numbers.chain(words).collect::<Vec<_>>().join(", ")
        };
        for (text, comma, expected) in [
            (
                "15 kW 4P 1465 rpm 400/690 V D/Y 28.1/16.2 A cos phi 0.85 eff 90.6% 50 Hz IP55 IE2 cl.F",
                false,
                "rated_power 15kW, poles 4, rated_speed 1465r/min, voltage 400/690V, rated_current 28.1/16.2A, power_factor 0.85, \
                 efficiency 90.6%, frequency 50, connection D/Y, enclosure IP55, efficiency_class IE2, insulation F",
            ),
            (
                "3~ Mot. 1,5 kW 1.440/min 230V/400V 5,7A/3,3A cosφ 0,79 Th.Cl. F S1",
                true,
                "rated_power 1.5kW, rated_speed 1440, voltage 230V/400V, rated_current 5.7A/3.3A, power_factor 0.79, phases 3, insulation F, duty S1",
            ),
            (
                "7-1/2 HP 460/3/60 1760RPM FR 213T CODE H SF 1.15 DESIGN B NEMA NOM. EFF. 91.0",
                false,
                "rated_power 7.5hp, frequency 60, voltage 460, rated_speed 1760r/min, service_factor 1.15, efficiency 91, frame 213T, \
                 code_letter H, design B",
            ),
            (
                "HP 5 VOLTS 208-230/460 AMPS 13.5-12.8/6.4 RPM 1750 HZ 60",
                false,
                "rated_power 5hp, voltage 208/230/460, rated_current 13.5/12.8/6.4, rated_speed 1750, frequency 60",
            ),
            (
                "KW 15 V 400 A 28 RPM 1465 HZ 50",
                false,
                "rated_power 15kW, voltage 400, rated_current 28, rated_speed 1465, frequency 50",
            ),
            ("11 kW 400 V 1750 Hz", false, "rated_power 11kW, voltage 400V"),
            ("Booster pump", false, ""),
            ("2 off, replaced 2019", false, ""),
        ] {
            assert_eq!(told(text, comma), expected, "{text}");
        }
    }

    #[test]
    fn numbers_in_dress() {
        for (reads, text, expected, note) in [
            (Reads::RatedSpeed, "n=1460", "1460", "beside it stands n"),
            (Reads::RatedCurrent, "I = 14.5 A", "14.5 A", "beside it stands I"),
            (Reads::Voltage, "U=400V", "400 V", ""),
            (Reads::Efficiency, "IE3-93.5%", "93.5 %", "beside it stands IE3"),
            (Reads::Efficiency, "≥ 90.1", "90.1", "beside it stands ≥"),
            (Reads::Efficiency, "η=90.1", "90.1", "beside it stands η"),
            (Reads::PowerFactor, "cosφ 0.83", "0.83", "beside it stands cosφ"),
            (Reads::PowerFactor, "0.85 ind", "0.85", "beside it stands ind"),
            (Reads::PowerFactor, "0.83i", "0.83", "beside it stands i"),
            (Reads::RatedPower, "7.5 kW S3 40%", "7.5 kW", "beside it stands S3 40%"),
            (Reads::RatedPower, "7.5 (S1)", "7.5", "beside it stands (S1)"),
            (Reads::RatedPower, "7.5 ?", "7.5", "beside it stands ?"),
            (Reads::RatedCurrent, "14.5 (400V)", "14.5", "beside it stands (400V)"),
            (
                Reads::RatedCurrent,
                "14.5 A bei 400 V",
                "14.5 A",
                "beside it stands bei 400 V",
            ),
            (Reads::RatedSpeed, "1460 @50Hz", "1460", "beside it stands @50Hz"),
            (Reads::MeasuredCurrent, "Ø 11", "11", "beside it stands Ø"),
            (Reads::Voltage, "400 V ±10%", "400 V", "beside it stands ±10%"),
            (Reads::Voltage, "400V +/- 5 %", "400 V", "beside it stands +/- 5 %"),
            (Reads::Voltage, "400Y/230", "400", "230 V line to neutral"),
            (
                Reads::Supply,
                "480Y/277V 3ph 60Hz",
                "480 V; @60",
                "277 V line to neutral",
            ),
            (Reads::RatedCurrent, "41 A (Y)", "41 A", "beside it stands (Y)"),
            (
                Reads::MeasuredSpeed,
                "1480 (strobe)",
                "1480",
                "beside it stands (strobe)",
            ),
            (Reads::MeasuredCurrent, "~30", "30", ""),
            (Reads::RatedPower, "~30 kW", "30 kW", ""),
            (Reads::MeasuredCurrent, "30*", "30", "beside it stands *"),
            (Reads::RatedSpeed, "24.4 1/s", "1464 r/min", "written in turns a second"),
            (
                Reads::RatedSpeed,
                "24.417 1/s",
                "1465.02 r/min",
                "written in turns a second",
            ),
            (Reads::RatedCurrent, "17000 mA", "17 A", "written in mA"),
            (Reads::RatedCurrent, "2.12E+01", "21.2", ""),
            (Reads::RatedPower, "1,5e+1 kW", "15 kW", ""),
            (Reads::Voltage, "400 tri", "400", ""),
            (Reads::Voltage, "400D/690Y", "400; 690", ""),
            (Reads::Voltage, "690Y/400D", "690; 400", ""),
            (Reads::Voltage, "3F 380V", "380 V", ""),
            (Reads::Voltage, "400 Vca", "400 V", ""),
            (Reads::RatedCurrent, "14.5@400V", "14.5", "beside it stands @400V"),
            (Reads::RatedCurrent, "14.5@400V/8.4", "none", ""),
            (Reads::RatedCurrent, "14.5Δ/8.4Y", "14.5; 8.4", ""),
            (Reads::MeasuredCurrent, "11 avg", "11", "beside it stands avg"),
            (Reads::RatedSpeed, "1465 (4P)", "1465", "beside it stands (4P)"),
            (Reads::RatedSpeed, "1465 U/min.", "1465 r/min", ""),
            (Reads::RatedPower, "(7.5)", "7.5", "beside it stands a pair of brackets"),
            (Reads::RatedPower, "7.5 kW IE3", "7.5 kW", "beside it stands IE3"),
            (Reads::RatedPower, "7.5 kW\n10 HP", "7.5 kW; 10 hp", ""),
            (Reads::RatedPower, "7.5 kW pump", "none", ""),
            (Reads::Poles, "IV", "4", ""),
            (Reads::Poles, "2 pólos", "2", ""),
            (Reads::Poles, "V", "none", ""),
            (Reads::RatedCurrent, "30 (2 off)", "none", ""),
            (Reads::RatedCurrent, "(spare)", "none", ""),
            (Reads::RatedCurrent, "5E", "none", ""),
        ] {
            let writing = if reads == Reads::RatedSpeed {
                Writing {
                    comma: false,
                    whole: true,
                }
            } else {
                POINT
            };
            assert_eq!(shown(reads, text, writing), expected, "{text}");
            let said = read(reads, text, writing)
                .and_then(|plain| plain.note)
                .unwrap_or_default();
            assert_eq!(said, note, "{text}");
        }
    }

    #[test]
    fn tags_and_titles() {
        assert_eq!(tags_in("BC-110A/B"), ["BC-110A", "BC-110B"]);
        assert_eq!(tags_in("RP-511A,B,C"), ["RP-511A", "RP-511B", "RP-511C"]);
        assert!(tags_in("P-101").is_empty());
        let (volts, hertz) = supply_in("Netz 3x400 V 50 Hz; Stand 01/2026");
        assert_eq!((volts, hertz), (vec![Decimal::from(400)], vec![Decimal::from(50)]));
        assert_eq!(supply_in("HP 5 RPM 1750 HZ 60").1, []);
    }
}
