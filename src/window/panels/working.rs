//! The working of the chosen value, under the grid: result, substitution with units, symbols, what it rests on, who uses it; what is
//! doubted of it, what checks and warnings say.

use std::sync::Arc;
use std::time::Duration;

use eframe::egui::{self, RichText, Ui};

use super::{Link, Near, Panel, Wish, draw_commas, draw_links, faults, inputs, links_to, offered};
use crate::fault::{Code, Fault, Fix, Placed, Severity, Span, Stands};
use crate::language::check::Sort;
use crate::language::work::Outcome;
use crate::quantity::System;
use crate::recalc::{Showing, Trace};
use crate::session::Command;
use crate::window::arrange::{Group, RowsBy};
use crate::window::commas::{self, Commas};
use crate::window::grid::Told as OfGroup;
use crate::window::groups::ROWS;
use crate::window::live::WHOLE;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot, measured, sort_words};
use crate::window::typing::Editing;
use crate::workbook::{Role, Statement};

/// A line of the working.
#[derive(Clone, Debug)]
enum Told {
    /// The formula in symbols.
    Symbols(String),
    /// The formula with values and units.
    Values(String),
    /// The whole of a choice; shown when it is asked for.
    Whole(String),
    /// What a check that holds says.
    Check(String),
    /// What is worth a look before the value is relied on.
    Warned(String),
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
    /// The group it speaks of.
    of_group: Option<GroupAt>,
    name: String,
    title: String,
    item: String,
    sort: String,
    /// What it gives: said first.
    result: String,
    /// Long formulas are shown whole.
    unfolded: bool,
    told: Vec<Told>,
    /// The sheet and its numbers with a decimal comma, where this is one of several.
    commas: Option<(usize, Commas)>,
    /// A word and the places it leads to.
    ways: Vec<(&'static str, Vec<Link>)>,
}

/// Which group is spoken of: as long as it is the same one nothing else can be said of it.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupAt {
    /// The list whose rows are grouped.
    pub sheet: usize,
    /// Which of its rows are in sight, and by what they are grouped.
    pub by: RowsBy,
    /// The group.
    pub group: Group,
    /// The quantity of the chosen column.
    pub quantity: Option<usize>,
    /// After which change.
    pub changes: u64,
    /// The units it is said in.
    pub system: System,
}

/// What the reading of a list has to say of a place.
#[derive(Debug, Default)]
pub struct Reading {
    /// What it doubts.
    pub doubted: Option<String>,
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
        let warned = warnings_of(seen, spot);
        let warned = warned
            .iter()
            .map(|placed| Told::Warned(format!("△ {}", placed.fault.in_words())));
        let _ = self.told.splice(0..0, warned);
        let readers = session.readers(here, &quantity.name);
        let (wrong, sound): (Vec<_>, Vec<_>) = super::checks::found(session.results(), here, &readers, item)
            .into_iter()
            .partition(|found| found.wrong);
        let wrong = wrong.into_iter().map(|found| Told::Wrong(found.words, Vec::new()));
        let _ = self.told.splice(0..0, wrong);
        self.told
            .extend(sound.into_iter().map(|found| Told::Check(found.words)));
        let key = key.map(|key| Near { name: key, at: item });
        let results = session.results();
        let mut way = |word, names: &[(Arc<str>, Arc<str>)]| {
            if !names.is_empty() {
                self.ways.push((word, links_to(results, here, names, key)));
            }
        };
        // A number typed over the formula of others reads nothing.
        if !quantity.is_typed_over(item) {
            way("reads", &session.reads(here, &quantity.name));
        }
        way("used by", &readers);
        if let Some(trace) = trace.filter(|trace| !trace.rests_on.is_empty()) {
            let at = usize::from(self.ways.first().is_some_and(|(word, _)| *word == "reads"));
            self.ways
                .insert(at, ("rests on", inputs(results, here, (&trace.rests_on, MOST), item)));
        }
    }

    /// Whether this group is the one that it speaks of.
    pub fn is_of_group(&self, at: &GroupAt) -> bool {
        self.of_group.as_ref() == Some(at)
    }

    /// What is said of a group of rows: its values, how many rows it has, its sums and means, and where they stand; the working of
    /// the sum that is chosen.
    pub fn read_group(&mut self, at: GroupAt, told: &OfGroup<'_>) {
        let changes = at.changes;
        let of = Some(at);
        *self = Working::default();
        let Some((sums, item)) = told.sums else {
            self.of_group = of;
            self.of_rows(told);
            self.told
                .push(Told::Nothing("no sums: the list of groups is not there".to_owned()));
            return;
        };
        let field = Field::Value(item);
        let spot = |quantity| Spot { quantity, field };
        match told.first {
            Some(quantity) => {
                self.read(Some(sums), Some(spot(quantity)), changes);
                self.item = format!("{} = {}, {}", told.by, told.name, told.rows);
            }
            None => self.of_rows(told),
        }
        (self.of, self.of_group) = (None, of);
        let others = sums.results.quantities.iter().enumerate();
        let others: Vec<String> = others
            .filter(|(at, quantity)| *quantity.name != *told.by && *quantity.name != *ROWS && Some(*at) != told.first)
            .filter_map(|(at, quantity)| {
                let cell = quantity.cells.get(item)?;
                let what = if quantity.title.is_empty() {
                    quantity.name.to_string()
                } else {
                    quantity.title.clone()
                };
                let value = match cell {
                    Outcome::Blank(why) => format!("none, as {why}"),
                    Outcome::Fault(_) => "has a fault".to_owned(),
                    Outcome::Value(_) => sums.showing(at)?.whole(cell),
                };
                let note = quantity.note(item).map_or(String::new(), |note| format!(", {note}"));
                Some(format!("{what}: {value}{note}"))
            })
            .collect();
        let links = others.into_iter().map(Told::Values);
        self.told.extend(links);
        let stands = Link {
            text: sums.results.name.to_string(),
            goes: Some((sums.at, spot(told.first.unwrap_or(0)))),
        };
        self.ways.push(("the sums stand in", vec![stands]));
    }

    /// What a group is and how many rows it has.
    fn of_rows(&mut self, told: &OfGroup<'_>) {
        self.name.clone_from(&told.by);
        self.title.clone_from(&told.by_title);
        self.result = format!("= {}", told.name);
        self.item.clone_from(&told.rows);
    }

    fn worked(&mut self, trace: &Trace, seen: Seen<'_>, spot: Spot) {
        let is = if trace.sought { "" } else { "= " };
        let whole = format!("{} {is}{}", self.name, trace.formula);
        let symbols = match (&trace.rearranged, &trace.branch) {
            (Some(rearranged), _) => format!("{whole}, so {rearranged}"),
            (None, Some(branch)) => format!("{} = {branch}", self.name),
            (None, None) => whole.clone(),
        };
        if !self.wrong(seen, spot) {
            // Beside the values it is the first that the working shows.
            let item = item_of(seen, spot).unwrap_or(0);
            match seen
                .quantity(spot.quantity)
                .and_then(|quantity| quantity.cells.get(item))
            {
                Some(Outcome::Fault(_)) => self.told.push(Told::Wrong(format!("✕ {}", trace.result), Vec::new())),
                Some(Outcome::Blank(_)) => self.told.push(Told::Nothing(format!("○ {}", trace.result))),
                _ => self.result = format!("= {}", trace.result),
            }
        }
        // What it gives has been said: then with values, then in symbols, of a choice the part that was taken.
        if trace.substituted != trace.formula && trace.substituted != trace.result {
            let is = if trace.sought && trace.rearranged.is_none() {
                "so that "
            } else {
                "= "
            };
            self.told.push(Told::Values(format!("{is}{}", trace.substituted)));
        }
        let is_part = symbols != whole && trace.rearranged.is_none();
        self.told.push(Told::Symbols(symbols));
        self.told.extend(trace.note.clone().map(Told::Note));
        if is_part {
            self.told.push(Told::Whole(whole));
        }
        self.told
            .extend(trace.tables.iter().map(|table| Told::Table(table.words())));
    }

    fn given(&mut self, seen: Seen<'_>, spot: Spot) {
        let quantity = seen.quantity(spot.quantity);
        if let Some((list, by)) = quantity.and_then(|quantity| seen.groups_by(quantity)) {
            if matches!(spot.field, Field::Value(_)) {
                self.result = format!("= {}", seen.shown(spot, false).text);
            }
            let words = format!("the groups are the different values of {list}.{by}; they are typed there");
            self.told.push(Told::Note(words));
            return;
        }
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
        let of_heading = match (spot.field, seen.quantity(spot.quantity)) {
            (Field::Value(item), Some(quantity)) => seen.is_of_heading(quantity, item),
            _ => false,
        };
        self.told.push(match of_heading {
            true => Told::Note(format!(
                "for rows without a value of their own, as its formula place says: {typed}"
            )),
            // What was read from a file, or worked out by reading it, nobody has typed.
            false if of_file(seen) => Told::Typed(format!("given: {typed}")),
            false => Told::Typed(format!("typed: {typed}")),
        });
        let brought = seen.showing(spot.quantity).filter(Showing::is_brought);
        if let (Some(showing), Field::Value(item)) = (brought, spot.field)
            && let Some(value @ Outcome::Value(_)) = seen.quantity(spot.quantity).and_then(|all| all.cells.get(item))
        {
            self.result = format!("= {}", showing.whole(value));
        }
        if shown.band.contains('…') {
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
        let faults: Vec<Placed> = faults
            .iter()
            .map(|placed| faults::said_in(placed, seen.system))
            .collect();
        self.told.extend(faults.iter().map(|placed| {
            let fixes = placed.fault.fixes.iter();
            let fixes = fixes.filter_map(|fix| {
                let again = faults::fixed_at(seen, spot, placed, fix);
                again.or_else(|| faults::fixed(seen.session, placed, fix))
            });
            Told::Wrong(placed.fault.in_words(), fixes.collect())
        }));
        if faults.iter().any(|placed| placed.fault.code == Code::NUMBER_FORM) {
            let found = commas::by_sheet(seen.session).into_iter().nth(seen.at);
            self.commas = found.filter(|found| found.count() > 1).map(|found| (seen.at, found));
        }
        !faults.is_empty()
    }

    /// Draws it. `away`: for how long the session has been at work.
    pub fn draw(&mut self, ui: &mut Ui, away: Option<Duration>, beside: &Reading, wishes: &mut Vec<Wish>) {
        if self.name.is_empty() {
            return;
        }
        let busy = away.is_some_and(|away| away > LONG);
        let _ = ui.add_enabled_ui(!busy, |ui| self.lines(ui, beside, wishes));
    }

    fn lines(&mut self, ui: &mut Ui, beside: &Reading, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        let small = |text: &str| RichText::new(text).size(12.0).color(inks.faint);
        let _ = ui.horizontal_wrapped(|ui| {
            let _ = ui.label(RichText::new(&self.name).font(look::bold(18.0)));
            if !self.result.is_empty() {
                let _ = ui.label(RichText::new(&self.result).font(look::bold(18.0)));
            }
            if !self.title.is_empty() {
                let _ = ui.label(&self.title);
            }
            if !self.item.is_empty() {
                let _ = ui.label(RichText::new(&self.item).font(look::oblique(14.0)).color(inks.words));
            }
            let _ = ui.label(small(&self.sort));
        });
        if let Some(doubt) = &beside.doubted {
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
            if matches!(told, Told::Whole(_)) && !self.unfolded {
                unfold |= ui.link(small("the whole formula…")).clicked();
                continue;
            }
            let text = match told {
                Told::Values(text) => RichText::new(text),
                Told::Symbols(text) | Told::Whole(text) => RichText::new(text).color(inks.words),
                Told::Check(text) => RichText::new(text).size(13.0).color(inks.good),
                Told::Warned(text) => RichText::new(text).color(inks.doubtful),
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
        if let Some((sheet, found)) = &self.commas {
            let _ = ui.horizontal_wrapped(|ui| draw_commas(ui, *sheet, found, wishes));
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

/// The item that a place speaks of: where there is one value, the other fields speak of it too.
fn item_of(seen: Seen<'_>, spot: Spot) -> Option<usize> {
    match spot.field {
        Field::Value(item) => Some(item),
        _ => (seen.results.items.len() == 1).then_some(0),
    }
}

/// Whether a fault stands in the line or the row of a value.
fn stands(seen: Seen<'_>, quantity: &str, item: usize, placed: &Placed) -> bool {
    let (Stands::Line(at, _) | Stands::Row(at, ..)) = placed.stands else {
        return false;
    };
    let book = seen.session.workbook();
    let key = seen.results.items.get(item);
    // What is wrong with the value of one case is not said of another.
    let of_item = placed
        .item
        .as_deref()
        .is_none_or(|item| key.is_some_and(|key| **key == *item));
    at == seen.at
        && of_item
        && book.quantity_at(placed.stands).is_some_and(|name| **name == *quantity)
        && book
            .item_at(placed.stands, &seen.results.items)
            .is_none_or(|row| row == item)
}

/// Whether a list was read from a file.
fn of_file(seen: Seen<'_>) -> bool {
    let mut lines = seen.sheet.lines.iter();
    lines.any(|line| matches!(line.statement, Statement::Read { .. }))
}

/// The faults of a value that has none of its own making: as they stand in the line or the row.
fn faults_of(seen: Seen<'_>, spot: Spot) -> Vec<&Placed> {
    let (Some(quantity), Some(item)) = (seen.quantity(spot.quantity), item_of(seen, spot)) else {
        return Vec::new();
    };
    let Some(Outcome::Fault(own)) = quantity.cells.get(item) else {
        return Vec::new();
    };
    let here = |placed: &&Placed| {
        let said = own.passed_on || placed.fault.message == own.message;
        placed.fault.is_error() && said && stands(seen, &quantity.name, item, placed)
    };
    let faults = seen.session.results().faults.iter();
    faults.filter(here).take(MOST_FAULTS).collect()
}

/// The warnings that stand on a value.
fn warnings_of(seen: Seen<'_>, spot: Spot) -> Vec<&Placed> {
    let (Some(quantity), Some(item)) = (seen.quantity(spot.quantity), item_of(seen, spot)) else {
        return Vec::new();
    };
    let here =
        |placed: &&Placed| placed.fault.severity == Severity::Warning && stands(seen, &quantity.name, item, placed);
    let faults = seen.session.results().faults.iter();
    faults.filter(here).take(MOST_FAULTS).collect()
}

/// What the open text would be: kind and unit, faults with their help; the same of one that is not taken in, where it is not open.
pub fn typing(ui: &mut Ui, editing: &Editing, is_open: bool, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    if let Some(refused) = &editing.refused {
        let _ = ui.label(RichText::new(format!("✕ {refused}")).color(inks.failed));
        let words = match is_open {
            true => "It is not taken in. Mend it, or press Esc to leave the place as it was.",
            false => {
                "It is not taken in. F2 opens it to be mended, Delete puts it away and leaves the place as it was."
            }
        };
        let stands = match editing.was.trim() {
            "" => String::new(),
            was => format!(" Until then `{was}` stands here, and is what others are worked from."),
        };
        let _ = ui.label(RichText::new(format!("{words}{stands}")).color(inks.words));
    }
    let Some(look) = &editing.look else {
        let words = match editing.holds_formula() {
            true => "Enter types it, Esc leaves it as it was. F12 finds functions by plain words.",
            false => "Enter types it, Esc leaves it as it was.",
        };
        let _ = ui.label(RichText::new(words).color(inks.faint));
        return;
    };
    if let Some(words) = &editing.within {
        let _ = ui.label(
            RichText::new(words)
                .font(crate::window::look::oblique(13.0))
                .color(inks.words),
        );
    }
    if let Some(words) = gives(editing) {
        let _ = ui.label(RichText::new(words).font(crate::window::look::bold(14.0)));
    }
    if let Some(Err(why)) = editing.valued() {
        let _ = ui.label(RichText::new(format!("✕ {why}")).color(inks.failed));
    }
    // What was refused has been said, with its help or without.
    let said = |fault: &&Fault| {
        let message = fault.message.to_string();
        editing.refused.as_ref().is_none_or(|said| !said.starts_with(&message))
    };
    let all_said = look.faults.iter().filter(|fault| !said(fault));
    let fixes: Vec<Fix> = all_said.flat_map(|fault| fixes_of(editing, fault)).collect();
    mends(ui, &fixes, wishes);
    for fault in look.faults.iter().filter(said).take(3) {
        let (mark, ink) = if fault.is_error() {
            ("✕", inks.failed)
        } else {
            ("△", inks.doubtful)
        };
        let help = fault.help.as_ref().map_or(String::new(), |help| format!(" – {help}"));
        let _ = ui.label(RichText::new(format!("{mark} {}{help}", fault.message)).color(ink));
        mends(ui, &fixes_of(editing, fault), wishes);
    }
}

/// What mends the open text. Where another text is read than the one that is open, places in it are none of the open one: only what
/// takes the place of all of it does.
fn fixes_of(editing: &Editing, fault: &Fault) -> Vec<Fix> {
    let Some(read) = &editing.read_as else {
        return fault.fixes.clone();
    };
    let whole = Span::new(0, read.trim_end().len());
    let fixes = fault.fixes.iter().filter(|fix| fix.span == whole);
    let fixes = fixes.map(|fix| Fix {
        span: Span::new(0, editing.text.len()),
        ..fix.clone()
    });
    fixes.collect()
}

/// What the open text would be and give, in one line; `None` where it cannot stand there.
fn gives(editing: &Editing) -> Option<String> {
    if editing.gives.is_empty() {
        return None;
    }
    let is_formula = !matches!(
        editing.spot?.field,
        Field::Symbol | Field::Label | Field::Unit | Field::Kind | Field::Source
    );
    // A whole line where a label stands says that it is one, and what it gives.
    let is_line = !is_formula && editing.holds_formula();
    let is_worked = is_line && matches!(editing.valued(), Some(Ok(_)));
    if !is_formula && !is_worked {
        return Some(editing.gives.clone());
    }
    let gives = match editing.valued() {
        Some(Ok(value)) => {
            let what = editing
                .look
                .as_ref()
                .filter(|look| !matches!(look.sort, Sort::Truth))
                .map(|look| measured(&look.sort))
                .unwrap_or_default();
            match what.as_str() {
                "" => format!("gives {value}"),
                what => format!("gives {value}: {what}"),
            }
        }
        Some(Err(_)) => return None,
        None => format!("gives: {}", editing.gives),
    };
    Some(match &editing.read_as {
        _ if is_line => format!("{WHOLE}; {gives}"),
        Some(text) => format!("read as {text}, the unit that is shown; {gives}"),
        None => gives,
    })
}

/// Offers changes of the open text.
fn mends(ui: &mut Ui, fixes: &[Fix], wishes: &mut Vec<Wish>) {
    if fixes.is_empty() {
        return;
    }
    let _ = ui.horizontal_wrapped(|ui| {
        for fix in fixes {
            if offered(ui, &fix.label) {
                wishes.push(Wish::Mend(fix.clone()));
            }
        }
    });
}
