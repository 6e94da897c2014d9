//! The usual mathematics. Numbers come in the units that `Takes` promises; angles are radians.

use super::{Body, Function, Gives, Parameter, Takes};
use crate::quantity::{Number, NumberFault};

const fn one(name: &'static str, takes: Takes) -> Parameter {
    Parameter {
        name,
        takes,
        repeats: false,
    }
}

const fn more(name: &'static str, takes: Takes) -> Parameter {
    Parameter {
        name,
        takes,
        repeats: true,
    }
}

/// A function of one number.
const fn of_one(
    name: &'static str,
    takes: &'static [Parameter],
    gives: Gives,
    help: &'static str,
    example: (&'static str, &'static str),
    code: fn(&[Number]) -> Result<Number, NumberFault>,
) -> Function {
    Function {
        name,
        parameters: takes,
        gives,
        help,
        example,
        source: "definition",
        body: Body::Code(code),
    }
}

fn first(numbers: &[Number]) -> Result<Number, NumberFault> {
    numbers.first().copied().ok_or(NumberFault::NotReal)
}

fn pair(numbers: &[Number]) -> Result<(Number, Number), NumberFault> {
    match numbers {
        [a, b, ..] => Ok((*a, *b)),
        _ => Err(NumberFault::NotReal),
    }
}

const ANY: &[Parameter] = &[one("x", Takes::Any)];
const PLAIN: &[Parameter] = &[one("x", Takes::Plain)];
const ANGLE: &[Parameter] = &[one("angle", Takes::Angle)];

pub(super) static MATHEMATICS: &[Function] = &[
    Function {
        name: "sqrt",
        parameters: ANY,
        gives: Gives::Root(2),
        help: "Square root",
        example: ("sqrt(16 m²)", "4 m"),
        source: "definition",
        body: Body::Code(|numbers| first(numbers)?.sqrt()),
    },
    Function {
        name: "root",
        parameters: &[one("x", Takes::Any), one("degree", Takes::Plain)],
        gives: Gives::Root(0),
        help: "Root of a degree typed as a number",
        example: ("root(27 m³, 3)", "3 m"),
        source: "definition",
        body: Body::Code(|numbers| {
            let (x, degree) = pair(numbers)?;
            x.pow(Number::ONE.div(degree)?)
        }),
    },
    of_one(
        "abs",
        ANY,
        Gives::LikeFirst,
        "Size without its sign; magnitude of a phasor",
        ("abs(-3 kW)", "3 kW"),
        |numbers| Ok(first(numbers)?.abs()),
    ),
    of_one(
        "exp",
        PLAIN,
        Gives::Plain,
        "e to the power of a plain number, real or a phasor",
        ("exp(0)", "1"),
        |numbers| first(numbers)?.exp(),
    ),
    of_one(
        "ln",
        PLAIN,
        Gives::Plain,
        "Natural logarithm",
        ("ln(1)", "0"),
        |numbers| first(numbers)?.ln(),
    ),
    Function {
        name: "log",
        parameters: &[one("x", Takes::Plain), one("base", Takes::Plain)],
        gives: Gives::Plain,
        help: "Logarithm to a base",
        example: ("log(8, 2)", "3"),
        source: "definition",
        body: Body::Code(|numbers| {
            let (x, base) = pair(numbers)?;
            x.log(base)
        }),
    },
    of_one(
        "log10",
        PLAIN,
        Gives::Plain,
        "Logarithm to the base ten",
        ("log10(1000)", "3"),
        |numbers| first(numbers)?.log10(),
    ),
    of_one(
        "sin",
        ANGLE,
        Gives::Plain,
        "Sine of an angle",
        ("sin(30 deg)", "0.5"),
        |numbers| first(numbers)?.sin(),
    ),
    of_one(
        "cos",
        ANGLE,
        Gives::Plain,
        "Cosine of an angle",
        ("cos(60 deg)", "0.5"),
        |numbers| first(numbers)?.cos(),
    ),
    of_one(
        "tan",
        ANGLE,
        Gives::Plain,
        "Tangent of an angle",
        ("tan(45 deg)", "1"),
        |numbers| first(numbers)?.tan(),
    ),
    of_one(
        "asin",
        PLAIN,
        Gives::Angle,
        "Angle of a sine",
        ("asin(0.5) in deg", "30 deg"),
        |numbers| first(numbers)?.asin(),
    ),
    of_one(
        "acos",
        PLAIN,
        Gives::Angle,
        "Angle of a cosine, such as a power factor",
        ("acos(0.5) in deg", "60 deg"),
        |numbers| first(numbers)?.acos(),
    ),
    of_one(
        "atan",
        PLAIN,
        Gives::Angle,
        "Angle of a tangent",
        ("atan(1) in deg", "45 deg"),
        |numbers| first(numbers)?.atan(),
    ),
    Function {
        name: "atan2",
        parameters: &[one("y", Takes::Any), one("x", Takes::LikeFirst)],
        gives: Gives::Angle,
        help: "Angle of a point: y first, then x, both of one kind",
        example: ("atan2(3 kvar, 3 kvar) in deg", "45 deg"),
        source: "definition",
        body: Body::Code(|numbers| {
            let (y, x) = pair(numbers)?;
            y.atan2(x)
        }),
    },
    Function {
        name: "round",
        parameters: &[one("x", Takes::Any), one("step", Takes::LikeFirst)],
        gives: Gives::LikeFirst,
        help: "The nearest multiple of a step, halves away from zero",
        example: ("round(17.3 kW, 0.5 kW)", "17.5 kW"),
        source: "definition",
        body: Body::Code(|numbers| {
            let (x, step) = pair(numbers)?;
            x.round_to(step)
        }),
    },
    of_one(
        "floor",
        PLAIN,
        Gives::Plain,
        "The next whole number not above a plain number",
        ("floor(7.8)", "7"),
        |numbers| first(numbers)?.floor(),
    ),
    of_one(
        "ceiling",
        PLAIN,
        Gives::Plain,
        "The next whole number not below a plain number",
        ("ceiling(7.2)", "8"),
        |numbers| first(numbers)?.ceiling(),
    ),
    Function {
        name: "smallest",
        parameters: &[one("a", Takes::Any), more("b", Takes::LikeFirst)],
        gives: Gives::LikeFirst,
        help: "The smallest of some values of one kind",
        example: ("smallest(3 kW, 2 hp, 5 kW) in hp", "2 hp"),
        source: "definition",
        body: Body::Code(|numbers| {
            let mut out = first(numbers)?;
            for number in numbers {
                out = out.smaller(*number);
            }
            Ok(out)
        }),
    },
    Function {
        name: "largest",
        parameters: &[one("a", Takes::Any), more("b", Takes::LikeFirst)],
        gives: Gives::LikeFirst,
        help: "The largest of some values of one kind",
        example: ("largest(3 kW, 4000 W)", "4 kW"),
        source: "definition",
        body: Body::Code(|numbers| {
            let mut out = first(numbers)?;
            for number in numbers {
                out = out.larger(*number);
            }
            Ok(out)
        }),
    },
];

const PHASOR: &[Parameter] = &[one("z", Takes::Any)];

pub(super) static SPECIAL: &[Function] = &[
    Function {
        name: "polar",
        parameters: &[one("magnitude", Takes::Any), one("angle", Takes::Angle)],
        gives: Gives::LikeFirst,
        help: "Phasor of a magnitude and an angle, the same as `230 V ∠ -30 deg`",
        example: ("re(polar(230 V, 60 deg))", "115 V"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "angle",
        parameters: PHASOR,
        gives: Gives::Angle,
        help: "Angle of a phasor, above -180 deg and up to 180 deg",
        example: ("angle(3 Ω + j*3 Ω)", "45 deg"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "re",
        parameters: PHASOR,
        gives: Gives::LikeFirst,
        help: "Real part of a phasor: of an apparent power the active one, of an impedance the resistance",
        example: ("re(3 Ω + j*4 Ω)", "3 Ω"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "im",
        parameters: PHASOR,
        gives: Gives::LikeFirst,
        help: "Imaginary part of a phasor: of an apparent power the reactive one, of an impedance the reactance",
        example: ("im(230 V * conj(0 A - j*10 A)) in kvar", "2.3 kvar"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "conj",
        parameters: PHASOR,
        gives: Gives::LikeFirst,
        help: "Conjugate of a phasor: the angle with the other sign; apparent power is V * conj(I)",
        example: ("im(conj(3 Ω + j*4 Ω))", "-4 Ω"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "parallel",
        parameters: &[one("Z_1", Takes::Any), more("Z_2", Takes::LikeFirst)],
        gives: Gives::LikeFirst,
        help: "Impedances side by side: one over the sum of what is one over each",
        example: ("parallel(3 Ω, 6 Ω)", "2 Ω"),
        source: "definition",
        body: Body::Code(|numbers| {
            // A short circuit beside anything is a short circuit.
            if numbers.iter().any(|number| number.is_zero()) {
                return Ok(Number::ZERO);
            }
            let mut sum = Number::ZERO;
            for number in numbers {
                sum = sum.add(Number::ONE.div(*number)?)?;
            }
            Number::ONE.div(sum)
        }),
    },
    Function {
        name: "known",
        parameters: ANY,
        gives: Gives::Truth,
        help: "Whether a value is there: not blank",
        example: ("known(3 kW)", "yes"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "num",
        parameters: &[one("x in unit", Takes::Any)],
        gives: Gives::Plain,
        help: "The number alone, its unit stripped on purpose",
        example: ("num(1.5 kW in W)", "1500"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "previous",
        parameters: ANY,
        gives: Gives::LikeFirst,
        help: "The value of the row before, in a list; blank in the first row",
        example: ("", ""),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "running",
        parameters: ANY,
        gives: Gives::LikeFirst,
        help: "The sum of all rows down to this one, in a list",
        example: ("", ""),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "refuse",
        parameters: &[one("reason", Takes::Text)],
        gives: Gives::LikeFirst,
        help: "A blank with this reason, for a value that must not be trusted",
        example: ("refuse(\"below half load\")", "blank: below half load"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "assuming",
        parameters: &[one("x", Takes::Any), one("what", Takes::Text)],
        gives: Gives::LikeFirst,
        help: "The value as it is, with a remark beside it: what it takes for granted",
        example: ("assuming(5 kW, \"as in the year before\")", "5 kW"),
        source: "definition",
        body: Body::Special,
    },
    Function {
        name: "next_rating",
        parameters: &[one("P", Takes::Kind("shaft power")), one("series", Takes::Series)],
        gives: Gives::LikeFirst,
        help: "The smallest rating of a published series that is not below a power",
        example: ("next_rating(16 kW, kw_ratings)", "18.5 kW"),
        source: "IEC 60072-1 (kW); NEMA MG 1 (hp)",
        body: Body::Special,
    },
    Function {
        name: "code_letter_low",
        parameters: &[one("letter", Takes::Text)],
        gives: Gives::Kind("locked-rotor kVA per hp"),
        help: "Lower end of the kVA per hp that a locked-rotor code letter stands for",
        example: ("code_letter_low(\"G\")", "5.6 kVA/hp"),
        source: "NEMA MG 1, table of code letters",
        body: Body::Special,
    },
    Function {
        name: "code_letter_high",
        parameters: &[one("letter", Takes::Text)],
        gives: Gives::Kind("locked-rotor kVA per hp"),
        help: "Upper end of the kVA per hp that a locked-rotor code letter stands for; the value itself belongs to the next letter",
        example: ("code_letter_high(\"G\")", "6.3 kVA/hp"),
        source: "NEMA MG 1, table of code letters",
        body: Body::Special,
    },
];
