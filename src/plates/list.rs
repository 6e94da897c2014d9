//! The list as a workbook: the head of its text, and its rows.
//!
//! For: an imported list that reads like one written by hand: where it came from, what was given with unit, kind, heading and
//! source, and the load columns as ordinary `work` lines of the built-in motor formulas.
//! Always: a cell in another unit than its column says so; a method that cannot be trusted for a motor is refused with the reason,
//! which makes a blank and no fault.
//! Not known here: how the lines are worked.

use std::collections::HashSet;
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};

use rust_decimal::Decimal;

use super::heading;
use super::pack::{At, CellAt, Motors};
use super::plausible;
use super::reads::{PlateUnit, Reads, Sort};
use super::trust::{Rests, Trust, Trusted};
use super::words::{self, Words};
use crate::language::check;
use crate::language::syntax::parse;
use crate::quantity::Unit;
use crate::recalc::QuantityResults;
use crate::workbook::text::{self, quoted};
use crate::workbook::{Cell, Formula, Role, Row, SOURCE_ROW, Workbook};

/// Where the list was read from.
#[derive(Clone, Debug)]
pub struct Origin<'a> {
    /// The file, as named by the user.
    pub file: &'a str,
    /// The sheet in it; `None` for a text file.
    pub sheet: Option<&'a str>,
    /// The last heading row, from 1.
    pub headings: Option<u32>,
    /// SHA-256 of the file.
    pub digest: &'a str,
    /// Title of the workbook.
    pub title: &'a str,
    /// What a user said of its columns, as remarks of the `read` line.
    pub said: &'a str,
}

/// A given of the list.
struct Given {
    name: &'static str,
    what: What,
    kind: &'static str,
    title: &'static str,
    source: &'static str,
}

/// What its cells hold.
#[derive(Clone, Copy)]
enum What {
    SourceRow,
    Words(Reads),
    Number(Reads),
    UsedVoltage,
    UsedCurrent,
    AssumedEfficiency,
    Fed,
    Service,
    Trust(Rests),
}

const GIVENS: &[Given] = &[
    Given {
        name: "tag",
        what: What::Words(Reads::Tag),
        kind: "text",
        title: "Tag",
        source: "",
    },
    Given {
        name: SOURCE_ROW,
        what: What::SourceRow,
        kind: "number",
        title: "Row in the source",
        source: "",
    },
    Given {
        name: "area",
        what: What::Words(Reads::Area),
        kind: "text",
        title: "Area",
        source: "",
    },
    Given {
        name: "machine",
        what: What::Words(Reads::Description),
        kind: "text",
        title: "Driven machine",
        source: "",
    },
    Given {
        name: "P_r",
        what: What::Number(Reads::RatedPower),
        kind: "rated power",
        title: "Rated power",
        source: "plate",
    },
    Given {
        name: "p",
        what: What::Number(Reads::Poles),
        kind: "poles",
        title: "Number of poles",
        source: "plate",
    },
    Given {
        name: "f",
        what: What::Number(Reads::Frequency),
        kind: "frequency",
        title: "Frequency",
        source: "plate",
    },
    Given {
        name: "n_r",
        what: What::Number(Reads::RatedSpeed),
        kind: "rated speed",
        title: "Rated speed",
        source: "plate",
    },
    Given {
        name: "V_r",
        what: What::UsedVoltage,
        kind: "rated voltage",
        title: "Plate voltage at this supply",
        source: "plate",
    },
    Given {
        name: "I_r",
        what: What::UsedCurrent,
        kind: "rated current",
        title: "Plate current at that voltage",
        source: "plate",
    },
    Given {
        name: "eta",
        what: What::Number(Reads::Efficiency),
        kind: "motor efficiency",
        title: "Efficiency",
        source: "plate",
    },
    Given {
        name: "pf",
        what: What::Number(Reads::PowerFactor),
        kind: "power factor",
        title: "Power factor",
        source: "plate",
    },
    Given {
        name: "SF",
        what: What::Number(Reads::ServiceFactor),
        kind: "service factor",
        title: "Service factor",
        source: "plate",
    },
    Given {
        name: "V",
        what: What::Number(Reads::MeasuredVoltage),
        kind: "measured voltage",
        title: "Measured voltage",
        source: "measured",
    },
    Given {
        name: "I",
        what: What::Number(Reads::MeasuredCurrent),
        kind: "measured current",
        title: "Measured current",
        source: "measured",
    },
    Given {
        name: "P_in",
        what: What::Number(Reads::MeasuredPower),
        kind: "input power",
        title: "Measured input power",
        source: "measured",
    },
    Given {
        name: "n",
        what: What::Number(Reads::MeasuredSpeed),
        kind: "measured speed",
        title: "Measured speed",
        source: "measured",
    },
    Given {
        name: "I_0",
        what: What::Number(Reads::NoLoadCurrent),
        kind: "no-load current",
        title: "No-load current",
        source: "",
    },
    Given {
        name: "f_o",
        what: What::Number(Reads::OutputFrequency),
        kind: "frequency",
        title: "Output frequency of the drive",
        source: "measured",
    },
    Given {
        name: "P_a",
        what: What::Number(Reads::AbsorbedPower),
        kind: "shaft power",
        title: "Absorbed power as the list says",
        source: "assumed",
    },
    Given {
        name: "hours",
        what: What::Number(Reads::HoursPerYear),
        kind: "running hours",
        title: "Hours a year",
        source: "",
    },
    Given {
        name: MOTORS_IN_ROW,
        what: What::Number(Reads::Quantity),
        kind: "number",
        title: "Motors in this row",
        source: "",
    },
    Given {
        name: "fed",
        what: What::Fed,
        kind: "text",
        title: "Fed from the line or by a drive",
        source: "",
    },
    Given {
        name: "service",
        what: What::Service,
        kind: "text",
        title: "On duty, standing by or out of service",
        source: "",
    },
    Given {
        name: REMARK,
        what: What::Words(Reads::Remarks),
        kind: "text",
        title: "Remark",
        source: "",
    },
    Given {
        name: "eta_a",
        what: What::AssumedEfficiency,
        kind: "motor efficiency",
        title: "Efficiency assumed by IEC 60034-30-1: the class of the plate, else IE1",
        source: "assumed",
    },
    Given {
        name: Rests::Power.quantity(),
        what: What::Trust(Rests::Power),
        kind: "text",
        title: "Measured power, efficiency and rating: good, doubted or refused",
        source: "",
    },
    Given {
        name: Rests::Current.quantity(),
        what: What::Trust(Rests::Current),
        kind: "text",
        title: "Measured and plate current: good, doubted or refused",
        source: "",
    },
    Given {
        name: Rests::Voltage.quantity(),
        what: What::Trust(Rests::Voltage),
        kind: "text",
        title: "Measured and plate voltage: good, doubted or refused",
        source: "",
    },
    Given {
        name: Rests::Slip.quantity(),
        what: What::Trust(Rests::Slip),
        kind: "text",
        title: "Measured and plate speed, poles: good, doubted or refused",
        source: "",
    },
];

/// The given of a list that says how many motors a row stands for.
pub(super) const MOTORS_IN_ROW: &str = "number";

/// The given of a list that holds what else was written beside a motor.
const REMARK: &str = "remark";

/// What the list calls a motor that is fed by a drive.
pub const DRIVE: &str = "drive";

/// What it calls every other motor.
const LINE: &str = "line";

impl Given {
    /// What holds of a row that says nothing of it: a motor that is added has no more to be told than its plate and its readings.
    fn usual(&self) -> Option<&'static str> {
        match self.what {
            What::Fed => Some(LINE),
            What::Service => SERVICE.first().copied(),
            What::Trust(_) => Some(Trust::Good.word()),
            _ => None,
        }
    }

    /// The line begun: its name, and what usually holds.
    fn begun(&self) -> String {
        match self.usual() {
            Some(word) => format!("given {} = {}", self.name, quoted(word)),
            None => format!("given {}", self.name),
        }
    }
}

/// The given of a list that holds a reading, where it has one.
pub fn given_of(reads: Reads) -> Option<&'static str> {
    given(reads).map(|given| given.name)
}

/// The kind of a given of this name, where it has one.
pub(super) fn kind_of(name: &str) -> Option<&'static str> {
    GIVENS.iter().find(|given| given.name == name).map(|given| given.kind)
}

/// Whether some given of a list is of this kind.
pub(super) fn is_kind(kind: &str) -> bool {
    GIVENS.iter().any(|given| given.kind == kind)
}

/// A heading whose unit stands behind its words without brackets, or in its words alone: `eff. %` is of `eff.`, in per cent; `Current A`;
/// `Volts`. `None` where it names no quantity of a motor with that unit.
pub fn with_unit(heading: &str) -> Option<(String, &'static str)> {
    let read = heading::read(heading, Words::usual());
    let reads = read.reads.filter(|reads| reads.sort() == Sort::Number)?;
    let unit = read.units.first().filter(|unit| unit.fits(reads))?.text();
    let behind = heading.rsplit_once(char::is_whitespace);
    let behind = behind.filter(|(_, last)| Unit::parse_plate(last).is_ok_and(|last| *last.text == *unit));
    let words = behind.map_or(heading, |(words, _)| words).trim();
    Some((words.to_owned(), unit))
}

/// Whether a row of a table with so many columns is a total of others and no motor: its first word says so alone, or most of it is
/// empty.
pub fn is_total(cells: &[String], width: usize) -> bool {
    let filled = || cells.iter().map(|text| text.trim()).filter(|text| !text.is_empty());
    let Some(first) = filled().next() else { return false };
    let alone = words::words(first).len() == 1;
    Words::usual().says(first, "total") && (alone || 2 * filled().count() <= width + 1)
}

/// Whether reading a list makes a given of this name: it is a reading, or says how one is taken.
pub fn is_read(name: &str) -> bool {
    GIVENS.iter().any(|given| given.name == name)
}

/// The readings that a given of a list grades, in words: `Measured and plate current`. None for what is no grade.
pub fn graded_by(name: &str) -> Option<&'static str> {
    let grade = GIVENS
        .iter()
        .find(|given| given.name == name && matches!(given.what, What::Trust(_)))?;
    grade.title.split(':').next()
}

/// What holds of a row where these columns are left out or say nothing.
pub fn usual_words() -> impl Iterator<Item = (&'static str, &'static str)> {
    GIVENS.iter().filter_map(|given| Some((given.name, given.usual()?)))
}

/// What a given of a list tells of a motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// Which motor it is.
    Itself,
    /// Its plate.
    Plate,
    /// What was measured.
    Measured,
    /// Anything else.
    Else,
    /// How far its readings are trusted.
    Trust,
}

/// What a given of this name tells of a motor.
pub fn about(name: &str) -> About {
    match GIVENS.iter().find(|given| given.name == name) {
        Some(given) => match (given.what, given.source) {
            (What::Words(Reads::Tag | Reads::Area | Reads::Description), _) => About::Itself,
            (What::Trust(_), _) => About::Trust,
            (_, "plate") => About::Plate,
            (_, "measured") => About::Measured,
            _ => About::Else,
        },
        None => About::Else,
    }
}

fn given(reads: Reads) -> Option<&'static Given> {
    let reads = match reads {
        // What else names a motor goes where its tag goes.
        Reads::Item => Reads::Tag,
        other => other,
    };
    let holds = |given: &&Given| match given.what {
        What::Words(of) | What::Number(of) => of == reads,
        What::UsedVoltage => reads == Reads::Voltage,
        What::UsedCurrent => reads == Reads::RatedCurrent,
        What::Fed => reads == Reads::Drive,
        What::SourceRow | What::AssumedEfficiency | What::Service | What::Trust(_) => false,
    };
    GIVENS.iter().find(holds)
}

/// Whether a quantity of a list says how many motors a row stands for: by the name that reading a list gives it, or by a heading
/// or title that reads so.
pub fn counts_motors(quantity: &QuantityResults) -> bool {
    let check::Sort::Quantity { unit, .. } = &quantity.sort else {
        return false;
    };
    let reads = |heading: &str| heading::read(heading, Words::usual()).reads == Some(Reads::Quantity);
    let called = [quantity.from.as_deref(), Some(quantity.title.as_str())];
    quantity.role == Role::Given
        && unit.is_plain()
        && (*quantity.name == *MOTORS_IN_ROW || called.into_iter().flatten().any(reads))
}

/// Givens that are named only where a motor has them: the usual ones stand in every list.
const SELDOM: [&str; 11] = [
    "SF",
    "I_0",
    "f_o",
    "P_a",
    "service",
    REMARK,
    "eta_a",
    Rests::Power.quantity(),
    Rests::Current.quantity(),
    Rests::Voltage.quantity(),
    Rests::Slip.quantity(),
];

/// Asked like a given: whether a motor has a measured current and not both voltages.
const CURRENT_ALONE: &str = "a current without a voltage";
/// Asked like a given: whether a motor has a measured power, and no efficiency but what the other values of its plate give.
const PLATE_EFFICIENCY: &str = "an efficiency from the other values of the plate";
/// Efficiencies that the other values of a plate can give; beyond them one of the values is wrong or of another motor.
const PLATE_EFFICIENCIES: (&str, &str) = ("40 %", "98 %");

const NO_OUTPUT_FREQUENCY: &str = "fed by a drive, output frequency unknown";
const NO_RATED_SLIP: &str = "rated slip is zero: the plate speed is synchronous";
/// Beyond all motors, those of high slip included; common practice, no source.
const FAR_SLIP: &str = "a rated slip over 25 % is no motor's: poles, frequency or speed are wrong";
const NEGATIVE_SLIP: &str = "the plate speed is above the synchronous speed: poles, frequency or speed are wrong";

/// A way to the best load: its condition besides trust, its formula, and what it rests on.
struct Way {
    grade: &'static str,
    method: &'static str,
    when: String,
    formula: &'static str,
    /// What it rests on, each with a given that says whether it is trusted.
    rests_on: &'static [Rests],
}

/// The grades of the best load: what stands behind each, and how far it may be off.
pub const GRADES: [(&str, &str, &str); 6] = [
    (
        "A",
        "measured input power with the efficiency of the plate",
        "a few points: the reading, and an efficiency that falls a little at part load",
    ),
    (
        "B",
        "measured input power with an efficiency worked from rating, voltage, current and power factor of the plate; or the current with a no-load current that is known",
        "a few points more; the current up to four points from half load up, eight at a quarter",
    ),
    (
        "C",
        "measured input power with the efficiency that IEC 60034-30-1 asks of its class; or the current with the power factor of the plate",
        "an older motor may have another efficiency; the current reads up to ten points high at half load",
    ),
    (
        "D",
        "the ratio of currents; or slip, corrected by the voltage",
        "the ratio reads 8 to 20 points high at half load; slip is off by a fifth and more where the plate speed is rounded",
    ),
    (
        "E",
        "slip",
        "as D, and by the voltage: a tenth of it is a fifth of the slip",
    ),
    (
        "F",
        "what the list itself says of the power that is taken off",
        "nobody measured it",
    ),
];

/// The ways to the best load, the best first: by how far they may be off. The limits are common practice: load by current is not
/// used below half load, where the current is mostly magnetising, and load by slip not where the rated slip is under 15 r/min, since
/// a reading one turn off is then seven points of load or more. The ratio of currents alone serves only where no power factor is
/// known: it reads high by 8 to 20 points at half load (`tests/machine` has the figures of all that rest on currents).
fn ways(has: &impl Fn(&str) -> bool, alone: bool) -> Vec<Way> {
    let firm = "n_s - n_r >= 15 r/min";
    let above = "num(P_in in kW) > 1.02 * sqrt(3) * num(V in V) * num(I in A) / 1000";
    let way = |grade, method, when: &str, formula, rests_on| Way {
        grade,
        method,
        when: when.to_owned(),
        formula,
        rests_on,
    };
    let power = format!("not (known(V) and known(I) and {above})");
    let mut all = vec![way(
        "A",
        "measured power",
        &format!("known(load_P) and {power}"),
        "load_P",
        &[Rests::Power] as &[_],
    )];
    if has(PLATE_EFFICIENCY) {
        all.push(way(
            "B",
            "power, efficiency worked",
            &format!("not known(eta) and known(P_in) and known(P_r) and known(eta_p) and {power}"),
            "load_by_power(P_in, P_r, eta_p)",
            &[Rests::Power, Rests::Current, Rests::Voltage],
        ));
    }
    if has("I_0") {
        all.push(way(
            "B",
            "current and no-load current",
            "known(load_0) and I >= I_0",
            "load_0",
            &[Rests::Current],
        ));
    }
    if has("eta_a") {
        all.push(way(
            "C",
            "power, efficiency assumed",
            &format!("known(P_in) and known(P_r) and known(eta_a) and {power}"),
            "load_by_power(P_in, P_r, eta_a)",
            &[Rests::Power],
        ));
    }
    let by_ratio = if by_power_factor(has) {
        all.push(way(
            "C",
            "current and power factor",
            "known(load_pf) and load_pf >= 50 %",
            "load_pf",
            &[Rests::Current, Rests::Voltage],
        ));
        "not known(pf) and "
    } else {
        ""
    };
    all.push(way(
        "D",
        "current",
        &format!("{by_ratio}known(load_I) and load_I >= 50 %"),
        "load_I",
        &[Rests::Current, Rests::Voltage],
    ));
    if alone {
        all.push(way(
            "D",
            "current",
            &format!("{by_ratio}known(load_A) and load_A >= 50 %"),
            "load_A",
            &[Rests::Current],
        ));
    }
    all.push(way(
        "D",
        "slip and voltage",
        &format!("known(load_sV) and {firm}"),
        "load_sV",
        &[Rests::Slip, Rests::Voltage],
    ));
    all.push(way(
        "E",
        "slip",
        &format!("known(load_s) and {firm}"),
        "load_s",
        &[Rests::Slip],
    ));
    all
}

/// Whether the power factor of the plate helps a measured current.
fn by_power_factor(has: &impl Fn(&str) -> bool) -> bool {
    has("pf") && has("I")
}

/// The load columns of a list with these givens: every method its readings allow side by side, then the best one that can be
/// trusted, its name and its grade.
fn works(has: impl Fn(&str) -> bool) -> Vec<String> {
    let drive = format!("refuse(\"{NO_OUTPUT_FREQUENCY}\") when fed = \"{DRIVE}\"");
    let negative = format!("refuse(\"{NEGATIVE_SLIP}\") when n_r > n_s, refuse(\"{FAR_SLIP}\") when n_r < 0.75 * n_s");
    let slip = format!("{negative}, refuse(\"{NO_RATED_SLIP}\") when n_r >= n_s");
    let at_output = if has("f_o") {
        // At constant flux torque goes with slip speed, and power with torque and speed.
        "refuse(\"the measured speed is above the synchronous speed of the output frequency\") when fed = \"drive\" and known(f_o) and n > f_o / p, \
         (f_o / p - n) / (n_s - n_r) * (n / n_r) when fed = \"drive\" and known(f_o) and f_o <= f and n_r < n_s, \
         refuse(\"fed by a drive above the rated frequency\") when fed = \"drive\" and known(f_o) and n_r < n_s, "
    } else {
        ""
    };
    let line = |name: &str, formula: &str, end: &str| format!("work {name} = {formula}{end}");
    let load = |name: &str, formula: &str, title: &str| line(name, formula, &format!(" in % : load \"{title}\""));
    let mut lines = vec![
        "work n_s = synchronous_speed(f, p) in r/min : synchronous speed \"Synchronous speed\"".to_owned(),
        line(
            "s_r",
            &format!("{negative}, otherwise slip(n_s, n_r)"),
            " in % : rated slip \"Rated slip\"",
        ),
        "work T_r = torque(P_r, n_r) in N·m : rated torque \"Rated torque\"".to_owned(),
        load("load_P", "load_by_power(P_in, P_r, eta)", "Load by input power"),
    ];
    if has(PLATE_EFFICIENCY) {
        let (least, most) = PLATE_EFFICIENCIES;
        lines.push(line(
            "eta_p",
            &format!(
                "refuse(\"rating, voltage, current and power factor of the plate do not fit together\") \
                 when not {least} <= P_r / active_power(V_r, I_r, pf) <= {most}, otherwise P_r / active_power(V_r, I_r, pf)"
            ),
            " in % : motor efficiency \"Efficiency worked from the plate\"",
        ));
    }
    if has("I_0") {
        lines.push(load(
            "load_0",
            &format!(
                "{drive}, refuse(\"the no-load current is not below the plate current\") when I_0 >= I_r, otherwise \
                 load_by_active_current(I, I_r, I_0)"
            ),
            "Load by current and no-load current",
        ));
    }
    lines.push(load(
        "load_s",
        &format!("{at_output}{drive}, {slip}, otherwise load_by_slip(n_s, n, n_r)"),
        "Load by slip",
    ));
    lines.push(load(
        "load_sV",
        &format!("{drive}, {slip}, otherwise load_by_slip_voltage(n_s, n, n_r, V, V_r)"),
        "Load by slip (voltage corrected)",
    ));
    lines.push(load(
        "load_I",
        &format!("{drive}, otherwise load_by_current(I, I_r, V, V_r)"),
        "Load by current (voltage corrected)",
    ));
    if by_power_factor(&has) {
        let voltages = if has("V") && has("V_r") {
            "load_by_current_power_factor(I, I_r, pf, V, V_r) when known(V) and known(V_r), otherwise load_by_current_power_factor(I, I_r, pf, 1 V, 1 V)"
        } else {
            "otherwise load_by_current_power_factor(I, I_r, pf, 1 V, 1 V)"
        };
        lines.push(load(
            "load_pf",
            &format!("{drive}, {voltages}"),
            "Load by current and power factor",
        ));
    }
    // Many lists have amps and nothing else: at plate voltage the ratio of currents is the load, as far as it follows it.
    let alone = has(CURRENT_ALONE);
    if alone {
        lines.push(load(
            "load_A",
            &format!(
                "{drive}, refuse(\"the voltages are known: load by current is corrected by them\") when known(V) and known(V_r) and known(I) and known(I_r), otherwise I / I_r"
            ),
            "Load by current (not corrected by voltage)",
        ));
    }
    let (mut methods, mut uses, mut grades) = (Vec::new(), Vec::new(), Vec::new());
    let mut add = |grade: &str, method: &str, when: &str, formula: &str| {
        methods.push(format!("\"{method}\" when {when}"));
        let so = format!("method = \"{method}\"");
        // The way with and the one without voltages share a name.
        uses.push(format!("{formula} when {so} and known({formula})"));
        let graded = format!("\"{grade}\" when {so}");
        if !grades.contains(&graded) {
            grades.push(graded);
        }
    };
    let ways = ways(&has, alone);
    let of = |way: &Way, trust: &str, word: &str| -> Vec<String> {
        let kept = way
            .rests_on
            .iter()
            .map(|rests| rests.quantity())
            .filter(|name| has(name));
        kept.map(|name| format!("{name} {trust} \"{word}\"")).collect()
    };
    for way in &ways {
        let when = [vec![way.when.clone()], of(way, "=", "good")].concat();
        add(way.grade, way.method, &when.join(" and "), way.formula);
    }
    // What is doubted serves where nothing better is there, and says so.
    for way in &ways {
        let sound = of(way, "≠", "refused");
        if !sound.is_empty() {
            let when = [vec![way.when.clone()], sound].concat();
            let (grade, method) = (format!("{}, doubted", way.grade), format!("{}, doubted", way.method));
            add(&grade, &method, &when.join(" and "), way.formula);
        }
    }
    if has("P_a") {
        add(
            "F",
            "assumed: the list says the absorbed power",
            "known(P_a) and known(P_r)",
            "(P_a / P_r)",
        );
    }
    let mut refusals = vec![
        "refuse(\"fed by a drive: measure the input power, or note the output frequency\") when fed = \"drive\""
            .to_owned(),
    ];
    for way in &ways {
        for refused in of(way, "=", "refused") {
            refusals.push(format!(
                "refuse(\"the readings for the load by {} are doubted and were not used: see the doubts of this row\") when known({}) and {refused}",
                way.method, way.formula
            ));
        }
    }
    refusals.push(format!(
        "refuse(\"the current is under half load, where it hardly follows the load, and no better reading is there\") when known(load_I){}{}",
        if alone { " or known(load_A)" } else { "" },
        if by_power_factor(&has) { " or known(load_pf)" } else { "" },
    ));
    refusals.push(
        "refuse(\"the rated slip is under 15 r/min: a speed one turn off would be seven points of load or more\") when known(load_s)"
            .to_owned(),
    );
    lines.push(load(
        BEST_LOAD,
        &format!(
            "{}, {}, otherwise refuse(\"no reading allows a load\")",
            uses.join(", "),
            refusals.join(", "),
        ),
        "Load by the best method",
    ));
    lines.push(line(
        "method",
        &format!("{}, otherwise \"none\"", methods.join(", ")),
        " : text \"Method of the best load\"",
    ));
    lines.push(line(
        "grade",
        &format!("{}, otherwise \"none\"", grades.join(", ")),
        " : text \"Grade of the method, A the best\"",
    ));
    lines
}

/// The load lines of a list with these columns and quantities.
pub fn load_lines(is_column: &dyn Fn(&str) -> bool, is_quantity: &dyn Fn(&str) -> bool) -> Vec<String> {
    works(|name| match name {
        CURRENT_ALONE => is_quantity("load_A"),
        PLATE_EFFICIENCY => is_quantity("eta_p"),
        name => is_column(name),
    })
}

/// The lines that let the best load of a list look at trust which it did not have to look at yet: of a list with these columns and
/// quantities, the given of the trust and the new lines of the best load, by their names.
pub fn with_trust(
    trust: &str,
    is_column: &dyn Fn(&str) -> bool,
    is_quantity: &dyn Fn(&str) -> bool,
) -> Option<Trusting> {
    let given = GIVENS.iter().find(|given| given.name == trust)?;
    let of_load = |lines: Vec<String>| {
        let lines = lines.into_iter();
        lines.filter(|line| BEST.iter().any(|name| line.starts_with(&format!("work {name} = "))))
    };
    let before = of_load(load_lines(is_column, is_quantity)).collect();
    let after = of_load(load_lines(&|name| name == trust || is_column(name), is_quantity)).collect();
    Some(Trusting {
        given: format!("{} : {} {}", given.begun(), given.kind, quoted(given.title)),
        before,
        after,
    })
}

/// What tells the best load.
const BEST: [&str; 3] = [BEST_LOAD, "method", "grade"];

/// See [`with_trust`].
#[derive(Clone, Debug)]
pub struct Trusting {
    /// The line of the given.
    pub given: String,
    /// The lines of the best load as they are.
    pub before: Vec<String>,
    /// And as they shall be, in the same order.
    pub after: Vec<String>,
}

/// A load column of the report.
#[derive(Clone, Copy, Debug)]
pub struct Load {
    /// Its name in the list.
    pub name: &'static str,
    /// Its title, the heading of its column where a list is written back.
    pub title: &'static str,
    /// Its key in the report.
    pub key: &'static str,
}

/// The load by the best method that a row allows.
pub const BEST_LOAD: &str = "load";

/// The load columns, in the order of the report.
pub const LOADS: [Load; 14] = [
    Load {
        name: "n_s",
        title: "Synchronous speed",
        key: "synchronous_speed",
    },
    Load {
        name: "s_r",
        title: "Rated slip",
        key: "rated_slip",
    },
    Load {
        name: "T_r",
        title: "Rated torque",
        key: "rated_torque",
    },
    Load {
        name: "load_P",
        title: "Load by input power",
        key: "load_by_power",
    },
    Load {
        name: "eta_p",
        title: "Efficiency worked from the plate",
        key: "efficiency_by_plate",
    },
    Load {
        name: "load_s",
        title: "Load by slip",
        key: "load_by_slip",
    },
    Load {
        name: "load_sV",
        title: "Load by slip (voltage corrected)",
        key: "load_by_slip_voltage",
    },
    Load {
        name: "load_I",
        title: "Load by current (voltage corrected)",
        key: "load_by_current",
    },
    Load {
        name: "load_pf",
        title: "Load by current and power factor",
        key: "load_by_current_and_power_factor",
    },
    Load {
        name: "load_A",
        title: "Load by current (not corrected by voltage)",
        key: "load_by_current_alone",
    },
    Load {
        name: "load_0",
        title: "Load by current and no-load current",
        key: "load_by_no_load_current",
    },
    Load {
        name: BEST_LOAD,
        title: "Load by the best method",
        key: BEST_LOAD,
    },
    Load {
        name: "method",
        title: "Method of the best load",
        key: "method",
    },
    Load {
        name: "grade",
        title: "Grade of the method, A the best",
        key: "grade",
    },
];

/// Heading of the column that tells the doubts and reasons of a row, where a list is written back.
pub const DOUBTS: &str = "Doubts and reasons";

/// Whether a heading is that of a column that was added when a list was written back: with or without its unit, and for a further
/// motor of a row.
pub fn is_added(heading: &str) -> bool {
    let heading = heading.trim();
    let heading = match heading.rsplit_once(", motor ") {
        Some((before, after)) if after.ends_with(" of the row") => before,
        _ => heading,
    };
    let bare = match heading.strip_suffix(']').and_then(|before| before.rsplit_once(" [")) {
        Some((bare, _)) => bare,
        None => heading,
    };
    // A group above the last column runs on over what is added.
    let is = |title: &str| {
        bare.strip_suffix(title)
            .is_some_and(|before| before.is_empty() || before.ends_with([' ', '\n']))
    };
    is(DOUBTS) || LOADS.iter().any(|load| is(load.title))
}

/// Name of the list in its workbook.
pub const NAME: &str = "motors";

/// The unit a given is in.
fn unit_of(what: What, power: PlateUnit) -> Option<PlateUnit> {
    match what {
        What::Number(Reads::RatedPower) => Some(power),
        What::Number(Reads::Poles) => None,
        What::Number(reads) => Some(reads.usual()).filter(|unit| *unit != PlateUnit::One),
        What::UsedVoltage => Some(PlateUnit::Volt),
        What::UsedCurrent => Some(PlateUnit::Ampere),
        What::AssumedEfficiency => Some(PlateUnit::Percent),
        What::SourceRow | What::Words(_) | What::Fed | What::Service | What::Trust(_) => None,
    }
}

/// What a cell of the list holds.
#[derive(Clone, Debug, PartialEq)]
enum Held {
    /// Nothing.
    Blank,
    /// Words.
    Words(Arc<str>),
    /// A number and its unit as the language writes it; none for a plain number.
    Number(Decimal, Option<&'static str>),
    /// Nothing that could be used, and why.
    Refused(&'static str),
}

/// What the cells of all motors are told with.
struct Told<'a> {
    drive: Arc<str>,
    line: Arc<str>,
    trusted: &'a Trusted,
    /// The words of trust, in the order of [`Trust`].
    trust: [Arc<str>; 3],
    service: [Arc<str>; 3],
    power: PlateUnit,
}

impl<'a> Told<'a> {
    fn of(trusted: &'a Trusted, power: PlateUnit) -> Told<'a> {
        Told {
            drive: Arc::from(DRIVE),
            line: Arc::from(LINE),
            trusted,
            trust: [Trust::Good, Trust::Doubted, Trust::Refused].map(|trust| Arc::from(trust.word())),
            service: SERVICE.map(Arc::from),
            power,
        }
    }
}

fn held(motor: &Looked<'_>, what: What, told: &Told<'_>) -> Held {
    let number = |value: Option<Decimal>, unit: Option<&'static str>| match value {
        Some(value) => Held::Number(value.normalize(), unit),
        None => Held::Blank,
    };
    let one = |reads: Reads| motor.cell(reads).and_then(|cell| motor.motor.of(cell));
    let text = unit_of(what, told.power).map(PlateUnit::text);
    match what {
        What::SourceRow => Held::Number(Decimal::from(motor.motor.source_row()), None),
        What::Words(reads) => match motor.cell(reads).and_then(|cell| cell.words()) {
            Some(words) => Held::Words(words.clone()),
            None => Held::Blank,
        },
        What::Number(Reads::Poles) => number(one(Reads::Poles), Some("pole")),
        What::Number(reads @ (Reads::Quantity | Reads::PowerFactor | Reads::ServiceFactor)) => number(one(reads), None),
        What::Number(reads @ (Reads::RatedPower | Reads::AbsorbedPower | Reads::MeasuredPower)) => {
            // A unit of no power would be a fault of the list.
            match motor.cell(reads).filter(|cell| cell.unit().kilowatts().is_some()) {
                Some(cell) => number(motor.motor.of(cell), Some(cell.unit().text())),
                None => Held::Blank,
            }
        }
        What::Number(reads) => number(one(reads), text),
        What::UsedVoltage => match motor.motor.voltage_refused() {
            Some(why) => Held::Refused(why),
            None => number(motor.motor.used_voltage(), text),
        },
        What::UsedCurrent => match (motor.motor.used_current(), motor.motor.current_refused()) {
            (None, Some(why)) => Held::Refused(why),
            (current, _) => number(current, text),
        },
        What::AssumedEfficiency => {
            let wanted = one(Reads::Efficiency).is_none() && one(Reads::MeasuredPower).is_some();
            let assumed = wanted.then(|| plausible::assumed_efficiency(&motor.motor.motor()));
            number(assumed.flatten(), text)
        }
        What::Fed => Held::Words(match motor.motor.drive() {
            Some(_) => told.drive.clone(),
            None => told.line.clone(),
        }),
        What::Service => {
            let word = told.service.get(service(motor.motor));
            word.map_or(Held::Blank, |word| Held::Words(word.clone()))
        }
        What::Trust(rests) => {
            let trust = told.trusted.at(motor.motor, rests) as usize;
            told.trust
                .get(trust)
                .map_or(Held::Blank, |word| Held::Words(word.clone()))
        }
    }
}

/// A motor as reading wrote it into the list.
#[derive(Debug)]
pub struct Written<'a>(Looked<'a>);

impl<'a> Written<'a> {
    /// Of a motor.
    pub fn of(motor: At<'a>) -> Written<'a> {
        Written(Looked::at(motor))
    }

    /// Whether a cell of the list is the one that reading wrote there.
    pub fn is(&self, reads: Reads, cell: &Cell) -> bool {
        match (self.held(reads), cell) {
            (Held::Blank, Cell::Blank) => true,
            (Held::Words(words), Cell::Text(text) | Cell::Word(text)) => *words == **text,
            (Held::Number(value, unit), Cell::Number(number, typed)) => {
                let typed = typed
                    .as_ref()
                    .filter(|typed| !typed.is_plain())
                    .map(|typed| &*typed.text);
                value == *number && unit == typed
            }
            (Held::Refused(why), Cell::Formula(formula)) => *formula.text == *refusing(why),
            _ => false,
        }
    }

    /// What reading wrote there, as typed.
    pub fn typed(&self, reads: Reads) -> String {
        match self.held(reads) {
            Held::Words(words) => words.to_string(),
            Held::Number(value, Some(unit)) => format!("{value} {unit}"),
            Held::Number(value, None) => value.to_string(),
            Held::Blank | Held::Refused(_) => {
                let raw = self.0.cell(reads).map(|cell| cell.whole().raw.shown());
                match raw.filter(|raw| !raw.is_empty()) {
                    Some(raw) => format!("no value ({raw})"),
                    None => "nothing".to_owned(),
                }
            }
        }
    }

    fn held(&self, reads: Reads) -> Held {
        match given(reads) {
            Some(given) => held(&self.0, given.what, &PLAIN),
            None => Held::Blank,
        }
    }
}

/// Motors of which all is trusted.
static ALL_GOOD: LazyLock<Trusted> = LazyLock::new(Trusted::default);

/// What cells are told with where nobody asks for trust.
static PLAIN: LazyLock<Told<'static>> = LazyLock::new(|| Told::of(&ALL_GOOD, PlateUnit::Kilowatt));

/// What the list calls motors that run, stand by, and are out of service or gone.
const SERVICE: [&str; 3] = ["on duty", "standby", "out of service"];

/// Which of these a motor is.
fn service(motor: At<'_>) -> usize {
    match (motor.out_of_service(), motor.standby()) {
        (true, _) => 2,
        (_, true) => 1,
        _ => 0,
    }
}

/// A motor with its cells by what they are read as.
#[derive(Debug)]
struct Looked<'a> {
    motor: At<'a>,
    at: [Option<CellAt<'a>>; Reads::ALL.len()],
}

impl<'a> Looked<'a> {
    fn at(motor: At<'a>) -> Looked<'a> {
        let mut at = [None; Reads::ALL.len()];
        for cell in motor.cells() {
            if let Some(entry @ None) = at.get_mut(cell.reads() as usize) {
                *entry = Some(cell);
            }
        }
        Looked { motor, at }
    }

    fn cell(&self, reads: Reads) -> Option<CellAt<'a>> {
        self.at.get(reads as usize).copied().flatten()
    }
}

/// What is known of a given over all motors.
struct Column {
    given: &'static Given,
    /// A motor has it.
    filled: bool,
    /// The value all motors share, so far.
    same: Option<Held>,
}

/// The list as a workbook.
pub fn write(origin: &Origin<'_>, motors: &Motors, trusted: &Trusted, power: PlateUnit) -> Workbook {
    let told = Told::of(trusted, power);
    let mut columns: Vec<Column> = GIVENS
        .iter()
        .map(|given| Column {
            given,
            filled: false,
            same: None,
        })
        .collect();
    // Only the frequency is said once for all rows where no column gives it; the others are asked whether they hold anything.
    for (index, motor) in motors.iter().enumerate() {
        let motor = Looked::at(motor);
        for column in &mut columns {
            let one_for_all = matches!(column.given.what, What::Number(Reads::Frequency));
            if column.filled && !one_for_all {
                continue;
            }
            let held = held(&motor, column.given.what, &told);
            // That readings are good and motors on duty is worth no column.
            let usual = match column.given.what {
                What::Trust(rests) => trusted.at(motor.motor, rests) == Trust::Good,
                What::Service => service(motor.motor) == 0,
                _ => held == Held::Blank,
            };
            column.filled |= !usual;
            if one_for_all {
                column.same = match column.same.take() {
                    _ if index == 0 => Some(held),
                    same => same.filter(|same| *same == held),
                };
            }
        }
    }
    // Where no motor has a tag, what it drives names it, if that tells all of them apart: the first text of a list names its rows.
    let machines: HashSet<&str> = motors
        .iter()
        .filter_map(|motor| motor.words(Reads::Description))
        .map(|words| &**words)
        .collect();
    let apart = machines.len() == motors.iter().count();
    let place = |columns: &[Column], reads: Reads, filled: bool| {
        let is = |column: &Column| matches!(column.given.what, What::Words(of) if of == reads);
        columns.iter().position(|column| is(column) && column.filled == filled)
    };
    if let (Some(tag), Some(machine)) = (
        place(&columns, Reads::Tag, false),
        place(&columns, Reads::Description, true).filter(|_| apart),
    ) {
        let machine = columns.remove(machine);
        columns.insert(0, machine);
        columns.remove(tag + 1);
    }
    let mut head = String::new();
    let _ = writeln!(head, "polepair 1");
    let _ = writeln!(head, "workbook {}", quoted(origin.title));
    let _ = writeln!(head);
    let _ = writeln!(head, "list {NAME} {}", quoted(origin.title));
    let _ = writeln!(
        head,
        "  note \"Loads are estimates for qualified people. Measuring on live parts and near turning shafts is dangerous. Nameplate, maker's data, local code and licensed practice govern.\""
    );
    let _ = write!(head, "{}  read {}", origin.said, quoted(origin.file));
    if let Some(sheet) = origin.sheet {
        let _ = write!(head, " sheet {}", quoted(sheet));
    }
    if let Some(headings) = origin.headings {
        let _ = write!(head, " headings {headings}");
    }
    let _ = writeln!(head, " digest {}", quoted(origin.digest));
    let mut kept: Vec<&Given> = Vec::new();
    let alone = motors.iter().any(|motor| {
        motor.one(Reads::MeasuredCurrent).is_some()
            && (motor.one(Reads::MeasuredVoltage).is_none() || motor.used_voltage().is_none())
            && motor.drive().is_none()
    });
    let by_plate = motors.iter().any(|motor| {
        motor.one(Reads::MeasuredPower).is_some()
            && motor.one(Reads::Efficiency).is_none()
            && motor.one(Reads::PowerFactor).is_some()
            && motor.used_voltage().is_some()
            && motor.used_current().is_some()
    });
    let has = |name: &str| match name {
        CURRENT_ALONE => alone,
        PLATE_EFFICIENCY => by_plate,
        name => columns.iter().any(|column| column.given.name == name && column.filled),
    };
    for column in &columns {
        let given = column.given;
        if SELDOM.contains(&given.name) && !column.filled {
            continue;
        }
        let heading = heading_of(motors, given.what);
        let _ = write!(head, "  {}", given.begun());
        // One frequency for all rows that no column gives is said once.
        let constant = column.same.as_ref().filter(|held| **held != Held::Blank);
        if let Some(Held::Number(value, Some(unit))) = constant {
            let _ = write!(head, " = {value} {unit}");
        } else if let Some(unit) = unit_of(given.what, power) {
            let _ = write!(head, " in {}", unit.text());
        } else if matches!(given.what, What::Number(Reads::Poles)) {
            let _ = write!(head, " in pole");
        }
        if !given.kind.is_empty() {
            let _ = write!(head, " : {}", given.kind);
        }
        let _ = write!(head, " {}", quoted(given.title));
        if !heading.is_empty() {
            let _ = write!(head, " from {}", quoted(&heading));
        }
        match worked_out(motors, given.what).filter(|_| heading.is_empty()) {
            Some(how) => {
                let _ = write!(head, " assumed {}", quoted(&how));
            }
            None if given.source.is_empty() => {}
            None => {
                let _ = write!(head, " {}", given.source);
            }
        }
        let _ = writeln!(head);
        if constant.is_none() && (column.filled || given.name == "tag") {
            kept.push(given);
        }
    }
    for work in works(has) {
        let _ = writeln!(head, "  {work}");
    }
    let names: Vec<&str> = kept.iter().map(|given| given.name).collect();
    let _ = writeln!(head, "  rows {}", names.join(" | "));
    let mut book = text::read(&head);
    let mut units = Units(Vec::new());
    if let Some(rows) = book.sheets.last_mut().and_then(|sheet| sheet.rows.as_mut()) {
        rows.rows = motors
            .iter()
            .map(|motor| {
                let looked = Looked::at(motor);
                Row {
                    before: None,
                    number: 0,
                    indent: Row::INDENT,
                    cells: kept
                        .iter()
                        .map(|given| match held(&looked, given.what, &told) {
                            Held::Blank => Cell::Blank,
                            Held::Words(words) => Cell::Text(words),
                            Held::Number(value, None) => Cell::Number(value, None),
                            Held::Number(value, Some(unit)) => Cell::Number(value, units.of(unit)),
                            Held::Refused(why) => refused(why),
                        })
                        .collect(),
                    faulty: None,
                    faults: None,
                    comment: remark(motor),
                }
            })
            .collect();
    }
    book
}

fn refusing(why: &str) -> String {
    format!("refuse({})", quoted(why))
}

/// A cell that says why it is empty.
fn refused(why: &str) -> Cell {
    let text = refusing(why);
    Cell::Formula(Box::new(Formula {
        tree: Arc::new(parse(&text).0),
        text: text.into(),
        at: 0,
        faulty: false,
    }))
}

/// The few units of plates, each read once.
struct Units(Vec<(&'static str, Option<Arc<Unit>>)>);

impl Units {
    fn of(&mut self, text: &'static str) -> Option<Arc<Unit>> {
        if let Some((_, unit)) = self.0.iter().find(|(known, _)| *known == text) {
            return unit.clone();
        }
        let unit = Unit::known(text).map(Arc::new);
        self.0.push((text, unit.clone()));
        unit
    }
}

/// The heading a given was read from: of the first row that has one.
fn heading_of(motors: &Motors, what: What) -> String {
    let reads = match what {
        What::Words(reads) | What::Number(reads) => reads,
        What::UsedVoltage => Reads::Voltage,
        What::UsedCurrent => Reads::RatedCurrent,
        What::SourceRow | What::Fed | What::Service | What::AssumedEfficiency | What::Trust(_) => return String::new(),
    };
    motors
        .iter()
        .take(1000)
        .filter_map(|motor| motor.cell(reads))
        .find(|cell| !cell.column().is_empty() && !cell.is_nothing())
        .map(|cell| cell.column().to_owned())
        .unwrap_or_default()
}

/// How sure what no cell says can be at most: less than what a heading or a title says.
const WORKED_OUT: u8 = 85;

/// How the values of a given came about where no motor's plate says it, such as poles implied by the speed.
fn worked_out(motors: &Motors, what: What) -> Option<String> {
    let What::Number(reads @ (Reads::Poles | Reads::Frequency)) = what else {
        return None;
    };
    let mut said = motors.iter().take(1000).filter_map(|motor| motor.cell(reads));
    let first = said.next()?;
    let is_so = |cell: &CellAt<'_>| cell.column().is_empty() && cell.confidence() <= WORKED_OUT;
    let is_all = is_so(&first) && said.all(|cell| is_so(&cell));
    first.note().filter(|_| is_all).map(str::to_owned)
}

/// The cells as they stood in the source, where that is not what the list shows: kept as a comment at the end of the row.
fn remark(motor: At<'_>) -> Option<Arc<str>> {
    let mut out = String::new();
    for cell in motor.cells() {
        if cell.column().is_empty() || cell.reads().sort() != Sort::Number {
            continue;
        }
        let Some(raw) = cell.raw_text() else { continue };
        let raw = raw.trim();
        let plain = cell.one().is_some_and(|value| raw == value.to_string());
        if plain || raw.is_empty() || cell.note().is_some_and(|note| note.contains("as in the row above")) {
            continue;
        }
        out.push_str(if out.is_empty() { "# " } else { "; " });
        out.push_str(cell.column());
        out.push_str(": ");
        out.extend(
            raw.chars()
                .map(|sign| if sign.is_control() { ' ' } else { sign })
                .take(80),
        );
    }
    (!out.is_empty()).then(|| Arc::from(out))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is graded is explained, and nothing else is.
    #[test]
    fn every_grade_is_explained() {
        let lines = works(|_| true);
        let grades = lines
            .iter()
            .find(|line| line.starts_with("work grade"))
            .map_or("", |line| line);
        for (grade, ..) in GRADES {
            assert!(grades.contains(&format!("\"{grade}\" when")), "{grade} in {grades}");
        }
        let known = |grade: &str| GRADES.iter().any(|(known, ..)| *known == grade);
        assert!(ways(&|_| true, true).iter().all(|way| known(way.grade)));
    }

    /// Columns added when a list is written back are known again by the titles of the load columns.
    #[test]
    fn every_load_column_has_its_title() {
        let lines = works(|_| true);
        for load in LOADS {
            let begins = format!("work {} = ", load.name);
            let line = lines.iter().find(|line| line.starts_with(&begins));
            let ends = format!("\"{}\"", load.title);
            assert!(
                line.is_some_and(|line| line.ends_with(&ends)),
                "{}: {line:?}",
                load.name
            );
        }
        for (heading, added) in [
            ("Rated slip [%]", true),
            ("Load by slip, motor 2 of the row", true),
            ("Load by slip [%], motor 2 of the row", true),
            ("Doubts and reasons", true),
            // The group over the last column of the list runs on over them.
            ("Motor data Grade of the method, A the best", true),
            ("Notes\nEfficiency worked from the plate [%]", true),
            ("Overload by slip", false),
            ("Rated slip (%)", false),
            ("Load", false),
        ] {
            assert_eq!(is_added(heading), added, "{heading}");
        }
    }
}
