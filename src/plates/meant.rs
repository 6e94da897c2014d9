//! What a heading is of, and whether a column that a list has is of the same.
//!
//! Always: what is known to be of something else is never the same: a measured power is no rating, whatever its unit.
//! Not known here: the table and the list they stand in.

use super::heading::{self, is_spelt_unit};
use super::list::{given_of, is_kind, kind_of};
use super::reads::{PlateUnit, Reads, Sort};
use super::words::{Words, words};
use crate::language::check;
use crate::quantity::{Kind, Unit, conversion};
use crate::recalc::QuantityResults;

/// What the heading of a column says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Meant {
    reads: Reads,
    /// The reading of the same, where it says neither that it is of the plate nor that it was measured.
    measured: Option<Reads>,
    /// The unit that the heading names.
    pub unit: Option<&'static str>,
}

/// The kind of what a motor gives or a machine takes: a rating may be of it as well.
const AT_THE_SHAFT: &str = "shaft power";

/// What reading a list makes of a column with this heading. Words that nobody knows beside a unit may be of anything: `Consumption kW`.
pub fn meant_by(heading: &str) -> Option<Meant> {
    let read = heading::read(heading, Words::usual());
    let is_strange = read.by_unit && read.understood.0 < read.understood.1;
    let is_said = read.motor || read.rated || read.measured;
    let reads = read.reads.filter(|_| is_said || !is_strange)?;
    Some(Meant {
        reads,
        measured: reads.measured_twin().filter(|_| !read.rated && !read.measured),
        unit: read
            .units
            .first()
            .copied()
            .or_else(|| spelt(heading, reads))
            .map(PlateUnit::text),
    })
}

/// The unit that a heading names in its words: `Meas. amps`.
fn spelt(heading: &str, reads: Reads) -> Option<PlateUnit> {
    let usual = reads.usual();
    let is_one = matches!(usual, PlateUnit::Ampere | PlateUnit::Volt | PlateUnit::TurnsPerMinute);
    let mut words = words(heading).into_iter();
    words.any(|word| is_one && is_spelt_unit(&word)).then_some(usual)
}

/// Whether it is known what a column is of.
pub fn is_known(column: &QuantityResults) -> bool {
    let kind = kind(column);
    kind.is_some_and(is_kind) || kind_of(&column.name).is_some() || titled(column).is_some()
}

impl Meant {
    /// The given that reading a list makes of such a column.
    pub fn given(self) -> Option<&'static str> {
        given_of(self.reads)
    }

    /// The same as a reading, where the heading does not say that it is none.
    pub fn as_measured(self) -> Option<Meant> {
        let reads = self.measured?;
        Some(Meant {
            reads,
            measured: None,
            ..self
        })
    }

    /// Whether it says which motor a row is of.
    pub fn is_name(self) -> bool {
        matches!(
            self.reads,
            Reads::Tag | Reads::Item | Reads::Description | Reads::Nameplate
        )
    }

    /// The kind of a new column of such values in a unit, where values so written are of that kind.
    pub fn kind(self, unit: Option<&str>) -> Option<&'static str> {
        let words = match (self.measured, self.reads) {
            // `n` may be of the plate and measured.
            (Some(_), Reads::RatedSpeed) => "shaft speed",
            (Some(_), Reads::RatedCurrent) => "current",
            (Some(_), Reads::Voltage) => "voltage",
            (Some(_), _) => return None,
            (None, _) => kind_of(self.given()?).filter(|_| self.reads.sort() == Sort::Number)?,
        };
        let usual = Unit::usual(Kind::find(words)?, false);
        let fits = match unit {
            Some(unit) => Unit::known(unit).is_some_and(|unit| conversion(&unit, &usual).is_ok()),
            None => usual.is_plain() && self.reads.usual() == PlateUnit::One,
        };
        fits.then_some(words)
    }

    /// Whether a column that a list has is of the same: by its kind, else by its words, else by its name.
    pub fn is_of(self, column: &QuantityResults) -> bool {
        let of = self.subject();
        let (own, named) = (kind(column), kind_of(&column.name));
        match (&column.sort, self.reads.sort()) {
            (check::Sort::Text, Sort::Text) => {}
            (check::Sort::Quantity { unit, .. }, Sort::Number) if self.fits(unit) => {}
            _ => return false,
        }
        let titled = titled(column);
        if let Some(own) = own.filter(|own| is_kind(own) && *own != AT_THE_SHAFT && *own != "number") {
            // Several may be of one kind, as the frequency of the supply and that of a drive.
            let same = match titled.filter(|titled| kind_of(titled.subject()) == Some(own)) {
                _ if named == Some(own) => *column.name == *of,
                Some(titled) => titled.subject() == of,
                None => true,
            };
            return kind_of(of) == Some(own) && same;
        }
        match titled {
            Some(titled) => {
                titled.subject() == of || titled.as_measured().is_some_and(|measured| measured.subject() == of)
            }
            None if named.is_some() => *column.name == *of,
            None => own == Some(AT_THE_SHAFT) && matches!(self.reads, Reads::RatedPower | Reads::AbsorbedPower),
        }
    }

    /// What it is of, in one word.
    fn subject(self) -> &'static str {
        self.given().unwrap_or(self.reads.key())
    }

    fn fits(self, unit: &Unit) -> bool {
        let usual = Unit::known(self.reads.usual().text());
        unit.is_plain() || usual.is_none_or(|usual| usual.is_plain() || conversion(&usual, unit).is_ok())
    }
}

fn kind(column: &QuantityResults) -> Option<&'static str> {
    match &column.sort {
        check::Sort::Quantity { kind, .. } => kind.map(Kind::words),
        _ => None,
    }
}

/// What the heading it was read from says, else its title.
fn titled(column: &QuantityResults) -> Option<Meant> {
    let words = [column.from.as_deref(), Some(column.title.as_str())];
    words.into_iter().flatten().find_map(meant_by)
}
