//! How far the readings of a motor are trusted for its best load.
//!
//! For: a load does not rest in silence on a reading that is doubted itself: the method is graded down or not used.
//! Always: the columns of the methods themselves keep their values; only the best load asks here. What a doubt means for a method
//! stands in one list.
//! Not known here: the formulas of the methods (`list`).

use std::collections::HashMap;

use super::motor::Doubt;
use super::pack::{At, Motors};
use super::reads::Reads;
use crate::fault::{Code, Severity};

/// What a load may rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rests {
    /// Measured power, efficiency, rating.
    Power,
    /// Measured and plate current.
    Current,
    /// Measured voltage, where a method corrects by it.
    Voltage,
    /// Measured speed, plate speed, poles.
    Slip,
}

impl Rests {
    /// The quantity of the list that says how far it is trusted.
    pub const fn quantity(self) -> &'static str {
        match self {
            Rests::Power => "trust_P",
            Rests::Current => "trust_I",
            Rests::Voltage => "trust_V",
            Rests::Slip => "trust_n",
        }
    }

    /// What a doubt of this rule lowers.
    pub fn of_rule(rule: &str, text: &str) -> Vec<Rests> {
        let Some(code) = Code::find(rule) else {
            return Vec::new();
        };
        let listed = MEANS.iter().filter(|(known, _)| *known == code);
        let mut out: Vec<Rests> = listed.flat_map(|(_, rests)| rests.iter().copied()).collect();
        out.extend(about_efficiency(code, text).then_some(Rests::Power));
        out
    }
}

/// How far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trust {
    /// Nothing speaks against it.
    #[default]
    Good,
    /// It may be right: used where nothing better is there, with a grade that says so.
    Doubted,
    /// It cannot be right: not used.
    Refused,
}

impl Trust {
    /// What a word of the list says.
    pub fn of(word: &str) -> Option<Trust> {
        let all = [Trust::Good, Trust::Doubted, Trust::Refused];
        all.into_iter().find(|trust| trust.word() == word)
    }

    /// The word of the list.
    pub fn word(self) -> &'static str {
        match self {
            Trust::Good => "good",
            Trust::Doubted => "doubted",
            Trust::Refused => "refused",
        }
    }
}

/// What is trusted of one motor.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Of([Trust; 4]);

impl Of {
    fn lower(&mut self, rests: Rests, trust: Trust) {
        if let Some(known) = self.0.get_mut(rests as usize) {
            *known = trust.max(*known);
        }
    }
}

/// What a doubt means for the methods. A doubt of the severity error refuses them, another one grades them down.
static MEANS: &[(Code, &[Rests])] = &[
    (Code::POWER_ABOVE_APPARENT, &[Rests::Power]),
    (Code::POWER_ABOVE_PLATE, &[Rests::Power]),
    (Code::RATINGS_DISAGREE, &[Rests::Power]),
    (Code::RATING_ABOVE_APPARENT, &[Rests::Power]),
    (Code::CURRENT_ABOVE_PLATE, &[Rests::Current]),
    (Code::CURRENT_OFF_TABLE, &[Rests::Current]),
    (Code::PLATE_POWER_RATIO, &[Rests::Current]),
    (Code::VOLTAGE_OFF_PLATE, &[Rests::Voltage]),
    (Code::PHASES_UNEQUAL, &[Rests::Current, Rests::Voltage]),
    (Code::PHASE_MISSING, &[Rests::Current]),
    (Code::OTHER_MACHINE, &[Rests::Current, Rests::Voltage, Rests::Slip]),
    (Code::PLATE_SPEED_SYNCHRONOUS, &[Rests::Slip]),
    (Code::POLES_AGAINST_SPEED, &[Rests::Slip]),
    (Code::PLATE_SLIP_UNUSUAL, &[Rests::Slip]),
    (Code::SPEED_ABOVE_SYNCHRONOUS, &[Rests::Slip]),
    (Code::SLIP_ABOVE_PLATE, &[Rests::Slip]),
    (Code::READINGS_AS_PLATE, &[Rests::Current, Rests::Slip]),
];

/// The readings each of these rests on.
static CELLS: &[(Reads, Rests)] = &[
    (Reads::MeasuredPower, Rests::Power),
    (Reads::RatedPower, Rests::Power),
    (Reads::Efficiency, Rests::Power),
    (Reads::MeasuredCurrent, Rests::Current),
    (Reads::RatedCurrent, Rests::Current),
    (Reads::NoLoadCurrent, Rests::Current),
    (Reads::PowerFactor, Rests::Current),
    (Reads::MeasuredVoltage, Rests::Voltage),
    (Reads::Voltage, Rests::Voltage),
    (Reads::MeasuredSpeed, Rests::Slip),
    (Reads::RatedSpeed, Rests::Slip),
    (Reads::Poles, Rests::Slip),
];

/// A reading below this certainty, in per cent, has another reading beside it that is as likely.
pub(super) const AS_LIKELY: u8 = 50;

/// What is trusted of all motors: those of which all is good are not in it.
#[derive(Debug, Default)]
pub struct Trusted(HashMap<(usize, u32), Of>);

impl Trusted {
    /// By the doubts of a list and the certainty of its readings.
    pub fn of(motors: &Motors, doubts: &[Doubt]) -> Trusted {
        let mut by_row: HashMap<u32, Vec<&Doubt>> = HashMap::new();
        for doubt in doubts {
            if let Some(row) = doubt.source_row {
                by_row.entry(row).or_default().push(doubt);
            }
        }
        let mut trusted = Trusted::default();
        for motor in motors.iter() {
            let mut of = Of::default();
            for doubt in by_row.get(&motor.source_row()).into_iter().flatten() {
                if doubt.table.is_none_or(|table| table == motor.table()) {
                    by_doubt(&mut of, doubt);
                }
            }
            for cell in motor
                .cells()
                .filter(|cell| cell.confidence() < AS_LIKELY && !cell.is_nothing())
            {
                for (_, rests) in CELLS.iter().filter(|(reads, _)| *reads == cell.reads()) {
                    of.lower(*rests, Trust::Doubted);
                }
            }
            if of != Of::default() {
                trusted.0.insert((motor.table(), motor.source_row()), of);
            }
        }
        trusted
    }

    /// What is trusted of a motor.
    pub fn at(&self, motor: At<'_>, rests: Rests) -> Trust {
        let of = self.0.get(&(motor.table(), motor.source_row()));
        of.and_then(|of| of.0.get(rests as usize)).copied().unwrap_or_default()
    }
}

fn by_doubt(of: &mut Of, doubt: &Doubt) {
    for (rests, trust) in means(doubt) {
        of.lower(rests, trust);
    }
}

/// What a doubt lowers, and how far.
pub fn means(doubt: &Doubt) -> Vec<(Rests, Trust)> {
    // A small imbalance of the plate is worth a note and no more.
    if doubt.severity == Severity::Note && doubt.code == Code::PLATE_POWER_RATIO {
        return Vec::new();
    }
    let trust = match doubt.severity {
        Severity::Error => Trust::Refused,
        _ => Trust::Doubted,
    };
    let rests = Rests::of_rule(doubt.code.word(), &doubt.text).into_iter();
    rests.map(|rests| (rests, trust)).collect()
}

/// Rules of plates that no induction motor has: no word makes a load of them, since the slip they give is none.
static NEVER_RIGHT: &[Code] = &[Code::PLATE_SPEED_SYNCHRONOUS, Code::POLES_AGAINST_SPEED];

/// Whether what a rule doubts may be right all the same.
pub fn may_be_right(rule: &str) -> bool {
    !NEVER_RIGHT.iter().any(|code| code.word() == rule)
}

/// Whether a doubt is about an efficiency, of whatever quantity its rule tells.
fn about_efficiency(code: Code, text: &str) -> bool {
    [Code::EFFICIENCY_IMPOSSIBLE, Code::VALUE_UNLIKELY].contains(&code) && text.starts_with(Reads::Efficiency.title())
}
