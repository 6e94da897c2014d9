//! The plots of a sheet: points of each line from end to end, regions named by words, and how far a line may be off.
//!
//! Always: a formula is read and checked once for a plot; its variable is a value of its own, so all places are worked together.
//! The workbook and its results stay as they are.
//! Not known here: how a plot is drawn.

use std::sync::Arc;

use super::Engine;
use super::along;
use super::bands::Bander;
use super::book::Sheet;
use super::scope::Asking;
use super::waves::View;
use crate::fault::{Fault, Words};
use crate::language::check::{self, Op, Sort, Target, Toleranced, Typed};
use crate::language::syntax::{self, Expr, Name, Node};
use crate::language::work::{Outcome, Program, Value, finite};
use crate::quantity::{Number, Unit, conversion};
use crate::workbook::{Formula, Statement};

/// A line of a plot.
#[derive(Clone, Debug)]
pub struct Trail {
    /// What is drawn, as typed.
    pub text: String,
    /// What the values are, with their unit.
    pub sort: Sort,
    /// Argument and value in their units; places that cannot be worked are left out.
    pub points: Vec<(f64, f64)>,
    /// Where the line rests on tolerances: argument, lower and upper limit, at some of the places.
    pub band: Vec<(f64, f64, f64)>,
    /// Where what is drawn is a word, such as the name of a region: from, to, word.
    pub regions: Vec<(f64, f64, Arc<str>)>,
    /// Why points are missing.
    pub missing: Option<Words>,
}

impl Trail {
    /// Unit of the values, empty for plain numbers.
    pub fn unit(&self) -> &str {
        match &self.sort {
            Sort::Quantity { unit, .. } if !unit.is_plain() => &unit.text,
            _ => "",
        }
    }
}

/// A plot of a sheet.
#[derive(Clone, Debug)]
pub struct Plot {
    /// Title, may be empty.
    pub title: String,
    /// The variable.
    pub variable: Arc<str>,
    /// What it is, with its unit.
    pub axis: Sort,
    /// The lines.
    pub trails: Vec<Trail>,
    /// Where two lines of the same unit meet.
    pub meetings: Vec<Meeting>,
    /// Why nothing can be drawn.
    pub refused: Option<Words>,
}

/// Where two lines of a plot meet.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// Which lines, by their place among those of the plot.
    pub lines: (usize, usize),
    /// The variable there, in its unit.
    pub at: f64,
    /// The value there, in the unit of the lines.
    pub value: f64,
}

/// A line of a plot that can be worked.
struct Line<'a> {
    typed: &'a Typed,
    program: Program<'a>,
}

/// The variable of a plot: its name, what it is, its unit, its ends in rising order.
struct Axis<'a> {
    name: &'a Name,
    sort: Sort,
    unit: Unit,
    low: f64,
    high: f64,
}

impl Axis<'_> {
    /// Where a place from 0 to 1 lies.
    fn at(&self, place: f64) -> f64 {
        if place >= 1.0 {
            self.high
        } else {
            self.low + place * (self.high - self.low)
        }
    }

    /// At which place from 0 to 1 this lies.
    fn share(&self, at: f64) -> f64 {
        ((at - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }
}

impl Engine {
    /// The plots of a sheet for one item, each line worked at so many even places from end to end and where it bends.
    pub fn plots(&self, sheet: &str, item: usize, places: usize) -> Vec<Plot> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Vec::new();
        };
        let lines = self.workbook.sheets.get(*place).map_or(&[][..], |sheet| &sheet.lines);
        lines
            .iter()
            .filter_map(|line| self.plot(*place, &line.statement, item, places))
            .collect()
    }

    fn plot(&self, place: usize, statement: &Statement, item: usize, places: usize) -> Option<Plot> {
        let Statement::Plot {
            curves,
            variable,
            from,
            to,
            title,
        } = statement
        else {
            return None;
        };
        let own = self.book.sheets.get(place)?;
        let mut made = Plot {
            title: title.clone().unwrap_or_default(),
            variable: variable.clone(),
            axis: Sort::Unknown,
            trails: Vec::new(),
            meetings: Vec::new(),
            refused: None,
        };
        match self.axis(place, own, variable, (from, to), item) {
            Ok(axis) => {
                made.axis.clone_from(&axis.sort);
                let along = self.lines_along(place, curves, &axis);
                let view = View {
                    book: &self.book,
                    done: &self.done,
                };
                let lines: Vec<Result<Line<'_>, Words>> = along
                    .iter()
                    .map(|typed| {
                        let typed = typed.as_ref().map_err(Clone::clone)?;
                        let program = Program::new(typed, &view, own.id, "").ok_or("this formula has a fault")?;
                        Ok(Line { typed, program })
                    })
                    .collect();
                made.trails = curves
                    .iter()
                    .zip(&lines)
                    .map(|(formula, line)| self.trail(own, formula, line, &axis, item, places))
                    .collect();
                made.meetings = self.meetings(&made.trails, &lines, &axis, item);
                self.work_where_met(&mut made, &lines, &axis, item);
            }
            Err(why) => made.refused = Some(why),
        }
        Some(made)
    }

    /// The ends of a plot, in the unit of the one that has one.
    fn axis<'a>(
        &self,
        place: usize,
        own: &Sheet,
        name: &'a Name,
        (from, to): (&Formula, &Formula),
        item: usize,
    ) -> Result<Axis<'a>, Words> {
        let asking = Asking::new(&self.book, &self.settlement.sorts, place);
        let checked = |formula: &Formula, unit: Option<&Unit>| {
            let target = Target {
                unit: unit.cloned(),
                ..Target::default()
            };
            sound(formula, check::formula(&formula.tree, &formula.text, &target, &asking))
        };
        let unit_of = |typed: &Typed| match &typed.sort {
            Sort::Quantity { unit, .. } => Some(unit.clone()),
            _ => None,
        };
        let first = checked(from, None)?;
        // Zero needs no unit beside an end that has one.
        let (unit, sort) = match unit_of(&first).filter(|unit| !unit.is_plain()) {
            Some(unit) => (unit, first.sort.clone()),
            None => {
                let last = checked(to, None)?;
                (unit_of(&last).ok_or("the ends are no numbers")?, last.sort)
            }
        };
        let unit = Some(&unit).filter(|unit| !unit.is_plain());
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        let end = |typed: Typed| -> Result<f64, Words> {
            let program = Program::new(&typed, &view, own.id, "").ok_or("an end has a fault")?;
            match program.item(item).outcome {
                Outcome::Blank(why) => Err((&*why).into()),
                Outcome::Fault(fault) => Err(fault.message.clone()),
                value => {
                    let number = value.as_number().ok_or("the ends are no numbers")?;
                    Ok(number.to_f64())
                }
            }
        };
        let is_plain = unit_of(&first).is_some_and(|unit| unit.is_plain());
        let a = match (is_plain, unit) {
            (true, Some(_)) => match end(first)? {
                0.0 => 0.0,
                _ => end(checked(from, unit)?)?,
            },
            _ => end(checked(from, unit)?)?,
        };
        let b = end(checked(to, unit)?)?;
        Ok(Axis {
            name,
            sort,
            unit: unit.cloned().unwrap_or_else(Unit::plain),
            low: a.min(b),
            high: a.max(b),
        })
    }

    /// What works a line of a plot.
    fn bander(&self) -> Bander<'_> {
        Bander {
            workbook: &self.workbook,
            book: &self.book,
            settlement: &self.settlement,
            reach: &self.reach,
            done: &self.done,
        }
    }

    fn trail(
        &self,
        own: &Sheet,
        formula: &Formula,
        line: &Result<Line<'_>, Words>,
        axis: &Axis<'_>,
        item: usize,
        places: usize,
    ) -> Trail {
        let mut trail = Trail {
            text: formula.text.to_string(),
            sort: Sort::Unknown,
            points: Vec::with_capacity(places),
            band: Vec::new(),
            regions: Vec::new(),
            missing: None,
        };
        let Line { typed, program } = match line {
            Ok(line) => line,
            Err(why) => {
                trail.missing = Some(why.clone());
                return trail;
            }
        };
        trail.sort.clone_from(&typed.sort);
        let bander = self.bander();
        let line = along::places(places, &program.bends(item), &mut |places| {
            let worked = bander.along(program, item, places);
            (0..places.len()).map(|place| worked.at(place)).collect()
        });
        // A band is drawn coarser than its line.
        let band = bander.beside_line((typed, program), own, item, places.div_ceil(4));
        let band = band.into_iter();
        trail.band = band.map(|(place, low, high)| (axis.at(place), low, high)).collect();
        for (place, outcome) in line {
            let at = axis.at(place);
            match outcome {
                Outcome::Blank(why) => trail.missing = Some((&*why).into()),
                Outcome::Fault(fault) => trail.missing = Some(fault.message.clone()),
                Outcome::Value(Value::Text(word)) => match trail.regions.last_mut() {
                    Some((_, to, last)) if *last == word => *to = at,
                    _ => trail.regions.push((at, at, word)),
                },
                value => trail
                    .points
                    .extend(value.as_number().map(|number| (at, number.to_f64()))),
            }
        }
        trail
    }

    /// Works every line where two of them meet too: what is read there is no value from beside it.
    fn work_where_met(&self, made: &mut Plot, lines: &[Result<Line<'_>, Words>], axis: &Axis<'_>, item: usize) {
        let mut met: Vec<f64> = made.meetings.iter().map(|met| met.at).collect();
        met.sort_by(f64::total_cmp);
        met.dedup();
        if met.is_empty() {
            return;
        }
        let places: Vec<f64> = met.iter().map(|at| axis.share(*at)).collect();
        let bander = self.bander();
        for (trail, line) in made.trails.iter_mut().zip(lines) {
            let Ok(line) = line else { continue };
            if trail.points.is_empty() {
                continue;
            }
            let worked = bander.along(&line.program, item, &places);
            for (number, at) in met.iter().enumerate() {
                let value = finite(&worked.at(number));
                let place = trail.points.partition_point(|(x, _)| *x < *at);
                let is_there = trail.points.get(place).is_some_and(|(x, _)| *x == *at);
                if let Some(value) = value.filter(|_| !is_there) {
                    trail.points.insert(place, (*at, value));
                }
            }
        }
    }

    /// Where two lines of the same unit meet, by rising place.
    fn meetings(
        &self,
        trails: &[Trail],
        lines: &[Result<Line<'_>, Words>],
        axis: &Axis<'_>,
        item: usize,
    ) -> Vec<Meeting> {
        let bander = self.bander();
        let drawn: Vec<(usize, &Trail, &Program<'_>)> = trails
            .iter()
            .zip(lines)
            .enumerate()
            .filter(|(_, (trail, _))| !trail.points.is_empty())
            .filter_map(|(at, (trail, line))| Some((at, trail, &line.as_ref().ok()?.program)))
            .collect();
        let mut found = Vec::new();
        for (first, (one, trail, program)) in drawn.iter().enumerate() {
            for (other, beside, second) in drawn.iter().skip(first + 1) {
                if trail.unit() != beside.unit() {
                    continue;
                }
                let points = trail.points.iter().chain(&beside.points);
                let mut places: Vec<f64> = points.map(|(x, _)| axis.share(*x)).collect();
                places.sort_by(f64::total_cmp);
                places.dedup();
                let met = along::meetings(&places, &mut |places| {
                    let (first, second) = (bander.along(program, item, places), bander.along(second, item, places));
                    (0..places.len())
                        .map(|place| (finite(&first.at(place)), finite(&second.at(place))))
                        .collect()
                });
                found.extend(met.into_iter().map(|(place, value)| Meeting {
                    lines: (*one, *other),
                    at: axis.at(place),
                    value,
                }));
            }
        }
        found.sort_by(|a, b| a.at.total_cmp(&b.at));
        found
    }

    /// The lines of a plot. Those of one sort share the unit of the first of them, whatever each is written in: they share a scale.
    fn lines_along(&self, place: usize, curves: &[Formula], axis: &Axis<'_>) -> Vec<Result<Typed, Words>> {
        let unit_of = |line: &Typed| match &line.sort {
            Sort::Quantity { unit, .. } => Some(unit.clone()),
            _ => None,
        };
        let mut lines: Vec<Result<Typed, Words>> = Vec::with_capacity(curves.len());
        for formula in curves {
            let line = self.along(place, formula, axis, None);
            let own = line.as_ref().ok().and_then(unit_of);
            let first = own.and_then(|own| {
                let mut before = lines.iter().flatten().filter_map(unit_of);
                let first = before.find(|first| conversion(&own, first).is_ok())?;
                (first.text != own.text).then_some(first)
            });
            let shared = first.and_then(|unit| self.along(place, formula, axis, Some(unit)).ok());
            lines.push(shared.map_or(line, Ok));
        }
        lines
    }

    /// A line as a formula whose variable is the source of doubt `bands::AXIS`, between the ends of the plot. The name of a curve
    /// stands for the curve at the variable. `unit`: what it is brought to.
    fn along(&self, place: usize, formula: &Formula, axis: &Axis<'_>, unit: Option<Unit>) -> Result<Typed, Words> {
        let asking = Asking::new(&self.book, &self.settlement.sorts, place);
        let expr = |node: Node| Expr {
            node,
            span: formula.tree.span,
        };
        let called = match &formula.tree.node {
            Node::Name(name) if check::Scope::curve(&asking, name).is_some() => Some(expr(Node::Call {
                name: name.clone(),
                name_span: formula.tree.span,
                arguments: vec![expr(Node::Name(axis.name.clone()))],
            })),
            _ => None,
        };
        let tree = called.as_ref().unwrap_or(&formula.tree);
        let target = Target {
            unit,
            ..Target::default()
        };
        let variable = (axis.name, &axis.unit);
        let mut typed = sound(formula, check::along(tree, &formula.text, variable, &target, &asking))?;
        let end = |end: f64| Number::from_f64(end).map_err(|_| "an end of the plot is too large".to_owned());
        let (low, high) = (end(axis.low)?, end(axis.high)?);
        typed.op = typed.op.map(|op| Op::Let {
            local: 0,
            value: Box::new(Op::Toleranced(Box::new(Toleranced {
                index: 0,
                nominal: low,
                low: Op::Number(low),
                high: Op::Number(high),
                published: false,
            }))),
            body: Box::new(op),
        });
        Ok(typed)
    }
}

/// A checked formula without errors, or what is wrong with it.
fn sound(formula: &Formula, typed: Typed) -> Result<Typed, Words> {
    let read = if formula.faulty {
        syntax::parse(&formula.text).1
    } else {
        Vec::new()
    };
    match read.iter().chain(&typed.faults).find(|fault: &&Fault| fault.is_error()) {
        Some(fault) => Err(fault.message.clone()),
        None => Ok(typed),
    }
}

#[cfg(test)]
#[allow(clippy::panic, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::workbook::text;

    const TEXT: &str = "polepair 1
sheet drive
  given n_s = 1500 r/min : synchronous speed
  curve T_L(n : shaft speed) in N·m through (0 r/min, 30 N·m), (1500 r/min, 90 N·m)
  plot T_L for n from 0 r/min to n_s \"Load\"
";

    /// The ends of the plot are points of the curve; the middle of a straight line between two points is their mean.
    #[test]
    fn a_plot_goes_from_end_to_end() {
        for ends in ["0 r/min to n_s", "0 to n_s", "n_s to 0 r/min"] {
            let text = TEXT.replace("0 r/min to n_s", ends);
            let plots = Engine::new(text::read(&text)).plots("drive", 0, 3);
            assert_eq!(plots[0].title, "Load");
            assert!(matches!(&plots[0].axis, Sort::Quantity { unit, .. } if &*unit.text == "r/min"));
            let trail = &plots[0].trails[0];
            assert_eq!(trail.points, [(0.0, 30.0), (750.0, 60.0), (1500.0, 90.0)], "{ends}");
            assert_eq!((trail.unit(), trail.band.len()), ("N·m", 0));
        }
    }

    /// `region` names where a speed lies between those of breakdown and of rated load.
    #[test]
    fn words_of_a_plot_are_regions() {
        let text = TEXT.replace("plot T_L for", "plot T_L, region(n, n_s, 1200 r/min, 1450 r/min) for");
        let plots = Engine::new(text::read(&text)).plots("drive", 0, 6);
        let regions = &plots[0].trails[1].regions;
        let words: Vec<&str> = regions.iter().map(|(_, _, word)| &**word).collect();
        assert_eq!(words, ["locked rotor", "past breakdown", "overload", "running"]);
        // From breakdown to rated load, whatever places are worked: a hundred-thousandth of the axis is 0.015 r/min.
        let (from, to, _) = regions[2];
        assert!(
            (from - 1200.0).abs() < 0.05 && (to - 1450.0).abs() < 0.05,
            "{from} {to}"
        );
    }

    /// A peak of 2 r/min between two places of twenty, given by points, and one made by a condition: both are drawn to their top.
    #[test]
    fn a_narrow_peak_is_drawn() {
        let peak = "  curve T_p(n : shaft speed) in N·m through (0 r/min, 30 N·m), (701 r/min, 30 N·m), (702 r/min, 250 N·m), \
                    (703 r/min, 30 N·m), (1500 r/min, 30 N·m)\n  plot T_p, 90 N·m when 701 r/min < n < 703 r/min, otherwise 20 N·m for";
        let text = TEXT.replace("  plot T_L for", peak);
        let plots = Engine::new(text::read(&text)).plots("drive", 0, 20);
        let tops = plots[0].trails.iter().map(|trail| {
            let values = trail.points.iter().map(|(_, y)| *y);
            values.fold(0.0, f64::max)
        });
        let tops: Vec<f64> = tops.collect();
        assert!((tops[0] - 250.0).abs() < 0.5 && tops[1] == 90.0, "{tops:?}");
    }

    /// A peak that is round is told at its top. By hand: T = 100 N·m − 40 N·m · ((n − 733.7 r/min) / 500 r/min)² is largest at
    /// 733.7 r/min, which no even place of twenty meets.
    #[test]
    fn a_round_peak_is_worked_at_its_top() {
        let round = "plot 100 N·m - 40 N·m * ((n - 733.7 r/min) / (500 r/min))^2 for";
        let text = TEXT.replace("plot T_L for", round);
        let plots = Engine::new(text::read(&text)).plots("drive", 0, 20);
        let points = &plots[0].trails[0].points;
        let top = points.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
        assert!(
            top.is_some_and(|(n, torque)| (n - 733.7).abs() < 0.01 && (torque - 100.0).abs() < 1e-6),
            "{top:?}"
        );
        assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0), "{points:?}");
    }

    /// A parabola's chord over a stretch h leaves y″·h²/8: places come closer only where a line bends.
    #[test]
    fn places_are_added_where_a_line_bends() {
        let text = TEXT.replace("plot T_L for", "plot T_L(1500 r/min) * (n / n_s)^40, T_L for");
        let plots = Engine::new(text::read(&text)).plots("drive", 0, 20);
        let [bent, straight] = plots[0].trails.as_slice() else {
            panic!("{plots:?}")
        };
        assert_eq!(straight.points.len(), 20);
        let behind = bent.points.iter().filter(|(n, _)| *n > 1200.0).count();
        let before = bent.points.iter().filter(|(n, _)| *n < 900.0).count();
        assert!(behind > 15 && before <= 13, "{before} {behind}");
    }

    /// By hand: 30 N·m + 60 N·m · n / (1500 r/min) is 75 N·m at 1125 r/min. A jump over the line is no meeting, lines of other units
    /// and lines that lie on one another have none.
    #[test]
    fn lines_meet_where_they_are_equal() {
        let cases = [
            ("T_L, 75 N·m", vec![(1125.0, 75.0)]),
            ("75 N·m, 75 N·m", vec![]),
            ("T_L, 75 * 1 r/min", vec![]),
            ("T_L, 20 N·m when n < 600 r/min, otherwise 120 N·m", vec![]),
            // Equal at a place that is worked: at 750 r/min, the middle of 21 places.
            ("60 N·m, 2 N·m * (n / (50 r/min)) + 30 N·m", vec![(750.0, 60.0)]),
            ("2 N·m * (n / (50 r/min)) + 30 N·m, 60 N·m", vec![(750.0, 60.0)]),
            // Whatever unit each is written in: 75 N·m over 1.355 817 948 331 4 N·m to the lbf·ft (NIST SP 811 B.8).
            ("T_L, 55.317161195795 lb-ft", vec![(1125.0, 75.0)]),
            ("55.317161195795 lb-ft, T_L", vec![(1125.0, 55.317161196)]),
            // Equal at the very end only, as two curves that end at no torque.
            ("90 N·m, 2 N·m * (n / (50 r/min)) + 30 N·m", vec![]),
        ];
        for (lines, expected) in cases {
            let text = TEXT.replace("plot T_L for", &format!("plot {lines} for"));
            let plots = Engine::new(text::read(&text)).plots("drive", 0, 21);
            let met: Vec<(f64, f64)> = plots[0].meetings.iter().map(|met| (met.at, met.value)).collect();
            assert_eq!(met.len(), expected.len(), "{lines}: {met:?}");
            for (met, expected) in met.iter().zip(&expected) {
                assert!(
                    (met.0 - expected.0).abs() < 1e-4 && (met.1 - expected.1).abs() < 1e-6,
                    "{lines}: {met:?}"
                );
            }
        }
    }

    /// T = T_1 · (n / n_1)² by hand: at 1500 r/min, with T_1 = 50 N·m ± 10 % and n_1 = 1500 r/min ± 100 r/min, from
    /// 45 · (1500/1600)² = 39.55 N·m to 55 · (1500/1400)² = 63.14 N·m; at standstill nothing is off.
    #[test]
    fn a_line_that_rests_on_tolerances_has_a_band() {
        let text = "polepair 1
sheet drive
  given T_1 = 50 N·m ± 10 % : torque
  given n_1 = 1500 r/min ± 100 r/min : shaft speed
  given n_2 = 750 r/min : shaft speed
  plot T_1 * (n / n_1)^2, T_1 * (n_2 / n_1), n * (1 N·m) / (1 r/min) for n from 0 r/min to 1500 r/min
";
        let plots = Engine::new(text::read(text)).plots("drive", 0, 9);
        let [square, flat, sure] = plots[0].trails.as_slice() else {
            panic!("{plots:?}")
        };
        assert_eq!(square.points.last(), Some(&(1500.0, 50.0)));
        let (at, low, high) = square.band[square.band.len() - 1];
        assert!(
            (at, low.round(), high.round()) == (1500.0, 40.0, 63.0),
            "{:?}",
            square.band
        );
        assert!(
            (low - 39.550_781_25).abs() < 1e-9 && (high - 63.137_755_102).abs() < 1e-6,
            "{low} {high}"
        );
        assert_eq!(square.band[0], (0.0, 0.0, 0.0));
        // The same sources at every place: 45 · 750/1600 and 55 · 750/1400.
        assert!(
            flat.band
                .iter()
                .all(|(_, low, high)| (low - 21.093_75).abs() < 1e-9 && (high - 29.464_286).abs() < 1e-5)
        );
        assert!(sure.band.is_empty());
    }

    #[test]
    fn what_cannot_be_drawn_says_why() {
        for (line, part) in [
            ("plot T_L for n from 0 r/min to 5 kW", "kW"),
            ("plot T_L, T_L(5 kW) for n from 0 r/min to n_s", "kW"),
            ("plot T_L, (2 * for n from 0 r/min to n_s", ""),
            ("plot T_L, q * n for n from 0 r/min to n_s", "q"),
        ] {
            let text = TEXT.replace("plot T_L for n from 0 r/min to n_s", line);
            let plots = Engine::new(text::read(&text)).plots("drive", 0, 3);
            let Some(plot) = plots.first() else { continue };
            let why = plot.refused.clone().or_else(|| plot.trails.last()?.missing.clone());
            assert!(why.as_ref().is_some_and(|why| why.contains(part)), "{line}: {plot:?}");
        }
    }
}
