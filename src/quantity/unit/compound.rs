//! Compound units: text to parts and back.
//!
//! For: `kg·m²/s`, `N·m/(r/min)`, `W/(m²·K)`, `1/h`.
//! Always: a text that could be read two ways is refused. What is written reads back as the same.
//! Not known here: which symbols there are; they are asked for by name.

use std::sync::Arc;

use super::{Unit, UnitFault, table};
use crate::fault::Code;
use crate::quantity::twins::{one_form, plain_digit, superscript};
use crate::quantity::{Dimension, Exponent, Factor};

/// Longest text of a unit in bytes, and brackets inside brackets: far beyond anything written on purpose.
const LONGEST: usize = 200;
const DEEPEST: usize = 8;

/// A resolved part of a unit.
#[derive(Clone, Debug)]
pub(super) struct Part {
    /// Canonical text.
    pub text: String,
    /// Dimension with tags.
    pub dimension: Dimension,
    /// Factor to the coherent unit.
    pub factor: Factor,
}

type Find<'a> = &'a dyn Fn(&str) -> Option<Part>;

/// Reads a unit; `plate` also takes what only plates and lists write.
pub(super) fn read(text: &str, plate: bool) -> Result<Unit, UnitFault> {
    resolve(text, plate).map_err(|fault| {
        if plate {
            return fault;
        }
        // A formula has one way of writing it; what only plates write is named by it.
        let form = one_form(text);
        match table::find(&form, true) {
            Some(unit) if near_told(fault.clone()).nearest != [&*unit.text] => UnitFault {
                part: text.to_owned(),
                nearest: vec![unit.text.to_string()],
                reason: Some(format!("`{text}` is written {} here", unit.text)),
                ..fault
            },
            _ => respelled(&form, text, &fault).unwrap_or(fault),
        }
    })
}

/// The same without looking for what else may have been meant, which takes far longer than reading.
pub(super) fn resolve(text: &str, plate: bool) -> Result<Unit, UnitFault> {
    if text.len() > LONGEST {
        return Err(broken(
            text.chars().take(20).collect::<String>() + "…",
            "this is too long for a unit",
        ));
    }
    let form = one_form(text);
    if let Some(unit) = table::find(&form, plate) {
        return Ok(unit.clone());
    }
    let find = |name: &str| table::find(name, plate).map(Part::from);
    let part = parts(&form, &find).or_else(|fault| {
        if !plate || !form.contains(' ') {
            return Err(fault);
        }
        // On plates a blank stands for nothing (`r / min`) or for a product (`N m`).
        let closed: String = form.split_whitespace().collect();
        let product = form.split_whitespace().collect::<Vec<_>>().join("·");
        match table::find(&closed, true) {
            Some(unit) => Ok(Part::from(unit)),
            None => parts(&product, &find)
                .or_else(|_| parts(&closed, &find))
                .map_err(|_| fault),
        }
    })?;
    if part.text == "1" {
        return Ok(Unit::plain());
    }
    // What was read may have a row of its own under its canonical text.
    if let Some(unit) = table::find(&part.text, false)
        && unit.dimension == part.dimension
        && *unit.factor == part.factor
    {
        return Ok(unit.clone());
    }
    Ok(Unit {
        kind: table::proved(&part.dimension),
        text: part.text.into(),
        dimension: part.dimension,
        factor: Arc::new(part.factor),
        offset: None,
    })
}

/// `kg.m²` is written kg·m² here, `N*m` N·m, `cbm/h` m³/h: what to say of a text whose dots or stars stand for products, or that plates
/// write.
fn respelled(form: &str, typed: &str, fault: &UnitFault) -> Option<UnitFault> {
    let product = form.replace(['.', '*', '×'], "·");
    let of_plates = product.split(['/', '·']).any(table::is_of_plates);
    if product == form && !of_plates && !near_told(fault.clone()).nearest.is_empty() {
        return None;
    }
    let unit = resolve(&product, true).ok()?;
    Some(UnitFault {
        code: Code::UNKNOWN_UNIT,
        part: typed.to_owned(),
        nearest: vec![unit.text.to_string()],
        reason: Some(format!("`{typed}` is written {} here", unit.text)),
    })
}

/// Reads a text in its one form, asking `find` for every symbol.
pub(super) fn parts(text: &str, find: Find<'_>) -> Result<Part, UnitFault> {
    quotient(text, find, 0)
}

impl From<&Unit> for Part {
    fn from(unit: &Unit) -> Part {
        Part {
            text: unit.text.to_string(),
            dimension: unit.dimension,
            factor: (*unit.factor).clone(),
        }
    }
}

/// `A`, `A/B`
fn quotient(text: &str, find: Find<'_>, depth: usize) -> Result<Part, UnitFault> {
    if depth > DEEPEST {
        return Err(broken(text, "brackets stand too deep in this unit"));
    }
    if let Some(part) = whole(text, find) {
        return Ok(part);
    }
    match split(text, '/')?.as_slice() {
        [one] => product(one, find, depth),
        [above, below] => {
            let top = if *above == "1" {
                None
            } else {
                Some(product(above, find, depth)?)
            };
            if whole(below, find).is_none() && split(below, '·')?.len() > 1 {
                return Err(two_ways(format!(
                    "`{text}` can be read two ways; write {above}/({below}), or put the last part above the line"
                )));
            }
            let bottom = product(below, find, depth)?;
            over(top.as_ref(), &bottom)
        }
        [above, first, second, ..] => Err(two_ways(format!(
            "`{text}` has two divisions; write {above}/({first}·{second}) or ({above}/{first})/{second}"
        ))),
        [] => Err(broken(text, "a unit is missing here")),
    }
}

/// `A`, `A·B`, `A·B·C`
fn product(text: &str, find: Find<'_>, depth: usize) -> Result<Part, UnitFault> {
    if let Some(part) = whole(text, find) {
        return Ok(part);
    }
    let pieces = split(text, '·')?;
    if let [one] = pieces.as_slice() {
        return power(one, find, depth);
    }
    let mut out: Option<Part> = None;
    let mut before = "";
    for piece in pieces {
        if matches!(before, "lb" | "lbm" | "lbs") && matches!(piece, "ft" | "in") {
            let reason = format!(
                "lb·{piece} alone is a torque, but lb in `{text}` is a mass; write lbf·{piece} for the torque, lb·{piece}² for inertia"
            );
            return Err(two_ways(reason));
        }
        before = piece;
        let part = power(piece, find, depth)?;
        out = Some(match out {
            None => part,
            Some(out) => times(&out, &part)?,
        });
    }
    out.ok_or_else(|| broken(text, "a unit is missing here"))
}

/// `m`, `m²`, `m^-1`, `(r/min)²`
fn power(text: &str, find: Find<'_>, depth: usize) -> Result<Part, UnitFault> {
    // min⁻¹ alone is r/min, as plates print it; as one part among others it is what it says.
    if text != "min⁻¹"
        && let Some(part) = find(text)
    {
        return Ok(part);
    }
    if text.is_empty() {
        return Err(broken(text, "a unit is missing here"));
    }
    let (base, exponent) = base_and_exponent(text)?;
    if base == "Nm" && exponent == Some(Exponent::whole(3)) {
        return Err(unknown(text));
    }
    let part = if let Some(inner) = base.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        quotient(inner, find, depth + 1)?
    } else {
        find(base).ok_or_else(|| unknown(base))?
    };
    match exponent {
        None => Ok(part),
        Some(exponent) => raised(&part, exponent),
    }
}

/// A text that is one symbol, alias or bracket around one.
fn whole(text: &str, find: Find<'_>) -> Option<Part> {
    find(text).or_else(|| find(text.strip_prefix('(')?.strip_suffix(')')?))
}

/// Splits at a sign that stands outside of brackets.
fn split(text: &str, at: char) -> Result<Vec<&str>, UnitFault> {
    let mut pieces = Vec::new();
    let mut open = 0_usize;
    let mut from = 0;
    for (place, letter) in text.char_indices() {
        match letter {
            '(' => open += 1,
            ')' => {
                open = open
                    .checked_sub(1)
                    .ok_or_else(|| broken(text, "a bracket is closed that was not opened"))?
            }
            letter if letter == at && open == 0 => {
                pieces.push(text.get(from..place).unwrap_or(""));
                from = place + letter.len_utf8();
            }
            _ => {}
        }
    }
    if open > 0 {
        return Err(broken(text, "a bracket is not closed"));
    }
    pieces.push(text.get(from..).unwrap_or(""));
    Ok(pieces)
}

/// `m²` → m and 2; `Hz^(1/2)` → Hz and ½.
fn base_and_exponent(text: &str) -> Result<(&str, Option<Exponent>), UnitFault> {
    let misfit = || broken(text, "the exponent of the unit cannot be read");
    // An exponent inside a bracket belongs to what stands there.
    let closed = if text.starts_with('(') {
        closing(text).ok_or_else(misfit)?
    } else {
        0
    };
    let raised = text
        .get(closed..)
        .and_then(|rest| rest.find('^'))
        .map(|place| place + closed);
    if let Some((base, exponent)) = raised.and_then(|place| Some((text.get(..place)?, text.get(place + 1..)?))) {
        let inner = exponent
            .strip_prefix('(')
            .and_then(|rest| rest.strip_suffix(')'))
            .unwrap_or(exponent);
        let (num, den) = inner.split_once('/').unwrap_or((inner, "1"));
        let (num, den) = match num.split_once('.') {
            Some((_, places)) if den == "1" && !places.is_empty() && places.len() < 4 => {
                (num.replace('.', ""), 10_i64.pow(places.len() as u32))
            }
            _ => (num.to_owned(), den.parse().map_err(|_| misfit())?),
        };
        let exponent = Exponent::new(num.parse().map_err(|_| misfit())?, den).ok_or_else(misfit)?;
        return Ok((base, Some(exponent)));
    }
    let base = text.trim_end_matches(|letter| plain_digit(letter).is_some());
    let digits: String = text
        .get(base.len()..)
        .unwrap_or("")
        .chars()
        .filter_map(plain_digit)
        .collect();
    if digits.is_empty() {
        return Ok((base, None));
    }
    let num: i16 = digits.parse().map_err(|_| misfit())?;
    Ok((base, Some(Exponent::whole(num))))
}

/// One past the bracket that closes the one at the start.
fn closing(text: &str) -> Option<usize> {
    let mut open = 0_usize;
    for (place, letter) in text.char_indices() {
        match letter {
            '(' => open += 1,
            ')' if open == 1 => return Some(place + 1),
            ')' => open = open.checked_sub(1)?,
            _ => {}
        }
    }
    None
}

fn times(a: &Part, b: &Part) -> Result<Part, UnitFault> {
    let dimension = a.dimension.mul(&b.dimension).ok_or_else(|| too_high(&b.text))?;
    let text = format!("{}·{}", beside(&a.text), beside(&b.text));
    Ok(Part {
        text,
        dimension,
        factor: a.factor.mul(&b.factor),
    })
}

fn over(top: Option<&Part>, bottom: &Part) -> Result<Part, UnitFault> {
    let (text, dimension, factor) = match top {
        Some(top) => (beside(&top.text), top.dimension, top.factor.clone()),
        None => ("1".to_owned(), Dimension::NONE, Factor::one()),
    };
    let dimension = dimension.div(&bottom.dimension).ok_or_else(|| too_high(&bottom.text))?;
    let text = format!("{text}/{}", single(&bottom.text));
    Ok(Part {
        text,
        dimension,
        factor: factor.div(&bottom.factor),
    })
}

fn raised(part: &Part, exponent: Exponent) -> Result<Part, UnitFault> {
    let dimension = part.dimension.pow(exponent).ok_or_else(|| too_high(&part.text))?;
    let factor = part.factor.pow(exponent).ok_or_else(|| too_high(&part.text))?;
    Ok(Part {
        text: with_exponent(&part.text, exponent),
        dimension,
        factor,
    })
}

fn with_exponent(text: &str, exponent: Exponent) -> String {
    let base = if is_raised(text) {
        format!("({text})")
    } else {
        single(text)
    };
    match (exponent.num(), exponent.den()) {
        (1, 1) => text.to_owned(),
        (num, 1) => base + &num.to_string().chars().map(superscript).collect::<String>(),
        (num, den) => format!("{base}^({num}/{den})"),
    }
}

/// Base symbols with exponents as a text: what stands above the line, then what stands below.
pub(super) fn written(parts: &[(&str, Exponent)]) -> String {
    let side = |above: bool| {
        let texts: Vec<String> = parts
            .iter()
            .filter(|(_, exponent)| (exponent.num() > 0) == above)
            .map(|(symbol, exponent)| with_exponent(symbol, if above { *exponent } else { exponent.neg() }))
            .collect();
        texts.join("·")
    };
    let (above, below) = (side(true), side(false));
    match (above.is_empty(), below.is_empty()) {
        (true, true) => "1".to_owned(),
        (false, true) => above,
        (true, false) => format!("1/{}", single(&below)),
        (false, false) => format!("{above}/{}", single(&below)),
    }
}

/// Product or quotient of two units.
pub(super) fn joined(a: &Unit, b: &Unit, divided: bool) -> Option<Unit> {
    let (a, b) = (Part::from(a), Part::from(b));
    let candidates = match (divided, a.text.as_str()) {
        (true, "1") => vec![over(None, &b)],
        (true, _) => vec![over(Some(&a), &b)],
        // lb·ft would be read as the torque; ft·lb is not.
        (false, _) => vec![times(&a, &b), times(&b, &a)],
    };
    candidates.into_iter().find_map(|part| {
        let part = part.ok()?;
        let unit = read(&part.text, false).ok()?;
        (unit.dimension == part.dimension && *unit.factor == part.factor && unit.offset.is_none()).then_some(unit)
    })
}

/// In brackets where it is more than one symbol.
fn single(text: &str) -> String {
    if has_outside(text, &['·', '/', '-']) || has_call(text) {
        format!("({text})")
    } else {
        text.to_owned()
    }
}

/// In brackets where it is a quotient, or would be read as something else beside a neighbour.
fn beside(text: &str) -> String {
    if has_outside(text, &['/']) || has_call(text) {
        format!("({text})")
    } else {
        text.to_owned()
    }
}

/// Whether one of the signs stands outside of brackets.
fn has_outside(text: &str, signs: &[char]) -> bool {
    let mut open = 0_usize;
    text.chars().any(|letter| {
        match letter {
            '(' => open += 1,
            ')' => open = open.saturating_sub(1),
            _ => {}
        }
        open == 0 && signs.contains(&letter)
    })
}

/// Whether a bracket belongs to the symbol before it, as in kgf·m²(GD2).
fn has_call(text: &str) -> bool {
    let mut before = '/';
    text.chars().any(|letter| {
        let called = letter == '(' && !matches!(before, '/' | '·' | '^' | '(');
        before = letter;
        called
    })
}

fn is_raised(text: &str) -> bool {
    text.contains('^') || text.chars().any(|letter| plain_digit(letter).is_some())
}

fn unknown(name: &str) -> UnitFault {
    if matches!(name, "Nm³" | "NM³" | "Nm3") {
        return UnitFault {
            code: Code::UNKNOWN_UNIT,
            part: name.to_owned(),
            nearest: vec!["m³".to_owned()],
            reason: Some(
                "a normal cubic metre is an amount of gas at 0 °C and 1 atm; a flow is given in m³ as it flows"
                    .to_owned(),
            ),
        };
    }
    if matches!(name.to_lowercase().as_str(), "ton" | "tons") {
        return UnitFault {
            code: Code::WHICH_TON,
            part: name.to_owned(),
            nearest: ["t", "ton_us", "ton_uk", "ton_refr"].map(str::to_owned).to_vec(),
            reason: Some(
                "`ton` can be 1000 kg (t), 2000 lb (ton_us), 2240 lb (ton_uk) or 12000 BTU/h of cooling (ton_refr)"
                    .to_owned(),
            ),
        };
    }
    UnitFault {
        code: Code::UNKNOWN_UNIT,
        part: name.to_owned(),
        nearest: Vec::new(),
        reason: None,
    }
}

/// A symbol that is not known with those near to it: looked for once it is told, as most texts of a list are no units at all.
pub(super) fn near_told(fault: UnitFault) -> UnitFault {
    if fault.code != Code::UNKNOWN_UNIT || fault.reason.is_some() || !fault.nearest.is_empty() {
        return fault;
    }
    UnitFault {
        nearest: table::near(&fault.part),
        ..fault
    }
}

fn broken(part: impl Into<String>, why: &str) -> UnitFault {
    let part = part.into();
    let reason = if part.is_empty() {
        why.to_owned()
    } else {
        format!("{why}: `{part}`")
    };
    UnitFault {
        code: Code::UNIT_BROKEN,
        part,
        nearest: Vec::new(),
        reason: Some(reason),
    }
}

fn two_ways(reason: String) -> UnitFault {
    UnitFault {
        code: Code::UNIT_TWO_WAYS,
        part: String::new(),
        nearest: Vec::new(),
        reason: Some(reason),
    }
}

fn too_high(part: &str) -> UnitFault {
    broken(part, "the exponent of this unit is too high")
}
