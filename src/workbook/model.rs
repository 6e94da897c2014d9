//! What a workbook is made of.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::fault::{Fault, Span, Stands};
use crate::language::syntax::{Expr, Item, Name, WrittenUnit, quoted};
pub use crate::quantity::PhasorForm;
use crate::quantity::nearest::nearest;
pub use crate::quantity::show::Rounding;
use crate::quantity::{Kind, Unit};

/// Name of the given of an imported list that holds, for each row, the row of the sheet it was read from, counted from 1 as a
/// user sees it: a plain number, and one of the columns of `rows`. Export finds by it where the worked columns belong.
pub const SOURCE_ROW: &str = "source_row";

/// The version of the text form that this program reads and writes.
pub const VERSION: u32 = 1;

/// A whole workbook.
#[derive(Clone, Debug, Default)]
pub struct Workbook {
    /// Title of the `workbook "…"` line.
    pub title: String,
    /// Lines before the first sheet: `polepair 1`, `workbook`, `about`, comments, definitions and curves for all sheets.
    pub head: Vec<Line>,
    /// Sheets and lists in order.
    pub sheets: Vec<Sheet>,
    /// Comment and blank lines after the last line, each with its line end.
    pub tail: Arc<str>,
}

impl Workbook {
    /// The quantity that a place of the text belongs to: of a line, the one it is about; of a row, its column.
    pub fn quantity_at(&self, stands: Stands) -> Option<&Name> {
        match stands {
            Stands::Line(sheet, line) => match &self.sheets.get(sheet)?.lines.get(line)?.statement {
                Statement::Quantity(quantity) => Some(&quantity.name),
                Statement::CasesOver { name, .. } | Statement::At { name, .. } => Some(name),
                _ => None,
            },
            Stands::Row(sheet, _, column) => self.sheets.get(sheet)?.rows.as_ref()?.columns.get(column?),
            Stands::Head(_) | Stands::Opening(_) | Stands::Nowhere => None,
        }
    }

    /// The row that a place of the text is about, where it is about one alone. `items` are the names of the rows.
    pub fn item_at(&self, stands: Stands, items: &[Arc<str>]) -> Option<usize> {
        let line = match stands {
            Stands::Row(_, row, _) => return Some(row),
            Stands::Line(sheet, line) => self.sheets.get(sheet)?.lines.get(line)?,
            Stands::Head(_) | Stands::Opening(_) | Stands::Nowhere => return None,
        };
        match &line.statement {
            Statement::At {
                item: Item::Key(key), ..
            } => items.iter().position(|item| **item == **key),
            Statement::At {
                item: Item::Row(row), ..
            } => (*row as usize).checked_sub(1),
            _ => None,
        }
    }
}

/// Worked sheet or list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Quantities down, cases across.
    Sheet,
    /// Quantities across, rows down.
    List,
}

/// A sheet or a list.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its opening line (`sheet brine "Brine pump drive"`), with the comments before it.
    pub opening: Line,
    /// Name.
    pub name: Name,
    /// Title, may be empty.
    pub title: String,
    /// Which of the two.
    pub form: Form,
    /// All lines but rows, in order.
    pub lines: Vec<Line>,
    /// The rows of a list.
    pub rows: Option<Rows>,
}

/// One statement as typed, over one or several text lines.
#[derive(Clone, Debug)]
pub struct Line {
    /// Comment and blank lines directly before it, as typed, each with its line end.
    pub before: Arc<str>,
    /// The statement as typed, without indent and line end; inner line ends kept.
    pub text: Arc<str>,
    /// Number of its first line in the text it was read from, from 1; 0 for a line made since.
    pub number: u32,
    /// What stood before it in its line of that text.
    pub indent: Indent,
    /// What it says; `Statement::Faulty` where it could not be read.
    pub statement: Statement,
    /// What is wrong with the way it is written; places are bytes of `text`.
    pub faults: Vec<Fault>,
}

/// What stands before a statement or a row in its line. A line that could not be read is written back byte for byte, so what
/// is more than a few blanks is kept as typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Indent {
    /// So many blanks.
    Blanks(u16),
    /// Tabs and whatever else people type for a blank.
    Typed(Arc<str>),
}

impl Indent {
    /// The indent of a line of its own, without one.
    pub const NONE: Indent = Indent::Blanks(0);

    /// What a text of blanks, tabs and the like comes to.
    pub fn of(typed: &str) -> Indent {
        match u16::try_from(typed.len()) {
            Ok(blanks) if typed.bytes().all(|byte| byte == b' ') => Indent::Blanks(blanks),
            _ => Indent::Typed(typed.into()),
        }
    }

    /// Its characters.
    pub fn width(&self) -> u32 {
        match self {
            Indent::Blanks(blanks) => u32::from(*blanks),
            Indent::Typed(text) => u32::try_from(text.chars().count()).unwrap_or(u32::MAX),
        }
    }

    /// Writes it as typed.
    pub fn write(&self, out: &mut String) {
        match self {
            Indent::Blanks(blanks) => out.extend(std::iter::repeat_n(' ', usize::from(*blanks))),
            Indent::Typed(text) => out.push_str(text),
        }
    }
}

/// A formula as typed inside a statement.
#[derive(Clone, Debug)]
pub struct Formula {
    /// Its text.
    pub text: Arc<str>,
    /// Where that text begins in the line's `text`.
    pub at: u32,
    /// The tree; `Node::Bad` where it could not be read.
    pub tree: Arc<Expr>,
    /// Whether reading it gave an error fault (then the line carries the fault).
    pub faulty: bool,
}

/// Where a given comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// plate, measured, assumed, maker, standard.
    pub word: SourceWord,
    /// The text in quotes, if any.
    pub text: Option<String>,
}

/// The words for a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SourceWord {
    /// Read off the plate.
    Plate,
    /// Measured.
    Measured,
    /// Assumed.
    Assumed,
    /// Maker's data.
    Maker,
    /// A published standard.
    Standard,
}

/// Other words by which a source is called. Common practice, no source.
const OTHER_SOURCES: &[(SourceWord, &[&str])] = &[
    (
        SourceWord::Plate,
        &["nameplate", "name-plate", "name", "rating", "label", "plated"],
    ),
    (
        SourceWord::Measured,
        &[
            "measurement",
            "measure",
            "reading",
            "read",
            "test",
            "tested",
            "meter",
            "survey",
        ],
    ),
    (
        SourceWord::Assumed,
        &[
            "assumption",
            "assume",
            "guess",
            "guessed",
            "estimate",
            "estimated",
            "est",
            "est.",
            "about",
            "tbc",
            "tbd",
        ],
    ),
    (
        SourceWord::Maker,
        &[
            "manufacturer",
            "vendor",
            "supplier",
            "catalogue",
            "catalog",
            "datasheet",
            "quote",
            "offer",
            "oem",
        ],
    ),
    (
        SourceWord::Standard,
        &[
            "norm", "code", "table", "iec", "nema", "nec", "iso", "en", "din", "ieee",
        ],
    ),
];

impl SourceWord {
    /// All of them, in the order they are told.
    pub const ALL: [SourceWord; 5] = [
        SourceWord::Plate,
        SourceWord::Measured,
        SourceWord::Assumed,
        SourceWord::Maker,
        SourceWord::Standard,
    ];

    /// The word as typed.
    pub fn word(self) -> &'static str {
        match self {
            SourceWord::Plate => "plate",
            SourceWord::Measured => "measured",
            SourceWord::Assumed => "assumed",
            SourceWord::Maker => "maker",
            SourceWord::Standard => "standard",
        }
    }

    /// The source this word stands for.
    pub fn find(word: &str) -> Option<SourceWord> {
        SourceWord::ALL.into_iter().find(|source| source.word() == word)
    }

    /// What it says of a value.
    pub fn help(self) -> &'static str {
        match self {
            SourceWord::Plate => "read off the plate of the machine",
            SourceWord::Measured => "measured, with the day or the instrument in quotes",
            SourceWord::Assumed => "not known yet; it is listed among the assumptions",
            SourceWord::Maker => "from the maker, with the page or curve in quotes",
            SourceWord::Standard => "from a published standard, with its number in quotes",
        }
    }

    /// The source that another word of the trade means, or one that is nearly typed so.
    pub fn near(word: &str) -> Option<SourceWord> {
        let asked = word.to_lowercase();
        let meant = OTHER_SOURCES
            .iter()
            .find(|(_, words)| words.contains(&asked.as_str()))
            .map(|(source, _)| *source);
        meant.or_else(|| {
            let words = SourceWord::ALL.map(SourceWord::word);
            nearest(&asked, words, 1)
                .first()
                .and_then(|word| SourceWord::find(word))
        })
    }
}

impl Source {
    /// The source as it is typed: `measured`, `maker "pump curve 7"`.
    pub fn typed(&self) -> String {
        let word = self.word.word();
        match &self.text {
            Some(text) => format!("{word} {}", quoted(text)),
            None => word.to_owned(),
        }
    }
}

/// What a quantity is to the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// An input.
    Given,
    /// A result.
    Work,
    /// An unknown found from an equation.
    Seek,
}

/// `: kind`, as typed.
#[derive(Clone, Debug)]
pub enum KindText {
    /// A kind of the table.
    Kind(Kind),
    /// `text`
    Text,
    /// `choice star, delta`
    Choice(Arc<[Arc<str>]>),
}

/// A `given`, `work` or `seek` line.
#[derive(Clone, Debug)]
pub struct Quantity {
    /// Role.
    pub role: Role,
    /// Name.
    pub name: Name,
    /// Where the name stands in the line.
    pub name_span: Span,
    /// One formula for all items, or one for each case (`None`: an empty place). Empty for a given without a value.
    pub values: Vec<Option<Formula>>,
    /// `in UNIT`
    pub unit: Option<WrittenUnit>,
    /// `to …`
    pub rounding: Option<Rounding>,
    /// `to … polar`: it is a phasor, shown in this form.
    pub form: Option<PhasorForm>,
    /// `such that … between … and …`
    pub such_that: Option<SuchThat>,
    /// `: kind`
    pub kind: Option<KindText>,
    /// `"title"`
    pub title: Option<String>,
    /// `from "Heading"`
    pub from: Option<String>,
    /// Source.
    pub source: Option<Source>,
}

/// The equation of a `seek`.
#[derive(Clone, Debug)]
pub struct SuchThat {
    /// What must hold.
    pub goal: SeekGoal,
    /// `between A and B`
    pub between: Option<(Formula, Formula)>,
}

/// What a `seek` asks for.
#[derive(Clone, Debug)]
pub enum SeekGoal {
    /// `LEFT = RIGHT`
    Equation(Formula, Formula),
    /// `E is largest`
    Largest(Formula),
    /// `E is smallest`
    Smallest(Formula),
}

/// Body of a `curve` line.
#[derive(Clone, Debug)]
pub enum CurveText {
    /// `through (a, b), (c, d)`
    Points(Vec<(Formula, Formula)>),
    /// `= formula`
    Formula(Formula),
}

/// What a line says.
#[derive(Clone, Debug)]
pub enum Statement {
    /// `polepair 1`
    Version(u32),
    /// `workbook "…"`
    Workbook(String),
    /// `about client "…"` and the like: which, and its text.
    About(String, String),
    /// `sheet NAME "…"` / `list NAME "…"`, also `list NAME = groups of LIST by QUANTITY`.
    Opening {
        /// `groups of LIST by QUANTITY`
        groups: Option<(Name, Name)>,
    },
    /// `units US` or `units SI`: true for US.
    Units(bool),
    /// `supply single-phase` or `supply three-phase`: true for single-phase.
    Supply(bool),
    /// `cases winter | summer`
    Cases(Vec<Arc<str>>),
    /// `cases f from 20 Hz to 60 Hz by 10 Hz`: a given with one case for each step.
    CasesOver {
        /// The quantity stepped through.
        name: Name,
        /// First value.
        from: Formula,
        /// Last value.
        to: Formula,
        /// Step.
        by: Formula,
    },
    /// `given`, `work`, `seek`.
    Quantity(Box<Quantity>),
    /// `check FORMULA "text"`
    Check {
        /// What must hold.
        formula: Formula,
        /// In words; may be empty.
        text: String,
    },
    /// `flag "text" where COND`
    Flag {
        /// In words.
        text: String,
        /// When it is raised.
        formula: Formula,
    },
    /// `curve T_L(n : shaft speed) in N·m through … / = …`
    Curve {
        /// Name.
        name: Name,
        /// Parameter.
        parameter: Name,
        /// Its kind.
        kind: Option<Kind>,
        /// Unit of the value.
        unit: Option<WrittenUnit>,
        /// Body.
        body: CurveText,
        /// Title.
        title: Option<String>,
    },
    /// `define torque(P : shaft power, n : shaft speed) = P / n`
    Define {
        /// Name.
        name: Name,
        /// Parameters.
        parameters: Vec<(Name, Option<Kind>)>,
        /// Formula.
        body: Formula,
        /// Title.
        title: Option<String>,
    },
    /// `note "…"`
    Note(String),
    /// `plot T_M, T_L for n from A to B`
    Plot {
        /// What is drawn.
        curves: Vec<Formula>,
        /// Over which variable.
        variable: Name,
        /// From.
        from: Formula,
        /// To.
        to: Formula,
        /// Title.
        title: Option<String>,
    },
    /// `read "file" sheet "…" headings 5 digest "…"`
    Read {
        /// File.
        file: String,
        /// Sheet in it.
        sheet: Option<String>,
        /// Heading row.
        headings: Option<u32>,
        /// Digest of the file when it was read.
        digest: Option<String>,
    },
    /// `rows tag | P_r | …`: names the columns; the cells are in `Sheet::rows`.
    Rows,
    /// `at "P-102" f = 60 Hz`
    At {
        /// The row: its key, or `row 12`.
        item: Item,
        /// The quantity.
        name: Name,
        /// Its own formula there.
        formula: Formula,
    },
    /// `accept CODE "reason"`, for the line before it.
    Accept {
        /// The code as typed.
        code: String,
        /// Why.
        reason: String,
    },
    /// A line that could not be read.
    Faulty,
}

/// The rows of a list.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    /// Names of the columns, as in the `rows` line.
    pub columns: Vec<Name>,
    /// Rows in order.
    pub rows: Vec<Row>,
}

/// A row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Comment and blank lines directly before it, each with its line end.
    pub before: Option<Arc<str>>,
    /// Line number in the text it was read from, 0 for a row made since.
    pub number: u32,
    /// What stood before it in its line of that text.
    pub indent: Indent,
    /// A cell for each column; fewer or more is a fault of the row.
    pub cells: Vec<Cell>,
    /// The whole line as typed, kept where the row has a fault.
    pub faulty: Option<Arc<str>>,
    /// What is wrong with it; places are bytes of `faulty`.
    pub faults: Option<Box<[Fault]>>,
    /// Its comment at the end of the line.
    pub comment: Option<Arc<str>>,
}

impl Row {
    /// The indent of a row in the canonical form.
    pub const INDENT: Indent = Indent::Blanks(4);
}

/// A cell of a row, kept small: there can be millions.
#[derive(Clone, Debug)]
pub enum Cell {
    /// Empty.
    Blank,
    /// A number with or without a unit; digits as typed.
    Number(Decimal, Option<Arc<Unit>>),
    /// A text in quotes.
    Text(Arc<str>),
    /// A word of a choice.
    Word(Arc<str>),
    /// A formula of its own.
    Formula(Box<Formula>),
}

/// The formulas of a statement, in the order of the text of its canonical form.
pub fn formulas_of(statement: &Statement) -> Vec<&Formula> {
    match statement {
        Statement::CasesOver { from, to, by, .. } => vec![from, to, by],
        Statement::Quantity(quantity) => {
            let mut out: Vec<&Formula> = quantity.values.iter().flatten().collect();
            if let Some(such_that) = &quantity.such_that {
                match &such_that.goal {
                    SeekGoal::Equation(left, right) => out.extend([left, right]),
                    SeekGoal::Largest(what) | SeekGoal::Smallest(what) => out.push(what),
                }
                if let Some((low, high)) = &such_that.between {
                    out.extend([low, high]);
                }
            }
            out
        }
        Statement::Check { formula, .. } | Statement::Flag { formula, .. } | Statement::At { formula, .. } => {
            vec![formula]
        }
        Statement::Define { body, .. } => vec![body],
        Statement::Curve { body, .. } => match body {
            CurveText::Formula(body) => vec![body],
            CurveText::Points(points) => points.iter().flat_map(|(x, y)| [x, y]).collect(),
        },
        Statement::Plot { curves, from, to, .. } => curves.iter().chain([from, to]).collect(),
        Statement::Version(_)
        | Statement::Workbook(_)
        | Statement::About(..)
        | Statement::Opening { .. }
        | Statement::Units(_)
        | Statement::Supply(_)
        | Statement::Cases(_)
        | Statement::Note(_)
        | Statement::Read { .. }
        | Statement::Rows
        | Statement::Accept { .. }
        | Statement::Faulty => Vec::new(),
    }
}
