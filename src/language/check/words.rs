//! The words of faults about units, tags and kinds.
//!
//! For: one place where a refusal becomes a sentence: what was found, what was expected, what to try.
//! Always: speaks of the formula as typed and of units as a user writes them, never of tags.
//! Not known here: when a rule is met (`settle`).

use super::settle::Refusal;
use super::term::{Count, Marks, ONE, Term};
use super::units;
use crate::fault::{Code, Fault, Span, Words};
use crate::quantity::{Base, Family, Kind, Unit};

/// Why two values meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meeting {
    /// One is added to the other, or taken away.
    Sum,
    /// One is compared with the other.
    Comparison,
    /// A formula gives one or the other.
    Choice,
}

impl Meeting {
    pub(super) fn adding(self) -> bool {
        self == Meeting::Sum
    }

    /// What the two cannot.
    pub(super) fn cannot(self) -> &'static str {
        match self {
            Meeting::Sum => "the two cannot be added",
            Meeting::Comparison => "the two cannot be compared",
            Meeting::Choice => "a formula gives one kind of value, whichever arm applies",
        }
    }
}

/// Who asks.
pub(super) enum Asked<'a> {
    /// A plain number is needed.
    Plain,
    /// A unit, with the kind declared beside it, and the place where it stands.
    Unit {
        unit: &'a Unit,
        kind: Option<Kind>,
        place: Span,
    },
    /// The first operand of a sum or comparison.
    Operand { first: &'a Term, meeting: Meeting },
    /// Nobody: the product cannot stand by itself.
    Nobody,
}

/// What a term is, for a message: `a frequency (Hz)`.
pub(super) fn of(term: &Term) -> Words {
    let unit = units::natural(term, false);
    let kind = term.kind.or_else(|| unit.as_ref().and_then(|unit| unit.kind));
    let text = unit.as_ref().map(|unit| unit.text.to_string()).unwrap_or_default();
    if term.percent {
        return "a per cent".into();
    }
    if term.is_plain() {
        return "a plain number".into();
    }
    if term.count(Count::Electrical) != 0 && term.kind.is_none() && !term.marks.has(Marks::MORE_THAN_TIME) {
        return "an electrical angular speed, 2·π times a frequency".into();
    }
    match kind {
        Some(kind) => {
            let words = kind.words();
            Words::from(format!("{} {words} (", article(words)))
                .amount_of(&text, "", &text, Some(words))
                .and(")")
        }
        None => Words::from("in ").amount(&text, "", &text),
    }
}

/// What two values are that meet, each with its text.
pub(super) fn beside((said, is): (&str, Words), (first_said, first_is): (&str, Words), meeting: Meeting) -> Words {
    Words::joined([
        format!("`{said}` is ").into(),
        is,
        format!(" and `{first_said}` is ").into(),
        first_is,
        format!("; {}", meeting.cannot()).into(),
    ])
}

/// `a` or `an`.
pub(super) fn article(words: &str) -> &'static str {
    if words.starts_with(['a', 'e', 'i', 'o']) || words.starts_with("hours") || words.starts_with("un") {
        "an"
    } else {
        "a"
    }
}

/// Where a formula for the resistance of a winding leads to.
pub(super) const WINDING: &str = "the resistance of a winding at another temperature is `winding_resistance(R_1, theta_1, theta_2)`, its temperature \
                                  by resistance `winding_temperature(R_1, theta_1, R_2)`";

/// Whether one of the numbers of the law of a winding's resistance stands there: 234.5 and 235 of copper, 225 of aluminium.
pub(super) fn is_of_winding(said: &str) -> bool {
    let words = said.split(|sign: char| !sign.is_ascii_digit() && sign != '.');
    words.into_iter().any(|word| matches!(word, "234.5" | "235" | "225"))
}

fn asked_words(asked: &Asked) -> Words {
    match asked {
        Asked::Plain => "a plain number is needed".into(),
        Asked::Unit { unit, kind, .. } => match kind {
            Some(kind) => Words::from(format!("{} {} (", article(kind.words()), kind.words()))
                .amount_of(&unit.text, "", &unit.text, Some(kind.words()))
                .and(") is asked for"),
            None => Words::default().amount(&unit.text, "", &unit.text).and(" is asked for"),
        },
        Asked::Operand { first, .. } => Words::from("the other part is ").then(&of(first)),
        Asked::Nobody => "the result has to stand by itself".into(),
    }
}

/// The fault for a refusal.
pub(super) fn refusal(refusal: Refusal, term: &Term, text: &str, asked: &Asked) -> Fault {
    let span = term.span;
    let said = span.of(text).trim();
    let what = asked_words(asked);
    let fault = match refusal {
        Refusal::Dimension => return dimension(term, text, asked),
        Refusal::BareRate if term.is_plain() && !term.percent => return dimension(term, text, asked),
        Refusal::CycleLeft => Fault::new(
            Code::CYCLE_DROPPED,
            span,
            Words::joined([format!("there is no 2π in `{said}`, so a cycle of the frequency is left over; ").into(), what]),
        )
        .help("write the 2π: `2*pi*f*L`, `Q / (2*pi*f*V^2)`; or divide by the poles: `f / p`"),
        Refusal::NoTwoPi => Fault::new(
            Code::NO_TWO_PI,
            span,
            format!("there is no 2π in `{said}`; without it, it does not become a frequency"),
        )
        .help("write the 2π: `sqrt(k/m) / (2*pi)`, `R / (2*pi*L)`, or ask for rad/s"),
        Refusal::PolesMissing => {
            let message = Words::joined([format!("`{said}` is ").into(), of(term), "; ".into(), what, ": between a frequency and a speed of rotation stand the poles".into()]);
            let fault = Fault::new(Code::CYCLE_MEETS_TURN, span, message)
                .help("divide the frequency by the poles, `f / p` with p such as `4 pole`, or multiply the speed by them, `n * p`");
            with_poles(fault, span, text)
        }
        Refusal::TwoPiIsNoFrequency => Fault::new(
            Code::TWO_PI_IS_NO_FREQUENCY,
            span,
            Words::joined([format!("`{said}` contains 2π and is an angular speed, not a frequency; ").into(), what]),
        )
        .help("leave the 2π out for Hz, or ask for rad/s"),
        Refusal::ElectricalSpeed => Fault::new(
            Code::ELECTRICAL_SPEED,
            span,
            Words::joined([format!("`{said}` contains an electrical angular speed, 2π times a frequency; ").into(), what, ", and that turns with the shaft".into()]),
        )
        .help("divide by the poles first: `2*pi*f / p` or `f / p`, with p such as `4 pole` or `2 pole pair`"),
        Refusal::BareRate => {
            let message = Words::joined([format!("`{said}` is a plain rate per time; ").into(), what, ": a rate does not say whether turns, radians or cycles are counted".into()]);
            let fault = Fault::new(Code::RATE_IS_NO_SPEED, span, message);
            if term.unit.is_some() {
                super::rates::offered(fault, said, span)
            } else {
                fault.help("write `1475 r/min` for a plate speed, `(1 rev) / t` for turns, or `2*pi / t` for radians")
            }
        }
        Refusal::TurnLeft => Fault::new(
            Code::TURN_DROPPED,
            span,
            Words::joined([format!("a turn of the speed is left over in `{said}`; ").into(), what, ", and nothing says what one turn gives".into()]),
        )
        .help("say it: a lead in mm/rev, a displacement in cm³/rev, a circumference `pi * D / (1 rev)`, or take the speed in rad/s: `(n in rad/s) * r`"),
        Refusal::PiUncertain => Fault::new(
            Code::PI_WITH_TURN,
            span,
            Words::joined([format!("in `{said}` it cannot be told whether the π belongs to the turn of the speed; ").into(), what]),
        )
        .help("work the part with π on a line of its own, or take the speed in rad/s: `(n in rad/s)`"),
        Refusal::TwoPiUncertain => Fault::new(
            Code::PI_WITH_TURN,
            span,
            Words::joined([format!("in `{said}` an angle in radians is divided by 2π; ").into(), what]),
        )
        .help("leave out the 2π, T·ω is the power already; or work the speed `w / (2*pi)` on a line of its own"),
        Refusal::PowerKind => power_kind(term, said, span, what, asked),
        Refusal::TorqueIsNoEnergy => Fault::new(
            Code::TORQUE_IS_NOT_ENERGY,
            span,
            Words::joined([format!("`{said}` is a torque without an angle; ").into(), what]),
        )
        .help(
            "multiply the torque by an angle or a speed: `T * (3 rev)`, `T * n`, `2*pi*T` for one turn; \
             a speed at a radius becomes one where that is written, `T * (v/r in rad/s)`",
        ),
        Refusal::EnergyIsNoTorque => Fault::new(
            Code::TORQUE_IS_NOT_ENERGY,
            span,
            format!("`{said}` is an energy or power without an angle; a torque is asked for"),
        )
        .help("divide the power by a speed, `P / n`, or the energy by an angle"),
        Refusal::FlywheelIsNoInertia => Fault::new(
            Code::FLYWHEEL_EFFECT,
            span,
            format!("`{said}` takes GD² as if it were J; GD² is four times J"),
        )
        .help("write `(GD2 in kg·m²)`: the conversion divides by four"),
    };
    place(fault, asked)
}

/// Poles that a motor has at most, with room to spare. Common practice, no source.
pub const MOST_POLES: u32 = 48;

/// The fault with the offer to make poles, or pairs of them, of the number that a frequency is divided by.
fn with_poles(fault: Fault, span: Span, text: &str) -> Fault {
    let said = span.of(text);
    let Some((before, number)) = said.rsplit_once('/') else {
        return fault;
    };
    let count = number.trim().parse::<u32>().ok();
    let Some(count) = count.filter(|count| (1..=MOST_POLES).contains(count)) else {
        return fault;
    };
    let from = span.start as usize + before.len() + 1 + number.len() - number.trim_start().len();
    let place = Span::new(from, from + number.trim().len());
    // Poles come in pairs.
    let units = ["pole", "pp"]
        .into_iter()
        .filter(|unit| count.is_multiple_of(2) || *unit == "pp");
    units.fold(fault, |fault, unit| {
        let with = format!("{count} {unit}");
        fault.fix(format!("write {with}"), place, with)
    })
}

fn place(fault: Fault, asked: &Asked) -> Fault {
    match asked {
        Asked::Unit { unit, place, .. } if *place != Span::default() => fault.note(
            *place,
            Words::default()
                .amount(&unit.text, "", &unit.text)
                .and(" is asked for here"),
        ),
        Asked::Operand { first, meeting } => {
            let first_is = of(first);
            let said = match meeting {
                Meeting::Sum => "it is added to this: ",
                Meeting::Comparison => "it is compared with this: ",
                Meeting::Choice => "elsewhere it gives this: ",
            };
            fault.note(first.span, Words::from(said).then(&first_is))
        }
        _ => fault,
    }
}

fn power_kind(term: &Term, said: &str, span: Span, what: Words, asked: &Asked) -> Fault {
    let name = |term: &Term| {
        if term.tag(Base::Apparent) > 0 {
            "apparent power"
        } else if term.tag(Base::Reactive) > 0 {
            "reactive power"
        } else if term.tag(Base::Active) > 0 {
            "active power"
        } else if term.count(Count::LineVoltage) + term.count(Count::PhaseVoltage) == ONE {
            "volts times amperes, an apparent power"
        } else if term.count(Count::Reactance) != 0 {
            "the reactive power of a reactance"
        } else if term.count(Count::Impedance) != 0 {
            "the apparent power of an impedance"
        } else {
            "a power"
        }
    };
    let found = name(term);
    let help = match asked {
        Asked::Unit { unit, .. } if !unit.dimension.get(Base::Apparent).is_zero() => {
            "kW become kVA by the power factor: `P / pf`, with `pf : power factor`; kvar add by squares: `sqrt(P^2 + Q^2)`"
        }
        Asked::Unit { unit, .. } if !unit.dimension.get(Base::Reactive).is_zero() => {
            "kvar come from `S * sin(phi)`, `P * tan(acos(pf))` or `sqrt(S^2 - P^2)`"
        }
        Asked::Operand { .. } => {
            "powers of different kinds add by squares: `sqrt(P^2 + Q^2)`; or convert one with the power factor"
        }
        _ if term.tag(Base::Reactive) > 0 || term.count(Count::Reactance) != 0 => {
            "kvar do no work; the kW beside them come from `S * pf` or `sqrt(S^2 - Q^2)`"
        }
        _ => "kVA become kW by the power factor: `S * pf`, with `given pf = 0.85 : power factor`",
    };
    Fault::new(
        Code::POWER_KINDS_DIFFER,
        span,
        Words::joined([
            format!("`{said}` is {found}; ").into(),
            what,
            ": active, apparent and reactive power do not become each other".into(),
        ]),
    )
    .help(help)
}

fn dimension(term: &Term, text: &str, asked: &Asked) -> Fault {
    let span = term.span;
    let said = span.of(text).trim();
    let found = of(term);
    match asked {
        Asked::Plain => Fault::new(
            Code::NOT_PLAIN,
            span,
            Words::joined([
                format!("`{said}` is ").into(),
                found,
                "; a plain number is needed".into(),
            ]),
        )
        .help(format!(
            "divide it by a value of the same kind, or strip the unit: `num({said} in UNIT)`"
        )),
        Asked::Unit { unit, kind, .. } => {
            let words = Words::joined([format!("`{said}` is ").into(), found, "; it does not become ".into()]);
            let kind = kind.map(Kind::words);
            let words = match kind {
                Some(kind) => words.and(article(kind)).and(" ").and(kind),
                None if unit.is_plain() => words.and("a plain number"),
                None => words,
            };
            let words = match kind {
                _ if unit.is_plain() => words,
                Some(_) => words.and(" in ").amount_of(&unit.text, "", &unit.text, kind),
                None => words.amount(&unit.text, "", &unit.text),
            };
            let fault = Fault::new(Code::UNITS_DO_NOT_MATCH, span, words);
            let is_bare = term.is_plain() && !term.percent && !unit.is_plain();
            let fault = match number_in(said, (unit, kind)) {
                Some(number) if is_bare => fault.fix(Words::from("write ").then(&number), span, number),
                _ => fault,
            };
            let fault = match of_force(term, unit, said) {
                Some(force) => fault.fix(format!("write {force}"), span, force),
                None => fault,
            };
            let fault = match hint(term, unit, kind, said) {
                Some(hint) => fault.help(hint),
                None => fault.help("look whether a factor is missing or one too many, or ask for another unit"),
            };
            place(fault, asked)
        }
        Asked::Operand { first, meeting } => {
            let adding = meeting.adding();
            let of_first = of(first);
            let first_said = first.span.of(text).trim();
            if adding && (term.percent || first.percent) && (term.is_plain() != first.is_plain()) {
                let (percent, quantity) = if term.percent {
                    (said, first_said)
                } else {
                    (first_said, said)
                };
                let fault = Fault::new(
                    Code::PERCENT_ADDED,
                    span,
                    format!(
                        "`{percent}` is a per cent and `{quantity}` is not; of what the per cent is meant is not said"
                    ),
                )
                .help(format!("multiply: `{quantity} * (1 + {percent})`"));
                // A single sum of the two, whichever sign it has.
                let whole = first.span.join(span);
                let between = text
                    .get(first.span.end as usize..span.start as usize)
                    .unwrap_or("")
                    .trim();
                let fault = match between {
                    "+" | "-" | "−" if term.percent => {
                        let write = format!("{quantity} * (1 {between} {percent})");
                        fault.fix(format!("write {write}"), whole, write)
                    }
                    _ => fault,
                };
                return place(fault, asked);
            }
            let fault = Fault::new(
                if adding { Code::CANNOT_ADD } else { Code::CANNOT_COMPARE },
                span,
                beside((said, found.clone()), (first_said, of_first.clone()), *meeting),
            );
            let plain = term.is_plain() || first.is_plain();
            let per_time = |term: &Term| term.tag(Base::Time);
            let fault = if is_money(term) && is_money(first) && per_time(term) != per_time(first) {
                fault.help("one is money, the other money for each time, as in a year; multiply that by the years")
            } else if is_money(term) && is_money(first) {
                fault.help(RATE)
            } else if plain
                && [&found, &of_first].into_iter().any(|is| is.contains("temperature"))
                && [&said, &first_said].into_iter().any(|said| is_of_winding(said))
            {
                fault.help(WINDING)
            } else if let Some(number) = rate_of_turns(first, term, text) {
                let span = Span::new(first.span.start as usize, span.end as usize);
                let turns = format!("{number} r/min");
                fault
                    .help(format!(
                        "a speed of rotation is written `{turns}`, a rate `{number} 1/min`"
                    ))
                    .fix(format!("write {turns}"), span, turns)
            } else if let Some(write) = bracketed(term, first, text) {
                let whole = first.span.join(span);
                fault
                    .help(format!(
                        "the difference is divided where it stands in brackets: `{write}`"
                    ))
                    .fix(format!("write {write}"), whole, write)
            } else if plain {
                with_unit(fault.help("give the plain number its unit"), (first, term), text)
            } else {
                fault.help("look whether a factor is missing in one of them")
            };
            place(fault, asked)
        }
        Asked::Nobody => Fault::new(
            Code::UNITS_DO_NOT_MATCH,
            span,
            format!("`{said}` is {found} and cannot stand by itself"),
        ),
    }
}

/// Whether a text is a number as it is typed, and no name.
fn is_typed_number(text: &str) -> bool {
    let begins = text
        .trim_start_matches(['-', '−'])
        .starts_with(|first: char| first.is_ascii_digit());
    begins && text.replace('−', "-").parse::<f64>().is_ok()
}

/// A plain number as typed with a unit behind it, and behind how far it may be off: `15 kW ± 1 kW`; `None` for what is worked.
fn number_in(said: &str, (unit, kind): (&Unit, Option<&'static str>)) -> Option<Words> {
    let with = |number: &str| Words::from(format!("{number} ")).amount_of(&unit.text, "", &unit.text, kind);
    if let Some((value, size)) = said.split_once('±').or_else(|| said.split_once("+/-")) {
        let (value, size) = (value.trim(), size.trim());
        return match size.strip_suffix('%') {
            _ if !is_typed_number(value) => None,
            Some(part) if is_typed_number(part.trim()) => Some(with(value).and(&format!(" ± {size}"))),
            None if is_typed_number(size) => Some(with(value).and(" ± ").then(&with(size))),
            _ => None,
        };
    }
    is_typed_number(said).then(|| with(said))
}

/// The fault with the offer to write the unit of one part behind the number that the other one is.
fn with_unit(fault: Fault, (first, term): (&Term, &Term), text: &str) -> Fault {
    let said = |term: &Term| term.span.of(text).trim();
    let offer = [(first, term), (term, first)].into_iter().find_map(|(number, other)| {
        let unit = other.unit.as_ref().filter(|unit| !unit.is_plain())?;
        let is_plain = number.is_plain() && !number.percent;
        let with = number_in(said(number), (unit, other.kind.map(Kind::words))).filter(|_| is_plain)?;
        Some((number.span, with))
    });
    match offer {
        Some((span, with)) => fault.fix(Words::from("write ").then(&with), span, with),
        None => fault,
    }
}

/// The number of `1450 min-1`, which is read as a time less one.
fn rate_of_turns<'t>(first: &Term, term: &Term, text: &'t str) -> Option<&'t str> {
    let between = text.get(first.span.end as usize..term.span.start as usize)?;
    let is_minus = matches!(between, "-" | "−" | "⁻");
    let one = term.span.of(text).trim() == "1";
    let number = first.span.of(text).trim().strip_suffix("min")?.trim();
    (is_minus && one && number.parse::<f64>().is_ok()).then_some(number)
}

/// `n_s - n/n_s`: a difference that lost its brackets.
fn bracketed(term: &Term, first: &Term, text: &str) -> Option<String> {
    let between = text.get(first.span.end as usize..term.span.start as usize)?;
    let (second, below) = term.span.of(text).split_once('/')?;
    let (first, second, below) = (first.span.of(text).trim(), second.trim(), below.trim());
    let alone = !second.contains(['*', '/', '+', '-']) && !below.contains(['*', '/']);
    (between.trim() == "-" && term.is_plain() && alone && (below == first || below == second))
        .then(|| format!("({first} - {second}) / {below}"))
}

const MONEY: [Base; 3] = [Base::Dollar, Base::Euro, Base::Pound];

const RATE: &str = "currencies do not convert by themselves; give the rate as a quantity, such as `1.08 $/€`";

fn is_money(term: &Term) -> bool {
    MONEY.into_iter().any(|base| term.tag(base) != 0)
}

/// Whether it is nothing but a speed of rotation.
fn family_of_speed(term: &Term) -> bool {
    term.marks.has(Marks::SPEED) && !term.marks.has(Marks::MORE_THAN_TIME) && term.tag(Base::Turn) == ONE
}

/// Whether a mass stands in a term where a force is wanted.
fn is_mass_for_force(term: &Term, unit: &Unit) -> bool {
    let lacks = |base: Base| super::term::sixtieths(unit.dimension.get(base)) - term.tag(base);
    let as_force = (lacks(Base::Mass), lacks(Base::Length), lacks(Base::Time)) == (0, ONE, -2 * ONE);
    as_force && term.tag(Base::Mass) == ONE
}

/// A typed value in the unit of the force that was meant: `100 ft·lb` is `100 lbf·ft`.
fn of_force(term: &Term, unit: &Unit, said: &str) -> Option<String> {
    let (number, of) = said.split_once(' ')?;
    if number.parse::<f64>().is_err() || !is_mass_for_force(term, unit) {
        return None;
    }
    // `lbf·ft` is a torque and `ft·lbf` an energy.
    let mut parts: Vec<&str> = of.split('·').collect();
    let mass = parts.iter().position(|part| matches!(*part, "lb" | "kg"))?;
    let force = if parts.remove(mass) == "lb" { "lbf" } else { "kgf" };
    parts.insert(0, force);
    let of = parts.join("·");
    let read = Unit::known(&of)?;
    crate::quantity::conversion(&read, unit).ok()?;
    Some(format!("{number} {of}"))
}

/// Well-known pairs that look alike.
fn hint(term: &Term, unit: &Unit, kind: Option<&'static str>, said: &str) -> Option<Words> {
    let wants = |base: Base| !unit.dimension.get(base).is_zero();
    if term.is_plain() && !term.percent {
        let with = number_in(said, (unit, kind));
        let with = with.unwrap_or_else(|| Words::from("5 ").amount_of(&unit.text, "", &unit.text, kind));
        let words = Words::from("a plain number has no unit; write it after the number: `");
        return Some(words.then(&with).and("`"));
    }
    let family = term.kind.map(Kind::family);
    let mass = term.tag(Base::Mass) == ONE && term.tag(Base::Length) == 0 && term.tag(Base::Time) == 0;
    let force = unit.kind.is_some_and(|kind| kind.family() == Family::Force);
    if mass && force {
        return Some("a mass becomes a weight by g_n: `m * g_n`; `lb` is mass, `lbf` is force".into());
    }
    if term
        .unit
        .as_ref()
        .is_some_and(|unit| unit.kind.is_some_and(|kind| kind.family() == Family::Force))
        && unit.kind.is_some_and(|kind| kind.family() == Family::Mass)
    {
        return Some(
            "a force becomes a mass by g_n: `F / g_n`; `kgf` and `lbf` are forces, `kg` and `lb` are masses".into(),
        );
    }
    if is_mass_for_force(term, unit) {
        return Some(
            "a mass stands where a force is meant: `lb` and `kg` are masses, `lbf` and `kgf` forces, as in `lbf·ft`"
                .into(),
        );
    }
    let per_time = |from: i32, by: i32| {
        let [mass, length, time] = [Base::Mass, Base::Length, Base::Time];
        let wanted = |base| super::term::sixtieths(unit.dimension.get(base));
        term.tag(mass) == ONE
            && term.tag(length) == 2 * ONE
            && (wanted(mass), wanted(length)) == (ONE, 2 * ONE)
            && term.tag(time) == from
            && wanted(time) - term.tag(time) == by
    };
    let torque = kind.is_some_and(|kind| kind.ends_with("torque"))
        || unit.kind.is_some_and(|kind| kind.family() == Family::Torque);
    if per_time(-3 * ONE, ONE) && torque {
        return Some("a power becomes a torque by the speed of rotation: `P / n`, with n such as `1450 r/min`".into());
    }
    if per_time(-2 * ONE, -ONE) && term.count(Count::Torque) == ONE {
        return Some("a torque becomes a power by the speed of rotation: `T * n`, with n such as `1450 r/min`".into());
    }
    if per_time(-3 * ONE, ONE) {
        return Some(
            "a power becomes energy by a time: `P * 6000 h`; hours in a year (h/yr) are a part of the year, \
             with them write `annual_energy(P, hours)`"
                .into(),
        );
    }
    if per_time(-2 * ONE, -ONE) {
        return Some("an energy becomes a power by a time: `E / (6000 h)`".into());
    }
    if family == Some(Family::Poles) && wants(Base::Time) {
        return Some("poles times a speed give a frequency: `n * p in Hz`".into());
    }
    if is_money(term) && MONEY.into_iter().any(wants) {
        return Some(RATE.into());
    }
    if unit.dimension.is_none() && family_of_speed(term) {
        return Some("a slip or load is a part of a speed: divide by it, `(n_s - n) / n_s`".into());
    }
    None
}
