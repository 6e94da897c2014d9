//! `explain CODE`, `explain FUNCTION`, `explain KIND`, `explain SCHEDULE`, `explain TABLE`, `explain grade`, `explain WORD` for all functions and
//! schedules that have the word in their name or their line of help

use super::Status;
use super::terminal::Terminal;
use crate::fault::{Code, CodeEntry, Severity};
use crate::handover::page::Ink;
use crate::handover::page::table::wrap;
use crate::language::check::{SCHEDULES, Schedule};
use crate::language::functions::{self, Body, Function, Gives};
use crate::plates::list::GRADES;
use crate::plates::rules;
use crate::quantity::Kind;
use crate::quantity::nearest::nearest;
use crate::standards::tables;

/// Tells what a code means.
pub fn run(terminal: &Terminal, word: &str) -> Status {
    let asked = word.trim().to_lowercase().replace([' ', '_'], "-");
    let kinds = kinds(word);
    match Code::find(&asked) {
        Some(code) => {
            let status = terminal.print(&text(code.entry(), terminal));
            if kinds.is_empty() {
                return status;
            }
            terminal.print(&format!("\n{}", kind_entries(&kinds, terminal)))
        }
        None => match functions::find(word.trim()) {
            Some(function) => terminal.print(&library_entry(function, terminal)),
            None if matches!(asked.as_str(), "grade" | "grades") => terminal.print(&grades(terminal)),
            None if schedule(&asked).is_some() => {
                terminal.print(&schedule(&asked).map_or_else(String::new, |it| schedule_entry(it, terminal)))
            }
            None if published(&asked).is_some() => super::tables::run(terminal, published(&asked)),
            None if !kinds.is_empty() => {
                let mut out = kind_entries(&kinds, terminal);
                let (functions, schedules) = (about(word), schedules_about(word));
                if !(functions.is_empty() && schedules.is_empty()) {
                    out.push('\n');
                    out.push_str(&listed(&functions, &schedules, terminal));
                }
                terminal.print(&out)
            }
            None if !(about(word).is_empty() && schedules_about(word).is_empty()) => {
                terminal.print(&listed(&about(word), &schedules_about(word), terminal))
            }
            None => {
                terminal.complain(
                    &format!(
                        "there is no fault with the code {word}, no function, kind, table or schedule of tolerances"
                    ),
                    Some(&near_ones(&asked)),
                );
                Status::Usage
            }
        },
    }
}

/// The kinds of these words, or that have them beside their own.
fn kinds(word: &str) -> Vec<Kind> {
    match Kind::find(&word.trim().replace(['_', '-'], " ")).or_else(|| Kind::find(word.trim())) {
        Some(kind) => vec![kind],
        None => Kind::called(word),
    }
}

/// What the list of kinds says of some.
fn kind_entries(kinds: &[Kind], terminal: &Terminal) -> String {
    let mut out = String::new();
    for kind in kinds {
        let entry = kind.entry();
        out.push_str(&format!(
            "{}  (a kind)\n\n{}\n",
            Ink::Title.on(entry.words, terminal.colour),
            entry.help
        ));
        let units = match entry.si == entry.us {
            true => entry.si.to_owned(),
            false => format!("{} or {}", entry.si, entry.us),
        };
        let mut told = vec![
            ("For example", format!("given x = {} : {}", entry.example, entry.words)),
            ("Usual unit", units),
        ];
        if let Some(range) = entry.range {
            told.push(("A value is", range.words(entry.si)));
        }
        if !entry.also.is_empty() {
            told.push(("Also called", entry.also.join(", ")));
        }
        for (head, said) in told {
            out.push_str(&format!("\n{}\n    {said}\n", Ink::Faint.on(head, terminal.colour)));
        }
    }
    out
}

/// The grades of the best load of a motor.
fn grades(terminal: &Terminal) -> String {
    let mut out = format!(
        "{}\n",
        Ink::Title.on("Grades of the best load of a motor", terminal.colour)
    );
    for (grade, what, off) in GRADES {
        out.push_str(&format!("\n{}\n", Ink::Title.on(grade, terminal.colour)));
        for line in wrap(&format!("{what}."), terminal.width.min(100) - 4) {
            out.push_str(&format!("    {line}\n"));
        }
        for line in wrap(&format!("May be off: {off}."), terminal.width.min(100) - 4) {
            out.push_str(&format!("    {line}\n"));
        }
    }
    let end = "A grade is followed by \u{201c}doubted\u{201d} where a reading it rests on is doubted and nothing better is there. The limits are worked out from known circuits, or common practice.";
    out.push('\n');
    for line in wrap(end, terminal.width.min(100)) {
        out.push_str(&format!("{line}\n"));
    }
    out
}

/// The name of a published table.
fn published(asked: &str) -> Option<&'static str> {
    let name = asked.replace('-', "_");
    tables::find(&name).map(|table| table.name)
}

/// The schedule of tolerances of this name.
fn schedule(asked: &str) -> Option<&'static Schedule> {
    let name = asked.trim_start_matches(['±', '-']).replace('-', "_");
    SCHEDULES.iter().find(|schedule| schedule.name == name)
}

/// Schedules that have a word in their name or title.
fn schedules_about(word: &str) -> Vec<&'static Schedule> {
    let asked = word.trim().to_lowercase();
    if asked.chars().count() < 3 {
        return Vec::new();
    }
    SCHEDULES
        .iter()
        .filter(|schedule| {
            schedule.name.contains(&asked.replace([' ', '-'], "_")) || schedule.title().to_lowercase().contains(&asked)
        })
        .collect()
}

/// What a schedule of tolerances says of each kind.
fn schedule_entry(schedule: &Schedule, terminal: &Terminal) -> String {
    let width = terminal.width.min(100);
    let mut out = format!(
        "{}\n\n",
        Ink::Title.on(&format!("± {}", schedule.name), terminal.colour)
    );
    let says = format!(
        "{}. Written behind a typed value; which row of the table holds goes by the kind of the line. A side without a limit stays at \
         the value.",
        schedule.title()
    );
    for line in wrap(&says, width) {
        out.push_str(&format!("{line}\n"));
    }
    for entry in schedule.entries {
        let needs: Vec<String> = entry
            .needs
            .iter()
            .map(|(name, kind)| format!("{name}: {kind}"))
            .collect();
        let needs = if needs.is_empty() {
            String::new()
        } else {
            format!("   ({})", needs.join(", "))
        };
        out.push_str(&format!(
            "\n{}\n    {}{needs}\n",
            Ink::Faint.on(&entry.kinds.join(", "), terminal.colour),
            Ink::Strong.on(&schedule.written(entry), terminal.colour),
        ));
        for words in entry.words(schedule) {
            for line in wrap(&words, width.saturating_sub(4)) {
                out.push_str(&format!("    {line}\n"));
            }
        }
    }
    let (example, gives) = schedule.example;
    let rests = format!(
        "table {}; polepair tables {} prints it with its source",
        schedule.table, schedule.table
    );
    for (head, said) in [
        ("For example", format!("{example}\n    has the limits {gives}")),
        ("It rests on", rests),
    ] {
        out.push_str(&format!("\n{}\n    {said}\n", Ink::Faint.on(head, terminal.colour)));
    }
    out
}

fn text(entry: &CodeEntry, terminal: &Terminal) -> String {
    let usual = match entry.severity {
        Severity::Error => "an error: what it strikes is not worked",
        Severity::Warning => "a warning: worked, but look at it",
        Severity::Note => "a note",
    };
    let mut out = format!("{}  ({usual})\n\n", Ink::Title.on(entry.word, terminal.colour));
    for line in wrap(entry.meaning, terminal.width.min(100)) {
        out.push_str(&line);
        out.push('\n');
    }
    for (head, example, ink) in [
        ("For example", entry.example, Ink::Plain),
        ("Put right", entry.mended, Ink::Strong),
    ] {
        out.push_str(&format!("\n{}\n", Ink::Faint.on(head, terminal.colour)));
        for line in example.lines() {
            out.push_str(&format!("    {}\n", ink.on(line, terminal.colour)));
        }
    }
    if let Some(rule) = Code::find(entry.word).and_then(rules::of) {
        for (head, words) in [
            ("It compares", rule.rests_on),
            ("The likely mistake", rule.likely),
            ("To look at on site", rule.look),
            ("It rests on", rule.source),
        ] {
            out.push_str(&format!("\n{}\n", Ink::Faint.on(head, terminal.colour)));
            for line in wrap(words, terminal.width.min(100).saturating_sub(4)) {
                out.push_str(&format!("    {line}\n"));
            }
        }
        return out;
    }
    if entry.severity == Severity::Warning {
        out.push_str(&format!(
            "\nA warning that is right as it is can be settled under its line:\n    accept {} \"why it is right here\"\n",
            entry.word
        ));
    }
    out
}

/// Functions that have a word in their name or their line of help.
fn about(word: &str) -> Vec<&'static Function> {
    let asked = word.trim().to_lowercase();
    if asked.chars().count() < 3 {
        return Vec::new();
    }
    let called = asked.replace([' ', '-'], "_");
    functions::all()
        .filter(|function| function.name.contains(&called) || function.help.to_lowercase().contains(&asked))
        .collect()
}

/// Functions and schedules with their lines of help.
fn listed(functions: &[&'static Function], schedules: &[&'static Schedule], terminal: &Terminal) -> String {
    let called = functions.iter().map(|function| {
        (
            format!("{}({})", function.name, function.parameters_in_words()),
            function.help.to_owned(),
        )
    });
    let written = schedules
        .iter()
        .map(|schedule| (format!("± {}", schedule.name), schedule.title()));
    let mut out = String::new();
    for (call, help) in called.chain(written) {
        out.push_str(&format!("{}\n", Ink::Strong.on(&call, terminal.colour)));
        for line in wrap(&help, terminal.width.min(100).saturating_sub(4)) {
            out.push_str(&format!("    {line}\n"));
        }
    }
    out
}

/// What the library says of a function.
fn library_entry(function: &Function, terminal: &Terminal) -> String {
    let names: Vec<&str> = function.parameters.iter().map(|parameter| parameter.name).collect();
    let call = format!("{}({})", function.name, function.parameters_in_words());
    let mut out = format!("{}\n\n", Ink::Title.on(&call, terminal.colour));
    for line in wrap(function.help, terminal.width.min(100)) {
        out.push_str(&line);
        out.push('\n');
    }
    out.push('\n');
    let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    for parameter in function.parameters {
        let takes = parameter.takes.words();
        out.push_str(&format!("    {:width$}  {takes}\n", parameter.name));
    }
    if let Gives::Kind(kind) = function.gives {
        out.push_str(&format!("    {:width$}  {kind}\n", "="));
    }
    if let Body::Formula(formula) = function.body {
        out.push_str(&format!(
            "\n{}\n    {formula}\n",
            Ink::Faint.on("Formula", terminal.colour)
        ));
    }
    let (example, gives) = function.example;
    if !example.is_empty() {
        out.push_str(&format!(
            "\n{}\n    {example} = {gives}\n",
            Ink::Faint.on("For example", terminal.colour)
        ));
        for (name, (parameter, kind), body) in functions::example_curves() {
            if example.contains(name) {
                out.push_str(&format!("    with curve {name}({parameter} : {kind}) = {body}\n"));
            }
        }
    }
    out.push_str(&format!("\n{}\n", Ink::Faint.on("Source", terminal.colour)));
    for line in wrap(function.source, terminal.width.min(100).saturating_sub(4)) {
        out.push_str(&format!("    {line}\n"));
    }
    out
}

/// Codes and functions much like the one asked for, or that hold a part of it.
fn near_ones(asked: &str) -> String {
    let words = || Code::all().map(Code::word);
    let called = asked.replace('-', "_");
    let mut like: Vec<&str> = words().filter(|word| asked.len() > 2 && word.contains(asked)).collect();
    like.extend(
        functions::all()
            .map(|function| function.name)
            .filter(|name| called.len() > 2 && name.contains(&called)),
    );
    like.extend(nearest(asked, words(), 4));
    like.extend(nearest(&called, functions::all().map(|function| function.name), 4));
    like.extend(nearest(&called, SCHEDULES.iter().map(|schedule| schedule.name), 1));
    like.truncate(4);
    if like.is_empty() {
        return format!(
            "a word of what you look for lists what has it, such as slip, hoist or grade; codes are {}",
            words().collect::<Vec<_>>().join(", ")
        );
    }
    format!("did you mean {}?", like.join(" or "))
}
