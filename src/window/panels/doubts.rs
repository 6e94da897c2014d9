//! What the reading of a list doubts, beside what the workbook has now.
//!
//! For: the report of the list, the marks of the grid, and the trust that the loads of rows rest on. A look is taken where the session
//! is at work, after each step: at the rows the step reached, or at all.
//! Always: a doubt is settled, and says so, where its value was changed by hand and its rule, asked again, holds no longer, or where
//! its readings were taken as right. A rule that speaks of a value which was typed since is a doubt of its own, and goes when it
//! speaks no longer; what it means for the load is part of the step that made it. Nothing else is changed because of a doubt unless
//! somebody asks for it.
//! Not known here: how a doubt comes about, and drawing.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use rayon::prelude::*;

use crate::fault::{Fault, Words};
use crate::plates::Report;
use crate::plates::again::{List, Raised, Standing};
use crate::plates::list::{BEST_LOAD, given_of, with_trust};
use crate::plates::motor::Other;
use crate::plates::report::DoubtReport;
use crate::plates::tags::Tags;
use crate::plates::trust::{Trust, may_be_right};
use crate::recalc::{QuantityResults, shown};
use crate::session::{Command, Session};
use crate::window::panels::sorts::{self, LEVELS, Sort};
use crate::window::spot::{Field, Spot};
use crate::workbook::change::{Change, Place};
use crate::workbook::text::quoted;
use crate::workbook::{Cell, Role, Statement};

/// What is doubted of a row and stands still.
#[derive(Clone, Debug, Default)]
pub struct RowDoubts {
    /// All of it, in words.
    words: Words,
    /// The same by the quantity that it is about.
    at: Vec<(&'static str, Words)>,
}

impl RowDoubts {
    /// What is doubted at a quantity: all of it at the name of the row and at its load, else what is doubted of the quantity itself.
    pub fn at(&self, name: &str, names_row: bool) -> Option<&Words> {
        if names_row || name == BEST_LOAD {
            return Some(&self.words);
        }
        let (_, words) = self.at.iter().find(|(known, _)| *known == name)?;
        Some(words)
    }

    fn add(&mut self, name: Option<&'static str>, text: &Words) {
        let into = |words: &mut Words, head: &str| {
            let head = if words.is_empty() { head } else { "" };
            *words = std::mem::take(words).and(head).and("\n").then(text);
        };
        into(&mut self.words, "The reading doubts this row:");
        let Some(name) = name else { return };
        if !self.at.iter().any(|(known, _)| *known == name) {
            self.at.push((name, Words::default()));
        }
        if let Some((_, words)) = self.at.iter_mut().find(|(known, _)| *known == name) {
            into(words, "The reading doubts this:");
        }
    }
}

/// A doubt of the report by its place, or one of what was typed since by its row and its place there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// Of the report.
    Read(usize),
    /// Of what was typed since.
    Raised(usize, usize),
}

/// What is to be done comes first: open doubts by their level, among them what was corrected and is not used yet.
fn rank(level: &str, settled: bool, can_use: bool) -> u8 {
    match (settled, level) {
        (false, "error") => 0,
        (true, _) if can_use => 1,
        (false, "warning") => 2,
        (false, _) => 3,
        (true, _) => 4,
    }
}

/// A doubt as it stands.
#[derive(Clone, Copy, Debug)]
pub struct Stands<'a> {
    /// What it says.
    pub doubt: &'a DoubtReport,
    /// Why it is settled, in words.
    pub settled: Option<&'a str>,
    /// What was changed by hand although it stands, in words.
    pub changed: Option<&'a Words>,
    /// The item of the list it is about.
    pub item: Option<usize>,
    /// Its readings are not used for the load, and could be.
    pub can_use: bool,
}

impl Stands<'_> {
    /// Whether something is to be done about it.
    pub fn is_open(&self) -> bool {
        self.settled.is_none() || self.can_use
    }
}

/// What a doubt is among the others.
struct Part {
    rank: u8,
    settled: bool,
    /// The item whose load does not rest on it, though it was corrected.
    usable: Option<usize>,
    /// Its rule and its level, where it is open and worth a step for all of its sort.
    sort: Option<(&'static str, usize)>,
}

/// The doubts in order, counted: kept as they come and go, so that one of many costs no look at all of them.
#[derive(Clone, Debug, Default)]
struct Order {
    /// What is to be done first.
    ranked: BTreeSet<(u8, Which)>,
    /// What was corrected and is not used for the load yet.
    usable: BTreeSet<(usize, Which)>,
    settled: usize,
    /// How many are open, by rule and level.
    open: BTreeMap<&'static str, [usize; LEVELS]>,
}

impl Order {
    fn put(&mut self, which: Which, part: &Part) {
        let _ = self.ranked.insert((part.rank, which));
        self.usable.extend(part.usable.map(|item| (item, which)));
        self.settled += usize::from(part.settled);
        if let Some((rule, level)) = part.sort {
            self.open
                .entry(rule)
                .or_default()
                .get_mut(level)
                .into_iter()
                .for_each(|count| *count += 1);
        }
    }

    fn take(&mut self, which: Which, part: &Part) {
        let _ = self.ranked.remove(&(part.rank, which));
        let _ = part.usable.is_some_and(|item| self.usable.remove(&(item, which)));
        self.settled -= usize::from(part.settled);
        let count = part
            .sort
            .and_then(|(rule, level)| self.open.get_mut(rule)?.get_mut(level));
        count.into_iter().for_each(|count| *count -= 1);
    }
}

/// All doubts as they stand.
#[derive(Clone, Debug, Default)]
pub struct Doubts {
    standing: Vec<Standing>,
    raised: BTreeMap<usize, Arc<[Raised]>>,
    order: Order,
    /// Place of the list among the sheets.
    pub list: Option<usize>,
    /// What stands still, by item of the list.
    pub rows: BTreeMap<usize, Arc<RowDoubts>>,
}

impl Doubts {
    /// Of a report at which nobody has looked again yet.
    pub fn of(report: &Report) -> Doubts {
        let mut doubts = Doubts {
            standing: vec![Standing::default(); report.doubts.len()],
            ..Doubts::default()
        };
        doubts.in_order(report);
        doubts
    }

    /// All of them, what is to be done first.
    pub fn worst_first(&self) -> impl Iterator<Item = Which> + Clone {
        self.order.ranked.iter().map(|(_, which)| *which)
    }

    /// How it stands with a doubt.
    pub fn stands<'a>(&'a self, report: &'a Report, which: Which) -> Option<Stands<'a>> {
        match which {
            Which::Read(place) => {
                let standing = self.standing.get(place)?;
                Some(Stands {
                    doubt: report.doubts.get(place)?,
                    settled: standing.settled.as_deref(),
                    changed: standing.changed.as_ref(),
                    item: standing.item,
                    can_use: standing.can_use,
                })
            }
            Which::Raised(item, place) => {
                let raised = self.raised.get(&item)?.get(place)?;
                Some(Stands {
                    doubt: &raised.told,
                    settled: raised.by_hand.then_some("taken as right by hand"),
                    changed: None,
                    item: Some(item),
                    can_use: !raised.by_hand && !raised.means.is_empty() && may_be_right(raised.told.rule),
                })
            }
        }
    }

    /// Those of a row: of the report by the row of the source, and of what was typed since.
    pub fn of_row<'a>(
        &'a self,
        report: &'a Report,
        source_row: Option<u32>,
        item: usize,
    ) -> impl Iterator<Item = Stands<'a>> {
        let first = report.doubts.partition_point(|doubt| doubt.source_row < source_row);
        let of_report = report.doubts.iter().enumerate().skip(first);
        let of_report = of_report
            .take_while(move |(_, doubt)| source_row.is_some() && doubt.source_row == source_row)
            .map(|(place, _)| Which::Read(place));
        let raised = self.raised.get(&item).map_or(0, |raised| raised.len());
        let raised = (0..raised).map(move |place| Which::Raised(item, place));
        of_report.chain(raised).filter_map(|which| self.stands(report, which))
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.order.ranked.len()
    }

    /// How many are settled.
    pub fn settled(&self) -> usize {
        self.order.settled
    }

    /// The sorts of which several are open.
    pub fn sorts(&self) -> Vec<Sort> {
        sorts::several(&self.order.open)
    }

    /// What a doubt is among the others.
    fn part(&self, report: &Report, which: Which) -> Option<Part> {
        let stands = self.stands(report, which)?;
        let settled = stands.settled.is_some();
        Some(Part {
            rank: rank(stands.doubt.level, settled, stands.can_use),
            settled,
            usable: stands.item.filter(|_| settled && stands.can_use),
            sort: sorts::counted_in(&stands),
        })
    }

    fn in_order(&mut self, report: &Report) {
        self.order = Order::default();
        let read = (0..self.standing.len()).map(Which::Read);
        let raised = self.raised.iter();
        let raised = raised.flat_map(|(item, raised)| (0..raised.len()).map(|place| Which::Raised(*item, place)));
        let all: Vec<Which> = read.chain(raised).collect();
        self.put(report, &all);
    }

    /// Puts doubts into the order as they stand.
    fn put(&mut self, report: &Report, all: &[Which]) {
        for which in all {
            if let Some(part) = self.part(report, *which) {
                self.order.put(*which, &part);
            }
        }
    }

    /// Takes doubts out of the order before they stand otherwise.
    fn take(&mut self, report: &Report, all: &[Which]) {
        for which in all {
            if let Some(part) = self.part(report, *which) {
                self.order.take(*which, &part);
            }
        }
    }

    /// Those of an item that were raised since the list was read.
    fn raised_of(&self, item: usize) -> impl Iterator<Item = Which> + use<> {
        let count = self.raised.get(&item).map_or(0, |raised| raised.len());
        (0..count).map(move |place| Which::Raised(item, place))
    }

    /// The place of the reading a doubt is about; of a whole column, its heading.
    pub fn place(&self, report: &Report, session: &Session, which: Which) -> Option<(usize, Spot)> {
        let stands = self.stands(report, which)?;
        let list = List::of(session.workbook(), session.results(), report)?;
        let quantities = &list.results.quantities;
        let of_name = |name: &str| quantities.iter().position(|quantity| *quantity.name == *name);
        let heading = || {
            let column = report
                .columns
                .iter()
                .find(|known| Some(known.column) == stands.doubt.column)?;
            let from = |known: &QuantityResults| known.from.as_deref() == Some(column.heading.as_str());
            quantities.iter().position(from)
        };
        let quantity = list
            .names(stands.doubt)
            .first()
            .and_then(|name| of_name(name))
            .or_else(heading);
        let of_row = stands.doubt.source_row.is_some() || matches!(which, Which::Raised(..));
        let (quantity, field) = match (of_row, quantity) {
            // A doubt of the row as a whole stands at its name.
            (true, quantity) => (quantity.unwrap_or(0), Field::Value(stands.item?)),
            (false, quantity) => (quantity?, Field::Label),
        };
        Some((list.at, Spot { quantity, field }))
    }

    /// The command that lets the best load of a row rest on readings again that were corrected since, at one of them, the load or
    /// the name of the row.
    pub fn corrected(&self, report: &Report, session: &Session, at: usize, spot: Spot) -> Option<Command> {
        let Field::Value(item) = spot.field else { return None };
        let of_item = (item, Which::Read(0))..(item + 1, Which::Read(0));
        let mut usable = self.order.usable.range(of_item).map(|(_, which)| *which).peekable();
        let _ = usable.peek()?;
        let list = List::of(session.workbook(), session.results(), report).filter(|list| list.at == at)?;
        let name = &list.results.quantities.get(spot.quantity)?.name;
        let which = usable.find(|which| {
            let stands = self.stands(report, *which);
            let names = stands.map(|stands| list.names(stands.doubt)).unwrap_or_default();
            spot.quantity == 0 || **name == *BEST_LOAD || names.iter().any(|known| **known == **name)
        })?;
        self.using(report, session, which)
    }

    /// The command that takes the readings of a doubt as right: its load rests on them again.
    pub fn using(&self, report: &Report, session: &Session, which: Which) -> Option<Command> {
        let stands = self.stands(report, which)?;
        let list = List::of(session.workbook(), session.results(), report)?;
        let changes = self.as_right(&list, &stands);
        (!changes.is_empty()).then(|| Command {
            label: USE.into(),
            changes,
        })
    }

    /// What takes the readings of a doubt as right.
    pub fn as_right(&self, list: &List<'_>, stands: &Stands<'_>) -> Vec<Change> {
        let Some(item) = stands.item else { return Vec::new() };
        let names = list.trusts(stands.doubt).into_iter();
        let names = names.filter(|name| !list.is_good(item, name));
        names.map(|name| set(list, item, name, Trust::Good)).collect()
    }
}

impl Doubts {
    /// The other readings that a doubt offers: each in words, with the command that puts it into the row.
    pub fn others(&self, report: &Report, session: &Session, which: Which) -> Vec<(String, Command)> {
        let stands = self
            .stands(report, which)
            .filter(|stands| !stands.doubt.others.is_empty());
        let known = stands.and_then(|stands| {
            let list = List::of(session.workbook(), session.results(), report)?;
            Some(self.offers(&list, &stands))
        });
        known.unwrap_or_default()
    }

    /// The same of a list that is at hand.
    pub fn offers(&self, list: &List<'_>, stands: &Stands<'_>) -> Vec<(String, Command)> {
        let Some(item) = stands.item else { return Vec::new() };
        let taking = |other: &Other| {
            let changes = other.sets.iter().filter_map(|(reads, text)| {
                Some(Change::SetCell {
                    list: list.sheet.name.clone(),
                    row: item,
                    quantity: given_of(*reads)?.into(),
                    text: text.as_str().into(),
                })
            });
            let command = Command {
                label: format!("read it as {}", other.in_words()).into(),
                changes: changes.collect(),
            };
            (other.in_words(), command)
        };
        list.others(stands.doubt, item).into_iter().map(taking).collect()
    }
}

/// What taking a reading as right is called.
pub const USE: &str = "use the reading";

fn set(list: &List<'_>, item: usize, name: &str, trust: Trust) -> Change {
    Change::SetCell {
        list: list.sheet.name.clone(),
        row: item,
        quantity: name.into(),
        text: quoted(trust.word()).into(),
    }
}

/// What a step made of the trust of rows: by item, what it is about, and how far it may be trusted.
type Turned = BTreeMap<(usize, &'static str), Trust>;

/// The doubts of a list, looked at again after each step.
#[derive(Debug)]
pub struct Watch {
    report: Arc<Report>,
    doubts: Arc<Doubts>,
    /// The items that were read from doubted rows.
    items: HashMap<u32, Vec<usize>>,
    /// The doubts of the report by the row of the source.
    places: HashMap<u32, Vec<usize>>,
    /// The tags of the list.
    tags: Tags,
}

impl Watch {
    /// Of a report; a first look is taken.
    pub fn new(report: Arc<Report>, session: &Session) -> Watch {
        let mut places: HashMap<u32, Vec<usize>> = HashMap::new();
        for (place, doubt) in report.doubts.iter().enumerate() {
            if let Some(row) = doubt.source_row {
                places.entry(row).or_default().push(place);
            }
        }
        let mut watch = Watch {
            doubts: Arc::new(Doubts::of(&report)),
            report,
            items: HashMap::new(),
            places,
            tags: Tags::default(),
        };
        let _ = watch.look(session, None);
        watch
    }

    /// What the reading of the list told.
    pub fn report(&self) -> &Report {
        &self.report
    }

    /// The doubts as they stand.
    pub fn doubts(&self) -> Arc<Doubts> {
        self.doubts.clone()
    }

    /// A step was made anew: looks at what it reached; what it means for the trust of rows becomes part of the step.
    pub fn step(&mut self, session: &mut Session) {
        let reached: Option<Vec<(usize, usize)>> = session.reached().map(<[_]>::to_vec);
        let turned = self.look(session, reached.as_deref());
        if turned.is_empty() {
            return;
        }
        // A step that does not fit leaves the doubts as they are: they are seen, and the load says what it rests on.
        let _ = follow(session, &self.report, &turned);
        let _ = self.look(session, reached.as_deref());
    }

    /// A step was taken back or done again.
    pub fn back(&mut self, session: &Session) {
        let reached = session.reached().map(<[_]>::to_vec);
        let _ = self.look(session, reached.as_deref());
    }

    /// Looks at these places of list and row, or at all.
    fn look(&mut self, session: &Session, reached: Option<&[(usize, usize)]>) -> Turned {
        let mut turned = Turned::new();
        let report = self.report.clone();
        let Some(list) = List::of(session.workbook(), session.results(), &report) else {
            self.doubts = Arc::new(Doubts::of(&report));
            return turned;
        };
        let count = list.rows.rows.len();
        let touched: Vec<usize> = match reached {
            Some(reached) => {
                let of_list = reached.iter().filter(|(at, _)| *at == list.at);
                let touched = of_list.map(|(_, row)| *row);
                let mut touched: Vec<usize> = touched.filter(|row| *row < count).collect();
                touched.extend(self.tags.follow(list.rows, &touched));
                touched
            }
            None => {
                self.items = list.items();
                self.tags = Tags::of(list.rows);
                let mut changed: Vec<usize> = (0..count)
                    .into_par_iter()
                    .filter(|item| list.is_changed(*item))
                    .collect();
                // What was raised before and is not any more is gone with its reason.
                changed.extend(self.doubts.raised.keys().filter(|item| **item < count));
                changed.extend(self.items.values().flatten());
                changed.extend(self.tags.all());
                changed.sort_unstable();
                changed.dedup();
                changed
            }
        };
        if reached.is_some() && touched.is_empty() {
            return turned;
        }
        let doubts = Arc::make_mut(&mut self.doubts);
        doubts.list = Some(list.at);
        if reached.is_none() {
            doubts.rows.clear();
            doubts.standing = report
                .doubts
                .par_iter()
                .map(|doubt| standing(&list, &self.items, &self.tags, doubt))
                .collect();
            let known: Vec<usize> = doubts.raised.keys().copied().collect();
            let beyond = known.into_iter().filter(|item| *item >= count);
            beyond.for_each(|item| drop(doubts.raised.remove(&item)));
        }
        let raised: Vec<(usize, Vec<Raised>)> = touched
            .into_par_iter()
            .map(|item| (item, list.raised(item, &self.tags)))
            .collect();
        for (item, raised) in raised {
            let row = list.source_row(item);
            let places = row.and_then(|row| self.places.get(&row)).map_or(&[][..], Vec::as_slice);
            let read = places.iter().map(|place| Which::Read(*place));
            if reached.is_some() {
                let before: Vec<Which> = read.clone().chain(doubts.raised_of(item)).collect();
                doubts.take(&report, &before);
                for place in places {
                    if let (Some(doubt), Some(known)) = (report.doubts.get(*place), doubts.standing.get_mut(*place)) {
                        *known = standing(&list, &self.items, &self.tags, doubt);
                    }
                }
            }
            let before = match raised.is_empty() {
                true => doubts.raised.remove(&item),
                false => doubts.raised.insert(item, raised.into()),
            };
            if reached.is_some() {
                let now: Vec<Which> = read.chain(doubts.raised_of(item)).collect();
                doubts.put(&report, &now);
            }
            turns(&list, item, before.as_deref(), doubts, places, &mut turned);
            match row_doubts(&list, &report, doubts, item, row) {
                Some(words) => drop(doubts.rows.insert(item, Arc::new(words))),
                None => drop(doubts.rows.remove(&item)),
            }
        }
        if reached.is_none() {
            doubts.in_order(&report);
        }
        turned
    }
}

fn standing(list: &List<'_>, items: &HashMap<u32, Vec<usize>>, tags: &Tags, doubt: &DoubtReport) -> Standing {
    let items = doubt.source_row.and_then(|row| items.get(&row));
    list.standing(doubt, items.map_or(&[], Vec::as_slice), tags)
}

/// What stands still of a row, in words.
fn row_doubts(list: &List<'_>, report: &Report, doubts: &Doubts, item: usize, row: Option<u32>) -> Option<RowDoubts> {
    let mut words: Option<RowDoubts> = None;
    for level in ["error", "warning"] {
        let here = doubts.of_row(report, row, item);
        let open =
            here.filter(|stands| stands.doubt.level == level && stands.settled.is_none() && stands.item == Some(item));
        for stands in open {
            let first = list.names(stands.doubt).first().copied();
            let text = match stands.changed {
                Some(changed) => stands.doubt.text.clone().and(" (").then(changed).and(")"),
                None => stands.doubt.text.clone(),
            };
            words.get_or_insert_default().add(first, &text);
        }
    }
    words
}

/// What has come and gone of what was typed, and what that makes of the trust of a row.
fn turns(
    list: &List<'_>,
    item: usize,
    before: Option<&[Raised]>,
    doubts: &Doubts,
    places: &[usize],
    turned: &mut Turned,
) {
    let now = doubts.raised.get(&item).map_or(&[][..], |raised| raised);
    let before = before.unwrap_or_default();
    let in_both = |one: &Raised, others: &[Raised]| others.iter().any(|other| other.told.rule == one.told.rule);
    let is =
        |name: &str, trust: Trust| matches!(list.cell(item, name), Some(Cell::Text(text)) if **text == *trust.word());
    for (rests, trust) in now
        .iter()
        .filter(|raised| !in_both(raised, before))
        .flat_map(|raised| &raised.means)
    {
        let name = rests.quantity();
        let known = [Trust::Refused, Trust::Doubted]
            .into_iter()
            .find(|known| is(name, *known));
        if known.unwrap_or_default() < *trust {
            let entry = turned.entry((item, name)).or_default();
            *entry = (*entry).max(*trust);
        }
    }
    for (rests, trust) in before
        .iter()
        .filter(|raised| !in_both(raised, now))
        .flat_map(|raised| &raised.means)
    {
        let name = rests.quantity();
        // What was set by hand since stays.
        if !is(name, *trust) || turned.contains_key(&(item, name)) {
            continue;
        }
        let typed = now
            .iter()
            .filter(|raised| !raised.by_hand)
            .flat_map(|raised| raised.means.iter().copied());
        let read = places.iter().filter_map(|place| {
            let stands = doubts.standing.get(*place)?;
            (stands.item == Some(item) && stands.settled.is_none()).then_some(*place)
        });
        let read = read.flat_map(|place| list.means(place));
        let left = typed
            .chain(read)
            .filter(|(known, _)| known == rests)
            .map(|(_, trust)| trust)
            .max();
        let _ = turned.insert((item, name), left.unwrap_or_default());
    }
}

/// Makes the trust of rows part of the last step.
fn follow(session: &mut Session, report: &Report, turned: &Turned) -> Result<(), Fault> {
    let mut known = Vec::new();
    let mut lacking: BTreeMap<&'static str, BTreeMap<usize, Trust>> = BTreeMap::new();
    {
        let Some(list) = List::of(session.workbook(), session.results(), report) else {
            return Ok(());
        };
        for ((item, name), trust) in turned {
            if list.cell(*item, name).is_some() {
                known.push(set(&list, *item, name, *trust));
            } else if *trust > Trust::Good {
                let _ = lacking.entry(name).or_default().insert(*item, *trust);
            }
        }
    }
    let _ = session.follow(known)?;
    for (name, items) in lacking {
        begin_trust(session, report, name, &items)?;
    }
    Ok(())
}

/// Gives a list a column of trust that it had no use for until now, with these rows in it.
fn begin_trust(
    session: &mut Session,
    report: &Report,
    name: &'static str,
    items: &BTreeMap<usize, Trust>,
) -> Result<(), Fault> {
    let Some(list) = List::of(session.workbook(), session.results(), report) else {
        return Ok(());
    };
    let (at, called) = (list.at, list.sheet.name.clone());
    let is_column = |name: &str| list.rows.columns.iter().any(|known| **known == *name);
    let is_quantity = |name: &str| list.results.quantities.iter().any(|known| *known.name == *name);
    let Some(trusting) = with_trust(name, &is_column, &is_quantity).filter(|_| !is_quantity(name)) else {
        return Ok(());
    };
    let lines = &list.sheet.lines;
    let place_of = |text: &str| lines.iter().position(|line| *line.text == *text);
    // Lines that somebody has written anew are left alone: the load says what it rests on.
    let places: Option<Vec<usize>> = trusting.before.iter().map(|text| place_of(text)).collect();
    let Some(places) = places else { return Ok(()) };
    let is_work = |statement: &Statement| matches!(statement, Statement::Quantity(known) if known.role == Role::Work);
    let first = lines
        .iter()
        .position(|line| is_work(&line.statement))
        .unwrap_or(lines.len());
    let words = [Trust::Good, Trust::Doubted, Trust::Refused].map(|trust| Arc::<str>::from(trust.word()));
    let of = |item: usize| {
        let trust = items.get(&item).copied().unwrap_or_default();
        words
            .get(trust as usize)
            .map_or(Cell::Blank, |word| Cell::Text(word.clone()))
    };
    // In this order the rows are read only once: the column is one of words from the beginning, and no line asks for what is not there.
    let given = Change::InsertLine {
        place: Place::Line(at, first),
        before: "".into(),
        text: trusting.given.as_str().into(),
    };
    let column = Change::InsertColumn {
        list: called,
        at: list.rows.columns.len(),
        name: name.into(),
        cells: (0..list.rows.rows.len()).map(of).collect(),
    };
    let lines = places.iter().zip(&trusting.after).map(|(line, text)| Change::SetLine {
        place: Place::Line(at, line + usize::from(*line >= first)),
        text: text.as_str().into(),
    });
    let changes = [given, column].into_iter().chain(lines).collect();
    let _ = session.follow(changes)?;
    Ok(())
}

/// What taking readings as right has not done for the load of an item, in words: nothing where it has done something.
pub fn without_effect(session: &Session, at: usize, item: usize, before: &[Option<String>]) -> Option<String> {
    let now = of_load(session, at, item);
    if now != before {
        return None;
    }
    let why = match now.as_slice() {
        [Some(load), Some(method), _] if method != "none" => format!(
            "The reading is taken as good, and the load stays {load}, by {method}: a reading that contradicts the others, or that has a better one \
             beside it, does not carry it. The working line of the load says what each method asks for."
        ),
        _ => "The reading is taken as good, and there is still no load: its working line says why.".to_owned(),
    };
    Some(why)
}

/// The best load of an item, its method and grade, in words.
pub fn of_load(session: &Session, at: usize, item: usize) -> Vec<Option<String>> {
    let sheet = session.results().sheets.get(at);
    let of = |name: &str| {
        let quantity = sheet?.quantities.iter().find(|known| *known.name == *name)?;
        Some(shown(
            quantity.cells.get(item)?,
            &quantity.sort,
            quantity.rounding.as_ref(),
        ))
    };
    [BEST_LOAD, "method", "grade"].map(of).into()
}
