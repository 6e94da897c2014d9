//! The system of units that values are shown in: as written, usual SI units, US customary units.
//!
//! For: every place that shows a value to a user who chose a system.
//! Always: what is shown is the same quantity; where the usual unit of its kind does not fit, and where it is written in a unit of the
//! system, it stays as it is written.
//! Not known here: what was typed, and what is kept.

use rust_decimal::Decimal;

use super::convert::{Conversion, conversion};
use super::kind::Kind;
use super::number::Number;
use super::show;
use super::unit::Unit;
use crate::fault::{Amount, Fault, Words, in_words};

/// The system that values are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum System {
    /// In the unit of the quantity.
    #[default]
    AsWritten,
    /// In usual SI units of its kind.
    Si,
    /// In US customary units of its kind.
    Us,
}

impl System {
    /// The unit that a quantity of a kind is shown in, and how to get there; `None` where it is the one it is written in.
    pub fn unit(self, written: &Unit, kind: Option<Kind>) -> Option<(Unit, Conversion)> {
        let us = match self {
            System::AsWritten => return None,
            System::Si => false,
            System::Us => true,
        };
        let mut usual = Unit::usual(kind.or(written.kind)?, us);
        // A kilowatt-hour is what energy is billed in, and no SI unit.
        if !us && &*usual.text == "kWh" {
            if written.text.contains('J') || written.text.contains("Wh") {
                return None;
            }
            usual = Unit::parse("kJ").unwrap_or(usual);
        }
        // Per cent belongs to no system, and a plain number is shown as one or in per cent.
        let plain = written.is_plain() && &*usual.text != "%";
        // What was written in a customary unit is of the system: a fan's cfm and inH2O become no gpm and psi.
        let customary = || us && usual.is_customary() && written.is_customary();
        if usual.same_scale(written) || plain || &*written.text == "%" || only_prefix(written, &usual) || customary() {
            return None;
        }
        // Where the usual unit does not fit, the value stays as it is.
        let way = conversion(written, &usual).ok()?;
        Some((usual, way))
    }

    /// A text with the values in it in the units of the system.
    pub fn words(self, words: &Words) -> String {
        words.said(|amount| self.amount(amount)).into_owned()
    }

    /// What was found and what to try, in one line.
    pub fn in_words(self, message: &Words, help: Option<&Words>) -> String {
        in_words(&self.words(message), help.map(|help| self.words(help)).as_deref())
    }

    /// A fault, what mends it as well, in the units of the system.
    pub fn fault(self, fault: &Fault) -> Fault {
        let mut said = fault.clone();
        if self == System::AsWritten {
            return said;
        }
        let words = |words: &mut Words| *words = self.words(words).into();
        words(&mut said.message);
        said.help.iter_mut().for_each(words);
        for fix in &mut said.fixes {
            words(&mut fix.label);
            words(&mut fix.replacement);
        }
        said
    }

    fn amount(self, amount: &Amount) -> Option<String> {
        if self == System::AsWritten {
            return None;
        }
        let kind = amount.kind.and_then(Kind::find);
        let (unit, way) = self.unit(&Unit::known(&amount.unit)?, kind)?;
        if amount.number.is_empty() {
            return Some(unit.text.to_string());
        }
        let number = match amount.number.parse::<Decimal>() {
            Ok(number) => Number::Exact(number),
            Err(_) => Number::from_f64(amount.number.parse().ok()?).ok()?,
        };
        let number = show::number(&way.apply(number).ok()?, None);
        Some(format!("{number} {}", unit.text))
    }
}

/// Whether two units differ by their prefixes only: what is in W among kW, or in kV among V, is of the system already, and values that
/// are added up stay in one unit.
fn only_prefix(a: &Unit, b: &Unit) -> bool {
    let is_power_of_ten = |number: Number| {
        let digits = show::exact(&number).replace(['0', '.'], "");
        digits == "1"
    };
    let bare = |text: &str| {
        let mut signs = text.chars();
        let first = signs.next()?;
        "mkMGµc".contains(first).then(|| signs.as_str().to_owned())
    };
    let (one, other) = (&*a.text, &*b.text);
    let alike = bare(one).as_deref() == Some(other)
        || bare(other).as_deref() == Some(one)
        || bare(one).is_some_and(|rest| bare(other) == Some(rest));
    let one = Number::Exact(Decimal::ONE);
    alike && conversion(a, b).is_ok_and(|way| way.apply(one).is_ok_and(is_power_of_ten))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::quantity::Number;

    fn shown(system: System, unit: &str, kind: Option<&str>) -> Option<String> {
        let unit = Unit::parse(unit).unwrap();
        let kind = kind.map(|kind| Kind::find(kind).unwrap());
        system.unit(&unit, kind).map(|(unit, _)| unit.text.to_string())
    }

    #[test]
    fn the_usual_unit_of_the_kind_is_shown_where_it_fits() {
        assert_eq!(shown(System::Us, "kW", Some("shaft power")).as_deref(), Some("hp"));
        assert_eq!(shown(System::Us, "kW", Some("input power")), None);
        assert_eq!(shown(System::Us, "kW", None).as_deref(), Some("hp"));
        assert_eq!(shown(System::Si, "kW", Some("shaft power")), None);
        assert_eq!(shown(System::Si, "hp", Some("shaft power")).as_deref(), Some("kW"));
        assert_eq!(shown(System::AsWritten, "hp", Some("shaft power")), None);
        assert_eq!(shown(System::Us, "1", None), None);
        assert_eq!(shown(System::Us, "%", Some("torque ratio")), None);
        assert_eq!(shown(System::Us, "%", Some("power factor")), None);
        assert_eq!(shown(System::Us, "1", Some("power factor")), None);
        assert_eq!(shown(System::Us, "1", Some("efficiency")).as_deref(), Some("%"));
        assert_eq!(shown(System::Us, "Hz", Some("shaft power")), None);
        assert_eq!(shown(System::Us, "kg/m", None).as_deref(), Some("lb/ft"));
    }

    /// What is written in a customary unit is of the system; units of metric horsepower or of British gallons are not.
    #[test]
    fn what_is_customary_stays_as_it_is_written() {
        for (unit, kind) in [
            ("cfm", None),
            ("cfm", Some("volume flow")),
            ("gpm", Some("air flow")),
            ("inH2O", None),
            ("ftH2O", Some("pressure")),
            ("inch", Some("length")),
            ("lb·in²", None),
            ("lbf·in", Some("torque")),
            ("hp/ft", None),
        ] {
            assert_eq!(shown(System::Us, unit, kind), None, "{unit}");
        }
        for (unit, kind, us) in [
            ("gpm_uk", "volume flow", "gpm"),
            ("PS", "shaft power", "hp"),
            ("m³/h", "air flow", "cfm"),
            ("Pa", "fan pressure", "inH2O"),
            ("BTU", "energy", "kWh"),
        ] {
            assert_eq!(shown(System::Us, unit, Some(kind)).as_deref(), Some(us), "{unit}");
        }
        assert_eq!(shown(System::Si, "cfm", None).as_deref(), Some("m³/h"));
    }

    /// Powers of one balance stay in one unit; what is of both systems, with another prefix, is not moved.
    #[test]
    fn what_differs_by_its_prefix_only_stays() {
        for (unit, kind) in [
            ("W", "input power"),
            ("kW", "loss"),
            ("MW", "active power"),
            ("kV", "rated voltage"),
            ("mA", "current"),
        ] {
            for system in [System::Si, System::Us] {
                assert_eq!(shown(system, unit, Some(kind)), None, "{unit}");
            }
        }
        assert_eq!(shown(System::Si, "W", Some("shaft power")), None);
        assert_eq!(shown(System::Us, "W", Some("shaft power")).as_deref(), Some("hp"));
        assert_eq!(shown(System::Us, "hp", Some("loss")).as_deref(), Some("W"));
        assert_eq!(shown(System::Si, "cm", Some("diameter")), None);
        // `min` is no milli-inch, `ft` no femto-tonne, and the ratio of these is no power of ten.
        assert_eq!(shown(System::Si, "min", Some("time")).as_deref(), Some("s"));
        assert_eq!(shown(System::Us, "mm", Some("diameter")).as_deref(), Some("inch"));
    }

    /// 75 kW over 745.699 9 W a horsepower are 100.6 hp (NIST SP 811, appendix B).
    #[test]
    fn values_in_a_text_are_said_in_the_units_of_the_system() {
        let words = Words::from("asked at ").amount("75 kW", "75", "kW").and(", given in ");
        let words = words.amount("kW", "", "kW").and(" for 75 kW");
        assert_eq!(System::Us.words(&words), "asked at 100.6 hp, given in hp for 75 kW");
        for same in [System::AsWritten, System::Si] {
            assert_eq!(same.words(&words), "asked at 75 kW, given in kW for 75 kW");
        }
        let height = Words::default().amount_of("3 m", "3", "m", Some("height"));
        assert_eq!(System::Us.in_words(&height, Some(&"try".into())), "9.843 ft; try");
    }

    /// 212 °F is where water boils at 100 °C.
    #[test]
    fn points_of_temperature_are_shown_as_points() {
        let unit = Unit::parse("°C").unwrap();
        let (shown, way) = System::Us.unit(&unit, Kind::find("temperature")).unwrap();
        let boils = way.apply(Number::Exact(100.into())).unwrap();
        assert_eq!((&*shown.text, boils.to_f64()), ("°F", 212.0));
    }
}
