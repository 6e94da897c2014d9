//! Roles: which end of a machine a power stands at, line and phase, which speed a slip is divided by.
//!
//! For: warnings about right formulas with a wrong base or denominator. None of them stops a formula.
//! Always: only where the kinds say enough; a quantity without a kind raises nothing.
//! Not known here: tags.

use super::term::{Count, ONE, Term, sixtieths};
use super::units::UnitGoal;
use super::walk::Checker;
use crate::fault::{Code, Fault};
use crate::language::syntax::{Expr, Node, ProductSign};
use crate::quantity::kind::{SpeedRole, Stage};
use crate::quantity::{Base, Dimension, Family, Kind};

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

fn is_power_or_energy(dimension: &Dimension) -> bool {
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

const END_WORDS: [&str; 3] = ["electrical input", "shaft power", "hydraulic power"];

impl Checker<'_> {
    /// Efficiencies the wrong way round, and one end taken for another.
    pub(super) fn stages(&mut self, term: &Term, goal: &UnitGoal) {
        let ends = ends(term);
        if ends == [0; 3] {
            return;
        }
        match goal.kind.map(Kind::family) {
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
        if is_power_or_energy(&term.dimension)
            && ends.iter().sum::<i32>() == ONE
            && ends.iter().any(|end| *end >= 2 * ONE)
            && ends.iter().any(|end| *end <= -ONE)
        {
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

    /// Line voltage times line current without √3.
    pub(super) fn root_three(&mut self, term: &Term, goal: &UnitGoal) {
        if self.scope.single_phase() {
            return;
        }
        let kind = goal.kind.or(goal.unit.kind).map(Kind::family);
        let power = matches!(
            kind,
            Some(Family::Power { .. } | Family::ApparentPower | Family::ReactivePower)
        ) && is_power_or_energy(&goal.unit.dimension);
        let line = (term.count(Count::LineVoltage), term.count(Count::LineCurrent));
        let phase = (term.count(Count::PhaseVoltage), term.count(Count::PhaseCurrent));
        let current = matches!(kind, Some(Family::Current { .. }))
            && goal
                .kind
                .is_some_and(|kind| matches!(kind.family(), Family::Current { within } if within == crate::quantity::kind::Conductor::Line));
        let said = self.said(term.span).to_owned();
        if power && line == (ONE, ONE) && term.count(Count::RootThree) == 0
            || current && line == (-ONE, 0) && term.count(Count::Energy) == ONE && term.count(Count::RootThree) == 0
        {
            self.fault(
                Fault::new(
                    Code::ROOT_THREE_MISSING,
                    term.span,
                    format!(
                        "there is no √3 in `{said}`; with line voltage and line current, three-phase power takes it"
                    ),
                )
                .help("write `sqrt(3) * V * I`; for a single-phase motor write `supply single-phase` in the sheet"),
            );
        } else if power && phase == (ONE, ONE) && term.count(Count::Three) == 0 {
            self.fault(
                Fault::new(
                    Code::ROOT_THREE_MISSING,
                    term.span,
                    format!("`{said}` is the power of one phase; three phases have three times as much"),
                )
                .help("write `3 * V_ph * I_ph`; for a single-phase motor write `supply single-phase` in the sheet"),
            );
        }
    }

    /// A slip divided by a speed other than synchronous.
    pub(super) fn slip_base(&mut self, expr: &Expr) {
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
        let other = match self.scope.quantity(name).map(|named| named.sort) {
            Some(super::Sort::Quantity { kind: Some(kind), .. }) => match kind.family() {
                Family::ShaftSpeed { role } => {
                    role != SpeedRole::Synchronous && (role != SpeedRole::Any || kind.words() == "shaft speed")
                }
                _ => false,
            },
            _ => false,
        };
        let subtracted = parts.iter().any(|(sign, part)| {
            *sign == ProductSign::Times
                && match &part.node {
                    Node::Sum(terms) => terms.iter().any(|(sign, term)| {
                        *sign == crate::language::syntax::SumSign::Minus
                            && matches!(&term.node, Node::Name(other) if other == name)
                    }),
                    _ => false,
                }
        });
        if other || subtracted {
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
