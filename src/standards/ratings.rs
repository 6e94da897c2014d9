//! Standard output ratings: kW by IEC, horsepower by NEMA.
//!
//! Always: ratings rise; a look-up gives a rating of the series or nothing, never one in between.
//! Not known here: whether a rating may carry a load; service factor, duty and ambient are the user's to judge.

use std::cmp::Ordering;
use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::published::{Basis, Publication};
use super::table::Table;
use super::tables;
use crate::quantity::Number;

/// A series of ratings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// Rated outputs in kW.
    Kw,
    /// Rated outputs in hp.
    Hp,
}

/// A rating of a series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rating {
    /// In the unit of the series.
    pub value: Decimal,
    /// How it is known.
    pub basis: Basis,
    /// Its equivalent in kW with the basis of that, for the horsepower series.
    pub kw: Option<(Decimal, Basis)>,
}

static KW: LazyLock<Vec<Rating>> = LazyLock::new(|| {
    listed(Series::Kw, |table, row| {
        let power = table.listed("P", row)?;
        Some(Rating {
            value: power.value,
            basis: power.basis,
            kw: None,
        })
    })
});

static HP: LazyLock<Vec<Rating>> = LazyLock::new(|| {
    listed(Series::Hp, |table, row| {
        let power = table.listed("P", row)?;
        let kw = (
            table.listed("P_kw", row)?.value,
            Basis::parse(table.text("kw_basis", row)?)?,
        );
        Some(Rating {
            value: power.value,
            basis: power.basis,
            kw: Some(kw),
        })
    })
});

fn listed(series: Series, rating: fn(&Table, usize) -> Option<Rating>) -> Vec<Rating> {
    series.table().map_or_else(Vec::new, |table| {
        (0..table.rows()).filter_map(|row| rating(table, row)).collect()
    })
}

impl Series {
    /// All series.
    pub const ALL: [Series; 2] = [Series::Kw, Series::Hp];

    /// The name in formulas: `kw_ratings`, `hp_ratings`.
    pub fn name(self) -> &'static str {
        match self {
            Series::Kw => "kw_ratings",
            Series::Hp => "hp_ratings",
        }
    }

    /// The series of this name.
    pub fn find(name: &str) -> Option<Series> {
        Series::ALL.into_iter().find(|series| series.name() == name)
    }

    /// The unit its ratings are in.
    pub fn unit(self) -> &'static str {
        match self {
            Series::Kw => "kW",
            Series::Hp => "hp",
        }
    }

    /// The table its ratings are from.
    pub fn table(self) -> Option<&'static Table> {
        tables::find(match self {
            Series::Kw => "iec_60072_1",
            Series::Hp => "nema_mg1_10_32_4",
        })
    }

    /// Title, edition and source.
    pub fn publication(self) -> Option<&'static Publication> {
        self.table().map(|table| &table.publication)
    }

    /// The ratings, rising.
    pub fn ratings(self) -> &'static [Rating] {
        match self {
            Series::Kw => &KW,
            Series::Hp => &HP,
        }
    }

    /// The smallest rating that is not below a power in the unit of the series; a power that equals a rating at twelve digits
    /// takes that one. `None` above the largest.
    pub fn at_or_above(self, power: Number) -> Option<&'static Rating> {
        self.ratings()
            .iter()
            .find(|rating| Number::Exact(rating.value).compare(power) != Ordering::Less)
    }

    /// The largest rating of the series.
    pub fn largest(self) -> Option<&'static Rating> {
        self.ratings().last()
    }
}
