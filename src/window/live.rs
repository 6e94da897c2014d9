//! What a text would be in a field of a line that holds no formula: symbol, label, unit, kind, source. And what a formula would give.
//!
//! Always: what is refused here while it is typed is refused with the same words when it is taken in, and nothing else is.
//! Not known here: the screen.

use super::spot::{
    Field, NEW, Seen, Spot, bare_with, fresh, instead, is_value, literal, source_typed, unit_typed, whole,
};
use super::whole::{Stands, is_line, of_language};
use crate::fault::{Code, Fault, Severity};
use crate::language::check::Sort;
use crate::language::work::Outcome;
use crate::quantity::{Kind, System, Unit, conversion};
use crate::recalc::{QuantityResults, Showing, Would};
use crate::workbook::change::rename_fault;
use crate::workbook::text::{name_fault, read_statement};
use crate::workbook::{Cell, Role, SourceWord};

/// What a text would be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Live {
    /// In a few words; empty where it cannot stand there.
    pub gives: String,
    /// What is wrong or worth a look; places are bytes of the text.
    pub faults: Vec<Fault>,
}

impl Live {
    fn gives(words: impl Into<String>) -> Live {
        Live {
            gives: words.into(),
            faults: Vec::new(),
        }
    }

    fn wrong(fault: Fault) -> Live {
        Live {
            gives: String::new(),
            faults: vec![fault],
        }
    }

    /// Why it cannot stand there.
    pub fn refused(&self) -> Option<&Fault> {
        self.faults.iter().find(|fault| fault.is_error())
    }
}

/// What is said of a whole line.
pub const WHOLE: &str = "a whole line, as it is written";

/// Units and kinds named at most.
const NAMED: usize = 4;

/// What a text would be in a field; `None` for fields that hold formulas.
pub fn live(seen: Seen<'_>, spot: Spot, text: &str) -> Option<Live> {
    if matches!(spot.field, Field::Symbol | Field::Label)
        && let Some(made) = seen.whole_line(spot, text)
    {
        return Some(match made {
            Ok(_) if of_language(text.trim(), Stands::Typed).is_some() => Live::gives(WHOLE),
            Ok(_) => Live::gives("a line of its own: what it is called, and its value"),
            Err(why) => Live::wrong(whole(text, why)),
        });
    }
    Some(match spot.field {
        Field::Symbol => symbol(seen, spot, text),
        Field::Label => Live::gives(match (text.trim(), value_behind(text)) {
            ("", _) => "no label".to_owned(),
            (_, Some((words, value))) if spot.quantity == NEW || seen.is_without_value(spot) => {
                format!("the label, in words; where {value} is its value, write `{words} = {value}`")
            }
            _ => "the label, in words".to_owned(),
        }),
        Field::Unit => unit(seen, spot, text),
        Field::Kind => kind(seen, spot, text),
        Field::Source => source(seen, spot, text),
        Field::Value(_) | Field::Formula | Field::Line => return None,
    })
}

/// The words and the value that a label ends with: `Efficiency 90 %`.
fn value_behind(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let blanks = text.match_indices(' ').map(|(at, _)| at);
    blanks
        .filter_map(|at| text.split_at_checked(at))
        .find_map(|(words, value)| {
            let value = value.trim();
            let begins = value.starts_with(|first: char| first.is_ascii_digit());
            (begins && is_value(value)).then_some((words.trim(), value))
        })
}

fn symbol(seen: Seen<'_>, spot: Spot, text: &str) -> Live {
    let own = seen.quantity(spot.quantity);
    let name = text.trim();
    if own.is_some_and(|own| *own.name == *name) {
        return Live::gives(format!("{name}, as it is"));
    }
    if let Some(fault) = name_fault(name) {
        return Live::wrong(fault);
    }
    let taken = |name: &str| seen.results.quantities.iter().find(|known| *known.name == *name);
    if let Some(known) = taken(name) {
        let title = match known.title.as_str() {
            "" => String::new(),
            title => format!(", {title}"),
        };
        let free = fresh(&format!("{name}_2"), |name| taken(name).is_some()).to_string();
        let fault = whole(text, format!("there is a quantity `{name}` already{title}"));
        return Live::wrong(instead(fault.help("take another symbol"), text, &[free]));
    }
    let of_line = own.filter(|own| seen.line(&own.name).is_some());
    if let Some(fault) = of_line.and_then(|own| rename_fault(seen.session.workbook(), Some(seen.at), &own.name, name)) {
        return Live::wrong(whole(text, fault.message.to_string()).help("take another symbol"));
    }
    let readers = own.map_or(0, |own| seen.session.readers(&seen.results.name, &own.name).len());
    Live::gives(match readers {
        0 => format!("{name}, the symbol by which formulas read it"),
        1 => format!("{name}; the line that reads it follows"),
        more => format!("{name}; the {more} lines that read it follow"),
    })
}

/// The unit that the values of a quantity are in, or its line says where none is typed.
pub fn unit_of(seen: Seen<'_>, quantity: &QuantityResults) -> Option<Unit> {
    let written = seen.inputs(&quantity.name)?.unit.as_ref();
    own_unit(seen, quantity).or_else(|| written.map(|written| written.unit.clone()))
}

/// The unit that the values of a quantity are in, whatever its line says of unit and kind; `None` where none is typed.
fn own_unit(seen: Seen<'_>, quantity: &QuantityResults) -> Option<Unit> {
    let inputs = seen.inputs(&quantity.name)?;
    let typed = inputs.values.iter().flatten().find(|formula| !formula.faulty);
    let of_formula = typed.and_then(|formula| match literal(&formula.tree) {
        Some((_, unit)) => Some(unit),
        None => {
            let alone = seen
                .session
                .look_line(&seen.results.name, &format!("work x = {}", formula.text))?;
            let fine = !alone.faults.iter().any(Fault::is_error);
            match alone.sort {
                Sort::Quantity { unit, .. } if fine => Some(unit),
                _ => None,
            }
        }
    });
    of_formula.or_else(|| {
        let rows = seen.sheet.rows.as_ref()?;
        let column = rows.columns.iter().position(|column| *column == quantity.name)?;
        rows.rows
            .iter()
            .take(ROWS)
            .find_map(|row| match row.cells.get(column)? {
                Cell::Number(_, Some(unit)) => Some((**unit).clone()),
                _ => None,
            })
    })
}

/// Rows looked at for the unit of a column.
const ROWS: usize = 200;

fn fits(from: &Unit, to: &Unit) -> bool {
    conversion(from, to).is_ok()
}

/// Whether values in a unit can be of a kind.
pub fn is_of(unit: &Unit, kind: Kind) -> bool {
    fits(unit, &Unit::usual(kind, false))
}

/// The unit that a unit of a quantity has to go with: that of its values, else the usual one of its kind.
///
/// Bare numbers of a given go with every unit: it is still to be typed, and makes them values in it.
pub fn measure(seen: Seen<'_>, quantity: &QuantityResults) -> Option<Unit> {
    let is_of_no_kind = matches!(quantity.sort, Sort::Quantity { kind: None, .. });
    let is_open = |unit: &Unit| unit.is_plain() && quantity.role == Role::Given && is_of_no_kind;
    let own = own_unit(seen, quantity).filter(|unit| !is_open(unit));
    own.or_else(|| match &quantity.sort {
        Sort::Quantity { kind: Some(kind), .. } => Some(Unit::usual(*kind, false)),
        _ => None,
    })
}

/// Symbols of the units that go with one: the usual ones of its kinds first.
pub fn units_with(with: &Unit) -> Vec<String> {
    let usual = Kind::all().flat_map(|kind| [Unit::usual(kind, false), Unit::usual(kind, true)]);
    let known = Unit::all().filter_map(|entry| Unit::known(&entry.symbol));
    let mut out: Vec<String> = Vec::new();
    for unit in std::iter::once(with.clone()).chain(usual).chain(known) {
        let text = unit.text.to_string();
        if !unit.is_plain() && fits(with, &unit) && !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

fn said(words: &[String]) -> String {
    words.join(", ")
}

fn unit(seen: Seen<'_>, spot: Spot, text: &str) -> Live {
    let bare = unit_typed(text);
    let quantity = seen.quantity(spot.quantity);
    let measure = quantity.and_then(|quantity| measure(seen, quantity));
    let with = || -> Vec<String> {
        let mut all = measure.as_ref().map(units_with).unwrap_or_default();
        all.truncate(NAMED);
        all
    };
    if bare.is_empty() {
        if let Some(becomes) = seen.becomes_plain(spot) {
            return Live::gives(format!("no unit: {becomes}"));
        }
        return Live::gives("no unit for all of it: values stand in the unit they are written in");
    }
    let unit = match Unit::parse(bare) {
        Ok(unit) => unit,
        Err(fault) => {
            let near = fault.nearest.clone();
            let fitting: Vec<String> = match &measure {
                Some(measure) => {
                    let fits = |unit: &&String| Unit::known(unit).is_some_and(|unit| fits(measure, &unit));
                    let mut near: Vec<String> = near.iter().filter(fits).cloned().collect();
                    let others = with()
                        .into_iter()
                        .filter(|unit| !near.contains(unit))
                        .collect::<Vec<_>>();
                    near.extend(others);
                    near
                }
                None => near,
            };
            let help = match (fitting.as_slice(), &measure) {
                ([], _) => "write one such as kW, r/min, N·m, m³/h, %".to_owned(),
                (words, Some(measure)) => format!("units of {}: {}", measure.measures(), said(words)),
                (words, None) => format!("write {}", words.join(" or ")),
            };
            return Live::wrong(instead(whole(text, fault.message()).help(help), text, &fitting));
        }
    };
    if let (Some(measure), Some(quantity)) = (&measure, quantity)
        && !fits(measure, &unit)
    {
        let words = format!(
            "{} is a unit of {}, and {} is in {}: {}",
            unit.text,
            unit.measures(),
            quantity.name,
            measure.text,
            measure.measures()
        );
        let mut fault = whole(text, words);
        fault.severity = Severity::Warning;
        let others = with();
        let help = format!("units that go with it: {}", said(&others));
        return Live::wrong(instead(fault.help(help), text, &others));
    }
    let meant = quantity.filter(|quantity| seen.means(quantity, spot.quantity, &unit));
    let meant = meant.and_then(|quantity| {
        (0..quantity.cells.len().min(ROWS)).find_map(|item| {
            let field = Field::Value(item);
            let typed = seen.typed(Spot { field, ..spot });
            let becomes = bare_with(&typed, bare)?;
            Some(format!("{typed} becomes {becomes}"))
        })
    });
    let shown = meant.or_else(|| {
        let quantity = quantity?;
        let value = quantity.cells.iter().find(|cell| cell.as_number().is_some())?;
        let was = Showing::of(quantity, System::AsWritten);
        let now = was.clone().in_unit(&unit);
        now.is_brought()
            .then(|| format!("{} is {}", was.whole(value), now.whole(value)))
    });
    Live::gives(match shown {
        Some(shown) => format!("in {}: {shown}", unit.text),
        None => format!("in {}: {}", unit.text, unit.measures()),
    })
}

/// Words of the kinds that values in a unit can be of: the nearest to a text first.
pub fn kinds_of(unit: &Unit) -> Vec<Kind> {
    Kind::all().filter(|kind| is_of(unit, *kind)).collect()
}

fn kind(seen: Seen<'_>, spot: Spot, text: &str) -> Live {
    let bare = text.trim();
    let bare = bare.strip_prefix(':').unwrap_or(bare).trim();
    if bare.is_empty() {
        return Live::gives("no kind: only the unit is checked");
    }
    let quantity = seen.quantity(spot.quantity);
    let unit = quantity.and_then(|quantity| unit_of(seen, quantity));
    let named = |kinds: Vec<Kind>| -> Vec<String> {
        let words = kinds.iter().take(NAMED).map(|kind| kind.words().to_owned());
        words.collect()
    };
    let Some(kind) = Kind::find(bare) else {
        let (line, _) = read_statement(&format!("given x : {bare}"));
        let Some(fault) = line.faults.iter().find(|fault| fault.is_error()) else {
            // `text`, `choice star, delta`.
            return Live::gives(bare);
        };
        if fault.code != Code::UNKNOWN_KIND {
            return Live::wrong(whole(text, fault.message.clone()).help(fault.help.clone().unwrap_or_default()));
        }
        let fits = |kind: &Kind| unit.as_ref().is_none_or(|unit| is_of(unit, *kind));
        let mut kinds: Vec<Kind> = Kind::nearest(bare).into_iter().filter(fits).collect();
        if let Some(unit) = &unit {
            let others = kinds_of(unit).into_iter().filter(|kind| !kinds.contains(kind));
            let others: Vec<Kind> = others.collect();
            kinds.extend(others);
        }
        let words = named(kinds);
        let help = match (words.as_slice(), &unit) {
            ([], _) => "kinds are words such as shaft power, volume flow, torque".to_owned(),
            (words, Some(unit)) => format!("kinds of what is in {}: {}", unit.text, said(words)),
            (words, None) => format!("write {}", words.join(" or ")),
        };
        let fault = whole(text, format!("`{bare}` is not a known kind")).help(help);
        return Live::wrong(instead(fault, text, &words));
    };
    if let Some(unit) = unit.filter(|unit| !is_of(unit, kind)) {
        let name = quantity.map_or("it", |quantity| &quantity.name);
        let mut fault = whole(
            text,
            format!(
                "{} is in {}, and {name} is in {}",
                kind.words(),
                Unit::usual(kind, false).text,
                unit.text
            ),
        );
        fault.severity = Severity::Warning;
        let words = named(kinds_of(&unit));
        let fault = match words.as_slice() {
            [] => fault,
            words => fault.help(format!("kinds of what is in {}: {}", unit.text, said(words))),
        };
        return Live::wrong(instead(fault, text, &words));
    }
    Live::gives(format!("{}: {}", kind.words(), kind.entry().help))
}

fn source(seen: Seen<'_>, spot: Spot, text: &str) -> Live {
    let written = match source_typed(text) {
        Ok(written) => written,
        Err(fault) => return Live::wrong(fault),
    };
    if written.is_empty() {
        return Live::gives("no source");
    }
    let worked = seen
        .quantity(spot.quantity)
        .filter(|quantity| spot.quantity != NEW && quantity.role != Role::Given);
    if let Some(worked) = worked {
        let fault = whole(text, format!("{} is worked and has no source of its own", worked.name));
        return Live::wrong(fault.help("only a given comes from somewhere; a result rests on its inputs"));
    }
    let word = written.split_whitespace().next().and_then(SourceWord::find);
    Live::gives(match word {
        Some(word) => format!("{written}: {}", word.help()),
        None => written,
    })
}

/// What was typed before as a source in this workbook, each once, and what it is.
pub fn sources_known(seen: Seen<'_>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let quantities = seen.session.results().sheets.iter().flat_map(|sheet| &sheet.quantities);
    for source in quantities.filter_map(|quantity| quantity.source.as_ref()) {
        let typed = source.typed();
        if source.text.is_some() && !out.contains(&typed) {
            out.push(typed);
        }
    }
    out
}

/// Cases whose values are told one by one at most.
const TOLD: usize = 3;

/// What a formula would give at a place, in words with its unit; a fault of the working as the other side. `None` where nothing can
/// be said, and for what is no formula.
pub fn worked(seen: Seen<'_>, spot: Spot, text: &str) -> Option<Result<String, String>> {
    let sheet = &*seen.results.name;
    let count = seen.results.items.len();
    let text = text.trim();
    let field = if is_line(spot, text) { Field::Line } else { spot.field };
    let (would, items) = match field {
        Field::Line => {
            let items = 0..count.min(TOLD);
            (seen.session.would_line(sheet, text, items.clone())?, items)
        }
        Field::Value(_) | Field::Formula if spot.quantity == NEW => {
            let items = 0..count.min(TOLD);
            let line = format!("work {} = {text}", seen.fresh_name());
            (seen.session.would_line(sheet, &line, items.clone())?, items)
        }
        Field::Value(_) | Field::Formula => {
            let quantity = seen.quantity(spot.quantity)?;
            let whole = seen.is_whole(spot);
            let items = match spot.field {
                Field::Value(item) => item..item + 1,
                _ => 0..count.min(TOLD),
            };
            let would = seen.session.would(sheet, &quantity.name, text, whole, items.clone())?;
            (would, items)
        }
        _ => return None,
    };
    let role = if is_value(text) { Role::Given } else { Role::Work };
    let rounding = seen
        .quantity(spot.quantity)
        .and_then(|quantity| quantity.rounding.as_ref());
    let Would { sort, cells } = &would;
    let mut shown = Showing::new(sort, role, rounding, seen.system);
    // What is wanted in a unit is shown in it once it stands.
    if let Some(unit) = seen.unit_wanted(spot, text).or_else(|| seen.unit_here(spot)) {
        shown = shown.in_unit(&unit);
    }
    let mut told: Vec<String> = Vec::new();
    for (item, cell) in items.clone().zip(cells) {
        let words = match cell {
            Outcome::Value(_) => shown.whole(cell),
            Outcome::Blank(why) => format!("nothing yet, {why}"),
            Outcome::Fault(fault) => return Some(Err(seen.system.words(&fault.message))),
        };
        let key = seen.results.items.get(item).filter(|key| !key.is_empty());
        told.push(match key {
            Some(key) if items.len() > 1 => format!("{words} in {key}"),
            _ => words,
        });
    }
    if told.is_empty() {
        return None;
    }
    let more = if items.len() > 1 && count > items.len() {
        " …"
    } else {
        ""
    };
    Some(Ok(format!("{}{more}", told.join(", "))))
}

/// What is wrong with a name for a sheet.
pub fn sheet_name(name: &str, taken: impl Fn(&str) -> bool) -> Option<Fault> {
    if let Some(fault) = name_fault(name) {
        return Some(fault);
    }
    taken(name).then(|| {
        let free = fresh(&format!("{name}_2"), &taken).to_string();
        let fault = whole(name, format!("there is a sheet `{name}` already")).help("take another name");
        instead(fault, name, &[free])
    })
}
