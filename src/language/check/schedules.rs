//! Published schedules of tolerances: what may stand behind `±` by name.
//!
//! For: checker, `explain`, `tables` and help read this one list.
//! Always: a figure stands in the published table of the schedule and nowhere else; what stands here is which row goes with which
//! kind, and what its per cent are taken of. A side without a limit stays at the value.
//! Not known here: where a schedule is written.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::language::syntax::{self, Expr};
use crate::standards::{Table, tables};

/// A published schedule of tolerances.
#[derive(Debug)]
pub struct Schedule {
    /// Its name after `±`.
    pub name: &'static str,
    /// The published table that holds its figures.
    pub table: &'static str,
    /// What it says, by kind.
    pub entries: &'static [ScheduleEntry],
    /// A line of a sheet, and the limits it gives.
    pub example: (&'static str, &'static str),
}

/// What a schedule says of some kinds. The value is `x`.
#[derive(Debug)]
pub struct ScheduleEntry {
    /// Kinds it holds for.
    pub kinds: &'static [&'static str],
    /// What else it depends on: name and kind, in the order they are written.
    pub needs: &'static [(&'static str, &'static str)],
    /// The quantity of its rows in the table.
    pub quantity: &'static str,
    says: Says,
}

/// How the limits follow from the rows.
#[derive(Debug)]
enum Says {
    /// Per cent of something, of the row whose bounds of the output fit.
    Part { of: &'static str, row: Row },
    /// The same of a slip, for the speed that belongs to it.
    Slip { row: Row },
    /// Per cent of something, not less and not more than two values of the row.
    Bounded { of: &'static str },
    /// A lower limit by a formula of its own.
    Low(&'static str),
}

/// Which row of a quantity it is.
#[derive(Clone, Copy, Debug)]
enum Row {
    /// The only one.
    Only,
    /// By output: above the one bound, up to and with the other.
    UpTo,
    /// By output: from the one bound on, below the other.
    From,
}

const fn entry(
    kinds: &'static [&'static str],
    needs: &'static [(&'static str, &'static str)],
    quantity: &'static str,
    says: Says,
) -> ScheduleEntry {
    ScheduleEntry {
        kinds,
        needs,
        quantity,
        says,
    }
}

/// A single row, its per cent of the value.
const VALUE: Says = Says::Part {
    of: "x",
    row: Row::Only,
};
const SPEEDS: &[&str] = &["rated speed", "shaft speed"];
const EFFICIENCIES: &[&str] = &["motor efficiency", "efficiency"];
const OUTPUT: (&str, &str) = ("P_r", "shaft power");
const SYNCHRONOUS: (&str, &str) = ("n_s", "synchronous speed");

/// The schedules.
pub static SCHEDULES: &[Schedule] = &[
    Schedule {
        name: "iec_60034_1",
        table: "iec_60034_1_12",
        entries: &[
            entry(
                EFFICIENCIES,
                &[OUTPUT],
                "efficiency",
                Says::Part {
                    of: "(1 - x)",
                    row: Row::UpTo,
                },
            ),
            entry(&["power factor"], &[], "power factor", Says::Bounded { of: "(1 - x)" }),
            entry(
                &["slip"],
                &[OUTPUT],
                "slip",
                Says::Part {
                    of: "x",
                    row: Row::From,
                },
            ),
            entry(SPEEDS, &[SYNCHRONOUS, OUTPUT], "slip", Says::Slip { row: Row::From }),
            entry(&["locked-rotor current"], &[], "locked-rotor current", VALUE),
            entry(&["locked-rotor torque"], &[], "locked-rotor torque", VALUE),
            entry(&["pull-up torque"], &[], "pull-up torque", VALUE),
            entry(&["breakdown torque"], &[], "breakdown torque", VALUE),
            entry(&["inertia"], &[], "moment of inertia", VALUE),
        ],
        example: (
            "given eta = 92 % ± iec_60034_1(15 kW) : motor efficiency",
            "90.8 % … 92 %",
        ),
    },
    Schedule {
        name: "nema_mg_1",
        table: "nema_mg1_12_58",
        entries: &[
            entry(
                SPEEDS,
                &[SYNCHRONOUS],
                "full-load speed",
                Says::Part {
                    of: "(n_s - x)",
                    row: Row::Only,
                },
            ),
            entry(&["rated current"], &[], "full-load current", VALUE),
            entry(
                EFFICIENCIES,
                &[],
                "efficiency",
                Says::Low("only(nema_mg1_12_10.eta_min for nema_mg1_12_10 where nema_mg1_12_10.eta = x)"),
            ),
            entry(&["line voltage"], &[], "voltage at rated frequency", VALUE),
        ],
        example: (
            "given n = 1760 r/min ± nema_mg_1(1800 r/min) : rated speed",
            "1752 r/min … 1768 r/min",
        ),
    },
];

/// The schedule of this name.
pub fn find(name: &str) -> Option<&'static Schedule> {
    SCHEDULES.iter().find(|schedule| schedule.name == name)
}

impl Schedule {
    /// The published table that holds its figures.
    pub fn published(&self) -> Option<&'static Table> {
        tables::find(self.table)
    }

    /// What it is, with its edition.
    pub fn title(&self) -> String {
        self.published().map_or_else(String::new, |table| {
            format!("{}, {}", table.publication.title, table.publication.edition)
        })
    }

    /// How an entry is written behind a value: `± iec_60034_1(P_r)`.
    pub fn written(&self, entry: &ScheduleEntry) -> String {
        let list: Vec<&str> = entry.needs.iter().map(|(need, _)| *need).collect();
        match list.as_slice() {
            [] => format!("± {}", self.name),
            list => format!("± {}({})", self.name, list.join(", ")),
        }
    }
}

impl ScheduleEntry {
    /// What the rows of the table say, in words.
    pub fn words(&self, schedule: &Schedule) -> Vec<String> {
        let Some(table) = schedule.published() else {
            return Vec::new();
        };
        (0..table.rows())
            .filter(|row| table.text("quantity", *row) == Some(self.quantity))
            .filter_map(|row| {
                let words = table.text("words", row)?;
                // Where several rows share a quantity, what each applies to tells them apart.
                let of = table.text("applies_to", row).filter(|of| of.contains("output"));
                Some(of.map_or_else(|| words.to_owned(), |of| format!("{of}: {words}")))
            })
            .collect()
    }

    /// Lower and upper limit as formulas.
    fn limits(&self, table: &str) -> (String, String) {
        let figure = |column: &str, row: Row| {
            let fits = match row {
                Row::Only => String::new(),
                Row::UpTo => format!(" and ({table}.P_above else 0 kW) < P_r and P_r <= ({table}.P_to else P_r)"),
                Row::From => format!(" and ({table}.P_above else 0 kW) <= P_r and P_r < ({table}.P_to else 2 * P_r)"),
            };
            let quantity = self.quantity;
            format!("only({table}.{column} for {table} where {table}.quantity = \"{quantity}\"{fits})")
        };
        // An empty place of the table is no limit: the value itself.
        let part = |column: &str, row: Row, sign: char, of: &str| {
            format!("x {sign} ({} else 0 %) * {of}", figure(column, row))
        };
        match self.says {
            Says::Part { of, row } => (part("low", row, '+', of), part("high", row, '+', of)),
            Says::Slip { row } => (part("high", row, '-', "(n_s - x)"), part("low", row, '-', "(n_s - x)")),
            Says::Bounded { of } => {
                let (low, least, most) = (
                    figure("low", Row::Only),
                    figure("least", Row::Only),
                    figure("most", Row::Only),
                );
                (
                    format!("x - smallest(largest(abs({low}) * {of}, {least}), {most})"),
                    "x".to_owned(),
                )
            }
            Says::Low(low) => (low.to_owned(), "x".to_owned()),
        }
    }
}

/// Text and tree of the two limits of an entry.
type Formulas = [(String, Expr); 2];

static FORMULAS: LazyLock<HashMap<(&'static str, usize), Formulas>> = LazyLock::new(|| {
    SCHEDULES
        .iter()
        .flat_map(|schedule| schedule.entries.iter().map(move |entry| (schedule, entry)))
        .map(|(schedule, entry)| {
            let (low, high) = entry.limits(schedule.table);
            let parsed = |text: String| {
                let tree = syntax::parse(&text).0;
                (text, tree)
            };
            (key(schedule, entry), [parsed(low), parsed(high)])
        })
        .collect()
});

fn key(schedule: &'static Schedule, entry: &ScheduleEntry) -> (&'static str, usize) {
    (schedule.name, std::ptr::from_ref(entry) as usize)
}

/// Lower and upper limit of an entry of a schedule: text and tree.
pub(super) fn formulas(schedule: &'static Schedule, entry: &ScheduleEntry) -> Option<&'static Formulas> {
    FORMULAS.get(&key(schedule, entry))
}
