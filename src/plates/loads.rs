//! Loads of one motor by several methods, compared.
//!
//! For: saying where methods that can each be trusted disagree, once the list has been worked.
//! Always: only methods within their limits are compared; nothing is changed.
//! Not known here: which of them is right.

use super::list::LOADS;
use super::motor::Doubt;
use super::report::ComputedLoads;
use crate::fault::{Code, Severity};
use crate::language::work::{Outcome, Value};
use crate::recalc::QuantityResults;

/// Points of load between two methods that are worth a note, and worth a warning. Common practice, no source.
const NOTE: f64 = 15.0;
const WARNING: f64 = 30.0;

/// The columns that methods are compared by.
pub struct Methods<'a> {
    columns: Vec<(&'static str, &'static str, Option<&'a QuantityResults>)>,
    synchronous: Option<&'a QuantityResults>,
    rated: Option<&'a QuantityResults>,
}

impl<'a> Methods<'a> {
    /// Of a list whose columns are found by their names.
    pub fn of(column: impl Fn(&str) -> Option<&'a QuantityResults>) -> Methods<'a> {
        let methods = [
            ("load_P", "measured power"),
            ("load_0", "current and no-load current"),
            ("load_pf", "current and power factor"),
            ("load_I", "current"),
            ("load_A", "current"),
            ("load_sV", "slip and voltage"),
            ("load_s", "slip"),
        ];
        debug_assert!(
            methods
                .iter()
                .all(|(name, _)| LOADS.iter().any(|load| load.name == *name))
        );
        Methods {
            columns: methods.map(|(name, title)| (name, title, column(name))).into(),
            synchronous: column("n_s"),
            rated: column("n_r"),
        }
    }

    /// Whether the methods disagree for an item of the list: how badly, and in words.
    pub fn apart(&self, index: usize) -> Option<(Severity, String)> {
        let firm = match (number(self.synchronous, index), number(self.rated, index)) {
            (Some(synchronous), Some(rated)) => synchronous - rated >= 15.0,
            _ => false,
        };
        // With a power factor or a no-load current the current says the same better, be it that there is too little load to say.
        let better = |name: &str| ["load_pf", "load_0"].contains(&name);
        let mut known = self.columns.iter().filter(|(name, ..)| better(name));
        let better_known = known.any(|(_, _, column)| number(*column, index).is_some());
        let mut found: Vec<(f64, &str)> = Vec::new();
        for (name, title, column) in &self.columns {
            let Some(value) = number(*column, index) else { continue };
            let fits = match *name {
                "load_pf" => value >= 50.0,
                "load_I" | "load_A" => value >= 50.0 && !better_known,
                "load_sV" => firm,
                // Corrected slip says the same better.
                "load_s" => firm && found.iter().all(|(_, title)| *title != "slip and voltage"),
                _ => true,
            };
            if fits {
                found.push((value, title));
            }
        }
        let least = found.iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let most = found.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
        let points = most.0 - least.0;
        if points <= NOTE {
            return None;
        }
        let told: Vec<String> = found
            .iter()
            .map(|(value, title)| format!("{value:.0} % by {title}"))
            .collect();
        let severity = if points > WARNING {
            Code::LOADS_DISAGREE.entry().severity
        } else {
            Severity::Note
        };
        let words = format!("The load is {}: {points:.0} points apart.", told.join(", "));
        Some((severity, words))
    }
}

/// Doubts where methods disagree.
pub fn spread(loads: &ComputedLoads) -> Vec<Doubt> {
    let methods = Methods::of(|name| loads.column(name));
    let motors = loads.motors.iter().enumerate();
    let doubts = motors.filter_map(|(motor, (source_row, _))| {
        let (severity, words) = methods.apart(loads.place(motor)?)?;
        Some(Doubt::new(Some(*source_row), Code::LOADS_DISAGREE, words).as_severe(severity))
    });
    doubts.collect()
}

/// A worked number, in the unit of its column.
fn number(column: Option<&QuantityResults>, index: usize) -> Option<f64> {
    match column?.cells.get(index)? {
        Outcome::Value(Value::Number(number)) => Some(number.to_f64()),
        _ => None,
    }
}
