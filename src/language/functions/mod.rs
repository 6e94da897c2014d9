//! Functions and motor formulas: one entry each with parameters, kinds, text, example and code.
//!
//! For: the one list that checker, evaluator, completion, help and tests read. A motor formula is written in the language
//! itself (`Body::Formula`), so its units are checked and its trace can be shown like a user's own definition.
//! Always: every entry has a line of help and an example that runs.
//! Not known here: cells, sheets.

mod circuit;
mod conditions;
mod curves;
mod drives;
mod entry;
mod loads;
mod mathematics;
mod money;
mod motor;
mod physics;
mod running;
mod standards;
mod starting;

use rust_decimal::Decimal;

use crate::machine::Stopped;
use crate::quantity::{Number, NumberFault};

pub use physics::{Curves, Given};

/// What a parameter takes. The checker converts the argument to what the code expects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// A quantity of any dimension; the code gets the raw number in the argument's own unit.
    Any,
    /// A quantity of the first argument's dimension; the code gets it in the first argument's unit.
    LikeFirst,
    /// A plain number (per cent count as 1/100).
    Plain,
    /// An angle or a plain number; the code gets radians.
    Angle,
    /// A quantity of this kind (words of the kind table).
    Kind(&'static str),
    /// A text.
    Text,
    /// The name of a published series, such as `kw_ratings`.
    Series,
    /// The name of a curve over a quantity of the first kind that gives one of the second; or a quantity of the second kind,
    /// for a curve that is the same everywhere. Physics only.
    Curve(&'static str, &'static str),
    /// A quantity of this kind, or left out; last parameters only. Physics only.
    Optional(&'static str),
}

impl Takes {
    /// The same in words.
    pub fn words(self) -> String {
        match self {
            Takes::Any => "any quantity".to_owned(),
            Takes::LikeFirst => "a quantity like the first".to_owned(),
            Takes::Plain => "a plain number".to_owned(),
            Takes::Angle => "an angle".to_owned(),
            Takes::Kind(kind) => kind.to_owned(),
            Takes::Text => "a text".to_owned(),
            Takes::Series => "the name of a series of ratings".to_owned(),
            Takes::Curve(over, gives) => {
                format!("a curve of {gives} over {over}, by its name; or a {gives} that stays the same")
            }
            Takes::Optional(kind) => format!("{kind}; may be left out"),
        }
    }
}

/// What a function gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// The first argument's dimension, unit and kind.
    LikeFirst,
    /// A plain number.
    Plain,
    /// An angle in rad.
    Angle,
    /// The root of the first argument of this degree.
    Root(u8),
    /// A quantity of this kind in the kind's usual SI unit.
    Kind(&'static str),
    /// What the formula of the body gives.
    Formula,
    /// Yes or no.
    Truth,
    /// Text.
    Text,
}

/// A parameter.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name in the help and in the formula of the body.
    pub name: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// Whether further arguments of the same sort may follow (last parameters only; several repeat as a group).
    pub repeats: bool,
}

/// How it is worked.
#[derive(Clone, Copy)]
pub enum Body {
    /// Numbers in, number out, in the units that `Takes` and `Gives` promise.
    Code(fn(&[Number]) -> Result<Number, NumberFault>),
    /// Needs more than numbers (texts, series, blanks); worked by `language::work` under this word.
    Special,
    /// A formula of the language over the parameters' names, with the unit of the result (`""`: none set).
    Formula(&'static str),
    /// Motor physics: floats and curves in coherent SI units in, a float in the coherent unit of what it gives out.
    Physics(fn(&mut Given<'_>) -> Result<f64, Stopped>),
}

/// One entry.
pub struct Function {
    /// The word.
    pub name: &'static str,
    /// Parameters in order.
    pub parameters: &'static [Parameter],
    /// What it gives.
    pub gives: Gives,
    /// One line of help.
    pub help: &'static str,
    /// A formula that runs without any sheet, and what it gives: `("sqrt(16 m²)", "4 m")`. It may name [`example_curves`].
    pub example: (&'static str, &'static str),
    /// Where the formula is from, or `""`.
    pub source: &'static str,
    /// How it is worked.
    pub body: Body,
}

impl Function {
    /// The names of its parameters, with `…` where more of them may follow.
    pub fn parameters_in_words(&self) -> String {
        let mut names: Vec<&str> = self.parameters.iter().map(|parameter| parameter.name).collect();
        if self.parameters.iter().any(|parameter| parameter.repeats) {
            names.push("…");
        }
        names.join(", ")
    }
}

impl std::fmt::Debug for Function {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

/// A constant with a name.
#[derive(Clone, Copy, Debug)]
pub struct Constant {
    /// The name.
    pub name: &'static str,
    /// Mantissa and decimal places of the value; π is known as such and not by digits.
    value: (i64, u32),
    /// Its unit, empty for π.
    pub unit: &'static str,
    /// One line of help.
    pub help: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

impl Constant {
    /// The value in its unit; for π to 15 places, the exact one is a factor. For j its magnitude.
    pub fn value(&self) -> Decimal {
        Decimal::new(self.value.0, self.value.1)
    }
}

/// Curves that examples name: name, parameter with its kind, formula.
pub fn example_curves() -> [(&'static str, (&'static str, &'static str), &'static str); 2] {
    let n = ("n", "shaft speed");
    [
        ("T_M", n, "torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)"),
        ("T_L", n, "quadratic_load(n, 95 N·m, 1450 r/min)"),
    ]
}

static CONSTANTS: &[Constant] = &[
    Constant {
        name: "pi",
        value: (3_141_592_653_589_793, 15),
        unit: "",
        help: "Circumference over diameter of a circle",
        source: "definition",
    },
    Constant {
        name: "π",
        value: (3_141_592_653_589_793, 15),
        unit: "",
        help: "Circumference over diameter of a circle",
        source: "definition",
    },
    Constant {
        name: "j",
        value: (1, 0),
        unit: "",
        help: "The imaginary unit of phasors, a quarter turn: `0.3 Ω + j*0.5 Ω`",
        source: "definition",
    },
    Constant {
        name: "g_n",
        value: (980_665, 5),
        unit: "m/s²",
        help: "Standard acceleration of free fall",
        source: "General Conference on Weights and Measures, 1901; NIST SP 811",
    },
];

/// Constants with a name.
pub fn constants() -> &'static [Constant] {
    CONSTANTS
}

/// The constant of this name.
pub fn constant(name: &str) -> Option<&'static Constant> {
    CONSTANTS.iter().find(|constant| constant.name == name)
}

/// All functions by what they are about.
pub fn topics() -> [(&'static str, &'static [Function]); 12] {
    [
        ("Mathematics", mathematics::MATHEMATICS),
        ("Phasors, blanks, rows, ratings", mathematics::SPECIAL),
        ("Motor: speed, slip, power, current", motor::MOTOR),
        ("Torque curves", curves::CURVES),
        ("Equivalent circuit", circuit::CIRCUIT),
        ("Loads and driven machines", loads::LOADS),
        ("Running points and run-up", running::RUNNING),
        ("Pumps, fans and frequency converters", drives::DRIVES),
        ("Starting", starting::STARTING),
        ("Standards and ratings", standards::STANDARDS),
        ("Supply, heating and duty", conditions::CONDITIONS),
        ("Energy and money", money::MONEY),
    ]
}

/// All functions, group by group.
pub fn all() -> impl Iterator<Item = &'static Function> {
    topics().into_iter().flat_map(|(_, functions)| functions)
}

/// Whether a name is that of a function of mathematics: of plain numbers it makes plain numbers.
pub fn is_of_mathematics(name: &str) -> bool {
    mathematics::MATHEMATICS.iter().any(|function| function.name == name)
}

/// The function of this name.
pub fn find(name: &str) -> Option<&'static Function> {
    all().find(|function| function.name == name)
}
