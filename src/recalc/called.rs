//! Givens in another unit than what they are called has: a power factor in kW, a line voltage without a unit.
//!
//! Always: only what is typed and has no kind of its own is looked at. A unit that lacks is missed only where a formula that reads the
//! given cannot be worked: a torque may well be typed as so many times the rated one. A small whole number between a frequency and a
//! speed is a count of poles, whatever it is called.
//! Not known here: where faults are placed.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::book::{Book, Entry};
use super::settle::{Settled, Settlement, quantity_of};
use crate::fault::{Code, Fault, Span};
use crate::language::check::{MOST_POLES, QuantityId, Sort};
use crate::language::syntax::{Expr, Node};
use crate::quantity::{Family, Kind, Unit, conversion};
use crate::workbook::{Form, Formula, Role, Workbook};

/// Words behind which a label says when or of what its quantity is.
const BEHIND: [&str; 12] = [
    " at ", " of ", " for ", " by ", " with ", " in ", " per ", " when ", " from ", ", ", " (", ": ",
];

/// Quantities looked through at most for a given that lacks its unit.
const MOST: usize = 1000;

/// The unit of a number of pole pairs.
const PAIR: &str = "pp";

/// Such givens named in one fault at most.
const NAMED: usize = 3;

/// The kind that a label says: of `Efficiency at full load` the efficiency, of `Loss at rated power factor` none.
fn said(title: &str, among: impl Fn(Kind) -> bool) -> Option<Kind> {
    let about = BEHIND.iter().filter_map(|words| title.find(words)).min();
    Kind::titled(about.and_then(|at| title.get(..at)).unwrap_or(title), among)
}

/// Whether a given is called a power factor or an efficiency and stands in a unit that is none of a share, and what is to be said of it.
/// `typed`: its value, where that is one text.
pub(super) fn in_other_unit(
    workbook: &Workbook,
    entry: &Entry,
    settled: &Settled,
    typed: Option<&str>,
) -> Option<Fault> {
    let Sort::Quantity { unit, .. } = &settled.sort else {
        return None;
    };
    let quantity =
        quantity_of(workbook, entry).filter(|quantity| quantity.role == Role::Given && quantity.kind.is_none())?;
    let is_share = |kind: Kind| matches!(kind.family(), Family::Efficiency { .. } | Family::PowerFactor);
    let title = quantity.title.as_deref().unwrap_or("").trim();
    let kind = match title {
        "" => Kind::of_letter(&quantity.name).filter(|kind| is_share(*kind)),
        title => said(title, is_share),
    }?;
    let fits = |other: &Unit| conversion(unit, other).is_ok();
    // The same letter is that of a viscosity.
    let is_viscosity = || Unit::known("Pa·s").is_some_and(|viscosity| fits(&viscosity));
    if fits(&Unit::usual(kind, false)) || title.is_empty() && is_viscosity() {
        return None;
    }
    let words = kind.words();
    let message = format!(
        "`{}` stands in {}, and what is called {words} has no unit",
        quantity.name, unit.text
    );
    let fault = Fault::new(Code::UNIT_NOT_AS_CALLED, Span::default(), message);
    Some(match typed.and_then(|typed| Some((typed, share(typed)?))) {
        Some((typed, share)) => fault.help(format!("write {share}, or call it what it is")).fix(
            format!("write {share}"),
            Span::new(0, typed.len()),
            share,
        ),
        None => fault.help("write it without a unit or in %, or call it what it is"),
    })
}

/// The share that a number with a wrong unit behind it is: 0.86 of `0.86 kW`, 86 % of `86 kW`.
fn share(typed: &str) -> Option<String> {
    let number = typed.split_whitespace().next()?;
    let value: f64 = number.parse().ok()?;
    match value {
        value if (0.0..=1.0).contains(&value) => Some(number.to_owned()),
        value if (1.0..=100.0).contains(&value) => Some(format!("{number} %")),
        _ => None,
    }
}

/// A given that has no unit, and what it is called has one.
#[derive(Clone, Debug)]
pub(super) struct Lacking {
    /// The given.
    pub id: QuantityId,
    name: String,
    kind: Kind,
    /// Its values with a unit behind each, as far as they stand in its line: where, and with each unit that may be meant.
    with: Option<(Span, Vec<String>)>,
    /// A unit it may be in.
    unit: String,
    /// Its label says what it is; else it stands where poles have to.
    is_labelled: bool,
}

impl Lacking {
    /// Of a quantity, where it is such a given.
    fn of(workbook: &Workbook, entry: &Entry, settled: &Settled) -> Option<Lacking> {
        let Sort::Quantity { unit, kind: None, .. } = &settled.sort else {
            return None;
        };
        let quantity = quantity_of(workbook, entry).filter(|quantity| quantity.role == Role::Given)?;
        if !unit.is_plain() || quantity.kind.is_some() || quantity.unit.is_some() {
            return None;
        }
        let has_unit = |kind: Kind| !Unit::usual(kind, false).dimension.is_none() && !Unit::is_of_shares(kind);
        let values: Vec<&Formula> = quantity.values.iter().flatten().collect();
        if !values.iter().all(|value| is_bare(&value.tree)) {
            return None;
        }
        let labelled = said(quantity.title.as_deref().unwrap_or("").trim(), has_unit);
        let may_count = || !values.is_empty() && values.iter().all(|value| may_count_poles(&value.tree));
        let kind = labelled.or_else(|| Kind::find("poles").filter(|_| may_count()))?;
        let sheet = workbook.sheets.get(entry.sheet)?;
        if values.is_empty() && sheet.form == Form::Sheet {
            return None;
        }
        let mut units: Vec<String> = [false, true].map(|us| Unit::usual(kind, us).text.to_string()).into();
        // Without words for it, it may as well be a count of pairs.
        units.extend(labelled.is_none().then(|| PAIR.to_owned()));
        units.dedup();
        let line = &sheet.lines.get(entry.line)?.text;
        let with = match sheet.form {
            Form::Sheet => span_of(&values).and_then(|span| {
                let with = units.iter().map(|unit| with_unit(line, &values, span, unit));
                Some((span, with.collect::<Option<Vec<String>>>()?))
            }),
            Form::List => None,
        };
        Some(Lacking {
            id: entry.id,
            name: entry.name.to_string(),
            kind,
            with,
            unit: Unit::usual(kind, false).text.to_string(),
            is_labelled: labelled.is_some(),
        })
    }

    /// The value as it may be meant: `400 V`.
    fn meant(&self) -> String {
        match self
            .with
            .as_ref()
            .and_then(|(_, with)| with.iter().find(|with| with.ends_with(&self.unit)))
        {
            Some(with) => format!("write `{with}`"),
            None => format!("write its values with their unit, such as {}", self.unit),
        }
    }

    /// Whether it may be why a formula cannot be worked.
    pub fn explains(&self, fault: &Fault) -> bool {
        may_lack(fault) && is_of_poles(fault) == (self.kind.family() == Family::Poles)
    }

    /// What is to be said of it beside the fault of a formula.
    fn in_words(&self) -> String {
        let (name, kind) = (&self.name, self.kind.words());
        match self.is_labelled {
            true => format!("`{name}` has no unit, and its label says {kind}: {}", self.meant()),
            false => format!("`{name}` has no unit; where it counts poles, {}", self.meant()),
        }
    }

    /// What is to be said at its own line, and where in it.
    pub fn fault(&self) -> Fault {
        let (name, kind) = (&self.name, self.kind.words());
        let message = match self.is_labelled {
            true => {
                format!("`{name}` has no unit, and its label says {kind}; a formula that reads it cannot be worked so")
            }
            false => format!("`{name}` has no unit, and a formula that reads it lacks the {kind}"),
        };
        let span = self.with.as_ref().map_or(Span::default(), |(span, _)| *span);
        let fault = Fault::new(Code::UNIT_NOT_AS_CALLED, span, message).help(self.meant());
        let with = self.with.iter().flat_map(|(_, with)| with);
        with.fold(fault, |fault, with| {
            fault.fix(format!("write {with}"), span, with.clone())
        })
    }
}

/// A fault of a formula with the givens that lack their unit, where there are such ones: they are the likeliest cause.
pub(super) fn explained(fault: Fault, lacking: &[Lacking]) -> Fault {
    let may_lack = lacking.iter().filter(|lacking| lacking.explains(&fault));
    let words: Vec<String> = may_lack.take(NAMED).map(Lacking::in_words).collect();
    match words.is_empty() {
        true => fault,
        false => fault.help(words.join("; ")),
    }
}

/// Whether a fault may come from a unit that lacks.
pub(super) fn may_lack(fault: &Fault) -> bool {
    is_of_poles(fault) || [Code::UNITS_DO_NOT_MATCH, Code::CANNOT_ADD, Code::CANNOT_COMPARE].contains(&fault.code)
}

/// Whether a fault says that poles lack between a frequency and a speed.
fn is_of_poles(fault: &Fault) -> bool {
    fault.code == Code::CYCLE_MEETS_TURN
}

/// The givens without their unit that a formula rests on: those it reads, and those behind what it reads as far as no unit was asked
/// for on the way.
pub(super) fn lacking(
    (workbook, book, settlement): (&Workbook, &Book, &Settlement),
    reads: impl Iterator<Item = QuantityId>,
) -> Vec<Lacking> {
    let mut seen: BTreeSet<QuantityId> = BTreeSet::new();
    let mut waiting: Vec<QuantityId> = reads.collect();
    let mut out = Vec::new();
    while let Some(id) = waiting.pop().filter(|_| seen.len() < MOST) {
        if !seen.insert(id) {
            continue;
        }
        let (Some(entry), Some(settled)) = (book.entry(id), settlement.get(id)) else {
            continue;
        };
        if let Some(lacking) = Lacking::of(workbook, entry, settled) {
            out.push(lacking);
            continue;
        }
        let asks =
            quantity_of(workbook, entry).is_none_or(|quantity| quantity.unit.is_some() || quantity.kind.is_some());
        if !asks {
            let reads = settled.slots.iter().flat_map(|slot| &slot.typed.reads);
            waiting.extend(reads.map(|read| read.quantity));
        }
    }
    out.sort_by_key(|lacking| lacking.id);
    out
}

/// Whether a number may be one of poles: whole, and not more than motors have.
fn may_count_poles(tree: &Expr) -> bool {
    let Node::Number(number) = &tree.node else { return false };
    let value = number.value;
    number.unit.is_none() && value.fract().is_zero() && value >= Decimal::ONE && value <= Decimal::from(MOST_POLES)
}

/// A number without a unit.
fn is_bare(tree: &Expr) -> bool {
    match &tree.node {
        Node::Number(number) => number.unit.is_none(),
        Node::Negative(inner) => is_bare(inner),
        _ => false,
    }
}

/// Where the values of a line stand.
fn span_of(values: &[&Formula]) -> Option<Span> {
    let (first, last) = (values.first()?, values.last()?);
    Some(Span::new(first.at as usize, last.at as usize + last.text.len()))
}

/// The values of a line with a unit behind each.
fn with_unit(line: &str, values: &[&Formula], span: Span, unit: &str) -> Option<String> {
    let mut out = String::new();
    let mut from = span.start as usize;
    for value in values {
        let end = value.at as usize + value.text.len();
        out.push_str(line.get(from..end)?);
        out.push_str(&format!(" {unit}"));
        from = end;
    }
    Some(out)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::recalc::Engine;
    use crate::workbook::text;

    /// What is to be tried at each fault, by the beginning of its line.
    fn help(book: &str, line: &str) -> String {
        let engine = Engine::new(text::read(book));
        let faults = engine.results().faults.iter();
        let mut of_line = faults.filter(|placed| placed.source.trim().starts_with(line));
        of_line.next().unwrap().fault.help.as_ref().unwrap().to_string()
    }

    /// A fault further down names the given that lacks its unit, also through what only passes it on; what has its unit is not named.
    #[test]
    fn a_fault_names_the_given_without_a_unit() {
        let sheet = "polepair 1\nsheet a\n  given V = 400 \"Line voltage\"\n  given I = 20 A \"Line current\"\n";
        let named = "`V` has no unit, and its label says line voltage: write `400 V`";
        assert_eq!(help(&format!("{sheet}  work P = V * I in kW\n"), "work P"), named);
        let passed_on = format!("{sheet}  work U = V / 2\n  work P = U * I in kW\n");
        assert_eq!(help(&passed_on, "work P"), named);
        // What asks for a unit on the way has it.
        let asked = format!("{sheet}  work U = V * 1 V in V\n  work P = U * I in N·m\n");
        assert!(!help(&asked, "work P").contains('V'));
        let list = "polepair 1\nlist a\n  given V \"Line voltage\"\n  work P = V * 20 A in kW\n  rows V\n    400\n";
        assert_eq!(
            help(list, "work P"),
            "`V` has no unit, and its label says line voltage: write its values with their unit, such as V"
        );
    }
}
