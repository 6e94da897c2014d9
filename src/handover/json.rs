//! JSON of a worked workbook: what `work --json` prints and `export … --to x.json` writes.
//!
//! For: other programs. The shape is a promise: fields are added, never renamed or taken away.
//! Always: numbers are decimal strings (`-`, point, optional `e`), never JSON numbers. The object is written as it is made,
//! cell by cell, so a list of a hundred thousand rows costs no memory.
//! Not known here: how anything is worked; the trace of a cell is asked for.

use std::io::{self, Write};

use serde::{Serialize, Serializer};

use crate::fault::{Fix, Placed};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::{Number, PhasorForm, Unit, show};
use crate::recalc::{
    CheckResults, QuantityResults, Results, SheetResults, TableUse, Verdict, count_of, form_of, nominal_of, number_of,
    phasor_of,
};
use crate::workbook::{Form, Role, Source};

/// Worked cells of one list up to which [`Traces::Usual`] writes the trace of each. A larger list writes `null` there: its
/// columns repeat one formula, and the text of so many substitutions is longer than all values together.
pub const TRACED_CELLS: usize = 20_000;

/// Which cells get their trace.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Traces {
    /// Every worked cell of a sheet, and of a list of up to [`TRACED_CELLS`] worked cells.
    #[default]
    Usual,
    /// Every worked cell.
    All,
    /// None.
    Omitted,
}

/// Gives the substitution of a worked cell as text: sheet, quantity and item, the last two as positions in the results.
pub type TraceOf<'a> = dyn Fn(&SheetResults, usize, usize) -> Option<String> + 'a;

/// A worked workbook on its way out.
pub struct Worked<'a> {
    /// Title of the workbook.
    pub title: &'a str,
    /// What was worked.
    pub results: &'a Results,
    /// Where the text of a trace comes from.
    pub trace: &'a TraceOf<'a>,
    /// Which cells get theirs.
    pub traces: Traces,
}

/// Writes the object, and a line end after it.
pub fn write(worked: &Worked, out: &mut dyn Write) -> io::Result<()> {
    let mut out = io::BufWriter::with_capacity(1 << 16, out);
    serde_json::to_writer(&mut out, worked).map_err(io::Error::from)?;
    out.write_all(b"\n")?;
    out.flush()
}

/// The object as text. For small workbooks and tests; [`write()`] keeps nothing in memory.
pub fn text(worked: &Worked) -> Result<String, serde_json::Error> {
    serde_json::to_string(worked)
}

/// A sequence that is made while it is written.
struct Many<F>(F);

impl<F, I> Serialize for Many<F>
where
    F: Fn() -> I,
    I: Iterator,
    I::Item: Serialize,
{
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq((self.0)())
    }
}

#[derive(Serialize)]
struct WorkbookJson<'a, Sheets, Faults> {
    workbook: &'a str,
    sheets: Sheets,
    faults: Faults,
}

#[derive(Serialize)]
struct SheetJson<'a, Items, Quantities, Checks, Flags> {
    name: &'a str,
    title: &'a str,
    form: &'static str,
    items: Items,
    quantities: Quantities,
    checks: Checks,
    /// Only where the sheet has flags.
    #[serde(skip_serializing_if = "Option::is_none")]
    flags: Option<Flags>,
}

#[derive(Serialize)]
struct QuantityJson<'a, Cells> {
    name: &'a str,
    kind: Option<&'a str>,
    unit: Option<&'a str>,
    role: &'static str,
    /// Published tables that its formulas look into; only where there are some.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    tables: &'a [TableUse],
    /// Only for phasors: `polar` or `rectangular`, the form of `value`.
    #[serde(skip_serializing_if = "Option::is_none")]
    phasor: Option<&'static str>,
    cells: Cells,
}

#[derive(Serialize)]
struct CellJson<'a> {
    /// As shown; text and words as they stand, a truth as `yes` or `no`.
    value: Option<String>,
    /// Unrounded, in the unit of the quantity.
    exact: Option<String>,
    /// Only for phasors, unrounded at fifteen digits, in the unit of the quantity; `exact` is null there.
    #[serde(skip_serializing_if = "Option::is_none")]
    re: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    im: Option<String>,
    made: Option<&'static str>,
    /// Limits, where the value rests on tolerances.
    band: Option<BandJson>,
    blank: Option<&'a str>,
    fault: Option<&'static str>,
    source: Option<&'a str>,
    trace: Option<String>,
    /// What a reader should know of the value: why it has no limits, how many rows took part, what is assumed. Left out where there
    /// is nothing of the kind.
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    /// What was typed, where that was in another unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    typed: Option<&'a str>,
}

/// Limits in the unit of the quantity, unrounded.
#[derive(Serialize)]
struct BandJson {
    low: String,
    high: String,
    /// `corners` where the value goes steadily with every tolerance, else `draws`.
    how: &'static str,
    /// Which tolerance causes how much, the largest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    causes: Vec<CauseJson>,
}

/// What one tolerance does alone.
#[derive(Serialize)]
struct CauseJson {
    /// Sheet and quantity, and the item where the tolerance is that of one item.
    input: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    item: Option<String>,
    low: String,
    high: String,
    /// Its part of the sum of the squares of all such widths, from 0 to 1.
    part: f64,
}

#[derive(Serialize)]
struct CheckJson<'a, Cells> {
    text: &'a str,
    cells: Cells,
}

#[derive(Serialize)]
struct VerdictJson<'a> {
    holds: &'static str,
    margin: Option<&'a str>,
    /// Within the tolerances, where it is another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_margin: Option<&'a str>,
}

#[derive(Serialize)]
struct FaultJson<'a> {
    code: &'static str,
    severity: &'static str,
    sheet: Option<&'a str>,
    item: Option<&'a str>,
    line: u32,
    column: u32,
    message: &'a str,
    help: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<FixJson<'a>>,
}

/// A change that would mend a fault, and the line as it would be.
#[derive(Serialize)]
struct FixJson<'a> {
    label: &'a str,
    text: String,
}

impl Serialize for Worked<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        WorkbookJson {
            workbook: self.title,
            sheets: Many(|| self.results.sheets.iter().map(|sheet| SheetOut { of: self, sheet })),
            faults: Many(|| self.results.faults.iter().map(fault)),
        }
        .serialize(serializer)
    }
}

/// A sheet with what its cells need.
struct SheetOut<'a> {
    of: &'a Worked<'a>,
    sheet: &'a SheetResults,
}

impl Serialize for SheetOut<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let sheet = self.sheet;
        let traced = self.traced();
        SheetJson {
            name: &sheet.name,
            title: &sheet.title,
            form: match sheet.form {
                Form::Sheet => "sheet",
                Form::List => "list",
            },
            items: Many(|| sheet.items.iter().map(|item| &**item)),
            quantities: Many(|| {
                sheet
                    .quantities
                    .iter()
                    .enumerate()
                    .map(move |(at, quantity)| QuantityOut {
                        of: self,
                        at,
                        quantity,
                        traced: traced && quantity.role != Role::Given,
                    })
            }),
            checks: Many(|| sheet.checks.iter().map(CheckOut)),
            flags: (!sheet.flags.is_empty()).then_some(Many(|| sheet.flags.iter().map(CheckOut))),
        }
        .serialize(serializer)
    }
}

impl SheetOut<'_> {
    fn traced(&self) -> bool {
        match self.of.traces {
            Traces::All => true,
            Traces::Omitted => false,
            Traces::Usual => {
                let worked = self
                    .sheet
                    .quantities
                    .iter()
                    .filter(|quantity| quantity.role != Role::Given);
                let cells: usize = worked.map(|quantity| quantity.cells.len()).sum();
                self.sheet.form == Form::Sheet || cells <= TRACED_CELLS
            }
        }
    }
}

/// A quantity with what its cells need.
struct QuantityOut<'a> {
    of: &'a SheetOut<'a>,
    at: usize,
    quantity: &'a QuantityResults,
    traced: bool,
}

impl Serialize for QuantityOut<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let quantity = self.quantity;
        let source = quantity.source.as_ref().map(Source::typed);
        let source = source.as_deref();
        QuantityJson {
            name: &quantity.name,
            kind: kind(&quantity.sort),
            unit: unit(&quantity.sort),
            role: role(quantity.role),
            tables: &quantity.tables,
            phasor: form_of(&quantity.sort).map(PhasorForm::word),
            cells: Many(|| {
                let cells = quantity.cells.iter().enumerate();
                cells.map(|(item, outcome)| self.cell(item, outcome, source))
            }),
        }
        .serialize(serializer)
    }
}

impl QuantityOut<'_> {
    fn cell<'c>(&'c self, item: usize, outcome: &'c Outcome, source: Option<&'c str>) -> CellJson<'c> {
        let mut cell = CellJson {
            value: None,
            exact: None,
            re: None,
            im: None,
            made: None,
            band: None,
            blank: None,
            fault: None,
            source,
            trace: None,
            note: self.quantity.note(item),
            typed: self.quantity.typed_as(item),
        };
        let phasor = form_of(&self.quantity.sort).zip(outcome.as_phasor());
        match outcome {
            Outcome::Value(Value::Number(_) | Value::Phasor(_)) if phasor.is_some() => {
                if let Some((form, phasor)) = phasor {
                    let rounding = self.quantity.rounding.as_ref();
                    cell.value = Some(phasor_of(&phasor, form, self.quantity.role, rounding));
                    let [re, im] = show::exact_parts(&phasor);
                    cell.re = Some(re);
                    cell.im = Some(im);
                    cell.made = Some("float");
                }
            }
            Outcome::Value(Value::Phasor(_)) => {}
            Outcome::Value(Value::Number(number)) => {
                // Without the zeros typed at the end: they are for the eye.
                let plain = match number {
                    Number::Exact(value) => Number::Exact(value.normalize()),
                    other => *other,
                };
                let (sort, rounding) = (&self.quantity.sort, self.quantity.rounding.as_ref());
                let count = count_of(&plain, sort, rounding);
                cell.value = Some(count.unwrap_or_else(|| number_of(&plain, self.quantity.role, rounding)));
                cell.exact = Some(show::exact(number));
                cell.made = Some(match number {
                    Number::Exact(_) | Number::Rounded(_) => "decimal",
                    Number::Float(_) => "float",
                });
            }
            Outcome::Value(Value::Text(text)) => cell.value = Some(text.to_string()),
            Outcome::Value(Value::Truth(truth)) => cell.value = Some(if *truth { "yes" } else { "no" }.to_owned()),
            Outcome::Blank(why) => cell.blank = Some(why),
            Outcome::Fault(fault) => cell.fault = Some(fault.code.word()),
        }
        if let (Some(band), Some(_)) = (self.quantity.band(item), outcome.as_number()) {
            let exact = |limit: f64| show::exact(&Number::Float(limit));
            cell.band = Some(BandJson {
                low: exact(band.low),
                high: exact(band.high),
                how: band.how.word(),
                causes: band
                    .caused
                    .iter()
                    .map(|caused| CauseJson {
                        input: format!("{}.{}", caused.sheet, caused.name),
                        item: caused.item.as_deref().map(str::to_owned),
                        low: exact(caused.low),
                        high: exact(caused.high),
                        part: (caused.part * 1e6).round() / 1e6,
                    })
                    .collect(),
            });
            cell.value = outcome
                .as_number()
                .map(|number| nominal_of(&number, band, self.quantity.role, self.quantity.rounding.as_ref()));
        }
        if self.traced {
            cell.trace = (self.of.of.trace)(self.of.sheet, self.at, item);
        }
        cell
    }
}

/// A check or flag.
struct CheckOut<'a>(&'a CheckResults);

impl Serialize for CheckOut<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        CheckJson {
            text: &self.0.text,
            cells: Many(|| self.0.cells.iter().map(verdict)),
        }
        .serialize(serializer)
    }
}

fn verdict(verdict: &Verdict) -> VerdictJson<'_> {
    VerdictJson {
        holds: verdict.word(),
        margin: verdict.margin.as_deref(),
        least_margin: verdict.least.as_deref(),
    }
}

fn fault(placed: &Placed) -> FaultJson<'_> {
    FaultJson {
        code: placed.fault.code.word(),
        severity: placed.fault.severity.word(),
        sheet: placed.sheet.as_deref(),
        item: placed.item.as_deref(),
        line: placed.line,
        column: placed.column,
        message: &placed.fault.message,
        help: placed.fault.help.as_deref(),
        fixes: placed
            .fault
            .fixes
            .iter()
            .filter_map(|fix| mended(placed, fix))
            .collect(),
    }
}

fn mended<'a>(placed: &'a Placed, fix: &'a Fix) -> Option<FixJson<'a>> {
    Some(FixJson {
        label: &fix.label,
        text: fix.applied(&placed.source)?,
    })
}

/// The words of the kind; `text` and `choice` for what is no quantity.
fn kind(sort: &Sort) -> Option<&str> {
    match sort {
        Sort::Quantity { kind, .. } => kind.map(|kind| kind.words()),
        Sort::Text => Some("text"),
        Sort::Choice(_) => Some("choice"),
        Sort::Truth | Sort::Unknown => None,
    }
}

/// The unit as text, `1` for a plain number, none for what is no quantity.
fn unit(sort: &Sort) -> Option<&str> {
    match sort {
        Sort::Quantity { unit, .. } => Some(unit_text(unit)),
        _ => None,
    }
}

/// The unit as text, `1` for a plain number.
pub fn unit_text(unit: &Unit) -> &str {
    if unit.text.is_empty() { "1" } else { &unit.text }
}

/// The word of a role.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Given => "given",
        Role::Work => "work",
        Role::Seek => "seek",
    }
}
