//! The system of units that values are shown in: as written, usual SI units, US customary units.
//!
//! For: every place that shows a value to a user who chose a system.
//! Always: what is shown is the same quantity; where the usual unit of its kind does not fit, it stays as it is written.
//! Not known here: what was typed, and what is kept.

use super::convert::{Conversion, conversion};
use super::kind::Kind;
use super::unit::Unit;

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
        let usual = Unit::usual(kind.or(written.kind)?, us);
        // Per cent belongs to no system, and a plain number is shown as one or in per cent.
        let plain = written.is_plain() && &*usual.text != "%";
        if usual.same_scale(written) || plain || &*written.text == "%" {
            return None;
        }
        // Where the usual unit does not fit, the value stays as it is.
        let way = conversion(written, &usual).ok()?;
        Some((usual, way))
    }
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
