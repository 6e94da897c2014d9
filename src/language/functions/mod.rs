//! Functions and motor formulas: one entry each with parameters, kinds, text, example and code.
//!
//! For: the one list that checker, evaluator, completion, help and tests read. A motor formula is written in the language
//! itself (`Body::Formula`), so its units are checked and its trace can be shown like a user's own definition.
//! Always: every entry has a line of help and an example that runs.
//! Not known here: cells, sheets.

use crate::quantity::{Number, NumberFault};

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
    /// Whether further arguments of the same sort may follow (last parameter only).
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
    /// A formula that runs without any sheet, and what it gives: `("sqrt(16 m²)", "4 m")`.
    pub example: (&'static str, &'static str),
    /// Where the formula is from, or `""`.
    pub source: &'static str,
    /// How it is worked.
    pub body: Body,
}

impl std::fmt::Debug for Function {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}
