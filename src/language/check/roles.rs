//! Roles: which end of a machine a power stands at, line and phase, which speed a slip is divided by.
//!
//! For: warnings about right formulas with a wrong base or denominator. None of them stops a formula.
//! Always: only where the kinds say enough; a quantity without a kind raises nothing, but for a slip that its name or title calls so.
//! Not known here: tags.

use super::Sort;
use super::term::{Count, Marks, ONE, Term, sixtieths};
use super::units::UnitGoal;
use super::walk::{Checker, written};
use super::words::Meeting;
use crate::fault::{Code, Fault};
use crate::language::syntax::{Expr, Node, ProductSign, Signed, SumSign};
use crate::quantity::kind::{Conductor, SpeedRole, Stage};
use crate::quantity::{Base, Dimension, Family, Kind, Unit};

/// Exponents of electrical, shaft and hydraulic power.
type Ends = [i32; 3];

fn ends(term: &Term) -> Ends {
    [
        term.count(Count::Input),
        term.count(Count::Shaft),
        term.count(Count::Hydraulic),
    ]
}

fn is_unit(ends: &Ends) -> bool {
    ends.iter().filter(|end| **end != 0).count() == 1 && ends.contains(&ONE)
}

/// Whether a neutral power times this leads from one end to another.
fn is_step(ends: &Ends) -> bool {
    ends.contains(&ONE) && ends.contains(&-ONE) && ends.iter().sum::<i32>() == 0
}

pub(super) fn is_power_or_energy(dimension: &Dimension) -> bool {
    let get = |base| sixtieths(dimension.get(base));
    get(Base::Mass) == ONE && get(Base::Length) == 2 * ONE && get(Base::Time) == -3 * ONE && get(Base::Current) == 0
}

fn stage_index(stage: Stage) -> Option<usize> {
    match stage {
        Stage::Electrical => Some(0),
        Stage::Shaft => Some(1),
        Stage::Hydraulic => Some(2),
        Stage::Any | Stage::AirGap | Stage::Loss => None,
    }
}

/// Exponents of voltages and currents.
fn of_terminals(term: &Term) -> (i32, i32) {
    (
        term.count(Count::LineVoltage) + term.count(Count::PhaseVoltage) + term.count(Count::Voltage),
        term.count(Count::LineCurrent) + term.count(Count::PhaseCurrent) + term.count(Count::Current),
    )
}

/// What is paid for is electrical.
fn is_annual_energy(goal: &UnitGoal) -> bool {
    goal.kind.is_some_and(|kind| kind.words() == "annual energy")
}

/// Whether an efficiency leads away from where the power stands: the power of an end times what comes before it.
fn is_turned(ends: &Ends) -> bool {
    ends.iter().sum::<i32>() == ONE && ends.iter().any(|end| *end >= 2 * ONE) && ends.iter().any(|end| *end <= -ONE)
}

const END_WORDS: [&str; 3] = ["electrical input", "shaft power", "hydraulic power"];

/// Whether all that could lead from one end to another says so. A ratio of which nothing is said may be an efficiency.
fn says_its_ends(term: &Term) -> bool {
    term.count(Count::Undeclared) == 0 && !term.marks.has(Marks::OPEN_ENDS)
}

/// Words of the one end a power stands at, and its place on the way from the supply; none where the kinds do not say.
fn one_end(term: &Term) -> Option<(usize, &'static str)> {
    let ends = ends(term);
    let at = ends.iter().position(|end| *end == ONE)?;
    (says_its_ends(term) && is_unit(&ends) && is_power_or_energy(&term.dimension))
        .then(|| END_WORDS.get(at).map(|words| (at, *words)))
        .flatten()
}

/// Ratios of different things, which are never each other.
pub(super) fn is_share(family: Family) -> bool {
    matches!(
        family,
        Family::Slip | Family::Load | Family::Efficiency { .. } | Family::PowerFactor
    )
}

/// Whether one is the speed of the field and the other one of the shaft.
pub(super) fn are_other_speeds(one: Family, other: Family) -> bool {
    let (Family::ShaftSpeed { role: one }, Family::ShaftSpeed { role: other }) = (one, other) else {
        return false;
    };
    let said = |role| role != SpeedRole::Any && role != SpeedRole::Slip;
    said(one) && said(other) && (one == SpeedRole::Synchronous) != (other == SpeedRole::Synchronous)
}

impl Checker<'_> {
    /// Efficiencies the wrong way round, and one end taken for another.
    pub(super) fn stages(&mut self, term: &Term, goal: &UnitGoal) {
        let ends = ends(term);
        let certain = says_its_ends(term);
        if ends == [0; 3] {
            let shaft = matches!(goal.kind.map(Kind::family), Some(Family::Power { role: Stage::Shaft }));
            if shaft && certain && of_terminals(term) == (ONE, ONE) {
                self.ends_differ(term, "electrical input", "shaft power");
            }
            return;
        }
        // What is in amperes is a current, whether it is declared one or not.
        let current = goal
            .unit
            .kind
            .filter(|kind| matches!(kind.family(), Family::Current { .. }));
        match goal.kind.or(current).map(Kind::family) {
            // Current and power factor belong to the electrical end, torque to the shaft.
            Some(Family::Current { .. } | Family::PowerFactor) if certain && ends == [0, ONE, 0] => {
                self.ends_differ(term, "shaft power", "electrical input");
            }
            Some(Family::Current { .. } | Family::PowerFactor | Family::Torque) if is_turned(&ends) => {
                self.wrong_way(term);
            }
            Some(Family::Torque) if certain && ends == [ONE, 0, 0] => {
                self.ends_differ(term, "electrical input", "shaft power");
            }
            Some(Family::Power { .. }) if certain && ends == [0, ONE, 0] && is_annual_energy(goal) => {
                self.ends_differ(term, "shaft power", "electrical input");
            }
            Some(Family::Power { role }) => {
                let Some(at) = stage_index(role) else {
                    self.stages_alone(term);
                    return;
                };
                if !is_unit(&ends) && !is_step(&ends) {
                    self.stages_alone(term);
                    return;
                }
                let fits = ends.get(at) == Some(&ONE);
                if fits {
                    return;
                }
                if is_unit(&ends) {
                    let found = ends.iter().position(|end| *end == ONE).unwrap_or(0);
                    self.ends_differ(
                        term,
                        END_WORDS.get(found).copied().unwrap_or("power"),
                        END_WORDS.get(at).copied().unwrap_or("power"),
                    );
                } else {
                    self.wrong_way(term);
                }
            }
            Some(Family::Efficiency { from, to }) => {
                if let (Some(from), Some(to)) = (stage_index(from), stage_index(to))
                    && from != to
                    && is_step(&ends)
                    && ends.get(to) == Some(&-ONE)
                    && ends.get(from) == Some(&ONE)
                {
                    self.wrong_way(term);
                }
            }
            Some(Family::Load) => {
                if is_step(&ends) {
                    let found = ends.iter().position(|end| *end == ONE).unwrap_or(0);
                    let over = ends.iter().position(|end| *end == -ONE).unwrap_or(0);
                    self.ends_differ(
                        term,
                        END_WORDS.get(found).copied().unwrap_or("power"),
                        END_WORDS.get(over).copied().unwrap_or("power"),
                    );
                }
            }
            _ => self.stages_alone(term),
        }
    }

    /// The same where nothing is said of the result.
    pub(super) fn stages_alone(&mut self, term: &Term) {
        let ends = ends(term);
        if is_power_or_energy(&term.dimension) && is_turned(&ends) {
            self.wrong_way(term);
        }
    }

    fn wrong_way(&mut self, term: &Term) {
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::EFFICIENCY_WRONG_WAY,
                term.span,
                format!("in `{said}` the efficiency is the wrong way round"),
            )
            .help("multiply on the way from the supply to the load, divide on the way back: `P_sh = P_in * eta`, `P_in = P_sh / eta`, `P_sh = P_hyd / eta_pump`"),
        );
    }

    fn ends_differ(&mut self, term: &Term, found: &str, wanted: &str) {
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::ENDS_DIFFER,
                term.span,
                format!("`{said}` gives {found}, where {wanted} is meant"),
            )
            .help("an efficiency stands between the two: multiply by it towards the load, divide by it towards the supply"),
        );
    }

    /// Powers of two ends of a machine, added to or compared with each other.
    pub(super) fn ends_meet(&mut self, first: &Term, term: &Term, meeting: Meeting) {
        let (Some((at, is)), Some((other, first_is))) = (one_end(term), one_end(first)) else {
            return;
        };
        if at == other {
            return;
        }
        let (between, example) = match (at.min(other), at.max(other)) {
            (0, 1) => (
                "the motor's efficiency",
                "`P_in * eta` or `P_sh / eta`, with `eta : motor efficiency`",
            ),
            (1, 2) => (
                "the efficiency of the pump or fan",
                "`P_hyd / eta`, with `eta : pump efficiency`",
            ),
            _ => (
                "the efficiencies of the motor and of the pump or fan",
                "`P_hyd / eta_p / eta_m`, with `eta_p : pump efficiency` and `eta_m : motor efficiency`",
            ),
        };
        let (said, first_said) = (self.said(term.span).to_owned(), self.said(first.span).to_owned());
        let act = if meeting.adding() { "add" } else { "compare" };
        self.fault(
            Fault::new(
                Code::ENDS_DIFFER,
                term.span,
                format!("`{said}` is {is} and `{first_said}` is {first_is}; between the two stands {between}"),
            )
            .help(format!("{act} powers of one end: {example}")),
        );
    }

    /// One quantity taken for another by the kind of its line: line for phase, another speed for the synchronous one, one ratio for
    /// another.
    pub(super) fn taken_for(&mut self, term: &Term, kind: Kind) {
        let voltage = (term.count(Count::LineVoltage), term.count(Count::PhaseVoltage));
        let current = (term.count(Count::LineCurrent), term.count(Count::PhaseCurrent));
        let root = term.count(Count::RootThree);
        // A √3 inside a phasor is not counted.
        let certain = !term.phasor
            && term.count(Count::Undeclared) == 0
            && term.kind.is_none_or(|own| own.family() != Family::Other);
        // Up or down by √3, whichever way it goes; only alone is it nothing else.
        let other = match kind.family() {
            Family::Voltage { between } if current == (0, 0) => match (between, voltage) {
                (Conductor::Phase, (ONE, 0)) => (root != -ONE).then_some("line voltage"),
                (Conductor::Line, (0, ONE)) => (root != ONE).then_some("phase voltage"),
                _ => None,
            },
            Family::Current { within } if voltage == (0, 0) && term.count(Count::Energy) == 0 => {
                match (within, current) {
                    // In star, which most circuits are worked in, the two are the same.
                    (Conductor::Phase, (ONE, 0)) => (root != -ONE && root != 0).then_some("line current"),
                    (Conductor::Line, (0, ONE)) => (root != ONE && root != 0).then_some("phase current"),
                    _ => None,
                }
            }
            _ => None,
        };
        if let Some(other) = other.filter(|_| certain) {
            let said = self.said(term.span).to_owned();
            self.fault(
                Fault::new(
                    Code::OTHER_ROLE,
                    term.span,
                    format!("`{said}` is made of a {other} and taken for {} {}", super::words::article(kind.words()), kind.words()),
                )
                .help(
                    "in star the line voltage is √3 times the phase voltage, in delta the line current √3 times the phase current; \
                     where the two are the same in this connection, say so: `accept other-role \"delta\"`",
                ),
            );
            return;
        }
        let Some(own) = term.kind else { return };
        let (is, wanted) = (own.family(), kind.family());
        let ratios = is_share(is) && is_share(wanted) && !is.comparable(wanted);
        if ratios || are_other_speeds(is, wanted) {
            let said = self.said(term.span).to_owned();
            self.fault(
                Fault::new(
                    Code::OTHER_ROLE,
                    term.span,
                    format!(
                        "`{said}` is {} {} and taken for {} {}",
                        super::words::article(own.words()),
                        own.words(),
                        super::words::article(kind.words()),
                        kind.words()
                    ),
                )
                .help("look whether another quantity is meant, or give this line the kind of what it is"),
            );
        }
    }

    /// The kind of a quantity, where the expression is the name of one.
    pub(super) fn kind_named(&self, expr: &Expr) -> Option<Kind> {
        let Node::Name(name) = &expr.node else { return None };
        match self.scope.quantity(name)?.sort {
            super::Sort::Quantity { kind, .. } => kind,
            _ => None,
        }
    }

    /// Torque and power with the wrong one of two speeds: the shaft's for the shaft, the field's for the air gap.
    pub(super) fn speed_of_power(&mut self, expr: &Expr, term: &Term, kind: Kind) {
        let expr = match &expr.node {
            Node::In(inner, _) => inner,
            _ => expr,
        };
        let Node::Product(parts) = &expr.node else { return };
        let factors: Vec<(ProductSign, &Expr, Option<Family>)> = parts
            .iter()
            .map(|(sign, part)| (*sign, part, self.kind_named(part).map(Kind::family)))
            .collect();
        let mut speeds = factors.iter().filter_map(|(sign, part, family)| match family {
            Some(Family::ShaftSpeed { role }) if *role != SpeedRole::Any && *role != SpeedRole::Slip => {
                Some((*sign, *part, *role == SpeedRole::Synchronous))
            }
            _ => None,
        });
        // Of two speeds one is a ratio of speeds.
        let (Some((sign, at, synchronous)), None) = (speeds.next(), speeds.next()) else {
            return;
        };
        let has = |wanted: Family| factors.iter().any(|(_, _, family)| *family == Some(wanted));
        let air_gap = has(Family::Power { role: Stage::AirGap });
        // A slip, or an efficiency of no known ends, leads from one to the other.
        let open = has(Family::Slip) || !says_its_ends(term);
        let stage = if air_gap {
            Some(Stage::AirGap)
        } else {
            (ends(term) == [0, ONE, 0]).then_some(Stage::Shaft)
        };
        let stage = stage.filter(|_| !open);
        let torque = has(Family::Torque) && !open;
        let wrong = match (kind.family(), sign) {
            (Family::Power { role: Stage::Shaft }, ProductSign::Times) if torque => synchronous,
            (Family::Power { role: Stage::AirGap }, ProductSign::Times) if torque => !synchronous,
            (Family::Torque, ProductSign::Over) => match stage {
                Some(Stage::Shaft) => synchronous,
                Some(Stage::AirGap) => !synchronous,
                _ => false,
            },
            _ => false,
        };
        if wrong {
            let said = self.said(at.span).to_owned();
            let (is, wanted) = if synchronous {
                ("the synchronous speed", "the speed of the shaft")
            } else {
                ("a speed of the shaft", "the synchronous speed")
            };
            self.fault(
                Fault::new(
                    Code::OTHER_ROLE,
                    at.span,
                    format!("`{said}` is {is}; here it takes {wanted}"),
                )
                .help("shaft power is torque times the speed of the shaft, air-gap power torque times the synchronous speed"),
            );
        }
    }

    fn is_synchronous(&self, expr: &Expr) -> bool {
        let synchronous = Family::ShaftSpeed {
            role: SpeedRole::Synchronous,
        };
        self.kind_named(expr).is_some_and(|kind| kind.family() == synchronous)
    }

    /// The synchronous speed taken from the speed of the shaft.
    fn slip_turned(&mut self, terms: &[Signed<SumSign>]) {
        let [(SumSign::Plus, shaft), (SumSign::Minus, field)] = terms else {
            return;
        };
        let span = shaft.span.join(field.span);
        let write = format!("{} - {}", self.said(field.span), self.said(shaft.span));
        let fault = Fault::new(
            Code::SLIP_BASE,
            span,
            format!(
                "`{}` is turned round: slip is what the shaft falls behind the field, the synchronous speed less its own",
                self.said(span)
            ),
        );
        let label = written(self.text(), span, &write);
        self.fault(
            fault
                .help(format!(
                    "write `{write}`; of a generator, which runs ahead, the slip is negative that way"
                ))
                .fix(label, span, write),
        );
    }

    /// A slip divided by a speed other than synchronous. Where only its name says that it is one (`declared`), the speed that is taken from
    /// another one has to stand below, too.
    pub(super) fn slip_base(&mut self, expr: &Expr, declared: bool) {
        let expr = match &expr.node {
            Node::In(inner, _) => inner,
            _ => expr,
        };
        let Node::Product(parts) = &expr.node else {
            return;
        };
        let over: Vec<&Expr> = parts
            .iter()
            .filter(|(sign, _)| *sign == ProductSign::Over)
            .map(|(_, part)| part)
            .collect();
        let [over] = over.as_slice() else {
            return;
        };
        let Node::Name(name) = &over.node else {
            return;
        };
        let other = self.kind_named(over).is_some_and(|kind| match kind.family() {
            Family::ShaftSpeed { role } => {
                role != SpeedRole::Synchronous && (role != SpeedRole::Any || kind.words() == "shaft speed")
            }
            _ => false,
        });
        let above = parts.iter().filter(|(sign, _)| *sign == ProductSign::Times);
        let difference = above.filter_map(|(_, part)| match &part.node {
            Node::Sum(terms) => Some(terms.as_slice()),
            _ => None,
        });
        let subtracted = difference.into_iter().find(|terms| {
            let of_name = |term: &Expr| matches!(&term.node, Node::Name(other) if other == name);
            terms
                .iter()
                .any(|(sign, term)| *sign == SumSign::Minus && of_name(term))
        });
        if let (Some(terms), true) = (subtracted, self.is_synchronous(over)) {
            self.slip_turned(terms);
            return;
        }
        let is_speed = || self.scope.quantity(name).is_some_and(|known| is_of_turns(&known.sort));
        if declared && other || subtracted.is_some() && (declared || is_speed()) {
            self.fault(
                Fault::new(
                    Code::SLIP_BASE,
                    over.span,
                    format!("slip is a part of the synchronous speed; `{name}` is another speed"),
                )
                .help("write `(n_s - n) / n_s`, with n_s the synchronous speed `f / p`"),
            );
        }
    }
}

/// Whether what is read is a speed of a shaft, by its unit.
fn is_of_turns(sort: &Sort) -> bool {
    let turns = Kind::find("shaft speed").map(|kind| Unit::usual(kind, false));
    matches!((sort, turns), (Sort::Quantity { unit, .. }, Some(turns)) if unit.dimension == turns.dimension)
}
