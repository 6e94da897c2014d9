//! A plot in the units it is shown in: its lines, what is marked along its axis, and what the picture shows in words.
//!
//! Always: what does not change from frame to frame is worked once, when the plot comes; so is where its labels stand, for as long
//! as the frame stays.
//! Not known here: which plots there are, how points are worked, how it is painted.

use std::sync::Arc;

use eframe::egui::Id;
use egui_plot::PlotPoint;

use super::picture::Laid;
use crate::language::check::Sort;
use crate::quantity::{Number, System, Unit, show};
use crate::recalc::{Meeting, Plot, Showing, Trail};
use crate::workbook::Role;

/// Quantities marked along an axis at most.
const MOST_MARKED: usize = 6;

/// Letters of a name that has room beside its line.
const SHORT: usize = 12;

/// Into how many steps the keys cut an axis.
const STEPS: f64 = 100.0;

/// A quantity of the sheet whose value lies on the axis.
#[derive(Clone, Debug)]
pub struct Marked {
    /// Its symbol.
    pub name: String,
    /// The unit it is shown in.
    pub unit: String,
    /// Its value in that unit.
    pub value: f64,
    /// It is a given that a hand may move.
    pub moves: bool,
}

/// A plot in the units it is shown in.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub(super) title: String,
    pub(super) variable: String,
    /// Unit of the variable, empty for plain numbers.
    pub(super) unit: String,
    pub(super) courses: Vec<Course>,
    pub(super) meetings: Vec<Meeting>,
    pub(super) refused: Option<String>,
    /// The ends of the axis.
    pub(super) ends: Option<(f64, f64)>,
    /// The quantities that lie on the axis, in rising order.
    pub(super) lying: Vec<Marked>,
    /// What the picture shows, in words.
    pub(super) words: Vec<String>,
    /// Where its labels stand in the frame it was drawn in last.
    pub(super) laid: Option<Laid>,
    /// The scale at the right, for lines of a second unit.
    pub(super) beside: Option<Beside>,
}

/// A second scale beside the first, ruled by the same lines.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Beside {
    /// Unit of its lines, empty for plain numbers.
    pub unit: String,
    /// How much higher they are painted than their values are.
    pub scale: f64,
}

/// The smallest part of an axis that is looked at by itself.
const LEAST_PART: f64 = 1e-3;

/// What is looked at in a plot; it stays when the lines move.
#[derive(Clone, Debug, Default)]
pub struct Glance {
    /// The place that is read out where no pointer is on the plot, or one that rests.
    pub read: Option<f64>,
    /// Where the pointer rested when a key moved the place that is read: until it goes on, the keys read.
    pub rests: Option<eframe::egui::Pos2>,
    /// The part of the axis that is looked at; `None`: all of it.
    pub part: Option<(f64, f64)>,
    /// Where a part begins that is being drawn over.
    pub from: Option<f64>,
    /// How high what stands under the plot was.
    pub under: f32,
    /// The picture as it was drawn last.
    pub id: Option<Id>,
    /// The last key there was one that makes it larger or smaller.
    pub scaled: bool,
}

/// A line of a plot in the units it is shown in.
#[derive(Clone, Debug)]
pub struct Course {
    trail: Trail,
    /// Unit of the values, empty for plain numbers.
    pub(super) unit: String,
    /// Its name, or its number where the name is long.
    pub(super) tag: String,
    /// The points as they are painted.
    pub(super) line: Vec<PlotPoint>,
    /// How much higher it is painted than its values are: 1 by the scale at the left.
    scale: f64,
    /// It is read by the scale at the right.
    pub(super) right: bool,
}

impl std::ops::Deref for Course {
    type Target = Trail;

    fn deref(&self) -> &Trail {
        &self.trail
    }
}

impl Drawn {
    /// Brings a plot to these units, with what is marked along its axis.
    pub fn of(plot: &Plot, system: System, marked: &[Marked]) -> Drawn {
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
        let courses = plot.trails.iter().enumerate().map(|(number, trail)| {
            let up = upwards(trail, shared, system);
            let mut trail = trail.clone();
            trail.missing = trail.missing.map(|why| system.words(&why).into());
            for (x, y) in &mut trail.points {
                (*x, *y) = (brought(&across, *x), brought(&up, *y));
            }
            for (x, low, high) in &mut trail.band {
                (*x, *low, *high) = (brought(&across, *x), brought(&up, *low), brought(&up, *high));
            }
            for (from, to, _) in &mut trail.regions {
                (*from, *to) = (brought(&across, *from), brought(&across, *to));
            }
            Course::of(number, trail, unit_of(&up))
        });
        let mut drawn = Drawn {
            title: plot.title.clone(),
            variable: plot.variable.to_string(),
            unit: unit_of(&across),
            courses: courses.collect(),
            meetings,
            refused: plot.refused.as_ref().map(|why| system.words(why)),
            ends: None,
            lying: Vec::new(),
            words: Vec::new(),
            laid: None,
            beside: None,
        };
        drawn.share_out();
        drawn.mark(marked);
        drawn
    }

    /// Gives the lines their scales: what stands in the unit of the first one at the left, lines of a second unit at the right. What is
    /// of a third one has no scale to be read by and is not drawn.
    fn share_out(&mut self) {
        let drawn = |course: &&Course| !course.points.is_empty();
        let mut units = self.courses.iter().filter(drawn).map(|course| course.unit.clone());
        let Some(left) = units.next() else { return };
        let Some(right) = units.find(|unit| *unit != left) else {
            return;
        };
        let highest = |unit: &str| {
            let lines = self.courses.iter().filter(|course| course.unit == unit);
            lines
                .flat_map(|course| &course.points)
                .fold(0.0_f64, |most, (_, y)| most.max(y.abs()))
        };
        let scale = round_share(highest(&left) / highest(&right));
        for course in self.courses.iter_mut().filter(|course| course.unit != left) {
            if course.unit == right {
                course.right = true;
                course.rescale(scale);
            } else if !course.points.is_empty() {
                course.trail.points.clear();
                course.trail.band.clear();
                course.line.clear();
                let why = format!(
                    "not drawn: the scales are {} and {}; draw it in a plot of its own",
                    scale_word(&left),
                    scale_word(&right)
                );
                course.trail.missing = Some(why.as_str().into());
            }
        }
        self.meetings.retain(|met| {
            [met.lines.0, met.lines.1]
                .iter()
                .all(|at| self.courses.get(*at).is_some_and(|course| !course.points.is_empty()))
        });
        self.beside = Some(Beside { unit: right, scale });
    }

    /// Where two lines meet in the picture.
    pub(super) fn met_at(&self, met: &Meeting) -> (f64, f64) {
        match self.courses.get(met.lines.0) {
            Some(course) => course.place((met.at, met.value)),
            None => (met.at, met.value),
        }
    }

    /// What lies on the axis is another by now.
    pub fn mark(&mut self, marked: &[Marked]) {
        self.ends = around(self.courses.iter().flat_map(|line| line.points.iter().map(|(x, _)| *x)));
        self.lying = lying(self, marked);
        self.words = in_words(self);
        self.laid = None;
    }

    /// Whether two plots have the same variable and lines, whatever their points.
    pub fn is_of(&self, other: &Drawn) -> bool {
        let texts = |plot: &Drawn| -> Vec<String> { plot.courses.iter().map(|line| line.text.clone()).collect() };
        self.variable == other.variable && self.unit == other.unit && texts(self) == texts(other)
    }

    /// The unit of the lines, empty for plain numbers.
    pub fn unit_up(&self) -> &str {
        let drawn = self.courses.iter().find(|line| !line.points.is_empty());
        drawn.or(self.courses.first()).map_or("", |line| line.unit.as_str())
    }

    /// The lowest and the highest place of the lines in the picture.
    pub fn heights(&self) -> Option<(f64, f64)> {
        around(
            self.courses
                .iter()
                .flat_map(|line| line.line.iter().map(|point| point.y)),
        )
    }

    /// The names of the lines that have points.
    pub(super) fn names(&self) -> String {
        self.names_of(|_| true)
    }

    /// The names of those that go by the scale at the left, or by the one at the right, with the unit of it.
    pub(super) fn scale_name(&self, right: bool) -> String {
        let names = self.names_of(|line| line.right == right);
        let unit = match (&self.beside, right) {
            (Some(beside), true) => &beside.unit,
            _ => self.unit_up(),
        };
        named(&names, unit)
    }

    fn names_of(&self, kept: impl Fn(&Course) -> bool) -> String {
        let with_points = self.courses.iter().filter(|line| !line.points.is_empty() && kept(line));
        let names: Vec<&str> = with_points.map(|line| line.tag.as_str()).collect();
        names.join(", ")
    }

    /// The place that is read: none beside the ends of the axis.
    pub(super) fn reached(&self, x: f64) -> Option<f64> {
        self.ends.filter(|(low, high)| (*low..=*high).contains(&x)).map(|_| x)
    }

    /// The worked place that is nearest to one on the axis.
    pub(super) fn snapped(&self, x: f64) -> f64 {
        let first = self.courses.iter().find_map(|line| nearest(line, x));
        first.map_or(x, |(x, _)| x)
    }

    /// The place so many hundredths of what is seen of the axis on from the one that is read, or from its beginning.
    pub(super) fn stepped(&self, part: Option<(f64, f64)>, read: Option<f64>, steps: f64) -> Option<f64> {
        let (low, high) = part.or(self.ends)?;
        let from = read.filter(|read| (low..=high).contains(read));
        Some((from.unwrap_or(low) + steps * (high - low) / STEPS).clamp(low, high))
    }

    /// The next place where lines meet, on from the one that is read or back from it, of what is seen of the axis.
    pub(super) fn met_next(&self, part: Option<(f64, f64)>, read: Option<f64>, on: bool) -> Option<f64> {
        let (low, high) = part.or(self.ends)?;
        let from = read.unwrap_or(if on { low } else { high });
        // The one that is read is not the next one.
        let near = (high - low) * 1e-6;
        let met = self.meetings.iter().map(|met| met.at);
        let met = met.filter(|at| (low..=high).contains(at));
        match on {
            true => met.filter(|at| *at > from + near).min_by(f64::total_cmp),
            false => met.filter(|at| *at < from - near).max_by(f64::total_cmp),
        }
    }

    /// A place in words, with the regions it lies in: `at n = 750 r/min: past breakdown`.
    pub(super) fn place_in_words(&self, x: f64) -> String {
        let mut text = format!("at {} = {}", self.variable, shown(x, &self.unit));
        for word in self.courses.iter().filter_map(|line| region_at(line, x)) {
            text.push_str(&format!(": {word}"));
        }
        text
    }

    /// The part of the axis between two places, as far as it is one; nothing is seen of a part as small as a point.
    pub(super) fn part(&self, one: f64, other: f64) -> Option<(f64, f64)> {
        let (low, high) = self.ends?;
        let (from, to) = (one.min(other).max(low), one.max(other).min(high));
        let whole = high - low;
        (to - from >= whole * LEAST_PART && to - from < whole * 0.999).then_some((from, to))
    }

    /// What stands over a part of the axis, from the lowest to the highest.
    pub(super) fn height_over(&self, (from, to): (f64, f64)) -> Option<(f64, f64)> {
        let ends = |course: &Course| [from, to].map(|x| nearest(course, x).map(|at| course.place(at).1));
        let inside = |course: &Course| -> Vec<f64> {
            let points = course.line.iter().filter(|point| (from..=to).contains(&point.x));
            points
                .map(|point| point.y)
                .chain(ends(course).into_iter().flatten())
                .collect()
        };
        let all = self.courses.iter().flat_map(inside).filter(|y| y.is_finite());
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
            (low.min(y), high.max(y))
        });
        (low <= high).then_some((low, high))
    }

    /// A part of the axis in words.
    pub(super) fn part_in_words(&self, (from, to): (f64, f64)) -> String {
        format!(
            "{} from {} to {}",
            self.variable,
            shown(from, &self.unit),
            shown(to, &self.unit)
        )
    }

    /// Everything that is read at a place, for those who listen.
    pub(super) fn read_in_words(&self, x: f64) -> String {
        let values = self.courses.iter().filter_map(|line| {
            let value = value_at(line, x)?;
            Some(format!("; {} {value}", line.tag))
        });
        self.place_in_words(x) + &values.collect::<String>()
    }

    /// The marked quantity that is the place where two lines meet, to a thousandth of the axis.
    pub(super) fn name_of(&self, met: &Meeting) -> Option<&Marked> {
        let (low, high) = self.ends?;
        let near = self
            .lying
            .iter()
            .filter(|quantity| (quantity.value - met.at).abs() <= (high - low) * 1e-3);
        near.min_by(|a, b| (a.value - met.at).abs().total_cmp(&(b.value - met.at).abs()))
    }
}

impl Course {
    fn of(number: usize, trail: Trail, unit: String) -> Course {
        let tag = if trail.text.chars().count() <= SHORT {
            trail.text.clone()
        } else {
            format!("({})", number + 1)
        };
        let mut course = Course {
            trail,
            unit,
            tag,
            line: Vec::new(),
            scale: 1.0,
            right: false,
        };
        course.rescale(1.0);
        course
    }

    fn rescale(&mut self, scale: f64) {
        self.scale = scale;
        let places = self.trail.points.iter().map(|at| (at.0, at.1 * scale));
        self.line = places.map(|(x, y)| PlotPoint::new(x, y)).collect();
    }

    /// Where a value of it stands in the picture.
    pub(super) fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (x, y * self.scale)
    }

    /// The value of a place in the picture.
    pub(super) fn value_of(&self, y: f64) -> f64 {
        y / self.scale
    }
}

/// The largest of one, two or five and a power of ten that is no larger than a share: what both scales are ruled by stays round.
fn round_share(share: f64) -> f64 {
    if !(share.is_finite() && share > 0.0) {
        return 1.0;
    }
    let ten = 10_f64.powf(share.log10().floor());
    let round = [5.0, 2.0].map(|step| step * ten);
    // A share that is round itself is met.
    round
        .into_iter()
        .find(|round| *round <= share * 1.000_001)
        .unwrap_or(ten)
}

/// A unit as the name of a scale.
fn scale_word(unit: &str) -> &str {
    if unit.is_empty() { "plain numbers" } else { unit }
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

/// A name with its unit: `n in r/min`.
pub(super) fn named(name: &str, unit: &str) -> String {
    if unit.is_empty() {
        name.to_owned()
    } else {
        format!("{name} in {unit}")
    }
}

/// The point of a line that lies nearest to a place on the axis.
fn nearest(trail: &Trail, x: f64) -> Option<(f64, f64)> {
    // Points rise along the axis.
    let behind = trail.points.partition_point(|point| point.0 < x);
    let near = trail.points.get(behind.saturating_sub(1)..)?.iter().take(2);
    let apart = |point: &(f64, f64)| (point.0 - x).abs();
    near.copied().min_by(|a, b| apart(a).total_cmp(&apart(b)))
}

/// The value of a line at a place, with its limits.
pub(super) fn value_at(line: &Course, x: f64) -> Option<String> {
    let (x, y) = nearest(line, x)?;
    Some(match limits(line, x) {
        Some((low, high)) => format!("= {} ({} … {})", shown(y, &line.unit), shown(low, ""), shown(high, "")),
        None => format!("= {}", shown(y, &line.unit)),
    })
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

/// The largest value inside a line, if it is no end.
pub(super) fn crest(trail: &Trail) -> Option<(f64, f64)> {
    let (at, best) = trail.points.iter().enumerate().max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    (at > 0 && at + 1 < trail.points.len()).then_some(*best)
}

/// The places of a line whose values are told: its ends, and its top where that is no end.
pub(super) fn told(trail: &Trail) -> Vec<(f64, f64)> {
    let (first, last) = (trail.points.first().copied(), trail.points.last().copied());
    first.into_iter().chain(last).chain(crest(trail)).collect()
}

/// What the picture shows, in words: meetings, regions, marked quantities, shades.
fn in_words(plot: &Drawn) -> Vec<String> {
    let mut words = Vec::new();
    for met in &plot.meetings {
        let (Some(first), Some(second)) = (plot.courses.get(met.lines.0), plot.courses.get(met.lines.1)) else {
            continue;
        };
        let name = plot.name_of(met).map_or(&plot.variable, |quantity| &quantity.name);
        words.push(format!(
            "○ {} and {} meet at {name} = {}: {}",
            first.tag,
            second.tag,
            shown(met.at, &plot.unit),
            shown(met.value, &first.unit)
        ));
    }
    for trail in &plot.courses {
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
    if !plot.lying.is_empty() {
        let named: Vec<String> = plot
            .lying
            .iter()
            .map(|quantity| format!("{} = {}", quantity.name, shown(quantity.value, &quantity.unit)))
            .collect();
        words.push(format!("Dotted: {}", named.join(", ")));
    }
    if plot.courses.iter().any(|trail| !trail.band.is_empty()) {
        words.push("Shaded: how far the line may be off within the tolerances.".to_owned());
    }
    words
}

/// The least and the largest of some numbers.
fn around(mut all: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let first = all.next()?;
    Some(all.fold((first, first), |(low, high), x| (low.min(x), high.max(x))))
}

/// The quantities that lie on the axis of a plot, as far as they are marked, in rising order.
fn lying(plot: &Drawn, marked: &[Marked]) -> Vec<Marked> {
    let Some((low, high)) = plot.ends else {
        return Vec::new();
    };
    let lies = |quantity: &&Marked| quantity.unit == plot.unit && (low..=high).contains(&quantity.value);
    let mut lying: Vec<Marked> = marked.iter().filter(lies).take(MOST_MARKED).cloned().collect();
    lying.sort_by(|a, b| a.value.total_cmp(&b.value));
    lying
}

/// The region a place lies in.
fn region_at(trail: &Trail, x: f64) -> Option<&str> {
    let held = |(from, to, _): &&(f64, f64, Arc<str>)| (*from..=*to).contains(&x);
    trail.regions.iter().find(held).map(|(_, _, word)| &**word)
}

/// The regions of a line, each going on to where the next one begins.
pub(super) fn strips(trail: &Trail) -> impl Iterator<Item = (f64, f64, &Arc<str>)> {
    trail.regions.iter().enumerate().map(|(place, (from, to, word))| {
        let to = trail.regions.get(place + 1).map_or(*to, |(next, ..)| *next);
        (*from, to, word)
    })
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;

    fn trail(points: &[(f64, f64)]) -> Trail {
        named_trail("T", points)
    }

    fn named_trail(text: &str, points: &[(f64, f64)]) -> Trail {
        Trail {
            text: text.to_owned(),
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

    /// A picture over the shaft speed.
    fn over_speed(courses: Vec<Course>) -> Drawn {
        Drawn {
            title: String::new(),
            variable: "n".to_owned(),
            unit: "r/min".to_owned(),
            courses,
            meetings: Vec::new(),
            refused: None,
            ends: None,
            lying: Vec::new(),
            words: Vec::new(),
            laid: None,
            beside: None,
        }
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
        let mut plot = over_speed(vec![
            Course::of(0, named_trail("T_M", &[(0.0, 60.0), (1500.0, 0.0)]), "N·m".to_owned()),
            Course::of(1, named_trail("T_L", &[(0.0, 0.0), (1500.0, 60.0)]), "N·m".to_owned()),
            Course::of(2, running, String::new()),
        ]);
        plot.meetings = vec![Meeting {
            lines: (0, 1),
            at: 750.0,
            value: 30.0,
        }];
        let named = |value: f64| Marked {
            name: "n_1".to_owned(),
            unit: "r/min".to_owned(),
            value,
            moves: false,
        };
        plot.mark(&[named(750.3)]);
        assert_eq!(
            [-0.1, 0.0, 750.0, 1500.1].map(|x| plot.reached(x).is_some()),
            [false, true, true, false]
        );
        assert_eq!(plot.words[0], "○ T_M and T_L meet at n_1 = 750 r/min: 30 N·m");
        assert_eq!(
            plot.words[1],
            "Regions: locked rotor at 0 r/min, past breakdown 0 … 1245 r/min, running 1245 … 1500 r/min"
        );
        // Read by those who listen: the place, its region, what the lines are there.
        assert_eq!(
            plot.read_in_words(1500.0),
            "at n = 1500 r/min: running; T_M = 0 N·m; T_L = 60 N·m"
        );
        // By keys: a hundredth of the axis, never beyond its ends; of a part that is looked at a hundredth of that part, from its beginning
        // where another place was read before.
        let (all, part) = (None, Some((900.0, 1100.0)));
        for (seen, read, steps, place) in [
            (all, None, 1.0, 15.0),
            (all, Some(750.0), -10.0, 600.0),
            (all, Some(750.0), f64::INFINITY, 1500.0),
            (all, Some(7.0), -1.0, 0.0),
            (part, None, 1.0, 902.0),
            (part, Some(750.0), 10.0, 920.0),
            (part, Some(1000.0), -1.0, 998.0),
            (part, Some(1000.0), f64::INFINITY, 1100.0),
        ] {
            assert_eq!(
                plot.stepped(seen, read, steps),
                Some(place),
                "{seen:?} {read:?} {steps}"
            );
        }
        // Two thousandths of the axis away it is another place.
        plot.mark(&[named(753.0)]);
        assert_eq!(plot.words[0], "○ T_M and T_L meet at n = 750 r/min: 30 N·m");
    }

    /// By hand: 130 N·m over 15 kW is 8.7, so a kilowatt is painted as high as 5 N·m; 75 of 130 is over the half of the picture. Bending
    /// by seconds has no third scale.
    #[test]
    fn lines_of_a_second_unit_have_a_scale_of_their_own() {
        let course = |text: &str, unit: &str, high: f64| {
            Course::of(0, named_trail(text, &[(0.0, 0.0), (1500.0, high)]), unit.to_owned())
        };
        let plot = |courses: Vec<Course>| {
            let mut plot = over_speed(courses);
            plot.share_out();
            plot
        };
        let two = plot(vec![
            course("T_M", "N·m", 130.0),
            course("P", "kW", 15.0),
            course("T_L", "N·m", 60.0),
        ]);
        let beside = two.beside.as_ref().map(|beside| (beside.unit.as_str(), beside.scale));
        assert_eq!(beside, Some(("kW", 5.0)));
        assert_eq!(
            (two.scale_name(false), two.scale_name(true)),
            ("T_M, T_L in N·m".to_owned(), "P in kW".to_owned())
        );
        assert_eq!(two.heights(), Some((0.0, 130.0)));
        let power = &two.courses[1];
        assert_eq!(
            (power.place((1500.0, 15.0)).1, power.value_of(75.0), power.line[1].y),
            (75.0, 15.0, 75.0)
        );
        // What is read are values, never places in the picture.
        assert_eq!(
            two.read_in_words(1500.0),
            "at n = 1500 r/min; T_M = 130 N·m; P = 15 kW; T_L = 60 N·m"
        );
        let three = plot(vec![
            course("T", "N·m", 130.0),
            course("P", "kW", 15.0),
            course("t", "s", 2.0),
        ]);
        assert!(three.courses[2].line.is_empty());
        let why = three.courses[2].missing.as_ref().map(ToString::to_string);
        assert_eq!(
            why.as_deref(),
            Some("not drawn: the scales are N·m and kW; draw it in a plot of its own")
        );
        let one = plot(vec![course("T", "N·m", 130.0)]);
        assert_eq!(
            (one.beside.clone(), one.scale_name(false)),
            (None, "T in N·m".to_owned())
        );
        // Round shares, from above and below.
        for (share, round) in [
            (8.7, 5.0),
            (0.31, 0.2),
            (1999.0, 1000.0),
            (2000.0, 2000.0),
            (0.05, 0.05),
        ] {
            assert!(
                (round_share(share) / round - 1.0_f64).abs() < 1e-9,
                "{share}: {}",
                round_share(share)
            );
        }
        assert_eq!(
            [round_share(f64::NAN), round_share(0.0), round_share(f64::INFINITY)],
            [1.0; 3]
        );
    }

    #[test]
    fn values_are_shown_as_elsewhere() {
        assert_eq!(shown(74.236_44, "N·m"), "74.24 N·m");
        assert_eq!(shown(0.5, ""), "0.5");
    }
}
