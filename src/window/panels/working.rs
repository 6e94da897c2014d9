//! The working of the chosen value, under the grid: symbols, substitution with units, result, what it rests on, who uses it.

use std::sync::Arc;
use std::time::Duration;

use eframe::egui::{self, RichText, Ui};

use super::{Link, Near, Panel, Wish, draw_links, faults, links_to, offered, place_of};
use crate::fault::{Placed, Stands};
use crate::language::work::Outcome;
use crate::quantity::System;
use crate::recalc::{RestsOn, Results, Showing, Trace};
use crate::session::Command;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot, sort_words};
use crate::window::typing::Editing;
use crate::workbook::{Role, SourceWord};

/// A line of the working.
#[derive(Clone, Debug)]
enum Told {
    /// The formula in symbols.
    Symbols(String),
    /// The formula with values and units.
    Values(String),
    /// A remark.
    Note(String),
    /// A published table.
    Table(String),
    /// What was typed.
    Typed(String),
    /// Why there is nothing.
    Nothing(String),
    /// What is wrong, and the commands that mend it.
    Wrong(String, Vec<Command>),
}

/// The working of a place, read once until something changes; it stays while the session is at work.
#[derive(Clone, Debug, Default)]
pub struct Working {
    of: Option<(usize, Spot, u64, System)>,
    name: String,
    title: String,
    item: String,
    sort: String,
    /// What it gives: said first.
    result: String,
    /// Long formulas are shown whole.
    unfolded: bool,
    told: Vec<Told>,
    /// A word and the places it leads to.
    ways: Vec<(&'static str, Vec<Link>)>,
}

/// What the reading of a list has to say of a place.
#[derive(Debug, Default)]
pub struct Reading<'a> {
    /// What it doubts.
    pub doubted: Option<&'a str>,
    /// Readings were corrected since, and this lets the load rest on them again.
    pub corrected: Option<Command>,
}

/// Letters of a formula that is not folded.
const FOLDED: usize = 240;

/// Inputs named at most.
const MOST: usize = 24;

/// The working as old as this while the session is at work is set back.
const LONG: Duration = Duration::from_millis(300);

impl Working {
    /// Reads it anew where the place or the results have changed.
    pub fn read(&mut self, seen: Option<Seen<'_>>, spot: Option<Spot>, changes: u64) {
        let (Some(seen), Some(spot)) = (seen, spot) else {
            *self = Working::default();
            return;
        };
        let (session, sheet) = (seen.session, seen.at);
        let of = Some((sheet, spot, changes, seen.system));
        if self.of == of {
            return;
        }
        *self = Working::default();
        self.of = of;
        let Some(quantity) = seen.quantity(spot.quantity) else {
            return;
        };
        let item = match spot.field {
            Field::Value(item) => item,
            _ => 0,
        };
        let key = seen.results.items.get(item).filter(|item| !item.is_empty());
        self.name = quantity.name.to_string();
        self.title.clone_from(&quantity.title);
        self.item = key.map_or(String::new(), |key| key.to_string());
        self.sort = sort_words(Showing::of(quantity, seen.system).sort());
        let is_worked =
            quantity.role != Role::Given || quantity.own.contains(&item) || seen.is_worked_here(quantity, item);
        let trace = is_worked
            .then(|| session.trace_in(sheet, spot.quantity, item, seen.system))
            .flatten();
        match &trace {
            Some(trace) => self.worked(trace, seen, spot),
            None => self.given(seen, spot),
        }
        let here = &*seen.results.name;
        let wrong = super::checks::found_wrong(session, here, &quantity.name, item);
        let wrong = wrong.into_iter().map(|words| Told::Wrong(words, Vec::new()));
        let _ = self.told.splice(0..0, wrong);
        let key = key.map(|key| Near { name: key, at: item });
        let results = session.results();
        let mut way = |word, names: &[(Arc<str>, Arc<str>)]| {
            if !names.is_empty() {
                self.ways.push((word, links_to(results, here, names, key)));
            }
        };
        way("reads", &session.reads(here, &quantity.name));
        way("used by", &session.readers(here, &quantity.name));
        if let Some(trace) = trace.filter(|trace| !trace.rests_on.is_empty()) {
            let at = usize::from(self.ways.first().is_some_and(|(word, _)| *word == "reads"));
            self.ways
                .insert(at, ("rests on", rests_on(results, here, &trace, item)));
        }
    }

    fn worked(&mut self, trace: &Trace, seen: Seen<'_>, spot: Spot) {
        let symbols = trace.rearranged.as_ref().map_or_else(
            || format!("{} = {}", self.name, trace.formula),
            |rearranged| format!("{}, so {rearranged}", trace.formula),
        );
        if !self.wrong(seen, spot) {
            self.result = format!("= {}", trace.result);
        }
        self.told.extend(trace.note.clone().map(Told::Note));
        self.told.push(Told::Symbols(symbols));
        if trace.substituted != trace.formula && trace.substituted != trace.result {
            self.told.push(Told::Values(format!("= {}", trace.substituted)));
        }
        self.told
            .extend(trace.tables.iter().map(|table| Told::Table(table.words())));
    }

    fn given(&mut self, seen: Seen<'_>, spot: Spot) {
        if !matches!(spot.field, Field::Value(_)) {
            // Beside the values the whole line says what stands there.
            let line = seen.typed(Spot {
                field: Field::Line,
                ..spot
            });
            self.told.push(Told::Typed(format!("typed: {line}")));
            let _ = self.wrong(seen, spot);
            return;
        }
        let typed = seen.typed(spot);
        let shown = seen.shown(spot, false);
        if typed.is_empty() {
            let why = shown.why.unwrap_or_else(|| "nothing typed here".to_owned());
            self.told.push(Told::Nothing(why));
            return;
        }
        self.told.push(Told::Typed(format!("typed: {typed}")));
        let brought = seen.showing(spot.quantity).filter(Showing::is_brought);
        if let (Some(showing), Field::Value(item)) = (brought, spot.field)
            && let Some(value @ Outcome::Value(_)) = seen.quantity(spot.quantity).and_then(|all| all.cells.get(item))
        {
            self.result = format!("= {}", showing.whole(value));
        }
        if !shown.band.is_empty() {
            let unit = match seen.unit_here(spot) {
                Some(unit) => unit.text.to_string(),
                None => seen.unit(spot.quantity),
            };
            let limits = shown.band.trim_matches(['(', ')']);
            let words = format!("so it lies within {limits} {unit}");
            self.told.push(Told::Note(words.trim_end().to_owned()));
        }
        if !self.wrong(seen, spot) {
            self.told.extend(shown.why.map(|why| Told::Wrong(why, Vec::new())));
        }
    }

    /// What is wrong with what was typed here, with what mends it. Whether there is anything.
    fn wrong(&mut self, seen: Seen<'_>, spot: Spot) -> bool {
        let faults = faults_of(seen, spot);
        self.told.extend(faults.iter().map(|placed| {
            let fixes = placed.fault.fixes.iter();
            let fixes = fixes.filter_map(|fix| {
                let again = faults::fixed_at(seen, spot, placed, fix);
                again.or_else(|| faults::fixed(seen.session, placed, fix))
            });
            Told::Wrong(placed.fault.in_words(), fixes.collect())
        }));
        !faults.is_empty()
    }

    /// Draws it. `away`: for how long the session has been at work.
    pub fn draw(&mut self, ui: &mut Ui, away: Option<Duration>, beside: &Reading<'_>, wishes: &mut Vec<Wish>) {
        if self.name.is_empty() {
            return;
        }
        let busy = away.is_some_and(|away| away > LONG);
        let _ = ui.add_enabled_ui(!busy, |ui| self.lines(ui, beside, wishes));
    }

    fn lines(&mut self, ui: &mut Ui, beside: &Reading<'_>, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        let small = |text: &str| RichText::new(text).size(12.0).color(inks.faint);
        let _ = ui.horizontal_wrapped(|ui| {
            let _ = ui.label(RichText::new(&self.name).font(look::bold(15.0)));
            if !self.result.is_empty() {
                let _ = ui.label(RichText::new(&self.result).font(look::bold(15.0)));
            }
            if !self.title.is_empty() {
                let _ = ui.label(&self.title);
            }
            if !self.item.is_empty() {
                let _ = ui.label(RichText::new(&self.item).font(look::oblique(14.0)).color(inks.words));
            }
            let _ = ui.label(small(&self.sort));
        });
        if let Some(doubt) = beside.doubted {
            let text = RichText::new(format!("△ {}", doubt.replace('\n', " "))).color(inks.doubtful);
            let link = ui.link(text).on_hover_text("Show what the reading doubts");
            wishes.extend(link.clicked().then_some(Wish::Show(Panel::Report)));
        }
        if let Some(command) = &beside.corrected {
            let _ = ui.horizontal_wrapped(|ui| {
                let words = "A reading that was doubted here was corrected; the best load does not rest on it yet.";
                let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(inks.words));
                if offered(ui, "use it for the load") {
                    wishes.push(Wish::Do(command.clone()));
                }
            });
        }
        let mut unfold = false;
        for told in &self.told {
            let text = match told {
                Told::Symbols(text) => RichText::new(text),
                Told::Values(text) => RichText::new(text).color(inks.words),
                Told::Note(text) => RichText::new(text).font(look::oblique(13.0)).color(inks.words),
                Told::Table(text) => small(text),
                Told::Typed(text) => RichText::new(text).color(inks.typed),
                Told::Nothing(text) => RichText::new(text).color(inks.faint),
                Told::Wrong(text, _) => RichText::new(text).color(inks.failed),
            };
            // A formula of many lines is folded; what it gives has been said.
            let long = match told {
                Told::Symbols(text) | Told::Values(text) => text.chars().count() > FOLDED && !self.unfolded,
                _ => false,
            };
            if long {
                let line = ui.add(egui::Label::new(text).truncate().sense(egui::Sense::click()));
                unfold |= line.on_hover_text("Press it to see it whole").clicked();
            } else {
                let _ = ui.label(text);
            }
            if let Told::Wrong(_, fixes) = told
                && !fixes.is_empty()
            {
                let _ = ui.horizontal_wrapped(|ui| {
                    for fix in fixes {
                        if offered(ui, &fix.label) {
                            wishes.push(Wish::Do(fix.clone()));
                        }
                    }
                });
            }
        }
        self.unfolded |= unfold;
        let _ = ui.horizontal_wrapped(|ui| {
            for (word, links) in &self.ways {
                let _ = ui.label(small(word));
                draw_links(ui, links, wishes);
            }
        });
    }
}

/// Faults of one place said at most.
const MOST_FAULTS: usize = 3;

/// The faults of a value that has none of its own making: as they stand in the line or the row.
fn faults_of(seen: Seen<'_>, spot: Spot) -> Vec<&Placed> {
    let item = match spot.field {
        Field::Value(item) => item,
        // Where there is one value, the other fields speak of it too.
        _ if seen.results.items.len() == 1 => 0,
        _ => return Vec::new(),
    };
    let Some(quantity) = seen.quantity(spot.quantity) else {
        return Vec::new();
    };
    let Some(Outcome::Fault(own)) = quantity.cells.get(item) else {
        return Vec::new();
    };
    let key = seen.results.items.get(item);
    let book = seen.session.workbook();
    let stands = |placed: &Placed| {
        let (Stands::Line(at, _) | Stands::Row(at, ..)) = placed.stands else {
            return false;
        };
        at == seen.at
            && book.quantity_at(placed.stands) == Some(&quantity.name)
            && book
                .item_at(placed.stands, &seen.results.items)
                .is_none_or(|row| row == item)
    };
    let here = |placed: &&Placed| {
        let of_item = placed
            .item
            .as_deref()
            .is_none_or(|item| key.is_some_and(|key| **key == *item));
        // What is wrong with the value of one case is not said of another.
        let said = own.passed_on || placed.fault.message == own.message;
        placed.fault.is_error() && of_item && said && stands(placed)
    };
    let faults = seen.session.results().faults.iter();
    faults.filter(here).take(MOST_FAULTS).collect()
}

/// The givens a result rests on, with their values.
fn rests_on(results: &Results, here: &str, trace: &Trace, at: usize) -> Vec<Link> {
    let link = |input: &RestsOn| {
        let assumed = input
            .source
            .as_ref()
            .is_some_and(|source| source.word == SourceWord::Assumed);
        let word = if assumed { " (assumed)" } else { "" };
        let name = match *input.sheet == *here {
            true => input.name.to_string(),
            false => format!("{}.{}", input.sheet, input.name),
        };
        // Marks of the page in words.
        let text = match input.value.as_str() {
            "!" => format!("{name} has a fault"),
            "–" => format!("{name} is missing"),
            value if input.item.is_none() => format!("{name}: {value}{word}"),
            value => format!("{name} = {value}{word}"),
        };
        Link {
            text,
            goes: {
                let item = input.item.as_deref().map(|name| Near { name, at });
                place_of(results, &input.sheet, &input.name, item)
            },
        }
    };
    let mut out: Vec<Link> = trace.rests_on.iter().take(MOST).map(link).collect();
    let more = trace.rests_on.len().saturating_sub(MOST);
    if more > 0 {
        out.push(Link {
            text: format!("and {more} more"),
            goes: None,
        });
    }
    out
}

/// What the open text would be: kind and unit, faults with their help.
pub fn typing(ui: &mut Ui, editing: &Editing, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    if let Some(refused) = &editing.refused {
        let _ = ui.label(RichText::new(format!("✕ {refused}")).color(inks.failed));
        let words = "It is not taken in. Mend it, or press Esc to leave it as it was.";
        let _ = ui.label(RichText::new(words).color(inks.words));
    }
    let Some(look) = &editing.look else {
        let _ = ui.label(RichText::new("Enter types it, Esc leaves it as it was.").color(inks.faint));
        return;
    };
    if !editing.gives.is_empty() {
        let words = match &editing.read_as {
            Some(text) => format!("read as {text}, the unit that is shown: {}", editing.gives),
            None => format!("gives: {}", editing.gives),
        };
        let _ = ui.label(RichText::new(words).font(crate::window::look::bold(14.0)));
    }
    for fault in look.faults.iter().take(3) {
        let (mark, ink) = if fault.is_error() {
            ("✕", inks.failed)
        } else {
            ("△", inks.doubtful)
        };
        let help = fault.help.as_ref().map_or(String::new(), |help| format!(" – {help}"));
        let _ = ui.label(RichText::new(format!("{mark} {}{help}", fault.message)).color(ink));
        // Where another text is read than the one that is open, places in it are none of the open one.
        if fault.fixes.is_empty() || editing.read_as.is_some() {
            continue;
        }
        let _ = ui.horizontal_wrapped(|ui| {
            for fix in &fault.fixes {
                if offered(ui, &fix.label) {
                    wishes.push(Wish::Mend(fix.clone()));
                }
            }
        });
    }
}
