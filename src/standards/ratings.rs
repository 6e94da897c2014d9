//! Standard output ratings: kW by IEC, horsepower by NEMA.
//!
//! Always: ratings rise; a look-up gives a rating of the series or nothing, never one in between.
//! Not known here: whether a rating may carry a load; service factor, duty and ambient are the user's to judge.

use std::cmp::Ordering;
use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::published::{Basis, Publication, table};
use crate::quantity::{Number, decimal};

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

type Listed = (Publication, Vec<Rating>);

static KW: LazyLock<Listed> = LazyLock::new(|| {
    let (publication, rows) = table(include_str!("data/preferred_ratings_kw.csv"));
    let rating = |row: &csv::StringRecord| {
        Some(Rating {
            value: decimal::read(row.get(0)?)?,
            basis: Basis::parse(row.get(1)?)?,
            kw: None,
        })
    };
    (publication, rows.iter().filter_map(rating).collect())
});

static HP: LazyLock<Listed> = LazyLock::new(|| {
    let (publication, rows) = table(include_str!("data/preferred_ratings_hp.csv"));
    let rating = |row: &csv::StringRecord| {
        let kw = (decimal::read(row.get(1)?)?, Basis::parse(row.get(3)?)?);
        Some(Rating {
            value: decimal::read(row.get(0)?)?,
            basis: Basis::parse(row.get(2)?)?,
            kw: Some(kw),
        })
    };
    (publication, rows.iter().filter_map(rating).collect())
});

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

    /// Title, edition and source.
    pub fn publication(self) -> &'static Publication {
        &self.listed().0
    }

    /// The ratings, rising.
    pub fn ratings(self) -> &'static [Rating] {
        &self.listed().1
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

    fn listed(self) -> &'static Listed {
        match self {
            Series::Kw => &KW,
            Series::Hp => &HP,
        }
    }
}
