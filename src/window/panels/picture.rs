//! One plot drawn: lines with their names and marked places, regions, where lines meet, a read-out at the cursor.
//!
//! Always: what is marked in the picture stands in words under it as well; labels do not lie on one another.
//! Not known here: which plots there are, how points are worked.

use eframe::egui::{self, RichText, Ui};
use egui_plot::{Line, LineStyle, PlotPoint, PlotPoints, Points, VLine};

use super::labels::{self, Wanted};
use crate::language::check::Sort;
use crate::quantity::{Number, System, Unit, show};
use crate::recalc::{Meeting, Plot, Showing, Trail};
use crate::window::look;
use crate::workbook::Role;

/// Quantities marked along an axis at most.
const MOST_MARKED: usize = 6;

/// A quantity of the sheet whose value lies on the axis.
#[derive(Clone, Debug)]
pub struct Marked {
    /// Its symbol.
    pub name: String,
    /// The unit it is shown in.
    pub unit: String,
    /// Its value in that unit.
    pub value: f64,
}

/// A plot in the units it is shown in.
#[derive(Clone, Debug)]
pub struct Drawn {
    title: String,
    variable: String,
    /// Unit of the variable, empty for plain numbers.
    unit: String,
    trails: Vec<Course>,
    meetings: Vec<Meeting>,
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
    /// Brings a plot to these units.
    pub fn of(plot: &Plot, system: System) -> Drawn {
        let across = showing(&plot.axis, system);
        // Lines share an axis: what can be brought to the unit of the first one stands in it.
        let first = plot.trails.iter().find(|trail| !trail.points.is_empty());
        let shared = first.map(|trail| showing(&trail.sort, system));
        let shared = shared
            .as_ref()
            .filter(|_| system != System::AsWritten)
            .and_then(Showing::unit);
        let meetings = plot.meetings.iter().filter_map(|met| {
            let up = upwards(plot.trails.get(met.lines.0)?, shared, system);
            Some(Meeting {
                at: brought(&across, met.at),
                value: brought(&up, met.value),
                ..met.clone()
            })
        });
        let meetings = meetings.collect();
        let trails = plot.trails.iter().map(|trail| {
            let up = upwards(trail, shared, system);
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
            meetings,
            refused: plot.refused.clone(),
        }
    }
}

/// How values of a line are shown: in the unit that all lines share, if there is one.
fn upwards<'a>(trail: &'a Trail, shared: Option<&'a Unit>, system: System) -> Showing<'a> {
    match shared {
        Some(unit) => showing(&trail.sort, System::AsWritten).in_unit(unit),
        None => showing(&trail.sort, system),
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
pub fn shown(value: f64, unit: &str) -> String {
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

/// Draws a plot with what belongs to it.
pub fn one(ui: &mut Ui, index: usize, sheet: usize, plot: &Drawn, marked: &[Marked], inks: &look::Inks) {
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
    let lying = lying(plot, marked);
    let axis = |text: String| RichText::new(text).font(look::oblique(13.0)).color(inks.words);
    let drawn = egui_plot::Plot::new(("plot", sheet, index))
        .height((ui.available_width() * 0.66).clamp(240.0, 520.0))
        .x_axis_label(axis(named(&plot.variable, &plot.unit)))
        .y_axis_label(axis(named(&lines.join(", "), unit)))
        .x_grid_spacer(egui_plot::uniform_grid_spacer(|input| steps(input.bounds)))
        .y_grid_spacer(egui_plot::uniform_grid_spacer(|input| steps(input.bounds)))
        .grid_spacing(egui::Rangef::new(8.0, 130.0))
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
            for quantity in &lying {
                drawing.vline(
                    VLine::new(quantity.name.clone(), quantity.value)
                        .color(inks.faint)
                        .width(1.0)
                        .allow_hover(false)
                        .style(LineStyle::dotted_loose()),
                );
            }
            for (trail, (ink, style)) in plot.trails.iter().zip(styles(inks).iter().cycle()) {
                if trail.points.is_empty() {
                    continue;
                }
                shade(drawing, trail, *ink);
                let points: Vec<[f64; 2]> = trail.points.iter().map(|(x, y)| [*x, *y]).collect();
                drawing.line(
                    Line::new(trail.text.clone(), PlotPoints::from(points))
                        .color(*ink)
                        .width(2.0)
                        .allow_hover(false)
                        .style(*style),
                );
                let dots: Vec<[f64; 2]> = told(trail).into_iter().map(|(x, y)| [x, y]).collect();
                drawing.points(
                    Points::new(trail.text.clone(), dots)
                        .radius(3.0)
                        .color(*ink)
                        .allow_hover(false),
                );
            }
            // Where lines meet: a ring, so that it is no end and no top.
            for (radius, ink) in [(5.5, inks.ink), (3.5, inks.paper)] {
                let met: Vec<[f64; 2]> = plot.meetings.iter().map(|met| [met.at, met.value]).collect();
                drawing.points(Points::new("", met).radius(radius).color(ink).allow_hover(false));
            }
            let at = drawing
                .response()
                .hovered()
                .then(|| drawing.pointer_coordinate())
                .flatten();
            // Beside the lines nothing is read; a mark there would draw the axis out.
            let x = at.and_then(|at| reached(plot, at.x));
            if let Some(x) = x {
                drawing.vline(VLine::new("cursor", x).color(inks.faint).width(0.5).allow_hover(false));
            }
            x
        });
    label(ui, plot, &tags, &lying, &drawn.transform, inks);
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
    for words in beneath(plot, &tags, &lying) {
        let _ = ui.label(RichText::new(words).size(12.0).color(inks.words));
    }
}

/// The steps of a ruled axis: about five to the whole, of one, two or five, and a fifth of them.
fn steps((low, high): (f64, f64)) -> [f64; 3] {
    let rough = (high - low) / 5.0;
    if !(rough > 0.0 && rough.is_finite()) {
        return [1.0, 5.0, 10.0];
    }
    let ten = 10_f64.powf(rough.log10().floor());
    let main = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * ten)
        .find(|step| *step >= rough);
    let main = main.unwrap_or(rough);
    [main / 5.0, main, main * 10.0]
}

/// What the picture shows, in words: meetings, regions, marked quantities, shades.
fn beneath(plot: &Drawn, tags: &[String], lying: &[&Marked]) -> Vec<String> {
    let mut words = Vec::new();
    for met in &plot.meetings {
        let (Some(first), Some(second)) = (tags.get(met.lines.0), tags.get(met.lines.1)) else {
            continue;
        };
        let unit = plot.trails.get(met.lines.0).map_or("", |trail| trail.unit.as_str());
        let name = name_of(plot, lying, met).map_or_else(|| plot.variable.clone(), |quantity| quantity.name.clone());
        words.push(format!(
            "○ {first} and {second} meet at {name} = {}: {}",
            shown(met.at, &plot.unit),
            shown(met.value, unit)
        ));
    }
    for trail in &plot.trails {
        // A region begins where the one before it ends.
        let begins = trail.regions.first().map(|(from, ..)| *from).into_iter();
        let begins = begins.chain(trail.regions.iter().map(|(_, to, _)| *to));
        let named: Vec<String> = begins
            .zip(&trail.regions)
            .map(|(begin, (from, to, word))| {
                if from == to {
                    format!("{word} at {}", shown(*from, &plot.unit))
                } else {
                    format!("{word} {} … {}", shown(begin, ""), shown(*to, &plot.unit))
                }
            })
            .collect();
        if !named.is_empty() {
            words.push(format!("Regions: {}", named.join(", ")));
        }
    }
    if !lying.is_empty() {
        let named: Vec<String> = lying
            .iter()
            .map(|quantity| format!("{} = {}", quantity.name, shown(quantity.value, &quantity.unit)))
            .collect();
        words.push(format!("Dotted: {}", named.join(", ")));
    }
    if plot.trails.iter().any(|trail| !trail.band.is_empty()) {
        words.push("Shaded: how far the line may be off within the tolerances.".to_owned());
    }
    words
}

/// The place that a pointer reads: none beside the ends of the axis.
fn reached(plot: &Drawn, x: f64) -> Option<f64> {
    ends(plot).filter(|(low, high)| (*low..=*high).contains(&x)).map(|_| x)
}

/// The places of a line whose values are told: its ends, and its top where that is no end.
fn told(trail: &Trail) -> Vec<(f64, f64)> {
    let (first, last) = (trail.points.first().copied(), trail.points.last().copied());
    first.into_iter().chain(last).chain(crest(trail)).collect()
}

/// The marked quantity that is the place where two lines meet, to a thousandth of the axis.
fn name_of<'m>(plot: &Drawn, lying: &[&'m Marked], met: &Meeting) -> Option<&'m Marked> {
    let (low, high) = ends(plot)?;
    let near = lying
        .iter()
        .copied()
        .filter(|quantity| (quantity.value - met.at).abs() <= (high - low) * 1e-3);
    near.min_by(|a, b| (a.value - met.at).abs().total_cmp(&(b.value - met.at).abs()))
}

/// A text of the picture.
struct Said {
    text: String,
    font: egui::FontId,
    ink: egui::Color32,
    /// What it names, in the picture; a region has none.
    of: Option<egui::Pos2>,
    /// The strip of a region.
    strip: Option<egui::Rect>,
    /// The name of an upright line, at its foot.
    foot: bool,
    must: bool,
}

/// Writes the labels of a picture, the ones that matter most first.
fn label(
    ui: &Ui,
    plot: &Drawn,
    tags: &[String],
    lying: &[&Marked],
    transform: &egui_plot::PlotTransform,
    inks: &look::Inks,
) {
    let frame = *transform.frame();
    let on = |(x, y): (f64, f64)| transform.position_from_point(&PlotPoint::new(x, y));
    let styles = styles(inks);
    let lines = || plot.trails.iter().zip(tags).zip(styles.iter().cycle());
    let said = |text: String, font: egui::FontId, ink: egui::Color32, at: (f64, f64), must: bool| Said {
        text,
        font,
        ink,
        of: Some(on(at)),
        strip: None,
        foot: false,
        must,
    };
    let mut all: Vec<Said> = Vec::new();
    for ((trail, tag), (ink, _)) in lines() {
        if let Some(at) = crest(trail).or(trail.points.last().copied()) {
            let text = format!("{tag}: {}", shown(at.1, &trail.unit));
            all.push(said(text, look::upright(13.0), *ink, at, true));
        }
    }
    for met in &plot.meetings {
        let unit = plot.trails.get(met.lines.0).map_or("", |trail| trail.unit.as_str());
        let (at, value) = (shown(met.at, &plot.unit), shown(met.value, unit));
        let text = match name_of(plot, lying, met) {
            Some(quantity) => format!("{} = {at}: {value}", quantity.name),
            None => format!("{at}: {value}"),
        };
        all.push(said(text, look::bold(13.0), inks.ink, (met.at, met.value), true));
    }
    for ((trail, _), (ink, _)) in lines() {
        let named = crest(trail).or(trail.points.last().copied());
        for at in told(trail).into_iter().filter(|at| Some(*at) != named) {
            // Two lines that end at one place say it once.
            let text = shown(at.1, &trail.unit);
            if all
                .iter()
                .any(|said| said.text == text && said.of.is_some_and(|of| of.distance(on(at)) < 3.0))
            {
                continue;
            }
            all.push(said(text, look::upright(13.0), *ink, at, false));
        }
    }
    let floor = transform.bounds().min()[1];
    for quantity in lying {
        let is_met = |met: &Meeting| name_of(plot, lying, met).is_some_and(|named| named.name == quantity.name);
        if !plot.meetings.iter().any(is_met) {
            let mut name = said(
                quantity.name.clone(),
                look::oblique(12.0),
                inks.words,
                (quantity.value, floor),
                false,
            );
            name.foot = true;
            all.push(name);
        }
    }
    for trail in &plot.trails {
        for (from, to, word) in strips(trail) {
            let strip = egui::Rect::from_x_y_ranges(on((from, 0.0)).x..=on((to, 0.0)).x, frame.y_range());
            all.push(Said {
                text: word.to_string(),
                font: look::oblique(12.0),
                ink: inks.words,
                of: None,
                strip: Some(strip),
                foot: false,
                must: false,
            });
        }
    }
    let painter = ui.painter().with_clip_rect(frame);
    let written: Vec<(Said, std::sync::Arc<egui::Galley>)> = all
        .into_iter()
        .map(|said| {
            let galley = painter.layout_no_wrap(said.text.clone(), said.font.clone(), said.ink);
            (said, galley)
        })
        .collect();
    let wanted: Vec<Wanted> = written
        .iter()
        .map(|(said, galley)| Wanted {
            tries: match (said.of, said.strip) {
                (Some(at), _) if said.foot => labels::at_foot(at, galley.size()),
                (Some(at), _) => labels::around(at, galley.size() + egui::vec2(4.0, 0.0)),
                (None, Some(strip)) => labels::inside(strip, galley.size()),
                (None, None) => Vec::new(),
            },
            must: said.must,
        })
        .collect();
    let mut ink: Vec<egui::Pos2> = Vec::new();
    for trail in &plot.trails {
        let line: Vec<egui::Pos2> = trail.points.iter().map(|point| on(*point)).collect();
        ink.extend(labels::inked(&line));
    }
    // Dots and rings count as much as a piece of a line.
    let dots = plot.trails.iter().flat_map(|trail| told(trail));
    let dots = dots.chain(plot.meetings.iter().map(|met| (met.at, met.value)));
    ink.extend(dots.flat_map(|at| [on(at); 3]));
    for ((said, galley), place) in written.into_iter().zip(labels::placed(frame, &ink, &wanted)) {
        let Some(place) = place else { continue };
        if said.strip.is_some() && place.height() > place.width() {
            let shape = egui::epaint::TextShape::new(place.left_bottom(), galley, said.ink);
            painter.add(shape.with_angle(-std::f32::consts::FRAC_PI_2));
            continue;
        }
        if let Some(of) = said.of {
            let end = labels::nearest(place, of);
            if end.distance(of) > 10.0 && !said.foot {
                painter.line_segment([of, end], egui::Stroke::new(0.7, said.ink));
            }
            painter.rect_filled(place, 2.0, inks.paper.gamma_multiply(0.85));
        }
        painter.galley(
            place.min + egui::vec2(if said.of.is_some() { 2.0 } else { 0.0 }, 0.0),
            galley,
            said.ink,
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

/// The regions of a line, each going on to where the next one begins.
fn strips(trail: &Trail) -> impl Iterator<Item = (f64, f64, &std::sync::Arc<str>)> {
    trail.regions.iter().enumerate().map(|(place, (from, to, word))| {
        let to = trail.regions.get(place + 1).map_or(*to, |(next, ..)| *next);
        (*from, to, word)
    })
}

/// Regions as strips of paper, lighter and darker in turn.
fn regions(drawing: &mut egui_plot::PlotUi<'_>, plot: &Drawn, inks: &look::Inks) {
    let shades = [inks.band, inks.paper];
    for trail in &plot.trails {
        for ((from, to, _), shade) in strips(trail).zip(shades.iter().cycle()) {
            drawing.span(
                egui_plot::Span::new("", from..=to)
                    .fill(*shade)
                    .border(egui::Stroke::new(0.5, inks.rule)),
            );
        }
    }
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
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

    /// What the picture shows stands in words as well: a reader who does not see it hears the same.
    #[test]
    fn meetings_and_regions_are_told_in_words() {
        let mut running = trail(&[]);
        running.regions = vec![
            (0.0, 0.0, "locked rotor".into()),
            (0.01, 1244.99, "past breakdown".into()),
            (1245.0, 1500.0, "running".into()),
        ];
        let course = |trail: Trail, unit: &str| Course {
            trail,
            unit: unit.to_owned(),
        };
        let plot = Drawn {
            title: String::new(),
            variable: "n".to_owned(),
            unit: "r/min".to_owned(),
            trails: vec![
                course(trail(&[(0.0, 60.0), (1500.0, 0.0)]), "N·m"),
                course(trail(&[(0.0, 0.0), (1500.0, 60.0)]), "N·m"),
                course(running, ""),
            ],
            meetings: vec![Meeting {
                lines: (0, 1),
                at: 750.0,
                value: 30.0,
            }],
            refused: None,
        };
        let tags = ["T_M", "T_L", ""].map(str::to_owned);
        let named = |value: f64| Marked {
            name: "n_1".to_owned(),
            unit: "r/min".to_owned(),
            value,
        };
        assert_eq!(
            [-0.1, 0.0, 750.0, 1500.1].map(|x| reached(&plot, x).is_some()),
            [false, true, true, false]
        );
        let words = beneath(&plot, &tags, &lying(&plot, &[named(750.3)]));
        assert_eq!(words[0], "○ T_M and T_L meet at n_1 = 750 r/min: 30 N·m");
        assert_eq!(
            words[1],
            "Regions: locked rotor at 0 r/min, past breakdown 0 … 1245 r/min, running 1245 … 1500 r/min"
        );
        // Two thousandths of the axis away it is another place.
        let words = beneath(&plot, &tags, &lying(&plot, &[named(753.0)]));
        assert_eq!(words[0], "○ T_M and T_L meet at n = 750 r/min: 30 N·m");
    }

    #[test]
    fn an_axis_is_ruled_in_ones_twos_and_fives() {
        for (span, main) in [(165.0, 50.0), (1600.0, 500.0), (4.0, 1.0), (0.09, 0.02)] {
            let [fine, found, _] = steps((-span * 0.1, span * 0.9));
            assert!(
                (found / main - 1.0_f64).abs() < 1e-9 && (found / fine - 5.0).abs() < 1e-9,
                "{span}: {found}"
            );
        }
        assert!(steps((1.0, 1.0)).iter().all(|step| *step > 0.0));
    }

    #[test]
    fn values_are_shown_as_elsewhere() {
        assert_eq!(shown(74.236_44, "N·m"), "74.24 N·m");
        assert_eq!(shown(0.5, ""), "0.5");
    }
}
