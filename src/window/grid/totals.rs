//! The line under a group of rows: how many there are, and the sums that the list of groups has of them.
//!
//! Always: nothing is added up here; what stands under a group is what the list of groups of the workbook says.
//! Not known here: which rows are in a group.

use std::sync::Arc;

use eframe::egui::text::{LayoutJob, TextWrapping};
use eframe::egui::{self, Color32, Rect, Ui};
use rust_decimal::prelude::ToPrimitive as _;

use super::LINE;
use super::places::Draws;
use super::reading::Line;
use crate::language::work::Outcome;
use crate::recalc::QuantityResults;
use crate::window::arrange::{Arrangement, Group, Plan};
use crate::window::groups;
use crate::window::look::{self, SIZE, State};
use crate::window::spot::{Field, Seen, Shown, Spot};

/// The place of a quantity among those of a sheet.
fn named(seen: Seen<'_>, name: &str) -> Option<usize> {
    seen.results.quantities.iter().position(|known| *known.name == *name)
}

/// Where the sums of groups stand.
pub struct Totals<'a> {
    by: Option<Arc<str>>,
    sums: Option<Seen<'a>>,
    /// The condition that chooses the rows in sight.
    only: Option<String>,
    /// The sums are of the rows in sight alone.
    of_those: bool,
}

impl<'a> Totals<'a> {
    /// The sums of the groups that a list is shown in.
    pub fn of(seen: Seen<'a>, arrangement: &Arrangement) -> Totals<'a> {
        let by = arrangement.by.rows.groups.clone();
        // Sums of the rows in sight, else of all rows, which is said.
        let only = arrangement.by.rows.filter.as_deref();
        let of = |only: Option<&str>| groups::list_of(seen.session, &seen.results.name, by.as_deref()?, only);
        let of_those = of(only);
        let sums = of_those.or_else(|| of(None)).and_then(|at| Seen::of(seen.session, at));
        Totals {
            by,
            sums: sums.map(|sums| sums.shown_in(seen.system)),
            only: only.map(str::to_owned),
            of_those: of_those.is_some(),
        }
    }

    /// The row of a group in the list of groups.
    fn item(&self, seen: Seen<'_>, group: &Group) -> Option<usize> {
        let by = self.by.as_deref()?;
        let own = seen.quantity(named(seen, by)?)?.cells.get(group.item)?;
        let sums = self.sums?;
        let keys = &sums.quantity(named(sums, by)?)?.cells;
        matches!(own, Outcome::Value(_)).then(|| keys.iter().position(|key| key == own))?
    }

    /// What a group is of, in words.
    fn name(&self, seen: Seen<'_>, group: &Group) -> String {
        if group.name.is_empty() {
            return "no value".to_owned();
        }
        let by = self.by.as_deref().unwrap_or_default();
        let quantity = named(seen, by).unwrap_or_default();
        let field = Field::Value(group.item);
        let spot = Spot { quantity, field };
        let unit = seen.unit_here(spot).map(|unit| unit.text.to_string());
        // Where its unit stands with it already it is not said twice.
        let shown = seen.shown(spot, false).text;
        match unit.unwrap_or_else(|| seen.unit(quantity)) {
            unit if unit.is_empty() || shown.ends_with(&unit) => shown,
            unit => format!("{shown} {unit}"),
        }
    }

    /// How many rows the list of groups counts in one of them.
    fn counted(&self, item: Option<usize>) -> Option<usize> {
        let sums = self.sums?;
        let cells = &sums.quantity(named(sums, groups::ROWS)?)?.cells;
        cells.get(item?)?.as_number()?.to_decimal()?.to_usize()
    }

    /// How many rows a group has, in words.
    fn rows(&self, group: &Group, item: Option<usize>) -> String {
        // The list of groups knows nothing of what is in sight.
        match (group.rows, self.counted(item)) {
            (rows, Some(all)) if rows != all => {
                let by = if self.only.is_some() { " by the condition" } else { "" };
                format!("{rows} of {all} rows{by}, sums of all")
            }
            (1, _) => "1 row".to_owned(),
            (rows, _) => format!("{rows} rows"),
        }
    }

    /// What the condition makes of a group; `None` where all rows are in sight.
    fn chosen(&self, group: &Group, item: Option<usize>) -> Option<String> {
        let only = self.only.as_deref()?;
        let rows = |count: usize| match count {
            1 => "1 row".to_owned(),
            more => format!("{more} rows"),
        };
        let of = |all: usize| match group.rows {
            some if some == all => format!("All rows of this group are chosen by the condition {only}."),
            1 => format!(
                "1 of the {} of this group is chosen by the condition {only}.",
                rows(all)
            ),
            some => format!(
                "{some} of the {} of this group are chosen by the condition {only}.",
                rows(all)
            ),
        };
        Some(match self.counted(item).filter(|_| !self.of_those) {
            Some(all) => format!("{} The sums are of all {}.", of(all), rows(all)),
            None => {
                let added = if self.sums.is_some() { " and added up" } else { "" };
                let rows = rows(group.rows);
                format!("Counted here{added} are those rows alone that the condition {only} chooses: {rows}.")
            }
        })
    }

    /// The quantity of the list of groups that says something over the values of a quantity.
    fn over(&self, quantity: &QuantityResults) -> Option<usize> {
        let sums = self.sums?;
        match groups::counts(quantity) {
            true => named(sums, groups::MOTORS),
            false => groups::over(&quantity.name).iter().find_map(|name| named(sums, name)),
        }
    }

    /// What there is to say of a group, the sum of one of its quantities first.
    pub fn told(&self, seen: Seen<'a>, group: &Group, quantity: Option<usize>) -> Told<'a> {
        let item = self.item(seen, group);
        let by = self.by.as_deref().and_then(|by| seen.quantity(named(seen, by)?));
        Told {
            by: by.map_or(String::new(), |by| by.name.to_string()),
            by_title: by.map_or(String::new(), |by| by.title.clone()),
            name: self.name(seen, group),
            rows: self.rows(group, item),
            sums: self.sums.zip(item),
            first: quantity.and_then(|at| self.over(seen.quantity(at)?)),
        }
    }

    /// The line under a group.
    pub fn line(&self, seen: Seen<'_>, plan: &Plan, line: usize, group: &Group) -> Line {
        let item = self.item(seen, group);
        let (name, rows) = (self.name(seen, group), self.rows(group, item));
        let chosen = self.chosen(group, item);
        let by = |at: &usize| {
            seen.quantity(*at)
                .is_some_and(|quantity| self.by.as_ref() == Some(&quantity.name))
        };
        let words = plan.quantities.iter().position(by);
        let sum = |quantity: usize| {
            let (sums, item) = (self.sums?, item?);
            let field = Field::Value(item);
            let mut shown = sums.shown(Spot { quantity, field }, false);
            let known = sums.quantity(quantity)?;
            // Under the sign of sums a mean says that it is one.
            if groups::is_mean(&known.name) && !shown.text.is_empty() {
                shown.text = format!("mean {}", shown.text);
            }
            Some((shown, sums.unit(quantity), known.title.clone()))
        };
        let cells = plan.quantities.iter().map(|at| {
            let Some(quantity) = seen.quantity(*at) else {
                return Shown::default();
            };
            if self.by.as_ref() == Some(&quantity.name) {
                let text = format!("{rows} · {name}");
                let why = match &chosen {
                    Some(chosen) => format!("{text}\n{chosen}"),
                    None => text.clone(),
                };
                return Shown {
                    why: Some(why),
                    text,
                    ..Shown::default()
                };
            }
            let Some((mut shown, unit, title)) = self.over(quantity).and_then(sum) else {
                return Shown::default();
            };
            // Shown under the numbers of its column it is in their unit, or says in which.
            if !unit.is_empty() && unit != seen.unit(*at) && !shown.text.is_empty() {
                shown.text = format!("{} {unit}", shown.text);
            }
            if shown.state == State::Worked {
                shown.state = State::Words;
            }
            shown.why = Some(shown.why.map_or(title.clone(), |why| format!("{title}\n{why}")));
            shown
        });
        Line {
            line,
            group: Some(group.folded),
            gutter: if group.folded { "▸ Σ" } else { "▾ Σ" }.to_owned(),
            cells: cells.collect(),
            name: format!("group {name}"),
            words,
            ..Line::default()
        }
    }
}

/// What there is to say of a group.
pub struct Told<'a> {
    /// The quantity by which they are.
    pub by: String,
    /// What that is in words.
    pub by_title: String,
    /// What the rows have in common.
    pub name: String,
    /// How many there are.
    pub rows: String,
    /// The list of groups, and which of its rows is this group.
    pub sums: Option<(Seen<'a>, usize)>,
    /// The quantity of that list which the chosen column shows.
    pub first: Option<usize>,
}

/// What a group is and how many rows it has, over the empty places beside it: from the column it is grouped by on, else from the first
/// one. `edge`: where the pinned columns end.
pub(super) fn words(ui: &Ui, draws: &Draws<'_>, body: Rect, edge: f32, heads: &[(usize, Rect)]) {
    let mut columns: Vec<(usize, egui::Rangef)> = heads.iter().map(|(at, rect)| (*at, rect.x_range())).collect();
    columns.sort_by_key(|(at, _)| *at);
    // What is in sight of each.
    for (at, range) in &mut columns {
        let from = if *at < draws.pinned { body.min.x } else { edge };
        *range = egui::Rangef::new(range.min.max(from), range.max.min(body.max.x));
    }
    let made = |text: &str, room: f32| {
        let mut job = LayoutJob::simple_singleline(text.to_owned(), look::bold(SIZE), draws.inks.words);
        job.wrap = TextWrapping::truncate_at_width((room - 14.0).max(1.0));
        ui.painter().layout_job(job)
    };
    for (row, line) in draws.picture.lines.iter().enumerate() {
        let Some(by) = line.words else { continue };
        let text = line.cells.get(by).map_or("", |shown| shown.text.as_str());
        let is_empty = |at: &usize| *at == by || line.cells.get(*at).is_none_or(|shown| shown.text.is_empty());
        // From a column on as far as places are empty.
        let room_from = |from: usize| {
            let mut after = columns.iter().filter(|(at, range)| *at >= from && range.span() > 0.0);
            let (_, first) = after.next().filter(|(at, _)| is_empty(at))?;
            let after = after.take_while(|(at, _)| is_empty(at));
            let end = after.fold(first.max, |end, (_, range)| end.max(range.max));
            Some(egui::Rangef::new(first.min, end))
        };
        let own = heads.iter().find(|(at, _)| *at == by).map(|(_, rect)| rect.min.x);
        let own = own.filter(|x| by < draws.pinned || (edge - 1.0..body.max.x).contains(x));
        let own = own.and_then(|_| room_from(by));
        // Where it is cut at its own place, and has more room at the beginning of the line, it stands there.
        let own = own.filter(|room| !made(text, room.span()).elided || by == 0);
        let Some(room) = own.or_else(|| room_from(0)).or_else(|| room_from(by)) else {
            continue;
        };
        #[allow(clippy::cast_precision_loss)] // Some lines of a screen.
        let center = body.min.y + draws.top + LINE * (row as f32 + 0.5);
        let whole = made(text, room.span());
        let name = text.split_once(" · ").map(|(_, name)| made(name, room.span()));
        // Without room for both, what the group is says more than how long it is.
        let name = name.filter(|name| whole.elided && !name.elided);
        let galley = name.unwrap_or(whole);
        let size = galley.size();
        let at = egui::pos2(room.min + 8.0, center - size.y / 2.0);
        let painter = ui.painter_at(body);
        // No rule between columns goes through it.
        let own_end = columns
            .iter()
            .find(|(_, range)| range.contains(at.x))
            .map_or(at.x, |(_, range)| range.max);
        if at.x + size.x > own_end {
            let behind = Rect::from_min_max(egui::pos2(own_end - 1.0, at.y), at + size + egui::vec2(3.0, 0.0));
            let _ = painter.rect_filled(behind, 0.0, draws.inks.band);
        }
        painter.galley(at, galley, Color32::PLACEHOLDER);
    }
}
