//! Copy and paste: tab-separated text with units, for here and for other programs.
//!
//! Always: a copied place pasted here types what stood there, be it wrong; a tab or a line end inside a text is put in quotes.
//! Not known here: the clipboard itself.

use super::arrange::{At, Plan};
use super::spot::{Field, Seen};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::System;
use crate::recalc::Showing;

/// The chosen places as text: values with their units, formulas as typed.
pub fn text(seen: Seen<'_>, plan: &Plan, (first, last): (At, At)) -> String {
    let mut lines = Vec::new();
    // A line under a group holds nothing of its own.
    for line in (first.line..=last.line).filter(|line| plan.group(*line).is_none()) {
        let cells: Vec<String> = (first.column..=last.column)
            .map(|column| cell(seen, plan, At { line, column }))
            .collect();
        lines.push(cells.join("\t"));
    }
    lines.join("\n")
}

fn cell(seen: Seen<'_>, plan: &Plan, at: At) -> String {
    let Some(spot) = plan.spot(at) else {
        return String::new();
    };
    let Some(quantity) = seen.quantity(spot.quantity) else {
        return String::new();
    };
    let showing = Showing::of(quantity, seen.system);
    let text = match spot.field {
        Field::Value(item) => {
            let typed = quantity.role == crate::workbook::Role::Given;
            match quantity.cells.get(item) {
                // A given goes as it was typed, where it is shown so; a result as its value.
                Some(Outcome::Value(_))
                    if typed
                        && !showing.is_brought()
                        && (seen.system == System::AsWritten || quantity.typed_as(item).is_none()) =>
                {
                    seen.typed(spot)
                }
                // In another unit it takes its tolerance along.
                Some(outcome @ Outcome::Value(Value::Number(_))) if typed => {
                    showing.copied_within(outcome, quantity.band(item).map(|band| &**band))
                }
                Some(outcome @ Outcome::Value(_)) => match &quantity.sort {
                    Sort::Text | Sort::Choice(_) | Sort::Truth => seen.shown(spot, false).text,
                    _ => showing.copied(outcome),
                },
                // What failed has no value, but what was typed there is not to be lost.
                Some(Outcome::Fault(_)) if typed || quantity.own.contains(&item) || seen.is_whole(spot) => {
                    seen.typed(spot)
                }
                _ => String::new(),
            }
        }
        _ => seen.typed(spot),
    };
    if text.contains(['\t', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// A text from the clipboard as lines of cells.
pub fn cells(text: &str) -> Vec<Vec<String>> {
    let mut out: Vec<Vec<String>> = vec![vec![String::new()]];
    let mut letters = text.trim_end_matches(['\n', '\r']).chars().peekable();
    let mut quoted = false;
    while let Some(letter) = letters.next() {
        let Some(row) = out.last_mut() else { break };
        let Some(cell) = row.last_mut() else { break };
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                let _ = letters.next();
                cell.push('"');
            }
            '"' if quoted => quoted = false,
            // Only a text with a line end or a tab in it was put in quotes by a copy.
            '"' if cell.is_empty() && closes_after_break(&letters) => quoted = true,
            '\t' if !quoted => row.push(String::new()),
            '\r' if !quoted => {}
            '\n' if !quoted => out.push(vec![String::new()]),
            letter => cell.push(letter),
        }
    }
    out
}

/// Whether a quoted text that begins here has a tab or line end before its closing quote.
fn closes_after_break(rest: &std::iter::Peekable<std::str::Chars<'_>>) -> bool {
    let mut broken = false;
    for letter in rest.clone() {
        match letter {
            '"' => return broken,
            '\t' | '\n' => broken = true,
            _ => {}
        }
    }
    false
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::session::Session;
    use crate::window::arrange::Arrangement;

    #[test]
    fn cells_of_a_table_from_elsewhere() {
        assert_eq!(cells("1\t2 kW\r\n3\t\r\n"), [["1", "2 kW"], ["3", ""]]);
        assert_eq!(cells("\"a\tb\"\tc"), [["a\tb", "c"]]);
        assert_eq!(cells("\"star\"\tc"), [["\"star\"", "c"]]);
        assert_eq!(cells(""), [[""]]);
    }

    /// In units of a system a given takes its limits along and can be typed with them. 1 hp is 550 ft·lbf/s, which is
    /// 0.745 699 871 6 kW (NIST SP 811, appendix B.8): 15 kW ± 1.5 kW are 20.1153 hp, from 18.1038 hp to 22.1269 hp.
    #[test]
    fn what_is_copied_in_other_units_keeps_its_tolerance() {
        let open = |text: &str| Session::open(&format!("polepair 1\nsheet a\n  given P = {text} : shaft power\n"));
        let session = open("15 kW ± 10 %");
        let seen = Seen::of(&session, 0).unwrap().shown_in(System::Us);
        let plan = Plan::of(seen, &Arrangement::default());
        let at = At { line: 0, column: 2 };
        let copied = text(seen, &plan, (at, at));
        assert_eq!(copied, "20.11533134 hp limits 18.10379821 hp … 22.12686448 hp");
        let typed = open(&copied);
        assert!(typed.results().faults.is_empty(), "{:?}", typed.results().faults);
        let quantity = &typed.results().sheets.first().unwrap().quantities.first().unwrap();
        let band = quantity.band(0).unwrap();
        assert!((band.low - 18.103_798_21).abs() < 1e-9 && (band.high - 22.126_864_48).abs() < 1e-9);
    }

    /// All values of a row leave in the unit they are shown in: 60 m³/h are 1000 L/min, of 3.785 411 784 L each (NIST SP 811, appendix
    /// B.8) 264.172 05 gpm; what was worked goes with six digits.
    #[test]
    fn a_row_goes_in_one_unit() {
        let session = Session::open("polepair 1\nsheet a\n  cases x | y\n  given Q = 400 gpm | 60 m³/h\n");
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        let copied = |system| {
            let at = |column| At { line: 0, column };
            text(seen.shown_in(system), &plan, (at(2), at(3)))
        };
        assert_eq!(copied(System::AsWritten), "400 gpm\t60 m³/h");
        assert_eq!(copied(System::Us), "400 gpm\t264.172 gpm");
    }

    #[test]
    fn values_go_with_their_units() {
        let session =
            Session::open("polepair 1\nsheet a\n  given P = 15 kW\n  given Q = 20 hp\n  work S = P + Q in kW\n");
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        let at = |line, column| At { line, column };
        assert_eq!(text(seen, &plan, (at(0, 1), at(1, 2))), "P\t15 kW\nQ\t20 hp");
        // 20 hp are 14.914 kW (NIST SP 811, appendix B: 745.699 9 W each).
        let sum = text(seen, &plan, (at(2, 2), at(2, 2)));
        assert!(sum.starts_with("29.91") && sum.ends_with(" kW"), "{sum}");
    }
}
