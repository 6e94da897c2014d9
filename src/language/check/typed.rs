//! The typed formula: what the checker hands to the evaluator.
//!
//! Always: numbers inside an `Op` are raw, each in a unit fixed here; wherever two units meet, the checker has put a `Scale`,
//! so the evaluator knows no units. Factors are combined over a whole product before they become a `Scale`.

use std::sync::Arc;

use crate::fault::{Fault, Span};
use crate::language::functions::Function;
use crate::language::syntax::Comparison;
use crate::quantity::{Dimension, Exponent, Factor, Kind, Number, Phasor, PhasorForm, Unit};

/// What sort of thing a formula gives.
#[derive(Clone, Debug)]
pub enum Sort {
    /// A quantity.
    Quantity {
        /// Dimension with its tags settled.
        dimension: Dimension,
        /// The unit its raw numbers are in, and in which it is shown.
        unit: Unit,
        /// The kind, where declared or proved.
        kind: Option<Kind>,
        /// For a phasor, the form it is shown in; `None` for a real value.
        phasor: Option<PhasorForm>,
    },
    /// Text.
    Text,
    /// One of a list of words.
    Choice(Arc<[Arc<str>]>),
    /// Yes or no.
    Truth,
    /// Unknown because of a fault that is reported elsewhere; everything is accepted, nothing is worked.
    Unknown,
}

impl Sort {
    /// The kind, in words as typed: empty for a quantity of none.
    pub fn kind_words(&self) -> String {
        match self {
            Sort::Quantity { kind: Some(kind), .. } => kind.words().to_owned(),
            Sort::Quantity { .. } | Sort::Unknown => String::new(),
            Sort::Text => "text".to_owned(),
            Sort::Choice(words) => format!("choice {}", words.join(", ")),
            Sort::Truth => "yes or no".to_owned(),
        }
    }
}

/// Handle of a sheet or list, given by the scope.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SheetId(pub u32);

/// Handle of a quantity, given by the scope. Unique over the workbook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct QuantityId(pub u32);

/// Handles from here on are those of published tables.
const PUBLISHED: u32 = 1 << 31;

/// Columns that a published table may have.
const COLUMNS: u32 = 1 << 8;

impl SheetId {
    /// The published table of this number.
    pub fn of_table(number: usize) -> SheetId {
        SheetId(u32::try_from(number).map_or(u32::MAX, |number| PUBLISHED | number))
    }

    /// The number of the published table, where it is one.
    pub fn table(self) -> Option<usize> {
        (self.0 & PUBLISHED != 0).then_some((self.0 & !PUBLISHED) as usize)
    }
}

impl QuantityId {
    /// A column of the published table of this number.
    pub fn of_table(number: usize, column: usize) -> QuantityId {
        let number = u32::try_from(number).unwrap_or(u32::MAX);
        let column = u32::try_from(column).unwrap_or(COLUMNS);
        QuantityId(PUBLISHED | number.saturating_mul(COLUMNS).saturating_add(column))
    }

    /// The numbers of the published table and of its column, where it is one.
    pub fn column(self) -> Option<(usize, usize)> {
        let own = self.0 & !PUBLISHED;
        (self.0 & PUBLISHED != 0).then_some(((own / COLUMNS) as usize, (own % COLUMNS) as usize))
    }
}

/// Which cell of a quantity is read.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Which {
    /// The asking item's own (same sheet, or the row an aggregate stands at).
    Own,
    /// Another sheet's same case, or its only one.
    SameCase,
    /// The item with this key.
    Key(Arc<str>),
    /// The row of this number, from 1.
    Row(u32),
    /// The row before the asking one.
    Previous,
    /// All rows down to and with the asking one (`running(x)` is their sum).
    Running,
    /// In an aggregate: of the item that asks (`here.x`).
    Here,
}

/// A cell that a formula reads.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Read {
    /// The quantity.
    pub quantity: QuantityId,
    /// Which of its cells.
    pub which: Which,
}

/// A change of unit: `(x + offset) · factor − then`, all exact.
#[derive(Clone, Debug)]
pub struct Scale {
    /// Multiplied.
    pub factor: Factor,
    /// Added before (temperature points only).
    pub before: Option<rust_decimal::Decimal>,
    /// Subtracted after (temperature points only).
    pub after: Option<rust_decimal::Decimal>,
}

/// How rows are gathered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gather {
    /// Sum.
    Sum,
    /// Arithmetic mean.
    Mean,
    /// The largest.
    Largest,
    /// The smallest.
    Smallest,
    /// How many.
    Count,
    /// The only one; a fault where there are none or several.
    Only,
    /// The first in the order of rows.
    First,
    /// On the straight line between the two rows around a place; nothing outside the rows.
    Interpolated,
    /// Of the row at a place, else of the next one above.
    NextUp,
    /// Of the row at a place, else of the next one below.
    NextDown,
    /// Of the row nearest to a place; at the midpoint the upper one; nothing outside the rows.
    Nearest,
}

impl Gather {
    /// Whether it gives what stands in one row, be it a number or a text.
    pub fn takes_a_row(self) -> bool {
        matches!(
            self,
            Gather::Only | Gather::First | Gather::NextUp | Gather::NextDown | Gather::Nearest
        )
    }
}

/// The place along the rows that is sought.
#[derive(Clone, Debug)]
pub struct Along {
    /// The quantity of the rows, worked for each of them.
    pub key: Op,
    /// The value sought, of the asking item, in the unit of the key.
    pub wanted: Op,
    /// What the key is called, for messages.
    pub name: Arc<str>,
    /// The unit of both, for messages; empty for plain numbers.
    pub unit: Arc<str>,
}

/// A number with its two limits, in its unit. Worked by itself it is the number.
#[derive(Clone, Debug)]
pub struct Toleranced {
    /// Which of the tolerances of the formula.
    pub index: usize,
    /// The number.
    pub nominal: Number,
    /// Lower limit.
    pub low: Op,
    /// Upper limit.
    pub high: Op,
    /// Whether the limits are looked up in a published table.
    pub published: bool,
}

/// A step from or to phasors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfPhasor {
    /// Magnitude and angle in radians to a phasor.
    Polar,
    /// Magnitude.
    Abs,
    /// Angle in radians.
    Angle,
    /// Real part.
    Re,
    /// Imaginary part.
    Im,
    /// Conjugate.
    Conj,
    /// One over the sum of what is one over each.
    Parallel,
    /// e to this power.
    Exp,
}

/// One step of a typed formula.
#[derive(Clone, Debug)]
pub enum Op {
    /// A number.
    Number(Number),
    /// A number with what it may be off.
    Toleranced(Box<Toleranced>),
    /// A phasor.
    Phasor(Phasor),
    /// A text.
    Text(Arc<str>),
    /// A truth.
    Truth(bool),
    /// The cell of `Typed::reads` at this index.
    Read(usize),
    /// A value bound by `Let`, by an integral, by a curve or by the parameter of a definition.
    Local(usize),
    /// Binds a value (definitions are worked in place).
    Let {
        /// Slot.
        local: usize,
        /// Bound value.
        value: Box<Op>,
        /// Where it is used.
        body: Box<Op>,
    },
    /// Sum; `true` subtracts.
    Sum(Vec<(bool, Op)>),
    /// Product; `true` divides.
    Product(Vec<(bool, Op)>),
    /// Whole or rational power of a raw number.
    Power(Box<Op>, Exponent),
    /// Power with a worked plain exponent.
    PowerOf(Box<Op>, Box<Op>),
    /// Negative.
    Negative(Box<Op>),
    /// Change of unit.
    Scale(Box<Op>, Arc<Scale>),
    /// A function with code.
    Call(&'static Function, Vec<Op>),
    /// A step from or to phasors; real numbers are phasors without an imaginary part.
    OfPhasor(OfPhasor, Vec<Op>),
    /// Comparison chain of numbers in one unit, or of texts.
    Compare(Box<Op>, Vec<(Comparison, Op)>),
    /// All hold.
    And(Vec<Op>),
    /// One holds.
    Or(Vec<Op>),
    /// Does not hold.
    Not(Box<Op>),
    /// First value whose condition holds; condition before value.
    Choice {
        /// Condition and value.
        arms: Vec<(Op, Op)>,
        /// Last resort; without it a blank ("no case applies").
        otherwise: Option<Box<Op>>,
    },
    /// The second where the first is blank.
    Else(Box<Op>, Box<Op>),
    /// Whether it is not blank.
    Known(Box<Op>),
    /// Over the rows of a list or the cases of a sheet.
    Gather {
        /// How.
        how: Gather,
        /// Which sheet.
        sheet: SheetId,
        /// The place sought, for those that seek one.
        along: Option<Box<Along>>,
        /// Worked for each row; reads with `Which::Own` are the row's, `Which::Here` the asking item's. `None`: rows are counted.
        value: Option<Box<Op>>,
        /// Only rows for which this holds.
        condition: Option<Box<Op>>,
    },
    /// Sum of all cells of a read with `Which::Running`.
    Running(usize),
    /// Integral of `value` over the local, in floats.
    Integral {
        /// Slot of the variable.
        local: usize,
        /// What is integrated.
        value: Box<Op>,
        /// Lower end, in the variable's unit.
        from: Box<Op>,
        /// Upper end, in the variable's unit.
        to: Box<Op>,
    },
    /// A curve through points at an argument in the unit of its points.
    Points(Arc<PointCurve>, Box<Op>),
    /// A curve as an argument: what it gives for each value of the local that the function asks for. Both in coherent units.
    Along {
        /// Slot of the argument.
        local: usize,
        /// What the curve gives.
        value: Box<Op>,
    },
    /// An unknown found from an equation.
    Seek(Box<Seek>),
    /// Stops here with this fault when reached (an arm of a choice that cannot be worked).
    Fault(Arc<Fault>),
}

/// Points of a curve as formulas (they may read cells), each in one unit. Monotone interpolation without overshoot.
#[derive(Clone, Debug)]
pub struct PointCurve {
    /// The unit of the arguments, for messages.
    pub unit: std::sync::Arc<str>,
    /// Name, for messages.
    pub name: Arc<str>,
    /// Argument and value of each point.
    pub points: Vec<(Op, Op)>,
}

/// `seek x such that LEFT = RIGHT between A and B`.
#[derive(Clone, Debug)]
pub struct Seek {
    /// Slot of the unknown, in the result's unit.
    pub local: usize,
    /// What is to become zero (left − right in one unit), or what is to be largest or smallest.
    pub goal: Goal,
    /// The unknown isolated, where that is possible, and how it reads.
    pub isolated: Option<(Op, String)>,
    /// Limits in the result's unit.
    pub between: Option<(Op, Op)>,
}

/// What is sought.
#[derive(Clone, Debug)]
pub enum Goal {
    /// Left minus right is zero.
    Zero(Op),
    /// Left minus right is zero, where the unknown is a phasor that enters linearly.
    Linear(Op),
    /// As large as possible.
    Largest(Op),
    /// As small as possible.
    Smallest(Op),
}

/// A checked formula.
#[derive(Clone, Debug)]
pub struct Typed {
    /// What it gives.
    pub sort: Sort,
    /// How it is worked; `None` with an error fault.
    pub op: Option<Op>,
    /// The cells it reads, in order of first appearance, each once.
    pub reads: Vec<Read>,
    /// Where each name that reads a cell stands in the text and which read it is: for substitution in the trace.
    pub places: Vec<(Span, usize)>,
    /// How many locals there are.
    pub locals: usize,
    /// How many tolerances there are.
    pub tolerances: usize,
    /// All that was found wrong or worth a look.
    pub faults: Vec<Fault>,
}
