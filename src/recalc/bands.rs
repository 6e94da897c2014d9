//! Bands: how far a result may be off because of the tolerances of the inputs it rests on.
//!
//! For: lower and upper limit of each worked cell, which source causes how much of it, and whether a check can be told.
//! Always: every `±` is one source wherever it is used again. Where a result rises or falls steadily with each source, which is
//! looked at in even steps from limit to limit, its limits are those at two common corners of all sources; else they are the
//! outermost of shared draws from a fixed seed and of what is reached by climbing from there.
//! Not known here: how a band is shown.

use std::collections::hash_map::DefaultHasher;
use std::collections::{BTreeSet, HashMap};
use std::hash::{Hash, Hasher};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;

use super::book::{Book, Entry, Sheet};
use super::judge::{self, Limit};
use super::literals::Literals;
use super::reach::{Link, Reach};
use super::results::{Band, Caused, How};
use super::settle::{Settled, Settlement, Slot};
use super::waves::{Done, View};
use crate::language::check::{Op, QuantityId, Typed};
use crate::language::syntax::Comparison;
use crate::language::work::{Asked, Outcome, Points, Program, Samples, draws, finite, source};
use crate::quantity::Number;
use crate::workbook::{Form, Workbook};

/// Draws for a cell of a worked sheet, and for one of a list.
const SHEET_DRAWS: usize = 10_000;
const LIST_DRAWS: usize = 1_000;

/// Sources up to which all corners are looked at, not the outermost two alone.
const ALL_CORNERS: usize = 5;

/// Sources beyond which only draws are taken.
const MOST_SOURCES: usize = 64;

/// Draws inside, which show where a result does not go steadily.
const PROBES: usize = 24;

/// Even steps from limit to limit of a source alone, an even number: a peak between two limits is missed where it is narrower.
const STEPS: usize = 16;

/// Rounds of climbing from the outermost draw, how wide the first is, and the places beside it in each; every round is half as wide
/// as the one before. Of few sources the draws lie close together, so that the outermost one is near the limit already.
const ROUNDS: (usize, f64) = (6, 1.0);
const ROUNDS_OF_FEW: (usize, f64) = (2, 0.125);
const FEW: usize = 3;
const BESIDE: usize = 8;

/// Bytes of stack for a cell that waits for another one.
const RED_ZONE: usize = 512 * 1024;
const MORE_STACK: usize = 8 * 1024 * 1024;

/// What is known of a cell that rests on tolerances.
#[derive(Clone, Debug)]
pub(super) struct Spread {
    /// The sources, in order.
    pub sources: Arc<[u64]>,
    /// Its limits; `None` for what is no number, and where it has no value somewhere between the limits.
    pub band: Option<Arc<Band>>,
    /// Why there is none.
    pub why: Option<Arc<str>>,
    /// Another one as soon as a formula on the way is.
    stamp: u64,
}

impl Spread {
    /// Why a value that rests on tolerances has no limits, in words.
    pub fn without_band(&self) -> Option<String> {
        let why = self.why.as_ref()?;
        Some(format!("no band: somewhere within the tolerances {why}"))
    }
}

impl PartialEq for Spread {
    fn eq(&self, other: &Spread) -> bool {
        self.stamp == other.stamp && self.sources == other.sources && self.band == other.band && self.why == other.why
    }
}

/// What a function gives at the corners of its sources.
struct Cornered {
    /// Whether it goes steadily with each source, so that its limits are those of two corners.
    steady: bool,
    /// The outermost of what was looked at.
    ends: (f64, f64),
    /// The outermost of what each source gives alone.
    alone: Vec<(f64, f64)>,
    /// Its value.
    nominal: f64,
}

/// A number at each point, or why there is none somewhere.
type AtPoints<'a> = dyn Fn(&Points) -> Result<Vec<f64>, Arc<str>> + 'a;

/// Sheet, name and, where it is that of one item, item of a source.
type Named = (Arc<str>, Arc<str>, Option<Arc<str>>);

/// Draws of cells that are worked already.
pub(super) type Drawn = Mutex<HashMap<(QuantityId, usize), Samples>>;

/// What is drawn so far; a thread that broke off leaves nothing half done in it.
fn held(drawn: &Drawn) -> MutexGuard<'_, HashMap<(QuantityId, usize), Samples>> {
    drawn.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Works bands from what is worked so far.
pub(super) struct Bander<'a> {
    pub workbook: &'a Workbook,
    pub book: &'a Book,
    pub settlement: &'a Settlement,
    pub reach: &'a Reach,
    pub done: &'a [Done],
}

/// A place from end to end, and the limits there.
pub(super) type Outermost = (f64, f64, f64);

/// The source that stands for the variable of a plot; no formula of a quantity has it.
pub(super) const AXIS: u64 = u64::MAX << 8;

/// Draws beside the corners around each place of a line, and in their stead where there are too many.
const AROUND: usize = 24;
const AROUND_MANY: usize = 96;

/// Places from 0 to 1, each so many times.
fn spaced(places: usize, times: usize) -> Arc<[f64]> {
    #[allow(clippy::cast_precision_loss)] // A few hundred places.
    let place = |point: usize| (point / times) as f64 / (places.max(2) - 1) as f64;
    (0..places * times).map(place).collect()
}

/// Where sources stand around one place of a line: at their values, each at its limits, at all corners, at some draws.
fn beside(sources: &[u64]) -> Vec<(u64, Vec<f64>)> {
    let corners = if sources.len() <= ALL_CORNERS {
        1 << sources.len()
    } else {
        0
    };
    let around = if corners > 0 { AROUND } else { AROUND_MANY };
    let turns = sources.iter().enumerate().map(|(at, source)| {
        let alone = (0..sources.len()).flat_map(|other| if other == at { [-1.0, 1.0] } else { [0.0, 0.0] });
        let corners = (0..corners).map(|corner| if corner >> at & 1 == 1 { 1.0 } else { -1.0 });
        let turns = std::iter::once(0.0).chain(alone).chain(corners);
        (*source, turns.chain(draws(*source, around).iter().copied()).collect())
    });
    turns.collect()
}

/// Which formula a source stands in; the sources of a formula follow each other.
fn origin(id: QuantityId, slot: usize) -> u64 {
    (u64::from(id.0) << 36) | ((slot as u64 & 0xFFF_FFFF) << 8)
}

impl<'a> Bander<'a> {
    /// Whether any cell of a node may rest on a tolerance.
    pub fn concerns(&self, id: QuantityId) -> bool {
        let own = self
            .settlement
            .get(id)
            .is_some_and(|settled| settled.slots.iter().any(|slot| slot.typed.tolerances > 0));
        own || self.reach.reads(id).iter().any(|(read, _, _)| {
            self.done
                .get(read.0 as usize)
                .is_some_and(|done| !done.spreads.is_empty())
        })
    }

    fn slot(&self, id: QuantityId, item: usize) -> Option<(usize, &'a Slot, &'a Settled)> {
        let settled = self.settlement.get(id)?;
        if settled.line.is_some() || settled.looped.is_some() {
            return None;
        }
        let index = settled
            .own
            .get(&item)
            .copied()
            .or_else(|| settled.by_item.get(item).copied().flatten())
            .or(settled.default)?;
        Some((index, settled.slots.get(index)?, settled))
    }

    /// The sources of a cell, and the stamp of the ways they come on.
    fn sources(&self, id: QuantityId, item: usize) -> Option<(Vec<u64>, u64)> {
        let (index, slot, _) = self.slot(id, item)?;
        let sheet = self.book.sheet_of(id)?;
        let mut sources: BTreeSet<u64> = (0..slot.typed.tolerances)
            .map(|at| source(origin(id, index), at))
            .collect();
        let mut stamp = DefaultHasher::new();
        (Arc::as_ptr(&slot.typed) as usize).hash(&mut stamp);
        let reads = self.reach.reads(id).iter();
        let reads = reads.filter(|(_, _, only)| only.is_none_or(|only| only == item));
        self.met(
            sheet,
            item,
            reads.map(|(read, link, _)| (*read, *link)),
            &mut |spread| {
                sources.extend(spread.sources.iter());
                spread.stamp.hash(&mut stamp);
            },
        );
        (!sources.is_empty()).then(|| (sources.into_iter().collect(), stamp.finish()))
    }

    /// What an item meets among the cells it reads that rests on tolerances.
    fn met(
        &self,
        sheet: &Sheet,
        item: usize,
        reads: impl Iterator<Item = (QuantityId, Link)>,
        take: &mut dyn FnMut(&Spread),
    ) {
        for (read, link) in reads {
            let Some(done) = self.done.get(read.0 as usize).filter(|done| !done.spreads.is_empty()) else {
                continue;
            };
            let one = match link {
                Link::Same => Some(item),
                Link::Item(item) => Some(item),
                Link::Before => item.checked_sub(1),
                Link::Case => self
                    .book
                    .sheet_of(read)
                    .and_then(|from| self.book.counterpart(sheet, item, from)),
                Link::Down | Link::Every => {
                    let last = if link == Link::Down { item } else { usize::MAX };
                    done.spreads.range(..=last).for_each(|(_, spread)| take(spread));
                    None
                }
            };
            if let Some(spread) = one.and_then(|item| done.spreads.get(&item)) {
                take(spread);
            }
        }
    }

    /// What a formula gives for an item while the source [`AXIS`] stands at these places, from 0 at its lower end to 1 at its upper
    /// one.
    pub fn along(&self, program: &Program<'_>, item: usize, places: &[f64]) -> Samples {
        let points = Points::Set(places.len(), HashMap::from([(AXIS, places.into())]));
        program.over(item, AXIS, &points, &Cellwise::new(self, &points, None))
    }

    /// The outermost that a formula gives over the corners and draws of the tolerances it rests on, at so many even places of
    /// [`AXIS`]: place, lower, upper limit. Empty where it rests on none.
    pub fn beside_line(
        &self,
        (typed, program): (&Typed, &Program<'_>),
        sheet: &Sheet,
        item: usize,
        places: usize,
    ) -> Vec<Outermost> {
        let mut sources = BTreeSet::new();
        let reads = super::reach::links(self.book, sheet, typed, &mut BTreeSet::new());
        self.met(sheet, item, reads.into_iter(), &mut |spread| {
            sources.extend(spread.sources.iter())
        });
        if sources.is_empty() {
            return Vec::new();
        }
        let sources: Vec<u64> = sources.into_iter().collect();
        let places = places.max(2);
        let beside = beside(&sources);
        let turns = beside.first().map_or(1, |(_, turns)| turns.len());
        let mut set: HashMap<u64, Arc<[f64]>> = beside
            .into_iter()
            .map(|(source, turns)| (source, turns.repeat(places).into()))
            .collect();
        set.insert(AXIS, spaced(places, turns));
        let points = Points::Set(places * turns, set);
        let around = program.over(item, AXIS, &points, &Cellwise::new(self, &points, None));
        let band = (0..places).filter_map(|place| {
            let at = (place * turns..(place + 1) * turns).map(|point| finite(&around.at(point)));
            let values: Option<Vec<f64>> = at.collect();
            let (low, high) = outermost(values?.into_iter());
            #[allow(clippy::cast_precision_loss)] // A few hundred places.
            let place = place as f64 / (places - 1) as f64;
            Some((place, low, high))
        });
        band.collect()
    }

    /// What is known of these cells of a node; those that rest on nothing are left out.
    pub fn spreads(&self, id: QuantityId, items: &[usize], drawn: &Drawn) -> Vec<(usize, Spread)> {
        let (Some(entry), Some(sheet), Some(settled)) =
            (self.book.entry(id), self.book.sheet_of(id), self.settlement.get(id))
        else {
            return Vec::new();
        };
        if entry.fixed.is_some() || entry.copied.is_some() {
            return Vec::new();
        }
        let list = sheet.form == Form::List;
        let literals = entry.column.map(|_| Literals::new(self.workbook, entry, settled));
        let formed: Vec<usize> = items
            .iter()
            .copied()
            .filter(|item| {
                settled.own.contains_key(item)
                    || literals.as_ref().is_none_or(|literals| literals.cell(*item).is_none())
            })
            .collect();
        if list && formed.len() > 32 {
            return formed
                .into_par_iter()
                .filter_map(|item| Some((item, self.spread(id, sheet, item, None)?)))
                .collect();
        }
        let drawn = if list { None } else { Some(drawn) };
        formed
            .into_iter()
            .filter_map(|item| Some((item, self.spread(id, sheet, item, drawn)?)))
            .collect()
    }

    fn spread(&self, id: QuantityId, sheet: &Sheet, item: usize, drawn: Option<&Drawn>) -> Option<Spread> {
        let (sources, stamp) = self.sources(id, item)?;
        let (index, slot, _) = self.slot(id, item)?;
        let view = View {
            book: self.book,
            done: self.done,
        };
        let nominal = self.done.get(id.0 as usize)?.cells.get(item).and_then(finite);
        let mut spread = Spread {
            sources: sources.into(),
            band: None,
            why: None,
            stamp,
        };
        let (Some(_), Some(program)) = (nominal, Program::new(&slot.typed, &view, sheet.id, "")) else {
            return Some(spread);
        };
        let worked = |points: &Points| {
            let asked = Cellwise::new(self, points, drawn);
            let samples = program.over(item, origin(id, index), points, &asked);
            if let (Points::Draws(_), Some(drawn)) = (points, drawn) {
                held(drawn).insert((id, item), samples.clone());
            }
            numbers(&samples, points.count())
        };
        let count = if sheet.form == Form::List {
            LIST_DRAWS
        } else {
            SHEET_DRAWS
        };
        match self.limits(&spread.sources, count, &worked) {
            Ok(band) => spread.band = Some(Arc::new(band)),
            Err(why) => spread.why = Some(why),
        }
        Some(spread)
    }

    /// The limits of a function of sources.
    fn limits(&self, sources: &[u64], count: usize, worked: &AtPoints<'_>) -> Result<Band, Arc<str>> {
        if sources.len() > MOST_SOURCES {
            let (low, high) = climbed(sources, &worked(&Points::Draws(count))?, worked)?;
            return Ok(Band {
                low,
                high,
                how: How::Draws,
                caused: Vec::new(),
            });
        }
        let mut found = self.cornered(sources, worked)?;
        if !found.steady {
            let drawn = worked(&Points::Draws(count))?;
            let ends = climbed(sources, &drawn, worked)?;
            found.ends = (found.ends.0.min(ends.0), found.ends.1.max(ends.1));
        }
        if let [only] = found.alone.as_mut_slice() {
            *only = found.ends;
        }
        Ok(Band {
            low: found.ends.0,
            high: found.ends.1,
            how: if found.steady { How::Corners } else { How::Draws },
            caused: self.caused(sources, &found.alone, found.nominal),
        })
    }

    /// A function of sources at their corners, at each alone and at some places inside.
    fn cornered(&self, sources: &[u64], worked: &AtPoints<'_>) -> Result<Cornered, Arc<str>> {
        let m = sources.len();
        let corners = if m <= ALL_CORNERS { 1 << m } else { 0 };
        let single = 1 + STEPS * m;
        let total = single + corners + PROBES;
        let places = sources.iter().enumerate().map(|(at, source)| {
            let mut places = vec![0.0; total];
            let mut put = |point: usize, place: f64| {
                if let Some(slot) = places.get_mut(point) {
                    *slot = place;
                }
            };
            for (step, place) in steps().enumerate() {
                put(1 + STEPS * at + step, place);
            }
            for corner in 0..corners {
                put(single + corner, if corner >> at & 1 == 1 { 1.0 } else { -1.0 });
            }
            for (probe, place) in draws(*source, PROBES).iter().enumerate() {
                put(single + corners + probe, *place);
            }
            (*source, Arc::from(places))
        });
        let values = worked(&Points::Set(total, places.collect()))?;
        let value = |point: usize| values.get(point).copied().unwrap_or(f64::NAN);
        let nominal = value(0);
        let size = values.iter().fold(0.0_f64, |size, value| size.max(value.abs()));
        let tiny = size * 1e-12;
        // What a source gives alone, from limit to limit.
        let line = |at: usize| {
            let place = move |step: usize| 1 + STEPS * at + step;
            let (first, second) = (0..STEPS / 2, STEPS / 2..STEPS);
            let before = first.map(move |step| value(place(step)));
            before
                .chain([nominal])
                .chain(second.map(move |step| value(place(step))))
        };
        let alone: Vec<(f64, f64)> = (0..m).map(|at| outermost(line(at))).collect();
        // Which way each source moves it; 0 where it does not, NaN where it turns back.
        let ways: Vec<f64> = (0..m).map(|at| way(line(at), tiny)).collect();
        let mut steady = ways.iter().all(|way| !way.is_nan());
        let mut ends = outermost(values.iter().copied());
        if steady && corners > 0 {
            for (at, expected) in ways.iter().enumerate() {
                for corner in (0..corners).filter(|corner| corner >> at & 1 == 0) {
                    let step = value(single + (corner | 1 << at)) - value(single + corner);
                    // A source that moves nothing alone may move something beside another one.
                    steady &= step.abs() <= tiny || *expected == 0.0 || step.signum() == *expected;
                }
            }
            let reached = outermost((0..corners).map(|corner| value(single + corner)));
            let inside = outermost((0..PROBES).map(|probe| value(single + corners + probe)));
            steady &= inside.0 >= reached.0 - tiny && inside.1 <= reached.1 + tiny;
            steady &= reached.0 <= nominal + tiny && reached.1 >= nominal - tiny;
            if steady {
                ends = reached;
            }
        } else if steady {
            // Two common corners, and each of their neighbours.
            let total = 2 + 2 * m;
            let places = sources.iter().enumerate().map(|(at, source)| {
                let way = ways.get(at).copied().filter(|way| *way != 0.0).unwrap_or(1.0);
                let places: Vec<f64> = (0..total)
                    .map(|point| {
                        let top = point % 2 == 0;
                        let turned = point >= 2 && (point - 2) / 2 == at;
                        if top == turned { -way } else { way }
                    })
                    .collect();
                (*source, Arc::from(places))
            });
            let corners = worked(&Points::Set(total, places.collect()))?;
            let at = |point: usize| corners.get(point).copied().unwrap_or(f64::NAN);
            let (high, low) = (at(0), at(1));
            let inside = outermost(values.iter().copied());
            steady = inside.0 >= low - tiny && inside.1 <= high + tiny;
            steady &= (0..m).all(|source| at(2 + 2 * source) <= high + tiny && at(3 + 2 * source) >= low - tiny);
            ends = if steady {
                (low, high)
            } else {
                let all = outermost(corners.iter().copied());
                (ends.0.min(all.0), ends.1.max(all.1))
            };
        }
        Ok(Cornered {
            steady,
            ends,
            alone,
            nominal,
        })
    }

    /// Which source causes how much: the limits each would give alone, and its part of the sum of squares.
    fn caused(&self, sources: &[u64], alone: &[(f64, f64)], nominal: f64) -> Vec<Caused> {
        let square = |(low, high): &(f64, f64)| {
            let (from, to) = outermost([*low, *high, nominal].into_iter());
            (to - from) * (to - from)
        };
        let whole: f64 = alone.iter().map(square).sum();
        let mut out: Vec<Caused> = sources
            .iter()
            .zip(alone)
            .filter_map(|(source, ends)| {
                let (sheet, name, item) = self.named(*source)?;
                let (low, high) = outermost([ends.0, ends.1, nominal].into_iter());
                Some(Caused {
                    sheet,
                    name,
                    item,
                    low,
                    high,
                    part: if whole > 0.0 { square(ends) / whole } else { 0.0 },
                })
            })
            .collect();
        out.sort_by(|a, b| b.part.total_cmp(&a.part));
        out
    }

    /// Where a source stands.
    fn named(&self, source: u64) -> Option<Named> {
        let id = QuantityId(u32::try_from(source >> 36).ok()?);
        let slot = usize::try_from(source >> 8 & 0xFFF_FFFF).ok()?;
        let (entry, sheet, settled) = (self.book.entry(id)?, self.book.sheet_of(id)?, self.settlement.get(id)?);
        let own = settled.own.iter().find(|(_, at)| **at == slot).map(|(item, _)| *item);
        let item = own.or_else(|| settled.by_item.iter().position(|at| *at == Some(slot)));
        Some((
            sheet.name.clone(),
            entry.name.clone(),
            item.and_then(|item| sheet.items.names.get(item).cloned()),
        ))
    }

    /// Whether a condition that rests on tolerances holds everywhere, nowhere, or in part of the corners and draws; `None` where
    /// it rests on none or cannot be told.
    pub fn in_doubt(&self, entry: &Entry, sheet: &Sheet, slot: &Slot, item: usize, drawn: &Drawn) -> bool {
        let (Some((sources, _)), Some(op)) = (self.sources(entry.id, item), &slot.typed.op) else {
            return false;
        };
        let view = View {
            book: self.book,
            done: self.done,
        };
        let Some(program) = Program::new(&slot.typed, &view, sheet.id, "") else {
            return false;
        };
        let list = sheet.form == Form::List;
        let drawn = if list { None } else { Some(drawn) };
        let truths = |points: &Points, op: &Op| {
            let asked = Cellwise::new(self, points, drawn);
            let samples = program.part_over(op, item, origin(entry.id, 0), points, &asked);
            let answers = (0..points.count()).map(|point| samples.at(point).as_truth());
            let (mut yes, mut no) = (0usize, 0usize);
            for answer in answers {
                match answer {
                    Some(true) => yes += 1,
                    Some(false) => no += 1,
                    None => {}
                }
            }
            yes > 0 && no > 0
        };
        if sources.len() <= EXACT_CHECK {
            let corners = 1usize << sources.len();
            let places = sources.iter().enumerate().map(|(at, source)| {
                let mut places: Vec<f64> = (0..corners)
                    .map(|corner| if corner >> at & 1 == 1 { 1.0 } else { -1.0 })
                    .collect();
                places.push(0.0);
                places.extend(draws(*source, PROBES).iter());
                (*source, Arc::from(places))
            });
            if truths(&Points::Set(corners + 1 + PROBES, places.collect()), op) {
                return true;
            }
        }
        // Draws take long where physics is behind a check, and tell nothing new of sides that go steadily.
        let at = Place {
            program: &program,
            item,
            origin: origin(entry.id, 0),
            sources: &sources,
        };
        self.certain(&at, op).is_none() && truths(&Points::Draws(if list { LIST_DRAWS } else { SHEET_DRAWS }), op)
    }

    /// The least margin of a comparison within the tolerances it rests on, as it is told; `None` where it rests on none or has none
    /// somewhere.
    pub fn least_margin(
        &self,
        entry: &Entry,
        sheet: &Sheet,
        slot: &Slot,
        item: usize,
        drawn: &Drawn,
    ) -> Option<String> {
        let (sources, _) = self.sources(entry.id, item)?;
        let Some(Op::Compare(first, rest)) = &slot.typed.op else {
            return None;
        };
        let view = View {
            book: self.book,
            done: self.done,
        };
        let program = Program::new(&slot.typed, &view, sheet.id, "")?;
        let is_list = sheet.form == Form::List;
        let (count, drawn) = if is_list {
            (LIST_DRAWS, None)
        } else {
            (SHEET_DRAWS, Some(drawn))
        };
        let mut least = f64::INFINITY;
        for Limit { value, limit, above } in judge::limits(first, rest)? {
            let shares = |points: &Points| {
                let asked = Cellwise::new(self, points, drawn);
                let side = |op| {
                    let samples = program.part_over(op, item, origin(entry.id, 0), points, &asked);
                    numbers(&samples, points.count())
                };
                let (values, limits) = (side(value)?, side(limit)?);
                let share = |(value, limit): (&f64, &f64)| {
                    let good = if above { value - limit } else { limit - value };
                    let share = good / limit.abs();
                    share.is_finite().then_some(share)
                };
                let shares: Option<Vec<f64>> = values.iter().zip(&limits).map(share).collect();
                shares.ok_or_else(|| Arc::from("the limit is zero"))
            };
            least = least.min(self.limits(&sources, count, &shares).ok()?.low);
        }
        judge::in_percent(Number::from_f64(least).ok()?)
    }

    /// Whether a condition holds everywhere or nowhere, where its sides go steadily with each source; `None` where that does not
    /// tell.
    fn certain<'o>(&self, at: &Place<'_, 'o>, op: &'o Op) -> Option<bool> {
        let each = |parts: &'o [Op], decides: bool| {
            let mut told = Some(!decides);
            for part in parts {
                match self.certain(at, part) {
                    Some(holds) if holds == decides => return Some(decides),
                    Some(_) => {}
                    None => told = None,
                }
            }
            told
        };
        match op {
            Op::And(parts) => each(parts, false),
            Op::Or(parts) => each(parts, true),
            Op::Not(part) => self.certain(at, part).map(|holds| !holds),
            Op::Compare(first, rest) => {
                let mut left = &**first;
                let mut told = Some(true);
                for (how, right) in rest {
                    match self.compared(at, left, *how, right) {
                        Some(false) => return Some(false),
                        Some(true) => {}
                        None => told = None,
                    }
                    left = right;
                }
                told
            }
            _ => None,
        }
    }

    fn compared<'o>(&self, at: &Place<'_, 'o>, left: &'o Op, how: Comparison, right: &'o Op) -> Option<bool> {
        if at.sources.len() > MOST_SOURCES {
            return None;
        }
        let difference = |points: &Points| {
            let asked = Cellwise::new(self, points, None);
            let side = |op| {
                let samples = at.program.part_over(op, at.item, at.origin, points, &asked);
                numbers(&samples, points.count())
            };
            let (left, right) = (side(left)?, side(right)?);
            Ok(left.iter().zip(&right).map(|(left, right)| left - right).collect())
        };
        let found = self.cornered(at.sources, &difference).ok()?;
        let (low, high) = found.ends;
        // What comes near to equal is left to the comparison itself.
        let near = NEAR * (high - low);
        if found.steady && low > near {
            Some(matches!(
                how,
                Comparison::Greater | Comparison::GreaterEqual | Comparison::NotEqual
            ))
        } else if found.steady && high < -near {
            Some(matches!(
                how,
                Comparison::Less | Comparison::LessEqual | Comparison::NotEqual
            ))
        } else {
            None
        }
    }
}

/// Where a condition is worked.
struct Place<'p, 'o> {
    program: &'p Program<'o>,
    item: usize,
    origin: u64,
    sources: &'p [u64],
}

/// The part of a band that passes for no difference.
const NEAR: f64 = 1e-6;

/// Sources up to which all corners of a check are looked at.
const EXACT_CHECK: usize = 8;

/// The places of a source alone, from limit to limit, without its value in the middle.
fn steps() -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_precision_loss)] // A few steps.
    let place = |step: usize| 2.0 * step as f64 / STEPS as f64 - 1.0;
    (0..=STEPS).filter(|step| *step != STEPS / 2).map(place)
}

/// Up or down where it goes one way, 0 where it stays, NaN where it turns back.
fn way(line: impl Iterator<Item = f64>, tiny: f64) -> f64 {
    let (mut rises, mut falls) = (false, false);
    let mut last: Option<f64> = None;
    for value in line {
        if let Some(last) = last {
            rises |= value - last > tiny;
            falls |= last - value > tiny;
        }
        last = Some(value);
    }
    match (rises, falls) {
        (false, false) => 0.0,
        (true, false) => 1.0,
        (false, true) => -1.0,
        (true, true) => f64::NAN,
    }
}

/// The limits of a function that turns back somewhere: the outermost of what was drawn and of what is reached from there, going
/// along each source in ever smaller steps.
fn climbed(sources: &[u64], drawn: &[f64], worked: &AtPoints<'_>) -> Result<(f64, f64), Arc<str>> {
    let start = |sign: f64| {
        let best = drawn
            .iter()
            .enumerate()
            .max_by(|a, b| (sign * a.1).total_cmp(&(sign * b.1)));
        let (point, value) = best.map_or((0, f64::NAN), |(point, value)| (point, *value));
        let place = |source: &u64| draws(*source, drawn.len()).get(point).copied().unwrap_or(0.0);
        Climb {
            sign,
            at: sources.iter().map(place).collect(),
            value,
        }
    };
    let mut climbs = [start(-1.0), start(1.0)];
    let (rounds, mut wide) = if sources.len() <= FEW { ROUNDS_OF_FEW } else { ROUNDS };
    for _ in 0..rounds {
        // Along each source alone, then along all at once and along the best one alone.
        let places: Vec<Vec<f64>> = climbs.iter().flat_map(|climb| climb.beside(wide)).collect();
        let values = together(sources, &places, worked)?;
        let each = BESIDE * sources.len();
        let mut next = Vec::new();
        for (number, climb) in climbs.iter().enumerate() {
            let part = number * each..(number + 1) * each;
            let (Some(places), Some(values)) = (places.get(part.clone()), values.get(part)) else {
                continue;
            };
            next.extend(climb.next(places, values));
        }
        let values = together(sources, &next, worked)?;
        let mut tried = next.into_iter().zip(values);
        for climb in &mut climbs {
            for (place, value) in tried.by_ref().take(2) {
                if climb.sign * value > climb.sign * climb.value {
                    (climb.at, climb.value) = (place, value);
                }
            }
        }
        wide /= 2.0;
    }
    let [low, high] = climbs;
    Ok((low.value, high.value))
}

/// On the way to a limit.
struct Climb {
    /// 1 upward, −1 downward.
    sign: f64,
    /// Where each source stands.
    at: Vec<f64>,
    value: f64,
}

impl Climb {
    /// Places along each source, so wide to both sides.
    fn beside(&self, wide: f64) -> impl Iterator<Item = Vec<f64>> {
        let half = BESIDE / 2;
        (0..self.at.len()).flat_map(move |source| {
            (0..=BESIDE).filter(move |step| *step != half).map(move |step| {
                let mut place = self.at.clone();
                if let Some(own) = place.get_mut(source) {
                    #[allow(clippy::cast_precision_loss)] // A few steps.
                    let off = wide * (step as f64 / half as f64 - 1.0);
                    *own = (*own + off).clamp(-1.0, 1.0);
                }
                place
            })
        })
    }

    /// The best of each source all at once, and the best of all alone.
    fn next(&self, places: &[Vec<f64>], values: &[f64]) -> [Vec<f64>; 2] {
        let mut all = self.at.clone();
        let (mut alone, mut best) = (self.at.clone(), self.value);
        for (source, (places, values)) in places.chunks(BESIDE).zip(values.chunks(BESIDE)).enumerate() {
            let mut own = self.value;
            for (place, value) in places.iter().zip(values) {
                if self.sign * value > self.sign * own {
                    own = *value;
                    if let (Some(to), Some(from)) = (all.get_mut(source), place.get(source)) {
                        *to = *from;
                    }
                }
                if self.sign * value > self.sign * best {
                    best = *value;
                    alone.clone_from(place);
                }
            }
        }
        [all, alone]
    }
}

/// A function of sources at places.
fn together(sources: &[u64], places: &[Vec<f64>], worked: &AtPoints<'_>) -> Result<Vec<f64>, Arc<str>> {
    let at = |source: usize| {
        places
            .iter()
            .map(move |place| place.get(source).copied().unwrap_or(0.0))
    };
    let set = sources
        .iter()
        .enumerate()
        .map(|(number, source)| (*source, at(number).collect()));
    worked(&Points::Set(places.len(), set.collect()))
}

fn outermost(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// Numbers at all points, or why there is none somewhere.
fn numbers(samples: &Samples, count: usize) -> Result<Vec<f64>, Arc<str>> {
    let nothing = |outcome: &Outcome| -> Arc<str> {
        match outcome {
            Outcome::Blank(why) => why.clone(),
            Outcome::Fault(fault) => Arc::from(&*fault.message),
            Outcome::Value(_) => Arc::from("it is no real number"),
        }
    };
    match samples {
        Samples::Real(numbers) => match numbers.iter().all(|number| number.is_finite()) {
            true => Ok(numbers.to_vec()),
            false if numbers.iter().any(|number| number.is_infinite()) => {
                Err(Arc::from("a divisor becomes zero, or a number too large"))
            }
            false => Err(Arc::from(
                "there is no real result, such as the root of a number below zero",
            )),
        },
        Samples::Same(outcome) => match finite(outcome) {
            Some(number) => Ok(vec![number; count]),
            None => Err(nothing(outcome)),
        },
        Samples::Mixed(outcomes) => outcomes
            .iter()
            .map(|outcome| finite(outcome).ok_or_else(|| nothing(outcome)))
            .collect(),
    }
}

/// Cells at the points of one question, each worked once.
struct Cellwise<'a> {
    on: &'a Bander<'a>,
    points: &'a Points,
    held: Drawn,
    drawn: Option<&'a Drawn>,
}

impl<'a> Cellwise<'a> {
    fn new(on: &'a Bander<'a>, points: &'a Points, drawn: Option<&'a Drawn>) -> Cellwise<'a> {
        Cellwise {
            on,
            points,
            held: Drawn::default(),
            drawn: drawn.filter(|_| matches!(points, Points::Draws(_))),
        }
    }

    fn held(&self) -> MutexGuard<'_, HashMap<(QuantityId, usize), Samples>> {
        held(self.drawn.unwrap_or(&self.held))
    }
}

impl Asked for Cellwise<'_> {
    fn samples(&self, quantity: QuantityId, item: usize) -> Option<Samples> {
        self.on.done.get(quantity.0 as usize)?.spreads.get(&item)?;
        let known = self.held().get(&(quantity, item)).cloned();
        if known.is_some() {
            return known;
        }
        let (index, slot, _) = self.on.slot(quantity, item)?;
        let sheet = self.on.book.sheet_of(quantity)?;
        let view = View {
            book: self.on.book,
            done: self.on.done,
        };
        let program = Program::new(&slot.typed, &view, sheet.id, "")?;
        let samples = stacker::maybe_grow(RED_ZONE, MORE_STACK, || {
            program.over(item, origin(quantity, index), self.points, self)
        });
        let mut held = self.held();
        if held.len() * self.points.count() > MOST_HELD {
            held.clear();
        }
        held.insert((quantity, item), samples.clone());
        Some(samples)
    }
}

/// Numbers that are kept at once.
const MOST_HELD: usize = 8_000_000;
