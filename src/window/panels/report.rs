//! What was read from an equipment list: doubts, the chosen row, columns, rows that are no motors, remarks.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{RichText, ScrollArea, Ui};

use super::column_map::Choices;
use super::doubts::{Doubts, RowDoubts, Which};
use super::{Wish, source_row, source_row_of};
use crate::plates::Report;
use crate::plates::find::As;
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::look;
use crate::window::spot::{Field, Spot};

/// Doubts drawn at most.
const MOST: usize = 300;
/// Doubts drawn before somebody asks for the rest: the chosen row stands under them.
const FIRST: usize = 12;
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
            Some((last, place)) => match order.iter().position(|which| *which == last) {
                Some(known) => known + 1,
                // It is settled and gone, or stands elsewhere: on from where it stood.
                None => place,
            },
            None => 0,
        };
        let from = from.min(order.len());
        let (before, after) = order.split_at(from);
        let open = |which: &Which| {
            let stands = self.doubts.stands(&self.report, *which);
            stands.is_some_and(|stands| stands.settled.is_none() || stands.can_use)
        };
        let mut ways = after.iter().chain(before).filter(|which| open(which));
        let (which, to) = ways.find_map(|which| Some((*which, self.doubts.place(&self.report, session, *which)?)))?;
        let place = order.iter().position(|known| *known == which).unwrap_or(0);
        self.stepped = Some((which, place));
        Some(to)
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
            for change in report.changes.iter().take(MOST) {
                let _ = ui.label(RichText::new(change.in_words()).size(13.0));
            }
            if report.changes.len() > MOST {
                let _ = ui.label(format!("and {} more", report.changes.len() - MOST));
            }
        });
}

/// What is doubted, with a way to its reading; what is settled comes last. Where there are many, the worst until all are asked for.
fn doubts(ui: &mut Ui, session: Option<&Session>, reading: &mut Reading, wishes: &mut Vec<Wish>) {
    let count = reading.doubts.count();
    let most = if reading.all { MOST } else { FIRST };
    let all = reading.doubts.clone();
    for which in all.worst_first().iter().take(most) {
        doubt(ui, session, reading, *which, wishes);
    }
    if count > MOST && reading.all {
        let _ = ui.label(format!("and {} more", count - MOST));
    }
    if count > FIRST {
        let words = match reading.all {
            true => "Only the first of them".to_owned(),
            false => format!("{} more…", count - FIRST),
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
    let (mark, ink) = match (stands.settled, stands.doubt.level) {
        (Some(_), _) => ("✓", inks.faint),
        (None, "error") => ("✕", inks.failed),
        (None, "warning") => ("△", inks.doubtful),
        (None, _) => ("▫", inks.faint),
    };
    let _ = ui.horizontal_wrapped(|ui| {
        let _ = ui.label(RichText::new(mark).color(ink));
        let words = match (stands.doubt.source_row, which) {
            (Some(row), _) => format!("source row {row}"),
            // It was typed here and never read.
            (None, Which::Raised(item, _)) => format!("row {}", item + 1),
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
