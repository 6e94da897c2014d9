//! A worked value as text with its unit, in the unit it is written in or in that of a system.

use std::borrow::Cow;

use rust_decimal::Decimal;

use super::results::{Band, QuantityResults};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::{Conversion, Number, Phasor, PhasorForm, System, Unit, conversion, show};
use crate::workbook::{Role, Rounding};

/// A value as shown, with its unit: `5.014 kW`, `star`, `yes`. A blank is a dash, a fault an exclamation mark.
pub fn shown(outcome: &Outcome, sort: &Sort, rounding: Option<&Rounding>) -> String {
    if let (Some(form), Some(phasor)) = (form_of(sort), outcome.as_phasor()) {
        return show::phasor(&phasor, form, rounding, beside(sort));
    }
    match outcome {
        Outcome::Value(Value::Number(number)) => {
            let text = count_of(number, sort, rounding).unwrap_or_else(|| show::number(number, rounding));
            with_unit(text, sort)
        }
        Outcome::Value(Value::Phasor(phasor)) => show::phasor(phasor, PhasorForm::Rectangular, rounding, beside(sort)),
        Outcome::Value(Value::Text(text)) => match sort {
            Sort::Choice(_) => text.to_string(),
            _ => format!("\"{text}\""),
        },
        Outcome::Value(Value::Truth(true)) => "yes".to_owned(),
        Outcome::Value(Value::Truth(false)) => "no".to_owned(),
        Outcome::Blank(_) => "–".to_owned(),
        Outcome::Fault(_) => "!".to_owned(),
    }
}

/// A count in all its digits: a whole number without a unit that nothing rounded. 12345 motors are not 12350.
pub fn count_of(number: &Number, sort: &Sort, rounding: Option<&Rounding>) -> Option<String> {
    let Sort::Quantity { unit, .. } = sort else { return None };
    match (number, rounding) {
        (Number::Exact(count), None) if unit.is_plain() && count.fract().is_zero() => {
            let text = count.normalize().to_string();
            (text.len() <= MOST_TYPED).then_some(text)
        }
        _ => None,
    }
}

/// A given value as typed, where its digits are not too many.
pub fn as_given(outcome: &Outcome, sort: &Sort) -> String {
    if let (Some(form), Some(phasor)) = (form_of(sort), outcome.as_phasor()) {
        return show::typed_phasor(&phasor, form, beside(sort), TYPED);
    }
    match outcome.as_number() {
        Some(number) => {
            let exact = show::exact(&number);
            let text = if exact.len() <= TYPED {
                exact
            } else {
                show::number(&number, Some(&Rounding::Digits(6)))
            };
            with_unit(text, sort)
        }
        None => shown(outcome, sort, None),
    }
}

/// The form of a phasor; `None` for what is real.
pub fn form_of(sort: &Sort) -> Option<PhasorForm> {
    match sort {
        Sort::Quantity { phasor, .. } => *phasor,
        _ => None,
    }
}

/// A phasor as shown beside its unit; a typed one stands as typed.
pub fn phasor_of(phasor: &Phasor, form: PhasorForm, role: Role, rounding: Option<&Rounding>) -> String {
    match (role, rounding) {
        (Role::Given, None) => show::typed_phasor(phasor, form, "", MOST_TYPED),
        _ => show::phasor(phasor, form, rounding, ""),
    }
}

/// The number of a quantity as shown beside its unit. What was typed stands as typed; what was worked, or brought from another
/// unit, is rounded.
pub fn number_of(number: &Number, role: Role, rounding: Option<&Rounding>) -> String {
    if let (Number::Exact(typed), Role::Given, None) = (number, role, rounding) {
        let text = typed.to_string();
        // A conversion leaves a long tail; then it is no longer what was typed.
        if text.bytes().filter(u8::is_ascii_digit).count() <= MOST_TYPED {
            return text;
        }
    }
    show::number(number, rounding)
}

/// A value with its limits beside its unit: `68 (52 … 91)`. The limits are rounded outwards to two digits of their distance; those of
/// what was typed are told as they are, where they have few digits.
pub fn banded_of(number: &Number, band: &Band, role: Role, rounding: Option<&Rounding>) -> String {
    let value = nominal_of(number, band, role, rounding);
    let as_typed = || (role == Role::Given && rounding.is_none()).then(|| limits_typed(band))?;
    match as_typed().or_else(|| limits_of(band)) {
        Some((low, high)) => format!("{value} ({low} … {high})"),
        None => value,
    }
}

/// Both limits of a typed value as one works them out by hand; `None` where they are one, or have many digits.
fn limits_typed(band: &Band) -> Option<(String, String)> {
    let _ = step_of(band)?;
    let plain = |limit: f64| {
        // What floats are off goes.
        let decimal = format!("{limit:.11e}").parse::<f64>().ok()?;
        let text = show::exact(&Number::Float(decimal));
        (text.bytes().filter(u8::is_ascii_digit).count() <= FEW_DIGITS && !text.contains('e')).then_some(text)
    };
    Some((plain(band.low)?, plain(band.high)?))
}

/// Digits of a limit that are still read at a glance.
const FEW_DIGITS: usize = 6;

/// The value of a band as shown: a result without a rounding of its own is rounded like its limits, where these are not far wider
/// than the value itself and two digits of it stay.
pub fn nominal_of(number: &Number, band: &Band, role: Role, rounding: Option<&Rounding>) -> String {
    let stays = |step: &Decimal| Number::Exact(*step).to_f64() * 10.0 <= number.to_f64().abs();
    match (role, rounding, step_of(band).filter(stays)) {
        (Role::Work | Role::Seek, None, Some(step)) => show::number(number, Some(&Rounding::Step(step))),
        _ => number_of(number, role, rounding),
    }
}

/// Both limits as shown, rounded outwards; `None` where they are one.
pub fn limits_of(band: &Band) -> Option<(String, String)> {
    let step = step_of(band)?;
    let size = Number::Exact(step).to_f64();
    let shown = |steps: f64| show::number(&Number::Float(steps * size), Some(&Rounding::Step(step)));
    let slack = 1e-9 * (band.high.abs().max(band.low.abs()) / size).clamp(1.0, 1e3);
    Some((
        shown((band.low / size + slack).floor()),
        shown((band.high / size - slack).ceil()),
    ))
}

/// Two digits of the distance of the limits.
fn step_of(band: &Band) -> Option<Decimal> {
    let width = band.high - band.low;
    let size = band.high.abs().max(band.low.abs());
    if !width.is_finite() || width <= size * 1e-12 {
        return None;
    }
    let places = 1 - width.log10().floor() as i32;
    match places {
        0..=20 => Some(Decimal::new(1, places as u32)),
        -15..=-1 => Some(Decimal::from(10_i64.pow(places.unsigned_abs()))),
        _ => None,
    }
}

/// How the values of a quantity are shown in a system of units: in the unit they are written in, or brought to another one.
#[derive(Clone, Debug)]
pub struct Showing<'a> {
    sort: Cow<'a, Sort>,
    way: Option<Conversion>,
    role: Role,
    rounding: Option<&'a Rounding>,
}

impl<'a> Showing<'a> {
    /// Of a quantity with results.
    pub fn of(quantity: &'a QuantityResults, system: System) -> Showing<'a> {
        Showing::new(&quantity.sort, quantity.role, quantity.rounding.as_ref(), system)
    }

    /// Of values of a sort. Phasors stay as they are written.
    pub fn new(sort: &'a Sort, role: Role, rounding: Option<&'a Rounding>, system: System) -> Showing<'a> {
        let mut made = Showing {
            sort: Cow::Borrowed(sort),
            way: None,
            role,
            rounding,
        };
        if let Sort::Quantity {
            unit,
            kind,
            phasor: None,
            ..
        } = sort
            && let Some((unit, way)) = system.unit(unit, *kind)
        {
            made.set(unit, way);
        }
        made
    }

    /// The same in a unit that is asked for, where the values can be brought to it.
    pub fn in_unit(mut self, wanted: &Unit) -> Showing<'a> {
        let Some(written) = self.written() else { return self };
        if let Some(way) = conversion(&written, wanted)
            .ok()
            .filter(|_| !wanted.same_scale(&written))
        {
            self.set(wanted.clone(), way);
        }
        self
    }

    fn set(&mut self, to: Unit, way: Conversion) {
        if let Sort::Quantity { unit, .. } = self.sort.to_mut() {
            *unit = to;
            self.way = Some(way);
        }
    }

    /// The unit the values are written in, where no way to another one is set.
    fn written(&self) -> Option<Unit> {
        match (&*self.sort, &self.way) {
            (Sort::Quantity { unit, phasor: None, .. }, None) => Some(unit.clone()),
            _ => None,
        }
    }

    /// The sort with the unit the values are shown in.
    pub fn sort(&self) -> &Sort {
        &self.sort
    }

    /// The unit the values are shown in.
    pub fn unit(&self) -> Option<&Unit> {
        match &*self.sort {
            Sort::Quantity { unit, .. } => Some(unit),
            _ => None,
        }
    }

    /// The unit that stands beside the values; `None` for plain numbers and power factors.
    pub fn unit_beside(&self) -> Option<&Unit> {
        self.unit().filter(|_| !beside(&self.sort).is_empty())
    }

    /// Whether values are brought to another unit than they are written in.
    pub fn is_brought(&self) -> bool {
        self.way.is_some()
    }

    /// A number in the unit it is shown in.
    pub fn number(&self, number: Number) -> Number {
        let brought = self.way.as_ref().and_then(|way| way.apply(number).ok());
        brought.unwrap_or(number)
    }

    /// What was brought from another unit is no longer as it was typed.
    fn role(&self) -> Role {
        if self.is_brought() { Role::Work } else { self.role }
    }

    /// The rounding of a number: a step is one of the unit it was written for, and shows so many digits there and here.
    fn rounding(&self, written: &Number) -> Option<Rounding> {
        match (self.rounding, &self.way) {
            (Some(Rounding::Step(step)), Some(_)) => {
                let size = |number: &Number| number.to_f64().abs().log10().floor();
                let digits = size(written) - size(&Number::Exact(*step)) + 1.0;
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Within a few digits.
                let digits = if digits.is_finite() {
                    digits.clamp(1.0, 12.0) as u8
                } else {
                    1
                };
                Some(Rounding::Digits(digits))
            }
            (rounding, _) => rounding.cloned(),
        }
    }

    /// Limits in the unit they are shown in.
    pub fn band(&self, band: &Band) -> Band {
        let brought = |limit: f64| Number::from_f64(limit).map_or(limit, |limit| self.number(limit).to_f64());
        let (low, high) = (brought(band.low), brought(band.high));
        Band {
            low: low.min(high),
            high: low.max(high),
            how: band.how,
            caused: Vec::new(),
        }
    }

    /// A number beside its unit, and its limits.
    pub fn beside(&self, number: Number, band: Option<&Band>) -> (String, Option<(String, String)>) {
        let rounding = self.rounding(&number);
        let (number, role) = (self.number(number), self.role());
        match band.map(|band| self.band(band)) {
            Some(band) => (nominal_of(&number, &band, role, rounding.as_ref()), limits_of(&band)),
            None => match count_of(&number, &self.sort, rounding.as_ref()) {
                Some(count) => (count, None),
                None => (number_of(&number, role, rounding.as_ref()), None),
            },
        }
    }

    /// A value with its unit; a given one as typed.
    pub fn whole(&self, outcome: &Outcome) -> String {
        match (outcome.as_number(), &self.way) {
            (Some(written), Some(_)) => {
                let brought = Outcome::number(self.number(written));
                shown(&brought, &self.sort, self.rounding(&written).as_ref())
            }
            _ if self.role == Role::Given => as_given(outcome, &self.sort),
            _ => shown(outcome, &self.sort, self.rounding),
        }
    }

    /// A value with its unit and its limits: `100 N·m (90 … 110)`.
    pub fn whole_with(&self, outcome: &Outcome, band: Option<&Band>) -> String {
        let (Some(band), Some(number)) = (band, outcome.as_number()) else {
            return self.whole(outcome);
        };
        match self.beside(number, Some(band)) {
            (nominal, Some((low, high))) => format!("{} ({low} … {high})", with_unit(nominal, &self.sort)),
            (_, None) => self.whole(outcome),
        }
    }

    /// The same with the limits of a value, as they are typed: `20.12 hp limits 19.44 hp … 20.79 hp`.
    pub fn copied_within(&self, outcome: &Outcome, band: Option<&Band>) -> String {
        let value = self.copied(outcome);
        let Some(band) = band.map(|band| self.band(band)) else {
            return value;
        };
        let limit = |limit: f64| {
            let number = show::number(&Number::Float(limit), Some(&Rounding::Digits(COPIED)));
            with_unit(without_zeros(&number), &self.sort)
        };
        format!("{value} limits {} … {}", limit(band.low), limit(band.high))
    }

    /// A value with its unit and as many digits as it was worked with: for other programs.
    pub fn copied(&self, outcome: &Outcome) -> String {
        match (outcome.as_number(), &self.way) {
            (Some(written), Some(_)) => {
                let digits = Some(Rounding::Digits(COPIED));
                let number = show::number(&self.number(written), digits.as_ref());
                with_unit(without_zeros(&number), &self.sort)
            }
            _ => as_given(outcome, &self.sort),
        }
    }
}

/// Digits of a number that was brought to another unit and goes to another program.
const COPIED: u8 = 10;

/// A number without the zeros that end its places.
fn without_zeros(number: &str) -> String {
    match number.split_once('.') {
        Some((_, places)) if !places.contains('e') => number.trim_end_matches('0').trim_end_matches('.').to_owned(),
        _ => number.to_owned(),
    }
}

/// Most digits of a number that passes for typed.
const MOST_TYPED: usize = 10;

/// Longest number that is shown unrounded.
const TYPED: usize = 12;

/// A shown number and the unit of its sort. A power factor is shown as a plain number, in a check as in its own line.
fn with_unit(number: String, sort: &Sort) -> String {
    match beside(sort) {
        "" => number,
        unit => format!("{number} {unit}"),
    }
}

/// The unit that stands behind a number of this sort.
fn beside(sort: &Sort) -> &str {
    match sort {
        Sort::Quantity { unit, .. } if !unit.is_plain() && &*unit.text != "W/VA" => &unit.text,
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::quantity::{Number, Unit};

    #[test]
    fn typed_numbers_stand_as_typed_and_converted_ones_rounded() {
        let of = |text: &str, role| number_of(&Number::Exact(text.parse().unwrap()), role, None);
        assert_eq!(of("123456", Role::Given), "123456");
        assert_eq!(of("0.1234567", Role::Given), "0.1234567");
        assert_eq!(of("123456", Role::Work), "123500");
        // 15 hp of 745.69987158227022 W.
        assert_eq!(of("11.1854980737340533", Role::Given), "11.19");
    }

    #[test]
    fn a_power_factor_is_shown_as_a_plain_number() {
        let outcome = Outcome::Value(Value::Number(Number::Exact(Decimal::new(86, 2))));
        let sort = |unit: &str| {
            let unit = Unit::parse(unit).unwrap();
            Sort::Quantity {
                dimension: unit.dimension,
                unit,
                kind: None,
                phasor: None,
            }
        };
        assert_eq!(shown(&outcome, &sort("W/VA"), None), "0.86");
        assert_eq!(shown(&outcome, &sort("kW"), None), "0.86 kW");
    }
}
