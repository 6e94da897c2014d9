//! Calls: functions with code, motor formulas and definitions worked in place, curves, integrals, and rows gathered.
//!
//! For: arguments brought to what a parameter takes, and what comes back.
//! Always: a name boundary: nothing of 2π or π crosses into a definition or out of it. Depth is bounded.
//! Not known here: how code works its numbers.

use std::collections::HashMap;
use std::sync::{Arc, LazyLock};

use rust_decimal::Decimal;

use super::names::of_sort;
use super::phasors::TAKE_PHASORS;
use super::roles::are_other_speeds;
use super::scope::{CurveBody, Curved, Scope};
use super::settle::{self, Wanted};
use super::term::{Count, Marks, ONE, Term};
use super::typed::{Gather, Op, PointCurve, Read, Which};
use super::units;
use super::walk::{Bound, Checker, DEEPEST, Part, Rows, constant};
use super::words::{self, Meeting};
use crate::fault::{Code, Fault, Span};
use crate::language::functions::{self, Body, Function, Gives, Takes};
use crate::language::syntax::{self, Expr, Name, Node, SumSign};
use crate::quantity::kind::Conductor;
use crate::quantity::nearest::nearest;
use crate::quantity::{Base, Dimension, Exponent, Family, Kind, Number, Unit};
use crate::standards::Series;

/// Bodies of the motor formulas, read once.
static BODIES: LazyLock<HashMap<&'static str, Arc<Expr>>> = LazyLock::new(|| {
    functions::all()
        .filter_map(|function| match function.body {
            Body::Formula(text) => Some((function.name, Arc::new(syntax::parse(text).0))),
            _ => None,
        })
        .collect()
});

/// The formula of an entry of the library, where it has one.
pub fn body_of(function: &Function) -> Option<&'static Expr> {
    BODIES.get(function.name).map(|body| &**body)
}

/// The parameters and the formula of a definition or a motor formula.
pub(super) fn opened(name: &str, scope: &dyn Scope) -> Option<(Vec<Name>, Arc<Expr>)> {
    if let Some(defined) = scope.definition(name) {
        let parameters = defined.parameters.into_iter().map(|(name, _)| name).collect();
        return Some((parameters, defined.body));
    }
    if scope.curve(name).is_some() {
        return None;
    }
    let function = functions::find(name)?;
    let body = BODIES.get(function.name)?;
    let parameters = function.parameters.iter().map(|one| one.name.into()).collect();
    Some((parameters, body.clone()))
}

/// Points of a curve, the unit of their arguments, and a value to tell what the curve gives.
pub(super) type Points = (Vec<(Op, Op)>, Unit, Term);

/// How a curve's or definition's parameter is bound.
pub(super) struct Parameter {
    pub(super) name: Name,
    pub(super) kind: Option<Kind>,
    /// A motor formula is made for real values.
    pub(super) real: bool,
}

impl Checker<'_> {
    /// `name(…)`.
    pub(super) fn call(&mut self, name: &Name, name_span: Span, arguments: &[Expr], span: Span) -> Part {
        if let Some(defined) = self.scope.definition(name) {
            let parameters = defined
                .parameters
                .iter()
                .map(|(name, kind)| Parameter {
                    name: name.clone(),
                    kind: *kind,
                    real: false,
                })
                .collect::<Vec<_>>();
            return self.in_place(
                name,
                parameters,
                arguments,
                &defined.body,
                &defined.text,
                None,
                false,
                span,
            );
        }
        if let Some(curve) = self.scope.curve(name) {
            return self.curve(name, &curve, arguments, span);
        }
        if let Some(function) = functions::find(name) {
            return self.function(function, arguments, span);
        }
        for argument in arguments {
            // A curve may be meant for a function of another name.
            if !matches!(&argument.node, Node::Name(name) if self.scope.curve(name).is_some()) {
                self.walk(argument);
            }
        }
        self.unknown_call(name, name_span, arguments, span);
        Part::Unknown
    }

    pub(super) fn unknown_call(&mut self, name: &Name, name_span: Span, arguments: &[Expr], span: Span) {
        let inner = match (arguments.first(), arguments.last()) {
            (Some(first), Some(last)) => self.said(first.span.join(last.span)).to_owned(),
            _ => String::new(),
        };
        if self.is_known(name) {
            self.fault(
                Fault::new(
                    Code::NOT_A_FUNCTION,
                    name_span,
                    format!("`{name}` is a quantity, no curve and no function; it cannot be called"),
                )
                .help(format!("to multiply, write `{name}*({inner})`"))
                .fix("multiply", span, format!("{name}*({inner})")),
            );
            return;
        }
        let mut fault = Fault::new(
            Code::UNKNOWN_FUNCTION,
            name_span,
            format!("there is no function, definition or curve `{name}`"),
        );
        let is_choice = ["if", "iif", "when"].iter().any(|word| word.eq_ignore_ascii_case(name));
        if let ([condition, yes, no], true) = (arguments, is_choice) {
            let [condition, yes, no] = [condition, yes, no].map(|part| self.said(part.span).to_owned());
            let write = syntax::chosen(&condition, &yes, &no);
            fault = fault
                .help(format!("write `{write}`"))
                .fix(format!("write {write}"), span, write);
        } else if let Some(instead) = syntax::words::instead(name) {
            fault = fault.help(format!("write {instead}"));
            if let Some(called) = called_so(instead, arguments.len()) {
                fault = fault.fix(format!("write {called}"), name_span, called);
            }
        } else {
            let known = self.scope.names();
            let small = name.to_lowercase();
            let words = functions::all().map(|function| function.name);
            let called = known
                .iter()
                .filter(|name| self.scope.curve(name).is_some() || self.scope.definition(name).is_some());
            let near = nearest(name, words.chain(called.map(|name| &**name)), 3);
            if small != **name && syntax::words::GATHERING.contains(&small.as_str()) {
                fault = fault.help(format!(
                    "words are written small here: `{small}(x for LIST)` gathers the rows of a list; several values are joined by `+`"
                ));
            } else if !near.is_empty() {
                let help = format!("did you mean `{}`?", near.join("` or `"));
                fault = fault.help(help).offering(name_span, near);
            } else {
                fault = fault.help(format!("define it in the head of the workbook: `define {name}(x) = …`"));
            }
        }
        self.fault(fault);
    }

    pub(super) fn count_fault(&mut self, name: &str, parameters: &str, wanted: &str, got: usize, span: Span) {
        self.fault(
            Fault::new(
                Code::ARGUMENT_COUNT,
                span,
                format!("`{name}` takes {wanted}, here are {got}"),
            )
            .help(format!("write `{name}({parameters})`")),
        );
    }

    // ---- worked in place -------------------------------------------------------------------------------------------------

    #[allow(clippy::too_many_arguments, reason = "a definition is all of these")]
    pub(super) fn in_place(
        &mut self,
        name: &Name,
        parameters: Vec<Parameter>,
        arguments: &[Expr],
        body: &Expr,
        text: &str,
        result: Option<Unit>,
        closed: bool,
        span: Span,
    ) -> Part {
        if parameters.len() != arguments.len() {
            for argument in arguments {
                self.walk(argument);
            }
            let list = parameters.iter().map(|one| &*one.name).collect::<Vec<_>>().join(", ");
            let wanted = plural(parameters.len());
            self.count_fault(name, &list, &wanted, arguments.len(), span);
            return Part::Unknown;
        }
        if self.deep >= DEEPEST {
            self.fault(
                Fault::new(
                    Code::DEFINITION_LOOP,
                    span,
                    format!("`{name}` leads back to itself, or definitions call each other more than {DEEPEST} deep"),
                )
                .help("a definition may call others, but not itself"),
            );
            return Part::Unknown;
        }
        let mut bound = Vec::with_capacity(parameters.len());
        let mut lets = Vec::with_capacity(parameters.len());
        let mut wrong = false;
        for (parameter, argument) in parameters.into_iter().zip(arguments) {
            match self.argument(&parameter, argument, name) {
                Some((part, slot)) => {
                    lets.extend(slot);
                    bound.push(Bound {
                        name: parameter.name,
                        part,
                    });
                }
                None => wrong = true,
            }
        }
        if wrong {
            return Part::Unknown;
        }
        // The body sees its parameters and what the sheet has, not the names bound by the caller.
        let outer = (
            self.hidden,
            self.bound.len(),
            self.inside.clone(),
            self.rows,
            self.closed,
        );
        self.closed = closed;
        self.hidden = self.bound.len();
        self.bound.extend(bound);
        if self.inside.is_none() {
            self.inside = Some((span, name.clone()));
        }
        self.deep += 1;
        self.inner.push(text.into());
        let part = self.walk(body);
        let part = match part {
            Part::Term(mut term) => {
                term.span = body.span;
                let settled = match &result {
                    Some(unit) => self.in_unit(term, unit, None, Span::default()),
                    None if term.point => Some(term),
                    None => self.seated(term),
                };
                settled.map_or(Part::Unknown, |mut term| {
                    term.span = span;
                    Part::Term(term)
                })
            }
            other => other,
        };
        self.inner.pop();
        self.deep -= 1;
        let (hidden, length, inside, rows, closed) = outer;
        self.hidden = hidden;
        self.bound.truncate(length);
        self.inside = inside;
        self.rows = rows;
        self.closed = closed;
        wrapped(part, lets)
    }

    /// An argument settled to the kind of its parameter, and the slot it is bound to.
    fn argument(&mut self, parameter: &Parameter, argument: &Expr, name: &Name) -> Option<(Part, Option<(usize, Op)>)> {
        let part = self.walk(argument);
        let mut term = match part {
            Part::Term(mut term) => {
                term.span = argument.span;
                term
            }
            Part::Unknown => return None,
            Part::Text(op) => {
                let (op, slot) = self.in_slot(op);
                return Some((Part::Text(op), slot));
            }
            Part::Choice(op, words) => {
                let (op, slot) = self.in_slot(op);
                return Some((Part::Choice(op, words), slot));
            }
            Part::Truth(op) => return Some((Part::Truth(op), None)),
            Part::Blank(op) => return Some((Part::Blank(op), None)),
        };
        let term = match parameter.kind {
            None if term.point => term,
            None => self.seated(term)?,
            Some(_) if parameter.real && term.phasor => {
                self.phasor_fault(&term, &format!("what `{name}` takes"));
                return None;
            }
            Some(kind) => {
                let usual = units::usual(kind, false);
                // Its own unit stays where it fits the kind.
                let own = term.unit.clone().filter(|own| own.dimension == usual.dimension);
                let unit = own.unwrap_or(usual);
                let unit = self.currency_of(&mut term, unit);
                self.other_role(&term, kind, name);
                self.in_unit(term, &unit, Some(kind), Span::default())?
            }
        };
        let span = argument.span;
        // A cell or a number is cheap to read again; but a cell of a row has to be read before the body goes over other rows.
        if matches!(term.op, Op::Number(_) | Op::Local(_)) || (matches!(term.op, Op::Read(_)) && self.rows.is_none()) {
            return Some((Part::Term(term), None));
        }
        let slot = self.locals;
        self.locals += 1;
        let op = term.op;
        let bound = Term {
            op: Op::Local(slot),
            span,
            ..term
        };
        Some((Part::Term(bound), Some((slot, op))))
    }

    /// A text of a row, read before the body goes over other rows.
    fn in_slot(&mut self, op: Op) -> (Op, Option<(usize, Op)>) {
        if self.rows.is_none() || matches!(op, Op::Text(_) | Op::Local(_)) {
            return (op, None);
        }
        let slot = self.locals;
        self.locals += 1;
        (Op::Local(slot), Some((slot, op)))
    }

    /// A value of another role than the parameter asks for: rated speed for synchronous speed.
    pub(super) fn other_role(&mut self, term: &Term, kind: Kind, name: &Name) {
        let Some(own) = term.kind else {
            return;
        };
        let differ = match (kind.family(), own.family()) {
            (Family::Voltage { between: a }, Family::Voltage { between: b })
            | (Family::Current { within: a }, Family::Current { within: b }) => {
                a != b && a != Conductor::Any && b != Conductor::Any
            }
            (one, other) => are_other_speeds(one, other),
        };
        if differ {
            let said = self.said(term.span).to_owned();
            self.fault(
                Fault::new(
                    Code::OTHER_ROLE,
                    term.span,
                    format!(
                        "`{name}` takes {} {} here; `{said}` is {} {}",
                        words::article(kind.words()),
                        kind.words(),
                        words::article(own.words()),
                        own.words()
                    ),
                )
                .help(match kind.family() {
                    Family::Voltage { .. } | Family::Current { .. } => {
                        "in star the line voltage is √3 times the phase voltage, in delta the line current √3 times the phase current; give the other one a line of its own"
                    }
                    _ => "look at the order of the arguments",
                }),
            );
        }
    }

    // ---- functions with code ---------------------------------------------------------------------------------------------

    fn function(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        if let Body::Physics(_) = function.body {
            return self.physics(function, arguments, span);
        }
        let least = function.parameters.len();
        let repeats = function.parameters.last().is_some_and(|parameter| parameter.repeats);
        if arguments.len() < least || (arguments.len() > least && !repeats) {
            if !matches!(function.name, "previous" | "running") {
                for argument in arguments {
                    if !matches!(argument.node, Node::Name(_)) {
                        self.walk(argument);
                    }
                }
            }
            let list = function
                .parameters
                .iter()
                .map(|one| one.name)
                .collect::<Vec<_>>()
                .join(", ");
            // Arguments that cannot be read have their fault already, and nobody knows how many they are.
            if arguments.iter().any(|argument| matches!(argument.node, Node::Bad)) {
                return Part::Unknown;
            }
            let wanted = if repeats {
                format!("{} or more values", least)
            } else {
                plural(least)
            };
            self.count_fault(function.name, &list, &wanted, arguments.len(), span);
            return Part::Unknown;
        }
        if let Body::Formula(text) = function.body {
            let Some(body) = BODIES.get(function.name).cloned() else {
                return Part::Unknown;
            };
            let parameters = function
                .parameters
                .iter()
                .map(|parameter| Parameter {
                    name: parameter.name.into(),
                    kind: match parameter.takes {
                        Takes::Kind(words) => Kind::find(words),
                        _ => None,
                    },
                    real: true,
                })
                .collect();
            let part = self.in_place(
                &function.name.into(),
                parameters,
                arguments,
                &body,
                text,
                None,
                true,
                span,
            );
            return match (part, function.gives) {
                (Part::Term(term), Gives::Kind(words)) => match Kind::find(words) {
                    Some(kind) => {
                        let unit = units::usual(kind, self.scope.us_units());
                        let mut term = term;
                        let unit = self.currency_of(&mut term, unit);
                        self.in_unit(term, &unit, Some(kind), Span::default())
                            .map_or(Part::Unknown, |mut term| {
                                term.span = span;
                                Part::Term(term)
                            })
                    }
                    None => Part::Term(term),
                },
                (part, _) => part,
            };
        }
        match function.name {
            "previous" | "running" => self.of_rows(function, arguments, span),
            "known" => self.known(arguments),
            "num" => self.num(arguments, span),
            "refuse" => self.refuse(function, arguments),
            "assuming" => self.assuming(function, arguments),
            "sqrt" | "root" => self.root(arguments, span),
            "next_rating" => self.next_rating(function, arguments, span),
            name if TAKE_PHASORS.contains(&name) => self.of_phasors(function, arguments, span),
            _ => self.code(function, arguments, span),
        }
    }

    /// A function with code: each argument brought to what its parameter takes.
    fn code(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        let mut ops = Vec::with_capacity(arguments.len());
        let mut first: Option<Term> = None;
        let mut like: Vec<(bool, Term)> = Vec::new();
        let mut wrong = false;
        let mut angle_of: Option<Count> = None;
        for (at, argument) in arguments.iter().enumerate() {
            let Some(parameter) = function.parameters.get(at).or(function.parameters.last()) else {
                continue;
            };
            match parameter.takes {
                Takes::Text | Takes::Series | Takes::Curve(..) | Takes::Optional(_) => {
                    match self.text_argument(argument) {
                        Some(op) => ops.push(op),
                        None => wrong = true,
                    }
                }
                takes => {
                    let term = self.term(argument);
                    let Some(term) = term.and_then(|term| self.real(term, &format!("what `{}` takes", function.name)))
                    else {
                        wrong = true;
                        continue;
                    };
                    let term = match takes {
                        Takes::Plain => {
                            let is_power_factor = term.tag(Base::Active) == ONE && term.tag(Base::Apparent) == -ONE;
                            let term = self.plain(term, &format!("what `{}` takes", function.name));
                            if is_power_factor {
                                angle_of = Some(Count::Cosine);
                            }
                            term
                        }
                        Takes::Angle => {
                            self.bare_angle(&term, function.name, argument.span);
                            self.angle(term)
                        }
                        Takes::Kind(words) => match Kind::find(words) {
                            Some(kind) => {
                                let unit = units::usual(kind, false);
                                self.in_unit(term, &unit, Some(kind), Span::default())
                            }
                            None => Some(term),
                        },
                        _ if term.point => Some(term),
                        _ => {
                            // A typed zero is set against anything, here as in a comparison.
                            let literal = term.literal;
                            self.seated(term).map(|term| Term { literal, ..term })
                        }
                    };
                    match term {
                        Some(mut term) => {
                            term.span = argument.span;
                            if matches!(takes, Takes::LikeFirst | Takes::Any) {
                                like.push((false, term));
                            } else {
                                ops.push(std::mem::replace(&mut term.op, Op::Truth(false)));
                                first.get_or_insert(term);
                            }
                        }
                        None => wrong = true,
                    }
                }
            }
        }
        if wrong {
            return Part::Unknown;
        }
        if !like.is_empty() {
            let points = like.iter().any(|(_, term)| term.point);
            if points {
                let Some(unit) = like
                    .iter()
                    .find(|(_, term)| term.point)
                    .and_then(|(_, term)| term.unit.clone())
                else {
                    return Part::Unknown;
                };
                for (_, term) in like {
                    let place = term.span;
                    let difference = function.name == "round" && first.is_some();
                    let kind = if difference { None } else { Kind::find("temperature") };
                    let Some(term) = self.in_unit(term, &unit, kind, place) else {
                        return Part::Unknown;
                    };
                    ops.push(term.op.clone());
                    first.get_or_insert(term);
                }
            } else {
                let Some((terms, whole)) = self.unify(like, Meeting::Comparison) else {
                    return Part::Unknown;
                };
                ops.extend(terms.into_iter().map(|(_, term)| term.op));
                first = Some(whole);
            }
        }
        let op = Op::Call(function, ops);
        match (function.gives, first) {
            (Gives::LikeFirst, Some(first)) => {
                let mut term = Term { op, span, ..first };
                term.literal = None;
                Part::Term(term)
            }
            (Gives::Angle, _) => {
                let mut term = Term::plain(op, span);
                if let Ok(rad) = Unit::parse("rad") {
                    units::dress(
                        &mut term,
                        &rad,
                        Kind::find("phase angle").filter(|_| angle_of.is_some()),
                    );
                    term.unit = Some(rad);
                }
                Part::Term(term)
            }
            (Gives::Truth, _) => Part::Truth(op),
            (Gives::Text, _) => Part::Text(op),
            (Gives::Kind(words), _) => {
                let mut term = Term::plain(op, span);
                if let Some(kind) = Kind::find(words) {
                    let unit = units::usual(kind, false);
                    units::dress(&mut term, &unit, Some(kind));
                    term.unit = Some(unit);
                }
                Part::Term(term)
            }
            _ => {
                let mut term = Term::plain(op, span);
                let count = match function.name {
                    "cos" => Some(Count::Cosine),
                    "sin" => Some(Count::Sine),
                    "tan" => Some(Count::Tangent),
                    _ => None,
                };
                if let Some(count) = count {
                    term.set(count, ONE);
                }
                Part::Term(term)
            }
        }
    }

    /// An angle, or a plain number taken as radians.
    /// `sin(30)`: radians, which hardly anybody means who types a whole number of degrees.
    pub(super) fn bare_angle(&mut self, term: &Term, function: &str, span: Span) {
        if term.literal.is_none_or(|value| value.is_zero()) {
            return;
        }
        let said = self.said(span).to_owned();
        self.fault(
            Fault::new(
                Code::ANGLE_WITHOUT_UNIT,
                span,
                format!("`{said}` has no unit, so `{function}` takes it in radians"),
            )
            .help(format!("write `{said} deg` for degrees, or `{said} rad`"))
            .fix("write degrees", span, format!("{said} deg")),
        );
    }

    pub(super) fn angle(&mut self, mut term: Term) -> Option<Term> {
        let plain = term.is_plain() || term.count(Count::Electrical) != 0 || term.count(Count::TwoPi) != 0;
        let wanted = if plain {
            Wanted::plain()
        } else {
            Wanted::of(Dimension::of(Base::Radian))
        };
        match settle::fit(&mut term, &wanted) {
            Ok(_) => Some(term.scaled()),
            Err(refusal) => {
                let rad = Unit::known("rad")?;
                let fault = words::refusal(
                    refusal,
                    &term,
                    self.text(),
                    &words::Asked::Unit {
                        unit: &rad,
                        kind: None,
                        place: Span::default(),
                    },
                );
                self.fault(fault);
                None
            }
        }
    }

    fn text_argument(&mut self, argument: &Expr) -> Option<Op> {
        match self.walk(argument) {
            Part::Text(op) | Part::Choice(op, _) | Part::Blank(op) => Some(op),
            Part::Unknown => None,
            Part::Term(_) | Part::Truth(_) => {
                let said = self.said(argument.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::TEXT_NEEDED,
                        argument.span,
                        format!("a text is needed here; `{said}` is none"),
                    )
                    .help("put the text in quotes: `\"G\"`"),
                );
                None
            }
        }
    }

    /// `sqrt(x)`, `root(x, n)`: a power with a fixed exponent.
    fn root(&mut self, arguments: &[Expr], span: Span) -> Part {
        let [base, rest @ ..] = arguments else {
            return Part::Unknown;
        };
        let Some(term) = self.term(base) else {
            if let [index] = rest {
                self.walk(index);
            }
            return Part::Unknown;
        };
        if term.point && term.unit.as_ref().is_some_and(|unit| unit.offset.is_some()) {
            self.point_fault(&term);
            return Part::Unknown;
        }
        let power = match rest {
            [] => Exponent::new(1, 2),
            [index] => match constant(index).and_then(super::walk::Fixed::as_fraction) {
                Some((num, den)) if num != 0 => Exponent::new(den, num),
                _ => {
                    let said = self.said(index.span).to_owned();
                    self.fault(
                        Fault::new(
                            Code::EXPONENT,
                            index.span,
                            format!("the degree of a root is a number as typed, not zero; `{said}` is none"),
                        )
                        .help("write `root(x, 3)` for the third root"),
                    );
                    return Part::Unknown;
                }
            },
            _ => None,
        };
        let Some(power) = power else {
            return Part::Unknown;
        };
        if term.phasor {
            self.phasor_power(&term, base);
            return Part::Unknown;
        }
        let half = Exponent::new(1, 2);
        if let Some(value) = term.literal
            && Some(power) == half
            && let Ok(root) = Number::Exact(value).sqrt()
        {
            // √3 and √2 are known by what they do.
            let mut term = Term::plain(Op::Number(root), span);
            if value == rust_decimal::Decimal::from(3) {
                term.set(Count::RootThree, ONE);
            } else if value == rust_decimal::Decimal::TWO {
                term.marks = term.marks.with(Marks::ROOT_TWO);
            }
            return Part::Term(term);
        }
        let sine = Some(power) == half && self.is_sine_squared(base);
        match self.raised(term, power, span) {
            Part::Term(mut term) if sine => {
                term.set(Count::Sine, ONE);
                Part::Term(term)
            }
            part => part,
        }
    }

    /// 1 − pf², the square of the sine of the angle whose cosine is the power factor.
    fn is_sine_squared(&self, expr: &Expr) -> bool {
        let is_power_factor = |expr: &Expr| self.kind_named(expr).map(Kind::family) == Some(Family::PowerFactor);
        let Node::Sum(terms) = &expr.node else { return false };
        let [(SumSign::Plus, one), (SumSign::Minus, square)] = terms.as_slice() else {
            return false;
        };
        let of_number = |expr: &Expr, value: Decimal| matches!(&expr.node, Node::Number(number) if number.unit.is_none() && number.value == value);
        let squared = match &square.node {
            Node::Power(base, two) => is_power_factor(base) && of_number(two, Decimal::TWO),
            _ => false,
        };
        of_number(one, Decimal::ONE) && squared
    }

    /// `previous(x)`, `running(x)`.
    fn of_rows(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        let Some(argument) = arguments.first() else {
            return Part::Unknown;
        };
        let Some((named, _)) = self.own_quantity(argument, function.name) else {
            return Part::Unknown;
        };
        let running = function.name == "running";
        let read = Read {
            quantity: named.id,
            which: if running { Which::Running } else { Which::Previous },
        };
        let index = self.read(read, argument.span);
        let part = of_sort(
            &named.sort,
            if running { Op::Running(index) } else { Op::Read(index) },
            span,
        );
        match part {
            Part::Term(term) if running && term.point => {
                self.point_fault(&term);
                Part::Unknown
            }
            Part::Text(_) | Part::Choice(..) | Part::Truth(_) if running => {
                let said = self.said(argument.span).to_owned();
                self.fault(
                    Fault::new(
                        Code::TEXT_IN_ARITHMETIC,
                        argument.span,
                        format!("`{said}` is no number; only numbers can be added up"),
                    )
                    .help("count rows with `count(LIST where …)`"),
                );
                Part::Unknown
            }
            part => part,
        }
    }

    fn known(&mut self, arguments: &[Expr]) -> Part {
        let Some(argument) = arguments.first() else {
            return Part::Unknown;
        };
        match self.walk(argument) {
            Part::Term(term) => Part::Truth(Op::Known(Box::new(term.op))),
            Part::Text(op) | Part::Choice(op, _) | Part::Truth(op) | Part::Blank(op) => {
                Part::Truth(Op::Known(Box::new(op)))
            }
            Part::Unknown => Part::Unknown,
        }
    }

    /// `num(x in unit)`: the unit is stripped on purpose.
    fn num(&mut self, arguments: &[Expr], span: Span) -> Part {
        let Some(argument) = arguments.first() else {
            return Part::Unknown;
        };
        let Some(term) = self.term(argument) else {
            return Part::Unknown;
        };
        if !matches!(argument.node, Node::In(..)) {
            let said = self.said(argument.span).to_owned();
            let unit = units::natural(&term, self.scope.us_units()).unwrap_or_else(Unit::plain);
            self.fault(
                Fault::new(
                    Code::NUM_NEEDS_UNIT,
                    argument.span,
                    format!("`num` strips a unit, and has to be told which: `{said}` alone does not say"),
                )
                .help(format!("write `num({said} in {})`", unit.text)),
            );
            return Part::Unknown;
        }
        // Not a typed number: nothing is concluded from it.
        let mut plain = Term::plain(term.op, span);
        plain.phasor = term.phasor;
        Part::Term(plain)
    }

    fn refuse(&mut self, function: &'static Function, arguments: &[Expr]) -> Part {
        match arguments.first().map(|argument| self.text_argument(argument)) {
            Some(Some(op)) => Part::Blank(Op::Call(function, vec![op])),
            _ => Part::Unknown,
        }
    }

    fn assuming(&mut self, function: &'static Function, arguments: &[Expr]) -> Part {
        let [value, what] = arguments else {
            return Part::Unknown;
        };
        let term = self.term(value);
        let what = self.text_argument(what);
        match (term, what) {
            (Some(term), Some(what)) => Part::Term(Term {
                op: Op::Call(function, vec![term.op.clone(), what]),
                ..term
            }),
            _ => Part::Unknown,
        }
    }

    fn next_rating(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        let [power, series] = arguments else {
            return Part::Unknown;
        };
        let term = self.term(power);
        let found = match &series.node {
            Node::Name(name) => Series::find(name),
            _ => None,
        };
        let Some(found) = found else {
            let said = self.said(series.span).to_owned();
            let names = Series::ALL.map(Series::name).join(", ");
            self.fault(
                Fault::new(
                    Code::UNKNOWN_SERIES,
                    series.span,
                    format!("`{said}` is no series of ratings"),
                )
                .help(format!("the series are: {names}")),
            );
            return Part::Unknown;
        };
        let (Some(term), Ok(unit)) = (term, Unit::parse(found.unit())) else {
            return Part::Unknown;
        };
        let kind = Kind::find("shaft power");
        let Some(term) = self.in_unit(term, &unit, kind, Span::default()) else {
            return Part::Unknown;
        };
        let op = Op::Call(function, vec![term.op.clone(), Op::Text(found.name().into())]);
        Part::Term(Term { op, span, ..term })
    }

    // ---- curves ----------------------------------------------------------------------------------------------------------

    fn curve(&mut self, name: &Name, curve: &Curved, arguments: &[Expr], span: Span) -> Part {
        let parameter = Parameter {
            name: curve.parameter.0.clone(),
            kind: curve.parameter.1,
            real: false,
        };
        let result = curve.unit.as_ref().map(|written| written.unit.clone());
        match &curve.body {
            CurveBody::Formula(body, text) => {
                // What is wrong whatever the argument is, stands in the curve's own line; without a kind it is seen only here.
                let text: &str = if parameter.kind.is_some() { "" } else { text };
                self.in_place(name, vec![parameter], arguments, body, text, result, false, span)
            }
            CurveBody::Points(points) => {
                let [argument] = arguments else {
                    for argument in arguments {
                        self.walk(argument);
                    }
                    self.count_fault(name, &curve.parameter.0, "one value", arguments.len(), span);
                    return Part::Unknown;
                };
                let term = self.term(argument);
                let Some(term) = term.and_then(|term| self.real(term, "the argument of a curve through points")) else {
                    return Part::Unknown;
                };
                let outer = (self.inside.clone(), self.hidden, self.rows);
                if self.inside.is_none() {
                    self.inside = Some((span, name.clone()));
                }
                self.hidden = self.bound.len();
                self.inner.push("".into());
                let points = self.points(points, curve.parameter.1, result);
                self.inner.pop();
                (self.inside, self.hidden, self.rows) = outer;
                let Some((points, x_unit, y)) = points else {
                    return Part::Unknown;
                };
                let Some(term) = self.in_unit(term, &x_unit, curve.parameter.1, Span::default()) else {
                    return Part::Unknown;
                };
                let curve = PointCurve {
                    name: name.clone(),
                    unit: x_unit.text.clone(),
                    points,
                };
                let op = Op::Points(Arc::new(curve), Box::new(term.op));
                Part::Term(Term { op, span, ..y })
            }
        }
    }

    /// Points of a curve, arguments in one unit and values in one unit.
    pub(super) fn points(
        &mut self,
        points: &[(Expr, Expr)],
        kind: Option<Kind>,
        result: Option<Unit>,
    ) -> Option<Points> {
        let mut x_unit: Option<Unit> = None;
        let mut y_unit = result;
        let mut out = Vec::with_capacity(points.len());
        let mut sample: Option<Term> = None;
        let mut wrong = false;
        for (x, y) in points {
            let (x_term, y_term) = (self.term(x), self.term(y));
            let x_term = x_term.and_then(|term| self.real(term, "a point of a curve"));
            let y_term = y_term.and_then(|term| self.real(term, "a point of a curve"));
            let (Some(x_term), Some(y_term)) = (x_term, y_term) else {
                wrong = true;
                continue;
            };
            let unit = match &x_unit {
                Some(unit) => unit.clone(),
                None => {
                    let unit = match (&x_term.unit, kind) {
                        (Some(own), _) => own.clone(),
                        (None, Some(kind)) => units::usual(kind, false),
                        (None, None) => units::natural(&self.natural(x_term.clone())?, false)?,
                    };
                    x_unit = Some(unit.clone());
                    unit
                }
            };
            let x_term = self.in_unit(x_term, &unit, kind, Span::default());
            let unit = match &y_unit {
                Some(unit) => unit.clone(),
                None => {
                    let unit = match &y_term.unit {
                        Some(own) => own.clone(),
                        None => units::natural(&self.natural(y_term.clone())?, false)?,
                    };
                    y_unit = Some(unit.clone());
                    unit
                }
            };
            let y_term = self.in_unit(y_term, &unit, None, Span::default());
            match (x_term, y_term) {
                (Some(x_term), Some(y_term)) => {
                    out.push((x_term.op, y_term.op.clone()));
                    sample.get_or_insert(y_term);
                }
                _ => wrong = true,
            }
        }
        if wrong {
            return None;
        }
        Some((out, x_unit?, sample?))
    }

    /// `integral(E for n from A to B)`.
    pub(super) fn integral(&mut self, value: &Expr, variable: &Name, from: &Expr, to: &Expr, span: Span) -> Part {
        let (from_term, to_term) = (self.term(from), self.term(to));
        let from_term = from_term.and_then(|term| self.real(term, "an end of an integral"));
        let to_term = to_term.and_then(|term| self.real(term, "an end of an integral"));
        let (Some(from_term), Some(to_term)) = (from_term, to_term) else {
            return Part::Unknown;
        };
        let (Some(from_term), Some(to_term)) = (self.seated(from_term), self.seated(to_term)) else {
            return Part::Unknown;
        };
        let Some((ends, whole)) = self.unify(vec![(false, from_term), (false, to_term)], Meeting::Sum) else {
            return Part::Unknown;
        };
        let mut ends = ends.into_iter().map(|(_, term)| term.op);
        let (Some(from), Some(to)) = (ends.next(), ends.next()) else {
            return Part::Unknown;
        };
        let local = self.locals;
        self.locals += 1;
        let bound = Term {
            op: Op::Local(local),
            ..whole.clone()
        };
        self.bound.push(Bound {
            name: variable.clone(),
            part: Part::Term(bound),
        });
        let inner = self.term(value);
        self.bound.pop();
        let inner = inner.and_then(|term| self.real(term, "what is integrated"));
        let Some(inner) = inner else {
            return Part::Unknown;
        };
        let Some(inner) = self.seated(inner) else {
            return Part::Unknown;
        };
        if inner.point {
            self.point_fault(&inner);
            return Part::Unknown;
        }
        let op = Op::Integral {
            local,
            value: Box::new(inner.op.clone()),
            from: Box::new(from),
            to: Box::new(to),
        };
        // Its unit is that of the value times that of the variable.
        let step = Term {
            op: Op::Number(Number::ONE),
            literal: None,
            ..whole
        };
        let value = Term {
            op,
            literal: None,
            ..inner
        };
        match value.mul(step, false) {
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

    // ---- rows ------------------------------------------------------------------------------------------------------------

    /// `sum(P_in for motors where load > 100 %)`.
    pub(super) fn aggregate(
        &mut self,
        (how, how_span): (&Name, Span),
        value: Option<&Expr>,
        (list, list_span): (&Name, Span),
        along: Option<&(Expr, Expr)>,
        condition: Option<&Expr>,
        span: Span,
    ) -> Part {
        let gather = match &**how {
            "sum" => Gather::Sum,
            "mean" => Gather::Mean,
            "largest" => Gather::Largest,
            "smallest" => Gather::Smallest,
            "count" => Gather::Count,
            "only" => Gather::Only,
            "first" => Gather::First,
            "interpolated" => Gather::Interpolated,
            "next_up" => Gather::NextUp,
            "next_down" => Gather::NextDown,
            "nearest" => Gather::Nearest,
            _ => {
                let near = nearest(how, syntax::words::GATHERING.iter().copied(), 1);
                let help = syntax::words::instead(how)
                    .map(|instead| format!("write {instead}"))
                    .or_else(|| near.first().map(|near| format!("did you mean `{near}`?")))
                    .unwrap_or_else(|| format!("write one of: {}", syntax::words::GATHERING.join(", ")));
                self.fault(
                    Fault::new(
                        Code::UNKNOWN_FUNCTION,
                        how_span,
                        format!("`{how}` does not gather rows"),
                    )
                    .help(help),
                );
                return Part::Unknown;
            }
        };
        let Some(sheet) = self.scope.sheet(list) else {
            self.unknown_sheet(list, list_span);
            return Part::Unknown;
        };
        // A function that looks into a published table has all it asks with in its parameters.
        let outer = self.rows;
        if outer.is_some() && !(sheet.table().is_some() && self.inside.is_some()) {
            self.fault(
                Fault::new(
                    Code::ROWS_IN_ROWS,
                    span,
                    "rows are gathered inside rows that are gathered; which item asks cannot be told",
                )
                .help("give the inner one a line of its own in the list and use its name"),
            );
            return Part::Unknown;
        }
        if gather == Gather::Interpolated && self.steps_only(sheet, how_span) {
            return Part::Unknown;
        }
        let wanted = along.map(|(_, wanted)| {
            let term = self.term(wanted)?;
            self.real(term, "the place in a table")
        });
        self.rows = Some(Rows { sheet });
        let worked = value.map(|value| (value.span, self.walk(value)));
        let holds = condition.map(|condition| self.truth(condition));
        let along = along.map(|(key, _)| self.place_along(key, wanted.flatten()));
        self.rows = outer;
        let along = match along {
            None => None,
            Some(Some(along)) => Some(Box::new(along)),
            Some(None) => return Part::Unknown,
        };
        let condition = match holds {
            None => None,
            Some(Some(op)) => Some(Box::new(op)),
            Some(None) => return Part::Unknown,
        };
        let make = |value: Option<Op>| Op::Gather {
            how: gather,
            sheet,
            along,
            value: value.map(Box::new),
            condition,
        };
        match worked {
            None if gather == Gather::Count => Part::Term(Term::plain(make(None), span)),
            None => {
                self.fault(
                    Fault::new(Code::NAME_NEEDED, how_span, format!("`{how}` of what is not said"))
                        .help(format!("write `{how}(P for {list})`, or `count({list})`")),
                );
                Part::Unknown
            }
            Some((_, Part::Unknown)) => Part::Unknown,
            Some((place, Part::Term(mut term))) => {
                term.span = place;
                if gather == Gather::Count {
                    return Part::Term(Term::plain(make(Some(term.op)), span));
                }
                if term.phasor && matches!(gather, Gather::Largest | Gather::Smallest | Gather::Interpolated) {
                    self.phasor_fault(&term, &format!("what `{how}` works with"));
                    return Part::Unknown;
                }
                if term.point {
                    if gather == Gather::Sum {
                        self.point_fault(&term);
                        return Part::Unknown;
                    }
                    let op = make(Some(term.op.clone()));
                    return Part::Term(Term { op, span, ..term });
                }
                let Some(term) = self.seated(term) else {
                    return Part::Unknown;
                };
                let op = make(Some(term.op.clone()));
                let mut term = Term { op, span, ..term };
                term.literal = None;
                Part::Term(term)
            }
            Some((_, part)) if matches!(gather, Gather::Count) => match part {
                Part::Text(op) | Part::Choice(op, _) | Part::Truth(op) | Part::Blank(op) => {
                    Part::Term(Term::plain(make(Some(op)), span))
                }
                _ => Part::Unknown,
            },
            Some((_, Part::Text(op))) if gather.takes_a_row() => Part::Text(make(Some(op))),
            Some((_, Part::Choice(op, words))) if gather.takes_a_row() => Part::Choice(make(Some(op)), words),
            Some((_, Part::Blank(op))) => Part::Blank(op),
            Some((place, _)) => {
                let said = self.said(place).to_owned();
                self.fault(
                    Fault::new(
                        Code::TEXT_IN_ARITHMETIC,
                        place,
                        format!("`{said}` is no number; `{how}` works with numbers"),
                    )
                    .help("`only`, `first`, `next_up`, `next_down`, `nearest` and `count` take texts too"),
                );
                Part::Unknown
            }
        }
    }

    // ---- currencies ------------------------------------------------------------------------------------------------------

    /// A kind such as cost asks for money, whatever the currency.
    pub(super) fn currency_of(&mut self, term: &mut Term, unit: Unit) -> Unit {
        if term.dimension == unit.dimension || term.point {
            return unit;
        }
        let (Some(any), Some(wanted)) = (term.dimension.any_currency(), unit.dimension.any_currency()) else {
            return unit;
        };
        let money = [Base::Dollar, Base::Euro, Base::Pound]
            .into_iter()
            .any(|base| term.tag(base) != 0);
        if !money || any.without_tags() != wanted.without_tags() {
            return unit;
        }
        // The same unit in the term's own currency.
        let symbol = [(Base::Dollar, "$"), (Base::Euro, "€"), (Base::Pound, "£")]
            .into_iter()
            .find(|(base, _)| term.tag(*base) != 0)
            .map_or("$", |(_, symbol)| symbol);
        Unit::parse(&unit.text.replace('$', symbol)).unwrap_or(unit)
    }
}

pub(super) fn along_needs_numbers(span: Span, said: &str) -> Fault {
    Fault::new(
        Code::TEXT_IN_ARITHMETIC,
        span,
        format!("`{said}` is no number; a place is sought along numbers"),
    )
    .help("compare texts behind `where`: `where enclosure = \"open\"`")
}

pub(super) fn plural(count: usize) -> String {
    match count {
        0 => "no value".to_owned(),
        1 => "one value".to_owned(),
        2 => "two values".to_owned(),
        3 => "three values".to_owned(),
        n => format!("{n} values"),
    }
}

/// Binds the arguments around the op of a part.
fn wrapped(part: Part, lets: Vec<(usize, Op)>) -> Part {
    if lets.is_empty() {
        return part;
    }
    let around = |op: Op| {
        lets.into_iter().rev().fold(op, |body, (local, value)| Op::Let {
            local,
            value: Box::new(value),
            body: Box::new(body),
        })
    };
    match part {
        Part::Term(term) => {
            let op = around(term.op);
            Part::Term(Term { op, ..term })
        }
        Part::Text(op) => Part::Text(around(op)),
        Part::Choice(op, words) => Part::Choice(around(op), words),
        Part::Truth(op) => Part::Truth(around(op)),
        Part::Blank(op) => Part::Blank(around(op)),
        Part::Unknown => Part::Unknown,
    }
}

/// The function in `` `acos(x)` `` or `` `largest(a, b)`, or … `` that takes as many values.
fn called_so(instead: &str, count: usize) -> Option<&str> {
    let (called, rest) = instead.strip_prefix('`')?.split_once('(')?;
    let (values, _) = rest.split_once(')')?;
    let several = values.contains(", ") && count > 1;
    let one = !values.contains([',', ' ']) && count == 1;
    (functions::find(called).is_some() && (several || one)).then_some(called)
}
