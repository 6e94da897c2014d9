//! The way to every result: formula, the same with numbers and units, result, and the inputs it rests on.

use crate::language::work::Outcome;
use crate::recalc::{QuantityResults, RestsOn, Results, SheetResults, Trace};

use crate::workbook::Role;

use super::table::Ink;
use super::{Look, hang, one_line, sheet, source_words};

/// Rows of a list up to which each is told.
const ROWS_TOLD: usize = 60;
/// Rows told of a longer list.
const ROWS_HEAD: usize = 10;

/// Gives the way to a cell: sheet, quantity and item as positions in the results.
pub type TraceOf<'a> = dyn Fn(usize, usize, usize) -> Option<Trace> + 'a;

/// The ways to all results, sheet by sheet.
pub fn traces(results: &Results, trace: &TraceOf<'_>, look: &Look<'_>) -> String {
    let mut out: Vec<String> = Vec::new();
    for (at, sheet) in results.sheets.iter().enumerate() {
        let mut lines = Vec::new();
        for (index, quantity) in sheet.quantities.iter().enumerate() {
            line(&mut lines, sheet, quantity, &|item| trace(at, index, item), look);
        }
        if !lines.is_empty() {
            out.push(String::new());
            sheet::heading(&mut out, sheet, Some("The way to the results"), look);
            out.extend(lines);
        }
    }
    let mut text = out.join("\n");
    text.push('\n');
    text
}

/// One line of the sheet for all its items.
fn line(
    out: &mut Vec<String>,
    sheet: &SheetResults,
    quantity: &QuantityResults,
    trace: &dyn Fn(usize) -> Option<Trace>,
    look: &Look<'_>,
) {
    let total = quantity.cells.len();
    let told = if total <= ROWS_TOLD { total } else { ROWS_HEAD };
    let mut formula = None;
    let mut rests = String::new();
    let mut said = None;
    let mut tables = Vec::new();
    let mut first = true;
    for item in 0..told {
        let Some(way) = trace(item) else { continue };
        // A given that is a number as typed is no way to anything; it is named where something rests on it.
        if quantity.role == Role::Given && way.substituted == way.formula {
            continue;
        }
        if std::mem::take(&mut first) {
            let title = one_line(&quantity.title);
            let gap = if title.is_empty() { "" } else { "  " };
            out.push(format!(
                "  {}{gap}{title}",
                Ink::Strong.on(&one_line(&quantity.name), look.colour)
            ));
        }
        if formula.as_ref() != Some(&way.formula) {
            let is = if way.sought { "      " } else { "      = " };
            hang(out, is, &one_line(&way.formula), look.width);
            if let Some(rearranged) = &way.rearranged {
                hang(out, "      so ", &one_line(rearranged), look.width);
            }
            formula = Some(way.formula.clone());
        }
        let name = sheet.items.get(item).map_or(String::new(), |name| one_line(name));
        let mark = if name.is_empty() {
            "      = ".to_owned()
        } else {
            format!("    {name}  = ")
        };
        let numbers = one_line(&way.substituted);
        let result = match quantity.cells.get(item) {
            Some(Outcome::Blank(why)) => {
                let why = one_line(why);
                format!("not worked: {}", why.strip_prefix("not worked: ").unwrap_or(&why))
            }
            Some(Outcome::Fault(fault)) => format!("fault: {}", one_line(&fault.message)),
            _ => one_line(&way.result),
        };
        // A formula without names, or with one alone, says the same twice; then the numbers are left out.
        let text = if numbers.is_empty() || numbers == one_line(&way.formula) || numbers == result {
            result
        } else if way.sought && way.rearranged.is_none() {
            format!("{result}, so that {numbers}")
        } else {
            format!("{numbers} = {result}")
        };
        hang(out, &mark, &text, look.width);
        // What a definition stands for is the same in every row: once is enough.
        if let Some(note) = way.note.as_ref().filter(|note| said.as_ref() != Some(*note)) {
            hang(out, "        ", &one_line(note), look.width);
        }
        said.clone_from(&way.note);
        let from: Vec<String> = way.tables.iter().map(|table| one_line(&table.words())).collect();
        if from != tables {
            for table in &from {
                hang(out, "        from ", table, look.width);
            }
            tables = from;
        }
        let now = rests_on(sheet, item, &way.rests_on);
        if now != rests && !now.is_empty() {
            let start = out.len();
            hang(out, "        rests on ", &now, look.width);
            for line in out.iter_mut().skip(start) {
                *line = Ink::Faint.on(line, look.colour);
            }
        }
        rests = now;
    }
    if told < total && !first {
        let all = look.file.map_or(String::new(), |file| {
            format!("; all of them: polepair export {file} --to all.json")
        });
        out.push(format!("    … {} more{all}", total - told));
    }
}

/// `Q 60 m³/h (measured "2 March"), eta 71 % (maker)`
fn rests_on(sheet: &SheetResults, item: usize, inputs: &[RestsOn]) -> String {
    let told: Vec<String> = inputs
        .iter()
        .map(|input| {
            let mut name = one_line(&input.name);
            if input.sheet != sheet.name {
                name = format!("{}.{name}", one_line(&input.sheet));
            }
            let same = input
                .item
                .as_ref()
                .is_none_or(|key| key.is_empty() || sheet.items.get(item) == Some(key));
            if let (false, Some(key)) = (same, &input.item) {
                name.push_str(&format!(" of {}", one_line(key)));
            }
            let from = input
                .source
                .as_ref()
                .map_or(String::new(), |source| format!(" ({})", source_words(source)));
            format!("{name} {}{from}", one_line(&input.value))
        })
        .collect();
    told.join(", ")
}
