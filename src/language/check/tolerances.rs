//! Tolerances: what a typed number may be off, in its own unit, in per cent, between limits, or by a published schedule.
//!
//! For: two limits in the unit of the number, as formulas, for each `±`.
//! Always: a `±` stands after a typed number of a line of its own, and is one source of doubt wherever that line is read. Limits
//! that are typed are ordered here; those that are worked are ordered when they are worked.
//! Not known here: what a source does to the results that rest on it.

use std::collections::HashMap;
use std::sync::{Arc, LazyLock};

use rust_decimal::Decimal;

use super::calls::Parameter;
use super::term::Term;
use super::typed::{Op, Toleranced};
use super::walk::{Bound, Checker, Part};
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::language::syntax::{self, Expr, Literal, Name, Node, Tolerance};
use crate::quantity::nearest::nearest;
use crate::quantity::{Kind, Number, Unit, convert};

/// A published schedule of tolerances.
pub struct Schedule {
    /// Its name after `±`.
    pub name: &'static str,
    /// What it is, with the table it is taken from.
    pub title: &'static str,
    /// What it says, by kind.
    pub entries: &'static [ScheduleEntry],
}

/// What a schedule says of some kinds. The value is `x`.
pub struct ScheduleEntry {
    /// Kinds it holds for.
    pub kinds: &'static [&'static str],
    /// What else it depends on: name and kind, in the order they are written.
    pub needs: &'static [(&'static str, &'static str)],
    /// Lower limit.
    pub low: &'static str,
    /// Upper limit.
    pub high: &'static str,
}

const fn entry(
    kinds: &'static [&'static str],
    needs: &'static [(&'static str, &'static str)],
    low: &'static str,
    high: &'static str,
) -> ScheduleEntry {
    ScheduleEntry {
        kinds,
        needs,
        low,
        high,
    }
}

const SPEEDS: &[&str] = &["rated speed", "shaft speed"];
const EFFICIENCIES: &[&str] = &["motor efficiency", "efficiency"];
const OUTPUT: (&str, &str) = ("P_r", "shaft power");
const SYNCHRONOUS: (&str, &str) = ("n_s", "synchronous speed");

/// The schedules. Figures are those of the tables `iec_60034_1_12`, `nema_mg1_12_58` and `nema_mg1_12_10`; a side without a limit
/// stays at the value.
pub static SCHEDULES: &[Schedule] = &[
    Schedule {
        name: "iec_60034_1",
        title: "IEC 60034-1 clause 12, schedule of tolerances (table iec_60034_1_12)",
        entries: &[
            entry(
                EFFICIENCIES,
                &[OUTPUT],
                "x - 15 % * (1 - x) when P_r <= 150 kW, otherwise x - 10 % * (1 - x)",
                "x",
            ),
            entry(
                &["power factor"],
                &[],
                "x - smallest(largest((1 - x) / 6, 0.02), 0.07)",
                "x",
            ),
            entry(
                &["slip"],
                &[OUTPUT],
                "x - 20 % * x when P_r >= 1 kW, otherwise x - 30 % * x",
                "x + 20 % * x when P_r >= 1 kW, otherwise x + 30 % * x",
            ),
            entry(
                SPEEDS,
                &[SYNCHRONOUS, OUTPUT],
                "x - 20 % * (n_s - x) when P_r >= 1 kW, otherwise x - 30 % * (n_s - x)",
                "x + 20 % * (n_s - x) when P_r >= 1 kW, otherwise x + 30 % * (n_s - x)",
            ),
            entry(&["locked-rotor current"], &[], "x", "x + 20 % * x"),
            entry(&["locked-rotor torque"], &[], "x - 15 % * x", "x + 25 % * x"),
            entry(&["pull-up torque"], &[], "x - 15 % * x", "x"),
            entry(&["breakdown torque"], &[], "x - 10 % * x", "x"),
            entry(&["inertia"], &[], "x - 10 % * x", "x + 10 % * x"),
        ],
    },
    Schedule {
        name: "nema_mg_1",
        title: "NEMA MG 1 clauses 12.44 to 12.58, tolerances on plate values (tables nema_mg1_12_58 and nema_mg1_12_10)",
        entries: &[
            entry(SPEEDS, &[SYNCHRONOUS], "x - 20 % * (n_s - x)", "x + 20 % * (n_s - x)"),
            entry(&["rated current"], &[], "x", "x + 10 % * x"),
            entry(
                EFFICIENCIES,
                &[],
                "only(nema_mg1_12_10.eta_min for nema_mg1_12_10 where nema_mg1_12_10.eta = x)",
                "x",
            ),
            entry(&["line voltage"], &[], "x - 10 % * x", "x + 10 % * x"),
        ],
    },
];

static BODIES: LazyLock<HashMap<&'static str, Expr>> = LazyLock::new(|| {
    SCHEDULES
        .iter()
        .flat_map(|schedule| schedule.entries)
        .flat_map(|entry| [entry.low, entry.high])
        .map(|text| (text, syntax::parse(text).0))
        .collect()
});

impl Checker<'_> {
    /// `1760 r/min ± 8 r/min`, with a minus before it or not.
    pub(super) fn toleranced(&mut self, value: &Expr, tolerance: &Tolerance, minus: bool, span: Span) -> Part {
        let Node::Number(literal) = &value.node else {
            return Part::Unknown;
        };
        let literal = Literal {
            value: if minus { -literal.value } else { literal.value },
            unit: literal.unit.clone(),
        };
        if !self.tolerances_allowed || self.inside.is_some() || self.rows.is_some() {
            self.fault(
                Fault::new(
                    Code::TOLERANCE_PLACE,
                    span,
                    "a tolerance belongs to the number of a `given` or `work` line, where it is one for all that read it",
                )
                .help("give the number a line of its own with its tolerance, and use its name here"),
            );
            return Part::Unknown;
        }
        if let Some(written) = &literal.unit {
            self.unit_or_name(written, literal.value);
        }
        let mut term = self.number(&literal, value.span);
        let unit = literal
            .unit
            .as_ref()
            .map_or_else(Unit::plain, |written| written.unit.clone());
        let limits = match tolerance {
            Tolerance::Size(size) => self.by_size(&literal, &unit, size),
            Tolerance::Of(share, of) => self.by_share(&literal, &unit, share, of, value.span),
            Tolerance::Limits(low, high) => self.by_limits(&literal, &unit, low, high),
            Tolerance::Schedule {
                name,
                name_span,
                arguments,
            } => self.by_schedule(&literal, &unit, (name, *name_span), arguments, value.span),
        };
        let Some((low, high)) = limits else {
            return Part::Unknown;
        };
        let index = self.tolerances;
        self.tolerances += 1;
        term.op = Op::Toleranced(Box::new(Toleranced {
            index,
            nominal: Number::Exact(literal.value),
            low,
            high,
        }));
        term.literal = None;
        term.constants = Vec::new();
        term.span = span;
        Part::Term(term)
    }

    fn wrong_size(&mut self, span: Span, message: String) {
        self.fault(Fault::new(Code::TOLERANCE_SIZE, span, message).help(
            "write the size without a sign, `± 8 r/min`, or both limits, the lower one first: `limits 1750 r/min … 1768 r/min`",
        ));
    }

    fn wrong_unit(&mut self, span: Span, unit: &Unit, kelvin: bool) {
        let said = self.said(span).to_owned();
        let own = if unit.is_plain() { "a plain number" } else { &unit.text };
        let fault = Fault::new(
            Code::TOLERANCE_UNIT,
            span,
            format!("`{said}` is no tolerance of a value in {own}"),
        );
        self.fault(if kelvin {
            fault.help("a temperature on a scale has no per cent; write its tolerance in K: `40 °C ± 2 K`")
        } else {
            fault.help(format!(
                "give the tolerance in {own}, in per cent of the value, `± 2 %`, or in per cent of something: `± 20 % of (n_s - n)`"
            ))
        });
    }

    /// `± 8 r/min`, `± 2 %`
    fn by_size(&mut self, literal: &Literal, unit: &Unit, size: &Expr) -> Option<(Op, Op)> {
        let (value, own) = typed(size)?;
        if value.is_sign_negative() && !value.is_zero() {
            let said = self.said(size.span).to_owned();
            self.wrong_size(
                size.span,
                format!("`{said}` is negative; a tolerance reaches to both sides anyway"),
            );
            return None;
        }
        let half = match own {
            Some(own) if &*own.text == "%" || &*own.text == "‰" => {
                if unit.offset.is_some() {
                    self.wrong_unit(size.span, unit, true);
                    return None;
                }
                if unit.text == own.text {
                    let said = self.said(size.span).to_owned();
                    self.fault(
                        Fault::new(
                            Code::TOLERANCE_OF_PERCENT,
                            size.span,
                            format!("`± {said}` is taken as {said} of the value, which is in per cent itself"),
                        )
                        .help("where points are meant, write the limits: `92 % limits 90 % … 94 %`"),
                    );
                }
                let parts = Decimal::from(if &*own.text == "%" { 100 } else { 1000 });
                literal.value.abs().checked_mul(value)?.checked_div(parts)?
            }
            Some(own) if own.dimension == unit.dimension => {
                // A difference: steps of a scale, without its zero.
                let factor = own.factor.div(&unit.factor);
                factor.apply_to(Number::Exact(value)).ok()?.to_decimal()?
            }
            None if unit.dimension.is_none() => convert(value, &Unit::plain(), unit).ok()?.to_decimal()?,
            _ => {
                self.wrong_unit(size.span, unit, false);
                return None;
            }
        };
        let number = |value: Decimal| Op::Number(Number::Exact(value));
        Some((
            number(literal.value.checked_sub(half)?),
            number(literal.value.checked_add(half)?),
        ))
    }

    /// `± 20 % of (n_s - n)`
    fn by_share(&mut self, literal: &Literal, unit: &Unit, share: &Expr, of: &Expr, at: Span) -> Option<(Op, Op)> {
        let (value, own) = typed(share)?;
        let parts = match own.map(|own| own.text.to_string()).as_deref() {
            Some("%") => Decimal::ONE_HUNDRED,
            Some("‰") => Decimal::from(1000),
            _ => {
                self.wrong_unit(share.span, unit, false);
                return None;
            }
        };
        if value.is_sign_negative() && !value.is_zero() {
            let said = self.said(share.span).to_owned();
            self.wrong_size(
                share.span,
                format!("`{said}` is negative; a tolerance reaches to both sides anyway"),
            );
            return None;
        }
        // The name of its own line means the number as typed.
        let own = self.own.clone();
        if let Some(own) = &own {
            let mut number = self.number(literal, at);
            if number.unit.is_none() {
                number.unit = literal.unit.as_ref().map(|written| written.unit.clone());
            }
            self.bound.push(Bound {
                name: own.clone(),
                part: Part::Term(number),
            });
        }
        let term = self.term(of);
        if own.is_some() {
            self.bound.pop();
        }
        let term = term.and_then(|term| self.real(term, "what a tolerance is a part of"))?;
        if term.point {
            self.point_fault(&term);
            return None;
        }
        let difference = Unit {
            offset: None,
            kind: None,
            ..unit.clone()
        };
        let term = self.in_unit(term, &difference, None, Span::default())?;
        let half = Op::Product(vec![
            (false, term.op),
            (false, Op::Number(Number::Exact(value.checked_div(parts)?))),
        ]);
        let nominal = || Op::Number(Number::Exact(literal.value));
        Some((
            Op::Sum(vec![(false, nominal()), (true, half.clone())]),
            Op::Sum(vec![(false, nominal()), (false, half)]),
        ))
    }

    /// `limits 1750 r/min … 1768 r/min`
    fn by_limits(&mut self, literal: &Literal, unit: &Unit, low: &Expr, high: &Expr) -> Option<(Op, Op)> {
        let mut limits = Vec::new();
        for limit in [low, high] {
            let (value, own) = typed(limit)?;
            let own = own.unwrap_or_else(Unit::plain);
            match convert(value, &own, unit) {
                Ok(number) => limits.push(number),
                Err(_) => {
                    self.wrong_unit(limit.span, unit, false);
                    return None;
                }
            }
        }
        let [low_number, high_number] = limits.as_slice() else {
            return None;
        };
        let value = Number::Exact(literal.value);
        if low_number.compare(value).is_gt() || high_number.compare(value).is_lt() {
            let said = self.said(low.span.join(high.span)).to_owned();
            self.wrong_size(
                low.span.join(high.span),
                format!("the value does not stand between its limits `{said}`"),
            );
            return None;
        }
        Some((Op::Number(*low_number), Op::Number(*high_number)))
    }

    /// `± iec_60034_1(P_r)`
    fn by_schedule(
        &mut self,
        literal: &Literal,
        unit: &Unit,
        (name, name_span): (&Name, Span),
        arguments: &[Expr],
        at: Span,
    ) -> Option<(Op, Op)> {
        let Some(schedule) = SCHEDULES.iter().find(|schedule| schedule.name == &**name) else {
            let names = SCHEDULES.iter().map(|schedule| schedule.name);
            let fault = Fault::new(
                Code::TOLERANCE_SCHEDULE,
                name_span,
                format!("`{name}` is neither a size nor a schedule of tolerances"),
            );
            let near = nearest(name, names.clone(), 1);
            self.fault(match near.first() {
                Some(near) => fault.help(format!("did you mean `{near}`?")).fix(
                    format!("write {near}"),
                    name_span,
                    (*near).to_owned(),
                ),
                None => fault.help(format!(
                    "write the size, `± 8 r/min`, or one of the schedules: {}",
                    names.collect::<Vec<_>>().join(", ")
                )),
            });
            return None;
        };
        let kind = self.own_kind.map(Kind::words).unwrap_or_default();
        let Some(entry) = schedule.entries.iter().find(|entry| entry.kinds.contains(&kind)) else {
            let kinds: Vec<&str> = schedule
                .entries
                .iter()
                .filter_map(|entry| entry.kinds.first().copied())
                .collect();
            let found = if kind.is_empty() {
                "this line declares no kind".to_owned()
            } else {
                format!("it says nothing of {} {kind}", words::article(kind))
            };
            self.fault(
                Fault::new(
                    Code::TOLERANCE_SCHEDULE,
                    name_span,
                    format!("`{name}` goes by the kind of the line, and {found}"),
                )
                .help(format!("declare one of its kinds: {}", kinds.join(", "))),
            );
            return None;
        };
        if arguments.len() != entry.needs.len() {
            let list: Vec<&str> = entry.needs.iter().map(|(need, _)| *need).collect();
            let kinds: Vec<&str> = entry.needs.iter().map(|(_, kind)| *kind).collect();
            let (needs, write) = if list.is_empty() {
                ("nothing else".to_owned(), format!("± {name}"))
            } else {
                (kinds.join(" and "), format!("± {name}({})", list.join(", ")))
            };
            self.fault(
                Fault::new(
                    Code::TOLERANCE_SCHEDULE,
                    name_span,
                    format!("the tolerance of {} {kind} depends on {needs}", words::article(kind)),
                )
                .help(format!("write `{write}`")),
            );
            return None;
        }
        let x = Expr {
            node: Node::Number(literal.clone()),
            span: at,
        };
        let arguments: Vec<Expr> = std::iter::once(x).chain(arguments.iter().cloned()).collect();
        let mut limits = Vec::new();
        for text in [entry.low, entry.high] {
            let body = BODIES.get(text)?;
            let parameters = std::iter::once(("x", None))
                .chain(entry.needs.iter().map(|(need, kind)| (*need, Kind::find(kind))))
                .map(|(name, kind)| Parameter {
                    name: Arc::from(name),
                    kind,
                    real: true,
                })
                .collect();
            let part = self.in_place(name, parameters, &arguments, body, text, None, true, name_span);
            let Part::Term(term) = part else {
                return None;
            };
            let plain = Unit {
                kind: None,
                ..unit.clone()
            };
            limits.push(self.limit_of(term, &plain)?);
        }
        let high = limits.pop()?;
        Some((limits.pop()?, high))
    }

    fn limit_of(&mut self, term: Term, unit: &Unit) -> Option<Op> {
        // A power factor as a plain number stays one.
        if unit.dimension.is_none() && term.is_plain() {
            let term = term.scaled();
            return Some(super::term::scaled(
                term.op,
                &crate::quantity::Factor::one().div(&unit.factor),
            ));
        }
        Some(self.in_unit(term, unit, None, Span::default())?.op)
    }
}

/// A number as typed, with its sign and unit.
fn typed(expr: &Expr) -> Option<(Decimal, Option<Unit>)> {
    match &expr.node {
        Node::Number(literal) => Some((literal.value, literal.unit.as_ref().map(|written| written.unit.clone()))),
        Node::Negative(inner) => typed(inner).map(|(value, unit)| (-value, unit)),
        _ => None,
    }
}
