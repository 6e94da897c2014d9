//! A plot that fits a sheet which has none: of its curves, or of what is worked from a given over that given.
//!
//! Always: it is a line that can be read where it is to stand; where nothing fits, none is proposed.
//! Not known here: how plots are worked and drawn.

use crate::fault::Fault;
use crate::language::check::Sort;
use crate::language::syntax::{self, Expr, Node};
use crate::quantity::{Kind, Unit, conversion};
use crate::recalc::QuantityResults;
use crate::window::spot::{Field, Seen, Spot, literal};
use crate::workbook::change::{Change, Place};
use crate::workbook::{CurveText, Form, Role, Statement};

/// Curves drawn in one plot at most.
const MOST: usize = 4;

/// Speed as far as which a torque is drawn where nothing in the sheet says it: that of four poles at 50 Hz.
const SPEED: (&str, &str) = ("0 r/min", "1500 r/min");

/// The line of a plot, and where it comes to stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposed {
    /// The line.
    pub text: String,
    place: Place,
}

impl Proposed {
    /// For a sheet of which a place is chosen; `item`: the case that is looked at.
    pub fn of(seen: Seen<'_>, chosen: Option<Spot>, item: usize) -> Option<Proposed> {
        if seen.results.form != Form::Sheet {
            return None;
        }
        let can_stand = |text: &String| {
            let look = seen.session.look_line(&seen.results.name, text);
            look.is_some_and(|look| !look.faults.iter().any(Fault::is_error))
        };
        let text = of_curves(seen, item).filter(can_stand);
        let text = text.or_else(|| over_given(seen, chosen, item, &can_stand))?;
        Some(Proposed {
            text,
            place: Place::Line(seen.at, seen.sheet.lines.len()),
        })
    }

    /// What puts it there.
    pub fn change(&self) -> Change {
        Change::InsertLine {
            place: self.place,
            before: "".into(),
            text: self.text.as_str().into(),
        }
    }
}

/// The curves of the sheet that go by the same as its first one.
fn of_curves(seen: Seen<'_>, item: usize) -> Option<String> {
    let curves = || {
        seen.sheet.lines.iter().filter_map(|line| match &line.statement {
            Statement::Curve {
                name,
                parameter,
                kind,
                body,
                ..
            } => Some((name, parameter, *kind, body)),
            _ => None,
        })
    };
    let (_, parameter, kind, _) = curves().next()?;
    let alike = || curves().filter(|(_, other, of, _)| *other == parameter && *of == kind);
    let through = alike().find_map(|(.., body)| match body {
        CurveText::Points(points) => Some((points.first()?.0.text.to_string(), points.last()?.0.text.to_string())),
        CurveText::Formula(_) => None,
    });
    let (from, to) = through.or_else(|| ends(seen, kind?, item))?;
    let names: Vec<&str> = alike().take(MOST).map(|(name, ..)| &**name).collect();
    Some(format!("plot {} for {parameter} from {from} to {to}", names.join(", ")))
}

/// From nothing to the largest quantity of the sheet that is of a kind.
fn ends(seen: Seen<'_>, kind: Kind, item: usize) -> Option<(String, String)> {
    let usual = Unit::usual(kind, false);
    let size = |known: &QuantityResults| {
        let Sort::Quantity { unit, .. } = &known.sort else {
            return None;
        };
        let number = known.cells.get(item)?.as_number()?;
        let size = conversion(unit, &usual).ok()?.apply(number).ok()?.to_f64();
        (size > 0.0).then_some(size)
    };
    let known = seen.results.quantities.iter();
    let sized = known.filter_map(|known| Some((size(known)?, &known.name)));
    let largest = sized.max_by(|(one, _), (other, _)| one.total_cmp(other));
    let is_speed = || Unit::known("r/min").is_some_and(|speed| conversion(&usual, &speed).is_ok());
    match largest {
        Some((_, name)) => Some((format!("0 {}", usual.text), name.to_string())),
        None => is_speed().then(|| (SPEED.0.to_owned(), SPEED.1.to_owned())),
    }
}

/// The last quantity that is worked from a given, over half to twice of it: of the chosen given, else of the first one.
fn over_given(
    seen: Seen<'_>,
    chosen: Option<Spot>,
    item: usize,
    can_stand: &dyn Fn(&String) -> bool,
) -> Option<String> {
    let all = 0..seen.results.quantities.len();
    let first = chosen.map(|spot| spot.quantity).filter(|at| all.contains(at));
    first.into_iter().chain(all).find_map(|at| {
        let known = seen.quantity(at).filter(|known| known.role == Role::Given)?;
        let field = Field::Value(item);
        let typed = seen.typed(Spot { quantity: at, field });
        let (value, unit) = literal(&syntax::parse(&typed).0)?;
        if value.is_zero() || unit.dimension.is_none() || has_steps(known) {
            return None;
        }
        let two = rust_decimal::Decimal::TWO;
        let (half, twice) = (value.checked_div(two)?.normalize(), value.checked_mul(two)?.normalize());
        let worked = seen.results.quantities.iter().rev();
        let mut lines = worked.filter_map(|worked| {
            let inputs = seen.inputs(&worked.name).filter(|inputs| inputs.role == Role::Work)?;
            let [Some(formula)] = inputs.values.as_slice() else {
                return None;
            };
            let name = &known.name;
            let text = &formula.text;
            (reads(&formula.tree, name) && says_more(&formula.tree, name))
                .then(|| format!("plot {text} for {name} from {half} {0} to {twice} {0}", unit.text))
        });
        lines.find(can_stand)
    })
}

/// Whether there is only every so many of a quantity: nothing is drawn between four poles and six.
fn has_steps(known: &QuantityResults) -> bool {
    let Sort::Quantity { kind: Some(kind), .. } = &known.sort else {
        return false;
    };
    kind.entry().range.is_some_and(|range| range.step.is_some())
}

/// Whether there is more in a formula than a name and numbers: else its line says nothing that the formula does not.
fn says_more(tree: &Expr, name: &str) -> bool {
    match &tree.node {
        Node::Name(other) => **other != *name,
        Node::Far { .. } | Node::Here(_) => true,
        Node::Power(base, _) => reads(base, name) || says_more(base, name),
        Node::Call { arguments, .. } => arguments.iter().any(|part| reads(part, name)),
        _ => tree.parts().into_iter().any(|part| says_more(part, name)),
    }
}

/// Whether a formula that chooses nothing reads a name itself.
fn reads(tree: &Expr, name: &str) -> bool {
    let chooses = matches!(tree.node, Node::Choice { .. } | Node::Else(..) | Node::Aggregate { .. });
    let is = matches!(&tree.node, Node::Name(known) if **known == *name);
    !chooses && (is || tree.parts().into_iter().any(|part| reads(part, name)))
}
