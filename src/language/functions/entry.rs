//! Short forms for entries of the list.

use super::{Body, Function, Given, Gives, Parameter, Takes};
use crate::machine::Stopped;

/// What any textbook has.
pub(super) const TEXTBOOK: &str = "standard relation of induction-machine textbooks";
/// What is done, without a source for it.
pub(super) const PRACTICE: &str = "common practice, no source";

/// The arm of a formula that refuses an efficiency typed without its per cent.
macro_rules! refuse_efficiency {
    ($eta:literal) => {
        concat!(
            "refuse(\"the efficiency is not between 0 and 100 %: write 91 %, not 91\") when ",
            $eta,
            " <= 0 or ",
            $eta,
            " > 1, "
        )
    };
}
pub(super) use refuse_efficiency;

/// The arm of a formula that refuses a power factor typed without its per cent.
macro_rules! refuse_power_factor {
    ($pf:literal) => {
        concat!(
            "refuse(\"the power factor is above 1: write 0.85 or 85 %\") when ",
            $pf,
            " > 1, "
        )
    };
}
pub(super) use refuse_power_factor;

/// The arm of a formula that refuses a part of the voltage typed without its per cent.
macro_rules! refuse_part_of_voltage {
    ($k:literal) => {
        concat!(
            "refuse(\"the part of the voltage is not between 0 and 100 %: write 65 %, not 65\") when ",
            $k,
            " < 0 or ",
            $k,
            " > 1, "
        )
    };
}
pub(super) use refuse_part_of_voltage;

/// The arm of a formula that refuses more hours than a year has.
macro_rules! refuse_hours {
    ($hours:literal) => {
        concat!(
            "refuse(\"the hours are below zero or more than the 8760 of a year\") when ",
            $hours,
            " < 0 h/yr or ",
            $hours,
            " > 8760 h/yr, "
        )
    };
}
pub(super) use refuse_hours;

/// The arm of a formula that refuses poles that are no pairs.
macro_rules! refuse_poles {
    ($p:literal) => {
        concat!(
            "refuse(\"the poles are not in pairs: 2, 4, 6 and so on\") when ",
            $p,
            " <= 0 pole or num(",
            $p,
            " in pole pair) != floor(num(",
            $p,
            " in pole pair)), "
        )
    };
}
pub(super) use refuse_poles;

/// The arm of a formula that refuses a breakdown slip that is none.
macro_rules! refuse_breakdown_slip {
    ($s:literal) => {
        concat!("refuse(\"the breakdown slip is not above zero\") when ", $s, " <= 0, ")
    };
}
pub(super) use refuse_breakdown_slip;

/// A parameter of a kind.
pub(super) const fn of(name: &'static str, kind: &'static str) -> Parameter {
    one(name, Takes::Kind(kind))
}

/// A parameter that may be left out.
pub(super) const fn optional(name: &'static str, kind: &'static str) -> Parameter {
    one(name, Takes::Optional(kind))
}

/// A torque over the speed of the shaft.
pub(super) const fn torque_curve(name: &'static str) -> Parameter {
    one(name, Takes::Curve("shaft speed", "torque"))
}

/// A parameter.
pub(super) const fn one(name: &'static str, takes: Takes) -> Parameter {
    Parameter {
        name,
        takes,
        repeats: false,
    }
}

/// A parameter that repeats, alone or in a group with its neighbours.
pub(super) const fn again(name: &'static str, kind: &'static str) -> Parameter {
    Parameter {
        name,
        takes: Takes::Kind(kind),
        repeats: true,
    }
}

/// A formula of the language that gives a kind.
pub(super) const fn formula(
    name: &'static str,
    parameters: &'static [Parameter],
    gives: &'static str,
    body: &'static str,
    help: &'static str,
    example: (&'static str, &'static str),
    source: &'static str,
) -> Function {
    let gives = Gives::Kind(gives);
    entry(name, parameters, gives, Body::Formula(body), help, example, source)
}

/// A formula that gives a text.
pub(super) const fn text(
    name: &'static str,
    parameters: &'static [Parameter],
    body: &'static str,
    help: &'static str,
    example: (&'static str, &'static str),
    source: &'static str,
) -> Function {
    entry(
        name,
        parameters,
        Gives::Text,
        Body::Formula(body),
        help,
        example,
        source,
    )
}

/// Physics that gives a kind.
pub(super) const fn physics(
    name: &'static str,
    parameters: &'static [Parameter],
    gives: &'static str,
    code: fn(&mut Given<'_>) -> Result<f64, Stopped>,
    help: &'static str,
    example: (&'static str, &'static str),
    source: &'static str,
) -> Function {
    let gives = Gives::Kind(gives);
    entry(name, parameters, gives, Body::Physics(code), help, example, source)
}

/// An entry of the list.
pub(super) const fn entry(
    name: &'static str,
    parameters: &'static [Parameter],
    gives: Gives,
    body: Body,
    help: &'static str,
    example: (&'static str, &'static str),
    source: &'static str,
) -> Function {
    Function {
        name,
        parameters,
        gives,
        help,
        example,
        source,
        body,
    }
}
