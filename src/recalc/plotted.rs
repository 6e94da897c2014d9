//! What the plots of a sheet rest on.
//!
//! For: offering to drag what a picture goes by, and nothing else.
//! Always: curves and definitions are gone through, and formulas of other sheets.
//! Not known here: what a plot looks like.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Engine;
use super::names::{Mention, mentions};
use crate::workbook::{Statement, formulas_of};

/// A sheet and a name in it.
type Named = (Arc<str>, Arc<str>);

impl Engine {
    /// The quantities that the plots of a sheet rest on, however far away: sheet and name.
    pub fn plotted(&self, sheet: &str) -> BTreeSet<Named> {
        let lines = || self.workbook.sheets.iter().filter(|known| *known.name == *sheet);
        let lines = lines().flat_map(|sheet| &sheet.lines).map(|line| &line.statement);
        let plots = lines.filter(|statement| matches!(statement, Statement::Plot { .. }));
        let mut open: Vec<Named> = plots.flat_map(|plot| named_in(plot, sheet)).collect();
        let mut known: BTreeSet<Named> = open.iter().cloned().collect();
        let mut out = BTreeSet::new();
        while let Some((sheet, name)) = open.pop() {
            let shape = self.shape_named(&sheet, &name);
            let further = match shape {
                Some(statement) => named_in(statement, &sheet),
                None => self.reads(&sheet, &name),
            };
            open.extend(further.into_iter().filter(|named| known.insert(named.clone())));
            if shape.is_none() && self.entry_named(&sheet, &name).is_some() {
                let _ = out.insert((sheet, name));
            }
        }
        out
    }

    /// The curve or definition of a name.
    fn shape_named(&self, sheet: &str, wanted: &str) -> Option<&Statement> {
        let sheet = self.workbook.sheets.iter().find(|known| *known.name == *sheet)?;
        let mut lines = sheet.lines.iter().map(|line| &line.statement);
        lines.find(|statement| match statement {
            Statement::Curve { name, .. } | Statement::Define { name, .. } => **name == *wanted,
            _ => false,
        })
    }
}

/// What stands in the formulas of a line, beside what the line binds itself.
fn named_in(statement: &Statement, asks: &str) -> Vec<Named> {
    let bound = |name: &str| match statement {
        Statement::Curve { parameter, .. } => **parameter == *name,
        Statement::Define { parameters, .. } => parameters.iter().any(|(parameter, _)| **parameter == *name),
        Statement::Plot { variable, .. } => **variable == *name,
        _ => false,
    };
    let all = formulas_of(statement)
        .into_iter()
        .flat_map(|formula| mentions(&formula.tree));
    let named = all.filter_map(|mention| match mention {
        Mention::Plain(name, list) => {
            let is_bound = list.is_none() && bound(&name);
            (!is_bound).then(|| (list.map_or_else(|| asks.into(), |list| (*list).into()), (*name).into()))
        }
        Mention::Far(sheet, name, _) => Some(((*sheet).into(), (*name).into())),
        Mention::Call(name) | Mention::HandedOn(name) => (!bound(&name)).then(|| (asks.into(), (*name).into())),
    });
    named.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbook::text;

    /// By reading the text below: what each plotted name stands for.
    #[test]
    fn what_a_plot_rests_on_is_found_behind_curves_and_other_sheets() {
        let engine = Engine::new(text::read(
            "polepair 1
sheet motor
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  given U = 400 V : line voltage
  work n_s = f / p in r/min : synchronous speed
  given beside = 3 kW
sheet drive
  given T_b = 80 N·m : torque
  given s_b = 12 % : slip
  given k = 2 : ratio
  given far = 7 kW
  work T_k = k * T_b in N·m
  define doubled(x : torque) = 2 * x
  curve T_M(n : shaft speed) in N·m = torque_by_breakdown(slip(motor.n_s, n), T_k, s_b)
  curve T_2(n : shaft speed) in N·m = doubled(T_M(n))
  curve T_3(n : shaft speed) in N·m = T_b * far / (1 kW)
  plot T_2 for n from 0 r/min to motor.n_s
",
        ));
        let names = |sheet: &str| {
            let all = engine.plotted(sheet);
            all.iter()
                .map(|(sheet, name)| format!("{sheet}.{name}"))
                .collect::<Vec<_>>()
        };
        assert_eq!(
            names("drive"),
            [
                "drive.T_b",
                "drive.T_k",
                "drive.k",
                "drive.s_b",
                "motor.f",
                "motor.n_s",
                "motor.p"
            ]
        );
        assert_eq!(names("motor"), Vec::<String>::new());
    }
}
