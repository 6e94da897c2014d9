//! The plots of a sheet for the chosen case: lines with their names and marked places, a read-out at the cursor, a given to drag.
//!
//! Always: points are worked by the session, away from the thread that draws; the last ones stay until new ones come.

use eframe::egui::{self, Align2, RichText, Ui};
use egui_plot::{Line, LineStyle, PlotPoint, PlotPoints, Points, Text, VLine};

use super::{Panel, Wish};
use crate::language::check::Sort;
use crate::quantity::{Number, System, Unit, show};
use crate::recalc::{Plot, Showing, Trail};
use crate::session::Command;
use crate::window::look;
use crate::window::spot::{Field, Seen, Spot};
use crate::workbook::{Role, Rounding, Statement};

/// Places worked along a line.
pub const PLACES: usize = 160;

/// Quantities marked along an axis at most.
const MOST_MARKED: usize = 6;

/// Which plots: sheet, item, how many changes there were.
pub type Which = (usize, usize, u64);

/// A given that can be dragged.
#[derive(Clone, Debug, PartialEq)]
struct Given {
    spot: Spot,
    name: String,
    unit: String,
    value: f64,
}

/// The hand on a given: where it began, where it is.
#[derive(Clone, Debug)]
struct Hand {
    spot: Spot,
    from: f64,
    value: f64,
    moving: bool,
}

/// A quantity of the sheet whose value lies on the axis.
#[derive(Clone, Debug)]
struct Marked {
    name: String,
    unit: String,
    value: f64,
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
    givens: Vec<Given>,
    marked: Vec<Marked>,
    any: bool,
    hand: Option<Hand>,
}

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
        }
        if !self.any {
            self.plots.clear();
            self.drawn.clear();
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
        self.drawn = self.plots.iter().map(|plot| Drawn::of(plot, self.system)).collect();
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
        for (at, quantity) in seen.results.quantities.iter().enumerate() {
            let Some(number) = quantity
                .cells
                .get(item)
                .and_then(crate::language::work::Outcome::as_number)
            else {
                continue;
            };
            let unit = seen.unit(at);
            let value = Showing::of(quantity, seen.system).number(number).to_f64();
            self.marked.push(Marked {
                name: quantity.name.to_string(),
                unit: unit.clone(),
                value,
            });
            let spot = Spot {
                quantity: at,
                field: Field::Value(item),
            };
            // Between limits of its own it cannot be dragged.
            let between = || seen.typed(spot).contains(" limits ");
            if quantity.role == Role::Given && value != 0.0 && !between() {
                self.givens.push(Given {
                    spot,
                    name: quantity.name.to_string(),
                    unit,
                    value,
                });
            }
        }
    }

    /// Draws the panel.
    pub fn draw(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let inks = look::of(ui);
        if !self.any {
            let _ = ui.label("This sheet has no plot. A line such as");
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
        for (index, plot) in self.drawn.iter().enumerate() {
            one(ui, index, beside.sheet, plot, &self.marked, inks);
        }
        if !self.drawn.is_empty() {
            self.drag(ui, beside, wishes);
        }
    }

    /// A given of the sheet to drag, from half to twice the value it had; let go, and it is typed.
    fn drag(&mut self, ui: &mut Ui, beside: Beside<'_>, wishes: &mut Vec<Wish>) {
        let Beside { seen, sheet, chosen } = beside;
        let inks = look::of(ui);
        let item = self.read.map_or(0, |(_, item, _)| item);
        let held = self.hand.as_ref().map(|hand| hand.spot);
        let mut spot = chosen
            .filter(|spot| self.givens.iter().any(|given| given.spot == *spot))
            .filter(|spot| held.is_none_or(|held| held.quantity != spot.quantity) || held == Some(*spot))
            .or(held)
            .or_else(|| self.givens.first().map(|given| given.spot));
        // The hand stays on its quantity when another case is looked at.
        if let Some(spot) = &mut spot {
            spot.field = Field::Value(item);
        }
        let Some(given) = spot
            .and_then(|spot| self.givens.iter().find(|given| given.spot == spot))
            .cloned()
        else {
            return;
        };
        ui.add_space(8.0);
        look::heading(ui, "Drag a given and see it move");
        let mut wanted = given.spot;
        let _ = ui.horizontal(|ui| {
            let box_ = egui::ComboBox::from_id_salt("given to drag")
                .selected_text(&given.name)
                .show_ui(ui, |ui| {
                    for other in &self.givens {
                        let _ = ui.selectable_value(&mut wanted, other.spot, &other.name);
                    }
                });
            ui.ctx()
                .accesskit_node_builder(box_.response.id, |node| node.set_label("Given to drag"));
            let _ = ui.label(
                RichText::new(shown(given.value, &given.unit))
                    .font(look::bold(14.0))
                    .color(inks.typed),
            );
        });
        if wanted != given.spot {
            self.hand = self.givens.iter().find(|other| other.spot == wanted).map(hand);
            wishes.push(Wish::Go(sheet, wanted));
            return;
        }
        let fits = self.hand.as_ref().is_some_and(|hand| hand.spot == given.spot);
        let mut hand = match self.hand.take() {
            Some(hand) if fits => hand,
            _ => hand(&given),
        };
        if !hand.moving {
            hand.value = given.value;
            // Typed elsewhere in the meantime: the ends go with it.
            if !(0.45..=2.2).contains(&(given.value / hand.from)) {
                hand.from = given.value;
            }
        }
        let ends = (hand.from / 2.0, hand.from * 2.0);
        ui.spacing_mut().slider_width = (ui.available_width() - 20.0).max(80.0);
        let response = ui.add(
            egui::Slider::new(&mut hand.value, ends.0.min(ends.1)..=ends.0.max(ends.1))
                .show_value(false)
                .clamping(egui::SliderClamping::Never),
        );
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(format!("drag {}", given.name)));
        if response.changed()
            && let Some(seen) = seen
        {
            // Three digits are as fine as a hand drags.
            let digits = Number::from_f64(hand.value).map(|number| show::number(&number, Some(&Rounding::Digits(3))));
            // What it may be off stays as it is typed.
            let typed = seen.typed(given.spot);
            let off = typed.find('±').or_else(|| typed.find("+/-"));
            let off = off.and_then(|at| typed.get(at..)).unwrap_or("");
            if let Ok(digits) = digits
                && let Ok(changes) = seen.change(given.spot, format!("{digits} {} {off}", given.unit).trim())
            {
                let command = Command {
                    label: format!("drag {}", given.name).into(),
                    changes,
                };
                wishes.push(Wish::Drag(command, !hand.moving));
                hand.moving = true;
            }
        }
        if !response.dragged() && !response.changed() {
            hand.moving = false;
        }
        self.hand = Some(hand);
    }
}

fn hand(given: &Given) -> Hand {
    Hand {
        spot: given.spot,
        from: given.value,
        value: given.value,
        moving: false,
    }
}

/// A plot in the units it is shown in.
#[derive(Clone, Debug)]
struct Drawn {
    title: String,
    variable: String,
    /// Unit of the variable, empty for plain numbers.
    unit: String,
    trails: Vec<Course>,
    refused: Option<String>,
}

/// A line of a plot in the units it is shown in.
#[derive(Clone, Debug)]
struct Course {
    trail: Trail,
    /// Unit of the values, empty for plain numbers.
    unit: String,
}

impl std::ops::Deref for Course {
    type Target = Trail;

    fn deref(&self) -> &Trail {
        &self.trail
    }
}

impl Drawn {
    fn of(plot: &Plot, system: System) -> Drawn {
        let across = showing(&plot.axis, system);
        // Lines share an axis: what can be brought to the unit of the first one stands in it.
        let first = plot.trails.iter().find(|trail| !trail.points.is_empty());
        let shared = first.map(|trail| showing(&trail.sort, system));
        let shared = shared
            .as_ref()
            .filter(|_| system != System::AsWritten)
            .and_then(Showing::unit);
        let trails = plot.trails.iter().map(|trail| {
            let up = match shared {
                Some(unit) => showing(&trail.sort, System::AsWritten).in_unit(unit),
                None => showing(&trail.sort, system),
            };
            let mut trail = trail.clone();
            for (x, y) in &mut trail.points {
                (*x, *y) = (brought(&across, *x), brought(&up, *y));
            }
            for (x, low, high) in &mut trail.band {
                (*x, *low, *high) = (brought(&across, *x), brought(&up, *low), brought(&up, *high));
            }
            for (from, to, _) in &mut trail.regions {
                (*from, *to) = (brought(&across, *from), brought(&across, *to));
            }
            Course {
                unit: unit_of(&up),
                trail,
            }
        });
        Drawn {
            title: plot.title.clone(),
            variable: plot.variable.to_string(),
            unit: unit_of(&across),
            trails: trails.collect(),
            refused: plot.refused.clone(),
        }
    }
}

/// How values of a line are shown.
fn showing(sort: &Sort, system: System) -> Showing<'_> {
    Showing::new(sort, Role::Work, None, system)
}

fn unit_of(showing: &Showing<'_>) -> String {
    let unit = showing.unit().filter(|unit: &&Unit| !unit.is_plain());
    unit.map_or(String::new(), |unit| unit.text.to_string())
}

/// A value in the unit it is shown in.
fn brought(showing: &Showing<'_>, value: f64) -> f64 {
    if !showing.is_brought() {
        return value;
    }
    Number::from_f64(value).map_or(value, |value| showing.number(value).to_f64())
}

/// A value of a plot with its unit, at four digits as elsewhere.
fn shown(value: f64, unit: &str) -> String {
    let number = Number::from_f64(value).map_or_else(|_| value.to_string(), |number| show::number(&number, None));
    format!("{number} {unit}").trim_end().to_owned()
}

fn named(name: &str, unit: &str) -> String {
    if unit.is_empty() {
        name.to_owned()
    } else {
        format!("{name} in {unit}")
    }
}

/// The point of a line that lies nearest to a place on the axis.
fn nearest(trail: &Trail, x: f64) -> Option<(f64, f64)> {
    let apart = |point: &(f64, f64)| (point.0 - x).abs();
    trail
        .points
        .iter()
        .copied()
        .min_by(|a, b| apart(a).total_cmp(&apart(b)))
}

/// The limits of a line at a place on the axis, straight between the places where they are worked.
fn limits(trail: &Trail, x: f64) -> Option<(f64, f64)> {
    let between = |pair: &[(f64, f64, f64)]| {
        let [(from, low, high), (to, next_low, next_high)] = pair else {
            return None;
        };
        if !(*from..=*to).contains(&x) {
            return None;
        }
        let share = if to > from { (x - from) / (to - from) } else { 0.0 };
        Some((low + share * (next_low - low), high + share * (next_high - high)))
    };
    trail.band.windows(2).find_map(between)
}

/// How far a line may be off, as a shade behind it.
fn shade(drawing: &mut egui_plot::PlotUi<'_>, trail: &Trail, ink: egui::Color32) {
    let pick = |which: fn(&(f64, f64, f64)) -> f64| trail.band.iter().map(which).collect::<Vec<f64>>();
    let (places, low, high) = (pick(|at| at.0), pick(|at| at.1), pick(|at| at.2));
    if places.len() > 1 {
        drawing.add(
            egui_plot::FilledArea::new(trail.text.clone(), &places, &low, &high)
                .fill_color(ink.gamma_multiply(0.18))
                .allow_hover(false),
        );
    }
}

/// The largest value inside a line, if it is no end.
fn crest(trail: &Trail) -> Option<(f64, f64)> {
    let (at, best) = trail.points.iter().enumerate().max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    (at > 0 && at + 1 < trail.points.len()).then_some(*best)
}

/// Letters of a name that has room beside its line.
const SHORT: usize = 12;

/// The inks and strokes of lines, one after another; strokes differ, so that they are told apart in grey as well.
fn styles(inks: &look::Inks) -> [(egui::Color32, LineStyle); 4] {
    [
        (inks.typed, LineStyle::Solid),
        (inks.good, LineStyle::dashed_loose()),
        (inks.doubtful, LineStyle::dotted_dense()),
        (inks.ink, LineStyle::dashed_dense()),
    ]
}

/// A line by its name, or by its number where the name is long.
fn tag(number: usize, trail: &Trail) -> String {
    if trail.text.chars().count() <= SHORT {
        trail.text.clone()
    } else {
        format!("({})", number + 1)
    }
}

fn one(ui: &mut Ui, index: usize, sheet: usize, plot: &Drawn, marked: &[Marked], inks: &look::Inks) {
    ui.add_space(6.0);
    if !plot.title.is_empty() {
        look::heading(ui, &plot.title);
    }
    if let Some(why) = &plot.refused {
        let _ = ui.label(RichText::new(format!("✕ {why}")).color(inks.failed));
        return;
    }
    let unit = plot.trails.first().map_or("", |trail| trail.unit.as_str());
    let tags: Vec<String> = plot
        .trails
        .iter()
        .enumerate()
        .map(|(at, trail)| tag(at, trail))
        .collect();
    let with_points = plot
        .trails
        .iter()
        .zip(&tags)
        .filter(|(trail, _)| !trail.points.is_empty());
    let lines: Vec<&str> = with_points.map(|(_, tag)| tag.as_str()).collect();
    let axis = |text: String| RichText::new(text).font(look::oblique(13.0)).color(inks.words);
    let drawn = egui_plot::Plot::new(("plot", sheet, index))
        .height(280.0)
        .x_axis_label(axis(named(&plot.variable, &plot.unit)))
        .y_axis_label(axis(named(&lines.join(", "), unit)))
        .allow_scroll(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_boxed_zoom(false)
        .show_crosshair(false)
        .show_x(false)
        .show_y(false)
        .cursor_color(inks.faint)
        .grid_color(inks.rule)
        .set_margin_fraction(egui::vec2(0.06, 0.12))
        .show(ui, |drawing| {
            regions(drawing, plot, inks);
            marks(drawing, plot, marked, inks);
            for ((trail, tag), (ink, style)) in plot.trails.iter().zip(&tags).zip(styles(inks).iter().cycle()) {
                if trail.points.is_empty() {
                    continue;
                }
                shade(drawing, trail, *ink);
                let points: Vec<[f64; 2]> = trail.points.iter().map(|(x, y)| [*x, *y]).collect();
                let label = |at: (f64, f64), text: String, align: Align2| {
                    let mut text = RichText::new(text).size(13.0).color(*ink);
                    // On a ground of its own at the top, so that no dotted line runs through the figures.
                    if align == Align2::CENTER_BOTTOM {
                        text = text.background_color(inks.paper);
                    }
                    Text::new(trail.text.clone(), PlotPoint::new(at.0, at.1), text).anchor(align)
                };
                drawing.line(
                    Line::new(trail.text.clone(), PlotPoints::from(points))
                        .color(*ink)
                        .width(2.0)
                        .allow_hover(false)
                        .style(*style),
                );
                // Each line carries its own name and its values at the ends and at the top.
                let (first, last) = (trail.points.first().copied(), trail.points.last().copied());
                let crest = crest(trail);
                if let (Some(first), Some(last)) = (first, last) {
                    let (from, to) = (shown(first.1, &trail.unit), shown(last.1, &trail.unit));
                    // Where the line goes up from its beginning, or comes down to its end, there is room below it.
                    let near = (trail.points.len() / 20).max(1);
                    let then = trail.points.get(near).map_or(first.1, |(_, y)| *y);
                    let before = trail.points.iter().rev().nth(near).map_or(last.1, |(_, y)| *y);
                    let begin = if then > first.1 {
                        Align2::LEFT_TOP
                    } else {
                        Align2::LEFT_BOTTOM
                    };
                    let end = if before > last.1 {
                        Align2::RIGHT_TOP
                    } else {
                        Align2::RIGHT_BOTTOM
                    };
                    match crest {
                        Some(top) => {
                            let text = format!("{tag}: {}", shown(top.1, &trail.unit));
                            drawing.text(label(top, text, Align2::CENTER_BOTTOM));
                            drawing.text(label(last, format!("{to} "), end));
                        }
                        None => drawing.text(label(last, format!("{tag}: {to} "), end)),
                    }
                    drawing.text(label(first, format!(" {from}"), begin));
                }
                let dots = first.into_iter().chain(last).chain(crest);
                let dots: Vec<[f64; 2]> = dots.map(|(x, y)| [x, y]).collect();
                drawing.points(
                    Points::new(trail.text.clone(), dots)
                        .radius(3.0)
                        .color(*ink)
                        .allow_hover(false),
                );
            }
            let at = drawing
                .response()
                .hovered()
                .then(|| drawing.pointer_coordinate())
                .flatten();
            if let Some(at) = at {
                drawing.vline(
                    VLine::new("cursor", at.x)
                        .color(inks.faint)
                        .width(0.5)
                        .allow_hover(false),
                );
            }
            at.map(|at| at.x)
        });
    ui.ctx().accesskit_node_builder(drawn.response.id, |node| {
        node.set_label(format!("plot of {} over {}", lines.join(", "), plot.variable));
    });
    // The read-out has lines of its own, so that nothing moves when the cursor comes.
    let x = drawn.inner.map(|x| {
        plot.trails
            .iter()
            .find_map(|trail| nearest(trail, x))
            .map_or(x, |(x, _)| x)
    });
    let read = match x {
        Some(x) => {
            let mut text = format!("at {} = {}", plot.variable, shown(x, &plot.unit));
            for word in plot.trails.iter().filter_map(|trail| region_at(trail, x)) {
                text.push_str(&format!(": {word}"));
            }
            RichText::new(text).font(look::bold(13.0))
        }
        None => RichText::new("Point at a place to read its values.")
            .size(13.0)
            .color(inks.faint),
    };
    let _ = ui.label(read);
    let styles = styles(inks);
    let styled = plot.trails.iter().zip(styles.iter().cycle()).enumerate();
    for (at, (trail, style)) in styled.filter(|(_, (trail, _))| trail.regions.is_empty()) {
        legend(ui, at, trail, *style, x);
    }
    if plot.trails.iter().any(|trail| !trail.band.is_empty()) {
        let words = "Shaded: how far the line may be off within the tolerances.";
        let _ = ui.label(RichText::new(words).size(12.0).color(inks.words));
    }
    let lying = lying(plot, marked);
    if !lying.is_empty() {
        let words: Vec<String> = lying
            .iter()
            .map(|quantity| format!("{} = {}", quantity.name, shown(quantity.value, &quantity.unit)))
            .collect();
        let _ = ui.label(
            RichText::new(format!("Dotted: {}", words.join(", ")))
                .size(12.0)
                .color(inks.words),
        );
    }
}

/// A line in words: its stroke, its name, its value at the cursor.
fn legend(ui: &mut Ui, number: usize, trail: &Course, (ink, style): (egui::Color32, LineStyle), x: Option<f64>) {
    let inks = look::of(ui);
    let _ = ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(30.0, 17.0), egui::Sense::hover());
        let ends = [rect.left_center(), rect.right_center()];
        let stroke = egui::Stroke::new(2.0, ink);
        let painter = ui.painter();
        let _ = match style {
            LineStyle::Solid => painter.line_segment(ends, stroke),
            LineStyle::Dotted { .. } => {
                painter.extend(egui::Shape::dotted_line(&ends, ink, 5.0, 1.2));
                painter.line_segment(ends, egui::Stroke::NONE)
            }
            LineStyle::Dashed { length } => {
                painter.extend(egui::Shape::dashed_line(&ends, stroke, length, length * 0.6));
                painter.line_segment(ends, egui::Stroke::NONE)
            }
        };
        let tag = tag(number, trail);
        let value = x.and_then(|x| nearest(trail, x)).map(|(x, y)| match limits(trail, x) {
            Some((low, high)) => format!("= {} ({} … {})", shown(y, &trail.unit), shown(low, ""), shown(high, "")),
            None => format!("= {}", shown(y, &trail.unit)),
        });
        let value = RichText::new(value.as_deref().unwrap_or(" ")).font(look::bold(13.0));
        let _ = ui.vertical(|ui| {
            if tag == trail.text {
                let _ = ui.horizontal(|ui| {
                    let _ = ui.label(RichText::new(tag).size(13.0));
                    let _ = ui.label(value);
                });
            } else {
                let _ = ui.label(RichText::new(format!("{tag} {}", trail.text)).size(13.0));
                let _ = ui.label(value);
            }
            if let Some(why) = &trail.missing {
                let _ = ui.label(RichText::new(format!("○ {why}")).size(12.0).color(inks.doubtful));
            }
        });
    });
}

/// The ends of the axis.
fn ends(plot: &Drawn) -> Option<(f64, f64)> {
    let mut all = plot
        .trails
        .iter()
        .flat_map(|trail| trail.points.iter())
        .map(|(x, _)| *x);
    let first = all.next()?;
    Some(all.fold((first, first), |(low, high), x| (low.min(x), high.max(x))))
}

/// The quantities that lie on the axis of a plot, as far as they are marked, in rising order.
fn lying<'m>(plot: &Drawn, marked: &'m [Marked]) -> Vec<&'m Marked> {
    let Some((low, high)) = ends(plot) else {
        return Vec::new();
    };
    let lies = |quantity: &&Marked| quantity.unit == plot.unit && (low..=high).contains(&quantity.value);
    let mut lying: Vec<&Marked> = marked.iter().filter(lies).take(MOST_MARKED).collect();
    lying.sort_by(|a, b| a.value.total_cmp(&b.value));
    lying
}

/// The region a place lies in.
fn region_at(trail: &Trail, x: f64) -> Option<&str> {
    let held = |(from, to, _): &&(f64, f64, std::sync::Arc<str>)| (*from..=*to).contains(&x);
    trail.regions.iter().find(held).map(|(_, _, word)| &**word)
}

/// Regions as strips of paper, lighter and darker in turn, with their words where there is room.
fn regions(drawing: &mut egui_plot::PlotUi<'_>, plot: &Drawn, inks: &look::Inks) {
    let points = plot.trails.iter().flat_map(|trail| trail.points.iter());
    let top = points.map(|(_, y)| *y).fold(f64::NEG_INFINITY, f64::max);
    let shades = [inks.band, inks.paper];
    for trail in &plot.trails {
        let whole = match (trail.regions.first(), trail.regions.last()) {
            (Some((low, ..)), Some((_, high, _))) => high - low,
            _ => continue,
        };
        for ((place, (from, to, word)), shade) in trail.regions.iter().enumerate().zip(shades.iter().cycle()) {
            // A region goes on to where the next one begins.
            let to = trail.regions.get(place + 1).map_or(*to, |(next, ..)| *next);
            drawing.span(
                egui_plot::Span::new("", *from..=to)
                    .fill(*shade)
                    .border(egui::Stroke::new(0.5, inks.rule)),
            );
            // A letter takes about a fiftieth of the width.
            let room = (to - from) / whole * 50.0;
            #[allow(clippy::cast_precision_loss)] // A few letters.
            if room > word.chars().count() as f64 {
                let text = RichText::new(&**word).font(look::oblique(12.0)).color(inks.words);
                drawing.text(
                    Text::new("", PlotPoint::new((from + to) / 2.0, top * 1.16), text)
                        .anchor(Align2::CENTER_TOP)
                        .allow_hover(false),
                );
            }
        }
    }
}

/// Quantities of the sheet that lie on the axis: a thin line with the symbol.
fn marks(drawing: &mut egui_plot::PlotUi<'_>, plot: &Drawn, marked: &[Marked], inks: &look::Inks) {
    let Some((low, high)) = ends(plot) else { return };
    let points = plot.trails.iter().flat_map(|trail| trail.points.iter());
    let floor = points.map(|(_, y)| *y).fold(f64::INFINITY, f64::min);
    // Where a line ends at the bottom its value stands there.
    let ends_low = plot
        .trails
        .iter()
        .any(|trail| trail.points.last().is_some_and(|(_, y)| *y <= floor));
    let mut labelled = f64::NEG_INFINITY;
    for quantity in lying(plot, marked) {
        drawing.vline(
            VLine::new(quantity.name.clone(), quantity.value)
                .color(inks.faint)
                .width(1.0)
                .allow_hover(false)
                .style(LineStyle::dotted_loose()),
        );
        // Names that would lie on one another are left to the list under the plot.
        let at_end = ends_low && quantity.value > high - (high - low) * 0.22;
        if quantity.value - labelled < (high - low) * 0.06 || at_end {
            continue;
        }
        labelled = quantity.value;
        // At the right end the name stands before its line.
        let (name, anchor) = if quantity.value > high - (high - low) * 0.1 {
            (format!("{} ", quantity.name), Align2::RIGHT_TOP)
        } else {
            (format!(" {}", quantity.name), Align2::LEFT_TOP)
        };
        let text = RichText::new(name).font(look::oblique(12.0)).color(inks.words);
        let at = PlotPoint::new(quantity.value, floor);
        drawing.text(Text::new(quantity.name.clone(), at, text).anchor(anchor));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn trail(points: &[(f64, f64)]) -> Trail {
        Trail {
            text: "T".to_owned(),
            sort: Sort::Unknown,
            points: points.to_vec(),
            band: Vec::new(),
            regions: Vec::new(),
            missing: None,
        }
    }

    #[test]
    fn the_read_out_names_worked_points_only() {
        let line = trail(&[(0.0, 30.0), (10.0, 90.0), (20.0, 60.0)]);
        assert_eq!(nearest(&line, 12.0), Some((10.0, 90.0)));
        assert_eq!(crest(&line), Some((10.0, 90.0)));
        assert_eq!(crest(&trail(&[(0.0, 1.0), (1.0, 2.0)])), None);
        assert_eq!(nearest(&trail(&[]), 1.0), None);
    }

    #[test]
    fn limits_are_read_between_the_places_where_they_are_worked() {
        let mut line = trail(&[(0.0, 30.0), (10.0, 90.0)]);
        assert_eq!(limits(&line, 5.0), None);
        line.band = vec![(0.0, 20.0, 40.0), (10.0, 80.0, 120.0)];
        assert_eq!(limits(&line, 5.0), Some((50.0, 80.0)));
        assert_eq!(limits(&line, 10.0), Some((80.0, 120.0)));
        assert_eq!(limits(&line, 11.0), None);
    }

    #[test]
    fn values_are_shown_as_elsewhere() {
        assert_eq!(shown(74.236_44, "N·m"), "74.24 N·m");
        assert_eq!(shown(0.5, ""), "0.5");
    }
}
