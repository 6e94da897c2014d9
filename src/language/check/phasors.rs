//! Phasors: the imaginary unit, magnitude and angle, parts and conjugates, and where only a real value will do.
//!
//! For: the functions `polar abs angle re im conj parallel exp`, and the faults about phasors.
//! Always: whether a value is a phasor is known before any number is; the product of a voltage and a conjugate current is an
//! apparent power whose real part is active and whose imaginary part is reactive.
//! Not known here: how a phasor is shown.

use super::settle::{self, Wanted};
use super::term::{Count, ONE, Term};
use super::typed::{OfPhasor, Op};
use super::units;
use super::walk::{Checker, Part};
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::language::functions::Function;
use crate::language::syntax::Expr;
use crate::quantity::{Base, Exponent, Kind, Phasor, PhasorForm, Unit};

/// Functions that take phasors.
pub(super) const TAKE_PHASORS: &[&str] = &["polar", "abs", "angle", "re", "im", "conj", "parallel", "exp"];

/// The imaginary unit.
pub(super) fn imaginary(span: Span) -> Term {
    let mut term = Term::plain(Op::Phasor(Phasor::J), span);
    term.phasor = true;
    term
}

/// What a term is once it is a phasor: a resistance with a reactance is an impedance, a power is the apparent one.
pub(super) fn dressed(term: &mut Term) {
    if !term.phasor || term.point {
        return;
    }
    let own = term.kind.or_else(|| term.unit.as_ref().and_then(|unit| unit.kind));
    term.kind = own.and_then(Kind::of_phasor);
    let ohms = term.count(Count::Resistance) + term.count(Count::Reactance) + term.count(Count::Impedance);
    term.set(Count::Resistance, 0);
    term.set(Count::Reactance, 0);
    term.set(Count::Impedance, ohms);
    apparent(term);
}

/// A power that is part of a phasor: P + j·Q is the apparent power.
pub(super) fn apparent(term: &mut Term) {
    let tags = [Base::Active, Base::Reactive].map(|base| term.tag(base));
    let power = Unit::known("VA").is_some_and(|va| va.dimension.without_tags() == term.dimension.without_tags());
    if !power || (tags != [ONE, 0] && tags != [0, ONE]) || term.tag(Base::Apparent) != 0 {
        return;
    }
    term.dimension = term
        .dimension
        .without(Base::Active)
        .without(Base::Reactive)
        .with(Base::Apparent, Exponent::ONE);
    term.kind = Kind::find("apparent power");
    for count in [Count::Shaft, Count::Input, Count::Hydraulic, Count::Loss] {
        term.set(count, 0);
    }
    if term.unit.is_some()
        && let Some(unit) = sized(term, "VA")
    {
        let op = std::mem::replace(&mut term.op, Op::Truth(false));
        term.op = super::term::scaled(op, &term.factor.div(&unit.factor));
        term.factor = (*unit.factor).clone();
        term.unit = Some(unit);
    }
}

/// The form a phasor of this unit is shown in where nothing is said: voltages and currents polar, all others rectangular.
pub(super) fn usual_form(unit: &Unit) -> PhasorForm {
    let is = |text: &str| Unit::known(text).is_some_and(|other| other.dimension == unit.dimension);
    if is("V") || is("A") {
        PhasorForm::Polar
    } else {
        PhasorForm::Rectangular
    }
}

impl Checker<'_> {
    /// The term, where it is real.
    pub(super) fn real(&mut self, term: Term, wanted: &str) -> Option<Term> {
        if !term.phasor {
            return Some(term);
        }
        self.phasor_fault(&term, wanted);
        None
    }

    /// Tells of a phasor where a real value is needed.
    pub(super) fn phasor_fault(&mut self, term: &Term, wanted: &str) {
        let said = self.said(term.span).to_owned();
        let fault = Fault::new(
            Code::PHASOR_WHERE_REAL,
            term.span,
            format!("`{said}` is a phasor; {wanted} is real"),
        );
        let fault = if said == "j" {
            fault.help("`j` is the imaginary unit and no name of a quantity; an inertia is called `J` or `J_M`, anything else `j_1`")
        } else if said.chars().count() <= 40 {
            fault.help(format!(
                "take its magnitude, `abs({said})`, or a part of it, `re({said})` or `im({said})`"
            ))
        } else {
            fault.help("take its magnitude with `abs(…)`, or a part of it with `re(…)` or `im(…)`")
        };
        self.fault(fault);
    }

    /// Whether a phasor may become what a line or a parameter asks for.
    pub(super) fn phasor_fits(&mut self, term: &Term, unit: &Unit, kind: Option<Kind>) -> bool {
        if !term.phasor {
            return true;
        }
        let power = [Base::Active, Base::Reactive]
            .into_iter()
            .find(|base| !unit.dimension.get(*base).is_zero() && unit.dimension.get(Base::Apparent).is_zero());
        let part = match (power, kind) {
            (Some(Base::Active), _) => "re",
            (Some(_), _) => "im",
            (None, Some(kind)) if !kind.may_be_phasor() => match kind.words() {
                "reactance" | "susceptance" => "im",
                _ => "re",
            },
            _ => return true,
        };
        let said = self.said(term.span).to_owned();
        let what = match kind {
            Some(kind) => format!("{} {}", words::article(kind.words()), kind.words()),
            None => format!("a value in {}", unit.text),
        };
        self.fault(
            Fault::new(
                Code::PHASOR_WHERE_REAL,
                term.span,
                format!("`{said}` is a phasor; {what} is real"),
            )
            .help(format!(
                "take its {} part with `{part}(…)`, or its magnitude with `abs(…)`",
                if part == "re" { "real" } else { "imaginary" }
            )),
        );
        false
    }

    /// Two phasors whose product is a power, none of them conjugate.
    pub(super) fn conjugate_missing(&mut self, phasors: usize, term: &Term) {
        let power = Unit::known("W").is_some_and(|watt| watt.dimension.without_tags() == term.dimension.without_tags());
        if phasors < 2 || term.conjugate || !power || self.inside.is_some() {
            return;
        }
        let said = self.said(term.span).to_owned();
        self.fault(
            Fault::new(
                Code::CONJUGATE_MISSING,
                term.span,
                format!("`{said}` multiplies two phasors as they are; its angle is the sum of theirs and no phase angle of the load"),
            )
            .help("apparent power is `V * conj(I)`, or `abs(I)^2 * Z`; its real part is active, its imaginary part reactive power"),
        );
    }

    /// A function that takes phasors.
    pub(super) fn of_phasors(&mut self, function: &'static Function, arguments: &[Expr], span: Span) -> Part {
        let terms: Vec<Option<Term>> = arguments.iter().map(|argument| self.term(argument)).collect();
        let Some(terms) = terms.into_iter().collect::<Option<Vec<Term>>>() else {
            return Part::Unknown;
        };
        let made = match (function.name, terms.as_slice()) {
            ("polar", [magnitude, angle]) => self.polar(magnitude.clone(), angle.clone()),
            ("parallel", _) => self.parallel(function, terms),
            ("exp", [power]) => self.raised_e(function, power.clone()),
            (_, [term]) => self.part_of(function, term.clone()),
            _ => None,
        };
        match made {
            Some(mut term) => {
                term.span = span;
                term.literal = None;
                Part::Term(term)
            }
            None => Part::Unknown,
        }
    }

    /// `230 V ∠ -30 deg`
    fn polar(&mut self, magnitude: Term, angle: Term) -> Option<Term> {
        let magnitude = self.real(magnitude, "the magnitude of a phasor");
        let angle_span = angle.span;
        self.bare_angle(&angle, "polar", angle_span);
        let angle = self.real(angle, "an angle").and_then(|angle| self.angle(angle));
        let (magnitude, angle) = (magnitude?, angle?);
        if magnitude.point {
            self.point_fault(&magnitude);
            return None;
        }
        let mut term = self.seated(magnitude)?;
        term.op = Op::OfPhasor(OfPhasor::Polar, vec![term.op, angle.op]);
        term.phasor = true;
        dressed(&mut term);
        Some(term)
    }

    /// `abs`, `angle`, `re`, `im`, `conj`: of real values, too.
    fn part_of(&mut self, function: &'static Function, term: Term) -> Option<Term> {
        if term.point && function.name == "abs" {
            return Some(Term {
                op: Op::Call(function, vec![term.op]),
                ..term
            });
        }
        if term.point {
            self.point_fault(&term);
            return None;
        }
        let phasor = term.phasor;
        let conjugate = term.conjugate;
        let mut term = self.seated(term)?;
        let how = match function.name {
            "abs" => OfPhasor::Abs,
            "angle" => OfPhasor::Angle,
            "re" => OfPhasor::Re,
            "im" => OfPhasor::Im,
            _ => OfPhasor::Conj,
        };
        term.phasor = phasor && how == OfPhasor::Conj;
        term.conjugate = term.phasor && !conjugate;
        if how == OfPhasor::Abs && !phasor {
            term.op = Op::Call(function, vec![term.op]);
            return Some(term);
        }
        term.op = Op::OfPhasor(how, vec![term.op]);
        match how {
            OfPhasor::Angle => {
                let (rad, deg) = (Unit::known("rad")?, Unit::known("deg")?);
                let mut angle = Term::plain(term.op, term.span);
                units::dress(&mut angle, &rad, Kind::find("phase angle"));
                Some(units::seat(angle, &deg, Kind::find("phase angle")))
            }
            OfPhasor::Re | OfPhasor::Im if phasor => Some(component(term, how)),
            _ => Some(term),
        }
    }

    /// `parallel(Z_1, Z_2, …)`
    fn parallel(&mut self, function: &'static Function, terms: Vec<Term>) -> Option<Term> {
        let (ohm, henry) = (Unit::known("Ω")?, Unit::known("H")?);
        let mut seated = Vec::with_capacity(terms.len());
        for term in terms {
            let span = term.span;
            let term = self.seated(term)?;
            if term.dimension != ohm.dimension && term.dimension != henry.dimension {
                let said = self.said(span).to_owned();
                let of = words::of(&term);
                self.fault(
                    Fault::new(
                        Code::CANNOT_ADD,
                        span,
                        format!("`parallel` joins impedances; `{said}` is {of}"),
                    )
                    .help("give resistances, reactances or impedances in Ω; admittances side by side are added"),
                );
                return None;
            }
            seated.push((false, term));
        }
        let (terms, whole) = self.unify(seated, words::Meeting::Sum)?;
        let ops = terms.into_iter().map(|(_, term)| term.op).collect();
        let op = if whole.phasor {
            Op::OfPhasor(OfPhasor::Parallel, ops)
        } else {
            Op::Call(function, ops)
        };
        Some(Term { op, ..whole })
    }

    fn raised_e(&mut self, function: &'static Function, term: Term) -> Option<Term> {
        if !term.phasor {
            let term = self.plain(term, "what `exp` takes")?;
            return Some(Term::plain(Op::Call(function, vec![term.op]), term.span));
        }
        let mut power = term;
        match settle::fit(&mut power, &Wanted::plain()) {
            Ok(_) => {
                let span = power.span;
                let mut term = Term::plain(Op::OfPhasor(OfPhasor::Exp, vec![power.scaled().op]), span);
                term.phasor = true;
                Some(term)
            }
            Err(refusal) => {
                let fault = words::refusal(refusal, &power, self.text(), &words::Asked::Plain);
                self.fault(fault);
                None
            }
        }
    }
}

/// The real or imaginary part of a settled phasor: of an apparent power the active or reactive one, of an impedance the resistance
/// or reactance.
fn component(term: Term, how: OfPhasor) -> Term {
    let im = how == OfPhasor::Im;
    let pick = |re: &'static str, of_im: &'static str| Kind::find(if im { of_im } else { re });
    let ampere_power = term.count(Count::Energy) != 0
        || term.tag(Base::Apparent) == ONE
        || Unit::known("VA").is_some_and(|va| va.dimension.without(Base::Apparent) == term.dimension);
    let kind = match term.kind.map(Kind::words) {
        Some("impedance") => pick("resistance", "reactance"),
        Some("admittance") => pick("conductance", "susceptance"),
        _ => None,
    };
    let power = Unit::known("VA").is_some_and(|va| va.dimension.without_tags() == term.dimension.without_tags());
    if ampere_power && power {
        let (base, symbol) = if im {
            (Base::Reactive, "var")
        } else {
            (Base::Active, "W")
        };
        let mut out = Term {
            dimension: term.dimension.without_tags().with(base, Exponent::ONE),
            kind: None,
            unit: None,
            ..term
        };
        // Kept in its own size: the real part of kVA is in kW.
        let own = sized(&out, symbol);
        if let Some(unit) = own {
            let op = std::mem::replace(&mut out.op, Op::Truth(false));
            let mut fresh = Term::plain(super::term::scaled(op, &out.factor.div(&unit.factor)), out.span);
            units::dress(&mut fresh, &unit, unit.kind);
            fresh.unit = Some(unit);
            return fresh;
        }
        return out;
    }
    match (kind, term.unit.clone()) {
        (Some(kind), Some(unit)) => {
            let mut fresh = Term::plain(term.op, term.span);
            units::dress(&mut fresh, &unit, Some(kind));
            fresh.unit = Some(unit);
            fresh
        }
        _ => term,
    }
}

/// `kW` for kVA, `W` for VA.
fn sized(term: &Term, symbol: &str) -> Option<Unit> {
    ["", "k", "M"]
        .into_iter()
        .filter_map(|prefix| Unit::known(&format!("{prefix}{symbol}")))
        .find(|unit| unit.factor.div(&term.factor).is_one())
        .or_else(|| Unit::known(symbol))
}
