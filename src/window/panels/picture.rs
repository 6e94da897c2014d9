//! One plot painted: lines with their names and marked places, regions, where lines meet, a read-out, what a hand can move.
//!
//! Always: what is marked in the picture stands in words under it as well; labels do not lie on one another; places of labels are
//! looked for once, as long as the frame stays. What the pointer does, the keys do: a read place goes along the axis by arrows, in the
//! part of it that is looked at.
//! Not known here: which plots there are, what comes of what a hand moves.

use std::sync::Arc;

use eframe::egui::{self, RichText, Ui};
use egui_plot::{AxisHints, HPlacement, Line, LineStyle, PlotPoint, PlotPoints, PlotTransform, Points, VLine};

use super::drawn::{Course, Drawn, Glance, Marked, crest, named, shown, strips, told, value_at};
use super::labels::{self, Wanted};
use crate::window::look;

/// How near a hand has to come to what it can move, in points.
const GRIP: f32 = 8.0;

/// The signs that make a picture larger or smaller.
pub const SIGNS: &str = "+=-";

/// What a hand moves in a plot.
#[derive(Clone, Debug, PartialEq)]
pub enum Pull {
    /// A given that lies on the axis, to this place.
    Along(String, f64),
    /// The place where lines meet, by its number, to this place of the picture.
    Meeting(usize, f64, f64),
}

/// What is drawn beside a plot.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// How it is told from others.
    pub id: (usize, usize),
    /// Height of the picture.
    pub height: f32,
    /// The same plot from before the drag.
    pub before: Option<&'a Drawn>,
    /// The given by which the place where lines meet is moved.
    pub held: Option<&'a str>,
    /// The keys move that given.
    pub keyed: bool,
}

/// The inks and strokes of lines, one after another; strokes differ, so that they are told apart in grey as well.
fn styles(inks: &look::Inks) -> [(egui::Color32, LineStyle); 4] {
    [
        (inks.typed, LineStyle::Solid),
        (inks.good, LineStyle::dashed_loose()),
        (inks.doubtful, LineStyle::dotted_dense()),
        (inks.ink, LineStyle::dashed_dense()),
    ]
}

/// How far a line may be off, as a shade behind it.
fn shade(drawing: &mut egui_plot::PlotUi<'_>, course: &Course, ink: egui::Color32) {
    let places: Vec<f64> = course.band.iter().map(|at| at.0).collect();
    let low: Vec<f64> = course.band.iter().map(|at| course.place((at.0, at.1)).1).collect();
    let high: Vec<f64> = course.band.iter().map(|at| course.place((at.0, at.2)).1).collect();
    if places.len() > 1 {
        drawing.add(
            egui_plot::FilledArea::new(course.text.clone(), &places, &low, &high)
                .fill_color(ink.gamma_multiply(0.18))
                .allow_hover(false),
        );
    }
}

/// Draws a plot with what belongs to it. What a hand moves comes back, and whether it has let go.
pub fn one(ui: &mut Ui, plot: &mut Drawn, glance: &mut Glance, frame: Frame<'_>) -> (Option<Pull>, bool) {
    let inks = look::of(ui);
    ui.add_space(6.0);
    if !plot.title.is_empty() {
        look::heading(ui, &plot.title);
    }
    if let Some(why) = &plot.refused {
        let _ = ui.label(RichText::new(format!("✕ {why}")).color(inks.failed));
        return (None, false);
    }
    let names = plot.names();
    let axis = |text: String| RichText::new(text).font(look::oblique(13.0)).color(inks.words);
    let across = AxisHints::new_x()
        .label(axis(named(&plot.variable, &plot.unit)))
        .formatter(|mark, _| ruled(mark.value, mark.step_size));
    let left = AxisHints::new_y()
        .label(axis(plot.scale_name(false)))
        .formatter(|mark, _| ruled(mark.value, mark.step_size));
    let right = plot.beside.as_ref().map(|beside| {
        let scale = beside.scale;
        AxisHints::new_y()
            .label(axis(plot.scale_name(true)))
            .placement(HPlacement::Right)
            .formatter(move |mark, _| ruled(mark.value / scale, mark.step_size / scale))
    });
    let rests = glance.rests.is_some() && glance.rests == pointer(ui);
    if !rests {
        glance.rests = None;
    }
    let drawn = egui_plot::Plot::new(("plot", frame.id))
        .height(frame.height)
        .custom_x_axes(vec![across])
        .custom_y_axes(std::iter::once(left).chain(right).collect())
        .x_grid_spacer(egui_plot::uniform_grid_spacer(|input| steps(input.bounds)))
        .y_grid_spacer(egui_plot::uniform_grid_spacer(|input| steps(input.bounds)))
        .grid_spacing(egui::Rangef::new(8.0, 130.0))
        .allow_scroll(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_crosshair(false)
        .show_x(false)
        .show_y(false)
        .cursor_color(inks.faint)
        .grid_color(inks.rule)
        .set_margin_fraction(egui::vec2(0.06, 0.12))
        .show(ui, |drawing| {
            paint(drawing, plot, frame.before, inks);
            match glance.part.and_then(|part| Some((part, plot.height_over(part)?))) {
                Some(((from, to), (low, high))) => {
                    // Labels stand above and below.
                    let air = match high - low {
                        height if height > 0.0 => height * 0.12,
                        _ => high.abs().max(1.0) * 0.1,
                    };
                    drawing.set_plot_bounds_x(from..=to);
                    drawing.set_plot_bounds_y(low - air..=high + air);
                }
                None => drawing.set_auto_bounds(true),
            }
            let on_it = drawing.response().contains_pointer() && !rests;
            let at = on_it.then(|| drawing.pointer_coordinate()).flatten();
            // Beside the lines nothing is read; a mark there would draw the axis out.
            let x = match at {
                Some(at) => plot.reached(at.x),
                None => glance.read.and_then(|x| plot.reached(x)),
            };
            if let Some(x) = x {
                drawing.vline(VLine::new("cursor", x).color(inks.faint).width(0.5).allow_hover(false));
            }
            x
        });
    label(ui, plot, &drawn.transform, inks);
    parts(ui, plot, glance, &drawn.response, &drawn.transform);
    let pulled = handles(ui, plot, &frame, &drawn.transform);
    // The pointer reads where it is; pressed, the place stays to be read and the keys go on from it.
    if drawn.response.clicked() {
        if let Some(at) = drawn.response.interact_pointer_pos() {
            glance.read = plot.reached(drawn.transform.value_from_position(at).x);
            glance.rests = None;
        }
        drawn.response.request_focus();
    }
    glance.id = Some(drawn.response.id);
    // Tab comes to it as well.
    let (id, layer) = (drawn.response.id, ui.layer_id());
    ui.memory_mut(|memory| memory.interested_in_focus(id, layer));
    if !drawn.response.has_focus() {
        glance.scaled = false;
    } else {
        by_keys(ui, plot, glance, (drawn.response.id, drawn.inner));
        let painter = ui.painter();
        let stroke = egui::Stroke::new(1.0, inks.typed);
        painter.rect_stroke(*drawn.transform.frame(), 0.0, stroke, egui::StrokeKind::Inside);
    }
    let x = drawn.inner.map(|x| plot.snapped(x));
    ui.ctx().accesskit_node_builder(drawn.response.id, |node| {
        node.set_label(format!("plot of {names} over {}", plot.variable));
        if let Some(x) = x {
            node.set_value(plot.read_in_words(x));
        }
    });
    let top = ui.cursor().min.y;
    if let Some(part) = glance.part {
        let words = format!(
            "{}; press the picture twice, or here, for all of it",
            plot.part_in_words(part)
        );
        if ui.link(RichText::new(words).size(13.0)).clicked() {
            glance.part = None;
        }
    }
    beneath(ui, plot, x);
    glance.under = ui.cursor().min.y - top;
    pulled
}

/// A part of the axis that is looked at: drawn over, or about the pointer with the wheel and Ctrl; pressed twice, all of it comes
/// back.
fn parts(ui: &Ui, plot: &Drawn, glance: &mut Glance, response: &egui::Response, transform: &PlotTransform) {
    let inks = look::of(ui);
    let area = *transform.frame();
    let place = |at: egui::Pos2| transform.value_from_position(at).x;
    // Where other givens are dragged the ends of the axis may have moved.
    glance.part = glance.part.and_then(|(from, to)| plot.part(from, to));
    if response.double_clicked() {
        (glance.part, glance.from) = (None, None);
        return;
    }
    let at = response.interact_pointer_pos();
    if response.drag_started() {
        let begun = ui.input(|input| input.pointer.press_origin()).or(at);
        glance.from = begun.map(place);
    }
    if let (Some(from), Some(at)) = (glance.from, at) {
        let to = at.x.clamp(area.left(), area.right());
        let from_x = transform.position_from_point(&PlotPoint::new(from, 0.0)).x;
        let shade = egui::Rect::from_x_y_ranges(from_x.min(to)..=from_x.max(to), area.y_range());
        let _ = ui
            .painter()
            .rect_filled(shade.intersect(area), 0.0, inks.range.gamma_multiply(0.5));
        if response.drag_stopped() {
            glance.from = None;
            // As where it is pressed: the keys go on in what was drawn over.
            response.request_focus();
            if (to - from_x).abs() > GRIP {
                glance.part = plot.part(from, place(egui::pos2(to, at.y)));
            }
        }
    } else if response.drag_stopped() {
        glance.from = None;
    }
    let closer = ui.input(egui::InputState::zoom_delta);
    let over = response.hover_pos().filter(|_| (closer - 1.0).abs() > f32::EPSILON);
    if let (Some(over), Some(ends)) = (over.map(place), plot.ends) {
        glance.part = closer_about(plot, glance.part.unwrap_or(ends), over, f64::from(closer));
    }
}

/// So much closer to a place of the axis, or farther from it.
fn closer_about(plot: &Drawn, (from, to): (f64, f64), about: f64, closer: f64) -> Option<(f64, f64)> {
    let (nearer_from, nearer_to) = (about - (about - from) / closer, about + (to - about) / closer);
    match plot.part(nearer_from, nearer_to) {
        // As close as there is something to be seen stays so.
        None if closer > 1.0 => plot.part(from, to),
        part => part,
    }
}

/// What stands under a plot: the read-out, the lines, what the picture shows in words.
fn beneath(ui: &mut Ui, plot: &Drawn, x: Option<f64>) {
    let inks = look::of(ui);
    // The read-out has a line of its own, no higher than what stands there without one, so that nothing moves when the cursor comes.
    let read = match x {
        Some(x) => RichText::new(plot.place_in_words(x)).font(look::bold(13.0)),
        None => RichText::new("Point to read; pressed, arrows go on; draw over a part to enlarge it.")
            .size(13.0)
            .color(inks.faint),
    };
    let _ = ui.label(read);
    let styles = styles(inks);
    for (course, style) in plot.courses.iter().zip(styles.iter().cycle()) {
        if course.regions.is_empty() {
            legend(ui, course, *style, x);
        }
    }
    for words in &plot.words {
        let _ = ui.label(RichText::new(words).size(12.0).color(inks.words));
    }
}

/// Where the pointer is.
fn pointer(ui: &Ui) -> Option<egui::Pos2> {
    ui.input(|input| input.pointer.hover_pos())
}

/// The keys that move the read place of a plot: arrows, with Shift ten times as far, Home and End; up and down to the next place where
/// lines meet. They go on from what is read.
fn by_keys(ui: &Ui, plot: &Drawn, glance: &mut Glance, (id, read): (egui::Id, Option<f64>)) {
    ui.memory_mut(|memory| {
        let filter = egui::EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            ..egui::EventFilter::default()
        };
        memory.set_focus_lock_filter(id, filter);
    });
    let steps = ui.input_mut(|input| {
        let mut pressed = |modifiers, key| input.consume_key(modifiers, key);
        let (none, shift) = (egui::Modifiers::NONE, egui::Modifiers::SHIFT);
        [
            (shift, egui::Key::ArrowLeft, -10.0),
            (shift, egui::Key::ArrowRight, 10.0),
            (none, egui::Key::ArrowLeft, -1.0),
            (none, egui::Key::ArrowRight, 1.0),
            (none, egui::Key::Home, f64::NEG_INFINITY),
            (none, egui::Key::End, f64::INFINITY),
        ]
        .into_iter()
        .find_map(|(modifiers, key, steps)| pressed(modifiers, key).then_some(steps))
    });
    let meeting = ui.input_mut(|input| {
        let keys = [(egui::Key::ArrowUp, true), (egui::Key::ArrowDown, false)];
        let mut pressed = keys
            .into_iter()
            .filter(|(key, _)| input.consume_key(egui::Modifiers::NONE, *key));
        pressed.next().map(|(_, on)| on)
    });
    let closer = ui.input_mut(|input| {
        let none = egui::Modifiers::NONE;
        let keys = [
            (egui::Key::Plus, 2.0),
            (egui::Key::Equals, 2.0),
            (egui::Key::Minus, 0.5),
        ];
        let mut pressed = keys.into_iter().filter(|(key, _)| input.consume_key(none, *key));
        pressed.next().map(|(_, closer)| closer)
    });
    if let (Some(closer), Some(ends)) = (closer, plot.ends) {
        let part = glance.part.unwrap_or(ends);
        let about = read.unwrap_or((part.0 + part.1) / 2.0);
        glance.part = closer_about(plot, part, about, closer);
        glance.scaled = true;
        ui.ctx().request_repaint();
    }
    let at = match (steps, meeting) {
        (Some(steps), _) => plot.stepped(glance.part, read, steps),
        (None, Some(on)) => plot.met_next(glance.part, read, on),
        (None, None) => None,
    };
    if at.is_some() {
        glance.read = at;
        glance.rests = pointer(ui);
        glance.scaled = false;
        ui.ctx().request_repaint();
    }
}

/// What a hand can move: givens that lie on the axis, and the places where lines meet.
fn handles(ui: &Ui, plot: &Drawn, frame: &Frame<'_>, transform: &PlotTransform) -> (Option<Pull>, bool) {
    let inks = look::of(ui);
    let area = *transform.frame();
    let on = |x: f64, y: f64| transform.position_from_point(&PlotPoint::new(x, y));
    let (mut pulled, mut ended) = (None, false);
    let mut handle = |id: egui::Id, rect: egui::Rect, name: String, help: &str, cursor: egui::CursorIcon| {
        let response = ui.interact(rect.intersect(area), id, egui::Sense::DRAG);
        ui.ctx().accesskit_node_builder(response.id, |node| {
            let (min, max) = (response.rect.min, response.rect.max);
            node.set_role(egui::accesskit::Role::Slider);
            node.set_label(name);
            node.set_bounds(egui::accesskit::Rect {
                x0: min.x.into(),
                y0: min.y.into(),
                x1: max.x.into(),
                y1: max.y.into(),
            });
        });
        ended |= response.drag_stopped();
        let response = response.on_hover_cursor(cursor);
        let response = if response.dragged() {
            response
        } else {
            response.on_hover_text(help)
        };
        let at = response.dragged().then(|| response.interact_pointer_pos()).flatten();
        (at.map(|at| transform.value_from_position(at)), response)
    };
    for quantity in plot.lying.iter().filter(|quantity| quantity.moves) {
        let x = on(quantity.value, 0.0).x;
        if !area.x_range().contains(x) {
            continue;
        }
        let rect = egui::Rect::from_x_y_ranges(x - GRIP / 2.0..=x + GRIP / 2.0, area.y_range());
        let name = format!("drag {} along {}", quantity.name, plot.variable);
        let help = format!("Drag {}", quantity.name);
        let id = ui.scope_id().with(("along", frame.id, &quantity.name));
        let (at, response) = handle(id, rect, name, &help, egui::CursorIcon::ResizeHorizontal);
        // A grip at the head of its line says that it moves.
        let keyed = frame.keyed && frame.held == Some(quantity.name.as_str());
        let ink = if keyed || response.hovered() || response.dragged() {
            inks.typed
        } else {
            inks.words
        };
        let top = egui::pos2(x, area.top() + 1.0);
        let grip = [egui::vec2(-4.0, 0.0), egui::vec2(4.0, 0.0), egui::vec2(0.0, 6.0)].map(|off| top + off);
        let shape = egui::Shape::convex_polygon(grip.to_vec(), ink, egui::Stroke::NONE);
        let _ = ui.painter().with_clip_rect(area).add(shape);
        if let (Some(at), Some((low, high))) = (at, plot.ends) {
            pulled = Some(Pull::Along(quantity.name.clone(), at.x.clamp(low, high)));
        }
    }
    let Some(held) = frame.held else {
        return (pulled, ended);
    };
    for (number, met) in plot.meetings.iter().enumerate() {
        let (x, y) = plot.met_at(met);
        let place = on(x, y);
        if !area.contains(place) {
            continue;
        }
        let rect = egui::Rect::from_center_size(place, egui::Vec2::splat(GRIP * 2.0));
        let lines = [met.lines.0, met.lines.1].map(|at| plot.courses.get(at).map_or("", |line| line.tag.as_str()));
        let name = format!("drag where {} and {} meet, by {held}", lines[0], lines[1]);
        let help = format!("Drag it: {held} follows");
        let id = ui.scope_id().with(("meeting", frame.id, number));
        let (at, response) = handle(id, rect, name, &help, egui::CursorIcon::Grab);
        if response.hovered() || response.dragged() {
            let painter = ui.painter().with_clip_rect(area);
            let _ = painter.circle_filled(place, 4.0, inks.typed);
        }
        if let Some(at) = at {
            let value = plot
                .courses
                .get(met.lines.0)
                .map_or(at.y, |course| course.value_of(at.y));
            pulled = Some(Pull::Meeting(number, at.x, value));
        }
    }
    (pulled, ended)
}

/// Lines, regions, marked places.
fn paint<'p>(drawing: &mut egui_plot::PlotUi<'p>, plot: &'p Drawn, before: Option<&'p Drawn>, inks: &look::Inks) {
    regions(drawing, plot, inks);
    for quantity in &plot.lying {
        drawing.vline(
            VLine::new(quantity.name.clone(), quantity.value)
                .color(inks.faint)
                .width(1.0)
                .allow_hover(false)
                .style(LineStyle::dotted_loose()),
        );
    }
    // What was there before the hand began, thin.
    let was = before.map_or(&[][..], |before| &before.courses);
    for (course, (ink, _)) in was.iter().zip(styles(inks).iter().cycle()) {
        drawing.line(
            Line::new("", PlotPoints::Borrowed(&course.line))
                .color(ink.gamma_multiply(0.6))
                .width(0.8)
                .allow_hover(false)
                .allow_band(false),
        );
    }
    let was = before.map_or(&[][..], |before| &before.meetings);
    let was: Vec<[f64; 2]> = before.map_or(Vec::new(), |before| {
        was.iter().map(|met| before.met_at(met).into()).collect()
    });
    drawing.points(Points::new("", was).radius(2.5).color(inks.faint).allow_hover(false));
    for (course, (ink, style)) in plot.courses.iter().zip(styles(inks).iter().cycle()) {
        if course.points.is_empty() {
            continue;
        }
        shade(drawing, course, *ink);
        drawing.line(
            Line::new(course.text.clone(), PlotPoints::Borrowed(&course.line))
                .color(*ink)
                .width(2.0)
                .allow_hover(false)
                // A band is as thick as it is high: where a line is steep, it is a hair and breaks.
                .allow_band(false)
                .style(*style),
        );
        let dots: Vec<[f64; 2]> = told(course).into_iter().map(|at| course.place(at).into()).collect();
        drawing.points(
            Points::new(course.text.clone(), dots)
                .radius(3.0)
                .color(*ink)
                .allow_hover(false),
        );
    }
    // Where lines meet: a ring, so that it is no end and no top.
    for (radius, ink) in [(5.5, inks.ink), (3.5, inks.paper)] {
        let met: Vec<[f64; 2]> = plot.meetings.iter().map(|met| plot.met_at(met).into()).collect();
        drawing.points(Points::new("", met).radius(radius).color(ink).allow_hover(false));
    }
}

/// A number at a ruled axis, with as many decimals as tell it from the next.
fn ruled(value: f64, step: f64) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Not below nothing, and small.
    let decimals = (-(step.abs().max(1e-12) * 1.000_001).log10().floor()).clamp(0.0, 12.0) as usize;
    // No zero below nothing.
    format!(
        "{:.decimals$}",
        if value.abs() < step.abs() * 1e-9 { 0.0 } else { value }
    )
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

/// A text of the picture.
#[derive(Clone, Debug)]
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

/// Where the labels of a picture stand, and for which frame, bounds and inks that was looked for.
#[derive(Clone, Debug)]
pub struct Laid {
    of: (egui::Rect, [f64; 4], bool, f32),
    said: Vec<(Said, egui::Rect)>,
}

/// Writes the labels of a picture where they stand.
fn label(ui: &Ui, plot: &mut Drawn, transform: &PlotTransform, inks: &look::Inks) {
    let frame = *transform.frame();
    let (min, max) = (transform.bounds().min(), transform.bounds().max());
    let bounds = [min[0], min[1], max[0], max[1]];
    let of = (frame, bounds, ui.visuals().dark_mode, ui.ctx().pixels_per_point());
    let painter = ui.painter().with_clip_rect(frame);
    let mut laid = match plot.laid.take() {
        Some(laid) if laid.of == of => laid,
        _ => Laid {
            of,
            said: lay(&painter, plot, transform, inks),
        },
    };
    for (said, place) in &mut laid.said {
        let galley = painter.layout_no_wrap(said.text.clone(), said.font.clone(), said.ink);
        put(&painter, said, galley, *place, inks);
    }
    plot.laid = Some(laid);
}

fn put(painter: &egui::Painter, said: &Said, galley: Arc<egui::Galley>, place: egui::Rect, inks: &look::Inks) {
    if said.strip.is_some() && place.height() > place.width() {
        let shape = egui::epaint::TextShape::new(place.left_bottom(), galley, said.ink);
        let _ = painter.add(shape.with_angle(-std::f32::consts::FRAC_PI_2));
        return;
    }
    if let Some(of) = said.of {
        let end = labels::nearest(place, of);
        if end.distance(of) > 10.0 && !said.foot {
            let _ = painter.line_segment([of, end], egui::Stroke::new(0.7, said.ink));
        }
        let _ = painter.rect_filled(place, 2.0, inks.paper.gamma_multiply(0.85));
    }
    painter.galley(
        place.min + egui::vec2(if said.of.is_some() { 2.0 } else { 0.0 }, 0.0),
        galley,
        said.ink,
    );
}

/// Looks for the places of the labels of a picture, the ones that matter most first.
fn lay(painter: &egui::Painter, plot: &Drawn, transform: &PlotTransform, inks: &look::Inks) -> Vec<(Said, egui::Rect)> {
    let frame = *transform.frame();
    let on = |(x, y): (f64, f64)| transform.position_from_point(&PlotPoint::new(x, y));
    let wanted: Vec<(Said, Wanted)> = texts(plot, transform, inks)
        .into_iter()
        .map(|said| {
            let galley = painter.layout_no_wrap(said.text.clone(), said.font.clone(), said.ink);
            let tries = match (said.of, said.strip) {
                (Some(at), _) if said.foot => labels::at_foot(at, galley.size() + egui::vec2(4.0, 0.0)),
                (Some(at), _) => labels::around(at, galley.size() + egui::vec2(4.0, 0.0)),
                (None, Some(strip)) => labels::inside(strip, galley.size()),
                (None, None) => Vec::new(),
            };
            let must = said.must;
            (said, Wanted { tries, must })
        })
        .collect();
    let (said, wanted): (Vec<Said>, Vec<Wanted>) = wanted.into_iter().unzip();
    let mut ink: Vec<egui::Pos2> = Vec::new();
    for course in &plot.courses {
        let line: Vec<egui::Pos2> = course.points.iter().map(|point| on(course.place(*point))).collect();
        ink.extend(labels::inked(&line));
    }
    // Dots and rings count as much as a piece of a line.
    let dots = plot
        .courses
        .iter()
        .flat_map(|course| told(course).into_iter().map(|at| course.place(at)));
    let dots = dots.chain(plot.meetings.iter().map(|met| plot.met_at(met)));
    ink.extend(dots.flat_map(|at| [on(at); 3]));
    let placed = labels::placed(frame, &ink, &wanted);
    said.into_iter()
        .zip(placed)
        .filter_map(|(said, place)| Some((said, place?)))
        .collect()
}

/// The texts of a picture.
fn texts(plot: &Drawn, transform: &PlotTransform, inks: &look::Inks) -> Vec<Said> {
    let frame = *transform.frame();
    let on = |(x, y): (f64, f64)| transform.position_from_point(&PlotPoint::new(x, y));
    let styles = styles(inks);
    let lines = || plot.courses.iter().zip(styles.iter().cycle());
    let said = |text: String, font: egui::FontId, ink: egui::Color32, at: (f64, f64), must: bool| Said {
        text,
        font,
        ink,
        of: Some(on(at)),
        strip: None,
        foot: false,
        must,
    };
    // Of a part that is looked at, what stands beside it is not said.
    let seen = |at: &(f64, f64)| frame.expand(1.0).contains(on(*at));
    let named_at = |course: &Course| {
        let named = crest(course).or(course.points.last().copied());
        named
            .filter(|at| seen(&course.place(*at)))
            .or_else(|| course.points.iter().rev().find(|at| seen(&course.place(**at))).copied())
    };
    let mut all: Vec<Said> = Vec::new();
    for (course, (ink, _)) in lines() {
        if let Some(at) = named_at(course) {
            let text = format!("{}: {}", course.tag, shown(at.1, &course.unit));
            all.push(said(text, look::upright(13.0), *ink, course.place(at), true));
        }
    }
    for met in plot.meetings.iter().filter(|met| seen(&plot.met_at(met))) {
        let unit = plot.courses.get(met.lines.0).map_or("", |course| course.unit.as_str());
        let (at, value) = (shown(met.at, &plot.unit), shown(met.value, unit));
        let text = match plot.name_of(met) {
            Some(quantity) => format!("{} = {at}: {value}", quantity.name),
            None => format!("{at}: {value}"),
        };
        all.push(said(text, look::bold(13.0), inks.ink, plot.met_at(met), true));
    }
    for (course, (ink, _)) in lines() {
        let named = named_at(course);
        let others = told(course).into_iter().filter(|at| Some(*at) != named);
        for (value, at) in others.map(|at| (at.1, course.place(at))).filter(|(_, at)| seen(at)) {
            // Two lines that end at one place say it once.
            let text = shown(value, &course.unit);
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
    for quantity in &plot.lying {
        let is_named = |named: Option<&Marked>| named.is_some_and(|named| named.name == quantity.name);
        let at = (quantity.value, floor);
        if seen(&at) && !plot.meetings.iter().any(|met| is_named(plot.name_of(met))) {
            let mut name = said(quantity.name.clone(), look::oblique(12.0), inks.words, at, false);
            name.foot = true;
            all.push(name);
        }
    }
    for course in &plot.courses {
        for (from, to, word) in strips(course) {
            let strip = egui::Rect::from_x_y_ranges(on((from, 0.0)).x..=on((to, 0.0)).x, frame.y_range());
            let strip = strip.intersect(frame);
            if strip.width() <= 0.0 {
                continue;
            }
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
    all
}

/// A line in words: its stroke, its name, its value at the cursor.
fn legend(ui: &mut Ui, course: &Course, (ink, style): (egui::Color32, LineStyle), x: Option<f64>) {
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
        let value = x.and_then(|x| value_at(course, x));
        let value = RichText::new(value.as_deref().unwrap_or(" ")).font(look::bold(13.0));
        let _ = ui.vertical(|ui| {
            if course.tag == course.text {
                let _ = ui.horizontal(|ui| {
                    let _ = ui.label(RichText::new(&course.tag).size(13.0));
                    if course.right {
                        let _ = ui.label(RichText::new("(scale at the right)").size(12.0).color(inks.words));
                    }
                    let _ = ui.label(value);
                });
            } else {
                let _ = ui.label(RichText::new(format!("{} {}", course.tag, course.text)).size(13.0));
                let _ = ui.label(value);
            }
            if let Some(why) = &course.missing {
                let _ = ui.label(RichText::new(format!("○ {why}")).size(12.0).color(inks.doubtful));
            }
        });
    });
}

/// Regions as strips of paper, lighter and darker in turn.
fn regions(drawing: &mut egui_plot::PlotUi<'_>, plot: &Drawn, inks: &look::Inks) {
    let shades = [inks.band, inks.paper];
    for course in &plot.courses {
        for ((from, to, _), shade) in strips(course).zip(shades.iter().cycle()) {
            drawing.span(
                egui_plot::Span::new("", from..=to)
                    .fill(*shade)
                    .border(egui::Stroke::new(0.5, inks.rule)),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn numbers_at_an_axis_differ_from_one_to_the_next() {
        for (value, step, text) in [
            (0.5, 0.5, "0.5"),
            (1.5, 0.5, "1.5"),
            (0.0, 0.5, "0.0"),
            (0.2, 0.2, "0.2"),
            (0.05, 0.05, "0.05"),
            (40.0, 20.0, "40"),
            (3.0, 1.0, "3"),
            (1500.0, 500.0, "1500"),
            (-1e-17, 0.1, "0.0"),
            (-0.1, 0.1, "-0.1"),
        ] {
            assert_eq!(ruled(value, step), text);
        }
    }
}
