//! How values stand on plates and in data sheets: `400/690 V`, `5.5-6 kW`, `7½ hp`, `3~ 400 V`, `4 P`, `2p=4`, `0.85 lag`, `<= 80 K`, `7.5·10³ W`.
//!
//! For: a whole text that is one value as it is stamped or printed, where a formula would read something else or nothing.
//! Always: what is offered is read as it stands. Two values of a plate are never taken for a quotient.
//! Not known here: names of the sheet, what the value is of.
//! Source of the ways of writing: common practice, no source.

use rust_decimal::Decimal;

use super::words::says_limit;
use crate::fault::{Code, Fault, Span};
use crate::quantity::{Base, Unit};

/// Longer texts are formulas.
const LONGEST: usize = 48;

/// A decimal number with more places than that is no help in place of a fraction: 1/3.
const LONGEST_DECIMAL: u32 = 8;

/// What is wrong, what to try, what to write instead: one reading or several.
struct Read {
    code: Code,
    message: String,
    help: String,
    write: Vec<String>,
}

/// The fault of a whole text that is a value as plates have it; `read` where a formula could be made of it, so that only what is
/// never meant as one is told.
pub(super) fn stamped(text: &str, read: bool) -> Option<Fault> {
    let said = text.trim();
    let begins = |first: char| {
        first.is_ascii_digit()
            || first.is_ascii_alphabetic()
            || "≤≥<>~≈=".contains(first)
            || part_of_one(first).is_some()
    };
    if said.len() > LONGEST || !said.starts_with(begins) {
        return None;
    }
    let told = if read {
        let with_phases = said.contains("/3/") || said.contains("/1/");
        pair(said)
            .or_else(|| vulgar(said))
            .or_else(|| supply(said).filter(|_| with_phases))
            .or_else(|| date(said))
    } else {
        pair(said)
            .or_else(|| vulgar(said))
            .or_else(|| supply(said))
            .or_else(|| poles(said))
            .or_else(|| power_factor(said))
            .or_else(|| limit(said))
            .or_else(|| power_of_ten(said))
            .or_else(|| dotted(said))
            .or_else(|| degrees(said))
    }?;
    let start = text.len() - text.trim_start().len();
    let span = Span::new(start, start + said.len());
    let fault = Fault::new(told.code, span, told.message).help(told.help);
    Some(
        told.write
            .into_iter()
            .fold(fault, |fault, write| fault.fix(format!("write {write}"), span, write)),
    )
}

/// `2024-03-01`, which would be a difference.
fn date(said: &str) -> Option<Read> {
    let parts: Vec<&str> = said.split('-').collect();
    let digits = |part: &&str, count: usize| part.len() == count && part.bytes().all(|sign| sign.is_ascii_digit());
    let [year, month, day] = parts.as_slice() else {
        return None;
    };
    (digits(year, 4) && digits(month, 2) && digits(day, 2)).then(|| Read {
        code: Code::EXPECTED,
        message: format!("`{said}` is a date, and a formula would take it for a difference"),
        help: format!("a date is a text: write `\"{said}\"`"),
        write: vec![format!("\"{said}\"")],
    })
}

/// The number at the beginning of a text, and the rest.
fn number(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|letter: char| !(letter.is_ascii_digit() || letter == '.'))
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at_checked(end)?;
    let whole = digits.starts_with(|first: char| first.is_ascii_digit()) && !digits.ends_with('.');
    (whole && digits.parse::<Decimal>().is_ok()).then_some((digits, rest))
}

/// What a sign is of one: `½`.
fn part_of_one(sign: char) -> Option<Decimal> {
    let (above, below) = match sign {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Decimal::from(above).checked_div(Decimal::from(below))
}

/// `7½ hp`, `1 ½ hp`, `½ hp`
fn vulgar(said: &str) -> Option<Read> {
    let at = said.find(|sign| part_of_one(sign).is_some())?;
    let (whole, rest) = said.split_at_checked(at)?;
    let sign = rest.chars().next()?;
    let unit = rest.get(sign.len_utf8()..)?.trim_start();
    let whole = match whole.trim_end() {
        "" => 0,
        digits => digits.parse::<u32>().ok()?,
    };
    if !unit.is_empty() && Unit::known(unit).is_none() {
        return None;
    }
    Some(whole_with_fraction(
        said,
        Decimal::from(whole) + part_of_one(sign)?,
        unit,
    ))
}

/// `7½ hp` and `7-1/2 hp`, with their value; the decimal number is offered where it ends.
fn whole_with_fraction(said: &str, value: Decimal, unit: &str) -> Read {
    let write: Vec<String> = (value.scale() <= LONGEST_DECIMAL)
        .then(|| format!("{} {unit}", value.normalize()).trim_end().to_owned())
        .into_iter()
        .collect();
    Read {
        code: Code::FRACTION,
        message: format!("`{said}` is a whole with a fraction, which a formula does not take"),
        help: decimal_help(&write),
        write,
    }
}

/// What to write for a fraction, where its decimal number ends and where it does not.
fn decimal_help(write: &[String]) -> String {
    match write.first() {
        Some(write) => format!("write `{write}`"),
        None => "write it as a decimal number with the unit behind it".to_owned(),
    }
}

/// `400/690 V`, `230Δ/400Y V`, `220/380/440V`, `50/60 Hz`, `26.5/15.3 A`: one value for each connection, frequency or speed;
/// `5.5-6 kW`, `208-230/460 V`: a range.
fn pair(said: &str) -> Option<Read> {
    if !said.contains(SEPARATORS) || said.contains(" / ") || said.contains(" - ") {
        return None;
    }
    // The connection stands behind its value.
    let bare: String = said
        .chars()
        .filter(|letter| !matches!(letter, 'Δ' | '△' | 'Y' | 'D'))
        .collect();
    let mut values = Vec::new();
    let mut rest = bare.as_str();
    let mut is_range = true;
    let unit = loop {
        let (digits, behind) = number(rest)?;
        values.push(digits);
        let behind = behind.trim_start();
        match behind.strip_prefix(SEPARATORS) {
            Some(more) => {
                is_range &= !behind.starts_with('/');
                rest = more.trim_start();
            }
            None => break behind,
        }
        if values.len() > 4 {
            return None;
        }
    };
    let known = Unit::known(unit).filter(|known| !known.is_plain())?;
    let [first, .., last] = values.as_slice() else {
        return None;
    };
    let marked = bare.len() != said.len();
    let rate = known.dimension == Unit::known("s")?.dimension || known.dimension == Unit::known("Hz")?.dimension;
    if *first == "1" && rate && !marked {
        // 1/50 Hz is a period, and 1/20 s a rate.
        return None;
    }
    let whole = |digits: &str| digits.parse::<u32>().ok();
    if let [before, above, below] = values.as_slice()
        && let Some((above, below)) = whole(above).zip(whole(below))
        && let Some(before_it) = whole(before)
        && is_fraction(above, below)
        && said.starts_with(&format!("{before}-{above}/"))
    {
        let value = Decimal::from(above).checked_div(Decimal::from(below))? + Decimal::from(before_it);
        return Some(whole_with_fraction(said, value, unit));
    }
    if let (Some(above), Some(below), 2, false, false) = (whole(first), whole(last), values.len(), marked, is_range)
        && is_fraction(above, below)
        && ![Base::Current, Base::Cycle]
            .into_iter()
            .any(|base| !known.dimension.get(base).is_zero())
    {
        let decimal = Decimal::from(above)
            .checked_div(Decimal::from(below))
            .filter(|value| value.scale() <= LONGEST_DECIMAL);
        let write: Vec<String> = decimal
            .map(|value| format!("{} {unit}", value.normalize()))
            .into_iter()
            .collect();
        return Some(Read {
            code: Code::FRACTION,
            message: format!("`{first}/{last}` before the unit `{unit}` is a fraction, which a formula does not take"),
            help: decimal_help(&write),
            write,
        });
    }
    let write: Vec<String> = values.iter().map(|digits| format!("{digits} {unit}")).collect();
    let list = write
        .iter()
        .map(|write| format!("`{write}`"))
        .collect::<Vec<_>>()
        .join(" or ");
    if is_range && values.len() == 2 {
        // A range goes up; else it is a difference.
        if first.parse::<Decimal>().ok()? >= last.parse::<Decimal>().ok()? {
            return None;
        }
        let [first, last] = [first, last].map(|digits| format!("{digits} {unit}"));
        return Some(Read {
            code: Code::EXPECTED,
            message: format!("`{said}` is a range from one value to another; a formula takes one"),
            help: format!("write {list}, or both in two cases; a difference is `{first} - {last}`"),
            write,
        });
    }
    Some(Read {
        code: Code::EXPECTED,
        message: format!(
            "`{said}` is {} values of a plate, one for each way of connecting or running the motor; a formula takes one",
            match values.len() {
                2 => "two",
                3 => "three",
                _ => "several",
            }
        ),
        help: format!("write {list}, or both in two cases; a quotient has blanks around its `/`"),
        write,
    })
}

/// What stands between several values of a plate.
const SEPARATORS: [char; 3] = ['/', '-', '–'];

/// Whether a sign is one that plates have in their values: between several ones, or for a part of one.
pub fn is_of_plates(sign: char) -> bool {
    SEPARATORS.contains(&sign) || part_of_one(sign).is_some()
}

/// `3/4`, `1/2`, `1/3`: less than one, in lowest terms, as rulers and small motors have it.
pub(super) fn is_fraction(above: u32, below: u32) -> bool {
    let (mut a, mut b) = (above, below);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    (1..below).contains(&above) && a == 1 && below <= 64
}

/// What is written before and behind the voltage of a supply, the longer ones first.
const PHASES: &[&str] = &[
    "3/n/pe~", "3/n~", "3n~", "3 x", "3x", "3 ~", "3~", "3-ph", "3 ph", "3ph", "3ac", "3 ac", "2~", "2ac", "2 ac",
    "1/n/pe~", "1 ~", "1~", "1-ph", "1 ph", "1ph", "1ac", "1 ac", "ac", "dc", "~",
];

/// `3~400V`, `3AC 400 V`, `400 VAC`, `3~ 400 V 50 Hz`, `400V/3/50Hz`
fn supply(said: &str) -> Option<Read> {
    let folded = said.to_lowercase();
    let prefix = PHASES.iter().find(|phases| folded.starts_with(*phases));
    let rest = said
        .get(prefix.map_or(0, |prefix| prefix.len())..)?
        .trim_start_matches([' ', '.', '~']);
    let (digits, rest) = number(rest)?;
    let rest = rest.trim_start();
    let end = rest.find(|letter: char| !letter.is_alphabetic()).unwrap_or(rest.len());
    let (letters, tail) = rest.split_at_checked(end)?;
    let current = ["AC", "DC", "ac", "dc"]
        .into_iter()
        .find_map(|current| letters.strip_suffix(current));
    let unit = current.unwrap_or(letters);
    if !matches!(unit, "V" | "kV") {
        return None;
    }
    let tail = tail.trim_matches([' ', ',', ';', '/', '-']);
    let behind = |tail: &str| {
        let tail = tail.to_lowercase();
        let phases = PHASES.contains(&tail.as_str()) || matches!(tail.as_str(), "3" | "1" | "line" | "l-l" | "ll");
        let mut parts = tail.split(['/', '-', ',', ' ']).filter(|part| !part.is_empty());
        let frequency = parts.clone().any(|part| part.ends_with("hz"))
            && parts.all(|part| {
                part.trim_end_matches("hz").parse::<Decimal>().is_ok() || PHASES.contains(&part) || part == "hz"
            });
        phases || frequency
    };
    if !tail.is_empty() && !behind(tail) || tail.is_empty() && prefix.is_none() && current.is_none() {
        return None;
    }
    let write = format!("{digits} {unit}");
    let single = prefix.is_some_and(|prefix| prefix.starts_with('1'));
    let also = if single {
        "; that there is one phase stands in a line of its own, `supply single-phase`"
    } else if tail.to_lowercase().contains("hz") {
        "; the frequency stands in a line of its own"
    } else if current.is_some_and(|current| current.eq_ignore_ascii_case("dc")) || folded.contains("dc") {
        ""
    } else {
        "; three phases are taken where nothing else is said"
    };
    Some(Read {
        code: Code::EXPECTED,
        message: format!("`{said}` describes a supply; the value is the voltage alone"),
        help: format!("write `{write}`{also}"),
        write: vec![write],
    })
}

/// `4 P`, `2p=4`, `4-polig`: a number of poles.
fn poles(said: &str) -> Option<Read> {
    let closed: String = said.chars().filter(|letter| !letter.is_whitespace()).collect();
    let folded = closed.to_lowercase();
    let behind = folded.strip_prefix("2p=").or_else(|| folded.strip_prefix("2p"));
    let (count, letter) = match behind.filter(|count| count.parse::<u32>().is_ok()) {
        Some(count) => (count, ""),
        None => {
            let (digits, rest) = number(&folded)?;
            (digits, rest.trim_start_matches('-').trim_end_matches('.'))
        }
    };
    if !matches!(letter, "" | "p" | "pol" | "polig" | "pole" | "poles" | "polos" | "poli") {
        return None;
    }
    let count: u32 = count
        .parse()
        .ok()
        .filter(|count| (2..=96).contains(count) && count % 2 == 0)?;
    let write = format!("{count} pole");
    // `4 P` is four times a quantity as well.
    let product = (letter == "p").then(|| format!("{count}*{}", if closed.ends_with('P') { "P" } else { "p" }));
    let also = product.as_ref().map_or_else(String::new, |product| {
        format!("; four times a quantity is `{product}`").replace("four", &count.to_string())
    });
    Some(Read {
        code: Code::EXPECTED,
        message: format!("`{said}` stands on plates for a number of poles; its unit is `pole`"),
        help: format!("write `{write}`{also}"),
        write: std::iter::once(write).chain(product).collect(),
    })
}

/// `0.85 lag`, `cos φ 0.85`
fn power_factor(said: &str) -> Option<Read> {
    let folded = said.to_lowercase();
    let letters = [
        "cosφ", "cos φ", "cosϕ", "cos ϕ", "cosphi", "cos phi", "cos", "pf", "p.f.",
    ];
    let named = letters.iter().find(|letters| folded.starts_with(*letters));
    let rest = folded.get(named.map_or(0, |named| named.len())..)?;
    let rest = rest.trim_start_matches([' ', '=', ':']);
    let (digits, behind) = number(rest)?;
    let behind = behind.trim_matches([' ', '.', '(', ')', ',']);
    let lags = matches!(behind, "lag" | "lagging" | "ind" | "inductive");
    let leads = matches!(behind, "lead" | "leading" | "cap" | "capacitive");
    let share = digits.parse::<Decimal>().is_ok_and(|value| value <= Decimal::ONE);
    if !share || !(lags || leads || named.is_some() && behind.is_empty()) {
        return None;
    }
    let word = if behind.is_empty() {
        "the letters before it are"
    } else {
        "the word behind it is"
    };
    let also = if leads {
        "; whether a current lags or leads is not said by its power factor"
    } else {
        "; the current of an induction motor lags anyway"
    };
    Some(Read {
        code: Code::EXPECTED,
        message: format!("`{said}` is a power factor, and {word} no part of its value"),
        help: format!("write `{digits}`{also}"),
        write: vec![digits.to_owned()],
    })
}

/// `<= 80 K`, `max. 80 K`
fn limit(said: &str) -> Option<Read> {
    let (sign, value) = says_limit(said)?;
    let (digits, unit) = number(value)?;
    let unit = unit.trim();
    if !unit.is_empty() && Unit::known(unit).is_none() {
        return None;
    }
    let write = if unit.is_empty() {
        digits.to_owned()
    } else {
        format!("{digits} {unit}")
    };
    Some(Read {
        code: Code::EXPECTED,
        message: format!("`{said}` is a limit and not a value"),
        help: format!(
            "where {write} is the value, write `{write}`; where something has to keep to it, that is a line of its own: `check x {sign} {write}`"
        ),
        write: vec![write],
    })
}

/// `7.5·10³ W`, `7.5x10^3 W`
fn power_of_ten(said: &str) -> Option<Read> {
    let (digits, rest) = number(said)?;
    if let Some(power) = rest
        .trim_start()
        .strip_prefix(['e', 'E'])
        .filter(|_| rest.starts_with(' '))
    {
        let end = power.find(' ').unwrap_or(power.len());
        let (exponent, unit) = power.split_at_checked(end)?;
        let fits = exponent.parse::<i32>().is_ok() && (unit.trim().is_empty() || Unit::known(unit.trim()).is_some());
        let write = format!("{digits}e{exponent} {}", unit.trim()).trim_end().to_owned();
        return fits.then(|| Read {
            code: Code::NUMBER_FORM,
            message: format!("`{said}` has a blank between the number and its power of ten"),
            help: format!("write `{write}`"),
            write: vec![write],
        });
    }
    let rest = rest.trim_start().strip_prefix(['x', 'X', '·', '×', '*'])?.trim_start();
    let rest = rest.strip_prefix("10")?;
    let raised = |letter: char| "⁻⁰¹²³⁴⁵⁶⁷⁸⁹".contains(letter);
    let (exponent, unit) = match rest.strip_prefix('^') {
        Some(rest) => {
            let end = rest
                .find(|letter: char| !(letter.is_ascii_digit() || letter == '-'))
                .unwrap_or(rest.len());
            let (exponent, unit) = rest.split_at_checked(end)?;
            (exponent.to_owned(), unit)
        }
        None => {
            let end = rest.find(|letter: char| !raised(letter)).unwrap_or(rest.len());
            let (exponent, unit) = rest.split_at_checked(end)?;
            (exponent.chars().map(lowered).collect(), unit)
        }
    };
    let exponent: i32 = exponent.parse().ok()?;
    let unit = unit.trim();
    if !unit.is_empty() && Unit::known(unit).is_none() {
        return None;
    }
    let write = format!("{digits}e{exponent} {unit}").trim_end().to_owned();
    Some(Read {
        code: Code::NUMBER_FORM,
        message: format!("`{said}` is a number with its power of ten; both are written in one"),
        help: format!("write `{write}`"),
        write: vec![write],
    })
}

/// A raised digit or minus as a plain one.
fn lowered(letter: char) -> char {
    match letter {
        '⁻' => '-',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        other => u32::from(other)
            .checked_sub(u32::from('⁰'))
            .and_then(|digit| char::from_digit(digit, 10))
            .unwrap_or(other),
    }
}

/// `40 deg C`, `104 degrees F`
fn degrees(said: &str) -> Option<Read> {
    let (digits, rest) = number(said)?;
    let (word, scale) = rest.trim().split_once(' ')?;
    let scale = scale.trim();
    if !matches!(
        word,
        "deg" | "deg." | "degree" | "degrees" | "°" | "º" | "grad" | "Grad"
    ) || !matches!(scale, "C" | "F")
    {
        return None;
    }
    let write = format!("{digits} °{scale}");
    Some(Read {
        code: Code::EXPECTED,
        message: format!("`{said}` is a temperature in °{scale}, which is written in one"),
        help: format!("write `{write}` or `{digits} deg{scale}`"),
        write: vec![write],
    })
}

/// `1.0 p.u.`, `15 H.P.`: a unit as plates abbreviate it.
fn dotted(said: &str) -> Option<Read> {
    let (digits, unit) = number(said)?;
    let unit = unit.trim();
    if !unit.ends_with('.') {
        return None;
    }
    let known = Unit::parse_plate(unit)
        .or_else(|_| Unit::parse_plate(unit.trim_end_matches('.')))
        .ok()?;
    let write = format!("{digits} {}", known.text);
    Some(Read {
        code: Code::UNKNOWN_UNIT,
        message: format!("the unit `{unit}` is written {} here", known.text),
        help: format!("write `{write}`"),
        write: vec![write],
    })
}
