//! The plots of a sheet for the chosen case: lines with their names and marked places, a read-out at the cursor, a given to drag, by
//! the slider, along the axis it lies on, or by the place where lines meet.
//!
//! Always: points are worked by the session, away from the thread that draws; the last ones stay until new ones come. The slider stays
//! in sight of the plots. A given of another sheet that a plot goes by is dragged beside that plot. A drag, however it is made, is one
//! step to take back. It stays within what the given can be: it keeps its sign, reaches no zero, leaves no limits of its kind, and comes
//! back from where the values belong to no machine. Let go, the slider has the keys, so that an arrow goes on from where the hand was.

use eframe::egui::{self, RichText, Ui};

use super::drawn::{Drawn, Glance, Marked, shown};
use super::picture::{Frame, Pull, SIGNS, one};
use super::proposed::Proposed;
use super::{Panel, Wish, offered};
use crate::fault::Code;
use crate::language::check::Sort;
use crate::language::syntax;
use crate::quantity::{Number, System, Unit, conversion, show};
use crate::recalc::{Plot, Showing};
use crate::session::Command;
use crate::window::command::Act;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot, literal};
use crate::window::wrong::Named;
use crate::workbook::{Form, Role, Rounding, Statement};

/// Places worked along a line.
pub const PLACES: usize = 160;

/// Which plots: sheet, item, how many changes there were.
pub type Which = (usize, usize, u64);

/// A given that can be dragged: one of the sheet, or one of another sheet that its plots go by.
#[derive(Clone, Debug, PartialEq)]
struct Given {
    /// Place of its sheet.
    sheet: usize,
    spot: Spot,
    /// As formulas of the sheet with the plots name it.
    name: String,
    unit: String,
    /// The unit that it is shown in and the one that it is typed in, where they are two.
    typed_in: Option<(Unit, Unit)>,
    /// A plot goes by it; else dragging it moves no line.
    plotted: bool,
    value: f64,
    /// Its kind has only every so many: poles come in pairs.
    step: Option<f64>,
    /// Between these its kind lies by nature.
    limits: Option<(f64, f64)>,
}

impl Given {
    /// The given of a quantity for an item; `None` where it cannot be dragged.
    fn of(seen: Seen<'_>, at: usize, item: usize, name: String, plotted: bool) -> Option<Given> {
        let quantity = seen.quantity(at).filter(|quantity| quantity.role == Role::Given)?;
        let showing = Showing::of(quantity, seen.system);
        let spot = Spot {
            quantity: at,
            field: Field::Value(item),
        };
        let value = value_at(seen, spot)?;
        // Between limits of its own it cannot be dragged.
        let moves = value != 0.0 && !seen.typed(spot).contains(" limits ");
        moves.then(|| Given {
            sheet: seen.at,
            spot,
            name,
            unit: seen.unit(at),
            typed_in: typed_in(seen, spot, &showing),
            plotted,
            value,
            step: step_of(&showing),
            limits: limits_of(&showing),
        })
    }

    /// Where it stands.
    fn place_of(&self) -> (usize, Spot) {
        (self.sheet, self.spot)
    }

    /// The nearest value that there can be.
    fn nearest(&self, value: f64) -> f64 {
        match self.step {
            Some(step) => (value / step).round().max(1.0) * step,
            None => value,
        }
    }

    /// The value that there can be nearest to one that a hand asks for, where the drag began at `from`.
    fn possible(&self, from: f64, value: f64) -> f64 {
        let least = from.abs() / SMALLEST;
        let value = (value * from.signum()).max(least) * from.signum();
        let value = match self.limits {
            Some((low, high)) => value.clamp(low, high),
            None => value,
        };
        self.nearest(value)
    }

    /// Between which values it is dragged: half and twice the one it began with, and a few steps where there are steps.
    fn ends(&self, from: f64) -> (f64, f64) {
        let (half, twice) = (from / 2.0, from * 2.0);
        let (low, high) = (half.min(twice), half.max(twice));
        match self.step {
            Some(step) => (self.nearest(low), high.max(from + 2.0 * step)),
            None => (low, high),
        }
    }

    /// Its value as it is typed, so many digits fine: in the unit that it is typed in, whatever unit it is shown in.
    fn text(&self, value: f64, digits: u8) -> Option<String> {
        let number = Number::from_f64(value).ok()?;
        let (number, unit) = match &self.typed_in {
            Some((shown, typed)) => (conversion(shown, typed).ok()?.apply(number).ok()?, &*typed.text),
            None => (number, self.unit.as_str()),
        };
        let digits = match self.step {
            Some(_) => show::exact(&number),
            None => bare(show::number(&number, Some(&Rounding::Digits(digits)))),
        };
        Some(format!("{digits} {unit}").trim_end().to_owned())
    }

    /// The value at a place of the slider, from -1 to 1: fine around the one that it began with, half and twice of it at the ends.
    fn at(&self, from: f64, place: f64) -> f64 {
        from * (place * place.abs()).exp2()
    }

    /// Where a value stands on the slider.
    fn place(&self, from: f64, value: f64) -> f64 {
        let turns = (value / from).log2();
        if turns.is_finite() {
            turns.signum() * turns.abs().sqrt()
        } else {
            0.0
        }
    }
}

/// The value at a place as the results have it, in the unit that it is shown in.
fn value_at(seen: Seen<'_>, spot: Spot) -> Option<f64> {
    let Field::Value(item) = spot.field else { return None };
    let quantity = seen.quantity(spot.quantity)?;
    let number = quantity.cells.get(item)?.as_number()?;
    Some(Showing::of(quantity, seen.system).number(number).to_f64())
}

/// A number as people type it, without noughts behind the point.
fn bare(text: String) -> String {
    match text.contains('.') && !text.contains(['e', 'E']) {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// The step of the values of a kind in the unit they are shown in.
fn step_of(showing: &Showing<'_>) -> Option<f64> {
    let Sort::Quantity { kind: Some(kind), .. } = showing.sort() else {
        return None;
    };
    let step = kind.entry().range?.step?;
    let to_shown = conversion(&Unit::usual(*kind, false), showing.unit()?).ok()?;
    Some(to_shown.apply(Number::Float(step)).ok()?.to_f64()).filter(|step| *step > 0.0)
}

/// The natural limits of a kind in the unit it is shown in.
fn limits_of(showing: &Showing<'_>) -> Option<(f64, f64)> {
    let Sort::Quantity { kind: Some(kind), .. } = showing.sort() else {
        return None;
    };
    let range = kind.entry().range?;
    let to_shown = conversion(&Unit::usual(*kind, false), showing.unit()?).ok()?;
    let shown = |limit: f64| match limit.is_finite() {
        true => Some(to_shown.apply(Number::Float(limit)).ok()?.to_f64()),
        false => Some(limit),
    };
    let (low, high) = (shown(range.low)?, shown(range.high)?);
    (low < high).then_some((low, high))
}

/// How many faults and warnings say that values belong to no machine, or that a given is not what its kind can be.
fn odd(seen: Seen<'_>) -> usize {
    let faults = seen.session.results().faults.iter();
    let of_values = [Code::NO_SUCH_MACHINE, Code::BEYOND_KIND];
    faults.filter(|placed| of_values.contains(&placed.fault.code)).count()
}

/// The unit that a value is shown in and the one that it is typed in, where they are two.
fn typed_in(seen: Seen<'_>, spot: Spot, showing: &Showing<'_>) -> Option<(Unit, Unit)> {
    let (_, typed) = literal(&syntax::parse(&seen.typed(spot)).0)?;
    let shown = showing.unit().filter(|unit| unit.text != typed.text)?;
    Some((shown.clone(), typed))
}

/// The hand on a given: where it began, where it is.
#[derive(Clone, Debug)]
struct Hand {
    /// Place of the sheet, and the place there.
    of: (usize, Spot),
    from: f64,
    value: f64,
    moving: bool,
    /// The handle went on while the session was at work: where it stands is not typed yet.
    owed: bool,
    /// The last value at which nothing was odd that was not so when the hand began, and the first at which something was.
    good: f64,
    bad: Option<f64>,
    /// How much was odd when the hand began.
    odd: usize,
}

/// A hand that draws the place where lines meet: how that place goes with the given.
#[derive(Clone, Debug)]
struct Follow {
    /// Width and height of the picture when the hand began.
    spans: (f64, f64),
    /// The given and the place, as shares of the picture, when last looked at.
    last: (f64, (f64, f64)),
    /// How the place goes with the given, once that is known.
    slope: Option<(f64, f64)>,
}

/// The sheet that the panel stands beside.
#[derive(Clone, Copy)]
pub struct Beside<'a> {
    /// The sheet as it is seen, when the session is here.
    pub seen: Option<Seen<'a>>,
    /// Place of the sheet.
    pub sheet: usize,
    /// The chosen place.
    pub chosen: Option<Spot>,
    /// What a plot rests on and is not taken in, in words.
    pub untaken: Option<&'a str>,
}

/// Plots that were worked, kept until something changes.
#[derive(Clone, Debug, Default)]
pub struct Curves {
    /// What is drawn.
    of: Option<Which>,
    plots: Vec<Plot>,
    /// The same in the units they are shown in.
    drawn: Vec<Drawn>,
    system: System,
    /// What is asked for.
    asked: Option<Which>,
    /// What was read for the panel beside the points.
    read: Option<Which>,
    case: String,
    /// What the plots rest on, by sheet and name.
    rests_on: Named,
    givens: Vec<Given>,
    marked: Vec<Marked>,
    any: bool,
    /// A plot that would fit, where there is none.
    proposed: Option<Proposed>,
    /// Where there is none: the sheets whose plots go by this one, place and name.
    elsewhere: Vec<(usize, String)>,
    /// The chosen place that the plot was proposed for.
    proposed_for: Option<Option<Spot>>,
    hand: Option<Hand>,
    /// What was chosen in the grid when last looked at, and in which sheet.
    chosen: Option<(usize, Option<Spot>)>,
    /// What is looked at in each plot.
    glances: Vec<Glance>,
    /// The plots from before the drag, while it goes on.
    before: Vec<Drawn>,
    /// A hand is in a plot.
    pulling: bool,
    follow: Option<Follow>,
    /// The given in hand does not move the place that was drawn.
    stuck: bool,
    /// The slider as it was drawn last.
    slider: Option<egui::Id>,
}

/// How far a key goes along the slider.
const STEP: f64 = 0.01;
/// A drag goes down to this part of the value it began with.
const SMALLEST: f64 = 50.0;
/// How near a hand comes to where values belong to no machine, as a share of the value it began with.
const NEAR: f64 = 0.004;
/// The least height of a picture.
const LEAST: f32 = 200.0;
/// Below this height of the panel the slider stands under the plots instead of staying in sight.
const LOW: f32 = 360.0;

impl Curves {
    /// Which plots have to be worked, if they are not there yet and not asked for.
    pub fn wants(&mut self, seen: Seen<'_>, chosen: Option<Spot>, changes: u64) -> Option<Which> {
        let sheet = seen.at;
        let items = seen.results.items.len();
        let item = match (chosen.map(|spot| spot.field), self.read) {
            (Some(Field::Value(item)), _) => item,
            // Beside the values the case that was looked at stays.
            (_, Some((of, item, _))) if of == sheet && item < items => item,
            _ => 0,
        };
        let which = (sheet, item, changes);
        if self.read != Some(which) || self.system != seen.system {
            // In other units the hand on a given begins anew.
            if self.system != seen.system {
                self.hand = None;
                self.system = seen.system;
                self.draw_anew();
            }
            self.read(seen, item);
            self.read = Some(which);
            self.proposed_for = None;
        }
        if self.proposed_for != Some(chosen) {
            self.proposed_for = Some(chosen);
            self.proposed = (!self.any).then(|| Proposed::of(seen, chosen, item)).flatten();
        }
        if !self.any {
            self.plots.clear();
            self.drawn.clear();
            self.before.clear();
            self.of = Some(which);
        }
        if self.of == Some(which) || self.asked == Some(which) {
            return None;
        }
        self.asked = Some(which);
        Some(which)
    }

    /// Takes plots that were worked.
    pub fn take(&mut self, which: Which, plots: Vec<Plot>) {
        if self.asked == Some(which) {
            self.of = Some(which);
            self.plots = plots;
            self.draw_anew();
        }
    }

    fn draw_anew(&mut self) {
        let plots = self.plots.iter();
        self.drawn = plots.map(|plot| Drawn::of(plot, self.system, &self.marked)).collect();
        self.glances.resize_with(self.drawn.len(), Glance::default);
    }

    fn read(&mut self, seen: Seen<'_>, item: usize) {
        self.any = seen
            .sheet
            .lines
            .iter()
            .any(|line| matches!(line.statement, Statement::Plot { .. }));
        self.case = seen
            .results
            .items
            .get(item)
            .map_or(String::new(), |case| case.to_string());
        self.givens.clear();
        self.marked.clear();
        let plotted = seen.session.plotted(&seen.results.name);
        self.elsewhere = if self.any { Vec::new() } else { plots_elsewhere(seen) };
        for (at, quantity) in seen.results.quantities.iter().enumerate() {
            let field = Field::Value(item);
            let Some(value) = value_at(seen, Spot { quantity: at, field }) else {
                continue;
            };
            let is_plotted = plotted.contains(&(seen.results.name.clone(), quantity.name.clone()));
            let given = Given::of(seen, at, item, quantity.name.to_string(), is_plotted);
            self.marked.push(Marked {
                name: quantity.name.to_string(),
                unit: seen.unit(at),
                value,
                moves: given.is_some(),
            });
            self.givens.extend(given);
        }
        self.givens.extend(givens_elsewhere(seen, item, &plotted));
        self.rests_on = plotted;
        for drawn in &mut self.drawn {
            drawn.mark(&self.marked);
        }
    }

    /// Whether a step so called was a drag of a given that these plots go by.
    pub fn has_dragged(&self, words: &str) -> bool {
        self.plotted().any(|given| said_of(given) == words)
    }

    /// What the plots rest on, and the item they are drawn for.
    pub fn rest_on(&self) -> (&Named, usize) {
        (&self.rests_on, self.read.map_or(0, |(_, item, _)| item))
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        if !self.any {
            self.lead_on(ui, beside, wishes);
            if let Some(proposed) = &self.proposed {
                let _ = ui.label("This sheet has no plot. One that fits it:");
                if offered(ui, &proposed.text) {
                    wishes.push(Wish::Do(Command::one("plot", proposed.change())));
                }
                ui.add_space(8.0);
                let _ = ui.label("Or another one: a line such as");
            } else {
                let _ = ui.label("This sheet has no plot. A line such as");
            }
            let _ = ui.label(RichText::new("plot T_L for n from 0 r/min to 1500 r/min").font(look::oblique(14.0)));
            let _ = ui.label("draws a curve or a formula of one quantity.");
            if ui.link("Type a line…").clicked() {
                wishes.push(Wish::Show(Panel::Lines));
            }
            return;
        }
        if !self.case.is_empty() {
            let _ = ui.label(
                RichText::new(format!("for {}", self.case))
                    .font(look::oblique(14.0))
                    .color(inks.words),
            );
        }
        if let Some(untaken) = beside.untaken {
            let words = format!("△ {untaken}: the lines are drawn from what stood there before");
            let _ = ui.label(RichText::new(words).size(13.0).color(inks.doubtful));
        }
        if self.drawn.is_empty() {
            return;
        }
        self.choose(beside);
        // The slider stays in sight of what it moves, where there is room for both.
        if ui.available_height() < LOW {
            let _ = egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                let pulled = self.pictures(ui, beside);
                self.drag(ui, beside, wishes);
                self.pulled(ui, pulled, beside, wishes);
            });
            return;
        }
        let _ = egui::Panel::bottom("given to drag")
            .resizable(false)
            .frame(egui::Frame::NONE)
            .show_separator_line(false)
            .show(ui, |ui| self.drag(ui, beside, wishes));
        let scrolled = egui::ScrollArea::vertical().auto_shrink(false);
        let pulled = scrolled.show(ui, |ui| self.pictures(ui, beside)).inner;
        self.pulled(ui, pulled, beside, wishes);
    }

    /// Ways to the plots of other sheets that go by this one.
    fn lead_on(&self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        for (sheet, name) in &self.elsewhere {
            let link = ui.link(format!("The plots of {name} go by this sheet")).clicked();
            if let Some(seen) = beside.seen.filter(|_| link)
                && let Some(other) = Seen::of(seen.session, *sheet)
                && !other.results.quantities.is_empty()
            {
                let spot = Spot {
                    quantity: 0,
                    field: Field::Value(0),
                };
                wishes.push(Wish::Go(*sheet, spot));
            }
        }
        if !self.elsewhere.is_empty() {
            ui.add_space(8.0);
        }
    }

    /// Whether the slider has the keys.
    fn has_keys(&self, ctx: &egui::Context) -> bool {
        self.slider
            .is_some_and(|slider| ctx.memory(|memory| memory.has_focus(slider)))
    }

    /// Which signs are of use to what has the keys here: the slider, or a picture. None where neither has them. Behind a sign that made
    /// a picture larger or smaller everything is the picture's: the sign may be the first of a number.
    pub fn signs(&self, ctx: &egui::Context) -> Option<&'static str> {
        let has = |id| ctx.memory(|memory| memory.has_focus(id));
        let of_picture = |glance: &Glance| glance.id.is_some_and(has) && !glance.scaled;
        match self.has_keys(ctx) {
            true => Some(""),
            false => self.glances.iter().any(of_picture).then_some(SIGNS),
        }
    }

    /// Draws the plots, as high as there is room. What a hand moves in which of them comes back, and whether it has let go.
    fn pictures(&mut self, ui: &mut Ui, beside: Beside<'_>) -> (Option<(usize, Pull)>, bool) {
        let plots = self.drawn.len().max(1);
        #[allow(clippy::cast_precision_loss)] // A handful.
        let share = ui.available_height() / plots as f32;
        let most = (ui.available_width() * 1.3).max(LEAST);
        let held = self.held().map(|given| given.name);
        let keyed = self.has_keys(ui.ctx());
        let (mut pulled, mut ended, mut moved) = (None, false, false);
        for (index, (plot, glance)) in self.drawn.iter_mut().zip(&mut self.glances).enumerate() {
            let title = if plot.title.is_empty() { 12.0 } else { 38.0 };
            let under = glance.under;
            let before = self.before.get(index).filter(|before| before.is_of(plot));
            let frame = Frame {
                id: (beside.sheet, index),
                height: (share - title - under - 8.0).clamp(LEAST, most),
                before,
                held: held.as_deref(),
                keyed,
            };
            let (pull, end) = one(ui, plot, glance, frame);
            pulled = pulled.or(pull.map(|pull| (index, pull)));
            ended |= end;
            moved |= (glance.under - under).abs() > 0.5;
        }
        if moved {
            ui.ctx().request_repaint();
        }
        (pulled, ended)
    }

    /// Takes the given into hand that was chosen in the grid since. The first value of a sheet is where one comes in, and no choice
    /// where it is not of the sort of the lines.
    fn choose(&mut self, beside: Beside<'_>) {
        let now = Some((beside.sheet, beside.chosen));
        if self.chosen == now || self.pulling {
            return;
        }
        let begins = self.chosen.is_none_or(|(sheet, _)| sheet != beside.sheet);
        self.chosen = now;
        let chosen = beside.chosen.map(|spot| (beside.sheet, spot));
        let found = self.plotted().find(|given| Some(given.place_of()) == chosen);
        let unit = self.drawn.first().map_or("", Drawn::unit_up);
        let by_chance = |given: &&Given| begins && given.spot.quantity == 0 && given.unit != unit;
        if let Some(given) = found.filter(|given| !by_chance(given))
            && self.hand.as_ref().is_none_or(|hand| hand.of != given.place_of())
        {
            self.hand = Some(hand(given));
            self.stuck = false;
        }
    }

    /// The givens that a plot goes by.
    fn plotted(&self) -> impl Iterator<Item = &Given> {
        self.givens.iter().filter(|given| given.plotted)
    }

    /// The given that comes before or after another one, where an arrow asks for it.
    fn stepped(&self, ui: &Ui, list: &egui::Response, from: (usize, Spot)) -> Option<(usize, Spot)> {
        if !list.has_focus() {
            return None;
        }
        let arrows = egui::EventFilter {
            vertical_arrows: true,
            ..egui::EventFilter::default()
        };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(list.id, arrows));
        let struck = |key| ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key));
        let at = self.plotted().position(|given| given.place_of() == from)?;
        let to = match (struck(egui::Key::ArrowDown), struck(egui::Key::ArrowUp)) {
            (true, _) => at + 1,
            (_, true) => at.checked_sub(1)?,
            _ => return None,
        };
        self.plotted().nth(to).map(Given::place_of)
    }

    /// The given that is in hand: the one that was chosen or dragged last, else one in the unit of the lines.
    fn held(&self) -> Option<Given> {
        let unit = self.drawn.first().map_or("", Drawn::unit_up);
        let usual = || {
            let mut plotted = self.plotted();
            plotted.find(|given| given.unit == unit).or(self.plotted().next())
        };
        let of_hand = |hand: &Hand| {
            // The hand stays on its quantity when another case is looked at.
            let (sheet, spot) = hand.of;
            let mut givens = self.givens.iter();
            givens.find(|given| given.sheet == sheet && given.spot.quantity == spot.quantity)
        };
        self.hand.as_ref().and_then(of_hand).or_else(usual).cloned()
    }

    /// What a hand in a plot does to a given.
    fn pulled(
        &mut self,
        ui: &Ui,
        (pulled, ended): (Option<(usize, Pull)>, bool),
        beside: Beside<'_>,
        wishes: &mut Vec<Wish>,
    ) {
        if ended {
            self.settle(beside.seen, wishes);
            if let Some(slider) = self.slider {
                ui.memory_mut(|memory| memory.request_focus(slider));
            }
        }
        let (Some((index, pull)), Some(seen)) = (pulled, beside.seen) else {
            return;
        };
        let begins = !self.pulling;
        let given = match &pull {
            Pull::Along(name, _) => self.givens.iter().find(|given| given.name == *name).cloned(),
            Pull::Meeting(..) => self.held(),
        };
        let Some(given) = given else { return };
        if !begins && self.stuck {
            return;
        }
        if begins {
            self.pulling = true;
            self.stuck = false;
            self.follow = None;
            self.hand = Some(hand(&given));
            // The grid shows what is dragged.
            if given.sheet == beside.sheet && beside.chosen != Some(given.spot) {
                wishes.push(Wish::Go(beside.sheet, given.spot));
            }
        }
        // Four digits along an axis, three in the plane: as fine as a hand draws.
        let (value, digits) = match pull {
            Pull::Along(_, at) => (Some(at), 4),
            Pull::Meeting(number, x, y) => (self.follows(index, number, (x, y), &given), 3),
        };
        if let Some(value) = value {
            self.type_dragged(seen, &given, (value, digits), wishes);
        } else if self.stuck {
            // What was tried is taken back.
            wishes.push(Wish::Ask(Act::Undo));
        }
    }

    /// The hand has let go: where the values belong to no machine, the last ones that do come back. Which they are is known once the
    /// session is back.
    fn settle(&mut self, seen: Option<Seen<'_>>, wishes: &mut Vec<Wish>) {
        self.pulling = false;
        let moved = self.hand.as_ref().filter(|hand| hand.moving);
        if moved.is_some() && seen.is_none() {
            return;
        }
        if let (Some(seen), Some(hand)) = (seen, moved)
            && odd(seen) > hand.odd
            && let Some(given) = self.givens.iter().find(|given| given.place_of() == hand.of).cloned()
        {
            let good = hand.good;
            self.type_dragged(seen, &given, (good, 4), wishes);
        }
        self.let_go();
    }

    /// The value a hand may go to, as far as is known by what was odd on the way; `stands`: the one that the results are of.
    fn allowed(&mut self, seen: Seen<'_>, given: &Given, (stands, value): (f64, f64)) -> f64 {
        let Some(hand) = &mut self.hand else { return value };
        let now = odd(seen);
        if !hand.moving {
            (hand.good, hand.bad, hand.odd) = (stands, None, now);
        } else if now > hand.odd {
            hand.bad = Some(stands);
        } else {
            hand.good = stands;
        }
        let value = given.possible(hand.from, value);
        let beyond = |bad: &f64| match *bad > hand.good {
            true => value >= *bad,
            false => value <= *bad,
        };
        match hand.bad.filter(beyond) {
            None => value,
            Some(bad) if (bad - hand.good).abs() > hand.from.abs() * NEAR => {
                given.nearest(f64::midpoint(hand.good, bad))
            }
            Some(_) => hand.good,
        }
    }

    /// The hand has let go.
    fn let_go(&mut self) {
        self.pulling = false;
        self.follow = None;
        self.before.clear();
        if let Some(hand) = &mut self.hand {
            hand.moving = false;
        }
    }

    /// The value of a given at which a place where lines meet comes nearest to the hand, as far as is known by now. How the place goes
    /// with the given is seen from a small step, then from each step that the hand makes.
    fn follows(&mut self, index: usize, number: usize, target: (f64, f64), given: &Given) -> Option<f64> {
        // Points in step with the given; else they are on their way.
        if self.of != self.read {
            return None;
        }
        let plot = self.drawn.get(index)?;
        let from = self.hand.as_ref().map_or(given.value, |hand| hand.from);
        let Some(met) = plot.meetings.get(number) else {
            // They do not meet there any more: back by half.
            return Some(f64::midpoint(given.value, from));
        };
        let follow = self.follow.get_or_insert_with(|| {
            let spans = (span(plot.ends), span(plot.heights()));
            Follow {
                spans,
                last: (given.value, (met.at / spans.0, met.value / spans.1)),
                slope: None,
            }
        });
        let now = (met.at / follow.spans.0, met.value / follow.spans.1);
        let off = (target.0 / follow.spans.0 - now.0, target.1 / follow.spans.1 - now.1);
        let (value, place) = follow.last;
        if (given.value - value).abs() > from.abs() * 0.002 {
            let step = given.value - value;
            follow.slope = Some(((now.0 - place.0) / step, (now.1 - place.1) / step));
            follow.last = (given.value, now);
        }
        let Some((right, up)) = follow.slope else {
            let next = given.step.map_or(given.value * 1.02, |step| given.value + step);
            return (off.0.hypot(off.1) > 0.01).then_some(next);
        };
        let length = right.hypot(up);
        self.stuck = length * from.abs() < 0.01;
        if self.stuck {
            return None;
        }
        let most = from.abs() * 0.2;
        let step = ((off.0 * right + off.1 * up) / (length * length)).clamp(-most, most);
        let (low, high) = given.ends(from);
        Some((given.value + step).clamp(low, high))
    }

    /// A given is typed anew, as a step of the drag.
    fn type_dragged(&mut self, seen: Seen<'_>, given: &Given, (value, digits): (f64, u8), wishes: &mut Vec<Wish>) {
        // It may stand in another sheet.
        let Some(own) = Seen::of(seen.session, given.sheet) else {
            return;
        };
        // What the panel has read may be of the step before.
        let stands = value_at(own.shown_in(seen.system), given.spot).unwrap_or(given.value);
        let value = self.allowed(seen, given, (stands, value));
        let seen = own.shown_in(seen.system);
        // What it may be off stays as it is typed.
        let typed = seen.typed(given.spot);
        let off = typed.find('±').or_else(|| typed.find("+/-"));
        let off = off.and_then(|at| typed.get(at..)).unwrap_or("");
        let Some(text) = given.text(value, digits) else { return };
        let text = format!("{text} {off}");
        if text.trim() == typed {
            return;
        }
        let Ok(changes) = seen.change(given.spot, text.trim()) else {
            return;
        };
        let begins = self.hand.as_ref().is_none_or(|hand| !hand.moving);
        if begins {
            self.before.clone_from(&self.drawn);
        }
        let label = said_of(given).into();
        wishes.push(Wish::Drag(Command { label, changes }, begins));
        if let Some(hand) = &mut self.hand {
            hand.moving = true;
            hand.value = value;
        }
    }

    /// A given of the sheet to drag, from half to twice the value it had when it was taken hold of; let go, and it is typed.
    fn drag(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let Beside { seen, sheet, .. } = beside;
        let inks = look::of(ui);
        ui.add_space(8.0);
        let Some(given) = self.held() else {
            let words = "No given with a value moves these plots.";
            let _ = ui.label(RichText::new(words).font(look::oblique(13.0)).color(inks.words));
            return;
        };
        look::heading(ui, "Drag a given and see it move");
        let mut wanted = given.place_of();
        let _ = ui.horizontal(|ui| {
            let box_ = egui::ComboBox::from_id_salt("given to drag")
                .selected_text(&given.name)
                .height(360.0)
                .show_ui(ui, |ui| {
                    for other in self.plotted() {
                        let _ = ui.selectable_value(&mut wanted, other.place_of(), &other.name);
                    }
                });
            ui.ctx()
                .accesskit_node_builder(box_.response.id, |node| node.set_label("Given to drag"));
            if let Some(other) = self.stepped(ui, &box_.response, wanted) {
                wanted = other;
            }
            let _ = ui.label(
                RichText::new(shown(given.value, &given.unit))
                    .font(look::bold(14.0))
                    .color(inks.typed),
            );
        });
        if wanted != given.place_of() {
            self.hand = self.givens.iter().find(|other| other.place_of() == wanted).map(hand);
            self.stuck = false;
            // In another sheet stand no plots to see it move.
            let (of, spot) = wanted;
            if of == sheet {
                wishes.push(Wish::Go(sheet, spot));
            }
            return;
        }
        let fits = self.hand.as_ref().is_some_and(|hand| hand.of == given.place_of());
        let mut hand = match self.hand.take() {
            Some(hand) if fits => hand,
            _ => hand(&given),
        };
        if !hand.moving && !hand.owed {
            hand.value = given.value;
            // Typed elsewhere in the meantime, or let go at an end: the ends go with it.
            if !(0.55..=1.9).contains(&(given.value / hand.from)) {
                hand.from = given.value;
            }
        }
        let (low, high) = given.ends(hand.from);
        ui.spacing_mut().slider_width = (ui.available_width() - 20.0).max(80.0);
        let mut place = given.place(hand.from, hand.value);
        let slider = match given.step {
            Some(step) => egui::Slider::new(&mut hand.value, low..=high).step_by(step),
            None => egui::Slider::new(&mut place, -1.0..=1.0).step_by(STEP),
        };
        let mut response = ui.add(slider.show_value(false).clamping(egui::SliderClamping::Never));
        self.slider = Some(response.id);
        if response.drag_stopped() {
            response.request_focus();
        }
        let by_key = response.changed() && response.interact_pointer_pos().is_none();
        match given.step {
            // A key goes on by a hundredth of the value that the drag began with, wherever the handle stands.
            None if by_key => {
                let sign = if place > given.place(hand.from, hand.value) {
                    1.0
                } else {
                    -1.0
                };
                hand.value += sign * hand.from.abs() * STEP;
            }
            None if response.changed() => hand.value = given.at(hand.from, place),
            _ => {}
        }
        if response.has_focus()
            && let Some(value) = leapt(ui, &hand, (low, high))
        {
            hand.value = value;
            response.mark_changed();
        }
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(said_of(&given)));
        // By keys and beside the ends too it stands on a value that there can be.
        hand.value = given.possible(hand.from, hand.value);
        let value = hand.value;
        let is_due = response.changed() || hand.owed;
        hand.owed = is_due && seen.is_none();
        self.hand = Some(hand);
        if is_due && let Some(seen) = seen {
            self.type_dragged(seen, &given, (value, 4), wishes);
        }
        if !response.dragged() && !is_due && !self.pulling {
            self.settle(seen, wishes);
        }
        let ends = format!("from {} to {}", shown(low, &given.unit), shown(high, &given.unit));
        let _ = ui.label(RichText::new(ends).size(12.0).color(inks.words));
        let words = if self.stuck {
            format!("{} does not move that place; choose another given.", given.name)
        } else if !self.before.is_empty() {
            "Thin: as it was before the drag.".to_owned()
        } else {
            String::new()
        };
        let _ = ui.label(RichText::new(words).size(12.0).color(inks.doubtful));
    }
}

/// The givens of other sheets that the plots of one go by: each for the same case, or for all where that sheet has no cases.
fn givens_elsewhere(seen: Seen<'_>, item: usize, plotted: &Named) -> Vec<Given> {
    let case = seen.results.items.get(item);
    let of = |(sheet, name): &(std::sync::Arc<str>, std::sync::Arc<str>)| {
        let sheets = seen.session.results().sheets.iter();
        let at = sheets.clone().position(|known| known.name == *sheet)?;
        let other = Seen::of(seen.session, at).filter(|other| at != seen.at && other.results.form == Form::Sheet)?;
        let item = match &*other.results.items {
            [_] => 0,
            items => items.iter().position(|known| Some(known) == case)?,
        };
        let quantity = other.results.quantities.iter().position(|known| known.name == *name)?;
        Given::of(
            other.shown_in(seen.system),
            quantity,
            item,
            format!("{sheet}.{name}"),
            true,
        )
    };
    let mut givens: Vec<Given> = plotted.iter().filter_map(of).collect();
    givens.sort_by_key(|given| (given.sheet, given.spot.quantity));
    givens
}

/// The sheets with plots that go by something in this one: place and title.
fn plots_elsewhere(seen: Seen<'_>) -> Vec<(usize, String)> {
    let sheets = seen.session.results().sheets.iter().enumerate();
    let go_by = |name: &str| {
        let mut plotted = seen.session.plotted(name).into_iter();
        plotted.any(|(sheet, _)| sheet == seen.results.name)
    };
    let others = sheets.filter(|(at, other)| *at != seen.at && go_by(&other.name));
    let named = |(at, other): (usize, &crate::recalc::SheetResults)| {
        let named = match other.title.as_str() {
            "" => other.name.to_string(),
            title => title.to_owned(),
        };
        (at, named)
    };
    others.map(named).collect()
}

/// Where the keys that go far take a given: to an end, or a tenth of the value the drag began with.
fn leapt(ui: &Ui, hand: &Hand, (low, high): (f64, f64)) -> Option<f64> {
    let struck = |key| ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key));
    let tenth = hand.from.abs() / 10.0;
    let keys = [
        (egui::Key::Home, low),
        (egui::Key::End, high),
        (egui::Key::PageUp, (hand.value + tenth).min(high)),
        (egui::Key::PageDown, (hand.value - tenth).max(low)),
    ];
    keys.into_iter().find(|(key, _)| struck(*key)).map(|(_, value)| value)
}

/// The width of a stretch; one where it is none.
fn span(ends: Option<(f64, f64)>) -> f64 {
    ends.map(|(low, high)| high - low)
        .filter(|span| *span > 0.0)
        .unwrap_or(1.0)
}

/// What a drag is called.
fn said_of(given: &Given) -> String {
    format!("drag {}", given.name)
}

fn hand(given: &Given) -> Hand {
    Hand {
        of: given.place_of(),
        from: given.value,
        value: given.value,
        moving: false,
        owed: false,
        good: given.value,
        bad: None,
        odd: 0,
    }
}
