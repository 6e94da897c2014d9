//! A list of groups with subtotals, as text of a workbook: one row for each value of a quantity.
//!
//! Always: every sum says what it adds up. Where the list says how many motors a row stands for, sums count them all, as printed
//! totals are compared; a row that does not say it stands for one.
//! Not known here: the screen.

use std::collections::HashSet;

use super::conditions;
use super::spot::{Seen, fresh};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::plates::list::{BEST_LOAD, counts_motors};
use crate::quantity::{Family, Stage};
use crate::recalc::QuantityResults;
use crate::session::Session;
use crate::workbook::text::quoted;
use crate::workbook::{Role, Sheet, Statement};

/// The list of groups of the list in sight by a quantity, of the rows where a condition holds, and how its sums count.
pub fn text(seen: Seen<'_>, by: &QuantityResults, only: Option<&str>) -> (String, String) {
    let list = &seen.sheet.name;
    let sheets = &seen.session.workbook().sheets;
    let name = fresh(&format!("{list}_by_{}", by.name), |name| {
        sheets.iter().any(|sheet| &*sheet.name == name)
    });
    let quantities = &seen.results.quantities;
    // Grouped by the number itself, its name would mean the group's.
    let mut counts = quantities.iter().filter(|quantity| counts_motors(quantity));
    let number = counts
        .find(|quantity| quantity.name != by.name)
        .map(|quantity| &*quantity.name);
    let shown = only.map_or(String::new(), |only| format!(", only rows where {only}"));
    let title = quoted(&format!("{} by {}{shown}", seen.results.heading(), said_of(by)));
    let mut text = format!("list {name} = groups of {list} by {} {title}\n", by.name);
    let this = this_group(list, &by.name, only);
    let mut work = |name: &str, formula: String, unit: &str, title: &str| {
        let title = quoted(title);
        text.push_str(&format!("  work {name} = {formula}{unit} {title}\n"));
    };
    work(ROWS, format!("count({list} {this})"), "", "Rows");
    if let Some(number) = number {
        let formula = format!("sum({number} else 1 for {list} {this})");
        work(MOTORS, formula, "", "Motors; a row without a number is one");
    }
    for quantity in quantities {
        let Sort::Quantity { unit, .. } = &quantity.sort else {
            continue;
        };
        if !adds(quantity) || quantity.name == by.name {
            continue;
        }
        let q = &quantity.name;
        let (each, how) = match number {
            Some(number) => (format!("{q} * ({number} else 1)"), format!("each row times {number}")),
            None => (q.to_string(), "each row once".to_owned()),
        };
        let what = if quantity.title.is_empty() {
            q
        } else {
            quantity.title.as_str()
        };
        let formula = format!("sum({each} for {list} {this})");
        work(
            &format!("{q}_sum"),
            formula,
            &format!(" in {}", unit.text),
            &format!("{what}, {how}"),
        );
    }
    // A load is no sum: that of a group is what its motors give, over what they are rated for.
    let power = quantities.iter().find(|quantity| is_rating(quantity));
    let load = quantities.iter().find_map(|quantity| match &quantity.sort {
        Sort::Quantity { unit, .. } if *quantity.name == *BEST_LOAD && is_load(quantity) => Some((quantity, unit)),
        _ => None,
    });
    if let (Some(power), Some((load, unit))) = (power, load) {
        let (q, p) = (&load.name, &power.name);
        let (motors, how) = match number {
            Some(number) => (format!(" * ({number} else 1)"), format!("each row times {number}")),
            None => (String::new(), "each row once".to_owned()),
        };
        let known = format!("for {list} {this} and known({list}.{q})");
        // A group without a known load has none.
        let any = format!("count({list} {this} and known({list}.{q})) > 0");
        // Above the stroke rows without a load are left out too, and the value says of how many rows it is.
        let formula = format!("sum({q} * {p}{motors} for {list} {this}) / sum({p}{motors} {known}) when {any}");
        let what = if load.title.is_empty() { q } else { load.title.as_str() };
        let title = format!("{what}, mean by {p} of the rows that have one, {how}");
        let [_, mean] = over(q);
        work(&mean, formula, &format!(" in {}", unit.text), &title);
    }
    let told = match number {
        Some(number) => format!("Sums count each row times {number}; a row without a number counts once."),
        None => "Sums count each row once.".to_owned(),
    };
    let told = match only {
        Some(only) => format!("{told} They are of the rows where {only} alone."),
        None => told,
    };
    (text, told)
}

/// Groups that are made although most rows would stand in one alone.
const MANY: usize = 1_000;

/// Why rows are not grouped by a quantity: nearly each would be a group of its own.
pub fn refused(by: &QuantityResults) -> Option<String> {
    let cells = by.cells.iter();
    let values = cells.filter_map(|cell| match cell {
        Outcome::Value(Value::Text(text)) => Some((Some(&**text), 0)),
        Outcome::Value(Value::Number(number)) => Some((None, number.to_f64().to_bits())),
        _ => None,
    });
    let (mut rows, mut groups) = (0, HashSet::new());
    for value in values {
        rows += 1;
        let _ = groups.insert(value);
    }
    let groups = groups.len();
    (groups > MANY && 2 * groups > rows).then(|| {
        format!(
            "{} has {groups} different values in {rows} rows: nearly each row would be a group of its own. Choose a column whose values \
             many rows share, such as an area or a rating.",
            by.name
        )
    })
}

/// The condition of the rows of a group. A row without a value is in none, and not in each perhaps.
fn this_group(list: &str, by: &str, only: Option<&str>) -> String {
    format!("where known({list}.{by}) and {}", in_group(list, by, only))
}

/// What of that condition tells one list of groups from another.
fn in_group(list: &str, by: &str, only: Option<&str>) -> String {
    let of_group = format!("{list}.{by} = here.{by}");
    match only {
        Some(only) => format!("{of_group} and ({})", conditions::said_of(list, by, only)),
        None => of_group,
    }
}

/// How many rows a group has.
pub const ROWS: &str = "number_of_rows";
/// How many motors stand in the rows of a group.
pub const MOTORS: &str = "number_of_motors";

/// Whether a quantity says how many motors a row stands for.
pub fn counts(quantity: &QuantityResults) -> bool {
    counts_motors(quantity)
}

/// What a list of groups may say over the values of a quantity.
pub fn over(name: &str) -> [String; 2] {
    [format!("{name}_sum"), format!("{name}_mean")]
}

/// Whether what a list of groups says under this name is no sum.
pub fn is_mean(name: &str) -> bool {
    name.ends_with("_mean")
}

/// What a quantity is called within a sentence: its label, else its symbol.
fn said_of(quantity: &QuantityResults) -> String {
    let title = &quantity.title;
    let mut letters = title.chars();
    match (letters.next(), letters.next()) {
        (None, _) => quantity.name.to_string(),
        // Capitals of an abbreviation stay.
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(title.chars().skip(1)).collect()
        }
        _ => title.clone(),
    }
}

/// The list of groups of a list by a quantity, of the rows where a condition holds, where the workbook has one.
pub fn list_of(session: &Session, list: &str, by: &str, only: Option<&str>) -> Option<usize> {
    let bare = |text: &str| text.split_whitespace().collect::<String>();
    let this = bare(&in_group(list, by, only));
    let narrowed = format!("here.{by}and(");
    let is_of = |sheet: &Sheet| {
        let mut lines = sheet.lines.iter().map(|line| bare(&line.text));
        match only {
            Some(_) => lines.any(|line| line.contains(&this)),
            None => !lines.any(|line| line.contains(&narrowed)),
        }
    };
    session
        .workbook()
        .sheets
        .iter()
        .position(|sheet| match &sheet.opening.statement {
            Statement::Opening {
                groups: Some((of, known)),
            } => **of == *list && **known == *by && is_of(sheet),
            _ => false,
        })
}

/// Whether a quantity is what a motor is rated for.
fn is_rating(quantity: &QuantityResults) -> bool {
    let Sort::Quantity { kind: Some(kind), .. } = &quantity.sort else {
        return false;
    };
    quantity.role == Role::Given && matches!(kind.family(), Family::Power { role: Stage::Shaft })
}

/// Whether a quantity is a share of what a motor is rated for.
fn is_load(quantity: &QuantityResults) -> bool {
    matches!(&quantity.sort, Sort::Quantity { kind: Some(kind), .. } if kind.family() == Family::Load)
}

/// Whether values of a quantity add up: powers, energies, money, masses.
fn adds(quantity: &QuantityResults) -> bool {
    let Sort::Quantity { kind: Some(kind), .. } = &quantity.sort else {
        return false;
    };
    matches!(
        kind.family(),
        Family::Power { .. }
            | Family::Energy
            | Family::Cost
            | Family::Mass
            | Family::ApparentPower
            | Family::ReactivePower
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::workbook::change::Change;

    const TEXT: &str = "polepair 1
list motors
  given tag : text
  given area : text
  given P_r in kW : rated power \"Rated power\"
  given number : number \"Motors in this row\"
  rows tag | area | P_r | number
    \"a\" | \"N\" | 10 kW | 3
    \"b\" | \"N\" | 5 kW |
    \"c\" | \"S\" | 2 kW | 2
";

    fn grouped(book: &str, by: usize) -> (Vec<(String, String, Vec<f64>)>, String) {
        let (session, told) = with_groups(book, by);
        let quantities = session.results().sheets[1].quantities.iter().map(|quantity| {
            let cells = quantity
                .cells
                .iter()
                .filter_map(|cell| Some(cell.as_number()?.to_f64()));
            (quantity.name.to_string(), quantity.title.clone(), cells.collect())
        });
        (quantities.collect(), told)
    }

    fn with_groups(book: &str, by: usize) -> (Session, String) {
        let mut session = Session::open(book);
        let (text, told) = {
            let seen = Seen::of(&session, 0).unwrap();
            text(seen, seen.quantity(by).unwrap(), None)
        };
        let change = Change::InsertSheet {
            at: 1,
            text: text.into(),
        };
        let _ = session.apply(crate::session::Command::one("group", change)).unwrap();
        assert!(session.results().faults.is_empty(), "{:?}", session.results().faults);
        (session, told)
    }

    /// By hand: of three motors in the group two have a load, and one of no area is in no group. (80 % · 10 kW + 40 % · 5 kW) / 15 kW.
    #[test]
    fn a_mean_of_fewer_rows_says_so_and_a_row_of_no_group_is_in_none() {
        let book = TEXT
            .replace("  rows tag", "  given load in % : load\n  rows tag")
            .replace("| number\n", "| number | load\n")
            .replace("10 kW | 3", "10 kW | 1 | 80 %")
            .replace("5 kW |", "5 kW | 1 | 40 %")
            .replace(
                "2 kW | 2",
                "2 kW | 1 | 50 %\n    \"d\" | \"N\" | 9 kW | 1 |\n    \"e\" | | 3 kW | 1 | 90 %",
            );
        let (session, _) = with_groups(&book, 1);
        let groups = &session.results().sheets[1];
        let at = groups.items.iter().position(|name| &**name == "N").unwrap();
        let of = |name: &str| {
            let quantity = groups.quantities.iter().find(|known| &*known.name == name).unwrap();
            (quantity.cells[at].as_number().unwrap().to_f64(), quantity.note(at))
        };
        assert_eq!(of("number_of_rows"), (3.0, None));
        assert_eq!(of("P_r_sum"), (24.0, None));
        let (mean, note) = of("load_mean");
        assert!((mean - 1000.0 / 15.0).abs() < 1e-9, "{mean}");
        assert_eq!(note.as_deref(), Some("2 of 3 rows"));
    }

    /// By hand: 10 kW · 3 + 5 kW · 1 are 35 kW, 2 kW · 2 are 4 kW.
    #[test]
    fn sums_count_all_motors_of_a_row() {
        let (made, told) = grouped(TEXT, 1);
        let of = |name: &str| made.iter().find(|(known, ..)| known == name).unwrap().clone();
        assert_eq!(of("number_of_rows").2, [2.0, 1.0]);
        assert_eq!(of("number_of_motors").2, [4.0, 2.0]);
        let (_, title, values) = of("P_r_sum");
        assert_eq!(
            (title.as_str(), values),
            ("Rated power, each row times number", vec![35.0, 4.0])
        );
        assert!(told.contains("times number"), "{told}");
    }

    /// By hand: (3 · 10 kW · 80 % + 5 kW · 40 %) / (3 · 10 kW + 5 kW) are 26 / 35, 74.29 %; a motor without a load is in neither sum.
    #[test]
    fn the_load_of_a_group_goes_by_ratings() {
        let book = TEXT
            .replace("  rows tag", "  given load in % : load\n  rows tag")
            .replace("| number\n", "| number | load\n")
            .replace("10 kW | 3", "10 kW | 3 | 80 %")
            .replace("5 kW |", "5 kW | | 40 %")
            .replace(
                "2 kW | 2",
                "2 kW | 2 | 50 %\n    \"d\" | \"S\" | 9 kW | 1 |\n    \"e\" | \"W\" | 3 kW | 1 |",
            );
        let (made, _) = grouped(&book, 1);
        let (_, title, values) = made.iter().find(|(known, ..)| known == "load_mean").unwrap().clone();
        assert!(title.contains("mean by P_r"), "{title}");
        assert!(
            // The last group has no load, and that is no fault.
            values.len() == 2 && (values[0] - 2600.0 / 35.0).abs() < 1e-9 && (values[1] - 50.0).abs() < 1e-9,
            "{values:?}"
        );
    }

    /// By hand: 10 kW + 5 kW are 15 kW. A plain number that counts something else is none of motors.
    #[test]
    fn without_a_number_of_motors_each_row_counts_once() {
        for other in ["hours : running hours", "spares : number \"Spare bearings\""] {
            let name = other.split(' ').next().unwrap();
            let line = format!("given {other}");
            let book = TEXT
                .replace("given number : number \"Motors in this row\"", &line)
                .replace("| number\n", &format!("| {name}\n"))
                .replace("10 kW | 3", "10 kW |")
                .replace("2 kW | 2", "2 kW |");
            let (made, told) = grouped(&book, 1);
            let (_, title, values) = made.iter().find(|(known, ..)| known == "P_r_sum").unwrap().clone();
            assert_eq!(
                (title.as_str(), values),
                ("Rated power, each row once", vec![15.0, 2.0])
            );
            assert_eq!(told, "Sums count each row once.");
        }
    }

    /// Tags that all differ make no groups; of 1 500 values twice each, and of few rows that differ, there are some.
    #[test]
    fn a_column_of_which_nearly_all_values_differ_makes_no_groups() {
        let of = |rows: usize, values: usize| {
            let rows: String = (0..rows)
                .map(|row| format!("    \"M-{}\" | {} kW\n", row % values, row % values))
                .collect();
            let book = format!("polepair 1\nlist m\n  given tag : text\n  given P in kW\n  rows tag | P\n{rows}");
            let session = Session::open(&book);
            let quantities = &session.results().sheets[0].quantities;
            [refused(&quantities[0]), refused(&quantities[1])]
        };
        for words in of(1_200, 1_200) {
            let words = words.unwrap();
            assert!(words.contains("1200 different values in 1200 rows"), "{words}");
        }
        assert_eq!(of(3_000, 1_500), [None, None]);
        assert_eq!(of(900, 900), [None, None]);
    }
}
