//! `tables [WORD]`

use super::Status;
use super::terminal::Terminal;
use super::units::{heading, lines};
use crate::handover::page::Ink;
use crate::handover::page::table::{Align, Cell, Column, wrap};
use crate::language::check::{SCHEDULES, Schedule};
use crate::quantity::nearest::nearest;
use crate::standards::{Basis, Entry, Holds, Table, tables};

/// Lists the published tables that have to do with a word, or all; prints the one that is named or the only one found.
pub fn run(terminal: &Terminal, word: Option<&str>) -> Status {
    let word = word.map_or("", str::trim);
    if let Some(table) = tables::find(&word.to_lowercase()) {
        return terminal.print(&text(whole(table, terminal)));
    }
    let asked: Vec<String> = word.to_lowercase().split_whitespace().map(str::to_owned).collect();
    let found: Vec<&Table> = tables::all()
        .filter(|table| {
            let mut said = words(table);
            for schedule in SCHEDULES.iter().filter(|schedule| schedule.table == table.name) {
                said.push_str(&format!(" {} ", schedule.name));
            }
            asked.iter().all(|word| said.contains(word))
        })
        .collect();
    match found.as_slice() {
        [] => {
            let near = nearest(word, tables::names().map(|name: &str| name), 3);
            let help = match near.is_empty() {
                true => "polepair tables lists all of them".to_owned(),
                false => format!("did you mean {}?", near.join(" or ")),
            };
            terminal.complain(&format!("no published table has to do with {word}"), Some(&help));
            Status::Usage
        }
        [one] if !word.is_empty() => terminal.print(&text(whole(one, terminal))),
        many => terminal.print(&text(list(many, terminal))),
    }
}

fn text(lines: Vec<String>) -> String {
    format!("{}\n", lines.join("\n"))
}

/// All that a table is found by.
fn words(table: &Table) -> String {
    let mut said = format!(
        "{} {} {}",
        table.name, table.publication.title, table.publication.edition
    );
    for column in &table.columns {
        said.push(' ');
        said.push_str(&column.title);
    }
    said.to_lowercase()
}

fn list(found: &[&Table], terminal: &Terminal) -> Vec<String> {
    let mut rows = vec![heading(&["table", "what it is", "edition", "rows"])];
    rows.extend(found.iter().map(|table| {
        vec![
            Cell::new(table.name, Ink::Strong),
            Cell::new(&*table.publication.title, Ink::Plain),
            Cell::new(&*table.publication.edition, Ink::Faint),
            Cell::new(table.rows().to_string(), Ink::Plain),
        ]
    }));
    let columns = vec![
        Column::firm(Align::Left),
        Column::soft(30),
        Column::soft(18),
        Column::firm(Align::Right),
    ];
    let mut out = lines(columns, rows, terminal);
    out.push(String::new());
    out.extend(wrap(
        "polepair tables NAME prints a table. In a formula a table is a read-only list: only(I for nec_430_250 where P = 50 hp and V = 460 V).",
        terminal.width,
    ));
    for schedule in SCHEDULES
        .iter()
        .filter(|schedule| found.iter().any(|table| table.name == schedule.table))
    {
        out.extend(wrap(&behind(schedule), terminal.width));
    }
    out
}

/// That a table stands behind a schedule of tolerances.
fn behind(schedule: &Schedule) -> String {
    format!(
        "± {} behind a typed value is a tolerance by the table {}; polepair explain {} tells how it is written.",
        schedule.name, schedule.table, schedule.name
    )
}

/// A table with all there is to say of it.
fn whole(table: &Table, terminal: &Terminal) -> Vec<String> {
    let publication = &table.publication;
    let mut out = vec![Ink::Title.on(table.name, terminal.colour)];
    let between = table.between.words();
    for (head, said) in [
        ("", publication.title.as_str()),
        ("Edition: ", &publication.edition),
        ("Source: ", &publication.source),
        ("Basis: ", &publication.basis),
        ("Between two rows: ", &between),
    ] {
        out.extend(wrap(&format!("{head}{said}"), terminal.width));
    }
    for schedule in SCHEDULES.iter().filter(|schedule| schedule.table == table.name) {
        out.extend(wrap(&behind(schedule), terminal.width));
    }
    out.push(String::new());
    let mut rows = vec![heading(&["column", "in", "what it is", "kind"])];
    rows.extend(table.columns.iter().map(|column| {
        let (unit, kind) = match &column.holds {
            Holds::Numbers { unit, kind } => (
                unit.text.to_string(),
                kind.map_or(String::new(), |kind| kind.words().to_owned()),
            ),
            Holds::Texts => (String::new(), "text".to_owned()),
            Holds::Words(words) => {
                let words: Vec<&str> = words.iter().map(|word| &**word).collect();
                (String::new(), format!("one of: {}", words.join(", ")))
            }
        };
        vec![
            Cell::new(&*column.name, Ink::Strong),
            Cell::new(unit, Ink::Plain),
            Cell::new(&*column.title, Ink::Plain),
            Cell::new(kind, Ink::Faint),
        ]
    }));
    let columns = vec![
        Column::firm(Align::Left),
        Column::firm(Align::Left),
        Column::soft(20),
        Column::soft(16),
    ];
    out.extend(lines(columns, rows, terminal));
    out.push(String::new());
    out.extend(values(table, terminal));
    out
}

fn values(table: &Table, terminal: &Terminal) -> Vec<String> {
    let mixed = table.bases.iter().any(|basis| Some(basis) != table.bases.first());
    let mut head = Vec::new();
    let mut columns = Vec::new();
    for column in &table.columns {
        let name = match &column.holds {
            Holds::Numbers { unit, .. } if !unit.is_plain() => format!("{} {}", column.name, unit.text),
            _ => column.name.to_string(),
        };
        head.push(Cell::new(name, Ink::Faint));
        columns.push(match column.holds {
            Holds::Numbers { .. } => Column::firm(Align::Right),
            _ => Column::soft(10),
        });
    }
    if mixed {
        head.push(Cell::new("basis", Ink::Faint));
        columns.push(Column::firm(Align::Left));
    }
    let mut rows = vec![head];
    for (row, basis) in table.bases.iter().enumerate() {
        let mut cells: Vec<Cell> = table
            .columns
            .iter()
            .map(|column| match column.entries.get(row) {
                Some(Entry::Number(number)) => Cell::new(number.normalize().to_string(), Ink::Plain),
                Some(Entry::Text(text)) => Cell::new(&**text, Ink::Plain),
                _ => Cell::new("", Ink::Plain),
            })
            .collect();
        if mixed {
            let ink = if *basis == Basis::FromMemory {
                Ink::Doubt
            } else {
                Ink::Faint
            };
            cells.push(Cell::new(basis.words(), ink));
        }
        rows.push(cells);
    }
    lines(columns, rows, terminal)
}
