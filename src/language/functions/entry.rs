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
            "refuse(\"an efficiency is above 0 and not above 100 %: write 91 %, not 91\") when ",
            $eta,
            " <= 0 or ",
            $eta,
            " > 1, "
        )
    };
}
pub(super) use refuse_efficiency;

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
