//! How faults of several items are told.

use polepair::recalc::Engine;
use polepair::workbook::text::read;

fn told(text: &str) -> Vec<(Option<String>, String, Option<String>)> {
    let engine = Engine::new(read(text));
    let faults = engine.results().faults.iter();
    faults
        .map(|placed| {
            (
                placed.item.clone(),
                placed.fault.message.clone(),
                placed.fault.help.clone(),
            )
        })
        .collect()
}

#[test]
fn cases_with_the_same_fault_are_told_together() {
    let all = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 0\n  work y = 1 / x\n");
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!(all[0].0, None);
    assert_eq!(all[0].1, "the divisor is zero (in all cases)");
    let two = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 0 | 1 | 0\n  work y = 1 / x\n");
    assert_eq!(two.len(), 1, "{two:?}");
    assert_eq!(two[0].1, "the divisor is zero (in the cases a, c)");
    let one = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 1 | 1 | 0\n  work y = 1 / x\n");
    assert_eq!(one[0].0.as_deref(), Some("c"));
    assert_eq!(one[0].1, "the divisor is zero");
}

#[test]
fn rows_of_a_short_list_are_told_one_by_one() {
    let rows = told(
        "polepair 1\nlist m\n  given tag : text\n  given x\n  work y = 1 / x\n  rows tag | x\n    \"a\" | 0\n    \"b\" | 1\n    \"c\" | 0\n",
    );
    let items: Vec<Option<&str>> = rows.iter().map(|(item, ..)| item.as_deref()).collect();
    assert_eq!(items, [Some("a"), Some("c")]);
}

#[test]
fn a_text_without_quotes_is_told_to_have_them() {
    let rows = told("polepair 1\nlist m\n  given tag : text\n  rows tag\n    pump\n");
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!(rows[0].2.as_deref(), Some("a text stands in quotes: \"pump\""));
}

#[test]
fn a_fault_in_a_row_stands_at_its_column_in_the_file() {
    let text = "polepair 1\nlist m\n  given tag : text\n  given x\n  work y = 1 / x\n  rows tag | x\n    \"long\" | 2\n    \"b\"    | nix\n  \"c\" | 1,5\n";
    let engine = Engine::new(read(text));
    let at: Vec<(u32, u32)> = engine
        .results()
        .faults
        .iter()
        .map(|placed| (placed.line, placed.column))
        .collect();
    for (line, column) in at.iter().copied() {
        let line = text.lines().nth(line as usize - 1).unwrap();
        let from: String = line.chars().skip(column as usize - 1).collect();
        assert!(from.starts_with("nix") || from.starts_with("1,5"), "{from}");
    }
    assert_eq!(at.len(), 2);
}

#[test]
fn what_reads_a_cell_that_cannot_be_read_names_it() {
    let engine = Engine::new(read(
        "polepair 1\nsheet s\n  cases dry | wet\n  given v = 1.6 m/s | 1,9 m/s\n  work F = v * (2 kg/s) in N\n  work G = 2 * F\n",
    ));
    let said = |quantity: usize, item: usize| match &engine.results().sheets[0].quantities[quantity].cells[item] {
        polepair::language::work::Outcome::Fault(fault) => fault.message.clone(),
        other => format!("{other:?}"),
    };
    assert_eq!(said(0, 1), "the formula cannot be read");
    assert_eq!(said(1, 1), "not worked: v has a fault");
    assert_eq!(said(2, 1), "not worked: v has a fault");
    assert!(said(2, 0).contains("6.4"), "{}", said(2, 0));
}
