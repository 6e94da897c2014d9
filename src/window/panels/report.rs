//! What was read from an equipment list: doubts, the chosen row, columns, rows that are no motors, remarks.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{Color32, RichText, ScrollArea, Ui};

use super::column_map::Choices;
use super::doubts::{Doubts, RowDoubts, Which};
use super::sorts::{Plan, Sort, named};
use super::{Wish, source_row, source_row_of};
use crate::plates::Report;
use crate::plates::changes::told;
use crate::plates::find::As;
use crate::plates::report::not_read;
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::look;
use crate::window::spot::{Field, Spot};

/// Doubts drawn at most.
const MOST: usize = 300;
/// Doubts drawn before somebody asks for the rest: the chosen row stands under them.
const FIRST: usize = 12;
/// Seconds in which a second press is one of impatience.
const AT_ONCE: f64 = 0.6;
/// Points that changes of the list take at most before they scroll.
const CHANGES_HIGH: f32 = 260.0;

/// The reading of a list, put in order once.
#[derive(Debug)]
pub struct Reading {
    /// The report.
    pub report: Arc<Report>,
    /// How it stands with the doubts.
    pub doubts: Arc<Doubts>,
    /// The units that doubts are said in.
    pub system: System,
    /// All doubts are asked for.
    all: bool,
    /// The sort of doubts that is asked for, and what can be done with them as they stood.
    sort: Option<(&'static str, Arc<Doubts>, Plan)>,
    /// When a doubt was settled by a press here, in seconds.
    pressed: f64,
    /// The doubt that was stepped to last, and its place in the order.
    stepped: Option<(Which, usize)>,
    motors: usize,
    /// Rows that are no motors: number and text.
    others: Vec<(u32, String)>,
    more_others: usize,
    choices: Choices,
}

impl Reading {
    /// Of a report.
    pub fn of(report: Report) -> Reading {
        let is_other = |called: As| !matches!(called, As::Motor | As::Blank);
        let others = report.rows.iter().filter(|row| is_other(row.called));
        let named = others.clone().take(MOST).map(|row| {
            let text = row.text.as_deref().unwrap_or("").trim().to_owned();
            (row.source_row, text)
        });
        Reading {
            motors: report.rows.iter().filter(|row| row.called == As::Motor).count(),
            others: named.collect(),
            more_others: others.count().saturating_sub(MOST),
            doubts: Arc::new(Doubts::of(&report)),
            system: System::default(),
            all: false,
            sort: None,
            pressed: f64::NEG_INFINITY,
            stepped: None,
            choices: Choices::default(),
            report: Arc::new(report),
        }
    }

    /// The command that lets a load rest on readings again that were corrected since, at this place.
    pub fn corrected(&self, session: &Session, sheet: usize, spot: Spot) -> Option<Command> {
        self.doubts.corrected(&self.report, session, sheet, spot)
    }

    /// What is doubted still, by item of the list. Remarks need no second look and are not in it.
    pub fn rows(&self) -> &BTreeMap<usize, Arc<RowDoubts>> {
        &self.doubts.rows
    }

    /// The place of the next doubt that is open, what is to be done first, and the first again after the last.
    pub fn next(&mut self, session: &Session) -> Option<(usize, Spot)> {
        let order = self.doubts.worst_first();
        let from = match self.stepped {
            Some((last, place)) => match order.clone().position(|which| which == last) {
                Some(known) => known + 1,
                // It is settled and gone, or stands elsewhere: on from where it stood.
                None => place,
            },
            None => 0,
        };
        let (before, after) = (order.clone().take(from), order.clone().skip(from));
        let open = |which: &Which| {
            let stands = self.doubts.stands(&self.report, *which);
            stands.is_some_and(|stands| stands.is_open())
        };
        let mut ways = after.chain(before).filter(|which| open(which));
        let (which, to) = ways.find_map(|which| Some((which, self.doubts.place(&self.report, session, which)?)))?;
        let place = order.clone().position(|known| known == which).unwrap_or(0);
        self.stepped = Some((which, place));
        Some(to)
    }

    /// Whether a press that settles a doubt is meant for it: not where one was pressed a moment before.
    fn takes_press(&mut self, now: f64) -> bool {
        let before = std::mem::replace(&mut self.pressed, now);
        now - before >= AT_ONCE
    }

    /// How many doubts there are: `1 doubt`; those that are settled are counted by themselves.
    pub fn doubts_in_words(&self) -> String {
        let settled = self.doubts.settled();
        let open = self.doubts.count().saturating_sub(settled);
        let open = match open {
            1 => "1 doubt".to_owned(),
            more => format!("{more} doubts"),
        };
        match settled {
            0 => open,
            settled => format!("{open}, {settled} settled"),
        }
    }
}

/// Draws the panel: doubts first, then the row that is chosen in the grid, then the columns and what else was read.
pub fn draw(
    ui: &mut Ui,
    session: Option<&Session>,
    reading: &mut Reading,
    chosen: Option<(usize, Spot)>,
    wishes: &mut Vec<Wish>,
) {
    let inks = look::of(ui);
    let report = reading.report.clone();
    let motors = reading.motors;
    let _ = ui.label(RichText::new(&report.file).font(look::bold(14.0)));
    let sheet = report
        .sheet
        .as_deref()
        .map_or(String::new(), |sheet| format!(", sheet {sheet}"));
    let _ = ui.label(format!("{motors} motors in {} rows{sheet}", report.rows.len()));
    if !report.changes.is_empty() {
        changes(ui, &report);
    }
    ui.add_space(8.0);
    let _ = ui.horizontal_wrapped(|ui| {
        look::heading(ui, &format!("Look at these: {}", reading.doubts_in_words()));
        if reading.doubts.count() > reading.doubts.settled()
            && ui
                .link(RichText::new("next doubt").size(13.0))
                .on_hover_text("Goes to the next reading that is doubted; Shift+F4")
                .clicked()
        {
            wishes.push(Wish::Ask(Act::NextDoubt));
        }
    });
    sorts(ui, session, reading, wishes);
    doubts(ui, session, reading, wishes);
    if !report.columns.is_empty() {
        ui.add_space(8.0);
        let row = session.and_then(|session| row_of_place(session, chosen?));
        let item = match chosen {
            Some((_, spot)) => match spot.field {
                Field::Value(item) => Some(item),
                _ => None,
            },
            None => None,
        };
        let of_row = item.map(|item| reading.doubts.of_row(&report, row, item));
        let row = source_row::Row {
            report: &report,
            row,
            system: reading.system,
        };
        source_row::draw(ui, row, of_row.into_iter().flatten());
        ui.add_space(8.0);
        reading.choices.draw(ui, &report, wishes);
    }
    ui.add_space(8.0);
    if let Some(supply) = &report.supply {
        let volts = supply.voltage.as_ref().map(|volts| format!("{volts} V"));
        let hertz = supply.frequency.as_ref().map(|hertz| format!("{hertz} Hz"));
        let parts: Vec<String> = [volts, hertz].into_iter().flatten().collect();
        if !parts.is_empty() {
            let _ = ui.label(format!("Supply: {}, as said in {}", parts.join(", "), supply.said));
        }
    }
    for remark in &report.remarks {
        let _ = ui.label(remark);
        let mut others = report.sheets.iter();
        let other = others.find(|sheet| *remark == not_read(&sheet.name, sheet.motors));
        if let Some(other) = other {
            let says = "Its motors take the place of those that were read, in one step that can be taken back. For both: save this \
                        workbook, read the list once more with Ctrl+I, and take this sheet there.";
            let _ = ui.horizontal_wrapped(|ui| {
                if ui.button("Read this sheet instead").on_hover_text(says).clicked() {
                    wishes.push(Wish::ReadSheet(other.name.clone()));
                }
                let words = "For both: save this workbook, read the list once more (Ctrl+I) and take this sheet there.";
                let _ = ui.label(RichText::new(words).size(12.0).color(inks.words));
            });
        }
    }
    if ui
        .button("Keep the report…")
        .on_hover_text("Writes the whole report to a file: every row, every doubt, the columns.")
        .clicked()
    {
        wishes.push(Wish::KeepReport);
    }
    if !reading.others.is_empty() {
        ui.add_space(8.0);
        look::heading(ui, "Rows that are no motors");
        for (row, text) in &reading.others {
            let _ = ui.label(RichText::new(format!("source row {row}: {text}")).size(13.0));
        }
        if reading.more_others > 0 {
            let _ = ui.label(format!("and {} more", reading.more_others));
        }
    }
    ui.add_space(8.0);
    let _ = ui.label(
        RichText::new(
            "Loads are estimates for qualified people. Measuring on live or turning machines is for people trained and \
             authorised to do it.",
        )
        .size(12.0)
        .color(inks.words),
    );
}

/// Draws what stands in the place of a report that is not there: why, and the way to a newer list.
pub fn without(ui: &mut Ui, why: &str, of_a_list: bool, wishes: &mut Vec<Wish>) {
    let _ = ui.label(why);
    if of_a_list && ui.button("Read the list again…").clicked() {
        wishes.push(Wish::Ask(Act::Newer));
    }
}

/// What has changed since the list was read before.
fn changes(ui: &mut Ui, report: &Report) {
    ui.add_space(8.0);
    look::heading(
        ui,
        &match report.changes.len() {
            1 => "Since it was read before: 1 change".to_owned(),
            more => format!("Since it was read before: {more} changes"),
        },
    );
    let _ = ScrollArea::vertical()
        .id_salt("changes of the list")
        .max_height(CHANGES_HIGH)
        .show(ui, |ui| {
            let told = told(&report.changes);
            for change in told.iter().take(MOST) {
                let _ = ui.label(RichText::new(change).size(13.0));
            }
            if told.len() > MOST {
                let _ = ui.label(format!("and {} more", told.len() - MOST));
            }
        });
}

/// The sorts of which several doubts are open, with what can be done with all of one.
fn sorts(ui: &mut Ui, session: Option<&Session>, reading: &mut Reading, wishes: &mut Vec<Wish>) {
    let sorts = reading.doubts.sorts();
    if sorts.is_empty() {
        return;
    }
    let _ = ui.label(RichText::new("All of one sort in one step:").color(look::of(ui).words));
    for sort in &sorts {
        let asked = reading.sort.as_ref().is_some_and(|(known, ..)| *known == sort.rule);
        if sort_line(ui, sort, asked) {
            reading.sort = (!asked).then(|| (sort.rule, Arc::default(), Plan::default()));
        }
        if reading.sort.as_ref().is_some_and(|(known, ..)| *known == sort.rule) {
            plan_of_sort(ui, session, reading, wishes);
        }
    }
    ui.add_space(6.0);
}

/// The line of a sort. Whether it was pressed.
fn sort_line(ui: &mut Ui, sort: &Sort, asked: bool) -> bool {
    let row = ui.horizontal(|ui| {
        let (mark, ink) = mark(ui, sort.level);
        let _ = ui.label(RichText::new(mark).color(ink));
        let word = format!("{} × {}{}", sort.open, named(sort.rule), if asked { "" } else { "…" });
        let says = "What can be done with all of them in one step";
        ui.link(word).on_hover_text(says).clicked()
    });
    row.inner
}

/// What can be done with all doubts of the sort that is asked for.
fn plan_of_sort(ui: &mut Ui, session: Option<&Session>, reading: &mut Reading, wishes: &mut Vec<Wish>) {
    let doubts = reading.doubts.clone();
    let Some((rule, seen, plan)) = &mut reading.sort else {
        return;
    };
    // It is worked out once for the doubts as they stand.
    if let Some(session) = session.filter(|_| !Arc::ptr_eq(seen, &doubts)) {
        *plan = Plan::of(&doubts, &reading.report, session, rule);
        *seen = doubts;
    }
    for sentence in plan.in_words() {
        let _ = ui.label(RichText::new(sentence).size(13.0));
    }
    let mut done = false;
    let _ = ui.horizontal_wrapped(|ui| {
        let steps = [
            (&plan.right, "take", "as right"),
            (&plan.otherwise, "read", "the other way"),
        ];
        for (step, before, after) in steps {
            let Some((count, command)) = step else { continue };
            let says = "One step; Undo takes all of it back.";
            if ui
                .button(format!("→ {before} {count} {after}"))
                .on_hover_text(says)
                .clicked()
            {
                wishes.push(Wish::Do(command.clone()));
            }
        }
        for (words, count, command) in &plan.choices {
            let says = "Each row that has this reading gets it, in one step; Undo takes all of it back.";
            let button = ui.button(format!("→ read {count} as {words}"));
            if button.on_hover_text(says).clicked() {
                wishes.push(Wish::Do(command.clone()));
            }
        }
        done = ui.button("Leave it").clicked();
    });
    if done {
        reading.sort = None;
    }
}

/// The mark of an open doubt.
fn mark(ui: &Ui, level: &str) -> (&'static str, Color32) {
    let inks = look::of(ui);
    match level {
        "error" => ("✕", inks.failed),
        "warning" => ("△", inks.doubtful),
        _ => ("▫", inks.faint),
    }
}

/// What is doubted, with a way to its reading; what is settled comes last. Where there are many, the worst until all are asked for.
fn doubts(ui: &mut Ui, session: Option<&Session>, reading: &mut Reading, wishes: &mut Vec<Wish>) {
    let count = reading.doubts.count();
    let most = if reading.all { MOST } else { FIRST };
    let all = reading.doubts.clone();
    let asked = wishes.len();
    for which in all.worst_first().take(most) {
        doubt(ui, session, reading, which, wishes);
    }
    // What is settled goes to the end, and the next doubt lies under the pointer: a second press at once is not meant for that.
    let mut made = wishes.get(asked..).unwrap_or(&[]).iter();
    if made.any(|wish| matches!(wish, Wish::Do(_))) && !reading.takes_press(ui.input(|input| input.time)) {
        wishes.truncate(asked);
    }
    if count > MOST && reading.all {
        let _ = ui.label(format!("and {} more", count - MOST));
    }
    if count > FIRST {
        let words = match reading.all {
            true => "Only the first of them".to_owned(),
            false => match reading.doubts.settled() {
                0 => format!("{} more…", count - FIRST),
                settled => format!("{} more, of all {settled} settled…", count - FIRST),
            },
        };
        if ui.link(words).clicked() {
            reading.all = !reading.all;
        }
    }
}

fn doubt(ui: &mut Ui, session: Option<&Session>, reading: &Reading, which: Which, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let (report, doubts) = (&reading.report, &reading.doubts);
    let Some(stands) = doubts.stands(report, which) else {
        return;
    };
    let (mark, ink) = match stands.settled {
        Some(_) => ("✓", inks.faint),
        None => mark(ui, stands.doubt.level),
    };
    let _ = ui.horizontal_wrapped(|ui| {
        let _ = ui.label(RichText::new(mark).color(ink));
        let words = match (stands.doubt.source_row, which) {
            (Some(row), _) => format!("source row {row}"),
            // It was typed here and never read.
            (None, Which::Raised(item, _)) => format!("row {}", item + 1),
            (None, Which::Read(_)) if stands.doubt.column.is_none() => "the whole list".to_owned(),
            (None, Which::Read(_)) => "a column".to_owned(),
        };
        let is_column = stands.doubt.source_row.is_none() && matches!(which, Which::Read(_));
        // A row that is no motor stands nowhere in the workbook, and not every doubt is about a column that has become a quantity.
        let goes = match is_column {
            false => stands.item.is_some(),
            true => session.is_some_and(|session| doubts.place(report, session, which).is_some()),
        };
        if !goes {
            let _ = ui.label(words);
        } else if ui.link(words).on_hover_text("Go there").clicked()
            && let Some((at, spot)) = session.and_then(|session| doubts.place(report, session, which))
        {
            wishes.push(Wish::Go(at, spot));
        }
        if matches!(which, Which::Raised(..)) {
            let _ = ui.label(RichText::new("typed since:").color(inks.words));
        }
        let text = RichText::new(reading.system.words(&stands.doubt.text));
        let text = ui.label(match stands.settled {
            Some(_) => text.strikethrough().color(inks.faint),
            None => text,
        });
        if let Some(why) = stands.doubt.why {
            let _ = text.on_hover_text(format!("Likely: {}. Look at: {}.", why.likely, why.look));
        }
        if let Some(settled) = stands.settled {
            let _ = ui.label(RichText::new(settled).color(inks.words));
        }
        if let Some(changed) = stands.changed {
            let _ = ui.label(RichText::new(reading.system.words(changed)).color(inks.words));
        }
        let others = session.map(|session| doubts.others(report, session, which));
        for (words, command) in others.into_iter().flatten() {
            let says = "Puts this into the row in place of what was read; Undo takes it back.";
            if ui.link(format!("read it as {words}")).on_hover_text(says).clicked() {
                wishes.push(Wish::Do(command));
            }
        }
        // What was corrected, or looked at and found right, may carry the load again.
        if stands.can_use {
            let word = if stands.settled.is_some() {
                "use it for the load"
            } else {
                "it is right: use it"
            };
            let says =
                "The best load rests on the reading again; it stands in the list that it was taken as good by hand.";
            if ui.link(word).on_hover_text(says).clicked()
                && let Some(command) = session.and_then(|session| doubts.using(report, session, which))
            {
                wishes.push(Wish::Do(command));
            }
        }
    });
}

/// The row of the source that a place of a list was read from.
fn row_of_place(session: &Session, (at, spot): (usize, Spot)) -> Option<u32> {
    let Field::Value(item) = spot.field else { return None };
    source_row_of(session.results().sheets.get(at)?, item)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_press_at_once_is_not_taken() {
        let mut reading = Reading::of(Report::unread("plant.csv", "not read"));
        assert!(reading.takes_press(5.0));
        assert!(!reading.takes_press(5.2));
        // Who goes on pressing goes on not being heard.
        assert!(!reading.takes_press(5.6));
        assert!(reading.takes_press(6.4));
    }
}
