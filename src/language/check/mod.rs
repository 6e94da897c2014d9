//! Tree to typed formula: dimension, kind, unit and role of every part, before any number is known.
//!
//! For: the rules of units and kinds, with a fault or warning in the user's words for each.
//! Always: a result and a list of faults; a formula with an error fault has no `op`. Names are asked through [`Scope`].
//! Not known here: values, cells.
//!
//! The way of a formula: `walk` goes over the tree and makes terms (`term`), products flattened into one; wherever a term has to
//! be something — a unit, a plain number, like the first of a sum — `settle` decides about its tags; `roles` and `legacy` look
//! for right formulas with a wrong base or constant; `words` says what was found.

pub mod schedules;
mod scope;
pub mod typed;
mod term;
mod shares;
mod settle;
mod units;
mod unlikely;
mod legacy;
mod words;
mod walk;
mod names;
mod sums;
mod calls;
mod phasors;
mod tolerances;
mod physics;
mod rates;
mod roles;
mod phases;
mod tables;
mod isolate;

pub use calls::body_of;
pub use isolate::shown;
pub use schedules::{SCHEDULES, Schedule, ScheduleEntry};
pub use scope::{CurveBody, Curved, Defined, Named, Scope};
pub(in crate::language) use tables::key_column;
pub use typed::*;
pub use words::MOST_POLES;

use std::sync::Arc;

use self::phases::Phases;
use self::tables::WithTables;
use self::term::{Count, Term};
use self::units::UnitGoal;
use self::walk::{Bound, Checker, Part, Tries};
use crate::fault::{Code, Fault, Span};
use crate::language::functions;
use crate::language::syntax::{Expr, Name, Node, no_value, words as words_of_syntax};
use crate::quantity::{Family, Kind, PhasorForm, Unit};

/// What the line itself says of its result: `in UNIT : kind`.
#[derive(Clone, Debug, Default)]
pub struct Target {
    /// `in UNIT`; for a cell of a quantity whose unit is settled, that unit.
    pub unit: Option<Unit>,
    /// `: kind`
    pub kind: Option<Kind>,
    /// `: text`
    pub text: bool,
    /// `: choice a, b`
    pub choice: Option<Arc<[Arc<str>]>>,
    /// `to … polar`; for a cell of a quantity that is a phasor, its form.
    pub form: Option<PhasorForm>,
    /// For a cell of a quantity that is settled to be real.
    pub real: bool,
    /// The name of the line, which a tolerance may use for its own value.
    pub name: Option<Name>,
    /// Its name or its title says that it is a slip, and no kind does.
    pub slip: bool,
    /// The line is an input: a number with its unit is one.
    pub given: bool,
}

/// Part of an equation: a tree, its text, and where that text begins in the text that faults are placed in.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// The tree.
    pub tree: &'a Expr,
    /// Its text.
    pub text: &'a str,
    /// Bytes before it.
    pub at: u32,
}

/// What a `seek` asks for.
#[derive(Clone, Copy, Debug)]
pub enum Sought<'a> {
    /// Both sides are equal.
    Equation(Piece<'a>, Piece<'a>),
    /// It is as large as can be.
    Largest(Piece<'a>),
    /// It is as small as can be.
    Smallest(Piece<'a>),
}

/// What an equation needs, for messages.
const SOUGHT: &str = "a side of an equation, or what is to be largest or smallest,";

/// Checks a formula. Faults and places are bytes of `text`.
pub fn formula(tree: &Expr, text: &str, target: &Target, scope: &dyn Scope) -> Typed {
    formula_with(tree, text, target, (&WithTables(scope), true))
}

/// The same; `tries`: names much like an unknown one are tried in its place, so that only those are offered that can stand there.
fn formula_with(tree: &Expr, text: &str, target: &Target, (scope, tries): (&dyn Scope, bool)) -> Typed {
    let mut checker = Checker::new(text, scope);
    checker.tries = tries.then_some(Tries::Formula(target));
    checker.tolerances_allowed = true;
    checker.own.clone_from(&target.name);
    checker.own_kind = target.kind;
    checker.wants_text = target.text.then_some(tree.span);
    let (part, sort) = checker.line(tree, target);
    // `n/a`, `tbd`: lists write that, and names it could be made of are not known.
    let unknown = |fault: &Fault| fault.code == Code::UNKNOWN_NAME;
    if words_of_syntax::says_nothing(text) && checker.faults.iter().any(unknown) {
        checker.faults = vec![no_value(text)];
        checker.reads.clear();
    }
    checker.finish(part, sort)
}

/// The first name in a text that is called like a function and is none, where the text as a whole cannot be read. The place is
/// in bytes of the text.
pub fn unknown_call(text: &str, scope: &dyn Scope) -> Option<Fault> {
    let scope = &WithTables(scope);
    let name_at = |open: usize| {
        let before = text.get(..open)?;
        let letters = before.chars().rev();
        let length: usize = letters
            .take_while(|letter| letter.is_alphanumeric() || *letter == '_')
            .map(char::len_utf8)
            .sum();
        let name = before.get(open - length..)?;
        let called = name.starts_with(char::is_alphabetic) && before.matches('"').count() % 2 == 0;
        called.then_some((name, Span::new(open - length, open)))
    };
    let known = |name: &str| {
        functions::find(name).is_some()
            || scope.curve(name).is_some()
            || scope.definition(name).is_some()
            || scope.sheet(name).is_some()
            || SCHEDULES.iter().any(|schedule| schedule.name == name)
            || words_of_syntax::is_reserved(name)
            || words_of_syntax::GATHERING.contains(&name)
    };
    let (name, span) = text
        .match_indices('(')
        .filter_map(|(open, _)| name_at(open))
        .find(|(name, _)| !known(name))?;
    let mut checker = Checker::new(text, scope);
    checker.unknown_call(&Name::from(name), span, &[], span);
    checker.faults.pop()
}

/// Whether a text with another name at a place is right, as far as units and kinds go; what else is not known there does not count.
fn stands(name: &str, span: Span, text: &str, asked: (Tries<'_>, &dyn Scope)) -> bool {
    wrongs(name, span, text, asked).is_none_or(|mut wrongs| wrongs.next().is_none())
}

/// The same of a text without one of its constants: other ones may be left in it.
fn stands_without(write: &str, span: Span, text: &str, asked: (Tries<'_>, &dyn Scope)) -> bool {
    let constant = |fault: &Fault| fault.code == Code::CONSTANT_WITH_CONVERSION;
    wrongs(write, span, text, asked).is_none_or(|mut wrongs| wrongs.all(|fault| constant(&fault)))
}

/// What is wrong with a text with something else at a place, but for names that are not known.
fn wrongs(
    name: &str,
    span: Span,
    text: &str,
    (tries, scope): (Tries<'_>, &dyn Scope),
) -> Option<impl Iterator<Item = Fault> + use<>> {
    let parts = text.get(..span.start as usize).zip(text.get(span.end as usize..));
    let (before, after) = parts?;
    let text = format!("{before}{name}{after}");
    let (tree, _) = crate::language::syntax::parse(&text);
    let typed = match tries {
        Tries::Formula(target) => formula_with(&tree, &text, target, (scope, false)),
        Tries::Condition => condition_with(&tree, &text, (scope, false)),
    };
    let wrong = |fault: &Fault| fault.is_error() && fault.code != Code::UNKNOWN_NAME;
    Some(typed.faults.into_iter().filter(wrong))
}

/// Checks a condition: of a `check`, a `flag`.
pub fn condition(tree: &Expr, text: &str, scope: &dyn Scope) -> Typed {
    condition_with(tree, text, (&WithTables(scope), true))
}

fn condition_with(tree: &Expr, text: &str, (scope, tries): (&dyn Scope, bool)) -> Typed {
    let mut checker = Checker::new(text, scope);
    checker.tries = tries.then_some(Tries::Condition);
    let part = checker.truth(tree).map_or(Part::Unknown, Part::Truth);
    let sort = if matches!(part, Part::Unknown) {
        Sort::Unknown
    } else {
        Sort::Truth
    };
    checker.finish(part, sort)
}

/// Checks a definition at its own line: what can be said while only the kinds of its parameters are known. Parameters without a
/// kind are left open. Faults are bytes of the definition's text.
pub fn definition(defined: &Defined, scope: &dyn Scope) -> Vec<Fault> {
    let scope = &WithTables(scope);
    let mut checker = Checker::new(&defined.text, scope);
    for (name, kind) in &defined.parameters {
        let part = checker.stand_in(*kind, Span::default());
        checker.bound.push(Bound {
            name: name.clone(),
            part,
        });
    }
    if let Part::Term(mut term) = checker.walk(&defined.body)
        && !term.point
    {
        term.span = defined.body.span;
        checker.seated(term);
    }
    checker.faults
}

/// Checks a curve given by a formula at its own line. Faults are bytes of `text`.
pub fn curve_formula(curve: &Curved, body: &Expr, text: &str, scope: &dyn Scope) -> Typed {
    let scope = &WithTables(scope);
    let mut checker = Checker::new(text, scope);
    let (name, kind) = &curve.parameter;
    let part = checker.stand_in(*kind, Span::default());
    checker.bound.push(Bound {
        name: name.clone(),
        part,
    });
    checker.locals += 1;
    let target = Target {
        unit: curve.unit.as_ref().map(|written| written.unit.clone()),
        ..Target::default()
    };
    let (part, sort) = checker.line(body, &target);
    checker.finish(part, sort)
}

/// Checks a formula of one variable, which is in `unit`: local 0 of the result.
pub fn along(tree: &Expr, text: &str, (variable, unit): (&Name, &Unit), target: &Target, scope: &dyn Scope) -> Typed {
    let scope = &WithTables(scope);
    let mut checker = Checker::new(text, scope);
    checker.bind_first(variable, unit, None);
    let (part, sort) = checker.line(tree, target);
    checker.finish(part, sort)
}

/// Checks an equation for an unknown. Faults and places are bytes of the text that the pieces begin in (`Piece::at`).
///
/// The result's op is an `Op::Seek`, whose local is in the unit of the result.
pub fn seek(
    sought: &Sought,
    between: Option<(Piece, Piece)>,
    name: &Name,
    target: &Target,
    scope: &dyn Scope,
) -> Typed {
    let scope = &WithTables(scope);
    let whole = match sought {
        Sought::Equation(left, _) => left,
        Sought::Largest(only) | Sought::Smallest(only) => only,
    };
    let mut checker = Checker::new(whole.text, scope);
    checker.base = whole.at;
    let unknown_sort = |checker: Checker| checker.finish(Part::Unknown, Sort::Unknown);

    // The rearranged formula says what the unknown is, where the line does not.
    let rearranged = match sought {
        Sought::Equation(left, right) => {
            isolate::isolated(left.tree, right.tree, name, &|called| calls::opened(called, scope))
        }
        _ => None,
    };
    let alone = rearranged.as_ref().map(|expr| {
        let mut checker = Checker::new("", scope);
        let (part, sort) = checker.line(expr, target);
        checker.finish(part, sort)
    });
    let complex = match sought {
        Sought::Equation(left, right) => {
            let proved = alone.as_ref().is_some_and(|typed| {
                typed.op.is_some() && matches!(typed.sort, Sort::Quantity { phasor: Some(_), .. })
            });
            proved || target.kind.is_none_or(Kind::may_be_phasor) && side_is_phasor(left, right, name, target, scope)
        }
        _ => false,
    };
    if complex && between.is_some() {
        checker.fault(
            Fault::new(
                Code::PHASOR_WHERE_REAL,
                whole.tree.span,
                format!("`{name}` is a phasor here; between two limits only a real unknown is sought"),
            )
            .help("leave `between …` away; or seek its magnitude or a part of it, with the other parts given"),
        );
        return unknown_sort(checker);
    }
    let limits = between.map(|(low, high)| {
        [low, high].map(|piece| {
            let mut inner = Checker::new(piece.text, scope);
            inner.base = piece.at;
            let (part, sort) = inner.line(piece.tree, target);
            inner.finish(part, sort)
        })
    });
    let unit_of = |typed: &Typed| match &typed.sort {
        Sort::Quantity { unit, .. } => Some(unit.clone()),
        _ => None,
    };
    let unit = target
        .unit
        .clone()
        .or_else(|| target.kind.map(|kind| units::usual(kind, scope.us_units())))
        .or_else(|| limits.as_ref().and_then(|[low, _]| unit_of(low)))
        .or_else(|| alone.as_ref().filter(|typed| typed.op.is_some()).and_then(unit_of));
    let stands = match sought {
        Sought::Equation(left, right) => isolate::occurs(left.tree, name) + isolate::occurs(right.tree, name),
        Sought::Largest(only) | Sought::Smallest(only) => isolate::occurs(only.tree, name),
    };
    let not_in_equation = || {
        Fault::new(
            Code::UNKNOWN_NOT_IN_EQUATION,
            whole.tree.span,
            format!("`{name}` does not occur in what is asked of it"),
        )
        .help(format!("write an equation with `{name}` in it"))
    };
    let Some(unit) = unit else {
        if stands == 0 {
            checker.fault(not_in_equation());
            return unknown_sort(checker);
        }
        checker.fault(
            Fault::new(
                Code::UNIT_OF_UNKNOWN,
                whole.tree.span,
                format!("what `{name}` is measured in is not said"),
            )
            .help(format!("write `seek {name} in UNIT such that …`, or give it a kind")),
        );
        return unknown_sort(checker);
    };
    let target = Target {
        unit: Some(unit.clone()),
        ..target.clone()
    };

    let local = 0;
    checker.bind_first(name, &unit, target.kind);
    if complex && let Some(Part::Term(term)) = checker.bound.last_mut().map(|bound| &mut bound.part) {
        term.phasor = true;
    }
    let goal = match sought {
        Sought::Equation(left, right) => {
            let equation = checker.equation(left, right, complex);
            equation.map(if complex { Goal::Linear } else { Goal::Zero })
        }
        Sought::Largest(only) => checker.extreme(only).map(Goal::Largest),
        Sought::Smallest(only) => checker.extreme(only).map(Goal::Smallest),
    };
    if stands == 0 {
        checker.fault(not_in_equation());
        return unknown_sort(checker);
    }
    let between = match limits {
        None => None,
        Some(limits) => {
            let mut ops = Vec::new();
            for (limit, piece) in limits
                .into_iter()
                .zip(between.map(|(low, high)| [low, high]).into_iter().flatten())
            {
                // Checked once more where the unit of the result is known, with the reads of the whole.
                checker
                    .faults
                    .extend(limit.faults.iter().filter(|fault| !fault.is_error()).cloned());
                let mut bound = std::mem::take(&mut checker.bound);
                let outer = std::mem::replace(&mut checker.base, piece.at);
                checker.inner.push(piece.text.into());
                let (part, _) = checker.line(piece.tree, &target);
                checker.inner.pop();
                checker.base = outer;
                std::mem::swap(&mut checker.bound, &mut bound);
                if let Part::Term(term) = part {
                    ops.push(term.op);
                }
            }
            let mut ops = ops.into_iter();
            ops.next().zip(ops.next())
        }
    };
    // Worked alone only where that has no fault of its own.
    let isolated = rearranged
        .filter(|_| alone.is_some_and(|typed| typed.op.is_some()))
        .and_then(|expr| {
            let (known, places, reads) = (checker.faults.len(), checker.places.len(), checker.reads.len());
            let bound = std::mem::take(&mut checker.bound);
            checker.inner.push("".into());
            let (part, _) = checker.line(&expr, &target);
            checker.inner.pop();
            checker.bound = bound;
            checker.places.truncate(places);
            let fine = checker.faults.iter().skip(known).all(|fault| !fault.is_error());
            checker.faults.truncate(known);
            match part {
                Part::Term(term) if fine => Some((term.op, isolate::equation(name, &expr))),
                _ => {
                    checker.reads.truncate(reads);
                    None
                }
            }
        });
    if let Some(form) = target.form.filter(|_| !complex) {
        checker.fault(
            Fault::new(
                Code::PHASOR_WHERE_REAL,
                whole.tree.span,
                format!(
                    "`to {}` asks for a phasor; an unknown that is sought is real",
                    form.word()
                ),
            )
            .help("seek its magnitude or a part of it"),
        );
    }
    let form = complex.then(|| target.form.unwrap_or_else(|| phasors::usual_form(&unit)));
    let sort = quantity_sort(unit, target.kind, form);
    match goal {
        Some(goal) => {
            let op = Op::Seek(Box::new(Seek {
                local,
                goal,
                isolated,
                between,
            }));
            let term = Term::plain(op, Span::default());
            checker.finish(Part::Term(term), sort)
        }
        None => checker.finish(Part::Unknown, sort),
    }
}

/// Whether a side of an equation is a phasor, whatever the unknown is.
fn side_is_phasor(left: &Piece, right: &Piece, name: &Name, target: &Target, scope: &dyn Scope) -> bool {
    let unit = target.unit.clone();
    let unit = unit.or_else(|| target.kind.map(|kind| units::usual(kind, scope.us_units())));
    let Some(unit) = unit else {
        return false;
    };
    [left, right].into_iter().any(|side| {
        let mut checker = Checker::new(side.text, scope);
        checker.bind_first(name, &unit, target.kind);
        checker.term(side.tree).is_some_and(|term| term.phasor)
    })
}

/// A quantity in a unit.
fn quantity_sort(unit: Unit, kind: Option<Kind>, phasor: Option<PhasorForm>) -> Sort {
    Sort::Quantity {
        dimension: unit.dimension,
        unit,
        kind,
        phasor,
    }
}

impl Checker<'_> {
    /// Binds a name to local 0, in a unit.
    fn bind_first(&mut self, name: &Name, unit: &Unit, kind: Option<Kind>) {
        self.locals = 1;
        let mut term = Term::plain(Op::Local(0), Span::default());
        units::dress(&mut term, unit, kind);
        term.unit = Some(unit.clone());
        self.bound.push(Bound {
            name: name.clone(),
            part: Part::Term(term),
        });
    }

    /// A value of a kind, where no argument is at hand.
    fn stand_in(&mut self, kind: Option<Kind>, span: Span) -> Part {
        let Some(kind) = kind else {
            return Part::Unknown;
        };
        let unit = units::usual(kind, false);
        let mut term = Term::plain(Op::Local(0), span);
        units::dress(&mut term, &unit, Some(kind));
        term.unit = Some(unit);
        Part::Term(term)
    }

    /// Left minus right, in one unit; `complex` where the unknown is a phasor.
    fn equation(&mut self, left: &Piece, right: &Piece, complex: bool) -> Option<Op> {
        let left_term = self.term(left.tree).and_then(|term| self.side(term, complex));
        let outer = std::mem::replace(&mut self.base, right.at);
        self.inner.push(right.text.into());
        let right_term = self.term(right.tree).and_then(|term| self.side(term, complex));
        let right_term = right_term.and_then(|term| self.seated_or_point(term));
        self.inner.pop();
        self.base = outer;
        let left_term = left_term.and_then(|term| self.seated_or_point(term));
        let (mut left_term, right_term) = (left_term?, right_term?);
        if left_term.point || right_term.point {
            let unit = left_term.unit.clone().or_else(|| right_term.unit.clone())?;
            let kind = Kind::find("temperature");
            left_term = self.in_unit(left_term, &unit, kind, Span::default())?;
            let right_term = self.in_unit(right_term, &unit, kind, Span::default())?;
            return Some(Op::Sum(vec![(false, left_term.op), (true, right_term.op)]));
        }
        let (terms, _) = self.unify(vec![(false, left_term), (true, right_term)], words::Meeting::Comparison)?;
        Some(Op::Sum(
            terms.into_iter().map(|(minus, term)| (minus, term.op)).collect(),
        ))
    }

    fn side(&mut self, term: Term, complex: bool) -> Option<Term> {
        if complex { Some(term) } else { self.real(term, SOUGHT) }
    }

    fn seated_or_point(&mut self, term: Term) -> Option<Term> {
        if term.point { Some(term) } else { self.seated(term) }
    }

    fn extreme(&mut self, piece: &Piece) -> Option<Op> {
        let term = self.term(piece.tree)?;
        let term = self.real(term, SOUGHT)?;
        self.seated_or_point(term).map(|term| term.op)
    }

    /// A whole line: the formula, and what the line says of its result.
    fn line(&mut self, tree: &Expr, target: &Target) -> (Part, Sort) {
        if let Some(words) = &target.choice {
            return self.choice_line(tree, words);
        }
        // A number alone in a line that says what it is, is no riddle; nor is one that is typed as an input.
        let said = target.unit.is_some() || target.kind.is_some();
        let part = match &tree.node {
            Node::Number(literal) if said || target.given => {
                if let Some(written) = literal.unit.as_ref().filter(|_| !said) {
                    self.unlikely_unit(written, literal.value);
                }
                self.thousands(literal, tree.span);
                Part::Term(self.number(literal, tree.span))
            }
            _ => self.walk(tree),
        };
        let wants_quantity = target.unit.is_some() || target.kind.is_some();
        match part {
            Part::Term(mut term) => {
                if target.text {
                    self.sort_fault(tree, "a text", "put it in quotes, or leave out `: text`");
                    return (Part::Unknown, Sort::Text);
                }
                term.span = tree.span;
                self.quantity_line(tree, term, target)
            }
            Part::Text(op) if !wants_quantity => (Part::Text(op), Sort::Text),
            Part::Choice(op, _) if target.text => (Part::Text(op), Sort::Text),
            Part::Choice(op, words) if !wants_quantity => {
                let sort = Sort::Choice(words.clone());
                (Part::Choice(op, words), sort)
            }
            Part::Truth(op) if !wants_quantity && !target.text => (Part::Truth(op), Sort::Truth),
            Part::Blank(op) => {
                let sort = self.promised(target);
                (Part::Blank(op), sort)
            }
            Part::Unknown => (Part::Unknown, self.promised(target)),
            Part::Text(_) | Part::Choice(..) => {
                self.sort_fault(tree, "a number", "leave out the unit and the kind, or write `: text`");
                (Part::Unknown, self.promised(target))
            }
            Part::Truth(_) => {
                self.sort_fault(tree, "a number", "write `A when CONDITION, otherwise B`");
                (Part::Unknown, self.promised(target))
            }
        }
    }

    fn sort_fault(&mut self, tree: &Expr, wanted: &str, help: &str) {
        let said = self.said(tree.span).to_owned();
        self.fault(
            Fault::new(
                Code::SORTS_DIFFER,
                tree.span,
                format!("{wanted} is asked for; `{said}` is something else"),
            )
            .help(help),
        );
    }

    /// What the line promises, where the formula has a fault: others that read it can still be checked.
    fn promised(&self, target: &Target) -> Sort {
        if target.text {
            return Sort::Text;
        }
        if let Some(words) = &target.choice {
            return Sort::Choice(words.clone());
        }
        let unit = target
            .unit
            .clone()
            .or_else(|| target.kind.map(|kind| units::usual(kind, self.scope.us_units())));
        match unit {
            Some(unit) => quantity_sort(unit, target.kind, target.form),
            None => Sort::Unknown,
        }
    }

    fn choice_line(&mut self, tree: &Expr, words: &Arc<[Arc<str>]>) -> (Part, Sort) {
        let sort = Sort::Choice(words.clone());
        let part = self.choice_value(tree, words);
        (part, sort)
    }

    /// A value of a choice: a word of it, or something that gives one.
    fn choice_value(&mut self, tree: &Expr, words: &Arc<[Arc<str>]>) -> Part {
        match &tree.node {
            Node::Name(name) if !self.is_known(name) || words.contains(name) => {
                self.choice_word(name, words, tree.span)
            }
            Node::Text(text) => self.choice_word(text, words, tree.span),
            Node::Choice { arms, otherwise } => {
                let mut out = Vec::new();
                let mut wrong = false;
                for (value, condition) in arms {
                    let condition = self.truth(condition);
                    match (condition, self.choice_value(value, words).op()) {
                        (Some(condition), Some(value)) => out.push((condition, value)),
                        _ => wrong = true,
                    }
                }
                let last = match otherwise {
                    None => None,
                    Some(last) => match self.choice_value(last, words).op() {
                        Some(op) => Some(Box::new(op)),
                        None => {
                            wrong = true;
                            None
                        }
                    },
                };
                if wrong {
                    return Part::Unknown;
                }
                Part::Choice(
                    Op::Choice {
                        arms: out,
                        otherwise: last,
                    },
                    words.clone(),
                )
            }
            _ => match self.walk(tree) {
                Part::Choice(op, found) if found == *words => Part::Choice(op, words.clone()),
                Part::Blank(op) => Part::Blank(op),
                Part::Unknown => Part::Unknown,
                _ => {
                    let said = self.said(tree.span).to_owned();
                    let list = words.iter().map(|word| &**word).collect::<Vec<_>>().join(", ");
                    self.fault(
                        Fault::new(
                            Code::NOT_OF_THE_CHOICE,
                            tree.span,
                            format!("`{said}` is none of the words of this choice: {list}"),
                        )
                        .help(format!("write one of: {list}")),
                    );
                    Part::Unknown
                }
            },
        }
    }

    fn quantity_line(&mut self, tree: &Expr, term: Term, target: &Target) -> (Part, Sort) {
        let us = self.scope.us_units();
        let kind = target.kind;
        if kind.is_some_and(|kind| kind.family() == crate::quantity::Family::Slip) {
            self.slip_base(tree, true);
        } else if target.slip && kind.is_none() {
            self.slip_base(tree, false);
        }
        if let Some(kind) = kind {
            self.speed_of_power(tree, &term, kind);
        }
        let mut term = term;
        let unit = match (&target.unit, kind) {
            (Some(unit), _) => unit.clone(),
            (None, Some(kind)) => {
                let usual = units::usual(kind, us);
                let usual = self.currency_of(&mut term, usual);
                let own = match &term.unit {
                    Some(own) => Some(own.clone()),
                    // A plain number of a kind that may be given as one.
                    None if term.literal.is_some() && kind.entry().plain => Some(Unit::plain()),
                    None => None,
                };
                let angles = |unit: &Unit| {
                    let dimension = unit.dimension.without(crate::quantity::Base::Radian);
                    dimension.without(crate::quantity::Base::Turn)
                };
                // Kilowatts times hours per year are kilowatt-hours a year.
                let per = |unit: &Unit| unit.text.contains("/yr");
                own.filter(|own| angles(own) == angles(&usual) && per(own) == per(&usual))
                    .filter(|own| !rates::lacks_turns(Some(kind), own))
                    .unwrap_or(usual)
            }
            (None, None) => {
                if let Node::Number(literal) = &tree.node {
                    self.rate_alone(literal, tree.span);
                }
                let proved = self.proved_kind(tree, &term);
                if term.point {
                    let Some(unit) = term.unit.clone() else {
                        return (Part::Unknown, Sort::Unknown);
                    };
                    let kind = term.kind;
                    return self.placed(tree, term, unit, kind, target);
                }
                let two_pi = [Count::TwoPi, Count::LooseTwoPi]
                    .into_iter()
                    .any(|count| term.count(count) != 0);
                // Settled, volts and amperes no longer say how they came to their power.
                let unsettled = term.has_volts().then(|| term.clone());
                let Some(settled) = self.natural(term) else {
                    return (Part::Unknown, Sort::Unknown);
                };
                self.stages_alone(&settled);
                if two_pi && settled.is_plain() {
                    self.two_pi_named(tree);
                }
                let electrical = settled.count(Count::Electrical) != 0;
                let kind = settled.kind.or(proved).or_else(|| {
                    if electrical {
                        units::electrical_angular_speed(&settled.dimension)
                    } else {
                        None
                    }
                });
                let Some(unit) = units::natural(&settled, us) else {
                    return (Part::Unknown, Sort::Unknown);
                };
                if let Some(unsettled) = unsettled {
                    let goal = UnitGoal { unit: &unit, kind };
                    self.three_phases(&unsettled, Phases::of(&unsettled, &goal), &goal);
                }
                let seated = units::seat(settled, &unit, kind);
                return self.placed(tree, seated, unit, kind, target);
            }
        };
        let proved = kind.or_else(|| self.proved_kind(tree, &term)).or(term.kind);
        // GD² in kg·m² has become J.
        let flywheel = |kind: Kind| kind.family() == Family::FlywheelEffect;
        let proved = proved.filter(|one| !flywheel(*one) || kind.or(unit.kind).is_some_and(flywheel));
        if let Some(kind) = kind {
            self.taken_for(&term, kind);
        }
        match self.in_unit(term, &unit, kind, Span::default()) {
            Some(term) => {
                let kind = kind.or(term.kind).or(proved);
                self.placed(tree, term, unit, kind, target)
            }
            None => (Part::Unknown, quantity_sort(unit, kind, target.form)),
        }
    }

    /// A line that is 2π and nothing else: under a name it is a number like any other.
    fn two_pi_named(&mut self, tree: &Expr) {
        let said = self.said(tree.span).to_owned();
        self.fault(
            Fault::new(
                Code::TWO_PI_NAMED,
                tree.span,
                format!("`{said}` under a name is a plain number; beside a speed or a frequency it no longer counts as a turn"),
            )
            .help("write `2*pi` in the formula that needs it"),
        );
    }

    fn placed(&mut self, tree: &Expr, term: Term, unit: Unit, kind: Option<Kind>, target: &Target) -> (Part, Sort) {
        let kind = kind.or(unit.kind);
        let kind = if term.phasor {
            kind.and_then(Kind::of_phasor)
        } else {
            kind
        };
        if term.phasor && target.real {
            self.one_phasor_among_real(tree);
            return (Part::Unknown, quantity_sort(unit, kind, None));
        }
        let typed_polar = matches!(&tree.node, Node::Call { name, .. } if &**name == "polar");
        let form = target.form.or_else(|| match (term.phasor, typed_polar) {
            (false, _) => None,
            (true, true) => Some(PhasorForm::Polar),
            (true, false) => Some(phasors::usual_form(&unit)),
        });
        if let (Some(_), Some(kind)) = (form, kind)
            && !kind.may_be_phasor()
        {
            let whole = tree.span;
            self.fault(
                Fault::new(
                    Code::PHASOR_WHERE_REAL,
                    whole,
                    format!(
                        "`to {}` makes this a phasor; {} {} is real",
                        form.map_or("", PhasorForm::word),
                        words::article(kind.words()),
                        kind.words()
                    ),
                )
                .help(
                    "leave out the word, or declare another kind, such as impedance for a resistance with a reactance",
                ),
            );
        }
        (Part::Term(term), quantity_sort(unit, kind, form))
    }

    /// A cell with a phasor in a quantity whose other values are real.
    fn one_phasor_among_real(&mut self, tree: &Expr) {
        let said = self.said(tree.span).to_owned();
        self.fault(
            Fault::new(
                Code::PHASOR_WHERE_REAL,
                tree.span,
                format!("`{said}` is a phasor; the quantity is real by its first value"),
            )
            .help("write `to rectangular` or `to polar` in its line, and all its values are phasors; or take `abs(…)`, `re(…)`, `im(…)`"),
        );
    }

    /// What the shape of the formula proves: a frequency over poles is a synchronous speed.
    fn proved_kind(&self, tree: &Expr, term: &Term) -> Option<Kind> {
        use self::term::Marks;
        let tree = match &tree.node {
            Node::In(inner, _) => inner,
            _ => tree,
        };
        let Node::Product(parts) = &tree.node else {
            return None;
        };
        let quotient = parts.len() == 2
            && parts
                .last()
                .is_some_and(|(sign, _)| *sign == crate::language::syntax::ProductSign::Over);
        let speed = term.tag(crate::quantity::Base::Turn) == term::ONE
            && term.tag(crate::quantity::Base::Cycle) == 0
            && term.marks.has(Marks::FREQUENCY)
            && !term.marks.any(Marks::MORE_THAN_TIME)
            && !term.marks.has(Marks::SPEED);
        (quotient && speed).then(|| Kind::find("synchronous speed")).flatten()
    }
}

impl Part {
    fn op(self) -> Option<Op> {
        match self {
            Part::Term(term) => Some(term.op),
            Part::Text(op) | Part::Choice(op, _) | Part::Truth(op) | Part::Blank(op) => Some(op),
            Part::Unknown => None,
        }
    }
}

impl Term {
    /// Whether a voltage takes part.
    fn has_volts(&self) -> bool {
        let volts = [Count::LineVoltage, Count::PhaseVoltage, Count::Voltage];
        volts.iter().any(|count| self.count(*count) != 0)
    }

    /// Whether it is one quantity, or a plain multiple of one.
    fn is_single(&self) -> bool {
        self.unit.is_some()
    }
}
