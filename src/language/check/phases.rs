//! Three phases: √3 and 3 beside line and phase values, and the power factor between a power and a current.
//!
//! For: warnings about powers, currents and impedances that lack one of them, or have the wrong one.
//! Always: a sheet that says `supply single-phase` is told of no phases. Where nothing says between what a voltage is or in what a
//! current, only alternating current is looked at: where a power factor takes part or an apparent or reactive power.
//! Not known here: ends of a machine (`roles`).

use super::term::{Count, Marks, ONE, Term};
use super::units::UnitGoal;
use super::walk::{Checker, written};
use crate::fault::{Code, Fault, Span};
use crate::quantity::kind::Conductor;
use crate::quantity::{Base, Family, Kind};

/// Exponents of what decides about phases, as they are before anything is settled: a settled power has no power factor in it.
#[derive(Clone, Copy)]
pub(super) struct Phases {
    /// Voltage and current.
    line: (i32, i32),
    phase: (i32, i32),
    /// Of which it is not said.
    unsaid: (i32, i32),
    root: i32,
    three: i32,
    /// Powers and energies.
    energy: i32,
    alternating: bool,
    /// A power in watts, over whatever it is.
    active: bool,
}

impl Phases {
    pub(super) fn of(term: &Term, goal: &UnitGoal) -> Phases {
        let tags = [Base::Active, Base::Apparent, Base::Reactive].map(|base| term.tag(base));
        let count = |one, other| (term.count(one), term.count(other));
        let [_, apparent, reactive] = tags;
        let by_angle = [Count::Cosine, Count::Sine].iter().any(|count| term.count(*count) != 0);
        let asked = matches!(family(goal), Some(Family::ApparentPower | Family::ReactivePower));
        Phases {
            line: count(Count::LineVoltage, Count::LineCurrent),
            phase: count(Count::PhaseVoltage, Count::PhaseCurrent),
            unsaid: count(Count::Voltage, Count::Current),
            root: term.count(Count::RootThree),
            three: term.count(Count::Three),
            energy: term.count(Count::Energy),
            // In a phasor the two parts of a power are still one, and it is worked for one phase.
            alternating: !term.phasor
                && (apparent != 0 || reactive != 0 || by_angle || asked || term.marks.has(Marks::POWER_FACTOR)),
            active: tags == [ONE, 0, 0],
        }
    }

    /// A voltage times a current, of which one at least may be anything.
    fn is_unsaid_product(self) -> bool {
        let volts = self.line.0 + self.unsaid.0;
        let amperes = self.line.1 + self.unsaid.1;
        self.unsaid != (0, 0) && self.phase == (0, 0) && (volts, amperes) == (ONE, ONE)
    }

    /// A power over a voltage that is no phase's.
    fn is_power_over(self, line: i32, unsaid: i32) -> bool {
        (self.line, self.unsaid, self.phase) == ((line, 0), (unsaid, 0), (0, 0)) && self.energy == ONE
    }

    /// Neither √3 nor 3.
    fn is_bare(self) -> bool {
        self.root == 0 && self.three == 0
    }
}

/// What is told of a formula.
struct Told {
    code: Code,
    message: String,
    help: &'static str,
    /// Where √3 goes, or 3 where the values may be those of a phase.
    put: Vec<(Span, &'static str)>,
}

fn missing(message: String, help: &'static str) -> Told {
    Told {
        code: Code::ROOT_THREE_MISSING,
        message,
        help,
        put: Vec::new(),
    }
}

fn family(goal: &UnitGoal) -> Option<Family> {
    goal.kind.or(goal.unit.kind).map(Kind::family)
}

/// What is asked for is an impedance or a part of one.
fn is_impedance(goal: &UnitGoal) -> bool {
    goal.kind
        .or(goal.unit.kind)
        .is_some_and(|kind| matches!(kind.words(), "impedance" | "resistance" | "reactance"))
}

/// Before a product.
fn before(span: Span, factor: &'static str) -> (Span, &'static str) {
    (Span::new(span.start as usize, span.start as usize), factor)
}

/// Below the line, behind a quotient.
fn below(span: Span, divisor: &'static str) -> (Span, &'static str) {
    (Span::new(span.end as usize, span.end as usize), divisor)
}

const ROOT: &str = "sqrt(3) * ";
const OVER_ROOT: &str = " / sqrt(3)";

const POWER_OF_LINE: &str =
    "write `sqrt(3) * V * I`; for a single-phase motor write `supply single-phase` in the sheet";

const POWER_OF_UNSAID: &str = "write `sqrt(3) * V * I` with the values of the lines, `3 * V * I` with those of a phase, and say which they are: \
     `V : line voltage`, `I : line current`; for a single-phase motor write `supply single-phase` in the sheet";

const CURRENT_OF_LINE: &str =
    "write `P / (sqrt(3) * V * pf)`; for a single-phase motor write `supply single-phase` in the sheet";

const CURRENT_OF_UNSAID: &str = "write `P / (sqrt(3) * V * pf)` with the voltage between two lines, and say that it is: `V : line voltage`; \
     for a single-phase motor write `supply single-phase` in the sheet";

/// What is wrong with a power.
fn of_power(term: &Term, said: &str, phases: Phases) -> Option<Told> {
    let Phases { line, phase, root, .. } = phases;
    let nothing_of_phases = term.count(Count::Undeclared) == 0 && !term.marks.has(Marks::ONE_AND_HALF);
    // In star 3·V_ph·I_L is right, in delta 3·V_L·I_ph.
    let both = (line.0 + phase.0, line.1 + phase.1) == (ONE, ONE);
    let mixed = both && line != (ONE, ONE) && phase != (ONE, ONE);
    let of_phase = phase.0 == ONE && line == (0, 0) && phase.1 <= 0;
    let squared = (line.0, phase.0, line.1 + phase.1) == (0, 0, 2 * ONE);
    let told = if line == (ONE, ONE) && root == 0 {
        let message =
            format!("there is no √3 in `{said}`; with line voltage and line current, three-phase power takes it");
        Told {
            put: phases.is_bare().then(|| before(term.span, ROOT)).into_iter().collect(),
            ..missing(message, POWER_OF_LINE)
        }
    } else if line == (ONE, ONE) && root == 2 * ONE {
        missing(
            format!("√3 stands twice in `{said}`; with line voltage and line current, three-phase power takes it once"),
            "write `sqrt(3) * V * I`",
        )
    } else if phases.is_unsaid_product() && phases.is_bare() && phases.alternating {
        let message =
            format!("there is no √3 in `{said}`; three-phase power takes it with the voltage between two lines");
        Told {
            put: vec![before(term.span, ROOT), before(term.span, "3 * ")],
            ..missing(message, POWER_OF_UNSAID)
        }
    } else if root == ONE && (mixed || of_phase) {
        missing(
            format!(
                "in `{said}` a phase value stands beside √3; √3 belongs to line voltage and line current, 3 to phase values"
            ),
            "write `sqrt(3) * V_line * I_line` or `3 * V_ph * I_ph`",
        )
    } else if phase.0 == ONE && line.0 == 0 && phases.three == 0 {
        missing(
            format!("`{said}` is the power of one phase; three phases have three times as much"),
            "write `3 * V_ph * I_ph`; for a single-phase motor write `supply single-phase` in the sheet",
        )
    } else if squared && phases.three == 0 && nothing_of_phases {
        missing(
            format!("`{said}` is the power in one phase; three phases have three times as much"),
            "write `3 * I^2 * R` with the resistance of one phase, `1.5 * I^2 * R` with the one between two terminals; \
             where one phase is meant, say so: `accept root-three-missing \"one phase\"`",
        )
    } else {
        return None;
    };
    Some(told)
}

/// What is wrong with a current that is not said to be a phase's.
fn of_current(term: &Term, said: &str, phases: Phases) -> Option<Told> {
    let of_line = phases.is_power_over(-ONE, 0);
    let of_unsaid = phases.is_power_over(0, -ONE);
    if of_line && phases.is_bare() {
        return Some(Told {
            put: vec![below(term.span, OVER_ROOT)],
            ..missing(
                format!("there is no √3 in `{said}`; with line voltage and line current, three-phase power takes it"),
                CURRENT_OF_LINE,
            )
        });
    }
    if of_unsaid && phases.is_bare() && phases.alternating {
        return Some(Told {
            put: vec![below(term.span, OVER_ROOT), below(term.span, " / 3")],
            ..missing(
                format!("there is no √3 in `{said}`; three-phase power takes it with the voltage between two lines"),
                CURRENT_OF_UNSAID,
            )
        });
    }
    if of_line && phases.root == 0 && phases.three == -ONE {
        return Some(missing(
            format!("`{said}` is the current of one phase in delta; the line current takes √3 in the place of 3"),
            "write `P / (sqrt(3) * V * pf)`; where the current of a phase is meant, say so: `: phase current`",
        ));
    }
    let without = phases.active && !phases.alternating && term.count(Count::Undeclared) == 0;
    ((of_line || of_unsaid) && phases.root == -ONE && without).then(|| Told {
        code: Code::POWER_FACTOR_MISSING,
        message: format!("there is no power factor in `{said}`; between a power in watts and a current stands one"),
        help: "write `P / (sqrt(3) * V * pf)`, with `pf : power factor`; for a heater or another load without an angle \
               divide by `1 W/VA`",
        put: Vec::new(),
    })
}

impl Checker<'_> {
    /// Powers, currents and impedances of three phases.
    pub(super) fn three_phases(&mut self, term: &Term, phases: Phases, goal: &UnitGoal) {
        if self.scope.single_phase() {
            return;
        }
        let said = self.said(term.span).to_owned();
        let told = match family(goal) {
            Some(Family::Power { .. } | Family::ApparentPower | Family::ReactivePower)
                if super::roles::is_power_or_energy(&goal.unit.dimension) =>
            {
                of_power(term, &said, phases)
            }
            Some(Family::Current { within }) if within != Conductor::Phase => of_current(term, &said, phases),
            _ if is_impedance(goal) && phases.line == (ONE, -ONE) && phases.root == 0 => Some(missing(
                format!("there is no √3 in `{said}`; line voltage over line current is the impedance of no phase"),
                "write `V / (sqrt(3) * I)` for a phase in star, `sqrt(3) * V / I` for one in delta; \
                 for a single-phase motor write `supply single-phase` in the sheet",
            )),
            _ => None,
        };
        let Some(told) = told else { return };
        let fault = Fault::new(told.code, term.span, told.message).help(told.help);
        let text = self.text();
        let fault = told.put.into_iter().fold(fault, |fault, (place, put)| {
            fault.fix(written(text, place, put), place, put)
        });
        self.fault(fault);
    }
}
