//! The walk over the tree: what each part is, and the op that works it.
//!
//! For: numbers, products, powers, conversions, conditions and choices. Names are in `names`, sums and comparisons in `sums`,
//! calls in `calls`.
//! Always: goes on after a fault, so that several are told at once; a part with a fault is `Part::Unknown` and accepts everything.
//! Not known here: workbooks.

use std::sync::Arc;

use rust_decimal::Decimal;

use super::Target;
use super::legacy;
use super::phases::Phases;
use super::scope::Scope;
use super::settle::{self, Refusal, Remark, Wanted};
use super::term::{Constant, Count, Marks, ONE, Term};
use super::typed::{Op, Read, Scale, SheetId, Sort, Typed};
use super::units::{self, UnitGoal};
use super::words;
use crate::fault::{Code, Fault, Severity, Span, Words};
use crate::language::syntax::{Expr, Literal, Name, Node, ProductSign, Signed, WrittenUnit};
use crate::quantity::{Base, Exponent, Factor, Family, Kind, Number, Unit};

/// What a part of a formula is.
#[derive(Clone, Debug)]
#[allow(
    clippy::large_enum_variant,
    reason = "nearly every part is a term, and lives for a moment"
)]
pub(super) enum Part {
    /// A quantity or a plain number.
    Term(Term),
    /// A text.
    Text(Op),
    /// A word of a choice.
    Choice(Op, Arc<[Arc<str>]>),
    /// Yes or no.
    Truth(Op),
    /// A blank on purpose: stands for anything.
    Blank(Op),
    /// A fault is reported; anything goes.
    Unknown,
}

/// A name bound inside a formula: a parameter, the variable of an integral, the unknown of an equation.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    pub(super) name: Name,
    pub(super) part: Part,
}

/// Where an aggregate stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rows {
    pub(super) sheet: SheetId,
}

/// Definitions that call definitions go no deeper than this.
pub(super) const DEEPEST: usize = 40;

/// Parts of a formula, those of its definitions counted at every call.
const LONGEST: u32 = 20_000;

/// Bytes of stack that a level may take, with room to spare.
const RED_ZONE: usize = 768 * 1024;

/// Bytes of stack that are added where fewer than that are left.
const MORE_STACK: usize = 8 * 1024 * 1024;

/// Levels of a formula, those of its definitions counted. A text alone may have 200.
const HIGHEST: u32 = 320;

/// The state of one check.
pub(super) struct Checker<'a> {
    pub(super) text: &'a str,
    /// Texts of the definitions the walk is inside of.
    pub(super) inner: Vec<Arc<str>>,
    /// Added to every place: where the text begins in the text of the caller.
    pub(super) base: u32,
    pub(super) scope: &'a dyn Scope,
    pub(super) faults: Vec<Fault>,
    pub(super) reads: Vec<Read>,
    pub(super) places: Vec<(Span, usize)>,
    pub(super) locals: usize,
    pub(super) bound: Vec<Bound>,
    /// Names below this index of `bound` cannot be seen: they belong to the caller of a definition.
    pub(super) hidden: usize,
    pub(super) rows: Option<Rows>,
    /// Inside a function of the library, whose body sees its parameters and no names of the sheet.
    pub(super) closed: bool,
    pub(super) deep: usize,
    steps: u32,
    level: u32,
    /// Inside a definition or curve: the call, and the name called. Faults are told there.
    pub(super) inside: Option<(Span, Name)>,
    /// Whether a tolerance may stand here: in the line of a quantity.
    pub(super) tolerances_allowed: bool,
    /// How many there are so far.
    pub(super) tolerances: usize,
    /// Name and declared kind of the line.
    pub(super) own: Option<Name>,
    pub(super) own_kind: Option<Kind>,
    /// The whole formula, where the line wants a text: a word alone there is most likely one without its quotes.
    pub(super) wants_text: Option<Span>,
    /// What the text is, where names much like an unknown one are tried in its place.
    pub(super) tries: Option<Tries<'a>>,
}

/// What a text is checked as.
#[derive(Clone, Copy)]
pub(super) enum Tries<'a> {
    /// The formula of a quantity.
    Formula(&'a Target),
    /// A condition.
    Condition,
}

impl<'a> Checker<'a> {
    pub(super) fn new(text: &'a str, scope: &'a dyn Scope) -> Checker<'a> {
        Checker {
            text,
            inner: Vec::new(),
            base: 0,
            scope,
            faults: Vec::new(),
            reads: Vec::new(),
            places: Vec::new(),
            locals: 0,
            bound: Vec::new(),
            hidden: 0,
            rows: None,
            closed: false,
            deep: 0,
            steps: 0,
            level: 0,
            inside: None,
            tolerances_allowed: false,
            tolerances: 0,
            own: None,
            own_kind: None,
            wants_text: None,
            tries: None,
        }
    }

    /// The text that places belong to.
    pub(super) fn text(&self) -> &str {
        self.inner.last().map_or(self.text, |text| text)
    }

    /// The text of a place.
    pub(super) fn said(&self, span: Span) -> &str {
        span.of(self.text()).trim()
    }

    pub(super) fn fault(&mut self, fault: Fault) {
        let fault = match &self.inside {
            None => fault.shifted(self.base),
            Some((span, name)) => {
                let message = if self.text().is_empty() {
                    Words::from(format!("the curve `{name}` has a fault in its own line"))
                } else {
                    Words::from(format!("inside `{name}`: ")).then(&fault.message)
                };
                let told = Fault {
                    span: span.shifted(self.base),
                    message,
                    notes: Vec::new(),
                    fixes: Vec::new(),
                    ..fault
                };
                if self
                    .faults
                    .iter()
                    .any(|known| known.span == told.span && known.code == told.code)
                {
                    return;
                }
                told
            }
        };
        self.faults.push(fault);
    }

    pub(super) fn finish(self, part: Part, sort: Sort) -> Typed {
        let wrong = self.faults.iter().any(Fault::is_error);
        let op = match part {
            Part::Term(term) => Some(term.op),
            Part::Text(op) | Part::Choice(op, _) | Part::Truth(op) | Part::Blank(op) => Some(op),
            Part::Unknown => None,
        };
        Typed {
            sort,
            op: if wrong { None } else { op },
            reads: self.reads,
            places: self.places,
            locals: self.locals,
            tolerances: self.tolerances,
            faults: self.faults,
        }
    }

    /// What a part of the tree is. Bounded in depth and in length, definitions counted in.
    pub(super) fn walk(&mut self, expr: &Expr) -> Part {
        self.steps += 1;
        if self.steps > LONGEST || self.level >= HIGHEST {
            if self.steps <= LONGEST || !self.faults.iter().any(|fault| fault.code == Code::TOO_LONG) {
                self.fault(
                    Fault::new(
                        Code::TOO_LONG,
                        expr.span,
                        "with its definitions worked in place this formula becomes too long or too deep",
                    )
                    .help("give the parts lines of their own, or let definitions call fewer others"),
                );
            }
            self.steps = LONGEST;
            return Part::Unknown;
        }
        self.level += 1;
        // A level takes some stack, and threads differ in what they have.
        let part = stacker::maybe_grow(RED_ZONE, MORE_STACK, || self.part(expr));
        self.level -= 1;
        part
    }

    fn part(&mut self, expr: &Expr) -> Part {
        match &expr.node {
            Node::Number(literal) => {
                if let Some(written) = &literal.unit {
                    self.unit_or_name(written, literal.value);
                    self.unlikely_unit(written, literal.value);
                }
                self.thousands(literal, expr.span);
                Part::Term(self.number(literal, expr.span))
            }
            Node::Toleranced { value, tolerance } => self.toleranced(value, tolerance, false, expr.span),
            Node::Text(text) => Part::Text(Op::Text(text.clone())),
            Node::Name(name) => self.name(name, expr.span),
            Node::Far { sheet, item, name } => self.far(sheet, item, name, expr.span),
            Node::Here(name) => self.here(name, expr.span),
            Node::Call {
                name,
                name_span,
                arguments,
            } => self.call(name, *name_span, arguments, expr.span),
            Node::Sum(parts) => self.sum(parts, expr.span),
            Node::Product(parts) => self.product(parts, expr.span),
            Node::Power(base, exponent) => self.power(base, exponent, expr.span),
            Node::Negative(inner) => self.negative(inner, expr.span),
            Node::In(inner, unit) => self.convert(inner, unit, expr.span),
            Node::Compare(first, rest) => self.compare(first, rest, expr.span),
            Node::And(parts) => self.truths(parts, Op::And),
            Node::Or(parts) => self.truths(parts, Op::Or),
            Node::Not(inner) => match self.truth(inner) {
                Some(op) => Part::Truth(Op::Not(Box::new(op))),
                None => Part::Unknown,
            },
            Node::Choice { arms, otherwise } => self.choice(arms, otherwise.as_deref(), expr.span),
            Node::Else(first, second) => self.or_else(first, second, expr.span),
            Node::Aggregate {
                how,
                how_span,
                value,
                list,
                list_span,
                along,
                condition,
            } => self.aggregate(
                (how, *how_span),
                value.as_deref(),
                (list, *list_span),
                along.as_deref(),
                condition.as_deref(),
                expr.span,
            ),
            Node::Integral {
                value,
                variable,
                from,
                to,
            } => self.integral(value, variable, from, to, expr.span),
            Node::Bad => Part::Unknown,
        }
    }

    /// The same, where a number is needed; anything else is a fault.
    pub(super) fn term(&mut self, expr: &Expr) -> Option<Term> {
        match self.walk(expr) {
            Part::Term(mut term) => {
                term.span = expr.span;
                Some(term)
            }
            Part::Unknown | Part::Blank(_) => None,
            Part::Text(_) | Part::Choice(..) => {
                let said = self.said(expr.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::TEXT_IN_ARITHMETIC,
                        expr.span,
                        format!("`{said}` is text; a number is needed here"),
                    )
                    .help("texts can be compared with = and ≠, but not worked with"),
                );
                None
            }
            Part::Truth(_) => {
                let said = self.said(expr.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::TRUTH_IN_ARITHMETIC,
                        expr.span,
                        format!("`{said}` is a condition, yes or no; a number is needed here"),
                    )
                    .help("write `A when CONDITION, otherwise B`"),
                );
                None
            }
        }
    }

    /// A number as typed.
    pub(super) fn number(&mut self, literal: &Literal, span: Span) -> Term {
        let value = literal.value;
        let op = Op::Number(Number::Exact(value));
        let mut term = Term::plain(op, span);
        match &literal.unit {
            None => {
                term.literal = Some(value);
                term.constants = legacy::candidate(value, span);
                if value == Decimal::from(3) {
                    term.set(Count::Three, ONE);
                }
                if value == Decimal::new(15, 1) {
                    term.marks = term.marks.with(Marks::ONE_AND_HALF);
                }
                if value > Decimal::ZERO && value < Decimal::ONE {
                    term.set(Count::Undeclared, ONE);
                }
                if legacy::is_root_three(value) {
                    term.set(Count::RootThree, ONE);
                }
                if legacy::is_transformer(value) {
                    term.marks = term.marks.with(Marks::TRANSFORMER);
                }
            }
            Some(written) => {
                units::dress(&mut term, &written.unit, written.unit.kind);
                if term.percent && value > Decimal::ZERO && value <= Decimal::ONE_HUNDRED {
                    term.set(Count::Undeclared, ONE);
                }
                if !written.unit.is_plain() {
                    term.unit = Some(written.unit.clone());
                }
            }
        }
        term
    }

    /// A unit after a number that is also a name here: `2 s`.
    pub(super) fn unit_or_name(&mut self, written: &WrittenUnit, value: Decimal) {
        if self.inside.is_some() {
            return;
        }
        let said = self.said(written.span);
        let simple = !said.is_empty() && said.chars().all(|c| c.is_alphanumeric() || c == '_');
        if !simple {
            return;
        }
        let Some(named) = self.scope.quantity(said) else {
            return;
        };
        // In its own line, as in `given V = 390 V`, a name does not read itself; its sort is not known there yet.
        let before = self.text().get(..written.span.start as usize).unwrap_or("");
        let alone = matches!(named.sort, Sort::Unknown) && before.trim().parse::<Decimal>().is_ok();
        if alone {
            return;
        }
        // `460 V` beside a voltage named V is no riddle.
        if matches!(&named.sort, Sort::Quantity { dimension, .. } if *dimension == written.unit.dimension) {
            return;
        }
        let said = said.to_owned();
        // Where the formula takes no product there, the unit is meant.
        let product = format!("* {said}");
        let asked = self.tries.filter(|_| self.base == 0);
        if asked.is_some_and(|tries| !super::stands(&product, written.span, self.text, (tries, self.scope))) {
            return;
        }
        let number = value.normalize();
        self.fault(
            Fault::new(
                Code::UNIT_OR_NAME,
                written.span,
                format!("`{number} {said}` is read as {number} of the unit {said}; `{said}` is also a quantity of this sheet"),
            )
            .help(format!(
                "where the quantity is meant, write `{number}*{said}`; where the unit is meant, give the quantity another name"
            ))
            .fix("multiply by the quantity", written.span, format!("* {said}")),
        );
    }

    fn negative(&mut self, inner: &Expr, span: Span) -> Part {
        if let Node::Number(literal) = &inner.node {
            // A minus straight before a number is its sign: -5 °C.
            let literal = Literal {
                value: -literal.value,
                unit: literal.unit.clone(),
            };
            let mut term = self.number(&literal, inner.span);
            term.span = span;
            return Part::Term(term);
        }
        if let Node::Toleranced { value, tolerance } = &inner.node {
            return self.toleranced(value, tolerance, true, span);
        }
        let Some(mut term) = self.term(inner) else {
            return Part::Unknown;
        };
        if term.point {
            self.point_fault(&term);
            return Part::Unknown;
        }
        term.op = Op::Negative(Box::new(term.op));
        term.literal = None;
        term.span = span;
        Part::Term(term)
    }

    pub(super) fn point_fault(&mut self, term: &Term) {
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::POINT_AND_DIFFERENCE,
                term.span,
                format!(
                    "`{said}` is a temperature on a scale; only differences can be multiplied, divided, negated or added up"
                ),
            )
            .help(if words::is_of_winding(&said) {
                words::WINDING.to_owned()
            } else {
                format!("write `({said} in K)` for the absolute temperature, or subtract another temperature first")
            }),
        );
    }

    /// A product: flattened, so that tags are looked at over the whole of it.
    fn product(&mut self, parts: &[Signed<ProductSign>], span: Span) -> Part {
        let mut phasors = 0;
        let mut out: Option<Term> = None;
        let mut wrong = false;
        // Where `2` and `pi` stand, for a written 2π: sixtieths on either side of the line.
        let mut before: Option<(bool, i32, i32)> = None;
        let (mut twos, mut pis) = ([0, 0], [0, 0]);
        let mut certain = [0, 0];
        for (sign, part) in parts {
            let divides = *sign == ProductSign::Over;
            let Some(term) = self.factor(part, parts) else {
                wrong = true;
                before = None;
                continue;
            };
            if term.point && term.unit.as_ref().is_some_and(|unit| unit.offset.is_some()) {
                self.point_fault(&term);
                wrong = true;
                continue;
            }
            phasors += usize::from(term.phasor && !term.is_plain());
            let two = term.literal.map_or(0, power_of_two);
            let pi = if term.is_plain() && term.unit.is_none() && term.marks == Marks::default() {
                term.count(Count::Pi)
            } else {
                0
            };
            if let Some((over, last_two, last_pi)) = before
                && over == divides
            {
                let pair = last_two.min(pi).max(two.min(last_pi));
                if let Some(certain) = certain.get_mut(usize::from(divides)) {
                    *certain += pair;
                }
            }
            before = Some((divides, two, pi));
            if let (Some(twos), Some(pis)) = (twos.get_mut(usize::from(divides)), pis.get_mut(usize::from(divides))) {
                *twos += two;
                *pis += pi;
            }
            out = match out {
                None if !divides => Some(term),
                None => Term::plain(Op::Number(Number::ONE), span).mul(term, true),
                Some(so_far) => match so_far.mul(term, divides) {
                    Some(product) => Some(product),
                    None => {
                        self.exponent_fault(span);
                        return Part::Unknown;
                    }
                },
            };
        }
        if wrong {
            return Part::Unknown;
        }
        let Some(mut term) = out else {
            return Part::Unknown;
        };
        for (side, sign) in [(0usize, 1), (1, -1)] {
            let get = |list: &[i32; 2]| list.get(side).copied().unwrap_or(0);
            let sure = get(&certain).min(get(&pis));
            let loose = get(&twos).min(get(&pis)) - sure;
            let loose = loose.max(0);
            term.add(Count::TwoPi, sign * sure);
            term.add(Count::LooseTwoPi, sign * loose);
            term.add(Count::Pi, -sign * (sure + loose));
        }
        if term.marks.has(Marks::ROOT_TWO) && term.count(Count::Pi) != 0 {
            term.marks = term.marks.with(Marks::TRANSFORMER);
        }
        term.span = span;
        self.conjugate_missing(phasors, &term);
        if term.unit.is_some() {
            super::phasors::dressed(&mut term);
        }
        Part::Term(term)
    }

    /// A factor of a product.
    fn factor(&mut self, part: &Expr, siblings: &[Signed<ProductSign>]) -> Option<Term> {
        // `kg*m^2` is meant as one unit like `N*m`.
        let base = match &part.node {
            Node::Power(base, exponent) if constant(exponent).is_some() => &base.node,
            node => node,
        };
        if let Node::Name(name) = base
            && !self.is_known(name)
        {
            self.unknown_factor(name, part.span, siblings);
            return None;
        }
        self.term(part)
    }

    pub(super) fn exponent_fault(&mut self, span: Span) {
        self.fault(
            Fault::new(
                Code::EXPONENT,
                span,
                "the powers in this product go beyond what a unit can have",
            )
            .help("split the formula into named steps with smaller powers"),
        );
    }

    /// A term raised to a fixed power; a fault where a unit cannot have it.
    pub(super) fn raised(&mut self, term: Term, power: Exponent, span: Span) -> Part {
        match term.pow(power) {
            Some(mut term) => {
                term.span = span;
                Part::Term(term)
            }
            None => {
                self.exponent_fault(span);
                Part::Unknown
            }
        }
    }

    fn power(&mut self, base: &Expr, exponent: &Expr, span: Span) -> Part {
        let term = self.term(base);
        let fixed = constant(exponent);
        let Some(mut term) = term else {
            self.term(exponent);
            return Part::Unknown;
        };
        if term.point && term.unit.as_ref().is_some_and(|unit| unit.offset.is_some()) {
            self.point_fault(&term);
            return Part::Unknown;
        }
        if term.phasor
            && fixed
                .and_then(Fixed::as_fraction)
                .is_none_or(|(num, den)| num % den != 0)
        {
            self.phasor_power(&term, exponent);
            return Part::Unknown;
        }
        if let Some(fixed) = fixed {
            if let Some((num, den)) = fixed.as_fraction()
                && let Some(power) = Exponent::new(num, den)
                && power.den() <= 60
            {
                if let Some(value) = term.literal.filter(|_| power.den() == 1 && power.num() > 1) {
                    // 2² is a number like 4.
                    let mut product = Some(value);
                    for _ in 1..power.num().min(64) {
                        product = product.and_then(|so_far| so_far.checked_mul(value));
                    }
                    if let (Some(product), true) = (product, power.num() <= 64) {
                        let mut term = Term::plain(Op::Number(Number::Exact(product)), span);
                        term.literal = Some(product);
                        return Part::Term(term);
                    }
                }
                return self.raised(term, power, span);
            }
            if term.is_plain() || settle::fit(&mut term, &Wanted::plain()).is_ok() {
                let term = term.scaled();
                return Part::Term(Term::plain(
                    Op::PowerOf(Box::new(term.op), Box::new(Op::Number(fixed.number()))),
                    span,
                ));
            }
            self.exponent_fault(exponent.span);
            return Part::Unknown;
        }
        let Some(power) = self.term(exponent) else {
            return Part::Unknown;
        };
        let Some(power) = self.plain(power, "an exponent") else {
            return Part::Unknown;
        };
        if settle::fit(&mut term, &Wanted::plain()).is_err() {
            let said = self.said(base.span).to_owned();
            let of = words::of(&term);
            self.fault(
                Fault::new(
                    Code::EXPONENT,
                    exponent.span,
                    format!("`{said}` is {of}; its exponent has to be a number as typed, not a worked one"),
                )
                .help(format!(
                    "divide `{said}` by a reference value first, so that a plain number is raised"
                )),
            );
            return Part::Unknown;
        }
        let term = term.scaled();
        Part::Term(Term::plain(Op::PowerOf(Box::new(term.op), Box::new(power.op)), span))
    }

    /// A phasor raised to something else than a whole number.
    pub(super) fn phasor_power(&mut self, term: &Term, exponent: &Expr) {
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::PHASOR_POWER,
                exponent.span,
                format!(
                    "`{said}` is a phasor; its powers are whole numbers as typed, since a root of it has several values"
                ),
            )
            .help("work with magnitude and angle: `sqrt(abs(Z)) ∠ angle(Z) / 2`"),
        );
    }

    /// A term settled to a plain number, raw.
    pub(super) fn plain(&mut self, term: Term, what: &str) -> Option<Term> {
        let mut term = self.real(term, what)?;
        match settle::fit(&mut term, &Wanted::plain()) {
            Ok(_) => Some(term.scaled()),
            Err(refusal) => {
                let said = self.said(term.span).to_owned();
                let of = words::of(&term);
                let mut fault = if refusal == Refusal::Dimension {
                    Fault::new(
                        Code::NOT_PLAIN,
                        term.span,
                        format!("{what} is a plain number; `{said}` is {of}"),
                    )
                    .help(format!(
                        "divide `{said}` by a value of the same kind, or strip the unit with `num({said} in UNIT)`"
                    ))
                } else {
                    words::refusal(refusal, &term, self.text(), &words::Asked::Plain)
                };
                fault.span = term.span;
                self.fault(fault);
                None
            }
        }
    }

    /// `x in unit` inside a formula.
    fn convert(&mut self, inner: &Expr, unit: &WrittenUnit, span: Span) -> Part {
        let Some(mut term) = self.term(inner) else {
            return Part::Unknown;
        };
        term.span = inner.span;
        match self.in_unit(term, &unit.unit, None, unit.span) {
            Some(mut term) => {
                term.span = span;
                Part::Term(term)
            }
            None => Part::Unknown,
        }
    }

    /// Settles a term to a unit: raw numbers in it, the unit on it. Tells a fault where that cannot be.
    pub(super) fn in_unit(&mut self, mut term: Term, unit: &Unit, kind: Option<Kind>, place: Span) -> Option<Term> {
        self.constants(&term)?;
        if !self.phasor_fits(&term, unit, kind) {
            return None;
        }
        if term.point || units::is_point(unit, kind) {
            return self.temperature(term, unit, kind, place);
        }
        if super::rates::lacks_turns(kind, unit) {
            self.unit_lacks_turns(unit, kind, term.span);
            return None;
        }
        let goal = UnitGoal { unit, kind };
        self.rates(&term, Some(&goal.wanted()))?;
        // kVA per hp is no plain number, though watts stand above and below: 6.3 kVA/hp are 8.4.
        let bare = kind.is_some_and(|kind| !kind.entry().plain)
            && term.is_plain()
            && !unit.dimension.get(Base::Apparent).is_zero();
        let phases = Phases::of(&term, &goal);
        let fitted = if bare {
            Err(Refusal::Dimension)
        } else {
            settle::fit(&mut term, &goal.wanted())
        };
        match fitted {
            Ok(remark) => {
                if let Some(remark) = remark {
                    self.remark(remark, &term);
                }
                self.three_phases(&term, phases, &goal);
                self.stages(&term, &goal);
                Some(units::seat(term, unit, kind))
            }
            Err(refusal) => {
                let fault = words::refusal(refusal, &term, self.text(), &words::Asked::Unit { unit, kind, place });
                self.fault(fault);
                None
            }
        }
    }

    fn temperature(&mut self, mut term: Term, unit: &Unit, kind: Option<Kind>, place: Span) -> Option<Term> {
        let from = term.unit.clone();
        let same = term.dimension == unit.dimension;
        let difference = units::is_difference(unit, kind);
        if !same || (term.point && difference) || (!term.point && unit.offset.is_some()) {
            let fault = words::refusal(
                if same { Refusal::PowerKind } else { Refusal::Dimension },
                &term,
                self.text(),
                &words::Asked::Unit { unit, kind, place },
            );
            let fault = if same {
                let said = self.said(term.span).to_owned();
                let (is, asked) = if term.point {
                    ("a temperature on a scale", "a difference")
                } else {
                    ("a temperature difference", "a temperature on a scale")
                };
                Fault::new(
                    Code::POINT_AND_DIFFERENCE,
                    term.span,
                    format!("`{said}` is {is}; `{}` asks for {asked}", unit.text),
                )
                .help("a difference is a temperature minus another one, in K; a temperature on a scale is °C, °F or K")
            } else {
                fault
            };
            self.fault(fault);
            return None;
        }
        let before = from.as_ref().and_then(|from| from.offset);
        let factor = term.factor.div(&unit.factor);
        if before != unit.offset || !factor.is_one() {
            term.op = Op::Scale(
                Box::new(term.op),
                Arc::new(Scale {
                    factor,
                    before,
                    after: unit.offset,
                }),
            );
        }
        term.factor = (*unit.factor).clone();
        term.unit = Some(unit.clone());
        term.kind = kind.or(term.kind);
        // An absolute temperature in K or °R may be multiplied.
        term.point = unit.offset.is_some() || kind.is_some_and(|kind| kind.family() == Family::TemperaturePoint);
        Some(term)
    }

    /// A word about what was let pass.
    pub(super) fn remark(&mut self, remark: Remark, term: &Term) {
        match remark {
            Remark::UndeclaredPowerFactor => {
                let said = self.said(term.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::POWER_FACTOR_UNDECLARED,
                        term.span,
                        format!("in `{said}` a plain number is taken for the power factor between kVA and kW"),
                    )
                    .help("declare it: `given pf = 0.85 : power factor`, or write `0.85 W/VA`"),
                );
            }
        }
    }

    /// Constants with a conversion inside, beside the kinds they belong to.
    pub(super) fn constants(&mut self, term: &Term) -> Option<()> {
        if term.constants.is_empty() {
            return Some(());
        }
        match legacy::found(term, self.text()) {
            None => Some(()),
            Some((constant, row)) => {
                let said = self.said(constant.span).to_owned();
                let sure = if row.may_be_meant {
                    "this number may be a conversion by hand"
                } else {
                    "this number already contains the conversion"
                };
                let mut fault = Fault::new(
                    Code::CONSTANT_WITH_CONVERSION,
                    constant.span,
                    format!("{sure}: {said} {}", row.contains),
                )
                .help(format!("units are converted here; write {}", row.plainly));
                if let Some((place, instead)) = self.mended(row, &constant, term) {
                    let label = written(self.text(), place, &instead);
                    fault = fault.fix(label, place, instead);
                }
                fault.severity = if row.may_be_meant {
                    Severity::Warning
                } else {
                    Severity::Error
                };
                let goes_on = row.may_be_meant.then_some(());
                self.fault(fault);
                goes_on
            }
        }
    }

    /// What is written in the place of a constant, so that nothing is wrong with the formula then. `9550 * T / n` was meant for a torque, and
    /// where a power is wanted it is `T * n`.
    fn mended(&self, row: &legacy::Row, constant: &Constant, term: &Term) -> Option<(Span, String)> {
        let mend = row.mend(constant, term, self.text())?;
        let outermost = self.inside.is_none() && self.base == 0 && self.inner.is_empty();
        let Some(tries) = self.tries.filter(|_| outermost) else {
            return Some(mend);
        };
        let stands =
            |(place, write): &(Span, String)| super::stands_without(write, *place, self.text, (tries, self.scope));
        if stands(&mend) {
            return Some(mend);
        }
        row.turned(&mend, term, self.text).filter(stands)
    }

    fn truths(&mut self, parts: &[Expr], make: fn(Vec<Op>) -> Op) -> Part {
        let ops: Vec<Option<Op>> = parts.iter().map(|part| self.truth(part)).collect();
        match ops.into_iter().collect::<Option<Vec<Op>>>() {
            Some(ops) => Part::Truth(make(ops)),
            None => Part::Unknown,
        }
    }

    /// A condition.
    pub(super) fn truth(&mut self, expr: &Expr) -> Option<Op> {
        match self.walk(expr) {
            Part::Truth(op) | Part::Blank(op) => Some(op),
            Part::Unknown => None,
            Part::Term(_) | Part::Text(_) | Part::Choice(..) => {
                let said = self.said(expr.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::NOT_A_CONDITION,
                        expr.span,
                        format!("a condition is needed here; `{said}` is none"),
                    )
                    .help(format!("compare it with something: `{said} > …`, `{said} = …`")),
                );
                None
            }
        }
    }
}

/// Whole powers of two, in sixtieths of an exponent: 2 → 60, 4 → 120.
fn power_of_two(value: Decimal) -> i32 {
    [(2, 1), (4, 2), (8, 3)]
        .into_iter()
        .find(|(number, _)| value == Decimal::from(*number))
        .map_or(0, |(_, power)| power * ONE)
}

/// An exponent as typed: a number, a fraction of two numbers, or the negative of one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fixed {
    num: Decimal,
    den: Decimal,
}

impl Fixed {
    /// As a fraction of small whole numbers.
    pub(super) fn as_fraction(self) -> Option<(i64, i64)> {
        let (mut num, mut den) = (self.num.normalize(), self.den.normalize());
        for _ in 0..4 {
            if num.scale() == 0 && den.scale() == 0 {
                break;
            }
            num = num.checked_mul(Decimal::TEN)?.normalize();
            den = den.checked_mul(Decimal::TEN)?.normalize();
        }
        if num.scale() != 0 || den.scale() != 0 {
            return None;
        }
        Some((i64::try_from(num).ok()?, i64::try_from(den).ok()?))
    }

    fn number(self) -> Number {
        match self.num.checked_div(self.den) {
            Some(number) if self.den == Decimal::ONE => Number::Exact(number),
            Some(number) => Number::Rounded(number),
            None => Number::Exact(self.num),
        }
    }
}

/// Words for a change of a formula: what it is then, or what is changed where that is long.
pub(super) fn written(text: &str, place: Span, instead: &str) -> String {
    const SHORT: usize = 40;
    let (before, after) = (text.get(..place.start as usize), text.get(place.end as usize..));
    let all = format!("{}{instead}{}", before.unwrap_or(""), after.unwrap_or(""));
    match all.trim() {
        all if all.len() <= SHORT => format!("write {all}"),
        _ if instead.is_empty() => format!("leave out {}", place.of(text).trim()),
        _ => format!("write {instead}"),
    }
}

/// The number of an exponent, where it is typed as one.
pub(super) fn constant(expr: &Expr) -> Option<Fixed> {
    match &expr.node {
        Node::Number(Literal { value, unit: None }) => Some(Fixed {
            num: *value,
            den: Decimal::ONE,
        }),
        Node::Negative(inner) => constant(inner).map(|fixed| Fixed {
            num: -fixed.num,
            den: fixed.den,
        }),
        Node::Product(parts) => {
            let mut out = Fixed {
                num: Decimal::ONE,
                den: Decimal::ONE,
            };
            for (sign, part) in parts {
                let fixed = constant(part)?;
                let (num, den) = if *sign == ProductSign::Over {
                    (fixed.den, fixed.num)
                } else {
                    (fixed.num, fixed.den)
                };
                out.num = out.num.checked_mul(num)?;
                out.den = out.den.checked_mul(den)?;
            }
            (!out.den.is_zero()).then_some(out)
        }
        _ => None,
    }
}

/// π as a term.
pub(super) fn pi(span: Span) -> Term {
    let mut term = Term::plain(Op::Number(Number::ONE), span);
    term.factor = Factor::new(1, 1, Exponent::ONE).unwrap_or_else(Factor::one);
    term.set(Count::Pi, ONE);
    term
}
