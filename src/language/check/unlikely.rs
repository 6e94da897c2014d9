//! Units that are read as they stand, where another one is likelier in this trade: `20 C` is twenty coulombs, `15 kW/h` no energy.
//!
//! Always: a warning, with the unit that was probably meant; a line that says its kind has said what it means.
//! Not known here: names of quantities that are written like units (`walk`).
//! Source of what is likelier: common practice, no source.

use rust_decimal::Decimal;

use super::walk::Checker;
use crate::fault::{Code, Fault};
use crate::language::syntax::WrittenUnit;

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
    ("kW/h", 0, "a power for each hour", "an energy", "kWh"),
    ("W/h", 0, "a power for each hour", "an energy", "Wh"),
    ("MW/h", 0, "a power for each hour", "an energy", "MWh"),
    ("A/h", 0, "a current for each hour", "a charge", "A·h"),
];

impl Checker<'_> {
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
