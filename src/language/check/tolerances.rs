//! Tolerances: what a typed number may be off, in its own unit, in per cent, between limits, or by a published schedule
//! (`schedules`).
//!
//! For: two limits in the unit of the number, as formulas, for each `±`.
//! Always: a `±` stands after a typed number of a line of its own, and is one source of doubt wherever that line is read. Limits
//! that are typed are ordered here; those that are worked are ordered when they are worked.
//! Not known here: what a source does to the results that rest on it.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::calls::Parameter;
use super::schedules::{self, SCHEDULES};
use super::term::Term;
use super::typed::{Op, Toleranced};
use super::walk::{Bound, Checker, Part};
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::language::syntax::{Expr, Literal, Name, Node, Tolerance};
use crate::quantity::nearest::nearest;
use crate::quantity::{Kind, Number, Unit, convert};

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
            Tolerance::Size(size) => self.by_size(&literal, &unit, size, value.span),
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
            published: matches!(tolerance, Tolerance::Schedule { .. }),
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

    /// `50±2 Hz`, `400 V ± 10`: the unit stands at one of both.
    fn one_unit(&mut self, place: Span, literal: &Literal, size: &Expr, of_size: Option<&Unit>) {
        let (value, size_said) = (self.said(place).to_owned(), self.said(size.span).to_owned());
        let whole = place.join(size.span);
        let own = literal.unit.as_ref().map(|written| self.said(written.span).to_owned());
        let write: Vec<String> = match (&own, of_size) {
            (None, Some(of_size)) if of_size.offset.is_some() => {
                let step = if &*of_size.text == "°F" { "°F" } else { "K" };
                let number = typed(size).map(|(number, _)| number.normalize()).unwrap_or_default();
                vec![format!("{value} {} ± {number} {step}", of_size.text)]
            }
            (None, Some(of_size)) => vec![format!("{value} {} ± {size_said}", of_size.text)],
            (Some(own), None) if own == "%" => vec![format!("{value} ± {size_said} %")],
            (Some(own), None) => vec![
                format!("{value} ± {size_said} {own}"),
                format!("{value} ± {size_said} %"),
            ],
            _ => {
                let unit = literal
                    .unit
                    .as_ref()
                    .map_or_else(Unit::plain, |written| written.unit.clone());
                self.wrong_unit(size.span, &unit, false);
                return;
            }
        };
        let list = write
            .iter()
            .map(|write| format!("`{write}`"))
            .collect::<Vec<_>>()
            .join(" or ");
        let message = if own.is_none() {
            format!(
                "`{size_said}` is no tolerance of `{value}`, which has no unit; a value and its tolerance have one each"
            )
        } else {
            format!("`± {size_said}` has no unit, and `{value}` has one")
        };
        let fault = Fault::new(Code::TOLERANCE_UNIT, whole, message).help(format!("write {list}"));
        let fault = write
            .into_iter()
            .fold(fault, |fault, write| fault.fix(format!("write {write}"), whole, write));
        self.fault(fault);
    }

    /// `± 8 r/min`, `± 2 %`
    fn by_size(&mut self, literal: &Literal, unit: &Unit, size: &Expr, value_span: Span) -> Option<(Op, Op)> {
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
            own => {
                self.one_unit(value_span, literal, size, own.as_ref());
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
        let Some(schedule) = schedules::find(name) else {
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
            let kinds: Vec<&str> = entry.needs.iter().map(|(_, kind)| *kind).collect();
            let needs = if kinds.is_empty() {
                "nothing else".to_owned()
            } else {
                kinds.join(" and ")
            };
            self.fault(
                Fault::new(
                    Code::TOLERANCE_SCHEDULE,
                    name_span,
                    format!("the tolerance of {} {kind} depends on {needs}", words::article(kind)),
                )
                .help(format!("write `{}`", schedule.written(entry))),
            );
            return None;
        }
        let x = Expr {
            node: Node::Number(literal.clone()),
            span: at,
        };
        let arguments: Vec<Expr> = std::iter::once(x).chain(arguments.iter().cloned()).collect();
        let mut limits = Vec::new();
        for (text, body) in schedules::formulas(schedule, entry)? {
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
