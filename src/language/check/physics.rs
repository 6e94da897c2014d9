//! Calls of motor physics: arguments in coherent units, and curves as arguments.
//!
//! For: `run_up_time(T_M, T_L, J, 0 r/min, 1450 r/min)`, where `T_M` and `T_L` are names of curves.
//! Always: a curve is checked as if it were called with a value of the kind its function asks for, so its units and its reads are
//! those of the formula that names it.
//! Not known here: the physics.

use super::calls::plural;
use super::settle::{self, Wanted};
use super::term::{Term, scaled};
use super::typed::Op;
use super::units;
use super::walk::{Bound, Checker, Part};
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::language::functions::{self, Function, Gives, Parameter, Takes};
use crate::language::syntax::{Expr, Name, Node};
use crate::quantity::{Factor, Kind};

/// What the argument of a curve is called inside; nobody can type it.
const ASKED: &str = "\u{2039}asked\u{203a}";

impl Checker<'_> {
    /// A call of a function of physics.
    pub(super) fn physics(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        let Some(parameters) = matched(function.parameters, arguments.len()) else {
            for argument in arguments {
                if !matches!(argument.node, Node::Name(_)) {
                    self.walk(argument);
                }
            }
            if !arguments.iter().any(|argument| matches!(argument.node, Node::Bad)) {
                let (list, wanted) = told(function.parameters);
                self.count_fault(function.name, &list, &wanted, arguments.len(), span);
            }
            return Part::Unknown;
        };
        let mut ops = Vec::with_capacity(arguments.len());
        let mut wrong = false;
        for (parameter, argument) in parameters.into_iter().zip(arguments) {
            let op = match parameter.takes {
                Takes::Curve(over, gives) => self.along(argument, over, gives, function.name),
                Takes::Kind(words) | Takes::Optional(words) => self.coherent(argument, words, function.name),
                _ => None,
            };
            match op {
                Some(op) => ops.push(op),
                None => wrong = true,
            }
        }
        let Gives::Kind(words) = function.gives else {
            return Part::Unknown;
        };
        let (false, Some(kind)) = (wrong, Kind::find(words)) else {
            return Part::Unknown;
        };
        let unit = units::usual(kind, self.scope.us_units());
        let mut term = Term::plain(Op::Call(function, ops), span);
        term.dimension = unit.dimension;
        let mut term = units::seat(term, &unit, Some(kind));
        term.span = span;
        Part::Term(term)
    }

    /// An argument of a kind, raw in the coherent unit of it.
    fn coherent(&mut self, argument: &Expr, words: &str, function: &str) -> Option<Op> {
        let term = self.term(argument)?;
        let mut term = self.real(term, &format!("what `{function}` takes"))?;
        let kind = Kind::find(words)?;
        self.other_role(&term, kind, &Name::from(function));
        if kind.entry().plain && term.dimension.is_none() {
            settle::fit(&mut term, &Wanted::plain()).ok()?;
            return Some(term.scaled().op);
        }
        let unit = units::usual(kind, false);
        let term = self.in_unit(term, &unit, Some(kind), Span::default())?;
        Some(term.scaled().op)
    }

    /// A curve as an argument, or a quantity that stands for a curve that is the same everywhere.
    fn along(&mut self, argument: &Expr, over: &str, gives: &str, function: &str) -> Option<Op> {
        if let Node::Call { name, arguments, .. } = &argument.node
            && let Some(fault) = self.called_curve(name, arguments, argument.span, (over, gives), function)
        {
            self.fault(fault);
            return None;
        }
        let (Some(over), Node::Name(name)) = (Kind::find(over), &argument.node) else {
            return self.coherent(argument, gives, function);
        };
        let called =
            self.bound(name).is_none() && (self.scope.curve(name).is_some() || self.scope.definition(name).is_some());
        if !called {
            return self.coherent(argument, gives, function);
        }
        let span = argument.span;
        let local = self.locals;
        self.locals += 1;
        let unit = units::usual(over, false);
        let mut asked = Term::plain(scaled(Op::Local(local), &Factor::one().div(&unit.factor)), span);
        units::dress(&mut asked, &unit, Some(over));
        asked.unit = Some(unit);
        let asked_name: Name = ASKED.into();
        self.bound.push(Bound {
            name: asked_name.clone(),
            part: Part::Term(asked),
        });
        let at = Expr {
            node: Node::Name(asked_name),
            span,
        };
        let part = self.call(name, span, std::slice::from_ref(&at), span);
        self.bound.pop();
        let kind = Kind::find(gives)?;
        let mut term = match part {
            Part::Term(term) => term,
            Part::Unknown => return None,
            _ => {
                let fault = Fault::new(
                    Code::SORTS_DIFFER,
                    span,
                    format!(
                        "`{function}` takes a curve of {} {} here; `{name}` gives no number",
                        words::article(gives),
                        gives
                    ),
                );
                self.fault(fault.help("give the curve a formula with a number as result"));
                return None;
            }
        };
        term.span = span;
        let term = self.real(term, &format!("what `{function}` takes"))?;
        let term = self.in_unit(term, &units::usual(kind, false), Some(kind), Span::default())?;
        Some(Op::Along {
            local,
            value: Box::new(term.scaled().op),
        })
    }
}

impl Checker<'_> {
    /// A call where a curve is asked for: it would be the value at one place, taken as the same everywhere.
    fn called_curve(
        &self,
        name: &Name,
        arguments: &[Expr],
        span: Span,
        (over, gives): (&str, &str),
        function: &str,
    ) -> Option<Fault> {
        let own = self.scope.curve(name).is_some() || self.scope.definition(name).is_some() && arguments.len() == 1;
        if own {
            let said = match arguments {
                [
                    Expr {
                        node: Node::Name(at), ..
                    },
                ] if !self.is_known(at) => format!("`{function}` asks the curve itself, so `{at}` has no value here"),
                _ => format!(
                    "`{function}` asks the curve itself at many places; `{}` is its value at one of them",
                    self.said(span)
                ),
            };
            let code = match arguments {
                [
                    Expr {
                        node: Node::Name(at), ..
                    },
                ] if !self.is_known(at) => Code::UNKNOWN_NAME,
                _ => Code::SORTS_DIFFER,
            };
            return Some(
                Fault::new(code, span, said)
                    .help(format!("write the name alone: `{name}`"))
                    .fix("name the curve alone", span, name.to_string()),
            );
        }
        // What takes a slip or a speed first is a curve over it.
        let library = functions::find(name)?;
        let curve = match library.parameters.first()?.takes {
            Takes::Kind(kind) => ["slip", "shaft speed"].contains(&kind),
            Takes::Curve(..) => true,
            _ => false,
        };
        let torque =
            matches!(library.gives, Gives::Kind(kind) if Kind::find(kind)?.family() == Kind::find(gives)?.family());
        (curve && torque).then(|| {
            let said = self.said(span);
            let symbol = Kind::find(over).map_or("x", |kind| if kind.words() == "slip" { "s" } else { "n" });
            let unit = Kind::find(gives).map_or("1", |kind| kind.entry().si);
            let whole = if said.chars().count() <= 100 { said } else { "…" };
            Fault::new(
                Code::SORTS_DIFFER,
                span,
                format!("`{function}` asks a curve at many places here; this call is its value at one place"),
            )
            .help(format!(
                "give the curve a line of its own, `curve T({symbol} : {over}) in {unit} = {whole}`, and write `T` here; what is meant to stay the same gets a `work` line"
            ))
        })
    }
}

/// The parameter of each argument, where the count fits.
fn matched(parameters: &'static [Parameter], count: usize) -> Option<Vec<&'static Parameter>> {
    let least = parameters
        .iter()
        .filter(|parameter| !matches!(parameter.takes, Takes::Optional(_)))
        .count();
    let group: Vec<&Parameter> = parameters.iter().filter(|parameter| parameter.repeats).collect();
    let fits = if group.is_empty() {
        (least..=parameters.len()).contains(&count)
    } else {
        count >= least && (count - least).is_multiple_of(group.len())
    };
    fits.then(|| parameters.iter().chain(group.into_iter().cycle()).take(count).collect())
}

/// Parameters and their count in words.
fn told(parameters: &[Parameter]) -> (String, String) {
    let names: Vec<&str> = parameters.iter().map(|parameter| parameter.name).collect();
    let mut list = names.join(", ");
    let group = parameters.iter().filter(|parameter| parameter.repeats).count();
    let least = parameters
        .iter()
        .filter(|parameter| !matches!(parameter.takes, Takes::Optional(_)))
        .count();
    let left_out = parameters
        .get(least..)
        .unwrap_or(&[])
        .iter()
        .map(|parameter| parameter.name);
    let wanted = if group > 0 {
        list.push_str(", …");
        match least - group {
            0 => format!("values in groups of {group}"),
            before => format!("{} first, then groups of {group}", plural(before)),
        }
    } else if least < parameters.len() {
        let left_out: Vec<&str> = left_out.collect();
        format!("{least} values, or more with {}", left_out.join(", "))
    } else {
        plural(least)
    };
    (list, wanted)
}
