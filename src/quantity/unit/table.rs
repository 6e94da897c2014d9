//! The table of units: `data/units.csv`, read once.
//!
//! Always: every row keeps its source. Rows whose angle counts turns in truth (r/min, pole, mm/rev) say `rev` in the column
//! `angle`; their dimension then carries `rev` in place of `rad`, and 2π goes out of the factor. Units of US customary use say `US` in
//! the column `use` (NIST SP 811, appendix B, names the customary ones).
//! Not known here: compound units.

use std::cell::Cell;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, LazyLock};

use rust_decimal::Decimal;

use super::{Unit, compound};
use crate::quantity::nearest::nearest_folded;
use crate::quantity::twins::one_form;
use crate::quantity::{Base, Dimension, Exponent, Factor, Kind};

/// A row of the table.
#[derive(Debug)]
pub struct UnitEntry {
    /// What it measures, in words (`moment of inertia`).
    pub quantity: String,
    /// Symbol as published.
    pub symbol: String,
    /// Other ways people write it.
    pub aliases: Vec<String>,
    /// Coherent unit.
    pub si_unit: String,
    /// Where the factor comes from.
    pub source: String,
    /// In US customary use.
    pub customary: bool,
    /// The unit itself.
    pub unit: Unit,
}

struct Table {
    entries: Vec<UnitEntry>,
    /// Symbols and aliases in their one form. True: for plates only.
    names: HashMap<String, (Unit, bool)>,
    /// Small letters to symbols and aliases; `None` where several units are meant.
    folded: HashMap<String, Option<Unit>>,
    /// Every name that a formula takes, behind its small letters.
    typed: Vec<(String, String)>,
    /// Prefixed units.
    prefixed: HashMap<String, Unit>,
    /// What a dimension proves.
    proved: HashMap<Dimension, Option<Kind>>,
    /// Units with the factor one.
    coherent: HashMap<Dimension, Unit>,
    /// Texts of units in US customary use.
    customary: HashSet<Arc<str>>,
}

/// SI names with what they stand for, made of each other; `active`, `apparent` and `reactive` are tags.
const NAMES: &[(&str, &str)] = &[
    ("N", "kg·m/s²"),
    ("Pa", "N/m²"),
    ("W", "active·N·m/s"),
    ("J", "W·s"),
    ("V", "N·m/(A·s)"),
    ("VA", "apparent·V·A"),
    ("var", "reactive·V·A"),
    ("C", "A·s"),
    ("ohm", "V/A"),
    ("S", "A/V"),
    ("F", "C/V"),
    ("Wb", "V·s"),
    ("H", "Wb/A"),
    ("T", "Wb/m²"),
];

const BASES: &[(&str, Base)] = &[
    ("kg", Base::Mass),
    ("m", Base::Length),
    ("s", Base::Time),
    ("A", Base::Current),
    ("K", Base::Temperature),
    ("$", Base::Dollar),
    ("€", Base::Euro),
    ("£", Base::Pound),
    ("rad", Base::Radian),
    ("rev", Base::Turn),
    ("cycle", Base::Cycle),
    ("active", Base::Active),
    ("apparent", Base::Apparent),
    ("reactive", Base::Reactive),
];

/// Which symbols take which prefixes. Not `min`, `h`, `ft`, `hp`; nothing that reads as another unit.
const PREFIXED: &[(&str, &str)] = &[
    ("m", "µ m c d k"),
    ("g", "µ m k"),
    ("s", "n µ m"),
    ("A", "n µ m k"),
    ("K", "m"),
    ("N", "µ m da k M"),
    ("N·m", "µ m da k M"),
    ("W", "µ m k M G T"),
    ("VA", "m k M G"),
    ("var", "m k M G"),
    ("J", "m k M G T"),
    ("Wh", "m k M G T"),
    ("V", "n µ m k M"),
    ("Ω", "µ m k M G T"),
    ("Ω·m", "n µ m k M"),
    ("H", "n µ m"),
    ("F", "p n µ m"),
    ("S", "n µ m k"),
    ("C", "n µ m k"),
    ("A·h", "m k"),
    ("Wb", "µ m"),
    ("T", "n µ m"),
    ("Hz", "m k M G"),
    ("Pa", "m h k M G"),
    ("bar", "m"),
    ("L", "µ m c d h"),
    ("rad", "µ m"),
];

const PREFIXES: &[(&str, i128, i128)] = &[
    ("p", 1, 1_000_000_000_000),
    ("n", 1, 1_000_000_000),
    ("µ", 1, 1_000_000),
    ("m", 1, 1_000),
    ("c", 1, 100),
    ("d", 1, 10),
    ("da", 10, 1),
    ("h", 100, 1),
    ("k", 1_000, 1),
    ("M", 1_000_000, 1),
    ("G", 1_000_000_000, 1),
    ("T", 1_000_000_000_000, 1),
];

/// More ways in which plates and lists write a unit; not taken in formulas. Common practice, no source.
const PLATES: &[(&str, &str)] = &[
    ("1/min", "r/min"),
    ("/min", "r/min"),
    ("min-1", "r/min"),
    ("U/min", "r/min"),
    ("tr/min", "r/min"),
    ("R.P.M.", "r/min"),
    ("cbm", "m³"),
    ("ft-lbs", "lbf·ft"),
    ("lbs-ft", "lbf·ft"),
    ("lb-fts", "lbf·ft"),
    ("in-lbs", "lbf·in"),
    ("lbs-in", "lbf·in"),
    ("mkg", "kgf·m"),
    ("mkp", "kgf·m"),
    ("H.P.", "hp"),
    ("BHP", "hp"),
    ("volts", "V"),
    ("watts", "W"),
    ("kilowatts", "kW"),
    ("amperes", "A"),
    ("degrees C", "°C"),
    ("deg C", "°C"),
    ("deg F", "°F"),
    ("hrs", "h"),
    ("hrs/yr", "h/yr"),
    ("h/year", "h/yr"),
    ("hours/year", "h/yr"),
];

/// The kind that a unit of this quantity proves. Quantities that are left out prove none: an angle over time may be a shaft's
/// or electrical, a kelvin a point or a difference.
const KINDS: &[(&str, &str)] = &[
    ("length", "length"),
    ("area", "area"),
    ("volume", "volume"),
    ("time", "time"),
    ("plane angle", "angle"),
    ("electrical cycle", "cycles"),
    ("pole count", "poles"),
    ("frequency", "frequency"),
    ("rotational speed", "speed of rotation"),
    ("angular acceleration", "angular acceleration"),
    ("mass", "mass"),
    ("force", "force"),
    ("acceleration", "acceleration"),
    ("torque", "torque"),
    ("moment of inertia", "inertia"),
    ("flywheel effect", "flywheel effect"),
    ("unbalance", "unbalance"),
    ("power active", "power"),
    ("power apparent", "apparent power"),
    ("power reactive", "reactive power"),
    ("power factor", "power factor"),
    ("locked rotor kva ratio", "locked-rotor kVA per hp"),
    ("energy", "energy"),
    ("voltage", "voltage"),
    ("current", "current"),
    ("resistance", "resistance"),
    ("inductance", "inductance"),
    ("capacitance", "capacitance"),
    ("conductance", "conductance"),
    ("charge", "charge"),
    ("magnetic flux", "magnetic flux"),
    ("flux density", "flux density"),
    ("volts per hertz", "volts per hertz"),
    ("speed constant", "speed constant"),
    ("torque constant", "torque constant"),
    ("resistivity", "resistivity"),
    ("resistance per length", "resistance per length"),
    ("temperature difference", "temperature difference"),
    ("temperature coefficient", "temperature coefficient"),
    ("thermal conductance", "thermal conductance"),
    ("thermal resistance", "thermal resistance"),
    ("specific heat", "specific heat"),
    ("speed", "speed"),
    ("volume flow", "volume flow"),
    ("pressure", "pressure"),
    ("density", "density"),
    ("mass per length", "mass per length"),
    ("mass flow", "mass flow"),
    ("stiffness", "stiffness"),
    ("torsional stiffness", "torsional stiffness"),
    ("displacement per rev", "displacement"),
    ("lead", "lead"),
    ("joule integral", "joule integral"),
    ("current density", "current density"),
    ("currency", "cost"),
    ("energy price", "energy price"),
    ("demand price", "demand price"),
    ("emission factor", "emission factor"),
    ("duty", "hours per year"),
    ("annual energy", "annual energy"),
    ("annual cost", "annual cost"),
];

/// Quantities whose dimension is also that of another: proved by the symbol only.
const BY_SYMBOL: [&str; 3] = ["flywheel effect", "annual energy", "annual cost"];

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let names = si_names();
    let mut reader = csv::Reader::from_reader(include_str!("../data/units.csv").as_bytes());
    // A row that cannot be read would be missing; the tests count them.
    let entries: Vec<UnitEntry> = reader.records().filter_map(|row| entry(&row.ok()?, &names)).collect();
    indexed(entries)
});

pub(super) fn entries() -> &'static [UnitEntry] {
    &TABLE.entries
}

/// The unit with this symbol, alias or prefixed symbol, in its one form.
pub(super) fn find(name: &str, plate: bool) -> Option<&'static Unit> {
    match TABLE.names.get(name) {
        Some((unit, for_plates)) if plate || !for_plates => Some(unit),
        Some(_) => None,
        None => TABLE.prefixed.get(name).or_else(|| {
            if plate {
                TABLE.folded.get(&name.to_lowercase())?.as_ref()
            } else {
                None
            }
        }),
    }
}

/// Whether this name is one of plates and lists alone.
pub(super) fn is_of_plates(name: &str) -> bool {
    TABLE.names.get(name).is_some_and(|(_, for_plates)| *for_plates)
}

/// The unit with exactly this symbol.
pub(super) fn symbol(symbol: &str) -> Option<&'static Unit> {
    TABLE.names.get(symbol).map(|(unit, _)| unit)
}

/// The coherent unit with a name of its own.
pub(super) fn coherent(dimension: &Dimension) -> Option<Unit> {
    TABLE.coherent.get(dimension).cloned()
}

/// The kind that this dimension alone proves, whatever the currency.
pub(super) fn proved(dimension: &Dimension) -> Option<Kind> {
    TABLE.proved.get(&dimension.any_currency()?).copied().flatten()
}

/// Whether a unit, or one that it is made of, is in US customary use.
pub(super) fn is_customary(text: &str) -> bool {
    if TABLE.customary.contains(text) {
        return true;
    }
    let met = Cell::new(false);
    let find = |name: &str| {
        let unit = find(name, false)?;
        met.set(met.get() || TABLE.customary.contains(&unit.text));
        Some(compound::Part::from(unit))
    };
    let _ = compound::parts(&one_form(text), &find);
    met.get()
}

/// Symbols near to a name, nearest first.
pub(super) fn near(name: &str) -> Vec<String> {
    let names = TABLE
        .typed
        .iter()
        .map(|(folded, name)| (folded.as_str(), name.as_str()));
    let folded = name.to_lowercase();
    let length = folded.chars().count();
    let near = nearest_folded(name, names, 24);
    let case_alone = near.iter().any(|near| near.to_lowercase() == folded);
    // Of short symbols nearly all are one letter apart: a unit that is meant begins with the same letter.
    let plausible = |near: &str| {
        let near = near.to_lowercase();
        if case_alone {
            return near == folded;
        }
        let same_start = near.chars().next() == folded.chars().next();
        match length {
            0..=2 => same_start && near.chars().count() > length,
            3 => same_start,
            _ => true,
        }
    };
    let mut out: Vec<String> = Vec::new();
    for near in near.into_iter().filter(|near| plausible(near)) {
        // Several aliases of one unit are one offer, under its own text.
        if let Some(unit) = find(near, false)
            && !out.iter().any(|text| **text == *unit.text)
        {
            out.push(unit.text.to_string());
        }
    }
    out.truncate(3);
    out
}

fn si_names() -> HashMap<String, Dimension> {
    let mut names: HashMap<String, Dimension> = HashMap::from([("1".to_owned(), Dimension::NONE)]);
    for (name, base) in BASES {
        names.insert((*name).to_owned(), Dimension::of(*base));
    }
    for (name, text) in NAMES {
        if let Some(dimension) = si_dimension(text, &names) {
            names.insert((*name).to_owned(), dimension);
        }
    }
    names
}

/// Dimension of a coherent unit: `J/(kg·K)`.
fn si_dimension(text: &str, names: &HashMap<String, Dimension>) -> Option<Dimension> {
    let find = |name: &str| {
        Some(compound::Part {
            text: name.to_owned(),
            dimension: *names.get(name)?,
            factor: Factor::one(),
        })
    };
    compound::parts(text, &find).ok().map(|part| part.dimension)
}

fn entry(row: &csv::StringRecord, names: &HashMap<String, Dimension>) -> Option<UnitEntry> {
    let [
        quantity,
        symbol,
        aliases,
        num,
        den,
        pi,
        si_unit,
        source,
        _exact,
        angle,
        used,
    ] = row.iter().collect::<Vec<_>>()[..]
    else {
        return None;
    };
    let quantity = quantity.replace('_', " ");
    let mut dimension = si_dimension(&si_text(si_unit), names)?;
    let pi = Exponent::whole(pi.parse().ok()?);
    let mut factor = Factor::new(num.parse().ok()?, den.parse().ok()?, pi)?;
    if angle == "rev" {
        let times = dimension.get(Base::Radian);
        let turn = Factor::new(2, 1, Exponent::ONE)?;
        factor = factor.div(&turn.pow(times)?);
        dimension = dimension.without(Base::Radian).with(Base::Turn, times);
    }
    let offset = match symbol {
        "°C" => Some(Decimal::new(27315, 2)),
        "°F" => Some(Decimal::new(45967, 2)),
        _ => None,
    };
    let kind = match (quantity.as_str(), symbol) {
        ("temperature point", "°C" | "°F") => Kind::find("temperature"),
        ("pole count", "pole pair") => Kind::find("pole pairs"),
        ("rotational speed", _) if angle != "rev" => None,
        ("energy", "kVAh" | "MVAh") => Kind::find("apparent energy"),
        ("energy", "kvarh" | "Mvarh") => Kind::find("reactive energy"),
        ("demand price", "$/kVA") => Kind::find("apparent demand price"),
        (quantity, _) => KINDS
            .iter()
            .find(|(name, _)| *name == quantity)
            .and_then(|(_, words)| Kind::find(words)),
    };
    let aliases: Vec<String> = aliases
        .split(';')
        .filter(|alias| !alias.is_empty())
        .map(str::to_owned)
        .collect();
    // `in` is also the word for a conversion, and a symbol with a blank does not read as one after a number: an alias stands for
    // them.
    let text = if symbol == "in" || symbol.contains(' ') {
        aliases
            .iter()
            .find(|alias| !for_plates(alias))
            .map_or(symbol, String::as_str)
    } else {
        symbol
    };
    let unit = Unit {
        text: Arc::from(text),
        dimension,
        factor: Arc::new(factor),
        offset,
        kind,
    };
    Some(UnitEntry {
        quantity,
        symbol: symbol.to_owned(),
        aliases,
        si_unit: si_unit.to_owned(),
        source: source.to_owned(),
        customary: used == "US",
        unit,
    })
}

/// `kg.m2/s` as it is written elsewhere: `kg·m²/s`.
fn si_text(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '.' => out.push('·'),
            '2' => out.push('²'),
            '3' => out.push('³'),
            other => out.push(other),
        }
    }
    out
}

/// Whether an alias belongs to plates and lists only: it could not stand after a number in a formula.
fn for_plates(alias: &str) -> bool {
    alias.contains([' ', '"', '\'', '.', '*']) || alias.starts_with('-')
}

fn indexed(entries: Vec<UnitEntry>) -> Table {
    let mut names: HashMap<String, (Unit, bool)> = HashMap::new();
    let mut folded: HashMap<String, Option<Unit>> = HashMap::new();
    let mut proved: HashMap<Dimension, Option<Kind>> = HashMap::new();
    let mut coherent: HashMap<Dimension, Unit> = HashMap::new();
    for entry in &entries {
        let unit = &entry.unit;
        names.insert(one_form(&entry.symbol).into_owned(), (unit.clone(), false));
        if unit.factor.is_one() && unit.offset.is_none() {
            coherent.entry(unit.dimension).or_insert_with(|| unit.clone());
        }
        // Flywheel effect, what is counted by years and scales with their own zero are proved by their symbols only.
        if !BY_SYMBOL.contains(&entry.quantity.as_str()) && unit.offset.is_none() && !unit.dimension.is_none() {
            proved
                .entry(unit.dimension)
                .and_modify(|kind| {
                    if *kind != unit.kind {
                        *kind = None;
                    }
                })
                .or_insert(unit.kind);
        }
    }
    for entry in &entries {
        for alias in &entry.aliases {
            names
                .entry(one_form(alias).into_owned())
                .or_insert_with(|| (entry.unit.clone(), for_plates(alias)));
        }
    }
    for (alias, symbol) in PLATES {
        if let Some((unit, _)) = names.get(*symbol) {
            let unit = unit.clone();
            names.entry((*alias).to_owned()).or_insert((unit, true));
        }
    }
    let prefixed = prefixed(&names);
    for (name, unit) in names.iter().map(|(name, (unit, _))| (name, unit)).chain(&prefixed) {
        folded
            .entry(name.to_lowercase())
            .and_modify(|known| {
                if known.as_ref().is_some_and(|known| known != unit) {
                    *known = None;
                }
            })
            .or_insert_with(|| Some(unit.clone()));
    }
    let in_formulas = names
        .iter()
        .filter(|(_, (_, for_plates))| !for_plates)
        .map(|(name, _)| name);
    let typed = in_formulas
        .chain(prefixed.keys())
        .map(|name| (name.to_lowercase(), name.clone()))
        .collect();
    let customary = entries.iter().filter(|entry| entry.customary);
    let customary = customary.map(|entry| entry.unit.text.clone()).collect();
    Table {
        entries,
        names,
        folded,
        typed,
        prefixed,
        proved,
        coherent,
        customary,
    }
}

fn prefixed(names: &HashMap<String, (Unit, bool)>) -> HashMap<String, Unit> {
    let mut out = HashMap::new();
    for (symbol, prefixes) in PREFIXED {
        let Some((unit, _)) = names.get(*symbol) else {
            continue;
        };
        for (prefix, num, den) in PREFIXES {
            if !prefixes.split(' ').any(|allowed| allowed == *prefix) {
                continue;
            }
            let Some(times) = Factor::new(*num, *den, Exponent::ZERO) else {
                continue;
            };
            let text = format!("{prefix}{symbol}");
            let factor = Arc::new(unit.factor.mul(&times));
            let made = Unit {
                text: Arc::from(text.as_str()),
                factor,
                ..unit.clone()
            };
            // A listed symbol or alias of that name comes first: `Mg` is the tonne.
            if !names.contains_key(&text) {
                if *prefix == "µ" {
                    out.insert(format!("u{symbol}"), made.clone());
                }
                out.insert(text, made);
            }
        }
    }
    out
}
