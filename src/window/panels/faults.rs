//! Faults and warnings: a click goes there, an offered fix is made in one click, a warning is accepted with a reason, a line that
//! has no place in the grid is typed anew here.

use eframe::egui::{self, RichText, Ui};

use super::line_field::{LineField, Stays as Keeps};
use super::lines::is_here;
use super::{Answer, Near, Wish, draw_commas, field, mending, offered, place_of, row_in_words, words_of};
use crate::fault::{Fix, Placed, Severity, Stands};
use crate::quantity::System;
use crate::session::{Command, Session};
use crate::window::command::Act;
use crate::window::commas::{self, Commas};
use crate::window::look::{self, State};
use crate::window::spot::{Field, Seen, Spot};
use crate::window::typing::Editing;
use crate::workbook::change::{Change, Place};
use crate::workbook::text::quoted;
use crate::workbook::{Form, Statement, Workbook};

/// A text that is not taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct NotTaken {
    /// Place of its sheet.
    pub sheet: usize,
    /// Where it stands.
    pub spot: Spot,
    /// What it is, and where.
    pub words: String,
    /// Why it cannot stand there.
    pub why: String,
    /// Changes of it that would mend it.
    pub fixes: Vec<Fix>,
}

/// Letters of a line that head its fault at most.
const SHORT: usize = 40;

/// Faults drawn at most; the rest is counted.
const MOST: usize = 200;

/// A fault as drawn.
#[derive(Clone, Debug)]
struct Entry {
    placed: Placed,
    /// Sheet, quantity and item in words.
    where_: String,
    goes: Option<(usize, Spot)>,
    /// It leads to its line beside the grid.
    leads: bool,
    fixes: Vec<Command>,
    /// The statement it stands in, and how it is typed now.
    line: Option<(Place, String)>,
}

/// What is open in the panel.
#[derive(Clone, Debug)]
enum Open {
    /// The reason for which a warning is accepted.
    Reason(usize, String),
    /// A line typed anew.
    Line(usize, Box<LineField>),
}

/// The panel: read once for every change, however often it is drawn.
#[derive(Clone, Debug, Default)]
pub struct Faults {
    of: Option<(u64, System)>,
    entries: Vec<Entry>,
    counts: [usize; 3],
    more: usize,
    /// Faults with one offered change, which is certain.
    certain: usize,
    /// Sheets with numbers that have a decimal comma.
    commas: Vec<(usize, String, Commas)>,
    accepted: Vec<(String, String)>,
    open: Option<Open>,
    fresh: bool,
}

fn statement(stands: Stands) -> Option<Place> {
    match stands {
        Stands::Head(line) => Some(Place::Head(line)),
        Stands::Opening(sheet) => Some(Place::Opening(sheet)),
        Stands::Line(sheet, line) => Some(Place::Line(sheet, line)),
        Stands::Row(..) | Stands::Nowhere => None,
    }
}

/// The line that a fault stands in, where it is one without a place in the grid: a check, a curve, a plot.
pub fn own_line(book: &Workbook, placed: &Placed) -> Option<Place> {
    let place = statement(placed.stands)?;
    let line = match place {
        Place::Head(line) => book.head.get(line),
        Place::Line(sheet, line) => book.sheets.get(sheet)?.lines.get(line),
        Place::Opening(_) => None,
    };
    line.filter(|line| is_here(line)).map(|_| place)
}

/// The place in the grid a fault leads to.
pub fn place(session: &Session, placed: &Placed) -> Option<(usize, Spot)> {
    place_for(session, placed, placed.item.as_deref())
}

/// The same for an item; none is looked for where only the quantity is to be known.
fn place_for(session: &Session, placed: &Placed, item: Option<&str>) -> Option<(usize, Spot)> {
    let book = session.workbook();
    let results = session.results();
    let (Stands::Line(at, _) | Stands::Row(at, ..)) = placed.stands else {
        return None;
    };
    let row = book.item_at(placed.stands, &results.sheets.get(at)?.items);
    let sheet = book.sheets.get(at)?;
    let quantities = &results.sheets.get(at)?.quantities;
    let name = match (book.quantity_at(placed.stands), placed.stands) {
        (Some(name), _) => name,
        // What is wrong with a row as a whole is looked for at its beginning.
        (None, Stands::Row(..)) => sheet.rows.as_ref()?.columns.first()?,
        (None, Stands::Line(_, line)) => match &sheet.lines.get(line)?.statement {
            // A check has no place of its own in the grid: the first quantity it names.
            Statement::Check { formula, .. } | Statement::Flag { formula, .. } => {
                &words_of(&formula.text)
                    .find_map(|word| quantities.iter().find(|quantity| *quantity.name == *word))?
                    .name
            }
            _ => return None,
        },
        (None, _) => return None,
    };
    match row {
        Some(row) => {
            let quantity = quantities.iter().position(|known| known.name == *name)?;
            let field = Field::Value(row);
            Some((at, Spot { quantity, field }))
        }
        None => {
            let item = item.map(|name| Near { name, at: 0 });
            place_of(results, &sheet.name, name, item)
        }
    }
}

/// A statement as typed.
fn typed(book: &Workbook, place: Place) -> Option<(&str, u32)> {
    let line = match place {
        Place::Head(line) => book.head.get(line)?,
        Place::Opening(sheet) => &book.sheets.get(sheet)?.opening,
        Place::Line(sheet, line) => book.sheets.get(sheet)?.lines.get(line)?,
    };
    Some((&line.text, line.indent.width()))
}

/// A fault in the units of a system.
pub fn said_in(placed: &Placed, system: System) -> Placed {
    Placed {
        fault: system.fault(&placed.fault),
        ..placed.clone()
    }
}

/// The command that makes an offered fix at a place: what is then typed there is read as if it were typed.
pub fn fixed_at(seen: Seen<'_>, spot: Spot, placed: &Placed, fix: &Fix) -> Option<Command> {
    let (from, to) = (fix.span.start as usize, fix.span.end as usize);
    let replaced = placed.source.get(from..to).filter(|text| !text.is_empty())?;
    let (left, right) = (placed.source.get(..from)?, placed.source.get(to..)?);
    let typed = seen.typed(spot);
    let (before, after) = typed.match_indices(replaced).find_map(|(at, _)| {
        let (before, after) = (typed.get(..at)?, typed.get(at + replaced.len()..)?);
        (left.ends_with(before) && right.starts_with(after)).then_some((before, after))
    })?;
    if !matches!(spot.field, Field::Value(_)) {
        return None;
    }
    // One value of all cases stays one.
    let name = &seen.quantity(spot.quantity)?.name;
    let of_all = seen.inputs(name).is_some_and(|inputs| inputs.values.len() == 1);
    let spot = match seen.sheet.form {
        Form::Sheet if of_all => Spot {
            field: Field::Formula,
            ..spot
        },
        _ => spot,
    };
    let changes = seen.change(spot, &format!("{before}{}{after}", fix.replacement)).ok()?;
    Some(Command {
        label: fix.label.to_string().into(),
        changes,
    })
}

/// The command that makes an offered fix.
pub fn fixed(session: &Session, placed: &Placed, fix: &Fix) -> Option<Command> {
    let book = session.workbook();
    let (from, to) = (fix.span.start as usize, fix.span.end as usize);
    let source = &placed.source;
    let whole = format!("{}{}{}", source.get(..from)?, fix.replacement, source.get(to..)?);
    let change = match (statement(placed.stands), placed.stands) {
        (Some(place), _) => {
            // The source is shown with the indent of the statement.
            let (_, indent) = typed(book, place)?;
            Change::SetLine {
                place,
                text: whole.get(indent as usize..)?.into(),
            }
        }
        (None, Stands::Row(at, row, Some(column))) => {
            let sheet = book.sheets.get(at)?;
            Change::SetCell {
                list: sheet.name.clone(),
                row,
                quantity: sheet.rows.as_ref()?.columns.get(column)?.clone(),
                text: crate::workbook::text::cells_of(&whole)
                    .get(column)
                    .and_then(|(start, end)| whole.get(*start..*end))?
                    .trim()
                    .into(),
            }
        }
        (None, _) => return None,
    };
    Some(Command::one(fix.label.to_string(), change))
}

/// The command that accepts a warning with a reason.
pub fn accepted(placed: &Placed, reason: &str) -> Option<Command> {
    let place = match placed.stands {
        Stands::Line(sheet, line) => Place::Line(sheet, line + 1),
        Stands::Head(line) => Place::Head(line + 1),
        _ => return None,
    };
    let code = placed.fault.code.word();
    Some(Command::one(
        format!("accept {code}"),
        Change::InsertLine {
            place,
            before: "".into(),
            text: format!("accept {code} {}", quoted(reason.trim())).into(),
        },
    ))
}

/// How a fault is told from others, and its word.
pub fn look_of(severity: Severity) -> (State, &'static str) {
    match severity {
        Severity::Error => (State::Failed, "error"),
        Severity::Warning => (State::Doubtful, "warning"),
        Severity::Note => (State::Worked, "note"),
    }
}

/// The beginning of a line.
fn in_short(text: &str) -> String {
    let line = text.lines().next().unwrap_or("").trim();
    match line.char_indices().nth(SHORT) {
        Some((end, _)) => format!("{}…", line.get(..end).unwrap_or("").trim_end()),
        None => line.to_owned(),
    }
}

fn entry(session: &Session, placed: &Placed, system: System) -> Entry {
    // The row of a long list is looked for when its fault is pressed.
    let own = own_line(session.workbook(), placed);
    let goes = place_for(session, placed, None).filter(|_| own.is_none());
    let sheets = &session.results().sheets;
    let quantity = goes.and_then(|(at, spot)| sheets.get(at)?.quantities.get(spot.quantity));
    let mut where_ = match (&placed.sheet, quantity) {
        (Some(sheet), Some(quantity)) => format!("{} in {sheet}", quantity.name),
        (Some(sheet), None) => format!("in {sheet}"),
        (None, _) => "before the first sheet".to_owned(),
    };
    if let Some((text, _)) = own.and_then(|place| typed(session.workbook(), place)) {
        where_ = format!("{}, {where_}", in_short(text));
    }
    let named = placed.item.as_deref().filter(|item| !item.is_empty());
    let sheet = goes.and_then(|(at, _)| sheets.get(at));
    let row = sheet.and_then(|sheet| session.workbook().item_at(placed.stands, &sheet.items));
    match (named, sheet, row) {
        (Some(item), ..) => where_.push_str(&format!(", {item}")),
        (None, Some(sheet), Some(row)) => match sheet.items.get(row).filter(|item| !item.is_empty()) {
            Some(item) => where_.push_str(&format!(", {item}")),
            None => where_.push_str(&format!(", {}", row_in_words(sheet, row))),
        },
        _ => {}
    }
    let line = statement(placed.stands).and_then(|place| Some((place, typed(session.workbook(), place)?.0.to_owned())));
    Entry {
        fixes: placed
            .fault
            .fixes
            .iter()
            .filter_map(|fix| {
                let at = goes.and_then(|(at, spot)| Some((Seen::of(session, at)?.shown_in(system), spot)));
                at.and_then(|(seen, spot)| fixed_at(seen, spot, placed, fix))
                    .or_else(|| fixed(session, placed, fix))
            })
            .collect(),
        where_,
        leads: own.is_some(),
        goes,
        line,
        placed: placed.clone(),
    }
}

impl Faults {
    /// Reads the faults anew where something has changed.
    pub fn read(&mut self, session: &Session, changes: u64, system: System) {
        if self.of != Some((changes, system)) {
            let before = std::mem::take(self);
            self.read_anew(session, changes, system);
            self.open = self.found_again(before);
        }
        self.consider(session, changes);
    }

    /// What was open is so at the same fault of the same line, as long as there is one.
    fn found_again(&self, before: Faults) -> Option<Open> {
        let mut open = before.open?;
        let was = before.entries.get(number(&open))?;
        let same = |entry: &Entry| {
            entry.line.is_some() && entry.line == was.line && entry.placed.fault.code == was.placed.fault.code
        };
        let now = self.entries.iter().position(same)?;
        match &mut open {
            Open::Reason(at, _) | Open::Line(at, _) => *at = now,
        }
        Some(open)
    }

    /// Looks at a line that is typed anew.
    fn consider(&mut self, session: &Session, changes: u64) {
        let (Some(Open::Line(at, field)), Some((_, system))) = (&mut self.open, self.of) else {
            return;
        };
        let sheet = match self.entries.get(*at).and_then(|entry| entry.line.as_ref()) {
            Some((Place::Line(sheet, _) | Place::Opening(sheet), _)) => *sheet,
            _ => 0,
        };
        if let Some(seen) = Seen::of(session, sheet) {
            field.consider(seen.shown_in(system), changes);
        }
    }

    /// The line that is typed anew, where it has the keys.
    pub fn typing(&self) -> Option<&Editing> {
        match &self.open {
            Some(Open::Line(_, field)) => field.typing(),
            _ => None,
        }
    }

    /// The same to be changed.
    pub fn typing_mut(&mut self) -> Option<&mut LineField> {
        match &mut self.open {
            Some(Open::Line(_, field)) => Some(&mut **field).filter(|field| field.typing().is_some()),
            _ => None,
        }
    }

    /// The panel is not on the screen.
    pub fn rest(&mut self) {
        if let Some(Open::Line(_, field)) = &mut self.open {
            field.rest();
        }
    }

    fn read_anew(&mut self, session: &Session, changes: u64, system: System) {
        let faults = &session.results().faults;
        *self = Faults {
            of: Some((changes, system)),
            entries: faults
                .iter()
                .take(MOST)
                .map(|placed| entry(session, &said_in(placed, system), system))
                .collect(),
            counts: [Severity::Error, Severity::Warning, Severity::Note]
                .map(|severity| faults.iter().filter(|placed| placed.fault.severity == severity).count()),
            more: faults.len().saturating_sub(MOST),
            certain: mending::count(session),
            commas: (session
                .results()
                .sheets
                .iter()
                .zip(commas::by_sheet(session))
                .enumerate())
            .map(|(at, (sheet, found))| (at, sheet.heading().to_owned(), found))
            .filter(|(_, _, found)| found.count() > 1)
            .collect(),
            accepted: session
                .results()
                .accepted
                .iter()
                .map(|one| (system.words(&one.placed.fault.message), one.reason.clone()))
                .collect(),
            open: None,
            fresh: false,
        };
    }

    /// What is typed here and not yet taken in.
    pub fn draft(&self) -> Option<Command> {
        let open = self.open.as_ref()?;
        open.command(self.entries.get(number(open))?)
    }

    /// What was typed here is taken in.
    pub fn taken(&mut self) {
        self.open = None;
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, wrongs: &[NotTaken], wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        for wrong in wrongs {
            let words = format!("{} {} is not taken in", State::Failed.mark(), wrong.words);
            let link = ui.link(RichText::new(words).font(look::bold(14.0)).color(inks.failed));
            if link.on_hover_text("Go there and mend it").clicked() {
                wishes.extend([Wish::Go(wrong.sheet, wrong.spot), Wish::Ask(Act::Edit)]);
            }
            let _ = ui.label(&wrong.why);
            let _ = ui.horizontal_wrapped(|ui| {
                for fix in &wrong.fixes {
                    if offered(ui, &fix.label) {
                        wishes.extend([Wish::Go(wrong.sheet, wrong.spot), Wish::Mend(fix.clone())]);
                    }
                }
            });
            ui.add_space(6.0);
        }
        if self.entries.is_empty() && !wrongs.is_empty() {
            return;
        }
        if self.entries.is_empty() {
            let _ = ui.label("No faults and no warnings.");
        } else {
            let _ = ui.horizontal_wrapped(|ui| {
                for (severity, count) in [Severity::Error, Severity::Warning, Severity::Note]
                    .into_iter()
                    .zip(self.counts)
                {
                    if count > 0 {
                        let (state, word) = look_of(severity);
                        let plural = if count == 1 { "" } else { "s" };
                        let text = format!("{} {count} {word}{plural}", state.mark());
                        let _ = ui.label(RichText::new(text).font(state.font(13.0)).color(state.ink(inks)));
                    }
                }
            });
        }
        if self.certain > 1 && offered(ui, &format!("mend all {} that leave no choice", self.certain)) {
            wishes.push(Wish::MendAll);
        }
        for (at, sheet, found) in &self.commas {
            ui.add_space(6.0);
            let _ = ui.label(RichText::new(format!("{sheet}: {}", found.words())).font(look::bold(13.0)));
            let _ = ui.horizontal_wrapped(|ui| draw_commas(ui, *at, found, wishes));
        }
        let mut open = self.open.take();
        let before = open.clone();
        for (index, entry) in self.entries.iter().enumerate() {
            let _ = ui.push_id(("fault", index), |ui| {
                one(ui, index, entry, &mut open, self.fresh, wishes);
            });
        }
        self.fresh = match (&before, &open) {
            (Some(before), Some(open)) => {
                std::mem::discriminant(before) != std::mem::discriminant(open) || number(before) != number(open)
            }
            (None, Some(_)) => true,
            _ => false,
        };
        self.open = open;
        if self.more > 0 {
            let _ = ui.label(format!("and {} more", self.more));
        }
        if !self.accepted.is_empty() {
            ui.add_space(10.0);
            look::heading(ui, "Accepted");
            for (message, reason) in &self.accepted {
                let _ = ui.label(message);
                let _ = ui.label(RichText::new(reason).font(look::oblique(13.0)).color(inks.words));
            }
        }
    }
}

impl Open {
    /// What is typed, as a command; `None` where nothing is.
    fn command(&self, entry: &Entry) -> Option<Command> {
        match self {
            Open::Reason(_, reason) if reason.trim().is_empty() => None,
            Open::Reason(_, reason) => accepted(&entry.placed, reason),
            Open::Line(_, field) => {
                let (place, was) = entry.line.as_ref()?;
                let text = field.text().trim();
                (text != was).then(|| {
                    let (place, text) = (*place, text.into());
                    Command::one("type the line anew", Change::SetLine { place, text })
                })
            }
        }
    }
}

fn number(open: &Open) -> usize {
    match open {
        Open::Reason(index, _) | Open::Line(index, _) => *index,
    }
}

fn one(ui: &mut Ui, index: usize, entry: &Entry, open: &mut Option<Open>, fresh: bool, wishes: &mut Vec<Wish>) {
    let inks = look::of(ui);
    let fault = &entry.placed.fault;
    let (state, word) = look_of(fault.severity);
    ui.add_space(8.0);
    let _ = ui.horizontal_wrapped(|ui| {
        let meaning = fault.code.entry().meaning;
        let _ = ui
            .label(RichText::new(format!("{} {word}", state.mark())).color(state.ink(inks)))
            .on_hover_text(format!(
                "{meaning}\n\nMore on a terminal: polepair explain {}",
                fault.code
            ));
        match entry.goes.is_some() || entry.leads {
            true => {
                if ui.link(&entry.where_).on_hover_text("Go there").clicked() {
                    wishes.push(Wish::Fault(Box::new(entry.placed.clone())));
                }
            }
            false => {
                let _ = ui.label(RichText::new(&entry.where_).color(inks.words));
            }
        }
    });
    let _ = ui.label(&*fault.message);
    if let Some(line) = entry
        .placed
        .source
        .lines()
        .next()
        .filter(|line| !line.trim().is_empty())
    {
        let _ = ui.label(source(line.trim_end(), &entry.placed, inks));
    }
    if let Some(help) = &fault.help {
        let _ = ui.label(
            RichText::new(&**help)
                .font(look::oblique(look::SIZE - 1.0))
                .color(inks.words),
        );
    }
    let can_accept = fault.severity == Severity::Warning && accepted(&entry.placed, "").is_some();
    let can_type = entry.goes.is_none() && entry.line.is_some();
    if can_accept || can_type || !entry.fixes.is_empty() {
        let _ = ui.horizontal_wrapped(|ui| {
            for fix in &entry.fixes {
                if offered(ui, &fix.label) {
                    wishes.push(Wish::Do(fix.clone()));
                }
            }
            if can_accept && ui.link("accept it…").clicked() {
                *open = Some(Open::Reason(index, String::new()));
            }
            if let (None, Some((place, text))) = (entry.goes, &entry.line)
                && ui.link("type the line anew…").clicked()
            {
                *open = Some(Open::Line(
                    index,
                    Box::new(LineField::with(text, matches!(place, Place::Head(_)))),
                ));
            }
        });
    }
    let Some(now) = open else { return };
    if number(now) != index {
        return;
    }
    let answer = match now {
        Open::Reason(_, text) => field(ui, "Reason", text, fresh, false),
        Open::Line(_, line) => {
            let answer = line.draw(ui, "Line", (fresh, Keeps(false)));
            line.said(ui, None);
            answer
        }
    };
    let mut away = answer == Some(Answer::Leave);
    if answer == Some(Answer::Do)
        && let Some(command) = now.command(entry)
    {
        wishes.push(Wish::Do(command));
        away = true;
    }
    if away {
        *open = None;
    }
}

/// The line of the workbook with the place underlined.
fn source(line: &str, placed: &Placed, inks: &look::Inks) -> egui::text::LayoutJob {
    let span = &placed.fault.span;
    let (from, to) = (
        (span.start as usize).min(line.len()),
        (span.end as usize).min(line.len()),
    );
    let mut job = egui::text::LayoutJob::default();
    let format = |underline| egui::TextFormat {
        font_id: egui::FontId::proportional(13.0),
        color: inks.words,
        underline,
        ..egui::TextFormat::default()
    };
    let plain = egui::Stroke::NONE;
    let parts = match (line.get(..from), line.get(from..to), line.get(to..)) {
        (Some(a), Some(b), Some(c)) => [a, b, c],
        _ => [line, "", ""],
    };
    for (part, underline) in parts
        .into_iter()
        .zip([plain, egui::Stroke::new(1.5, inks.failed), plain])
    {
        job.append(part, 0.0, format(underline));
    }
    job
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_leads_to_its_place_in_sheet_and_list() {
        let session = Session::open(
            "polepair 1\nsheet a\n  given f = 50 Hz : frequency\n  work n = f + 5 kW\nlist b\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"x\" | 1 kW\n    \"y\" | 5 Hz\n",
        );
        let faults = &session.results().faults;
        let places: Vec<_> = faults.iter().map(|placed| place(&session, placed)).collect();
        let formula = Spot {
            quantity: 1,
            field: Field::Formula,
        };
        let cell = Spot {
            quantity: 1,
            field: Field::Value(1),
        };
        assert!(places.contains(&Some((0, formula))), "{faults:?}");
        assert!(places.contains(&Some((1, cell))), "{faults:?} {places:?}");
    }

    #[test]
    fn of_two_lines_alike_each_fault_leads_to_its_own() {
        let session = Session::open(
            "polepair 1\nsheet a\n  given P = 5 Hz : shaft power\nsheet b\n  given P = 5 Hz : shaft power\n",
        );
        let places: Vec<_> = session
            .results()
            .faults
            .iter()
            .map(|placed| place(&session, placed))
            .collect();
        let spot = Spot {
            quantity: 0,
            field: Field::Value(0),
        };
        assert_eq!(
            places,
            [Some((0, spot)), Some((1, spot))],
            "{:?}",
            session.results().faults
        );
    }

    #[test]
    fn a_bar_in_a_text_divides_no_cells() {
        let session = Session::open(
            "polepair 1\nlist b\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"x | y\" | 5 Hz\n",
        );
        let placed = &session.results().faults[0];
        let spot = Spot {
            quantity: 1,
            field: Field::Value(0),
        };
        assert_eq!(place(&session, placed), Some((0, spot)), "{placed:?}");
    }

    fn mended(text: &str) {
        let mut session = Session::open(text);
        let placed = session
            .results()
            .faults
            .iter()
            .find(|placed| !placed.fault.fixes.is_empty());
        let placed = placed
            .unwrap_or_else(|| panic!("{:?}", session.results().faults))
            .clone();
        let command = fixed(&session, &placed, &placed.fault.fixes[0]).unwrap();
        session.apply(command).unwrap();
        let left = &session.results().faults;
        assert!(
            !left.iter().any(|left| left.fault.code == placed.fault.code),
            "{left:?}"
        );
    }

    #[test]
    fn an_offered_fix_mends_the_fault() {
        mended("polepair 1\nsheet a\n  given eta = 0.9\n  work P = 15 kW/eta\n");
        // Indented by more than the canonical form.
        mended("polepair 1\nsheet a\n      given eta = 0.9\n      work P = 15 kW/eta\n");
        mended("polepair 1\nlist b\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"x | y\" | 1,5 kW\n");
    }

    #[test]
    fn a_warning_is_accepted_with_a_reason() {
        let mut session = Session::open(
            "polepair 1\nsheet a\n  given V = 400 V : line voltage\n  given I = 10 A : line current\n  work P = V * I * 0.8 in kW : input power\n",
        );
        let warned = |session: &Session| {
            let faults = &session.results().faults;
            let found = faults
                .iter()
                .find(|placed| placed.fault.code.word() == "root-three-missing");
            found.cloned()
        };
        let placed = warned(&session).unwrap();
        session.apply(accepted(&placed, "one phase only").unwrap()).unwrap();
        assert!(warned(&session).is_none(), "{:?}", session.results().faults);
        assert_eq!(session.results().accepted[0].reason, "one phase only");
    }
}
