//! How a cell came about: formula, substitution with units, result, the givens it rests on.

use std::collections::{BTreeSet, HashSet, VecDeque};
use std::sync::Arc;

use super::bands::Spread;
use super::book::{Book, Entry, Sheet};
use super::names::{Mention, mentions};
use super::published::tables_of_item;
use super::reach::{Link, Reach};
use super::results::{Band, Caused, How, RestsOn, Trace};
use super::settle::{Settled, Settlement, Slot, quantity_of, statement_of};
use super::shown::{Showing, limits_of};
use super::waves::{Done, View};
use crate::fault::Span;
use crate::language::check::{CurveBody, Goal, Op, QuantityId, Typed, Which, body_of};
use crate::language::functions::{self, Body};
use crate::language::syntax::{Expr, Node};
use crate::language::work::{Outcome, Program, Worked, each_part};
use crate::quantity::{System, show};
use crate::workbook::{Form, Role, Statement, Workbook};

/// Quantities in a row that hand a value on as it is, whose working is looked for at most.
const ALIASES: usize = 8;

/// What a trace is made from.
pub(super) struct Tracer<'a> {
    pub workbook: &'a Workbook,
    pub book: &'a Book,
    pub settlement: &'a Settlement,
    pub reach: &'a Reach,
    pub done: &'a [Done],
    /// The units that values are told in.
    pub system: System,
}

/// The text of a formula without the arms that are a refusal.
fn without_refusals(tree: &Expr, text: &str) -> String {
    let refuses = |value: &Expr| matches!(&value.node, Node::Call { name, .. } if &**name == "refuse");
    let Node::Choice { arms, otherwise } = &tree.node else {
        return text.to_owned();
    };
    let mut kept: Vec<String> = arms
        .iter()
        .filter(|(value, _)| !refuses(value))
        .map(|(value, condition)| value.span.join(condition.span).of(text).to_owned())
        .collect();
    let last = otherwise.as_deref().filter(|last| !refuses(last));
    if kept.len() == arms.len() && last.is_some() == otherwise.is_some() {
        return text.to_owned();
    }
    kept.extend(last.map(|last| {
        let word = if kept.is_empty() { "" } else { "otherwise " };
        format!("{word}{}", last.span.of(text))
    }));
    kept.join(", ")
}

impl Tracer<'_> {
    /// The trace of a cell; `None` for a value that stands there without a formula.
    pub fn trace(&self, entry: &Entry, item: usize) -> Option<Trace> {
        let sheet = self.book.sheets.get(entry.sheet)?;
        let settled = self.settlement.get(entry.id)?;
        let slot = settled.slot_of(item)?;
        let outcome = self.done.get(entry.id.0 as usize)?.cells.get(item)?;
        let view = View {
            book: self.book,
            done: self.done,
        };
        let quantity = quantity_of(self.workbook, entry);
        let rounding = quantity.and_then(|quantity| quantity.rounding.as_ref());
        let program = Program::new(&slot.typed, &view, sheet.id, "");
        let worked = program.as_ref().map(|program| program.traced(item));
        let rearranged = match &slot.typed.op {
            Some(Op::Seek(seek)) => seek.isolated.as_ref().map(|(_, text)| text.clone()),
            _ => None,
        };
        let refused = !matches!(outcome, Outcome::Value(_));
        let text = match &slot.seek {
            Some(such_that) => such_that.typed(),
            None if refused => slot.text.to_string(),
            None => without_refusals(&slot.tree, &slot.text),
        };
        let spread = self
            .done
            .get(entry.id.0 as usize)
            .and_then(|done| done.spreads.get(&item));
        let band = spread.and_then(|spread| spread.band.clone());
        let role = quantity.map_or(Role::Work, |quantity| quantity.role);
        let showing = Showing::new(&settled.sort, role, rounding, self.system);
        let result = match outcome {
            Outcome::Blank(why) => why.to_string(),
            Outcome::Fault(fault) => self.system.words(&fault.message),
            value => match band.as_deref() {
                Some(band) => showing.whole_with(value, Some(band)),
                // What a formula gives is rounded, whatever its line is called.
                None => Showing::new(&settled.sort, Role::Work, rounding, self.system).whole(value),
            },
        };
        let mut notes: Vec<String> = Vec::new();
        let taken = match (&worked, &slot.typed.op) {
            (Some(worked), Some(op)) => way(&slot.tree, op, &slot.text, worked, &mut notes),
            _ => None,
        };
        let substituted = match (&slot.seek, &program) {
            (None, Some(program)) => {
                // Of a choice the part that was taken.
                let within = taken.unwrap_or(Span::new(0, slot.text.len()));
                self.substituted(&slot.text, within, &slot.typed, program, item)
            }
            (Some(such_that), Some(_)) => {
                let value = |read| self.value(&slot.typed, program.as_ref(), read, item);
                match rearranged.as_deref().and_then(|text| text.split_once(" = ")) {
                    Some((_, alone)) => super::seeking::substituted_alone(alone, such_that, &slot.typed, value),
                    None => {
                        let plain = Showing::new(&settled.sort, Role::Work, rounding, self.system).whole(outcome);
                        let found = (!refused).then_some((&*entry.name, &*plain));
                        super::seeking::substituted(such_that, &slot.typed, found, value)
                    }
                }
            }
            (_, None) => text.clone(),
        };
        if let Some(held) = self
            .done
            .get(entry.id.0 as usize)
            .and_then(|done| done.notes.get(&item))
        {
            notes.extend(held.iter().map(|note| note.to_string()));
        }
        self.called(sheet, slot, refused, &mut notes);
        notes.dedup();
        // That a number is off by its own tolerance needs no words.
        if let Some(band) = band.as_ref().filter(|_| slot.typed.tolerances == 0) {
            notes.extend(caused(band, &sheet.name, &showing));
        }
        notes.extend(spread.and_then(Spread::without_band));
        let branch = taken.map(|span| span.of(&slot.text).to_owned());
        let further = (slot.seek.is_none() && !refused)
            .then(|| self.further((entry, slot), taken, item, ALIASES))
            .flatten();
        let (branch, substituted) = match further {
            Some((symbols, numbers)) => (Some(symbols), numbers),
            None => (branch, substituted),
        };
        Some(Trace {
            formula: text,
            sought: slot.seek.is_some(),
            branch,
            rearranged,
            substituted,
            result,
            rests_on: self.rests_on(entry.id, item),
            note: (!notes.is_empty()).then(|| notes.join("; ")),
            tables: tables_of_item(&slot.typed, worked.as_ref().map_or(&[], |worked| &worked.rows)),
        })
    }

    /// The working of the quantity whose value is handed on as it is: its name with its formula, and that with numbers. A name alone with
    /// its value in its place says nothing of how that came about.
    fn further(
        &self,
        (entry, slot): (&Entry, &Slot),
        taken: Option<Span>,
        item: usize,
        deep: usize,
    ) -> Option<(String, String)> {
        let within = taken.unwrap_or(Span::new(0, slot.text.len()));
        let is_alone = |place: &Span| {
            let rest = || slot.text.get(place.end as usize..within.end as usize);
            let before = slot.text.get(within.start as usize..place.start as usize);
            let ends = rest().is_some_and(|rest| rest.trim().is_empty() || rest.starts_with(" in "));
            before.is_some_and(|before| before.trim().is_empty()) && ends
        };
        let (_, read) = slot.typed.places.iter().find(|(place, _)| is_alone(place))?;
        let read = slot.typed.reads.get(*read).filter(|read| read.which == Which::Own)?;
        let (from, settled) = (self.book.entry(read.quantity)?, self.settlement.get(read.quantity)?);
        let is_worked = quantity_of(self.workbook, from).is_some_and(|quantity| quantity.role == Role::Work);
        if deep == 0 || !is_worked || from.sheet != entry.sheet {
            return None;
        }
        let sheet = self.book.sheets.get(from.sheet)?;
        let slot = settled.slot_of(item).filter(|slot| slot.seek.is_none())?;
        let view = View {
            book: self.book,
            done: self.done,
        };
        let program = Program::new(&slot.typed, &view, sheet.id, "")?;
        let op = slot.typed.op.as_ref()?;
        let taken = way(&slot.tree, op, &slot.text, &program.traced(item), &mut Vec::new());
        let symbols = match taken {
            Some(taken) => taken.of(&slot.text).to_owned(),
            None => without_refusals(&slot.tree, &slot.text),
        };
        if let Some((symbols, numbers)) = self.further((from, slot), taken, item, deep - 1) {
            return Some((format!("{} = {symbols}", from.name), numbers));
        }
        let within = taken.unwrap_or(Span::new(0, slot.text.len()));
        let numbers = self.substituted(&slot.text, within, &slot.typed, &program, item);
        // A number that was typed has no working.
        (numbers != symbols).then(|| (format!("{} = {symbols}", from.name), numbers))
    }

    /// The formula, or a part of it, with shown values in place of the names.
    fn substituted(&self, text: &str, within: Span, typed: &Typed, program: &Program<'_>, item: usize) -> String {
        let text = text.get(..within.end as usize).unwrap_or(text);
        let mut out = String::new();
        let mut at = within.start as usize;
        let mut places = typed.places.clone();
        places.sort_by_key(|(span, _)| span.start);
        for (span, read) in places {
            let (start, end) = (span.start as usize, span.end as usize);
            let (Some(between), true) = (text.get(at..start), start >= at && end <= text.len()) else {
                continue;
            };
            let Some(value) = self.value(typed, Some(program), read, item) else {
                continue;
            };
            out.push_str(between);
            let after = text.get(end..).unwrap_or("").trim_start();
            let value = bracketed(&value, &out, after);
            out.push_str(&value);
            at = end;
        }
        out.push_str(text.get(at..).unwrap_or(""));
        out
    }

    /// The shown value of a read; `None` where it is another one for every row of an aggregate.
    fn value(&self, typed: &Typed, program: Option<&Program<'_>>, read: usize, item: usize) -> Option<String> {
        let wanted = typed.reads.get(read)?;
        let op = typed.op.as_ref()?;
        if !outside_gather(op, read) && !matches!(wanted.which, Which::Key(_) | Which::Row(_) | Which::Here) {
            return None;
        }
        let outcome = program?.read(read, item);
        let settled = self.settlement.get(wanted.quantity)?;
        let entry = self.book.entry(wanted.quantity)?;
        Some(self.shown_of(entry, &outcome, &settled.sort))
    }

    fn shown_of(&self, entry: &Entry, outcome: &Outcome, sort: &crate::language::check::Sort) -> String {
        let quantity = quantity_of(self.workbook, entry);
        let role = quantity.map_or(Role::Given, |quantity| quantity.role);
        let rounding = quantity.and_then(|quantity| quantity.rounding.as_ref());
        Showing::new(sort, role, rounding, self.system).whole(outcome)
    }

    /// What the definitions, curves and library formulas called in a formula stand for. Where there is a value, the reasons for
    /// which there could have been none are left out.
    fn called(&self, sheet: &Sheet, slot: &Slot, refused: bool, notes: &mut Vec<String>) {
        let stands_for = |name: &str, parameters: &[&str], body: Option<&Expr>, text: &str| {
            let body = match body {
                Some(body) if !refused => without_refusals(body, text),
                _ => text.to_owned(),
            };
            format!("{name}({}) = {body}", parameters.join(", "))
        };
        let mut seen: BTreeSet<Arc<str>> = BTreeSet::new();
        let trees: Vec<Arc<Expr>> = match &slot.seek {
            Some(such_that) => super::settle::formulas_of(such_that)
                .into_iter()
                .map(|formula| formula.tree.clone())
                .collect(),
            None => vec![slot.tree.clone()],
        };
        let mut open: VecDeque<Mention> = trees.iter().flat_map(|tree| mentions(tree)).collect();
        while let Some(name) = open.pop_front() {
            let (name, called) = match name {
                Mention::Call(name) => (name, true),
                Mention::HandedOn(name) => (name, false),
                _ => continue,
            };
            if !seen.insert(name.clone()) {
                continue;
            }
            let own = sheet
                .definitions
                .get(&name)
                .or_else(|| self.book.definitions.get(&name))
                .map(|made| &made.what);
            if let Some(defined) = own {
                let parameters: Vec<&str> = defined.parameters.iter().map(|(name, _)| &**name).collect();
                notes.push(stands_for(&name, &parameters, Some(&*defined.body), &defined.text));
                continue;
            }
            let curve = sheet
                .curves
                .get(&name)
                .or_else(|| self.book.curves.get(&name))
                .map(|made| &made.what);
            if let Some(curve) = curve {
                // What a curve calls is part of the way.
                if let CurveBody::Formula(body, _) = &curve.body {
                    open.extend(mentions(body));
                }
                if let Some(text) = self.curve_text(sheet, &name) {
                    notes.push(format!("{name}({}) {text}", curve.parameter.0));
                }
                continue;
            }
            if called
                && let Some(function) = functions::find(&name)
                && let Body::Formula(text) = function.body
            {
                let parameters: Vec<&str> = function.parameters.iter().map(|parameter| parameter.name).collect();
                notes.push(stands_for(&name, &parameters, body_of(function), text));
            }
        }
    }

    fn curve_text(&self, sheet: &Sheet, name: &str) -> Option<String> {
        let lines = match sheet.curves.get(name) {
            Some(made) => {
                let place = self.book.place(sheet.id)?;
                self.workbook.sheets.get(place)?.lines.get(made.line)?
            }
            None => self.workbook.head.get(self.book.curves.get(name)?.line)?,
        };
        match &lines.statement {
            Statement::Curve { body, .. } => Some(match body {
                crate::workbook::CurveText::Formula(formula) => format!("= {}", formula.text),
                crate::workbook::CurveText::Points(points) => {
                    let points: Vec<String> = points
                        .iter()
                        .map(|(x, y)| format!("({}, {})", x.text, y.text))
                        .collect();
                    format!("through {}", points.join(", "))
                }
            }),
            _ => None,
        }
    }

    /// The givens a cell rests on, in the order they are met; what only conditions and parts of a choice that were not taken read comes
    /// behind the rest.
    pub(super) fn rests_on(&self, id: QuantityId, item: usize) -> Vec<RestsOn> {
        let mut out = Vec::new();
        let mut seen: HashSet<(QuantityId, Option<usize>)> = HashSet::new();
        let mut open: VecDeque<(QuantityId, Option<usize>)> = VecDeque::from([(id, Some(item))]);
        let mut beside = VecDeque::new();
        let mut aside = false;
        loop {
            let Some((id, item)) = open.pop_front() else {
                if beside.is_empty() {
                    break;
                }
                aside = true;
                open.append(&mut beside);
                continue;
            };
            if !seen.insert((id, item)) {
                continue;
            }
            let (Some(entry), Some(sheet), Some(settled)) =
                (self.book.entry(id), self.book.sheet_of(id), self.settlement.get(id))
            else {
                continue;
            };
            // A formula that has a fault does not say whose values it reads; in its own sheet they are those of its case.
            let unread = item.filter(|item| settled.slot_of(*item).is_some_and(|slot| slot.typed.op.is_none()));
            let taken = item.and_then(|item| self.taken(entry, sheet, settled, item));
            let mut leads = false;
            for (read, link, only) in self.reach.reads(id) {
                let concerns = match (only, item) {
                    (None, Some(item)) => !settled.own.contains_key(&item),
                    (Some(only), Some(item)) => *only == item,
                    (_, None) => true,
                };
                if !concerns {
                    continue;
                }
                leads = true;
                let from = self.book.sheet_of(*read);
                let target = match (link, item) {
                    (Link::Item(item), _) => Some(*item),
                    _ if unread.is_some() && from.is_some_and(|from| from.id == sheet.id) => unread,
                    (Link::Same, item) => item,
                    (Link::Case, Some(item)) => from.and_then(|from| self.book.counterpart(sheet, item, from)),
                    (Link::Before, Some(item)) => match item.checked_sub(1) {
                        Some(item) => Some(item),
                        None => continue,
                    },
                    (Link::Case | Link::Before, None) | (Link::Down | Link::Every, _) => None,
                };
                let single = from.is_some_and(|from| from.items.count() == 1);
                let next = (*read, if single { Some(0) } else { target });
                match taken.as_ref().is_none_or(|taken| taken.contains(read)) {
                    true => open.push_back(next),
                    false => beside.push_back(next),
                }
            }
            let given = quantity_of(self.workbook, entry).is_none_or(|quantity| quantity.role == Role::Given);
            // A plate value whose tolerance depends on others is an input all the same.
            let toleranced = seen.len() > 1 && settled.slots.iter().any(|slot| slot.typed.tolerances > 0);
            if given && (!leads || toleranced) {
                out.extend(self.leaf(entry, sheet, item).map(|leaf| RestsOn { aside, ..leaf }));
            }
        }
        out
    }

    /// What the part of a choice reads that gave the value of an item; none where nothing was chosen.
    fn taken(&self, entry: &Entry, sheet: &Sheet, settled: &Settled, item: usize) -> Option<HashSet<QuantityId>> {
        let slot = settled.slot_of(item)?;
        let op = slot.typed.op.as_ref().filter(|op| chooses(op))?;
        let outcome = self.done.get(entry.id.0 as usize)?.cells.get(item)?;
        if !matches!(outcome, Outcome::Value(_)) {
            return None;
        }
        let view = View {
            book: self.book,
            done: self.done,
        };
        let worked = Program::new(&slot.typed, &view, sheet.id, "")?.traced(item);
        let span = way(&slot.tree, op, &slot.text, &worked, &mut Vec::new())?;
        let places = slot.typed.places.iter();
        let inside = places.filter(|(place, _)| span.start <= place.start && place.end <= span.end);
        Some(
            inside
                .filter_map(|(_, read)| Some(slot.typed.reads.get(*read)?.quantity))
                .collect(),
        )
    }

    fn leaf(&self, entry: &Entry, sheet: &Sheet, item: Option<usize>) -> Option<RestsOn> {
        let cells = &self.done.get(entry.id.0 as usize)?.cells;
        let quantity = match statement_of(self.workbook, entry) {
            Some(Statement::Quantity(quantity)) => Some(quantity),
            _ => None,
        };
        let sort = &self.settlement.get(entry.id)?.sort;
        let rounding = quantity.and_then(|quantity| quantity.rounding.as_ref());
        let value = match item {
            Some(item) => {
                let cell = cells.get(item)?;
                // The mean of three readings has a tail that nobody read off a meter.
                let role = if sheet.form == Form::List && has_tail(cell) {
                    Role::Work
                } else {
                    Role::Given
                };
                Showing::new(sort, role, rounding, self.system).whole(cell)
            }
            None => of_several(cells, sheet),
        };
        Some(RestsOn {
            sheet: sheet.name.clone(),
            item: item.and_then(|item| sheet.items.names.get(item).cloned()),
            name: entry.name.clone(),
            title: quantity.and_then(|quantity| quantity.title.clone()).unwrap_or_default(),
            value,
            source: quantity.and_then(|quantity| quantity.source.clone()),
            aside: false,
        })
    }
}

/// Whether a formula, or what it brings to a unit, is a choice.
fn chooses(op: &Op) -> bool {
    match op {
        Op::Scale(inner, _) => chooses(inner),
        Op::Choice { .. } | Op::Else(..) => true,
        _ => false,
    }
}

/// Whether a number has more digits behind its point than a reading or a plate.
fn has_tail(cell: &Outcome) -> bool {
    const MOST: usize = 5;
    let number = cell.as_number().map(|number| show::exact(&number)).unwrap_or_default();
    number.contains('.') && number.bytes().filter(u8::is_ascii_digit).count() > MOST
}

/// Several values that something rests on: how many there are, and which are missing or have a fault.
fn of_several(cells: &[Outcome], sheet: &Sheet) -> String {
    let all = cells.len();
    let named = |word: &str, is: fn(&Outcome) -> bool| {
        let mut items = cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| is(cell))
            .map(|(item, _)| item);
        let first = items.next()?;
        let name = match sheet.items.names.get(first) {
            Some(name) if !name.is_empty() => name.to_string(),
            _ => format!("row {}", first + 1),
        };
        Some(match items.count() {
            0 => format!("{name} {word}"),
            more => format!("{name} and {more} more {word}"),
        })
    };
    let missing = named("missing", |cell| matches!(cell, Outcome::Blank(_)));
    let faulty = named("with a fault", |cell| matches!(cell, Outcome::Fault(_)));
    let lacking: Vec<String> = faulty.into_iter().chain(missing).collect();
    if lacking.is_empty() {
        return if all == 1 {
            "1 value".to_owned()
        } else {
            format!("{all} values")
        };
    }
    let values = cells.iter().filter(|cell| matches!(cell, Outcome::Value(_))).count();
    format!("{values} of {all} values: {}", lacking.join(", "))
}

/// Which tolerance causes how much of a band, in words.
fn caused(band: &Band, own: &str, showing: &Showing<'_>) -> Option<String> {
    let told = |caused: &Caused| {
        let mut name = match *caused.sheet == *own {
            true => caused.name.to_string(),
            false => format!("{}.{}", caused.sheet, caused.name),
        };
        if let Some(item) = caused.item.as_ref().filter(|item| !item.is_empty()) {
            name.push_str(&format!(" of {item}"));
        }
        let alone = Band {
            low: caused.low,
            high: caused.high,
            how: How::Corners,
            caused: Vec::new(),
        };
        let (low, high) = limits_of(&showing.band(&alone))?;
        Some(format!(
            "{name} causes {:.0} % of the band, alone {low} … {high}",
            caused.part * 100.0
        ))
    };
    let many = band.caused.len().saturating_sub(MOST_CAUSED);
    let mut parts: Vec<String> = band.caused.iter().take(MOST_CAUSED).filter_map(told).collect();
    if many > 0 {
        parts.push(format!("and {many} more"));
    }
    if band.how == How::Draws {
        parts.push("the limits are the outermost of shared draws".to_owned());
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// Inputs that are named as causes of a band.
const MOST_CAUSED: usize = 6;

/// A value ready to stand in a formula: in brackets where a power follows, where it has a sign of its own, and where it is a
/// phasor beside an operator.
pub(super) fn bracketed(value: &str, before: &str, after: &str) -> String {
    let power = after.starts_with(['^', '²', '³', '⁴', '⁻', '¹']);
    let phasor = value.contains(" j*") || value.contains('∠');
    let alone = before.trim_end().is_empty() || before.trim_end().ends_with(['(', ',']);
    let ends = after.is_empty() || after.starts_with([')', ',']);
    if value.starts_with('-') || (power && value.contains(' ')) || (phasor && !(alone && ends)) {
        format!("({value})")
    } else {
        value.to_owned()
    }
}

/// Whether a read also stands outside aggregates.
fn outside_gather(op: &Op, read: usize) -> bool {
    match op {
        Op::Read(index) | Op::Running(index) => *index == read,
        // What is sought stands outside the rows.
        Op::Gather { along, .. } => along.as_ref().is_some_and(|along| outside_gather(&along.wanted, read)),
        Op::Seek(seek) => {
            let (Goal::Zero(goal) | Goal::Linear(goal) | Goal::Largest(goal) | Goal::Smallest(goal)) = &seek.goal;
            outside_gather(goal, read)
                || seek
                    .between
                    .as_ref()
                    .is_some_and(|(low, high)| outside_gather(low, read) || outside_gather(high, read))
        }
        other => {
            let mut found = false;
            each_part(other, &mut |part| found = found || outside_gather(part, read));
            found
        }
    }
}

/// Says which part of a choice or of an `else` was taken, and where it stands.
fn way(tree: &Expr, op: &Op, text: &str, worked: &Worked, notes: &mut Vec<String>) -> Option<Span> {
    let (mut tree, mut op) = (tree, op);
    let mut taken = None;
    loop {
        while let Node::In(inner, _) = &tree.node {
            tree = inner;
        }
        while let Op::Scale(inner, _) = op {
            op = inner;
        }
        let address = std::ptr::from_ref(op) as usize;
        let Some((_, part)) = worked.taken.iter().find(|(at, _)| *at == address) else {
            return taken;
        };
        match (&tree.node, op) {
            (Node::Else(first, second), Op::Else(one, other)) => {
                if *part == 0 {
                    (tree, op) = (first, one);
                } else {
                    notes.push(format!(
                        "took {}, because {} is blank",
                        second.span.of(text),
                        first.span.of(text)
                    ));
                    (tree, op) = (second, other);
                }
            }
            (
                Node::Choice { arms, otherwise },
                Op::Choice {
                    arms: worked_arms,
                    otherwise: worked_other,
                },
            ) => match (arms.get(*part), worked_arms.get(*part)) {
                (Some((value, condition)), Some((_, worked_value))) => {
                    notes.push(format!(
                        "took {}, because {}",
                        value.span.of(text),
                        condition.span.of(text)
                    ));
                    (tree, op) = (value, worked_value);
                }
                _ => match (otherwise, worked_other) {
                    (Some(value), Some(worked_value)) => {
                        notes.push(format!("took {}, because nothing before applies", value.span.of(text)));
                        (tree, op) = (value, worked_value);
                    }
                    _ => return taken,
                },
            },
            _ => return taken,
        }
        taken = Some(tree.span);
    }
}
