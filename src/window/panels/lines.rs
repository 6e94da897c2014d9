//! Lines that have no place in the grid: checks, flags, curves, plots, definitions, notes, and what stands before the first sheet.
//! They are typed, typed anew and taken away here.
//!
//! Always: a line is kept as typed; what is wrong with it stands under it.

use eframe::egui::{RichText, Ui};

use super::checks::{InShort, in_short};
use super::line_field::{LineField, Stays};
use super::{Answer, Panel, Wish};
use crate::fault::Stands;
use crate::language::syntax::Name;
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::look::{self, State};
use crate::window::paper::are_lines;
use crate::window::spot::Seen;
use crate::window::typing::Editing;
use crate::workbook::change::{Change, Place, retyped};
use crate::workbook::{Line, Statement};

/// What may be typed here, each with an example.
const EXAMPLES: [&str; 9] = [
    "check P_n >= 1.1 * P_sh \"ten per cent in hand\"",
    "flag \"look at this one\" where load > 100 %",
    "curve T_L(n : shaft speed) in N·m through (0 r/min, 30 N·m), (1450 r/min, 90 N·m)",
    "curve T_F(n : shaft speed) = quadratic_load(n, 95 N·m, 1450 r/min)",
    "curve T_M(n : shaft speed) = torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)",
    "plot T_M, T_F for n from 0 r/min to 1500 r/min \"Motor and load\"",
    "seek n_m such that T_M(n_m) = T_F(n_m) between 1300 r/min and 1499 r/min : shaft speed",
    "define torque(P : shaft power, n : shaft speed) = P / n",
    "note \"Why it is worked this way.\"",
];

#[derive(Clone, Debug)]
struct Entry {
    place: Place,
    /// The sheet it belongs to; a line of the head has none.
    sheet: Option<Name>,
    text: String,
    /// What is wrong with it, and what to try.
    wrong: Vec<(State, String)>,
    /// What a check or flag gives.
    gives: Option<InShort>,
    /// It is drawn in another panel.
    is_plot: bool,
}

/// The panel: read once for every change, however often it is drawn.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    of: Option<(usize, u64)>,
    title: String,
    entries: Vec<Entry>,
    /// What stands before the first sheet.
    head: Vec<Entry>,
    /// Where a new line of the sheet comes to stand.
    next: Option<Place>,
    /// The line that is open.
    open: Option<Open>,
    fresh: bool,
    /// The new line as typed so far.
    new: LineField,
    /// The field for a new line is to get the keys.
    begins: bool,
    /// It has been taken from the examples, to be typed on.
    took: bool,
    /// The new line that was sent, until it stands; it comes back where it is refused.
    sent: Option<String>,
    /// Why a line was refused, and the text it was; it goes with that text.
    why: Option<(String, String)>,
}

/// A line that is typed anew.
#[derive(Clone, Debug)]
struct Open {
    place: Place,
    /// The sheet it belongs to; a line of the head has none.
    sheet: Option<Name>,
    was: String,
    field: LineField,
    /// It is on its way; it stays open where it is refused.
    sent: bool,
}

impl Open {
    /// What is typed, as a command; `None` where it says what it said.
    fn command(&self) -> Option<Command> {
        let text = self.field.text().trim();
        (text != self.was).then(|| {
            let changes = retyped(self.sheet.as_ref(), self.place, &self.was, text);
            Command {
                label: "type the line anew".into(),
                changes,
            }
        })
    }
}

/// Whether a line is typed here and not in the grid.
pub fn is_here(line: &Line) -> bool {
    !matches!(
        line.statement,
        Statement::Quantity(_) | Statement::CasesOver { .. } | Statement::At { .. } | Statement::Rows
    )
}

impl Lines {
    /// Reads the lines anew where something has changed.
    pub fn read(&mut self, session: &Session, sheet: usize, system: System, changes: u64) {
        if let Some(seen) = Seen::of(session, sheet).map(|seen| seen.shown_in(system)) {
            let open = self.open.as_mut().map(|open| &mut open.field);
            for field in std::iter::once(&mut self.new).chain(open) {
                field.consider(seen, changes);
            }
        }
        if self.of == Some((sheet, changes)) {
            return;
        }
        if self.of.is_some_and(|(_, known)| known != changes) {
            self.sent = None;
            let _ = self.open.take_if(|open| open.sent);
        }
        self.of = Some((sheet, changes));
        let book = session.workbook();
        let entry = |place: Place, stands: Stands, line: &Line| {
            let faults = session.results().faults.iter().filter(|placed| placed.stands == stands);
            let wrong = faults.map(|placed| {
                let state = super::faults::look_of(placed.fault.severity).0;
                let help = placed.fault.help.as_ref();
                let help = help.map_or(String::new(), |help| format!(" – {help}"));
                (state, format!("{} {}{help}", state.mark(), placed.fault.message))
            });
            let of = match place {
                Place::Line(at, _) => book.sheets.get(at).map(|sheet| sheet.name.clone()),
                Place::Head(_) | Place::Opening(_) => None,
            };
            Entry {
                place,
                sheet: of,
                text: line.text.to_string(),
                wrong: wrong.collect(),
                gives: None,
                is_plot: matches!(line.statement, Statement::Plot { .. }),
            }
        };
        // The line that says what file this is stays.
        let is_typed = |line: &Line| !line.text.is_empty() && !matches!(line.statement, Statement::Version(_));
        let head = book.head.iter().enumerate().filter(|(_, line)| is_typed(line));
        self.head = head
            .map(|(at, line)| entry(Place::Head(at), Stands::Head(at), line))
            .collect();
        let Some(lines) = book.sheets.get(sheet).map(|sheet| &sheet.lines) else {
            self.entries.clear();
            self.next = None;
            return;
        };
        let results = session.results().sheets.get(sheet);
        self.title = results.map_or(String::new(), |sheet| sheet.heading().to_owned());
        // Checks and flags stand in the results in the order of their lines.
        let of_checks = |check: bool| {
            let all = results.map_or(&[][..], |sheet| if check { &sheet.checks } else { &sheet.flags });
            all.iter().filter_map(move |all| Some(in_short(results?, all, check)))
        };
        let (mut checks, mut flags) = (of_checks(true), of_checks(false));
        let here = lines.iter().enumerate().filter(|(_, line)| is_here(line));
        self.entries = here
            .map(|(at, line)| Entry {
                gives: match line.statement {
                    Statement::Check { .. } => checks.next(),
                    Statement::Flag { .. } => flags.next(),
                    _ => None,
                },
                ..entry(Place::Line(sheet, at), Stands::Line(sheet, at), line)
            })
            .collect();
        // The rows of a list stay last.
        let rows = lines.iter().position(|line| matches!(line.statement, Statement::Rows));
        self.next = Some(Place::Line(sheet, rows.unwrap_or(lines.len())));
        self.follow(sheet);
    }

    /// The open line may stand elsewhere by now; where it is gone, what was typed becomes a new line.
    fn follow(&mut self, sheet: usize) {
        let Some(mut open) = self.open.take() else { return };
        let elsewhere = matches!(open.place, Place::Line(at, _) if at != sheet);
        let mut entries = self.entries.iter().chain(&self.head);
        let stays = entries
            .clone()
            .any(|entry| entry.place == open.place && entry.text == open.was);
        if elsewhere || stays {
            self.open = Some(open);
        } else if let Some(entry) = entries.find(|entry| entry.text == open.was) {
            open.place = entry.place;
            self.open = Some(open);
        } else if open.field.text().trim() != open.was && self.new.text().is_empty() {
            self.new = open.field;
        }
    }

    /// Opens a line of the sheet or of the head to be typed anew, unless one is open that says something else by now.
    pub fn open_line(&mut self, place: Place) {
        let changed = self.open.as_ref().is_some_and(|open| open.command().is_some());
        let Some(entry) = (self.entries.iter().chain(&self.head))
            .find(|entry| entry.place == place)
            .filter(|_| !changed)
        else {
            return;
        };
        self.fresh = true;
        self.open = Some(Open {
            place,
            sheet: entry.sheet.clone(),
            was: entry.text.clone(),
            field: LineField::with(&entry.text, entry.sheet.is_none()),
            sent: false,
        });
    }

    /// The text that is typed in the panel, where one has the keys.
    pub fn typing(&self) -> Option<&Editing> {
        self.fields().into_iter().find_map(LineField::typing)
    }

    /// The same to be changed.
    pub fn typing_mut(&mut self) -> Option<&mut LineField> {
        let open = self.open.as_mut().map(|open| &mut open.field);
        let mut fields = std::iter::once(&mut self.new).chain(open);
        fields.find(|field| field.typing().is_some())
    }

    /// The panel is not on the screen.
    pub fn rest(&mut self) {
        let open = self.open.as_mut().map(|open| &mut open.field);
        std::iter::once(&mut self.new).chain(open).for_each(LineField::rest);
    }

    /// Puts something into a text that was typed here: the open line, else the new one. It gets the keys.
    pub fn put_in(&mut self, text: &str, chosen: Option<std::ops::Range<usize>>, into_open: bool) {
        match self.open.as_mut().filter(|_| into_open) {
            Some(open) => {
                open.field.put_in(text, chosen);
                self.fresh = true;
            }
            None => {
                self.new.put_in(text, chosen);
                self.begins = true;
            }
        }
    }

    /// Whether it is an open line that has the keys, and not the new one.
    pub fn types_open(&self) -> bool {
        self.open.as_ref().is_some_and(|open| open.field.typing().is_some())
    }

    fn fields(&self) -> Vec<&LineField> {
        let open = self.open.as_ref().map(|open| &open.field);
        std::iter::once(&self.new).chain(open).collect()
    }

    /// The field for a new line gets the keys.
    pub fn begin(&mut self) {
        self.begins = true;
    }

    /// Whether that field is still to get them.
    pub fn begins(&self) -> bool {
        self.begins
    }

    /// It does not get them any more.
    pub fn begun(&mut self) {
        self.begins = false;
    }

    /// The texts that are typed here and not yet taken in.
    pub fn unfinished(&self) -> impl Iterator<Item = &str> {
        let open = self.open.as_ref().filter(|open| !open.sent);
        let open = open.filter(|open| open.field.text().trim() != open.was);
        let new = std::iter::once(self.new.text().trim()).filter(|text| !text.is_empty());
        open.map(|open| open.field.text().trim()).into_iter().chain(new)
    }

    /// What is typed here and not yet taken in, as commands.
    pub fn drafts(&self, session: &Session) -> Vec<Command> {
        let open = self.open.as_ref().filter(|open| {
            let book = session.workbook();
            let line = match open.place {
                Place::Head(at) => book.head.get(at),
                Place::Line(sheet, at) => book.sheets.get(sheet).and_then(|sheet| sheet.lines.get(at)),
                Place::Opening(_) => None,
            };
            line.is_some_and(|line| *line.text == *open.was)
        });
        let open = open.filter(|open| !open.sent).and_then(Open::command);
        open.into_iter().chain(self.new_line()).collect()
    }

    /// What was typed here is taken in.
    pub fn taken(&mut self) {
        if let Some(open) = &mut self.open {
            open.sent = true;
        }
        self.send();
    }

    /// The new line is on its way.
    fn send(&mut self) {
        if !self.new.text().trim().is_empty() {
            self.sent = Some(self.new.text().to_owned());
            self.new.clear();
        }
    }

    /// A line that was sent and refused comes back to be mended, with the reason. Whether there was one.
    pub fn refused(&mut self, why: &str) -> bool {
        let sent = self.sent.take();
        let mut text = sent.clone();
        if let Some(sent) = sent.filter(|_| self.new.text().is_empty()) {
            self.new = LineField::new(sent);
        }
        if let Some(open) = self.open.as_mut().filter(|open| open.sent) {
            open.sent = false;
            text = Some(open.field.text().to_owned());
        }
        let is_here = text.is_some();
        self.why = text.map(|text| (text, why.to_owned()));
        is_here
    }

    /// Why the text that stands in a field was refused.
    fn why_of(&self, text: &str) -> Option<&str> {
        let (refused, why) = self.why.as_ref()?;
        (refused == text).then_some(why)
    }

    fn new_line(&self) -> Option<Command> {
        let text = self.new.text().trim();
        let place = self.next.filter(|_| !text.is_empty())?;
        let insert = |place: Place, text: &str| Change::InsertLine {
            place,
            before: "".into(),
            text: text.into(),
        };
        let (sheet, first) = match place {
            Place::Line(sheet, first) if are_lines(text) => (sheet, first),
            _ => return Some(Command::one("new line", insert(place, text))),
        };
        let lines = text.lines().map(str::trim).filter(|line| !line.is_empty()).enumerate();
        let changes = lines.map(|(number, line)| insert(Place::Line(sheet, first + number), line));
        Some(Command {
            label: "new lines".into(),
            changes: changes.collect(),
        })
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        let mut open = self.open.take();
        let before = open.as_ref().map(|open| open.place);
        if self.next.is_some() {
            look::heading(ui, &self.title);
            for entry in &self.entries {
                let why = open
                    .as_ref()
                    .and_then(|open| self.why_of(open.field.text()))
                    .map(str::to_owned);
                one(ui, entry, &mut open, (self.fresh, why), wishes);
            }
            self.next_line(ui, wishes);
            ui.add_space(10.0);
        }
        if !self.head.is_empty() {
            look::heading(ui, "Before the first sheet");
            for entry in &self.head {
                let why = open
                    .as_ref()
                    .and_then(|open| self.why_of(open.field.text()))
                    .map(str::to_owned);
                one(ui, entry, &mut open, (self.fresh, why), wishes);
            }
            ui.add_space(10.0);
        }
        self.fresh = open.as_ref().is_some_and(|open| before != Some(open.place));
        self.open = open;
        look::heading(ui, "Such as");
        if ui.link("All functions, series and tables…").clicked() {
            wishes.push(Wish::Ask(Act::Functions));
        }
        for example in EXAMPLES {
            let text = RichText::new(example).font(look::oblique(13.0)).color(inks.words);
            let link = ui.link(text);
            // A text of one's own is not overwritten; another example is.
            let begun = !self.new.text().trim().is_empty() && !EXAMPLES.contains(&self.new.text());
            if link.clicked() && !begun {
                self.new = LineField::new(example.to_owned());
                self.took = true;
            }
            let help = if begun {
                "The field for a new line has a text already"
            } else {
                "Write it in the field for a new line"
            };
            let _ = link.on_hover_text(help);
        }
    }

    fn next_line(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        ui.add_space(6.0);
        let begins = std::mem::take(&mut self.begins) | std::mem::take(&mut self.took);
        match self.new.draw(ui, "New line", (begins, Stays(true))) {
            Some(Answer::Do) => {
                if let Some(command) = self.new_line() {
                    wishes.push(Wish::Do(command));
                    self.send();
                }
            }
            Some(Answer::Leave) => {
                self.new.clear();
                self.why = None;
            }
            None => {}
        }
        let why = self.why_of(self.new.text()).map(str::to_owned);
        self.new.said(ui, why.as_deref());
    }
}

/// One line; `fresh` where it was opened just now, and why it was refused.
fn one(
    ui: &mut Ui,
    entry: &Entry,
    open: &mut Option<Open>,
    (fresh, why): (bool, Option<String>),
    wishes: &mut Vec<Wish>,
) {
    let inks = look::of(ui);
    ui.add_space(4.0);
    let place = entry.place;
    let _ = ui.push_id(format!("{place:?}"), |ui| {
        if let Some(now) = open.as_mut().filter(|open| open.place == place) {
            let answer = now.field.draw(ui, "Line", (fresh, Stays(false)));
            match (answer, now.command()) {
                (Some(Answer::Do), Some(command)) => {
                    now.sent = true;
                    wishes.push(Wish::Do(command));
                }
                (Some(_), _) => *open = None,
                (None, _) => {}
            }
            if let Some(now) = open {
                now.field.said(ui, why.as_deref());
            }
            return;
        }
        let _ = ui.horizontal_wrapped(|ui| {
            let link = ui.link(RichText::new(&entry.text).color(inks.ink));
            if link.clicked() {
                *open = Some(Open {
                    place,
                    sheet: entry.sheet.clone(),
                    was: entry.text.clone(),
                    field: LineField::with(&entry.text, entry.sheet.is_none()),
                    sent: false,
                });
            }
            let _ = link.on_hover_text("Type it anew");
            if let Some(gives) = &entry.gives {
                let words = RichText::new(&gives.words)
                    .font(look::bold(13.0))
                    .color(gives.ink(inks));
                if ui.link(words).on_hover_text("Show the checks").clicked() {
                    wishes.push(Wish::Show(Panel::Checks));
                }
            }
            if entry.is_plot && ui.link(RichText::new("show it").size(12.0)).clicked() {
                wishes.push(Wish::Show(Panel::Curves));
            }
            let away = ui.link(RichText::new("take away").size(12.0).color(inks.faint));
            // Those who listen hear which line goes.
            let spoken = format!("take away {}", entry.text);
            ui.ctx().accesskit_node_builder(away.id, |node| node.set_label(spoken));
            if away.clicked() {
                wishes.push(Wish::Do(Command::one(
                    "take the line away",
                    Change::DeleteLine { place },
                )));
            }
        });
        for (state, words) in &entry.wrong {
            let _ = ui.label(RichText::new(words).font(state.font(13.0)).color(state.ink(inks)));
        }
    });
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_either_in_the_grid_or_here() {
        let session = Session::open(
            "polepair 1\nworkbook \"W\"\nlist a\n  given tag : text\n  given P in kW\n  given f = 50 Hz\n  check P <= 2 kW\n  \
             nonsense\n  rows tag | P\n    \"x\" | 1 kW\n  at \"x\" f = 60 Hz\n",
        );
        let mut lines = Lines::default();
        lines.read(&session, 0, System::AsWritten, 1);
        let texts: Vec<&str> = lines.entries.iter().map(|entry| &*entry.text).collect();
        assert_eq!(texts, ["check P <= 2 kW", "nonsense"]);
        assert!(lines.entries[0].wrong.is_empty() && !lines.entries[1].wrong.is_empty());
        assert_eq!(lines.head.len(), 1);
        assert_eq!(lines.next, Some(Place::Line(0, 5)));
    }
}
