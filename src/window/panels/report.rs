//! What was read from an equipment list: the chosen row, columns, doubts, rows that are no motors, remarks.

use std::collections::BTreeMap;
use std::sync::Arc;

use eframe::egui::{RichText, ScrollArea, Ui};

use super::column_map::Choices;
use super::doubts::{Doubts, RowDoubts, Standing};
use super::{Wish, source_row, source_row_of};
use crate::plates::Report;
use crate::plates::find::As;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::look;
use crate::window::newer::AsRead;
use crate::window::spot::{Field, Spot};

/// Doubts drawn at most.
const MOST: usize = 300;
/// Points that doubts take at most before they scroll.
const DOUBTS_HIGH: f32 = 260.0;

/// The reading of a list, put in order once.
#[derive(Debug)]
pub struct Reading {
    /// The report.
    pub report: Arc<Report>,
    /// The doubted cells as they were read.
    as_read: AsRead,
    /// How it stands with the doubts.
    doubts: Doubts,
    /// Doubts by their places, what is to be done first.
    worst_first: Vec<usize>,
    motors: usize,
    /// Rows that are no motors: number and text.
    others: Vec<(u32, String)>,
    more_others: usize,
    choices: Choices,
}

impl Reading {
    /// Of a report, and the doubted cells as they were read.
    pub fn of(report: Report, as_read: AsRead) -> Reading {
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
            worst_first: Vec::new(),
            as_read,
            doubts: Doubts::default(),
            choices: Choices::default(),
            report: Arc::new(report),
        }
    }

    /// Looks again at what was doubted, where something has changed.
    pub fn settle(&mut self, session: &Session, changes: u64) {
        if !self.doubts.read(&self.report, &self.as_read, session, changes) {
            return;
        }
        let doubts = self.report.doubts.iter().enumerate();
        let mut ranked: Vec<(u8, usize)> = doubts
            .filter_map(|(place, doubt)| Some((self.doubts.standing(place)?.rank(doubt.level), place)))
            .collect();
        ranked.sort_unstable();
        self.worst_first = ranked.into_iter().map(|(_, place)| place).collect();
    }

    /// The command that lets a load rest on readings again that were corrected since, at this place.
    pub fn corrected(&self, session: &Session, sheet: usize, spot: Spot) -> Option<Command> {
        self.doubts.corrected(&self.report, session, sheet, spot)
    }

    /// What is doubted still, by the row of the source. Remarks need no second look and are not in it.
    pub fn rows(&self) -> &BTreeMap<u32, RowDoubts> {
        &self.doubts.rows
    }

    /// How many doubts there are: `1 doubt`; those that are settled are counted by themselves.
    pub fn doubts_in_words(&self) -> String {
        let settled = self.doubts.settled();
        let open = self.report.doubts.len().saturating_sub(settled);
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

/// Draws the panel; `chosen` is the place chosen in the grid.
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
    if !report.changes.is_empty() {
        changes(ui, &report);
    }
    ui.add_space(8.0);
    look::heading(ui, &format!("Look at these: {}", reading.doubts_in_words()));
    // Many doubts leave room for the columns below them.
    let _ = ScrollArea::vertical()
        .id_salt("doubts of the list")
        .max_height(DOUBTS_HIGH)
        .show(ui, |ui| doubts(ui, session, reading, wishes));
    if !report.columns.is_empty() {
        ui.add_space(8.0);
        let row = session.and_then(|session| row_of_place(session, chosen?));
        source_row::draw(ui, &report, |place| reading.doubts.settled_by(place), row);
        ui.add_space(8.0);
        reading.choices.draw(ui, &report, wishes);
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
        .max_height(DOUBTS_HIGH)
        .show(ui, |ui| {
            for change in report.changes.iter().take(MOST) {
                let _ = ui.label(RichText::new(change.in_words()).size(13.0));
            }
            if report.changes.len() > MOST {
                let _ = ui.label(format!("and {} more", report.changes.len() - MOST));
            }
        });
}

/// What is doubted, with a way to its reading; what is settled comes last.
fn doubts(ui: &mut Ui, session: Option<&Session>, reading: &Reading, wishes: &mut Vec<Wish>) {
    for place in reading.worst_first.iter().take(MOST) {
        doubt(ui, session, reading, *place, wishes);
    }
    if reading.report.doubts.len() > MOST {
        let _ = ui.label(format!("and {} more", reading.report.doubts.len() - MOST));
    }
}

fn doubt(ui: &mut Ui, session: Option<&Session>, reading: &Reading, place: usize, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let (report, doubts) = (&reading.report, &reading.doubts);
    let Some(doubt) = report.doubts.get(place) else { return };
    let standing = doubts.standing(place);
    let settled = doubts.settled_by(place);
    let (mark, ink) = match (settled, doubt.level) {
        (Some(_), _) => ("✓", inks.faint),
        (None, "error") => ("✕", inks.failed),
        (None, "warning") => ("△", inks.doubtful),
        (None, _) => ("▫", inks.faint),
    };
    let _ = ui.horizontal_wrapped(|ui| {
        let _ = ui.label(RichText::new(mark).color(ink));
        let words = doubt
            .source_row
            .map_or_else(|| "a column".to_owned(), |row| format!("source row {row}"));
        // A row that is no motor stands nowhere in the workbook, and not every doubt is about a column that has become a quantity.
        let goes = match doubt.source_row {
            Some(_) => standing.is_some_and(Standing::has_place),
            None => session.is_some_and(|session| doubts.place(report, session, place).is_some()),
        };
        if !goes {
            let _ = ui.label(words);
        } else if ui.link(words).on_hover_text("Go there").clicked()
            && let Some((at, spot)) = session.and_then(|session| doubts.place(report, session, place))
        {
            wishes.push(Wish::Go(at, spot));
        }
        let text = RichText::new(&doubt.text);
        let text = ui.label(match settled {
            Some(_) => text.strikethrough().color(inks.faint),
            None => text,
        });
        if let Some(why) = doubt.why {
            let _ = text.on_hover_text(format!("Likely: {}. Look at: {}.", why.likely, why.look));
        }
        if let Some(settled) = settled {
            let _ = ui.label(RichText::new(settled).color(inks.words));
        }
        if let Some(changed) = standing.and_then(|standing| standing.changed.as_deref()) {
            let _ = ui.label(RichText::new(changed).color(inks.words));
        }
        // What was corrected, or looked at and found right, may carry the load again.
        if standing.is_some_and(|standing| standing.can_use) {
            let word = if settled.is_some() {
                "use it for the load"
            } else {
                "it is right: use it"
            };
            let says =
                "The best load rests on the reading again; it stands in the list that it was taken as good by hand.";
            if ui.link(word).on_hover_text(says).clicked()
                && let Some(command) = session.and_then(|session| doubts.using(report, session, place))
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
