//! The report of an import as pages of rows: for reading, as text and as sheets of a workbook.
//!
//! Always: every source row stands once; every doubt stands with its likely mistake and what to look at; every column stands with
//! what it was taken for, its unit and why.
//! Not known here: how pages are written.

use super::find::As;
use super::list;
use super::motor::{Cell, Reading};
use super::reads::Reads;
use super::report::{ColumnReport, Correction, DoubtReport, Report};
use super::store::{Content, Grid};
use super::{motor, rules};
use crate::fault::Code;

/// A page: a title, headings, rows.
#[derive(Clone, Debug)]
pub struct Page {
    /// Title; the name of its sheet.
    pub title: &'static str,
    /// Headings.
    pub headings: Vec<&'static str>,
    /// Rows, as wide as the headings.
    pub rows: Vec<Vec<String>>,
}

/// Name of the sheet of a workbook that holds the report; another number follows where the name is taken.
pub const SHEET: &str = "Import report";

/// How a sheet begins that holds a table of the workbook and was added when a list was given back.
pub const WORKED: &str = "Worked from the list and added to this file";

/// Whether a sheet was added when a list was given back: a report of ours, or a table of the workbook.
pub fn is_added(grid: &Grid) -> bool {
    let first = || {
        let (_, cells) = grid.rows().next()?;
        match cells.first()?.content {
            Content::Text(text) => Some(grid.text(text)),
            _ => None,
        }
    };
    is_report(&grid.name) || first().is_some_and(|text| text.starts_with(WORKED))
}

/// Whether a sheet holds a report of ours: it names motors and their ratings, and is no list.
fn is_report(sheet: &str) -> bool {
    let number = sheet.strip_prefix(SHEET);
    number.is_some_and(|number| number.trim_start().bytes().all(|byte| byte.is_ascii_digit()))
}

/// The pages of a report.
pub fn of(report: &Report) -> Vec<Page> {
    let mut pages = vec![about(report), columns(report), rows(report)];
    if !report.totals.is_empty() {
        pages.push(totals(report));
    }
    if !report.changes.is_empty() {
        pages.push(changes(report));
    }
    if !report.corrected.is_empty() {
        pages.push(corrected(report));
    }
    if !report.gone.is_empty() {
        pages.push(gone(report));
    }
    pages.push(doubts(report));
    pages
}

fn about(report: &Report) -> Page {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut say = |what: &str, text: String| rows.push(vec![what.to_owned(), text]);
    say("file", report.file.clone());
    say("read as", report.sort.clone());
    if let Some(sheet) = &report.sheet {
        say("sheet", sheet.clone());
    }
    let count = |called: As| report.rows.iter().filter(|row| row.called == called).count();
    say(
        "rows",
        format!("{}, of them {} motors", report.rows.len(), count(As::Motor)),
    );
    if let Some(language) = &report.language {
        say("language of the headings", language.clone());
    }
    if let Some(supply) = &report.supply {
        let known: Vec<String> = [
            supply.voltage.as_ref().map(|volts| format!("{volts} V")),
            supply.frequency.as_ref().map(|hertz| format!("{hertz} Hz")),
        ]
        .into_iter()
        .flatten()
        .collect();
        let of_rows = [Reads::Supply, Reads::Frequency].map(Reads::key);
        let columns = report.columns.iter();
        let headings: Vec<&str> = columns
            .filter(|column| column.reads.is_some_and(|reads| of_rows.contains(&reads)))
            .map(|column| column.heading.as_str())
            .collect();
        if known.is_empty() && headings.is_empty() {
            say("supply", "not said in the list".to_owned());
        } else if known.is_empty() {
            say("supply", format!("said in each row, in {}", headings.join(", ")));
        } else {
            say("supply", format!("{}, as said in {}", known.join(", "), supply.said));
        }
    }
    if let Some(unit) = report
        .columns
        .iter()
        .find(|column| column.reads == Some(Reads::RatedPower.key()))
        .and_then(|column| column.unit.as_ref())
    {
        say("ratings without a unit", format!("read in {unit}"));
    }
    if let Some(ratings) = &report.ratings {
        say("ratings", ratings.in_words());
    }
    for name in report
        .sheets
        .iter()
        .filter(|sheet| Some(&sheet.name) != report.sheet.as_ref())
    {
        let hidden = if name.hidden { ", hidden" } else { "" };
        say(
            "other sheet",
            format!(
                "{}: {} filled cells, {} motors{hidden}; not read",
                name.name, name.filled, name.motors
            ),
        );
    }
    for remark in &report.remarks {
        say("remark", remark.clone());
    }
    say(
        "care",
        "Loads are estimates for qualified people. Nameplate, maker's data, local code and licensed practice govern."
            .to_owned(),
    );
    Page {
        title: "About the list",
        headings: vec!["what", "says"],
        rows,
    }
}

fn columns(report: &Report) -> Page {
    Page {
        title: "Columns",
        headings: vec!["table", "column", "heading", "read as", "unit", "confidence", "why"],
        rows: report
            .columns
            .iter()
            .map(|column| {
                let hidden = if column.hidden { "; hidden" } else { "" };
                vec![
                    column.table.to_string(),
                    column.column.to_string(),
                    column.heading.clone(),
                    column.reads.unwrap_or("nothing").replace('_', " "),
                    column.unit.clone().unwrap_or_default(),
                    format!("{:.0} %", column.confidence * 100.0),
                    format!("{}{hidden}", column.reason),
                ]
            })
            .collect(),
    }
}

/// A reading in few words.
pub fn shown(cell: &Cell) -> String {
    let unit = match cell.unit.text() {
        "1" => String::new(),
        unit => format!(" {unit}"),
    };
    match &cell.value {
        Reading::Nothing => String::new(),
        Reading::One(value) => format!("{}{unit}", value.normalize()),
        Reading::Several(values) => {
            let values: Vec<String> = values.iter().map(|value| value.normalize().to_string()).collect();
            format!("{}{unit}", values.join("/"))
        }
        Reading::Words(words) => words.to_string(),
    }
}

fn rows(report: &Report) -> Page {
    let mut graver: std::collections::HashMap<u32, (usize, usize)> = std::collections::HashMap::new();
    for doubt in &report.doubts {
        if let Some(row) = doubt.source_row.filter(|_| doubt.settled.is_none()) {
            let entry = graver.entry(row).or_default();
            entry.0 += 1;
            entry.1 += usize::from(doubt.level != "note");
        }
    }
    let rows = report
        .rows
        .iter()
        .map(|row| {
            let mut marks: Vec<&str> = Vec::new();
            marks.extend(row.struck_through.then_some("struck through"));
            marks.extend(row.hidden.then_some("hidden"));
            marks.extend(row.standby.then_some("stands by"));
            marks.extend(row.out_of_service.then_some("out of service"));
            let mut tag = String::new();
            let mut says = row.text.clone().unwrap_or_default();
            let mut load = String::new();
            if let Some(readings) = &row.readings {
                tag = readings.get(Reads::Tag).as_ref().map(shown).unwrap_or_default();
                let told: Vec<String> = readings
                    .cells()
                    .filter(|cell| cell.reads() != Reads::Tag && !cell.is_nothing())
                    .map(|cell| format!("{} {}", cell.reads().key().replace('_', " "), shown(&cell.whole())))
                    .collect();
                says = told.join("; ");
                for one in report.corrected_in(row.source_row) {
                    says.push_str(&format!("; corrected since: {} {}", one.called, one.used));
                }
                load = report.computed.best(readings.place());
            }
            vec![
                row.source_row.to_string(),
                row.called.word().to_owned(),
                tag,
                marks.join(", "),
                load,
                match graver.get(&row.source_row) {
                    Some((notes, 0)) => counted(*notes, "note"),
                    Some((all, grave)) if all == grave => counted(*all, "doubt"),
                    Some((all, grave)) => format!("{}, {}", counted(*grave, "doubt"), counted(all - grave, "note")),
                    None => String::new(),
                },
                says,
            ]
        })
        .collect();
    Page {
        title: "Rows",
        headings: vec!["row", "what it is", "tag", "marks", "load", "doubts", "what was read"],
        rows,
    }
}

fn counted(count: usize, of: &str) -> String {
    format!("{count} {of}{}", if count == 1 { "" } else { "s" })
}

fn totals(report: &Report) -> Page {
    Page {
        title: "Totals",
        headings: vec![
            "row",
            "printed",
            "summed",
            "difference",
            "unit",
            "how",
            "column",
            "covers",
            "agrees",
        ],
        rows: report
            .totals
            .iter()
            .map(|total| {
                vec![
                    total.source_row.to_string(),
                    total.printed.to_string(),
                    total.summed.to_string(),
                    total.difference.to_string(),
                    total.unit.to_owned(),
                    total.how.clone(),
                    total.column.clone(),
                    total.covers.clone(),
                    if total.agrees { "yes" } else { "no" }.to_owned(),
                ]
            })
            .collect(),
    }
}

fn changes(report: &Report) -> Page {
    Page {
        title: "Changes",
        headings: vec!["motor", "what", "was", "is", "kept"],
        rows: report
            .changes
            .iter()
            .map(|change| {
                vec![
                    change.motor.clone(),
                    change.what.clone(),
                    change.was.clone(),
                    change.is.clone(),
                    change.kept.clone(),
                ]
            })
            .collect(),
    }
}

fn corrected(report: &Report) -> Page {
    let tags: std::collections::HashMap<u32, String> = report
        .rows
        .iter()
        .filter_map(|row| Some((row.source_row, shown(&row.readings.as_ref()?.get(Reads::Tag)?))))
        .collect();
    Page {
        title: "Corrected since the list was read",
        headings: vec!["row", "tag", "column", "what", "as received", "used"],
        rows: report
            .corrected
            .iter()
            .map(|one| {
                vec![
                    one.source_row.to_string(),
                    tags.get(&one.source_row).cloned().unwrap_or_default(),
                    one.column.map_or(String::new(), |column| column.to_string()),
                    one.called.clone(),
                    one.received.clone(),
                    one.used.clone(),
                ]
            })
            .collect(),
    }
}

fn gone(report: &Report) -> Page {
    let text = |row: u32| {
        let row = report.rows.iter().find(|known| known.source_row == row);
        let name = |reads: &Reads| row?.readings.as_ref()?.get(*reads).map(|cell| shown(&cell));
        let names = super::rules::NAMES_MOTOR.iter().filter_map(name);
        names
            .filter(|name| !name.is_empty())
            .collect::<Vec<String>>()
            .join(", ")
    };
    Page {
        title: "Not in the workbook any more",
        headings: vec!["row", "motor"],
        rows: report
            .gone
            .iter()
            .map(|row| vec![row.to_string(), text(*row)])
            .collect(),
    }
}

fn doubts(report: &Report) -> Page {
    Page {
        title: "Doubts",
        headings: vec![
            "row",
            "level",
            "rule",
            "what was found",
            "likely mistake",
            "look at",
            "rests on",
        ],
        rows: report
            .doubts
            .iter()
            .map(|doubt| {
                let (likely, look, source) = doubt.why.map_or(("", "", ""), |why| (why.likely, why.look, why.source));
                vec![
                    doubt
                        .source_row
                        .map_or_else(|| "whole list".to_owned(), |row| row.to_string()),
                    doubt.level.to_owned(),
                    doubt.rule.to_owned(),
                    match (report.corrected_of(doubt).as_slice(), &doubt.settled) {
                        (_, Some(settled)) => format!("{} Settled: {settled}.", doubt.text),
                        (_, None) if doubt.typed_since => format!("Typed since the list was read: {}", doubt.text),
                        ([], None) => doubt.text.to_string(),
                        (some, None) => {
                            format!("{} Changed since, and doubted still: {}.", doubt.text, some.join("; "))
                        }
                    },
                    likely.to_owned(),
                    look.to_owned(),
                    source.to_owned(),
                ]
            })
            .collect(),
    }
}

impl Report {
    /// The cells over the columns that a doubt of no row is about: those it names, and the ratings where it is about their unit.
    fn doubted_headings(&self, doubt: &DoubtReport) -> Vec<(u32, u32)> {
        let about_ratings = [Code::OTHER_POWER_UNIT, Code::MIXED_POWER_UNITS]
            .map(Code::word)
            .contains(&doubt.rule)
            || doubt.text.contains("the unit of the ratings");
        let columns = self.columns.iter().filter(|column| {
            let named = !column.heading.is_empty()
                && doubt
                    .text
                    .contains(&format!("\u{201c}{}\u{201d}", motor::shown(&column.heading)));
            named || about_ratings && column.reads == Some(Reads::RatedPower.key())
        });
        let heading_of = |table: usize| {
            let of_table = self.rows.iter().filter(move |row| row.table == Some(table));
            let above = of_table.take_while(|row| row.called != As::Motor);
            above
                .filter(|row| row.called == As::Heading)
                .map(|row| row.source_row)
                .last()
        };
        columns
            .filter_map(|column| Some((heading_of(column.table)?, column.column)))
            .collect()
    }

    /// Says of each doubt in which columns it has its reason: as it was found, by the heading it begins with, else by its rule.
    pub(crate) fn place_doubts(&mut self) {
        let tables: std::collections::HashMap<u32, Option<usize>> =
            self.rows.iter().map(|row| (row.source_row, row.table)).collect();
        for doubt in &mut self.doubts {
            let of_row = || tables.get(&doubt.source_row?).copied().flatten();
            let table = doubt.table.or_else(of_row).unwrap_or(1);
            let here = || self.columns.iter().filter(move |column| column.table == table);
            let reading = |reads: &Reads| here().find(|column| column.reads == Some(reads.key()));
            let begins = |heading: &str| {
                let rest = doubt.text.strip_prefix(heading);
                !heading.is_empty() && rest.is_some_and(|rest| rest.starts_with(':'))
            };
            let named = here()
                .filter(|column| begins(&column.heading))
                .max_by_key(|column| column.heading.len());
            let by_rule = rules::columns_of(doubt.rule, &doubt.text).unwrap_or_default();
            let first = match doubt.given_column {
                Some(given) => here().find(|column| column.column == given),
                None => named.or_else(|| by_rule.iter().find_map(reading)),
            };
            doubt.column = doubt.given_column.or(first.map(|column| column.column));
            if doubt.rule == Code::LOADS_DISAGREE.word() {
                // It rests on many readings, and none of them is the one.
                doubt.column = None;
            }
            let of_first = first.and_then(|column| Reads::find(column.reads?));
            doubt.reads = of_first.into_iter().collect();
            doubt
                .reads
                .extend(by_rule.iter().filter(|reads| Some(**reads) != of_first));
        }
    }

    /// What was corrected in a row; corrections stand in the order of rows.
    fn corrected_in(&self, row: u32) -> &[Correction] {
        let all = &self.corrected;
        let first = all.partition_point(|one| one.source_row < row);
        let end = all.partition_point(|one| one.source_row <= row);
        all.get(first..end).unwrap_or(&[])
    }

    /// What was corrected of the readings a doubt is about, in words.
    fn corrected_of(&self, doubt: &DoubtReport) -> Vec<String> {
        let here = self
            .corrected
            .iter()
            .filter(|one| Some(one.source_row) == doubt.source_row);
        let about = |one: &&Correction| {
            let mut names = doubt.reads.iter().filter_map(|reads| list::given_of(*reads));
            names.any(|name| name == one.name)
        };
        let told = here.filter(about);
        told.map(Correction::in_short).collect()
    }

    /// The notes on cells of the source: row and column from 1. What was corrected since stands before what was doubted.
    pub fn cell_notes(&self) -> Vec<(u32, u32, String)> {
        let mut cells: std::collections::BTreeMap<(u32, u32), String> = self
            .doubtful_cells()
            .into_iter()
            .map(|(row, column, text)| ((row, column), text))
            .collect();
        for one in &self.corrected {
            let Some(column) = one.column else { continue };
            let text = cells.entry((one.source_row, column)).or_default();
            *text = match text.as_str() {
                "" => one.on_its_cell(),
                doubted => format!("{}\nDoubted when it was read: {doubted}", one.on_its_cell()),
            };
        }
        for (row, column, since) in self.doubted(|doubt| doubt.typed_since) {
            let text = cells.entry((row, column)).or_default();
            let before = std::mem::take(text);
            *text = match before.as_str() {
                "" => since,
                before => format!("{before}\nDoubted now: {since}"),
            };
        }
        let corrected = |row: u32, column: u32| {
            let mut here = self.corrected_in(row).iter();
            here.any(|one| one.column == Some(column))
        };
        // What is settled is told beside its correction and nowhere else.
        for (row, column, settled) in self.doubted(|doubt| doubt.settled.is_some()) {
            if corrected(row, column)
                && let Some(text) = cells.get_mut(&(row, column))
            {
                text.push_str(&format!("\nDoubted when it was read: {settled}"));
            }
        }
        cells
            .into_iter()
            .map(|((row, column), text)| (row, column, text))
            .collect()
    }

    /// The column of the sheet, from 1, that a quantity of the list was read from in a table, by what it reads or by its heading.
    pub fn column_of(&self, name: &str, heading: Option<&str>, table: Option<usize>) -> Option<u32> {
        let mut here = self.columns.iter().filter(|column| column.table == table.unwrap_or(1));
        let reads = |column: &ColumnReport| Reads::find(column.reads?).and_then(list::given_of);
        here.clone()
            .find(|column| reads(column) == Some(name))
            .or_else(|| here.find(|column| heading == Some(column.heading.as_str())))
            .map(|column| column.column)
    }

    /// The doubtful cells of the source: row and column from 1, and what is doubted, doubts of one cell together. What is doubted of
    /// a row as a whole stands at what names its motor.
    pub fn doubtful_cells(&self) -> Vec<(u32, u32, String)> {
        self.doubted(|doubt| doubt.settled.is_none() && !doubt.typed_since)
    }

    /// The same of some of the doubts.
    fn doubted(&self, of: impl Fn(&DoubtReport) -> bool) -> Vec<(u32, u32, String)> {
        let tables: std::collections::HashMap<u32, Option<usize>> =
            self.rows.iter().map(|row| (row.source_row, row.table)).collect();
        let mut cells: std::collections::BTreeMap<(u32, u32), String> = std::collections::BTreeMap::new();
        for doubt in self.doubts.iter().filter(|doubt| of(doubt)) {
            let Some(row) = doubt.source_row else {
                for (row, column) in self.doubted_headings(doubt) {
                    let text = cells.entry((row, column)).or_default();
                    text.push_str(if text.is_empty() { "" } else { "\n" });
                    text.push_str(&doubt.text);
                }
                continue;
            };
            let table = doubt.table.or_else(|| tables.get(&row).copied().flatten()).unwrap_or(1);
            let names_motor = || {
                let here = || self.columns.iter().filter(|column| column.table == table);
                rules::NAMES_MOTOR
                    .iter()
                    .find_map(|reads| here().find(|column| column.reads == Some(reads.key())))
                    .map(|column| column.column)
            };
            let Some(column) = doubt.column.or_else(names_motor) else {
                continue;
            };
            let text = cells.entry((row, column)).or_default();
            if !text.is_empty() {
                text.push('\n');
            }
            text.push_str(&doubt.text);
            if let Some(why) = doubt.why {
                text.push_str(&format!(" Look at: {}.", why.look));
            }
        }
        cells
            .into_iter()
            .map(|((row, column), text)| (row, column, text))
            .collect()
    }
}
