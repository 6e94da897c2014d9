//! Units that are read as they stand, where another one is likelier in this trade: `20 C` is twenty coulombs, `15 kW/h` no energy.
//!
//! Always: a warning, with the unit that was probably meant; a line that says its kind has said what it means.
//! Not known here: names of quantities that are written like units (`walk`).
//! Source of what is likelier: common practice, no source.

use rust_decimal::Decimal;

use super::walk::Checker;
use crate::fault::{Code, Fault, Severity, Span};
use crate::language::syntax::{Literal, WrittenUnit};

/// Unit as it is read, from which number on it is doubted, what it is, what is likelier and how that is written.
const UNLIKELY: &[(&str, u32, &str, &str, &str)] = &[
    ("C", 0, "coulomb, a charge", "a temperature", "°C"),
    ("F", 1, "farad, a capacitance", "a temperature", "°F"),
    ("H", 100, "henry, an inductance", "hours", "h"),
    ("T", 10, "tesla, a flux density", "tonnes", "t"),
    ("mW", 0, "a thousandth of a watt", "a million watts", "MW"),
    (
        "mVA",
        0,
        "a thousandth of a volt-ampere",
        "a million volt-amperes",
        "MVA",
    ),
    ("ft·lb", 0, "a mass times a length, an unbalance", "a torque", "lbf·ft"),
    (
        "inch·lb",
        0,
        "a mass times a length, an unbalance",
        "a torque",
        "lbf·in",
    ),
    ("kg·m", 0, "a mass times a length, an unbalance", "a torque", "kgf·m"),
    ("kg·cm", 0, "a mass times a length, an unbalance", "a torque", "kgf·cm"),
    ("kW/h", 0, "a power for each hour", "an energy", "kWh"),
    ("W/h", 0, "a power for each hour", "an energy", "Wh"),
    ("MW/h", 0, "a power for each hour", "an energy", "MWh"),
    ("A/h", 0, "a current for each hour", "a charge", "A·h"),
];

/// A motor hardly turns slower, and whoever types three decimals means thousands.
const SLOW: Decimal = Decimal::TEN;

impl Checker<'_> {
    /// `1.450 rpm`
    pub(super) fn thousands(&mut self, literal: &Literal, span: Span) {
        let said = self.said(span).to_owned();
        let Some(written) = literal.unit.as_ref().filter(|written| &*written.unit.text == "r/min") else {
            return;
        };
        let digits = said
            .strip_suffix(self.said(written.span))
            .unwrap_or("")
            .trim()
            .to_owned();
        let grouped = digits.split_once('.').is_some_and(|(_, places)| places.len() == 3) && literal.value < SLOW;
        if self.inside.is_some() || !grouped || literal.value < Decimal::ONE {
            return;
        }
        let unit = self.said(written.span).to_owned();
        let whole = digits.replace('.', "");
        let mut fault = Fault::new(
            Code::NUMBER_FORM,
            span,
            format!(
                "`{said}` is read as {} {unit}, with a decimal point",
                literal.value.normalize()
            ),
        )
        .help(format!(
            "write `{whole} {unit}` where thousands are meant, `{} {unit}` where not",
            literal.value.normalize()
        ))
        .fix(format!("write {whole} {unit}"), span, format!("{whole} {unit}"))
        .fix(
            format!("write {} {unit}", literal.value.normalize()),
            span,
            format!("{} {unit}", literal.value.normalize()),
        );
        fault.severity = Severity::Warning;
        self.fault(fault);
    }

    /// A number whose unit is hardly meant.
    pub(super) fn unlikely_unit(&mut self, written: &WrittenUnit, value: Decimal) {
        if self.inside.is_some() || self.closed {
            return;
        }
        let found = UNLIKELY
            .iter()
            .find(|(unit, from, ..)| *written.unit.text == **unit && value.abs() >= Decimal::from(*from));
        let Some((unit, _, is, likelier, write)) = found else {
            return;
        };
        // Within a formula of force and way the dimension tells it.
        let before = self.text().get(..written.span.start as usize).unwrap_or("");
        let after = self.text().get(written.span.end as usize..).unwrap_or("").trim();
        let alone = before.trim().parse::<Decimal>().is_ok() && (after.is_empty() || after.starts_with("in "));
        if !alone && is.contains("unbalance") {
            return;
        }
        let number = value.normalize();
        self.fault(
            Fault::new(
                Code::UNIT_UNLIKELY,
                written.span,
                format!("`{number} {unit}` is read as {is}; {likelier} would be `{number} {write}`"),
            )
            .help(format!(
                "write `{write}`; where {unit} is meant, say the kind of the quantity behind `:`"
            ))
            .fix(format!("write {number} {write}"), written.span, *write),
        );
    }
}
