//! The doubts of one sort, and what can be done with all of them in one step.
//!
//! Always: what is done is the same as doubt by doubt, in one command. A reading against which a doubt of another sort speaks is not
//! taken as right along with others: that doubt would be settled without anybody having seen it.
//! Not known here: drawing.

use std::collections::BTreeMap;

use super::doubts::{Doubts, Stands, Which};
use crate::plates::Report;
use crate::plates::again::List;
use crate::plates::trust::may_be_right;
use crate::session::{Command, Session};
use crate::workbook::change::Change;

/// How many doubts of a sort stand open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sort {
    /// The word of the rule.
    pub rule: &'static str,
    /// The worst level among them.
    pub level: &'static str,
    /// How many.
    pub open: usize,
}

/// From so many on a sort is worth a step of its own.
const SEVERAL: usize = 3;

/// Choices that are offered for all of a sort, at most.
const CHOICES: usize = 6;

/// Levels of doubts, the worst first.
pub const LEVELS: usize = 3;

/// A level by its rank.
fn level(rank: usize) -> &'static str {
    ["error", "warning", "note"].get(rank).copied().unwrap_or("note")
}

fn rank(level: &str) -> usize {
    match level {
        "error" => 0,
        "warning" => 1,
        _ => 2,
    }
}

/// The rule of a doubt and the rank of its level; none where it is settled, or a remark that leaves nothing to be done.
pub fn counted_in(stands: &Stands<'_>) -> Option<(&'static str, usize)> {
    let is_worth = stands.doubt.level != "note" || stands.can_use || !stands.doubt.others.is_empty();
    (stands.is_open() && is_worth).then(|| (stands.doubt.rule, rank(stands.doubt.level)))
}

/// The sorts of which several doubts stand open, the worst and the most first.
pub fn several(open: &BTreeMap<&'static str, [usize; LEVELS]>) -> Vec<Sort> {
    let sorts = open.iter().map(|(rule, counts)| Sort {
        rule,
        level: level(counts.iter().position(|count| *count > 0).unwrap_or(LEVELS)),
        open: counts.iter().sum(),
    });
    let mut sorts: Vec<Sort> = sorts.filter(|sort| sort.open >= SEVERAL).collect();
    sorts.sort_by_key(|sort| (rank(sort.level), std::cmp::Reverse(sort.open)));
    sorts
}

/// The word of a rule as it is read: `plate power ratio`.
pub fn named(rule: &str) -> String {
    rule.replace('-', " ")
}

/// What can be done with all doubts of a sort.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// Takes readings as right, with how many.
    pub right: Option<(usize, Command)>,
    /// Puts the one other reading that is offered into each row, with how many.
    pub otherwise: Option<(usize, Command)>,
    /// Puts one of several other readings into each row that has it: what it is called, with how many.
    pub choices: Vec<(String, usize, Command)>,
    /// How many have several other readings.
    chosen_among: usize,
    /// The rule says of some that they cannot be right.
    pub refused: bool,
    /// How many are not taken as right, since a doubt of another sort speaks against the same readings.
    pub beside: usize,
    /// How many are not taken as right, since what their rule doubts cannot be.
    pub never: usize,
    /// How many are not taken as right, since no load is held back by them.
    pub idle: usize,
}

impl Plan {
    /// Of all open doubts of a rule.
    pub fn of(doubts: &Doubts, report: &Report, session: &Session, rule: &str) -> Plan {
        let mut plan = Plan::default();
        let Some(list) = List::of(session.workbook(), session.results(), report) else {
            return plan;
        };
        let (mut right, mut otherwise) = (Vec::new(), Vec::new());
        let (mut taken, mut read) = (0, 0);
        let mut choices: Vec<(String, usize, Vec<Change>)> = Vec::new();
        for which in doubts.worst_first() {
            let Some(stands) = doubts.stands(report, which).filter(|known| known.doubt.rule == rule) else {
                continue;
            };
            if !stands.is_open() {
                continue;
            }
            let others = match stands.settled {
                None => doubts.offers(&list, &stands),
                Some(_) => Vec::new(),
            };
            let is_choice = others.len() > 1;
            match others.as_slice() {
                [only] => {
                    read += 1;
                    otherwise.extend(only.1.changes.iter().cloned());
                }
                several => {
                    for (words, command) in several {
                        // `400 V, 28.5 A` and `400 V, 11 A` are one choice: each row has its own current at that voltage.
                        let words = words.split_once(", ").map_or(words.as_str(), |(first, _)| first);
                        let changes = command.changes.iter().cloned();
                        match choices.iter_mut().find(|(known, ..)| known == words) {
                            Some((_, count, all)) => {
                                *count += 1;
                                all.extend(changes);
                            }
                            None => choices.push((words.to_owned(), 1, changes.collect())),
                        }
                    }
                }
            }
            plan.chosen_among += usize::from(is_choice);
            match plan.stays_open(doubts, report, &list, which) {
                // What is chosen among is told of by itself.
                Some(_) if is_choice => {}
                Some(count) => *count += 1,
                None => {
                    taken += 1;
                    plan.refused |= stands.doubt.level == "error" && stands.settled.is_none();
                    right.extend(doubts.as_right(&list, &stands));
                }
            }
        }
        let step = |count: usize, label: &str, changes: Vec<_>| {
            let label = format!("{label}: {}", named(rule)).into();
            (!changes.is_empty()).then_some((count, Command { label, changes }))
        };
        plan.right = step(taken, "take as right", right);
        plan.otherwise = step(read, "read otherwise", otherwise);
        choices.retain(|(_, count, changes)| *count > 1 && !changes.is_empty());
        choices.sort_by_key(|(_, count, _)| std::cmp::Reverse(*count));
        choices.truncate(CHOICES);
        let chosen = choices.into_iter().map(|(words, count, changes)| {
            let label = format!("read as {words}: {}", named(rule)).into();
            (words, count, Command { label, changes })
        });
        plan.choices = chosen.collect();
        plan
    }

    /// The count to which a doubt goes that is not taken as right.
    fn stays_open(&mut self, doubts: &Doubts, report: &Report, list: &List<'_>, which: Which) -> Option<&mut usize> {
        let stands = doubts.stands(report, which)?;
        let trusts = list.trusts(stands.doubt);
        if !may_be_right(stands.doubt.rule) {
            return Some(&mut self.never);
        }
        let (Some(item), true) = (stands.item, stands.can_use && !trusts.is_empty()) else {
            return Some(&mut self.idle);
        };
        let mut others = doubts.of_row(report, list.source_row(item), item).filter(|other| {
            other.item == Some(item) && other.settled.is_none() && other.doubt.rule != stands.doubt.rule
        });
        let speaks = others.any(|other| list.trusts(other.doubt).iter().any(|name| trusts.contains(name)));
        speaks.then_some(&mut self.beside)
    }

    /// What taking them as right means, and which of them stay open, in sentences.
    pub fn in_words(&self) -> Vec<String> {
        let mut said = Vec::new();
        if self.right.is_some() {
            said.push(
                "Taken as right, the best load rests on the readings again, and the list says that they were taken as good by hand."
                    .to_owned(),
            );
        }
        if self.refused {
            said.push(
                "The rule says of some that they cannot be right: take them only where you know why they are."
                    .to_owned(),
            );
        }
        if self.otherwise.is_some() {
            said.push(
                "Read the other way, the one other reading that each doubt offers is put into its row.".to_owned(),
            );
        }
        if self.chosen_among > 0 {
            let count = counted(
                self.chosen_among,
                "stays open until one of its readings is chosen",
                "stay open until one of their readings is chosen",
            );
            let how = match self.choices.is_empty() {
                true => "row by row, as they have none in common",
                false => "here for all that have it, or row by row",
            };
            said.push(format!("{count}, {how}."));
        }
        if self.beside > 0 {
            let count = counted(
                self.beside,
                "stays open: a doubt of another sort speaks",
                "stay open: doubts of another sort speak",
            );
            said.push(format!("{count} against the same reading, to be looked at row by row."));
        }
        if self.never > 0 {
            let count = counted(
                self.never,
                "stays open: no induction motor has such a plate, so that it cannot be taken",
                "stay open: no induction motor has such plates, so that they cannot be taken",
            );
            said.push(format!("{count} as right; mend the value."));
        }
        if self.idle > 0 {
            let count = counted(
                self.idle,
                "stays open: no load is held back by it",
                "stay open: no load is held back by them",
            );
            said.push(format!("{count}; mend the value, or leave it."));
        }
        said
    }
}

/// `1 stays open`, `12 stay open`.
fn counted(count: usize, one: &str, more: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        count => format!("{count} {more}"),
    }
}
