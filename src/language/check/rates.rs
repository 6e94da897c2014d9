//! Plain rates per time where a speed of rotation is meant: `T * n` with n in 1/min.
//!
//! Always: a rate says neither turns nor radians; beside a torque or an inertia it would be taken for radians, without a word and
//! wrong by 2π, so it is refused. A typed number in 1/min has one sensible reading, which is offered.
//! Not known here: how tags settle (`settle`).

use rust_decimal::Decimal;

use super::settle::{Wanted, angles};
use super::term::{Count, Marks, ONE, Rate, Term};
use super::walk::Checker;
use super::words::article;
use crate::fault::{Code, Fault, Severity, Span};
use crate::language::syntax::Literal;
use crate::quantity::{Base, Family, Kind, Unit};

/// From here on a number of 1/min is rather a speed than a count of starts or strokes. Common practice, no source.
const FAST: Decimal = Decimal::from_parts(200, 0, 0, false, 0);

impl Checker<'_> {
    /// A rate beside a torque, an inertia, a power or a speed, where no angle is written.
    pub(super) fn rates(&mut self, term: &Term, goal: Option<&Wanted>) -> Option<()> {
        let Some(rate) = term.rate.filter(|_| term.marks.has(Marks::RATE)) else {
            return Some(());
        };
        let speed = term.marks.has(Marks::SPEED);
        if angles(term) != 0 && !speed {
            return Some(());
        }
        let (torque, energy) = (term.count(Count::Torque), term.count(Count::Energy));
        let [mass, length, time] = [Base::Mass, Base::Length, Base::Time].map(|base| term.tag(base));
        let mechanical = mass == ONE && length == 2 * ONE;
        let power = mechanical && time == -3 * ONE && torque == ONE && energy == 0;
        let torque_wanted = goal.is_some_and(|goal| goal.torque) && energy == ONE && torque == 0;
        if !speed && (power || term.marks.has(Marks::INERTIA) || torque_wanted) {
            let beside = if torque_wanted {
                "a torque comes of a speed of rotation"
            } else {
                "beside a torque or an inertia a speed of rotation is needed"
            };
            self.rate_fault(rate, beside, Severity::Error);
            return None;
        }
        let each = mechanical && time == -2 * ONE && energy == ONE && torque == 0;
        if goal.is_none() && rate.per_minute && each && !speed {
            self.rate_fault(
                rate,
                "a power over a rate is an energy for each, and no torque",
                Severity::Warning,
            );
        }
        let ratio = term.tag(Base::Turn) != 0 && time == 0 && !term.marks.has(Marks::MASS);
        if goal.is_none() && ratio && speed {
            self.rate_fault(
                rate,
                "a speed of rotation over a rate is an angle, and no ratio",
                Severity::Warning,
            );
        }
        Some(())
    }

    fn rate_fault(&mut self, rate: Rate, beside: &str, severity: Severity) {
        let said = self.said(rate.span).to_owned();
        let fault = Fault::new(
            Code::RATE_IS_NO_SPEED,
            rate.span,
            format!("`{said}` is a plain rate per time, which says neither turns nor radians; {beside}"),
        );
        let mut fault = offered(fault, &said, rate.span);
        fault.severity = severity;
        self.fault(fault);
    }

    /// `in 1/min : shaft speed`
    pub(super) fn unit_lacks_turns(&mut self, unit: &Unit, kind: Option<Kind>, span: Span) {
        let words = kind.map_or("speed of rotation", Kind::words);
        let usual = kind.map_or_else(String::new, |kind| Unit::usual(kind, false).text.to_string());
        self.fault(
            Fault::new(
                Code::RATE_IS_NO_SPEED,
                span,
                format!(
                    "`{}` is a plain rate per time; {} {words} counts turns or radians",
                    unit.text,
                    article(words)
                ),
            )
            .help(format!("write `in {usual}`, or leave the unit out")),
        );
    }

    /// `1450 1/min` alone in a line that does not say what it is.
    pub(super) fn rate_alone(&mut self, literal: &Literal, span: Span) {
        let per_minute = literal
            .unit
            .as_ref()
            .is_some_and(|written| &*written.unit.text == "1/min");
        if per_minute && literal.value >= FAST {
            let said = self.said(span).to_owned();
            let fault = Fault::new(
                Code::RATE_IS_NO_SPEED,
                span,
                format!("`{said}` is a plain rate per time; a speed of rotation counts turns"),
            );
            let mut fault = offered(fault, &said, span);
            fault.severity = Severity::Warning;
            self.fault(fault);
        }
    }
}

/// Whether a kind counts turns or radians, and the unit beside it does not.
pub(super) fn lacks_turns(kind: Option<Kind>, unit: &Unit) -> bool {
    let speed = |kind: Kind| {
        matches!(
            kind.family(),
            Family::ShaftSpeed { .. } | Family::ElectricalAngularSpeed
        )
    };
    let bare = [Base::Radian, Base::Turn]
        .into_iter()
        .all(|base| unit.dimension.get(base).is_zero());
    kind.is_some_and(speed) && bare
}

/// What to write instead of a rate: at the number itself, or at its name.
pub(super) fn offered(fault: Fault, said: &str, span: Span) -> Fault {
    let inner = said.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
    let bare = inner.unwrap_or(said).trim();
    let in_place = |write: &str| {
        if inner.is_some() {
            format!("({write})")
        } else {
            write.to_owned()
        }
    };
    let typed = bare.split_once(' ').filter(|(number, _)| number.parse::<f64>().is_ok());
    match typed {
        Some((number, "1/min")) => {
            let write = format!("{number} r/min");
            fault
                .help(format!("write `{write}` for a speed of rotation"))
                .fix(format!("write {write}"), span, in_place(&write))
        }
        Some((number, "1/s" | "s⁻¹" | "s^-1")) => {
            let (turns, radians) = (format!("{number} rev/s"), format!("{number} rad/s"));
            fault
                .help(format!("write `{turns}` for turns, `{radians}` for radians"))
                .fix(format!("write {turns}"), span, in_place(&turns))
                .fix(format!("write {radians}"), span, in_place(&radians))
        }
        _ => fault.help(format!(
            "write r/min, rev/s or rad/s in the line where `{said}` comes from; or here `{said} * (1 rev)` for turns, `{said} * (1 rad)` for radians"
        )),
    }
}
