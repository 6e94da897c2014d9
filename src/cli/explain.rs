//! `explain CODE`

use super::Status;
use super::terminal::Terminal;
use crate::fault::{Code, CodeEntry, Severity};
use crate::handover::page::Ink;
use crate::handover::page::table::wrap;
use crate::plates::rules;
use crate::quantity::nearest::nearest;

/// Tells what a code means.
pub fn run(terminal: &Terminal, word: &str) -> Status {
    let asked = word.trim().to_lowercase().replace([' ', '_'], "-");
    match Code::find(&asked) {
        Some(code) => terminal.print(&text(code.entry(), terminal)),
        None => {
            terminal.complain(
                &format!("there is no fault with the code {word}"),
                Some(&near_ones(&asked)),
            );
            Status::Usage
        }
    }
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

/// Codes much like the one asked for, or that hold a part of it.
fn near_ones(asked: &str) -> String {
    let words = || Code::all().map(Code::word);
    let mut like: Vec<&str> = words().filter(|word| asked.len() > 2 && word.contains(asked)).collect();
    like.extend(nearest(asked, words(), 4));
    like.truncate(4);
    if like.is_empty() {
        return format!("codes are {}", words().collect::<Vec<_>>().join(", "));
    }
    format!("did you mean {}?", like.join(" or "))
}
