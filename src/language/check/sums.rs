//! Sums, comparisons, choices: where two parts have to be of one kind, they are brought to one unit here.
//!
//! For: everything that asks "the same as the first".
//! Always: the first part decides the unit; the others are scaled to it exactly, once.
//! Not known here: products.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::roles::is_share;
use super::settle::{self, Refusal, Wanted};
use super::term::{Count, Marks, ONE, Term, scaled};
use super::typed::{Op, Scale};
use super::units;
use super::walk::{Checker, Part};
use super::words::{self, Asked, Meeting};
use crate::fault::{Code, Fault, Span};
use crate::language::functions;
use crate::language::syntax::{Comparison, Expr, Node, Signed, SumSign};
use crate::quantity::kind::Conductor;
use crate::quantity::nearest::nearest;
use crate::quantity::{Base, Dimension, Exponent, Family, Kind, Unit};

impl Checker<'_> {
    /// Settles a term by itself. Tells a fault where it cannot stand.
    pub(super) fn natural(&mut self, mut term: Term) -> Option<Term> {
        self.constants(&term)?;
        self.rates(&term, None)?;
        match settle::naturally(&mut term) {
            Ok(()) => Some(term),
            Err(refusal) => {
                let fault = words::refusal(refusal, &term, self.text(), &Asked::Nobody);
                self.fault(fault);
                None
            }
        }
    }

    /// Settles a term by itself and seats it in a unit.
    pub(super) fn seated(&mut self, term: Term) -> Option<Term> {
        let term = self.natural(term)?;
        self.stages_alone(&term);
        if term.unit.is_some() && term.is_single() {
            return Some(term);
        }
        let unit = units::natural(&term, self.scope.us_units())?;
        let kind = if term.unit.is_some() { term.kind } else { None };
        let mut seated = units::seat(term, &unit, kind);
        if seated.dimension.is_none() && kind.is_none() {
            seated.unit = seated.unit.filter(|unit| &*unit.text != "1");
        }
        Some(seated)
    }

    pub(super) fn sum(&mut self, parts: &[Signed<SumSign>], span: Span) -> Part {
        let terms: Vec<Option<(bool, Term)>> = parts
            .iter()
            .map(|(sign, part)| self.term(part).map(|term| (*sign == SumSign::Minus, term)))
            .collect();
        let Some(terms) = terms.into_iter().collect::<Option<Vec<_>>>() else {
            return Part::Unknown;
        };
        if terms.iter().any(|(_, term)| term.point) {
            return self.sum_of_points(terms, span);
        }
        if let Some(part) = self.squares(&terms, span) {
            return part;
        }
        self.shares(&terms);
        self.share_from_one(&terms);
        // tan φ₁ − tan φ₂ carries active to reactive power, as each of them does.
        let tangents = terms.iter().all(|(_, term)| term.is_tangent());
        let mut settled = Vec::with_capacity(terms.len());
        let mut wrong = false;
        for (minus, term) in terms {
            match self.seated(term) {
                Some(term) => settled.push((minus, term)),
                None => wrong = true,
            }
        }
        if wrong {
            return Part::Unknown;
        }
        if settled.iter().any(|(_, term)| term.phasor) {
            for (_, term) in &mut settled {
                if term.tag(Base::Active) == ONE {
                    super::phasors::apparent(term);
                }
            }
        }
        let active = |term: &Term| term.tag(Base::Active) == ONE;
        let difference = match settled.as_slice() {
            [(false, first), (true, second)] => active(first) && active(second),
            _ => false,
        };
        match self.unify(settled, Meeting::Sum) {
            Some((terms, mut out)) => {
                out.span = span;
                if difference {
                    out.marks = out.marks.with(Marks::ACTIVE_DIFFERENCE);
                }
                if tangents {
                    out.set(Count::Tangent, ONE);
                }
                out.op = Op::Sum(terms.into_iter().map(|(minus, term)| (minus, term.op)).collect());
                out.literal = None;
                Part::Term(out)
            }
            None => Part::Unknown,
        }
    }

    /// Brings settled terms to the unit of the first. Gives them and a term like the first for the whole, without its op.
    pub(super) fn unify(&mut self, terms: Vec<(bool, Term)>, meeting: Meeting) -> Option<(Vec<(bool, Term)>, Term)> {
        let adding = meeting.adding();
        let mut list = terms.into_iter();
        let (minus, first) = list.next()?;
        let mut whole = first.clone();
        whole.op = Op::Truth(false);
        let mut kind = first.kind;
        let first_minus = minus;
        let mut out = vec![(minus, first)];
        let mut wrong = false;
        let mut same_stage = true;
        let mut same_terminals = true;
        for (minus, mut term) in list {
            let zero = !adding && term.literal == Some(Decimal::ZERO) && !whole.point;
            let first_zero = !adding && whole.literal == Some(Decimal::ZERO) && !term.point;
            if zero {
                term.factor = whole.factor.clone();
                out.push((minus, term));
                continue;
            }
            if first_zero {
                for (_, earlier) in &mut out {
                    earlier.factor = term.factor.clone();
                }
                whole = term.clone();
                whole.op = Op::Truth(false);
                kind = term.kind;
                out.push((minus, term));
                continue;
            }
            same_terminals &= TERMINALS
                .into_iter()
                .all(|count| term.count(count) == whole.count(count));
            same_stage &= [Count::Shaft, Count::Input, Count::Hydraulic, Count::Loss]
                .into_iter()
                .all(|count| term.count(count) == whole.count(count));
            if !self.comparable(&whole, &term, meeting) {
                wrong = true;
                continue;
            }
            // A difference of two ends is a loss.
            if !adding || minus == first_minus {
                self.ends_meet(&whole, &term, meeting);
            }
            match meet(&mut whole, &mut term) {
                Ok(()) => {
                    whole.phasor |= term.phasor;
                    whole.conjugate &= term.conjugate;
                    term.op = scaled(term.op, &term.factor.div(&whole.factor));
                    if kind != term.kind {
                        kind = None;
                    }
                    let extra = term.marks;
                    out.push((minus, term));
                    whole.marks = whole.marks.with(extra.without(Marks::ACTIVE_DIFFERENCE));
                }
                Err(refusal) => {
                    let asked = Asked::Operand { first: &whole, meeting };
                    let fault = words::refusal(refusal, &term, self.text(), &asked);
                    self.fault(fault);
                    wrong = true;
                }
            }
        }
        if wrong {
            return None;
        }
        whole.kind = kind;
        whole.literal = None;
        super::phasors::dressed(&mut whole);
        if out.len() > 1 {
            whole.constants = Vec::new();
            whole.set(Count::Undeclared, 0);
            whole.set(Count::Three, 0);
            whole.set(Count::RootThree, 0);
        }
        if !same_terminals {
            // Squares of kVA and kW under a root: what volts and amperes prove alone is not proved of both.
            for count in TERMINALS {
                whole.set(count, 0);
            }
        }
        if !same_stage {
            for count in [Count::Shaft, Count::Input, Count::Hydraulic, Count::Loss] {
                whole.set(count, 0);
            }
        }
        Some((out, whole))
    }

    /// Whether the kinds of two terms may meet in a sum or comparison; a fault or warning is told where not.
    fn comparable(&mut self, first: &Term, term: &Term, meeting: Meeting) -> bool {
        let adding = meeting.adding();
        let family = |term: &Term| {
            term.kind
                .or_else(|| term.unit.as_ref().and_then(|unit| unit.kind))
                .map(Kind::family)
        };
        if adding && across(first, term) {
            let (said, first_said) = (self.said(term.span).to_owned(), self.said(first.span).to_owned());
            self.fault(
                Fault::new(
                    Code::CANNOT_ADD,
                    term.span,
                    format!("of `{first_said}` and `{said}` one is a resistance and one a reactance; they stand at a right angle"),
                )
                .help("write `R + j*X` for the impedance as a phasor, or `sqrt(R^2 + X^2)` for its size"),
            );
            return false;
        }
        let (Some(one), Some(other)) = (family(first), family(term)) else {
            return true;
        };
        if is_share(one) && is_share(other) && !one.comparable(other) {
            let (said, first_said) = (self.said(term.span).to_owned(), self.said(first.span).to_owned());
            let (is, first_is) = (words::of(term), words::of(first));
            self.fault(
                Fault::new(
                    if adding { Code::CANNOT_ADD } else { Code::CANNOT_COMPARE },
                    term.span,
                    words::beside((&said, is), (&first_said, first_is.clone()), meeting),
                )
                .help("they are shares of different things; multiply them, or bring both to one kind")
                .note(first.span, first_is),
            );
            return false;
        }
        if first.dimension.is_none() || term.dimension.is_none() {
            return true;
        }
        let pair = |a: fn(Family) -> bool, b: fn(Family) -> bool| a(one) && b(other) || b(one) && a(other);
        let is_torque = |family: Family| family == Family::Torque;
        let (said, first_said) = (self.said(term.span).to_owned(), self.said(first.span).to_owned());
        let (is, first_is) = (words::of(term), words::of(first));
        if pair(is_torque, units::is_energy)
            || pair(
                |family| family == Family::Inertia,
                |family| family == Family::FlywheelEffect,
            )
            || pair(
                |family| family == Family::ElectricalAngularSpeed,
                |family| matches!(family, Family::ShaftSpeed { .. }),
            ) && (first.marks.has(Marks::MECHANICAL) || term.marks.has(Marks::MECHANICAL))
        {
            self.fault(
                Fault::new(
                    if adding { Code::CANNOT_ADD } else { Code::CANNOT_COMPARE },
                    term.span,
                    words::beside((&said, is), (&first_said, first_is.clone()), meeting),
                )
                .help("bring both to one kind first")
                .note(first.span, first_is),
            );
            return false;
        }
        let mixed = match (one, other) {
            (Family::Voltage { between: a }, Family::Voltage { between: b }) => line_and_phase(a, b),
            (Family::Current { within: a }, Family::Current { within: b }) => line_and_phase(a, b),
            _ => false,
        };
        if mixed {
            self.fault(
                Fault::new(
                    Code::LINE_AND_PHASE,
                    term.span,
                    format!("`{said}` is {is} and `{first_said}` is {first_is}; one is between lines, the other of one phase"),
                )
                .help("in star the line voltage is √3 times the phase voltage; in delta the line current is √3 times the phase current"),
            );
        }
        true
    }

    /// Sums in which temperatures on a scale take part.
    fn sum_of_points(&mut self, terms: Vec<(bool, Term)>, span: Span) -> Part {
        let plus = terms.iter().filter(|(minus, term)| !minus && term.point).count();
        let minus = terms.iter().filter(|(minus, term)| *minus && term.point).count();
        if plus > minus + 1 || minus > plus {
            let (at, said) = terms
                .iter()
                .filter(|(_, term)| term.point)
                .nth(1)
                .or(terms.iter().find(|(_, term)| term.point))
                .map(|(_, term)| (term.span, self.said(term.span).to_owned()))
                .unwrap_or((span, String::new()));
            self.fault(
                Fault::new(
                    Code::POINT_AND_DIFFERENCE,
                    at,
                    format!("`{said}` is a temperature on a scale, and there is another one; two temperatures cannot be added"),
                )
                .help("add a difference in K: `40 °C + 80 K`; or subtract one temperature from the other"),
            );
            return Part::Unknown;
        }
        let result_is_point = plus == minus + 1;
        let Some(reference) = terms
            .iter()
            .find(|(_, term)| term.point)
            .and_then(|(_, term)| term.unit.clone())
        else {
            return Part::Unknown;
        };
        let Ok(kelvin) = Unit::parse("K") else {
            return Part::Unknown;
        };
        let mut ops = Vec::new();
        for (minus, term) in terms {
            if term.dimension != Dimension::of(Base::Temperature) {
                let first = Term {
                    unit: Some(reference.clone()),
                    dimension: Dimension::of(Base::Temperature),
                    ..Term::plain(Op::Truth(false), span)
                };
                let fault = words::refusal(
                    Refusal::Dimension,
                    &term,
                    self.text(),
                    &Asked::Operand {
                        first: &first,
                        meeting: Meeting::Sum,
                    },
                );
                self.fault(fault);
                return Part::Unknown;
            }
            let target = if term.point { &reference } else { &kelvin };
            let before = if term.point {
                term.unit.as_ref().and_then(|unit| unit.offset)
            } else {
                None
            };
            let after = if term.point { reference.offset } else { None };
            // Differences are worked in steps of the scale of the points.
            let factor = if term.point {
                term.factor.div(&target.factor)
            } else {
                term.factor.div(&reference.factor)
            };
            let op = if before != after || !factor.is_one() {
                Op::Scale(Box::new(term.op), Arc::new(Scale { factor, before, after }))
            } else {
                term.op
            };
            ops.push((minus, op));
        }
        let mut out = Term::plain(Op::Sum(ops), span);
        if result_is_point {
            units::dress(&mut out, &reference, reference.kind);
            out.unit = Some(reference);
            return Part::Term(out);
        }
        // A difference: steps of the scale, shown in K.
        out.op = scaled(out.op, &reference.factor.div(&kelvin.factor));
        units::dress(&mut out, &kelvin, Kind::find("temperature difference"));
        out.point = false;
        out.unit = Some(kelvin);
        Part::Term(out)
    }

    /// P² + Q² = S², S² − P² = Q², S² − Q² = P².
    fn squares(&mut self, terms: &[(bool, Term)], span: Span) -> Option<Part> {
        let [(false, first), (minus, second)] = terms else {
            return None;
        };
        let kind = |term: &Term| {
            let (a, s, q) = (
                term.tag(Base::Active),
                term.tag(Base::Apparent),
                term.tag(Base::Reactive),
            );
            match (a, s, q) {
                (120, 0, 0) => Some(Base::Active),
                (0, 120, 0) => Some(Base::Apparent),
                (0, 0, 120) => Some(Base::Reactive),
                // Volts times amperes are apparent power.
                (0, 0, 0) if is_volt_amperes_squared(term) => Some(Base::Apparent),
                _ => None,
            }
        };
        let result = match (kind(first)?, kind(second)?, minus) {
            (Base::Active, Base::Reactive, false) | (Base::Reactive, Base::Active, false) => Base::Apparent,
            (Base::Apparent, Base::Active, true) => Base::Reactive,
            (Base::Apparent, Base::Reactive, true) => Base::Active,
            _ => return None,
        };
        let bare = |term: &Term| {
            term.dimension
                .without(Base::Active)
                .without(Base::Apparent)
                .without(Base::Reactive)
        };
        if bare(first) != bare(second) {
            return None;
        }
        let mut out = first.clone();
        let op = scaled(second.op.clone(), &second.factor.div(&first.factor));
        out.op = Op::Sum(vec![(false, first.op.clone()), (*minus, op)]);
        out.dimension = bare(first).with(result, Exponent::whole(2));
        out.kind = None;
        out.unit = None;
        out.span = span;
        out.marks = out.marks.with(second.marks);
        for count in [Count::Shaft, Count::Input, Count::Hydraulic, Count::Loss]
            .into_iter()
            .chain(TERMINALS)
        {
            out.set(count, 0);
        }
        Some(Part::Term(out))
    }

    /// A chain of comparisons.
    pub(super) fn compare(&mut self, first: &Expr, rest: &[(Comparison, Expr)], _span: Span) -> Part {
        // A word of a choice is a name that is known only beside the choice.
        let exprs: Vec<&Expr> = std::iter::once(first)
            .chain(rest.iter().map(|(_, expr)| expr))
            .collect();
        let mut parts: Vec<Option<Part>> = Vec::with_capacity(exprs.len());
        for expr in &exprs {
            parts.push(match &expr.node {
                Node::Name(name) if !self.is_known(name) => None,
                _ => Some(self.walk(expr)),
            });
        }
        let choice = parts.iter().flatten().find_map(|part| match part {
            Part::Choice(_, words) => Some(words.clone()),
            _ => None,
        });
        let text = parts.iter().flatten().any(|part| matches!(part, Part::Text(_)));
        for (expr, part) in exprs.iter().zip(parts.iter_mut()) {
            if let (None, true) = (&part, text) {
                // A word beside a text is most likely one without its quotes.
                let wanted = self.wants_text.replace(expr.span);
                *part = Some(self.walk(expr));
                self.wants_text = wanted;
            }
            if let (Node::Name(name), Some(words)) = (&expr.node, &choice) {
                let is_choice = matches!(part, Some(Part::Choice(..)));
                if !is_choice && (part.is_none() || words.contains(name)) {
                    *part = Some(self.choice_word(name, words, expr.span));
                }
            }
            if part.is_none() {
                *part = Some(self.walk(expr));
            }
        }
        let parts: Vec<Part> = parts.into_iter().flatten().collect();
        if parts.iter().any(|part| matches!(part, Part::Unknown)) {
            return Part::Unknown;
        }
        let texts = parts
            .iter()
            .filter(|part| matches!(part, Part::Text(_) | Part::Choice(..)))
            .count();
        if texts > 0 {
            return self.compare_texts(parts, &exprs, rest, choice);
        }
        let mut terms = Vec::with_capacity(parts.len());
        let mut wrong = false;
        for (part, expr) in parts.into_iter().zip(&exprs) {
            match part {
                Part::Term(mut term) => {
                    term.span = expr.span;
                    if term.point {
                        terms.push((false, term));
                        continue;
                    }
                    if term.phasor {
                        self.phasor_compared(&term);
                        wrong = true;
                        continue;
                    }
                    match self.seated(term) {
                        Some(mut term) => {
                            if let Node::Number(literal) = &expr.node
                                && literal.unit.is_none()
                            {
                                term.literal = Some(literal.value);
                            }
                            terms.push((false, term));
                        }
                        None => wrong = true,
                    }
                }
                _ => {
                    self.truth_compared(expr);
                    wrong = true;
                }
            }
        }
        if wrong {
            return Part::Unknown;
        }
        if terms.iter().any(|(_, term)| term.point) {
            return self.compare_points(terms, rest);
        }
        self.shares(&terms);
        let Some((terms, _)) = self.unify(terms, Meeting::Comparison) else {
            return Part::Unknown;
        };
        Part::from_chain(terms.into_iter().map(|(_, term)| term.op).collect(), rest)
    }

    fn phasor_compared(&mut self, term: &Term) {
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::PHASOR_COMPARED,
                term.span,
                format!("`{said}` is a phasor; phasors have no order, and hardly ever the very same parts"),
            )
            .help(format!(
                "compare magnitudes, `abs({said})`, angles, `angle({said})`, or parts, `re({said})` and `im({said})`"
            )),
        );
    }

    fn truth_compared(&mut self, expr: &Expr) {
        let said = self.said(expr.span).to_owned();
        self.fault(
            Fault::new(
                Code::CANNOT_COMPARE,
                expr.span,
                format!("`{said}` is no number and no text; it cannot be compared"),
            )
            .help("join conditions with `and`, `or`, `not`"),
        );
    }

    fn compare_points(&mut self, terms: Vec<(bool, Term)>, rest: &[(Comparison, Expr)]) -> Part {
        let Some(reference) = terms
            .iter()
            .find(|(_, term)| term.point)
            .and_then(|(_, term)| term.unit.clone())
        else {
            return Part::Unknown;
        };
        let mut ops = Vec::new();
        for (_, term) in terms {
            let span = term.span;
            let kelvin = term.unit.as_ref().is_some_and(|unit| unit.offset.is_none());
            let term = if term.point
                || !kelvin
                || term
                    .kind
                    .is_some_and(|kind| kind.family() == Family::TemperatureDifference)
            {
                term
            } else {
                Term { point: true, ..term }
            };
            match self.temperature_like(term, &reference, span) {
                Some(term) => ops.push(term.op),
                None => return Part::Unknown,
            }
        }
        Part::from_chain(ops, rest)
    }

    fn temperature_like(&mut self, term: Term, unit: &Unit, span: Span) -> Option<Term> {
        self.in_unit(term, unit, Kind::find("temperature"), span)
    }

    fn compare_texts(
        &mut self,
        parts: Vec<Part>,
        exprs: &[&Expr],
        rest: &[(Comparison, Expr)],
        choice: Option<Arc<[Arc<str>]>>,
    ) -> Part {
        let mut ops = Vec::new();
        let mut wrong = false;
        for (part, expr) in parts.into_iter().zip(exprs) {
            match part {
                Part::Text(op) => {
                    if let (Op::Text(text), Some(words)) = (&op, &choice)
                        && !words.contains(text)
                    {
                        self.choice_word(text, words, expr.span);
                        wrong = true;
                    }
                    ops.push(op);
                }
                Part::Choice(op, _) => ops.push(op),
                _ => {
                    let fault = self.no_text(expr.span, choice.as_deref());
                    self.fault(fault);
                    wrong = true;
                }
            }
        }
        if rest
            .iter()
            .any(|(comparison, _)| !matches!(comparison, Comparison::Equal | Comparison::NotEqual))
        {
            let span = rest.first().map_or(Span::default(), |(_, expr)| expr.span);
            self.fault(
                Fault::new(
                    Code::CANNOT_COMPARE,
                    span,
                    "texts are equal or not; none is larger than another",
                )
                .help("use = or ≠"),
            );
            wrong = true;
        }
        if wrong {
            Part::Unknown
        } else {
            Part::from_chain(ops, rest)
        }
    }

    /// Something that is no text beside one. In a formula of the library it is a value handed to it, which has a place and words of its own.
    fn no_text(&self, span: Span, choice: Option<&[Arc<str>]>) -> Fault {
        let said = self.said(span);
        let quoted = |words: &[Arc<str>]| {
            let words: Vec<String> = words.iter().map(|word| format!("`\"{word}\"`")).collect();
            words.join(" or ")
        };
        let handed = self.inside.as_ref().and_then(|(_, name)| {
            let function = functions::find(name)?;
            let at = function.parameters.iter().position(|known| known.name == said)?;
            Some((function, at + 1))
        });
        let message = match handed {
            Some((_, at)) => format!("value {at}, `{said}`, is a text there and no number"),
            None => format!("`{said}` is no text, and the other side is one"),
        };
        let help = match (choice, handed) {
            (Some(words), _) => format!("write {}", quoted(words)),
            (None, Some((function, _))) => format!("write it like `{}`", function.example.0),
            (None, None) => "put a text in quotes: `\"star\"`".to_owned(),
        };
        Fault::new(Code::CANNOT_COMPARE, span, message).help(help)
    }

    /// A word where one of a choice is expected.
    pub(super) fn choice_word(&mut self, word: &Arc<str>, words: &Arc<[Arc<str>]>, span: Span) -> Part {
        if words.contains(word) {
            return Part::Choice(Op::Text(word.clone()), words.clone());
        }
        let list = words.iter().map(|word| &**word).collect::<Vec<_>>().join(", ");
        let mut fault = Fault::new(
            Code::NOT_OF_THE_CHOICE,
            span,
            format!("`{word}` is none of the words of this choice: {list}"),
        );
        if let Some(near) = nearest(word, words.iter().map(|word| &**word), 1).first() {
            fault =
                fault
                    .help(format!("did you mean `{near}`?"))
                    .fix(format!("write {near}"), span, (*near).to_owned());
        } else {
            fault = fault.help(format!("write one of: {list}"));
        }
        self.fault(fault);
        Part::Unknown
    }

    /// `A when C, B when D, otherwise E`.
    pub(super) fn choice(&mut self, arms: &[(Expr, Expr)], otherwise: Option<&Expr>, span: Span) -> Part {
        let mut conditions = Vec::with_capacity(arms.len());
        for (_, condition) in arms {
            conditions.push(self.truth(condition));
        }
        let values: Vec<&Expr> = arms.iter().map(|(value, _)| value).chain(otherwise).collect();
        let Some((ops, part)) = self.alike(&values, span) else {
            return Part::Unknown;
        };
        let Some(conditions) = conditions.into_iter().collect::<Option<Vec<Op>>>() else {
            return Part::Unknown;
        };
        let mut ops = ops.into_iter();
        let arms = conditions.into_iter().zip(ops.by_ref()).collect();
        let op = Op::Choice {
            arms,
            otherwise: ops.next().map(Box::new),
        };
        part.with_op(op)
    }

    /// `A else B`.
    pub(super) fn or_else(&mut self, first: &Expr, second: &Expr, span: Span) -> Part {
        let Some((ops, part)) = self.alike(&[first, second], span) else {
            return Part::Unknown;
        };
        let mut ops = ops.into_iter();
        match (ops.next(), ops.next()) {
            (Some(first), Some(second)) => part.with_op(Op::Else(Box::new(first), Box::new(second))),
            _ => Part::Unknown,
        }
    }

    /// Values of which one will be taken: all of one sort, all in the unit of the first.
    fn alike(&mut self, values: &[&Expr], span: Span) -> Option<(Vec<Op>, Part)> {
        let parts: Vec<Part> = values.iter().map(|value| self.walk(value)).collect();
        if parts.iter().any(|part| matches!(part, Part::Unknown)) {
            return None;
        }
        let sample = parts
            .iter()
            .find(|part| !matches!(part, Part::Blank(_)))
            .cloned()
            .or_else(|| parts.first().cloned())?;
        match sample {
            Part::Term(_) => {
                let mut blanks = Vec::new();
                let mut terms = Vec::new();
                let mut wrong = false;
                for (at, (part, value)) in parts.into_iter().zip(values).enumerate() {
                    match part {
                        Part::Term(mut term) => {
                            term.span = value.span;
                            if term.point {
                                terms.push((false, term));
                                continue;
                            }
                            match self.seated(term) {
                                Some(term) => terms.push((false, term)),
                                None => wrong = true,
                            }
                        }
                        Part::Blank(op) => blanks.push((at, op)),
                        _ => {
                            self.sorts_differ(value.span);
                            wrong = true;
                        }
                    }
                }
                if wrong {
                    return None;
                }
                let (mut ops, mut whole) = if terms.iter().any(|(_, term)| term.point) {
                    let unit = terms
                        .iter()
                        .find(|(_, term)| term.point)
                        .and_then(|(_, term)| term.unit.clone())?;
                    let kind = Kind::find("temperature");
                    let mut ops = Vec::new();
                    let mut whole = None;
                    for (_, term) in terms {
                        let place = term.span;
                        let term = self.in_unit(term, &unit, kind, place)?;
                        ops.push(term.op.clone());
                        whole.get_or_insert(term);
                    }
                    (ops, whole?)
                } else {
                    let (terms, whole) = self.unify(terms, Meeting::Choice)?;
                    (terms.into_iter().map(|(_, term)| term.op).collect::<Vec<_>>(), whole)
                };
                for (at, op) in blanks {
                    ops.insert(at.min(ops.len()), op);
                }
                whole.span = span;
                whole.literal = None;
                Some((ops, Part::Term(whole)))
            }
            Part::Text(_) | Part::Choice(..) => {
                let mut ops = Vec::new();
                let mut same = true;
                for (part, value) in parts.into_iter().zip(values) {
                    match part {
                        Part::Text(op) => {
                            same = false;
                            ops.push(op);
                        }
                        Part::Choice(op, words) => {
                            if let Part::Choice(_, first) = &sample {
                                same &= *first == words;
                            }
                            ops.push(op);
                        }
                        Part::Blank(op) => ops.push(op),
                        _ => {
                            self.sorts_differ(value.span);
                            return None;
                        }
                    }
                }
                let part = match (&sample, same) {
                    (Part::Choice(_, words), true) => Part::Choice(Op::Truth(false), words.clone()),
                    _ => Part::Text(Op::Truth(false)),
                };
                Some((ops, part))
            }
            Part::Truth(_) => {
                let mut ops = Vec::new();
                for (part, value) in parts.into_iter().zip(values) {
                    match part {
                        Part::Truth(op) | Part::Blank(op) => ops.push(op),
                        _ => {
                            self.sorts_differ(value.span);
                            return None;
                        }
                    }
                }
                Some((ops, Part::Truth(Op::Truth(false))))
            }
            Part::Blank(_) => {
                let ops = parts
                    .into_iter()
                    .filter_map(|part| match part {
                        Part::Blank(op) => Some(op),
                        _ => None,
                    })
                    .collect();
                Some((ops, Part::Blank(Op::Truth(false))))
            }
            Part::Unknown => None,
        }
    }

    fn sorts_differ(&mut self, span: Span) {
        let said = self.said(span).to_owned();
        self.fault(
            Fault::new(
                Code::SORTS_DIFFER,
                span,
                format!("`{said}` is of another sort than the value before it; both may be taken here"),
            )
            .help("all values of a choice are quantities of one kind, or all texts, or all conditions"),
        );
    }
}

impl Part {
    /// The same with another op.
    pub(super) fn with_op(self, op: Op) -> Part {
        match self {
            Part::Term(term) => Part::Term(Term { op, ..term }),
            Part::Text(_) => Part::Text(op),
            Part::Choice(_, words) => Part::Choice(op, words),
            Part::Truth(_) => Part::Truth(op),
            Part::Blank(_) => Part::Blank(op),
            Part::Unknown => Part::Unknown,
        }
    }

    fn from_chain(ops: Vec<Op>, rest: &[(Comparison, Expr)]) -> Part {
        let mut ops = ops.into_iter();
        let Some(first) = ops.next() else {
            return Part::Unknown;
        };
        let rest = rest.iter().map(|(comparison, _)| *comparison).zip(ops).collect();
        Part::Truth(Op::Compare(Box::new(first), rest))
    }
}

fn line_and_phase(a: Conductor, b: Conductor) -> bool {
    matches!(
        (a, b),
        (Conductor::Line, Conductor::Phase) | (Conductor::Phase, Conductor::Line)
    )
}

/// Brings two settled terms to one dimension.
fn meet(whole: &mut Term, term: &mut Term) -> Result<(), Refusal> {
    let same = whole.dimension == term.dimension && whole.count(Count::Electrical) == term.count(Count::Electrical);
    if same {
        return Ok(());
    }
    let wanted = |term: &Term| Wanted {
        electrical: term.count(Count::Electrical) != 0,
        dimension: if term.count(Count::Electrical) == 0 {
            term.dimension
        } else {
            term.dimension
                .with(Base::Radian, super::term::exponent(term.count(Count::Electrical)))
        },
        mechanical: term.marks.has(Marks::MECHANICAL),
        torque: false,
        energy: false,
    };
    let mut tried = term.clone();
    match settle::fit(&mut tried, &wanted(whole)) {
        Ok(_) => {
            // A plain power of mechanics beside a tagged one takes its kind.
            *term = tried;
            Ok(())
        }
        Err(refusal) => {
            let bare = whole.tag(Base::Active) == 0 && whole.tag(Base::Apparent) == 0 && whole.tag(Base::Reactive) == 0;
            if refusal == Refusal::PowerKind && bare {
                let mut first = whole.clone();
                settle::fit(&mut first, &wanted(term))?;
                *whole = first;
                return Ok(());
            }
            Err(refusal)
        }
    }
}

/// Whether it is the square of a voltage times a current, both of the line or of a phase.
fn is_volt_amperes_squared(term: &Term) -> bool {
    let [line_voltage, line_current, phase_voltage, phase_current] = TERMINALS.map(|count| term.count(count));
    line_voltage + phase_voltage == 2 * ONE && line_current + phase_current == 2 * ONE
}

/// What is counted of line and phase.
const TERMINALS: [Count; 4] = [
    Count::LineVoltage,
    Count::LineCurrent,
    Count::PhaseVoltage,
    Count::PhaseCurrent,
];

/// A resistance beside a reactance, both as plain ohms.
fn across(one: &Term, other: &Term) -> bool {
    // What only comes out in ohms may be either.
    let is = |term: &Term, count: Count| {
        let kinds = [Count::Resistance, Count::Reactance, Count::Impedance];
        let mut counts = kinds.into_iter().map(|known| (known, term.count(known)));
        term.kind.is_some() && counts.all(|(known, found)| found == if known == count { ONE } else { 0 })
    };
    !one.phasor
        && !other.phasor
        && (is(one, Count::Resistance) && is(other, Count::Reactance)
            || is(one, Count::Reactance) && is(other, Count::Resistance))
}
