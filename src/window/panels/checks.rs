//! Checks and flags: value, limit, margin, the margin also drawn; what does not hold first, then what holds by the least.
//!
//! Always: where a check does not hold, the givens that would have to change are named and lead to their places.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{self, RichText, Ui};

use super::margins::{self, Form, Row, Texts, Widths};
use super::{Link, Panel, Wish, draw_links, inputs, row_in_words};
use crate::quantity::System;
use crate::recalc::{CheckResults, Results, SheetResults, Verdict};
use crate::session::Session;
use crate::window::look;
use crate::window::spot::{Field, Spot};
use crate::window::wrong::{Resting, worked_before};
use crate::workbook;

/// Rows of a list named at most for one check.
const MOST: usize = 40;
/// Rows that are put in order by their margins at most; those behind them are counted.
const COMPARED: usize = 20_000;
/// Givens named at most that would have to change.
const MOST_GIVENS: usize = 8;

/// What a check says of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Says {
    Holds,
    Fails,
    Unworked,
    Raised,
    InDoubt,
}

impl Says {
    /// In the order in which they are counted.
    const ALL: [Says; 5] = [Says::Holds, Says::Fails, Says::Unworked, Says::Raised, Says::InDoubt];

    fn of(check: bool, verdict: &Verdict) -> Says {
        match (check, verdict.holds) {
            (true, Some(_)) if verdict.in_doubt => Says::InDoubt,
            (true, Some(true)) => Says::Holds,
            (true, Some(false)) => Says::Fails,
            (false, Some(true)) => Says::Raised,
            (_, None) | (false, Some(false)) => Says::Unworked,
        }
    }

    fn mark(self) -> &'static str {
        match self {
            Says::Holds => "✓",
            Says::Fails => "✕",
            Says::Unworked => "○",
            Says::Raised => "△",
            Says::InDoubt => "±",
        }
    }

    fn word(self) -> &'static str {
        match self {
            Says::Holds => "holds",
            Says::Fails => "does not hold",
            Says::Unworked => "not worked",
            Says::Raised => "raised",
            Says::InDoubt => "in doubt",
        }
    }

    /// What is worth a look first has the smallest.
    fn rank(self) -> u8 {
        match self {
            Says::Fails => 0,
            Says::InDoubt => 1,
            Says::Raised => 2,
            Says::Unworked => 3,
            Says::Holds => 4,
        }
    }

    fn ink(self, inks: &look::Inks) -> egui::Color32 {
        match self {
            Says::Holds => inks.good,
            Says::Fails => inks.failed,
            Says::Unworked => inks.faint,
            Says::Raised | Says::InDoubt => inks.doubtful,
        }
    }
}

/// What comes first: what it says, then by how little.
fn first(a: (Says, Option<f32>), b: (Says, Option<f32>)) -> Ordering {
    let least = |share: Option<f32>| share.unwrap_or(f32::INFINITY);
    let by_word = a.0.rank().cmp(&b.0.rank());
    by_word.then(least(a.1).total_cmp(&least(b.1)))
}

/// A part of a formula, and the place of the quantity that it names.
type Part = (String, Option<usize>);

#[derive(Clone, Debug)]
struct Told {
    item: usize,
    says: Says,
    name: String,
    goes: Option<(usize, Spot)>,
    verdict: Verdict,
    /// The least margin as a share of the limit.
    share: Option<f32>,
    /// The givens that would have to change.
    changes: Vec<Link>,
}

#[derive(Clone, Debug)]
struct Entry {
    sheet: String,
    title: String,
    formula: Vec<Part>,
    /// Place of its sheet.
    at: usize,
    /// Its sheet, and what it is called among those who read something.
    reader: (Arc<str>, Arc<str>),
    told: Vec<Told>,
    /// In words, for a long list.
    sum: Option<String>,
}

impl Told {
    /// What stands in its row, where both sides are known.
    fn texts(&self) -> Option<Texts<'_>> {
        let (value, limit) = self.verdict.sides.as_ref()?;
        Some(Texts {
            name: &self.name,
            value,
            limit,
            margin: self.verdict.margin.as_deref().unwrap_or(""),
        })
    }
}

impl Entry {
    /// What is said first of it.
    fn worst(&self) -> (Says, Option<f32>) {
        let told = self.told.first();
        told.map_or((Says::Holds, None), |told| (told.says, told.share))
    }
}

/// The value of a quantity for an item.
fn value(quantity: usize, item: usize) -> Spot {
    Spot {
        quantity,
        field: Field::Value(item),
    }
}

/// A formula in parts, quantities of its sheet with their places.
fn parts(formula: &str, sheet: &SheetResults) -> Vec<Part> {
    let is_word = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == '′';
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let of_word = is_word(first);
        let end = rest.find(|letter| is_word(letter) != of_word).unwrap_or(rest.len());
        let (part, behind) = rest.split_at(end);
        // `drive.P_n` is a quantity of another sheet.
        let elsewhere = parts.last().is_some_and(|(before, _)| before.ends_with('.'));
        let place = sheet.quantities.iter().position(|known| *known.name == *part);
        parts.push((part.to_owned(), place.filter(|_| of_word && !elsewhere)));
        rest = behind;
    }
    parts
}

/// The panel: read once for every change, however often it is drawn.
#[derive(Clone, Debug, Default)]
pub struct Checks {
    of: Option<(u64, System)>,
    entries: Vec<Entry>,
    counts: [usize; 5],
}

/// How many checks of a sheet do not hold, in whichever item.
pub fn failing(sheet: &SheetResults) -> usize {
    let fails = |check: &&CheckResults| check.cells.iter().any(|cell| Says::of(true, cell) == Says::Fails);
    sheet.checks.iter().filter(fails).count()
}

/// Whether a check does not hold for an item.
pub fn fails(check: &CheckResults, item: usize) -> bool {
    let cell = check.cells.get(item);
    cell.is_some_and(|cell| Says::of(true, cell) == Says::Fails)
}

/// The checks that do not hold somewhere, by the quantities of a sheet that they read: sheet and place of each.
pub fn reading(session: &Session, here: &str) -> BTreeMap<Arc<str>, Vec<(usize, usize)>> {
    let mut out: BTreeMap<Arc<str>, Vec<(usize, usize)>> = BTreeMap::new();
    // Only those that do not hold are asked what they read, and each is looked through once, however many quantities that are.
    for (at, sheet) in session.results().sheets.iter().enumerate() {
        for (place, check) in sheet.checks.iter().enumerate() {
            if !(0..check.cells.len()).any(|item| fails(check, item)) {
                continue;
            }
            for (from, name) in session.check_reads((at, place)) {
                if *from == *here {
                    out.entry(name).or_default().push((at, place));
                }
            }
        }
    }
    out
}

/// What a check says of a value that it reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// It does not hold.
    pub wrong: bool,
    /// In words: `✕ check T_b >= 1.6 * T_1: -17.7 %`.
    pub words: String,
}

/// What the checks among the readers of a quantity find, for an item of its sheet: those that do not hold first.
pub fn found(results: &Results, here: &str, readers: &[(Arc<str>, Arc<str>)], item: usize) -> Vec<Found> {
    let of = |(sheet, name): &(Arc<str>, Arc<str>)| {
        let formula = name.strip_prefix("check ")?;
        let results = results.sheets.iter().find(|known| known.name == *sheet)?;
        let check = results.checks.iter().find(|check| *check.formula == *formula)?;
        // A check of another sheet is named by the first item in which it fails.
        let own = check
            .cells
            .get(item)
            .filter(|_| **sheet == *here && results.items.len() > 1);
        let fails = |cell: &&Verdict| Says::of(true, cell) == Says::Fails;
        let cell = own
            .or_else(|| check.cells.iter().find(fails))
            .or_else(|| check.cells.first().filter(|_| check.cells.len() == 1))?;
        let says = Says::of(true, cell);
        let margin = cell.margins().map_or(String::new(), |margins| format!(": {margins}"));
        let title = Some(check.text.as_str()).filter(|text| !text.is_empty() && *text != formula);
        let title = title.map_or(String::new(), |text| format!(" ({text})"));
        Some(Found {
            wrong: says == Says::Fails,
            words: format!("{} {name}{margin}{title}", says.mark()),
        })
    };
    let mut all: Vec<Found> = readers.iter().filter_map(of).collect();
    all.sort_by_key(|found| !found.wrong);
    all
}

/// What a check or flag gives, in a few words beside its line.
#[derive(Clone, Debug)]
pub struct InShort {
    says: Says,
    /// `✕ 2 of 30: -17.7 % for P-3`.
    pub words: String,
}

impl InShort {
    /// Its ink.
    pub fn ink(&self, inks: &look::Inks) -> egui::Color32 {
        self.says.ink(inks)
    }
}

/// A flag that is raised for no item, in words: where it could not be worked, that is no answer.
fn nowhere(cells: &[Verdict], says: Says) -> String {
    let unworked = cells.iter().filter(|verdict| verdict.holds.is_none()).count();
    match unworked {
        0 => "raised nowhere".to_owned(),
        all if all == cells.len() => format!("{} {}", says.mark(), says.word()),
        some => format!("raised nowhere, not worked for {some} of {}", cells.len()),
    }
}

/// A check or flag in short: the item it is worst for.
pub fn in_short(sheet: &SheetResults, results: &CheckResults, check: bool) -> InShort {
    let all = results.cells.len();
    let looked = results.cells.iter().enumerate().take(COMPARED);
    let said = looked.map(|(item, cell)| {
        let share = least_share(cell);
        (item, (Says::of(check, cell), share))
    });
    let worst = said.clone().min_by(|a, b| first(a.1, b.1));
    let Some((item, (says, _))) = worst else {
        let says = Says::Unworked;
        let words = format!("{} no rows", says.mark());
        return InShort { says, words };
    };
    let count = |says: Says| {
        let cells = results.cells.iter();
        cells.filter(|cell| Says::of(check, cell) == says).count()
    };
    let mut words = says.mark().to_owned();
    if !check && says == Says::Unworked {
        let words = nowhere(&results.cells, says);
        return InShort { says, words };
    }
    if !check {
        let alike = count(says);
        if all > 1 && alike < all {
            words.push_str(&format!(" {alike} of {all}"));
        }
        // How far a flag is raised is no margin.
        words.push_str(&format!(" {}", says.word()));
        return InShort { says, words };
    }
    let margins = results.cells.get(item).and_then(Verdict::margins);
    let told = margins.as_deref().unwrap_or_else(|| says.word());
    if all == 1 {
        words.push_str(&format!(" {told}"));
        return InShort { says, words };
    }
    // The item it is worst for, then what it says of the others.
    let name = match sheet.items.get(item) {
        Some(name) if !name.is_empty() => name.to_string(),
        _ => row_in_words(sheet, item),
    };
    words.push_str(&format!(" {name}: {told}"));
    let others = Says::ALL.into_iter().filter_map(|other| {
        let more = if other == says { count(other) - 1 } else { count(other) };
        let word = match (other, more) {
            (_, 0) => return None,
            // That all hold is what the mark says.
            (Says::Holds, _) if says == Says::Holds => return None,
            (Says::Holds, 1) => "holds",
            (Says::Holds, _) => "hold",
            (Says::Fails, 2..) => "do not hold",
            (other, _) => other.word(),
        };
        let again = if other == says { " more" } else { "" };
        Some(format!("{more}{again} {word}"))
    });
    let others: Vec<String> = others.collect();
    if !others.is_empty() {
        words.push_str(&format!("; {}", others.join(", ")));
    }
    InShort { says, words }
}

/// The margin as a share of the limit: the least within the tolerances.
fn least_share(verdict: &Verdict) -> Option<f32> {
    let margin = verdict.least.as_deref().or(verdict.margin.as_deref());
    margin.and_then(share)
}

fn share(margin: &str) -> Option<f32> {
    margin
        .strip_suffix('%')?
        .trim()
        .parse::<f32>()
        .ok()
        .map(|share| share / 100.0)
}

impl Checks {
    /// Reads the checks anew where something has changed.
    pub fn read(&mut self, session: &Session, changes: u64, system: System) {
        if self.of == Some((changes, system)) {
            return;
        }
        *self = Checks {
            of: Some((changes, system)),
            ..Checks::default()
        };
        let mut sheets: Vec<Vec<Entry>> = Vec::new();
        for (at, sheet) in session.results().sheets.iter().enumerate() {
            let mut entries = Vec::new();
            for (checks, check) in [(&sheet.checks, true), (&sheet.flags, false)] {
                for (place, results) in checks.iter().enumerate() {
                    let which = (at, check, place);
                    let mut entry = self.entry(which, sheet, results);
                    for told in &mut entry.told {
                        if system != System::AsWritten {
                            let sides = session.sides_in(which, told.item, system);
                            told.verdict.sides = told.verdict.sides.take().and(sides);
                            let why = told.verdict.why.take();
                            told.verdict.why = why.map(|why| system.words(&why).into());
                        }
                        if matches!(told.says, Says::Fails | Says::InDoubt) && check {
                            let mut givens = session.check_rests_on(which, told.item, system);
                            // What is not there, and what did not give the value, would not change it.
                            let gave = givens.iter().any(|given| !given.aside);
                            givens.retain(|given| given.value != "–" && !(given.aside && gave));
                            let most = (givens.as_slice(), MOST_GIVENS);
                            told.changes = inputs(session.results(), &sheet.name, most, told.item);
                        }
                    }
                    entries.push(entry);
                }
            }
            entries.sort_by(|a, b| first(a.worst(), b.worst()));
            sheets.extend((!entries.is_empty()).then_some(entries));
        }
        let worst = |entries: &Vec<Entry>| entries.first().map_or((Says::Holds, None), Entry::worst);
        sheets.sort_by(|a, b| first(worst(a), worst(b)));
        self.entries = sheets.into_iter().flatten().collect();
    }

    fn entry(&mut self, which: (usize, bool, usize), sheet: &SheetResults, results: &CheckResults) -> Entry {
        let (at, check, _) = which;
        let (text, formula, cells) = (&results.text, &*results.formula, &results.cells);
        // Of a long list only the rows that say something are named.
        let long = cells.len() > MOST;
        let formula = parts(formula, sheet);
        let quantity = formula.iter().find_map(|(_, quantity)| *quantity);
        let mut named: Vec<(usize, Says, Option<f32>)> = Vec::new();
        let (mut said, mut failed, mut unworked) = (0, 0, 0);
        let mut worst: Option<Says> = None;
        let none_worked = cells.iter().all(|verdict| verdict.holds.is_none());
        for (item, verdict) in cells.iter().enumerate() {
            let says = Says::of(check, verdict);
            if worst.is_none_or(|worst| says.rank() < worst.rank()) {
                worst = Some(says);
            }
            said += usize::from(matches!(says, Says::Holds | Says::Raised));
            failed += usize::from(says == Says::Fails);
            unworked += usize::from(check && says == Says::Unworked);
            let is_named = match says {
                Says::Holds => !long,
                Says::Unworked => check || none_worked,
                Says::Fails | Says::Raised | Says::InDoubt => true,
            };
            if is_named && named.len() < COMPARED {
                named.push((item, says, least_share(verdict)));
            }
        }
        // A check counts once, by the worst that it says, as in the title and the side bar.
        if let Some(worst) = worst.filter(|worst| check || *worst == Says::Raised)
            && let Some(count) = Says::ALL.iter().position(|says| *says == worst)
            && let Some(count) = self.counts.get_mut(count)
        {
            *count += 1;
        }
        named.sort_by(|a, b| first((a.1, a.2), (b.1, b.2)));
        named.truncate(MOST);
        let told = named.into_iter().filter_map(|(item, says, share)| {
            Some(Told {
                item,
                says,
                name: match sheet.items.get(item) {
                    Some(name) if !name.is_empty() => name.to_string(),
                    _ if cells.len() > 1 => row_in_words(sheet, item),
                    _ => String::new(),
                },
                goes: quantity.map(|quantity| (at, value(quantity, item))),
                share,
                verdict: cells.get(item)?.clone(),
                changes: Vec::new(),
            })
        });
        Entry {
            sheet: sheet.heading().to_owned(),
            title: text.clone(),
            told: told.collect(),
            formula,
            at,
            reader: (
                sheet.name.clone(),
                format!("{} {}", if check { "check" } else { "flag" }, results.formula).into(),
            ),
            sum: match (check, said, cells.len()) {
                (true, ..) if sheet.form == workbook::Form::Sheet || cells.len() < 2 => None,
                (true, said, all) => Some({
                    let mut words = format!("holds for {said} of {all} rows");
                    for (count, of) in [(failed, "does not hold for"), (unworked, "not worked for")] {
                        if count > 0 {
                            words.push_str(&format!(", {of} {count}"));
                        }
                    }
                    words
                }),
                (false, 0, _) => Some(nowhere(cells, Says::Unworked)),
                (false, said, all) => Some(format!("raised in {said} of {all} rows")),
            },
        }
    }

    /// Draws the panel. `resting`: what is worked from a place whose text is not taken in.
    pub fn draw(&mut self, ui: &mut Ui, resting: &Resting, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        if self.entries.is_empty() {
            let _ = ui.label("This workbook has no checks. A line of a sheet such as");
            let _ =
                ui.label(RichText::new("check P_n >= 1.1 * P_sh  \"ten per cent in hand\"").font(look::oblique(14.0)));
            let _ = ui.label("makes one.");
            if ui.link("Type a line…").clicked() {
                wishes.push(Wish::Show(Panel::Lines));
            }
            return;
        }
        let _ = ui.horizontal_wrapped(|ui| {
            for (says, count) in Says::ALL.into_iter().zip(self.counts) {
                if count > 0 {
                    let words = match (says, count) {
                        (Says::Holds, 1) => "1 check holds".to_owned(),
                        (Says::Holds, _) => format!("{count} checks hold"),
                        (Says::Fails, 1) => "1 check does not hold".to_owned(),
                        (Says::Fails, _) => format!("{count} checks do not hold"),
                        _ => format!("{count} {}", says.word()),
                    };
                    let _ = ui.label(RichText::new(format!("{} {words}", says.mark())).color(says.ink(inks)));
                }
            }
        });
        let widths = |entries: &[Entry], ui: &Ui| {
            let texts = entries.iter().flat_map(|entry| &entry.told).filter_map(Told::texts);
            texts.fold(Widths::default(), |all, texts| all.with(Widths::of(ui, texts)))
        };
        let room = ui.available_width();
        let form = Form::of(widths(&self.entries, ui), room);
        let mut sheet = "";
        for (index, entry) in self.entries.iter().enumerate() {
            let _ = ui.push_id(("check", index), |ui| {
                if entry.sheet != sheet {
                    sheet = &entry.sheet;
                    ui.add_space(8.0);
                    look::heading(ui, sheet);
                    margins::heads(ui, form);
                }
                one(ui, entry, form, (resting, wishes));
            });
        }
    }
}

fn one(ui: &mut Ui, entry: &Entry, form: Form, (resting, wishes): (&Resting, &mut Vec<Wish>)) {
    let inks = look::of(ui);
    ui.add_space(4.0);
    let of_first = entry.told.first().map_or(0, |told| told.item);
    let title = RichText::new(&entry.title).font(look::bold(14.0)).color(inks.ink);
    match entry.told.first().and_then(|told| told.goes) {
        Some((at, spot)) => {
            if ui.link(title).on_hover_text("Go there").clicked() {
                wishes.push(Wish::Go(at, spot));
            }
        }
        None => {
            let _ = ui.label(title);
        }
    }
    if entry.formula.iter().map(|(part, _)| &**part).collect::<String>() != entry.title {
        let _ = ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            for (part, quantity) in &entry.formula {
                let text = RichText::new(part).font(look::oblique(13.0)).color(inks.words);
                match quantity {
                    Some(quantity) => {
                        if ui.link(text.color(inks.typed)).on_hover_text("Go there").clicked() {
                            wishes.push(Wish::Go(entry.at, value(*quantity, of_first)));
                        }
                    }
                    None => {
                        let _ = ui.label(text);
                    }
                }
            }
        });
    }
    for told in &entry.told {
        let ink = told.says.ink(inks);
        let font = if told.says == Says::Holds {
            look::upright(14.0)
        } else {
            look::bold(14.0)
        };
        let of_font = font.clone();
        let name = |ui: &mut Ui| {
            let mark = ui.label(RichText::new(told.says.mark()).font(of_font).color(ink));
            // Those who listen hear the word for the mark.
            let spoken = format!("{} {}", told.says.mark(), told.says.word());
            ui.ctx().accesskit_node_builder(mark.id, |node| node.set_value(spoken));
            let _ = mark.on_hover_text(told.says.word());
            if let (false, Some((at, spot))) = (told.name.is_empty(), told.goes)
                && ui.link(&told.name).on_hover_text("Go there").clicked()
            {
                wishes.push(Wish::Go(at, spot));
            }
        };
        match (told.texts(), &told.verdict.why) {
            (Some(texts), _) => {
                let shares = [told.verdict.margin.as_deref().and_then(share), told.share];
                margins::numbers(ui, form, texts, (shares, ink, font), name);
            }
            (None, Some(why)) => {
                Row::new(ui).beginning(ui, 0.0, name);
                let _ = ui.label(RichText::new(&**why).size(12.0).color(inks.faint));
            }
            (None, None) => Row::new(ui).beginning(ui, 0.0, |ui| {
                name(ui);
                let _ = ui.label(RichText::new(told.says.word()).size(13.0).color(inks.words));
            }),
        }
        let (sheet, name) = &entry.reader;
        if let Some(words) = resting.at(sheet, name, told.item) {
            let words = format!("△ {}", worked_before(words));
            let _ = ui.label(RichText::new(words).size(13.0).color(inks.doubtful));
        }
        if let Some(least) = &told.verdict.least {
            let words = format!("least margin within the tolerances: {least}");
            let _ = ui.label(RichText::new(words).size(13.0).color(ink));
        }
        if told.says == Says::InDoubt {
            let words = "in doubt: within the tolerances it holds in some places and not in others";
            let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(ink));
        }
        if !told.changes.is_empty() {
            let _ = ui.horizontal_wrapped(|ui| {
                let words = "one of these would have to change:";
                let _ = ui.label(RichText::new(words).size(12.0).color(inks.words));
                draw_links(ui, &told.changes, wishes);
            });
        }
    }
    if let Some(sum) = &entry.sum {
        let _ = ui.label(RichText::new(sum).size(13.0).color(inks.words));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn a_long_list_names_the_rows_that_fail_and_counts_the_rest() {
        use std::fmt::Write as _;
        let mut text = String::from(
            "polepair 1\nlist m\n  given tag : text\n  given P in kW\n  check P <= 99 kW \"small enough\"\n  rows tag | P\n",
        );
        for row in 1..=100 {
            let _ = writeln!(text, "    \"M-{row}\" | {row} kW");
        }
        let mut checks = Checks::default();
        checks.read(&Session::open(&text), 1, System::AsWritten);
        let entry = &checks.entries[0];
        assert_eq!(entry.told.len(), 1);
        assert_eq!(
            (entry.told[0].name.as_str(), entry.told[0].says),
            ("M-100", Says::Fails)
        );
        assert_eq!(
            entry.sum.as_deref(),
            Some("holds for 99 of 100 rows, does not hold for 1")
        );
        // It is one check, which does not hold, however many rows it has.
        assert_eq!(checks.counts, [0, 1, 0, 0, 0]);
        assert!(matches!(
            entry.told[0].goes,
            Some((
                0,
                Spot {
                    quantity: 1,
                    field: Field::Value(99)
                }
            ))
        ));
    }

    /// By hand: 10 kW ± 2 kW reach 12 kW and leave 4 % of 12.5 kW, 10 kW leave 9 % of 11 kW: the first holds by less.
    #[test]
    fn what_holds_by_the_least_within_its_tolerances_comes_first() {
        let text = "polepair 1\nsheet a\n  given P = 10 kW ± 2 kW\n  given Q = 10 kW\n  check Q <= 11 kW \"exact\"\n  check P <= 12.5 kW \"within\"\n";
        let mut checks = Checks::default();
        checks.read(&Session::open(text), 1, System::AsWritten);
        let titles: Vec<&str> = checks.entries.iter().map(|entry| entry.title.as_str()).collect();
        assert_eq!(titles, ["within", "exact"]);
    }

    #[test]
    fn margins_are_read_as_shares() {
        assert_eq!(share("10 %"), Some(0.1));
        assert_eq!(share("-3.2 %"), Some(-0.032));
        assert_eq!(share("none"), None);
    }
}
