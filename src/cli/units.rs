//! `units [WORD]`

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed as _, ToPrimitive as _, Zero as _};

use super::Status;
use super::terminal::Terminal;
use crate::handover::page::Ink;
use crate::handover::page::table::{Align, Cell, Column, Table};
use crate::quantity::nearest::nearest;
use crate::quantity::show::{self, Rounding};
use crate::quantity::{Exponent, Factor, Kind, Number, Unit, UnitEntry};

/// Lists units and kinds that have to do with a word, or all.
pub fn run(terminal: &Terminal, word: Option<&str>) -> Status {
    let word = word.map_or("", str::trim);
    let kinds: Vec<Kind> = Kind::all()
        .filter(|kind| kind.words().contains(word.to_lowercase().as_str()))
        .collect();
    let mut entries: Vec<&UnitEntry> = Unit::search(word);
    // Units of a kind are found by the kind's name too: "slip" has none in the table, "shaft power" has all of power.
    if entries.is_empty() {
        let dimensions: Vec<_> = kinds.iter().map(|kind| Unit::usual(*kind, false).dimension).collect();
        entries = Unit::all()
            .filter(|entry| dimensions.contains(&entry.unit.dimension))
            .collect();
    }
    let compound = Unit::parse(word)
        .ok()
        .filter(|unit| !word.is_empty() && !entries.iter().any(|e| e.unit.text == unit.text));
    if kinds.is_empty() && entries.is_empty() && compound.is_none() {
        terminal.complain(
            &format!("no unit and no kind of quantity is called {word}"),
            Some(&what_else(word)),
        );
        return Status::Usage;
    }
    let mut out: Vec<String> = Vec::new();
    if let Some(unit) = &compound {
        out.push(format!(
            "{} = {}",
            Ink::Strong.on(&unit.text, terminal.colour),
            size(unit)
        ));
        if let Some(kind) = unit.kind {
            out.push(format!("a unit of {}", kind.words()));
        }
    }
    if !entries.is_empty() {
        out.extend(gap(&out));
        out.extend(units(&entries, terminal));
    }
    if !kinds.is_empty() {
        out.extend(gap(&out));
        out.extend(table_of_kinds(&kinds, terminal));
    }
    terminal.print(&format!("{}\n", out.join("\n")))
}

fn gap(out: &[String]) -> Option<String> {
    (!out.is_empty()).then(String::new)
}

fn what_else(word: &str) -> String {
    let fault = Unit::parse(word).err();
    if let Some(reason) = fault.as_ref().and_then(|f| f.reason.clone()) {
        return reason;
    }
    let mut near: Vec<String> = fault.map(|f| f.nearest).unwrap_or_default();
    near.extend(
        nearest(word, Kind::all().map(Kind::words), 3)
            .into_iter()
            .map(str::to_owned),
    );
    if near.is_empty() {
        "polepair units lists all of them".to_owned()
    } else {
        format!("did you mean {}?", near.join(" or "))
    }
}

pub(super) fn heading(words: &[&str]) -> Vec<Cell> {
    words.iter().map(|word| Cell::new(*word, Ink::Faint)).collect()
}

fn units(entries: &[&UnitEntry], terminal: &Terminal) -> Vec<String> {
    let mut rows = vec![heading(&["unit", "also written", "of", "is", "source"])];
    rows.extend(entries.iter().map(|entry| {
        vec![
            Cell::new(&*entry.symbol, Ink::Strong),
            Cell::new(entry.aliases.join(", "), Ink::Plain),
            Cell::new(&*entry.quantity, Ink::Plain),
            Cell::new(size(&entry.unit), Ink::Plain),
            Cell::new(&*entry.source, Ink::Faint),
        ]
    }));
    let columns = vec![
        Column::firm(Align::Left),
        Column::soft(12),
        Column::soft(12),
        Column::soft(16),
        Column::soft(18),
    ];
    lines(columns, rows, terminal)
}

fn table_of_kinds(kinds: &[Kind], terminal: &Terminal) -> Vec<String> {
    let mut rows = vec![heading(&[
        "kind",
        "usual unit",
        "in US use",
        "what it is",
        "for example",
    ])];
    rows.extend(kinds.iter().map(|kind| {
        let entry = kind.entry();
        vec![
            Cell::new(entry.words, Ink::Strong),
            Cell::new(plain_words(entry.si), Ink::Plain),
            Cell::new(plain_words(entry.us), Ink::Plain),
            Cell::new(entry.help, Ink::Plain),
            Cell::new(entry.example, Ink::Faint),
        ]
    }));
    let columns = vec![
        Column::firm(Align::Left),
        Column::firm(Align::Left),
        Column::firm(Align::Left),
        Column::soft(24),
        Column::soft(10),
    ];
    lines(columns, rows, terminal)
}

fn plain_words(unit: &str) -> &str {
    if unit == "1" { "(a number)" } else { unit }
}

/// A table with one line of headings.
pub(super) fn lines(columns: Vec<Column>, rows: Vec<Vec<Cell>>, terminal: &Terminal) -> Vec<String> {
    let table = Table {
        left: columns.len(),
        columns,
        right: 0,
        headings: 1,
        rows,
    };
    table.lines(terminal.width, 0, terminal.colour)
}

/// What a unit is in coherent units: `745.69987158227022 W`, `1/60 rev/s`, `(x + 273.15) K`.
fn size(unit: &Unit) -> String {
    let coherent = Unit::coherent(&unit.dimension);
    let name = if coherent.is_plain() {
        String::new()
    } else {
        format!(" {}", coherent.text)
    };
    let factor = factor_text(&unit.factor);
    match unit.offset {
        Some(offset) if unit.factor.is_one() => format!("(value + {offset}){name}"),
        Some(offset) => format!("(value + {offset}) · {factor}{name}"),
        None => format!("{factor}{name}"),
    }
}

/// An exact factor: as a decimal where it ends within twenty digits, as a fraction otherwise, with its power of π.
fn factor_text(factor: &Factor) -> String {
    let number = ratio_text(&factor.ratio());
    let number = match factor.root() {
        1 => number,
        root => format!("({number})^(1/{root})"),
    };
    let pi = match factor.pi() {
        p if p.is_zero() => return number,
        p if p == Exponent::ONE => "π".to_owned(),
        p if p.den() == 1 => format!("π^{}", p.num()),
        p => format!("π^({}/{})", p.num(), p.den()),
    };
    if number == "1" { pi } else { format!("{number} · {pi}") }
}

fn ratio_text(ratio: &BigRational) -> String {
    let ten = BigInt::from(10);
    let mut scaled = ratio.clone();
    let mut places = 0_usize;
    while !scaled.is_integer() && places < 20 {
        scaled *= &ten;
        places += 1;
    }
    let digits = scaled.numer().abs().to_string();
    if !scaled.is_integer() || digits.len() > 22 {
        let fraction = format!("{}/{}", ratio.numer(), ratio.denom());
        if fraction.len() <= 12 {
            return fraction;
        }
        // A fraction of many digits tells nobody anything; the dots say that the digits go on.
        let near = Number::Float(ratio.to_f64().unwrap_or(0.0));
        return format!("{}…", show::number(&near, Some(&Rounding::Digits(10))));
    }
    let sign = if ratio.is_negative() { "-" } else { "" };
    if places == 0 || ratio.is_zero() {
        return format!("{sign}{digits}");
    }
    let padded = format!("{digits:0>width$}", width = places + 1);
    let (whole, fraction) = padded.split_at(padded.len() - places);
    format!("{sign}{whole}.{fraction}")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// From the definitions: hp = 550 ft·lbf/s; rev/min and pole as design of the table; °F from its definition.
    #[test]
    fn sizes_are_exact() {
        let told = |symbol: &str| size(&Unit::parse(symbol).unwrap());
        assert_eq!(told("kW"), "1000 W");
        assert_eq!(told("hp"), "745.69987158227022 W");
        assert_eq!(told("r/min"), "1/60 r/s");
        assert_eq!(told("deg"), "1/180 · π rad");
        assert_eq!(told("%"), "0.01");
        assert_eq!(told("°C"), "(value + 273.15) K");
        assert_eq!(told("BTU/h"), "0.2930710702… W");
        assert_eq!(told("°F"), "(value + 459.67) · 5/9 K");
    }
}
